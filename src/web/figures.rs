//! How figures are written on a page: a true minus sign, thousands parted by a comma, a number
//! never torn from its unit at the end of a line. Nothing is worked out here.

pub use crate::domain::units::Speed;

/// Holds a number and its unit together.
pub const TIGHT: char = '\u{a0}';

/// Stands in a table where there is no figure and no word. Whoever types may mark a gap by any dash.
pub const GAP: &str = "–";

const METRES_A_SECOND_IN_ONE_MPH: f64 = 0.44704; // exactly: 1609.344 m in 3600 s

/// The lowest mean speed, m/s, of Beaufort forces 1 to 12.
/// Source: WMO Manual on Codes (WMO-No. 306), Beaufort scale; from memory.
const BEAUFORT: [f64; 12] = [
    0.3, 1.6, 3.4, 5.5, 8.0, 10.8, 13.9, 17.2, 20.8, 24.5, 28.5, 32.7,
];

/// `1,240.5`, `−3`; never `−0`.
pub fn number(value: f64, places: usize) -> String {
    let plain = format!("{:.*}", places, value.abs());
    let below_nought = value < 0.0 && plain.bytes().any(|b| (b'1'..=b'9').contains(&b));
    let (whole, rest) = plain.split_at(plain.find('.').unwrap_or(plain.len()));
    let mut shown = String::from(if below_nought { "−" } else { "" });
    for (at, digit) in whole.chars().enumerate() {
        if at > 0 && (whole.len() - at).is_multiple_of(3) {
            shown.push(',');
        }
        shown.push(digit);
    }
    shown + rest
}

/// `+52`, `−9`, `0`.
pub fn signed(value: f64, places: usize) -> String {
    let shown = number(value, places);
    let above = value > 0.0 && shown.bytes().any(|b| (b'1'..=b'9').contains(&b));
    if above { format!("+{shown}") } else { shown }
}

/// `1.4 to 3.0`.
pub fn between(low: f64, high: f64, places: usize) -> String {
    format!("{} to {}", number(low, places), number(high, places))
}

/// `12 %` from 0.12.
pub fn per_cent(share: f64) -> String {
    format!("{}{TIGHT}%", number(share * 100.0, 0))
}

/// What a multiplier adds or takes away: `+52 %` from 1.52, `−9 %` from 0.91.
pub fn change(ratio: f64) -> String {
    format!("{}{TIGHT}%", signed((ratio - 1.0) * 100.0, 0))
}

/// The same text with no line ending after a dash between two figures: `Frost Cup 2026–27`.
pub fn unbroken(text: &str) -> String {
    let mut held = String::with_capacity(text.len());
    let mut letters = text.chars().peekable();
    let mut after_figure = false;
    while let Some(letter) = letters.next() {
        held.push(letter);
        let before_figure = letters.peek().is_some_and(char::is_ascii_digit);
        if letter == '–' && after_figure && before_figure {
            held.push('\u{2060}');
        }
        after_figure = letter.is_ascii_digit();
    }
    held
}

/// The same text with no line ending inside a weight: `won with 25 lb 7 oz`.
pub fn weights_held(text: &str) -> String {
    let is_unit = |word: &str| {
        let word = word.trim_end_matches(|c: char| c.is_ascii_punctuation());
        ["lb", "oz", "dr", "kg", "g"].contains(&word)
    };
    let is_number = |word: &str| {
        word.ends_with(|c: char| c.is_ascii_digit()) && !word.contains(|c: char| c.is_alphabetic())
    };
    let mut held = String::with_capacity(text.len() + 4);
    let mut words = text.split(' ').peekable();
    while let Some(word) = words.next() {
        held.push_str(word);
        if let Some(next) = words.peek() {
            let after_number = is_number(word) && is_unit(next);
            let after_unit = matches!(word, "lb" | "oz") && is_number(next);
            held.push(if after_number || after_unit {
                TIGHT
            } else {
                ' '
            });
        }
    }
    held
}

/// `1 session`, `1,240 sessions`.
pub fn many(count: i64, one: &str, more: &str) -> String {
    let noun = if count == 1 { one } else { more };
    format!("{}{TIGHT}{noun}", number(count as f64, 0))
}

/// `−2.5 °C`.
pub fn celsius(degrees: f64, places: usize) -> String {
    format!("{}{TIGHT}°C", number(degrees, places))
}

