//! What to expect on a day, how boldly to begin, and the past days most like it. The page reads
//! what was worked out before and never waits for a fit.

use askama::Template;
use axum::{
    extract::{Path, RawQuery, Request, State},
    response::Response,
};

use super::the_venue;
use crate::{
    domain::{
        cautions::{self, Called},
        close_season::close_season,
        customs::{self, Advice},
        dates::Day,
        groups::{Group, GroupSet},
        pegs::Peg,
        units::Speed,
        venues::Venue,
        weather::{DailyWeather, WeatherDays},
    },
    statistics::{fished_days::Series, run_up_words, series_study, wording},
    store::{
        statistics::{
            run_up::WeatherRecord,
            studies::{Kept, Of},
        },
        venues,
    },
    web::{
        accounts::sign_in,
        errors::PageError,
        exports::csv_file,
        forms::Form,
        page::{Frame, Section, page, page_again},
        people::Visitor,
        pictures::RunUpStrip,
        state::Site,
        strips,
    },
};

mod alike;
mod asked;
mod at_peg;
mod file;
mod told;

use asked::Asked;
use told::{AskedOf, Told};
pub(super) use told::{csv as days_file, notes, own_days};

/// Days before the one asked about that an expectation goes by.
const RUN_UP_DAYS: i64 = 7;

/// One reason for how to begin, and what the club's own days say of it.
struct ReasonLine {
    words: String,
    figure: String,
    own_days: Vec<String>,
}

#[derive(Template)]
#[template(path = "venues/like_days.html")]
struct LikeDaysPage {
    frame: Frame,
    venue: Venue,
    today: Day,
    asked: Asked,
    peg: Option<Peg>,
    sets: Vec<(String, String)>,
    pegs: Vec<(String, String)>,
    strip: Option<RunUpStrip>,
    summary: String,
    told: Vec<Told>,
    /// The conditions typed in that the page goes by.
    typed: Option<String>,
    members_only: bool,
    /// Studies of reports that a visitor is not shown.
    kept_back: bool,
    advice: Advice,
    /// The last day's fall, where custom does not say carefully and does not see it.
    fall_unseen: Option<String>,
    reasons: Vec<ReasonLine>,
    cautions: Vec<Called>,
    closed: Option<String>,
    /// Which of the seven days before are not written down.
    unwritten: Option<String>,
}

impl LikeDaysPage {
    /// The water, the peg and the day.
    fn heading(&self) -> String {
        let peg = match &self.peg {
            Some(peg) => format!(", peg {}", peg.number),
            None => String::new(),
        };
        let name = &self.venue.name;
        match self.asked.day_refused {
            true => format!("{name}{peg}: what to expect"),
            false => format!("{name}{peg}, {}", self.asked.date.long()),
        }
    }

    /// What figures may be asked from; a visitor is shown those of matches only.
    fn series(&self) -> Vec<(&'static str, &'static str)> {
        match self.members_only {
            true => vec![("match", "Matches only")],
            false => vec![
                ("", "Matches and reports, each apart"),
                ("match", "Matches only"),
                ("report", "Reports only"),
            ],
        }
    }

    fn tomorrow(&self) -> Day {
        self.today.plus(1)
    }

    /// The first sentence: how far to trust what follows.
    fn honest(&self) -> String {
        match self.told.first() {
            _ if self.asked.day_refused => {
                "No figures are shown: this page looks at today and tomorrow only.".to_owned()
            }
            _ if self.asked.weather_to_mend() => {
                "No figures are shown. Mend the weather typed in first, or tick beside it that it is right; it goes into nothing on this page until then.".to_owned()
            }
            Some(told) => told.honest.clone(),
            None if self.members_only && self.asked.series == Some(Series::Report) => {
                "No figures are shown: members’ reports are shown to members, once signed in.".to_owned()
            }
            None if self.kept_back => {
                "Nothing has been worked out from matches here; members’ reports are shown to members, once signed in.".to_owned()
            }
            None => "Nothing has been worked out for this water yet. Figures are made in the background, within a minute or so of the first result or report.".to_owned(),
        }
    }

