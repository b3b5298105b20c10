//! Prints what every presentation opens for a mid-sized adult at three dates, to be read by a therapist.
//!
//! `cargo run --release -p safety --example presentations [PRESENTATION]`; with `short` one line for each
//! date, as it stands in docs/PRESENTATIONS.md: each direction of each limb open, limited, only held or closed.

#[path = "../tests/people/mod.rs"]
mod people;

use std::cell::RefCell;
use std::collections::HashMap;

use anatomy::{BodySize, Sex, Side};
use biomech::{Body, Capacity, Demands, JointMoments, Motion, demands, moments, motion};
use movement::{
    AnatomicalDirection as D, Bearing, Crossing, Family, HandHeight, Landing, MovementSpec, Place, Support,
};
use people::{TODAY, all_well, hip, knee, presented};
use person::{Condition, Findings, HipApproach, Involved, Pattern, Presentation as P};
use quantity::Length;
use safety::{AllowedSpace, allowed_space};

type Computed = Option<std::rc::Rc<(Motion, JointMoments, Demands)>>;

/// Movements of one body, each computed once.
struct Engine {
    body: Body,
    capacity: Capacity,
    known: RefCell<HashMap<String, Computed>>,
}

impl Engine {
    fn of(&self, spec: &MovementSpec) -> Computed {
        let key = spec.sentence();
        if let Some(known) = self.known.borrow().get(&key) {
            return known.clone();
        }
        let computed = motion(&self.body, &self.capacity, spec).ok().map(|motion| {
            let moments = moments(&self.body, &motion);
            let demands = demands(&moments, &self.capacity);
            std::rc::Rc::new((motion, moments, demands))
        });
        self.known.borrow_mut().insert(key, computed.clone());
        computed
    }

    /// How far it goes and what stops it: `45` open to there, `45<RULE` limited, `x RULE` closed.
    fn cell(&self, space: &AllowedSpace, spec: &MovementSpec) -> (Option<f64>, String) {
        let leg = self.body.leg_length(spec.mover);
        // A lunge of a given depth bends the knee less the longer it is: as far as the survey tries.
        let tried = if spec.family == Family::Lunge { 70 } else { 40 };
        let mut to: Option<f64> = None;
        let mut by = String::new();
        for percent in (20..=110).step_by(10) {
            let spec = spec.at(leg.times(f64::from(percent) / 100.0));
            let refusals = match (space.screen(spec.clone()), self.of(&spec)) {
                (Err(refusals), _) => refusals,
                (Ok(_), None) => {
                    if to.is_none() && percent < tried {
                        continue;
                    }
                    break;
                }
                (Ok(screened), Some(computed)) => {
                    let (motion, moments, demands) = computed.as_ref();
                    match space.permit(screened, motion, moments, demands, TODAY) {
                        Ok(_) => {
                            to = Some(spec.distance.in_cm());
                            continue;
                        }
                        Err(refusals) => refusals,
                    }
                }
            };
            let mut names: Vec<&str> = refusals.iter().map(|r| r.rule.as_str()).collect();
            names.dedup();
            names.truncate(2);
            by = names.join("+");
            if to.is_some() || percent >= tried {
                break;
            }
        }
        let told = match to {
            Some(cm) if by.is_empty() => format!("{cm:.0}"),
            Some(cm) => format!("{cm:.0}<{by}"),
            None if by.is_empty() => "x body".to_owned(),
            None => format!("x {by}"),
        };
        (to, told)
    }
}

fn spec(family: Family, mover: Side, direction: D, hand: HandHeight) -> MovementSpec {
    let bearing = Bearing::of(direction, mover);
    MovementSpec {
        depth: (family == Family::Lunge).then(|| Length::cm(10.0)),
        hand_height: (family == Family::BendAndReach).then_some(hand),
        landing: family.is_airborne().then_some(Landing::Held),
        ..MovementSpec::bare(
            family,
            mover,
            bearing,
            family.ways(bearing, mover).first().copied().unwrap_or(Crossing::None),
            Length::cm(30.0),
        )
    }
}

/// Rules that bound everybody: what stops at them is called open.
const OF_EVERYBODY: [&str; 4] = ["LONG-STEP", "LAND-SHORT", "BALANCE", "SUPPORT"];

