//! How a reader has figures shown, by a choice of their own. Nothing is guessed: without a choice
//! a weight stands as its water weighs, and wind in miles an hour.

use super::Scale;
use crate::domain::weather::units::SpeedUnit;

/// How wind is shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Speed {
    #[default]
    Mph,
    MetresASecond,
    Beaufort,
}

impl Speed {
    pub const ALL: [Self; 3] = [Self::Mph, Self::MetresASecond, Self::Beaufort];

    /// The word in the record and in forms.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Mph => "mph",
            Self::MetresASecond => "ms",
            Self::Beaufort => "beaufort",
        }
    }

    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|speed| speed.as_str() == text)
    }

    pub fn words(self) -> &'static str {
        match self {
            Self::Mph => "mph",
            Self::MetresASecond => "m/s",
            Self::Beaufort => "Beaufort",
        }
    }

    /// The unit of boxes that wind is typed in. A force is a range: typed over and over it would
    /// lose what was measured, so mph stand in for it.
    pub fn typed_in(self) -> SpeedUnit {
        match self {
            Self::Mph | Self::Beaufort => SpeedUnit::MilesPerHour,
            Self::MetresASecond => SpeedUnit::MetresPerSecond,
        }
    }
}

/// A reader's choice.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Units {
    /// Of weights that were worked out; `None`: as each water weighs.
    pub weights: Option<Scale>,
    pub wind: Speed,
}

impl Units {
    /// The unit of what was worked out at a water whose scales show `weighs_in`.
    pub fn scale(self, weighs_in: Scale) -> Scale {
        self.weights.unwrap_or(weighs_in)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_is_read_back_and_no_other() {
        for speed in Speed::ALL {
            assert_eq!(Speed::parse(speed.as_str()), Some(speed));
        }
        for scale in Scale::ALL {
            assert_eq!(Scale::from_slug(scale.slug()), Some(scale));
        }
        assert_eq!(Speed::parse("knots"), None);
        assert_eq!(Scale::from_slug("stone"), None);
    }

    #[test]
    fn without_a_choice_a_weight_stands_as_its_water_weighs() {
        let kilograms = Units {
            weights: Some(Scale::Grams),
            ..Units::default()
        };
        for scale in Scale::ALL {
            assert_eq!(Units::default().scale(scale), scale);
            assert_eq!(kilograms.scale(scale), Scale::Grams);
        }
    }
}
