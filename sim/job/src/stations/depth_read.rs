//! What the depth of a level is taken to be: its manned chamber's first gauge where another bears it out, another
//! where two agree against the first, and nothing where two stand against each other. Nothing is pressed or bled by a
//! gauge alone that others contradict: a false one has killed by the gas poured in against it (Fatal Accident Inquiry,
//! Scotland, 1977).

use super::context::Look;
use super::house_figures;
use deepstay_core::record::Finding;
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

/// How soon gauges of which none decides are looked at again, s (house figure).
const AGAIN_S: i64 = 30;

/// By what a level's depth is read.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Reading {
    /// By the first gauge.
    First,
    /// By another, against the first.
    Other(InstrumentId),
    /// Two stand against each other.
    Doubtful,
}

/// State of a level's depth readings.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct DepthReadings {
    differ: bool,
}

impl DepthReadings {
    /// Compares the gauges, notes on the board by which the level goes, and writes down that they differ. False while
    /// none decides.
    pub fn agree(&mut self, look: &mut Look, level: usize) -> bool {
        let reading = read(look, level);
        let differ = reading != Reading::First;
        if differ && !self.differ {
            let home = look.home(level);
            look.found(home, Finding::GaugesDiffer);
        }
        self.differ = differ;
        look.board.levels[level].by_gauge = match reading {
            Reading::Other(gauge) => Some(gauge),
            Reading::First | Reading::Doubtful => None,
        };
        if reading == Reading::Doubtful {
            let later = look.now + AGAIN_S;
            look.wake(later);
        }
        reading != Reading::Doubtful
    }
}

fn read(look: &Look, level: usize) -> Reading {
    let home = look.home(level);
    let [first, second] = look.kit.layout.gauges[home.index()].depth;
    let Some(first) = look.shown(first) else {
        return Reading::First;
    };
    let agree = |a: f64, b: f64| (a - b).abs() <= house_figures::LOSS_MSW;
    let beyond_doubt = look.shown(second).zip(second);
    if let Some((shown, gauge)) = beyond_doubt {
        if agree(shown, first) {
            return Reading::First;
        }
        // A first gauge once found false is not gone by again, whether or not others can be asked at present.
        if look.board.levels[level].by_gauge == Some(gauge) {
            return Reading::Other(gauge);
        }
    }
    let beside = look.beside(level, home);
    let mut others: Vec<(InstrumentId, f64)> = Vec::new();
    for gauge in second
        .into_iter()
        .chain(beside.iter().filter_map(|m| look.depth_gauge(*m)))
    {
        others.extend(look.shown(Some(gauge)).map(|shown| (gauge, shown)));
    }
    if others.is_empty() || others.iter().any(|&(_, o)| agree(o, first)) {
        return Reading::First;
    }
    let borne_out = |&(i, (_, o)): &(usize, &(InstrumentId, f64))| {
        others[i + 1..].iter().any(|&(_, p)| agree(*o, p))
    };
    match others.iter().enumerate().find(borne_out) {
        Some((_, &(gauge, _))) => Reading::Other(gauge),
        None => Reading::Doubtful,
    }
}
