//! What is said of pegs and days typed about a water.

use super::imports::with_water;
use crate::support::record::number;

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
async fn a_peg_that_stands_closed_is_not_closed_again_on_the_same_days() {
    let (site, organiser) = with_water().await;
    let form = |pegs, from, to| {
        let reason = ("reason", "ice");
        [("pegs", pegs), ("from", from), ("to", to), reason]
    };
    let page = "/venues/1/closures";
    let first = form("12-14", "2026-11-20", "");
    organiser.submit(page, &first).await.taken();
    for (pegs, from, to, asks) in [
        (
            "14",
            "2026-11-20",
            "",
            "Peg 14 is closed already from 20 Nov 2026: ice.",
        ),
        (
            "11-13",
            "2026-11-25",
            "2026-11-26",
            "Pegs 12 to 13 are closed already from 20 Nov 2026: ice.",
        ),
    ] {
        let again = organiser.submit(page, &form(pegs, from, to)).await;
        again.asks(asks);
    }
    // Days before it are free, and so are other pegs.
    let before = form("12", "2026-11-15", "2026-11-19");
    organiser.submit(page, &before).await.taken();
    let beside = form("20", "2026-11-20", "");
    organiser.submit(page, &beside).await.taken();
    // One that is over is not in the way: nobody could open it on this page.
    for days in [("2026-11-01", "2026-11-05"), ("2026-11-03", "2026-11-06")] {
        let over = form("20", days.0, days.1);
        organiser.submit(page, &over).await.taken();
    }
    let closures = "SELECT COUNT(*) FROM peg_closures";
    assert_eq!(number(&site, closures).await, 7);
}

#[tokio::test]
async fn all_that_is_wrong_with_a_closing_is_said_at_once() {
    let (_site, organiser) = with_water().await;
    let form = [
        ("pegs", "12-16, 99, 90"),
        ("from", "2026-11-20"),
        ("to", "2026-11-02"),
        ("reason", ""),
    ];
    organiser
        .submit("/venues/1/closures", &form)
        .await
        .asks("Say why, so that members know.")
        .says("The last day is before the first.")
        .says("There are no pegs 99 and 90 here.");
}

#[tokio::test]
async fn pegs_closed_alike_stand_in_one_band_on_the_page_of_the_water() {
    let (site, organiser) = with_water().await;
    for (pegs, reason) in [("12-16, 20", "ice"), ("18", "bank works")] {
        let form = [("pegs", pegs), ("from", "2026-11-01"), ("reason", reason)];
        let closing = organiser.submit("/venues/1/closures", &form).await;
        closing.taken();
    }
    site.visitor()
        .get("/venues/1")
        .await
        .shown()
        .says("<b>Pegs 12 to 16 and 20.</b> Closed from 1 Nov 2026: ice.</p>")
        .says("<b>Peg 18.</b> Closed from 1 Nov 2026: bank works.</p>");
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

#[tokio::test]
async fn as_many_empty_banks_are_spoken_of_as_are_offered() {
    let (_site, organiser) = with_water().await;
    let told = "Save, and two empty ones follow those that are there.";
    let new = organiser.get("/venues/new").await.shown();
    new.says(told).says("<legend>Bank 4</legend>");
    let saved = organiser.get("/venues/1/setup").await.shown();
    saved.says(told).says("<legend>Bank 3</legend>");
    saved.does_not_say("<legend>Bank 4</legend>");
}
