//! Weather files brought in: looked at first, saved once, conflicts shown, undone.

use axum::http::StatusCode;
use peglore::{
    domain::{dates::Day, ids::VenueId, weather::DailyWeather},
    formats::weather_csv::LAYOUT,
    store::weather,
};

use super::weather::water;
use crate::support::{Actor, Answer, TestSite};

mod by_hand;
mod in_words;
mod kinds;
mod refused;

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

/// Nothing is chosen above, but a new source has a name; the file brought again is read the same.
#[tokio::test]
async fn a_typed_name_is_a_new_source_and_the_same_file_begins_with_what_was_said_of_it() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let officer = site.organiser().await;
    let mut form = new_source("Harl Top");
    form[1] = ("whose", "");
    let (page, looked) = laid_out(&officer, THREE_DAYS.as_bytes(), &form).await;
    looked.says("Nothing of this file is saved yet.");
    save(&officer, &page, &looked).await.taken();

    let again = upload(&officer, THREE_DAYS.as_bytes()).await.taken();

    let page = officer.get(&again).await.shown();
    page.says("selected>Harl Top: ")
        .says("In the record already, just so</dt><dd><b>3</b>")
        .does_not_say("Nothing is in the record yet");
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

/// Lays a file out for a source; gives its page, and what is shown there before anything is saved.
async fn laid_out(officer: &Actor, content: &[u8], form: &[(&str, &str)]) -> (String, Answer) {
    let page = upload(officer, content).await.taken();
    officer.submit(&page, form).await.taken();
    let looked = officer.get(&page).await.shown();
    (page, looked)
}

/// Saves a file as it was looked at.
async fn save(officer: &Actor, page: &str, looked: &Answer) -> Answer {
    let seen = seen(looked);
    officer
        .submit(page, &[("act", "save"), ("seen", &seen)])
        .await
}

/// Lays a file out for a source and saves it; gives its page.
async fn bring(officer: &Actor, content: &[u8], form: &[(&str, &str)]) -> String {
    let (page, looked) = laid_out(officer, content, form).await;
    let to = save(officer, &page, &looked).await;
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
    save(&officer, &page, &looked).await.taken();
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
    save(&officer, &page, &looked)
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
    let (page, looked) = laid_out(&officer, THREE_DAYS.as_bytes(), &new_source("Harl Top")).await;
    looked
        .says("rain: Quillet Water 1 by hand says 9.0 mm; this file says 11.5 mm. What Quillet Water 1 by hand says stands.")
        .does_not_say("low: Quillet")
        .says("believed after Quillet Water 1 by hand");
    save(&officer, &page, &looked).await.taken();
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
    let (page, looked) = laid_out(&officer, THREE_DAYS.as_bytes(), &new_source("Harl Top")).await;
    officer
        .submit("/venues/1/weather", &[("rain_2026-11-11", "9")])
        .await
        .taken();
    let answer = save(&officer, &page, &looked).await;
    assert_eq!(answer.status, StatusCode::CONFLICT);
    answer
        .says("The record changed since you looked")
        .says("says 9.0 mm");
    assert_eq!(days_kept(&site).await, 1);
}

/// As many days would be new as before, but with other figures.
#[tokio::test]
async fn a_file_that_is_read_otherwise_meanwhile_is_not_saved() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let officer = site.organiser().await;
    let (page, looked) = laid_out(&officer, THREE_DAYS.as_bytes(), &new_source("Harl Top")).await;
    let mut inches = new_source("Harl Top");
    for said in &mut inches {
        if said.0 == "col_3" {
            said.1 = "rain-in";
        }
    }
    officer.submit(&page, &inches).await.taken();

    let answer = save(&officer, &page, &looked).await;

    assert_eq!(answer.status, StatusCode::CONFLICT);
    assert_eq!(days_kept(&site).await, 0);
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
    let (page, looked) = laid_out(&officer, mended.as_bytes(), &known).await;
    looked
        .says("rain: 11.5 mm becomes 12.5 mm")
        .says("Save 1 day<");
    save(&officer, &page, &looked).await.taken();
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
    officer
        .get(&page)
        .await
        .shown()
        .says("<b>This file was taken out of the record again</b>, ")
        .says(", by <span class=\"bidi\">");
    officer
        .submit(&first, &[("act", "undo"), ("sure", "on")])
        .await
        .taken();
    assert_eq!(days_kept(&site).await, 0);
    officer
        .submit(&first, &[("act", "undo"), ("sure", "on")])
        .await
        .asks("undone already");

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
