//! The floor, the figure and the charts, as vector drawings.
//!
//! A drawing is built as a [`Scene`] of plain shapes in points (1/72 inch, right and down from
//! the upper left corner) and written as one SVG text with the same bytes every time. The floor
//! is seen from above with the person facing up the page: their right is the page's right.
//! Nothing in this crate mirrors anything.

#![forbid(unsafe_code)]

mod chart;
mod figure;
mod floor;
mod foot;
mod geometry;
pub mod ink;
mod letters;
mod scene;
mod shape_table;
mod support;

pub use chart::{
    AgreementChart, Band, CourseChart, CourseLine, CoursePoint, ReachChart, ReachWords, agreement_chart,
    course_chart, reach_chart,
};
pub use figure::{FigureInput, FigureMark, FigurePoints, Moves, View, figure, figure_with_words, figures};
pub use floor::{
    Arrows, FloorInput, FloorPlace, FloorWords, FootPrint, Landing, LengthWords, Names, Ray, RayState, Rings,
    Standing, floor, floor_pair, floor_place, floor_places, floor_radius, label_boxes, log_floor,
};
pub use foot::outline as foot_outline;
pub use scene::{Frame, Scene, Svg};
