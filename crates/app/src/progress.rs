//! What is being worked on, for whoever shows it or stops it.

use std::convert::Infallible;

/// A part of the chain that can take a noticeable time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// Rays of the movement space that were surveyed, of how many. Rays that only hands or turning on the
    /// foot could open come after the others, with a count of their own.
    Survey {
        /// Finished.
        done: usize,
        /// All of them.
        of: usize,
    },
    /// Movements that were computed one by one, of how many.
    Movements {
        /// Finished.
        done: usize,
        /// All of them.
        of: usize,
    },
    /// Open rays that were computed at the distance that would be prescribed, of how many.
    Candidates {
        /// Finished.
        done: usize,
        /// All of them.
        of: usize,
    },
    /// Exercises are chosen.
    Choice,
}

/// Called whenever a part moves on; from several threads.
pub type Progress<'a> = &'a (dyn Fn(Part) + Sync);

/// Shows nothing.
pub fn silent(_: Part) {}

/// Somebody who is told how far a computation is and may stop it.
pub trait Watch: Sync {
    /// What a stopped computation gives back; [`Infallible`] where nobody stops it.
    type Stop: Send;

    /// Told whenever a part moves on, from several threads.
    ///
    /// # Errors
    /// The computation is to stop: it does within one movement, and gives back nothing else.
    fn on(&self, part: Part) -> Result<(), Self::Stop>;
}

/// Shows a computation that nobody stops.
pub(crate) struct Shown<'a>(pub(crate) Progress<'a>);

impl Watch for Shown<'_> {
    type Stop = Infallible;

    fn on(&self, part: Part) -> Result<(), Infallible> {
        (self.0)(part);
        Ok(())
    }
}
