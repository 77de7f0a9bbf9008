//! What a chamber's ppO2 is taken to be: the first analyser where another bears it out, another where two agree
//! against the first, and nothing where two stand against each other.

use super::context::Look;
use super::house_figures;
use deepstay_core::units::*;

/// A reading of ppO2, bar.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reading {
    /// By the analyser that control acts on.
    First(f64),
    /// By others, against the first.
    Others(f64),
    /// They differ, and none decides; the lowest and the highest.
    Doubtful(f64, f64),
}

impl Reading {
    /// What dosing goes by; none in doubt.
    pub fn to_dose_by(self) -> Option<f64> {
        match self {
            Reading::First(bar) | Reading::Others(bar) => Some(bar),
            Reading::Doubtful(..) => None,
        }
    }

    /// Whether some analyser shows what is not to be breathed.
    pub fn unfit(self, (low, high): (f64, f64)) -> bool {
        let (least, most) = self.range();
        least < low || most > high
    }

    /// The least and the most that it may be, bar.
    pub fn range(self) -> (f64, f64) {
        match self {
            Reading::First(bar) | Reading::Others(bar) => (bar, bar),
            Reading::Doubtful(least, most) => (least, most),
        }
    }
}

/// Reads the analysers of a chamber, and those of the chambers open to it; none where it has no analyser.
pub fn read(look: &Look, level: usize, c: CompartmentId) -> Option<Reading> {
    let beside = look.beside(level, c);
    judge(look, c, || {
        beside.iter().filter_map(|&m| look.ppo2(m)).collect()
    })
}

/// Reads the analysers of a vessel by themselves, as a bell's away from everything; none where it has none.
pub fn read_alone(look: &Look, c: CompartmentId) -> Option<Reading> {
    judge(look, c, Vec::new)
}

/// What the analysers of a vessel are taken to show, by those around it where its own two differ.
fn judge(look: &Look, c: CompartmentId, around: impl Fn() -> Vec<f64>) -> Option<Reading> {
    let second = look.shown(look.kit.layout.gauges[c.index()].ppo2[1]);
    let Some(first) = look.ppo2(c) else {
        return second.map(Reading::Others);
    };
    let mut others: Vec<f64> = second.into_iter().collect();
    if second.is_some_and(|s| agree(s, first)) {
        return Some(Reading::First(first));
    }
    others.extend(around());
    if others.is_empty() || others.iter().any(|&o| agree(o, first)) {
        return Some(Reading::First(first));
    }
    let borne_out = |&(i, o): &(usize, &f64)| others[i + 1..].iter().any(|&p| agree(*o, p));
    if let Some((_, &other)) = others.iter().enumerate().find(borne_out) {
        return Some(Reading::Others(other));
    }
    let least = others.iter().copied().fold(first, f64::min);
    let most = others.iter().copied().fold(first, f64::max);
    Some(Reading::Doubtful(least, most))
}

fn agree(a: f64, b: f64) -> bool {
    (a - b).abs() <= house_figures::ANALYSERS_AGREE_BAR
}
