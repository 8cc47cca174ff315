//! The turning year as two pairs of sines and cosines.

/// Days in the mean Julian year, the period of every seasonal curve here.
pub const YEAR_DAYS: f64 = 365.25;

/// Intercept and two harmonics: the columns of a seasonal curve.
pub const SEASON_TERMS: usize = 5;

/// `[1, sin a, cos a, sin 2a, cos 2a]` with `a = 2π · day_of_year / 365.25`.
pub fn season_terms(day_of_year: i32) -> [f64; SEASON_TERMS] {
    let (sin, cos) = angle(f64::from(day_of_year)).sin_cos();
    let (sin_2, cos_2) = (2.0 * angle(f64::from(day_of_year))).sin_cos();
    [1.0, sin, cos, sin_2, cos_2]
}

/// A yearly wave between −1 and 1 that peaks on day of year `peak`.
pub fn wave_peaking_on(peak: i32, day_of_year: i32) -> f64 {
    angle(f64::from(day_of_year - peak)).cos()
}

/// Days between two days of the year by the shorter way round, at most 182.625.
pub fn days_apart_in_year(one: i32, other: i32) -> f64 {
    let gap = f64::from(one - other).rem_euclid(YEAR_DAYS);
    gap.min(YEAR_DAYS - gap)
}

fn angle(days: f64) -> f64 {
    std::f64::consts::TAU * days / YEAR_DAYS
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn new_year_is_crossed_by_the_shorter_way() {
        assert_eq!(days_apart_in_year(10, 15), 5.0);
        assert_eq!(days_apart_in_year(360, 5), 10.25);
        assert_eq!(days_apart_in_year(5, 360), 10.25);
    }

    #[test]
    fn a_wave_is_highest_on_its_peak_and_lowest_half_a_year_on() {
        assert_eq!(wave_peaking_on(20, 20), 1.0);
        assert!(wave_peaking_on(20, 20 + 183) < -0.9999);
    }
}
