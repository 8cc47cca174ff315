//! Setting up a water and closing its pegs.

use super::{ActionError, By, tokens::new_pid};
use crate::{
    domain::{
        dates::{Day, Instant, Zone},
        ids::{BankId, ClosureId, PegId, VenueId},
        pegs::{Closure, Peg, closed_together, peg_words},
        units::Scale,
        venues::{CloseSeason, WaterKind},
    },
    store::{
        Db, StoreError, Writing, audit,
        venues::{self, PegPlace, VenueRow},
    },
};

/// A water as an officer describes it on one page.
#[derive(Clone, Debug)]
pub struct Setup {
    pub name: String,
    pub kind: WaterKind,
    pub zone: Zone,
    pub position: Option<(f64, f64)>,
    pub weighs_in: Scale,
    pub rules: Option<String>,
    pub emergency: Option<String>,
    pub close_season: Option<CloseSeason>,
    pub banks: Vec<BankSetup>,
}

/// A bank and its pegs in walking order. Without `id` it is new.
#[derive(Clone, Debug)]
pub struct BankSetup {
    pub id: Option<BankId>,
    pub name: String,
    pub facing_deg: Option<f64>,
    pub pegs: Vec<PegSetup>,
}

#[derive(Clone, Debug)]
pub struct PegSetup {
    pub number: String,
    pub end_peg: bool,
    pub accessible: bool,
}

impl Setup {
    fn row(&self) -> VenueRow<'_> {
        VenueRow {
            name: &self.name,
            kind: self.kind,
            zone: self.zone.name(),
            position: self.position,
            weighs_in: self.weighs_in,
            rules: self.rules.as_deref(),
            emergency: self.emergency.as_deref(),
            close_season: self.close_season,
        }
    }
}

/// The first day the record can hold: pegs first named stand since then, so that old results find them.
pub fn since_ever() -> Day {
    Day::new(1900, 1, 1).expect("1 January 1900 is a day")
}

/// Saves a water: a new one, or over version `version` of `venue`. Pegs still named keep their
/// history; pegs no longer named end yesterday.
pub async fn save(
    db: &Db,
    now: Instant,
    by: &By,
    venue: Option<(VenueId, i64)>,
    setup: &Setup,
) -> Result<VenueId, ActionError> {
    by.must_be_officer()?;
    let mut writing = db.write().await?;
    let row = setup.row();
    let (id, verb) = match venue {
        None => (
            venues::insert(&mut writing, &new_pid(), &row)
                .await
                .map_err(name_taken)?,
            "set up a venue",
        ),
        Some((id, version)) => {
            venues::by_id(&mut writing, id)
                .await?
                .ok_or(ActionError::NotFound)?;
            if !venues::update(&mut writing, id, version, &row)
                .await
                .map_err(name_taken)?
            {
                return Err(ActionError::Changed);
            }
            (id, "changed a venue")
        }
    };
    save_banks(&mut writing, id, setup, now.day(&setup.zone)).await?;
    let pegs: usize = setup.banks.iter().map(|bank| bank.pegs.len()).sum();
    audit::add(
        &mut writing,
        now,
        by.pid(),
        verb,
        None,
        &format!("venue {id}, {pegs} pegs"),
    )
    .await?;
    writing.commit().await?;
    Ok(id)
}

fn name_taken(error: StoreError) -> ActionError {
    if error.is_taken("venues.name") {
        return ActionError::refused(
            "name",
            "Another water has that name. Add what tells them apart, for example Top or Bottom.",
        );
    }
    error.into()
}

async fn save_banks(
    writing: &mut Writing,
    venue: VenueId,
    setup: &Setup,
    today: Day,
) -> Result<(), ActionError> {
    let known_banks = venues::banks(writing, venue).await?;
    let known_pegs = venues::pegs(writing, venue).await?;
    let yesterday = today.plus(-1);
    let mut kept: Vec<PegId> = Vec::new();
    // Names are put aside first, so that two banks may change names with each other.
    for bank in &known_banks {
        venues::update_bank(
            writing,
            bank.id,
            1_000 + bank.ord,
            &format!("{} ({})", bank.name, bank.id),
            bank.facing_deg,
        )
        .await?;
    }
    let mut named: Vec<BankId> = Vec::new();
    for (ord, bank) in (0_i64..).zip(&setup.banks) {
        let same = known_banks.iter().find(|known| {
            !named.contains(&known.id)
                && (bank.id == Some(known.id) || (bank.id.is_none() && known.name == bank.name))
        });
        let bank_id = match same {
            Some(known) => {
                venues::update_bank(writing, known.id, ord, &bank.name, bank.facing_deg).await?;
                known.id
            }
            None => venues::insert_bank(writing, venue, ord, &bank.name, bank.facing_deg).await?,
        };
        named.push(bank_id);
        for (walk_order, peg) in (0_i64..).zip(&bank.pegs) {
            let place = PegPlace {
                bank: bank_id,
                number: &peg.number,
                walk_order,
                end_peg: peg.end_peg,
                accessible: peg.accessible,
            };
            let before = known_pegs.iter().filter(|known| known.number == peg.number);
            let standing = before
                .clone()
                .find(|known| known.valid_to.is_none_or(|last| last >= yesterday));
            match standing {
                Some(known) => {
                    venues::place_peg(writing, known.id, &place).await?;
                    kept.push(known.id);
                }
                None => {
                    let from = if before.count() == 0 {
                        since_ever()
                    } else {
                        today
                    };
                    venues::insert_peg(writing, venue, &place, from).await?;
                }
            }
        }
    }
    for bank in known_banks.iter().filter(|bank| !named.contains(&bank.id)) {
        let taken = setup.banks.iter().any(|other| other.name == bank.name);
        let name = if taken {
            format!("{} ({})", bank.name, bank.id)
        } else {
            bank.name.clone()
        };
        venues::update_bank(
            writing,
            bank.id,
            1_000 + bank.ord.min(1_000),
            &name,
            bank.facing_deg,
        )
        .await?;
    }
    for peg in known_pegs
        .iter()
        .filter(|peg| peg.valid_to.is_none() && !kept.contains(&peg.id))
    {
        venues::retire_peg(writing, peg.id, yesterday).await?;
    }
    Ok(())
}

