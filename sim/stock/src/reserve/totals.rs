//! The minimum of each kind of stock: what the rows add up to, and which of them overlap.

use super::{COUNTED_AT, Event, Held, Holding, Line};

/// The rule by which rows are added, and why.
pub const ADDING: &str = "Rows kept against the same event overlap, because one stock serves them: the largest counts. Rows kept against different events add, because one may come while the other's gas is still needed: SOR/88-600, s. 22(1), lists them side by side under one head, and AODC 014 puts masks on top of other reserves. The rule of adding is the house's.";

/// A row's part in a minimum.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Id of the row.
    pub id: String,
    /// What it is kept against.
    pub event: Event,
    /// How much: mol or kg.
    pub amount: f64,
    /// Whether it counts: it is the largest against its event.
    pub counts: bool,
}

/// The minimum of a kind of stock.
#[derive(Clone, Debug, PartialEq)]
pub struct Total {
    /// Of what.
    pub holding: Holding,
    /// How much must be held: mol of gas, kg of absorbent.
    pub amount: f64,
    /// How much is held and usable, in the same unit.
    pub held: f64,
    /// Whether it is enough.
    pub met: bool,
    /// The rows.
    pub parts: Vec<Part>,
}

impl Total {
    /// An amount of this kind as m3 of free gas at [`COUNTED_AT`]; none for absorbent.
    pub fn free_m3(&self, amount: f64) -> Option<f64> {
        self.holding
            .is_gas()
            .then(|| amount / COUNTED_AT.mol_per_m3())
    }

    /// Ids of the rows that count.
    pub fn rules(&self) -> Vec<&str> {
        self.parts
            .iter()
            .filter(|p| p.counts)
            .map(|p| p.id.as_str())
            .collect()
    }
}

pub(super) fn totals(lines: &[Line], held: &[Held]) -> Vec<Total> {
    held.iter().map(|held| total(lines, held)).collect()
}

fn total(lines: &[Line], held: &Held) -> Total {
    let mut parts: Vec<Part> = Vec::new();
    for line in lines {
        for need in line.needs().iter().filter(|n| n.holding == held.holding) {
            parts.push(Part {
                id: line.id.clone(),
                event: need.event,
                amount: need.amount,
                counts: false,
            });
        }
    }
    for i in 0..parts.len() {
        // Of two that are alike the first counts.
        let larger = |(j, p): (usize, &Part)| {
            p.event == parts[i].event
                && (p.amount > parts[i].amount || p.amount == parts[i].amount && j < i)
        };
        parts[i].counts = !parts.iter().enumerate().any(larger);
    }
    let amount = parts.iter().filter(|p| p.counts).map(|p| p.amount).sum();
    Total {
        holding: held.holding,
        amount,
        held: held.amount,
        met: held.amount >= amount,
        parts,
    }
}
