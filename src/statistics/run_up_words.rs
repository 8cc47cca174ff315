//! The ten days before a date in one plain sentence, honest about gaps.
//!
//! Words are chosen by fixed rules, common practice, no source: a spell is mild or cold when it
//! is 2 °C off the season; wet at 4 mm a day, dry under 0.2 mm a day; a break is the change of
//! level that leaves least spread either side of it, of 3 °C or more; what happens on the last day
//! has no days after it to be a spell, and is told for itself at 4 °C.

use super::{
    run_up::{RunUp, Usual},
    wording,
};
use crate::domain::{
    customs::Approach,
    dates::Day,
    units::Speed,
    weather::{
        DailyWeather, WeatherDays,
        compass::Compass,
        units::{self, SpeedUnit},
    },
};

/// Days looked back on.
const DAYS: i64 = 10;
/// Degrees off the season that earn a word.
const OFF_SEASON_C: f64 = 2.0;
/// Degrees between two spells that make a break.
const BREAK_C: f64 = 3.0;
/// Degrees by which the last day alone must differ to be told for itself.
const SUDDEN_C: f64 = 4.0;
/// Rain of a few days worth its figure, mm.
const RAIN_MM: f64 = 10.0;
/// Days whose rain is summed for that figure.
const RAIN_DAYS: i64 = 3;
/// Change of pressure in three days worth a word, hPa.
const PRESSURE_HPA: f64 = 8.0;

type Observed<'a> = (Day, &'a DailyWeather);

/// The days before `run_up.day` in a sentence, in °C, mm and compass points, wind as `speed` says.
///
/// `A mild, wet week broke on Sat 8 Nov; two frosts since; wind from the south-west, 10 mph;
/// no temperature for Tue 11 Nov.` Or, where it turned again: `A mild week broke on Tue 17 Nov; four
/// frosts then; it turned milder on Sat 21 Nov; no frosts since.`
pub fn summary(
    run_up: &RunUp,
    weather: &WeatherDays,
    usual: Option<Usual>,
    speed: Speed,
) -> String {
    let from = run_up.day.plus(-DAYS);
    let days: Vec<Observed<'_>> = weather
        .range(from..run_up.day)
        .map(|(day, today)| (*day, today))
        .collect();
    let warm: Vec<_> = days
        .iter()
        .filter_map(|(day, today)| Some((*day, today.mean_c()?)))
        .collect();
    if warm.len() < 4 {
        return match warm.len() {
            0 => "None of the ten days before has a temperature written down.".to_owned(),
            few => format!(
                "Of the ten days before, {} temperatures written down: too few to describe them.",
                wording::count(few, "has", "have")
            ),
        };
    }
    let jumped = sudden(&warm, run_up.day);
    let settled = &warm[..warm.len() - usize::from(jumped.is_some())];
    let (broke, again) = breaks_of(settled);
    let is_whole = warm.len() as i64 == DAYS;
    let mut parts = vec![opening(&days, settled, is_whole, broke, usual)];
    parts.extend(frosts(&days, run_up.day, broke, again));
    parts.extend(rain(&days, run_up.day, [again, broke]));
    parts.extend(trend(run_up, broke.is_some()));
    parts.extend(jumped.map(|change| jump(change, run_up.day.plus(-1))));
    parts.extend(ice(run_up));
    parts.extend(wind(run_up, speed));
    parts.extend(pressure(run_up));
    parts.extend(gaps(run_up.day, &warm));
    wording::sentence(&parts.join("; "))
}

/// By how much the mean of the day before `day` differs from its eve's, °C.
fn last_change(weather: &WeatherDays, day: Day) -> Option<f64> {
    let mean = |ago: i64| weather.get(&day.plus(-ago))?.mean_c();
    Some(mean(1)? - mean(2)?)
}

