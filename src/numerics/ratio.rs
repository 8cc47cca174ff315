//! A ratio of totals over clusters, with the CR2 variance and Satterthwaite degrees of freedom.

use statrs::function::beta::beta_reg;

/// One cluster: what was counted in it, and the exposure it was counted over.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cluster {
    pub total: f64,
    /// Greater than zero.
    pub exposure: f64,
}

/// An estimated ratio and its doubt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RatioEstimate {
    /// `Σc / Σh`.
    pub ratio: f64,
    pub standard_error: f64,
    /// Satterthwaite degrees of freedom.
    pub degrees: f64,
}

impl RatioEstimate {
    /// `ratio ± t·SE`, `t` the Student quantile at these degrees; `coverage` between 0 and 1.
    pub fn limits(&self, coverage: f64) -> (f64, f64) {
        let half_width = self.reach(coverage) * self.standard_error;
        (self.ratio - half_width, self.ratio + half_width)
    }

    /// `ratio·e^(∓t·SE/ratio)`: limits worked out on the log scale, which suits skewed catches
    /// and never falls below nothing. `None` of a ratio of nothing, whose log has no limits.
    ///
    /// Source: the delta method, as for the log of a mean in Hedges, Gurevitch & Curtis (1999),
    /// Ecology 80.
    pub fn limits_by_log(&self, coverage: f64) -> Option<(f64, f64)> {
        if self.ratio <= 0.0 {
            return None;
        }
        let factor = (self.reach(coverage) * self.standard_error / self.ratio).exp();
        Some((self.ratio / factor, self.ratio * factor))
    }

    /// `t`, the Student quantile that leaves half of what is not covered above it.
    fn reach(&self, coverage: f64) -> f64 {
        student_quantile(1.0 - (1.0 - coverage) / 2.0, self.degrees)
    }
}

/// Total over total, `r = Σc/Σh`, clusters independent.
///
/// Working model: the variance of a row's count is proportional to its exposure, rows
/// independent; so `r` is least squares of `c/√h` on `√h`. For one regressor the CR2
/// adjustment `(I − H_gg)^(−½)` acts on a cluster's rows through their sums alone, the block
/// `H_gg` being of rank one. Several rows in a cluster therefore give exactly what their
/// totals give, and clusters, not rows, are what is passed here:
///
/// - `V = Σ_g (C_g − r h_g)² / (1 − h_g/H) / H²`, `H = Σh`
/// - degrees `(tr P)² / tr P²`, `P_gk = (δ_gk h_g − h_g h_k/H) s_g s_k / H²`,
///   `s_g = (1 − h_g/H)^(−½)`
///
/// `None` with fewer than two clusters, or when an exposure is not a number above zero.
///
/// Source: Bell & McCaffrey (2002), Survey Methodology 28; Pustejovsky & Tipton (2018),
/// Journal of Business & Economic Statistics 36.
pub fn ratio_of_totals(clusters: &[Cluster]) -> Option<RatioEstimate> {
    let usable = |c: &Cluster| c.exposure > 0.0 && c.exposure.is_finite() && c.total.is_finite();
    if clusters.len() < 2 || !clusters.iter().all(usable) {
        return None;
    }
    let exposure: f64 = clusters.iter().map(|c| c.exposure).sum();
    let ratio = clusters.iter().map(|c| c.total).sum::<f64>() / exposure;
    let variance = clusters
        .iter()
        .map(|c| (c.total - ratio * c.exposure).powi(2) / (1.0 - c.exposure / exposure))
        .sum::<f64>()
        / exposure.powi(2);
    Some(RatioEstimate {
        ratio,
        standard_error: variance.sqrt(),
        degrees: degrees_of_freedom(clusters, exposure),
    })
}

