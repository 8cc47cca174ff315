//! Names of people: how they are cleaned, compared and shown. Who is meant by a name in an old
//! sheet is only ever suggested (`likely`); nobody is merged silently.

mod junior;
mod likely;
mod shown;
pub mod text;

use unicode_normalization::UnicodeNormalization;

pub use junior::without_mark;
pub use likely::{Known, Likely, likely};
pub use shown::{FORMER_MEMBER, NamesOpen, Reader, shown};

/// A person's name: what they are called, and the surname where it is known.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Name {
    given: String,
    surname: Option<String>,
}

/// The longest part of a name, characters.
const LONGEST_PART: usize = 60;

/// Words that begin a surname of several words.
const PARTICLES: [&str; 14] = [
    "van", "von", "de", "der", "den", "da", "di", "du", "la", "le", "ter", "ten", "al", "st",
];

impl Name {
    /// From two fields. An empty surname is an unknown one.
    ///
    /// Errors: a sentence that says which part to mend and how.
    pub fn new(given: &str, surname: &str) -> Result<Self, String> {
        let given = text::clean_line(given, "the first name", LONGEST_PART)?;
        if given.is_empty() {
            return Err("Enter a first name or an initial, for example Jem or J.".to_owned());
        }
        let surname = text::clean_line(surname, "the surname", LONGEST_PART)?;
        if !given
            .chars()
            .chain(surname.chars())
            .any(char::is_alphabetic)
        {
            return Err("A name has at least one letter. Enter the name as it is said.".to_owned());
        }
        Ok(Self {
            given,
            surname: (!surname.is_empty()).then_some(surname),
        })
    }

    /// From a label on record.
    pub fn from_label(given: impl Into<String>, surname: Option<String>) -> Self {
        Self {
            given: given.into(),
            surname,
        }
    }

    /// From one cell: `Jem Coppleway`, `J. Coppleway`, `Coppleway, Jem`, `Jem`. The last word is
    /// the surname, with the small words before it (`van`, `de`).
    pub fn read(typed: &str) -> Result<Self, String> {
        let line = text::clean_line(typed, "the name", 2 * LONGEST_PART)?;
        if line.is_empty() {
            return Err("Enter a name, for example Jem Coppleway.".to_owned());
        }
        if let Some((surname, given)) = line.split_once(',') {
            return match given.trim() {
                "" => Self::read(surname),
                given if given.contains(',') => Err(
                    "The name has two commas. Write it like Jem Coppleway, or Coppleway, Jem."
                        .to_owned(),
                ),
                given => Self::new(given, surname.trim()),
            };
        }
        let words: Vec<&str> = line.split_whitespace().collect();
        match words.as_slice() {
            [only] => Self::new(only, ""),
            words => {
                let mut at = words.len() - 1;
                while at > 1 && PARTICLES.contains(&words[at - 1].to_lowercase().as_str()) {
                    at -= 1;
                }
                Self::new(&words[..at].join(" "), &words[at..].join(" "))
            }
        }
    }

    /// The same, and whether the name is marked as a junior’s.
    pub fn read_marked(typed: &str) -> Result<(Self, bool), String> {
        let (bare, junior) = without_mark(typed);
        Ok((Self::read(&bare)?, junior))
    }

    pub fn given(&self) -> &str {
        &self.given
    }

    pub fn surname(&self) -> Option<&str> {
        self.surname.as_deref()
    }

    /// `Jem Coppleway`.
    pub fn full(&self) -> String {
        match &self.surname {
            Some(surname) => format!("{} {surname}", self.given),
            None => self.given.clone(),
        }
    }

    /// `Coppleway, Jem`, for a sorted list.
    pub fn sorted(&self) -> String {
        match &self.surname {
            Some(surname) => format!("{surname}, {}", self.given),
            None => self.given.clone(),
        }
    }

    /// `J. Coppleway`; the given name where there is no surname.
    pub fn initial_and_surname(&self) -> String {
        match &self.surname {
            Some(surname) => format!("{}. {surname}", initial(&self.given)),
            None => self.given.clone(),
        }
    }

    /// `Olly T.`: how juniors are shown.
    pub fn given_and_initial(&self) -> String {
        match &self.surname {
            Some(surname) => format!("{} {}.", self.given, initial(surname)),
            // A whole name written in one box is no less a name.
            None => match self.given.rsplit_once(' ') {
                Some((first, last)) => {
                    let first = first.split(' ').next().unwrap_or(first);
                    format!("{first} {}.", initial(last))
                }
                None => self.given.clone(),
            },
        }
    }

    /// What two spellings of one name have in common: letters and figures in lower case, one
    /// space between words, no full stops, hyphens as spaces. Accents stay.
    pub fn key(&self) -> String {
        key(&self.full())
    }
}

/// The folded form of any name; see [`Name::key`]. Also of a team's, a venue's or a sign-in name.
pub fn key(text: &str) -> String {
    let folded: String = text
        .nfkc()
        .flat_map(char::to_lowercase)
        .nfc()
        .filter_map(|c| match c {
            '\'' | '’' | '‘' | '.' | '`' => None,
            c if c.is_alphanumeric() || unicode_normalization::char::is_combining_mark(c) => {
                Some(c)
            }
            _ => Some(' '),
        })
        .collect();
    folded.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The same without accents: `lukasz` for `Łukasz`.
pub fn plain_key(text: &str) -> String {
    key(text)
        .nfd()
        .filter(|c| !unicode_normalization::char::is_combining_mark(*c))
        .flat_map(|c| {
            let base = match c {
                'ł' => "l",
                'ø' => "o",
                'đ' | 'ð' => "d",
                'ß' => "ss",
                'æ' => "ae",
                'œ' => "oe",
                'þ' => "th",
                'ı' => "i",
                other => return vec![other],
            };
            base.chars().collect()
        })
        .collect()
}

/// The first letter with its accents, in upper case.
fn initial(text: &str) -> String {
    let mut chars = text.chars().skip_while(|c| !c.is_alphanumeric());
    let mut first: String = chars
        .next()
        .map(|c| c.to_uppercase().collect())
        .unwrap_or_default();
    first.extend(chars.take_while(|c| unicode_normalization::char::is_combining_mark(*c)));
    first
}
