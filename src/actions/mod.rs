//! Everything that changes the record, even in one step. Only here is a write transaction
//! asked for, so that the last check of permission, the audit line and once-only delivery
//! have one home. Pages and commands share these.

use crate::{
    domain::{
        accounts::Role,
        ids::{AccountId, AnglerId, Pid},
    },
    store::StoreError,
};

pub mod accounts;
pub mod anglers;
pub mod backup;
pub mod change_match;
pub mod change_session;
pub mod choose_units;
pub mod choose_weather;
pub mod daily_backup;
pub mod enter_match;
pub mod entry_session;
pub mod expire;
mod guesses;
pub mod health;
pub mod import;
pub mod join_anglers;
pub mod keep_fits;
pub mod keep_readings;
pub mod make_match;
pub mod name_tackle;
pub mod one_time_links;
mod open_match;
pub mod own_password;
pub mod passwords;
pub mod place_entries;
pub mod plant_demo;
pub mod publish_results;
pub mod record_weights;
pub mod remove_water;
pub mod report_in_match;
pub mod save_session;
pub mod save_weather;
mod seal;
pub mod set_club;
pub mod sign_in;
pub mod tokens;
pub mod venues;
pub mod write_diary;

/// On whose behalf something is done.
#[derive(Clone, Debug)]
pub enum By {
    Account {
        id: AccountId,
        pid: Pid,
        role: Role,
        angler: Option<AnglerId>,
    },
    /// Whoever may run commands on the machine itself.
    CommandLine,
}

impl By {
    pub fn pid(&self) -> Option<&Pid> {
        match self {
            Self::Account { pid, .. } => Some(pid),
            Self::CommandLine => None,
        }
    }

    pub fn account(&self) -> Option<AccountId> {
        match self {
            Self::Account { id, .. } => Some(*id),
            Self::CommandLine => None,
        }
    }

    pub fn angler(&self) -> Option<AnglerId> {
        match self {
            Self::Account { angler, .. } => *angler,
            Self::CommandLine => None,
        }
    }

    pub fn is_officer(&self) -> bool {
        match self {
            Self::Account { role, .. } => role.is_officer(),
            Self::CommandLine => true,
        }
    }

    pub fn is_administrator(&self) -> bool {
        match self {
            Self::Account { role, .. } => *role == Role::Administrator,
            Self::CommandLine => true,
        }
    }

    /// Refuses all but officers.
    pub fn must_be_officer(&self) -> Result<(), ActionError> {
        self.is_officer()
            .then_some(())
            .ok_or(ActionError::NotAllowed)
    }

    /// Refuses all but administrators.
    pub fn must_be_administrator(&self) -> Result<(), ActionError> {
        self.is_administrator()
            .then_some(())
            .ok_or(ActionError::NotAllowed)
    }
}

/// Why something was not done.
#[derive(Debug, thiserror::Error)]
pub enum ActionError {
    #[error("this needs somebody with more rights")]
    NotAllowed,
    #[error("there is no such thing here")]
    NotFound,
    /// The record changed since the form was fetched.
    #[error("somebody changed this meanwhile")]
    Changed,
    /// A rule was broken; the sentence says how to mend it, and `field` names where.
    #[error("{sentence}")]
    Refused {
        field: &'static str,
        sentence: String,
    },
    #[error("too much is going on at once; try again in a few seconds")]
    Busy,
    #[error(transparent)]
    Store(#[from] StoreError),
}

impl ActionError {
    pub fn refused(field: &'static str, sentence: impl Into<String>) -> Self {
        Self::Refused {
            field,
            sentence: sentence.into(),
        }
    }
}
