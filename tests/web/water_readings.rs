//! Readings of the water: noted, corrected, taken out, listed, and the water estimated from them.

use axum::http::StatusCode;
use peglore::{
    domain::{dates::Day, ids::VenueId, weather::DailyWeather},
    store::weather::{self, Written, readings},
};

use super::weather::water;
use crate::support::TestSite;

const TODAY: Day = Day(jiff::civil::date(2026, 11, 14));
const PATH: &str = "/venues/1/water";

fn form<'a>(changed: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let mut form = vec![
        ("on", "2026-11-13"),
        ("at", "07:30"),
        ("temp", "6,4"),
        ("level", "-12 cm"),
        ("clarity", "tinged"),
        ("peg", ""),
        ("depth", "1.5"),
    ];
    for (name, value) in changed {
        match form.iter_mut().find(|(known, _)| known == name) {
            Some(pair) => pair.1 = value,
            None => form.push((name, value)),
        }
    }
    form
}

async fn kept(site: &TestSite) -> Vec<readings::Reading> {
    let mut reading = site.site.db.read().await.expect("a reader");
    readings::of_venue(&mut reading, VenueId(1), 0, 1_000)
        .await
        .expect("read")
}

#[tokio::test]
async fn a_member_notes_a_reading_and_sent_twice_it_is_kept_once() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let member = site.member().await;
    member
        .get(PATH)
        .await
        .shown()
        .says("No reading is in the record yet")
        .says("Nobody has read the temperature");
    for _ in 0..2 {
        let to = member.submit(PATH, &form(&[])).await.taken();
        assert!(to.ends_with("done=reading-saved"), "{to}");
    }
    let kept = kept(&site).await;
    assert_eq!(kept.len(), 1);
    let figures = kept[0].figures;
    assert_eq!(
        (figures.temp_c, figures.level_m, figures.depth_m),
        (Some(6.4), Some(-0.12), Some(1.5))
    );
    let page = site.visitor().get(PATH).await.shown();
    page.says("6.4 °C")
        .says("0.12 m below the mark")
        .says("Tinged")
        .says("1.5 m down")
        .says("On Fri 13 Nov 2026 the water was 6.4\u{a0}°C, measured")
        .does_not_say("Correct")
        .does_not_say("Save this reading");
    let csv = site.visitor().get("/venues/1/water.csv").await.shown();
    csv.says("2026-11-13,07:30,2026-11-13T07:30:00Z,,1.5,6.4,-0.12,tinged");
}

#[tokio::test]
async fn what_no_water_has_is_asked_about_and_nothing_typed_is_lost() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let member = site.member().await;
    for (field, value, sentence) in [
        ("temp", "NaN", "could not be read"),
        ("temp", "1e9", "could not be read"),
        ("temp", "٤", "could not be read"),
        ("temp", "41", "outside −1 to 40 °C"),
        ("level", "--1", "cannot be read as"),
        ("level", "101", "more than 100 m"),
        ("depth", "0x10", "cannot be read as"),
        ("on", "2026-02-29", "Enter the day"),
        ("on", "0001-01-01", "Enter the day"),
        ("on", "2026-11-15", "still to come"),
        ("at", "25:00", "Enter the time"),
        ("peg", "999999", "no such peg"),
        ("peg", "' OR 1=1--", "no such peg"),
    ] {
        let answer = member.submit(PATH, &form(&[(field, value)])).await;
        let answer = answer.asks(sentence);
        answer.says("<title>Error: ");
        if !value.contains('\'') {
            answer.says(&format!("value=\"{value}\""));
        }
    }
    let nothing = form(&[("temp", "\u{200b}"), ("level", " "), ("clarity", "")]);
    let answer = member.submit(PATH, &nothing).await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    let none = form(&[("temp", ""), ("level", ""), ("clarity", "")]);
    member
        .submit(PATH, &none)
        .await
        .asks("at least one of them");
    assert!(kept(&site).await.is_empty());
    let zero = form(&[("temp", "-0")]);
    member.submit(PATH, &zero).await.taken();
    assert_eq!(kept(&site).await.len(), 1);
}

