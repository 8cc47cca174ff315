//! Patterns of the passwords that are tried first.

use std::{collections::HashSet, sync::LazyLock};

use unicode_normalization::UnicodeNormalization;

use super::words::WORDS;

static KNOWN: LazyLock<HashSet<&'static str>> =
    LazyLock::new(|| WORDS.split_whitespace().collect());

/// Rows, columns and zigzags of a keyboard, the alphabet, the digits. A run is read either way.
const LINES: [&str; 24] = [
    "01234567890",
    "abcdefghijklmnopqrstuvwxyz",
    "qwertyuiop",
    "qwertzuiop",
    "azertyuiop",
    "asdfghjkl",
    "qsdfghjklm",
    "zxcvbnm",
    "yxcvbnm",
    "1q2w3e4r5t6y7u8i9o0p",
    "q1w2e3r4t5y6u7i8o9p0",
    "1qaz2wsx3edc4rfv5tgb6yhn7ujm",
    "qazwsxedcrfvtgbyhnujm",
    "zaq1xsw2cde3vfr4bgt5nhy6mju7",
    "1a2b3c4d5e6f7g8h9i0j",
    "a1b2c3d4e5f6g7h8i9j0",
    "qawsedrftgyhujikolp",
    "147258369",
    "159753",
    "13579",
    "02468",
    "741852963",
    "!@#$%^&*()",
    "!\"£$%^&*()",
];

/// The shortest piece of a line that counts as a run.
const RUN: usize = 3;
/// The most figures and marks around a word that are tried first.
const FEW_MARKS: usize = 6;
/// The longest block whose repetition counts.
const BLOCK: usize = 4;

/// Would somebody who guesses try this among the first?
pub fn is_common(password: &str) -> bool {
    let text = squashed(password);
    let without_marks = text.trim_matches(|c: char| c.is_ascii_punctuation());
    is_repeated(&text)
        || [text.as_str(), without_marks]
            .iter()
            .any(|one| is_runs(one) || is_date(one))
        || readings(&text).iter().any(|reading| is_word(reading))
}

/// Compatibility-composed (NFKC), lower case, without spaces.
pub fn squashed(text: &str) -> String {
    text.nfkc()
        .flat_map(char::to_lowercase)
        .filter(|c| !c.is_whitespace())
        .collect()
}

/// The text without the figures and marks at its two ends, where there are few of them: eight
/// figures of somebody's own make a password of any word.
pub fn core_of(text: &str) -> &str {
    let core = text.trim_matches(is_mark);
    if text.len() - core.len() <= FEW_MARKS {
        core
    } else {
        text
    }
}

/// Ways to read a word with figures and marks in it: each cut of those at the ends, and with those
/// put back that stand for letters, `1` once for i and once for l.
fn readings(text: &str) -> Vec<String> {
    let front = text.len() - text.trim_start_matches(is_mark).len();
    let back = text.len() - text.trim_end_matches(is_mark).len();
    let mut found = Vec::new();
    if front == text.len() {
        return found;
    }
    for before in 0..=front.min(FEW_MARKS) {
        for after in 0..=back.min(FEW_MARKS - before) {
            let middle = &text[before..text.len() - after];
            let letters = |one| middle.chars().map(|c| letter(c, one)).collect();
            found.extend([middle.to_owned(), letters('i'), letters('l')]);
        }
    }
    found
}

fn is_mark(c: char) -> bool {
    c.is_ascii_digit() || c.is_ascii_punctuation()
}

fn letter(c: char, one: char) -> char {
    match c {
        '0' => 'o',
        '1' | '!' | '|' => one,
        '3' => 'e',
        '4' | '@' => 'a',
        '5' | '$' => 's',
        '7' | '+' => 't',
        '8' => 'b',
        '9' => 'g',
        other => other,
    }
}

/// A known word, forwards or backwards, once or several times over.
fn is_word(text: &str) -> bool {
    let backwards: String = text.chars().rev().collect();
    [text, backwards.as_str()].iter().any(|one| {
        KNOWN.contains(one)
            || (3..=one.len() / 2)
                .filter(|length| one.len() % length == 0 && one.is_char_boundary(*length))
                .any(|length| {
                    let block = &one[..length];
                    KNOWN.contains(block) && one.split(block).all(str::is_empty)
                })
    })
}

/// `aaaaaaaa`, `abababab`, `12341234`: a block of up to four characters again and again.
fn is_repeated(text: &str) -> bool {
    let all: Vec<char> = text.chars().collect();
    (1..=BLOCK.min(all.len() / 2))
        .any(|block| all.iter().zip(&all[block..]).all(|(one, next)| one == next))
}

/// Can it be cut into runs of three characters or more, figures at the end left aside?
fn is_runs(text: &str) -> bool {
    let all: Vec<char> = text.chars().collect();
    let figures = text.len() - text.trim_end_matches(|c: char| c.is_ascii_digit()).len();
    // Where a cut may fall: the beginning, and after each run.
    let mut reached = vec![false; all.len() + 1];
    reached[0] = true;
    for from in 0..all.len() {
        if !reached[from] {
            continue;
        }
        for to in from + RUN..=all.len() {
            if !is_run(&all[from..to]) {
                break;
            }
            reached[to] = true;
        }
    }
    let least = all.len().saturating_sub(figures.min(4)).max(RUN);
    (least..=all.len()).any(|end| reached[end])
}

fn is_run(piece: &[char]) -> bool {
    let same = piece.iter().all(|c| *c == piece[0]);
    let forwards: String = piece.iter().collect();
    let backwards: String = piece.iter().rev().collect();
    same || LINES
        .iter()
        .any(|line| line.contains(&forwards) || line.contains(&backwards))
}

/// A date in figures: day, month and a year of 1900 to 2099 in any order, with or without marks.
fn is_date(text: &str) -> bool {
    let figures: String = text.chars().filter(char::is_ascii_digit).collect();
    let marks = text
        .chars()
        .all(|c| c.is_ascii_digit() || matches!(c, '.' | '/' | '-'));
    if figures.len() != 8 || !marks {
        return false;
    }
    let number = |from: usize, to: usize| figures[from..to].parse::<u32>().unwrap_or(0);
    let year = |n: u32| (1900..2100).contains(&n);
    let day_and_month = |a: u32, b: u32| {
        let fits = |day: u32, month: u32| (1..=31).contains(&day) && (1..=12).contains(&month);
        fits(a, b) || fits(b, a)
    };
    year(number(4, 8)) && day_and_month(number(0, 2), number(2, 4))
        || year(number(0, 4)) && day_and_month(number(4, 6), number(6, 8))
}
