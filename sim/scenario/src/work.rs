//! What the rota is made for, as a scenario has it: the work list, what divers bring along and wish for,
//! and the house's own figures where the rule set has none.

/// The work, and how the rota is to be made.
#[derive(Clone, Debug, PartialEq)]
pub struct Work {
    /// Tasks in the order in which they are wanted; none: as much time in the water as the rules allow.
    pub tasks: Vec<WorkTask>,
    /// Share of the time in the water that weather is expected to take, 0 to 1.
    pub weather_share: f64,
    /// Whether teams stay as the crew's file has them; else the rota makes its own.
    pub fixed_teams: bool,
    /// Whether bells leave at the same hours every day.
    pub same_hours: bool,
    /// Whether each team goes at its own hours every day, where bells leave at the same ones.
    pub team_hours: bool,
    /// Whether each team keeps to one bell, and bells of equal reach share the teams evenly.
    pub kept_bells: bool,
    /// No bell leaves before this second; none: when the first divers are at depth.
    pub first_s: Option<i64>,
    /// All bells are home by this second; none: when the last divers leave their depth.
    pub last_s: Option<i64>,
    /// Sealed to the trunk again to the next divers sealed in, s.
    pub turn_round_s: i64,
    /// Rest between two turns where the rule set has none, s.
    pub rest_s: i64,
    /// Longest time in the water that is planned, s; none: as the rules allow.
    pub in_water_s: Option<i64>,
    /// Each diver's own, in the order of the crew.
    pub divers: Vec<DiverWork>,
}

/// A task.
#[derive(Clone, Debug, PartialEq)]
pub struct WorkTask {
    /// What it is called.
    pub name: String,
    /// Depth, msw.
    pub depth_msw: f64,
    /// Time in the water that it takes with all its divers at it, s.
    pub in_water_s: i64,
    /// How many work at it at once.
    pub divers: u8,
    /// Qualifications that someone in the water must have.
    pub qualifications: Vec<String>,
    /// Gas that it takes beside breathing gas.
    pub gas: Option<String>,
    /// Tasks that must be done before it; places in [`Work::tasks`].
    pub after: Vec<usize>,
}

/// What a diver brings along and wishes for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct DiverWork {
    /// Seconds of the ship's day (from, to) in which he prefers to dive.
    pub prefers_s: Option<(i64, i64)>,
    /// How long before the job he surfaced last, s, and how long that saturation was, s.
    pub last_saturation: Option<(i64, i64)>,
    /// Time under pressure in the twelve months before the job, s.
    pub in_year_s: i64,
}

impl Default for Work {
    /// No list, fixed teams, the same hours every day, 40 min of turn-round and 12 h of rest (common
    /// practice, no source; the rest is also that of UK HSE DVIS 7, 1998).
    fn default() -> Self {
        Work {
            tasks: Vec::new(),
            weather_share: 0.0,
            fixed_teams: true,
            same_hours: true,
            team_hours: true,
            kept_bells: true,
            first_s: None,
            last_s: None,
            turn_round_s: 40 * 60,
            rest_s: 12 * 3600,
            in_water_s: None,
            divers: Vec::new(),
        }
    }
}
