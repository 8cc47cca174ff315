//! A water's page: today's run-up, how boldly to begin, cautions, what the pegs add, what is on.

use peglore::{
    domain::{
        dates::Instant,
        ids::VenueId,
        weather::{DailyWeather, WindFrom},
    },
    numerics::randomise::Tails,
    statistics::{
        rates::{Measure, Rate},
        series_study::SeriesStudy,
        wording,
    },
    store::{demo as rows, venues},
    web::figures::{self, weights_held},
};

use super::matches::run;
use crate::support::{
    NOON, TestSite,
    planted::{Planted, day, reports},
};

/// Ten frosty days before 14 November, the wind from the south-west.
pub(super) async fn frosty_days(site: &TestSite, planted: &Planted) {
    let mut writing = site.site.db.write().await.expect("a writer");
    let source = rows::source(&mut writing, planted.venue, "By hand")
        .await
        .expect("a source");
    for ago in 1..=10 {
        let weather = DailyWeather {
            min_c: Some(-3.0),
            max_c: Some(4.0),
            rain_mm: Some(0.4),
            wind_ms: Some(5.0),
            wind_from: Some(WindFrom::degrees(225.0)),
            pressure_hpa: Some(1_020.0),
            ..DailyWeather::default()
        };
        rows::weather_day(
            &mut writing,
            source,
            day(11, 14).plus(-ago),
            &weather,
            Instant(NOON),
        )
        .await
        .expect("a day");
    }
    writing.commit().await.expect("kept");
}

#[tokio::test]
async fn the_run_up_gives_custom_its_reasons_and_calls_for_the_usual_cautions() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let before = site.visitor().get(&planted.path).await.shown();
    frosty_days(&site, &planted).await;
    let page = site.visitor().get(&planted.path).await.shown();

    before
        .says("None of the ten days before is written down")
        .does_not_say("By custom, begin");
    page.says(
        "By custom, begin carefully: three or more frost nights in seven (7 nights of seven)",
    )
    .says("common practice, no source")
    .says("Run-up to Saturday 14 November")
    .says("Long Reach: into your face; it looks south-west.")
    .says("Ice: frost within the week")
    .says("Never step on to ice")
    .says("The water’s own rules, local byelaws and licensed practice come first.");
}

/// The run-up to a day is of the days before it: a gale on the day itself turns no page's words.
#[tokio::test]
async fn the_same_run_up_has_one_wind_on_every_page() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    frosty_days(&site, &planted).await;
    let mut writing = site.site.db.write().await.expect("a writer");
    let source = rows::source(&mut writing, planted.venue, "Harl Top")
        .await
        .expect("a source");
    let gale = DailyWeather {
        wind_ms: Some(20.0),
        wind_from: Some(WindFrom::degrees(45.0)),
        ..DailyWeather::default()
    };
    rows::weather_day(&mut writing, source, day(11, 14), &gale, Instant(NOON))
        .await
        .expect("a day");
    writing.commit().await.expect("kept");

    let water = site.visitor().get(&planted.path).await.shown();
    let weather = site
        .visitor()
        .get(&format!("{}/weather", planted.path))
        .await;

    water.says("wind from the south-west");
    weather
        .shown()
        .says("wind from the south-west")
        .says("in the three days before Sat 14 Nov mostly from the south-west.")
        .does_not_say("two dashes");
}

/// A week grew milder and crashed on its last day: the rules say boldly, and the page says the rest.
#[tokio::test]
async fn beside_boldly_stands_the_fall_of_the_last_day_that_custom_does_not_see() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let mut writing = site.site.db.write().await.expect("a writer");
    let source = rows::source(&mut writing, planted.venue, "By hand")
        .await
        .expect("a source");
    for (ago, mean) in (1_i64..).zip([5.0, 11.0, 10.5, 10.0, 9.5, 9.0, 8.5]) {
        let weather = DailyWeather {
            min_c: Some(mean - 2.0),
            max_c: Some(mean + 2.0),
            ..DailyWeather::default()
        };
        let on = day(11, 14).plus(-ago);
        rows::weather_day(&mut writing, source, on, &weather, Instant(NOON))
            .await
            .expect("a day");
    }
    writing.commit().await.expect("kept");

    let like_days = format!("{}/like-days", planted.path);
    for address in ["/", &planted.path, &like_days] {
        let page = site.visitor().get(address).await.shown();
        page.says("By custom, begin boldly")
            .says("do not see the last day’s fall: it fell 6.0\u{a0}°C on Fri 13 Nov.");
    }
}

