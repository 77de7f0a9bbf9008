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
    [
        row_times(&a[0], b),
        row_times(&a[1], b),
        row_times(&a[2], b),
    ]
}

const fn row_times(row: &[f64; 3], a: &[[f64; 3]; 3]) -> [f64; 3] {
    let columns = transposed(a);
    [
        dot(row, &columns[0]),
        dot(row, &columns[1]),
        dot(row, &columns[2]),
    ]
}

const fn less(a: &[[f64; 3]; 3], of_unit: f64) -> [[f64; 3]; 3] {
    let mut out = *a;
    let mut r = 0;
    while r < 3 {
        out[r][r] -= of_unit;
        r += 1;
    }
    out
}

const fn cross(a: &[f64; 3], b: &[f64; 3]) -> [f64; 3] {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

const fn transposed(a: &[[f64; 3]; 3]) -> [[f64; 3]; 3] {
    [
        [a[0][0], a[1][0], a[2][0]],
        [a[0][1], a[1][1], a[2][1]],
        [a[0][2], a[1][2], a[2][2]],
    ]
}

/// What undoes three rows: columns across the other two, as long as makes one of each with its own.
const fn undone(rows: &[[f64; 3]; 3]) -> [[f64; 3]; 3] {
    let mut out = [[0.0; 3]; 3];
    let mut c = 0;
    while c < 3 {
        let across = cross(&rows[(c + 1) % 3], &rows[(c + 2) % 3]);
        let own = dot(&rows[c], &across);
        let mut r = 0;
        while r < 3 {
            out[r][c] = across[r] / own;
            r += 1;
        }
        c += 1;
    }
    out
}

const A_SQUARED: [[f64; 3]; 3] = product(&A, &A);

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

/// The eigenvalue of `A` that is real (its characteristic polynomial's root, by Newton's steps).
pub(crate) const ALONE: f64 = {
    let mut x = 0.3;
    let mut steps = 0;
    while steps < 20 {
        let value = ((x - TRACE) * x + MINORS) * x - DETERMINANT;
        let slope = (3.0 * x - 2.0 * TRACE) * x + MINORS;
        x -= value / slope;
        steps += 1;
    }
    x
};

/// Real part of the two eigenvalues of `A` that are not real, and the square of their imaginary part.
pub(crate) const TURNING: f64 = (TRACE - ALONE) / 2.0;
pub(crate) const TURNED: f64 = DETERMINANT / ALONE - TURNING * TURNING;

/// Three points as three sums of them, in which the scheme is as simple as it can be: of `A` times points the first sum
/// is `ALONE` times that of the points, the second `TURNING` times it less `TURNED` times the third, and the third
/// `TURNING` times it and the second once.
pub(crate) const TO_SUMS: [[f64; 3]; 3] = {
    let rest = less(&A, ALONE);
    let columns = transposed(&rest);
    let third = rest[2];
    let second = row_times(&third, &less(&A, TURNING));
    [cross(&columns[0], &columns[1]), second, third]
};

/// The points of the three sums.
pub(crate) const FROM_SUMS: [[f64; 3]; 3] = undone(&TO_SUMS);

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
pub(crate) const fn dot(row: &[f64; 3], x: &[f64; 3]) -> f64 {
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
    fn sums_of_the_points_are_the_scheme_s_own() {
        for points in [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.3, -2.0, 1.7]] {
            let sums = TO_SUMS.map(|row| dot(&row, &points));
            let of_added = TO_SUMS.map(|row| dot(&row, &A.map(|row| dot(&row, &points))));
            let said = [
                ALONE * sums[0],
                TURNING * sums[1] - TURNED * sums[2],
                TURNING * sums[2] + sums[1],
            ];
            for k in 0..3 {
                assert_relative_eq!(of_added[k], said[k], max_relative = 1e-12, epsilon = 1e-15);
                assert_relative_eq!(
                    dot(&FROM_SUMS[k], &sums),
                    points[k],
                    max_relative = 1e-13,
                    epsilon = 1e-14
                );
            }
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
