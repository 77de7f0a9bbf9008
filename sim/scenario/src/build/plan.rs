//! The plan: levels with their steps in order, bell runs, moves, and the routine of the day.

use super::rota::{self, Placed};
use super::{Names, Part};
use crate::file::RoutineFile;
use crate::file::{BellRunFile, CrewChangeFile, LevelFile, PlanFile, RunsRef, SlipFile, StepWhat};
use crate::{Diver, Level, LevelDo, LevelStep, Move, Plan, Site, Slip};
use deepstay_core::units::*;
use deepstay_plant::Steel;
use deepstay_read::{Diagnostics, Section, Wrong};

/// What a plan is made on: names, people, the site and the steel.
pub struct Ground<'a> {
    pub names: &'a Names,
    pub crew: &'a [Diver],
    pub site: &'a Site,
    pub steel: &'a Steel,
}

/// The plan as the job runs it. Bell runs keep their order in [`paths`].
pub fn plan(
    part: &Part<PlanFile>,
    single: &Part<Vec<BellRunFile>>,
    ground: &Ground,
    (has_reclaim, has_recovery): (bool, bool),
    diagnostics: &mut Diagnostics,
) -> Planned {
    let Ground {
        names,
        crew,
        site,
        steel,
    } = *ground;
    let Part { file, section } = part;
    let mut levels = Vec::new();
    for (i, s) in file.levels.iter().enumerate() {
        levels.push(side(
            part,
            s,
            &format!("levels[{i}]"),
            names,
            steel,
            diagnostics,
        ));
    }
    if levels.is_empty() {
        diagnostics.add(
            section,
            "levels",
            Wrong::Value("a plan has at least one level".to_owned()),
        );
    }
    for (i, s) in levels.iter().enumerate() {
        for (k, m) in s.members.iter().enumerate() {
            if levels[..i].iter().any(|other| other.members.contains(m))
                || s.members[..k].contains(m)
            {
                let name = steel
                    .compartments
                    .get(m.index())
                    .map_or(String::new(), |c| c.name.clone());
                let wrong = Wrong::Duplicate {
                    kind: "member",
                    name,
                };
                diagnostics.add(section, &format!("levels[{i}].members[{k}]"), wrong);
            }
        }
    }
    let placed = rota::runs(part, single, names, crew, site, steel, diagnostics);
    let mut moves = Vec::new();
    for (i, m) in file.moves.iter().enumerate() {
        let path = format!("moves[{i}]");
        if i > 0 && file.moves[i - 1].at > m.at {
            let words =
                "moves are written in order of time, and this one is before the one above it"
                    .to_owned();
            diagnostics.add(section, &format!("{path}.at"), Wrong::Contradiction(words));
        }
        let mut divers = Vec::new();
        for (k, d) in m.divers.iter().enumerate() {
            divers.extend(names.diver(d, section, &format!("{path}.divers[{k}]"), diagnostics));
        }
        if m.divers.is_empty() {
            diagnostics.add(
                section,
                &format!("{path}.divers"),
                Wrong::Value("a move has at least one diver".to_owned()),
            );
        }
        if let Some(to) = names.compartment(&m.to, section, &format!("{path}.to"), diagnostics) {
            moves.push((
                i,
                Move {
                    at: m.at.0,
                    divers,
                    to,
                },
            ));
        }
    }
    routine(part, diagnostics);
    let here: &[BellRunFile] = match &file.bell_runs {
        RunsRef::Here(runs) => runs,
        RunsRef::Named(_) => &[],
    };
    let ends = file
        .levels
        .iter()
        .flat_map(|s| &s.steps)
        .map(|s| s.at)
        .chain(here.iter().map(|r| r.at));
    if ends.max().is_some_and(|last| last >= file.end) {
        let words = "the job ends before its last step begins".to_owned();
        diagnostics.add(section, "end", Wrong::Contradiction(words));
    }
    if !(60..=30 * 86_400).contains(&file.calibrate_every.0) {
        let words = "analysers are calibrated between every minute and every 30 days".to_owned();
        diagnostics.add(section, "calibrate_every", Wrong::Value(words));
    }
    if file.reclaim && !has_reclaim {
        let words = "divers' gas is reclaimed by the plan, but the stock has no reclaim".to_owned();
        let suggestion =
            Some("add reclaim: (charge: Heliox(\"5 %\"), open_circuit: \"NAME\", recovery: \"90 %\") to the stock".to_owned());
        diagnostics.add_with(section, "reclaim", Wrong::Contradiction(words), suggestion);
    }
    if file.recover_chamber_gas && !has_recovery {
        let words =
            "chamber gas is recovered by the plan, but the stock has no recovery".to_owned();
        diagnostics.add(section, "recover_chamber_gas", Wrong::Contradiction(words));
    }
    let r = &file.routine;
    let seconds = |times: &[deepstay_core::units::text::TimeOfDay]| {
        let mut all: Vec<i64> = times.iter().map(|t| t.0).collect();
        all.sort_unstable();
        all.dedup();
        all
    };
    let paths = placed.iter().map(|p| p.path.clone()).collect();
    let plan = Plan {
        levels,
        bell_runs: placed.into_iter().map(|Placed { run, .. }| run).collect(),
        moves: moves.iter().map(|(_, m)| m.clone()).collect(),
        crew_changes: Vec::new(),
        aboard: Vec::new(),
        meals_s: seconds(&r.meals),
        laundry_s: r.laundry.map(|t| t.0),
        stores_s: stores(r, seconds(&r.stores)),
        toilet_per_day: r.toilet_per_day.0,
        shower_vapour_kg: r.shower_vapour.0,
        shower_s: r.shower_length.0,
        slip: match file.slip {
            SlipFile::Skip => Slip::Skip,
            SlipFile::Shift => Slip::Shift,
            SlipFile::Replan => Slip::Replan,
        },
        handover_s: [r.handover.0.0, r.handover.1.0],
        calibrate_every_s: file.calibrate_every.0,
        end_s: file.end.0,
        night_s: (r.night.0.0, r.night.1.0),
        reclaim: file.reclaim,
        recover_chamber_gas: file.recover_chamber_gas,
    };
    Planned {
        plan,
        run_paths: paths,
        runs_section: single.section.clone(),
        move_indices: moves.into_iter().map(|(i, _)| i).collect(),
    }
}

