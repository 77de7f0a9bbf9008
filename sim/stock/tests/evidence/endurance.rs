//! The evacuation-endurance sheet against sums by hand, for the built-in page of the six-man job: six men at 117.8 msw,
//! a rescue chamber of 12 m3 with eight places.

use deepstay_plant::Activity;
use deepstay_scenario::{PRESENTS, Scenario, load, whole_present_from_text};
use deepstay_stock::{Endurance, Lasts, Supply, endurance};

fn job() -> Scenario {
    load("six-man").expect("built in")
}

/// The built-in page with what goes along.
fn page(evacuation: &str) -> String {
    let text = PRESENTS[0].text.trim_end();
    let open = text
        .strip_suffix(')')
        .expect("a page ends with its bracket");
    format!("{open}    evacuation: {evacuation},\n)\n")
}

fn sheet(evacuation: &str) -> Endurance {
    let scenario = job();
    let present = whole_present_from_text(&page(evacuation), "now.ron", &scenario);
    let present = present.unwrap_or_else(|bad| panic!("{bad}"));
    endurance(&scenario, &present).expect("six are under pressure")
}

fn of(sheet: &Endurance, supply: Supply) -> &Lasts {
    sheet
        .lasts
        .iter()
        .find(|l| l.supply == supply)
        .expect("on the sheet")
}

fn hours(sheet: &Endurance, supply: Supply) -> [f64; 2] {
    of(sheet, supply).hours.map(|h| h.expect("an end"))
}

/// Within a share.
fn near(ours: f64, by_hand: f64, share: f64) {
    assert!(
        (ours / by_hand - 1.0).abs() < share,
        "{ours}, by hand {by_hand}"
    );
}

#[test]
fn a_unit_with_nothing_along_lives_on_its_own_gas() {
    let sheet = sheet("()");
    assert_eq!((sheet.people, sheet.is_rescue), ([6, 8], true));
    // Oxygen of its own gas: (0.463 - 0.16212) bar in 12 m3 at 27.9 degC are 144.2 mol, 3.456 m3 at 15 degC and 1 bar;
    // six take 0.18 m3 an hour.
    let oxygen = hours(&sheet, Supply::Oxygen);
    near(oxygen[0], 3.456 / 0.18, 2e-3);
    near(oxygen[1], 3.456 / 0.24, 2e-3);
    // Its canister has run 267.9 h, one of three for six men: 16 m3 against the 1.28 m3 that 8 kg take. It is spent.
    assert_eq!(hours(&sheet, Supply::Absorbent), [0.0, 0.0]);
    // 0.3 % of 12 m3 at 12.78 bar leak in a day, 0.460 m3; 1.5 msw may be lost, 1.8 m3: 93.9 h, however many breathe.
    let gas = hours(&sheet, Supply::Gas);
    near(gas[0], 93.9, 2e-3);
    assert_eq!(gas[0], gas[1]);
    // No scrubber: (0.060795 - 0.0036) bar in 12 m3 are 27.42 mol, 0.657 m3.
    near(sheet.unscrubbed_h[0], 0.657 / 0.18, 3e-3);
    // What ends first stands first, and 72 h are not met.
    assert_eq!(sheet.lasts[0].supply, Supply::Absorbent);
    assert_eq!(
        (sheet.least_h(), sheet.meets()),
        ([Some(0.0); 2], [false; 2])
    );
    assert!(
        sheet
            .remarks
            .iter()
            .any(|r| r.contains("no bank is said to go with it"))
    );
}

#[test]
fn banks_absorbent_and_locks_that_go_along_count() {
    let sheet = sheet(
        "(banks: [\"O-3\", \"E-1\"], absorbent: \"120 kg\", lock: \"0.05 m3\", lock_runs: 3)",
    );
    // 120 kg at 150 L/kg of dry gas at 0 degC and 1 atm, 6.692 mol/kg: 803.1 mol; six give 7.513 mol an hour.
    near(hours(&sheet, Supply::Absorbent)[0], 106.9, 2e-3);
    // 16 x 50 L from 165.1 to 11.78 bar: 122.7 m3 by hand; oxygen is denser than ideal, by less than a tenth.
    let oxygen = hours(&sheet, Supply::Oxygen)[0] * 0.18 - 3.456;
    assert!((1.0..1.10).contains(&(oxygen / 122.7)), "{oxygen}");
    // 80 x 50 L from 200.1 to 11.78 bar: 753.3 m3 by hand, about a tenth less by the real gas; a day takes 0.460 m3 by the
    // leak and three times 0.05 m3 x 11.78, 1.767 m3, by the lock.
    let gas_m3 = hours(&sheet, Supply::Gas)[0] / 24.0 * (0.460 + 1.767) - 1.8;
    assert!((0.88..0.93).contains(&(gas_m3 / 753.3)), "{gas_m3}");
}

