//! Collocation at three Radau points: the rates of a balance are taken at three times of an interval,
//! and what they move is the integral of the parabola through them. Fifth order at the interval's end,
//! fourth between, and a stiff part is damped instead of oscillating (Radau IIA; E. Hairer and
//! G. Wanner, Solving Ordinary Differential Equations II, section IV.5, from memory; the tests hold the
//! coefficients to the conditions that define them).

use super::dense::{invert, multiply};

const ROOT_6: f64 = 2.449_489_742_783_178;

/// Times of the three points, as a share of the interval.
pub(super) const POINTS: [f64; 3] = [(4.0 - ROOT_6) / 10.0, (4.0 + ROOT_6) / 10.0, 1.0];

/// Integral of each point's parabola (one there, zero at the other two): coefficients of s, s^2 and s^3.
const INTEGRAL: [[f64; 3]; 3] = {
    let mut out = [[0.0; 3]; 3];
    let mut j = 0;
    while j < 3 {
        let (k, l) = ((j + 1) % 3, (j + 2) % 3);
        let scale = (POINTS[j] - POINTS[k]) * (POINTS[j] - POINTS[l]);
        out[j] = [
            POINTS[k] * POINTS[l] / scale,
            -(POINTS[k] + POINTS[l]) / (2.0 * scale),
            1.0 / (3.0 * scale),
        ];
        j += 1;
    }
    out
};

/// Integral of the parabola of point `j` from the start to a share of the interval.
const fn integral(j: usize, share: f64) -> f64 {
    share * (INTEGRAL[j][0] + share * (INTEGRAL[j][1] + share * INTEGRAL[j][2]))
}

/// What the rate at each point adds by the time of each point, as a share of the interval: row, time; column, rate.
pub(super) const ADDS: [[f64; 3]; 3] = {
    let mut out = [[0.0; 3]; 3];
    let mut row = 0;
    while row < 3 {
        let mut j = 0;
        while j < 3 {
            out[row][j] = integral(j, POINTS[row]);
            j += 1;
        }
        row += 1;
    }
    out
};

const fn product(a: &[[f64; 3]; 3], b: &[[f64; 3]; 3]) -> [[f64; 3]; 3] {
    let mut out = [[0.0; 3]; 3];
    let mut r = 0;
    while r < 3 {
        let mut c = 0;
        while c < 3 {
            out[r][c] = a[r][0] * b[0][c] + a[r][1] * b[1][c] + a[r][2] * b[2][c];
            c += 1;
        }
        r += 1;
    }
    out
}

const ADDS_TWICE: [[f64; 3]; 3] = product(&ADDS, &ADDS);

/// Characteristic polynomial of `ADDS`: 1, then the coefficients of z, z^2 and z^3 in det(I + z ADDS).
const TRACE: f64 = 3.0 / 5.0;
const MINORS: f64 = 3.0 / 20.0;
const DETERMINANT: f64 = 1.0 / 60.0;

/// Rates at the points that have added these amounts by their times, times the interval: the inverse of `ADDS`.
pub(super) const RATES: [[f64; 3]; 3] = {
    let mut out = [[0.0; 3]; 3];
    let mut r = 0;
    while r < 3 {
        let mut c = 0;
        while c < 3 {
            let unit = if r == c { MINORS } else { 0.0 };
            out[r][c] = (ADDS_TWICE[r][c] - TRACE * ADDS[r][c] + unit) / DETERMINANT;
            c += 1;
        }
        r += 1;
    }
    out
};

/// The parabolas at the start of the interval.
pub(super) const AT_START: [f64; 3] = [INTEGRAL[0][0], INTEGRAL[1][0], INTEGRAL[2][0]];

/// Greatest integral, over the interval, of the cubic that is one at the start and zero at the points: how far
/// inside the interval the amounts stray by a rate at the start that is off the parabola by one.
pub(super) const STRAY: f64 = {
    let (a, b) = (POINTS[0], POINTS[1]);
    // (1 - s/a)(1 - s/b)(1 - s), integrated to the first point.
    let (c1, c2, c3) = (
        1.0 / a + 1.0 / b + 1.0,
        1.0 / (a * b) + 1.0 / a + 1.0 / b,
        1.0 / (a * b),
    );
    a * (1.0 - a * (c1 / 2.0 - a * (c2 / 3.0 - a * c3 / 4.0)))
};

