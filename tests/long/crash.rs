//! A hundred rounds of killing and a hundred of stopping: `cargo test --test long -- --nocapture crash`,
//! about two minutes each.

use crate::harness::{rounds, stops};

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn nothing_acknowledged_is_lost_in_a_hundred_kills() {
    let outcome = rounds::kill_under_load(100, 1).await;

    println!("{outcome:?}");
    assert!(outcome.acknowledged >= 1_000, "{outcome:?}");
    assert_eq!(outcome.compared.kept, outcome.acknowledged);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_hundred_stops_under_load_are_clean_and_answer_whatever_was_accepted() {
    let outcome = stops::stop_under_load(100, 2).await;

    println!("{outcome:?}");
    assert_eq!(outcome.half_sent, 200);
    assert!(outcome.acknowledged >= 1_000, "{outcome:?}");
}
