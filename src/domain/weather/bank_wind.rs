//! The wind as an angler feels it who stands on a bank and looks at the water.

use serde::{Deserialize, Serialize};

use super::compass::within_circle;

/// Where the wind comes from, seen from the bank: eight quarters of 45°.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum BankWind {
    IntoYourFace,
    FaceFromRight,
    RightToLeft,
    OverRightShoulder,
    OffYourBack,
    OverLeftShoulder,
    LeftToRight,
    FaceFromLeft,
}

const CLOCKWISE: [BankWind; 8] = [
    BankWind::IntoYourFace,
    BankWind::FaceFromRight,
    BankWind::RightToLeft,
    BankWind::OverRightShoulder,
    BankWind::OffYourBack,
    BankWind::OverLeftShoulder,
    BankWind::LeftToRight,
    BankWind::FaceFromLeft,
];

impl BankWind {
    /// The wind from `from` degrees on a bank whose anglers look towards `facing` degrees.
    pub fn of(from: f64, facing: f64) -> Self {
        let ahead = within_circle(from - facing);
        CLOCKWISE[(ahead / 45.0 + 0.5).floor() as usize % 8]
    }

    pub fn words(self) -> &'static str {
        match self {
            Self::IntoYourFace => "into your face",
            Self::FaceFromRight => "into your face from the right",
            Self::RightToLeft => "right to left",
            Self::OverRightShoulder => "over your right shoulder",
            Self::OffYourBack => "off your back",
            Self::OverLeftShoulder => "over your left shoulder",
            Self::LeftToRight => "left to right",
            Self::FaceFromLeft => "into your face from the left",
        }
    }
}
