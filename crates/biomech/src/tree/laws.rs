//! Laws that the tree must obey whatever the body: two routes, derivatives, energy, symmetry.

use std::array::from_fn;

use anatomy::{BodySize, PerSide, Sex, Side};
use nalgebra::{Matrix3, Rotation3};
use quantity::{Length, Mass};

use super::*;
use crate::body::Body;
use crate::state::V3;

fn body(sex: Sex) -> Body {
    let legs = PerSide { left: Some(Length::cm(86.0)), right: Some(Length::cm(87.5)) };
    Body::of(&BodySize::new(Length::cm(168.0), Mass::kg(71.0), sex, 52, legs).unwrap())
}

fn loads() -> [Carried; 3] {
    let at = |segment, y: f64, mass| Carried { segment, local: V3::new(0.05, y, -0.03), mass };
    [
        at(Segment::Forearm(Side::Left), -0.33, 4.0),
        at(Segment::Forearm(Side::Right), -0.33, 2.5),
        at(Segment::Trunk, 0.25, 6.0),
    ]
}

fn trees() -> [Tree; 3] {
    [
        Tree::of(&body(Sex::Female), &[]),
        Tree::of(&body(Sex::Male), &[]),
        Tree::of(&body(Sex::Female), &loads()),
    ]
}

/// Values in ±`size`, the same in every run.
fn values(seed: u64, size: f64) -> Coordinates {
    let mut state = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1;
    from_fn(|_| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        size * (f64::from((state >> 32) as u32) / f64::from(1u32 << 31) - 1.0)
    })
}

fn states() -> impl Iterator<Item = [Coordinates; 3]> {
    (0..20).map(|k| [values(3 * k + 1, 1.2), values(3 * k + 2, 3.0), values(3 * k + 3, 20.0)])
}

fn dot(a: &Coordinates, b: &Coordinates) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Largest difference as a share of the largest value.
fn apart(a: &[f64], b: &[f64]) -> f64 {
    let size = a.iter().chain(b).fold(1e-300, |m: f64, x| m.max(x.abs()));
    a.iter().zip(b).fold(0.0, |m: f64, (a, b)| m.max((a - b).abs())) / size
}

fn forces(tree: &Tree, q: &Coordinates, v: &Coordinates, a: &Coordinates) -> Forces {
    tree.moving(q, v, a, &mut Scratch::new()).inverse_dynamics(&[])
}

#[test]
fn inverse_dynamics_is_mass_matrix_times_acceleration_plus_bias() {
    let mut scratch = Scratch::new();
    let mut matrix = [[0.0; TREE_COORDINATES]; TREE_COORDINATES];
    for tree in trees() {
        for [q, v, a] in states() {
            tree.pose(&q, &mut scratch).mass_matrix(&mut matrix);
            let bias = tree.bias_forces(&q, &v, &mut scratch);
            let other: Coordinates = from_fn(|i| dot(&matrix[i], &a) + bias[i]);
            assert!(apart(&forces(&tree, &q, &v, &a).generalized, &other) < 1e-13);
        }
    }
}

#[test]
fn the_mass_matrix_is_the_kinetic_energy() {
    let mut scratch = Scratch::new();
    let mut matrix = [[0.0; TREE_COORDINATES]; TREE_COORDINATES];
    for tree in trees() {
        for [q, v, a] in states() {
            let moving = tree.moving(&q, &v, &a, &mut scratch);
            moving.mass_matrix(&mut matrix);
            let row_by_row: Coordinates = from_fn(|i| dot(&matrix[i], &v));
            let energy = 0.5 * dot(&v, &row_by_row);
            assert!((moving.kinetic_energy() / energy - 1.0).abs() < 1e-12);
        }
    }
}

