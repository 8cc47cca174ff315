//! The run-up strip: the days before, one narrow column a day, oldest left, the session day boxed.
//! From the top: wind, pressure as a pencil line, air from coldest to warmest with 0 °C ruled,
//! rain as depth. A missing day is dashed and breaks the pressure line. The small strip is the
//! same drawing without letters; its words stand beside it.

use askama::Template;

use super::{
    Place, RunUpScale, left, middle,
    run_up_scale::down,
    wind::{Arrow, StripWind, arrow},
};
use crate::{domain::weather::bank_wind::BankWind, web::figures};

/// Pixels down for the bands of a strip.
struct Bands {
    wind: f64,
    arrow: f64,
    pressure: (f64, f64),
    air: (f64, f64),
    rain: (f64, f64),
    height: f64,
}

const LARGE: Bands = Bands {
    wind: 20.0,
    arrow: 14.0,
    pressure: (62.0, 92.0),
    air: (134.0, 202.0),
    rain: (246.0, 290.0),
    height: 322.0,
};

const SMALL: Bands = Bands {
    wind: 12.0,
    arrow: 8.0,
    pressure: (24.0, 33.0),
    air: (37.0, 65.0),
    rain: (68.0, 81.0),
    height: 84.0,
};

/// Highest and lowest pressure are only named when this far apart, hPa.
const WORTH_NAMING: f64 = 3.0;

/// How far within its column the box of the session day stands, per cent of the column.
const BOX_IN: f64 = 4.0;

/// One day as observed. Whatever is missing stays missing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StripDay {
    /// Beneath the column: the day of the month, such as `5`.
    pub label: String,
    /// In the table: `Wed 5`.
    pub name: String,
    pub low_c: Option<f64>,
    pub high_c: Option<f64>,
    pub rain_mm: Option<f64>,
    pub wind: Option<StripWind>,
    pub pressure_hpa: Option<f64>,
    /// The session day itself, boxed.
    pub session_day: bool,
}

/// What a strip is drawn from.
#[derive(Clone, Debug, PartialEq)]
pub struct RunUp {
    /// Unlike any other picture's on the page; letters, digits and hyphens.
    pub id: String,
    /// `Run-up to Saturday 15 November`.
    pub title: String,
    /// The days in a sentence or two, for those who hear the page.
    pub summary: String,
    /// `Wed 5 to Sat 15 November`.
    pub period: String,
    /// Oldest first.
    pub days: Vec<StripDay>,
    /// Bearing the bank faces, degrees from north; with `None` north is up.
    pub facing_deg: Option<f64>,
    /// How the wind has been on this bank, in words; may be empty.
    pub wind_words: String,
    /// The scale shared by the strips of a page; `None` fits this strip alone.
    pub scale: Option<RunUpScale>,
}

/// A day's place in the drawing. `None` parts are not drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    pub x: Place,
    pub left: Place,
    /// Left edge of its box, where it is the session day.
    pub box_left: Place,
    pub arrow: Option<Arrow>,
    /// Top and bottom of the bar, px, with what is written at each end.
    pub air: Option<(Place, Place, String, String)>,
    /// Left edge and top of the fill, px, its height, and what is written above it.
    pub rain: Option<(Place, Place, Place, String)>,
    pub label: String,
    pub session_day: bool,
    pub missing: bool,
}

/// A stroke of the pressure line from one day to the next.
#[derive(Clone, Debug, PartialEq)]
pub struct Stroke {
    pub x1: Place,
    pub y1: Place,
    pub x2: Place,
    pub y2: Place,
}

/// Words at a place.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    pub x: Place,
    pub y: Place,
    pub words: String,
}

/// Everything both strips draw.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    pub columns: Vec<Column>,
    pub glass: Vec<Stroke>,
    pub glass_dots: Vec<Mark>,
    pub glass_words: Vec<Mark>,
    pub nought: Place,
    pub floor: Place,
    pub wind_y: Place,
    pub day_y: Place,
    pub band: (Place, Place),
    pub breadth: Place,
    pub rain_breadth: Place,
    /// The session day's box, a little within its column, so that no edge of the page cuts it.
    pub boxed: Place,
    pub height: Place,
    pub foot: Place,
    /// Height of a missing day's dashed box.
    pub gap: Place,
}

