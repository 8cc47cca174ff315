//! Like days of one peg: what it does to the expectation, and what it gave on each nearest day.

use peglore::{statistics::wording, web::figures::weights_held};

use crate::support::{
    TestSite,
    planted::{Planted, day},
};

const PAGE: &str = "/venues/1/like-days";

#[tokio::test]
async fn a_peg_multiplies_the_expectation_with_its_interval() {
    let site = TestSite::with_club(1, 20, 30).await;
    site.fitted().await;
    let page = site.visitor().get(&format!("{PAGE}?peg=3")).await.shown();
    page.says("<p class=\"known\">Peg 3: expect about <b class=\"big\">")
        .says("</b> an hour (no band yet, too few days were foretold), from the day’s average over all who fish; single nets vary far more. ")
        .says(". <a href=\"#match\">The whole water, and how this was worked out</a></p>")
        .says("Peg 3 gave")
        .says("times the mean of its matches")
        .says("anglers not adjusted for")
        .says(" an hour (no band yet, too few days were foretold)</dd>")
        .says("Peg 3 that day: ")
        .says(", peg 3, Saturday 14 November 2026</h1>");
    // The opening is for a cold angler: one expectation, its band, the peg beside its neighbours.
    let (_, opening) = page
        .body
        .split_once("<p class=\"known\">")
        .expect("an opening");
    let (opening, below) = opening.split_once("</p>").expect("its end");
    assert!(
        !opening.contains("times") && !opening.contains("drawn match"),
        "{opening}"
    );
    assert!(opening.contains("its neighbours"), "{opening}");
    assert!(below.contains("times the mean of its matches"));
    let after = below.trim_start();
    assert!(
        after.starts_with("<p class=\"quiet\">The peg’s own part is "),
        "its doubt right after: {}",
        after.chars().take(120).collect::<String>()
    );
    site.visitor()
        .get(&format!("{PAGE}?peg=99"))
        .await
        .asks("There is no peg 99 at this water. Choose one of the list.")
        .does_not_say("still in its box");
    site.visitor()
        .get(&format!("{PAGE}?group=77"))
        .await
        .asks("There is no group of fish 77 here. Choose one of the list.")
        .does_not_say("still in its box");
}

#[tokio::test]
async fn beside_each_nearest_day_stands_what_the_peg_gave_on_it() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    site.fitted().await;
    let page = site
        .visitor()
        .get(&format!("{}/like-days?peg=1", planted.path))
        .await
        .shown();

    // The matches of October lie within 45 days of the season, those of September do not.
    let of_peg =
        (planted.weighed.iter()).filter(|one| one.peg == planted.pegs[0] && one.day >= day(10, 1));
    let mut told = 0;
    for one in of_peg {
        let gave = match one.grams() {
            Some(grams) => wording::weight(grams, planted.scale()),
            None => "drawn, did not weigh".to_owned(),
        };
        page.says(&weights_held(&format!("Peg 1 that day: {gave}")));
        told += 1;
    }
    assert_eq!(told, 4);
    assert_eq!(page.body.matches("Peg 1 that day: ").count(), 4);
    site.visitor()
        .get(&format!("{}/like-days", planted.path))
        .await
        .shown()
        .does_not_say("that day: ");
}
