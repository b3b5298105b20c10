//! What stops everything: the red flags that are present, how fast to act, and whom to call.

use person::{RedFlag, Urgency};
use serde::Serialize;

use crate::tables::red_flag;

/// One red flag that is present.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AlertLine {
    /// Which red flag.
    pub flag: RedFlag,
    /// The identifier of the rule, such as `RF-DVT`.
    pub rule: String,
    /// How fast somebody must look.
    pub urgency: Urgency,
    /// What was found, in plain words.
    pub words: String,
    /// What to do and whom to call, in plain words.
    pub call: String,
}

/// The alert that replaces every sheet while a red flag is present.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Alert {
    /// The most urgent of the lines.
    pub urgency: Urgency,
    /// Every red flag that is present, the most urgent first; never empty.
    pub lines: Vec<AlertLine>,
}

impl std::fmt::Display for Alert {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        for (i, line) in self.lines.iter().enumerate() {
            if i > 0 {
                f.write_str("\n")?;
            }
            write!(f, "{} {} ({})", line.words, line.call, line.rule)?;
        }
        Ok(())
    }
}

/// What is asked at a visit to find out about a red flag, short enough to be read out.
#[must_use]
pub fn red_flag_asked(flag: RedFlag) -> &'static str {
    &red_flag(flag).ask
}
