//! A water set up by mistake is removed, and one at which anything is recorded is not.

use axum::http::StatusCode;

use crate::support::{
    Actor, TestSite,
    record::{number, tell},
    reports::{a_report, with_water},
};

const WITHY_PIT: [(&str, &str); 6] = [
    ("name", "Withy Pit"),
    ("kind", "stillwater"),
    ("scale", "dr"),
    ("zone", "Europe/London"),
    ("bank0_name", "Long Reach"),
    ("bank0_pegs", "1-3"),
];

/// What the form of its removal sends, ticked, of a water never changed.
const SURE: [(&str, &str); 2] = [("version", "1"), ("sure", "on")];

/// Its address, once it is set up.
async fn withy_pit(officer: &Actor) -> String {
    let to = officer.submit("/venues/new", &WITHY_PIT).await.taken();
    to.strip_suffix("?done=saved").expect("a notice").to_owned()
}

#[tokio::test]
async fn an_empty_one_goes_with_its_banks_pegs_and_closures() {
    let site = TestSite::new().await;
    let organiser = site.organiser().await;
    let path = withy_pit(&organiser).await;
    tell(
        &site,
        "INSERT INTO peg_closures (peg_id, from_on, reason) SELECT MIN(id), '2026-11-01', 'bank works' FROM pegs",
    )
    .await;
    let (setup, removal) = (format!("{path}/setup"), format!("{path}/removal"));
    organiser
        .get(&setup)
        .await
        .shown()
        .says("Nothing is recorded here yet.")
        .says(&format!("action=\"{removal}\""))
        .says("Yes, remove this water");
    organiser
        .submit(&removal, &SURE[..1])
        .await
        .asks("Tick that this water is to be removed.")
        .says("before this water is removed")
        .says("href=\"#sure\"");
    organiser.get(&path).await.shown();

    let to = organiser.submit(&removal, &SURE).await.taken();

    assert_eq!(to, "/venues?done=water-removed");
    organiser
        .get(&to)
        .await
        .shown()
        .says("The water is no longer on record.")
        .does_not_say("Withy Pit");
    for address in [&path, &setup] {
        let status = organiser.get(address).await.status;
        assert_eq!(status, StatusCode::NOT_FOUND, "{address}");
    }
    for left in [
        "SELECT COUNT(*) FROM venues",
        "SELECT COUNT(*) FROM banks",
        "SELECT COUNT(*) FROM pegs",
        "SELECT COUNT(*) FROM peg_closures",
    ] {
        assert_eq!(number(&site, left).await, 0, "{left}");
    }
    let told =
        "SELECT COUNT(*) FROM audit WHERE verb = 'removed a venue' AND actor_pid IS NOT NULL";
    assert_eq!(number(&site, told).await, 1);
    let again = withy_pit(&organiser).await;
    assert_ne!(again, path, "the number of a removed water means no other");
}

#[tokio::test]
async fn one_with_a_session_stays_and_nothing_is_lost() {
    let site = with_water().await;
    let organiser = site.organiser().await;
    let report = a_report(&[("peg", "14"), ("carp_number", "4")]);
    let member = site.member().await;
    member.submit("/report", &report).await.taken();
    organiser
        .get("/venues/1/setup")
        .await
        .shown()
        .says("One session stands here, so this water cannot be removed.")
        .says("href=\"/venues/1/closures\">Its pegs can be closed instead.")
        .does_not_say("Yes, remove this water");
    organiser
        .submit("/venues/1/removal", &SURE)
        .await
        .asks(
            "<b>Nothing was removed.</b> One session stands here, so this water cannot be removed.",
        )
        .says("<title>Error:");
    for (kept, count) in [
        ("SELECT COUNT(*) FROM venues", 1),
        ("SELECT COUNT(*) FROM pegs", 2),
        ("SELECT COUNT(*) FROM sessions", 1),
        ("SELECT COUNT(*) FROM spells WHERE peg_id = 1", 1),
    ] {
        assert_eq!(number(&site, kept).await, count, "{kept}");
    }
}

#[tokio::test]
async fn a_private_report_keeps_it_and_is_not_counted() {
    let site = with_water().await;
    let organiser = site.organiser().await;
    let report = a_report(&[("visibility", "private"), ("carp_number", "4")]);
    let member = site.member().await;
    member.submit("/report", &report).await.taken();
    organiser
        .submit("/venues/1/removal", &SURE)
        .await
        .asks("What the club does not see (a report kept private or taken back, or a file that was undone) stands here")
        .does_not_say("One session");
    assert_eq!(number(&site, "SELECT COUNT(*) FROM sessions").await, 1);
}