    /// What shuts the water on the day asked of.
    fn shut(&self) -> Option<String> {
        let shut = close_season(self.venue.kind, self.venue.close_season, self.asked.date);
        shut.words().map(str::to_owned)
    }

    fn at(&self, day: Day) -> String {
        let peg = match &self.peg {
            Some(peg) => format!("&peg={}", peg.number),
            None => String::new(),
        };
        self.frame.url(&format!(
            "/venues/{}/like-days?date={day}{peg}",
            self.venue.id
        ))
    }

    fn formula(&self) -> &'static str {
        series_study::FORMULA
    }

    fn steps(&self) -> [(&'static str, &'static str); 8] {
        series_study::STEPS
    }

    fn source(&self) -> &'static str {
        series_study::SOURCE
    }

    fn custom_formula(&self) -> &'static str {
        series_study::CUSTOMS_FORMULA
    }

    fn custom_source(&self) -> &'static str {
        customs::SOURCE
    }

    /// The days behind what the club's own days say of the customs, of the first series that has any.
    fn custom_csv(&self) -> &str {
        let mut files = self.told.iter().map(|told| told.csv.as_str());
        files.find(|csv| !csv.is_empty()).unwrap_or_default()
    }
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Path(venue): Path<String>,
    RawQuery(query): RawQuery,
) -> Result<Response, PageError> {
    let venue = the_venue(&site, &venue).await?;
    let form = Form::parse(query.unwrap_or_default().as_bytes())?;
    let frame = Frame::new(&site, &visitor, Section::Venues).await?;
    let today = site.now().day(&venue.zone);
    let mut reading = site.db.read().await?;
    let record = site.db.weather().of(&mut reading, venue.id).await?;
    let mut asked = Asked::read(&form, today, &record);
    let to_mend = asked.weather_to_mend();
    let typed = asked.typed_words(&record).filter(|_| !to_mend);
    let record = match asked.typed.is_empty() || to_mend {
        true => record,
        false => record.with(asked.typed.iter().copied()).into(),
    };
    let pegs = venues::pegs(&mut reading, venue.id).await?;
    let peg = asked.peg(&pegs);
    let standing = site.db.studies().standing(&mut reading, venue.id).await?;
    let groups = asked.groups(standing.iter().map(|(of, _)| of.groups));
    let sets = sets(standing.iter().map(|(of, _)| *of));
    let members_only = visitor.who.is_none();
    let run_up = record.run_up(asked.date);
    let mut kept = Vec::new();
    let mut kept_back = false;
    for (of, standing) in standing {
        let is_kept_back = members_only && of.series == Series::Report;
        kept_back |= is_kept_back && Some(of.groups) == groups;
        let shown = !(asked.day_refused || is_kept_back || to_mend);
        if Some(of.groups) == groups && asked.series.is_none_or(|one| one == of.series) && shown {
            kept.push(site.db.studies().of(&mut reading, of, standing).await?);
        }
    }
    let mut told = Vec::new();
    for one in &kept {
        let of = AskedOf {
            frame: &frame,
            venue: &venue,
            record: &record,
            run_up: &run_up,
            hours: asked.hours,
            peg: peg.as_ref(),
        };
        told.push(told::of(&mut reading, one, &of).await?);
    }
    drop(reading);
    let advice = customs::advise(&run_up.conditions(record.usual(asked.date)));
    let problems = !asked.problems.is_empty();
    let speed = frame.units.wind;
    let drawn = LikeDaysPage {
        strip: strip(&record, asked.date, speed),
        unwritten: unwritten(&record.weather, asked.date),
        summary: run_up_words::summary(&run_up, &record.weather, record.usual(asked.date), speed),
        fall_unseen: run_up_words::fall_unseen(advice.approach, &record.weather, asked.date),
        reasons: reasons(&advice, &kept),
        cautions: called_for(cautions::cautions(&run_up.around())),
        closed: peg
            .as_ref()
            .and_then(|peg| peg.closed_on(asked.date).map(|closure| closure.words())),
        pegs: pegs
            .iter()
            .filter(|peg| peg.existed_on(asked.date))
            .map(|peg| (peg.number.clone(), at_peg::name(peg, asked.date)))
            .collect(),
        frame: frame.with_problems(problems),
        venue,
        today,
        asked,
        peg,
        sets,
        told,
        typed,
        members_only,
        kept_back,
        advice,
    };
    match problems {
        true => page_again(drawn),
        false => page(drawn),
    }
}

