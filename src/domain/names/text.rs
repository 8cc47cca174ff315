//! Cleans one line, or some lines, of typed words. What cannot be seen is taken out where that
//! changes nothing, and refused where it could make one text pass for another.

use unicode_normalization::{UnicodeNormalization, char::is_combining_mark};

use crate::domain::units::is_unseen;

/// The most accents on one letter that any living spelling needs.
const MOST_MARKS: usize = 4;

/// One line of at most `most` characters: composed (NFC), spaces single, none at the ends.
/// May come out empty. `what` is named in the sentence ("the first name").
///
/// Errors: a line end, a control character, a character that turns the writing round, more
/// than four accents on a letter, or too long.
pub fn clean_line(typed: &str, what: &str, most: usize) -> Result<String, String> {
    check_size(typed, what, most)?;
    if typed.trim().contains([
        '\n', '\r', '\u{2028}', '\u{2029}', '\u{b}', '\u{c}', '\u{85}',
    ]) {
        return Err(format!("Put {what} on one line: it has a line end in it."));
    }
    let seen = visible(typed, what, |c| c == '\t')?;
    let line = seen.split_whitespace().collect::<Vec<_>>().join(" ");
    check_length(&line, what, most)?;
    Ok(line)
}

/// Several lines of at most `most` characters in all: composed (NFC), line ends as `\n`,
/// none at the end. May come out empty. Errors as for [`clean_line`], line ends apart.
pub fn clean_words(typed: &str, what: &str, most: usize) -> Result<String, String> {
    check_size(typed, what, most)?;
    let lines = typed
        .replace("\r\n", "\n")
        .replace(['\r', '\u{2028}', '\u{2029}'], "\n");
    let seen = visible(&lines, what, |c| matches!(c, '\n' | '\t'))?;
    let words = seen
        .lines()
        .map(str::trim_end)
        .collect::<Vec<_>>()
        .join("\n")
        .trim()
        .to_owned();
    check_length(&words, what, most)?;
    Ok(words)
}

fn check_size(typed: &str, what: &str, most: usize) -> Result<(), String> {
    // A character takes four bytes at most; accents apart may double their number.
    if typed.len() > most.saturating_mul(12) {
        return Err(format!("Shorten {what}: {most} characters at most."));
    }
    Ok(())
}

fn check_length(text: &str, what: &str, most: usize) -> Result<(), String> {
    match text.chars().count() {
        n if n > most => Err(format!(
            "Shorten {what}: it has {n} characters, and {most} at most are kept."
        )),
        _ => Ok(()),
    }
}

/// Composes the text and takes out what cannot be seen.
fn visible(typed: &str, what: &str, allowed: impl Fn(char) -> bool) -> Result<String, String> {
    if typed.chars().any(turns_writing) {
        return Err(format!(
            "Type {what} again: it holds a character that cannot be seen and turns the writing round."
        ));
    }
    let mut marks = 0;
    let mut kept = String::with_capacity(typed.len());
    let mut chars = typed.nfc().peekable();
    while let Some(c) = chars.next() {
        if c.is_control() && !allowed(c) {
            return Err(format!(
                "Type {what} again: it holds a control character, which cannot be shown."
            ));
        }
        marks = if is_combining_mark(c) { marks + 1 } else { 0 };
        if marks > MOST_MARKS {
            return Err(format!(
                "Type {what} again: it has too many accents on one letter."
            ));
        }
        // A joiner between two other signs belongs to a picture or to some scripts' spelling.
        let joins = c == '\u{200d}'
            && kept.chars().next_back().is_some_and(|b| !b.is_ascii())
            && chars.peek().is_some_and(|n| !n.is_ascii());
        if joins || !is_unseen(c) {
            kept.push(c);
        }
    }
    Ok(kept)
}

fn turns_writing(c: char) -> bool {
    matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}
