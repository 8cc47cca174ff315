//! What a row holds, and how its eight features are read: in which steps, in which families.

use serde::{Deserialize, Serialize};

use super::FitError;

/// Features of the days before.
pub const FEATURES: usize = 8;
/// Families of features; likeness is the mean over the features within, the sum over families.
pub const FAMILIES: usize = 5;

/// A value for each feature; missing stays missing.
pub type Features = [Option<f64>; FEATURES];

/// What a feature is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Family {
    Temperature,
    Frost,
    Rain,
    Wind,
    Pressure,
}

impl Family {
    pub const ALL: [Self; FAMILIES] = [
        Self::Temperature,
        Self::Frost,
        Self::Rain,
        Self::Wind,
        Self::Pressure,
    ];
}

/// How the features are measured against each other.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Layout {
    /// One step of each feature, in the feature's unit, above 0.
    pub steps: [f64; FEATURES],
    pub families: [Family; FEATURES],
    /// Features whose square enters the regression.
    pub squared: [bool; FEATURES],
}

impl Layout {
    /// The run-up features of a session, in this order:
    ///
    /// | # | feature | family | step | squared |
    /// |---|---|---|---|---|
    /// | 0 | mean air temperature over 3 days, °C | temperature | 3 | yes |
    /// | 1 | its change over 7 days, °C a day (Theil–Sen) | temperature | 0.7 | yes |
    /// | 2 | frost nights in 7 | frost | 2 | |
    /// | 3 | `ln(1 + rain over 3 days in mm)` | rain | 1 | yes |
    /// | 4 | westerly wind over 3 days, m/s | wind | 3 | yes |
    /// | 5 | southerly wind over 3 days, m/s | wind | 3 | |
    /// | 6 | pressure of the day before, hPa | pressure | 8 | |
    /// | 7 | its change over 3 days, hPa | pressure | 8 | |
    pub const RUN_UP: Self = Self {
        steps: [3.0, 0.7, 2.0, 1.0, 3.0, 3.0, 8.0, 8.0],
        families: [
            Family::Temperature,
            Family::Temperature,
            Family::Frost,
            Family::Rain,
            Family::Wind,
            Family::Wind,
            Family::Pressure,
            Family::Pressure,
        ],
        squared: [true, true, false, true, true, false, false, false],
    };

    /// Columns of the regression: the features, their squares, the features by winter.
    pub fn terms(&self) -> usize {
        2 * FEATURES + self.squared.iter().filter(|&&squared| squared).count()
    }
}

/// One fished day of one series.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Row {
    /// Day number, days since a fixed day.
    pub day: i64,
    /// Day of the year, 1 on 1 January.
    pub doy: i32,
    /// Rod-hours, above 0.
    pub effort: f64,
    /// Fish, or a unit of weight; 0 or more.
    pub catch: f64,
    /// Weather of the days before, in the features' own units.
    pub features: Features,
}

/// A day for which something is to be expected: a row without its catch.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Ahead {
    pub day: i64,
    pub doy: i32,
    pub effort: f64,
    pub features: Features,
}

impl Row {
    /// The row as it stood before anybody fished.
    pub fn ahead(&self) -> Ahead {
        Ahead {
            day: self.day,
            doy: self.doy,
            effort: self.effort,
            features: self.features,
        }
    }
}

/// Checks what every fit relies on: days ascending, effort above 0, catches that are numbers,
/// something caught.
pub(super) fn check(rows: &[Row]) -> Result<(), FitError> {
    if rows.is_empty() {
        return Err(FitError::NoDays);
    }
    for pair in rows.windows(2) {
        if pair[1].day <= pair[0].day {
            return Err(FitError::OutOfOrder { day: pair[1].day });
        }
    }
    for row in rows {
        if !(row.effort.is_finite() && row.effort > 0.0) {
            return Err(FitError::NoEffort { day: row.day });
        }
        if !(row.catch.is_finite() && row.catch >= 0.0) {
            return Err(FitError::CatchUnreadable { day: row.day });
        }
    }
    if rows.iter().all(|row| row.catch == 0.0) {
        return Err(FitError::NothingCaught);
    }
    Ok(())
}
