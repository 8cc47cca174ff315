//! The wind as an angler on the bank meets it. An arrow points along the wind's travel, with the
//! water ahead drawn upwards: an arrow pointing down blows into the face.

use super::Place;

/// Under this mean speed, m/s, there is no direction to draw.
/// Source: Beaufort force 0, "calm", WMO Manual on Codes (WMO-No. 306); from memory.
const CALM: f64 = 0.3;

/// One day's wind.
#[derive(Clone, Debug, PartialEq)]
pub struct StripWind {
    /// Mean speed, metres a second; `None` where only the direction is known.
    pub speed_ms: Option<f64>,
    /// Bearing it comes from, degrees from north; `None` for variable or not written down.
    pub from_deg: Option<f64>,
    /// Written down as variable; a direction that nobody wrote down is not.
    pub is_variable: bool,
    /// As the reader's units have it, such as `12 mph SW`.
    pub words: String,
}

/// What is drawn for a day's wind.
#[derive(Clone, Debug, PartialEq)]
pub enum Arrow {
    /// Half the arrow's length and half its head's breadth, px; turned `turn` degrees clockwise
    /// from pointing up.
    Blowing {
        reach: Place,
        barb: Place,
        neck: Place,
        turn: Place,
    },
    Calm,
    Variable,
    /// It blew, and nobody wrote down from where.
    Unwritten,
}

/// The arrow for `wind`, `longest` px from middle to tip at a gale.
pub fn arrow(wind: &StripWind, facing_deg: Option<f64>, longest: f64) -> Arrow {
    if wind.speed_ms.is_some_and(|speed| speed < CALM) {
        return Arrow::Calm;
    }
    let Some(from) = wind.from_deg else {
        return match wind.is_variable {
            true => Arrow::Variable,
            false => Arrow::Unwritten,
        };
    };
    // A fresh wind is drawn a half longer than a light one; beyond a near gale no longer still.
    let strength = (wind.speed_ms.unwrap_or(4.0) / 14.0).clamp(0.0, 1.0);
    let reach = longest * (0.6 + 0.4 * strength);
    Arrow::Blowing {
        reach: Place(reach),
        barb: Place(reach * 0.42),
        neck: Place(reach * 0.5),
        turn: Place((from + 180.0 - facing_deg.unwrap_or(0.0)).rem_euclid(360.0)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wind(speed_ms: Option<f64>, from_deg: Option<f64>) -> StripWind {
        StripWind {
            speed_ms,
            from_deg,
            is_variable: false,
            words: String::new(),
        }
    }

    #[test]
    fn the_arrow_points_along_the_winds_travel() {
        let turn = |from, facing| match arrow(&wind(Some(5.0), Some(from)), facing, 15.0) {
            Arrow::Blowing { turn, .. } => turn.0,
            other => panic!("no arrow: {other:?}"),
        };

        assert_eq!(turn(180.0, Some(180.0)), 180.0, "into the face: down");
        assert_eq!(turn(0.0, Some(180.0)), 0.0, "off the back: up");
        assert_eq!(
            turn(270.0, None),
            90.0,
            "a westerly travels east when north is up"
        );
    }

    #[test]
    fn calm_variable_and_unknown_winds_have_no_direction() {
        assert_eq!(arrow(&wind(Some(0.1), Some(90.0)), None, 15.0), Arrow::Calm);
        let variable = |speed_ms| StripWind {
            is_variable: true,
            ..wind(speed_ms, None)
        };
        for speed in [Some(2.0), None] {
            let drawn = arrow(&variable(speed), None, 15.0);
            assert_eq!(drawn, Arrow::Variable);
            let not_written_down = arrow(&wind(speed, None), None, 15.0);
            assert_eq!(not_written_down, Arrow::Unwritten);
        }
    }

    #[test]
    fn a_gale_is_drawn_no_longer_than_its_column() {
        let reach = |speed| match arrow(&wind(Some(speed), Some(0.0)), None, 15.0) {
            Arrow::Blowing { reach, .. } => reach.0,
            other => panic!("no arrow: {other:?}"),
        };

        assert!(reach(2.0) < reach(8.0));
        assert_eq!(reach(40.0), 15.0);
    }
}
