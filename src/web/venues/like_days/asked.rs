//! What the page was asked: a day, a peg, a set of groups, a match's length, and conditions typed
//! in where the record has none. All of it comes in the address and nothing is saved.

use crate::{
    domain::{
        dates::Day,
        groups::{Group, GroupSet},
        pegs::Peg,
        units::quoted,
        weather::{
            DailyWeather,
            sources::Element,
            typed::{self, TypedRain, WeatherProblem},
            units::{PressureUnit, RainUnit, SpeedUnit, TemperatureUnit},
            unlikely,
        },
    },
    statistics::{fished_days::Series, wording},
    store::statistics::run_up::WeatherRecord,
    web::{
        forms::{Field, Form, Problems, Sure},
        weather::window::in_words,
    },
};

/// A match's usual length, hours.
const USUAL_HOURS: f64 = 5.0;
/// Days before the asked one whose gaps can be filled on the page.
const TYPED_DAYS: i64 = 3;
/// Elements that can be typed: the box's key and its label.
const BOXES: [(&str, &str); 6] = [
    ("low", "Low, °C"),
    ("high", "High, °C"),
    ("rain", "Rain, mm"),
    ("wind", "Wind, mph"),
    ("from", "Wind from"),
    ("pressure", "Pressure, hPa"),
];

/// The boxes of one day.
pub struct TypedDay {
    pub day: Day,
    pub boxes: Vec<Field>,
}

pub struct Asked {
    /// The day looked at; today where the one asked for is refused.
    pub date: Day,
    /// The day asked for is none that this page looks at, so it shows no figures.
    pub day_refused: bool,
    pub date_field: Field,
    pub hours: f64,
    pub hours_field: Field,
    pub peg_field: Field,
    pub group_field: Field,
    pub series_field: Field,
    pub series: Option<Series>,
    wanted: Option<GroupSet>,
    /// Days of the record with what was typed added.
    pub typed: Vec<(Day, DailyWeather)>,
    /// Boxes for what the record has not.
    pub gaps: Vec<TypedDay>,
    pub problems: Problems,
}

impl Asked {
    /// Reads an address; whatever cannot be read is a problem at its field and falls back.
    pub fn read(form: &Form, today: Day, record: &WeatherRecord) -> Self {
        let mut problems = Problems::default();
        let chosen = problems.take("date", date(form.get("date"), today));
        let date = chosen.unwrap_or(today);
        let hours = problems
            .take("hours", hours(form.get("hours")))
            .unwrap_or(USUAL_HOURS);
        let wanted = problems
            .take("group", wanted_groups(form.get("group")))
            .flatten();
        let mut asked = Self {
            date,
            day_refused: chosen.is_none(),
            date_field: Field::new("date", "Day", or(form.get("date"), &date.to_string())).hint(
                "Today or tomorrow: the weather of the days before a later day is not known yet.",
            ),
            hours,
            hours_field: Field::new(
                "hours",
                "Hours of fishing",
                or(form.get("hours"), &format!("{hours}")),
            ),
            peg_field: Field::new("peg", "Peg", form.get("peg").to_uppercase()),
            group_field: Field::new("group", "Fish", ""),
            series_field: Field::new("series", "From", form.get("series")),
            series: Series::from_slug(form.get("series")),
            wanted,
            typed: Vec::new(),
            gaps: Vec::new(),
            problems,
        };
        for ago in 1..=TYPED_DAYS {
            asked.read_day(form, date.plus(-ago), record);
        }
        asked.date_field = asked.date_field.problems(&asked.problems);
        asked.hours_field = asked.hours_field.problems(&asked.problems);
        asked
    }

    /// The peg asked for, of those that existed on the day; one that did not is a problem.
    pub fn peg(&mut self, pegs: &[Peg]) -> Option<Peg> {
        let number = self.peg_field.value.clone();
        if number.is_empty() {
            return None;
        }
        let found = pegs
            .iter()
            .find(|peg| peg.number == number && peg.existed_on(self.date));
        if found.is_none() {
            let sentence = format!(
                "There is no peg {} at this water. Choose one of the list.",
                shortened(&number)
            );
            self.problems.add("peg", sentence.as_str());
            self.peg_field.problem = Some(sentence);
        }
        found.cloned()
    }

