//! The divers: initials only, each with a bunk and a team.

use super::{Names, Part};
use crate::plant::Steel;
use crate::scenario::Diver;
use crate::scenario::complaint::Wrong;
use crate::scenario::file::CrewFile;
use crate::scenario::read::Desk;
use crate::units::{CompartmentId, CompartmentKind};

/// The crew.
pub fn people(crew: &Part<CrewFile>, names: &Names, steel: &Steel, desk: &mut Desk) -> Vec<Diver> {
    let Part { file, sheet } = crew;
    if file.divers.is_empty() {
        desk.complain(
            sheet,
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
            desk.complain(sheet, &format!("{path}.initials"), Wrong::Value(words));
        }
        if !(40.0..=200.0).contains(&d.mass.0) {
            desk.complain(
                sheet,
                &format!("{path}.mass"),
                Wrong::Value("a diver has 40 to 200 kg".to_owned()),
            );
        }
        if !(0.5..=2.0).contains(&d.metabolism.0) {
            let words = "metabolism lies between 0.5 and 2 times the table's".to_owned();
            desk.complain(sheet, &format!("{path}.metabolism"), Wrong::Value(words));
        }
        let at = format!("{path}.chamber");
        let chamber = names.compartment(&d.chamber, sheet, &at, desk);
        if let Some(c) = chamber
            && steel
                .compartments
                .get(c.index())
                .is_some_and(|c| c.kind != CompartmentKind::Living)
        {
            let wrong = Wrong::Contradiction(format!("`{}` is no living chamber", d.chamber));
            desk.complain(sheet, &at, wrong);
        }
        people.push(Diver {
            initials: d.initials.clone(),
            chamber: chamber.unwrap_or(CompartmentId(u8::MAX)),
            team: d.team,
            mass_kg: d.mass.0,
            metabolism: d.metabolism.0,
            qualifications: d.qualifications.clone(),
        });
    }
    for (i, c) in (0u8..).zip(&steel.compartments) {
        let here: Vec<usize> = (0..people.len())
            .filter(|&d| people[d].chamber == CompartmentId(i))
            .collect();
        if c.kind == CompartmentKind::Living && here.len() > usize::from(c.bunks) {
            let first_without = here[usize::from(c.bunks)];
            let (people, places) = (here.len(), usize::from(c.bunks));
            let wrong = Wrong::Crowded {
                people,
                what: format!("`{}`", c.name),
                places,
            };
            desk.complain(sheet, &format!("divers[{first_without}].chamber"), wrong);
        }
    }
    people
}
