//! Forms as people send them: every pair kept in order, problems gathered, what was typed kept.

use std::error::Error;

use axum::{
    body::Bytes,
    extract::{FromRequest, Request},
};

use super::{errors::PageError, unread::is_too_slow};
use crate::{
    domain::units::{Choice, Weight},
    statistics::wording,
};

/// More pairs than this is no form of ours.
pub(super) const MOST_PAIRS: usize = 5_000;

/// The pairs of a form. Bytes that are no UTF-8 become the replacement sign; control
/// characters other than line breaks and tabs are dropped.
#[derive(Clone, Debug, Default)]
pub struct Form {
    pairs: Vec<(String, String)>,
}

impl Form {
    pub fn parse(body: &[u8]) -> Result<Self, PageError> {
        let mut pairs = Vec::new();
        for part in body
            .split(|byte| *byte == b'&')
            .filter(|part| !part.is_empty())
        {
            if pairs.len() == MOST_PAIRS {
                return Err(PageError::TooLarge);
            }
            let (name, value) = match part.iter().position(|byte| *byte == b'=') {
                Some(at) => (&part[..at], &part[at + 1..]),
                None => (part, &part[..0]),
            };
            pairs.push((decoded(name), decoded(value)));
        }
        Ok(Self { pairs })
    }

    pub fn from_pairs(pairs: Vec<(String, String)>) -> Self {
        Self { pairs }
    }

    /// The first value called `name`, without space around it; empty when there is none.
    pub fn get(&self, name: &str) -> &str {
        self.raw(name).trim()
    }

    /// The first value called `name` as typed.
    pub fn raw(&self, name: &str) -> &str {
        self.pairs
            .iter()
            .find(|(known, _)| known == name)
            .map_or("", |(_, value)| value)
    }

    /// Was it sent at all (a ticked box)?
    pub fn has(&self, name: &str) -> bool {
        self.pairs.iter().any(|(known, _)| known == name)
    }

    /// Every value called `name`.
    pub fn all<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a str> {
        self.pairs
            .iter()
            .filter(move |(known, _)| known == name)
            .map(|(_, value)| value.trim())
    }

    pub fn pairs(&self) -> &[(String, String)] {
        &self.pairs
    }
}

impl<S: Send + Sync> FromRequest<S> for Form {
    type Rejection = PageError;

    async fn from_request(request: Request, state: &S) -> Result<Self, PageError> {
        let kind = request
            .headers()
            .get("content-type")
            .and_then(|kind| kind.to_str().ok())
            .unwrap_or("")
            .to_owned();
        if !kind.starts_with("application/x-www-form-urlencoded") {
            return Err(PageError::Unreadable(
                "This address takes an ordinary form. Send it from the page.".into(),
            ));
        }
        let body = Bytes::from_request(request, state)
            .await
            .map_err(|error| not_all(&error))?;
        Self::parse(&body)
    }
}

/// Why what was sent could not be read to its end.
pub(super) fn not_all(error: &(dyn Error + 'static)) -> PageError {
    match is_too_slow(error) {
        true => PageError::TooSlow,
        false => PageError::TooLarge,
    }
}

fn decoded(part: &[u8]) -> String {
    let spaced: Vec<u8> = part
        .iter()
        .map(|byte| if *byte == b'+' { b' ' } else { *byte })
        .collect();
    typeable(&percent_encoding::percent_decode(&spaced).decode_utf8_lossy())
}

/// Text without what no keyboard types; line ends as `\n`.
pub(super) fn typeable(text: &str) -> String {
    text.replace("\r\n", "\n")
        .chars()
        .filter(|c| !c.is_control() || matches!(c, '\n' | '\t'))
        .collect()
}

/// A problem at a field, in a sentence that says how to mend it.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    pub field: String,
    pub sentence: String,
}

/// Every problem of a form, gathered, not stopped at the first.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Problems {
    pub list: Vec<Problem>,
}

impl Problems {
    pub fn add(&mut self, field: impl Into<String>, sentence: impl Into<String>) {
        self.list.push(Problem {
            field: field.into(),
            sentence: sentence.into(),
        });
    }

    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    pub fn len(&self) -> usize {
        self.list.len()
    }

