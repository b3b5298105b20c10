//! One file of records with everybody who works in it.

use std::collections::HashMap;
use std::path::Path;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use jiff::civil::Date;
use store::{Clock, DeviceId, DeviceMark, KeyCost, Moment, Options, PersonId, RecoveryKey, SignIn, Store};

use crate::backups::Keeper;
use crate::demo::TempFile;
use crate::register::{Register, Row};
use crate::{Desk, Error, Standing, shapes};

/// Tells the day. The system's, or a test's.
pub type Today = Arc<dyn Fn() -> Date + Send + Sync>;

/// The name and the passphrase of the first account.
pub struct First<'a> {
    /// What the person signs in with.
    pub name: &'a str,
    /// The passphrase.
    pub passphrase: &'a str,
}

/// How a file of records is opened.
#[derive(Clone)]
pub struct Opening {
    /// Tells the day.
    pub today: Today,
    /// What trying a passphrase costs, for a file that is created.
    pub cost: KeyCost,
    /// Tells the time. The system's, unless a test has its own.
    pub clock: Option<Clock>,
}

impl Opening {
    /// The system's day, and the cost that is recommended.
    #[must_use]
    pub fn usual() -> Self {
        let today = Arc::new(|| jiff::ZonedDateTime::now().date());
        Self { today, cost: KeyCost::recommended(), clock: None }
    }

    /// A day of the caller's, and a cost for files in which nothing is worth protecting.
    #[must_use]
    pub fn invented(today: Today) -> Self {
        Self { today, cost: KeyCost::cheap_for_tests_only(), clock: None }
    }

    /// What the store has to be told.
    fn options(&self) -> Result<Options, Error> {
        let options = Options::new(shapes::registry()?).with_cost(self.cost);
        Ok(match &self.clock {
            Some(clock) => options.with_clock(clock.clone()),
            None => options,
        })
    }
}

/// Makes a new file of records from a backup and the ring of keys that lies beside it.
///
/// # Errors
/// The new file exists, or backup and ring are missing, foreign, cut short or of two files.
pub async fn restore(backup: &Path, to: &Path) -> Result<(), Error> {
    let now = Moment::unix_ms(jiff::Timestamp::now().as_millisecond());
    Ok(store::restore(backup, to, now).await?)
}

/// What came of signing in.
pub enum Admitted {
    /// Name and passphrase belong together.
    Welcome(Desk),
    /// They do not, or the account is closed: which is not told.
    Refused {
        /// How long the next try has to wait.
        wait: Duration,
    },
    /// Too many failures lately; the passphrase was not looked at.
    Wait {
        /// How long to wait.
        wait: Duration,
    },
}

/// One file of records.
pub struct Clinic {
    store: Store,
    today: Today,
    known: Mutex<Known>,
    pub(crate) keeper: Keeper,
    /// One log that came home is looked at and stored at a time.
    pub(crate) coming_home: tokio::sync::Mutex<()>,
    /// Removed when the clinic is dropped.
    demo: Option<TempFile>,
}

/// Up to which entry of everybody something was read.
#[derive(Clone, Default)]
pub(crate) struct Marks {
    /// Rises when everything is forgotten.
    epoch: u64,
    entries: HashMap<PersonId, u64>,
}

impl Marks {
    fn of(&self, person: PersonId) -> Mark {
        (self.epoch, self.entries.get(&person).copied().unwrap_or(0))
    }
}

/// Up to which entry of one person something was read.
pub(crate) type Mark = (u64, u64);

/// Standings that are kept; beyond, all are forgotten.
const MOST: usize = 256;

#[derive(Default)]
struct Known {
    standings: HashMap<PersonId, (Date, Arc<Standing>)>,
    /// Counts entries, so that what was read before one is not kept after it.
    marks: Marks,
    /// Everybody; none before a list was asked for.
    register: Option<Register>,
    /// Whether somebody reads for the register beside the pages.
    reading: bool,
}

impl Clinic {
    /// Creates a file with its first account and gives the recovery key, which is stored nowhere.
    ///
    /// # Errors
    /// The path exists, the passphrase is weak, or the disk refuses.
    pub async fn create(
        path: &Path,
        opening: Opening,
        first: First<'_>,
    ) -> Result<(Arc<Self>, Desk, RecoveryKey), Error> {
        Self::create_with(path, opening, first, None).await
    }

