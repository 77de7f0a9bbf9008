//! A stock study's summary as a terminal shows it: what runs short first, as wide as it is and nothing cut.

use super::inputs::StockPapers;
use super::risk::{between, percent, signed};
use super::words::{gas_name, size_name};
use crate::kit::terminal::folded;
use deepstay_core::CAUTION;
use deepstay_core::units::about;
use deepstay_stock::AbsorbentAnswer;

/// Column in which figures begin.
const NAME: usize = 24;

/// The summary as text for a terminal `width` columns wide.
pub fn stock_screen(papers: &StockPapers<'_>, width: usize) -> String {
    let study = &papers.study;
    let (answer, gas) = (study.answer, study.units.free_scale());
    let asked = answer.asked.1 - answer.asked.0;
    let mut lines = vec![format!(
        "{}: {}",
        study.subject.scenario, study.subject.title
    )];
    let of = if answer.jobs as u64 == asked {
        String::new()
    } else {
        format!(" of {asked} asked for")
    };
    lines.push(format!(
        "{} whole jobs{of}, seed {}; free gas, {}",
        answer.jobs, study.head.seed, gas.unit
    ));
    warnings(papers, &mut lines);
    lines.push(format!(
        "{:<NAME$}{:>9}{:>9}{:>9}{:>9}{:>9}",
        "demand", "loaded", "mean", "P50", "P95", "maximum"
    ));
    for g in &answer.gases {
        let q = |p: f64| {
            g.demand
                .quantiles
                .iter()
                .find(|q| q.p == p)
                .map_or(f64::NAN, |q| q.value)
        };
        let cells = [g.start_mol, g.demand.mean, q(0.5), q(0.95), g.demand.most]
            .map(|mol| format!("{:>9}", about(gas.of(mol))));
        lines.push(format!(
            "{:<NAME$}{}",
            format!("{} ", gas_name(&g.gas)),
            cells.concat()
        ));
    }
    if let Some(found) = &answer.absorbent {
        lines.extend(absorbent_lines(found));
    }
    if let Some(last) = answer.chance.last() {
        lines.push(format!(
            "Below a minimum met at the start: {}, {}",
            percent(last.minimum.p),
            between(&last.minimum)
        ));
        lines.push(format!(
            "Stopped for want of gas: {} of the jobs, {}",
            percent(last.stopped.p),
            between(&last.stopped)
        ));
    }
    if papers.sheet.asks_for_no_amount() {
        lines.push(format!(
            "Rule set {} asks for no amount: the stock is held against the way home alone",
            papers.sheet.set
        ));
    } else if papers.sheet.totals.iter().all(|t| t.met) {
        lines.push(format!(
            "Minimums of {}: all met at the start",
            papers.sheet.set
        ));
    }
    if let Some(load) = &papers.load {
        let units: u32 = load
            .load
            .lines
            .iter()
            .map(deepstay_stock::supply::LoadLine::units)
            .sum();
        let refused = load
            .load
            .refused
            .iter()
            .filter(|r| !r.why.is_of_a_boat())
            .count();
        let not = if refused > 0 {
            format!("; {refused} CANNOT BE HAD as asked")
        } else {
            String::new()
        };
        lines.push(format!(
            "Load for {}: {units} units, {}, {}{not}",
            percent(study.covered),
            load.mass(load.load.mass_kg()),
            load.money(load.load.money)
        ));
    }
    for g in &answer.gases {
        if let Some(words) = moves_most(papers, g) {
            lines.push(words);
        }
    }
    if let Some(what_if) = study.what_if {
        lines.push(format!("What if {}:", what_if.set.join(", ")));
        for d in &what_if.differences {
            lines.push(format!(
                "  {:<22}{:>9} {} a job",
                format!("{} ", gas_name(&d.gas)),
                signed(gas.of(d.by.mean)),
                gas.unit
            ));
        }
        if what_if.cut_short.1.hits > 0 {
            lines.push(format!(
                "  STOPPED ON MINIMUM GAS with it in {} of the jobs: that is no saving",
                percent(what_if.cut_short.1.p)
            ));
        }
    }
    if let Some(today) = study.today {
        let to = if today.present.boat_s.is_some() {
            "to the boat"
        } else {
            "to the end"
        };
        let lasting = today
            .forecast
            .before_boat
            .iter()
            .enumerate()
            .filter(|(g, _)| answer.gases.iter().any(|a| a.place == *g));
        let lasts: Vec<String> = lasting
            .map(|(g, c)| format!("{} {}", gas_name(&study.gases[g]), percent(1.0 - c.p)))
            .collect();
        lines.push(format!(
            "From today the stock lasts {to}, day {}: {}",
            today.forecast.boat_day,
            lasts.join("; ")
        ));
        let learnt = today.look.conditioned.iter().filter(|l| l.left < 0.9);
        let believed: Vec<String> = learnt
            .map(|l| {
                format!(
                    "{} {} (was {})",
                    l.source.name,
                    deepstay_stock::told(&l.source, Some(l.after[1])),
                    deepstay_stock::told(&l.source, Some(l.before[1]))
                )
            })
            .collect();
        if !believed.is_empty() {
            lines.push(format!("Believed now: {}", believed.join("; ")));
        }
    }
    lines.push(CAUTION.to_owned());
    folded(&lines, width.max(40))
}

