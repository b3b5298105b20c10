//! The clinic's own error of a test, as `footrose agreement` prints it, in a measures file.

use measurement::{OwnRepeats, Scale};
use person::case_file::Wrong;

use super::file::OwnErrorRow;
use super::reader::Reader;

/// Every scale by the word that a file uses.
const SCALES: [(&str, Scale); 6] = [
    ("raw", Scale::Raw),
    ("limb_length", Scale::LimbLength),
    ("height", Scale::Height),
    ("body_mass", Scale::BodyMass),
    ("symmetry", Scale::Symmetry),
    ("side_difference", Scale::SideDifference),
];

/// One row, checked.
pub(super) fn own_error(reader: &mut Reader<'_>, row: &OwnErrorRow) -> Option<OwnRepeats> {
    let instrument = reader.instrument(&row.test)?;
    let test = instrument.instrument();
    let direction = match &row.direction {
        Some(name) => Some(reader.direction(name.get_ref(), &name.span(), test)?),
        None => None,
    };
    let scale = match &row.scale {
        None => Scale::Raw,
        Some(given) => match SCALES.iter().find(|(word, s)| word == given.get_ref() && test.offers(*s)) {
            Some((_, scale)) => *scale,
            None => {
                let accepted: Vec<&str> =
                    SCALES.iter().filter(|(_, s)| test.offers(*s)).map(|(word, _)| *word).collect();
                let to_do = "say on which scale the repeats were compared";
                reader.add(
                    Wrong::Value,
                    &given.span(),
                    "scale",
                    given.get_ref(),
                    &accepted.join(", "),
                    to_do,
                );
                return None;
            }
        },
    };
    let form = reader.form(row.form.as_ref(), test)?;
    let protocol = reader.protocol(&[&row.protocol])?;
    let raters = reader.raters(row.raters.as_ref());
    let Some(people) = usize::try_from(*row.people.get_ref()).ok().filter(|n| *n >= 2) else {
        let given = row.people.get_ref().to_string();
        let to_do = "say how many people were measured twice";
        reader.add(Wrong::Value, &row.people.span(), "people", &given, "2 or more", to_do);
        return None;
    };
    let sem = *row.standard_error.get_ref();
    if !(sem > 0.0 && sem < 1e6) {
        let to_do = "write the standard error of measurement that `footrose agreement` prints";
        let given = format!("{sem:?}");
        reader.add(
            Wrong::Value,
            &row.standard_error.span(),
            "standard_error",
            &given,
            "a number above 0, in the unit of the scale",
            to_do,
        );
        return None;
    }
    Some(OwnRepeats { instrument, direction, scale, form, protocol, people, raters, sem })
}
