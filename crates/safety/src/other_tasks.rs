//! What today's rules say about a task that is no movement of the vocabulary, such as rising from a chair.

use anatomy::{Joint, JointMotion, Side};
use biomech::Motion;
use movement::{Bearing, Crossing, Family, MovementSpec};
use quantity::{Angle, Length};

use crate::floor::{Print, far_prints};
use crate::limits::ActiveLimit;
use crate::preset::Scope;
use crate::weight::Grade;
use crate::words;
use crate::{AllowedSpace, Blocked, Refusal};

/// How far a task takes a joint.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bend {
    /// Which motion.
    pub motion: JointMotion,
    /// How far; `None` for the end of its range, wherever that is.
    pub to: Option<Angle>,
    /// Whether the leg carries weight meanwhile.
    pub loaded: bool,
}

impl AllowedSpace {
    /// Reasons that close every movement, without those about weight on a leg: what closes a task that is
    /// done sitting or lying.
    #[must_use]
    pub fn closed_but_for_weight(&self) -> Vec<Refusal> {
        let weight: Vec<Refusal> =
            Side::BOTH.into_iter().filter_map(|side| self.weight.get(side).closes_everything(side)).collect();
        self.closed.iter().filter(|refusal| !weight.contains(refusal)).cloned().collect()
    }

    /// Why this leg may not carry whatever the task brings; `None` only where no limit of weight is ordered.
    #[must_use]
    pub fn why_weight_shut(&self, side: Side, what: &str) -> Option<Refusal> {
        let weight = self.weight.get(side);
        if weight.grade == Grade::Whole {
            return None;
        }
        weight.closes_everything(side).or_else(|| {
            // The words of a movement that puts everything on the leg, with the task in its place.
            let stands =
                MovementSpec::bare(Family::Reach, side.other(), Bearing::ALL[0], Crossing::None, Length::ZERO);
            let first = weight.screen(side, &stands).into_iter().next()?;
            let share = weight.cap();
            let reason = format!(
                "{} is closed: the {side} leg may carry {share} of body weight, and nobody can say how much this brings on it.",
                words::sentence(what)
            );
            Some(Refusal { reason, ..first })
        })
    }

    /// Every limit of a joint that a task would pass. Limits that speak about certain movements only are
    /// left to those movements; one that holds while another joint bends is taken to hold.
    #[must_use]
    pub fn why_bend_shut(&self, what: &str, side: Side, bend: Bend) -> Vec<Refusal> {
        let trunk = bend.motion.coordinate.joint() == Joint::Lumbar;
        self.limits
            .iter()
            .filter(|limit| limit.motion == bend.motion && (trunk || limit.side == side))
            .filter(|limit| limit.about == Scope::default() && (bend.loaded || !limit.loaded))
            .filter(|limit| bend.to.is_none_or(|to| to.in_rad() > limit.threshold().in_rad() + 1e-9))
            .map(|limit| limit.refuse_task(what, bend))
            .collect()
    }

    /// What the angles of a computed movement break, told even where gate A refused the movement before.
    #[must_use]
    pub fn angle_refusals(&self, motion: &Motion) -> Vec<Refusal> {
        let prints: Vec<Print> = far_prints(motion, motion.spec.mover, &self.body).collect();
        self.refuse_angles(motion, &prints, &mut Vec::new())
    }

    /// The limits that hold on one joint of one side today, each as a phrase such as
    /// `right knee flexion at most 90° (ordered by …)`.
    #[must_use]
    pub fn limits_on(&self, side: Side, joint: Joint) -> Vec<String> {
        let mut out: Vec<String> = self
            .limits
            .iter()
            .filter(|limit| limit.side == side && limit.motion.coordinate.joint() == joint)
            .filter(|limit| limit.about == Scope::default())
            .map(|limit| {
                format!("{side} {} at most {} ({}; {})", limit.motion, limit.at_most, limit.words, limit.rule)
            })
            .collect();
        out.dedup();
        out
    }
}

impl ActiveLimit {
    fn refuse_task(&self, what: &str, bend: Bend) -> Refusal {
        let joint = if self.motion.coordinate.joint() == Joint::Lumbar {
            self.motion.to_string()
        } else {
            format!("{} {}", self.side, self.motion)
        };
        let margin = Angle::deg((self.at_most.in_deg() - self.threshold().in_deg()).abs());
        let goes = match bend.to {
            Some(to) => format!("{joint} to about {to}"),
            None => format!("{joint} to the end of its range"),
        };
        let mut reason = format!(
            "{} is closed: it takes {goes}; the limit is {} and the margin {margin}; {}",
            words::sentence(what),
            self.at_most,
            self.words
        );
        if let Some(until) = self.end.until {
            reason.push_str(&format!(", until {}", words::day(until)));
        }
        reason.push('.');
        Refusal {
            rule: self.rule.clone(),
            layer: self.layer,
            blocked: Blocked::JointAngle {
                side: self.side,
                motion: self.motion,
                computed: bend.to.unwrap_or(self.at_most),
                limit: self.at_most,
                margin,
            },
            reason,
            source: self.source.clone(),
            until: self.end.until,
            opens_when: self.end.opens_when.clone(),
        }
    }
}
