//! The invented people that come with the program.

use person::CaseFile;
use person::case_file::CaseErrors;

/// A file that comes with the program: a case, or the measures of one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DemoCase {
    /// The name of the file.
    pub file: &'static str,
    /// Its text.
    pub text: &'static str,
}

macro_rules! cases {
    ($($file:literal),+ $(,)?) => {
        &[$(DemoCase { file: $file, text: include_str!(concat!("../../../cases/", $file)) }),+]
    };
}

/// Every invented person, in the order of the files.
#[must_use]
pub fn demo_cases() -> &'static [DemoCase] {
    cases![
        "01-lighthouse-mechanic.toml",
        "02-seamstress.toml",
        "03-baker.toml",
        "04-handball-player.toml",
        "05-postal-worker.toml",
        "06-choir-conductor.toml",
        "07-fell-runner.toml",
        "08-swimmer.toml",
        "09-clock-keeper.toml",
        "10-ferry-cook.toml",
        "11-net-mender.toml",
        "12-crane-driver.toml",
        "13-market-gardener.toml",
    ]
}

/// Measures of some of them, and the recordings that they name, as `measures/NAME`; each measures file belongs to
/// the case of the same name.
#[must_use]
pub fn demo_measures() -> &'static [DemoCase] {
    cases![
        "measures/01-lighthouse-mechanic.toml",
        "measures/04-handball-player.toml",
        "measures/05-postal-worker.toml",
        "measures/05-sway-left.csv",
        "measures/05-sway-right.csv",
    ]
}

impl DemoCase {
    /// Reads it.
    ///
    /// # Errors
    /// Never for the files that come with the program, which a test rules out.
    pub fn read(&self) -> Result<CaseFile, CaseErrors> {
        person::case_file::read(self.file, self.text)
    }
}
