//! Letters on the command line: text, PDF and JSON of one page.

use std::path::{Path, PathBuf};

use app::LetterSources;
use document::{Letter, LetterKind, Paper, PdfSettings, Tagging};
use serde_json::json;

use crate::args::{CaseArgs, LetterArgs};
use crate::end::{End, Failure};
use crate::sheet::PaperArg;
use crate::{folder, input, measures, run, say};

/// Runs `letter`.
pub fn letter(args: &LetterArgs) -> Result<End, Failure> {
    if args.kind == LetterKind::ClassList {
        return tell(args, &class(args)?);
    }
    let [file, rest @ ..] = args.files.as_slice() else { return Err(missing()) };
    let measures_file = match rest {
        [] => None,
        [one] => Some(one),
        [_, more, ..] => {
            let why =
                "is one file too many; accepted: a case file and, where there is one, its measures file";
            return Err(Failure::File { path: more.clone(), why: why.to_owned() });
        }
    };
    let (case, today) = input::case(&case_args(args, file))?;
    let measures = measures_file.map(|path| measures::read(path, &case, today)).transpose()?;
    let log = args.log.as_deref().map(crate::log::read).transpose()?;
    let watch = say::Watch::start();
    let base = match app::letter_base(&case, today, &|part| watch.see(part)) {
        Ok(base) => base,
        Err(alert) => return Ok(run::tell_alert(&alert, &case, today, args.json)),
    };
    let from = LetterSources {
        case: &case,
        today,
        author: args.author.as_deref(),
        measures: measures.as_ref(),
        log: log.as_ref(),
        activity: args.activity,
    };
    match app::letter_case(args.kind, &from, &base, args.language) {
        Ok(letter) => tell(args, &letter),
        Err(alert) => Ok(run::tell_alert(&alert, &case, today, args.json)),
    }
}

fn missing() -> Failure {
    Failure::File {
        path: "CASE".into(),
        why: "is missing; name a case file, or make some with `footrose cases --out DIR`".to_owned(),
    }
}

fn case_args(args: &LetterArgs, file: &Path) -> CaseArgs {
    CaseArgs { file: file.to_owned(), today: args.today, services: args.services.clone(), json: args.json }
}

/// The class list: every person of it, on the day of the first.
fn class(args: &LetterArgs) -> Result<Letter, Failure> {
    let first = args.files.first().ok_or_else(missing)?;
    let (leader, today) = input::case(&case_args(args, first))?;
    let watch = say::Watch::start();
    let mut members = Vec::new();
    for file in &args.files {
        let (case, own_day) = input::case(&case_args(args, file))?;
        // Each invented person has a day of their own; a class of real people meets on one.
        let day = if case.planned_for.is_some() { own_day } else { today };
        members.push(app::class_member(&case, day, &|part| watch.see(part)));
    }
    Ok(app::letter_class(&members, &leader.clinic, today, args.language))
}

fn tell(args: &LetterArgs, letter: &Letter) -> Result<End, Failure> {
    let text = document::letter_text(letter);
    let written = match &args.out {
        Some(out) => write(args, out, letter, &text)?,
        None => Vec::new(),
    };
    if args.json {
        say::json(&json!({ "letter": document::letter_json(letter), "files": written }));
    } else if written.is_empty() {
        say::text(&text);
    } else {
        say::text(&written.iter().map(|name| format!("wrote {name}\n")).collect::<String>());
    }
    Ok(End::Done)
}

fn write(args: &LetterArgs, out: &Path, letter: &Letter, text: &str) -> Result<Vec<String>, Failure> {
    let name = format!("{}-{}", args.kind.key(), args.language.code());
    let json = format!("{:#}\n", document::letter_json(letter));
    let mut files: Vec<(String, Vec<u8>)> =
        vec![(format!("{name}.txt"), text.as_bytes().to_vec()), (format!("{name}.json"), json.into_bytes())];
    for (paper, size, end) in [(PaperArg::A4, Paper::A4, "a4"), (PaperArg::Letter, Paper::Letter, "letter")] {
        if args.paper.is_none_or(|asked| asked == paper) {
            let settings = PdfSettings { paper: size, tagging: Tagging::Accessible };
            let pdf = document::letter_pdf(letter, settings).map_err(|e| Failure::Sheet(e.to_string()))?;
            files.push((format!("{name}-{end}.pdf"), pdf));
        }
    }
    let files: Vec<(&str, &[u8])> =
        files.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())).collect();
    let written: Vec<PathBuf> = folder::write(out, &files)?;
    Ok(written.iter().map(|path| path.display().to_string()).collect())
}
