//! Counts, lengths and times as they are typed. Each reader answers with the value, or with a
//! sentence that says how to mend what was typed. An empty field is the form's affair.

use serde::{Deserialize, Serialize};

use super::quoted;

/// A length in whole millimetres.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Length(i64);

impl Length {
    pub const fn millimetres(mm: i64) -> Self {
        Self(mm)
    }

    /// To the nearest millimetre.
    pub fn from_metres(metres: f64) -> Self {
        Self((metres * 1000.0).round() as i64)
    }

    pub fn mm(self) -> i64 {
        self.0
    }

    pub fn metres(self) -> f64 {
        self.0 as f64 / 1000.0
    }

    /// `11 m`, `11.5 m`, `1.83 m`: to the centimetre.
    pub fn words(self) -> String {
        let centimetres = (self.0 as f64 / 10.0).round() as i64;
        let sign = if centimetres < 0 { "−" } else { "" };
        let (metres, rest) = (centimetres.abs() / 100, centimetres.abs() % 100);
        match rest {
            0 => format!("{sign}{metres} m"),
            rest if rest % 10 == 0 => format!("{sign}{metres}.{} m", rest / 10),
            rest => format!("{sign}{metres}.{rest:02} m"),
        }
    }

    /// As it may have been typed and reads as the same: `11.5 m`; feet and yards are known by the odd
    /// millimetres they leave. Up to ten yards in feet, since depths are: `6 ft`, `4.5 ft`, `33 yd`.
    pub fn typed(self) -> String {
        /// Half a foot and a yard, in tenths of a millimetre.
        const HALF_FOOT: i64 = 1_524;
        const YARD: i64 = 9_144;
        let whole = |size: i64| {
            let count = (self.0 * 10 + size / 2) / size;
            (count > 0 && (count * size + 5) / 10 == self.0).then_some(count)
        };
        if self.0 % 100 == 0 {
            return self.words();
        }
        match (whole(YARD), whole(HALF_FOOT)) {
            (Some(yards @ 10..), _) => format!("{yards} yd"),
            (_, Some(halves)) if halves % 2 == 0 => format!("{} ft", halves / 2),
            // A length to the centimetre is metric, unless nothing else explains it.
            (_, Some(halves)) if self.0 % 10 != 0 => format!("{}.5 ft", halves / 2),
            _ => self.words(),
        }
    }
}

/// A length of time in whole minutes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Minutes(pub i64);

impl Minutes {
    pub fn hours(self) -> f64 {
        self.0 as f64 / 60.0
    }

    /// `5 hours`, `1 hour 30 minutes`, `45 minutes`.
    pub fn words(self) -> String {
        let part = |n: i64, word: &str| match n {
            1 => format!("1 {word}"),
            n => format!("{n} {word}s"),
        };
        match (self.0 / 60, self.0 % 60) {
            (0, minutes) => part(minutes, "minute"),
            (hours, 0) => part(hours, "hour"),
            (hours, minutes) => format!("{} {}", part(hours, "hour"), part(minutes, "minute")),
        }
    }
}

/// A whole number from `least` to `most`, of `things` ("fish", "rods").
///
/// Only the figures 0 to 9, with spaces round them.
pub fn read_count(typed: &str, things: &str, least: i64, most: i64) -> Result<i64, String> {
    let text = typed.trim();
    if text.is_empty() {
        return Err(format!("Enter the number of {things}, for example 4."));
    }
    if text.starts_with(['-', '\u{2212}']) {
        return Err(format!(
            "{} is below nothing. Enter a number of {things} from {least} to {most}.",
            quoted(text)
        ));
    }
    if !text.bytes().all(|b| b.is_ascii_digit()) {
        return Err(format!(
            "{} is not a whole number. Enter the number of {things} as a whole number in plain figures, for example {}.",
            quoted(text),
            14_i64.clamp(least, most)
        ));
    }
    match text.parse::<i64>() {
        Ok(n) if (least..=most).contains(&n) => Ok(n),
        _ => Err(format!(
            "{} is not between {least} and {most}. Check the number of {things}.",
            quoted(text)
        )),
    }
}

/// A decimal in the figures 0 to 9 with one point or comma, in thousandths, and the word after it.
fn thousandths(text: &str) -> Option<(i64, &str)> {
    let end = text
        .find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',')
        .unwrap_or(text.len());
    let (number, word) = text.split_at(end);
    let (whole, part) = number.split_once(['.', ',']).unwrap_or((number, ""));
    let missing = whole.is_empty() && part.is_empty();
    let pointless = number.ends_with(['.', ',']);
    if missing || pointless || whole.len() > 7 || part.len() > 9 || part.contains(['.', ',']) {
        return None;
    }
    let whole: i64 = if whole.is_empty() {
        0
    } else {
        whole.parse().ok()?
    };
    let part: String = part.chars().chain("000".chars()).take(3).collect();
    Some((whole * 1000 + part.parse::<i64>().ok()?, word.trim()))
}

