//! The methods, baits and fish that reports choose from, as officers keep them.

use axum::http::StatusCode;

use crate::support::{TestSite, reports::with_water};

const PATH: &str = "/committee/tackle";

#[tokio::test]
async fn an_officer_names_a_method_a_bait_and_a_fish_and_reports_offer_them() {
    let site = with_water().await;
    let (officer, member) = (site.organiser().await, site.member().await);
    let report = "/report?venue=1";
    member.get(report).await.shown().does_not_say("Drop shot");
    let refused = member.submit(PATH, &[("kind", "bait")]).await;
    assert_eq!(refused.status, StatusCode::FORBIDDEN);

    let forms: [&[(&str, &str)]; 3] = [
        &[("kind", "method"), ("name", " Drop  shot ")],
        &[("kind", "bait"), ("name", "Tares")],
        &[
            ("kind", "fish"),
            ("name", "Golden orfe"),
            ("group", "silvers"),
        ],
    ];
    for form in forms {
        officer.submit(PATH, form).await.taken();
    }

    member
        .get(report)
        .await
        .shown()
        .says(">Drop shot</option>")
        .says(">Tares</option>")
        .says("Golden orfe");
    let page = officer.get(PATH).await.shown();
    page.says("Golden orfe, Gudgeon");
    let at = |words: &str| page.body.find(words).expect("on the page");
    assert!(
        at(">Drop shot<") < at(">Other<"),
        "what is left over stands last"
    );
}

#[tokio::test]
async fn what_cannot_be_named_is_told_at_its_field_and_kept_as_typed() {
    let site = TestSite::new().await;
    let officer = site.organiser().await;
    let cases: [(&[(&str, &str)], &str); 8] = [
        (
            &[("kind", ""), ("name", "Tares")],
            "a method, a bait or a fish",
        ),
        (&[("kind", "bait"), ("name", " . ")], "Enter its name"),
        (
            &[("kind", "bait"), ("name", "MAGGOT")],
            "is on the list already",
        ),
        (
            &[("kind", "bait"), ("name", "maggots")],
            "“maggots” looks like Maggot, which is on the list already",
        ),
        (
            &[("kind", "bait"), ("name", "Mag-got")],
            "looks like Maggot",
        ),
        (
            &[("kind", "fish"), ("name", "Roachs"), ("group", "silvers")],
            "looks like Roach,",
        ),
        (&[("kind", "fish"), ("name", "Orfe")], "Choose the group"),
        (
            &[("kind", "fish"), ("name", "Crucian"), ("group", "silvers")],
            "is on the list already",
        ),
    ];
    for (form, says) in cases {
        let name = format!("name=\"name\" value=\"{}\"", form[1].1);
        officer.submit(PATH, form).await.asks(says).says(&name);
    }
}

#[tokio::test]
async fn what_is_taken_off_is_no_longer_offered_until_it_is_again() {
    let site = with_water().await;
    let (officer, member) = (site.organiser().await, site.member().await);
    let whip = |offered| [("kind", "method"), ("id", "2"), ("offered", offered)];
    let report = "/report?venue=1";
    member.get(report).await.shown().says(">Whip</option>");

    officer.submit(PATH, &whip("no")).await.taken();
    officer.get(PATH).await.shown().says("off the lists");
    member
        .get(report)
        .await
        .shown()
        .does_not_say(">Whip</option>");

    officer.submit(PATH, &whip("yes")).await.taken();
    member.get(report).await.shown().says(">Whip</option>");
    let page = officer.get(PATH).await.shown();
    page.says("always offered").does_not_say(": Other<");
    // The last method that is planted is “Other”.
    for odd in [
        [("kind", "method"), ("id", "8"), ("offered", "no")],
        [("kind", "method"), ("id", "999"), ("offered", "no")],
        [("kind", "fish"), ("id", "1"), ("offered", "no")],
        [("kind", "bait"), ("id", "x"), ("offered", "no")],
    ] {
        let answer = officer.submit(PATH, &odd).await;
        assert_eq!(answer.status, StatusCode::NOT_FOUND, "{odd:?}");
    }
}
