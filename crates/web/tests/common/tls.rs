//! A workbench on a network of its own, and a device that asks it over TLS.

use std::net::SocketAddr;
use std::sync::Arc;

use clinic::Clinic;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;
use tokio::sync::oneshot;
use tokio::task::JoinHandle;
use tokio_rustls::TlsConnector;
use tokio_rustls::rustls::pki_types::{CertificateDer, ServerName};
use tokio_rustls::rustls::{ClientConfig, RootCertStore, crypto::ring::default_provider};
use web::{NetworkOptions, ServeOptions, serve};

use super::Page;

/// A workbench that serves both doors.
pub struct Both {
    /// `127.0.0.1:PORT` of this machine.
    pub here: String,
    /// `127.0.0.1:PORT` of the network.
    pub network: String,
    pub fingerprint: String,
    authority: Vec<u8>,
    stop: Option<oneshot::Sender<()>>,
    running: JoinHandle<()>,
}

impl Both {
    pub async fn begin(clinic: Arc<Clinic>) -> Self {
        let network = NetworkOptions {
            address: Some("127.0.0.1:0".to_owned()),
            names: vec!["reception.local".to_owned()],
        };
        let served =
            serve(ServeOptions { clinic, port: 0, network: Some(network) }).await.expect("it is served");
        let bare =
            |address: &str| address.split("//").nth(1).expect("an address").trim_end_matches('/').to_owned();
        let (here, network) = (bare(&served.address()), bare(&served.network_addresses()[0]));
        let fingerprint = served.fingerprint().expect("a certificate").to_owned();
        let authority = served.authority().expect("an authority").to_vec();
        let (stop, stopped) = oneshot::channel::<()>();
        let running = tokio::spawn(async move {
            let told = async move {
                let _ = stopped.await;
            };
            served.run(told).await.expect("it ends well");
        });
        Self { here, network, fingerprint, authority, stop: Some(stop), running }
    }

    /// Ends it, and waits until the records are closed.
    pub async fn end(mut self) {
        self.stop.take().expect("it runs").send(()).expect("it listens");
        self.running.await.expect("it ends");
    }

    /// A device that trusts the authority of this clinic and nobody else.
    pub fn device(&self) -> Device {
        Device {
            at: self.network.clone(),
            tls: Some(self.connector()),
            cookies: Vec::new(),
            origin: format!("https://{}", self.network),
        }
    }

    /// A browser on the machine itself.
    pub fn machine(&self) -> Device {
        Device {
            at: self.here.clone(),
            tls: None,
            cookies: Vec::new(),
            origin: format!("http://{}", self.here),
        }
    }

    fn connector(&self) -> TlsConnector {
        let mut roots = RootCertStore::empty();
        roots.add(CertificateDer::from(self.authority.clone())).expect("a certificate");
        let config = ClientConfig::builder_with_provider(Arc::new(default_provider()))
            .with_safe_default_protocol_versions()
            .expect("versions")
            .with_root_certificates(roots)
            .with_no_client_auth();
        TlsConnector::from(Arc::new(config))
    }

    /// Whether the certificate is good for a name.
    pub async fn vouches_for(&self, name: &'static str) -> bool {
        let stream = TcpStream::connect(self.network.parse::<SocketAddr>().expect("an address"))
            .await
            .expect("it listens");
        let name = ServerName::try_from(name).expect("a name");
        self.connector().connect(name, stream).await.is_ok()
    }
}

/// A browser with its cookies, over TLS or not.
#[derive(Clone)]
pub struct Device {
    pub at: String,
    tls: Option<TlsConnector>,
    pub cookies: Vec<(String, String)>,
    pub origin: String,
}

impl Device {
    /// A cookie it holds.
    pub fn cookie(&self, name: &str) -> Option<String> {
        self.cookies.iter().find(|(known, _)| known == name).map(|(_, value)| value.clone())
    }

    /// Asks for a page.
    pub async fn get(&mut self, path: &str) -> Page {
        let host = self.at.clone();
        self.ask("GET", path, &host, "").await
    }

