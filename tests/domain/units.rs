//! Weights, lengths and counts as typed: the table of promise U3, and properties that hold for all.

use peglore::domain::units::weight::DRAMS_PER_POUND;
use peglore::domain::units::{
    Bare, Length, Minutes, Ranking, Scale, Total, Weight, WeightReading, read_aim, read_count,
    read_hours, read_metres, read_weight,
};
use proptest::prelude::*;

fn bare(word: &str) -> Bare {
    match word {
        "scales" => Bare::AsScales,
        "ask" => Bare::Ask,
        "point" => Bare::PoundsPointOunces {
            noughts_kept: false,
        },
        "point-kept" => Bare::PoundsPointOunces { noughts_kept: true },
        "decimal" => Bare::DecimalPounds,
        "ounces" => Bare::Ounces,
        "kg" => Bare::Kilograms,
        "g" => Bare::Grams,
        other => panic!("the table has an unknown word: {other}"),
    }
}

/// One row of `tests/data/weights.csv` against what was made of it.
fn differs(row: &csv::StringRecord) -> Option<String> {
    let expected = Scale::parse(&row[1]).expect("the table's unit");
    let reading = read_weight(&row[0], expected, bare(&row[2]));
    let amounts = |weights: &[Weight]| {
        let all: Vec<_> = weights.iter().map(|w| w.amount().to_string()).collect();
        let scale = weights.first().map_or("", |w| w.scale().as_str());
        (all.join("|"), scale.to_owned())
    };
    let (outcome, (amount, scale), says) = match &reading {
        WeightReading::Understood(weight) => ("understood", amounts(&[*weight]), weight.words()),
        WeightReading::Question { asks, choices } => {
            let weights: Vec<_> = choices.iter().map(|c| c.weight).collect();
            let words: Vec<_> = choices.iter().map(|c| c.words.clone()).collect();
            (
                "question",
                amounts(&weights),
                format!("{asks} {}", words.join(" / ")),
            )
        }
        WeightReading::Problem(sentence) => {
            ("problem", (String::new(), String::new()), sentence.clone())
        }
    };
    let exact = outcome != "understood" || says == row[6];
    let agrees = outcome == &row[3]
        && amount == row[4]
        && scale == row[5]
        && says.contains(&row[6])
        && exact;
    (!agrees).then(|| {
        format!(
            "{:?} ({}, {}): {reading:?}, wanted {} {} {} {:?}",
            &row[0], &row[1], &row[2], &row[3], &row[4], &row[5], &row[6]
        )
    })
}

