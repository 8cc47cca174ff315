//! The system's randomness: public identifiers, and tokens that are kept only as hashes.

use sha2::{Digest, Sha256};

use crate::domain::ids::Pid;

/// `N` bytes from the system.
pub fn random<const N: usize>() -> [u8; N] {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).expect("every system Peglore runs on has a source of randomness");
    bytes
}

pub fn new_pid() -> Pid {
    Pid::from_bits(u128::from_be_bytes(random()))
}

/// A secret of 256 bits as people carry it, and the hash that is kept.
pub struct Token {
    pub secret: String,
    pub sha256: [u8; 32],
}

impl Token {
    pub fn new() -> Self {
        let secret = [new_pid(), new_pid()].map(|half| half.to_string()).concat();
        let sha256 = hash(&secret);
        Self { secret, sha256 }
    }
}

impl Default for Token {
    fn default() -> Self {
        Self::new()
    }
}

/// What is kept of a token, a name or an address.
pub fn hash(text: &str) -> [u8; 32] {
    Sha256::digest(text.as_bytes()).into()
}
