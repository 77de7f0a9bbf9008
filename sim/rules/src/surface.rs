//! What a document asks of the ship around the chambers: who is on shift, what is shown and backed up, how long an
//! evacuation unit lasts, how long umbilicals are, and from where on oxygen by volume makes fire easy.

use super::quantities::{Duration, Flow, Share};
use super::row::Printed;
use super::{All, RuleSet};
use deepstay_core::units::Quantity;
use deepstay_core::words::Words;
use serde::Deserialize;

/// A post at the surface.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Post {
    /// Diving supervisor.
    Supervisor,
    /// Life-support technician.
    LifeSupport,
    /// Attendant at the dive site.
    Attendant,
    /// Standby diver at the surface.
    StandbyDiver,
    /// A diver who can help to recover the bell.
    RecoveryDiver,
    /// Assistant outside the chambers.
    Assistant,
    /// A further diver inside the system.
    DiverInside,
}

impl Post {
    /// All, in the order of the list.
    pub const ALL: [Post; 7] = [
        Post::Supervisor,
        Post::LifeSupport,
        Post::Attendant,
        Post::StandbyDiver,
        Post::RecoveryDiver,
        Post::Assistant,
        Post::DiverInside,
    ];
}

impl Words for Post {
    fn words(self) -> &'static str {
        match self {
            Post::Supervisor => "diving supervisor",
            Post::LifeSupport => "life-support technician",
            Post::Attendant => "attendant at the dive site",
            Post::StandbyDiver => "standby diver at the surface",
            Post::RecoveryDiver => "diver who can help recover the bell",
            Post::Assistant => "assistant outside the chambers",
            Post::DiverInside => "further diver inside",
        }
    }
}

/// When a post is manned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Manned {
    /// While divers are in a bell.
    Diving,
    /// Round the clock while anybody is under pressure.
    UnderPressure,
    /// Until the divers are saturated.
    UntilSaturated,
    /// While divers are in a bell and breathe in open circuit, with nobody in the transfer chamber.
    OpenCircuit,
}

impl Words for Manned {
    fn words(self) -> &'static str {
        match self {
            Manned::Diving => "while divers are in a bell",
            Manned::UnderPressure => "round the clock under pressure",
            Manned::UntilSaturated => "until the divers are saturated",
            Manned::OpenCircuit => "in open circuit with nobody in the transfer chamber",
        }
    }
}

/// The least number of people at a post.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct CrewFigures {
    /// Where.
    pub post: Post,
    /// At least so many at a time.
    pub least: u8,
    /// When.
    pub manned: Manned,
}

/// Where something is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Monitored {
    /// Every compartment that people live in, but a bell.
    Chamber,
    /// Every bell.
    Bell,
}

impl Words for Monitored {
    fn words(self) -> &'static str {
        match self {
            Monitored::Chamber => "chamber",
            Monitored::Bell => "bell",
        }
    }
}

/// How something is shown.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Shown {
    /// At the control position.
    AtControl,
    /// At the control position, all the time.
    Continuously,
    /// Written down at least so often.
    WrittenEvery(Duration),
    /// By a recorder that keeps the last of it.
    Recorded(Duration),
}

/// What is shown of a place, and whether there is a second instrument.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct MonitoringFigures {
    /// Where.
    pub place: Monitored,
    /// What.
    pub of: Vec<Quantity>,
    /// How.
    pub shown: Shown,
    /// Whether each has a back-up.
    #[serde(default)]
    pub back_up: bool,
}

/// What is asked of evacuation under pressure.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum EvacuationFigures {
    /// Life support of a unit with every place taken lasts so long.
    Endures(Duration),
    /// So many independent units, each for all who are under pressure.
    Units(u8),
}

/// What is asked of umbilicals and of what a diver carries.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum UmbilicalFigures {
    /// The umbilical of the bellman or standby diver is longer than the working diver's by so many metres.
    StandbyLonger {
        /// Metres.
        by_m: f64,
    },
    /// The bail-out lasts so long at a flow at the diver's depth.
    BailOutLasts {
        /// How long.
        time: Duration,
        /// Breathing on it.
        flow: Flow,
    },
    /// The bail-out lasts so long for each ten metres of umbilical that are paid out.
    BailOutForTenMetres {
        /// How long.
        time: Duration,
    },
}

/// From which share of oxygen on a chamber is in the fire zone.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct FireZoneFigures {
    /// Oxygen by volume.
    pub from: Share,
}

impl Printed for CrewFigures {
    fn printed(&self) -> String {
        let (post, manned) = (self.post.words(), self.manned.words());
        format!("at least {} {post}, {manned}", self.least)
    }
}

impl Shown {
    /// In words, with the time that belongs to it.
    pub fn told(&self) -> String {
        match self {
            Shown::AtControl => "shown at control".to_owned(),
            Shown::Continuously => "shown at control all the time".to_owned(),
            Shown::WrittenEvery(every) => format!("written down every {every} or oftener"),
            Shown::Recorded(kept) => format!("kept by a recorder for {kept} at the least"),
        }
    }
}

