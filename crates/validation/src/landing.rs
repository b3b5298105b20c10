//! Flight and landing beside what follows from free fall.

use crate::row::{Row, cannot};
use crate::target::target;

/// Every figure about flight.
pub(crate) fn rows() -> Vec<Row> {
    vec![cannot(target("flight_height"), "the formula alone would be compared with itself")]
}
