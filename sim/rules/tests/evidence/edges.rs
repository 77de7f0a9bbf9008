//! Each figure of the rule sets asked exactly on its edge and one resolution beyond, in the table's own unit.
//! The figures are typed here from the documents that each test names; no file of rules is read for them.
//! Those said to be recalled are from memory, here as in the sets.
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current
//! document, the company's approved manual and the licensed people on the job decide.

use deepstay_core::record::{Aspect, Bound, Phase, Severity};
use deepstay_core::units::{Fsw, FswConvention, Quantity};
use deepstay_rules::{Counted, PressGas, RuleSet, StorageChange, builtin, builtin_text};

const MIN: i64 = 60;
const H: i64 = 3600;
const D: i64 = 86_400;
/// One foot of sea water by the handbook's unit table, msw.
const FSW_MSW: f64 = 0.30643;

fn set(name: &str) -> RuleSet {
    builtin(name).expect("built in")
}

/// Every row of a set accepted.
fn all_of(set: &RuleSet) -> Vec<String> {
    set.provenance().into_iter().map(|line| line.id).collect()
}

fn msw(fsw: f64) -> f64 {
    Fsw(fsw).msw(FswConvention::UnitTable).get()
}

/// Legs as (depth in fsw, rate in fsw/min), rounded to what the table prints.
fn legs_fsw(to_fsw: f64) -> Vec<(i64, i64)> {
    let navy = set("us-navy");
    let plan = navy
        .compression(msw(to_fsw), &all_of(&navy))
        .expect("accepted");
    let whole = |x: f64| {
        assert!((x - x.round()).abs() < 1e-6, "{x} is no whole figure");
        x.round() as i64
    };
    plan.legs
        .iter()
        .map(|leg| {
            let rate = leg.rate_msw_s * 60.0 / FSW_MSW;
            (whole(leg.to_msw / FSW_MSW), whole(rate))
        })
        .collect()
}

/// US Navy manual, saturation chapter, compression rates (recalled): 0 to 60 fsw 30 fsw/min, to 250 fsw 10, to
/// 750 fsw 3, to 1000 fsw 2; on air to 36 fsw. A leg that ends on a band's edge is pressed at that band's rate.
#[test]
fn compression_in_several_bands() {
    for (to, legs) in [
        (36.0, vec![(36, 30)]),
        (60.0, vec![(36, 30), (60, 30)]),
        (61.0, vec![(36, 30), (60, 30), (61, 10)]),
        (250.0, vec![(36, 30), (60, 30), (250, 10)]),
        (251.0, vec![(36, 30), (60, 30), (250, 10), (251, 3)]),
        (750.0, vec![(36, 30), (60, 30), (250, 10), (750, 3)]),
        (
            751.0,
            vec![(36, 30), (60, 30), (250, 10), (750, 3), (751, 2)],
        ),
        (
            1000.0,
            vec![(36, 30), (60, 30), (250, 10), (750, 3), (1000, 2)],
        ),
    ] {
        assert_eq!(legs_fsw(to), legs, "to {to} fsw");
    }
    let navy = set("us-navy");
    assert!(navy.compression(msw(1001.0), &all_of(&navy)).is_err());
    let plan = navy
        .compression(msw(100.0), &all_of(&navy))
        .expect("accepted");
    let gases: Vec<PressGas> = plan.legs.iter().map(|leg| leg.gas).collect();
    assert_eq!(gases, [PressGas::Air, PressGas::Helium, PressGas::Helium]);
    // From one storage depth to a deeper one, a band's edge between: no air, no part above.
    let deeper = navy
        .press(msw(240.0), msw(260.0), &all_of(&navy))
        .expect("accepted");
    let ends: Vec<i64> = deeper
        .legs
        .iter()
        .map(|l| (l.to_msw / FSW_MSW).round() as i64)
        .collect();
    assert_eq!(ends, [250, 260]);
    assert!(deeper.legs.iter().all(|leg| leg.gas == PressGas::Mix));
    assert!(
        !deeper
            .rows
            .contains(&"usn.compression.oxygen-first".to_owned())
    );
    // From a band's edge on there is no leg that leads nowhere.
    let on = navy
        .press(msw(250.0), msw(260.0), &all_of(&navy))
        .expect("accepted");
    assert_eq!(on.legs.len(), 1);
    // Another document's rule of oxygen first does not belong to these rates.
    let text = builtin_text("us-navy").expect("built in").replace(
        "usn.compression.oxygen-first",
        "other.compression.oxygen-first",
    );
    let other = RuleSet::from_ron(&text, "other.ron").expect("a set");
    let plan = other
        .compression(msw(100.0), &all_of(&other))
        .expect("accepted");
    assert!(plan.legs.iter().all(|leg| leg.gas == PressGas::Mix));
}

