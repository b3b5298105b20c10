//! Arrow 6, gate B: what can only be said once the posture was computed.

use anatomy::{Coordinate, Joint, JointMotion, Side};
use biomech::{Demands, JointMoments, KeyFrame, Motion, Phase, Turn};
use jiff::civil::Date;
use movement::{Family, MovementSpec, Support};
use quantity::{Angle, Share};
use serde::Serialize;

use crate::floor::{Print, far_prints, hands_short_by};
use crate::limits::{ActiveLimit, ActivePose, is_at_neutral};
use crate::rules::spec_name;
use crate::tables::{margins, weight_bearing};
use crate::words;
use crate::{AllowedSpace, Blocked, Layer, Note, NoteKind, PermittedMovement, Refusal, ScreenedMovement};

/// One computed joint angle against one limit: what `explain` prints line by line.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AngleCheck {
    /// The rule.
    pub rule: String,
    /// Which leg.
    pub side: Side,
    /// Which motion.
    pub motion: JointMotion,
    /// The worst computed angle in the direction of the motion.
    pub computed: Angle,
    /// In which moment it was found.
    pub phase: Phase,
    /// Which way the body faced.
    pub turn: Turn,
    /// Whether it is the angle between trunk and thigh, which was the larger one.
    pub trunk_to_thigh: bool,
    /// The limit.
    pub limit: Angle,
    /// The angle above which it is blocked.
    pub blocked_above: Angle,
    /// For a standing leg: the adduction that standing on it needs by itself.
    pub reference: Option<Angle>,
}

impl AngleCheck {
    /// Whether the angle stays below the threshold.
    #[must_use]
    pub fn passes(&self) -> bool {
        self.computed.in_rad() <= self.blocked_above.in_rad() + 1e-9
    }
}

/// A motion with its side, which the trunk does not have.
fn limb_motion(side: Side, motion: JointMotion) -> String {
    if motion.coordinate.joint() == Joint::Lumbar { motion.to_string() } else { format!("{side} {motion}") }
}

/// The angle of one motion; hip flexion is the larger of pelvis to thigh and trunk to thigh.
fn angle_in(frame: &KeyFrame, side: Side, motion: JointMotion) -> (Angle, bool) {
    let pelvis = frame.posture.excursion(side, motion);
    if motion == Coordinate::HipFlexion.positive() {
        let trunk = frame.posture.trunk_to_thigh(side);
        if trunk.in_rad() > pelvis.in_rad() {
            return (trunk, true);
        }
    }
    (pelvis, false)
}

/// The adduction of a standing leg that single support needs by itself.
fn single_support_reference(motion: &Motion, side: Side, what: JointMotion) -> Option<Angle> {
    if motion.spec.family == Family::BendAndReach
        || motion.spec.stance() != side
        || what != Coordinate::HipAdduction.positive()
    {
        return None;
    }
    motion.of_phase(Phase::SingleSupport).map(|f| f.posture.excursion(side, what)).reduce(Angle::max)
}

impl ActiveLimit {
    /// The worst frame against this limit; `None` when no frame is under it. A leg that carries
    /// everything may adduct as far as standing on it alone needs; one that shares the weight may not.
    fn check(&self, motion: &Motion) -> Option<AngleCheck> {
        let reference = single_support_reference(motion, self.side, self.motion);
        let own = self.threshold();
        let tolerance = Angle::deg(margins().angle.at_neutral_deg);
        motion
            .frames
            .iter()
            .filter(|frame| !self.loaded || frame.load_share.get(self.side).in_one() > margins().loaded.share)
            .filter(|frame| {
                self.condition.is_none_or(|(other, above)| {
                    angle_in(frame, self.side, other).0.in_rad() > above.in_rad()
                })
            })
            .map(|frame| {
                let (computed, trunk_to_thigh) = angle_in(frame, self.side, self.motion);
                let alone = frame.load_share.get(self.side).in_one() >= margins().single_support.share;
                let reference = reference.filter(|_| alone);
                let blocked_above =
                    reference.map_or(own, |r| own.max(Angle::deg(r.in_deg() + tolerance.in_deg())));
                AngleCheck {
                    rule: self.rule.clone(),
                    side: self.side,
                    motion: self.motion,
                    computed,
                    phase: frame.phase,
                    turn: frame.turn,
                    trunk_to_thigh,
                    limit: self.at_most,
                    blocked_above,
                    reference,
                }
            })
            .max_by(|a, b| {
                let over = |c: &AngleCheck| c.computed.in_rad() - c.blocked_above.in_rad();
                over(a).total_cmp(&over(b))
            })
    }

