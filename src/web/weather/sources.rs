//! Where a venue's weather comes from: the sources' names, ranks, and how each counts its days.

use askama::Template;
use axum::{
    extract::State,
    http::StatusCode,
    response::{Html, IntoResponse, Response},
};

use crate::{
    actions::{
        ActionError,
        choose_weather::{self, Arranged},
        import::weather::read_day_end,
    },
    domain::ids::VenueId,
    statistics::wording,
    store::weather::{self, Source, WeatherVenue},
    web::{
        errors::PageError,
        forms::{Form, Problems},
        links::go_with,
        page::{Frame, Section, page, page_again},
        people::Member,
        places::Place,
        state::Site,
    },
};

struct Line {
    id: i64,
    /// What a change is measured against when it is sent.
    was: String,
    heading: String,
    name: String,
    rank: String,
    day_ends: String,
    min: bool,
    max: bool,
    rain: bool,
}

/// A source that another officer changed meanwhile.
struct Both {
    theirs: String,
    yours: String,
}

#[derive(Template)]
#[template(path = "weather/sources.html")]
struct SourcesPage {
    frame: Frame,
    venue: String,
    here: String,
    grid: String,
    lines: Vec<Line>,
    new_name: String,
    new_kind: String,
    both: Vec<Both>,
    problems: Problems,
}

const KINDS: [(&str, &str); 2] = [
    ("csv", "A table of days (CSV)"),
    ("ghcn-daily", "A station’s GHCN-Daily file"),
];

pub async fn show(
    State(site): State<Site>,
    member: Member,
    Place(venue): Place<VenueId>,
) -> Result<Response, PageError> {
    let (venue, sources) = fetch(&site, venue).await?;
    let frame = Frame::new(&site, &member.visitor(), Section::Weather).await?;
    let form = Form::default();
    page(laid_out(
        frame,
        &venue,
        &sources,
        &form,
        Problems::default(),
    ))
}

/// Saves the sources, or, where the form came from that button, adds one.
pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Place(venue): Place<VenueId>,
    form: Form,
) -> Result<Response, PageError> {
    let (venue, mut sources) = fetch(&site, venue).await?;
    let standing = sources.clone();
    let mut problems = Problems::default();
    let (db, now, by) = (&site.db, site.now(), member.by());
    let outcome = if form.has("add") {
        let kind = KINDS.iter().find(|(kind, _)| *kind == form.get("new_kind"));
        let kind = kind.map_or("csv", |(kind, _)| kind);
        choose_weather::add_source(db, now, &by, form.get("new_name"), kind)
            .await
            .map(|_| ())
    } else {
        for source in &mut sources {
            read_source(&form, source, &mut problems);
        }
        refuse_twins(&sources, &mut problems);
        let typed = arranged(&sources, &form);
        refuse_recounting(&site, &standing, &typed, &mut problems).await?;
        if problems.is_empty() {
            choose_weather::save_sources(db, now, &by, venue.id, &typed).await
        } else {
            Ok(())
        }
    };
    match outcome {
        Err(ActionError::Changed) => {
            return changed(&site, &member, &sources, venue.id, &form).await;
        }
        Err(ActionError::Refused { sentence, .. }) => {
            let field = if form.has("add") { "new_name" } else { "" };
            problems.add(field, sentence);
        }
        outcome => outcome?,
    }
    if problems.is_empty() {
        let path = format!("/venues/{}/weather/sources", venue.id);
        return Ok(go_with(&site, &path, "saved").into_response());
    }
    let frame = Frame::new(&site, &member.visitor(), Section::Weather)
        .await?
        .with_problems(true);
    page_again(laid_out(frame, &venue, &sources, &form, problems))
}

fn arranged(sources: &[Source], form: &Form) -> Vec<Arranged> {
    let each = sources.iter().map(|source| Arranged {
        source: source.clone(),
        was: form.get(&format!("was_{}", source.id)).to_owned(),
    });
    each.collect()
}

/// Another officer changed a source meanwhile: both as they say it, and the form ready to save this
/// one over theirs. A source nobody touched here follows the record.
async fn changed(
    site: &Site,
    member: &Member,
    typed: &[Source],
    venue: VenueId,
    form: &Form,
) -> Result<Response, PageError> {
    let (venue, standing) = fetch(site, venue).await?;
    let typed = arranged(typed, form);
    let (mut both, mut shown) = (Vec::new(), Vec::new());
    for stands in &standing {
        let mine = typed.iter().find(|one| one.source.id == stands.id);
        let mine = mine.filter(|one| !one.was.is_empty() && one.is_touched());
        if let Some(mine) = mine.filter(|one| one.was != stands.token()) {
            both.push(Both {
                theirs: in_words(stands),
                yours: in_words(&mine.source),
            });
        }
        shown.push(mine.map_or_else(|| stands.clone(), |one| one.source.clone()));
    }
    let frame = Frame::new(site, &member.visitor(), Section::Weather)
        .await?
        .with_problems(true);
    let mut page = laid_out(frame, &venue, &shown, &Form::default(), Problems::default());
    for line in &mut page.lines {
        let stands = standing.iter().find(|source| source.id.0 == line.id);
        line.was = stands.map(Source::token).unwrap_or_default();
    }
    page.both = both;
    Ok((StatusCode::CONFLICT, Html(page.render()?)).into_response())
}

