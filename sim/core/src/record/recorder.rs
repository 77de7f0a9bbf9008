//! Everything that is made of entries, fed by one sink.

use super::{
    Alarms, Bands, BellBook, Divers, Entry, HarmBook, Ledger, Limits, LogBook, PressureBook,
    RuleRows, Sink, StoreBook, Timeline, Unwell,
};

/// The whole record of a run: ledger, log, alarms, limits, bell log, divers and course of the job.
///
/// It keeps no entry stream. A 30-day job with half-hour rows takes some tens of megabytes; each list
/// has an upper bound, and what goes beyond is counted.
#[derive(Clone, Debug)]
pub struct Recorder {
    /// Where the gas went.
    pub ledger: Ledger,
    /// The life-support log.
    pub log: LogBook,
    /// Alarms and how often they came.
    pub alarms: Alarms,
    /// Times outside limits.
    pub limits: Limits,
    /// Which limits were in force when.
    pub bands: Bands,
    /// The bell log.
    pub bell: BellBook,
    /// The divers' hours.
    pub divers: Divers,
    /// Whether people lost their pressure.
    pub pressure: PressureBook,
    /// Who came to harm.
    pub harm: HarmBook,
    /// Phases, weather, faults.
    pub timeline: Timeline,
    /// Rows of the rule set that answered.
    pub rule_rows: RuleRows,
    /// Absorbent and lock runs.
    pub stores: StoreBook,
}

impl Recorder {
    /// An empty record. `second_of_day_at_start` is the ship's clock at second 0.
    pub fn new(second_of_day_at_start: i64) -> Recorder {
        Recorder {
            ledger: Ledger::new(second_of_day_at_start),
            log: LogBook::default(),
            alarms: Alarms::default(),
            limits: Limits::default(),
            bands: Bands::default(),
            bell: BellBook::default(),
            divers: Divers::default(),
            pressure: PressureBook::default(),
            harm: HarmBook::default(),
            timeline: Timeline::default(),
            rule_rows: RuleRows::default(),
            stores: StoreBook::default(),
        }
    }

    /// Everybody who came to harm, with his worst state and its cause.
    pub fn people_hurt(&self) -> impl Iterator<Item = &Unwell> {
        self.harm.hurt()
    }

    /// Entries that were counted and not kept one by one, because there were too many.
    pub fn left_out(&self) -> u64 {
        [
            self.log.left_out(),
            self.alarms.left_out(),
            self.limits.left_out(),
            self.bands.left_out(),
            self.bell.left_out(),
            self.divers.left_out(),
            self.harm.left_out(),
            self.timeline.left_out(),
        ]
        .iter()
        .sum()
    }
}

impl Sink for Recorder {
    fn take(&mut self, entry: Entry) {
        self.ledger.take(entry);
        self.log.take(entry);
        self.alarms.take(entry);
        self.limits.take(entry);
        self.bell.take(entry);
        self.divers.take(entry);
        self.pressure.take(entry);
        self.harm.take(entry);
        self.bands.take(entry);
        self.timeline.take(entry);
        self.rule_rows.take(entry);
        self.stores.take(entry);
    }
}
