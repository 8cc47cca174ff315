//! What to expect on a day: season, then the venue's form, then the weather of the days before
//! (S3), each refitted only on what was known before.
//!
//! One row a fished day and series: catch `c` (fish, or a unit of weight) and effort `h`
//! (rod-hours). All fits are ridge-penalised negative binomial pseudo-likelihoods of `c` with
//! offset `ln h` and one size `θ`, so that big match days weigh alike, a lone angler's day
//! little, and blanks are taken. The expectation is a product:
//!
//! `μ = h · season(day of year) · exp(strength · form) · exp(w₁ · like days + w₂ · regression)`
//!
//! - [`season`]: two harmonics of the day of year, and `θ` by moments;
//! - [`form`]: the log of observed over expected on earlier days, fading;
//! - [`anomalies`]: the weather as differences from its own season, in fixed steps;
//! - [`likeness`]: days alike in weather, as one reading of it; [`ridge`], a regression, as the
//!   other; [`weights`] joins the two, or leaves the weather out;
//! - [`walk_forward`]: every prediction that could have been made from earlier days alone, and
//!   from them [`honesty`] (does the weather tell anything here?) and [`band`].
//!
//! The order of the day, the rows and the features is the caller's; nothing here reads a clock
//! or a record. Which days are shown as alike is `like_days`; the peg is `peg_effect`.

pub mod anomalies;
pub mod band;
pub mod form;
pub mod honesty;
pub mod layout;
pub mod likeness;
pub mod ridge;
pub mod season;
pub mod study;
pub mod walk_forward;
pub mod weights;

mod ahead;
mod fitting;

use serde::{Deserialize, Serialize};

pub use ahead::{Expectation, FormPart, RegressionPart};
pub use band::Band;
pub use fitting::fit;
pub use honesty::{Honesty, Skill, Verdict};
pub use layout::{Ahead, FAMILIES, FEATURES, Family, Features, Layout, Row};
pub use likeness::Evidence;
pub use study::{Answer, Study, study};
pub use walk_forward::{Foretold, WalkForward, Window, walk_forward};
pub use weights::Weights;

/// One day of the past as the fit sees it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PastDay {
    /// Day number, days since a fixed day.
    pub day: i64,
    pub day_of_year: i32,
    /// Rod-hours.
    pub effort: f64,
    /// Fish, or the unit of weight that was fitted.
    pub catch: f64,
    /// Catch expected from season alone.
    pub season: f64,
    /// Catch expected from season and form.
    pub season_and_form: f64,
    /// Weather of the days before, as differences from its season, in steps.
    pub anomalies: Features,
}

/// Everything learnt from the rows given to [`fit`]; enough to say what to expect on any later
/// day, and why.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Fit {
    pub layout: Layout,
    pub season: season::Season,
    pub form: form::Form,
    pub anomalies: anomalies::Anomalies,
    pub regression: ridge::Regression,
    pub weights: Weights,
    /// Oldest first.
    pub past: Vec<PastDay>,
}

/// Why nothing could be fitted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, thiserror::Error)]
pub enum FitError {
    #[error("there is no day to learn from")]
    NoDays,
    #[error("nothing has been caught yet, so there is no rate to expect")]
    NothingCaught,
    #[error("day {day} has no effort; a day without rod-hours cannot enter a rate")]
    NoEffort { day: i64 },
    #[error("the catch of day {day} is below nought or not a number")]
    CatchUnreadable { day: i64 },
    #[error("day {day} does not come after the day before it in the list")]
    OutOfOrder { day: i64 },
    #[error("the fit did not settle")]
    NotSettled,
}

impl From<crate::numerics::negative_binomial::NotSettled> for FitError {
    fn from(_: crate::numerics::negative_binomial::NotSettled) -> Self {
        Self::NotSettled
    }
}
