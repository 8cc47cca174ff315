//! Fits kept with the marks of what they read.

use peglore::{
    actions::keep_fits::{self, Round},
    domain::{
        dates::Day,
        groups::GroupSet,
        ids::VenueId,
        weather::{DailyWeather, Ice, WindFrom},
    },
    statistics::{fished_days::Series, series_study::Expected},
    store::{
        fits::{self, Good, Key, Topic},
        marks,
        statistics::{
            days,
            studies::{Kept, Of},
        },
    },
};

use crate::support::{
    TestSite,
    fishing::{BOTH, SILVERS, TODAY},
};

async fn kept(site: &TestSite, venue: i64) -> Vec<Kept> {
    let mut reading = site.site.db.read().await.expect("a reader");
    let studies = site.site.db.studies();
    let standing = studies
        .standing(&mut reading, VenueId(venue))
        .await
        .expect("read");
    let mut kept = Vec::new();
    for (of, standing) in standing {
        kept.push(studies.of(&mut reading, of, standing).await.expect("read"));
    }
    kept
}

/// What each series and set foretells for a day, in the order of `kept`.
async fn foretold(site: &TestSite, venue: i64, day: Day) -> Vec<Expected> {
    let kept = kept(site, venue).await;
    let mut reading = site.site.db.read().await.expect("a reader");
    let record = site
        .site
        .db
        .weather()
        .of(&mut reading, VenueId(venue))
        .await
        .expect("read");
    let run_up = record.run_up(day);
    kept.iter()
        .filter_map(|one| Some(one.study.as_ref()?.studied()?.expect(&run_up)))
        .collect()
}

fn wild() -> DailyWeather {
    DailyWeather {
        min_c: Some(-20.0),
        max_c: Some(35.0),
        rain_mm: Some(90.0),
        wind_ms: Some(20.0),
        wind_from: Some(WindFrom::degrees(10.0)),
        pressure_hpa: Some(960.0),
        ice: Some(Ice::All),
        ..DailyWeather::default()
    }
}

#[tokio::test]
async fn every_venue_series_and_set_with_data_is_fitted_once() {
    let site = TestSite::with_club(2, 16, 40).await;

    let first = site.fitted().await;
    let second = site.fitted().await;

    let kept = [kept(&site, 1).await, kept(&site, 2).await].concat();
    assert_eq!((first.made, first.failed), (kept.len(), 0));
    assert_eq!(second, Round::default(), "nothing had changed");
    assert!(kept.len() >= 12, "{} fits", kept.len());
    assert!(kept.iter().all(|one| one.study.is_some()));
    let leading = (kept[0].of.series, kept[0].of.groups.bits());
    assert_eq!(
        leading,
        (Series::Match, BOTH),
        "matches and the widest set first"
    );
}

#[tokio::test]
async fn an_edit_to_weather_makes_stale_only_the_fits_that_read_it() {
    let site = TestSite::with_club(2, 10, 20).await;
    site.fitted().await;
    let mut writing = site.site.db.write().await.expect("a writer");
    let marks = marks::of_venue(&mut writing, VenueId(1))
        .await
        .expect("read");
    let key = Key {
        venue: VenueId(1),
        question: "hours",
        params: "{}",
        version: 1,
    };
    let hours = fits::want(&mut writing, key, site.site.now())
        .await
        .expect("wanted");
    let good = Good {
        result: "{}",
        read_before: TODAY,
        topics: &[Topic::Sessions],
        marks,
        at: site.site.now(),
    };
    fits::keep(&mut writing, VenueId(1), hours, &good)
        .await
        .expect("kept");
    writing.commit().await.expect("kept");

    site.weather(VenueId(1), TODAY.plus(-5), wild()).await;

    assert!(kept(&site, 1).await.iter().all(|one| one.standing.stale));
    assert!(!kept(&site, 2).await.iter().any(|one| one.standing.stale));
    let mut reading = site.site.db.read().await.expect("a reader");
    let hours = fits::of_venue(&mut reading, VenueId(1), "hours", 1)
        .await
        .expect("read");
    assert!(!hours[0].stale, "it never read the weather");
    drop(reading);
    let again = site.fitted().await;
    assert_eq!(
        again.made,
        kept(&site, 1).await.len(),
        "the other venue’s stand"
    );
    assert!(!kept(&site, 1).await.iter().any(|one| one.standing.stale));
}

