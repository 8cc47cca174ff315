//! The days before in a sentence.

use peglore::{
    domain::{
        customs::Approach,
        dates::Day,
        units::Speed,
        weather::{DailyWeather, WeatherDays, WindFrom},
    },
    statistics::{
        run_up::{RunUp, Surroundings, Usual},
        run_up_words::{fall_unseen, summary},
    },
};

use super::weather_days::{day, with_means};

const USUAL: Option<Usual> = Some(Usual {
    mean_c: 7.0,
    days: 62,
});

fn words(weather: &WeatherDays, usual: Option<Usual>) -> String {
    words_on(day("2025-11-15"), weather, usual)
}

fn words_on(session: Day, weather: &WeatherDays, usual: Option<Usual>) -> String {
    words_in(session, weather, usual, Speed::Beaufort)
}

fn words_in(session: Day, weather: &WeatherDays, usual: Option<Usual>, speed: Speed) -> String {
    summary(
        &RunUp::of(session, &Surroundings::weather_only(weather)),
        weather,
        usual,
        speed,
    )
}

fn mild_then_cold() -> WeatherDays {
    let session = day("2025-11-15");
    let mut weather = with_means(
        session,
        &[11.0, 12.0, 11.0, 11.5, 12.0, 11.0, 4.0, 2.0, 2.0, 5.0],
    );
    for today in weather.values_mut().take(6) {
        today.rain_mm = Some(6.0);
    }
    weather
}

#[test]
fn a_mild_wet_week_breaks_and_its_frosts_are_counted() {
    let said = words(&mild_then_cold(), USUAL);
    assert_eq!(
        said,
        "A mild, wet week broke on Tue 11 Nov; two frosts since."
    );
}

/// What froze a week ago and has been mild since is not told as if it froze still.
#[test]
fn it_says_when_a_cold_spell_turned_mild_again() {
    let session = day("2025-11-25");
    let means = |means: [f64; 10]| words_on(session, &with_means(session, &means), USUAL);

    assert_eq!(
        means([10.0, 11.0, 1.0, 1.0, 2.0, 1.0, 9.0, 9.0, 8.0, 9.0]),
        "A mild run of days broke on Mon 17 Nov; four frosts then; it turned milder on Fri 21 Nov; no frosts since."
    );
    assert_eq!(
        means([1.0, 1.0, 2.0, 1.0, 1.0, 9.0, 9.0, 9.0, 2.0, 2.0]),
        "A cold run of days turned milder on Thu 20 Nov; no frosts then; it turned colder on Sun 23 Nov; two frosts since."
    );
}

#[test]
fn frosts_that_are_over_are_given_the_day_of_the_last() {
    let session = day("2025-11-25");
    let even = [4.0, 4.0, 2.5, 2.0, 2.5, 2.5, 4.0, 4.0, 4.5, 4.0];
    assert_eq!(
        words_on(session, &with_means(session, &even), None),
        "Ten days with a mean of 3.4\u{a0}°C; four frosts, the last on Thu 20 Nov."
    );
    // Never mild enough again to be a new spell.
    let cold = [11.0, 11.0, 11.0, 2.0, 2.0, 2.0, 4.0, 4.0, 4.0, 4.0];
    assert_eq!(
        words_on(session, &with_means(session, &cold), USUAL),
        "A mild run of days broke on Tue 18 Nov; three frosts since, the last on Thu 20 Nov."
    );
    let one = [11.0, 11.0, 11.0, 4.0, 2.5, 4.0, 4.0, 4.0, 4.0, 4.0];
    assert_eq!(
        words_on(session, &with_means(session, &one), USUAL),
        "A mild run of days broke on Tue 18 Nov; one frost since, on Wed 19 Nov."
    );
}

#[test]
fn without_a_known_season_no_day_is_called_mild() {
    let said = words(&mild_then_cold(), None);
    assert!(said.starts_with("A wet week broke on Tue 11 Nov"), "{said}");
}

