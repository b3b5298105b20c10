//! The clinic's own certificate: an authority made once, and a certificate of this machine that it signs.
//!
//! The authority may only vouch for addresses and names of a network of one's own, so that a device which trusts
//! it trusts nothing else by it. Why the keys lie beside the records and not in them stands in `DESIGN.md`.

use std::fs::{File, OpenOptions};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use jiff::ToSpan;
use jiff::civil::Date;
use rcgen::{
    BasicConstraints, CertificateParams, CidrSubnet, DistinguishedName, DnType, ExtendedKeyUsagePurpose,
    GeneralSubtree, IsCa, Issuer, KeyPair, KeyUsagePurpose, NameConstraints, PKCS_ECDSA_P256_SHA256,
};
use serde::{Deserialize, Serialize};
use tokio_rustls::rustls::ServerConfig;
use tokio_rustls::rustls::crypto::ring::{cipher_suite, default_provider};
use tokio_rustls::rustls::pki_types::{CertificateDer, PrivateKeyDer, PrivatePkcs8KeyDer};

use super::place::{PRIVATE_NAMES, PRIVATE_NETWORKS};
use crate::browsers::chance;

/// Years that a device may trust the authority.
const AUTHORITY_YEARS: i64 = 10;
/// Days of a certificate: browsers take none of a server that lasts longer than 398 (common practice).
const SERVER_DAYS: i64 = 397;
/// It is made anew when so few days are left.
const RENEW_DAYS: i64 = 60;

/// Keys and certificates as they lie beside the records; bytes in hexadecimal digits.
#[derive(Serialize, Deserialize)]
struct Stored {
    format: u32,
    name: String,
    until: Date,
    certificate: String,
    key: String,
    server: Option<Server>,
}

#[derive(Serialize, Deserialize)]
struct Server {
    hosts: Vec<String>,
    until: Date,
    certificate: String,
    key: String,
}

/// The newest form of the file.
const FORMAT: u32 = 1;

/// What the server shows, and what may be compared with it.
pub(super) struct Identity {
    pub(super) config: Arc<ServerConfig>,
    /// SHA-256 of the certificate of this machine, in pairs of digits.
    pub(super) fingerprint: String,
    /// SHA-256 of the authority.
    pub(super) authority_fingerprint: String,
    /// The authority, for a device that is to trust it.
    pub(super) authority: Vec<u8>,
}

/// Where keys and certificates lie: beside the records.
pub(super) fn beside(records: &Path) -> PathBuf {
    let mut name = records.file_name().unwrap_or_default().to_owned();
    name.push(".network");
    records.with_file_name(name)
}

/// The certificate for these hosts on this day; what is not there yet, or nearly over, is made.
///
/// # Errors
/// What stands in the way and what to do, in one sentence.
pub(super) fn identity(file: &Path, hosts: &[String], today: Date) -> Result<Identity, String> {
    let mut changed = false;
    let mut stored = match read(file)? {
        Some(stored) if today < stored.until => stored,
        _ => {
            changed = true;
            new_authority(today)?
        }
    };
    let serves = |server: &Server| {
        server.hosts == hosts
            && today.saturating_add(RENEW_DAYS.days()) < server.until
            && server.until < stored.until
    };
    let server = match stored.server.take().filter(serves) {
        Some(server) => server,
        None => {
            changed = true;
            new_server(&stored, hosts, today)?
        }
    };
    let identity = of(&stored, &server)?;
    stored.server = Some(server);
    if changed {
        write(file, &stored)?;
    }
    Ok(identity)
}

fn of(stored: &Stored, server: &Server) -> Result<Identity, String> {
    let (authority, own) = (unhex(&stored.certificate)?, unhex(&server.certificate)?);
    let key = PrivateKeyDer::Pkcs8(PrivatePkcs8KeyDer::from(unhex(&server.key)?));
    let chain = vec![CertificateDer::from(own.clone()), CertificateDer::from(authority.clone())];
    let config = ServerConfig::builder_with_provider(Arc::new(default_provider()))
        .with_safe_default_protocol_versions()
        .and_then(|builder| builder.with_no_client_auth().with_single_cert(chain, key))
        .map_err(|error| format!("the certificate of this machine cannot be used: {error}"))?;
    Ok(Identity {
        config: Arc::new(config),
        fingerprint: fingerprint(&own),
        authority_fingerprint: fingerprint(&authority),
        authority,
    })
}

fn failed(error: rcgen::Error) -> String {
    format!("a certificate could not be made: {error}; start again")
}

fn moment(day: Date) -> Result<(i32, u8, u8), String> {
    let part = |value: i8| u8::try_from(value).map_err(|_| format!("{day} is no day of a certificate"));
    Ok((i32::from(day.year()), part(day.month())?, part(day.day())?))
}

