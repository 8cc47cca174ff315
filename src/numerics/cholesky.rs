//! Cholesky factors of small symmetric positive definite matrices, kept row by row in a flat
//! slice so that a fit of twenty columns allocates nothing. Not for large or rank-deficient
//! systems.

/// Replaces the lower triangle of `a` (`p × p`, row-major) by `L` with `L Lᵀ = a`.
///
/// Only the lower triangle is read or written. Returns `false`, leaving `a` half done, when a
/// pivot is not positive: the matrix is not positive definite to working precision.
///
/// Source: Golub & Van Loan, Matrix Computations, 4th ed., algorithm 4.2.2.
#[must_use]
pub fn factor(a: &mut [f64], p: usize) -> bool {
    for i in 0..p {
        let (above, row) = a.split_at_mut(i * p);
        for j in 0..i {
            let other = &above[j * p..j * p + j];
            let sum: f64 = row[..j].iter().zip(other).map(|(x, y)| x * y).sum();
            row[j] = (row[j] - sum) / above[j * p + j];
        }
        let pivot = row[i] - row[..i].iter().map(|x| x * x).sum::<f64>();
        if pivot.is_nan() || pivot <= 0.0 {
            return false;
        }
        row[i] = pivot.sqrt();
    }
    true
}

/// Solves `L Lᵀ x = b` in place; `l` as left by [`factor`], `b` of length `p`.
pub fn solve(l: &[f64], p: usize, b: &mut [f64]) {
    for i in 0..p {
        let sum: f64 = l[i * p..i * p + i]
            .iter()
            .zip(&*b)
            .map(|(x, y)| x * y)
            .sum();
        b[i] = (b[i] - sum) / l[i * p + i];
    }
    for i in (0..p).rev() {
        let mut sum = b[i];
        for k in i + 1..p {
            sum -= l[k * p + i] * b[k];
        }
        b[i] = sum / l[i * p + i];
    }
}

#[cfg(test)]
mod tests {
    use super::{factor, solve};

    #[test]
    fn a_system_worked_by_hand_is_solved() {
        // [4 2; 2 3] = L Lᵀ with L = [2 0; 1 √2]; x = (1, -1) gives b = (2, -1).
        let mut a = [4.0, f64::NAN, 2.0, 3.0];
        let mut b = [2.0, -1.0];
        assert!(factor(&mut a, 2));
        assert_eq!((a[0], a[2]), (2.0, 1.0));
        assert!((a[3] - 2f64.sqrt()).abs() < 1e-15);
        solve(&a, 2, &mut b);
        assert!((b[0] - 1.0).abs() < 1e-15 && (b[1] + 1.0).abs() < 1e-15);
    }

    #[test]
    fn a_matrix_that_is_not_positive_definite_is_refused() {
        assert!(!factor(&mut [1.0, 0.0, 2.0, 1.0], 2));
        assert!(!factor(&mut [f64::NAN], 1));
    }
}
