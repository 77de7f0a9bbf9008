//! What the rota speaks of: who can dive, which bells there are, what is to be done; turns, and what is
//! said about them. Seconds count from the scenario's start, as everywhere.

use super::limits::Limits;
use super::rule::House;
use deepstay_core::units::{CompartmentId, DiverId};
use deepstay_core::words::Words;

/// Depths closer than this need no excursion, msw: tide and the bell's height over the work.
pub const AT_STORAGE_MSW: f64 = 1.0;

/// A length of time: from a second to a later one, which is not part of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Span {
    /// First second.
    pub from_s: i64,
    /// The second after the last.
    pub to_s: i64,
}

/// A diver as the rota knows him. His [`DiverId`] is his place in [`Problem::divers`].
#[derive(Clone, Debug, PartialEq)]
pub struct Diver {
    /// Initials; no names.
    pub initials: String,
    /// Team he dives with, where teams are fixed.
    pub team: u8,
    /// Qualifications, in the scenario's words.
    pub qualifications: Vec<String>,
    /// His saturations in the job, in order of time.
    pub saturations: Vec<Saturation>,
    /// When he is at a storage depth, in order of time.
    pub stays: Vec<Stay>,
    /// What he did before the job.
    pub before: Before,
    /// When he is unfit for the bell.
    pub unfit: Vec<Span>,
    /// Seconds of the ship's day (from, to) in which he prefers to dive.
    pub prefers_s: Option<(i64, i64)>,
}

/// From leaving the surface to reaching it again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Saturation {
    /// Leaves the surface, s.
    pub pressed_s: i64,
    /// Reaches its first storage depth, s: from then on it is at working depth.
    pub arrived_s: i64,
    /// Begins the final decompression, s.
    pub leaves_s: i64,
    /// Is at the surface, s.
    pub surfaced_s: i64,
}

/// A time at one storage depth in one chamber, in which the bell may be manned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stay {
    /// From arrival to leaving.
    pub span: Span,
    /// Storage depth, msw.
    pub storage_msw: f64,
    /// Living chamber.
    pub chamber: CompartmentId,
}

/// What a diver brings along from before the job.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Before {
    /// How long before the job's start he last surfaced, s, and how long that saturation was, s.
    pub last: Option<(i64, i64)>,
    /// Time under pressure in the twelve months before the job, s.
    pub in_year_s: i64,
}

/// A bell and the times around its work. All are common practice, no source, but the travel.
#[derive(Clone, Debug, PartialEq)]
pub struct Bell {
    /// Its compartment.
    pub id: CompartmentId,
    /// Its name on the panel.
    pub name: String,
    /// Chambers from which doors lead to its trunk with nothing of another level between.
    pub reached_from: Vec<CompartmentId>,
    /// How many go.
    pub places: u8,
    /// Start of the checks to the divers sealed in, s.
    pub lead_s: i64,
    /// Sealed in to the first diver in the water, travel not counted, s.
    pub out_s: i64,
    /// The way down counts as no shorter than this, s: the first diver dresses on it.
    pub dressing_s: i64,
    /// Last diver in to the bell sealed to its trunk again, travel not counted, s.
    pub home_s: i64,
    /// Sealed to the trunk again to the bell free for the next checks, s.
    pub tail_s: i64,
    /// One diver in to the next one out, s.
    pub change_s: i64,
    /// Between deck and water, s.
    pub handling_s: i64,
    /// Winch, msw/s.
    pub winch_msw_s: f64,
    /// When it is out of service.
    pub down: Vec<Span>,
}

/// A task of the work list.
#[derive(Clone, Debug, PartialEq)]
pub struct Task {
    /// What it is called.
    pub name: String,
    /// Depth, msw.
    pub depth_msw: f64,
    /// Time in the water it takes with [`Task::divers`] at it, s.
    pub wet_s: i64,
    /// How many work at it at once.
    pub divers: u8,
    /// Qualifications that someone in the water must have.
    pub qualifications: Vec<String>,
    /// Gas that it takes beside breathing gas, such as oxygen for burning.
    pub gas: Option<String>,
    /// Tasks that must be done before it; places in [`Problem::tasks`].
    pub after: Vec<usize>,
}

