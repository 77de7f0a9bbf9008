//! What each failure of a spread does, for a screen: what shows it first, what rings first, when a limit is truly
//! crossed and when somebody comes to harm; what was left out, and the caution.

use crate::kit::terminal::{fold, folded, plain, wrap};
use deepstay_core::CAUTION;
use deepstay_core::fault::FaultKind;
use deepstay_core::record::{LimitName, Severity, Whereabouts};
use deepstay_core::units::{Units, span};
use deepstay_core::words::{Names, Words};
use deepstay_job::effects::{Came, Effect, Effects, Hurt, Moment, Shows, Sign, Untouched, Way};
use deepstay_scenario::Scenario;
use std::mem::{Discriminant, discriminant};

/// What the table is made of.
#[derive(Clone, Copy)]
#[non_exhaustive]
pub struct EffectsInputs<'a> {
    /// The second of the job from which failures were tried.
    pub moment: &'a Moment,
    /// How long each was followed at the most, s.
    pub within_s: i64,
    /// What comes without a failure.
    pub untouched: &'a Untouched,
    /// What each failure does, of those that were tried.
    pub effects: &'a [Effect],
    /// How many failures there are.
    pub of: usize,
    /// Units that readings are shown in.
    pub units: Units,
}

impl<'a> EffectsInputs<'a> {
    /// What was tried from a moment, `of` so many failures.
    pub fn new(
        moment: &'a Moment,
        tried: (&Effects, &'a Untouched, &'a [Effect]),
        of: usize,
        units: Units,
    ) -> EffectsInputs<'a> {
        let (from, untouched, effects) = tried;
        EffectsInputs {
            moment,
            within_s: from.within_s(),
            untouched,
            effects,
            of,
            units,
        }
    }
}

/// Heads of the columns, and what share of the width each has, of a hundred.
const COLUMNS: [(&str, usize); 5] = [
    ("failure", 26),
    ("shows first", 22),
    ("rings first", 19),
    ("true limit", 19),
    ("people", 14),
];
/// Blanks before what the first cell of a row goes on with.
const SET_IN: usize = 2;
/// Blanks between two columns.
const GAP: usize = 2;

/// The table and what belongs to it, for a terminal so many columns wide. Nothing is cut.
pub fn effects_screen(inputs: &EffectsInputs, columns: usize) -> String {
    let width = columns.max(40);
    let screen = Screen {
        inputs,
        scenario: inputs.moment.job.scenario(),
    };
    let mut lines = screen.head();
    let (some, none): (Vec<&Effect>, Vec<&Effect>) =
        inputs.effects.iter().partition(|e| !e.is_none());
    let mut kind: Option<Discriminant<FaultKind>> = None;
    for effect in some {
        if kind.replace(discriminant(&effect.fault)) != Some(discriminant(&effect.fault)) {
            lines.push(String::new());
            lines.push(heading(&effect.fault).to_uppercase());
            lines.extend(cells(&COLUMNS.map(|(head, _)| head.to_owned()), width));
        }
        lines.extend(cells(&screen.row(effect), width));
    }
    if !none.is_empty() {
        lines.push(String::new());
        lines.push(format!(
            "NOTHING SHOWS, RINGS OR HARMS WITHIN {}, WITH THE WATCH AT WORK OR WITHOUT",
            span(inputs.within_s)
        ));
        let words = none.iter().map(|e| format!("  {}", screen.failure(e)));
        lines.extend(words);
    }
    lines.push(String::new());
    lines.extend(screen.foot());
    let lines: Vec<String> = lines.iter().flat_map(|l| fold(l, width)).collect();
    folded(&lines, usize::MAX).trim_end().to_owned()
}

/// One row of the table, its cells wrapped each in its column; what the first goes on with is set in, so that a line
/// that is not begins a row.
fn cells(row: &[String; 5], width: usize) -> Vec<String> {
    let room = width.saturating_sub(GAP * (COLUMNS.len() - 1));
    let widths = COLUMNS.map(|(_, share)| (room * share / 100).max(1));
    let mut wrapped: Vec<Vec<String>> = row
        .iter()
        .zip(widths)
        .zip([SET_IN, 0, 0, 0, 0])
        .map(|((cell, width), set_in)| wrap(&plain(cell), width - set_in.min(width - 1)))
        .collect();
    for line in wrapped.iter_mut().take(1).flat_map(|cell| &mut cell[1..]) {
        line.insert_str(0, &" ".repeat(SET_IN));
    }
    let height = wrapped.iter().map(Vec::len).max().unwrap_or(0);
    let line = |k: usize| {
        let mut line = String::new();
        for (cell, width) in wrapped.iter().zip(widths) {
            let text = cell.get(k).map_or("", String::as_str);
            line += &format!("{text:<width$}{:GAP$}", "");
        }
        line.trim_end().to_owned()
    };
    (0..height).map(line).collect()
}