/// France, annex on saturation of 2012: 10 to 100 m 3 m/min, to short of 180 m 1 m/min. In the house set a hold
/// of 20 min at 10 m comes first, and nothing deeper is printed.
#[test]
fn french_compression_on_its_edges() {
    let french = set("france-2012");
    let rate = |depth: f64| {
        let plan = french.compression(depth, &[]).ok()?;
        Some((plan.legs.last()?.rate_msw_s * 600.0).round() / 10.0)
    };
    for (depth, is) in [
        (9.9, None),
        (10.0, Some(3.0)),
        (100.0, Some(3.0)),
        (100.1, Some(1.0)),
        (179.9, Some(1.0)),
        (180.0, None),
    ] {
        assert_eq!(rate(depth), is, "{depth} msw");
    }
    let house = set("demonstration");
    let deeper = house.press(20.0, 60.0, &[]).expect("printed");
    assert_eq!(
        deeper.rows,
        ["france2012.compression.rates", "usn.oxygen.storage"],
        "no leak check under way"
    );
    for (depth, legs) in [
        (10.0, vec![(10.0, 20 * MIN)]),
        (10.1, vec![(10.0, 20 * MIN), (10.1, 0)]),
        (100.0, vec![(10.0, 20 * MIN), (100.0, 0)]),
    ] {
        let plan = house.compression(depth, &[]).expect("printed");
        let held: Vec<(f64, i64)> = plan.legs.iter().map(|l| (l.to_msw, l.hold_s)).collect();
        assert_eq!(held, legs, "{depth} msw");
        for leg in &plan.legs {
            assert_eq!(leg.leak_check, leg.hold_s > 0);
        }
    }
}

/// Seconds from each step's start to the next one's, of a plan from a depth in fsw at a second of the day.
fn between_s(name: &str, from_fsw: f64, start_s: i64) -> Vec<i64> {
    let plan = set(name)
        .decompression(msw(from_fsw), start_s, &[])
        .expect("printed");
    plan.steps
        .windows(2)
        .map(|w| w[1].start_s - w[0].start_s)
        .collect()
}

/// US Navy manual, Revision 4, Table 15-9: deeper than 200 fsw 6 ft/h, 200 to 100 5, 100 to 50 4, 50 to 4 fsw 3;
/// steps of a foot at 1 fsw/min; at 4 fsw 80 min, then 1 fsw/min (15-34). Which rate the foot that leaves the
/// edge itself takes: that of the band above it. Started at 06:00, when travel begins.
#[test]
fn handbook_decompression_on_its_edges() {
    for (from, waits) in [
        (202.0, [600, 600, 720, 720]),
        (102.0, [720, 720, 900, 900]),
        (52.0, [900, 900, 1200, 1200]),
        (7.0, [1200, 1200, 4800, 0]),
    ] {
        let first: Vec<i64> = between_s("demonstration", from, 6 * H)
            .into_iter()
            .take(4)
            .collect();
        let waits: Vec<i64> = waits.into_iter().filter(|w| *w > 0).collect();
        assert_eq!(first, waits, "from {from} fsw");
    }
    let plan = set("demonstration")
        .decompression(msw(7.0), 6 * H, &[])
        .expect("printed");
    let out = plan.steps.last().expect("it reaches the surface");
    assert_eq!((out.by_s - out.start_s, out.to_msw), (4 * MIN, 0.0));
    assert_eq!(plan.total_s, 2400 + 4800 + 240);
    // From the last stop itself: its whole hold; from half its depth half of it; and what lies under a step.
    let alone = |fsw: f64| {
        set("demonstration")
            .decompression(msw(fsw), 6 * H, &[])
            .expect("printed")
    };
    assert_eq!(alone(4.0).total_s, 4800 + 240);
    assert_eq!(alone(2.0).total_s, 2400 + 120);
    assert_eq!(alone(0.0).total_s, 0);
    assert!(
        set("demonstration")
            .decompression(msw(1600.0), 0, &[])
            .is_ok()
    );
    assert!(
        set("demonstration")
            .decompression(msw(1601.0), 0, &[])
            .is_err()
    );
}

