//! Whose word stands where two people had one thing open.

use peglore::domain::merging::{Merge, merge};

#[test]
fn what_one_changed_stands_and_only_what_both_changed_clashes() {
    for (shown, ours, record, want) in [
        (Some(1), 1, 1, Merge::Theirs),
        (Some(1), 2, 1, Merge::Ours),
        (Some(1), 1, 2, Merge::Theirs),
        (Some(1), 2, 2, Merge::Theirs),
        (Some(1), 2, 3, Merge::Clash),
        // Nobody knows what the page held.
        (None, 2, 2, Merge::Theirs),
        (None, 2, 3, Merge::Clash),
    ] {
        assert_eq!(
            merge(shown.as_ref(), &ours, &record),
            want,
            "{shown:?} {ours} {record}"
        );
    }
}
