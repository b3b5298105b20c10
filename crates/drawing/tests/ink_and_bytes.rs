//! Contrast of what carries meaning, size of words, and the same bytes every time.

mod common;

use anatomy::Side;
use common::{Step, figure_input, right_leg_floor};
use drawing::ink::{INK, Ink, LEFT, LIGHT, PALE, PAPER, QUIET, RIGHT, TONE};
use drawing::{Frame, View, figure, floor};

const FRAME: Frame = Frame { width: 250.0, height: 300.0, type_size: 16.0 };

#[test]
fn contrast_follows_the_published_formula() {
    // Black on white is 21:1 by definition; #777777 on white is the well-known 4.48:1.
    assert!((Ink(0, 0, 0).contrast(PAPER) - 21.0).abs() < 1e-9);
    assert!((Ink(0x77, 0x77, 0x77).contrast(PAPER) - 4.48).abs() < 0.01);
}

#[test]
fn every_ink_that_carries_meaning_stands_out_three_to_one() {
    for ground in [PAPER, PALE, LIGHT] {
        for ink in [LEFT, RIGHT, QUIET, INK] {
            assert!(ink.contrast(ground) >= 3.0, "{ink:?} on {ground:?}: {:.2}", ink.contrast(ground));
        }
    }
    // Hatching on the tone of a standing limb, and words on paper (4.5:1).
    assert!(QUIET.contrast(TONE) >= 3.0, "{:.2}", QUIET.contrast(TONE));
    assert!(INK.contrast(PAPER) >= 4.5 && QUIET.contrast(PAPER) >= 4.5);
}

#[test]
fn no_red_and_no_orange() {
    // Hue of the limb inks: blue about 200 degrees, reddish purple about 325; warm hues lie
    // between 345 and 50.
    for ink in [LEFT, RIGHT] {
        let [r, g, b] = [ink.0, ink.1, ink.2].map(f64::from);
        let (high, low) = (r.max(g).max(b), r.min(g).min(b));
        let hue = if high == r {
            (g - b) / (high - low)
        } else if high == g {
            2.0 + (b - r) / (high - low)
        } else {
            4.0 + (r - g) / (high - low)
        };
        let hue = (hue * 60.0).rem_euclid(360.0);
        assert!((50.0..345.0).contains(&hue), "{ink:?}: {hue}");
    }
}

#[test]
fn the_same_drawing_has_the_same_bytes() {
    let step = Step { mover: Side::Right, foot: [0.30, 0.30], drop: 0.05 };
    let draw = || {
        let floor = floor(&right_leg_floor(), FRAME).svg();
        let figure = figure(&figure_input(&step, View::Behind), FRAME).svg();
        format!("{}{}", floor.as_str(), figure.as_str())
    };
    assert_eq!(draw(), draw());
    assert!(!draw().contains("NaN") && !draw().contains("inf"));
}

#[test]
fn words_keep_the_size_that_was_asked_and_everything_stays_in_the_frame() {
    for type_size in [16.0, 21.0] {
        let frame = Frame { type_size, ..FRAME };
        let scene = floor(&right_leg_floor(), frame);
        let (smallest, _) = scene.word_sizes().expect("a floor has words");
        assert!(smallest >= type_size);
        let (low, high) = scene
            .parts()
            .iter()
            .flat_map(|part| scene.outlines(part))
            .flatten()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), p| (l.min(p[0]), h.max(p[0])));
        assert!(low >= 0.0 && high <= frame.width, "{low} {high}");
    }
}

#[test]
fn left_is_solid_and_right_is_hatched() {
    let right = right_leg_floor();
    assert!(!floor(&right, FRAME).outlines("ray-hatch").is_empty());
    assert!(floor(&right.mirrored(), FRAME).outlines("ray-hatch").is_empty());
}

#[test]
fn words_cannot_break_out_of_the_drawing() {
    let mut input = right_leg_floor();
    input.rays[0].note = Some("<script>&\"".to_owned());
    let text = floor(&input, FRAME).svg();
    assert!(!text.as_str().contains("<script") && text.as_str().contains("&lt;script&gt;&amp;&quot;"));
}

#[test]
fn no_two_labels_lie_on_each_other() {
    use drawing::{Names, Rings};
    let mut five = right_leg_floor();
    five.rings = Rings::Every10Cm;
    let mut eight = right_leg_floor();
    for ray in &mut eight.rays {
        ray.state = drawing::RayState::Open(quantity::Length::cm(40.0));
    }
    eight.names = Names::Trade { named_from: Side::Right };
    // Toes that cross in front and behind, with the words for it: little height between neighbours.
    let mut crossing = right_leg_floor();
    crossing.landing = drawing::Landing::ToeTouch;
    for (ray, (cm, note)) in crossing.rays.iter_mut().zip([
        (54.0, None),
        (54.0, None),
        (0.0, None),
        (0.0, None),
        (0.0, None),
        (54.0, Some("in front")),
        (36.0, Some("behind")),
        (36.0, Some("in front")),
    ]) {
        if cm > 0.0 {
            ray.state = drawing::RayState::Open(quantity::Length::cm(cm));
            ray.note = note.map(str::to_owned);
        }
    }
    let cases = [
        (&crossing, Frame { width: 254.0, height: 190.0, type_size: 16.0 }),
        (&crossing, Frame { width: 254.0, height: 320.0, type_size: 16.0 }),
        (&five, Frame { width: 254.0, height: 230.0, type_size: 16.0 }),
        (&five, Frame { width: 345.0, height: 270.0, type_size: 21.0 }),
        (&eight, Frame { width: 420.0, height: 420.0, type_size: 13.0 }),
    ];
    for (input, frame) in cases {
        let boxes = drawing::label_boxes(input, frame);
        assert!(boxes.len() >= 5);
        for (k, (bearing, a)) in boxes.iter().enumerate() {
            for (other, b) in &boxes[k + 1..] {
                let apart = a[1] <= b[0] || b[1] <= a[0] || a[3] <= b[2] || b[3] <= a[2];
                assert!(apart, "{bearing} {a:?} lies on {other} {b:?}");
            }
        }
    }
}
