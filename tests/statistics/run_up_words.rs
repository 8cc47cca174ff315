//! The days before in a sentence.

use peglore::{
    domain::{
        dates::Day,
        units::Speed,
        weather::{DailyWeather, WeatherDays, WindFrom},
    },
    statistics::{
        run_up::{RunUp, Surroundings, Usual},
        run_up_words::summary,
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
