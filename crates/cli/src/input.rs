//! Reads a case file and finds the day.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use jiff::civil::Date;
use person::CaseFile;
use person::case_file::{LARGEST, read_bytes};

use crate::args::CaseArgs;
use crate::end::Failure;

/// One case file.
pub fn case_file(path: &Path) -> Result<CaseFile, Failure> {
    let bytes = bytes(path, "name a case file, or make some with `footrose cases --out DIR`")?;
    read_bytes(&path.display().to_string(), &bytes).map_err(Failure::Case)
}

/// The case and the day it is planned for. Only here is the clock read.
pub fn case(args: &CaseArgs) -> Result<(CaseFile, Date), Failure> {
    let mut case = case_file(&args.file)?;
    for path in &args.services {
        let failure = |why: String| Failure::Service { path: path.clone(), why };
        let text = String::from_utf8(self::bytes(path, "name a clinic's table")?).map_err(|_| {
            failure("it is not text in the encoding UTF-8; save it again as UTF-8".to_owned())
        })?;
        safety::ServicePreset::read(&text).map_err(|error| failure(error.to_string()))?;
        case.clinic.tables.push(text);
    }
    let today = app::day_of(&case, args.today, jiff::ZonedDateTime::now().date());
    Ok((case, today))
}

/// At most one byte more than the largest case file: the reader then says that it is too large.
fn bytes(path: &Path, instead: &str) -> Result<Vec<u8>, Failure> {
    let failure = |e: std::io::Error| Failure::File {
        path: path.to_owned(),
        why: format!("cannot be read ({e}); {instead}"),
    };
    let mut out = Vec::new();
    let most = u64::try_from(LARGEST).unwrap_or(u64::MAX).saturating_add(1);
    File::open(path).map_err(failure)?.take(most).read_to_end(&mut out).map_err(failure)?;
    Ok(out)
}

/// A whole text file. One that is far too large or no text says so.
pub fn text(path: &Path, instead: &str) -> Result<String, Failure> {
    const MOST: u64 = 16 * 1024 * 1024;
    let failure = |why: String| Failure::File { path: path.to_owned(), why };
    let cannot = |e: std::io::Error| failure(format!("cannot be read ({e}); {instead}"));
    let mut out = Vec::new();
    File::open(path).map_err(cannot)?.take(MOST).read_to_end(&mut out).map_err(cannot)?;
    String::from_utf8(out).map_err(|_| {
        failure("it is not text in the encoding UTF-8; save it again as CSV in UTF-8".to_owned())
    })
}