/// No travel from 00:00 to 06:00 and from 14:00 to 16:00 (house rule of the set, for the manual's 8 h of rest): a
/// step of a minute that would end with the rest's first second is made, one that would end in it waits.
#[test]
fn rest_hours_on_their_edges() {
    let first_s = |start_s: i64| {
        let plan = set("demonstration")
            .decompression(msw(150.0), start_s, &[])
            .expect("printed");
        plan.steps[0].start_s
    };
    for (hour, rest_s) in [(14, 2 * H), (24, 6 * H)] {
        let rest = hour * H;
        assert_eq!(first_s(rest - 60), 0);
        assert_eq!(first_s(rest - 59), 59 + rest_s);
        assert_eq!(first_s(rest.rem_euclid(D)), rest_s);
        assert_eq!(first_s((rest + rest_s - 1).rem_euclid(D)), 1);
        assert_eq!(first_s((rest + rest_s).rem_euclid(D)), 0);
    }
    // Rest does not count towards a foot's time: from 13:50 on, 12 min a foot; two of the ten minutes are left.
    let waits = between_s("demonstration", 150.0, 14 * H - 10 * MIN);
    assert_eq!(waits[..2], [720 + 2 * H, 720]);
}

/// US Navy manual, decompression in need (recalled): from 203 fsw or less 11 min a foot deeper than 200 fsw, then
/// 18; from 272 or less 11, then 19; from 1000 or less 12, then 21.
#[test]
fn need_on_its_edges() {
    let navy = set("us-navy");
    let accepted = all_of(&navy);
    for (from, deep_min, shallow_min) in [
        (203.0, 11, 18),
        (204.0, 11, 19),
        (272.0, 11, 19),
        (273.0, 12, 21),
        (1000.0, 12, 21),
    ] {
        let plan = navy
            .emergency_decompression(msw(from), 0, &accepted)
            .expect("accepted");
        let at = |fsw: f64| {
            let near = |s: &&deepstay_rules::DecompressionStep| (s.to_msw - msw(fsw)).abs() < 1e-6;
            plan.steps.iter().find(near).expect("a step").start_s
        };
        assert_eq!(at(200.0) - at(201.0), deep_min * MIN, "from {from} fsw");
        assert_eq!(
            at(199.0) - at(200.0),
            deep_min * MIN,
            "from {from} fsw: it was left from 201"
        );
        assert_eq!(at(198.0) - at(199.0), shallow_min * MIN, "from {from} fsw");
    }
    assert!(
        navy.emergency_decompression(msw(1001.0), 0, &accepted)
            .is_err()
    );
}

/// PMC9767825, Table 8: from 90 msw or less 1.6 msw/h deeper than 20 msw, 1.2 deeper than 15 msw, then 0.6; from
/// 130 msw or less 1.4 deeper than 16 msw, then 0.6. A point every 0.1 msw.
#[test]
fn accelerated_on_its_edges() {
    let table = set("accelerated");
    let pace = |from: f64, leaving: f64| {
        let plan = table
            .emergency_decompression(from, 0, &[])
            .expect("printed");
        let at = |depth: f64| {
            let near = |s: &&deepstay_rules::DecompressionStep| (s.to_msw - depth).abs() < 1e-6;
            plan.steps.iter().find(near).expect("a point").by_s
        };
        let s = (at(leaving - 1.0) - at(leaving)) as f64;
        (36_000.0 / s).round() / 10.0
    };
    for (from, leaving, msw_h) in [
        (90.0, 80.0, 1.6),
        (90.0, 21.0, 1.6),
        (90.0, 20.0, 1.2),
        (90.0, 16.0, 1.2),
        (90.0, 15.0, 0.6),
        (90.1, 80.0, 1.4),
        (130.0, 17.0, 1.4),
        (130.0, 16.0, 0.6),
    ] {
        assert_eq!(
            pace(from, leaving),
            msw_h,
            "from {from}, leaving {leaving} msw"
        );
    }
    assert!(table.emergency_decompression(130.1, 0, &[]).is_err());
}

