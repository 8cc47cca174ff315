//! Lists that go out in pieces: whole whatever a piece holds, broken off where one cannot be read,
//! and with no reader held while a browser takes its time.

use axum::{
    body::Body,
    http::{Request, StatusCode, header},
};
use http_body_util::BodyExt;
use peglore::{
    domain::ids::VenueId,
    store::{sessions::listing::Whose, statistics::rates::Wanted},
    web::{
        exports::{AT_ONCE, matches, sessions},
        venues::record,
    },
};
use tower::ServiceExt;

use crate::support::{
    TestSite,
    planted::{Planted, day, reports},
};

/// More than the pool has readers.
const MANY: usize = 8;

fn wanted(venue: VenueId) -> Wanted {
    Wanted {
        venue,
        number: None,
        reports: true,
    }
}

/// The three lists, `at_once` read at a time.
async fn lists(site: &TestSite, venue: VenueId, at_once: i64) -> [Body; 3] {
    let site = &site.site;
    let matches = matches::file(site.clone(), at_once).await;
    let sessions = sessions::file(site.clone(), Whose::Club, at_once).await;
    let rows = record::rows(site.clone(), wanted(venue), at_once).await;
    [
        matches.expect("matches").into_body(),
        sessions.expect("sessions").into_body(),
        rows.expect("rows"),
    ]
}

async fn text(body: Body) -> String {
    let bytes = body.collect().await.expect("a whole body").to_bytes();
    String::from_utf8(bytes.to_vec()).expect("UTF-8")
}

/// A record of eight matches, two of them on one day and one with a name that a spreadsheet would
/// run, and of reports.
async fn planted(site: &TestSite) -> Planted {
    let planted = Planted::at(site).await;
    for visibility in ["club", "private"] {
        planted
            .report(site, &reports(day(10, 1), &[0, 1, 2, 0], visibility))
            .await;
    }
    let mut writing = site.site.db.write().await.expect("a writer");
    sqlx::raw_sql(
        "UPDATE posted_matches SET name = '=1+1' WHERE match_id = (SELECT MIN(match_id) FROM posted_matches);
         UPDATE posted_matches SET on_date = '2026-10-17' WHERE match_id = (SELECT MAX(match_id) FROM posted_matches)",
    )
    .execute(&mut *writing)
    .await
    .expect("the rows fit");
    writing.commit().await.expect("kept");
    planted
}

#[tokio::test]
async fn what_a_list_says_does_not_hang_on_how_much_is_read_at_once() {
    let site = TestSite::new().await;
    let planted = planted(&site).await;
    let organiser = site.organiser().await;
    let member = site.member().await;
    let whole = [
        organiser.get("/matches.csv").await.shown().body,
        organiser.get("/sessions.csv").await.shown().body,
        member
            .get(&format!("{}/record.csv", planted.path))
            .await
            .shown()
            .body,
    ];
    assert_eq!(whole[0].lines().count(), 1 + 8);
    assert_eq!(whole[2].lines().count(), 1 + 8 * 6 * 3 + 4);

    for at_once in [1, 2, 3, 7] {
        for (body, whole) in lists(&site, planted.venue, at_once)
            .await
            .into_iter()
            .zip(&whole)
        {
            assert_eq!(&text(body).await, whole, "{at_once} at once");
        }
    }
    for list in &whole {
        assert!(list.starts_with('\u{feff}'), "{list}");
        assert_eq!(list.matches('\u{feff}').count(), 1);
        assert!(
            list.contains(",'=1+1,") && !list.contains(",=1+1,"),
            "{list}"
        );
    }
}

#[tokio::test]
async fn a_season_of_sessions_goes_out_in_pieces_that_take_little_room() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    planted
        .report(&site, &reports(day(1, 1), &[0; 220], "club"))
        .await;

    let list = sessions::file(site.site.clone(), Whose::Club, AT_ONCE).await;

    let mut body = list.expect("sessions").into_body();
    let mut pieces = Vec::new();
    while let Some(frame) = body.frame().await {
        let sent = frame.expect("read").into_data().expect("rows");
        pieces.push(sent.len());
    }
    // 48 sessions of matches and 220 reports.
    assert_eq!(pieces.len(), 2, "{pieces:?}");
    assert!(pieces.iter().all(|bytes| *bytes < 100_000), "{pieces:?}");
}

#[tokio::test]
async fn a_list_that_cannot_be_read_to_its_end_breaks_off() {
    let site = TestSite::new().await;
    let planted = planted(&site).await;
    let cookie = site.organiser().await.cookie();
    let mut begun = lists(&site, planted.venue, 2).await;
    for body in &mut begun {
        first(body).await;
    }
    let asked = Request::get("/sessions.csv")
        .header(header::COOKIE, cookie)
        .header(header::ACCEPT_ENCODING, "gzip");
    let asked = asked.body(Body::empty()).expect("a request");
    let answer = site.router.clone().oneshot(asked).await.expect("an answer");
    assert_eq!(answer.status(), StatusCode::OK);

    site.site.db.close_reading().await;

    for body in begun {
        assert!(body.collect().await.is_err(), "half a list passed as whole");
    }
    assert!(answer.into_body().collect().await.is_err());
    assert!(matches::file(site.site.clone(), 2).await.is_err());
}

/// Takes what is sent first: the heading, and the rows read before the answer began.
async fn first(body: &mut Body) {
    let frame = body.frame().await.expect("more").expect("read");
    assert!(frame.is_data());
}

#[tokio::test]
async fn lists_on_their_way_to_slow_browsers_hold_no_reader() {
    let site = TestSite::new().await;
    let planted = planted(&site).await;
    let mut slow = Vec::new();
    for _ in 0..MANY {
        for mut body in lists(&site, planted.venue, 1).await {
            first(&mut body).await;
            slow.push(body);
        }
    }

    site.visitor().get("/matches").await.shown().says("Results");

    assert_eq!(slow.len(), 3 * MANY);
}

#[tokio::test]
async fn a_list_is_kept_under_a_name_and_a_signed_in_persons_by_no_cache() {
    let site = TestSite::new().await;
    let planted = planted(&site).await;
    let organiser = site.organiser().await;
    let record = format!("{}/record.csv", planted.path);

    for (path, name) in [
        ("/matches.csv", "matches.csv"),
        ("/sessions.csv", "sessions.csv"),
        (
            record.as_str(),
            "Quillet-Water-record-with-reports-shared-with-the-club.csv",
        ),
    ] {
        let list = organiser.get(path).await.shown();
        let says = |name: &str| list.headers[name].to_str().expect("plain").to_owned();
        assert_eq!(says("content-type"), "text/csv; charset=utf-8");
        assert_eq!(says("cache-control"), "no-store");
        assert_eq!(says("x-content-type-options"), "nosniff");
        let kept = says("content-disposition");
        assert!(
            kept.starts_with(&format!("attachment; filename=\"{name}\"")),
            "{kept}"
        );
    }
}
