//! Impossible laws of chance are refused by name.

use super::*;

fn refused(law: Law) -> String {
    Spreading::from(law)
        .check()
        .expect_err("impossible")
        .to_string()
}

#[test]
fn every_impossible_parameter_is_named_with_what_would_be_right() {
    let nan = f64::NAN;
    for (law, needed) in [
        (
            Law::Uniform {
                low: 2.0,
                high: 2.0,
            },
            "low is 2 and high is 2; low must be below high",
        ),
        (
            Law::Uniform {
                low: nan,
                high: 2.0,
            },
            "low is NaN; it must be a finite number",
        ),
        (
            Law::Uniform {
                low: -1e308,
                high: 1e308,
            },
            "high less low is inf",
        ),
        (
            Law::Triangular {
                low: 0.0,
                likely: 3.0,
                high: 2.0,
            },
            "likely is 3; it must lie between",
        ),
        (
            Law::Normal { mean: 0.0, sd: 0.0 },
            "sd is 0; it must be over 0",
        ),
        (
            Law::Normal {
                mean: f64::INFINITY,
                sd: 1.0,
            },
            "mean is inf",
        ),
        (
            Law::LogNormal {
                median: 1.0,
                factor: 1.0,
            },
            "factor is 1; it is one geometric",
        ),
        (
            Law::LogNormal {
                median: 0.0,
                factor: 2.0,
            },
            "median is 0; it must be over 0",
        ),
        (
            Law::LogNormal {
                median: 1.0,
                factor: 1e300,
            },
            "the mean is inf",
        ),
        (
            Law::Gamma {
                mean: -1.0,
                sd: 1.0,
            },
            "mean is -1; it must be over 0",
        ),
        (
            Law::Gamma {
                mean: 1.0,
                sd: 100.0,
            },
            "sd is 100; it must be from 0.001 to 30",
        ),
        (
            Law::Beta {
                low: 0.0,
                high: 1.0,
                mean: 1.2,
                sd: 0.1,
            },
            "mean is 1.2; it must lie between",
        ),
        (
            Law::Beta {
                low: 0.0,
                high: 1.0,
                mean: 0.5,
                sd: 0.5,
            },
            "too large for the mean between its ends; it must be below 0.4951",
        ),
        (
            Law::Weibull {
                scale: 1.0,
                shape: -2.0,
            },
            "shape is -2; it must be over 0",
        ),
        (
            Law::Weibull {
                scale: 1.0,
                shape: 0.01,
            },
            "shape is 0.01; it must be from 0.05",
        ),
        (
            Law::Exponential { mean: 0.0 },
            "mean is 0; it must be over 0",
        ),
        (
            Law::Poisson { mean: 1e9 },
            "mean is 1000000000; it must be from 0 to 1000000",
        ),
        (Law::Choice(vec![]), "the list is empty"),
        (
            Law::Choice(vec![(1.0, -0.5), (2.0, 1.0)]),
            "the weight of 1 is -0.5",
        ),
        (
            Law::Choice(vec![(1.0, 0.0), (2.0, 0.0)]),
            "all weights are 0",
        ),
        (Law::Choice(vec![(nan, 1.0)]), "a value is NaN"),
    ] {
        let said = refused(law);
        assert!(said.contains(needed), "{said}");
    }
}

#[test]
fn limits_that_leave_nothing_are_refused() {
    let normal = Law::Normal { mean: 0.0, sd: 1.0 };
    let cut = |least, most| {
        Spreading {
            law: normal.clone(),
            least,
            most,
        }
        .check()
    };
    assert_eq!(cut(Some(-1.0), Some(4.0)), Ok(()));
    assert_eq!(
        cut(Some(2.0), Some(1.0)),
        Err(LawError::Limits {
            least: 2.0,
            most: 1.0
        })
    );
    assert!(matches!(
        cut(Some(8.0), None),
        Err(LawError::NothingLeft { .. })
    ));
    assert!(matches!(
        cut(Some(1.0), Some(1.0)),
        Err(LawError::NothingLeft { .. })
    ));
    assert!(matches!(
        cut(None, Some(f64::NAN)),
        Err(LawError::NotFinite { .. })
    ));
    let one = Spreading {
        law: Law::Choice(vec![(1.0, 1.0), (2.0, 1.0)]),
        least: Some(2.0),
        most: Some(2.0),
    };
    assert_eq!(one.check(), Ok(()));
}
