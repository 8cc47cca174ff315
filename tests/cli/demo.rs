//! The demonstration club as it stands in the record.

use peglore::{
    actions::plant_demo,
    demo::{self, Size},
    domain::dates::Day,
    store::backup,
};

use crate::support::TestSite;

#[tokio::test]
async fn the_demonstration_club_is_as_large_as_its_description_says() {
    let site = TestSite::new().await;
    let club = demo::make(
        demo::SEED,
        Size::Usual,
        Day::new(2026, 11, 14).expect("a real day"),
    );
    plant_demo::plant(&site.site.db, site.site.now(), &club)
        .await
        .expect("an empty record takes it");

    let proof = backup::prove(site.site.db.file())
        .await
        .expect("the record is whole");

    assert_eq!((proof.accounts, proof.anglers, proof.matches), (3, 60, 144));
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

#[test]
fn the_same_seed_makes_the_same_club() {
    let today = Day::new(2026, 11, 14).expect("a real day");
    let (one, two) = (
        demo::make(7, Size::Usual, today),
        demo::make(7, Size::Usual, today),
    );
    let catches = |club: &demo::DemoClub| -> Vec<u32> {
        club.venues
            .iter()
            .flat_map(|v| &v.reports)
            .map(|r| r.catch.silvers_dr)
            .collect()
    };
    assert_eq!(catches(&one), catches(&two));
    assert_ne!(catches(&one), catches(&demo::make(8, Size::Usual, today)));
}

#[tokio::test]
async fn the_demonstration_is_not_written_into_a_record_in_use() {
    let site = TestSite::new().await;
    site.member().await;
    let club = demo::make(
        demo::SEED,
        Size::Usual,
        Day::new(2026, 11, 14).expect("a real day"),
    );
    assert!(
        plant_demo::plant(&site.site.db, site.site.now(), &club)
            .await
            .is_err()
    );
}
