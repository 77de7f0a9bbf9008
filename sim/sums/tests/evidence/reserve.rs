//! Reserve formulas against the printed examples of the US Navy Diving Manual and the figures that
//! regulations print. Unit conversions are not counted as examples.

use approx::assert_abs_diff_eq as close;
use deepstay_core::units::{ATM_PA, FSW_PER_ATM_PA, MSW_PA};
use deepstay_sums::*;

/// US Navy Diving Manual, Revision 4, pp. 8-2 and 8-3: 190 fsw, 30 ft/min up: 6 min 20 s taken as 7;
/// 28.38 + 38.01 = 66.39 scf; 2,580.95 psig taken as 2,600.
#[test]
fn emergency_supply_least_pressure() {
    close!(ascent_min(190.0, 30.0), 7.0);
    let ata = (handbook_ata(190.0), handbook_ata(95.0));
    let (bottom, ascent) = bottom_and_ascent(1.4, ata, (3.0, 7.0));
    close!(bottom, 28.38, epsilon = 0.005);
    close!(ascent, 38.01, epsilon = 0.006);
    close!(bottom + ascent, 66.39, epsilon = 0.01);
    close!(
        supply_minimum(66.39, 0.399, 135.0, 14.7),
        2580.95,
        epsilon = 0.01
    );
    close!(
        (supply_minimum(66.39, 0.399, 135.0, 14.7) / 100.0).ceil() * 100.0,
        2600.0
    );
}

/// US Navy Diving Manual, Revision 4, p. 22-17: 425 ft3, 6 acfm, 170 to 160 fsw: 215 s, 3.6 min.
#[test]
fn time_of_an_exhaust() {
    let ata = (handbook_ata(170.0), handbook_ata(160.0));
    let seconds = 60.0 * exhaust_time(425.0, ata.0, ata.1, 6.0);
    close!(seconds, 214.6, epsilon = 0.05);
    close!(seconds.round(), 215.0);
    close!(seconds / 60.0, 3.6, epsilon = 0.05);
}

/// US Navy Diving Manual, 15-15: 16 % from 0 to 224 fsw, 4 % from 99 to 998 fsw, cut to whole feet.
#[test]
fn emergency_gas_windows() {
    let feet = |share| {
        let (shallow, deep) = emergency_gas_window_fsw(share);
        ((shallow + 1e-9).trunc(), deep.trunc())
    };
    assert_eq!(feet(0.16), (0.0, 224.0));
    assert_eq!(feet(0.04), (99.0, 998.0));
}

/// US Navy Diving Manual, 15-14 and 15-22: 0.005 ata is 0.5 % and 3.8 mmHg; 0.02 and 0.06 ata are
/// 15.2 and 45.6 mmHg.
#[test]
fn carbon_dioxide_pairs() {
    close!(surface_equivalent_percent(0.005), 0.5);
    for (ata, mm) in [(0.005, 3.8), (0.02, 15.2), (0.06, 45.6)] {
        close!(mm_hg(ata), mm, epsilon = 1e-9);
    }
}

/// US Navy Diving Manual, 22-4: primary air 5 Vil + 10 Vol + 45,390 scf; secondary both locks once
/// and an hour at 70.4 scfm (4,224 scf).
#[test]
fn treatment_chamber_air() {
    close!(chamber_primary_air_scf(0.0, 0.0), 45_390.0);
    close!(
        chamber_primary_air_scf(134.0, 65.0) - 45_390.0,
        5.0 * 134.0 + 10.0 * 65.0
    );
    close!(chamber_secondary_air_scf(0.0, 0.0), 4224.0);
    close!(
        chamber_secondary_air_scf(134.0, 65.0) - 4224.0,
        5.0 * 134.0 + 5.0 * 65.0
    );
}

/// Derived from the manual's cap of 0.6 ata before an upward excursion: 400 to 307 fsw takes 0.48 ata
/// to 0.377 and 0.60 to 0.471.
#[test]
fn oxygen_after_an_upward_excursion() {
    close!(
        pp_after_ascent(0.48, handbook_ata(400.0), handbook_ata(307.0)),
        0.377,
        epsilon = 5e-4
    );
    close!(
        pp_after_ascent(0.60, handbook_ata(400.0), handbook_ata(307.0)),
        0.471,
        epsilon = 5e-4
    );
}

/// PMC9767825, Table 8: 60, 70, 80 kPa give way to 23 % at 16, 20, 25 msw.
#[test]
fn switch_depths() {
    let switch_depth_msw = |ppo2, share| school_msw(absolute_of_share(ppo2, share));
    for (ppo2_bar, printed, exact) in [(0.6, 16.0, 16.1), (0.7, 20.0, 20.4), (0.8, 25.0, 24.8)] {
        let depth = switch_depth_msw(ppo2_bar, 0.23);
        close!(depth, exact, epsilon = 0.05);
        close!(depth.round(), printed);
    }
    close!(switch_depth_msw(0.5, 0.21), 13.8, epsilon = 0.05);
    close!(switch_depth_msw(0.5, 0.23), 11.7, epsilon = 0.05);
    close!(switch_depth_msw(0.46, 0.21), 11.9, epsilon = 0.05);
}

