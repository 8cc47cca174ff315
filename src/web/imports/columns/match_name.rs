//! The box for the name of the matches, and what to mind where a title line was filled in.

use super::ColumnsPage;
use crate::{
    formats::old_sheets::{Column, names_not_taken, nothing_taken_from},
    web::forms::Field,
};

impl ColumnsPage {
    pub(super) fn match_name(&self) -> Field {
        let hint = "For rows that name none, for example Summer League.";
        let hint = match self.title_for_all() {
            Some(mind) => format!("{hint} {mind}"),
            None => hint.to_owned(),
        };
        self.field("match_name", "Name of the matches", &hint)
    }

    /// Under one title all matches of a day at a water would be one; a column may tell them apart.
    fn title_for_all(&self) -> Option<String> {
        let typed = self.form.get("match_name");
        let title = self.sheet.titles.first()?;
        let column = |at| Column::from_slug(self.form.get(&format!("column-{at}")));
        let columns: Vec<_> = (0..self.sheet.header.len()).map(column).collect();
        let left = nothing_taken_from(&names_not_taken(&self.sheet, &columns))?;
        (typed == title.trim()).then(|| {
            format!(
                "It was read from the line above the headings. {left} If the names of the matches stand there, choose so above: else all that was fished on a day at a water is one match of this name."
            )
        })
    }
}
