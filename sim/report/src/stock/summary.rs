//! A stock study's summary: what `stock.json` holds. Always metric, units in the names of the fields.

use super::inputs::{StockInputs, StockPapers};
use super::words::{BURNING, gas_name, size_name};
use crate::kit::places::round;
use crate::made_from::MadeFromSummary;
use deepstay_core::CAUTION;
use deepstay_core::units::{FREE, FREE_WORDS, Moles, about};
use deepstay_core::words::Words;
use deepstay_stock::reserve::{Origin, Part, Sheet, Total};
use deepstay_stock::{AbsorbentAnswer, CanisterSize, Chance, ChanceDay, DEFINITION, Estimate};
use serde::Serialize;

/// Version of the shape of `stock.json`. The first had no way home, nothing of what is posted, and burning in no demand; the
/// second nothing of absorbent but what all jobs used.
pub const STOCK_FORMAT: u32 = 3;

/// The summary.
#[derive(Clone, Debug, Serialize)]
#[non_exhaustive]
pub struct StockSummary {
    /// Version of this file's shape.
    pub format: u32,
    /// What the tool is for, and what it is not.
    pub caution: String,
    /// Short name of the scenario.
    pub scenario: String,
    /// One line on what it is.
    pub title: String,
    /// Name of the rule set of the job.
    pub rule_set: String,
    /// Version of the program.
    pub version: String,
    /// The files that the scenario was made of, the job's own first; none where whoever made the study did not say.
    pub made_from: Vec<MadeFromSummary>,
    /// Seed of what was drawn.
    pub seed: u64,
    /// Fingerprint of the scenario's files.
    pub fingerprint: String,
    /// Inputs set by hand.
    pub set: Vec<String>,
    /// First job asked for, and the one after the last.
    pub jobs_asked: (u64, u64),
    /// Jobs in the figures.
    pub jobs: usize,
    /// Jobs that could not be run.
    pub jobs_failed: usize,
    /// Whether it was interrupted.
    pub interrupted: bool,
    /// By how much the banks were multiplied.
    pub ample: f64,
    /// What a cubic metre of free gas means here.
    pub free_reference: String,
    /// What a quantile means here.
    pub quantiles: String,
    /// Share of jobs that the load is to cover.
    pub covered: f64,
    /// Gas by gas.
    pub gases: Vec<GasLine>,
    /// All that is no gas of the banks.
    pub others: Vec<OtherLine>,
    /// Absorbent: what is aboard, and what the jobs change; none where no scrubber is fitted.
    pub absorbent: Option<AbsorbentOut>,
    /// Chances by day that any gas, or absorbent, is below a minimum, and that work was stopped for want of gas.
    pub chance: Vec<ChanceLine>,
    /// Share of jobs that did not come to the surface.
    pub not_surfaced: ChanceOut,
    /// Share of jobs in which an order or a run failed for want of gas.
    pub cut_short: ChanceOut,
    /// What was drawn for each job.
    pub sources: Vec<SourceLine>,
    /// What if.
    pub what_if: Vec<DifferenceLine>,
    /// Minimums by the first rule set.
    pub minimums: Vec<MinimumLine>,
    /// What is posted: of each kind of stock the greatest that any set asks for.
    pub posted: Vec<MinimumLine>,
    /// What to load, where a supplier was named.
    pub load: Vec<LoadOut>,
    /// What a reader has to be told first.
    pub remarks: Vec<String>,
}

/// A distribution, m3 of free gas or the unit beside it.
#[derive(Clone, Debug, Serialize)]
pub struct SpreadOut {
    pub mean: f64,
    pub mean_low_95: Option<f64>,
    pub mean_high_95: Option<f64>,
    pub sd: f64,
    pub least: f64,
    pub most: f64,
    pub quantiles: Vec<QuantileOut>,
}

/// A quantile.
#[derive(Clone, Debug, Serialize)]
pub struct QuantileOut {
    pub p: f64,
    pub value: f64,
    pub low: Option<f64>,
    pub high: Option<f64>,
    pub interval_covers: f64,
}

