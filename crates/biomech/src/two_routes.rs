//! The same quantity by two independent routes: derivatives against finite differences, joint
//! moments against virtual work.

use anatomy::{BodySize, PerSide, Sex, Side};
use movement::{Place, Support, SupportKind};
use quantity::{GRAVITY, Length, Mass};

use crate::arms::{ArmPose, Carry, Prop, curl};
use crate::body::Body;
use crate::capacity::Capacity;
use crate::solve::{Problem, Rows};
use crate::state::{NQ, Seg, State, V3};
use crate::statics::{N, Row, Setting, Sole, Statics, corners, foot_vars};
use crate::task::{FootTask, Passing, PostureProblem, Task};

fn body() -> (BodySize, Body) {
    let size = BodySize::new(Length::cm(171.0), Mass::kg(74.0), Sex::Female, 47, PerSide::default()).unwrap();
    (size, Body::of(&size))
}

/// A posture far from neutral everywhere, the same for every run.
fn odd_x(seed: u64) -> Row {
    let mut state = seed;
    let mut next = || {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        f64::from((state >> 40) as u32) / f64::from(1u32 << 24) - 0.5
    };
    let mut x = [0.0; N];
    for (i, value) in x.iter_mut().enumerate() {
        *value = match i {
            0 | 2 => 0.2 * next(),
            1 => 0.8 + 0.1 * next(),
            3..NQ => 0.7 * next(),
            _ => 0.3 + 0.2 * next(),
        };
    }
    x
}

fn bench() -> Place {
    Place {
        kind: SupportKind::Bench,
        front_from: 0.3,
        front_to: 0.9,
        right_from: -2.0,
        right_to: 2.0,
        hand_height: Length::cm(90.0),
    }
}

/// Every way an arm can be: hanging, reaching, in the trunk's frame, on a support; with a pack.
fn carries(body: &Body) -> [Carry; 4] {
    let hanging = Carry::hanging(3.0);
    let reach = ArmPose::Reaching { target: V3::new(0.4, 0.5, 0.3) };
    let frame = Place { kind: SupportKind::WalkingFrame, front_from: -2.0, ..bench() };
    [
        hanging,
        Carry { arms: [ArmPose::Hanging, reach], ..hanging },
        Carry { arms: Side::BOTH.map(|s| curl(body, s)), on_trunk: 8.0, ..hanging },
        Carry {
            props: [Some(Prop { place: bench(), share: 0.1 }), Some(Prop { place: frame, share: 0.05 })],
            ..hanging
        },
    ]
}

fn setting(sole: Sole, carry: Carry) -> Setting {
    Setting { sole: [sole, Sole::Flat], carry }
}

#[test]
fn derivatives_of_moments_and_balance_agree_with_finite_differences() {
    let (_, body) = body();
    for seed in 1..6 {
        for (k, carry) in carries(&body).into_iter().enumerate() {
            let sole = if k % 2 == 0 { Sole::Flat } else { Sole::Forefoot };
            let setting = setting(sole, carry);
            let x = odd_x(seed);
            let at = |x: &Row| {
                let state = State::new(&body, &x[..NQ]);
                Statics::new(&body, &state, x, &setting)
            };
            let here = at(&x);
            for i in 0..N {
                let h = 1e-6;
                let (mut up, mut down) = (x, x);
                up[i] += h;
                down[i] -= h;
                let (up, down) = (at(&up), at(&down));
                for j in 6..NQ {
                    let slope = (up.tau[j] - down.tau[j]) / (2.0 * h);
                    let error = (slope - here.d_tau[j][i]).abs();
                    assert!(error < 1e-3 + 1e-6 * slope.abs(), "moment {j} by variable {i}: {error}");
                }
                for k in 0..6 {
                    let slope = (up.base[k] - down.base[k]) / (2.0 * h);
                    let error = (slope - here.d_base[k][i]).abs();
                    assert!(error < 1e-6, "base row {k} by variable {i}: {error}");
                }
            }
        }
    }
}

#[test]
fn derivatives_of_constraints_agree_with_finite_differences() {
    let (size, body) = body();
    let capacity = Capacity::of(&size, &[]);
    let tasks = [
        [FootTask::Flat { middle: [0.0, -0.09], yaw: Some(0.1) }, FootTask::ToeTouch { tip: [0.4, 0.3] }],
        [FootTask::OnBall { ball: [0.05, -0.09], yaw: None }, FootTask::LandedOnBall { middle: [0.4, 0.3] }],
    ];
    for (feet, k) in tasks.into_iter().flat_map(|feet| [0, 1, 2, 3].map(|k| (feet, k))) {
        let task = Task {
            feet,
            floor: [0.0, 0.17],
            carry: carries(&body)[k],
            min_drop: Some(0.3),
            square: true,
            lean: Some(0.4),
            lean_asked: Some(0.3),
            stay_bent: Some(0.2),
            facing: Some((-1.0, 0.5)),
            passing: Passing { mover: Side::Right, toward: V3::z(), feet: true },
            held: Some((Support::BothHands, bench())),
        };
        let problem = PostureProblem::new(&body, &capacity, &task);
        let rows = |x: &Row| {
            let mut out = Rows::default();
            problem.rows(x, &mut out);
            out
        };
        let x = odd_x(11);
        let here = rows(&x);
        for i in 0..N {
            let h = 1e-6;
            let (mut up, mut down) = (x, x);
            up[i] += h;
            down[i] -= h;
            let (up, down) = (rows(&up), rows(&down));
            let pairs = here
                .equal
                .iter()
                .zip(up.equal.iter().zip(&down.equal))
                .chain(here.at_most.iter().zip(up.at_most.iter().zip(&down.at_most)))
                .chain(here.cost.iter().zip(up.cost.iter().zip(&down.cost)));
            for (k, (row, (a, b))) in pairs.enumerate() {
                let slope = (a.0 - b.0) / (2.0 * h);
                let error = (slope - row.1[i]).abs();
                assert!(error < 2e-5 * (1.0 + slope.abs()), "row {k} by variable {i}: {error} of {slope}");
            }
        }
    }
}

