//! Movement space: for each limb and family the floor seen from above, with the reasons under it.

use anatomy::{PerSide, Side};
use app::{PersonToday, SpaceRow, SpaceTable};
use axum::Router;
use axum::routing::get;
use biomech::Body;
use clinic::Standing;
use drawing::{
    Arrows, FloorInput, FootPrint, Frame, Landing, Names, Ray, RayState, Rings, Standing as Stands,
};
use maud::{Markup, PreEscaped, html};
use movement::{Crossing, Family, Support};

use super::{Tab, alert, nothing_found, page, standing};
use crate::seat::{Seat, Whose};
use crate::{Answer, Web, words};

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/people/{person}/space", get(show))
}

async fn show(seat: Seat, whose: Whose) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let table = seat.reckon().space(&standing).await?;
    let body = match &table {
        Some(table) => view(&standing, table),
        None => nothing_found(&standing),
    };
    page(&seat, &standing, Tab::Space, body)
}

/// One family with what goes with it: both limbs stand beside each other.
struct Block<'a> {
    family: Family,
    task: &'a str,
    rows: Vec<&'a SpaceRow>,
}

fn blocks(table: &SpaceTable) -> Vec<Block<'_>> {
    let mut out: Vec<Block<'_>> = Vec::new();
    for row in &table.rows {
        match out.iter_mut().find(|block| block.family == row.family && block.task == row.task) {
            Some(block) => block.rows.push(row),
            None => out.push(Block { family: row.family, task: &row.task, rows: vec![row] }),
        }
    }
    out
}

fn view(standing: &Standing, table: &SpaceTable) -> Markup {
    if let Some(flag) = &table.alert {
        return alert(flag);
    }
    let Some(case) = standing.case.as_deref() else { return nothing_found(standing) };
    let body = PersonToday::of(case, standing.day).body;
    html! {
        @for refusal in &table.closed {
            p { strong { "Everything is closed. " } (refusal) " It opens when " (refusal.opens_when) "." }
        }
        @if !table.notes.is_empty() {
            details { summary { "What goes with the whole space" } ul { @for note in &table.notes { li { (note) } } } }
        }
        @for block in blocks(table) {
            section.space {
                h2 { (words::capital(block.family.name())) @if !block.task.is_empty() { ", " (block.task) } }
                div.limbs {
                    @for side in Side::BOTH {
                        (limb(&block, side, &body))
                    }
                }
            }
        }
    }
}

fn limb(block: &Block<'_>, side: Side, body: &Body) -> Markup {
    let rows: Vec<&SpaceRow> = block.rows.iter().copied().filter(|row| row.mover == side).collect();
    let part = if block.family == Family::BendAndReach { "hand" } else { "leg" };
    let drawn = drawing::floor(&input(block.family, side, &rows, body), FRAME).svg();
    html! {
        figure {
            (PreEscaped(drawn.as_str()))
            figcaption {
                h3 { (words::capital(&side.to_string())) " " (part) " moves" }
                ul.rays {
                    @for row in &rows {
                        li {
                            strong { (row.direction) (crossing(row.crossing)) ": " (row.verdict) @if let Some(to) = row.to { " to " (to) } @if row.support == Support::BothHands { ", both hands held" } }
                            @if row.verdict != "open" {
                                details { summary { "Why" } @for why in &row.because { p { (why) } } }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn crossing(way: Crossing) -> &'static str {
    match way {
        Crossing::None => "",
        Crossing::InFront => " across, in front",
        Crossing::Behind => " across, behind",
    }
}

/// Points; the style sheet scales the drawing to the page.
const FRAME: Frame = Frame { width: 340.0, height: 330.0, type_size: 11.0 };

fn input(family: Family, side: Side, rows: &[&SpaceRow], body: &Body) -> FloorInput {
    let mut rays: Vec<Ray> = Vec::new();
    for row in rows {
        let state = match (row.verdict, row.to) {
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
        rays,
        landing: match family {
            Family::Reach => Landing::ToeTouch,
            Family::BendAndReach => Landing::Hand,
            _ => Landing::Foot,
        },
        rings: Rings::Every20Cm,
        ring_labels: true,
        names: Names::Trade { named_from: family.named_from(side) },
        arrows: Arrows::Area,
        supports: Vec::new(),
        support_names: false,
        clear_floor: Vec::new(),
    }
}
