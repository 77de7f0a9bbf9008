//! Calls between people: whom a station calls, what it says, and what comes back over the speaker.
//!
//! What makes sense to whom is one list, [`Callee::understands`], which the check of an act, the order line's
//! completion and the file of answers go by. Who may order and who may only ask is here too: a [`Request`] names
//! what belongs to one station.

use super::{Refused, Spoken, Station, ValveName};
use crate::units::*;
use serde::{Deserialize, Serialize};

/// Somebody whom a station calls.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Callee {
    /// The other station: of saturation control, dive control.
    DiveControl,
    /// A hand on deck, who goes to the vessel or to the bank.
    OutsideHand,
    /// The other station: of dive control, saturation control.
    SaturationControl,
    /// One diver.
    Diver(DiverId),
    /// Everybody in a vessel.
    Place(CompartmentId),
    /// The bridge.
    Bridge,
    /// The superintendent.
    Superintendent,
    /// The diving doctor.
    Doctor,
}

/// Who somebody is that is called.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Called {
    /// A diver, by himself or with all others in a vessel.
    Divers,
    /// The other station.
    Station,
    /// The bridge.
    Bridge,
    /// The superintendent.
    Superintendent,
    /// The diving doctor.
    Doctor,
    /// The hand on deck.
    Deck,
}

impl Called {
    /// All of them.
    pub const ALL: [Called; 6] = [
        Called::Divers,
        Called::Station,
        Called::Bridge,
        Called::Superintendent,
        Called::Doctor,
        Called::Deck,
    ];

    /// What can be said to them.
    pub fn understands(self) -> &'static [PhraseKind] {
        use PhraseKind as P;
        match self {
            Called::Divers => &[
                P::HowAreYou,
                P::Listen,
                P::HeadCount,
                P::BibsOn,
                P::BibsOff,
                P::ReadYourGauge,
                P::CheckValve,
                P::LeaveFor,
                P::ComeBack,
                P::OnBoardGas,
                P::BailOut,
                P::StandBy,
                P::RequestGranted,
                P::Wait,
            ],
            Called::Station => &[P::Ask, P::RequestGranted, P::Wait, P::StandBy, P::Inform],
            Called::Bridge => &[P::Weather, P::Position, P::Abandon, P::StandBy, P::Inform],
            Called::Superintendent => &[P::Inform, P::TreatmentAdvice, P::Abandon, P::StandBy],
            Called::Doctor => &[P::TreatmentAdvice, P::Inform, P::StandBy],
            Called::Deck => &[P::ReadBank, P::GasDelivery, P::StandBy, P::Inform],
        }
    }
}

impl Callee {
    /// Who that is.
    pub fn called(self) -> Called {
        match self {
            Callee::Diver(_) | Callee::Place(_) => Called::Divers,
            Callee::DiveControl | Callee::SaturationControl => Called::Station,
            Callee::Bridge => Called::Bridge,
            Callee::Superintendent => Called::Superintendent,
            Callee::Doctor => Called::Doctor,
            Callee::OutsideHand => Called::Deck,
        }
    }

    /// The station that is called, if it is one.
    pub fn station(self) -> Option<Station> {
        match self {
            Callee::DiveControl => Some(Station::Dive),
            Callee::SaturationControl => Some(Station::Saturation),
            Callee::Diver(_)
            | Callee::Place(_)
            | Callee::Bridge
            | Callee::Superintendent
            | Callee::Doctor
            | Callee::OutsideHand => None,
        }
    }

    /// Whether a phrase makes sense to him.
    pub fn understands(self, phrase: PhraseKind) -> bool {
        self.called().understands().contains(&phrase)
    }
}

impl Station {
    /// As the other station calls it; nothing of what is no station of the watch.
    pub fn callee(self) -> Option<Callee> {
        match self {
            Station::Saturation => Some(Callee::SaturationControl),
            Station::Dive => Some(Callee::DiveControl),
            Station::Student | Station::Script => None,
        }
    }
}