impl Drawing {
    fn has(&self, sought: &Arrow) -> bool {
        let mut arrows = self.columns.iter().filter_map(|c| c.arrow.as_ref());
        arrows.any(|arrow| arrow == sought)
    }
}

/// The strip of a page: drawing, caption and table.
#[derive(Template)]
#[template(path = "pictures/run_up_strip.html")]
pub struct RunUpStrip {
    run_up: RunUp,
    drawing: Drawing,
    /// Its figures stand under it; not on a page that has them in a table of its own.
    with_table: bool,
}

/// The strip of a row.
#[derive(Template)]
#[template(path = "pictures/small_run_up_strip.html")]
pub struct SmallRunUpStrip {
    run_up: RunUp,
    drawing: Drawing,
}

impl RunUpStrip {
    pub fn new(run_up: RunUp) -> Self {
        let drawing = draw(&run_up, &LARGE);
        Self {
            run_up,
            drawing,
            with_table: true,
        }
    }

    pub fn without_table(self) -> Self {
        Self {
            with_table: false,
            ..self
        }
    }

    fn has_session_day(&self) -> bool {
        self.run_up.days.iter().any(|day| day.session_day)
    }

    fn has_variable_wind(&self) -> bool {
        self.drawing.has(&Arrow::Variable)
    }

    fn has_unwritten_direction(&self) -> bool {
        self.drawing.has(&Arrow::Unwritten)
    }

    fn air(&self, day: &StripDay) -> String {
        match (day.low_c, day.high_c) {
            (Some(low), Some(high)) => figures::between(low, high, 1),
            (Some(low), None) => format!("{} and up", figures::number(low, 1)),
            (None, Some(high)) => format!("up to {}", figures::number(high, 1)),
            (None, None) => String::new(),
        }
    }

    fn rain(&self, day: &StripDay) -> String {
        day.rain_mm
            .map(|mm| figures::number(mm, 1))
            .unwrap_or_default()
    }

    fn glass(&self, day: &StripDay) -> String {
        day.pressure_hpa
            .map(|hpa| format!("{hpa:.0}"))
            .unwrap_or_default()
    }

    fn wind(&self, day: &StripDay) -> String {
        day.wind
            .as_ref()
            .map(|wind| wind.words.clone())
            .unwrap_or_default()
    }

    fn bank(&self, day: &StripDay) -> &'static str {
        let from = day.wind.as_ref().and_then(|wind| wind.from_deg);
        match (from, self.run_up.facing_deg) {
            (Some(from), Some(facing)) => BankWind::of(from, facing).words(),
            _ => "",
        }
    }
}

impl SmallRunUpStrip {
    pub fn new(run_up: RunUp) -> Self {
        let drawing = draw(&run_up, &SMALL);
        Self { run_up, drawing }
    }

    /// A page that explains its strips says what the mark is where one is drawn.
    pub fn has_variable_wind(&self) -> bool {
        self.drawing.has(&Arrow::Variable)
    }

    /// The same of a wind that blew, nobody wrote down from where.
    pub fn has_unwritten_direction(&self) -> bool {
        self.drawing.has(&Arrow::Unwritten)
    }
}

/// Lays a run-up out in `bands`. With no day at all the drawing is empty.
fn draw(run_up: &RunUp, bands: &Bands) -> Drawing {
    let count = run_up.days.len();
    let scale = run_up
        .scale
        .unwrap_or_else(|| RunUpScale::holding(&run_up.days));
    let days = run_up.days.iter().enumerate();
    let (glass, glass_dots) = pencil_line(&run_up.days, &scale, bands);
    Drawing {
        columns: days
            .map(|(at, day)| column(at, count, day, run_up, &scale, bands))
            .collect(),
        glass,
        glass_dots,
        glass_words: glass_words(&run_up.days, &scale, bands),
        nought: Place(down(0.0, scale.air, bands.air.0, bands.air.1)),
        floor: Place(bands.rain.1),
        wind_y: Place(bands.wind),
        day_y: Place(bands.rain.1 + 23.0),
        band: (Place(bands.air.0), Place(bands.air.1)),
        breadth: Place(100.0 / count.max(1) as f64),
        rain_breadth: Place(88.0 / count.max(1) as f64),
        boxed: Place((100.0 - 2.0 * BOX_IN) / count.max(1) as f64),
        height: Place(bands.height),
        foot: Place(bands.height - 4.0),
        gap: Place(bands.rain.1 - 6.0),
    }
}