struct Screen<'a> {
    inputs: &'a EffectsInputs<'a>,
    scenario: &'a Scenario,
}

impl Screen<'_> {
    fn head(&self) -> Vec<String> {
        let (s, moment) = (self.scenario, self.inputs.moment);
        let now_s = moment.job.now();
        let untouched = self.inputs.untouched;
        let mut lines = vec![
            format!("{}: what each failure does while nobody acts", s.name),
            format!(
                "  from      {}, hour {:.1} of the job: {}",
                s.time().clock(now_s),
                now_s as f64 / 3600.0,
                self.people()
            ),
            format!(
                "  followed  for {} at the most, until the first is confused, out or dead; nobody at either station",
                span(self.inputs.within_s)
            ),
        ];
        if !s.faults.is_empty() {
            let words =
                "  plan      has faults of its own: they come with each failure and without";
            lines.push(words.to_owned());
        }
        if !moment.ringing.is_empty() {
            let names: Vec<String> = moment.ringing.iter().map(|n| s.limit(n)).collect();
            lines.push(format!("  rings     already: {}", names.join(", ")));
        }
        if !moment.open.is_empty() {
            let valves = moment.open.valves.iter();
            let valves = valves.map(|v| format!("{} valve", s.valve(*v)));
            let doors = moment.open.doors.iter().map(|d| s.door(*d));
            let names: Vec<String> = valves.chain(doors).collect();
            lines.push(format!(
                "  open      by hand, and nobody shuts it: {}",
                names.join(", ")
            ));
        }
        lines.push(format!(
            "  without   a failure: rings first {}; true limit {}; people {}",
            self.rings(&untouched.rings, false),
            self.crossed(&untouched.crossed),
            self.hurt(untouched.hurt.as_ref())
        ));
        lines.push(format!(
            "  tried     {} of {} failures",
            self.inputs.effects.len(),
            self.inputs.of
        ));
        lines
    }

    /// Where people are, by vessels.
    fn people(&self) -> String {
        let crew = self.inputs.moment.job.crew();
        let mut places: Vec<(String, usize)> = Vec::new();
        for diver in crew.ids() {
            let place = match crew.whereabouts(diver) {
                Whereabouts::Deck => "on deck".to_owned(),
                Whereabouts::In(c) => format!("in {}", self.scenario.compartment(c)),
                Whereabouts::Water(c) => {
                    format!("in the water from {}", self.scenario.compartment(c))
                }
            };
            match places.iter_mut().find(|p| p.0 == place) {
                Some(p) => p.1 += 1,
                None => places.push((place, 1)),
            }
        }
        let words: Vec<String> = places.iter().map(|(p, n)| format!("{n} {p}")).collect();
        words.join(", ")
    }

    fn foot(&self) -> Vec<String> {
        [
            "Times are from the failure's second. What shows first is the first reading, fan lamp, relief valve or voice \
             that is otherwise than in the same hours without the failure, a reading by more than its step; looks are \
             a sixtieth of the time apart, five minutes at the most, and what is found between two is found to the \
             second. What shows nothing while nobody acts was tried again with the automatic watch at work.",
            "True limits are those of severity limit and emergency: the first that is crossed, and the first emergency. \
             What comes without the failure too is told where it comes with it in half the time or less; the time \
             without stands in brackets.",
            "Left out: every vessel, door, bank or instrument but one of its kind; any other second of the job, and two \
             failures at once; failures of other sizes (sizes are house figures); bell runs planned anew after one that is \
             lost; noise, smell and cameras; what people \
             do for themselves but to take off a mask or open their bail-out.",
            CAUTION,
        ]
        .map(str::to_owned)
        .to_vec()
    }

    fn row(&self, effect: &Effect) -> [String; 5] {
        [
            self.failure(effect),
            self.shows(&effect.shows),
            self.rings(&effect.rings, effect.hurt.is_some()),
            self.crossed(&effect.crossed),
            self.hurt(effect.hurt.as_ref()),
        ]
    }

    fn failure(&self, effect: &Effect) -> String {
        let words = self.scenario.fault_words(&effect.fault);
        match effect.ended {
            Some(ended) => format!("{words} ({})", ended.words(self.scenario)),
            None => words,
        }
    }

    fn shows(&self, shows: &Shows) -> String {
        match shows {
            Shows::ByItself(came) => self.sign(came),
            Shows::AtWork(came) => format!("to the watch at work: {}", self.sign(came)),
            Shows::Nothing => "nothing".to_owned(),
        }
    }

    fn sign(&self, came: &Came<Sign>) -> String {
        let s = self.scenario;
        let what = match came.what {
            Sign::Reading {
                instrument,
                way,
                shows,
                would_show,
            } => {
                let plate = &s.steel.instruments[instrument.index()];
                let scale = self.inputs.units.scale(plate.quantity);
                let way = match way {
                    Way::Up => "up",
                    Way::Down => "down",
                    Way::Stands => "stands",
                };
                format!(
                    "{} {way} at {}, not {},",
                    plate.name,
                    scale.plain_text(shows),
                    scale.digits(would_show)
                )
            }
            Sign::FanLamp(c) => format!("fan lamp of {} out,", s.compartment(c)),
            Sign::Voice { diver, report } => {
                format!("{}: {},", s.initials(diver), report.words())
            }
            Sign::Relief(c) => format!("relief valve of {} lifts,", s.compartment(c)),
        };
        format!("{what} {}", self.after(came))
    }

    fn rings(&self, rings: &[Came<LimitName>], hurt: bool) -> String {
        let Some(first) = rings.first() else {
            return match hurt {
                true => "nothing before that".to_owned(),
                false => "nothing".to_owned(),
            };
        };
        let (words, told) = self.first_and_gravest(first, rings);
        match rings.last().filter(|_| rings.len() > told) {
            Some(last) => format!(
                "{words}; {} more by {}",
                rings.len() - told,
                span(last.after_s)
            ),
            None => words,
        }
    }

    fn crossed(&self, crossed: &[Came<LimitName>]) -> String {
        crossed.first().map_or_else(
            || "none".to_owned(),
            |first| self.first_and_gravest(first, crossed).0,
        )
    }

    /// The first of a list, and the first emergency where that is another; how many were told.
    fn first_and_gravest(
        &self,
        first: &Came<LimitName>,
        all: &[Came<LimitName>],
    ) -> (String, usize) {
        let told = |came: &Came<LimitName>| {
            format!("{}, {}", self.scenario.limit(&came.what), self.after(came))
        };
        let emergency = all
            .iter()
            .find(|came| came.what.severity == Severity::Emergency)
            .filter(|came| *came != first);
        match emergency {
            Some(came) => (format!("{}; {}", told(first), told(came)), 2),
            None => (told(first), 1),
        }
    }

    fn hurt(&self, hurt: Option<&Came<Hurt>>) -> String {
        hurt.map_or_else(
            || "nobody hurt".to_owned(),
            |came| {
                let Hurt { diver, to, cause } = came.what;
                format!(
                    "{} {}, {}, {}",
                    self.scenario.initials(diver),
                    to.words(),
                    cause.words(),
                    self.after(came)
                )
            },
        )
    }

    fn after<T>(&self, came: &Came<T>) -> String {
        let after = span(came.after_s);
        match came.without_s {
            Some(without_s) => format!("{after} ({})", span(without_s)),
            None => after,
        }
    }
}

