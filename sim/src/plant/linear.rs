//! Exact steps of linear balances with frozen coefficients: y' = A y + s, with the time integral
//! of y, which the ledger needs. One compartment uses the scalar solution, several use the Taylor
//! series of the exponential's action, cut at rounding.

/// (1 - e^-x)/x and (x - 1 + e^-x)/x^2, for x >= 0 or slightly below.
pub(super) fn phi(x: f64) -> (f64, f64) {
    if x.abs() < 0.05 {
        let one = 1.0
            - x * (1.0 / 2.0
                - x * (1.0 / 6.0
                    - x * (1.0 / 24.0
                        - x * (1.0 / 120.0 - x * (1.0 / 720.0 - x * (1.0 / 5040.0 - x / 40320.0))))));
        let two = 1.0 / 2.0
            - x * (1.0 / 6.0
                - x * (1.0 / 24.0
                    - x * (1.0 / 120.0
                        - x * (1.0 / 720.0 - x * (1.0 / 5040.0 - x * (1.0 / 40320.0 - x / 362_880.0))))));
        (one, two)
    } else {
        let one = -libm::expm1(-x) / x;
        (one, (1.0 - one) / x)
    }
}

/// Steps `y` by `dt` under y' = A y + s and adds the integral of y over the step to `integral`.
/// `a` is row-major `m` by `m`. Small systems run in code of their own size.
pub(super) fn step(m: usize, a: &[f64], s: &[f64], y: &mut [f64], integral: &mut [f64], dt: f64) {
    match m {
        1 => sized::<1>(a, s, y, integral, dt),
        2 => sized::<2>(a, s, y, integral, dt),
        3 => sized::<3>(a, s, y, integral, dt),
        4 => sized::<4>(a, s, y, integral, dt),
        5 => sized::<5>(a, s, y, integral, dt),
        6 => sized::<6>(a, s, y, integral, dt),
        8 => sized::<8>(a, s, y, integral, dt),
        _ => {
            // A larger system stands in the corner of the largest there can be; the rest is zero.
            let mut wide = [0.0; LARGEST * LARGEST];
            for r in 0..m {
                wide[r * LARGEST..r * LARGEST + m].copy_from_slice(&a[r * m..(r + 1) * m]);
            }
            let (mut ws, mut wy, mut wi) = ([0.0; LARGEST], [0.0; LARGEST], [0.0; LARGEST]);
            ws[..m].copy_from_slice(&s[..m]);
            wy[..m].copy_from_slice(&y[..m]);
            wi[..m].copy_from_slice(&integral[..m]);
            sized::<LARGEST>(&wide, &ws, &mut wy, &mut wi, dt);
            y[..m].copy_from_slice(&wy[..m]);
            integral[..m].copy_from_slice(&wi[..m]);
        }
    }
}

/// Gas and wall of every compartment there can be.
const LARGEST: usize = 2 * crate::plant::MAX_COMPARTMENTS;

fn sized<const M: usize>(a: &[f64], s: &[f64], y: &mut [f64], integral: &mut [f64], dt: f64) {
    let mut rows = [[0.0; M]; M];
    let mut norm = 0.0f64;
    for (r, row) in rows.iter_mut().enumerate() {
        row.copy_from_slice(&a[r * M..(r + 1) * M]);
        norm = norm.max(row.iter().map(|x| x.abs()).sum());
    }
    norm *= dt;
    let pieces = if norm > 2.0 { (norm / 2.0).ceil() } else { 1.0 };
    let h = dt / pieces;
    let (mut now, mut sum) = ([0.0; M], [0.0; M]);
    now.copy_from_slice(&y[..M]);
    sum.copy_from_slice(&integral[..M]);
    for _ in 0..pieces as usize {
        piece(&rows, s, &mut now, &mut sum, h);
    }
    y[..M].copy_from_slice(&now);
    integral[..M].copy_from_slice(&sum);
}

fn piece<const M: usize>(a: &[[f64; M]; M], s: &[f64], y: &mut [f64; M], integral: &mut [f64; M], h: f64) {
    let mut term = [0.0; M];
    let mut scale = 0.0f64;
    for r in 0..M {
        let mut rate = s[r];
        for c in 0..M {
            rate += a[r][c] * y[c];
        }
        term[r] = h * rate;
        integral[r] += h * y[r];
        scale = scale.max(y[r].abs());
    }
    let mut k = 1.0;
    loop {
        let mut largest = 0.0f64;
        let over = h / (k + 1.0);
        for r in 0..M {
            y[r] += term[r];
            integral[r] += over * term[r];
            largest = largest.max(term[r].abs());
        }
        if largest <= 1e-17 * scale || k > 60.0 {
            return;
        }
        k += 1.0;
        let by = h / k;
        let mut next = [0.0; M];
        for r in 0..M {
            for c in 0..M {
                next[r] += a[r][c] * term[c];
            }
            next[r] *= by;
        }
        term = next;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_scalar_functions_meet_at_the_switch() {
        let (a1, a2) = phi(0.05 - 1e-12);
        let (b1, b2) = phi(0.05 + 1e-12);
        assert!((a1 - b1).abs() < 2e-12 && (a2 - b2).abs() < 2e-12, "{a1} {b1} {a2} {b2}");
        assert_eq!(phi(0.0), (1.0, 0.5));
    }

    #[test]
    fn a_system_of_no_size_of_its_own_steps_like_the_rest() {
        let (m, k, s, dt) = (7, 0.02, 1.5, 30.0);
        let mut a = [0.0; 49];
        for r in 0..m {
            a[r * m + r] = -k;
        }
        let (mut y, mut i) = ([10.0; 7], [0.0; 7]);
        step(m, &a, &[s; 7], &mut y, &mut i, dt);
        let (mut y1, mut i1) = ([10.0], [0.0]);
        step(1, &[-k], &[s], &mut y1, &mut i1, dt);
        assert!(y.iter().all(|v| (v - y1[0]).abs() < 1e-12));
        assert!(i.iter().all(|v| (v - i1[0]).abs() < 1e-10));
    }

    #[test]
    fn two_rooms_exchanging_come_to_the_mean() {
        // y1' = -q y1/V1 + q y2/V2: with equal volumes the difference decays as exp(-2 q t/V).
        let (q, v, dt) = (0.02, 10.0, 600.0);
        let a = [-q / v, q / v, q / v, -q / v];
        let (mut y, mut i) = ([3.0, 1.0], [0.0, 0.0]);
        step(2, &a, &[0.0, 0.0], &mut y, &mut i, dt);
        let half = libm::exp(-2.0 * q * dt / v);
        assert!((y[0] - (2.0 + half)).abs() < 1e-12);
        assert!((y[1] - (2.0 - half)).abs() < 1e-12);
        assert!((i[0] + i[1] - 4.0 * dt).abs() < 1e-9);
    }

    #[test]
    fn a_scalar_step_and_a_series_step_agree() {
        let (k, s, y0, dt) = (0.01, 3.0, 100.0, 47.0);
        let (one, two) = phi(k * dt);
        let scalar = y0 + (s - k * y0) * one * dt;
        let scalar_integral = y0 * dt + (s - k * y0) * two * dt * dt;
        let (mut y, mut i) = ([y0], [0.0]);
        step(1, &[-k], &[s], &mut y, &mut i, dt);
        assert!((y[0] - scalar).abs() < 1e-11 && (i[0] - scalar_integral).abs() < 1e-8);
    }
}
