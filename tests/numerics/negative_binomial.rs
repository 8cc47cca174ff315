//! Penalised counts against other programs' fits of real data.

use std::{collections::HashMap, path::Path};

use peglore::numerics::negative_binomial::{LogLinear, Start, Workspace, deviance};

/// A size so large that the law is the Poisson to ten digits.
const POISSON: f64 = 1e14;

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

fn number(record: &Record, column: &str) -> f64 {
    record[column].parse().expect("a number")
}

fn close(what: &str, got: f64, expected: f64, relative: f64) {
    let within = (got - expected).abs() <= relative * expected.abs();
    assert!(within, "{what}: got {got}, expected {expected}");
}

#[test]
fn absences_are_fitted_as_by_another_program_at_the_same_size() {
    // Quine's absences, Days ~ Eth + Sex + Age + Lrn: glm.nb of R's MASS 7.3-58.2
    // (Venables & Ripley, MASS 4th ed., section 7.4).
    let rows = read("quine.csv");
    let y: Vec<f64> = rows.iter().map(|row| number(row, "Days")).collect();
    let is = |row: &Record, column: &str, level: &str| f64::from(u8::from(row[column] == level));
    let x: Vec<f64> = rows
        .iter()
        .flat_map(|row| {
            [
                1.0,
                is(row, "Eth", "N"),
                is(row, "Sex", "M"),
                is(row, "Age", "F1"),
                is(row, "Age", "F2"),
                is(row, "Age", "F3"),
                is(row, "Lrn", "SL"),
            ]
        })
        .collect();
    let theta = 1.27489264505;
    let offset = vec![0.0; y.len()];
    let problem = LogLinear {
        x: &x,
        offset: &offset,
        y: &y,
        theta,
        penalty: &[0.0; 7],
    };
    let mut beta = [0.0; 7];
    problem
        .fit(0..0, Start::Afar, &mut beta, &mut Workspace::default())
        .expect("the fit settles");

    let expected = [
        2.89457999025,
        -0.569371697358,
        0.0823202841459,
        -0.448428149878,
        0.0880801521141,
        0.35690097143,
        0.292109157034,
    ];
    for (got, expected) in beta.iter().zip(expected) {
        close("coefficient", *got, expected, 1e-6);
    }
    let total: f64 = (0..y.len())
        .map(|i| {
            let eta: f64 = x[7 * i..7 * i + 7]
                .iter()
                .zip(&beta)
                .map(|(x, b)| x * b)
                .sum();
            deviance(y[i], eta.exp(), theta)
        })
        .sum();
    close("deviance", total, 167.951800821, 1e-6);
}

/// Held-out deviances of the model and of the mean rate, leaving out the rows of each group.
fn held_out<const P: usize>(x: &[f64], effort: &[f64], y: &[f64], groups: &[String]) -> (f64, f64) {
    let mut order: Vec<usize> = (0..y.len()).collect();
    order.sort_by_key(|&i| groups[i].clone());
    let x: Vec<f64> = order
        .iter()
        .flat_map(|&i| x[P * i..P * i + P].to_vec())
        .collect();
    let y: Vec<f64> = order.iter().map(|&i| y[i]).collect();
    let effort: Vec<f64> = order.iter().map(|&i| effort[i]).collect();
    let groups: Vec<&str> = order.iter().map(|&i| groups[i].as_str()).collect();
    let offset: Vec<f64> = effort.iter().map(|h| h.ln()).collect();
    let problem = LogLinear {
        x: &x,
        offset: &offset,
        y: &y,
        theta: POISSON,
        penalty: &[0.0; P],
    };
    let (mut model, mut mean) = (0.0, 0.0);
    for group in groups.chunk_by(|a, b| a == b) {
        let start = groups
            .iter()
            .position(|g| *g == group[0])
            .expect("it is one of them");
        let fold = start..start + group.len();
        let kept = |v: &[f64]| v.iter().sum::<f64>() - v[fold.clone()].iter().sum::<f64>();
        let rate = kept(&y) / kept(&effort);
        let mut beta = [0.0; P];
        beta[0] = rate.ln();
        problem
            .fit(
                fold.clone(),
                Start::Afar,
                &mut beta,
                &mut Workspace::default(),
            )
            .expect("it settles");
        for i in fold.clone() {
            let eta: f64 = x[P * i..P * i + P]
                .iter()
                .zip(&beta)
                .map(|(x, b)| x * b)
                .sum();
            model += deviance(y[i], effort[i] * eta.exp(), POISSON);
            mean += deviance(y[i], effort[i] * rate, POISSON);
        }
    }
    (model, mean)
}

