//! The programme as it is handed over: sheet, text and JSON.

use anatomy::Side;
use document::{Edition, FloorGuide, Handout, SheetSettings, Wording, floor_guide, handout};
use jiff::civil::Date;
use movement::{Load, Support, Tempo};
use person::CaseFile;
use programme::{Days, Exercise, Proposal};
use serde_json::{Value, json};

use crate::Plan;

/// What the patient's sheet says, in English and centimetres.
#[must_use]
pub fn handout_of_plan(plan: &Plan, case: &CaseFile, today: Date) -> Handout {
    handout_in(plan, case, today, (Wording::ENGLISH, None))
}

/// What the patient's sheet says in a language and for an edition; where none is asked for, large
/// type for poor sight.
#[must_use]
pub fn handout_in(
    plan: &Plan,
    case: &CaseFile,
    today: Date,
    (wording, edition): (Wording, Option<Edition>),
) -> Handout {
    let mut settings = SheetSettings::of(case, Some(&plan.space), today, wording);
    if let Some(edition) = edition {
        settings = settings.for_edition(edition, case);
    }
    handout(&plan.programme, &case.person, &case.clinic, &settings)
}

/// How the floor of a plan is laid out at home, in a language.
#[must_use]
pub fn floor_guide_of_plan(plan: &Plan, case: &CaseFile, today: Date, wording: Wording) -> FloorGuide {
    floor_guide(&handout_in(plan, case, today, (wording, None)), wording)
}

/// The programme for the therapist, then the sheet, as text.
#[must_use]
pub fn programme_text(plan: &Plan, case: &CaseFile, sheet: &Handout) -> String {
    let p = &plan.programme;
    let mut out = format!("Programme for {}, {}\n", case.person.name, p.for_day);
    if let Some(invented) = &sheet.invented {
        out.push_str(&format!("{invented}\n"));
    }
    for why in &p.why {
        out.push_str(&format!("{why}\n"));
    }
    for (index, exercise) in p.exercises.iter().enumerate() {
        out.push_str(&format!("\n{}. {}\n", index + 1, name(exercise)));
        out.push_str(&format!("   {}\n", dose(exercise)));
        for limb in &exercise.limbs {
            for movement in &limb.movements {
                let slower = if movement.tempo() == exercise.tempo {
                    String::new()
                } else {
                    format!(", slower: {}", pace(movement.tempo()))
                };
                out.push_str(&format!("   - {}{slower}\n", movement.spec().sentence()));
            }
        }
        for trained in &exercise.trains {
            out.push_str(&format!("   trains: {trained}\n"));
        }
        out.push_str(&format!("   {}\n", exercise.why));
    }
    out.push_str("\nNotes for the therapist\n");
    for note in &p.notes {
        out.push_str(&format!("- {note}\n"));
    }
    if !p.dropped.is_empty() {
        out.push_str("\nPermitted but left out\n");
        for dropped in &p.dropped {
            out.push_str(&format!("- {}\n", dropped.reason));
        }
    }
    out.push_str(&format!("\n{}\n\n{}", "-".repeat(40), document::text(sheet)));
    out
}

fn name(exercise: &Exercise) -> String {
    let mut out = exercise.family.to_string();
    if let Some(depth) = exercise.depth {
        out.push_str(&format!(", pelvis sinks {depth}"));
    }
    if let Some(height) = exercise.hand_height {
        out.push_str(&format!(", hand to {}", height.name()));
    }
    if let Load::HandWeights { each } = exercise.load {
        out.push_str(&format!(", {each} in each hand"));
    }
    match (exercise.support, exercise.place) {
        (Support::None, _) | (_, None) => {}
        (Support::BothHands, Some(place)) => {
            out.push_str(&format!(", both hands on the {}", place.kind.name()))
        }
        (_, Some(place)) => out.push_str(&format!(", holding the {}", place.kind.name())),
    }
    out
}

fn pace(t: Tempo) -> String {
    format!("{:.0} s out, {:.0} s hold, {:.0} s back", t.out.in_s(), t.hold.in_s(), t.back.in_s())
}

