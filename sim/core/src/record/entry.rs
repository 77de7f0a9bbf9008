//! An entry: one thing that happened, small and `Copy`, with its second.
#![expect(
    missing_docs,
    reason = "fields of an entry say what they are by name and unit"
)]

use super::AlarmSetting;
use super::call::{Answer, Callee, Phrase};
use crate::gas::Amounts;
use crate::units::*;
use serde::{Deserialize, Serialize};

/// One thing that happened.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Entry {
    /// Seconds since the scenario's start.
    pub at: i64,
    /// What it was.
    pub what: What,
}

/// What an entry says.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum What {
    /// The opening amounts: `moles` lay in `place` at the start. Given once per place.
    Opening { place: Place, moles: Amounts },
    /// The job is taken up from a present: what came before is not known.
    TakenUp,
    /// The closing amounts, given once per place when the run ends. Measured, never a remainder.
    Closing { place: Place, moles: Amounts },
    /// Gas moved (or changed in a body or absorbent). Slow flows are given at each log row and
    /// whenever their rate changes, as what moved since they were last given.
    Moved {
        from: Place,
        to: Place,
        purpose: Purpose,
        moles: Amounts,
    },
    /// A reading written into the log at its cadence (one entry per instrument or true value).
    Logged {
        compartment: CompartmentId,
        quantity: Quantity,
        channel: Channel,
        truth: Truth,
        value: f64,
    },
    /// A bank at a log row: what its gauge shows, gauge bar, and what is truly in it.
    BankLogged {
        bank: BankId,
        gauge_bar: f64,
        moles: Amounts,
    },
    /// Absorbent hours and fan state at a log row.
    ScrubberLogged {
        compartment: CompartmentId,
        fan: bool,
        hours: f64,
    },
    /// Divers in a compartment at a log row.
    Headcount {
        compartment: CompartmentId,
        divers: u8,
    },
    /// The depth a compartment is meant to have, at a log row, msw.
    Target {
        compartment: CompartmentId,
        depth_msw: f64,
    },
    /// A log row is complete.
    LogRow,
    /// A door moved or was made fast.
    Door { door: DoorId, state: DoorState },
    /// A valve moved.
    Valve { valve: ValveName, opening: f64 },
    /// A supply was lined up.
    LinedUp { line: LineName, bank: BankId },
    /// A line was shut off at its bank.
    LineOff { line: LineName },
    /// The stop of a bank was shut, or opened.
    BankStop { bank: BankId, shut: bool },
    /// The regulator of a line was set, bar over the pressure behind it.
    RegulatorSet { line: LineName, over_bar: f64 },
    /// An analyser was turned to a vessel's sample line: another's, or its own again.
    SampleTurned {
        instrument: InstrumentId,
        quantity: Quantity,
        of: CompartmentId,
        from: CompartmentId,
    },
    /// A vessel was looked into by its camera: divers seen there, a bit each by their ids.
    Camera {
        station: Station,
        compartment: CompartmentId,
        seen: u64,
    },
    /// A relief valve lifted, or reseated.
    Relief {
        compartment: CompartmentId,
        lifted: bool,
    },
    /// The gag valve before a relief valve was shut, or opened.
    Gagged {
        station: Station,
        compartment: CompartmentId,
        shut: bool,
    },
    /// The hull stop of what leaks at a compartment was shut from outside, or opened.
    HullStop {
        station: Station,
        compartment: CompartmentId,
        shut: bool,
    },
    /// A diver shut the inboard hull stop of what leaks where he is, or opened it.
    InboardStop {
        diver: DiverId,
        compartment: CompartmentId,
        shut: bool,
    },
    /// A diver's bail-out was read by its gauge, gauge bar; or a full one was taken for it.
    BailOut {
        diver: DiverId,
        gauge_bar: f64,
        exchanged: bool,
    },
    /// A canister was changed; hours it had run and moles of carbon dioxide it had taken.
    Canister {
        compartment: CompartmentId,
        hours: f64,
        moles: f64,
    },
    /// A fan, heater or other machine was switched.
    Machine {
        compartment: CompartmentId,
        machine: Machine,
        on: bool,
    },
    /// The automatic oxygen make-up was set: it adds under `ppo2_bar` and stops `band_bar` over it.
    OxygenSet {
        station: Station,
        compartment: CompartmentId,
        ppo2_bar: f64,
        band_bar: f64,
    },
    /// A climate unit was set: temperature and relative humidity (0 to 1) to hold.
    ClimateSet {
        station: Station,
        compartment: CompartmentId,
        t_k: f64,
        humidity: f64,
    },
    /// A bell was sent to a depth of the sea, msw; zero is the deck.
    BellSent {
        station: Station,
        bell: CompartmentId,
        to_msw: f64,
    },
    /// A row of the rule set answered what the job asked: given when it first does, and again with each timetable
    /// that a chamber takes up.
    RuleRow {
        row: RuleRowId,
        timetable_of: Option<CompartmentId>,
    },
    /// An analyser was calibrated: what it read of the calibration gas before and after.
    Calibrated {
        instrument: InstrumentId,
        quantity: Quantity,
        compartment: CompartmentId,
        as_found: f64,
        as_left: f64,
    },
    /// The zero or the span of an analyser was set by a bottle: what it showed of the bottle's gas, and what it was
    /// turned to.
    Adjusted {
        instrument: InstrumentId,
        quantity: Quantity,
        compartment: CompartmentId,
        bank: BankId,
        part: Adjusted,
        as_found: f64,
        as_left: f64,
    },
    /// A bank was analysed at the panel.
    Analysed { bank: BankId, o2: f64 },
    /// A limit came into force at a value, or is in force no longer.
    LimitBand {
        name: LimitName,
        limit: f64,
        in_force: bool,
    },
    /// A limit was crossed (or came back within), true or shown.
    Limit {
        name: LimitName,
        limit: f64,
        value: f64,
        truth: Truth,
        outside: bool,
    },
    /// A value outside a limit is further out than was told before: looked at each minute, and told when it has moved
    /// by the dead band, or when the time outside, or the job, ends.
    LimitFurther {
        name: LimitName,
        truth: Truth,
        value: f64,
    },
    /// A fitted alarm changed state, as the instrument indicated.
    Alarm {
        name: LimitName,
        state: AlarmState,
        value: f64,
        setting: AlarmSetting,
    },
    /// Somebody at a station did something about an alarm.
    AlarmActed {
        station: Station,
        name: LimitName,
        deed: AlarmDeed,
    },
    /// An alarm's shelving ended by itself: its time was over, or its cause was gone.
    AlarmUnshelved { name: LimitName },
    /// The sounder was silenced; the lamps stay.
    Silenced { station: Station },
    /// A phase of a bell run began.
    BellPhase {
        bell: CompartmentId,
        run: u16,
        phase: BellPhase,
    },
    /// A bell run did not happen or ended early.
    BellStopped {
        bell: CompartmentId,
        run: u16,
        why: Stopped,
    },
    /// A diver went somewhere.
    Diver { diver: DiverId, to: Whereabouts },
    /// A diver's breathing gas changed.
    Breathing {
        diver: DiverId,
        from: BreathingPath,
        path: BreathingPath,
    },
    /// A diver said something; a spoken report is a reading too.
    Said { diver: DiverId, report: Spoken },
    /// A person's state changed, truly; whatever of it can be heard is told apart, as something said.
    Fitness {
        diver: DiverId,
        from: Fitness,
        to: Fitness,
        cause: HarmCause,
    },
    /// A phase of the job began for a compartment.
    Phase {
        compartment: CompartmentId,
        phase: Phase,
    },
    /// A step of the timetable: decompression step to a depth, msw.
    Step {
        compartment: CompartmentId,
        to_msw: f64,
    },
    /// Routine done: meal, laundry, shower and so on.
    Routine {
        compartment: CompartmentId,
        routine: Routine,
        diver: Option<DiverId>,
    },
    /// What a station made of its panel, as it is written down.
    Found {
        station: Station,
        compartment: CompartmentId,
        finding: Finding,
    },
    /// A station told somebody what it had found, or sent him there.
    Told {
        station: Station,
        to: Callee,
        compartment: CompartmentId,
        finding: Finding,
    },
    /// A station called somebody and said something.
    Called {
        station: Station,
        to: Callee,
        phrase: Phrase,
    },
    /// Somebody answered a station, or did not, so long after he was called, s.
    Answered {
        from: Callee,
        to: Station,
        phrase: Phrase,
        answer: Answer,
        after_s: u32,
    },
    /// The watch handed over.
    Handover { station: Station },
    /// Who sits at a station from now on.
    Sits { station: Station, sitter: Sitter },
    /// Something written into the log by hand; its words are kept with the acts.
    Noted { station: Station, note: u32 },
    /// An item of a sheet was gone through, or where none is named the sheet was signed; sheets count from 0 in their
    /// file, items too.
    OnSheet {
        station: Station,
        sheet: u16,
        item: Option<u16>,
    },
    /// Sea state changed: significant wave height, m; whether the launch limit is passed.
    Weather { hs_m: f64, stopped: bool },
    /// A planned fault came in or was put right. `fault` counts along the scenario's list.
    Fault { fault: u16, active: bool },
    /// Something the watch or plant could not do, and why.
    Refused { station: Station, why: Refused },
    /// A diver's running totals at the end of his saturation or of the run.
    DiverTotals {
        diver: DiverId,
        bell_s: i64,
        water_s: i64,
        pressure_s: i64,
        o2_mol: f64,
        co2_mol: f64,
        uptd: f64,
    },
}

