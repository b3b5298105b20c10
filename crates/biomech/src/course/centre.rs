//! Where the centre of mass goes over the floor, so that the feet can carry it.
//!
//! Over frames at times `t₀ … t_K` the jerk `j` of the centre is constant between two frames, one
//! value each way, forward and right; position, velocity and acceleration at the frames are linear
//! in `j`. It starts at rest at `c₀` and ends at rest at `c₁` (three equations each way). With the
//! centre's height `h`, its vertical acceleration `ḧ` and what the turning of the body adds, `d`
//! (from the last round of inverse dynamics, zero at first), the zero-moment point in frame `k` is
//!
//! `p_k = c_k − h_k / (g + ḧ_k) · c̈_k + d_k`.
//!
//! Minimise `Σ_k Δ_k ( |p_k − r_k|² + w_k |c_k − n_k|² + s |j_k|² / ω⁶ )`, `ω² = g / h̄`, subject to `p_k`
//! inside the base of the feet that carry in frame `k`, a convex polygon (Kajita et al. 2003, preview
//! control of the zero-moment point, written as one quadratic program over the whole way). `r` is where
//! the pressure would lie if the postures were held, `n` where the centre would be between the key
//! postures; `w`, largest at touchdown, and `s` are named choices.

use super::quadratic::{Constraints, Outcome, minimise};

/// A point or vector of the floor: forward, right.
pub(crate) type Floor = [f64; 2];

/// One frame of the problem.
#[derive(Clone, Debug)]
pub(crate) struct Moment {
    /// Seconds from the start.
    pub(crate) time: f64,
    /// Where the pressure would lie if the posture were held.
    pub(crate) reference: Floor,
    /// Where the centre would be between the key postures.
    pub(crate) near: Floor,
    /// How dear it is to be elsewhere, beside a distance of the zero-moment point from its reference.
    pub(crate) closeness: f64,
    /// Height of the centre over the gravity it feels: `h / (g + ḧ)`, s².
    pub(crate) lever: f64,
    /// What the body's turning adds to the zero-moment point.
    pub(crate) added: Floor,
    /// The base: outward normal and distance of every edge, `n · p ≤ o`.
    pub(crate) base: Vec<(Floor, f64)>,
}

/// The plan in one frame.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Planned {
    pub(crate) position: Floor,
    pub(crate) acceleration: Floor,
    pub(crate) zero_moment_point: Floor,
}

/// Edges of the base as half-planes, each moved inward by `inset`; where that leaves nothing, by less.
pub(crate) fn half_planes(hull: &[Floor], inset: f64) -> Vec<(Floor, f64)> {
    let n = hull.len();
    let middle = hull.iter().fold([0.0; 2], |m, p| [m[0] + p[0] / n as f64, m[1] + p[1] / n as f64]);
    let mut edges = Vec::with_capacity(n);
    for k in 0..n {
        let (a, b) = (hull[k], hull[(k + 1) % n]);
        let edge = [b[0] - a[0], b[1] - a[1]];
        let length = edge[0].hypot(edge[1]);
        if length < 1e-6 {
            continue;
        }
        let normal = [edge[1] / length, -edge[0] / length];
        let room = normal[0] * (a[0] - middle[0]) + normal[1] * (a[1] - middle[1]);
        let offset = normal[0] * a[0] + normal[1] * a[1] - inset.min(room * 0.5);
        edges.push((normal, offset));
    }
    edges
}

/// The polygon shrunk about the mean of its corners.
pub(crate) fn inner(hull: &[Floor], share: f64) -> Vec<Floor> {
    let n = hull.len().max(1) as f64;
    let middle = hull.iter().fold([0.0; 2], |m, p| [m[0] + p[0] / n, m[1] + p[1] / n]);
    hull.iter().map(|p| [0, 1].map(|way| middle[way] + (p[way] - middle[way]) * share)).collect()
}

struct Problem<'a> {
    moments: &'a [Moment],
    start: Floor,
    end: Floor,
    /// Jerk values one way.
    n: usize,
    /// Zero-moment point at each frame by jerk, one way, row by row.
    rows: Vec<f64>,
    /// End position, velocity, acceleration by jerk.
    ends: [Vec<f64>; 3],
    /// First constraint of every frame.
    first: Vec<(usize, usize)>,
}

impl Problem<'_> {
    fn zmp(&self, x: &[f64], k: usize) -> Floor {
        let row = &self.rows[k * self.n..(k + 1) * self.n];
        let one = |way: usize| {
            self.start[way]
                + self.moments[k].added[way]
                + row.iter().zip(&x[way * self.n..]).map(|(r, x)| r * x).sum::<f64>()
        };
        [one(0), one(1)]
    }
}

