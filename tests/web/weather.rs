//! The weather of a venue: today and its run-up in one save, gaps, bad figures kept, two writers, sources ranked.

use axum::http::StatusCode;
use peglore::{
    domain::{dates::Day, ids::VenueId, weather::DailyWeather},
    store::weather::{self, Written},
};

use crate::support::TestSite;

/// The test clock stands on Saturday 14 November 2026.
const TODAY: Day = Day(jiff::civil::date(2026, 11, 14));

pub async fn water(site: &TestSite, id: i64) -> VenueId {
    let mut writing = site.site.db.write().await.expect("a writer");
    sqlx::query("INSERT INTO venues (id, pid, name) VALUES (?, ?, ?)")
        .bind(id)
        .bind(format!("{id:026}"))
        .bind(format!("Quillet Water {id}"))
        .execute(&mut *writing)
        .await
        .expect("a fresh venue");
    writing.commit().await.expect("kept");
    VenueId(id)
}

/// A station that a venue uses and that says 8.6 mm of rain and 1016 hPa for today.
pub async fn station(site: &TestSite, venue: VenueId) -> String {
    let mut writing = site.site.db.write().await.expect("a writer");
    let source = weather::insert_source(&mut writing, "Harl Top", "csv", "09:00")
        .await
        .expect("a free name");
    weather::set_rank(&mut writing, venue, source, Some(1))
        .await
        .expect("ranked");
    let says = DailyWeather {
        rain_mm: Some(8.6),
        pressure_hpa: Some(1016.0),
        ..DailyWeather::default()
    };
    let written = Written {
        by: None,
        import: None,
        at: site.site.now(),
    };
    weather::put_day(&mut writing, source, TODAY, &says, written)
        .await
        .expect("written");
    writing.commit().await.expect("kept");
    source.to_string()
}

pub async fn days(site: &TestSite, venue: VenueId) -> Vec<(Day, DailyWeather)> {
    let mut reading = site.site.db.read().await.expect("a reader");
    weather::effective_days(&mut reading, venue, TODAY.plus(-10), TODAY)
        .await
        .expect("read")
}

async fn mark(site: &TestSite, venue: VenueId, topic: &str) -> i64 {
    let mut reading = site.site.db.read().await.expect("a reader");
    sqlx::query_scalar(
        "SELECT COALESCE(SUM(mark), 0) FROM data_marks WHERE venue_id = ? AND topic = ?",
    )
    .bind(venue.0)
    .bind(topic)
    .fetch_one(&mut *reading)
    .await
    .expect("a mark")
}

#[tokio::test]
async fn today_and_its_run_up_of_ten_days_are_written_in_one_save() {
    let site = TestSite::new().await;
    let venue = water(&site, 1).await;
    let member = site.member().await;
    member
        .get("/venues/1/weather")
        .await
        .shown()
        .says("None of the eleven days is written down")
        .says(&format!("name=\"low_{}\"", TODAY.plus(-10)));
    let mut fields = Vec::new();
    for at in 0..11 {
        let day = TODAY.plus(-at);
        for (key, value) in [
            ("low", "-1,5"),
            ("high", "8"),
            ("rain", "trace"),
            ("wind", "10"),
            ("from", "sw"),
            ("pressure", "1016"),
            ("ice", "edges"),
        ] {
            fields.push((format!("{key}_{day}"), value));
        }
    }
    let fields: Vec<_> = fields.iter().map(|(k, v)| (k.as_str(), *v)).collect();
    let to = member.submit("/venues/1/weather", &fields).await.taken();
    assert!(to.ends_with("done=weather-saved"), "{to}");

    let kept = days(&site, venue).await;
    assert_eq!(kept.len(), 11);
    let (_, first) = kept[0];
    assert_eq!((first.min_c, first.max_c), (Some(-1.5), Some(8.0)));
    assert_eq!((first.rain(), first.rain_trace), (Some(0.0), true));
    assert!((first.wind_ms.expect("typed") - 4.4704).abs() < 1e-9);
    member
        .get(&to)
        .await
        .shown()
        .says("All eleven days are written down");
}

#[tokio::test]
async fn days_written_in_part_are_said_to_lack_the_rest() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let member = site.member().await;
    let temperatures: Vec<_> = (0..11)
        .flat_map(|ago| {
            let day = TODAY.plus(-ago);
            [(format!("low_{day}"), "4"), (format!("high_{day}"), "9")]
        })
        .collect();
    let mut fields: Vec<_> = (temperatures.iter())
        .map(|(name, value)| (name.as_str(), *value))
        .collect();
    fields.extend([("rain_2026-11-14", "0"), ("pressure_2026-11-14", "1013")]);
    fields.extend([("rain_2026-11-13", "0"), ("wind_2026-11-13", "10")]);
    member.submit("/venues/1/weather", &fields).await.taken();
    member
        .get("/venues/1/weather")
        .await
        .shown()
        .says("Something of all eleven days is written down.")
        .says("Nine days have no rain, wind or pressure.")
        .says("Fri 13 Nov has no direction of the wind or pressure.")
        .says("; two dashes: direction not written down.</figcaption>")
        .says("Sat 14 Nov has no wind.")
        .does_not_say("All eleven days are written down");
}

