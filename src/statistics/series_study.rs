//! One series of one set of groups at a venue, studied: what to expect, how well that would have
//! been foretold, what each peg gives and how the days of each custom went. Made in the
//! background and kept, so that a page only reads it (S3).

use std::collections::{BTreeMap, BTreeSet};

use rand::Rng;
use serde::{Deserialize, Serialize};

use super::{
    expectation::{
        Ahead, Band, Expectation, Fit, FitError, Foretold, Honesty, Layout, Verdict, study,
    },
    fished_days::{ANGLERS_BEHIND_REPORTS, FishedDays, FishedSession, Series},
    peg_effect::PegEffect,
    peg_effects::of_every_peg,
    rates::{COVERAGE, FEWEST_DAYS},
    run_up::{RunUp, Surroundings, usual_temperature},
    wording,
};
use crate::{
    domain::{
        customs::{RULES, Rule},
        dates::Day,
        ids::{AnglerId, PegId},
        weather::WeatherDays,
    },
    numerics::ratio::{Cluster, ratio_of_totals},
};

/// The question under which studies are kept.
pub const QUESTION: &str = "what to expect";
/// Raised whenever a change here, or in what it calls, changes a figure.
pub const METHOD_VERSION: i64 = 5;

/// How an expectation is worked out, for the page.
pub const FORMULA: &str = "Catch = rod-hours × season × form × weather, and at a peg times the peg’s own part. \
    Band: the 10th to the 90th percentile of observed over expected on the days foretold.";
/// The steps of the same in their order, with every figure that whoever does them again needs.
pub const STEPS: [(&str, &str); 8] = [
    (
        "Days",
        "One row a fished day: catch c and rod-hours h; who did not weigh counts as nothing. Every fit is a penalised negative \
        binomial one with offset ln h and one size θ, found by moments. A day counts W = 1/(1 + μ/θ), μ being what it was expected to give.",
    ),
    (
        "Season",
        "Two harmonics of the day of the year, penalty λ = 2, the level free of it.",
    ),
    (
        "Form",
        "ln[(Σ ωWc + 2θ)/(Σ ωWμ + 2θ)] over earlier days, μ from season alone, ω = e^(−age/τ) with τ of 10, 30 or 90 days; times a \
        strength of 0, ¼, ½, ¾ or 1. Both by least deviance on the past.",
    ),
    (
        "The weather’s readings",
        "Each less its own season, counted in steps: mean temperature of three days 3 °C; its change over seven 0.7 °C a day; \
        frost nights in seven 2; ln(1 + mm of rain in three days) 1; westerly and southerly wind of three days 3 m/s; pressure \
        and its change over three days 8 hPa. Sums and counts are over the days written down, scaled to the window, so that frost \
        nights or rain may be fractions; with over a third of its days missing a reading is left out.",
    ),
    (
        "Days alike",
        "Each past day counts e^(−Δ/4). Δ adds, over temperature, frost, rain, wind and pressure, the mean squared difference in \
        steps; one that is missing on either day counts 2. A is the catch of those days over what season and form gave, n how many \
        days they are worth, by blocks of 14 days and by what each tells. Multiplier: (n·A + 6)/(n + 6).",
    ),
    (
        "Regression",
        "Ridge on the readings g, on ½(g² − 1) of temperature, its change, rain and westerly wind, and on g × winter, a cosine that \
        peaks on 20 January. Its penalty, 10 to 10,000, by five folds of the past.",
    ),
    (
        "Weights",
        "One for each of the two, in tenths, together at most 1: least deviance on the same folds plus 4 for each whole unit, so \
        often nought. Weather = (days alike)^w₁ × (regression)^w₂.",
    ),
    (
        "Band",
        "The percentiles of caught over expected on the days foretold, each from earlier days alone, in fortnights from the 27th \
        day on, the latest sixty; twenty days at least; times the expectation.",
    ),
];
/// How the club's own days of a custom are worked out, for the page.
pub const CUSTOMS_FORMULA: &str = "Any custom that asks for care outranks every custom that invites boldness. The club’s own days: \
    total catch over what season and form gave, all days of a custom together; ratio estimator over days, CR2, 95 %, from six days. \
    The file says of each day which customs held.";
/// Where the method is published.
pub const SOURCE: &str = "Negative binomial pseudo-likelihood: Gourieroux, Monfort & Trognon (1984), Econometrica 52; ridge: \
    Hoerl & Kennard (1970), Technometrics 12; percentiles: Hyndman & Fan (1996), The American Statistician 50; \
    bootstrap: Efron (1979), Annals of Statistics 7. Steps, families and penalties are our own choices";

