//! Statistics of measurement: plain numbers in, estimates with intervals out; nothing here knows a person.

mod interval;

pub use interval::Interval;
