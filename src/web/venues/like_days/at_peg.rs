//! What a peg does to the expectation of its water, in words.

use super::told::{between, whose_average};
use crate::{
    domain::{dates::Day, pegs::Peg, units::Scale},
    statistics::{
        fished_days::{CatchUnit, Series},
        peg_effect::{FEWEST_MATCHES, PegEffect, Standing},
        series_study::{Expected, SeriesStudy},
        wording,
    },
    store::statistics::pegs::Given,
    web::figures::weights_held,
};

/// Stands in the place of a band.
const NO_BAND: &str = "no band yet, too few days were foretold";

/// `Peg 7`, and whether it is closed on `day`.
pub fn name(peg: &Peg, day: Day) -> String {
    let closed = match peg.closed_on(day) {
        Some(_) => " (closed)",
        None => "",
    };
    format!("Peg {}{closed}", peg.number)
}

/// What to expect of a peg, in words around its figure.
pub struct AtPeg {
    pub before: String,
    /// `None` where the water's figure stands for it.
    pub figure: Option<String>,
    pub after: String,
    /// The peg's own part and its doubt, which the band leaves out; empty without a figure.
    pub own: String,
}

impl AtPeg {
    fn as_the_water(words: String) -> Self {
        Self {
            before: words,
            figure: None,
            after: String::new(),
            own: String::new(),
        }
    }
}

/// `Peg 7: expect about 2 lb 3 oz an hour (14 oz to 4 lb 1 oz), from the day’s average over all who
/// fish; single nets vary far more. So far the peg shows no better and no worse than its
/// neighbours.` How it was come by is among the parts.
pub fn at_peg(study: &SeriesStudy, expected: &Expected, peg: &Peg, day: Day) -> AtPeg {
    let name = name(peg, day);
    let drawn = study.days.series == Series::Match;
    match effect(study, peg).filter(|_| drawn) {
        Some(effect) => AtPeg {
            before: format!("{name}: expect about "),
            figure: Some(weights_held(
                &study.days.unit.words(expected.rate * effect.multiplier()),
            )),
            after: format!(
                " an hour ({}), from {}. {}",
                match expected.band {
                    Some(_) => between(study.days.unit, expected.band, effect.multiplier()),
                    None => NO_BAND.to_owned(),
                },
                whose_average(study.days.series),
                beside_neighbours(effect.standing())
            ),
            own: own_part(effect, expected.band.is_some()),
        },
        None if drawn => AtPeg::as_the_water(format!(
            "{name}: no drawn match on record was fished from it throughout, so the water’s figure stands for it."
        )),
        None => AtPeg::as_the_water(format!(
            "{name}: only drawn matches can tell a peg from its angler, so the water’s figure stands for it."
        )),
    }
}

/// `The peg’s own part is 1.32 times the water’s figure, between 1.04 and 1.68, and this doubt is not in the band.`
fn own_part(effect: &PegEffect, has_band: bool) -> String {
    let between = match effect.limits {
        Some((lower, upper)) => format!("between {:.2} and {:.2}", lower.exp(), upper.exp()),
        None => "with too little behind it to say how surely".to_owned(),
    };
    let left_out = match has_band {
        true => ", and this doubt is not in the band",
        false => "",
    };
    format!(
        "The peg’s own part is {:.2} times the water’s figure, {between}{left_out}.",
        effect.multiplier()
    )
}

/// The band of the water's days times what the peg gives: the doubt of the day, not that of the
/// peg, which its own interval tells.
fn its_band(unit: CatchUnit, band: Option<(f64, f64)>, times: f64) -> String {
    match band {
        Some(_) => format!(
            "{}: the water’s band times the peg’s {times:.2}",
            between(unit, band, times)
        ),
        None => NO_BAND.to_owned(),
    }
}

/// What may be said of the peg to somebody on the bank.
fn beside_neighbours(standing: Option<Standing>) -> &'static str {
    match standing {
        Some(Standing::Adds) => "The peg gives more than its neighbours, clear of chance.",
        Some(Standing::TakesAway) => "The peg gives less than its neighbours, clear of chance.",
        Some(Standing::LuckOfTheDraw) => {
            "How it differs from its neighbours could still be the luck of the draw."
        }
        Some(Standing::CannotTell) => {
            "So far the peg shows no better and no worse than its neighbours."
        }
        None => "Too little is on record to tell the peg from its neighbours.",
    }
}

