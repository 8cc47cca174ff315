//! Files of other kinds: one of ours that comes back, and a station's.

use super::*;

/// The water's own file, looked at as that source's days: nothing in it is new.
async fn reads_back(officer: &Actor, page: &str, source: &str) -> Answer {
    let mut form = vec![
        ("act", "look"),
        ("whose", "1"),
        ("credited", "yes"),
        ("col_10", "source"),
        ("only", source),
    ];
    form.extend(own_columns());
    officer.submit(page, &form).await.taken();
    let looked = officer.get(page).await.shown();
    looked.says("Nothing in this file is new");
    looked
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
    reads_back(&officer, &page, "=Harl Top")
        .await
        .says("3 days read");
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
    officer
        .get(&page)
        .await
        .shown()
        .says("name=\"day_ends\" value=\"09:00\"")
        .says("name=\"rain\" value=\"on\" checked");
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
        .says("failed gap check (G), one value")
        .says("The file prints 2 dates; their figures count for 1 day, because")
        .says("over several days")
        .says("is not a whole number")
        .says("09:00");
    save(&officer, &page, &looked).await.taken();
    let day = stands(&site, TODAY.plus(-4)).await;
    assert_eq!((day.min_c, day.max_c), (Some(-1.5), Some(6.1)));
    assert_eq!(
        (day.rain(), day.rain_trace),
        (Some(0.0), true),
        "rain of the 11th began on the 10th"
    );
}

/// Of two stations the form cannot show the hour until one is chosen: saving at once counts by it.
#[tokio::test]
async fn rain_read_in_the_morning_counts_for_the_day_before_once_its_station_is_chosen() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let officer = site.organiser().await;
    let text = "XX000012345,20261111,PRCP,86,,,E,0700\nXX000012345,20261112,PRCP,0,,,E,0700\n\
                XX000067890,20261111,PRCP,12,,,E,2400\n";
    let as_shown = [
        ("act", "look"),
        ("whose", "new"),
        ("new_name", "Harl Top"),
        ("day_ends", "24:00"),
        ("credited", "no"),
        ("only", "XX000012345"),
    ];
    let (page, looked) = laid_out(&officer, text.as_bytes(), &as_shown).await;
    looked
        .says("mostly read at 07:00 local time")
        .says("on the day before the printed date")
        .says("name=\"day_ends\" value=\"07:00\"")
        .says("name=\"rain\" value=\"on\" checked");
    save(&officer, &page, &looked).await.taken();
    assert_eq!(stands(&site, TODAY.plus(-4)).await.rain_mm, Some(8.6));
    assert_eq!(stands(&site, TODAY.plus(-3)).await.rain_mm, Some(0.0));
}

async fn last_night(site: &TestSite, day: Day) -> Option<f64> {
    let mut reading = site.site.db.read().await.expect("a reader");
    let record = site.site.db.weather().of(&mut reading, VenueId(1)).await;
    record.expect("read").run_up(day).last_night_min_c
}

const TWO_LOWS: &[u8] = b"date,min_c\n2026-11-11,-1\n2026-11-12,-2.5\n";

/// Read at nine and counted for the day before its printed date, a low fell after that day's
/// sessions began.
#[tokio::test]
async fn a_low_of_the_night_after_a_day_is_not_its_last_night() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let officer = site.organiser().await;
    let form = [
        ("act", "look"),
        ("whose", "new"),
        ("new_name", "Harl Top"),
        ("day_ends", "09:00"),
        ("credited", "no"),
        ("min", "on"),
        ("col_0", "date"),
        ("col_1", "min-c"),
    ];
    let page = bring(&officer, TWO_LOWS, &form).await;
    let (tenth, eleventh) = (TODAY.plus(-4), TODAY.plus(-3));
    assert_eq!(stands(&site, eleventh).await.min_c, Some(-2.5));
    assert_eq!(last_night(&site, eleventh).await, None);

    let by_hand = [("low_2026-11-10", "3")];
    officer.submit("/venues/1/weather", &by_hand).await.taken();
    assert_eq!(last_night(&site, tenth).await, Some(3.0));

    let credited_as_printed = [
        ("name_1", "Harl Top"),
        ("rank_1", "2"),
        ("day_ends_1", "09:00"),
    ];
    let sources = "/venues/1/weather/sources";
    officer
        .submit(sources, &credited_as_printed)
        .await
        .asks("Harl Top has days in the record, counted as it was set when they were written.")
        .says("href=\"#day_ends_1\"");
    assert_eq!(last_night(&site, eleventh).await, None, "as it was read");

    officer
        .submit(&page, &[("act", "undo"), ("sure", "on")])
        .await
        .taken();
    officer.submit(sources, &credited_as_printed).await.taken();
    let known = [
        ("act", "look"),
        ("whose", "1"),
        ("credited", "no"),
        ("col_0", "date"),
        ("col_1", "min-c"),
    ];
    bring(&officer, TWO_LOWS, &known).await;
    assert_eq!(last_night(&site, eleventh).await, Some(-1.0));
}

