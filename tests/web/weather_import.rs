//! Weather files brought in: looked at first, saved once, conflicts shown, undone; and files that
//! are not what they say.

use axum::http::StatusCode;
use peglore::{
    domain::{dates::Day, ids::VenueId, weather::DailyWeather},
    formats::weather_csv::LAYOUT,
    store::weather,
};

use super::weather::water;
use crate::support::{Actor, Answer, TestSite};

const PATH: &str = "/venues/1/weather/import";
const TODAY: Day = Day(jiff::civil::date(2026, 11, 14));
const THREE_DAYS: &str = "date,min_c,max_c,rain_mm,wind_ms,wind_from,pressure_hpa,cloud,snow,ice\r\n\
2026-11-10,-3.5,4,trace,2.5,SW,1013.2,clear,none,edges\r\n\
2026-11-11,1,8,11.5,,,,,,\r\n\
2026-11-12,2,9,0,4,var,1001,overcast,,\r\n";

/// The whole form of a file in our own layout, for a new source.
fn new_source(name: &str) -> Vec<(&str, &str)> {
    let mut form = vec![
        ("act", "look"),
        ("whose", "new"),
        ("new_name", name),
        ("day_ends", "09:00"),
        ("credited", "yes"),
    ];
    form.extend(own_columns());
    form
}

fn own_columns() -> [(&'static str, &'static str); 10] {
    [
        ("col_0", "date"),
        ("col_1", "min-c"),
        ("col_2", "max-c"),
        ("col_3", "rain-mm"),
        ("col_4", "wind-ms"),
        ("col_5", "wind-from"),
        ("col_6", "pressure-hpa"),
        ("col_7", "cloud"),
        ("col_8", "snow"),
        ("col_9", "ice"),
    ]
}

async fn upload(officer: &Actor, content: &[u8]) -> Answer {
    officer
        .upload(PATH, &[], ("file", "harl.csv", content))
        .await
}

/// The word the page wants back with the save.
fn seen(page: &Answer) -> String {
    let from = page
        .body
        .find("name=\"seen\" value=\"")
        .expect("a save button")
        + 19;
    page.body[from..]
        .chars()
        .take_while(|c| *c != '"')
        .collect()
}

/// Lays a file out for a source and saves it; gives its page.
async fn bring(officer: &Actor, content: &[u8], form: &[(&str, &str)]) -> String {
    let page = upload(officer, content).await.taken();
    officer.submit(&page, form).await.taken();
    let looked = officer.get(&page).await.shown();
    let seen = seen(&looked);
    let to = officer
        .submit(&page, &[("act", "save"), ("seen", &seen)])
        .await;
    assert!(to.taken().ends_with("done=imported"));
    page
}

async fn stands(site: &TestSite, day: Day) -> DailyWeather {
    let mut reading = site.site.db.read().await.expect("a reader");
    let days = weather::effective_days(&mut reading, VenueId(1), day, day).await;
    days.expect("read")
        .pop()
        .map(|(_, w)| w)
        .unwrap_or_default()
}

async fn days_kept(site: &TestSite) -> usize {
    let mut reading = site.site.db.read().await.expect("a reader");
    let (first, last) = Day::ALL;
    let days = weather::effective_days(&mut reading, VenueId(1), first, last).await;
    days.expect("read").len()
}

