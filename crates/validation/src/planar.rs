//! Inverse dynamics of a leg in one plane, from the ground up (Newton and Euler).
//!
//! For each segment, foot first: `F_p = m a − F_d + m g j`, `M_p = I α − M_d − (r_d − r_c) × F_d −
//! (r_p − r_c) × F_p`, where `p` is the upper and `d` the lower end; `−F_p` and `−M_p` act on the
//! segment above. The foot's lower end is the centre of pressure with the ground's force.

use std::sync::OnceLock;

use quantity::reference::TableHead;
use serde::Deserialize;

/// One frame of the reference run with its answers.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Frame {
    pub(crate) frame: u32,
    hip: [f64; 2],
    knee: [f64; 2],
    ankle: [f64; 2],
    /// Thigh, shank, foot.
    acceleration: [[f64; 2]; 3],
    turning: [f64; 3],
    ground_force: [f64; 2],
    pressure_at: f64,
    /// Hip, knee, ankle.
    pub(crate) force: [f64; 3],
    pub(crate) moment: [f64; 3],
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Segments {
    mass: [f64; 3],
    inertia: [f64; 3],
    centre: [f64; 3],
    gravity: f64,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Run {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    pub(crate) segments: Segments,
    pub(crate) frame: Vec<Frame>,
}

/// The reference run.
pub(crate) fn run() -> &'static Run {
    static RUN: OnceLock<Run> = OnceLock::new();
    RUN.get_or_init(|| {
        toml::from_str(include_str!("../../../reference/validation/running_frames.toml"))
            .unwrap_or_else(|e| panic!("reference/validation/running_frames.toml: {e}"))
    })
}

fn cross(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}

fn between(a: [f64; 2], b: [f64; 2], share: f64) -> [f64; 2] {
    [a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share]
}

fn less(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    [a[0] - b[0], a[1] - b[1]]
}

/// Joint force magnitudes (N) and internal moments (N·m) of hip, knee and ankle.
pub(crate) fn inverse_dynamics(segments: &Segments, frame: &Frame) -> ([f64; 3], [f64; 3]) {
    let upper = [frame.hip, frame.knee, frame.ankle];
    let lower = [frame.knee, frame.ankle, [frame.pressure_at, 0.0]];
    let (mut force, mut moment) = ([0.0; 3], [0.0; 3]);
    let (mut f_d, mut m_d) = (frame.ground_force, 0.0);
    for k in [2, 1, 0] {
        // The foot's centre is given at the ankle, so its lower end does not matter for it.
        let end = if k == 2 { upper[k] } else { lower[k] };
        let centre = between(upper[k], end, segments.centre[k]);
        let a = frame.acceleration[k];
        let m = segments.mass[k];
        let f_p = [m * a[0] - f_d[0], m * (a[1] + segments.gravity) - f_d[1]];
        let m_p = segments.inertia[k] * frame.turning[k]
            - m_d
            - cross(less(lower[k], centre), f_d)
            - cross(less(upper[k], centre), f_p);
        force[k] = f_p[0].hypot(f_p[1]);
        moment[k] = m_p;
        f_d = [-f_p[0], -f_p[1]];
        m_d = -m_p;
    }
    (force, moment)
}
