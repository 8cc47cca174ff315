//! Everything a page needs of one series of days at one venue, made in one go and kept.

use rand::Rng;
use serde::{Deserialize, Serialize};

use super::{
    Ahead, Band, Expectation, Fit, FitError, Honesty, Layout, Row, WalkForward, fit, walk_forward,
};

/// A fit, how well foretelling has done, and the band that follows from it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Study {
    pub fit: Fit,
    pub walk: WalkForward,
    pub honesty: Honesty,
    /// `None` under twenty days foretold.
    pub band: Option<Band>,
}

/// What is said of a day: the expectation and, where there is one, the band about its catch.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Answer {
    pub expectation: Expectation,
    /// Lower and upper catch.
    pub catch_band: Option<(f64, f64)>,
}

/// Fits all rows and walks forward through them.
///
/// `generator` draws the bootstrap only; give it a fixed seed and the answer is the same again.
pub fn study(rows: &[Row], layout: &Layout, generator: &mut impl Rng) -> Result<Study, FitError> {
    let fit = fit(rows, layout)?;
    let walk = walk_forward(rows, layout)?;
    let honesty = walk.honesty(generator);
    let band = Band::of(&walk.foretold);
    Ok(Study {
        fit,
        walk,
        honesty,
        band,
    })
}

impl Study {
    /// What to expect on a day after the last of the rows.
    pub fn answer(&self, ahead: &Ahead) -> Answer {
        let expectation = self.fit.expect(ahead);
        let catch_band = self.band.map(|band| band.about(expectation.catch));
        Answer {
            expectation,
            catch_band,
        }
    }
}
