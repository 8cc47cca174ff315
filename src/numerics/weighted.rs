//! How much a weighted sample is worth.

/// Kish's effective sample size, `(Σw)² / Σw²`.
///
/// Equal weights give their number; one dominant weight gives nearly 1; no weight at all
/// gives 0. Weights are not negative.
///
/// Source: Kish (1965), Survey Sampling, section 11.7.
pub fn effective_size(weights: impl IntoIterator<Item = f64>) -> f64 {
    let (sum, squares) = weights
        .into_iter()
        .fold((0.0, 0.0), |(s, q), w| (s + w, q + w * w));
    if squares > 0.0 {
        sum * sum / squares
    } else {
        0.0
    }
}
