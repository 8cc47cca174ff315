//! What to expect and like days: never waiting for a fit, honest first, each series apart.

use axum::http::StatusCode;
use peglore::{
    actions::keep_fits,
    domain::{ids::VenueId, weather::DailyWeather},
    statistics::{fished_days::Series, series_study::CUSTOMS_FORMULA},
    store::statistics::studies::Of,
};

use crate::support::{
    TestSite,
    fishing::{SILVERS, TODAY},
    record::tell,
};

const PAGE: &str = "/venues/1/like-days";

#[tokio::test]
async fn the_page_never_waits_for_a_fit_and_says_so() {
    let site = TestSite::with_club(1, 12, 0).await;
    let began = std::time::Instant::now();
    let page = site.visitor().get(PAGE).await.shown();
    assert!(began.elapsed().as_secs_f64() < 2.0);
    page.says("Nothing has been worked out for this water yet")
        .says("How boldly to begin")
        .says("By custom, begin");

    site.fitted().await;
    let page = site.visitor().get(PAGE).await.shown();
    let honest = page
        .body
        .find("How far to trust this.")
        .expect("an honest line");
    let figures = page.body.find("expect about").expect("figures");
    assert!(honest < figures, "the honest line comes first");
    page.says("too few to tell whether the weather matters here")
        .says("in five hours with one rod")
        .says("The nearest days: Matches")
        .says("href=\"#alike-match\"")
        .says(" fished, ")
        .says("small-strip")
        .says("The figures behind it, as CSV");
}

#[tokio::test]
async fn did_not_weigh_counts_as_nothing_and_the_figure_without_stands_beside() {
    let site = TestSite::with_club(1, 20, 0).await;
    site.fitted().await;
    let page = site.visitor().get(PAGE).await.shown();
    page.says("Without those who did not weigh")
        .says("did not weigh and count as nothing caught above");
}

#[tokio::test]
async fn what_the_clubs_days_say_of_a_custom_stands_on_days_sessions_and_hours_with_a_file() {
    let site = TestSite::with_club(1, 20, 0).await;
    site.fitted().await;
    // A week of frost makes a custom hold, whatever the club’s own weather was.
    for ago in 1..=7 {
        let frozen = DailyWeather {
            min_c: Some(-4.0),
            max_c: Some(1.0),
            ..DailyWeather::default()
        };
        site.weather(VenueId(1), TODAY.plus(-ago), frozen).await;
    }
    let page = site.visitor().get(PAGE).await.shown();
    let (_, begin) = page
        .body
        .split_once("<h2 id=\"begin\">")
        .expect("how boldly to begin");
    let (begin, _) = begin.split_once("</section>").expect("it ends");
    assert!(begin.contains("three or more frost nights in seven"));
    let own = begin
        .split("<br>")
        .find(|line| line.starts_with("Matches: "))
        .expect("the club's own days");
    assert!(
        own.contains("no fished day") || (own.contains("session") && own.contains("rod-hours)")),
        "{own}"
    );
    assert!(
        begin.contains("like-days.csv?series=match"),
        "a file of the days"
    );

    // The water's own page says the same of it.
    let water = site.visitor().get("/venues/1").await.shown();
    let (_, on_water) = (water.body.split_once("<h2 id=\"approach\">")).expect("how boldly");
    let (on_water, _) = on_water.split_once("</section>").expect("it ends");
    let own = own.split("</li>").next().expect("its words");
    for said in [
        own,
        "Of all its days: Matches, ",
        "like-days.csv?series=match",
        CUSTOMS_FORMULA,
    ] {
        assert!(on_water.contains(said), "{said}");
    }
}

/// What is not known of the day asked about is no fault of the days beside it.
#[tokio::test]
async fn what_is_not_known_of_the_day_asked_about_is_said_once() {
    let site = TestSite::with_club(1, 20, 0).await;
    site.fitted().await;
    tell(
        &site,
        "UPDATE weather_days SET pressure_hpa = NULL WHERE on_date >= '2026-11-09'",
    )
    .await;
    let page = site.visitor().get(PAGE).await.shown();
    page.says("Not known of the days before the one asked about, so not compared: pressure.")
        .says("small-strip");
    assert!(
        !page.body.contains("pressure not known"),
        "said of a past day"
    );
}