    fn refusal(&self, spec: &MovementSpec, check: &AngleCheck) -> Refusal {
        let margin = Angle::deg((self.at_most.in_deg() - check.blocked_above.in_deg()).abs());
        Refusal {
            rule: self.rule.clone(),
            layer: self.layer,
            blocked: Blocked::JointAngle {
                side: self.side,
                motion: self.motion,
                computed: check.computed,
                limit: self.at_most,
                margin,
            },
            reason: self.reason(spec, &self.what_was_computed(check)),
            source: self.source.clone(),
            until: self.end.until,
            opens_when: self.end.opens_when.clone(),
        }
    }

    fn what_was_computed(&self, check: &AngleCheck) -> String {
        let joint = limb_motion(self.side, self.motion);
        let measured = if check.trunk_to_thigh { ", measured between trunk and thigh," } else { "" };
        let reference = check
            .reference
            .filter(|r| r.in_deg() > 0.0)
            .map(|r| format!(", where standing on that leg by itself needs {r}"))
            .unwrap_or_default();
        if !is_at_neutral(self.at_most) {
            return format!(
                "{joint}{measured} would reach {}; the limit is {} and the margin for the model's error {}",
                check.computed,
                self.at_most,
                Angle::deg(self.at_most.in_deg() - check.blocked_above.in_deg())
            );
        }
        let line = if self.motion == Coordinate::HipAdduction.positive() { "the midline" } else { "neutral" };
        let left = Angle::deg(margins().angle.at_neutral_deg);
        format!(
            "{joint} would pass {line} by {}{reference}; {left} is left for the model's error",
            check.computed
        )
    }

    fn reason(&self, spec: &MovementSpec, what: &str) -> String {
        let name = words::sentence(&spec_name(spec));
        let mut reason = format!("{name} at {} is closed: {what}; {}", spec.distance, self.words);
        if let Some(until) = self.end.until {
            reason.push_str(&format!(", until {}", words::day(until)));
        }
        reason.push('.');
        reason
    }

    /// The moving foot's inner edge past the line straight ahead, where this limit asks for it.
    fn floor_line(&self, motion: &Motion, prints: &[Print]) -> Option<Refusal> {
        let spec = &motion.spec;
        if !self.floor_line || spec.family == Family::BendAndReach {
            return None;
        }
        let edge = prints.iter().map(|p| p.inner_edge(spec.mover)).reduce(f64::min)?;
        if edge >= 0.0 {
            return None;
        }
        let what = format!(
            "the {} foot's inner edge would pass the line straight ahead by {:.0} cm, which takes the {} hip across",
            spec.mover,
            -edge * 100.0,
            self.side
        );
        Some(Refusal {
            rule: self.rule.clone(),
            layer: self.layer,
            blocked: Blocked::Direction,
            reason: self.reason(spec, &what),
            source: self.source.clone(),
            until: self.end.until,
            opens_when: self.end.opens_when.clone(),
        })
    }
}

impl ActivePose {
    fn refuse(&self, motion: &Motion) -> Option<Refusal> {
        // By how much the part that is nearest to its bound lies past it; the worst frame is told.
        let past = |frame: &KeyFrame| {
            self.parts
                .iter()
                .map(|part| angle_in(frame, self.side, part.motion).0.in_deg() - part.above_deg)
                .fold(f64::INFINITY, f64::min)
        };
        let worst = motion
            .frames
            .iter()
            .filter(|frame| !self.loaded || frame.load_share.get(self.side).in_one() > margins().loaded.share)
            .filter(|frame| past(frame) > 0.0)
            .max_by(|a, b| past(a).total_cmp(&past(b)))?;
        let computed: Vec<String> = self
            .parts
            .iter()
            .map(|part| {
                format!(
                    "{} {} (closed above {})",
                    limb_motion(self.side, part.motion),
                    angle_in(worst, self.side, part.motion).0,
                    Angle::deg(part.above_deg)
                )
            })
            .collect();
        let mut reason = format!(
            "{} at {} is closed: {}: {}",
            words::sentence(&spec_name(&motion.spec)),
            motion.spec.distance,
            self.words,
            words::list(&computed)
        );
        if let Some(until) = self.end.until {
            reason.push_str(&format!(", until {}", words::day(until)));
        }
        reason.push('.');
        Some(Refusal {
            rule: self.rule.clone(),
            layer: Layer::DefaultPreset,
            blocked: Blocked::Direction,
            reason,
            source: self.source.clone(),
            until: self.end.until,
            opens_when: self.end.opens_when.clone(),
        })
    }
}

