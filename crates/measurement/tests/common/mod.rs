//! Readings for tests, made through the same door as any other.
#![allow(dead_code, reason = "each test file uses some of them")]

use anatomy::{PerSide, Side};
use jiff::civil::{Date, date};
use measurement::{
    Attempts, BodyMeasures, InstrumentKey, MadeFrom, Per, Population, Protocol, Reading, Scale, ScoreForm,
    Scored, Session, StanceDirection, Taken, Trial, protocol_fields, score, stored_score,
};
use quantity::{Length, Mass};

pub fn key(key: &str) -> InstrumentKey {
    InstrumentKey::find(key).expect("the test exists")
}

pub fn group(key: &str) -> Population {
    Population::find(key).expect("the group exists")
}

/// The first choice of every field that the test needs, `x` where words are free.
pub fn protocol(test: InstrumentKey) -> Protocol {
    changed(test, &[])
}

/// As [`protocol`], with some fields changed.
pub fn changed(test: InstrumentKey, other: &[(&str, &str)]) -> Protocol {
    let fields = protocol_fields().iter().filter(|field| test.instrument().needs.contains(&field.key));
    let pairs = fields.map(|field| {
        let other = other.iter().find(|(key, _)| *key == field.key).map(|(_, value)| *value);
        (field.key, other.unwrap_or(field.choices.first().map_or("x", String::as_str)))
    });
    Protocol::new(pairs).expect("a protocol")
}

/// Limb length and mass of 100, so that a share of them is the value itself.
pub fn body() -> BodyMeasures {
    let limb = Some(Length::cm(100.0));
    BodyMeasures {
        limb_length: PerSide { left: limb, right: limb },
        height: Some(Length::cm(200.0)),
        mass: Some(Mass::kg(100.0)),
    }
}

pub fn day(n: i8) -> Date {
    date(2026, 1, 1).saturating_add(jiff::Span::new().days(n))
}

pub fn taken(name: &str, value: f64, form: ScoreForm, on: Date) -> Taken {
    let test = key(name);
    let row = test.instrument();
    let scored = if row.from == MadeFrom::Stored {
        Scored::Score(stored_score(test, value).expect("a total"))
    } else {
        let n = usize::from(form.needs().unwrap_or(row.trials));
        let tried =
            Attempts { unit: row.unit, practice: Some(row.practice), trials: vec![Trial::Valid(value); n] };
        score(test, &tried, form).expect("an outcome")
    };
    Taken {
        side: (row.per != Per::Person).then_some(Side::Right),
        direction: row.directions.first().copied(),
        date: on,
        protocol: protocol(test),
        body: body(),
        rater: None,
        days: 1,
        scored,
    }
}

pub fn session(name: &str, value: f64, form: ScoreForm, on: Date) -> Session {
    Session::new(taken(name, value, form, on)).expect("a session")
}

pub fn reading(name: &str, value: f64, form: ScoreForm, scale: Scale, on: Date) -> Reading {
    session(name, value, form, on).reading(scale).expect("a reading")
}

/// One forward reach on the right leg, mean of three, in per cent of limb length.
pub fn reach(percent: f64, on: Date) -> Reading {
    reading("star_reach", percent, ScoreForm::MeanOf(3), Scale::LimbLength, on)
}

pub fn toward(direction: movement::AnatomicalDirection) -> StanceDirection {
    StanceDirection::named(direction)
}

pub fn close(value: f64, expected: f64) {
    assert!((value - expected).abs() <= 1e-9 * expected.abs().max(1.0), "{value} instead of {expected}");
}