/// Whether the value is a lower or an upper bound.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Bound {
    /// At or above.
    High,
    /// At or below.
    Low,
}

/// How grave it is to be past a limit: what the watch has to do about it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Severity {
    /// The watch looks and acts; the job is not out of limits by it.
    Attention,
    /// Out of limits.
    Limit,
    /// People act at once (masks on).
    Emergency,
}

impl Severity {
    /// All, the gravest first.
    pub const ALL: [Severity; 3] = [Severity::Emergency, Severity::Limit, Severity::Attention];
}

/// What of a vessel a limit speaks of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Aspect {
    /// The quantity inside it.
    Inside,
    /// What people in it, or out of it, breathe from masks, helmets and bail-out.
    Breathed,
    /// How fast the quantity changes, in a minute.
    Rate,
    /// What feeds a line that is breathed from has over what the line needs to give a breath.
    Supply(BreathingLine),
    /// How far the gas of a bell that is open at its bottom is short of the sea's pressure: water stands for it.
    Water,
}

/// A line that people breathe from, of a vessel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum BreathingLine {
    /// Masks.
    Bibs,
    /// Divers' main gas from a bell.
    Main,
    /// Divers' secondary gas from a bell.
    Secondary,
}

impl BreathingLine {
    /// All of them.
    pub const ALL: [BreathingLine; 3] = [
        BreathingLine::Bibs,
        BreathingLine::Main,
        BreathingLine::Secondary,
    ];

