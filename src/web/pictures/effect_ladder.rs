//! The effect ladder: one rung a feature, a dot and a bar for its rate ratio on a log axis with
//! "no difference" ruled, and the sentence beside it. The ladder is itself a table.

use askama::Template;

use super::Place;
use crate::web::figures;

/// Per cent from the middle to the end of a rung.
const REACH: f64 = 46.0;
/// Ends of the axis: the first of these ratios that holds every interval, else the last.
const ENDS: [f64; 4] = [1.5, 2.0, 3.0, 5.0];

/// One feature.
#[derive(Clone, Debug, PartialEq)]
pub struct Rung {
    /// `Each 3 °C warmer over three days`.
    pub feature: String,
    /// Rate ratio for the step that `feature` names, and its interval; 1 for no difference.
    pub ratio: f64,
    pub low: f64,
    pub high: f64,
    /// What it comes to, in plain words.
    pub sentence: String,
}

/// A rung's place, per cent across.
#[derive(Clone, Debug, PartialEq)]
pub struct Bar {
    pub rung: Rung,
    pub from: Place,
    pub to: Place,
    pub dot: Place,
    pub sure: bool,
    /// The interval goes on past the axis on this side.
    pub beyond_low: bool,
    pub beyond_high: bool,
}

#[derive(Template)]
#[template(path = "pictures/effect_ladder.html")]
pub struct EffectLadder {
    caption: String,
    /// What is compared: `rate`, `weight an hour`.
    of_what: String,
    bars: Vec<Bar>,
    low_end: Place,
    high_end: Place,
    low_words: String,
    high_words: String,
}

impl EffectLadder {
    /// A ladder of `rungs` in the order given; `caption` is a sentence saying what a rung compares.
    pub fn new(caption: String, of_what: String, rungs: Vec<Rung>) -> Self {
        let end = end(&rungs);
        let place = |ratio: f64| Place(50.0 + REACH * (ratio.ln() / end.ln()).clamp(-1.0, 1.0));
        let bars = rungs
            .into_iter()
            .map(|rung| Bar {
                from: place(rung.low),
                to: place(rung.high),
                dot: place(rung.ratio),
                sure: rung.low > 1.0 || rung.high < 1.0,
                beyond_low: rung.low < 1.0 / end,
                beyond_high: rung.high > end,
                rung,
            })
            .collect();
        Self {
            caption,
            of_what,
            bars,
            low_end: place(1.0 / end),
            high_end: place(end),
            low_words: figures::change(1.0 / end),
            high_words: figures::change(end),
        }
    }

    fn figures(&self, rung: &Rung) -> String {
        let (low, high) = (figures::change(rung.low), figures::change(rung.high));
        format!("{} ({low} to {high})", figures::change(rung.ratio))
    }
}

fn end(rungs: &[Rung]) -> f64 {
    let reach = |rung: &Rung| rung.high.max(1.0 / rung.low);
    let widest = rungs.iter().map(reach).fold(1.0, f64::max);
    let fits = ENDS.into_iter().find(|end| *end >= widest);
    fits.unwrap_or(ENDS[ENDS.len() - 1])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rung(ratio: f64, low: f64, high: f64) -> Rung {
        Rung {
            feature: String::new(),
            ratio,
            low,
            high,
            sentence: String::new(),
        }
    }

    fn ladder(rungs: Vec<Rung>) -> EffectLadder {
        EffectLadder::new(String::new(), String::new(), rungs)
    }

    #[test]
    fn no_difference_is_in_the_middle_and_equal_ratios_stand_equally_far() {
        let ladder = ladder(vec![
            rung(1.0, 0.8, 1.25),
            rung(1.5, 1.5, 1.5),
            rung(1.0 / 1.5, 0.6, 0.7),
        ]);

        let [even, more, less] = &ladder.bars[..] else {
            panic!("three rungs")
        };
        assert_eq!(even.dot, Place(50.0));
        assert!((even.to.0 - 50.0 - (50.0 - even.from.0)).abs() < 1e-9);
        assert!((more.dot.0 - 50.0 - (50.0 - less.dot.0)).abs() < 1e-9);
    }

    #[test]
    fn the_axis_grows_to_hold_the_widest_doubt_and_says_when_it_cannot() {
        assert_eq!(ladder(vec![rung(1.1, 0.9, 1.3)]).high_words, "+50\u{a0}%");
        assert_eq!(ladder(vec![rung(1.1, 0.4, 1.3)]).high_words, "+200\u{a0}%");

        let wild = ladder(vec![rung(1.1, 0.05, 1.3)]);
        assert!(wild.bars[0].beyond_low);
        assert!(!wild.bars[0].beyond_high);
        assert_eq!(wild.bars[0].from, wild.low_end);
    }

    #[test]
    fn an_interval_that_holds_one_is_drawn_as_doubtful() {
        let ladder = ladder(vec![rung(1.3, 1.1, 1.6), rung(1.3, 0.9, 1.9)]);

        assert!(ladder.bars[0].sure);
        assert!(!ladder.bars[1].sure);
    }
}
