//! Anglers: the club's list, and one of them.

use crate::{
    domain::names::{Name, NamesOpen, Reader, shown},
    store::anglers::Angler,
    web::people::Member,
};

pub mod angler;
pub mod list;

/// The angler's name as this reader may see it: whoever is or
/// was a junior by first name and initial, to all but officers.
fn name_for(angler: &Angler, member: &Member) -> String {
    let reader = if member.0.role.is_officer() {
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
