//! What gas that passes between two vessels does to both, with the heat it brings and the work it does.

use crate::state::node::{Contents, Rates};
use deepstay_core::gas::SPECIES;

/// What exchanging these shares of their contents does to two compartments, and the net flow from the first
/// to the second, mol/s.
#[inline]
pub(crate) fn exchange(
    shares: (f64, f64),
    a: &Contents,
    b: &Contents,
) -> (Rates, Rates, [f64; SPECIES]) {
    let flow: [f64; SPECIES] =
        std::array::from_fn(|s| shares.0 * a.node.n_mol[s] - shares.1 * b.node.n_mol[s]);
    let (to_b, to_a) = (shares.0 * a.gas.n_mol, shares.1 * b.gas.n_mol);
    let warms = |here: &Contents, coming: f64, from: &Contents, going: f64| {
        let t_k = here.node.gas_k;
        (coming * from.gas.cp_j_mol_k * (from.node.gas_k - t_k)
            + (coming - going) * here.gas.push_j_mol_k * t_k)
            / here.gas.c_j_k
    };
    let of_a = Rates {
        n_mol_s: flow.map(|x| -x),
        gas_k_s: warms(a, to_a, b, to_b),
        ..Rates::default()
    };
    let of_b = Rates {
        n_mol_s: flow,
        gas_k_s: warms(b, to_b, a, to_a),
        ..Rates::default()
    };
    (of_a, of_b, flow)
}

/// What gas does that leaves a vessel for the outside, mol/s.
pub(crate) fn leaving(out_mol_s: f64, from: &Contents) -> Rates {
    let Contents { node, gas } = from;
    let share = out_mol_s / node.total_mol();
    Rates {
        n_mol_s: node.n_mol.map(|n| -share * n),
        gas_k_s: -out_mol_s * gas.push_j_mol_k * node.gas_k / gas.c_j_k,
        ..Rates::default()
    }
}
