//! The divers: initials only, each with a bunk and a team.

use super::stock::mix;
use super::{Names, Part};
use crate::file::CrewFile;
use crate::{Aboard, Diver, Shift, Umbilicals};
use deepstay_core::units::text::Duration;
use deepstay_core::units::{CompartmentId, CompartmentKind, DiverId};
use deepstay_crew::{BailOut, Rates, in_water};
use deepstay_plant::Steel;
use deepstay_read::{Diagnostics, Wrong};
use std::cmp::Reverse;

/// Where somebody lives whose chamber is not known.
pub const NOWHERE: CompartmentId = CompartmentId(u8::MAX);

/// The crew.
pub fn people(
    crew: &Part<CrewFile>,
    names: &Names,
    steel: &Steel,
    diagnostics: &mut Diagnostics,
) -> Vec<Diver> {
    let Part { file, section } = crew;
    if file.divers.is_empty() {
        diagnostics.add(
            section,
            "divers",
            Wrong::Value("a crew has at least one diver".to_owned()),
        );
    }
    let mut people = Vec::new();
    for (i, d) in file.divers.iter().enumerate() {
        let path = format!("divers[{i}]");
        let letters = d.initials.chars().count();
        if !(2..=4).contains(&letters) || !d.initials.chars().all(char::is_alphabetic) {
            let words = format!(
                "\"{}\" are no initials: two to four letters, and no names",
                d.initials
            );
            diagnostics.add(section, &format!("{path}.initials"), Wrong::Value(words));
        }
        if !(40.0..=200.0).contains(&d.mass.0) {
            diagnostics.add(
                section,
                &format!("{path}.mass"),
                Wrong::Value("a diver has 40 to 200 kg".to_owned()),
            );
        }
        if !(0.5..=2.0).contains(&d.metabolism.0) {
            let words = "metabolism lies between 0.5 and 2 times the table's".to_owned();
            diagnostics.add(section, &format!("{path}.metabolism"), Wrong::Value(words));
        }
        let at = format!("{path}.chamber");
        let named = names.compartment(&d.chamber, section, &at, diagnostics);
        let lived_in = |c: &CompartmentId| {
            let plate = steel.compartments.get(c.index());
            plate.is_none_or(|c| c.kind == CompartmentKind::Living)
        };
        let chamber = named.filter(lived_in);
        if named.is_some() && chamber.is_none() {
            let wrong = Wrong::Contradiction(format!("`{}` is no living chamber", d.chamber));
            diagnostics.add(section, &at, wrong);
        }
        people.push(Diver {
            initials: d.initials.clone(),
            chamber: chamber.unwrap_or(NOWHERE),
            team: d.team,
            mass_kg: d.mass.0,
            metabolism: d.metabolism.0,
            qualifications: d.qualifications.clone(),
        });
    }
    let aboard = aboard(crew, diagnostics);
    for (i, c) in (0u8..).zip(&steel.compartments) {
        let mut at: Vec<i64> = aboard.iter().map(|a| a.from_s).collect();
        at.push(i64::MIN);
        at.sort_unstable();
        at.dedup();
        let here = |at: i64| -> Vec<usize> {
            let there = |d: &usize| {
                let known = aboard.iter().filter(|a| a.diver.index() == *d);
                people[*d].chamber == CompartmentId(i)
                    && known.clone().all(|a| a.from_s <= at && at < a.to_s)
            };
            (0..people.len()).filter(there).collect()
        };
        let fullest = at
            .into_iter()
            .map(|at| (at, here(at)))
            .max_by_key(|(at, all)| (all.len(), Reverse(*at)));
        let (since_s, here) = fullest.unwrap_or_default();
        if c.kind == CompartmentKind::Living && here.len() > usize::from(c.bunks) {
            let first_without = here[usize::from(c.bunks)];
            let (people, places) = (here.len(), usize::from(c.bunks));
            let joined = since_s > i64::MIN;
            let since = match joined {
                true => format!(" from {} on, by `joins` and `leaves`,", Duration(since_s)),
                false => String::new(),
            };
            let wrong = Wrong::Crowded {
                people,
                what: format!("`{}`{since}", c.name),
                places,
            };
            let room = wrong.remedy();
            let remedy = room.map(|room| match joined {
                true => format!("let those who are there leave before others join; or {room}"),
                false => room,
            });
            let at = format!("divers[{first_without}].chamber");
            diagnostics.add_with(section, &at, wrong, remedy);
        }
    }
    people
}

