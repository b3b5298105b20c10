//! Reads a table of readings, prints how well raters agree, and writes report and charts.

use std::path::Path;

use app::{AgreementSettings, RatingTable, TableError, agreement_report, grades_report};
use drawing::Frame;
use measurement::statistics::Confidence;
use serde_json::{Value, json};

use crate::args::AgreementArgs;
use crate::end::{End, Failure};
use crate::{folder, input, say};

/// Size of a chart, points.
const FRAME: Frame = Frame { width: 560.0, height: 380.0, type_size: 14.0 };

/// Runs `agreement`.
pub fn run(args: &AgreementArgs) -> Result<End, Failure> {
    let failure = |error: TableError| Failure::Table { path: args.file.clone(), why: error.to_string() };
    let text = input::text(&args.file, "name a CSV file with a header row and one row for each person")?;
    let table = RatingTable::read(&text).map_err(failure)?;
    let (report, told, charts) = if args.grades || args.order.is_some() {
        let order: Option<Vec<String>> =
            args.order.as_ref().map(|order| order.split(',').map(|grade| grade.trim().to_owned()).collect());
        let report = grades_report(&table, order.as_deref(), args.confidence).map_err(failure)?;
        (serde_json::to_value(&report), report.text(), Vec::new())
    } else {
        let settings = AgreementSettings { unit: args.unit.clone(), confidence: args.confidence };
        let report = agreement_report(&table, &settings).map_err(failure)?;
        let charts: Vec<Vec<u8>> = report
            .pairs
            .iter()
            .filter_map(|pair| pair.chart(args.unit.as_deref(), FRAME))
            .map(|scene| scene.svg().as_str().as_bytes().to_vec())
            .collect();
        (serde_json::to_value(&report), report.text(), charts)
    };
    let report = report.unwrap_or(Value::Null);
    let written = match &args.out {
        Some(out) => write(out, &args.file, &told, &report, &charts)?,
        None => Vec::new(),
    };
    if args.json {
        say::json(&json!({ "agreement": report, "files": written }));
    } else {
        let files: String = written.iter().map(|name| format!("wrote {name}\n")).collect();
        say::text(&format!("{told}{files}"));
    }
    Ok(End::Done)
}

fn write(
    out: &Path,
    of: &Path,
    told: &str,
    report: &Value,
    charts: &[Vec<u8>],
) -> Result<Vec<String>, Failure> {
    let stem = of.file_stem().map_or_else(|| "readings".to_owned(), |s| s.to_string_lossy().into_owned());
    let mut files: Vec<(String, Vec<u8>)> = vec![
        (format!("{stem}-agreement.txt"), told.as_bytes().to_vec()),
        (format!("{stem}-agreement.json"), format!("{report:#}\n").into_bytes()),
    ];
    for (k, chart) in charts.iter().enumerate() {
        let number = if charts.len() > 1 { format!("-{}", k + 1) } else { String::new() };
        files.push((format!("{stem}-agreement{number}.svg"), chart.clone()));
    }
    let files: Vec<(&str, &[u8])> =
        files.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())).collect();
    Ok(folder::write(out, &files)?.iter().map(|path| path.display().to_string()).collect())
}

/// A confidence as it is written on the command line.
pub fn confidence(text: &str) -> Result<Confidence, String> {
    let share = text.trim_end_matches('%').trim().parse::<f64>().map(|percent| percent / 100.0);
    share
        .ok()
        .and_then(|share| Confidence::share(share).ok())
        .ok_or_else(|| format!("`{text}` is no confidence; accepted: above 50 and below 99.9999, such as 95"))
}
