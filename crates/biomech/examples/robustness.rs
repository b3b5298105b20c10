//! Asks whether the search finds a posture wherever a random start finds one, how continuous the
//! postures are along every ray, and how many different postures there are.
//!
//! `cargo run --release -p biomech --example robustness [-- --quick] [success|rays|families|sweep]`;
//! `--body=tall` takes one body only.
//! Eight bearings, 20 to 110 % leg length, both limbs, every grounded family (lunges to three
//! depths, hands to four heights), every crossing with the standing foot fixed and pivoting.

use std::time::Instant;

use anatomy::{BodySize, PerSide, Sex, Side};
use biomech::continuity::{Passage, largest_change, passage};
use biomech::study::{Ending, from_random_starts, nearest_change};
use biomech::{Body, Capacity, KeyFrame, Motion, MotionError, Phase, Turn, motion, motion_near};
use movement::{Bearing, Crossing, Family, HandHeight, MovementSpec, StanceFoot};
use quantity::{Length, Mass};

const STARTS: usize = 40;
const SEED: u64 = 1999;

fn bodies() -> Vec<(&'static str, Body, Capacity)> {
    [
        ("small woman, 150 cm", Sex::Female, 150.0, 50.0, 70, None),
        ("average man, 176 cm", Sex::Male, 176.0, 80.0, 60, None),
        ("tall man, 193 cm, right leg 2 cm shorter", Sex::Male, 193.0, 100.0, 30, Some((103.0, 101.0))),
    ]
    .into_iter()
    .map(|(name, sex, stature, mass, age, legs)| {
        let legs = legs.map_or(PerSide::default(), |(l, r)| PerSide {
            left: Some(Length::cm(l)),
            right: Some(Length::cm(r)),
        });
        let size = BodySize::new(Length::cm(stature), Mass::kg(mass), sex, age, legs)
            .unwrap_or_else(|e| panic!("{e}"));
        (name, Body::of(&size), Capacity::of(&size, &[]))
    })
    .collect()
}

/// One ray of movements: everything but the distance.
fn rays(body: &Body, quick: bool) -> Vec<MovementSpec> {
    let mut out = Vec::new();
    for family in Family::GROUNDED {
        let depths: &[Option<f64>] = match family {
            Family::Lunge if quick => &[Some(0.15)],
            Family::Lunge => &[Some(0.05), Some(0.15), Some(0.25)],
            _ => &[None],
        };
        let heights: &[Option<HandHeight>] = match family {
            Family::BendAndReach if quick => &[Some(HandHeight::Knee)],
            Family::BendAndReach => &HandHeight::ALL.map(Some),
            _ => &[None],
        };
        for mover in Side::BOTH {
            for bearing in Bearing::ALL {
                for crossing in family.ways(bearing, mover) {
                    let feet: &[StanceFoot] = match crossing {
                        Crossing::None => &[StanceFoot::Fixed],
                        Crossing::InFront | Crossing::Behind => &[StanceFoot::Fixed, StanceFoot::Pivoting],
                    };
                    for stance_foot in feet {
                        for depth in depths {
                            for hand_height in heights {
                                out.push(MovementSpec {
                                    stance_foot: *stance_foot,
                                    depth: depth.map(|d| body.leg_length(mover).times(d)),
                                    hand_height: *hand_height,
                                    ..MovementSpec::bare(family, mover, bearing, *crossing, Length::cm(20.0))
                                });
                            }
                        }
                    }
                }
            }
        }
    }
    out
}

#[derive(Default)]
struct Count {
    asked: usize,
    found: usize,
    solvable: usize,
    missed: usize,
    found_ms: Vec<f64>,
    refused_ms: Vec<f64>,
}

impl Count {
    fn add(&mut self, other: &Self) {
        self.asked += other.asked;
        self.found += other.found;
        self.solvable += other.solvable;
        self.missed += other.missed;
        self.found_ms.extend(&other.found_ms);
        self.refused_ms.extend(&other.refused_ms);
    }

    fn line(&mut self, name: &str) -> String {
        let at = |times: &mut Vec<f64>, share: f64| {
            times.sort_by(f64::total_cmp);
            times.get((times.len() as f64 * share) as usize).copied().unwrap_or(0.0)
        };
        format!(
            "{name:<42} {:>5} {:>6} {:>8} {:>7} {:>8.2} %   {:>6.2} {:>6.2}   {:>7.2} {:>7.2}",
            self.asked,
            self.found,
            self.solvable,
            self.missed,
            100.0 * (1.0 - self.missed as f64 / self.solvable.max(1) as f64),
            at(&mut self.found_ms, 0.5),
            at(&mut self.found_ms, 0.95),
            at(&mut self.refused_ms, 0.5),
            at(&mut self.refused_ms, 0.95),
        )
    }
}

