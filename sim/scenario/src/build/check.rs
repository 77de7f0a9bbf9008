//! What must fit together across the plan, the crew and the steel: who is where at which depth, and
//! what the steel is rated for.

use super::Part;
use super::plan::Planned;
use crate::file::PlanFile;
use crate::reach::reached_from;
use crate::{BellRun, Diver, LevelDo, Site};
use deepstay_core::units::*;
use deepstay_plant::Steel;
use deepstay_read::{Diagnostics, Section, Wrong};

/// Storage depths count as equal this close together, msw.
const EQUAL_MSW: f64 = 0.05;

/// The storage depth that a side is told to have at a second, msw; none at the surface or on the way to it.
pub fn storage_msw(planned: &Planned, side: usize, at: i64) -> Option<f64> {
    let mut depth = None;
    for step in planned.plan.levels[side]
        .steps
        .iter()
        .filter(|s| s.at <= at)
    {
        depth = match step.what {
            LevelDo::Press(d) | LevelDo::ChangeStorage(d) => Some(d),
            LevelDo::Decompress | LevelDo::Abort => None,
        };
    }
    depth
}

/// The side in which a diver lives at a second.
pub fn side_of(planned: &Planned, crew: &[Diver], diver: DiverId, at: i64) -> Option<usize> {
    let mut moves = planned
        .plan
        .moves
        .iter()
        .filter(|m| m.at <= at && m.divers.contains(&diver));
    let chamber = moves
        .next_back()
        .map_or(crew.get(diver.index())?.chamber, |m| m.to);
    planned
        .plan
        .levels
        .iter()
        .position(|s| s.members.contains(&chamber))
}