/// A studied series.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SeriesStudy {
    pub days: FishedDays,
    pub outcome: Outcome,
    /// What each drawn peg gives beside the others; of matches only.
    pub pegs: Vec<(PegId, PegEffect)>,
}

/// What could be made of the days.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// No day, or nothing caught on any: an answer too.
    TooLittle(FitError),
    Studied(Box<Studied>),
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Studied {
    pub fit: Fit,
    /// How many times the rate is that of those who weighed; absent where all did.
    pub weighed: Option<f64>,
    pub honesty: Honesty,
    pub band: Option<Band>,
    /// Past days as they would have been foretold, oldest first.
    pub foretold: Vec<Foretold>,
    pub customs: Vec<CustomDays>,
}

/// The days on which a custom's rule held, against what season and form gave.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CustomDays {
    /// The rule's word.
    pub rule: String,
    pub days: usize,
    pub sessions: usize,
    pub anglers: usize,
    pub rod_hours: f64,
    /// Caught over expected from season and form, all days together.
    pub ratio: f64,
    /// 95 per cent limits of the same; `None` under six days.
    pub limits: Option<(f64, f64)>,
}

/// What is said of a day: catch a rod-hour and how it came about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expected {
    pub rate: f64,
    /// Lower and upper rate of a day.
    pub band: Option<(f64, f64)>,
    /// The rate without those who did not weigh, where any did not.
    pub weighed: Option<f64>,
    pub parts: Expectation,
}

impl SeriesStudy {
    /// Studies `sessions` of one series and set, all dated before whatever will be asked about.
    ///
    /// The generator draws bootstraps only; from one seed the answer is always the same. Too
    /// little data is an outcome; an error is a fit that did not settle.
    pub fn of(
        days: FishedDays,
        sessions: &[FishedSession],
        weather: &WeatherDays,
        generator: &mut impl Rng,
    ) -> Result<Self, FitError> {
        let rows = days.rows(weather);
        let pegs = match days.series {
            Series::Match => of_every_peg(days.unit, sessions).into_iter().collect(),
            Series::Report => Vec::new(),
        };
        let outcome = match study(&rows, &Layout::RUN_UP, generator) {
            Err(error @ (FitError::NoDays | FitError::NothingCaught)) => Outcome::TooLittle(error),
            Err(error) => return Err(error),
            Ok(made) => Outcome::Studied(Box::new(Studied {
                weighed: days.weighed_over_all(made.fit.past.iter().map(|day| day.season_and_form)),
                customs: customs(&days, sessions, &made.fit, weather),
                fit: made.fit,
                honesty: made.honesty,
                band: made.band,
                foretold: made.walk.foretold,
            })),
        };
        Ok(Self {
            days,
            outcome,
            pegs,
        })
    }

    pub fn studied(&self) -> Option<&Studied> {
        match &self.outcome {
            Outcome::Studied(studied) => Some(studied),
            Outcome::TooLittle(_) => None,
        }
    }

    /// What so few fished days gave; under six nothing is expected from them. Days that may not be
    /// listed by themselves are left out of it.
    pub fn few_days(&self) -> Option<String> {
        let fished = self.days.days.len();
        if fished == 0 || fished >= FEWEST_DAYS {
            return None;
        }
        let listed = self.days.days.iter();
        let each: Vec<_> = listed
            .filter(|day| self.days.may_be_listed(day))
            .map(|day| {
                let rate = self.days.unit.words(day.rate());
                format!("{rate} an hour on {}", day.day.short())
            })
            .collect();
        let gave = match each.is_empty() {
            true => String::new(),
            false => format!("; on record: {}", wording::list(&each)),
        };
        Some(wording::sentence(&format!(
            "{} on record {} too few to expect anything from (six are wanted){gave}",
            wording::count(fished, "day", "days"),
            wording::are(fished)
        )))
    }

    /// What is said first: whether knowing the weather would have told anything here.
    pub fn honest_sentence(&self) -> String {
        let Some(studied) = self.studied() else {
            return match self.days.days.is_empty() {
                true => "No day is on record yet, so there is nothing to expect from.".to_owned(),
                false => format!(
                    "Nothing has been caught on {} on record, so there is no rate to expect.",
                    wording::count(self.days.behind.days, "day", "days")
                ),
            };
        };
        if let Some(few) = self.few_days() {
            return few;
        }
        let honesty = &studied.honesty;
        let foretold = wording::count(honesty.days_foretold, "day", "days");
        match (honesty.verdict, honesty.weather) {
            (Verdict::TooFewDays, _) | (_, None) => format!(
                "{} on record {} too few to tell whether the weather matters here: 26 days, and twelve fortnights foretold after them, are needed. What follows leans on the weather only as far as it helped within those days, which is no test.",
                wording::sentence(&wording::count(honesty.days, "day", "days"))
                    .trim_end_matches('.'),
                wording::are(honesty.days)
            ),
            (Verdict::WeatherToldNoMore, Some(_)) => format!(
                "Over {foretold} foretold from earlier days alone, knowing the weather would not have told more than season and form did."
            ),
            (Verdict::WeatherTold, Some(skill)) => format!(
                "Over {foretold} foretold from earlier days alone, knowing the weather took off {:.0} % of what season and form left unexplained (5th to 95th percentile {:.0} to {:.0} %).",
                100.0 * skill.estimate,
                100.0 * skill.fifth,
                100.0 * skill.ninety_fifth
            ),
        }
    }