/// The plan, and where its runs and moves are written.
#[derive(Clone)]
pub struct Planned {
    pub plan: Plan,
    pub run_paths: Vec<String>,
    pub runs_section: Section,
    pub move_indices: Vec<usize>,
}

impl Planned {
    /// Where a run's path is written.
    pub fn section<'a>(&'a self, plan: &'a Section, path: &str) -> &'a Section {
        let runs = &self.runs_section;
        rota::Pages { plan, runs }.of(path)
    }
}

fn side(
    part: &Part<PlanFile>,
    s: &LevelFile,
    path: &str,
    names: &Names,
    steel: &Steel,
    diagnostics: &mut Diagnostics,
) -> Level {
    let section = &part.section;
    let mut members = Vec::new();
    for (k, name) in s.members.iter().enumerate() {
        members.extend(names.compartment(
            name,
            section,
            &format!("{path}.members[{k}]"),
            diagnostics,
        ));
    }
    let kind = |c: &CompartmentId| steel.compartments.get(c.index()).map(|c| c.kind);
    let known = members.len() == s.members.len();
    if known && members.first().and_then(kind) != Some(CompartmentKind::Living) {
        let words = "the first member of a level is its living chamber".to_owned();
        diagnostics.add(
            section,
            &format!("{path}.members"),
            Wrong::Contradiction(words),
        );
    }
    for (k, c) in members.iter().enumerate() {
        if let Some(
            odd @ (CompartmentKind::Bell
            | CompartmentKind::MedicalLock
            | CompartmentKind::HoldingTank
            | CompartmentKind::ReclaimTank),
        ) = kind(c)
        {
            let words = format!("a {odd:?} is no member of a level: it has a depth of its own");
            diagnostics.add(
                section,
                &format!("{path}.members[{k}]"),
                Wrong::Contradiction(words),
            );
        }
    }
    let mut steps = Vec::new();
    let mut depth: Option<f64> = None;
    let mut last = None;
    let mut from = i64::MIN;
    let own = |c: &&CrewChangeFile| s.members.first() == Some(&c.chamber);
    let changes: Vec<i64> = part
        .file
        .crew_changes
        .iter()
        .filter(own)
        .map(|c| c.surface_by.0)
        .collect();
    for (k, step) in s.steps.iter().enumerate() {
        let at = format!("{path}.steps[{k}]");
        if last.is_some_and(|last| step.at <= last) {
            let words =
                "steps are written in order of time, and this one is not after the one above it"
                    .to_owned();
            diagnostics.add(section, &format!("{at}.at"), Wrong::Contradiction(words));
        }
        last = Some(step.at);
        if changes.iter().any(|&by| from < by && by <= step.at.0) {
            depth = None;
        }
        from = from.max(step.at.0);
        let mut wrong = |words: &str| {
            diagnostics.add(
                section,
                &format!("{at}.what"),
                Wrong::Contradiction(words.to_owned()),
            );
        };
        let what = match step.what {
            StepWhat::Press(d) => {
                match depth {
                    None if d.0 > 0.0 => {}
                    None => wrong("a storage depth is deeper than the surface"),
                    Some(_) => wrong(
                        "this level is under pressure already; another storage depth is ChangeStorage",
                    ),
                }
                depth = Some(d.0);
                LevelDo::Press(d.0)
            }
            StepWhat::ChangeStorage(d) => {
                match depth {
                    None => wrong("this level is at the surface; Press comes first"),
                    Some(_) if d.0 <= 0.0 => wrong("to the surface is Decompress"),
                    Some(_) => {}
                }
                depth = Some(d.0);
                LevelDo::ChangeStorage(d.0)
            }
            StepWhat::Decompress | StepWhat::Abort => {
                if depth.is_none() {
                    wrong("this level is at the surface; Press comes first");
                }
                depth = None;
                if matches!(step.what, StepWhat::Abort) {
                    LevelDo::Abort
                } else {
                    LevelDo::Decompress
                }
            }
        };
        steps.push(LevelStep {
            at: step.at.0,
            what,
        });
    }
    if s.steps.is_empty() {
        diagnostics.add(
            section,
            &format!("{path}.steps"),
            Wrong::Value("a level has at least one step".to_owned()),
        );
    }
    if depth.is_some() && changes.iter().all(|&by| by <= from) {
        let words =
            "this plan leaves the divers under pressure: its last step is no Decompress".to_owned();
        let suggestion = Some("add (at: \"25 d\", what: Decompress)".to_owned());
        diagnostics.add_with(
            section,
            &format!("{path}.steps"),
            Wrong::Contradiction(words),
            suggestion,
        );
    }
    Level { members, steps }
}

