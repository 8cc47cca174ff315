//! How does it fish: the answers by how much there is to go on. Real catches: Polovina (1985)
//! by way of FSAdata `Pathfinder`, one row a day.

use peglore::{
    domain::{ids::MatchId, units::Scale},
    statistics::rates::{Answer, CatchRow, Measure, Rate},
};
use proptest::prelude::*;

use super::weather_days::day;
use crate::tables::{close, number, rows};

fn row(date: &str, hours: f64, fish: i64) -> CatchRow {
    CatchRow {
        day: day(date),
        rod_hours: Some(hours),
        fish: Some(fish),
        weight_g: None,
        did_not_weigh: false,
        match_id: None,
        lowest_beside_g: None,
    }
}

fn weighed(date: &str, hours: f64, grams: f64) -> CatchRow {
    CatchRow {
        fish: None,
        weight_g: Some(grams),
        ..row(date, hours, 0)
    }
}

fn pathfinder(species: &str) -> Vec<CatchRow> {
    let first = day("1984-04-10");
    rows("pathfinder.csv")
        .iter()
        .enumerate()
        .map(|(place, line)| CatchRow {
            day: first.plus(place as i64),
            rod_hours: number(line, "effort"),
            fish: number(line, species).map(|fish| fish as i64),
            ..row("1984-04-10", 1.0, 0)
        })
        .collect()
}

#[test]
fn real_catches_have_the_reference_rate_and_limits() {
    let table: [(&str, [f64; 5]); 3] = [
        (
            "Pzonatus",
            [
                2.375920589,
                0.2718360208,
                11.66895125,
                1.781771792,
                2.970069386,
            ],
        ),
        (
            "Pauricilla",
            [
                0.8357348703,
                0.09025139985,
                11.66895125,
                0.638473446,
                1.032996295,
            ],
        ),
        (
            "Ecarbunculus",
            [
                1.005443484,
                0.104687987,
                11.66895125,
                0.7766281804,
                1.234258787,
            ],
        ),
    ];
    for (species, want) in table {
        let answer = Rate::of(Measure::Fish, &pathfinder(species)).answer;
        let Answer::Estimate {
            rate,
            standard_error,
            degrees,
            lower,
            upper,
            ..
        } = answer
        else {
            panic!("thirteen days make an estimate");
        };
        for (got, want) in [rate, standard_error, degrees, lower, upper]
            .into_iter()
            .zip(want)
        {
            close(got, want, 1e-9);
        }
    }
}

#[test]
fn an_estimate_reads_with_its_doubt_and_its_days_in_one_breath() {
    let said = Rate::of(Measure::Fish, &pathfinder("Pzonatus")).sentence();
    assert_eq!(
        said,
        "2.4 fish an hour (1.8 to 3.0), 13 days, 13 sessions, 312 rod-hours."
    );
}

#[test]
fn one_session_has_exact_limits_for_numbers_and_none_for_weight() {
    // 10 in 4: R 4.2.2 poisson.test.
    let rate = Rate::of(Measure::Fish, &[row("2026-02-01", 4.0, 10)]);
    let Answer::OneSession {
        limits: Some((lower, upper)),
        ..
    } = rate.answer
    else {
        panic!("one session of numbers has limits");
    };
    close(lower, 1.19884717403, 1e-10);
    close(upper, 4.5975890105, 1e-10);
    assert_eq!(
        rate.sentence(),
        "One session gave 10 fish in 4.0 rod-hours, 2.5 fish an hour. If fish came singly, 1.2 to 4.6 an hour could lie behind it."
    );

    let rate = Rate::of(
        Measure::Weight(Scale::Drams),
        &[weighed("2026-02-01", 4.0, 4535.9237)],
    );
    assert_eq!(
        rate.sentence(),
        "One session gave 10 lb in 4.0 rod-hours, 2 lb 8 oz an hour."
    );

    let blank = [weighed("2026-02-01", 4.0, 0.0)];
    assert_eq!(
        Rate::of(Measure::Weight(Scale::Drams), &blank).sentence(),
        "Nothing was weighed (one day, one session, 4.0 rod-hours); the chance of any fish in a day like these is at most 95 %."
    );
}

#[test]
fn under_six_days_the_days_speak_for_themselves() {
    let rows = [
        row("2026-02-01", 4.0, 8),
        row("2026-02-08", 5.0, 0),
        row("2026-02-08", 5.0, 20),
    ];
    let rate = Rate::of(Measure::Fish, &rows);
    assert_eq!(
        rate.sentence(),
        "Two days are too few for an interval; they gave 2.0 fish an hour on Sun 1 Feb and 2.0 fish an hour on Sun 8 Feb."
    );
    assert_eq!((rate.behind.days, rate.behind.sessions), (2, 3));
}

