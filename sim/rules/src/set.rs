//! A whole rule set as its file holds it, its provenance, and how it refuses.

use super::based::{BasedOn, RulePart, Taken};
use super::bleeding_table::{DecompressionScheme, StartFigures};
use super::excursion::{ExcursionCurve, ExcursionTravel};
use super::gas_minimums::GasMinimum;
use super::limits::LimitFigures;
use super::living::{
    Between, ClimateTable, HygieneFigures, IntervalFigures, OxygenRange, PerPerson, StoodFigures,
};
use super::pressing::{CompressionTable, LandOn, LeakCheck, OxygenFirst};
use super::row::Printed;
use super::work_oxygen::WorkOxygenFigures;
use super::working::{
    BellCrewFigures, BellRunFigures, IntervalRule, LengthFigures, RestFigures, WaterFigures,
};
use super::written::Written;
use super::{Missing, MissingRow, Provenance, Question, Row, RuleRefusal};
use deepstay_core::units::FswConvention;
use deepstay_core::words::Words;
use serde::Deserialize;

/// What a foot of sea water is in a set.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Feet {
    /// 33 fsw are one standard atmosphere.
    PerAtmosphere,
    /// One foot is 0.30643 msw.
    UnitTable,
}

/// Something the document holds that was not seen.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct NotSeen {
    /// Id the row would have.
    pub id: String,
    /// The question it would answer.
    pub question: Question,
    /// What is known of it.
    pub note: String,
}

/// A whole rule set. Questions are asked by its methods; each answer names the rows it used.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct RuleSet {
    /// Version of the file's grammar; 1.
    pub(super) format: u32,
    /// Short name.
    pub name: String,
    /// One line on what it is.
    pub title: String,
    /// The sets that it is based on: whatever it does not say itself is theirs, the first that has it before the others.
    #[serde(default)]
    pub based_on: Vec<BasedOn>,
    /// Ids of rows of law of its bases that it may be laxer than.
    #[serde(default)]
    pub(super) accepts: Vec<String>,
    /// What a foot of sea water is; needed where depths are in feet.
    #[serde(default)]
    pub(super) feet: Option<Row<Feet>>,
    #[serde(default)]
    pub(super) compression: Vec<Row<CompressionTable>>,
    #[serde(default)]
    pub(super) oxygen_first: Option<Row<OxygenFirst>>,
    #[serde(default)]
    pub(super) leak_check: Option<Row<LeakCheck>>,
    #[serde(default)]
    pub(super) land_on: Option<Row<LandOn>>,
    #[serde(default)]
    pub(super) storage_oxygen: Vec<Row<OxygenRange>>,
    #[serde(default)]
    pub(super) work_oxygen: Vec<Row<WorkOxygenFigures>>,
    #[serde(default)]
    pub(super) decompression: Vec<DecompressionScheme>,
    #[serde(default)]
    pub(super) decompression_start: Vec<Row<StartFigures>>,
    #[serde(default)]
    pub(super) emergency: Vec<DecompressionScheme>,
    #[serde(default)]
    pub(super) excursions: Vec<Row<ExcursionCurve>>,
    #[serde(default)]
    pub(super) excursion_travel: Option<Row<ExcursionTravel>>,
    #[serde(default)]
    pub(super) climate: Vec<Row<ClimateTable>>,
    #[serde(default)]
    pub(super) climate_between: Option<Row<Between>>,
    #[serde(default)]
    pub(super) limits: Vec<Row<LimitFigures>>,
    #[serde(default)]
    pub(super) absorbent: Vec<Row<StoodFigures>>,
    #[serde(default)]
    pub(super) calibration: Vec<Row<IntervalFigures>>,
    #[serde(default)]
    pub(super) logging: Vec<Row<IntervalFigures>>,
    #[serde(default)]
    pub(super) hygiene: Vec<Row<HygieneFigures>>,
    #[serde(default)]
    pub(super) bell_run: Vec<Row<BellRunFigures>>,
    #[serde(default)]
    pub(super) in_water: Vec<Row<WaterFigures>>,
    #[serde(default)]
    pub(super) rest: Vec<Row<RestFigures>>,
    #[serde(default)]
    pub(super) bell_crew: Vec<Row<BellCrewFigures>>,
    #[serde(default)]
    pub(super) saturation: Vec<Row<LengthFigures>>,
    #[serde(default)]
    pub(super) surface_interval: Vec<Row<IntervalRule>>,
    #[serde(default)]
    pub(super) co2_sizing: Vec<Row<PerPerson>>,
    #[serde(default)]
    pub(super) co2_actual: Vec<Row<PerPerson>>,
    #[serde(default)]
    pub(super) o2_sizing: Vec<Row<PerPerson>>,
    #[serde(default)]
    pub(super) gas_minimums: Vec<Row<GasMinimum>>,
    /// What the document holds that was not seen.
    #[serde(default)]
    pub(super) not_seen: Vec<NotSeen>,
    /// What it took from its bases.
    #[serde(skip)]
    pub(super) taken: Vec<Taken>,
    /// Where it was read from.
    #[serde(skip)]
    pub(super) written: Written,
    /// Where the sets that it is based on were read from.
    #[serde(skip)]
    pub(super) bases_written: Vec<Written>,
}

