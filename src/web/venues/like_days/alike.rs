//! The nearest past days of a series: what was caught, how it was fished, what made them alike.

use super::{at_peg::that_day, told::AskedOf};
use crate::{
    domain::dates::Day,
    statistics::{
        expectation::{FEATURES, Family, Features},
        fished_days::{FishedDay, Series},
        like_days::{self, Comparison, LikeDay},
        series_study::{SeriesStudy, Studied, ahead},
        wording,
    },
    store::{
        Connection, StoreError,
        statistics::{pegs, spells},
    },
    web::{
        figures,
        pictures::{RunUpScale, SmallRunUpStrip},
        strips,
    },
};

/// Days listed.
const LISTED: usize = 6;

/// A past day beside the asked one.
pub struct AlikeDay {
    pub day: Day,
    pub behind: String,
    pub rate: String,
    pub weight: String,
    pub against: String,
    /// What the peg asked for gave; empty where none was, and of reports.
    pub at_peg: String,
    pub alike: String,
    pub methods: Vec<String>,
    pub strip: SmallRunUpStrip,
}

/// The nearest days that may be listed, nearest first.
pub async fn nearest(
    reading: &mut Connection,
    study: &SeriesStudy,
    studied: &Studied,
    asked: &AskedOf<'_>,
) -> Result<Vec<AlikeDay>, StoreError> {
    let all = like_days::nearest(&studied.fit, &ahead(asked.run_up), usize::MAX);
    let listed: Vec<_> = all
        .into_iter()
        .filter_map(|like| Some((*fished(study, like.past.day)?, like)))
        .filter(|(fished, _)| study.days.may_be_listed(fished))
        .take(LISTED)
        .collect();
    let days: Vec<Day> = listed.iter().map(|(fished, _)| fished.day).collect();
    let mut methods =
        spells::methods_of_days(reading, asked.venue.id, study.days.series, &days).await?;
    let on_peg = match asked.peg.filter(|_| study.days.series == Series::Match) {
        Some(peg) => {
            let groups = study.days.groups;
            let given = pegs::given_on(reading, asked.venue.id, peg.id, groups, &days).await?;
            Some((peg, given))
        }
        None => None,
    };
    let today = asked.run_up.features();
    let wind = asked.frame.units.wind;
    let drawn: Vec<_> = days
        .iter()
        .flat_map(|day| strips::days(asked.record, *day, wind))
        .collect();
    let scale = RunUpScale::holding(&drawn);
    Ok(listed
        .into_iter()
        .map(|(fished, like)| AlikeDay {
            day: fished.day,
            behind: format!(
                "{}, {} rod-hours",
                who(study.days.series, fished.anglers),
                figures::number(fished.effort, 0)
            ),
            rate: figures::weights_held(&rate(study, &fished)),
            weight: figures::weights_held(&weight(study, &fished)),
            against: format!(
                "{} against season and form",
                figures::change(like.observed_over_expected())
            ),
            at_peg: on_peg.as_ref().map_or_else(String::new, |(peg, given)| {
                let of_day = given.get(&fished.day).map(Vec::as_slice);
                figures::weights_held(&that_day(peg, of_day.unwrap_or_default(), study.days.scale))
            }),
            alike: words(studied, &like, &today),
            methods: methods
                .remove(&fished.day)
                .unwrap_or_default()
                .iter()
                .map(method)
                .collect(),
            strip: strips::small(
                &format!("{}-{}", study.days.series.slug(), fished.day),
                asked.record,
                fished.day,
                scale,
                wind,
            ),
        })
        .collect())
}

/// `14 fished`, as a result says it; `three anglers` who reported.
fn who(series: Series, anglers: usize) -> String {
    match series {
        Series::Match => format!("{anglers} fished"),
        Series::Report => wording::count(anglers, "angler", "anglers"),
    }
}

