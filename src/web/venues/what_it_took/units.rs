//! The unit that weights are read in: as the address has it, else as the reader chose for every
//! page, else that of the water's scales.

use super::TookPage;
use crate::domain::units::Scale;

impl TookPage {
    pub(super) fn scale(&self) -> Scale {
        let usual = self.frame.units.scale(self.venue.weighs_in);
        self.chosen.unwrap_or(usual)
    }

    /// The word of the unit in the address, for the form.
    pub(super) fn weights(&self) -> &'static str {
        self.chosen.map_or("", Scale::slug)
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