#[tokio::test]
async fn whatever_else_is_recorded_keeps_it_and_is_named() {
    for (recorded, words) in [
        (
            "INSERT INTO matches (id, pid, name, venue_id, on_date, zone, pegs_allotted, scale, step, state)
             VALUES (1, '00000000000000000000000002', 'Frost Cup', 1, '2026-11-20', 'Europe/London', 'bag', 'dr', 16, 'planned')",
            "One match stands here",
        ),
        (
            "INSERT INTO water_readings (venue_id, on_date, at_utc, temp_c) VALUES (1, '2026-11-01', 1, 8), (1, '2026-11-02', 2, 8);
             INSERT INTO venue_diary (venue_id, on_date, kind, words, at_utc) VALUES (1, '2026-11-01', 'other', 'Leaves in.', 1)",
            "Two readings of the water and one entry of the diary stand here",
        ),
        (
            "INSERT INTO weather_sources (id, name, kind) VALUES (1, 'Quillet Water by hand', 'by hand');
             INSERT INTO venue_sources (venue_id, source_id, rank) VALUES (1, 1, 1);
             INSERT INTO weather_days (source_id, on_date, min_c, entered_utc) VALUES (1, '2026-11-01', 3, 1)",
            "One day of weather stands here",
        ),
        (
            "INSERT INTO imports (file_name, file_sha256, kind, state, at_utc, mapping_json, content)
             VALUES ('days.csv', zeroblob(32), 'weather', 'undone', 1, '{\"venue\":1}', x'00')",
            "One weather file stands here",
        ),
        (
            "INSERT INTO weather_sources (id, name, kind) VALUES (1, 'Harl Top', 'csv');
             INSERT INTO weather_choice (venue_id, on_date, element, source_id, chosen_utc) VALUES (1, '2026-11-01', 'min', 1, 1)",
            "One choice between sources of weather stands here",
        ),
        (
            "INSERT INTO imports (id, file_name, file_sha256, kind, state, at_utc, content)
             VALUES (1, 'old.csv', zeroblob(32), 'results', 'undone', 1, x'00');
             INSERT INTO matches (id, pid, name, venue_id, on_date, zone, pegs_allotted, scale, step, state, import_id)
             VALUES (1, '00000000000000000000000002', 'Frost Cup', 1, '2026-11-20', 'Europe/London', 'bag', 'dr', 16, 'planned', 1)",
            "What the club does not see",
        ),
        (
            "INSERT INTO anglers (id, pid) VALUES (901, '00000000000000000000000901');
             INSERT INTO sessions (pid, kind, angler_id, venue_id, fished_on, zone, effort_source, visibility, entered_utc, removed_utc)
             VALUES ('00000000000000000000005000', 'report', 901, 1, '2026-11-01', 'Europe/London', 'session', 'club', 0, 1)",
            "What the club does not see",
        ),
    ] {
        let site = with_water().await;
        tell(&site, recorded).await;
        let organiser = site.organiser().await;
        let refused = organiser.submit("/venues/1/removal", &SURE).await;
        refused.asks(words).says("so this water cannot be removed");
        assert_eq!(number(&site, "SELECT COUNT(*) FROM venues").await, 1);
    }
}

#[tokio::test]
async fn a_weather_file_that_was_only_laid_out_goes_with_it_and_is_not_counted() {
    let laid_out =
        "INSERT INTO imports (file_name, file_sha256, kind, state, at_utc, mapping_json, content)
        VALUES ('days.csv', zeroblob(32), 'weather', 'uploaded', 1, '{\"venue\":1}', x'00')";
    let site = with_water().await;
    tell(&site, laid_out).await;
    tell(
        &site,
        "INSERT INTO imports (file_name, file_sha256, kind, state, at_utc, mapping_json, content)
         VALUES ('days.csv', zeroblob(32), 'weather', 'done', 1, '{\"venue\":1}', x'00')",
    )
    .await;
    let organiser = site.organiser().await;
    organiser
        .submit("/venues/1/removal", &SURE)
        .await
        .asks("One weather file stands here, so this water cannot be removed.");

    let site = with_water().await;
    tell(&site, laid_out).await;
    tell(
        &site,
        "INSERT INTO imports (file_name, file_sha256, kind, state, at_utc, mapping_json, content)
         VALUES ('days.csv', zeroblob(32), 'weather', 'uploaded', 1, '{\"venue\":2}', x'00')",
    )
    .await;
    let organiser = site.organiser().await;
    let to = organiser.submit("/venues/1/removal", &SURE).await.taken();
    assert_eq!(to, "/venues?done=water-removed");
    let left = "SELECT COUNT(*) FROM imports";
    assert_eq!(number(&site, left).await, 1, "the other water's");
}

#[tokio::test]
async fn of_two_officers_the_second_is_told_that_it_is_removed_already() {
    let site = TestSite::new().await;
    let (one, other) = (site.organiser().await, site.administrator().await);
    let removal = format!("{}/removal", withy_pit(&one).await);
    assert_eq!(
        one.submit(&removal, &SURE).await.taken(),
        "/venues?done=water-removed"
    );
    let to = other.submit(&removal, &SURE).await.taken();
    assert_eq!(to, "/venues?done=water-gone");
    other.get(&to).await.shown().says("Removed already");

    let removal = format!("{}/removal", withy_pit(&one).await);
    let (first, second) = tokio::join!(one.submit(&removal, &SURE), other.submit(&removal, &SURE));
    let mut told = [first.taken(), second.taken()];
    told.sort();
    assert_eq!(
        told,
        ["/venues?done=water-gone", "/venues?done=water-removed"]
    );
    let never = one.submit("/venues/999/removal", &SURE).await;
    assert_eq!(never.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn one_that_somebody_changed_meanwhile_is_shown_as_it_stands() {
    let site = TestSite::new().await;
    let (one, other) = (site.organiser().await, site.administrator().await);
    let path = withy_pit(&one).await;
    let mut meant = WITHY_PIT.to_vec();
    meant[0] = ("name", "Alder Pit");
    meant.push(("version", "1"));
    other.submit(&format!("{path}/setup"), &meant).await.taken();
    let late = one.submit(&format!("{path}/removal"), &SURE).await;
    assert_eq!(late.status, StatusCode::CONFLICT);
    late.says("Somebody changed this water meanwhile.")
        .says("Alder Pit")
        .says("name=\"version\" value=\"2\"");
    one.get(&path).await.shown().says("Alder Pit");
}
