//! What can be asked on the command line.

use std::path::PathBuf;

use clap::{Args as ClapArgs, Parser, Subcommand, ValueEnum};
use jiff::civil::Date;
use measurement::statistics::Confidence;
use movement::GoalTask;
use quantity::Span;

use crate::agreement;
use crate::sheet::{PlainPaperArgs, SheetArgs, UnitsArg};

const EXIT_CODES: &str = "\
Exit codes:
  0   done
  2   the command line is not understood
  10  the case file (or a measures file, a table of orderings, readings or sessions, a clinic's table, the line of goals, a code of the practice page) has something to mend
  11  no programme is possible today; what is missing is printed
  12  a red flag: the alert is printed, and nothing else
  13  a file cannot be read or written
  14  the movement, or a test of today, is refused, or its sentence is not understood
  15  the sheet cannot be set (letters that the typeface lacks)
  16  the records, or the port, cannot be used
  17  the audit is not what was written";

/// From one person's findings to floor movements that are safe today, and a home sheet.
///
/// Every angle, moment and share of strength is a model's estimate for comparison, not a
/// measurement. A licensed clinician decides.
///
/// Without a command the workbench opens with an invented clinic.
#[derive(Debug, Parser)]
#[command(
    name = "footrose",
    version,
    after_help = EXIT_CODES,
    max_term_width = 100,
    args_conflicts_with_subcommands = true
)]
pub struct Args {
    /// What to do; without it the workbench opens with an invented clinic.
    #[command(subcommand)]
    pub command: Option<Command>,
    /// Where the workbench is.
    #[command(flatten)]
    pub place: PlaceArgs,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Opens the workbench over a file of records, which is created when it is not there
    Serve {
        #[command(flatten)]
        records: RecordsArgs,
        #[command(flatten)]
        place: PlaceArgs,
        #[command(flatten)]
        clinic: ClinicArgs,
        /// Create a file that is not there yet in this terminal, not in the browser; --name does so too
        #[arg(long)]
        terminal: bool,
    },
    /// Looks whether the audit is what was written
    Audit {
        #[command(subcommand)]
        what: AuditCommand,
    },
    /// Makes a backup of a file of records and reads all of it back
    Backup {
        #[command(flatten)]
        records: RecordsArgs,
        /// Folder for backup and ring of keys
        #[arg(long, value_name = "DIR")]
        to: PathBuf,
    },
    /// Makes a new file of records from a backup; the ring of keys lies beside the backup
    Restore {
        /// The backup
        #[arg(value_name = "BACKUP")]
        backup: PathBuf,
        /// The new file of records
        #[arg(long, value_name = "FILE")]
        records: PathBuf,
    },
    /// Chooses at most three exercises and writes the home sheet (PDF), the programme as text and as JSON
    #[command(after_help = format!("The goals:\n{}", app::GOALS_GRAMMAR))]
    Plan {
        #[command(flatten)]
        case: CaseArgs,
        /// Folder for the files; it is made when it is not there. With --json it may be left out
        #[arg(long, value_name = "DIR", required_unless_present = "json")]
        out: Option<PathBuf>,
        /// Goals instead of those of the case, such as "strength:knee_extensors*2, task:up_stair"
        #[arg(long, value_name = "GOALS")]
        goals: Option<String>,
        /// Minutes for all exercises together, instead of those of the case
        #[arg(long, value_name = "MINUTES", value_parser = minutes)]
        minutes: Option<Span>,
        /// How many distinct programmes, the best first, each with what it trades away
        #[arg(long, value_name = "COUNT", default_value_t = 1, value_parser = clap::value_parser!(u8).range(1..=3))]
        alternatives: u8,
        #[command(flatten)]
        sheet: SheetArgs,
    },
    /// Writes how the floor is laid out at home: a tape-measure recipe, sheets at true size, tags for a camera
    #[command(name = "floor-guide")]
    FloorGuide {
        #[command(flatten)]
        case: CaseArgs,
        /// Folder for the files; it is made when it is not there. With --json it may be left out
        #[arg(long, value_name = "DIR", required_unless_present = "json")]
        out: Option<PathBuf>,
        #[command(flatten)]
        paper: PlainPaperArgs,
    },
    /// Chooses as `plan` does and writes the practice page: one file for a phone that counts, paces and asks
    Page {
        #[command(flatten)]
        case: CaseArgs,
        /// Folder for the files; it is made when it is not there
        #[arg(long, value_name = "DIR", default_value = ".")]
        out: PathBuf,
        #[command(flatten)]
        look: PageArgs,
    },
    /// Writes the practice site for phones that refuse files: a folder that any https address can host
    PracticeSite {
        /// Folder for the site; it is made when it is not there
        #[arg(value_name = "DIR")]
        dir: PathBuf,
        /// Numbers of the clinic of this case, for every phone that opens the site
        #[arg(long, value_name = "CASE")]
        clinic: Option<PathBuf>,
        #[command(flatten)]
        of: SiteArgs,
        #[command(flatten)]
        look: PageArgs,
    },
    /// Prints every direction, movement and limb: open, limited or closed, with the reason
    Space {
        #[command(flatten)]
        case: CaseArgs,
    },
    /// Ranks what was not assessed by how many movements that serve the goals each answer could open
    Ask {
        #[command(flatten)]
        case: CaseArgs,
    },
    /// Prints one movement step by step: angles, moments, margins, both gates
    #[command(after_help = format!("The movement:\n{}", app::GRAMMAR))]
    Explain {
        #[command(flatten)]
        case: CaseArgs,
        /// The movement as a sentence, such as "right step anterolateral 48 cm both hands bench"
        #[arg(long, value_name = "SENTENCE")]
        movement: String,
    },
    /// Prints what tasks of sport, work and day ask, and how much of it today's programme covers
    Bridge {
        #[command(flatten)]
        case: CaseArgs,
        /// Only this task, part by part; every task in short when not given
        #[arg(long, value_name = "TASK", value_parser = goal_task)]
        task: Option<GoalTask>,
        /// Cover it with these movements instead of the programme; may be given several times
        #[arg(long = "movement", value_name = "SENTENCE")]
        movements: Vec<String>,
    },
    /// Prints one step up, one back and to the side, each the smallest useful change that is permitted
    #[command(after_help = format!("The movement:\n{}", app::GRAMMAR))]
    Neighbours {
        #[command(flatten)]
        case: CaseArgs,
        /// Of this movement; of every movement of today's programme when not given
        #[arg(long, value_name = "SENTENCE")]
        movement: Option<String>,
    },
    /// Reads what came home: what the rules propose next, with the reason for each, and what painful directions share
    #[command(after_help = app::LOG_FORM)]
    Adapt {
        #[command(flatten)]
        case: CaseArgs,
        /// The log: JSON, the table that `footrose practice read --csv` prints, or the file that the page saves
        #[arg(value_name = "LOG")]
        log: PathBuf,
        /// The day the practised programme was made for; else the day an invented case names, else that of the first session
        #[arg(long, value_name = "DATE")]
        from: Option<Date>,
    },
    /// Prints which tests may be done today; with a measures file the scores, with error, norms and both limbs
    Measure(MeasureArgs),
    /// Prints what changed between two days, how probable it is that it is real, and the course of more
    Change(ChangeArgs),
    /// Prints criteria of return: met, not met or not tested, each with value, error and source
    Return(ReturnArgs),
    /// Writes a letter of one page: to a colleague, a surgeon, a class
    Letter(LetterArgs),
    /// Prints how well raters or repeated trials agree: error, detectable change, limits, correlations
    Agreement(AgreementArgs),
    /// What came home from the practice page
    Practice {
        #[command(subcommand)]
        what: PracticeCommand,
    },
    /// Writes the case files of the invented people, to start from
    Cases {
        /// Folder for the files; it is made when it is not there
        #[arg(long, value_name = "DIR")]
        out: PathBuf,
        /// Print the list of files as JSON
        #[arg(long)]
        json: bool,
    },
    /// Prints the format of the case file as JSON Schema
    Schema {
        /// Accepted for symmetry: the schema is JSON already
        #[arg(long)]
        json: bool,
        /// Print a complete example with a comment on every key instead
        #[arg(long, conflicts_with = "json")]
        template: bool,
    },
    /// Compares the engine with published figures: what agrees, what does not, and why
    Validate {
        /// Write the whole report as Markdown into this file, over what is there
        #[arg(long, value_name = "FILE")]
        report: Option<PathBuf>,
        /// Try a table of further orderings instead, in the form of reference/validation/orderings.toml
        #[arg(long, value_name = "FILE", conflicts_with = "report")]
        orderings: Option<PathBuf>,
        /// Print every row as JSON
        #[arg(long)]
        json: bool,
    },
}