/// On paper the crumbs are what names the water.
#[tokio::test]
async fn every_page_of_a_water_names_it_in_its_crumbs() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    for page in ["what-it-took", "like-days", "record", "weather", "pegs/1"] {
        let shown = site
            .visitor()
            .get(&format!("{}/{page}", planted.path))
            .await;
        let shown = shown.shown().body;
        let (_, trail) = shown.split_once("class=\"trail\"").expect("crumbs");
        let (trail, _) = trail.split_once("</p>").expect("they end");
        assert!(trail.contains(">Quillet Water</a>"), "{page}: {trail}");
    }
}

#[tokio::test]
async fn the_page_leads_to_the_record_and_says_it_in_short() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let caught: Vec<_> = planted.record_rows().iter().map(|row| row.caught).collect();
    let rate = Rate::of(Measure::Weight(planted.scale()), &caught);

    let page = site.visitor().get(&planted.path).await.shown();

    page.says("eight match days".replace("eight", "Eight").as_str())
        .says(&weights_held(
            &rate.answer.sentence(rate.measure, &rate.behind),
        ))
        .says(&format!("href=\"{}/record\"", planted.path))
        .says(&format!("href=\"{}/what-it-took\"", planted.path))
        .says(&format!("href=\"{}/weather\"", planted.path))
        .says(&format!("href=\"{}/diary\"", planted.path))
        .says("Frost Cup, round 8")
        .says("six anglers, won with");
}

#[tokio::test]
async fn a_posted_match_is_on_record_whoever_may_read_what_its_anglers_reported() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    planted
        .report(&site, &reports(day(12, 1), &[0, 1], "private"))
        .await;
    run(
        &site,
        "UPDATE sessions SET visibility = 'private', has_report = 1 WHERE kind = 'match'",
    )
    .await;

    let page = site.visitor().get(&planted.path).await.shown();

    page.says("Eight match days and 48 sessions are on record here");
}

#[tokio::test]
async fn a_visitor_is_not_told_that_members_reported() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let before = site.visitor().get(&planted.path).await.shown();
    before.says("Eight match days and 48 sessions are on record here");

    planted
        .report(&site, &reports(day(12, 1), &[0, 1, 2], "club"))
        .await;
    let visitor = site.visitor().get(&planted.path).await.shown();
    let member = site.member().await.get(&planted.path).await.shown();

    visitor.says("Eight match days and 48 sessions are on record here");
    member
        .says("Eight match days and ")
        .does_not_say("and 48 sessions");
}

#[tokio::test]
async fn the_reed_line_names_the_pegs_that_stand_clear_of_chance() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;

    run(
        &site,
        "INSERT INTO banks (id, venue_id, ord, name) VALUES (77, 1, 9, 'Far Bank');
         INSERT INTO pegs (venue_id, bank_id, number, walk_order) VALUES (1, 77, '77', 77);",
    )
    .await;

    let before = site.visitor().get(&planted.path).await.shown();
    site.fitted().await;
    let page = site.visitor().get(&planted.path).await.shown();

    before
        .says("What the pegs add is being worked out in the background.")
        .does_not_say("No peg has five drawn matches yet");
    page.says("What each peg of Long Reach adds or takes away")
        .says("Of six pegs with five drawn matches or more")
        .says("No peg of this bank can be told from another yet.")
        .says("By luck alone at most one of twenty would.")
        .says("adds, clear of chance");
}

#[tokio::test]
async fn the_reed_line_the_peg_and_the_like_days_say_the_same_of_a_peg() {
    let site = TestSite::with_club(1, 20, 0).await;
    site.fitted().await;
    let mut reading = site.site.db.read().await.expect("a reader");
    let studies = site.site.db.studies();
    let kept = studies.of_pegs(&mut reading, VenueId(1)).await;
    let pegs = venues::pegs(&mut reading, VenueId(1)).await.expect("read");
    drop(reading);
    let kept = kept.expect("read").expect("a study of its matches");
    let study = kept.study.expect("made");
    let told = study.pegs.iter().find(|(_, one)| one.limits.is_some());
    let (id, effect) = told.expect("twenty matches tell of a peg");
    let number = &pegs.iter().find(|peg| peg.id == *id).expect("it").number;
    let (low, high) = effect.limits.expect("just found");
    let (low, high) = (low.exp(), high.exp());
    let told = effect.standing().expect("limits are a standing").words();
    let matches = wording::count(effect.matches, "drawn match", "drawn matches");
    let change = figures::change;

    let visitor = site.visitor();
    let water = visitor.get("/venues/1").await.shown();
    let peg = visitor.get(&format!("/venues/1/pegs/{number}")).await;
    let like_days = format!("/venues/1/like-days?peg={number}");
    let like_days = visitor.get(&like_days).await.shown();

    water.says(&format!(
        "{} ({} to {})",
        change(effect.multiplier()),
        change(low),
        change(high)
    ));
    peg.shown()
        .says(&format!("({} to {}), {told}", change(low), change(high)))
        .says(&format!("In {matches} this peg gave"));
    like_days.says(&format!(
        "Peg {number} gave {:.2} times the mean of its matches ({low:.2} to {high:.2}, {matches}), {told}",
        effect.multiplier()
    ));
}