impl AllowedSpace {
    /// Every joint-angle limit that speaks about this movement, with the worst computed angle.
    #[must_use]
    pub fn angle_checks(&self, motion: &Motion) -> Vec<AngleCheck> {
        self.limits
            .iter()
            .filter(|l| l.about.includes(&motion.spec, l.legs, &self.body))
            .filter_map(|l| l.check(motion))
            .collect()
    }

    /// Gate B: joint angles over every frame and both turns, weight on each leg, balance, hands.
    ///
    /// # Errors
    /// Every reason that closes the movement, never an empty list.
    pub fn permit(
        &self,
        screened: ScreenedMovement,
        motion: &Motion,
        _moments: &JointMoments,
        demands: &Demands,
        today: Date,
    ) -> Result<PermittedMovement, Vec<Refusal>> {
        let ScreenedMovement { spec, level, on, mut notes } = screened;
        let mut refusals = Vec::new();
        if today != self.on || on != self.on || motion.spec != spec || motion.frames.is_empty() {
            refusals.push(Refusal {
                rule: "STALE".to_owned(),
                layer: Layer::DefaultPreset,
                blocked: Blocked::NotAssessed { finding: "this movement today".to_owned() },
                reason: format!(
                    "{} was screened for {} and computed for another day or movement.",
                    words::sentence(&spec_name(&spec)),
                    words::day(on)
                ),
                source: "own".to_owned(),
                until: None,
                opens_when: "the same movement is screened and computed again today".to_owned(),
            });
            return Err(refusals);
        }
        let prints: Vec<Print> = far_prints(motion, spec.mover, &self.body).collect();
        refusals.extend(self.refuse_angles(motion, &prints, &mut notes));
        notes.extend(self.only_turned(motion));
        self.check_weight(motion, &mut refusals, &mut notes);
        self.check_impact(motion, &mut refusals, &mut notes);
        refusals.extend(check_balance(motion));
        refusals.extend(self.check_support(motion, &prints));
        if !refusals.is_empty() {
            return Err(refusals);
        }
        notes.extend(self.notes.iter().cloned());
        Ok(PermittedMovement {
            spec,
            motion: motion.clone(),
            demands: demands.clone(),
            level,
            valid_on: today,
            notes,
        })
    }

    /// Whether gate B may find something else against this movement in another space, whatever its posture: then the
    /// rules by which only this one may. `None` where both find the same. Of two spaces of the same person and day.
    #[must_use]
    pub fn judges_otherwise(&self, other: &Self, spec: &MovementSpec) -> Option<Vec<&str>> {
        let only_here = self.may_find_beyond(other, spec);
        let otherwise = !only_here.is_empty() || !other.may_find_beyond(self, spec).is_empty();
        otherwise.then_some(only_here)
    }

    /// The rules of limits, poses and impacts that the other has not; and of weight, where a leg may carry something
    /// else and not all of it in both.
    fn may_find_beyond(&self, other: &Self, spec: &MovementSpec) -> Vec<&str> {
        let whole = Share::of_one(1.0);
        let carries_the_same = |side| {
            let (one, two) = (self.weight.get(side), other.weight.get(side));
            one == two || (one.cap() == whole && two.cap() == whole)
        };
        let weight = (!Side::BOTH.into_iter().all(carries_the_same)).then_some("WB-LOAD");
        let limits = self.limits.iter().filter(|one| !other.limits.contains(one));
        let limits = limits.filter(|one| one.about.includes(spec, one.legs, &self.body)).map(|one| &one.rule);
        let poses = self.poses.iter().filter(|one| !other.poses.contains(one)).map(|one| &one.rule);
        let impacts = self.impacts.iter().filter(|one| !other.impacts.contains(one)).map(|one| &one.rule);
        weight.into_iter().chain(limits.chain(poses).chain(impacts).map(String::as_str)).collect()
    }

    /// Every limit and pose that the angles of a motion break; what comes close to one is noted.
    pub(crate) fn refuse_angles(
        &self,
        motion: &Motion,
        prints: &[Print],
        notes: &mut Vec<Note>,
    ) -> Vec<Refusal> {
        let spec = &motion.spec;
        let mut refusals = Vec::new();
        for limit in self.limits.iter().filter(|l| l.about.includes(spec, l.legs, &self.body)) {
            if let Some(check) = limit.check(motion) {
                if check.passes() {
                    notes.extend(close_to(limit, &check));
                } else {
                    refusals.push(limit.refusal(spec, &check));
                }
            }
            refusals.extend(limit.floor_line(motion, prints));
        }
        refusals.extend(self.poses.iter().filter_map(|pose| pose.refuse(motion)));
        refusals
    }

