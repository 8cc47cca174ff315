//! How boldly to begin: what custom says of a run-up, as one table of rules.
//!
//! Every rule is common practice, no source. Any *carefully* outranks every *boldly*; neither
//! means *steadily*; a missing feature fires nothing. Custom is custom: pages show beside it
//! what the club's own days say.

use serde::{Deserialize, Serialize};

use crate::domain::weather::units::{RainUnit, TemperatureUnit};

/// How to begin.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Approach {
    Boldly,
    Steadily,
    Carefully,
}

impl Approach {
    pub fn word(self) -> &'static str {
        match self {
            Self::Boldly => "boldly",
            Self::Steadily => "steadily",
            Self::Carefully => "carefully",
        }
    }
}

/// What the rules look at; each feature known or not.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Conditions {
    /// Days since ice was last seen: 1 is yesterday; absent when none was seen.
    pub days_since_ice: Option<i64>,
    /// Days, of the last fourteen, that say whether there was ice.
    pub ice_days_known: usize,
    /// Frost nights in seven.
    pub frost_nights: Option<f64>,
    /// Change of the daily mean over seven days, °C a day.
    pub change_c_per_day: Option<f64>,
    /// Rain of three days, mm.
    pub rain_3d_mm: Option<f64>,
    /// Mean air temperature of three days, °C.
    pub mean_3d_c: Option<f64>,
    /// Mean air temperature usual for the season, °C.
    pub season_mean_c: Option<f64>,
    /// Bearing the wind of three days came from, degrees; absent when variable.
    pub wind_from_deg: Option<f64>,
    /// Its steadiness, 0 to 1.
    pub wind_steadiness: Option<f64>,
}

/// The test of one rule.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Test {
    IceWithin { days: i64 },
    FrostNights { fewest: f64 },
    Falling { c_per_day: f64 },
    WetAndCold { rain_mm: f64, below_c: f64 },
    MilderThanSeason { by_c: f64 },
    MildWind { from: f64, to: f64, steadiness: f64 },
    FreeOfFrostAndRising,
}

/// One rule of custom.
#[derive(Debug, PartialEq)]
pub struct Rule {
    /// The word for it in addresses and fits; never changes.
    pub slug: &'static str,
    pub approach: Approach,
    /// The custom in words.
    pub words: &'static str,
    test: Test,
}

/// Where every rule here comes from.
pub const SOURCE: &str = "common practice, no source";

/// Means and slopes come within this of the figure that paper gives; a threshold met on paper is met.
const ROUNDING: f64 = 1e-9;

fn at_least(value: f64, threshold: f64) -> bool {
    value >= threshold - ROUNDING
}

/// The whole table.
pub static RULES: [Rule; 7] = [
    Rule {
        slug: "ice",
        approach: Approach::Carefully,
        words: "ice within seven days",
        test: Test::IceWithin { days: 7 },
    },
    Rule {
        slug: "frosts",
        approach: Approach::Carefully,
        words: "three or more frost nights in seven",
        test: Test::FrostNights { fewest: 3.0 },
    },
    Rule {
        slug: "falling",
        approach: Approach::Carefully,
        words: "daily mean falling 0.7\u{a0}°C a day or faster",
        test: Test::Falling { c_per_day: 0.7 },
    },
    Rule {
        slug: "cold-rain",
        approach: Approach::Carefully,
        words: "15\u{a0}mm of rain or more in three days, with a mean under 9\u{a0}°C",
        test: Test::WetAndCold {
            rain_mm: 15.0,
            below_c: 9.0,
        },
    },
    Rule {
        slug: "mild",
        approach: Approach::Boldly,
        words: "three-day mean 2\u{a0}°C or more above the season",
        test: Test::MilderThanSeason { by_c: 2.0 },
    },
    Rule {
        slug: "south-west",
        approach: Approach::Boldly,
        words: "a steady wind from between south and west, no colder than the season",
        test: Test::MildWind {
            from: 180.0,
            to: 270.0,
            steadiness: 0.5,
        },
    },
    Rule {
        slug: "rising",
        approach: Approach::Boldly,
        words: "no frost in seven nights and the daily mean rising",
        test: Test::FreeOfFrostAndRising,
    },
];

impl Rule {
    /// Whether the rule fires; `None` when something it needs is not known.
    pub fn holds(&self, seen: &Conditions) -> Option<bool> {
        let above_season = || Some(seen.mean_3d_c? - seen.season_mean_c?);
        match self.test {
            Test::IceWithin { days } => match seen.days_since_ice {
                Some(ago) => Some(ago <= days),
                None => (seen.ice_days_known > 0).then_some(false),
            },
            Test::FrostNights { fewest } => {
                seen.frost_nights.map(|nights| at_least(nights, fewest))
            }
            Test::Falling { c_per_day } => seen.change_c_per_day.map(|c| at_least(-c, c_per_day)),
            Test::WetAndCold { rain_mm, below_c } => both(
                seen.rain_3d_mm.map(|rain| at_least(rain, rain_mm)),
                seen.mean_3d_c.map(|mean| !at_least(mean, below_c)),
            ),
            Test::MilderThanSeason { by_c } => above_season().map(|above| at_least(above, by_c)),
            Test::MildWind {
                from,
                to,
                steadiness,
            } => both(
                both(
                    // A wind without a bearing was variable, if its steadiness is known at all.
                    match (seen.wind_from_deg, seen.wind_steadiness) {
                        (Some(bearing), _) => {
                            Some(at_least(bearing, from) && at_least(to, bearing))
                        }
                        (None, steady) => steady.map(|_| false),
                    },
                    seen.wind_steadiness
                        .map(|steady| at_least(steady, steadiness)),
                ),
                above_season().map(|above| at_least(above, 0.0)),
            ),
            Test::FreeOfFrostAndRising => both(
                seen.frost_nights.map(|nights| at_least(0.0, nights)),
                seen.change_c_per_day.map(|change| !at_least(0.0, change)),
            ),
        }
    }