    pub fn peg(&self, peg: PegId) -> Option<&PegEffect> {
        let found = self.pegs.iter().find(|(known, _)| *known == peg);
        found.map(|(_, effect)| effect)
    }

    /// What the club's own days say of a custom; nothing of reports by fewer than three anglers.
    pub fn custom(&self, rule: &Rule) -> Option<&CustomDays> {
        let found = self.studied()?.customs.iter().find(|c| c.rule == rule.slug);
        found.filter(|custom| {
            self.days.series == Series::Match || custom.anglers >= ANGLERS_BEHIND_REPORTS
        })
    }
}

impl Studied {
    /// What to expect of one rod-hour after these days.
    pub fn expect(&self, run_up: &RunUp) -> Expected {
        let ahead = ahead(run_up);
        let parts = self.fit.expect(&ahead);
        Expected {
            rate: parts.rate(),
            band: self.band.map(|band| band.about(parts.rate())),
            weighed: self.weighed.map(|times| times * parts.rate()),
            parts,
        }
    }
}

/// One rod-hour of a day to come.
pub fn ahead(run_up: &RunUp) -> Ahead {
    Ahead {
        day: run_up.day.number(),
        doy: i32::from(run_up.day.day_of_year()),
        effort: 1.0,
        features: run_up.features(),
    }
}

/// For every rule of custom, how the days on which it held went.
fn customs(
    days: &FishedDays,
    sessions: &[FishedSession],
    fit: &Fit,
    weather: &WeatherDays,
) -> Vec<CustomDays> {
    let surroundings = Surroundings::weather_only(weather);
    let mut anglers = BTreeMap::<Day, BTreeSet<AnglerId>>::new();
    for session in sessions {
        anglers
            .entry(session.day)
            .or_default()
            .insert(session.angler);
    }
    let held: Vec<_> = days
        .days
        .iter()
        .map(|fished| held_on(fished.day, &surroundings))
        .collect();
    RULES
        .iter()
        .enumerate()
        .map(|(place, rule)| {
            // The fit's past and the days are the same rows in the same order.
            let of_rule = days.days.iter().zip(&fit.past).zip(&held);
            let of_rule: Vec<_> = of_rule
                .filter(|(_, held)| held[place] == Some(true))
                .map(|(pair, _)| pair)
                .collect();
            let clusters: Vec<_> = of_rule
                .iter()
                .map(|(fished, past)| Cluster {
                    total: fished.catch,
                    exposure: past.season_and_form,
                })
                .collect();
            let who: BTreeSet<_> = of_rule
                .iter()
                .filter_map(|(fished, _)| anglers.get(&fished.day))
                .flatten()
                .collect();
            let expected: f64 = clusters.iter().map(|c| c.exposure).sum();
            CustomDays {
                rule: rule.slug.to_owned(),
                days: clusters.len(),
                sessions: of_rule.iter().map(|(fished, _)| fished.sessions).sum(),
                anglers: who.len(),
                rod_hours: of_rule.iter().map(|(fished, _)| fished.effort).sum(),
                ratio: match expected > 0.0 {
                    true => clusters.iter().map(|c| c.total).sum::<f64>() / expected,
                    false => 1.0,
                },
                limits: limits(&clusters),
            }
        })
        .collect()
}

/// Whether each rule of custom, in the table's order, held on `day`; `None` where something it
/// needs is not known.
pub fn held_on(day: Day, surroundings: &Surroundings<'_>) -> Vec<Option<bool>> {
    let usual = usual_temperature(surroundings.weather, day);
    let conditions = RunUp::of(day, surroundings).conditions(usual);
    RULES.iter().map(|rule| rule.holds(&conditions)).collect()
}

/// Student limits of the ratio of totals over days, never below nothing; `None` under six days.
fn limits(clusters: &[Cluster]) -> Option<(f64, f64)> {
    if clusters.len() < FEWEST_DAYS {
        return None;
    }
    let (lower, upper) = ratio_of_totals(clusters)?.limits(COVERAGE);
    (lower.is_finite() && upper.is_finite()).then(|| (lower.max(0.0), upper))
}