    /// Sends a form.
    pub async fn post(&mut self, path: &str, fields: &[(&str, &str)]) -> Page {
        let pairs: Vec<String> = fields
            .iter()
            .map(|(name, value)| format!("{}={}", super::escaped(name), super::escaped(value)))
            .collect();
        let host = self.at.clone();
        self.ask("POST", path, &host, &pairs.join("&")).await
    }

    /// Opens a page, fills its form and sends it: token and key come from the page.
    pub async fn send(&mut self, page: &str, action: &str, fields: &[(&str, &str)]) -> Page {
        let hidden = self.get(page).await.hidden();
        let hidden = hidden.iter().map(|(name, value)| (name.as_str(), value.as_str()));
        let all: Vec<(&str, &str)> = hidden.chain(fields.iter().copied()).collect();
        self.post(action, &all).await
    }

    /// Signs in.
    pub async fn sign_in(&mut self, name: &str, passphrase: &str) -> Page {
        self.send("/sign-in", "/sign-in", &[("name", name), ("passphrase", passphrase), ("pin", "")]).await
    }

    /// Asks anything, with a host that may be another.
    pub async fn ask(&mut self, method: &str, path: &str, host: &str, body: &str) -> Page {
        let cookies: Vec<String> =
            self.cookies.iter().map(|(name, value)| format!("{name}={value}")).collect();
        let mut head = format!("{method} {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n");
        if !cookies.is_empty() {
            head.push_str(&format!("Cookie: {}\r\n", cookies.join("; ")));
        }
        if method != "GET" {
            head.push_str(&format!(
                "Origin: {}\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n",
                self.origin,
                body.len()
            ));
        }
        let answer = self.raw(&format!("{head}\r\n{body}")).await;
        let page = read(&answer);
        for set in page.headers.get_all("set-cookie") {
            let text = set.to_str().expect("text");
            let (name, value) =
                text.split(';').next().and_then(|pair| pair.split_once('=')).expect("a cookie");
            self.cookies.retain(|(known, _)| known != name);
            self.cookies.push((name.to_owned(), value.to_owned()));
        }
        page
    }

    async fn raw(&self, asked: &str) -> String {
        let address = self.at.parse::<SocketAddr>().expect("an address");
        let mut stream = TcpStream::connect(address).await.expect("it listens");
        let mut answer = Vec::new();
        match &self.tls {
            None => {
                stream.write_all(asked.as_bytes()).await.expect("sent");
                stream.read_to_end(&mut answer).await.expect("answered");
            }
            Some(tls) => {
                let name = ServerName::from(address.ip());
                let mut stream = tls.connect(name, stream).await.expect("TLS that the authority vouches for");
                stream.write_all(asked.as_bytes()).await.expect("sent");
                stream.read_to_end(&mut answer).await.expect("answered");
            }
        }
        // A typeface is no text; what is looked at of it is its head.
        String::from_utf8_lossy(&answer).into_owned()
    }
}

/// Without TLS, to whatever listens there.
pub async fn plain(at: &str) -> String {
    let mut stream =
        TcpStream::connect(at.parse::<SocketAddr>().expect("an address")).await.expect("it listens");
    // In pieces, as a slow network brings it: the answer comes when the question is whole.
    for piece in ["GET / HT", "TP/1.1\r\nHost: ", at, "\r\n\r", "\n"] {
        stream.write_all(piece.as_bytes()).await.expect("sent");
        tokio::time::sleep(std::time::Duration::from_millis(20)).await;
    }
    let mut answer = String::new();
    stream.read_to_string(&mut answer).await.expect("answered");
    answer
}

fn read(answer: &str) -> Page {
    let (head, body) = answer.split_once("\r\n\r\n").unwrap_or_else(|| panic!("no answer: {answer}"));
    let mut lines = head.lines();
    let status = lines.next().and_then(|line| line.split(' ').nth(1)).expect("a status");
    let mut headers = axum::http::HeaderMap::new();
    for line in lines {
        let (name, value) = line.split_once(": ").expect("a header");
        let name = axum::http::HeaderName::from_bytes(name.as_bytes()).expect("a name");
        headers.append(name, value.parse().expect("a value"));
    }
    let status = axum::http::StatusCode::from_bytes(status.as_bytes()).expect("a number");
    Page { status, headers, body: body.to_owned() }
}
