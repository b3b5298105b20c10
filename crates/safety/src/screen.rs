//! Arrow 2, gate A: everything that can be said about a movement before its posture is computed.

use movement::{Family, MovementSpec, Support};

use crate::floor::{Print, sweeps_through};
use crate::rules::spec_name;
use crate::words;
use crate::{AllowedSpace, Blocked, Layer, Note, NoteKind, Refusal, ScreenedMovement, ladder, levels};

impl AllowedSpace {
    /// Gate A: level, direction, distance, weight bearing, pivoting, support.
    ///
    /// # Errors
    /// Every reason that closes the movement, never an empty list.
    pub fn screen(&self, spec: MovementSpec) -> Result<ScreenedMovement, Vec<Refusal>> {
        let mut refusals = self.closed.clone();
        let spec = match spec.checked() {
            Ok(spec) => spec,
            Err(error) => {
                refusals.push(Refusal {
                    rule: "MOVEMENT".to_owned(),
                    layer: Layer::DefaultPreset,
                    blocked: Blocked::Direction,
                    reason: format!("This is not one movement: {error}."),
                    source: "own".to_owned(),
                    until: None,
                    opens_when: "the movement is stated completely".to_owned(),
                });
                return Err(refusals);
            }
        };
        let level = ladder::level(&spec);
        for stance in levels::stances(&spec) {
            for refusal in levels::why_shut(self.rungs.get(stance), level) {
                if !refusals.contains(&refusal) {
                    refusals.push(refusal);
                }
            }
        }
        for side in anatomy::Side::BOTH {
            refusals.extend(self.weight.get(side).screen(side, &spec));
        }
        refusals.extend(self.rules.iter().flat_map(|rule| rule.refuse(&spec, &self.body)));
        refusals.extend(self.no_pivot.iter().filter_map(|order| order.refuse(&spec)));
        refusals.extend(self.ordered.refuse(&spec));
        refusals.extend(self.longest(&spec));
        refusals.extend(self.pain(&spec));
        refusals.extend(self.support_stands(&spec));
        if !refusals.is_empty() {
            return Err(refusals);
        }
        let mut notes: Vec<Note> = self.slower(&spec).into_iter().collect();
        if level == 2 && spec.family == Family::Reach {
            notes.push(Note {
                kind: NoteKind::Arrange,
                rule: "LADDER".to_owned(),
                words: "One hand must stay on the support all the time.".to_owned(),
                source: "own".to_owned(),
            });
        }
        Ok(ScreenedMovement { spec, level, on: self.on, notes })
    }

    /// Feet must not stand in the support or go through it; what is held must stand somewhere.
    fn support_stands(&self, spec: &MovementSpec) -> Option<Refusal> {
        let refusal = |reason: String, opens_when: &str| Some(Refusal::of_support(reason, opens_when));
        let name = words::sentence(&spec_name(spec));
        let Some(place) = &spec.place else {
            if spec.support == Support::None {
                return None;
            }
            return refusal(
                format!("{name} is held, but where the support stands was not stated."),
                "the support's kind and place are stated",
            );
        };
        let start = |side| Print::ahead(*self.body.start.get(side), &self.body);
        if anatomy::Side::BOTH.into_iter().any(|side| start(side).enters(place)) {
            return refusal(
                format!("The {} stands where a foot starts.", place.kind.name()),
                "the support stands clear of both feet",
            );
        }
        if spec.family == Family::BendAndReach {
            return None;
        }
        let target = Print::ahead(self.nominal_middle(spec), &self.body);
        if sweeps_through(*self.body.start.get(spec.mover), target, place) {
            return refusal(
                format!(
                    "{name} at {} would put the foot where the {} stands.",
                    spec.distance,
                    place.kind.name()
                ),
                "the movement is shorter, or the support stands elsewhere",
            );
        }
        None
    }

    /// Where the middle of a foot that points straight ahead would be, seen from above.
    fn nominal_middle(&self, spec: &MovementSpec) -> [f64; 2] {
        let [forward, right] = self.landing(spec);
        if spec.family == Family::Reach {
            [forward - self.body.foot_length / 2.0, right]
        } else {
            [forward, right]
        }
    }

    /// Where the moving foot or toe goes: on the bearing, or on its own lane straight ahead and back.
    fn landing(&self, spec: &MovementSpec) -> [f64; 2] {
        let (ahead, aside) = spec.bearing.forward_right();
        let d = spec.distance.in_m();
        if spec.bearing.side_sign() != 0 {
            return [d * ahead, d * aside];
        }
        let lane = self.body.start.get(spec.mover)[1];
        [ahead * (d * d - lane * lane).max(0.0).sqrt(), lane]
    }
}