#[test]
fn velocities_accelerations_and_jacobians_are_the_derivatives_of_positions() {
    let h = 1e-5;
    let local = V3::new(0.1, -0.2, 0.05);
    for tree in trees() {
        for [q, v, a] in states().take(6) {
            let at = |t: f64| -> [Coordinates; 2] {
                [from_fn(|i| q[i] + v[i] * t + 0.5 * a[i] * t * t), from_fn(|i| v[i] + a[i] * t)]
            };
            let mut scratches = [Scratch::new(), Scratch::new(), Scratch::new()];
            let [s0, s1, s2] = &mut scratches;
            let now = tree.moving(&q, &v, &a, s0);
            let [q1, v1] = at(-h);
            let [q2, v2] = at(h);
            let (before, after) = (tree.moving(&q1, &v1, &a, s1), tree.moving(&q2, &v2, &a, s2));
            let close = |exact: V3, before: V3, after: V3| {
                let slope = (after - before) / (2.0 * h);
                assert!((exact - slope).norm() < 1e-6 * (1.0 + exact.norm()), "{exact} {slope}");
            };
            let mut columns = [V3::zeros(); TREE_COORDINATES];
            let by_columns = |columns: &[V3; TREE_COORDINATES]| -> V3 {
                columns.iter().zip(&v).map(|(c, v)| c * *v).sum()
            };
            for seg in Segment::ALL {
                let velocity = now.velocity(seg, local);
                close(velocity, before.point(seg, local), after.point(seg, local));
                close(now.acceleration(seg, local), before.velocity(seg, local), after.velocity(seg, local));
                let (w1, w2) = (before.angular_velocity(seg), after.angular_velocity(seg));
                close(now.angular_acceleration(seg), w1, w2);
                now.point_jacobian(seg, now.point(seg, local), &mut columns);
                assert!((by_columns(&columns) - velocity).norm() < 1e-12 * (1.0 + velocity.norm()));
                now.turning_jacobian(seg, &mut columns);
                assert!((by_columns(&columns) - now.angular_velocity(seg)).norm() < 1e-12);
            }
            let speed = now.centre_of_mass_velocity();
            close(speed, before.centre_of_mass(), after.centre_of_mass());
            let (v1, v2) = (before.centre_of_mass_velocity(), after.centre_of_mass_velocity());
            close(now.centre_of_mass_acceleration(), v1, v2);
            now.centre_of_mass_jacobian(&mut columns);
            assert!((by_columns(&columns) - speed).norm() < 1e-12 * (1.0 + speed.norm()));
        }
    }
}

#[test]
fn power_put_in_is_energy_gained() {
    // A smooth motion of every coordinate: q = c + s sin(w t).
    let h = 1e-5;
    for tree in trees() {
        for seed in 0..5 {
            let (centre, size, pace) =
                (values(seed + 40, 0.6), values(seed + 50, 0.5), values(seed + 60, 6.0));
            let at = |t: f64| -> [Coordinates; 3] {
                [
                    from_fn(|i| centre[i] + size[i] * (pace[i] * t).sin()),
                    from_fn(|i| size[i] * pace[i] * (pace[i] * t).cos()),
                    from_fn(|i| -size[i] * pace[i].powi(2) * (pace[i] * t).sin()),
                ]
            };
            let energy = |t: f64| {
                let [q, v, a] = at(t);
                let mut scratch = Scratch::new();
                let moving = tree.moving(&q, &v, &a, &mut scratch);
                moving.kinetic_energy() + moving.potential_energy()
            };
            for t in [0.1, 0.7, 1.3] {
                let [q, v, a] = at(t);
                let power = dot(&forces(&tree, &q, &v, &a).generalized, &v);
                let gain = (energy(t + h) - energy(t - h)) / (2.0 * h);
                assert!((power - gain).abs() < 1e-4 * (1.0 + power.abs()), "{power} W, {gain} W");
            }
        }
    }
}

/// Solves `M x = b` by elimination with pivots.
fn solve(mut m: MassMatrix, mut b: Coordinates) -> Coordinates {
    for k in 0..TREE_COORDINATES {
        let best = (k..TREE_COORDINATES).max_by(|i, j| m[*i][k].abs().total_cmp(&m[*j][k].abs())).unwrap();
        m.swap(k, best);
        b.swap(k, best);
        for i in k + 1..TREE_COORDINATES {
            let f = m[i][k] / m[k][k];
            let pivot = m[k];
            m[i].iter_mut().zip(pivot).for_each(|(x, p)| *x -= f * p);
            b[i] -= f * b[k];
        }
    }
    for k in (0..TREE_COORDINATES).rev() {
        let rest: f64 = (k + 1..TREE_COORDINATES).map(|j| m[k][j] * b[j]).sum();
        b[k] = (b[k] - rest) / m[k][k];
    }
    b
}

