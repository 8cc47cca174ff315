//! A match’s hours, peg and weights are the match’s, whatever a report of it says.

use super::{form, number, post, tell, weigh_in, with_match};
use crate::support::{TestSite, record::asked};

#[tokio::test]
async fn a_report_does_not_rewrite_the_hours_or_the_peg_of_a_match() {
    let site = TestSite::new().await;
    let organiser = with_match(&site).await;
    let member = site.member().await;
    let earlier = form(&[("key", "an-earlier-form-0001"), ("date", "2026-11-01")]);
    let first = member.submit("/report", &earlier).await.taken();
    weigh_in(&site, &organiser).await;

    let hours = "Frost Cup ran from 10:00 to 15:00. Report what you fished before or after it as a session of its own.";
    let peg = "You drew peg 15 in Frost Cup. Leave the peg empty, or ask the organiser to put the draw right.";
    for (changes, field, sentence) in [
        (&[("start", "7:00")][..], "start", hours),
        (&[("end", "15:31")][..], "end", hours),
        (&[("peg", "14")][..], "peg", peg),
    ] {
        member
            .submit("/report", &form(changes))
            .await
            .asks(sentence)
            .says(&format!("href=\"#{field}\""));
        // Neither by the date of an earlier report put right.
        let moved = [changes, &[("ver", "1")][..]].concat();
        let address = first.trim_end_matches("?done=report-saved");
        member
            .submit(&format!("{address}/edit"), &form(&moved))
            .await
            .asks(sentence);
    }
    let address = member
        .submit("/report", &form(&[("start", "9:30"), ("peg", "15")]))
        .await
        .taken();
    let address = address.trim_end_matches("?done=report-saved");
    // Nor by an edit of the report that is part of the match.
    member
        .submit(
            &format!("{address}/edit"),
            &form(&[("ver", "2"), ("peg", "14")]),
        )
        .await
        .asks(peg);
    assert_eq!(
        number(&site, "SELECT peg_id FROM spells AS p JOIN sessions AS s ON s.id = p.session_id WHERE s.entry_id = 1").await,
        2
    );
}

#[tokio::test]
async fn a_report_that_contradicts_the_match_stands_by_itself_when_the_result_is_posted() {
    for changes in [("peg", "14"), ("start", "7:00")] {
        let site = TestSite::new().await;
        let organiser = with_match(&site).await;
        let member = site.member().await;
        member.submit("/report", &form(&[changes])).await.taken();

        weigh_in(&site, &organiser).await;

        let apart = "SELECT COUNT(*) FROM sessions AS m, sessions AS r WHERE m.entry_id = 1 AND m.has_report = 0 AND r.kind = 'report' AND r.entry_id IS NULL";
        assert_eq!(number(&site, apart).await, 1, "{changes:?}");
    }
}

#[tokio::test]
async fn a_report_before_the_result_agrees_with_the_entry_or_says_where_it_does_not() {
    let site = TestSite::new().await;
    with_match(&site).await;
    let member = site.member().await;
    let earlier = form(&[("key", "an-earlier-form-0001"), ("date", "2026-11-01")]);
    let first = member.submit("/report", &earlier).await.taken();
    let edit = format!("{}/edit", first.trim_end_matches("?done=report-saved"));
    tell(
        &site,
        "INSERT INTO entries (id, match_id, number, angler_id, peg_id) VALUES (1, 1, 1, (SELECT MIN(id) FROM anglers), 2)",
    )
    .await;

    let hours = "Frost Cup ran from 10:00 to 15:00. Report what you fished before or after it as a session of its own.";
    let peg = "You drew peg 15 in Frost Cup. Leave the peg empty, or ask the organiser to put the draw right.";
    let wrong = [
        ("start", "7:00"),
        ("peg", "14"),
        ("fish_1", "1"),
        ("fish_weight_1", "21-0"),
    ];
    let answer = member.submit("/report", &form(&wrong)).await;
    answer
        .asks("Three things are needed")
        .says(hours)
        .says(peg)
        .says("Named fish 1: that is more than the whole of Carp above");
    let moved = form(&[("peg", "14"), ("ver", "1")]);
    member.submit(&edit, &moved).await.asks(peg);

    let address = member.submit("/report", &form(&[])).await.taken();
    member
        .get(address.trim_end_matches("?done=report-saved"))
        .await
        .shown()
        .says("It joins your entry in Frost Cup when the result is posted.");
    let afternoon = form(&[
        ("key", "a-form-of-its-own-0002"),
        ("start", "15:30"),
        ("end", "17:00"),
        ("peg", "14"),
    ]);
    let address = member.submit("/report", &afternoon).await.taken();
    member
        .get(address.trim_end_matches("?done=report-saved"))
        .await
        .shown()
        .does_not_say("It joins your entry");
}