#[tokio::test]
async fn a_gap_is_shown_as_a_gap() {
    let site = TestSite::new().await;
    let venue = water(&site, 1).await;
    station(&site, venue).await;
    let page = site.visitor().get("/venues/1/weather").await.shown();
    page.says("no record")
        .says("1 of eleven days is written down");
    site.visitor()
        .get("/weather")
        .await
        .shown()
        .says("1 of eleven days");
}

#[test]
fn boxes_of_a_phone_hold_calm_and_three_figures() {
    // Six abreast are too narrow for them on a phone 390 px wide (24.4rem): three and three.
    let sheet = include_str!("../../static/css/pages/weather.css");
    let (_, phone) = sheet
        .split_once("@media (max-width: 28rem)")
        .expect("a rule for phones");
    assert!(phone.contains("grid-template-columns: repeat(3, minmax(0, 1fr))"));
    // Their heading scrolls away, so each bears its own.
    assert!(phone.contains("& td[data-says]::before { content: attr(data-says); display: block;"));
    assert!(sheet.contains("&.told td { padding: 0; white-space: nowrap; }"));
}

#[tokio::test]
async fn bad_figures_come_back_as_typed_each_with_the_way_to_mend_it_and_nothing_is_saved() {
    let site = TestSite::new().await;
    let venue = water(&site, 1).await;
    let fields = [
        ("low_2026-11-14", "9"),
        ("high_2026-11-14", "4"),
        ("rain_2026-11-13", "lots"),
        ("pressure_2026-11-12", "29.92"),
        ("pressure_2026-11-11", "1013"),
    ];
    let answer = site
        .member()
        .await
        .submit("/venues/1/weather", &fields)
        .await;
    let answer = answer
        .asks("could not be read as the rain")
        .asks("is above the high");
    answer
        .says("<title>Error: ")
        .says("value=\"lots\"")
        .says("aria-describedby=\"rain_2026-11-13-problem\"")
        .says("colspan=\"7\"><p class=\"problem\" id=\"rain_2026-11-13-problem\">")
        .says("write in after it")
        .says("value=\"1013\"");
    assert!(days(&site, venue).await.is_empty());
}

#[tokio::test]
async fn a_figure_far_from_usual_is_asked_about_and_a_tick_saves_it() {
    let site = TestSite::new().await;
    let venue = water(&site, 1).await;
    let member = site.member().await;
    let mild: Vec<_> = (1..=5)
        .map(|ago| (format!("low_{}", TODAY.plus(-ago)), "9"))
        .collect();
    let mild: Vec<_> = mild.iter().map(|(k, v)| (k.as_str(), *v)).collect();
    member.submit("/venues/1/weather", &mild).await.taken();

    let mut odd = vec![
        ("low_2026-11-14", "-45"),
        ("rain_2026-11-14", "350"),
        ("pressure_2026-11-14", "1013"),
    ];
    let answer = member.submit("/venues/1/weather", &odd).await;
    answer
        .asks("Sat 14 Nov: −45.0\u{a0}°C is far from usual: the middle of the lows of the days beside it is 9.0\u{a0}°C.")
        .says("350.0\u{a0}mm is far more rain than one day usually brings.")
        .says("value=\"-45\"")
        .says("value=\"1013\"")
        .says("name=\"low_2026-11-14_sure\" value=\"−45.0 °C\">")
        .does_not_say("pressure_2026-11-14_sure");
    assert_eq!(days(&site, venue).await.len(), 5, "nothing is saved");

    // A tick holds for its own figure, and the other question stays.
    odd.push(("low_2026-11-14_sure", "−45.0 °C"));
    member
        .submit("/venues/1/weather", &odd)
        .await
        .asks("far more rain")
        .says("value=\"−45.0 °C\" checked>")
        .does_not_say("id=\"low_2026-11-14-problem\"");
    odd.push(("rain_2026-11-14_sure", "350.0 mm"));
    member.submit("/venues/1/weather", &odd).await.taken();
    let (_, kept) = days(&site, venue).await[5];
    assert_eq!((kept.min_c, kept.rain_mm), (Some(-45.0), Some(350.0)));
}

#[tokio::test]
async fn a_visitor_reads_a_plain_table_and_is_told_first_how_to_write() {
    let site = TestSite::new().await;
    let venue = water(&site, 1).await;
    station(&site, venue).await;
    let page = site.visitor().get("/venues/1/weather").await.shown();
    page.says("<td role=\"cell\">8.6</td>")
        .does_not_say("<input")
        .does_not_say("<select")
        .does_not_say("Type over any figure");
    let sign_in = page.body.find("to write what you saw").expect("said");
    let table = page.body.find("<table").expect("a table");
    assert!(sign_in < table, "before the days");
    site.member()
        .await
        .get("/venues/1/weather")
        .await
        .shown()
        .says("Type over any figure")
        .does_not_say("to write what you saw");
}

