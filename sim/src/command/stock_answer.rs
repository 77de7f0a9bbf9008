//! What is made of a study's jobs: the minimums, the load, the papers, the screen and the exit code.

use super::exit::Exit;
use super::interrupt;
use super::say;
use super::stock::{Arguments, Study, bad_input};
use crate::gas::Amounts;
use crate::plant::Duty;
use crate::report::{self, StockInputs, StockLoadInputs, StockPapers, Subject, Today, WhatIf};
use crate::rules::{self, RuleSet};
use crate::scenario::{self, Scenario, Supplier};
use crate::stock::reserve::{self, Sheet};
use crate::stock::supply::{self, By, Course, Load, LostReclaim, Need, Terms};
use crate::stock::{self, Answer, Chance, Ensemble, Floors, Replicate};
use std::path::Path;

/// What was worked out from a supplier's list.
struct Loaded {
    supplier: Supplier,
    needs: Vec<Need>,
    courses: Vec<Course>,
    load: Load,
    lost: Option<(usize, LostReclaim)>,
    demand: String,
    reserve: String,
}

/// Whether there is all that an answer takes, the list of the supplier and the rule sets: to be asked before
/// hours of jobs.
pub fn can_be_answered(args: &Arguments, ensemble: &Ensemble) -> Result<(), Exit> {
    let base = &ensemble.base;
    rule_sets(args, base).map_err(|words| bad_input(&words))?;
    let first = |gas: &stock::Gas| {
        gas.banks
            .first()
            .map(|b| (gas.duty, base.steel.banks[b.index()].true_mix))
    };
    let asked: Vec<(Duty, Amounts)> = ensemble.gases.iter().filter_map(first).collect();
    supplier(args, base, &asked).map(|_| ())
}

/// The supplier's list of the command or of the study; none where neither names one.
fn supplier(
    args: &Arguments,
    base: &Scenario,
    asked: &[(Duty, Amounts)],
) -> Result<Option<Supplier>, Exit> {
    let (name, folder) = match (&args.supplier, &base.study.supplier) {
        (Some(name), _) => (name, None),
        (None, Some(name)) => (name, Path::new(&args.scenario).parent()),
        (None, None) => return Ok(None),
    };
    scenario::load_supplier_for(name, folder, asked)
        .map(Some)
        .map_err(|bad| say::complaints(&bad))
}

/// What the inputs that were set do to demand, and to the chances of running short.
pub fn what_if(
    args: &Arguments,
    base: (&Ensemble, &[Replicate]),
    changed: (&Ensemble, &[Replicate]),
) -> WhatIf {
    let shares = |(ensemble, jobs): (&Ensemble, &[Replicate])| {
        let inputs = stock::reserve_inputs(&ensemble.base.study.planner);
        let sets = rule_sets(args, &ensemble.base).unwrap_or_default();
        let set = sets.first().unwrap_or(&ensemble.base.rules);
        let floors = stock::floors(
            ensemble,
            &reserve::sheet(&ensemble.base, set, &inputs),
            &inputs,
        );
        let answer = stock::answer(ensemble, jobs, (0, jobs.len() as u64), &floors);
        let minimum = answer
            .chance
            .last()
            .map_or(Chance::of(0, jobs.len() as u64), |c| c.minimum);
        (minimum, answer.cut_short)
    };
    let (before, after) = (shares(base), shares(changed));
    WhatIf {
        set: args.set.clone(),
        differences: stock::compare(&base.0.gases, base.1, changed.1),
        minimum: (before.0, after.0),
        cut_short: (before.1, after.1),
    }
}

