//! Invented people and exercises whose postures the engine computes.
#![allow(dead_code)] // Each test file uses its own part.

use anatomy::{BodySize, PerSide, Sex, Side};
use biomech::{Body, Capacity, Motion, motion};
use document::{ClosedDirection, Edition, ExerciseFacts, Handout, RuleBlock, SheetSettings, handout_of};
use jiff::civil::date;
use movement::{
    AnatomicalDirection, ArmTask, Bearing, Crossing, Dose, Family, HandHeight, Load, MovementSpec, Place,
    StanceFoot, Support, SupportKind, Tempo,
};
use person::{Clinic, Person};
use programme::Days;
use quantity::{Length, Mass, Span};

/// An invented person; the body is an average one.
pub fn person(name: &str) -> Person {
    let body =
        BodySize::new(Length::cm(172.0), Mass::kg(78.0), Sex::Male, 71, PerSide { left: None, right: None })
            .expect("measurements fit");
    Person {
        name: name.to_owned(),
        about: "invented".to_owned(),
        body,
        sight: person::Sight::default(),
        hearing: person::Hearing::default(),
        interpreter: None,
    }
}

pub fn frame() -> Place {
    Place {
        kind: SupportKind::WalkingFrame,
        front_from: 0.15,
        front_to: 0.60,
        right_from: -0.32,
        right_to: 0.32,
        hand_height: Length::cm(84.0),
    }
}

pub fn bench() -> Place {
    Place {
        kind: SupportKind::Bench,
        front_from: 0.45,
        front_to: 1.05,
        right_from: -0.9,
        right_to: 0.9,
        hand_height: Length::cm(90.0),
    }
}

/// One exercise in named directions, the same for both limbs.
#[derive(Clone)]
pub struct Plan {
    pub family: Family,
    pub ways: Vec<(AnatomicalDirection, f64)>,
    pub limbs: Vec<Side>,
    pub support: Support,
    pub place: Option<Place>,
    pub rounds: u8,
    pub days: Days,
    pub arms: ArmTask,
}

impl Plan {
    pub fn of(family: Family, ways: &[(AnatomicalDirection, f64)]) -> Self {
        Self {
            family,
            ways: ways.to_vec(),
            limbs: Side::BOTH.to_vec(),
            support: Support::None,
            place: None,
            rounds: 2,
            days: Days::Every,
            arms: ArmTask::Free,
        }
    }

    fn depth(&self) -> Option<Length> {
        (self.family == Family::Lunge).then(|| Length::cm(12.0))
    }

    fn hand_height(&self) -> Option<HandHeight> {
        (self.family == Family::BendAndReach).then_some(HandHeight::Knee)
    }

    /// The movements, computed.
    pub fn motions(&self, person: &Person) -> Vec<(Side, Vec<Motion>)> {
        let body = Body::of(&person.body);
        let capacity = Capacity::of(&person.body, &[]);
        self.limbs
            .iter()
            .map(|side| {
                let motions = self
                    .ways
                    .iter()
                    .map(|(direction, cm)| {
                        let bearing = Bearing::of(*direction, *side);
                        let crossing = match self.family {
                            Family::BendAndReach => Crossing::None,
                            _ => Crossing::ways(bearing, *side)[0],
                        };
                        let spec = MovementSpec {
                            family: self.family,
                            mover: *side,
                            bearing,
                            crossing,
                            stance_foot: StanceFoot::Fixed,
                            distance: Length::cm(*cm),
                            depth: self.depth(),
                            hand_height: self.hand_height(),
                            load: Load::None,
                            support: self.support,
                            place: self.place,
                            hand_share: movement::HandShare::NotAssessed,
                            arms: self.arms,
                            landing: None,
                            rise: quantity::Length::ZERO,
                        };
                        motion(&body, &capacity, &spec).expect("the engine reaches it")
                    })
                    .collect();
                (*side, motions)
            })
            .collect()
    }
}

pub fn settings(closed: Vec<ClosedDirection>) -> SheetSettings {
    SheetSettings {
        made_on: date(2026, 11, 25),
        invented: true,
        wording: document::Wording::ENGLISH,
        edition: Edition::Standard,
        rules_beside: Vec::new(),
        rules: vec![RuleBlock {
            title: "Your RIGHT hip is new.".to_owned(),
            sentences: [
                "Do not bend the hip past a right angle.",
                "Do not cross your legs or step across your body.",
                "Do not turn your toes in.",
                "Keep these rules until your surgeon tells you to stop.",
            ]
            .map(str::to_owned)
            .to_vec(),
        }],
        read_out: false,
        sound: true,
        footwear: None,
        numb_feet: false,
        operated: true,
        new_joint: true,
        new_hip: true,
        clear_floor: vec![(Bearing::ALL[2], Length::cm(60.0))],
        closed,
        accepted_pain: None,
    }
}

pub fn closed_crossings(family: Family) -> Vec<ClosedDirection> {
    use AnatomicalDirection::{Anteromedial, Medial, Posteromedial};
    Side::BOTH
        .into_iter()
        .flat_map(|mover| {
            [Anteromedial, Medial, Posteromedial].map(|d| ClosedDirection {
                family,
                mover,
                bearing: Bearing::of(d, mover),
            })
        })
        .collect()
}

/// What is known of some plans, given to `then`.
pub fn with_facts<T>(plans: &[Plan], person: &Person, then: impl FnOnce(&[ExerciseFacts<'_>]) -> T) -> T {
    let computed: Vec<_> = plans.iter().map(|plan| plan.motions(person)).collect();
    let facts: Vec<ExerciseFacts<'_>> = plans
        .iter()
        .zip(&computed)
        .map(|(plan, limbs)| ExerciseFacts {
            family: plan.family,
            support: plan.support,
            place: plan.place,
            load: Load::None,
            depth: plan.depth(),
            hand_height: plan.hand_height(),
            limbs: limbs.iter().map(|(side, motions)| (*side, motions.iter().collect())).collect(),
            dose: Dose { repetitions: 2, rounds: plan.rounds, rest: Span::s(30.0), per_day: 2 },
            tempo: Tempo { out: Span::s(2.0), hold: Span::s(1.0), back: Span::s(2.0), settle: Span::s(1.0) },
            slower: Vec::new(),
            minutes: Span::s(90.0),
            days: plan.days,
            why: "Control going sideways.",
        })
        .collect();
    then(&facts)
}

/// The sheet of some plans.
pub fn sheet(plans: &[Plan], person: &Person, clinic: &Clinic, settings: &SheetSettings) -> Handout {
    with_facts(plans, person, |facts| {
        handout_of(facts, (Span::s(250.0), date(2026, 12, 9)), person, clinic, settings)
    })
}

/// Three exercises, as large as a sheet gets.
pub fn three_exercises() -> Vec<Plan> {
    use AnatomicalDirection::{Anterior, Anterolateral, Lateral, Posterior, Posterolateral};
    let five =
        [(Anterior, 34.0), (Anterolateral, 34.0), (Lateral, 36.0), (Posterolateral, 26.0), (Posterior, 24.0)];
    let mut step = Plan::of(Family::Step, &five);
    step.support = Support::BothHands;
    step.place = Some(frame());
    let reach = Plan::of(Family::Reach, &[(Anterior, 40.0), (Lateral, 45.0)]);
    let mut bend = Plan::of(Family::BendAndReach, &[(Anterolateral, 45.0)]);
    bend.rounds = 1;
    vec![step, reach, bend]
}
