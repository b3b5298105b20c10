//! How long the sharing of joint moments among leg muscles takes: one leg cold and warm, a whole
//! motion of 60 frames with both legs, and the joint contact forces.

use anatomy::{BodySize, PerSide, Sex, Side};
use biomech::course::course;
use biomech::muscle::{
    JointLoads, LegFrame, MuscleScratch, contact, course_peaks, share, share_motion, share_warm,
};
use biomech::{Body, Capacity, motion};
use divan::{Bencher, black_box};
use movement::{ArmTask, Bearing, Family, HandShare, Load, MovementSpec, StanceFoot, Support, Tempo};
use quantity::{Angle, AngularSpeed, Length, Mass, Moment, Span};

fn main() {
    divan::main();
}

fn person() -> (Body, Capacity) {
    let size = BodySize::new(Length::cm(176.0), Mass::kg(80.0), Sex::Male, 60, PerSide::default())
        .unwrap_or_else(|e| panic!("{e}"));
    (Body::of(&size), Capacity::of(&size, &[]))
}

/// Down into a lunge and up again in 60 frames: angles and moments go along half a wave.
fn lunge() -> Vec<PerSide<LegFrame>> {
    let front = ([75.0, -3.0, 4.0, 85.0, 0.0, 14.0, 2.0], [-95.0, -30.0, 3.0, -85.0, 1.0, -45.0, 3.0]);
    let rear = ([-8.0, 2.0, -3.0, 70.0, 0.0, 20.0, -2.0], [35.0, -20.0, -2.0, -50.0, 1.0, -60.0, -4.0]);
    (0..60)
        .map(|k| {
            let t = f64::from(k) / 59.0 * std::f64::consts::PI;
            let leg = |(angles, moments): ([f64; 7], [f64; 7])| LegFrame {
                angles: angles.map(|a: f64| Angle::deg(a * t.sin())),
                moments: moments.map(|m: f64| Moment::nm(m * (0.2 + 0.8 * t.sin()))),
                speeds: angles.map(|a: f64| AngularSpeed::deg_per_s(a * t.cos())),
            };
            PerSide { left: leg(front), right: leg(rear) }
        })
        .collect()
}

#[divan::bench]
fn one_leg_cold_squares_and_cubes(bencher: Bencher) {
    let (body, capacity) = person();
    let frames = lunge();
    let mut k = 0;
    bencher.bench_local(|| {
        k = (k + 1) % frames.len();
        share(&body, &capacity, Side::Left, black_box(&frames[k].left))
    });
}

#[divan::bench]
fn one_leg_from_the_frame_before_squares_and_cubes(bencher: Bencher) {
    let (body, capacity) = person();
    let frames = lunge();
    let mut scratch = MuscleScratch::new();
    let mut k = 0;
    bencher.bench_local(|| {
        k = (k + 1) % frames.len();
        share_warm(&body, &capacity, Side::Left, black_box(&frames[k].left), &mut scratch)
    });
}

#[divan::bench]
fn sixty_frames_of_both_legs(bencher: Bencher) {
    let (body, capacity) = person();
    let frames = lunge();
    bencher.bench(|| {
        share_motion(&body, &capacity, black_box(&frames).iter().copied(), &mut MuscleScratch::new())
    });
}

/// A forward lunge in time: muscles, strength at speed, net loads and contact forces of both legs in
/// each of its 60 frames.
#[divan::bench]
fn a_course_with_contact_forces(bencher: Bencher) {
    let (body, capacity) = person();
    let bearing = Bearing::ALL[0];
    let spec = MovementSpec {
        family: Family::Lunge,
        mover: Side::Right,
        bearing,
        crossing: Family::Lunge.ways(bearing, Side::Right)[0],
        stance_foot: StanceFoot::Fixed,
        distance: body.leg_length(Side::Right).times(0.45),
        depth: Some(body.leg_length(Side::Right).times(0.15)),
        hand_height: None,
        load: Load::None,
        support: Support::None,
        place: None,
        hand_share: HandShare::NotAssessed,
        arms: ArmTask::Free,
        landing: None,
        rise: Length::ZERO,
    };
    let tempo = Tempo { out: Span::s(3.0), hold: Span::s(1.0), back: Span::s(3.0), settle: Span::s(1.0) };
    let key = motion(&body, &capacity, &spec).unwrap_or_else(|e| panic!("{e}"));
    let lunge = course(&body, &capacity, &key, &tempo).unwrap_or_else(|e| panic!("{e}"));
    bencher.bench(|| course_peaks(&body, &capacity, black_box(&lunge), &mut MuscleScratch::new()));
}

#[divan::bench]
fn contact_forces_of_one_leg(bencher: Bencher) {
    let (body, capacity) = person();
    let frame = LegFrame::held(
        [8.0, 2.0, 0.0, 5.0, 0.0, 3.0, 0.0].map(Angle::deg),
        [2.0, -60.0, 0.0, -5.0, 0.0, -35.0, 2.0].map(Moment::nm),
    );
    let loads = JointLoads { hip: [0.0, 650.0, 0.0], knee: 740.0 };
    let demands = share(&body, &capacity, Side::Left, &frame);
    bencher.bench(|| contact(&body, Side::Left, black_box(&frame), &loads, &demands));
}

/// Reading the table of polynomials, which happens once in a process.
#[divan::bench]
fn parsing_the_polynomials_once(bencher: Bencher) {
    let text = include_str!("../../../reference/muscle_length_polynomials.toml");
    bencher.bench(|| toml::from_str::<toml::Table>(black_box(text)));
}
