//! Rows that a file has and the record has not: who reads the result, and who looks at the file,
//! is told.

use peglore::{domain::accounts::Role, store::settings};

use super::*;
use crate::support::record::{number, tell};

const LACKING: &str = "Date,Match,Venue,Peg,Angler,Section,Weight,Place\n\
2019-01-05,Frost Cup 1,Quillet Water,1,Jem Coppleway,A,12-8,1\n\
2019-01-05,Frost Cup 1,Quillet Water,2,Dot Hazelpatch,A,9-4-x,2\n\
2019-01-05,Frost Cup 1,Quillet Water,3,Tam Oxbarrow,A,8-4-x,3\n\
2019-01-05,Frost Cup 1,Quillet Water,4,Ned Furrowby,A,4-2,4\n\
2019-01-05,Frost Cup 1,Quillet Water,5,Ivy Sallowfield,A,heavy,5\n\
2019-01-12,Frost Cup 2,Quillet Water,1,Jem Coppleway,A,7-0,1\n";

#[tokio::test]
async fn a_result_that_lacks_rows_of_its_sheet_says_so() {
    let (site, organiser) = with_water().await;
    let import = lay_out_and_answer(&organiser, LACKING).await;
    organiser
        .get(&import)
        .await
        .shown()
        .says("The sheet places “Ned Furrowby” 4, the weights 2. Lines 3, 4 and 6 of this match cannot be taken, which may be why")
        .does_not_say("check the row if that is wrong");
    leave_out(&organiser, &import).await;

    organiser
        .get(&import)
        .await
        .shown()
        .says("Three rows of the sheet were left out and are not in the record: lines 3, 4 and 6.");
    let made = results(&site).await;
    assert_eq!(made[0].name, "Frost Cup 1");
    site.visitor()
        .get(&format!("/matches/{}/result", made[0].id))
        .await
        .shown()
        .says("Three rows of the sheet could not be read and are not in this result.");
    site.visitor()
        .get(&format!("/matches/{}/result", made[1].id))
        .await
        .shown()
        .says("As the club’s old sheet has it")
        .does_not_say("are not in this result");
}

/// The file of a result says by its name what its page says of rows left out, and so does the first
/// posting once another stands.
#[tokio::test]
async fn the_file_and_the_first_posting_of_a_result_that_lacks_rows_say_so_too() {
    let (site, organiser) = with_water().await;
    let import = lay_out_and_answer(&organiser, LACKING).await;
    leave_out(&organiser, &import).await;
    let made = results(&site).await;
    let [lacks, whole] = [0, 1].map(|at: usize| format!("/matches/{}", made[at].id));
    let named = async |address: &str, says: bool| {
        let file = site.visitor().get(address).await.shown();
        let name = file.headers["content-disposition"].to_str();
        let name = name.expect("text");
        assert_eq!(name.contains("-lacks-3-rows.csv"), says, "{name}");
        assert_eq!(name.contains("lacks"), says, "{name}");
    };
    named(&format!("{lacks}/result.csv"), true).await;
    named(&format!("{whole}/result.csv"), false).await;

    tell(
        &site,
        "UPDATE matches SET name = 'Thaw Cup' WHERE name = 'Frost Cup 1'",
    )
    .await;
    let version = "SELECT ver FROM matches WHERE name = 'Thaw Cup'";
    let version = number(&site, version).await.to_string();
    let again = [
        ("version", version.as_str()),
        ("reason", "its name was put right"),
    ];
    organiser
        .submit(&format!("{lacks}/publication"), &again)
        .await
        .taken();

    site.visitor()
        .get(&format!("{lacks}/result?posting=1"))
        .await
        .shown()
        .says("This is an earlier posting.")
        .says("Three rows of the sheet could not be read and are not in this result.");
    site.visitor()
        .get(&format!("{lacks}/result"))
        .await
        .shown()
        .says("Three rows of the sheet could not be read and were not in the first posting.");
    named(&format!("{lacks}/result.csv?posting=1"), true).await;
    named(&format!("{lacks}/result.csv"), false).await;
}

/// Every Sunday's match has one name: a row without its day may be of any of them.
#[tokio::test]
async fn no_result_is_said_to_lack_a_row_that_may_be_of_another_match() {
    let (site, organiser) = with_water().await;
    let text = "Date,Match,Venue,Peg,Angler,Section,Weight,Place\n\
                2019-01-06,Open,Quillet Water,1,Jem Coppleway,A,12-8,1\n\
                2019-01-13,Open,Quillet Water,1,Dot Hazelpatch,A,7-0,1\n\
                no day,Open,Quillet Water,2,Tam Oxbarrow,A,4-2,2\n";
    let import = lay_out_and_answer(&organiser, text).await;
    leave_out(&organiser, &import).await;

    let made = results(&site).await;
    assert_eq!(made.len(), 2);
    for one in made {
        let page = format!("/matches/{}/result", one.id);
        site.visitor()
            .get(&page)
            .await
            .shown()
            .says("<b>Rows may be lacking.</b> One row of the sheet could not be read and may be of this match or of another.")
            .does_not_say("is not in this result");
        let file = site.visitor().get(&format!("{page}.csv")).await.shown();
        let name = file.headers["content-disposition"].to_str();
        assert!(name.expect("text").contains("-may-lack-1-row.csv"));
    }
}

