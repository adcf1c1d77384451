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

/// Longest time that a file may take to come in; a connection lives no longer.
const WHOLE_TIME: Duration = Duration::from_secs(600);
/// Longest time without a byte of it.
const STILL_TIME: Duration = Duration::from_secs(30);
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
    let (fed, kept) = tokio::join!(feed(body, pieces), work);
    // Why it did not come in tells more than that it broke off.
    fed?;
    Ok(json(StatusCode::OK, &kept??))
}

/// Hands on what comes in, within its time; what ends before its end is never kept.
async fn feed(body: Body, pieces: Sender<Piece>) -> Result<(), Refusal> {
    let all = timeout(WHOLE_TIME, hand_on(body, pieces)).await;
    all.unwrap_or_else(|_| Err(too_slow("ten minutes")))
}

async fn hand_on(mut body: Body, pieces: Sender<Piece>) -> Result<(), Refusal> {
    loop {
        let frame = timeout(STILL_TIME, body.frame()).await;
        let frame = frame.map_err(|_| too_slow("30 seconds without a byte"))?;
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
