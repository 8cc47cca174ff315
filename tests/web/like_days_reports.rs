//! Like days of reports: three anglers behind every figure, and members only.

use axum::http::StatusCode;

use crate::support::{TestSite, fishing::TODAY, record::tell};

const PAGE: &str = "/venues/1/like-days";

#[tokio::test]
async fn reports_need_three_anglers_and_are_shown_to_members() {
    let site = TestSite::new().await;
    let venue = site.water(1).await;
    for (angler, ago) in [(1, 9), (2, 9), (1, 6)] {
        site.report(venue, angler, TODAY.plus(-ago), 12, "club")
            .await;
    }
    site.fitted().await;
    let member = site.member().await;
    member
        .get(PAGE)
        .await
        .shown()
        .says("Fewer than three anglers have shared reports of this water with the club")
        .does_not_say("expect about");

    // Whatever is not shared with the club enters nothing.
    site.report(venue, 3, TODAY.plus(-9), 41, "private").await;
    site.report(venue, 4, TODAY.plus(-9), 43, "team").await;
    site.fitted().await;
    member
        .get(PAGE)
        .await
        .shown()
        .says("Fewer than three anglers have shared reports of this water with the club")
        .does_not_say("expect about");

    site.report(venue, 3, TODAY.plus(-9), 30, "club").await;
    site.fitted().await;
    member
        .get(PAGE)
        .await
        .shown()
        .says(
            "Two days on record are too few to expect anything from (six are wanted); on record: ",
        )
        .says("an hour on Thu 5 Nov 2026.")
        .does_not_say("Sun 8 Nov 2026")
        .does_not_say("expect about");

    for ago in 20..23 {
        for angler in 1..=3 {
            let day = TODAY.plus(-ago);
            site.report(venue, angler, day, 12, "club").await;
        }
    }
    site.fitted().await;
    member
        .get(PAGE)
        .await
        .shown()
        .says("Five days on record are too few to expect anything from")
        .says("None of the seven days before is written down.")
        .does_not_say("expect about");

    for angler in 1..=3 {
        site.report(venue, angler, TODAY.plus(-23), 12, "club")
            .await;
    }
    site.fitted().await;
    let page = member.get(PAGE).await.shown();
    page.says("expect about")
        .says("the day’s average over all who report; single catches vary far more")
        .says("three anglers who shared them with the club")
        .says("At least three anglers stand behind every figure")
        .says("Thu 5 Nov 2026")
        .does_not_say("Sun 8 Nov 2026");
    let csv = member
        .get("/venues/1/like-days.csv?series=report&group=2")
        .await
        .shown();
    csv.says("2026-11-05,report,Silvers,3,3,0,15.0000,15.0000,54.0000,fish")
        .does_not_say("2026-11-08");
    let kept = csv.headers["content-disposition"].to_str();
    assert!(
        kept.expect("plain")
            .contains("days-1-reports-shared-with-the-club-2.csv")
    );
    // The rows listed of a day come to its total: nothing is left to take apart.
    let record = member.get("/venues/1/record.csv").await.shown();
    let of_day = (record.body.lines()).filter(|line| line.starts_with("2026-11-05,report"));
    let fish: Vec<i64> = of_day
        .filter_map(|line| line.split(',').nth(8)?.parse().ok())
        .collect();
    assert_eq!((fish.len(), fish.iter().sum::<i64>()), (3, 54));
    site.visitor()
        .get(PAGE)
        .await
        .shown()
        .says("Nothing has been worked out from matches here; members’ reports are shown to members, once signed in.")
        .says("Members’ reports are shown to members")
        .does_not_say("expect about");
    let refused = site
        .visitor()
        .get("/venues/1/like-days.csv?series=report&group=2")
        .await;
    assert_eq!(refused.status, StatusCode::UNAUTHORIZED);
    refused.says("<form method=\"post\" action=\"/sign-in\"");
    member.get(PAGE).await.says(">Reports only</option>");
    site.visitor()
        .get(&format!("{PAGE}?series=report"))
        .await
        .shown()
        .says("No figures are shown: members’ reports are shown to members, once signed in.")
        .says("<a class=\"on-screen\" href=\"/sign-in\">Sign in</a>")
        .does_not_say(">Reports only</option>")
        .does_not_say("Nothing has been worked out");
}

#[tokio::test]
async fn how_two_anglers_fished_a_day_is_not_shown() {
    let site = TestSite::new().await;
    let venue = site.water(1).await;
    for angler in 1..=3 {
        site.report(venue, angler, TODAY.plus(-9), 12, "club").await;
        site.report(venue, angler, TODAY.plus(-5), 12, "club").await;
        for ago in 20..24 {
            let day = TODAY.plus(-ago);
            site.report(venue, angler, day, 12, "club").await;
        }
    }
    tell(
        &site,
        "UPDATE spells SET method_id = 2 WHERE session_id IN
         (SELECT id FROM sessions WHERE angler_id = 3 AND fished_on = '2026-11-05')",
    )
    .await;
    site.fitted().await;
    let page = site.member().await.get(PAGE).await.shown();
    page.says("Thu 5 Nov 2026")
        .says("Mon 9 Nov 2026")
        .does_not_say("Pole: 2 anglers");
    assert_eq!(
        page.body.matches("Pole: 3 anglers").count(),
        5,
        "of every listed day but the ninth"
    );
}