/// Whether divers are where the plan wants them.
pub fn people(
    part: &Part<PlanFile>,
    planned: &Planned,
    crew: &[Diver],
    steel: &Steel,
    diagnostics: &mut Diagnostics,
) {
    let section = &part.section;
    let initials = |d: DiverId| crew.get(d.index()).map_or("", |d| d.initials.as_str());
    for (i, d) in (0u8..).zip(crew) {
        let known = steel.compartments.get(d.chamber.index());
        if let Some(chamber) = known
            && side_of(planned, crew, DiverId(i), -1).is_none()
        {
            let words = format!(
                "{} lives in `{}`, which is in no level of the plan",
                d.initials, chamber.name
            );
            diagnostics.add(section, "levels", Wrong::Contradiction(words));
            return;
        }
    }
    let mut said: Vec<&str> = Vec::new();
    for (run, path) in planned.plan.bell_runs.iter().zip(&planned.run_paths) {
        if said.contains(&path.as_str()) {
            continue;
        }
        let before = diagnostics.count();
        let section = planned.section(section, path);
        let who = if path.starts_with("rota") {
            "teams"
        } else {
            "divers"
        };
        let sides: Vec<Option<usize>> = run
            .divers
            .iter()
            .map(|&d| side_of(planned, crew, d, run.at))
            .collect();
        let day = day_words(run.at);
        let pressed_at = |side: Option<usize>| {
            let steps = planned.plan.levels[side?].steps.iter();
            let pressed = steps.filter(|s| s.at <= run.at && matches!(s.what, LevelDo::Press(_)));
            pressed.map(|s| s.at).next_back()
        };
        let absent = |d: &DiverId| {
            let at = pressed_at(side_of(planned, crew, *d, run.at));
            at.is_some_and(|at| !planned.plan.aboard(*d, at))
        };
        if let Some(absent) = run.divers.iter().copied().find(absent) {
            let words = format!(
                "on {day} {} is not on board by `joins` and `leaves` of the crew's file",
                initials(absent)
            );
            let remedy =
                "put the bell run between his `joins` and his `leaves`, or change those".to_owned();
            diagnostics.add_with(
                section,
                &format!("{path}.{who}"),
                Wrong::Contradiction(words),
                Some(remedy),
            );
        } else if let Some(odd) = sides.iter().position(|s| *s != sides[0]) {
            let words = format!(
                "on {day} {} lives at another level than {}",
                initials(run.divers[odd]),
                initials(run.divers[0])
            );
            diagnostics.add(
                section,
                &format!("{path}.{who}"),
                Wrong::Contradiction(words),
            );
        } else if let Some(Some(side)) = sides.first()
            && storage_msw(planned, *side, run.at).is_none()
        {
            let words = format!(
                "on {day} {} is not at storage depth by this plan",
                initials(run.divers[0])
            );
            diagnostics.add(section, path, Wrong::Contradiction(words));
        } else if let Some(Some(side)) = sides.first()
            && let Some(words) = unreached(planned, *side, run, crew, steel)
        {
            let at = format!("{path}.{who}");
            let remedy = "send divers from where the bell is reached, or lead a door of the spread from their level to its trunk";
            diagnostics.add_with(
                section,
                &at,
                Wrong::Contradiction(format!("on {day} {words}")),
                Some(remedy.to_owned()),
            );
        }
        if diagnostics.count() > before {
            said.push(path);
        }
    }
    for (m, &i) in planned.plan.moves.iter().zip(&planned.move_indices) {
        let path = format!("moves[{i}]");
        let Some(to) = planned
            .plan
            .levels
            .iter()
            .position(|s| s.members.contains(&m.to))
        else {
            let words = "this chamber is in no level of the plan".to_owned();
            diagnostics.add(section, &format!("{path}.to"), Wrong::Contradiction(words));
            continue;
        };
        let there = storage_msw(planned, to, m.at);
        for (k, &d) in m.divers.iter().enumerate() {
            let from = side_of(planned, crew, d, m.at - 1);
            let here = from.and_then(|s| storage_msw(planned, s, m.at));
            let equal = matches!((here, there), (Some(a), Some(b)) if (a - b).abs() <= EQUAL_MSW);
            if !equal {
                let say = |depth: Option<f64>| {
                    depth.map_or("at no storage depth".to_owned(), |d| format!("at {d} msw"))
                };
                let words = format!(
                    "on {} {} is {} and this chamber {}; people pass only at equal pressure",
                    day_words(m.at),
                    initials(d),
                    say(here),
                    say(there)
                );
                let suggestion = Some(
                    "bring one level to the other's depth with ChangeStorage before".to_owned(),
                );
                diagnostics.add_with(
                    section,
                    &format!("{path}.divers[{k}]"),
                    Wrong::Contradiction(words),
                    suggestion,
                );
            }
        }
        let after = (0u8..)
            .take(crew.len())
            .filter(|&d| lives_in(planned, crew, DiverId(d), m.at) == Some(m.to))
            .count();
        let plate = steel.compartments.get(m.to.index());
        if let Some(c) =
            plate.filter(|c| c.kind == CompartmentKind::Living && after > usize::from(c.bunks))
        {
            let (what, places) = (format!("`{}`", c.name), usize::from(c.bunks));
            diagnostics.add(
                section,
                &format!("{path}.to"),
                Wrong::Crowded {
                    people: after,
                    what,
                    places,
                },
            );
        }
    }
}

/// Why divers of a level do not reach the bell of a run, where they do not.
fn unreached(
    planned: &Planned,
    side: usize,
    run: &BellRun,
    crew: &[Diver],
    steel: &Steel,
) -> Option<String> {
    let levels = &planned.plan.levels;
    let members = &levels[side].members;
    let from = reached_from(steel, levels, run.bell);
    if from.iter().any(|c| members.contains(c)) {
        return None;
    }
    let name = |c: &CompartmentId| {
        let plate = steel.compartments.get(c.index());
        plate.map_or("", |c| c.name.as_str())
    };
    let living = |c: &&CompartmentId| {
        let plate = steel.compartments.get(c.index());
        plate.is_some_and(|c| c.kind == CompartmentKind::Living)
    };
    let homes: Vec<String> = from
        .iter()
        .filter(living)
        .map(|c| format!("`{}`", name(c)))
        .collect();
    let who = run.divers.first()?;
    Some(format!(
        "{} lives in `{}`, from which no door leads to `{}`; it is reached from {}",
        crew.get(who.index()).map_or("", |d| d.initials.as_str()),
        members.first().map_or("", name),
        name(&run.bell),
        if homes.is_empty() {
            "nowhere".to_owned()
        } else {
            homes.join(" and ")
        }
    ))
}

