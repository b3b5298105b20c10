//! Binds to this machine only, serves until told to stop, and closes the records.

use std::net::{Ipv4Addr, SocketAddr};
use std::sync::{Arc, RwLock};
use std::time::Duration;

use axum::Router;
use clinic::{Clinic, Settings};
use tokio::net::TcpListener;

use crate::guard::Door;

use crate::{
    Inner, NetworkOptions, Web, assets, browsers, clinic_pages, guard, hand_over, keeper, network, patience,
    people, person, reckon, recover, sign_in, today,
};

/// Devices of the network get so long for the answers that they wait for when the program ends.
const LAST_ANSWERS: Duration = Duration::from_secs(5);

/// Threads beside those of the cores for what takes long: a survey, a passphrase, a backup, and one to spare.
const BESIDE: usize = 4;

/// How many heaps the allocator of Linux may keep, as a variable of the environment that it reads when a program
/// begins. Without it nearly every thread keeps one of its own, and serving takes a third more memory (measured in
/// `docs/LOAD.md`). Other systems do not know it and need no such thing.
pub const HEAPS: (&str, &str) = ("MALLOC_ARENA_MAX", "2");

/// What serving runs on. Long work gets few threads: it waits for the cores anyway.
///
/// # Errors
/// The system gives no threads.
pub fn runtime() -> std::io::Result<tokio::runtime::Runtime> {
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    tokio::runtime::Builder::new_multi_thread().enable_all().max_blocking_threads(cores + BESIDE).build()
}

/// What is served and where.
pub struct ServeOptions {
    /// The records.
    pub clinic: Arc<Clinic>,
    /// The port on 127.0.0.1; 0 takes any that is free.
    pub port: u16,
    /// The clinic's network, if its devices are to come in.
    pub network: Option<NetworkOptions>,
}

/// Why nothing was served.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// The port is taken, or may not be used.
    #[error("127.0.0.1:{port} cannot be used: {why}; name another port, or 0 for any that is free")]
    Bind {
        /// The port.
        port: u16,
        /// What the system said.
        why: std::io::Error,
    },
    /// The door to the clinic's network cannot be opened.
    #[error("the clinic's network cannot be served: {0}")]
    Network(String),
    /// The server stopped by itself.
    #[error("the server stopped: {0}; what was saved is safe; start it again")]
    Stopped(std::io::Error),
    /// The records could not be closed.
    #[error(transparent)]
    Close(#[from] clinic::Error),
}

/// A server that is bound and not yet running.
pub struct Served {
    listener: TcpListener,
    address: SocketAddr,
    network: Option<network::Bound>,
    devices: network::Devices,
    clinic: Arc<Clinic>,
}

/// Binds 127.0.0.1, to which nothing outside this machine can connect; and, if it was asked for, one address of
/// the clinic's network.
///
/// # Errors
/// A port is taken, or the address on the network cannot be served.
pub async fn serve(options: ServeOptions) -> Result<Served, ServeError> {
    let port = options.port;
    let bind = |why| ServeError::Bind { port, why };
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).await.map_err(bind)?;
    serve_on(listener, options.clinic, options.network.as_ref()).await
}

/// The same on a port of 127.0.0.1 that is bound already.
///
/// # Errors
/// The address on the network cannot be served.
pub async fn serve_on(
    listener: TcpListener,
    clinic: Arc<Clinic>,
    network: Option<&NetworkOptions>,
) -> Result<Served, ServeError> {
    let address = listener.local_addr().map_err(ServeError::Stopped)?;
    // Certificates go by the clock that devices go by, whatever day the clinic plans for.
    let day = clinic::day_of_moment(clinic.now()).unwrap_or_else(|| clinic.today());
    let network = match network {
        Some(asked) => {
            let bound = network::bind(asked, clinic.path(), day).await;
            Some(bound.map_err(ServeError::Network)?)
        }
        None => None,
    };
    let devices = network::Devices::of(clinic.admitted_devices().await?);
    Ok(Served { listener, address, network, devices, clinic })
}

