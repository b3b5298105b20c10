//! Invented programmes and invented logs: by chance, and as a person might fill them.

// Each test uses some of it.
#![allow(dead_code)]

use exchange::programme::{
    Carried, Days, Exercise, Hold, Language, Limb, Load, Order, Programme, Spot, Target, Units,
};
use exchange::{Known, Mark};
use jiff::ToSpan;
use jiff::civil::date;
use movement::{Bearing, Crossing, Family, HandHeight, SupportKind};
use progress::{Done, Morning, Rung, Session, StopSign};

/// Chance that is the same every time: SplitMix64 (Steele, Lea, Flood 2014; from memory).
pub struct Chance(pub u64);

impl Chance {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ z >> 30).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ z >> 27).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ z >> 31
    }

    pub fn below(&mut self, most: u64) -> u64 {
        self.next() % most
    }

    pub fn of_256(&mut self, share: u64) -> bool {
        self.below(256) < share
    }

    pub fn small(&mut self, most: u64) -> u8 {
        u8::try_from(self.below(most)).expect("small")
    }
}

pub fn bearings(of: &[u16]) -> Vec<Bearing> {
    of.iter().map(|degrees| Bearing::try_from(*degrees).expect("one of the eight")).collect()
}

/// A programme of these families, each with these directions on each of these limbs.
pub fn programme(mark: &str, families: &[Family], limbs: &[anatomy::Side], of: &[u16]) -> Programme {
    let exercise = |(at, family): (usize, &Family)| Exercise {
        family: *family,
        order: [Order::Round, Order::Called, Order::Reverse][at % 3],
        seed: 7 + 70_000 * u32::try_from(at).expect("small"),
        rounds: 2,
        reps: 1 + u8::try_from(at).expect("small"),
        out_s: 2.0,
        hold_s: 1.5,
        back_s: 2.0,
        rest_s: 20.0,
        support: [Hold::OneHand, Hold::Frame, Hold::None][at % 3],
        load: Load {
            kind: if at == 2 { Carried::OnTrunk } else { Carried::None },
            kg: if at == 2 { 2.5 } else { 0.0 },
        },
        days: [Days::Daily, Days::Alternate, Days::ThreeAWeek][at % 3],
        depth_cm: (*family == Family::Lunge).then_some(12.0),
        hand: (*family == Family::BendAndReach).then_some(HandHeight::Knee),
        spot: (at != 2).then_some(Spot {
            kind: SupportKind::Bench,
            front: [30.0, 90.0],
            right: [-60.0, 60.0],
        }),
        arms: false,
        limbs: limbs
            .iter()
            .map(|mover| Limb {
                mover: *mover,
                cells: bearings(of)
                    .into_iter()
                    .map(|bearing| Target {
                        bearing,
                        crossing: family.ways(bearing, *mover).first().copied().unwrap_or(Crossing::None),
                        cm: 20.0 + f64::from(bearing.degrees()) / 45.0 * 2.5,
                        yaw: Some(f64::from(bearing.side_sign()) * 20.0),
                        pivot: (bearing.side_sign() != 0).then_some(at == 0),
                        out_s: (bearing.degrees() == 180).then_some(3.5),
                        back_s: (bearing.degrees() == 180).then_some(4.0),
                    })
                    .collect(),
            })
            .collect(),
    };
    Programme {
        v: 1,
        mark: Mark::parse(mark).expect("sixteen digits"),
        from: date(2026, 11, 30),
        until: date(2027, 1, 10),
        a_day: 2,
        lang: Language::En,
        units: Units::Metric,
        person: String::new(),
        general: true,
        minutes: Some(5),
        exercises: families.iter().enumerate().map(exercise).collect(),
    }
}

pub const EIGHT: [u16; 8] = [0, 45, 90, 135, 180, 225, 270, 315];

/// Three exercises in eight directions on both limbs: 48 directions, 1,344 in fourteen days of two sessions.
pub fn largest() -> Programme {
    programme("0123456789abcdef", &[Family::Step, Family::Reach, Family::Lunge], &anatomy::Side::BOTH, &EIGHT)
}

