//! Mirrors `src/web/matches`: a match from its making to a corrected result.

mod by_sections;
mod calling_off;
mod changing;
mod entering;
mod expecting;
mod frozen;
mod journey;
mod making;
mod meanwhile;
mod moving;
mod pasting;
mod posted;
mod publishing;
mod result;
mod taken_out;
mod weighing;
mod won;

use crate::support::{Actor, TestSite};

pub use crate::support::record::{number, tell as run};

/// A water with four pegs, a match on it, and three anglers on pegs 1 to 3: entries 1 to 3.
pub async fn a_match(site: &TestSite) -> Actor {
    run(
        site,
        "INSERT INTO venues (id, pid, name) VALUES (1, '00000000000000000000000001', 'Quillet Water');
         INSERT INTO banks (id, venue_id, ord, name) VALUES (1, 1, 1, 'Long Reach');
         INSERT INTO pegs (id, venue_id, bank_id, number, walk_order) VALUES (1, 1, 1, '1', 1), (2, 1, 1, '2', 2), (3, 1, 1, '3', 3), (4, 1, 1, '4', 4)",
    )
    .await;
    let organiser = site.organiser().await;
    let made = organiser
        .submit(
            "/matches/new",
            &[
                ("name", "Frost Cup"),
                ("venue", "1"),
                ("on", "2026-11-14"),
                ("start", "10:00"),
                ("finish", "15:00"),
                ("pegs_allotted", "bag"),
                ("ranking", "0"),
                ("group-carp", "together"),
                ("group-silvers", "together"),
                ("sections", "A, B"),
            ],
        )
        .await;
    assert_eq!(made.taken(), "/matches/1/entries?done=saved");
    let added = organiser
        .submit(
            "/matches/1/entries",
            &[
                ("version", "1"),
                ("name-0", "Dot Hazelpatch"),
                ("peg-0", "1"),
                ("section-0", "1"),
                ("name-1", "Jem Coppleway"),
                ("peg-1", "2"),
                ("section-1", "1"),
                ("name-2", "Olly Tarnside"),
                ("junior-2", "on"),
                ("peg-2", "3"),
                ("section-2", "2"),
            ],
        )
        .await;
    let back = added.taken();
    assert!(back.starts_with("/matches/1/entries?new="), "{back}");
    assert!(back.ends_with("&done=saved"), "{back}");
    organiser
}

/// Weights typed: peg 1 in two nets, peg 2 level with it, peg 3 blank. Groups carp and silvers are bits 3.
pub const SHEET: &[(&str, &str)] = &[
    ("version", "2"),
    ("net-1-3-0", "8-0"),
    ("net-1-3-1", "4-8"),
    ("net-2-3-0", "12 lb 8 oz"),
    ("outcome-3", "blank"),
];

/// Weighs the match of [`a_match`] in as the sheet says, and posts it for the first time.
pub async fn post(organiser: &Actor, sheet: &[(&str, &str)]) {
    organiser.submit("/matches/1/weights", sheet).await.taken();
    organiser
        .submit("/matches/1/publication", &[("version", "3")])
        .await
        .taken();
}

/// Posts the match once more, as it now stands.
pub async fn post_again(site: &TestSite, organiser: &Actor, reason: &str) {
    let version = number(site, "SELECT ver FROM matches").await.to_string();
    let form = [("version", version.as_str()), ("reason", reason)];
    organiser
        .submit("/matches/1/publication", &form)
        .await
        .taken();
}

/// The match of [`a_match`], posted: Dot and Jem weighed in on pegs 1 and 2, Olly blanked on 3.
pub async fn a_posted_match(site: &TestSite) -> Actor {
    let organiser = a_match(site).await;
    post(&organiser, SHEET).await;
    organiser
}
