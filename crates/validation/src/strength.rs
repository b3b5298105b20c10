//! The strength model beside its own published vectors.

use crate::row::Row;

/// Every figure about strength.
pub(crate) fn rows() -> Vec<Row> {
    Vec::new()
}