/// The same where it is large and came all at once: the two days before it were of one level.
fn sudden(warm: &[(Day, f64)], day: Day) -> Option<f64> {
    let mean = |ago: i64| {
        let found = warm.iter().rfind(|(one, _)| *one == day.plus(-ago));
        found.map(|(_, c)| *c)
    };
    let change = mean(1)? - mean(2)?;
    let (eves, before_it) = match mean(3) {
        Some(earlier) => ((mean(2)? + earlier) / 2.0, mean(2)? - earlier),
        None => (mean(2)?, 0.0),
    };
    let is_large = is_sudden(change) && is_sudden(mean(1)? - eves);
    (is_large && 2.0 * before_it.abs() <= change.abs()).then_some(change)
}

/// Means are tenths halved and subtracted: a change that is 4 °C on paper counts.
fn is_sudden(change: f64) -> bool {
    change.abs() >= SUDDEN_C - 1e-9
}

/// `it fell 8.6 °C on Sat 28 Nov`.
fn jump(change: f64, on: Day) -> String {
    let way = if change < 0.0 { "fell" } else { "rose" };
    format!("it {way} {:.1}\u{a0}°C on {}", change.abs(), on.brief())
}

/// What stands beside advice to begin boldly or steadily where the last day was far colder than its
/// eve: the rules of custom go by spells, in which one such day does not yet show.
pub fn fall_unseen(approach: Approach, weather: &WeatherDays, day: Day) -> Option<String> {
    let change = last_change(weather, day)?;
    (approach != Approach::Carefully && change < 0.0 && is_sudden(change)).then(|| {
        format!(
            "The rules look at three days and at seven, and do not see the last day’s fall: {}.",
            jump(change, day.plus(-1))
        )
    })
}

/// The day on which a new spell began and the change of level, °C.
type Break = (Day, f64);

/// The break of the days, and where it turned once more: after it, or else the days before it had
/// a break of their own, which then comes first.
fn breaks_of(warm: &[(Day, f64)]) -> (Option<Break>, Option<Break>) {
    let Some(main) = break_of(warm) else {
        return (None, None);
    };
    let (before, after) = warm.split_at(warm.partition_point(|(day, _)| *day < main.0));
    match (break_of(after), break_of(before)) {
        (Some(later), _) => (Some(main), Some(later)),
        (None, Some(earlier)) => (Some(earlier), Some(main)),
        (None, None) => (Some(main), None),
    }
}

/// The day on which a new spell began and the change of level, °C; `None` when the days are of
/// one piece. Least squares over splits that leave two days or more either side.
fn break_of(warm: &[(Day, f64)]) -> Option<Break> {
    let level = |days: &[(Day, f64)]| {
        let mean = days.iter().map(|(_, c)| c).sum::<f64>() / days.len() as f64;
        let spread: f64 = days.iter().map(|(_, c)| (c - mean).powi(2)).sum();
        (mean, spread)
    };
    (2..=warm.len().saturating_sub(2))
        .map(|split| {
            let (before, after) = warm.split_at(split);
            let ((old, spread), (new, rest)) = (level(before), level(after));
            (spread + rest, after[0].0, new - old)
        })
        .min_by(|one, other| one.0.total_cmp(&other.0))
        .filter(|(_, _, change)| change.abs() >= BREAK_C)
        .map(|(_, day, change)| (day, change))
}