/// Oxygen to keep ppO2 in a 100 m3 chamber while it is bled, people not counted: check values of the
/// closed form, derived once by hand.
#[test]
fn oxygen_for_a_decompression() {
    let table = [
        (0.5, 0.21, [86.0, 105.5, 119.4, 139.3]),
        (0.5, 0.23, [91.8, 111.3, 125.3, 145.1]),
        (0.46, 0.21, [83.1, 101.0, 113.8, 132.0]),
    ];
    for (ppo2, share, answers) in table {
        for (depth, answer) in [100.0, 150.0, 200.0, 300.0].into_iter().zip(answers) {
            let last = absolute_of_share(ppo2, share);
            let oxygen = decompression_oxygen_m3(100.0, ppo2, school_bar(depth), last);
            close!(oxygen, answer, epsilon = 0.15);
        }
    }
    assert!(decompression_oxygen_m3(100.0, 0.5, 11.0, 0.4).is_infinite());
}

/// The same oxygen by adding up small bleeds, so that the closed form is not its own referee.
#[test]
fn oxygen_for_a_decompression_by_small_steps() {
    let (volume, ppo2, mut pressure, end) = (100.0, 0.5, 21.0, 2.38);
    let steps = 2_000_000;
    let drop = (pressure - end) / f64::from(steps);
    let mut added = 0.0;
    for _ in 0..steps {
        // A bleed of dP net of what is added: oxygen lost with the gas let out is put back.
        let middle = pressure - 0.5 * drop;
        added += volume * drop * ppo2 / (middle - ppo2);
        pressure -= drop;
    }
    close!(
        added,
        decompression_oxygen_m3(volume, ppo2, 21.0, end),
        epsilon = 1e-6
    );
}

/// Canada, SOR/88-600, s. 22(1)(a)(iii)(D), twice the press: 60 m3 need 1,200, 2,400, 3,600 m3 at 100,
/// 200, 300 m.
#[test]
fn chamber_emergency_gas() {
    for (depth, m3) in [(100.0, 1200.0), (200.0, 2400.0), (300.0, 3600.0)] {
        close!(press_again_m3(2.0, 60.0, depth), m3);
    }
}

/// 46 CFR 197.330(a)(8): with two means of retrieval, one of two hours, 5 h.
#[test]
fn bell_survival() {
    close!(severed_s(3600.0, 2.0, 2.0 * 3600.0), 5.0 * 3600.0);
}

/// AODC 014 (four hours on masks) with 20 L/min from memory: 53, 101, 149 m3 at 100, 200, 300 m.
#[test]
fn masks() {
    for (depth, m3) in [(100.0, 53.0), (200.0, 101.0), (300.0, 149.0)] {
        close!(
            breathed_m3(1.0, 20.0, depth, 4.0 * 3600.0),
            m3,
            epsilon = 0.5
        );
    }
}

/// Canada-NL 172(1)(k), 62.5 L/min at depth: 375, 688, 1,000, 1,313, 1,938 L/min of free gas; and
/// Brazil's 40 L/min: 240, 440, 640, 840, 1,240.
#[test]
fn least_supply_and_reclaim_bypass() {
    let depths = [50.0, 100.0, 150.0, 200.0, 300.0];
    for (depth, answer) in depths
        .into_iter()
        .zip([375.0, 688.0, 1000.0, 1313.0, 1938.0])
    {
        close!(supply_l_min(62.5, depth), answer, epsilon = 0.55);
    }
    for (depth, answer) in depths.into_iter().zip([240.0, 440.0, 640.0, 840.0, 1240.0]) {
        close!(
            1e3 * breathed_m3(1.0, BAIL_OUT_L_MIN, depth, 60.0),
            answer,
            epsilon = 1e-9
        );
    }
}

/// Brazil, NORMAM-222 of January 2025: bail-out at 40 L/min, return at 10 m/min; escape sets 1.8 m3.
#[test]
fn bail_out_and_escape_sets() {
    let seconds = bail_out_s(12.0, 200.0, 10.0, 100.0, BAIL_OUT_L_MIN);
    close!(seconds, 12.0 * 179.0 / 440.0 * 60.0, epsilon = 1e-9);
    close!(bail_out_umbilical_m(10.0, seconds), 10.0 * seconds / 60.0);
    close!(bail_out_s(12.0, 15.0, 10.0, 100.0, BAIL_OUT_L_MIN), 0.0);
    close!(breathed_m3(1.0, 60.0, 0.0, 1800.0), 1.8, epsilon = 1e-12);
}

/// Locks of 0.03, 0.06, 0.10 m3 at 300 m lose 0.9, 1.8, 3.0 m3 a run.
#[test]
fn lock_runs() {
    for (volume, m3) in [(0.03, 0.9), (0.06, 1.8), (0.10, 3.0)] {
        close!(lock_cycle_m3(volume, 300.0), m3, epsilon = 1e-12);
    }
}