    /// That line of a vessel.
    pub fn of(self, at: CompartmentId) -> LineName {
        match self {
            BreathingLine::Bibs => LineName::Bibs(at),
            BreathingLine::Main => LineName::DiverMain(at),
            BreathingLine::Secondary => LineName::DiverSecondary(at),
        }
    }
}

/// Where a limit comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum LimitBy {
    /// A row of the rule set.
    Row(RuleRowId),
    /// What the vessel is rated for.
    Rating,
    /// The set point of an alarm of the panel, by its place there: it rings, and is no limit.
    Panel(u16),
    /// A set point of the loop's own alarms: it rings, and is no limit.
    SetPoint,
}

/// Which limit: where, of what, on which side, how grave, and where it comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct LimitName {
    /// Where.
    pub compartment: CompartmentId,
    /// Of what.
    pub quantity: Quantity,
    /// Inside, breathed, or its rate.
    pub aspect: Aspect,
    /// High or low.
    pub bound: Bound,
    /// How grave it is to be past it.
    pub severity: Severity,
    /// Where it comes from.
    pub by: LimitBy,
}

/// State of a door, hatch or clamp.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum DoorState {
    /// Open.
    Open,
    /// Shut.
    Shut,
    /// Clamp made (mated).
    Clamped,
    /// Clamp off.
    Unclamped,
}

