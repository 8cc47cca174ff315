//! Who may be meant by a name in an old sheet. Every answer is a suggestion with its reason,
//! to be put to an officer; only an equal key is taken without asking.

use super::{Name, key, plain_key};

/// One angler who may be meant.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Likely {
    /// Where in the list of known names.
    pub at: usize,
    pub likeness: Likeness,
}

/// Why, most alike first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Likeness {
    /// The same but for capitals, stops and spaces.
    Same,
    /// The same but for accents.
    Accents,
    /// First name and surname the other way round.
    TurnedRound,
    /// One has only the initial of the first name, on either side of the surname.
    Initial,
    /// One has only the initial of the surname.
    SurnameInitial,
    /// One first name is a short form of the other.
    ShortForm,
    /// One letter more, less or other, or two changed places.
    OneLetter,
    /// One has only the initial of the first name, and the surnames are one letter apart:
    /// `G. Culverston` for `Greta Culverstone`.
    InitialAndNear,
    /// The surnames agree, and the first names are spelt much alike: `Dylis` for `Dilys`.
    Spelling,
    /// One has no surname, and the first names agree.
    NoSurname,
    /// One is a surname alone, and it agrees.
    SurnameAlone,
    /// The surnames agree and nothing else.
    SurnameOnly,
}

impl Likeness {
    /// The reason as the import page gives it.
    pub fn reason(self) -> &'static str {
        match self {
            Self::Same => "the same name",
            Self::Accents => "the same but for accents",
            Self::TurnedRound => "the same with first name and surname the other way round",
            Self::Initial => "the same surname, and the initial agrees",
            Self::SurnameInitial => "the first name agrees, and so does the initial of the surname",
            Self::ShortForm => "the same surname, and one first name is short for the other",
            Self::OneLetter => "one letter apart",
            Self::InitialAndNear => "the initial agrees, and the surnames are one letter apart",
            Self::Spelling => "the same surname, and the first names are spelt much alike",
            Self::NoSurname => "the first name agrees; one has no surname",
            Self::SurnameAlone => "the surname agrees; one has no first name",
            Self::SurnameOnly => "the same surname, another first name",
        }
    }

    /// A surname shared, as by brothers: no reason to take the two for one.
    pub fn is_faint(self) -> bool {
        self == Self::SurnameOnly
    }

    /// Nothing need be asked: it is the same name.
    pub fn is_certain(self) -> bool {
        self == Self::Same
    }
}

/// Every one of `known` who may be meant by `name`, most alike first.
pub fn likely(name: &Name, known: &[Name]) -> Vec<Likely> {
    Known::of(known).likely(name)
}

/// Names folded once, to be compared with many.
pub struct Known(Vec<Folded>);

impl Known {
    pub fn of<'a>(names: impl IntoIterator<Item = &'a Name>) -> Self {
        Self(names.into_iter().map(Folded::of).collect())
    }

    /// Every one who may be meant by `name`, most alike first; `at` is the place in the list.
    pub fn likely(&self, name: &Name) -> Vec<Likely> {
        let own = Folded::of(name);
        let mut found: Vec<Likely> = self
            .0
            .iter()
            .enumerate()
            .filter_map(|(at, other)| {
                let likeness = own.likeness(other)?;
                Some(Likely { at, likeness })
            })
            .collect();
        found.sort_by_key(|one| one.likeness);
        if found.iter().any(|one| one.likeness <= Likeness::Spelling) {
            found.retain(|one| one.likeness != Likeness::SurnameOnly);
        }
        found
    }
}

struct Folded {
    key: String,
    given: String,
    surname: String,
}

impl Folded {
    fn of(name: &Name) -> Self {
        Self {
            key: key(&name.full()),
            given: plain_key(name.given()),
            surname: plain_key(name.surname().unwrap_or_default()),
        }
    }

    fn likeness(&self, other: &Self) -> Option<Likeness> {
        let same_given = self.given == other.given;
        let same_surname = self.surname == other.surname;
        if self.key == other.key {
            return Some(Likeness::Same);
        }
        if same_given && same_surname {
            return Some(Likeness::Accents);
        }
        let both = !self.surname.is_empty() && !other.surname.is_empty();
        if both && self.given == other.surname && self.surname == other.given {
            return Some(Likeness::TurnedRound);
        }
        // `Coppleway J` beside `Jem Coppleway`.
        let turned =
            |a: &Self, b: &Self| a.given == b.surname && initials_agree(&a.surname, &b.given);
        if both && (turned(self, other) || turned(other, self)) {
            return Some(Likeness::Initial);
        }
        if !both {
            return self.one_part_missing(other);
        }
        if initial_of(&self.surname, &other.surname) && same_first_name(&self.given, &other.given) {
            return Some(Likeness::SurnameInitial);
        }
        if same_surname {
            return Some(self.same_surname(other));
        }
        // Of short surnames too many are a letter apart.
        let surnames = [&self.surname, &other.surname];
        let long = surnames.iter().all(|name| name.chars().count() >= 5);
        let near = long && one_letter_apart(&self.surname, &other.surname);
        if near && !same_given && initials_agree(&self.given, &other.given) {
            return Some(Likeness::InitialAndNear);
        }
        let whole = |f: &Self| format!("{} {}", f.given, f.surname);
        let lengths = |f: &Self| f.given.len() + f.surname.len();
        // A letter takes four bytes at most: longer apart than that is more than a letter.
        let near = lengths(self).abs_diff(lengths(other)) <= 4;
        let long = near && self.surname.chars().count() >= 4;
        (long && one_letter_apart(&whole(self), &whole(other))).then_some(Likeness::OneLetter)
    }

