//! A day and its run-up of ten days at a venue, one row a day, typed over and saved in one go.

use askama::Template;
use axum::{
    extract::{Query, State},
    http::StatusCode,
    response::{Html, IntoResponse, Response},
};

use super::{
    typed_days::{COLUMNS, Column, TYPED, ask, read_day},
    window::{Asked, Window, figure, in_words},
};
use crate::{
    actions::{
        ActionError,
        save_weather::{self, Saved, TypedDay},
    },
    domain::{
        dates::Day,
        ids::VenueId,
        weather::{Cloud, DailyWeather, Ice, Snow, sources::Element, units::SpeedUnit},
    },
    web::{
        errors::PageError,
        forms::{Form, Problems, Sure},
        links::go_with,
        page::{Frame, Section, page, page_again},
        people::{Member, Visitor},
        pictures::RunUpStrip,
        places::Place,
        state::Site,
        strips,
    },
};

struct Cell {
    name: String,
    was_name: String,
    label: String,
    /// Its heading and unit, beside the box where the table's head is out of sight.
    says: String,
    value: String,
    /// The figure the reader was shown, so that an untouched box stays untouched.
    was: String,
    problem: String,
    /// A tick that says it is right, where it is far from usual.
    sure: Option<Sure>,
    choices: Vec<(&'static str, &'static str)>,
}

impl Cell {
    /// Something is said of it under the day.
    fn is_asked(&self) -> bool {
        !self.problem.is_empty() || self.sure.is_some()
    }

    /// What it says, for those who only read.
    fn words(&self) -> String {
        let chosen = self.choices.iter().find(|(slug, _)| *slug == self.value);
        match chosen {
            Some((_, words)) => words.to_lowercase(),
            None => self.value.replacen('-', "\u{2212}", 1),
        }
    }
}

struct Row {
    /// What a link to the day names.
    id: String,
    brief: String,
    note: String,
    gap: bool,
    seen_name: String,
    seen: i64,
    typed: Vec<Cell>,
    picked: Vec<Cell>,
}

impl Row {
    /// Something was typed that cannot stand or is asked about; it is said under the day, across
    /// the row.
    fn is_wrong(&self) -> bool {
        self.typed.iter().any(Cell::is_asked)
    }

    /// Sky, snow and ice in words; empty where nobody wrote any.
    fn seen_words(&self) -> String {
        let known = self.picked.iter().filter(|cell| !cell.value.is_empty());
        known.map(Cell::words).collect::<Vec<_>>().join(", ")
    }
}

/// A form that could not be saved as it is, and the ticks it is asked for.
struct Sent<'a> {
    form: &'a Form,
    sures: &'a [Sure],
}

/// A day that somebody else wrote meanwhile.
struct Both {
    day: String,
    theirs: String,
    yours: String,
}

