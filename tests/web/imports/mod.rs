//! Old sheets over the pages: laid out, asked about, saved once, undone as a whole.

use axum::http::StatusCode;
use peglore::{
    domain::dates::Day,
    store::{imports, matches},
};

use crate::support::{Actor, Answer, TestSite};

mod another_match;
mod bare_names;
mod dates;
mod earlier;
mod hostile;
mod juniors;
mod left_out;
mod mended;
mod names;
mod ounces;
mod same_day;
mod sessions;
mod times;
mod told;
mod unusual;
mod words;

pub const RESULTS: &str = "Date,Match,Venue,Peg,Angler,Section,Weight,Place\n\
2019-01-05,Frost Cup 1,Quillet Water,14,Jem Coppleway,A,12-8,1\n\
2019-01-05,Frost Cup 1,Quillet Water,15,\"Hazelpatch, Dot\",A,4-2,2\n\
2019-01-05,Frost Cup 1,Quillet Water,16,Tam Oxbarrow,B,DNW,\n\
2019-01-05,Frost Cup 1,Quillet Water,99,Ned Furrowby,B,0,\n\
2019-01-12,Frost Cup 2,Quillet Water,1,Jem Coppleway,A,7-0,1\n\
2019-01-12,Frost Cup 2,Quillet Water,2,Ivy Sallowfield,A,absent,\n";

/// A site with one water of forty pegs.
pub async fn with_water() -> (TestSite, Actor) {
    let site = TestSite::new().await;
    let organiser = site.organiser().await;
    organiser
        .submit(
            "/venues/new",
            &[
                ("name", "Quillet Water"),
                ("kind", "stillwater"),
                ("scale", "dr"),
                ("zone", "Europe/London"),
                ("bank0_name", "North bank"),
                ("bank0_pegs", "1–40"),
            ],
        )
        .await
        .taken();
    (site, organiser)
}

pub async fn lay_out(who: &Actor, kind: &str, text: &str) -> String {
    let file = ("file", "old.csv", text.as_bytes());
    let columns = who
        .upload("/imports/new", &[("kind", kind)], file)
        .await
        .taken();
    columns.trim_end_matches("/columns").to_owned()
}

const COLUMNS: [&str; 8] = [
    "date", "match", "venue", "peg", "angler", "section", "weight", "place",
];

/// Sends the columns as headed, and what a sheet of results leaves out.
async fn send(who: &Actor, import: &str, columns: &[&str], more: &[(&str, &str)]) -> Answer {
    let names: Vec<String> = (0..columns.len())
        .map(|at| format!("column-{at}"))
        .collect();
    let mut fields: Vec<(&str, &str)> = names
        .iter()
        .map(String::as_str)
        .zip(columns.iter().copied())
        .collect();
    fields.extend([
        ("hours", "5"),
        ("group-carp", "on"),
        ("group-silvers", "on"),
    ]);
    fields.extend(more);
    who.submit(&format!("{import}/columns"), &fields).await
}

/// The same, once it answers everything: where it leads to.
async fn answer(who: &Actor, import: &str, columns: &[&str], more: &[(&str, &str)]) -> String {
    send(who, import, columns, more).await.taken()
}

pub async fn bring_in(who: &Actor, text: &str) -> String {
    let import = lay_out(who, "results", text).await;
    let next = answer(
        who,
        &import,
        &COLUMNS,
        &[("pegs_allotted", "bag"), ("start", "10:00")],
    )
    .await;
    assert_eq!(next, import, "nothing is in doubt");
    let done = who.submit(&import, &[]).await.taken();
    assert_eq!(done, format!("{import}?done=imported"));
    import
}

/// A sheet of results with the usual columns, laid out and answered.
async fn lay_out_and_answer(who: &Actor, text: &str) -> String {
    let import = lay_out(who, "results", text).await;
    answer(who, &import, &COLUMNS, &[("pegs_allotted", "bag")]).await;
    import
}

/// Brings a file in without what cannot be taken.
async fn leave_out(who: &Actor, import: &str) {
    who.submit(import, &[("leave_out", "on")]).await.taken();
}

