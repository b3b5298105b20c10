//! A lesson in the room: each tap is on the disk before the next, and the whole is one entry of the home log.

use anatomy::Side;
use jiff::civil::Date;
use movement::{Bearing, Crossing, Family};
use serde::{Deserialize, Serialize};
use store::{PersonId, RecordId};

use crate::practice::not_crossing;
use crate::{Desk, Done, Entry, Error, LogSource, PracticeItem, PracticeRecord};

/// How one direction looked when it was taught.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Steadiness {
    /// Steady.
    Steady,
    /// Right after a correction.
    Corrected,
    /// Not able.
    NotAble,
    /// It hurt.
    Hurt,
}

/// One direction of one leg, as it was taught.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct TaughtItem {
    /// Place of the exercise in the programme, from 1.
    pub exercise: u8,
    /// The family; none in lessons that were written before it was kept.
    #[serde(default)]
    pub family: Option<Family>,
    /// The limb that moved.
    pub mover: Side,
    /// Where to.
    pub bearing: Bearing,
    /// How it crossed.
    #[serde(default = "not_crossing")]
    pub crossing: Crossing,
    /// How far it was taught, centimetres.
    #[serde(default)]
    pub distance_cm: Option<f64>,
    /// How it looked.
    pub was: Steadiness,
    /// Pain, 0 to 10, where it hurt.
    #[serde(default)]
    pub pain: Option<u8>,
    /// Shown back without a prompt.
    #[serde(default)]
    pub shown_back: bool,
}

impl TaughtItem {
    /// Whether both are the same direction of the same exercise, seen at the same time round.
    #[must_use]
    pub fn is_same_direction(&self, other: &Self) -> bool {
        let way = |item: &Self| (item.exercise, item.family, item.mover, item.bearing, item.crossing);
        way(self) == way(other) && self.shown_back == other.shown_back
    }
}

/// What was taught in the room.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct TeachRecord {
    /// The day.
    pub on: Date,
    /// Which lesson: what is saved again under the same name is the same lesson. Empty in lessons that
    /// were written before taps were.
    #[serde(default)]
    pub lesson: String,
    /// Each direction.
    pub items: Vec<TaughtItem>,
    /// A remark.
    #[serde(default)]
    pub remark: String,
}

impl TeachRecord {
    /// The lesson as an entry of the home log: each direction once, as it was shown last, with the
    /// worst pain of both times round.
    #[must_use]
    pub fn as_log(&self) -> PracticeRecord {
        let mut items: Vec<PracticeItem> = Vec::new();
        for item in &self.items {
            let Some(family) = item.family else { continue };
            let done = match item.was {
                Steadiness::Steady | Steadiness::Corrected => Done::Done,
                Steadiness::Hurt => Done::InPart,
                Steadiness::NotAble => Done::LeftOut,
            };
            let one = PracticeItem {
                exercise: item.exercise,
                family,
                mover: item.mover,
                bearing: item.bearing,
                crossing: item.crossing,
                distance_cm: item.distance_cm,
                done,
                pain: item.pain,
                rung: None,
                settled: None,
            };
            let way = |of: &PracticeItem| (of.exercise, of.family, of.mover, of.bearing, of.crossing);
            match items.iter_mut().find(|known| way(known) == way(&one)) {
                Some(known) => *known = PracticeItem { pain: known.pain.max(one.pain), ..one },
                None => items.push(one),
            }
        }
        let remark = self.remark.clone();
        PracticeRecord { items, remark, ..PracticeRecord::bare(self.on, LogSource::Taught) }
    }
}

/// One tap, on the disk as it is made.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct TapRecord {
    /// The day.
    pub on: Date,
    /// Which lesson.
    pub lesson: String,
    /// What was tapped.
    pub item: TaughtItem,
}

/// A lesson with everything that was tapped in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Lesson {
    /// What was seen; of what was tapped twice, the last.
    pub record: TeachRecord,
    /// The entry in which it was finished; none while it goes on or when it was left.
    pub finished: Option<RecordId>,
}

