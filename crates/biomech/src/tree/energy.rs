//! Kinetic and potential energy.

use super::kinematics::{Moving, Pose};
use super::topology::Segment;

impl Pose<'_> {
    /// Energy in the field of gravity, joules; zero where the centre of mass is in the floor's origin.
    #[must_use]
    pub fn potential_energy(&self) -> f64 {
        -self.tree.mass() * self.tree.gravity.dot(&self.centre_of_mass())
    }
}

impl Moving<'_> {
    /// Energy of motion, joules: `½ m v² + ½ ω · I ω` over the segments.
    #[must_use]
    pub fn kinetic_energy(&self) -> f64 {
        let links = Segment::ALL.iter().zip(&self.tree.links);
        links
            .map(|(segment, link)| {
                let spin = self.frame(*segment).tr_mul(&self.angular_velocity(*segment));
                let speed = self.velocity(*segment, link.centre);
                0.5 * (link.mass * speed.norm_squared() + spin.dot(&(link.inertia * spin)))
            })
            .sum()
    }
}
