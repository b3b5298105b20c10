//! Laws of a movement in time.

use anatomy::{BodySize, Coordinate, PerSide, Sex, Side};
use biomech::course::{Course, CoursePhase, TimedFrame, course};
use biomech::tree::{Scratch, Segment, Tree};
use biomech::{Body, Capacity, CourseGap, MotionError, Phase, moments, motion};
use movement::{Bearing, Family, HandHeight, MovementSpec, StanceFoot, Tempo};
use nalgebra::Vector3;
use quantity::{GRAVITY, Length, Mass, Span};

fn size() -> BodySize {
    BodySize::new(Length::cm(171.0), Mass::kg(74.0), Sex::Female, 47, PerSide::default()).unwrap()
}

fn spec(body: &Body, family: Family, mover: Side, bearing: Bearing, percent: f64) -> MovementSpec {
    MovementSpec {
        depth: (family == Family::Lunge).then(|| body.leg_length(mover).times(0.12)),
        hand_height: (family == Family::BendAndReach).then_some(HandHeight::Knee),
        ..MovementSpec::bare(
            family,
            mover,
            bearing,
            family.ways(bearing, mover)[0],
            body.leg_length(mover).times(percent / 100.0),
        )
    }
}

fn tempo(way: f64) -> Tempo {
    Tempo { out: Span::s(way), hold: Span::s(1.0), back: Span::s(way), settle: Span::s(1.0) }
}

/// Own-side movements of every family that any adult can do in three seconds.
fn everyday(body: &Body) -> Vec<MovementSpec> {
    [Family::Reach, Family::Step, Family::Lunge, Family::BendAndReach]
        .into_iter()
        .flat_map(|family| {
            [0, 1, 2, 3].map(|bearing| spec(body, family, Side::Right, Bearing::ALL[bearing], 30.0))
        })
        .collect()
}

fn run(body: &Body, spec: &MovementSpec, tempo: &Tempo) -> Result<Course, MotionError> {
    let capacity = Capacity::of(body.size(), &[]);
    course(body, &capacity, &motion(body, &capacity, spec).unwrap(), tempo)
}

fn courses(seconds: f64) -> Vec<Course> {
    let body = Body::of(&size());
    everyday(&body).iter().map(|s| run(&body, s, &tempo(seconds)).unwrap_or_else(|e| panic!("{e}"))).collect()
}

#[test]
fn the_floor_carries_the_weight_and_every_acceleration_of_the_body() {
    let body = Body::of(&size());
    let tree = Tree::of(&body, &[]);
    let mut scratch = Scratch::new();
    for course in courses(3.0) {
        for frame in &course.frames {
            let [q, v, a] = frame.coordinates();
            let needed = (tree.moving(q, v, a, &mut scratch).centre_of_mass_acceleration()
                + Vector3::new(0.0, GRAVITY, 0.0))
                * tree.mass();
            for k in 0..3 {
                let floor = frame.feet.left.force_n[k] + frame.feet.right.force_n[k];
                let off = (floor - needed[k]).abs() / (tree.mass() * GRAVITY);
                assert!(off < 2e-3, "{} at {}: {off}", course.spec.sentence(), frame.time.in_s());
            }
            assert!(frame.leftover.force.in_one() < 2e-3 && frame.leftover.moment.in_one() < 1e-2);
        }
    }
}

#[test]
fn each_foot_presses_inside_its_print_within_friction() {
    let body = Body::of(&size());
    for course in courses(3.0) {
        for frame in &course.frames {
            assert!(frame.pressure_margin.to_edge_m > -3e-3, "{}", course.spec.sentence());
            for side in Side::BOTH {
                let foot = frame.feet.get(side);
                let [x, up, z] = foot.force_n;
                assert!(up >= 0.0);
                assert!(x.abs() <= 0.3 * up + 1e-6 && z.abs() <= 0.3 * up + 1e-6);
                if let Some(at) = foot.centre_of_pressure {
                    let posture = course.posture(&body, frame);
                    let (heel, toe) = (
                        posture.point(biomech::Landmark::Heel(side)),
                        posture.point(biomech::Landmark::ToeTip(side)),
                    );
                    let along = [toe[0] - heel[0], toe[2] - heel[2]];
                    let length = along[0].hypot(along[1]);
                    let from = [at[0] - heel[0], at[1] - heel[2]];
                    let ahead = (from[0] * along[0] + from[1] * along[1]) / length;
                    let beside = (from[0] * along[1] - from[1] * along[0]).abs() / length;
                    assert!(ahead > -2e-3 && ahead < length + 2e-3, "{} {ahead}", course.spec.sentence());
                    assert!(beside < body.foot_breadth().in_m() / 2.0 + 2e-3, "{beside}");
                }
            }
        }
    }
}

