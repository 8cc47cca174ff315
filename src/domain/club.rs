//! What a club sets for itself.

use super::{dates::Zone, names::NamesOpen};

#[derive(Clone, Debug)]
pub struct Club {
    pub name: String,
    /// How names stand on published results for visitors.
    pub names: NamesOpen,
    /// The zone of the committee's own pages and of a new water, until it is given another.
    pub zone: Zone,
}

/// The zone where none was chosen.
pub const FIRST_ZONE: &str = "Europe/London";

impl Club {
    /// From the words on record; what is absent or unreadable is as on the first day.
    pub fn from_words(name: Option<String>, names: Option<&str>, zone: Option<&str>) -> Self {
        Self {
            name: name.unwrap_or_else(|| "Our club".to_owned()),
            names: names.and_then(NamesOpen::parse).unwrap_or_default(),
            zone: zone
                .and_then(Zone::named)
                .or_else(|| Zone::named(FIRST_ZONE))
                .unwrap_or_else(Zone::utc),
        }
    }
}
