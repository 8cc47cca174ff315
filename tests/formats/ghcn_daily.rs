//! GHCN-Daily by its published description: the readme of GHCN-Daily and of its by-year files,
//! NOAA National Centers for Environmental Information. The lines are invented for their form.

use peglore::domain::weather::{DailyWeather, Snow, WindFrom};
use peglore::formats::ghcn_daily::{Ghcn, Station, read};
use proptest::prelude::*;

use crate::support::days::day;

fn ghcn(text: &str) -> Ghcn {
    read(text.as_bytes()).expect("in this form")
}

fn station(text: &str) -> Station {
    let all = ghcn(text);
    assert_eq!(all.problems, [], "no line is a problem");
    all.stations.into_values().next().expect("a station")
}

/// The readme: TMAX in tenths of a degree Celsius, so 366 is 36.6 °C.
#[test]
fn tenths_of_a_degree_become_degrees() {
    let read = station("UK000056225,20030810,TMAX,366,,,E,\n");
    let want = DailyWeather {
        max_c: Some(36.6),
        ..DailyWeather::default()
    };
    assert_eq!(read.days[&day("2003-08-10")], want);
}

#[test]
fn a_whole_day_is_put_together_in_the_units_of_the_record() {
    let read = station(
        "UK000000001,20260105,PRCP,32,,,E,0900\nUK000000001,20260105,TMIN,-35,,,E,\nUK000000001,20260105,TMAX,20,,,E,\n\
         UK000000001,20260105,AWND,45,,,E,\nUK000000001,20260105,AWDR,225,,,E,\nUK000000001,20260105,WDF2,90,,,E,\n\
         UK000000001,20260105,SNOW,0,,,E,\nUK000000001,20260105,SNWD,20,,,E,\nUK000000001,20260105,TSUN,90,,,E,\n",
    );
    let want = DailyWeather {
        min_c: Some(-3.5),
        max_c: Some(2.0),
        rain_mm: Some(3.2),
        wind_ms: Some(4.5),
        wind_from: Some(WindFrom::Degrees(225.0)),
        snow: Some(Snow::Lying),
        ..DailyWeather::default()
    };
    assert_eq!(read.days[&day("2026-01-05")], want);
    assert_eq!(read.day_ends.as_deref(), Some("0900"));
    assert_eq!(read.left_out["TSUN"], 1);
    assert_eq!(read.fastest_bearing, 0);
}

/// Q-FLAG: any letter failed a check. M-FLAG: T trace, P missing presumed zero. -9999: missing.
#[test]
fn flags_are_honoured() {
    let read = station(
        "X0000000001,20260101,PRCP,50,,G,E,\nX0000000001,20260102,PRCP,0,T,,E,\nX0000000001,20260103,PRCP,0,P,,E,\n\
         X0000000001,20260104,PRCP,-9999,,,,\nX0000000001,20260104,TMIN,10,,,E,\nX0000000001,20260105,PRCP,12,B,,E,\n",
    );
    let rain = |text: &str| read.days.get(&day(text)).map(|d| (d.rain_mm, d.rain_trace));
    assert_eq!(rain("2026-01-01"), None, "it failed a check");
    assert_eq!(rain("2026-01-02"), Some((Some(0.0), true)));
    assert_eq!(rain("2026-01-03"), Some((Some(0.0), false)));
    assert_eq!(rain("2026-01-04"), Some((None, false)));
    assert_eq!(rain("2026-01-05"), Some((Some(1.2), false)));
    assert_eq!(read.failed[&'G'], 1);
    assert_eq!(read.presumed, 1);
}

#[test]
fn totals_over_several_days_are_refused_by_name() {
    let read = station(
        "X0000000001,20260105,DAPR,3,,,E,\nX0000000001,20260105,MDPR,125,,,E,\nX0000000001,20260105,TMAX,50,,,E,\n",
    );
    assert_eq!(read.days[&day("2026-01-05")].rain_mm, None);
    assert_eq!(read.refused.len(), 2);
    assert!(
        read.refused[0].contains("3 days (DAPR)"),
        "{}",
        read.refused[0]
    );
    assert!(
        read.refused[1].contains("12.5 mm of rain over several days (MDPR)"),
        "{}",
        read.refused[1]
    );
}

