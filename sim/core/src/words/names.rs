//! What things on board and people are called: whoever knows their names by their ids can put places,
//! valves, lines, whereabouts and alarms into words.

use super::terms::Words;
use crate::record::{
    Answer, Aspect, BreathingLine, Callee, LimitBy, LimitName, LineName, Phrase, Request, Sounds,
    ValveName, Whereabouts, counted,
};
use crate::units::{BankId, CompartmentId, DiverId, DoorId, Place, Quantity, Units, fixed};

/// Whoever knows the names. What has none is called by its kind and number.
pub trait Names {
    /// Name of a compartment as on the panel.
    fn compartment_name(&self, id: CompartmentId) -> Option<&str>;

    /// Name of a bank as painted.
    fn bank_name(&self, id: BankId) -> Option<&str>;

    /// Name of a door.
    fn door_name(&self, id: DoorId) -> Option<&str>;

    /// A diver's initials.
    fn diver_initials(&self, id: DiverId) -> Option<&str>;

    /// The compartment that a door belongs to.
    fn compartment_of(&self, door: DoorId) -> Option<CompartmentId>;

    /// A compartment in words.
    fn compartment(&self, id: CompartmentId) -> String {
        named(self.compartment_name(id), "compartment", id.index())
    }

    /// A bank in words.
    fn bank(&self, id: BankId) -> String {
        named(self.bank_name(id), "bank", id.index())
    }

    /// A door in words.
    fn door(&self, id: DoorId) -> String {
        named(self.door_name(id), "door", id.index())
    }

    /// A diver in words.
    fn initials(&self, id: DiverId) -> String {
        named(self.diver_initials(id), "diver", id.index())
    }

    /// A place in words.
    fn place(&self, place: Place) -> String {
        match place {
            Place::Bank(b) => format!("bank {}", self.bank(b)),
            Place::Compartment(c) => self.compartment(c),
            Place::Atmosphere => "air on deck".into(),
            Place::Sea => "sea".into(),
            Place::Body => "divers".into(),
            Place::Absorbent(c) => format!("absorbent of {}", self.compartment(c)),
            Place::Drained(c) => format!("drained from {}", self.compartment(c)),
            Place::LiquidWater => "liquid water".into(),
        }
    }

    /// A valve in words.
    fn valve(&self, valve: ValveName) -> String {
        match valve {
            ValveName::BlowDown(c) => format!("{} blow-down", self.compartment(c)),
            ValveName::Oxygen(c) => format!("{} oxygen", self.compartment(c)),
            ValveName::Exhaust(c) => format!("{} exhaust", self.compartment(c)),
            ValveName::Bleed(c) => format!("{} bleed", self.compartment(c)),
            ValveName::Drain(c) => format!("{} drain", self.compartment(c)),
            ValveName::Equalise(d) => format!("{} equalising", self.door(d)),
        }
    }

