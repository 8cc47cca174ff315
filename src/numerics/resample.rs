//! Resampling from a given, seeded generator, so that an answer can be had again.

use rand::{Rng, RngExt};

/// Values of `statistic` over `times` resamples of `n` units drawn with replacement, ascending.
///
/// `statistic` receives how often each unit was drawn (length `n`, sum `n`). A resample for
/// which it is not finite is left out, so the answer may be shorter than `times`.
///
/// Source: Efron (1979), Annals of Statistics 7; the units may be blocks (Künsch 1989).
pub fn bootstrap(
    n: usize,
    times: usize,
    generator: &mut impl Rng,
    mut statistic: impl FnMut(&[u32]) -> f64,
) -> Vec<f64> {
    if n == 0 {
        return Vec::new();
    }
    let mut drawn = vec![0u32; n];
    let mut values = Vec::with_capacity(times);
    for _ in 0..times {
        drawn.fill(0);
        for _ in 0..n {
            drawn[generator.random_range(0..n)] += 1;
        }
        let value = statistic(&drawn);
        if value.is_finite() {
            values.push(value);
        }
    }
    values.sort_by(f64::total_cmp);
    values
}
