//! What the columns of a job's tables mean, by their heads, against the entries of the job: on a job where true and
//! shown, primary and secondary differ. The tables are read by a reader of this file's own, which knows no writer.

use deepstay_core::record::{BellPhase, Entry, Recorder, Sink, What};
use deepstay_core::units::*;
use deepstay_core::words::Words;
use deepstay_job::{Job, Options};
use deepstay_report::{Inputs, Outcome, Subject, Units, bell_csv, divers_csv, ledger_csv, log_csv};
use deepstay_scenario::{Fault, FaultKind, Scenario, load};
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

const LIVING: CompartmentId = CompartmentId(0);
/// Moles in a cubic metre of free gas at 15 degC and 1 bar, by the ideal gas.
const FREE_MOL_M3: f64 = 1e5 / (8.314_462_618 * 288.15);

/// A table: a row by the texts of its heads.
type Table = Vec<BTreeMap<String, String>>;

/// Reads comma-separated text with quoted cells (RFC 4180).
fn read(bytes: &[u8]) -> Table {
    let text = std::str::from_utf8(bytes)
        .expect("text")
        .trim_start_matches('\u{feff}');
    let (mut rows, mut row, mut cell, mut quoted) = (Vec::new(), Vec::new(), String::new(), false);
    let mut signs = text.chars().peekable();
    while let Some(sign) = signs.next() {
        match sign {
            '"' if quoted && signs.peek() == Some(&'"') => {
                signs.next();
                cell.push('"');
            }
            '"' => quoted = !quoted,
            ',' if !quoted => row.push(std::mem::take(&mut cell)),
            '\r' if !quoted => {}
            '\n' if !quoted => {
                row.push(std::mem::take(&mut cell));
                rows.push(std::mem::take(&mut row));
            }
            other => cell.push(other),
        }
    }
    let heads = rows.remove(0);
    let named = |row: Vec<String>| {
        assert_eq!(row.len(), heads.len(), "{row:?}");
        heads.iter().cloned().zip(row).collect()
    };
    rows.into_iter().map(named).collect()
}

/// The cell under the one head that begins with some text; nothing where it is empty.
fn number(row: &BTreeMap<String, String>, head: &str) -> Option<f64> {
    let mut found = row.iter().filter(|(h, _)| h.starts_with(head));
    let (Some((_, cell)), None) = (found.next(), found.next()) else {
        panic!("no one head {head}: {:?}", row.keys());
    };
    (!cell.is_empty()).then(|| cell.parse().unwrap_or_else(|_| panic!("{head}: {cell}")))
}

struct Ran {
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
        job.finish(&mut Both(&mut record, &mut entries));
        Ran {
            scenario,
            entries,
            record,
            ended_s,
        }
    })
}

fn table(make: impl Fn(&Inputs<'_>) -> Vec<u8>) -> Table {
    let ran = ran();
    let subject = Subject::from(&*ran.scenario);
    let outcome = Outcome {
        complete: true,
        broken: false,
        ended_s: ran.ended_s,
        reason: String::new(),
        seconds_evaluated: 0,
    };
    let inputs = Inputs {
        subject: &subject,
        record: &ran.record,
        outcome: &outcome,
        provenance: &[],
        limits: &[],
        units: Units::Metric,
    };
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
        ("depth shown (msw)", Depth, Primary, Shown, same, 0.051),
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
            "ppCO2 shown (mbar)",
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
            "temperature shown (degC)",
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
            "relative humidity shown (%)",
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
        let differ = |a: &str, b: &str, by: f64| {
            number(row, a)
                .zip(number(row, b))
                .is_some_and(|(a, b)| (a - b).abs() > by)
        };
        apart[0] += i32::from(differ("ppO2 primary (bar)", "ppO2 secondary (bar)", 0.01));
        apart[1] += i32::from(differ("ppO2 primary (bar)", "ppO2 true (bar)", 0.01));
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

/// The ledger's moved lines: from, to and purpose, with all moles and helium, add up to what the entries moved.
#[test]
fn the_ledger_s_lines_are_the_sums_of_the_entries() {
    let ledger = table(|i| ledger_csv(i).expect("written"));
    let total = |head: &str,
                 of: &dyn Fn(&deepstay_core::gas::Amounts) -> f64,
                 purpose: Purpose,
                 word: &str| {
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
                } if p == purpose => Some(of(&moles)),
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
    for row in &runs {
        let run =
            number(row, "run").unwrap_or_else(|| row["run"].parse().expect("a number")) as u16;
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
