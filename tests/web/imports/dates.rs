//! Dates that can be read two ways: an officer's answer stands before all that the file shows.

use super::*;
use crate::support::record::number;

const MESSY: &str = "Date,Match,Venue,Peg,Angler,Section,Weight,Place\n\
Sat 6.3.21,Spring Cup,Quillet Water,1,Jem Coppleway,,2-0,\n\
06/03/2021,Spring Cup,Quillet Water,2,Dot Hazelpatch,,1-0,\n\
04/13/21,Spring Cup,Quillet Water,3,Tam Oxbarrow,,3-0,\n";

#[tokio::test]
async fn one_bad_date_turns_no_other_date_about_once_the_order_is_answered() {
    let (site, organiser) = with_water().await;
    let import = lay_out(&organiser, "results", MESSY).await;
    let more = [("pegs_allotted", "bag"), ("day_order", "day-first")];
    answer(&organiser, &import, &COLUMNS, &more).await;

    organiser
        .get(&import)
        .await
        .shown()
        .says("<b>Line 4.</b> “04/13/21” is a day only with the month first, and in this file the day comes first.")
        .says("Sat 6 Mar 2021")
        .does_not_say("Jun 2021");
    leave_out(&organiser, &import).await;
    let on_the_sixth = "SELECT COUNT(*) FROM entries AS e JOIN matches AS m ON m.id = e.match_id WHERE m.on_date = '2021-03-06'";
    assert_eq!(number(&site, on_the_sixth).await, 2);
    assert_eq!(number(&site, "SELECT COUNT(*) FROM matches").await, 1);
}

#[tokio::test]
async fn dates_that_contradict_one_another_are_asked_about() {
    let (_site, organiser) = with_water().await;
    let import = lay_out(&organiser, "results", MESSY).await;
    send(&organiser, &import, &COLUMNS, &[("pegs_allotted", "bag")])
        .await
        .asks("The file writes dates in both orders: “Sat 6.3.21” and “04/13/21”.");
}

#[tokio::test]
async fn a_day_of_the_week_that_does_not_fit_its_date_is_a_problem_of_its_line() {
    let (_site, organiser) = with_water().await;
    let import = lay_out(&organiser, "results", MESSY).await;
    let more = [("pegs_allotted", "bag"), ("day_order", "month-first")];
    answer(&organiser, &import, &COLUMNS, &more).await;
    organiser.get(&import).await.shown().says(
        "<b>Line 2.</b> “Sat 6.3.21” says Saturday, but 3 June 2021 is a Thursday. Put right",
    );
}
