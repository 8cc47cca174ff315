//! The steps of an expectation as its page tells them, held against the figures of the code.

use peglore::statistics::series_study::STEPS;

/// Whoever changes a figure in the code finds here which words of the page go with it.
#[test]
fn the_page_tells_the_figures_that_the_code_reckons_with() {
    let told = STEPS
        .map(|(step, words)| format!("{step}: {words}"))
        .join("\n");
    for (code, figure, words) in [
        (
            include_str!("../../src/statistics/expectation/season.rs"),
            "PENALTY: [f64; SEASON_TERMS] = [0.0, 2.0, 2.0, 2.0, 2.0];",
            "penalty λ = 2, the level free of it",
        ),
        (
            include_str!("../../src/statistics/expectation/form.rs"),
            "FADING: [f64; 3] = [10.0, 30.0, 90.0];",
            "τ of 10, 30 or 90 days",
        ),
        (
            include_str!("../../src/statistics/expectation/form.rs"),
            "STRENGTHS: [f64; 5] = [0.0, 0.25, 0.5, 0.75, 1.0];",
            "strength of 0, ¼, ½, ¾ or 1",
        ),
        (
            include_str!("../../src/statistics/expectation/layout.rs"),
            "steps: [3.0, 0.7, 2.0, 1.0, 3.0, 3.0, 8.0, 8.0],",
            "mean temperature of three days 3 °C; its change over seven 0.7 °C a day; frost nights in seven 2; \
             ln(1 + mm of rain in three days) 1; westerly and southerly wind of three days 3 m/s; pressure \
             and its change over three days 8 hPa.",
        ),
        (
            include_str!("../../src/statistics/expectation/likeness.rs"),
            "REACH: f64 = 4.0;",
            "Each past day counts e^(−Δ/4).",
        ),
        (
            include_str!("../../src/statistics/expectation/likeness.rs"),
            "UNKNOWN: f64 = 2.0;",
            "missing on either day counts 2.",
        ),
        (
            include_str!("../../src/statistics/expectation/likeness.rs"),
            "BLOCK_DAYS: i64 = 14;",
            "by blocks of 14 days",
        ),
        (
            include_str!("../../src/statistics/expectation/likeness.rs"),
            "PRIOR_DAYS: f64 = 6.0;",
            "Multiplier: (n·A + 6)/(n + 6).",
        ),
        (
            include_str!("../../src/statistics/expectation/ridge.rs"),
            "PENALTIES: [f64; 7] = [10.0, 20.0, 40.0, 80.0, 160.0, 320.0, 10_000.0];",
            "Its penalty, 10 to 10,000,",
        ),
        (
            include_str!("../../src/statistics/expectation/ridge.rs"),
            "FOLDS: usize = 5;",
            "by five folds of the past",
        ),
        (
            include_str!("../../src/statistics/expectation/ridge.rs"),
            "MIDWINTER: i32 = 20;",
            "peaks on 20 January",
        ),
        (
            include_str!("../../src/statistics/expectation/weights.rs"),
            "PRICE: f64 = 4.0;",
            "plus 4 for each whole unit",
        ),
        (
            include_str!("../../src/statistics/expectation/walk_forward.rs"),
            "FIRST_LEARNT: usize = 26;",
            "from the 27th day on",
        ),
        (
            include_str!("../../src/statistics/expectation/walk_forward.rs"),
            "WINDOW_DAYS: i64 = 14;",
            "in fortnights",
        ),
        (
            include_str!("../../src/statistics/expectation/walk_forward.rs"),
            "MOST_WINDOWS: usize = 60;",
            "the latest sixty",
        ),
        (
            include_str!("../../src/statistics/expectation/band.rs"),
            "FEWEST_DAYS: usize = 20;",
            "twenty days at least",
        ),
    ] {
        assert!(code.contains(figure), "the code says another than {figure}");
        assert!(told.contains(words), "no “{words}” in {told}");
    }
}
