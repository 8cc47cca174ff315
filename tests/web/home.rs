//! The front page: what is on, the latest results, and the run-up at each water.

use peglore::domain::{dates::Day, ids::VenueId};

use super::matches::run;
use crate::support::{TestSite, planted::Planted};

#[tokio::test]
async fn an_empty_club_is_told_what_comes_here_and_who_brings_it() {
    let site = TestSite::new().await;
    site.visitor()
        .get("/")
        .await
        .shown()
        .says("No water is on record yet. An organiser sets them up.")
        .says("No match is planned.")
        .says("No result has been posted yet.")
        .says("class=\"do\" href=\"/sign-in\"");
    let organiser = site.organiser().await;
    for (page, words) in [
        (
            "/weather",
            "No water is on record yet. <a href=\"/venues/new\">",
        ),
        (
            "/matches/new",
            "a match needs one. <a href=\"/venues/new\">",
        ),
    ] {
        let shown = organiser.get(page).await.shown();
        shown.says(words).does_not_say("Make the match");
    }
    organiser
        .get("/")
        .await
        .shown()
        .says("href=\"/venues/new\"");
}

#[tokio::test]
async fn officers_of_an_empty_club_are_shown_its_first_steps() {
    let site = TestSite::new().await;
    let administrator = site.administrator().await;
    let home = administrator.get("/").await.shown();
    home.says("First steps")
        .says("class=\"do\" href=\"/committee/club\">Name the club")
        .says("href=\"/venues/new\">Set up a water")
        .says("href=\"/committee/people\">Invite people")
        .says("href=\"/imports\">Bring in old sheets")
        .does_not_say("/report/quick");
    assert_eq!(home.body.matches("class=\"do\"").count(), 1);

    let form = [
        ("name", "Quillet Anglers"),
        ("names", "full name"),
        ("zone", "Europe/London"),
    ];
    administrator.submit("/committee/club", &form).await.taken();
    let home = administrator.get("/").await.shown();
    home.says("Done: Quillet Anglers.")
        .says("class=\"do\" href=\"/venues/new\">Set up a water");

    let organisers = site.organiser().await.get("/").await.shown();
    organisers
        .says("class=\"do\" href=\"/venues/new\">Set up a water")
        .does_not_say("/committee/people");
    let report = administrator.get("/report").await.shown();
    report
        .says("href=\"/venues/new\">Set one up")
        .does_not_say("Ask an organiser");

    site.water(1).await;
    let home = administrator.get("/").await.shown();
    home.says("First steps")
        .says("Done: it is on record.")
        .says("Done: you are not the only one.")
        .says("class=\"do\" href=\"/report/quick\"");
    site.member()
        .await
        .get("/")
        .await
        .shown()
        .does_not_say("First steps");

    let day = Day::new(2026, 11, 1).expect("a day");
    site.report(VenueId(1), 901, day, 3, "club").await;
    let home = administrator.get("/").await.shown();
    home.does_not_say("First steps");
}

/// The mark for a variable wind is explained where it is drawn, and not where no wind has one.
#[tokio::test]
async fn a_variable_wind_in_the_strips_of_home_is_explained_there() {
    for (variable, explained) in [
        ("UPDATE weather_days SET wind_variable = 1", true),
        ("UPDATE weather_days SET wind_variable = 0", false),
    ] {
        let site = TestSite::new().await;
        site.water(1).await;
        run(
            &site,
            "INSERT INTO weather_sources (id, name, kind) VALUES (1, 'By hand', 'by hand');
             INSERT INTO venue_sources (venue_id, source_id, rank) VALUES (1, 1, 1);
             INSERT INTO weather_days (source_id, on_date, min_c, max_c, wind_ms, entered_utc) VALUES (1, '2026-11-12', 3, 9, 5, 1)",
        )
        .await;
        run(&site, variable).await;

        let home = site.visitor().get("/").await.shown();
        home.says("arrows are the wind along its travel");
        assert_eq!(home.body.contains(", ~ variable"), explained);
    }
}

/// A report made here is no sheet brought in.
#[tokio::test]
async fn old_sheets_are_done_only_once_one_is_brought_in() {
    let site = TestSite::new().await;
    let administrator = site.administrator().await;
    site.water(1).await;
    let day = Day::new(2026, 11, 1).expect("a day");
    site.report(VenueId(1), 901, day, 3, "club").await;
    let home = administrator.get("/").await.shown();
    home.says("First steps")
        .says("Nothing waits for it")
        .does_not_say("Done: a sheet");

    run(
        &site,
        "INSERT INTO imports (file_name, file_sha256, kind, state, at_utc, content)
         VALUES ('old.csv', zeroblob(32), 'results', 'done', 0, x'00')",
    )
    .await;
    let home = administrator.get("/").await.shown();
    home.says("Done: a sheet is in the record.");
}

#[tokio::test]
async fn an_angler_without_a_water_is_told_who_brings_one() {
    let site = TestSite::new().await;
    let member = site.member().await;
    let home = member.get("/").await.shown();
    home.says("There is no water to report from yet.")
        .does_not_say("First steps")
        .does_not_say("/report/quick")
        .does_not_say("/venues/new");
    let report = member.get("/report").await.shown();
    report.says("Once an organiser has set one up, reports follow.");
}

#[tokio::test]
async fn a_member_is_offered_the_quick_report_and_sees_results_and_waters() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;

    let page = site.member().await.get("/").await.shown();

    page.says("class=\"do\" href=\"/report/quick\"")
        .says("Frost Cup, round 8")
        .says("Quillet Water: six anglers, won with")
        .says(&format!("href=\"{}\"", planted.path))
        .says("None of the ten days before has a temperature written down.");
    assert_eq!(
        page.body.matches("class=\"do\"").count(),
        1,
        "one thing to do"
    );
}

#[tokio::test]
async fn a_printed_page_says_whose_it_is_and_when_it_was_printed() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let water = |page: &str| format!("{}{page}", planted.path);
    let pages = ["", "/what-it-took", "/record", "/weather"].map(water);
    for address in pages.iter().map(String::as_str).chain(["/", "/matches"]) {
        let page = site.visitor().get(address).await.shown();
        page.says("<a class=\"club\"")
            .says("<span class=\"on-paper\"> Printed on Saturday 14 November 2026.</span>");
    }
}
