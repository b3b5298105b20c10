//! Times the tree over stored states in the same way as the other engines' loops do.
//!
//! `validation/engines/peer_bench/run.sh` calls it with the vectors file and the number of rounds;
//! it prints engine, quantity, median and least ns for one state, and a sum over the results.

use std::hint::black_box;
use std::time::Instant;

use biomech::rigid::Part;
use biomech::tree::{Coordinates, Scratch, Segment, TREE_COORDINATES, Tree};
use nalgebra::{Matrix3, Vector3};

fn timed(
    what: &str,
    states: &[[Coordinates; 3]],
    rounds: usize,
    mut call: impl FnMut(&[Coordinates; 3]) -> f64,
) {
    let mut ns = Vec::with_capacity(rounds);
    let mut sum = 0.0;
    for _ in 0..rounds {
        let start = Instant::now();
        sum = states.iter().map(|state| call(black_box(state))).sum();
        ns.push(start.elapsed().as_secs_f64() * 1e9 / states.len() as f64);
    }
    ns.sort_by(f64::total_cmp);
    println!("ours\t{what}\t{:.1}\t{:.1}\t{sum:?}", ns[rounds / 2], ns[0]);
}

fn numbers(line: &str) -> Vec<f64> {
    line.split_whitespace().map(|x| x.parse().unwrap_or_else(|e| panic!("{x}: {e}"))).collect()
}

fn main() -> std::io::Result<()> {
    let mut arguments = std::env::args().skip(1);
    let folder = arguments.next().unwrap_or_else(|| ".".to_owned());
    let rounds: usize = arguments.next().and_then(|n| n.parse().ok()).unwrap_or(1000);
    let text = std::fs::read_to_string(format!("{folder}/tree.txt"))?;
    let segments: Vec<(Vector3<f64>, Part)> = text
        .lines()
        .skip(1)
        .take(Segment::ALL.len())
        .map(|line| {
            let x = numbers(line);
            let part = Part {
                mass: x[4],
                centre: Vector3::from_column_slice(&x[5..8]),
                inertia: Matrix3::from_row_slice(&x[8..17]),
            };
            (Vector3::from_column_slice(&x[1..4]), part)
        })
        .collect();
    let segments = segments.try_into().unwrap_or_else(|_| panic!("{folder}/tree.txt: twelve segments"));
    let tree = Tree::from_parts(&segments, Vector3::zeros());
    let states: Vec<[Coordinates; 3]> = std::fs::read_to_string(format!("{folder}/states.txt"))?
        .lines()
        .map(|line| {
            let x = numbers(line);
            [0, 1, 2].map(|k| std::array::from_fn(|i| x[k * TREE_COORDINATES + i]))
        })
        .collect();

    let mut scratch = Scratch::new();
    let mut matrix = [[0.0; TREE_COORDINATES]; TREE_COORDINATES];
    let last = Segment::Foot(anatomy::Side::Right);
    timed("positions", &states, rounds, |[q, ..]| tree.pose(q, &mut scratch).origin(last).y);
    timed("motion", &states, rounds, |[q, v, a]| {
        tree.moving(q, v, a, &mut scratch).acceleration(last, Vector3::zeros()).y
    });
    timed("inverse dynamics", &states, rounds, |[q, v, a]| {
        tree.moving(q, v, a, &mut scratch).inverse_dynamics(&[]).generalized.iter().sum()
    });
    timed("mass matrix", &states, rounds, |[q, ..]| {
        tree.pose(q, &mut scratch).mass_matrix(&mut matrix);
        (0..TREE_COORDINATES).map(|i| matrix[i][i]).sum()
    });
    Ok(())
}