/// How far off the parabola through the points the rate at the start is, for one that dies away, in units of itself
/// times the cube of its share that goes over the interval.
pub(super) const OFF_PARABOLA: f64 = POINTS[0] * POINTS[1] * POINTS[2] / 6.0;

/// What each point's rate has added after a share of an interval of length `h_s`, s.
pub(super) fn weights(h_s: f64, share: f64) -> [f64; 3] {
    [
        h_s * integral(0, share),
        h_s * integral(1, share),
        h_s * integral(2, share),
    ]
}

/// What the parabola through three rates says of the points of the interval after its own, `ratio` times as long:
/// row, point; column, rate.
pub(super) fn goes_on(ratio: f64) -> [[f64; 3]; 3] {
    std::array::from_fn(|j| {
        let s = 1.0 + ratio * POINTS[j];
        std::array::from_fn(|k| {
            INTEGRAL[k][0] + s * (2.0 * INTEGRAL[k][1] + s * 3.0 * INTEGRAL[k][2])
        })
    })
}

/// Applies one row of three.
pub(super) fn apply(row: &[f64; 3], x: &[f64; 3]) -> f64 {
    row[0] * x[0] + row[1] * x[1] + row[2] * x[2]
}

/// Solves (I + z ADDS) x = r for one balance that dies away with z = rate times interval.
pub(super) fn relax(z: f64, r: &[f64; 3]) -> [f64; 3] {
    let over = 1.0 / (1.0 + z * (TRACE + z * (MINORS + z * DETERMINANT)));
    std::array::from_fn(|j| {
        let (once, twice) = (apply(&ADDS[j], r), apply(&ADDS_TWICE[j], r));
        (r[j] + z * ((TRACE * r[j] - once) + z * (MINORS * r[j] - TRACE * once + twice))) * over
    })
}

/// The same for several balances that hang together: (I + ADDS x Z) x = r, Z `m` by `m`.
///
/// With F = I + TRACE Z + MINORS Z^2 + DETERMINANT Z^3 the answer at a point is F^-1 times r there, F^-1 Z
/// times one sum of r over the points and F^-1 Z^2 times another, so those three are kept.
#[derive(Clone, Debug, Default)]
pub(super) struct Coupled {
    m: usize,
    z: Vec<f64>,
    square: Vec<f64>,
    factor: Vec<f64>,
    inverse: Vec<f64>,
    once: Vec<f64>,
    twice: Vec<f64>,
    /// F^-1, F^-1 Z and F^-1 Z^2, element by element, column by column.
    parts: Vec<[f64; 3]>,
    sums: Vec<Lanes>,
}

/// Three points, and a fourth that is idle: two machine words of two.
type Lanes = [f64; 4];

impl Coupled {
    /// Takes Z, row by row, from `fill`.
    pub fn set(&mut self, m: usize, fill: impl FnOnce(&mut [f64])) {
        self.m = m;
        let Coupled {
            z,
            square,
            factor,
            inverse,
            once,
            twice,
            ..
        } = self;
        for list in [z, square, factor, inverse, once, twice] {
            list.clear();
            list.resize(m * m, 0.0);
        }
        self.sums.resize(m, [0.0; 4]);
        self.parts.resize(m * m, [0.0; 3]);
        fill(&mut self.z);
        multiply(m, &self.z, &self.z, &mut self.square);
        for row in 0..m {
            let square = &self.square[row * m..][..m];
            let sums = &mut self.factor[row * m..][..m];
            for (k, once) in square.iter().enumerate().filter(|(_, once)| **once != 0.0) {
                for (sum, z) in sums.iter_mut().zip(&self.z[k * m..][..m]) {
                    *sum += DETERMINANT * once * z;
                }
            }
            for ((sum, z), zz) in sums.iter_mut().zip(&self.z[row * m..][..m]).zip(square) {
                *sum += TRACE * z + MINORS * zz;
            }
            sums[row] += 1.0;
        }
        invert(m, &mut self.factor, &mut self.inverse);
        // All three are made of Z alone, so that it may stand on either side.
        multiply(m, &self.z, &self.inverse, &mut self.once);
        multiply(m, &self.z, &self.once, &mut self.twice);
        for row in 0..m {
            for column in 0..m {
                let at = row * m + column;
                self.parts[column * m + row] = [self.inverse[at], self.once[at], self.twice[at]];
            }
        }
    }