/// What no day can be compared in, since it is not known of the day asked about.
pub fn not_compared(studied: &Studied, asked: &AskedOf<'_>) -> Option<String> {
    let features = asked.run_up.features();
    let names: Vec<_> = unknown(studied, &features)
        .map(|family| name(family).to_owned())
        .collect();
    (!names.is_empty()).then(|| {
        format!(
            "Not known of the days before the one asked about, so not compared: {}.",
            wording::list(&names)
        )
    })
}

/// Families of the weather of which nothing is known.
fn unknown(studied: &Studied, of: &Features) -> impl Iterator<Item = Family> {
    let families = &studied.fit.layout.families;
    Family::ALL.into_iter().filter(move |family| {
        (0..FEATURES)
            .filter(|&feature| families[feature] == *family)
            .all(|feature| of[feature].is_none())
    })
}

/// Why no day, or fewer than usual, stands in the list.
pub fn unlisted(study: &SeriesStudy, listed: usize) -> Option<String> {
    match (study.days.series, listed) {
        (Series::Match, 0) => {
            Some("No match day on record falls within 45 days of this season.".to_owned())
        }
        (Series::Report, listed) if listed < LISTED => Some(
            "Days of which fewer than three anglers shared reports count in the figures and are not listed."
                .to_owned(),
        ),
        _ => None,
    }
}

fn fished(study: &SeriesStudy, number: i64) -> Option<&FishedDay> {
    let days = &study.days.days;
    let place = days.binary_search_by_key(&number, |fished| fished.day.number());
    days.get(place.ok()?)
}

fn rate(study: &SeriesStudy, fished: &FishedDay) -> String {
    let unit = study.days.unit;
    let said = format!("{} an hour", unit.words(fished.rate()));
    match (fished.did_not_weigh, fished.rate_weighed()) {
        (0, _) => said,
        (n, Some(weighed)) => format!(
            "{said}; {} without the {} who did not weigh",
            unit.words(weighed),
            wording::number(n)
        ),
        (_, None) => format!("{said}; nobody weighed"),
    }
}

/// Mean weight of the anglers who weighed, over all their sessions of the day, in the unit of the
/// expectation it stands beside, whatever a reader chose.
fn weight(study: &SeriesStudy, fished: &FishedDay) -> String {
    let least = match study.days.series {
        Series::Match => 1,
        Series::Report => crate::statistics::fished_days::ANGLERS_BEHIND_REPORTS,
    };
    if fished.weighed < least {
        return String::new();
    }
    let mean = fished.weight_g / fished.weighed as f64;
    format!(
        "{} an angler who weighed",
        wording::weight(mean, study.days.scale)
    )
}

fn method(of: &spells::MethodOfDay) -> String {
    let hours = of
        .rod_hours
        .map(|hours| format!(", {} rod-hours", figures::number(hours, 0)))
        .unwrap_or_default();
    let lines = match of.lines_m {
        Some((one, other)) if one == other => format!(", {one} m"),
        Some((shortest, longest)) => format!(", lines {shortest} to {longest} m"),
        None => String::new(),
    };
    format!("{}: {} anglers{hours}{lines}", of.name, of.anglers)
}

/// `Alike in temperature and rain; fewer frosts; pressure not known.` Where nothing is much alike or
/// unlike, what is nearest. What is not known of the day asked about is said once for all days.
fn words(studied: &Studied, like: &LikeDay, today: &Features) -> String {
    let of = |wanted: Comparison| {
        let each = like.comparisons().into_iter();
        each.filter(move |(_, comparison)| *comparison == wanted)
            .map(|(family, _)| family)
    };
    let names = |wanted| of(wanted).map(|f| name(f).to_owned()).collect::<Vec<_>>();
    let mut parts = Vec::new();
    let alike = names(Comparison::Alike);
    if !alike.is_empty() {
        parts.push(format!("alike in {}", wording::list(&alike)));
    }
    parts.extend(of(Comparison::Unlike).map(|family| unlike(studied, like, today, family)));
    if parts.is_empty() {
        parts.extend(nearest_in(&like.closest_first()));
    }
    let said: Vec<_> = unknown(studied, today).collect();
    let here: Vec<_> = of(Comparison::Unknown)
        .filter(|family| !said.contains(family))
        .map(|family| name(family).to_owned())
        .collect();
    if !here.is_empty() {
        parts.push(format!("{} not known", wording::list(&here)));
    }
    match parts.is_empty() {
        true => "Its weather cannot be compared.".to_owned(),
        false => wording::sentence(&parts.join("; ")),
    }
}

