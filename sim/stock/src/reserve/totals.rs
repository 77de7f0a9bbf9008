//! The minimum of each kind of stock: what the rows add up to, and which of them overlap.

use super::{COUNTED_AT, Event, Held, Holding, Line};

/// The rule by which rows are added, and why.
pub const ADDING: &str = "Rows kept against the same event overlap, because one stock serves them: the largest counts. Rows kept against different events add, because one may come while the other's gas is still needed: SOR/88-600, s. 22(1), lists them side by side under one head, and AODC 014 puts gas for BIBS on top of other reserves. The way home (rows home) adds to every reserve: below the minimum a dive stops, and then it must still be made; its own rows add too, for they are parts of one way, gone one after the other. The rule of adding is the house's.";

/// How ids of the rows of the way home begin.
pub(super) const HOME: &str = "home.";

/// A row's part in a minimum.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Id of the row.
    pub id: String,
    /// What it is kept against.
    pub event: Event,
    /// How much: mol or kg.
    pub amount: f64,
    /// Whether it counts: it is the largest against its event, or part of the way home.
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

    /// What of it is for the way home, in the same unit; what ends the dive is part of both, and counted as reserve where a
    /// rule asks for it.
    pub fn way_home(&self) -> f64 {
        let home = |p: &&Part| p.counts && p.id.starts_with(HOME);
        let home = self.parts.iter().filter(home);
        home.fold(0.0, |sum, p| sum + p.amount)
    }

    /// Whether no row of a set has part in it.
    pub fn is_way_home(&self) -> bool {
        self.rules().iter().all(|id| id.starts_with(HOME))
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
        parts[i].counts = parts[i].event == Event::WayHome || !parts.iter().enumerate().any(larger);
    }
    // The sum of nothing is nothing, without a sign.
    let counted = parts.iter().filter(|p| p.counts);
    let amount = counted.fold(0.0, |sum, p| sum + p.amount);
    Total {
        holding: held.holding,
        amount,
        held: held.amount,
        met: held.amount >= amount,
        parts,
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Outcome, Requirement};
    use super::*;
    use deepstay_rules::{Source, Status};

    /// A row that asks for amounts of masks' gas, m3, each against an event.
    fn line(id: &str, needs: &[(Holding, f64, Event)]) -> Line {
        let needs = needs
            .iter()
            .map(|(holding, amount, event)| Requirement {
                holding: *holding,
                amount: *amount,
                event: *event,
            })
            .collect();
        Line {
            id: id.to_owned(),
            says: String::new(),
            formula: "",
            terms: Vec::new(),
            outcome: Outcome::Held(needs),
            source: Source {
                document: "an invented rule".to_owned(),
                status: Status::HouseRule,
            },
            reconstruction: false,
        }
    }

    fn held(holding: Holding, amount: f64) -> Held {
        Held {
            holding,
            amount,
            by_hand_m3: None,
            depth_msw: 0.0,
            heel_bar: None,
            gases: Vec::new(),
            not_breathable: Vec::new(),
        }
    }

    /// Gas to press the trunk once more and gas against leaks at the stops are both needed on the one way home:
    /// 17.7 + 12.15, beside 300 against a lost pressure.
    #[test]
    fn parts_of_the_way_home_add() {
        let mix = Holding::PressingMix;
        let lines = [
            line("home.trunk", &[(mix, 17.7, Event::WayHome)]),
            line("home.hold", &[(mix, 12.15, Event::WayHome)]),
            line("a", &[(mix, 300.0, Event::PressureLost)]),
        ];
        let found = &totals(&lines, &[held(mix, 329.0)])[0];
        assert!((found.amount - 329.85).abs() < 1e-9, "{}", found.amount);
        assert!((found.way_home() - 29.85).abs() < 1e-9);
        assert!(!found.met);
        assert_eq!(found.rules(), ["home.trunk", "home.hold", "a"]);
    }

    /// 300 against foul gas overlap 200 against the same, and stand beside 50 against a lost pressure and 20 against
    /// life support failing: 300 + 50 + 20. What another kind of stock is asked for does not count.
    #[test]
    fn events_that_share_a_stock_add_and_rows_of_one_event_do_not() {
        use Event::{FoulGas, LifeSupportFails, PressureLost};
        let mask = Holding::MaskGas;
        let lines = [
            line(
                "a",
                &[(mask, 200.0, FoulGas), (Holding::Oxygen, 7.0, FoulGas)],
            ),
            line("b", &[(mask, 300.0, FoulGas), (mask, 50.0, PressureLost)]),
            line("c", &[(mask, 20.0, LifeSupportFails)]),
            line("d", &[(mask, 300.0, FoulGas)]),
        ];
        for (stock, met) in [(369.999, false), (370.0, true), (370.001, true)] {
            let found = totals(&lines, &[held(mask, stock), held(Holding::Oxygen, 6.0)]);
            assert_eq!(
                (found[0].amount, found[0].held, found[0].met),
                (370.0, stock, met)
            );
            assert_eq!(
                found[0].rules(),
                ["b", "b", "c"],
                "of two that are alike the first"
            );
            assert_eq!((found[1].amount, found[1].met), (7.0, false));
            let part: Vec<(f64, bool)> = found[0]
                .parts
                .iter()
                .map(|p| (p.amount, p.counts))
                .collect();
            assert_eq!(
                part,
                [
                    (200.0, false),
                    (300.0, true),
                    (50.0, true),
                    (20.0, true),
                    (300.0, false)
                ]
            );
        }
        let free = totals(&lines, &[held(mask, 0.0)])[0].free_m3(41.74);
        assert!(
            (free.expect("a gas") - 1.0).abs() < 1e-3,
            "41.74 mol are a cubic metre at 15 degC and 1 bar"
        );
        let lime = totals(&[], &[held(Holding::BellAbsorbent, 3.0)]);
        assert_eq!(
            (lime[0].amount, lime[0].met, lime[0].free_m3(1.0)),
            (0.0, true, None)
        );
        let nothing = [lime[0].amount, lime[0].way_home()];
        assert!(nothing.iter().all(|n| n.is_sign_positive()), "{nothing:?}");
    }
}
