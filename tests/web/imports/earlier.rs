//! Answers about an earlier file that a later one begins with, and those that it does not.

use peglore::{
    actions::{By, join_anglers::join_anglers},
    store::{anglers, joined::Standing},
};

use super::*;
use crate::support::record::number;

const HEADING: &str = "Date,Match,Venue,Peg,Angler,Section,Weight,Place\n";

#[tokio::test]
async fn a_file_with_the_headings_of_an_earlier_one_begins_with_its_answers() {
    let (_site, organiser) = with_water().await;
    let heading = "Water,Swim,Name,Fish\n";
    let columns = ["venue", "peg", "angler", "count"];
    let lay = async |kind: &str, row: &str| {
        let text = format!("{heading}Quillet Water,{row}\n");
        lay_out(&organiser, kind, &text).await
    };
    let first = lay("sessions", "7,Jem Coppleway,3").await;
    let said = [("visibility", "private"), ("date", "2019-01-05")];
    answer(&organiser, &first, &columns, &said).await;

    let mended = lay("sessions", "8,Jem Coppleway,3").await;
    organiser
        .get(&format!("{mended}/columns"))
        .await
        .shown()
        .says("<b>Begun like <span class=\"bidi\">old.csv</span>.</b>")
        .says("value=\"private\" selected")
        .says("value=\"2019-01-05\"");
    let of_matches = lay("results", "8,Jem Coppleway,3").await;
    organiser
        .get(&format!("{of_matches}/columns"))
        .await
        .shown()
        .does_not_say("Begun like");

    organiser
        .submit(&format!("{mended}/discard"), &[])
        .await
        .taken();
    organiser.submit(&first, &[]).await.taken();
    let next = lay("sessions", "9,Jem Coppleway,3").await;
    organiser
        .get(&format!("{next}/columns"))
        .await
        .shown()
        .says("value=\"private\" selected")
        .does_not_say("value=\"2019-01-05\"");
}

#[tokio::test]
async fn how_a_file_in_the_record_wrote_its_dates_and_weights_is_not_said_of_the_next() {
    let (site, organiser) = with_water().await;
    let lay = async |rows: &str| {
        let text = format!("{HEADING}{rows}");
        lay_out(&organiser, "results", &text).await
    };
    let bag = ("pegs_allotted", "bag");
    let said = [
        bag,
        ("day_order", "day-first"),
        ("bare", "pounds-point-ounces"),
    ];
    let first = lay("06/03/2021,Cup,Quillet Water,1,Jem Coppleway,,2.4,\n").await;
    answer(&organiser, &first, &COLUMNS, &said).await;

    // A file that may be the same one mended begins with all of it.
    let mended = lay("06/03/2021,Cup,Quillet Water,2,Jem Coppleway,,2.4,\n").await;
    organiser
        .get(&format!("{mended}/columns"))
        .await
        .shown()
        .says("value=\"day-first\" selected")
        .says("value=\"pounds-point-ounces\" selected");
    organiser
        .submit(&format!("{mended}/discard"), &[])
        .await
        .taken();
    organiser.submit(&first, &[]).await.taken();

    let other = "04/05/2021,Cup,Quillet Water,1,Jem Coppleway,,2-4,\n\
                 04/13/2021,Cup,Quillet Water,1,Jem Coppleway,,3-0,\n";
    let second = lay(other).await;
    organiser
        .get(&format!("{second}/columns"))
        .await
        .shown()
        .says("Begun like")
        .says("value=\"bag\" selected")
        .says("Not filled in, because it may be otherwise in this file: what comes first in its dates and what weights without a unit are.")
        .does_not_say("value=\"day-first\" selected")
        .does_not_say("value=\"pounds-point-ounces\" selected");
    // As the form stands: the file itself settles that the month comes first.
    answer(&organiser, &second, &COLUMNS, &[bag]).await;
    organiser.submit(&second, &[]).await.taken();
    let days =
        "SELECT COUNT(*) FROM matches WHERE on_date IN ('2021-03-06', '2021-04-05', '2021-04-13')";
    assert_eq!(number(&site, days).await, 3);
}

