//! Sheets with pounds and ounces in two columns, on the pages.

use super::*;

const HEADING: &str = "Date,Match,Venue,Peg,Angler,lb(s),oz(s)\n";
const HELD: [&str; 7] = [
    "date", "match", "venue", "peg", "angler", "weight", "ounces",
];

fn rows(day: &str) -> String {
    format!(
        "{HEADING}{day},Cup,Quillet Water,14,Jem Coppleway,12,8\n{day},Cup,Quillet Water,15,Dot Hazelpatch,0,12\n"
    )
}

#[tokio::test]
async fn pounds_and_ounces_in_two_columns_come_in_as_one_weight() {
    let (site, organiser) = with_water().await;
    let import = lay_out(&organiser, "results", &rows("2019-01-05")).await;
    organiser
        .get(&format!("{import}/columns"))
        .await
        .shown()
        .says("value=\"ounces\" selected")
        .says("ounces of the weight to its left");

    let bag = [("pegs_allotted", "bag")];
    let mut without = HELD;
    without[6] = "";
    send(&organiser, &import, &without, &bag)
        .await
        .asks("Nothing is taken from the column “oz(s)”")
        .says("Say that it holds ounces");

    // No question what weights without a unit are.
    let next = answer(&organiser, &import, &HELD, &bag).await;
    assert_eq!(next, import);
    organiser.submit(&import, &[]).await.taken();
    let mut reading = site.site.db.read().await.expect("a reader");
    let weighed: Vec<i64> =
        sqlx::query_scalar("SELECT raw_weight FROM weighings ORDER BY raw_weight")
            .fetch_all(&mut *reading)
            .await
            .expect("two nets");
    assert_eq!(weighed, [12 * 16, 12 * 256 + 8 * 16]);
    drop(reading);

    let later = lay_out(&organiser, "results", &rows("2019-01-12")).await;
    organiser
        .get(&format!("{later}/columns"))
        .await
        .shown()
        .says("Begun like")
        .says("value=\"ounces\" selected");
}