#[tokio::test]
async fn a_file_is_looked_at_saved_once_and_a_second_time_changes_nothing() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let officer = site.organiser().await;
    officer.get(PATH).await.shown().says(&LAYOUT.join(","));
    let page = upload(&officer, THREE_DAYS.as_bytes()).await.taken();
    officer
        .get(&page)
        .await
        .shown()
        .says("Say whose figures these are")
        .does_not_say("What would change");

    officer
        .submit(
            &page,
            &[("act", "look"), ("whose", ""), ("credited", "yes")],
        )
        .await
        .asks("The source: say whose figures these are.")
        .says("href=\"#whose\"")
        .says("id=\"whose-problem\"");
    officer.submit(&page, &new_source("Harl Top")).await.taken();
    let looked = officer.get(&page).await.shown();
    looked
        .says("What would change")
        .says("Tue 10 Nov 2026 to Thu 12 Nov 2026 (3 days)")
        .says("Save 3 days");
    assert_eq!(days_kept(&site).await, 0, "looking changes nothing");
    let save = [("act", "save"), ("seen", &seen(&looked))];
    officer.submit(&page, &save).await.taken();
    assert_eq!(days_kept(&site).await, 3);
    let first = stands(&site, TODAY.plus(-4)).await;
    assert_eq!((first.min_c, first.rain_trace), (Some(-3.5), true));
    officer
        .get(&page)
        .await
        .shown()
        .says("3 days of weather")
        .says("Undo this file");
    officer
        .get(PATH)
        .await
        .shown()
        .says("harl.csv")
        .says("in the record");
    officer
        .submit(&page, &save)
        .await
        .asks("no longer laid out");

    let again = upload(&officer, THREE_DAYS.as_bytes()).await.taken();
    let known = [
        &[("act", "look"), ("whose", "1"), ("credited", "yes")][..],
        &own_columns(),
    ]
    .concat();
    officer.submit(&again, &known).await.taken();
    officer
        .get(&again)
        .await
        .shown()
        .says("This very file is in the record already")
        .says("Nothing in this file is new")
        .does_not_say("name=\"seen\"");
    officer
        .submit(&again, &[("act", "save"), ("seen", "0-3-0-0-0-0")])
        .await
        .asks("nothing to save");
    officer.submit(&again, &[("act", "discard")]).await.taken();
    assert_eq!(officer.get(&again).await.status, StatusCode::NOT_FOUND);
    assert_eq!(days_kept(&site).await, 3);
}

#[tokio::test]
async fn what_is_written_by_hand_is_shown_beside_the_file_and_stands() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let officer = site.organiser().await;
    let by_hand = [("rain_2026-11-11", "9"), ("low_2026-11-11", "1")];
    officer.submit("/venues/1/weather", &by_hand).await.taken();
    let page = upload(&officer, THREE_DAYS.as_bytes()).await.taken();
    officer.submit(&page, &new_source("Harl Top")).await.taken();
    let looked = officer.get(&page).await.shown();
    looked
        .says("rain: Quillet Water 1 by hand says 9.0 mm; this file says 11.5 mm. What Quillet Water 1 by hand says stands.")
        .does_not_say("low: Quillet")
        .says("believed after Quillet Water 1 by hand");
    let save = [("act", "save"), ("seen", &seen(&looked))];
    officer.submit(&page, &save).await.taken();
    let day = stands(&site, TODAY.plus(-3)).await;
    assert_eq!((day.rain_mm, day.max_c), (Some(9.0), Some(8.0)));
    officer
        .get("/venues/1/weather/conflicts")
        .await
        .shown()
        .says("Harl Top: 11.5 mm");
}

#[tokio::test]
async fn a_preview_that_no_longer_holds_is_not_saved() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let officer = site.organiser().await;
    let page = upload(&officer, THREE_DAYS.as_bytes()).await.taken();
    officer.submit(&page, &new_source("Harl Top")).await.taken();
    let seen = seen(&officer.get(&page).await.shown());
    officer
        .submit("/venues/1/weather", &[("rain_2026-11-11", "9")])
        .await
        .taken();
    let answer = officer
        .submit(&page, &[("act", "save"), ("seen", &seen)])
        .await;
    assert_eq!(answer.status, StatusCode::CONFLICT);
    answer
        .says("The record changed since you looked")
        .says("says 9.0 mm");
    assert_eq!(days_kept(&site).await, 1);
}

