//! What one movement is, as it is read beside the floor: verdict, demand, posture.

use anatomy::{Coordinate, Joint, MuscleGroup, Side};
use app::{DemandWords, GroupRow, OneMovement, PersonToday, SpaceRow, SpaceTable, Verdict, WrittenAngle};
use biomech::Landmark;
use drawing::{FigureInput, FigureMark, FigurePoints, Frame, Moves, View};
use maud::{Markup, PreEscaped, html};
use movement::{Family, MovementSpec};
use quantity::Angle;
use safety::Refusal;

use crate::fault::sentence;
use crate::words;

/// How many angles are written on the figures.
const ANGLES: usize = 8;
/// The right end of the bars, per cent of capacity.
const BAR_TO: f64 = 125.0;
/// Points; the style sheet scales the drawing to the page.
const FIGURE: Frame = Frame { width: 360.0, height: 400.0, type_size: 13.0 };

/// What both gates say, with reasons; balance and time.
pub(super) fn verdict(one: &OneMovement, space: Option<&SpaceTable>) -> Markup {
    let movement = &one.movement;
    let closed = space.and_then(|table| closed(movement, table));
    html! {
        @match &one.verdict {
            Verdict::Permitted { .. } => { p.ruling { strong { "Permitted today" } " by both gates." } }
            Verdict::Refused { gate, by } => {
                p.ruling { strong { "Not permitted today" }
                    @if *gate == 'A' { ", before any posture is looked at:" } @else { ": the computed body goes past a limit." } }
                (refusals(by))
            }
            Verdict::NotPossible { words, .. } => {
                p.ruling { strong { "This body cannot do it." } }
                p { (sentence(words)) }
                @if let Some(row) = closed {
                    p { "At every distance this direction is closed:" }
                    (refusals(&row.refusals))
                }
            }
        }
        dl.facts {
            div { dt { "How far" } dd { (format!("{:.0} cm", movement.distance.in_cm())) ", " (format!("{:.0} % of leg length", one.of_leg.in_percent())) } }
            @if let Some(computed) = &one.computed {
                div { dt { "Least balance margin" } dd { (margin(computed.motion.least_balance().in_cm())) } }
                @let shown = computed.motion.shown();
                div { dt { "Weight at the far point" } dd { (format!("left {:.0} %, right {:.0} %", shown.load_share.left.in_percent(), shown.load_share.right.in_percent())) } }
            }
            div { dt { "One takes" } dd { (format!("{:.0} s", one.takes.in_s())) } }
            div { dt { "Rung" } dd { (one.level) " of the movement ladder" } }
        }
        @if let Verdict::Permitted { notes } = &one.verdict {
            @if !notes.is_empty() {
                details { summary { "To know beside it (" (notes.len()) ")" } ul { @for note in notes { li { (note) } } } }
            }
        }
    }
}

/// What is said while a hand drags and no posture is found at once.
pub(super) fn not_at_once() -> Markup {
    html! { p.ruling { "Let go, to see whether this body can do it." } }
}

/// The direction in the movement space, where it is closed.
fn closed<'a>(movement: &MovementSpec, table: &'a SpaceTable) -> Option<&'a SpaceRow> {
    let way = (movement.family, movement.mover, movement.bearing, movement.crossing);
    let mut rows = table.rows.iter().filter(|row| (row.family, row.mover, row.bearing, row.crossing) == way);
    let first = rows.next()?;
    (first.to.is_none() && rows.all(|row| row.to.is_none())).then_some(first)
}

fn margin(cm: f64) -> String {
    if cm < 0.0 {
        format!("{:.1} cm outside the feet", -cm)
    } else {
        format!("{cm:.1} cm inside the edge of the feet")
    }
}

/// Reasons, each with what would open it.
pub(super) fn refusals(by: &[Refusal]) -> Markup {
    html! { ul { @for refusal in by { li { (refusal) " Opens when " (refusal.opens_when) "." } } } }
}

/// Where a share of capacity stands on the bar, per cent of its length.
fn at(percent: f64) -> String {
    format!("{:.1}%", percent.clamp(0.0, BAR_TO) / BAR_TO * 100.0)
}

fn length(low: f64, high: f64) -> String {
    format!("{:.1}%", (high.clamp(0.0, BAR_TO) - low.clamp(0.0, BAR_TO)).max(0.4) / BAR_TO * 100.0)
}

