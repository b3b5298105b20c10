//! The invented clinic: everybody in it is invented, and its file is thrown away at the end.

use std::path::PathBuf;
use std::sync::Arc;

use anatomy::Side;
use jiff::ToSpan;
use movement::{AnatomicalDirection, Bearing, Crossing, Family};
use store::PersonId;

use crate::clinic::Today;
use crate::{
    Clinic, Desk, Done, Error, First, LogSource, MeasuresRecord, Opening, PersonRecord, PersonState,
    PracticeItem, PracticeRecord,
};

/// Signs in to the invented clinic, where nothing is worth protecting.
pub const DEMO_PASSPHRASE: &str = "all of them are invented";
/// The name of its first account.
pub const DEMO_NAME: &str = "Tarn";

/// A file that is removed when this is dropped.
pub(crate) struct TempFile {
    folder: PathBuf,
}

impl TempFile {
    fn new() -> Result<Self, Error> {
        let root = std::env::temp_dir();
        let now = jiff::Timestamp::now().as_nanosecond();
        let folder = root.join(format!("footrose-invented-{}-{now}", std::process::id()));
        std::fs::create_dir(&folder)
            .map_err(|error| Error::Demo(format!("`{}` could not be created: {error}", folder.display())))?;
        Ok(Self { folder })
    }

    fn path(&self) -> PathBuf {
        self.folder.join("invented.footrose")
    }

    pub(crate) fn remove(&self) {
        // What cannot be removed holds nothing but invented people, and its name says so.
        let _ = std::fs::remove_dir_all(&self.folder);
    }
}

impl Drop for TempFile {
    fn drop(&mut self) {
        self.remove();
    }
}

impl Clinic {
    /// The invented clinic in a throw-away file, with its people, their measures and some logs. Nobody
    /// is signed in; [`DEMO_NAME`] and [`DEMO_PASSPHRASE`] do.
    ///
    /// # Errors
    /// The folder for temporary files cannot be written.
    pub async fn demo(today: Today) -> Result<Arc<Self>, Error> {
        let file = TempFile::new()?;
        let path = file.path();
        let opening = Opening::invented(today);
        let first = First { name: DEMO_NAME, passphrase: DEMO_PASSPHRASE };
        let (clinic, desk, _) = Self::create_with(&path, opening, first, Some(file)).await?;
        fill(&desk).await?;
        desk.sign_out().await?;
        clinic.forget_all();
        Ok(clinic)
    }
}

/// The thirteen invented people.
async fn fill(desk: &Desk) -> Result<(), Error> {
    for (index, demo) in app::demo_cases().iter().enumerate() {
        let case = demo.read()?;
        let number = format!("H-{:03}", index + 1);
        let person = PersonRecord {
            name: case.person.name.clone(),
            born: None,
            number: number.clone(),
            state: PersonState::Open,
        };
        let id = desk.add_person(&person, &number).await?;
        desk.save_case(id, demo.text, &number).await?;
        let stem = demo.file.trim_end_matches(".toml");
        fill_measures(desk, id, stem, &number).await?;
        fill_logs(desk, id, &case, stem, &number).await?;
    }
    Ok(())
}

/// Measures that come with the program, with the recordings they name.
async fn fill_measures(desk: &Desk, id: PersonId, stem: &str, number: &str) -> Result<(), Error> {
    let all = app::demo_measures();
    let name = format!("measures/{stem}.toml");
    let Some(file) = all.iter().find(|one| one.file == name) else { return Ok(()) };
    let recordings = all
        .iter()
        .filter(|one| one.file.ends_with(".csv"))
        .map(|one| (one.file.trim_start_matches("measures/").to_owned(), one.text.to_owned()))
        .filter(|(name, _)| file.text.contains(name.as_str()))
        .collect();
    let record = MeasuresRecord { text: file.text.to_owned(), recordings };
    desk.save_measures(id, &record, number).await?;
    Ok(())
}

/// A few invented logs: one person whose pain rises, one who has stopped, two who go on.
const LOGS: [(&str, i64, u8); 9] = [
    ("01-lighthouse-mechanic", 2, 1),
    ("01-lighthouse-mechanic", 1, 1),
    ("03-baker", 8, 2),
    ("03-baker", 6, 2),
    ("04-handball-player", 3, 0),
    ("04-handball-player", 1, 1),
    ("05-postal-worker", 4, 1),
    ("05-postal-worker", 2, 2),
    ("05-postal-worker", 1, 5),
];

async fn fill_logs(
    desk: &Desk,
    id: PersonId,
    case: &person::CaseFile,
    stem: &str,
    number: &str,
) -> Result<(), Error> {
    let day = app::day_of(case, None, desk.today());
    for (place, (_, ago, pain)) in LOGS.iter().enumerate().filter(|(_, (of, ..))| *of == stem) {
        let items = Side::BOTH
            .into_iter()
            .flat_map(|mover| {
                let outward = Bearing::of(AnatomicalDirection::Lateral, mover);
                [(mover, Bearing::of(AnatomicalDirection::Anterior, mover)), (mover, outward)]
            })
            .enumerate()
            .map(|(at, (mover, bearing))| PracticeItem {
                exercise: 1,
                family: Family::Step,
                mover,
                bearing,
                crossing: Crossing::None,
                distance_cm: Some(30.0),
                done: if at == 3 && *pain > 3 { Done::LeftOut } else { Done::Done },
                pain: Some(if at == 1 { *pain } else { pain / 2 }),
                rung: None,
                settled: None,
            })
            .collect();
        let source = if place % 2 == 0 { LogSource::Paper } else { LogSource::Telephone };
        let bare = PracticeRecord::bare(day.saturating_sub(ago.days()), source);
        let log = PracticeRecord { pain_before: Some(1), items, ..bare };
        desk.append(id, &log, &format!("{number}-{place}")).await?;
    }
    Ok(())
}