#[tokio::test]
async fn no_day_is_boxed_where_nobody_asked_about_a_session_and_the_figures_stand_once() {
    let site = TestSite::new().await;
    let venue = water(&site, 1).await;
    station(&site, venue).await;
    site.visitor()
        .get("/venues/1/weather")
        .await
        .shown()
        .says("Weather, Wed 4 Nov to Sat 14 Nov 2026")
        .says("Eleven days to Saturday 14 November")
        .says("<b>Wed 4 to Sat 14 November.</b>")
        .does_not_say("class=\"today\"")
        .does_not_say("session day")
        .does_not_say("The run-up as a table");
}

#[tokio::test]
async fn a_calm_is_called_a_calm_wherever_it_came_from() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let still = [("wind_2026-11-13", "0"), ("from_2026-11-13", "S")];
    let member = site.member().await;
    member.submit("/venues/1/weather", &still).await.taken();
    site.visitor()
        .get("/venues/1/weather")
        .await
        .shown()
        .says("<td role=\"cell\">calm</td><td role=\"cell\"></td>")
        .does_not_say("<td role=\"cell\">S</td>");
    member
        .get("/venues/1/weather")
        .await
        .shown()
        .says("name=\"wind_2026-11-13\" inputmode=\"text\" value=\"calm\"");
    let strip = site.visitor().get("/venues/1").await.shown();
    strip
        .says("<span class=\"nowrap\">calm</span>")
        .does_not_say("0\u{a0}mph");
}

#[tokio::test]
async fn the_later_of_two_writers_is_shown_both_figures_and_can_save_again() {
    let site = TestSite::new().await;
    let venue = water(&site, 1).await;
    let (early, late) = (site.member().await, site.other_member().await);
    early
        .submit(
            "/venues/1/weather",
            &[("seen_2026-11-14", "0"), ("rain_2026-11-14", "11")],
        )
        .await
        .taken();
    let mut fields = vec![("seen_2026-11-14", "0"), ("rain_2026-11-14", "4.2")];
    let answer = late.submit("/venues/1/weather", &fields).await;
    assert_eq!(answer.status, StatusCode::CONFLICT);
    answer
        .says("rain 11.0 mm")
        .says("rain 4.2 mm")
        .says("value=\"4.2\"");
    assert_eq!(days(&site, venue).await[0].1.rain_mm, Some(11.0));

    fields[0].1 = "1";
    late.submit("/venues/1/weather", &fields).await.taken();
    assert_eq!(days(&site, venue).await[0].1.rain_mm, Some(4.2));
}

#[tokio::test]
async fn writing_raises_the_weather_mark_of_that_venue_alone() {
    let site = TestSite::new().await;
    let (here, elsewhere) = (water(&site, 1).await, water(&site, 2).await);
    let member = site.member().await;
    member
        .submit("/venues/1/weather", &[("rain_2026-11-14", "1")])
        .await
        .taken();
    assert!(mark(&site, here, "weather").await > 0);
    assert_eq!(mark(&site, here, "sessions").await, 0);
    assert_eq!(mark(&site, elsewhere, "weather").await, 0);
}

#[tokio::test]
async fn an_officer_adds_a_source_and_ranks_it_and_a_bad_rank_is_kept() {
    let site = TestSite::new().await;
    let venue = water(&site, 1).await;
    let officer = site.organiser().await;
    let path = "/venues/1/weather/sources";
    officer
        .submit(
            path,
            &[("add", "on"), ("new_name", "Harl Top"), ("new_kind", "csv")],
        )
        .await
        .taken();
    officer
        .submit(
            path,
            &[("add", "on"), ("new_name", "Harl Top"), ("new_kind", "csv")],
        )
        .await
        .asks("Another source has that name");
    let bad = [
        ("name_1", "Harl Top"),
        ("rank_1", "first"),
        ("day_ends_1", "09:00"),
    ];
    officer
        .submit(path, &bad)
        .await
        .asks("Enter a rank from 1 to 99")
        .says("value=\"first\"");
    let odd = [
        ("name_1", " "),
        ("rank_1", "1"),
        ("day_ends_1", "elevenish"),
    ];
    officer
        .submit(path, &odd)
        .await
        .asks("Enter the hour at which the source’s day ends")
        .says("id=\"day_ends_1-problem\"")
        .says("id=\"name_1-problem\"")
        .says("value=\"elevenish\"");
    let good = [
        ("name_1", "Harl Top"),
        ("rank_1", "1"),
        ("day_ends_1", "09:00"),
        ("rain_1", "on"),
    ];
    officer.submit(path, &good).await.taken();
    let mut reading = site.site.db.read().await.expect("a reader");
    let sources = weather::sources_of(&mut reading, venue)
        .await
        .expect("read");
    assert_eq!((sources[0].rank, sources[0].rain_shift), (Some(1), -1));
    assert_eq!(sources[0].day_ends_at, "09:00");
}
