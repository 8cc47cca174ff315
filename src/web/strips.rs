//! Run-up strips out of a water's weather record.

use super::{
    figures::{self, Speed},
    pictures::{RunUp as Drawn, RunUpScale, RunUpStrip, SmallRunUpStrip, StripDay, StripWind},
};
use crate::{
    domain::{
        dates::Day,
        weather::{DailyWeather, WindFrom, bank_wind::BankWind, compass::Compass, units::beaufort},
    },
    statistics::{run_up_words, wording},
    store::statistics::run_up::WeatherRecord,
};

/// Days before the session date that a strip shows.
pub const DAYS: i64 = 10;

/// The days of a strip, oldest first, the session date last and boxed.
pub fn days(record: &WeatherRecord, day: Day, speed: Speed) -> Vec<StripDay> {
    (0..=DAYS)
        .rev()
        .map(|ago| {
            let on = day.plus(-ago);
            let weather = record.weather.get(&on).copied().unwrap_or_default();
            strip_day(on, &weather, ago == 0, speed)
        })
        .collect()
}

fn strip_day(on: Day, weather: &DailyWeather, session_day: bool, speed: Speed) -> StripDay {
    StripDay {
        label: on.0.strftime("%-d").to_string(),
        name: on.0.strftime("%a %-d").to_string(),
        low_c: weather.min_c,
        high_c: weather.max_c,
        rain_mm: weather.rain(),
        wind: wind(weather, speed),
        pressure_hpa: weather.pressure_hpa,
        session_day,
    }
}

fn wind(weather: &DailyWeather, shown_in: Speed) -> Option<StripWind> {
    if weather.wind_ms.is_none() && weather.wind_from.is_none() {
        return None;
    }
    let speed = weather.wind_ms.map(|speed| figures::speed(speed, shown_in));
    let from = weather.wind_from.map(|from| from.to_string());
    let words: Vec<_> = match weather.is_calm() {
        true => vec!["calm".to_owned()],
        false => [speed, from].into_iter().flatten().collect(),
    };
    Some(StripWind {
        speed_ms: weather.wind_ms,
        from_deg: match weather.wind_from {
            Some(WindFrom::Degrees(degrees)) if !weather.is_calm() => Some(degrees),
            _ => None,
        },
        is_variable: weather.wind_from == Some(WindFrom::Variable) && !weather.is_calm(),
        words: words.join(" "),
    })
}

/// Whether any of the ten days before is written down.
pub fn any(record: &WeatherRecord, day: Day) -> bool {
    record.weather.range(day.plus(-DAYS)..day).next().is_some()
}

/// A strip with its caption and table; drawn as one sits where `facing_deg` says how the bank looks.
pub fn large(
    id: &str,
    record: &WeatherRecord,
    day: Day,
    facing_deg: Option<f64>,
    speed: Speed,
) -> RunUpStrip {
    RunUpStrip::new(Drawn {
        facing_deg,
        wind_words: wind_words(record, day, facing_deg, "of late"),
        ..drawn(id, record, day, speed)
    })
}

/// A day and the ten before it, on a page that has their figures in a table of its own and is of
/// no session; `None` where none of them is written down. Its words are those of every other page
/// on the run-up to `last`, whose own wind is drawn but not told: so they say of which days they are.
pub fn to(id: &str, record: &WeatherRecord, last: Day, speed: Speed) -> Option<RunUpStrip> {
    let mut all = record.weather.range(last.plus(-DAYS)..=last);
    all.next()?;
    let mut drawn = drawn(id, record, last, speed);
    for day in &mut drawn.days {
        day.session_day = false;
    }
    let told_of = format!("in the three days before {}", last.brief());
    let strip = RunUpStrip::new(Drawn {
        title: format!("Eleven days to {}", last.0.strftime("%A %-d %B")),
        summary: wording::named(&drawn.title, &drawn.summary),
        wind_words: wind_words(record, last, None, &told_of),
        ..drawn
    });
    Some(strip.without_table())
}

/// The wind of the three days before `day`: `of late mostly from the south-west`, `of late mostly
/// into your face`.
fn wind_words(record: &WeatherRecord, day: Day, facing_deg: Option<f64>, when: &str) -> String {
    let Some(wind) = record.run_up_of_air(day).wind else {
        return String::new();
    };
    if beaufort(wind.scalar_speed_ms) == 0 {
        return format!("calm {when}");
    }
    match (wind.from_deg, facing_deg) {
        (None, _) => format!("variable {when}"),
        (Some(from), None) => format!("{when} mostly from the {}", Compass::of(from).name()),
        (Some(from), Some(facing)) => {
            format!("{when} mostly {}", BankWind::of(from, facing).words())
        }
    }
}

/// The same drawing for a row, all of a page on one scale.
pub fn small(
    id: &str,
    record: &WeatherRecord,
    day: Day,
    scale: RunUpScale,
    speed: Speed,
) -> SmallRunUpStrip {
    SmallRunUpStrip::new(Drawn {
        scale: Some(scale),
        ..drawn(id, record, day, speed)
    })
}

fn drawn(id: &str, record: &WeatherRecord, day: Day, speed: Speed) -> Drawn {
    let run_up = record.run_up_of_air(day);
    Drawn {
        id: id.to_owned(),
        title: format!("Run-up to {}", day.0.strftime("%A %-d %B")),
        summary: run_up_words::summary(&run_up, &record.weather, record.usual(day), speed),
        period: period(day.plus(-DAYS), day),
        days: days(record, day, speed),
        facing_deg: None,
        wind_words: String::new(),
        scale: None,
    }
}

/// `Wed 5 to Sat 15 November`.
fn period(first: Day, last: Day) -> String {
    let same_month = first.0.month() == last.0.month();
    let from = if same_month { "%a %-d" } else { "%a %-d %B" };
    format!(
        "{} to {}",
        first.0.strftime(from),
        last.0.strftime("%a %-d %B")
    )
}