#[tokio::test]
async fn a_row_that_another_says_word_for_word_is_lacking_nowhere() {
    let (site, organiser) = with_water().await;
    let text = "Date,Match,Venue,Peg,Angler,Section,Weight,Place\n\
                2019-01-06,Open,Quillet Water,1,Jem Coppleway,A,12-8,1\n\
                2019-01-06,Open,Quillet Water,2,Dot Hazelpatch,A,7-0,2\n\
                2019-01-06,Open,Quillet Water,2,Dot Hazelpatch,A,7-0,2\n";
    let import = lay_out_and_answer(&organiser, text).await;
    organiser
        .get(&import)
        .await
        .shown()
        .says("stands in this match on line 3 already");
    leave_out(&organiser, &import).await;

    let made = results(&site).await;
    site.visitor()
        .get(&format!("/matches/{}/result", made[0].id))
        .await
        .shown()
        .says("As the club’s old sheet has it")
        .does_not_say("lacking");
}

#[tokio::test]
async fn a_file_in_the_record_leads_to_its_sessions() {
    let (_site, organiser) = with_water().await;
    let columns = ["date", "venue", "peg", "angler", "count", "weight", "hours"];
    for (seen_by, says) in [
        ("club", "Jem Coppleway</span>, Sat 5 Jan 2019</a>"),
        ("private", "One session of this file is not open to you"),
    ] {
        let text = "Day,Water,Swim,Name,Fish,Weight,Hours\n\
                    2019-01-05,Quillet Water,7,Jem Coppleway,12,8-4,4\n";
        let import = lay_out(&organiser, "sessions", text).await;
        answer(&organiser, &import, &columns, &[("visibility", seen_by)]).await;
        organiser.submit(&import, &[]).await.taken();
        let shown = organiser.get(&import).await.shown();
        shown.says("The sessions it made").says(says);
        if seen_by == "club" {
            let link = shown.body.split("href=\"/sessions/").nth(1);
            let pid = link.and_then(|rest| rest.split('"').next());
            organiser
                .get(&format!("/sessions/{}", pid.expect("a link")))
                .await
                .shown()
                .says("5 Jan");
        }
        organiser
            .submit(&format!("{import}/undo"), &[("sure", "on")])
            .await
            .taken();
    }
}

/// The page of a file that is undone speaks of it as taken out, not as though it stood.
#[tokio::test]
async fn a_file_that_is_undone_says_when_and_by_whom_and_that_it_may_come_in_anew() {
    let (site, organiser) = with_water().await;
    let import = lay_out_and_answer(&organiser, LACKING).await;
    leave_out(&organiser, &import).await;
    site.pass(3_600);
    let undoer = site.somebody("Olwen Reedham", Role::Organiser).await;
    undoer
        .submit(&format!("{import}/undo"), &[("sure", "on")])
        .await
        .taken();

    let mut reading = site.site.db.read().await.expect("a reader");
    let zone = settings::club(&mut reading).await.expect("settings").zone;
    let when = site.site.now().in_words(&zone);
    organiser
        .get(&import)
        .await
        .shown()
        .says("This file was taken out of the record again</b>, ")
        .says(&format!(
            "{when}, by <span class=\"bidi\">Olwen Reedham</span>"
        ))
        .says("The file may be brought in anew")
        .says("It had brought ")
        .says("Three rows of the sheet had been left out when it was saved: lines 3, 4 and 6.")
        .does_not_say("were left out and are not in the record");
}

/// It is nobody's row, so no result lacks it.
#[tokio::test]
async fn a_line_of_totals_is_set_aside_and_no_result_lacks_it() {
    let (site, organiser) = with_water().await;
    let text = format!("{RESULTS},,TOTAL,,,,23-12,\n");
    let import = bring_in_looked_at(&organiser, &text).await;
    let made = results(&site).await;
    assert_eq!(made.len(), 2);
    for made in made {
        site.visitor()
            .get(&format!("/matches/{}/result", made.id))
            .await
            .shown()
            .does_not_say("may be lacking")
            .does_not_say("are lacking");
    }
    organiser
        .get(&import)
        .await
        .shown()
        .does_not_say("left out");
}

#[tokio::test]
async fn several_lines_of_totals_are_counted_as_they_are() {
    let (_site, organiser) = with_water().await;
    let text = format!("{RESULTS},,TOTAL,,,,23-10,\n,,Average,,,,5-14,\n");
    let import = lay_out_and_answer(&organiser, &text).await;
    organiser
        .get(&import)
        .await
        .shown()
        .says("two are totals or averages and not taken")
        .says("<b>Line 9.</b> This line is an average, and is not taken.")
        .does_not_say("the rows it adds up");
}

async fn bring_in_looked_at(who: &Actor, text: &str) -> String {
    let import = lay_out_and_answer(who, text).await;
    who.get(&import)
        .await
        .shown()
        .says("one is a total and not taken")
        .says("<b>Line 8.</b> This line is a total, and is not taken. It says 23 lb 12 oz, and the rows it adds up come to 23 lb 10 oz.")
        .does_not_say("Rows that cannot be taken")
        .does_not_say("Enter a name");
    who.submit(&import, &[]).await.taken();
    import
}
