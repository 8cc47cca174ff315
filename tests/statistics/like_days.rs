//! The nearest days: worked by hand on a handful of days.

use peglore::statistics::{
    expectation::{
        Ahead, Family, Features, Fit, Layout, PastDay, Weights, anomalies::Anomalies, form::Form,
        ridge::Regression, season::Season,
    },
    like_days::{Comparison, nearest, trend},
};

/// A fit whose seasons are all nought, so that anomalies are features over steps.
fn flat_fit(past: Vec<PastDay>) -> Fit {
    let layout = Layout::RUN_UP;
    Fit {
        layout,
        season: Season {
            coefficients: [0.0; 5],
            theta: 1.0,
        },
        form: Form {
            fading_days: 10.0,
            strength: 0.0,
        },
        anomalies: Anomalies {
            seasons: [Some([0.0; 5]); 8],
            steps: layout.steps,
        },
        regression: Regression {
            penalty: 10.0,
            coefficients: vec![0.0; layout.terms()],
        },
        weights: Weights::default(),
        past,
    }
}

fn past(day: i64, day_of_year: i32, anomalies: Features) -> PastDay {
    PastDay {
        day,
        day_of_year,
        effort: 5.0,
        catch: 10.0,
        season: 8.0,
        season_and_form: 8.0,
        anomalies,
    }
}

fn asked(day: i64, doy: i32, features: Features) -> Ahead {
    Ahead {
        day,
        doy,
        effort: 5.0,
        features,
    }
}

#[test]
fn nearest_days_come_first_and_the_earlier_of_two_as_near() {
    let nought = [Some(0.0); 8];
    let mut warmer = nought;
    warmer[0] = Some(2.0);
    let fit = flat_fit(vec![
        past(1000, 100, warmer),
        past(1010, 110, nought),
        past(1020, 120, nought),
    ]);
    let days = nearest(&fit, &asked(1400, 115, nought), 2);
    assert_eq!(
        days.iter().map(|day| day.past.day).collect::<Vec<_>>(),
        [1010, 1020]
    );
    assert_eq!((days[0].difference, days[0].weight), (0.0, 1.0));
    assert_eq!(
        (days[0].rate(), days[0].observed_over_expected()),
        (2.0, 1.25)
    );
}

#[test]
fn what_made_a_day_alike_and_unlike_is_told_by_family() {
    // Temperature one step up in one of two features: mean square 0.5. Frost two steps up: 4.
    // Wind known on neither: counts 2. So 0.5 + 4 + 0 + 2 + 0 = 6.5.
    let mut then = [Some(0.0); 8];
    then[0] = Some(1.0);
    then[2] = Some(2.0);
    (then[4], then[5]) = (None, None);
    let fit = flat_fit(vec![past(1000, 100, then)]);
    let days = nearest(&fit, &asked(1400, 100, [Some(0.0); 8]), 5);
    assert_eq!(days[0].difference, 6.5);
    assert!((days[0].weight - (-6.5f64 / 4.0).exp()).abs() < 1e-15);
    assert_eq!(
        days[0].comparisons(),
        [
            (Family::Temperature, Comparison::Between),
            (Family::Frost, Comparison::Unlike),
            (Family::Rain, Comparison::Alike),
            (Family::Wind, Comparison::Unknown),
            (Family::Pressure, Comparison::Alike),
        ]
    );
    assert_eq!(days[0].by_feature[2], Some(2.0));
    assert_eq!(days[0].by_feature[4], None);
    // Rain and pressure nought apart, temperature 0.5, frost 4.
    assert_eq!(
        days[0].closest_first(),
        [
            Family::Rain,
            Family::Pressure,
            Family::Temperature,
            Family::Frost
        ]
    );
}

#[test]
fn a_change_is_called_by_its_own_way_and_compared_only_with_one_of_the_same_way() {
    // °C a day: of the past day, then of the asked one.
    for (past, asked, words) in [
        (0.2, 0.9, "rising less"),
        (0.9, 0.2, "rising more"),
        (-0.2, -0.9, "falling less"),
        (-0.9, -0.2, "falling more"),
        (-0.2, 0.9, "falling"),
        (0.2, -0.9, "rising"),
        (0.3, 0.0, "rising"),
        (0.1 + 0.2, 0.3, "rising"),
        (0.3 - 0.2 - 0.1, -0.9, "steady"),
    ] {
        assert_eq!(trend(past, asked), words, "{past} beside {asked}");
    }
}

#[test]
fn days_of_another_season_and_days_not_yet_past_are_not_shown() {
    let nought = [Some(0.0); 8];
    let fit = flat_fit(vec![
        past(1000, 10, nought),
        past(1100, 110, nought),
        past(1355, 365, nought),
        past(1400, 10, nought),
    ]);
    let days = nearest(&fit, &asked(1400, 5, nought), 9);
    assert_eq!(
        days.iter().map(|day| day.past.day).collect::<Vec<_>>(),
        [1000, 1355]
    );
}
