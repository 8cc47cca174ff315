//! What two officers have open at the same time. A box never touched follows the record; one that both
//! changed is asked about, and a form that comes back with a mistake still answers the version it was
//! fetched with, so that nothing is saved over unseen.

use axum::http::StatusCode;

use super::{SHEET, a_match, number};
use crate::support::{Actor, Answer, TestSite, pages::forms_of};

/// A form as the page holds it, to be filled in and sent.
pub(super) struct Open(&'static str, Vec<(String, String)>);

impl Open {
    pub(super) async fn of(officer: &Actor, path: &'static str) -> Self {
        Self::on(&officer.get(path).await.shown(), path)
    }

    pub(super) fn on(page: &Answer, path: &'static str) -> Self {
        let forms = forms_of(&page.body, path);
        let form = forms.into_iter().find(|form| form.action == path);
        let fields = form.expect("the form is on the page").fields.into_iter();
        let sent = fields.filter(|field| !field.name.starts_with("withdrawn"));
        Self(path, sent.map(|field| (field.name, field.value)).collect())
    }

    pub(super) fn type_in(&mut self, name: &str, text: &str) {
        let field = self.1.iter_mut().find(|(known, _)| known == name);
        field.expect("the box is on the page").1 = text.to_owned();
    }

    pub(super) fn tick(&mut self, name: &str) {
        self.1.push((name.to_owned(), "on".to_owned()));
    }

    pub(super) async fn send(&self, officer: &Actor) -> Answer {
        let fields: Vec<(&str, &str)> = self
            .1
            .iter()
            .map(|(name, value)| (name.as_str(), value.as_str()))
            .collect();
        officer.submit(self.0, &fields).await
    }
}

const WEIGHED: &str = "SELECT COUNT(*) FROM net_choices AS c JOIN net_choice_weighings AS x ON x.choice_id = c.id WHERE c.current = 1";

#[tokio::test]
async fn weights_of_different_anglers_typed_at_the_same_time_are_all_saved() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    organiser.submit("/matches/1/weights", SHEET).await.taken();
    let administrator = site.administrator().await;
    let mut earlier = Open::of(&administrator, "/matches/1/weights").await;
    let mut first = Open::of(&organiser, "/matches/1/weights").await;
    first.type_in("net-2-3-1", "1-1");
    first.send(&organiser).await.taken();

    earlier.type_in("outcome-3", "fished");
    earlier.type_in("net-3-3-0", "2-0");
    earlier.send(&administrator).await.taken();

    assert_eq!(number(&site, WEIGHED).await, 5);
    organiser
        .get("/matches/1/weights")
        .await
        .shown()
        .says("name=\"net-2-3-1\" value=\"1 lb 1 oz\"")
        .says("name=\"net-3-3-0\" value=\"2 lb\"");
}

#[tokio::test]
async fn a_box_that_both_changed_is_asked_about_and_the_others_follow_the_record() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    organiser.submit("/matches/1/weights", SHEET).await.taken();
    let administrator = site.administrator().await;
    let mut earlier = Open::of(&administrator, "/matches/1/weights").await;
    let mut first = Open::of(&organiser, "/matches/1/weights").await;
    first.type_in("net-1-3-1", "4-9");
    first.type_in("net-2-3-0", "13-8");
    first.send(&organiser).await.taken();

    earlier.type_in("net-2-3-0", "11-8");
    let asked = earlier.send(&administrator).await;

    assert_eq!(asked.status, StatusCode::CONFLICT);
    asked
        .says("<a href=\"#net-2-3-0\">Peg 2, Jem Coppleway. Net 1: you have 11\u{a0}lb\u{a0}8\u{a0}oz, and the record now says 13\u{a0}lb\u{a0}8\u{a0}oz.")
        .says("name=\"net-2-3-0\" value=\"11-8\"")
        .says("id=\"net-2-3-0-hint\">On record now: 13 lb 8 oz")
        .says("name=\"net-1-3-1\" value=\"4 lb 9 oz\"")
        .does_not_say("Peg 1, Dot Hazelpatch. Net");
    let kept = Open::on(&asked, "/matches/1/weights");
    kept.send(&administrator).await.taken();
    organiser
        .get("/matches/1/weights")
        .await
        .shown()
        .says("name=\"net-2-3-0\" value=\"11 lb 8 oz\"")
        .says("name=\"net-1-3-1\" value=\"4 lb 9 oz\"");
}

#[tokio::test]
async fn a_weight_for_somebody_marked_blank_meanwhile_is_asked_about() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let mut earlier = Open::of(&organiser, "/matches/1/weights").await;
    organiser
        .submit(
            "/matches/1/weights",
            &[("version", "2"), ("outcome-2", "blank")],
        )
        .await
        .taken();

    earlier.type_in("net-2-3-0", "1-1");
    let asked = earlier.send(&organiser).await;

    assert_eq!(asked.status, StatusCode::CONFLICT);
    asked.says("Peg 2, Jem Coppleway. Outcome: you have weighed in, and the record now says blank: caught nothing.");
    assert_eq!(number(&site, WEIGHED).await, 0);
}

