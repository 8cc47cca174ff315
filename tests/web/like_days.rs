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
        .says(">Silvers</option>")
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
        .says(", as the day’s average over all who fish; single nets vary far more.</p>")
        .says("The nearest days: Matches")
        .says("href=\"#alike-match\"")
        .says(" fished, ")
        .says("small-strip")
        .says("The figures behind it, as CSV")
        .says("The steps in their order")
        .says("<dt>5. Days alike</dt>")
        .says("Multiplier: (n·A + 6)/(n + 6).")
        .says("frost nights or rain may be fractions")
        .says("<dt>The weather’s two readings</dt><dd>Days alike ")
        .says(" days’ worth), weight ")
        .says("; regression ");
}

#[tokio::test]
async fn did_not_weigh_counts_as_nothing_and_the_figure_without_stands_beside() {
    let site = TestSite::with_club(1, 20, 0).await;
    site.fitted().await;
    let page = site.visitor().get(PAGE).await.shown();
    page.says("Without those who did not weigh")
        .says("did not weigh, counted as nothing caught above");
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
async fn six_days_are_wanted_and_fewer_say_what_they_gave() {
    let site = TestSite::with_club(1, 1, 0).await;
    site.fitted().await;
    site.visitor()
        .get(PAGE)
        .await
        .shown()
        .says("One day on record is too few to expect anything from (six are wanted); on record: ")
        .says(" an hour on ")
        .does_not_say("expect about")
        .does_not_say("no band yet")
        .does_not_say("The nearest days");

    let site = TestSite::with_club(1, 10, 0).await;
    site.fitted().await;
    site.visitor()
        .get(PAGE)
        .await
        .shown()
        .says("on record are too few to tell whether the weather matters here")
        .says("expect about")
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
