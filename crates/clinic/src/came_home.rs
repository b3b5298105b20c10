//! What came home: looked at beside what is stored, then stored once.

use exchange::{Known, LogPreview, Mark, Preview, Programme, Refusal, Seen, TypedPreview, came_home};
use jiff::civil::Date;
use progress::Session;
use store::{PersonId, RecordId};

use crate::handed::{HandedForm, HandedOut, KnownProgramme};
use crate::{Desk, Error, LogSource, PracticeRecord};

/// The most people whose programmes are looked through for a log that is not this person's.
const PEOPLE: u32 = 100;

/// What came home, beside what is stored; nothing is stored yet.
#[derive(Clone, Debug)]
pub struct CameHome {
    /// What it says: of a table, each programme by itself; of everything else, one.
    pub previews: Vec<Preview>,
    /// Every programme that was considered.
    pub programmes: Vec<KnownProgramme>,
    /// Whether the summary of a typed code is stored just so.
    pub summary_stored: bool,
}

impl CameHome {
    /// The programme of a mark.
    #[must_use]
    pub fn programme(&self, mark: Mark) -> Option<&KnownProgramme> {
        self.programmes.iter().find(|one| one.known.mark == mark)
    }

    /// How we will say that we know of it: sixteen characters are a typed code wherever they stood.
    #[must_use]
    pub fn source(&self, source: LogSource) -> LogSource {
        let is_code = matches!(self.previews.as_slice(), [Preview::Typed(_)]);
        if is_code && matches!(source, LogSource::Page | LogSource::File) { LogSource::Typed } else { source }
    }

    /// How many sessions or summaries saving would add or complete.
    #[must_use]
    pub fn adds(&self) -> usize {
        let of = |preview: &Preview| match preview {
            Preview::Log(log) => log.additions().count(),
            Preview::Typed(_) => usize::from(!self.summary_stored),
        };
        self.previews.iter().map(of).sum()
    }
}

/// Which of two logs of one session a person decided for: the session whose stored log gives way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Instead {
    /// The programme.
    pub programme: Mark,
    /// The day.
    pub on: Date,
    /// Its place in the day.
    pub nth: u8,
}

/// What was stored.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Brought {
    /// Sessions and summaries that are new.
    pub added: usize,
    /// Sessions that got their morning after.
    pub completed: usize,
    /// Sessions that took the place of what was stored otherwise.
    pub replaced: usize,
}

impl Desk {
    /// Looks at what came home. `elsewhere` are programmes that may have been handed out of the one that was
    /// accepted last, without these records knowing.
    ///
    /// # Errors
    /// There is no such person, or an entry is damaged. That it cannot be used is an answer, not an error.
    pub async fn look_at_home(
        &self,
        person: PersonId,
        given: &str,
        elsewhere: Vec<Programme>,
    ) -> Result<Result<CameHome, Refusal>, Error> {
        let programmes = self.known_programmes(person, elsewhere).await?;
        let known: Vec<Known> = programmes.iter().map(|one| one.known.clone()).collect();
        let previews = match came_home(given, &known) {
            Ok(previews) => previews,
            Err(refusal) => return Ok(Err(refusal)),
        };
        let mut summary_stored = false;
        if let [Preview::Typed(typed)] = previews.as_slice() {
            let logs = self.read::<PracticeRecord>(person).await?;
            summary_stored = logs.iter().any(|log| is_summary(&log.body, typed));
        }
        Ok(Ok(CameHome { previews, programmes, summary_stored }))
    }

    /// Stores what is new in it, and where a person decided so, what was stored otherwise. It is looked at again in
    /// the same turn, so that what is sent twice, or from two screens, is stored once.
    ///
    /// # Errors
    /// The role may not write logs, or the disk is full; those of [`Desk::look_at_home`].
    pub async fn bring_home(
        &self,
        person: PersonId,
        (given, source): (&str, LogSource),
        elsewhere: Vec<Programme>,
        instead: &[Instead],
        once: &str,
    ) -> Result<Result<Brought, Refusal>, Error> {
        let _turn = self.clinic().coming_home.lock().await;
        let came = match self.look_at_home(person, given, elsewhere).await? {
            Ok(came) => came,
            Err(refusal) => return Ok(Err(refusal)),
        };
        let source = came.source(source);
        let mut brought = Brought::default();
        for preview in &came.previews {
            match preview {
                Preview::Log(log) => {
                    self.remember(person, came.programme(log.mark)).await?;
                    let of =
                        OneLog { person, log, source, programme: came.programme(log.mark), instead, once };
                    self.bring_log(&of, &mut brought).await?;
                }
                Preview::Typed(typed) if !came.summary_stored => {
                    self.remember(person, came.programme(typed.mark)).await?;
                    let record = PracticeRecord::of_summary(typed.summary.clone(), source, typed.mark);
                    self.append(person, &record, &format!("{once} summary {}", typed.mark)).await?;
                    brought.added += 1;
                }
                Preview::Typed(_) => {}
            }
        }
        Ok(Ok(brought))
    }

