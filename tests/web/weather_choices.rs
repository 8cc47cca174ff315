//! Where sources disagree: which is believed, for a figure or a day, and two officers who choose.

use axum::http::StatusCode;
use peglore::{domain::ids::VenueId, store::weather};

use super::weather::{days, station, water};
use crate::support::TestSite;

#[tokio::test]
async fn what_is_written_by_hand_stands_until_an_officer_chooses_the_station() {
    let site = TestSite::new().await;
    let venue = water(&site, 1).await;
    let source = station(&site, venue).await;
    let member = site.member().await;
    let fields = [
        ("rain_2026-11-14", "11"),
        ("was_rain_2026-11-14", "8.6"),
        ("pressure_2026-11-14", "1016"),
        ("was_pressure_2026-11-14", "1016"),
    ];
    member.submit("/venues/1/weather", &fields).await.taken();
    let day = days(&site, venue).await[0].1;
    assert_eq!((day.rain_mm, day.pressure_hpa), (Some(11.0), Some(1016.0)));
    let both = member.get("/venues/1/weather/conflicts").await.shown();
    both.says("Harl Top: 8.6 mm")
        .says("by hand: 11.0 mm")
        .says("by hand: 11.0 mm, believed")
        .does_not_say("Save what is believed");

    let choice = [
        ("was_rain_2026-11-14", ""),
        ("rain_2026-11-14", source.as_str()),
    ];
    let refused = member.submit("/venues/1/weather/conflicts", &choice).await;
    assert_eq!(refused.status, StatusCode::FORBIDDEN);
    let officer = site.organiser().await;
    officer
        .submit("/venues/1/weather/conflicts", &choice)
        .await
        .taken();
    assert_eq!(days(&site, venue).await[0].1.rain_mm, Some(8.6));

    officer
        .get("/venues/1/weather/conflicts")
        .await
        .shown()
        .says("Harl Top: 8.6 mm, believed by an officer’s choice");
    let again = [
        ("was_rain_2026-11-14", source.as_str()),
        ("rain_2026-11-14", ""),
    ];
    officer
        .submit("/venues/1/weather/conflicts", &again)
        .await
        .taken();
    assert_eq!(days(&site, venue).await[0].1.rain_mm, Some(11.0));
    let nobody = [("rain_2026-11-14", "nobody")];
    let refused = officer.submit("/venues/1/weather/conflicts", &nobody).await;
    assert!(refused.status.is_client_error(), "{}", refused.status);
}

/// By hand, where the station says 8.6 mm and 1016 hPa.
const ELSE_BY_HAND: [(&str, &str); 4] = [
    ("rain_2026-11-14", "11"),
    ("was_rain_2026-11-14", "8.6"),
    ("pressure_2026-11-14", "1010"),
    ("was_pressure_2026-11-14", "1016"),
];

#[tokio::test]
async fn a_choice_that_cannot_be_is_named_at_its_line_and_the_others_are_kept() {
    let site = TestSite::new().await;
    let venue = water(&site, 1).await;
    let source = station(&site, venue).await;
    let officer = site.organiser().await;
    let path = "/venues/1/weather";
    officer.submit(path, &ELSE_BY_HAND).await.taken();
    let choice = [
        ("was_rain_2026-11-14", ""),
        ("rain_2026-11-14", "77"),
        ("was_pressure_2026-11-14", ""),
        ("pressure_2026-11-14", source.as_str()),
        ("day_2026-11-13", source.as_str()),
    ];
    officer
        .submit("/venues/1/weather/conflicts", &choice)
        .await
        .asks("Choose again for the rain of Sat 14 Nov")
        .says("id=\"rain_2026-11-14-problem\"")
        .says("Nothing is left to choose for the whole of Fri 13 Nov")
        .says(&format!("value=\"{source}\" selected>Harl Top: 1016"))
        .says("<title>Error: ");
    assert_eq!(days(&site, venue).await[0].1.pressure_hpa, Some(1010.0));
}

#[tokio::test]
async fn the_later_of_two_officers_who_choose_is_shown_both_choices_and_can_save_again() {
    let site = TestSite::new().await;
    let venue = water(&site, 1).await;
    let source = station(&site, venue).await;
    let (early, late) = (site.organiser().await, site.administrator().await);
    early
        .submit("/venues/1/weather", &ELSE_BY_HAND)
        .await
        .taken();
    let path = "/venues/1/weather/conflicts";
    let whole = [("day_2026-11-14", source.as_str())];
    early.submit(path, &whole).await.taken();
    let hand = {
        let mut reading = site.site.db.read().await.expect("a reader");
        let sources = weather::sources_of(&mut reading, venue).await;
        let mut sources = sources.expect("read").into_iter();
        let by_hand = sources.find(|one| one.kind == "by hand");
        by_hand.expect("somebody wrote").id.to_string()
    };
    let mut choice = vec![
        ("was_rain_2026-11-14", ""),
        ("rain_2026-11-14", hand.as_str()),
        ("was_pressure_2026-11-14", ""),
        ("pressure_2026-11-14", ""),
    ];
    let answer = late.submit(path, &choice).await;
    assert_eq!(answer.status, StatusCode::CONFLICT);
    answer
        .says("Another officer chose meanwhile")
        .says("In the record now: Harl Top. You chose: by hand.")
        .says(&format!("value=\"{hand}\" selected"))
        .says(&format!("name=\"was_rain_2026-11-14\" value=\"{source}\""))
        .says(&format!("value=\"{source}\" selected>Harl Top: 1016"));
    assert_eq!(days(&site, venue).await[0].1.rain_mm, Some(8.6));

    choice[0].1 = source.as_str();
    late.submit(path, &choice).await.taken();
    let day = days(&site, venue).await[0].1;
    assert_eq!((day.rain_mm, day.pressure_hpa), (Some(11.0), Some(1016.0)));
}