/// Ten directions: five on each limb of one exercise.
pub fn usual() -> Programme {
    programme("fedcba9876543210", &[Family::Step], &anatomy::Side::BOTH, &[0, 45, 90, 180, 270])
}

/// A log in which anything may stand.
pub fn by_chance(of: &Programme, days: i32, a_day: u8, chance: &mut Chance) -> Vec<Session> {
    let prescription = of.prescription();
    let mut all = Vec::new();
    for day in 0..days {
        for nth in 1..=a_day {
            let score = |chance: &mut Chance| Some(chance.small(12)).filter(|pain| *pain < 11);
            let cells = prescription
                .cells
                .iter()
                .map(|cell| match chance.below(49) {
                    0 => (*cell, Done::NotDone),
                    _ => (*cell, Done::Done { pain: score(chance), rung: rung(chance.below(4)) }),
                })
                .collect();
            all.push(Session {
                on: of.from + day.days(),
                nth,
                pain_before: score(chance),
                cells,
                stopped: stop(chance.below(7)),
                effort: score(chance),
                morning: match chance.below(4) {
                    0 => None,
                    1 => Some(Morning::Better),
                    2 => Some(Morning::Same),
                    _ => Some(Morning::Worse(score(chance))),
                },
            });
        }
    }
    all
}

fn rung(of: u64) -> Rung {
    [Rung::Whole, Rung::Shortened, Rung::Supported, Rung::LeftOut][usize::try_from(of).expect("small")]
}

fn stop(of: u64) -> Option<StopSign> {
    [
        None,
        Some(StopSign::PainStays),
        Some(StopSign::Swelling),
        Some(StopSign::Unsteady),
        Some(StopSign::Unwell),
        Some(StopSign::SeenToday),
        Some(StopSign::Emergency),
    ][usize::try_from(of).expect("small")]
}

/// A log as a person might fill it: four sessions in five are done, now and then one ends early; one direction in five is
/// tender and hurts more often than not, the others seldom; pain shortens, supports and leaves out for the rest of
/// the session; the morning is asked three times in four.
pub fn simulated(of: &Programme, days: i32, chance: &mut Chance) -> Vec<Session> {
    let prescription = of.prescription();
    let tender: Vec<u8> =
        prescription.cells.iter().map(|_| if chance.of_256(51) { 2 + chance.small(3) } else { 0 }).collect();
    let mut all = Vec::new();
    for day in 0..days {
        for nth in 1..=of.a_day {
            if chance.of_256(51) {
                continue;
            }
            let calm = u8::from(day < 7 && chance.of_256(128)) + 1;
            let ends =
                if chance.of_256(20) { chance.below(prescription.cells.len() as u64) } else { u64::MAX };
            let mut hurts = 0_u8;
            let cells = prescription
                .cells
                .iter()
                .zip(&tender)
                .zip(0_u64..)
                .map(|((cell, tender), at)| {
                    if at >= ends {
                        return (*cell, Done::NotDone);
                    }
                    let hurt = chance.of_256(if *tender > 0 { 150 } else { 8 });
                    if !hurt {
                        return (*cell, Done::Done { pain: Some(0), rung: Rung::Whole });
                    }
                    hurts += 1;
                    let pain = (tender + chance.small(3)).clamp(1, 10);
                    let rung = match chance.below(8) {
                        0 if pain > 3 => Rung::LeftOut,
                        0 | 1 => Rung::Supported,
                        2..=5 => Rung::Shortened,
                        _ => Rung::Whole,
                    };
                    (*cell, Done::Done { pain: Some(pain).filter(|_| !chance.of_256(10)), rung })
                })
                .collect();
            all.push(Session {
                on: of.from + day.days(),
                nth,
                pain_before: Some(calm + chance.small(2)),
                cells,
                stopped: if ends < u64::MAX && chance.of_256(100) { stop(1 + chance.below(4)) } else { None },
                effort: Some(3 + chance.small(3)).filter(|_| !chance.of_256(30)),
                morning: match chance.below(4) {
                    0 => None,
                    1 if hurts > 2 => Some(Morning::Worse(Some(1 + chance.small(3)))),
                    1 => Some(Morning::Better),
                    _ => Some(Morning::Same),
                },
            });
        }
    }
    all
}

