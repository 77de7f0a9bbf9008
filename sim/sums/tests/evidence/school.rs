//! Sums of the watch against published school exercises with answers: a deck of flash cards that
//! follows the diving-supervisor manual's physics chapter, a safety flash and a case report.

use approx::assert_abs_diff_eq as close;
use deepstay_sums::*;

/// Absolute pressures: 254 msw 26.4 bar; 254 fsw 8.69 ata (cut, not rounded).
#[test]
fn absolute_pressures() {
    close!(school_bar(254.0), 26.4, epsilon = 1e-9);
    close!(
        (handbook_ata(254.0) * 100.0).trunc() / 100.0,
        8.69,
        epsilon = 1e-9
    );
}

/// One diver 120 msw 4 h: 109.2 m3; two at 75 msw 4 h: 142.8 m3; one at 100 fsw 30 min: 151.2 ft3 (the
/// answer's last digit is off by 0.05 %). They breathe 35 L/min, or 1.25 ft3/min.
#[test]
fn diver_gas() {
    let four_hours = |divers: f64, msw: f64| breathed_m3(divers, 35.0, msw, 4.0 * 3600.0);
    close!(four_hours(1.0, 120.0), 109.2, epsilon = 1e-9);
    close!(four_hours(2.0, 75.0), 142.8, epsilon = 1e-9);
    close!(
        breathed(1.0, 1.25, handbook_ata(100.0), 30.0),
        151.2,
        epsilon = 0.1
    );
}

/// 64 x 50 L: 320 m3 at 100 bar, 192 m3 to a change-over at 40 bar, which lasts a diver at 130 msw
/// 6 h 32 min; 560 m3 from 205 to 30 bar; 12 x 50 L from 25 to 200 bar take 105 m3.
#[test]
fn quads() {
    close!(bottles_m3(64.0, 50.0, 100.0, 0.0), 320.0, epsilon = 1e-9);
    let gas = bottles_m3(64.0, 50.0, 100.0, 40.0);
    close!(gas, 192.0, epsilon = 1e-9);
    let a_minute = breathed_m3(1.0, 35.0, 130.0, 60.0);
    close!(lasts(gas, a_minute).round(), 6.0 * 60.0 + 32.0);
    close!(bottles_m3(64.0, 50.0, 205.0, 30.0), 560.0, epsilon = 1e-9);
    close!(bottles_m3(12.0, 50.0, 200.0, 25.0), 105.0, epsilon = 1e-9);
    close!(bank_m3(3.2, 205e5, 30e5), 560.0, epsilon = 1e-9);
    close!(bank_m3(3.2, 30e5, 205e5), 0.0);
}

/// A quad of 5,800 ft3 at 3,000 psi, now 1,800: 3,480 ft3.
#[test]
fn part_full_quad() {
    close!(part_full(5800.0, 3000.0, 1800.0), 3480.0, epsilon = 1e-9);
}

/// Safety flash on a diver's lost gas: 12 bar over ambient with the bell at 85 msw must read 20.5 bar.
#[test]
fn sealed_gauges() {
    close!(sealed_gauge(12.0, 8.5), 20.5, epsilon = 1e-9);
}

/// Case report, Healthcare 2022;10(3):453: 2 x 12 L at 300 bar hold 7,200 L; at 10 bar and 35 L/min
/// that is 20.6 min (derived).
#[test]
fn twin_bail_out() {
    let gas = bottles_m3(2.0, 12.0, 300.0, 0.0);
    close!(gas, 7.2, epsilon = 1e-9);
    let a_minute = breathed_m3(1.0, 35.0, 90.0, 60.0);
    close!(lasts(gas, a_minute), 20.6, epsilon = 0.05);
}

/// Pressing from air at the surface to 100 msw with 2 % gives 0.41 bar, with 4 % 0.61 bar (derived).
#[test]
fn oxygen_on_arrival() {
    close!(ppo2_after_pressing(0.21, 0.02, 10.0), 0.41, epsilon = 1e-12);
    close!(ppo2_after_pressing(0.21, 0.04, 10.0), 0.61, epsilon = 1e-12);
}
