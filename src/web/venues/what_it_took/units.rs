//! The unit that weights are read in: as the address has it, else that of the water's scales.

use super::TookPage;
use crate::domain::units::Scale;

/// A unit in an address.
pub fn slug(scale: Scale) -> &'static str {
    match scale {
        Scale::Drams => "lb",
        Scale::Grams => "kg",
    }
}

pub fn from_slug(text: &str) -> Option<Scale> {
    Scale::ALL.into_iter().find(|scale| slug(*scale) == text)
}

impl TookPage {
    pub(super) fn scale(&self) -> Scale {
        self.chosen.unwrap_or(self.venue.weighs_in)
    }

    /// The word of the unit chosen, for the form.
    pub(super) fn weights(&self) -> &'static str {
        self.chosen.map_or("", slug)
    }

    /// The unit not shown.
    pub(super) fn other(&self) -> Scale {
        match self.scale() {
            Scale::Drams => Scale::Grams,
            Scale::Grams => Scale::Drams,
        }
    }

    /// This page in the other unit.
    pub(super) fn in_the_other(&self) -> String {
        let (id, query) = (self.venue.id, self.query(Some(self.other())));
        self.frame
            .url(&format!("/venues/{id}/what-it-took?{query}"))
    }
}