/// A file of records.
#[derive(Debug, ClapArgs)]
pub struct RecordsArgs {
    /// The file of records
    #[arg(long, value_name = "FILE")]
    pub records: PathBuf,
    /// The name to sign in with; asked for when it is not given
    #[arg(long, value_name = "NAME")]
    pub name: Option<String>,
}

/// Where the workbench is.
#[derive(Clone, Copy, Debug, ClapArgs)]
pub struct PlaceArgs {
    /// Port on this machine; 0 takes any that is free
    #[arg(long, value_name = "PORT", default_value_t = 0)]
    pub port: u16,
    /// Open it in the browser of this machine
    #[arg(long)]
    pub open: bool,
}

/// The clinic's own network.
#[derive(Debug, ClapArgs)]
pub struct ClinicArgs {
    /// Let admitted devices of the clinic's own network in, over TLS; else this machine only
    #[arg(long)]
    pub clinic: bool,
    /// Where on that network; else the address of this machine there, port 8751
    #[arg(long, value_name = "HOST:PORT", requires = "clinic")]
    pub address: Option<String>,
    /// A name of this machine on that network, such as reception.local; may be given several times
    #[arg(long = "also-called", value_name = "NAME", requires = "clinic")]
    pub names: Vec<String>,
}

/// What to do with an audit.
#[derive(Debug, Subcommand)]
pub enum AuditCommand {
    /// Walks the whole chain and says whether it is what was written
    Verify {
        #[command(flatten)]
        records: RecordsArgs,
    },
}

