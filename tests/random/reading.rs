//! An independent reading of a job's tables: from `log.csv`, `alarms.csv`, `divers.csv` and `bell-runs.csv` it
//! decides how the job ended, and holds that against `job.json`, the first line of the screen and the exit code.
//!
//! Of the program it uses nothing, neither types nor words kept as constants; figures are typed here again from the
//! rule set's file and from the README. They prescribe nothing: the law, the issuing body's current document, the
//! company's approved manual and the licensed people on the job decide.

use serde_json::Value;
use std::collections::BTreeMap;
use std::path::Path;

const ATA: f64 = 1.01325;
/// ppO2 of people in chambers: below the first an emergency, under or over the others a limit, bar.
const OXYGEN_BAR: (f64, f64, f64) = (0.16 * ATA, 0.42 * ATA, 0.6 * ATA);
/// The middle one holds from this depth on, msw.
const OXYGEN_FROM_MSW: f64 = 11.1;
/// ppCO2: a limit, and an emergency, mbar.
const CARBON_DIOXIDE_MBAR: (f64, f64) = (20.0 * ATA, 60.0 * ATA);
/// People in a chamber have lost their pressure so much shallower than ordered, msw, or half way to the surface;
/// never closer to what was ordered than the second.
const LOST_MSW: (f64, f64) = (10.0, 2.0);
/// Or it came up faster than this from one row to another at least so long after it, msw/h and s.
const FASTEST: (f64, f64) = (30.0, 600.0);
/// Longest bell run, min, from the clamp loosened, which is done within so long of sealing in; least rest between two, h.
const LONGEST_RUN_MIN: f64 = 480.0;
const UNCLAMPED_WITHIN_MIN: f64 = 20.0;
const LEAST_REST_H: f64 = 12.0;
/// One step of the last digit in the log: depth, msw; ppO2, bar; ppCO2, mbar.
const DIGIT: (f64, f64, f64) = (0.1, 0.001, 0.01);

/// Heads and rows of a table.
pub fn table(path: &Path) -> (Vec<String>, Vec<Vec<String>>) {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_path(path)
        .unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    let row = |r: csv::Result<csv::StringRecord>| {
        let r = r.unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        r.iter().map(str::to_owned).collect::<Vec<_>>()
    };
    let mut rows: Vec<Vec<String>> = reader.records().map(row).collect();
    assert!(!rows.is_empty(), "{} is empty", path.display());
    let heads = rows.remove(0);
    (heads, rows)
}

/// The worst of what a job's tables show, and what shows it.
#[derive(Default)]
struct Shown {
    dead: Vec<String>,
    hurt: Vec<String>,
    lost_pressure: Vec<String>,
    /// So near to having lost it that the digits of the log do not tell.
    hardly_lost: Vec<String>,
    emergency: Vec<String>,
    limit: Vec<String>,
    /// What a number of a log row shows beyond a limit in force.
    beyond: Vec<String>,
    rang: usize,
    runs_lost: usize,
    /// Rests shorter, and bell runs longer, than the rule set allows by any reading of its clocks.
    overworked: Vec<String>,
    /// Time in the water that each task had, s.
    worked: BTreeMap<String, f64>,
    /// Where the log and the table of divers do not tell the same of somebody.
    untold: Vec<String>,
    /// Somebody is not back on deck.
    inside: Vec<String>,
}

/// A job's tables, read.
pub struct Reading {
    shown: Shown,
    job: Value,
}

/// Where one chamber's people stand, as the log has told so far.
#[derive(Default)]
struct Chamber {
    /// In words of the log; none before the first.
    phase: Option<String>,
    /// By the row before: whether numbers were beyond.
    low: bool,
    high: bool,
    carbon_dioxide: bool,
    /// Second and depth, while people were inside.
    before: Option<(f64, f64)>,
    /// The deepest of a pressing, while people were inside, msw.
    reached: f64,
}

