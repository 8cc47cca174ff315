//! Old sessions, and what becomes of one that a match took in.

use peglore::domain::accounts::Role;

use super::*;

#[tokio::test]
async fn old_sessions_come_in_once_with_their_numbers_and_hours() {
    let (site, organiser) = with_water().await;
    let text = "Day,Water,Swim,Name,Fish,Weight,Hours\n5/1/2019,Quillet Water,7,Jem Coppleway,12,8-4,4\n13/1/2019,Quillet Water,8,Dot Hazelpatch,,blank,\n14/1/2019,Quillet Water,9,Tam Oxbarrow,3,,\n";
    let columns = ["date", "venue", "peg", "angler", "count", "weight", "hours"];
    let bring = async || {
        let import = lay_out(&organiser, "sessions", text).await;
        answer(&organiser, &import, &columns, &[("visibility", "club")]).await;
        import
    };
    let import = bring().await;
    organiser
        .get(&import)
        .await
        .shown()
        .says("Saving makes 3 sessions");
    organiser.submit(&import, &[]).await.taken();
    let day = |text| Day::parse(text).expect("a real day");
    let outings = imports::known::outings_between(
        &mut site.site.db.read().await.expect("a reader"),
        day("2019-01-01"),
        day("2019-12-31"),
    )
    .await;
    assert_eq!(outings.expect("a list").len(), 3);

    let again = bring().await;
    organiser
        .submit(&again, &[])
        .await
        .asks("Nothing in this file is new");
}

const SHEET: [&str; 7] = ["date", "venue", "peg", "angler", "count", "weight", "hours"];
const HEADING: &str = "Day,Water,Swim,Name,Fish,Weight,Hours\n";

async fn lay_out_sessions(who: &Actor, rows: &str) -> String {
    lay_out(who, "sessions", &format!("{HEADING}{rows}")).await
}

async fn bring_sessions(who: &Actor, rows: &str) {
    let import = lay_out_sessions(who, rows).await;
    answer(who, &import, &SHEET, &[("visibility", "club")]).await;
    who.submit(&import, &[]).await.taken();
}

/// How many outings are on record of the fifth of January 2019.
async fn outings(site: &TestSite) -> usize {
    let day = Day::parse("2019-01-05").expect("a real day");
    let mut reading = site.site.db.read().await.expect("a reader");
    let outings = imports::known::outings_between(&mut reading, day, day).await;
    outings.expect("a list").len()
}

#[tokio::test]
async fn another_peg_or_other_hours_in_another_sheet_are_another_outing() {
    let (site, organiser) = with_water().await;
    bring_sessions(
        &organiser,
        "2019-01-05,Quillet Water,7,Jem Coppleway,12,8-4,4\n",
    )
    .await;
    let more = "2019-01-05,Quillet Water,8,Jem Coppleway,2,,4\n\
                2019-01-05,Quillet Water,7,Jem Coppleway,5,,2\n\
                2019-01-05,Quillet Water,7,Jem Coppleway,11,8-4,4\n";
    let import = lay_out_sessions(&organiser, more).await;
    answer(&organiser, &import, &SHEET, &[("visibility", "club")]).await;
    organiser
        .get(&import)
        .await
        .shown()
        .says("Saving makes 2 sessions")
        .says("1 are on record already")
        .says("Jem Coppleway has a session on record there that day (peg 7, 4 hours). This row says another peg, so it is taken as another outing.")
        .says("This row says other hours, so it is taken as another outing.")
        .says("this row says the same peg and hours, so it is left out.");
    organiser.submit(&import, &[]).await.taken();
    assert_eq!(outings(&site).await, 3);

    let again = lay_out_sessions(&organiser, more).await;
    answer(&organiser, &again, &SHEET, &[("visibility", "club")]).await;
    organiser
        .submit(&again, &[])
        .await
        .asks("Nothing in this file is new");
    assert_eq!(outings(&site).await, 3);
}

#[tokio::test]
async fn a_row_that_nothing_tells_from_a_session_on_record_is_asked_about_once() {
    let (site, organiser) = with_water().await;
    bring_sessions(
        &organiser,
        "2019-01-05,Quillet Water,7,Jem Coppleway,12,8-4,4\n",
    )
    .await;
    let unclear = "2019-01-05,Quillet Water,,Jem Coppleway,3,,\n\
                   2019-01-05,Quillet Water,7,Jem Coppleway,2,,\n";
    let import = lay_out_sessions(&organiser, unclear).await;
    let columns = format!("{import}/columns");
    let names: Vec<String> = (0..SHEET.len()).map(|at| format!("column-{at}")).collect();
    let mut fields: Vec<(&str, &str)> = names.iter().map(String::as_str).zip(SHEET).collect();
    fields.extend([("hours", "5"), ("group-carp", "on"), ("visibility", "club")]);
    organiser
        .submit(&columns, &fields)
        .await
        .asks("Line 2: Jem Coppleway has a session on record there that day, and neither peg nor hours tell the row from it. Are such rows the same outing, or another?")
        .says("href=\"#same_day\"");

    let same = [("visibility", "club"), ("same_day", "same-outing")];
    answer(&organiser, &import, &SHEET, &same).await;
    organiser
        .get(&import)
        .await
        .shown()
        .says("Nothing in this file is new")
        .says("It is left out as the same outing, as you answered.");
    let another = [("visibility", "club"), ("same_day", "another-outing")];
    answer(&organiser, &import, &SHEET, &another).await;
    organiser
        .get(&columns)
        .await
        .shown()
        .says("value=\"another-outing\" selected");
    organiser.submit(&import, &[]).await.taken();
    assert_eq!(outings(&site).await, 3);

    let again = lay_out_sessions(&organiser, unclear).await;
    answer(&organiser, &again, &SHEET, &another).await;
    organiser
        .submit(&again, &[])
        .await
        .asks("Nothing in this file is new");
}