fn kind(spec: &MovementSpec) -> String {
    let way = match (spec.crosses(), spec.stance_foot) {
        (false, _) => "own side, forward, back",
        (true, StanceFoot::Fixed) => "crossing, foot fixed",
        (true, StanceFoot::Pivoting) => "crossing, pivoting",
    };
    format!("{}, {way}", spec.family)
}

/// Success where any random start succeeds.
fn success(quick: bool, only: Option<&str>) {
    println!(
        "{:<42} asked  found solvable  missed    success   ms found (95 %)   ms refused (95 %)",
        "at the depth asked"
    );
    let mut whole = Count::default();
    let mut misses = Vec::new();
    for (name, body, capacity) in bodies().into_iter().filter(|(n, ..)| only.is_none_or(|o| n.contains(o))) {
        println!("{name}");
        let mut order: Vec<String> = Vec::new();
        let mut counts: std::collections::BTreeMap<String, Count> = std::collections::BTreeMap::default();
        for ray in rays(&body, quick) {
            let key = kind(&ray);
            if !order.contains(&key) {
                order.push(key.clone());
            }
            let count = counts.entry(key).or_default();
            for tenths in (2..=11).step_by(if quick { 3 } else { 1 }) {
                let spec = ray.at(body.leg_length(ray.mover).times(f64::from(tenths) / 10.0));
                let watch = Instant::now();
                let outcome = motion(&body, &capacity, &spec);
                let ms = watch.elapsed().as_secs_f64() * 1000.0;
                count.asked += 1;
                if outcome.is_ok() {
                    count.found += 1;
                    count.found_ms.push(ms);
                } else {
                    count.refused_ms.push(ms);
                }
                let endings = from_random_starts(&body, &capacity, &spec, STARTS, 1, SEED);
                if !endings.is_empty() {
                    count.solvable += 1;
                    if let Err(error) = outcome {
                        count.missed += 1;
                        misses.push(format!("{name}: {} ({})", spec.sentence(), missing(&error)));
                    }
                }
            }
        }
        for key in order {
            if let Some(count) = counts.get_mut(&key) {
                println!("  {}", count.line(&key));
                whole.add(count);
            }
        }
    }
    println!("{}", whole.line("all"));
    for miss in misses {
        println!("missed: {miss}");
    }
}

/// Without the random starts: what is found in each cell, how long it takes, and every target refused.
fn again(quick: bool, only: Option<&str>) {
    for (name, body, capacity) in bodies().into_iter().filter(|(n, ..)| only.is_none_or(|o| n.contains(o))) {
        println!("{name}");
        let mut counts: std::collections::BTreeMap<String, Count> = std::collections::BTreeMap::default();
        for ray in rays(&body, quick) {
            let count = counts.entry(kind(&ray)).or_default();
            for tenths in (2..=11).step_by(if quick { 3 } else { 1 }) {
                let spec = ray.at(body.leg_length(ray.mover).times(f64::from(tenths) / 10.0));
                let before = busy();
                let outcome = motion(&body, &capacity, &spec);
                let ms = (busy() - before) * 1000.0;
                count.asked += 1;
                match outcome {
                    Ok(_) => {
                        count.found += 1;
                        count.found_ms.push(ms);
                    }
                    Err(error) => {
                        count.refused_ms.push(ms);
                        println!("refused: {name}: {} ({})", spec.sentence(), missing(&error));
                    }
                }
            }
        }
        for (key, mut count) in counts {
            println!("  {}", count.line(&key));
        }
    }
}

fn missing(error: &MotionError) -> String {
    match error {
        MotionError::OutOfReach { by, .. } => format!("out of reach by {by}"),
        MotionError::DepthNotReached { by, .. } => format!("depth missing {by}"),
        other => other.to_string(),
    }
}

/// Asks again for what is refused: what is missing less must be found, a centimetre more must not.
fn by(only: Option<&str>) {
    let mut counts = [0; 4];
    for (name, body, capacity) in bodies().into_iter().filter(|(n, ..)| only.is_none_or(|o| n.contains(o))) {
        for (k, ray) in rays(&body, true).into_iter().enumerate() {
            let tenths = 6 + k % 6;
            let spec = ray.at(body.leg_length(ray.mover).times(tenths as f64 / 10.0));
            let spec = MovementSpec { depth: spec.depth.map(|d| d.times(2.0)), ..spec };
            let nearer = |less: f64| match motion(&body, &capacity, &spec) {
                Err(MotionError::OutOfReach { by, .. }) => {
                    let depth = spec.depth.map(|_| Length::ZERO);
                    let at = Length::m((spec.distance.in_m() - by.in_m() + less).max(0.0));
                    Some((0, by, MovementSpec { depth, ..spec.at(at) }))
                }
                Err(MotionError::DepthNotReached { by, .. }) => {
                    let depth = spec.depth.map(|d| Length::m((d.in_m() - by.in_m() + less).max(0.0)));
                    Some((2, by, MovementSpec { depth, ..spec.clone() }))
                }
                _ => None,
            };
            let Some((slot, by, near)) = nearer(-1e-6) else { continue };
            counts[slot] += 1;
            let less = motion(&body, &capacity, &near);
            let more = nearer(0.01).filter(|_| by.in_m() > 0.01).map(|(.., s)| motion(&body, &capacity, &s));
            let wrong = [
                less.err().map(|e| format!("what is missing less: {}", missing(&e))),
                more.and_then(Result::ok).map(|_| "a centimetre more is found".to_owned()),
            ];
            for wrong in wrong.into_iter().flatten() {
                counts[slot + 1] += 1;
                println!("{name}: {} by {by}: {wrong}", spec.sentence());
            }
        }
    }
    println!("out of reach {} wrong {}, depth {} wrong {}", counts[0], counts[1], counts[2], counts[3]);
}

