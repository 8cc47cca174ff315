//! Words of a sheet for methods and baits.

use super::*;
use crate::support::record::{asked, number};

const WORDED: [&str; 7] = ["date", "venue", "peg", "angler", "count", "method", "bait"];
const TEXT: &str = "Day,Water,Swim,Name,Fish,Method,Bait\n\
                    2019-01-05,Quillet Water,7,Jem Coppleway,3,Feeder,red maggot\n\
                    2019-01-06,Quillet Water,7,Jem Coppleway,3,feeder,Worm\n\
                    2019-01-07,Quillet Water,7,Jem Coppleway,3,float,\n";
/// `method-` and `bait-`, then the folded word in figures.
const FEEDER: &str = "method-666565646572";
const FLOAT: &str = "method-666c6f6174";
const RED_MAGGOT: &str = "bait-726564206d6167676f74";

#[tokio::test]
async fn words_for_methods_and_baits_are_matched_once_or_go_into_the_remarks() {
    let (site, organiser) = with_water().await;
    let import = lay_out(&organiser, "sessions", TEXT).await;
    let columns = format!("{import}/columns");
    organiser
        .get(&columns)
        .await
        .shown()
        .says("“Feeder”, a method (2 rows)")
        .says("“float”, a method (1 row)")
        .says("“red maggot”, a bait (1 row)")
        .says("Cage feeder")
        .does_not_say("“Worm”");
    let open = ("visibility", "club");
    send(
        &organiser,
        &import,
        &WORDED,
        &[open, (FEEDER, "5"), (FLOAT, "")],
    )
    .await
    .asks("“red maggot” is not on the club’s list of baits.");
    let said = [open, (FEEDER, "5"), (FLOAT, ""), (RED_MAGGOT, "1")];
    answer(&organiser, &import, &WORDED, &said).await;
    organiser
        .get(&columns)
        .await
        .shown()
        .says("value=\"5\" selected");
    organiser
        .get(&import)
        .await
        .shown()
        .says("data-says=\"Method\">Feeder → Cage feeder</td>")
        .says("data-says=\"Method\">float → the remarks</td>")
        .says("<b>Line 4.</b> “float” is not on the club’s list of methods, so the remarks of this row say “method on the sheet: float”.");
    organiser.submit(&import, &[]).await.taken();

    let kept = "SELECT COUNT(*) FROM sessions AS s JOIN spells AS p ON p.session_id = s.id
                WHERE p.method_id = 5 AND s.remarks IS NULL AND p.bait_id = CASE s.fished_on WHEN '2019-01-05' THEN 1 ELSE 4 END";
    assert_eq!(number(&site, kept).await, 2);
    let remarks = "SELECT remarks FROM sessions WHERE fished_on = '2019-01-07'";
    assert_eq!(
        asked::<String>(&site, remarks).await,
        "method on the sheet: float"
    );
}

#[tokio::test]
async fn a_bait_of_a_match_goes_into_the_remarks_of_its_entry() {
    let (site, organiser) = with_water().await;
    let text = "Date,Match,Venue,Peg,Angler,Weight,Bait,Remarks\n2019-01-05,Frost Cup 1,Quillet Water,14,Jem Coppleway,12-8,Maggot,cold\n";
    let import = lay_out(&organiser, "results", text).await;
    let columns = [
        "date", "match", "venue", "peg", "angler", "weight", "bait", "remarks",
    ];
    answer(&organiser, &import, &columns, &[("pegs_allotted", "bag")]).await;
    organiser
        .get(&import)
        .await
        .shown()
        .says("Baits are not kept with the entries of a match");
    organiser.submit(&import, &[]).await.taken();
    let remarks = "SELECT told_remarks FROM entries";
    assert_eq!(
        asked::<String>(&site, remarks).await,
        "cold\nbait on the sheet: Maggot"
    );
}

#[tokio::test]
async fn a_meaning_outlasts_a_file_that_does_not_say_the_word() {
    let (_site, organiser) = with_water().await;
    let open = ("visibility", "club");
    let first = lay_out(&organiser, "sessions", TEXT).await;
    let said = [open, (FEEDER, "5"), (FLOAT, ""), (RED_MAGGOT, "1")];
    answer(&organiser, &first, &WORDED, &said).await;

    let heading = TEXT.lines().next().expect("a heading");
    let float = format!("{heading}\n2019-02-01,Quillet Water,7,Jem Coppleway,3,float,Worm\n");
    let second = lay_out(&organiser, "sessions", &float).await;
    answer(&organiser, &second, &WORDED, &[open, (FLOAT, "")]).await;

    let third = lay_out(&organiser, "sessions", TEXT).await;
    organiser
        .get(&format!("{third}/columns"))
        .await
        .shown()
        .says("value=\"5\" selected")
        .says("value=\"1\" selected");
    // And what is taken back in its own box is gone.
    let said = [open, (FEEDER, ""), (FLOAT, ""), (RED_MAGGOT, "1")];
    answer(&organiser, &third, &WORDED, &said).await;
    organiser
        .get(&format!("{third}/columns"))
        .await
        .shown()
        .does_not_say("value=\"5\" selected");
}
