//! The weigh sheet: its order, its boxes, what it asks, and what it says once a result is posted.

use super::{SHEET, a_match, meanwhile::Open, number, post, run};
use crate::support::TestSite;

#[tokio::test]
async fn a_weight_that_could_be_two_names_both_and_takes_the_one_that_is_chosen() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let mut sheet = vec![
        ("version", "2"),
        ("net-1-3-0", "12.8"),
        ("outcome-2", "absent"),
        ("outcome-3", "blank"),
    ];

    let asked = organiser.submit("/matches/1/weights", &sheet).await.asks(
        "Peg 1, Dot Hazelpatch. Net 1: “12.8” could be 12\u{a0}lb\u{a0}8\u{a0}oz or 12\u{a0}lb\u{a0}12\u{a0}oz\u{a0}12\u{a0}dr. Choose what the scales said.",
    );
    asked
        .says("<p class=\"problem\" id=\"net-1-3-0-problem\">Net 1: “12.8” could be")
        .says("aria-describedby=\"net-1-3-0-problem\"")
        .says("name=\"meant-net-1-3-0\" value=\"12 lb 8 oz\">")
        .says("value=\"12.8\"")
        .does_not_say("This could be two weights.");
    // Whoever was right is saved meanwhile, and the page answers that save.
    asked.says("name=\"version\" value=\"3\"");
    sheet[0] = ("version", "3");
    sheet.push(("meant-net-1-3-0", "12 lb 8 oz"));
    organiser.submit("/matches/1/weights", &sheet).await.taken();

    assert_eq!(
        number(&site, "SELECT raw_weight FROM weighings").await,
        3200
    );
}

#[tokio::test]
async fn every_problem_of_the_sheet_says_whose_net_it_is() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;

    organiser
        .submit(
            "/matches/1/weights",
            &[
                ("version", "2"),
                ("net-1-3-0", "heavy"),
                ("net-2-3-1", "212-8"),
                ("net-3-3-0", "0"),
            ],
        )
        .await
        .asks(">Peg 1, Dot Hazelpatch. Net 1: ")
        .says(">Peg 2, Jem Coppleway. Net 2: 212\u{a0}lb\u{a0}8\u{a0}oz in one net is unlikely.")
        .says("Net 2: 212\u{a0}lb\u{a0}8\u{a0}oz is right");
    organiser
        .submit(
            "/matches/1/weights",
            &[("version", "2"), ("net-3-3-0", "0")],
        )
        .await
        .asks(">Peg 3, Olly Tarnside. Net 1: A net of nothing is no net.");
}

#[tokio::test]
async fn the_sheet_is_in_the_order_in_which_the_scales_come_round() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    organiser
        .submit(
            "/matches/1/entries",
            &[
                ("name-0", "Una Dapplemere"),
                ("section-0", "1"),
                ("name-1", "Ivy Furrowby"),
                ("peg-1", "4"),
                ("section-1", "1"),
            ],
        )
        .await
        .taken();
    run(&site, "UPDATE pegs SET walk_order = 0 WHERE id = 2").await;

    let page = organiser.get("/matches/1/weights").await.shown();

    let legends: Vec<&str> = page
        .body
        .split("<legend>")
        .skip(1)
        .filter_map(|rest| rest.split("</legend>").next())
        .collect();
    assert_eq!(
        legends,
        [
            "Peg 2, Jem Coppleway",
            "Peg 1, Dot Hazelpatch",
            "Peg 4, Ivy Furrowby",
            "Peg 3, Olly Tarnside",
            "Una Dapplemere",
        ]
    );
    let headings: Vec<&str> = page
        .body
        .split("<h2>")
        .skip(1)
        .filter_map(|rest| rest.split("</h2>").next())
        .collect();
    assert_eq!(headings, ["Section A", "Section B", "No peg yet"]);
    page.says("<b>5 of 5 are still to weigh.</b>");
}

/// Forty anglers are ten screens of a phone, and every save begins them again at the top.
#[tokio::test]
async fn a_sheet_half_typed_leads_to_whom_it_comes_to_next_and_is_saved_section_by_section() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    organiser
        .get("/matches/1/weights")
        .await
        .shown()
        .does_not_say("Next to weigh");
    let one = [("version", "2"), ("net-1-3-0", "8-0")];
    organiser.submit("/matches/1/weights", &one).await.taken();

    let page = organiser.get("/matches/1/weights").await.shown();

    page.says("<a href=\"#net-2-3-0\">Next to weigh: Peg 2, Jem Coppleway</a>")
        .says("id=\"net-2-3-0\"");
    assert_eq!(page.body.matches(">Save so far</button>").count(), 1);
    let mut whole = SHEET.to_vec();
    whole[0] = ("version", "3");
    organiser.submit("/matches/1/weights", &whole).await.taken();
    organiser
        .get("/matches/1/weights")
        .await
        .shown()
        .does_not_say("Next to weigh");
}

