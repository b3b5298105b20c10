//! The programme as the page carries it: JSON of version 1.

use anatomy::Side;
use biomech::Motion;
use jiff::civil::Date;
use movement::{ArmTask, Family, Load, Place, StanceFoot, SupportKind};
use person::Person;
use programme::Days;
use serde_json::{Value, json};

use super::file::mark;
use super::{PageOrder, PageSettings};
use crate::language::Units;
use crate::make::ExerciseFacts;

/// What is practised, without words, drawings or anything about the clinic.
pub(super) fn of(
    exercises: &[ExerciseFacts<'_>],
    (from, until): (Date, Date),
    person: &Person,
    settings: &PageSettings,
) -> Value {
    let per_day = exercises.iter().map(|e| e.dose.per_day).max().unwrap_or(1);
    let arms: Vec<bool> = exercises.iter().map(|facts| facts.arms() != ArmTask::Free).collect();
    let exercises: Vec<Value> = exercises.iter().map(|facts| exercise(facts, settings)).collect();
    let lang = settings.language.code();
    let units = match settings.units {
        Units::Metric => "metric",
        Units::Imperial => "imperial",
    };
    let practised = json!({
        "v": 1, "from": from, "until": until, "aDay": per_day, "lang": lang, "units": units,
        "exercises": exercises,
    });
    let first_name = person.name.split_whitespace().next().unwrap_or_default();
    let mut out = json!({
        "v": 1, "mark": mark(&practised), "from": from, "until": until, "aDay": per_day, "lang": lang,
        "units": units, "person": first_name, "general": false, "exercises": practised["exercises"],
    });
    // Beside the mark: what arms do makes no other programme of it, but decides whether an address can tell it.
    for (e, _) in arms.iter().enumerate().filter(|(_, has)| **has) {
        out["exercises"][e]["arms"] = json!(true);
    }
    out
}

fn exercise(facts: &ExerciseFacts<'_>, settings: &PageSettings) -> Value {
    let (order, seed) = match settings.order {
        PageOrder::Round => ("round", 0),
        PageOrder::Reverse => ("reverse", 0),
        PageOrder::Called { seed } => ("called", seed),
    };
    let mut out = json!({
        "family": facts.family,
        "order": order,
        "seed": seed,
        "rounds": facts.dose.rounds,
        "reps": facts.dose.repetitions,
        "outS": facts.tempo.out.in_s(),
        "holdS": facts.tempo.hold.in_s(),
        "backS": facts.tempo.back.in_s(),
        "restS": facts.dose.rest.in_s(),
        "support": facts.support,
        "load": load(facts.load),
        "days": match facts.days {
            Days::Every => "daily",
            Days::Alternate => "alternate",
            Days::TwoOrThreeApart => "3_week",
        },
        "limbs": facts.limbs.iter().filter(|(_, motions)| !motions.is_empty()).map(|(mover, motions)| json!({
            "mover": mover,
            "cells": motions.iter().map(|motion| cell(*mover, motion, facts)).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
    });
    if let Some(place) = &facts.place {
        out["spot"] = spot(place);
    }
    if let Some(depth) = facts.depth {
        out["depthCm"] = json!(whole(depth.in_cm()));
    }
    if let Some(height) = facts.hand_height {
        out["hand"] = json!(height.name());
    }
    out
}

fn cell(mover: Side, motion: &Motion, facts: &ExerciseFacts<'_>) -> Value {
    let spec = &motion.spec;
    let mut out = json!({
        "bearing": spec.bearing,
        "crossing": spec.crossing,
        // Never further than was permitted.
        "cm": whole(spec.distance.in_cm()),
        "yaw": motion.shown().posture.foot_yaw(mover).in_deg().round(),
    });
    if spec.crosses() && spec.family != Family::BendAndReach {
        out["pivot"] = json!(spec.stance_foot == StanceFoot::Pivoting);
    }
    if let Some((_, slow)) = facts.slower.iter().find(|(slower, _)| *slower == spec) {
        out["outS"] = json!(slow.out.in_s());
        out["backS"] = json!(slow.back.in_s());
    }
    out
}

/// Whole centimetres, rounded down.
fn whole(cm: f64) -> f64 {
    (cm + 1e-6).floor()
}

fn load(load: Load) -> Value {
    // Rounded down, as on the sheet: what is told is never more than what both gates passed.
    let kg = |mass: f64| mass.mul_add(10.0, 1e-6).floor() / 10.0;
    match load {
        Load::None => json!({ "kind": "none", "kg": 0.0 }),
        Load::HandWeights { each } => json!({ "kind": "hand_weights", "kg": kg(each.in_kg()) }),
        Load::InBothHands { mass } => json!({ "kind": "in_both_hands", "kg": kg(mass.in_kg()) }),
        Load::OnTrunk { mass } => json!({ "kind": "on_trunk", "kg": kg(mass.in_kg()) }),
    }
}

/// Where the support stands, centimetres: front from and to, right from and to.
fn spot(place: &Place) -> Value {
    let cm = |metres: f64| (metres * 100.0).round();
    json!({
        "kind": match place.kind {
            SupportKind::Bench => "bench",
            SupportKind::WalkingFrame => "walking_frame",
            SupportKind::ChairBack => "chair_back",
        },
        "front": [cm(place.front_from), cm(place.front_to)],
        "right": [cm(place.right_from), cm(place.right_to)],
    })
}
