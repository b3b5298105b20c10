//! How long a movement in time takes: the course alone, and the whole motion with key postures and
//! muscles.

use anatomy::{BodySize, PerSide, Sex, Side};
use biomech::course::course;
use biomech::muscle::{MuscleScratch, course_peaks};
use biomech::{Body, Capacity, motion};
use divan::{Bencher, black_box};
use movement::{Bearing, Family, HandHeight, MovementSpec, Tempo};
use quantity::{Length, Mass, Span};

fn main() {
    divan::main();
}

fn person() -> (Body, Capacity) {
    let size = BodySize::new(Length::cm(176.0), Mass::kg(80.0), Sex::Male, 60, PerSide::default())
        .unwrap_or_else(|e| panic!("{e}"));
    (Body::of(&size), Capacity::of(&size, &[]))
}

fn spec(body: &Body, family: Family) -> MovementSpec {
    let bearing = Bearing::ALL[1];
    MovementSpec {
        depth: (family == Family::Lunge).then(|| body.leg_length(Side::Right).times(0.15)),
        hand_height: (family == Family::BendAndReach).then_some(HandHeight::Knee),
        ..MovementSpec::bare(
            family,
            Side::Right,
            bearing,
            family.ways(bearing, Side::Right)[0],
            body.leg_length(Side::Right).times(0.4),
        )
    }
}

fn tempo() -> Tempo {
    Tempo { out: Span::s(2.5), hold: Span::s(1.0), back: Span::s(2.5), settle: Span::s(1.0) }
}

#[divan::bench(args = [Family::Step, Family::Lunge, Family::BendAndReach])]
fn sixty_frames(bencher: Bencher, family: Family) {
    let (body, capacity) = person();
    let found = motion(&body, &capacity, &spec(&body, family)).unwrap_or_else(|e| panic!("{e}"));
    bencher.bench(|| course(&body, &capacity, black_box(&found), &tempo()).unwrap_or_else(|e| panic!("{e}")));
}

#[divan::bench]
fn key_postures_and_sixty_frames(bencher: Bencher) {
    let (body, capacity) = person();
    let spec = spec(&body, Family::Lunge);
    bencher.bench(|| {
        let found = motion(&body, &capacity, black_box(&spec)).unwrap_or_else(|e| panic!("{e}"));
        course(&body, &capacity, &found, &tempo()).unwrap_or_else(|e| panic!("{e}"))
    });
}

/// Key postures, course and the muscles of both legs in every frame, to an own-side place.
#[divan::bench(args = [Family::Step, Family::Lunge])]
fn whole_motion_with_muscles(bencher: Bencher, family: Family) {
    let (body, capacity) = person();
    let spec = spec(&body, family);
    let mut scratch = MuscleScratch::new();
    bencher.bench_local(|| {
        let found = motion(&body, &capacity, black_box(&spec)).unwrap_or_else(|e| panic!("{e}"));
        let moved = course(&body, &capacity, &found, &tempo()).unwrap_or_else(|e| panic!("{e}"));
        course_peaks(&body, &capacity, &moved, &mut scratch)
    });
}
