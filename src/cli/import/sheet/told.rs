//! What was understood of a sheet, in the words of the command line.

use std::collections::HashMap;

use crate::{
    actions::import::sheet::{Look, Plan},
    domain::ids::ImportId,
    formats::{
        csv,
        old_sheets::{Ask, Mapping, SameDayRow},
    },
    statistics::wording,
};

/// Lines that are named where rows share a sentence.
const LINES: usize = 5;

/// That an earlier file was followed, where one was.
pub fn like(plan: &Plan) {
    if let Some(name) = &plan.like {
        println!(
            "Begun like “{name}”, which has the same headings: its columns, and what was answered of its words and names."
        );
    }
}

/// What rows that name no venue or match are taken for: as given, or as of an earlier file.
pub fn of_the_whole_file(mapping: &Mapping) {
    if let Some(venue) = &mapping.venue {
        println!("Rows that name no venue are of {venue}.");
    }
    if let Some(name) = &mapping.match_name {
        println!("Rows that name no match are of {name}.");
    }
}

pub fn columns(sheet: &csv::Sheet, mapping: &Mapping) {
    println!("The columns are taken for:");
    for (name, column) in sheet.header.iter().zip(&mapping.columns) {
        let words = column.map_or_else(|| "not taken".to_owned(), |column| column.words());
        println!("  {name}: {words}");
    }
}

/// What becomes of the rows: what would be made, what cannot be taken, and what is worth knowing.
pub fn rows(look: &Look) {
    let rows = wording::count(look.read.entries.len(), "row", "rows");
    let mut counted = vec![format!("{rows} understood")];
    counted.extend(look.not_taken());
    let counted = wording::sentence(&counted.join("; "));
    println!("{counted} To be made: {}.", to_be_made(look));
    let bad = look.problems.iter().flat_map(|bad| {
        let sentences = bad.sentences.iter();
        sentences.map(move |sentence| (bad.line, sentence.as_str()))
    });
    for (lines, sentence) in once_each(bad) {
        println!("  {lines} cannot be taken: {sentence}");
    }
    let told = look.told.iter();
    for (lines, sentence) in once_each(told.map(|told| (told.line, told.sentence.as_str()))) {
        println!("  {lines}: {sentence}");
    }
    for one in &look.elsewhere {
        println!("  {}", one.sentence());
    }
}

fn to_be_made(look: &Look) -> String {
    if look.makes_nothing() {
        return "nothing".to_owned();
    }
    let mut made = Vec::new();
    if !look.matches.is_empty() {
        made.push(format!(
            "{} with {}",
            wording::count(look.matches.len(), "match", "matches"),
            wording::count(look.entries(), "entry", "entries")
        ));
    }
    if !look.sessions.is_empty() {
        made.push(wording::count(look.sessions.len(), "session", "sessions"));
    }
    made.push(new_anglers(look.new_anglers()));
    made.join(", ")
}

pub fn new_anglers(count: usize) -> String {
    wording::count(count, "new angler", "new anglers")
}

/// Every match that saving would make.
pub fn matches(look: &Look) {
    for made in &look.matches {
        let entries = wording::count(made.entries.len(), "entry", "entries");
        println!(
            "  {}, {}, {}: {entries}",
            made.on.short(),
            made.name,
            made.venue_name
        );
    }
}

/// Every name that could be two, with whom it may mean.
pub fn doubts(look: &Look) {
    for named in look.people.iter().filter(|named| named.is_open()) {
        let rows = match named.rows {
            1 => format!("line {}", named.line),
            n => format!("{n} rows, the first on line {}", named.line),
        };
        println!("  In doubt: {} ({rows}). It may be", named.name.full());
        for one in &named.suggestions {
            println!("    {}", one.words);
        }
    }
    match look.answered() {
        0 => {}
        names => println!(
            "{} that could be two {} taken as answered of an earlier file; the names page of a file that is laid out shows them.",
            wording::sentence(&wording::count(names, "name", "names")).trim_end_matches('.'),
            wording::are(names)
        ),
    }
    for named in look.waters.iter().filter(|named| named.is_open()) {
        println!("  No water on record is called {}.", named.name);
    }
}

