//! Runs what was asked.

use std::path::Path;

use app::{BridgeError, ExplainError, NeighboursError, Outcome, Plan};
use document::Handout;
use jiff::civil::Date;
use movement::GoalTask;
use person::CaseFile;
use quantity::Span;
use safety::Alert;
use serde_json::{Value, json};

use crate::args::{Args, AuditCommand, CaseArgs, Command, PracticeCommand};
use crate::end::{End, Failure};
use crate::sheet::{self, PlainPaperArgs, SheetArgs};
use crate::{adapt, agreement, folder, input, letter, measures, page, practice, say, serve, validate};

/// Runs one command.
pub fn run(args: &Args) -> Result<End, Failure> {
    let Some(command) = &args.command else { return serve::invented(args.place) };
    match command {
        Command::Serve { records, place, clinic, terminal } => {
            serve::serve(records, *place, clinic, *terminal)
        }
        Command::Audit { what: AuditCommand::Verify { records } } => serve::verify(records),
        Command::Backup { records, to } => serve::backup(records, to),
        Command::Restore { backup, records } => serve::restore(backup, records),
        Command::Plan { case, out, goals, minutes, alternatives, sheet } => {
            plan(case, out.as_deref(), (goals.as_deref(), *minutes, *alternatives), *sheet)
        }
        Command::Page { case, out, look } => page::page(case, out, *look),
        Command::PracticeSite { dir, clinic, of, look } => page::site(dir, clinic.as_deref(), of, *look),
        Command::FloorGuide { case, out, paper } => floor_guide(case, out.as_deref(), *paper),
        Command::Space { case } => space(case),
        Command::Ask { case } => ask(case),
        Command::Explain { case, movement } => explain(case, movement),
        Command::Bridge { case, task, movements } => bridge(case, *task, movements),
        Command::Neighbours { case, movement } => neighbours(case, movement.as_deref()),
        Command::Adapt { case, log, from } => adapt::adapt(case, log, *from),
        Command::Agreement(args) => agreement::run(args),
        Command::Measure(args) => measures::measure(args),
        Command::Change(args) => measures::change(args),
        Command::Return(args) => measures::returning(args),
        Command::Practice { what: PracticeCommand::Read(args) } => practice::read(args),
        Command::Letter(args) => letter::letter(args),
        Command::Cases { out, json } => cases(out, *json),
        Command::Validate { report, orderings, json } => {
            validate::run(report.as_deref(), orderings.as_deref(), *json)
        }
        Command::Schema { template, .. } => {
            if *template {
                say::text(&person::case_file::template());
            } else {
                say::text(&format!("{}\n", person::case_file::schema().trim_end()));
            }
            Ok(End::Done)
        }
    }
}

fn plan(
    args: &CaseArgs,
    out: Option<&Path>,
    (goals, minutes, alternatives): (Option<&str>, Option<Span>, u8),
    sheet_args: SheetArgs,
) -> Result<End, Failure> {
    let edition = sheet_args.edition()?;
    let (mut case, today) = input::case(args)?;
    let watch = say::Watch::start();
    // A red flag goes before everything, wishes too.
    if let Some(goals) = goals
        && app::PersonToday::of(&case, today).allowed.alert().is_none()
    {
        let goals = app::goals(goals).map_err(|error| Failure::Goals(error.to_string()))?;
        case.wishes.goals = goals;
    }
    case.wishes.minutes = minutes.unwrap_or(case.wishes.minutes);
    // Files carry the name of the case, so that two people never share one.
    let stem = stem(args);
    let wanted = usize::from(alternatives);
    match app::plan_case_with_others(&case, today, wanted, &|part| watch.see(part)) {
        Outcome::Alert(alert) => {
            let end = tell_alert(&alert, &case, today, args.json);
            if let Some(out) = out {
                warn_of_older_sheets(out, &stem);
            }
            Ok(end)
        }
        Outcome::NoProgramme(none) => Err(Failure::NoProgramme(none)),
        Outcome::Programme(plan) => match out {
            Some(out) => {
                let sheet = app::handout_in(&plan, &case, today, (sheet_args.plain.wording(), edition));
                write_plan(&plan, &case, today, args.json, (&sheet, out, sheet_args, &stem))
            }
            None => {
                let sheet = app::handout_in(&plan, &case, today, (sheet_args.plain.wording(), edition));
                say::json(&json!({ "programme": app::programme_json(&plan, &case, &sheet) }));
                Ok(End::Done)
            }
        },
    }
}

