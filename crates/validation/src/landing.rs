//! Flight and landing of jumps beside what follows from free fall and what was measured.

use anatomy::Side;
use biomech::{Flight, motion};
use movement::{Bearing, Family, Landing};
use quantity::{GRAVITY, Length};

use crate::asked::plain;
use crate::people::{Person, person};
use crate::row::{Row, cannot, compared};
use crate::target::target;

/// Every figure about flight and landing, from two-foot jumps forward of a young woman and man.
pub(crate) fn rows() -> Vec<Row> {
    let flights: Vec<Flight> = ["young_woman", "young_man"]
        .map(person)
        .into_iter()
        .flat_map(|p| [0.3, 0.5, 0.7, 0.9].into_iter().filter_map(|share| jump(p, share)))
        .collect();
    let ids = ["flight_height", "touch_down_speed", "landing_root"];
    if flights.len() < 4 {
        return ids.map(|id| cannot(target(id), "fewer than four jumps were found")).into();
    }
    let worst = |off: &dyn Fn(&Flight) -> f64| flights.iter().map(|f| off(f).abs()).fold(0.0, f64::max);
    let rise = |f: &Flight| f.rise.in_m();
    vec![
        compared(target(ids[0]), worst(&|f| rise(f) - GRAVITY * f.time.in_s().powi(2) / 8.0)),
        compared(target(ids[1]), worst(&|f| f.landing.touch_down_speed - (2.0 * GRAVITY * rise(f)).sqrt())),
        compared(target(ids[2]), off_line(&flights)),
    ]
}

fn jump(person: &Person, share: f64) -> Option<Flight> {
    let distance = person.body.leg_length(Side::Right).times(share);
    let mut spec = plain(Family::TwoFootJump, Bearing::ALL[0], distance);
    spec.landing = Some(Landing::Held);
    spec.rise = Length::ZERO;
    motion(&person.body, &person.capacity, &spec).ok()?.flight
}

/// Largest deviation of the peak force from the straight line through the lowest and the highest
/// jump over the square root of the fall, as a share of that line; of each body by itself.
fn off_line(flights: &[Flight]) -> f64 {
    let mut worst = 0.0_f64;
    for one in flights.chunk_by(|a, b| a.rise <= b.rise) {
        let points: Vec<[f64; 2]> =
            one.iter().map(|f| [f.rise.in_m().sqrt(), f.landing.peak.typical]).collect();
        let (Some(first), Some(last)) = (points.first(), points.last()) else { continue };
        if last[0] - first[0] < 1e-6 {
            continue;
        }
        let slope = (last[1] - first[1]) / (last[0] - first[0]);
        for p in &points {
            let line = first[1] + slope * (p[0] - first[0]);
            worst = worst.max((p[1] / line - 1.0).abs());
        }
    }
    worst
}