#[tokio::test]
async fn a_weight_for_somebody_who_is_no_longer_entered_is_not_dropped_unsaid() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let mut earlier = Open::of(&organiser, "/matches/1/weights").await;
    organiser
        .submit(
            "/matches/1/pegs",
            &[("version", "2"), ("peg-3", "3"), ("withdrawn-3", "on")],
        )
        .await
        .taken();

    earlier.type_in("net-3-3-0", "7-7");
    earlier.type_in("net-1-3-0", "8-0");
    earlier
        .send(&organiser)
        .await
        .asks("“7-7” was entered for an angler or a kind of net that is no longer in this match")
        .says("name=\"net-1-3-0\" value=\"8-0\"");
}

#[tokio::test]
async fn pegs_of_different_anglers_typed_at_the_same_time_are_all_saved() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let mut earlier = Open::of(&organiser, "/matches/1/pegs").await;
    let mut first = Open::of(&organiser, "/matches/1/pegs").await;
    first.type_in("peg-1", "4");
    first.send(&organiser).await.taken();

    earlier.type_in("section-3", "1");
    earlier.send(&organiser).await.taken();

    assert_eq!(
        number(&site, "SELECT peg_id FROM entries WHERE id = 1").await,
        4
    );
    assert_eq!(
        number(&site, "SELECT section_id FROM entries WHERE id = 3").await,
        1
    );
    earlier.type_in("peg-1", "2");
    earlier.type_in("peg-2", "1");
    let asked = earlier.send(&organiser).await;
    assert_eq!(asked.status, StatusCode::CONFLICT);
    asked
        .says("Dot Hazelpatch. Peg: you have 2, and the record now says 4.")
        .says("On record now: 4");
}

#[tokio::test]
async fn weights_mended_after_a_mistake_do_not_save_over_what_another_saved_meanwhile() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    organiser.submit("/matches/1/weights", SHEET).await.taken();
    let mut sheet = SHEET.to_vec();
    sheet[3] = ("net-2-3-0", "heavy");
    organiser
        .submit("/matches/1/weights", &sheet)
        .await
        .asks("Peg 2, Jem Coppleway. Net 1: ")
        .says("name=\"version\" value=\"2\"");

    sheet[3] = ("net-2-3-0", "11-1");
    let stale = organiser.submit("/matches/1/weights", &sheet).await;

    assert_eq!(stale.status, StatusCode::CONFLICT);
    stale
        .says("value=\"11-1\"")
        .says("On record now: 12 lb 8 oz")
        .says("name=\"version\" value=\"3\"");
}

#[tokio::test]
async fn pegs_mended_after_a_mistake_do_not_save_over_what_another_saved_meanwhile() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let pegs = |second| {
        [
            ("version", "2"),
            ("peg-1", "1"),
            ("section-1", "1"),
            ("peg-2", second),
            ("section-2", "1"),
        ]
    };
    organiser
        .submit("/matches/1/pegs", &pegs("4"))
        .await
        .taken();
    organiser
        .submit("/matches/1/pegs", &pegs("99"))
        .await
        .asks("Quillet Water has no peg 99")
        .says("name=\"version\" value=\"2\"");

    let stale = organiser.submit("/matches/1/pegs", &pegs("2")).await;

    assert_eq!(stale.status, StatusCode::CONFLICT);
    stale
        .says("On record now: 4")
        .says("name=\"version\" value=\"3\"");
}

#[tokio::test]
async fn a_match_changed_after_a_mistake_is_not_saved_over_what_another_saved_meanwhile() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let form = |name| {
        [
            ("version", "2"),
            ("name", name),
            ("on", "2026-11-14"),
            ("start", "10:00"),
            ("finish", "15:00"),
            ("pegs_allotted", "bag"),
            ("ranking", "0"),
            ("group-carp", "together"),
            ("group-silvers", "together"),
        ]
    };
    organiser
        .submit("/matches/1/edit", &form("Frost Shield"))
        .await
        .taken();
    organiser
        .submit("/matches/1/edit", &form(""))
        .await
        .asks("Enter the name of the match")
        .says("name=\"version\" value=\"2\"");

    let stale = organiser
        .submit("/matches/1/edit", &form("Frost Bowl"))
        .await;

    assert_eq!(stale.status, StatusCode::CONFLICT);
    stale.says("<b>Theirs:</b> Frost Shield<br><b>Yours:</b> Frost Bowl");
}

#[tokio::test]
async fn a_peg_for_somebody_who_is_no_longer_entered_is_not_dropped_unsaid() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let mut earlier = Open::of(&organiser, "/matches/1/pegs").await;
    organiser
        .submit(
            "/matches/1/pegs",
            &[("version", "2"), ("peg-3", "3"), ("withdrawn-3", "on")],
        )
        .await
        .taken();

    earlier.type_in("peg-3", "7");
    earlier
        .send(&organiser)
        .await
        .asks("“7” was typed as the peg of an angler who is no longer in this match");
}

#[tokio::test]
async fn one_peg_written_in_two_ways_is_no_clash() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let mut earlier = Open::of(&organiser, "/matches/1/pegs").await;
    let mut first = Open::of(&organiser, "/matches/1/pegs").await;
    first.type_in("peg-1", "4");
    first.send(&organiser).await.taken();

    earlier.type_in("peg-1", "Peg 4");
    earlier.send(&organiser).await.taken();
}