/// What to do with what came home.
#[derive(Debug, Subcommand)]
pub enum PracticeCommand {
    /// Shows what a code or a saved log says: days, what was done, what hurt, what is new. Stores nothing
    Read(PracticeReadArgs),
}

/// A code and the programmes it may be of.
#[derive(Debug, ClapArgs)]
pub struct PracticeReadArgs {
    /// The code as it was scanned or typed, or a file that holds it, or the log that the page saved
    #[arg(value_name = "CODE|FILE")]
    pub code: String,
    /// A programme: the practice page, or its programme as JSON; may be given several times
    #[arg(long = "programme", value_name = "FILE", required = true)]
    pub programmes: Vec<PathBuf>,
    /// An earlier programme that another has replaced; may be given several times
    #[arg(long, value_name = "FILE")]
    pub replaced: Vec<PathBuf>,
    /// Sessions that are stored already (CSV); may be given several times
    #[arg(long, value_name = "FILE")]
    pub stored: Vec<PathBuf>,
    /// Print what is stored with what is new as a table (CSV) instead
    #[arg(long, conflicts_with = "json")]
    pub csv: bool,
    /// Print JSON, errors too
    #[arg(long)]
    pub json: bool,
}

/// A case and a day.
#[derive(Debug, ClapArgs)]
pub struct CaseArgs {
    /// The case file (TOML)
    #[arg(value_name = "CASE")]
    pub file: PathBuf,
    /// The day to plan for, such as 2026-02-04; else the day an invented case names, else today
    #[arg(long, value_name = "DATE", visible_alias = "day")]
    pub today: Option<Date>,
    /// A clinic's own table of rules (TOML), see docs/SERVICE_PRESETS.md; may be given several times
    #[arg(long = "service", value_name = "FILE")]
    pub services: Vec<PathBuf>,
    /// Print JSON, errors too
    #[arg(long)]
    pub json: bool,
}

