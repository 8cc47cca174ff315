//! What a weather file changes, in the words of the command line.

use crate::{
    actions::import::weather::{Brought, Preview},
    domain::weather::bringing_in::Change,
    statistics::wording,
};

/// Refused rows, and cells that could not be read, told one by one.
const MOST_TOLD: usize = 20;

/// What saving a file changes, what of it is not taken, and what is worth knowing.
pub fn changes(name: &str, preview: &Preview, brought: &Brought) {
    println!(
        "{name}: {}, {} in the record already, {} of this source with other figures, {} refused.",
        wording::count(preview.new_days(), "new day", "new days"),
        wording::alone(preview.same_days()),
        wording::alone(preview.corrected_days()),
        wording::alone(preview.refused())
    );
    for note in &preview.file.notes {
        println!("  {note}");
    }
    tell_refused(preview);
    for cell in preview.file.unread.iter().take(MOST_TOLD) {
        println!(
            "  Line {}, column {}: {} The rest of the day is taken.",
            cell.line, cell.column, cell.sentence
        );
    }
    if preview.file.unread_count > MOST_TOLD {
        println!(
            "  And {} that could not be read.",
            wording::count(
                preview.file.unread_count - MOST_TOLD,
                "more cell",
                "more cells"
            )
        );
    }
    let not_taken = preview.file.columns_not_taken(&brought.how);
    if !not_taken.is_empty() {
        println!(
            "  Columns not taken: {}. Say what one holds with --column \"COLUMN=WHAT\".",
            not_taken.join(", ")
        );
    }
    if preview.clash_count > 0 {
        println!(
            "  Other sources say otherwise in {}; both are kept, and the file’s would stand in {}.",
            wording::count(preview.clash_count, "figure", "figures"),
            wording::alone(preview.overtaken)
        );
    }
}

/// Every row and day that is refused, with its line where that is known, up to a score of them.
fn tell_refused(preview: &Preview) {
    let rows = preview.file.refused.iter();
    let rows = rows.map(|(line, why)| (line.iter().copied().collect::<Vec<u64>>(), why));
    let days = preview.planned.iter().filter_map(|p| match &p.change {
        Change::Refused(why) => Some((preview.lines_of(p.day), why)),
        _ => None,
    });
    let mut told = 0;
    for (lines, why) in rows.chain(days).take(MOST_TOLD) {
        told += 1;
        match lines.as_slice() {
            [] => println!("  Refused: {why}"),
            [line] => println!("  Line {line}: {why}"),
            [first, .., last] => println!("  Lines {first} and {last}: {why}"),
        }
    }
    if preview.refused() > told {
        println!("  And {} more refused.", preview.refused() - told);
    }
}

/// That days are left which no file can hold yet.
pub fn to_come(days: usize) -> String {
    match days {
        1 => "One day is still to come: bring the file in again once it is past.".to_owned(),
        many => format!(
            "{} are still to come: bring the file in again once they are past.",
            wording::sentence(&wording::count(many, "day", "days")).trim_end_matches('.')
        ),
    }
}
