//! A water set up on one page, changed, walked, closed and written about.

use axum::http::StatusCode;

use crate::support::{Actor, TestSite};

const QUILLET: [(&str, &str); 16] = [
    ("name", "Quillet Water"),
    ("kind", "stillwater"),
    ("scale", "dr"),
    ("zone", "Europe/London"),
    ("rules", "No keepnets in June."),
    ("emergency", "Gate by the pump house."),
    ("bank0_name", "Long Reach"),
    ("bank0_facing", "SW"),
    ("bank0_pegs", "1–24"),
    ("bank0_ends", "1, 24"),
    ("bank0_accessible", "3"),
    ("bank1_name", "Alder Bank"),
    ("bank1_pegs", "26-40"),
    ("bank1_ends", ""),
    ("close_from", "15 March"),
    ("close_to", "15 June"),
];

/// The same form with some fields changed.
fn with<'a>(changes: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let mut form: Vec<_> = QUILLET
        .into_iter()
        .filter(|(name, _)| !changes.iter().any(|(other, _)| other == name))
        .collect();
    form.extend(changes);
    form
}

async fn quillet(site: &TestSite) -> (Actor, String) {
    let organiser = site.organiser().await;
    let to = organiser.submit("/venues/new", &QUILLET).await.taken();
    let path = to.strip_suffix("?done=saved").expect("a notice").to_owned();
    (organiser, path)
}

#[tokio::test]
async fn the_empty_list_says_who_can_do_what() {
    let site = TestSite::new().await;
    site.visitor()
        .get("/venues")
        .await
        .shown()
        .says("An organiser sets them up");
    site.organiser()
        .await
        .get("/venues")
        .await
        .shown()
        .says("href=\"/venues/new\"");
}

#[tokio::test]
async fn one_page_sets_up_a_water_of_39_pegs() {
    let site = TestSite::new().await;
    let (_, path) = quillet(&site).await;

    site.visitor()
        .get("/venues")
        .await
        .shown()
        .says("39 pegs on 2 banks");
    let water = site.visitor().get(&path).await.shown();
    water
        .says("Quillet Water")
        .says("Long Reach")
        .says("Alder Bank")
        .says("south-west")
        .says("Gate by the pump house.");
    water
        .says("15 March to 15 June")
        .does_not_say("Change this water");
    let at = |number: &str| {
        water
            .body
            .find(&format!("{path}/pegs/{number}\""))
            .expect("a link to the peg")
    };
    assert!(at("1") < at("2") && at("2") < at("10") && at("24") < at("26"));
    site.visitor()
        .get(&format!("{path}/pegs/1"))
        .await
        .shown()
        .says("an end peg")
        .says("Peg 2, after it");
    assert_eq!(
        site.visitor().get(&format!("{path}/pegs/25")).await.status,
        StatusCode::NOT_FOUND
    );
}

#[tokio::test]
async fn every_problem_of_the_page_is_told_at_once_and_nothing_typed_is_lost() {
    let site = TestSite::new().await;
    let organiser = site.organiser().await;
    let form = with(&[
        ("name", ""),
        ("bank1_pegs", "24-40"),
        ("bank0_ends", "99"),
        ("close_to", ""),
        ("zone", "Nowhere"),
        ("lat", "53.4"),
    ]);
    let answer = organiser
        .submit("/venues/new", &form)
        .await
        .asks("things are needed");
    answer
        .says("as members say it")
        .says("Peg 24 is on Long Reach too")
        .says("Peg 99 is not among")
        .says("no time zone");
    answer
        .says("Enter the longitude too")
        .says("No keepnets in June.")
        .says("value=\"24-40\"");
    site.visitor()
        .get("/venues")
        .await
        .says("No water is on record yet");
}

#[tokio::test]
async fn pegs_still_named_are_kept_and_dropped_ones_keep_their_page() {
    let site = TestSite::new().await;
    let (organiser, path) = quillet(&site).await;
    let setup = format!("{path}/setup");
    organiser
        .get(&setup)
        .await
        .shown()
        .says("value=\"1–24\"")
        .says("value=\"26–40\"")
        .says("24 pegs, 1 to 24.");

    organiser
        .submit(
            &setup,
            &with(&[
                ("version", "1"),
                ("bank0_pegs", "1-20"),
                ("bank0_ends", "20"),
                ("bank1_pegs", "40-26"),
            ]),
        )
        .await
        .taken();

    let water = organiser.get(&path).await.shown();
    water.does_not_say("/pegs/21\"").says("35 pegs");
    assert!(
        water.body.find("/pegs/40\"") < water.body.find("/pegs/26\""),
        "a range that runs down is walked down"
    );
    site.visitor()
        .get(&format!("{path}/pegs/21"))
        .await
        .shown()
        .says("No longer a peg");
    site.visitor()
        .get(&format!("{path}/pegs/20"))
        .await
        .shown()
        .says("an end peg");
}

#[tokio::test]
async fn the_later_of_two_savings_is_told_and_sees_both() {
    let site = TestSite::new().await;
    let (organiser, path) = quillet(&site).await;
    let setup = format!("{path}/setup");
    organiser
        .submit(
            &setup,
            &with(&[("version", "1"), ("rules", "Barbless hooks.")]),
        )
        .await
        .taken();

    let late = organiser
        .submit(&setup, &with(&[("version", "1"), ("rules", "No bread.")]))
        .await;
    assert_eq!(late.status, StatusCode::CONFLICT);
    late.says("Somebody else saved first")
        .says("Barbless hooks.")
        .says("No bread.")
        .says("name=\"version\" value=\"2\"");
    organiser.get(&path).await.says("Barbless hooks.");

    organiser
        .submit(&setup, &with(&[("version", "2"), ("rules", "No bread.")]))
        .await
        .taken();
    organiser.get(&path).await.says("No bread.");
}

