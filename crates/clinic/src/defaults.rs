//! The defaults of the workbench, from `reference/workbench.toml`.

use std::sync::OnceLock;

use quantity::reference::TableHead;
use serde::Deserialize;

/// When the workbench speaks up and when it locks.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Defaults {
    #[serde(rename = "table")]
    _table: TableHead,
    /// When a person is named under Today.
    pub attention: AttentionDefaults,
    /// When a screen locks.
    pub lock: LockDefaults,
    /// How often backups are made by themselves.
    pub backup: BackupDefaults,
    /// How a device is admitted.
    pub devices: DeviceDefaults,
    /// How long records are kept.
    pub keep: KeepDefaults,
}

/// When a person is named under Today.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AttentionDefaults {
    /// Days without a log, while a programme runs.
    pub nothing_logged_days: i32,
    /// Days after which measures are taken again.
    pub retest_days: i32,
    /// An order or programme that ends within so many days.
    pub ends_within_days: i32,
    /// A rise of the worst pain from one log to the next, on the scale from 0 to 10.
    pub pain_rise: u8,
}

/// When a screen locks.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LockDefaults {
    /// Minutes without a touch.
    pub after_minutes: u32,
    /// The longest setting.
    pub at_most_minutes: u32,
    /// Fewest and most digits of a PIN.
    pub pin_digits: [usize; 2],
    /// Wrong PINs after which the passphrase is asked.
    pub pin_tries: u32,
}

/// How often backups are made by themselves.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BackupDefaults {
    /// Days after which the last good backup is too old.
    pub every_days: u32,
    /// The shortest and the longest setting.
    pub every_days_between: [u32; 2],
    /// How many of those made by themselves are kept in their folder.
    pub keep: u32,
    /// The fewest and the most that may be set.
    pub keep_between: [u32; 2],
}

/// How a device is admitted.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DeviceDefaults {
    /// Minutes for which a code may be typed.
    pub code_minutes: u32,
    /// Wrong codes after which the right one is worth nothing any more.
    pub code_tries: u32,
}

/// How long records are kept.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KeepDefaults {
    /// Years after the last contact.
    pub years_after_last_contact: i16,
    /// Age from which the years count.
    pub adult_at: i16,
}

/// The table.
#[must_use]
pub fn defaults() -> &'static Defaults {
    static TABLE: OnceLock<Defaults> = OnceLock::new();
    TABLE.get_or_init(|| {
        toml::from_str(include_str!("../../../reference/workbench.toml"))
            .unwrap_or_else(|e| panic!("reference/workbench.toml does not parse: {e}"))
    })
}
