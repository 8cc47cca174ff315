//! Ten days of weather at a venue, one row a day, typed over and saved in one go.

use askama::Template;
use axum::{
    extract::{Query, State},
    http::StatusCode,
    response::{Html, IntoResponse, Response},
};

use super::window::{Asked, Window, figure, in_words};
use crate::{
    actions::{
        ActionError,
        save_weather::{self, Saved, TypedDay},
    },
    domain::{
        dates::Day,
        ids::VenueId,
        weather::{
            Cloud, DailyWeather, Ice, Snow,
            sources::Element,
            typed::{self, TypedRain},
            units::{PressureUnit, RainUnit, SpeedUnit, TemperatureUnit},
        },
    },
    web::{
        errors::PageError,
        forms::{Form, Problems},
        links::go_with,
        page::{Frame, Section, page, page_again},
        people::{Member, Visitor},
        pictures::RunUpStrip,
        places::Place,
        state::Site,
        strips,
    },
};

/// A box of the grid: its name in the form, its heading, its element.
struct Column {
    key: &'static str,
    label: &'static str,
    element: Element,
}

const COLUMNS: [Column; 9] = [
    column("low", "Low", Element::Min),
    column("high", "High", Element::Max),
    column("rain", "Rain", Element::Rain),
    column("wind", "Wind", Element::Wind),
    column("from", "Wind from", Element::Wind),
    column("pressure", "Pressure", Element::Pressure),
    column("cloud", "Cloud", Element::Cloud),
    column("snow", "Snow", Element::Snow),
    column("ice", "Ice", Element::Ice),
];
/// The first columns are boxes to type in; the others are picked from a few words, folded away.
const TYPED: usize = 6;

const fn column(key: &'static str, label: &'static str, element: Element) -> Column {
    Column {
        key,
        label,
        element,
    }
}

struct Cell {
    name: String,
    was_name: String,
    label: String,
    value: String,
    /// The figure the reader was shown, so that an untouched box stays untouched.
    was: String,
    problem: String,
    choices: Vec<(&'static str, &'static str)>,
}

struct Row {
    brief: String,
    note: String,
    gap: bool,
    seen_name: String,
    seen: i64,
    typed: Vec<Cell>,
    picked: Vec<Cell>,
}

impl Row {
    /// Something was typed that cannot stand; it is said under the day, across the row.
    fn is_wrong(&self) -> bool {
        self.typed.iter().any(|cell| !cell.problem.is_empty())
    }
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
    problems: Problems,
    both: Vec<Both>,
    /// The days shown, as the run-up to the day after them.
    strip: Option<RunUpStrip>,
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Place(venue): Place<VenueId>,
    Query(asked): Query<Asked>,
) -> Result<Response, PageError> {
    let window = Window::fetch(&site, venue, &asked).await?;
    let frame = Frame::new(&site, &visitor, Section::Weather).await?;
    let (after, weather) = (window.to.plus(1), site.db.weather());
    let record = weather.of(&mut *site.db.read().await?, venue).await?;
    let mut shown = laid_out(frame, &window, None, Problems::default());
    shown.strip =
        strips::any(&record, after).then(|| strips::large("run-up", &record, after, None));
    page(shown)
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Place(venue): Place<VenueId>,
    Query(asked): Query<Asked>,
    form: Form,
) -> Result<Response, PageError> {
    let window = Window::fetch(&site, venue, &asked).await?;
    let mut problems = Problems::default();
    let days: Vec<TypedDay> = window
        .days()
        .map(|day| read_day(&form, day, window.unit, &mut problems))
        .collect();
    if problems.is_empty() {
        match save_weather::save(&site.db, site.now(), &member.by(), venue, &days).await {
            Ok(Saved::Days(_)) => {
                let path = window.path("", window.to);
                return Ok(go_with(&site, &path, "weather-saved").into_response());
            }
            Ok(Saved::Changed(changed)) => {
                let frame = Frame::new(&site, &member.visitor(), Section::Weather).await?;
                return told_of_both(frame, &site, &asked, venue, &form, &changed).await;
            }
            Err(ActionError::Refused { field, sentence }) => problems.add(field, sentence),
            Err(error) => return Err(error.into()),
        }
    }
    let frame = Frame::new(&site, &member.visitor(), Section::Weather)
        .await?
        .with_problems(true);
    page_again(laid_out(frame, &window, Some(&form), problems))
}