    /// The figure behind the rule: `four frost nights`; empty when it is not known.
    fn figure(&self, seen: &Conditions) -> String {
        let celsius = |c: Option<f64>| c.map(|c| TemperatureUnit::Celsius.held(c));
        let change = || {
            let change = seen.change_c_per_day?;
            let way = if change < 0.0 { "falling" } else { "rising" };
            Some(format!("{way} {:.1}\u{a0}°C a day", change.abs()))
        };
        let season = || {
            Some(format!(
                "mean {} against {} for the season",
                celsius(seen.mean_3d_c)?,
                celsius(seen.season_mean_c)?
            ))
        };
        let nights = || seen.frost_nights.map(|n| format!("{n:.1} nights of seven"));
        let said = match self.test {
            Test::IceWithin { .. } => seen.days_since_ice.map(|ago| match ago {
                1 => "ice yesterday".to_owned(),
                _ => format!("ice {ago} days ago"),
            }),
            Test::FrostNights { .. } => nights().map(|text| text.replace(".0 ", " ")),
            Test::Falling { .. } => change(),
            Test::WetAndCold { .. } => {
                seen.rain_3d_mm
                    .zip(celsius(seen.mean_3d_c))
                    .map(|(rain, mean)| {
                        format!("{} at a mean of {mean}", RainUnit::Millimetres.held(rain))
                    })
            }
            Test::MilderThanSeason { .. } => season(),
            Test::MildWind { .. } => {
                let bearing = seen.wind_from_deg.zip(seen.wind_steadiness);
                bearing.zip(season()).map(|((from, steady), mean)| {
                    format!("from {from:.0}°, steadiness {steady:.1}; {mean}")
                })
            }
            Test::FreeOfFrostAndRising => change().map(|text| format!("no frost; {text}")),
        };
        said.unwrap_or_default()
    }
}

/// Both true; false as soon as one is known to be; else unknown.
fn both(one: Option<bool>, other: Option<bool>) -> Option<bool> {
    match (one, other) {
        (Some(false), _) | (_, Some(false)) => Some(false),
        (Some(true), Some(true)) => Some(true),
        _ => None,
    }
}

/// A rule that fired, and the figure behind it.
#[derive(Clone, Debug, PartialEq)]
pub struct Reason {
    pub rule: &'static Rule,
    pub figure: String,
}

/// What custom says.
#[derive(Clone, Debug, PartialEq)]
pub struct Advice {
    pub approach: Approach,
    /// Every rule that fired, in the table's order, outranked ones included.
    pub reasons: Vec<Reason>,
    /// Rules that could not be judged.
    pub not_known: Vec<&'static Rule>,
}

/// How boldly custom would begin after these days.
pub fn advise(seen: &Conditions) -> Advice {
    let mut reasons = Vec::new();
    let mut not_known = Vec::new();
    for rule in &RULES {
        match rule.holds(seen) {
            Some(true) => reasons.push(Reason {
                rule,
                figure: rule.figure(seen),
            }),
            Some(false) => {}
            None => not_known.push(rule),
        }
    }
    let fired = |approach| reasons.iter().any(|r: &Reason| r.rule.approach == approach);
    let approach = if fired(Approach::Carefully) {
        Approach::Carefully
    } else if fired(Approach::Boldly) {
        Approach::Boldly
    } else {
        Approach::Steadily
    };
    Advice {
        approach,
        reasons,
        not_known,
    }
}

impl Advice {
    /// The reasons for the approach taken, without those it outranks.
    pub fn deciding(&self) -> impl Iterator<Item = &Reason> {
        self.reasons
            .iter()
            .filter(|reason| reason.rule.approach == self.approach)
    }

    /// One sentence: `By custom, begin carefully: three or more frost nights in seven (4 nights of seven).`
    pub fn sentence(&self) -> String {
        if self.not_known.len() == RULES.len() {
            return "Custom cannot say how to begin: too little is written down of the days before."
                .to_owned();
        }
        let reasons: Vec<_> = self
            .deciding()
            .map(|reason| format!("{} ({})", reason.rule.words, reason.figure))
            .collect();
        let word = self.approach.word();
        match reasons.is_empty() {
            false => format!("By custom, begin {word}: {}.", reasons.join("; ")),
            true => format!(
                "By custom, begin {word}: nothing in the days before asks for care or invites boldness."
            ),
        }
    }
}