/// `nearest in temperature and wind; farthest in rain`, of families closest first.
fn nearest_in(families: &[Family]) -> Option<String> {
    match families {
        [] => None,
        [only] => Some(format!("neither near nor far in {}", name(*only))),
        [near, far] => Some(format!(
            "nearest in {}; farther in {}",
            name(*near),
            name(*far)
        )),
        [one, two, .., far] => Some(format!(
            "nearest in {} and {}; farthest in {}",
            name(*one),
            name(*two),
            name(*far)
        )),
    }
}

fn name(family: Family) -> &'static str {
    match family {
        Family::Temperature => "temperature",
        Family::Frost => "frosts",
        Family::Rain => "rain",
        Family::Wind => "wind",
        Family::Pressure => "pressure",
    }
}

/// How a past day was unlike, each against its own season; changes as they were.
fn unlike(studied: &Studied, like: &LikeDay, today: &Features, family: Family) -> String {
    // Places of the features as `Layout::RUN_UP` has them.
    let steps = |feature: usize| like.by_feature[feature].unwrap_or(0.0);
    let amount = |feature: usize| steps(feature) * studied.fit.layout.steps[feature];
    let more = |feature: usize, above: &str, below: &str| {
        let word = if steps(feature) > 0.0 { above } else { below };
        word.to_owned()
    };
    let trend = |feature: usize| {
        let changes = own(studied, like, feature).zip(today[feature]);
        changes.map_or("changing otherwise", |(past, asked)| {
            like_days::trend(past, asked)
        })
    };
    match family {
        Family::Temperature if steps(0).abs() >= steps(1).abs() => format!(
            "{:.0}\u{a0}°C {} for its season",
            amount(0).abs(),
            more(0, "warmer", "colder")
        ),
        Family::Temperature => format!("temperature {}", trend(1)),
        Family::Frost => more(2, "more frosts", "fewer frosts"),
        Family::Rain => more(3, "wetter", "drier"),
        Family::Wind => "another wind".to_owned(),
        Family::Pressure if steps(6).abs() >= steps(7).abs() => {
            more(6, "higher pressure", "lower pressure")
        }
        Family::Pressure => format!("pressure {}", trend(7)),
    }
}

/// A feature of a past day in its unit, as the fit read it.
fn own(studied: &Studied, like: &LikeDay, feature: usize) -> Option<f64> {
    let seasons = &studied.fit.anomalies;
    let usual = seasons.usual(feature, like.past.day_of_year)?;
    Some(usual + like.past.anomalies[feature]? * seasons.steps[feature])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_neither_alike_nor_unlike_is_told_by_what_is_nearest_and_farthest() {
        use Family::{Frost, Pressure, Rain, Temperature, Wind};

        let said = |families: &[Family]| nearest_in(families).unwrap_or_default();
        assert_eq!(
            said(&[Temperature, Wind, Frost, Pressure, Rain]),
            "nearest in temperature and wind; farthest in rain"
        );
        assert_eq!(
            said(&[Wind, Frost, Rain]),
            "nearest in wind and frosts; farthest in rain"
        );
        assert_eq!(said(&[Wind, Rain]), "nearest in wind; farther in rain");
        assert_eq!(said(&[Rain]), "neither near nor far in rain");
        assert_eq!(said(&[]), "");
    }
}