/// The gas and the wall of the unit, followed by small steps to the edge of the band.
#[test]
fn it_cools_as_small_steps_do() {
    let scenario = job();
    let sheet = sheet("(outside: \"7 degC\", heater: \"200 W\")");
    let rest = scenario
        .rates
        .rows
        .iter()
        .find(|r| r.activity == Activity::Rest);
    let rest = rest.expect("a row").rate;
    // 136.7 W to 2.28 kg of water a day at 2.43 MJ/kg; 69 kJ for each mole that the absorbent takes, 1 L/min being
    // 0.0007436 mol/s.
    let wet_w = rest.water_g_h / 3600.0 * 1e-3 * 2.43e6;
    let each_w = rest.heat_w - wet_w + 69_000.0 * rest.co2_l_min * 7.436e-4;
    let heat = of(&sheet, Supply::Heat);
    let edge = |sign: &str, k: usize| -> f64 {
        let term = heat.inputs.iter().find(|i| i.sign == sign).expect(sign);
        let numbers = term.value.split(' ').filter_map(|w| w.parse::<f64>().ok());
        numbers.collect::<Vec<_>>()[k]
    };
    let (low, from) = (edge("Tl", 0), edge("T", 0));
    // Wall: 5 t at 480 J/(kg K). Gas: 12 m3 at 12.79 bar and 301 K, 6130 mol of a monatomic gas for the most part.
    let capacity = 5000.0 * 480.0 + 6130.0 * 12.6;
    let (mut t, mut seconds) = (from, 0.0);
    while t > low {
        t += (6.0 * each_w + 200.0 - 60.0 * (t - 7.0)) / capacity;
        seconds += 1.0;
        assert!(seconds < 1e7, "it does not cool to {low}");
    }
    near(hours(&sheet, Supply::Heat)[0], seconds / 3600.0, 2e-2);
}

#[test]
fn what_cannot_go_along_is_told() {
    let scenario = job();
    for (evacuation, path, words) in [
        ("(banks: [\"O-9\"])", "evacuation.banks[0]", "no bank `O-9`"),
        (
            "(banks: [\"O-3\", \"O-3\"])",
            "evacuation.banks[1]",
            "named twice",
        ),
        (
            "(people: 9)",
            "evacuation.people",
            "9 divers, but Rescue has 8",
        ),
        ("(people: 0)", "evacuation.people", "nobody need be"),
        (
            "(unit: \"Bell\")",
            "evacuation.unit",
            "nobody is evacuated in `Bell`",
        ),
        ("(lock_runs: 3)", "evacuation.lock_runs", "no lock"),
        (
            "(lock: \"0.05 m3\", lock_runs: -3)",
            "evacuation.lock_runs",
            "between 0 and 100",
        ),
        ("(bank: [])", "evacuation", "unknown field"),
    ] {
        let bad = whole_present_from_text(&page(evacuation), "now.ron", &scenario);
        let bad = bad.expect_err(evacuation);
        let found = bad
            .all
            .iter()
            .any(|d| d.place.path == path && d.wrong.to_string().contains(words));
        assert!(found, "{evacuation}: {bad}");
    }
}

#[test]
fn who_stays_in_a_living_chamber_is_told_that_there_is_no_rescue_chamber() {
    let sheet = sheet("(unit: \"Living\", people: 4)");
    assert_eq!((sheet.people, sheet.is_rescue), ([4, 8], false));
    assert!(
        sheet.remarks[0].contains("Living is no rescue chamber"),
        "{:?}",
        sheet.remarks
    );
}

/// The second level of the twelve-man job 12 msw over the first.
#[test]
fn people_at_two_depths_are_told_that_one_is_to_be_decided_on() {
    let scenario = load("twelve-man").expect("built in");
    let room = |name: &str, msw: &str| {
        format!(
            "(name: \"{name}\", depth: \"{msw} msw\", ppo2: \"0.45 bar\", temperature: \"28 degC\"),"
        )
    };
    let diver = |(i, d): (usize, &deepstay_scenario::Diver)| {
        let chamber = if i < 6 { "Living 1" } else { "Living 2" };
        format!("(initials: \"{}\", at: \"{chamber}\"),", d.initials)
    };
    let divers: String = scenario.crew.iter().enumerate().map(diver).collect();
    let rooms: String = scenario
        .steel
        .compartments
        .iter()
        .filter_map(|c| match c.name.as_str() {
            name @ ("Living 1" | "Transfer 1") => Some(room(name, "96")),
            name @ ("Living 2" | "Transfer 2") => Some(room(name, "84")),
            name if name.contains("runk") || name == "Bell" => Some(room(name, "0")),
            _ => None,
        })
        .collect();
    let page = format!(
        "(format: 1, scenario: \"twelve-man\", at: \"8 d\", banks: [], levels: [(chamber: \"Living 1\", phase: Storage(\"96 msw\")), (chamber: \"Living 2\", phase: Storage(\"84 msw\"))], compartments: [{rooms}], divers: [{divers}])"
    );
    let present = whole_present_from_text(&page, "now.ron", &scenario);
    let present = present.unwrap_or_else(|bad| panic!("{bad}\n{page}"));
    let sheet = endurance(&scenario, &present).expect("under pressure");
    assert_eq!((sheet.depth_msw, sheet.people[0]), (96.0, 12));
    let remarks = sheet.remarks.join("\n");
    assert!(remarks.contains("6 are at another depth"), "{remarks}");
}
