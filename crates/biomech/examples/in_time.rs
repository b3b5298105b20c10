//! How much more a movement in time asks of a body than its held postures: a grid of invented people,
//! families, bearings, distances and times.
//!
//! `cargo run --release -p biomech --example in_time` prints one line for every family and time: how many
//! courses are carried, the ratio of the largest share of known strength in time to that held, the same of
//! the standing knee extensors in N·m, and how far the trunk leans. With `all` it prints every course; with `gaps`, how
//! many are refused at a longer time than one at which they are carried, and how often the body moves more
//! quickly than asked and waits; with `one PERSON FAMILY BEARING PERCENT SECONDS` (numbers from 0) every frame of one.

use anatomy::{BodySize, Coordinate, PerSide, Sex, Side};
use biomech::course::{Course, CoursePhase, course};
use biomech::{Body, Capacity, Motion, demands, moments, motion};
use movement::{Bearing, Family, MovementSpec, StanceFoot, Tempo};
use quantity::{Length, Mass, Moment, Span};

const FAMILIES: [Family; 3] = [Family::Step, Family::Lunge, Family::Reach];

fn people() -> Vec<(Body, Capacity)> {
    [(150.0, 50.0, Sex::Female, 70), (176.0, 80.0, Sex::Male, 60), (193.0, 100.0, Sex::Male, 30)]
        .into_iter()
        .map(|(cm, kg, sex, age)| {
            let size = BodySize::new(Length::cm(cm), Mass::kg(kg), sex, age, PerSide::default())
                .unwrap_or_else(|e| panic!("{e}"));
            (Body::of(&size), Capacity::of(&size, &[]))
        })
        .collect()
}

fn spec(body: &Body, family: Family, bearing: Bearing, percent: f64) -> MovementSpec {
    let mover = Side::Right;
    let crossing = family.ways(bearing, mover)[0];
    let crosses = crossing != movement::Crossing::None;
    MovementSpec {
        stance_foot: if crosses { StanceFoot::Pivoting } else { StanceFoot::Fixed },
        depth: (family == Family::Lunge).then(|| body.leg_length(mover).times(0.15)),
        ..MovementSpec::bare(family, mover, bearing, crossing, body.leg_length(mover).times(percent / 100.0))
    }
}

fn tempo(seconds: f64) -> Tempo {
    Tempo { out: Span::s(seconds), hold: Span::s(1.0), back: Span::s(seconds), settle: Span::s(1.0) }
}

/// Of the courses of the grid that some time carries, how many a longer time does not.
fn gaps() {
    for family in FAMILIES {
        let (mut carried, mut gaps, mut times, mut waits, mut longest) = (0, 0, 0, 0, 0.0_f64);
        for (body, capacity) in people() {
            for bearing in Bearing::ALL {
                for percent in [30.0, 50.0] {
                    let spec = spec(&body, family, bearing, percent);
                    let Ok(found) = motion(&body, &capacity, &spec) else { continue };
                    let done: Vec<Option<f64>> = (4..=16)
                        .map(|h| {
                            let moved = course(&body, &capacity, &found, &tempo(f64::from(h) / 2.0)).ok()?;
                            let first = moved.phases()[0];
                            Some(if first.phase == CoursePhase::Wait { first.to.in_s() } else { 0.0 })
                        })
                        .collect();
                    let Some(first) = done.iter().position(Option::is_some) else { continue };
                    let lost = done[first..].iter().filter(|d| d.is_none()).count();
                    carried += 1;
                    gaps += usize::from(lost > 0);
                    times += done.iter().flatten().count();
                    waits += done.iter().flatten().filter(|w| **w > 0.0).count();
                    longest = done.iter().flatten().fold(longest, |a, b| a.max(*b));
                }
            }
        }
        println!(
            "{family:?}: {carried} carried at some time of 2 to 8 s in halves, {gaps} of them not at every longer one; in {waits} of {times} the body waits, at most {longest:.1} s"
        );
    }
}

/// The largest share of known strength over these frames, and where.
fn largest(capacity: &Capacity, frames: &biomech::JointMoments) -> (f64, String) {
    let found = demands(frames, capacity);
    let mut worst = (0.0, String::new());
    for side in Side::BOTH {
        for (motion, demand) in found.leg(side) {
            if let Some(share) = demand.share()
                && share.in_one() > worst.0
            {
                worst = (share.in_one(), format!("{side} {}", motion.name()));
            }
        }
    }
    worst
}

fn knee_held(body: &Body, found: &Motion, stance: Side) -> f64 {
    let knee = |m: Moment| -m.in_nm();
    moments(body, found)
        .frames
        .iter()
        .map(|f| knee(f.moment(stance, Coordinate::KneeFlexion)))
        .fold(0.0, f64::max)
}

fn lean(body: &Body, moved: &Course) -> [f64; 2] {
    let leans = moved.frames.iter().map(|f| moved.posture(body, f).trunk_lean().in_deg());
    leans.fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], x| [a.min(x), b.max(x)])
}

fn middle(values: &mut [f64]) -> (f64, f64) {
    values.sort_by(f64::total_cmp);
    (values.get(values.len() / 2).copied().unwrap_or(f64::NAN), values.last().copied().unwrap_or(f64::NAN))
}