/// Works it out, writes it, says it.
pub fn conclude(args: &Arguments, study: &Study) -> Exit {
    let base = &study.ensemble.base;
    if study.jobs.is_empty() {
        if let Some(first) = study.failed.first() {
            return bad_input(&first.to_string());
        }
        say::err("deepstay: interrupted before the first job was over");
        return Exit::Interrupted;
    }
    let sets = match rule_sets(args, base) {
        Ok(sets) => sets,
        Err(words) => return bad_input(&words),
    };
    let inputs = stock::reserve_inputs(&base.study.planner);
    let sheets: Vec<Sheet> = sets
        .iter()
        .map(|set| reserve::sheet(base, set, &inputs))
        .collect();
    let floors = stock::floors(&study.ensemble, &sheets[0], &inputs);
    let answer = stock::answer(&study.ensemble, &study.jobs, study.asked, &floors);
    let today = study.look.as_ref().map(|l| Today {
        present: l.present.clone(),
        look: l.look.clone(),
        forecast: stock::forecast(
            &study.ensemble,
            &study.jobs,
            &l.present,
            &l.look.now_mol,
            &floors,
        ),
    });
    let loaded = match load(
        args,
        study,
        &answer,
        &sheets[0],
        &inputs,
        &floors,
        today.as_ref(),
    ) {
        Ok(loaded) => loaded,
        Err(exit) => return exit,
    };
    let subject = Subject::from(base.as_ref());
    let units = args.units.into();
    let remarks = remarks(study, &answer, &sheets[0]);
    let pairs = sheets
        .get(1)
        .map(|other| reserve::beside(&sheets[0], other));
    let papers = StockPapers {
        study: StockInputs {
            subject: &subject,
            head: &study.head,
            gases: &study.ensemble.gases,
            sources: &study.ensemble.sources,
            answer: &answer,
            jobs: &study.jobs,
            failed: &study.failed,
            interrupted: interrupt::came(),
            covered: base.study.covered,
            alone: study
                .alone
                .as_ref()
                .map(|(swings, base)| (swings.as_slice(), base.as_slice())),
            what_if: study.what_if.as_ref(),
            today: today.as_ref(),
            burning: base.study.burning.as_ref(),
            remarks: &remarks,
            units,
        },
        sheet: &sheets[0],
        beside: sheets.get(1).zip(pairs.as_deref()),
        load: loaded.as_ref().map(|l| StockLoadInputs {
            title: &subject.title,
            load: &l.load,
            supplier: &l.supplier,
            needs: &l.needs,
            courses: &l.courses,
            demand: &l.demand,
            reserve: &l.reserve,
            boats_from: if today.is_some() {
                "from what lies in the banks today"
            } else {
                "if the job starts with the stock that the scenario has"
            },
            lost_reclaim: l.lost,
            units,
        }),
    };
    let told = tell(args, &papers);
    if told != Exit::Done {
        return told;
    }
    let short = !papers.sheet.all_met() || answer.cut_short.hits > 0;
    match () {
        () if interrupt::came() => Exit::Interrupted,
        () if !study.failed.is_empty() => Exit::NotCompleted,
        () if short || answer.chance.last().is_some_and(|c| c.minimum.hits > 0) => {
            Exit::LimitsCrossed
        }
        () => Exit::Done,
    }
}

fn tell(args: &Arguments, papers: &StockPapers<'_>) -> Exit {
    if let Some(out) = &args.out
        && let Err(e) = report::write_stock(out, papers, args.replace)
    {
        say::err(&format!("deepstay: {e}"));
        return Exit::NotCompleted;
    }
    if args.json {
        return match report::StockSummary::of(papers).json() {
            Ok(text) => say::out(text.trim_end()),
            Err(e) => {
                say::err(&format!(
                    "deepstay: the summary could not be put into JSON: {e}"
                ));
                Exit::Fault
            }
        };
    }
    if args.quiet {
        return Exit::Done;
    }
    let mut words = report::stock_screen(papers, 80).trim_end().to_owned();
    if let Some(out) = &args.out {
        words += &format!("\n\nPage, tables and workbook are in {}", out.display());
    }
    say::out(&words)
}

/// The rule sets whose minimums are asked for: of the command, of the study, or the job's own.
fn rule_sets(args: &Arguments, base: &Scenario) -> Result<Vec<RuleSet>, String> {
    let named = if args.reserve.is_empty() {
        &base.study.reserve
    } else {
        &args.reserve
    };
    if named.is_empty() {
        return Ok(vec![rules::RuleSet::clone(&base.rules)]);
    }
    if named.len() > 2 {
        return Err(
            "the study names more than two rule sets for minimums; two stand side by side".into(),
        );
    }
    named
        .iter()
        .map(|name| rules::builtin(name).map_err(|e| e.to_string()))
        .collect()
}

