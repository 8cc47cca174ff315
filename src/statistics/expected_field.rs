//! How many anglers a match to come is likely to draw: the middle field of the latest matches of
//! its name, else of the latest at its water. Entries alone say little until the evening before.
//! Common practice, no source.

use super::{what_it_took::LATEST, wording};
use crate::numerics::robust::median;

/// Words of a name that number a match within its series, as figures do.
const NUMBERING: [&str; 7] = ["round", "rd", "leg", "heat", "match", "no", "number"];

/// What an expected field was taken from; with it the number of matches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// As many have entered as usually fish, or more.
    Entered,
    /// Matches of the same name but for round and year.
    Namesakes(usize),
    /// Any matches at the water.
    Latest(usize),
}

/// A field to ask about, and why.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ExpectedField {
    pub anglers: usize,
    pub entered: usize,
    pub basis: Basis,
}

impl ExpectedField {
    /// For a match called `name` with `entered` anglers so far. `past`: name and field of the
    /// posted matches at its water, the latest first. `None` when there is nothing to go by.
    pub fn of(name: &str, entered: usize, past: &[(&str, usize)]) -> Option<Self> {
        let series = series(name);
        let of_series = |other: &str| !series.is_empty() && self::series(other) == series;
        let fields = |wanted: &dyn Fn(&str) -> bool| -> Vec<f64> {
            let like = past.iter().filter(|(other, _)| wanted(other));
            like.take(LATEST).map(|(_, field)| *field as f64).collect()
        };
        let (same, all) = (fields(&of_series), fields(&|_| true));
        let (usual, basis) = match median(&same) {
            Some(middle) => (middle, Basis::Namesakes(same.len())),
            None => (median(&all).unwrap_or(0.0), Basis::Latest(all.len())),
        };
        let usual = usual.round() as usize;
        let (anglers, basis) = match entered >= usual {
            true => (entered, Basis::Entered),
            false => (usual, basis),
        };
        (anglers > 0).then_some(Self {
            anglers,
            entered,
            basis,
        })
    }

    /// `The field is taken as 22, the middle of the last four matches of this name; three have
    /// entered so far.`
    pub fn sentence(&self) -> String {
        let anglers = wording::number(self.anglers);
        let (matches, whose) = match self.basis {
            Basis::Entered => {
                return format!("The field is taken as {anglers}, as entered so far.");
            }
            Basis::Namesakes(matches) => (matches, "of this name"),
            Basis::Latest(matches) => (matches, "here"),
        };
        let taken = match matches {
            1 => format!("that of the last match {whose}"),
            some => format!(
                "the middle of the last {} matches {whose}",
                wording::number(some)
            ),
        };
        let entered = match self.entered {
            0 => "nobody has entered yet".to_owned(),
            1 => "one has entered so far".to_owned(),
            some => format!("{} have entered so far", wording::number(some)),
        };
        format!("The field is taken as {anglers}, {taken}; {entered}.")
    }
}

/// The words of a match's name without what numbers it: `frost`, `cup` of `Frost Cup 2026–27,
/// round 8`.
fn series(name: &str) -> Vec<String> {
    let name = name.to_lowercase();
    name.split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty() && !NUMBERING.contains(word))
        .filter(|word| !word.starts_with(|letter: char| letter.is_ascii_digit()))
        .map(str::to_owned)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const PAST: [(&str, usize); 5] = [
        ("Reed Shield 2026, round 2", 14),
        ("Frost Cup 2026–27, round 2", 24),
        ("Frost Cup 2026–27, round 1", 20),
        ("Reed Shield 2026, round 1", 12),
        ("Frost Cup 2025–26, round 9", 22),
    ];

    fn expected(name: &str, entered: usize) -> ExpectedField {
        ExpectedField::of(name, entered, &PAST).expect("matches to go by")
    }

    #[test]
    fn the_field_is_that_of_the_latest_matches_of_the_name_whatever_their_year_and_round() {
        let found = expected("Frost Cup 2027–28, round 1", 3);
        assert_eq!((found.anglers, found.basis), (22, Basis::Namesakes(3)));
        assert_eq!(
            found.sentence(),
            "The field is taken as 22, the middle of the last three matches of this name; three have entered so far."
        );
    }

    #[test]
    fn a_new_name_or_none_but_numbers_takes_the_latest_matches_of_the_water() {
        for name in ["Withy Bowl", "Match 12"] {
            let found = expected(name, 0);
            assert_eq!(
                (found.anglers, found.basis),
                (20, Basis::Latest(5)),
                "{name}"
            );
            assert!(found.sentence().ends_with("here; nobody has entered yet."));
        }
    }

    #[test]
    fn more_entries_than_usual_are_the_field() {
        let found = expected("Frost Cup, round 3", 26);
        assert_eq!((found.anglers, found.basis), (26, Basis::Entered));
    }

    #[test]
    fn without_matches_and_entries_nothing_is_expected() {
        assert_eq!(ExpectedField::of("Frost Cup", 0, &[]), None);
        let found = ExpectedField::of("Frost Cup", 9, &[]).expect("nine entered");
        assert_eq!(found.anglers, 9);
    }
}