    async fn bring_log(&self, of: &OneLog<'_>, brought: &mut Brought) -> Result<(), Error> {
        let logged = self.logged(of.person).await?;
        let mut fresh = Vec::new();
        for seen in &of.log.sessions {
            let session = &seen.session;
            let Session { on, nth, .. } = *session;
            let key = format!("{} {} {on} {nth}", of.once, of.log.mark);
            let stored = || -> Option<RecordId> {
                let same = |one: &&crate::Logged| {
                    one.programme == Some(of.log.mark) && (one.session.on, one.session.nth) == (on, nth)
                };
                logged.iter().find(same).map(|one| one.record)
            };
            match seen.seen {
                Seen::New => {
                    fresh.push(self.new_record(of.person, &of.record(session), &key)?);
                    brought.added += 1;
                }
                Seen::Completes => {
                    if let Some(record) = stored() {
                        let body = of.record(session);
                        self.correct(of.person, record, &body, "the morning after came home", &key).await?;
                        brought.completed += 1;
                    }
                }
                Seen::Differs if of.wants_instead(session) => {
                    if let Some(record) = stored() {
                        let body = of.record(session);
                        let why = "what came home was kept instead of what was stored";
                        self.correct(of.person, record, &body, why, &key).await?;
                        brought.replaced += 1;
                    }
                }
                Seen::Differs | Seen::Stored | Seen::StoredRicher => {}
            }
        }
        if !fresh.is_empty() {
            self.session().append_many(fresh).await?;
            self.clinic().got_an_entry(of.person);
        }
        Ok(())
    }

    /// A programme that was not handed out from here stays known once a log of it was stored.
    async fn remember(&self, person: PersonId, programme: Option<&KnownProgramme>) -> Result<(), Error> {
        let Some(one) = programme.filter(|one| !one.handed_out) else { return Ok(()) };
        let (accepted, programme) = (one.accepted.clone(), one.programme.clone());
        let form = HandedForm::Elsewhere;
        self.hand_out(person, HandedOut { on: self.today(), form, accepted, programme }).await?;
        Ok(())
    }

    /// Whose log it is, where it is not this person's but of a programme that was handed out to somebody else
    /// here. Of a typed code nobody is named: it carries too little of the mark.
    ///
    /// # Errors
    /// An entry is damaged.
    pub async fn whose_log(&self, given: &str) -> Result<Option<PersonId>, Error> {
        for (person, entry) in self.newest_of_all::<HandedOut>(PEOPLE).await? {
            let programme = entry.body.programme;
            let known = Known {
                mark: programme.mark,
                prescription: programme.prescription(),
                stored: Vec::new(),
                replaced: false,
            };
            if let Ok(previews) = came_home(given, &[known])
                && previews.iter().all(|one| matches!(one, Preview::Log(_)))
            {
                return Ok(Some(person));
            }
        }
        Ok(None)
    }
}

/// One log that is stored.
struct OneLog<'a> {
    person: PersonId,
    log: &'a LogPreview,
    source: LogSource,
    programme: Option<&'a KnownProgramme>,
    instead: &'a [Instead],
    once: &'a str,
}

impl OneLog<'_> {
    fn record(&self, session: &Session) -> PracticeRecord {
        let mut record = PracticeRecord::of_session(session, self.source, Some(self.log.mark));
        for item in &mut record.items {
            item.distance_cm = self.programme.and_then(|known| known.distance_cm(&item.cell()));
        }
        record
    }

    fn wants_instead(&self, session: &Session) -> bool {
        let this = Instead { programme: self.log.mark, on: session.on, nth: session.nth };
        self.instead.contains(&this)
    }
}

fn is_summary(log: &PracticeRecord, typed: &TypedPreview) -> bool {
    log.programme == Some(typed.mark) && log.summary.as_ref() == Some(&typed.summary)
}