/// The grid again with what is now in the record beside what was typed; saving it once more
/// writes what is in the boxes.
async fn told_of_both(
    frame: Frame,
    site: &Site,
    asked: &Asked,
    venue: VenueId,
    form: &Form,
    changed: &[Day],
) -> Result<Response, PageError> {
    let now = Window::fetch(site, venue, asked).await?;
    let mut shown = laid_out(
        frame.with_problems(true),
        &now,
        Some(form),
        Problems::default(),
    );
    shown.both = changed.iter().map(|day| both(&now, form, *day)).collect();
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

/// Reads one row; a box that still says what it said is not touched.
fn read_day(form: &Form, day: Day, unit: SpeedUnit, problems: &mut Problems) -> TypedDay {
    let mut touched = Vec::new();
    for column in &COLUMNS {
        let name = format!("{}_{day}", column.key);
        let same = form.get(&name) == form.get(&format!("was_{name}"));
        if form.has(&name) && !same && !touched.contains(&column.element) {
            touched.push(column.element);
        }
    }
    let mut reader = RowReader {
        form,
        day,
        problems,
    };
    let mut weather = DailyWeather::default();
    for element in &touched {
        reader.read(*element, unit, &mut weather);
    }
    let celsius = |key: &str| {
        let text = form.get(&format!("{key}_{day}"));
        typed::temperature(text, TemperatureUnit::Celsius)
            .ok()
            .flatten()
    };
    if touched.contains(&Element::Min) || touched.contains(&Element::Max) {
        let fine = typed::low_and_high(celsius("low"), celsius("high"));
        reader.take("low", fine.map(|()| None::<f64>));
    }
    TypedDay {
        day,
        seen: form.get(&format!("seen_{day}")).parse().unwrap_or(0),
        touched,
        weather,
    }
}

struct RowReader<'a> {
    form: &'a Form,
    day: Day,
    problems: &'a mut Problems,
}

impl RowReader<'_> {
    fn text(&self, key: &str) -> String {
        self.form.get(&format!("{key}_{}", self.day)).to_owned()
    }

    /// Keeps a value, or notes at its box why there is none.
    fn take<T>(&mut self, key: &str, read: Result<Option<T>, typed::WeatherProblem>) -> Option<T> {
        let name = format!("{key}_{}", self.day);
        let day = self.day.brief();
        self.problems
            .take(&name, read.map_err(|problem| format!("{day}: {problem}")))
            .flatten()
    }

    fn read(&mut self, element: Element, unit: SpeedUnit, to: &mut DailyWeather) {
        let celsius = TemperatureUnit::Celsius;
        match element {
            Element::Min => {
                to.min_c = self.take("low", typed::temperature(&self.text("low"), celsius));
            }
            Element::Max => {
                to.max_c = self.take("high", typed::temperature(&self.text("high"), celsius));
            }
            Element::Rain => {
                let read = typed::rain(&self.text("rain"), RainUnit::Millimetres);
                match self.take("rain", read) {
                    Some(TypedRain::Millimetres(mm)) => to.rain_mm = Some(mm),
                    Some(TypedRain::Trace) => to.rain_trace = true,
                    None => {}
                }
            }
            Element::Wind => {
                to.wind_ms = self.take("wind", typed::wind_speed(&self.text("wind"), unit));
                to.wind_from = self.take("from", typed::wind_from(&self.text("from")));
            }
            Element::Pressure => {
                let read = typed::pressure(&self.text("pressure"), PressureUnit::Hectopascals);
                to.pressure_hpa = self.take("pressure", read);
            }
            Element::Cloud => to.cloud = Cloud::from_slug(&self.text("cloud")),
            Element::Snow => to.snow = Snow::from_slug(&self.text("snow")),
            Element::Ice => to.ice = Ice::from_slug(&self.text("ice")),
        }
    }
}

fn laid_out(frame: Frame, window: &Window, form: Option<&Form>, problems: Problems) -> GridPage {
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
        earlier: window.path("", window.from.plus(-1)),
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
            .map(|day| row(window, day, form, &problems))
            .collect(),
        both: Vec::new(),
        strip: None,
        frame,
        problems,
    }
}

fn row(window: &Window, day: Day, form: Option<&Form>, problems: &Problems) -> Row {
    let weather = window.effective(day);
    let cell = |column: &Column| {
        let name = format!("{}_{day}", column.key);
        let was = figure(column.key, &weather, window.unit);
        let was_name = format!("was_{name}");
        // What was typed stays; a box nobody touched shows what the record says now.
        let value = match form {
            Some(form) if form.has(&name) && form.get(&name) != form.get(&was_name) => {
                form.raw(&name).to_owned()
            }
            _ => was.clone(),
        };
        Cell {
            label: format!("{}, {}", column.label, day.long()),
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

fn choices(element: Element) -> Vec<(&'static str, &'static str)> {
    match element {
        Element::Cloud => Cloud::ALL.iter().map(|c| (c.slug(), c.label())).collect(),
        Element::Snow => Snow::ALL.iter().map(|s| (s.slug(), s.label())).collect(),
        Element::Ice => Ice::ALL.iter().map(|i| (i.slug(), i.label())).collect(),
        _ => Vec::new(),
    }
}
