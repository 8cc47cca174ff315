//! Averages and lines that a few odd values do not pull away: the median and the Theil–Sen line.

/// The median: the middle value, or the mean of the two middle ones. `None` without values.
///
/// Values must be comparable; a NaN sorts last.
pub fn median(values: &[f64]) -> Option<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let middle = sorted.len() / 2;
    match sorted.len() {
        0 => None,
        n if n % 2 == 1 => Some(sorted[middle]),
        _ => Some((sorted[middle - 1] + sorted[middle]) / 2.0),
    }
}

/// A straight line `y = intercept + slope·x`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    pub slope: f64,
    pub intercept: f64,
}

/// The Theil–Sen line through `(x, y)` points.
///
/// Slope: the median of `(yⱼ − yᵢ)/(xⱼ − xᵢ)` over all pairs whose `x` differ.
/// Intercept: `median(y) − slope·median(x)`, the convention of Conover (1980).
/// `None` when no two `x` differ. Work grows with the square of the number of points.
///
/// Source: Theil (1950), Sen (1968), Journal of the American Statistical Association 63.
pub fn theil_sen(points: &[(f64, f64)]) -> Option<Line> {
    let mut slopes = Vec::with_capacity(points.len() * points.len().saturating_sub(1) / 2);
    for (place, (x, y)) in points.iter().enumerate() {
        for (later_x, later_y) in &points[place + 1..] {
            if later_x != x {
                slopes.push((later_y - y) / (later_x - x));
            }
        }
    }
    let slope = median(&slopes)?;
    let (xs, ys): (Vec<_>, Vec<_>) = points.iter().copied().unzip();
    Some(Line {
        slope,
        intercept: median(&ys)? - slope * median(&xs)?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_median_is_the_middle() {
        assert_eq!(median(&[3.0, 1.0, 2.0]), Some(2.0));
        assert_eq!(median(&[4.0, 1.0, 2.0, 3.0]), Some(2.5));
        assert_eq!(median(&[]), None);
    }

    #[test]
    fn points_above_one_another_make_no_line() {
        assert_eq!(theil_sen(&[(1.0, 2.0), (1.0, 9.0)]), None);
        assert_eq!(theil_sen(&[(1.0, 2.0)]), None);
    }
}
