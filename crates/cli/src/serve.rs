//! The workbench from a terminal: serving it, and what is done to its file without a browser.

use std::future::Future;
use std::path::Path;
use std::sync::Arc;

use clinic::{Admitted, Chain, Clinic, DEMO_NAME, DEMO_PASSPHRASE, Desk, First, Opening};
use web::{NetworkOptions, ServeError, ServeOptions, Served, serve as bind, serve_on};

use crate::args::{ClinicArgs, PlaceArgs, RecordsArgs};
use crate::end::{End, Failure};
use crate::{say, terminal};

fn refused(error: impl std::fmt::Display) -> Failure {
    Failure::Records(error.to_string())
}

/// Begins this program once more in its place with few heaps ([`web::HEAPS`]), unless somebody set how many. Same
/// process, same input and output; where that is refused it goes on as it is, with more memory.
#[cfg(target_os = "linux")]
fn with_few_heaps() {
    use std::os::unix::process::CommandExt;
    let (name, most) = web::HEAPS;
    if std::env::var_os(name).is_none()
        && let Ok(program) = std::env::current_exe()
    {
        // Comes back only when it failed.
        let _ = std::process::Command::new(program).args(std::env::args_os().skip(1)).env(name, most).exec();
    }
}

#[cfg(not(target_os = "linux"))]
fn with_few_heaps() {}

fn wait<T>(work: impl Future<Output = Result<T, Failure>>) -> Result<T, Failure> {
    let runtime = web::runtime().map_err(refused)?;
    runtime.block_on(work)
}

/// The workbench with the invented clinic, which is thrown away at the end.
pub fn invented(place: PlaceArgs) -> Result<End, Failure> {
    with_few_heaps();
    wait(async {
        let clinic = Clinic::demo(Opening::usual().today).await.map_err(refused)?;
        let said = format!(
            "An invented clinic with thirteen invented people, in a file that is thrown away at the end.\n\
             Sign in as {DEMO_NAME} with the passphrase: {DEMO_PASSPHRASE}\n"
        );
        let served = bind(ServeOptions { clinic, port: place.port, network: None }).await.map_err(refused)?;
        run(served, place, &said).await
    })
}

/// The workbench over a file of records. One that is not there yet is created: in the browser, or in the terminal
/// where that is asked for.
pub fn serve(
    records: &RecordsArgs,
    place: PlaceArgs,
    of_clinic: &ClinicArgs,
    in_terminal: bool,
) -> Result<End, Failure> {
    with_few_heaps();
    wait(async {
        let asked = NetworkOptions { address: of_clinic.address.clone(), names: of_clinic.names.clone() };
        let network = of_clinic.clinic.then_some(asked);
        if let Some(asked) = &network {
            // Before a file is created, so that a slip of the address does not end after the recovery key.
            asked.check().map_err(refused)?;
        }
        let on_port = async |clinic| -> Result<Served, ServeError> {
            bind(ServeOptions { clinic, port: place.port, network: network.clone() }).await
        };
        let mut place = place;
        let served = if records.records.exists() {
            on_port(Clinic::open(&records.records, Opening::usual()).await.map_err(refused)?).await
        } else if in_terminal || records.name.is_some() {
            on_port(create(records).await?).await
        } else {
            let Some((clinic, listener)) = create_in_browser(records, place).await? else {
                say::text("Nothing was created.\n");
                return Ok(End::Done);
            };
            // The browser is at work there already.
            place.open = false;
            serve_on(listener, clinic, network.as_ref()).await
        };
        let said = format!("The records in {}.\n", records.records.display());
        run(served.map_err(refused)?, place, &said).await
    })
}

/// Serves the page on which a file is created with its first account.
async fn create_in_browser(
    records: &RecordsArgs,
    place: PlaceArgs,
) -> Result<Option<(Arc<Clinic>, tokio::net::TcpListener)>, Failure> {
    let path = records.records.clone();
    let first = web::first_use(path, Opening::usual(), place.port).await.map_err(refused)?;
    let address = first.address();
    say::text(&format!(
        "`{}` is not there yet. Create it, with the account of a first clinician, on this page:\n\
         Open {address} in a browser on this machine. Ctrl+C ends it; --terminal asks here instead.\n",
        records.records.display()
    ));
    if place.open {
        open(&address);
    }
    first.run(asked_to_end()).await.map_err(refused)
}

