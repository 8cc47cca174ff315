//! What a report at one water chooses from: its pegs, the methods, baits and fish.

use std::{ops::Deref, sync::Arc};

use crate::{
    domain::{
        dates::Zone,
        ids::{PegId, VenueId},
        units::Scale,
    },
    store::sessions::choices::Choice,
    web::{answers::Offered, errors::PageError, people::Member, state::Site},
};

/// What a report at one water chooses from, as this member is asked.
pub struct Choices {
    offered: Arc<Offered>,
    pub zone: Zone,
    pub scale: Scale,
    /// The account has no angler yet, so the name is asked.
    pub ask_name: bool,
}

impl Deref for Choices {
    type Target = Offered;

    fn deref(&self) -> &Offered {
        &self.offered
    }
}

impl Choices {
    /// Everything for a report at `venue` by this member.
    pub async fn load(site: &Site, member: &Member, venue: VenueId) -> Result<Self, PageError> {
        let offered = site.answers.offered(site, venue).await?;
        Ok(Self {
            zone: Zone::named(&offered.water.zone).unwrap_or(Zone::utc()),
            scale: Scale::parse(&offered.water.weighs_in).unwrap_or(Scale::Drams),
            ask_name: member.who.angler.is_none(),
            offered,
        })
    }

    pub fn peg_number(&self, id: PegId) -> &str {
        self.pegs
            .iter()
            .find(|peg| peg.id == id)
            .map_or("", |peg| &peg.number)
    }

    pub fn method_name(&self, id: i64) -> &str {
        self.methods
            .iter()
            .find(|m| m.id == id)
            .map_or("", |m| &m.name)
    }

    pub fn bait_name(&self, id: i64) -> &str {
        self.baits
            .iter()
            .find(|b| b.id == id)
            .map_or("", |b| &b.name)
    }
}

/// Retired choices stay where they are chosen already.
pub fn offered(list: &[Choice], chosen: &str) -> Vec<(String, String)> {
    list.iter()
        .filter(|choice| !choice.retired || choice.id.to_string() == chosen)
        .map(|choice| (choice.id.to_string(), choice.name.clone()))
        .collect()
}
