//! Remembers computed movements of one body and strength, so that a changed finding costs only gates.
//!
//! A movement depends on the body, its strength, what is asked, and, because the solver starts from
//! a neighbour, on that neighbour. All of it is the key: a cache belongs to one body and strength;
//! what is asked is compared in full; the neighbour must be one that this cache gave out, compared
//! in full. So the answer is the very one that would be computed. Findings are not in the key, with
//! one exception: a measured range of ankle or knee and a measured strength are part of the body
//! and its capacity, and empty the cache when they change.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use biomech::{Body, Capacity, Motion, MotionError};
use movement::MovementSpec;
use safety::{Computed, Engine, Movements};

use crate::PersonToday;

/// The most movements that are kept: a full space, or several surveys. About 20 kB each.
const MOST: usize = 20_000;

/// Computed movements of one body and strength.
#[derive(Debug)]
pub struct MotionCache {
    body: Body,
    capacity: Capacity,
    known: Mutex<Known>,
}

#[derive(Debug, Default)]
struct Known {
    entries: Vec<Entry>,
    /// By everything that is asked, written out in full.
    by_spec: HashMap<String, Vec<usize>>,
    why_not: HashMap<String, Option<MotionError>>,
    given: usize,
}

#[derive(Debug)]
struct Entry {
    /// The entry it was started from.
    neighbour: Option<usize>,
    result: Option<Arc<Computed>>,
}

/// Writes a movement out in full; two texts are equal only when the movements are.
fn key(spec: &MovementSpec) -> String {
    format!("{spec:?}")
}

impl Known {
    fn place_of(&self, motion: &Motion) -> Option<usize> {
        let is = |at: &&usize| self.entries[**at].result.as_ref().is_some_and(|c| c.motion == *motion);
        self.by_spec.get(&key(&motion.spec))?.iter().find(is).copied()
    }

    fn get(&self, spec: &str, neighbour: Option<usize>) -> Option<Option<Arc<Computed>>> {
        let at = self.by_spec.get(spec)?.iter().find(|at| self.entries[**at].neighbour == neighbour)?;
        Some(self.entries[*at].result.clone())
    }
}

impl MotionCache {
    /// An empty cache for this person's body and strength.
    #[must_use]
    pub fn of(person: &PersonToday<'_>) -> Self {
        Self::for_body(person.body.clone(), person.capacity.clone())
    }

    /// An empty cache for a body and its strength.
    #[must_use]
    pub fn for_body(body: Body, capacity: Capacity) -> Self {
        Self { body, capacity, known: Mutex::default() }
    }

    /// Whether what is kept is of this person's body and strength.
    #[must_use]
    pub fn fits(&self, person: &PersonToday<'_>) -> bool {
        self.body == person.body && self.capacity == person.capacity
    }

    /// How many movements are kept, those that cannot be done included.
    #[must_use]
    pub fn len(&self) -> usize {
        self.known().entries.len()
    }

    /// Whether nothing is kept.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// How often a movement was given without computing it.
    #[must_use]
    pub fn given(&self) -> usize {
        self.known().given
    }

    fn known(&self) -> MutexGuard<'_, Known> {
        self.known.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn engine(&self) -> Engine<'_> {
        Engine { body: &self.body, capacity: &self.capacity }
    }
}

impl Movements for MotionCache {
    fn near(&self, spec: &MovementSpec, neighbour: Option<&Motion>) -> Option<Arc<Computed>> {
        let asked = key(spec);
        let from = {
            let mut known = self.known();
            let from = match neighbour {
                None => None,
                Some(motion) => match known.place_of(motion) {
                    Some(at) => Some(at),
                    // Not one of ours: computed, not kept.
                    None => {
                        drop(known);
                        return self.engine().near(spec, neighbour);
                    }
                },
            };
            if let Some(result) = known.get(&asked, from) {
                known.given += 1;
                return result;
            }
            from
        };
        let result = self.engine().near(spec, neighbour);
        let mut known = self.known();
        // Another core may have been quicker; its result is the same.
        if let Some(result) = known.get(&asked, from) {
            return result;
        }
        if known.entries.len() < MOST {
            let at = known.entries.len();
            known.entries.push(Entry { neighbour: from, result: result.clone() });
            known.by_spec.entry(asked).or_default().push(at);
        }
        result
    }

    fn why_not(&self, spec: &MovementSpec) -> Option<MotionError> {
        let asked = key(spec);
        if let Some(known) = self.known().why_not.get(&asked) {
            return known.clone();
        }
        let why = self.engine().why_not(spec);
        let mut known = self.known();
        if known.why_not.len() < MOST {
            known.why_not.insert(asked, why.clone());
        }
        why
    }
}