/// One line: for each family the eight directions of the left limb and of the right.
fn print_short(engine: &Engine, size: &BodySize, title: &str, findings: &Findings) {
    let space = allowed_space(findings, &engine.body, TODAY);
    let letter = |spec: &MovementSpec| {
        let told = |spec: &MovementSpec| {
            let (to, told) = engine.cell(&space, spec);
            to.map(|_| {
                told.split_once('<').is_none_or(|(_, by)| by.split('+').all(|r| OF_EVERYBODY.contains(&r)))
            })
        };
        match told(spec) {
            Some(true) => 'O',
            Some(false) => 'l',
            None if spec.family.is_airborne() => '-',
            None => {
                let place = Place::usual(movement::SupportKind::WalkingFrame, size.stature())[0];
                let bends = spec.family == Family::BendAndReach;
                let support = if bends { Support::OneHand } else { Support::BothHands };
                match told(&MovementSpec { support, place: Some(place), ..spec.clone() }) {
                    Some(_) => 'h',
                    None => '-',
                }
            }
        }
    };
    let families = [
        (Family::Reach, HandHeight::Knee),
        (Family::Step, HandHeight::Knee),
        (Family::Lunge, HandHeight::Knee),
        (Family::BendAndReach, HandHeight::Thigh),
        (Family::BendAndReach, HandHeight::Ankle),
        (Family::TwoFootJump, HandHeight::Knee),
        (Family::Leap, HandHeight::Knee),
        (Family::Hop, HandHeight::Knee),
    ];
    let cells: Vec<String> = families
        .into_iter()
        .map(|(family, hand)| {
            let movers: &[Side] = if family == Family::TwoFootJump { &[Side::Right] } else { &Side::BOTH };
            let limbs: Vec<String> = movers
                .iter()
                .map(|mover| D::ALL.map(|d| letter(&spec(family, *mover, d, hand))).iter().collect())
                .collect();
            let all: String = limbs.join(" ");
            if all.chars().all(|c| c == '-' || c == ' ') { "-".to_owned() } else { format!("`{all}`") }
        })
        .collect();
    println!("| {title} | {} | {} |", space.open_level(Side::Right), cells.join(" | "));
}

fn print(engine: &Engine, size: &BodySize, title: &str, findings: &Findings) {
    let space = allowed_space(findings, &engine.body, TODAY);
    println!(
        "\n## {title}: levels open standing left {}, right {}",
        space.open_level(Side::Left),
        space.open_level(Side::Right)
    );
    println!("| | {} |", D::ALL.map(|d| d.name().to_owned()).join(" | "));
    println!("|---|{}", "---|".repeat(D::ALL.len()));
    let families = [
        (Family::Reach, HandHeight::Knee),
        (Family::Step, HandHeight::Knee),
        (Family::Lunge, HandHeight::Knee),
        (Family::BendAndReach, HandHeight::Knee),
        (Family::BendAndReach, HandHeight::Ankle),
        (Family::TwoFootJump, HandHeight::Knee),
        (Family::Leap, HandHeight::Knee),
        (Family::Hop, HandHeight::Knee),
    ];
    for (family, hand) in families {
        for mover in Side::BOTH {
            if family == Family::TwoFootJump && mover == Side::Left {
                continue;
            }
            let cells: Vec<String> = D::ALL
                .into_iter()
                .map(|direction| {
                    let free = spec(family, mover, direction, hand);
                    let (to, told) = engine.cell(&space, &free);
                    if to.is_some() || family.is_airborne() {
                        return told;
                    }
                    let place = Place::usual(movement::SupportKind::WalkingFrame, size.stature())[0];
                    // A hand that goes out cannot hold.
                    let bends = family == Family::BendAndReach;
                    let support = if bends { Support::OneHand } else { Support::BothHands };
                    let held = MovementSpec { support, place: Some(place), ..free };
                    let (held_to, with_hands) = engine.cell(&space, &held);
                    if held_to.is_none() && bends {
                        return told;
                    }
                    format!("{with_hands} h")
                })
                .collect();
            // A whole line that is closed by one reason is told once.
            let line = if cells.iter().all(|c| c == &cells[0]) && cells[0].starts_with('x') {
                format!("all {}", cells[0])
            } else {
                cells.join(" | ")
            };
            let hand =
                if family == Family::BendAndReach { format!(" to {}", hand.name()) } else { String::new() };
            println!("| {mover} {family}{hand} | {line} |");
        }
    }
}

