//! Either kind of weather file: told apart by its first lines, read as an officer says.
//! GHCN-Daily by its published description (readme of the by-year files, National Centers for
//! Environmental Information); the lines are invented.

use peglore::domain::imports::ImportKind;
use peglore::domain::weather::{DailyWeather, WindFrom};
use peglore::formats::csv::Writer;
use peglore::formats::weather_csv::{Column, EXPORT, SourceCells, WHAT_STANDS, export_row};
use peglore::formats::weather_file::{HowToRead, guess, kind, read};

use crate::support::days::day;

const STATION: &str = "XX000012345,20260226,TMAX,61,,,E,0900\n\
XX000012345,20260226,TMIN,-15,,,E,0900\n\
XX000012345,20260226,PRCP,0,T,,E,0900\n\
XX000012345,20260227,PRCP,86,,X,E,0900\n\
XX000012345,20260228,MDPR,140,,,E,0900\n\
XX000012345,20260228,TMAX,70,,,E,\n";

#[test]
fn the_file_itself_says_which_kind_it_is() {
    assert_eq!(kind(STATION.as_bytes()), ImportKind::GhcnDaily);
    for other in [
        "date,min_c,max_c\n2026-02-26,1,2\n",
        "",
        "\u{0}\u{1}\u{2}",
        "a,b,c,d,e,f,g,h\n",
        "PK\u{3}\u{4}",
    ] {
        assert_eq!(kind(other.as_bytes()), ImportKind::Weather, "{other:?}");
    }
}

#[test]
fn a_station_file_keeps_its_units_its_flags_and_its_refusals() {
    let how = guess(STATION.as_bytes(), ImportKind::GhcnDaily).expect("readable");
    assert_eq!(how.only.as_deref(), Some("XX000012345"));

    let file = read(STATION.as_bytes(), ImportKind::GhcnDaily, &how).expect("readable");

    let first = file.days[&day("2026-02-26")];
    assert_eq!((first.min_c, first.max_c), (Some(-1.5), Some(6.1)));
    assert_eq!((first.rain_mm, first.rain_trace), (Some(0.0), true));
    assert!(
        !file.days.contains_key(&day("2026-02-27")),
        "it failed a check"
    );
    assert_eq!(file.day_ends.as_deref(), Some("09:00"));
    assert_eq!(file.refused_count, 1);
    assert!(
        file.refused[0].1.contains("over several days"),
        "{:?}",
        file.refused
    );
    assert!(
        file.notes
            .iter()
            .any(|note| note.contains("failed bounds check (X), one value")),
        "{:?}",
        file.notes
    );
    assert!(
        file.notes.iter().any(|note| note.contains("09:00")),
        "{:?}",
        file.notes
    );
}

#[test]
fn an_hour_that_no_day_has_is_not_taken_for_the_end_of_one() {
    for (stated, wanted) in [
        ("0700", Some("07:00")),
        ("2400", Some("24:00")),
        ("9999", None),
        ("9 am", None),
        ("", None),
    ] {
        let text = format!("XX000012345,20260226,PRCP,5,,,E,{stated}\n");
        let how = guess(text.as_bytes(), ImportKind::GhcnDaily).expect("readable");
        let file = read(text.as_bytes(), ImportKind::GhcnDaily, &how).expect("readable");
        assert_eq!(file.day_ends.as_deref(), wanted, "{stated:?}");
    }
}

#[test]
fn two_stations_in_one_file_are_a_question() {
    let text = format!("{STATION}YY000054321,20260226,TMAX,50,,,E,\n");
    let mut how = guess(text.as_bytes(), ImportKind::GhcnDaily).expect("readable");
    let asked = read(text.as_bytes(), ImportKind::GhcnDaily, &how).expect("readable");
    assert_eq!(asked.within.len(), 2);
    assert!(asked.days.is_empty() && asked.problems[0].contains("several stations"));

    how.only = Some("YY000054321".to_owned());
    let read = read(text.as_bytes(), ImportKind::GhcnDaily, &how).expect("readable");
    assert_eq!(read.days.len(), 1);
}

#[test]
fn what_is_taken_away_reads_back_to_the_hundredth_source_by_source() {
    let said = DailyWeather {
        min_c: Some(-3.5),
        max_c: Some(100.0 / 3.0),
        rain_mm: Some(0.0),
        rain_trace: true,
        wind_ms: Some(4.4704),
        wind_from: Some(WindFrom::Degrees(225.0)),
        pressure_hpa: Some(1013.2),
        ..DailyWeather::default()
    };
    let mut out = Writer::new(Vec::new(), &EXPORT).expect("a heading");
    let stands = SourceCells::named(WHAT_STANDS);
    out.row(export_row(
        day("2026-02-28"),
        &DailyWeather::default(),
        &stands,
    ))
    .expect("a row");
    let harl_top = SourceCells {
        name: "=Harl Top".to_owned(),
        day_ends_at: "09:00".to_owned(),
        credits: ["0", "0", "-1"].map(str::to_owned),
    };
    out.row(export_row(day("2026-02-28"), &said, &harl_top))
        .expect("a row");
    let bytes = out.finish().expect("written");
    assert!(
        String::from_utf8_lossy(&bytes).contains("'=Harl Top"),
        "no cell is a formula"
    );

    let mut how = guess(&bytes, ImportKind::Weather).expect("readable");
    assert!(how.credited, "our own dates are credited already");
    assert_eq!(how.columns[10], Some(Column::Source));
    assert!(
        how.columns[11..].iter().all(Option::is_none),
        "{:?}",
        how.columns
    );
    let asked = read(&bytes, ImportKind::Weather, &how).expect("readable");
    assert!(
        asked.problems[0].contains("several sources"),
        "{:?}",
        asked.problems
    );
    how.only = Some("=Harl Top".to_owned());
    let file = read(&bytes, ImportKind::Weather, &how).expect("readable");
    let to_the_hundredth = DailyWeather {
        max_c: Some(33.33),
        wind_ms: Some(4.47),
        ..said
    };
    assert_eq!(file.days.get(&day("2026-02-28")), Some(&to_the_hundredth));
}

#[test]
fn dates_that_could_be_two_days_are_asked_once_and_not_guessed() {
    let text = "Day,Rain mm\n01/02/2026,1\n03/02/2026,2\n";
    let how = guess(text.as_bytes(), ImportKind::Weather).expect("readable");
    let asked = read(text.as_bytes(), ImportKind::Weather, &how).expect("readable");
    assert!(asked.days.is_empty() && asked.asks.is_some(), "{asked:?}");

    let said = HowToRead {
        day_order: peglore::formats::days::DayOrder::from_slug("day-first"),
        ..how
    };
    let file = read(text.as_bytes(), ImportKind::Weather, &said).expect("readable");
    assert_eq!(
        file.days.keys().copied().collect::<Vec<_>>(),
        [day("2026-02-01"), day("2026-02-03")]
    );
}