/// What the days were like, up to the break where there was one; `warm` leaves out a last day that
/// is told for itself. Unless the ten days are whole, their mean says of how many it is.
fn opening(
    days: &[Observed<'_>],
    warm: &[(Day, f64)],
    is_whole: bool,
    broke: Option<Break>,
    usual: Option<Usual>,
) -> String {
    let last = warm.last().map(|(day, _)| *day);
    let until = |day: Day| match broke {
        Some((first, _)) => day < first,
        None => last.is_none_or(|last| day <= last),
    };
    let means: Vec<f64> = warm
        .iter()
        .filter(|(day, _)| until(*day))
        .map(|(_, c)| *c)
        .collect();
    let mean = means.iter().sum::<f64>() / means.len() as f64;
    let rain: Vec<f64> = days
        .iter()
        .filter(|(day, _)| until(*day))
        .filter_map(|(_, today)| today.rain())
        .collect();
    let words: Vec<_> = [
        temperature_word(mean, warm[0].0, usual),
        rain_word(&rain, means.len()),
    ]
    .into_iter()
    .flatten()
    .collect();
    let spell = match means.len() {
        6.. => "week",
        _ => "run of days",
    };
    let figure = units::TemperatureUnit::Celsius.held(mean);
    let many = wording::count(means.len(), "day", "days");
    let described = match (broke.is_some(), words.is_empty()) {
        (false, true) if is_whole => format!("{many} with a mean of {figure}"),
        (false, true) => format!("{many} of the ten, mean {figure}"),
        (false, false) => {
            let of = if is_whole { "" } else { " of the ten" };
            let (number, words) = (wording::number(means.len()), words.join(", "));
            format!("{number} {words} days{of}, mean {figure}")
        }
        (true, true) => format!("a {spell} with a mean of {figure}"),
        (true, false) => format!("a {} {spell}", words.join(", ")),
    };
    match broke {
        None => described,
        Some((day, change)) if change < 0.0 => format!("{described} broke on {}", day.brief()),
        Some((day, _)) => format!("{described} turned milder on {}", day.brief()),
    }
}

/// A word where the season is known and the spell was off it.
fn temperature_word(mean: f64, day: Day, usual: Option<Usual>) -> Option<&'static str> {
    let off = mean - usual?.mean_c;
    let summer = (5..=9).contains(&day.0.month());
    match (off, summer) {
        (OFF_SEASON_C.., true) => Some("warm"),
        (OFF_SEASON_C.., false) => Some("mild"),
        (..=-2.0, true) => Some("cool"),
        (..=-2.0, false) => Some("cold"),
        _ => None,
    }
}

/// A word where two thirds of the days say how much fell.
fn rain_word(rain: &[f64], days: usize) -> Option<&'static str> {
    if rain.is_empty() || 3 * rain.len() < 2 * days {
        return None;
    }
    match rain.iter().sum::<f64>() / rain.len() as f64 {
        4.0.. => Some("wet"),
        ..0.2 => Some("dry"),
        _ => None,
    }
}

