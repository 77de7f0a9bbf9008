//! The gas ledger: every mole that moved, added up by where from, where to and what for, with the
//! opening and closing amounts of each place and the daily gas account.
//!
//! Each line is a sum of what was said to have moved; none is worked out as the remainder of the
//! others, so opening + in - out - closing is a real check. What moves back is never set off against
//! what moves forward: an entry says of each species which way it went, and the two ways are lines of
//! their own, neither below nothing. It is light enough to be the only sink of one run among thousands.

use super::account::{Day, Flow};
use super::sum::Sum;
use super::{Entry, Sink, What};
use crate::gas::Amounts;
use crate::units::{Place, Purpose};
use std::collections::BTreeMap;

/// Banks, and compartments, that the direct table reaches; ids beyond go through a search.
const BANKS: usize = 32;
const VESSELS: usize = 16;
const PLACES: usize = BANKS + 3 * VESSELS + 4;
const NONE: u32 = u32::MAX;

/// One line of the ledger: all that moved from one place to another for one purpose, whatever moved back.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Where it came from.
    pub from: Place,
    /// Where it went.
    pub to: Place,
    /// What for.
    pub purpose: Purpose,
    /// How much, mol per species.
    pub moles: Amounts,
}

/// The sink that adds up gas.
#[derive(Clone, Debug)]
pub struct Ledger {
    heads: Vec<u32>,
    lines: Vec<Slot>,
    beyond: BTreeMap<(Place, Place, Purpose), usize>,
    pub(super) opening: BTreeMap<Place, Sum>,
    pub(super) closing: BTreeMap<Place, Sum>,
    days: Vec<Day>,
    second_of_day_at_start: i64,
}

impl Ledger {
    /// An empty ledger. `second_of_day_at_start` is the ship's clock at second 0, for the daily account.
    pub fn new(second_of_day_at_start: i64) -> Ledger {
        Ledger {
            heads: vec![NONE; PLACES * PLACES],
            lines: Vec::with_capacity(64),
            beyond: BTreeMap::new(),
            opening: BTreeMap::new(),
            closing: BTreeMap::new(),
            days: Vec::new(),
            second_of_day_at_start,
        }
    }

    /// Every line, in order of from, to and purpose.
    pub fn lines(&self) -> Vec<Line> {
        let mut lines: Vec<Line> = self.lines.iter().map(Slot::line).collect();
        lines.sort_by_key(|l| (l.from, l.to, l.purpose));
        lines
    }

    /// What moved on one side of the account for one purpose over the whole run, mol per species.
    pub fn moved(&self, flow: Flow, purpose: Purpose) -> Amounts {
        self.sum_where(|l| l.purpose == purpose && flow.counts(l.from, l.to))
    }

    /// The sum of the lines that a condition picks, mol per species.
    pub fn sum_where(&self, picked: impl Fn(&Line) -> bool) -> Amounts {
        let mut sum = Sum::default();
        for line in self.lines.iter().map(Slot::line).filter(picked) {
            sum.add(&line.moles);
        }
        sum.get()
    }

    /// What lay in a place at the start, mol per species; none if it was not said.
    pub fn opening(&self, place: Place) -> Option<Amounts> {
        self.opening.get(&place).map(Sum::get)
    }

    /// What lay in a place at the end, mol per species; none if it was not said.
    pub fn closing(&self, place: Place) -> Option<Amounts> {
        self.closing.get(&place).map(Sum::get)
    }

    /// The daily gas account, first day first; days on which nothing moved are left out.
    pub fn days(&self) -> &[Day] {
        &self.days
    }

    /// Adds what went one way.
    fn add(&mut self, at: i64, from: Place, to: Place, purpose: Purpose, moles: &Amounts) {
        self.slot(from, to, purpose).sum.add(moles);
        self.day(at).add(from, to, purpose, moles);
    }

    fn slot(&mut self, from: Place, to: Place, purpose: Purpose) -> &mut Slot {
        let at = match (code(from), code(to)) {
            (Some(a), Some(b)) => self.direct(a * PLACES + b, from, to, purpose),
            _ => {
                let next = self.lines.len();
                let at = *self.beyond.entry((from, to, purpose)).or_insert(next);
                if at == next {
                    self.lines.push(Slot::new(from, to, purpose, NONE));
                }
                at
            }
        };
        &mut self.lines[at]
    }

    fn direct(&mut self, pair: usize, from: Place, to: Place, purpose: Purpose) -> usize {
        let mut at = self.heads[pair];
        while at != NONE {
            let slot = &self.lines[at as usize];
            if slot.purpose == purpose {
                return at as usize;
            }
            at = slot.next;
        }
        let new = self.lines.len();
        self.lines
            .push(Slot::new(from, to, purpose, self.heads[pair]));
        self.heads[pair] = new as u32;
        new
    }

