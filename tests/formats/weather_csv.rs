//! The app's own weather layout, other people's columns, and what each row is made into.

use peglore::domain::weather::bringing_in::{Change, plan};
use peglore::domain::weather::units::{PressureUnit, RainUnit, SpeedUnit, TemperatureUnit};
use peglore::domain::weather::{Cloud, DailyWeather, Ice, Snow, WindFrom};
use peglore::formats::csv::{Heading, Writer, read as read_csv};
use peglore::formats::days::{DayOrder, OrderFound};
use peglore::formats::weather_csv::{
    Column, DayRow, LAYOUT, Mapping, Shifts, credit, guess, layout_row, read,
};
use proptest::prelude::*;

use super::sheet;
use crate::support::days::day;

fn rows(text: &str) -> Vec<DayRow> {
    let sheet = sheet(text);
    read(&sheet, &guess(&sheet)).expect("a good mapping").rows
}

#[test]
fn the_own_layout_is_guessed_whole_and_read() {
    let text = format!(
        "{}\n2026-01-05,-3.5,2,trace,4.5,SW,1013.2,broken,fell,edges\n2026-01-06,,,,,,,,,\n2026-01-07,1,5,0.2,,var,,,none,none\n",
        LAYOUT.join(",")
    );
    let got = rows(&text);

    let first = DailyWeather {
        min_c: Some(-3.5),
        max_c: Some(2.0),
        rain_mm: Some(0.0),
        rain_trace: true,
        wind_ms: Some(4.5),
        wind_from: Some(WindFrom::Degrees(225.0)),
        pressure_hpa: Some(1013.2),
        cloud: Some(Cloud::Broken),
        snow: Some(Snow::Fell),
        ice: Some(Ice::Edges),
    };
    assert_eq!(
        got[0],
        DayRow::Understood {
            line: 2,
            day: day("2026-01-05"),
            weather: first
        }
    );
    assert_eq!(got.len(), 2, "a day without a figure is a gap, not a row");
    let DayRow::Understood { weather, .. } = &got[1] else {
        panic!("{:?}", got[1])
    };
    assert_eq!(weather.wind_from, Some(WindFrom::Variable));
    assert_eq!(weather.pressure_hpa, None);
}

#[test]
fn a_calm_comes_from_nowhere_and_a_variable_wind_from_no_one_place() {
    let sheet =
        sheet("date,wind_ms,wind_from\n2026-01-05,0,calm\n2026-01-06,2,Variable\n2026-01-07,3,-\n");
    let got = read(&sheet, &guess(&sheet)).expect("a good mapping");
    assert_eq!((got.problems(), got.unread.len()), (0, 0));
    let winds: Vec<_> = got.days().map(|(_, w)| (w.wind_ms, w.wind_from)).collect();
    assert_eq!(
        winds,
        [
            (Some(0.0), None),
            (Some(2.0), Some(WindFrom::Variable)),
            (Some(3.0), None)
        ]
    );
}

#[test]
fn units_are_guessed_from_other_peoples_headings() {
    let found = guess(&sheet(
        "Date;Max Temp (°F);Min Temp (°F);Rainfall (inches);Wind speed (mph);Max gust (mph);Wind Dir;MSLP inHg;Humidity %\nx;;;;;;;;\n",
    ));
    assert_eq!(
        found.columns,
        [
            Some(Column::Date),
            Some(Column::Max(TemperatureUnit::Fahrenheit)),
            Some(Column::Min(TemperatureUnit::Fahrenheit)),
            Some(Column::Rain(RainUnit::Inches)),
            Some(Column::Wind(SpeedUnit::MilesPerHour)),
            None,
            Some(Column::WindFrom),
            Some(Column::Pressure(PressureUnit::InchesOfMercury)),
            None,
        ]
    );
    let short = guess(&sheet("Date,Lo F,Hi F,Baro inHg,Knots\nx,,,,\n"));
    assert_eq!(
        short.columns[1..],
        [
            Some(Column::Min(TemperatureUnit::Fahrenheit)),
            Some(Column::Max(TemperatureUnit::Fahrenheit)),
            Some(Column::Pressure(PressureUnit::InchesOfMercury)),
            Some(Column::Wind(SpeedUnit::Knots)),
        ]
    );
    let strongest = guess(&sheet(
        "Date,Max wind mph,Hi knots,Low wind,Wind mph\nx,,,,\n",
    ));
    assert_eq!(
        strongest.columns[1..],
        [
            None,
            None,
            None,
            Some(Column::Wind(SpeedUnit::MilesPerHour))
        ]
    );
    for (heading, column) in [
        ("mph", Column::Wind(SpeedUnit::MilesPerHour)),
        ("kts", Column::Wind(SpeedUnit::Knots)),
        ("mmHg", Column::Pressure(PressureUnit::MillimetresOfMercury)),
        ("mb", Column::Pressure(PressureUnit::Hectopascals)),
        ("mbar", Column::Pressure(PressureUnit::Hectopascals)),
        ("Millibars", Column::Pressure(PressureUnit::Hectopascals)),
        (
            "Barometric (inHg)",
            Column::Pressure(PressureUnit::InchesOfMercury),
        ),
    ] {
        let found = guess(&sheet(&format!("Date,{heading}\nx,\n")));
        assert_eq!(found.columns[1], Some(column), "{heading}");
    }
    for column in Column::all() {
        assert_eq!(Column::from_slug(&column.slug()), Some(column));
    }
    let json = serde_json::to_string(&found).expect("plain data");
    assert_eq!(serde_json::from_str::<Mapping>(&json).expect("ours"), found);
}