/// From the day before, for a device whose clock is behind, up to a day.
fn lasting(mut params: CertificateParams, today: Date, until: Date) -> Result<CertificateParams, String> {
    let (year, month, day) = moment(today.saturating_sub(1.day()))?;
    params.not_before = rcgen::date_time_ymd(year, month, day);
    let (year, month, day) = moment(until)?;
    params.not_after = rcgen::date_time_ymd(year, month, day);
    Ok(params)
}

fn called(name: &str) -> DistinguishedName {
    let mut full = DistinguishedName::new();
    full.push(DnType::CommonName, name);
    full
}

/// What the authority is, but for the days it lasts.
fn authority_params(name: &str) -> Result<CertificateParams, String> {
    let mut params = CertificateParams::default();
    params.distinguished_name = called(name);
    params.is_ca = IsCa::Ca(BasicConstraints::Constrained(0));
    params.key_usages = vec![KeyUsagePurpose::KeyCertSign, KeyUsagePurpose::CrlSign];
    let mut permitted: Vec<GeneralSubtree> =
        PRIVATE_NAMES.iter().map(|name| GeneralSubtree::DnsName((*name).to_owned())).collect();
    for (network, prefix) in PRIVATE_NETWORKS {
        let network = network.parse().map_err(|error| format!("`{network}` is no network: {error}"))?;
        permitted.push(GeneralSubtree::IpAddress(CidrSubnet::from_addr_prefix(network, prefix)));
    }
    params.name_constraints =
        Some(NameConstraints { permitted_subtrees: permitted, excluded_subtrees: Vec::new() });
    Ok(params)
}

fn new_authority(today: Date) -> Result<Stored, String> {
    let name = format!("Footrose in this clinic {}", &chance()[..6]);
    let until = today.saturating_add(AUTHORITY_YEARS.years());
    let key = KeyPair::generate().map_err(failed)?;
    let params = lasting(authority_params(&name)?, today, until)?;
    let certificate = params.self_signed(&key).map_err(failed)?;
    let (certificate, key) = (hex(certificate.der()), hex(&key.serialize_der()));
    Ok(Stored { format: FORMAT, name, until, certificate, key, server: None })
}

fn new_server(stored: &Stored, hosts: &[String], today: Date) -> Result<Server, String> {
    let until = today.saturating_add(SERVER_DAYS.days()).min(stored.until.saturating_sub(1.day()));
    let der = PrivatePkcs8KeyDer::from(unhex(&stored.key)?);
    let signer = KeyPair::from_pkcs8_der_and_sign_algo(&der, &PKCS_ECDSA_P256_SHA256).map_err(failed)?;
    let issuer = Issuer::new(authority_params(&stored.name)?, signer);
    let key = KeyPair::generate().map_err(failed)?;
    let mut params = lasting(CertificateParams::new(hosts.to_vec()).map_err(failed)?, today, until)?;
    params.distinguished_name = called("Footrose on this machine");
    params.key_usages = vec![KeyUsagePurpose::DigitalSignature];
    params.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
    params.use_authority_key_identifier_extension = true;
    let certificate = params.signed_by(&key, &issuer).map_err(failed)?;
    let (certificate, key) = (hex(certificate.der()), hex(&key.serialize_der()));
    Ok(Server { hosts: hosts.to_vec(), until, certificate, key })
}

fn read(file: &Path) -> Result<Option<Stored>, String> {
    let shown = file.display();
    let text = match std::fs::read_to_string(file) {
        Ok(text) => text,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(format!("`{shown}` with the keys of the network cannot be read: {error}")),
    };
    check_private(file)?;
    let anew = "move it away, and a new one is made; every device then has to compare the fingerprint again";
    let stored: Stored = serde_json::from_str(&text)
        .map_err(|error| format!("`{shown}` is not what was written: {error}; {anew}"))?;
    if stored.format == FORMAT {
        Ok(Some(stored))
    } else {
        Err(format!("`{shown}` has format {}, this version knows {FORMAT}; {anew}", stored.format))
    }
}

/// Whoever else can read the file can pretend to be this machine.
#[cfg(unix)]
fn check_private(file: &Path) -> Result<(), String> {
    use std::os::unix::fs::PermissionsExt;
    let shown = file.display();
    let mode = std::fs::metadata(file)
        .map_err(|error| format!("`{shown}` cannot be looked at: {error}"))?
        .permissions()
        .mode();
    if mode & 0o077 == 0 {
        return Ok(());
    }
    Err(format!(
        "`{shown}` holds the keys of the network and may be read by others on this machine (mode {:03o}); run \
         `chmod 600 {shown}`, or move it away so that new keys are made",
        mode & 0o777
    ))
}

/// Elsewhere the folder has to keep others out.
#[cfg(not(unix))]
fn check_private(_file: &Path) -> Result<(), String> {
    Ok(())
}

