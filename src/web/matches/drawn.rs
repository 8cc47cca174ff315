//! A peg typed on a form of a match: found by its number, and asked about where it is closed on
//! the day.

use crate::{
    domain::{
        dates::Day,
        ids::PegId,
        pegs::{Closure, Peg, bare_number},
    },
    store::{StoreError, matches::Match, venues},
    web::{
        forms::{Field, Form},
        state::Site,
    },
};

/// The pegs of a match's water, as they were on its day.
pub(super) struct Pegs {
    all: Vec<Peg>,
    on: Day,
}

impl Pegs {
    pub async fn of(site: &Site, the_match: &Match) -> Result<Self, StoreError> {
        Ok(Self {
            all: venues::pegs(&mut *site.db.read().await?, the_match.venue).await?,
            on: the_match.on,
        })
    }

    /// The peg of that number on the day; `Peg 9` is 9.
    pub fn numbered(&self, number: &str) -> Option<PegId> {
        let number = bare_number(number);
        let same = |peg: &&Peg| peg.number.eq_ignore_ascii_case(number) && peg.existed_on(self.on);
        self.all
            .iter()
            .filter(same)
            .max_by_key(|peg| (peg.valid_to.is_none(), peg.id))
            .map(|peg| peg.id)
    }

    /// The place of a peg in walking order, bank by bank.
    pub fn place(&self, peg: PegId) -> Option<usize> {
        self.all.iter().position(|known| known.id == peg)
    }

    fn closed(&self, peg: PegId) -> Option<(&Peg, &Closure)> {
        let peg = self.all.iter().find(|known| known.id == peg)?;
        Some((peg, peg.closed_on(self.on)?))
    }

    /// What is asked of a closed peg in `row` of a form that does not say to use it all the same.
    pub fn asks(&self, peg: PegId, form: &Form, row: &str) -> Option<String> {
        let (closed, closure) = self.closed(peg)?;
        let reason = closure.reason.trim_end_matches('.');
        (!form.has(&tick_name(peg, row))).then(|| {
            format!(
                "Peg {} is closed that day: {reason}. Tick to use it all the same.",
                closed.number
            )
        })
    }

    /// The tick that answers, where the peg of that number is closed. It holds for this peg only.
    /// Without a form the peg is on record, and was looked over when it was saved.
    pub fn tick(&self, number: &str, form: Option<&Form>, row: &str) -> Option<Field> {
        let peg = self.numbered(number)?;
        let (closed, _) = self.closed(peg)?;
        let name = tick_name(peg, row);
        let ticked = form.is_none_or(|form| form.has(&name));
        let label = format!("Use peg {} although it is closed that day", closed.number);
        Some(Field::new(&name, &label, if ticked { "on" } else { "" }))
    }
}

fn tick_name(peg: PegId, row: &str) -> String {
    format!("closed-{row}-{peg}")
}
