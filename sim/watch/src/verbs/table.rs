//! The table: each verb with its words, its key, the station it belongs to, the parts of its line, and what it does.

use deepstay_core::record::Station;

macro_rules! verbs {
    ($($verb:ident $name:literal $also:tt $key:literal $at:ident [$($part:ident)*] $does:literal, $example:literal;)*) => {
        /// A verb.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Verb {
            $(#[doc = $does] $verb,)*
        }

        /// Every verb, in the order they are shown in.
        pub const TABLE: &[VerbInfo] = &[
            $(VerbInfo {
                verb: Verb::$verb,
                name: $name,
                also: &$also,
                key: $key,
                at: At::$at,
                parts: &[$(Part::$part),*],
                does: $does,
                example: $example,
            },)*
        ];
    };
}

verbs! {
    MakeUp "make-up" ["makeup"] 'm' Either [Vessel Opening] "opens or shuts the supply valve to make up depth", "make-up living 10 %";
    BlowDown "blow-down" ["blowdown"] 'p' Either [Vessel Opening] "opens or shuts the supply valve to press", "blow-down living half";
    Bleed "bleed" [] 'b' Either [Vessel Opening] "opens or shuts the bleed", "bleed living 20 %";
    Exhaust "exhaust" [] 'x' Either [Vessel Opening] "opens or shuts the large exhaust", "exhaust trunk full";
    Stop "stop" [] 's' Either [Vessel] "shuts every supply, bleed and exhaust of a vessel", "stop living";
    Oxygen "oxygen" [] 'o' Either [Vessel Opening For] "opens the oxygen valve by hand, for a time or until it is shut", "oxygen living quarter for 20 s";
    AutoOxygen "auto-oxygen" [] 'O' Either [Vessel SetOrOff Band] "sets the automatic oxygen make-up, or switches it off", "auto-oxygen living 0.40 bar band 0.01 bar";
    Trickle "trickle" [] 'E' Either [Vessel Flow] "sets the oxygen's needle valve by its meter, to a flow of free gas", "trickle living 3 L/min";
    Drain "drain" [] '/' Either [Vessel Opening For] "opens or shuts a drain", "drain transfer half for 3 s";
    Equalise "equalise" [] 'e' Either [Door Opening] "opens or shuts the equalising valve of a door", "equalise bell hatch 20 %";
    LineUp "line-up" ["lineup"] 'l' Either [Line Bank] "lines a bank up to a line", "line-up supply living M-1";
    Isolate "isolate" [] 'i' Either [Line] "shuts a line off at its bank", "isolate oxygen living";
    BankStop "bank-stop" [] 'B' Either [Bank OpenShut] "shuts or opens the stop of a bank, whatever it is lined up to", "bank-stop M-1 shut";
    Regulator "regulator" [] 'G' Either [Line Over] "sets the regulator of a line, over the pressure behind it", "regulator supply living 12 bar";
    Open "open" [] 'd' Either [Door] "has a door opened", "open transfer to trunk";
    Shut "shut" [] 'D' Either [Door] "has a door shut", "shut transfer to trunk";
    Clamp "clamp" [] '=' Dive [Door OnOff] "makes or breaks a clamp", "clamp bell hatch off";
    Fan "fan" [] 'n' Either [Vessel OnOff] "switches a scrubber fan", "fan living off";
    Absorbent "absorbent" ["canister"] 'N' Either [Vessel] "has a diver put fresh absorbent in", "absorbent living";
    Climate "climate" [] 't' Either [Vessel ClimateSet] "sets temperature and humidity, or switches the climate unit", "climate living 29 degC 60 %";
    Recovery "recovery" [] '^' Saturation [Vessel OnOff] "switches the recovery of chamber gas", "recovery living on";
    HotWater "hot-water" [] 'w' Dive [Vessel OnOff] "switches hot water to a bell and its divers", "hot-water bell on";
    Reclaim "reclaim" [] 'r' Dive [Vessel OnOff] "switches a bell's divers to the reclaim loop, or off it", "reclaim bell off";
    Analyse "analyse" [] 'z' Either [Bank] "takes a sample of a bank to the analyser", "analyse M-1";
    Calibrate "calibrate" [] 'k' Either [Instrument] "calibrates an analyser or gauge, as found and as left", "calibrate living ppO2 second";
    Zero "zero" [] 'Z' Either [Instrument By] "sets an analyser's zero by a bottle, to what that is said to hold", "zero living ppO2 by C-1";
    Span "span" [] 'K' Either [Instrument By] "sets an analyser's span by a bottle, to what that is said to hold", "span living ppO2 by C-1";
    SamplePoint "sample" ["sample-point"] 'P' Either [Instrument From] "switches an analyser to another vessel's sample line, or to its own", "sample living ppO2 second from transfer";
    HullStop "hull-stop" [] 'h' Either [Vessel OpenShut] "sends an outside hand to the hull stop of what leaks", "hull-stop transfer shut";
    InboardStop "inboard-stop" [] 'I' Either [Diver OpenShut] "has a diver shut the hull stop of what leaks from where he is", "inboard-stop AB shut";
    Gag "gag" [] '%' Either [Vessel OpenShut] "shuts or opens the gag valve before a relief valve", "gag living shut";
    Bibs "bibs" [] 'v' Either [VesselOrDiver OnOff] "has everybody in a vessel, or one diver, on BIBS or off", "bibs living on";
    Breathe "breathe" [] '*' Dive [Diver Path] "has a diver change what he breathes from", "breathe AB secondary";
    Send "send" [] 'g' Either [Diver Place] "sends a diver to a vessel, into the water, or to the deck", "send AB transfer";
    Shower "shower" [] ';' Saturation [Diver Vessel] "has a diver wash", "shower AB transfer";
    LockRun "lock-run" [] 'M' Saturation [Vessel Load] "has a hand take a run through a lock, in and out", "lock-run medical lock meal";
    Camera "camera" [] 'V' Either [Vessel] "looks into a vessel by its camera; it has blind corners", "camera living";
    BailOut "bail-out" ["bailout"] '!' Dive [Diver] "exchanges a diver's bail-out for a full one", "bail-out AB";
    Bell "bell" [] 'L' Dive [BellTo] "sends the bell to a depth, or up to the deck", "bell to 58 msw";
    Compression "compression" [] 'C' Saturation [Vessel Depth] "says that a level is to be pressed to a depth: its limits follow", "compression living 60 msw";
    Storage "storage" [] 'S' Saturation [Vessel Depth] "says that a level is held at a depth: its limits follow", "storage living 60 msw";
    Decompression "decompression" [] 'U' Saturation [Vessel Depth] "says that a level comes up, and the depth it now is to have", "decompression living 54 msw";
    Surface "surface" [] '_' Saturation [Vessel] "says that a level is at the surface", "surface living";
    Acknowledge "ack" ["acknowledge"] 'a' Either [AlarmOrAll] "acknowledges an alarm by its number, or all that sound here", "ack all";
    Silence "silence" [] 'q' Either [] "silences the sounder; lamps stay, and what is new sounds again", "silence";
    Shelve "shelve" [] 'y' Either [Alarm Until] "sets an alarm aside for a time, or once until its cause is gone", "shelve 1 for 20 min";
    Unshelve "unshelve" [] 'Y' Either [Alarm] "has a shelved alarm show again", "unshelve 1";
    Suppress "suppress" [] '|' Either [Alarm] "keeps an alarm from showing until it is restored", "suppress 1";
    Restore "restore" [] ',' Either [Alarm] "has a suppressed alarm show again", "restore 1";
    Reset "reset" [] '.' Either [Alarm] "lets go an alarm that is latched, its cause gone", "reset 1";
    Write "write" ["note"] 'j' Either [Words] "writes into the log", "write leak suspected at the drain";
    Row "row" ["readings"] 'R' Either [Vessel] "signs the row of readings of a vessel", "row living";
    Call "call" [] '@' Either [Call] "calls a diver, everybody in a vessel, the other station or those outside; the answer is heard later, or not at all", "call AB how-are-you";
    Ask "ask" [] '&' Either [Request] "asks the other station for what is its to order", "ask recall Bell";
    Tick "tick" [] 'X' Either [Sheet Item] "marks an item of a sheet as gone through, or all of them", "tick daily 2";
    Sign "sign" [] 'W' Either [Sheet] "signs a sheet, once every item of it is gone through", "sign daily";
    Take "take" [] 'T' Either [Station] "sits down at a station", "take saturation";
    HandOver "hand-over" ["handover"] 'H' Either [Station] "gives a station to the automatic watch", "hand-over saturation";
    Leave "leave" [] '~' Either [Station] "leaves a station to nobody", "leave dive";
}