#[tokio::test]
async fn only_another_peg_tells_a_session_from_a_match_of_that_day() {
    let (site, organiser) = with_water().await;
    let results = lay_out(&organiser, "results", RESULTS).await;
    answer(&organiser, &results, &COLUMNS, &[("pegs_allotted", "bag")]).await;
    organiser.submit(&results, &[]).await.taken();
    let before = outings(&site).await;

    let rows = "2019-01-05,Quillet Water,14,Jem Coppleway,3,,9\n\
                2019-01-05,Quillet Water,30,Dot Hazelpatch,3,,\n";
    let import = lay_out_sessions(&organiser, rows).await;
    answer(&organiser, &import, &SHEET, &[("visibility", "club")]).await;
    organiser
        .get(&import)
        .await
        .shown()
        .says("Saving makes 1 session,")
        .says("Jem Coppleway fished Frost Cup 1 there that day (peg 14), and this row says no other peg, so it is left out.");
    let closed = "UPDATE sessions SET visibility = 'private'";
    let mut writing = site.site.db.write().await.expect("the writer is free");
    sqlx::query(closed)
        .execute(&mut *writing)
        .await
        .expect("fits the schema");
    writing.commit().await.expect("kept");
    organiser
        .get(&import)
        .await
        .shown()
        .does_not_say("(peg 14)")
        .says("Jem Coppleway fished Frost Cup 1 there that day, and this row says no other peg");
    organiser.submit(&import, &[]).await.taken();
    assert_eq!(outings(&site).await, before + 1);
}

#[tokio::test]
async fn a_report_that_joined_an_imported_match_stands_by_itself_after_the_undo() {
    let (site, organiser) = with_water().await;
    let text =
        "Date,Venue,Peg,Name,Fish,Weight\n2019-01-05,Quillet Water,14,Jem Coppleway,12,8-4\n";
    let sessions = lay_out(&organiser, "sessions", text).await;
    let columns = ["date", "venue", "peg", "angler", "count", "weight"];
    answer(&organiser, &sessions, &columns, &[("visibility", "club")]).await;
    organiser.submit(&sessions, &[]).await.taken();
    let results = lay_out(&organiser, "results", RESULTS).await;
    answer(&organiser, &results, &COLUMNS, &[("pegs_allotted", "bag")]).await;
    organiser.submit(&results, &[]).await.taken();
    let in_matches = async || {
        let day = Day::parse("2019-01-05").expect("a real day");
        let mut reading = site.site.db.read().await.expect("a reader");
        let outings = imports::known::outings_between(&mut reading, day, day).await;
        let outings = outings.expect("a list");
        (
            outings.len(),
            outings.iter().filter(|o| o.in_match()).count(),
        )
    };
    assert_eq!(
        in_matches().await,
        (4, 4),
        "one session an angler, all of the match"
    );

    organiser
        .submit(&format!("{results}/undo"), &[("sure", "on")])
        .await
        .taken();
    assert_eq!(in_matches().await, (1, 0), "the report alone");

    organiser
        .submit(&format!("{sessions}/undo"), &[("sure", "on")])
        .await
        .taken();
    assert_eq!(in_matches().await, (0, 0));
}

#[tokio::test]
async fn a_report_never_joins_a_match_that_was_taken_out_again() {
    let (site, organiser) = with_water().await;
    let text = "Date,Match,Venue,Peg,Angler,Section,Weight,Place\n\
                2026-11-13,Frost Cup 1,Quillet Water,14,Jem Coppleway,A,12-8,1\n";
    let results = lay_out(&organiser, "results", text).await;
    answer(&organiser, &results, &COLUMNS, &[("pegs_allotted", "bag")]).await;
    organiser.submit(&results, &[]).await.taken();
    let undo = format!("{results}/undo");
    organiser.submit(&undo, &[("sure", "on")]).await.taken();
    let jem = site.somebody("Jem", Role::Member).await;
    let mut writing = site.site.db.write().await.expect("the writer is free");
    sqlx::query(
        "UPDATE anglers SET account_id = (SELECT id FROM accounts WHERE name = 'Jem')
         WHERE label_id = (SELECT id FROM labels WHERE given = 'Jem')",
    )
    .execute(&mut *writing)
    .await
    .expect("fits the schema");
    writing.commit().await.expect("kept");

    let form = [
        ("venue", "1"),
        ("key", "a-form-of-its-own-0001"),
        ("peg", "14"),
        ("date", "2026-11-13"),
        ("start", "10:00"),
        ("end", "15:00"),
        ("spells", "1"),
        ("carp_number", "4"),
        ("visibility", "club"),
    ];
    let kept = jem.submit("/report", &form).await.taken();

    jem.get(&kept)
        .await
        .shown()
        .says("13 Nov")
        .does_not_say("Frost Cup");
    jem.get("/sessions").await.shown().says("13 Nov");
    let quick = jem.get("/report/quick").await.shown();
    quick.says("Quillet Water");
}