/// The bail-out of every diver: the crew's own, or the house's.
pub fn bail_out(crew: &Part<CrewFile>, diagnostics: &mut Diagnostics) -> BailOut {
    let house = BailOut::default();
    let Some(file) = &crew.file.bail_out else {
        return house;
    };
    let section = &crew.section;
    let made = BailOut {
        volume_m3: file.bottles.total_m3(),
        fill_gauge_pa: file.bottles.pressure.0,
        regulator_pa: file.regulator.map_or(house.regulator_pa, |g| g.0),
        mix: mix(&file.contents, section, "bail_out.contents", diagnostics),
        breathed_m3_s: file.breathed.map_or(house.breathed_m3_s, |f| f.0),
    };
    if !(made.volume_m3 > 0.0 && made.volume_m3 <= 0.2) || made.fill_gauge_pa > 350e5 {
        let words =
            "a diver carries more than nothing and at most 200 L, filled to 350 bar at the most";
        diagnostics.add(section, "bail_out.bottles", Wrong::Value(words.to_owned()));
    }
    if !(1.0 / 6e4..=200.0 / 6e4).contains(&made.breathed_m3_s) {
        let words = "a diver breathes 1 to 200 L/min at his pressure".to_owned();
        diagnostics.add(section, "bail_out.breathed", Wrong::Value(words));
    }
    made
}

/// Who is on shift at the surface.
pub fn surface(crew: &Part<CrewFile>, diagnostics: &mut Diagnostics) -> Vec<Shift> {
    let mut shifts = Vec::new();
    for (i, shift) in crew.file.surface.iter().enumerate() {
        if !(1..=50).contains(&shift.people) {
            let words = "1 to 50 people are on a shift".to_owned();
            let at = format!("surface[{i}].people");
            diagnostics.add(&crew.section, &at, Wrong::Value(words));
        }
        shifts.push(Shift {
            post: shift.post,
            people: shift.people,
            from_s: shift.from.0,
            to_s: shift.to.0,
        });
    }
    shifts
}

/// The umbilicals.
pub fn umbilicals(crew: &Part<CrewFile>, diagnostics: &mut Diagnostics) -> Option<Umbilicals> {
    let file = crew.file.umbilicals.as_ref()?;
    let section = &crew.section;
    for (field, metres) in [
        ("diver_m", file.diver_m.0),
        ("bellman_m", file.bellman_m.0),
        ("excursion_m", file.excursion_m.0),
    ] {
        if !(1.0..=200.0).contains(&metres) {
            let words = "an umbilical has 1 to 200 m".to_owned();
            diagnostics.add(section, &format!("umbilicals.{field}"), Wrong::Value(words));
        }
    }
    if !(1.0..=60.0).contains(&file.back_m_min.0) {
        let words = "a diver comes back at 1 to 60 m/min".to_owned();
        diagnostics.add(section, "umbilicals.back_m_min", Wrong::Value(words));
    }
    if file.excursion_m.0 > file.diver_m.0 {
        let words = format!(
            "work {} m from the bell is out of reach of an umbilical of {} m",
            file.excursion_m.0, file.diver_m.0
        );
        diagnostics.add(
            section,
            "umbilicals.excursion_m",
            Wrong::Contradiction(words),
        );
    }
    Some(Umbilicals {
        diver_m: file.diver_m.0,
        bellman_m: file.bellman_m.0,
        excursion_m: file.excursion_m.0,
        back_m_min: file.back_m_min.0,
    })
}

/// The rates, with what divers breathe in the water multiplied as the crew's file says.
pub fn rates(mut rates: Rates, crew: &Part<CrewFile>, diagnostics: &mut Diagnostics) -> Rates {
    let by = crew.file.breathing.0;
    if !(0.2..=5.0).contains(&by) {
        let words = "breathing lies between 0.2 and 5 times the table's".to_owned();
        diagnostics.add(&crew.section, "breathing", Wrong::Value(words));
    }
    for row in rates.rows.iter_mut().filter(|r| in_water(r.activity)) {
        row.rate.ventilation_l_min *= by;
    }
    rates
}

/// When those are on board who come later or leave sooner.
pub fn aboard(crew: &Part<CrewFile>, diagnostics: &mut Diagnostics) -> Vec<Aboard> {
    let mut all = Vec::new();
    for (i, d) in (0u8..).zip(&crew.file.divers) {
        if d.joins.is_none() && d.leaves.is_none() {
            continue;
        }
        let from_s = d.joins.map_or(i64::MIN, |t| t.0);
        let to_s = d.leaves.map_or(i64::MAX, |t| t.0);
        if to_s <= from_s {
            let words = format!("{} goes home before he comes on board", d.initials);
            let at = format!("divers[{i}].leaves");
            let remedy = "write a time of `leaves` that is after `joins`".to_owned();
            let wrong = Wrong::Contradiction(words);
            diagnostics.add_with(&crew.section, &at, wrong, Some(remedy));
        }
        all.push(Aboard {
            diver: DiverId(i),
            from_s,
            to_s,
        });
    }
    all
}
