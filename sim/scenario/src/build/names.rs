//! Names of compartments, doors, banks and divers, and how they become ids.

use super::Part;
use crate::file::{CrewFile, SpreadFile, StockFile};
use deepstay_core::units::{BankId, CompartmentId, DiverId, DoorId};
use deepstay_read::{Diagnostics, Section, Wrong, did_you_mean, nearest};

/// The names on board.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Names {
    compartments: Vec<String>,
    doors: Vec<String>,
    banks: Vec<String>,
    divers: Vec<String>,
    /// The stock has gas for a reclaim.
    pub reclaim: bool,
}

impl Names {
    pub fn new(
        spread: &Part<SpreadFile>,
        stock: &Part<StockFile>,
        crew: &Part<CrewFile>,
        diagnostics: &mut Diagnostics,
    ) -> Names {
        let compartments = spread
            .file
            .compartments
            .iter()
            .map(|c| c.name.clone())
            .chain(spread.file.reclaim.iter().map(|r| r.name.clone()))
            .collect();
        let doors = spread.file.doors.iter().map(|d| d.name.clone()).collect();
        let banks = stock.file.banks.iter().map(|b| b.name.clone()).collect();
        let divers = crew
            .file
            .divers
            .iter()
            .map(|d| d.initials.clone())
            .collect();
        let names = Names {
            compartments,
            doors,
            banks,
            divers,
            reclaim: stock.file.reclaim.is_some(),
        };
        for (kind, list, section, path, field) in [
            (
                "compartment",
                &names.compartments,
                &spread.section,
                "compartments",
                "name",
            ),
            ("door", &names.doors, &spread.section, "doors", "name"),
            ("bank", &names.banks, &stock.section, "banks", "name"),
            ("diver", &names.divers, &crew.section, "divers", "initials"),
        ] {
            for (i, name) in list.iter().enumerate() {
                let at = format!("{path}[{i}].{field}");
                if list[..i].contains(name) {
                    diagnostics.add(
                        section,
                        &at,
                        Wrong::Duplicate {
                            kind,
                            name: name.clone(),
                        },
                    );
                }
                if name.trim().is_empty()
                    || name.chars().count() > 40
                    || name.chars().any(char::is_control)
                {
                    diagnostics.add(
                        section,
                        &at,
                        Wrong::Value("a name has 1 to 40 characters on one line".to_owned()),
                    );
                }
            }
        }
        names
    }

    pub fn compartment(
        &self,
        name: &str,
        section: &Section,
        path: &str,
        diagnostics: &mut Diagnostics,
    ) -> Option<CompartmentId> {
        find(
            "compartment",
            &self.compartments,
            name,
            section,
            path,
            diagnostics,
        )
        .map(CompartmentId)
    }

    pub fn door(
        &self,
        name: &str,
        section: &Section,
        path: &str,
        diagnostics: &mut Diagnostics,
    ) -> Option<DoorId> {
        find("door", &self.doors, name, section, path, diagnostics).map(DoorId)
    }

    pub fn bank(
        &self,
        name: &str,
        section: &Section,
        path: &str,
        diagnostics: &mut Diagnostics,
    ) -> Option<BankId> {
        find("bank", &self.banks, name, section, path, diagnostics).map(BankId)
    }

    pub fn diver(
        &self,
        name: &str,
        section: &Section,
        path: &str,
        diagnostics: &mut Diagnostics,
    ) -> Option<DiverId> {
        find("diver", &self.divers, name, section, path, diagnostics).map(DiverId)
    }
}

fn find(
    kind: &'static str,
    list: &[String],
    name: &str,
    section: &Section,
    path: &str,
    diagnostics: &mut Diagnostics,
) -> Option<u8> {
    let at = list
        .iter()
        .position(|known| known == name)
        .and_then(|i| u8::try_from(i).ok());
    if at.is_none() {
        let suggestion = did_you_mean(nearest(name, list.iter().map(String::as_str)));
        let wrong = Wrong::NoSuch {
            kind,
            name: name.to_owned(),
            known: list.to_vec(),
        };
        diagnostics.add_with(section, path, wrong, suggestion);
    }
    at
}
