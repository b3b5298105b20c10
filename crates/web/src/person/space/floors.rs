//! Two floors at one scale, with a place to point at in each direction.

use anatomy::{PerSide, Side};
use app::SpaceRow;
use biomech::Body;
use drawing::{
    Arrows, FloorInput, FloorPlace, FootPrint, Frame, Landing, Names, Ray, RayState, Rings,
    Standing as Stands, Svg,
};
use maud::{Markup, PreEscaped, html};
use movement::{Bearing, Family};
use quantity::Length;

use super::Block;
use super::reasons;
use crate::words;

/// Points; the style sheet scales the drawing to the page.
const FRAME: Frame = Frame { width: 400.0, height: 400.0, type_size: 16.0 };

pub(super) fn view(block: &Block<'_>, body: &Body, named: bool) -> Markup {
    let rows = PerSide::from_fn(|side| {
        block.rows.iter().copied().filter(|row| row.mover == side).collect::<Vec<&SpaceRow>>()
    });
    let inputs = PerSide::from_fn(|side| input(block.family, side, rows.get(side), body, named));
    let scenes = drawing::floor_pair(&inputs.left, &inputs.right, FRAME);
    let places = drawing::floor_places(&inputs.left, &inputs.right, FRAME);
    html! {
        div.limbs {
            @for (at, side) in Side::BOTH.into_iter().enumerate() {
                (limb(block.family, side, rows.get(side), &scenes[at].svg(), &places[at]))
            }
        }
    }
}

fn limb(family: Family, side: Side, rows: &[&SpaceRow], drawn: &Svg, place: &FloorPlace) -> Markup {
    let part = if family == Family::BendAndReach { "hand" } else { "leg" };
    let title = format!("{} {part} moves", words::capital(&side.to_string()));
    let inner =
        drawn.as_str().split_once('>').map_or("", |(_, rest)| rest).trim_end().trim_end_matches("</svg>");
    let open = rows.iter().filter(|row| row.to.is_some()).count();
    html! {
        figure.limb {
            figcaption { h3 { (title) } p.hint { (open) " of " (rows.len()) " may be used" } }
            svg.space-floor viewBox=(format!("0 0 {:.1} {:.1}", drawn.width(), drawn.height())) xmlns="http://www.w3.org/2000/svg"
                font-family="Atkinson Hyperlegible Next, sans-serif" role="img" aria-label=(format!("{title}: {open} of {} directions may be used; each is told in the list below.", rows.len())) {
                (PreEscaped(inner))
                @for bearing in bearings(rows) {
                    path.sector data-way=(bearing.degrees()) d=(sector(bearing, place)) {}
                }
            }
            p.said aria-live="polite" hidden {}
            @if let Some(why) = reasons::shared(rows) { p.shared { (why) } }
            (reasons::list(rows))
        }
    }
}

/// The bearings that are there, clockwise from straight ahead.
fn bearings(rows: &[&SpaceRow]) -> Vec<Bearing> {
    Bearing::ALL.into_iter().filter(|bearing| rows.iter().any(|row| row.bearing == *bearing)).collect()
}

/// Beyond the rim, so that the name of a direction can be pointed at too.
const BEYOND: f64 = 1.4;

/// An eighth of the floor around a bearing.
fn sector(bearing: Bearing, place: &FloorPlace) -> String {
    let [x, y] = place.centre;
    let radius = BEYOND * place.rim * place.scale;
    let at = |degrees: f64| {
        let (sin, cos) = degrees.to_radians().sin_cos();
        (x + radius * sin, y - radius * cos)
    };
    let middle = f64::from(bearing.degrees());
    let ((ax, ay), (bx, by)) = (at(middle - 22.5), at(middle + 22.5));
    format!("M{x:.1} {y:.1}L{ax:.1} {ay:.1}A{radius:.1} {radius:.1} 0 0 1 {bx:.1} {by:.1}Z")
}

fn input(family: Family, side: Side, rows: &[&SpaceRow], body: &Body, named: bool) -> FloorInput {
    let mut rays: Vec<Ray> = Vec::new();
    for row in rows {
        // Whole centimetres, cut off and never rounded up, as the list says them.
        let to = row.to.map(|to| Length::cm(to.in_cm().floor()));
        let state = match (row.verdict, to) {
            ("open", Some(to)) => RayState::Open(to),
            (_, Some(to)) => RayState::Limited(to),
            _ => RayState::Closed,
        };
        match rays.iter_mut().find(|ray| ray.bearing == row.bearing) {
            // In front and behind on one bearing: the further one is drawn, both stand in the list.
            Some(same) if same.state.distance() < state.distance() => same.state = state,
            Some(_) => {}
            None => rays.push(Ray {
                bearing: row.bearing,
                state,
                landing: None,
                landing_yaw_deg: 0.0,
                note: None,
            }),
        }
    }
    FloorInput {
        mover: side,
        standing: if family == Family::BendAndReach { Stands::BothFeet } else { Stands::OtherFoot },
        feet: PerSide::from_fn(|side| FootPrint {
            centre: body.start_foot_centre(side),
            yaw_deg: 0.0,
            length: body.foot_length(),
            breadth: body.foot_breadth(),
        }),
        words: drawing::FloorWords::english(),
        rays,
        landing: match family {
            Family::Reach => Landing::ToeTouch,
            Family::BendAndReach => Landing::Hand,
            _ => Landing::Foot,
        },
        rings: Rings::Every20Cm,
        ring_labels: true,
        names: if named { Names::Trade { named_from: family.named_from(side) } } else { Names::Hidden },
        arrows: Arrows::Area,
        supports: Vec::new(),
        support_names: false,
        clear_floor: Vec::new(),
    }
}