/// Norway, Activities Regulations s. 94: to 180 m a run of 8 h, 4 h in the water in any 12 h, 14 days; deeper 6 h,
/// 3 h, 10 days. Brazil, NORMAM-222 of January 2025, 10.7: in the water to 210 m 6 h, to 260 m 5 h, to 300 m 4 h.
#[test]
fn working_time_on_its_edges() {
    for (name, depth, run_h, water_h) in [
        ("norway", 180.0, Some(8), Some(4)),
        ("norway", 180.1, Some(6), Some(3)),
        ("brazil-2025", 210.0, Some(8), Some(6)),
        ("brazil-2025", 210.1, Some(8), Some(5)),
        ("brazil-2025", 260.0, Some(8), Some(5)),
        ("brazil-2025", 260.1, Some(8), Some(4)),
        ("brazil-2025", 300.0, Some(8), Some(4)),
        ("brazil-2025", 300.1, Some(8), None),
        ("demonstration", 210.0, Some(8), Some(6)),
        ("demonstration", 210.1, Some(8), None),
    ] {
        let time = set(name).working_time(depth, &[]).expect("a row");
        let hours = |s: Option<i64>| s.map(|s| s / H);
        assert_eq!(
            (hours(time.bell_run_s), hours(time.in_water_s)),
            (run_h, water_h),
            "{name} at {depth}"
        );
    }
    for (depth, days) in [(180.0, 14), (180.1, 10)] {
        let length = set("norway").saturation_length(depth, &[]).expect("a row");
        assert_eq!(
            (length.longest_s, length.counted),
            (days * D, Counted::AtDepth)
        );
    }
    // Three men in the bell, only to 180 m.
    let three = |depth| {
        set("norway")
            .working_time(depth, &[])
            .expect("a row")
            .three_man
    };
    assert_eq!(three(180.0).map(|t| t.in_water_s), Some(6 * H));
    assert_eq!(three(180.1), None);
}

/// Interval at the surface: Norway as long as the stay to 180 m, twice as long deeper; Canada, SOR/88-600: 14 days
/// after up to 14 days, else 28.
#[test]
fn intervals_on_their_edges() {
    let after = |name: &str, depth: f64, stay_s: i64| {
        let length = set(name).saturation_length(depth, &[]).expect("a row");
        length.interval_after_s(stay_s).expect("a rule")
    };
    assert_eq!(after("norway", 180.0, 5 * D + 1), 5 * D + 1);
    assert_eq!(after("norway", 180.1, 5 * D + 1), 10 * D + 2);
    assert_eq!(after("canada", 118.0, 14 * D), 14 * D);
    assert_eq!(after("canada", 118.0, 14 * D + 1), 28 * D);
}

/// France, Code du travail R4461-19: 1600 hPa for 3 h, 1400 for 4 h, 1200 for 5 h, 1000 for 6 h, 900 for 8 h.
#[test]
fn oxygen_at_work_on_its_edges() {
    let printed = [(3, 1600), (4, 1400), (5, 1200), (6, 1000), (8, 900)];
    let hpa = |s: i64| {
        let most = set("france").work_oxygen(s, &[]).ok()?;
        Some((most.most_bar * 1e3).round() as i64)
    };
    for (k, (hours, most)) in printed.into_iter().enumerate() {
        assert_eq!(hpa(hours * H), Some(most), "{hours} h");
        assert_eq!(
            hpa(hours * H + 1),
            printed.get(k + 1).map(|p| p.1),
            "past {hours} h"
        );
    }
}

/// US Navy manual, excursions (recalled, by the curve of the set): from 300 fsw down to 392 and no further, and
/// from 392 up to 300 and no further. By hand: 300 + sqrt(829 + 25.34 x 300) = 391.8.
#[test]
fn excursions_on_their_edges() {
    let navy = set("us-navy");
    let accepted = all_of(&navy);
    let allowed = |from: f64, to: f64| navy.excursion(msw(from), msw(to), &accepted).is_ok();
    assert!(allowed(300.0, 392.0) && !allowed(300.0, 393.0));
    assert!(allowed(392.0, 300.0) && !allowed(392.0, 299.0));
    assert!(allowed(900.0, 1000.0) && !allowed(900.0, 1001.0));
    let travel = navy
        .excursion(msw(300.0), msw(320.0), &accepted)
        .expect("allowed")
        .travel_msw_s;
    assert!(
        (travel.expect("printed") * 60.0 / FSW_MSW - 60.0).abs() < 1e-9,
        "60 fsw/min"
    );
    // Hold of 2 h after an upward excursion where storage is 200 fsw or shallower (recalled).
    let hold = |fsw: f64| {
        navy.post_excursion_hold_s(msw(fsw), &accepted)
            .expect("accepted")
    };
    assert_eq!((hold(200.0), hold(201.0)), (2 * H, 0));
}