#[tokio::test]
async fn a_correction_is_a_new_version_and_undoing_it_gives_the_old_figure_back() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let officer = site.organiser().await;
    let first = bring(&officer, THREE_DAYS.as_bytes(), &new_source("Harl Top")).await;
    let mended = "date,rain_mm\n2026-11-11,12.5\n2026-11-12,\n";
    let known = [
        ("act", "look"),
        ("whose", "1"),
        ("credited", "yes"),
        ("col_0", "date"),
        ("col_1", "rain-mm"),
    ];
    let page = upload(&officer, mended.as_bytes()).await.taken();
    officer.submit(&page, &known).await.taken();
    let looked = officer.get(&page).await.shown();
    looked
        .says("rain: 11.5 mm becomes 12.5 mm")
        .says("Save 1 day<");
    let save = [("act", "save"), ("seen", &seen(&looked))];
    officer.submit(&page, &save).await.taken();
    let day = stands(&site, TODAY.plus(-3)).await;
    assert_eq!((day.rain_mm, day.max_c), (Some(12.5), Some(8.0)));

    officer
        .submit(&page, &[("act", "undo")])
        .await
        .asks("Tick that the whole file is undone, then undo it.");
    officer
        .submit(&page, &[("act", "undo"), ("sure", "on")])
        .await
        .taken();
    let day = stands(&site, TODAY.plus(-3)).await;
    assert_eq!((day.rain_mm, day.max_c), (Some(11.5), Some(8.0)));
    officer.get(&page).await.shown().says("undone");
    officer
        .submit(&first, &[("act", "undo"), ("sure", "on")])
        .await
        .taken();
    assert_eq!(days_kept(&site).await, 0);
    officer
        .submit(&first, &[("act", "undo"), ("sure", "on")])
        .await
        .asks("nothing to undo");

    bring(
        &officer,
        THREE_DAYS.as_bytes(),
        &[
            &[("act", "look"), ("whose", "1"), ("credited", "yes")][..],
            &own_columns(),
        ]
        .concat(),
    )
    .await;
    assert_eq!(stands(&site, TODAY.plus(-3)).await.rain_mm, Some(11.5));
}

#[tokio::test]
async fn what_a_water_gives_away_as_csv_comes_back_the_same() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let officer = site.organiser().await;
    bring(&officer, THREE_DAYS.as_bytes(), &new_source("=Harl Top")).await;
    officer
        .submit(
            "/venues/1/weather",
            &[("rain_2026-11-11", "9"), ("wind_2026-11-11", "10")],
        )
        .await
        .taken();
    let csv = site.visitor().get("/venues/1/weather.csv").await.shown();
    csv.says("what stands").says("'=Harl Top,09:00,0,0,0");
    let page = upload(&officer, csv.body.as_bytes()).await.taken();
    officer.get(&page).await.shown().says("several sources");
    let mut form = vec![
        ("act", "look"),
        ("whose", "1"),
        ("credited", "yes"),
        ("col_10", "source"),
        ("only", "=Harl Top"),
    ];
    form.extend(own_columns());
    officer.submit(&page, &form).await.taken();
    officer
        .get(&page)
        .await
        .shown()
        .says("3 days read")
        .says("Nothing in this file is new");
}