/// A gas.
#[derive(Clone, Debug, Serialize)]
pub struct GasLine {
    pub gas: String,
    pub loaded_m3_free: f64,
    pub loaded_by_hand_m3: f64,
    pub demand_m3_free: SpreadOut,
    pub purposes_m3_free: Vec<(String, SpreadOut)>,
    pub brought_back_m3_free: SpreadOut,
    pub minimum_m3_free: f64,
    pub cannot_be_drawn_m3_free: f64,
    pub chance: Vec<ChanceLine>,
    pub rank_correlation: Vec<PullLine>,
}

/// A rank correlation.
#[derive(Clone, Debug, Serialize)]
pub struct PullLine {
    pub assumption: String,
    pub rho: f64,
    pub low: f64,
    pub high: f64,
}

/// All else.
#[derive(Clone, Debug, Serialize)]
pub struct OtherLine {
    pub what: String,
    pub unit: String,
    pub over_all_jobs: SpreadOut,
}

/// Absorbent as stock and demand.
#[derive(Clone, Debug, Serialize)]
pub struct AbsorbentOut {
    /// The first filling of every scrubber.
    pub in_scrubbers_kg: f64,
    /// Beside it on deck; none where the study does not say.
    pub spare_kg: Option<f64>,
    /// The bell's own spare, which stays there.
    pub in_bell_kg: f64,
    /// The minimum of the chambers, with the way home.
    pub minimum_kg: f64,
    /// What counts towards it at the start.
    pub counts_kg: f64,
    pub changed_kg: SpreadOut,
    pub canisters: Vec<CanisterLine>,
    pub chance: Vec<AbsorbentChanceLine>,
}

/// Canisters of one size.
#[derive(Clone, Debug, Serialize)]
pub struct CanisterLine {
    pub canister: String,
    pub kg: f64,
    pub scrubbers: u32,
    /// Whole canisters that the spare fills, were it all for this size.
    pub spare_fills: Option<u32>,
    /// How many a job changes.
    pub changed: SpreadOut,
}

/// Chances of absorbent by the end of a day.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct AbsorbentChanceLine {
    pub day: u32,
    pub below_minimum: ChanceOut,
    pub too_little: ChanceOut,
}

/// A chance with its interval.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct ChanceOut {
    pub p: f64,
    pub low: f64,
    pub high: f64,
    pub hits: u64,
    pub of: u64,
}

/// Chances by the end of a day.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct ChanceLine {
    pub day: u32,
    pub below_minimum: ChanceOut,
    pub stopped: ChanceOut,
}

/// A source of chance.
#[derive(Clone, Debug, Serialize)]
pub struct SourceLine {
    pub name: String,
    pub law: String,
    pub source: String,
}

/// A difference by what was set.
#[derive(Clone, Debug, Serialize)]
pub struct DifferenceLine {
    pub gas: String,
    pub base_mean_m3_free: f64,
    pub changed_mean_m3_free: f64,
    pub difference_m3_free: SpreadOut,
}

/// A minimum.
#[derive(Clone, Debug, Serialize)]
pub struct MinimumLine {
    pub of: String,
    pub rule_set: String,
    pub unit: String,
    pub minimum: f64,
    /// What of it is for the way home: to end the dive and bring everybody to the surface.
    pub way_home: f64,
    pub held_at_start: f64,
    pub met: bool,
    pub rules: Vec<String>,
    /// Each of these rows with its formula, and what it is kept against.
    pub formulas: Vec<String>,
    /// Inputs of these rows that the house assumed.
    pub assumed: Vec<String>,
}

/// Units to load.
#[derive(Clone, Debug, Serialize)]
pub struct LoadOut {
    pub item: String,
    pub count: u32,
    pub mass_full_kg: f64,
    pub price: f64,
    pub currency: String,
}

