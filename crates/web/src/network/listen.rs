//! Connections of the network: TLS and nothing else; whoever comes without is told so in words.

use std::io;
use std::net::SocketAddr;
use std::pin::Pin;
use std::sync::Arc;
use std::task::{Context, Poll, ready};
use std::time::Duration;

use axum::extract::connect_info::Connected;
use axum::serve::{IncomingStream, Listener};
use tokio::io::{AsyncRead, AsyncReadExt, AsyncWrite, AsyncWriteExt, ReadBuf};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{OwnedSemaphorePermit, Semaphore, mpsc};
use tokio::time::{Instant, Sleep};
use tokio_rustls::TlsAcceptor;
use tokio_rustls::rustls::ServerConfig;
use tokio_rustls::server::TlsStream;

/// Connections at once; more are closed at the door, so that a flood does not reach the records.
const MOST: usize = 256;
/// A greeting takes no longer.
const GREETING: Duration = Duration::from_secs(10);
/// A connection on which nothing came for so long is closed; browsers open a new one.
const IDLE: Duration = Duration::from_secs(90);
/// Of a question without TLS no more is read.
const QUESTION: usize = 16 * 1024;
/// The first byte of every TLS greeting (RFC 8446, section 5.1: content type handshake).
const HANDSHAKE: u8 = 22;

/// Who is at the other end.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Peer(pub(crate) SocketAddr);

impl Connected<IncomingStream<'_, Tls>> for Peer {
    fn connect_info(stream: IncomingStream<'_, Tls>) -> Self {
        Self(*stream.remote_addr())
    }
}

/// A listener that gives only what has greeted in TLS.
pub(crate) struct Tls {
    greeted: mpsc::Receiver<(Connection, SocketAddr)>,
    at: SocketAddr,
    door: tokio::task::JoinHandle<()>,
}

impl Tls {
    /// Listens; `address` is what is told to whoever comes without TLS.
    pub(super) fn new(listener: TcpListener, config: Arc<ServerConfig>, address: String) -> io::Result<Self> {
        let at = listener.local_addr()?;
        let (give, greeted) = mpsc::channel(16);
        let door = tokio::spawn(stand_at(listener, TlsAcceptor::from(config), give, Arc::from(address)));
        Ok(Self { greeted, at, door })
    }
}

impl Drop for Tls {
    fn drop(&mut self) {
        self.door.abort();
    }
}

impl Listener for Tls {
    type Io = Connection;
    type Addr = SocketAddr;

    async fn accept(&mut self) -> (Connection, SocketAddr) {
        match self.greeted.recv().await {
            Some(greeted) => greeted,
            // The door closes with the listener, which is then not asked any more.
            None => std::future::pending().await,
        }
    }

    fn local_addr(&self) -> io::Result<SocketAddr> {
        Ok(self.at)
    }
}

async fn stand_at(
    listener: TcpListener,
    acceptor: TlsAcceptor,
    give: mpsc::Sender<(Connection, SocketAddr)>,
    address: Arc<str>,
) {
    let places = Arc::new(Semaphore::new(MOST));
    loop {
        let Ok((stream, peer)) = listener.accept().await else {
            // Out of handles, most likely: others end meanwhile.
            tokio::time::sleep(Duration::from_millis(100)).await;
            continue;
        };
        let Ok(place) = places.clone().try_acquire_owned() else { continue };
        let (acceptor, give, address) = (acceptor.clone(), give.clone(), address.clone());
        tokio::spawn(async move {
            let greeted = tokio::time::timeout(GREETING, greet(stream, acceptor, &address)).await;
            if let Ok(Ok(Some(stream))) = greeted {
                let idle = Box::pin(tokio::time::sleep(IDLE));
                // Nobody takes it any more when the program ends.
                let _ = give.send((Connection { stream, idle, _place: place }, peer)).await;
            }
        });
    }
}

/// TLS, or a page that says where to go.
async fn greet(
    mut stream: TcpStream,
    acceptor: TlsAcceptor,
    address: &str,
) -> io::Result<Option<TlsStream<TcpStream>>> {
    stream.set_nodelay(true)?;
    let mut first = [0];
    if stream.peek(&mut first).await? == 0 {
        return Ok(None);
    }
    if first[0] == HANDSHAKE {
        return acceptor.accept(stream).await.map(Some);
    }
    past_the_question(&mut stream).await?;
    let page = maud::html! {
        (maud::DOCTYPE)
        html lang="en" {
            head { meta charset="utf-8"; title { "https is needed" } }
            body { h1 { "https is needed" } p { "This address answers in https only, so that nobody on the network reads along. Type " (address) " with the s." } }
        }
    }
    .into_string();
    let answer = format!(
        "HTTP/1.1 400 Bad Request\r\nContent-Type: text/html; charset=utf-8\r\nContent-Length: {}\r\n\
         Cache-Control: no-store\r\nContent-Security-Policy: default-src 'none'\r\nConnection: close\r\n\r\n{page}",
        page.len()
    );
    stream.write_all(answer.as_bytes()).await?;
    stream.shutdown().await?;
    Ok(None)
}

/// Reads what was asked to its blank line and looks at nothing: a connection closed with bytes
/// unread is reset, and the reset takes the answer away from whoever asked.
async fn past_the_question(stream: &mut TcpStream) -> io::Result<()> {
    let mut asked = Vec::new();
    let mut some = [0; 1024];
    while asked.len() < QUESTION && !asked.windows(4).any(|end| end == b"\r\n\r\n") {
        match stream.read(&mut some).await? {
            0 => break,
            more => asked.extend_from_slice(&some[..more]),
        }
    }
    Ok(())
}

/// A connection that ends when nothing comes for a while.
pub(crate) struct Connection {
    stream: TlsStream<TcpStream>,
    idle: Pin<Box<Sleep>>,
    /// Given back when the connection is dropped.
    _place: OwnedSemaphorePermit,
}

impl AsyncRead for Connection {
    fn poll_read(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        into: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        if let Poll::Ready(read) = Pin::new(&mut self.stream).poll_read(context, into) {
            self.idle.as_mut().reset(Instant::now() + IDLE);
            return Poll::Ready(read);
        }
        ready!(self.idle.as_mut().poll(context));
        Poll::Ready(Err(io::ErrorKind::TimedOut.into()))
    }
}

impl AsyncWrite for Connection {
    fn poll_write(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<io::Result<usize>> {
        self.idle.as_mut().reset(Instant::now() + IDLE);
        Pin::new(&mut self.stream).poll_write(context, bytes)
    }

    fn poll_flush(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_flush(context)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_shutdown(context)
    }
}
