//! Bell runs: those written one by one and those that recur, in one list in order of time, each with
//! its place in the file.

use super::check::day_words;
use super::steel::knows_bells;
use super::{Names, Part};
use crate::file::{BellRunFile, PlanFile};
use crate::lengths::whole_s;
use crate::{BellRun, Diver, Site};
use deepstay_core::units::*;
use deepstay_plant::Steel;
use deepstay_read::{Diagnostics, Section, Wrong};

/// Most bell runs of a job.
const MOST_RUNS: usize = 2000;
/// A run with its place in the file.
pub struct Placed {
    pub run: BellRun,
    pub path: String,
}

/// Where runs are written: one by one perhaps in a file of their own, those that recur in the plan.
pub struct Pages<'a> {
    pub plan: &'a Section,
    pub runs: &'a Section,
}

impl<'a> Pages<'a> {
    /// The section on which a run's path is.
    pub fn of(&self, path: &str) -> &'a Section {
        if path.starts_with("bell_runs") {
            self.runs
        } else {
            self.plan
        }
    }

    fn apart(&self) -> bool {
        self.plan.document().file() != self.runs.document().file()
    }
}

/// All runs in order of start.
pub fn runs(
    plan: &Part<PlanFile>,
    single: &Part<Vec<BellRunFile>>,
    names: &Names,
    crew: &[Diver],
    site: &Site,
    steel: &Steel,
    diagnostics: &mut Diagnostics,
) -> Vec<Placed> {
    let Part { file, section } = plan;
    let pages = Pages {
        plan: section,
        runs: &single.section,
    };
    if pages.apart() && !file.rota.is_empty() {
        let words = "the bell runs are in a rota's file, and here are runs that recur as well";
        let wrong = Wrong::Contradiction(words.to_owned());
        let suggestion = Some("leave out `rota`, or the name of the file".to_owned());
        diagnostics.add_with(section, "rota", wrong, suggestion);
        return Vec::new();
    }
    let mut all = Vec::new();
    for (i, r) in single.file.iter().enumerate() {
        let section = pages.runs;
        let path = format!("bell_runs[{i}]");
        if i > 0 && single.file[i - 1].at > r.at {
            let words =
                "bell runs are written in order of time, and this one is before the one above it"
                    .to_owned();
            diagnostics.add(section, &format!("{path}.at"), Wrong::Contradiction(words));
        }
        if pages.apart() && r.at >= file.end {
            let words = format!(
                "this run begins on {}, and the job ends on {}",
                day_words(r.at.0),
                day_words(file.end.0)
            );
            diagnostics.add(section, &format!("{path}.at"), Wrong::Contradiction(words));
        }
        let mut divers = Vec::new();
        for (k, initials) in r.divers.iter().enumerate() {
            divers.extend(names.diver(
                initials,
                section,
                &format!("{path}.divers[{k}]"),
                diagnostics,
            ));
        }
        let whole = divers.len() == r.divers.len();
        let Some(bell) = bell(
            pages.of(&path),
            r.bell.as_ref(),
            &path,
            names,
            steel,
            diagnostics,
        ) else {
            continue;
        };
        if !whole {
            continue;
        }
        let depth_msw = r.depth.map_or(site.working_msw, |d| d.0);
        let run = BellRun {
            at: r.at.0,
            bell,
            divers,
            depth_msw,
            in_water_s: r.in_water.0,
            pause_s: r.pause.map_or(0, |d| d.0),
            work: r.work,
        };
        all.push(Placed { run, path });
    }
    for (i, r) in file.rota.iter().enumerate() {
        let path = format!("rota[{i}]");
        let Some(bell) = bell(
            pages.of(&path),
            r.bell.as_ref(),
            &path,
            names,
            steel,
            diagnostics,
        ) else {
            continue;
        };
        let mut teams: Vec<Vec<DiverId>> = Vec::new();
        for (k, team) in r.teams.iter().enumerate() {
            let members: Vec<DiverId> = (0u8..)
                .zip(crew)
                .filter(|(_, d)| d.team == *team)
                .map(|(d, _)| DiverId(d))
                .collect();
            if members.is_empty() {
                let mut known: Vec<u8> = crew.iter().map(|d| d.team).collect();
                known.sort_unstable();
                known.dedup();
                let known = known.iter().map(u8::to_string).collect();
                let wrong = Wrong::NoSuch {
                    kind: "team",
                    name: team.to_string(),
                    known,
                };
                diagnostics.add(section, &format!("{path}.teams[{k}]"), wrong);
            }
            teams.push(members);
        }
        if teams.is_empty() {
            diagnostics.add(
                section,
                &format!("{path}.teams"),
                Wrong::Value("a rota has at least one team".to_owned()),
            );
            continue;
        }
        if r.every.0 < 3600 {
            let words = "bell runs recur every hour at the most".to_owned();
            diagnostics.add(section, &format!("{path}.every"), Wrong::Value(words));
            continue;
        }
        if r.last < r.first {
            let words = "the last run starts before the first".to_owned();
            diagnostics.add(
                section,
                &format!("{path}.last"),
                Wrong::Contradiction(words),
            );
            continue;
        }
        let count = (r.last.0 - r.first.0) / r.every.0 + 1;
        let count = usize::try_from(count)
            .unwrap_or(usize::MAX)
            .min(MOST_RUNS + 1);
        let depth_msw = r.depth.map_or(site.working_msw, |d| d.0);
        let starts = (0..).map(|n: i64| r.first.0 + n * r.every.0);
        for (at, divers) in starts.zip(teams.iter().cycle()).take(count) {
            let run = BellRun {
                at,
                bell,
                divers: divers.clone(),
                depth_msw,
                in_water_s: r.in_water.0,
                pause_s: 0,
                work: r.work,
            };
            all.push(Placed {
                run,
                path: path.clone(),
            });
        }
    }
    if all.len() > MOST_RUNS {
        diagnostics.add(
            if file.rota.is_empty() {
                pages.runs
            } else {
                section
            },
            "",
            Wrong::Value(format!("a job has at most {MOST_RUNS} bell runs")),
        );
        all.truncate(MOST_RUNS);
    }
    all.sort_by_key(|p| p.run.at);
    each(&pages, &all, crew, steel, diagnostics);
    overlaps(&pages, &all, crew, steel, diagnostics);
    all
}