    /// Solves for the right sides in `r` (per balance, the three points) in place.
    pub fn solve(&mut self, r: &mut [[f64; 3]]) {
        let m = self.m;
        self.sums[..m].fill([0.0; 4]);
        for (column, r) in r[..m].iter().enumerate().filter(|(_, r)| **r != [0.0; 3]) {
            let mut side = [[0.0; 4]; 3];
            for j in 0..3 {
                let (once, twice) = (apply(&ADDS[j], r), apply(&ADDS_TWICE[j], r));
                side[0][j] = r[j];
                side[1][j] = TRACE * r[j] - once;
                side[2][j] = MINORS * r[j] - TRACE * once + twice;
            }
            for (sum, part) in self.sums[..m]
                .iter_mut()
                .zip(&self.parts[column * m..][..m])
            {
                for lane in 0..4 {
                    sum[lane] +=
                        part[0] * side[0][lane] + part[1] * side[1][lane] + part[2] * side[2][lane];
                }
            }
        }
        for (x, sum) in r[..m].iter_mut().zip(&self.sums) {
            *x = [sum[0], sum[1], sum[2]];
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn the_points_are_radau_s() {
        // Quadrature exact to degree four, and the row sums are the times (the conditions that define the method).
        for degree in 0..5 {
            let sum: f64 = (0..3)
                .map(|j| ADDS[2][j] * libm::pow(POINTS[j], f64::from(degree)))
                .sum();
            assert_relative_eq!(sum, 1.0 / (f64::from(degree) + 1.0), max_relative = 1e-14);
        }
        for j in 0..3 {
            assert_relative_eq!(ADDS[j].iter().sum::<f64>(), POINTS[j], max_relative = 1e-14);
        }
    }

    #[test]
    fn a_parabola_goes_on_as_itself() {
        let parabola = |s: f64| 1.0 + s * (2.0 - 0.3 * s);
        let next = goes_on(1.4);
        for j in 0..3 {
            assert_relative_eq!(
                apply(&next[j], &POINTS.map(parabola)),
                parabola(1.0 + 1.4 * POINTS[j]),
                max_relative = 1e-12
            );
        }
    }

    #[test]
    fn rates_undo_what_they_add() {
        for r in 0..3 {
            for c in 0..3 {
                let unit = if r == c { 1.0 } else { 0.0 };
                let column = [ADDS[0][c], ADDS[1][c], ADDS[2][c]];
                assert!((apply(&RATES[r], &column) - unit).abs() < 1e-13);
            }
        }
    }

    #[test]
    fn one_balance_relaxes_as_several_do() {
        let (z, r) = (2.7, [0.3, -1.1, 0.9]);
        let x = relax(z, &r);
        for j in 0..3 {
            assert_relative_eq!(x[j] + z * apply(&ADDS[j], &x), r[j], max_relative = 1e-13);
        }
        let mut coupled = Coupled::default();
        let matrix = [2.0, -0.5, 0.3, 0.7, 3.0, 0.1, -0.2, 0.4, 1.0];
        coupled.set(3, |a| a.copy_from_slice(&matrix));
        let given = [[0.3, -1.1, 0.9], [1.0, 2.0, 3.0], [-1.0, 0.5, 0.25]];
        let mut x = given;
        coupled.solve(&mut x);
        for row in 0..3 {
            for j in 0..3 {
                let through: f64 = (0..3)
                    .map(|k| matrix[row * 3 + k] * apply(&ADDS[j], &x[k]))
                    .sum();
                assert_relative_eq!(x[row][j] + through, given[row][j], max_relative = 1e-12);
            }
        }
    }

    #[test]
    fn a_step_of_exponential_decay_is_of_fifth_order() {
        let error = |h: f64| {
            let rate = relax(h, &[-1.0; 3]);
            let end = 1.0 + h * apply(&ADDS[2], &rate);
            (end - libm::exp(-h)).abs()
        };
        let (coarse, fine) = (error(0.2), error(0.1));
        assert!(
            (coarse / fine / 64.0 - 1.0).abs() < 0.15,
            "{}",
            coarse / fine
        );
    }
}