#[test]
fn a_body_that_flies_limp_keeps_energy_and_angular_momentum_and_falls_with_gravity() {
    for tree in trees() {
        let rate = |q: &Coordinates, v: &Coordinates| {
            let mut scratch = Scratch::new();
            let mut matrix = [[0.0; TREE_COORDINATES]; TREE_COORDINATES];
            tree.pose(q, &mut scratch).mass_matrix(&mut matrix);
            let bias = tree.bias_forces(q, v, &mut scratch);
            solve(matrix, bias.map(|b| -b))
        };
        let kept = |q: &Coordinates, v: &Coordinates| {
            let mut scratch = Scratch::new();
            let moving = tree.moving(q, v, &[0.0; TREE_COORDINATES], &mut scratch);
            let energy = moving.kinetic_energy() + moving.potential_energy();
            (energy, moving.angular_momentum(), moving.centre_of_mass_velocity())
        };
        let (mut q, mut v) = (values(71, 0.4), values(72, 1.0));
        let (energy, momentum, speed) = kept(&q, &v);
        let (steps, h) = (400, 5e-4);
        let plus = |x: &Coordinates, d: &Coordinates, h: f64| -> Coordinates { from_fn(|i| x[i] + h * d[i]) };
        for _ in 0..steps {
            // Runge and Kutta's fourth order.
            let a1 = rate(&q, &v);
            let (q2, v2) = (plus(&q, &v, h / 2.0), plus(&v, &a1, h / 2.0));
            let a2 = rate(&q2, &v2);
            let (q3, v3) = (plus(&q, &v2, h / 2.0), plus(&v, &a2, h / 2.0));
            let a3 = rate(&q3, &v3);
            let (q4, v4) = (plus(&q, &v3, h), plus(&v, &a3, h));
            let a4 = rate(&q4, &v4);
            for i in 0..TREE_COORDINATES {
                q[i] += h / 6.0 * (v[i] + 2.0 * v2[i] + 2.0 * v3[i] + v4[i]);
                v[i] += h / 6.0 * (a1[i] + 2.0 * a2[i] + 2.0 * a3[i] + a4[i]);
            }
        }
        let (energy_after, momentum_after, speed_after) = kept(&q, &v);
        assert!((energy_after - energy).abs() < 1e-5 * energy.abs(), "{energy} {energy_after}");
        assert!((momentum_after - momentum).norm() < 1e-5 * momentum.norm());
        let fallen = speed + tree.gravity() * (f64::from(steps) * h);
        assert!((speed_after - fallen).norm() < 1e-6, "{speed_after} {fallen}");
    }
}

#[test]
fn the_wrench_left_to_the_floor_is_the_change_of_momentum() {
    let h = 1e-5;
    for tree in trees() {
        for [q, v, a] in states().take(6) {
            let needed = forces(&tree, &q, &v, &a);
            let mut scratch = Scratch::new();
            let moving = tree.moving(&q, &v, &a, &mut scratch);
            let push = (moving.centre_of_mass_acceleration() - tree.gravity()) * tree.mass();
            assert!((needed.force - push).norm() < 1e-9 * push.norm());
            let centre = moving.centre_of_mass();
            let momentum = |t: f64| {
                let later: Coordinates = from_fn(|i| q[i] + v[i] * t + 0.5 * a[i] * t * t);
                let faster: Coordinates = from_fn(|i| v[i] + a[i] * t);
                tree.moving(&later, &faster, &a, &mut Scratch::new()).angular_momentum()
            };
            let slope = (momentum(h) - momentum(-h)) / (2.0 * h);
            assert!((needed.moment_about(centre) - slope).norm() < 1e-5 * (1.0 + slope.norm()));
            // The base rows say the same about the pelvis.
            let pelvis = moving.origin(Segment::Pelvis);
            for i in ANGLES_FROM..TRUNK_FROM {
                let row = moving.axis(i).dot(&needed.moment_about(pelvis));
                assert!((row - needed.generalized[i]).abs() < 1e-9 * (1.0 + row.abs()));
            }
        }
    }
}

