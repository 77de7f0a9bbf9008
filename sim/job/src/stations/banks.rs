//! Which bank feeds which line. A bank is taken by its label only after its analysis agrees with it,
//! left when its gauge nears its heel, and never taken again once the two disagreed.

use super::context::Look;
use super::house_figures;
use deepstay_core::record::{LineName, Stopped};
use deepstay_core::units::*;
use deepstay_plant::{Bank, Duty, MAX_BANKS, SteelOrder};
use serde::{Deserialize, Serialize};
use std::cmp::Ordering;

/// Oxygen that make-up likes best (house figure).
pub const MAKE_UP_O2: f64 = 0.02;
/// Oxygen in the water that divers' gas is chosen by, bar (house figure).
pub const LIKED_IN_WATER_BAR: f64 = 0.6;

/// How well a bank is liked for a line: by duty in the order liked, then the nearest label, then the emptier one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Liked {
    rank: usize,
    off: f64,
    bar: f64,
}

impl Liked {
    /// Of a bank of this duty, with so much oxygen on its label and so much on its gauge; none where its duty will not do.
    pub fn of(bank: (Duty, f64, f64), (duties, best_o2): (&[Duty], f64)) -> Option<Liked> {
        let (duty, label_o2, bar) = bank;
        let rank = duties.iter().position(|&d| d == duty)?;
        let off = (label_o2 - best_o2).abs();
        Some(Liked { rank, off, bar })
    }

    /// Which of two is taken first. Labels that differ by less than can be written count as one.
    pub fn order(&self, other: &Liked) -> Ordering {
        let nearer = match (self.off - other.off).abs() <= 1e-9 {
            true => Ordering::Equal,
            false => self.off.total_cmp(&other.off),
        };
        let emptier = self.bar.total_cmp(&other.bar);
        self.rank.cmp(&other.rank).then(nearer).then(emptier)
    }
}

/// What a line wants of a bank.
#[derive(Clone, Copy, Debug)]
pub struct Need<'a> {
    /// Duties that will do, the first liked best.
    pub duties: &'a [Duty],
    /// Lowest gauge pressure at which it is of use, bar.
    pub above_bar: f64,
    /// Oxygen fraction between these.
    pub o2: (f64, f64),
    /// Oxygen fraction liked best.
    pub best_o2: f64,
    /// A bank that is kept for something else.
    pub but: Option<BankId>,
}

/// What a station remembers of banks: asked for analysis, and turned down, one bit a bank.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Banks {
    asked: u32,
    turned_down: u32,
}

impl Banks {
    /// Sees to it that a line has a bank that fits. True if it has one now (or will have, by the order
    /// just given); false while an analysis is awaited or when there is none left.
    pub fn keep(&mut self, look: &mut Look, line: LineName, need: &Need) -> bool {
        let current = look.panel.lined_up(line);
        if let Some(bank) = current
            && self.fits(look, bank, need)
            && let Some(good) = self.trusted(look, bank)
            && good
        {
            return true;
        }
        self.take(look, line, need)
    }

    /// Whether a bank fits a need, and its analysis agrees with its label.
    pub fn is_good(&mut self, look: &mut Look, bank: BankId, need: &Need) -> bool {
        self.fits(look, bank, need) && self.trusted(look, bank) == Some(true)
    }

    /// Lines up the bank that fits best, whatever is lined up now. As [`Banks::keep`] otherwise.
    pub fn take(&mut self, look: &mut Look, line: LineName, need: &Need) -> bool {
        for _ in 0..MAX_BANKS {
            let Some(bank) = self.choose(look, need) else {
                return false;
            };
            match self.trusted(look, bank) {
                Some(true) => {
                    look.line_up(line, bank);
                    return true;
                }
                Some(false) => {}
                None => {
                    let at = look.now + 30;
                    look.wake(at);
                    return false;
                }
            }
        }
        false
    }