/// What the names of a case's files begin with.
pub fn stem(args: &CaseArgs) -> String {
    args.file.file_stem().map_or_else(String::new, |s| format!("{}-", s.to_string_lossy()))
}

fn floor_guide(args: &CaseArgs, out: Option<&Path>, paper: PlainPaperArgs) -> Result<End, Failure> {
    let (case, today) = input::case(args)?;
    let watch = say::Watch::start();
    let plan = match app::plan_case_with_others(&case, today, 1, &|part| watch.see(part)) {
        Outcome::Alert(alert) => return Ok(tell_alert(&alert, &case, today, args.json)),
        Outcome::NoProgramme(none) => return Err(Failure::NoProgramme(none)),
        Outcome::Programme(plan) => plan,
    };
    let guide = app::floor_guide_of_plan(&plan, &case, today, paper.wording());
    let Some(out) = out else {
        say::json(&json!({ "guide": guide }));
        return Ok(End::Done);
    };
    let files = sheet::guides(&guide, paper, &stem(args))?;
    let borrowed: Vec<(&str, &[u8])> =
        files.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())).collect();
    let written = folder::write(out, &borrowed)?;
    let names: Vec<String> = written.iter().map(|path| path.display().to_string()).collect();
    if args.json {
        say::json(&json!({ "files": names, "guide": guide }));
        return Ok(End::Done);
    }
    let list: String = names.iter().map(|name| format!("wrote {name}\n")).collect();
    say::text(&format!("{}{list}", first_line(&case, today)));
    Ok(End::Done)
}

/// A sheet or page made before the red flag may still lie in the folder; it is left there and named.
pub fn warn_of_older_sheets(out: &Path, stem: &str) {
    for path in sheet::older(out, stem) {
        eprintln!("{} was made before this alert: do not hand it out.", path.display());
    }
}

fn write_plan(
    plan: &Plan,
    case: &CaseFile,
    today: Date,
    as_json: bool,
    (sheet, out, sheet_args, stem): (&Handout, &Path, SheetArgs, &str),
) -> Result<End, Failure> {
    let programme = app::programme_json(plan, case, sheet);
    let mut files = sheet::files(sheet, sheet_args, stem)?;
    files.push((format!("{stem}programme.txt"), app::programme_text(plan, case, sheet).into_bytes()));
    files.push((format!("{stem}programme.json"), format!("{programme:#}\n").into_bytes()));
    let borrowed: Vec<(&str, &[u8])> =
        files.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())).collect();
    let written = folder::write(out, &borrowed)?;
    let names: Vec<String> = written.iter().map(|path| path.display().to_string()).collect();
    if as_json {
        say::json(&json!({ "files": names, "programme": programme }));
        return Ok(End::Done);
    }
    let mut told = first_line(case, today);
    for why in &plan.programme.why {
        told.push_str(&format!("{why}\n"));
    }
    for exercise in &plan.programme.exercises {
        told.push_str(&format!("- {}: {}\n", exercise.family, exercise.why));
    }
    if !plan.others.is_empty() {
        told.push_str(&format!("{}\n", plan.trades));
    }
    for other in &plan.others {
        let programme = &other.programme;
        let families: Vec<String> = programme.exercises.iter().map(|e| e.family.to_string()).collect();
        told.push_str(&format!(
            "Instead: {} ({:.0} s). {}\n",
            families.join(", "),
            programme.minutes.in_s().round(),
            other.trades
        ));
    }
    if let Some(conflict) = &plan.conflict {
        told.push_str(&format!("{conflict}\n"));
    }
    for name in names {
        told.push_str(&format!("wrote {name}\n"));
    }
    say::text(&told);
    Ok(End::Done)
}

pub fn first_line(case: &CaseFile, today: Date) -> String {
    let invented = if case.invented { ", an invented person" } else { "" };
    format!(
        "{}{invented}, {today}. Angles, moments and shares of strength are a model's estimates.\n",
        case.person.name
    )
}

/// The alert, and nothing else.
pub fn tell_alert(alert: &Alert, case: &CaseFile, today: Date, as_json: bool) -> End {
    let sheet = document::alert(alert, &case.person, &case.clinic, case.invented, today);
    if as_json {
        say::json(&json!({ "alert": sheet.json() }))
    } else {
        say::text(&sheet.text())
    }
    End::RedFlag
}

