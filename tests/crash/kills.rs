//! kill -9 under eight clients.

use super::harness::rounds;

/// As many as `PEGLORE_TEST_KILLS` says, five when it says nothing. The long form is in `tests/long`.
fn kills() -> usize {
    std::env::var("PEGLORE_TEST_KILLS")
        .ok()
        .and_then(|text| text.parse().ok())
        .unwrap_or(5)
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn every_report_that_was_acknowledged_survives_a_kill_whole_and_once() {
    let outcome = rounds::kill_under_load(kills(), 20_261_114).await;

    println!("{outcome:?}");
    assert!(outcome.acknowledged >= 40, "{outcome:?}");
    // The kills came in the midst of it: some answers never arrived.
    assert!(outcome.cut >= rounds::CLIENTS, "{outcome:?}");
    assert_eq!(outcome.compared.kept, outcome.acknowledged);
}