    /// Lines up any gas that can hold a depth, at once: by its gauge alone, whatever is known of it, oxygen excepted.
    /// What it is meant for decides only among those that have gas to give.
    pub fn any(&mut self, look: &mut Look, line: LineName, above_bar: f64) {
        let fit = |(_, plate): &(u8, &Bank)| house_figures::ANY_GAS.contains(&plate.duty);
        let banks = (0u8..).zip(&look.kit.scenario.steel.banks).filter(fit);
        let full =
            banks.filter(|&(i, _)| look.bank_bar(BankId(i)).is_none_or(|bar| bar > above_bar));
        let rank = |plate: &Bank| house_figures::ANY_GAS.iter().position(|&d| d == plate.duty);
        let best = full.min_by_key(|&(i, plate)| {
            let doubted = self.turned_down & (1u32 << (i % 32)) != 0;
            (doubted, rank(plate))
        });
        if let Some((i, _)) = best {
            look.line_up(line, BankId(i));
        }
    }

    /// Turns a bank down: its gas does not do what its label promises.
    pub fn turn_down(&mut self, bank: BankId) {
        self.turned_down |= 1u32 << (bank.0 % 32);
    }

    /// Has a sample of a bank taken anew: what was found before is not gone by any longer.
    pub fn analyse_again(&mut self, look: &mut Look, bank: BankId) {
        self.asked |= 1u32 << (bank.0 % 32);
        look.steel(SteelOrder::Analyse { bank });
    }

    /// Whether analysis and label agree; none while it is not known, and then a sample is asked for.
    pub fn trusted(&mut self, look: &mut Look, bank: BankId) -> Option<bool> {
        let bit = 1u32 << (bank.0 % 32);
        if self.turned_down & bit != 0 {
            return Some(false);
        }
        let Some(found) = look.panel.analysed_o2(bank) else {
            if self.asked & bit == 0 {
                self.asked |= bit;
                look.steel(SteelOrder::Analyse { bank });
            }
            return None;
        };
        let duty = look.kit.scenario.steel.banks[bank.index()].duty;
        let allowed = if duty == Duty::Oxygen {
            house_figures::OXYGEN_LABEL_FITS
        } else {
            house_figures::LABEL_FITS
        };
        let good = (found - look.panel.label_o2(bank)).abs() <= allowed;
        if !good {
            self.turned_down |= bit;
        }
        Some(good)
    }

    /// Why no bank fits: there is none with gas of the kind left, or there is gas and none of it is fit.
    pub fn why_none(&self, look: &Look, need: &Need) -> Stopped {
        let banks = || {
            (0u8..)
                .zip(&look.kit.scenario.steel.banks)
                .filter(|(_, b)| need.duties.contains(&b.duty))
                .map(|(i, _)| BankId(i))
        };
        let fit = banks().any(|b| self.is_fit(look, b, need));
        let left = banks().any(|b| has_left(look, b, need));
        match (fit, left) {
            (false, true) => Stopped::GasUnfit,
            _ => Stopped::Gas,
        }
    }

    fn fits(&self, look: &Look, bank: BankId, need: &Need) -> bool {
        let duty = look.kit.scenario.steel.banks[bank.index()].duty;
        need.duties.contains(&duty) && self.is_fit(look, bank, need) && has_left(look, bank, need)
    }

    /// By its label, which its analysis has not belied.
    fn is_fit(&self, look: &Look, bank: BankId, need: &Need) -> bool {
        let o2 = look.panel.label_o2(bank);
        self.turned_down & (1u32 << (bank.0 % 32)) == 0
            && need.but != Some(bank)
            && (need.o2.0..=need.o2.1).contains(&o2)
    }

    /// The best bank that fits.
    fn choose(&self, look: &Look, need: &Need) -> Option<BankId> {
        let mut best: Option<(Liked, BankId)> = None;
        for (i, plate) in (0u8..).zip(&look.kit.scenario.steel.banks) {
            let bank = BankId(i);
            if !self.fits(look, bank, need) {
                continue;
            }
            let bar = look.bank_bar(bank).unwrap_or(f64::MAX);
            let of = (plate.duty, look.panel.label_o2(bank), bar);
            let Some(liked) = Liked::of(of, (need.duties, need.best_o2)) else {
                continue;
            };
            if best.is_none_or(|(b, _)| liked.order(&b) == Ordering::Less) {
                best = Some((liked, bank));
            }
        }
        best.map(|(_, bank)| bank)
    }
}

fn has_left(look: &Look, bank: BankId, need: &Need) -> bool {
    look.bank_bar(bank).is_none_or(|bar| bar > need.above_bar)
}
