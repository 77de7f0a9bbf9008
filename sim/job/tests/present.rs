//! A job taken up from a present goes on as the one that was never put down: beside a whole job that wrote the page, and
//! with what lies in its banks and chambers by outside figures.

#[path = "../../../tests/check_values.rs"]
mod check_values;

use check_values::check_values;
use deepstay_core::gas::Species;
use deepstay_core::record::{Entry, Ledger, Phase, Severity, Sink, What, Whereabouts};
use deepstay_core::units::*;
use deepstay_job::{Ended, Halt, Job, Options, page};
use deepstay_scenario::{LevelStands, Scenario, WholePresent, load, whole_present_from_text};
use std::sync::Arc;

const DAY_S: i64 = 86_400;

fn job_of(name: &str) -> Arc<Scenario> {
    Arc::new(load(name).unwrap_or_else(|bad| panic!("{name}: {bad}")))
}

fn read(text: &str, scenario: &Scenario) -> WholePresent {
    let present = whole_present_from_text(text, "now.ron", scenario);
    present.unwrap_or_else(|bad| panic!("{bad}\n{text}"))
}

fn taken_up(text: &str, scenario: &Arc<Scenario>) -> Job {
    let present = read(text, scenario);
    Job::from_present(Arc::clone(scenario), &present, Options::default())
}

/// The course of what is compared: depth of the first living chamber by the hour, when it was where, what was drawn.
struct Course {
    ledger: Ledger,
    stored_s: Option<i64>,
    runs: u32,
    taken_up: bool,
}

impl Default for Course {
    fn default() -> Course {
        Course {
            ledger: Ledger::new(0),
            stored_s: None,
            runs: 0,
            taken_up: false,
        }
    }
}

impl Sink for Course {
    fn take(&mut self, entry: Entry) {
        match entry.what {
            What::Phase {
                compartment: CompartmentId(0),
                phase: Phase::Storage,
            } => self.stored_s = Some(entry.at),
            What::BellPhase {
                phase: deepstay_core::record::BellPhase::TransferBack,
                ..
            } => self.runs += 1,
            What::TakenUp => self.taken_up = true,
            _ => {}
        }
        self.ledger.take(entry);
    }
}

/// What lies in all banks, mol: oxygen, and all.
fn in_banks(job: &Job) -> (f64, f64) {
    let banks = 0..job.scenario().steel.banks.len() as u8;
    let moles = banks.map(|b| job.plant().bank(BankId(b), job.now()));
    moles.fold((0.0, 0.0), |(o2, all), n| {
        (o2 + n[Species::O2], all + n.total())
    })
}

/// How far a job taken up from a page goes from the one that wrote it.
#[derive(Debug)]
struct Apart {
    depth_msw: f64,
    ppo2_bar: f64,
    surfaced_s: i64,
    oxygen: f64,
    gas: f64,
    puff: f64,
}

/// What one puff of make-up brings into all chambers that people live in, mol: from 0.3 msw under the depth ordered,
/// by the ideal gas law at 303 K.
fn puff_mol(scenario: &Scenario) -> f64 {
    let lived_in = |c: &&deepstay_plant::Compartment| {
        matches!(c.kind, CompartmentKind::Living | CompartmentKind::Transfer)
    };
    let volumes = scenario.steel.compartments.iter().filter(lived_in);
    volumes.map(|c| c.volume_m3).sum::<f64>() * 0.3 * MSW_PA / (8.314_462_618 * 303.0)
}