/// A valve by where it is and what it is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum ValveName {
    /// Supply into a compartment from its lined-up bank.
    BlowDown(CompartmentId),
    /// Manual oxygen addition.
    Oxygen(CompartmentId),
    /// Main exhaust, large.
    Exhaust(CompartmentId),
    /// Bleed, small and fine.
    Bleed(CompartmentId),
    /// Drain to the holding tank or overboard.
    Drain(CompartmentId),
    /// Equalising valve across a door.
    Equalise(DoorId),
}

/// A supply line that a bank is lined up to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum LineName {
    /// Chamber supply (blow-down and make-up).
    Supply(CompartmentId),
    /// Oxygen to a compartment.
    Oxygen(CompartmentId),
    /// Masks in a compartment.
    Bibs(CompartmentId),
    /// Divers' main gas from a bell.
    DiverMain(CompartmentId),
    /// Divers' secondary gas from a bell (its on-board gas).
    DiverSecondary(CompartmentId),
}

impl LineName {
    /// All lines that can lead to a compartment.
    pub fn of(c: CompartmentId) -> [LineName; 5] {
        [
            LineName::Supply(c),
            LineName::Oxygen(c),
            LineName::Bibs(c),
            LineName::DiverMain(c),
            LineName::DiverSecondary(c),
        ]
    }

    /// The compartment that it leads to.
    pub fn compartment(self) -> CompartmentId {
        let (LineName::Supply(c)
        | LineName::Oxygen(c)
        | LineName::Bibs(c)
        | LineName::DiverMain(c)
        | LineName::DiverSecondary(c)) = self;
        c
    }
}

/// What of an analyser is turned until it shows what a bottle holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Adjusted {
    /// Its zero: shifts every reading by the same.
    Zero,
    /// Its span: every reading by the same share.
    Span,
}

/// A machine that is switched.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Machine {
    /// Scrubber fan.
    Fan,
    /// Heater and chiller.
    Climate,
    /// Automatic oxygen make-up.
    OxygenControl,
    /// Hot water to the divers.
    HotWater,
    /// Diver-gas reclaim.
    Reclaim,
    /// Chamber gas recovery.
    Recovery,
}

/// Alarm states, by the words of IEC 62682 and the transitions of OPC UA Part 9.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum AlarmState {
    /// Active and not acknowledged.
    Unacknowledged,
    /// Active and acknowledged.
    Acknowledged,
    /// Its cause is gone, and nobody has acknowledged it yet.
    ReturnedUnacknowledged,
    /// Its cause is gone, and it is acknowledged.
    Normal,
    /// Its cause is gone, it is acknowledged, and it stays until somebody resets it.
    Latched,
}

impl AlarmState {
    /// Whether it waits for somebody to acknowledge it.
    pub fn waits(self) -> bool {
        matches!(
            self,
            AlarmState::Unacknowledged | AlarmState::ReturnedUnacknowledged
        )
    }
}

/// What somebody does about an alarm. What it means for the alarm's state is OPC UA Part 9's.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum AlarmDeed {
    /// It has been seen.
    Acknowledge,
    /// It is set aside: for a time, or where none is given until its cause is gone. It still runs.
    Shelve {
        /// For how long, s.
        for_s: Option<i64>,
    },
    /// It is set aside no longer.
    Unshelve,
    /// It is kept from showing until somebody restores it.
    Suppress,
    /// It shows again.
    Restore,
    /// One that is latched is let go, its cause gone.
    Reset,
}

/// Who sits at a station.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Sitter {
    /// The automatic watch.
    #[default]
    Automatic,
    /// A person: everything is done by hand, alarms acknowledged included.
    Person,
    /// Nobody: whatever is done there is given from outside.
    Nobody,
}