/// Writes under another name, for the owner alone, and puts it in place when it is whole.
fn write(file: &Path, stored: &Stored) -> Result<(), String> {
    let unfinished = file.with_extension("network.unfinished");
    let put = || -> std::io::Result<()> {
        let mut options = OpenOptions::new();
        options.write(true).create_new(true);
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
        // What a killed process left behind.
        let _ = std::fs::remove_file(&unfinished);
        let mut new: File = options.open(&unfinished)?;
        new.write_all(&serde_json::to_vec_pretty(stored)?)?;
        new.sync_all()?;
        std::fs::rename(&unfinished, file)
    };
    put().map_err(|error| {
        format!(
            "the keys of the network cannot be written to `{}`: {error}; let this program write there",
            file.display()
        )
    })
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

fn unhex(text: &str) -> Result<Vec<u8>, String> {
    let pair = |at: usize| text.get(at..at + 2).and_then(|pair| u8::from_str_radix(pair, 16).ok());
    (0..text.len()).step_by(2).map(pair).collect::<Option<_>>().ok_or_else(|| {
        "the file with the keys of the network is damaged; move it away, and a new one is made".to_owned()
    })
}

/// SHA-256 in pairs of digits, as browsers show it.
fn fingerprint(certificate: &[u8]) -> String {
    let hash = cipher_suite::TLS13_CHACHA20_POLY1305_SHA256
        .tls13()
        .map(|suite| suite.common.hash_provider.hash(certificate));
    let bytes = hash.as_ref().map_or(&[][..], |hash| hash.as_ref());
    let pairs: Vec<String> = bytes.iter().map(|byte| format!("{byte:02X}")).collect();
    pairs.join(":")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folder(name: &str) -> PathBuf {
        let path = std::env::temp_dir().join(format!("web-authority-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&path);
        std::fs::create_dir_all(&path).expect("a folder for a test");
        path
    }

    const TODAY: Date = jiff::civil::date(2026, 2, 4);

    fn hosts(of: &[&str]) -> Vec<String> {
        of.iter().map(|host| (*host).to_owned()).collect()
    }

    #[test]
    fn the_certificate_stays_until_it_is_nearly_over_or_the_address_changes_and_the_authority_longer() {
        let folder = folder("stays");
        let file = beside(&folder.join("a.footrose"));
        let one = |hosts: &[String], day| identity(&file, hosts, day).expect("a certificate");
        let here = hosts(&["192.168.1.20"]);
        let first = one(&here, TODAY);
        assert_eq!(first.fingerprint.len(), 32 * 3 - 1);
        let again = one(&here, TODAY.saturating_add(300.days()));
        assert_eq!(again.fingerprint, first.fingerprint);
        let later = one(&here, TODAY.saturating_add(340.days()));
        assert_ne!(later.fingerprint, first.fingerprint);
        let elsewhere = one(&hosts(&["192.168.1.21"]), TODAY);
        assert_ne!(elsewhere.fingerprint, later.fingerprint);
        assert_eq!(elsewhere.authority_fingerprint, first.authority_fingerprint);
        let after = one(&here, TODAY.saturating_add(11.years()));
        assert_ne!(after.authority_fingerprint, first.authority_fingerprint);
        std::fs::remove_dir_all(folder).expect("removed");
    }

    #[test]
    fn a_file_of_keys_that_is_damaged_is_refused_and_left_as_it_is() {
        let folder = folder("damaged");
        let file = beside(&folder.join("a.footrose"));
        identity(&file, &hosts(&["10.0.0.1"]), TODAY).map(drop).expect("made");
        let whole = std::fs::read_to_string(&file).expect("read");
        let half = &whole[..whole.len() / 2];
        std::fs::write(&file, half).expect("cut short");
        let said = identity(&file, &hosts(&["10.0.0.1"]), TODAY).map(drop).expect_err("damaged");
        assert!(said.contains("move it away, and a new one is made"), "{said}");
        assert_eq!(std::fs::read_to_string(&file).expect("read"), half);
        std::fs::remove_dir_all(folder).expect("removed");
    }

    #[cfg(unix)]
    #[test]
    fn keys_are_for_the_owner_alone_and_refused_when_others_may_read_them() {
        use std::os::unix::fs::PermissionsExt;
        let folder = folder("mode");
        let file = beside(&folder.join("a.footrose"));
        identity(&file, &hosts(&["10.0.0.1"]), TODAY).map(drop).expect("made");
        let mode = std::fs::metadata(&file).expect("there").permissions().mode();
        assert_eq!(mode & 0o777, 0o600);
        std::fs::set_permissions(&file, std::fs::Permissions::from_mode(0o644)).expect("opened to others");
        let said = identity(&file, &hosts(&["10.0.0.1"]), TODAY).map(drop).expect_err("open to others");
        assert!(said.contains("(mode 644)") && said.contains("chmod 600"), "{said}");
        std::fs::remove_dir_all(folder).expect("removed");
    }
}
