//! How each of the twelve behaves: stated in words, then as a rule of what hurts, how often and how hard.

use anatomy::{Coordinate, Side};
use biomech::Motion;
use movement::{AnatomicalDirection, Family, MovementSpec};
use progress::{Morning, StopSign};

/// A place in the story: week from 1, day of the week from 0.
#[derive(Clone, Copy)]
pub(crate) struct When {
    pub(crate) week: usize,
    pub(crate) day: usize,
}

type Pain = fn(When, &MovementSpec, &Motion) -> u8;

/// One invented behaviour.
pub(crate) struct Life {
    /// Which of the invented people, from 0.
    pub(crate) person: usize,
    /// The behaviour, as a sentence.
    pub(crate) behaves: &'static str,
    /// Whether this day is practised.
    pub(crate) practises: fn(When) -> bool,
    /// Pain of 10 in a movement as it is prescribed that week.
    pub(crate) pain: Pain,
    /// Effort of 10.
    pub(crate) effort: fn(When) -> u8,
    /// The morning after.
    pub(crate) morning: fn(When) -> Morning,
    /// A sign that ends the session.
    pub(crate) stops: fn(When) -> Option<StopSign>,
    /// Knee swelling found at the visit that ends a week: side and grade.
    pub(crate) swelling: fn(usize) -> Option<(Side, u8)>,
    /// What is found otherwise from this visit on, as lines of the case: what stands there, and what takes its place.
    pub(crate) finds: fn(usize) -> &'static [(&'static str, &'static str)],
    /// Why the therapist declines a step up at the end of a week.
    pub(crate) declines: fn(usize) -> Option<&'static str>,
    /// Whether the therapist offers again what was left out.
    pub(crate) offers: fn(usize) -> bool,
    /// Whether the therapist lifts a step back in level at the end of a week, before its last day.
    pub(crate) lifts: fn(usize) -> bool,
    /// The exercise that the therapist takes out by hand at the end of a week.
    pub(crate) takes_out: fn(usize) -> Option<Family>,
    /// Pain that the therapist accepts from the start.
    pub(crate) monitored: Option<u8>,
}

/// Nothing special: practises six days of seven, no pain, moderate effort.
fn plain(person: usize, behaves: &'static str) -> Life {
    Life {
        person,
        behaves,
        practises: |when| when.day != 6,
        pain: |_, _, _| 0,
        effort: |_| 4,
        morning: |_| Morning::Same,
        stops: |_| None,
        swelling: |_| None,
        finds: |_| &[],
        declines: |_| None,
        offers: |_| false,
        lifts: |_| false,
        takes_out: |_| None,
        monitored: None,
    }
}

fn deepest(motion: &Motion, side: Side, coordinate: Coordinate) -> f64 {
    let of = |frame: &biomech::KeyFrame| frame.posture.excursion(side, coordinate.positive()).in_deg();
    motion.frames.iter().map(of).fold(0.0, f64::max)
}

fn goes(spec: &MovementSpec, mover: Side, direction: AnatomicalDirection) -> bool {
    spec.mover == mover && spec.direction() == direction
}

