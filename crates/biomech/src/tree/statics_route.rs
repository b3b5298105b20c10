//! The tree against the posture solver's own tree and moments, which were written separately.

use anatomy::{BodySize, PerSide, Sex, Side};
use quantity::{GRAVITY, Length, Mass};

use super::*;
use crate::arms::Carry;
use crate::body::Body;
use crate::state::{NQ, Seg, State, V3};
use crate::statics::{N, Setting, Sole, Statics, corners, foot_vars};

fn body() -> Body {
    let legs = PerSide { left: Some(Length::cm(86.0)), right: None };
    Body::of(&BodySize::new(Length::cm(171.0), Mass::kg(74.0), Sex::Female, 47, legs).unwrap())
}

/// A posture and forces far from neutral everywhere, the same for every run.
fn odd_x(seed: u64) -> [f64; N] {
    let mut state = seed;
    let mut next = || {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        f64::from((state >> 40) as u32) / f64::from(1u32 << 24) - 0.5
    };
    std::array::from_fn(|i| match i {
        0..NQ => 0.9 * next(),
        _ => 0.3 + 0.2 * next(),
    })
}

fn same(seg: Seg) -> Segment {
    match seg {
        Seg::Pelvis => Segment::Pelvis,
        Seg::Trunk => Segment::Trunk,
        Seg::Thigh(side) => Segment::Thigh(side),
        Seg::Shank(side) => Segment::Shank(side),
        Seg::Foot(side) => Segment::Foot(side),
    }
}

fn with_hanging_arms(x: &[f64; N]) -> Coordinates {
    let mut q = [0.0; TREE_COORDINATES];
    q[..NQ].copy_from_slice(&x[..NQ]);
    for side in Side::BOTH {
        Tree::hang_arm(side, &mut q);
    }
    q
}

#[test]
fn the_first_coordinates_place_segments_where_the_posture_solver_does() {
    let body = body();
    let tree = Tree::of(&body, &[]);
    for seed in 1..20 {
        let x = odd_x(seed);
        let state = State::new(&body, &x[..NQ]);
        let mut scratch = Scratch::new();
        let q = with_hanging_arms(&x);
        let pose = tree.pose(&q, &mut scratch);
        for seg in Seg::ALL {
            let local = V3::new(0.1, -0.2, 0.3);
            assert!((pose.point(same(seg), local) - state.point(seg, local)).norm() < 1e-13);
            let (mass, centre) = body.segment(seg);
            let part = tree.part(same(seg));
            assert!((part.mass - mass).abs() < 1e-12 && (part.centre - centre).norm() < 1e-13);
        }
        for side in Side::BOTH {
            let arm = [Segment::UpperArm(side), Segment::Forearm(side)];
            let masses = arm.map(|segment| tree.part(segment).mass);
            let centre = (pose.segment_centre(arm[0]) * masses[0] + pose.segment_centre(arm[1]) * masses[1])
                / (masses[0] + masses[1]);
            assert!((masses[0] + masses[1] - body.arm_mass).abs() < 1e-12);
            let below = pose.origin(arm[0]) - V3::new(0.0, body.arm_com * body.arm_reach, 0.0);
            assert!((centre - below).norm() < 1e-13);
            let hand = pose.point(Segment::Forearm(side), tree.hand());
            let shoulder = state.point(Seg::Trunk, *body.shoulder_from_lumbar.get(side));
            assert!((hand - shoulder - V3::new(0.0, -body.arm_reach, 0.0)).norm() < 1e-13);
        }
    }
}

#[test]
fn at_rest_the_internal_moments_are_those_of_the_posture_solver() {
    let body = body();
    let hand_load = 3.0;
    let tree = Tree::of(&body, &Side::BOTH.map(|side| Carried::in_hand(&body, side, hand_load)));
    let weight = body.mass * GRAVITY;
    for seed in 1..20 {
        let x = odd_x(seed);
        let state = State::new(&body, &x[..NQ]);
        let setting = Setting { sole: [Sole::Flat, Sole::Forefoot], carry: Carry::hanging(hand_load) };
        let statics = Statics::new(&body, &state, &x, &setting);
        let mut floor = Vec::new();
        for (side, sole) in Side::BOTH.into_iter().zip(setting.sole) {
            let u = &x[foot_vars(side)..foot_vars(side) + 7];
            let segment = Segment::Foot(side);
            let pressed = corners(&body, &state, side, sole).map(|(p, _)| p);
            let up = |n: f64| V3::new(0.0, n * weight, 0.0);
            for (point, n) in pressed.iter().zip(u) {
                floor.push(Wrench { segment, point: *point, force: up(*n), couple: V3::zeros() });
            }
            let carried = weight * u[..4].iter().sum::<f64>();
            floor.push(Wrench {
                segment,
                point: pressed.iter().sum::<V3>() / 4.0,
                force: V3::new(u[4], 0.0, u[5]) * carried,
                couple: V3::new(0.0, u[6] * body.foot_length * carried, 0.0),
            });
        }
        let still = [0.0; TREE_COORDINATES];
        let mut scratch = Scratch::new();
        let q = with_hanging_arms(&x);
        let forces = tree.moving(&q, &still, &still, &mut scratch).inverse_dynamics(&floor);
        for i in TRUNK_FROM..NQ {
            let (ours, theirs) = (forces.generalized[i], statics.tau[i]);
            assert!((ours - theirs).abs() < 1e-9, "{}: {ours} and {theirs}", COORDINATE_NAMES[i]);
        }
        let (force, moment) = (forces.force / weight, forces.moment_about(V3::zeros()) / weight);
        for k in 0..3 {
            assert!((force[k] + statics.base[k]).abs() < 1e-11);
            assert!((moment[k] + statics.base[3 + k]).abs() < 1e-11);
        }
        for side in Side::BOTH {
            for i in arm_from(side)..arm_from(side) + 4 {
                assert!(forces.generalized[i].abs() < 1e-9, "a hanging arm needs nothing");
            }
        }
    }
}
