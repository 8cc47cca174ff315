//! Anglers: the club's list, and one of them.

use crate::{
    domain::names::{Name, NamesOpen, Reader, shown},
    store::anglers::{self, Angler},
    web::{errors::PageError, people::Member, state::Site},
};

pub mod angler;
pub mod apart;
pub mod join;
pub mod list;

/// Is somebody of that name on the list?
async fn on_the_list(site: &Site, name: &Name) -> Result<bool, PageError> {
    let list = anglers::all(&mut *site.db.read().await?).await?;
    Ok(list.iter().any(|angler| angler.is_called(name)))
}

/// What is said before a second of a name comes on the list.
fn already(name: &Name) -> String {
    format!(
        "{} is on the list already. Tick below if this is somebody else of the same name.",
        name.full()
    )
}

/// The angler's name as this reader may see it: whoever is or
/// was a junior by first name and initial, to all but officers.
fn name_for(angler: &Angler, member: &Member) -> String {
    let reader = if member.who.role.is_officer() {
        Reader::Officer
    } else {
        Reader::Member
    };
    let name = angler
        .given
        .clone()
        .map(|given| Name::from_label(given, angler.surname.clone()));
    shown(
        name.as_ref(),
        angler.is_junior || angler.was_junior,
        reader,
        NamesOpen::default(),
        None,
    )
}
