//! What is kept for a peg's page follows every change at once, and nobody is shown what was kept
//! for another: each page here is asked for before the change as well.

use peglore::{
    domain::units::Scale,
    statistics::rates::{Measure, Rate},
    store::{READERS, anglers},
};

use super::{matches::run, peg::angler_signed_in};
use crate::support::{
    TestSite,
    planted::{Planted, day, reports},
};

#[tokio::test]
async fn names_on_a_pegs_page_follow_the_label_the_flag_and_the_clubs_setting() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let path = format!("{}/pegs/1", planted.path);
    let (visitor, member) = (site.visitor(), site.member().await);
    visitor.get(&path).await.shown().says("D. Hazelpatch");
    member.get(&path).await.shown().says("Dot Hazelpatch");

    run(
        &site,
        "UPDATE labels SET surname = 'Ashpole' WHERE surname = 'Hazelpatch'",
    )
    .await;
    visitor.get(&path).await.shown().says("D. Ashpole");
    let page = member.get(&path).await.shown();
    page.says("Dot Ashpole").does_not_say("Hazelpatch");

    let mut writing = site.site.db.write().await.expect("a writer");
    anglers::mark_was_junior(&mut writing, planted.anglers[0])
        .await
        .expect("marked");
    writing.commit().await.expect("kept");
    for reader in [&visitor, &member] {
        let page = reader.get(&path).await.shown();
        page.says("Dot A").does_not_say("Ashpole");
    }

    visitor.get(&path).await.shown().says("J. Coppleway");
    run(
        &site,
        "INSERT INTO settings (key, value) VALUES ('names_open', 'members only'), ('club_name', 'Quillet Anglers')
         ON CONFLICT (key) DO UPDATE SET value = excluded.value",
    )
    .await;
    let page = visitor.get(&path).await.shown();
    page.says("Quillet Anglers").does_not_say("Coppleway");
    let page = member.get(&path).await.shown();
    page.says("Quillet Anglers").says("Jem Coppleway");
}

#[tokio::test]
async fn a_pegs_page_asks_the_record_nothing_while_nothing_is_written() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let path = format!("{}/pegs/1", planted.path);
    let readers = [site.visitor(), site.member().await];
    let mut pages = Vec::new();
    for reader in &readers {
        pages.push(reader.get(&path).await.shown().body);
    }
    let mut others = Vec::new();
    for _ in 0..READERS {
        others.push(site.site.db.read().await.expect("a reader"));
    }
    for (reader, before) in readers.iter().zip(pages) {
        let page = reader.get(&path).await.shown().body;
        assert_eq!(page, before, "no connection is free to ask with");
    }
}

#[tokio::test]
async fn an_erased_name_is_gone_from_a_pegs_list_that_was_kept() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let path = format!("{}/pegs/1", planted.path);
    let (visitor, organiser) = (site.visitor(), site.organiser().await);
    let page = visitor.get(&path).await.shown();
    page.says("D. Hazelpatch").says("J. Coppleway");
    let page = organiser.get(&path).await.shown();
    page.says("Dot Hazelpatch").says("Jem Coppleway");

    run(&site, "DELETE FROM labels WHERE surname = 'Hazelpatch'").await;
    for reader in [&visitor, &organiser] {
        let page = reader.get(&path).await.shown();
        page.says("Former member")
            .says("Coppleway")
            .does_not_say("Hazelpatch");
    }

    run(
        &site,
        "UPDATE anglers SET label_id = NULL WHERE label_id = (SELECT id FROM labels WHERE surname = 'Coppleway')",
    )
    .await;
    for reader in [&visitor, &organiser] {
        let page = reader.get(&path).await.shown();
        page.says("Former member").does_not_say("Coppleway");
    }
}

#[tokio::test]
async fn a_pegs_page_follows_the_water_its_scales_its_closures_and_the_methods() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let path = format!("{}/pegs/1", planted.path);
    let member = site.member().await;
    planted
        .report(&site, &reports(day(8, 1), &[0, 1, 2, 0], "club"))
        .await;
    member
        .get(&path)
        .await
        .shown()
        .says("Quillet Water")
        .does_not_say("Closed now.");

    run(
        &site,
        "UPDATE venues SET name = 'Withy Water', weighs_in = 'g';
         UPDATE methods SET name = 'Long pole' WHERE id = 1;
         INSERT INTO peg_closures (peg_id, from_on, reason) SELECT id, '2026-11-01', 'bank works' FROM pegs WHERE number = '1'",
    )
    .await;
    let caught: Vec<_> = planted
        .weighed
        .iter()
        .zip(planted.record_rows())
        .filter(|(one, _)| one.peg == planted.pegs[0])
        .map(|(_, row)| row.caught)
        .collect();
    let rate = Rate::of(Measure::Weight(Scale::Grams), &caught);
    let figure = rate.measure.figure(rate.answer.rate().expect("eight days"));
    member
        .get(&path)
        .await
        .shown()
        .says("Withy Water")
        .does_not_say("Quillet Water")
        .says(&format!("<b>{figure}</b>"))
        .says("Long pole")
        .says("Closed now.");

    run(&site, "DELETE FROM peg_closures").await;
    let page = member.get(&path).await.shown();
    page.does_not_say("Closed now.");
}

