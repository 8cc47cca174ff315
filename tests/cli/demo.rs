//! The demonstration club as it stands in the record.

use peglore::{
    actions::plant_demo,
    demo::{self, Size},
    domain::{
        groups::Group,
        matches::Outcome,
        sessions::{Caught, usual},
        units::{Length, Weight},
    },
    store::backup,
};

use crate::support::{TestSite, fishing::TODAY, record::number};

#[tokio::test]
async fn the_demonstration_club_is_as_large_as_its_description_says() {
    let site = TestSite::new().await;
    let club = demo::make(demo::SEED, Size::Usual, TODAY);
    site.plant(&club).await;

    let proof = backup::prove(site.site.db.file())
        .await
        .expect("the record is whole");

    assert_eq!((proof.accounts, proof.anglers, proof.matches), (3, 60, 150));
    let count = async |sql: &'static str| number(&site, sql).await;
    let grown = "SELECT COUNT(*) FROM anglers WHERE account_id IS NOT NULL AND is_junior = 0";
    assert_eq!(count(grown).await, 3, "nobody who signs in is a junior");
    let (published, main) = (
        "SELECT COUNT(*) FROM matches WHERE state = 'published'",
        "SELECT COUNT(*) FROM matches WHERE state = 'published' AND venue_id = 1",
    );
    assert_eq!((count(published).await, count(main).await), (144, 104));
    assert_eq!(
        count("SELECT COUNT(DISTINCT match_id) FROM publications").await,
        144
    );
    assert_eq!(
        count("SELECT COUNT(*) FROM matches WHERE state = 'planned' AND on_date > '2026-11-14'")
            .await,
        6
    );
    assert_eq!(
        count("SELECT COUNT(*) FROM sessions WHERE kind = 'report'").await,
        1_200
    );
    assert_eq!(
        count("SELECT COUNT(DISTINCT venue_id) FROM matches WHERE on_date = '2026-11-13'").await,
        3
    );
    assert_eq!(
        count("SELECT COUNT(*) FROM weather_days WHERE on_date > '2026-11-13'").await,
        0
    );
    assert_eq!(
        count("SELECT COUNT(DISTINCT outcome) FROM entries").await,
        5
    );
    assert!(count("SELECT COUNT(*) FROM corrections").await > 0);
    assert!(count("SELECT COUNT(*) FROM tallies").await > 1_000);
    assert_eq!(
        count("SELECT COUNT(*) FROM peg_closures WHERE to_on IS NULL").await,
        3
    );
    assert_eq!(
        count("SELECT (SELECT COUNT(*) FROM session_catches_worked) - (SELECT COUNT(*) FROM session_catches)").await,
        0
    );
    assert_eq!(
        count(
            "SELECT COUNT(*) FROM (SELECT 1 FROM
                 (SELECT m.on_date AS day, e.angler_id AS angler, m.venue_id AS water
                  FROM matches AS m JOIN entries AS e ON e.match_id = m.id
                  UNION SELECT fished_on, angler_id, venue_id FROM sessions)
               GROUP BY day, angler HAVING COUNT(*) > 1)"
        )
        .await,
        0,
        "somebody is at two waters on one day"
    );
    assert!(
        (3_500..=4_500).contains(&proof.sessions),
        "{} sessions",
        proof.sessions
    );
    assert!(
        (2_140..=2_190).contains(&proof.weather_days),
        "{} days",
        proof.weather_days
    );
}

/// What is planted (`demo::planted`) is claimed on the water with days enough, and on no other.
#[tokio::test]
async fn the_planted_effect_is_found_again_and_said_first() {
    let site = TestSite::new().await;
    let club = demo::make(demo::SEED, Size::Usual, TODAY);
    site.plant(&club).await;

    site.fitted().await;

    let visitor = site.visitor();
    let page = visitor.get("/venues/1/like-days").await.shown();
    page.says("knowing the weather took off");
    for small in ["/venues/2/like-days", "/venues/3/like-days"] {
        let page = visitor.get(small).await.shown();
        page.says("days on record are too few to tell whether the weather matters here");
    }
}