#[tokio::test]
async fn an_angler_sees_the_weight_weighed_in_beside_the_own_count() {
    let site = TestSite::new().await;
    let organiser = with_match(&site).await;
    let member = site.member().await;
    let address = member
        .submit("/report", &form(&[("visibility", "private")]))
        .await
        .taken();
    let address = address.trim_end_matches("?done=report-saved-private");
    weigh_in(&site, &organiser).await;

    let page = member.get(address).await.shown();
    page.says("12\u{a0}lb\u{a0}8\u{a0}oz, weighed in")
        .says("5 fish, 20\u{a0}lb")
        .does_not_say("Add your own report");
    let list = member.get("/sessions").await.shown();
    list.says("12\u{a0}lb\u{a0}8\u{a0}oz, weighed in");
    let counts = "SELECT COUNT(fish_count) FROM fishing WHERE entry_id = 1";
    assert_eq!(number(&site, counts).await, 0, "the report is private");

    let ver = number(&site, "SELECT ver FROM sessions WHERE entry_id = 1").await;
    member
        .submit(
            &format!("{address}/removal"),
            &[("ver", ver.to_string().as_str()), ("sure", "on")],
        )
        .await
        .taken();
    member
        .get(address)
        .await
        .shown()
        .says("Add your own report")
        .says("/report?venue=1&amp;date=2026-11-13")
        .says("12\u{a0}lb\u{a0}8\u{a0}oz, weighed in");
    let session = address.trim_start_matches("/sessions/");
    let begun = |session: &str| format!("/report?venue=1&date=2026-11-13&session={session}");
    member
        .get(&begun(session))
        .await
        .shown()
        .says("Your report will join your entry in <span class=\"bidi\">Frost Cup</span>")
        .says("name=\"date\" value=\"2026-11-13\"")
        .says("name=\"peg\" value=\"15\"")
        .says("name=\"start\" value=\"10:00\"")
        .says("name=\"end\" value=\"15:00\"");
    // Of somebody else's session, or of none, nothing is said.
    organiser
        .get(&begun(session))
        .await
        .shown()
        .does_not_say("Your report will join your entry");
}

#[tokio::test]
async fn an_edit_that_only_gives_the_drawn_peg_back_still_follows_a_draw_put_right() {
    let site = TestSite::new().await;
    let organiser = with_match(&site).await;
    let member = site.member().await;
    let untimed = form(&[("spells", "1"), ("start", ""), ("end", "")]);
    let address = member.submit("/report", &untimed).await.taken();
    let address = address.trim_end_matches("?done=report-saved");
    weigh_in(&site, &organiser).await;
    let edit = format!("{address}/edit");
    let shown = member.get(&edit).await.shown();
    shown.says("name=\"peg\" value=\"15\"");
    let ver = number(&site, "SELECT ver FROM sessions WHERE entry_id = 1").await;
    let ver: &'static str = Box::leak(ver.to_string().into_boxed_str());
    let given_back = form(&[
        ("ver", ver),
        ("spells", "1"),
        ("peg", "15"),
        ("remarks", "Wind off the back."),
    ]);
    member.submit(&edit, &given_back).await.taken();
    let of_match = "SELECT COUNT(*) FROM sessions AS s JOIN spells AS p ON p.session_id = s.id WHERE s.entry_id = 1 AND s.effort_source = 'match hours' AND p.hours_of_match = 1 AND p.peg_as_drawn = 1 AND p.peg_id = 2";
    assert_eq!(number(&site, of_match).await, 1);

    organiser
        .submit("/matches/1/pegs", &[("version", "3"), ("peg-1", "14")])
        .await
        .taken();
    post(&organiser, "4", "the card was misread").await;

    let peg = "SELECT peg_id FROM spells AS p JOIN sessions AS s ON s.id = p.session_id WHERE s.entry_id = 1";
    assert_eq!(number(&site, peg).await, 1);
}

#[tokio::test]
async fn a_report_apart_joins_when_the_match_is_put_right_and_leaves_when_it_no_longer_agrees() {
    let site = TestSite::new().await;
    let organiser = with_match(&site).await;
    let member = site.member().await;
    let day_before = form(&[("date", "2026-11-12")]);
    member.submit("/report", &day_before).await.taken();
    weigh_in(&site, &organiser).await;
    let apart = "SELECT COUNT(*) FROM sessions WHERE kind = 'report'";
    assert_eq!(number(&site, apart).await, 1);

    tell(
        &site,
        "UPDATE matches SET on_date = '2026-11-12', start_utc = start_utc - 86400, finish_utc = finish_utc - 86400",
    )
    .await;
    post(&organiser, "3", "it was on the Thursday").await;
    let joined = "SELECT COUNT(*) FROM sessions WHERE entry_id = 1 AND has_report = 1 AND fished_on = '2026-11-12' AND (SELECT COUNT(*) FROM sessions) = 1";
    assert_eq!(number(&site, joined).await, 1);

    tell(
        &site,
        "UPDATE matches SET on_date = '2026-11-13', start_utc = start_utc + 86400, finish_utc = finish_utc + 86400",
    )
    .await;
    post(&organiser, "4", "it was on the Friday after all").await;
    let both = "SELECT COUNT(*) FROM sessions WHERE (kind = 'report' AND fished_on = '2026-11-12' AND start_utc IS NOT NULL) OR (entry_id = 1 AND has_report = 0 AND fished_on = '2026-11-13')";
    assert_eq!(number(&site, both).await, 2);
}

