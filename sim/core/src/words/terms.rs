//! The trade's words for the closed lists of the vocabulary: quantities, purposes, phases, stations,
//! refusals and the like. A new member does not compile until it has its word.

use crate::gas::Species;
use crate::order::Activity;
use crate::record::{
    Adjusted, Because, BellPhase, Bound, BreathingPath, DoorState, Finding, Fitness, Flow,
    HarmCause, Machine, Phase, PhraseKind, Refused, Routine, RunEnd, Severity, Sitter, SoundsAt,
    Spoken, Station, Stopped,
};
use crate::units::{Channel, Duty, Purpose, Quantity, Truth};

/// Something that has a word of the trade.
pub trait Words {
    /// The word or words.
    fn words(self) -> &'static str;
}

macro_rules! words {
    ($($name:ident { $($variant:ident: $text:literal),* $(,)? })*) => {$(
        impl Words for $name {
            fn words(self) -> &'static str {
                match self { $($name::$variant => $text),* }
            }
        }
    )*};
}

words! {
    Purpose {
        BlowDown: "blow-down", MakeUp: "make-up", Oxygen: "oxygen", DiverGas: "divers' gas",
        Reclaimed: "reclaimed", Bibs: "BIBS", BellAndTrunk: "bell and trunk", TrunkVent: "trunk vent",
        BellSpill: "bell spill", LockRun: "lock runs", Flush: "flushes", Bleed: "bleed",
        Recovery: "chamber gas recovery", Leak: "leaks", Sample: "analyser samples",
        Transfer: "between compartments", Metabolism: "divers", Absorption: "absorbent", Water: "water",
        Fault: "faults", Relief: "relief valves",
    }
    Flow {
        Drawn: "drawn from banks", Returned: "back to banks", Reclaimed: "brought back by reclaim",
        Lost: "lost to sea and air", TakenIn: "taken in from sea and air", Used: "used", Made: "given off",
    }
    Quantity {
        Depth: "depth", PpO2: "ppO2", FO2: "O2", PpCo2: "ppCO2", Temperature: "temperature",
        Humidity: "humidity", GaugePressure: "pressure", SeaDepth: "sea depth",
    }
    Channel { Primary: "primary", Secondary: "secondary" }
    Bound { High: "high", Low: "low" }
    Truth { True: "true", Shown: "indicated" }
    Severity { Emergency: "emergency", Limit: "limit", Attention: "attention" }
    SoundsAt {
        SaturationControl: "saturation control", DiveControl: "dive control", Chamber: "the vessel itself",
    }
    Species {
        He: "helium", O2: "oxygen", N2: "nitrogen", Co2: "carbon dioxide", H2o: "water vapour",
        Trace: "trace contaminant",
    }
    BellPhase {
        Checks: "checks", Transfer: "transfer", Seal: "seal", TrunkVented: "trunk vented, lock-off",
        Lowering: "lowering", DoorOpen: "bottom door open", FirstOut: "first diver out",
        FirstBack: "first diver back", SecondOut: "second diver out", SecondBack: "second diver back",
        BottomSeal: "bottom seal", Recovery: "recovery", Mating: "lock-on", TrunkPressed: "trunk pressed",
        TransferBack: "transfer back", Done: "run over",
    }
    Stopped {
        Weather: "weather", Checks: "checks failed", Gas: "too little gas", GasUnfit: "divers' gas unfit for the depth",
        Diver: "a diver", Abort: "job aborted", Late: "run before was late",
        Leaves: "chambers leave their depth", NotAtDepth: "chambers not at depth",
        Atmosphere: "the bell's atmosphere", Handover: "change of the watch",
        Recalled: "saturation control asked for the recall",
    }
    RunEnd { Made: "made", Aborted: "aborted", Cancelled: "cancelled", Running: "still out" }
    Phase {
        Surface: "at surface", Compression: "compression", Storage: "storage", Decompression: "decompression",
    }
    DoorState { Open: "open", Shut: "shut", Clamped: "clamp made", Unclamped: "clamp off" }
    Machine {
        Fan: "scrubber fan", Climate: "climate unit", OxygenControl: "oxygen make-up", HotWater: "hot water",
        Reclaim: "reclaim", Recovery: "chamber gas recovery",
    }
    BreathingPath {
        Ambient: "off BIBS", Bibs: "on BIBS", Main: "on main gas", Secondary: "on secondary gas",
        BailOut: "on bail-out",
    }
    Spoken {
        Cold: "cold", Hot: "too warm", ShortOfBreath: "short of breath", GasNoise: "gas noise",
        Well: "all well", Seal: "seal held", SlowAnswers: "slow or silly answers", NoAnswer: "no answer",
        NoGas: "no gas", Ears: "ears do not clear", Water: "water comes up in the bell",
    }
    Because {
        BellAway: "the bell is away", BellHome: "the bell is home and nobody is in it",
        TrunkShut: "the trunk is not open", Plan: "the bell goes by the plan of its runs",
        Sea: "the sea is over the launch limit", LevelMoves: "the chambers do not hold their depth now",
        Kept: "depth and gas are kept by saturation control", Washing: "somebody washes", Said: "no reason given",
    }
    PhraseKind {
        HowAreYou: "how are you", Listen: "listen for gas", HeadCount: "head count", BibsOn: "on BIBS",
        BibsOff: "off BIBS", ReadYourGauge: "read your gauge", CheckValve: "check that a valve is shut",
        LeaveFor: "leave for", ComeBack: "come back", OnBoardGas: "on-board gas", BailOut: "bail-out",
        StandBy: "stand by", Ask: "permission asked", RequestGranted: "request granted", Wait: "wait",
        TreatmentAdvice: "treatment advice", Abandon: "abandoning the ship", Weather: "weather",
        Position: "position", ReadBank: "read the gauge at the bank", GasDelivery: "gas delivery",
        Inform: "for information, see the log",
    }
    Activity {
        Sleep: "in his bunk", Rest: "resting", Chores: "up and about", Exercise: "at exercise",
        Bellman: "tending", WaterRest: "not at work", WaterLight: "at light work",
        WaterModerate: "at work", WaterHeavy: "at heavy work",
    }
    Fitness { Well: "well", Slow: "slow", Confused: "confused", Out: "out", Dead: "dead" }
    HarmCause {
        LowOxygen: "low oxygen", CarbonMonoxide: "carbon monoxide", CarbonDioxide: "carbon dioxide",
        OxygenPoisoning: "oxygen poisoning", Cold: "cold", Heat: "heat", PressureLoss: "lost pressure",
    }
    Routine {
        Meal: "meal", Laundry: "laundry", Stores: "equipment-lock run", Toilet: "toilet flush", Shower: "shower",
        EarDrops: "ear drops", LeakCheck: "leak check", BellChecks: "bell check sheet",
        GasStatus: "gas status read", Readings: "readings taken",
        HrcCheck: "HRC checked",
    }
    Finding {
        OxygenClimbs: "ppO2 climbs without a dose", OxygenUnanswered: "ppO2 does not answer to oxygen",
        OxygenLineAnswersNot: "no oxygen shows by the line, the next dose is longer",
        OxygenValveShuts: "the oxygen valve shuts again, doses go by it",
        AnalysersDiffer: "oxygen analysers differ", OxygenEmergency: "ppO2 beyond the emergency range",
        DepthClimbs: "depth climbs with no gas given, supply shut off at the bank",
        DepthLost: "depth is being lost", GaugesDiffer: "depth gauges differ, no pressing by the first",
        ChamberLeaks: "the leak is here, out to the next chamber", FanStopped: "scrubber fan found stopped",
        OffPlanLine: "ppO2 off the line of the plan, pressing stopped",
        DepthHeld: "depth held again", MakeUpRises: "made up oftener than locks, drains and cooling explain, leak looked for",
        LeakHere: "shut off by itself it loses depth, the leak is here",
        NoLeakFound: "shut off from each other none loses depth, no leak found",
        AbsorbentSpent: "absorbent due, ppCO2 has stood at the rule's value for its time",
        AbsorbentHours: "absorbent due, hours by the house figure",
        LoopUnfit: "loop gas beyond its alarm, divers on open circuit",
    }
    Station {
        Saturation: "saturation control", Dive: "dive control", Student: "the person on watch",
        Script: "the plan of events",
    }
    Refused {
        DoorUnderPressure: "door under pressure", ClampInterlock: "clamp interlock",
        OtherDoorOpen: "other door open", NoSuchThing: "no such thing here", NoSupply: "no supply",
        Rating: "beyond the rating", NotThere: "not there", OutOfRange: "out of range",
        Unfit: "not fit to do it", CauseStands: "its cause still stands", Busy: "enough waits for it already",
        EndOfScrew: "the screw is at its end: the gas is not what the bottle is said to hold, or the analyser is done",
        HoldsNone: "the bottle is said to hold none of it, and a span wants a gas that has some",
        NoSampleLine: "it is no analyser with a sample line",
        NotYours: "another station's to order", NotForHim: "makes no sense to whoever is called",
        NothingAsked: "nothing has been asked",
        UnderWater: "water stands over it", NoStop: "no hull stop there stops what leaks",
    }
    Adjusted { Zero: "zero", Span: "span" }
    Sitter { Automatic: "the automatic watch", Person: "a person", Nobody: "nobody" }
    Duty {
        BottomMix: "bottom mix", DiverGas: "divers' gas", Oxygen: "oxygen", Treatment: "treatment gas",
        Emergency: "emergency gas", Helium: "helium", Air: "air", Calibration: "calibration gas",
        OnBoard: "on-board gas", Recovered: "recovered gas",
    }
}

/// The formula of a species as a gas chip and a column head carry it.
pub fn formula(species: Species) -> &'static str {
    match species {
        Species::He => "He",
        Species::O2 => "O2",
        Species::N2 => "N2",
        Species::Co2 => "CO2",
        Species::H2o => "H2O",
        Species::Trace => "trace",
    }
}
