//! The rows behind the question about outings on record are shown beside it.

use super::*;

const COLUMNS: [&str; 6] = ["date", "venue", "peg", "angler", "count", "hours"];
const HEADING: &str = "Day,Water,Swim,Name,Fish,Hours\n";
const OPEN: [(&str, &str); 1] = [("visibility", "club")];

#[tokio::test]
async fn every_row_behind_the_question_is_named_with_its_angler_and_times() {
    let (_site, organiser) = with_water().await;
    let first = format!(
        "{HEADING}2019-01-05,Quillet Water,7,Jem Coppleway,12,07:00-11:00\n\
         2019-01-05,Quillet Water,9,Dot Hazelpatch,3,4\n"
    );
    let import = lay_out(&organiser, "sessions", &first).await;
    answer(&organiser, &import, &COLUMNS, &OPEN).await;
    organiser.submit(&import, &[]).await.taken();

    let more = format!(
        "{HEADING}2019-01-05,Quillet Water,8,Jem Coppleway,2,12:00-15:00\n\
         2019-01-05,Quillet Water,,Dot Hazelpatch,5,\n"
    );
    let import = lay_out(&organiser, "sessions", &more).await;
    send(&organiser, &import, &COLUMNS, &OPEN)
        .await
        .asks("Are such rows the same outing, or another?")
        .says("<b>Line 2.</b> Jem Coppleway, Sat 5 Jan 2019: the row says peg 8, 12:00 to 15:00; on record is a session (peg 7, 4 hours), 07:00 to 11:00.")
        .says("<b>Line 3.</b> Dot Hazelpatch, Sat 5 Jan 2019: the row says neither peg nor hours; on record is a session (peg 9, 4 hours).");
}
