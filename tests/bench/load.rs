//! A load run of the release binary: `cargo bench --bench load`. About four minutes.
//!
//! Starts the demonstration club, asks it for pages over 32 connections while reports are being
//! written, and beside it, in the same run and by the same client, a bare axum route that says
//! one word and a bare durable transaction that writes the rows of a report. Machine and
//! neighbours weigh on both alike, so the figures to keep are the ratios. Prints a table for the
//! section "Measured" of DEVELOPERS.md; an aim that is missed is marked and the run fails, once
//! everything has been measured.

#[path = "load/bare.rs"]
mod bare;
#[path = "load/child.rs"]
mod child;
#[path = "load/fits.rs"]
mod fits;
#[path = "load/http.rs"]
mod http;
#[path = "load/pages.rs"]
mod pages;
#[path = "load/reports.rs"]
mod reports;
#[path = "load/restart.rs"]
mod restart;
#[path = "load/rounds.rs"]
mod rounds;
#[path = "load/table.rs"]
mod table;

use table::Table;

fn main() {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .expect("a runtime of two threads");
    if std::env::args().any(|argument| argument == bare::ARGUMENT) {
        return runtime.block_on(bare::serve());
    }
    let mut table = Table::default();
    runtime.block_on(async {
        pages::measure(&mut table).await;
        reports::measure(&mut table).await;
        fits::measure(&mut table).await;
        restart::measure(&mut table).await;
    });
    table.print();
    assert!(table.missed() == 0, "{} aims were missed", table.missed());
}
