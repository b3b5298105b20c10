//! The code with which a device is admitted: one at a time, for a few minutes, once, and for few tries.

use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use clinic::{AccountId, Desk, defaults};

use crate::browsers::same;

/// Digits of a code.
const DIGITS: usize = 8;
/// Refusals that cost no waiting: people mistype.
const FREE: u32 = 3;
/// The longest wait.
const LONGEST_WAIT: Duration = Duration::from_secs(5 * 60);

/// The code that is open now, and how often something else was typed.
#[derive(Default)]
pub(crate) struct Codes {
    inner: Mutex<Inner>,
}

#[derive(Default)]
struct Inner {
    open: Option<Open>,
    /// Refusals in a row, whoever was refused.
    refused: u32,
    last: Option<Instant>,
}

struct Open {
    digits: String,
    desk: Desk,
    until: Instant,
    wrong: u32,
}

/// A code as the one who asked for it sees it.
pub(crate) struct Shown {
    /// Two groups of four digits.
    pub(crate) code: String,
    /// Until it is worth nothing.
    pub(crate) left: Duration,
}

/// What came of typing a code.
pub(crate) enum Typed {
    /// It is the code, which is worth nothing from now on; this desk admits.
    Right(Desk),
    /// It is not; so many tries are left.
    Wrong(u32),
    /// It was not, once too often: the code is worth nothing any more.
    Void,
    /// There is no code now: none was asked for, it is over, was used, or who asked for it signed out.
    None,
    /// Too many refusals lately; nothing was looked at.
    Wait(Duration),
}

/// How long to wait after so many refusals in a row: none after three, then 2 s, doubled each time.
fn wait_after(refused: u32) -> Duration {
    match refused.saturating_sub(FREE) {
        0 => Duration::ZERO,
        beyond => Duration::from_secs(1 << beyond.min(16)).min(LONGEST_WAIT),
    }
}

impl Codes {
    fn inner(&self) -> MutexGuard<'_, Inner> {
        self.inner.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Opens a code on behalf of this desk; one that was open before is worth nothing any more.
    pub(crate) fn begin(&self, desk: Desk, now: Instant) {
        let until = now + Duration::from_secs(u64::from(defaults().devices.code_minutes) * 60);
        let open = Open { digits: digits(), desk, until, wrong: 0 };
        *self.inner() = Inner { open: Some(open), ..Inner::default() };
    }

    /// Takes a code back.
    pub(crate) fn end(&self) {
        self.inner().open = None;
    }

    /// The code that this account asked for, while it is open.
    pub(crate) fn shown_to(&self, account: AccountId, now: Instant) -> Option<Shown> {
        let inner = self.inner();
        let open = inner.open.as_ref().filter(|open| open.desk.account() == account && open.stands(now))?;
        let (first, second) = open.digits.split_at(DIGITS / 2);
        Some(Shown { code: format!("{first} {second}"), left: open.until - now })
    }

    /// Looks at what was typed.
    pub(crate) fn type_in(&self, typed: &str, now: Instant) -> Typed {
        let mut inner = self.inner();
        let waited = inner.last.map_or(Duration::MAX, |last| now.saturating_duration_since(last));
        let wait = wait_after(inner.refused).saturating_sub(waited);
        if !wait.is_zero() {
            return Typed::Wait(wait);
        }
        let typed: String = typed.chars().filter(|one| !one.is_whitespace() && *one != '-').collect();
        if let Some(open) = inner.open.take_if(|open| open.stands(now) && same(&open.digits, &typed)) {
            inner.refused = 0;
            return Typed::Right(open.desk);
        }
        inner.refused = inner.refused.saturating_add(1);
        inner.last = Some(now);
        let Some(open) = inner.open.as_mut().filter(|open| open.stands(now)) else {
            inner.open = None;
            return Typed::None;
        };
        open.wrong += 1;
        let left = defaults().devices.code_tries.saturating_sub(open.wrong);
        if left > 0 {
            return Typed::Wrong(left);
        }
        inner.open = None;
        Typed::Void
    }
}

impl Open {
    fn stands(&self, now: Instant) -> bool {
        now < self.until && self.desk.is_signed_in()
    }
}