/// `(tr P)²/tr P²` with `P` as in [`ratio_of_totals`], in one pass over shares `a = h/H`:
/// `tr P = Σa` (the scale `1/H` cancels) and, with `b = a²/(1 − a)`,
/// `tr P² = Σa² + (Σb)² − Σb²`.
fn degrees_of_freedom(clusters: &[Cluster], exposure: f64) -> f64 {
    let (mut trace, mut squares, mut sum_b, mut sum_b_squared) = (0.0, 0.0, 0.0, 0.0);
    for cluster in clusters {
        let share = cluster.exposure / exposure;
        let b = share * share / (1.0 - share);
        trace += share;
        squares += share * share;
        sum_b += b;
        sum_b_squared += b * b;
    }
    trace * trace / (squares + sum_b * sum_b - sum_b_squared)
}

/// Quantile of Student's t for `probability` in `[½, 1)`, by halving on its distribution
/// function, `1 − ½·I_{n/(n+t²)}(n/2, ½)`.
fn student_quantile(probability: f64, degrees: f64) -> f64 {
    let tail = 2.0 * (1.0 - probability);
    let beyond = |t: f64| beta_reg(degrees / 2.0, 0.5, degrees / (degrees + t * t));
    let (mut low, mut high) = (0.0_f64, 1.0_f64);
    while beyond(high) > tail && high < 1e12 {
        low = high;
        high *= 2.0;
    }
    for _ in 0..200 {
        let middle = low + (high - low) / 2.0;
        if middle <= low || middle >= high {
            break;
        }
        if beyond(middle) > tail {
            low = middle;
        } else {
            high = middle;
        }
    }
    low + (high - low) / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_student_quantile_is_that_of_the_tables() {
        // Any printed table of t, 97.5 %: 12.706 at 1, 2.571 at 5, 2.228 at 10, 1.980 at 120.
        for (degrees, want) in [(1.0, 12.706), (5.0, 2.571), (10.0, 2.228), (120.0, 1.980)] {
            assert!(
                (student_quantile(0.975, degrees) - want).abs() < 5e-4,
                "{degrees}"
            );
        }
    }

    #[test]
    fn equal_clusters_have_one_degree_fewer_than_their_number() {
        let clusters: Vec<_> = [3.0, 5.0, 4.0, 8.0]
            .map(|total| Cluster {
                total,
                exposure: 2.0,
            })
            .to_vec();
        let estimate = ratio_of_totals(&clusters).expect("four clusters");
        assert_eq!(estimate.ratio, 2.5);
        assert!((estimate.degrees - 3.0).abs() < 1e-12);
    }

    #[test]
    fn limits_by_log_are_as_far_above_as_below_in_proportion() {
        // Mean 5, variance of the mean (4 + 0 + 1 + 9) / 12, t of 3 degrees 3.1824 (any table).
        let clusters = [3.0, 5.0, 4.0, 8.0].map(|total| Cluster {
            total,
            exposure: 1.0,
        });
        let estimate = ratio_of_totals(&clusters).expect("four clusters");
        let (lower, upper) = estimate.limits_by_log(0.95).expect("a ratio above nothing");
        let reach = 3.1824 * (14.0f64 / 12.0).sqrt() / 5.0;
        assert!((upper / 5.0 - reach.exp()).abs() < 1e-4);
        assert!((lower * upper - 25.0).abs() < 1e-9);
    }

    #[test]
    fn the_log_of_nothing_has_no_limits() {
        let blank = Cluster {
            total: 0.0,
            exposure: 1.0,
        };
        let estimate = ratio_of_totals(&[blank; 5]).expect("five clusters");
        assert_eq!(estimate.limits_by_log(0.95), None);
    }

    #[test]
    fn one_cluster_or_no_exposure_gives_no_estimate() {
        let one = Cluster {
            total: 3.0,
            exposure: 1.0,
        };
        assert_eq!(ratio_of_totals(&[one]), None);
        assert_eq!(
            ratio_of_totals(&[
                one,
                Cluster {
                    total: 3.0,
                    exposure: 0.0
                }
            ]),
            None
        );
    }
}
