//! Walks along one ray and prints the far posture.
use anatomy::{BodySize, Coordinate, PerSide, Sex, Side};
use biomech::{Body, Capacity, Phase, motion_near};
use movement::{Bearing, Family, HandHeight, Load, MovementSpec, StanceFoot, Support};
use quantity::{Length, Mass};
fn main() {
    let args: Vec<String> = std::env::args().collect();
    let family = Family::from_name(&args[1]).unwrap();
    let bearing = Bearing::try_from(args[2].parse::<u16>().unwrap()).unwrap();
    let (from, to): (f64, f64) = (args[3].parse().unwrap(), args[4].parse().unwrap());
    let size = BodySize::new(Length::cm(176.0), Mass::kg(80.0), Sex::Male, 60, PerSide::default()).unwrap();
    let body = Body::of(&size);
    let capacity = Capacity::of(&size, &[]);
    let mut cm = from;
    while cm <= to {
        for way in family.ways(bearing, Side::Right) {
            let spec = MovementSpec {
                family,
                mover: Side::Right,
                bearing,
                crossing: *way,
                stance_foot: StanceFoot::Fixed,
                distance: Length::cm(cm),
                depth: (family == Family::Lunge).then(|| body.leg_length(Side::Right).times(0.15)),
                hand_height: (family == Family::BendAndReach).then_some(HandHeight::Knee),
                load: Load::None,
                support: Support::None,
                place: None,
            };
            match motion_near(&body, &capacity, &spec, None) {
                None => println!("{cm} {way:?} -"),
                Some(m) => {
                    for f in m.of_phase(Phase::Far) {
                        let s = |side| {
                            Coordinate::LEG
                                .map(|c| format!("{:4.0}", f.posture.angle(side, c).in_deg()))
                                .join("")
                        };
                        println!(
                            "{cm} {way:?} {:?} it {:3} cost {:.3} drop {:5.1} yaw {:4.0} trunk {} | R{} | L{}",
                            f.turn,
                            f.iterations(),
                            f.cost(),
                            f.posture.pelvis_drop_m() * 100.0,
                            f.posture.pelvis_yaw().in_deg(),
                            Coordinate::TRUNK
                                .map(|c| format!("{:4.0}", f.posture.angle(Side::Left, c).in_deg()))
                                .join(""),
                            s(Side::Right),
                            s(Side::Left)
                        );
                    }
                }
            }
        }
        cm += 1.0;
    }
}
