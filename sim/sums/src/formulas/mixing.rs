//! Mixing by pressure: topping one quad, and two that are opened to each other, at one temperature. By hand it is ideal gas,
//! pressures in any one unit, counted from whatever the convention says is nothing; topping by the real gas stands beside.

use deepstay_core::gas::{Amounts, state};

/// Oxygen share after topping from one pressure to another: `(f1 p1 + f2 (p - p1))/p`.
///
/// Dalton's law; US Navy Diving Manual, 16-2, names the method (seen), the algebra is derived.
pub fn topped_share(held_share: f64, held: f64, top_share: f64, to: f64) -> f64 {
    (held_share * held + top_share * (to - held)) / to
}

/// Pressure and oxygen share of two volumes opened to each other: `(V1 p1 + V2 p2)/(V1 + V2)` and each share by what it brings.
/// Derived.
pub fn equalised(first: (f64, f64, f64), second: (f64, f64, f64)) -> (f64, f64) {
    let ((v1, p1, f1), (v2, p2, f2)) = (first, second);
    let gas = v1 * p1 + v2 * p2;
    (gas / (v1 + v2), (v1 * p1 * f1 + v2 * p2 * f2) / gas)
}

/// What a volume holds once a mix is put onto some gas until a pressure is reached, mol, at one temperature.
///
/// The density virial of [`deepstay_core::gas::state`], fitted to reference equations of state (derived).
pub fn topped_mol(
    first: &Amounts,
    second: &Amounts,
    p_pa: f64,
    volume_m3: f64,
    t_k: f64,
) -> Amounts {
    let second = second.fractions();
    let with = |mol: f64| first.plus(&second.scaled(mol));
    let (mut low, mut high) = (
        0.0,
        2.0 * state::total_moles(&second, p_pa, volume_m3, t_k) + 1.0,
    );
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if middle <= low || middle >= high {
            break;
        }
        if state::pressure_pa(&with(middle), volume_m3, t_k) < p_pa {
            low = middle;
        } else {
            high = middle;
        }
    }
    with(low)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Topping with the same gas gives that gas at the pressure, whatever was there before.
    #[test]
    fn topping_with_its_own_gas_reaches_the_pressure() {
        let mix = Amounts::heliox(0.1);
        let first = mix.scaled(state::total_moles(&mix, 30e5, 2.0, 290.0));
        let all = topped_mol(&first, &mix, 150e5, 2.0, 290.0);
        let p = state::pressure_pa(&all, 2.0, 290.0);
        assert!((p / 150e5 - 1.0).abs() < 1e-12, "{p}");
    }
}