impl Served {
    /// Where it is, such as `http://127.0.0.1:8750/`.
    #[must_use]
    pub fn address(&self) -> String {
        format!("http://{}/", self.address)
    }

    /// Where devices of the network come in, such as `https://192.168.1.20:8751/`; empty when they do not.
    #[must_use]
    pub fn network_addresses(&self) -> &[String] {
        self.network.as_ref().map_or(&[], |bound| &bound.network.addresses)
    }

    /// SHA-256 of the certificate that is shown to them.
    #[must_use]
    pub fn fingerprint(&self) -> Option<&str> {
        self.network.as_ref().map(|bound| bound.network.fingerprint.as_str())
    }

    /// The certificate of the clinic's own authority, as a device may be told to trust it.
    #[must_use]
    pub fn authority(&self) -> Option<&[u8]> {
        self.network.as_ref().map(|bound| bound.network.authority.as_slice())
    }

    /// Serves until `stop` is done, then signs everybody out and closes the records.
    ///
    /// # Errors
    /// The server stopped by itself, or the records could not be closed.
    pub async fn run(self, stop: impl Future<Output = ()> + Send + 'static) -> Result<(), ServeError> {
        let (tls, network) = match self.network.map(network::Bound::listen).transpose() {
            Ok(door) => door.unzip(),
            Err(error) => return Err(ServeError::Network(error.to_string())),
        };
        let web = begin(self.clinic.clone(), self.address.port(), network, self.devices);
        let keeping = tokio::spawn(keeper::keep(web.clone()));
        let (ending, ended) = tokio::sync::watch::channel(false);
        let told = |mut ended: tokio::sync::watch::Receiver<bool>| async move {
            // Whichever way it ends, it is time.
            let _ = ended.wait_for(|ended| *ended).await;
        };
        let door = tls.map(|tls| {
            let app = addresses(&web, Door::Network).into_make_service_with_connect_info::<network::Peer>();
            tokio::spawn(axum::serve(tls, app).with_graceful_shutdown(told(ended.clone())).into_future())
        });
        let waiting = tokio::spawn(async move {
            stop.await;
            ending.send(true).ok();
        });
        let app = addresses(&web, Door::Here);
        let ended = axum::serve(self.listener, app).with_graceful_shutdown(told(ended)).await;
        waiting.abort();
        keeping.abort();
        if let Some(mut door) = door
            && tokio::time::timeout(LAST_ANSWERS, &mut door).await.is_err()
        {
            door.abort();
        }
        self.clinic.close().await?;
        ended.map_err(ServeError::Stopped)
    }
}

/// All addresses of the workbench, as one service; tests call it without a network.
pub fn router(clinic: Arc<Clinic>, port: u16) -> Router {
    addresses(&begin(clinic, port, None, network::Devices::default()), Door::Here)
}

fn begin(
    clinic: Arc<Clinic>,
    port: u16,
    network: Option<network::Network>,
    devices: network::Devices,
) -> Web {
    Web {
        inner: Arc::new(Inner {
            clinic,
            browsers: browsers::Browsers::default(),
            reckoner: reckon::Reckoner::default(),
            pending: patience::Pending::default(),
            hosts: vec![format!("127.0.0.1:{port}"), format!("localhost:{port}")],
            network,
            devices,
            codes: network::Codes::default(),
            settings: RwLock::new(Settings::before_any()),
        }),
    }
}

/// The addresses of one door.
fn addresses(web: &Web, door: Door) -> Router {
    let own = match door {
        Door::Here => Router::new(),
        Door::Network => network::routes(),
    };
    own.merge(sign_in::routes())
        .merge(recover::routes())
        .merge(today::routes())
        .merge(people::routes())
        .merge(
            person::routes()
                .merge(patience::routes())
                .layer(axum::middleware::from_fn_with_state(web.clone(), patience::patience)),
        )
        .merge(hand_over::routes())
        .merge(clinic_pages::routes())
        .merge(assets::routes())
        .fallback(guard::not_found)
        .layer(axum::middleware::from_fn_with_state((web.clone(), door), guard::guard))
        .with_state(web.clone())
}
