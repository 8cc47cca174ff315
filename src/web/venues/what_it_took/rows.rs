//! The like matches as a file has them: latest first, weights in grams.

use std::io;

use super::TookPage;
use crate::formats::csv::Writer;

/// The heading, and a row a match.
pub(super) fn csv(shown: &TookPage) -> io::Result<Vec<u8>> {
    let mut csv = Writer::new(
        Vec::new(),
        &[
            "day",
            "match",
            "anglers",
            "rod_hours",
            "winning_g",
            "framed_g",
            "frame",
            "sections_won_g",
            "median_g",
            "lowest_g",
            "blanks",
            "did_not_weigh",
            "best_carp_g",
            "best_silvers_g",
            "all_carp_g",
            "all_silvers_g",
        ],
    )?;
    let grams = |grams: Option<f64>| grams.map(|g| format!("{g:.1}")).unwrap_or_default();
    for took in shown.answer.iter().flat_map(|answer| &answer.matches) {
        let won = took.section_winning.iter();
        let sections: Vec<String> = won.map(|g| format!("{g:.1}")).collect();
        csv.row([
            took.day.to_string(),
            shown.names.get(&took.match_id).cloned().unwrap_or_default(),
            took.anglers.to_string(),
            format!("{:.2}", took.rod_hours),
            grams(took.winning),
            grams(took.framed),
            took.frame.to_string(),
            sections.join("; "),
            grams(took.median),
            grams(took.lowest),
            took.blanks.to_string(),
            took.did_not_weigh.to_string(),
            grams(took.apart.map(|a| a.best_carp)),
            grams(took.apart.map(|a| a.best_silvers)),
            grams(took.apart.map(|a| a.all_carp)),
            grams(took.apart.map(|a| a.all_silvers)),
        ])?;
    }
    csv.finish()
}