/// What a reader must know before any figure: what runs short, and what the study leaves out.
fn warnings(papers: &StockPapers<'_>, lines: &mut Vec<String>) {
    let study = &papers.study;
    let short: Vec<String> = papers
        .sheet
        .totals
        .iter()
        .filter(|t| !t.met)
        .map(|t| t.holding.to_string())
        .collect();
    if !short.is_empty() {
        lines.push(format!(
            "MINIMUMS NOT MET at the start ({} and the way home): {}",
            papers.sheet.set,
            short.join(", ")
        ));
    }
    if study.answer.cut_short.hits > 0 {
        lines.push(format!(
            "STOPPED ON MINIMUM GAS in {} of the jobs: demand is at least this",
            percent(study.answer.cut_short.p)
        ));
    }
    let absorbent = study.answer.absorbent.as_ref();
    let wanting = absorbent.and_then(|a| a.chance.last()).map(|c| c.stopped);
    if let Some(chance) = wanting.filter(|c| c.hits > 0) {
        lines.push(format!(
            "TOO LITTLE ABSORBENT ABOARD in {} of the jobs",
            percent(chance.p)
        ));
    }
    lines.extend(study.remarks.iter().cloned());
}

/// What is aboard of absorbent against what the jobs change, and whether it lasts.
fn absorbent_lines(found: &AbsorbentAnswer) -> Vec<String> {
    let q = |p: f64| found.changed.quantiles.iter().find(|q| q.p == p);
    let kg = |value: f64| about(value);
    let changed = format!(
        "changed {} (mean), {} (P50), {} (P95), {} (maximum)",
        kg(found.changed.mean),
        kg(q(0.5).map_or(f64::NAN, |q| q.value)),
        kg(q(0.95).map_or(f64::NAN, |q| q.value)),
        kg(found.changed.most)
    );
    let sizes: Vec<String> = found
        .sizes
        .iter()
        .map(|s| format!("{} of {}", about(s.changed.mean), size_name(s)))
        .collect();
    let spare = found
        .stock
        .spare_kg
        .map_or("spare not given".to_owned(), |spare| {
            format!(
                "{} spare beside {} in the scrubbers",
                kg(spare),
                kg(found.stock.in_scrubbers_kg)
            )
        });
    let mut lines = vec![format!(
        "Absorbent, kg: {spare}; {changed}; canisters (mean): {}",
        sizes.join(", ")
    )];
    if let Some(last) = found.chance.last() {
        lines.push(format!(
            "Too little absorbent for a canister: {} of the jobs, {}",
            percent(last.stopped.p),
            between(&last.stopped)
        ));
    }
    lines
}

/// Which assumption moves the demand of a gas most: by what each does alone; without that, by rank correlation
/// where there are jobs enough for one.
fn moves_most(papers: &StockPapers<'_>, g: &deepstay_stock::GasAnswer) -> Option<String> {
    const ENOUGH: usize = 50;
    let study = &papers.study;
    let gas = study.units.free_scale();
    if let Some((alone, base)) = study.alone {
        let widest = alone.get(g.place)?.first()?;
        let width = (widest.high - widest.low).abs();
        return (width > 0.01 * base[g.place]).then(|| {
            format!(
                "{} is most sensitive to {}: {} to {} {}",
                gas_name(&g.gas),
                widest.source,
                about(gas.of(widest.low)),
                about(gas.of(widest.high)),
                gas.unit
            )
        });
    }
    let pull = g
        .correlations
        .first()
        .filter(|p| study.answer.jobs >= ENOUGH && (p.rank.low > 0.0 || p.rank.high < 0.0))?;
    Some(format!(
        "{} is most sensitive to {} (rank correlation {})",
        gas_name(&g.gas),
        pull.source,
        deepstay_core::units::fixed(pull.rank.rho, 2)
    ))
}