    /// The set to show: the one asked for, else the first that anything was worked out for.
    pub fn groups(&mut self, known: impl Iterator<Item = GroupSet>) -> Option<GroupSet> {
        let set = self.wanted.or_else(|| known.into_iter().next());
        self.group_field.value = set.map(|set| set.bits().to_string()).unwrap_or_default();
        self.group_field = self.group_field.clone().problems(&self.problems);
        set
    }

    /// Something was typed that can still be seen in its box: what is no choice of a list, or no
    /// date in a box for dates, cannot.
    pub fn keeps_typed(&self) -> bool {
        let shown = |field: &str| match field {
            "peg" | "group" => false,
            "date" => calendar_day(&self.date_field.value).is_some(),
            _ => true,
        };
        self.problems.list.iter().any(|one| shown(&one.field))
    }

    /// The typed figures that the page goes by, and that they are nowhere else.
    pub fn typed_words(&self, record: &WeatherRecord) -> Option<String> {
        (!self.typed.is_empty()).then(|| {
            let days: Vec<_> = self.typed.iter().map(|(day, _)| *day).collect();
            let each: Vec<_> = self
                .typed
                .iter()
                .map(|(day, filled)| added(*day, filled, record))
                .collect();
            format!(
                "What you typed for {} is used on this page only and is not saved: {}.",
                wording::days(&days),
                each.join("; ")
            )
        })
    }

    /// Something is wrong with the weather typed in, or far from usual and nobody ticked that it
    /// is right: nothing is expected from it.
    pub fn weather_to_mend(&self) -> bool {
        let mut boxes = self.gaps.iter().flat_map(|gap| &gap.boxes);
        boxes.any(|field| field.problem.is_some())
    }

    /// Asks at its box whether what was typed of a day is right where it is far from usual, unless
    /// the tick there says so already.
    fn ask(
        &mut self,
        form: &Form,
        day: Day,
        filled: &DailyWeather,
        record: &WeatherRecord,
        boxes: &mut [Field],
    ) {
        let known = record.weather.get(&day).copied().unwrap_or_default();
        let unit = SpeedUnit::default();
        for &element in Element::ALL {
            if element.agrees(&known, filled) {
                continue;
            }
            let said = unlikely::remark(element, filled, day, &record.weather, unit);
            let Some(said) = said else { continue };
            let name = format!("{}_{day}", box_of(element));
            let Some(field) = boxes.iter_mut().find(|field| field.name == name) else {
                continue;
            };
            let sentence = format!("{}: {said} Mend it, or tick that it is right.", day.brief());
            let sure = Sure::new(form, &name, said);
            if !sure.ticked {
                self.problems.add(name, sentence.as_str());
                field.problem = Some(sentence);
            }
            field.sure = Some(sure);
        }
    }

    /// Offers boxes for what the record lacks of a day, and takes what was typed in them.
    fn read_day(&mut self, form: &Form, day: Day, record: &WeatherRecord) {
        let known = record.weather.get(&day).copied().unwrap_or_default();
        let mut filled = known;
        let mut boxes = Vec::new();
        for (key, label) in BOXES.iter().filter(|(key, _)| lacks(&known, key)) {
            let name = format!("{key}_{day}");
            let text = form.get(&name);
            let outcome = fill(key, text, &mut filled);
            let problem = outcome
                .err()
                .map(|problem| format!("{}: {problem}", day.brief()));
            if let Some(sentence) = &problem {
                self.problems.add(name.as_str(), sentence.as_str());
            }
            boxes.push(Field {
                problem,
                ..Field::new(&name, label, text)
            });
        }
        if let Err(problem) = typed::low_and_high(filled.min_c, filled.max_c) {
            let sentence = format!("{}: {problem}", day.brief());
            let at = boxes.first_mut().map_or(String::new(), |field| {
                field.problem = Some(sentence.clone());
                field.name.clone()
            });
            self.problems.add(at, sentence);
            filled = known;
        }
        if filled != known {
            self.ask(form, day, &filled, record, &mut boxes);
            self.typed.push((day, filled));
        }
        if !boxes.is_empty() {
            self.gaps.push(TypedDay { day, boxes });
        }
    }
}

