//! The program asks nobody outside: it answers, and opens no connection of its own.
//! `crash::connections` watches it run.

use super::tree::{below, code};

/// Ways to speak to another machine, in the standard library and the crates that are used.
const WAYS_OUT: [&str; 11] = [
    "::connect(",
    "connect_timeout(",
    "TcpStream",
    "UdpSocket",
    "UnixStream",
    "TcpSocket",
    "ToSocketAddrs",
    "lookup_host",
    "hyper::client",
    "hyper_util::client",
    "Command::new",
];

/// Crates whose business is to ask other machines.
const CALLERS: [&str; 8] = [
    "reqwest",
    "ureq",
    "curl",
    "isahc",
    "surf",
    "lettre",
    "sentry",
    "attohttpc",
];

#[test]
fn no_line_of_the_program_opens_a_connection() {
    let found = below("src", "rs");
    assert!(found.len() > 200, "only {} files were found", found.len());
    for (name, text) in &found {
        for line in code(text).lines() {
            for way in WAYS_OUT {
                assert!(!line.contains(way), "{name} may speak to others: {line}");
            }
        }
    }
}

#[test]
fn no_crate_is_there_whose_business_is_to_ask_others() {
    let lock = include_str!("../../Cargo.lock");
    for caller in CALLERS {
        let entry = format!("name = \"{caller}\"");
        assert!(!lock.lines().any(|line| line == entry), "{caller}");
    }
}