/// A programme of which nothing is stored.
pub fn known(of: &Programme) -> Known {
    Known { mark: of.mark, prescription: of.prescription(), stored: Vec::new(), replaced: false }
}

/// What became of each direction, as two letters each: pain (0 to 9, `T` for ten, `?` without number) and rung
/// (`w`, `s`, `p`, `l`), or `--` for not done.
fn letters(session: &Session) -> String {
    let each = session.cells.iter().map(|(_, done)| match done {
        Done::NotDone => "--".to_owned(),
        Done::Done { pain, rung } => {
            let pain = match pain {
                None => "?".to_owned(),
                Some(10) => "T".to_owned(),
                Some(pain) => pain.to_string(),
            };
            let rung = match rung {
                Rung::Whole => 'w',
                Rung::Shortened => 's',
                Rung::Supported => 'p',
                Rung::LeftOut => 'l',
            };
            format!("{pain}{rung}")
        }
    });
    each.collect::<Vec<_>>().join(" ")
}

/// Programmes, logs and their codes, for everybody who writes the same codes in another language.
pub fn vectors() -> String {
    let mut all: Vec<serde_json::Value> = Vec::new();
    let mut add = |name: &str, of: &Programme, log: &[Session]| {
        let code = exchange::log::encode(of.mark, &of.prescription(), log).expect("a log of this programme");
        let sessions: Vec<serde_json::Value> = log
            .iter()
            .map(|one| {
                serde_json::json!({
                    "on": one.on, "nth": one.nth, "pain_before": one.pain_before, "cells": letters(one),
                    "stopped": one.stopped, "effort": one.effort, "morning": one.morning,
                })
            })
            .collect();
        all.push(serde_json::json!({
            "name": name,
            "programme": of,
            "fragment": exchange::fragment::write(of).expect("it has room"),
            "sessions": sessions,
            "log": code.text,
            "carried": code.sessions,
            "typed": exchange::typed::encode(of.mark, &of.prescription(), log).expect("a log"),
        }));
    };
    let (usual, largest) = (usual(), largest());
    let all_families = programme(
        "00ff00ff00ff00ff",
        &[Family::BendAndReach, Family::Hop, Family::Leap],
        &anatomy::Side::BOTH[1..],
        &[0, 90, 225],
    );
    add("nothing logged", &usual, &[]);
    add("one day", &usual, &simulated(&usual, 1, &mut Chance(50)));
    for seed in 51..54 {
        add("fourteen days, ten directions", &usual, &simulated(&usual, 14, &mut Chance(seed)));
    }
    for seed in 54..57 {
        add("fourteen days, 48 directions", &largest, &simulated(&largest, 14, &mut Chance(seed)));
    }
    add("by chance, fourteen days, 48 directions", &largest, &by_chance(&largest, 14, 2, &mut Chance(57)));
    add("by chance, more than one code holds", &largest, &by_chance(&largest, 10, 4, &mut Chance(58)));
    add(
        "by chance, six days of a small programme",
        &all_families,
        &by_chance(&all_families, 6, 1, &mut Chance(59)),
    );
    add("six weeks, the newest fourteen days are carried", &usual, &simulated(&usual, 42, &mut Chance(60)));
    let mut late = simulated(&usual, 5, &mut Chance(61));
    late.retain(|one| one.on != usual.from && one.on < usual.from + 3.days());
    for one in &mut late {
        one.nth += 5;
        one.on += 70.days();
    }
    add("late, and more than three a day", &usual, &late);
    let lines: Vec<String> = all.iter().map(ToString::to_string).collect();
    format!("[\n{}\n]\n", lines.join(",\n"))
}