#[tokio::test]
async fn one_day_and_no_band_are_said_as_they_are() {
    let site = TestSite::with_club(1, 1, 0).await;
    site.fitted().await;
    site.visitor()
        .get(PAGE)
        .await
        .shown()
        .says("One day on record is too few to tell whether the weather matters here")
        .says("(no band yet)")
        .says("no days foretold so far, and twenty are needed");
}

#[tokio::test]
async fn figures_that_are_out_of_date_are_shown_with_their_date() {
    let site = TestSite::with_club(1, 10, 0).await;
    site.fitted().await;
    site.visitor()
        .get(PAGE)
        .await
        .shown()
        .does_not_say("has changed since");

    site.weather(VenueId(1), TODAY.plus(-4), DailyWeather::default())
        .await;

    site.visitor()
        .get(PAGE)
        .await
        .shown()
        .says("has changed since they were made on Sat 14 Nov 2026, 12:00 GMT")
        .says("expect about");
}

#[tokio::test]
async fn a_failed_attempt_is_told_beside_the_last_good_figures() {
    let site = TestSite::with_club(1, 10, 0).await;
    site.fitted().await;
    let mut reading = site.site.db.read().await.expect("a reader");
    let standing = site
        .site
        .db
        .studies()
        .standing(&mut reading, VenueId(1))
        .await
        .expect("read");
    drop(reading);
    for (_, standing) in standing {
        keep_fits::note_failure(
            &site.site.db,
            standing.id,
            "the fit did not settle",
            site.site.now(),
        )
        .await
        .expect("noted");
    }
    site.visitor()
        .get(PAGE)
        .await
        .shown()
        .says("The last attempt at new figures failed and is made again within two hours.")
        .does_not_say("the fit did not settle")
        .says("expect about");
}

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
    let page = member.get(PAGE).await.shown();
    page.says("expect about")
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
        .says("Members’ reports are shown to members")
        .does_not_say("expect about");
    let refused = site
        .visitor()
        .get("/venues/1/like-days.csv?series=report&group=2")
        .await;
    assert_eq!(refused.status, StatusCode::FORBIDDEN);
}

#[tokio::test]
async fn how_two_anglers_fished_a_day_is_not_shown() {
    let site = TestSite::new().await;
    let venue = site.water(1).await;
    for angler in 1..=3 {
        site.report(venue, angler, TODAY.plus(-9), 12, "club").await;
        site.report(venue, angler, TODAY.plus(-5), 12, "club").await;
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
        1,
        "of the ninth only"
    );
}