#[tokio::test]
async fn a_report_between_a_change_and_its_posting_has_what_stands_posted() {
    let site = TestSite::new().await;
    let organiser = with_match(&site).await;
    let member = site.member().await;
    let earlier = form(&[("key", "an-earlier-form-0001"), ("date", "2026-11-01")]);
    member.submit("/report", &earlier).await.taken();
    weigh_in(&site, &organiser).await;
    tell(
        &site,
        "UPDATE matches SET finish_utc = finish_utc - 3600; UPDATE entries SET peg_id = 1",
    )
    .await;

    let untimed = form(&[("start", ""), ("end", "")]);
    member.submit("/report", &untimed).await.taken();

    let figures = "SELECT CAST(rod_hours AS INTEGER) * 10 + peg_id FROM fishing WHERE entry_id = 1";
    assert_eq!(number(&site, figures).await, 52);
    post(
        &organiser,
        "3",
        "stopped an hour early, and the card was misread",
    )
    .await;
    assert_eq!(number(&site, figures).await, 41);
}

#[tokio::test]
async fn nobody_else_reads_the_second_swim_of_a_private_report() {
    let site = TestSite::new().await;
    let organiser = with_match(&site).await;
    let member = site.member().await;
    let moved = form(&[
        ("visibility", "private"),
        ("spells", "2"),
        ("peg_1", "15"),
        ("from_1", "10:00"),
        ("to_1", "12:00"),
        ("peg_2", "14"),
        ("from_2", "12:00"),
        ("to_2", "15:00"),
    ]);
    member.submit("/report", &moved).await.taken();
    weigh_in(&site, &organiser).await;
    let swims = "SELECT COUNT(DISTINCT peg_id) FROM spells AS p JOIN sessions AS s ON s.id = p.session_id WHERE s.entry_id = 1";
    assert_eq!(number(&site, swims).await, 2);
    let list = organiser.get("/anglers").await.shown();
    let at = list.body.find("/anglers/").expect("a link");
    let page = list.body[at..]
        .split('"')
        .next()
        .expect("an address")
        .to_owned();

    let own = member.get(&page).await.shown();
    let other = site.other_member().await.get(&page).await.shown();

    own.says("15, 14");
    other.does_not_say("15, 14").says("Frost Cup");
    let club = organiser.get("/sessions.csv").await.shown();
    club.does_not_say("15, 14").says(",15,");
}

#[tokio::test]
async fn officers_read_the_hours_of_the_match_whatever_a_private_report_says() {
    let of_the_match = "Frost Cup,15,10:00,15:00,5.00,match hours,Carp,";
    let of_the_report = "Frost Cup,15,09:30,14:30,5.00,spells,Carp,";
    for (start, end, to_its_angler) in [("9:30", "14:30", of_the_report), ("", "", of_the_match)] {
        let site = TestSite::new().await;
        let organiser = with_match(&site).await;
        let member = site.member().await;
        let private = form(&[("visibility", "private"), ("start", start), ("end", end)]);
        member.submit("/report", &private).await.taken();
        weigh_in(&site, &organiser).await;

        let club = organiser.get("/sessions.csv").await.shown();
        let own = member.get("/sessions.csv").await.shown();

        club.says(of_the_match).does_not_say("private");
        own.says(to_its_angler).says(",private,");
    }
}

#[tokio::test]
async fn a_weight_of_somebody_disqualified_is_never_told_without_that() {
    let site = TestSite::new().await;
    let organiser = with_match(&site).await;
    let member = site.member().await;
    let address = member.submit("/report", &form(&[])).await.taken();
    tell(
        &site,
        "INSERT INTO entries (id, match_id, number, angler_id, peg_id) VALUES (1, 1, 1, (SELECT MIN(id) FROM anglers), 2)",
    )
    .await;
    let sheet = [
        ("version", "1"),
        ("net-1-1-0", "12-8"),
        ("outcome-1", "disqualified"),
    ];
    organiser.submit("/matches/1/weights", &sheet).await.taken();
    post(&organiser, "2", "").await;

    let told = ", disqualified<";
    member.get("/sessions").await.shown().says(told);
    member
        .get(address.trim_end_matches("?done=report-saved"))
        .await
        .shown()
        .says("weighed in, disqualified<");
    let angler: String = asked(&site, "SELECT pid FROM anglers ORDER BY id LIMIT 1").await;
    member
        .get(&format!("/anglers/{angler}"))
        .await
        .shown()
        .says(told);
}
