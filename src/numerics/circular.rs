//! Bearings and vector means: averages of directions, and of directions with a speed.
//!
//! Bearings are degrees clockwise from north. A wind's bearing is where it comes *from*.

/// A mean whose resultant is below this share of the largest it could be has no direction:
/// what is left of it is rounding.
const NO_DIRECTION: f64 = 1e-9;

/// The mean of a set of bearings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeanDirection {
    /// Mean bearing, degrees from 0 to 360; absent when the bearings cancel out.
    pub degrees: Option<f64>,
    /// Length of the mean unit vector, 0 (spread evenly) to 1 (all alike).
    pub resultant: f64,
}

impl MeanDirection {
    /// Circular standard deviation, degrees: `√(−2 ln R̄)`; infinite when `R̄` is 0.
    pub fn spread_degrees(&self) -> f64 {
        (-2.0 * self.resultant.ln()).max(0.0).sqrt().to_degrees()
    }
}

/// Mean direction of `bearings` (degrees): the direction of `Σ(sin d, cos d)/n`, of length `R̄`.
///
/// `None` without bearings. Source: Mardia & Jupp (2000), Directional Statistics, section 2.2.
pub fn mean_direction(bearings: &[f64]) -> Option<MeanDirection> {
    if bearings.is_empty() {
        return None;
    }
    let n = bearings.len() as f64;
    let (mut east, mut north) = (0.0, 0.0);
    for bearing in bearings {
        let (sin, cos) = bearing.to_radians().sin_cos();
        east += sin / n;
        north += cos / n;
    }
    let resultant = east.hypot(north);
    Some(MeanDirection {
        degrees: (resultant > NO_DIRECTION).then(|| bearing_of(east, north)),
        resultant,
    })
}

/// The vector mean of winds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VectorMean {
    /// Mean flow towards the east (a westerly is positive), in the speeds' unit.
    pub eastward: f64,
    /// Mean flow towards the north (a southerly is positive), in the speeds' unit.
    pub northward: f64,
    /// Length of the mean vector, in the speeds' unit.
    pub speed: f64,
    /// Plain mean of the speeds, in their unit; never less than `speed`.
    pub scalar_speed: f64,
    /// Where the mean wind comes from, degrees from 0 to 360; absent when the vectors cancel.
    pub from_degrees: Option<f64>,
    /// `speed / scalar_speed`, 0 to 1; absent when every speed is 0.
    pub steadiness: Option<f64>,
}

/// The vector mean of winds, each `(bearing it comes from in degrees, speed)`.
///
/// `u = −s·sin d`, `v = −s·cos d`, both averaged; speed `hypot(ū, v̄)`; bearing
/// `atan2(−ū, −v̄)`. A wind without a bearing (a calm, or one that blew from all round) counts
/// in the plain mean of speeds and adds nothing to the vector. `None` without winds.
///
/// Source: US EPA-454/R-99-005 (2000), section 6.2 (section number from memory).
pub fn vector_mean(winds: &[(Option<f64>, f64)]) -> Option<VectorMean> {
    if winds.is_empty() {
        return None;
    }
    let n = winds.len() as f64;
    let (mut eastward, mut northward, mut scalar_speed) = (0.0, 0.0, 0.0);
    for (from, speed) in winds {
        scalar_speed += speed / n;
        if let Some(from) = from {
            let (sin, cos) = from.to_radians().sin_cos();
            eastward -= speed * sin / n;
            northward -= speed * cos / n;
        }
    }
    let speed = eastward.hypot(northward);
    let directed = speed > NO_DIRECTION * scalar_speed;
    Some(VectorMean {
        eastward,
        northward,
        speed,
        scalar_speed,
        from_degrees: directed.then(|| bearing_of(-eastward, -northward)),
        steadiness: (scalar_speed > 0.0).then(|| speed / scalar_speed),
    })
}

/// Bearing of the vector `(east, north)`, degrees in `[0, 360)`.
fn bearing_of(east: f64, north: f64) -> f64 {
    let degrees = east.atan2(north).to_degrees().rem_euclid(360.0);
    // A bearing a rounding below 0 comes back as 360 itself.
    if degrees >= 360.0 { 0.0 } else { degrees }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn opposite_winds_have_no_bearing_but_keep_their_speed() {
        let mean = vector_mean(&[(Some(90.0), 5.0), (Some(270.0), 5.0)]).expect("two winds");
        assert_eq!(mean.from_degrees, None);
        assert_eq!(mean.scalar_speed, 5.0);
        assert_eq!(vector_mean(&[]), None);
    }

    #[test]
    fn calm_days_have_no_steadiness() {
        let mean = vector_mean(&[(None, 0.0), (Some(0.0), 0.0)]).expect("two calms");
        assert_eq!((mean.from_degrees, mean.steadiness), (None, None));
    }
}