    pub(crate) async fn create_with(
        path: &Path,
        opening: Opening,
        first: First<'_>,
        demo: Option<TempFile>,
    ) -> Result<(Arc<Self>, Desk, RecoveryKey), Error> {
        let options = opening.options()?;
        let account = store::First { name: first.name, passphrase: first.passphrase };
        let (store, session, recovery) = Store::create(path, options, account).await?;
        let clinic = Arc::new(Self::of(store, opening, demo));
        let desk = Desk::new(clinic.clone(), session, first.name);
        Ok((clinic, desk, recovery))
    }

    /// Opens a file that exists. Everything in it stays sealed until somebody signs in.
    ///
    /// # Errors
    /// The file is missing, foreign, cut short, newer, or open elsewhere.
    pub async fn open(path: &Path, opening: Opening) -> Result<Arc<Self>, Error> {
        let store = Store::open(path, opening.options()?).await?;
        Ok(Arc::new(Self::of(store, opening, None)))
    }

    fn of(store: Store, opening: Opening, demo: Option<TempFile>) -> Self {
        Self {
            store,
            today: opening.today,
            known: Mutex::default(),
            keeper: Keeper::default(),
            coming_home: tokio::sync::Mutex::default(),
            demo,
        }
    }

    /// Signs somebody in.
    ///
    /// # Errors
    /// The file could not be read or written. A wrong passphrase is an answer, not an error.
    pub async fn sign_in(self: &Arc<Self>, name: &str, passphrase: &str) -> Result<Admitted, Error> {
        Ok(match self.store.sign_in(name, passphrase).await? {
            SignIn::Welcome(session) => Admitted::Welcome(Desk::new(self.clone(), session, name.trim())),
            SignIn::Refused { wait } => Admitted::Refused { wait },
            SignIn::Wait { wait } => Admitted::Wait { wait },
        })
    }

    /// Signs in with the recovery key; the audit says so.
    ///
    /// # Errors
    /// The file could not be read or written. A wrong key is an answer, not an error.
    pub async fn recover(self: &Arc<Self>, key: &RecoveryKey) -> Result<Admitted, Error> {
        Ok(match self.store.recover(key).await? {
            SignIn::Welcome(session) => Admitted::Welcome(Desk::new(self.clone(), session, "recovery key")),
            SignIn::Refused { wait } => Admitted::Refused { wait },
            SignIn::Wait { wait } => Admitted::Wait { wait },
        })
    }

    /// The moment by the clock of the records.
    #[must_use]
    pub fn now(&self) -> Moment {
        self.store.now()
    }

    /// Every device that may come in now, by what it is known by. Nobody has to be signed in.
    ///
    /// # Errors
    /// The file could not be read.
    pub async fn admitted_devices(&self) -> Result<Vec<(DeviceMark, DeviceId)>, Error> {
        Ok(self.store.admitted_devices().await?)
    }

    /// Writes down that a device was there now.
    ///
    /// # Errors
    /// The disk is full, or the file was closed.
    pub async fn device_seen(&self, device: DeviceId) -> Result<(), Error> {
        Ok(self.store.device_seen(device).await?)
    }

    /// Writes into the audit that a device was refused; the words are kept while somebody is signed in.
    ///
    /// # Errors
    /// The disk is full, or the file was closed.
    pub async fn device_refused(&self, words: &str) -> Result<(), Error> {
        Ok(self.store.device_refused(words).await?)
    }

    /// Whether all people in it are invented and the file is thrown away at the end.
    #[must_use]
    pub fn is_demo(&self) -> bool {
        self.demo.is_some()
    }

    /// Where the file is.
    #[must_use]
    pub fn path(&self) -> &Path {
        self.store.path()
    }

    /// The day.
    #[must_use]
    pub fn today(&self) -> Date {
        (self.today)()
    }

    /// Whether no key is in memory: nobody is signed in.
    #[must_use]
    pub fn is_locked(&self) -> bool {
        self.store.is_locked()
    }

    /// When a backup was last made and read back whole.
    ///
    /// # Errors
    /// The file could not be read.
    pub async fn last_backup(&self) -> Result<Option<Moment>, Error> {
        Ok(self.store.last_backup().await?)
    }

    /// Ends every session, wipes every key, closes the file; a throw-away file is removed.
    ///
    /// # Errors
    /// The disk refused; what was acknowledged is safe all the same.
    pub async fn close(&self) -> Result<(), Error> {
        self.forget_all();
        let closed = self.store.close().await;
        if let Some(file) = &self.demo {
            file.remove();
        }
        Ok(closed?)
    }

