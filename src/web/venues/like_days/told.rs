//! What one series says of the asked day, in words: the expectation with its band and its parts,
//! what a peg does to it, and the nearest days.

use super::{
    alike::{self, AlikeDay},
    at_peg::{AtPeg, at_peg, peg_words},
};
use crate::{
    domain::{customs::Rule, ids::VenueId, pegs::Peg, venues::Venue},
    statistics::{
        expectation::Expectation,
        fished_days::{ANGLERS_BEHIND_REPORTS, CatchUnit, Series},
        run_up::RunUp,
        series_study::{Expected, SeriesStudy, Studied},
        wording,
    },
    store::{
        Connection, StoreError,
        statistics::{run_up::WeatherRecord, studies::Kept},
    },
    web::{
        figures::{self, weights_held},
        page::Frame,
    },
};

/// What every series is asked alike.
pub struct AskedOf<'a> {
    pub frame: &'a Frame,
    pub venue: &'a Venue,
    pub record: &'a WeatherRecord,
    pub run_up: &'a RunUp,
    pub hours: f64,
    pub peg: Option<&'a Peg>,
}

/// A figure as `parts/estimate.html` takes it.
pub struct Estimate {
    pub value: String,
    pub unit: String,
    pub between: String,
}

pub struct Told {
    pub series: Series,
    pub slug: &'static str,
    pub heading: &'static str,
    pub groups: String,
    /// How far to trust the figures; said first.
    pub honest: String,
    /// That the figures are out of date, or that the last attempt failed.
    pub notes: Vec<String>,
    pub rate: Option<Estimate>,
    pub session: Option<Estimate>,
    /// What to expect of the peg asked for, or why that is the water's figure.
    pub at_peg: Option<AtPeg>,
    pub behind: String,
    /// Label and words of each part.
    pub parts: Vec<(&'static str, String)>,
    pub alike: Vec<AlikeDay>,
    /// What no day listed is compared in.
    pub not_compared: Option<String>,
    /// Why no day, or not every day, is listed.
    pub unlisted: Option<String>,
    pub csv: String,
}

impl Told {
    /// The peg has a figure of its own, beside which the water's is said in passing.
    pub fn peg_is_told(&self) -> bool {
        self.at_peg.as_ref().is_some_and(|peg| peg.figure.is_some())
    }

    /// Whose average the figure and its band are, so that no one net is read into them.
    pub fn average(&self) -> &'static str {
        whose_average(self.series)
    }

    /// `matches, carp and silvers`, within a sentence.
    pub fn within(&self) -> String {
        format!("{}, {}", within(self.heading), self.fish())
    }

    /// The groups within a heading or a sentence.
    pub fn fish(&self) -> String {
        within(&self.groups)
    }
}

/// What a day's expectation is an average of, after its figure.
pub(super) fn whose_average(series: Series) -> &'static str {
    match series {
        Series::Match => "the day’s average over all who fish; single nets vary far more",
        Series::Report => "the day’s average over all who report; single catches vary far more",
    }
}

/// Words that open with a capital, as they stand within a sentence; `F1s` keeps its own.
fn within(words: &str) -> String {
    let mut letters = words.chars();
    match letters.next() {
        Some(first) if letters.clone().next().is_some_and(char::is_lowercase) => {
            first.to_lowercase().chain(letters).collect()
        }
        _ => words.to_owned(),
    }
}