/// Given much time, the far point and the start strain the joints as the held postures do.
#[test]
fn slowly_the_joint_moments_are_those_of_the_held_key_postures() {
    let body = Body::of(&size());
    let capacity = Capacity::of(body.size(), &[]);
    for spec in everyday(&body) {
        let found = motion(&body, &capacity, &spec).unwrap();
        let held = moments(&body, &found);
        let slow = course(&body, &capacity, &found, &tempo(10.0)).unwrap_or_else(|e| panic!("{e}"));
        let shown = found.shown();
        let far = found.frames.iter().position(|f| std::ptr::eq(f, shown)).unwrap();
        let start = found.frames.iter().position(|f| f.phase == Phase::Start).unwrap();
        for (key, k) in [(start, 0), (far, 26), (far, 30)] {
            for side in Side::BOTH {
                for c in Coordinate::LEG {
                    let (a, b) = (held.frames[key].moment(side, c), slow.frames[k].moment(side, c));
                    let off = (a.in_nm() - b.in_nm()).abs();
                    assert!(off < 1.5, "{} {side} {c:?} frame {k}: {a} {b}", spec.sentence());
                }
            }
        }
    }
}

#[test]
fn the_way_back_mirrors_the_way_out_when_both_take_equally_long() {
    for course in courses(3.0) {
        let n = course.frames.len();
        assert_eq!(n, 60);
        for k in 0..27 {
            let (out, back) = (&course.frames[k], &course.frames[n - 1 - k]);
            let end = course.frames[n - 1].time.in_s();
            assert!((out.time.in_s() + back.time.in_s() - end).abs() < 1e-9);
            for side in Side::BOTH {
                for c in Coordinate::LEG {
                    assert_eq!(out.angle(side, c), back.angle(side, c));
                    assert!((out.speed_rad_s(side, c) + back.speed_rad_s(side, c)).abs() < 1e-12);
                    assert_eq!(out.moment(side, c), back.moment(side, c));
                }
            }
        }
    }
}

/// A way back of its own duration is computed for itself. Twice the time does not halve the speed: the fall
/// onto or off the moving foot takes its own time.
#[test]
fn a_slower_way_back_is_not_the_way_out_backward() {
    let body = Body::of(&size());
    let spec = spec(&body, Family::Lunge, Side::Right, Bearing::ALL[0], 40.0);
    let tempo = Tempo { back: Span::s(4.0), ..tempo(2.0) };
    let course = run(&body, &spec, &tempo).unwrap();
    let fastest = |phases: &[CoursePhase]| {
        course
            .frames
            .iter()
            .filter(|f| phases.contains(&f.phase))
            .map(|f| f.centre_of_mass_velocity[0].abs())
            .fold(0.0, f64::max)
    };
    let out = fastest(&[CoursePhase::Shift, CoursePhase::Swing, CoursePhase::LandAndLoad]);
    let back = fastest(&[CoursePhase::PushOff, CoursePhase::SwingBack, CoursePhase::Settle]);
    assert!(back < 0.9 * out, "{back} {out}");
}

#[test]
fn the_mirror_person_moves_in_mirror() {
    let body = Body::of(&size());
    for spec in everyday(&body) {
        let here = run(&body, &spec, &tempo(3.0)).unwrap();
        let there = run(&body, &spec.mirrored(), &tempo(3.0)).unwrap();
        for (a, b) in here.frames.iter().zip(&there.frames) {
            for side in Side::BOTH {
                for c in Coordinate::LEG {
                    let (x, y) = (a.angle(side, c).in_deg(), b.angle(side.other(), c).in_deg());
                    assert!((x - y).abs() < 0.5, "{} {c:?}: {x} {y}", spec.sentence());
                    let (x, y) = (a.moment(side, c).in_nm(), b.moment(side.other(), c).in_nm());
                    assert!((x - y).abs() < 1.5, "{} {c:?}: {x} {y}", spec.sentence());
                }
            }
        }
    }
}

