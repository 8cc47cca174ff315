//! How boldly to begin: the table of customs (common practice, no source).

use peglore::domain::customs::{Approach, Conditions, RULES, advise};
use proptest::prelude::*;

fn quiet() -> Conditions {
    Conditions {
        days_since_ice: None,
        ice_days_known: 14,
        frost_nights: Some(1.0),
        change_c_per_day: Some(0.1),
        rain_3d_mm: Some(2.0),
        mean_3d_c: Some(8.0),
        season_mean_c: Some(8.0),
        wind_from_deg: Some(45.0),
        wind_steadiness: Some(0.9),
    }
}

fn fired(seen: &Conditions) -> Vec<&'static str> {
    advise(seen)
        .reasons
        .iter()
        .map(|reason| reason.rule.slug)
        .collect()
}

/// What makes a rule's conditions.
type Change<'a> = &'a dyn Fn(&mut Conditions);

#[test]
fn each_rule_fires_at_its_figure_and_not_before() {
    let with = |change: &dyn Fn(&mut Conditions)| {
        let mut seen = quiet();
        change(&mut seen);
        fired(&seen)
    };
    assert_eq!(fired(&quiet()), Vec::<&str>::new());
    assert_eq!(with(&|c| c.days_since_ice = Some(7)), ["ice"]);
    assert_eq!(with(&|c| c.days_since_ice = Some(8)), [""; 0]);
    assert_eq!(with(&|c| c.frost_nights = Some(3.0)), ["frosts"]);
    assert_eq!(with(&|c| c.frost_nights = Some(2.9)), [""; 0]);
    assert_eq!(with(&|c| c.change_c_per_day = Some(-0.7)), ["falling"]);
    assert_eq!(with(&|c| c.change_c_per_day = Some(-0.69)), [""; 0]);
    assert_eq!(with(&|c| c.rain_3d_mm = Some(15.0)), ["cold-rain"]);
    assert_eq!(
        with(&|c| {
            c.rain_3d_mm = Some(30.0);
            c.mean_3d_c = Some(9.0);
        }),
        [""; 0]
    );
    assert_eq!(with(&|c| c.mean_3d_c = Some(10.0)), ["mild"]);
    assert_eq!(with(&|c| c.wind_from_deg = Some(180.0)), ["south-west"]);
    assert_eq!(with(&|c| c.wind_from_deg = Some(270.5)), [""; 0]);
    assert_eq!(
        with(&|c| {
            c.wind_from_deg = Some(225.0);
            c.wind_steadiness = Some(0.49);
        }),
        [""; 0]
    );
    assert_eq!(with(&|c| c.frost_nights = Some(0.0)), ["rising"]);
}

#[test]
fn a_threshold_met_on_paper_is_met_whatever_the_last_bit_says() {
    // Each is as arithmetic leaves it, a hair on the wrong side of the figure.
    const HAIR: f64 = 4e-10;
    let holds = |slug: &str, change: &dyn Fn(&mut Conditions)| {
        let mut seen = quiet();
        change(&mut seen);
        let rule = RULES.iter().find(|rule| rule.slug == slug);
        rule.expect("a rule of that word").holds(&seen)
    };
    let met: [(&str, Change); 8] = [
        ("frosts", &|c| c.frost_nights = Some(3.0 - HAIR)),
        // Comes to −0.699 999 999 999 999 3.
        ("falling", &|c| c.change_c_per_day = Some(8.4 - 9.1)),
        ("cold-rain", &|c| c.rain_3d_mm = Some(15.0 - HAIR)),
        ("mild", &|c| c.mean_3d_c = Some(10.0 - HAIR)),
        ("south-west", &|c| c.wind_from_deg = Some(180.0 - HAIR)),
        ("south-west", &|c| c.wind_from_deg = Some(270.0 + HAIR)),
        ("south-west", &|c| {
            c.wind_from_deg = Some(225.0);
            c.wind_steadiness = Some(0.5 - HAIR);
            c.mean_3d_c = Some(8.0 - HAIR);
        }),
        ("rising", &|c| c.frost_nights = Some(HAIR)),
    ];
    for (slug, change) in met {
        assert_eq!(holds(slug, change), Some(true), "{slug}");
    }
    // At nine degrees it is not under nine, and a slope of nothing does not rise.
    assert_eq!(
        holds("cold-rain", &|c| {
            c.rain_3d_mm = Some(15.0);
            c.mean_3d_c = Some(9.0 - HAIR);
        }),
        Some(false)
    );
    assert_eq!(
        holds("rising", &|c| {
            c.frost_nights = Some(0.0);
            c.change_c_per_day = Some(HAIR);
        }),
        Some(false)
    );
}

#[test]
fn any_carefully_outranks_every_boldly_and_both_are_shown() {
    let seen = Conditions {
        days_since_ice: Some(2),
        mean_3d_c: Some(12.0),
        wind_from_deg: Some(225.0),
        frost_nights: Some(0.0),
        ..quiet()
    };
    let advice = advise(&seen);
    assert_eq!(advice.approach, Approach::Carefully);
    assert_eq!(fired(&seen), ["ice", "mild", "south-west", "rising"]);
    assert_eq!(
        advice.sentence(),
        "By custom, begin carefully: ice within seven days (ice 2 days ago)."
    );
}

#[test]
fn a_missing_feature_fires_nothing_and_is_said() {
    let nothing = advise(&Conditions::default());
    assert_eq!(nothing.approach, Approach::Steadily);
    assert_eq!(nothing.not_known.len(), RULES.len());
    assert!(nothing.sentence().contains("too little is written down"));

    let no_season = Conditions {
        season_mean_c: None,
        wind_from_deg: Some(225.0),
        ..quiet()
    };
    let advice = advise(&no_season);
    let unknown: Vec<_> = advice.not_known.iter().map(|rule| rule.slug).collect();
    assert_eq!(unknown, ["mild", "south-west"]);
}

#[test]
fn a_variable_wind_is_known_not_to_be_a_south_wester() {
    let variable = Conditions {
        wind_from_deg: None,
        wind_steadiness: Some(0.1),
        ..quiet()
    };
    assert!(advise(&variable).not_known.is_empty());
}

proptest! {
    #[test]
    fn colder_frostier_and_wetter_never_makes_custom_bolder(
        frosts in 0.0..7.0_f64, more in 0.0..7.0_f64, change in -2.0..2.0_f64, fall in 0.0..2.0_f64,
    ) {
        let rank = |approach| match approach {
            Approach::Carefully => 0,
            Approach::Steadily => 1,
            Approach::Boldly => 2,
        };
        let seen = Conditions { frost_nights: Some(frosts), change_c_per_day: Some(change), ..quiet() };
        let harder = Conditions {
            frost_nights: Some((frosts + more).min(7.0)),
            change_c_per_day: Some(change - fall),
            ..seen
        };
        prop_assert!(rank(advise(&harder).approach) <= rank(advise(&seen).approach));
    }
}
