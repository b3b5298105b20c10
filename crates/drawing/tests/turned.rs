//! A figure that a hand turns, and the words beside it.

mod common;

use anatomy::Side;
use biomech::Landmark;
use common::{Step, figure_input};
use drawing::{FigureMark, Frame, View, figure, figure_with_words};

const FRAME: Frame = Frame { width: 360.0, height: 400.0, type_size: 13.0 };
const STEP: Step = Step { mover: Side::Right, foot: [0.30, 0.40], drop: 0.06 };

#[test]
fn turned_by_a_quarter_it_is_the_view_from_that_side_and_not_turned_the_view_from_behind() {
    for (degrees, same) in [(0, View::Behind), (90, View::Side(Side::Right)), (-90, View::Side(Side::Left))] {
        let turned = figure(&figure_input(&STEP, View::Around(degrees)), FRAME).svg();
        assert_eq!(turned, figure(&figure_input(&STEP, same), FRAME).svg(), "{degrees}");
    }
}

#[test]
fn words_stand_on_the_side_of_their_joint_and_never_over_each_other() {
    let joints = [Landmark::Hip, Landmark::Knee, Landmark::Ankle];
    let marks: Vec<FigureMark> = Side::BOTH
        .into_iter()
        .flat_map(|side| joints.map(|joint| joint(side)))
        .flat_map(|at| [at; 3])
        .map(|at| FigureMark { at, words: "R flexion 40°\nlimit 90°".to_owned(), heavy: false })
        .collect();
    let scene = figure_with_words(&figure_input(&STEP, View::Behind), FRAME, &marks);
    let words: Vec<[f64; 2]> = scene.outlines("mark").into_iter().flatten().collect();
    assert_eq!(words.len(), 2 * marks.len(), "two lines each");
    let (left, right): (Vec<[f64; 2]>, Vec<[f64; 2]>) =
        words.iter().partition(|at| at[0] < FRAME.width / 2.0);
    assert_eq!(left.len(), right.len());
    for mut side in [left, right] {
        side.sort_by(|a, b| a[1].total_cmp(&b[1]));
        let apart = side.windows(2).all(|pair| pair[1][1] - pair[0][1] >= FRAME.type_size);
        assert!(apart, "{side:?}");
    }
    // Without words the whole width is the figure's.
    let plain = figure_with_words(&figure_input(&STEP, View::Behind), FRAME, &[]).svg();
    assert_eq!(plain, figure(&figure_input(&STEP, View::Behind), FRAME).svg());
}