/// How a practice page reads.
#[derive(Clone, Copy, Debug, ClapArgs)]
pub struct PageArgs {
    /// Language of every word: en, fr or es
    #[arg(long, value_name = "LANGUAGE", default_value = "en")]
    pub language: document::Language,
    /// Units of every distance
    #[arg(long, value_enum, default_value_t = UnitsArg::Metric)]
    pub units: UnitsArg,
    /// In which order the directions come
    #[arg(long, value_enum, default_value_t = OrderArg::Round)]
    pub order: OrderArg,
    /// Where chance begins in a called order; the same seed calls alike
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    pub seed: u32,
}

/// For whom an address of the practice site is printed.
#[derive(Debug, ClapArgs)]
pub struct SiteArgs {
    /// Print the address with this person's programme; the folder itself knows nobody
    #[arg(long = "for", value_name = "CASE", requires = "address")]
    pub case: Option<PathBuf>,
    /// Where the folder is hosted, such as the https address of the clinic's pages
    #[arg(long, value_name = "ADDRESS", requires = "case")]
    pub address: Option<String>,
    /// The day to plan for; else the day an invented case names, else today
    #[arg(long, value_name = "DATE", visible_alias = "day")]
    pub today: Option<Date>,
    /// Print files and address as JSON, errors too
    #[arg(long)]
    pub json: bool,
}

/// An order of directions.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum OrderArg {
    /// Round, as they are listed
    Round,
    /// Round, the other way
    Reverse,
    /// Called by chance, balanced
    Called,
}

/// A table of readings.
#[derive(Debug, ClapArgs)]
pub struct AgreementArgs {
    /// The table (CSV): a header row, one row for each person, one column for each rater or repeated
    /// trial; a first column of names is allowed, an empty cell is a reading that was not taken
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// Unit of every reading, such as cm; it is printed, nothing is converted
    #[arg(long, value_name = "UNIT")]
    pub unit: Option<String>,
    /// Of every interval, per cent
    #[arg(long, value_name = "PERCENT", default_value = "95", value_parser = agreement::confidence)]
    pub confidence: Confidence,
    /// The cells are grades, not numbers: kappa instead of errors and limits
    #[arg(long, conflicts_with = "unit")]
    pub grades: bool,
    /// Grades from least to most, separated by commas; then disagreements are weighted too
    #[arg(long, value_name = "GRADES", conflicts_with = "unit")]
    pub order: Option<String>,
    /// Folder for report and charts (text, JSON, SVG); it is made when it is not there
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Print JSON, errors too
    #[arg(long)]
    pub json: bool,
}

/// What is measured.
#[derive(Debug, ClapArgs)]
pub struct MeasureArgs {
    #[command(flatten)]
    pub case: Option<CaseArgs>,
    /// The measures file (TOML) of this person; without one the tests of today are listed
    #[arg(value_name = "MEASURES")]
    pub measures: Option<PathBuf>,
    /// List every test with its key, unit, trials and protocol fields, and nothing else
    #[arg(long, exclusive = true)]
    pub tests: bool,
    /// Print a complete measures file with a comment on every key, and nothing else
    #[arg(long, exclusive = true)]
    pub template: bool,
}

/// A case and its measures.
#[derive(Debug, ClapArgs)]
pub struct MeasuresArgs {
    #[command(flatten)]
    pub case: CaseArgs,
    /// The measures file (TOML); `footrose measure --template` prints one
    #[arg(value_name = "MEASURES")]
    pub measures: PathBuf,
}

/// Two days of measures.
#[derive(Debug, ClapArgs)]
pub struct ChangeArgs {
    #[command(flatten)]
    pub of: MeasuresArgs,
    /// Compare from this day on, such as 2026-01-12; else from the first of every test
    #[arg(long, value_name = "DATE")]
    pub from: Option<Date>,
    /// Compare up to this day; else up to the last of every test
    #[arg(long, value_name = "DATE")]
    pub to: Option<Date>,
    /// Folder for report and charts (text, JSON, SVG); it is made when it is not there
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
}

/// Measures beside criteria.
#[derive(Debug, ClapArgs)]
pub struct ReturnArgs {
    #[command(flatten)]
    pub of: MeasuresArgs,
    /// Only this activity; may be given several times
    #[arg(long = "activity", value_name = "ACTIVITY", value_parser = activity)]
    pub activities: Vec<progress::Activity>,
}