fn grid(all: bool) {
    let people = people();
    for family in FAMILIES {
        for seconds in [2.0, 3.0] {
            let (mut ratios, mut knees, mut backs, mut fronts) = (vec![], vec![], vec![], vec![]);
            let mut shares = vec![];
            let (mut asked, mut refused) = (0, 0);
            for (p, (body, capacity)) in people.iter().enumerate() {
                for (b, bearing) in Bearing::ALL.into_iter().enumerate() {
                    for percent in [30.0, 50.0] {
                        let spec = spec(body, family, bearing, percent);
                        let Ok(found) = motion(body, capacity, &spec) else { continue };
                        asked += 1;
                        let moved = match course(body, capacity, &found, &tempo(seconds)) {
                            Ok(moved) => moved,
                            Err(error) => {
                                refused += 1;
                                if all {
                                    println!("{p} {b} {error}");
                                }
                                continue;
                            }
                        };
                        let (held, by) = largest(capacity, &moments(body, &found));
                        let (timed, by_timed) = largest(capacity, &moved.joint_moments());
                        let stance = spec.stance();
                        let knee = [
                            knee_held(body, &found, stance),
                            moved.peak(stance, Coordinate::KneeFlexion.negative()).in_nm(),
                        ];
                        let [back, front] = lean(body, &moved);
                        if all {
                            println!(
                                "{p} {family:?} {b} {percent} {seconds} s: {:.2} ({held:.2} {by}, {timed:.2} {by_timed}); standing knee {:.0} {:.0}; lean {back:.0} {front:.0}",
                                timed / held,
                                knee[0],
                                knee[1]
                            );
                        }
                        ratios.push(timed / held);
                        shares.push(timed);
                        knees.push(knee[1] / knee[0].max(20.0));
                        backs.push(-back);
                        fronts.push(front);
                    }
                }
            }
            let (ratio, worst) = middle(&mut ratios);
            let (share, share_worst) = middle(&mut shares);
            let (knee, knee_worst) = middle(&mut knees);
            let ((back, back_worst), (front, front_worst)) = (middle(&mut backs), middle(&mut fronts));
            println!(
                "{family:?} {seconds} s: {asked} asked, {refused} refused; largest share in time over held: median {ratio:.2}, worst {worst:.2} (share {share:.2}, {share_worst:.2}); standing knee extensors {knee:.2}, {knee_worst:.2}; trunk leans back {back:.0}, at most {back_worst:.0}, forward {front:.0}, at most {front_worst:.0} degrees"
            );
        }
    }
}

fn one(arguments: &[f64]) {
    let &[p, family, bearing, percent, seconds] = arguments else { panic!("five numbers") };
    let (body, capacity) = &people()[p as usize];
    let spec = spec(body, FAMILIES[family as usize], Bearing::ALL[bearing as usize], percent);
    let found = motion(body, capacity, &spec).unwrap_or_else(|e| panic!("{e}"));
    let held = moments(body, &found);
    println!(
        "time phase centre(fwd up right) zmp pelvis lean | standing: hip kneeangle ankle, hip knee ankle moments | moving: same | share on the standing foot"
    );
    let legs = [spec.stance(), spec.mover];
    let joints = [
        Coordinate::HipFlexion,
        Coordinate::HipAdduction,
        Coordinate::KneeFlexion,
        Coordinate::AnkleDorsiflexion,
    ];
    for (k, f) in found.frames.iter().enumerate() {
        let mut line = format!("{:?} {:?} lean {:.0}", f.phase, f.turn, f.posture.trunk_lean().in_deg());
        for side in legs {
            for c in joints {
                line += &format!(
                    " {:.0}/{:.0}",
                    f.posture.angle(side, c).in_deg(),
                    held.frames[k].moment(side, c).in_nm()
                );
            }
            line += " |";
        }
        println!("{line}");
    }
    let moved = course(body, capacity, &found, &tempo(seconds)).unwrap_or_else(|e| panic!("{e}"));
    for side in legs {
        for c in Coordinate::LEG {
            for motion in [c.positive(), c.negative()] {
                let still = |f: &biomech::FrameMoments| f.moment(side, c).in_nm() * motion.sign();
                let still = held.frames.iter().map(still).fold(0.0, f64::max);
                let timed = moved.peak(side, motion).in_nm();
                if timed.max(still) > 20.0 {
                    println!("{side} {}: held {still:.0}, in time {timed:.0} N·m", motion.name());
                }
            }
        }
    }
    for f in moved.frames.iter().take(29) {
        let [x, y, z] = f.centre_of_mass;
        let [q, ..] = f.coordinates();
        let mut line = format!(
            "{:.2} {:<9} c {x:.2} {y:.2} {z:.2} p {:.2} {:.2} pelvis {:.2} {:.2} {:.2} lean {:3.0} side {:3.0} L {:.2}",
            f.time.in_s(),
            f.phase.name().split(' ').next().unwrap_or(""),
            f.zero_moment_point[0],
            f.zero_moment_point[1],
            q[0],
            q[1],
            q[2],
            moved.posture(body, f).trunk_lean().in_deg(),
            f.angle(Side::Left, Coordinate::TRUNK[1]).in_deg(),
            f.load_share.get(legs[0]).in_one()
        );
        for side in legs {
            line += " |";
            for c in joints {
                line += &format!(" {:3.0}/{:<4.0}", f.angle(side, c).in_deg(), f.moment(side, c).in_nm());
            }
        }
        println!("{line}");
    }
}

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match arguments.first().map(String::as_str) {
        Some("one") => {
            let numbers: Vec<f64> =
                arguments[1..].iter().map(|a| a.parse().unwrap_or_else(|e| panic!("{a}: {e}"))).collect();
            one(&numbers);
        }
        Some("all") => grid(true),
        Some("gaps") => gaps(),
        _ => grid(false),
    }
}
