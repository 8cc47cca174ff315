//! What an old sheet tells of an entry beyond its weights: an angler's own report stands before
//! it, and takes none of it away.

use peglore::domain::accounts::Role;

use super::*;
use crate::support::{
    record::{asked, tell},
    reports::a_report,
};

const TOLD: &str = "Date,Match,Venue,Peg,Angler,Weight,Fish,Remarks\n\
                    2026-11-13,Frost Cup 1,Quillet Water,14,Jem Coppleway,12-8,9,All of them late on.\n";
/// The session of the entry: as its sheet tells it, with the catch that is kept of it.
const AS_THE_SHEET: &str = "SELECT COUNT(*) FROM sessions AS s JOIN session_catches AS c ON c.session_id = s.id AND c.fish_count = 9
     WHERE s.entry_id IS NOT NULL AND s.has_report = 0 AND s.remarks = 'All of them late on.' AND s.import_id = 1
       AND (SELECT SUM(count) FROM fish AS f WHERE f.session_id = s.id) = 9";
const AS_REPORTED: &str = "SELECT COUNT(*) FROM sessions AS s WHERE s.entry_id IS NOT NULL AND s.has_report = 1 AND s.remarks = 'Quiet.'
       AND (SELECT SUM(count) FROM fish AS f WHERE f.session_id = s.id) = 4";

async fn bring(organiser: &Actor) -> String {
    let import = lay_out(organiser, "results", TOLD).await;
    let columns = [
        "date", "match", "venue", "peg", "angler", "weight", "count", "remarks",
    ];
    let more = [("pegs_allotted", "bag"), ("start", "10:00")];
    let next = answer(organiser, &import, &columns, &more).await;
    assert_eq!(next, import, "nothing is in doubt");
    organiser.submit(&import, &[]).await.taken();
    import
}

/// Jem reports four carp of the match's hours.
async fn report(jem: &Actor) {
    let form = a_report(&[
        ("peg", "14"),
        ("spells", "1"),
        ("carp_number", "4"),
        ("remarks", "Quiet."),
    ]);
    jem.submit("/report", &form).await.taken();
}

async fn take_back(site: &TestSite, jem: &Actor) -> String {
    let of_entry = "SELECT pid FROM sessions WHERE entry_id IS NOT NULL";
    let address = format!("/sessions/{}", asked::<String>(site, of_entry).await);
    let ver = "SELECT ver FROM sessions WHERE entry_id IS NOT NULL";
    let ver = asked::<i64>(site, ver).await.to_string();
    jem.submit(
        &format!("{address}/removal"),
        &[("ver", &ver), ("sure", "on")],
    )
    .await
    .taken();
    address
}

const JEM_SIGNS_IN: &str =
    "UPDATE anglers SET account_id = (SELECT id FROM accounts WHERE name = 'Jem')";

#[tokio::test]
async fn a_sheets_numbers_and_remarks_outlast_a_report_written_after_it() {
    let (site, organiser) = with_water().await;
    bring(&organiser).await;
    assert_eq!(asked::<i64>(&site, AS_THE_SHEET).await, 1);
    let jem = site.somebody("Jem", Role::Member).await;
    tell(&site, JEM_SIGNS_IN).await;

    report(&jem).await;
    assert_eq!(asked::<i64>(&site, AS_REPORTED).await, 1);

    let address = take_back(&site, &jem).await;
    assert_eq!(asked::<i64>(&site, AS_THE_SHEET).await, 1);
    jem.get(&address)
        .await
        .shown()
        .says("All of them late on.")
        .says("9 fish");
}

#[tokio::test]
async fn a_sheets_numbers_and_remarks_outlast_a_report_written_before_it() {
    let (site, organiser) = with_water().await;
    let jem = site.somebody("Jem", Role::Member).await;
    report(&jem).await;

    bring(&organiser).await;
    assert_eq!(asked::<i64>(&site, AS_REPORTED).await, 1);

    take_back(&site, &jem).await;
    assert_eq!(asked::<i64>(&site, AS_THE_SHEET).await, 1);
}

#[tokio::test]
async fn a_report_let_go_leaves_the_sheets_words_and_is_not_undone_with_the_file() {
    let (site, organiser) = with_water().await;
    let import = bring(&organiser).await;
    let jem = site.somebody("Jem", Role::Member).await;
    tell(&site, JEM_SIGNS_IN).await;
    report(&jem).await;

    tell(
        &site,
        "UPDATE matches SET on_date = '2026-11-12', start_utc = start_utc - 86400, finish_utc = finish_utc - 86400",
    )
    .await;
    let version = asked::<i64>(&site, "SELECT ver FROM matches").await;
    let version = version.to_string();
    let reason = [("version", &*version), ("reason", "it was on the Thursday")];
    organiser
        .submit("/matches/1/publication", &reason)
        .await
        .taken();
    assert_eq!(asked::<i64>(&site, AS_THE_SHEET).await, 1);

    let undo = format!("{import}/undo");
    organiser.submit(&undo, &[("sure", "on")]).await.taken();
    jem.get("/sessions").await.shown().says("13 Nov");
}

#[tokio::test]
async fn the_length_given_for_a_whole_file_is_that_of_its_matches() {
    let (_site, organiser) = with_water().await;
    let text = "Date,Match,Venue,Peg,Angler,Weight\n\
                2026-11-06,Frost Cup 1,Quillet Water,14,Jem Coppleway,12-8\n\
                2026-11-06,Frost Cup 1,Quillet Water,15,Dot Hazelpatch,4-2\n\
                2026-11-13,Frost Cup 2,Quillet Water,14,Jem Coppleway,3-0\n\
                2026-11-13,Frost Cup 2,Quillet Water,15,Dot Hazelpatch,2-1\n";
    let import = lay_out(&organiser, "results", text).await;
    let columns = ["date", "match", "venue", "peg", "angler", "weight"];
    answer(&organiser, &import, &columns, &[("pegs_allotted", "bag")]).await;
    organiser.submit(&import, &[]).await.taken();

    let took = async |hours: &str| {
        let path = format!("/venues/1/what-it-took?groups=3&hours={hours}&field=2");
        organiser.get(&path).await.shown()
    };
    took("5")
        .await
        .says("In the last two matches")
        .does_not_say("nobody wrote down how long they were");
    took("7").await.says("No match here yet");
}
