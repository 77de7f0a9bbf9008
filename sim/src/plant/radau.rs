//! Collocation at three Radau points: the rates of a balance are taken at three times of an interval,
//! and what they move is the integral of the parabola through them. Fifth order at the interval's end,
//! fourth between, and a stiff part is damped instead of oscillating (Radau IIA; E. Hairer and
//! G. Wanner, Solving Ordinary Differential Equations II, section IV.5, from memory; the tests hold the
//! coefficients to the conditions that define them).

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
        out[j] = [POINTS[k] * POINTS[l] / scale, -(POINTS[k] + POINTS[l]) / (2.0 * scale), 1.0 / (3.0 * scale)];
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
    let (c1, c2, c3) = (1.0 / a + 1.0 / b + 1.0, 1.0 / (a * b) + 1.0 / a + 1.0 / b, 1.0 / (a * b));
    a * (1.0 - a * (c1 / 2.0 - a * (c2 / 3.0 - a * c3 / 4.0)))
};

/// What each point's rate has added after a share of an interval of length `h_s`, s.
pub(super) fn weights(h_s: f64, share: f64) -> [f64; 3] {
    [h_s * integral(0, share), h_s * integral(1, share), h_s * integral(2, share)]
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
#[derive(Clone, Debug, Default)]
pub(super) struct Coupled {
    m: usize,
    z: Vec<f64>,
    factors: Vec<f64>,
    swaps: Vec<usize>,
    square: Vec<f64>,
    room: Vec<f64>,
    solved: Vec<[f64; 3]>,
}

impl Coupled {
    /// Takes Z, row by row, from `fill`.
    pub fn set(&mut self, m: usize, fill: impl FnOnce(&mut [f64])) {
        self.m = m;
        for list in [&mut self.z, &mut self.factors, &mut self.square] {
            list.clear();
            list.resize(m * m, 0.0);
        }
        self.swaps.clear();
        self.swaps.resize(m, 0);
        self.room.resize(4 * m, 0.0);
        self.solved.resize(m, [0.0; 3]);
        fill(&mut self.z);
        multiply(m, &self.z, &self.z, &mut self.square);
        multiply(m, &self.square, &self.z, &mut self.factors);
        for (at, f) in self.factors.iter_mut().enumerate() {
            let unit = if at % (m + 1) == 0 { 1.0 } else { 0.0 };
            *f = unit + TRACE * self.z[at] + MINORS * self.square[at] + DETERMINANT * *f;
        }
        self.factorise();
    }

    /// Solves for the right sides in `r` (per balance, the three points) in place.
    pub fn solve(&mut self, r: &mut [[f64; 3]]) {
        let m = self.m;
        let (inner, rest) = self.room.split_at_mut(m);
        let (outer, rest) = rest.split_at_mut(m);
        let (once, twice) = rest.split_at_mut(m);
        for j in 0..3 {
            for k in 0..m {
                once[k] = apply(&ADDS[j], &r[k]);
                twice[k] = apply(&ADDS_TWICE[j], &r[k]);
                inner[k] = MINORS * r[k][j] - TRACE * once[k] + twice[k];
            }
            for (row, o) in outer.iter_mut().enumerate() {
                *o = TRACE * r[row][j] - once[row] + dot(&self.z[row * m..(row + 1) * m], inner);
            }
            for row in 0..m {
                inner[row] = r[row][j] + dot(&self.z[row * m..(row + 1) * m], outer);
            }
            back(m, &self.factors, &self.swaps, inner);
            for (solved, x) in self.solved.iter_mut().zip(inner.iter()) {
                solved[j] = *x;
            }
        }
        r[..m].copy_from_slice(&self.solved[..m]);
    }

    fn factorise(&mut self) {
        let (m, a) = (self.m, &mut self.factors);
        for k in 0..m {
            let pivot = (k..m).max_by(|x, y| a[x * m + k].abs().total_cmp(&a[y * m + k].abs())).unwrap_or(k);
            self.swaps[k] = pivot;
            if pivot != k {
                for c in 0..m {
                    a.swap(k * m + c, pivot * m + c);
                }
            }
            for r in k + 1..m {
                a[r * m + k] /= a[k * m + k];
                for c in k + 1..m {
                    a[r * m + c] -= a[r * m + k] * a[k * m + c];
                }
            }
        }
    }
}

fn back(m: usize, factors: &[f64], swaps: &[usize], x: &mut [f64]) {
    for k in 0..m {
        x.swap(k, swaps[k]);
    }
    for r in 0..m {
        for c in 0..r {
            x[r] -= factors[r * m + c] * x[c];
        }
    }
    for r in (0..m).rev() {
        for c in r + 1..m {
            x[r] -= factors[r * m + c] * x[c];
        }
        x[r] /= factors[r * m + r];
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

fn multiply(m: usize, a: &[f64], b: &[f64], out: &mut [f64]) {
    for r in 0..m {
        for c in 0..m {
            out[r * m + c] = (0..m).map(|k| a[r * m + k] * b[k * m + c]).sum();
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
            let sum: f64 = (0..3).map(|j| ADDS[2][j] * libm::pow(POINTS[j], f64::from(degree))).sum();
            assert_relative_eq!(sum, 1.0 / (f64::from(degree) + 1.0), max_relative = 1e-14);
        }
        for j in 0..3 {
            assert_relative_eq!(ADDS[j].iter().sum::<f64>(), POINTS[j], max_relative = 1e-14);
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
                let through: f64 = (0..3).map(|k| matrix[row * 3 + k] * apply(&ADDS[j], &x[k])).sum();
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
        assert!((coarse / fine / 64.0 - 1.0).abs() < 0.15, "{}", coarse / fine);
    }
}
