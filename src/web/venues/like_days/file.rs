//! The days behind the figures of a series, one a row.

use std::{collections::HashMap, io};

use crate::{
    domain::customs::RULES,
    formats::csv::Writer,
    statistics::{
        expectation::{Foretold, PastDay},
        run_up::{FEATURE_NAMES, RunUp, Surroundings},
        series_study::{SeriesStudy, held_on},
    },
    store::statistics::run_up::WeatherRecord,
};

const COLUMNS: [&str; 13] = [
    "date",
    "series",
    "groups",
    "anglers",
    "sessions",
    "did not weigh",
    "rod-hours",
    "rod-hours of those who weighed",
    "catch",
    "catch unit",
    "catch expected from season",
    "catch expected from season and form",
    "catch foretold from earlier days alone",
];

/// Every day that may be listed; days of reports by fewer than three anglers are left out.
pub fn csv(study: &SeriesStudy, record: &WeatherRecord) -> io::Result<Vec<u8>> {
    let customs: Vec<String> = (RULES.iter())
        .map(|rule| format!("custom: {}", rule.slug))
        .collect();
    let mut header: Vec<&str> = COLUMNS.into_iter().chain(FEATURE_NAMES).collect();
    header.extend(customs.iter().map(String::as_str));
    let mut writer = Writer::new(Vec::new(), &header)?;
    let studied = study.studied();
    let past: HashMap<i64, &PastDay> = studied
        .iter()
        .flat_map(|studied| &studied.fit.past)
        .map(|day| (day.day, day))
        .collect();
    let foretold: HashMap<i64, &Foretold> = studied
        .iter()
        .flat_map(|studied| &studied.foretold)
        .map(|day| (day.day, day))
        .collect();
    let surroundings = Surroundings::weather_only(&record.weather);
    let days = &study.days;
    for day in days
        .days
        .iter()
        .filter(|day| days.may_be_shown() && days.may_be_listed(day))
    {
        let number = day.day.number();
        let figure = |value: Option<f64>| value.map(|v| format!("{v:.4}")).unwrap_or_default();
        let past = past.get(&number);
        let mut cells = vec![
            day.day.to_string(),
            days.series.slug().to_owned(),
            days.groups.to_string(),
            day.anglers.to_string(),
            day.sessions.to_string(),
            day.did_not_weigh.to_string(),
            figure(Some(day.effort)),
            figure(Some(day.effort_weighed)),
            figure(Some(day.catch)),
            days.unit.name().to_owned(),
            figure(past.map(|past| past.season)),
            figure(past.map(|past| past.season_and_form)),
            figure(foretold.get(&number).map(|told| told.expected)),
        ];
        cells.extend(RunUp::of(day.day, &surroundings).features().map(figure));
        cells.extend(held_on(day.day, &surroundings).into_iter().map(|held| {
            let word = held.map(|held| if held { "yes" } else { "no" });
            word.unwrap_or_default().to_owned()
        }));
        writer.row(&cells)?;
    }
    writer.finish()
}
