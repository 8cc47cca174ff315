//! When sessions of a sheet began and ended.

use super::*;
use crate::support::record::{asked, number};

const TIMED: [&str; 8] = [
    "date",
    "venue",
    "peg",
    "angler",
    "started",
    "packed-up",
    "count",
    "weight",
];
const OPEN: [(&str, &str); 1] = [("visibility", "club")];

#[tokio::test]
async fn sessions_get_their_start_and_end_at_the_waters_zone() {
    let (site, organiser) = with_water().await;
    let text = "When,Water,Swim,Name,From,Till,Fish,Weight\n\
                2019-06-05,Quillet Water,7,Jem Coppleway,07:00,12:30,12,8-4\n\
                2019-06-06,Quillet Water,7,Jem Coppleway,20.00,230,3,\n\
                2019-06-07,Quillet Water,7,Jem Coppleway,20.00,0230,3,\n\
                2019-06-09,Quillet Water,7,Jem Coppleway,7:00,6:00,3,\n";
    let import = lay_out(&organiser, "sessions", text).await;
    organiser
        .get(&format!("{import}/columns"))
        .await
        .shown()
        .says("value=\"started\" selected")
        .says("value=\"packed-up\" selected");
    answer(&organiser, &import, &TIMED, &OPEN).await;
    organiser
        .get(&import)
        .await
        .shown()
        .says("Saving makes three sessions")
        .says("Packed up: “230” is not a time of day.")
        .says("07:00 to 12:30, 5 hours 30 minutes")
        .says("Packed up at 06:00 the next day? That makes 23 hours.");
    leave_out(&organiser, &import).await;

    let day = "SELECT COUNT(*) FROM sessions AS s JOIN spells AS p ON p.session_id = s.id
               WHERE s.start_utc = unixepoch('2019-06-05 06:00') AND s.end_utc = unixepoch('2019-06-05 11:30')
                 AND p.minutes = 330 AND p.from_utc = s.start_utc AND p.to_utc = s.end_utc";
    assert_eq!(number(&site, day).await, 1);
    let night = "SELECT COUNT(*) FROM sessions WHERE fished_on = '2019-06-07'
                 AND start_utc = unixepoch('2019-06-07 19:00') AND end_utc = unixepoch('2019-06-08 01:30')";
    assert_eq!(number(&site, night).await, 1);
    let pid = "SELECT pid FROM sessions WHERE fished_on = '2019-06-05'";
    let page = format!("/sessions/{}", asked::<String>(&site, pid).await);
    site.member()
        .await
        .get(&page)
        .await
        .shown()
        .says("<dt>Fished</dt><dd>07:00 to 12:30</dd>");
}

#[tokio::test]
async fn hours_without_clock_times_are_told_as_hours() {
    let (site, organiser) = with_water().await;
    let text = "Day,Water,Swim,Name,Fish,Hours\n2019-06-05,Quillet Water,7,Jem Coppleway,3,4\n\
                2019-06-06,Quillet Water,7,Jem Coppleway,3,7-12.30\n";
    let columns = ["date", "venue", "peg", "angler", "count", "hours"];
    let import = lay_out(&organiser, "sessions", text).await;
    answer(&organiser, &import, &columns, &OPEN).await;
    organiser.submit(&import, &[]).await.taken();

    let pid = "SELECT pid FROM sessions WHERE fished_on = '2019-06-05'";
    let page = format!("/sessions/{}", asked::<String>(&site, pid).await);
    site.member()
        .await
        .get(&page)
        .await
        .shown()
        .says("<dt>Fished</dt><dd>4 hours, clock times not known</dd>");
    let range = "SELECT COUNT(*) FROM sessions WHERE end_utc - start_utc = 19800";
    assert_eq!(number(&site, range).await, 1);
}

#[tokio::test]
async fn rows_of_one_file_that_tell_of_one_outing_make_one_session() {
    let (_site, organiser) = with_water().await;
    let text = "Day,Water,Swim,Name,Weight,Hours\n2019-01-05,Quillet Water,7,Jem Coppleway,blank,4\n\
                2019-01-05,Quillet Water,7,Jem Coppleway,0,4\n2019-01-05,Quillet Water,7,Jem Coppleway,2-0,4\n";
    let columns = ["date", "venue", "peg", "angler", "weight", "hours"];
    let import = lay_out(&organiser, "sessions", text).await;
    answer(&organiser, &import, &columns, &OPEN).await;
    organiser
        .get(&import)
        .await
        .shown()
        .says("Saving makes two sessions")
        .says("<b>Line 3.</b> The same outing stands on line 2, so this one is said twice.")
        .says("Line 2 has the same angler, day, peg and hours, and tells otherwise of the rest.");
}