#[tokio::test]
async fn who_was_new_in_a_file_in_the_record_is_asked_about_in_the_next() {
    let (site, organiser) = with_water().await;
    let bag = ("pegs_allotted", "bag");
    let text = |month: u8| {
        format!(
            "{HEADING}2019-{month:02}-05,Cup,Quillet Water,1,Jem Coppleway,,2-0,\n\
             2019-{month:02}-12,Cup,Quillet Water,1,Jem Coppleway,,2-0,\n\
             2019-{month:02}-19,Cup,Quillet Water,2,J Coppleway,,1-0,\n"
        )
    };
    let first = lay_out(&organiser, "results", &text(1)).await;
    let names = answer(&organiser, &first, &COLUMNS, &[bag]).await;
    assert_eq!(names, format!("{first}/names"));
    let hex: String = "j coppleway".bytes().map(|b| format!("{b:02x}")).collect();
    let person = format!("person-{hex}");
    organiser.submit(&names, &[(&person, "new")]).await.taken();
    organiser.submit(&first, &[]).await.taken();

    let (db, now) = (&site.site.db, site.site.now());
    let list = anglers::all(&mut db.read().await.expect("a reader"))
        .await
        .expect("a list");
    let called = |given: &str| {
        let one = list.iter().find(|one| one.given.as_deref() == Some(given));
        one.expect("on the list").pid.clone()
    };
    let (short, whole) = (called("J"), called("Jem"));
    let moves = Standing {
        results: 1,
        reports: 0,
    };
    join_anglers(db, now, &By::CommandLine, (&short, &whole), moves)
        .await
        .expect("joined");

    let second = lay_out(&organiser, "results", &text(2)).await;
    let next = answer(&organiser, &second, &COLUMNS, &[bag]).await;
    assert_eq!(next, format!("{second}/names"), "asked, and not new again");
}

#[tokio::test]
async fn files_without_a_heading_carry_nothing_to_one_another() {
    let (_site, organiser) = with_water().await;
    let first = "2019-01-05,Quillet Water,7,Jem Coppleway,3\n";
    let first = lay_out(&organiser, "sessions", first).await;
    let columns = ["date", "venue", "peg", "angler", "count"];
    answer(&organiser, &first, &columns, &[("visibility", "private")]).await;

    let other = "Jem Coppleway,3,7,2019-01-06,Quillet Water\n";
    let other = lay_out(&organiser, "sessions", other).await;
    organiser
        .get(&format!("{other}/columns"))
        .await
        .shown()
        .does_not_say("Begun like")
        .does_not_say("value=\"private\" selected");
}

/// Rows of one month: Jem twice by his whole name, and once by his initial.
fn of_month(heading: &str, month: u8) -> String {
    format!(
        "{heading}2019-{month:02}-05,Cup,Quillet Water,1,Jem Coppleway,,2-0,\n\
         2019-{month:02}-12,Cup,Quillet Water,1,Jem Coppleway,,2-0,\n\
         2019-{month:02}-19,Cup,Quillet Water,2,J Coppleway,,1-0,\n"
    )
}

fn field_of(key: &str) -> String {
    let hex: String = key.bytes().map(|b| format!("{b:02x}")).collect();
    format!("person-{hex}")
}

fn same_as(key: &str) -> String {
    field_of(key).replace("person-", "same.")
}

#[tokio::test]
async fn who_is_meant_is_asked_once_for_all_the_years_whatever_their_headings() {
    let (site, organiser) = with_water().await;
    let bag = [("pegs_allotted", "bag")];
    let (person, jem) = (field_of("j coppleway"), same_as("jem coppleway"));
    let first = lay_out(&organiser, "results", &of_month(HEADING, 1)).await;
    let names = answer(&organiser, &first, &COLUMNS, &bag).await;
    assert_eq!(names, format!("{first}/names"));
    organiser.submit(&names, &[(&person, &jem)]).await.taken();
    organiser.submit(&first, &[]).await.taken();

    let others = "When,Event,Lake,Swim,Who,Sec,Wt,Pos\n";
    for (month, heading) in [(2, HEADING), (3, others)] {
        let next = lay_out(&organiser, "results", &of_month(heading, month)).await;
        let asked = answer(&organiser, &next, &COLUMNS, &bag).await;
        assert_eq!(asked, next, "nobody is asked about in month {month}");
        organiser
            .get(&next)
            .await
            .shown()
            .says("One name that could be two is taken as answered, here or of an earlier file.");
        organiser.submit(&next, &[]).await.taken();
    }
    let anglers = "SELECT COUNT(DISTINCT angler_id) FROM entries";
    assert_eq!(number(&site, anglers).await, 1);

    // Undone and brought in again, the first asks nothing, and nothing stands twice.
    let undo = format!("{first}/undo");
    organiser.submit(&undo, &[("sure", "on")]).await.taken();
    let again = lay_out(&organiser, "results", &of_month(HEADING, 1)).await;
    let asked = answer(&organiser, &again, &COLUMNS, &bag).await;
    assert_eq!(asked, again);
    organiser.submit(&again, &[]).await.taken();
    let made = results(&site).await;
    assert_eq!(made.len(), 9);
    assert_eq!(number(&site, anglers).await, 1);
}