/// What a kept study says, from what is at hand.
pub async fn of(
    reading: &mut Connection,
    kept: &Kept,
    asked: &AskedOf<'_>,
) -> Result<Told, StoreError> {
    let mut told = Told {
        series: kept.of.series,
        slug: kept.of.series.slug(),
        heading: kept.of.series.name(),
        groups: kept.of.groups.to_string(),
        honest: String::new(),
        notes: notes(kept, asked.venue),
        rate: None,
        session: None,
        at_peg: None,
        behind: String::new(),
        parts: Vec::new(),
        alike: Vec::new(),
        not_compared: None,
        unlisted: None,
        csv: String::new(),
    };
    let Some(study) = &kept.study else {
        told.honest = format!(
            "{} have not been worked out yet: it is being done in the background. Come back in a minute.",
            kept.of.series.name()
        );
        return Ok(told);
    };
    if !kept.looks_ahead_to(asked.run_up.day) {
        told.honest = "The figures were worked out with days later than this one, so they foretell nothing of it.".to_owned();
        return Ok(told);
    }
    if !study.days.may_be_shown() {
        told.honest =
            "Fewer than three anglers have shared reports of this water with the club, so nothing is shown of their days."
                .to_owned();
        return Ok(told);
    }
    told.honest = study.honest_sentence();
    told.behind = wording::sentence(&behind(study));
    told.csv = csv(asked.frame, asked.venue.id, kept);
    if let Some(studied) = study.studied().filter(|_| study.few_days().is_none()) {
        let expected = studied.expect(asked.run_up);
        let unit = study.days.unit;
        told.rate = Some(rate(unit, &expected));
        told.session = Some(session(unit, &expected, asked.hours));
        told.at_peg = asked
            .peg
            .map(|peg| at_peg(study, &expected, peg, asked.run_up.day));
        told.parts = parts(study, studied, &expected, asked);
        let found = alike::nearest(reading, study, studied, asked).await?;
        told.unlisted = alike::unlisted(study, found.len());
        told.alike = found;
        told.not_compared = alike::not_compared(studied, asked);
    }
    Ok(told)
}

/// That the figures are out of date, or that the last attempt at new ones failed.
pub fn notes(kept: &Kept, venue: &Venue) -> Vec<String> {
    let mut notes = Vec::new();
    if let Some(at) = kept.out_of_date() {
        notes.push(format!(
            "Something these figures rest on has changed since they were made on {}. New ones are being worked out.",
            at.in_words(&venue.zone)
        ));
    }
    if kept.standing.state == "failed" {
        let stands = match kept.standing.fitted {
            Some(at) => format!(
                "The last good ones, of {}, are shown",
                at.in_words(&venue.zone)
            ),
            None => "There are none from before".to_owned(),
        };
        notes.push(format!(
            "The last attempt at new figures failed and is made again within two hours. {stands}."
        ));
    }
    notes
}

fn behind(study: &SeriesStudy) -> String {
    let behind = &study.days.behind;
    let mut said = behind.words();
    if study.days.series == Series::Report {
        said += &format!(
            ", {} who shared them with the club",
            wording::count(behind.anglers, "angler", "anglers")
        );
    }
    let left_out = |count: usize, why: &str| match count {
        0 => String::new(),
        n => format!(
            "; {} left out {why}",
            wording::count(n, "session", "sessions")
        ),
    };
    said += &left_out(behind.without_hours, "for want of hours");
    let want = format!("for want of a catch in {}", study.days.unit.name());
    said + &left_out(behind.without_catch, &want)
}

/// The address of the days behind a study.
pub fn csv(frame: &Frame, venue: VenueId, kept: &Kept) -> String {
    frame.url(&format!(
        "/venues/{venue}/like-days.csv?series={}&group={}",
        kept.of.series.slug(),
        kept.of.groups.bits()
    ))
}

pub(super) fn between(unit: CatchUnit, band: Option<(f64, f64)>, times: f64) -> String {
    band.map(|(lower, upper)| {
        weights_held(&format!(
            "{} to {}",
            unit.figure(lower * times),
            unit.figure(upper * times)
        ))
    })
    .unwrap_or_default()
}

fn rate(unit: CatchUnit, expected: &Expected) -> Estimate {
    Estimate {
        value: weights_held(&unit.figure(expected.rate)),
        unit: match unit {
            CatchUnit::Fish => "fish an hour".to_owned(),
            _ => "an hour".to_owned(),
        },
        between: match expected.band {
            Some(_) => between(unit, expected.band, 1.0),
            None => "no band yet".to_owned(),
        },
    }
}

