//! Rule files in: read as strictly as any other file, the version first, every row with a source, tables in
//! order. The built-in sets lie in `scenarios/rules` and are carried in the program.

use super::after::AfterFigures;
use super::based::{BasedOn, Bases, is_path};
use super::bleeding_table::{DecompressionScheme, StartFigures};
use super::breathing::{
    ContaminantFigures, DensityFigures, MaskTimeFigures, TreatmentFigures, WorkOxygenFigures,
};
use super::excursion::{ExcursionCurve, ExcursionTravel};
use super::limits::LimitFigures;
use super::living::{
    Between, ClimateTable, HygieneFigures, IntervalFigures, OxygenRange, PerPerson, StoodFigures,
};
use super::pressing::{CompressionTable, LandOn, LeakCheck, OxygenFirst};
use super::surface::{
    CrewFigures, EvacuationFigures, FireZoneFigures, MonitoringFigures, UmbilicalFigures,
};
use super::working::{
    BellCrewFigures, BellRunFigures, IntervalRule, LengthFigures, RestFigures, WaterFigures,
};
use super::written::Written;
use super::{Feet, GasMinimum, NotSeen, Row, RuleSet, Source};
use deepstay_read::{
    Diagnostics, Document, Part, Section, Wrong, did_you_mean, fault, file_text, nearest,
    suggest_file,
};
use std::path::Path;
use std::sync::Arc;

macro_rules! built_in {
    ($($name:literal),* $(,)?) => {
        const BUILT_IN: &[(&str, &str)] = &[$(
            ($name, include_str!(concat!("../../../scenarios/rules/", $name, ".ron"))),
        )*];
    };
}

built_in![
    "demonstration",
    "us-navy",
    "accelerated",
    "france-2012",
    "france",
    "norway",
    "uk",
    "brazil-2025",
    "canada",
    "canada-nl",
    "united-states",
    "industry",
    "china-2021",
    "norway-companion",
    "uk-companion",
    "brazil-2025-companion",
    "france-2012-companion",
    "canada-companion",
];

/// Names of the built-in sets, in the order of the list.
pub fn builtin_names() -> impl Iterator<Item = &'static str> {
    BUILT_IN.iter().map(|(name, _)| *name)
}

/// The text of a built-in set, comments and all.
///
/// # Errors
/// No set has that name.
pub fn builtin_text(name: &str) -> Result<&'static str, Wrong> {
    let mut all = BUILT_IN.iter();
    let found = all.find(|(known, _)| *known == name);
    found.map(|(_, text)| *text).ok_or_else(|| Wrong::NoSuch {
        kind: "built-in rule set",
        name: name.to_owned(),
        known: builtin_names().map(str::to_owned).collect(),
    })
}

/// What the file of a built-in set is called wherever a place in it is named.
pub fn builtin_file(name: &str) -> String {
    format!("built-in rule set {name}")
}

/// A built-in set.
///
/// # Errors
/// No set has that name.
pub fn builtin(name: &str) -> Result<RuleSet, Diagnostics> {
    RuleSet::asked_for(name, name, &[name.to_owned()])
}

/// A set by the name of a built-in one, or by the path of a file, from where the program was started. A name has neither a
/// dot nor a stroke in it.
///
/// # Errors
/// What is wrong and where.
pub fn named(name: &str) -> Result<RuleSet, Diagnostics> {
    match is_path(name) {
        true => RuleSet::from_path(Path::new(name)),
        false => builtin(name),
    }
}