impl Printed for MonitoringFigures {
    fn printed(&self) -> String {
        let of: Vec<&str> = self.of.iter().map(|q| q.words()).collect();
        let back_up = if self.back_up {
            ", each with a back-up"
        } else {
            ""
        };
        let place = self.place.words();
        format!("{place}: {}, {}{back_up}", of.join(", "), self.shown.told())
    }
}

impl Printed for EvacuationFigures {
    fn printed(&self) -> String {
        match self {
            EvacuationFigures::Endures(time) => {
                format!("life support of an evacuation unit for at least {time}")
            }
            EvacuationFigures::Units(n) => {
                format!("{n} independent evacuation units, each for all under pressure")
            }
        }
    }
}

impl Printed for UmbilicalFigures {
    fn printed(&self) -> String {
        match self {
            UmbilicalFigures::StandbyLonger { by_m } => {
                format!("umbilical of bellman or standby diver at least {by_m} m longer")
            }
            UmbilicalFigures::BailOutLasts { time, flow } => {
                format!("bail-out lasts {time} at {flow} at the diver's depth")
            }
            UmbilicalFigures::BailOutForTenMetres { time } => {
                format!("bail-out lasts {time} for each 10 m of umbilical")
            }
        }
    }
}

impl Printed for FireZoneFigures {
    fn printed(&self) -> String {
        format!("fire zone from {} of oxygen by volume", self.from)
    }
}

impl CrewFigures {
    pub(super) fn laxer_than(&self, other: &CrewFigures) -> bool {
        (self.post, self.manned) != (other.post, other.manned) || self.least < other.least
    }
}

impl MonitoringFigures {
    pub(super) fn laxer_than(&self, other: &MonitoringFigures) -> bool {
        let shown = match (&self.shown, &other.shown) {
            (_, Shown::AtControl) | (Shown::Continuously, Shown::Continuously) => false,
            (Shown::WrittenEvery(a), Shown::WrittenEvery(b)) => a.get() > b.get(),
            (Shown::Recorded(a), Shown::Recorded(b)) => a.get() < b.get(),
            (_, Shown::Continuously | Shown::WrittenEvery(_) | Shown::Recorded(_)) => true,
        };
        let less = other.of.iter().any(|q| !self.of.contains(q));
        shown || less || self.place != other.place || !self.back_up && other.back_up
    }
}

impl EvacuationFigures {
    pub(super) fn laxer_than(&self, other: &EvacuationFigures) -> bool {
        match (self, other) {
            (EvacuationFigures::Endures(a), EvacuationFigures::Endures(b)) => a.get() < b.get(),
            (EvacuationFigures::Units(a), EvacuationFigures::Units(b)) => a < b,
            (EvacuationFigures::Endures(_), EvacuationFigures::Units(_))
            | (EvacuationFigures::Units(_), EvacuationFigures::Endures(_)) => true,
        }
    }
}

impl UmbilicalFigures {
    pub(super) fn laxer_than(&self, other: &UmbilicalFigures) -> bool {
        use UmbilicalFigures as U;
        match (self, other) {
            (U::StandbyLonger { by_m: a }, U::StandbyLonger { by_m: b }) => a < b,
            (U::BailOutLasts { time: a, flow: c }, U::BailOutLasts { time: b, flow: d }) => {
                a.get() < b.get() || c.get() < d.get()
            }
            (U::BailOutForTenMetres { time: a }, U::BailOutForTenMetres { time: b }) => {
                a.get() < b.get()
            }
            (
                U::StandbyLonger { .. } | U::BailOutLasts { .. } | U::BailOutForTenMetres { .. },
                _,
            ) => true,
        }
    }

    /// Why the figures cannot be meant, if they cannot.
    pub(super) fn wrong(&self) -> Option<&'static str> {
        let meant = match self {
            UmbilicalFigures::StandbyLonger { by_m } => *by_m > 0.0 && *by_m < 100.0,
            UmbilicalFigures::BailOutLasts { time, flow } => time.get() > 0.0 && flow.get() > 0.0,
            UmbilicalFigures::BailOutForTenMetres { time } => time.get() > 0.0,
        };
        (!meant)
            .then_some("lengths, times and flows are positive, and no umbilical is longer by 100 m")
    }
}

impl RuleSet {
    /// Least numbers of people at the surface.
    pub fn surface_crew(&self, accepted: &[String]) -> All<CrewFigures> {
        All::of(&self.surface_crew, accepted)
    }

    /// What is shown of chambers and bells, and what has a back-up.
    pub fn monitoring(&self, accepted: &[String]) -> All<MonitoringFigures> {
        All::of(&self.monitoring, accepted)
    }

    /// What is asked of evacuation under pressure.
    pub fn evacuation(&self, accepted: &[String]) -> All<EvacuationFigures> {
        All::of(&self.evacuation, accepted)
    }

    /// What is asked of umbilicals and bail-outs.
    pub fn umbilicals(&self, accepted: &[String]) -> All<UmbilicalFigures> {
        All::of(&self.umbilicals, accepted)
    }

    /// From which share of oxygen on a chamber is in the fire zone.
    pub fn fire_zone(&self, accepted: &[String]) -> All<FireZoneFigures> {
        All::of(&self.fire_zone, accepted)
    }
}
