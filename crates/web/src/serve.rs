//! Binds to this machine only, serves until told to stop, and closes the records.

use std::net::{Ipv4Addr, SocketAddr};
use std::sync::{Arc, RwLock};

use axum::Router;
use clinic::{Clinic, Settings};
use tokio::net::TcpListener;

use crate::{
    Inner, Web, assets, browsers, clinic_pages, guard, hand_over, keeper, patience, people, person, reckon,
    recover, sign_in, today,
};

/// What is served and where.
pub struct ServeOptions {
    /// The records.
    pub clinic: Arc<Clinic>,
    /// The port on 127.0.0.1; 0 takes any that is free.
    pub port: u16,
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
    clinic: Arc<Clinic>,
}

/// Binds 127.0.0.1; nothing outside this machine can connect.
///
/// # Errors
/// The port is taken.
pub async fn serve(options: ServeOptions) -> Result<Served, ServeError> {
    let port = options.port;
    let bind = |why| ServeError::Bind { port, why };
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).await.map_err(bind)?;
    let address = listener.local_addr().map_err(bind)?;
    Ok(Served { listener, address, clinic: options.clinic })
}

impl Served {
    /// Where it is, such as `http://127.0.0.1:8750/`.
    #[must_use]
    pub fn address(&self) -> String {
        format!("http://{}/", self.address)
    }

    /// Serves until `stop` is done, then signs everybody out and closes the records.
    ///
    /// # Errors
    /// The server stopped by itself, or the records could not be closed.
    pub async fn run(self, stop: impl Future<Output = ()> + Send + 'static) -> Result<(), ServeError> {
        let web = begin(self.clinic.clone(), self.address.port());
        let keeping = tokio::spawn(keeper::keep(web.clone()));
        let ended = axum::serve(self.listener, addresses(web)).with_graceful_shutdown(stop).await;
        keeping.abort();
        self.clinic.close().await?;
        ended.map_err(ServeError::Stopped)
    }
}

/// All addresses of the workbench, as one service; tests call it without a network.
pub fn router(clinic: Arc<Clinic>, port: u16) -> Router {
    addresses(begin(clinic, port))
}

fn begin(clinic: Arc<Clinic>, port: u16) -> Web {
    Web {
        inner: Arc::new(Inner {
            clinic,
            browsers: browsers::Browsers::default(),
            reckoner: reckon::Reckoner::default(),
            pending: patience::Pending::default(),
            hosts: vec![format!("127.0.0.1:{port}"), format!("localhost:{port}")],
            settings: RwLock::new(Settings::before_any()),
        }),
    }
}

fn addresses(web: Web) -> Router {
    Router::new()
        .merge(sign_in::routes())
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
        .layer(axum::middleware::from_fn_with_state(web.clone(), guard::guard))
        .with_state(web)
}