    /// One of the two has no surname on record: what it has may be the first name, or a surname
    /// written alone.
    fn one_part_missing(&self, other: &Self) -> Option<Likeness> {
        let first = |given: &str| given.split(' ').next().unwrap_or_default().to_owned();
        let given_of = |bare: &Self, whole: &Self| {
            bare.is_one_word() && whole.given.split(' ').any(|word| word == bare.given)
        };
        let surname_of = |bare: &Self, whole: &Self| {
            bare.is_one_word()
                && (whole.surname == bare.given || last_word(&whole.surname) == bare.given)
        };
        if surname_of(self, other) || surname_of(other, self) {
            return Some(Likeness::SurnameAlone);
        }
        let given_agrees = first(&self.given) == first(&other.given)
            || given_of(self, other)
            || given_of(other, self);
        given_agrees.then_some(Likeness::NoSurname)
    }

    /// `Hazelpatch`: nobody can say which part of the name it is.
    fn is_one_word(&self) -> bool {
        self.surname.is_empty() && !self.given.is_empty() && !self.given.contains(' ')
    }

    fn same_surname(&self, other: &Self) -> Likeness {
        if initials_agree(&self.given, &other.given) {
            Likeness::Initial
        } else if short_for(&self.given, &other.given) || short_for(&other.given, &self.given) {
            Likeness::ShortForm
        } else if self.given.chars().count() >= 3 && one_letter_apart(&self.given, &other.given) {
            Likeness::OneLetter
        } else if spelt_alike(&self.given, &other.given) {
            Likeness::Spelling
        } else {
            Likeness::SurnameOnly
        }
    }
}

/// `j` and `jem`, `j p` and `jem`: one side is initials only, and each agrees as far as both go.
fn initials_agree(a: &str, b: &str) -> bool {
    let initials_only = |text: &str| text.split(' ').all(|word| word.chars().count() == 1);
    let firsts = |text: &str| -> Vec<char> {
        text.split(' ')
            .filter_map(|word| word.chars().next())
            .collect()
    };
    (initials_only(a) || initials_only(b)) && firsts(a).iter().zip(&firsts(b)).all(|(x, y)| x == y)
}

/// `u` and `underhythe`: one is the initial of the other.
fn initial_of(a: &str, b: &str) -> bool {
    let one_letter = |text: &str| text.chars().count() == 1;
    a != b && (one_letter(a) || one_letter(b)) && a.chars().next() == b.chars().next()
}

fn same_first_name(a: &str, b: &str) -> bool {
    a == b || short_for(a, b) || short_for(b, a)
}

/// The last word of a surname: `dapplemere` of `van dapplemere`.
fn last_word(text: &str) -> &str {
    text.rsplit(' ').next().unwrap_or(text)
}

/// Short forms that do not begin their long form. General knowledge, no source.
const SHORT_FORMS: [(&str, &str); 30] = [
    ("bill", "william"),
    ("billy", "william"),
    ("bob", "robert"),
    ("bobby", "robert"),
    ("dick", "richard"),
    ("rick", "richard"),
    ("jim", "james"),
    ("jimmy", "james"),
    ("jack", "john"),
    ("johnny", "john"),
    ("tony", "anthony"),
    ("ted", "edward"),
    ("ned", "edward"),
    ("harry", "henry"),
    ("hal", "henry"),
    ("mick", "michael"),
    ("mike", "michael"),
    ("dave", "david"),
    ("steve", "stephen"),
    ("steve", "steven"),
    ("chas", "charles"),
    ("charlie", "charles"),
    ("andy", "andrew"),
    ("bert", "albert"),
    ("alf", "alfred"),
    ("peggy", "margaret"),
    ("bess", "elizabeth"),
    ("liz", "elizabeth"),
    ("nell", "eleanor"),
    ("jem", "jeremy"),
];

fn short_for(short: &str, long: &str) -> bool {
    let first = long.split(' ').next().unwrap_or(long);
    let begins = short.chars().count() >= 3 && first.starts_with(short) && first != short;
    let middle_left_out = first == short && long != short;
    begins || middle_left_out || SHORT_FORMS.contains(&(short, first))
}

/// The same letters in another order, or, in longer names, two of them put in, left out or changed.
fn spelt_alike(a: &str, b: &str) -> bool {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    let shorter = a.len().min(b.len());
    let sorted = |letters: &[char]| {
        let mut sorted = letters.to_vec();
        sorted.sort_unstable();
        sorted
    };
    let turned = shorter >= 4 && a.first() == b.first() && sorted(&a) == sorted(&b);
    let near = shorter >= 6 && a.len().abs_diff(b.len()) <= 2;
    turned || (near && letters_apart(&a, &b) <= 2)
}

/// How many letters have to be put in, left out or changed to make one of the other.
fn letters_apart(a: &[char], b: &[char]) -> usize {
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.iter().enumerate() {
        let mut corner = row[0];
        row[0] = i + 1;
        for (j, y) in b.iter().enumerate() {
            let changed = corner + usize::from(x != y);
            corner = row[j + 1];
            row[j + 1] = changed.min(corner + 1).min(row[j] + 1);
        }
    }
    row[b.len()]
}

/// One letter put in, left out or changed, or two neighbours changed about.
fn one_letter_apart(a: &str, b: &str) -> bool {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    let (short, long) = if a.len() <= b.len() {
        (&a, &b)
    } else {
        (&b, &a)
    };
    let Some(at) = (0..long.len()).find(|at| short.get(*at) != long.get(*at)) else {
        return false;
    };
    match long.len() - short.len() {
        0 => {
            let changed = short[at + 1..] == long[at + 1..];
            let about = at + 1 < long.len()
                && short[at] == long[at + 1]
                && short[at + 1] == long[at]
                && short[at + 2..] == long[at + 2..];
            changed || about
        }
        1 => short[at..] == long[at + 1..],
        _ => false,
    }
}
