//! Backups that are made by themselves: at signing in and unlocking, and again while the program runs.

use std::time::Duration;

use clinic::Desk;

use crate::Web;

/// How often somebody is looked for at whose desk a backup can be made.
const LOOK_AGAIN: Duration = Duration::from_secs(10 * 60);

/// Makes a backup beside the work of this desk, if one is due. Nobody waits for it; what became of it is
/// shown under Today and Clinic.
pub(crate) fn nudge(web: &Web, desk: &Desk) {
    let (desk, settings) = (desk.clone(), web.settings());
    tokio::spawn(async move {
        // Whoever signed out meanwhile makes none; the next one to sign in does.
        let _ = desk.backup_if_due(&settings).await;
    });
}

/// Goes on for as long as the program serves. While nobody is signed in there is no key to make one with.
pub(crate) async fn keep(web: Web) {
    loop {
        tokio::time::sleep(LOOK_AGAIN).await;
        if let Some(desk) = web.browsers.anybody() {
            nudge(&web, &desk);
        }
    }
}