async fn results(site: &TestSite) -> Vec<matches::listing::MatchLine> {
    use matches::listing::{SortBy, results};
    let mut reading = site.site.db.read().await.expect("a reader");
    results(&mut reading, SortBy::Date, false, 100, 0)
        .await
        .expect("a list")
}

#[tokio::test]
async fn an_organiser_brings_old_results_in_and_they_are_published() {
    let (site, organiser) = with_water().await;
    let import = lay_out(&organiser, "results", RESULTS).await;
    let shown = organiser.get(&format!("{import}/columns")).await.shown();
    shown
        .says("Six rows. The headings were read")
        .says("Jem Coppleway")
        .says("value=\"angler\" selected");
    organiser
        .submit(&format!("{import}/columns"), &[("column-0", "date")])
        .await
        .asks("No column is said to hold the angler")
        .says("value=\"date\" selected");
    answer(
        &organiser,
        &import,
        &COLUMNS,
        &[("pegs_allotted", "bag"), ("start", "10:00")],
    )
    .await;
    let preview = organiser.get(&import).await.shown();
    preview
        .says("Saving makes two matches, six entries, five anglers new")
        .says("<li>Six rows in the file.</li>")
        .says("Quillet Water has no peg “99”")
        .says("Nothing is in the record yet");
    assert!(results(&site).await.is_empty());

    organiser.submit(&import, &[]).await.taken();

    let made = results(&site).await;
    let names: Vec<_> = made.iter().map(|m| (m.name.as_str(), m.entered)).collect();
    assert_eq!(names, [("Frost Cup 1", 4), ("Frost Cup 2", 2)]);
    site.visitor()
        .get(&format!("/matches/{}/result", made[0].id))
        .await
        .shown()
        .says("J. Coppleway")
        .says("12")
        .says("did not weigh");
    organiser
        .get("/imports")
        .await
        .shown()
        .says("2 matches, 6 entries, 5 sessions")
        .says("1 to 1 of 1 file<")
        .says("Undo this file");
    organiser
        .get(&import)
        .await
        .shown()
        .says("in the record")
        .says("If you undo it")
        .says(&format!(
            "href=\"/matches/{}/result\">Frost Cup 1</a>",
            made[0].id
        ))
        .says("Sat 12 Jan 2019");
}

#[tokio::test]
async fn a_second_run_of_the_same_or_an_overlapping_file_makes_nothing_twice() {
    let (site, organiser) = with_water().await;
    bring_in(&organiser, RESULTS).await;

    let again = lay_out(&organiser, "results", RESULTS).await;
    organiser
        .get(&format!("{again}/columns"))
        .await
        .shown()
        .says("The very same file is in the record.")
        .says("Look at what it brought.");
    answer(
        &organiser,
        &again,
        &COLUMNS,
        &[("pegs_allotted", "bag"), ("start", "10:00")],
    )
    .await;
    organiser
        .get(&again)
        .await
        .shown()
        .says("Nothing in this file is new")
        .says("The very same file");
    organiser
        .submit(&again, &[])
        .await
        .asks("Nothing in this file is new");

    let later = format!("{RESULTS}2019-01-19,Frost Cup 3,quillet water,3,jem coppleway,A,9-0,1\n");
    bring_in(&organiser, &later).await;
    let made = results(&site).await;
    let names: Vec<_> = made.iter().map(|m| (m.name.as_str(), m.entered)).collect();
    assert_eq!(
        names,
        [("Frost Cup 1", 4), ("Frost Cup 2", 2), ("Frost Cup 3", 1)]
    );
    let anglers =
        peglore::store::anglers::all(&mut site.site.db.read().await.expect("a reader")).await;
    assert_eq!(anglers.expect("a list").len(), 5);
}

