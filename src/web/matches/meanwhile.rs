//! What the boxes of a form held when its page was made. Only what differs from that is the word of
//! whoever sent it: a box never touched follows the record, whoever saved it meanwhile.

use std::collections::BTreeSet;

use crate::{
    domain::ids::EntryId,
    web::{forms::Form, links::escaped},
};

/// A form that was sent, and whether the record still has the version it was fetched with.
pub(super) struct Sent<'a> {
    pub form: &'a Form,
    is_current: bool,
}

impl<'a> Sent<'a> {
    pub fn new(form: &'a Form, version: i64, on_record: i64) -> Self {
        Self {
            form,
            is_current: version == on_record,
        }
    }

    /// What the box `name` of an entry held, `saved` being what the record has there. `None` where the
    /// form does not say and somebody saved since.
    pub fn shown(&self, entry: EntryId, name: &str, saved: &str) -> Option<String> {
        if !self.form.has(name) {
            return Some(saved.to_owned());
        }
        let held = held_name(entry);
        if self.form.has(&held) {
            let boxes = Form::parse(self.form.raw(&held).as_bytes()).unwrap_or_default();
            return Some(boxes.get(name).to_owned());
        }
        self.is_current.then(|| saved.to_owned())
    }

    /// What was typed into a box; `None` where it was left as it was. Where nobody knows how it was,
    /// an empty box is one that was left.
    pub fn typed(&self, entry: EntryId, name: &str, saved: &str) -> Option<&'a str> {
        if !self.form.has(name) {
            return None;
        }
        let typed = self.form.get(name);
        let touched = match self.shown(entry, name, saved) {
            Some(shown) => shown != typed,
            None => !typed.is_empty(),
        };
        touched.then_some(typed)
    }

    /// What was typed into boxes of these kinds that are no longer on the form, after the name of each.
    pub fn strays(&self, kinds: &[&str], known: &BTreeSet<String>) -> Vec<(&'a str, &'a str)> {
        let mut strays = Vec::new();
        for (name, value) in self.form.pairs() {
            let ours = kinds.iter().any(|kind| name.starts_with(kind));
            if !ours || name.ends_with("_sure") || value.trim().is_empty() || known.contains(name) {
                continue;
            }
            let entry = name.split('-').nth(1).and_then(|id| id.parse().ok());
            if let Some(entry) = entry.map(EntryId)
                && self.typed(entry, name, "").is_some()
            {
                strays.push((name.as_str(), value.as_str()));
            }
        }
        strays
    }
}

/// The hidden field that says what the boxes of an entry hold.
pub(super) fn held_name(entry: EntryId) -> String {
    format!("was-{entry}")
}

/// Its value, from the name of each box and what it holds; `None` as soon as that is not known of one.
pub(super) fn held<'a>(
    boxes: impl IntoIterator<Item = (&'a str, Option<&'a str>)>,
) -> Option<String> {
    let mut pairs = Vec::new();
    for (name, text) in boxes {
        let text = text?;
        if !text.is_empty() {
            pairs.push(format!("{}={}", escaped(name), escaped(text)));
        }
    }
    Some(pairs.join("&"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn form(pairs: &[(&str, &str)]) -> Form {
        let owned = |(name, value): &(&str, &str)| ((*name).to_owned(), (*value).to_owned());
        Form::from_pairs(pairs.iter().map(owned).collect())
    }

    #[test]
    fn a_box_is_touched_when_it_differs_from_what_the_page_held() {
        let was = held([
            ("peg-1", Some("4")),
            ("team-1", Some("a & b")),
            ("net-1", None),
        ]);
        assert_eq!(was, None);
        let was = held([
            ("peg-1", Some("4")),
            ("team-1", Some("a & b")),
            ("x", Some("")),
        ]);
        let was = was.expect("all are known");
        let form = form(&[
            ("was-1", was.as_str()),
            ("peg-1", "5"),
            ("team-1", "a & b"),
            ("x", ""),
        ]);
        let sent = Sent::new(&form, 2, 3);
        let of = |name| sent.typed(EntryId(1), name, "on record");
        assert_eq!(of("peg-1"), Some("5"));
        assert_eq!(
            (of("team-1"), of("x"), of("never sent")),
            (None, None, None)
        );
        assert_eq!(sent.shown(EntryId(1), "peg-1", "9").as_deref(), Some("4"));
    }

    #[test]
    fn a_form_that_says_nothing_of_itself_answers_the_record_of_its_version_and_no_other() {
        let form = form(&[("peg-1", "5"), ("peg-2", "")]);
        let (current, stale) = (Sent::new(&form, 3, 3), Sent::new(&form, 2, 3));
        assert_eq!(current.typed(EntryId(1), "peg-1", "5"), None);
        assert_eq!(current.typed(EntryId(2), "peg-2", "4"), Some(""));
        assert_eq!(stale.typed(EntryId(1), "peg-1", "5"), Some("5"));
        assert_eq!(stale.shown(EntryId(1), "peg-1", "5"), None);
        assert_eq!(stale.typed(EntryId(2), "peg-2", "4"), None);
    }
}
