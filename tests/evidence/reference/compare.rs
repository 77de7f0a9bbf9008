//! Runs a case beside the reference's rows and gathers the worst differences.

use super::build::{self, NAMES};
use crate::chamber::{CHAMBER, Stage};
use deepstay::gas::{SPECIES, Species};
use deepstay::plant::{Air, SteelOrder};
use deepstay::record::{ValveName, What};
use deepstay::units::*;
use deepstay_tests::check_values;
use std::collections::BTreeMap;

/// One row of the reference by column.
pub type Row = BTreeMap<String, f64>;

/// The rows of a reference file.
pub fn rows(file: &str) -> Vec<Row> {
    let mut reader = check_values(file);
    let names: Vec<String> = reader
        .headers()
        .unwrap()
        .iter()
        .map(str::to_owned)
        .collect();
    let row = |r: csv::StringRecord| {
        names
            .iter()
            .cloned()
            .zip(r.iter().map(|x| x.parse().unwrap()))
            .collect()
    };
    reader.records().map(|r| row(r.unwrap())).collect()
}

/// What passed one way since the start, by purpose and direction (into the chamber or out of it), mol.
pub type Passed = BTreeMap<(Purpose, bool), [f64; SPECIES]>;

/// A worst difference: its size, and the second it was seen.
#[derive(Clone, Copy, Debug, Default)]
pub struct Worst {
    pub value: f64,
    pub at_s: f64,
}

impl Worst {
    fn see(&mut self, value: f64, at_s: f64) {
        if value.abs() > self.value.abs() {
            *self = Worst { value, at_s };
        }
    }
}

/// Worst differences of a case by column: relative for states, over the species' handled moles for paths.
#[derive(Default)]
pub struct Differences(pub BTreeMap<String, Worst>);

impl Differences {
    pub fn print(&self, case: &str) {
        println!("{case}: worst difference by column (states relative, paths over moles handled)");
        for (name, w) in &self.0 {
            println!("  {name:>24} {:+.2e} at {} s", w.value, w.at_s);
        }
    }

    /// The worst of the columns that have nothing to do with water.
    pub fn greatest_but_water(&self) -> f64 {
        let water = |name: &str| {
            name.contains("H2O")
                || name.contains("h2o")
                || name.contains("water")
                || name == "relative_humidity"
        };
        self.0
            .iter()
            .filter(|(name, _)| !water(name))
            .fold(0.0, |m, (_, w)| m.max(w.value.abs()))
    }

    pub fn greatest(&self) -> f64 {
        self.0.values().fold(0.0, |m, w| m.max(w.value.abs()))
    }

    fn see(&mut self, column: &str, value: f64, at_s: f64) {
        self.0
            .entry(column.to_owned())
            .or_default()
            .see(value, at_s);
    }

    /// Compares an air with a row: pressure, temperatures, partial pressures, moles, humidity.
    pub fn state(&mut self, air: &Air, row: &Row) {
        let at_s = row["t_s"];
        let mut see = |column: &str, ours: f64| {
            if let Some(theirs) = row.get(column).filter(|x| **x != 0.0) {
                self.see(column, ours / theirs - 1.0, at_s);
            }
        };
        see("p_pa", air.p_pa);
        see("t_gas_k", air.t_k);
        see("t_wall_k", air.wall_k);
        see("relative_humidity", air.humidity);
        let total = air.n_mol.total();
        for (name, s) in NAMES {
            see(
                &format!("p_{}_pa", name.to_lowercase()),
                air.n_mol[s] / total * air.p_pa,
            );
            see(&format!("n_{name}_mol"), air.n_mol[s]);
        }
    }

