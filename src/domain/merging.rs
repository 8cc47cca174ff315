//! One thing that two people had open at the same time: whose word stands.

/// What becomes of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Merge {
    /// Not changed here, or changed to what the record says anyway: the record stays.
    Theirs,
    /// Changed here only: this is saved.
    Ours,
    /// Changed here and there, each to something else: somebody must choose.
    Clash,
}

/// Compares what was sent with the record. `shown` is what the page held when it was made; where
/// that is not known every difference is a clash, so that nothing is overwritten quietly.
pub fn merge<T: PartialEq>(shown: Option<&T>, ours: &T, record: &T) -> Merge {
    match shown {
        _ if ours == record => Merge::Theirs,
        Some(shown) if shown == ours => Merge::Theirs,
        Some(shown) if shown == record => Merge::Ours,
        _ => Merge::Clash,
    }
}
