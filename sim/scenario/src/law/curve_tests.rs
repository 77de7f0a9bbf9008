//! The curves of the laws of chance: each undoes its inverse, means agree with closed forms, nothing is endless.

use super::curve::gauss;
use super::*;

fn laws() -> Vec<Law> {
    vec![
        Law::Uniform {
            low: -2.0,
            high: 3.0,
        },
        Law::Triangular {
            low: 0.8,
            likely: 0.88,
            high: 0.95,
        },
        Law::Triangular {
            low: 1.0,
            likely: 1.0,
            high: 2.0,
        },
        Law::Triangular {
            low: 1.0,
            likely: 2.0,
            high: 2.0,
        },
        Law::Normal {
            mean: 40.0,
            sd: 6.0,
        },
        Law::LogNormal {
            median: 5.0,
            factor: 1.8,
        },
        Law::Gamma { mean: 3.0, sd: 2.0 },
        Law::Gamma { mean: 1.0, sd: 3.0 },
        Law::Beta {
            low: 0.5,
            high: 1.0,
            mean: 0.85,
            sd: 0.05,
        },
        Law::Weibull {
            scale: 2.0,
            shape: 1.6,
        },
        Law::Exponential { mean: 12.0 },
    ]
}

#[test]
fn inverse_and_distribution_undo_each_other() {
    for law in laws() {
        let whole = Spreading::from(law.clone());
        let (least, most) = (whole.at(0.2), whole.at(0.7));
        let cut = Spreading {
            law,
            least: Some(least),
            most: Some(most),
        };
        for s in [whole, cut] {
            assert_eq!(s.check(), Ok(()), "{s}");
            for u in [1e-6, 0.01, 0.3, 0.5, 0.77, 0.99, 0.999_999] {
                let back = s.cdf(s.at(u));
                assert!((back - u).abs() < 1e-9, "{s}: {u} comes back as {back}");
            }
        }
    }
}

#[test]
fn the_grid_s_mean_is_that_of_the_closed_form() {
    for law in laws() {
        let whole = Spreading::from(law.clone());
        let far = Spreading {
            law,
            least: Some(-1e9),
            most: None,
        };
        let spread = whole.at(0.84) - whole.at(0.16);
        let error = (whole.mean() - far.mean()) / spread;
        assert!(error.abs() < 1e-5, "{whole}: {error}");
    }
}

/// Mean of a normal law cut at a and b, in standard deviations: (pdf(a) - pdf(b))/(F(b) - F(a))
/// (Johnson, Kotz and Balakrishnan, volume 1, 13.10.1; recalled).
#[test]
fn a_normal_law_cut_at_both_ends_has_the_mean_of_the_textbook() {
    let density = |z: f64| libm::exp(-z * z / 2.0) / (2.0 * std::f64::consts::PI).sqrt();
    let cut = Spreading {
        law: Law::Normal {
            mean: 10.0,
            sd: 2.0,
        },
        least: Some(9.0),
        most: Some(15.0),
    };
    let expected = 10.0 + 2.0 * (density(-0.5) - density(2.5)) / (gauss(2.5) - gauss(-0.5));
    assert!(
        (cut.mean() - expected).abs() < 1e-6,
        "{} {expected}",
        cut.mean()
    );
}

#[test]
fn counts_and_lists_stay_whole_within_their_limits() {
    let counts = Spreading {
        law: Law::Poisson { mean: 2.0 },
        least: Some(0.5),
        most: Some(4.5),
    };
    assert_eq!((counts.at(0.0), counts.at(1.0)), (1.0, 4.0));
    // 2 + 2 2/2 + 3 4/3 + 4 2/3 over 2 + 2 + 4/3 + 2/3, from the weights mean^k / k!.
    assert!((counts.mean() - (2.0 + 4.0 + 4.0 + 8.0 / 3.0) / 6.0).abs() < 1e-3);
    let list = Law::Choice(vec![(3.0, 1.0), (1.0, 2.0), (2.0, 1.0)]);
    let free = Spreading::from(list.clone());
    assert_eq!(
        [0.49, 0.51, 0.74, 0.76].map(|u| free.at(u)),
        [1.0, 2.0, 2.0, 3.0]
    );
    assert_eq!((free.mean(), free.cdf(2.0)), (1.75, 0.75));
    let cut = Spreading {
        law: list,
        least: Some(1.5),
        most: None,
    };
    assert_eq!(
        (cut.at(1e-9), cut.at(0.51), cut.mean(), cut.cdf(2.0)),
        (2.0, 3.0, 2.5, 0.5)
    );
}

#[test]
fn no_draw_is_endless_and_impossible_laws_do_not_fail() {
    for law in laws()
        .into_iter()
        .chain([Law::Poisson { mean: 1e6 }, Law::Poisson { mean: 1e-9 }])
    {
        let s = Spreading::from(law);
        assert!(
            s.at(0.0).is_finite() && s.at(1.0).is_finite() && s.at(f64::NAN).is_finite(),
            "{s}"
        );
    }
    for law in [
        Law::Gamma {
            mean: f64::NAN,
            sd: 0.0,
        },
        Law::Beta {
            low: 0.0,
            high: 1.0,
            mean: 0.5,
            sd: 9.0,
        },
        Law::Poisson { mean: -1.0 },
        Law::Choice(vec![]),
    ] {
        assert!(Spreading::from(law).at(0.5).is_nan());
    }
}

/// The edges of what is let through: a second for a hundred draws would be too slow for an ensemble.
#[test]
fn the_narrowest_and_the_broadest_laws_are_drawn_well() {
    for law in [
        Law::Gamma {
            mean: 1e5,
            sd: 100.0,
        },
        Law::Gamma {
            mean: 1.0,
            sd: 29.0,
        },
        Law::Beta {
            low: 0.0,
            high: 1.0,
            mean: 0.5,
            sd: 0.495,
        },
        Law::Beta {
            low: 0.0,
            high: 1.0,
            mean: 0.99,
            sd: 0.09,
        },
        Law::Beta {
            low: 0.0,
            high: 1.0,
            mean: 0.5,
            sd: 0.000_6,
        },
        Law::Weibull {
            scale: 1.0,
            shape: 0.06,
        },
    ] {
        let s = Spreading::from(law);
        assert_eq!(s.check(), Ok(()));
        for i in 1..100 {
            let u = f64::from(i) / 100.0;
            let x = s.at(u);
            let (below, above) = (s.cdf(x * (1.0 - 1e-9)), s.cdf(x * (1.0 + 1e-9)));
            let close = (s.cdf(x) - u).abs() < 1e-6 || (below <= u && u <= above) || x <= 1e-300;
            assert!(close, "{s}: {u} is {x}, {}", s.cdf(x));
        }
    }
}
