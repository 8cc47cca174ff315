//! Hashing and checking passwords: Argon2id, two at a time, off the request threads.

use std::{sync::Arc, time::Duration};

use argon2::{
    Algorithm, Argon2, Params, Version,
    password_hash::{PasswordHasher, PasswordVerifier, phc::PasswordHash},
};
use tokio::{sync::Semaphore, task::spawn_blocking, time::timeout};

use super::ActionError;

/// Longest wait for a turn before the answer is "busy".
const PATIENCE: Duration = Duration::from_secs(5);

/// Hashes with one set of parameters, at most two at once.
#[derive(Clone)]
pub struct Hasher {
    argon: Argon2<'static>,
    memory_kib: u32,
    turns: Arc<Semaphore>,
    /// Checked when the name is unknown, so that both refusals take as long.
    nobody: Arc<str>,
}

/// What came of checking a password.
#[derive(Debug, PartialEq)]
pub enum Verdict {
    Wrong,
    Right,
    /// Right, but kept with weaker parameters than today's.
    RightButOld,
}

impl Hasher {
    /// Argon2id with `memory_kib` KiB, one pass (two below 46 MiB), one lane: the minimum of the
    /// OWASP Password Storage Cheat Sheet (19 MiB, t = 2; or 46 MiB, t = 1) or better.
    pub fn new(memory_kib: u32) -> Self {
        let passes = if memory_kib < 47_104 { 2 } else { 1 };
        let params = Params::new(memory_kib, passes, 1, None)
            .expect("the settings keep memory within Argon2's limits");
        let argon = Argon2::new(Algorithm::Argon2id, Version::V0x13, params);
        let nobody = hash_now(&argon, "nobody at all").into();
        Self {
            argon,
            memory_kib,
            turns: Arc::new(Semaphore::new(2)),
            nobody,
        }
    }

    /// The PHC string of `password`.
    pub async fn hash(&self, password: &str) -> Result<String, ActionError> {
        let (argon, password) = (self.argon.clone(), password.to_owned());
        self.in_turn(move || hash_now(&argon, &password)).await
    }

    /// Checks `password` against `phc`, or against nobody's when there is none.
    pub async fn check(&self, password: &str, phc: Option<&str>) -> Result<Verdict, ActionError> {
        let known = phc.is_some();
        let phc = phc.unwrap_or(&self.nobody).to_owned();
        let (argon, password, memory) = (self.argon.clone(), password.to_owned(), self.memory_kib);
        self.in_turn(move || {
            let Ok(parsed) = PasswordHash::new(&phc) else {
                return Verdict::Wrong;
            };
            if argon.verify_password(password.as_bytes(), &parsed).is_err() || !known {
                return Verdict::Wrong;
            }
            let weaker = phc
                .split(['$', ','])
                .find_map(|part| part.strip_prefix("m="))
                .and_then(|m| m.parse::<u32>().ok())
                .is_none_or(|m| m < memory);
            if weaker {
                Verdict::RightButOld
            } else {
                Verdict::Right
            }
        })
        .await
    }

    /// Does slow work when one of the two turns is free.
    ///
    /// Errors: `Busy` after five seconds without a turn, and when the work broke off.
    pub async fn in_turn<T: Send + 'static>(
        &self,
        work: impl FnOnce() -> T + Send + 'static,
    ) -> Result<T, ActionError> {
        let Ok(Ok(turn)) = timeout(PATIENCE, self.turns.clone().acquire_owned()).await else {
            return Err(ActionError::Busy);
        };
        spawn_blocking(move || {
            let _turn = turn;
            work()
        })
        .await
        .map_err(|_| ActionError::Busy)
    }
}

fn hash_now(argon: &Argon2<'static>, password: &str) -> String {
    argon
        .hash_password(password.as_bytes())
        .expect("Argon2 hashes any bytes when the system gives a salt")
        .to_string()
}