impl Constraints for Problem<'_> {
    fn equalities(&self) -> usize {
        6
    }

    fn count(&self) -> usize {
        6 + self.first.len()
    }

    fn row(&self, i: usize, out: &mut [f64]) -> f64 {
        let n = self.n;
        if i < 6 {
            let (way, what) = (i / 3, i % 3);
            out[way * n..(way + 1) * n].copy_from_slice(&self.ends[what]);
            return if what == 0 { self.end[way] - self.start[way] } else { 0.0 };
        }
        let (k, edge) = self.first[i - 6];
        let (normal, offset) = self.moments[k].base[edge];
        let row = &self.rows[k * n..(k + 1) * n];
        let mut bound = -offset;
        for way in 0..2 {
            for (out, r) in out[way * n..(way + 1) * n].iter_mut().zip(row) {
                *out = -normal[way] * r;
            }
            bound += normal[way] * (self.start[way] + self.moments[k].added[way]);
        }
        bound
    }

    fn most_violated(&self, x: &[f64], skip: &[bool], tolerance: f64) -> Option<usize> {
        let mut worst = (tolerance, None);
        let mut at = usize::MAX;
        let mut p = [0.0; 2];
        for (i, (k, edge)) in self.first.iter().enumerate() {
            if *k != at {
                at = *k;
                p = self.zmp(x, at);
            }
            if skip[6 + i] {
                continue;
            }
            let (normal, offset) = self.moments[*k].base[*edge];
            let beyond = normal[0] * p[0] + normal[1] * p[1] - offset;
            if beyond > worst.0 {
                worst = (beyond, Some(6 + i));
            }
        }
        worst.1
    }
}

/// The plan from rest at `start` to rest at `end`; `None` when no course of the centre of mass keeps the
/// zero-moment point inside the base.
pub(crate) fn plan(moments: &[Moment], start: Floor, end: Floor, smoothness: f64) -> Option<Vec<Planned>> {
    let frames = moments.len();
    let n = frames - 1;
    let whole = moments[n].time - moments[0].time;
    let s: Vec<f64> = moments.iter().map(|m| (m.time - moments[0].time) / whole).collect();
    // Jerk in units of metres per whole duration cubed.
    let mut position = vec![0.0; frames * n];
    let mut bend = vec![0.0; frames * n];
    let mut ends = [vec![0.0; n], vec![0.0; n], vec![0.0; n]];
    for i in 0..n {
        for k in i + 1..frames {
            let (b, e) = (s[k] - s[i], s[k] - s[i + 1]);
            position[k * n + i] = (b * b * b - e * e * e) / 6.0;
            bend[k * n + i] = s[i + 1] - s[i];
        }
        let (b, e) = (1.0 - s[i], 1.0 - s[i + 1]);
        ends[0][i] = (b * b * b - e * e * e) / 6.0;
        ends[1][i] = (b * b - e * e) / 2.0;
        ends[2][i] = s[i + 1] - s[i];
    }
    let square = whole * whole;
    let mut rows = vec![0.0; frames * n];
    for k in 0..frames {
        let lever = moments[k].lever / square;
        for i in 0..n {
            rows[k * n + i] = position[k * n + i] - lever * bend[k * n + i];
        }
    }
    let mut first = Vec::new();
    for (k, moment) in moments.iter().enumerate().take(n).skip(1) {
        first.extend((0..moment.base.len()).map(|edge| (k, edge)));
    }

    // ω⁻² is the mean lever; jerk / ω³ in metres.
    let mean = moments.iter().map(|m| m.lever).sum::<f64>() / frames as f64;
    let jerk_unit = mean.powf(1.5) / whole.powi(3);
    let weight = |k: usize| {
        let before = if k > 0 { s[k] - s[k - 1] } else { 0.0 };
        let after = if k < n { s[k + 1] - s[k] } else { 0.0 };
        (before + after) / 2.0
    };
    let mut one = vec![0.0; n * n];
    for k in 1..frames {
        let (w, closeness) = (weight(k), moments[k].closeness);
        let (row, place) = (&rows[k * n..(k + 1) * n], &position[k * n..(k + 1) * n]);
        for j in 0..k.min(n) {
            for i in j..k.min(n) {
                one[j * n + i] += w * (row[i] * row[j] + closeness * place[i] * place[j]);
            }
        }
    }
    for i in 0..n {
        one[i * n + i] += smoothness * (s[i + 1] - s[i]) * jerk_unit * jerk_unit;
    }
    let both = 2 * n;
    let mut h = vec![0.0; both * both];
    let mut g = vec![0.0; both];
    for way in 0..2 {
        for j in 0..n {
            for i in j..n {
                h[(way * n + j) * both + way * n + i] = one[j * n + i];
            }
        }
        for (k, moment) in moments.iter().enumerate().skip(1) {
            let miss = start[way] + moment.added[way] - moment.reference[way];
            let off = moment.closeness * (start[way] - moment.near[way]);
            for i in 0..k.min(n) {
                g[way * n + i] += weight(k) * (miss * rows[k * n + i] + off * position[k * n + i]);
            }
        }
    }
    let problem = Problem { moments, start, end, n, rows, ends, first };
    let Outcome::Minimum { x, .. } = minimise(h, &g, &problem) else { return None };
    let value = |table: &[f64], k: usize, way: usize| {
        table[k * n..(k + 1) * n].iter().zip(&x[way * n..]).map(|(r, x)| r * x).sum::<f64>()
    };
    Some(
        (0..frames)
            .map(|k| Planned {
                position: [0, 1].map(|way| start[way] + value(&position, k, way)),
                acceleration: [0, 1].map(|way| value(&bend, k, way) / square),
                zero_moment_point: problem.zmp(&x, k),
            })
            .collect(),
    )
}

