//! Old sessions, and what becomes of one that a match took in.

use peglore::domain::accounts::Role;

use super::*;
use crate::support::record::tell;

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
        .says("Saving makes three sessions");
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

async fn bring_sessions(who: &Actor, rows: &str, seen_by: &str) {
    let import = lay_out_sessions(who, rows).await;
    answer(who, &import, &SHEET, &[("visibility", seen_by)]).await;
    who.submit(&import, &[]).await.taken();
}

const UNANSWERED: [(&str, &str); 1] = [("visibility", "club")];
const SAME: [(&str, &str); 2] = [("visibility", "club"), ("same_day", "same-outing")];
const ANOTHER: [(&str, &str); 2] = [("visibility", "club"), ("same_day", "another-outing")];
/// What is asked where one row may be of an outing on record.
const ASKED: &str = "Line 2: Jem Coppleway has a session on record there that day. Is the row the same outing, or another?";

/// How many outings are on record of the fifth of January 2019.
async fn outings(site: &TestSite) -> usize {
    let day = Day::parse("2019-01-05").expect("a real day");
    let mut reading = site.site.db.read().await.expect("a reader");
    let outings = imports::known::outings_between(&mut reading, day, day).await;
    outings.expect("a list").len()
}

#[tokio::test]
async fn another_peg_or_other_hours_in_another_sheet_may_put_right_what_is_on_record() {
    let (site, organiser) = with_water().await;
    let more = "2019-01-05,Quillet Water,8,Jem Coppleway,2,,4\n\
                2019-01-05,Quillet Water,7,Jem Coppleway,5,,2\n\
                2019-01-05,Quillet Water,7,Jem Coppleway,11,8-4,4\n";
    let import = lay_out_sessions(&organiser, more).await;
    answer(&organiser, &import, &SHEET, &UNANSWERED).await;
    bring_sessions(
        &organiser,
        "2019-01-05,Quillet Water,7,Jem Coppleway,12,8-4,4\n",
        "club",
    )
    .await;
    organiser
        .get(&import)
        .await
        .shown()
        .says("Nothing can be saved before what is asked below is answered.")
        .says("Jem Coppleway has a session on record there that day (peg 7, 4 hours). This row says another peg. Say for the whole file")
        .says("This row says other hours. Say for the whole file")
        .says("this row says the same peg and hours, so it is left out.");
    organiser.submit(&import, &[]).await.asks("or another?");
    send(&organiser, &import, &SHEET, &UNANSWERED)
        .await
        .asks("Line 2: Jem Coppleway has a session on record there that day, and so it is with one more row. Are such rows the same outing, or another?")
        .says("href=\"#same_day\"");

    answer(&organiser, &import, &SHEET, &SAME).await;
    organiser
        .get(&import)
        .await
        .shown()
        .says("Nothing in this file is new")
        .says("Three rows in the file; three are on record already.")
        .says("This row says another peg. It is left out as the same outing, as you answered.");
    answer(&organiser, &import, &SHEET, &ANOTHER).await;
    organiser
        .get(&import)
        .await
        .shown()
        .says("Saving makes two sessions")
        .says("Three rows in the file; one is on record already.")
        .says("This row says other hours. It is taken as another outing, as you answered.");
    organiser.submit(&import, &[]).await.taken();
    assert_eq!(outings(&site).await, 3);

    let again = lay_out_sessions(&organiser, more).await;
    answer(&organiser, &again, &SHEET, &UNANSWERED).await;
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
        "club",
    )
    .await;
    let unclear = "2019-01-05,Quillet Water,,Jem Coppleway,3,,\n\
                   2019-01-05,Quillet Water,7,Jem Coppleway,2,,\n";
    let import = lay_out_sessions(&organiser, unclear).await;
    let columns = format!("{import}/columns");
    organiser
        .get(&columns)
        .await
        .shown()
        .says("If an angler already has a session there that day")
        .says("ask me if it comes up");
    send(&organiser, &import, &SHEET, &UNANSWERED)
        .await
        .asks("Are such rows the same outing, or another?");

    answer(&organiser, &import, &SHEET, &SAME).await;
    organiser
        .get(&import)
        .await
        .shown()
        .says("Nothing in this file is new")
        .says("Neither peg nor hours tell this row from it. It is left out as the same outing, as you answered.");
    answer(&organiser, &import, &SHEET, &ANOTHER).await;
    organiser
        .get(&columns)
        .await
        .shown()
        .says("value=\"another-outing\" selected");
    organiser.submit(&import, &[]).await.taken();
    assert_eq!(outings(&site).await, 3);

    let again = lay_out_sessions(&organiser, unclear).await;
    answer(&organiser, &again, &SHEET, &ANOTHER).await;
    organiser
        .submit(&again, &[])
        .await
        .asks("Nothing in this file is new");
}