/// What the joints put in or take out is what the body gains or loses in energy: the floor does not
/// move. In every frame, the energy a moment later and a moment earlier along the same course.
#[test]
fn the_power_of_the_joints_is_the_change_of_energy() {
    let body = Body::of(&size());
    let tree = Tree::of(&body, &[]);
    let mut scratch = Scratch::new();
    for course in courses(2.5) {
        let mut strongest = 0.0_f64;
        for frame in &course.frames {
            let [q, v, a] = frame.coordinates();
            let power: f64 = frame.generalized_forces().iter().zip(v).map(|(t, v)| t * v).sum();
            let mut energy_after = |h: f64| {
                let (mut q, mut w) = (*q, *v);
                for i in 0..q.len() {
                    q[i] += v[i] * h + 0.5 * a[i] * h * h;
                    w[i] += a[i] * h;
                }
                let moving = tree.moving(&q, &w, a, &mut scratch);
                moving.kinetic_energy() + moving.potential_energy()
            };
            let h = 1e-4;
            let change = (energy_after(h) - energy_after(-h)) / (2.0 * h);
            // The course is smooth through frames in which the feet stand; it lets them creep a little
            // there, and the floor's force works on that.
            let moving = tree.moving(q, v, a, &mut scratch);
            let mut floor = 0.0;
            for side in Side::BOTH {
                let foot = frame.feet.get(side);
                let Some([x, z]) = foot.centre_of_pressure else { continue };
                let seg = Segment::Foot(side);
                let at = Vector3::new(x, 0.0, z) - moving.origin(seg);
                let creep = moving.velocity(seg, moving.frame(seg).tr_mul(&at));
                let turn = moving.angular_velocity(seg);
                floor += creep.dot(&Vector3::from(foot.force_n)) + turn.y * foot.twist_nm;
                // A heel that rises turns the foot over its toes: that power is the toe joint's.
                let rises = turn.norm() > 0.05;
                assert!(rises || creep.norm() < 0.03, "{}: a foot creeps {creep}", course.spec.sentence());
            }
            let off = (power + floor - change).abs();
            assert!(off < 1e-3 + 1e-4 * change.abs(), "{}: {power} {change} W", course.spec.sentence());
            strongest = strongest.max(change.abs());
        }
        assert!(strongest > 5.0, "{}: something moves", course.spec.sentence());
    }
}

/// More time never makes a movement infeasible that less time allowed, down to the tempo that is named.
#[test]
fn a_tempo_that_is_refused_names_one_that_is_feasible_and_slower_ones_are_too() {
    let body = Body::of(&size());
    let mut refused = 0;
    for spec in everyday(&body) {
        match run(&body, &spec, &tempo(0.7)) {
            Ok(_) => {}
            Err(MotionError::TempoNotFeasible { feasible, .. }) => {
                refused += 1;
                let seconds = feasible.in_s();
                assert!(seconds > 0.7);
                for times in [1.0, 1.3, 2.0] {
                    run(&body, &spec, &tempo(seconds * times)).unwrap_or_else(|e| panic!("{times}: {e}"));
                }
                assert!(run(&body, &spec, &tempo(seconds * 0.6)).is_err(), "{}", spec.sentence());
            }
            Err(other) => panic!("{other}"),
        }
    }
    assert!(refused > 3, "{refused} are refused at 0.7 s");
}

#[test]
fn a_leap_is_not_a_course() {
    let body = Body::of(&size());
    let capacity = Capacity::of(body.size(), &[]);
    let step = spec(&body, Family::Step, Side::Right, Bearing::ALL[0], 30.0);
    let mut found = motion(&body, &capacity, &step).unwrap();
    found.spec.family = Family::Leap;
    let refused = course(&body, &capacity, &found, &tempo(2.0));
    assert!(matches!(refused, Err(MotionError::ThroughTheAir { .. })), "{refused:?}");
}

