//! How our own types stand in SQLite: days as `YYYY-MM-DD` text, instants as whole seconds,
//! identifiers as integers, words as text.

use sqlx::{
    Decode, Encode, Sqlite, Type,
    encode::IsNull,
    error::BoxDynError,
    sqlite::{SqliteArgumentsBuffer, SqliteTypeInfo, SqliteValueRef},
};

use super::marks::SettingsMark;
use crate::domain::{
    accounts::Role,
    dates::{Day, Instant},
    groups::GroupSet,
    ids::*,
    imports::{ImportKind, ImportState, RecordKind},
    matches::{MatchState, Outcome, PegsAllotted},
    units::{Scale, Speed},
};

macro_rules! stored_as {
    ($($ours:ty => $theirs:ty, $to:expr, $from:expr;)*) => {$(
        impl Type<Sqlite> for $ours {
            fn type_info() -> SqliteTypeInfo {
                <$theirs as Type<Sqlite>>::type_info()
            }
            fn compatible(info: &SqliteTypeInfo) -> bool {
                <$theirs as Type<Sqlite>>::compatible(info)
            }
        }
        impl Encode<'_, Sqlite> for $ours {
            fn encode_by_ref(&self, buffer: &mut SqliteArgumentsBuffer) -> Result<IsNull, BoxDynError> {
                let to: fn(&$ours) -> $theirs = $to;
                <$theirs as Encode<'_, Sqlite>>::encode(to(self), buffer)
            }
        }
        impl<'r> Decode<'r, Sqlite> for $ours {
            fn decode(value: SqliteValueRef<'r>) -> Result<Self, BoxDynError> {
                let from: fn($theirs) -> Option<$ours> = $from;
                let stored = <$theirs as Decode<'r, Sqlite>>::decode(value)?;
                from(stored).ok_or_else(|| concat!("a stored value that is no ", stringify!($ours)).into())
            }
        }
    )*};
}

macro_rules! stored_ids {
    ($($id:ident),* $(,)?) => {
        stored_as! { $($id => i64, |id| id.0, |stored| Some($id(stored));)* }
    };
}

stored_ids! {
    AccountId, LabelId, AnglerId, TeamId, SignInId,
    VenueId, BankId, PegId, ClosureId, SpeciesId, MethodId, BaitId, DiaryId,
    SourceId, ReadingId,
    SessionId,
    MatchId, SectionId, MatchTeamId, EntryId, NetId, WeighingId, PublicationId,
    ImportId, FitId,
}

stored_as! {
    Day => String, |day| day.to_string(), |text| Day::parse(&text);
    SettingsMark => i64, |mark| mark.0, |stored| Some(SettingsMark(stored));
    Instant => i64, |instant| instant.0, |seconds| Some(Instant(seconds));
    Pid => String, |pid| pid.as_str().to_owned(), |text| Pid::parse(&text);
    Role => String, |role| role.as_str().to_owned(), |text| Role::parse(&text);
    Scale => String, |scale| scale.as_str().to_owned(), |text| Scale::parse(&text);
    Speed => String, |speed| speed.as_str().to_owned(), |text| Speed::parse(&text);
    GroupSet => i64, |set| set.bits(), GroupSet::from_bits;
    Outcome => String, |outcome| outcome.as_str().to_owned(), |text| Outcome::parse(&text);
    MatchState => String, |state| state.as_str().to_owned(), |text| MatchState::parse(&text);
    ImportKind => String, |kind| kind.as_str().to_owned(), |text| ImportKind::parse(&text);
    ImportState => String, |state| state.as_str().to_owned(), |text| ImportState::parse(&text);
    RecordKind => String, |kind| kind.as_str().to_owned(), |text| RecordKind::parse(&text);
    PegsAllotted => String, |way| way.as_str().to_owned(), |text| PegsAllotted::parse(&text);
}