#[tokio::test]
async fn who_is_meant_outlasts_a_file_that_does_not_name_them() {
    let (_site, organiser) = with_water().await;
    let bag = [("pegs_allotted", "bag")];
    let first = lay_out(&organiser, "results", &of_month(HEADING, 1)).await;
    let names = answer(&organiser, &first, &COLUMNS, &bag).await;
    let (person, jem) = (field_of("j coppleway"), same_as("jem coppleway"));
    organiser.submit(&names, &[(&person, &jem)]).await.taken();

    let text = of_month(HEADING, 2)
        .replace("Jem Coppleway", "Dot Hazelpatch")
        .replace("J Coppleway", "D Hazelpatch");
    let second = lay_out(&organiser, "results", &text).await;
    let names = answer(&organiser, &second, &COLUMNS, &bag).await;
    let (person, dot) = (field_of("d hazelpatch"), same_as("dot hazelpatch"));
    organiser.submit(&names, &[(&person, &dot)]).await.taken();

    let third = lay_out(&organiser, "results", &of_month(HEADING, 3)).await;
    let asked = answer(&organiser, &third, &COLUMNS, &bag).await;
    assert_eq!(asked, third);
}

/// Nobody on the list is called so, and the next file may mean another by it.
#[tokio::test]
async fn a_nickname_that_is_taken_as_answered_is_counted_too() {
    let (site, organiser) = with_water().await;
    bring_in(&organiser, RESULTS).await;
    let list = anglers::all(&mut site.site.db.read().await.expect("a reader"))
        .await
        .expect("a list");
    let jem = list.iter().find(|one| one.given.as_deref() == Some("Jem"));
    let jem = format!("angler.{}", jem.expect("on the list").pid);
    let bag = [("pegs_allotted", "bag")];
    let of_month =
        |month: u8| format!("{HEADING}2019-{month:02}-05,Cup,Quillet Water,1,Smudger,,2-0,\n");
    let first = lay_out(&organiser, "results", &of_month(3)).await;
    answer(&organiser, &first, &COLUMNS, &bag).await;
    let (names, person) = (format!("{first}/names"), field_of("smudger"));
    organiser.submit(&names, &[(&person, &jem)]).await.taken();
    organiser.submit(&first, &[]).await.taken();

    let second = lay_out(&organiser, "results", &of_month(4)).await;
    answer(&organiser, &second, &COLUMNS, &bag).await;

    organiser
        .get(&second)
        .await
        .shown()
        .says("One name that could be two is taken as answered, here or of an earlier file.")
        .says("Smudger → Jem Coppleway");
}

/// Nothing of it may be otherwise, so what its page fills in is enough to read it by.
#[tokio::test]
async fn the_very_same_file_begins_with_all_that_was_answered_about_it() {
    let (_site, organiser) = with_water().await;
    let text = "Date,Venue,Angler,Weight\n06/03/2021,Quillet Water,Jem Coppleway,2.4\n";
    let columns = ["date", "venue", "angler", "weight"];
    let said = [
        ("pegs_allotted", "bag"),
        ("match_name", "Summer League"),
        ("day_order", "day-first"),
        ("bare", "pounds-point-ounces"),
    ];
    let first = lay_out(&organiser, "results", text).await;
    answer(&organiser, &first, &columns, &said).await;
    organiser.submit(&first, &[]).await.taken();
    // Another file of these headings, between the two, says otherwise.
    let other = text.replace("06/03/2021", "13/03/2021");
    let other = lay_out(&organiser, "results", &other).await;
    let otherwise = [
        ("pegs_allotted", "bag"),
        ("match_name", "Spring League"),
        ("bare", "decimal-pounds"),
    ];
    answer(&organiser, &other, &columns, &otherwise).await;

    let again = lay_out(&organiser, "results", text).await;
    organiser
        .get(&format!("{again}/columns"))
        .await
        .shown()
        .says("there is nothing to answer")
        .does_not_say("Not filled in")
        .says("value=\"Summer League\"")
        .says("value=\"day-first\" selected")
        .says("value=\"pounds-point-ounces\" selected");
    organiser
        .get(&again)
        .await
        .shown()
        .says("Nothing in this file is new.")
        .says("Its rows are known and are not taken twice.");
}
