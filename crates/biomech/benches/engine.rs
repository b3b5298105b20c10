//! How long the engine takes: one cold movement of each family, one neighbour, one whole ray.

use anatomy::{BodySize, PerSide, Sex, Side};
use biomech::muscle::{LegFrame, share};
use biomech::{Body, Capacity, demands, moments, motion, motion_near};
use divan::{Bencher, black_box};
use movement::{Bearing, Family, HandHeight, Load, MovementSpec};
use quantity::{Length, Mass};

fn main() {
    divan::main();
}

fn person() -> (Body, Capacity) {
    let size = BodySize::new(Length::cm(176.0), Mass::kg(80.0), Sex::Male, 60, PerSide::default())
        .unwrap_or_else(|e| panic!("{e}"));
    (Body::of(&size), Capacity::of(&size, &[]))
}

fn spec(body: &Body, family: Family, bearing: usize, percent: f64) -> MovementSpec {
    let bearing = Bearing::ALL[bearing];
    MovementSpec {
        depth: (family == Family::Lunge).then(|| body.leg_length(Side::Right).times(0.15)),
        hand_height: (family == Family::BendAndReach).then_some(HandHeight::Knee),
        ..MovementSpec::bare(
            family,
            Side::Right,
            bearing,
            family.ways(bearing, Side::Right)[0],
            body.leg_length(Side::Right).times(percent / 100.0),
        )
    }
}

#[divan::bench(args = Family::GROUNDED)]
fn cold_anterolateral(bencher: Bencher, family: Family) {
    let (body, capacity) = person();
    let spec = spec(&body, family, 1, 50.0);
    bencher.bench(|| motion(&body, &capacity, black_box(&spec)));
}

#[divan::bench(args = Family::GROUNDED)]
fn from_a_neighbour_five_percent_nearer(bencher: Bencher, family: Family) {
    let (body, capacity) = person();
    let near = motion(&body, &capacity, &spec(&body, family, 1, 45.0)).ok();
    let spec = spec(&body, family, 1, 50.0);
    bencher.bench(|| motion_near(&body, &capacity, black_box(&spec), near.as_ref()));
}

#[divan::bench(args = [Family::Leap, Family::TwoFootJump, Family::Hop])]
fn cold_through_the_air(bencher: Bencher, family: Family) {
    let (body, capacity) = person();
    let landing = Some(movement::Landing::Held);
    let spec = MovementSpec { landing, ..spec(&body, family, 1, 40.0) };
    bencher.bench(|| motion(&body, &capacity, black_box(&spec)));
}

#[divan::bench]
fn cold_lunge_with_a_bend_and_a_row(bencher: Bencher) {
    let (body, capacity) = person();
    let arms = movement::ArmTask::BendAndReturn { to: HandHeight::Knee, then: movement::OnReturn::Row };
    let load = Load::HandWeights { each: Mass::kg(3.0) };
    let spec = MovementSpec { arms, load, ..spec(&body, Family::Lunge, 1, 50.0) };
    bencher.bench(|| motion(&body, &capacity, black_box(&spec)));
}

#[divan::bench]
fn moments_and_demands(bencher: Bencher) {
    let (body, capacity) = person();
    let found =
        motion(&body, &capacity, &spec(&body, Family::Lunge, 0, 50.0)).unwrap_or_else(|e| panic!("{e}"));
    bencher.bench(|| demands(&moments(&body, black_box(&found)), &capacity));
}

/// What one moved slider costs: a distance a centimetre further, its moments and demands, and the
/// muscles of both legs in the last frame.
#[divan::bench(args = Family::GROUNDED)]
fn one_slider(bencher: Bencher, family: Family) {
    let (body, capacity) = person();
    let near = spec(&body, family, 1, 50.0);
    let further = near.at(Length::m(near.distance.in_m() + 0.01));
    let near = motion(&body, &capacity, &near).unwrap_or_else(|e| panic!("{e}"));
    bencher.bench(|| {
        let moved = motion_near(&body, &capacity, black_box(&further), Some(&near))?;
        let moments = moments(&body, &moved);
        let demands = demands(&moments, &capacity);
        let muscles = moments
            .frames
            .last()
            .map(|frame| PerSide::from_fn(|side| share(&body, &capacity, side, &LegFrame::of(frame, side))));
        Some((moved, demands, muscles))
    });
}

#[divan::bench(args = [0, 2, 4, 6])]
fn a_whole_ray_of_steps(bencher: Bencher, bearing: usize) {
    let (body, capacity) = person();
    bencher.bench(|| {
        let mut near = None;
        for percent in (20..=110).step_by(5) {
            let spec = spec(&body, Family::Step, bearing, f64::from(percent));
            near = motion_near(&body, &capacity, &spec, near.as_ref()).or(near);
        }
        near
    });
}
