//! The centre of mass of the whole body and its angular momentum.

use nalgebra::Vector3;

use super::kinematics::{Moving, Pose};
use super::topology::Segment;
use crate::state::V3;

impl Pose<'_> {
    /// Centre of mass of a segment with what it carries.
    #[must_use]
    pub fn segment_centre(&self, segment: Segment) -> Vector3<f64> {
        self.point(segment, self.tree.links[segment.index()].centre)
    }

    /// Mass-weighted mean of a value of every segment.
    fn mean(&self, of: impl Fn(Segment, V3) -> V3) -> V3 {
        let links = Segment::ALL.iter().zip(&self.tree.links);
        links.map(|(segment, link)| of(*segment, link.centre) * link.mass).sum::<V3>() / self.tree.mass()
    }

    /// Centre of mass of body and carried loads, metres.
    #[must_use]
    pub fn centre_of_mass(&self) -> Vector3<f64> {
        self.mean(|segment, centre| self.point(segment, centre))
    }
}

impl Moving<'_> {
    /// Velocity of the centre of mass, m/s.
    #[must_use]
    pub fn centre_of_mass_velocity(&self) -> Vector3<f64> {
        self.mean(|segment, centre| self.velocity(segment, centre))
    }

    /// Acceleration of the centre of mass, m/s², without gravity.
    #[must_use]
    pub fn centre_of_mass_acceleration(&self) -> Vector3<f64> {
        self.mean(|segment, centre| self.acceleration(segment, centre))
    }

    /// Angular momentum about the centre of mass, kg m²/s, floor frame.
    #[must_use]
    pub fn angular_momentum(&self) -> Vector3<f64> {
        let centre = self.centre_of_mass();
        let drift = self.centre_of_mass_velocity();
        let links = Segment::ALL.iter().zip(&self.tree.links);
        links
            .map(|(segment, link)| {
                let rot = self.frame(*segment);
                let own = rot * (link.inertia * rot.tr_mul(&self.angular_velocity(*segment)));
                let r = self.point(*segment, link.centre) - centre;
                own + r.cross(&(self.velocity(*segment, link.centre) - drift)) * link.mass
            })
            .sum()
    }
}
