//! Which browser is which: a cookie, who sits at it, and whether its screen is locked.

use std::collections::HashMap;
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use axum::http::{HeaderMap, HeaderValue, header};
use clinic::{Desk, DeviceId, PersonId};

use crate::drafts::{Kept, KeptOf};

/// The name of the cookie.
const COOKIE: &str = "footrose";

/// Every browser that was seen since the program began.
#[derive(Default)]
pub(crate) struct Browsers {
    all: Mutex<HashMap<String, Browser>>,
}

/// One browser.
pub(crate) struct Browser {
    /// What its forms carry.
    form: String,
    /// Everybody who signed in here and did not sign out.
    chairs: Vec<Chair>,
    /// Who sits here now, as a place in `chairs`.
    active: Option<usize>,
    screen: Screen,
    touched: Instant,
    /// What everybody who sits here typed and did not save.
    kept: KeptOf,
    /// At which device of the network; none on this machine.
    at: Option<DeviceId>,
}

/// Somebody who signed in at a browser.
struct Chair {
    desk: Desk,
    pin: Option<String>,
    wrong: u32,
}

/// What the screen shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Screen {
    /// The workbench.
    Open,
    /// Nothing, until somebody unlocks it.
    Locked,
    /// The page of one patient, until somebody unlocks it.
    HandedOver(PersonId),
}

/// Who may come back to a locked screen.
pub(crate) struct Waiting {
    pub(crate) place: usize,
    pub(crate) name: String,
    pub(crate) has_pin: bool,
}

/// What came of a PIN.
pub(crate) enum Unlocked {
    Yes(Desk),
    /// Wrong; so many tries are left.
    No(u32),
    /// Too many were wrong: that person was sent out and has to sign in.
    Out(Desk),
    /// There is no PIN, or nobody in that place.
    NoPin,
}

/// Letters and digits by chance, for cookies, forms and submissions.
pub(crate) fn chance() -> String {
    let mut bytes = [0_u8; 24];
    // Without chance there is no safe session; the system has never been seen to refuse.
    getrandom::fill(&mut bytes).unwrap_or_else(|error| panic!("the system gives no random bytes: {error}"));
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The cookie that says which browser it is.
pub(crate) fn token_of(headers: &HeaderMap) -> Option<&str> {
    cookie_of(headers, COOKIE)
}

/// A cookie of a request.
pub(crate) fn cookie_of<'a>(headers: &'a HeaderMap, wanted: &str) -> Option<&'a str> {
    let cookies = headers.get_all(header::COOKIE).iter().filter_map(|value| value.to_str().ok());
    cookies.flat_map(|line| line.split(';')).find_map(|pair| {
        let (name, value) = pair.trim().split_once('=')?;
        (name == wanted).then_some(value)
    })
}

/// Behind the door a request carries the cookie of its browser, if that is known here, and no other.
pub(crate) fn carry(headers: &mut HeaderMap, token: Option<&str>) {
    headers.remove(header::COOKIE);
    if let Some(cookie) = token.and_then(|token| HeaderValue::from_str(&format!("{COOKIE}={token}")).ok()) {
        headers.insert(header::COOKIE, cookie);
    }
}

/// The token in a header that sets the cookie.
pub(crate) fn token_in(set: &HeaderValue) -> Option<&str> {
    let (name, value) = set.to_str().ok()?.split(';').next()?.split_once('=')?;
    (name == COOKIE).then_some(value)
}

/// Whether two secrets are the same, in a time that says nothing about where they differ.
pub(crate) fn same(a: &str, b: &str) -> bool {
    a.len() == b.len() && a.bytes().zip(b.bytes()).fold(0, |sum, (x, y)| sum | (x ^ y)) == 0
}

impl Browsers {
    fn all(&self) -> MutexGuard<'_, HashMap<String, Browser>> {
        self.all.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// A new browser: its token, the header that sets the cookie, and what its forms carry.
    pub(crate) fn admit(&self) -> (String, HeaderValue, String) {
        let (token, form) = (chance(), chance());
        let cookie = format!("{COOKIE}={token}; Path=/; HttpOnly; SameSite=Strict");
        let browser = Browser {
            form: form.clone(),
            chairs: Vec::new(),
            active: None,
            screen: Screen::Open,
            touched: Instant::now(),
            kept: KeptOf::new(),
            at: None,
        };
        self.all().insert(token.clone(), browser);
        let cookie =
            HeaderValue::from_str(&cookie).unwrap_or_else(|error| panic!("hexadecimal digits: {error}"));
        (token, cookie, form)
    }