/// How a jump looks when the centimetre is walked in millimetres, and what the constraints alone force.
fn unbroken(
    body: &Body,
    capacity: &Capacity,
    from: &Motion,
    (a, b): (&KeyFrame, &KeyFrame),
    spec: &MovementSpec,
) -> String {
    let mut at = from.clone();
    let (mut largest, mut end) = (0.0_f64, f64::NAN);
    for mm in 1..=10 {
        let place = Length::m(from.spec.distance.in_m() + f64::from(mm) / 1000.0);
        let Some(next) = motion_near(body, capacity, &from.spec.at(place), Some(&at)) else { break };
        let frame = |m: &Motion| m.of_phase(Phase::Far).find(|f| f.turn == a.turn).cloned();
        let (Some(before), Some(after)) = (frame(&at), frame(&next)) else { break };
        largest = largest.max(largest_change(&before.posture, &after.posture, 1.0).by_deg);
        end = largest_change(&after.posture, &b.posture, 1.0).by_deg;
        at = next;
    }
    let forced = nearest_change(body, capacity, a, spec)
        .unwrap_or(0.0)
        .max(nearest_change(body, capacity, b, &from.spec).unwrap_or(0.0));
    format!(
        "; in millimetres {largest:.1}° at most and then {end:.1}° from here; {forced:.1}° to the nearest posture allowed"
    )
}

/// How every ray passes from each centimetre to the next.
fn continuity(quick: bool) {
    let mut table: std::collections::BTreeMap<String, [usize; 6]> = std::collections::BTreeMap::default();
    for (name, body, capacity) in bodies().into_iter().take(if quick { 1 } else { 3 }) {
        for ray in rays(&body, true).into_iter().filter(|r| r.mover == Side::Right) {
            let mut last: Option<Motion> = None;
            let leg = body.leg_length(ray.mover).in_cm();
            let mut cm = (0.2 * leg).ceil();
            while cm < 1.1 * leg {
                let share = cm / leg;
                let limit = if ray.crosses() { 0.4 } else { 0.6 };
                // As far as a programme may go, and what lies beyond it.
                let zone = if share <= limit { "near" } else { "far" };
                let count = table.entry(format!("{}, {zone}", kind(&ray))).or_default();
                let spec = ray.at(Length::cm(cm));
                let now = motion(&body, &capacity, &spec).ok();
                if let (Some(a), Some(b)) = (&last, &now) {
                    for turn in [Turn::Square, Turn::Turned] {
                        let far = |m: &Motion| m.of_phase(Phase::Far).find(|f| f.turn == turn).cloned();
                        let (Some(a), Some(b)) = (far(a), far(b)) else { continue };
                        count[0] += 1;
                        let old = largest_change(&a.posture, &b.posture, 1.0);
                        count[1] += usize::from(old.by_deg > 5.0);
                        let at =
                            || format!("{name}: {} {turn:?} ({:.0} % leg)", spec.sentence(), 100.0 * share);
                        match passage(&a, &b, 1.0) {
                            Passage::Smooth => {}
                            Passage::ContactChange(c) => {
                                count[2] += 1;
                                if c.by_deg > c.bound_deg {
                                    count[3] += 1;
                                    println!(
                                        "contact {zone} {}: {} {:?} {:.1}°",
                                        at(),
                                        c.side,
                                        c.coordinate,
                                        c.by_deg
                                    );
                                }
                            }
                            Passage::Jump(c) => {
                                count[4] += 1;
                                let costs = b.cost() / a.cost() - 1.0;
                                let how = last.as_ref().map_or(String::new(), |from| {
                                    unbroken(&body, &capacity, from, (&a, &b), &spec)
                                });
                                println!(
                                    "jump {zone} {}: {} {:?} {:.1}° (bound {:.1}°), cost {:+.2} %{how}",
                                    at(),
                                    c.side,
                                    c.coordinate,
                                    c.by_deg,
                                    c.bound_deg,
                                    100.0 * costs
                                );
                            }
                        }
                    }
                }
                if now.is_none() && last.is_some() {
                    count[5] += 1;
                }
                last = now;
                cm += 1.0;
            }
        }
    }
    println!(
        "{:<48} pairs  nearest-bound angle over 5°  contact changes  of them over bound  jumps  ends",
        "one centimetre apart"
    );
    let mut whole = [0; 6];
    for (key, count) in table {
        println!("{key:<48} {count:?}");
        for k in 0..6 {
            whole[k] += count[k];
        }
    }
    println!("{:<48} {whole:?}", "all");
}