/// Share of capacity of each muscle group that acts, both legs under each other.
pub(super) fn bars(one: &OneMovement) -> Markup {
    if one.groups.is_empty() {
        return html! { p { "There is no posture, so nothing can be said of the muscles." } };
    }
    let mut groups: Vec<(MuscleGroup, Vec<&GroupRow>)> = Vec::new();
    for row in &one.groups {
        match groups.iter_mut().find(|(group, _)| *group == row.group) {
            Some((_, rows)) => rows.push(row),
            None => groups.push((row.group, vec![row])),
        }
    }
    let most = |rows: &[&GroupRow]| rows.iter().map(|row| known(row)).fold(-1.0, f64::max);
    groups.sort_by(|a, b| most(&b.1).total_cmp(&most(&a.1)));
    html! {
        table.demands {
            caption { "Share of this person’s strength at the hardest moment: estimates. The grey band is one standard deviation; the line marks 100 %." }
            thead.unseen { tr { th scope="col" { "Muscle group and leg" } th scope="col" { "Bar" } th scope="col" { "Share" } } }
            tbody {
                @for (group, rows) in &groups {
                    @for (place, row) in rows.iter().enumerate() {
                        tr.first[place == 0] {
                            th scope="row" aria-label=(named(row)) {
                                @if place == 0 { (capital(*group)) @if row.side.is_some() { ", " } }
                                @if let Some(side) = row.side { (side) }
                            }
                            td.gauge { (bar(row)) }
                            td.share { (share(row)) }
                        }
                    }
                }
            }
        }
    }
}

/// The group with its leg: under the first leg of a group only the other leg is written.
fn named(row: &GroupRow) -> String {
    let group = capital(row.group);
    row.side.map_or_else(|| group.clone(), |side| format!("{group}, {side}"))
}

fn capital(group: MuscleGroup) -> String {
    words::capital(group.name())
}

fn known(row: &GroupRow) -> f64 {
    match row.demand {
        DemandWords::Estimate { percent, .. } => percent,
        DemandWords::Unknown => -1.0,
    }
}

fn share(row: &GroupRow) -> Markup {
    match row.demand {
        DemandWords::Estimate { percent, low, high } => html! {
            (format!("{percent:.0} %")) " " span.quiet { (format!("{low:.0} to {high:.0}")) }
        },
        DemandWords::Unknown => html! { span.quiet { "strength not known" } },
    }
}

/// Left solid, right hatched; unknown is an empty bar that is hatched from end to end.
fn bar(row: &GroupRow) -> Markup {
    let side = match row.side {
        Some(Side::Left) => "left",
        Some(Side::Right) => "right",
        None => "trunk",
    };
    html! {
        svg height="22" width="100%" aria-hidden="true" focusable="false" {
            @match row.demand {
                DemandWords::Estimate { percent, low, high } => {
                    rect.band x=(at(low)) y="0" width=(length(low, high)) height="22" {}
                    rect.fill.(side) x="0" y="6" width=(length(0.0, percent)) height="10" {}
                    @if side == "right" { rect x="0" y="6" width=(length(0.0, percent)) height="10" fill="url(#hatch-right)" {} }
                    line.reach x1=(at(low)) x2=(at(high)) y1="11" y2="11" {}
                }
                DemandWords::Unknown => { rect.unknown x="0" y="4" width="100%" height="14" fill="url(#hatch-unknown)" {} }
            }
            line.whole x1=(at(100.0)) x2=(at(100.0)) y1="0" y2="22" {}
        }
    }
}

/// Hatches that the bars use, once on a page.
pub(super) fn hatches() -> Markup {
    html! {
        svg.hatches width="0" height="0" aria-hidden="true" focusable="false" {
            defs {
                pattern id="hatch-right" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)" {
                    line x1="0" y1="0" x2="0" y2="5" stroke="#ffffff" stroke-width="2.4" {}
                }
                pattern id="hatch-unknown" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)" {
                    line x1="0" y1="0" x2="0" y2="7" stroke="#6e7278" stroke-width="1.4" {}
                }
            }
        }
    }
}

