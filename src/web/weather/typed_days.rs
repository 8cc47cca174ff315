//! The grid's form: its boxes, what was typed in them, and what is asked before it is saved.

use super::window::in_words;
use crate::{
    actions::save_weather::TypedDay,
    domain::{
        dates::Day,
        weather::{
            Cloud, DailyWeather, Ice, Snow, WeatherDays,
            sources::Element,
            typed::{self, TypedRain},
            units::{PressureUnit, RainUnit, SpeedUnit, TemperatureUnit},
            unlikely,
        },
    },
    web::forms::{Form, Problems, Sure},
};

/// A box of the grid: its name in the form, its heading, its element.
pub struct Column {
    pub key: &'static str,
    pub label: &'static str,
    pub element: Element,
}

pub const COLUMNS: [Column; 9] = [
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
pub const TYPED: usize = 6;

const fn column(key: &'static str, label: &'static str, element: Element) -> Column {
    Column {
        key,
        label,
        element,
    }
}

/// Reads one row; a box that still says what it said is not touched.
pub fn read_day(form: &Form, day: Day, unit: SpeedUnit, problems: &mut Problems) -> TypedDay {
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

/// Ticks for the figures that are far from usual, each a problem until it is ticked. `record` is
/// the weather they are held against.
pub fn ask(
    form: &Form,
    days: &[TypedDay],
    record: &WeatherDays,
    unit: SpeedUnit,
    problems: &mut Problems,
) -> Vec<Sure> {
    let mut sures = Vec::new();
    for typed in days {
        for element in &typed.touched {
            let asks = unlikely::question(*element, &typed.weather, typed.day, record, unit);
            let (Some(asks), Some(name)) = (asks, box_of(*element, typed.day)) else {
                continue;
            };
            let sure = Sure::new(form, &name, in_words(*element, &typed.weather, unit));
            if !sure.ticked && problems.at(&name).is_empty() {
                problems.add(name, format!("{}: {asks}", typed.day.brief()));
            }
            sures.push(sure);
        }
    }
    sures
}

/// The box that holds an element of a day; the speed's for wind.
fn box_of(element: Element, day: Day) -> Option<String> {
    let column = COLUMNS.iter().find(|column| column.element == element)?;
    Some(format!("{}_{day}", column.key))
}
