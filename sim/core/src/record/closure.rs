//! Whether the ledger closes: opening + in - out - closing of every place, against the moles handled.

use super::account::is_held;
use super::ledger::Ledger;
use super::sum::Sum;
use crate::gas::{Amounts, SPECIES};
use crate::units::Place;
use std::collections::BTreeMap;

/// How well one place closes: opening + in - out - closing, mol per species.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlaceClosure {
    /// Which place.
    pub place: Place,
    /// What lay there at the start.
    pub opening: Amounts,
    /// What came in.
    pub into: Amounts,
    /// What went out.
    pub out: Amounts,
    /// What lies there at the end, as measured.
    pub closing: Amounts,
    /// Opening + in - out - closing.
    pub residual: Amounts,
}

/// How well the ledger closes.
#[derive(Clone, Debug, PartialEq)]
pub struct Closure {
    /// Moles handled per species: what lay anywhere at the start plus what bodies, absorbent, liquid
    /// water, the air on deck and the sea brought in. Each mole counts once however often it moves.
    pub handled: Amounts,
    /// Sum of the absolute residuals of all places, mol per species.
    pub residual: Amounts,
    /// Residual over handled; where nothing was handled the residual stands over one mole.
    pub relative: Amounts,
    /// The places that were checked, in order.
    pub places: Vec<PlaceClosure>,
    /// Banks and compartments that moved gas or were opened and have no closing amount.
    pub unclosed: Vec<Place>,
}

impl Closure {
    /// The largest relative residual of any species.
    pub fn worst(&self) -> f64 {
        self.relative.0.iter().fold(
            0.0,
            |worst, r| if *r > worst || r.is_nan() { *r } else { worst },
        )
    }

    /// Whether every bank and compartment was closed, and each species to within `tolerance` of the
    /// moles handled.
    pub fn holds(&self, tolerance: f64) -> bool {
        self.unclosed.is_empty() && self.relative.0.iter().all(|r| *r <= tolerance)
    }
}

impl Ledger {
    /// Opening + in - out - closing of every place whose closing amount was given.
    pub fn closure(&self) -> Closure {
        let mut accounts: BTreeMap<Place, (Sum, Sum)> = BTreeMap::new();
        let mut handled = Sum::default();
        for line in self.lines() {
            accounts.entry(line.from).or_default().1.add(&line.moles);
            accounts.entry(line.to).or_default().0.add(&line.moles);
            if !is_held(line.from) {
                handled.add(&line.moles);
            }
        }
        for (place, sum) in &self.opening {
            accounts.entry(*place).or_default();
            handled.add(&sum.get());
        }
        for place in self.closing.keys() {
            accounts.entry(*place).or_default();
        }
        let mut closure = Closure {
            handled: handled.get(),
            residual: Amounts::ZERO,
            relative: Amounts::ZERO,
            places: Vec::new(),
            unclosed: Vec::new(),
        };
        for (place, (into, out)) in accounts {
            let Some(closing) = self.closing.get(&place) else {
                if is_held(place) {
                    closure.unclosed.push(place);
                }
                continue;
            };
            let opening = self.opening.get(&place).copied().unwrap_or_default();
            let mut rest = opening;
            rest.take(&into, 1.0);
            rest.take(&out, -1.0);
            rest.take(closing, -1.0);
            let residual = rest.get();
            closure.residual = closure.residual.plus(&Amounts(residual.0.map(f64::abs)));
            closure.places.push(PlaceClosure {
                place,
                opening: opening.get(),
                into: into.get(),
                out: out.get(),
                closing: closing.get(),
                residual,
            });
        }
        for s in 0..SPECIES {
            let handled = closure.handled.0[s];
            closure.relative.0[s] =
                closure.residual.0[s] / if handled > 0.0 { handled } else { 1.0 };
        }
        closure
    }
}
