//! Directions of a reach, named from the limb that stands, and the one function that names them from the other.

use anatomy::Side;
use movement::{AnatomicalDirection, Bearing};
use serde::{Deserialize, Serialize};

/// A direction named from the STANDING limb, as the literature of reach tests does.
///
/// The rest of Footrose names from the limb that moves, so that the same spot on the floor carries two names:
/// standing on the right leg, `medial` here is to the person's left, where the left leg goes to its own
/// `lateral`. A type of its own keeps the two from being exchanged unseen.
///
/// ```
/// # use measurement::StanceDirection; use movement::AnatomicalDirection; use anatomy::Side;
/// let medial = StanceDirection::named(AnatomicalDirection::Medial);
/// assert_eq!(medial.bearing(Side::Right).degrees(), 270);
/// assert_eq!(medial.named_from_mover(), AnatomicalDirection::Lateral);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct StanceDirection(AnatomicalDirection);

impl StanceDirection {
    /// Takes a name that was given from the standing limb.
    #[must_use]
    pub fn named(direction: AnatomicalDirection) -> Self {
        Self(direction)
    }

    /// The eight directions.
    pub fn all() -> impl Iterator<Item = Self> {
        AnatomicalDirection::ALL.into_iter().map(Self)
    }

    /// The name, from the standing limb.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.0.name()
    }

    /// Where on the floor it lies, for a person who stands on `stance`.
    #[must_use]
    pub fn bearing(self, stance: Side) -> Bearing {
        Bearing::of(self.0, stance)
    }

    /// The direction of a floor bearing, for a person who stands on `stance`.
    #[must_use]
    pub fn of(bearing: Bearing, stance: Side) -> Self {
        Self(bearing.named_from(stance))
    }

    /// The name of the same spot from the limb that moves: medial and lateral change places.
    /// The only place where the two conventions meet.
    #[must_use]
    pub fn named_from_mover(self) -> AnatomicalDirection {
        // Which side stands does not matter for the exchange; a test asks both.
        self.bearing(Side::Right).named_from(Side::Left)
    }
}

impl std::fmt::Display for StanceDirection {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use AnatomicalDirection as D;

    /// Geometry of the star: angle toward the medial side of the standing limb; standing right the bearing is
    /// its negative, standing left it is the angle itself.
    #[test]
    fn the_star_lies_on_the_floor_as_the_literature_draws_it() {
        let star = [
            (D::Anterior, 0),
            (D::Anteromedial, 45),
            (D::Medial, 90),
            (D::Posteromedial, 135),
            (D::Posterior, 180),
            (D::Posterolateral, 225),
            (D::Lateral, 270),
            (D::Anterolateral, 315),
        ];
        for (name, angle) in star {
            let direction = StanceDirection::named(name);
            assert_eq!(direction.bearing(Side::Left).degrees(), angle, "{name}, standing left");
            assert_eq!(
                direction.bearing(Side::Right).degrees(),
                (360 - angle) % 360,
                "{name}, standing right"
            );
        }
    }

    #[test]
    fn the_name_from_the_mover_is_the_same_spot_on_either_side() {
        for direction in StanceDirection::all() {
            for stance in Side::BOTH {
                let spot = direction.bearing(stance);
                assert_eq!(spot.named_from(stance.other()), direction.named_from_mover());
                assert_eq!(StanceDirection::of(spot, stance), direction);
            }
        }
        let moved = |name| StanceDirection::named(name).named_from_mover();
        assert_eq!(moved(D::Posteromedial), D::Posterolateral);
        assert_eq!(moved(D::Lateral), D::Medial);
        assert_eq!(moved(D::Anterior), D::Anterior);
    }
}
