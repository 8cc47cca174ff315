//! What to expect, against figures worked independently, and what must hold whatever the data.

use peglore::statistics::expectation::{Expectation, Features, Fit, Layout, Row, fit};

mod edges;
mod foretold;
mod properties;
mod walking;

fn close(what: &str, got: f64, expected: f64) {
    // Printed to nine digits, so half a unit of the ninth is allowed besides.
    let tolerance = 1e-6 * expected.abs() + 1e-12;
    assert!(
        (got - expected).abs() <= tolerance,
        "{what}: got {got}, expected {expected}"
    );
}

fn all_close(what: &str, got: impl IntoIterator<Item = f64>, expected: &[f64]) {
    let got: Vec<f64> = got.into_iter().collect();
    assert_eq!(got.len(), expected.len(), "{what}");
    for (got, expected) in got.iter().zip(expected) {
        close(what, *got, *expected);
    }
}

/// Expectations of the rows from `first` on, by a fit of the rows before it.
fn foretell(rows: &[Row], layout: &Layout, first: usize, count: usize) -> (Fit, Vec<Expectation>) {
    let fitted = fit(&rows[..first], layout).expect("the fit settles");
    let mut outlook = fitted.outlook();
    let told = rows[first..first + count]
        .iter()
        .map(|row| {
            let told = outlook.expect(&row.ahead());
            outlook.learn(row);
            told
        })
        .collect();
    (fitted, told)
}

fn plain_row(day: i64, catch: f64, features: Features) -> Row {
    Row {
        day,
        doy: (day % 365) as i32 + 1,
        effort: 4.0,
        catch,
        features,
    }
}