fn apart(name: &str, at_s: i64) -> Apart {
    let scenario = job_of(name);
    let mut whole = Job::new(Arc::clone(&scenario), Options::default());
    assert_eq!(
        whole.advance_to(at_s, &mut Course::default()),
        Halt::Reached
    );
    let mut again = taken_up(&page(&whole), &scenario);
    let (mut one, mut other) = (Course::default(), Course::default());
    let (one_before, other_before) = (in_banks(&whole), in_banks(&again));
    let (mut depths_msw, mut ppo2_bar): (Vec<f64>, f64) = (Vec::new(), 0.0);
    for hour in 0.. {
        let t_s = at_s + hour * 3600;
        let halts = (
            whole.advance_to(t_s, &mut one),
            again.advance_to(t_s, &mut other),
        );
        if halts != (Halt::Reached, Halt::Reached) {
            break;
        }
        let living = CompartmentId(0);
        let (a, b) = (
            whole.plant().air(living, t_s),
            again.plant().air(living, t_s),
        );
        depths_msw.push((a.p_pa - b.p_pa).abs() / MSW_PA);
        ppo2_bar = ppo2_bar.max((a.ppo2_pa - b.ppo2_pa).abs() / BAR_PA);
    }
    assert_eq!(
        whole.advance_to(i64::MAX, &mut one),
        Halt::Ended(Ended::Surfaced)
    );
    assert_eq!(
        again.advance_to(i64::MAX, &mut other),
        Halt::Ended(Ended::Surfaced)
    );
    // A trunk or a lock that is being filled at the full hour stands in one of both: an hour in fifty is left out.
    depths_msw.sort_by(f64::total_cmp);
    let depth_msw = depths_msw[depths_msw.len() - 1 - depths_msw.len() / 50];
    assert!(other.taken_up && !one.taken_up);
    assert_eq!(one.runs, other.runs, "bell runs made after the present");
    let share = |a: (f64, f64), before: (f64, f64), b: (f64, f64), b_before: (f64, f64)| {
        let (o2, all) = (before.0 - a.0, before.1 - a.1);
        (
            ((b_before.0 - b.0) / o2 - 1.0).abs(),
            ((b_before.1 - b.1) / all - 1.0).abs(),
        )
    };
    let (oxygen, gas) = share(in_banks(&whole), one_before, in_banks(&again), other_before);
    let puff = puff_mol(&scenario) / (one_before.1 - in_banks(&whole).1);
    let surfaced_s = (whole.now() - again.now()).abs();
    // The books begin with what the page says, and close.
    let _ = again.finish(&mut other);
    let closure = other.ledger.closure();
    assert!(closure.holds(1e-9), "{}", closure.worst());
    Apart {
        depth_msw,
        ppo2_bar,
        surfaced_s,
        oxygen,
        gas,
        puff,
    }
}

#[test]
fn it_goes_on_beside_the_job_that_wrote_the_page() {
    // In storage between two bell runs; on the way up, where no gas but oxygen is drawn.
    for (name, at_s) in [
        ("short", 2 * DAY_S + 56_700),
        ("short", 5 * DAY_S),
        ("nine-man", 10 * DAY_S),
        ("twelve-man", 14 * DAY_S),
    ] {
        let apart = apart(name, at_s);
        println!("{name} {at_s}: {apart:?}");
        // Both are held in one band, made up 0.3 msw under the depth ordered and bled 0.5 msw over it.
        assert!(apart.depth_msw < 0.8, "{name} {at_s}: {apart:?}");
        // Oxygen is dosed within the rule set's band, 0.44 to 0.48 ata.
        assert!(apart.ppo2_bar < 0.04, "{name} {at_s}: {apart:?}");
        assert!(apart.surfaced_s < 300, "{name} {at_s}: {apart:?}");
        // Routines fall on other minutes, the walls begin as warm as the gas, the loop begins charged; and one of them
        // may have been made up once more.
        assert!(
            apart.oxygen < 0.02 && apart.gas < 0.04 + apart.puff,
            "{name} {at_s}: {apart:?}"
        );
    }
}

/// The built-in page of the six-man job, with the gas of one chamber and of two banks put to round figures.
fn round_figures(bar: f64) -> String {
    let text = deepstay_scenario::PRESENTS[0].text.replace(
        "phase: Storage(\"118 msw\")",
        "phase: BlowDown(to: \"118 msw\")",
    );
    let mut lines: Vec<String> = Vec::new();
    for line in text.lines() {
        let of = |name: &str| line.contains(&format!("(name: \"{name}\", depth"));
        lines.push(match () {
            // 10 bar in all at a surface of 1.01325 bar.
            () if of("Living") || of("Transfer") || of("Rescue") => {
                let name = line.split('"').nth(1).expect("a name");
                format!("(name: \"{name}\", depth: \"89.8675 msw\", ppo2: \"0.4 bar\", ppn2: \"0 bar\", humidity: \"0 %\", temperature: \"30 degC\"),")
            }
            () if line.contains("(name: \"H-1\"") => {
                format!("(name: \"H-1\", gauge: \"{bar} bar\", temperature: \"15 degC\"),")
            }
            () => line.to_owned(),
        });
    }
    lines.join("\n")
}