fn column(
    at: usize,
    count: usize,
    day: &StripDay,
    run_up: &RunUp,
    scale: &RunUpScale,
    bands: &Bands,
) -> Column {
    let blowing = day.wind.as_ref();
    let arrow = blowing.map(|wind| arrow(wind, run_up.facing_deg, bands.arrow));
    let missing = day.low_c.is_none()
        && day.high_c.is_none()
        && day.rain_mm.is_none()
        && day.pressure_hpa.is_none()
        && blowing.is_none();
    Column {
        x: middle(at, count),
        left: left(at, count),
        box_left: Place(left(at, count).0 + BOX_IN / count as f64),
        arrow,
        air: day
            .low_c
            .zip(day.high_c)
            .map(|(low, high)| air_bar(low, high, scale, bands)),
        rain: day.rain_mm.filter(|mm| *mm > 0.0).map(|mm| {
            let (top, bottom) = bands.rain;
            let y = down(mm, (0.0, scale.rain), top, bottom).min(bottom - 1.5);
            let words = if mm < 0.5 {
                String::new()
            } else {
                figures::number(mm, 0)
            };
            let edge = Place(left(at, count).0 + 6.0 / count as f64);
            (edge, Place(y), Place(bottom - y), words)
        }),
        label: day.label.clone(),
        session_day: day.session_day,
        missing,
    }
}

/// A bar is never thinner than a pencil, so that a day of one temperature is still seen.
fn air_bar(
    low: f64,
    high: f64,
    scale: &RunUpScale,
    bands: &Bands,
) -> (Place, Place, String, String) {
    let (band_top, band_bottom) = bands.air;
    let top = down(high, scale.air, band_top, band_bottom);
    let bottom = down(low, scale.air, band_top, band_bottom).max(top + 2.0);
    let words = |degrees: f64| figures::number(degrees, 0);
    (Place(top), Place(bottom), words(high), words(low))
}

/// Strokes between neighbouring days that both have a pressure; a day alone is a dot.
fn pencil_line(days: &[StripDay], scale: &RunUpScale, bands: &Bands) -> (Vec<Stroke>, Vec<Mark>) {
    let count = days.len();
    let y = |hpa: f64| {
        Place(down(
            hpa,
            scale.pressure,
            bands.pressure.0,
            bands.pressure.1,
        ))
    };
    let glass = |at: usize| days.get(at).and_then(|day| day.pressure_hpa);
    let mut strokes = Vec::new();
    let mut dots = Vec::new();
    for at in 0..count {
        let Some(here) = glass(at) else { continue };
        let before = at.checked_sub(1).and_then(glass);
        match glass(at + 1) {
            Some(next) => strokes.push(Stroke {
                x1: middle(at, count),
                y1: y(here),
                x2: middle(at + 1, count),
                y2: y(next),
            }),
            None if before.is_none() => {
                dots.push(Mark {
                    x: middle(at, count),
                    y: y(here),
                    words: String::new(),
                });
            }
            None => {}
        }
    }
    (strokes, dots)
}

/// The highest pressure written above its day and the lowest below.
fn glass_words(days: &[StripDay], scale: &RunUpScale, bands: &Bands) -> Vec<Mark> {
    let count = days.len();
    let known = || {
        days.iter()
            .enumerate()
            .filter_map(|(at, day)| day.pressure_hpa.map(|hpa| (at, hpa)))
    };
    let Some(highest) = known().max_by(|a, b| a.1.total_cmp(&b.1)) else {
        return Vec::new();
    };
    let lowest = known()
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .filter(|low| highest.1 - low.1 >= WORTH_NAMING);
    let mark = |(at, hpa): (usize, f64), clear: f64| Mark {
        x: middle(at, count),
        y: Place(down(hpa, scale.pressure, bands.pressure.0, bands.pressure.1) + clear),
        words: format!("{hpa:.0}"),
    };
    [Some(mark(highest, -8.0)), lowest.map(|low| mark(low, 19.0))]
        .into_iter()
        .flatten()
        .collect()
}
