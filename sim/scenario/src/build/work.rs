//! The work list: depths, qualifications that somebody holds, an order without rings.

use super::Part;
use super::steel::knows_bells;
use crate::file::{BellsFile, CrewFile, HoursFile, TaskFile, TeamsFile, WorkFile};
use crate::{Diver, DiverWork, Site, Work, WorkTask};
use deepstay_core::units::fixed_short;
use deepstay_plant::Steel;
use deepstay_read::{Diagnostics, Wrong, did_you_mean, nearest};

/// Most tasks of a job.
const MOST_TASKS: usize = 500;
/// Longest time in the water of a task, s (a year).
const LONGEST_TASK_S: i64 = 366 * 86_400;

/// The work, or what a job without a list has.
pub fn work(
    part: Option<&Part<WorkFile>>,
    crew: &Part<CrewFile>,
    people: &[Diver],
    site: &Site,
    steel: &Steel,
    diagnostics: &mut Diagnostics,
) -> Work {
    let divers = divers(crew, diagnostics);
    let Some(part) = part else {
        return Work {
            divers,
            ..Work::default()
        };
    };
    let Part { file, section } = part;
    if file.tasks.len() > MOST_TASKS {
        let words = format!("a work list has at most {MOST_TASKS} tasks");
        diagnostics.add(section, "tasks", Wrong::Value(words));
    }
    let names: Vec<&str> = file.tasks.iter().map(|t| t.name.as_str()).collect();
    let mut tasks = Vec::new();
    for (i, t) in file.tasks.iter().enumerate().take(MOST_TASKS) {
        each(part, i, t, &names, people, steel, diagnostics);
        let place = |name: &String| names.iter().position(|n| n == name);
        tasks.push(WorkTask {
            name: t.name.clone(),
            depth_msw: t.depth.map_or(site.working_msw, |d| d.0),
            in_water_s: t.in_water.0,
            divers: t.divers,
            qualifications: t.qualifications.clone(),
            gas: t.gas.clone(),
            after: t.after.iter().filter_map(place).collect(),
        });
    }
    depths(part, &tasks, site, steel, diagnostics);
    ring(part, &tasks, diagnostics);
    if file.weather_allowance.0 > 0.9 {
        let words = "weather that takes more than 90 % leaves no rota".to_owned();
        diagnostics.add(section, "weather_allowance", Wrong::Value(words));
    }
    if let (Some(first), Some(last)) = (file.first, file.last)
        && last <= first
    {
        let words = "the last bell is home before the first leaves".to_owned();
        diagnostics.add(section, "last", Wrong::Contradiction(words));
    }
    let mut within = |value_s: i64, low_s: i64, high_s: i64, path: &str, words: &str| {
        if !(low_s..=high_s).contains(&value_s) {
            diagnostics.add(section, path, Wrong::Value(words.to_owned()));
        }
    };
    within(
        file.turn_round.0,
        600,
        86_400,
        "turn_round",
        "a turnaround takes between 10 min and a day",
    );
    within(
        file.rest.0,
        0,
        7 * 86_400,
        "rest",
        "rest lies between nothing and a week",
    );
    if let Some(d) = file.in_water {
        let words = "time in the water lies between 10 min and 12 h";
        within(d.0, 600, 12 * 3600, "in_water", words);
    }
    Work {
        tasks,
        weather_share: file.weather_allowance.0,
        fixed_teams: file.teams == TeamsFile::Fixed,
        same_hours: file.hours != HoursFile::Free,
        team_hours: file.hours == HoursFile::Kept,
        kept_bells: file.bells == BellsFile::Kept,
        first_s: file.first.map(|d| d.0),
        last_s: file.last.map(|d| d.0),
        turn_round_s: file.turn_round.0,
        rest_s: file.rest.0,
        in_water_s: file.in_water.map(|d| d.0),
        divers,
    }
}

fn divers(crew: &Part<CrewFile>, diagnostics: &mut Diagnostics) -> Vec<DiverWork> {
    let Part { file, section } = crew;
    let mut all = Vec::new();
    for (i, d) in file.divers.iter().enumerate() {
        let last_saturation = match (d.surfaced_before, d.last_saturation) {
            (Some(ago), Some(length)) => Some((ago.0, length.0)),
            (None, None) => None,
            (Some(_), None) => {
                let at = format!("divers[{i}]");
                let wrong = Wrong::MissingField("last_saturation".to_owned());
                diagnostics.add(section, &at, wrong);
                None
            }
            (None, Some(_)) => {
                let at = format!("divers[{i}]");
                let wrong = Wrong::MissingField("surfaced_before".to_owned());
                diagnostics.add(section, &at, wrong);
                None
            }
        };
        for (k, name) in d.qualifications.iter().enumerate() {
            if d.qualifications[..k].contains(name) {
                let wrong = Wrong::Duplicate {
                    kind: "qualification",
                    name: name.clone(),
                };
                diagnostics.add(section, &format!("divers[{i}].qualifications[{k}]"), wrong);
            }
        }
        all.push(DiverWork {
            prefers_s: d.prefers.map(|(from, to)| (from.0, to.0)),
            last_saturation,
            in_year_s: d.under_pressure_in_year.map_or(0, |d| d.0),
        });
    }
    all
}