#[test]
fn held_out_deviance_and_skill_of_trawls_are_as_worked_elsewhere() {
    // Deep-sea trawls (Bailey et al. 2008), Poisson meandepth + period with swept area as
    // effort; worked in Python with statsmodels.
    let rows = read("fishing.csv");
    let y: Vec<f64> = rows.iter().map(|row| number(row, "totabund")).collect();
    let effort: Vec<f64> = rows.iter().map(|row| number(row, "sweptarea")).collect();
    let late = |row: &Record| f64::from(u8::from(row["period"] == "2000-2002"));
    let depth = |row: &Record| number(row, "meandepth") / 1000.0;
    let each: Vec<String> = (0..rows.len()).map(|i| format!("{i:04}")).collect();
    let years: Vec<String> = rows.iter().map(|row| row["year"].clone()).collect();

    let x: Vec<f64> = rows
        .iter()
        .flat_map(|row| [1.0, depth(row), late(row)])
        .collect();
    let (model, mean) = held_out::<3>(&x, &effort, &y, &each);
    close("model", model, 15959.0254586, 1e-6);
    close("mean rate", mean, 46912.0608991, 1e-6);
    close("skill", 1.0 - model / mean, 0.659809755686, 1e-6);

    let x: Vec<f64> = rows.iter().flat_map(|row| [1.0, depth(row)]).collect();
    let (model, mean) = held_out::<2>(&x, &effort, &y, &years);
    close("model", model, 18977.8554948, 1e-6);
    close("mean rate", mean, 47709.3132198, 1e-6);
    close("skill", 1.0 - model / mean, 0.602219059257, 1e-6);
}

#[test]
fn held_out_deviance_and_skill_of_the_light_trap_are_as_worked_elsewhere() {
    let rows = read("trichometeo.csv");
    let y: Vec<f64> = rows.iter().map(|row| number(row, "total")).collect();
    let effort = vec![1.0; y.len()];
    let x: Vec<f64> = rows
        .iter()
        .flat_map(|row| {
            [
                1.0,
                number(row, "T.soir"),
                number(row, "Precip.Tot"),
                number(row, "Vent"),
            ]
        })
        .collect();
    let blocks: Vec<String> = rows.iter().map(|row| row["block"].clone()).collect();
    let nights: Vec<String> = (0..rows.len()).map(|i| format!("{i:04}")).collect();

    let (model, mean) = held_out::<4>(&x, &effort, &y, &blocks);
    close("model", model, 9499.60203411, 1e-6);
    close("mean rate", mean, 27474.1302265, 1e-6);
    close("skill", 1.0 - model / mean, 0.654234657993, 1e-6);

    let (model, mean) = held_out::<4>(&x, &effort, &y, &nights);
    close("model", model, 8321.61178055, 1e-6);
    close("mean rate", mean, 26874.455688, 1e-6);
    close("skill", 1.0 - model / mean, 0.690352359983, 1e-6);
}

#[test]
fn a_stiffer_penalty_never_lengthens_the_coefficients() {
    let x = [1.0, 0.5, -1.0, 2.0, 0.3, -0.7, 1.5, -2.0];
    let y = [3.0, 0.0, 7.0, 1.0];
    let mut before = f64::INFINITY;
    for penalty in [0.1, 1.0, 10.0, 1000.0] {
        let penalty = [penalty; 2];
        let mut beta = [0.0; 2];
        LogLinear {
            x: &x,
            offset: &[1.0; 4],
            y: &y,
            theta: 2.0,
            penalty: &penalty,
        }
        .fit(0..0, Start::Afar, &mut beta, &mut Workspace::default())
        .expect("the fit settles");
        let length = beta.iter().map(|b| b * b).sum::<f64>();
        assert!(length < before);
        before = length;
    }
}
