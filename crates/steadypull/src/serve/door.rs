//! Who is let in from the network: the passphrase, sessions, wrong tries.
//!
//! The passphrase and the sessions are held as hashes with a salt of this process; they end
//! with it. Five wrong tries from one address, and it waits a minute.

use std::collections::{HashMap, VecDeque};
use std::net::IpAddr;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use axum::http::{HeaderMap, header};
use sha2::{Digest, Sha256};
use steadypull_contract::hex;

/// Fewest characters of a passphrase.
pub const SHORTEST: usize = 12;
/// The cookie that holds a session.
pub const COOKIE: &str = "steadypull_session";
/// Most sessions; the oldest ends first.
const MOST_SESSIONS: usize = 256;
/// Wrong tries of one address within [`WAIT`].
const MOST_TRIES: u32 = 5;
/// How long an address waits after them.
pub const WAIT: Duration = Duration::from_secs(60);
/// Addresses whose tries are counted at a time.
const MOST_ADDRESSES: usize = 4096;

type Hash = [u8; 32];

/// Who is let in.
pub struct Door {
    salt: Hash,
    passphrase: Hash,
    sessions: Mutex<VecDeque<Hash>>,
    tries: Mutex<HashMap<IpAddr, (Instant, u32)>>,
}

impl Door {
    /// A door that opens to `passphrase`.
    pub fn new(passphrase: &str) -> Result<Self, getrandom::Error> {
        let salt = random()?;
        Ok(Self {
            salt,
            passphrase: hashed(&salt, passphrase.as_bytes()),
            sessions: Mutex::default(),
            tries: Mutex::default(),
        })
    }

    /// A new session for whoever gives the passphrase: the cookie's value.
    pub fn opened(&self, given: &[u8]) -> Option<String> {
        if !same(&self.passphrase, &hashed(&self.salt, given)) {
            return None;
        }
        let session = hex(&random().ok()?);
        let mut sessions = self.sessions.lock().unwrap_or_else(PoisonError::into_inner);
        sessions.push_front(hashed(&self.salt, session.as_bytes()));
        sessions.truncate(MOST_SESSIONS);
        Some(session)
    }

    /// Whether a request has a session.
    pub fn knows(&self, headers: &HeaderMap) -> bool {
        let cookies = headers.get_all(header::COOKIE).iter();
        let cookies = cookies.filter_map(|value| value.to_str().ok());
        let cookies = cookies.flat_map(|value| value.split(';'));
        let given = cookies.filter_map(|pair| pair.trim().split_once('='));
        let mut given = given.filter(|(name, _)| *name == COOKIE);
        given.any(|(_, session)| {
            let session = hashed(&self.salt, session.as_bytes());
            let sessions = self.sessions.lock().unwrap_or_else(PoisonError::into_inner);
            let known = sessions.iter().filter(|known| same(known, &session));
            known.count() > 0
        })
    }

    /// Counts a try as a wrong one before it is looked at, so that many at once do not
    /// slip by; `None` where the address has to wait.
    pub fn count(&self, peer: IpAddr, now: Instant) -> Option<()> {
        let mut tries = self.tries.lock().unwrap_or_else(PoisonError::into_inner);
        tries.retain(|_, (since, _)| now.duration_since(*since) < WAIT);
        if tries.len() >= MOST_ADDRESSES && !tries.contains_key(&peer) {
            return None;
        }
        let (_, count) = tries.entry(peer).or_insert((now, 0));
        *count = count.saturating_add(1);
        (*count <= MOST_TRIES).then_some(())
    }

    /// The try that was counted was the right one.
    pub fn forgive(&self, peer: IpAddr) {
        let mut tries = self.tries.lock().unwrap_or_else(PoisonError::into_inner);
        tries.remove(&peer);
    }
}

fn random() -> Result<Hash, getrandom::Error> {
    let mut bytes = Hash::default();
    getrandom::fill(&mut bytes)?;
    Ok(bytes)
}

fn hashed(salt: &Hash, secret: &[u8]) -> Hash {
    Sha256::new()
        .chain_update(salt)
        .chain_update(secret)
        .finalize()
        .into()
}

/// Whether two hashes are the same, in a time that does not tell where they differ.
fn same(a: &Hash, b: &Hash) -> bool {
    let differ = a.iter().zip(b).fold(0, |all, (a, b)| all | (a ^ b));
    std::hint::black_box(differ) == 0
}

#[cfg(test)]
mod tests {
    use axum::http::HeaderValue;

    use super::*;

    const WORDS: &str = "a gully full of wombats";

    fn with_cookie(cookie: &str) -> HeaderMap {
        let mut headers = HeaderMap::new();
        let value = HeaderValue::from_str(cookie).expect("a header");
        headers.insert(header::COOKIE, value);
        headers
    }

    #[test]
    fn a_session_is_had_for_the_passphrase_alone() {
        let door = Door::new(WORDS).expect("random bytes");
        for wrong in [
            "",
            "a gully full of wombat",
            "a gully full of wombats ",
            "x",
        ] {
            assert!(door.opened(wrong.as_bytes()).is_none(), "{wrong:?}");
        }
        let session = door.opened(WORDS.as_bytes()).expect("a session");
        assert_eq!(session.len(), 64, "256 bits");
        assert_ne!(Some(&session), door.opened(WORDS.as_bytes()).as_ref());
        assert!(door.knows(&with_cookie(&format!("other=1; {COOKIE}={session}"))));
        let other = Door::new(WORDS).expect("random bytes");
        assert!(!other.knows(&with_cookie(&format!("{COOKIE}={session}"))));
        for wrong in ["", "steadypull_session=", "steadypull_session=00"] {
            assert!(!door.knows(&with_cookie(wrong)), "{wrong}");
        }
        assert!(!door.knows(&with_cookie(&format!("{COOKIE}={}0", &session[1..]))));
    }

    #[test]
    fn tries_are_counted_by_address_and_forgotten_after_a_minute() {
        let door = Door::new(WORDS).expect("random bytes");
        let here = IpAddr::from([192, 168, 4, 2]);
        let there = IpAddr::from([192, 168, 4, 3]);
        let start = Instant::now();
        for _ in 0..MOST_TRIES {
            assert!(door.count(here, start).is_some());
        }
        assert!(door.count(here, start).is_none());
        assert!(
            door.count(there, start).is_some(),
            "others are not kept out"
        );
        assert!(door.count(here, start + WAIT / 2).is_none());
        assert!(door.count(here, start + WAIT).is_some());
        door.forgive(here);
        for _ in 0..MOST_TRIES {
            assert!(door.count(here, start + WAIT).is_some());
        }
    }
}
