//! Connections: no more than a fixed number at once, and a silent one is closed after a while. What no browser needs a
//! hostile or forgotten client must not be able to hold.

use std::future::Future;
use std::io;
use std::net::SocketAddr;
use std::pin::Pin;
use std::sync::Arc;
use std::task::{Context, Poll};
use std::time::Duration;

use axum::serve::Listener;
use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{OwnedSemaphorePermit, Semaphore};
use tokio::time::{Instant, Sleep, sleep};

/// A browser opens six; several tabs and a phone emulator still fit.
const MOST_CONNECTIONS: usize = 64;
/// A connection over which nothing moved for so long is closed. Longer than the longest run that is allowed.
const SILENCE: Duration = Duration::from_secs(45);

/// The listener of the page.
pub(super) struct Door {
    listener: TcpListener,
    places: Arc<Semaphore>,
}

impl Door {
    pub fn new(listener: TcpListener) -> Self {
        Door { listener, places: Arc::new(Semaphore::new(MOST_CONNECTIONS)) }
    }
}

impl Listener for Door {
    type Io = Guest;
    type Addr = SocketAddr;

    async fn accept(&mut self) -> (Guest, SocketAddr) {
        loop {
            // The semaphore is never closed.
            let Ok(place) = self.places.clone().acquire_owned().await else {
                sleep(Duration::from_secs(1)).await;
                continue;
            };
            match self.listener.accept().await {
                Ok((stream, from)) => {
                    let _ = stream.set_nodelay(true);
                    return (Guest { stream, silence: Box::pin(sleep(SILENCE)), _place: place }, from);
                }
                // Too many open files, or a connection that was gone before it was taken: try again soon.
                Err(_) => sleep(Duration::from_millis(50)).await,
            }
        }
    }

    fn local_addr(&self) -> io::Result<SocketAddr> {
        self.listener.local_addr()
    }
}

/// A connection with its place and its clock.
pub(super) struct Guest {
    stream: TcpStream,
    silence: Pin<Box<Sleep>>,
    _place: OwnedSemaphorePermit,
}

impl Guest {
    fn moved(&mut self) {
        self.silence.as_mut().reset(Instant::now() + SILENCE);
    }

    /// Passes on what the stream says, or that it was silent too long.
    fn watched<T>(&mut self, context: &mut Context<'_>, poll: Poll<io::Result<T>>) -> Poll<io::Result<T>> {
        if poll.is_ready() {
            self.moved();
            return poll;
        }
        match self.silence.as_mut().poll(context) {
            Poll::Ready(()) => Poll::Ready(Err(io::Error::from(io::ErrorKind::TimedOut))),
            Poll::Pending => Poll::Pending,
        }
    }
}

impl AsyncRead for Guest {
    fn poll_read(mut self: Pin<&mut Self>, context: &mut Context<'_>, to: &mut ReadBuf<'_>) -> Poll<io::Result<()>> {
        let poll = Pin::new(&mut self.stream).poll_read(context, to);
        self.watched(context, poll)
    }
}

impl AsyncWrite for Guest {
    fn poll_write(mut self: Pin<&mut Self>, context: &mut Context<'_>, from: &[u8]) -> Poll<io::Result<usize>> {
        let poll = Pin::new(&mut self.stream).poll_write(context, from);
        self.watched(context, poll)
    }

    fn poll_flush(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_flush(context)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_shutdown(context)
    }
}
