//! Valves trimmed again and again, or opened and shut again and again, as a technician writes them down: once, with how
//! often and where they stood or when it was last, not a line for each turn of the hand. The entries themselves stay as
//! they are.

use deepstay_core::record::{Entry, ValveName, What};
use std::collections::BTreeMap;

/// How an act stands in the log.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Told {
    /// As it is.
    AsItIs,
    /// As it is, and then trimmed so many times, last to an opening.
    Trimmed {
        /// How often.
        times: u32,
        /// Where it stood last, 0 to 1.
        last: f64,
    },
    /// As it is, and shut again soon, so many times in all, the last of them at a second.
    Puffs {
        /// How often.
        times: u32,
        /// When it was opened last, s.
        last_s: i64,
    },
    /// It is one of those turns.
    Within,
}

/// What is shut again within this was a puff, s.
const PUFF_S: i64 = 120;

/// Which valves stand open, from row to row of the log.
#[derive(Clone, Debug, Default)]
pub struct Trims {
    open: BTreeMap<ValveName, f64>,
}

impl Trims {
    /// How each act of one row's time stands in the log. A valve that was open before is trimmed from its first turn on.
    pub fn tell(&mut self, acts: &[Entry]) -> Vec<Told> {
        let mut told = vec![Told::AsItIs; acts.len()];
        let mut first: BTreeMap<ValveName, usize> = BTreeMap::new();
        for (i, act) in acts.iter().enumerate() {
            let What::Valve { valve, opening } = act.what else {
                continue;
            };
            let was_open = self.open.get(&valve).is_some_and(|o| *o > 0.0);
            self.open.insert(valve, opening);
            if opening <= 0.0 {
                first.remove(&valve);
                continue;
            }
            match first.get(&valve) {
                Some(&begun) => {
                    let times = match told[begun] {
                        Told::Trimmed { times, .. } => times + 1,
                        Told::AsItIs | Told::Puffs { .. } | Told::Within => 1,
                    };
                    told[begun] = Told::Trimmed {
                        times,
                        last: opening,
                    };
                    told[i] = Told::Within;
                }
                None => {
                    first.insert(valve, i);
                    if was_open {
                        told[i] = Told::Trimmed {
                            times: 1,
                            last: opening,
                        };
                    }
                }
            }
        }
        puffs(acts, &mut told);
        told
    }
}

/// Of a valve that was opened and soon shut again more than once, untrimmed, the first opening is told with how often,
/// and the rest within it.
fn puffs(acts: &[Entry], told: &mut [Told]) {
    let mut opened: BTreeMap<ValveName, usize> = BTreeMap::new();
    let mut pairs: BTreeMap<ValveName, Vec<(usize, usize)>> = BTreeMap::new();
    for (i, act) in acts.iter().enumerate() {
        let What::Valve { valve, opening } = act.what else {
            continue;
        };
        if opening > 0.0 {
            opened.insert(valve, i);
        } else if let Some(from) = opened.remove(&valve)
            && told[from] == Told::AsItIs
            && act.at - acts[from].at <= PUFF_S
        {
            pairs.entry(valve).or_default().push((from, i));
        }
    }
    for pairs in pairs.into_values().filter(|p| p.len() > 1) {
        let (times, last) = (pairs.len() as u32, pairs[pairs.len() - 1].0);
        for (from, to) in &pairs {
            (told[*from], told[*to]) = (Told::Within, Told::Within);
        }
        told[pairs[0].0] = Told::Puffs {
            times,
            last_s: acts[last].at,
        };
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use deepstay_core::units::CompartmentId;

    /// Three puffs of make-up in one row's time are one entry; one alone is opened and shut, as it was.
    #[test]
    fn puffs_are_one_entry_a_row_however_many() {
        let valve = ValveName::BlowDown(CompartmentId(0));
        let tank = ValveName::Exhaust(CompartmentId(1));
        let turn = |at, valve, opening| Entry {
            at,
            what: What::Valve { valve, opening },
        };
        let told = Trims::default().tell(&[
            turn(10, valve, 0.1),
            turn(20, valve, 0.0),
            turn(70, tank, 1.0),
            turn(75, tank, 0.0),
            turn(130, valve, 0.1),
            turn(140, valve, 0.0),
            turn(250, valve, 0.1),
            turn(262, valve, 0.0),
        ]);
        let thrice = Told::Puffs {
            times: 3,
            last_s: 250,
        };
        let (plain, within) = (Told::AsItIs, Told::Within);
        let wanted = [thrice, within, plain, plain, within, within, within, within];
        assert_eq!(told, wanted);
    }

    #[test]
    fn a_blow_down_is_one_entry_a_row_however_often_it_is_trimmed() {
        let blow_down = ValveName::BlowDown(CompartmentId(0));
        let bleed = ValveName::Bleed(CompartmentId(0));
        let turn = |at, valve, opening| Entry {
            at,
            what: What::Valve { valve, opening },
        };
        let mut trims = Trims::default();
        let told = trims.tell(&[
            turn(10, blow_down, 0.2),
            turn(20, blow_down, 0.25),
            turn(25, bleed, 0.1),
            turn(30, blow_down, 0.3),
        ]);
        let twice = Told::Trimmed {
            times: 2,
            last: 0.3,
        };
        assert_eq!(told, [twice, Told::Within, Told::AsItIs, Told::Within]);
        // The next row: it is still open, and is shut; opened again it is an entry of its own.
        let told = trims.tell(&[
            turn(40, blow_down, 0.35),
            turn(50, blow_down, 0.0),
            turn(60, blow_down, 0.1),
        ]);
        let once = Told::Trimmed {
            times: 1,
            last: 0.35,
        };
        assert_eq!(told, [once, Told::AsItIs, Told::AsItIs]);
    }
}
