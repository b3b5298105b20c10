//! How far a foot and a centre of pressure get, beside what people reach.

use anatomy::Side;
use biomech::{Body, Landmark, Phase, motion};
use movement::{AnatomicalDirection, Bearing, Crossing, Family};
use quantity::Length;

use crate::asked::{furthest, plain};
use crate::body::compared_mean;
use crate::people::{Person, person};
use crate::row::{Row, Verdict, cannot, shown, told};
use crate::target::target;

/// Every figure about reach and limits of stability.
pub(crate) fn rows() -> Vec<Row> {
    let mut rows = star();
    for (who, ids, functional) in [
        ("young", ["young_woman", "young_man"], "functional_base_young"),
        ("older", ["older_woman", "older_man"], "functional_base_older"),
    ] {
        let bodies = ids.map(|id| &person(id).body);
        let all = |read: fn(&Body) -> f64| bodies.map(read);
        rows.push(compared_mean(&format!("octagon_{who}"), &all(|b| octagon(b, &engine_limits(b)))));
        rows.push(sideways(who, bodies[0], target(functional).figure()));
        rows.push(compared_mean(functional, &all(heel_to_ball)));
    }
    rows
}

/// From the tip of the standing foot to the furthest touch, per cent of leg length.
fn star() -> Vec<Row> {
    let people = ["young_woman", "young_man"].map(person);
    [
        ("star_reach_anterior", AnatomicalDirection::Anterior),
        ("star_reach_posterolateral", AnatomicalDirection::Posterolateral),
        ("star_reach_posteromedial", AnatomicalDirection::Posteromedial),
    ]
    .into_iter()
    .map(|(id, direction)| {
        let reached: Result<Vec<f64>, String> = people.iter().map(|p| star_reach(p, direction)).collect();
        match reached {
            Ok(values) => compared_mean(id, &values),
            Err(why) => cannot(target(id), &why),
        }
    })
    .collect()
}

fn star_reach(person: &Person, direction: AnatomicalDirection) -> Result<f64, String> {
    // Named from the standing leg, the left; the right leg reaches.
    let bearing = Bearing::of(direction, Side::Left);
    let mut spec = plain(Family::Reach, bearing, Length::m(1.0));
    spec.crossing = Crossing::ways(bearing, Side::Right)[0];
    let spec = spec.at(furthest(person, &spec)?);
    let done = motion(&person.body, &person.capacity, &spec).map_err(|e| e.to_string())?;
    let posture = &done.shown().posture;
    let (toe, touch) =
        (posture.point(Landmark::ToeTip(Side::Left)), posture.point(Landmark::ToeTip(Side::Right)));
    let reach = (touch[0] - toe[0]).hypot(touch[2] - toe[2]);
    Ok(reach / person.body.leg_length(Side::Right).in_m() * 100.0)
}

/// Where heel and ball of a standing body are, and how far out the feet reach to a side.
struct Base {
    heel: f64,
    ball: f64,
    toe: f64,
    side: f64,
}

fn base(body: &Body) -> Base {
    let size = body.size();
    let capacity = biomech::Capacity::of(size, &[]);
    let done = motion(body, &capacity, &plain(Family::Step, Bearing::ALL[0], Length::cm(30.0)))
        .unwrap_or_else(|e| panic!("{e}"));
    let start = done
        .of_phase(Phase::Start)
        .next()
        .unwrap_or_else(|| panic!("a motion begins with both feet at the start"));
    let along = |landmark: fn(Side) -> Landmark| start.posture.point(landmark(Side::Right))[0];
    Base {
        heel: along(Landmark::Heel),
        ball: along(Landmark::Ball),
        toe: along(Landmark::ToeTip),
        side: body.hip_spacing().in_m() / 2.0 + body.foot_breadth().in_m() / 2.0,
    }
}

/// How far the centre of pressure may go from the middle of the engine's base: ahead, behind, sideways.
struct Limits {
    ahead: f64,
    behind: f64,
    sideways: f64,
    /// Whether diagonals end at the corner of a rectangle or on an ellipse.
    square: bool,
}

fn engine_limits(body: &Body) -> Limits {
    let base = base(body);
    let half = (base.ball - base.heel) / 2.0;
    Limits { ahead: half, behind: half, sideways: base.side, square: true }
}

/// How far sideways the published area would need the centre of pressure to go beside King's range.
fn sideways(who: &str, body: &Body, functional_base: f64) -> Row {
    let base = base(body);
    let range = functional_base * body.foot_length().in_m();
    // King 1994: two thirds of the range lie ahead of quiet standing. The area grows in proportion
    // to how far the octagon goes sideways.
    let whole = Limits { ahead: range * 0.66, behind: range * 0.34, sideways: base.side, square: false };
    let needed = target(&format!("octagon_{who}")).figure() / octagon(body, &whole);
    let t = target(&format!("octagon_{who}_sideways"));
    let why = if needed > 1.0 {
        "the two published figures do not fit together under this assumption: the centre of pressure would leave the feet"
    } else {
        "no sideways limit was read to compare with"
    };
    told(t, shown(needed, t.digits), Verdict::CannotSay { why: why.to_owned() })
}

/// Area of the octagon of the eight limits as per cent of the area that both feet span.
fn octagon(body: &Body, limits: &Limits) -> f64 {
    let base = base(body);
    let point = |degrees: f64| {
        let (x, z) = (degrees.to_radians().cos(), degrees.to_radians().sin());
        let along = if x >= 0.0 { limits.ahead } else { limits.behind };
        let r = if limits.square {
            let forward = if x.abs() > 1e-9 { along / x.abs() } else { f64::INFINITY };
            let sideways = if z.abs() > 1e-9 { limits.sideways / z.abs() } else { f64::INFINITY };
            forward.min(sideways)
        } else {
            1.0 / (x / along).hypot(z / limits.sideways)
        };
        [r * x, r * z]
    };
    let corners: Vec<[f64; 2]> = (0..8).map(|k| point(45.0 * f64::from(k))).collect();
    let twice: f64 =
        corners.iter().zip(corners.iter().cycle().skip(1)).map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum();
    let whole = (base.toe - base.heel) * 2.0 * base.side;
    twice.abs() / 2.0 / whole * 100.0
}

fn heel_to_ball(body: &Body) -> f64 {
    let base = base(body);
    (base.ball - base.heel) / body.foot_length().in_m()
}