#[test]
fn moles_are_those_of_the_reference_equations() {
    let scenario = job_of("six-man");
    let job = |bar| taken_up(&round_figures(bar), &scenario);
    let at = job(200.0).now();
    // A chamber: pV = Z n R T, Z of 4 % oxygen in helium by CoolProp.
    let z = check_values("realgas_heliox.csv")
        .deserialize::<(f64, f64, f64, f64)>()
        .filter_map(Result::ok)
        .find(|row| (row.0, row.1, row.2) == (0.04, 303.15, 10.0))
        .expect("in the table")
        .3;
    let living = job(200.0).plant().air(CompartmentId(0), at);
    let by_hand = 10e5 * 24.0 / (z * 8.314_462_618 * 303.15);
    // Its thermometer is half a degree off at the most: 0.17 %.
    let share = living.n_mol.total() / by_hand - 1.0;
    assert!(share.abs() < 2e-3, "{share}");
    assert!((living.n_mol[Species::O2] / living.n_mol.total() - 0.04).abs() < 1e-9);
    // A bank of 64 bottles: what lies between two gauges, by CoolProp for 48 of them.
    let bank = (0u8..)
        .zip(&scenario.steel.banks)
        .find(|(_, b)| b.name == "H-1");
    let bank = BankId(bank.expect("on board").0);
    let holds = |bar| job(bar).plant().bank_moles(bank, at);
    let m3 = check_values("bank_sums.csv")
        .deserialize::<(String, f64, f64, f64, f64, f64)>()
        .filter_map(Result::ok)
        .find(|r| r.0 == "gas-available" && (r.1, r.2, r.3, r.4) == (0.0, 200.0, 40.0, 15.0))
        .expect("in the table")
        .5;
    // Free gas there is ideal at 15 degC and 1 bar.
    let by_hand = m3 * 64.0 / 48.0 * 1e5 / (8.314_462_618 * 288.15);
    let share = (holds(200.0) - holds(40.0)) / by_hand - 1.0;
    assert!(share.abs() < 2e-3, "{share}");
}

#[test]
fn what_the_page_says_is_what_the_panel_shows() {
    let scenario = job_of("six-man");
    let text = deepstay_scenario::PRESENTS[0].text;
    let present = read(text, &scenario);
    let mut job = taken_up(text, &scenario);
    let at = present.at_s;
    assert_eq!(job.advance_to(at, &mut Course::default()), Halt::Reached);
    let steel = &scenario.steel;
    let shown = |c: CompartmentId, quantity| {
        let id = steel.instrument(c, quantity, Channel::Primary);
        id.map(|id| job.plant().read(id, at))
    };
    for (i, room) in (0u8..).zip(&present.rooms) {
        let Some(room) = room else { continue };
        let c = CompartmentId(i);
        for (quantity, said, step) in [
            (Quantity::Depth, room.depth_msw, 0.1),
            (Quantity::PpO2, room.ppo2_bar, 0.001),
            (Quantity::PpCo2, room.ppco2_bar, 0.0002),
            (Quantity::Temperature, room.t_k, 0.1),
            (Quantity::Humidity, room.humidity, 0.01),
        ] {
            if let Some(shown) = shown(c, quantity) {
                assert!(
                    (shown - said).abs() <= step,
                    "{c:?} {quantity:?}: {shown}, {said}"
                );
            }
        }
    }
    for (b, bank) in (0u8..).zip(&present.banks) {
        let gauge = steel.bank_gauge(BankId(b)).expect("a gauge");
        let said = bank.expect("said").gauge_pa / BAR_PA;
        // A line-up in the first second draws nothing yet; a gauge is read to a tenth.
        let shown = job.plant().read(gauge, at);
        assert!((shown - said).abs() < 0.25, "{b}: {shown}, {said}");
    }
    assert!(
        job.crew()
            .ids()
            .all(|d| job.crew().whereabouts(d) == Whereabouts::In(CompartmentId(0)))
    );
    let assumed = &job.taken_up().expect("from a present").assumed;
    assert!(
        assumed.iter().any(|a| a.contains("not given")),
        "{assumed:?}"
    );
    // Looked at in every second it is the same job, to the last bit.
    let mut each = Job::from_present(
        Arc::clone(&scenario),
        &present,
        Options::default().leap(false),
    );
    let mut leaps = taken_up(text, &scenario);
    for job in [&mut each, &mut leaps] {
        assert_eq!(
            job.advance_to(at + 6 * 3600, &mut Course::default()),
            Halt::Reached
        );
    }
    assert_eq!(each.state_hash(), leaps.state_hash());
    // A save of it goes on alike.
    let mut saved = Job::restore(&job.save(), Arc::clone(&scenario)).expect("taken up again");
    for job in [&mut job, &mut saved] {
        assert_eq!(
            job.advance_to(at + 7200, &mut Course::default()),
            Halt::Reached
        );
    }
    assert_eq!(job.state_hash(), saved.state_hash());
}

