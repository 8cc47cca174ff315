//! A water reading as people type it: fields, what was wrong with them, and what was understood.

use crate::{
    domain::{
        dates::{Day, Instant, Zone, parse_time},
        pegs::{Peg, bare_number},
        weather::water::{Clarity, WaterFigures, read_depth, read_level, read_temperature},
    },
    store::weather::readings::{NewReading, Reading},
    web::forms::{Field, Form, Problems},
};

/// The boxes of the form.
pub struct ReadingFields {
    pub on: Field,
    pub at: Field,
    pub temp: Field,
    pub level: Field,
    pub clarity: Field,
    pub peg: Field,
    pub depth: Field,
}

impl ReadingFields {
    /// With what was typed, and what was wrong with it.
    pub fn new(form: &Form, problems: &Problems) -> Self {
        let field =
            |name: &str, label: &str| Field::new(name, label, form.raw(name)).problems(problems);
        Self {
            on: field("on", "Day"),
            at: field("at", "Time"),
            temp: field("temp", "Water temperature, °C").hint("For example 6.4, or 43F."),
            level: field("level", "Level, metres")
                .hint("Above the water’s own mark, or below it as in -0.12; 12 cm is understood."),
            clarity: field("clarity", "How clear it was"),
            peg: field("peg", "At peg").hint("May stay empty."),
            depth: field("depth", "Depth of the thermometer, metres").hint("May stay empty."),
        }
    }
}

/// The choices of the select box.
pub fn clarities() -> Vec<(&'static str, &'static str)> {
    Clarity::ALL
        .iter()
        .map(|clarity| (clarity.slug(), clarity.label()))
        .collect()
}

/// A blank form: the day and the time are now.
pub fn blank(now: Instant, zone: &Zone) -> Form {
    Form::from_pairs(vec![
        ("on".to_owned(), now.day(zone).to_string()),
        ("at".to_owned(), now.clock(zone)),
    ])
}

/// The form as it would be typed to give this reading.
pub fn typed(reading: &Reading, zone: &Zone) -> Form {
    let figure = |value: Option<f64>| value.map(|v| v.to_string()).unwrap_or_default();
    let figures = &reading.figures;
    let pairs = [
        ("on", reading.day.to_string()),
        ("at", reading.at.clock(zone)),
        ("temp", figure(figures.temp_c)),
        ("level", figure(figures.level_m)),
        (
            "clarity",
            figures.clarity.map_or("", Clarity::slug).to_owned(),
        ),
        ("peg", reading.peg_number.clone().unwrap_or_default()),
        ("depth", figure(figures.depth_m)),
    ];
    Form::from_pairs(
        pairs
            .into_iter()
            .map(|(name, value)| (name.to_owned(), value))
            .collect(),
    )
}

/// Reads the form; every problem is noted at its box.
pub fn read(form: &Form, zone: &Zone, pegs: &[Peg], problems: &mut Problems) -> Option<NewReading> {
    let before = problems.len();
    let day = problems.take(
        "on",
        Day::parse(form.get("on")).ok_or("Enter the day as 2026-03-29."),
    );
    let time = problems.take(
        "at",
        parse_time(form.get("at")).ok_or("Enter the time as 07:30."),
    );
    let figures = WaterFigures {
        temp_c: problems
            .take("temp", read_temperature(form.get("temp")))
            .flatten(),
        level_m: problems
            .take("level", read_level(form.get("level")))
            .flatten(),
        depth_m: problems
            .take("depth", read_depth(form.get("depth")))
            .flatten(),
        clarity: Clarity::from_slug(form.get("clarity")),
    };
    let (day, time) = (day?, time?);
    let peg = match form.get("peg") {
        "" => None,
        typed => {
            let number = bare_number(typed);
            let found = pegs
                .iter()
                .find(|peg| peg.number.eq_ignore_ascii_case(number) && peg.existed_on(day));
            problems
                .take("peg", found.ok_or("There was no such peg here on that day. Enter its number as painted, or leave it empty."))
                .map(|peg| peg.id)
        }
    };
    (problems.len() == before).then(|| NewReading {
        day,
        at: day.at(time, zone),
        peg,
        figures,
    })
}

/// What a reading says, with units: `6.4 °C, 0.12 m below the mark, tinged`.
pub fn in_words(figures: &WaterFigures) -> String {
    let parts = [
        figures.temp_c.map(temperature),
        figures.level_m.map(level),
        figures
            .clarity
            .map(|clarity| clarity.label().to_lowercase()),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// `6.4 °C`.
pub fn temperature(celsius: f64) -> String {
    crate::domain::weather::units::TemperatureUnit::Celsius.show(celsius)
}

/// `0.12 m below the mark`.
pub fn level(metres: f64) -> String {
    match metres {
        0.0 => "at the mark".to_owned(),
        below if below < 0.0 => format!("{:.2} m below the mark", -below),
        above => format!("{above:.2} m above the mark"),
    }
}