/// The start with an upward excursion (recalled): 2 fsw/min, then the hold, then the timetable from there.
#[test]
fn a_decompression_begun_by_an_excursion_by_hand() {
    let navy = set("us-navy");
    let accepted = all_of(&navy);
    let plan = navy
        .decompression_by_excursion((msw(180.0), msw(180.0), msw(150.0)), 6 * H, &accepted)
        .expect("accepted");
    assert_eq!((plan.steps[0].start_s, plan.steps[0].by_s), (0, 15 * MIN));
    assert!((plan.steps[0].to_msw - msw(150.0)).abs() < 1e-9);
    let after = navy
        .decompression(msw(150.0), 6 * H + 15 * MIN + 2 * H, &accepted)
        .expect("accepted");
    assert_eq!(
        plan.steps[1].start_s,
        2 * H + 15 * MIN + after.steps[0].start_s
    );
    assert_eq!(plan.total_s, 2 * H + 15 * MIN + after.total_s);
    assert_eq!(plan.steps.len(), after.steps.len() + 1);
    assert_eq!(plan.steps[1].by_s, 2 * H + 15 * MIN + after.steps[0].by_s);
    assert!(
        navy.decompression_by_excursion((msw(180.0), msw(180.0), msw(20.0)), 6 * H, &accepted)
            .is_err(),
        "further than the excursion allows"
    );
    assert!(
        set("demonstration")
            .decompression_by_excursion((60.0, 60.0, 55.0), 0, &[])
            .is_err(),
        "a set that allows none"
    );
}

/// Limits at a depth and phase as (quantity, bound, value in the document's unit), sorted.
fn limits(name: &str, phase: Phase, depth: f64) -> Vec<(Quantity, Bound, f64, Severity)> {
    let mut found: Vec<_> = set(name)
        .limits(phase, depth, &[])
        .iter()
        .map(|l| {
            let value = match l.quantity {
                Quantity::Temperature => l.value - 273.15,
                Quantity::PpO2 | Quantity::PpCo2 if name == "demonstration" => l.value / 1.01325,
                _ => l.value,
            };
            (l.quantity, l.bound, (value * 1e4).round() / 1e4, l.severity)
        })
        .collect();
    found.sort_by(|a, b| (a.0, a.1).cmp(&(b.0, b.1)).then(a.2.total_cmp(&b.2)));
    found
}

/// US Navy manual, Revision 4, 15-14 and 15-22: oxygen 0.16, 0.42, 0.48 and 0.6 ata, the middle two deeper than
/// 11.1 msw only; carbon dioxide 0.005, 0.02 and 0.06 ata. France: oxygen at most 25 % by volume (R4461-19); living
/// temperature by depth within 2 degC, humidity 30 to 80 % (order of 30 October 2012, art. 33).
#[test]
fn limits_of_the_house_set_are_those_printed() {
    use Bound::{High, Low};
    use Quantity::{FO2, Humidity, PpCo2, PpO2, Temperature};
    use Severity::{Attention, Emergency, Limit};
    let gas = [
        (PpO2, High, 0.48, Attention),
        (PpO2, High, 0.6, Limit),
        (PpO2, Low, 0.16, Emergency),
        (PpO2, Low, 0.42, Limit),
        (FO2, High, 0.25, Limit),
        (PpCo2, High, 0.005, Attention),
        (PpCo2, High, 0.02, Limit),
        (PpCo2, High, 0.06, Emergency),
    ];
    let shallow: Vec<_> = gas
        .into_iter()
        .filter(|g| ![0.42, 0.48].contains(&g.2))
        .collect();
    let climate = |low: f64, high: f64| {
        [
            (Temperature, High, high + 2.0, Limit),
            (Temperature, Low, low - 2.0, Limit),
            (Humidity, High, 0.8, Limit),
            (Humidity, Low, 0.3, Limit),
        ]
    };
    for (depth, low, high) in [
        (11.1, 22.0, 27.0),
        (50.0, 22.0, 27.0),
        (75.0, 23.5, 28.0),
        (100.0, 25.0, 29.0),
        (120.0, 25.8, 29.4),
        (150.0, 27.0, 30.0),
        (200.0, 28.0, 31.0),
    ] {
        for phase in [Phase::Storage, Phase::Decompression] {
            let printed: Vec<_> = gas.into_iter().chain(climate(low, high)).collect();
            assert_eq!(
                limits("demonstration", phase, depth),
                printed,
                "{phase:?} at {depth}"
            );
        }
    }
    let printed: Vec<_> = shallow.iter().copied().chain(climate(22.0, 27.0)).collect();
    assert_eq!(limits("demonstration", Phase::Decompression, 11.0), printed);
    // Deeper than the last printed temperature there is none, in a chamber that is pressed no climate is judged.
    assert_eq!(limits("demonstration", Phase::Storage, 200.1), gas);
    let pressing: Vec<_> = shallow.iter().copied().filter(|g| g.0 != FO2).collect();
    assert_eq!(limits("demonstration", Phase::Compression, 100.0), pressing);
    assert_eq!(limits("demonstration", Phase::Surface, 0.0), []);
    for limit in set("demonstration").limits(Phase::Storage, 100.0, &[]) {
        assert_eq!(limit.stands_s, 0, "{}", limit.id);
    }
}

