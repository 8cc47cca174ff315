//! What a fit says of a day it has not seen, and why.

use serde::{Deserialize, Serialize};

use super::{
    Ahead, Evidence, FEATURES, Features, Fit, Row, Weights,
    fitting::laid_out,
    form::Memory,
    likeness::{Past, Scratch},
};

/// How the venue's form moves an expectation.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct FormPart {
    /// Log of observed over expected lately.
    pub form: f64,
    /// Share of it that is believed.
    pub strength: f64,
    /// `exp(strength · form)`.
    pub multiplier: f64,
}

/// How the regression reads a day's weather.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct RegressionPart {
    pub ln_multiplier: f64,
    /// Log multiplier by feature; they add up to `ln_multiplier`.
    pub by_feature: [f64; FEATURES],
}

/// What to expect on a day, and the parts it is made of:
/// `catch = season · form.multiplier · weather_multiplier`.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Expectation {
    /// Rod-hours it is for.
    pub effort: f64,
    /// Catch by season alone.
    pub season: f64,
    pub form: FormPart,
    /// Catch by season and form.
    pub season_and_form: f64,
    /// The day's weather, as differences from its season, in steps.
    pub anomalies: Features,
    pub like_days: Evidence,
    pub regression: RegressionPart,
    pub weights: Weights,
    /// `exp(w₁ · like days + w₂ · regression)`.
    pub weather_multiplier: f64,
    /// Catch by all three.
    pub catch: f64,
}

impl Expectation {
    /// Catch a rod-hour.
    pub fn rate(&self) -> f64 {
        self.catch / self.effort
    }
}

impl Fit {
    /// What to expect on a day after the rows that were fitted.
    pub fn expect(&self, ahead: &Ahead) -> Expectation {
        self.outlook().expect(ahead)
    }

    /// A view of the days to come, for asking more than once.
    pub fn outlook(&self) -> Outlook<'_> {
        let theta = self.season.theta;
        let mut memory = Memory::new(self.form.fading_days, theta);
        for day in &self.past {
            memory.learn(day.day, day.catch, day.season);
        }
        Outlook {
            fit: self,
            memory,
            past: laid_out(&self.layout, theta, &self.past),
            scratch: Scratch::default(),
        }
    }
}

/// Days to come, in order: form goes on from day to day, everything else stays as fitted.
pub struct Outlook<'a> {
    fit: &'a Fit,
    memory: Memory,
    past: Past,
    scratch: Scratch,
}

impl Outlook<'_> {
    /// What to expect on a day not before the last one fitted or learnt.
    pub fn expect(&mut self, ahead: &Ahead) -> Expectation {
        let fit = self.fit;
        let season = fit.season.expected(ahead.doy, ahead.effort);
        let log_form = self.memory.form_on(ahead.day);
        let multiplier = (fit.form.strength * log_form).exp();
        let anomalies = fit.anomalies.of(ahead.doy, &ahead.features);
        let like_days = self.past.evidence(&anomalies, &(0..0), &mut self.scratch);
        let by_feature = fit
            .regression
            .by_feature(&fit.layout, ahead.doy, &anomalies);
        let regression = RegressionPart {
            ln_multiplier: by_feature.iter().sum(),
            by_feature,
        };
        let weather = fit
            .weights
            .join(like_days.ln_multiplier, regression.ln_multiplier)
            .exp();
        Expectation {
            effort: ahead.effort,
            season,
            form: FormPart {
                form: log_form,
                strength: fit.form.strength,
                multiplier,
            },
            season_and_form: season * multiplier,
            anomalies,
            like_days,
            regression,
            weights: fit.weights,
            weather_multiplier: weather,
            catch: season * multiplier * weather,
        }
    }

    /// Lets a day that has been fished since count towards form, and nothing else.
    pub fn learn(&mut self, row: &Row) {
        let season = self.fit.season.expected(row.doy, row.effort);
        self.memory.learn(row.day, row.catch, season);
    }
}