fn session(unit: CatchUnit, expected: &Expected, hours: f64) -> Estimate {
    let fish = if unit == CatchUnit::Fish { "fish " } else { "" };
    Estimate {
        value: weights_held(&unit.figure(expected.rate * hours)),
        unit: format!("{fish}in {} with one rod", hours_words(hours)),
        between: between(unit, expected.band, hours),
    }
}

fn hours_words(hours: f64) -> String {
    match hours.fract() == 0.0 {
        true => wording::count(hours as usize, "hour", "hours"),
        false => format!("{hours} hours"),
    }
}

fn parts(
    study: &SeriesStudy,
    studied: &Studied,
    expected: &Expected,
    asked: &AskedOf<'_>,
) -> Vec<(&'static str, String)> {
    let (unit, made_of) = (study.days.unit, &expected.parts);
    let mut parts = vec![(
        "Band",
        match studied.band {
            Some(band) => format!(
                "The middle four fifths of {} foretold so far, as a day’s average over all who fished",
                wording::count(band.days, "day", "days")
            ),
            None => format!(
                "None: {} foretold so far, and twenty are needed",
                wording::count(studied.foretold.len(), "day", "days")
            ),
        },
    )];
    parts.push((
        "Season alone",
        format!("{} an hour", unit.words(made_of.season)),
    ));
    parts.push((
        "Form lately",
        format!(
            "{}, as the venue has fished beyond its season: {:.2} times",
            figures::change(made_of.form.multiplier),
            made_of.form.multiplier
        ),
    ));
    parts.push((
        "Weather",
        match made_of.weights.are_nought() {
            true => "Left out: on the past it has earned no say here".to_owned(),
            false => format!(
                "{}: {:.2} times",
                figures::change(made_of.weather_multiplier),
                made_of.weather_multiplier
            ),
        },
    ));
    parts.push(("The weather’s two readings", two_readings(made_of)));
    if let Some(weighed) = expected.weighed {
        parts.push((
            "Without those who did not weigh",
            format!(
                "{} an hour: the same catch over the rod-hours of those who weighed; {} did not weigh, counted as nothing caught above",
                unit.words(weighed),
                wording::count(study.days.behind.did_not_weigh, "session", "sessions")
            ),
        ));
    }
    if let Some(peg) = asked.peg {
        parts.push(("Peg", peg_words(study, expected, peg)));
    }
    for (_, words) in &mut parts {
        *words = weights_held(words);
    }
    parts
}

/// What each reading of the day's weather gave, and how far it is believed.
fn two_readings(made_of: &Expectation) -> String {
    let alike = &made_of.like_days;
    format!(
        "Days alike {:.2} times ({:.2} of what season and form gave, on {} days’ worth), weight {:.1}; regression {:.2} times, weight {:.1}",
        alike.ln_multiplier.exp(),
        alike.observed_over_expected,
        figures::number(alike.effective_days, 1),
        made_of.weights.like_days(),
        made_of.regression.ln_multiplier.exp(),
        made_of.weights.regression()
    )
}

/// What a series' own days say of a custom; `None` where nothing may be shown.
pub fn own_days(kept: &Kept, rule: &Rule) -> Option<String> {
    let study = kept.study.as_ref()?;
    study.studied().filter(|_| study.days.may_be_shown())?;
    let name = study.days.series.name();
    let Some(custom) = study.custom(rule) else {
        return Some(format!(
            "{name}: fewer than {} anglers shared reports of such days.",
            wording::number(ANGLERS_BEHIND_REPORTS)
        ));
    };
    let days = wording::count(custom.days, "day", "days");
    let hours = format!(
        "{}, {} rod-hours",
        wording::count(custom.sessions, "session", "sessions"),
        figures::number(custom.rod_hours, 0)
    );
    Some(match (custom.days, custom.limits) {
        (0, _) => format!("{name}: no fished day on record had it so."),
        (_, None) => format!(
            "{name}: {days} ({hours}), {:.2} of what season and form gave: too few for an interval.",
            custom.ratio
        ),
        (_, Some((lower, upper))) => format!(
            "{name}: on {days} ({hours}) catches came to {:.2} of what season and form gave ({lower:.2} to {upper:.2}).",
            custom.ratio
        ),
    })
}
