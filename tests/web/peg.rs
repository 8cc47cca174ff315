//! A peg's page: what it adds, how it fishes, and whose sessions each reader sees.

use axum::http::StatusCode;
use peglore::{
    domain::accounts::Role,
    statistics::{
        fished_days::CatchUnit,
        hours, methods,
        peg_effects::of_every_peg,
        rates::{CatchRow, Measure, Rate},
    },
    store::anglers,
    web::figures,
};

use crate::support::{
    Actor, TestSite,
    planted::{Planted, Reported, bare_water, day, reports},
    record::tell,
};

/// The angler at this place, signed in.
pub(super) async fn angler_signed_in(site: &TestSite, planted: &Planted, place: usize) -> Actor {
    let actor = site.somebody("Signed-in angler", Role::Member).await;
    let mut writing = site.site.db.write().await.expect("a writer");
    let account =
        sqlx::query_scalar::<_, i64>("SELECT id FROM accounts WHERE name = 'Signed-in angler'")
            .fetch_one(&mut *writing)
            .await
            .expect("just made");
    let account = peglore::domain::ids::AccountId(account);
    anglers::set_account(&mut writing, planted.anglers[place], Some(account))
        .await
        .expect("joined");
    writing.commit().await.expect("kept");
    actor
}

#[tokio::test]
async fn the_multiplier_and_the_rate_are_those_of_the_statistics() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    site.fitted().await;
    let effect = of_every_peg(CatchUnit::Pounds, &planted.drawn())[&planted.pegs[0]];
    let (low, high) = effect.limits.expect("eight matches");
    let rows: Vec<_> = planted
        .weighed
        .iter()
        .zip(planted.record_rows())
        .filter(|(one, _)| one.peg == planted.pegs[0])
        .map(|(_, row)| row.caught)
        .collect();
    let rate = Rate::of(Measure::Weight(planted.scale()), &rows);

    let page = site
        .visitor()
        .get(&format!("{}/pegs/1", planted.path))
        .await
        .shown();

    assert!(effect.multiplier() > 1.0);
    let more = figures::per_cent(effect.multiplier() - 1.0);
    let between = format!(
        "({} to {})",
        figures::change(low.exp()),
        figures::change(high.exp())
    );
    let (known, fishes) = (page.body.split_once("How it fishes")).expect("two parts");
    assert!(known.contains(&format!("href=\"{}/record.csv\"", planted.path)));
    assert!(fishes.contains(&format!("href=\"{}/record.csv?peg=1\"", planted.path)));
    page.says("Behind it, of the whole water: Matches, ")
        .says("In eight drawn matches this peg gave")
        .says(&format!("{more} more"))
        .says(&between)
        .says("which is clear of chance")
        .says("a peg is called clear of chance only where the draw would not give as much either")
        .says("of many even pegs up to about one in twenty may look so by chance")
        .says("among many pegs up to about one in twenty stands clear by luck alone");
    let figure = rate.measure.figure(rate.answer.rate().expect("eight days"));
    page.says(&format!("<b>{figure}</b>"))
        .says(&rate.behind.words());
}

#[tokio::test]
async fn who_did_not_weigh_is_bounded_by_the_lowest_weight_of_the_whole_match() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let unweighed = (planted.weighed.iter().find(|one| one.did_not_weigh)).expect("one of them");
    let lowest = (planted.weighed.iter())
        .filter(|one| one.match_id == unweighed.match_id)
        .filter_map(|one| one.grams())
        .filter(|grams| *grams > 0.0)
        .fold(f64::INFINITY, f64::min);
    let rows: Vec<_> = (planted.weighed.iter().zip(planted.record_rows()))
        .filter(|(one, _)| one.peg == unweighed.peg)
        .map(|(one, row)| CatchRow {
            lowest_beside_g: one.did_not_weigh.then_some(lowest),
            ..row.caught
        })
        .collect();
    let rate = Rate::of(Measure::Weight(planted.scale()), &rows);
    let (_, if_lowest) = rate.if_lowest.clone().expect("one did not weigh");
    let if_lowest = rate.measure.rate(if_lowest.rate().expect("a rate"));
    let place = planted.pegs.iter().position(|peg| *peg == unweighed.peg);
    let number = place.expect("one of the pegs") + 1;

    site.visitor()
        .get(&format!("{}/pegs/{number}", planted.path))
        .await
        .shown()
        .says(&figures::weights_held(&format!(
            "one angler did not weigh and stands here as nothing; with the lowest weight above nought weighed beside that angler it would be {if_lowest}."
        )));
}

