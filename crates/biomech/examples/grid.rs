//! Solves a grid of movements for three bodies and prints how many were found, and how long one took.
//!
//! Eight bearings, distances of 20 to 110 % leg length in steps of 10 %, both limbs, every family,
//! every way of crossing with the standing foot fixed and turning. What is not found is refused
//! with the distance or depth that is missing; both are counted.

use std::time::Instant;

use anatomy::{BodySize, PerSide, Sex, Side};
use biomech::{Body, Capacity, MotionError, motion};
use movement::{Bearing, Crossing, Family, HandHeight, MovementSpec, StanceFoot};
use quantity::{Length, Mass};

#[derive(Default)]
struct Count {
    asked: usize,
    found: usize,
    out_of_reach: usize,
    not_so_deep: usize,
    found_ms: Vec<f64>,
    refused_ms: Vec<f64>,
}

impl Count {
    fn line(mut self, name: &str) -> String {
        let middle = |times: &mut Vec<f64>| {
            times.sort_by(f64::total_cmp);
            times.get(times.len() / 2).copied().unwrap_or(0.0)
        };
        format!(
            "{name:<34} {:>5} asked {:>5} found ({:>5.1} %) {:>4} out of reach {:>4} not so deep; \
             median {:.1} ms found, {:.0} ms refused",
            self.asked,
            self.found,
            100.0 * self.found as f64 / self.asked as f64,
            self.out_of_reach,
            self.not_so_deep,
            middle(&mut self.found_ms),
            middle(&mut self.refused_ms),
        )
    }
}

fn main() {
    for (name, sex, stature, mass, age) in [
        ("small woman, 150 cm", Sex::Female, 150.0, 50.0, 70),
        ("average man, 176 cm", Sex::Male, 176.0, 80.0, 60),
        ("tall man, 193 cm", Sex::Male, 193.0, 100.0, 30),
    ] {
        let size = BodySize::new(Length::cm(stature), Mass::kg(mass), sex, age, PerSide::default())
            .unwrap_or_else(|e| panic!("{e}"));
        let (body, capacity) = (Body::of(&size), Capacity::of(&size, &[]));
        println!("{name}");
        for family in Family::GROUNDED {
            for crossing_ones in [false, true] {
                let mut count = Count::default();
                for spec in specs(&body, family).filter(|s| s.crosses() == crossing_ones) {
                    let watch = Instant::now();
                    let outcome = motion(&body, &capacity, &spec);
                    let ms = watch.elapsed().as_secs_f64() * 1000.0;
                    count.asked += 1;
                    match outcome {
                        Ok(_) => {
                            count.found += 1;
                            count.found_ms.push(ms);
                        }
                        Err(error) => {
                            count.refused_ms.push(ms);
                            match error {
                                MotionError::DepthNotReached { .. } => count.not_so_deep += 1,
                                _ => count.out_of_reach += 1,
                            }
                        }
                    }
                }
                if count.asked > 0 {
                    let way = if crossing_ones { "crossing" } else { "own side, forward, back" };
                    println!("  {}", count.line(&format!("{family}, {way}")));
                }
            }
        }
    }
}

fn specs(body: &Body, family: Family) -> impl Iterator<Item = MovementSpec> + '_ {
    Side::BOTH.into_iter().flat_map(move |mover| {
        Bearing::ALL.into_iter().flat_map(move |bearing| {
            family.ways(bearing, mover).iter().flat_map(move |crossing| {
                let feet: &[StanceFoot] = match crossing {
                    Crossing::None => &[StanceFoot::Fixed],
                    Crossing::InFront | Crossing::Behind => &[StanceFoot::Fixed, StanceFoot::Pivoting],
                };
                feet.iter().flat_map(move |stance_foot| {
                    (2..=11).map(move |tenths| MovementSpec {
                        stance_foot: *stance_foot,
                        depth: (family == Family::Lunge).then(|| body.leg_length(mover).times(0.15)),
                        hand_height: (family == Family::BendAndReach).then_some(HandHeight::Knee),
                        ..MovementSpec::bare(
                            family,
                            mover,
                            bearing,
                            *crossing,
                            body.leg_length(mover).times(f64::from(tenths) / 10.0),
                        )
                    })
                })
            })
        })
    })
}
