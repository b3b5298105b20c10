//! The floor of one limb of one exercise, large, seen from above and behind, with what moves along it.

use anatomy::PerSide;
use app::PersonToday;
use drawing::{Arrows, FloorInput, FootPrint, Frame, Landing, Names, Ray, RayState, Rings, Standing};
use maud::{Markup, PreEscaped, html};
use movement::{Crossing, Family};
use programme::{Exercise, LimbPart};

/// Points; the style sheet scales the drawing to the page.
const FRAME: Frame = Frame { width: 420.0, height: 440.0, type_size: 16.0 };

/// The drawing, with each way out for the module that paces.
pub(super) fn view(person: &PersonToday<'_>, exercise: &Exercise, limb: &LimbPart) -> Markup {
    let input = input(person, exercise, limb);
    let drawn = drawing::floor(&input, FRAME).svg();
    let place = drawing::floor_place(&input, FRAME);
    let inner =
        drawn.as_str().split_once('>').map_or("", |(_, rest)| rest).trim_end().trim_end_matches("</svg>");
    let ways: Vec<serde_json::Value> = limb
        .movements
        .iter()
        .map(|one| {
            let (spec, tempo) = (one.spec(), one.tempo());
            let [forward, right] = biomech::landing_point(&person.body, spec);
            let key = match spec.crossing {
                Crossing::None => "",
                Crossing::InFront => "f",
                Crossing::Behind => "h",
            };
            serde_json::json!({
                "way": format!("{}{key}", spec.bearing.degrees()),
                "words": spec.bearing.plain_words(),
                "x": place.centre[0] + right * place.scale,
                "y": place.centre[1] - forward * place.scale,
                "out": tempo.out.in_s(),
                "hold": tempo.hold.in_s(),
                "back": tempo.back.in_s(),
                "settle": tempo.settle.in_s(),
            })
        })
        .collect();
    let ways = serde_json::Value::from(ways).to_string();
    html! {
        svg.teaching viewBox=(format!("0 0 {:.1} {:.1}", drawn.width(), drawn.height())) xmlns="http://www.w3.org/2000/svg"
            font-family="Atkinson Hyperlegible Next, sans-serif" role="img" aria-label=(words(exercise, limb))
            data-x=(format!("{:.2}", place.centre[0])) data-y=(format!("{:.2}", place.centre[1]))
            data-repetitions=(exercise.dose.repetitions) data-ways=(ways) {
            (PreEscaped(inner))
            circle.mover cx=(format!("{:.2}", place.centre[0])) cy=(format!("{:.2}", place.centre[1])) r="11" visibility="hidden" {}
        }
    }
}

fn words(exercise: &Exercise, limb: &LimbPart) -> String {
    let all: Vec<String> = limb
        .movements
        .iter()
        .map(|one| format!("{} {:.0} cm", one.spec().bearing.plain_words(), one.spec().distance.in_cm()))
        .collect();
    format!("The floor, {} {}: {}", limb.mover, exercise.family, all.join(", "))
}

fn input(person: &PersonToday<'_>, exercise: &Exercise, limb: &LimbPart) -> FloorInput {
    let body = &person.body;
    let mut rays: Vec<Ray> = Vec::new();
    for one in &limb.movements {
        let spec = one.spec();
        let note = match spec.crossing {
            Crossing::None => None,
            Crossing::InFront => Some("in front"),
            Crossing::Behind => Some("behind"),
        };
        match rays.iter_mut().find(|ray| ray.bearing == spec.bearing) {
            // In front and behind on one bearing: the shorter distance is drawn, both are tapped.
            Some(same) => {
                same.note = Some("in front,\nbehind".to_owned());
                let shorter = same.state.distance().map_or(spec.distance, |far| far.min(spec.distance));
                same.state = RayState::Open(shorter);
            }
            None => rays.push(Ray {
                bearing: spec.bearing,
                state: RayState::Open(spec.distance),
                landing: Some(biomech::landing_point(body, spec)),
                landing_yaw_deg: one.permitted.motion().shown().posture.foot_yaw(limb.mover).in_deg(),
                note: note.map(str::to_owned),
            }),
        }
    }
    FloorInput {
        mover: limb.mover,
        standing: if exercise.family == Family::BendAndReach {
            Standing::BothFeet
        } else {
            Standing::OtherFoot
        },
        feet: PerSide::from_fn(|side| FootPrint {
            centre: body.start_foot_centre(side),
            yaw_deg: 0.0,
            length: body.foot_length(),
            breadth: body.foot_breadth(),
        }),
        words: drawing::FloorWords::english(),
        rays,
        landing: match exercise.family {
            Family::Reach => Landing::ToeTouch,
            Family::BendAndReach => Landing::Hand,
            _ => Landing::Foot,
        },
        rings: Rings::Every20Cm,
        ring_labels: true,
        names: Names::Floor,
        arrows: Arrows::OutAndBack,
        supports: exercise.place.into_iter().collect(),
        support_names: true,
        clear_floor: Vec::new(),
    }
}