impl Printed for Feet {
    fn printed(&self) -> String {
        match self {
            Feet::PerAtmosphere => "33 fsw = 1.01325 bar".to_owned(),
            Feet::UnitTable => "1 fsw = 0.30643 msw".to_owned(),
        }
    }
}

/// Collects the rows of a set one section after the other.
pub(super) struct Lines {
    pub(super) all: Vec<Provenance>,
}

impl Lines {
    pub(super) fn rows<'a, T: Printed + 'a>(
        &mut self,
        what: &str,
        rows: impl IntoIterator<Item = &'a Row<T>>,
    ) {
        self.all.extend(rows.into_iter().map(|row| Provenance {
            id: row.id.clone(),
            what: match &row.from {
                Some(set) => format!("{what} (taken from {set})"),
                None => what.to_owned(),
            },
            figures: row.figures.printed(),
            source: row.source.clone(),
            needs_acceptance: row.usable(&[]).is_err(),
        }));
    }
}

/// How rows are put together with those of a base.
pub(super) trait Merge {
    /// Rows of which the first that reaches answers, or that hold beside each other.
    fn rows<T: Clone>(
        &self,
        part: RulePart,
        own: &mut Vec<Row<T>>,
        of: impl Fn(&RuleSet) -> &Vec<Row<T>>,
    ) -> Option<Taken>;
    /// A row that a set has once.
    fn row<T: Clone>(
        &self,
        part: RulePart,
        own: &mut Option<Row<T>>,
        of: impl Fn(&RuleSet) -> &Option<Row<T>>,
    ) -> Option<Taken>;
    /// Ways up.
    fn schemes(
        &self,
        own: &mut Vec<DecompressionScheme>,
        of: impl Fn(&RuleSet) -> &Vec<DecompressionScheme>,
    ) -> Option<Taken>;
}

impl RuleSet {
    /// Takes from its bases whatever it does not say itself; what it took.
    pub(super) fn merge(&mut self, bases: &impl Merge) -> Vec<Taken> {
        use RulePart as P;
        let taken = [
            bases.rows(P::Compression, &mut self.compression, |s| &s.compression),
            bases.row(P::Compression, &mut self.oxygen_first, |s| &s.oxygen_first),
            bases.row(P::Compression, &mut self.leak_check, |s| &s.leak_check),
            bases.row(P::Compression, &mut self.land_on, |s| &s.land_on),
            bases.rows(P::Oxygen, &mut self.storage_oxygen, |s| &s.storage_oxygen),
            bases.rows(P::Oxygen, &mut self.work_oxygen, |s| &s.work_oxygen),
            bases.schemes(&mut self.decompression, |s| &s.decompression),
            bases.rows(P::Decompression, &mut self.decompression_start, |s| {
                &s.decompression_start
            }),
            bases.schemes(&mut self.emergency, |s| &s.emergency),
            bases.rows(P::Excursions, &mut self.excursions, |s| &s.excursions),
            bases.row(P::Excursions, &mut self.excursion_travel, |s| {
                &s.excursion_travel
            }),
            bases.rows(P::Climate, &mut self.climate, |s| &s.climate),
            bases.row(P::Climate, &mut self.climate_between, |s| {
                &s.climate_between
            }),
            bases.rows(P::Limits, &mut self.limits, |s| &s.limits),
            bases.rows(P::Routine, &mut self.absorbent, |s| &s.absorbent),
            bases.rows(P::Routine, &mut self.calibration, |s| &s.calibration),
            bases.rows(P::Routine, &mut self.logging, |s| &s.logging),
            bases.rows(P::Routine, &mut self.hygiene, |s| &s.hygiene),
            bases.rows(P::WorkingTime, &mut self.bell_run, |s| &s.bell_run),
            bases.rows(P::WorkingTime, &mut self.in_water, |s| &s.in_water),
            bases.rows(P::WorkingTime, &mut self.rest, |s| &s.rest),
            bases.rows(P::WorkingTime, &mut self.bell_crew, |s| &s.bell_crew),
            bases.rows(P::WorkingTime, &mut self.saturation, |s| &s.saturation),
            bases.rows(P::WorkingTime, &mut self.surface_interval, |s| {
                &s.surface_interval
            }),
            bases.rows(P::Sizing, &mut self.co2_sizing, |s| &s.co2_sizing),
            bases.rows(P::Sizing, &mut self.co2_actual, |s| &s.co2_actual),
            bases.rows(P::Sizing, &mut self.o2_sizing, |s| &s.o2_sizing),
            bases.rows(P::GasMinimums, &mut self.gas_minimums, |s| &s.gas_minimums),
        ];
        taken.into_iter().flatten().collect()
    }

