//! What is said of pegs and days typed about a water.

use super::imports::with_water;

#[tokio::test]
async fn closing_says_which_pegs_were_understood_and_which_are_not_there() {
    let (_site, organiser) = with_water().await;
    let form = |pegs| {
        [
            ("pegs", pegs),
            ("from", "2026-11-20"),
            ("reason", "bank works"),
        ]
    };
    organiser
        .submit("/venues/1/closures", &form("12-14, 99"))
        .await
        .asks("Understood: <b>pegs 12 to 14 and 99; there is no peg 99</b>");
    organiser
        .submit("/venues/1/closures", &form("pegs 12-14"))
        .await
        .taken();
}

#[tokio::test]
async fn each_end_of_a_close_season_has_its_own_sentence_and_a_day_with_a_stroke_is_read() {
    let (_site, organiser) = with_water().await;
    let water = |from, to| {
        [
            ("name", "Sallow Pool"),
            ("kind", "stillwater"),
            ("scale", "dr"),
            ("zone", "Europe/London"),
            ("close_from", from),
            ("close_to", to),
            ("bank0_name", "North bank"),
            ("bank0_pegs", "1–4"),
        ]
    };
    organiser
        .submit("/venues/new", &water("5/6", ""))
        .await
        .asks("Close season from: “5/6” cannot be read as one day of the year.")
        .says("Close season to: enter a day and a month");
    organiser
        .submit("/venues/new", &water("15/3", "15/6"))
        .await
        .taken();
    organiser
        .get("/venues/2")
        .await
        .shown()
        .says("15 March to 15 June");
}