/// `Harl Top: rank 1, its day ends at 09:00; the printed date counts as the day before for the rain`.
fn in_words(source: &Source) -> String {
    let rank = match source.rank {
        Some(rank) => format!("rank {rank}"),
        None => "not used here".to_owned(),
    };
    let shifts = [
        ("low", source.min_shift),
        ("high", source.max_shift),
        ("rain", source.rain_shift),
    ];
    let before: Vec<_> = shifts
        .iter()
        .filter(|(_, shift)| *shift != 0)
        .map(|(what, _)| format!("the {what}"))
        .collect();
    let before = match before.is_empty() {
        true => String::new(),
        false => format!(
            "; the printed date counts as the day before for {}",
            wording::list(&before)
        ),
    };
    format!(
        "{}: {rank}, its day ends at {}{before}",
        source.name, source.day_ends_at
    )
}

async fn fetch(site: &Site, venue: VenueId) -> Result<(WeatherVenue, Vec<Source>), PageError> {
    let mut reading = site.db.read().await?;
    let venue = weather::venue(&mut reading, venue)
        .await?
        .ok_or(PageError::NotFound)?;
    let sources = weather::all_sources(&mut reading, venue.id).await?;
    Ok((venue, sources))
}

fn read_source(form: &Form, source: &mut Source, problems: &mut Problems) {
    let field = |key: &str| format!("{key}_{}", source.id);
    if !form.has(&field("name")) {
        return;
    }
    let shift = |key: &str| if form.has(&field(key)) { -1 } else { 0 };
    let (min_shift, max_shift, rain_shift) = (shift("min"), shift("max"), shift("rain"));
    let rank = match form.get(&field("rank")) {
        "" => Ok(None),
        text => text
            .parse::<i64>()
            .ok()
            .filter(|rank| (1..=99).contains(rank))
            .map(Some)
            .ok_or("Enter a rank from 1 to 99, 1 being believed first, or leave it empty where this water does not use the source."),
    };
    let rank = problems.take(&field("rank"), rank).flatten();
    let name = form.get(&field("name")).to_owned();
    let typed = form.get(&field("day_ends"));
    let day_ends_at = read_day_end(typed);
    if day_ends_at.is_none() {
        problems.add(field("day_ends"), choose_weather::NO_DAY_END);
    }
    if let Err(ActionError::Refused { sentence, .. }) = choose_weather::fine_name(&name) {
        problems.add(field("name"), sentence);
    }
    source.name = name;
    source.day_ends_at = day_ends_at.unwrap_or_else(|| typed.to_owned());
    source.rank = rank;
    (source.min_shift, source.max_shift, source.rain_shift) = (min_shift, max_shift, rain_shift);
}

/// Of two sources that would be called the same, the lower one is told at its name.
fn refuse_twins(sources: &[Source], problems: &mut Problems) {
    for (at, source) in sources.iter().enumerate() {
        let field = format!("name_{}", source.id);
        let mut above = sources[..at].iter();
        if problems.at(&field).is_empty() && above.any(|other| other.is_called(&source.name)) {
            problems.add(field, choose_weather::NAME_TAKEN);
        }
    }
}

/// A source that has days is told at its day's end that they are counted already. One that another
/// officer changed meanwhile is left to be shown both ways first.
async fn refuse_recounting(
    site: &Site,
    standing: &[Source],
    typed: &[Arranged],
    problems: &mut Problems,
) -> Result<(), PageError> {
    let mut reading = site.db.read().await?;
    for one in typed.iter().filter(|one| one.is_touched()) {
        let stands = standing.iter().find(|of| of.id == one.source.id);
        let Some(stands) = stands.filter(|of| one.was.is_empty() || one.was == of.token()) else {
            continue;
        };
        let counted = choose_weather::counted_already(&mut reading, stands, &one.source).await?;
        let field = format!("day_ends_{}", stands.id);
        if let Some(sentence) = counted.filter(|_| problems.at(&field).is_empty()) {
            problems.add(field, sentence);
        }
    }
    Ok(())
}

fn laid_out(
    frame: Frame,
    venue: &WeatherVenue,
    sources: &[Source],
    form: &Form,
    problems: Problems,
) -> SourcesPage {
    // A form that comes back says what was typed in it, letter by letter.
    let as_typed = |field: &str, stands: Option<String>| match form.has(field) {
        true => form.get(field).to_owned(),
        false => stands.unwrap_or_default(),
    };
    let line = |source: &Source| Line {
        id: source.id.0,
        was: match form.get(&format!("was_{}", source.id)) {
            "" => source.token(),
            was => was.to_owned(),
        },
        heading: match source.name.as_str() {
            "" => "A source without a name".to_owned(),
            name => name.to_owned(),
        },
        name: source.name.clone(),
        rank: as_typed(
            &format!("rank_{}", source.id),
            source.rank.map(|rank| rank.to_string()),
        ),
        day_ends: as_typed(
            &format!("day_ends_{}", source.id),
            Some(source.day_ends_at.clone()),
        ),
        min: source.min_shift != 0,
        max: source.max_shift != 0,
        rain: source.rain_shift != 0,
    };
    SourcesPage {
        frame,
        venue: venue.name.clone(),
        here: format!("/venues/{}/weather/sources", venue.id),
        grid: format!("/venues/{}/weather", venue.id),
        lines: sources.iter().map(line).collect(),
        new_name: form.get("new_name").to_owned(),
        new_kind: form.get("new_kind").to_owned(),
        both: Vec::new(),
        problems,
    }
}