/// Of a bell, of what is breathed, of rates: US Navy manual, Revision 4, 15-14 and 15-22 (0.16, 0.6 and 1.25 ata of
/// oxygen; 0.005, 0.02 and 0.06 ata of carbon dioxide), France R4461-17 (10 hPa of carbon dioxide in what is
/// breathed), the rest of the house. A set without such rows has the same.
#[test]
fn limits_of_bells_of_what_is_breathed_and_of_rates_are_the_same_in_sets_without() {
    use Bound::{High, Low};
    use Severity::{Attention, Emergency, Limit};
    let ata = |limits: Vec<deepstay_rules::Limit>, of: Quantity| -> Vec<(Bound, f64, Severity)> {
        let mine = limits.into_iter().filter(|l| l.quantity == of);
        mine.map(|l| (l.bound, (l.value / 1.01325 * 1e4).round() / 1e4, l.severity))
            .collect()
    };
    for name in ["demonstration", "france-2012"] {
        let set = set(name);
        for open in [true, false] {
            let oxygen = ata(set.bell_limits(open, &[]), Quantity::PpO2);
            let printed = [
                (Low, 0.16, Emergency),
                (High, 0.6, Attention),
                (High, 1.25, Emergency),
            ];
            assert_eq!(oxygen, printed, "{name}");
            let co2 = ata(set.bell_limits(open, &[]), Quantity::PpCo2);
            let printed = [
                (High, 0.005, Attention),
                (High, 0.02, Limit),
                (High, 0.06, Emergency),
            ];
            assert_eq!(co2, printed, "{name}");
            // Off where it is to be; open to the sea, off the sea's depth there.
            let depth = set.bell_limits(open, &[]);
            let of = |aspect| -> Vec<(Bound, f64)> {
                let mine = depth
                    .iter()
                    .filter(|l| l.quantity == Quantity::Depth && l.aspect == aspect);
                mine.map(|l| (l.bound, (l.value * 1e3).round() / 1e3))
                    .collect()
            };
            assert_eq!(of(Aspect::Inside), [(Low, 3.0), (High, 3.0), (Low, 10.0)]);
            // 60 fsw/min at 33.08 fsw or 10.13 msw to the atmosphere: 18.38 msw/min.
            let rates = of(Aspect::Rate);
            assert!(
                rates.iter().all(|(_, r)| (r.abs() - 18.38).abs() < 0.15),
                "{rates:?}"
            );
            assert_eq!(rates.len(), 2);
        }
        let oxygen = ata(set.breathed_limits(&[]), Quantity::PpO2);
        assert_eq!(oxygen, [(Low, 0.16, Emergency), (High, 1.25, Emergency)]);
        let co2 = set.breathed_limits(&[]);
        let co2 = co2.iter().find(|l| l.quantity == Quantity::PpCo2);
        assert!(co2.is_some_and(|l| (l.value - 0.01).abs() < 1e-9), "10 hPa");
        let rates = |phase| -> Vec<(Bound, f64)> {
            let limits = set.rate_limits(phase, &[]);
            limits
                .iter()
                .map(|l| (l.bound, (l.value * 1e6).round() / 1e6))
                .collect()
        };
        assert_eq!(rates(Phase::Storage), [(Low, -1.0), (High, 3.0)], "msw/min");
        assert_eq!(rates(Phase::Compression), [(Low, -1.0)]);
    }
}

