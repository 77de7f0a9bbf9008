//! What people put on the steel: loads on the gas of compartments and on breathing paths.

use crate::plant::Plant;
use crate::state::load::{Load, PathLoad};
use crate::state::setting::PeopleLoad;
use deepstay_core::record::LineName;
use deepstay_core::units::*;

impl Plant {
    /// Sets what people put on a compartment's gas.
    pub fn set_load(&mut self, t_s: i64, c: CompartmentId, load: Load) {
        change(self, t_s, c, |people| people.inside = load);
    }

    /// Sets what people put on a breathing path.
    pub fn set_path(&mut self, t_s: i64, line: LineName, path: PathLoad) {
        match line {
            LineName::Bibs(c) => change(self, t_s, c, |people| people.bibs = path),
            LineName::DiverMain(c) => change(self, t_s, c, |people| people.main = path),
            LineName::DiverSecondary(c) => {
                change(self, t_s, c, |people| people.secondary = path);
            }
            LineName::Supply(_) | LineName::Oxygen(_) => {}
        }
    }

    /// Lets warm water evaporate in a compartment, mol/s. It brings its heat of evaporation with it.
    pub fn set_evaporating(&mut self, t_s: i64, c: CompartmentId, mol_s: f64) {
        change(self, t_s, c, |people| people.evaporating_mol_s = mol_s);
    }
}

fn change(plant: &mut Plant, t_s: i64, c: CompartmentId, change: impl FnOnce(&mut PeopleLoad)) {
    let i = c.index();
    let now = plant.view().model.controls.of(i).people;
    let mut next = now;
    change(&mut next);
    if next != now {
        plant.touch(i, t_s);
        if next.main != now.main {
            plant.touch_loop(t_s);
        }
        plant.changing().setup.controls.of_mut(i).people = next;
    }
}
