//! Signing in and out, one-time links, own sign-ins.

pub mod account;
pub mod link;
pub mod password;
pub mod sign_in;
pub mod sign_out;
