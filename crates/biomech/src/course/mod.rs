//! Arrow 3 in time: a movement out, held and back at a tempo, or the tempo at which it can be done.
//!
//! The centre of mass is planned first, so that the feet can carry the body (`centre.rs`); the joints
//! follow it, near the postures of least effort (`track.rs`); inverse dynamics of the whole tree says
//! where the floor's reaction must act, and the plan is mended by the difference (`way.rs`); the reaction
//! is shared between the feet (`ground.rs`). What the feet cannot supply decides whether the tempo
//! is feasible.

mod arms;
mod between;
mod centre;
mod choices;
mod feet;
mod ground;
mod phases;
mod picture;
mod quadratic;
mod smooth;
mod spline;
mod summary;
mod tempo;
mod timed;
mod track;
mod way;

pub use phases::CoursePhase;
pub use summary::{JointWork, PhaseSpan};
pub use tempo::course;
pub use timed::{Course, FootGround, Leftover, TimedFrame};
