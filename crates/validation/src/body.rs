//! The standing body beside published heights and spacings.

use std::sync::OnceLock;

use anatomy::{BodySize, PerSide, Sex, Side};
use biomech::{Body, Capacity, Landmark, Phase, motion};
use movement::{Bearing, Family};
use quantity::reference::TableHead;
use quantity::{GRAVITY, Length, Mass};
use serde::Deserialize;

use crate::asked::plain;
use crate::people::sized;
use crate::row::{Row, compared, shown, told};
use crate::target::target;

/// One of the people with an instrumented hip.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(dead_code, reason = "every column of the table is parsed")]
pub(crate) struct Patient {
    pub(crate) name: String,
    pub(crate) sex: Sex,
    pub(crate) side: Side,
    /// Centimetres.
    pub(crate) stature: f64,
    /// Newtons.
    pub(crate) weight: f64,
    /// Per cent of body weight.
    pub(crate) one_leg_stance: f64,
    /// Per cent of body weight.
    pub(crate) level_walking: f64,
    /// Millimetres.
    pub(crate) hip_spacing: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Patients {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    person: Vec<Patient>,
}

/// The ten people with instrumented hips.
pub(crate) fn patients() -> &'static [Patient] {
    static ALL: OnceLock<Vec<Patient>> = OnceLock::new();
    ALL.get_or_init(|| {
        let table: Patients =
            toml::from_str(include_str!("../../../reference/validation/hip_contact_bergmann2016.toml"))
                .unwrap_or_else(|e| panic!("reference/validation/hip_contact_bergmann2016.toml: {e}"));
        table.person
    })
}

impl Patient {
    /// Their body size; the age was not read, so the age of an ordinary hip replacement is assumed.
    pub(crate) fn size(&self) -> BodySize {
        const AGE: u8 = 60;
        sized(Length::cm(self.stature), Mass::kg(self.weight / GRAVITY), self.sex, AGE)
    }
}

/// Every figure about the standing body.
pub(crate) fn rows() -> Vec<Row> {
    let mut rows = Vec::new();
    for (sex, key, sample_hip) in [
        (Sex::Female, "female", target("hip_height_female").figure()),
        (Sex::Male, "male", target("hip_height_male").figure()),
    ] {
        let from_stature = sized(Length::m(STATURE), Mass::kg(68.0), sex, 25);
        let like_sample = with_hip_height(sex, sample_hip);
        rows.push(compared(target(&format!("centre_of_mass_{key}_sample")), centre_height(&like_sample)));
        rows.push(compared(target(&format!("centre_of_mass_{key}")), centre_height(&from_stature)));
        rows.push(compared(target(&format!("hip_height_{key}")), hip_height(&from_stature)));
    }
    let bodies: Vec<(f64, Body)> =
        patients().iter().map(|p| (p.stature / 100.0, Body::of(&p.size()))).collect();
    let mean =
        |read: &dyn Fn(&(f64, Body)) -> f64| bodies.iter().map(read).sum::<f64>() / bodies.len() as f64;
    rows.push(compared(target("hip_spacing_patients"), mean(&|(h, b)| b.hip_spacing().in_m() / h)));
    rows.push(compared(target("femur_length_patients"), mean(&|(h, b)| thigh(b) / h)));
    rows
}

const STATURE: f64 = 1.74;

/// A body whose hip centres stand at such a share of stature: Hara 2016 puts the hip 0.009 m plus
/// 0.078 leg lengths below the iliac spine, our ankle stands at 0.039 of stature.
fn with_hip_height(sex: Sex, share: f64) -> BodySize {
    let legs = (share - 0.039) * STATURE;
    let given = Some(Length::m((legs + 0.009) / (1.0 - 0.078)));
    let limbs = PerSide { left: given, right: given };
    BodySize::new(Length::m(STATURE), Mass::kg(68.0), sex, 25, limbs).unwrap_or_else(|e| panic!("{e}"))
}

fn standing(size: &BodySize) -> biomech::KeyFrame {
    let body = Body::of(size);
    let short_step = plain(Family::Step, Bearing::ALL[0], Length::cm(30.0));
    let done = motion(&body, &Capacity::of(size, &[]), &short_step).unwrap_or_else(|e| panic!("{e}"));
    done.of_phase(Phase::Start)
        .next()
        .cloned()
        .unwrap_or_else(|| panic!("a motion begins with both feet at the start"))
}

fn centre_height(size: &BodySize) -> f64 {
    standing(size).centre_of_mass[1] / size.stature().in_m()
}

fn hip_height(size: &BodySize) -> f64 {
    standing(size).posture.point(Landmark::MidHip)[1] / size.stature().in_m()
}

fn thigh(body: &Body) -> f64 {
    let posture = standing(body.size()).posture;
    let (hip, knee) = (posture.point(Landmark::Hip(Side::Right)), posture.point(Landmark::Knee(Side::Right)));
    (0..3).map(|k| (hip[k] - knee[k]).powi(2)).sum::<f64>().sqrt()
}

/// A row that prints mean and range of several values and judges the mean.
pub(crate) fn compared_mean(id: &str, values: &[f64]) -> Row {
    let t = target(id);
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    let least = values.iter().copied().fold(f64::INFINITY, f64::min);
    let most = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let show = |x: f64| shown(x, t.digits);
    let row = compared(t, mean);
    told(t, format!("{} ({} to {})", show(mean), show(least), show(most)), row.verdict)
}
