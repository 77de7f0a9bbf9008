//! What a diver breathes, and what is round his skin, at a second: the true gas of his compartment, mask, helmet or
//! bail-out; nothing where that is dead.

use deepstay_core::gas::transport::{conductivity_w_m_k, natural_convection_w_m2_k};
use deepstay_core::gas::{Amounts, Species, state};
use deepstay_core::record::{LineName, Whereabouts};
use deepstay_core::units::*;
use deepstay_crew::harm::Skin;
use deepstay_crew::{Air, BreathesFrom, Crew, SKIN_K, Surroundings};
use deepstay_plant::{Plant, SteelOrder, Watched, truly};

/// Height of a person as an upright wall for the film of gas at his skin, m.
const PERSON_M: f64 = 1.7;

/// A diver in the plant at a second.
pub(super) struct Around<'a> {
    pub plant: &'a Plant,
    pub crew: &'a Crew,
    pub sea_k: f64,
    pub now_s: i64,
    pub diver: DiverId,
}

/// What he breathes and feels.
pub(super) fn breathed(at: &Around) -> Air {
    let Around {
        plant,
        crew,
        now_s,
        diver,
        ..
    } = *at;
    let steel = plant.steel();
    let (place, around) = match crew.whereabouts(diver) {
        Whereabouts::Deck => return Air::of(&Amounts::air(), steel.surface_pa, steel.deck_t_k),
        Whereabouts::In(c) => (c, plant.air(c, now_s)),
        Whereabouts::Water(bell) => (bell, plant.water_at(bell, now_s)),
    };
    let fractions = around.n_mol.fractions();
    let breath = match crew.breathes_from(diver) {
        BreathesFrom::Compartment(c) if heads_under(plant, c, now_s) => None,
        BreathesFrom::Deck | BreathesFrom::Compartment(_) => Some(fractions),
        BreathesFrom::Line(line) => plant.breath(line, now_s),
        BreathesFrom::BailOut => bail_out(crew, diver, around.p_pa),
    };
    let air = match breath {
        Some(mix) => Air::of(&mix, around.p_pa, around.t_k),
        None => Air {
            flows: false,
            ..Air::of(&Amounts::ZERO, around.p_pa, around.t_k)
        },
    };
    let skin = match crew.whereabouts(diver) {
        _ if plant.positions().hot_water(place) => Skin::Kept,
        Whereabouts::Water(_) => Skin::Water(at.sea_k, heat_j_m3k(&fractions, &air)),
        Whereabouts::In(c) if heads_under(plant, c, now_s) => {
            Skin::Water(at.sea_k, heat_j_m3k(&fractions, &air))
        }
        Whereabouts::In(_) | Whereabouts::Deck => in_gas(&fractions, &air),
    };
    Air { skin, ..air }
}

/// With water in so much of a bell the heads of those in it are under (house figure: what is left under its top is less
/// than a man's head and shoulders high).
pub(super) const HEADS_UNDER: f64 = 0.8;

/// Whether water stands over the heads of those in a bell.
pub(super) fn heads_under(plant: &Plant, c: CompartmentId, now_s: i64) -> bool {
    plant.steel().compartments[c.index()].bell.is_some()
        && truly(plant, Watched::Flooded(c), now_s) >= HEADS_UNDER
}

fn bail_out(crew: &Crew, diver: DiverId, p_pa: f64) -> Option<Amounts> {
    let (kind, bottle) = crew.bail_out(diver)?;
    kind.gives(bottle, p_pa).then_some(kind.mix)
}

fn heat_j_m3k(fractions: &Amounts, air: &Air) -> f64 {
    state::cp_j_mol_k(fractions) * state::density_mol_m3(fractions, air.p_pa, air.t_k)
}

fn in_gas(fractions: &Amounts, air: &Air) -> Skin {
    let gas = Surroundings {
        t_k: air.t_k,
        rho_cp_j_m3k: heat_j_m3k(fractions, air),
        film_w_m2k: natural_convection_w_m2_k(fractions, air.p_pa, air.t_k, SKIN_K, PERSON_M),
        conductivity_w_mk: conductivity_w_m_k(fractions, air.t_k),
    };
    Skin::Gas(gas, fractions[Species::H2o] * air.p_pa)
}

/// Whether an order may change at once what people breathe from a line.
pub(super) fn changes_breath(order: SteelOrder) -> bool {
    match order {
        SteelOrder::LineUp { line, .. }
        | SteelOrder::LineOff { line }
        | SteelOrder::Regulator { line, .. } => is_breathed(line),
        SteelOrder::BankStop { .. } => true,
        SteelOrder::Valve { .. }
        | SteelOrder::Trickle { .. }
        | SteelOrder::Door { .. }
        | SteelOrder::Clamp { .. }
        | SteelOrder::Switch { .. }
        | SteelOrder::ClimateSet { .. }
        | SteelOrder::OxygenSet { .. }
        | SteelOrder::Gag { .. }
        | SteelOrder::HullStop { .. }
        | SteelOrder::ChangeCanister { .. }
        | SteelOrder::Calibrate { .. }
        | SteelOrder::SampleFrom { .. }
        | SteelOrder::Adjust { .. }
        | SteelOrder::Analyse { .. }
        | SteelOrder::Bell { .. } => false,
    }
}

fn is_breathed(line: LineName) -> bool {
    match line {
        LineName::Bibs(_) | LineName::DiverMain(_) | LineName::DiverSecondary(_) => true,
        LineName::Supply(_) | LineName::Oxygen(_) => false,
    }
}