/// What stands of the peg among the parts of the expectation.
pub fn peg_words(study: &SeriesStudy, expected: &Expected, peg: &Peg) -> String {
    let number = &peg.number;
    if study.days.series == Series::Report {
        return "Only drawn matches can tell a peg from its angler".to_owned();
    }
    let Some(effect) = effect(study, peg) else {
        return format!("No drawn match on record was fished from peg {number} throughout");
    };
    format!(
        "Peg {number} gave {:.2} times the mean of its matches ({}){}; anglers not adjusted for: {} an hour ({})",
        effect.multiplier(),
        interval(effect),
        beside_chance(effect),
        study.days.unit.words(expected.rate * effect.multiplier()),
        its_band(study.days.unit, expected.band, effect.multiplier())
    )
}

/// `Peg 7 that day: 4 lb 8 oz`.
pub fn that_day(peg: &Peg, given: &[Given], scale: Scale) -> String {
    let each: Vec<_> = given
        .iter()
        .map(|one| match one.weight_g {
            _ if one.did_not_weigh => "drawn, did not weigh".to_owned(),
            _ if !one.stayed => "drawn, not fished throughout".to_owned(),
            None => "drawn, nothing on record".to_owned(),
            Some(grams) if grams > 0.0 => wording::weight(grams, scale),
            Some(_) => "drawn, blank".to_owned(),
        })
        .collect();
    let said = match each.is_empty() {
        true => "not drawn".to_owned(),
        false => each.join("; "),
    };
    format!("Peg {} that day: {said}", peg.number)
}

/// What the peg gave, where any drawn match tells.
fn effect<'a>(study: &'a SeriesStudy, peg: &Peg) -> Option<&'a PegEffect> {
    study.peg(peg.id).filter(|effect| effect.matches > 0)
}

/// `0.90 to 1.52, 13 drawn matches`.
fn interval(effect: &PegEffect) -> String {
    let times = |ln: f64| format!("{:.2}", ln.exp());
    let matches = wording::count(effect.matches, "drawn match", "drawn matches");
    match effect.limits {
        Some((lower, upper)) => format!("{} to {}, {matches}", times(lower), times(upper)),
        None if effect.matches >= FEWEST_MATCHES => {
            format!("{matches}, nothing caught in any: no interval")
        }
        None => format!("{matches}: too few for an interval"),
    }
}

/// `, which is clear of chance`; nothing where there is no interval to say it of.
fn beside_chance(effect: &PegEffect) -> String {
    let standing = effect.standing();
    standing.map_or_else(String::new, |standing| format!(", {}", standing.words()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_standing_is_said_beside_the_neighbours() {
        use Standing::*;
        for standing in [Adds, TakesAway, LuckOfTheDraw, CannotTell] {
            let words = beside_neighbours(Some(standing));
            assert!(words.contains("its neighbours"), "{words}");
        }
        assert!(beside_neighbours(None).contains("Too little"));
    }

    #[test]
    fn a_pegs_own_part_is_told_with_its_doubt_and_that_the_band_leaves_it_out() {
        let effect = |limits| PegEffect {
            ln_multiplier: 1.32_f64.ln(),
            limits,
            chance: None,
            matches: 13,
            left_out: 0,
        };
        let limits = Some((1.04_f64.ln(), 1.68_f64.ln()));
        assert_eq!(
            own_part(&effect(limits), true),
            "The peg’s own part is 1.32 times the water’s figure, between 1.04 and 1.68, and this doubt is not in the band."
        );
        assert_eq!(
            own_part(&effect(None), false),
            "The peg’s own part is 1.32 times the water’s figure, with too little behind it to say how surely."
        );
    }

    #[test]
    fn a_pegs_band_is_that_of_the_water_times_what_the_peg_gives() {
        assert_eq!(
            its_band(CatchUnit::Fish, Some((1.0, 4.0)), 0.9),
            "0.90 to 3.6: the water’s band times the peg’s 0.90"
        );
        assert_eq!(
            its_band(CatchUnit::Pounds, Some((1.0, 4.5)), 1.0),
            "1\u{a0}lb to 4\u{a0}lb\u{a0}8\u{a0}oz: the water’s band times the peg’s 1.00"
        );
        assert_eq!(
            its_band(CatchUnit::Fish, None, 0.9),
            "no band yet, too few days were foretold"
        );
    }
}