/// A letter.
#[derive(Debug, ClapArgs)]
pub struct LetterArgs {
    /// progress-note, referral, discharge, return, cover, class-list or question (to the surgeon)
    #[arg(value_name = "KIND", value_parser = letter_kind)]
    pub kind: document::LetterKind,
    /// The case file and, where there is one, the measures file; for a class list one case file each
    #[arg(value_name = "CASE [MEASURES]", required = true)]
    pub files: Vec<PathBuf>,
    /// What came home: the file that the page saves, a table of `footrose practice read --csv`, or JSON as of `adapt`
    #[arg(long, value_name = "FILE")]
    pub log: Option<PathBuf>,
    /// Language of the letter
    #[arg(long, value_name = "en|fr|es", default_value = "en", value_parser = crate::sheet::language)]
    pub language: document::Language,
    /// The activity of a return statement
    #[arg(long, value_name = "ACTIVITY", value_parser = activity, default_value = "run")]
    pub activity: progress::Activity,
    /// Who will sign it; else the therapist of the case
    #[arg(long, value_name = "NAME")]
    pub author: Option<String>,
    /// Folder for PDF, text and JSON; without one the text is printed
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Paper of the PDF; both when not given
    #[arg(long)]
    pub paper: Option<crate::sheet::PaperArg>,
    /// The day of the letter, such as 2026-02-04; else the day an invented case names, else today
    #[arg(long, value_name = "DATE")]
    pub today: Option<Date>,
    /// A clinic's own table of rules (TOML); may be given several times
    #[arg(long = "service", value_name = "FILE")]
    pub services: Vec<PathBuf>,
    /// Print JSON, errors too
    #[arg(long)]
    pub json: bool,
}

impl Args {
    /// Whether JSON was asked for.
    pub fn json(&self) -> bool {
        let Some(command) = &self.command else { return false };
        match command {
            Command::Serve { .. }
            | Command::Audit { .. }
            | Command::Backup { .. }
            | Command::Restore { .. } => false,
            Command::Plan { case, .. }
            | Command::Page { case, .. }
            | Command::FloorGuide { case, .. }
            | Command::Space { case }
            | Command::Ask { case }
            | Command::Explain { case, .. }
            | Command::Bridge { case, .. }
            | Command::Neighbours { case, .. }
            | Command::Adapt { case, .. } => case.json,
            Command::Agreement(args) => args.json,
            Command::Practice { what: PracticeCommand::Read(args) } => args.json,
            Command::Letter(args) => args.json,
            Command::Measure(args) => args.case.as_ref().is_some_and(|case| case.json),
            Command::Change(args) => args.of.case.json,
            Command::Return(args) => args.of.case.json,
            Command::PracticeSite { of, .. } => of.json,
            Command::Cases { json, .. } | Command::Schema { json, .. } | Command::Validate { json, .. } => {
                *json
            }
        }
    }
}

fn letter_kind(text: &str) -> Result<document::LetterKind, String> {
    document::LetterKind::from_key(text).ok_or_else(|| {
        let keys: Vec<&str> = document::LetterKind::ALL.iter().map(|kind| kind.key()).collect();
        format!("there is no letter `{text}`; accepted: {}", keys.join(", "))
    })
}

fn minutes(text: &str) -> Result<Span, String> {
    let most = programme::figures().minutes_at_most;
    let given = text.parse::<f64>().ok().map(Span::min_).filter(|span| *span > Span::ZERO && *span <= most);
    given.ok_or_else(|| {
        format!("`{text}` is no time for a home programme; accepted: above 0, at most {:.0}", most.in_min())
    })
}

fn activity(text: &str) -> Result<progress::Activity, String> {
    app::activity_of(&text.replace('-', "_")).ok_or_else(|| {
        let keys: Vec<&str> = progress::Activity::ALL.iter().map(|one| one.key()).collect();
        format!("there is no activity `{text}`; accepted: {}", keys.join(", "))
    })
}

fn goal_task(text: &str) -> Result<GoalTask, String> {
    GoalTask::from_key(&text.replace('-', "_")).ok_or_else(|| {
        let keys: Vec<&str> = GoalTask::ALL.iter().map(|task| task.key()).collect();
        format!("there is no task `{text}`; accepted: {}", keys.join(", "))
    })
}
