//! Numbers and days as a sentence wants them.

use crate::domain::{
    dates::Day,
    units::{Scale, Weight},
};

/// Grams in a dram (1 lb = 453.59237 g = 256 dr).
pub const DRAM_G: f64 = 1.771_845_195_312_5;

const SMALL: [&str; 13] = [
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve",
];

/// `no`, `one` … `twelve`, then figures with thousands apart.
pub fn number(count: usize) -> String {
    match SMALL.get(count) {
        Some(word) => (*word).to_owned(),
        None => thousands(count),
    }
}

/// `one day`, `four days`, `no days`.
pub fn count(count: usize, one: &str, many: &str) -> String {
    format!("{} {}", number(count), if count == 1 { one } else { many })
}

/// A number without its noun: `none`, `one` … `twelve`, then figures.
pub fn alone(count: usize) -> String {
    match count {
        0 => "none".to_owned(),
        _ => number(count),
    }
}

/// The verb of a count: `is` of one, `are` of any other.
pub fn are(count: usize) -> &'static str {
    if count == 1 { "is" } else { "are" }
}

/// `12,340`.
fn thousands(count: usize) -> String {
    let digits = count.to_string();
    let mut text = String::new();
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

/// A rate as one reads it: three figures that matter, none for show: `0.042`, `2.1`, `134`,
/// `11,435`.
pub fn figure(value: f64) -> String {
    if value >= 999.5 {
        return thousands(value.round() as usize);
    }
    let places = match value.abs() {
        0.0 => 0,
        size if size < 0.01 => 4,
        size if size < 0.1 => 3,
        size if size < 1.0 => 2,
        size if size < 100.0 => 1,
        _ => 0,
    };
    format!("{value:.places$}").replacen('-', "\u{2212}", 1)
}

/// A weight worked out rather than weighed, no finer than it can bear: `2 lb 4 oz`, `12 oz`,
/// `1.25 kg`, `340 g`. Ounces to the nearest, drams only under four ounces.
pub fn weight(grams: f64, scale: Scale) -> String {
    if scale == Scale::Grams {
        return match grams {
            1000.0.. => format!("{:.2} kg", grams / 1000.0),
            _ => format!("{grams:.0} g"),
        };
    }
    // Without what adding grams leaves in the last bits, so that half an ounce rounds one way.
    let drams = (grams / DRAM_G * 1e6).round() / 1e6;
    let whole = match drams {
        64.0.. => (drams / 16.0).round() * 16.0,
        _ => drams.round(),
    };
    match Weight::new(whole as i64, Scale::Drams) {
        Some(weight) => weight.words(),
        None => format!("{:.0} lb", grams / 453.592_37),
    }
}

/// `a`, `a and b`, `a, b and c`.
pub fn list(parts: &[String]) -> String {
    joined(parts, "and")
}

/// The most things that are named one by one.
const NAMED: usize = 40;

/// The same of any number of things: past forty the rest is counted, `a, b and 3 more`.
pub fn list_of_many(mut parts: Vec<String>) -> String {
    let more = parts.len().saturating_sub(NAMED);
    if more > 0 {
        parts.truncate(NAMED);
        parts.push(format!("{more} more"));
    }
    list(&parts)
}

/// `a`, `a or b`, `a, b or c`.
pub fn any_of(parts: &[String]) -> String {
    joined(parts, "or")
}

fn joined(parts: &[String], word: &str) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} {word} {last}", first.join(", ")),
    }
}

/// The days named one by one: `Sat 8 Nov, Tue 11 Nov and Wed 12 Nov`.
pub fn days(days: &[Day]) -> String {
    list(&days.iter().map(|day| day.brief()).collect::<Vec<_>>())
}

/// The sentence with whose it is before it: `Carp: two anglers did not weigh.`
pub fn named(whose: &str, sentence: &str) -> String {
    let mut letters = sentence.chars();
    let small: String = letters
        .next()
        .map_or(String::new(), |c| c.to_lowercase().collect());
    format!("{whose}: {small}{}", letters.as_str())
}

/// The sentence with its first letter large and a full stop.
pub fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let large = letters.next().map(|c| c.to_uppercase().to_string());
    let stop = if text.ends_with('.') { "" } else { "." };
    format!("{}{}{stop}", large.unwrap_or_default(), letters.as_str())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_words_up_to_twelve() {
        assert_eq!(count(0, "frost", "frosts"), "no frosts");
        assert_eq!(count(1, "frost", "frosts"), "one frost");
        assert_eq!(count(12, "day", "days"), "twelve days");
        assert_eq!(count(12_340, "day", "days"), "12,340 days");
        assert_eq!([0, 1, 13].map(alone), ["none", "one", "13"]);
        assert_eq!([0, 1, 2].map(are), ["are", "is", "are"]);
    }

    #[test]
    fn past_forty_things_the_rest_is_counted() {
        let things = |many: usize| (1..=many).map(|n| n.to_string()).collect::<Vec<_>>();
        assert_eq!(list_of_many(things(3)), "1, 2 and 3");
        assert!(list_of_many(things(40)).ends_with(", 39 and 40"));
        assert!(list_of_many(things(42)).ends_with(", 40 and 2 more"));
    }

    #[test]
    fn rates_keep_the_figures_that_matter() {
        let pairs = [
            (0.0, "0"),
            (0.0421, "0.042"),
            (0.42, "0.42"),
            (2.13, "2.1"),
            (134.4, "134"),
            (999.6, "1,000"),
            (11_435.0, "11,435"),
        ];
        for (value, text) in pairs {
            assert_eq!(figure(value), text);
        }
        assert_eq!(figure(-2.5), "−2.5");
    }

    #[test]
    fn worked_out_weights_are_no_finer_than_they_can_bear() {
        assert_eq!(weight(1020.6, Scale::Drams), "2 lb 4 oz");
        assert_eq!(weight(8.9, Scale::Drams), "5 dr");
        assert_eq!(weight(0.0, Scale::Drams), "0 oz");
        // 6 lb 10½ oz, added up from two nets: a hair less than the half.
        let (carp, silvers) = (1_536.0 * DRAM_G, 168.0 * DRAM_G);
        let hair_less = f64::from_bits((carp + silvers).to_bits() - 2);
        assert_eq!(weight(hair_less, Scale::Drams), "6 lb 11 oz");
        assert_eq!(weight(1254.0, Scale::Grams), "1.25 kg");
        assert_eq!(weight(85.4, Scale::Grams), "85 g");
    }

    #[test]
    fn lists_and_sentences_read_as_written() {
        let parts = ["a", "b", "c"].map(str::to_owned);
        assert_eq!(list(&parts), "a, b and c");
        assert_eq!(any_of(&parts), "a, b or c");
        assert_eq!(sentence("two frosts since"), "Two frosts since.");
        assert_eq!(
            named("Carp", "One did not weigh."),
            "Carp: one did not weigh."
        );
    }
}