impl Reading {
    /// Reads the folder of a job.
    pub fn of(out: &Path) -> Reading {
        let mut shown = Shown::default();
        log(&out.join("log.csv"), &mut shown);
        divers(&out.join("divers.csv"), &mut shown);
        let (heads, rows) = table(&out.join("alarms.csv"));
        let severity = column(&heads, "severity");
        let grave = |r: &&Vec<String>| matches!(r[severity].as_str(), "limit" | "emergency");
        shown.rang = rows.iter().filter(grave).count();
        let (heads, rows) = table(&out.join("bell-runs.csv"));
        let (run, end) = (column(&heads, "run"), column(&heads, "end"));
        let lost = |r: &&Vec<String>| {
            !r[run].is_empty() && !matches!(r[end].as_str(), "made" | "still out")
        };
        shown.runs_lost = rows.iter().filter(lost).count();
        let sealed = column(&heads, "seal to seal (min)");
        let over = |r: &&Vec<String>| {
            let min = r[sealed].parse::<f64>();
            min.is_ok_and(|min| min > LONGEST_RUN_MIN + UNCLAMPED_WITHIN_MIN)
        };
        let over = rows.iter().filter(over);
        shown
            .overworked
            .extend(over.map(|r| format!("run {} sealed in for {} min", r[run], r[sealed])));
        let (heads, rows) = table(&out.join("events.csv"));
        let [event, task, value] = ["event", "of", "value"].map(|c| column(&heads, c));
        for row in rows.iter().filter(|r| r[event] == "work") {
            let water_s: f64 = row[value].parse().expect("a number");
            *shown.worked.entry(row[task].clone()).or_insert(0.0) += water_s;
        }
        let job = std::fs::read(out.join("job.json")).expect("it was written");
        let job = serde_json::from_slice(&job).expect("it is JSON");
        Reading { shown, job }
    }

    /// How it ended, from the tables: as `job.json` calls it, how the first line begins, and what that is worth.
    fn decided(&self) -> (&'static str, &'static str, i32) {
        let s = &self.shown;
        if !s.dead.is_empty() {
            ("people-dead", "SOMEBODY DEAD:", 2)
        } else if !s.hurt.is_empty() {
            ("people-hurt", "SOMEBODY HURT:", 2)
        } else if !s.lost_pressure.is_empty()
            || (!s.hardly_lost.is_empty() && self.told() == "pressure-lost")
        {
            ("pressure-lost", "PRESSURE LOST:", 2)
        } else if !s.inside.is_empty() {
            ("not-complete", "NOT COMPLETE:", 2)
        } else if !s.emergency.is_empty() {
            ("emergency-limits", "EMERGENCY LIMITS CROSSED:", 1)
        } else if self.work_missing() {
            ("work-not-done", "WORK NOT DONE:", 1)
        } else if s.runs_lost > 0 {
            ("bell-runs-not-made", "BELL RUNS NOT MADE:", 1)
        } else if self.rules_broken() > 0 {
            ("rules-broken", "COMPLETE, RULES OF WORKING TIME BROKEN:", 1)
        } else if !s.limit.is_empty() {
            ("limits-crossed", "COMPLETE, LIMITS CROSSED:", 1)
        } else {
            ("complete", "COMPLETE:", 0)
        }
    }

    /// Whether a task had less time in the water than it takes: the runs that gave it are rows of the events.
    fn work_missing(&self) -> bool {
        let tasks = self.job["work"].as_array().map_or(&[][..], Vec::as_slice);
        let short = |task: &Value| {
            let had = self
                .shown
                .worked
                .get(task["task"].as_str().expect("a name"));
            let needed = task["needed_h"].as_f64().expect("a number") * 3600.0;
            had.copied().unwrap_or(0.0) < needed - 0.5
        };
        tasks.iter().any(short)
    }

    /// How often the judge found a rule of working time broken: which he did is for tests of his own, and what the tables
    /// show by themselves must be among it.
    fn rules_broken(&self) -> usize {
        let breaches = self.job["working_time"]["breaches"].as_array();
        breaches.map_or(0, Vec::len)
    }

    fn told(&self) -> &str {
        self.job["how_it_ended"].as_str().unwrap_or("")
    }

    /// How the tables say that it ended.
    pub fn ending(&self) -> &'static str {
        self.decided().0
    }

    /// Where the tables, `job.json`, the screen and the exit code do not say the same.
    pub fn disagrees(&self, code: i32, screen: &str) -> Vec<String> {
        let s = &self.shown;
        let mut wrong = s.untold.clone();
        let (ending, begins, worth) = self.decided();
        let told = self.told();
        let first = screen.lines().next().unwrap_or("");
        if (told, code) != (ending, worth) || !first.starts_with(begins) {
            wrong.push(format!(
                "the tables say {ending}, job.json {told}, the exit code {code}, the screen {first:?}; dead {:?}, hurt \
                 {:?}, pressure {:?}, emergency {:?}, limit {:?}, runs lost {}, inside {:?}",
                s.dead,
                s.hurt,
                s.lost_pressure,
                s.emergency.first(),
                s.limit.first(),
                s.runs_lost,
                s.inside,
            ));
        }
        let crossed = s.emergency.len() + s.limit.len();
        let listed = self.job["limits_crossed"].as_array().map_or(0, Vec::len);
        if (crossed == 0) != (listed == 0) {
            wrong.push(format!(
                "{crossed} crossings in the log, {listed} limits in job.json"
            ));
        }
        if s.rang > 0 && crossed == 0 {
            wrong.push(format!("{} grave alarms, and no limit crossed", s.rang));
        }
        if crossed == 0 && !s.beyond.is_empty() {
            wrong.push(format!("no limit crossed, and {}", s.beyond[0]));
        }
        if self.rules_broken() == 0 && !s.overworked.is_empty() {
            wrong.push(format!("no rule broken, and {}", s.overworked[0]));
        }
        if self.rules_broken() > 0 && !screen.contains("RULES OF WORKING TIME BROKEN") {
            wrong.push("rules were broken, and the screen does not say which".to_owned());
        }
        if !s.lost_pressure.is_empty() && !self.because().contains("lost their pressure in") {
            wrong.push(format!("{}, and nobody is told of it", s.lost_pressure[0]));
        }
        if self.job["left_out"] != 0 && !screen.contains("ENTRIES LEFT OUT") {
            wrong.push("entries were left out, and the screen does not say so".to_owned());
        }
        wrong
    }

    fn because(&self) -> &str {
        self.job["ended_because"].as_str().unwrap_or("")
    }
}

