//! The answers as one would say them, with all that they rest on.

use super::{Answer, Behind, Measure, Rate};
use crate::{domain::units::Scale, statistics::wording};

impl Measure {
    /// A catch in words: `7 fish`, `12 lb 8 oz`.
    pub fn amount(self, total: f64) -> String {
        match self {
            Self::Fish => format!("{total:.0} fish"),
            Self::Weight(scale) => wording::weight(total, scale),
        }
    }

    /// A rate or limit without its unit of time: `2.1`, `1 lb 4 oz`.
    pub fn figure(self, rate: f64) -> String {
        match self {
            Self::Fish => wording::figure(rate),
            Self::Weight(scale) => wording::weight(rate, scale),
        }
    }

    /// `2.1 fish an hour`, `1 lb 4 oz an hour`.
    pub fn rate(self, rate: f64) -> String {
        match self {
            Self::Fish => format!("{} fish an hour", self.figure(rate)),
            Self::Weight(_) => format!("{} an hour", self.figure(rate)),
        }
    }
}

impl Behind {
    /// `14 days, 52 sessions, 240 rod-hours`.
    pub fn words(&self) -> String {
        format!(
            "{}, {}, {} rod-hours",
            wording::count(self.days, "day", "days"),
            wording::count(self.sessions, "session", "sessions"),
            wording::figure(self.rod_hours),
        )
    }
}

impl Rate {
    /// The answer in plain words, with all that it rests on.
    pub fn sentence(&self) -> String {
        let mut said = vec![self.answer.sentence(self.measure, &self.behind)];
        said.extend(self.notes());
        said.join(" ")
    }

    /// What the figure leaves out or cannot settle, a sentence each.
    pub fn notes(&self) -> Vec<String> {
        let mut said = Vec::new();
        if let Some((sessions, answer)) = &self.if_lowest {
            let anglers = wording::count(*sessions, "angler", "anglers");
            let (them, all) = match *sessions {
                1 => ("that angler", "that angler"),
                _ => ("each", "them"),
            };
            // Where nobody weighed there is no figure for them to stand in.
            let (stand, how_much) = match (&self.answer, *sessions) {
                (Answer::NobodyWeighed, _) => ("", "how much it was"),
                (_, 1) => (" and stands here as nothing", "how much more it would be"),
                _ => (" and stand here as nothing", "how much more it would be"),
            };
            let shown = |answer: &Answer| answer.rate().map(|rate| self.measure.rate(rate));
            let said_of = match shown(answer) {
                _ if self.without_lowest == *sessions => format!(
                    "{stand}; nobody beside {all} weighed anything, so {how_much} cannot be told"
                ),
                same @ Some(_) if same == shown(&self.answer) && self.without_lowest == 0 => {
                    let finest = match self.measure {
                        Measure::Weight(scale) if scale != Scale::Grams => "ounce",
                        _ => "figure",
                    };
                    format!(", which makes no difference to the {finest}")
                }
                Some(rate) => {
                    let but = match self.without_lowest {
                        0 => String::new(),
                        none => format!(
                            ", and nothing for {} beside whom nobody weighed any,",
                            wording::count(none, "angler", "anglers")
                        ),
                    };
                    format!(
                        "{stand}; with the lowest weight above nought weighed beside {them}{but} it would be {rate}"
                    )
                }
                None => stand.to_owned(),
            };
            said.push(wording::sentence(&format!(
                "{anglers} did not weigh{said_of}"
            )));
        }
        if self.behind.without_hours > 0 {
            let left = wording::count(self.behind.without_hours, "session", "sessions");
            said.push(wording::sentence(&format!(
                "{left} left out for want of hours"
            )));
        }
        if self.behind.without_catch > 0 {
            let left = wording::count(self.behind.without_catch, "session", "sessions");
            let what = match self.measure {
                Measure::Fish => "number",
                Measure::Weight(_) => "weight",
            };
            said.push(wording::sentence(&format!(
                "{left} left out whose {what} is not known"
            )));
        }
        said
    }
}

impl Answer {
    /// The limits of the rate, `1.4 to 3.0`, where there are any.
    pub fn between(&self, measure: Measure) -> Option<String> {
        let (lower, upper) = match self {
            Self::Estimate { lower, upper, .. } => (*lower, *upper),
            Self::OneSession { limits, .. } => (*limits)?,
            _ => return None,
        };
        Some(format!(
            "{} to {}",
            measure.figure(lower),
            measure.figure(upper)
        ))
    }

    /// The answer alone in plain words.
    pub fn sentence(&self, measure: Measure, behind: &Behind) -> String {
        match self {
            Self::Nothing => match measure {
                Measure::Fish => "No session here has both its hours and its number of fish.",
                Measure::Weight(_) => "No session here has both its hours and its weight.",
            }
            .to_owned(),
            Self::OneSession {
                total,
                rate,
                limits,
            } => {
                let said = format!(
                    "One session gave {} in {} rod-hours, {}.",
                    measure.amount(*total),
                    wording::figure(behind.rod_hours),
                    measure.rate(*rate)
                );
                match limits {
                    None => said,
                    Some((lower, upper)) => format!(
                        "{said} If fish came singly, {} to {} an hour could lie behind it.",
                        measure.figure(*lower),
                        measure.figure(*upper)
                    ),
                }
            }
            Self::FewDays { days, .. } => {
                let each: Vec<_> = days
                    .iter()
                    .map(|day| format!("{} on {}", measure.rate(day.rate()), day.day.brief()))
                    .collect();
                let (are, they) = match days.len() {
                    1 => ("is", "it"),
                    _ => ("are", "they"),
                };
                wording::sentence(&format!(
                    "{} {are} too few for an interval; {they} gave {}",
                    wording::count(days.len(), "day", "days"),
                    wording::list(&each)
                ))
            }
            Self::NobodyWeighed => format!(
                "Nobody who fished here weighed ({}), so the catch is not known.",
                behind.words()
            ),
            Self::AllBlank {
                upper_chance,
                blank_days,
            } => {
                let nothing = match measure {
                    Measure::Fish => "Nothing was caught",
                    Measure::Weight(_) => "Nothing was weighed",
                };
                let by = match (*blank_days, behind.days) {
                    (0, _) => {
                        return format!(
                            "{nothing} ({}); on each day somebody did not weigh, so the chance of any fish cannot be told.",
                            behind.words()
                        );
                    }
                    (all, days) if all == days => String::new(),
                    (some, _) => format!(
                        "by {} on which everybody weighed, ",
                        wording::count(some, "day", "days")
                    ),
                };
                format!(
                    "{nothing} ({}); {by}the chance of any fish in a day like these is at most {:.0} %.",
                    behind.words(),
                    100.0 * upper_chance
                )
            }
            Self::Estimate {
                rate, lower, upper, ..
            } => format!(
                "{} ({} to {}), {}.",
                measure.rate(*rate),
                measure.figure(*lower),
                measure.figure(*upper),
                behind.words()
            ),
        }
    }
}
