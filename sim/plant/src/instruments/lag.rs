//! First-order lag, in closed form: along a straight line, and behind a cubic.

use std::cell::Cell;

/// Time constants after which nothing of the start is left at double precision.
pub(super) const LONG_AGO: f64 = 40.0;

/// What is left of a start after so many time constants, e^-x: instruments of a kind ask for the same one after the
/// other, so that the last few are kept.
#[derive(Clone, Debug, Default)]
pub(crate) struct Decays {
    kept: [Cell<Option<(f64, f64)>>; KEPT],
    oldest: Cell<usize>,
}

/// As many as there are kinds of instruments in a vessel, about.
const KEPT: usize = 6;

impl Decays {
    /// e^-x.
    pub fn left(&self, x: f64) -> f64 {
        let known = self.kept.iter().filter_map(Cell::get);
        if let Some((_, left)) = known.into_iter().find(|(of, _)| *of == x) {
            return left;
        }
        let left = libm::exp(-x);
        self.kept[self.oldest.get()].set(Some((x, left)));
        self.oldest.set((self.oldest.get() + 1) % KEPT);
        left
    }
}

/// First-order lag along a straight line from `x0` to `x1` over `dt`.
pub(super) fn lag(r0: f64, (x0, x1): (f64, f64), dt: f64, tau: f64, decays: &Decays) -> f64 {
    if tau <= 0.0 || dt <= 0.0 {
        return if dt > 0.0 { x1 } else { r0 };
    }
    let slope = (x1 - x0) / dt;
    if dt > LONG_AGO * tau {
        return x1 - slope * tau;
    }
    x1 - slope * tau + (r0 - x0 + slope * tau) * decays.left(dt / tau)
}

/// The cubic through values at the start, at each third and at the end, in powers of the share.
pub(super) fn cubic([a, b, c, d]: [f64; 4]) -> [f64; 4] {
    [
        a,
        -5.5 * a + 9.0 * b - 4.5 * c + d,
        9.0 * a - 22.5 * b + 18.0 * c - 4.5 * d,
        4.5 * (d - a + 3.0 * (b - c)),
    ]
}

/// What a first-order lag settles to behind a cubic of a share of `h_s`, at a share: the value less the time
/// constant times its slope, more its square times the second derivative, less its cube times the third.
pub(super) fn behind(k: &[f64; 4], share: f64, h_s: f64, tau_s: f64) -> f64 {
    let z = tau_s / h_s;
    let x = k[0] + share * (k[1] + share * (k[2] + share * k[3]));
    let first = k[1] + share * (2.0 * k[2] + share * 3.0 * k[3]);
    let second = 2.0 * k[2] + share * 6.0 * k[3];
    x - z * (first - z * (second - z * 6.0 * k[3]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_step_reaches_nine_tenths_in_2_3_time_constants() {
        // physics closed form: T90 = tau ln 10 = 13.8155 s at tau 6 s.
        let r = lag(0.0, (1.0, 1.0), 13.815_510_56, 6.0, &Decays::default());
        assert!((r - 0.9).abs() < 1e-9, "{r}");
    }

    #[test]
    fn what_is_kept_is_what_is_asked_for() {
        let decays = Decays::default();
        for x in [0.5, 1.0, 0.5, 2.0, 3.0, 4.0, 5.0, 6.0, 0.5, 1.0] {
            assert_eq!(decays.left(x), libm::exp(-x));
        }
    }

    #[test]
    fn behind_a_cubic_the_lag_is_the_lag() {
        // The balance itself: tau y' + y = x, with y' by a difference.
        let k = cubic([3.0, 2.5, 4.0, 7.0]);
        let value = |share: f64| k[0] + share * (k[1] + share * (k[2] + share * k[3]));
        for (third, value_there) in [(0.0, 3.0), (1.0, 2.5), (2.0, 4.0), (3.0, 7.0)] {
            assert!((value(third / 3.0) - value_there).abs() < 1e-12);
        }
        let (h_s, tau_s, by) = (90.0, 6.0, 1e-5);
        for share in [0.1, 0.5, 0.9] {
            let at = |share: f64| behind(&k, share, h_s, tau_s);
            let slope_s = (at(share + by) - at(share - by)) / (2.0 * by * h_s);
            assert!((tau_s * slope_s + at(share) - value(share)).abs() < 1e-8);
        }
    }

    #[test]
    fn a_ramp_is_followed_late_by_rate_times_lag() {
        let r = lag(-0.06, (0.0, 1.0), 100.0, 6.0, &Decays::default());
        assert!((1.0 - r - 0.06).abs() < 1e-12, "{r}");
    }
}