fn column(heads: &[String], name: &str) -> usize {
    let at = heads.iter().position(|h| h == name);
    at.unwrap_or_else(|| panic!("no column {name} in {heads:?}"))
}

/// Who is not well by the table of divers must have been told of in the log, and the other way round.
fn divers(path: &Path, shown: &mut Shown) {
    let (heads, rows) = table(path);
    let (who, worst) = (
        column(&heads, "diver (initials)"),
        column(&heads, "worst state (true; display and training only)"),
    );
    let rest = column(&heads, "shortest rest between runs (h)");
    let short = |r: &&Vec<String>| r[rest].parse::<f64>().is_ok_and(|h| h < LEAST_REST_H);
    let tired = rows.iter().filter(short);
    shown
        .overworked
        .extend(tired.map(|r| format!("{} rested {} h", r[who], r[rest])));
    let listed = |state: &[&str]| -> Vec<String> {
        let of = |r: &&Vec<String>| state.contains(&r[worst].as_str());
        rows.iter().filter(of).map(|r| r[who].clone()).collect()
    };
    let (dead, hurt) = (listed(&["dead"]), listed(&["confused", "out"]));
    let told = |list: &[String], one: &String| list.iter().any(|t| t.starts_with(one.as_str()));
    let untold = dead.iter().filter(|d| !told(&shown.dead, d));
    let untold = untold.chain(hurt.iter().filter(|h| !told(&shown.hurt, h)));
    let untold: Vec<String> = untold
        .map(|who| format!("{who} is not well in divers.csv, and the log does not tell of it"))
        .collect();
    shown.untold.extend(untold);
    if shown.dead.len() > dead.len() {
        shown.untold.push(format!(
            "dead in the log {:?}, in divers.csv {dead:?}",
            shown.dead
        ));
    }
}

/// The log row by row: numbers first, then what is remarked.
fn log(path: &Path, shown: &mut Shown) {
    let (heads, rows) = table(path);
    let at = |name: &str| column(&heads, name);
    let (second, chamber, remark) = (at("second (s)"), at("chamber"), at("remark"));
    let (count, target, depth) = (
        at("divers in chamber"),
        at("target depth (msw)"),
        at("depth true (msw)"),
    );
    let (oxygen, carbon_dioxide) = (at("ppO2 true (bar)"), at("ppCO2 true (mbar)"));
    let mut chambers: BTreeMap<String, Chamber> = BTreeMap::new();
    let mut whereabouts: BTreeMap<String, String> = BTreeMap::new();
    for row in &rows {
        let name = &row[chamber];
        for said in row[remark].split("; ") {
            let Some((_, said)) = said.split_once(' ') else {
                continue;
            };
            let told = format!("{name} at {} s: {said}", row[second]);
            if let Some(phase) = said.strip_prefix("phase: ") {
                let phase = phase.split(',').next().unwrap_or(phase);
                let here = chambers.entry(name.clone()).or_default();
                here.phase = Some(phase.to_owned());
                here.reached = 0.0;
            } else if let Some((who, state)) = fitness(said) {
                match state {
                    "dead" => shown.dead.push(format!("{who}, {told}")),
                    "confused" | "out" => shown.hurt.push(format!("{who}, {told}")),
                    _ => {}
                }
            } else if let Some(grave) = crossing(said) {
                match grave {
                    true => shown.emergency.push(told),
                    false => shown.limit.push(told),
                }
            } else if let Some((who, to)) = goes(said) {
                whereabouts.insert(who.to_owned(), to.to_owned());
            }
        }
        let number = |i: usize| row[i].parse::<f64>().ok();
        if name.is_empty() {
            continue;
        }
        let here = chambers.entry(name.clone()).or_default();
        if number(count).unwrap_or(0.0) < 1.0 {
            here.before = None;
            continue;
        }
        let at = format!("{name} at {} s", row[second]);
        let now = number(second).zip(number(depth));
        if let (Some((s, msw)), Some((then_s, then_msw)), Some(_)) = (now, here.before, &here.phase)
        {
            let (passed_s, fell_msw) = (s - then_s, then_msw - msw - DIGIT.0);
            if passed_s >= FASTEST.1 && fell_msw * 3600.0 > FASTEST.0 * passed_s {
                shown.lost_pressure.push(format!(
                    "{at}: from {then_msw} to {msw} msw in {passed_s} s"
                ));
            }
        }
        here.before = now;
        numbers(
            here,
            (number(depth), number(target)),
            (number(oxygen), number(carbon_dioxide)),
            &at,
            shown,
        );
    }
    let inside = whereabouts.iter().filter(|(_, to)| *to != "to the deck");
    shown.inside = inside.map(|(who, to)| format!("{who} {to}")).collect();
}

