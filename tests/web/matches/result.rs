//! The result: teams, who is listed apart, sorting, and the file to keep.

use axum::http::StatusCode;

use super::{SHEET, a_match, post, run};
use crate::support::{Actor, TestSite};

/// Three anglers in two teams, published: 12-8 each on pegs 1 and 2, peg 3 did not weigh.
pub async fn published(site: &TestSite) -> Actor {
    let organiser = a_match(site).await;
    run(
        site,
        "INSERT INTO match_teams (id, match_id, name) VALUES (1, 1, 'Kingcups'), (2, 1, 'Sedges');
         UPDATE entries SET team_id = 1 WHERE id = 1; UPDATE entries SET team_id = 2 WHERE id IN (2, 3);
         INSERT INTO labels (id, given, surname, salt) VALUES (91, '=2+3', 'Oxbarrow', zeroblob(16));
         INSERT INTO anglers (id, pid, label_id) VALUES (91, '00000000000000000000000091', 91);
         INSERT INTO entries (id, match_id, number, angler_id, peg_id) VALUES (4, 1, 4, 91, 4)",
    )
    .await;
    let mut sheet = SHEET.to_vec();
    sheet[4] = ("outcome-3", "did not weigh");
    sheet.push(("outcome-4", "absent"));
    post(&organiser, &sheet).await;
    organiser
}

#[tokio::test]
async fn teams_share_a_place_and_who_has_no_weight_is_listed_apart() {
    let site = TestSite::new().await;
    published(&site).await;

    let result = site.visitor().get("/matches/1/result").await.shown();

    result
        .says("The teams")
        .says(">1 entered: 1 weighed in</span>")
        .says(">2 entered: 1 weighed in, 1 did not weigh</span>")
        .says("<dt>Did not weigh</dt>")
        .says("<dt>Absent</dt>")
        .says("Olly T., peg 3");
    result.says("4 entered, 3 fished: 2 weighed in, 1 did not weigh; ");
    // Both anglers overall and in their section, and both teams.
    assert_eq!(result.body.matches(">1=</td>").count(), 6);
}

/// The sums of a result come out, and a section's table holds all who fished in it.
#[tokio::test]
async fn the_disqualified_are_counted_and_stand_in_their_section() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    run(
        &site,
        "UPDATE sections SET name = 'Section ' || name WHERE match_id = 1",
    )
    .await;
    let mut sheet = SHEET.to_vec();
    sheet[4] = ("outcome-3", "disqualified");
    post(&organiser, &sheet).await;

    let result = site.visitor().get("/matches/1/result").await.shown();

    result
        .says("3 entered, 3 fished: 2 weighed in, 1 disqualified; ")
        .says("<b>Section B</b>")
        .does_not_say("ection Section");
    let sections = result.body.split("id=\"sections\"").nth(1);
    assert!(sections.is_some_and(|tables| tables.contains("disqualified")));
}

/// The weight is still a fact, and so is that it does not count.
#[tokio::test]
async fn one_disqualified_with_a_weight_is_called_so_in_the_section_too() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let mut sheet = SHEET.to_vec();
    sheet[4] = ("outcome-3", "disqualified");
    sheet.push(("net-3-3-0", "20-0"));
    post(&organiser, &sheet).await;

    let result = site.visitor().get("/matches/1/result").await.shown();

    let (apart, sections) = result.body.split_once("id=\"sections\"").expect("sections");
    assert!(
        sections.contains(
            "<br><span class=\"quiet small\">disqualified, weighed 20\u{a0}lb</span></th>"
        ),
        "{sections}"
    );
    assert!(
        sections.contains("<td class=\"weight\" role=\"cell\">\u{2013}</td>"),
        "{sections}"
    );
    assert!(apart.contains("<dt>Disqualified</dt>"), "{apart}");
    assert!(apart.contains(", weighed 20\u{a0}lb"), "{apart}");
    assert!(!apart.contains("disqualified, weighed"), "{apart}");
}

/// The original stays and is shown; and the page says what a weight is read by.
#[tokio::test]
async fn a_net_of_another_unit_stands_beside_what_it_counts_as() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let mut sheet = SHEET.to_vec();
    sheet[3] = ("net-2-3-0", "5.67 kg");
    post(&organiser, &sheet).await;

    let result = site.visitor().get("/matches/1/result").await.shown();

    result
        .says(">weighed as 5.670\u{a0}kg</span>")
        .says(">Weight, lb-oz</th>")
        .says(">Weight, <span class=\"nowrap\">lb-oz</span></th>")
        .does_not_say(">Weight</th>");
    assert_eq!(result.body.matches("weighed as").count(), 1);
}

