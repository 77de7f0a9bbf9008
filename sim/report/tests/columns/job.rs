//! The tables of a job against its entries: on a job where true and indicated, primary and secondary differ.

use super::{FREE_MOL_M3, Table, number, read};
use deepstay_core::gas::Amounts;
use deepstay_core::record::{AlarmState, BellPhase, Entry, Recorder, Sink, What};
use deepstay_core::units::*;
use deepstay_core::words::Words;
use deepstay_job::{Finished, Job, Options};
use deepstay_report::{
    Inputs, JobPapers, Units, alarms_csv, bell_csv, divers_csv, gas_status_csv, ledger_csv, log_csv,
};
use deepstay_scenario::{Fault, FaultKind, Scenario, load};
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

const LIVING: CompartmentId = CompartmentId(0);

struct Ran {
    job: Finished,
    scenario: Arc<Scenario>,
    entries: Vec<Entry>,
    record: Recorder,
    ended_s: i64,
}

struct Both<'a>(&'a mut Recorder, &'a mut Vec<Entry>);

impl Sink for Both<'_> {
    fn take(&mut self, entry: Entry) {
        self.0.take(entry);
        self.1.push(entry);
    }
}

/// A day and a half of the short job. From hour 7 on the living chamber's first oxygen analyser comes to read 0.04 bar
/// low, and its thermometer hangs for twenty minutes.
fn ran() -> &'static Ran {
    static RAN: OnceLock<Ran> = OnceLock::new();
    RAN.get_or_init(|| {
        let mut scenario = load("short").unwrap_or_else(|bad| panic!("{bad}"));
        let of = |quantity| {
            scenario
                .steel
                .instrument(LIVING, quantity, Channel::Primary)
                .expect("there is one")
        };
        let at = 7 * 3600;
        let fault = |what| Fault {
            at,
            until: Some(at + 1200),
            what,
        };
        scenario.faults = vec![
            fault(FaultKind::Drift {
                instrument: of(Quantity::PpO2),
                span_per_s: 0.0,
                zero_per_s: -0.04 / 1200.0,
            }),
            fault(FaultKind::Frozen {
                instrument: of(Quantity::Temperature),
            }),
        ];
        // Rows close enough to see it before the analyser is calibrated.
        scenario.log_every_s = 300;
        let scenario = Arc::new(scenario);
        let mut record = Recorder::new(scenario.start_second_of_day);
        let mut entries = Vec::new();
        let mut job = Job::new(scenario.clone(), Options::default());
        let _ = job.advance_to(30 * 3600, &mut Both(&mut record, &mut entries));
        let ended_s = job.now();
        let job = job.finish(&mut Both(&mut record, &mut entries));
        Ran {
            job,
            scenario,
            entries,
            record,
            ended_s,
        }
    })
}