    /// Whether a form carries what this browser was given.
    pub(crate) fn form_is(&self, token: &str, form: &str) -> bool {
        self.all().get(token).is_some_and(|browser| same(&browser.form, form))
    }

    /// What the forms of a browser carry.
    pub(crate) fn form_of(&self, token: &str) -> Option<String> {
        self.all().get(token).map(|browser| browser.form.clone())
    }

    /// Who sits at a browser, and what its screen shows. A screen that was not touched for too long is
    /// locked by this; `quiet` requests, which no hand made, do not count as a touch.
    pub(crate) fn look(&self, token: &str, after: Duration, quiet: bool) -> Option<(Desk, Screen, bool)> {
        let mut all = self.all();
        let browser = all.get_mut(token)?;
        let desk = browser.chairs.get(browser.active?)?.desk.clone();
        let late = browser.touched.elapsed() > after && browser.screen != Screen::Locked;
        if late {
            browser.screen = Screen::Locked;
        } else if !quiet {
            browser.touched = Instant::now();
        }
        Some((desk, browser.screen, late))
    }

    /// Somebody signed in: they sit here now. The token and the form change, so that an older cookie
    /// is worth nothing.
    pub(crate) fn sit(&self, token: &str, desk: Desk, pin: Option<String>) -> Option<(HeaderValue, String)> {
        let mut all = self.all();
        let mut browser = all.remove(token)?;
        browser.chairs.retain(|chair| chair.desk.account() != desk.account() && chair.desk.is_signed_in());
        browser.chairs.push(Chair { desk, pin, wrong: 0 });
        browser.active = Some(browser.chairs.len() - 1);
        browser.screen = Screen::Open;
        browser.touched = Instant::now();
        browser.form = chance();
        let token = chance();
        let cookie = format!("{COOKIE}={token}; Path=/; HttpOnly; SameSite=Strict");
        all.insert(token.clone(), browser);
        Some((HeaderValue::from_str(&cookie).ok()?, token))
    }

    /// Shows something else on the screen.
    pub(crate) fn show(&self, token: &str, screen: Screen) {
        if let Some(browser) = self.all().get_mut(token) {
            browser.screen = screen;
        }
    }

    /// Who may come back to this browser.
    pub(crate) fn waiting(&self, token: &str) -> Vec<Waiting> {
        let all = self.all();
        let Some(browser) = all.get(token) else { return Vec::new() };
        let chairs = browser.chairs.iter().enumerate();
        chairs
            .filter(|(_, chair)| chair.desk.is_signed_in())
            .map(|(place, chair)| Waiting {
                place,
                name: chair.desk.name().to_owned(),
                has_pin: chair.pin.is_some(),
            })
            .collect()
    }

    /// Whether this is a browser at this device, or on this machine.
    pub(crate) fn is_at(&self, token: &str, device: Option<DeviceId>) -> bool {
        self.all().get(token).is_some_and(|browser| browser.at == device)
    }

    /// From now on this browser is at this device.
    pub(crate) fn bind(&self, token: &str, device: DeviceId) {
        if let Some(browser) = self.all().get_mut(token) {
            browser.at = Some(device);
        }
    }

    /// Forgets every browser at a device, and gives back who had signed in there.
    pub(crate) fn end_at(&self, device: DeviceId) -> Vec<Desk> {
        let mut all = self.all();
        let gone: Vec<String> =
            all.iter().filter(|(_, one)| one.at == Some(device)).map(|(token, _)| token.clone()).collect();
        let browsers = gone.iter().filter_map(|token| all.remove(token));
        browsers.flat_map(|browser| browser.chairs).map(|chair| chair.desk).collect()
    }

