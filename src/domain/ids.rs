//! Identifiers: one newtype per table, so that a peg is never passed for a match; and the
//! random public identifier that stands in addresses of people and their sessions.

use std::fmt;

use serde::{Deserialize, Serialize};

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident),* $(,)?) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub i64);

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }
    )*};
}

ids! {
    AccountId, LabelId, AnglerId, TeamId, SignInId,
    VenueId, BankId, PegId, ClosureId, SpeciesId, MethodId, BaitId, DiaryId,
    SourceId, ReadingId,
    SessionId,
    MatchId, SectionId, MatchTeamId, EntryId, NetId, WeighingId, PublicationId,
    ImportId, FitId,
}

/// A random 128-bit public identifier: 26 letters and digits of Crockford's base 32 (lower case).
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Pid(String);

const ALPHABET: &[u8; 32] = b"0123456789abcdefghjkmnpqrstvwxyz";

impl Pid {
    /// Spells 128 random bits.
    pub fn from_bits(bits: u128) -> Self {
        let text = (0..26)
            .rev()
            .map(|place| char::from(ALPHABET[(bits >> (5 * place)) as usize & 31]))
            .collect();
        Self(text)
    }

    /// Reads one from an address; `None` when it could not be one of ours.
    pub fn parse(text: &str) -> Option<Self> {
        let ours = text.len() == 26 && text.bytes().all(|b| ALPHABET.contains(&b));
        ours.then(|| Self(text.to_owned()))
    }

    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Pid {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_public_identifier_reads_back_what_it_spelt() {
        let pid = Pid::from_bits(0x0123_4567_89ab_cdef_0123_4567_89ab_cdef);
        assert_eq!(Pid::parse(pid.as_str()), Some(pid));
        assert_eq!(Pid::parse("short"), None);
        assert_eq!(Pid::parse(&"u".repeat(26)), None);
    }
}
