//! The model against its own vectors, computed from the same coefficients by other code: a slip in
//! a coefficient or in the mixing shows here to the last digit given.

use crate::check_values::check_values;
use deepstay_core::gas::{Amounts, state};

#[test]
fn model_vectors_to_the_digits_given() {
    let mut n = 0;
    for row in check_values("virial_model_vectors.csv").records() {
        let row = row.unwrap();
        let f = |i: usize| row[i].parse::<f64>().unwrap();
        let x = Amounts([f(0), f(1), f(2), 0.0, 0.0, 0.0]);
        let (p_pa, t_k) = (f(4) * 1e5, f(3));
        let molar = state::density_mol_m3(&x, p_pa, t_k);
        let z = state::compressibility(&x, p_pa, t_k);
        assert!((molar / f(5) - 1.0).abs() < 1e-7, "{row:?}: {molar}");
        assert!((z - f(6)).abs() < 1e-8, "{row:?}: {z}");
        // The vectors weigh nitrogen 2.4e-6 heavier than the table of atomic weights used here.
        assert!(
            (state::density_kg_m3(&x, p_pa, t_k) / f(7) - 1.0).abs() < 5e-6,
            "{row:?}"
        );
        let amounts = x.scaled(state::total_moles(&x, p_pa, 20.0, t_k));
        assert!(
            (state::pressure_pa(&amounts, 20.0, t_k) / p_pa - 1.0).abs() < 1e-13,
            "{row:?}"
        );
        n += 1;
    }
    assert!(n > 80);
}