#[test]
fn decimal_commas_and_day_first_dates_of_a_semicolon_file_are_read() {
    let got = rows("Datum;Min;Max;Rain\n13/01/2026;-3,5;2,0;1,2\n01/02/2026;0;4;-\n");
    let DayRow::Understood {
        day: first,
        weather,
        ..
    } = &got[0]
    else {
        panic!("{:?}", got[0])
    };
    assert_eq!(
        (*first, weather.min_c, weather.rain_mm),
        (day("2026-01-13"), Some(-3.5), Some(1.2))
    );
    let DayRow::Understood {
        day: second,
        weather,
        ..
    } = &got[1]
    else {
        panic!("{:?}", got[1])
    };
    assert_eq!((*second, weather.rain_mm), (day("2026-02-01"), None));
}

#[test]
fn dates_that_could_be_two_days_wait_for_one_answer() {
    let sheet = sheet("date,rain_mm\n01/02/2026,1\n03/04/2026,2\n");
    let mut mapping = guess(&sheet);
    let unasked = read(&sheet, &mapping).expect("a good mapping");
    assert!(matches!(unasked.order, OrderFound::Unsettled { .. }));
    assert_eq!((unasked.problems(), unasked.days().count()), (2, 0));

    mapping.day_order = Some(DayOrder::MonthFirst);
    let answered = read(&sheet, &mapping).expect("a good mapping");
    let days: Vec<_> = answered.days().map(|(day, _)| day.to_string()).collect();
    assert_eq!(days, ["2026-01-02", "2026-03-04"]);
}

#[test]
fn a_row_that_cannot_be_taken_names_every_problem_and_its_line() {
    let got = rows(
        "date,min_c,max_c,rain_mm,wind_from\n2026-02-30,1,2,0,N\n2026-01-05,9,3,lots,up\n2026-01-06,1,2,0,N\n2026-01-06,1,2,0,N\n2026-01-06,1,2,5,N\n2026-01-07,400,,,\n",
    );
    let lines: Vec<_> = got
        .iter()
        .map(|row| match row {
            DayRow::Understood { line, .. } => (*line, 0),
            DayRow::Problem { line, sentences } => {
                assert!(sentences.iter().all(|s| s.ends_with('.')), "{sentences:?}");
                (*line, sentences.len())
            }
        })
        .collect();
    assert_eq!(lines, [(2, 1), (3, 3), (4, 0), (6, 1), (7, 1)]);
}

#[test]
fn a_low_above_its_high_is_quoted_as_the_sheet_has_it() {
    let sentence = |text: &str| match &rows(text)[0] {
        DayRow::Problem { sentences, .. } => sentences.join(" "),
        row => panic!("{row:?}"),
    };
    assert_eq!(
        sentence("date,Min °F,Max °F\n2026-01-05,45,31\n"),
        "The low of 45 °F is above the high of 31 °F (7.2 °C and −0.6 °C). Exchange them, or correct one."
    );
    assert_eq!(
        sentence("date,min_c,max_c\n2026-01-05,9,-4\n"),
        "The low of 9.0 °C is above the high of −4.0 °C. Exchange them, or correct one."
    );
}

#[test]
fn a_cell_that_cannot_be_read_leaves_a_gap_and_the_rest_of_its_day_is_taken() {
    let sheet = sheet("date,min_c,Max °C,rain_mm\n2026-01-05,1,2,lots\n2026-01-06,cold,x,?\n");
    let got = read(&sheet, &guess(&sheet)).expect("a good mapping");
    let (taken, weather) = got.days().next().expect("one day");
    assert_eq!((taken, weather.max_c), (day("2026-01-05"), Some(2.0)));
    assert_eq!(weather.rain_mm, None);
    assert_eq!(got.unread.len(), 1);
    assert_eq!(
        (got.unread[0].line, got.unread[0].column.as_str()),
        (2, "rain_mm")
    );
    assert!(got.unread[0].sentence.contains("lots"), "{:?}", got.unread);
    assert_eq!(got.problems(), 1, "a day without any figure is refused");
}