#[tokio::test]
async fn numbered_sections_stand_in_the_order_of_their_numbers() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let numbers = "UPDATE sections SET name = CASE name WHEN 'A' THEN '10' ELSE '2' END";
    run(&site, numbers).await;
    organiser.submit("/matches/1/weights", SHEET).await.taken();

    let page = organiser.get("/matches/1/publication").await.shown();

    let at = |name: &str| page.body.find(name).expect("a table");
    assert!(at("<b>Section 2</b>") < at("<b>Section 10</b>"));
}

#[tokio::test]
async fn the_overall_table_is_sorted_by_link() {
    let site = TestSite::new().await;
    published(&site).await;

    let by_peg = site
        .visitor()
        .get("/matches/1/result?sort=peg&order=down")
        .await
        .shown();

    by_peg.says("aria-sort=\"descending\"").says("sort=angler");
    let at = |name: &str| by_peg.body.find(name).expect("named");
    assert!(at("<b>J. Coppleway</b>") < at("<b>D. Hazelpatch</b>"));
    site.visitor()
        .get("/matches/1/result?sort=%00&order=sideways&posting=1")
        .await
        .shown()
        .says("posting=1&#38;sort=peg");
}

#[tokio::test]
async fn a_result_is_kept_as_csv_with_names_as_the_reader_may_see_them_and_no_formulas() {
    let site = TestSite::new().await;
    let organiser = published(&site).await;

    let open = site.visitor().get("/matches/1/result.csv").await.shown();
    let officers = organiser.get("/matches/1/result.csv").await.shown();

    assert_eq!(open.headers["content-type"], "text/csv; charset=utf-8");
    open.says("match,date,venue,place,place in section,angler,")
        .says("\nFrost Cup,2026-11-14,Quillet Water,1=,1=,D. Hazelpatch,")
        .says("1=,1=,D. Hazelpatch,1,A,Kingcups,fished,12 lb 8 oz,5669.9,8 lb ")
        .says("Olly T.,3,B,Sedges,did not weigh,,,")
        .does_not_say("Tarnside")
        .does_not_say("12-8");
    officers
        .says("Olly Tarnside")
        .says(",'=2+3 Oxbarrow,")
        .does_not_say(",=2+3");
    assert_eq!(
        site.visitor().get("/matches/9/result.csv").await.status,
        StatusCode::NOT_FOUND
    );
}

#[tokio::test]
async fn every_match_is_kept_as_csv() {
    let site = TestSite::new().await;
    published(&site).await;

    site.visitor()
        .get("/matches.csv")
        .await
        .shown()
        .says("entered,fished,weighed in,blanked,did not weigh,disqualified,absent")
        .says("2026-11-14,Frost Cup,Quillet Water,published,drawn from a bag,4,3,2,0,1,0,1");
}

#[tokio::test]
async fn an_objection_is_spoken_of_for_thirty_days() {
    let site = TestSite::new().await;
    published(&site).await;
    let sentence = "An objection goes to the match secretary.";
    site.pass(30 * 86_400);
    site.visitor()
        .get("/matches/1/result")
        .await
        .shown()
        .says(sentence);
    site.pass(86_400);
    site.visitor()
        .get("/matches/1/result")
        .await
        .shown()
        .says("Provisional.")
        .does_not_say(sentence);
}

#[tokio::test]
async fn the_file_of_an_earlier_posting_is_that_posting() {
    let site = TestSite::new().await;
    let organiser = published(&site).await;
    organiser
        .submit(
            "/matches/1/weights",
            &[("version", "4"), ("net-2-3-0", "13-8")],
        )
        .await
        .taken();
    organiser
        .submit(
            "/matches/1/publication",
            &[("version", "5"), ("reason", "read wrongly from the card")],
        )
        .await
        .taken();
    let visitor = site.visitor();

    visitor
        .get("/matches/1/result?posting=1")
        .await
        .shown()
        .says("href=\"/matches/1/result.csv?posting=1\"");
    visitor
        .get("/matches/1/result")
        .await
        .shown()
        .says("href=\"/matches/1/result.csv\"");
    let earlier = visitor.get("/matches/1/result.csv?posting=1").await.shown();
    earlier
        .says("1=,1=,J. Coppleway,2,")
        .does_not_say("13 lb 8 oz");
    let kept = earlier.headers["content-disposition"].to_str();
    let kept = kept.expect("text");
    assert!(kept.contains("-posting-1.csv"), "{kept}");
    visitor
        .get("/matches/1/result.csv")
        .await
        .shown()
        .says("13 lb 8 oz");
    assert_eq!(
        visitor.get("/matches/1/result.csv?posting=9").await.status,
        StatusCode::NOT_FOUND
    );
}

