//! What Today and Clinic say of backups: how old the last good one is, and what stands in the way.

use clinic::{BackupState, Moment};
use maud::{Markup, html};

use crate::fault::sentence;
use crate::words;

/// How old something is, in the largest unit that says enough.
fn ago(at: Moment, now: Moment) -> String {
    let minutes = (now.in_unix_ms() - at.in_unix_ms()) / 60_000;
    let of = |count: i64, unit: &str| {
        if count == 1 { format!("1 {unit} ago") } else { format!("{count} {unit}s ago") }
    };
    match minutes {
        ..0 => "later than now by this clock".to_owned(),
        0 => "just now".to_owned(),
        1..120 => of(minutes, "minute"),
        120..2880 => of(minutes / 60, "hour"),
        _ => of(minutes / 1440, "day"),
    }
}

/// The age of the last good backup.
pub(crate) fn age(state: &BackupState) -> Markup {
    html! {
        p.quiet {
            @match state.last {
                Some(at) => { "Last good backup: " (ago(at, state.now)) ", " (words::moment(at)) "." },
                None => "There is no backup yet: everything is on this one disk.",
            }
            " " a href="/clinic/backup" { "Backup" }
        }
    }
}

/// What stands in the way of backups, if something does, with what to do.
pub(crate) fn trouble(state: &BackupState) -> Markup {
    html! {
        @if let Some(trouble) = &state.trouble {
            div.mend role="alert" {
                p { strong { "No backup can be made by itself since " (words::moment(trouble.since)) "." } " " (sentence(&trouble.why)) }
                p { "It is tried again every ten minutes while somebody is signed in. " a href="/clinic/backup" { "Try now, or choose another folder" } }
            }
        } @else if state.folder.is_empty() {
            div.mend role="status" {
                p { strong { "No folder for backups is chosen," } " so none is made by itself. If this disk fails, what is not in a backup is gone. " a href="/clinic/backup" { "Choose a folder" } }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_age_is_said_in_the_largest_unit_that_says_enough() {
        let now = 1_000_000_000_000;
        for (minutes, said) in [
            (0, "just now"),
            (1, "1 minute ago"),
            (119, "119 minutes ago"),
            (120, "2 hours ago"),
            (47 * 60, "47 hours ago"),
            (48 * 60, "2 days ago"),
            (-5, "later than now by this clock"),
        ] {
            let at = Moment::unix_ms(now - minutes * 60_000);
            assert_eq!(ago(at, Moment::unix_ms(now)), said);
        }
    }
}
