//! Which items of a supplier's list serve a need, and what each yields.

use super::fit::Size;
use super::{Need, usable};
use deepstay_scenario::Supplier;

/// Items that serve a need and yield something, and their sizes.
pub(super) fn candidates(need: &Need, supplier: &Supplier) -> (Vec<usize>, Vec<Size>) {
    let serving = supplier
        .offers
        .iter()
        .enumerate()
        .filter(|(_, o)| o.serves(need.gas.duty, &need.mix));
    let sized = serving.map(|(i, o)| {
        let usable_mol = usable(o, need).real_mol;
        (
            i,
            Size {
                usable_mol,
                price: o.price.each,
                mass_kg: o.mass_full_kg,
            },
        )
    });
    sized.filter(|(_, s)| s.usable_mol > 0.0).unzip()
}