#[test]
fn a_force_from_outside_acts_through_the_jacobian_of_its_point() {
    for tree in trees() {
        for (k, [q, v, a]) in states().enumerate() {
            let segment = Segment::ALL[k % SEGMENTS];
            let mut scratch = Scratch::new();
            let moving = tree.moving(&q, &v, &a, &mut scratch);
            let x = values(k as u64 + 90, 300.0);
            let wrench = Wrench {
                segment,
                point: moving.point(segment, V3::new(0.1, 0.0, 0.2)),
                force: V3::new(x[0], x[1], x[2]),
                couple: V3::new(x[3], x[4], x[5]),
            };
            let (mut reach, mut turn) = ([V3::zeros(); TREE_COORDINATES], [V3::zeros(); TREE_COORDINATES]);
            moving.point_jacobian(segment, wrench.point, &mut reach);
            moving.turning_jacobian(segment, &mut turn);
            let without = moving.inverse_dynamics(&[]).generalized;
            let with = moving.inverse_dynamics(&[wrench]).generalized;
            let other: Coordinates =
                from_fn(|i| without[i] - reach[i].dot(&wrench.force) - turn[i].dot(&wrench.couple));
            assert!(apart(&with, &other) < 1e-12);
        }
    }
}

/// The same motion seen in a mirror: left and right change places, and what points right or turns
/// about an upright or a forward axis of the middle changes sign.
fn mirrored(x: &Coordinates) -> Coordinates {
    let mut y = *x;
    for i in [2, 3, 5, 7, 8] {
        y[i] = -y[i];
    }
    for k in 0..7 {
        y.swap(leg_from(Side::Left) + k, leg_from(Side::Right) + k);
    }
    for k in 0..4 {
        y.swap(arm_from(Side::Left) + k, arm_from(Side::Right) + k);
    }
    y
}

#[test]
fn a_mirrored_body_in_a_mirrored_motion_needs_mirrored_forces() {
    let size = |left: f64, right: f64| {
        let legs = PerSide { left: Some(Length::cm(left)), right: Some(Length::cm(right)) };
        Body::of(&BodySize::new(Length::cm(168.0), Mass::kg(71.0), Sex::Male, 52, legs).unwrap())
    };
    let held =
        |side| [Carried { segment: Segment::Forearm(side), local: V3::new(0.0, -0.3, 0.0), mass: 3.0 }];
    let here = Tree::of(&size(86.0, 88.0), &held(Side::Left));
    let there = Tree::of(&size(88.0, 86.0), &held(Side::Right));
    for [q, v, a] in states() {
        let expected = mirrored(&forces(&here, &q, &v, &a).generalized);
        let got = forces(&there, &mirrored(&q), &mirrored(&v), &mirrored(&a)).generalized;
        assert!(apart(&expected, &got) < 1e-13);
    }
}

#[test]
fn turning_the_floor_changes_nothing_but_the_directions_of_the_floor() {
    let angle = 0.8;
    // Yaw is clockwise from above: about −Y.
    let turned = |x: V3| Rotation3::from_axis_angle(&V3::y_axis(), -angle) * x;
    let on_floor = |x: &Coordinates| {
        let moved = turned(V3::new(x[0], x[1], x[2]));
        let mut y = *x;
        y[..3].copy_from_slice(moved.as_slice());
        y
    };
    for tree in trees() {
        for [q, v, a] in states() {
            let mut there = on_floor(&q);
            there[3] += angle;
            let expected = on_floor(&forces(&tree, &q, &v, &a).generalized);
            let got = forces(&tree, &there, &on_floor(&v), &on_floor(&a)).generalized;
            assert!(apart(&expected, &got) < 1e-13);
        }
    }
}

