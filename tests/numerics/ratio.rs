//! The ratio estimator on real catches: Polovina (1985) by way of FSAdata `Pathfinder`. Standard
//! errors checked against statsmodels 0.15 (HC2), degrees by Bell & McCaffrey (2002).

use peglore::numerics::ratio::{Cluster, ratio_of_totals};
use proptest::prelude::*;

use crate::tables::{close, number, rows};

fn days(species: &str) -> Vec<Cluster> {
    rows("pathfinder.csv")
        .iter()
        .map(|row| Cluster {
            total: number(row, species).expect("a catch"),
            exposure: number(row, "effort").expect("an effort"),
        })
        .collect()
}

#[test]
fn thirteen_days_and_the_first_six_agree_with_the_reference() {
    let table: [(usize, &str, [f64; 5]); 6] = [
        (
            13,
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
            13,
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
            13,
            "Ecarbunculus",
            [
                1.005443484,
                0.104687987,
                11.66895125,
                0.7766281804,
                1.234258787,
            ],
        ),
        (
            6,
            "Pzonatus",
            [
                3.10738255,
                0.3728684659,
                4.819933828,
                2.138022667,
                4.076742434,
            ],
        ),
        (
            6,
            "Pauricilla",
            [
                0.6711409396,
                0.08801702872,
                4.819933828,
                0.4423198284,
                0.8999620508,
            ],
        ),
        (
            6,
            "Ecarbunculus",
            [
                1.167785235,
                0.1901856386,
                4.819933828,
                0.6733526259,
                1.662217844,
            ],
        ),
    ];
    for (first, species, want) in table {
        let estimate = ratio_of_totals(&days(species)[..first]).expect("an estimate");
        let (lower, upper) = estimate.limits(0.95);
        let got = [
            estimate.ratio,
            estimate.standard_error,
            estimate.degrees,
            lower,
            upper,
        ];
        for (got, want) in got.into_iter().zip(want) {
            close(got, want, 1e-9);
        }
    }
}

/// `(I − H_gg)^(−½)` of a 2 × 2 block by the closed form of the square root of a matrix.
fn inverse_root(block: [[f64; 2]; 2]) -> [[f64; 2]; 2] {
    let [[a, b], [c, d]] = block;
    let det = a * d - b * c;
    let inverse = [[d / det, -b / det], [-c / det, a / det]];
    let root_det = (1.0 / det).sqrt();
    let scale = (inverse[0][0] + inverse[1][1] + 2.0 * root_det).sqrt();
    [
        [(inverse[0][0] + root_det) / scale, inverse[0][1] / scale],
        [inverse[1][0] / scale, (inverse[1][1] + root_det) / scale],
    ]
}

#[test]
fn several_rows_a_day_give_what_their_totals_give() {
    // Six clusters of two rows (count, exposure), through the general CR2 with matrices.
    let clusters: [[(f64, f64); 2]; 6] = [
        [(4.0, 2.0), (9.0, 5.0)],
        [(0.0, 3.0), (2.0, 1.5)],
        [(7.0, 4.0), (1.0, 4.0)],
        [(3.0, 2.5), (8.0, 5.0)],
        [(5.0, 5.0), (5.0, 2.0)],
        [(2.0, 1.0), (0.0, 4.5)],
    ];
    let exposure: f64 = clusters.iter().flatten().map(|(_, h)| h).sum();
    let ratio = clusters.iter().flatten().map(|(c, _)| c).sum::<f64>() / exposure;
    // Weights per row, p_g = (I − H)[:, g] A_g X_g / H, laid out over all twelve rows.
    let mut variance = 0.0;
    let mut p = Vec::new();
    for (place, rows) in clusters.iter().enumerate() {
        let x = rows.map(|(_, h)| h.sqrt());
        let e = rows.map(|(c, h)| c / h.sqrt() - ratio * h.sqrt());
        let a = inverse_root([
            [1.0 - x[0] * x[0] / exposure, -x[0] * x[1] / exposure],
            [-x[1] * x[0] / exposure, 1.0 - x[1] * x[1] / exposure],
        ]);
        let ax = [
            a[0][0] * x[0] + a[0][1] * x[1],
            a[1][0] * x[0] + a[1][1] * x[1],
        ];
        variance += ((ax[0] * e[0] + ax[1] * e[1]) / exposure).powi(2);
        let mut column = vec![0.0; 12];
        for (row, (_, h)) in clusters.iter().flatten().enumerate() {
            let fitted = h.sqrt() * (x[0] * ax[0] + x[1] * ax[1]) / exposure;
            let own = if row / 2 == place { ax[row % 2] } else { 0.0 };
            column[row] = (own - fitted) / exposure;
        }
        p.push(column);
    }
    let dot = |g: usize, k: usize| p[g].iter().zip(&p[k]).map(|(a, b)| a * b).sum::<f64>();
    let trace: f64 = (0..6).map(|g| dot(g, g)).sum();
    let squares: f64 = (0..36).map(|gk| dot(gk / 6, gk % 6).powi(2)).sum();

    let totals = clusters.map(|rows| Cluster {
        total: rows[0].0 + rows[1].0,
        exposure: rows[0].1 + rows[1].1,
    });
    let estimate = ratio_of_totals(&totals).expect("an estimate");
    close(estimate.standard_error, variance.sqrt(), 1e-12);
    close(estimate.degrees, trace * trace / squares, 1e-12);
}

proptest! {
    #[test]
    fn doubling_catch_and_effort_leaves_the_rate_alone(
        rows in prop::collection::vec((0.0..50.0_f64, 0.5..40.0_f64), 2..20),
    ) {
        let clusters = |times: f64| rows.iter()
            .map(|(total, exposure)| Cluster { total: total * times, exposure: exposure * times })
            .collect::<Vec<_>>();
        let one = ratio_of_totals(&clusters(1.0)).expect("an estimate");
        let two = ratio_of_totals(&clusters(2.0)).expect("an estimate");
        prop_assert!((one.ratio - two.ratio).abs() < 1e-9);
        prop_assert!((one.standard_error - two.standard_error).abs() < 1e-9);
        prop_assert!((one.degrees - two.degrees).abs() < 1e-9);
        prop_assert!(one.degrees <= rows.len() as f64 - 1.0 + 1e-9);
    }
}
