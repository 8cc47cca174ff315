//! The weight of one net: of one cell, or of the cells that hold its pounds, ounces and drams.

use super::{Reader, outcome};
use crate::domain::matches::Outcome;
use crate::domain::units::{Bare, Scale, Weight, WeightReading, is_gap, read_weight};
use crate::formats::csv::Row;
use crate::formats::old_sheets::{BareWeights, Field, parts};

impl Reader<'_> {
    /// What is written of the net in column `at` and in the columns that belong to it.
    pub(super) fn cells_of<'r>(
        &'r self,
        row: &'r Row,
        at: usize,
    ) -> impl Iterator<Item = (Field, &'r str)> {
        let parts = self.parts.get(&at).into_iter().flatten().copied();
        std::iter::once((at, Field::Weight))
            .chain(parts)
            .map(move |(at, field)| (field, row.cell(at).trim()))
            .filter(|(_, cell)| !is_gap(cell))
    }

    /// The outcome that a word in place of a weight names, and the weight.
    pub(super) fn net(
        &self,
        row: &Row,
        at: usize,
    ) -> Result<(Option<Outcome>, Option<Weight>), String> {
        let (mut said, mut written) = (None, Vec::new());
        for (field, cell) in self.cells_of(row, at) {
            match outcome(cell)? {
                Some(own) => said = said.or(Some(own)),
                None => written.push((field, cell)),
            }
        }
        let weight = match self.parts.get(&at) {
            None => match written.first() {
                Some((_, cell)) => Some(self.weight(cell)?),
                None => None,
            },
            Some(parts) => match parts::as_one_text(&written, parts) {
                Some(text) => Some(joined(&text)?),
                None => None,
            },
        };
        // Noughts beside a word say no more than it does.
        let more = |weight: &Weight| said.is_none() || !weight.is_nothing();
        Ok((said, weight.filter(more)))
    }

    fn weight(&self, cell: &str) -> Result<Weight, String> {
        let bare = match self.mapping.bare {
            None => Bare::Ask,
            Some(BareWeights::PoundsPointOunces) => Bare::PoundsPointOunces {
                noughts_kept: self.noughts_kept,
            },
            Some(BareWeights::DecimalPounds) => Bare::DecimalPounds,
            Some(BareWeights::Ounces) => Bare::Ounces,
            Some(BareWeights::Kilograms) => Bare::Kilograms,
            Some(BareWeights::Grams) => Bare::Grams,
        };
        understood(
            read_weight(cell, Scale::Drams, bare),
            "Answer for the whole file, or write it out in the sheet.",
        )
    }
}

/// A weight of several cells, each with its unit.
fn joined(text: &str) -> Result<Weight, String> {
    understood(
        read_weight(text, Scale::Drams, Bare::Ask),
        "Write it out in the sheet.",
    )
}

fn understood(reading: WeightReading, mend: &str) -> Result<Weight, String> {
    match reading {
        WeightReading::Understood(weight) => Ok(weight),
        WeightReading::Problem(sentence) => Err(sentence),
        WeightReading::Question { asks, choices } => {
            let choices: Vec<_> = choices.into_iter().map(|choice| choice.words).collect();
            Err(format!("{asks} It may be {}. {mend}", choices.join(" or ")))
        }
    }
}