fn bell(
    section: &Section,
    name: Option<&String>,
    path: &str,
    names: &Names,
    steel: &Steel,
    diagnostics: &mut Diagnostics,
) -> Option<CompartmentId> {
    let is_bell = |c: &CompartmentId| {
        steel
            .compartments
            .get(c.index())
            .is_some_and(|c| c.bell.is_some())
    };
    if let Some(name) = name {
        let at = format!("{path}.bell");
        let found = names.compartment(name, section, &at, diagnostics)?;
        if !is_bell(&found) {
            diagnostics.add(
                section,
                &at,
                Wrong::Contradiction(format!("`{name}` is no bell")),
            );
            return None;
        }
        return Some(found);
    }
    let mut bells = (0u8..)
        .take(steel.compartments.len())
        .map(CompartmentId)
        .filter(is_bell);
    match (bells.next(), bells.next()) {
        (Some(only), None) => Some(only),
        (None, _) => {
            if knows_bells(steel, diagnostics) {
                let words = "the spread has no bell".to_owned();
                diagnostics.add(section, path, Wrong::Contradiction(words));
            }
            None
        }
        _ => {
            diagnostics.add(section, path, Wrong::MissingField("bell".to_owned()));
            None
        }
    }
}

fn each(
    pages: &Pages,
    all: &[Placed],
    crew: &[Diver],
    steel: &Steel,
    diagnostics: &mut Diagnostics,
) {
    let mut said = Vec::new();
    for Placed { run, path } in all {
        if said.contains(&path) {
            continue;
        }
        let section = pages.of(path);
        let before = diagnostics.count();
        let places = usize::from(steel.compartments[run.bell.index()].places);
        let field = |name: &str| format!("{path}.{name}");
        let who = if path.starts_with("rota") {
            "teams"
        } else {
            "divers"
        };
        if run.divers.len() > places {
            let what = format!("`{}`", steel.compartments[run.bell.index()].name);
            diagnostics.add(
                section,
                &field(who),
                Wrong::Crowded {
                    people: run.divers.len(),
                    what,
                    places,
                },
            );
        }
        if run.divers.len() < 2 {
            let words =
                "a bell run has at least two divers, of whom one stays in the bell".to_owned();
            diagnostics.add(section, &field(who), Wrong::Value(words));
        }
        if let Some(twice) = run
            .divers
            .iter()
            .enumerate()
            .find(|(i, d)| run.divers[..*i].contains(d))
        {
            let name = crew
                .get(twice.1.index())
                .map_or(String::new(), |d| d.initials.clone());
            diagnostics.add(
                section,
                &field(who),
                Wrong::Duplicate {
                    kind: "diver",
                    name,
                },
            );
        }
        if !(600..=12 * 3600).contains(&run.in_water_s) {
            let words = "time in the water lies between 10 min and 12 h".to_owned();
            diagnostics.add(section, &field("in_water"), Wrong::Value(words));
        }
        if run.pause_s > 0 && run.divers.len() < 3 || run.pause_s > 4 * 3600 {
            let words =
                "a break in the bell is for three or more, and no longer than 4 h".to_owned();
            diagnostics.add(section, &field("pause"), Wrong::Value(words));
        }
        let wet = format!("{:?}", run.work).starts_with("Water");
        if !wet {
            let words = format!("{:?} is no work in the water", run.work);
            let suggestion = Some(
                "the choices are WaterRest, WaterLight, WaterModerate and WaterHeavy".to_owned(),
            );
            diagnostics.add_with(section, &field("work"), Wrong::Value(words), suggestion);
        }
        if diagnostics.count() > before {
            said.push(path);
        }
    }
}

fn overlaps(
    pages: &Pages,
    all: &[Placed],
    crew: &[Diver],
    steel: &Steel,
    diagnostics: &mut Diagnostics,
) {
    let hours = |s: i64| format!("{} h {:02} min", s / 3600, s / 60 % 60);
    let mut said: Vec<&str> = Vec::new();
    for (i, Placed { run, path }) in all.iter().enumerate() {
        let end = run.at + whole_s(run, steel);
        let later = all[i + 1..].iter().take_while(|p| p.run.at < end);
        for next in later {
            let same_bell = next.run.bell == run.bell;
            let shared = next.run.divers.iter().find(|d| run.divers.contains(d));
            let words = match (same_bell, shared) {
                (true, _) => format!(
                    "this run starts {} after the one before it in the same bell, which takes about {}",
                    hours(next.run.at - run.at),
                    hours(end - run.at)
                ),
                (false, Some(d)) => {
                    format!(
                        "{} is in another bell run at that time",
                        crew.get(d.index()).map_or("", |d| &d.initials)
                    )
                }
                _ => continue,
            };
            if !said.contains(&next.path.as_str()) {
                let at = if next.path == *path {
                    format!("{path}.every")
                } else {
                    next.path.clone()
                };
                diagnostics.add(pages.of(&at), &at, Wrong::Contradiction(words));
                said.push(&next.path);
            }
        }
    }
}
