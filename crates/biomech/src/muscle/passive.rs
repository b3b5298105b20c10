//! Passive elastic moments of hip, knee and ankle in the sagittal plane, for the report only.
//!
//! `M = Σ ± exp(constant + a_h h + a_k k + a_a a) + offset` for each joint (Riener & Edrich 1999),
//! angles in degrees. Healthy young men, not scaled to body size. No posture and no demand uses it:
//! the equations explode outside the tested range, and one exponent was read in two versions
//! (`reference/passive_riener1999.toml` says which is used).

use std::sync::OnceLock;

use quantity::reference::{HowRead, TableHead};
use quantity::{Angle, Moment};
use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    row: [Row; 3],
    #[cfg_attr(not(test), allow(dead_code, reason = "checked by tests"))]
    vector: Vec<Vector>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    joint: String,
    offset: f64,
    terms: Vec<Term>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Term {
    sign: f64,
    constant: f64,
    hip: f64,
    knee: f64,
    ankle: f64,
    #[serde(default)]
    #[allow(dead_code, reason = "for the reader of the table")]
    read: Option<HowRead>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(not(test), allow(dead_code, reason = "checked by tests"))]
struct Vector {
    angles: [f64; 3],
    moments: [f64; 3],
    #[allow(dead_code, reason = "for the reader of the table")]
    read: HowRead,
}

fn file() -> &'static File {
    static ALL: OnceLock<File> = OnceLock::new();
    ALL.get_or_init(|| {
        let file: File = toml::from_str(include_str!("../../../../reference/passive_riener1999.toml"))
            .unwrap_or_else(|e| panic!("reference/passive_riener1999.toml: {e}"));
        let joints = ["hip", "knee", "ankle"];
        assert!(file.row.iter().map(|r| r.joint.as_str()).eq(joints), "rows are hip, knee, ankle");
        file
    })
}

/// Passive moments of one leg.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PassiveMoments {
    /// Toward hip flexion.
    pub hip: Moment,
    /// Toward knee flexion.
    pub knee: Moment,
    /// Toward dorsiflexion.
    pub ankle: Moment,
}

/// What tissues alone do in this posture of hip flexion, knee flexion and ankle dorsiflexion;
/// `None` where the equations give no finite moment.
#[must_use]
pub fn passive_moments(hip: Angle, knee: Angle, ankle: Angle) -> Option<PassiveMoments> {
    let [h, k, a] = [hip, knee, ankle].map(Angle::in_deg);
    let moments = file().row.each_ref().map(|row| {
        let terms =
            row.terms.iter().map(|t| t.sign * (t.constant + t.hip * h + t.knee * k + t.ankle * a).exp());
        row.offset + terms.sum::<f64>()
    });
    moments.iter().all(|m| m.is_finite()).then(|| {
        let [hip, knee, ankle] = moments.map(Moment::nm);
        PassiveMoments { hip, knee, ankle }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn passive_moments_have_the_values_of_the_table() {
        assert_eq!(file().vector.len(), 4);
        for vector in &file().vector {
            let [h, k, a] = vector.angles.map(Angle::deg);
            let got = passive_moments(h, k, a).unwrap();
            for (got, want) in [got.hip, got.knee, got.ankle].into_iter().zip(vector.moments) {
                assert!((got.in_nm() - want).abs() < 0.006, "{:?}: {got:?}, want {want}", vector.angles);
            }
        }
    }

    #[test]
    fn tissues_resist_both_ends_of_the_range() {
        let at =
            |h: f64, k: f64, a: f64| passive_moments(Angle::deg(h), Angle::deg(k), Angle::deg(a)).unwrap();
        assert!(at(-20.0, 20.0, 0.0).hip.in_nm() > 0.0 && at(110.0, 20.0, 0.0).hip.in_nm() < 0.0);
        assert!(at(0.0, 0.0, 0.0).knee.in_nm() > 0.0 && at(0.0, 130.0, 0.0).knee.in_nm() < 0.0);
        assert!(at(0.0, 20.0, -40.0).ankle.in_nm() > 0.0 && at(0.0, 20.0, 25.0).ankle.in_nm() < 0.0);
    }
}