#[tokio::test]
async fn no_page_calls_a_peg_clear_of_chance_that_the_draw_may_have_made() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    site.fitted().await;
    let like_days = format!("{}/like-days?peg=1", planted.path);
    let visitor = site.visitor();
    let clear = visitor.get(&like_days).await.shown();
    clear.says("which is clear of chance");

    let mut writing = site.site.db.write().await.expect("a writer");
    let fits = sqlx::query_as::<_, (i64, String)>(
        "SELECT id, result_json FROM fits WHERE result_json IS NOT NULL",
    )
    .fetch_all(&mut *writing)
    .await
    .expect("read");
    for (id, json) in fits {
        let mut study: SeriesStudy = serde_json::from_str(&json).expect("a study");
        for (_, effect) in &mut study.pegs {
            effect.chance = Some(Tails {
                low: 0.95,
                high: 0.06,
            });
        }
        sqlx::query("UPDATE fits SET result_json = ?, revision = revision + 1 WHERE id = ?")
            .bind(serde_json::to_string(&study).expect("JSON"))
            .bind(id)
            .execute(&mut *writing)
            .await
            .expect("kept");
    }
    writing.commit().await.expect("kept");

    let peg = visitor.get(&format!("{}/pegs/1", planted.path)).await;
    peg.shown()
        .says("which could still be the luck of the draw")
        .does_not_say("which is clear of chance");
    visitor
        .get(&planted.path)
        .await
        .shown()
        .says("cannot tell: could still be the luck of the draw")
        .says("none stands clear of chance")
        .does_not_say("adds, clear of chance");
    visitor
        .get(&like_days)
        .await
        .shown()
        .says("which could still be the luck of the draw")
        .does_not_say("which is clear of chance");
}

#[tokio::test]
async fn an_unfished_water_says_that_its_pegs_cannot_be_told_apart() {
    let site = TestSite::new().await;
    let organiser = site.organiser().await;
    let form = [
        ("name", "Tansy Cut"),
        ("kind", "canal"),
        ("scale", "dr"),
        ("zone", "Europe/London"),
        ("bank0_name", "Towpath"),
        ("bank0_pegs", "1-30"),
    ];
    organiser.submit("/venues/new", &form).await.taken();

    organiser
        .get("/venues/1")
        .await
        .shown()
        .says("the first match, or reports of three anglers, begin it");
    site.visitor()
        .get("/venues/1")
        .await
        .shown()
        .says("No match is on record here yet")
        .says("No peg has five drawn matches yet")
        .does_not_say("class=\"reed-line\"")
        .says("No match is planned here, and no result is posted.")
        .says("the club’s own rules and local byelaws decide");
}

/// A river without dates of its own on a day of the close season, and a stillwater with its own.
#[tokio::test]
async fn a_water_that_is_shut_says_so_on_its_page_its_pegs_and_its_like_days() {
    let site = TestSite::new().await;
    run(
        &site,
        "INSERT INTO venues (id, pid, name, kind) VALUES (1, '00000000000000000000000001', 'Withy Brook', 'river');
         INSERT INTO venues (id, pid, name, close_from, close_to) VALUES (2, '00000000000000000000000002', 'Quillet Water', '11-14', '11-14');
         INSERT INTO banks (id, venue_id, ord, name) VALUES (1, 1, 1, 'Ford'), (2, 2, 1, 'Long Reach');
         INSERT INTO pegs (venue_id, bank_id, number, walk_order) VALUES (1, 1, '1', 1), (2, 2, '1', 1);",
    )
    .await;
    let visitor = site.visitor();
    let pages = ["", "/pegs/1", "/like-days"];

    for page in pages {
        let quillet = visitor.get(&format!("/venues/2{page}")).await.shown();
        quillet.says("Close season: this water is shut from");
        let river = visitor.get(&format!("/venues/1{page}")).await.shown();
        river.does_not_say("Close season: coarse fishing on rivers");
    }
    // 12 April 2027.
    site.pass(149 * 86_400);
    for page in pages {
        let river = visitor.get(&format!("/venues/1{page}")).await.shown();
        river.says("Close season: coarse fishing on rivers in England and Wales is shut");
        let quillet = visitor.get(&format!("/venues/2{page}")).await.shown();
        quillet.does_not_say("Close season: this water is shut from");
    }
}