/// The frosts of each spell after the first break, and when it turned again.
fn frosts(
    days: &[Observed<'_>],
    eve_of: Day,
    broke: Option<Break>,
    again: Option<Break>,
) -> Option<String> {
    let since = |day: Day| &days[days.partition_point(|(one, _)| *one < day)..];
    let Some((first, fell)) = broke else {
        return told(&froze(days), "", eve_of);
    };
    let Some((turned, change)) = again else {
        return told(&froze(since(first)), " since", eve_of);
    };
    let (between, after) = (since(first), since(turned));
    let between = &between[..between.len() - after.len()];
    let way = if change < 0.0 { "colder" } else { "milder" };
    let still = if (change < 0.0) == (fell < 0.0) {
        " still"
    } else {
        ""
    };
    let then = counted(&froze(between)).map_or(String::new(), |said| format!("{said} then; "));
    let lately = counted(&froze(after)).map_or(String::new(), |said| format!("; {said} since"));
    Some(format!(
        "{then}it turned {way}{still} on {}{lately}",
        turned.brief()
    ))
}

/// `four frosts since, the last on Fri 20 Nov`: frosts that are over are not told as if they went on.
fn told(known: &[(Day, bool)], since: &str, eve_of: Day) -> Option<String> {
    let said = counted(known)?;
    let last = known.iter().rfind(|(_, frost)| *frost);
    Some(match last.filter(|(day, _)| *day < eve_of.plus(-2)) {
        None => format!("{said}{since}"),
        Some((day, _)) if said == "one frost" => format!("{said}{since}, on {}", day.brief()),
        Some((day, _)) => format!("{said}{since}, the last on {}", day.brief()),
    })
}

/// The days of which it is known whether it froze.
fn froze(days: &[Observed<'_>]) -> Vec<(Day, bool)> {
    let known = days.iter();
    known
        .filter_map(|(day, today)| Some((*day, today.frost()?)))
        .collect()
}

/// `four frosts`; `None` where no day tells.
fn counted(known: &[(Day, bool)]) -> Option<String> {
    let frosts = known.iter().filter(|(_, frost)| *frost).count();
    (!known.is_empty()).then(|| wording::count(frosts, "frost", "frosts"))
}

/// `18 mm of rain in the last three days`; or since the break, where only its days come to enough.
fn rain(days: &[Observed<'_>], day: Day, breaks: [Option<Break>; 2]) -> Option<String> {
    let since = |first: Day| {
        let of_them = days.iter().filter(|(one, _)| *one >= first);
        let known: Vec<f64> = of_them.filter_map(|(_, today)| today.rain()).collect();
        let fell = known.iter().sum::<f64>();
        let is_whole = known.len() as i64 == day.days_since(first);
        let least = if is_whole { "" } else { "at least " };
        (fell >= RAIN_MM - 1e-9).then(|| format!("{least}{fell:.0}\u{a0}mm of rain"))
    };
    let lately = since(day.plus(-RAIN_DAYS)).map(|fell| format!("{fell} in the last three days"));
    lately.or_else(|| {
        let mut spells = breaks.into_iter().flatten();
        spells.find_map(|(first, _)| Some(format!("{} since {}", since(first)?, first.brief())))
    })
}

fn trend(run_up: &RunUp, broke: bool) -> Option<String> {
    let change = run_up.change_c_per_day.filter(|_| !broke)?;
    let way = match change {
        0.7.. => "warming",
        ..=-0.7 => "cooling",
        _ => return None,
    };
    Some(format!("{way} by {:.1}\u{a0}°C a day", change.abs()))
}

fn ice(run_up: &RunUp) -> Option<String> {
    let last = run_up.day.plus(-run_up.days_since_ice?);
    Some(format!("ice last seen on {}", last.brief()))
}

fn wind(run_up: &RunUp, speed: Speed) -> Option<String> {
    let wind = run_up.wind?;
    let force = units::beaufort(wind.scalar_speed_ms);
    let blew = match speed {
        Speed::Mph => SpeedUnit::MilesPerHour.held(wind.scalar_speed_ms),
        Speed::MetresASecond => SpeedUnit::MetresPerSecond.held(wind.scalar_speed_ms),
        Speed::Beaufort => format!("force {force}"),
    };
    Some(match (force, wind.from_deg) {
        (0, _) => "calm of late".to_owned(),
        (_, Some(from)) => format!("wind from the {}, {blew}", Compass::of(from).name()),
        (_, None) => format!("wind from all round, {blew}"),
    })
}

fn pressure(run_up: &RunUp) -> Option<String> {
    let change = run_up.pressure_change_3d_hpa?;
    let way = match change {
        PRESSURE_HPA.. => "up",
        c if c <= -PRESSURE_HPA => "down",
        _ => return None,
    };
    Some(format!(
        "pressure {way} {:.0}\u{a0}hPa in three days",
        change.abs()
    ))
}

/// The days without a temperature, named while they are few.
fn gaps(day: Day, warm: &[(Day, f64)]) -> Option<String> {
    let missing: Vec<_> = (1..=DAYS)
        .rev()
        .map(|ago| day.plus(-ago))
        .filter(|one| warm.iter().all(|(known, _)| known != one))
        .collect();
    match missing.len() {
        0 => None,
        1..=3 => Some(format!("no temperature for {}", wording::days(&missing))),
        many => Some(format!(
            "no temperature on {} of the ten days",
            wording::number(many)
        )),
    }
}
