//! What a column of a sheet holds, where its heading does not say it.

use crate::{
    cli::Ending,
    formats::{
        csv::Sheet,
        old_sheets::{Column, Mapping, SheetOf},
    },
};

/// The word for a column of which nothing is taken.
const NOTHING: &str = "nothing";

fn slugs(of: SheetOf) -> String {
    let columns = Column::all(of).into_iter().map(Column::slug);
    let all: Vec<String> = columns.chain([NOTHING.to_owned()]).collect();
    all.join(", ")
}

pub fn help() -> String {
    format!(
        "What a column holds where its heading does not say it, as in --column \"ozs=ounces\". May be repeated. WHAT is one of: {}; of sessions also started and packed-up",
        slugs(SheetOf::Matches)
    )
}

/// Puts what the command line says of columns into the mapping.
pub fn answer(mapping: &mut Mapping, sheet: &Sheet, said: &[String]) -> Result<(), Ending> {
    for said in said {
        let (at, column) = read(said, sheet, mapping.of).map_err(Ending::Sentence)?;
        if let Some(held) = mapping.columns.get_mut(at) {
            *held = column;
        }
    }
    Ok(())
}

fn read(said: &str, sheet: &Sheet, of: SheetOf) -> Result<(usize, Option<Column>), String> {
    let (name, what) = said.rsplit_once('=').ok_or_else(|| {
        format!(
            "“{said}” does not say what the column holds; write COLUMN=WHAT, where WHAT is one of {}",
            slugs(of)
        )
    })?;
    let at = sheet.column(name).ok_or_else(|| {
        format!(
            "there is no column “{name}”; its columns are {}",
            sheet.header.join(", ")
        )
    })?;
    if what.trim() == NOTHING {
        return Ok((at, None));
    }
    let column = Column::from_slug(what.trim()).filter(|column| column.field.belongs_to(of));
    match column {
        Some(column) => Ok((at, Some(column))),
        None => Err(format!(
            "a column cannot hold “{what}”; it is one of {}",
            slugs(of)
        )),
    }
}

/// What is wrong with the columns, and the option that puts it right.
pub fn refused(why: &[String]) -> String {
    format!(
        "{} Say what a column holds with --column \"COLUMN=WHAT\"",
        why.join(" ")
    )
}