/// How many postures that differ by more than five degrees the random starts end in.
fn families(quick: bool) {
    for (name, body, capacity) in bodies().into_iter().skip(1).take(1) {
        println!(
            "{name}: different postures from {STARTS} random starts at 30, 50, 70, 90 % leg length; in brackets those within 2 % of the least cost; how far `motion` is from the cheapest"
        );
        for ray in rays(&body, true).into_iter().filter(|r| r.mover == Side::Right) {
            let mut line = format!("{:<40} {:<14} {:?}", kind(&ray), ray.bearing.plain_words(), ray.crossing);
            for percent in (30..=90).step_by(if quick { 40 } else { 20 }) {
                let spec = ray.at(body.leg_length(ray.mover).times(f64::from(percent) / 100.0));
                let mut all = from_random_starts(&body, &capacity, &spec, STARTS, 10 * STARTS, SEED);
                all.sort_by(|a, b| a.cost.total_cmp(&b.cost));
                let mut different: Vec<Ending> = Vec::new();
                for e in &all {
                    if different.iter().all(|d| d.stand != e.stand || d.differs_by_deg(e) > 5.0) {
                        different.push(e.clone());
                    }
                }
                let least = different.iter().map(|d| d.cost).fold(f64::INFINITY, f64::min);
                let near = different.iter().filter(|d| d.cost < least * 1.02).count();
                let shown = motion(&body, &capacity, &spec).ok().map_or("refused".to_owned(), |m| {
                    let far =
                        m.of_phase(Phase::Far).find(|f| f.turn == Turn::Turned).map_or(0.0, KeyFrame::cost);
                    format!("{:+.1} %", 100.0 * (far / least - 1.0))
                });
                line += &format!("  | {} ({near}) of {} {shown}", different.len(), all.len());
            }
            println!("{line}");
        }
    }
}

/// Processor time of this thread so far, seconds; the machine is shared.
fn busy() -> f64 {
    std::fs::read_to_string("/proc/thread-self/schedstat")
        .ok()
        .and_then(|s| s.split(' ').next().and_then(|ns| ns.parse::<f64>().ok()))
        .map_or(0.0, |ns| ns * 1e-9)
}

/// The time of a walk along every ray, each from its neighbour.
fn sweep() {
    for (name, body, capacity) in bodies() {
        let watch = busy();
        let (mut asked, mut found) = (0, 0);
        let mut steps = std::collections::BTreeMap::new();
        for ray in rays(&body, false) {
            let mut near: Option<Motion> = None;
            for percent in (20..=110).step_by(5) {
                let spec = ray.at(body.leg_length(ray.mover).times(f64::from(percent) / 100.0));
                asked += 1;
                let now = motion_near(&body, &capacity, &spec, near.as_ref());
                found += usize::from(now.is_some());
                if let Some(m) = &now {
                    for f in &m.frames {
                        let e = steps.entry((kind(&m.spec), f.phase, f.turn)).or_insert((0, 0));
                        e.0 += f.iterations();
                        e.1 += 1;
                    }
                }
                near = now.or(near);
            }
        }
        let s = busy() - watch;
        for (key, (sum, count)) in steps {
            println!("{key:?}: {:.1} steps", sum as f64 / f64::from(count));
        }
        println!(
            "{name}: {asked} asked {found} found in {s:.2} s, {:.2} ms each",
            1000.0 * s / f64::from(asked)
        );
    }
}

fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let quick = args.iter().any(|a| a == "--quick");
    let wants = |part: &str| args.iter().all(|a| a.starts_with("--")) || args.iter().any(|a| a == part);
    if wants("success") {
        let only = args.iter().find_map(|a| a.strip_prefix("--body="));
        success(quick, only);
    }
    let only = args.iter().find_map(|a| a.strip_prefix("--body="));
    if args.iter().any(|a| a == "again") {
        again(quick, only);
    }
    if args.iter().any(|a| a == "by") {
        by(only);
    }
    if wants("rays") {
        continuity(quick);
    }
    if wants("families") {
        families(quick);
    }
    if wants("sweep") {
        sweep();
    }
}
