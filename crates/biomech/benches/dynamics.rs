//! How long the whole-body tree takes for one frame: positions, motion, joint torques, mass matrix.

use std::array::from_fn;

use anatomy::{BodySize, PerSide, Sex, Side};
use biomech::Body;
use biomech::tree::{Carried, Coordinates, Scratch, TREE_COORDINATES, Tree};
use divan::{Bencher, black_box};
use quantity::{Length, Mass};

fn main() {
    divan::main();
}

fn tree() -> Tree {
    let size = BodySize::new(Length::cm(176.0), Mass::kg(80.0), Sex::Male, 60, PerSide::default())
        .unwrap_or_else(|e| panic!("{e}"));
    let body = Body::of(&size);
    Tree::of(&body, &[Carried::in_hand(&body, Side::Right, 4.0)])
}

/// Sixty frames, one movement's worth.
const FRAMES: usize = 60;

fn frames() -> Vec<[Coordinates; 3]> {
    let wave = |frame: usize, size: f64, pace: f64| -> Coordinates {
        from_fn(|i| size * (pace * frame as f64 + i as f64).sin())
    };
    (0..FRAMES).map(|k| [wave(k, 0.6, 0.05), wave(k, 2.0, 0.06), wave(k, 8.0, 0.07)]).collect()
}

/// Runs one call for each of sixty frames, so the printed time is that of sixty.
fn sixty(bencher: Bencher, mut call: impl FnMut(&Tree, &[Coordinates; 3], &mut Scratch) -> f64) {
    let (tree, frames) = (tree(), frames());
    let mut scratch = Scratch::new();
    bencher.bench_local(|| {
        frames.iter().map(|frame| call(black_box(&tree), black_box(frame), &mut scratch)).sum::<f64>()
    });
}

#[divan::bench]
fn positions_60_frames(bencher: Bencher) {
    sixty(bencher, |tree, [q, ..], scratch| tree.pose(q, scratch).centre_of_mass().y);
}

#[divan::bench]
fn motion_60_frames(bencher: Bencher) {
    sixty(bencher, |tree, [q, v, a], scratch| tree.moving(q, v, a, scratch).centre_of_mass_acceleration().y);
}

#[divan::bench]
fn inverse_dynamics_60_frames(bencher: Bencher) {
    sixty(bencher, |tree, [q, v, a], scratch| {
        tree.moving(q, v, a, scratch).inverse_dynamics(&[]).generalized[TREE_COORDINATES - 1]
    });
}

#[divan::bench]
fn mass_matrix_60_frames(bencher: Bencher) {
    let mut matrix = [[0.0; TREE_COORDINATES]; TREE_COORDINATES];
    sixty(bencher, |tree, [q, ..], scratch| {
        tree.pose(q, scratch).mass_matrix(&mut matrix);
        black_box(&matrix)[5][5]
    });
}
