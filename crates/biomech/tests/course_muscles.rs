//! Muscles and joint contact forces of whole movements in time.

use anatomy::{BodySize, LegMuscles, PerSide, Sex, Side};
use biomech::course::{Course, course};
use biomech::muscle::{JointLoads, LegFrame, LegPeaks, MuscleScratch, course_peaks, share, share_motion};
use biomech::tree::{Scratch, Segment, Tree};
use biomech::{Body, Capacity, motion};
use movement::{
    ArmTask, Bearing, Family, HandHeight, HandShare, Load, MovementSpec, StanceFoot, Support, Tempo,
};
use quantity::{GRAVITY, Length, Mass, Span};

fn person() -> (Body, Capacity) {
    let size = BodySize::new(Length::cm(171.0), Mass::kg(74.0), Sex::Female, 47, PerSide::default()).unwrap();
    (Body::of(&size), Capacity::of(&size, &[]))
}

fn spec(body: &Body, family: Family, mover: Side, bearing: usize) -> MovementSpec {
    let bearing = Bearing::ALL[bearing];
    MovementSpec {
        family,
        mover,
        bearing,
        crossing: family.ways(bearing, mover)[0],
        stance_foot: StanceFoot::Fixed,
        distance: body.leg_length(mover).times(0.45),
        depth: (family == Family::Lunge).then(|| body.leg_length(mover).times(0.15)),
        hand_height: (family == Family::BendAndReach).then_some(HandHeight::Knee),
        load: Load::None,
        support: Support::None,
        place: None,
        hand_share: HandShare::NotAssessed,
        arms: ArmTask::Free,
        landing: None,
        rise: Length::ZERO,
    }
}

fn done(body: &Body, capacity: &Capacity, spec: &MovementSpec) -> Course {
    let tempo = Tempo { out: Span::s(3.0), hold: Span::s(1.0), back: Span::s(3.0), settle: Span::s(1.0) };
    course(body, capacity, &motion(body, capacity, spec).unwrap(), &tempo).unwrap()
}

fn peaks(body: &Body, capacity: &Capacity, course: &Course) -> PerSide<LegPeaks> {
    course_peaks(body, capacity, course, &mut MuscleScratch::new()).unwrap()
}

#[test]
fn a_peak_is_the_largest_of_all_frames_by_itself() {
    let (body, capacity) = person();
    for family in [Family::Step, Family::Lunge] {
        let moved = done(&body, &capacity, &spec(&body, family, Side::Right, 0));
        let found = peaks(&body, &capacity, &moved);
        let legs = moved.frames.iter().map(|f| PerSide::from_fn(|side| LegFrame::in_course(f, side)));
        let again = share_motion(&body, &capacity, legs, &mut MuscleScratch::new()).unwrap();
        for side in Side::BOTH {
            let leg = &found.get(side).muscles;
            assert_eq!(leg, again.get(side));
            for (set, peak) in leg.all() {
                let each = moved
                    .frames
                    .iter()
                    .map(|f| share(&body, &capacity, side, &LegFrame::in_course(f, side)).of(set).share());
                match peak.value.share() {
                    None => assert!(each.into_iter().any(|s| s.is_none()), "{set}"),
                    Some(top) => {
                        let largest = each.map(|s| s.unwrap().in_one()).fold(0.0, f64::max);
                        assert!((largest - top.in_one()).abs() < 1e-6, "{set}: {largest} and {top}");
                    }
                }
            }
        }
    }
}

/// Before anything moves, the hips carry what is not legs, half on each side or nearly so.
#[test]
fn standing_still_the_hips_carry_the_body_above_them() {
    let (body, capacity) = person();
    let moved = done(&body, &capacity, &spec(&body, Family::Step, Side::Right, 2));
    let tree = Tree::of(&body, &[]);
    let loads = JointLoads::in_course(&tree, &moved.frames[0], &mut Scratch::new());
    let legs: f64 = Side::BOTH
        .into_iter()
        .flat_map(|side| [Segment::Thigh(side), Segment::Shank(side), Segment::Foot(side)])
        .map(|segment| tree.part(segment).mass)
        .sum();
    let above = (tree.mass() - legs) * GRAVITY;
    let carried = loads.left.hip[1] + loads.right.hip[1];
    assert!((carried - above).abs() < 0.02 * above, "{carried} N of {above} N");
    assert!(loads.left.knee > 0.0 && loads.right.knee > 0.0);
}

#[test]
fn the_mirror_movement_works_the_mirror_muscles() {
    let (body, capacity) = person();
    let of = |mover: Side, bearing: usize| {
        peaks(&body, &capacity, &done(&body, &capacity, &spec(&body, Family::Lunge, mover, bearing)))
    };
    let (right, left) = (of(Side::Right, 2), of(Side::Left, 6));
    for side in Side::BOTH {
        for set in LegMuscles::ALL {
            let (a, b) =
                (right.get(side).muscles.of(set).value, left.get(side.other()).muscles.of(set).value);
            match (a.share(), b.share()) {
                (Some(a), Some(b)) => assert!((a.in_one() - b.in_one()).abs() < 0.01, "{set}: {a} and {b}"),
                (a, b) => assert_eq!(a, b, "{set}"),
            }
        }
    }
}

/// The front leg of a lunge bends under load and straightens it again: its knee extensors and the
/// press behind its kneecap are greater than those of the same leg in a bend with both feet down.
#[test]
fn a_lunge_asks_more_of_the_front_vasti_than_a_bend_on_both_feet() {
    let (body, capacity) = person();
    let front = |family: Family| {
        let moved = done(&body, &capacity, &spec(&body, family, Side::Right, 0));
        let leg = peaks(&body, &capacity, &moved).right;
        let vasti = leg.muscles.of(LegMuscles::Vasti).value.share().unwrap().in_one();
        (vasti, leg.patellofemoral.value.body_weights().unwrap())
    };
    let (lunge, bend) = (front(Family::Lunge), front(Family::BendAndReach));
    assert!(lunge.0 > bend.0 && lunge.1 > bend.1, "{lunge:?} and {bend:?}");
}