/// Puts a tap into the place of an earlier one of the same direction.
fn put(items: &mut Vec<TaughtItem>, tap: TaughtItem) {
    match items.iter_mut().find(|known| known.is_same_direction(&tap)) {
        Some(known) => *known = tap,
        None => items.push(tap),
    }
}

/// Lessons out of what was finished and what was tapped, the oldest first.
fn lessons(finished: Vec<Entry<TeachRecord>>, taps: Vec<Entry<TapRecord>>) -> Vec<Lesson> {
    let mut out: Vec<Lesson> = finished
        .into_iter()
        .map(|entry| Lesson { record: entry.body, finished: Some(entry.record) })
        .collect();
    for TapRecord { on, lesson, item } in taps.into_iter().map(|entry| entry.body) {
        match out.iter_mut().find(|known| known.record.lesson == lesson) {
            // What was finished says everything that was seen.
            Some(Lesson { finished: Some(_), .. }) => {}
            Some(open) => put(&mut open.record.items, item),
            None => {
                let record = TeachRecord { on, lesson, items: vec![item], remark: String::new() };
                out.push(Lesson { record, finished: None });
            }
        }
    }
    out.sort_by_key(|lesson| lesson.record.on);
    out
}

impl Desk {
    /// Every lesson, finished or not, the oldest first.
    ///
    /// # Errors
    /// There is no such person, or an entry is damaged.
    pub async fn lessons(&self, person: PersonId) -> Result<Vec<Lesson>, Error> {
        Ok(lessons(self.read(person).await?, self.read(person).await?))
    }

    /// The lesson of a day that is not finished: what was tapped until now, or a new one.
    ///
    /// # Errors
    /// As [`Desk::lessons`].
    pub async fn open_lesson(&self, person: PersonId, day: Date) -> Result<TeachRecord, Error> {
        let all = self.lessons(person).await?;
        let finished = all.iter().filter(|lesson| lesson.finished.is_some()).count();
        let open = all.into_iter().find(|lesson| lesson.finished.is_none() && lesson.record.on == day);
        Ok(open.map_or_else(
            || TeachRecord {
                on: day,
                lesson: format!("{day} {}", finished + 1),
                items: Vec::new(),
                remark: String::new(),
            },
            |open| open.record,
        ))
    }

    /// Writes one tap. The same `once` writes it once; a tap of a lesson that was finished corrects it.
    ///
    /// # Errors
    /// As [`Desk::append`].
    pub async fn tap(&self, person: PersonId, tap: TapRecord, once: &str) -> Result<RecordId, Error> {
        let all = self.read::<TeachRecord>(person).await?;
        match all.into_iter().find(|entry| entry.body.lesson == tap.lesson) {
            Some(entry) => {
                let record = TeachRecord { items: vec![tap.item], ..entry.body };
                self.finish_lesson(person, record, once).await
            }
            None => self.append(person, &tap, once).await,
        }
    }

    /// Finishes a lesson: what was tapped before stays unless the record says something else of it. A
    /// lesson that was finished already is not written twice; where it says something else now, it is
    /// corrected.
    ///
    /// # Errors
    /// As [`Desk::append`].
    pub async fn finish_lesson(
        &self,
        person: PersonId,
        record: TeachRecord,
        once: &str,
    ) -> Result<RecordId, Error> {
        let known = self.lessons(person).await?.into_iter().find(|one| one.record.lesson == record.lesson);
        let mut items = known.as_ref().map_or_else(Vec::new, |known| known.record.items.clone());
        for item in record.items {
            put(&mut items, item);
        }
        let record = TeachRecord { items, ..record };
        match known {
            Some(Lesson { record: before, finished: Some(id) }) if before == record => Ok(id),
            Some(Lesson { finished: Some(id), .. }) => {
                self.correct(person, id, &record, "the same lesson was saved again", once).await
            }
            _ => self.append(person, &record, &format!("lesson {}", record.lesson)).await,
        }
    }
}
