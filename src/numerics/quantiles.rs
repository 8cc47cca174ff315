//! Quantiles of a sample. Two conventions are used, each where it is right, so each is named.

/// The `p` quantile by linear interpolation at position `(n − 1)p + 1` of the sorted sample
/// (Hyndman & Fan 1996, definition 7): for summaries and bootstrap percentiles.
///
/// `sorted` ascends and holds no NaN; `p` within 0 and 1. `None` of an empty sample.
pub fn interpolated(sorted: &[f64], p: f64) -> Option<f64> {
    at_position(sorted, (sorted.len() as f64 - 1.0) * p)
}

/// The `p` quantile at position `(n + 1)p` of the sorted sample, never beyond its ends
/// (Hyndman & Fan 1996, definition 6): for foretelling.
///
/// A next value, exchangeable with the sample and without ties, falls below it with
/// probability exactly `p` wherever `(n + 1)p` is a whole number from 1 to `n`.
pub fn foretelling(sorted: &[f64], p: f64) -> Option<f64> {
    at_position(sorted, (sorted.len() as f64 + 1.0) * p - 1.0)
}

/// The value at a fractional zero-based position.
fn at_position(sorted: &[f64], position: f64) -> Option<f64> {
    let last = sorted.len().checked_sub(1)?;
    let position = position.clamp(0.0, last as f64);
    let below = position.floor() as usize;
    let above = (below + 1).min(last);
    let fraction = position - below as f64;
    Some(sorted[below] + fraction * (sorted[above] - sorted[below]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn conventions_differ_as_published() {
        // Worked by hand: positions 0.1·3 + 1 = 1.3 and 0.1·5 = 0.5, held at 1.
        let sample = [1.0, 2.0, 4.0, 8.0];
        assert!((interpolated(&sample, 0.1).unwrap_or(f64::NAN) - 1.3).abs() < 1e-12);
        assert_eq!(foretelling(&sample, 0.1), Some(1.0));
        assert_eq!(foretelling(&sample, 0.5), Some(3.0));
        assert_eq!(interpolated(&sample, 1.0), Some(8.0));
        assert_eq!(interpolated(&[], 0.5), None);
    }
}
