//! The mark of a junior behind a name, as lists and old sheets have it. Common practice, no source.

/// The name without the mark of a junior, and whether it had one: `Orla Stitch (J)`,
/// `Stitch jnr, Orla`, `Orla Stitch, junior`. A mark alone is a name.
pub fn without_mark(typed: &str) -> (String, bool) {
    let Some((surname, given)) = typed.split_once(',') else {
        let (name, marked) = behind(typed);
        return (name.to_owned(), marked);
    };
    let (surname, before) = behind(surname);
    if !surname.is_empty() && is_mark(given.trim()) {
        return (surname.to_owned(), true);
    }
    let (given, after) = behind(given);
    match before || after {
        true => (format!("{surname}, {given}"), true),
        false => (typed.to_owned(), false),
    }
}

fn behind(text: &str) -> (&str, bool) {
    let text = text.trim();
    let bracket = text.rfind(['(', '[']);
    let word = text.rfind(char::is_whitespace).map(|at| {
        let space = text[at..].chars().next().map_or(1, char::len_utf8);
        at + space
    });
    for at in [bracket, word].into_iter().flatten() {
        let (name, mark) = text.split_at(at);
        let name = name.trim_end().trim_end_matches(',');
        // `Jun` may be a first name, unless a whole name stands before it.
        let marks = is_mark(mark) || (name.contains(' ') && mark.eq_ignore_ascii_case("jun"));
        if !name.is_empty() && marks {
            return (name, true);
        }
    }
    (text, false)
}

fn is_mark(word: &str) -> bool {
    let word = word.to_lowercase();
    let pairs = [('(', ')'), ('[', ']')];
    let inside = pairs
        .into_iter()
        .find_map(|(open, close)| word.strip_prefix(open)?.strip_suffix(close));
    match inside {
        Some(inside) => {
            let inside = inside.trim().trim_end_matches('.');
            ["j", "jn", "jr", "jnr", "jun", "junior", "juniors"].contains(&inside)
        }
        None => ["jnr", "jnr.", "jr", "jr.", "jun.", "junior", "junior."].contains(&word.as_str()),
    }
}
