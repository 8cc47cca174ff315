//! Two real records that check what to expect to the last digit: light-trap catches
//! (`tests/data/trichometeo.csv`) and ozone (`tests/data/airquality.csv`). Sources are in
//! `tests/data/SOURCES.md`. The expected figures beside them were worked by an independent
//! script in Python with numpy.

use std::{collections::HashMap, path::Path};

use peglore::statistics::expectation::{Family, Features, Layout, Row};

const FAMILIES: [Family; 8] = [
    Family::Temperature,
    Family::Temperature,
    Family::Frost,
    Family::Rain,
    Family::Wind,
    Family::Wind,
    Family::Pressure,
    Family::Pressure,
];
const SQUARED: [bool; 8] = [true, true, false, true, true, false, false, false];

type Record = HashMap<String, String>;

fn read(file: &str) -> Vec<Record> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(file);
    let mut reader = csv::Reader::from_path(path).expect("the file is kept beside the tests");
    reader
        .deserialize()
        .map(|row| row.expect("a readable row"))
        .collect()
}

fn number(record: &Record, column: &str) -> Option<f64> {
    record[column].parse().ok()
}

fn known(record: &Record, column: &str) -> f64 {
    number(record, column).unwrap_or_else(|| panic!("{column} is never missing"))
}

/// Real catches against real weather: no dates in the file, so night `i` of block `b` is day
/// `150 + i + 5(b − 1)`; effort is one a night.
pub fn light_trap() -> (Vec<Row>, Layout) {
    let rows = read("trichometeo.csv")
        .iter()
        .map(|record| {
            let day = 150.0 + known(record, "night") + 5.0 * (known(record, "block") - 1.0);
            Row {
                day: day as i64,
                doy: day as i32,
                effort: 1.0,
                catch: known(record, "total"),
                features: [
                    number(record, "T.soir"),
                    number(record, "T.min"),
                    number(record, "Nebu.Nuit"),
                    number(record, "Precip.Tot").map(f64::ln_1p),
                    number(record, "Vent"),
                    number(record, "Humidite"),
                    number(record, "Pression"),
                    number(record, "Var.Pression"),
                ],
            }
        })
        .collect();
    let steps = [3.0, 3.0, 25.0, 1.0, 1.5, 10.0, 4.0, 4.0];
    (
        rows,
        Layout {
            steps,
            families: FAMILIES,
            squared: SQUARED,
        },
    )
}

/// Real numbers made to meet every branch: effort, blanks, gaps and form. Day 121 is 1 May;
/// effort 2 on even days of the month, else 1; catch effort × ozone, 0 where ozone is under 10.
pub fn ozone() -> (Vec<Row>, Layout) {
    let all = read("airquality.csv");
    let back = |i: usize, days: usize, column: &str| {
        i.checked_sub(days).and_then(|i| number(&all[i], column))
    };
    let rows = (0..all.len())
        .filter_map(|i| {
            let ozone = number(&all[i], "Ozone")?;
            let effort = if known(&all[i], "Day") % 2.0 == 0.0 {
                2.0
            } else {
                1.0
            };
            let features: Features = [
                back(i, 0, "Temp"),
                back(i, 0, "Temp")
                    .zip(back(i, 1, "Temp"))
                    .map(|(now, then)| now - then),
                back(i, 0, "Solar.R"),
                back(i, 0, "Wind"),
                back(i, 1, "Wind"),
                back(i, 2, "Wind"),
                back(i, 2, "Temp"),
                back(i, 1, "Solar.R"),
            ];
            Some(Row {
                day: 121 + i as i64,
                doy: 121 + i as i32,
                effort,
                catch: if ozone < 10.0 { 0.0 } else { effort * ozone },
                features,
            })
        })
        .collect();
    let steps = [8.0, 5.0, 90.0, 3.0, 3.0, 3.0, 8.0, 90.0];
    (
        rows,
        Layout {
            steps,
            families: FAMILIES,
            squared: SQUARED,
        },
    )
}
