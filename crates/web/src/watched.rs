//! A computation that somebody waits for: how far it is, and that it can be stopped.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

use app::{Part, Watch};

/// It was stopped; nothing came of it.
#[derive(Debug)]
pub(crate) struct Stopped;

/// How far a computation is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Far {
    /// Others are worked out first.
    Waits,
    /// It has begun.
    Begun,
    /// The engine is at this part.
    At(Part),
}

/// One computation.
pub(crate) struct Watched {
    stop: AtomicBool,
    far: Mutex<Far>,
}

impl Watched {
    fn new() -> Self {
        Self { stop: AtomicBool::new(false), far: Mutex::new(Far::Waits) }
    }

    pub(crate) fn begins(&self) {
        *self.far.lock().unwrap_or_else(PoisonError::into_inner) = Far::Begun;
    }

    pub(crate) fn far(&self) -> Far {
        *self.far.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Watch for Watched {
    type Stop = Stopped;

    fn on(&self, part: Part) -> Result<(), Stopped> {
        *self.far.lock().unwrap_or_else(PoisonError::into_inner) = Far::At(part);
        if self.stop.load(Ordering::Relaxed) { Err(Stopped) } else { Ok(()) }
    }
}

/// The computation that goes on for one result, for everybody who waits for it.
#[derive(Clone, Default)]
pub(crate) struct Now(Arc<Mutex<Option<Arc<Watched>>>>);

impl Now {
    /// A computation begins. It is stopped when nobody waits any more: when what this gives is dropped.
    pub(crate) fn begin(&self) -> Waited {
        let watched = Arc::new(Watched::new());
        *self.0.lock().unwrap_or_else(PoisonError::into_inner) = Some(watched.clone());
        Waited { watched, now: self.clone() }
    }

    fn far(&self) -> Option<Far> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).as_ref().map(|watched| watched.far())
    }
}

/// Somebody waits for the computation.
pub(crate) struct Waited {
    pub(crate) watched: Arc<Watched>,
    now: Now,
}

impl Drop for Waited {
    fn drop(&mut self) {
        self.watched.stop.store(true, Ordering::Relaxed);
        *self.now.0.lock().unwrap_or_else(PoisonError::into_inner) = None;
    }
}

/// What a page waits for; filled in by whoever works it out.
#[derive(Clone, Default)]
pub(crate) struct Waits(Arc<Mutex<Option<(&'static str, Now)>>>);

tokio::task_local! {
    /// The page that is being worked out by this task.
    static PAGE: Waits;
}

impl Waits {
    /// Works a page out, so that what it waits for is known here.
    pub(crate) async fn around<T>(self, page: impl Future<Output = T>) -> T {
        PAGE.scope(self, page).await
    }

    /// What is waited for, in words, and how far it is.
    pub(crate) fn told(&self) -> Option<(&'static str, Far)> {
        let waits = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let (what, now) = waits.as_ref()?;
        Some((what, now.far()?))
    }
}

/// Says that the page of this task waits for something now.
pub(crate) fn waits_for(what: &'static str, now: &Now) {
    // A request that no page waits for, such as that of a module, tells nobody.
    let _ = PAGE.try_with(|page| {
        *page.0.lock().unwrap_or_else(PoisonError::into_inner) = Some((what, now.clone()));
    });
}