    /// Compares what passed each way with a row, over what the chamber handled of the species.
    fn paths(&mut self, passed: &Passed, start: &Row, row: &Row) {
        let sum = |purpose: Purpose, into: bool, s: Species| {
            passed.get(&(purpose, into)).map_or(0.0, |m| m[s.index()])
        };
        let handled = |s: Species, name: &str| {
            start[&format!("n_{name}_mol")] + passed.values().map(|m| m[s.index()]).sum::<f64>()
        };
        for (name, s) in NAMES {
            let mut see = |column: &str, ours: f64, theirs: f64| {
                if theirs != 0.0 {
                    self.see(column, (ours - theirs) / handled(s, name), row["t_s"]);
                }
            };
            for (path, purpose, into) in [
                ("leak", Purpose::Leak, false),
                ("sample", Purpose::Sample, false),
                ("exhaust", Purpose::Bleed, false),
                ("supply", Purpose::BlowDown, true),
            ] {
                let column = format!("{path}_{name}_mol");
                see(
                    &column,
                    sum(purpose, into, s),
                    row.get(&column).copied().unwrap_or(0.0),
                );
            }
            let theirs = |column: &str| row.get(column).copied().unwrap_or(0.0);
            match s {
                Species::O2 => {
                    see(
                        "oxygen_added_mol",
                        sum(Purpose::Oxygen, true, s),
                        theirs("oxygen_added_mol"),
                    );
                    see(
                        "oxygen_used_mol",
                        sum(Purpose::Metabolism, false, s),
                        theirs("oxygen_used_mol"),
                    );
                }
                Species::Co2 => {
                    see(
                        "co2_breathed_mol",
                        sum(Purpose::Metabolism, true, s),
                        theirs("co2_breathed_mol"),
                    );
                    see(
                        "co2_scrubbed_mol",
                        sum(Purpose::Absorption, false, s),
                        theirs("co2_scrubbed_mol"),
                    );
                }
                Species::H2o => {
                    see(
                        "water_breathed_mol",
                        sum(Purpose::Metabolism, true, s),
                        theirs("water_breathed_mol"),
                    );
                    see(
                        "water_scrubber_mol",
                        sum(Purpose::Absorption, true, s),
                        theirs("water_scrubber_mol"),
                    );
                    let drained = theirs("water_coil_mol") + theirs("water_wall_mol");
                    see(
                        "water_coil_and_wall_mol",
                        sum(Purpose::Water, false, s),
                        drained,
                    );
                }
                _ => {}
            }
        }
    }
}

/// Adds up the chamber's entries since last time; a species that goes against an entry's direction counts the other way.
fn add_up(stage: &mut Stage, passed: &mut Passed) {
    let t_s = stage.t_s;
    stage.plant.give_flows(t_s, &mut stage.entries);
    for entry in stage.entries.drain(..) {
        let What::Moved {
            from,
            to,
            purpose,
            moles,
        } = entry.what
        else {
            continue;
        };
        let here = Place::Compartment(CHAMBER);
        if from != here && to != here {
            continue;
        }
        for (s, n) in moles.0.into_iter().enumerate() {
            let into = (to == here) == (n >= 0.0);
            passed.entry((purpose, into)).or_default()[s] += n.abs();
        }
    }
}

fn purpose_of(valve: ValveName) -> Purpose {
    match valve {
        ValveName::Oxygen(_) => Purpose::Oxygen,
        ValveName::BlowDown(_) => Purpose::BlowDown,
        _ => Purpose::Bleed,
    }
}

/// Runs a case through the plant beside the rows of its reference. `keep` says which rows are
/// held. Further valve orders come on top of the case's own.
pub fn run(
    name: &str,
    more: &[(i64, ValveName, f64)],
    keep: impl Fn(&Row) -> bool,
) -> (Differences, Vec<(Air, Row)>) {
    let case = build::case(name);
    let mut stage = build::stage(&case);
    let mut orders = build::orders(&case);
    orders.extend(more);
    orders.sort_by_key(|(t, ..)| *t);
    let mut orders = orders.into_iter().peekable();
    let reference = rows(&format!("reference_{name}.csv"));
    let (mut passed, mut differences, mut seen) =
        (Passed::new(), Differences::default(), Vec::new());
    for row in &reference {
        let look_s = row["t_s"] as i64;
        while let Some((t, valve, opening)) = orders.next_if(|(t, ..)| *t < look_s) {
            stage.to(t);
            stage.order(SteelOrder::Valve {
                valve,
                opening,
                purpose: purpose_of(valve),
            });
        }
        stage.to(look_s);
        add_up(&mut stage, &mut passed);
        let air = stage.air();
        if keep(row) {
            differences.state(&air, row);
            differences.paths(&passed, &reference[0], row);
        }
        seen.push((air, row.clone()));
    }
    (differences, seen)
}