/// France: oxygen of a chamber 160 hPa at the least, 300 to 450 hPa in storage, at most 800 hPa on the way up,
/// carbon dioxide 10 hPa.
#[test]
fn limits_of_the_french_set_are_those_printed() {
    let oxygen = |phase| {
        let all = limits("france-2012", phase, 60.0);
        let of = |side| -> Vec<f64> {
            all.iter()
                .filter(|l| l.0 == Quantity::PpO2 && l.1 == side)
                .map(|l| l.2)
                .collect()
        };
        (of(Bound::Low), of(Bound::High))
    };
    assert_eq!(oxygen(Phase::Compression), (vec![0.16], vec![0.45]));
    assert_eq!(oxygen(Phase::Storage), (vec![0.16, 0.3], vec![0.45]));
    assert_eq!(oxygen(Phase::Decompression), (vec![0.16], vec![0.8]));
    let storage = set("france-2012").storage_oxygen(&[]).expect("a row");
    assert!((storage.low_bar - 0.3).abs() < 1e-12 && (storage.high_bar - 0.45).abs() < 1e-12);
}

/// Which climate row answers on either side of 50 and of 200 msw, and what is said to have been used.
#[test]
fn climate_rows_on_their_edges() {
    let rows = |depth: f64, accepted: &[String]| {
        set("demonstration")
            .climate(depth, accepted)
            .map(|band| band.rows)
            .unwrap_or_default()
    };
    assert_eq!(
        rows(0.0, &[]),
        ["house.climate.shallow", "france2012.climate.bands"]
    );
    assert_eq!(
        rows(49.9, &[]),
        ["house.climate.shallow", "france2012.climate.bands"]
    );
    assert_eq!(rows(50.0, &[]), ["france2012.climate.bands"]);
    assert_eq!(
        rows(50.1, &[]),
        ["france2012.climate.bands", "house.climate.between"]
    );
    assert_eq!(rows(200.0, &[]), ["france2012.climate.bands"]);
    let deeper = ["house.climate.deeper".to_owned()];
    assert_eq!(
        rows(200.1, &deeper).first().map(String::as_str),
        Some("house.climate.deeper")
    );
    assert!(rows(200.1, &[]).is_empty() && rows(310.1, &deeper).is_empty());
    let band = set("demonstration").climate(100.0, &[]).expect("printed");
    assert!((band.set_k - (273.15 + 27.0)).abs() < 1e-9 && (band.tolerance_k - 2.0).abs() < 1e-12);
}

/// Rows of one figure: canister after 0.005 ata for 1 h; analysers every 2 h, log every 30 min (Canada, SOR/88-600);
/// ear drops twice a day, 5 min an ear (US Navy, 15-18); 30 and 20.9 L/h of carbon dioxide.
#[test]
fn rows_of_one_figure() {
    let house = set("demonstration");
    let canister = house.absorbent_change(&[]).expect("a row");
    assert!((canister.ppco2_bar - 0.005 * 1.01325).abs() < 1e-12);
    assert_eq!(canister.stood_s, H);
    assert_eq!(
        house.calibration_every_s(&[]).expect("a row").every_s,
        2 * H
    );
    assert_eq!(house.log_every_s(&[]).expect("a row").every_s, 30 * MIN);
    let hygiene = house.hygiene(&[]).expect("a row");
    let drops = (
        hygiene.ear_drops_per_day,
        hygiene.per_ear_s,
        hygiene.wash_per_day,
    );
    assert_eq!(drops, (2, 5 * MIN, 1));
    assert!(hygiene.wash_after_dive);
    let l_h = |m3_s: f64| m3_s * 3.6e6;
    assert!((l_h(house.co2_sizing(&[]).expect("a row").m3_s) - 30.0).abs() < 1e-9);
    assert!((l_h(house.co2_actual(&[]).expect("a row").m3_s) - 20.9).abs() < 1e-9);
    assert!((l_h(house.o2_sizing(&[]).expect("a row").m3_s) - 30.0).abs() < 1e-9);
}

