//! Mixing by pressure: topping one quad, and two that are opened to each other. Ideal, at one temperature; pressures in any
//! one unit, counted from whatever the convention says is nothing.

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