fn space(args: &CaseArgs) -> Result<End, Failure> {
    let (case, today) = input::case(args)?;
    let watch = say::Watch::start();
    let table = app::space_case(&case, today, &|part| watch.see(part));
    if let Some(alert) = &table.alert {
        return Ok(tell_alert(alert, &case, today, args.json));
    }
    if args.json {
        say::json(&serde_json::to_value(&table).unwrap_or(Value::Null));
    } else {
        say::text(&format!("{}{}", first_line(&case, today), table.text()));
    }
    Ok(End::Done)
}

fn ask(args: &CaseArgs) -> Result<End, Failure> {
    let (case, today) = input::case(args)?;
    let asked = app::ask_case(&case, today);
    if let Some(alert) = &asked.alert {
        return Ok(tell_alert(alert, &case, today, args.json));
    }
    if args.json {
        say::json(&serde_json::to_value(&asked).unwrap_or(Value::Null));
    } else {
        say::text(&format!("{}{}", first_line(&case, today), asked.text()));
    }
    Ok(End::Done)
}

fn explain(args: &CaseArgs, movement: &str) -> Result<End, Failure> {
    let (case, today) = input::case(args)?;
    let explanation = match app::explain_case(&case, movement, today) {
        Ok(explanation) => explanation,
        Err(ExplainError::Alert(alert)) => return Ok(tell_alert(&alert, &case, today, args.json)),
        Err(ExplainError::Sentence(error)) => return Err(Failure::Sentence(error.to_string())),
    };
    if args.json {
        say::json(&serde_json::to_value(&explanation).unwrap_or(Value::Null));
    } else {
        say::text(&format!("{}{}", first_line(&case, today), explanation.text()));
    }
    Ok(if explanation.is_permitted() { End::Done } else { End::Refused })
}

fn bridge(args: &CaseArgs, task: Option<GoalTask>, movements: &[String]) -> Result<End, Failure> {
    let (case, today) = input::case(args)?;
    let watch = say::Watch::start();
    let tasks = task.map_or_else(|| GoalTask::ALL.to_vec(), |task| vec![task]);
    let table = match app::bridge_case(&case, today, &tasks, movements, &|part| watch.see(part)) {
        Ok(table) => table,
        Err(BridgeError::Alert(alert)) => return Ok(tell_alert(&alert, &case, today, args.json)),
        Err(BridgeError::Sentence(error)) => return Err(Failure::Sentence(error.to_string())),
    };
    if args.json {
        say::json(&serde_json::to_value(&table).unwrap_or(Value::Null));
    } else {
        say::text(&format!("{}{}", first_line(&case, today), table.text(task.is_some())));
    }
    Ok(End::Done)
}

fn neighbours(args: &CaseArgs, movement: Option<&str>) -> Result<End, Failure> {
    let (case, today) = input::case(args)?;
    let watch = say::Watch::start();
    let found = match app::neighbours_case(&case, today, movement, &|part| watch.see(part)) {
        Ok(found) => found,
        Err(NeighboursError::Alert(alert)) => return Ok(tell_alert(&alert, &case, today, args.json)),
        Err(NeighboursError::Sentence(error)) => return Err(Failure::Sentence(error.to_string())),
        Err(NeighboursError::NoProgramme(none)) => return Err(Failure::NoProgramme(none)),
    };
    if args.json {
        say::json(&serde_json::to_value(&found).unwrap_or(Value::Null));
    } else {
        say::text(&format!("{}{}", first_line(&case, today), found.text()));
    }
    let refused = found.movements.iter().any(|around| around.refused.is_some());
    Ok(if refused { End::Refused } else { End::Done })
}

fn cases(out: &Path, as_json: bool) -> Result<End, Failure> {
    let files: Vec<(&str, &[u8])> =
        app::demo_cases().iter().map(|case| (case.file, case.text.as_bytes())).collect();
    let mut written = folder::write(out, &files)?;
    let people = written.len();
    let measures: Vec<(&str, &[u8])> = app::demo_measures()
        .iter()
        .filter_map(|one| Some((one.file.strip_prefix("measures/")?, one.text.as_bytes())))
        .collect();
    written.extend(folder::write(&out.join("measures"), &measures)?);
    let names: Vec<String> = written.iter().map(|path| path.display().to_string()).collect();
    if as_json {
        say::json(&json!({ "files": names }));
    } else {
        let list: String = names.iter().map(|name| format!("wrote {name}\n")).collect();
        say::text(&format!("{people} invented people.\n{list}"));
    }
    Ok(End::Done)
}
