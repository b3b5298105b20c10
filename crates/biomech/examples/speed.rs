use anatomy::{BodySize, PerSide, Sex, Side};
use biomech::{Body, Capacity, motion_near};
use movement::{Bearing, Family, HandHeight, Load, MovementSpec, StanceFoot, Support};
use quantity::{Length, Mass};
use std::time::Instant;
fn main() {
    let size = BodySize::new(Length::cm(176.), Mass::kg(80.), Sex::Male, 60, PerSide::default()).unwrap();
    let body = Body::of(&size);
    let capacity = Capacity::of(&size, &[]);
    for family in Family::ALL {
        let t = Instant::now();
        let (mut its, mut n) = (0, 0);
        for _ in 0..5 {
            for bearing in Bearing::ALL {
                let mut near = None;
                for p in 4..16 {
                    let spec = MovementSpec {
                        family,
                        mover: Side::Right,
                        bearing,
                        crossing: family.ways(bearing, Side::Right)[0],
                        stance_foot: StanceFoot::Fixed,
                        distance: body.leg_length(Side::Right).times(f64::from(p) * 0.05),
                        depth: (family == Family::Lunge).then(|| Length::cm(14.)),
                        hand_height: (family == Family::BendAndReach).then_some(HandHeight::Knee),
                        load: Load::None,
                        support: Support::None,
                        place: None,
                    };
                    let m = motion_near(&body, &capacity, &spec, near.as_ref());
                    n += 1;
                    if let Some(m) = &m {
                        its += m.frames.iter().map(|f| f.iterations()).sum::<usize>();
                    }
                    near = m.or(near);
                }
            }
        }
        let s = t.elapsed().as_secs_f64();
        println!(
            "{family}: {n} motions {:.2} ms each, {:.1} us per counted iteration, {:.0} it per motion",
            s * 1e3 / f64::from(n),
            s * 1e6 / its as f64,
            its as f64 / f64::from(n)
        );
    }
}
