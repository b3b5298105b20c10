//! Joint moments of a forward lunge beside what is remembered of their size.

use movement::{AnatomicalDirection, Family};

use crate::asked::{Asked, Distance, Limb};
use crate::body::compared_mean;
use crate::measure::{At, Measure};
use crate::people::{Person, person};
use crate::row::{Row, cannot};
use crate::target::target;

/// Three rows read as memory.
pub(crate) fn rows() -> Vec<Row> {
    let people = ["young_woman", "young_man"].map(person);
    [
        ("lunge_moment_hip", "hip_extension"),
        ("lunge_moment_knee", "knee_extension"),
        ("lunge_moment_ankle", "ankle_plantarflexion"),
    ]
    .into_iter()
    .map(|(id, motion)| {
        let all: Result<Vec<f64>, String> = people.iter().map(|p| front_leg(p, motion)).collect();
        match all {
            Ok(values) => compared_mean(id, &values),
            Err(why) => cannot(target(id), &why),
        }
    })
    .collect()
}

fn front_leg(person: &Person, motion: &str) -> Result<f64, String> {
    let lunge = Asked::plain("forward_lunge", Family::Lunge, AnatomicalDirection::Anterior);
    let done = lunge.compute(person, Distance::OfLegLength(0.6), 0.2)?;
    Measure::Moment { motion: motion.to_owned(), limb: Limb::Mover }.of(person, &done, At::Far, 1.0)
}