#[test]
fn when_every_day_was_blank_the_chance_of_a_fish_is_bounded() {
    let rows: Vec<_> = (1..=8)
        .map(|d| row(&format!("2026-02-0{d}"), 5.0, 0))
        .collect();
    let rate = Rate::of(Measure::Fish, &rows);
    let Answer::AllBlank {
        upper_chance,
        blank_days: 8,
    } = rate.answer
    else {
        panic!("eight blanks");
    };
    close(upper_chance, 1.0 - 0.05_f64.powf(0.125), 1e-12);
    assert_eq!(
        rate.sentence(),
        "Nothing was caught (eight days, eight sessions, 40.0 rod-hours); the chance of any fish in a day like these is at most 31 %."
    );
}

#[test]
fn those_who_did_not_weigh_are_bounded_by_nothing_and_the_lowest_weighed() {
    let in_match = |the_match: i64, row: CatchRow| CatchRow {
        match_id: Some(MatchId(the_match)),
        ..row
    };
    let absent_net = |date: &str| CatchRow {
        weight_g: None,
        did_not_weigh: true,
        ..weighed(date, 5.0, 0.0)
    };
    let rows: Vec<_> = (1..=7)
        .flat_map(|d| {
            let date = format!("2026-03-0{d}");
            [
                in_match(d, weighed(&date, 5.0, 2000.0)),
                in_match(d, weighed(&date, 5.0, 900.0 + 100.0 * d as f64)),
                in_match(d, weighed(&date, 5.0, 0.0)),
            ]
        })
        .chain([
            in_match(2, absent_net("2026-03-02")),
            in_match(5, absent_net("2026-03-05")),
        ])
        .collect();
    let rate = Rate::of(Measure::Weight(Scale::Grams), &rows);
    let hours = 23.0 * 5.0;
    let weighed_in: f64 = rows.iter().filter_map(|row| row.weight_g).sum();
    close(
        rate.answer.rate().expect("a rate"),
        weighed_in / hours,
        1e-12,
    );
    let (sessions, lowest) = rate.if_lowest.clone().expect("two did not weigh");
    assert_eq!(sessions, 2);
    // The lowest above nothing in each of their matches: 1100 g and 1400 g.
    close(
        lowest.rate().expect("a rate"),
        (weighed_in + 1100.0 + 1400.0) / hours,
        1e-12,
    );
    assert!(
        rate.sentence()
            .contains("Two anglers did not weigh and stand here as nothing"),
        "{}",
        rate.sentence()
    );
    assert_eq!(rate.behind.without_catch, 0);
}

#[test]
fn who_did_not_weigh_and_moves_no_figure_is_said_in_short() {
    let in_match = |the_match: i64, row: CatchRow| CatchRow {
        match_id: Some(MatchId(the_match)),
        ..row
    };
    // The lowest beside it is one gram in 175 rod-hours.
    let mut rows: Vec<_> = (1..=7)
        .flat_map(|d| {
            let date = format!("2026-03-0{d}");
            [
                in_match(d, weighed(&date, 12.0, 20_000.0)),
                in_match(d, weighed(&date, 12.0, 1.0)),
            ]
        })
        .collect();
    rows.push(CatchRow {
        weight_g: None,
        did_not_weigh: true,
        ..in_match(3, weighed("2026-03-03", 7.0, 0.0))
    });
    let said = Rate::of(Measure::Weight(Scale::Drams), &rows).notes();
    assert_eq!(
        said,
        ["One angler did not weigh, which makes no difference to the ounce."]
    );
}

/// One who fished a match on this day for five hours and offered no net.
fn unweighed(date: &str, lowest_beside_g: Option<f64>) -> CatchRow {
    CatchRow {
        weight_g: None,
        did_not_weigh: true,
        match_id: Some(MatchId(1)),
        lowest_beside_g,
        ..weighed(date, 5.0, 0.0)
    }
}

#[test]
fn a_peg_whose_anglers_did_not_weigh_is_not_called_a_blank() {
    let rows = [
        unweighed("2026-03-01", Some(1_000.0)),
        unweighed("2026-03-08", None),
    ];
    let rate = Rate::of(Measure::Weight(Scale::Grams), &rows);
    assert_eq!(rate.answer, Answer::NobodyWeighed);
    assert_eq!(
        rate.sentence(),
        "Nobody who fished here weighed (two days, two sessions, 10.0 rod-hours), so the catch is not known. \
         Two anglers did not weigh; with the lowest weight above nought weighed beside each, and nothing for one angler beside whom nobody weighed any, it would be 100 g an hour."
    );
    let alone = Rate::of(Measure::Weight(Scale::Grams), &rows[1..]);
    assert_eq!(
        alone.notes(),
        [
            "One angler did not weigh; nobody beside that angler weighed anything, so how much it was cannot be told."
        ]
    );
}

