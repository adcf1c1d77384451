//! A request's body, of which what nobody read is read off before the answer goes out.
//!
//! A line that is closed while something unread lies in it is reset, and its client may
//! never see the answer that came before: a refusal would look like a broken server.

use std::pin::Pin;
use std::sync::{Arc, Mutex, PoisonError};
use std::task::{Context, Poll};
use std::time::Duration;

use axum::body::{Body, Bytes, HttpBody};
use http_body_util::BodyExt;
use hyper::body::{Frame, SizeHint};
use tokio::time::timeout;

use super::asked::LONGEST_BODY;

/// Most that is read off.
const MOST: usize = 16 * LONGEST_BODY;
/// Longest time that is spent on it.
const LONGEST: Duration = Duration::from_secs(5);

/// A body that a handler reads, and after it whoever answers for the handler.
#[derive(Clone)]
pub struct Shared(Arc<Mutex<Body>>);

impl Shared {
    /// A body to be shared.
    pub fn new(body: Body) -> Self {
        Self(Arc::new(Mutex::new(body)))
    }

    /// Reads what is left, within bounds.
    pub async fn read_off(mut self) {
        let rest = async {
            let mut length = 0;
            while let Some(Ok(frame)) = self.frame().await {
                length += frame.data_ref().map_or(0, Bytes::len);
                if length > MOST {
                    break;
                }
            }
        };
        // Whoever is slower, or sends more, may miss the answer.
        let _ = timeout(LONGEST, rest).await;
    }

    fn with<T>(&self, look: impl FnOnce(&mut Body) -> T) -> T {
        look(&mut self.0.lock().unwrap_or_else(PoisonError::into_inner))
    }
}

impl HttpBody for Shared {
    type Data = Bytes;
    type Error = axum::Error;

    fn poll_frame(
        self: Pin<&mut Self>,
        cx: &mut Context<'_>,
    ) -> Poll<Option<Result<Frame<Bytes>, axum::Error>>> {
        self.with(|body| Pin::new(body).poll_frame(cx))
    }

    fn is_end_stream(&self) -> bool {
        self.with(|body| body.is_end_stream())
    }

    fn size_hint(&self) -> SizeHint {
        self.with(|body| body.size_hint())
    }
}
