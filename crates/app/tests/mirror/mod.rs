//! A case in a mirror that exchanges left and right, and words in the same mirror.

use person::CaseFile;

/// The same person with everything that has a side on the other one.
pub fn mirrored(case: &CaseFile) -> CaseFile {
    let mut m = case.clone();
    m.person.body = m.person.body.mirrored();
    for (bearing, _) in &mut m.home.clear_floor {
        *bearing = bearing.mirrored();
    }
    let f = &mut m.findings;
    for condition in &mut f.conditions {
        *condition = condition.mirrored();
    }
    for order in &mut f.orders {
        order.side = order.side.map(anatomy::Side::other);
    }
    for strength in &mut f.strength {
        strength.side = strength.side.other();
    }
    for hurt in &mut f.hurt {
        hurt.mover = hurt.mover.other();
        hurt.bearing = hurt.bearing.mirrored();
    }
    f.answers = f.answers.mirrored();
    macro_rules! exchange { ($($sides:ident)*) => { $(std::mem::swap(&mut f.$sides.left, &mut f.$sides.right);)* } }
    exchange!(weight_bearing effusion knee_flexion extension_lag ankle_dorsiflexion single_leg_stance);
    exchange!(single_leg_stance_fingertip trendelenburg);
    m
}

/// `left` for `right` and the other way round, also inside `back-left`; what is left out stays so.
pub fn words(given: &str) -> String {
    given
        .replace("left out", "\u{1}")
        .replace("left", "\u{2}")
        .replace("right", "left")
        .replace('\u{2}', "right")
        .replace('\u{1}', "left out")
}