/// The days behind the figures of one series, as CSV.
pub async fn download(
    State(site): State<Site>,
    visitor: Visitor,
    Path(venue): Path<String>,
    RawQuery(query): RawQuery,
    request: Request,
) -> Result<Response, PageError> {
    let venue = the_venue(&site, &venue).await?;
    let form = Form::parse(query.unwrap_or_default().as_bytes())?;
    let series = Series::from_slug(form.get("series")).ok_or(PageError::NotFound)?;
    let groups = asked::groups_of(form.get("group")).ok_or(PageError::NotFound)?;
    if series == Series::Report && visitor.who.is_none() {
        return sign_in::ask(&site, request, sign_in::Why::SignedOut).await;
    }
    let mut reading = site.db.read().await?;
    let standing = site.db.studies().standing(&mut reading, venue.id).await?;
    let (of, standing) = standing
        .into_iter()
        .find(|(of, _)| *of == Of { series, groups })
        .ok_or(PageError::NotFound)?;
    let kept = site.db.studies().of(&mut reading, of, standing).await?;
    let record = site.db.weather().of(&mut reading, venue.id).await?;
    let study = kept.study.ok_or(PageError::NotFound)?;
    let csv = file::csv(&study, &record).map_err(|e| PageError::Fault(e.to_string()))?;
    let series = match series {
        Series::Match => series.slug(),
        Series::Report => "reports-shared-with-the-club",
    };
    let (id, groups) = (venue.id, groups.bits());
    Ok(csv_file(&format!("days-{id}-{series}-{groups}.csv"), csv))
}

/// The sets that anything was worked out for, each once; every group where nothing was yet.
fn sets(of: impl Iterator<Item = Of>) -> Vec<(String, String)> {
    let mut sets: Vec<GroupSet> = Vec::new();
    for one in of {
        if !sets.contains(&one.groups) {
            sets.push(one.groups);
        }
    }
    if sets.is_empty() {
        sets.extend(Group::ALL.map(GroupSet::from));
    }
    sets.into_iter()
        .map(|set| (set.bits().to_string(), set.to_string()))
        .collect()
}

fn strip(record: &WeatherRecord, day: Day, speed: Speed) -> Option<RunUpStrip> {
    strips::any(record, day).then(|| strips::large("run-up", record, day, None, speed))
}

/// The days of the run-up that nothing is known of.
fn unwritten(weather: &WeatherDays, day: Day) -> Option<String> {
    let before = (1..=RUN_UP_DAYS).rev().map(|ago| day.plus(-ago));
    let nothing = |day: &Day| weather.get(day).is_none_or(DailyWeather::is_empty);
    let days: Vec<Day> = before.filter(nothing).collect();
    match days.len() as i64 {
        0 => None,
        RUN_UP_DAYS => Some("None of the seven days before is written down.".to_owned()),
        _ => Some(format!(
            "The weather of {} is not written down.",
            wording::days(&days)
        )),
    }
}

fn reasons(advice: &Advice, kept: &[Kept]) -> Vec<ReasonLine> {
    advice
        .reasons
        .iter()
        .map(|reason| ReasonLine {
            words: format!(
                "For beginning {}: {}",
                reason.rule.approach.word(),
                reason.rule.words
            ),
            figure: reason.figure.clone(),
            own_days: kept
                .iter()
                .filter_map(|kept| told::own_days(kept, reason.rule))
                .collect(),
        })
        .collect()
}

/// Only the cautions that the conditions call for.
fn called_for(cautions: Vec<Called>) -> Vec<Called> {
    let called = cautions.into_iter().filter(|one| one.because.is_some());
    called.collect()
}
