//! What an administrator sets for the club, and what follows from it.

use axum::http::StatusCode;

use crate::support::TestSite;

const GOOD: [(&str, &str); 3] = [
    ("name", "Nethermoor Angling Club"),
    ("names", "full name"),
    ("zone", "Europe/Lisbon"),
];

#[tokio::test]
async fn an_administrator_names_the_club_and_every_page_bears_the_name() {
    let site = TestSite::new().await;
    let administrator = site.administrator().await;
    administrator
        .get("/committee")
        .await
        .shown()
        .says("/committee/club");
    administrator
        .get("/committee/club")
        .await
        .shown()
        .says("value=\"Our club\"")
        .says("Initial and surname: D. Hazelpatch")
        .says("The full name: Dot Hazelpatch")
        .says("Peg 14");
    let taken = administrator.submit("/committee/club", &GOOD).await.taken();
    assert_eq!(taken, "/committee/club?done=saved");
    administrator.get(&taken).await.shown().says("Saved.");
    site.visitor()
        .get("/")
        .await
        .shown()
        .says("Nethermoor Angling Club");
    administrator
        .get("/committee/club")
        .await
        .shown()
        .says("value=\"Europe/Lisbon\"");
    site.visitor()
        .get("/privacy")
        .await
        .shown()
        .says("visitors see full names");
}

#[tokio::test]
async fn what_is_said_of_juniors_is_true_of_each_way_of_showing_names() {
    let site = TestSite::new().await;
    let administrator = site.administrator().await;
    let short = "Juniors are shown as first name and initial to everybody but officers.";
    for (names, said, unsaid) in [
        ("initial and surname", short, "no visitor sees"),
        ("full name", short, "no visitor sees"),
        (
            "members only",
            "no visitor sees a junior’s name",
            "everybody but officers",
        ),
    ] {
        let form = [GOOD[0], ("names", names), GOOD[2]];
        administrator.submit("/committee/club", &form).await.taken();
        site.visitor()
            .get("/privacy")
            .await
            .shown()
            .says(said)
            .does_not_say(unsaid);
        administrator
            .get("/committee/club")
            .await
            .shown()
            .says("With pegs only, visitors see a junior’s peg as everybody else’s.")
            .does_not_say("everybody but officers");
    }
}

#[tokio::test]
async fn the_clubs_zone_is_that_of_ones_own_page_and_of_a_new_water() {
    let site = TestSite::new().await;
    let administrator = site.administrator().await;
    administrator
        .get("/account")
        .await
        .shown()
        .says("Times in Europe/London")
        .says("12:00");
    administrator.submit("/committee/club", &GOOD[..2]).await;
    let far = [GOOD[0], GOOD[1], ("zone", "Asia/Tokyo")];
    administrator.submit("/committee/club", &far).await.taken();
    administrator
        .get("/account")
        .await
        .shown()
        .says("Times in Asia/Tokyo")
        .says("21:00");
    let sheet = b"Date,Match,Angler,Weight\n2019-01-05,Cup,Jem Coppleway,1-0\n";
    administrator
        .upload(
            "/imports/new",
            &[("kind", "results")],
            ("file", "old.csv", sheet),
        )
        .await
        .taken();
    administrator
        .get("/imports")
        .await
        .shown()
        .says("21:00")
        .does_not_say("UTC");
    administrator
        .get("/venues/new")
        .await
        .shown()
        .says("value=\"Asia/Tokyo\"");
}

#[tokio::test]
async fn what_cannot_be_set_is_named_at_its_field_and_what_was_typed_is_kept() {
    let site = TestSite::new().await;
    let administrator = site.administrator().await;
    let bad = [
        ("name", " "),
        ("names", "nick names"),
        ("zone", "Pond/North"),
    ];
    let answer = administrator.submit("/committee/club", &bad).await;
    answer
        .asks("Enter the club’s name")
        .says("Choose how visitors see names")
        .says("no time zone that is known")
        .says("value=\"Pond/North\"")
        .says("<title>Error: ");
    let organiser = site.organiser().await;
    for answer in [
        organiser.get("/committee/club").await,
        organiser.submit("/committee/club", &GOOD).await,
    ] {
        assert_eq!(answer.status, StatusCode::FORBIDDEN);
    }
    organiser
        .get("/committee")
        .await
        .shown()
        .does_not_say("/committee/club");
}
