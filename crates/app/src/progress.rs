//! What is being worked on, for whoever shows it.

/// A part of the chain that can take a noticeable time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// Rays of the movement space that were surveyed, of how many.
    Survey {
        /// Finished.
        done: usize,
        /// All of them.
        of: usize,
    },
    /// Movements are computed at the distance that would be prescribed.
    Candidates,
    /// Exercises are chosen.
    Choice,
}

/// Called whenever a part moves on; from several threads.
pub type Progress<'a> = &'a (dyn Fn(Part) + Sync);

/// Shows nothing.
pub fn silent(_: Part) {}
