//! Series from force plates and accelerometers: read, filtered, and made into sway and landing figures.
//!
//! Lengths are centimetres, accelerations m/s², forces newtons, times seconds from here on, whatever the
//! file holds. Medio-lateral is positive to the person's right, antero-posterior forward; only the
//! directions named by a column are known, so a file whose plate is turned must be relabelled.

mod columns;
mod ellipse;
mod filter;
mod landing;
mod read;
mod series_error;
mod sway;

pub use columns::{Axis, Quantity, Series, SeriesUnit};
pub use ellipse::{Ellipse, hull_area};
pub use filter::{CutOff, Filtering, LowPass};
pub use landing::{Landing, Stabilisation, StabilisationRule, landing_rest_share, time_to_stabilisation};
pub use read::{Stated, read};
pub use series_error::SeriesError;
pub use sway::{Sway, sway};
