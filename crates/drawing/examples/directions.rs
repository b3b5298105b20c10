//! Draws the eight directions of every family for three bodies, as one contact sheet a family.
//!
//! `cargo run -p drawing --example directions -- FOLDER [SHARE]`: SHARE is the distance as a share of
//! leg length, 0.4 unless given. Each body fills two rows, seen from behind and from the side.

use std::fmt::Write as _;

use anatomy::{BodySize, PerSide, Sex, Side};
use biomech::{Body, Capacity, Motion, motion};
use drawing::{FigureInput, FigurePoints, Frame, Moves, View, figures};
use movement::{
    ArmTask, Bearing, Crossing, Family, HandHeight, HandShare, Landing, Load, MovementSpec, StanceFoot,
    Support,
};
use quantity::{Length, Mass};

const CELL: [f64; 2] = [150.0, 190.0];

fn people() -> [(&'static str, BodySize); 3] {
    let size = |cm, kg, sex, age| {
        BodySize::new(Length::cm(cm), Mass::kg(kg), sex, age, PerSide { left: None, right: None })
            .unwrap_or_else(|e| panic!("a plausible body: {e}"))
    };
    [
        ("woman, 150 cm, 62 kg, 70", size(150.0, 62.0, Sex::Female, 70)),
        ("man, 176 cm, 78 kg, 40", size(176.0, 78.0, Sex::Male, 40)),
        ("man, 193 cm, 95 kg, 25", size(193.0, 95.0, Sex::Male, 25)),
    ]
}

fn spec(body: &Body, family: Family, bearing: Bearing, crossing: Crossing, share: f64) -> MovementSpec {
    let leg = body.leg_length(Side::Right);
    MovementSpec {
        family,
        mover: Side::Right,
        bearing,
        crossing,
        stance_foot: StanceFoot::Fixed,
        distance: leg.times(share),
        depth: (family == Family::Lunge).then(|| leg.times(0.15)),
        hand_height: (family == Family::BendAndReach).then_some(HandHeight::Knee),
        load: Load::None,
        support: Support::None,
        place: None,
        hand_share: HandShare::NotAssessed,
        arms: ArmTask::Free,
        landing: family.is_airborne().then_some(Landing::Held),
        rise: Length::ZERO,
    }
}

fn input(motion: &Motion, body: &Body, family: Family, view: View) -> FigureInput {
    FigureInput {
        points: FigurePoints::of(&motion.shown().posture),
        moves: if family == Family::BendAndReach {
            Moves::Hand(Side::Right)
        } else {
            Moves::Leg(Side::Right)
        },
        foot_letters: ["L", "R"],
        view,
        foot_breadth: body.foot_breadth(),
        body_mass_index: 25.0,
        support: None,
    }
}

fn main() -> std::io::Result<()> {
    let mut arguments = std::env::args().skip(1);
    let folder = std::path::PathBuf::from(arguments.next().unwrap_or_else(|| ".".to_owned()));
    let share: f64 = arguments.next().and_then(|text| text.parse().ok()).unwrap_or(0.4);
    for family in Family::ALL {
        let mut columns: Vec<(Bearing, Crossing)> = Vec::new();
        for bearing in Bearing::ALL {
            columns.extend(family.ways(bearing, Side::Right).iter().map(|way| (bearing, *way)));
        }
        let mut out = String::new();
        for (row, (name, size)) in people().iter().enumerate() {
            let body = Body::of(size);
            let capacity = Capacity::of(size, &[]);
            let top = 30.0 + row as f64 * (2.0 * CELL[1] + 24.0);
            write!(out, r#"<text x="4" y="{}" font-size="12">{name}</text>"#, top + 10.0).ok();
            for (column, (bearing, crossing)) in columns.iter().enumerate() {
                let left = column as f64 * CELL[0];
                let spec = spec(&body, family, *bearing, *crossing, share);
                match motion(&body, &capacity, &spec) {
                    Ok(found) => {
                        let inputs = [View::Behind, View::Side(Side::Right)]
                            .map(|view| input(&found, &body, family, view));
                        let frame = Frame { width: CELL[0] - 8.0, height: CELL[1] - 6.0, type_size: 8.0 };
                        for (k, scene) in figures(&inputs, frame).iter().enumerate() {
                            let y = top + 14.0 + k as f64 * CELL[1];
                            write!(
                                out,
                                r#"<g transform="translate({left},{y})">{}</g>"#,
                                scene.svg().as_str()
                            )
                            .ok();
                        }
                    }
                    Err(why) => {
                        let words = why.to_string();
                        let last =
                            words.rsplit(": ").next().unwrap_or("").chars().take(30).collect::<String>();
                        write!(out, r#"<text x="{left}" y="{}" font-size="8">{last}</text>"#, top + 80.0)
                            .ok();
                    }
                }
            }
        }
        let mut head = String::new();
        for (column, (bearing, crossing)) in columns.iter().enumerate() {
            let way = match crossing {
                Crossing::None => "",
                Crossing::InFront => ", in front",
                Crossing::Behind => ", behind",
            };
            let x = column as f64 * CELL[0] + 4.0;
            write!(head, r#"<text x="{x}" y="14" font-size="11">{}{way}</text>"#, bearing.plain_words()).ok();
        }
        let (width, height) = (columns.len() as f64 * CELL[0], 30.0 + 3.0 * (2.0 * CELL[1] + 24.0));
        let text = format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" font-family="sans-serif"><rect width="100%" height="100%" fill="white"/>{head}{out}</svg>"#
        );
        std::fs::write(folder.join(format!("directions-{}.svg", family.name().replace(' ', "-"))), text)?;
    }
    Ok(())
}