/// Who is to sink swings first: when the moving foot lands most of the depth is still to come. A short
/// way: a long one lowers the pelvis by the triangle of the legs alone.
#[test]
fn a_lunge_swings_first_and_sinks_after_touchdown() {
    let body = Body::of(&size());
    for bearing in [0, 1, 2, 3, 4] {
        let spec = spec(&body, Family::Lunge, Side::Right, Bearing::ALL[bearing], 30.0);
        let course = run(&body, &spec, &tempo(3.0)).unwrap_or_else(|e| panic!("{e}"));
        let out = &course.frames[..27];
        let height = |k: usize| out[k].coordinates()[0][1];
        let landed = out.iter().rposition(|f| f.phase == CoursePhase::Swing).unwrap();
        let (before, after) = (height(0) - height(landed), height(landed) - height(26));
        assert!(before < 0.5 * after, "{}: {before} m before, {after} m after", course.spec.sentence());
    }
}

/// Power of the joints and of the floor's reaction on soles that move, W.
fn power_put_in(tree: &Tree, frame: &TimedFrame, scratch: &mut Scratch) -> f64 {
    let [q, v, a] = frame.coordinates();
    let moving = tree.moving(q, v, a, scratch);
    let mut power: f64 = frame.generalized_forces().iter().zip(v).map(|(t, v)| t * v).sum();
    for side in Side::BOTH {
        let foot = frame.feet.get(side);
        let Some([x, z]) = foot.centre_of_pressure else { continue };
        let seg = Segment::Foot(side);
        let at = Vector3::new(x, 0.0, z) - moving.origin(seg);
        let creep = moving.velocity(seg, moving.frame(seg).tr_mul(&at));
        power += creep.dot(&Vector3::from(foot.force_n)) + moving.angular_velocity(seg).y * foot.twist_nm;
    }
    power
}

/// Over the whole way out the joints, and the floor where a foot creeps or turns over its toes, do the work
/// that the body gains, up to what so few frames can integrate.
#[test]
fn the_work_of_the_joints_on_the_way_out_is_the_energy_gained() {
    let mut most = 0.0_f64;
    let body = Body::of(&size());
    let tree = Tree::of(&body, &[]);
    let mut scratch = Scratch::new();
    for course in courses(2.5) {
        let out = &course.frames[..27];
        let power: Vec<f64> = out.iter().map(|f| power_put_in(&tree, f, &mut scratch)).collect();
        let (mut work, mut amount) = (0.0, 0.0);
        for k in 1..out.len() {
            let step = (out[k].time.in_s() - out[k - 1].time.in_s()) * (power[k] + power[k - 1]) / 2.0;
            work += step;
            amount += step.abs();
        }
        let energy = |k: usize| out[k].energy_j.iter().sum::<f64>();
        let gained = energy(26) - energy(0);
        most = most.max(gained.abs());
        let off = (work - gained).abs();
        assert!(off < 0.5 + 0.05 * amount, "{}: {work} {gained} of {amount} J", course.spec.sentence());
    }
    assert!(most > 30.0, "something is lowered: {most} J");
}

/// A tempo that is named is taken when it is asked for, for far movements and for those the method loses.
#[test]
fn whatever_time_a_refusal_names_is_accepted_when_asked() {
    let body = Body::of(&size());
    let capacity = Capacity::of(body.size(), &[]);
    let mut named = 0;
    for family in [Family::Reach, Family::Step, Family::Lunge] {
        for bearing in Bearing::ALL {
            let spec = spec(&body, family, Side::Right, bearing, 45.0);
            let Ok(found) = motion(&body, &capacity, &spec) else { continue };
            let time = match course(&body, &capacity, &found, &tempo(1.2)) {
                Err(MotionError::TempoNotFeasible { feasible, .. }) => feasible,
                Err(MotionError::CourseNotFound { found: Some(time), .. }) => time,
                _ => continue,
            };
            named += 1;
            assert!(time.in_s() > 1.2);
            let again = course(&body, &capacity, &found, &tempo(time.in_s()));
            assert!(again.is_ok(), "{}: {again:?}", found.spec.sentence());
        }
    }
    assert!(named > 5, "{named} name a time");
}