#[tokio::test]
async fn a_pegs_list_follows_what_is_taken_back_posted_and_undone() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let path = format!("{}/pegs/1", planted.path);
    let member = site.member().await;
    planted
        .report(&site, &reports(day(8, 1), &[0, 1, 2, 3], "club"))
        .await;
    let page = member.get(&path).await.shown();
    page.says("1 to 12 of 12 sessions");

    run(
        &site,
        "UPDATE sessions SET removed_utc = 1 WHERE kind = 'report' AND fished_on = '2026-08-04'",
    )
    .await;
    let page = member.get(&path).await.shown();
    page.says("1 to 11 of 11 sessions");

    run(
        &site,
        "UPDATE matches SET name = 'Thaw Cup' WHERE name = 'Frost Cup, round 8'",
    )
    .await;
    let page = member.get(&path).await.shown();
    page.says("Frost Cup, round 8").does_not_say("Thaw Cup");
    run(
        &site,
        "INSERT INTO publications (match_id, ord, state, at_utc, reason, figures_json, sha256)
         SELECT id, 9, 'provisional', 0, 'its name was put right', '{}', zeroblob(32) FROM matches WHERE name = 'Thaw Cup'",
    )
    .await;
    let page = member.get(&path).await.shown();
    page.says("Thaw Cup").does_not_say("Frost Cup, round 8");

    run(
        &site,
        "INSERT INTO imports (id, file_name, file_sha256, kind, state, at_utc, content)
         VALUES (1, 'old.csv', zeroblob(32), 'results', 'done', 0, x'');
         UPDATE matches SET import_id = 1 WHERE name = 'Thaw Cup'",
    )
    .await;
    let page = member.get(&path).await.shown();
    page.says("1 to 11 of 11 sessions");
    run(&site, "UPDATE imports SET state = 'undone'").await;
    let page = member.get(&path).await.shown();
    page.says("1 to 10 of 10 sessions").does_not_say("Thaw Cup");
}

#[tokio::test]
async fn what_was_kept_for_one_reader_is_not_shown_to_another() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    planted
        .report(&site, &reports(day(8, 1), &[1], "private"))
        .await;
    let own = angler_signed_in(&site, &planted, 1).await;
    let (member, visitor) = (site.member().await, site.visitor());
    let path = format!("{}/pegs/1", planted.path);

    for _ in 0..2 {
        let page = own.get(&path).await.shown();
        page.says("Your own report").says("1 to 9 of 9 sessions");
        for reader in [&member, &visitor] {
            let page = reader.get(&path).await.shown();
            page.says("1 to 8 of 8 sessions")
                .does_not_say("Sat 1 Aug 2026")
                .does_not_say("You<");
        }
    }

    run(&site, "UPDATE anglers SET account_id = NULL").await;
    let page = own.get(&path).await.shown();
    page.does_not_say("Your own report").does_not_say("You<");
}

#[tokio::test]
async fn what_a_peg_adds_follows_how_its_fits_stand() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let path = format!("{}/pegs/1", planted.path);
    let visitor = site.visitor();
    let page = visitor.get(&path).await.shown();
    page.says("being worked out in the background");

    site.fitted().await;
    let page = visitor.get(&path).await.shown();
    page.says("In eight drawn matches this peg gave")
        .does_not_say("The last attempt at new figures failed");

    run(&site, "UPDATE fits SET attempt_state = 'failed'").await;
    let page = visitor.get(&path).await.shown();
    page.says("The last attempt at new figures failed");

    run(
        &site,
        "UPDATE fits SET attempt_state = 'good'; UPDATE matches SET state = 'final'",
    )
    .await;
    let page = visitor.get(&path).await.shown();
    page.does_not_say("The last attempt at new figures failed")
        .says("Something these figures rest on has changed");
}

#[tokio::test]
async fn a_reports_choices_follow_the_water_its_pegs_and_what_the_club_lists() {
    let site = TestSite::new().await;
    Planted::at(&site).await;
    let member = site.member().await;
    let form = member.get("/report?venue=1").await.shown();
    form.says("Quillet Water")
        .says(">Maggot<")
        .says(">Pole<")
        .does_not_say("Dendrobaena");

    for (sql, words) in [
        (
            "UPDATE venues SET name = 'Withy Pit' WHERE id = 1",
            "Withy Pit",
        ),
        (
            "INSERT INTO baits (id, name) VALUES (99, 'Dendrobaena')",
            "Dendrobaena",
        ),
        (
            "UPDATE methods SET name = 'Long pole' WHERE name = 'Pole'",
            "Long pole",
        ),
        (
            "INSERT INTO species (id, slug, name, group_id) VALUES (99, 'spined-loach', 'Spined loach', 16)",
            "Spined loach",
        ),
    ] {
        run(&site, sql).await;
        member.get("/report?venue=1").await.shown().says(words);
    }
    run(&site, "UPDATE baits SET retired = 1 WHERE id = 99").await;
    let form = member.get("/report?venue=1").await.shown();
    form.does_not_say("Dendrobaena");
}