    /// `One thing is needed`, `Five things are needed`.
    pub fn counted(&self) -> String {
        let are = wording::are(self.len());
        let things = wording::count(self.len(), "thing", "things");
        let words = wording::sentence(&format!("{things} {are} needed"));
        words.trim_end_matches('.').to_owned()
    }

    /// The sentence at a field; empty when there is none.
    pub fn at(&self, field: &str) -> &str {
        self.list
            .iter()
            .find(|p| p.field == field)
            .map_or("", |p| &p.sentence)
    }

    /// Keeps a value or notes why there is none.
    pub fn take<T>(&mut self, field: &str, outcome: Result<T, impl Into<String>>) -> Option<T> {
        match outcome {
            Ok(value) => Some(value),
            Err(sentence) => {
                self.add(field, sentence);
                None
            }
        }
    }
}

/// A field as its template shows it: what was typed stays, whatever was wrong with it.
#[derive(Clone, Debug, Default)]
pub struct Field {
    pub name: String,
    pub label: String,
    pub value: String,
    pub problem: Option<String>,
    pub hint: Option<String>,
    pub echo: Option<String>,
    pub sure: Option<Sure>,
    /// What to look at where something is wrong: its address and its words.
    pub see: Option<(String, &'static str)>,
}

/// A tick at a field, by which somebody says that something unusual is right.
#[derive(Clone, Debug)]
pub struct Sure {
    pub name: String,
    /// What is asked about: the tick holds for these words and no others.
    pub about: String,
    pub ticked: bool,
    pub words: &'static str,
    /// What to look at before ticking: its address and its words.
    pub see: Option<(String, &'static str)>,
}

impl Sure {
    /// The tick at `field` as it was sent, if it was sent about these very words.
    pub fn new(form: &Form, field: &str, about: String) -> Self {
        let name = format!("{field}_sure");
        Self {
            ticked: !about.is_empty() && form.get(&name) == about,
            name,
            about,
            words: "Yes, that is right",
            see: None,
        }
    }
}

impl Field {
    pub fn new(name: &str, label: &str, value: impl Into<String>) -> Self {
        Self {
            name: name.to_owned(),
            label: label.to_owned(),
            value: value.into(),
            ..Self::default()
        }
    }

    pub fn hint(mut self, hint: &str) -> Self {
        self.hint = Some(hint.to_owned());
        self
    }

    /// What was understood of the value.
    pub fn echo(mut self, echo: Option<String>) -> Self {
        self.echo = echo;
        self
    }

    /// Takes the sentence for this field, if the form has one.
    pub fn problems(mut self, problems: &Problems) -> Self {
        let sentence = problems.at(&self.name);
        self.problem = (!sentence.is_empty()).then(|| sentence.to_owned());
        self
    }
}

/// The question about a weight that could be several: (value, words) to choose from.
pub struct AskedBack {
    pub name: String,
    pub chosen: String,
    pub choices: Vec<(String, String)>,
}

impl AskedBack {
    /// `name` is the field that holds the answer.
    pub fn new(name: String, choices: &[Choice], form: &Form) -> Self {
        Self {
            chosen: form.get(&name).to_owned(),
            name,
            choices: choices
                .iter()
                .map(|choice| (choice.weight.typed(), choice.words.clone()))
                .collect(),
        }
    }

    /// The weight chosen in the field `name`, if it is one of `choices`.
    pub fn answer(name: &str, choices: &[Choice], form: &Form) -> Option<Weight> {
        let chosen = form.get(name);
        let choice = choices.iter().find(|c| c.weight.typed() == chosen)?;
        Some(choice.weight)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_form_keeps_every_pair_and_drops_what_no_keyboard_types() {
        let form = Form::parse(b"a=1&b=x+y%0D%0Az&a=2&c=%00%ff&d").expect("small");
        assert_eq!(form.get("a"), "1");
        assert_eq!(form.all("a").collect::<Vec<_>>(), ["1", "2"]);
        assert_eq!(form.get("b"), "x y\nz");
        assert_eq!(form.get("c"), "\u{fffd}");
        assert!(form.has("d") && !form.has("e"));
    }

    #[test]
    fn ten_thousand_fields_are_too_many() {
        let body = "a=1&".repeat(10_000);
        assert!(matches!(
            Form::parse(body.as_bytes()),
            Err(PageError::TooLarge)
        ));
    }
}
