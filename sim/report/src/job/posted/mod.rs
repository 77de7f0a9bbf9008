//! What a superintendent, a client's representative and a surveyor look for, a page each: the shift list with crew minimums,
//! umbilical reach against bail-out, each diver after surfacing, evacuation endurance, monitoring and back-up, and gas for
//! treatment with the fire zone. Everything is of the scenario, the record and the rule set, each with its row or the
//! reason that it is not judged.

mod after;
mod evacuation;
mod gas;
mod monitoring;
mod shifts;
mod umbilical;

pub use after::AfterSummary;
pub use evacuation::EvacuationSummary;
pub use gas::TreatmentSummary;
pub use monitoring::MonitoringSummary;
pub use shifts::ShiftSummary;
pub use umbilical::UmbilicalSummary;

use crate::explain::Cells;
use crate::provenance::{StatusWord, word_words};
use deepstay_core::CAUTION;
use deepstay_core::record::Recorder;
use deepstay_rota::Worked;
use deepstay_rules::Cited;
use deepstay_scenario::Scenario;
use maud::{Markup, html};
use serde::Serialize;

/// Where the words of these pages stand that are no numbers of the summary.
pub(crate) const APART: &str =
    "no figure of its own: in words under posted, from the scenario, its rule set and divers.csv";

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
    /// Of a job that was run; `lived` is what was lived of it, where the set says how people come under pressure.
    pub fn of(
        scenario: &Scenario,
        record: &Recorder,
        lived: Option<&Worked>,
        end_s: i64,
    ) -> PostedSummary {
        PostedSummary {
            shift_list: ShiftSummary::of(scenario),
            umbilical: UmbilicalSummary::of(scenario),
            after_surfacing: AfterSummary::of(scenario, record, lived, end_s),
            evacuation: EvacuationSummary::of(scenario),
            monitoring: MonitoringSummary::of(scenario),
            treatment: TreatmentSummary::of(scenario),
        }
    }
}

impl PostedSummary {
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

/// A row that something is asked by.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AskedBy {
    /// Its id.
    pub rule: String,
    /// Its document.
    pub document: String,
    /// How it came to us.
    pub status: StatusWord,
}

impl From<&Cited> for AskedBy {
    fn from(by: &Cited) -> AskedBy {
        AskedBy {
            rule: by.id.clone(),
            document: by.source.document.clone(),
            status: by.source.status.into(),
        }
    }
}

impl AskedBy {
    /// In one line.
    fn words(&self) -> String {
        format!(
            "{}: {} ({})",
            self.rule,
            self.document,
            word_words(self.status)
        )
    }

    fn weak(&self) -> bool {
        matches!(self.status, StatusWord::Recalled | StatusWord::SecondHand)
    }
}

/// An answer with its sign where a person should look.
fn answer(word: &str) -> Markup {
    html! { @if word == "broken" { span.alert-text { "\u{25b2} broken" } } @else { (word) } }
}

/// A sheet: its head, what is on it, and the caution, for it may be printed alone.
fn sheet(title: &str, body: &Markup) -> Markup {
    html! {
        section.sheet {
            h2 { (title) }
            (body)
            p.note { "Caution. " (CAUTION) }
        }
    }
}

/// The sheets, one after the other.
pub(crate) fn sheets(s: &PostedSummary, cells: &Cells) -> Markup {
    html! {
        (shifts::sheet(&s.shift_list, cells))
        (umbilical::sheet(&s.umbilical, cells))
        (after::sheet(&s.after_surfacing))
        (evacuation::sheet(&s.evacuation, cells))
        (monitoring::sheet(&s.monitoring))
        (gas::sheet(&s.treatment))
    }
}

#[cfg(test)]
mod tests;
