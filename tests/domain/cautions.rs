//! The table of cautions: what calls for each, and what is never said.

use peglore::domain::cautions::{Around, CAUTIONS, DEFERS, Topic, cautions};
use proptest::prelude::*;

use crate::support::days::day;

fn called(around: &Around) -> Vec<Topic> {
    cautions(around)
        .iter()
        .filter(|one| one.because.is_some())
        .map(|one| one.caution.topic)
        .collect()
}

#[test]
fn a_day_of_which_nothing_is_known_still_has_the_cautions_of_any_day() {
    let shown: Vec<_> = cautions(&Around::unknown(day("2026-01-10")))
        .iter()
        .map(|one| (one.caution.topic, one.because.clone()))
        .collect();
    assert_eq!(
        shown,
        [
            (Topic::OverheadLines, None),
            (Topic::WaterborneDisease, None),
            (Topic::FishHandling, None)
        ]
    );
}

#[test]
fn each_condition_calls_for_its_caution() {
    let winter = Around::unknown(day("2026-01-10"));
    assert_eq!(
        called(&Around {
            days_since_ice: Some(3),
            ..winter
        }),
        [Topic::Ice]
    );
    assert_eq!(
        called(&Around {
            frost_nights: Some(1.0),
            ..winter
        }),
        [Topic::Ice]
    );
    assert_eq!(
        called(&Around {
            last_night_min_c: Some(-0.1),
            ..winter
        }),
        [Topic::Ice]
    );
    assert_eq!(
        called(&Around {
            water_c: Some(14.9),
            ..winter
        }),
        [Topic::ColdWater]
    );
    assert_eq!(
        called(&Around {
            mean_7d_c: Some(8.0),
            ..winter
        }),
        [Topic::ColdWater]
    );
    assert_eq!(
        called(&Around {
            mean_7d_c: Some(8.0),
            water_c: Some(15.0),
            ..winter
        }),
        [],
        "a thermometer outranks the air"
    );
    assert_eq!(
        called(&Around {
            rain_3d_mm: Some(25.0),
            ..winter
        }),
        [Topic::Flood, Topic::WaterborneDisease]
    );
    let summer = Around::unknown(day("2026-07-10"));
    assert_eq!(called(&summer), [Topic::Lightning]);
    assert_eq!(
        called(&Around {
            water_c: Some(20.0),
            ..summer
        }),
        [Topic::Lightning, Topic::Heat]
    );
    let reasons: Vec<_> = cautions(&Around {
        days_since_ice: Some(1),
        ..winter
    })
    .into_iter()
    .filter_map(|one| one.because)
    .collect();
    assert_eq!(reasons, ["ice on the water yesterday"]);
}

#[test]
fn every_caution_has_its_source_and_none_calls_anything_safe() {
    for caution in &CAUTIONS {
        assert!(!caution.source.is_empty() && caution.words.ends_with('.'));
        assert!(
            caution.source.starts_with("Published ")
                || caution.source.to_lowercase().contains("no source")
                || caution.source.contains("byelaws"),
            "{}",
            caution.heading
        );
        assert!(
            !caution.source.contains("memory"),
            "whose memory: {}",
            caution.heading
        );
        let words = format!("{} {}", caution.heading, caution.words).to_lowercase();
        for word in ["safe", "thick enough", "will hold", "no danger", "!"] {
            assert!(!words.contains(word), "{}: {word}", caution.heading);
        }
        assert!(!words.contains("  "), "{}", caution.heading);
    }
    for deferred_to in ["own rules", "local byelaws", "licensed practice"] {
        assert!(DEFERS.contains(deferred_to));
    }
}

proptest! {
    #[test]
    fn a_harder_winter_never_drops_the_caution_about_ice(
        frosts in 0.0..7.0_f64, night in -15.0..10.0_f64, mean in -10.0..12.0_f64, harder in 0.0..10.0_f64,
    ) {
        let mild = Around {
            frost_nights: Some(frosts), last_night_min_c: Some(night), mean_3d_c: Some(mean),
            ..Around::unknown(day("2026-01-10"))
        };
        let hard = Around {
            last_night_min_c: Some(night - harder), mean_3d_c: Some(mean - harder), ..mild
        };
        if called(&mild).contains(&Topic::Ice) {
            prop_assert!(called(&hard).contains(&Topic::Ice));
        }
    }
}