/// Where a verb belongs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum At {
    /// Either station, for what is its own.
    Either,
    /// Saturation control.
    Saturation,
    /// Dive control.
    Dive,
}

impl At {
    /// Whether a person at a station may say it.
    pub fn is_at(self, station: Station) -> bool {
        match self {
            At::Either => matches!(station, Station::Saturation | Station::Dive),
            At::Saturation => station == Station::Saturation,
            At::Dive => station == Station::Dive,
        }
    }
}

/// A part of a verb's line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// A vessel by its name.
    Vessel,
    /// A vessel, or a diver.
    VesselOrDiver,
    /// A door by its name.
    Door,
    /// A bank by its name.
    Bank,
    /// A line: what it is for, and the vessel it leads to.
    Line,
    /// A diver by his initials.
    Diver,
    /// A vessel, `water` or `deck`.
    Place,
    /// A path: `bell` gas, `main`, `secondary`, `bibs` or `bail-out`.
    Path,
    /// An opening: percent, or `crack`, `quarter`, `half`, `full`, `shut`.
    Opening,
    /// `on` or `off`.
    OnOff,
    /// `open` or `shut`.
    OpenShut,
    /// A flow of free gas.
    Flow,
    /// A pressure over that behind a regulator.
    Over,
    /// `by` and a bank.
    By,
    /// `from` and a vessel, or `own`.
    From,
    /// `meal`, `laundry` or `stores`.
    Load,
    /// A sheet by its name.
    Sheet,
    /// An item of a sheet by its number, or `all`.
    Item,
    /// `for` and a time; may be left out.
    For,
    /// A ppO2, or `off`.
    SetOrOff,
    /// `band` and a ppO2; may be left out.
    Band,
    /// A temperature and, where wanted, a humidity; or `on`, `off`.
    ClimateSet,
    /// A vessel, a quantity and, where wanted, `second`.
    Instrument,
    /// `to` and a depth, or `up`.
    BellTo,
    /// A depth.
    Depth,
    /// An alarm by its number on the list.
    Alarm,
    /// An alarm by its number, or `all`.
    AlarmOrAll,
    /// `for` and a time, or `once`.
    Until,
    /// Words.
    Words,
    /// Somebody to call, and what is said to him.
    Call,
    /// What belongs to the other station.
    Request,
    /// `saturation` or `dive`.
    Station,
}

