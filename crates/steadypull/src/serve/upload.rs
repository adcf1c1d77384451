//! A file of a test day that comes in: written to the disk as it comes, never held whole.

use std::sync::Arc;
use std::time::Duration;

use axum::body::{Body, HttpBody};
use axum::extract::State;
use axum::http::StatusCode;
use http_body_util::BodyExt;
use tokio::sync::mpsc::{Sender, channel};
use tokio::time::timeout;

use super::app::App;
use super::asked::{InPath, broken_off};
use super::days::{named, named_file, refused_file, too_long};
use super::refusal::Refusal;
use super::reply::{Reply, json};
use super::store::{LONGEST_FILE, Piece};

/// How long a file may take to come in.
#[derive(Debug, Clone, Copy)]
pub struct Limits {
    /// All of it; a connection lives no longer than the usual.
    pub whole: Duration,
    /// Without a byte of it.
    pub still: Duration,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            whole: Duration::from_secs(600),
            still: Duration::from_secs(30),
        }
    }
}

/// Pieces that wait for the disk.
const WAITING: usize = 16;

/// Keeps a file.
pub async fn put(
    State(app): State<App>,
    InPath((name, file)): InPath<(String, String)>,
    body: Body,
) -> Reply {
    let (name, file) = (named(&name)?, named_file(&file)?);
    if body.size_hint().lower() > LONGEST_FILE {
        return Err(too_long());
    }
    let (pieces, mut taken) = channel(WAITING);
    let days = Arc::clone(&app.days);
    let work = app.uploads.take(move || {
        let kept = days.receive(&name, &file, || taken.blocking_recv());
        kept.map_err(|error| refused_file(&error, &file))
    });
    let (fed, kept) = tokio::join!(feed(body, pieces, app.upload_limits), work);
    // Why it did not come in tells more than that it broke off.
    fed?;
    Ok(json(StatusCode::OK, &kept??))
}

/// Hands on what comes in, within its time; what ends before its end is never kept.
async fn feed(body: Body, pieces: Sender<Piece>, limits: Limits) -> Result<(), Refusal> {
    let all = timeout(limits.whole, hand_on(body, pieces, limits.still)).await;
    let over = format!("over {} s", limits.whole.as_secs_f64());
    all.unwrap_or_else(|_| Err(too_slow(&over)))
}

async fn hand_on(mut body: Body, pieces: Sender<Piece>, still: Duration) -> Result<(), Refusal> {
    loop {
        let frame = timeout(still, body.frame()).await;
        let without = || format!("{} s without a byte", still.as_secs_f64());
        let frame = frame.map_err(|_| too_slow(&without()))?;
        let piece = match frame.transpose().map_err(|_| broken_off())? {
            None => Piece::End,
            Some(frame) => match frame.into_data() {
                Ok(data) => Piece::Data(data),
                Err(_) => continue,
            },
        };
        let last = matches!(piece, Piece::End);
        // Whoever writes may have given up, and says why.
        if pieces.send(piece).await.is_err() || last {
            return Ok(());
        }
    }
}

fn too_slow(how: &str) -> Refusal {
    Refusal::new(
        StatusCode::REQUEST_TIMEOUT,
        &format!("the file took too long to come in: {how}; nothing was kept"),
        "copy it into the folder of the test day by hand, or find a better line",
    )
}

#[cfg(test)]
mod tests {
    use std::fs;
    use std::path::PathBuf;
    use std::pin::Pin;
    use std::task::{Context, Poll};

    use axum::body::Bytes;
    use axum::response::IntoResponse;
    use hyper::body::Frame;
    use tokio::time::{Interval, interval};

    use super::super::app::Shared;
    use super::super::guard::Hosts;
    use super::super::store::{Days, Name, Store};
    use super::*;

    /// A client that sends a byte at each beat, and after some of them none any more.
    struct Slow {
        beat: Interval,
        left: usize,
    }

    impl HttpBody for Slow {
        type Data = Bytes;
        type Error = std::io::Error;