/// The readme's elements over several days: DAxx and DWPR count the days, MDxx hold the totals.
#[test]
fn no_element_over_several_days_is_given_to_one() {
    for element in [
        "DAEV", "DAPR", "DASF", "DATN", "DATX", "DAWM", "DWPR", "MDEV", "MDPR", "MDSF", "MDTN",
        "MDTX", "MDWM",
    ] {
        let read = station(&format!("X0000000001,20260105,{element},3,,,E,\n"));
        assert!(read.days.is_empty(), "{element}");
        assert!(read.left_out.is_empty(), "{element}");
        assert_eq!(read.refused.len(), 1, "{element}");
        assert!(read.refused[0].contains(element), "{:?}", read.refused);
    }
}

#[test]
fn without_a_mean_bearing_the_fastest_winds_stands_and_is_counted() {
    let read = station("X0000000001,20260105,AWND,30,,,E,\nX0000000001,20260105,WDF5,360,,,E,\n");
    assert_eq!(
        read.days[&day("2026-01-05")].wind_from,
        Some(WindFrom::Degrees(0.0))
    );
    assert_eq!(read.fastest_bearing, 1);
}

#[test]
fn stations_of_one_file_are_kept_apart() {
    let all = ghcn(
        "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\nAAA,20260105,TMAX,50,,,E,\nBBB,20260105,TMAX,70,,,E,\n",
    );
    assert_eq!(all.stations.len(), 2);
    assert_eq!(
        all.stations["BBB"].days[&day("2026-01-05")].max_c,
        Some(7.0)
    );
}

#[test]
fn a_line_that_cannot_be_read_is_named_and_the_others_are_taken() {
    let all = ghcn(
        "X,20260105,TMAX,50,,,E,\nX,20260230,TMAX,50,,,E,\nX,20260106,TMAX,warm,,,E,\nX,20260106\nX,20260107,TMAX,9000,,,E,\n\
         X,20260105,TMAX,50,,,E,\nX,20260105,TMAX,51,,,E,\nX,20260108,TMIN,90,,,E,\nX,20260108,TMAX,50,,,E,\nX,20260108,PRCP,-1,,,E,\n;DROP,20260108,PRCP,1,,,E,\n",
    );
    let lines: Vec<_> = all.problems.iter().map(|(line, _)| *line).collect();
    assert_eq!(lines, [2, 3, 4, 5, 7, 10, 11, 8]);
    assert!(
        all.problems
            .iter()
            .all(|(_, sentence)| sentence.ends_with('.')),
        "{:?}",
        all.problems
    );
    assert_eq!(all.problem_count, 8);
    assert_eq!(all.stations["X"].days.len(), 1);
    assert_eq!(all.stations["X"].days[&day("2026-01-05")].max_c, Some(5.0));
}

#[test]
fn other_forms_and_other_files_are_refused_with_advice() {
    for (text, says) in [
        (
            "\"STATION\",\"DATE\",\"LATITUDE\",\"PRCP\",\"PRCP_ATTRIBUTES\"\n\"X\",\"2026-01-05\",\"51\",\"3\",\",,E\"\n",
            "wide form",
        ),
        (
            &format!("UK000056225200308TMAX{}\n", "  366  E".repeat(31)),
            "fixed-width",
        ),
        ("date,min_c\n2026-01-05,3\n", "No line could be read"),
        ("", "empty"),
        ("\u{89}PNG", "not text"),
    ] {
        let refused = read(text.as_bytes()).expect_err(says);
        assert!(refused.contains(says), "{refused}");
    }
    assert!(read(b"PK\x03\x04").is_err());
}

proptest! {
    #[test]
    fn any_lines_are_read_or_refused_without_a_fault(text in "([A-Z0-9,.\n-]{0,40}\n){0,8}") {
        if let Ok(all) = read(text.as_bytes()) {
            prop_assert!(all.problem_count >= all.problems.len());
        }
    }
}
