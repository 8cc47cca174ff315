//! Exact limits of a Poisson rate, and the gamma quantile they rest on.

use statrs::function::gamma::{gamma_lr, gamma_ur};

/// Halvings of the bracket; more than enough to reach the last bit of a double.
const HALVINGS: usize = 200;

/// Central exact limits of the mean of a Poisson count per unit of exposure.
///
/// `[G(α/2; k)/t, G(1 − α/2; k + 1)/t]`, where `G(p; a)` is the quantile of the gamma
/// distribution of shape `a` and scale 1.
///
/// - `count` (k): events
/// - `exposure` (t): in any unit, greater than zero
/// - `coverage` (1 − α): between 0 and 1
///
/// With no events the lower limit is 0. `None` when there is no exposure or the coverage is
/// out of range. Assumes events arrive singly, at a steady rate.
///
/// Source: Garwood (1936), Biometrika 28.
pub fn exact_rate_limits(count: u64, exposure: f64, coverage: f64) -> Option<(f64, f64)> {
    if !(exposure > 0.0 && exposure.is_finite() && coverage > 0.0 && coverage < 1.0) {
        return None;
    }
    let tail = (1.0 - coverage) / 2.0;
    let k = count as f64;
    let lower = match count {
        0 => 0.0,
        _ => quantile(k, |x| gamma_lr(k, x) >= tail),
    };
    let upper = quantile(k + 1.0, |x| gamma_ur(k + 1.0, x) <= tail);
    Some((lower / exposure, upper / exposure))
}

/// The point at which `passed`, false below and true above it, first holds; sought outwards
/// from `start`, then by halving.
fn quantile(start: f64, passed: impl Fn(f64) -> bool) -> f64 {
    let mut high = start;
    while !passed(high) {
        high *= 2.0;
    }
    let mut low = high / 2.0;
    while low > f64::MIN_POSITIVE && passed(low) {
        low /= 2.0;
    }
    for _ in 0..HALVINGS {
        let middle = low + (high - low) / 2.0;
        if middle <= low || middle >= high {
            break;
        }
        if passed(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    low + (high - low) / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_in_one_hour_allows_up_to_minus_log_of_the_tail() {
        let (lower, upper) = exact_rate_limits(0, 1.0, 0.95).expect("an hour");
        assert_eq!(lower, 0.0);
        assert!((upper + 0.025_f64.ln()).abs() < 1e-10);
    }

    #[test]
    fn without_exposure_there_are_no_limits() {
        assert_eq!(exact_rate_limits(3, 0.0, 0.95), None);
        assert_eq!(exact_rate_limits(3, f64::NAN, 0.95), None);
        assert_eq!(exact_rate_limits(3, 1.0, 1.0), None);
    }
}
