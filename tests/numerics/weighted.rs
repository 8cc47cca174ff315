//! Effective sizes, worked in Python with numpy from made-up weights, and from the kernel
//! weights of the eight days of a Seattle record (NOAA) nearest to 15 June 2014.

use peglore::numerics::weighted::effective_size;

#[test]
fn effective_sizes_are_as_worked_elsewhere() {
    let cases: [(&[f64], f64); 4] = [
        (&[1.0, 1.0, 1.0, 1.0], 4.0),
        (&[5.0, 1.0, 1.0], 1.81481481481),
        (&[0.1, 0.2, 0.3, 0.4], 3.33333333333),
        (
            &[
                0.767378889538,
                0.767378889538,
                0.767378889538,
                0.731913073926,
                0.620510551525,
                0.620510551525,
                0.620510551525,
                0.606530659713,
            ],
            7.91397735344,
        ),
    ];
    for (weights, expected) in cases {
        let got = effective_size(weights.iter().copied());
        assert!(
            (got - expected).abs() < 1e-9 * expected,
            "{weights:?}: {got}"
        );
    }
}

#[test]
fn no_weight_is_worth_nothing() {
    assert_eq!(effective_size([]), 0.0);
    assert_eq!(effective_size([0.0, 0.0]), 0.0);
}