#[test]
fn a_few_days_before_a_break_are_a_run_of_days() {
    let session = day("2025-11-15");
    let weather = with_means(
        session,
        &[11.0, 11.0, 11.0, 11.0, 3.0, 3.0, 3.0, 3.0, 3.0, 3.0],
    );
    let said = words(&weather, None);
    assert!(
        said.starts_with("A run of days with a mean of 11.0\u{a0}°C broke on Sun 9 Nov"),
        "{said}"
    );
}

#[test]
fn gaps_are_named_and_too_many_leave_no_description() {
    let session = day("2025-11-15");
    let mut weather = with_means(session, &[7.0; 10]);
    weather.remove(&session.plus(-4));
    let said = words(&weather, USUAL);
    assert!(said.ends_with("no temperature for Tue 11 Nov."), "{said}");

    let few = with_means(session, &[7.0; 2]);
    let said = words(&few, USUAL);
    assert!(
        said.contains("two have temperatures written down: too few"),
        "{said}"
    );
    let said = words(&WeatherDays::new(), USUAL);
    assert_eq!(
        said,
        "None of the ten days before has a temperature written down."
    );
}

#[test]
fn wind_and_pressure_get_their_words() {
    let session = day("2025-11-15");
    let mut weather = with_means(session, &[7.0; 10]);
    for (place, today) in weather.values_mut().enumerate() {
        *today = DailyWeather {
            wind_ms: Some(6.0),
            wind_from: Some(WindFrom::Degrees(225.0)),
            pressure_hpa: Some(1030.0 - 4.0 * place as f64),
            ..*today
        };
    }
    assert_eq!(
        words(&weather, USUAL),
        "Ten days with a mean of 7.0\u{a0}°C; no frosts; wind from the south-west, force 4; pressure down 12\u{a0}hPa in three days."
    );
    for (speed, blew) in [
        (Speed::Mph, "wind from the south-west, 13\u{a0}mph;"),
        (
            Speed::MetresASecond,
            "wind from the south-west, 6.0\u{a0}m/s;",
        ),
    ] {
        let said = words_in(session, &weather, USUAL, speed);
        assert!(said.contains(blew), "{said}");
    }
}

/// A crash on the last day has no second day to be a spell, and must not be dated a day early.
#[test]
fn a_fall_on_the_last_day_is_told_for_itself_and_on_its_day() {
    let session = day("2026-11-29");
    let means = |means: &[f64]| words_on(session, &with_means(session, means), USUAL);

    assert_eq!(
        means(&[12.0, 12.4, 12.2, 12.0, 12.4, 12.2, 12.0, 12.4, 12.6, 4.0]),
        "Nine mild days, mean 12.2\u{a0}°C; no frosts; it fell 8.6\u{a0}°C on Sat 28 Nov."
    );
    assert_eq!(
        means(&[2.0, 2.0, 2.0, 2.0, 8.0, 8.0, 8.0, 8.0, 8.0, 13.0]),
        "A cold run of days turned milder on Mon 23 Nov; no frosts since; it rose 5.0\u{a0}°C on Sat 28 Nov."
    );
    // The fall began a day before: a break as any other.
    let over_two_days = means(&[12.0, 12.0, 12.0, 12.0, 12.0, 12.0, 12.0, 12.0, 8.0, 4.0]);
    assert!(
        over_two_days.starts_with("A mild week broke on Fri 27 Nov"),
        "{over_two_days}"
    );
    let a_little = means(&[8.0, 8.0, 8.0, 8.0, 8.0, 8.0, 8.0, 8.0, 8.0, 4.5]);
    assert!(!a_little.contains("it fell"), "{a_little}");
}

