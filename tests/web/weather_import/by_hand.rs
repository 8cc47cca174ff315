//! Days written by hand, brought back in as the water's own CSV: nothing new, nothing overwritten.

use super::*;

const BY_HAND: [(&str, &str); 3] = [
    ("low_2026-11-10", "3"),
    ("rain_2026-11-11", "9"),
    ("low_2026-11-11", "1"),
];

/// The form of the water's own CSV, with whose figures it says and which rows are meant.
fn own_csv<'a>(whose: &'a str, only: &'a str) -> Vec<(&'a str, &'a str)> {
    let mut form = vec![
        ("act", "look"),
        ("whose", whose),
        ("credited", "yes"),
        ("day_ends", "24:00"),
        ("col_10", "source"),
        ("only", only),
    ];
    form.extend(own_columns());
    form
}

/// A water with days written by hand, and its weather as CSV.
async fn written() -> (TestSite, Actor, String) {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let officer = site.organiser().await;
    officer.submit("/venues/1/weather", &BY_HAND).await.taken();
    let csv = site.visitor().get("/venues/1/weather.csv").await.shown();
    (site, officer, csv.body)
}

#[tokio::test]
async fn rows_of_a_name_that_is_known_are_recognised_and_nothing_is_new() {
    let (site, officer, csv) = written().await;
    let form = own_csv("", "Quillet Water 1 by hand");
    let (page, looked) = laid_out(&officer, csv.as_bytes(), &form).await;
    looked
        .says("selected>Quillet Water 1 by hand: ")
        .says("2 days read")
        .says("In the record already, just so</dt><dd><b>2</b>")
        .says("Nothing in this file is new");

    // Chosen from the list it is the same.
    let form = own_csv("1", "Quillet Water 1 by hand");
    officer.submit(&page, &form).await.taken();
    let again = officer.get(&page).await.shown();
    again.says("Nothing in this file is new");
    assert_eq!(days_kept(&site).await, 2);
}

#[tokio::test]
async fn what_differs_is_told_and_the_written_day_stands() {
    let (site, officer, csv) = written().await;
    let other = csv.replace("2026-11-11,1,,9,", "2026-11-11,4,8,9,");
    assert_ne!(other, csv);
    let other = other.replace("2026-11-10,3,,,", "2026-11-10,3,7,,");
    let form = own_csv("", "Quillet Water 1 by hand");
    let (page, looked) = laid_out(&officer, other.as_bytes(), &form).await;
    looked
        .says("what is written by hand says otherwise of the low, and stands")
        .says("Save 1 day<");
    save(&officer, &page, &looked).await.taken();
    let (filled, kept) = (TODAY.plus(-4), TODAY.plus(-3));
    let filled = stands(&site, filled).await;
    assert_eq!((filled.min_c, filled.max_c), (Some(3.0), Some(7.0)));
    let kept = stands(&site, kept).await;
    assert_eq!((kept.min_c, kept.max_c), (Some(1.0), None));
}

#[tokio::test]
async fn a_name_that_is_taken_is_told_before_anything_can_be_saved() {
    let (_site, officer, csv) = written().await;
    let mut form = own_csv("new", "Quillet Water 1 by hand");
    form.push(("new_name", "quillet water 1 by hand"));
    let (page, looked) = laid_out(&officer, csv.as_bytes(), &form).await;
    looked
        .says("Another source has that name. Choose it from the list")
        .does_not_say("name=\"seen\"");
    // A file that is not in our layout cannot be of what is written by hand.
    form[2].1 = "no";
    officer.submit(&page, &form).await.taken();
    let looked = officer.get(&page).await.shown();
    looked
        .says("Another source has that name: days written by hand")
        .does_not_say("<option value=\"1\"")
        .does_not_say("name=\"seen\"");
}