/// What can be read by itself, so that a fault in one row does not hide another.
const PARTS: &[Part] = &[
    ("based_on[]", fault::<BasedOn>),
    ("feet", fault::<Row<Feet>>),
    ("compression[]", fault::<Row<CompressionTable>>),
    ("oxygen_first", fault::<Row<OxygenFirst>>),
    ("leak_check", fault::<Row<LeakCheck>>),
    ("land_on", fault::<Row<LandOn>>),
    ("storage_oxygen[]", fault::<Row<OxygenRange>>),
    ("work_oxygen[]", fault::<Row<WorkOxygenFigures>>),
    ("decompression[]", fault::<DecompressionScheme>),
    ("decompression_start[]", fault::<Row<StartFigures>>),
    ("emergency[]", fault::<DecompressionScheme>),
    ("excursions[]", fault::<Row<ExcursionCurve>>),
    ("excursion_travel", fault::<Row<ExcursionTravel>>),
    ("climate[]", fault::<Row<ClimateTable>>),
    ("climate_between", fault::<Row<Between>>),
    ("limits[]", fault::<Row<LimitFigures>>),
    ("absorbent[]", fault::<Row<StoodFigures>>),
    ("calibration[]", fault::<Row<IntervalFigures>>),
    ("logging[]", fault::<Row<IntervalFigures>>),
    ("hygiene[]", fault::<Row<HygieneFigures>>),
    ("bell_run[]", fault::<Row<BellRunFigures>>),
    ("in_water[]", fault::<Row<WaterFigures>>),
    ("rest[]", fault::<Row<RestFigures>>),
    ("bell_crew[]", fault::<Row<BellCrewFigures>>),
    ("saturation[]", fault::<Row<LengthFigures>>),
    ("surface_interval[]", fault::<Row<IntervalRule>>),
    ("after_surfacing[]", fault::<Row<AfterFigures>>),
    ("mask_time[]", fault::<Row<MaskTimeFigures>>),
    ("gas_density[]", fault::<Row<DensityFigures>>),
    ("contaminants[]", fault::<Row<ContaminantFigures>>),
    ("treatment_gas[]", fault::<Row<TreatmentFigures>>),
    ("surface_crew[]", fault::<Row<CrewFigures>>),
    ("monitoring[]", fault::<Row<MonitoringFigures>>),
    ("evacuation[]", fault::<Row<EvacuationFigures>>),
    ("umbilicals[]", fault::<Row<UmbilicalFigures>>),
    ("fire_zone[]", fault::<Row<FireZoneFigures>>),
    ("co2_sizing[]", fault::<Row<PerPerson>>),
    ("co2_actual[]", fault::<Row<PerPerson>>),
    ("o2_sizing[]", fault::<Row<PerPerson>>),
    ("gas_minimums[]", fault::<Row<GasMinimum>>),
    ("not_seen[]", fault::<NotSeen>),
];

impl RuleSet {
    /// A set from text; `file_name` is for messages.
    ///
    /// # Errors
    /// What is wrong and where.
    pub fn from_ron(text: &str, file_name: &str) -> Result<RuleSet, Diagnostics> {
        RuleSet::from_document(Document::parse(file_name, text)?)
    }

    /// A set from a file.
    ///
    /// # Errors
    /// What is wrong and where.
    pub fn from_path(path: &Path) -> Result<RuleSet, Diagnostics> {
        let file = path.display().to_string();
        let bad = |wrong| Diagnostics::alone(&file, wrong, suggest_file(path));
        let text = file_text(path).map_err(bad)?;
        RuleSet::from_ron(&text, &file)
    }

    fn from_document(document: Document) -> Result<RuleSet, Diagnostics> {
        let mut diagnostics = Diagnostics::default();
        let section = Section::whole(Arc::new(document));
        let made = RuleSet::from_section(&section, &mut diagnostics);
        diagnostics.close(made)
    }

    /// A set from where it is written: a file of its own or in place.
    /// A file of that name as a base has it, which is the last of those that led to it.
    pub fn from_section(section: &Section, diagnostics: &mut Diagnostics) -> Option<RuleSet> {
        RuleSet::from_chain(
            section,
            &[section.document().file().to_owned()],
            diagnostics,
        )
    }