#[test]
fn a_day_on_which_somebody_did_not_weigh_is_no_evidence_of_a_blank() {
    let mut rows: Vec<_> = (1..=8)
        .map(|d| weighed(&format!("2026-02-0{d}"), 5.0, 0.0))
        .collect();
    rows.extend((1..=3).map(|d| unweighed(&format!("2026-02-0{d}"), None)));
    let rate = Rate::of(Measure::Weight(Scale::Drams), &rows);
    let Answer::AllBlank {
        upper_chance,
        blank_days: 5,
    } = rate.answer
    else {
        panic!("five blanks and three days unsure: {:?}", rate.answer);
    };
    close(upper_chance, 1.0 - 0.05_f64.powf(0.2), 1e-12);
    assert_eq!(
        rate.notes(),
        [
            "Three anglers did not weigh and stand here as nothing; nobody beside them weighed anything, so how much more it would be cannot be told."
        ]
    );
    assert!(
        rate.sentence().starts_with(
            "Nothing was weighed (eight days, eleven sessions, 55.0 rod-hours); by five days on which everybody weighed, \
             the chance of any fish in a day like these is at most 45 %."
        ),
        "{}",
        rate.sentence()
    );
    let every_day = Rate::of(Measure::Weight(Scale::Drams), &[rows[0], rows[8]]);
    assert!(
        every_day.sentence().contains(
            "on each day somebody did not weigh, so the chance of any fish cannot be told."
        ),
        "{}",
        every_day.sentence()
    );
}

#[test]
fn sessions_without_hours_or_catch_are_left_out_and_said() {
    let no_hours = CatchRow {
        rod_hours: None,
        ..row("2026-02-01", 1.0, 4)
    };
    let no_number = CatchRow {
        fish: None,
        ..row("2026-02-01", 1.0, 4)
    };
    let rate = Rate::of(Measure::Fish, &[no_hours, no_number]);
    assert_eq!(rate.answer, Answer::Nothing);
    assert_eq!(
        rate.sentence(),
        "No session here has both its hours and its number of fish. One session left out for want of hours. One session left out whose number is not known."
    );
    assert_eq!(Rate::of(Measure::Fish, &[]).answer, Answer::Nothing);
}

proptest! {
    #[test]
    fn splitting_a_days_rows_changes_no_figure(
        days in prop::collection::vec((1..60_i64, 2.0..40.0_f64), 6..15),
    ) {
        let first = day("2026-01-01");
        let whole: Vec<_> = days.iter().enumerate().map(|(place, (fish, hours))| CatchRow {
            day: first.plus(place as i64), ..row("2026-01-01", *hours, *fish)
        }).collect();
        let split: Vec<_> = whole.iter().flat_map(|one| {
            let fish = one.fish.unwrap_or(0);
            let hours = one.rod_hours.unwrap_or(1.0);
            [
                CatchRow { fish: Some(fish / 3), rod_hours: Some(hours * 0.7), ..*one },
                CatchRow { fish: Some(fish - fish / 3), rod_hours: Some(hours * 0.3), ..*one },
            ]
        }).collect();
        let of = |rows: &[CatchRow]| match Rate::of(Measure::Fish, rows).answer {
            Answer::Estimate { rate, lower, upper, .. } => [rate, lower, upper],
            other => panic!("{other:?}"),
        };
        for (one, other) in of(&whole).into_iter().zip(of(&split)) {
            prop_assert!((one - other).abs() < 1e-9);
        }
    }

    #[test]
    fn doubling_effort_and_catch_leaves_the_rate_alone(
        days in prop::collection::vec((0..60_i64, 1.0..40.0_f64), 1..15),
    ) {
        let first = day("2026-01-01");
        let of = |times: i64| {
            let rows: Vec<_> = days.iter().enumerate().map(|(place, (fish, hours))| CatchRow {
                day: first.plus(place as i64), ..row("2026-01-01", hours * times as f64, fish * times)
            }).collect();
            Rate::of(Measure::Fish, &rows).answer.rate().expect("some rows")
        };
        prop_assert!((of(1) - of(2)).abs() < 1e-9);
    }
}
