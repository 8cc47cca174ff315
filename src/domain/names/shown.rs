//! Who sees which form of a name. The one place where that is decided.

use super::Name;

/// Who is reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Reader {
    Visitor,
    Member,
    Officer,
}

/// The club's setting: how names stand on published results for visitors.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum NamesOpen {
    #[default]
    InitialAndSurname,
    Full,
    MembersOnly,
}

impl NamesOpen {
    pub const ALL: [Self; 3] = [Self::InitialAndSurname, Self::Full, Self::MembersOnly];

    /// The word in the settings.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::InitialAndSurname => "initial and surname",
            Self::Full => "full name",
            Self::MembersOnly => "members only",
        }
    }

    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|open| open.as_str() == text)
    }
}

/// What stands where a name was erased.
pub const FORMER_MEMBER: &str = "Former member";

/// The name as this reader may see it.
///
/// `was_junior` holds for ever for what was recorded while the flag stood: juniors are shown to
/// all but officers as first name and initial. Where visitors see no names, the peg stands for it.
pub fn shown(
    name: Option<&Name>,
    was_junior: bool,
    reader: Reader,
    open: NamesOpen,
    peg: Option<&str>,
) -> String {
    let Some(name) = name else {
        return FORMER_MEMBER.to_owned();
    };
    match (reader, open) {
        (Reader::Visitor, NamesOpen::MembersOnly) => match peg {
            Some(peg) => format!("Peg {peg}"),
            None => "A member".to_owned(),
        },
        (Reader::Officer, _) => name.full(),
        _ if was_junior => name.given_and_initial(),
        (Reader::Visitor, NamesOpen::InitialAndSurname) => name.initial_and_surname(),
        (Reader::Visitor, NamesOpen::Full) | (Reader::Member, _) => name.full(),
    }
}
