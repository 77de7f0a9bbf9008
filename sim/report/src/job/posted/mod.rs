//! What a superintendent, a client's representative and a surveyor look for, a page each: the shift list with crew minimums,
//! umbilical reach against bail-out, each diver after surfacing, evacuation endurance, monitoring and back-up, and gas for
//! treatment with the fire zone. Everything is of the scenario, the record and the rule set, each with its row or the
//! reason that it is not judged. How it looks on the page is in `sections/posted.rs`.

mod after;
mod asked_by;
mod evacuation;
mod gas;
mod monitoring;
mod shifts;
mod umbilical;

pub use after::{AfterLine, AfterSummary};
pub use asked_by::AskedBy;
pub use evacuation::EvacuationSummary;
pub use gas::TreatmentSummary;
pub use monitoring::MonitoringSummary;
pub use shifts::ShiftSummary;
pub use umbilical::UmbilicalSummary;

use deepstay_core::record::Recorder;
use deepstay_core::units::Units;
use deepstay_rota::Worked;
use deepstay_scenario::Scenario;
use serde::Serialize;

/// All of it.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct PostedSummary {
    /// Who is on shift, against the least numbers.
    pub shift_list: ShiftSummary,
    /// How far a diver can go and still come back on his bail-out.
    pub umbilical: UmbilicalSummary,
    /// Each diver after surfacing, and his hygiene before it.
    pub after_surfacing: AfterSummary,
    /// How long the evacuation units last.
    pub evacuation: EvacuationSummary,
    /// What is shown of chambers and bells, and what has a back-up.
    pub monitoring: MonitoringSummary,
    /// Gas for treatment by depth, and the fire zone.
    pub treatment: TreatmentSummary,
}

impl PostedSummary {
    /// Of a job that was run; `lived` is what was lived of it, where the set says how people come under pressure. Words are
    /// in `units`; numbers are always metric.
    pub fn of(
        scenario: &Scenario,
        record: &Recorder,
        lived: Option<&Worked>,
        (end_s, units): (i64, Units),
    ) -> PostedSummary {
        PostedSummary {
            shift_list: ShiftSummary::of(scenario),
            umbilical: UmbilicalSummary::of(scenario, units),
            after_surfacing: AfterSummary::of(scenario, record, lived, end_s),
            evacuation: EvacuationSummary::of(scenario, units),
            monitoring: MonitoringSummary::of(scenario),
            treatment: TreatmentSummary::of(scenario, units),
        }
    }
}

impl PostedSummary {
    /// What can be posted before a job is run: nobody has surfaced yet.
    pub fn of_plan(scenario: &Scenario, units: Units) -> PostedSummary {
        PostedSummary {
            shift_list: ShiftSummary::of(scenario),
            umbilical: UmbilicalSummary::of(scenario, units),
            after_surfacing: AfterSummary::default(),
            evacuation: EvacuationSummary::of(scenario, units),
            monitoring: MonitoringSummary::of(scenario),
            treatment: TreatmentSummary::of(scenario, units),
        }
    }

    /// What is broken on any sheet: what is asked, what was found, and the row.
    pub fn broken(&self) -> Vec<String> {
        let crew = self.shift_list.least_numbers.iter().map(|l| {
            let asked = format!("{} {} {}", l.least, l.post, l.manned);
            let found = l
                .found
                .map_or_else(String::new, |n| format!("{n} at some minute"));
            (l.answer, asked, found, &l.by)
        });
        macro_rules! asked {
            ($($sheet:ident),*) => {
                std::iter::empty()$(.chain(
                    self.$sheet.asked.iter().map(|l| (l.answer, l.asked.clone(), l.found.clone(), &l.by)),
                ))*
            };
        }
        let all = crew.chain(asked!(umbilical, evacuation, monitoring, treatment));
        all.filter(|(answer, ..)| *answer == "broken")
            .map(|(_, asked, found, by)| format!("{asked}: {found} [{}]", by.rule))
            .collect()
    }

    /// The same as lines of a screen, under a head of their own; none where nothing is broken.
    pub(crate) fn broken_lines(&self) -> Vec<String> {
        let broken = self.broken();
        let head = (!broken.is_empty())
            .then(|| format!("POSTED SHEETS BROKEN at {} of what is asked", broken.len()));
        head.into_iter()
            .chain(broken.iter().map(|line| format!("  {line}")))
            .collect()
    }

    /// The ids of all rows that something is asked by.
    pub fn rules(&self) -> Vec<&str> {
        let crew = self.shift_list.least_numbers.iter().map(|l| &l.by);
        let umbilical = self.umbilical.asked.iter().map(|l| &l.by);
        let after = self.after_surfacing.rows.iter();
        let hygiene = self.after_surfacing.hygiene.by.iter();
        let evacuation = self.evacuation.asked.iter().map(|l| &l.by);
        let monitoring = self.monitoring.asked.iter().map(|l| &l.by);
        let contaminants = self.monitoring.contaminants.iter().map(|l| &l.by);
        let treatment = self.treatment.asked.iter().map(|l| &l.by);
        let all = crew
            .chain(umbilical)
            .chain(after)
            .chain(hygiene)
            .chain(evacuation);
        let all = all.chain(monitoring).chain(contaminants).chain(treatment);
        let fire = self
            .treatment
            .fire_zone_rules
            .iter()
            .chain(&self.evacuation.rules);
        all.map(|by| by.rule.as_str())
            .chain(fire.map(String::as_str))
            .collect()
    }
}

#[cfg(test)]
mod tests;
