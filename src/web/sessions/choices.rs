//! What a report at one water chooses from: its pegs, the methods, baits and fish.

use crate::{
    domain::{
        dates::Zone,
        ids::{PegId, VenueId},
        units::Scale,
    },
    store::{
        sessions::choices::{self, Choice, FishChoice, PegChoice, Water},
        venues::{ClosureLine, closures},
    },
    web::{errors::PageError, people::Member, state::Site},
};

/// What a report at one water chooses from.
pub struct Choices {
    pub water: Water,
    pub zone: Zone,
    pub scale: Scale,
    pub pegs: Vec<PegChoice>,
    pub methods: Vec<Choice>,
    pub baits: Vec<Choice>,
    pub fish: Vec<FishChoice>,
    pub closures: Vec<ClosureLine>,
    /// The account has no angler yet, so the name is asked.
    pub ask_name: bool,
}

impl Choices {
    /// Everything for a report at `venue` by this member.
    pub async fn load(site: &Site, member: &Member, venue: VenueId) -> Result<Self, PageError> {
        let mut reading = site.db.read().await?;
        let water = choices::water(&mut reading, venue)
            .await?
            .ok_or(PageError::NotFound)?;
        Ok(Self {
            zone: Zone::named(&water.zone).unwrap_or(Zone::utc()),
            scale: Scale::parse(&water.weighs_in).unwrap_or(Scale::Drams),
            pegs: choices::pegs(&mut reading, venue).await?,
            methods: choices::methods(&mut reading).await?,
            baits: choices::baits(&mut reading).await?,
            fish: choices::fish(&mut reading).await?,
            closures: closures(&mut reading, venue).await?,
            ask_name: member.who.angler.is_none(),
            water,
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