impl StockSummary {
    /// The summary of a study.
    pub fn of(papers: &StockPapers<'_>) -> StockSummary {
        let study: &StockInputs<'_> = &papers.study;
        let answer = study.answer;
        let gas = |g: &deepstay_stock::GasAnswer| GasLine {
            gas: gas_name(&g.gas),
            loaded_m3_free: m3(g.start_mol),
            loaded_by_hand_m3: g.start_by_hand_m3,
            demand_m3_free: spread(&g.demand, m3_of()),
            purposes_m3_free: g
                .purposes
                .iter()
                .map(|(p, s)| (p.words(), s))
                .chain(g.burning.iter().map(|s| (BURNING, s)))
                .map(|(p, s)| (p.to_owned(), spread(s, m3_of())))
                .collect(),
            brought_back_m3_free: spread(&g.returned, m3_of()),
            minimum_m3_free: m3(g.minimum_mol),
            cannot_be_drawn_m3_free: m3(g.heel_mol),
            chance: g.chance.iter().map(line).collect(),
            rank_correlation: g
                .correlations
                .iter()
                .map(|p| PullLine {
                    assumption: p.source.clone(),
                    rho: p.rank.rho,
                    low: p.rank.low,
                    high: p.rank.high,
                })
                .collect(),
        };
        let other = |o: &deepstay_stock::Other| match o.unit {
            "mol" => OtherLine {
                what: o.name.into(),
                unit: "m3 free".into(),
                over_all_jobs: spread(&o.estimate, m3_of()),
            },
            "m3" => OtherLine {
                what: o.name.into(),
                unit: "m3 free".into(),
                over_all_jobs: spread(&o.estimate, 1.0),
            },
            unit => OtherLine {
                what: o.name.into(),
                unit: unit.into(),
                over_all_jobs: spread(&o.estimate, 1.0),
            },
        };
        let load = papers.load.iter().flat_map(|l| {
            l.load.mobilisation.iter().map(|m| LoadOut {
                item: m.name.clone(),
                count: m.count,
                mass_full_kg: m.full_kg,
                price: m.price,
                currency: l.supplier.currency.clone(),
            })
        });
        StockSummary {
            format: STOCK_FORMAT,
            caution: CAUTION.into(),
            scenario: study.subject.scenario.clone(),
            title: study.subject.title.clone(),
            rule_set: study.subject.rule_set.clone(),
            version: study.head.version.clone(),
            made_from: study.subject.made_from.iter().map(Into::into).collect(),
            seed: study.head.seed,
            fingerprint: format!("{:016x}", study.head.fingerprint),
            set: study
                .head
                .set
                .iter()
                .map(|(way, to)| format!("{way}={to}"))
                .collect(),
            jobs_asked: answer.asked,
            jobs: answer.jobs,
            jobs_failed: study.failed.len(),
            interrupted: study.interrupted,
            ample: study.head.ample,
            free_reference: FREE_WORDS.into(),
            quantiles: DEFINITION.into(),
            covered: study.covered,
            gases: answer.gases.iter().map(gas).collect(),
            others: answer.others.iter().map(other).collect(),
            absorbent: answer.absorbent.as_ref().map(absorbent),
            chance: answer.chance.iter().map(line).collect(),
            not_surfaced: out(&answer.not_surfaced),
            cut_short: out(&answer.cut_short),
            sources: study
                .sources
                .iter()
                .map(|s| SourceLine {
                    name: s.name.clone(),
                    law: StockInputs::law(s),
                    source: s.source.clone(),
                })
                .collect(),
            what_if: study
                .what_if
                .iter()
                .flat_map(|w| &w.differences)
                .map(difference)
                .collect(),
            minimums: minimums(papers.sheet, papers.sheet),
            posted: minimums(papers.posted, papers.sheet),
            load: load.collect(),
            remarks: study.remarks.to_vec(),
        }
    }

    /// The summary as `stock.json` holds it.
    ///
    /// # Errors
    /// None that these types give.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        serde_json::to_string_pretty(self).map(|text| text + "\n")
    }
}

