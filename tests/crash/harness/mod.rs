//! The program as a child process, driven over HTTP: started, killed, told to stop, started again,
//! and what it keeps compared with a ledger of our own.

pub mod club;
pub mod http;
pub mod ledger;
pub mod process;
pub mod rounds;
pub mod stops;