#[test]
fn a_blow_down_goes_on_to_its_depth() {
    let scenario = job_of("short");
    let mut whole = Job::new(Arc::clone(&scenario), Options::default());
    let mut one = Course::default();
    let mut at = 0;
    while whole.plant().truth(CompartmentId(0), Quantity::Depth, at) < 30.0 {
        at += 60;
        assert_eq!(whole.advance_to(at, &mut one), Halt::Reached);
    }
    let text = page(&whole);
    let present = read(&text, &scenario);
    assert!(
        matches!(present.levels[0].0, LevelStands::Compression { .. }),
        "{text}"
    );
    let mut again = taken_up(&text, &scenario);
    let mut other = Course::default();
    assert_eq!(whole.advance_to(DAY_S / 3, &mut one), Halt::Reached);
    assert_eq!(again.advance_to(DAY_S / 3, &mut other), Halt::Reached);
    let (a, b) = (
        one.stored_s.expect("arrived"),
        other.stored_s.expect("arrived"),
    );
    // The opening that holds the rate is found anew, and a hold that it stood in begins anew.
    assert!((a - b).abs() < 300, "arrived at {a} and {b}");
}

/// Grave crossings of limits and refused orders.
fn amiss(entries: &[Entry]) -> Vec<String> {
    let grave = |e: &&Entry| match e.what {
        What::Limit { name, outside, .. } => outside && name.severity != Severity::Attention,
        What::Refused { .. } => true,
        _ => false,
    };
    let words = |e: &Entry| format!("{} {:?}", e.at, e.what);
    entries.iter().filter(grave).map(words).collect()
}

/// At whatever hour a page is written it is read, unless a bell run is under way; and in the hours after it nothing is
/// amiss that is not in the job that was never put down.
#[test]
fn a_page_of_any_hour_is_taken_up_in_good_order() {
    const STRIDE_S: i64 = 23 * 3600 + 1234;
    for name in ["short", "bad-night", "six-man", "nine-man", "twelve-man"] {
        let scenario = job_of(name);
        let mut whole = Job::new(Arc::clone(&scenario), Options::default());
        let (mut at, mut pages) = (STRIDE_S / 2, 0);
        while whole.advance_to(at, &mut Course::default()) == Halt::Reached {
            let text = page(&whole);
            let present = match whole_present_from_text(&text, "now.ron", &scenario) {
                Ok(present) => present,
                Err(bad) => {
                    let words = bad.to_string();
                    let under_way = words.contains("a bell run is under way")
                        || words.contains("through the trunk");
                    assert!(under_way, "{name}: {words}\n{text}");
                    at += 1800;
                    continue;
                }
            };
            pages += 1;
            let mut again = Job::from_present(Arc::clone(&scenario), &present, Options::default());
            let mut beside = whole.clone();
            let (mut one, mut other): (Vec<Entry>, Vec<Entry>) = (Vec::new(), Vec::new());
            let halts = (
                beside.advance_to(at + 7200, &mut one),
                again.advance_to(at + 7200, &mut other),
            );
            assert_eq!(halts.0, halts.1, "{name} at {at}");
            let (one, other) = (amiss(&one), amiss(&other));
            assert!(
                other.len() <= one.len(),
                "{name} at {at}: {other:#?}, and without the page {one:#?}\n{text}"
            );
            at += STRIDE_S;
        }
        assert!(pages >= 4, "{name}: {pages} pages");
    }
}
