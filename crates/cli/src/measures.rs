//! Measuring on the command line: which tests today, scores, changes with their charts, criteria of return.

use std::path::Path;

use app::{ChangeReport, Measures};
use drawing::Frame;
use jiff::civil::Date;
use person::CaseFile;
use serde_json::{Value, json};

use crate::args::{ChangeArgs, MeasureArgs, MeasuresArgs, ReturnArgs};
use crate::end::{End, Failure};
use crate::{folder, input, run, say};

/// Size of a chart, points.
const FRAME: Frame = Frame { width: 560.0, height: 380.0, type_size: 14.0 };

/// Runs `measure`.
pub fn measure(args: &MeasureArgs) -> Result<End, Failure> {
    if args.template {
        say::text(&app::measures_template());
        return Ok(End::Done);
    }
    if args.tests {
        say::text(&app::tests_list());
        return Ok(End::Done);
    }
    let Some(of) = &args.case else {
        return Err(Failure::File {
            path: "CASE".into(),
            why: "is missing; name a case file, or make some with `footrose cases --out DIR`".to_owned(),
        });
    };
    let (case, today) = input::case(of)?;
    let Some(file) = &args.measures else { return Ok(tests(of.json, &case, today)) };
    if let Some(end) = alert(of.json, &case, today) {
        return Ok(end);
    }
    let measures = read(file, &case, today)?;
    let gates = app::gates_of(&case, today, &measures);
    let report = app::measure_report(&case, &measures);
    if of.json {
        say::json(&json!({ "measures": value(&report), "refused_today": value(&gates) }));
    } else {
        let mut told: String = gates.iter().map(|refused| format!("{refused}\n")).collect();
        let others = measures.entries.iter().filter(|entry| entry.session.taken().date != today).count();
        if others > 0 {
            let other_days = format!(
                "The gates were asked about tests of {today} only; {others} results of other days were not judged.\n"
            );
            told.push_str(&other_days);
        }
        say::text(&format!("{}{}{told}", run::first_line(&case, today), report.text()));
    }
    Ok(if gates.iter().any(app::RefusedTest::stands) { End::Refused } else { End::Done })
}

/// Which tests may be offered today.
fn tests(as_json: bool, case: &CaseFile, today: Date) -> End {
    let watch = say::Watch::start();
    let tests = app::tests_today(case, today, &|part| watch.see(part));
    if let Some(alert) = &tests.alert {
        return run::tell_alert(alert, case, today, as_json);
    }
    if as_json {
        say::json(&json!({ "tests": value(&tests) }));
    } else {
        say::text(&tests.text());
    }
    End::Done
}

/// A red flag goes before everything.
fn alert(as_json: bool, case: &CaseFile, today: Date) -> Option<End> {
    let person = app::PersonToday::of(case, today);
    person.allowed.alert().map(|alert| run::tell_alert(alert, case, today, as_json))
}

/// Runs `change`.
pub fn change(args: &ChangeArgs) -> Result<End, Failure> {
    let (case, today, measures) = both(&args.of)?;
    if let Some(end) = alert(args.of.case.json, &case, today) {
        return Ok(end);
    }
    if let (Some(from), Some(to)) = (args.from, args.to)
        && from > to
    {
        let why = format!("is read from {from} to {to}, which is no time; give the earlier day as --from");
        return Err(Failure::Table { path: args.of.measures.clone(), why });
    }
    let report = app::change_report(&case, &measures, args.from, args.to);
    let written = match &args.out {
        Some(out) => write(out, &args.of.measures, &report)?,
        None => Vec::new(),
    };
    if args.of.case.json {
        say::json(&json!({ "change": value(&report), "files": written }));
    } else {
        let files: String = written.iter().map(|name| format!("wrote {name}\n")).collect();
        say::text(&format!("{}{}{files}", run::first_line(&case, today), report.text()));
    }
    Ok(End::Done)
}

/// Runs `return`.
pub fn returning(args: &ReturnArgs) -> Result<End, Failure> {
    let (case, today, measures) = both(&args.of)?;
    if let Some(end) = alert(args.of.case.json, &case, today) {
        return Ok(end);
    }
    let every = progress::Activity::ALL;
    let asked = if args.activities.is_empty() { every.as_slice() } else { &args.activities };
    let report = app::return_report(&case, &measures, today, asked);
    if args.of.case.json {
        say::json(&json!({ "return": value(&report) }));
    } else {
        say::text(&format!("{}{}", run::first_line(&case, today), report.text()));
    }
    Ok(End::Done)
}

fn value(of: &impl serde::Serialize) -> Value {
    serde_json::to_value(of).unwrap_or(Value::Null)
}

fn both(args: &MeasuresArgs) -> Result<(CaseFile, Date, Measures), Failure> {
    let (case, today) = input::case(&args.case)?;
    let measures = read(&args.measures, &case, today)?;
    Ok((case, today, measures))
}

/// Reads a measures file; recordings that it names lie beside it.
pub fn read(path: &Path, case: &CaseFile, today: Date) -> Result<Measures, Failure> {
    let text = input::text(path, "name a measures file; `footrose measure --template` prints one")?;
    let folder = path.parent().unwrap_or_else(|| Path::new("."));
    let series = |name: &str| {
        input::text(&folder.join(name), "name a recording (CSV) that lies beside the measures file")
            .map_err(|failure| failure.text())
    };
    app::read_measures(&path.display().to_string(), &text, case, today, &series).map_err(Failure::Case)
}

fn write(out: &Path, of: &Path, report: &ChangeReport) -> Result<Vec<String>, Failure> {
    let stem = of.file_stem().map_or_else(|| "measures".to_owned(), |s| s.to_string_lossy().into_owned());
    let mut files: Vec<(String, Vec<u8>)> = vec![
        (format!("{stem}-change.txt"), report.text().into_bytes()),
        (format!("{stem}-change.json"), format!("{:#}\n", value(report)).into_bytes()),
    ];
    for chart in report.charts(FRAME) {
        files.push((format!("{stem}-{}.svg", chart.name), chart.scene.svg().as_str().as_bytes().to_vec()));
    }
    let files: Vec<(&str, &[u8])> =
        files.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())).collect();
    Ok(folder::write(out, &files)?.iter().map(|path| path.display().to_string()).collect())
}
