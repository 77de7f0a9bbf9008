//! The life-support log: one row per compartment and log row, with what was added, let go and done
//! since the row before.
//!
//! The columns are those that the trade's duty lists name (contractors' consensus standard and the
//! US Navy chamber atmosphere data sheet, chapter 15-12): readings, gas changes, absorbent, lock
//! runs, masks, calibration, remarks.

use super::kept::Kept;
use super::log_row::{LogRow, Teller};
use super::{BreathingPath, Entry, LineName, Routine, Sink, ValveName, What, Whereabouts};
use crate::gas::Amounts;
use crate::units::*;
use std::ops::Range;

/// Most acts of the everyday kept one by one; those beyond are counted only.
const MOST_EVERYDAY: usize = 400_000;
/// Up to how many acts in all there is room for alarms, limits, faults and where people are.
const MOST_GRAVE: usize = 500_000;
/// Most acts in all: the last of the room is for what becomes of people, so that nothing pushes a death out of the log.
const MOST_ACTS: usize = 600_000;
/// Most rows kept; those beyond are counted only.
const MOST_ROWS: usize = 200_000;

/// A bank at a log row.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BankRow {
    /// When, s.
    pub at: i64,
    /// Which bank.
    pub bank: BankId,
    /// What its gauge shows, gauge bar.
    pub gauge_bar: f64,
    /// What is truly in it, mol by species.
    pub moles: Amounts,
}

/// The stretch of time that one log row tells of.
#[derive(Clone, Debug, PartialEq)]
pub struct Period {
    /// When the row was written, s.
    pub at: i64,
    /// Its rows in [`LogBook::rows`].
    pub rows: Range<usize>,
    /// Its banks in [`LogBook::banks`].
    pub banks: Range<usize>,
    /// What was done since the row before, in [`LogBook::acts`].
    pub acts: Range<usize>,
}

/// The sink that keeps the log.
#[derive(Clone, Debug, Default)]
pub struct LogBook {
    rows: Kept<LogRow, MOST_ROWS>,
    banks: Kept<BankRow, MOST_ROWS>,
    acts: Kept<Entry, MOST_ACTS>,
    periods: Vec<Period>,
    open: Vec<Option<Box<LogRow>>>,
    bank_now: Vec<BankRow>,
    said: Vec<bool>,
    divers: Vec<(Option<CompartmentId>, bool)>,
}

impl LogBook {
    /// Every row, by time and compartment.
    pub fn rows(&self) -> &[LogRow] {
        &self.rows
    }

    /// Every bank at every log row.
    pub fn banks(&self) -> &[BankRow] {
        &self.banks
    }

    /// What was done and what happened, in order: everything but gas, readings, oxygen valves and rule rows.
    pub fn acts(&self) -> &[Entry] {
        &self.acts
    }

    /// The log rows of the run, each with its rows, banks and acts. What was done after the last row
    /// is in [`LogBook::acts`] beyond the last period.
    pub fn periods(&self) -> &[Period] {
        &self.periods
    }

    /// Rows and acts that were counted and not kept, because there were too many.
    pub fn left_out(&self) -> u64 {
        self.rows.beyond() + self.banks.beyond() + self.acts.beyond()
    }

    fn row(&mut self, at: CompartmentId) -> &mut LogRow {
        let index = at.index();
        if index >= self.open.len() {
            self.open.resize(index + 1, None);
            self.said.resize(index + 1, false);
        }
        self.open[index].get_or_insert_with(|| Box::new(LogRow::new(at)))
    }

    /// A row of a compartment of which something was read: it will be written.
    fn read(&mut self, at: CompartmentId) -> &mut LogRow {
        self.row(at);
        self.said[at.index()] = true;
        self.row(at)
    }

    fn moved(&mut self, from: Place, to: Place, purpose: Purpose, mol: f64) {
        match (from, to) {
            (Place::Bank(bank), Place::Compartment(c)) => {
                let row = self.row(c);
                if purpose == Purpose::Oxygen {
                    row.o2_added_mol += mol;
                } else {
                    row.gas_added_mol += mol;
                    row.gas_bank = Some(bank);
                }
            }
            (Place::Compartment(c), _) if matches!(purpose, Purpose::Bleed | Purpose::Recovery) => {
                self.row(c).bled_mol += mol;
            }
            _ => {}
        }
    }

