//! The whole body in motion: a tree of twelve rigid segments and 31 coordinates.
//!
//! The first 23 coordinates are those of the posture solver: three translations of the pelvis
//! (its origin is the middle between the hip centres), its yaw, tilt and list, three between
//! pelvis and trunk, seven in each leg. Each arm adds four: shoulder flexion, abduction and
//! internal rotation, elbow flexion, positive as named and mirrored on the left like the legs.
//! With all coordinates at zero every segment frame is parallel to the floor frame: X forward,
//! Y up, Z to the person's right, and the arms hang.
//!
//! A [`Tree`] never changes. [`Tree::pose`] and [`Tree::moving`] fill a [`Scratch`] and give back
//! a view of it; what needs velocities can only be asked of [`Moving`]. Nothing allocates.
//! Everything is in SI units and in the floor frame unless a name says `local`; the equations are
//! those of Featherstone 2008 (recursive Newton–Euler, chapter 5; composite rigid bodies, chapter
//! 6), written in the floor frame with moments about each segment's own origin.
//!
//! ```
//! use anatomy::{BodySize, PerSide, Sex};
//! use biomech::Body;
//! use biomech::tree::{Scratch, TREE_COORDINATES, Tree};
//! use quantity::{GRAVITY, Length, Mass};
//!
//! let size = BodySize::new(Length::cm(170.0), Mass::kg(70.0), Sex::Female, 50, PerSide::default())?;
//! let tree = Tree::of(&Body::of(&size), &[]);
//! let mut scratch = Scratch::new();
//! let still = [0.0; TREE_COORDINATES];
//! let forces = tree.moving(&still, &still, &still, &mut scratch).inverse_dynamics(&[]);
//! // Left without contacts, a body at rest asks the floor for its weight.
//! assert!((forces.generalized[1] - tree.mass() * GRAVITY).abs() < 1e-9);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

#![allow(clippy::needless_range_loop, reason = "coordinates are numbers: one index walks several arrays")]

mod centre;
mod energy;
mod inverse_dynamics;
mod jacobian;
mod kinematics;
#[cfg(test)]
mod laws;
mod mass_matrix;
mod model;
#[cfg(test)]
mod statics_route;
mod topology;

pub use inverse_dynamics::{Forces, Wrench};
pub use kinematics::{Moving, Pose, Scratch};
pub use mass_matrix::MassMatrix;
pub use model::{Carried, Tree};
pub use topology::{
    ANGLES_FROM, COORDINATE_NAMES, Coordinates, Joint, SEGMENTS, Segment, TREE_COORDINATES, TRUNK_FROM,
    arm_from, leg_from,
};