    /// Anybody who is signed in, at a locked screen too.
    pub(crate) fn anybody(&self) -> Option<Desk> {
        let all = self.all();
        let chairs = all.values().flat_map(|browser| &browser.chairs);
        chairs.map(|chair| &chair.desk).find(|desk| desk.is_signed_in()).cloned()
    }

    /// Tries a PIN.
    pub(crate) fn unlock(&self, token: &str, place: usize, pin: &str, tries: u32) -> Unlocked {
        let mut all = self.all();
        let Some(browser) = all.get_mut(token) else { return Unlocked::NoPin };
        let Some(chair) = browser.chairs.get_mut(place).filter(|chair| chair.desk.is_signed_in()) else {
            return Unlocked::NoPin;
        };
        let Some(known) = &chair.pin else { return Unlocked::NoPin };
        if same(known, pin) {
            chair.wrong = 0;
            let desk = chair.desk.clone();
            browser.active = Some(place);
            browser.screen = Screen::Open;
            browser.touched = Instant::now();
            return Unlocked::Yes(desk);
        }
        chair.wrong += 1;
        let left = tries.saturating_sub(chair.wrong);
        if left > 0 {
            return Unlocked::No(left);
        }
        let chair = browser.chairs.remove(place);
        browser.active = None;
        browser.screen = Screen::Locked;
        Unlocked::Out(chair.desk)
    }

    /// The one who sits here gets up; what they typed and did not save goes with them.
    pub(crate) fn leave(&self, token: &str) -> Option<Desk> {
        let mut all = self.all();
        let browser = all.get_mut(token)?;
        let place = browser.active.take()?;
        browser.screen = Screen::Open;
        let desk = browser.chairs.remove(place).desk;
        browser.kept.remove(&desk.account());
        Some(desk)
    }

    /// What the one who sits here typed and did not save.
    pub(crate) fn kept<T>(&self, token: &str, with: impl FnOnce(&mut Kept) -> T) -> Option<T> {
        let mut all = self.all();
        let browser = all.get_mut(token)?;
        let account = browser.chairs.get(browser.active?)?.desk.account();
        Some(with(browser.kept.entry(account).or_default()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    async fn at_a_browser() -> (Browsers, String) {
        let today = std::sync::Arc::new(|| jiff::civil::date(2026, 2, 4));
        let clinic = clinic::Clinic::demo(today).await.unwrap_or_else(|error| panic!("{error}"));
        let signed = clinic.sign_in(clinic::DEMO_NAME, clinic::DEMO_PASSPHRASE).await;
        let Ok(clinic::Admitted::Welcome(desk)) = signed else { panic!("the invented clinic opens") };
        let browsers = Browsers::default();
        let (token, ..) = browsers.admit();
        let (_, token) = browsers.sit(&token, desk, None).unwrap_or_else(|| panic!("a seat"));
        (browsers, token)
    }

    #[tokio::test]
    async fn a_screen_that_was_not_touched_for_too_long_is_locked_by_the_next_request() {
        let (browsers, token) = at_a_browser().await;
        let hour = Duration::from_secs(3600);
        assert!(matches!(browsers.look(&token, hour, false), Some((_, Screen::Open, false))));
        assert!(matches!(browsers.look(&token, Duration::ZERO, false), Some((_, Screen::Locked, true))));
        assert!(matches!(browsers.look(&token, hour, false), Some((_, Screen::Locked, false))));
    }

    #[tokio::test]
    async fn a_screen_in_the_hands_of_a_patient_locks_as_well() {
        let (browsers, token) = at_a_browser().await;
        browsers.show(&token, Screen::HandedOver(PersonId::CLINIC));
        assert!(matches!(browsers.look(&token, Duration::ZERO, false), Some((_, Screen::Locked, true))));
    }

    #[tokio::test]
    async fn signing_in_changes_the_cookie_and_what_forms_carry() {
        let (browsers, token) = at_a_browser().await;
        let (other, _, form) = browsers.admit();
        assert_ne!(token, other);
        assert!(!browsers.form_is(&token, &form), "a form of one browser is worth nothing in another");
        assert!(browsers.form_of(&other).is_some_and(|known| browsers.form_is(&other, &known)));
    }
}