    fn routine(&mut self, at: CompartmentId, routine: Routine) {
        let row = self.row(at);
        match routine {
            Routine::Toilet => row.flushes += 1,
            Routine::Shower => row.showers += 1,
            _ => {}
        }
    }

    fn diver(&mut self, diver: DiverId, to: Option<Option<CompartmentId>>, bibs: Option<bool>) {
        if diver.index() >= self.divers.len() {
            self.divers.resize(diver.index() + 1, (None, false));
        }
        let state = &mut self.divers[diver.index()];
        state.0 = to.unwrap_or(state.0);
        state.1 = bibs.unwrap_or(state.1);
        if let (Some(c), true) = *state {
            self.count_bibs(c);
        }
    }

    fn count_bibs(&mut self, at: CompartmentId) {
        let now = self
            .divers
            .iter()
            .filter(|d| **d == (Some(at), true))
            .count()
            .min(255) as u8;
        let row = self.row(at);
        row.on_bibs = row.on_bibs.max(now);
    }

    fn close_row(&mut self, at: i64) {
        let period = self.periods.len();
        let (rows_from, banks_from) = (self.rows.len(), self.banks.len());
        let acts_from = self.periods.last().map_or(0, |p| p.acts.end);
        for (open, said) in self.open.iter_mut().zip(&mut self.said) {
            let Some(row) = open.as_mut().filter(|_| *said) else {
                continue;
            };
            *said = false;
            let fresh = Box::new(LogRow::new(row.compartment));
            let mut row = std::mem::replace(row, fresh);
            (row.at, row.period) = (at, period);
            self.rows.keep(*row);
        }
        for bank in self.bank_now.drain(..) {
            self.banks.keep(bank);
        }
        self.periods.push(Period {
            at,
            rows: rows_from..self.rows.len(),
            banks: banks_from..self.banks.len(),
            acts: acts_from..self.acts.len(),
        });
        for i in 0..self.divers.len() {
            if let (Some(c), true) = self.divers[i] {
                self.count_bibs(c);
            }
        }
    }

    fn act(&mut self, entry: Entry) {
        self.acts.keep_up_to(room_for(&entry.what), entry);
    }
}

/// How full the log may be for an act to be kept in it: the graver, the fuller.
fn room_for(what: &What) -> usize {
    match what {
        What::Fitness { .. } => MOST_ACTS,
        What::Alarm { .. }
        | What::Limit { .. }
        | What::Fault { .. }
        | What::BellStopped { .. }
        | What::Phase { .. }
        | What::Diver { .. } => MOST_GRAVE,
        _ => MOST_EVERYDAY,
    }
}

