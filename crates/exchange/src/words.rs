//! A preview in words, for the therapist.

use std::fmt;

use progress::{Cell, Done, Rung, cell_words};

use crate::read::{Hurt, LogPreview, Preview, Seen, Standing, TypedPreview};
use crate::typed::Worst;

fn standing(of: Standing) -> &'static str {
    match of {
        Standing::Current => "the programme of today",
        Standing::Replaced => {
            "an EARLIER programme: the log belongs to that one and says nothing of the new one"
        }
    }
}

fn times(count: usize, of: &str) -> String {
    if count == 1 { format!("1 {of}") } else { format!("{count} {of}s") }
}

fn cell(of: &Cell) -> String {
    format!("exercise {}, {}", of.exercise, cell_words(*of))
}

impl fmt::Display for Hurt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: hurt in {} of {}", cell(&self.cell), self.hurt, times(self.done, "session"))?;
        match self.worst {
            Some(worst) => write!(f, ", worst {worst} of 10")?,
            None if self.hurt > 0 => write!(f, ", no number given")?,
            None => {}
        }
        f.write_str(match self.rung {
            Rung::Whole => "",
            Rung::Shortened => ", shortened",
            Rung::Supported => ", shortened twice, slower, with support",
            Rung::LeftOut => ", left out",
        })
    }
}

impl fmt::Display for LogPreview {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "Log of programme {}, {}.", self.mark, standing(self.standing))?;
        let Some((first, last)) = self.days else { return writeln!(f, "No session was logged.") };
        let count = |seen: Seen| self.sessions.iter().filter(|one| one.seen == seen).count();
        writeln!(f, "{} from {first} to {last}.", times(self.sessions.len(), "session"))?;
        for (seen, words) in [
            (Seen::New, "new"),
            (Seen::Completes, "stored already, now with the morning after"),
            (Seen::Stored, "stored already"),
            (Seen::StoredRicher, "stored already, with a morning after that the code has not"),
            (Seen::Differs, "stored with something else: look at both, nothing is replaced"),
        ] {
            if count(seen) > 0 {
                writeln!(f, "- {}: {words}", times(count(seen), "session"))?;
            }
        }
        for (on, nth, stopped) in &self.stopped {
            writeln!(f, "STOP SIGN on {on}, session {nth}: {}.", stopped.words())?;
        }
        let cells = self.sessions.iter().flat_map(|one| &one.session.cells);
        let done = cells.clone().filter(|(_, done)| *done != Done::NotDone).count();
        writeln!(f, "Directions done: {done} of {}.", cells.count())?;
        if self.hurt.is_empty() {
            writeln!(f, "No direction hurt.")?;
        }
        for hurt in &self.hurt {
            writeln!(f, "- {hurt}")?;
        }
        if !self.outside.is_empty() {
            let days: Vec<String> = self.outside.iter().map(ToString::to_string).collect();
            writeln!(f, "Practised outside the days of the programme: {}.", days.join(", "))?;
        }
        Ok(())
    }
}

impl fmt::Display for TypedPreview {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let told = &self.summary;
        writeln!(f, "Summary of programme {}, {}.", self.mark, standing(self.standing))?;
        let (more, later) =
            (if told.or_more { " or more" } else { "" }, if told.or_later { " or later" } else { "" });
        writeln!(f, "Sessions in the fourteen days to {}{later}: {}{more}.", told.last, told.sessions)?;
        writeln!(f, "Stored for the same days: {}.", times(self.stored, "session"))?;
        if told.stopped {
            writeln!(f, "A STOP SIGN ended a session: ask which.")?;
        }
        if told.worst.is_empty() {
            writeln!(f, "No pain was told.")?;
        }
        for (side, bearing, worst) in &told.worst {
            let words = match worst {
                Worst::None => "no pain told",
                Worst::Mild => "worst pain 1 or 2 of 10",
                Worst::Moderate => "worst pain 3 to 5 of 10, or no number given",
                Worst::Strong => "worst pain 6 or more of 10, or left out",
            };
            // A typed code knows no family, and without one no anatomical name.
            let (way, degrees) = (bearing.plain_words(), bearing.degrees());
            writeln!(f, "- {side} leg, going {way} ({degrees}°): {words}")?;
        }
        writeln!(f, "A typed code tells no single session; scan the code for those.")
    }
}

impl fmt::Display for Preview {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Log(log) => log.fmt(f),
            Self::Typed(typed) => typed.fmt(f),
        }
    }
}

#[cfg(test)]
mod tests {
    use anatomy::Side;
    use jiff::civil::date;
    use movement::Bearing;

    use super::*;
    use crate::{Mark, typed};

    /// Both are "left": the leg, and where it went.
    #[test]
    fn a_typed_code_tells_the_leg_apart_from_where_it_went() {
        let summary = typed::Summary {
            last: date(2026, 12, 1),
            or_later: false,
            sessions: 3,
            or_more: false,
            worst: vec![(Side::Left, Bearing::ALL[6], Worst::Strong)],
            stopped: false,
        };
        let preview =
            TypedPreview { mark: Mark::from_bytes([0; 8]), standing: Standing::Current, summary, stored: 0 };
        let told = preview.to_string();
        assert!(told.contains("- left leg, going left (270°): worst pain 6 or more"), "{told}");
    }
}