/// What a diver does in a turn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// Works in the water. With two in the bell each tends the other in turn.
    Diver,
    /// Stays in the bell and tends.
    Bellman,
}

impl Words for Role {
    fn words(self) -> &'static str {
        match self {
            Role::Diver => "diver",
            Role::Bellman => "bellman",
        }
    }
}

/// A diver's seat in a turn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Position {
    /// Who.
    pub diver: DiverId,
    /// As what.
    pub role: Role,
    /// When he is in the water, in order of time; a break in the bell parts two spans.
    pub wet: Vec<Span>,
}

impl Position {
    /// Of somebody who is in the water so: who is in none is bellman.
    pub fn of(diver: DiverId, wet: Vec<Span>) -> Position {
        let role = if wet.is_empty() {
            Role::Bellman
        } else {
            Role::Diver
        };
        Position { diver, role, wet }
    }
}

/// A bell run of the rota.
#[derive(Clone, Debug, PartialEq)]
pub struct BellRun {
    /// Which bell.
    pub bell: CompartmentId,
    /// Second at which the divers are sealed in.
    pub first: i64,
    /// Second at which the bell is sealed to its trunk again.
    pub last: i64,
    /// Depth of the work, msw.
    pub depth_msw: f64,
    /// Who goes, in order of leaving the bell.
    pub positions: Vec<Position>,
    /// Tasks worked at, with the time in the water for each, s, in order.
    pub tasks: Vec<(usize, i64)>,
}

/// Turns in order of their first second.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Rota {
    /// The turns.
    pub runs: Vec<BellRun>,
}

/// Everything a rota is made for.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// The divers; a [`DiverId`] is a place in this list.
    pub divers: Vec<Diver>,
    /// Whether teams stay together.
    pub fixed_teams: bool,
    /// The bells.
    pub bells: Vec<Bell>,
    /// The work list; empty means as much time in the water as the rules allow, at the site's depth.
    pub tasks: Vec<Task>,
    /// Depth of the work where the list is empty, msw.
    pub working_msw: f64,
    /// Share of the time in the water that weather is expected to take, 0 to 1. It makes the work slower
    /// in the reckoning of its completion; turns are planned for fair weather.
    pub weather_share: f64,
    /// Whether bells leave at the same hours every day.
    pub same_hours: bool,
    /// Whether each team goes at its own hours every day, where bells leave at the same ones.
    pub team_hours: bool,
    /// Whether each team keeps to one bell, and bells of equal reach have as many teams as each other, or
    /// one more.
    pub kept_bells: bool,
    /// No bell leaves before this second.
    pub first_s: i64,
    /// All bells are home by this second.
    pub last_s: i64,
    /// Second of the ship's day at second 0.
    pub start_second_of_day: i64,
    /// The house's own figures where the rule set has none.
    pub house: House,
    /// The answers of the rule set in use, by depth.
    pub limits: Vec<Limits>,
    /// Pairs of storage and working depth, msw, further apart than tide and the bell's height, between
    /// which the rule set allows to go.
    pub excursions: Vec<(f64, f64)>,
}

impl Span {
    /// From one second to another.
    pub fn new(from_s: i64, to_s: i64) -> Span {
        Span { from_s, to_s }
    }

    /// Length, s.
    pub fn length_s(self) -> i64 {
        self.to_s - self.from_s
    }

    /// Time that two have in common, s.
    pub fn shared_s(self, other: Span) -> i64 {
        (self.to_s.min(other.to_s) - self.from_s.max(other.from_s)).max(0)
    }
}

impl Bell {
    /// Between deck and depth, s.
    pub fn travel_s(&self, depth_msw: f64) -> i64 {
        deepstay_scenario::lengths::lowering_s(self.handling_s, self.winch_msw_s, depth_msw)
    }

    /// Sealed in to the first diver in the water, s.
    pub fn way_out_s(&self, depth_msw: f64) -> i64 {
        self.out_s + self.travel_s(depth_msw).max(self.dressing_s)
    }

    /// Last diver in to the bell sealed to its trunk again, s.
    pub fn way_home_s(&self, depth_msw: f64) -> i64 {
        self.home_s + self.travel_s(depth_msw)
    }