/// Boyle's law by hand: 60 m3 pressed to 100 msw take 600 m3; three people at 35 L/min and 118 msw (12.8 bar) breathe
/// 0.035 x 12.8 x 3 x 90 = 120.96 m3 in an hour and a half; 0.4 % a day of 60 m3 at 11 bar is 2.64 m3, in 36 h 3.96.
#[test]
fn gas_to_press_to_breathe_and_to_leak() {
    close!(press_m3(60.0, 100.0), 600.0, epsilon = 1e-9);
    close!(press_m3(60.0, 0.0), 0.0);
    close!(
        breathed_m3(3.0, 35.0, 118.0, 5400.0),
        120.96,
        epsilon = 1e-9
    );
    close!(leak_m3(60.0, 100.0, 0.004, 86_400.0), 2.64, epsilon = 1e-9);
    close!(
        leak_m3(60.0, 100.0, 0.004, 1.5 * 86_400.0),
        3.96,
        epsilon = 1e-9
    );
}

/// A saturation's gas term by term, by hand, as GB 18985-2021, 5.6, lists its inputs. 60 m3 at 100 msw with 2 %: 588 and
/// 12 m3; 0.5 % a day of 60 m3 at 11 bar for ten days: 33 m3; six people at 30 L/h for 240 h: 43.2 m3; 5 m3 of bell 18 msw
/// deeper, twelve times: 108 m3; two divers at 35 L/min and 118 msw for six hours, twelve times, 12 % of it lost:
/// 464.4864 m3; 60 x 0.4 x ln(10.6 / (0.4/0.23 - 0.4)) = 49.6520 m3.
#[test]
fn the_bill_of_a_saturation_term_by_term() {
    let of = BillOf {
        chambers_m3: 60.0,
        storage_msw: 100.0,
        mix_o2: 0.02,
        days: 10.0,
        made_up_per_day: 0.005,
        people: 6.0,
        bell_m3: 5.0,
        deeper_msw: 18.0,
        runs: 12.0,
        divers: 2.0,
        l_min: 35.0,
        working_msw: 118.0,
        in_water_s: 21_600.0,
        recovery: 0.88,
        ppo2_bar: 0.4,
        share: 0.23,
    };
    let by_hand = [588.0, 12.0, 33.0, 43.2, 108.0, 464.4864, 49.652_004_65];
    let bill = bill_of_gas(&of);
    let terms = bill.terms();
    for ((words, _, m3), by_hand) in terms.iter().zip(by_hand) {
        close!(*m3, by_hand, epsilon = 1e-6);
        println!("{words}: {m3:.4} m3");
    }
    close!(bill.sum_m3(), by_hand.iter().sum::<f64>(), epsilon = 1e-6);
    let told_apart = |of: &dyn Fn(usize) -> &'static str| {
        (0..terms.len()).all(|i| !of(i).is_empty() && (0..i).all(|j| of(i) != of(j)))
    };
    assert!(told_apart(&|i| terms[i].0) && told_apart(&|i| terms[i].1));
    // From 5 msw (1.5 bar) the share is reached at once: 0.4/0.23 bar lies deeper.
    let shallow = bill_of_gas(&BillOf {
        storage_msw: 5.0,
        ..of
    });
    close!(shallow.decompression_m3, 0.0);
}

/// France, order of 30 October 2012, art. 33 (30 L/h a person): 0.72 m3 in 24 h, 2.16 m3 in 72 h;
/// absorbent 4.7, 5.5, 6.2, 16.4 kg a day at 153, 132, 116, 44 L/kg (measured capacities: Diving Hyperb
/// Med 2016;46(2):92-97 and Aviat Space Environ Med 2009;80(6):561-564).
#[test]
fn sizing_per_person() {
    close!(person_sizing_m3(1.0, 86_400.0), 0.72, epsilon = 1e-12);
    close!(person_sizing_m3(1.0, 3.0 * 86_400.0), 2.16, epsilon = 1e-12);
    for (capacity, day, three_days) in [
        (153.0, 4.7, 14.1),
        (132.0, 5.5, 16.4),
        (116.0, 6.2, 18.6),
        (44.0, 16.4, 49.1),
    ] {
        close!(
            absorbent_kg(1.0, SIZING_L_MIN, 86_400.0, capacity),
            day,
            epsilon = 0.05
        );
        close!(
            absorbent_kg(1.0, SIZING_L_MIN, 3.0 * 86_400.0, capacity),
            three_days,
            epsilon = 0.06
        );
    }
}

/// US Navy Diving Manual, 15-15, in metres over a true atmosphere: 16 % from 0 to 224 fsw, 4 % from 99 to 998 fsw, cut
/// to whole feet.
#[test]
fn windows_of_the_handbook_in_metres() {
    for (share, from_fsw, to_fsw) in [(0.16, 0.0, 224.0), (0.04, 99.0, 998.0)] {
        let (from, to) = breathable_msw(share, ATM_PA);
        let fsw = |msw: f64| msw * MSW_PA / FSW_PER_ATM_PA;
        close!(fsw(from), from_fsw, epsilon = 1e-9);
        assert_eq!(fsw(to).floor(), to_fsw);
    }
}
