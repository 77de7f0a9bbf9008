//! Names of compartments, doors, banks and divers, and how they become ids.

use super::Part;
use crate::complaint::{Wrong, did_you_mean, nearest};
use crate::file::{CrewFile, SpreadFile, StockFile};
use crate::read::{Desk, Sheet};
use deepstay_core::units::{BankId, CompartmentId, DiverId, DoorId};

/// The names on board.
pub(crate) struct Names {
    compartments: Vec<String>,
    doors: Vec<String>,
    banks: Vec<String>,
    divers: Vec<String>,
}

impl Names {
    pub fn new(
        spread: &Part<SpreadFile>,
        stock: &Part<StockFile>,
        crew: &Part<CrewFile>,
        desk: &mut Desk,
    ) -> Names {
        let compartments = spread
            .file
            .compartments
            .iter()
            .map(|c| c.name.clone())
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
        };
        for (kind, list, sheet, path, field) in [
            (
                "compartment",
                &names.compartments,
                &spread.sheet,
                "compartments",
                "name",
            ),
            ("door", &names.doors, &spread.sheet, "doors", "name"),
            ("bank", &names.banks, &stock.sheet, "banks", "name"),
            ("diver", &names.divers, &crew.sheet, "divers", "initials"),
        ] {
            for (i, name) in list.iter().enumerate() {
                let at = format!("{path}[{i}].{field}");
                if list[..i].contains(name) {
                    desk.complain(
                        sheet,
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
                    desk.complain(
                        sheet,
                        &at,
                        Wrong::Value("a name has 1 to 40 characters".to_owned()),
                    );
                }
            }
        }
        names
    }

    pub fn compartment(
        &self,
        name: &str,
        sheet: &Sheet,
        path: &str,
        desk: &mut Desk,
    ) -> Option<CompartmentId> {
        find("compartment", &self.compartments, name, sheet, path, desk).map(CompartmentId)
    }

    pub fn door(&self, name: &str, sheet: &Sheet, path: &str, desk: &mut Desk) -> Option<DoorId> {
        find("door", &self.doors, name, sheet, path, desk).map(DoorId)
    }

    pub fn bank(&self, name: &str, sheet: &Sheet, path: &str, desk: &mut Desk) -> Option<BankId> {
        find("bank", &self.banks, name, sheet, path, desk).map(BankId)
    }

    pub fn diver(&self, name: &str, sheet: &Sheet, path: &str, desk: &mut Desk) -> Option<DiverId> {
        find("diver", &self.divers, name, sheet, path, desk).map(DiverId)
    }
}

fn find(
    kind: &'static str,
    list: &[String],
    name: &str,
    sheet: &Sheet,
    path: &str,
    desk: &mut Desk,
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
        desk.suggest(sheet, path, wrong, suggestion);
    }
    at
}