    /// A supply line in words, without the compartment that it serves.
    fn line(&self, line: LineName) -> &'static str {
        match line {
            LineName::Supply(_) => "supply",
            LineName::Oxygen(_) => "oxygen",
            LineName::Bibs(_) => "BIBS",
            LineName::DiverMain(_) => "divers' main gas",
            LineName::DiverSecondary(_) => "divers' secondary gas",
        }
    }

    /// Where a diver went, in words.
    fn whereabouts(&self, to: Whereabouts) -> String {
        match to {
            Whereabouts::Deck => "to the deck".into(),
            Whereabouts::In(c) => format!("to {}", self.compartment(c)),
            Whereabouts::Water(_) => "into the water".into(),
        }
    }

    /// A limit in words: where, of what, on which side and how grave.
    fn limit(&self, name: &LimitName) -> String {
        let severity = name.severity.words();
        format!(
            "{} {} ({severity})",
            self.compartment(name.compartment),
            limit_words(name)
        )
    }

    /// Where an alarm sounds, in words.
    fn sounds(&self, sounds: Sounds) -> String {
        let places: Vec<&str> = sounds.places().map(Words::words).collect();
        places.join(", ")
    }

    /// Somebody who is called, in words.
    fn callee(&self, callee: Callee) -> String {
        match callee {
            Callee::DiveControl => "dive control".into(),
            Callee::SaturationControl => "saturation control".into(),
            Callee::OutsideHand => "outside hand".into(),
            Callee::Diver(d) => self.initials(d),
            Callee::Place(c) => self.compartment(c),
            Callee::Bridge => "bridge".into(),
            Callee::Superintendent => "superintendent".into(),
            Callee::Doctor => "diving doctor".into(),
        }
    }

    /// What is asked for, in words.
    fn request(&self, request: Request) -> String {
        match request {
            Request::Transfer(d) => format!("transfer of {}", self.initials(d)),
            Request::Mate(c) => format!("mating of {}", self.compartment(c)),
            Request::Lower(c) => format!("lowering of {}", self.compartment(c)),
            Request::Recall(c) => format!("recall of {}", self.compartment(c)),
            Request::Pressure(c) => format!("gas in or out of {}", self.compartment(c)),
            Request::Door(d) => format!("door {}", self.door(d)),
            Request::Lock(c) => format!("lock run of {}", self.compartment(c)),
        }
    }

    /// What is said, in words.
    fn phrase(&self, phrase: Phrase) -> String {
        let plain = phrase.kind().words();
        match phrase {
            Phrase::ReadYourGauge(Quantity::GaugePressure) => "read your bail-out".into(),
            Phrase::ReadYourGauge(quantity) => format!("read your {}", quantity.words()),
            Phrase::CheckValve(valve) => format!("check that {} is shut", self.valve(valve)),
            Phrase::LeaveFor(c) => format!("leave for {}", self.compartment(c)),
            Phrase::ReadBank(b) => format!("read the gauge at bank {}", self.bank(b)),
            Phrase::Ask(request) => format!("permission for {}", self.request(request)),
            Phrase::HowAreYou
            | Phrase::Listen
            | Phrase::HeadCount
            | Phrase::BibsOn
            | Phrase::BibsOff
            | Phrase::ComeBack
            | Phrase::OnBoardGas
            | Phrase::BailOut
            | Phrase::StandBy
            | Phrase::RequestGranted
            | Phrase::Wait
            | Phrase::TreatmentAdvice
            | Phrase::Abandon
            | Phrase::Weather
            | Phrase::Position
            | Phrase::GasDelivery
            | Phrase::Inform => plain.into(),
        }
    }

    /// What comes back, in words.
    fn answer(&self, answer: Answer, units: Units) -> String {
        match answer {
            Answer::Nothing => "no answer".into(),
            Answer::Is(report) => report.words().into(),
            Answer::Noise(true) => "I hear gas".into(),
            Answer::Noise(false) => "no gas to be heard".into(),
            Answer::Heads(0) => "nobody here".into(),
            Answer::Heads(bits) => {
                let who: Vec<String> = counted(bits).map(|d| self.initials(d)).collect();
                format!("{} here: {}", who.len(), who.join(", "))
            }
            Answer::Reads(quantity, value) => {
                let text = units.scale(quantity).plain_text(value);
                format!("{} {text}", quantity.words())
            }
            Answer::NoGauge(quantity) => format!("nothing here to read {} by", quantity.words()),
            Answer::Valve(0.0) => "it is shut".into(),
            Answer::Valve(opening) => {
                format!("found open {} %, shut now", fixed(opening * 100.0, 0))
            }
            Answer::Passes => "it is shut and gas passed it, inboard hull stop shut now".into(),
            Answer::Done => "done".into(),
            Answer::Understood => "understood".into(),
            Answer::Cannot(why) => format!("cannot: {}", why.words()),
            Answer::Silly => "words that make no sense".into(),
            Answer::Granted => "granted".into(),
            Answer::Waits(why) => format!("wait: {}", why.words()),
            Answer::DoctorsWord => {
                "treatment is the diving doctor's word; nothing is prescribed here".into()
            }
            Answer::MastersWord => "abandoning her is the master's word, and not given".into(),
            Answer::Sea(hs_m, over) => {
                let limit = if over { "over" } else { "within" };
                format!("waves {} m, {limit} the launch limit", fixed(hs_m, 1))
            }
            Answer::OnPosition => "on position".into(),
            Answer::NoDelivery => "no delivery is in the plan".into(),
        }
    }
}

fn named(name: Option<&str>, kind: &str, number: usize) -> String {
    name.map_or_else(|| format!("{kind} {number}"), str::to_owned)
}

/// What a limit is of, in words.
pub fn limited(name: &LimitName) -> &'static str {
    match (name.by, name.aspect, name.quantity) {
        (LimitBy::Rating, ..) => "depth against the rating",
        (_, Aspect::Supply(BreathingLine::Bibs), _) => "BIBS supply",
        (_, Aspect::Supply(BreathingLine::Main), _) => "divers' main supply",
        (_, Aspect::Supply(BreathingLine::Secondary), _) => "divers' secondary supply",
        (_, Aspect::Water, _) => "gas short of the sea",
        // What a loop's alarm of its tank goes by is a depth gauge.
        (LimitBy::SetPoint, Aspect::Inside, Quantity::Depth) => "pressure",
        (LimitBy::Row(_) | LimitBy::SetPoint | LimitBy::Panel(_), Aspect::Inside, quantity) => {
            quantity.words()
        }
        (_, Aspect::Breathed, Quantity::PpO2) => "ppO2 breathed",
        (_, Aspect::Breathed, Quantity::PpCo2) => "ppCO2 breathed",
        (_, Aspect::Breathed, _) => "gas breathed",
        (_, Aspect::Rate, Quantity::Depth) => "rate of depth",
        (_, Aspect::Rate, _) => "rate",
    }
}

/// A limit in words without its place: of what, and on which side.
pub fn limit_words(name: &LimitName) -> String {
    format!("{} {}", limited(name), name.bound.words())
}

/// The unit that a limit is printed in, in plain letters.
pub fn limit_unit(name: &LimitName, units: Units) -> String {
    let plain = units.scale(name.quantity).plain;
    match name.aspect {
        Aspect::Rate => format!("{plain}/min"),
        Aspect::Inside | Aspect::Breathed | Aspect::Supply(_) | Aspect::Water => plain.to_owned(),
    }
}
