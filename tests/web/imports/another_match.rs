//! Rows that stand on record in a match of another name are asked about before they are saved again.

use super::*;
use crate::support::record::number;

#[tokio::test]
async fn rows_of_a_match_on_record_under_another_name_have_to_be_said_to_be_another() {
    let (site, organiser) = with_water().await;
    bring_in(&organiser, RESULTS).await;
    let bag = ("pegs_allotted", "bag");
    let again = lay_out(&organiser, "results", RESULTS).await;
    let mut columns = COLUMNS;
    columns[1] = "";
    let named = [bag, ("match_name", "Other")];
    answer(&organiser, &again, &columns, &named).await;

    let both = "Other of Sat 5 Jan 2019 and Other of Sat 12 Jan 2019";
    organiser
        .get(&again)
        .await
        .shown()
        .says("The very same file is in the record.")
        .says("Read as it is now, its rows are of another match")
        .does_not_say("Its rows are known and are not taken twice")
        .says(
            "Other of Sat 5 Jan 2019: all its four rows stand on record in Frost Cup 1 of that day",
        )
        .says("Other of Sat 12 Jan 2019: one of its two rows stands on record in Frost Cup 2")
        .says(&format!("These are another match: {both}"));
    organiser
        .submit(&again, &[])
        .await
        .asks(&format!("Rows of {both} stand in another match on record."));
    let matches = "SELECT COUNT(*) FROM matches";
    assert_eq!(number(&site, matches).await, 2);

    organiser.submit(&again, &[("another", both)]).await.taken();
    assert_eq!(number(&site, matches).await, 4);
}

#[tokio::test]
async fn a_second_match_of_one_day_with_other_pegs_or_weights_is_not_asked_about() {
    let (_site, organiser) = with_water().await;
    bring_in(&organiser, RESULTS).await;
    let text = "Date,Match,Venue,Peg,Angler,Section,Weight,Place\n\
                2019-01-05,Evening Cup,Quillet Water,3,Jem Coppleway,A,12-8,1\n\
                2019-01-05,Evening Cup,Quillet Water,15,Dot Hazelpatch,A,5-0,2\n";
    let import = lay_out_and_answer(&organiser, text).await;
    organiser
        .get(&import)
        .await
        .shown()
        .does_not_say("These are another match");
    organiser.submit(&import, &[]).await.taken();
}

#[tokio::test]
async fn sections_teams_and_columns_not_taken_are_seen_before_saving() {
    let (_site, organiser) = with_water().await;
    let text = "Date,Match,Venue,Peg,Angler,Sect.,Team,Weight,Scratch\n\
                2019-01-05,Frost Cup,Quillet Water,1,Jem Coppleway,Willows,Reeds,12-8,x\n";
    let import = lay_out(&organiser, "results", text).await;
    organiser
        .get(&format!("{import}/columns"))
        .await
        .shown()
        .says("value=\"section\" selected");
    let columns = [
        "date", "match", "venue", "peg", "angler", "section", "team", "weight", "",
    ];
    answer(&organiser, &import, &columns, &[("pegs_allotted", "bag")]).await;
    organiser
        .get(&import)
        .await
        .shown()
        .says("data-says=\"Section\">Willows</td>")
        .says("data-says=\"Team\">Reeds</td>")
        .says("<li>Nothing is taken from the column “Scratch”.</li>")
        .does_not_say("Say what it holds");
}

/// Two matches of one day under one title would be filed as one.
#[tokio::test]
async fn a_title_filled_in_as_the_name_says_what_column_may_hold_the_names() {
    let (_site, organiser) = with_water().await;
    let text = |heading: &str| {
        format!(
            "Club results\nDate,{heading},Venue,Peg,Angler,Weight\n\
             2026-11-13,Frost Cup,Quillet Water,14,Jem Coppleway,12-8\n\
             2026-11-13,Ice Cup,Quillet Water,15,Dot Hazelpatch,3-4\n"
        )
    };
    let trophy = lay_out(&organiser, "results", &text("Trophy")).await;
    let comp = lay_out(&organiser, "results", &text("Comp")).await;
    let page = |import: &str| format!("{import}/columns");

    let asked = organiser.get(&page(&trophy)).await.shown();
    let read = organiser.get(&page(&comp)).await.shown();

    asked.says("value=\"Club results\"").says(
        "It was read from the line above the headings. Nothing is taken from the column “Trophy”.",
    );
    read.says("<option value=\"match\" selected>")
        .does_not_say("It was read from the line above the headings.");
}