#[tokio::test]
async fn one_undo_hides_the_whole_file_everywhere_and_it_can_come_in_again() {
    let (site, organiser) = with_water().await;
    let import = bring_in(&organiser, RESULTS).await;
    let made = results(&site).await;
    let page = format!("/matches/{}/result", made[0].id);
    organiser.get(&page).await.shown();
    organiser
        .get("/sessions.csv")
        .await
        .shown()
        .says("Frost Cup");

    organiser
        .submit(&format!("{import}/undo"), &[])
        .await
        .asks("Tick that the whole file is undone, then undo it.");
    let undone = organiser
        .submit(&format!("{import}/undo"), &[("sure", "on")])
        .await
        .taken();
    assert_eq!(undone, format!("{import}?done=undone"));

    assert_eq!(organiser.get(&page).await.status, StatusCode::NOT_FOUND);
    let sessions = organiser.get("/sessions.csv").await.shown();
    assert_eq!(sessions.body.lines().count(), 1, "only the heading");
    organiser
        .get("/matches")
        .await
        .shown()
        .does_not_say("Frost Cup");
    organiser
        .get("/anglers")
        .await
        .shown()
        .does_not_say("Coppleway");
    assert!(results(&site).await.is_empty());
    let mut reading = site.site.db.read().await.expect("a reader");
    assert_eq!(
        imports::known::entry_rows(&mut reading)
            .await
            .expect("rows")
            .len(),
        0
    );
    let day = |text| Day::parse(text).expect("a real day");
    let outings =
        imports::known::outings_between(&mut reading, day("2019-01-01"), day("2019-12-31")).await;
    assert!(outings.expect("a list").is_empty());
    drop(reading);
    organiser
        .submit(&format!("{import}/undo"), &[("sure", "on")])
        .await
        .asks("undone already");

    bring_in(&organiser, RESULTS).await;
    assert_eq!(results(&site).await.len(), 2);
    organiser.get("/anglers").await.shown().says("Coppleway");
}

#[tokio::test]
async fn a_mended_row_of_a_match_on_record_is_counted_apart_and_comes_in_after_an_undo() {
    let (_site, organiser) = with_water().await;
    let more = [("pegs_allotted", "bag"), ("start", "10:00")];
    let broken = RESULTS.replace("4-2,2", "4-2-x,2");
    let import = lay_out(&organiser, "results", &broken).await;
    answer(&organiser, &import, &COLUMNS, &more).await;
    organiser
        .get(&import)
        .await
        .shown()
        .says("undo this file before you bring in a mended one")
        .says("Six rows in the file; one cannot be taken.")
        .says("Leave out what cannot be taken (one row)");
    leave_out(&organiser, &import).await;

    let mended = lay_out(&organiser, "results", RESULTS).await;
    answer(&organiser, &mended, &COLUMNS, &more).await;
    organiser
        .get(&mended)
        .await
        .shown()
        .says("; five are on record already; one is not taken: the match is on record.");

    organiser
        .submit(&format!("{import}/undo"), &[("sure", "on")])
        .await
        .taken();
    organiser
        .get(&mended)
        .await
        .shown()
        .says("two matches, six entries");
}

#[tokio::test]
async fn a_thousand_rows_are_comfortable() {
    let (site, organiser) = with_water().await;
    let mut text = String::from("Date,Match,Venue,Peg,Angler,Section,Weight,Place\n");
    for round in 0..50 {
        for peg in 1..=20 {
            let day = Day::parse("2018-01-06")
                .expect("a real day")
                .plus(7 * round);
            text.push_str(&format!(
                "{day},Round {round},Quillet Water,{peg},Angler{} Reedmace{},A,{}-{},\n",
                (b'a' + peg as u8) as char,
                (b'a' + peg as u8) as char,
                1 + (peg * 7 + round) % 30,
                peg % 16
            ));
        }
    }
    let began = std::time::Instant::now();
    let import = lay_out(&organiser, "results", &text).await;
    let next = answer(&organiser, &import, &COLUMNS, &[("pegs_allotted", "bag")]).await;
    if next.ends_with("/names") {
        let names = organiser.get(&next).await.shown();
        let fields: Vec<String> = names
            .body
            .split("<select id=\"person-")
            .skip(1)
            .filter_map(|rest| Some(format!("person-{}", rest.split('"').next()?)))
            .collect();
        let fields: Vec<(&str, &str)> = fields.iter().map(|name| (name.as_str(), "new")).collect();
        organiser.submit(&next, &fields).await.taken();
    }
    organiser.submit(&import, &[]).await.taken();
    let made = results(&site).await;
    assert_eq!(
        (made.len(), made.iter().map(|m| m.entered).sum::<i64>()),
        (50, 1_000)
    );
    assert!(began.elapsed().as_secs() < 60, "{:?}", began.elapsed());
}