/// The computed posture, turned and from the side, with the angles that matter written on it.
pub(super) fn figures(one: &OneMovement, person: &PersonToday<'_>, view: i16) -> Markup {
    let Some(computed) = &one.computed else {
        return html! { p { "There is no posture to draw." } };
    };
    let angles = one.written_angles(ANGLES);
    let (frontal, sagittal): (Vec<&WrittenAngle>, Vec<&WrittenAngle>) = angles.iter().partition(|one| {
        matches!(one.motion.coordinate, Coordinate::HipAdduction | Coordinate::HipInternalRotation)
    });
    let draw = |view: View, angles: &[&WrittenAngle]| {
        let marks: Vec<FigureMark> = angles.iter().map(|one| mark(one)).collect();
        let input = input(&one.movement, person, FigurePoints::of(&computed.motion.shown().posture), view);
        drawing::figure_with_words(&input, FIGURE, &marks).svg()
    };
    let around = draw(View::Around(view), &frontal);
    let side = draw(View::Side(one.movement.mover), &sagittal);
    html! {
        figure { (PreEscaped(around.as_str())) figcaption { (seen_from(view)) } }
        figure { (PreEscaped(side.as_str())) figcaption { "Seen from the " (one.movement.mover) "." } }
        @if !angles.is_empty() {
            p.unseen { "Joint angles, estimates: " (angles.iter().map(words_of).collect::<Vec<_>>().join("; ")) "." }
        }
    }
}

fn seen_from(view: i16) -> String {
    match view {
        0 => "Seen from behind.".to_owned(),
        180 | -180 => "Seen from in front: their right is on your left.".to_owned(),
        right if right > 0 => format!("Turned {right}° to their right from behind."),
        left => format!("Turned {}° to their left from behind.", -left),
    }
}

fn input(spec: &MovementSpec, person: &PersonToday<'_>, points: FigurePoints, view: View) -> FigureInput {
    let size = &person.case.person.body;
    let stature = size.stature().in_m();
    let hand = spec.family == Family::BendAndReach;
    FigureInput {
        points,
        moves: if hand { Moves::Hand(spec.mover) } else { Moves::Leg(spec.mover) },
        foot_letters: ["L", "R"],
        view,
        foot_breadth: person.body.foot_breadth(),
        body_mass_index: size.mass().in_kg() / (stature * stature),
        support: spec.place,
    }
}

fn mark(one: &WrittenAngle) -> FigureMark {
    let side = one.side.unwrap_or(Side::Left);
    let at = match one.motion.coordinate.joint() {
        Joint::Hip => Landmark::Hip(side),
        Joint::Knee => Landmark::Knee(side),
        Joint::Ankle | Joint::Subtalar => Landmark::Ankle(side),
        Joint::Lumbar => Landmark::Lumbar,
    };
    let heavy = one.limit.is_some();
    let letter = one.side.map_or_else(String::new, |side| format!("{} ", side.letter()));
    // The joint is where the line ends; its word would say it twice and take the figure's room.
    let name = one.motion.name();
    let short = match (one.motion.coordinate, one.motion.positive) {
        (Coordinate::HipInternalRotation, true) => "turned in",
        (Coordinate::HipInternalRotation, false) => "turned out",
        (Coordinate::LumbarFlexion, true) => "trunk bent",
        (Coordinate::LumbarFlexion, false) => "trunk back",
        _ => name.split_once(' ').map_or(name, |(_, motion)| motion),
    };
    let limit = match one.limit {
        Some((limit, true)) => format!("\nlimit {}", whole(limit)),
        Some((limit, false)) => format!("\npast {}", whole(limit)),
        None => String::new(),
    };
    FigureMark { at, words: format!("{letter}{short} {}{limit}", whole(one.angle)), heavy }
}

/// Whole degrees, never a negative nought.
fn whole(angle: Angle) -> String {
    let degrees = angle.in_deg().round();
    format!("{:.0}°", if degrees == 0.0 { 0.0 } else { degrees })
}

fn words_of(one: &WrittenAngle) -> String {
    let side = one.side.map_or_else(String::new, |side| format!("{side} "));
    let limit = match one.limit {
        Some((limit, true)) => format!(", within the limit of {}", whole(limit)),
        Some((limit, false)) => format!(", past the limit of {}", whole(limit)),
        None => String::new(),
    };
    format!("{side}{} {}{limit}", one.motion.name(), whole(one.angle))
}