#[tokio::test]
async fn one_source_is_believed_for_a_whole_day_and_small_differences_are_only_counted() {
    let site = TestSite::new().await;
    let venue = water(&site, 1).await;
    let source = station(&site, venue).await;
    let officer = site.organiser().await;
    let by_hand = [
        ("rain_2026-11-14", "11"),
        ("was_rain_2026-11-14", "8.6"),
        ("pressure_2026-11-14", "1016.4"),
        ("was_pressure_2026-11-14", "1016"),
    ];
    officer.submit("/venues/1/weather", &by_hand).await.taken();
    officer
        .get("/venues/1/weather/conflicts")
        .await
        .shown()
        .says("1 more figure differs by less than 0.5 °C")
        .does_not_say("Harl Top: 1016");

    let whole = [
        ("day_2026-11-14", source.as_str()),
        ("was_rain_2026-11-14", ""),
        ("rain_2026-11-14", ""),
    ];
    officer
        .submit("/venues/1/weather/conflicts", &whole)
        .await
        .taken();
    let day = days(&site, venue).await[0].1;
    assert_eq!((day.rain_mm, day.pressure_hpa), (Some(8.6), Some(1016.0)));
}

#[tokio::test]
async fn the_later_of_two_officers_who_arrange_the_sources_is_shown_both() {
    let site = TestSite::new().await;
    let venue = water(&site, 1).await;
    let source = station(&site, venue).await;
    let (first, second) = (site.organiser().await, site.administrator().await);
    let path = "/venues/1/weather/sources";
    let boxes = ["name", "rank", "day_ends", "was"].map(|key| format!("{key}_{source}"));
    let form = |values: [&'static str; 4]| -> Vec<(String, &'static str)> {
        boxes.iter().cloned().zip(values).collect()
    };
    let was = "Harl Top · 1 · 09:00 · 0, 0, 0";
    first.get(path).await.shown().says(was);
    let ranked = form(["Harl Top", "2", "09:00", was]);
    first.submit(path, &pairs(&ranked)).await.taken();

    let later = form(["Harl Foot", "1", "09:00", was]);
    let told = second.submit(path, &pairs(&later)).await;

    assert_eq!(told.status, StatusCode::CONFLICT);
    told.says("In the record now: Harl Top: rank 2, its day ends at 09:00.")
        .says("You typed: Harl Foot: rank 1, its day ends at 09:00.")
        .says("value=\"Harl Foot\"")
        .says("Harl Top · 2 · 09:00 · 0, 0, 0");
    let stands = |kept: &[weather::Source]| (kept[0].rank, kept[0].name.clone());
    assert_eq!(
        stands(&sources(&site, venue).await),
        (Some(2), "Harl Top".to_owned())
    );

    let again = form(["Harl Foot", "1", "09:00", "Harl Top · 2 · 09:00 · 0, 0, 0"]);
    second.submit(path, &pairs(&again)).await.taken();
    let untouched = form(["Harl Top", "1", "09:00", was]);
    first.submit(path, &pairs(&untouched)).await.taken();
    assert_eq!(
        stands(&sources(&site, venue).await),
        (Some(1), "Harl Foot".to_owned())
    );
}

fn pairs<'a>(form: &'a [(String, &'static str)]) -> Vec<(&'a str, &'a str)> {
    form.iter()
        .map(|(name, value)| (name.as_str(), *value))
        .collect()
}

async fn sources(site: &TestSite, venue: VenueId) -> Vec<weather::Source> {
    let mut reading = site.site.db.read().await.expect("a reader");
    let kept = weather::sources_of(&mut reading, venue).await;
    kept.expect("read")
}

#[tokio::test]
async fn a_sources_name_that_differs_in_capitals_alone_is_refused_at_its_box() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let officer = site.organiser().await;
    let path = "/venues/1/weather/sources";
    let add = |name| [("add", "on"), ("new_name", name), ("new_kind", "csv")];
    officer.submit(path, &add("Harl Top")).await.taken();
    officer
        .submit(path, &add("harl top"))
        .await
        .asks("Another source has that name");
    officer.submit(path, &add("Harl Foot")).await.taken();
    let named = [
        ("name_1", "Harl Top"),
        ("day_ends_1", "24:00"),
        ("name_2", "HARL TOP"),
        ("day_ends_2", "24:00"),
    ];
    officer
        .submit(path, &named)
        .await
        .asks("Another source has that name")
        .says("id=\"name_2-problem\"")
        .says("value=\"HARL TOP\"");
}

#[tokio::test]
async fn each_box_of_the_grid_bears_its_heading_and_a_link_leads_to_today() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let member = site.member().await;
    member
        .get("/venues/1/weather")
        .await
        .shown()
        .says("<a href=\"#day-2026-11-14\">Today</a>")
        .says("id=\"day-2026-11-14\"")
        .says("data-says=\"Low °C\"")
        .says("data-says=\"Rain mm\"")
        .says("data-says=\"Wind mph\"")
        .says("data-says=\"Wind from\"")
        .says("data-says=\"Pressure hPa\"")
        .says("No direction on a calm day.")
        .does_not_say("comes from nowhere");
    member
        .get("/venues/1/weather?until=2026-11-03")
        .await
        .shown()
        .says("<a href=\"#day-2026-11-03\">Tuesday 3 November 2026</a>");
}
