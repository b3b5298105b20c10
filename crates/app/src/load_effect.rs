//! How much a carried load changes the peak moments of a movement, beside the same movement without it.

use anatomy::{Coordinate, JointMotion, Side};
use biomech::{Body, Capacity, JointMoments, moments, motion};
use movement::{Load, MovementSpec};
use serde::Serialize;

/// A moment is listed where it is at least this large with or without the load, N·m. A choice of display.
const LISTED_FROM_NM: f64 = 10.0;

/// How many are listed: the largest ones.
const SHOWN: usize = 6;

/// The largest held moment of one joint motion with the load and without it: estimates.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LoadRow {
    /// Which leg; absent for the trunk.
    pub side: Option<Side>,
    /// Which motion.
    pub motion: String,
    /// With the load, N·m.
    pub with_nm: f64,
    /// Without it, N·m.
    pub without_nm: f64,
}

/// What a load changes. The posture without it is computed anew, so it may be another one.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "load_effect")]
pub enum LoadEffect {
    /// Both were computed.
    Compared {
        /// What is carried in all, kilograms.
        carried_kg: f64,
        /// The same, per cent of body mass.
        of_mass_percent: f64,
        /// The larger moments, largest first.
        rows: Vec<LoadRow>,
    },
    /// Without the load there is no such posture.
    None {
        /// Why.
        words: String,
    },
}

impl LoadEffect {
    /// The effect of the load of a movement; `None` where nothing is carried.
    #[must_use]
    pub fn of(
        body: &Body,
        capacity: &Capacity,
        mass_kg: f64,
        spec: &MovementSpec,
        loaded: &JointMoments,
    ) -> Option<Self> {
        let carried_kg = spec.load.total().in_kg();
        if carried_kg <= 0.0 {
            return None;
        }
        let plain = MovementSpec { load: Load::None, ..spec.clone() };
        let plain = match motion(body, capacity, &plain) {
            Ok(motion) => moments(body, &motion),
            Err(error) => return Some(Self::None { words: error.to_string() }),
        };
        let both = |c: Coordinate| [c.positive(), c.negative()];
        let legs = Side::BOTH
            .into_iter()
            .flat_map(|side| Coordinate::LEG.into_iter().flat_map(both).map(move |m| (Some(side), m)));
        let trunk = Coordinate::TRUNK.into_iter().flat_map(both).map(|m| (None, m));
        let row = |(side, motion): (Option<Side>, JointMotion)| {
            let of = side.unwrap_or(Side::Left);
            LoadRow {
                side,
                motion: motion.name().to_owned(),
                with_nm: loaded.peak(of, motion).in_nm(),
                without_nm: plain.peak(of, motion).in_nm(),
            }
        };
        let mut rows: Vec<LoadRow> =
            legs.chain(trunk).map(row).filter(|r| r.with_nm.max(r.without_nm) >= LISTED_FROM_NM).collect();
        rows.sort_by(|a, b| b.with_nm.total_cmp(&a.with_nm));
        Some(Self::Compared { carried_kg, of_mass_percent: carried_kg / mass_kg * 100.0, rows })
    }

    /// As text.
    #[must_use]
    pub fn text(&self) -> String {
        match self {
            Self::None { words } => {
                format!("\n  What the load changes cannot be said: without it, {words}.\n")
            }
            Self::Compared { carried_kg, of_mass_percent, rows } => {
                let mut out = format!(
                    "\n  What the load changes ({carried_kg:.1} kg, {of_mass_percent:.0} % of body mass): peak held moments beside the same movement without it (estimates)\n"
                );
                for row in rows.iter().take(SHOWN) {
                    let side = row.side.map_or_else(String::new, |side| format!("{side} "));
                    let change = row.with_nm - row.without_nm;
                    let percent = if row.without_nm >= LISTED_FROM_NM {
                        format!(" ({:+.0} %)", change / row.without_nm * 100.0)
                    } else {
                        String::new()
                    };
                    out.push_str(&format!(
                        "  {:<34} {:>4.0} instead of {:.0} N·m, {change:+.0}{percent}\n",
                        format!("{side}{}", row.motion),
                        row.with_nm,
                        row.without_nm
                    ));
                }
                out
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;

    fn explained(sentence: &str) -> crate::Explanation {
        let case = crate::demo_cases()[6].read().unwrap_or_else(|e| panic!("{e}"));
        let today = crate::day_of(&case, None, date(2000, 1, 1));
        crate::explain_case(&case, sentence, today).unwrap_or_else(|e| panic!("{e}"))
    }

    #[test]
    fn a_load_is_compared_with_the_same_movement_without_it_and_more_of_it_asks_more_of_the_knee() {
        let plain = "right lunge anterior 50 cm depth 15 cm";
        assert_eq!(explained(plain).load_effect, None);
        let knee = |kg: &str| {
            let told = explained(&format!("{plain} {kg} kg"));
            assert!(told.text().contains("What the load changes") && told.text().contains("estimates"));
            let Some(LoadEffect::Compared { rows, .. }) = told.load_effect else { panic!("compared") };
            let is = |r: &&LoadRow| r.side == Some(Side::Right) && r.motion == "knee extension";
            let row = rows.iter().find(is).unwrap_or_else(|| panic!("{rows:?}")).clone();
            (row.with_nm, row.without_nm)
        };
        let ((light, without), (heavy, again)) = (knee("2"), knee("4.5"));
        assert!((without - again).abs() < 1e-9, "the same movement without: {without}, {again}");
        assert!(without < light && light < heavy, "{without}, {light}, {heavy}");
    }
}
