//! Writes a few drawings as SVG files into the folder given, to look at.

#[path = "../tests/common/mod.rs"]
mod common;

use anatomy::Side;
use common::{
    Step, agreement_of_two_meters, course_of_two_legs, figure_input, frame_in_front, reach_at_two_dates,
    right_leg_floor,
};
use drawing::{Arrows, Frame, Names, View, agreement_chart, course_chart, figure, floor, reach_chart};

fn main() -> std::io::Result<()> {
    let folder = std::path::PathBuf::from(std::env::args().nth(1).unwrap_or_else(|| ".".to_owned()));
    let frame = Frame { width: 255.0, height: 300.0, type_size: 16.0 };
    let right = right_leg_floor();
    let write = |name: &str, text: &str| std::fs::write(folder.join(name), text);
    write("floor-right.svg", floor(&right, frame).svg().as_str())?;
    let mut left = right.mirrored();
    left.supports = vec![frame_in_front()];
    write("floor-left.svg", floor(&left, frame).svg().as_str())?;
    let mut space = right;
    space.arrows = Arrows::Area;
    space.ring_labels = true;
    space.names = Names::Trade { named_from: Side::Right };
    write(
        "space-right.svg",
        floor(&space, Frame { width: 420.0, height: 420.0, type_size: 13.0 }).svg().as_str(),
    )?;
    let wide = Frame { width: 560.0, height: 360.0, type_size: 14.0 };
    write("agreement.svg", agreement_chart(&agreement_of_two_meters(), wide).svg().as_str())?;
    write("course.svg", course_chart(&course_of_two_legs(), wide).svg().as_str())?;
    for side in Side::BOTH {
        let frame = Frame { width: 420.0, height: 420.0, type_size: 13.0 };
        let name = format!("reach-{side}.svg");
        write(&name, reach_chart(&reach_at_two_dates(side), frame).svg().as_str())?;
    }
    let small = Frame { width: 125.0, height: 190.0, type_size: 16.0 };
    for (name, mover, foot) in [
        ("forward", Side::Right, [0.45, 0.09]),
        ("side", Side::Right, [0.0, 0.45]),
        ("back", Side::Left, [-0.35, -0.15]),
    ] {
        let step = Step { mover, foot, drop: 0.08 };
        for (view_name, view) in [("behind", View::Behind), ("side", View::Side(mover))] {
            let drawn = figure(&figure_input(&step, view), small).svg();
            write(&format!("figure-{name}-{view_name}.svg"), drawn.as_str())?;
        }
    }
    Ok(())
}
