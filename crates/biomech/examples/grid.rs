//! Prints solve success, time and key angles over a grid of movements and bodies.
use anatomy::{BodySize, Coordinate, PerSide, Sex, Side};
use biomech::{Body, Capacity, Phase, motion_near};
use movement::{Bearing, Crossing, Family, HandHeight, Load, MovementSpec, StanceFoot, Support};
use quantity::{Length, Mass};
use std::time::Instant;

fn main() {
    let verbose = std::env::args().any(|a| a == "-v");
    for (name, sex, stature, mass, age) in [
        ("small woman", Sex::Female, 150.0, 50.0, 70),
        ("average man", Sex::Male, 176.0, 80.0, 60),
        ("tall man", Sex::Male, 193.0, 100.0, 30),
    ] {
        let size = BodySize::new(Length::cm(stature), Mass::kg(mass), sex, age, PerSide::default()).unwrap();
        let body = Body::of(&size);
        let capacity = Capacity::of(&size, &[]);
        println!(
            "== {name} LL {:.1} hip {:.1}",
            body.leg_length(Side::Left).in_cm(),
            body.hip_spacing().in_cm()
        );
        for family in Family::ALL {
            for mover in [Side::Right] {
                for bearing in Bearing::ALL {
                    for crossing in family.ways(bearing, mover) {
                        for pivot in [StanceFoot::Fixed, StanceFoot::Pivoting] {
                            if pivot == StanceFoot::Pivoting && *crossing == Crossing::None {
                                continue;
                            }
                            let mut line = String::new();
                            let t = Instant::now();
                            let mut n = 0;
                            for p in [20, 30, 40, 50, 60, 70, 80, 90, 100, 110] {
                                n += 1;
                                let spec = MovementSpec {
                                    family,
                                    mover,
                                    bearing,
                                    crossing: *crossing,
                                    stance_foot: pivot,
                                    distance: Length::m(body.leg_length(mover).in_m() * f64::from(p) / 100.0),
                                    depth: (family == Family::Lunge)
                                        .then(|| body.leg_length(mover).times(0.15)),
                                    hand_height: (family == Family::BendAndReach).then_some(HandHeight::Knee),
                                    load: Load::None,
                                    support: Support::None,
                                    place: None,
                                };
                                match motion_near(&body, &capacity, &spec, None) {
                                    None => line.push_str(&format!(" {p}:-")),
                                    Some(m) => {
                                        let fars: Vec<_> =
                                            m.frames.iter().filter(|f| f.phase == Phase::Far).collect();
                                        line.push_str(&format!(" {p}:{}", fars.len()));
                                        if verbose && (p == 30 || p == 60) {
                                            for f in &m.frames {
                                                let a = |s, c| f.posture.angle(s, c).in_deg();
                                                println!(
                                                    "   {family} {} {:?} {pivot:?} {p} {:?} {:?} it {} | mover flex {:.0} add {:.0} ir {:.0} knee {:.0} df {:.0} | stance flex {:.0} add {:.0} ir {:.0} knee {:.0} df {:.0} | yaw {:.0} drop {:.1} lumb {:.0} {:.0} {:.0} ttt {:.0} {:.0} load {:.2} bal {:.1} footyaw {:.0} heel {:?} cost {:.3}",
                                                    bearing.named_from(mover),
                                                    crossing,
                                                    f.phase,
                                                    f.turn,
                                                    f.iterations(),
                                                    a(mover, Coordinate::HipFlexion),
                                                    a(mover, Coordinate::HipAdduction),
                                                    a(mover, Coordinate::HipInternalRotation),
                                                    a(mover, Coordinate::KneeFlexion),
                                                    a(mover, Coordinate::AnkleDorsiflexion),
                                                    a(mover.other(), Coordinate::HipFlexion),
                                                    a(mover.other(), Coordinate::HipAdduction),
                                                    a(mover.other(), Coordinate::HipInternalRotation),
                                                    a(mover.other(), Coordinate::KneeFlexion),
                                                    a(mover.other(), Coordinate::AnkleDorsiflexion),
                                                    f.posture.pelvis_yaw().in_deg(),
                                                    f.posture.pelvis_drop_m() * 100.0,
                                                    a(mover, Coordinate::LumbarFlexion),
                                                    a(mover, Coordinate::LumbarSideBendRight),
                                                    a(mover, Coordinate::LumbarRotationRight),
                                                    f.posture.trunk_to_thigh(mover).in_deg(),
                                                    f.posture.trunk_to_thigh(mover.other()).in_deg(),
                                                    f.load_share.get(mover).in_one(),
                                                    f.balance.in_cm(),
                                                    f.posture.foot_yaw(mover).in_deg(),
                                                    f.posture.heel_lifted(mover.other()),
                                                    f.cost()
                                                );
                                            }
                                        }
                                    }
                                }
                            }
                            println!(
                                "{family} {} {:?} {pivot:?}:{line}   {:.1} ms/solve",
                                bearing.named_from(mover),
                                crossing,
                                t.elapsed().as_secs_f64() * 1000.0 / f64::from(n)
                            );
                        }
                    }
                }
            }
        }
    }
}