        fn poll_frame(
            mut self: Pin<&mut Self>,
            cx: &mut Context<'_>,
        ) -> Poll<Option<Result<Frame<Bytes>, Self::Error>>> {
            if self.left == 0 {
                // Nobody is ever woken: it stands still.
                return Poll::Pending;
            }
            self.beat.poll_tick(cx).map(|_| {
                self.left -= 1;
                Some(Ok(Frame::data(Bytes::from_static(b"1"))))
            })
        }
    }

    struct Server {
        app: App,
        folder: PathBuf,
    }

    impl Server {
        /// One with a test day called `yard`.
        fn new(name: &str, limits: Limits) -> Self {
            let folder =
                std::env::temp_dir().join(format!("steadypull-{name}-{}", std::process::id()));
            let store = Store::open(&folder.join("plans")).expect("a folder of ours");
            let days = Days::open(&folder.join("tests")).expect("a folder of ours");
            let text = ("tests.toml".to_string(), "title = \"Yard\"\n".to_string());
            let yard = Name::new("yard").expect("a name");
            days.add(&yard, &[text]).expect("a day");
            let hosts = Hosts {
                port: 0,
                lan: false,
            };
            let shared = Shared {
                upload_limits: limits,
                ..Shared::new(store, days, hosts, None)
            };
            Self {
                app: App::new(shared),
                folder,
            }
        }

        /// Why a body was refused, and what lies in the day after it.
        fn refused(&self, left: usize, beat: Duration) -> (StatusCode, String, Vec<String>) {
            let runtime = tokio::runtime::Builder::new_current_thread()
                .enable_time()
                .build()
                .expect("a runtime");
            let refusal = runtime.block_on(async {
                let body = Body::new(Slow {
                    beat: interval(beat),
                    left,
                });
                let path = InPath(("yard".to_string(), "dry-1.csv".to_string()));
                let asked = put(State(self.app.clone()), path, body);
                // A server that waits for ever fails here, and does not hang.
                timeout(Duration::from_secs(20), asked)
                    .await
                    .expect("an answer")
            });
            let refusal = refusal.expect_err("it never came in whole");
            let there = fs::read_dir(self.folder.join("tests/yard")).expect("the day");
            let there = there.map(|file| file.expect("a file").file_name());
            let message = refusal.errors().errors[0].message.clone();
            (
                refusal.into_response().status(),
                message,
                there
                    .map(|name| name.to_string_lossy().into_owned())
                    .collect(),
            )
        }
    }

    impl Drop for Server {
        fn drop(&mut self) {
            let _ = fs::remove_dir_all(&self.folder);
        }
    }

    const LONG: Duration = Duration::from_secs(60);
    const SHORT: Duration = Duration::from_millis(40);

    #[test]
    fn a_body_that_trickles_ends_at_the_time_for_all_of_it() {
        let limits = Limits {
            whole: SHORT,
            still: LONG,
        };
        let server = Server::new("trickle", limits);
        let (status, message, there) = server.refused(usize::MAX, Duration::from_millis(2));
        assert_eq!(status, StatusCode::REQUEST_TIMEOUT);
        assert!(
            message.contains("over 0.04 s; nothing was kept"),
            "{message}"
        );
        assert_eq!(there, ["tests.toml"], "no part of it is left");
        // Its turn is free again: the next comes to its own end, not to a full house.
        let (status, message, _) = server.refused(usize::MAX, Duration::from_millis(2));
        assert_eq!(status, StatusCode::REQUEST_TIMEOUT, "{message}");
    }

    #[test]
    fn a_body_that_stops_ends_at_the_time_without_a_byte() {
        let limits = Limits {
            whole: LONG,
            still: SHORT,
        };
        let server = Server::new("stop", limits);
        for sent in [0, 3] {
            let (status, message, there) = server.refused(sent, Duration::from_millis(1));
            assert_eq!(status, StatusCode::REQUEST_TIMEOUT);
            assert!(
                message.contains("0.04 s without a byte; nothing was kept"),
                "{message}"
            );
            assert_eq!(there, ["tests.toml"], "no part of it is left");
        }
    }
}