#[tokio::test]
async fn a_water_whose_scales_change_has_its_fits_made_anew() {
    let site = TestSite::with_club(2, 10, 0).await;
    site.fitted().await;
    let mut writing = site.site.db.write().await.expect("the writer is free");
    sqlx::raw_sql(
        "UPDATE venues SET weighs_in = CASE weighs_in WHEN 'g' THEN 'dr' ELSE 'g' END WHERE id = 1",
    )
    .execute(&mut *writing)
    .await
    .expect("fits the schema");
    writing.commit().await.expect("kept");

    assert!(kept(&site, 1).await.iter().all(|one| one.standing.stale));
    assert!(!kept(&site, 2).await.iter().any(|one| one.standing.stale));
}

#[tokio::test]
async fn a_failed_attempt_keeps_the_last_good_one_and_is_made_again_in_an_hour() {
    let site = TestSite::with_club(1, 10, 0).await;
    site.fitted().await;
    let before = kept(&site, 1).await.remove(0);

    keep_fits::note_failure(
        &site.site.db,
        before.standing.id,
        "the fit did not settle",
        site.site.now(),
    )
    .await
    .expect("noted");

    let after = kept(&site, 1).await.remove(0);
    assert_eq!(after.standing.state, "failed");
    assert_eq!(after.standing.fitted, before.standing.fitted);
    assert_eq!(after.study, before.study);
    assert_eq!(site.fitted().await, Round::default(), "not at once");
    site.pass(3_600);
    assert_eq!(site.fitted().await.made, 1, "it is made again");
    assert_eq!(kept(&site, 1).await[0].standing.state, "good");
}

#[tokio::test]
async fn nothing_dated_the_session_day_or_later_changes_a_prediction() {
    let site = TestSite::with_club(1, 14, 40).await;
    site.fitted().await;
    let before = foretold(&site, 1, TODAY).await;

    for ahead in 0..3 {
        site.weather(VenueId(1), TODAY.plus(ahead), wild()).await;
        for angler in 900..904 {
            site.report(VenueId(1), angler, TODAY.plus(ahead), 400, "club")
                .await;
        }
    }
    let round = site.fitted().await;

    assert!(round.made > 0, "the changes were seen: {round:?}");
    let after = foretold(&site, 1, TODAY).await;
    assert!(!before.is_empty());
    assert_eq!(before, after);
    // From the next morning on, the day that was fished counts.
    site.pass(24 * 3_600);
    site.fitted().await;
    assert_ne!(foretold(&site, 1, TODAY.plus(1)).await, before);
}

#[tokio::test]
async fn a_set_is_answered_from_rows_of_exactly_that_set() {
    let site = TestSite::with_club(1, 4, 0).await;
    let mut reading = site.site.db.read().await.expect("a reader");
    let sessions = days::of_venue(&mut reading, VenueId(1))
        .await
        .expect("read");

    let of = |bits| GroupSet::from_bits(bits).expect("a set");
    let both = sessions.days(Series::Match, of(BOTH));
    let silvers = sessions.days(Series::Match, of(SILVERS));
    assert_eq!(both.days.len(), 4);
    assert_eq!(both.behind.sessions, silvers.behind.sessions);
    assert!(both.days[0].weight_g > silvers.days[0].weight_g);
    assert!(sessions.days(Series::Match, GroupSet::ALL).days.is_empty());
    let wanted = Of {
        series: Series::Match,
        groups: of(BOTH),
    };
    assert_eq!(Of::from_params(&wanted.params()), Some(wanted));
}