#[test]
fn every_weight_of_the_table_is_understood_asked_about_or_refused_as_it_says() {
    let mut table = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path("tests/data/weights.csv")
        .expect("the table is in the repository");

    let rows: Vec<_> = table
        .records()
        .map(|row| row.expect("the table is well formed"))
        .collect();
    let wrong: Vec<_> = rows.iter().filter_map(differs).collect();

    assert!(rows.len() >= 200, "{} rows", rows.len());
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn hostile_text_is_refused_with_a_short_sentence() {
    let hostile = [
        "9".repeat(400),
        "1".repeat(1_000_000),
        "12\u{200b}-8".to_owned(),
        "\u{202e}8-21".to_owned(),
        "\u{200b}\u{200b}".to_owned(),
        "12\0-8".to_owned(),
        "12\r\n-8\u{7}".to_owned(),
        "a\u{301}".repeat(200),
        "👩‍👩‍👧‍👦".to_owned(),
        "../../etc/passwd".to_owned(),
        "{{7*7}}".to_owned(),
        "%00".to_owned(),
    ];
    for text in hostile {
        for scale in Scale::ALL {
            match read_weight(&text, scale, Bare::AsScales) {
                WeightReading::Problem(sentence) => {
                    assert!(
                        sentence.len() < 250 && sentence.ends_with('.'),
                        "{sentence}"
                    );
                    assert!(
                        !sentence.contains(['\0', '\u{202e}', '\u{200b}']),
                        "{sentence}"
                    );
                }
                other => panic!("{text:?}: {other:?}"),
            }
        }
    }
}

/// Conversions of a dram: 25 lb 10 oz = 11 623.304 48 g, 10 lb 12 oz 8 dr = 4 890.292 74 g,
/// computed from 1 lb = 453.59237 g (Weights and Measures Act 1985, schedule 1).
#[test]
fn no_ounces_are_said_between_pounds_and_drams_and_nowhere_else() {
    let words = |pounds: u16, ounces: u8, drams: u32| {
        let whole = Weight::lb_oz(pounds, ounces).plus(Weight::drams(drams));
        whole.expect("of one scale").words()
    };
    assert_eq!(words(122, 0, 12), "122 lb 0 oz 12 dr");
    assert_eq!(words(122, 0, 0), "122 lb");
    assert_eq!(words(0, 0, 12), "12 dr");
    assert_eq!(words(0, 0, 0), "0 oz");
}

#[test]
fn a_net_is_far_above_another_from_fifty_pounds_and_three_times_as_much_on() {
    let pounds = |pounds| Weight::lb_oz(pounds, 0);
    assert!(pounds(99).is_far_above(pounds(30)));
    assert!(!pounds(90).is_far_above(pounds(30)));
    assert!(!pounds(50).is_far_above(pounds(1)));
    assert!(pounds(51).is_far_above(Weight::grams(7_000)));
}

#[test]
fn another_unit_is_made_once_and_rounded_down_once() {
    assert_eq!(Weight::drams(6560).to(Scale::Grams), Weight::grams(11_623));
    assert_eq!(Weight::drams(2760).to(Scale::Grams), Weight::grams(4_890));
    assert_eq!(Weight::grams(454).to(Scale::Drams), Weight::drams(256));
    assert_eq!(Weight::grams(453).to(Scale::Drams), Weight::drams(255));
    // The published figures have five places, so they hold to half a unit of the fifth.
    assert!((Weight::drams(6560).as_grams() - 11_623.304_48).abs() < 5e-6);
    assert!((Weight::drams(2760).as_grams() - 4_890.292_74).abs() < 5e-6);

    let nets: Total = [Weight::drams(255), Weight::drams(255), Weight::grams(1)]
        .into_iter()
        .collect();

    // 510 dr is 903.64 g; two nets rounded apart would lose a gram.
    assert_eq!(nets.to(Ranking::GRAM), Weight::grams(904));
    assert_eq!(nets.to(Ranking::OUNCE), Weight::drams(31 * 16));
    assert_eq!(nets.words(), "1 lb 15 oz 14 dr and 1 g");
}

#[test]
fn a_record_cannot_hold_a_weight_below_nothing() {
    assert_eq!(Weight::new(-1, Scale::Grams), None);
    assert!(serde_json::from_str::<Weight>(r#"{"amount":-1,"scale":"g"}"#).is_err());
    let weight: Weight = serde_json::from_str(r#"{"amount":3200,"scale":"dr"}"#).expect("valid");
    assert_eq!(weight, Weight::lb_oz(12, 8));
}

#[test]
fn weights_of_two_scales_are_not_added_as_one_but_can_be_compared() {
    assert_eq!(Weight::drams(1).plus(Weight::grams(1)), None);
    assert!(Weight::drams(256).compare(Weight::grams(453)).is_gt());
    assert!(Weight::drams(256).compare(Weight::grams(454)).is_lt());
}

#[test]
fn counts_take_the_figures_nought_to_nine_and_nothing_else() {
    assert_eq!(read_count(" 12 ", "fish", 0, 9999), Ok(12));
    assert_eq!(read_count("0", "fish", 0, 9999), Ok(0));
    for text in [
        "",
        " ",
        "-1",
        "-0",
        "1e9",
        "NaN",
        "0x10",
        "٤",
        "4,5",
        "4.5",
        "1.234,5",
        "10000",
        "+4",
        &"9".repeat(400),
    ] {
        let refused = read_count(text, "fish", 0, 9999).expect_err(text);
        assert!(refused.ends_with('.') && refused.len() < 200, "{refused}");
    }
}

#[test]
fn lengths_are_metres_unless_they_say_otherwise() {
    for (text, mm) in [
        ("11", 11_000),
        ("11.5", 11_500),
        ("11,5 m", 11_500),
        ("11m", 11_000),
        ("150 cm", 1_500),
        ("6 ft", 1_829),
        ("6'", 1_829),
        ("12 yd", 10_973),
        ("0", 0),
        (".5", 500),
        ("800 mm", 800),
    ] {
        assert_eq!(
            read_metres(text, "the line", 200).map(Length::mm),
            Ok(mm),
            "{text}"
        );
    }
    for text in [
        "", "-1", "201", "far", "1e9", "NaN", "٤", "1.2.3", "11.", "12 lb", "0x10", "1.234,5",
    ] {
        let refused = read_metres(text, "the line", 200).expect_err(text);
        assert!(refused.ends_with('.'), "{refused}");
    }
    assert_eq!(Length::millimetres(11_000).words(), "11 m");
    assert_eq!(Length::millimetres(1_829).words(), "1.83 m");
    assert_eq!(Length::millimetres(-2_500).words(), "−2.5 m");
}

#[test]
fn an_aim_is_left_right_or_straight() {
    for (text, mm) in [
        ("2 left", -2_000),
        ("3 m right", 3_000),
        ("L2", -2_000),
        ("r 1.5", 1_500),
        ("straight", 0),
        ("0", 0),
        ("-2", -2_000),
        ("+2", 2_000),
    ] {
        assert_eq!(read_aim(text).map(Length::mm), Ok(mm), "{text}");
    }
    for text in ["", "2", "left", "over there", "2 left right", "200 left"] {
        assert!(read_aim(text).is_err(), "{text}");
    }
}

#[test]
fn hours_are_read_as_people_write_them() {
    for (text, minutes) in [
        ("5", 300),
        ("5.5", 330),
        ("5,5 h", 330),
        ("5 hours", 300),
        ("5h30", 330),
        ("5:30", 330),
        ("4 hours 30 minutes", 270),
        ("4 hrs and 30 mins", 270),
        ("150 min", 150),
        ("1 hour", 60),
        ("0.25", 15),
        ("5½", 330),
        ("5 ½ hours", 330),
        ("5 1/2", 330),
        ("4¾ hrs", 285),
        ("½ hour", 30),
    ] {
        assert_eq!(read_hours(text, 24), Ok(Minutes(minutes)), "{text}");
    }
    for text in [
        "", "0", "-1", "25", "5:60", "5:3", "a while", "NaN", "1e9", "5h90", "٤", "5:½", "5.5½",
        "5½5",
    ] {
        assert!(read_hours(text, 24).is_err(), "{text}");
    }
    assert_eq!(Minutes(270).words(), "4 hours 30 minutes");
    assert_eq!(Minutes(61).words(), "1 hour 1 minute");
    assert_eq!(Minutes(45).words(), "45 minutes");
}

proptest! {
    #[test]
    fn whatever_a_field_is_filled_with_reads_back_as_the_same_weight(amount in 0_i64..500_000, grams: bool) {
        let scale = if grams { Scale::Grams } else { Scale::Drams };
        let weight = Weight::new(amount, scale).expect("not negative");
        for expected in Scale::ALL {
            for rule in [Bare::AsScales, Bare::Ask, Bare::Kilograms] {
                let texts = [weight.typed(), weight.words()];
                for text in texts {
                    let read = read_weight(&text, expected, rule).understood();
                    prop_assert!(read.is_some_and(|read| read == weight || read.is_nothing() && weight.is_nothing()), "{text}");
                }
            }
        }
        if scale == Scale::Drams {
            prop_assert_eq!(read_weight(&weight.short(), expected_drams(), Bare::AsScales).understood(), Some(weight));
        }
    }

    #[test]
    fn any_text_is_read_without_a_fault(text in ".{0,80}", grams: bool) {
        let scale = if grams { Scale::Grams } else { Scale::Drams };
        if let WeightReading::Question { choices, .. } = read_weight(&text, scale, Bare::AsScales) {
            prop_assert!(!choices.is_empty());
        }
    }

    #[test]
    fn there_and_back_loses_less_than_one_unit(drams in 0_u32..512_000) {
        let weight = Weight::drams(drams);
        let back = weight.to(Scale::Grams).to(Scale::Drams);
        prop_assert!(back.amount() <= weight.amount() && weight.amount() - back.amount() <= 1);
    }

    #[test]
    fn a_weight_kept_in_grams_ranks_as_it_was_weighed(drams in 0_u32..512_000, grams in 0_u32..512_000) {
        for weight in [Weight::drams(drams), Weight::grams(grams)] {
            for (ranking, _) in Ranking::OFFERED {
                prop_assert_eq!(ranking.of_grams(weight.as_grams()), Total::from(weight).to(ranking));
            }
        }
    }

    #[test]
    fn a_heavier_total_never_has_fewer_steps(a in 0_u32..512_000, b in 0_u32..512_000, more in 0_u32..900) {
        let mut total: Total = [Weight::drams(a), Weight::grams(b)].into_iter().collect();
        for (ranking, _) in Ranking::OFFERED {
            let before = total.steps(ranking);
            let mut heavier = total;
            heavier.add(Weight::grams(more));
            prop_assert!(heavier.steps(ranking) >= before);
        }
        total.add(Weight::drams(DRAMS_PER_POUND as u32));
        prop_assert!(!total.is_nothing());
    }
}

fn expected_drams() -> Scale {
    Scale::Drams
}