fn dose(exercise: &Exercise) -> String {
    let d = exercise.dose;
    format!(
        "{} times each direction on each limb, {} {}, {} {}; {}; {:.0} s in all",
        d.repetitions,
        d.rounds,
        if d.rounds == 1 { "round" } else { "rounds" },
        d.per_day,
        match exercise.days {
            Days::Every => "a day".to_owned(),
            days => format!("a day, {days}"),
        },
        pace(exercise.tempo),
        exercise.minutes.in_s().round(),
    )
}

/// The programme and the sheet as JSON. Angles and demands are the model's estimates.
#[must_use]
pub fn programme_json(plan: &Plan, case: &CaseFile, sheet: &Handout) -> Value {
    let p = &plan.programme;
    json!({
        "format": "footrose-programme",
        "version": 1,
        "person": case.person.name,
        "invented": case.invented,
        "for_day": p.for_day,
        "use_until": p.use_until,
        "seconds": p.minutes.in_s().round(),
        "score": p.score,
        "why": p.why,
        "tasks": p.tasks,
        "notes": p.notes,
        "in_place": p.in_place,
        "proof": plan.proof,
        "trades": plan.trades,
        "wishes_to_drop": plan.conflict,
        "others": plan.others.iter().map(other_json).collect::<Vec<_>>(),
        "exercises": p.exercises.iter().map(exercise_json).collect::<Vec<_>>(),
        "left_out": p.dropped.iter().map(|d| json!({
            "movement": d.movement.sentence(),
            "reason": d.reason,
        })).collect::<Vec<_>>(),
        "sheet": document::json(sheet),
    })
}

/// A programme as it is kept when it was not chosen among proposals: the sentences of each exercise, and the JSON of
/// which doses and words are read again (`programme_again`).
#[must_use]
pub fn programme_kept(programme: &programme::Programme) -> (Vec<Vec<String>>, Value) {
    let sentences = programme
        .exercises
        .iter()
        .map(|exercise| exercise.movements().map(|one| crate::amend::sentence_kept(one.spec())).collect());
    let json = json!({
        "format": "footrose-programme",
        "version": 1,
        "for_day": programme.for_day,
        "use_until": programme.use_until,
        "seconds": programme.minutes.in_s().round(),
        "why": programme.why,
        "notes": programme.notes,
        "exercises": programme.exercises.iter().map(exercise_json).collect::<Vec<_>>(),
    });
    (sentences.collect(), json)
}

fn other_json(other: &Proposal) -> Value {
    let p = &other.programme;
    json!({
        "seconds": p.minutes.in_s().round(),
        "use_until": p.use_until,
        "score": p.score,
        "why": p.why,
        "tasks": p.tasks,
        "trades": other.trades,
        "notes": p.notes,
        "in_place": p.in_place,
        "exercises": p.exercises.iter().map(exercise_json).collect::<Vec<_>>(),
    })
}

fn exercise_json(exercise: &Exercise) -> Value {
    json!({
        "family": exercise.family,
        "name": name(exercise),
        "support": exercise.support,
        "place": exercise.place,
        "load": exercise.load,
        "depth_cm": exercise.depth.map(|d| d.in_cm().round()),
        "hand_height": exercise.hand_height,
        "dose": exercise.dose,
        "days": exercise.days,
        "tempo": exercise.tempo,
        "seconds": exercise.minutes.in_s().round(),
        "trains": exercise.trains,
        "why": exercise.why,
        "limbs": exercise.limbs.iter().map(|limb| json!({
            "mover": limb.mover,
            "movements": limb.movements.iter().map(|m| {
                let spec = m.spec();
                json!({
                    "sentence": spec.sentence(),
                    "bearing": spec.bearing,
                    "direction": spec.direction(),
                    "named_from": spec.named_from(),
                    "crossing": spec.crossing,
                    "stance_foot": spec.stance_foot,
                    "distance_cm": spec.distance.in_cm().round(),
                    "tempo": m.tempo(),
                    "level": m.permitted.level(),
                    "balance_margin_cm": (m.permitted.motion().least_balance().in_cm() * 10.0).round() / 10.0,
                    "demands": Side::BOTH.iter().flat_map(|side| {
                        m.demands().leg(*side).map(move |(motion, demand)| json!({
                            "side": side,
                            "motion": motion.key(),
                            "percent": demand.share().map(|s| s.in_percent().round()),
                        }))
                    }).collect::<Vec<_>>(),
                })
            }).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
    })
}
