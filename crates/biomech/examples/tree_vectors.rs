//! Writes three trees and many random states with our results, for other engines to compute too.
//!
//! `cargo run -p biomech --example tree_vectors -- 1000` prints JSON, one value a line: first the
//! trees, then 1,000 states of each (seed fixed, values with three decimals so that every program
//! reads the same numbers) with what `biomech::tree` finds. `validation/engines` reads it.

use std::array::from_fn;
use std::io::{BufWriter, Write, stdout};

use anatomy::{BodySize, PerSide, Sex, Side};
use biomech::Body;
use biomech::tree::{
    COORDINATE_NAMES, Carried, Coordinates, Joint, Scratch, Segment, TREE_COORDINATES, Tree, Wrench,
};
use nalgebra::Vector3;
use quantity::{Length, Mass};
use serde_json::{Value, json};

type V3 = Vector3<f64>;

fn trees() -> [(&'static str, Tree); 3] {
    let body = |cm: f64, kg: f64, sex: Sex, age: u8| {
        let legs = PerSide { left: Some(Length::cm(0.51 * cm)), right: Some(Length::cm(0.515 * cm)) };
        let size = BodySize::new(Length::cm(cm), Mass::kg(kg), sex, age, legs);
        Body::of(&size.unwrap_or_else(|e| panic!("{e}")))
    };
    let (small, tall, heavy) = (
        body(152.0, 49.0, Sex::Female, 78),
        body(191.0, 88.0, Sex::Male, 24),
        body(169.0, 107.0, Sex::Female, 51),
    );
    let bag = Carried { segment: Segment::Trunk, local: V3::new(-0.12, 0.25, 0.02), mass: 9.0 };
    [
        ("small", Tree::of(&small, &[])),
        ("tall with 6 kg in the right hand", Tree::of(&tall, &[Carried::in_hand(&tall, Side::Right, 6.0)])),
        (
            "heavy with 4 kg in each hand and a bag on the back",
            Tree::of(
                &heavy,
                &[Carried::in_hand(&heavy, Side::Left, 4.0), Carried::in_hand(&heavy, Side::Right, 4.0), bag],
            ),
        ),
    ]
}

fn described(name: &str, tree: &Tree) -> Value {
    let segments: Vec<Value> = Segment::ALL
        .into_iter()
        .map(|segment| {
            let part = tree.part(segment);
            let rows: [[f64; 3]; 3] = from_fn(|i| from_fn(|j| part.inertia[(i, j)]));
            json!({
                "parent": segment.parent().map(Segment::index),
                "offset": tree.offset(segment).as_slice(),
                "mass": part.mass,
                "centre": part.centre.as_slice(),
                "inertia": rows,
            })
        })
        .collect();
    json!({ "name": name, "hand": tree.hand().as_slice(), "segments": segments })
}

/// A value in ±`size` with three decimals.
fn next(state: &mut u64, size: f64) -> f64 {
    *state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
    let share = f64::from((*state >> 32) as u32) / f64::from(1u32 << 31) - 1.0;
    (share * size * 1000.0).round() / 1000.0
}

fn flat(columns: &[V3]) -> Vec<f64> {
    columns.iter().flat_map(|column| column.iter().copied()).collect()
}

fn state(which: usize, tree: &Tree, seed: &mut u64, scratch: &mut Scratch) -> Value {
    let mut values = |size: f64| -> Coordinates { from_fn(|_| next(seed, size)) };
    let (q, v, a) = (values(1.2), values(4.0), values(40.0));
    let mut vector = |size: f64| V3::from_fn(|_, _| next(seed, size));
    let moving = tree.moving(&q, &v, &a, scratch);
    let wrench = Wrench {
        segment: if which == 1 { Segment::Forearm(Side::Right) } else { Segment::Foot(Side::Left) },
        point: vector(1.0),
        force: vector(600.0),
        couple: vector(20.0),
    };
    let mut matrix = [[0.0; TREE_COORDINATES]; TREE_COORDINATES];
    moving.mass_matrix(&mut matrix);
    let triangle: Vec<f64> = (0..TREE_COORDINATES).flat_map(|i| matrix[i][..=i].to_vec()).collect();
    let mut columns = [V3::zeros(); TREE_COORDINATES];
    let mut jacobian = |fill: &dyn Fn(&mut [V3; TREE_COORDINATES])| {
        fill(&mut columns);
        flat(&columns)
    };
    let hand = Segment::Forearm(Side::Right);
    let centres = Segment::ALL.map(|segment| moving.segment_centre(segment));
    json!({
        "tree": which,
        "q": q.as_slice(),
        "v": v.as_slice(),
        "a": a.as_slice(),
        "wrench": {
            "segment": wrench.segment.index(),
            "point": wrench.point.as_slice(),
            "force": wrench.force.as_slice(),
            "couple": wrench.couple.as_slice(),
        },
        "centres": flat(&centres),
        "centre_of_mass": moving.centre_of_mass().as_slice(),
        "centre_of_mass_velocity": moving.centre_of_mass_velocity().as_slice(),
        "centre_of_mass_acceleration": moving.centre_of_mass_acceleration().as_slice(),
        "energies": [moving.kinetic_energy(), moving.potential_energy()],
        "torques": moving.inverse_dynamics(&[]).generalized.as_slice(),
        "torques_when_pushed": moving.inverse_dynamics(&[wrench]).generalized.as_slice(),
        "mass_matrix": triangle,
        "centre_of_mass_jacobian": jacobian(&|into| moving.centre_of_mass_jacobian(into)),
        "elbow_jacobian": jacobian(&|into| moving.point_jacobian(hand, moving.origin(hand), into)),
        "forearm_turning": jacobian(&|into| moving.turning_jacobian(hand, into)),
    })
}

fn main() -> std::io::Result<()> {
    let count: usize = std::env::args().nth(1).and_then(|n| n.parse().ok()).unwrap_or(20);
    let mut out = BufWriter::new(stdout().lock());
    let trees = trees();
    let joints: Vec<Value> = (0..TREE_COORDINATES)
        .map(|i| {
            let joint = Joint::of(i);
            json!({
                "name": COORDINATE_NAMES[i],
                "segment": joint.segment.index(),
                "slides": joint.slides,
                "axis": joint.axis.as_slice(),
            })
        })
        .collect();
    let described: Vec<Value> = trees.iter().map(|(name, tree)| described(name, tree)).collect();
    let gravity = trees[0].1.gravity();
    writeln!(out, "{}", json!({ "gravity": gravity.as_slice(), "joints": joints, "trees": described }))?;
    let (mut seed, mut scratch) = (20_250_304, Scratch::new());
    for _ in 0..count {
        for (which, (_, tree)) in trees.iter().enumerate() {
            writeln!(out, "{}", state(which, tree, &mut seed, &mut scratch))?;
        }
    }
    out.flush()
}
