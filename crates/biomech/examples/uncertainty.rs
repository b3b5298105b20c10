//! Fits `reference/uncertainty.toml`: solves a grid of movements again with drawn bodies, strengths
//! and ways of doing them, and prints the table. The seed is fixed: the same program gives the same
//! table.
//!
//! For every movement, side and coordinate the standard deviation of the moment at the far point is
//! taken over the draws, per kilogram of body mass. By joint motion, `floor` is the median of these
//! over the smaller half of the moments, `share` the median of `√(sd² − floor²) / moment` over the
//! larger half. A second set of people checks how often the fitted spread is large enough.

use std::collections::BTreeMap;

use anatomy::{BodySize, Coordinate, JointMotion, PerSide, Sex, Side};
use biomech::{
    Body, Capacity, DoneDraw, Motion, Phase, Turn, done_differently, moment_spread, moments, motion,
    motion_near,
};
use movement::{
    ArmTask, Bearing, Crossing, Family, HandHeight, HandShare, Load, MovementSpec, StanceFoot, Support,
};
use quantity::{Length, Mass, Moment};

/// Draws for each movement.
const DRAWS: usize = 24;

/// SplitMix64 (Steele, Lea & Flood 2014) and Box–Muller: a fixed stream of standard normal numbers.
struct Normal(u64);

impl Normal {
    fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    fn next(&mut self) -> f64 {
        let (u, v) = (self.uniform().max(1e-12), self.uniform());
        (-2.0 * u.ln()).sqrt() * (std::f64::consts::TAU * v).cos()
    }
}

/// One moment with its spreads, per kilogram.
#[derive(Clone, Copy)]
struct Point {
    moment: f64,
    body: f64,
    done: f64,
}

fn specs(body: &Body) -> Vec<MovementSpec> {
    let mut out = Vec::new();
    for family in Family::GROUNDED {
        for bearing in Bearing::ALL {
            for percent in [30.0, 50.0, 70.0] {
                let crossing = family.ways(bearing, Side::Right)[0];
                if crossing != Crossing::None && percent > 30.0 {
                    continue;
                }
                out.push(MovementSpec {
                    family,
                    mover: Side::Right,
                    bearing,
                    crossing,
                    stance_foot: StanceFoot::Fixed,
                    distance: body.leg_length(Side::Right).times(percent / 100.0),
                    depth: (family == Family::Lunge).then(|| body.leg_length(Side::Right).times(0.15)),
                    hand_height: (family == Family::BendAndReach).then_some(HandHeight::Knee),
                    load: Load::None,
                    support: Support::None,
                    place: None,
                    hand_share: HandShare::NotAssessed,
                    arms: ArmTask::Free,
                    landing: None,
                    rise: Length::ZERO,
                });
            }
        }
    }
    out
}

/// Moments at the far point, free to turn, by side and coordinate; a trunk moment counts as left.
fn far_moments(body: &Body, motion: &Motion) -> BTreeMap<(Side, Coordinate), f64> {
    let all = moments(body, motion);
    let far = all.frames.iter().find(|f| f.phase == Phase::Far && f.turn == Turn::Turned);
    let mut out = BTreeMap::new();
    if let Some(far) = far {
        for c in Coordinate::LEG {
            for side in Side::BOTH {
                out.insert((side, c), far.moment(side, c).in_nm());
            }
        }
        for c in Coordinate::TRUNK {
            out.insert((Side::Left, c), far.moment(Side::Left, c).in_nm());
        }
    }
    out
}

fn deviation(values: &[f64]) -> f64 {
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    (values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (values.len() - 1) as f64).sqrt()
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(0.0)
}