#[tokio::test]
async fn pegs_half_typed_lead_to_the_first_angler_without_one() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let page = "/matches/1/pegs";
    organiser
        .get(page)
        .await
        .shown()
        .does_not_say("without a peg");
    run(&site, "UPDATE entries SET peg_id = NULL WHERE id > 1").await;
    organiser
        .get(page)
        .await
        .shown()
        .says("2 of 3 without a peg. <a href=\"#peg-2\">Go to Jem Coppleway</a>")
        .says("id=\"peg-2\"");
    run(&site, "UPDATE entries SET peg_id = NULL").await;
    organiser
        .get(page)
        .await
        .shown()
        .does_not_say("without a peg");
}

#[tokio::test]
async fn each_entry_has_one_box_more_than_it_has_nets() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    organiser.submit("/matches/1/weights", SHEET).await.taken();

    organiser
        .get("/matches/1/weights")
        .await
        .shown()
        .says("name=\"net-1-3-2\"")
        .does_not_say("name=\"net-1-3-3\"")
        .says("name=\"net-2-3-1\"")
        .does_not_say("name=\"net-2-3-2\"");
}

#[tokio::test]
async fn officers_are_told_that_the_posted_result_is_the_old_one_until_it_is_published_again() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    post(&organiser, SHEET).await;
    let told = "Changed since the result was posted:";
    let pages = [
        "/matches/1",
        "/matches/1/pegs",
        "/matches/1/weights",
        "/matches/1/result",
    ];
    for path in pages {
        organiser.get(path).await.shown().does_not_say(told);
    }

    let mut sheet = SHEET.to_vec();
    sheet[0] = ("version", "4");
    sheet[3] = ("net-2-3-0", "13-8");
    organiser.submit("/matches/1/weights", &sheet).await.taken();

    for path in pages {
        organiser
            .get(path)
            .await
            .shown()
            .says(told)
            .says("/matches/1/publication\">look over and publish again</a>");
    }
    let member = site.member().await;
    for path in ["/matches/1", "/matches/1/result"] {
        let visitors = site.visitor().get(path).await.shown();
        visitors.does_not_say(told);
        member.get(path).await.shown().does_not_say(told);
    }
    organiser
        .submit(
            "/matches/1/publication",
            &[("version", "5"), ("reason", "read wrongly from the card")],
        )
        .await
        .taken();
    for path in pages {
        organiser.get(path).await.shown().does_not_say(told);
    }
}

#[tokio::test]
async fn the_tick_for_an_unlikely_weight_holds_for_that_weight_only() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let mut sheet = vec![
        ("version", "2"),
        ("net-2-3-0", "212-8"),
        ("net-2-3-0_sure", "212 lb 8 oz"),
    ];
    organiser.submit("/matches/1/weights", &sheet).await.taken();
    let ticked = "name=\"net-2-3-0_sure\" value=\"212 lb 8 oz\" checked>";
    organiser
        .get("/matches/1/weights")
        .await
        .shown()
        .says(ticked);

    sheet[0] = ("version", "3");
    sheet[1] = ("net-2-3-0", "312-8");
    let asked = organiser
        .submit("/matches/1/weights", &sheet)
        .await
        .asks("312\u{a0}lb\u{a0}8\u{a0}oz in one net is unlikely.");

    asked
        .says("name=\"net-2-3-0_sure\" value=\"312 lb 8 oz\">")
        .says("Net 1: 312\u{a0}lb\u{a0}8\u{a0}oz is right");
    sheet[2] = ("net-2-3-0_sure", "312 lb 8 oz");
    organiser.submit("/matches/1/weights", &sheet).await.taken();
}