#[tokio::test]
async fn a_station_file_keeps_its_flags_and_refuses_totals_over_several_days() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let officer = site.organiser().await;
    let text = "XX000012345,20261110,TMAX,61,,,E,0900\nXX000012345,20261110,TMIN,-15,,,E,0900\n\
                XX000012345,20261110,PRCP,86,,G,E,0900\nXX000012345,20261111,PRCP,0,T,,E,0900\n\
                XX000012345,20261112,MDPR,140,,,E,0900\nXX000012345,20261113,TMAX,x,,,E,0900\n";
    let page = upload(&officer, text.as_bytes()).await.taken();
    let form = [
        ("act", "look"),
        ("whose", "new"),
        ("new_name", "Station XX000012345"),
        ("day_ends", "09:00"),
        ("credited", "no"),
        ("rain", "on"),
    ];
    officer.submit(&page, &form).await.taken();
    let looked = officer.get(&page).await.shown();
    looked
        .says("quality flag: G 1")
        .says("The file prints 2 dates; their figures count for 1 day, because")
        .says("over several days")
        .says("is not a whole number")
        .says("09:00");
    let save = [("act", "save"), ("seen", &seen(&looked))];
    officer.submit(&page, &save).await.taken();
    let day = stands(&site, TODAY.plus(-4)).await;
    assert_eq!((day.min_c, day.max_c), (Some(-1.5), Some(6.1)));
    assert_eq!(
        (day.rain(), day.rain_trace),
        (Some(0.0), true),
        "rain of the 11th began on the 10th"
    );
}

#[tokio::test]
async fn files_that_are_no_weather_say_so_and_leave_nothing() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let officer = site.organiser().await;
    for (content, sentence) in [
        (&b""[..], "file"),
        (b"   \r\n ", "empty"),
        (b"\x89PNG\r\n\x1a\n0000", "a picture"),
        (b"PK\x03\x04rest of it", "a spreadsheet or a zip archive"),
        (b"\x1f\x8b\x08rest", "a compressed file"),
        (b"\x00\x01\x02\x03\x04", "not text"),
        (
            b"date,rain_mm\n\"2026-11-10,3\n2026-11-11,4\n",
            "not closed",
        ),
    ] {
        upload(&officer, content).await.asks(sentence);
    }
    officer
        .upload(PATH, &[], ("other", "x.csv", b"a,b\n"))
        .await
        .asks("Choose the file");
    let large = vec![b'x'; 17 * 1024 * 1024];
    assert_eq!(
        upload(&officer, &large).await.status,
        StatusCode::PAYLOAD_TOO_LARGE
    );
    let wrong = officer.submit(PATH, &[("file", "x")]).await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    officer
        .upload(
            PATH,
            &[],
            ("file", "../../etc/passwd", THREE_DAYS.as_bytes()),
        )
        .await
        .taken();
    officer
        .get(PATH)
        .await
        .shown()
        .says("passwd")
        .does_not_say("etc/");
    assert_eq!(days_kept(&site).await, 0);
}

#[tokio::test]
async fn odd_cells_and_days_are_refused_row_by_row_and_the_good_rows_stay() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let officer = site.organiser().await;
    let rows = [
        "2026-11-01,NaN,,,",
        "2026-11-02,1e9,,,",
        "2026-11-03,٤,,,",
        "2026-11-04,9,4,,",
        "2026-02-29,1,,,",
        "2026-04-31,1,,,",
        "0001-01-01,1,,,",
        "9999-01-01,1,,,",
        "2026-11-15,1,2,,",
        "=1+1,1,,,",
        "<script>,1,,,",
        "2026-11-05,-0,\"4,5\",0x10,",
        "2026-11-06,1,2,-1,",
        "2026-11-07,1,2,3,29.92",
        "2026-11-08,-0,4.5,0,1001",
        "2024-02-29,1,2,3,1002",
        "2026-11-09,1",
    ];
    let text = format!("date,min_c,max_c,rain_mm,pressure_hpa\n{}", rows.join("\n"));
    let utf_16: Vec<u8> = [0xff, 0xfe]
        .into_iter()
        .chain(text.encode_utf16().flat_map(u16::to_le_bytes))
        .collect();
    let page = upload(&officer, &utf_16).await.taken();
    let form = [
        ("act", "look"),
        ("whose", "new"),
        ("new_name", "<b>\"Harl\" 'Top'</b>"),
        ("day_ends", "24:00"),
        ("credited", "no"),
        ("col_0", "date"),
        ("col_1", "min-c"),
        ("col_2", "max-c"),
        ("col_3", "rain-mm"),
        ("col_4", "pressure-hpa"),
    ];
    officer.submit(&page, &form).await.taken();
    let looked = officer.get(&page).await.shown();
    looked
        .says("is above the high")
        .says("still to come")
        .says("Line 12")
        .says("write in after it")
        .says("<b>Line 13, column rain_mm.</b>")
        .says("<b>Line 15, column pressure_hpa.</b>")
        .says("the rest of their days is taken")
        .does_not_say("<script>")
        .does_not_say("<b>\"Harl");
    let save = [("act", "save"), ("seen", &seen(&looked))];
    officer.submit(&page, &save).await.taken();
    let kept = stands(&site, TODAY.plus(-6)).await;
    assert_eq!((kept.min_c, kept.max_c), (Some(0.0), Some(4.5)));
    let leap = Day::new(2024, 2, 29).expect("a real day");
    assert_eq!(stands(&site, leap).await.pressure_hpa, Some(1002.0));
    let in_part = stands(&site, TODAY.plus(-7)).await;
    assert_eq!((in_part.rain_mm, in_part.pressure_hpa), (Some(3.0), None));
    assert_eq!(days_kept(&site).await, 6);
    site.visitor().get("/venues/1/weather").await.shown();
}