macro_rules! phrases {
    ($($kind:ident $(($inside:ty))?: $does:literal;)*) => {
        /// What is said.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        pub enum Phrase {
            $(#[doc = concat!($does, ".")] $kind $(($inside))?,)*
        }

        /// What is said, without what it is said of.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
        pub enum PhraseKind {
            $(#[doc = concat!($does, ".")] $kind,)*
        }

        impl PhraseKind {
            /// All of them.
            pub const ALL: &[PhraseKind] = &[$(PhraseKind::$kind),*];
        }

        impl Phrase {
            /// Without what it is said of.
            pub fn kind(self) -> PhraseKind {
                match self {
                    $(phrases!(@pattern $kind $(($inside))?) => PhraseKind::$kind,)*
                }
            }
        }
    };
    (@pattern $kind:ident) => { Phrase::$kind };
    (@pattern $kind:ident ($inside:ty)) => { Phrase::$kind(_) };
}

phrases! {
    HowAreYou: "How are you";
    Listen: "Listen for gas";
    HeadCount: "How many are you, and who";
    BibsOn: "Go on BIBS";
    BibsOff: "Come off BIBS";
    ReadYourGauge(Quantity): "Read a gauge where you are";
    CheckValve(ValveName): "Look whether a valve is shut, and shut it";
    LeaveFor(CompartmentId): "Leave for a vessel";
    ComeBack: "Come back to bell or chamber";
    OnBoardGas: "Go on on-board gas";
    BailOut: "Go on bail-out";
    StandBy: "Stand by";
    Ask(Request): "Permission asked for";
    RequestGranted: "What was asked for is granted";
    Wait: "What was asked for has to wait";
    TreatmentAdvice: "What is to be done for a diver who is ill";
    Abandon: "Whether the ship is to be abandoned";
    Weather: "What the sea is";
    Position: "Whether the ship holds her position";
    ReadBank(BankId): "Read the gauge at a bank";
    GasDelivery: "When gas is delivered";
    Inform: "For information: see the log";
}

/// What belongs to one station and the other may ask for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Request {
    /// A diver's transfer under pressure, between chambers and bell: dive control's.
    Transfer(DiverId),
    /// The bell set on its trunk and clamped, or let go: dive control's.
    Mate(CompartmentId),
    /// The bell lowered: dive control's.
    Lower(CompartmentId),
    /// The bell recalled with all who are in it or out of it: dive control's.
    Recall(CompartmentId),
    /// A chamber's gas let in or out: saturation control's.
    Pressure(CompartmentId),
    /// A door between chambers: saturation control's.
    Door(DoorId),
    /// A lock run: saturation control's.
    Lock(CompartmentId),
}

impl Request {
    /// The station to whose orders it belongs.
    pub fn owner(self) -> Station {
        match self {
            Request::Transfer(_) | Request::Mate(_) | Request::Lower(_) | Request::Recall(_) => {
                Station::Dive
            }
            Request::Pressure(_) | Request::Door(_) | Request::Lock(_) => Station::Saturation,
        }
    }
}

/// Why what was asked for has to wait.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Because {
    /// The bell is away.
    BellAway,
    /// The bell is home, with nobody in it or out of it.
    BellHome,
    /// The trunk is not open to bell and chamber.
    TrunkShut,
    /// The bell goes and comes by the plan of its runs.
    Plan,
    /// The sea is over the launch limit.
    Sea,
    /// The level changes its depth, or does not hold it.
    LevelMoves,
    /// Depth and gas are kept by saturation control.
    Kept,
    /// Somebody washes: no door is shut on his steam.
    Washing,
    /// Whoever sits there says so, and gives no reason.
    Said,
}

/// What comes back.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Answer {
    /// Nothing, in the time in which an answer is waited for.
    Nothing,
    /// How he says he is.
    Is(Spoken),
    /// Whether he hears gas.
    Noise(bool),
    /// Who is there by his count: a bit for each diver by his id.
    Heads(u64),
    /// What he reads, in the unit of the quantity.
    Reads(Quantity, f64),
    /// There is nothing there to read it by.
    NoGauge(Quantity),
    /// How far open he found the valve, 0 to 1; it is shut now.
    Valve(f64),
    /// The valve was shut and gas passed it all the same; its inboard hull stop is shut now.
    Passes,
    /// It is done, or he goes.
    Done,
    /// Understood.
    Understood,
    /// It cannot be done, and why.
    Cannot(Refused),
    /// Words that make no sense.
    Silly,
    /// Granted.
    Granted,
    /// Not now, and why.
    Waits(Because),
    /// It is the diving doctor's word to give.
    DoctorsWord,
    /// It is the master's word to give.
    MastersWord,
    /// Wave height, m, and whether it is over the launch limit.
    Sea(f64, bool),
    /// She is on her position.
    OnPosition,
    /// No delivery is in the plan.
    NoDelivery,
}

/// Whoever is counted, as the bits of [`Answer::Heads`].
pub fn heads(divers: impl IntoIterator<Item = DiverId>) -> u64 {
    let bit = |d: DiverId| 1u64.checked_shl(u32::from(d.0)).unwrap_or(0);
    divers.into_iter().fold(0, |bits, d| bits | bit(d))
}

/// The divers of a count.
pub fn counted(bits: u64) -> impl Iterator<Item = DiverId> {
    (0u8..64).filter(move |n| bits & (1 << n) != 0).map(DiverId)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn everybody_understands_something_and_every_phrase_is_for_somebody() {
        for called in Called::ALL {
            assert!(!called.understands().is_empty());
        }
        for phrase in PhraseKind::ALL {
            let for_whom = Called::ALL
                .into_iter()
                .filter(|c| c.understands().contains(phrase));
            assert!(for_whom.count() > 0, "{phrase:?}");
        }
    }

    #[test]
    fn a_count_is_its_divers() {
        let three = [DiverId(0), DiverId(5), DiverId(63)];
        assert_eq!(counted(heads(three)).collect::<Vec<_>>(), three);
        assert_eq!(heads([]), 0);
    }
}
