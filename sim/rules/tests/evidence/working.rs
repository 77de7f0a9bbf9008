//! Working time, rest and days under pressure as the documents print them, side by side; and
//! compression, climate and limits of the French set.

use approx::assert_abs_diff_eq as close;
use deepstay_core::record::{Bound, Phase};
use deepstay_core::units::Quantity;
use deepstay_rules::{Counted, RuleSet, Status, builtin};

const H: i64 = 3600;
const D: i64 = 86_400;

fn set(name: &str) -> RuleSet {
    builtin(name).expect("built in")
}

/// UK HSE DVIS 7; Norway s. 94; France 2019 and 2012; Brazil NORMAM-222 of January 2025; Canada
/// SOR/88-600: bell run, water, rest.
#[test]
fn bell_run_water_and_rest() {
    let rows = [
        ("uk", 118.0, Some(8 * H), Some(6 * H), Some(12 * H)),
        ("uk", 200.0, Some(8 * H), Some(6 * H), Some(12 * H)),
        ("norway", 180.0, Some(8 * H), Some(4 * H), None),
        ("norway", 200.0, Some(6 * H), Some(3 * H), None),
        ("france", 200.0, Some(8 * H), None, None),
        ("france-2012", 118.0, Some(8 * H), None, None),
        ("brazil-2025", 200.0, Some(8 * H), Some(6 * H), Some(12 * H)),
        ("brazil-2025", 211.0, Some(8 * H), Some(5 * H), Some(12 * H)),
        ("brazil-2025", 300.0, Some(8 * H), Some(4 * H), Some(12 * H)),
        ("brazil-2025", 301.0, Some(8 * H), None, Some(12 * H)),
        ("canada", 118.0, None, None, Some(8 * H)),
    ];
    for (name, depth, run, water, rest) in rows {
        let time = set(name).working_time(depth, &[]).expect("a row");
        assert_eq!(
            (time.bell_run_s, time.in_water_s, time.rest_s),
            (run, water, rest),
            "{name} at {depth}"
        );
    }
    let three = set("norway")
        .working_time(150.0, &[])
        .expect("a row")
        .three_man
        .expect("to 180 m");
    assert_eq!(
        (three.in_water_s, three.break_s, three.bellman_every_days),
        (6 * H, H / 2, 3)
    );
    assert_eq!(three.break_between_s, (2 * H, 4 * H));
    assert_eq!(
        set("norway")
            .working_time(150.0, &[])
            .expect("a row")
            .in_water_window_s,
        Some(12 * H)
    );
    assert!(set("canada-nl").working_time(100.0, &[]).is_err());
}

/// Days: Norway 14 and 10 at working depth, France 30 (100 a year), Canada 31, Canada-NL 28; UK 28 and
/// Brazil 28 only from memory.
#[test]
fn saturation_length() {
    let rows = [
        ("norway", 180.0, 14, Counted::AtDepth),
        ("norway", 181.0, 10, Counted::AtDepth),
        ("france", 118.0, 30, Counted::UnderPressure),
        ("canada", 118.0, 31, Counted::UnderPressure),
        ("canada-nl", 118.0, 28, Counted::UnderPressure),
    ];
    for (name, depth, days, counted) in rows {
        let length = set(name).saturation_length(depth, &[]).expect("a row");
        assert_eq!(
            (length.longest_s, length.counted),
            (days * D, counted),
            "{name} at {depth}"
        );
    }
    assert_eq!(
        set("france")
            .saturation_length(118.0, &[])
            .expect("a row")
            .per_year_s,
        Some(100 * D)
    );
    for (name, id) in [
        ("uk", "uk.saturation"),
        ("brazil-2025", "brazil2025.saturation"),
    ] {
        let refusal = set(name)
            .saturation_length(118.0, &[])
            .expect_err("recalled");
        assert!(
            refusal.to_string().contains(id) && refusal.to_string().contains("accept_recalled"),
            "{refusal}"
        );
        assert_eq!(
            set(name)
                .saturation_length(118.0, &[id.to_owned()])
                .expect("accepted")
                .longest_s,
            28 * D
        );
    }
}

/// Surface intervals: Norway as long, and twice as long deeper than 180 m; France as long; Canada 14 d
/// after up to 14 d, else 28 d.
#[test]
fn surface_interval() {
    let after = |name: &str, depth, days: i64| {
        let length = set(name).saturation_length(depth, &[]).expect("a row");
        length.interval_after_s(days * D).expect("a rule") / D
    };
    assert_eq!(after("norway", 150.0, 21), 21);
    assert_eq!(after("norway", 200.0, 16), 32);
    assert_eq!(after("france", 118.0, 28), 28);
    assert_eq!(
        (after("canada", 118.0, 14), after("canada", 118.0, 15)),
        (14, 28)
    );
}