/// The minimums of a sheet; `first` is the sheet of the first set, by which one that is posted for none is called.
fn minimums(sheet: &Sheet, first: &Sheet) -> Vec<MinimumLine> {
    let minimum = |t: &Total| {
        let (unit, by) = if t.holding.is_gas() {
            ("m3 free", m3_of())
        } else {
            ("kg", 1.0)
        };
        let posted = sheet.posted.iter().find(|p| p.holding == t.holding);
        let counts = || t.parts.iter().filter(|p| p.counts);
        let line = |id: &str| sheet.lines.iter().find(|l| l.id == id);
        let formula = |p: &Part| {
            let formula = line(&p.id).map_or("", |l| l.formula);
            format!("{}: {formula}; against: {}", p.id, p.event)
        };
        let mut assumed: Vec<String> = Vec::new();
        for term in counts().filter_map(|p| line(&p.id)).flat_map(|l| &l.terms) {
            let words = format!("{} {} {}", term.what, about(term.value), term.unit);
            let words = words.trim_end().to_owned();
            if term.from == Origin::Assumed && !assumed.contains(&words) {
                assumed.push(words);
            }
        }
        MinimumLine {
            of: t.holding.to_string(),
            rule_set: posted.map_or(&first.set, |p| &p.set).clone(),
            unit: unit.to_owned(),
            minimum: t.amount * by,
            way_home: t.way_home() * by,
            held_at_start: t.held * by,
            met: t.met,
            rules: t.rules().into_iter().map(str::to_owned).collect(),
            formulas: counts().map(formula).collect(),
            assumed,
        }
    };
    sheet.totals.iter().map(minimum).collect()
}

fn m3(mol: f64) -> f64 {
    Moles(mol).free_m3(FREE)
}

/// Cubic metres of free gas in a mole.
fn m3_of() -> f64 {
    m3(1.0)
}

fn spread(s: &Estimate, by: f64) -> SpreadOut {
    SpreadOut {
        mean: s.mean * by,
        mean_low_95: s.mean_low.map(|x| x * by),
        mean_high_95: s.mean_high.map(|x| x * by),
        sd: s.sd * by,
        least: s.least * by,
        most: s.most * by,
        quantiles: s
            .quantiles
            .iter()
            .map(|q| QuantileOut {
                p: q.p,
                value: q.value * by,
                low: q.low.map(|x| x * by),
                high: q.high.map(|x| x * by),
                interval_covers: q.covers,
            })
            .collect(),
    }
}

fn out(c: &Chance) -> ChanceOut {
    ChanceOut {
        p: c.p,
        low: c.low,
        high: c.high,
        hits: c.hits,
        of: c.of,
    }
}

fn line(c: &ChanceDay) -> ChanceLine {
    ChanceLine {
        day: c.day,
        below_minimum: out(&c.minimum),
        stopped: out(&c.stopped),
    }
}

fn absorbent(found: &AbsorbentAnswer) -> AbsorbentOut {
    let size = |s: &CanisterSize| CanisterLine {
        canister: size_name(s),
        kg: s.kg,
        scrubbers: s.scrubbers,
        spare_fills: s.spare_fills,
        changed: spread(&s.changed, 1.0),
    };
    let chance = |c: &ChanceDay| AbsorbentChanceLine {
        day: c.day,
        below_minimum: out(&c.minimum),
        too_little: out(&c.stopped),
    };
    let stock = &found.stock;
    AbsorbentOut {
        in_scrubbers_kg: stock.in_scrubbers_kg,
        spare_kg: stock.spare_kg,
        in_bell_kg: stock.in_bell_kg,
        minimum_kg: round(stock.minimum_kg, 1e3),
        counts_kg: round(stock.counts_kg, 1e3),
        changed_kg: spread(&found.changed, 1.0),
        canisters: found.sizes.iter().map(size).collect(),
        chance: found.chance.iter().map(chance).collect(),
    }
}

fn difference(d: &deepstay_stock::Difference) -> DifferenceLine {
    DifferenceLine {
        gas: gas_name(&d.gas),
        base_mean_m3_free: m3(d.base.mean),
        changed_mean_m3_free: m3(d.changed.mean),
        difference_m3_free: spread(&d.by, m3_of()),
    }
}