/// Virtual work: in static equilibrium the moment at a coordinate is the slope of the potential
/// energy of all weights minus the work of the floor's forces along that coordinate.
#[test]
fn joint_moments_agree_with_virtual_work() {
    let (_, body) = body();
    for seed in 20..30 {
        let setting = setting(Sole::Flat, Carry::hanging(3.0));
        let x = odd_x(seed);
        let state = State::new(&body, &x[..NQ]);
        let direct = Statics::new(&body, &state, &x, &setting);
        // Forces of the floor, held fixed while the posture is varied.
        let weight = body.mass * GRAVITY;
        let forces: Vec<(Side, [V3; 4], V3, f64)> = Side::BOTH
            .into_iter()
            .map(|side| {
                let u = &x[foot_vars(side)..foot_vars(side) + 7];
                let n: f64 = u[..4].iter().sum();
                let up = |k: usize| V3::new(0.0, u[k] * weight, 0.0);
                let shear = V3::new(u[4] * n, 0.0, u[5] * n) * weight;
                (side, [up(0), up(1), up(2), up(3)], shear, u[6] * n * weight * body.foot_length)
            })
            .collect();
        let work = |x: &Row| {
            let state = State::new(&body, &x[..NQ]);
            let mut energy = 0.0;
            for seg in Seg::ALL {
                let (mass, com) = body.segment(seg);
                energy += mass * GRAVITY * state.point(seg, com).y;
            }
            for side in Side::BOTH {
                let shoulder = state.point(Seg::Trunk, *body.shoulder_from_lumbar.get(side));
                energy += (body.arm_mass + setting.carry.in_hand[side as usize]) * GRAVITY * shoulder.y;
            }
            for (side, up, shear, _) in &forces {
                let c = corners(&body, &state, *side, Sole::Flat);
                let middle = c.iter().map(|(p, _)| p * 0.25).sum::<V3>();
                energy -= shear.dot(&middle);
                for (k, (p, _)) in c.iter().enumerate() {
                    energy -= up[k].dot(p);
                }
            }
            energy
        };
        for j in 6..NQ {
            let h = 1e-5;
            let (mut a, mut b) = (x, x);
            a[j] += h;
            b[j] -= h;
            let mut slope = (work(&a) - work(&b)) / (2.0 * h);
            // The twist of a sole works along the vertical part of the axis.
            for (side, _, _, twist) in &forces {
                let last = Seg::Foot(*side).last();
                if j == last || crate::state::moves(j, last) {
                    slope -= twist * state.axis[j].y;
                }
            }
            let error = (slope - direct.tau[j]).abs();
            assert!(
                error < 1e-4 * (1.0 + direct.tau[j].abs()),
                "coordinate {j}: {slope} against {}",
                direct.tau[j]
            );
        }
    }
}

/// Law: in a posture that stays, every kilogram more adds the same moment, wherever it is carried.
#[test]
fn moments_are_linear_in_what_is_carried_while_the_posture_stays() {
    let (_, body) = body();
    for seed in 40..44 {
        let x = odd_x(seed);
        let state = State::new(&body, &x[..NQ]);
        for carry in carries(&body) {
            let tau = |kg: f64| {
                let carry = Carry { in_hand: [kg; 2], on_trunk: 3.0 * kg, ..carry };
                Statics::new(&body, &state, &x, &setting(Sole::Flat, carry)).tau
            };
            let (none, some, twice) = (tau(0.0), tau(2.0), tau(4.0));
            for j in 6..NQ {
                let (first, second) = (some[j] - none[j], twice[j] - some[j]);
                assert!((first - second).abs() < 1e-9, "coordinate {j}: {first} {second}");
            }
        }
    }
}

/// Law: turned as a whole on the floor, posture and forces alike, nothing at a joint changes.
#[test]
fn moments_do_not_know_which_way_is_north() {
    let (_, body) = body();
    for seed in 50..54 {
        let x = odd_x(seed);
        for angle in [0.3_f64, -1.1, 2.0] {
            let (sin, cos) = angle.sin_cos();
            // Clockwise seen from above, as the yaw of the pelvis: forward turns toward right.
            let turned =
                |forward: f64, right: f64| (cos * forward - sin * right, sin * forward + cos * right);
            let mut y = x;
            (y[0], y[2]) = turned(x[0], x[2]);
            y[crate::state::YAW] += angle;
            for side in Side::BOTH {
                let first = foot_vars(side);
                (y[first + 4], y[first + 5]) = turned(x[first + 4], x[first + 5]);
            }
            for carry in [carries(&body)[0], carries(&body)[2]] {
                let tau = |x: &Row| {
                    let state = State::new(&body, &x[..NQ]);
                    Statics::new(&body, &state, x, &setting(Sole::Forefoot, carry)).tau
                };
                let (here, there) = (tau(&x), tau(&y));
                for j in 6..NQ {
                    assert!((here[j] - there[j]).abs() < 1e-8, "coordinate {j}: {} {}", here[j], there[j]);
                }
            }
        }
    }
}