fn table(make: impl Fn(&Inputs<'_>) -> Vec<u8>) -> Table {
    let ran = ran();
    let papers = JobPapers::of(&ran.job, &ran.record, "");
    let inputs = papers.inputs(&ran.record, Units::Metric);
    read(&make(&inputs))
}

type Logged = BTreeMap<(i64, CompartmentId, Quantity, Channel, Truth), f64>;

fn logged() -> Logged {
    let each = |e: &Entry| match e.what {
        What::Logged {
            compartment,
            quantity,
            channel,
            truth,
            value,
        } => Some(((e.at, compartment, quantity, channel, truth), value)),
        _ => None,
    };
    ran().entries.iter().filter_map(each).collect()
}

/// Each reading of the log stands under the head that says what it is, in the head's unit, to the digits written.
#[test]
fn each_reading_of_the_log_is_under_its_own_head() {
    use Channel::{Primary, Secondary};
    use Quantity::{Depth, Humidity, PpCo2, PpO2, Temperature};
    use Truth::{Shown, True};
    type Plain = fn(f64) -> f64;
    let same: Plain = |x| x;
    let columns: [(&str, Quantity, Channel, Truth, Plain, f64); 11] = [
        ("depth indicated (msw)", Depth, Primary, Shown, same, 0.051),
        ("depth true (msw)", Depth, Primary, True, same, 0.051),
        ("ppO2 primary (bar)", PpO2, Primary, Shown, same, 0.00051),
        (
            "ppO2 secondary (bar)",
            PpO2,
            Secondary,
            Shown,
            same,
            0.00051,
        ),
        ("ppO2 true (bar)", PpO2, Primary, True, same, 0.00051),
        (
            "ppCO2 indicated (mbar)",
            PpCo2,
            Primary,
            Shown,
            |x| x * 1e3,
            0.0051,
        ),
        (
            "ppCO2 true (mbar)",
            PpCo2,
            Primary,
            True,
            |x| x * 1e3,
            0.0051,
        ),
        (
            "temperature indicated (degC)",
            Temperature,
            Primary,
            Shown,
            |x| x - 273.15,
            0.051,
        ),
        (
            "temperature true (degC)",
            Temperature,
            Primary,
            True,
            |x| x - 273.15,
            0.051,
        ),
        (
            "relative humidity indicated (%)",
            Humidity,
            Primary,
            Shown,
            |x| x * 100.0,
            0.51,
        ),
        (
            "relative humidity true (%)",
            Humidity,
            Primary,
            True,
            |x| x * 100.0,
            0.51,
        ),
    ];
    let (logged, log) = (logged(), table(|i| log_csv(i).expect("written")));
    let names: Vec<&str> = ran()
        .scenario
        .steel
        .compartments
        .iter()
        .map(|c| c.name.as_str())
        .collect();
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    let mut apart = [0; 3];
    for row in &log {
        let second = number(row, "second (s)").expect("a second") as i64;
        let Some(place) = names.iter().position(|n| *n == row["chamber"]) else {
            assert!(row["chamber"].is_empty(), "{row:?}");
            continue;
        };
        let chamber = CompartmentId(place as u8);
        for (head, quantity, channel, truth, plain, digits) in columns {
            let told = number(row, head);
            let entered = logged
                .get(&(second, chamber, quantity, channel, truth))
                .map(|v| plain(*v));
            match (told, entered) {
                (Some(told), Some(entered)) => {
                    assert!(
                        (told - entered).abs() < digits,
                        "{second} s, {}: {head} {told}, entered {entered}",
                        row["chamber"]
                    );
                    *seen.entry(head).or_default() += 1;
                }
                (told, entered) => assert_eq!(told, entered, "{second} s: {head}"),
            }
        }
        // By several times the last digit that is written: columns that changed places would be found.
        let differ = |a: &str, b: &str, by: f64| {
            number(row, a)
                .zip(number(row, b))
                .is_some_and(|(a, b)| (a - b).abs() > by)
        };
        apart[0] += i32::from(differ("ppO2 primary (bar)", "ppO2 secondary (bar)", 0.005));
        apart[1] += i32::from(differ("ppO2 primary (bar)", "ppO2 true (bar)", 0.005));
        apart[2] += i32::from(differ("ppO2 secondary (bar)", "ppO2 true (bar)", 0.001));
    }
    println!("{seen:?}; apart {apart:?}");
    assert!(
        columns
            .iter()
            .all(|c| seen.get(c.0).is_some_and(|n| *n > 50)),
        "{seen:?}"
    );
    assert!(apart.iter().all(|n| *n > 5), "they differ: {apart:?}");
}

/// Oxygen and other gas added, and divers counted, are those of the time since the row before.
#[test]
fn what_was_added_since_the_row_before_is_under_its_own_head() {
    let log = table(|i| log_csv(i).expect("written"));
    let living: Vec<_> = log
        .iter()
        .filter(|row| row["chamber"] == "Living")
        .collect();
    let mut from_s = -1;
    let (mut o2_rows, mut gas_rows) = (0, 0);
    for row in living {
        let second = number(row, "second (s)").expect("a second") as i64;
        let (mut o2, mut gas) = (0.0, 0.0);
        let divers = ran().entries.iter().find_map(|e| match e.what {
            What::Headcount {
                compartment: LIVING,
                divers,
            } if e.at == second => Some(f64::from(divers)),
            _ => None,
        });
        let mut open = false;
        // What lies in the stream between the row before and this one.
        for e in &ran().entries {
            match e.what {
                What::LogRow => {
                    if e.at == second {
                        break;
                    }
                    open = e.at == from_s;
                    if open {
                        (o2, gas) = (0.0, 0.0);
                    }
                }
                What::Moved {
                    from: Place::Bank(_),
                    to: Place::Compartment(LIVING),
                    purpose,
                    moles,
                } if open || from_s < 0 => {
                    if purpose == Purpose::Oxygen {
                        o2 += moles.total();
                    } else {
                        gas += moles.total();
                    }
                }
                _ => {}
            }
        }
        for (head, mol, rows) in [
            ("O2 added (m3", o2, &mut o2_rows),
            ("gas added (m3", gas, &mut gas_rows),
        ] {
            let told = number(row, head).unwrap_or(0.0);
            assert!(
                (told - mol / FREE_MOL_M3).abs() < 0.0051,
                "{second} s: {head} {told}, entered {}",
                mol / FREE_MOL_M3
            );
            *rows += i32::from(told > 0.0);
        }
        assert_eq!(number(row, "divers in chamber"), divers, "{second} s");
        from_s = second;
    }
    println!("oxygen in {o2_rows} rows, other gas in {gas_rows}");
    assert!(o2_rows > 5 && gas_rows > 3);
}

/// The ledger's moved lines: from, to and purpose, with all moles and helium, add up to what the entries moved,
/// either way.
#[test]
fn the_ledger_s_lines_are_the_sums_of_the_entries() {
    let ledger = table(|i| ledger_csv(i).expect("written"));
    let total = |head: &str, of: &dyn Fn(&Amounts) -> f64, purpose: Purpose, word: &str| {
        let told: f64 = ledger
            .iter()
            .filter(|row| row["record"] == "moved" && row["purpose or side"] == word)
            .filter_map(|row| number(row, head))
            .sum();
        let entered: f64 = ran()
            .entries
            .iter()
            .filter_map(|e| match e.what {
                What::Moved {
                    purpose: p, moles, ..
                } if p == purpose => Some(of(&Amounts(moles.0.map(f64::abs)))),
                _ => None,
            })
            .sum();
        assert!(
            (told - entered).abs() < 1e-3 + 1e-6 * entered.abs(),
            "{word}, {head}: {told}, entered {entered}"
        );
        entered
    };
    for purpose in Purpose::ALL {
        let word = purpose.words();
        let all = total("all (mol)", &|n| n.total(), purpose, word);
        total("He (mol)", &|n| n.0[0], purpose, word);
        total("O2 (mol)", &|n| n.0[1], purpose, word);
        println!("{word}: {all:.2}");
    }
}

/// Bell runs: the minutes of a phase by its head, from the entries' own seconds; the water by the divers' goings.
#[test]
fn the_minutes_of_a_bell_run_are_those_of_its_phases() {
    let runs = table(|i| bell_csv(i).expect("written"));
    let begins = |run: u16, wanted: BellPhase| {
        let is = |e: &&Entry| matches!(e.what, What::BellPhase { run: r, phase, .. } if r == run && phase == wanted);
        ran().entries.iter().find(is).map(|e| e.at)
    };
    use BellPhase::{
        BottomSeal, Checks, DoorOpen, FirstOut, Lowering, Recovery, Seal, TrunkVented,
    };
    let mut seen = 0;
    for row in runs.iter().filter(|row| row["end"] != "outside the runs") {
        // Printed from 1, as people count; entries count along the plan's list.
        let run: u16 = row["run"].parse::<u16>().expect("a number") - 1;
        for (phase, next) in [
            (Seal, TrunkVented),
            (TrunkVented, Lowering),
            (Lowering, DoorOpen),
            (DoorOpen, FirstOut),
            (BottomSeal, Recovery),
        ] {
            let (Some(from), Some(to)) = (begins(run, phase), begins(run, next)) else {
                continue;
            };
            let head = format!("{} (min)", phase.words());
            let told = number(row, &head).expect("it lasted");
            assert!(
                (told - (to - from) as f64 / 60.0).abs() < 0.051,
                "run {run}, {head}: {told}"
            );
            seen += 1;
        }
        let start = number(row, "start (s)").expect("it began") as i64;
        assert_eq!(Some(start), begins(run, Checks), "run {run}");
    }
    assert!(seen >= 10, "{seen}");
}

/// Divers' hours: under pressure and in the water, by their own goings.
#[test]
fn the_divers_hours_are_those_of_their_goings() {
    use deepstay_core::record::Whereabouts;
    let divers = table(|i| divers_csv(i).expect("written"));
    assert_eq!(divers.len(), ran().scenario.crew.len());
    for (d, person) in (0u8..).map(DiverId).zip(&ran().scenario.crew) {
        let row = divers
            .iter()
            .find(|row| row["diver (initials)"] == person.initials)
            .expect("a row");
        let mut stays: Vec<(i64, Whereabouts)> = ran()
            .entries
            .iter()
            .filter_map(|e| match e.what {
                What::Diver { diver, to } if diver == d => Some((e.at, to)),
                _ => None,
            })
            .collect();
        stays.push((ran().ended_s, Whereabouts::Deck));
        let water: i64 = stays
            .windows(2)
            .filter(|w| matches!(w[0].1, Whereabouts::Water(_)))
            .map(|w| w[1].0 - w[0].0)
            .sum();
        let told = number(row, "in water (h)").expect("told");
        assert!(
            (told - water as f64 / 3600.0).abs() < 0.0051,
            "{}: {told}",
            person.initials
        );
    }
}

/// Alarms: each by the life that its entries tell, with the value that raised it; a low oxygen alarm shows the
/// indicated value, not the true one.
#[test]
fn each_alarm_is_told_by_its_own_life() {
    let told = table(|i| alarms_csv(i).expect("written"));
    let ran = ran();
    let mut raised: Vec<(i64, &str, Option<f64>)> = Vec::new();
    // The states that the alarm goes through after a second, in order.
    let states_after = |at: i64, of: &What| {
        let same = |e: &&Entry| match (&e.what, of) {
            (What::Alarm { name, .. }, What::Alarm { name: raised, .. }) => name == raised,
            _ => false,
        };
        let state = |e: &Entry| match e.what {
            What::Alarm { state, .. } => Some((state, e.at)),
            _ => None,
        };
        let after = ran.entries.iter().filter(|e| e.at > at).filter(same);
        after.filter_map(state).take(2).collect::<Vec<_>>()
    };
    let mut lives = Vec::new();
    for e in &ran.entries {
        let unit = match e.what {
            What::Alarm {
                state: AlarmState::Unacknowledged,
                name,
                value,
                ..
            } => match name.quantity {
                Quantity::PpO2 => ("bar", Some(value)),
                Quantity::PpCo2 => ("mbar", Some(value * 1e3)),
                Quantity::Depth => ("msw", Some(value)),
                Quantity::Temperature => ("degC", Some(value - 273.15)),
                _ => ("", None),
            },
            _ => continue,
        };
        raised.push((e.at, unit.0, unit.1));
        use AlarmState::*;
        lives.push(match states_after(e.at, &e.what)[..] {
            [(Acknowledged, seen), (Normal, over)] => (Some(seen), Some(over)),
            [(Acknowledged, seen), ..] => (Some(seen), None),
            [(ReturnedUnacknowledged, over), (Normal, seen)] => (Some(seen), Some(over)),
            [(ReturnedUnacknowledged | Normal, over), ..] => (None, Some(over)),
            _ => (None, None),
        });
    }
    assert_eq!(told.len(), raised.len());
    assert!(
        raised.iter().filter(|r| r.1 == "bar").count() >= 1,
        "{raised:?}"
    );
    for ((row, (at, unit, value)), (seen, over)) in told.iter().zip(raised).zip(lives) {
        let second = |head: &str| number(row, head).map(|s| s as i64);
        assert_eq!(second("raised (s)"), Some(at), "{row:?}");
        if let Some(value) = value {
            assert_eq!(row["unit"], unit, "{row:?}");
            let cell = number(row, "value when raised").expect("a value");
            assert!((cell - value).abs() < 0.051, "{row:?}: {value}");
        }
        let after = |s: Option<i64>| s.map(|s| s - at);
        assert_eq!(second("acknowledged after (s)"), after(seen), "{row:?}");
        assert_eq!(second("returned after (s)"), after(over), "{row:?}");
        let until = over.unwrap_or(ran.ended_s);
        assert_eq!(second("stood (s)"), Some(until - at), "{row:?}");
        let standing = if over.is_none() { "yes" } else { "no" };
        assert_eq!(row["standing at end"], standing, "{row:?}");
    }
}

/// The gas status sheet: what each bank's gauge showed at the second, under the label that is painted on it.
#[test]
fn the_gas_status_is_what_the_gauges_showed() {
    let told = table(|i| gas_status_csv(i).expect("written"));
    let ran = ran();
    let mut seconds = std::collections::BTreeSet::new();
    for row in &told {
        let second = number(row, "second (s)").expect("a second") as i64;
        seconds.insert(second);
        let (place, bank) = ran
            .scenario
            .steel
            .banks
            .iter()
            .enumerate()
            .find(|(_, b)| b.name == row["bank"])
            .expect("a bank");
        let gauge = ran.entries.iter().find_map(|e| match e.what {
            What::BankLogged {
                bank, gauge_bar, ..
            } if bank.index() == place && e.at == second => Some(gauge_bar),
            _ => None,
        });
        let cell = number(row, "gauge (bar").expect("a gauge");
        assert!((cell - gauge.expect("read")).abs() < 0.51, "{row:?}");
        assert_eq!(row["duty"], bank.duty.words());
        let label = number(row, "O2 on the label (%)").expect("a label");
        assert!((label - bank.label_o2 * 100.0).abs() < 0.051, "{row:?}");
    }
    assert_eq!(told.len(), seconds.len() * ran.scenario.steel.banks.len());
    assert!(
        seconds.contains(&0) && seconds.contains(&43_200),
        "{seconds:?}"
    );
}