#[tokio::test]
async fn what_is_said_wrongly_of_a_file_is_asked_again_and_kept_as_typed() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    water(&site, 2).await;
    let officer = site.organiser().await;
    let page = upload(&officer, THREE_DAYS.as_bytes()).await.taken();
    let mut form = new_source("");
    officer
        .submit(&page, &form)
        .await
        .asks("Name the new source")
        .says("<title>Error: ");
    form[2].1 = "what stands";
    officer
        .submit(&page, &form)
        .await
        .asks("means every source together");
    form[2].1 = "Harl Top";
    form[3].1 = "half past";
    officer
        .submit(&page, &form)
        .await
        .asks("Enter the hour")
        .says("value=\"half past\"")
        .says("value=\"Harl Top\"");
    form[3].1 = "09:00";
    form.retain(|(name, _)| *name != "col_0");
    officer.submit(&page, &form).await.taken();
    officer
        .get(&page)
        .await
        .shown()
        .says("No column is said to hold the date");
    let twice = [&form[..], &[("col_0", "rain-mm")]].concat();
    officer.submit(&page, &twice).await.taken();
    officer
        .get(&page)
        .await
        .shown()
        .says("Two columns are said to hold the rain");
    officer
        .submit(&page, &[("act", "look"), ("whose", "77")])
        .await
        .taken();
    officer.get(&page).await.shown().says("no longer there");
    officer
        .submit(&page, &[("act", "look"), ("whose", "x")])
        .await
        .asks("Choose one of the sources");
    officer
        .submit(&page, &[("act", "save")])
        .await
        .asks("no longer there");
    let elsewhere = page.replace("/venues/1/", "/venues/2/");
    assert_eq!(officer.get(&elsewhere).await.status, StatusCode::NOT_FOUND);
    assert_eq!(
        site.member().await.get(&page).await.status,
        StatusCode::FORBIDDEN
    );
}

#[tokio::test]
async fn twenty_years_of_days_come_in_with_one_save() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let officer = site.organiser().await;
    let mut text = format!("{}\n", LAYOUT.join(","));
    for back in 1..=7_300 {
        let day = TODAY.plus(-back);
        text.push_str(&format!(
            "{day},{:.1},12,0.4,3,270,1012,,,\n",
            (back % 90) as f64 / 10.0
        ));
    }
    let page = bring(&officer, text.as_bytes(), &new_source("Harl Top")).await;
    assert_eq!(days_kept(&site).await, 7_300);
    officer
        .get(&page)
        .await
        .shown()
        .says("7300 days of weather");
    let csv = site.visitor().get("/venues/1/weather.csv").await.shown();
    assert_eq!(csv.body.lines().count(), 1 + 2 * 7_300);
}
