//! What the record shows: the same figures as the statistics give on planted data, and who sees them.

use axum::http::StatusCode;
use peglore::statistics::{
    rates::{FORMULA, Measure, Rate, SOURCE},
    record::{Figure, figures},
};

use crate::support::{
    TestSite,
    planted::{Planted, bare_water, day, reports},
};

#[tokio::test]
async fn a_water_without_a_session_says_so_and_its_file_has_only_a_heading() {
    let site = TestSite::new().await;
    bare_water(&site).await;

    let page = site.visitor().get("/venues/1/record").await.shown();
    let file = site.visitor().get("/venues/1/record.csv").await.shown();

    page.says("No match with hours and weights is on record here yet")
        .says("will be added up here");
    assert_eq!(file.body.lines().count(), 1, "{}", file.body);
    assert_eq!(
        site.visitor().get("/venues/9/record").await.status,
        StatusCode::NOT_FOUND
    );
}

#[tokio::test]
async fn the_figures_are_those_of_the_statistics_with_those_who_did_not_weigh_as_bounds() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let rows = planted.record_rows();
    let caught: Vec<_> = rows.iter().map(|row| row.caught).collect();
    let rate = Rate::of(Measure::Weight(planted.scale()), &caught);

    let page = site
        .visitor()
        .get(&format!("{}/record", planted.path))
        .await
        .shown();

    let figure = rate.measure.figure(rate.answer.rate().expect("eight days"));
    let between = rate.answer.between(rate.measure).expect("eight days");
    page.says(&format!("<b>{figure}</b>"))
        .says(&format!("({between})"))
        .says(&rate.behind.words())
        .says("Carp and silvers: two anglers did not weigh")
        .says("with the lowest weight above nought weighed beside each it would be")
        .says("Number: not written down for carp or silvers in any session with hours.");
    let all = figures(&rows, planted.scale());
    assert!(matches!(&all[0].sets[0].weight, Figure::Told(told) if *told == rate));
}

#[tokio::test]
async fn the_sentence_of_a_water_says_how_it_was_worked_out_and_gives_its_rows() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let caught: Vec<_> = (planted.record_rows().iter())
        .map(|row| row.caught)
        .collect();
    let rate = Rate::of(Measure::Weight(planted.scale()), &caught);

    let page = site.visitor().get(&planted.path).await.shown();
    let (sentence, after) = page
        .body
        .split_once("What the record shows</a></p>")
        .expect("the sentence leads to the record");
    let (worked, _) = after.split_once("</details>").expect("it ends");

    let (_, sentence) = sentence.split_once("In matches, ").expect("a sentence");
    assert!(sentence.contains(&rate.behind.words()), "{sentence}");
    assert!(
        worked
            .trim_start()
            .starts_with("<details class=\"worked-out\">")
    );
    for said in ["How this was worked out", FORMULA] {
        assert!(worked.contains(said), "{said}");
    }
    // An ampersand is written out in a page.
    for said in SOURCE.split('&') {
        assert!(worked.contains(said), "{said}");
    }
    let file = format!("{}/record.csv", planted.path);
    assert!(worked.contains(&format!("href=\"{file}\"")));
    let rows = site.visitor().get(&file).await.shown();
    assert_eq!(rows.body.lines().count(), 1 + 8 * 6 * 3);
}

#[tokio::test]
async fn reports_need_three_anglers_and_a_reader_of_the_club() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let member = site.member().await;
    let path = format!("{}/record", planted.path);
    planted
        .report(&site, &reports(day(10, 1), &[0, 1, 1, 0], "club"))
        .await;
    member
        .get(&path)
        .await
        .shown()
        .says("Fewer than three anglers have shared reports with the club");

    planted
        .report(&site, &reports(day(10, 1), &[0, 0, 0, 0, 0, 2], "private"))
        .await;
    planted
        .report(&site, &reports(day(10, 1), &[3, 4], "team"))
        .await;
    member
        .get(&path)
        .await
        .shown()
        .says("Fewer than three anglers have shared reports with the club")
        .does_not_say("1.4 fish");

    planted
        .report(&site, &reports(day(10, 11), &[0, 0, 0, 0, 0, 2], "club"))
        .await;

    member
        .get(&path)
        .await
        .shown()
        .says("1.4 fish")
        .says("Volunteered, and they favour good days");
    site.visitor()
        .get(&path)
        .await
        .shown()
        .says("Members’ reports are shown to members.")
        .does_not_say("1.4 fish");
}

#[tokio::test]
async fn the_file_names_nobody_and_lists_no_private_report() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    planted
        .report(&site, &reports(day(10, 1), &[0, 1, 2], "club"))
        .await;
    planted
        .report(&site, &reports(day(10, 1), &[3, 3, 3, 3], "private"))
        .await;
    let path = format!("{}/record.csv", planted.path);

    let visitors = site.visitor().get(&path).await.shown();
    let member = site.member().await;
    let members = member.get(&path).await.shown();
    let peg = site.visitor().get(&format!("{path}?peg=1")).await.shown();

    // Eight matches of six, each by carp, silvers and both.
    assert_eq!(visitors.body.lines().count(), 1 + 8 * 6 * 3);
    assert_eq!(members.body.lines().count(), 1 + 8 * 6 * 3 + 3);
    assert_eq!(peg.body.lines().count(), 1 + 8 * 3);
    members.does_not_say("Hazelpatch").does_not_say("Sedgewick");
    assert!(
        visitors.headers["content-disposition"]
            .to_str()
            .expect("plain")
            .contains("Quillet-Water-record.csv")
    );
    for (path, name) in [
        (
            path.clone(),
            "Quillet-Water-record-with-reports-shared-with-the-club.csv",
        ),
        (
            format!("{path}?peg=1"),
            "Quillet-Water-peg-1-with-reports-shared-with-the-club.csv",
        ),
    ] {
        let list = member.get(&path).await.shown();
        let kept = list.headers["content-disposition"].to_str().expect("plain");
        assert!(kept.contains(name), "{kept}");
    }
}

#[tokio::test]
async fn the_file_leaves_reports_out_until_three_anglers_stand_behind_them() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    planted
        .report(&site, &reports(day(10, 1), &[0, 1, 0], "club"))
        .await;
    let path = format!("{}/record.csv?peg=1", planted.path);

    let members = site.member().await.get(&path).await.shown();

    assert_eq!(members.body.lines().count(), 1 + 8 * 3);
    members.does_not_say(",report,");
}
