//! Whether a laid-out sheet may be saved: everything asked is answered, and what an officer has to
//! say on saving is said.

use super::{Elsewhere, Look};
use crate::{actions::ActionError, formats::old_sheets::Unlikely, statistics::wording};

/// What an officer says on saving a sheet.
#[derive(Clone, Debug, Default)]
pub struct Said {
    /// Rows that cannot be taken are left out.
    pub leave_out: bool,
    /// The unlikely weights that are right, as [`Look::unlikely_named`] names them: a tick holds for
    /// these and no others.
    pub right: String,
    /// The matches that are others than those on record that hold their rows, as
    /// [`Look::elsewhere_named`] names them.
    pub another: String,
}

impl Look {
    /// `300 lb on line 2 and 310 lb on line 5`; empty where every weight may well be.
    pub fn unlikely_named(&self) -> String {
        wording::list_of_many(self.unlikely.iter().map(Unlikely::named).collect())
    }

    /// Is every weight likely, or said to be right?
    pub fn is_right(&self, said: &Said) -> bool {
        self.unlikely.is_empty() || said.right == self.unlikely_named()
    }

    /// `Other of Sat 5 Jan 2019`; empty where no row stands in another match on record.
    pub fn elsewhere_named(&self) -> String {
        let mut named: Vec<String> = self.elsewhere.iter().map(Elsewhere::named).collect();
        named.dedup();
        wording::list_of_many(named)
    }

    /// Does no row stand in another match on record, or are those matches said to be others?
    pub fn is_another(&self, said: &Said) -> bool {
        self.elsewhere.is_empty() || said.another == self.elsewhere_named()
    }
}

pub(super) fn check(look: &Look, said: &Said) -> Result<(), ActionError> {
    if let Some(ask) = look.read.asks.first() {
        return Err(ActionError::refused("", ask.sentence()));
    }
    if look.doubts() > 0 {
        return Err(ActionError::refused(
            "",
            match look.doubts() {
                1 => "One name still has to be answered before the file can be saved.".to_owned(),
                n => wording::sentence(&format!(
                    "{} names still have to be answered before the file can be saved.",
                    wording::number(n)
                )),
            },
        ));
    }
    if !look.problems.is_empty() && !said.leave_out {
        let rows = look.problems.len();
        let (them, they) = match rows {
            1 => ("it", "it is"),
            _ => ("them", "they are"),
        };
        let cannot = format!(
            "{} cannot be taken. Mend {them} in the sheet and choose the file again, or tick that {they} left out.",
            wording::count(rows, "row", "rows")
        );
        return Err(ActionError::refused(
            "leave_out",
            wording::sentence(&cannot),
        ));
    }
    if !look.is_right(said) {
        let (is, it) = match look.unlikely.len() {
            1 => ("is", "it is"),
            _ => ("are", "they are"),
        };
        return Err(ActionError::refused(
            "unlikely",
            format!(
                "{} {is} unlikely in one net. Mend the sheet and choose the file again, or tick that {it} right.",
                look.unlikely_named()
            ),
        ));
    }
    if !look.is_another(said) {
        return Err(ActionError::refused(
            "another",
            format!(
                "Rows of {} stand in another match on record. If it is the same match, throw this file away or name the match as on record; else tick that it is another.",
                look.elsewhere_named()
            ),
        ));
    }
    if look.makes_nothing() {
        return Err(ActionError::refused(
            "",
            "Nothing in this file is new, so there is nothing to save.",
        ));
    }
    Ok(())
}