#[tokio::test]
async fn visitors_see_initials_members_see_names_and_a_junior_keeps_the_short_name() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let path = format!("{}/pegs/1", planted.path);

    let visitor = site.visitor().get(&path).await.shown();
    let member = site.member().await.get(&path).await.shown();
    let officer = site.organiser().await.get(&path).await.shown();

    visitor.says("D. Hazelpatch").does_not_say("Dot Hazelpatch");
    member.says("Dot Hazelpatch");
    for page in [&visitor, &member] {
        page.says("Pip L").does_not_say("Larkmoor");
    }
    officer.says("Pip Larkmoor");
}

#[tokio::test]
async fn reports_are_shown_to_members_once_three_anglers_stand_behind_them() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let path = format!("{}/pegs/1", planted.path);
    let member = site.member().await;
    planted
        .report(&site, &reports(day(8, 1), &[0, 1, 1, 0, 1, 0], "club"))
        .await;
    planted
        .report(&site, &reports(day(8, 1), &[2, 3, 4], "private"))
        .await;
    member
        .get(&path)
        .await
        .shown()
        .says("Fewer than three anglers have shared reports")
        .does_not_say("A report<");

    planted
        .report(&site, &reports(day(8, 1), &[0, 1, 2], "team"))
        .await;
    member.get(&path).await.shown().does_not_say("A report<");
    let later: Vec<_> = reports(day(8, 1), &[2], "club")
        .into_iter()
        .map(|one| Reported {
            day: day(8, 20),
            ..one
        })
        .collect();
    planted.report(&site, &later).await;

    member
        .get(&path)
        .await
        .shown()
        .says("A report<")
        .says(
            "three anglers have shared reports"
                .replace("three", "Three")
                .as_str(),
        )
        .says("1 to 15 of 15 sessions");
    site.visitor()
        .get(&path)
        .await
        .shown()
        .does_not_say("A report<")
        .says("1 to 8 of 8 sessions");
}

#[tokio::test]
async fn ones_own_report_is_always_listed_for_oneself() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    planted
        .report(&site, &reports(day(8, 1), &[1], "private"))
        .await;
    let own = angler_signed_in(&site, &planted, 1).await;
    let path = format!("{}/pegs/1", planted.path);

    own.get(&path)
        .await
        .shown()
        .says("Your own report")
        .says("You<");
    site.member()
        .await
        .get(&path)
        .await
        .shown()
        .does_not_say("Sat 1 Aug 2026");
}

#[tokio::test]
async fn methods_stand_as_counts_and_only_with_three_anglers() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    planted
        .report(&site, &reports(day(8, 1), &[0, 1, 2, 0], "club"))
        .await;
    let other: Vec<_> = reports(day(8, 1), &[3], "club")
        .into_iter()
        .map(|one| Reported {
            day: day(8, 25),
            method: Some(2),
            ..one
        })
        .collect();
    planted.report(&site, &other).await;

    let page = site
        .member()
        .await
        .get(&format!("{}/pegs/1", planted.path))
        .await
        .shown();

    page.says("27 fish in 20.0 rod-hours")
        .says("One method with fewer than three anglers behind it is left out.")
        .says("Methods are not compared")
        .says("times all its fish, so the hours cannot be told");
    site.visitor()
        .get(&format!("{}/pegs/1", planted.path))
        .await
        .shown()
        .does_not_say("How it was fished");
}

/// Every fish of the reports came half an hour after the start.
async fn timed(site: &TestSite) {
    tell(
        site,
        "INSERT INTO fish (session_id, ord, row_kind, group_set, count, at_utc)
         SELECT s.id, 2, 'named', f.group_set, f.count, s.start_utc + 1800
         FROM sessions AS s JOIN fish AS f ON f.session_id = s.id AND f.row_kind = 'total' WHERE s.kind = 'report'",
    )
    .await;
}