    /// Limits at neutral are judged by the worse of two postures; where only one exists that is told.
    fn only_turned(&self, motion: &Motion) -> Option<Note> {
        let judged = self.limits.iter().any(|limit| is_at_neutral(limit.at_most));
        if !judged || motion.of_phase(Phase::Far).any(|frame| frame.turn == Turn::Square) {
            return None;
        }
        Some(Note {
            kind: NoteKind::Estimate,
            rule: "TURN".to_owned(),
            words: "No posture with the pelvis square to the front exists for this movement: only the turned one was checked."
                .to_owned(),
            source: "own".to_owned(),
        })
    }

    fn check_weight(&self, motion: &Motion, refusals: &mut Vec<Refusal>, notes: &mut Vec<Note>) {
        for side in Side::BOTH {
            let worst = motion.frames.iter().map(|f| *f.load_share.get(side)).fold(Share::ZERO, Share::max);
            match self.weight.get(side).check(side, &motion.spec, worst) {
                Ok(share) if share.in_one() > 0.0 => notes.push(Note {
                    kind: NoteKind::HandsCarry { share },
                    rule: "WB-PARTIAL".to_owned(),
                    words: format!(
                        "Both hands must carry {share} of body weight while the {side} leg is loaded."
                    ),
                    source: weight_bearing().hands.source.clone(),
                }),
                Ok(_) => {}
                Err(refusal) => refusals.push(*refusal),
            }
        }
    }

    fn check_support(&self, motion: &Motion, prints: &[Print]) -> Option<Refusal> {
        let spec = &motion.spec;
        let place = spec.place.as_ref()?;
        let refusal = |reason: String, opens_when: &str| Some(Refusal::of_support(reason, opens_when));
        let name = words::sentence(&spec_name(spec));
        if spec.family != Family::BendAndReach && prints.iter().any(|print| print.enters(place)) {
            return refusal(
                format!(
                    "{name} at {} would put the foot where the {} stands.",
                    spec.distance,
                    place.kind.name()
                ),
                "the movement is shorter, or the support stands elsewhere",
            );
        }
        if let Some(kind) = motion.barred_by {
            return refusal(
                format!(
                    "{name} at {} would take the foot through the {} on its way.",
                    spec.distance,
                    kind.name()
                ),
                "the movement is shorter, or the support stands elsewhere",
            );
        }
        let short = hands_short_by(motion, place, spec.support, &self.body);
        if short > 0.0 {
            return refusal(
                format!(
                    "{name} at {}: the hands would miss the {} by {:.0} cm.",
                    spec.distance,
                    place.kind.name(),
                    (short * 100.0).ceil()
                ),
                "the movement is shorter, or the support stands nearer",
            );
        }
        None
    }
}

fn close_to(limit: &ActiveLimit, check: &AngleCheck) -> Option<Note> {
    let near = check.computed.in_deg() > limit.at_most.in_deg() - margins().angle.close_to_neutral_deg;
    if !is_at_neutral(limit.at_most) || !near {
        return None;
    }
    let reference = check
        .reference
        .filter(|r| r.in_deg() > 0.0)
        .map(|r| format!("; standing on that leg by itself needs {r}"))
        .unwrap_or_default();
    Some(Note {
        kind: NoteKind::CloseToLimit {
            side: limit.side,
            motion: limit.motion,
            computed: check.computed,
            limit: limit.at_most,
        },
        rule: limit.rule.clone(),
        words: format!(
            "Close to the limit: {} computed at {}, limit {}{reference}.",
            limb_motion(limit.side, limit.motion),
            check.computed,
            limit.at_most
        ),
        source: limit.source.clone(),
    })
}

fn check_balance(motion: &Motion) -> Option<Refusal> {
    let needed = &margins().balance_cm;
    let needed_cm = match motion.spec.support {
        Support::None => needed.none,
        Support::Fingertip => needed.fingertip,
        Support::OneHand => needed.one_hand,
        Support::BothHands => needed.both_hands,
    };
    let margin_cm = motion.least_balance().in_cm();
    if margin_cm >= needed_cm - needed.solved_to {
        return None;
    }
    Some(Refusal {
        rule: "BALANCE".to_owned(),
        layer: Layer::DefaultPreset,
        blocked: Blocked::Balance { margin_cm, needed_cm },
        reason: format!(
            "{} at {} leaves {:.1} cm between the centre of mass and the edge of the feet; {needed_cm:.1} cm is the least.",
            words::sentence(&spec_name(&motion.spec)),
            motion.spec.distance,
            // A hair outside is no reason to print a negative nothing.
            if margin_cm > -needed.solved_to { margin_cm.max(0.0) } else { margin_cm },
        ),
        source: "own".to_owned(),
        until: None,
        opens_when: "the movement is shorter, or more is held".to_owned(),
    })
}