/// Who can do it quickly can do it slowly, to any place, in any time.
#[test]
fn if_a_tempo_is_carried_every_slower_one_is() {
    let body = Body::of(&size());
    let capacity = Capacity::of(body.size(), &[]);
    let (mut carried, mut waited) = (0, 0);
    for family in [Family::Reach, Family::Step, Family::Lunge, Family::BendAndReach] {
        for bearing in Bearing::ALL {
            let spec = spec(&body, family, Side::Right, bearing, 45.0);
            let Ok(found) = motion(&body, &capacity, &spec) else { continue };
            let mut before = None;
            for time in [0.83, 1.2, 1.55, 2.0, 2.4, 2.71, 3.0, 3.5, 4.06, 5.0] {
                match (course(&body, &capacity, &found, &tempo(time)), before) {
                    (Ok(moved), _) => {
                        carried += 1;
                        waited += usize::from(moved.frames[0].phase == CoursePhase::Wait);
                        before = Some(time);
                        let end = moved.frames.last().unwrap().time.in_s();
                        assert!((end - 2.0 * time - 1.0).abs() < 1e-9, "{}: ends at {end}", spec.sentence());
                    }
                    (Err(error), Some(quicker)) => panic!("{error}, but {quicker} s is carried"),
                    (Err(_), None) => {}
                }
            }
        }
    }
    assert!(carried > 150 && waited > 5, "{carried} carried, {waited} waited");
}

/// The same where the method finds no course at the longer times: the body moves at the quicker pace and waits.
#[test]
fn a_slower_tempo_is_carried_where_the_method_alone_finds_none() {
    let tall = BodySize::new(Length::cm(193.0), Mass::kg(100.0), Sex::Male, 30, PerSide::default()).unwrap();
    let body = Body::of(&tall);
    let capacity = Capacity::of(&tall, &[]);
    let across = spec(&body, Family::Reach, Side::Right, Bearing::ALL[7], 50.0);
    let across = MovementSpec { stance_foot: StanceFoot::Pivoting, ..across };
    let found = motion(&body, &capacity, &across).unwrap();
    let mut waited = 0;
    for time in [2.5, 3.0, 3.5, 4.0, 6.0] {
        let moved =
            course(&body, &capacity, &found, &tempo(time)).unwrap_or_else(|e| panic!("{time} s: {e}"));
        waited += usize::from(moved.frames[0].phase == CoursePhase::Wait);
        assert!((moved.frames.last().unwrap().time.in_s() - 2.0 * time - 1.0).abs() < 1e-9);
    }
    assert!(waited >= 2, "{waited}");
}

/// Time that the movement does not take is stood at the start, at both ends, without moving.
#[test]
fn what_is_left_of_the_time_is_stood_at_the_start() {
    let body = Body::of(&size());
    let spec = spec(&body, Family::Step, Side::Right, Bearing::ALL[0], 30.0);
    let moved = run(&body, &spec, &tempo(2.55)).unwrap();
    let frames = &moved.frames;
    assert_eq!(frames.len(), 62);
    for (at_rest, moves) in [(&frames[0], &frames[1]), (&frames[61], &frames[60])] {
        assert_eq!(at_rest.phase, CoursePhase::Wait);
        assert!((at_rest.time.in_s() - moves.time.in_s()).abs() > 0.049);
        assert_eq!(at_rest.coordinates()[0], moves.coordinates()[0]);
        assert!(at_rest.coordinates()[1].iter().all(|v| *v == 0.0));
    }
    let spans = moved.phases();
    assert_eq!((spans[0].phase, spans.last().unwrap().phase), (CoursePhase::Wait, CoursePhase::Wait));
    assert!((spans[0].to.in_s() - 0.05).abs() < 1e-9);
    let last = spans.last().unwrap();
    assert!((last.to.in_s() - last.from.in_s() - 0.05).abs() < 1e-9);
}

#[test]
fn without_a_start_the_method_says_that_it_found_none_and_nothing_about_the_person() {
    let body = Body::of(&size());
    let capacity = Capacity::of(body.size(), &[]);
    let step = spec(&body, Family::Step, Side::Right, Bearing::ALL[0], 30.0);
    let mut found = motion(&body, &capacity, &step).unwrap();
    for frame in &mut found.frames {
        if frame.phase == Phase::Start {
            frame.phase = Phase::SingleSupport;
        }
    }
    let refused = course(&body, &capacity, &found, &tempo(2.0)).unwrap_err();
    assert!(
        matches!(refused, MotionError::CourseNotFound { why: CourseGap::NoStart, found: None, .. }),
        "{refused:?}"
    );
    let words = refused.to_string();
    assert!(words.contains("no start posture") && words.contains("nothing about the person"), "{words}");
}