#[test]
fn advice_that_asks_for_no_care_is_told_of_a_fall_that_its_rules_do_not_see() {
    let session = day("2026-11-29");
    let fell = with_means(session, &[12.0, 12.4, 12.6, 4.0]);
    let beside = |approach, weather| fall_unseen(approach, weather, session);

    assert_eq!(
        beside(Approach::Boldly, &fell).as_deref(),
        Some(
            "The rules look at three days and at seven, and do not see the last day’s fall: it fell 8.6\u{a0}°C on Sat 28 Nov."
        )
    );
    assert!(beside(Approach::Steadily, &fell).is_some());
    assert_eq!(beside(Approach::Carefully, &fell), None);
    let rose = with_means(session, &[12.0, 12.4, 4.0, 12.6]);
    assert_eq!(beside(Approach::Boldly, &rose), None);
    let a_little = with_means(session, &[12.0, 12.4, 12.6, 8.7]);
    assert_eq!(beside(Approach::Boldly, &a_little), None);
    // Four degrees on paper; a little less once halved and subtracted.
    let four = with_means(session, &[6.0, 6.4, 6.2, 2.2]);
    assert!(beside(Approach::Boldly, &four).is_some_and(|told| told.contains("fell 4.0\u{a0}°C")));
}

#[test]
fn rain_of_the_last_days_or_since_the_break_is_told_once() {
    let session = day("2026-11-29");
    let said = |rain: [f64; 10], means: &[f64; 10]| {
        let mut weather = with_means(session, means);
        for (today, mm) in weather.values_mut().zip(rain) {
            today.rain_mm = Some(mm);
        }
        words_on(session, &weather, USUAL)
    };
    let even = [7.0; 10];
    let broken = [12.0, 12.0, 12.0, 12.0, 4.0, 4.0, 4.0, 4.0, 4.0, 4.0];

    assert_eq!(
        said([0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 20.0], &broken),
        "A mild, dry run of days broke on Mon 23 Nov; no frosts since; 20\u{a0}mm of rain in the last three days."
    );
    assert_eq!(
        said([0.0, 0.0, 0.0, 0.0, 6.0, 6.0, 6.0, 0.0, 0.0, 0.0], &broken),
        "A mild, dry run of days broke on Mon 23 Nov; no frosts since; 18\u{a0}mm of rain since Mon 23 Nov."
    );
    // It turned twice, on the 23rd and on the 26th, and the rain fell between.
    let twice = [0.5, 0.5, 0.5, 0.5, 5.5, 5.5, 5.5, 12.0, 12.0, 12.0];
    let between = said([0.0, 0.0, 0.0, 0.0, 6.0, 6.0, 6.0, 0.0, 0.0, 0.0], &twice);
    assert!(
        between.contains("it turned milder still on Thu 26 Nov; no frosts since; 18\u{a0}mm of rain since Mon 23 Nov"),
        "{between}"
    );
    let mut with_a_gap = with_means(session, &even);
    with_a_gap
        .get_mut(&session.plus(-2))
        .expect("written")
        .rain_mm = Some(12.0);
    let gappy = words_on(session, &with_a_gap, USUAL);
    assert!(
        gappy.contains("at least 12\u{a0}mm of rain in the last three days"),
        "{gappy}"
    );
    // Ten on paper; a little less once added up.
    let ten = said([0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.1, 8.2, 1.7], &even);
    assert!(
        ten.contains("10\u{a0}mm of rain in the last three days"),
        "{ten}"
    );
    let little = said([9.9, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 3.0, 3.0, 3.9], &even);
    assert!(!little.contains("rain"), "{little}");
}

#[test]
fn a_mean_says_of_how_many_days_it_is() {
    let session = day("2026-11-29");
    let mut weather = with_means(session, &[3.7; 10]);
    for ago in [2, 4, 6, 8, 10] {
        weather.remove(&session.plus(-ago));
    }
    assert_eq!(
        words_on(session, &weather, None),
        "Five days of the ten, mean 3.7\u{a0}°C; no frosts; no temperature on five of the ten days."
    );
    assert_eq!(
        words_on(session, &weather, USUAL),
        "Five cold days of the ten, mean 3.7\u{a0}°C; no frosts; no temperature on five of the ten days."
    );
}
