//! Roles and who may do what.

use std::fmt;

use unicode_normalization::UnicodeNormalization;

/// What an account may do. A visitor has no account.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    Member,
    Organiser,
    Administrator,
}

impl Role {
    pub const ALL: [Self; 3] = [Self::Member, Self::Organiser, Self::Administrator];

    pub fn as_str(self) -> &'static str {
        match self {
            Self::Member => "member",
            Self::Organiser => "organiser",
            Self::Administrator => "administrator",
        }
    }

    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|role| role.as_str() == text)
    }

    /// An officer is an organiser or an administrator.
    pub fn is_officer(self) -> bool {
        self >= Self::Organiser
    }
}

impl fmt::Display for Role {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

/// Who may ask for an address. Each includes those after it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Who {
    Anyone,
    Member,
    Organiser,
    Administrator,
}

impl Who {
    /// May somebody of this role (none: a visitor)?
    pub fn admits(self, role: Option<Role>) -> bool {
        match self {
            Self::Anyone => true,
            Self::Member => role.is_some(),
            Self::Organiser => role.is_some_and(Role::is_officer),
            Self::Administrator => role == Some(Role::Administrator),
        }
    }
}

/// A sign-in name as it is compared: compatibility-composed (NFKC), lower case, single spaces.
pub fn folded_name(name: &str) -> String {
    let folded: String = name.nfkc().flat_map(char::to_lowercase).collect();
    folded.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_role_may_what_the_lesser_may_and_no_more() {
        let admitted: Vec<_> = [Who::Anyone, Who::Member, Who::Organiser, Who::Administrator]
            .map(|who| {
                [
                    None,
                    Some(Role::Member),
                    Some(Role::Organiser),
                    Some(Role::Administrator),
                ]
                .map(|role| who.admits(role))
            })
            .into_iter()
            .collect();
        assert_eq!(
            admitted,
            [
                [true; 4],
                [false, true, true, true],
                [false, false, true, true],
                [false, false, false, true]
            ]
        );
    }
}