/// A length from 0 to `most` metres: `11`, `11.5`, `11,5 m`, `150 cm`, `6 ft`, `12 yd`.
///
/// A foot is 0.3048 m and a yard 0.9144 m exactly (agreement of 1959). Without a unit: metres.
pub fn read_metres(typed: &str, what: &str, most: i64) -> Result<Length, String> {
    let text = typed.trim();
    let mend = || {
        format!(
            "{} cannot be read as {what}. Enter metres, for example 11 or 1.5, or feet as in 6 ft.",
            quoted(text)
        )
    };
    if text.is_empty() {
        return Err(format!("Enter {what} in metres, for example 11 or 1.5."));
    }
    let lower = text.to_ascii_lowercase();
    let (thousandths, word) = thousandths(&lower).ok_or_else(mend)?;
    // A thousandth of each unit, in ten-thousandths of a millimetre: whole numbers, so exact.
    let size = match word.trim_end_matches('.') {
        "" | "m" | "metre" | "metres" | "meter" | "meters" => 10_000,
        "cm" | "centimetre" | "centimetres" => 100,
        "mm" => 10,
        "ft" | "foot" | "feet" | "'" | "′" => 3_048,
        "yd" | "yds" | "yard" | "yards" => 9_144,
        _ => return Err(mend()),
    };
    let mm = (thousandths * size + 5_000) / 10_000;
    if mm > most * 1000 {
        return Err(format!(
            "{} is more than {most} m. Check {what}, which is asked for in metres.",
            quoted(text)
        ));
    }
    Ok(Length(mm))
}

/// Where on a line, in metres left (negative) or right of straight out: `2 left`, `3 m right`,
/// `L2`, `straight`, `0`, `-2`.
pub fn read_aim(typed: &str) -> Result<Length, String> {
    let text = typed.trim().to_ascii_lowercase().replace('\u{2212}', "-");
    if matches!(text.as_str(), "straight" | "straight out" | "centre" | "0") {
        return Ok(Length(0));
    }
    let mend = || {
        format!(
            "{} cannot be read as an aim. Enter metres to one side, for example 2 left or 3 right, or 0 for straight out.",
            quoted(typed)
        )
    };
    let (side, rest) = if let Some(rest) = text.strip_prefix('-') {
        (-1, rest)
    } else if let Some(rest) = text.strip_suffix("left").or(text.strip_prefix('l')) {
        (-1, rest)
    } else if let Some(rest) = text.strip_suffix("right").or(text.strip_prefix('r')) {
        (1, rest)
    } else if let Some(rest) = text.strip_prefix('+') {
        (1, rest)
    } else {
        return Err(mend());
    };
    let rest = rest.trim_end().trim_end_matches(" m").trim();
    let length = read_metres(rest, "an aim", 100).map_err(|_| mend())?;
    Ok(Length(side * length.mm()))
}

/// A length of time: `5`, `5.5`, `5½`, `5 1/2 hours`, `5,5 h`, `5 hours`, `5h30`, `5:30`, `4 hours 30 minutes`,
/// `150 min`. A bare number is hours. From one minute to `most_hours`.
pub fn read_hours(typed: &str, most_hours: i64) -> Result<Minutes, String> {
    let text = typed.trim().to_ascii_lowercase();
    if text.is_empty() {
        return Err("Enter how long, for example 5 hours or 4:30.".to_owned());
    }
    let minutes = minutes_of(&without_fraction(&text)).ok_or_else(|| {
        format!(
            "{} cannot be read as a length of time. Write it like 5 hours, 4:30 or 150 minutes.",
            quoted(typed)
        )
    })?;
    match minutes {
        1.. if minutes <= most_hours * 60 => Ok(Minutes(minutes)),
        0 => Err(
            "Nought is no time at all. Leave it empty where the hours are not known.".to_owned(),
        ),
        _ => Err(format!(
            "{} is more than {most_hours} hours. Check it; a bare number is taken as hours.",
            quoted(typed)
        )),
    }
}

/// `5½ hours` and `5 1/2 hours` with a point instead. Any other fraction stays, to be refused.
fn without_fraction(text: &str) -> String {
    let fractions = [
        ("¼", ".25"),
        ("½", ".5"),
        ("¾", ".75"),
        (" 1/4", ".25"),
        (" 1/2", ".5"),
        (" 3/4", ".75"),
    ];
    for (fraction, part) in fractions {
        if let Some((whole, word)) = text.split_once(fraction) {
            let whole = whole.trim_end();
            let number = whole.bytes().all(|b| b.is_ascii_digit());
            let ends = !word.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '.' | ','));
            if number && ends {
                return format!("{whole}{part}{word}");
            }
        }
    }
    text.to_owned()
}

fn minutes_of(text: &str) -> Option<i64> {
    let digits = |part: &str| {
        (!part.is_empty() && part.len() <= 4 && part.bytes().all(|b| b.is_ascii_digit()))
            .then(|| part.parse::<i64>().ok())
            .flatten()
    };
    if let Some((hours, minutes)) = text.split_once(':') {
        let minutes = digits(minutes).filter(|m| *m < 60 && minutes.len() == 2)?;
        return Some(digits(hours)? * 60 + minutes);
    }
    let (first, word) = thousandths(text)?;
    let minute = |word: &str| matches!(word, "m" | "min" | "mins" | "minute" | "minutes");
    if minute(word) {
        return Some(first / 1000);
    }
    let hour = ["hours", "hour", "hrs", "hr", "h"]
        .into_iter()
        .find_map(|hour| word.strip_prefix(hour));
    let after = match (word, hour) {
        ("", _) => "",
        (_, Some(after)) => after.trim_start_matches(" and ").trim(),
        _ => return None,
    };
    if after.is_empty() {
        return Some((first * 60 + 500) / 1000);
    }
    let (minutes, word) = thousandths(after)?;
    let whole = first % 1000 == 0 && minutes % 1000 == 0 && minutes < 60_000;
    (whole && (word.is_empty() || minute(word))).then_some(first / 1000 * 60 + minutes / 1000)
}