/// What one row shows of a chamber with people in it. What is beyond a limit counts where it was in the row before
/// too, for a limit may come into force, or go, between two rows.
fn numbers(
    here: &mut Chamber,
    (depth, target): (Option<f64>, Option<f64>),
    (oxygen, carbon_dioxide): (Option<f64>, Option<f64>),
    at: &str,
    shown: &mut Shown,
) {
    let phase = here.phase.as_deref().unwrap_or("");
    let held = matches!(phase, "storage" | "decompression");
    let lived_in = held || phase == "compression";
    if let (Some(depth), Some(target), true) = (depth, target, lived_in) {
        here.reached = here.reached.max(depth);
        // On the way down what has been reached is theirs.
        let theirs = if held {
            target
        } else {
            target.min(here.reached)
        };
        let (most, least) = LOST_MSW;
        let gone = theirs - depth - (0.5 * theirs).clamp(least, most);
        let told = format!("{at}: {depth} msw, {theirs} theirs of {target} ordered");
        // Two depths of one digit each.
        if gone > 2.0 * DIGIT.0 {
            shown.lost_pressure.push(told);
        } else if gone > -2.0 * DIGIT.0 {
            shown.hardly_lost.push(told);
        }
    }
    let low = |o2: f64| {
        o2 < OXYGEN_BAR.0 - DIGIT.1
            || (held
                && o2 < OXYGEN_BAR.1 - DIGIT.1
                && depth.is_some_and(|d| d > OXYGEN_FROM_MSW + DIGIT.0))
    };
    let now = (
        lived_in && oxygen.is_some_and(low),
        lived_in && oxygen.is_some_and(|o2| o2 > OXYGEN_BAR.2 + DIGIT.1),
        lived_in && carbon_dioxide.is_some_and(|c| c > CARBON_DIOXIDE_MBAR.0 + DIGIT.2),
    );
    for (now, before, of) in [
        (now.0, here.low, "oxygen low"),
        (now.1, here.high, "oxygen high"),
        (now.2, here.carbon_dioxide, "carbon dioxide"),
    ] {
        if now && before {
            shown.beyond.push(format!(
                "{at}: {of} ({oxygen:?} bar, {carbon_dioxide:?} mbar)"
            ));
        }
    }
    (here.low, here.high, here.carbon_dioxide) = now;
}

/// Two capital letters, and what follows.
fn initials(said: &str) -> Option<(&str, &str)> {
    let (who, rest) = said.split_once(' ')?;
    let short = who.len() == 2 && who.bytes().all(|b| b.is_ascii_uppercase());
    short.then_some((who, rest))
}

/// Who, and how he is.
fn fitness(said: &str) -> Option<(&str, &str)> {
    let (who, rest) = initials(said.strip_suffix(" (true)")?)?;
    Some((who, rest.split_once(": ")?.0))
}

/// Who goes where.
fn goes(said: &str) -> Option<(&str, &str)> {
    let (who, rest) = initials(said)?;
    (rest.starts_with("to ") || rest == "into the water").then_some((who, rest))
}

/// Whether a crossing is one at which people act at once; none where it is no crossing, or only calls for attention.
fn crossing(said: &str) -> Option<bool> {
    let (_, rest) = said.split_once(" past ")?;
    let (_, rest) = rest.split_once(' ')?;
    match rest {
        r if r.starts_with("emergency limit ") => Some(true),
        r if r.starts_with("limit ") => Some(false),
        _ => None,
    }
}
