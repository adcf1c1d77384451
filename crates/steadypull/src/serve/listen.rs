//! Connections: so many at once, none for ever, ended in order.

use std::io;
use std::net::TcpListener as StdListener;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::{Extension, Router};
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{Semaphore, watch};
use tokio::task::JoinSet;
use tokio::time::{sleep, timeout};

use super::refusal::Refusal;
use super::sign_in::Peer;
use super::turns::RETRY_AFTER_S;

/// Connections that are served at a time.
const MOST: usize = 256;
/// Connections beyond, that are told so at a time; more of them wait to be taken up.
const MOST_TOLD: usize = 64;
/// Longest time for the head of a request to come in, and for a connection to lie idle.
const HEAD_TIME: Duration = Duration::from_secs(15);
/// Longest head of a request, bytes, and most headers in it.
const LONGEST_HEAD: usize = 32 << 10;
const MOST_HEADERS: usize = 64;
/// A connection ends after this long, so that one that never reads does not stay.
const LIFE: Duration = Duration::from_secs(600);
/// What is under way when the server ends gets this long.
const GRACE: Duration = Duration::from_secs(5);
/// How often it is looked whether the server is to end.
const LOOK: Duration = Duration::from_millis(50);

/// Serves `router` until `stop` is raised.
pub async fn listen(
    listener: StdListener,
    router: Router,
    stop: &'static AtomicBool,
) -> io::Result<()> {
    let listener = TcpListener::from_std(listener)?;
    let full = Router::new().fallback(full);
    let room = Arc::new(Semaphore::new(MOST));
    let telling = Arc::new(Semaphore::new(MOST_TOLD));
    let (end, ended) = watch::channel(());
    let mut connections = JoinSet::new();
    loop {
        let accepted = tokio::select! {
            accepted = listener.accept() => accepted,
            () = raised(stop) => break,
        };
        while connections.try_join_next().is_some() {}
        let Ok((stream, peer)) = accepted else {
            // Out of file handles, or gone already: the next try is later.
            sleep(LOOK).await;
            continue;
        };
        let (place, router, life) = match room.clone().try_acquire_owned() {
            Ok(place) => (Ok(place), &router, LIFE),
            Err(_) => (telling.clone().acquire_owned().await, &full, GRACE),
        };
        let Ok(place) = place else { break };
        let router = router.clone().layer(Extension(Peer(peer.ip())));
        let ended = ended.clone();
        connections.spawn(async move {
            let _place = place;
            serve(stream, router, life, ended).await;
        });
    }
    drop(listener);
    drop(end);
    let all = async { while connections.join_next().await.is_some() {} };
    // What takes longer is cut; plans are kept whole or not at all.
    let _ = timeout(GRACE, all).await;
    Ok(())
}

async fn raised(stop: &AtomicBool) {
    while !stop.load(Ordering::SeqCst) {
        sleep(LOOK).await;
    }
}

/// One connection, until it ends, has lived long enough, or the server ends.
async fn serve(stream: TcpStream, router: Router, life: Duration, mut ended: watch::Receiver<()>) {
    // Small answers go out at once.
    let _ = stream.set_nodelay(true);
    let connection = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEAD_TIME)
        .max_buf_size(LONGEST_HEAD)
        .max_headers(MOST_HEADERS)
        .serve_connection(TokioIo::new(stream), TowerToHyperService::new(router));
    let mut connection = std::pin::pin!(connection);
    tokio::select! {
        // A connection that breaks is its client's affair.
        _ = connection.as_mut() => return,
        _ = ended.changed() => {}
        () = sleep(life) => {}
    }
    connection.as_mut().graceful_shutdown();
    let _ = timeout(life, connection).await;
}

/// Said to whoever comes when there is no room, who is then to make some.
async fn full() -> Response {
    let refusal = Refusal::new(
        StatusCode::SERVICE_UNAVAILABLE,
        "the server is busy: too many are connected already",
        "try again in a moment",
    );
    let mut response = refusal.for_now(RETRY_AFTER_S).into_response();
    let close = HeaderValue::from_static("close");
    response.headers_mut().insert(header::CONNECTION, close);
    response
}

#[cfg(test)]
mod tests {
    use std::io::{Read, Write};
    use std::net::TcpStream as Line;

    use axum::routing::get;

    use super::*;

    /// More than any pair of sockets holds: its end waits for a reader.
    const LONG_ANSWER: usize = 64 << 20;
    const SHORT: Duration = Duration::from_millis(40);

    /// A client that has asked for the long answer, and the server's end of its line.
    fn asked() -> io::Result<(Line, Line)> {
        let listener = StdListener::bind("127.0.0.1:0")?;
        let mut client = Line::connect(listener.local_addr()?)?;
        client.write_all(b"GET / HTTP/1.1\r\nhost: here\r\n\r\n")?;
        let (server, _) = listener.accept()?;
        server.set_nonblocking(true)?;
        Ok((client, server))
    }

    #[test]
    fn a_client_that_never_reads_its_answer_does_not_stay() {
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()
            .expect("a runtime");
        runtime.block_on(async {
            let router = Router::new().route("/", get(|| async { vec![b'1'; LONG_ANSWER] }));
            let (mut client, server) = asked().expect("a line");
            let server = TcpStream::from_std(server).expect("the same line");
            let (_end, ended) = watch::channel(());
            // Its life, and as long again for what is under way; then its place is free.
            let served = serve(server, router, SHORT, ended);
            let served = timeout(Duration::from_secs(20), served).await;
            served.expect("the connection ends by itself");
            let mut came = Vec::new();
            // Cut off or reset: whoever reads at last sees that it is not whole.
            let _ = client.read_to_end(&mut came);
            assert!(came.starts_with(b"HTTP/1.1 200"));
            assert!(came.len() < LONG_ANSWER, "{} bytes", came.len());
        });
    }
}