/// France, annex on saturation: to 100 m 3 m/min, from there to short of 180 m 1 m/min, on 2 % oxygen.
#[test]
fn french_compression() {
    let set = set("france-2012");
    for (depth, rate) in [(60.0, 3.0), (100.0, 3.0), (101.0, 1.0), (179.0, 1.0)] {
        let plan = set.compression(depth, &[]).expect("printed");
        assert_eq!(plan.legs.len(), 1);
        close!(plan.legs[0].rate_msw_s * 60.0, rate, epsilon = 1e-12);
        assert_eq!(plan.mix_o2, Some(0.02));
    }
    for depth in [5.0, 180.0, 200.0] {
        let refusal = set.compression(depth, &[]).expect_err("not printed");
        assert!(
            refusal.to_string().contains("france2012.compression.rates"),
            "{refusal}"
        );
    }
    let refusal = set.decompression(100.0, 0, &[]).expect_err("rows not seen");
    assert!(
        refusal
            .to_string()
            .contains("france2012.decompression.rates"),
        "{refusal}"
    );
}

/// Order of 30 October 2012, art. 33: 22-27, 25-29, 27-30, 28-31 degC at 50, 100, 150, 200 m.
#[test]
fn french_climate() {
    let set = set("france-2012");
    for (depth, low, high) in [
        (50.0, 22.0, 27.0),
        (100.0, 25.0, 29.0),
        (150.0, 27.0, 30.0),
        (200.0, 28.0, 31.0),
    ] {
        let band = set.climate(depth, &[]).expect("printed");
        close!(band.low_k - 273.15, low, epsilon = 1e-9);
        close!(band.high_k - 273.15, high, epsilon = 1e-9);
        assert_eq!(
            band.rows,
            ["france2012.climate.bands"],
            "as printed, nothing else used"
        );
        assert_eq!(band.humidity, Some((0.3, 0.8)));
    }
    assert!(
        set.climate(75.0, &[])
            .expect("between")
            .rows
            .contains(&"house.climate.between".to_owned())
    );
    assert!(set.climate(201.0, &[]).is_err());
}

/// Alarm limits keep to their own set: a French high of 450 hPa is below the handbook's storage band
/// of 0.44 to 0.48 ata.
#[test]
fn limits_are_not_mixed() {
    let high = |name: &str| {
        let limits = set(name).limits(Phase::Storage, 118.0, &[]);
        let of_oxygen = limits
            .iter()
            .filter(|l| l.quantity == Quantity::PpO2 && l.bound == Bound::High);
        of_oxygen.map(|l| l.value).fold(f64::INFINITY, f64::min)
    };
    close!(high("france-2012"), 0.45, epsilon = 1e-12);
    close!(high("us-navy"), 0.48 * 1.01325, epsilon = 1e-9);
    let storage = set("demonstration").storage_oxygen(&[]).expect("a row");
    assert!(high("demonstration") >= storage.high_bar);
    for name in deepstay_rules::builtin_names() {
        for limit in set(name).limits(Phase::Decompression, 5.0, &[]) {
            assert!(!limit.source.document.is_empty() && !limit.id.is_empty());
        }
    }
}

/// France, Code du travail R4461-19, oxygen while working by continuous duration: 1600 hPa for 3 h, 1400 for 4 h,
/// 1200 for 5 h, 1000 for 6 h, 900 for 8 h. No longer work is printed, so none is answered.
#[test]
fn french_oxygen_at_work() {
    for name in ["france", "france-2012"] {
        let set = set(name);
        for (hours, hpa) in [
            (3, 1600.0),
            (4, 1400.0),
            (5, 1200.0),
            (6, 1000.0),
            (8, 900.0),
        ] {
            let most = set.work_oxygen(hours * H, &[]).expect("printed");
            close!(most.most_bar * 1e3, hpa, epsilon = 1e-9);
            assert_eq!(
                (most.up_to_s, most.id.as_str()),
                (hours * H, "france.oxygen.work")
            );
            assert!(most.source.document.contains("R4461-19"));
            assert_eq!(most.source.status, Status::Seen);
        }
        let between = set.work_oxygen(7 * H, &[]).expect("under 8 h");
        close!(between.most_bar, 0.9, epsilon = 1e-12);
        let longer = set.work_oxygen(8 * H + 1, &[]).expect_err("not printed");
        assert!(
            longer
                .to_string()
                .contains("is printed for work of up to 8 h"),
            "{longer}"
        );
        let listed = set.provenance();
        let row = listed.iter().find(|l| l.id == "france.oxygen.work");
        let figures = &row.expect("listed").figures;
        assert_eq!(
            figures,
            "at most, by length of work: 3 h: 1600 hPa; 4 h: 1400 hPa; 5 h: 1200 hPa; 6 h: 1000 hPa; 8 h: 900 hPa"
        );
    }
    assert!(set("uk").work_oxygen(3 * H, &[]).is_err());
}

/// 30 L/h a person to size by (France 2012, art. 33) is not what is measured (20.9 L/h in a trial).
#[test]
fn sizing_is_not_simulating() {
    let set = set("demonstration");
    let sizing = set.co2_sizing(&[]).expect("a row");
    let actual = set.co2_actual(&[]).expect("a row");
    close!(sizing.m3_s * 3.6e6, 30.0, epsilon = 1e-9);
    close!(actual.m3_s * 3.6e6, 20.9, epsilon = 1e-9);
    close!(
        set.o2_sizing(&[]).expect("a row").m3_s * 6e4,
        0.5,
        epsilon = 1e-12
    );
}
