//! What one movement asks of the muscles of the legs, what changes its demands, and the next step up.

use anatomy::{LegMuscles, Side};
use biomech::muscle::{Arms, MuscleDemand};
use biomech::{
    Body, Capacity, Demand, Motion, Sensitivity, SetSensitivity, Slope, StepOf, StepUp, sensitivities,
    set_sensitivities, smallest_step_up,
};
use serde::Serialize;

/// How many demands, muscle sets and steps are shown: the largest ones.
const SHOWN: usize = 6;

/// One set of muscles: its largest share over the key moments.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MuscleRow {
    /// Which leg.
    pub side: Side,
    /// Which set; the vasti are one.
    pub set: LegMuscles,
    /// Per cent of the set's strength, an estimate.
    pub percent: f64,
    /// Lower end of the band.
    pub low: f64,
    /// Upper end of the band.
    pub high: f64,
    /// How far the levers of the set can be trusted in this posture.
    pub levers: Arms,
}

/// How one joint demand answers to a centimetre, a kilogram, a degree of lean.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ChangeRow {
    /// Which leg; absent for the trunk.
    pub side: Option<Side>,
    /// Which motion.
    pub motion: String,
    /// Per cent of capacity now, an estimate; absent where the capacity is unknown.
    pub percent: Option<f64>,
    /// By lever: per centimetre, per kilogram, per degree of lean.
    pub slopes: [Slope; 3],
}

/// The smallest step of one kind that is felt.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StepRow {
    /// Of what.
    pub of: StepOf,
    /// What came of it.
    pub step: StepUp,
}

/// Everything of this page. All figures are estimates.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Inside {
    /// Muscle sets whose share is known, largest first.
    pub muscles: Vec<MuscleRow>,
    /// Joint demands, largest first, unknown ones last.
    pub changes: Vec<ChangeRow>,
    /// For the largest known joint demand: which, and its steps up.
    pub steps_for: Option<String>,
    /// Whether a step is allowed is for the gates to say.
    pub steps: Vec<StepRow>,
}

impl Inside {
    /// Computes it for a solved movement.
    #[must_use]
    pub fn of(body: &Body, capacity: &Capacity, motion: &Motion) -> Self {
        let mut muscles: Vec<MuscleRow> =
            set_sensitivities(body, capacity, motion).iter().filter_map(muscle_row).collect();
        muscles.sort_by(|a, b| b.percent.total_cmp(&a.percent));
        let mut all = sensitivities(body, capacity, motion);
        let known = |s: &Sensitivity| s.demand.share().map_or(-1.0, |share| share.in_one());
        all.sort_by(|a, b| known(b).total_cmp(&known(a)));
        let most = all.iter().find_map(|s| match (s.side, s.demand) {
            (Some(side), Demand::Estimate { .. }) => Some((side, s.motion)),
            _ => None,
        });
        let steps = most.map_or_else(Vec::new, |(side, joint)| {
            smallest_step_up(body, capacity, motion, side, joint)
                .into_iter()
                .map(|(of, step)| StepRow { of, step })
                .collect()
        });
        Self {
            muscles,
            changes: all
                .iter()
                .map(|s| ChangeRow {
                    side: s.side,
                    motion: s.motion.name().to_owned(),
                    percent: s.demand.share().map(|share| share.in_percent()),
                    slopes: s.slopes,
                })
                .collect(),
            steps_for: most.map(|(side, joint)| format!("{side} {joint}")),
            steps,
        }
    }

    /// The page as text.
    #[must_use]
    pub fn text(&self) -> String {
        let mut out = String::from(
            "\n  Muscles of the legs, share of their strength at the hardest moment (estimates; the vasti are one set)\n",
        );
        for row in self.muscles.iter().take(SHOWN) {
            let levers = match row.levers {
                Arms::Agreed => "",
                Arms::Variable => "; muscle paths disagree, less certain",
                Arms::Turned => "; turned by the bent joint, says little",
            };
            out.push_str(&format!(
                "  {:<34} {:>4.0} %  ({:.0} to {:.0}){levers}\n",
                format!("{} {}", row.side, row.set.name()),
                row.percent,
                row.low,
                row.high
            ));
        }
        if self.muscles.is_empty() {
            out.push_str("  not known: strength, posture or muscle paths are unknown here\n");
        }
        out.push_str(
            "\n  What changes the largest demands (estimates, points of capacity)       per cm       per kg  per ° of lean\n",
        );
        for row in self.changes.iter().filter(|row| row.percent.is_some()).take(SHOWN) {
            let side = row.side.map_or_else(String::new, |s| format!("{s} "));
            let percent = row.percent.unwrap_or_default();
            out.push_str(&format!("  {:<58} {percent:>4.0} %", format!("{side}{}", row.motion)));
            for slope in row.slopes {
                out.push_str(&format!("{:>13}", slope_words(slope)));
            }
            out.push('\n');
        }
        if let Some(what) = &self.steps_for {
            out.push_str(&format!(
                "\n  The smallest step up that {what} would feel (an estimate; the gates say whether it is allowed)\n"
            ));
            for row in &self.steps {
                if let Some(words) = step_words(row) {
                    out.push_str(&format!("  {words}\n"));
                }
            }
        }
        out
    }
}

fn muscle_row(found: &SetSensitivity) -> Option<MuscleRow> {
    match found.demand {
        MuscleDemand::Estimate { share, low, high, arms } => Some(MuscleRow {
            side: found.side,
            set: found.set,
            percent: share.in_percent(),
            low: low.in_percent(),
            high: high.in_percent(),
            levers: arms,
        }),
        MuscleDemand::Unknown { .. } => None,
    }
}

fn slope_words(slope: Slope) -> String {
    match slope {
        Slope::PerUnit { share: Some(share), .. } => {
            let points = share * 100.0;
            format!("{:+.2}", if points.abs() < 0.005 { 0.0 } else { points })
        }
        Slope::PerUnit { share: None, .. } => "not known".to_owned(),
        Slope::CannotSay { .. } => "cannot say".to_owned(),
    }
}

fn step_words(row: &StepRow) -> Option<String> {
    let (kind, unit) = match row.of {
        StepOf::Distance => ("further", "cm"),
        StepOf::Depth => ("deeper", "cm"),
        StepOf::Load => ("heavier", "kg"),
    };
    Some(match &row.step {
        StepUp::Found { by, .. } => format!("{by:.0} {unit} {kind}"),
        StepUp::NotWithin { tried } => format!("{kind}: about the same or less up to {tried:.0} {unit} more"),
        StepUp::OutOfReach { after } if *after > 0.0 => {
            format!("{kind}: about the same or less up to {after:.0} {unit} more, then out of reach")
        }
        StepUp::OutOfReach { .. } => format!("{kind}: out of reach"),
        StepUp::DemandUnknown | StepUp::DoesNotApply => return None,
    })
}