    /// A set that a base names: a built-in one by its name, a file by its path.
    pub(super) fn asked_for(
        name: &str,
        key: &str,
        chain: &[String],
    ) -> Result<RuleSet, Diagnostics> {
        let (file, text) = match is_path(name) {
            true => {
                let path = Path::new(key);
                let bad = |wrong| Diagnostics::alone(key, wrong, suggest_file(path));
                (key.to_owned(), file_text(path).map_err(bad)?)
            }
            false => {
                let text = builtin_text(name).map_err(|wrong| {
                    let near = did_you_mean(nearest(name, builtin_names()));
                    Diagnostics::alone(name, wrong, near)
                })?;
                (builtin_file(name), text.to_owned())
            }
        };
        let mut diagnostics = Diagnostics::default();
        let section = Section::whole(Arc::new(Document::parse(&file, &text)?));
        let made = RuleSet::from_chain(&section, chain, &mut diagnostics);
        diagnostics.close(made)
    }

    fn from_chain(
        section: &Section,
        chain: &[String],
        diagnostics: &mut Diagnostics,
    ) -> Option<RuleSet> {
        let mut set: RuleSet = section.whole_file(PARTS, diagnostics)?;
        set.written = Written::within(section);
        let before = diagnostics.count();
        // What it writes itself is held to what a set may be before what it takes is put behind it.
        set.check(section, diagnostics);
        let bases = Bases::read(&set, section, chain, diagnostics)?;
        if diagnostics.count() == before {
            set.lay(&bases, section, diagnostics);
        }
        (diagnostics.count() == before).then_some(set)
    }

    fn check(&self, section: &Section, diagnostics: &mut Diagnostics) {
        // Where the rows with an id are written, in the order of the file.
        let rows = |id: &str| {
            section
                .node()
                .map_or_else(Vec::new, |n| n.paths_to("id", id))
        };
        let at = |id: &str| {
            rows(id)
                .first()
                .map_or_else(String::new, ToString::to_string)
        };
        let lines = self.provenance();
        for line in lines.iter().filter(|l| l.source.document.trim().is_empty()) {
            let wrong = Wrong::Value(format!("the rule `{}` has no source", line.id));
            let remedy = "add source: (document: \"...\", status: Seen)".to_owned();
            diagnostics.add_with(section, &at(&line.id), wrong, Some(remedy));
        }
        let mut ids: Vec<&str> = lines.iter().map(|line| line.id.as_str()).collect();
        if ids.iter().any(|id| id.trim().is_empty()) {
            let wrong = Wrong::Value("a rule needs an id".to_owned());
            diagnostics.add(section, &at(""), wrong);
        }
        ids.sort_unstable();
        for pair in ids.windows(2).filter(|pair| pair[0] == pair[1]) {
            let id = pair[0];
            if let Some(again) = rows(id).get(1) {
                let wrong = Wrong::Value(format!("the rule `{id}`: the id is used twice"));
                let remedy = "give each rule an id of its own".to_owned();
                diagnostics.add_with(section, &again.to_string(), wrong, Some(remedy));
            }
        }
        if let Err((id, what)) = self.check_tables() {
            let wrong = Wrong::Value(format!("the rule `{id}`: {what}"));
            diagnostics.add(section, &at(&id), wrong);
        }
    }

