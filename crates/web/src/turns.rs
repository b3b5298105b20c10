//! Turns: so many heavy computations at once, and whoever was served longest ago comes first.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use clinic::AccountId;
use tokio::sync::oneshot;

/// Gives out turns. Cheap to clone.
#[derive(Clone)]
pub(crate) struct Turns {
    inner: Arc<Mutex<Inner>>,
}

struct Inner {
    free: usize,
    /// Counts turns and tickets.
    clock: u64,
    waiting: Vec<Waiting>,
    /// When each account had its last turn.
    served: HashMap<AccountId, u64>,
}

struct Waiting {
    ticket: u64,
    who: AccountId,
    wake: oneshot::Sender<Turn>,
}

/// A turn; it ends when this is dropped, and the next one begins.
pub(crate) struct Turn {
    of: Option<Turns>,
}

impl Turns {
    /// So many at once.
    pub(crate) fn new(at_once: usize) -> Self {
        let inner = Inner { free: at_once.max(1), clock: 0, waiting: Vec::new(), served: HashMap::new() };
        Self { inner: Arc::new(Mutex::new(inner)) }
    }

    fn inner(&self) -> MutexGuard<'_, Inner> {
        self.inner.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Waits for a turn. Whoever stops waiting leaves the line.
    pub(crate) async fn turn(&self, who: AccountId) -> Turn {
        let waits = {
            let mut inner = self.inner();
            inner.waiting.retain(|one| !one.wake.is_closed());
            inner.clock += 1;
            let now = inner.clock;
            if inner.free > 0 {
                inner.free -= 1;
                inner.served.insert(who, now);
                return Turn { of: Some(self.clone()) };
            }
            let (wake, waits) = oneshot::channel();
            inner.waiting.push(Waiting { ticket: now, who, wake });
            waits
        };
        // Whoever gives a turn away holds these turns, so the line is never gone.
        waits.await.unwrap_or(Turn { of: None })
    }

    /// How many wait.
    pub(crate) fn waiting(&self) -> usize {
        let mut inner = self.inner();
        inner.waiting.retain(|one| !one.wake.is_closed());
        inner.waiting.len()
    }

    /// Gives a turn that has ended to the next in line.
    fn pass_on(&self, mut turn: Turn) {
        let mut inner = self.inner();
        loop {
            let last = |one: &Waiting| inner.served.get(&one.who).copied().unwrap_or(0);
            let next = (0..inner.waiting.len()).min_by_key(|at| {
                let one = &inner.waiting[*at];
                (last(one), one.ticket)
            });
            let Some(at) = next else {
                inner.free += 1;
                turn.of = None;
                return;
            };
            let Waiting { who, wake, .. } = inner.waiting.remove(at);
            match wake.send(turn) {
                Ok(()) => {
                    inner.clock += 1;
                    let now = inner.clock;
                    inner.served.insert(who, now);
                    return;
                }
                // Whoever waited has left.
                Err(back) => turn = back,
            }
        }
    }
}

impl Drop for Turn {
    fn drop(&mut self) {
        if let Some(turns) = self.of.take() {
            let next = Self { of: Some(turns.clone()) };
            turns.pass_on(next);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn account(number: u8) -> AccountId {
        let text = format!("00000000-0000-7000-8000-0000000000{number:02}");
        text.parse().unwrap_or_else(|error| panic!("{error}"))
    }

    /// Who is served in which order, when all ask while a first turn is taken.
    async fn order(asking: &[u8]) -> Vec<u8> {
        let turns = Turns::new(1);
        let held = turns.turn(account(1)).await;
        let served = Arc::new(Mutex::new(Vec::new()));
        let mut all = Vec::new();
        for (place, who) in asking.iter().copied().enumerate() {
            let (turns, served) = (turns.clone(), served.clone());
            all.push(tokio::spawn(async move {
                let _turn = turns.turn(account(who)).await;
                served.lock().unwrap_or_else(PoisonError::into_inner).push(who);
            }));
            while held.of.as_ref().is_some_and(|turns| turns.waiting() <= place) {
                tokio::task::yield_now().await;
            }
        }
        drop(held);
        for one in all {
            one.await.unwrap_or_else(|error| panic!("{error}"));
        }
        let served = served.lock().unwrap_or_else(PoisonError::into_inner);
        served.clone()
    }

    #[tokio::test]
    async fn one_who_asks_three_times_does_not_keep_another_waiting_behind_all_three() {
        assert_eq!(order(&[1, 1, 1, 2, 3]).await, [2, 3, 1, 1, 1]);
        assert_eq!(order(&[2, 2, 3]).await, [2, 3, 2]);
    }

    #[tokio::test]
    async fn whoever_leaves_the_line_costs_no_turn() {
        let turns = Turns::new(1);
        let held = turns.turn(account(1)).await;
        let gone = tokio::spawn({
            let turns = turns.clone();
            async move { turns.turn(account(2)).await }
        });
        while turns.waiting() == 0 {
            tokio::task::yield_now().await;
        }
        gone.abort();
        assert!(gone.await.is_err_and(|error| error.is_cancelled()));
        assert_eq!(turns.waiting(), 0);
        drop(held);
        let third = tokio::time::timeout(std::time::Duration::from_secs(5), turns.turn(account(3))).await;
        assert!(third.is_ok_and(|turn| turn.of.is_some()));
    }
}
