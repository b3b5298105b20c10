//! How a jump, leap or hop ends.

use serde::{Deserialize, Serialize};

/// What happens after the feet touch down.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Landing {
    /// The landing is held still.
    Held,
    /// Straight back to the start.
    Rebound,
}