fn load(
    args: &Arguments,
    study: &Study,
    answer: &Answer,
    sheet: &Sheet,
    inputs: &reserve::ReserveInputs,
    floors: &Floors,
    today: Option<&Today>,
) -> Result<Option<Loaded>, Exit> {
    let base = &study.ensemble.base;
    let pairs = stock::needs(&study.ensemble, answer, &study.jobs, sheet, inputs, floors);
    let (needs, mut courses): (Vec<Need>, Vec<Course>) = pairs.into_iter().unzip();
    let asked: Vec<(Duty, Amounts)> = needs.iter().map(|n| (n.gas.duty, n.mix)).collect();
    let Some(mut supplier) = supplier(args, base, &asked)? else {
        return Ok(None);
    };
    let drawn_kg = stock::quantile_of(
        study.jobs.iter().map(|r| r.absorbent_kg).collect(),
        base.study.covered,
    );
    let minimum_kg: f64 = sheet
        .totals
        .iter()
        .filter(|t| !t.holding.is_gas())
        .map(|t| t.amount)
        .sum();
    let absorbent_kg = drawn_kg + minimum_kg;
    if let Some(today) = today {
        courses.clone_from(&today.forecast.courses);
        if let (Some(calls), Some(boat)) = (&mut supplier.boat, today.present.boat_s) {
            calls.first_s = boat;
        }
    }
    let earliest_order_s = today.map(|t| t.present.at_s);
    let load = supply::load(
        &needs,
        &courses,
        &supplier,
        &Terms {
            by: By::default(),
            absorbent_kg,
            earliest_order_s,
        },
    );
    let lost = needs
        .iter()
        .position(|n| n.gas.duty == Duty::DiverGas)
        .and_then(|i| {
            let a_day = stock::reclaimed_a_day_mol(&study.jobs)?;
            Some((i, supply::lost_reclaim(&needs[i], a_day, &supplier)?))
        });
    Ok(Some(Loaded {
        supplier,
        needs,
        courses,
        load,
        lost,
        demand: format!(
            "what {:.0} % of {} simulated jobs do not exceed",
            base.study.covered * 100.0,
            study.jobs.len()
        ),
        reserve: format!("the minimums of rule set {}", sheet.set),
    }))
}

/// What a reader has to be told before the figures.
fn remarks(study: &Study, answer: &Answer, sheet: &Sheet) -> Vec<String> {
    let mut all = Vec::new();
    if study.look.is_some() {
        all.push("Demand and the mobilisation list are of a whole job from its start, with what is believed now; what to order now stands under the supply boats.".to_owned());
    }
    for total in sheet.held_in_nothing() {
        all.push(format!(
            "No gas of the stock counts towards the minimum of {} ({}): it is in no line of the load. Give the stock a bank for it; gas for masks and divers must lie within 0.16 to 1.25 ata of oxygen at the depth.",
            total.holding,
            total.rules().join(", ")
        ));
    }
    let missing = (answer.asked.1 - answer.asked.0).saturating_sub(answer.jobs as u64);
    if missing > 0 {
        let why = if interrupt::came() {
            "it was interrupted"
        } else {
            "they are in no file, or could not be run"
        };
        all.push(format!("{missing} of the jobs asked for are missing: {why}. The figures are of the {} there are.", answer.jobs));
    }
    let covered = study.ensemble.base.study.covered;
    if stock::ranks(answer.jobs, covered).is_err() {
        let enough = (answer.jobs..10_000).find(|n| stock::ranks(*n, covered).is_ok());
        let enough = enough.map_or(String::new(), |n| format!(": {n} jobs are enough"));
        all.push(format!(
            "So few jobs cannot bound the demand that {:.0} % of them do not exceed{enough}.",
            covered * 100.0
        ));
    }
    if answer.cut_short.hits > 0 {
        let words = "so demand, load and price are at least what stands here, and a smaller stock would show less; --ample 10 takes that limit away";
        all.push(format!("In {} of the {} jobs the stock ran out (an order or run failed, a gas came within 2 % of its heel by a house rule, or another stood in): {words}.", answer.cut_short.hits, answer.jobs));
    }
    if study.ensemble.ample() > 1.0 {
        let times = study.ensemble.ample();
        all.push(format!("Every bank was taken {times} times as large as it is, so that no demand is cut short; chances by day are of that stock."));
    }
    if study.ensemble.sources.is_empty() {
        all.push(
            "The scenario has no study: nothing was drawn, and every job is the same.".to_owned(),
        );
    }
    all
}