#[tokio::test]
async fn hours_and_methods_say_their_days_how_they_were_worked_out_and_give_their_figures() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    planted
        .report(&site, &reports(day(8, 1), &[0, 1, 2, 0], "club"))
        .await;
    timed(&site).await;
    planted
        .report(&site, &reports(day(8, 11), &[1, 2, 3], "private"))
        .await;
    let other: Vec<_> = reports(day(8, 21), &[3], "club")
        .into_iter()
        .map(|one| Reported {
            method: Some(2),
            ..one
        })
        .collect();
    planted.report(&site, &other).await;
    let member = site.member().await;
    let path = format!("{}/pegs/1", planted.path);

    let page = member.get(&path).await.shown();
    let hours = member.get(&format!("{path}/hours.csv")).await.shown();
    let methods = member.get(&format!("{path}/methods.csv")).await.shown();

    page.says("Four sessions on four days with every fish timed, 27 fish in 20.0 rod-hours; one more without times")
        .says("four timed sessions on four days");
    for (heading, formula, source, file) in [
        ("id=\"hours\"", hours::FORMULA, hours::SOURCE, "hours.csv"),
        (
            "id=\"methods\"",
            methods::FORMULA,
            methods::SOURCE,
            "methods.csv",
        ),
    ] {
        let (_, section) = page.body.split_once(heading).expect("the heading");
        let (section, _) = section.split_once("</section>").expect("it ends");
        for said in ["How this was worked out", formula, source] {
            assert!(section.contains(said), "{file}: {said}");
        }
        assert!(section.contains(&format!("href=\"{path}/{file}\"")));
    }
    // Only the first hour had fish; nothing of matches was timed, nor of what is private.
    let rows: Vec<&str> = hours.body.lines().skip(1).collect();
    let empty = |hour| format!("report,{hour},4,4,4.00,0");
    assert_eq!(rows[0], "report,1,4,4,4.00,27");
    assert_eq!(rows[1..], [empty(2), empty(3), empty(4), empty(5)]);
    // The method of one angler is left out, as on the page.
    let rows: Vec<&str> = methods.body.lines().skip(1).collect();
    assert_eq!(rows.len(), 1, "{}", methods.body);
    assert!(
        rows[0].starts_with("report,")
            && rows[0].ends_with(",4,4,0,20.00,27,4,20.00,3061.7,4,20.00"),
        "{}",
        rows[0]
    );
    for (file, name) in [(&hours, "hours"), (&methods, "methods")] {
        let kept = file.headers["content-disposition"].to_str().expect("plain");
        let name = format!("Quillet-Water-peg-1-{name}-shared-with-the-club.csv");
        assert!(kept.contains(&name), "{kept}");
    }
}

#[tokio::test]
async fn the_files_of_a_peg_hold_nothing_that_three_anglers_do_not_stand_behind() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    planted
        .report(&site, &reports(day(8, 1), &[0, 1, 0, 1], "club"))
        .await;
    timed(&site).await;
    let member = site.member().await;

    for file in ["hours.csv", "methods.csv"] {
        let path = format!("{}/pegs/1/{file}", planted.path);
        let list = member.get(&path).await.shown();
        assert_eq!(list.body.lines().count(), 1, "{}", list.body);
        let refused = site.visitor().get(&path).await;
        assert_eq!(refused.status, StatusCode::UNAUTHORIZED);
        let nowhere = format!("{}/pegs/99/{file}", planted.path);
        let nowhere = member.get(&nowhere).await;
        assert_eq!(nowhere.status, StatusCode::NOT_FOUND);
    }
}

#[tokio::test]
async fn a_long_history_turns_its_pages_and_sorts_by_its_headings() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let many: Vec<usize> = (0..60).map(|n| n % 6).collect();
    planted
        .report(&site, &reports(day(8, 1), &many, "club"))
        .await;
    let member = site.member().await;
    let path = format!("{}/pegs/1", planted.path);

    let first = member.get(&path).await.shown();
    let last = member.get(&format!("{path}?from=51")).await.shown();
    let heavy = member
        .get(&format!("{path}?sort=weight&order=down"))
        .await
        .shown();
    let beyond = member.get(&format!("{path}?from=5000")).await.shown();

    first
        .says("1 to 25 of 68 sessions")
        .says("from=26#sessions");
    last.says("51 to 68 of 68 sessions")
        .says("from=26#sessions");
    heavy.says("aria-sort=\"descending\"");
    beyond.says("There are not so many sessions.");
}

#[tokio::test]
async fn a_peg_nobody_drew_claims_nothing_and_one_that_never_was_is_not_found() {
    let site = TestSite::new().await;
    bare_water(&site).await;

    site.visitor()
        .get("/venues/1/pegs/2")
        .await
        .shown()
        .says("No drawn match is on record from this peg yet.")
        .says("No session with its hours is on record here yet.")
        .says("Published matches that drew this peg will stand here.")
        .says("<a href=\"#sessions\">What it has given</a>")
        .does_not_say("href=\"#hours\"");
    assert_eq!(
        site.visitor().get("/venues/1/pegs/9").await.status,
        StatusCode::NOT_FOUND
    );
}
