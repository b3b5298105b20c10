//! What can go wrong at a desk, said to the person who sits there.

use person::case_file::CaseErrors;

/// Why something was not done. Nothing was lost or half done.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// The file of records refused.
    #[error(transparent)]
    Store(#[from] store::Error),
    /// The case has something to mend.
    #[error("the case was not saved: {0}")]
    Case(#[from] CaseErrors),
    /// The measures have something to mend.
    #[error("the measures were not saved: {0}")]
    Measures(CaseErrors),
    /// An entry cannot be read back.
    #[error(
        "an entry of kind `{kind}` cannot be read: {why}; it was left as it is; say this to whoever keeps the program"
    )]
    Body {
        /// Its kind.
        kind: &'static str,
        /// What was wrong.
        why: String,
    },
    /// Something that was typed cannot be.
    #[error("{what} cannot be `{given}`; accepted: {accepted}; {to_do}")]
    Given {
        /// What it is about.
        what: &'static str,
        /// What was typed.
        given: String,
        /// What is accepted.
        accepted: String,
        /// What to do.
        to_do: &'static str,
    },
    /// There is no case yet.
    #[error("nothing is known of this person yet; enter what was found first")]
    NoCase,
    /// A computation broke off.
    #[error("what is to be shown could not be read: {0}; nothing was changed; open the page again")]
    Broken(String),
    /// The system refused a file of the demonstration.
    #[error("the invented clinic could not be opened: {0}")]
    Demo(String),
}
