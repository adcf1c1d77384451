//! Work that takes its turn: so much at once, so much waiting, the rest refused in words.
//!
//! Whoever is gone before the turn comes is not worked for.

use std::sync::Arc;

use axum::http::StatusCode;
use tokio::sync::Semaphore;
use tokio::task::spawn_blocking;

use super::refusal::Refusal;

/// A queue of its own for one kind of work.
pub struct Turns {
    /// Working or waiting.
    places: Arc<Semaphore>,
    /// Working.
    turns: Arc<Semaphore>,
}

impl Turns {
    /// So many at once, and so many more that wait.
    pub fn new(at_once: usize, waiting: usize) -> Self {
        Self {
            places: Arc::new(Semaphore::new(at_once + waiting)),
            turns: Arc::new(Semaphore::new(at_once)),
        }
    }

    /// What `work` gives when its turn has come.
    pub async fn take<T: Send + 'static>(
        &self,
        work: impl FnOnce() -> T + Send + 'static,
    ) -> Result<T, Refusal> {
        let place = self.places.clone().try_acquire_owned();
        let place = place.map_err(|_| busy())?;
        let turn = self.turns.clone().acquire_owned().await;
        let turn = turn.map_err(|_| busy())?;
        // Both go with the work: it counts until it is done, whoever still listens.
        let done = spawn_blocking(move || {
            let _held = (place, turn);
            work()
        });
        // It fails by a panic alone, which has said where on standard error.
        done.await.map_err(|_| Refusal::fault())
    }
}

/// Seconds after which it is worth asking again.
pub const RETRY_AFTER_S: u32 = 2;

fn busy() -> Refusal {
    Refusal::new(
        StatusCode::SERVICE_UNAVAILABLE,
        "the server is busy: too many are waiting for an answer already",
        "try again in a moment",
    )
    .for_now(RETRY_AFTER_S)
}

#[cfg(test)]
mod tests {
    use std::sync::mpsc::channel;

    use super::*;

    fn on_a_runtime<T>(test: impl Future<Output = T>) -> T {
        tokio::runtime::Builder::new_current_thread()
            .build()
            .expect("a runtime")
            .block_on(test)
    }

    #[test]
    fn a_panic_is_a_refusal_and_the_queue_lives_on() {
        on_a_runtime(async {
            let turns = Turns::new(1, 0);
            let failed = turns.take(|| panic!("injected")).await.map(|(): ()| ());
            let failed = failed.expect_err("a panic is no answer");
            assert!(failed.errors().errors[0].message.contains("fault"));
            assert_eq!(turns.take(|| 7).await.expect("the next is served"), 7);
        });
    }

    #[test]
    fn beyond_the_bound_is_refused_and_who_is_gone_is_not_worked_for() {
        on_a_runtime(async {
            let turns = Arc::new(Turns::new(1, 1));
            let (release, held) = channel::<()>();
            let first = {
                let turns = turns.clone();
                tokio::spawn(async move { turns.take(move || held.recv().is_ok()).await.ok() })
            };
            tokio::task::yield_now().await;
            let second = {
                let turns = turns.clone();
                tokio::spawn(async move { turns.take(|| panic!("worked for nobody")).await.ok() })
            };
            tokio::task::yield_now().await;
            let third = turns.take(|| ()).await.expect_err("the queue is full");
            assert!(third.errors().errors[0].message.contains("busy"));
            second.abort();
            assert!(second.await.expect_err("it is gone").is_cancelled());
            release.send(()).expect("the first still waits");
            assert_eq!(first.await.expect("the first ends"), Some(true));
            assert_eq!(turns.take(|| 7).await.expect("room again"), 7);
        });
    }
}