#[test]
fn forces_grow_in_a_straight_line_with_a_carried_mass() {
    let body = body(Sex::Female);
    for [q, v, a] in states() {
        let with = |mass: f64| {
            let carried =
                Carried { segment: Segment::Forearm(Side::Right), local: V3::new(0.0, -0.3, 0.1), mass };
            forces(&Tree::of(&body, &[carried]), &q, &v, &a).generalized
        };
        let (none, some, more) = (with(0.0), with(4.0), with(12.0));
        let expected: Coordinates = from_fn(|i| none[i] + 3.0 * (some[i] - none[i]));
        assert!(apart(&more, &expected) < 1e-12);
    }
}

#[test]
fn a_body_of_the_same_shape_scales_as_mechanics_says() {
    // Lengths × l and masses × m: moments × m l for gravity, with times × √l for motion too.
    let (l, m) = (1.3_f64, 2.1_f64);
    for tree in trees() {
        let mut larger = tree.clone();
        for link in &mut larger.links {
            link.offset *= l;
            link.centre *= l;
            link.mass *= m;
            link.inertia *= m * l * l;
        }
        for [q, v, a] in states() {
            let scaled = |x: &Coordinates, time: f64| -> Coordinates {
                from_fn(|i| x[i] * time * if i < ANGLES_FROM { l } else { 1.0 })
            };
            let (q2, v2, a2) = (scaled(&q, 1.0), scaled(&v, 1.0 / l.sqrt()), scaled(&a, 1.0 / l));
            let small = forces(&tree, &q, &v, &a).generalized;
            let expected: Coordinates = from_fn(|i| small[i] * if i < ANGLES_FROM { m } else { m * l });
            assert!(apart(&forces(&larger, &q2, &v2, &a2).generalized, &expected) < 1e-12);
        }
    }
}

#[test]
fn turning_the_whole_body_needs_the_inertia_of_all_parts_together() {
    for tree in trees() {
        for [q, ..] in states().take(5) {
            let mut scratch = Scratch::new();
            let pose = tree.pose(&q, &mut scratch);
            let parts = Segment::ALL.map(|segment| {
                let (part, rot) = (tree.part(segment), pose.frame(segment));
                crate::rigid::Part {
                    mass: part.mass,
                    centre: pose.point(segment, part.centre),
                    inertia: rot * part.inertia * rot.transpose(),
                }
            });
            let whole = crate::rigid::together(&parts).unwrap();
            assert!((whole.mass - tree.mass()).abs() < 1e-10);
            assert!((whole.centre - pose.centre_of_mass()).norm() < 1e-12);
            let mut matrix = [[0.0; TREE_COORDINATES]; TREE_COORDINATES];
            pose.mass_matrix(&mut matrix);
            let about: Matrix3<f64> = whole.inertia_about(pose.origin(Segment::Pelvis));
            for i in ANGLES_FROM..TRUNK_FROM {
                for j in ANGLES_FROM..TRUNK_FROM {
                    let expected = pose.axis(i).dot(&(about * pose.axis(j)));
                    assert!((matrix[i][j] - expected).abs() < 1e-11);
                }
            }
        }
    }
}

#[test]
fn coordinates_are_positive_as_named() {
    let tree = Tree::of(&body(Sex::Female), &[]);
    let hand_moves = |coordinate: usize, side: Side, bent: bool| {
        let mut q = [0.0; TREE_COORDINATES];
        if bent {
            q[arm_from(side) + 3] = std::f64::consts::FRAC_PI_2;
        }
        let mut scratch = Scratch::new();
        let pose = tree.pose(&q, &mut scratch);
        let segment = Segment::Forearm(side);
        let mut columns = [V3::zeros(); TREE_COORDINATES];
        pose.point_jacobian(segment, pose.point(segment, tree.hand()), &mut columns);
        columns[coordinate]
    };
    for side in Side::BOTH {
        let first = arm_from(side);
        let outward = V3::z() * side.sign();
        assert!(hand_moves(first, side, false).x > 0.3, "flexion takes the hand forward");
        assert!(hand_moves(first + 1, side, false).dot(&outward) > 0.3, "abduction takes it outward");
        assert!(hand_moves(first + 2, side, true).dot(&outward) < -0.1, "internal rotation inward");
        assert!(hand_moves(first + 3, side, false).x > 0.1, "elbow flexion forward");
    }
}
