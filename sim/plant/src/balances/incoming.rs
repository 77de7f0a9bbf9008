//! What comes into a compartment from outside where it is open to it.

use crate::model::Model;
use crate::pressure::outside::Outside;
use crate::pressure::stage::Vessels;
use crate::state::banks::BankGas;
use crate::state::node::Node;
use crate::view::View;
use deepstay_core::gas::Amounts;
use deepstay_core::units::BankId;

impl Vessels for Model<'_> {
    #[inline]
    fn pressure_pa(&self, i: usize, node: &Node) -> f64 {
        Model::pressure_pa(self, i, node)
    }

    #[inline]
    fn isothermal(&self) -> bool {
        Model::isothermal(self)
    }
}

/// Pressure outside a compartment, Pa, where it is open to it.
pub(crate) fn target_pa(model: &Model, i: usize, outside: Outside, t_s: f64) -> Option<f64> {
    match outside {
        Outside::Shut => None,
        Outside::Sea => Some(model.sea_pa(i, t_s)),
        Outside::Deck | Outside::LetDown => Some(model.steel.surface_pa),
    }
}

/// Whether gas can come into a compartment that is below the pressure outside.
pub(crate) fn comes(view: &View, i: usize, outside: Outside, p_pa: f64, t_s: i64) -> bool {
    match outside {
        Outside::Shut | Outside::LetDown => false,
        Outside::Deck => true,
        Outside::Sea => {
            let bank = view.model.controls.of(i).lines.supply;
            let against_pa = p_pa.max(view.model.sea_pa(i, t_s as f64));
            bank.is_some_and(|b| view.bank_pa(b, t_s) > against_pa)
        }
    }
}

/// What comes into a compartment open to the outside that is below its pressure, and its temperature, K; `bank_at`
/// says what is in a bank, and how much.
pub(crate) fn comes_in(
    model: &Model,
    i: usize,
    outside: Outside,
    p_pa: f64,
    bank_at: impl Fn(BankId) -> (BankGas, f64),
) -> (Amounts, f64) {
    match (outside, model.controls.of(i).lines.supply) {
        (Outside::Sea, Some(bank)) => {
            let (gas, mol) = bank_at(bank);
            let bank_pa = model.bank_holding_pa(bank, &gas, mol);
            (gas.mix, model.arrives_k(bank, &gas, bank_pa, p_pa))
        }
        _ => (model.steel.deck_air(), model.steel.deck_t_k),
    }
}
