//! How large the pictures of one exercise are, and on how many pages they stand.

use drawing::{Frame, Scene, figures};

use super::Paper;
use super::values::Sizes;
use crate::data::{Edition, ExerciseSheet};

/// Room for pictures when nothing was measured: the first pass, in which they are left out.
const UNMEASURED: f64 = 600.0;
/// Least height of the pictures of a page, and least and greatest of a figure.
const PICTURES_AT_LEAST: f64 = 190.0;
const FIGURE: (f64, f64) = (110.0, 190.0);
/// Height a floor needs beside the words of one limb, in sizes of type: with few and with many words.
const FLOOR_NEEDS: (f64, f64) = (9.0, 14.0);
/// Height of the figures that stand beside the steps of one limb.
const FIGURE_BESIDE: f64 = 180.0;
/// Space between pictures and what stands around them.
const AROUND: f64 = 20.0;

/// Radius under which a floor is too small to read, points.
pub(super) const RADIUS_AT_LEAST: f64 = 48.0;

/// How one exercise is laid out: the sizes of its pictures.
pub(super) struct Plan {
    /// One page for each limb, the figures beside the words and the floor under them.
    pub wide: bool,
    /// The floor on a page of its own.
    pub floor_apart: bool,
    /// The figures, drawn.
    pub figures: Vec<Scene>,
    pub floor: Frame,
}

impl Plan {
    pub fn of(
        exercise: &ExerciseSheet,
        edition: Edition,
        sizes: &Sizes,
        paper: Paper,
        asked_wide: bool,
        pages: &mut dyn Iterator<Item = f64>,
    ) -> Self {
        let inner = paper.size().0 - 2.0 * sizes.margin;
        let wide = asked_wide || edition == Edition::LargeType || exercise.limbs.len() == 1;
        let mut room = pages.next().unwrap_or(UNMEASURED);
        if wide {
            // One page for each limb: all of them get what the fullest leaves.
            for _ in 1..exercise.limbs.len() {
                room = room.min(pages.next().unwrap_or(UNMEASURED));
            }
        }
        let left = room - AROUND;
        let room = left.max(PICTURES_AT_LEAST);
        let type_size = sizes.small;
        // A floor with many words that would be small on the page of one limb gets a page of its own.
        let most_words = exercise.limbs.iter().map(|limb| limb.distances.len()).max().unwrap_or(0);
        let needs = type_size * if most_words > 3 { FLOOR_NEEDS.1 } else { FLOOR_NEEDS.0 };
        // What is left is asked, not what it is raised to: else the words after the floor would stand alone on
        // the next page.
        let floor_apart = wide && left < needs;
        let column = (inner - sizes.gutter) / 2.0;
        let figure_frame = if wide {
            Frame { width: inner * 0.2, height: FIGURE_BESIDE, type_size }
        } else {
            Frame { width: (column - 6.0) / 2.0, height: (room * 0.42).clamp(FIGURE.0, FIGURE.1), type_size }
        };
        let inputs: Vec<_> = exercise.limbs.iter().flat_map(|limb| limb.figures.iter().cloned()).collect();
        let figures = figures(&inputs, figure_frame);
        // The floor takes what the figures leave.
        let figure_height = figures.iter().map(Scene::height).fold(0.0, f64::max);
        let floor = if wide {
            let height = if floor_apart { inner * 0.9 } else { room.min(inner * 0.72) };
            Frame { width: inner, height, type_size }
        } else {
            Frame { width: column, height: (room - figure_height).min(column * 1.15), type_size }
        };
        Self { wide, floor_apart, figures, floor }
    }
}
