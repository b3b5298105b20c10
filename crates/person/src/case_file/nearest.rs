//! Finds the key a person may have meant.

use super::format::format;
use super::limits::COMPARED;
use super::shape::{Key, Shape};

/// Everyday names that people write for one of our keys or words.
const EVERYDAY: &[(&str, &str)] = &[
    ("height", "stature"),
    ("body_height", "stature"),
    ("size", "stature"),
    ("weight", "mass"),
    ("body_weight", "mass"),
    ("bodyweight", "mass"),
    ("gender", "sex"),
    ("years", "age"),
    ("surgery_date", "operated_on"),
    ("operation_date", "operated_on"),
    ("type", "kind"),
    ("comment", "about"),
    ("nprs", "pain_at_rest"),
    ("dorsiflexion", "ankle_dorsiflexion"),
    ("man", "male"),
    ("m", "male"),
    ("woman", "female"),
    ("f", "female"),
    ("l", "left"),
    ("r", "right"),
    ("posterolateral", "posterior"),
    ("direct_anterior", "anterior"),
    ("anterolateral", "lateral"),
    ("frame", "walking_frame"),
    ("rollator", "walking_frame"),
    ("crutches", "two_crutches"),
    ("stick", "one_stick"),
    ("cane", "one_stick"),
    ("chair", "chair_back"),
    ("counter", "bench"),
    ("nwb", "non_weight_bearing"),
    ("ttwb", "touch_weight_bearing"),
    ("pwb", "partial_weight_bearing"),
    ("wbat", "as_tolerated"),
    ("fwb", "full"),
    ("dvt", "deep_vein_thrombosis"),
    ("pe", "pulmonary_embolism"),
    ("tha", "hip_replacement"),
    ("thr", "hip_replacement"),
    ("tka", "knee_replacement"),
    ("tkr", "knee_replacement"),
    ("koa", "knee_osteoarthritis"),
];

/// The known name that `given` most likely stands for, or none when nothing is near.
pub(super) fn nearest<'a>(given: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let given = given.to_lowercase().replace([' ', '-'], "_");
    let everyday = EVERYDAY.iter().find(|(name, _)| *name == given).map(|(_, key)| *key);
    known
        .filter_map(|name| {
            let plain = name.replace('-', "_");
            let far = if everyday == Some(name) { 0 } else { edits(&given, &plain) };
            let near_enough = far <= 1.max(plain.chars().count() / 3);
            near_enough.then_some((far, name))
        })
        .min_by_key(|(far, _)| *far)
        .map(|(_, name)| name)
}

/// How many letters must be added, dropped, changed or swapped with a neighbour.
fn edits(a: &str, b: &str) -> usize {
    let (a, b): (Vec<char>, Vec<char>) =
        (a.chars().take(COMPARED).collect(), b.chars().take(COMPARED).collect());
    let mut rows = vec![vec![0_usize; b.len() + 1]; a.len() + 1];
    for (i, row) in rows.iter_mut().enumerate() {
        row[0] = i;
    }
    rows[0] = (0..=b.len()).collect();
    for i in 1..=a.len() {
        for j in 1..=b.len() {
            let change = rows[i - 1][j - 1] + usize::from(a[i - 1] != b[j - 1]);
            let mut least = change.min(rows[i - 1][j] + 1).min(rows[i][j - 1] + 1);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                least = least.min(rows[i - 2][j - 2] + 1);
            }
            rows[i][j] = least;
        }
    }
    rows[a.len()][b.len()]
}

/// The table a key of this name belongs in, if there is one.
pub(super) fn elsewhere(name: &str) -> Option<String> {
    fn search(name: &str, path: &str, keys: &[Key]) -> Option<String> {
        if keys.iter().any(|key| key.name == name) {
            return Some(if path.is_empty() {
                "the top of the file".to_owned()
            } else {
                format!("`[{path}]`")
            });
        }
        keys.iter().find_map(|key| {
            let below = if path.is_empty() { key.name.to_owned() } else { format!("{path}.{}", key.name) };
            match &key.shape {
                Shape::Table(keys) if keys.iter().all(|key| !["left", "forward"].contains(&key.name)) => {
                    search(name, &below, keys)
                }
                Shape::List(inner) => match inner.as_ref() {
                    Shape::Table(keys) => search(name, &below, keys),
                    Shape::Kinds(tag, kinds) => kinds.iter().find_map(|kind| {
                        search(name, &below, &kind.keys)
                            .map(|place| format!("{place} with `{tag} = \"{}\"`", kind.name))
                    }),
                    _ => None,
                },
                _ => None,
            }
        })
    }
    search(name, "", format())
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn a_slip_of_one_letter_and_an_everyday_name_are_both_understood() {
        let known = ["stature", "mass", "sex", "age"];
        assert_eq!(nearest("statrue", known.into_iter()), Some("stature"));
        assert_eq!(nearest("height", known.into_iter()), Some("stature"));
        assert_eq!(nearest("Weight", known.into_iter()), Some("mass"));
        assert_eq!(nearest("shoe_colour", known.into_iter()), None);
    }
}