#[tokio::test]
async fn only_another_peg_tells_a_session_from_a_match_of_that_day() {
    let (site, organiser) = with_water().await;
    let results = lay_out_and_answer(&organiser, RESULTS).await;
    organiser.submit(&results, &[]).await.taken();
    let before = outings(&site).await;

    let rows = "2019-01-05,Quillet Water,14,Jem Coppleway,3,,9\n\
                2019-01-05,Quillet Water,30,Dot Hazelpatch,3,,\n";
    let import = lay_out_sessions(&organiser, rows).await;
    send(&organiser, &import, &SHEET, &UNANSWERED)
        .await
        .asks("Line 3: Dot Hazelpatch has a session on record there that day.");
    answer(&organiser, &import, &SHEET, &ANOTHER).await;
    organiser
        .get(&import)
        .await
        .shown()
        .says("Saving makes one session,")
        .says("Jem Coppleway fished Frost Cup 1 there that day (peg 14), and this row says no other peg, so it is left out.");
    tell(&site, "UPDATE sessions SET visibility = 'private'").await;
    organiser
        .get(&import)
        .await
        .shown()
        .does_not_say("(peg 14)")
        .says("Jem Coppleway fished Frost Cup 1 there that day, and this row says no other peg");
    organiser.submit(&import, &[]).await.taken();
    assert_eq!(outings(&site).await, before + 1);
}

/// What the page before saving tells of line 2.
async fn told_of_line_2(who: &Actor, import: &str) -> String {
    let page = who.get(import).await.shown().body;
    let told: Vec<&str> = page
        .split("<b>Line 2.</b> ")
        .skip(1)
        .filter_map(|rest| rest.split("</li>").next())
        .collect();
    told.join("\n")
}

#[tokio::test]
async fn a_row_tells_nothing_of_the_peg_and_hours_of_a_report_that_is_not_open_to_the_club() {
    let (_site, organiser) = with_water().await;
    bring_sessions(
        &organiser,
        "2019-01-05,Quillet Water,7,Jem Coppleway,12,8-4,4\n",
        "private",
    )
    .await;

    let mut told = Vec::new();
    for (peg, hours) in [("7", "4"), ("7", "9"), ("8", "4"), ("8", ""), ("", "")] {
        let row = format!("2019-01-05,Quillet Water,{peg},Jem Coppleway,3,,{hours}\n");
        let import = lay_out_sessions(&organiser, &row).await;
        send(&organiser, &import, &SHEET, &UNANSWERED)
            .await
            .asks(ASKED);
        answer(&organiser, &import, &SHEET, &SAME).await;
        told.push(told_of_line_2(&organiser, &import).await);
    }

    assert!(told[0].starts_with("Jem Coppleway has a session on record there that day. Its peg and hours are not open to the club, so this row is not compared with them. It is left out"), "{told:?}");
    assert!(told.iter().all(|one| *one == told[0]), "{told:?}");
}

#[tokio::test]
async fn a_row_is_compared_with_the_posted_peg_of_a_match_whose_report_is_not_open_to_the_club() {
    let (site, organiser) = with_water().await;
    bring_in(&organiser, RESULTS).await;
    tell(
        &site,
        "UPDATE sessions SET visibility = 'private';
         UPDATE spells SET peg_id = (SELECT id FROM pegs WHERE number = '20')",
    )
    .await;

    for (peg, says) in [
        ("14", "and this row says no other peg, so it is left out."),
        (
            "20",
            "This row says another peg. It is left out as the same",
        ),
        (
            "21",
            "This row says another peg. It is left out as the same",
        ),
    ] {
        let row = format!("2019-01-05,Quillet Water,{peg},Jem Coppleway,3,,\n");
        let import = lay_out_sessions(&organiser, &row).await;
        answer(&organiser, &import, &SHEET, &SAME).await;
        let told = told_of_line_2(&organiser, &import).await;
        assert!(told.contains(says), "{peg}: {told}");
        assert!(!told.contains("(peg"), "{peg}: {told}");
    }
}

#[tokio::test]
async fn a_peg_that_the_water_does_not_have_tells_a_row_from_nothing_and_is_asked_about() {
    for of_match in [false, true] {
        let (site, organiser) = with_water().await;
        match of_match {
            true => {
                bring_in(&organiser, RESULTS).await;
            }
            false => {
                let row = "2019-01-05,Quillet Water,7,Jem Coppleway,12,8-4,4\n";
                bring_sessions(&organiser, row, "club").await;
            }
        }
        let before = outings(&site).await;
        let row = "2019-01-05,Quillet Water,99,Jem Coppleway,3,,2\n";
        let import = lay_out_sessions(&organiser, row).await;
        send(&organiser, &import, &SHEET, &UNANSWERED)
            .await
            .asks(ASKED);

        answer(&organiser, &import, &SHEET, &SAME).await;
        organiser
            .get(&import)
            .await
            .shown()
            .says("Neither peg nor hours tell this row from it. It is left out as the same outing")
            .says("Quillet Water has no peg “99” on that day, so the peg tells this row from nothing.")
            .does_not_say("says no other peg");
        answer(&organiser, &import, &SHEET, &ANOTHER).await;
        organiser
            .get(&import)
            .await
            .shown()
            .says("Saving makes one session,")
            .says("Quillet Water has no peg “99” on that day. The row is taken without a peg");
        organiser.submit(&import, &[]).await.taken();
        assert_eq!(outings(&site).await, before + 1);
    }
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
    let results = lay_out_and_answer(&organiser, RESULTS).await;
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
    let results = lay_out_and_answer(&organiser, text).await;
    organiser.submit(&results, &[]).await.taken();
    let undo = format!("{results}/undo");
    organiser.submit(&undo, &[("sure", "on")]).await.taken();
    let jem = site.somebody("Jem", Role::Member).await;
    tell(
        &site,
        "UPDATE anglers SET account_id = (SELECT id FROM accounts WHERE name = 'Jem')
         WHERE label_id = (SELECT id FROM labels WHERE given = 'Jem')",
    )
    .await;

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
