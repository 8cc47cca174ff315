//! Pictures drawn by the server: plain structs of figures and words in, SVG out, each with a
//! title, a description and a table of the same figures. They know nothing of the database.
//!
//! A page holds a picture and writes `{{ strip }}`: a picture escapes its own words, so it is
//! safe HTML by its type and no page needs to say so. Places across are per cent of the width and
//! places down are pixels, so letters keep their size on any screen; whatever has a shape stands
//! in a nested `<svg>` at its place. Colours and widths belong to `static/css/parts/pictures.css`.

use std::fmt;

use askama::{Template, filters::HtmlSafe};

pub mod effect_ladder;
pub mod hour_strip;
pub mod reed_line;
pub mod run_up_scale;
pub mod run_up_strip;
pub mod wind;

pub use effect_ladder::{EffectLadder, Rung};
pub use hour_strip::{Hour, HourStrip, Hours};
pub use reed_line::{Adds, Bank, Reed, ReedLine};
pub use run_up_scale::RunUpScale;
pub use run_up_strip::{RunUp, RunUpStrip, SmallRunUpStrip, StripDay};
pub use wind::StripWind;

/// A place in a drawing, pixels or per cent, written with two decimals at most.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Place(pub f64);

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // By whole numbers: a picture has hundreds of places, and a float is slow to write.
        let hundredths = (self.0 * 100.0).round_ties_even() as i64;
        let (whole, part) = (
            hundredths.unsigned_abs() / 100,
            hundredths.unsigned_abs() % 100,
        );
        if hundredths < 0 {
            f.write_str("-")?;
        }
        match (part / 10, part % 10) {
            (0, 0) => write!(f, "{whole}"),
            (tenths, 0) => write!(f, "{whole}.{tenths}"),
            (tenths, rest) => write!(f, "{whole}.{tenths}{rest}"),
        }
    }
}

/// A picture as it was drawn, to stand on a page as often as it is asked for.
pub struct Drawn(String);

impl Drawn {
    pub fn of<T: Template + HtmlSafe>(picture: &T) -> askama::Result<Self> {
        picture.render().map(Self)
    }
}

impl fmt::Display for Drawn {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

// Digits, a point and a hyphen need no escaping; the pictures escape their own words.
impl HtmlSafe for Place {}
impl HtmlSafe for RunUpStrip {}
impl HtmlSafe for SmallRunUpStrip {}
impl HtmlSafe for ReedLine {}
impl HtmlSafe for HourStrip {}
impl HtmlSafe for EffectLadder {}
impl HtmlSafe for Drawn {}

/// The middle of column `at` of `count` equal columns, per cent.
fn middle(at: usize, count: usize) -> Place {
    Place(100.0 * (at as f64 + 0.5) / count as f64)
}

/// The left edge of column `at` of `count` equal columns, per cent.
fn left(at: usize, count: usize) -> Place {
    Place(100.0 * at as f64 / count as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_written_short() {
        for (value, want) in [
            (0.0, "0"),
            (-0.001, "0"),
            (9.0909, "9.09"),
            (50.0, "50"),
            (-12.5, "-12.5"),
            (-0.5, "-0.5"),
            (0.125, "0.12"),
            (0.375, "0.38"),
            (7.0625, "7.06"),
            (99.999, "100"),
        ] {
            assert_eq!(Place(value).to_string(), want);
        }
    }

    #[test]
    fn columns_share_the_width() {
        assert_eq!(middle(0, 4), Place(12.5));
        assert_eq!(middle(3, 4), Place(87.5));
        assert_eq!(left(3, 4), Place(75.0));
    }
}