#[tokio::test]
async fn one_corrects_ones_own_reading_and_an_officer_any_and_nobody_writes_over_another_unseen() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let (member, other) = (site.member().await, site.other_member().await);
    let officer = site.organiser().await;
    member.submit(PATH, &form(&[])).await.taken();
    let path = format!("{PATH}/{}", kept(&site).await[0].id);
    member.get(PATH).await.shown().says("Correct");
    member.get(&path).await.shown().says("value=\"6.4\"");
    assert_eq!(other.get(&path).await.status, StatusCode::FORBIDDEN);
    let new = form(&[("version", "1"), ("temp", "7.1")]);
    assert_eq!(
        other.submit(&path, &new).await.status,
        StatusCode::FORBIDDEN
    );

    officer.submit(&path, &new).await.taken();
    let late = form(&[("version", "1"), ("temp", "9")]);
    let answer = member.submit(&path, &late).await;
    assert_eq!(answer.status, StatusCode::CONFLICT);
    answer
        .says("7.1 °C")
        .says("value=\"9\"")
        .says("value=\"2\"");
    assert_eq!(kept(&site).await[0].figures.temp_c, Some(7.1));

    let removal = format!("{path}/removal");
    let old = member.submit(&removal, &[("version", "1")]).await;
    assert_eq!(old.status, StatusCode::CONFLICT);
    member.submit(&removal, &[("version", "2")]).await.taken();
    assert!(kept(&site).await.is_empty());
    assert_eq!(member.get(&path).await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn under_eight_days_the_water_is_not_estimated_and_from_eight_on_it_is_with_its_error() {
    let site = TestSite::new().await;
    let venue = water(&site, 1).await;
    let mut writing = site.site.db.write().await.expect("a writer");
    let source = weather::insert_source(&mut writing, "Harl Top", "csv", "24:00")
        .await
        .expect("a free name");
    weather::set_rank(&mut writing, venue, source, Some(1))
        .await
        .expect("ranked");
    let written = Written {
        by: None,
        import: None,
        at: site.site.now(),
    };
    for back in 1..=120 {
        let mean = 10.0 + 5.0 * f64::sin(back as f64 / 9.0);
        let says = DailyWeather {
            min_c: Some(mean - 3.0),
            max_c: Some(mean + 3.0),
            ..DailyWeather::default()
        };
        weather::put_day(&mut writing, source, TODAY.plus(-back), &says, written)
            .await
            .expect("written");
    }
    writing.commit().await.expect("kept");
    let member = site.member().await;
    for (count, back) in (1..).zip([3, 9, 15, 21, 27, 33, 39, 45]) {
        let page = member.get(PATH).await.shown();
        page.does_not_say("estimated from the air and");
        if count > 1 {
            page.says(&format!("{} of the eight days", count - 1));
        }
        let on = TODAY.plus(-back).to_string();
        let temp = format!("{:.1}", 10.0 + 4.0 * f64::sin((back as f64 + 2.0) / 9.0));
        member
            .submit(PATH, &form(&[("on", on.as_str()), ("temp", temp.as_str())]))
            .await
            .taken();
    }
    member
        .get(PATH)
        .await
        .shown()
        .says("On Fri 13 Nov 2026 the water was about")
        .says("estimated from the air and the readings of 8 days, off by")
        .says("; last read 12.1\u{a0}°C, on Wed 11 Nov 2026.")
        .says("foretold each reading best");
}

#[tokio::test]
async fn a_long_list_of_readings_comes_in_pages() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let mut writing = site.site.db.write().await.expect("a writer");
    for at in 0..120 {
        sqlx::query(
            "INSERT INTO water_readings (venue_id, on_date, at_utc, temp_c) VALUES (1, ?, ?, 8)",
        )
        .bind(TODAY.plus(-at).to_string())
        .bind(site.site.now().0 - at * 86_400)
        .execute(&mut *writing)
        .await
        .expect("a reading");
    }
    writing.commit().await.expect("kept");
    let visitor = site.visitor();
    visitor
        .get(PATH)
        .await
        .shown()
        .says("1 to 50 of 120 readings")
        .says("/venues/1/water?from=51");
    visitor
        .get("/venues/1/water?from=101")
        .await
        .shown()
        .says("101 to 120 of 120");
    for odd in ["-1", "x", "99999999999999999999", "1e9"] {
        visitor.get(&format!("{PATH}?from={odd}")).await.shown();
    }
    for path in ["/venues/9/water", "/venues/9223372036854775808/water"] {
        let status = visitor.get(path).await.status;
        assert!(status.is_client_error(), "{path}: {status}");
    }
}

/// A link or a form of a reading that is gone names no reading noted later.
#[tokio::test]
async fn the_address_of_a_reading_taken_out_is_never_another_readings() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let member = site.member().await;
    member.submit(PATH, &form(&[])).await.taken();
    let gone = format!("{PATH}/{}", kept(&site).await[0].id);
    member
        .submit(&format!("{gone}/removal"), &[("version", "1")])
        .await
        .taken();
    member.submit(PATH, &form(&[("temp", "7.1")])).await.taken();

    assert_eq!(member.get(&gone).await.status, StatusCode::NOT_FOUND);
    let kept_open = member
        .submit(&format!("{gone}/removal"), &[("version", "1")])
        .await;
    assert_eq!(kept_open.status, StatusCode::NOT_FOUND);
    assert_eq!(kept(&site).await.len(), 1);
}