    fn known(&self) -> std::sync::MutexGuard<'_, Known> {
        self.known.lock().unwrap_or_else(PoisonError::into_inner)
    }

    pub(crate) fn standing_known(&self, person: PersonId, today: Date) -> Option<Arc<Standing>> {
        let known = self.known();
        known.standings.get(&person).filter(|(day, _)| *day == today).map(|(_, standing)| standing.clone())
    }

    pub(crate) fn mark(&self, person: PersonId) -> Mark {
        self.known().marks.of(person)
    }

    pub(crate) fn keep_standing(&self, person: PersonId, today: Date, mark: Mark, standing: &Arc<Standing>) {
        let mut known = self.known();
        if known.marks.of(person) == mark {
            if known.standings.len() >= MOST {
                known.standings.clear();
            }
            known.standings.insert(person, (today, standing.clone()));
        }
    }

    /// Something was written about a person: what was read before it is not relied on any more.
    pub(crate) fn got_an_entry(&self, person: PersonId) {
        let mut known = self.known();
        *known.marks.entries.entry(person).or_insert(0) += 1;
        known.standings.remove(&person);
        if let Some(register) = &mut known.register {
            register.falls_behind(person);
        }
    }

    /// Looks into the register; none before it was opened.
    pub(crate) fn register<T>(&self, look: impl FnOnce(&mut Register) -> T) -> Option<T> {
        self.known().register.as_mut().map(look)
    }

    pub(crate) fn all_marks(&self) -> Marks {
        self.known().marks.clone()
    }

    /// Opens the register that was read at these marks, unless it is open or nobody is signed in any more.
    pub(crate) fn open_register(&self, register: Register, marks: &Marks) {
        let mut known = self.known();
        if known.register.is_some() || known.marks.epoch != marks.epoch {
            return;
        }
        let mut register = register;
        for person in known.marks.entries.keys().filter(|id| known.marks.of(**id) != marks.of(**id)) {
            register.falls_behind(*person);
        }
        known.register = Some(register);
    }

    /// Those whom a page waits for, each with the mark of now.
    pub(crate) fn few_behind(&self, most: usize) -> Vec<(PersonId, Mark)> {
        let mut known = self.known();
        let Known { register, marks, .. } = &mut *known;
        let Some(register) = register else { return Vec::new() };
        let mut few = register.behind(most);
        // A clinic that is read in a moment is never shown half.
        let unread = register.unread(most + 1);
        if unread.len() <= most {
            few.extend(unread);
            few.sort_unstable();
            few.dedup();
        }
        few.into_iter().map(|person| (person, marks.of(person))).collect()
    }

    /// Takes over what was read at a mark, unless an entry came meanwhile.
    pub(crate) fn take_read(&self, person: PersonId, mark: Mark, row: Option<Row>) {
        let mut known = self.known();
        if known.marks.of(person) == mark
            && let Some(register) = &mut known.register
        {
            register.take(person, row);
        }
    }

    /// The turn of whoever reads beside the pages now; none when somebody does, or when all is read.
    pub(crate) fn begin_reading(&self) -> Option<u64> {
        let mut known = self.known();
        let wanted = known.register.as_ref().is_some_and(|register| register.reading().is_some());
        if known.reading || !wanted {
            return None;
        }
        known.reading = true;
        Some(known.marks.epoch)
    }

    /// The next to be read; none when all are, or when everything was forgotten since the turn began.
    pub(crate) fn next_unread(&self, turn: u64, most: usize) -> Vec<(PersonId, Mark)> {
        let known = self.known();
        let Some(register) = known.register.as_ref().filter(|_| known.marks.epoch == turn) else {
            return Vec::new();
        };
        register.unread(most).into_iter().map(|person| (person, known.marks.of(person))).collect()
    }

    pub(crate) fn end_reading(&self, turn: u64) {
        let mut known = self.known();
        if known.marks.epoch == turn {
            known.reading = false;
        }
    }

    /// Forgets what was read in memory: nobody is signed in any more.
    pub fn forget_all(&self) {
        let mut known = self.known();
        known.marks.epoch += 1;
        known.marks.entries.clear();
        known.register = None;
        known.reading = false;
        known.standings.clear();
    }
}