fn heading(fault: &FaultKind) -> &'static str {
    match fault {
        FaultKind::Leak { .. } => "leaks",
        FaultKind::FanStop { .. } => "scrubber fans",
        FaultKind::ClimateStop { .. } => "climate units",
        FaultKind::ReclaimStop => "reclaim",
        FaultKind::StuckValve { .. } => "valves that are stuck",
        FaultKind::WrongContents { .. } => "banks with other gas than their labels say",
        FaultKind::Drift { .. } => "instruments that drift",
        FaultKind::Frozen { .. } => "instruments that stand still",
        FaultKind::CrossConnected { .. } => "instruments on another vessel's line",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every word of every cell is there at any width, each in its own column, and a line that is not set in begins a
    /// row.
    #[test]
    fn nothing_of_a_row_is_cut() {
        let row = [
            "Living ppO2, primary instrument, drifts up by 0.017 bar an hour",
            "Living ppO2 up at 0.474 bar, not 0.472, 7 min",
            "Living ppO2 high (attention), 64 min; 1 more by 9 h 53 min",
            "Bell ppO2 breathed high (emergency), 7 h 22 min",
            "JK confused, oxygen poisoning, 12 h 10 min",
        ]
        .map(str::to_owned);
        for width in [40, 80, 130, 400] {
            let lines = cells(&row, width);
            for (k, cell) in row.iter().enumerate() {
                let all = lines.join(" ");
                assert!(cell.split(' ').all(|w| all.contains(w)), "{k} at {width}");
            }
            let rest = &lines[1..];
            assert!(rest.iter().all(|l| l.starts_with(' ')), "{lines:#?}");
            if width >= 80 {
                assert!(
                    lines.iter().all(|l| l.chars().count() <= width),
                    "{lines:#?}"
                );
            }
        }
        assert_eq!(cells(&row, 400).len(), 1);
    }
}
