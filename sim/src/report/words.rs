//! The trade's words for what the record names.

use super::inputs::Subject;
use crate::gas::Species;
use crate::plant::Duty;
use crate::record::{
    AlarmSource, BellPhase, BreathingPath, DoorState, Flow, Machine, Phase, Refused, Routine,
    RunEnd, Seat, Side, Spoken, Stopped, ValveName, Whereabouts,
};
use crate::units::*;

/// Something that a page can say in words.
pub trait Words {
    /// The words.
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
        Transfer: "between compartments", Metabolism: "bodies", Absorption: "absorbent", Water: "water",
        Fault: "faults",
    }
    Flow {
        Drawn: "drawn from banks", Returned: "back to banks", Lost: "lost to sea and air",
        TakenIn: "taken in from the air", Used: "used", Made: "given off",
    }
    Quantity {
        Depth: "depth", PpO2: "ppO2", FO2: "O2", PpCo2: "ppCO2", Temperature: "temperature",
        Humidity: "humidity", GaugePressure: "pressure", SeaDepth: "sea depth",
    }
    Side { High: "high", Low: "low" }
    Truth { True: "true", Shown: "shown" }
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
        Weather: "weather", Checks: "checks failed", Gas: "divers' gas unfit or too little",
        Diver: "a diver", Abort: "job broken off", Late: "run before was late",
        Leaves: "chambers leave their depth", NotAtDepth: "chambers not at depth",
        Atmosphere: "the bell's atmosphere",
    }
    RunEnd { Made: "made", BrokenOff: "broken off", Missed: "not made", Running: "still out" }
    Phase {
        Surface: "at surface", Compression: "compression", Storage: "storage", Decompression: "decompression",
    }
    DoorState { Open: "open", Shut: "shut", Clamped: "clamp made", Unclamped: "clamp off" }
    Machine {
        Fan: "scrubber fan", Climate: "climate unit", OxygenControl: "oxygen make-up", HotWater: "hot water",
        Reclaim: "reclaim", Recovery: "chamber gas recovery",
    }
    BreathingPath {
        Ambient: "off masks", Bibs: "on BIBS", Main: "on main gas", Secondary: "on secondary gas",
        BailOut: "on bail-out",
    }
    Spoken {
        Cold: "cold", Hot: "too warm", ShortOfBreath: "short of breath", GasNoise: "gas noise",
        Well: "all well", Seal: "seal held",
    }
    Routine {
        Meal: "meal", Laundry: "laundry", Stores: "stores", Toilet: "toilet flush", Shower: "shower",
        EarDrops: "ear drops", LeakCheck: "leak check", BellChecks: "bell check sheet",
        GasStatus: "gas status read",
    }
    Seat {
        Saturation: "saturation control", Dive: "dive control", Student: "the person on watch",
        Script: "the plan of events",
    }
    Refused {
        DoorUnderPressure: "door under pressure", ClampInterlock: "clamp interlock",
        OtherDoorOpen: "other door open", NoSuchThing: "no such thing here", NoSupply: "no supply",
        Rating: "beyond the rating", NotThere: "not there", OutOfRange: "out of range",
    }
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

impl Subject {
    /// Name of a compartment.
    pub fn vessel(&self, id: CompartmentId) -> String {
        self.vessels
            .get(id.index())
            .map_or_else(|| format!("compartment {}", id.0), |v| v.name.clone())
    }

    /// Name of a bank.
    pub fn bank(&self, id: BankId) -> String {
        self.banks
            .get(id.index())
            .map_or_else(|| format!("bank {}", id.0), |b| b.name.clone())
    }

    /// Name of a door.
    pub fn door(&self, id: DoorId) -> String {
        self.doors
            .get(id.index())
            .cloned()
            .unwrap_or_else(|| format!("door {}", id.0))
    }

    /// Initials of a diver.
    pub fn initials(&self, id: DiverId) -> String {
        self.crew
            .get(id.index())
            .cloned()
            .unwrap_or_else(|| format!("diver {}", id.0))
    }

    /// A place in words.
    pub fn place(&self, place: Place) -> String {
        match place {
            Place::Bank(b) => format!("bank {}", self.bank(b)),
            Place::Compartment(c) => self.vessel(c),
            Place::Atmosphere => "air on deck".into(),
            Place::Sea => "sea".into(),
            Place::Body => "bodies".into(),
            Place::Absorbent(c) => format!("absorbent of {}", self.vessel(c)),
            Place::ReclaimAbsorbent => "absorbent of the reclaim".into(),
            Place::Drained(c) => format!("drained from {}", self.vessel(c)),
            Place::LiquidWater => "liquid water".into(),
        }
    }

    /// A valve in words.
    pub fn valve(&self, valve: ValveName) -> String {
        match valve {
            ValveName::BlowDown(c) => format!("{} blow-down", self.vessel(c)),
            ValveName::Oxygen(c) => format!("{} oxygen", self.vessel(c)),
            ValveName::Exhaust(c) => format!("{} exhaust", self.vessel(c)),
            ValveName::Bleed(c) => format!("{} bleed", self.vessel(c)),
            ValveName::Drain(c) => format!("{} drain", self.vessel(c)),
            ValveName::Equalise(d) => format!("{} equalising", self.door(d)),
        }
    }

    /// Where a diver went, in words.
    pub fn whereabouts(&self, to: Whereabouts) -> String {
        match to {
            Whereabouts::Deck => "to the deck".into(),
            Whereabouts::In(c) => format!("to {}", self.vessel(c)),
            Whereabouts::Water(_) => "into the water".into(),
        }
    }

    /// What an alarm speaks of, in words.
    pub fn alarm(&self, source: AlarmSource) -> String {
        match source {
            AlarmSource::Reading(c, q, side) => {
                format!("{} {} {}", self.vessel(c), q.words(), side.words())
            }
            AlarmSource::Bank(b) => format!("bank {} low", self.bank(b)),
        }
    }
}
