//! Finds the key a person may have meant.

/// Everyday names that people write for one of our keys.
const EVERYDAY: [(&str, &str); 14] = [
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
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().take(64).collect(), b.chars().take(64).collect());
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
