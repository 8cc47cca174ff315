//! `/venues/{venue}/record`: how a water fishes, by series and set of groups, number and weight
//! apart; and the rows behind every figure as a file.

use askama::Template;
use axum::{
    body::Body,
    extract::{Path, Query, State},
    response::Response,
};
use serde::Deserialize;

use super::{rate_table::RateTable, the_venue};
use crate::{
    domain::venues::Venue,
    statistics::{
        fished_days::{ANGLERS_BEHIND_REPORTS, Series},
        rates::{FORMULA, SOURCE},
        record::SeriesFigures,
        wording,
    },
    store::statistics::rates::{self, FileRow, Stand, Wanted},
    web::{
        errors::PageError,
        exports::{AT_ONCE, Piece, csv_file, in_pieces},
        figures::weights_held,
        page::{Frame, Section, page},
        people::Visitor,
        state::Site,
    },
};

#[derive(Template)]
#[template(path = "venues/record.html")]
struct RecordPage {
    frame: Frame,
    venue: Venue,
    known: String,
    tables: Vec<RateTable>,
}

impl RecordPage {
    fn csv(&self) -> String {
        self.frame
            .url(&format!("/venues/{}/record.csv", self.venue.id))
    }

    fn formula(&self) -> &'static str {
        FORMULA
    }

    fn source(&self) -> &'static str {
        SOURCE
    }
}

/// How the water fishes in one sentence: weight in matches, of the widest set that is known.
pub(super) fn in_short(figures: &[SeriesFigures]) -> Option<String> {
    let matches = figures.iter().find(|one| one.series == Series::Match)?;
    let (groups, rate) = matches.main()?;
    let what = match rate.behind.sessions {
        0 => return None,
        _ => groups.within(),
    };
    Some(weights_held(&format!(
        "In matches, {}",
        wording::named(&what, &rate.answer.sentence(rate.measure, &rate.behind))
    )))
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Path(venue): Path<String>,
) -> Result<Response, PageError> {
    let venue = the_venue(&site, &venue).await?;
    let frame = Frame::new(&site, &visitor, Section::Venues).await?;
    let marks = site.answers.marks(&site, venue.id).await?.water;
    let scale = frame.units.scale(venue.weighs_in);
    let record = site.answers.record(&site, venue.id, scale, marks).await?;
    let tables = record
        .figures
        .iter()
        .filter(|one| one.series == Series::Match || frame.is_signed_in())
        .map(RateTable::of)
        .collect();
    page(RecordPage {
        known: in_short(&record.figures)
            .unwrap_or_else(|| "No match with hours and weights is on record here yet.".to_owned()),
        frame,
        venue,
        tables,
    })
}

/// What the file holds: one peg's rows, or the water's.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct Asked {
    peg: String,
}

/// The rows behind the figures, oldest first. Nobody is named; reports only those shared with
/// the club, only for members, and only with three anglers behind them.
pub async fn file(
    State(site): State<Site>,
    visitor: Visitor,
    Path(venue): Path<String>,
    Query(asked): Query<Asked>,
) -> Result<Response, PageError> {
    let venue = the_venue(&site, &venue).await?;
    let number = asked.peg.trim().to_uppercase();
    let peg = (!number.is_empty()).then_some(number.as_str());
    let mut reading = site.db.read().await?;
    let sharing = rates::anglers_sharing(&mut reading, venue.id, peg).await?;
    let enough = usize::try_from(sharing).is_ok_and(|n| n >= ANGLERS_BEHIND_REPORTS);
    let reports = enough && visitor.who.is_some();
    drop(reading);
    let of = match peg {
        Some(peg) => format!("peg {peg}"),
        None => "record".to_owned(),
    };
    // Whoever finds the file later should know that it does not hold every report.
    let with = match reports {
        true => " with reports shared with the club",
        false => "",
    };
    let name = format!("{} {of}{with}.csv", venue.name);
    let wanted = Wanted {
        venue: venue.id,
        number: peg.map(str::to_owned),
        reports,
    };
    Ok(csv_file(&name, rows(site, wanted, AT_ONCE).await?))
}

const HEADING: [&str; 12] = [
    "day",
    "series",
    "match",
    "session",
    "peg",
    "groups",
    "rod_hours",
    "hours_from",
    "fish",
    "weight_g",
    "did_not_weigh",
    "official",
];

/// The rows wanted, `at_once` read at a time.
pub async fn rows(site: Site, wanted: Wanted, at_once: i64) -> Result<Body, PageError> {
    let read = move |after| piece(site.clone(), wanted.clone(), after, at_once);
    in_pieces(&HEADING, FileRow::FIRST, read).await
}

async fn piece(
    site: Site,
    wanted: Wanted,
    after: Stand,
    most: i64,
) -> Result<Piece<Stand, 12>, PageError> {
    let found = rates::file_rows(&mut *site.db.read().await?, &wanted, after, most).await?;
    Ok(Piece {
        on: found.last().map(FileRow::stands),
        rows: found.into_iter().map(cells).collect(),
    })
}

fn cells(row: FileRow) -> [String; 12] {
    let yes = |is: bool| if is { "yes" } else { "no" }.to_owned();
    [
        row.day.to_string(),
        row.series,
        row.match_name.unwrap_or_default(),
        row.session,
        row.peg.unwrap_or_default(),
        row.groups.to_string(),
        row.rod_hours.map(|h| format!("{h:.2}")).unwrap_or_default(),
        row.effort_source,
        row.fish.map(|n| n.to_string()).unwrap_or_default(),
        row.weight_g.map(|g| format!("{g:.1}")).unwrap_or_default(),
        yes(row.did_not_weigh),
        yes(row.official),
    ]
}
