//! A whole rule set as its file holds it, its provenance, and how it refuses.

use super::after::AfterFigures;
use super::based::{BasedOn, RulePart, Taken};
use super::bleeding_table::{DecompressionScheme, StartFigures};
use super::breathing::{
    ContaminantFigures, DensityFigures, MaskTimeFigures, TreatmentFigures, WorkOxygenFigures,
};
use super::excursion::{ExcursionCurve, ExcursionTravel};
use super::gas_minimums::GasMinimum;
use super::limits::LimitFigures;
use super::living::{
    Between, ClimateTable, HygieneFigures, IntervalFigures, OxygenRange, PerPerson, StoodFigures,
};
use super::pressing::{CompressionTable, LandOn, LeakCheck, OxygenFirst};
use super::row::Printed;
use super::surface::{
    CrewFigures, EvacuationFigures, FireZoneFigures, MonitoringFigures, UmbilicalFigures,
};
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
    /// What a foot of sea water is; 0.30643 msw, as everywhere else, where a set says nothing of it.
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
    pub(super) after_surfacing: Vec<Row<AfterFigures>>,
    #[serde(default)]
    pub(super) mask_time: Vec<Row<MaskTimeFigures>>,
    #[serde(default)]
    pub(super) gas_density: Vec<Row<DensityFigures>>,
    #[serde(default)]
    pub(super) contaminants: Vec<Row<ContaminantFigures>>,
    #[serde(default)]
    pub(super) treatment_gas: Vec<Row<TreatmentFigures>>,
    #[serde(default)]
    pub(super) surface_crew: Vec<Row<CrewFigures>>,
    #[serde(default)]
    pub(super) monitoring: Vec<Row<MonitoringFigures>>,
    #[serde(default)]
    pub(super) evacuation: Vec<Row<EvacuationFigures>>,
    #[serde(default)]
    pub(super) umbilicals: Vec<Row<UmbilicalFigures>>,
    #[serde(default)]
    pub(super) fire_zone: Vec<Row<FireZoneFigures>>,
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
        // Named one by one: a section that is not looked at here does not compile.
        let RuleSet {
            format: _,
            name: _,
            title: _,
            based_on: _,
            accepts: _,
            feet: _,
            not_seen: _,
            taken: _,
            written: _,
            bases_written: _,
            compression,
            oxygen_first,
            leak_check,
            land_on,
            storage_oxygen,
            work_oxygen,
            decompression,
            decompression_start,
            emergency,
            excursions,
            excursion_travel,
            climate,
            climate_between,
            limits,
            absorbent,
            calibration,
            logging,
            hygiene,
            bell_run,
            in_water,
            rest,
            bell_crew,
            saturation,
            surface_interval,
            after_surfacing,
            mask_time,
            gas_density,
            contaminants,
            treatment_gas,
            surface_crew,
            monitoring,
            evacuation,
            umbilicals,
            fire_zone,
            co2_sizing,
            co2_actual,
            o2_sizing,
            gas_minimums,
        } = self;
        let taken = [
            bases.rows(P::Compression, compression, |s| &s.compression),
            bases.row(P::Compression, oxygen_first, |s| &s.oxygen_first),
            bases.row(P::Compression, leak_check, |s| &s.leak_check),
            bases.row(P::Compression, land_on, |s| &s.land_on),
            bases.rows(P::Oxygen, storage_oxygen, |s| &s.storage_oxygen),
            bases.rows(P::Oxygen, work_oxygen, |s| &s.work_oxygen),
            bases.schemes(decompression, |s| &s.decompression),
            bases.rows(P::Decompression, decompression_start, |s| {
                &s.decompression_start
            }),
            bases.schemes(emergency, |s| &s.emergency),
            bases.rows(P::Excursions, excursions, |s| &s.excursions),
            bases.row(P::Excursions, excursion_travel, |s| &s.excursion_travel),
            bases.rows(P::Climate, climate, |s| &s.climate),
            bases.row(P::Climate, climate_between, |s| &s.climate_between),
            bases.rows(P::Limits, limits, |s| &s.limits),
            bases.rows(P::Routine, absorbent, |s| &s.absorbent),
            bases.rows(P::Routine, calibration, |s| &s.calibration),
            bases.rows(P::Routine, logging, |s| &s.logging),
            bases.rows(P::Routine, hygiene, |s| &s.hygiene),
            bases.rows(P::WorkingTime, bell_run, |s| &s.bell_run),
            bases.rows(P::WorkingTime, in_water, |s| &s.in_water),
            bases.rows(P::WorkingTime, rest, |s| &s.rest),
            bases.rows(P::WorkingTime, bell_crew, |s| &s.bell_crew),
            bases.rows(P::WorkingTime, saturation, |s| &s.saturation),
            bases.rows(P::WorkingTime, surface_interval, |s| &s.surface_interval),
            bases.rows(P::WorkingTime, after_surfacing, |s| &s.after_surfacing),
            bases.rows(P::WorkingTime, mask_time, |s| &s.mask_time),
            bases.rows(P::Oxygen, gas_density, |s| &s.gas_density),
            bases.rows(P::Oxygen, contaminants, |s| &s.contaminants),
            bases.rows(P::Safeguards, treatment_gas, |s| &s.treatment_gas),
            bases.rows(P::Safeguards, surface_crew, |s| &s.surface_crew),
            bases.rows(P::Safeguards, monitoring, |s| &s.monitoring),
            bases.rows(P::Safeguards, evacuation, |s| &s.evacuation),
            bases.rows(P::Safeguards, umbilicals, |s| &s.umbilicals),
            bases.rows(P::Safeguards, fire_zone, |s| &s.fire_zone),
            bases.rows(P::Sizing, co2_sizing, |s| &s.co2_sizing),
            bases.rows(P::Sizing, co2_actual, |s| &s.co2_actual),
            bases.rows(P::Sizing, o2_sizing, |s| &s.o2_sizing),
            bases.rows(P::GasMinimums, gas_minimums, |s| &s.gas_minimums),
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
        let RuleSet {
            format: _,
            name: _,
            title: _,
            based_on: _,
            accepts: _,
            not_seen: _,
            taken: _,
            written: _,
            bases_written: _,
            feet,
            compression,
            oxygen_first,
            leak_check,
            land_on,
            storage_oxygen,
            work_oxygen,
            decompression,
            decompression_start,
            emergency,
            excursions,
            excursion_travel,
            climate,
            climate_between,
            limits,
            absorbent,
            calibration,
            logging,
            hygiene,
            bell_run,
            in_water,
            rest,
            bell_crew,
            saturation,
            surface_interval,
            after_surfacing,
            mask_time,
            gas_density,
            contaminants,
            treatment_gas,
            surface_crew,
            monitoring,
            evacuation,
            umbilicals,
            fire_zone,
            co2_sizing,
            co2_actual,
            o2_sizing,
            gas_minimums,
        } = self;
        let mut lines = Lines { all: Vec::new() };
        lines.rows("foot of sea water", feet);
        lines.rows("compression rates", compression);
        lines.rows("oxygen before helium", oxygen_first);
        lines.rows("leak check", leak_check);
        lines.rows("oxygen on arrival", land_on);
        lines.rows("storage oxygen", storage_oxygen);
        lines.rows("oxygen at work", work_oxygen);
        for scheme in decompression {
            scheme.list("decompression", &mut lines);
        }
        lines.rows("decompression start", decompression_start);
        for scheme in emergency {
            scheme.list("emergency decompression", &mut lines);
        }
        lines.rows("excursion limit", excursions);
        lines.rows("excursion travel", excursion_travel);
        lines.rows("climate", climate);
        lines.rows("climate between printed depths", climate_between);
        lines.rows("alarm limit", limits);
        lines.rows("absorbent change", absorbent);
        lines.rows("analyser calibration", calibration);
        lines.rows("log interval", logging);
        lines.rows("hygiene", hygiene);
        lines.rows("bell run", bell_run);
        lines.rows("time in water", in_water);
        lines.rows("rest", rest);
        lines.rows("bell crew", bell_crew);
        lines.rows("saturation length", saturation);
        lines.rows("surface interval", surface_interval);
        lines.rows("after surfacing", after_surfacing);
        lines.rows("time on a mask", mask_time);
        lines.rows("gas density", gas_density);
        lines.rows("contaminants", contaminants);
        lines.rows("treatment gas", treatment_gas);
        lines.rows("crew at the surface", surface_crew);
        lines.rows("monitoring", monitoring);
        lines.rows("evacuation under pressure", evacuation);
        lines.rows("umbilical and bail-out", umbilicals);
        lines.rows("fire zone", fire_zone);
        lines.rows("carbon dioxide per person, sizing", co2_sizing);
        lines.rows("carbon dioxide per person, measured", co2_actual);
        lines.rows("oxygen per person, sizing", o2_sizing);
        lines.rows("gas minimum", gas_minimums);
        lines.all
    }

    /// What the set's documents hold that was not seen.
    pub fn not_seen(&self) -> &[NotSeen] {
        &self.not_seen
    }

    /// The set's foot of sea water; one that says nothing of it counts as everything else does.
    pub fn feet(&self) -> FswConvention {
        match self.feet.as_ref().map(|row| row.figures) {
            Some(Feet::PerAtmosphere) => FswConvention::PerAtmosphere,
            Some(Feet::UnitTable) => FswConvention::UnitTable,
            None => FswConvention::default(),
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