    /// Sealed to the trunk again to the next divers sealed in, s.
    pub fn turnaround_s(&self) -> i64 {
        self.tail_s + self.lead_s
    }
}

impl Position {
    /// Time in the water, breaks not counted, s.
    pub fn wet_s(&self) -> i64 {
        self.wet.iter().map(|w| w.length_s()).sum()
    }
}

impl BellRun {
    /// Seal to seal.
    pub fn span(&self) -> Span {
        Span::new(self.first, self.last)
    }

    /// Time in which someone is in the water, s.
    pub fn bottom_s(&self) -> i64 {
        self.out_s(1)
    }

    /// Time in which so many at the least are in the water at once, s.
    pub fn out_s(&self, least: usize) -> i64 {
        let wet = || self.positions.iter().flat_map(|s| s.wet.iter());
        let mut ends: Vec<(i64, bool)> = wet()
            .flat_map(|w| [(w.from_s, true), (w.to_s, false)])
            .collect();
        ends.sort_unstable();
        let (mut out, mut before_s, mut total_s) = (0usize, 0, 0);
        for (at_s, leaves) in ends {
            if out >= least {
                total_s += at_s - before_s;
            }
            out = if leaves {
                out + 1
            } else {
                out.saturating_sub(1)
            };
            before_s = at_s;
        }
        total_s
    }

    /// Most divers who are in the water at once.
    pub fn most_out(&self) -> usize {
        let wet = || self.positions.iter().flat_map(|s| s.wet.iter());
        let out = |at_s: i64| wet().filter(|w| w.from_s <= at_s && at_s < w.to_s).count();
        wet().map(|w| out(w.from_s)).max().unwrap_or(0)
    }

    /// The seat of a diver, if he has one.
    pub fn position_of(&self, diver: DiverId) -> Option<&Position> {
        self.positions.iter().find(|s| s.diver == diver)
    }
}

impl Task {
    /// Time in the water that it takes with the weather's share, s.
    pub fn needed_s(&self, weather_share: f64) -> i64 {
        (self.wet_s as f64 / (1.0 - weather_share.clamp(0.0, 0.9))).ceil() as i64
    }
}

impl Problem {
    /// Day of the job by the ship's clock, counted from 0 on the day of second 0.
    pub fn day(&self, at_s: i64) -> i64 {
        (self.start_second_of_day + at_s).div_euclid(86_400)
    }

    /// The answers for a working depth.
    pub fn limits_at(&self, depth_msw: f64) -> Option<&Limits> {
        self.limits
            .iter()
            .find(|l| (l.depth_msw - depth_msw).abs() < 1e-6)
    }

    /// Whether work at a depth may be done from a storage depth, both msw.
    pub fn reaches(&self, storage_msw: f64, depth_msw: f64) -> bool {
        let allowed = |&(s, d): &(f64, f64)| (s - storage_msw).abs() < 0.05 && d == depth_msw;
        (storage_msw - depth_msw).abs() <= AT_STORAGE_MSW || self.excursions.iter().any(allowed)
    }

    /// Whether a diver has nothing against a turn that begins at a second.
    pub fn likes(&self, diver: DiverId, at_s: i64) -> bool {
        let Some((from_s, to_s)) = self.divers.get(diver.index()).and_then(|d| d.prefers_s) else {
            return true;
        };
        let clock = (self.start_second_of_day + at_s).rem_euclid(86_400);
        if from_s <= to_s {
            (from_s..to_s).contains(&clock)
        } else {
            clock >= from_s || clock < to_s
        }
    }

    /// A diver's initials.
    pub fn initials(&self, diver: DiverId) -> &str {
        self.divers
            .get(diver.index())
            .map_or("?", |d| d.initials.as_str())
    }

    /// The name of the bell of a compartment.
    pub fn bell_name(&self, id: CompartmentId) -> &str {
        self.bell(id).map_or("bell", |b| b.name.as_str())
    }

    /// The bell of a compartment.
    pub fn bell(&self, id: CompartmentId) -> Option<&Bell> {
        self.bells.iter().find(|b| b.id == id)
    }
}