pub(crate) fn lives() -> Vec<Life> {
    vec![
        Life {
            morning: |when| if when.week > 2 { Morning::Better } else { Morning::Same },
            finds: |week| match week {
                1 => &[],
                _ => &[
                    ("aid = \"walking_frame\"", "aid = \"one_stick\""),
                    (
                        "kind = \"hip_replacement\"",
                        "kind = \"hip_replacement\"\nconfirmed = [{ phase = 2, by = \"Tarn, physiotherapist\", on = 2026-02-16 }]",
                    ),
                ],
            },
            ..plain(
                0,
                "Improves steadily: six days of seven, never any pain; after the second week he walks with one stick and the therapist confirms the second phase.",
            )
        },
        Life { practises: |when| when.day == 3, ..plain(1, "Practises once a week, without pain.") },
        Life {
            pain: |when, spec, _| {
                if when.day == 4 && spec.family == Family::Reach && spec.distance.in_cm() > 57.0 {
                    3
                } else {
                    0
                }
            },
            ..plain(2, "The knee hurts (3) once a week wherever the foot reaches past 57 cm.")
        },
        Life {
            effort: |when| if when.week <= 2 { 7 } else { 5 },
            practises: |_| true,
            ..plain(3, "Too keen: every day, effort 7 for two weeks, then 5 after a word about it. No pain.")
        },
        Life {
            pain: |when, _, motion| {
                let ankle = deepest(motion, Side::Left, Coordinate::AnkleDorsiflexion);
                if when.day == 2 && ankle > 15.0 { 2 } else { 0 }
            },
            ..plain(
                4,
                "The left ankle hurts (2) on one day a week in every direction in which it bends past 15°.",
            )
        },
        Life {
            pain: |when, spec, _| {
                if when.week == 2 && (2..5).contains(&when.day) && spec.family == Family::BendAndReach {
                    5
                } else {
                    0
                }
            },
            morning: |when| {
                if when.week == 2 && (2..5).contains(&when.day) {
                    Morning::Worse(Some(3))
                } else {
                    Morning::Same
                }
            },
            practises: |when| !(when.week == 2 && when.day == 5) && when.day != 6,
            lifts: |week| week == 4,
            ..plain(
                5,
                "A flare in the second week: bending hurts (5) on three days and the mornings after are worse by 3; then quiet. After the fourth week the therapist lifts the step back in level.",
            )
        },
        Life {
            monitored: Some(4),
            pain: |when, spec, _| {
                if spec.mover == Side::Left && spec.family == Family::Reach {
                    [1, 2, 2, 4, 5, 2][when.week - 1]
                } else {
                    0
                }
            },
            ..plain(
                6,
                "Pain is monitored up to 4: the standing tendon hurts 1, 2, 2, 4, 5 and 2 in the six weeks, settled every morning.",
            )
        },
        Life {
            declines: |week| {
                (week <= 3)
                    .then_some("she is afraid of it; first the same once more, with a clear landing in sight")
            },
            ..plain(7, "No pain at all, and afraid: the therapist declines every step up for three weeks.")
        },
        Life {
            stops: |when| match (when.week, when.day) {
                (2, 4) => Some(StopSign::Unsteady),
                (4, 2) => Some(StopSign::SeenToday),
                _ => None,
            },
            ..plain(
                8,
                "Wobbles more than twice in the second week, and ticks a sign to be seen the same day (a fall) in the fourth.",
            )
        },
        Life {
            swelling: |week| match week {
                1 | 3 | 4 => Some((Side::Right, 3)),
                _ => Some((Side::Right, 1)),
            },
            stops: |when| (when.week == 4 && when.day == 5).then_some(StopSign::Swelling),
            ..plain(9, "The operated knee is found two plus swollen after weeks 1, 3 and 4; never any pain.")
        },
        Life {
            practises: |when| !(when.week == 2 && when.day > 1 || when.week == 3) && when.day != 6,
            finds: |week| match week {
                1..4 => &[],
                _ => &[
                    (
                        "single_leg_stance_fingertip = { left = \"9 s\"",
                        "surgeon_review = true\nsingle_leg_stance_fingertip = { left = \"16 s\"",
                    ),
                    (
                        "on = 2026-01-26 }]",
                        "on = 2026-01-26 }, { phase = 3, by = \"Tarn, physiotherapist\", on = 2026-03-11 }]",
                    ),
                ],
            },
            ..plain(
                10,
                "No log for twelve days from the second week on, then as before; after the fourth the surgeon has reviewed the hip, he stands 16 s on it, and the therapist confirms the third phase.",
            )
        },
        Life {
            pain: |when, spec, _| {
                let there =
                    goes(spec, Side::Left, AnatomicalDirection::Anterior) && spec.family == Family::Step;
                let from = [60.0, 45.0, 28.0].get(when.week - 1).copied().unwrap_or(f64::INFINITY);
                if there && when.day == 3 && spec.distance.in_cm() > from { 3 } else { 0 }
            },
            takes_out: |week| (week == 3).then_some(Family::Reach),
            offers: |week| week == 4,
            ..plain(
                11,
                "One direction hurts (3) once in each of the first three weeks, beyond 60, 45 and 28 cm; after the third the therapist takes the reaches out by hand, after the fourth the direction is offered again.",
            )
        },
    ]
}