/// `8.6 mm`; a whole number of millimetres without its `.0`.
pub fn millimetres(mm: f64) -> String {
    format!("{}{TIGHT}mm", trimmed(mm))
}

/// `1013 hPa`: pressure is read without a comma.
pub fn hectopascals(hpa: f64) -> String {
    format!("{hpa:.0}{TIGHT}hPa")
}

/// `12 mph`, `5.4 m/s`, `force 4`.
pub fn speed(metres_a_second: f64, unit: Speed) -> String {
    match unit {
        Speed::Mph => format!("{}{TIGHT}mph", number(mph(metres_a_second), 0)),
        Speed::MetresASecond => format!("{}{TIGHT}m/s", trimmed(metres_a_second)),
        Speed::Beaufort => format!("force{TIGHT}{}", force(metres_a_second)),
    }
}

/// Miles an hour.
pub fn mph(metres_a_second: f64) -> f64 {
    metres_a_second / METRES_A_SECOND_IN_ONE_MPH
}

/// The Beaufort force of a mean wind.
pub fn force(metres_a_second: f64) -> usize {
    BEAUFORT
        .iter()
        .filter(|least| metres_a_second >= **least)
        .count()
}

/// The nearest of sixteen points of the compass: `SW`, `NNE`.
pub fn compass(degrees: f64) -> &'static str {
    const POINTS: [&str; 16] = [
        "N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW",
        "NW", "NNW",
    ];
    POINTS[(degrees.rem_euclid(360.0) / 22.5).round() as usize % 16]
}

/// One decimal where there is one to show: `8.6`, `11`.
fn trimmed(value: f64) -> String {
    let shown = number(value, 1);
    shown.strip_suffix(".0").map(str::to_owned).unwrap_or(shown)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_carry_a_true_minus_and_commas_and_never_a_negative_nought() {
        for (value, places, want) in [
            (-3.0, 0, "−3"),
            (-0.04, 1, "0.0"),
            (1240.5, 1, "1,240.5"),
            (1_000_000.0, 0, "1,000,000"),
            (999.0, 0, "999"),
            (-12_345.0, 0, "−12,345"),
        ] {
            assert_eq!(number(value, places), want);
        }
        assert_eq!(signed(52.0, 0), "+52");
        assert_eq!(signed(0.2, 0), "0");
        assert_eq!(change(0.91), "−9\u{a0}%");
    }

    #[test]
    fn units_stay_with_their_numbers() {
        assert_eq!(celsius(-2.5, 1), "−2.5\u{a0}°C");
        assert_eq!(millimetres(11.0), "11\u{a0}mm");
        assert_eq!(millimetres(8.62), "8.6\u{a0}mm");
        assert_eq!(hectopascals(1028.4), "1028\u{a0}hPa");
        assert_eq!(many(1, "session", "sessions"), "1\u{a0}session");
        assert_eq!(many(1240, "session", "sessions"), "1,240\u{a0}sessions");
        assert_eq!(between(1.4, 3.0, 1), "1.4 to 3.0");
        assert_eq!(
            unbroken("Frost Cup 2026–27 – round 8"),
            "Frost Cup 2026–\u{2060}27 – round 8"
        );
    }

    #[test]
    fn a_weight_stays_on_one_line_and_the_words_around_it_do_not() {
        assert_eq!(
            weights_held("Hob Sedge won with 25 lb 7 oz. 12 fished; 5.670 kg (17 lb) in all"),
            "Hob Sedge won with 25\u{a0}lb\u{a0}7\u{a0}oz. 12 fished; 5.670\u{a0}kg (17\u{a0}lb) in all"
        );
    }

    #[test]
    fn wind_is_shown_in_the_unit_the_reader_chose() {
        assert_eq!(speed(5.36, Speed::Mph), "12\u{a0}mph");
        assert_eq!(speed(5.36, Speed::MetresASecond), "5.4\u{a0}m/s");
        for (metres_a_second, want) in [(0.0, 0), (0.3, 1), (5.4, 3), (5.5, 4), (40.0, 12)] {
            assert_eq!(force(metres_a_second), want, "{metres_a_second} m/s");
        }
    }

    #[test]
    fn bearings_go_to_the_nearest_of_sixteen_points() {
        for (degrees, want) in [
            (0.0, "N"),
            (225.0, "SW"),
            (349.0, "N"),
            (348.0, "NNW"),
            (-90.0, "W"),
        ] {
            assert_eq!(compass(degrees), want, "{degrees}");
        }
    }
}