#[cfg(test)]
mod tests {
    use quantity::GRAVITY;

    use super::*;

    fn square(middle: Floor, half: Floor) -> Vec<(Floor, f64)> {
        let corner = |x: f64, z: f64| [middle[0] + x * half[0], middle[1] + z * half[1]];
        half_planes(&[corner(-1.0, -1.0), corner(1.0, -1.0), corner(1.0, 1.0), corner(-1.0, 1.0)], 0.0)
    }

    /// Both feet, then the left one, then both a step further on.
    fn step(seconds: f64) -> Vec<Moment> {
        let frames = 27;
        (0..frames)
            .map(|k| {
                let s = f64::from(k) / f64::from(frames - 1);
                let (reference, base) = if s < 0.3 {
                    ([0.0, -0.09 * s / 0.3], square([0.01, 0.0], [0.1, 0.14]))
                } else if s < 0.65 {
                    ([0.0, -0.09], square([0.01, -0.09], [0.1, 0.05]))
                } else {
                    ([0.2 * (s - 0.65) / 0.35, -0.05], square([0.2, 0.0], [0.3, 0.14]))
                };
                Moment {
                    time: s * seconds,
                    reference,
                    lever: 0.95 / GRAVITY,
                    added: [0.0; 2],
                    near: reference,
                    closeness: 0.0,
                    base,
                }
            })
            .collect()
    }

    #[test]
    fn the_zero_moment_point_stays_in_the_base_and_the_ends_are_at_rest() {
        let moments = step(2.0);
        let plan = plan(&moments, [0.0, 0.0], [0.22, 0.0], 0.01).unwrap();
        for (m, p) in moments.iter().zip(&plan) {
            for (n, o) in &m.base {
                let beyond = n[0] * p.zero_moment_point[0] + n[1] * p.zero_moment_point[1] - o;
                assert!(beyond < 1e-8, "at {} s: {beyond}", m.time);
            }
            // The pendulum's equation, from the returned values alone.
            for way in 0..2 {
                let again = p.position[way] - m.lever * p.acceleration[way];
                assert!((again - p.zero_moment_point[way]).abs() < 1e-9);
            }
        }
        let last = plan.last().unwrap();
        assert!((last.position[0] - 0.22).abs() < 1e-9 && last.position[1].abs() < 1e-9);
        assert!(last.acceleration[0].abs() < 1e-9 && plan[0].acceleration[1].abs() < 1e-9);
        assert!(plan[13].zero_moment_point[1] < -0.03, "over the standing foot while the other is off");
    }

    #[test]
    fn a_way_too_short_in_time_has_no_plan() {
        assert!(plan(&step(2.0), [0.0, 0.0], [0.22, 0.0], 0.01).is_some());
        let mut narrow = step(0.15);
        for m in &mut narrow {
            m.base = square(m.reference, [0.01, 0.01]);
        }
        assert!(plan(&narrow, [0.0, 0.0], [0.22, 0.0], 0.01).is_none());
    }

    /// Given all the time in the world, the pressure is where the held postures have it.
    #[test]
    fn slowly_the_zero_moment_point_follows_its_reference() {
        let mut moments = step(60.0);
        for m in &mut moments {
            let s = m.time / 60.0;
            m.base = square([0.0, 0.0], [0.5, 0.5]);
            m.reference = [0.2 * s * s * s * (10.0 - 15.0 * s + 6.0 * s * s), 0.0];
        }
        let plan = plan(&moments, [0.0, 0.0], [0.2, 0.0], 0.01).unwrap();
        for (m, p) in moments.iter().zip(&plan) {
            assert!((p.zero_moment_point[0] - m.reference[0]).abs() < 1e-3);
        }
    }
}