/// What can be wrong with a task by itself.
fn each(
    part: &Part<WorkFile>,
    i: usize,
    t: &TaskFile,
    names: &[&str],
    people: &[Diver],
    steel: &Steel,
    diagnostics: &mut Diagnostics,
) {
    let section = &part.section;
    let path = |field: &str| format!("tasks[{i}].{field}");
    if t.name.trim().is_empty() || t.name.chars().count() > 60 {
        let words = "a task's name has 1 to 60 characters".to_owned();
        diagnostics.add(section, &path("name"), Wrong::Value(words));
    }
    if names[..i].contains(&t.name.as_str()) {
        let wrong = Wrong::Duplicate {
            kind: "task",
            name: t.name.clone(),
        };
        diagnostics.add(section, &path("name"), wrong);
    }
    if !(600..=LONGEST_TASK_S).contains(&t.in_water.0) {
        let words = "a task takes between 10 min and a year in the water".to_owned();
        diagnostics.add(section, &path("in_water"), Wrong::Value(words));
    }
    let bells = steel.compartments.iter().filter(|c| c.bell.is_some());
    // One stays in the bell.
    let most = bells.map(|c| c.places.saturating_sub(1)).max().unwrap_or(0);
    if t.divers == 0 || t.divers > most && knows_bells(steel, diagnostics) {
        let words = format!(
            "{} divers at once; from the bells of this spread 1 to {most} work at once, and one stays in the bell",
            t.divers
        );
        diagnostics.add(section, &path("divers"), Wrong::Contradiction(words));
    }
    let mut held: Vec<&str> = people
        .iter()
        .flat_map(|d| d.qualifications.iter().map(String::as_str))
        .collect();
    held.sort_unstable();
    held.dedup();
    for (k, name) in t.qualifications.iter().enumerate() {
        if !held.contains(&name.as_str()) {
            let suggestion = did_you_mean(nearest(name, held.iter().copied()))
                .or_else(|| Some("give it to a diver of the crew".to_owned()));
            let words = format!("nobody in the crew holds \"{name}\"");
            let at = path(&format!("qualifications[{k}]"));
            diagnostics.add_with(section, &at, Wrong::Contradiction(words), suggestion);
        }
    }
    for (k, name) in t.after.iter().enumerate() {
        if !names.contains(&name.as_str()) {
            let suggestion = did_you_mean(nearest(name, names.iter().copied()));
            let wrong = Wrong::NoSuch {
                kind: "task",
                name: name.clone(),
                known: names.iter().map(|n| (*n).to_owned()).collect(),
            };
            diagnostics.add_with(section, &path(&format!("after[{k}]")), wrong, suggestion);
        }
    }
}

fn depths(
    part: &Part<WorkFile>,
    tasks: &[WorkTask],
    site: &Site,
    steel: &Steel,
    diagnostics: &mut Diagnostics,
) {
    let section = &part.section;
    let bells = steel.compartments.iter().filter(|c| c.bell.is_some());
    let deepest = bells.map(|c| c.rating_msw).fold(0.0, f64::max);
    for (i, t) in tasks.iter().enumerate() {
        let at = format!("tasks[{i}].depth");
        if t.depth_msw > site.seabed_msw && t.depth_msw != site.working_msw {
            let words = format!(
                "{} msw is below the sea bed at {} msw",
                fixed_short(t.depth_msw),
                fixed_short(site.seabed_msw)
            );
            diagnostics.add(section, &at, Wrong::Contradiction(words));
        } else if t.depth_msw > deepest && knows_bells(steel, diagnostics) {
            let wrong = Wrong::Rating {
                depth_msw: t.depth_msw,
                what: "any bell".to_owned(),
                rating_msw: deepest,
            };
            diagnostics.add(section, &at, wrong);
        }
    }
}

/// A task that waits for itself.
fn ring(part: &Part<WorkFile>, tasks: &[WorkTask], diagnostics: &mut Diagnostics) {
    let mut ready = vec![false; tasks.len()];
    loop {
        let next =
            (0..tasks.len()).find(|&i| !ready[i] && tasks[i].after.iter().all(|&b| ready[b]));
        match next {
            Some(i) => ready[i] = true,
            None => break,
        }
    }
    if let Some(i) = ready.iter().position(|r| !r) {
        let words = format!("\"{}\" waits in the end for itself", tasks[i].name);
        let at = format!("tasks[{i}].after");
        diagnostics.add(&part.section, &at, Wrong::Contradiction(words));
    }
}