    /// The day on which a movement given at `at` counts. It tells of the time up to `at`, so what is
    /// given at midnight belongs to the day that ends.
    fn day(&mut self, at: i64) -> &mut Day {
        let day = (at.saturating_add(self.second_of_day_at_start) - 1)
            .div_euclid(86_400)
            .max(0)
            + 1;
        let found = match self.days.last() {
            Some(last) if last.day == day => Ok(self.days.len() - 1),
            _ => self.days.binary_search_by_key(&day, |d| d.day),
        };
        let at = found.unwrap_or_else(|place| {
            self.days.insert(place, Day::new(day));
            place
        });
        &mut self.days[at]
    }
}

impl Sink for Ledger {
    fn take(&mut self, entry: Entry) {
        match entry.what {
            What::Moved {
                from,
                to,
                purpose,
                moles,
            } => {
                let (forward, back) = moles.both_ways();
                if forward != Amounts::ZERO || back == Amounts::ZERO {
                    self.add(entry.at, from, to, purpose, &forward);
                }
                if back != Amounts::ZERO {
                    self.add(entry.at, to, from, purpose, &back);
                }
            }
            What::Opening { place, moles } => self.opening.entry(place).or_default().add(&moles),
            What::Closing { place, moles } => self.closing.entry(place).or_default().add(&moles),
            _ => {}
        }
    }
}

fn code(place: Place) -> Option<usize> {
    let within = |index: usize, from: usize, count: usize| (index < count).then_some(from + index);
    let vessels = |kind: usize| BANKS + kind * VESSELS;
    match place {
        Place::Bank(b) => within(b.index(), 0, BANKS),
        Place::Compartment(c) => within(c.index(), vessels(0), VESSELS),
        Place::Absorbent(c) => within(c.index(), vessels(1), VESSELS),
        Place::Drained(c) => within(c.index(), vessels(2), VESSELS),
        Place::Atmosphere => Some(vessels(3)),
        Place::Sea => Some(vessels(3) + 1),
        Place::Body => Some(vessels(3) + 2),
        Place::LiquidWater => Some(vessels(3) + 3),
    }
}

#[derive(Clone, Copy, Debug)]
struct Slot {
    sum: Sum,
    from: Place,
    to: Place,
    purpose: Purpose,
    next: u32,
}

impl Slot {
    fn new(from: Place, to: Place, purpose: Purpose, next: u32) -> Slot {
        Slot {
            sum: Sum::default(),
            from,
            to,
            purpose,
            next,
        }
    }