impl Sink for LogBook {
    fn take(&mut self, entry: Entry) {
        match entry.what {
            What::Opening { .. }
            | What::Closing { .. }
            | What::DiverTotals { .. }
            | What::RuleRow { .. } => return,
            What::Moved {
                from,
                to,
                purpose,
                moles,
            } => return self.moved(from, to, purpose, moles.total()),
            What::Logged {
                compartment,
                quantity,
                channel,
                truth,
                value,
            } => {
                let teller = match (truth, channel) {
                    (Truth::True, _) => Teller::Truth,
                    (Truth::Shown, Channel::Primary) => Teller::Primary,
                    (Truth::Shown, Channel::Secondary) => Teller::Secondary,
                };
                self.read(compartment).set(quantity, teller, value);
                return;
            }
            What::BankLogged {
                bank,
                gauge_bar,
                moles,
            } => {
                return self.bank_now.push(BankRow {
                    at: entry.at,
                    bank,
                    gauge_bar,
                    moles,
                });
            }
            What::ScrubberLogged {
                compartment,
                fan,
                hours,
            } => {
                self.read(compartment).scrubber = Some((fan, hours));
                return;
            }
            What::Headcount {
                compartment,
                divers,
            } => {
                self.read(compartment).divers = Some(divers);
                return;
            }
            What::Target {
                compartment,
                depth_msw,
            } => {
                self.read(compartment).target_msw = Some(depth_msw);
                return;
            }
            What::LogRow => return self.close_row(entry.at),
            What::Valve {
                valve: ValveName::Oxygen(c),
                opening,
            } => {
                if opening > 0.0 {
                    self.row(c).o2_openings += 1;
                }
                return;
            }
            What::LinedUp {
                line: LineName::Supply(c),
                bank,
            } => self.row(c).gas_bank = Some(bank),
            What::Routine {
                compartment,
                routine,
                ..
            } => self.routine(compartment, routine),
            What::Diver { diver, to } => {
                let at = match to {
                    Whereabouts::In(c) => Some(c),
                    Whereabouts::Deck | Whereabouts::Water(_) => None,
                };
                self.diver(diver, Some(at), None);
            }
            What::Breathing { diver, path, .. } => {
                self.diver(diver, None, Some(path == BreathingPath::Bibs))
            }
            _ => {}
        }
        self.act(entry);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::{Fitness, HarmCause};

    #[test]
    fn a_row_holds_readings_and_what_was_done_since_the_last() {
        let room = CompartmentId(2);
        let logged = |channel, truth, value| What::Logged {
            compartment: room,
            quantity: Quantity::PpO2,
            channel,
            truth,
            value,
        };
        let oxygen = What::Moved {
            from: Place::Bank(BankId(1)),
            to: Place::Compartment(room),
            purpose: Purpose::Oxygen,
            moles: Amounts::oxygen().scaled(3.0),
        };
        let mut log = LogBook::default();
        for (at, what) in [
            (100, oxygen),
            (
                200,
                What::Diver {
                    diver: DiverId(3),
                    to: Whereabouts::In(room),
                },
            ),
            (
                300,
                What::Breathing {
                    diver: DiverId(3),
                    from: BreathingPath::Ambient,
                    path: BreathingPath::Bibs,
                },
            ),
            (
                400,
                What::Routine {
                    compartment: room,
                    routine: Routine::Toilet,
                    diver: None,
                },
            ),
            (1800, logged(Channel::Primary, Truth::Shown, 0.401)),
            (1800, logged(Channel::Secondary, Truth::Shown, 0.399)),
            (1800, logged(Channel::Primary, Truth::True, 0.4)),
            (1800, What::LogRow),
            (2000, oxygen),
            (
                2000,
                What::Breathing {
                    diver: DiverId(3),
                    from: BreathingPath::Bibs,
                    path: BreathingPath::Ambient,
                },
            ),
            (
                3600,
                What::Headcount {
                    compartment: room,
                    divers: 1,
                },
            ),
            (3600, What::LogRow),
        ] {
            log.take(Entry { at, what });
        }
        let [first, second] = log.rows() else {
            panic!("two rows")
        };
        assert_eq!(first.value(Quantity::PpO2, Teller::Primary), Some(0.401));
        assert_eq!(first.value(Quantity::PpO2, Teller::Truth), Some(0.4));
        assert_eq!(
            (first.o2_added_mol, first.flushes, first.on_bibs),
            (3.0, 1, 1)
        );
        assert_eq!(
            (second.o2_added_mol, second.flushes, second.on_bibs),
            (3.0, 0, 1)
        );
        assert_eq!(second.value(Quantity::PpO2, Teller::Primary), None);
        assert_eq!(log.periods()[0].acts.len(), 3);
        assert_eq!(log.periods()[1].acts.len(), 1);
    }

    #[test]
    fn a_death_stands_in_a_log_that_was_full_of_valves() {
        let (man, room) = (DiverId(0), CompartmentId(2));
        let valve = What::Valve {
            valve: ValveName::Exhaust(room),
            opening: 0.5,
        };
        let said = What::Diver {
            diver: man,
            to: Whereabouts::In(room),
        };
        let dead = What::Fitness {
            diver: man,
            from: Fitness::Out,
            to: Fitness::Dead,
            cause: HarmCause::LowOxygen,
        };
        let mut log = LogBook::default();
        let full = MOST_EVERYDAY as i64;
        for at in 0..full + 10 {
            log.take(Entry { at, what: valve });
        }
        log.take(Entry {
            at: full + 10,
            what: said,
        });
        log.take(Entry {
            at: full + 11,
            what: dead,
        });
        assert_eq!(log.acts().len(), MOST_EVERYDAY + 2);
        assert_eq!(log.left_out(), 10);
        let told: Vec<What> = log.acts()[MOST_EVERYDAY..].iter().map(|e| e.what).collect();
        assert_eq!(told, [said, dead]);
    }
}
