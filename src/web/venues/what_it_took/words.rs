//! What is said beside the figures: of how many sections, how many places, how little it all is.

use super::TookPage;
use crate::statistics::{
    what_it_took::{Took, WhatItTook},
    wording,
};

impl TookPage {
    /// How little so many matches are; `None` where there is none to go by.
    pub(super) fn cannot_tell(&self) -> Option<String> {
        let matches = self.answer.as_ref()?.matches.len();
        let many = wording::number(matches);
        match matches {
            0 => None,
            1 => Some("One match is one day’s weather and one field.".to_owned()),
            _ => Some(wording::sentence(&format!(
                "{many} matches are {many} days’ weather and {many} fields"
            ))),
        }
    }
}

/// `, of 19 sections`; nothing where there is only one.
pub(super) fn of_sections(answer: &WhatItTook) -> String {
    match answer.section_winning.map_or(0, |spread| spread.count) {
        0 | 1 => String::new(),
        n => format!(", of {}", wording::count(n, "section", "sections")),
    }
}

/// `2 places by custom`.
pub(super) fn places(took: &Took) -> String {
    let places = wording::count(took.frame, "place", "places");
    match took.frame_by_custom {
        true => format!("{places} by custom"),
        false => places,
    }
}