/// Phases of a bell run, in order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum BellPhase {
    /// Check sheet gone through before the run.
    Checks,
    /// Divers go through the trunk into the bell.
    Transfer,
    /// Doors shut and seal held.
    Seal,
    /// Trunk vented and clamp off: lock-off.
    TrunkVented,
    /// Bell lowered to working depth.
    Lowering,
    /// Bottom door open.
    DoorOpen,
    /// First diver out.
    FirstOut,
    /// First diver back.
    FirstBack,
    /// Second diver out.
    SecondOut,
    /// Second diver back.
    SecondBack,
    /// Bottom door shut and seal held.
    BottomSeal,
    /// Bell raised and brought on board.
    Recovery,
    /// Bell set on the trunk and clamped: lock-on.
    Mating,
    /// Trunk pressed to storage.
    TrunkPressed,
    /// Divers back to their chamber.
    TransferBack,
    /// Run over.
    Done,
}

/// Why a bell run was aborted or cancelled.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Stopped {
    /// Sea over the launch limit.
    Weather,
    /// Bell checks failed.
    Checks,
    /// Too little gas in the banks.
    Gas,
    /// Gas enough, and none that the divers may breathe at the depth.
    GasUnfit,
    /// A diver asked for it or was in trouble.
    Diver,
    /// The job was aborted.
    Abort,
    /// The run before was late.
    Late,
    /// The chambers leave their depth before it could be back, or have left it.
    Leaves,
    /// The chambers, or their divers, were not at depth when it was due.
    NotAtDepth,
    /// Carbon dioxide or oxygen in the bell out of what can be breathed.
    Atmosphere,
    /// Who sits at dive control changed, and the bell stood as no run of the plan leaves it.
    Handover,
    /// Saturation control asked for the bell's recall, and dive control granted it.
    Recalled,
}

/// Where a diver is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Whereabouts {
    /// On deck at surface pressure.
    Deck,
    /// In a compartment.
    In(CompartmentId),
    /// In the water from a bell.
    Water(CompartmentId),
}

/// What a diver breathes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum BreathingPath {
    /// The gas of the compartment he is in, or air on deck.
    Ambient,
    /// A mask of the built-in breathing system.
    Bibs,
    /// Helmet on main gas.
    Main,
    /// Helmet on secondary gas.
    Secondary,
    /// Bail-out on his back.
    BailOut,
}

/// A spoken report.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Spoken {
    /// Too cold.
    Cold,
    /// Too warm.
    Hot,
    /// Short of breath, headache.
    ShortOfBreath,
    /// Gas noise heard.
    GasNoise,
    /// All well.
    Well,
    /// Seal held.
    Seal,
    /// Slow or silly answers: heard of him, not said by him.
    SlowAnswers,
    /// No answer any more: heard of him.
    NoAnswer,
    /// His mask or helmet gives no gas.
    NoGas,
    /// His ears do not clear.
    Ears,
    /// Water comes up in the bell.
    Water,
}

/// How a person stands, from well to dead. Display and training only.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Fitness {
    /// Nothing the matter.
    Well,
    /// He takes longer, and leaves things out.
    Slow,
    /// He does nothing that takes thought; a mask only if told.
    Confused,
    /// He does nothing.
    Out,
    /// Dead.
    Dead,
}

/// What a person's state comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum HarmCause {
    /// Too little oxygen.
    LowOxygen,
    /// Carbon monoxide.
    CarbonMonoxide,
    /// Carbon dioxide.
    CarbonDioxide,
    /// Too much oxygen, on the brain.
    OxygenPoisoning,
    /// Cold.
    Cold,
    /// Heat.
    Heat,
    /// Lost pressure.
    PressureLoss,
}

/// Phases of the job as the log and the limits know them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Phase {
    /// At surface pressure.
    Surface,
    /// Pressing to depth.
    Compression,
    /// Living at storage depth.
    Storage,
    /// Bleeding up.
    Decompression,
}

/// A routine of the day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Routine {
    /// Meal through the medical lock.
    Meal,
    /// Laundry and linen through the medical lock.
    Laundry,
    /// Stores, absorbent, medicine.
    Stores,
    /// Toilet flush.
    Toilet,
    /// Shower.
    Shower,
    /// Ear drops, five minutes each ear.
    EarDrops,
    /// Leak check on the way down.
    LeakCheck,
    /// Bell check sheet.
    BellChecks,
    /// Gas status sheet read by the oncoming watch.
    GasStatus,
    /// Readings of the hour taken and signed.
    Readings,
    /// The HRC read through: depth, oxygen, fan.
    HrcCheck,
}