/// Digits by chance, each as probable as any other.
fn digits() -> String {
    let mut out = String::with_capacity(DIGITS);
    while out.len() < DIGITS {
        let mut bytes = [0_u8; 16];
        getrandom::fill(&mut bytes)
            .unwrap_or_else(|error| panic!("the system gives no random bytes: {error}"));
        // 250 is a multiple of ten: bytes from there on would favour some digits.
        let fair = bytes.iter().filter(|byte| **byte < 250).map(|byte| char::from(b'0' + byte % 10));
        out.extend(fair.take(DIGITS - out.len()));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    async fn desk() -> Desk {
        let today = std::sync::Arc::new(|| jiff::civil::date(2026, 2, 4));
        let clinic = clinic::Clinic::demo(today).await.unwrap_or_else(|error| panic!("{error}"));
        let signed = clinic.sign_in(clinic::DEMO_NAME, clinic::DEMO_PASSPHRASE).await;
        let Ok(clinic::Admitted::Welcome(desk)) = signed else { panic!("the invented clinic opens") };
        desk
    }

    fn shown(codes: &Codes, desk: &Desk, now: Instant) -> String {
        codes
            .shown_to(desk.account(), now)
            .map(|shown| shown.code)
            .unwrap_or_else(|| panic!("a code is open"))
    }

    /// A code that differs in its last digit.
    fn other(code: &str) -> String {
        let last = if code.ends_with('0') { "1" } else { "0" };
        format!("{}{last}", &code[..code.len() - 1])
    }

    #[tokio::test]
    async fn a_code_opens_once_and_typed_again_is_none() {
        let (codes, desk, now) = (Codes::default(), desk().await, Instant::now());
        codes.begin(desk.clone(), now);
        let code = shown(&codes, &desk, now);
        assert_eq!(code.len(), DIGITS + 1);
        assert!(matches!(codes.type_in(&code.replace(' ', "-"), now), Typed::Right(_)));
        assert!(matches!(codes.type_in(&code, now), Typed::None));
        assert!(codes.shown_to(desk.account(), now).is_none());
    }

    #[tokio::test]
    async fn a_code_is_over_after_its_minutes_and_when_who_asked_for_it_signs_out() {
        let (codes, desk, now) = (Codes::default(), desk().await, Instant::now());
        codes.begin(desk.clone(), now);
        let code = shown(&codes, &desk, now);
        let minutes = Duration::from_secs(u64::from(defaults().devices.code_minutes) * 60);
        assert!(matches!(codes.type_in(&code, now + minutes), Typed::None));
        codes.begin(desk.clone(), now);
        let code = shown(&codes, &desk, now);
        desk.sign_out().await.unwrap_or_else(|error| panic!("{error}"));
        assert!(matches!(codes.type_in(&code, now), Typed::None));
    }

    #[tokio::test]
    async fn wrong_codes_are_counted_slowed_down_and_void_the_right_one() {
        let (codes, desk, mut now) = (Codes::default(), desk().await, Instant::now());
        codes.begin(desk.clone(), now);
        let code = shown(&codes, &desk, now);
        let tries = defaults().devices.code_tries;
        for number in 1..=tries {
            match codes.type_in(&other(&code), now) {
                Typed::Wrong(left) => assert_eq!(left, tries - number),
                Typed::Void => assert_eq!(number, tries),
                _ => panic!("try {number}"),
            }
            now += wait_after(number);
        }
        assert!(matches!(codes.type_in(&code, now), Typed::None), "the right one is worth nothing any more");
        let Typed::Wait(wait) = codes.type_in(&code, now) else { panic!("refusals go on being slowed down") };
        assert_eq!(wait, wait_after(tries + 1));
        assert_eq!([3, 4, 5, 12, 40].map(|refused| wait_after(refused).as_secs()), [0, 2, 4, 300, 300]);
        // Somebody who asks for a new one stands there: nobody waits for what others typed before.
        codes.begin(desk.clone(), now);
        let code = shown(&codes, &desk, now);
        assert!(matches!(codes.type_in(&code, now), Typed::Right(_)));
    }
}
