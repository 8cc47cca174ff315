//! What is changed after a posting is nobody's but the officers' until it is posted in its turn.

use super::{a_match, a_posted_match, number, post_again, run};
use crate::support::{Actor, TestSite};

/// As officers may leave it after that: another name, day, hours and section, Dot on peg 4, Olly
/// withdrawn, two more entered.
async fn changed(site: &TestSite) {
    run(
        site,
        "UPDATE matches SET name = 'Reed Bowl', on_date = '2026-11-13', start_utc = start_utc - 90000,
           finish_utc = finish_utc - 86400, meet_place = 'the hut', pegs_allotted = 'of choice', ver = ver + 1;
         UPDATE sections SET name = 'Zander' WHERE id = 1;
         UPDATE entries SET peg_id = 4 WHERE id = 1;
         UPDATE entries SET outcome = NULL, status = 'withdrawn' WHERE id = 3;
         INSERT INTO labels (id, given, surname, salt) VALUES (91, 'Wren', 'Sallowby', zeroblob(16)), (92, 'Bryn', 'Sedgewick', zeroblob(16));
         INSERT INTO anglers (id, pid, label_id) VALUES (91, '00000000000000000000000091', 91), (92, '00000000000000000000000092', 92);
         INSERT INTO entries (id, match_id, number, angler_id, peg_id, outcome) VALUES (4, 1, 4, 91, 1, 'absent'), (5, 1, 5, 92, NULL, 'absent')",
    )
    .await;
}

/// Pages and lists that tell of the posted match whole.
const TOLD: [&str; 6] = [
    "/",
    "/matches",
    "/matches/1",
    "/matches/1/result",
    "/matches/1/result.csv",
    "/matches.csv",
];

async fn read(reader: &Actor, path: &str) -> String {
    let answer = reader.get(path).await.shown();
    let kept = answer.headers.get("content-disposition");
    format!("{kept:?}\n{}", answer.body)
}

#[tokio::test]
async fn visitors_and_members_read_a_posted_match_as_it_was_posted() {
    let site = TestSite::new().await;
    a_posted_match(&site).await;
    let (visitor, member) = (site.visitor(), site.member().await);
    let mut before = Vec::new();
    for path in TOLD {
        before.push((path, read(&visitor, path).await, read(&member, path).await));
    }
    visitor
        .get("/matches/1")
        .await
        .shown()
        .says("Saturday 14 November 2026. Fishing from 10:00 to 15:00")
        .says("3 entered")
        .says("D. Hazelpatch");

    changed(&site).await;

    for (path, to_visitor, to_member) in before {
        assert_eq!(read(&visitor, path).await, to_visitor, "{path}");
        assert_eq!(read(&member, path).await, to_member, "{path}");
    }
}

#[tokio::test]
async fn a_peg_that_stands_for_a_name_is_the_one_posted() {
    let site = TestSite::new().await;
    a_posted_match(&site).await;
    run(
        &site,
        "INSERT OR REPLACE INTO settings (key, value) VALUES ('names_open', 'members only')",
    )
    .await;
    changed(&site).await;

    for path in ["/matches/1", "/matches/1/result", "/matches/1/result.csv"] {
        let told = site.visitor().get(path).await.shown();
        told.says("Peg 1")
            .does_not_say("Peg 4")
            .does_not_say("Former member");
    }
}

#[tokio::test]
async fn a_posted_blank_is_a_blank_among_ones_own_sessions() {
    let site = TestSite::new().await;
    a_posted_match(&site).await;
    let member = site.member().await;
    run(
        &site,
        "UPDATE anglers SET account_id = (SELECT id FROM accounts WHERE name = 'Member')
         WHERE id = (SELECT angler_id FROM entries WHERE id = 3)",
    )
    .await;
    member
        .get("/sessions")
        .await
        .shown()
        .says("data-says=\"Weight\">blank<")
        .does_not_say("nothing, weighed in");
}

