//! The floor as input: where a tap or a drag says where to and how far, with a handle for keys.

use anatomy::{PerSide, Side};
use app::{PersonToday, SpaceRow, SpaceTable};
use drawing::{Arrows, FloorInput, FootPrint, Frame, Landing, Names, Ray, RayState, Rings, Standing};
use maud::{Markup, PreEscaped, html};
use movement::{Bearing, Family};
use quantity::Length;

use super::wanted::{LONGEST, SHORTEST, Wanted};

/// Points; the style sheet scales the drawing to the page.
const FRAME: Frame = Frame { width: 400.0, height: 400.0, type_size: 13.0 };
/// Radius of what a finger touches, as a share of the width of the drawing.
const TOUCH: f64 = 0.085;
/// The hand has at least so much room to go out, metres.
const ROOM: f64 = 0.4;

/// The floor of the chosen limb and family: the permitted area, the handle at the chosen distance.
pub(super) fn view(
    wanted: &Wanted,
    person: &PersonToday<'_>,
    space: Option<&SpaceTable>,
    base: &str,
) -> Markup {
    let rows = rows(wanted, space);
    let input = input(wanted, person, &rows);
    let drawn = drawing::floor(&input, FRAME).svg();
    let place = drawing::floor_place(&input, FRAME);
    let inner =
        drawn.as_str().split_once('>').map_or("", |(_, rest)| rest).trim_end().trim_end_matches("</svg>");
    let point = |bearing: Bearing, metres: f64| {
        let (forward, right) = bearing.forward_right();
        [place.centre[0] + right * metres * place.scale, place.centre[1] - forward * metres * place.scale]
    };
    let named_from = wanted.family.named_from(wanted.mover);
    let far = point(wanted.to, wanted.cm / 100.0);
    // The hand may go further than the area: the page is as wide as it needs.
    let room = place.rim.max(ROOM).max(wanted.cm / 100.0 + 0.1) * place.scale;
    let [x, y] = place.centre;
    let (left, top) = ((x - room).min(0.0), (y - room).min(0.0));
    let (width, height) = ((x + room).max(drawn.width()) - left, (y + room).max(drawn.height()) - top);
    let touch = format!("{:.1}", width.max(height) * TOUCH);
    html! {
        svg id="floor" viewBox=(format!("{left:.1} {top:.1} {width:.1} {height:.1}")) xmlns="http://www.w3.org/2000/svg"
            font-family="Atkinson Hyperlegible Next, sans-serif"
            data-x=(format!("{:.2}", place.centre[0])) data-y=(format!("{:.2}", place.centre[1]))
            data-scale=(format!("{:.3}", place.scale)) data-to=(wanted.to.degrees()) {
            g aria-hidden="true" { (PreEscaped(inner)) }
            @for bearing in Bearing::ALL {
                @if bearing != wanted.to {
                    @let there = Wanted { to: bearing, ..wanted.clone() };
                    @let [x, y] = point(bearing, place.rim * 0.82);
                    a.way href=(format!("{base}?{}", there.query())) data-to=(bearing.degrees())
                        aria-label=(format!("Go {}, {}", bearing.plain_words(), bearing.named_from(named_from))) {
                        circle cx=(format!("{x:.1}")) cy=(format!("{y:.1}")) r=(touch) fill="transparent" {}
                        circle.dot cx=(format!("{x:.1}")) cy=(format!("{y:.1}")) r="4" {}
                    }
                }
            }
            line.way-out x1=(format!("{:.1}", place.centre[0])) y1=(format!("{:.1}", place.centre[1]))
                x2=(format!("{:.1}", far[0])) y2=(format!("{:.1}", far[1])) {}
            g.handle id="handle" role="slider" tabindex="0" aria-label=(format!("How far, {}", wanted.to.plain_words()))
                aria-valuemin=(SHORTEST) aria-valuemax=(LONGEST) aria-valuenow=(format!("{:.0}", wanted.cm))
                aria-valuetext=(format!("{:.0} cm {}", wanted.cm, wanted.to.plain_words()))
                transform=(format!("translate({:.1} {:.1})", far[0], far[1])) {
                circle r=(touch) fill="transparent" {}
                circle.grip r="12" {}
            }
        }
    }
}

/// The rows of the movement space for this limb and family; of several tasks the one that is chosen.
fn rows<'a>(wanted: &Wanted, space: Option<&'a SpaceTable>) -> Vec<&'a SpaceRow> {
    let all: Vec<&SpaceRow> = space
        .into_iter()
        .flat_map(|table| &table.rows)
        .filter(|row| row.family == wanted.family && row.mover == wanted.mover)
        .collect();
    let task = match wanted.family {
        Family::BendAndReach => format!("hand to {}", wanted.hand.name()),
        Family::Lunge => format!("pelvis sinks {}", Length::cm(wanted.depth)),
        _ => String::new(),
    };
    let chosen = if all.iter().any(|row| row.task == task) {
        task
    } else {
        all.first().map(|row| row.task.clone()).unwrap_or_default()
    };
    all.into_iter().filter(|row| row.task == chosen).collect()
}

fn input(wanted: &Wanted, person: &PersonToday<'_>, rows: &[&SpaceRow]) -> FloorInput {
    let mut rays: Vec<Ray> = Vec::new();
    for row in rows {
        let state = match (row.verdict, row.to) {
            ("open", Some(to)) => RayState::Open(to),
            (_, Some(to)) => RayState::Limited(to),
            _ => RayState::Closed,
        };
        match rays.iter_mut().find(|ray| ray.bearing == row.bearing) {
            // In front and behind on one bearing: the one that is asked for is drawn.
            Some(same) if row.crossing == wanted.crossing && row.bearing == wanted.to => same.state = state,
            Some(_) => {}
            None => rays.push(ray(row.bearing, state)),
        }
    }
    let body = &person.body;
    FloorInput {
        mover: wanted.mover,
        standing: if wanted.family == Family::BendAndReach {
            Standing::BothFeet
        } else {
            Standing::OtherFoot
        },
        feet: PerSide::from_fn(|side: Side| FootPrint {
            centre: body.start_foot_centre(side),
            yaw_deg: 0.0,
            length: body.foot_length(),
            breadth: body.foot_breadth(),
        }),
        words: drawing::FloorWords::english(),
        rays,
        landing: match wanted.family {
            Family::Reach => Landing::ToeTouch,
            Family::BendAndReach => Landing::Hand,
            _ => Landing::Foot,
        },
        rings: Rings::Every20Cm,
        ring_labels: true,
        names: Names::Trade { named_from: wanted.family.named_from(wanted.mover) },
        arrows: Arrows::Area,
        supports: Vec::new(),
        support_names: false,
        clear_floor: Vec::new(),
    }
}

fn ray(bearing: Bearing, state: RayState) -> Ray {
    Ray { bearing, state, landing: None, landing_yaw_deg: 0.0, note: None }
}