#[derive(Template)]
#[template(path = "weather/grid.html")]
struct GridPage {
    frame: Frame,
    venue: String,
    venue_path: String,
    heading: String,
    known: String,
    unit: &'static str,
    units: Vec<(String, &'static str)>,
    here: String,
    earlier: String,
    later: Option<String>,
    conflicts: String,
    sources_path: String,
    water: String,
    csv: String,
    import: String,
    disagreements: usize,
    sources: Vec<String>,
    rows: Vec<Row>,
    /// The words of the link to the last day, the one to fill in.
    last_day: String,
    problems: Problems,
    both: Vec<Both>,
    /// The days shown, drawn.
    strip: Option<RunUpStrip>,
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Place(venue): Place<VenueId>,
    Query(asked): Query<Asked>,
) -> Result<Response, PageError> {
    let window = Window::fetch(&site, venue, &asked, visitor.units().wind).await?;
    let frame = Frame::new(&site, &visitor, Section::Weather).await?;
    let weather = site.db.weather();
    let record = weather.of(&mut *site.db.read().await?, venue).await?;
    let mut shown = laid_out(frame, &window, None, Problems::default());
    let speed = visitor.units().wind;
    shown.strip = strips::to("run-up", &record, window.to, speed);
    page(shown)
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Place(venue): Place<VenueId>,
    Query(asked): Query<Asked>,
    form: Form,
) -> Result<Response, PageError> {
    let window = Window::fetch(&site, venue, &asked, member.who.units.wind).await?;
    let mut problems = Problems::default();
    let days: Vec<TypedDay> = window
        .days()
        .map(|day| read_day(&form, day, window.unit, &mut problems))
        .collect();
    let record = site.db.weather();
    let record = record.of(&mut *site.db.read().await?, venue).await?;
    let sures = ask(&form, &days, &record.weather, window.unit, &mut problems);
    let sent = Sent {
        form: &form,
        sures: &sures,
    };
    if problems.is_empty() {
        match save_weather::save(&site.db, site.now(), &member.by(), venue, &days).await {
            Ok(Saved::Days(_)) => {
                let path = window.path("", window.to);
                return Ok(go_with(&site, &path, "weather-saved").into_response());
            }
            Ok(Saved::Changed(changed)) => {
                let frame = Frame::new(&site, &member.visitor(), Section::Weather).await?;
                return told_of_both(frame, &site, &asked, venue, &sent, &changed).await;
            }
            Err(ActionError::Refused { field, sentence }) => problems.add(field, sentence),
            Err(error) => return Err(error.into()),
        }
    }
    let frame = Frame::new(&site, &member.visitor(), Section::Weather)
        .await?
        .with_problems(true);
    page_again(laid_out(frame, &window, Some(&sent), problems))
}

/// The grid again with what is now in the record beside what was typed; saving it once more
/// writes what is in the boxes.
async fn told_of_both(
    frame: Frame,
    site: &Site,
    asked: &Asked,
    venue: VenueId,
    sent: &Sent<'_>,
    changed: &[Day],
) -> Result<Response, PageError> {
    let now = Window::fetch(site, venue, asked, frame.units.wind).await?;
    let mut shown = laid_out(
        frame.with_problems(true),
        &now,
        Some(sent),
        Problems::default(),
    );
    let each = changed.iter();
    shown.both = each.map(|day| both(&now, sent.form, *day)).collect();
    let html = Html(shown.render()?);
    Ok((StatusCode::CONFLICT, html).into_response())
}

fn both(now: &Window, form: &Form, day: Day) -> Both {
    let mut ignored = Problems::default();
    let typed = read_day(form, day, now.unit, &mut ignored);
    let words = |weather: &DailyWeather| {
        let each = typed.touched.iter().map(|element| {
            format!(
                "{} {}",
                element.label(),
                in_words(*element, weather, now.unit)
            )
        });
        each.collect::<Vec<_>>().join(", ")
    };
    Both {
        day: day.brief(),
        theirs: words(&now.effective(day)),
        yours: words(&typed.weather),
    }
}

fn laid_out(
    frame: Frame,
    window: &Window,
    sent: Option<&Sent<'_>>,
    problems: Problems,
) -> GridPage {
    let units = SpeedUnit::ALL.iter().map(|unit| {
        let (venue, until) = (window.venue.id, window.to);
        let path = format!("/venues/{venue}/weather?until={until}&wind={}", unit.slug());
        (path, unit.label())
    });
    let later =
        (window.to < window.today).then(|| window.path("", window.to.plus(10).min(window.today)));
    GridPage {
        venue: window.venue.name.clone(),
        venue_path: format!("/venues/{}", window.venue.id),
        heading: format!("Weather, {} to {}", window.from.brief(), window.to.short()),
        known: window.known(),
        unit: window.unit.label(),
        units: units.collect(),
        here: window.path("", window.to),
        earlier: window.path("", window.to.plus(-10)),
        later,
        conflicts: window.path("/conflicts", window.to),
        sources_path: format!("/venues/{}/weather/sources", window.venue.id),
        water: format!("/venues/{}/water", window.venue.id),
        csv: format!("/venues/{}/weather.csv", window.venue.id),
        import: format!("/venues/{}/weather/import", window.venue.id),
        disagreements: window.conflicts().len(),
        sources: window
            .sources
            .iter()
            .map(|source| source.name.clone())
            .collect(),
        rows: window
            .days()
            .map(|day| row(window, day, sent, &problems))
            .collect(),
        last_day: match window.to == window.today {
            true => "Today".to_owned(),
            false => window.to.long(),
        },
        both: Vec::new(),
        strip: None,
        frame,
        problems,
    }
}

fn row(window: &Window, day: Day, sent: Option<&Sent<'_>>, problems: &Problems) -> Row {
    let weather = window.effective(day);
    let cell = |column: &Column| {
        let name = format!("{}_{day}", column.key);
        let was = figure(column.key, &weather, window.unit);
        let was_name = format!("was_{name}");
        // What was typed stays; a box nobody touched shows what the record says now.
        let value = match sent.map(|sent| sent.form) {
            Some(form) if form.has(&name) && form.get(&name) != form.get(&was_name) => {
                form.raw(&name).to_owned()
            }
            _ => was.clone(),
        };
        let tick = format!("{name}_sure");
        let sures = sent.map_or(&[][..], |sent| sent.sures);
        Cell {
            sure: sures.iter().find(|sure| sure.name == tick).cloned(),
            label: format!("{}, {}", column.label, day.long()),
            says: says(column, window.unit),
            problem: problems.at(&name).to_owned(),
            choices: choices(column.element),
            name,
            was_name,
            value,
            was,
        }
    };
    let gap = weather.is_empty();
    Row {
        id: format!("day-{day}"),
        brief: day.brief(),
        note: if gap {
            "no record".to_owned()
        } else {
            window.stands(day)
        },
        gap,
        seen_name: format!("seen_{day}"),
        seen: window.version(day),
        typed: COLUMNS[..TYPED].iter().map(cell).collect(),
        picked: COLUMNS[TYPED..].iter().map(cell).collect(),
    }
}

/// `Low °C`, `Wind mph`, `Wind from`.
fn says(column: &Column, unit: SpeedUnit) -> String {
    let unit = match column.key {
        "low" | "high" => " °C",
        "rain" => " mm",
        "wind" => return format!("{} {}", column.label, unit.label()),
        "pressure" => " hPa",
        _ => "",
    };
    format!("{}{unit}", column.label)
}

fn choices(element: Element) -> Vec<(&'static str, &'static str)> {
    match element {
        Element::Cloud => Cloud::ALL.iter().map(|c| (c.slug(), c.label())).collect(),
        Element::Snow => Snow::ALL.iter().map(|s| (s.slug(), s.label())).collect(),
        Element::Ice => Ice::ALL.iter().map(|i| (i.slug(), i.label())).collect(),
        _ => Vec::new(),
    }
}
