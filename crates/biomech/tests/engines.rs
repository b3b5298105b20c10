//! Our tree against two general-purpose engines: their stored numbers for sixty states of three bodies.
//!
//! `validation/engines/README.md` says how they were made.

use biomech::rigid::Part;
use biomech::tree::{
    COORDINATE_NAMES, Coordinates, Joint, MassMatrix, SEGMENTS, Scratch, Segment, TREE_COORDINATES, Tree,
    Wrench,
};
use nalgebra::{Matrix3, Vector3};
use serde_json::Value;

const ENGINES: [&str; 2] = ["pin", "mujoco"];

/// Largest relative difference where the definition is the same.
const LIMIT: f64 = 1e-9;

fn stored() -> Value {
    serde_json::from_str(include_str!("../../../validation/engines/results.json")).unwrap()
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|x| x.as_f64().unwrap()).collect()
}

fn vector(value: &Value) -> Vector3<f64> {
    Vector3::from_column_slice(&numbers(value))
}

fn coordinates(value: &Value) -> Coordinates {
    numbers(value).try_into().unwrap()
}

fn tree(value: &Value) -> Tree {
    let segment = |value: &Value| {
        let rows: Vec<f64> = value["inertia"].as_array().unwrap().iter().flat_map(numbers).collect();
        let part = Part {
            mass: value["mass"].as_f64().unwrap(),
            centre: vector(&value["centre"]),
            inertia: Matrix3::from_row_slice(&rows),
        };
        (vector(&value["offset"]), part)
    };
    let segments: Vec<_> = value["segments"].as_array().unwrap().iter().map(segment).collect();
    Tree::from_parts(&segments.try_into().unwrap(), vector(&value["hand"]))
}

/// Compares entry by entry, each relative to itself or to a thousandth of the largest.
fn hold(what: &str, ours: &[f64], theirs: &Value) {
    let theirs = numbers(theirs);
    assert_eq!(ours.len(), theirs.len(), "{what}");
    let largest = theirs.iter().fold(0.0, |m: f64, x| m.max(x.abs()));
    for (i, (a, b)) in ours.iter().zip(&theirs).enumerate() {
        let difference = (a - b).abs() / b.abs().max(1e-3 * largest);
        assert!(difference < LIMIT, "{what}, entry {i}: ours {a}, theirs {b}");
    }
}

#[test]
fn the_stored_trees_have_our_coordinates() {
    let stored = stored();
    assert_eq!(stored["joints"].as_array().unwrap().len(), TREE_COORDINATES);
    for (i, joint) in stored["joints"].as_array().unwrap().iter().enumerate() {
        let ours = Joint::of(i);
        assert_eq!(joint["name"], COORDINATE_NAMES[i]);
        assert_eq!(joint["segment"], ours.segment.index());
        assert_eq!(joint["slides"], ours.slides);
        assert_eq!(vector(&joint["axis"]), ours.axis);
    }
    for tree in stored["trees"].as_array().unwrap() {
        assert_eq!(tree["segments"].as_array().unwrap().len(), SEGMENTS);
        for (segment, ours) in tree["segments"].as_array().unwrap().iter().zip(Segment::ALL) {
            assert_eq!(segment["parent"].as_u64(), ours.parent().map(|p| p.index() as u64));
        }
    }
}

#[test]
fn kinematics_centre_of_mass_torques_and_mass_matrix_agree_with_both_engines() {
    let stored = stored();
    let trees: Vec<Tree> = stored["trees"].as_array().unwrap().iter().map(tree).collect();
    let gravity = vector(&stored["gravity"]);
    let mut scratch = Scratch::new();
    let mut matrices = 0;
    let states = stored["states"].as_array().unwrap();
    assert_eq!((states.len(), trees.len()), (60, 3));
    for (k, state) in states.iter().enumerate() {
        let tree = &trees[usize::try_from(state["tree"].as_u64().unwrap()).unwrap()];
        assert_eq!(tree.gravity(), gravity);
        let [q, v, a] = ["q", "v", "a"].map(|name| coordinates(&state[name]));
        let moving = tree.moving(&q, &v, &a, &mut scratch);
        let pushed = &state["wrench"];
        let wrench = Wrench {
            segment: Segment::ALL[usize::try_from(pushed["segment"].as_u64().unwrap()).unwrap()],
            point: vector(&pushed["point"]),
            force: vector(&pushed["force"]),
            couple: vector(&pushed["couple"]),
        };
        let centres: Vec<f64> = Segment::ALL
            .iter()
            .flat_map(|segment| Vec::from(moving.segment_centre(*segment).as_slice()))
            .collect();
        for engine in ENGINES {
            let theirs = &state[engine];
            let named = |what: &str| format!("state {k}, {what}, {engine}");
            hold(&named("segment centres"), &centres, &theirs["centres"]);
            hold(&named("centre of mass"), moving.centre_of_mass().as_slice(), &theirs["centre_of_mass"]);
            hold(&named("torques"), &moving.inverse_dynamics(&[]).generalized, &theirs["torques"]);
            let when_pushed = moving.inverse_dynamics(&[wrench]).generalized;
            hold(&named("torques when pushed"), &when_pushed, &theirs["torques_when_pushed"]);
            if !theirs["mass_matrix"].is_null() {
                let mut matrix: MassMatrix = [[0.0; TREE_COORDINATES]; TREE_COORDINATES];
                moving.mass_matrix(&mut matrix);
                let triangle: Vec<f64> =
                    (0..TREE_COORDINATES).flat_map(|i| matrix[i][..=i].to_vec()).collect();
                hold(&named("mass matrix"), &triangle, &theirs["mass_matrix"]);
                matrices += 1;
            }
        }
    }
    assert_eq!(matrices, 12, "six states with the mass matrix of both engines");
}
