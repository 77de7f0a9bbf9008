//! True values of the quantities that instruments measure.

use crate::model::Model;
use crate::state::node::Node;
use crate::steel::SamplePoint;
use crate::trajectory::evaluated::Evaluated;
use deepstay_core::gas::Species;
use deepstay_core::units::*;

/// What an instrument measures where it is connected: a gauge made for the sea, on a line from a vessel, measures the
/// vessel's pressure.
pub(crate) fn measured(made_for: Quantity, connected: SamplePoint) -> Quantity {
    match (made_for, connected) {
        (Quantity::SeaDepth, SamplePoint::Compartment(_)) => Quantity::Depth,
        (quantity, _) => quantity,
    }
}

/// True value of a quantity of a compartment's gas, in the quantity's unit.
pub(crate) fn of(model: &Model, i: usize, node: &Node, quantity: Quantity, t_s: f64) -> f64 {
    let p_pa = match quantity {
        Quantity::Temperature | Quantity::FO2 | Quantity::SeaDepth => 0.0,
        _ => model.pressure_pa(i, node),
    };
    at_pressure(model, i, node, p_pa, quantity, t_s)
}

/// The same where the pressure is known, Pa.
pub(crate) fn at_pressure(
    model: &Model,
    i: usize,
    node: &Node,
    p_pa: f64,
    quantity: Quantity,
    t_s: f64,
) -> f64 {
    at_felt(model, i, node, model.felt_pa(i, p_pa, t_s), quantity, t_s)
}

/// The same where the pressure is known that is felt there, Pa.
fn at_felt(model: &Model, i: usize, node: &Node, p_pa: f64, quantity: Quantity, t_s: f64) -> f64 {
    let total: f64 = node.total_mol();
    // Analysers of a loop show what its gas is to the divers it is given to.
    let p_pa = match quantity {
        Quantity::PpO2 | Quantity::PpCo2 if model.reclaim_of(i).is_some() => model.supplied_pa(t_s),
        _ => p_pa,
    };
    let share = |s: Species| node.n_mol[s.index()] / total;
    match quantity {
        Quantity::Temperature => node.gas_k,
        Quantity::FO2 => share(Species::O2),
        Quantity::SeaDepth => model.bell_msw(i, t_s),
        Quantity::Depth => (p_pa - model.steel.surface_pa) / MSW_PA,
        Quantity::PpO2 => share(Species::O2) * p_pa / BAR_PA,
        Quantity::PpCo2 => share(Species::Co2) * p_pa / BAR_PA,
        Quantity::Humidity => node.humidity(p_pa),
        Quantity::GaugePressure => gauge_bar(model, p_pa),
    }
}

/// The same in an evaluated state.
pub(crate) fn evaluated(
    model: &Model,
    i: usize,
    e: &Evaluated,
    quantity: Quantity,
    t_s: i64,
) -> f64 {
    let felt_pa = e.felt_pa(i, || {
        let p_pa = e.pressure_pa(i, |node| model.pressure_pa(i, node));
        model.felt_pa(i, p_pa, t_s as f64)
    });
    at_felt(model, i, e.node(i), felt_pa, quantity, t_s as f64)
}

/// What a gauge shows of an absolute pressure, bar.
pub(crate) fn gauge_bar(model: &Model, p_pa: f64) -> f64 {
    (p_pa - model.steel.surface_pa) / BAR_PA
}
