//! One movement in time, in plain words: phases, peak moments beside held ones, the least margin.

use anatomy::{Coordinate, JointMotion, Side};
use biomech::course::{Course, course};
use biomech::{Body, Capacity, JointMoments, Motion};
use movement::Tempo;
use serde::Serialize;

/// A moment is listed where it is at least this large in time or held, N·m. A choice of display.
const LISTED_FROM_NM: f64 = 20.0;

/// One phase.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PhaseRow {
    /// Its name.
    pub phase: String,
    /// Begins, seconds from the start.
    pub from_s: f64,
    /// Ends.
    pub to_s: f64,
}

/// One joint motion: the largest internal moment of the key postures and over the course.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PeakRow {
    /// Which leg; absent for the trunk.
    pub side: Option<Side>,
    /// Which motion.
    pub motion: String,
    /// Largest of the held key postures, N·m.
    pub held_nm: f64,
    /// Largest over the course, N·m.
    pub in_time_nm: f64,
}

/// A movement in time, or why there is none. An estimate of one smooth way of doing it.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "in_time")]
pub enum InTime {
    /// Computed.
    Course {
        /// Seconds out, held, back, still.
        tempo_s: [f64; 4],
        /// In order.
        phases: Vec<PhaseRow>,
        /// The larger ones, largest in time first.
        peaks: Vec<PeakRow>,
        /// On one leg: least distance from the pressure to the edge of the foot, centimetres.
        on_one_leg_margin_cm: Option<f64>,
    },
    /// Not computed.
    None {
        /// The tempo that was asked, seconds out, held, back, still.
        tempo_s: [f64; 4],
        /// Why, as a sentence.
        words: String,
    },
}

fn seconds(tempo: &Tempo) -> [f64; 4] {
    [tempo.out, tempo.hold, tempo.back, tempo.settle].map(|t| t.in_s())
}

impl InTime {
    /// The movement of these key postures at a tempo, beside their held moments.
    #[must_use]
    pub fn of(body: &Body, capacity: &Capacity, motion: &Motion, held: &JointMoments, tempo: &Tempo) -> Self {
        match course(body, capacity, motion, tempo) {
            Ok(course) => Self::Course {
                tempo_s: seconds(tempo),
                phases: course
                    .phases()
                    .iter()
                    .map(|p| PhaseRow {
                        phase: p.phase.name().to_owned(),
                        from_s: p.from.in_s(),
                        to_s: p.to.in_s(),
                    })
                    .collect(),
                peaks: peaks(&course, held),
                on_one_leg_margin_cm: course.least_single_support_margin().map(|m| m.in_cm()),
            },
            Err(error) => Self::None { tempo_s: seconds(tempo), words: error.to_string() },
        }
    }

    /// The block of the explanation.
    pub(crate) fn text(&self) -> String {
        let head = |t: &[f64; 4]| {
            format!(
                "\nIn time (estimates; not used by the gates): {} s out, {} s held, {} s back, {} s still\n",
                t[0], t[1], t[2], t[3]
            )
        };
        match self {
            Self::None { tempo_s, words } => format!("{}  Not computed. {words}.\n", head(tempo_s)),
            Self::Course { tempo_s, phases, peaks, on_one_leg_margin_cm } => {
                let mut out = head(tempo_s);
                let spans: Vec<String> = phases
                    .iter()
                    .map(|p| format!("{} {:.1} to {:.1} s", p.phase, p.from_s, p.to_s))
                    .collect();
                out.push_str(&format!("  Phases: {}.\n", spans.join(", ")));
                out.push_str("  Largest internal moments, N·m: held, in time\n");
                for row in peaks {
                    let side = row.side.map_or_else(String::new, |s| format!("{s} "));
                    out.push_str(&format!(
                        "    {:<32} {:>4.0} {:>4.0}\n",
                        format!("{side}{}", row.motion),
                        row.held_nm,
                        row.in_time_nm
                    ));
                }
                if let Some(cm) = on_one_leg_margin_cm {
                    out.push_str(&format!(
                        "  On one leg the pressure stays {cm:.1} cm inside the edge of the foot at the least.\n"
                    ));
                }
                out
            }
        }
    }
}

fn peaks(course: &Course, held: &JointMoments) -> Vec<PeakRow> {
    let row = |side: Option<Side>, motion: JointMotion| {
        let of = side.unwrap_or(Side::Left);
        let held_nm = held
            .frames
            .iter()
            .map(|f| f.moment(of, motion.coordinate).in_nm() * motion.sign())
            .fold(0.0, f64::max);
        let in_time_nm = course.peak(of, motion).in_nm();
        let name = motion.name().to_owned();
        (held_nm.max(in_time_nm) >= LISTED_FROM_NM).then_some(PeakRow {
            side,
            motion: name,
            held_nm,
            in_time_nm,
        })
    };
    let legs = Side::BOTH.into_iter().flat_map(|side| Coordinate::LEG.map(|c| (Some(side), c)));
    let all = legs.chain(Coordinate::TRUNK.map(|c| (None, c)));
    let mut rows: Vec<PeakRow> =
        all.flat_map(|(side, c)| [row(side, c.positive()), row(side, c.negative())]).flatten().collect();
    rows.sort_by(|a, b| b.in_time_nm.total_cmp(&a.in_time_nm));
    rows
}