/// What the page of names is still to be asked of a file that is kept, laid out.
pub fn in_doubt(look: &Look, id: ImportId) -> String {
    let waters = look.waters.iter().filter(|named| named.is_open()).count();
    let people = look.doubts() - waters;
    let (mut what, mut say) = (Vec::new(), Vec::new());
    if waters > 0 {
        let many = waters > 1;
        what.push(format!(
            "{} of the sheet {} not on record by {}",
            wording::count(waters, "water", "waters"),
            wording::are(waters),
            if many { "those names" } else { "that name" }
        ));
        say.push(format!("which {}", if many { "they are" } else { "it is" }));
    }
    if people > 0 {
        what.push(format!(
            "{} {} in doubt, and nobody is joined to anybody without being asked",
            wording::count(people, "name", "names"),
            wording::are(people)
        ));
        say.push(format!(
            "who {}",
            if people == 1 { "it is" } else { "they are" }
        ));
    }
    format!(
        "{}. The file is kept, laid out: start the server, open /imports/{id}/names and say {}",
        what.join("; "),
        say.join(", and ")
    )
}

/// Rows that share a sentence are told once: where they stand, and the sentence.
fn once_each<'a>(rows: impl Iterator<Item = (u64, &'a str)>) -> Vec<(String, &'a str)> {
    let mut at: HashMap<&str, usize> = HashMap::new();
    let mut told: Vec<(&str, Vec<u64>)> = Vec::new();
    for (line, sentence) in rows {
        let own = *at.entry(sentence).or_insert_with(|| {
            told.push((sentence, Vec::new()));
            told.len() - 1
        });
        told[own].1.push(line);
    }
    told.into_iter()
        .map(|(sentence, lines)| (where_they_stand(&lines), sentence))
        .collect()
}

fn where_they_stand(lines: &[u64]) -> String {
    let named: Vec<String> = lines.iter().take(LINES).map(u64::to_string).collect();
    let named = named.join(", ");
    match lines.len() {
        1 => format!("line {named}"),
        n if n <= LINES => format!("lines {named}"),
        n => format!("{n} rows (the first on lines {named})"),
    }
}

/// What must be answered first, each with the option that answers it.
pub fn unanswered(look: &Look) -> Option<String> {
    let asks: Vec<String> = look
        .read
        .asks
        .iter()
        .map(|ask| {
            let (option, words) = (option(ask), words(ask));
            let mut line = format!("\n  {option}  {}", sentence(ask));
            if !words.is_empty() {
                line.push_str(&format!(" Give {option} with one of: {words}."));
            }
            line + &rows_behind(ask)
        })
        .collect();
    (!asks.is_empty()).then(|| {
        format!(
            "the sheet leaves something out, so nothing was saved. Answer with:{}",
            asks.concat()
        )
    })
}

/// The rows that a question is about, a line each.
fn rows_behind(ask: &Ask) -> String {
    let Ask::SameDay { rows } = ask else {
        return String::new();
    };
    let line = |row: &SameDayRow| format!("\n      Line {}: {}", row.line, row.sentence());
    rows.iter().map(line).collect()
}

/// What is asked; the page’s own words where they speak of no tick.
fn sentence(ask: &Ask) -> String {
    match ask {
        Ask::Hours => "The file does not say how long was fished. Give --hours 5, or --hours unknown where nobody knows; the catches then count for no rates.".to_owned(),
        Ask::Groups => "Which fish do the weights count? Give --fish all, or every group that went on the scales together, like --fish carp,silvers.".to_owned(),
        other => other.sentence(),
    }
}

fn option(ask: &Ask) -> &'static str {
    match ask {
        Ask::Date(_) => "--date",
        Ask::Venue(_) => "--venue",
        Ask::MatchName => "--name",
        Ask::Hours => "--hours",
        Ask::PegsAllotted => "--pegs",
        Ask::Groups => "--fish",
        Ask::Visibility => "--seen-by",
        Ask::DayOrder(_) => "--dates",
        Ask::Bare { .. } => "--weights",
        Ask::SameDay { .. } => "--same-day",
    }
}

/// What may be typed after the option, where that is one of a few words.
fn words(ask: &Ask) -> &'static str {
    match ask {
        Ask::PegsAllotted => "bag, of-choice, roving, unknown",
        Ask::Visibility => "club, private",
        Ask::DayOrder(_) => "day-first, month-first",
        Ask::Bare { .. } => "pounds-point-ounces, decimal-pounds, ounces, kilograms, grams",
        Ask::SameDay { .. } => "same-outing, another-outing",
        Ask::Date(_) | Ask::Venue(_) | Ask::MatchName | Ask::Hours | Ask::Groups => "",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_that_share_a_sentence_are_told_once_with_their_number() {
        let rows = (2..=97).map(|line| (line, "Where?"));
        let told = once_each(rows.chain([(4, "What?"), (9, "Who?"), (7, "What?")]));
        assert_eq!(
            told,
            [
                (
                    "96 rows (the first on lines 2, 3, 4, 5, 6)".to_owned(),
                    "Where?"
                ),
                ("lines 4, 7".to_owned(), "What?"),
                ("line 9".to_owned(), "Who?"),
            ]
        );
    }
}
