//! Hip and knee contact force in standing beside instrumented joints.

use anatomy::Side;
use biomech::muscle::{Contact, ContactForces, JointLoads, LegFrame, contact, share};
use biomech::{Phase, moments, motion};
use movement::{Bearing, Family};
use quantity::Length;

use crate::asked::plain;
use crate::body::{compared_mean, patients};
use crate::people::{Person, person};
use crate::row::{Row, cannot, compared};
use crate::target::target;

/// Every figure about contact force.
pub(crate) fn rows() -> Vec<Row> {
    let ten: Vec<Person> = patients().iter().map(|p| Person::of(&p.size())).collect();
    let hip = |p: &Person| standing(p, Phase::SingleSupport).hip;
    let knee = |phase: Phase| move |p: &Person| standing(p, phase).knee;
    let two = ["middle_woman", "middle_man"].map(person);
    vec![
        said("hip_one_leg_stance_mean", ten.iter().map(hip), compared_mean),
        said("hip_one_leg_stance_each", ten.iter().map(hip), |id, values| {
            let off = values.iter().zip(patients()).map(|(v, p)| (v - p.one_leg_stance).abs());
            compared(target(id), off.sum::<f64>() / values.len() as f64)
        }),
        said("hip_one_leg_stance_spread", ten.iter().map(hip), |id, values| {
            compared(target(id), standard_deviation(values))
        }),
        said("knee_one_leg_stance", two.iter().map(|p| knee(Phase::SingleSupport)(p)), compared_mean),
        said("knee_two_leg_stance", two.iter().map(|p| knee(Phase::Start)(p)), compared_mean),
    ]
}

/// A row of several contact forces in per cent of body weight, or why there is none.
fn said(id: &str, found: impl Iterator<Item = Contact>, row: impl Fn(&str, &[f64]) -> Row) -> Row {
    let all: Result<Vec<f64>, String> = found.map(percent).collect();
    match all {
        Ok(values) => row(id, &values),
        Err(why) => cannot(target(id), &why),
    }
}

fn percent(contact: Contact) -> Result<f64, String> {
    match contact {
        Contact::Estimate { body_weights, .. } => Ok(body_weights * 100.0),
        Contact::Unknown { why } => Err(why.to_string()),
    }
}

/// Contact forces of the standing left leg: on both feet, or on the left alone before a short step.
fn standing(person: &Person, phase: Phase) -> ContactForces {
    let step = plain(Family::Step, Bearing::ALL[0], Length::cm(30.0));
    let done = motion(&person.body, &person.capacity, &step).unwrap_or_else(|e| panic!("{e}"));
    let all = moments(&person.body, &done);
    let k = done
        .frames
        .iter()
        .position(|frame| frame.phase == phase)
        .unwrap_or_else(|| panic!("a step stands on both feet and then on one"));
    let leg = LegFrame::of(&all.frames[k], Side::Left);
    let shared = share(&person.body, &person.capacity, Side::Left, &leg);
    let loads = JointLoads::held(&person.body, &done.frames[k], Side::Left);
    contact(&person.body, Side::Left, &leg, &loads, &shared)
}

fn standard_deviation(values: &[f64]) -> f64 {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    (values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (n - 1.0)).sqrt()
}