#[tokio::test]
async fn tomorrow_takes_todays_weather_typed_in_and_saves_nothing() {
    let site = TestSite::with_club(1, 12, 0).await;
    site.fitted().await;
    let tomorrow = TODAY.plus(1);
    let page = site
        .visitor()
        .get(&format!("{PAGE}?date={tomorrow}"))
        .await
        .shown();
    page.says(", Sunday 15 November 2026</h1>")
        .says("min=\"2026-11-14\" max=\"2026-11-15\"")
        .says("Today or tomorrow: the weather of the days before a later day is not known yet.")
        .says(&format!("low_{TODAY}"))
        .does_not_say("Far from usual.");

    let typed = format!("{PAGE}?date={tomorrow}&low_{TODAY}=-9&high_{TODAY}=-3&rain_{TODAY}=trace");
    let page = site.visitor().get(&typed).await.shown();
    page.says("What you typed for Sat 14 Nov is used on this page only and is not saved: Sat 14 Nov low −9.0 °C, high −3.0 °C, rain a trace, too little to measure.")
        .says("value=\"-9\"");
    // On paper the form is left out, and the sentence stands above it.
    let (above, _) = page
        .body
        .split_once("<form method=\"get\"")
        .expect("a form");
    assert!(above.contains("What you typed for"));
    let marks_after = site.visitor().get(PAGE).await.shown();
    marks_after.does_not_say("has changed since");

    // What hardly any day has is remarked on above the answer.
    let wild = format!(
        "{PAGE}?date={tomorrow}&low_{TODAY}=-25&high_{TODAY}=30&rain_{TODAY}=900&wind_{TODAY}=120"
    );
    let page = site.visitor().get(&wild).await.shown();
    page.says("Sat 14 Nov: 900.0\u{a0}mm is far more rain than one day usually brings. Check what you typed.")
        .says("is far from usual as the mean of a whole day");
    assert_eq!(page.body.matches("<b>Far from usual.</b>").count(), 4);

    site.visitor()
        .get(&format!("{PAGE}?date={tomorrow}&low_{TODAY}=mild"))
        .await
        .asks("could not be read as the temperature")
        .says("value=\"mild\"");
    site.visitor()
        .get(&format!("{PAGE}?date=2026-12-24"))
        .await
        .asks("This page looks ahead by a day at most")
        .says(": what to expect</h1>")
        .says("No figures are shown: this page looks at today and tomorrow only.")
        .does_not_say("14 November 2026</h1>")
        .does_not_say("expect about")
        .does_not_say("By custom, begin")
        .does_not_say("The nearest days");
    site.visitor()
        .get(&format!("{PAGE}?date=2020-01-01"))
        .await
        .asks("That day has gone: this page looks at today, Saturday 14 November 2026, or tomorrow, Sunday 15 November 2026.")
        .says("What you typed is still in its box below.")
        .does_not_say("looks ahead by a day");
    site.visitor()
        .get(&format!("{PAGE}?date=1890-01-01"))
        .await
        .asks("That day has gone")
        .says("value=\"1890-01-01\"")
        .says("What you typed is still in its box below.");
    for none in ["2026-02-30", "abc"] {
        site.visitor()
            .get(&format!("{PAGE}?date={none}"))
            .await
            .asks(&format!(
                "“{none}” is not a date: choose today, Saturday 14 November 2026,"
            ))
            .does_not_say("looks ahead by a day")
            .does_not_say("still in its box");
    }
    for odd in [
        "date=%00",
        "group=99",
        "hours=-1",
        "peg=%3Cb%3E",
        "series=all&group=&hours=",
    ] {
        let status = site.visitor().get(&format!("{PAGE}?{odd}")).await.status;
        assert!(!status.is_server_error(), "{odd}: {status}");
    }
}

#[tokio::test]
async fn the_days_behind_a_figure_can_be_taken_away() {
    let site = TestSite::with_club(1, 30, 0).await;
    site.fitted().await;
    let of = Of {
        series: Series::Match,
        groups: peglore::domain::groups::GroupSet::from_bits(SILVERS).expect("a set"),
    };
    let csv = site
        .visitor()
        .get(&format!(
            "/venues/1/like-days.csv?series={}&group={}",
            of.series.slug(),
            of.groups.bits()
        ))
        .await
        .shown();
    assert_eq!(csv.headers["content-type"], "text/csv; charset=utf-8");
    csv.says("catch,catch unit,catch expected from season,catch expected from season and form,catch foretold from earlier days alone,")
        .says("mean temperature over 3 days (°C),change of the daily mean over 7 days (°C a day),frost nights in 7,ln(1 + rain mm) over 3 days,")
        .says("westerly wind over 3 days (m/s),southerly wind over 3 days (m/s),pressure of the day before (hPa),change of pressure over 3 days (hPa),")
        .says("custom: ice,custom: frosts,custom: falling,custom: cold-rain,custom: mild,custom: south-west,custom: rising");
    assert!(csv.body.contains(",yes") && csv.body.contains(",no"));
    assert_eq!(csv.body.lines().count(), 1 + 20, "a row a match day");
    let none = site
        .visitor()
        .get("/venues/1/like-days.csv?series=match&group=16")
        .await;
    assert_eq!(none.status, StatusCode::NOT_FOUND);
}