fn lives_in(planned: &Planned, crew: &[Diver], diver: DiverId, at: i64) -> Option<CompartmentId> {
    let side = side_of(planned, crew, diver, at)?;
    storage_msw(planned, side, at)?;
    if !planned.plan.aboard(diver, at) {
        return None;
    }
    let mut moves = planned
        .plan
        .moves
        .iter()
        .filter(|m| m.at <= at && m.divers.contains(&diver));
    Some(
        moves
            .next_back()
            .map_or(crew[diver.index()].chamber, |m| m.to),
    )
}

/// Whether the steel is rated for the depths of the plan.
pub fn depths(
    part: &Part<PlanFile>,
    planned: &Planned,
    site: &Site,
    steel: &Steel,
    diagnostics: &mut Diagnostics,
) {
    let section = &part.section;
    // Of all that a depth is too much for, the weakest is named: one wrong depth is one fault.
    let mut rated = |section: &Section, of: Vec<CompartmentId>, depth_msw: f64, path: &str| {
        let plates = of.iter().filter_map(|c| steel.compartments.get(c.index()));
        let weakest = plates
            .filter(|plate| depth_msw > plate.rating_msw)
            .min_by(|a, b| a.rating_msw.total_cmp(&b.rating_msw));
        if let Some(plate) = weakest {
            let wrong = Wrong::Rating {
                depth_msw,
                what: format!("`{}`", plate.name),
                rating_msw: plate.rating_msw,
            };
            diagnostics.add(section, path, wrong);
        }
    };
    for (i, s) in planned.plan.levels.iter().enumerate() {
        for (k, step) in s.steps.iter().enumerate() {
            if let LevelDo::Press(d) | LevelDo::ChangeStorage(d) = step.what {
                let of = [s.members.clone(), locks(steel, &s.members)].concat();
                rated(section, of, d, &format!("levels[{i}].steps[{k}].what"));
            }
        }
    }
    let mut said: Vec<&str> = Vec::new();
    for (run, path) in planned.plan.bell_runs.iter().zip(&planned.run_paths) {
        if !said.contains(&path.as_str()) {
            let bell = steel.compartments[run.bell.index()].bell.as_ref();
            let of = std::iter::once(run.bell).chain(bell.map(|b| b.trunk));
            let at = format!("{path}.depth");
            rated(
                planned.section(section, path),
                of.collect(),
                run.depth_msw,
                &at,
            );
            said.push(path);
        }
    }
    for (run, path) in planned.plan.bell_runs.iter().zip(&planned.run_paths) {
        if run.depth_msw > site.seabed_msw && run.depth_msw != site.working_msw {
            let words = format!(
                "{} msw is below the sea bed at {} msw",
                fixed_short(run.depth_msw),
                fixed_short(site.seabed_msw)
            );
            let section = planned.section(section, path);
            diagnostics.add(
                section,
                &format!("{path}.depth"),
                Wrong::Contradiction(words),
            );
        }
    }
}

/// Locks that open into a member.
fn locks(steel: &Steel, members: &[CompartmentId]) -> Vec<CompartmentId> {
    let lock = |c: CompartmentId| {
        steel.compartments.get(c.index()).is_some_and(|c| {
            matches!(
                c.kind,
                CompartmentKind::MedicalLock | CompartmentKind::EquipmentLock
            )
        })
    };
    let beyond = steel.doors.iter().filter_map(|d| {
        let b = d.b?;
        match (members.contains(&d.a), members.contains(&b)) {
            (true, false) => Some(b),
            (false, true) => Some(d.a),
            _ => None,
        }
    });
    beyond.filter(|c| lock(*c)).collect()
}

/// A second as a day of the job and a time since its beginning.
pub fn day_words(at: i64) -> String {
    format!(
        "day {} at {:02}:{:02} h",
        at / 86_400,
        at % 86_400 / 3600,
        at % 3600 / 60
    )
}