/// `Sat 14 Nov low −9.0 °C, rain 4.0 mm`: what a day has beyond the record.
fn added(day: Day, filled: &DailyWeather, record: &WeatherRecord) -> String {
    let known = record.weather.get(&day).copied().unwrap_or_default();
    let unit = SpeedUnit::default();
    let words: Vec<_> = Element::ALL
        .iter()
        .filter(|element| !element.agrees(&known, filled))
        .map(|element| format!("{} {}", element.label(), in_words(*element, filled, unit)))
        .collect();
    format!("{} {}", day.brief(), words.join(", "))
}

/// A set of groups from an address: its bits, or the word of one group.
pub fn groups_of(text: &str) -> Option<GroupSet> {
    let bits = text.parse().ok().and_then(GroupSet::from_bits);
    bits.or_else(|| Group::from_slug(text).map(GroupSet::from))
}

fn wanted_groups(text: &str) -> Result<Option<GroupSet>, String> {
    match text {
        "" => Ok(None),
        text => groups_of(text).map(Some).ok_or_else(|| {
            format!(
                "There is no group of fish {} here. Choose one of the list.",
                shortened(text)
            )
        }),
    }
}

/// What was asked for, no longer than a sentence bears.
fn shortened(text: &str) -> String {
    text.chars().take(20).collect()
}

fn or(text: &str, otherwise: &str) -> String {
    let text = if text.is_empty() { otherwise } else { text };
    text.to_owned()
}

/// Today or tomorrow; today when left out.
fn date(text: &str, today: Day) -> Result<Day, String> {
    if text.is_empty() {
        return Ok(today);
    }
    let tomorrow = today.plus(1);
    let choose = format!("today, {}, or tomorrow, {}", today.long(), tomorrow.long());
    match calendar_day(text) {
        Some(day) if day == today || day == tomorrow => Ok(day),
        Some(day) if day < today => Err(format!("That day has gone: this page looks at {choose}.")),
        Some(day) => Err(format!(
            "This page looks ahead by a day at most. For {}, ask again from {} on; meanwhile choose {choose}.",
            day.long(),
            day.plus(-1).long()
        )),
        None => Err(format!(
            "{} is not a date: choose {choose}.",
            quoted(&shortened(text))
        )),
    }
}

/// A day of the calendar, of whatever year.
fn calendar_day(text: &str) -> Option<Day> {
    text.trim().parse().ok().map(Day)
}

fn hours(text: &str) -> Result<f64, &'static str> {
    if text.is_empty() {
        return Ok(USUAL_HOURS);
    }
    let hours: Option<f64> = text.replace(',', ".").parse().ok();
    hours
        .filter(|hours| (0.5..=24.0).contains(hours))
        .ok_or("Enter the hours as a figure from 0.5 to 24, for example 5.")
}

fn lacks(known: &DailyWeather, key: &str) -> bool {
    match key {
        "low" => known.min_c.is_none(),
        "high" => known.max_c.is_none(),
        "rain" => known.rain().is_none(),
        "wind" => known.wind_ms.is_none(),
        "from" => known.wind_from.is_none() && known.wind_ms != Some(0.0),
        _ => known.pressure_hpa.is_none(),
    }
}

/// The key of the box that an element is typed in.
fn box_of(element: Element) -> &'static str {
    match element {
        Element::Min => "low",
        Element::Max => "high",
        Element::Rain => "rain",
        Element::Wind => "wind",
        Element::Pressure => "pressure",
        Element::Cloud | Element::Snow | Element::Ice => "",
    }
}

/// Puts a typed figure where the record has none; an empty box changes nothing.
fn fill(key: &str, text: &str, day: &mut DailyWeather) -> Result<(), WeatherProblem> {
    match key {
        "low" => day.min_c = typed::temperature(text, TemperatureUnit::Celsius)?,
        "high" => day.max_c = typed::temperature(text, TemperatureUnit::Celsius)?,
        "rain" => match typed::rain(text, RainUnit::Millimetres)? {
            Some(TypedRain::Millimetres(mm)) => day.rain_mm = Some(mm),
            Some(TypedRain::Trace) => day.rain_trace = true,
            None => {}
        },
        "wind" => day.wind_ms = typed::wind_speed(text, SpeedUnit::default())?,
        "from" => day.wind_from = typed::wind_from(text)?,
        _ => day.pressure_hpa = typed::pressure(text, PressureUnit::Hectopascals)?,
    }
    Ok(())
}
