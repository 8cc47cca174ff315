//! The hundred rounds of killing: `cargo test --test long -- --nocapture crash`, about two minutes.

use crate::harness::rounds;

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn nothing_acknowledged_is_lost_in_a_hundred_kills() {
    let outcome = rounds::kill_under_load(100, 1).await;

    println!("{outcome:?}");
    assert!(outcome.acknowledged >= 1_000, "{outcome:?}");
    assert_eq!(outcome.compared.kept, outcome.acknowledged);
}