#[tokio::test]
async fn two_who_shorten_alike_are_told_apart_by_their_pegs() {
    let site = TestSite::new().await;
    published(&site).await;
    run(
        &site,
        "UPDATE labels SET given = 'Alf', surname = 'Ashenfold' WHERE surname = 'Hazelpatch';
         UPDATE labels SET given = 'Amos', surname = 'Ashenfold' WHERE surname = 'Coppleway'",
    )
    .await;

    site.visitor()
        .get("/matches/1/result")
        .await
        .shown()
        .says("A. Ashenfold, peg 1 and A. Ashenfold, peg 2 shared first place")
        .says("<b>A. Ashenfold, peg 1</b>")
        .says("Olly T., peg 3")
        .does_not_say("peg 1, peg 1");
    site.visitor()
        .get("/matches/1/result.csv")
        .await
        .shown()
        .says("\"A. Ashenfold, peg 2\",2,");
    site.member()
        .await
        .get("/matches/1/result")
        .await
        .shown()
        .says("<b>Alf Ashenfold</b>");
}

#[tokio::test]
async fn without_pegs_two_who_shorten_alike_are_told_apart_by_their_sections() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    run(
        &site,
        "UPDATE sections SET name = 'Section ' || name;
         UPDATE entries SET peg_id = NULL, section_id = id WHERE id IN (1, 2);
         UPDATE labels SET given = 'Alf', surname = 'Ashenfold' WHERE surname = 'Hazelpatch';
         UPDATE labels SET given = 'Amos', surname = 'Ashenfold' WHERE surname = 'Coppleway'",
    )
    .await;
    organiser.submit("/matches/1/weights", SHEET).await.taken();
    let posting = [("version", "3")];
    let posted = organiser.submit("/matches/1/publication", &posting).await;
    posted.taken();

    let result = site.visitor().get("/matches/1/result").await.shown();

    result
        .says("A. Ashenfold, section A")
        .says("A. Ashenfold, section B");
}

/// The parts of a page that a class shows, each to where the next part of it begins.
fn shown_as(page: &str, class: &str) -> String {
    let part = format!("class=\"{class}\"");
    let known = format!("class=\"known {class}\"");
    let block = page.split(&part).nth(1).expect("it has that part");
    let line = page.split(&known).nth(1).expect("it says what is known");
    let block = block.split("on-paper").next().unwrap_or_default();
    let line = line.split("</p>").next().unwrap_or_default();
    format!("{line}{block}")
}

#[tokio::test]
async fn what_an_officer_prints_for_the_notice_board_has_names_as_visitors_see_them() {
    let site = TestSite::new().await;
    let organiser = published(&site).await;

    let officers = organiser.get("/matches/1/result").await.shown();

    let (screen, paper) = (
        shown_as(&officers.body, "on-screen"),
        shown_as(&officers.body, "on-paper"),
    );
    assert!(screen.contains("Olly Tarnside") && screen.contains("Dot Hazelpatch"));
    for full in ["Tarnside", "Dot Hazelpatch", "Jem Coppleway"] {
        assert!(!paper.contains(full), "{full} is printed: {paper}");
    }
    assert!(paper.contains("Olly T., peg 3") && paper.contains("D. Hazelpatch"));
    officers
        .says("<b>Print this page</b> for the notice board")
        .says("The file has names as you see them here, not as visitors do.")
        .says("<a href=\"/matches/1/weights\">Correct a weight</a>");
    site.visitor()
        .get("/matches/1/result")
        .await
        .shown()
        .does_not_say("known on-paper")
        .does_not_say("Correct a weight");
}

#[tokio::test]
async fn the_weight_in_all_is_the_sum_of_the_weights_that_are_shown() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let mut sheet = SHEET.to_vec();
    sheet[1] = ("net-1-3-0", "8 lb 0 oz 12 dr");
    sheet[3] = ("net-2-3-0", "12 lb 8 oz 12 dr");
    organiser.submit("/matches/1/weights", &sheet).await.taken();

    organiser
        .get("/matches/1/publication")
        .await
        .shown()
        .says(">12-8</span>")
        .says("; 25\u{a0}lb weighed in all.");
    organiser
        .get("/matches/1/weights")
        .await
        .shown()
        .says("value=\"8 lb 0 oz 12 dr\"");
}