#[tokio::test]
async fn a_name_in_use_is_refused_and_two_banks_may_change_names() {
    let site = TestSite::new().await;
    let (organiser, path) = quillet(&site).await;
    organiser
        .submit("/venues/new", &QUILLET)
        .await
        .asks("Another water has that name");
    let form = organiser.get(&format!("{path}/setup")).await.body;
    let id = |n: usize| {
        form.split(&format!("name=\"bank{n}_id\" value=\""))
            .nth(1)
            .and_then(|rest| rest.split('"').next())
            .expect("a bank’s id")
            .to_owned()
    };
    let (first, second) = (id(0), id(1));
    let swapped = with(&[
        ("version", "1"),
        ("bank0_id", &first),
        ("bank1_id", &second),
        ("bank0_name", "Alder Bank"),
        ("bank1_name", "Long Reach"),
    ]);
    organiser
        .submit(&format!("{path}/setup"), &swapped)
        .await
        .taken();
    organiser
        .get(&format!("{path}/pegs/1"))
        .await
        .shown()
        .says("Alder Bank");
}

#[tokio::test]
async fn a_closed_peg_says_why_until_it_is_opened() {
    let site = TestSite::new().await;
    let (organiser, path) = quillet(&site).await;
    let closures = format!("{path}/closures");
    organiser
        .submit(
            &closures,
            &[
                ("pegs", "14, 99"),
                ("from", "2026-11-01"),
                ("reason", "bank works"),
            ],
        )
        .await
        .asks("There is no peg 99 here");
    organiser
        .submit(
            &closures,
            &[
                ("pegs", "14"),
                ("from", "2026-11-09"),
                ("to", "2026-11-01"),
                ("reason", ""),
            ],
        )
        .await
        .asks("Say why");
    organiser.get(&closures).await.says("Every peg is open");

    let closed = organiser
        .submit(
            &closures,
            &[
                ("pegs", "14"),
                ("from", "2026-11-01"),
                ("reason", "bank works"),
            ],
        )
        .await
        .taken();
    organiser.get(&closed).await.shown().says("Saved.");
    site.visitor()
        .get(&path)
        .await
        .says("Closed from 1 Nov 2026: bank works");
    site.visitor()
        .get(&format!("{path}/pegs/14"))
        .await
        .says("Closed now.");
    let peg = organiser.get(&format!("{path}/pegs/14")).await.shown();
    peg.does_not_say("Report a session here")
        .says("Report a session fished before it was closed");
    let at = |words: &str| peg.body.find(words).expect(words);
    assert!(at("Closed now.") < at("<p class=\"known\">"));
    let like_days = organiser
        .get(&format!("{path}/like-days?peg=14"))
        .await
        .shown();
    let at = |words: &str| like_days.body.find(words).expect(words);
    assert!(at("Peg closed.") < at("How far to trust this."));
    assert!(at(">Peg 14 (closed)</option>") > at("How far to trust this."));

    let page = organiser.get(&closures).await.body;
    let open = page
        .split("action=\"")
        .find(|part| part.contains("/open\""))
        .and_then(|part| part.split('"').next())
        .expect("a form to open it")
        .to_owned();
    organiser.submit(&open, &[]).await.taken();
    site.visitor().get(&path).await.does_not_say("bank works");
}

#[tokio::test]
async fn the_diary_keeps_what_an_organiser_writes_and_members_may_only_read() {
    let site = TestSite::new().await;
    let (organiser, path) = quillet(&site).await;
    let diary = format!("{path}/diary");
    organiser
        .submit(
            &diary,
            &[("on", "2026-11-02"), ("kind", "stocking"), ("words", "")],
        )
        .await
        .asks("in a few words");
    let entry = [
        ("on", "2026-11-02"),
        ("kind", "stocking"),
        ("words", "Carp from the <stew> pond"),
        ("kg", "120,5"),
        ("group", "carp"),
    ];
    organiser.submit(&diary, &entry).await.taken();
    site.visitor()
        .get(&diary)
        .await
        .shown()
        .says("(265 lb 11 oz of carp)")
        .says("Carp from the &#60;stew&#62; pond")
        .does_not_say("<button class=\"do\"");
    site.visitor().get(&path).await.says("Mon 2 Nov 2026");
    assert_eq!(
        site.member().await.submit(&diary, &entry).await.status,
        StatusCode::FORBIDDEN
    );
}

#[tokio::test]
async fn a_name_that_differs_in_capitals_alone_is_taken_and_a_water_may_change_its_own() {
    let site = TestSite::new().await;
    let (organiser, path) = quillet(&site).await;
    organiser
        .submit("/venues/new", &with(&[("name", "quillet WATER")]))
        .await
        .asks("Another water has that name")
        .says("value=\"quillet WATER\"")
        .says("id=\"name-problem\"");

    let setup = format!("{path}/setup");
    organiser
        .get(&setup)
        .await
        .shown()
        .says("Set up by mistake?");
    for (version, name) in [("1", "QUILLET WATER"), ("2", "Thornmere")] {
        organiser
            .submit(&setup, &with(&[("name", name), ("version", version)]))
            .await
            .taken();
        organiser.get(&path).await.shown().says(name);
    }
    organiser.submit("/venues/new", &with(&[])).await.taken();
}
