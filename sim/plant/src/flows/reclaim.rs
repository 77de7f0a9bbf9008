//! The loop that brings divers' gas back, as it acts on its volume tank: what the divers draw from it, what comes back
//! of that through the absorbent, and what makes up for the rest. What is brought back is what was breathed out, so
//! each pass leaves the tank poorer in oxygen by what the bodies kept.

use super::breathing::breathed_mol_s;
use super::flow::Flows;
use super::moment::Moment;
use super::scrubber::bed_efficiency;
use super::supply::{Valve, through_regulator};
use crate::books::slot::{Rate, Slot};
use crate::model::Model;
use crate::state::load::Load;
use crate::state::node::Contents;
use crate::steel::Reclaim;
use deepstay_core::gas::{Amounts, Species};

/// The supply to the divers fails smoothly over the last of the tank's pressure above theirs, Pa (house rule).
const LAST_PA: f64 = 1e5;
/// Less than half of what they would draw is no breath: the tank has less than this over them, Pa.
pub(crate) const LEAST_PA: f64 = 0.5 * LAST_PA;
/// Time in which make-up brings the tank back to its working pressure, s (house rule).
const MAKE_UP_S: f64 = 600.0;

/// Flows of the tank of a loop.
pub(crate) fn find(
    model: &Model,
    (reclaim, i): (&Reclaim, usize),
    contents: &Contents,
    x: &Amounts,
    at: &Moment,
    f: &mut Flows,
) {
    let drawn = drawn(model, contents.gas.p_pa, x, at.t_s);
    if drawn.mol_s > 0.0 {
        breathe(model, (reclaim, i), contents, x, &drawn, f);
    }
    make_up(model, (reclaim, i), contents, at, f);
}

/// What divers draw from the loop.
struct Drawn {
    /// Gas breathed, mol/s.
    mol_s: f64,
    /// What their bodies take and give.
    load: Load,
}

fn drawn(model: &Model, tank_pa: f64, x: &Amounts, t_s: f64) -> Drawn {
    let mut sum = Drawn {
        mol_s: 0.0,
        load: Load::default(),
    };
    for b in model.bells_on_loop() {
        let (path, p_pa) = (model.controls.of(b).people.main, model.sea_pa(b, t_s));
        let given = share_given(tank_pa, p_pa);
        if path.ventilation_m3_s > 0.0 && given > 0.0 {
            sum.mol_s += given * breathed_mol_s(x, p_pa, &path);
            sum.load = sum.load.plus(path.load.scaled(given));
        }
    }
    sum
}

/// Share of what divers would draw at a pressure that a tank at another gives.
fn share_given(tank_pa: f64, p_pa: f64) -> f64 {
    ((tank_pa - p_pa) / LAST_PA).clamp(0.0, 1.0)
}

fn breathe(
    model: &Model,
    (reclaim, i): (&Reclaim, usize),
    contents: &Contents,
    x: &Amounts,
    drawn: &Drawn,
    f: &mut Flows,
) {
    let (back, lost) = (reclaim.recovery, 1.0 - reclaim.recovery);
    let Load {
        o2_mol_s,
        co2_mol_s,
        h2o_mol_s,
        ..
    } = drawn.load;
    let mut to_body = Amounts::ZERO;
    to_body[Species::O2] = o2_mol_s.min(drawn.mol_s * x[Species::O2]);
    let mut breath = Amounts::ZERO;
    breath[Species::Co2] = co2_mol_s;
    breath[Species::H2o] = h2o_mol_s;
    // What is breathed is a share of what the tank holds; what is breathed out of it is that less what bodies keep.
    let k = drawn.mol_s / contents.gas.n_mol;
    let out = |share: f64| Rate {
        k: share * k,
        only: None,
        fixed: to_body.scaled(-share).0,
    };
    f.set(Slot::LoopLost, out(lost));
    f.set(Slot::LoopReturned, out(back));
    f.set(Slot::LoopBody, Rate::fixed(to_body));
    f.set(Slot::LoopBreath, Rate::fixed(breath.scaled(back)));
    f.set(Slot::LoopBreathLost, Rate::fixed(breath.scaled(lost)));
    let Some(bed) = model.steel.compartments[i].scrubber else {
        return;
    };
    // All that comes back goes through the bed once.
    let taken = back * bed_efficiency(&bed, &contents.node, 1.0);
    let mut fixed = Amounts::ZERO;
    fixed[Species::Co2] = taken * co2_mol_s;
    let co2_mol = contents.node.n_mol[Species::Co2.index()];
    fixed[Species::H2o] = -(taken * k * co2_mol + fixed[Species::Co2]);
    f.set(
        Slot::Absorption,
        Rate {
            k: taken * k,
            only: Some(Species::Co2),
            fixed: fixed.0,
        },
    );
}

/// Make-up: what keeps the tank at its working pressure while the loop runs, as far as valve and bank give it. A valve
/// that is stuck lets through what it stands open for, whether it is wanted or not, up to what its regulator is set to.
fn make_up(
    model: &Model,
    (reclaim, i): (&Reclaim, usize),
    contents: &Contents,
    at: &Moment,
    f: &mut Flows,
) {
    let set = model.controls.of(i);
    let Some(bank) = set.lines.supply else {
        return;
    };
    let stuck = set.valves.blow_down.stuck;
    if stuck.is_none() && !model.loop_runs() {
        return;
    }
    let (c, gas) = (&model.steel.compartments[i], &contents.gas);
    let working_pa = reclaim.working_gauge_pa + model.steel.surface_pa;
    let missing_mol = gas.n_mol * (working_pa / gas.p_pa - 1.0);
    let wanted = missing_mol / MAKE_UP_S - f.net_mol_s(&contents.node);
    let valve = Valve {
        area_m2: stuck.unwrap_or(1.0) * c.blow_down_m2,
        down_pa: gas.p_pa,
        up_most_pa: working_pa + set.regulators.supply,
    };
    let (most, t_k) = through_regulator(model, bank, &valve, at);
    let rate = match stuck {
        Some(_) => most,
        None => wanted.clamp(0.0, most),
    };
    if rate > 0.0 {
        let mix = &at.banks.gas[bank.index()].mix;
        f.set(Slot::Supply, Rate::fixed(mix.scaled(rate)));
        f.heat
            .add(rate * deepstay_core::gas::state::cp_j_mol_k(mix), t_k);
    }
}
