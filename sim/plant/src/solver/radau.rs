//! Collocation at three Radau points: the rates of a balance are taken at three times of an interval,
//! and what they move is the integral of the parabola through them. Fifth order at the interval's end,
//! fourth between, and a stiff part is damped instead of oscillating (Radau IIA; E. Hairer and
//! G. Wanner, Solving Ordinary Differential Equations II, section IV.5, from memory; the tests hold the
//! coefficients to the conditions that define them).

/// A value at each of the three collocation points of a step.
pub(crate) type Points = [f64; 3];

const ROOT_6: f64 = 2.449_489_742_783_178;

/// Times of the three points, as a share of the interval.
pub(crate) const POINTS: [f64; 3] = [(4.0 - ROOT_6) / 10.0, (4.0 + ROOT_6) / 10.0, 1.0];

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
#[inline]
const fn integral(j: usize, share: f64) -> f64 {
    share * (INTEGRAL[j][0] + share * (INTEGRAL[j][1] + share * INTEGRAL[j][2]))
}

/// The matrix of the scheme: what the rate at each point adds by the time of each point, as a share of the interval:
/// row, time; column, rate.
pub(crate) const A: [[f64; 3]; 3] = {
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

pub(crate) const A_SQUARED: [[f64; 3]; 3] = product(&A, &A);

/// Characteristic polynomial of `A`: 1, then the coefficients of z, z^2 and z^3 in det(I + z A).
pub(crate) const TRACE: f64 = 3.0 / 5.0;
pub(crate) const MINORS: f64 = 3.0 / 20.0;
pub(crate) const DETERMINANT: f64 = 1.0 / 60.0;

/// Rates at the points that have added these amounts by their times, times the interval: the inverse of `A`.
pub(crate) const A_INVERSE: [[f64; 3]; 3] = {
    let mut out = [[0.0; 3]; 3];
    let mut r = 0;
    while r < 3 {
        let mut c = 0;
        while c < 3 {
            let unit = if r == c { MINORS } else { 0.0 };
            out[r][c] = (A_SQUARED[r][c] - TRACE * A[r][c] + unit) / DETERMINANT;
            c += 1;
        }
        r += 1;
    }
    out
};

/// The parabolas at the start of the interval.
pub(crate) const AT_START: [f64; 3] = [INTEGRAL[0][0], INTEGRAL[1][0], INTEGRAL[2][0]];

/// Greatest integral, over the interval, of the cubic that is one at the start and zero at the points: how far
/// off inside the interval amounts are by a rate at the start that is off the parabola by one.
pub(crate) const ERROR_CONSTANT: f64 = {
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
pub(crate) const DECAY_DEFECT: f64 = POINTS[0] * POINTS[1] * POINTS[2] / 6.0;

/// What each point's rate has added after a share of an interval of length `h_s`, s.
#[inline]
pub(crate) fn weights(h_s: f64, share: f64) -> [f64; 3] {
    [
        h_s * integral(0, share),
        h_s * integral(1, share),
        h_s * integral(2, share),
    ]
}

/// What the parabola through three rates says of the points of the interval after its own, `ratio` times as long:
/// row, point; column, rate.
#[inline]
pub(crate) fn extrapolation(ratio: f64) -> [[f64; 3]; 3] {
    std::array::from_fn(|j| {
        let s = 1.0 + ratio * POINTS[j];
        std::array::from_fn(|k| {
            INTEGRAL[k][0] + s * (2.0 * INTEGRAL[k][1] + s * 3.0 * INTEGRAL[k][2])
        })
    })
}

/// A row of three times a column of three.
#[inline]
pub(crate) fn dot(row: &[f64; 3], x: &[f64; 3]) -> f64 {
    row[0] * x[0] + row[1] * x[1] + row[2] * x[2]
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
                .map(|j| A[2][j] * libm::pow(POINTS[j], f64::from(degree)))
                .sum();
            assert_relative_eq!(sum, 1.0 / (f64::from(degree) + 1.0), max_relative = 1e-14);
        }
        for j in 0..3 {
            assert_relative_eq!(A[j].iter().sum::<f64>(), POINTS[j], max_relative = 1e-14);
        }
    }

    #[test]
    fn a_parabola_goes_on_as_itself() {
        let parabola = |s: f64| 1.0 + s * (2.0 - 0.3 * s);
        let next = extrapolation(1.4);
        for j in 0..3 {
            assert_relative_eq!(
                dot(&next[j], &POINTS.map(parabola)),
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
                let column = [A[0][c], A[1][c], A[2][c]];
                assert!((dot(&A_INVERSE[r], &column) - unit).abs() < 1e-13);
            }
        }
    }
}
