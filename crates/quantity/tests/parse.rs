//! What people type is read with its unit, or refused with what is accepted.

use quantity::{Angle, Length, Mass, Moment, Share};

#[test]
fn lengths_in_every_accepted_unit_are_the_same_length() {
    for text in ["176 cm", "1.76 m", "1760 mm", "176cm", " 176 cm "] {
        assert!((Length::parse(text).unwrap().in_cm() - 176.0).abs() < 1e-9, "{text}");
    }
    // One inch is 25.4 mm and one pound 0.45359237 kg by international agreement of 1959.
    assert!((Length::parse("70 in").unwrap().in_cm() - 177.8).abs() < 1e-9);
    assert!((Mass::parse("180 lb").unwrap().in_kg() - 81.646_626_6).abs() < 1e-6);
}

#[test]
fn refusals_say_what_was_given_and_what_is_accepted() {
    for (result, parts) in [
        (Length::parse("176").err(), ["`176`", "no unit"]),
        (Length::parse("176 kg").err(), ["`kg`", "cm, m, mm, in"]),
        (Mass::parse("-4 kg").err(), ["`-4 kg`", "zero or more"]),
        (Angle::parse("steep").err(), ["`steep`", "70 deg"]),
        (Moment::parse("12 kg").err(), ["`kg`", "Nm"]),
        (Share::parse("half").err(), ["`half`", "50 %"]),
        (Length::parse("1e999 cm").err(), ["`1e999 cm`", "unit"]),
    ] {
        let words = result.expect("refused").to_string();
        for part in parts {
            assert!(words.contains(part), "{words} lacks {part}");
        }
    }
}

#[test]
#[should_panic(expected = "finite")]
fn nonsense_cannot_be_made() {
    let _ = Angle::deg(f64::NAN);
}

#[test]
#[should_panic(expected = "negative")]
fn a_negative_length_cannot_be_made() {
    let _ = Length::cm(-1.0);
}

#[test]
fn nothing_prints_as_minus_zero() {
    assert_eq!(Angle::deg(-0.2).to_string(), "0°");
}