/// A name and a rank say nothing of how days are counted; the hour does, and stays.
#[tokio::test]
async fn a_source_with_days_is_named_and_ranked_anew_and_keeps_its_days_end() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let officer = site.organiser().await;
    bring(&officer, THREE_DAYS.as_bytes(), &new_source("Harl Top")).await;
    let sources = "/venues/1/weather/sources";
    let mut form = vec![
        ("name_1", "Harl Foot"),
        ("rank_1", "2"),
        ("day_ends_1", "09:00"),
    ];
    officer.submit(sources, &form).await.taken();
    officer.get(sources).await.shown().says("Harl Foot");

    form[2].1 = "07:00";
    officer
        .submit(sources, &form)
        .await
        .asks("add another source for its days from then on")
        .says("value=\"07:00\"");
    let csv = site.visitor().get("/venues/1/weather.csv").await.shown();
    csv.says("Harl Foot,09:00,0,0,0").does_not_say("07:00");
}

/// Fahrenheit, inches and miles an hour leave long decimals behind: none is written, and none is
/// taken for a correction.
#[tokio::test]
async fn converted_figures_are_written_to_the_hundredth_and_change_nothing_when_they_come_back() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let officer = site.organiser().await;
    let text = "Date,Low °F,High °F,Rain in,Wind mph,Baro inHg\n\
                2026-11-10,28.4,44,0.12,7,29.92\n2026-11-11,31.9,50,0.01,11,30.01\n";
    let columns = [
        ("col_0", "date"),
        ("col_1", "min-f"),
        ("col_2", "max-f"),
        ("col_3", "rain-in"),
        ("col_4", "wind-mph"),
        ("col_5", "pressure-inhg"),
    ];
    let mut form = vec![
        ("act", "look"),
        ("whose", "new"),
        ("new_name", "Harl Top"),
        ("day_ends", "24:00"),
        ("credited", "no"),
    ];
    form.extend(columns);
    bring(&officer, text.as_bytes(), &form).await;

    let csv = site.visitor().get("/venues/1/weather.csv").await.shown();
    csv.says("2026-11-10,-2,6.67,3.05,3.13,,1013.21,")
        .says("2026-11-11,-0.06,10,0.25,4.92,,1016.26,");

    let page = upload(&officer, csv.body.as_bytes()).await.taken();
    reads_back(&officer, &page, "Harl Top")
        .await
        .says("2 days read");
    let again = upload(&officer, text.as_bytes()).await.taken();
    officer
        .get(&again)
        .await
        .shown()
        .says("In the record already, just so</dt><dd><b>2</b>");
}

#[tokio::test]
async fn new_days_are_shown_with_their_figures_as_they_would_be_kept() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let officer = site.organiser().await;
    let mut text = "Date,Low F,High F,Rain in\n".to_owned();
    for day in 1..=8 {
        text.push_str(&format!("2026-11-{day:02},{},50,0.{day}\n", 30 + day));
    }
    let form = [
        ("act", "look"),
        ("whose", "new"),
        ("new_name", "Harl Top"),
        ("day_ends", "9 am"),
        ("credited", "yes"),
        ("col_0", "date"),
        ("col_1", "min-f"),
        ("col_2", "max-f"),
        ("col_3", "rain-in"),
    ];
    let (_, looked) = laid_out(&officer, text.as_bytes(), &form).await;
    looked
        .says("name=\"day_ends\" value=\"09:00\"")
        .says("The first five new days and the last:")
        .says("<b>Sun 1 Nov 2026.</b> low \u{2212}0.6 °C, high 10.0 °C, rain 2.5 mm")
        .says("<b>Thu 5 Nov 2026.</b> low 1.7 °C, high 10.0 °C, rain 12.7 mm")
        .does_not_say("<b>Fri 6 Nov 2026.</b>")
        .says("<b>Sun 8 Nov 2026.</b> low 3.3 °C, high 10.0 °C, rain 20.3 mm")
        .says("Over all days of the file: low from \u{2212}0.6 °C to 3.3 °C; high always 10.0 °C; rain from 2.5 mm to 20.3 mm.");
}

#[tokio::test]
async fn one_amount_presumed_nought_is_told_of_as_one() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let officer = site.organiser().await;
    let text = "XX000012345,20261110,PRCP,86,,,E,0900\nXX000012345,20261111,PRCP,0,P,,E,0900\n";
    let form = [
        ("act", "look"),
        ("whose", "new"),
        ("new_name", "Station XX000012345"),
        ("day_ends", "0900"),
        ("credited", "no"),
        ("rain", "on"),
    ];
    let (_, looked) = laid_out(&officer, text.as_bytes(), &form).await;
    looked.says("1 amount is marked “missing, presumed zero” and taken as nought.");
}