#[test]
fn a_mapping_without_a_date_or_with_an_element_twice_is_refused() {
    let sheet = sheet("a,b,c\n1,2,3\nx,y,z\n");
    let mapping = |columns: Vec<Option<Column>>| Mapping {
        columns,
        day_order: None,
    };
    let min = Some(Column::Min(TemperatureUnit::Celsius));
    let fahrenheit = Some(Column::Min(TemperatureUnit::Fahrenheit));
    let problems = |columns| read(&sheet, &mapping(columns)).expect_err("refused").len();
    assert_eq!(problems(vec![None, None, None]), 2);
    assert_eq!(problems(vec![Some(Column::Date), min, fahrenheit]), 1);
    assert_eq!(problems(vec![Some(Column::Date), None, None]), 1);
    assert_eq!(problems(vec![min, None, None]), 1);
}

/// Rain read at 0900 is credited to the day before, the minimum to the day of reading, the
/// maximum to the day before (Met Office Observers' Handbook, from memory; reference 5.4).
#[test]
fn each_element_is_credited_to_the_date_on_which_its_period_began() {
    let printed = DailyWeather {
        min_c: Some(1.0),
        max_c: Some(8.0),
        rain_mm: Some(3.0),
        wind_ms: Some(2.0),
        ..DailyWeather::default()
    };
    let days = credit(
        [(day("2026-01-02"), &printed)],
        Shifts {
            min: 0,
            max: -1,
            rain: -1,
        },
    );
    assert_eq!(
        days[&day("2026-01-01")],
        DailyWeather {
            max_c: Some(8.0),
            rain_mm: Some(3.0),
            ..DailyWeather::default()
        }
    );
    assert_eq!(
        days[&day("2026-01-02")],
        DailyWeather {
            min_c: Some(1.0),
            wind_ms: Some(2.0),
            ..DailyWeather::default()
        }
    );
}

proptest! {
    #[test]
    fn an_exported_day_comes_back_to_the_hundredth_and_changes_nothing(
        low in -50.0..30.0_f64, span in 0.0..20.0_f64, rain in prop::option::of(0.0..90.0_f64), trace: bool,
        wind in prop::option::of(0.0..40.0_f64), from in prop::option::of(0.0..359.9_f64), pressure in prop::option::of(950.0..1050.0_f64),
        words in (0..4_usize, 0..4_usize, 0..5_usize),
    ) {
        let weather = DailyWeather {
            min_c: Some(low),
            max_c: Some(low + span),
            rain_mm: if trace { Some(0.0) } else { rain },
            rain_trace: trace,
            wind_ms: wind,
            wind_from: from.map(WindFrom::Degrees),
            pressure_hpa: pressure,
            cloud: Cloud::ALL.get(words.0).copied(),
            snow: Snow::ALL.get(words.1).copied(),
            ice: Ice::ALL.get(words.2).copied(),
        };
        let mut to = Writer::new(Vec::new(), &LAYOUT).expect("memory");
        to.row(layout_row(day("2026-01-05"), &weather)).expect("memory");
        let bytes = to.finish().expect("memory");
        let sheet = read_csv(&bytes, Heading::Present).map_err(TestCaseError::fail)?;
        let back = read(&sheet, &guess(&sheet)).map_err(|p| TestCaseError::fail(p.join(" ")))?;
        let hundredths = |value: f64| (value * 100.0).round() / 100.0;
        let written = DailyWeather {
            min_c: weather.min_c.map(hundredths),
            max_c: weather.max_c.map(hundredths),
            rain_mm: weather.rain_mm.map(hundredths),
            wind_ms: weather.wind_ms.map(hundredths),
            wind_from: from.map(hundredths).map(WindFrom::Degrees),
            pressure_hpa: weather.pressure_hpa.map(hundredths),
            ..weather
        };
        prop_assert_eq!(back.rows, [DayRow::Understood { line: 2, day: day("2026-01-05"), weather: written }]);
        let (file, before) = ([(day("2026-01-05"), written)], [(day("2026-01-05"), weather)]);
        let planned = plan(&file.into(), &before.into(), day("2026-02-01"));
        prop_assert_eq!(&planned[0].change, &Change::Same);
    }
}