#[test]
fn ten_seasons_are_as_many_matches_and_sessions_as_is_said() {
    let club = demo::make(demo::SEED, Size::Large, TODAY);

    let matches: Vec<_> = club
        .venues
        .iter()
        .flat_map(|water| &water.matches)
        .collect();
    let entries = matches.iter().flat_map(|one| &one.entries);
    let fished = entries.filter(|entry| entry.outcome != Outcome::Absent);
    let reports: usize = club.venues.iter().map(|water| water.reports.len()).sum();
    let sessions = fished.count() + reports;

    assert_eq!(matches.len(), 1_000);
    assert!(
        (99_000..=101_000).contains(&sessions),
        "{sessions} sessions"
    );
}

#[test]
fn the_same_seed_makes_the_same_club() {
    let (one, two) = (
        demo::make(7, Size::Usual, TODAY),
        demo::make(7, Size::Usual, TODAY),
    );
    let catches = |club: &demo::DemoClub| -> Vec<u32> {
        club.venues
            .iter()
            .flat_map(|v| &v.reports)
            .map(|report| report.catch.silvers_dr)
            .collect()
    };
    assert_eq!(catches(&one), catches(&two));
    assert_ne!(catches(&one), catches(&demo::make(8, Size::Usual, TODAY)));
}

#[tokio::test]
async fn the_demonstration_is_not_written_into_a_record_in_use() {
    let site = TestSite::new().await;
    site.member().await;
    let club = demo::make(demo::SEED, Size::Usual, TODAY);
    assert!(
        plant_demo::plant(&site.site.db, site.site.now(), &club)
            .await
            .is_err()
    );
}

#[tokio::test]
async fn a_kept_demonstration_says_that_it_is_made_up_whoever_serves_it() {
    let site = TestSite::new().await;
    site.visitor()
        .get("/")
        .await
        .shown()
        .does_not_say("every figure are invented");
    let mut club = demo::make(demo::SEED, Size::Usual, TODAY);
    club.venues.clear();
    site.plant(&club).await;

    let site = site.restarted().await;

    for page in ["/", "/sign-in", "/matches"] {
        let page = site.visitor().get(page).await.shown();
        page.says("every figure are invented");
    }
}

/// Nothing that the invented club reports is so far from usual that a form would ask about it.
#[test]
fn nothing_of_the_demonstration_would_be_asked_about() {
    let club = demo::make(demo::SEED, Size::Usual, TODAY);
    let mut seen = 0;
    for venue in &club.venues {
        let reports = venue.reports.iter();
        let reports = reports.map(|one| (&one.fished, &one.catch, one.hours));
        let entries = venue.matches.iter().flat_map(|one| &one.entries);
        let entries = entries.filter_map(|entry| {
            let own = entry.own.as_ref()?;
            Some((own, &entry.catch, demo::MATCH_HOURS))
        });
        for (fished, catch, hours) in reports.chain(entries) {
            seen += 1;
            for (group, count, drams) in [
                (Group::Silvers, catch.silvers, catch.silvers_dr),
                (Group::Carp, catch.carp, catch.carp_dr),
            ] {
                let caught = Caught {
                    groups: group.into(),
                    count: Some(i64::from(count)),
                    weight: Some(Weight::drams(drams)),
                };
                assert_eq!(caught.unusual(), None);
                assert_eq!(caught.too_fast(f64::from(hours)), None);
            }
            if let Some((drams, _)) = fished.biggest {
                let weight = Weight::drams(drams);
                assert!(!usual::is_giant("common-carp", Group::Carp, weight));
            }
            let later = fished.later.as_ref().map(|(_, later)| later);
            for approach in std::iter::once(&fished.opening).chain(later) {
                assert!(!usual::is_far(Length::from_metres(approach.line_m)));
                let depth = approach.depth_m.map(Length::from_metres);
                assert!(!depth.is_some_and(usual::is_deep));
            }
        }
    }
    assert!(seen > 1_200, "{seen} reports");
}
