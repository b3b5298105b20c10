//! Arrows 4 and 5: joint moments of a motion, and what share of this person's capacity they are.

use std::collections::BTreeMap;

use anatomy::{Coordinate, JointMotion, PerSide, Side};

use crate::body::Body;
use crate::capacity::Capacity;
use crate::result::{Demand, Demands, FrameMoments, JointMoments, Motion};
use crate::uncertainty::estimate;

/// Arrow 4: the internal joint moments in each key posture. Static: no braking on landing, no swing.
#[must_use]
pub fn moments(_body: &Body, motion: &Motion) -> JointMoments {
    JointMoments {
        frames: motion
            .frames
            .iter()
            .map(|f| FrameMoments {
                phase: f.phase,
                turn: f.turn,
                legs: f.moments.0.clone(),
                trunk: f.moments.1.clone(),
                angles: PerSide::from_fn(|side| {
                    Coordinate::LEG.into_iter().map(|c| (c, f.posture.angle(side, c))).collect()
                }),
            })
            .collect(),
    }
}

/// Arrow 5: the largest share of capacity each motion reaches over the frames, with a band of one
/// standard deviation of body, task and strength together; `Unknown` where the capacity is unknown.
#[must_use]
pub fn demands(moments: &JointMoments, capacity: &Capacity) -> Demands {
    let side_demands = |side: Side, coordinates: &[Coordinate]| {
        let mut out: BTreeMap<JointMotion, Demand> = BTreeMap::new();
        for frame in &moments.frames {
            for c in coordinates {
                let moment = frame.moment(side, *c).in_nm();
                let motion = if moment >= 0.0 { c.positive() } else { c.negative() };
                let angle = frame.angle(side, *c);
                let demand = match capacity.at(side, motion, angle) {
                    None => Demand::Unknown,
                    Some((strength, spread)) => {
                        estimate(motion, moment.abs(), strength.in_nm(), spread, capacity.mass)
                    }
                };
                let larger = match (out.get(&motion), demand) {
                    (Some(Demand::Estimate { share: old, .. }), Demand::Estimate { share: new, .. }) => {
                        new > *old
                    }
                    (Some(_), _) => false,
                    (None, _) => true,
                };
                if larger {
                    out.insert(motion, demand);
                }
            }
        }
        out
    };
    Demands {
        legs: PerSide::from_fn(|side| side_demands(side, &Coordinate::LEG)),
        trunk: side_demands(Side::Left, &Coordinate::TRUNK),
    }
}
