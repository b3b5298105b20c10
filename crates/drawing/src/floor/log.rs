//! A small floor to write on: a ring at the end of each direction, to be crossed where it hurt.

use movement::Bearing;

use crate::ink;
use crate::scene::{Paint, Point, Scene};

/// Draws a small floor in a square of this side, points: the person's middle as a dot, the person
/// facing up, an empty ring in each direction.
#[must_use]
pub fn log_floor(bearings: &[Bearing], side: f64) -> Scene {
    let mut scene = Scene::new(side, side);
    let middle: Point = [side / 2.0, side / 2.0];
    // Eight rings side by side leave a little space between two neighbours.
    let ring = side * 0.132;
    let out = side / 2.0 - ring - 0.8;
    for bearing in bearings {
        let (forward, right) = bearing.forward_right();
        let at = |far: f64| [middle[0] + right * far, middle[1] - forward * far];
        scene.line("log-way", vec![at(side * 0.08), at(out - ring)], Paint::line(ink::QUIET, 0.8));
        scene.circle("log-ring", at(out), ring, Paint::both(ink::PAPER, ink::INK, 1.1));
    }
    // A nose, so that up is forward.
    let nose = vec![
        [middle[0], middle[1] - side * 0.12],
        [middle[0] - side * 0.05, middle[1] - side * 0.03],
        [middle[0] + side * 0.05, middle[1] - side * 0.03],
    ];
    scene.polygon("log-nose", nose, Paint::fill(ink::INK));
    scene.circle("log-middle", middle, side * 0.06, Paint::fill(ink::INK));
    scene
}
