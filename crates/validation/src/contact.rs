//! Hip and knee contact force in standing beside instrumented joints.

use anatomy::Side;
use biomech::{Phase, motion};
use movement::{Bearing, Family};
use quantity::Length;

use crate::asked::{Computed, plain};
use crate::body::{compared_mean, patients};
use crate::measure::{Band, Pressed, pressed};
use crate::people::{Person, person};
use crate::row::{Row, cannot, compared};
use crate::target::target;

/// Every figure about contact force.
pub(crate) fn rows() -> Vec<Row> {
    let ten: Vec<Person> = patients().iter().map(|p| Person::of(&p.size())).collect();
    let bands: Result<Vec<Band>, String> =
        ten.iter().map(|p| standing(p, Phase::SingleSupport, Pressed::Hip)).collect();
    let percent = |read: fn(&Band) -> f64| {
        bands.as_ref().map(|all| all.iter().map(|band| read(band) * 100.0).collect()).map_err(Clone::clone)
    };
    let (hips, highest) = (percent(|band| band.body_weights), percent(|band| band.high));
    let two = ["middle_woman", "middle_man"].map(person);
    let knees = |phase: Phase| {
        two.iter().map(|p| standing(p, phase, Pressed::Knee).map(|b| b.body_weights * 100.0)).collect()
    };
    vec![
        said("hip_one_leg_stance_mean", &hips, compared_mean),
        said("hip_one_leg_stance_high", &highest, compared_mean),
        said("hip_one_leg_stance_each", &hips, |id, values| {
            let off = values.iter().zip(patients()).map(|(v, p)| (v - p.one_leg_stance).abs());
            compared(target(id), off.sum::<f64>() / values.len() as f64)
        }),
        said("hip_one_leg_stance_spread", &hips, |id, values| {
            compared(target(id), standard_deviation(values))
        }),
        said("knee_one_leg_stance", &knees(Phase::SingleSupport), compared_mean),
        said("knee_two_leg_stance", &knees(Phase::Start), compared_mean),
    ]
}

/// A row of several contact forces, or why there is none.
fn said(id: &str, found: &Result<Vec<f64>, String>, row: impl Fn(&str, &[f64]) -> Row) -> Row {
    match found {
        Ok(values) => row(id, values),
        Err(why) => cannot(target(id), why),
    }
}

/// Contact force of the standing left leg: on both feet, or on the left
/// alone before a short step.
fn standing(person: &Person, phase: Phase, joint: Pressed) -> Result<Band, String> {
    let step = plain(Family::Step, Bearing::ALL[0], Length::cm(30.0));
    let motion = motion(&person.body, &person.capacity, &step).map_err(|e| e.to_string())?;
    let done = Computed::of(person, motion);
    let k = done
        .motion
        .frames
        .iter()
        .position(|frame| frame.phase == phase)
        .ok_or_else(|| "a step stands on both feet and then on one".to_owned())?;
    pressed(person, &done, k, joint, Side::Left)
}

fn standard_deviation(values: &[f64]) -> f64 {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    (values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (n - 1.0)).sqrt()
}