/// Why pegs of these numbers cannot be closed on some days, from the first to the last: some are not
/// here, or stand closed on some of those days already. Without days only the first is asked.
pub fn cannot_close(
    known: &[Peg],
    numbers: &[String],
    days: Option<(Day, Option<Day>)>,
    today: Day,
) -> Option<String> {
    let in_use = |number: &String| {
        let mut known = known.iter().filter(|peg| peg.valid_to.is_none());
        known.find(|peg| peg.number == *number)
    };
    let mut why = Vec::new();
    let missing = numbers.iter().filter(|number| in_use(number).is_none());
    let missing: Vec<&str> = missing.map(String::as_str).collect();
    if !missing.is_empty() {
        let are = if missing.len() == 1 { "is" } else { "are" };
        why.push(format!(
            "There {are} no {} here. Name pegs as this water’s page shows them.",
            peg_words(missing)
        ));
    }
    let pegs = numbers.iter().filter_map(in_use);
    let standing = pegs.flat_map(|peg| {
        let closures = peg.closures.iter().filter(move |closure| {
            closure.to.is_none_or(|to| to >= today) && days.is_some_and(|days| closure.meets(days))
        });
        closures.map(move |closure| (peg.number.as_str(), closure))
    });
    for (closure, numbers) in closed_together(standing) {
        let (are, them) = match numbers.len() {
            1 => ("is", "it"),
            _ => ("are", "them"),
        };
        let words = peg_words(numbers);
        why.push(format!(
            "P{} {are} closed already{}. Open {them} below first, leave {them} out, or choose other days.",
            words.trim_start_matches('p'),
            closure.words().trim_start_matches("Closed"),
        ));
    }
    (!why.is_empty()).then(|| why.join(" "))
}

/// Closes pegs, by their numbers, on the days of `closure`.
///
/// Errors: `Refused` as [`cannot_close`] says.
pub async fn close_pegs(
    db: &Db,
    now: Instant,
    by: &By,
    venue: VenueId,
    numbers: &[String],
    closure: &Closure,
) -> Result<(), ActionError> {
    by.must_be_officer()?;
    let mut writing = db.write().await?;
    let water = venues::by_id(&mut writing, venue)
        .await?
        .ok_or(ActionError::NotFound)?;
    let known = venues::pegs(&mut writing, venue).await?;
    let (days, today) = ((closure.from, closure.to), now.day(&water.zone));
    if let Some(why) = cannot_close(&known, numbers, Some(days), today) {
        return Err(ActionError::refused("pegs", why));
    }
    let in_use = known.iter().filter(|peg| peg.valid_to.is_none());
    let named = in_use.filter(|peg| numbers.contains(&peg.number));
    let named: Vec<PegId> = named.map(|peg| peg.id).collect();
    for peg in named {
        venues::insert_closure(&mut writing, peg, closure).await?;
    }
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "closed pegs",
        None,
        &format!("venue {venue}, {} pegs", numbers.len()),
    )
    .await?;
    Ok(writing.commit().await?)
}

/// Opens a closed peg again from today.
pub async fn open_peg(
    db: &Db,
    now: Instant,
    by: &By,
    venue: VenueId,
    closure: ClosureId,
) -> Result<(), ActionError> {
    by.must_be_officer()?;
    let mut writing = db.write().await?;
    let water = venues::by_id(&mut writing, venue)
        .await?
        .ok_or(ActionError::NotFound)?;
    let known = venues::closures(&mut writing, venue).await?;
    let line = known
        .iter()
        .find(|line| line.id == closure)
        .ok_or(ActionError::NotFound)?;
    let yesterday = now.day(&water.zone).plus(-1);
    if line.closure.to.is_none_or(|to| to > yesterday) {
        venues::end_closure(&mut writing, closure, yesterday).await?;
    }
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "opened a peg",
        None,
        &format!("venue {venue}, peg {}", line.number),
    )
    .await?;
    Ok(writing.commit().await?)
}
