//! What is carried in the program: jobs, spreads, suppliers' lists, figures of harm, voices, presents and tables of waves. All invented but the measured
//! tables, which name their source.

/// A thing carried in the program.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BuiltIn {
    /// Its name.
    pub name: &'static str,
    /// One line on what it is.
    pub title: &'static str,
    /// Its text, remarks and all.
    pub text: &'static str,
}

/// The job that is taken where none is named.
pub const DEFAULT_JOB: &str = "six-man";

macro_rules! carried {
    ($folder:literal, $ending:literal, [$($name:literal: $title:literal),* $(,)?]) => {
        &[$(BuiltIn {
            name: $name,
            title: $title,
            text: include_str!(concat!("../../../scenarios/", $folder, "/", $name, $ending)),
        }),*]
    };
}

/// The jobs, in the order of a list.
pub const JOBS: &[BuiltIn] = carried!("jobs", ".ron", [
    "six-man": "Six men, one two-man bell round the clock, 118 msw, 30 days",
    "short": "Six men, 60 msw, 7 days",
    "bad-night": "Six men, 60 msw, 7 days, and a night on which five things go wrong",
    "nine-man": "Nine men, one three-man bell, 200 msw, 28 days; rests on figures from memory that it names",
    "twelve-man": "Twelve men, two chambers at 96 and 84 msw, staggered crew change",
    "relief": "Eighteen men at 60 msw: a crew comes up and a fresh one relieves it while the bell goes on",
]);

/// The spreads.
pub const SPREADS: &[BuiltIn] = carried!("spreads", ".ron", [
    "six-man": "One living chamber, transfer lock, two-man bell, rescue chamber",
    "nine-man": "One living chamber, transfer chamber, three-man bell, rescue chamber",
    "twelve-man": "Two living chambers with a transfer chamber each, a passage between, one trunk, two-man bell",
]);

/// The suppliers' lists.
pub const SUPPLIERS: &[BuiltIn] = carried!("suppliers", ".ron", [
    "north-quay": "Bottles, quads and tubes from an invented quay; every price and mass assumed",
]);

/// The figures by which people come to harm.
pub const HARM: &[BuiltIn] = carried!("people", ".ron", [
    "harm": "How people fail: every figure with range, source and status; display and training only",
]);

/// What is said over the speaker.
pub const VOICES: &[BuiltIn] = carried!("people", ".ron", [
    "voices": "What is said over the speaker: what divers say, and what comes back when they are called; training only",
]);

/// The presents.
pub const PRESENTS: &[BuiltIn] = carried!("presents", ".ron", [
    "six-man": "The six-man job on its twelfth day, all home from the bell; a page to put today's readings into",
]);

/// The tables of waves.
pub const WEATHER: &[BuiltIn] = carried!("weather", ".csv", [
    "norwegian-shelf": "Counts of wave heights by the two before, by season; hindcast 1958-1979, MET Norway",
]);

/// One of a list by its name.
pub(super) fn find(list: &'static [BuiltIn], name: &str) -> Option<&'static BuiltIn> {
    list.iter().find(|b| b.name == name)
}