/// From a storage depth to itself nothing is done; to a shallower one the bands lead to just that depth, without the
/// last stop; to a deeper one it is pressed.
#[test]
fn a_change_of_storage_ends_where_it_is_to() {
    let house = set("demonstration");
    let to = |fsw: f64| house.change_storage(msw(250.0), msw(fsw), 6 * H, &[]);
    assert!(matches!(to(250.0), Ok(StorageChange::None)));
    let Ok(StorageChange::Bleed(plan)) = to(240.0) else {
        panic!("it is bled");
    };
    assert_eq!(plan.steps.len(), 10);
    let last = plan.steps.last().expect("a step");
    assert!((last.to_msw - msw(240.0)).abs() < 1e-9 && last.start_s == 9 * 600);
    assert!(matches!(
        house.change_storage(60.0, 60.1, 0, &[]),
        Ok(StorageChange::Press(_))
    ));
}

/// Each row that a timetable is made of is named, and none besides.
#[test]
fn a_timetable_names_its_rows() {
    let plan = set("demonstration")
        .decompression(60.0, 0, &[])
        .expect("printed");
    assert_eq!(
        plan.rows,
        [
            "usn.decompression.rates",
            "usn.decompression.steps",
            "house.decompression.oxygen",
            "house.decompression.rest-hours",
            "usn.decompression.last-stop",
            "usn.unit-table.foot",
        ]
    );
}

/// A limit that holds only shallower than a depth holds a decimetre above it and not on it (an invented row).
#[test]
fn a_limit_of_shallow_depths_ends_on_its_edge() {
    let text = builtin_text("demonstration").expect("built in").replace(
        "from: \"11.1 msw\", bound: High",
        "shallower_than: \"11.1 msw\", bound: High",
    );
    let shallow = RuleSet::from_ron(&text, "shallow.ron").expect("a set");
    let holds = |depth: f64| {
        let limits = shallow.limits(Phase::Storage, depth, &[]);
        limits.iter().any(|l| l.id == "usn.limit.oxygen.high")
    };
    assert!(holds(11.0) && !holds(11.1));
}

/// The upper end of the trade, 1,000 ft. Under the demonstration set, with rows from memory accepted, a job goes to the table's
/// end and not past it. The set's foot is everybody's, 0.30643 msw, so that what is refused is told in feet alone; under a set that counts
/// 33 feet to the atmosphere the end lies at 307.05 msw and is told by both feet.
#[test]
fn a_thousand_feet_and_no_more() {
    let house = set("demonstration");
    let accepted = all_of(&house);
    for depth in [msw(999.0), msw(1000.0)] {
        assert!(house.compression(depth, &accepted).is_ok(), "{depth}");
        assert!(house.decompression(depth, 0, &accepted).is_ok(), "{depth}");
        assert!(house.climate(depth, &accepted).is_ok(), "{depth}");
        assert!(house.storage_oxygen(&accepted).is_ok());
    }
    let by_the_atmosphere = builtin_text("demonstration")
        .expect("built in")
        .replace("figures: UnitTable", "figures: PerAtmosphere");
    let by_the_atmosphere = RuleSet::from_ron(&by_the_atmosphere, "feet.ron").expect("a set");
    let silent = builtin_text("demonstration").expect("built in");
    let (start, end) = (
        silent.find("    feet: (").expect("feet"),
        silent.find("    compression: [").expect("rows"),
    );
    let silent = RuleSet::from_ron(&[&silent[..start], &silent[end..]].concat(), "silent.ron");
    let silent = silent.expect("a set");
    let other = Fsw(1000.0).msw(FswConvention::PerAtmosphere).get();
    let past = "usn.compression.rates is printed for storage at 0 fsw to 1000 fsw";
    let both = "(by the set's foot 307.05 msw; as many feet of 0.30643 msw, as a depth elsewhere is written, are 306.43 msw)";
    for (set, reaches, refuses, words) in [
        (&house, msw(1000.0), msw(1000.1), format!("{past}, and")),
        (&silent, msw(1000.0), msw(1000.1), format!("{past}, and")),
        (
            &by_the_atmosphere,
            other,
            other + 0.03,
            format!("{past} {both}"),
        ),
    ] {
        assert!(set.compression(reaches, &accepted).is_ok(), "{reaches}");
        let refusal = set
            .compression(refuses, &accepted)
            .expect_err("past the end");
        assert!(refusal.to_string().contains(&words), "{refusal}");
    }
    // Without acceptance the row that would be needed is named.
    let refusal = house
        .compression(msw(1000.0), &[])
        .expect_err("from memory");
    assert!(
        refusal
            .to_string()
            .contains("\"usn.compression.rates\" in accept_recalled"),
        "{refusal}"
    );
}