#[tokio::test]
async fn a_peg_that_stands_for_a_name_is_said_once() {
    let site = TestSite::new().await;
    let organiser = a_posted_match(&site).await;
    run(
        &site,
        "INSERT OR REPLACE INTO settings (key, value) VALUES ('names_open', 'members only')",
    )
    .await;
    let version = number(&site, "SELECT ver FROM matches").await.to_string();
    let sheet = [
        ("version", version.as_str()),
        ("net-1-3-0", "8-0"),
        ("net-1-3-1", "4-8"),
        ("net-2-3-0", "12 lb 8 oz"),
        ("outcome-3", "did not weigh"),
    ];
    organiser.submit("/matches/1/weights", &sheet).await.taken();
    post_again(&site, &organiser, "The scales were misread.").await;

    site.visitor()
        .get("/matches/1/result")
        .await
        .shown()
        .says("<dt>Did not weigh</dt><dd>Peg 3</dd>")
        .says("<b>Peg 2</b>")
        .does_not_say(", peg ")
        .does_not_say(">Angler<")
        .does_not_say("class=\"n peg\"")
        .does_not_say("<td class=\"peg\"");
    site.visitor()
        .get("/matches/1")
        .await
        .shown()
        .says("Peg 2")
        .does_not_say("class=\"n\">Peg<");
    site.member()
        .await
        .get("/matches/1/result")
        .await
        .shown()
        .says("class=\"n peg\"")
        .says("Dot Hazelpatch");
}

#[tokio::test]
async fn pages_of_the_water_of_its_pegs_and_of_anglers_name_a_posted_match_as_posted() {
    let site = TestSite::new().await;
    a_posted_match(&site).await;
    let member = site.member().await;
    run(
        &site,
        "UPDATE anglers SET account_id = (SELECT id FROM accounts WHERE name = 'Member')
         WHERE id = (SELECT angler_id FROM entries WHERE id = 1)",
    )
    .await;
    changed(&site).await;
    let pids =
        "SELECT g.pid || ' ' || s.pid FROM entries AS e JOIN anglers AS g ON g.id = e.angler_id
                JOIN sessions AS s ON s.entry_id = e.id WHERE e.id = 1";
    let mut reading = site.site.db.read().await.expect("a reader");
    let pids: String = sqlx::query_scalar(pids)
        .fetch_one(&mut *reading)
        .await
        .expect("a session");
    drop(reading);
    let (angler, session) = pids.split_once(' ').expect("two");

    for path in [
        "/venues/1".to_owned(),
        "/venues/1/pegs/1".to_owned(),
        "/venues/1/record.csv".to_owned(),
        "/venues/1/what-it-took".to_owned(),
        "/venues/1/what-it-took.csv".to_owned(),
        format!("/anglers/{angler}"),
        "/sessions".to_owned(),
        "/sessions.csv".to_owned(),
        format!("/sessions/{session}"),
    ] {
        let told = member.get(&path).await.shown();
        told.does_not_say("Reed Bowl");
        if path.ends_with(".csv") {
            told.does_not_say("2026-11-13");
        }
    }
    for path in ["/venues/1/pegs/1", "/venues/1/record.csv", "/sessions.csv"] {
        member.get(path).await.shown().says("Frost Cup");
    }
}

#[tokio::test]
async fn officers_read_the_change_on_the_page_of_the_match_and_what_is_posted_in_the_files() {
    let site = TestSite::new().await;
    let organiser = a_posted_match(&site).await;
    changed(&site).await;

    organiser
        .get("/matches/1")
        .await
        .shown()
        .says("Reed Bowl")
        .says("Friday 13 November 2026")
        .says("Wren Sallowby")
        .says("Changed since the result was posted");
    organiser
        .get("/matches.csv")
        .await
        .shown()
        .says("2026-11-14,Frost Cup,Quillet Water,published,drawn from a bag,3,3,2,1,0,0,0")
        .does_not_say("Reed Bowl");
}

#[tokio::test]
async fn the_next_posting_shows_the_change_everywhere_and_the_earlier_one_still_names_who_withdrew()
{
    let site = TestSite::new().await;
    let organiser = a_posted_match(&site).await;
    changed(&site).await;
    post_again(&site, &organiser, "The wrong card was typed.").await;

    let visitor = site.visitor();
    visitor
        .get("/matches/1")
        .await
        .shown()
        .says("Reed Bowl")
        .says("Friday 13 November 2026")
        .says("W. Sallowby")
        .does_not_say("Olly T.");
    visitor
        .get("/matches.csv")
        .await
        .shown()
        .says("2026-11-13,Reed Bowl,Quillet Water,published,pegs of choice,4,2,2,0,0,0,2");
    visitor
        .get("/matches/1/result?posting=1")
        .await
        .shown()
        .says("Frost Cup</a>")
        .says("Olly T.");
}

/// What nobody has posted is not counted as nought.
#[tokio::test]
async fn a_match_without_a_result_has_only_its_entries_counted_in_the_csv() {
    let site = TestSite::new().await;
    a_match(&site).await;

    site.visitor()
        .get("/matches.csv")
        .await
        .shown()
        .says("2026-11-14,Frost Cup,Quillet Water,planned,drawn from a bag,3,,,,,,");
}