fn points(
    people: &[(Sex, f64, f64, u8)],
    normal: &mut Normal,
) -> (BTreeMap<JointMotion, Vec<Point>>, [usize; 3]) {
    let mut out: BTreeMap<JointMotion, Vec<Point>> = BTreeMap::new();
    let (mut bases, mut solved, mut lost) = (0, 0, 0);
    for &(sex, stature, mass, age) in people {
        let size = BodySize::new(Length::cm(stature), Mass::kg(mass), sex, age, PerSide::default())
            .unwrap_or_else(|e| panic!("{e}"));
        let (body, capacity) = (Body::of(&size), Capacity::of(&size, &[]));
        for spec in specs(&body) {
            let Ok(base) = motion(&body, &capacity, &spec) else { continue };
            bases += 1;
            let here = far_moments(&body, &base);
            let mut by_body: BTreeMap<(Side, Coordinate), Vec<f64>> = BTreeMap::new();
            let mut by_done = by_body.clone();
            let keep = |from: BTreeMap<(Side, Coordinate), f64>, into: &mut BTreeMap<_, Vec<f64>>| {
                for (key, value) in from {
                    into.entry(key).or_default().push(value);
                }
            };
            for _ in 0..DRAWS {
                let other = body.drawn(&std::array::from_fn(|_| normal.next()));
                let stronger = capacity.drawn(&std::array::from_fn(|_| normal.next()));
                let draw = DoneDraw { distance: normal.next(), depth: normal.next(), lean: normal.next() };
                match motion_near(&other, &capacity, &spec, Some(&base)) {
                    Some(found) => keep(far_moments(&other, &found), &mut by_body),
                    None => lost += 1,
                }
                match done_differently(&body, &stronger, &base, draw) {
                    Some(found) => keep(far_moments(&body, &found), &mut by_done),
                    None => lost += 1,
                }
                solved += 2;
            }
            for (key, moment) in here {
                let (Some(b), Some(d)) = (by_body.get(&key), by_done.get(&key)) else { continue };
                if b.len() < DRAWS / 2 || d.len() < DRAWS / 2 {
                    continue;
                }
                let motion = if moment >= 0.0 { key.1.positive() } else { key.1.negative() };
                out.entry(motion).or_default().push(Point {
                    moment: moment.abs() / mass,
                    body: deviation(b) / mass,
                    done: deviation(d) / mass,
                });
            }
        }
    }
    (out, [bases, solved, lost])
}

/// Floor and share.
fn fit(points: &[Point], of: impl Fn(&Point) -> f64) -> (f64, f64) {
    let middle = median(points.iter().map(|p| p.moment).collect());
    let floor = median(points.iter().filter(|p| p.moment <= middle).map(&of).collect());
    let share = median(
        points
            .iter()
            .filter(|p| p.moment > middle)
            .map(|p| (of(p).powi(2) - floor * floor).max(0.0).sqrt() / p.moment)
            .collect(),
    );
    (floor, share)
}

fn main() {
    let mut normal = Normal(3);
    let (found, [bases, solved, lost]) =
        points(&[(Sex::Female, 162.0, 68.0, 62), (Sex::Male, 178.0, 82.0, 38)], &mut normal);
    eprintln!("{bases} movements, {solved} postures solved again, {lost} without a posture");
    for motion in JointMotion::all() {
        // A motion that the grid asks too seldom takes the other direction of its coordinate with it.
        let other = JointMotion { positive: !motion.positive, ..motion };
        let mut of: Vec<Point> = found.get(&motion).cloned().unwrap_or_default();
        if of.len() < 12 {
            of.extend(found.get(&other).cloned().unwrap_or_default());
        }
        let ((bf, bs), (df, ds)) = (fit(&of, |p| p.body), fit(&of, |p| p.done));
        println!(
            "\n[[row]]\nmotion = \"{}\"\nbody_floor = {bf:.3}\nbody_share = {bs:.3}\ndone_floor = {df:.3}\ndone_share = {ds:.3}",
            motion.key()
        );
    }
    // Other people, against the table as it is built in now.
    let (check, _) = points(&[(Sex::Male, 169.0, 74.0, 71), (Sex::Female, 173.0, 60.0, 29)], &mut normal);
    for (name, table, of) in [
        (
            "body",
            (|s: biomech::Spread| s.body) as fn(biomech::Spread) -> Moment,
            (|p: &Point| p.body) as fn(&Point) -> f64,
        ),
        ("done", |s| s.done, |p| p.done),
    ] {
        let mut ratios = Vec::new();
        for (motion, points) in &check {
            for p in points {
                let fitted = table(moment_spread(*motion, Moment::nm(p.moment), Mass::kg(1.0))).in_nm();
                ratios.push(of(p) / fitted);
            }
        }
        let within = ratios.iter().filter(|r| **r <= 1.5).count();
        eprintln!(
            "{name}: computed over fitted spread, median {:.2}; at most 1.5 in {} of {}",
            median(ratios.clone()),
            within,
            ratios.len()
        );
    }
}
