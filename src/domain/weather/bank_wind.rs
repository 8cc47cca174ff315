//! The wind as an angler feels it who stands on a bank and looks at the water.

use serde::{Deserialize, Serialize};

use super::compass::{Compass, within_circle};

/// Where the wind comes from, seen from the bank.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum BankWind {
    IntoYourFace,
    FaceFromRight,
    AcrossFromRight,
    BehindFromRight,
    FromBehind,
    BehindFromLeft,
    AcrossFromLeft,
    FaceFromLeft,
}

impl BankWind {
    /// The wind from `from` degrees on a bank whose anglers look towards `facing` degrees.
    ///
    /// Told of the point of the compass by which pages name the wind: one of 160° is called
    /// south-south-east, so on a bank it is what a south-south-easter is there. Sectors of 45° about
    /// the face, either hand and the back. Points fall on their edges, where the plainer word is
    /// said, alike on either hand: 67.5° off the face is across.
    pub fn of(from: f64, facing: f64) -> Self {
        let ahead = within_circle(Compass::of(from).degrees() - facing);
        let from_right = ahead < 180.0;
        let off = ahead.min(360.0 - ahead);
        match (off, from_right) {
            (..=22.5, _) => Self::IntoYourFace,
            (..67.5, true) => Self::FaceFromRight,
            (..67.5, false) => Self::FaceFromLeft,
            (..=112.5, true) => Self::AcrossFromRight,
            (..=112.5, false) => Self::AcrossFromLeft,
            (..157.5, true) => Self::BehindFromRight,
            (..157.5, false) => Self::BehindFromLeft,
            _ => Self::FromBehind,
        }
    }

    pub fn words(self) -> &'static str {
        match self {
            Self::IntoYourFace => "into your face",
            Self::FaceFromRight => "into your face from the right",
            Self::AcrossFromRight => "across from the right",
            Self::BehindFromRight => "from behind, over your right shoulder",
            Self::FromBehind => "from behind",
            Self::BehindFromLeft => "from behind, over your left shoulder",
            Self::AcrossFromLeft => "across from the left",
            Self::FaceFromLeft => "into your face from the left",
        }
    }
}