/// When stores are locked in: at the times written, or so many a day between the nights.
fn stores(r: &RoutineFile, written: Vec<i64>) -> Vec<i64> {
    const DAY_S: i64 = 86_400;
    let Some(count) = r.stores_per_day else {
        return written;
    };
    let count = count.0.round().max(0.0) as i64;
    let (from, to) = (r.night.1.0, r.night.0.0);
    let awake_s = (to - from).rem_euclid(DAY_S);
    let at = |k: i64| (from + awake_s * (2 * k + 1) / (2 * count)).rem_euclid(DAY_S);
    let mut times: Vec<i64> = (0..count).map(at).collect();
    times.sort_unstable();
    times
}

fn routine(part: &Part<PlanFile>, diagnostics: &mut Diagnostics) {
    let (section, r) = (&part.section, &part.file.routine);
    let mut within = |value: f64, high: f64, path: &str, what: &str| {
        if !(0.0..=high).contains(&value) {
            diagnostics.add(
                section,
                path,
                Wrong::Value(format!("{what} lies between 0 and {high}")),
            );
        }
    };
    within(
        r.toilet_per_day.0,
        24.0,
        "routine.toilet_per_day",
        "toilet flushes a day",
    );
    within(
        r.shower_vapour.0,
        5.0,
        "routine.shower_vapour",
        "vapour of a shower, in kg,",
    );
    within(
        r.meals.len() as f64,
        12.0,
        "routine.meals",
        "the number of meals a day",
    );
    within(
        r.stores_per_day.map_or(0.0, |n| n.0),
        48.0,
        "routine.stores_per_day",
        "the number of equipment-lock runs a day",
    );
    within(
        r.stores.len() as f64,
        12.0,
        "routine.stores",
        "the number of equipment-lock runs a day",
    );
    if !(60..=3600).contains(&r.shower_length.0) {
        let words = "the length of a shower lies between 1 min and 1 h".to_owned();
        diagnostics.add(section, "routine.shower_length", Wrong::Value(words));
    }
    if r.handover.0 == r.handover.1 {
        let words = "the two handovers are at one time".to_owned();
        diagnostics.add(section, "routine.handover", Wrong::Contradiction(words));
    }
}
