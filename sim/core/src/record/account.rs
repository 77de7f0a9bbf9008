//! The daily gas account: what was drawn, brought back, lost, taken in, used and made, by purpose.

use crate::gas::Amounts;
use crate::units::{BankId, Place, Purpose};

/// How many purposes are kept apart.
pub const PURPOSES: usize = Purpose::ALL.len();

/// One side of the daily account: what kind of movement a sum speaks of. A movement may count
/// under two (a diver's open-circuit gas is drawn from a bank and lost to the sea).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Flow {
    /// Out of a bank, to anything but another bank.
    Drawn,
    /// Back into a bank, from anything but another bank.
    Returned,
    /// Back to where it was taken from, by reclaim of the divers' gas.
    Reclaimed,
    /// To the air on deck or the sea.
    Lost,
    /// From the air on deck or the sea.
    TakenIn,
    /// Into bodies, absorbent or drains.
    Used,
    /// Out of bodies, absorbent or liquid water.
    Made,
}

impl Flow {
    /// Every side of the account, in order.
    pub const ALL: [Flow; 7] = [
        Flow::Drawn,
        Flow::Returned,
        Flow::Reclaimed,
        Flow::Lost,
        Flow::TakenIn,
        Flow::Used,
        Flow::Made,
    ];

    /// Whether a movement between these places counts under this side.
    pub fn counts(self, from: Place, to: Place) -> bool {
        let from_bank = matches!(from, Place::Bank(_));
        let to_bank = matches!(to, Place::Bank(_));
        match self {
            Flow::Drawn => from_bank && !to_bank,
            Flow::Returned => to_bank && !from_bank,
            Flow::Reclaimed => from == to,
            Flow::Lost => matches!(to, Place::Atmosphere | Place::Sea),
            Flow::TakenIn => matches!(from, Place::Atmosphere | Place::Sea),
            Flow::Used => is_changer(to),
            Flow::Made => is_changer(from),
        }
    }
}

/// The gas account of one day of the ship's clock.
#[derive(Clone, Debug, PartialEq)]
pub struct Day {
    /// Day number; the day of second 0 is 1.
    pub day: i64,
    sums: [[Amounts; PURPOSES]; Flow::ALL.len()],
    banks: Vec<(BankId, [f64; 2])>,
}

impl Day {
    pub(super) fn new(day: i64) -> Day {
        Day {
            day,
            sums: [[Amounts::ZERO; PURPOSES]; Flow::ALL.len()],
            banks: Vec::new(),
        }
    }

    pub(super) fn add(&mut self, from: Place, to: Place, purpose: Purpose, moles: &Amounts) {
        for flow in Flow::ALL {
            if flow.counts(from, to) {
                let sum = &mut self.sums[flow as usize][purpose as usize];
                *sum = sum.plus(moles);
            }
        }
        for (way, place) in [from, to].into_iter().enumerate() {
            if let (Place::Bank(bank), true) = (place, from != to) {
                self.bank(bank)[way] += moles.total();
            }
        }
    }

    fn bank(&mut self, bank: BankId) -> &mut [f64; 2] {
        let at = self.banks.iter().position(|(b, _)| *b == bank);
        let at = at.unwrap_or_else(|| {
            self.banks.push((bank, [0.0; 2]));
            self.banks.len() - 1
        });
        &mut self.banks[at].1
    }

    /// What went out of a bank this day, and what came into it, other banks among them, mol.
    pub fn of_bank(&self, bank: BankId) -> [f64; 2] {
        let found = self.banks.iter().find(|(b, _)| *b == bank);
        found.map_or([0.0; 2], |(_, moved)| *moved)
    }

    /// What moved this day on one side of the account for one purpose, mol per species.
    pub fn moved(&self, flow: Flow, purpose: Purpose) -> Amounts {
        self.sums[flow as usize][purpose as usize]
    }

    /// What moved this day on one side of the account for all purposes, mol per species.
    pub fn total(&self, flow: Flow) -> Amounts {
        self.sums[flow as usize]
            .iter()
            .fold(Amounts::ZERO, |sum, a| sum.plus(a))
    }
}

/// Whether a place holds gas of ours: its opening and closing amounts must be given.
pub(super) fn is_held(place: Place) -> bool {
    matches!(place, Place::Bank(_) | Place::Compartment(_))
}

fn is_changer(place: Place) -> bool {
    !is_held(place) && !matches!(place, Place::Atmosphere | Place::Sea)
}