/// What the watch finds by its panel and writes down.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Finding {
    /// ppO2 climbs though no dose was given.
    OxygenClimbs,
    /// ppO2 does not answer to doses of oxygen.
    OxygenUnanswered,
    /// Oxygen is let in by the line, for its valve does not shut, and nothing of it shows: the next dose is longer.
    OxygenLineAnswersNot,
    /// Even a long dose by the line shows nothing: the valve shuts again, and doses go by it.
    OxygenValveShuts,
    /// Analysers of one gas differ by more than their accuracy.
    AnalysersDiffer,
    /// ppO2 is outside what may be breathed while it is put right.
    OxygenEmergency,
    /// Depth is being lost.
    DepthLost,
    /// Depth climbs though nobody gives gas: the supply is shut off at the bank.
    DepthClimbs,
    /// Depth gauges of one gas differ: what the first shows is not pressed against.
    GaugesDiffer,
    /// The leak is in the chamber itself: people go to the next.
    ChamberLeaks,
    /// On the way down ppO2 has left the line of the plan: pressing stops, and the mixture is analysed.
    OffPlanLine,
    /// Depth is held again after a loss.
    DepthHeld,
    /// Gas is made up oftener than locks, flushes and cooling explain: there is a leak to be looked for.
    MakeUpRises,
    /// Of the chambers shut off from each other this one loses its depth.
    LeakHere,
    /// Shut off from each other none of the chambers loses its depth.
    NoLeakFound,
    /// A scrubber's fan that was switched on does not run.
    FanStopped,
    /// ppCO2 has stood at the rule's value for its time.
    AbsorbentSpent,
    /// A canister has run its hours by the house figure.
    AbsorbentHours,
    /// An analyser of the loop that feeds divers is beyond its alarm: they are fed by open circuit.
    LoopUnfit,
}

/// Who acted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Station {
    /// Saturation (life-support) control.
    Saturation,
    /// Dive control.
    Dive,
    /// A person at the console.
    Student,
    /// The scenario's plan of faults and events.
    Script,
}

/// Why an order was not carried out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Refused {
    /// Pressure difference across the door.
    DoorUnderPressure,
    /// Clamp still made, or trunk not vented.
    ClampInterlock,
    /// The door on the other side is open.
    OtherDoorOpen,
    /// No such thing on this spread.
    NoSuchThing,
    /// Nothing lined up, or the bank is empty.
    NoSupply,
    /// Beyond the rating of the steel.
    Rating,
    /// A person cannot do that from where he is.
    NotThere,
    /// A value out of range.
    OutOfRange,
    /// Whoever should do it is confused, out or dead, and nobody is there to lead or carry him.
    Unfit,
    /// The alarm's cause still stands.
    CauseStands,
    /// It is another station's to order; one may ask for it.
    NotYours,
    /// Nobody who is called so is there, or it makes no sense to him.
    NotForHim,
    /// Nothing has been asked that could be granted or put off.
    NothingAsked,
    /// It is busy, and enough waits for it already.
    Busy,
    /// An analyser's screw is at its end: it cannot be turned to what the bottle is said to hold.
    EndOfScrew,
    /// The bottle is said to hold none of what the analyser measures.
    HoldsNone,
    /// It is no analyser: it has no sample line, and no bottle is led to it.
    NoSampleLine,
    /// Water stands over the bell's bottom door: it is blown down first.
    UnderWater,
    /// What leaks there has no hull stop, or nothing leaks there: there is nothing to turn.
    NoStop,
}

/// Takes entries; the log, the ledger and an ensemble's counter are sinks.
pub trait Sink {
    /// Takes one entry.
    fn take(&mut self, entry: Entry);
}

impl Sink for Vec<Entry> {
    fn take(&mut self, entry: Entry) {
        self.push(entry);
    }
}

/// A sink that drops everything.
#[derive(Clone, Copy, Debug, Default)]
pub struct NoRecord;

impl Sink for NoRecord {
    fn take(&mut self, _: Entry) {}
}
