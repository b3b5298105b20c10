//! A summary of one record for reading and printing, part of what is taken out.

use clinic::{CaseText, FindingLine, Freshness, Lesson, PracticeRecord, Standing};
use document::{Summary, SummaryLine, SummarySection};
use exchange::typed::Worst;

use crate::words;

/// The most logs a summary lists; all of them stand in the other files.
const LOGS: usize = 20;

fn line(label: impl Into<String>, words: impl Into<String>) -> SummaryLine {
    SummaryLine { label: label.into(), words: words.into() }
}

fn section(title: &str, lines: Vec<SummaryLine>, empty: &str) -> SummarySection {
    SummarySection { title: title.to_owned(), lines, empty: empty.to_owned() }
}

/// The summary of one person's record. `logs` and `lessons` are all there are.
pub(super) fn summary(standing: &Standing, logs: &[PracticeRecord], lessons: &[Lesson]) -> Summary {
    let taught = lessons.iter().map(|lesson| lesson.record.as_log());
    let mut all: Vec<PracticeRecord> = logs.iter().cloned().chain(taught).collect();
    all.sort_by_key(|log| std::cmp::Reverse(log.on));
    Summary {
        title: "Summary of the record".to_owned(),
        person: standing.person().name.clone(),
        made_on: standing.day,
        invented: standing.is_invented(),
        sections: vec![
            section("Who", who(standing), ""),
            section("Conditions and operations", conditions(standing), "None was entered."),
            section("Findings", findings(standing), "Nothing was found yet."),
            section("Programme", programme(standing), "No programme was accepted."),
            section("Home log, newest first", log_lines(&all), "Nothing was logged."),
            section(
                "Where the rest stands",
                vec![line(
                    "",
                    "Every version of every entry stands in entries.json, what was measured in the measures files.",
                )],
                "",
            ),
        ],
    }
}

fn who(standing: &Standing) -> Vec<SummaryLine> {
    let person = standing.person();
    let mut out = vec![line("Name", person.name.clone())];
    if !person.number.is_empty() {
        out.push(line("Number", person.number.clone()));
    }
    if let Some(born) = person.born {
        out.push(line("Born", words::day(born)));
    }
    if let Some(case) = &standing.case {
        let body = &case.person.body;
        out.push(line("Body", format!("{} years, {}, {}", body.age(), body.stature(), body.mass())));
        if !case.person.about.is_empty() {
            out.push(line("Work, sport or setting", case.person.about.clone()));
        }
        if let person::Finding::Found { value, on } = &case.findings.consent {
            let agreed = if *value { "agreed" } else { "did not agree" };
            out.push(line("Consent", format!("{agreed} on {}", words::day(*on))));
        }
    }
    out
}

fn conditions(standing: &Standing) -> Vec<SummaryLine> {
    let Some(text) = CaseText::of(&standing.case_text) else { return Vec::new() };
    (1..=text.entries("conditions"))
        .map(|at| {
            let of = |key: &str| text.given(&format!("conditions[{at}].{key}")).map(|given| given.text);
            let kind = of("name").or_else(|| of("kind")).unwrap_or_default().replace('_', " ");
            let details = ["side", "approach", "pattern", "operated_on", "injured_on"]
                .into_iter()
                .filter_map(|key| Some(format!("{} {}", key.replace('_', " "), of(key)?.replace('_', " "))));
            line(words::capital(&kind), details.collect::<Vec<_>>().join(", "))
        })
        .collect()
}

fn findings(standing: &Standing) -> Vec<SummaryLine> {
    let Some(case) = &standing.case else { return Vec::new() };
    clinic::findings_known(case, standing.day).iter().filter_map(finding).collect()
}

fn finding(known: &FindingLine) -> Option<SummaryLine> {
    let on = known.on?;
    let what = words::capital(&match known.side {
        Some(side) => format!("{}, {side}", known.what),
        None => known.what.clone(),
    });
    let past = match known.freshness {
        Freshness::Past { since } => format!("; counts as not assessed since {}", words::day(since)),
        Freshness::Current { .. } | Freshness::NotAssessed => String::new(),
    };
    Some(line(what, format!("{} ({}{past})", known.found, words::day(on))))
}

fn programme(standing: &Standing) -> Vec<SummaryLine> {
    let Some(programme) = &standing.programme else { return Vec::new() };
    let mut out = vec![line(
        "Accepted",
        format!(
            "for {}, to be used until {}",
            words::day(programme.for_day),
            words::day(programme.use_until)
        ),
    )];
    for (place, movements) in programme.exercises.iter().enumerate() {
        out.push(line(format!("Exercise {}", place + 1), movements.join("; ")));
    }
    out
}

fn log_lines(all: &[PracticeRecord]) -> Vec<SummaryLine> {
    let mut out: Vec<SummaryLine> = all.iter().take(LOGS).map(log_line).collect();
    if all.len() > LOGS {
        out.push(line("", format!("And {} earlier entries.", all.len() - LOGS)));
    }
    out
}

fn log_line(log: &PracticeRecord) -> SummaryLine {
    let mut parts = vec![log.source.words().to_owned()];
    match (&log.summary, log.worst_pain()) {
        (Some(told), _) => {
            let worst = told.worst.iter().map(|(_, _, worst)| *worst).max();
            parts.push(super::home_log::band(worst.unwrap_or(Worst::None)).to_owned());
        }
        (None, Some(pain)) => parts.push(format!("worst pain {pain} of 10")),
        (None, None) => {}
    }
    if log.stopped.is_some() || log.summary.as_ref().is_some_and(|told| told.stopped) {
        parts.push("stopped early".to_owned());
    }
    if let Some(told) = &log.summary {
        let more = if told.or_more { " or more" } else { "" };
        let sessions = words::counted(told.sessions, "session");
        parts.push(format!("{sessions}{more} in fourteen days"));
    }
    if !log.items.is_empty() {
        parts.push(words::counted(log.items.len(), "direction"));
    }
    if !log.remark.is_empty() {
        parts.push(log.remark.clone());
    }
    line(words::day(log.on), parts.join("; "))
}