    /// Bands in order, edges the right way round, rest hours that leave hours to travel.
    fn check_tables(&self) -> Result<(), (String, String)> {
        let feet = self.feet();
        let fail = |id: &str, what: &str| Err((id.to_owned(), what.to_owned()));
        let rising = |depths: &[f64]| depths.windows(2).all(|pair| pair[0] < pair[1]);
        for row in &self.compression {
            let edges: Vec<f64> = row
                .figures
                .cases
                .iter()
                .map(|c| c.storage_to.plain(feet))
                .collect();
            let bands = |c: &super::pressing::CompressionCase| {
                let depths: Vec<f64> = c.bands.iter().map(|b| b.down_to.plain(feet)).collect();
                rising(&depths) && depths.last() == Some(&c.storage_to.plain(feet))
            };
            if edges.is_empty() || !rising(&edges) || !row.figures.cases.iter().all(bands) {
                return fail(
                    &row.id,
                    "cases and bands go from shallow to deep, the last band to the case's depth",
                );
            }
        }
        for scheme in self.decompression.iter().chain(&self.emergency) {
            let mut depths: Vec<f64> = scheme
                .rates
                .figures
                .bands
                .iter()
                .map(|b| b.deeper_than.plain(feet))
                .collect();
            depths.insert(0, scheme.rates.figures.deepest.plain(feet));
            depths.reverse();
            if depths.len() < 2 || !rising(&depths) || depths[0] != 0.0 {
                return fail(&scheme.rates.id, "bands go from the deepest start to 0");
            }
            if let Some(row) = &scheme.rest {
                let hours = &row.figures.hours;
                let rest: i64 = hours.iter().map(|(from, to)| to.0 - from.0).sum();
                let ordered = hours.iter().all(|(from, to)| from < to);
                if !ordered
                    || !hours.windows(2).all(|pair| pair[0].1 <= pair[1].0)
                    || rest > 20 * 3600
                {
                    return fail(
                        &row.id,
                        "rest hours are in order within one day and leave four hours to travel",
                    );
                }
            }
            if let super::bleeding_table::Travel::Steps { step, .. }
            | super::bleeding_table::Travel::Linear { every: step } = &scheme.travel.figures
                && step.plain(feet) < 0.01
            {
                return fail(&scheme.travel.id, "a step is at least 0.01 msw");
            }
        }
        for row in &self.storage_oxygen {
            if row.figures.low.get() >= row.figures.high.get() {
                return fail(&row.id, "the lower edge is below the upper");
            }
        }
        if let Some(row) = self.work_oxygen.iter().find(|row| !row.figures.in_order()) {
            return fail(&row.id, "durations rise and their oxygen falls");
        }
        let density = |row: &&Row<DensityFigures>| {
            let most = row.figures.most_g_l;
            !(most > 0.0 && most < 100.0)
        };
        if let Some(row) = self.gas_density.iter().find(density) {
            return fail(&row.id, "a density is more than 0 and less than 100 g/L");
        }
        let mut treatment = self.treatment_gas.iter();
        if let Some(row) = treatment.find(|row| !row.figures.in_order(feet)) {
            return fail(&row.id, "edges of oxygen and depths rise");
        }
        if let Some(row) = self.monitoring.iter().find(|row| row.figures.of.is_empty()) {
            return fail(&row.id, "something is shown");
        }
        let wrong = |row: &Row<UmbilicalFigures>| Some((row.id.clone(), row.figures.wrong()?));
        if let Some((id, why)) = self.umbilicals.iter().find_map(wrong) {
            return fail(&id, why);
        }
        let wrong = |row: &Row<super::GasMinimum>| Some((row.id.clone(), row.figures.wrong()?));
        if let Some((id, why)) = self.gas_minimums.iter().find_map(wrong) {
            return fail(&id, why);
        }
        for row in &self.climate {
            let depths: Vec<f64> = row.figures.bands.iter().map(|b| b.0.plain(feet)).collect();
            if depths.is_empty()
                || !rising(&depths)
                || row.figures.bands.iter().any(|b| b.1.get() >= b.2.get())
            {
                return fail(
                    &row.id,
                    "bands go from shallow to deep, each with its lower edge below the upper",
                );
            }
        }
        let finite = |row: &Row<super::excursion::ExcursionCurve>| {
            let f = &row.figures;
            [f.constant_fsw2, f.slope_fsw]
                .iter()
                .all(|x| x.is_finite() && *x > 0.0 && *x < 1e6)
        };
        if let Some(row) = self.excursions.iter().find(|row| !finite(row)) {
            return fail(&row.id, "constant and slope are positive numbers");
        }
        Ok(())
    }
}

/// Whether a source says anything.
impl Source {
    /// Document and status in one line.
    pub fn words(&self) -> String {
        format!("{} [{}]", self.document, self.status)
    }
}