impl Part {
    /// How it stands in a line's form.
    pub fn form(self) -> &'static str {
        match self {
            Part::Vessel => "VESSEL",
            Part::VesselOrDiver => "VESSEL|DIVER",
            Part::Door => "DOOR",
            Part::Bank => "BANK",
            Part::Line => "LINE VESSEL",
            Part::Diver => "DIVER",
            Part::Place => "VESSEL|water|deck",
            Part::Path => "bell|main|secondary|bibs|bail-out",
            Part::Opening => "PERCENT|crack|quarter|half|full|shut",
            Part::OnOff => "on|off",
            Part::OpenShut => "open|shut",
            Part::Flow => "FLOW",
            Part::Over => "PRESSURE",
            Part::By => "by BANK",
            Part::From => "from VESSEL|own",
            Part::Load => "meal|laundry|stores",
            Part::Sheet => "SHEET",
            Part::Item => "ITEM|all",
            Part::For => "[for TIME]",
            Part::SetOrOff => "PPO2|off",
            Part::Band => "[band PPO2]",
            Part::ClimateSet => "TEMPERATURE [HUMIDITY]|on|off",
            Part::Instrument => "VESSEL QUANTITY [second]",
            Part::BellTo => "to DEPTH|up",
            Part::Depth => "DEPTH",
            Part::Alarm => "ALARM",
            Part::AlarmOrAll => "ALARM|all",
            Part::Until => "for TIME|once",
            Part::Words => "WORDS",
            Part::Call => "DIVER|VESSEL|saturation|dive|bridge|superintendent|doctor|deck PHRASE",
            Part::Request => {
                "transfer DIVER|mate BELL|lower BELL|recall BELL|gas VESSEL|door DOOR|lock VESSEL"
            }
            Part::Station => "saturation|dive",
        }
    }
}

/// What is known of a verb.
#[derive(Clone, Copy, Debug)]
pub struct VerbInfo {
    /// Which.
    pub verb: Verb,
    /// Its word.
    pub name: &'static str,
    /// Other words for it.
    pub also: &'static [&'static str],
    /// Its key.
    pub key: char,
    /// Where it belongs.
    pub at: At,
    /// The parts of its line after the word.
    pub parts: &'static [Part],
    /// What it does.
    pub does: &'static str,
    /// A line of it.
    pub example: &'static str,
}

impl VerbInfo {
    /// The form of its line.
    pub fn form(&self) -> String {
        let parts = self.parts.iter().map(|p| format!(" {}", p.form()));
        format!("{}{}", self.name, parts.collect::<String>())
    }

    /// What its key writes into an order line, with the vessel chosen where one comes first; nothing of a verb that wants
    /// no more than its word.
    pub fn begun(&self, vessel: &str) -> Option<String> {
        Some(match self.parts.first()? {
            Part::Vessel | Part::VesselOrDiver | Part::Instrument => {
                format!("{} {vessel} ", self.name)
            }
            _ => format!("{} ", self.name),
        })
    }
}

/// What is known of a verb.
pub fn info(verb: Verb) -> &'static VerbInfo {
    &TABLE[verb as usize]
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_word_and_key_stands_once() {
        let mut words = BTreeSet::new();
        let mut keys = BTreeSet::new();
        for (k, row) in TABLE.iter().enumerate() {
            assert_eq!(row.verb as usize, k, "{}", row.name);
            for word in std::iter::once(&row.name).chain(row.also) {
                assert!(words.insert(*word), "{word}");
                assert!(!word.contains(' '), "{word}");
            }
            assert!(keys.insert(row.key), "{:?}", row.key);
            assert!(!row.does.ends_with('.') && !row.does.is_empty());
            assert!(row.example.starts_with(row.name), "{}", row.example);
        }
    }
}
