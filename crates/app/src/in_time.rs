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

#[cfg(test)]
mod tests {
    use anatomy::{BodySize, PerSide, Sex};
    use biomech::{moments, motion};
    use movement::{Bearing, Family, MovementSpec};
    use quantity::{Length, Mass, Span};

    use super::*;

    fn block(seconds: f64) -> (InTime, String) {
        let size = BodySize::new(Length::cm(176.0), Mass::kg(80.0), Sex::Male, 60, PerSide::default())
            .unwrap_or_else(|e| panic!("{e}"));
        let (body, capacity) = (Body::of(&size), Capacity::of(&size, &[]));
        let leg = body.leg_length(Side::Right);
        let spec = MovementSpec {
            depth: Some(leg.times(0.15)),
            ..MovementSpec::bare(
                Family::Lunge,
                Side::Right,
                Bearing::ALL[0],
                Family::Lunge.ways(Bearing::ALL[0], Side::Right)[0],
                leg.times(0.5),
            )
        };
        let found = motion(&body, &capacity, &spec).unwrap_or_else(|e| panic!("{e}"));
        let way = Span::s(seconds);
        let tempo = Tempo { out: way, hold: Span::s(1.0), back: way, settle: Span::s(2.0) };
        let shown = InTime::of(&body, &capacity, &found, &moments(&body, &found), &tempo);
        let text = shown.text();
        (shown, text)
    }

    /// What a reader of `explain` is told: that it is an estimate and no gate, when each phase is, the larger
    /// moments beside those of the held postures, the margin on one leg.
    #[test]
    fn the_block_says_estimates_phases_moments_and_margin() {
        let (shown, text) = block(3.0);
        let InTime::Course { phases, peaks, on_one_leg_margin_cm, .. } = &shown else { panic!("{shown:?}") };
        let head = "In time (estimates; not used by the gates): 3 s out, 1 s held, 3 s back, 2 s still";
        assert_eq!(text.lines().nth(1), Some(head));
        let named: Vec<&str> = phases.iter().map(|p| p.phase.as_str()).collect();
        assert_eq!(
            named,
            ["shift", "swing", "land and load", "hold", "push off", "swing back", "settle"],
            "{text}"
        );
        assert_eq!((phases[0].from_s, phases[6].to_s), (0.0, 7.0));
        assert!(phases.windows(2).all(|p| p[0].to_s <= p[1].from_s + 1e-9 && p[0].from_s < p[0].to_s));
        assert!(text.contains("  Phases: shift 0.0 to 0.8 s, swing 0.8 to "), "{text}");
        assert!(peaks.windows(2).all(|p| p[0].in_time_nm >= p[1].in_time_nm), "largest first");
        for row in peaks {
            assert!(row.in_time_nm.max(row.held_nm) >= LISTED_FROM_NM);
            let side = row.side.map_or_else(String::new, |s| format!("{s} "));
            let name = format!("{side}{}", row.motion);
            let figures = format!("{:.0} {:>4.0}", row.held_nm, row.in_time_nm);
            let shown = text.lines().any(|l| l.trim_start().starts_with(&name) && l.ends_with(&figures));
            assert!(shown, "{name} {figures} in\n{text}");
        }
        // What is strained most in the held posture is listed.
        let leading = |p: &&PeakRow| p.side == Some(Side::Right) && p.motion == "knee extension";
        let knee = peaks.iter().find(leading).unwrap_or_else(|| panic!("{text}"));
        assert!(knee.held_nm > 40.0 && knee.in_time_nm > 0.95 * knee.held_nm, "{knee:?}");
        assert!(on_one_leg_margin_cm.is_some_and(|cm| cm > 0.0) && text.contains("On one leg the pressure"));
    }

    #[test]
    fn a_tempo_too_quick_is_not_computed_and_one_that_can_be_is_named() {
        let (shown, text) = block(0.8);
        assert!(matches!(shown, InTime::None { .. }), "{shown:?}");
        assert!(text.contains("0.8 s out") && text.contains("  Not computed. "), "{text}");
        assert!(text.contains("feasible at") || text.contains("finds one at"), "{text}");
    }
}
