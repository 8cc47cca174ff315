//! The methods, baits and fish that reports choose from: naming one more, taking one off the
//! lists, and offering it again. What was reported with it stays as it is.

use super::{ActionError, By};
use crate::{
    domain::{
        dates::Instant,
        groups::Group,
        names::{key, text::clean_line},
    },
    store::{Db, Writing, audit, sessions::choices},
};

/// What is named.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tackle {
    Method,
    Bait,
    /// A fish, with the group it belongs to.
    Fish(Group),
}

impl Tackle {
    fn word(self) -> &'static str {
        match self {
            Self::Method => "method",
            Self::Bait => "bait",
            Self::Fish(_) => "fish",
        }
    }
}

/// What stands for everything that is not on the list: it is never taken off.
pub const LEFT_OVER: &str = "Other";

/// Names one more.
///
/// Errors: `Refused` at `name` when it is empty, too long, or on the list already.
pub async fn add(
    db: &Db,
    now: Instant,
    by: &By,
    what: Tackle,
    name: &str,
) -> Result<(), ActionError> {
    by.must_be_officer()?;
    let name = clean_line(name, "the name", 40)
        .map_err(|sentence| ActionError::refused("name", sentence))?;
    if key(&name).is_empty() {
        let sentence = "Enter its name, as anglers say it.";
        return Err(ActionError::refused("name", sentence));
    }
    let mut writing = db.write().await?;
    if let Some(known) = alike(&mut writing, what, &name).await? {
        let sentence = match key(&known) == key(&name) {
            true => return Err(known_already(&known)),
            false => format!(
                "“{name}” looks like {known}, which is on the list already. Look for it there."
            ),
        };
        return Err(ActionError::refused("name", sentence));
    }
    match what {
        Tackle::Method => choices::add_method(&mut writing, &name).await?,
        Tackle::Bait => choices::add_bait(&mut writing, &name).await?,
        Tackle::Fish(group) => {
            let slug = key(&name).replace(' ', "-");
            match choices::add_fish(&mut writing, &slug, &name, group.bit()).await {
                // A shorter name of one that is there: “Crucian” for the crucian carp.
                Err(error) if error.is_taken("species.slug") => return Err(known_already(&name)),
                done => done?,
            }
        }
    }
    let verb = "named a method, bait or fish";
    let detail = format!("{} {name}", what.word());
    audit::add(&mut writing, now, by.pid(), verb, None, &detail).await?;
    Ok(writing.commit().await?)
}

fn known_already(name: &str) -> ActionError {
    let sentence = format!("{name} is on the list already. Look for it there.");
    ActionError::refused("name", sentence)
}

/// What is on its list, or was taken off it, and is the same but for how it is written.
async fn alike(
    writing: &mut Writing,
    what: Tackle,
    name: &str,
) -> Result<Option<String>, ActionError> {
    let names: Vec<String> = match what {
        Tackle::Method => names(choices::methods(writing).await?),
        Tackle::Bait => names(choices::baits(writing).await?),
        Tackle::Fish(_) => {
            let fish = choices::fish(writing).await?;
            fish.into_iter().map(|one| one.name).collect()
        }
    };
    let written = spelling(name);
    Ok(names.into_iter().find(|known| spelling(known) == written))
}

/// What `Drop shot` and `drop-shots` have in common: no capitals, spaces, hyphens or last s.
fn spelling(name: &str) -> String {
    let letters = key(name).replace(' ', "");
    letters.strip_suffix('s').unwrap_or(&letters).to_owned()
}

fn names(list: Vec<choices::Choice>) -> Vec<String> {
    list.into_iter().map(|one| one.name).collect()
}

/// Takes a method or a bait off the lists of new reports, or offers it again.
///
/// Errors: `NotFound` of what is no method or bait, or stays ([`LEFT_OVER`]).
pub async fn offer(
    db: &Db,
    now: Instant,
    by: &By,
    (what, id): (Tackle, i64),
    offered: bool,
) -> Result<(), ActionError> {
    by.must_be_officer()?;
    let mut writing = db.write().await?;
    let list = match what {
        Tackle::Method => choices::methods(&mut writing).await?,
        Tackle::Bait => choices::baits(&mut writing).await?,
        Tackle::Fish(_) => Vec::new(),
    };
    if !list.iter().any(|one| one.id == id && one.name != LEFT_OVER) {
        return Err(ActionError::NotFound);
    }
    match what {
        Tackle::Method => choices::retire_method(&mut writing, id, !offered).await?,
        Tackle::Bait => choices::retire_bait(&mut writing, id, !offered).await?,
        Tackle::Fish(_) => {}
    }
    let verb = match offered {
        true => "offered a method or bait again",
        false => "took a method or bait off the lists",
    };
    let detail = format!("{} {id}", what.word());
    audit::add(&mut writing, now, by.pid(), verb, None, &detail).await?;
    Ok(writing.commit().await?)
}