/// Creates a file with its first account, and prints the recovery key once.
async fn create(records: &RecordsArgs) -> Result<Arc<Clinic>, Failure> {
    say::error(&format!(
        "`{}` is not there yet and is created now, with the account of a first clinician.",
        records.records.display()
    ));
    let name = name(records)?;
    let passphrase = terminal::hidden("A passphrase of at least 12 characters")?;
    if terminal::hidden("The same passphrase again")? != passphrase {
        return Err(Failure::Records(
            "the two passphrases differ, so nothing was created; start again".to_owned(),
        ));
    }
    let first = First { name: &name, passphrase: &passphrase };
    let (clinic, desk, recovery) =
        Clinic::create(&records.records, Opening::usual(), first).await.map_err(refused)?;
    desk.sign_out().await.map_err(refused)?;
    say::text(&format!(
        "The recovery key, shown this once and stored nowhere. Write it down and lock it away:\n\n    {recovery}\n\n"
    ));
    Ok(clinic)
}

fn name(records: &RecordsArgs) -> Result<String, Failure> {
    records.name.clone().map_or_else(|| terminal::line("Your name"), Ok)
}

async fn run(served: Served, place: PlaceArgs, said: &str) -> Result<End, Failure> {
    let address = served.address();
    if let Some(fingerprint) = served.fingerprint() {
        say::text(&format!(
            "Devices of the clinic's network open {}\nTheir browser shows a certificate with this fingerprint \
             (SHA-256); another one is another machine:\n    {fingerprint}\nAdmit each of them once under Clinic, \
             Devices.\n",
            served.network_addresses().join(" or ")
        ));
    }
    say::text(&format!("{said}Open {address} in a browser on this machine. Ctrl+C ends it.\n"));
    if place.open {
        open(&address);
    }
    served.run(asked_to_end()).await.map_err(refused)?;
    say::text("Everything is saved, and everybody is signed out.\n");
    Ok(End::Done)
}

/// Ctrl+C, or the word of the system that it is time.
async fn asked_to_end() {
    let key = tokio::signal::ctrl_c();
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        if let Ok(mut terminated) = signal(SignalKind::terminate()) {
            tokio::select! {
                _ = key => {}
                _ = terminated.recv() => {}
            }
            return;
        }
    }
    let _ = key.await;
}

fn open(address: &str) {
    let program = if cfg!(target_os = "macos") {
        "open"
    } else if cfg!(windows) {
        "explorer"
    } else {
        "xdg-open"
    };
    if std::process::Command::new(program).arg(address).spawn().is_err() {
        say::error(&format!("No browser could be opened; type {address} into one."));
    }
}

/// Signs in on the terminal.
async fn sign_in(records: &RecordsArgs) -> Result<(Arc<Clinic>, Desk), Failure> {
    let clinic = Clinic::open(&records.records, Opening::usual()).await.map_err(refused)?;
    let name = name(records)?;
    let passphrase = terminal::hidden("Your passphrase")?;
    match clinic.sign_in(&name, &passphrase).await.map_err(refused)? {
        Admitted::Welcome(desk) => Ok((clinic, desk)),
        Admitted::Refused { .. } => {
            Err(Failure::Records("name and passphrase do not belong together; type both again".to_owned()))
        }
        Admitted::Wait { wait } => Err(Failure::Records(format!(
            "too many tries that were wrong; wait {:.0} s, then type both again",
            wait.as_secs_f64().ceil()
        ))),
    }
}

/// Walks the chain of the audit.
pub fn verify(records: &RecordsArgs) -> Result<End, Failure> {
    wait(async {
        let (clinic, desk) = sign_in(records).await?;
        let chain = desk.verify_audit().await.map_err(refused)?;
        clinic.close().await.map_err(refused)?;
        Ok(match chain {
            Chain::Intact { length, head } => {
                say::text(&format!("The audit is whole: {length} entries. Its end: {head}\n"));
                End::Done
            }
            Chain::Broken { at, how } => {
                say::text(&format!("The audit is broken at entry {at}: {how:?}. Keep the file.\n"));
                End::AuditBroken
            }
        })
    })
}

/// Makes a backup.
pub fn backup(records: &RecordsArgs, to: &Path) -> Result<End, Failure> {
    wait(async {
        let (clinic, desk) = sign_in(records).await?;
        let made = desk.backup(to).await.map_err(refused)?;
        clinic.close().await.map_err(refused)?;
        say::text(&format!(
            "wrote {}\nwrote {}\n{} records, read back whole. Copy the folder as a whole.\n",
            made.file.display(),
            made.keys.display(),
            made.records
        ));
        Ok(End::Done)
    })
}

/// Makes a new file from a backup.
pub fn restore(backup: &Path, records: &Path) -> Result<End, Failure> {
    wait(async {
        clinic::restore(backup, records).await.map_err(refused)?;
        say::text(&format!("wrote {}\nSign in to it once, to see that all is there.\n", records.display()));
        Ok(End::Done)
    })
}