fn main() {
    let size = people::size(Sex::Female, 168.0, 68.0);
    let engine = Engine {
        body: Body::of(&size),
        capacity: Capacity::of(&size, &[]),
        known: RefCell::new(HashMap::new()),
    };
    let asked = std::env::args().nth(1).unwrap_or_default();
    let short = asked == "short";
    let only = if short { String::new() } else { asked };
    if short {
        println!(
            "| presentation | level | reach | step | lunge | bend to thigh | bend to ankle | two-foot jump | leap | hop |"
        );
        println!("|---|---|---|---|---|---|---|---|---|---|");
    }
    let right = Involved::Right;
    let one = |p, pattern, weeks: i64, confirmed: &[u8]| {
        let side = if P::has_side(p) { right } else { Involved::General };
        presented(p, side, pattern, weeks, confirmed)
    };
    let posterior = Some(HipApproach::Posterior);
    let stages: Vec<(&str, [(&str, Condition); 3])> = vec![
        (
            "hip_replacement posterior",
            [
                ("week 1", hip(right, posterior, 1, &[])),
                ("week 4, phase 2", hip(right, posterior, 4, &[2])),
                ("week 8, phase 3", hip(right, posterior, 8, &[3])),
            ],
        ),
        (
            "hip_replacement anterior",
            [
                ("week 1", hip(right, Some(HipApproach::Anterior), 1, &[])),
                ("week 4, phase 2", hip(right, Some(HipApproach::Anterior), 4, &[2])),
                ("week 8, phase 3", hip(right, Some(HipApproach::Anterior), 8, &[3])),
            ],
        ),
        (
            "hip_replacement lateral",
            [
                ("week 1", hip(right, Some(HipApproach::Lateral), 1, &[])),
                ("week 4, phase 2", hip(right, Some(HipApproach::Lateral), 4, &[2])),
                ("week 8, phase 3", hip(right, Some(HipApproach::Lateral), 8, &[3])),
            ],
        ),
        (
            "knee_replacement",
            [
                ("week 1", knee(right, 1, &[])),
                ("week 4, phase 2", knee(right, 4, &[2])),
                ("week 8, phase 3", knee(right, 8, &[3])),
            ],
        ),
        (
            "hip_osteoarthritis",
            [
                ("first visit", one(P::HipOsteoarthritis, None, 0, &[])),
                ("week 6, phase 2", one(P::HipOsteoarthritis, None, 6, &[2])),
                ("week 12, phase 3", one(P::HipOsteoarthritis, None, 12, &[3])),
            ],
        ),
        (
            "knee_osteoarthritis",
            [
                ("first visit", knee_oa(&[])),
                ("week 6, phase 2", knee_oa(&[2])),
                ("week 12, phase 3", knee_oa(&[3])),
            ],
        ),
        (
            "patellofemoral_pain",
            [
                ("first visit", one(P::PatellofemoralPain, None, 0, &[])),
                ("phase 2", one(P::PatellofemoralPain, None, 4, &[2])),
                ("phase 3", one(P::PatellofemoralPain, None, 10, &[3])),
            ],
        ),
        (
            "acl_reconstruction",
            [
                ("week 3", one(P::AclReconstruction, Some(Pattern::HamstringGraft), 3, &[])),
                ("week 9, phase 3", one(P::AclReconstruction, Some(Pattern::HamstringGraft), 9, &[3])),
                ("week 22, phase 5", one(P::AclReconstruction, Some(Pattern::HamstringGraft), 22, &[5])),
            ],
        ),
        (
            "acl_without_operation",
            [
                ("first visit", one(P::AclWithoutOperation, None, 0, &[])),
                ("phase 3", one(P::AclWithoutOperation, None, 0, &[3])),
                ("phase 5", one(P::AclWithoutOperation, None, 0, &[5])),
            ],
        ),
        (
            "meniscus_repair radial",
            [
                ("week 3", one(P::MeniscusRepair, Some(Pattern::RadialRootOrComplex), 3, &[])),
                ("week 8, phase 2", one(P::MeniscusRepair, Some(Pattern::RadialRootOrComplex), 8, &[2])),
                ("week 18, phase 3", one(P::MeniscusRepair, Some(Pattern::RadialRootOrComplex), 18, &[3])),
            ],
        ),
        (
            "meniscus_repair vertical",
            [
                ("week 3", one(P::MeniscusRepair, Some(Pattern::Vertical), 3, &[])),
                ("week 8, phase 2", one(P::MeniscusRepair, Some(Pattern::Vertical), 8, &[2])),
                ("week 27, phase 4", one(P::MeniscusRepair, Some(Pattern::Vertical), 27, &[4])),
            ],
        ),
        (
            "ankle_sprain",
            [
                ("day 4", one(P::AnkleSprain, Some(Pattern::FirstSprain), 0, &[])),
                ("week 2, phase 2", one(P::AnkleSprain, Some(Pattern::FirstSprain), 2, &[2])),
                ("week 4, phase 3", one(P::AnkleSprain, Some(Pattern::FirstSprain), 4, &[3])),
            ],
        ),
        (
            "achilles_tendinopathy",
            [
                ("mid-portion", one(P::AchillesTendinopathy, Some(Pattern::MidPortion), 0, &[])),
                ("insertional", one(P::AchillesTendinopathy, Some(Pattern::Insertional), 0, &[])),
                ("insertional, phase 2", one(P::AchillesTendinopathy, Some(Pattern::Insertional), 0, &[2])),
            ],
        ),
        (
            "achilles_repair",
            [
                ("week 5", one(P::AchillesRepair, None, 5, &[])),
                ("week 9, phase 3", one(P::AchillesRepair, None, 9, &[3])),
                ("week 13, phase 4", one(P::AchillesRepair, None, 13, &[4])),
            ],
        ),
        (
            "low_back_pain",
            [
                ("nothing provokes", one(P::LowBackPain, None, 0, &[])),
                ("bending provokes", one(P::LowBackPain, None, 0, &[])),
                ("phase 2", one(P::LowBackPain, None, 0, &[2])),
            ],
        ),
        (
            "gluteal_tendinopathy",
            [
                ("first visit", one(P::GlutealTendinopathy, None, 0, &[])),
                ("week 6", one(P::GlutealTendinopathy, None, 6, &[])),
                ("phase 2", one(P::GlutealTendinopathy, None, 12, &[2])),
            ],
        ),
        (
            "falls_risk",
            [
                ("balance enough", people::falls_risk()),
                ("with a frame", people::falls_risk()),
                ("balance not measured", people::falls_risk()),
            ],
        ),
        (
            "healthy_athlete",
            [
                ("everything tested", one(P::HealthyAthlete, None, 0, &[])),
                ("brittle bones", one(P::HealthyAthlete, None, 0, &[])),
                ("other conditions not asked", one(P::HealthyAthlete, None, 0, &[])),
            ],
        ),
    ];
    for (name, three) in stages.into_iter().filter(|(name, _)| name.starts_with(&only)) {
        if !short {
            println!("\n# {name}");
        }
        for (stage, condition) in three {
            let mut findings = all_well(vec![condition]);
            findings.single_leg_stance = anatomy::PerSide::from_fn(|_| people::found(35.0));
            let left = Side::Left;
            match stage {
                "bending provokes" => {
                    findings.answers.set(person::Answer::BackFlexionProvokes, left, people::found(1.0));
                    findings.answers.set(person::Answer::BackExtensionProvokes, left, people::found(1.0));
                }
                "with a frame" => findings.aid = people::found(person::Aid::WalkingFrame),
                "balance not measured" => findings.tandem_stance = person::Finding::NotAssessed,
                "brittle bones" => {
                    findings.other_conditions = people::found(vec![person::Comorbidity::Osteoporosis]);
                    findings.answers.set(person::Answer::BoneSpecialistPlan, left, people::found(0.0));
                }
                "other conditions not asked" => findings.other_conditions = person::Finding::NotAssessed,
                _ => {}
            }
            if short {
                print_short(&engine, &size, &format!("{name}, {stage}"), &findings);
            } else {
                print(&engine, &size, stage, &findings);
            }
        }
    }
}

fn knee_oa(confirmed: &[u8]) -> Condition {
    Condition::KneeOsteoarthritis {
        involved: Involved::Right,
        medial_or_varus_thrust: people::found(true),
        confirmed: confirmed.iter().map(|phase| people::confirmation(*phase)).collect(),
    }
}