#[tokio::test]
async fn anglers_who_are_right_are_saved_and_only_the_wrong_net_comes_back() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let mut typed = Open::of(&organiser, "/matches/1/weights").await;
    typed.type_in("net-1-3-0", "8-0");
    typed.type_in("net-2-3-0", "heavy");
    typed.type_in("net-2-3-1", "1-1");
    typed.type_in("outcome-3", "blank");

    let asked = typed
        .send(&organiser)
        .await
        .asks("One thing is needed before the rest can be saved");

    asked
        .says("Two anglers are saved. What is named here is not yet")
        .says("<a href=\"#net-2-3-0\">Peg 2, Jem Coppleway. Net 1: ")
        .says("name=\"net-2-3-0\" value=\"heavy\"")
        .says("name=\"net-2-3-1\" value=\"1-1\"")
        .says("name=\"net-1-3-0\" value=\"8 lb\"")
        .says("<b>1 of 3 is still to weigh.</b>");
    let weighed = "SELECT COUNT(*) FROM weighings";
    assert_eq!(number(&site, weighed).await, 1);
    // The old page, sent again by the back button, says nothing new of who is saved.
    typed.type_in("net-2-3-0", "7-0");
    typed.send(&organiser).await.taken();
    assert_eq!(number(&site, weighed).await, 3);
    let told = "SELECT COUNT(*) FROM entries WHERE outcome IS NOT NULL";
    assert_eq!(number(&site, told).await, 3);
}

#[tokio::test]
async fn a_mended_net_is_saved_from_the_page_that_asked_and_overwrites_nobody() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let mut typed = Open::of(&organiser, "/matches/1/weights").await;
    typed.type_in("net-1-3-0", "8-0");
    typed.type_in("net-2-3-0", "heavy");
    let asked = typed.send(&organiser).await.asks("Net 1: ");
    let other = site.administrator().await;
    let mut meanwhile = Open::of(&other, "/matches/1/weights").await;
    meanwhile.type_in("net-1-3-0", "9-0");
    meanwhile.send(&other).await.taken();

    let mut mended = Open::on(&asked, "/matches/1/weights");
    mended.type_in("net-2-3-0", "7-0");
    mended.send(&organiser).await.taken();

    organiser
        .get("/matches/1/weights")
        .await
        .shown()
        .says("name=\"net-1-3-0\" value=\"9 lb\"")
        .says("name=\"net-2-3-0\" value=\"7 lb\"");
}

#[tokio::test]
async fn an_outcome_written_into_a_net_is_told_where_it_belongs() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    for (written, choice) in [
        ("DNW", "fished, did not weigh in"),
        ("did not weigh", "fished, did not weigh in"),
        ("blank", "blank: caught nothing"),
    ] {
        let sentence = format!(
            "Net 1: “{written}” is no weight. Leave the net empty, and choose “{choice}” at Outcome."
        );
        organiser
            .submit(
                "/matches/1/weights",
                &[("version", "2"), ("net-1-3-0", written)],
            )
            .await
            .asks(&sentence);
    }
}

#[tokio::test]
async fn a_net_far_above_every_other_of_its_match_is_asked_about() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let mut sheet = vec![
        ("version", "2"),
        ("net-1-3-0", "30-0"),
        ("net-2-3-0", "99-0"),
        ("outcome-3", "blank"),
    ];
    organiser
        .submit("/matches/1/weights", &sheet)
        .await
        .asks("99\u{a0}lb in one net is unlikely: it is more than three times any other of this match.")
        .says("Net 1: 99\u{a0}lb is right");
    sheet[0] = ("version", "3");
    sheet.push(("net-2-3-0_sure", "99 lb"));
    organiser.submit("/matches/1/weights", &sheet).await.taken();
    // Ninety pounds are three times thirty, not more.
    sheet[0] = ("version", "4");
    sheet[2] = ("net-2-3-0", "90-0");
    organiser.submit("/matches/1/weights", &sheet).await.taken();
}

/// On a phone half a row is too narrow for pounds, ounces and drams.
#[tokio::test]
async fn a_net_with_odd_drams_comes_back_in_a_box_that_shows_all_of_it() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let sheet = [
        ("version", "2"),
        ("net-1-3-0", "10-0½"),
        ("net-2-3-0", "4-2"),
    ];
    organiser.submit("/matches/1/weights", &sheet).await.taken();

    let page = organiser.get("/matches/1/weights").await.shown();
    page.says("value=\"10 lb 0 oz 8 dr\"");
    let field_of = |net: &str| {
        let label = format!("<label for=\"{net}\">");
        let (before, _) = page.body.split_once(&label).expect("its box");
        let (_, class) = before.rsplit_once("<div class=\"").expect("its field");
        class.split('"').next().unwrap_or_default().to_owned()
    };
    assert_eq!(field_of("net-1-3-0"), "field half long");
    assert_eq!(field_of("net-2-3-0"), "field half");
}