    /// What it took from the sets that it is based on.
    pub fn taken(&self) -> &[Taken] {
        &self.taken
    }

    /// The same in words, a clause a base; none of a set that stands alone.
    pub fn taken_words(&self) -> Option<String> {
        let mut froms: Vec<&str> = self.taken.iter().map(|t| t.from.as_str()).collect();
        froms.sort_unstable();
        froms.dedup();
        let of = |from: &&str| {
            let mine = self.taken.iter().filter(|t| t.from == **from);
            let parts: Vec<&str> = mine.map(|t| t.part.words()).collect();
            format!("from {from}: {}", parts.join(", "))
        };
        let words: Vec<String> = froms.iter().map(of).collect();
        (!words.is_empty()).then(|| format!("{} takes {}", self.name, words.join("; ")))
    }

    /// Every figure of the set with its source and status, in the file's order of sections.
    pub fn provenance(&self) -> Vec<Provenance> {
        let mut lines = Lines { all: Vec::new() };
        lines.rows("foot of sea water", &self.feet);
        lines.rows("compression rates", &self.compression);
        lines.rows("oxygen before helium", &self.oxygen_first);
        lines.rows("leak check", &self.leak_check);
        lines.rows("oxygen on arrival", &self.land_on);
        lines.rows("storage oxygen", &self.storage_oxygen);
        lines.rows("oxygen at work", &self.work_oxygen);
        for scheme in &self.decompression {
            scheme.list("decompression", &mut lines);
        }
        lines.rows("decompression start", &self.decompression_start);
        for scheme in &self.emergency {
            scheme.list("emergency decompression", &mut lines);
        }
        lines.rows("excursion limit", &self.excursions);
        lines.rows("excursion travel", &self.excursion_travel);
        lines.rows("climate", &self.climate);
        lines.rows("climate between printed depths", &self.climate_between);
        lines.rows("alarm limit", &self.limits);
        lines.rows("absorbent change", &self.absorbent);
        lines.rows("analyser calibration", &self.calibration);
        lines.rows("log interval", &self.logging);
        lines.rows("hygiene", &self.hygiene);
        lines.rows("bell run", &self.bell_run);
        lines.rows("time in water", &self.in_water);
        lines.rows("rest", &self.rest);
        lines.rows("bell crew", &self.bell_crew);
        lines.rows("saturation length", &self.saturation);
        lines.rows("surface interval", &self.surface_interval);
        lines.rows("carbon dioxide per person, sizing", &self.co2_sizing);
        lines.rows("carbon dioxide per person, measured", &self.co2_actual);
        lines.rows("oxygen per person, sizing", &self.o2_sizing);
        lines.rows("gas minimum", &self.gas_minimums);
        lines.all
    }

    /// What the set's documents hold that was not seen.
    pub fn not_seen(&self) -> &[NotSeen] {
        &self.not_seen
    }

    /// The set's foot of sea water.
    pub fn feet(&self) -> FswConvention {
        match self.feet.as_ref().map(|row| row.figures) {
            Some(Feet::UnitTable) => FswConvention::UnitTable,
            _ => FswConvention::PerAtmosphere,
        }
    }

    /// A refusal; what was not seen, or the row that is not there, is named beside what stood in the way.
    pub(super) fn refuse(&self, question: Question, mut missing: Vec<MissingRow>) -> RuleRefusal {
        missing.extend(
            self.not_seen
                .iter()
                .filter(|gap| gap.question == question)
                .map(|gap| MissingRow {
                    id: gap.id.clone(),
                    why: Missing::NotSeen(gap.note.clone()),
                }),
        );
        if missing.is_empty() {
            let id = format!(
                "{}.{}",
                self.name,
                question.words().replace(", ", ".").replace(' ', "-")
            );
            missing.push(MissingRow {
                id,
                why: Missing::NotInSet,
            });
        }
        RuleRefusal {
            set: self.name.clone(),
            question,
            missing,
        }
    }
}
