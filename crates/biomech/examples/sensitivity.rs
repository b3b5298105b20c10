//! Prints what one centimetre, one kilogram and one degree of lean change in a forward lunge, and the
//! smallest useful step up of its knee extension demand. All figures are estimates.

use anatomy::{BodySize, Coordinate, PerSide, Sex, Side};
use biomech::{Body, Capacity, Demand, Slope, motion, sensitivities, smallest_step_up};
use movement::{Bearing, Crossing, Family, MovementSpec};
use quantity::{Length, Mass};

fn main() {
    let size = BodySize::new(Length::cm(171.0), Mass::kg(72.0), Sex::Female, 62, PerSide::default())
        .unwrap_or_else(|e| panic!("{e}"));
    let (body, capacity) = (Body::of(&size), Capacity::of(&size, &[]));
    let leg = body.leg_length(Side::Right);
    let spec = MovementSpec {
        depth: Some(leg.times(0.15)),
        ..MovementSpec::bare(Family::Lunge, Side::Right, Bearing::ALL[0], Crossing::None, leg.times(0.6))
    };
    let found = motion(&body, &capacity, &spec).unwrap_or_else(|e| panic!("{e}"));
    println!("{} (estimates)", spec.sentence());
    println!(
        "{:<34} {:>20} {:>17} {:>17} {:>17}",
        "", "share of capacity", "per cm", "per kg", "per degree lean"
    );
    for s in sensitivities(&body, &capacity, &found) {
        let side = s.side.map_or_else(String::new, |s| format!("{s} "));
        let demand = match s.demand {
            Demand::Estimate { share, low, high, .. } => {
                format!("{:.0} % ({:.0} to {:.0})", share.in_percent(), low.in_percent(), high.in_percent())
            }
            Demand::Unknown => "capacity not known".to_owned(),
        };
        let cells = s.slopes.map(|slope| match slope {
            Slope::PerUnit { share: Some(share), .. } => format!("{:+.2} %", share * 100.0),
            Slope::PerUnit { moment, share: None, .. } => format!("{moment:+.2} N·m"),
            Slope::CannotSay { why } => format!("{why:?}"),
        });
        println!(
            "{:<34} {demand:>20} {:>17} {:>17} {:>17}",
            format!("{side}{}", s.motion),
            cells[0],
            cells[1],
            cells[2]
        );
    }
    println!("\nSmallest useful step up of right knee extension:");
    for (kind, step) in
        smallest_step_up(&body, &capacity, &found, Side::Right, Coordinate::KneeFlexion.negative())
    {
        println!("  {kind:?}: {step:?}");
    }
}