    fn line(&self) -> Line {
        Line {
            from: self.from,
            to: self.to,
            purpose: self.purpose,
            moles: self.sum.get(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{BankId, CompartmentId};

    const BANK: Place = Place::Bank(BankId(0));
    const ROOM: Place = Place::Compartment(CompartmentId(0));

    fn moved(at: i64, from: Place, to: Place, purpose: Purpose, moles: Amounts) -> Entry {
        Entry {
            at,
            what: What::Moved {
                from,
                to,
                purpose,
                moles,
            },
        }
    }

    fn heliox(mol: f64) -> Amounts {
        Amounts::heliox(0.02).scaled(mol)
    }

    #[test]
    fn purposes_lie_in_their_own_order() {
        for (i, p) in Purpose::ALL.iter().enumerate() {
            assert_eq!(i, *p as usize);
        }
        for (i, f) in Flow::ALL.iter().enumerate() {
            assert_eq!(i, *f as usize);
        }
    }

    #[test]
    fn places_have_codes_of_their_own() {
        let mut seen = std::collections::BTreeSet::new();
        let vessels = (0..VESSELS as u8).map(CompartmentId);
        let all = (0..BANKS as u8)
            .map(|b| Place::Bank(BankId(b)))
            .chain(vessels.clone().map(Place::Compartment))
            .chain(vessels.clone().map(Place::Absorbent))
            .chain(vessels.map(Place::Drained))
            .chain([
                Place::Atmosphere,
                Place::Sea,
                Place::Body,
                Place::LiquidWater,
            ]);
        for place in all {
            assert!(seen.insert(code(place).expect("within the table")));
        }
        assert_eq!(seen.len(), PLACES);
        assert_eq!(code(Place::Bank(BankId(200))), None);
    }

    #[test]
    fn a_ledger_closes_and_a_missing_mole_shows() {
        let mut ledger = Ledger::new(0);
        let entries = |missing: f64| {
            [
                Entry {
                    at: 0,
                    what: What::Opening {
                        place: BANK,
                        moles: heliox(1000.0),
                    },
                },
                Entry {
                    at: 0,
                    what: What::Opening {
                        place: ROOM,
                        moles: Amounts::ZERO,
                    },
                },
                moved(60, BANK, ROOM, Purpose::BlowDown, heliox(400.0)),
                moved(120, ROOM, Place::Atmosphere, Purpose::Bleed, heliox(100.0)),
                Entry {
                    at: 200,
                    what: What::Closing {
                        place: BANK,
                        moles: heliox(600.0),
                    },
                },
                Entry {
                    at: 200,
                    what: What::Closing {
                        place: ROOM,
                        moles: heliox(300.0 - missing),
                    },
                },
            ]
        };
        let mut short = ledger.clone();
        entries(0.0).into_iter().for_each(|e| ledger.take(e));
        entries(1.0).into_iter().for_each(|e| short.take(e));
        assert!(ledger.closure().holds(1e-12));
        assert_eq!(ledger.closure().handled.total(), 1000.0);
        assert!((short.closure().worst() - 1e-3).abs() < 1e-12);
    }

    #[test]
    fn a_place_without_a_closing_is_named() {
        let mut ledger = Ledger::new(0);
        ledger.take(moved(60, BANK, ROOM, Purpose::BlowDown, heliox(1.0)));
        assert_eq!(ledger.closure().unclosed, vec![BANK, ROOM]);
        assert!(!ledger.closure().holds(1.0));
    }

    #[test]
    fn small_amounts_survive_beside_large_ones() {
        let mut ledger = Ledger::new(0);
        ledger.take(moved(1, BANK, ROOM, Purpose::MakeUp, heliox(1e9)));
        for t in 0..1_000_000 {
            ledger.take(moved(t, BANK, ROOM, Purpose::MakeUp, heliox(1e-7)));
        }
        let sum = ledger.sum_where(|_| true).total();
        assert!((sum - (1e9 + 0.1)).abs() < 1e-6, "{sum}");
    }

    #[test]
    fn midnight_belongs_to_the_day_that_ends() {
        let six = 6 * 3600;
        let mut ledger = Ledger::new(six);
        for at in [60, 86_400 - six, 86_401 - six] {
            ledger.take(moved(at, BANK, Place::Sea, Purpose::DiverGas, heliox(10.0)));
        }
        let days: Vec<_> = ledger
            .days()
            .iter()
            .map(|d| (d.day, d.total(Flow::Lost).total()))
            .collect();
        assert_eq!(days, vec![(1, 20.0), (2, 10.0)]);
        let drawn = ledger.moved(Flow::Drawn, Purpose::DiverGas).total();
        assert!((drawn - 30.0).abs() < 1e-12);
    }

    /// A trunk open to the deck: helium goes out while air comes in, and another time less of both. By hand.
    #[test]
    fn what_comes_back_is_not_set_off_against_what_goes_out() {
        let air = Place::Atmosphere;
        let swapped = |he: f64, n2: f64| Amounts([he, 0.0, -n2, 0.0, 0.0, 0.0]);
        let mut ledger = Ledger::new(0);
        ledger.take(moved(60, ROOM, air, Purpose::LockRun, swapped(9.0, 8.0)));
        ledger.take(moved(90, ROOM, air, Purpose::LockRun, swapped(-2.0, -3.0)));
        let out = ledger.sum_where(|l| (l.from, l.to) == (ROOM, air));
        let back = ledger.sum_where(|l| (l.from, l.to) == (air, ROOM));
        assert_eq!(out, Amounts([9.0, 0.0, 3.0, 0.0, 0.0, 0.0]));
        assert_eq!(back, Amounts([2.0, 0.0, 8.0, 0.0, 0.0, 0.0]));
        assert_eq!(ledger.moved(Flow::Lost, Purpose::LockRun), out);
        assert_eq!(ledger.moved(Flow::TakenIn, Purpose::LockRun), back);
        assert_eq!(ledger.days()[0].total(Flow::TakenIn), back);
    }

    #[test]
    fn ids_beyond_the_table_are_booked_all_the_same() {
        let far = Place::Bank(BankId(250));
        let mut ledger = Ledger::new(0);
        for _ in 0..3 {
            ledger.take(moved(5, far, ROOM, Purpose::MakeUp, heliox(2.0)));
        }
        assert_eq!(ledger.lines().len(), 1);
        assert_eq!(ledger.lines()[0].moles.total(), 6.0);
    }
}
