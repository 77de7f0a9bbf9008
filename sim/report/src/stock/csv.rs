//! The tables of a stock study: demand, stock by day, sensitivity, and every job. Volumes are free gas in the
//! chosen units; rows keep their order whatever was drawn.

use super::inputs::StockInputs;
use super::words::{BURNING, gas_name, size_name};
use crate::kit::table::{bytes, row, table};
use deepstay_core::record::Flow;
use deepstay_core::units::{Purpose, fixed};
use deepstay_core::words::Words;
use deepstay_stock::{Drawn, Estimate, How, changed_kg, demand_mol};

fn spread_heads(unit: &str) -> Vec<String> {
    let mut heads = vec![
        format!("mean ({unit})"),
        format!("mean low 95 % ({unit})"),
        format!("mean high 95 % ({unit})"),
        format!("standard deviation ({unit})"),
        format!("least ({unit})"),
        format!("maximum ({unit})"),
    ];
    for p in deepstay_stock::PROBABILITIES {
        let p = format!("P{:.0}", p * 100.0);
        heads.extend([
            format!("{p} ({unit})"),
            format!("{p} low ({unit})"),
            format!("{p} high ({unit})"),
            format!("{p} interval covers (%)"),
        ]);
    }
    heads
}

fn spread_cells(s: &Estimate, by: f64) -> Vec<String> {
    let told = |value: f64| fixed(value * by, 3);
    let maybe = |value: Option<f64>| value.map(told).unwrap_or_default();
    let mut cells = vec![
        told(s.mean),
        maybe(s.mean_low),
        maybe(s.mean_high),
        told(s.sd),
        told(s.least),
        told(s.most),
    ];
    for q in &s.quantiles {
        cells.extend([
            told(q.value),
            maybe(q.low),
            maybe(q.high),
            fixed(q.covers * 100.0, 2),
        ]);
    }
    cells
}

/// Demand by gas and purpose, and all that is no gas.
pub fn demand_csv(inputs: &StockInputs<'_>) -> Result<Vec<u8>, csv::Error> {
    let gas = inputs.units.free_scale();
    let mut out = table();
    let heads = ["what".to_owned(), "purpose".to_owned(), "unit".to_owned()];
    row(
        &mut out,
        heads.into_iter().chain(spread_heads("unit of the row")),
    )?;
    let mut line = |what: &str, purpose: &str, unit: &str, s: &Estimate, by: f64| {
        let head = [what.to_owned(), purpose.to_owned(), unit.to_owned()];
        row(&mut out, head.into_iter().chain(spread_cells(s, by)))
    };
    for g in &inputs.answer.gases {
        let name = gas_name(&g.gas);
        line(&name, "demand", gas.plain, &g.demand, gas.of(1.0))?;
        for (purpose, s) in &g.purposes {
            line(&name, purpose.words(), gas.plain, s, gas.of(1.0))?;
        }
        if let Some(burning) = &g.burning {
            line(&name, BURNING, gas.plain, burning, gas.of(1.0))?;
        }
        line(&name, "brought back", gas.plain, &g.returned, gas.of(1.0))?;
    }
    for o in &inputs.answer.others {
        match o.unit {
            "mol" => line(o.name, "", gas.plain, &o.estimate, gas.of(1.0))?,
            "m3" => line(
                o.name,
                "",
                gas.plain,
                &o.estimate,
                gas.of(deepstay_core::units::FREE.mol_per_m3()),
            )?,
            unit => line(o.name, "", unit, &o.estimate, 1.0)?,
        }
    }
    bytes(out)
}

/// What is left of each gas and the chances, day by day.
pub fn days_csv(inputs: &StockInputs<'_>) -> Result<Vec<u8>, csv::Error> {
    let gas = inputs.units.free_scale();
    let mut out = table();
    let u = gas.plain;
    row(
        &mut out,
        [
            "gas".to_owned(),
            "end of day".to_owned(),
            format!("least ({u})"),
            format!("P1 ({u})"),
            format!("P5 ({u})"),
            format!("P20 ({u})"),
            format!("P50 ({u})"),
            format!("P80 ({u})"),
            format!("P95 ({u})"),
            format!("P99 ({u})"),
            "below a minimum (%)".to_owned(),
            "below a minimum, low (%)".to_owned(),
            "below a minimum, high (%)".to_owned(),
            "below what can be drawn, or stopped (%)".to_owned(),
            "below what can be drawn, or stopped, low (%)".to_owned(),
            "below what can be drawn, or stopped, high (%)".to_owned(),
        ],
    )?;
    let chances = |c: &deepstay_stock::ChanceDay| {
        [
            c.minimum.p,
            c.minimum.low,
            c.minimum.high,
            c.stopped.p,
            c.stopped.low,
            c.stopped.high,
        ]
        .map(|p| fixed(p * 100.0, 3))
    };
    for g in &inputs.answer.gases {
        for (d, c) in g.days.iter().zip(&g.chance) {
            let left = [d.least, d.p01, d.p05, d.p20, d.p50, d.p80, d.p95, d.p99]
                .map(|mol| fixed(gas.of(mol), 2));
            row(
                &mut out,
                [gas_name(&g.gas), d.day.to_string()]
                    .into_iter()
                    .chain(left)
                    .chain(chances(c)),
            )?;
        }
    }
    for c in &inputs.answer.chance {
        let none = std::iter::repeat_n(String::new(), 8);
        row(
            &mut out,
            ["any gas".to_owned(), c.day.to_string()]
                .into_iter()
                .chain(none)
                .chain(chances(c)),
        )?;
    }
    bytes(out)
}

/// Sensitivity: rank correlation, and one at a time.
pub fn why_csv(inputs: &StockInputs<'_>) -> Result<Vec<u8>, csv::Error> {
    let gas = inputs.units.free_scale();
    let mut out = table();
    let u = gas.plain;
    row(
        &mut out,
        [
            "gas".to_owned(),
            "assumption".to_owned(),
            "rank correlation".to_owned(),
            "rank correlation, low".to_owned(),
            "rank correlation, high".to_owned(),
            "low value".to_owned(),
            format!("demand at the low value ({u})"),
            "high value".to_owned(),
            format!("demand at the high value ({u})"),
            format!("demand with all as the scenario has it ({u})"),
            "law".to_owned(),
            "source".to_owned(),
        ],
    )?;
    for g in &inputs.answer.gases {
        for s in inputs.sources {
            let pull = g.correlations.iter().find(|p| p.source == s.name);
            let swing = inputs.alone.and_then(|(all, base)| {
                Some((
                    all.get(g.place)?.iter().find(|w| w.source == s.name)?,
                    base[g.place],
                ))
            });
            let rank = |of: &dyn Fn(&deepstay_stock::RankCorrelation) -> f64| {
                pull.map(|p| fixed(of(&p.rank), 3)).unwrap_or_default()
            };
            let cells = [
                gas_name(&g.gas),
                s.name.clone(),
                rank(&|r| r.rho),
                rank(&|r| r.low),
                rank(&|r| r.high),
                swing.map(|(w, _)| w.low_input.clone()).unwrap_or_default(),
                swing
                    .map(|(w, _)| fixed(gas.of(w.low), 2))
                    .unwrap_or_default(),
                swing.map(|(w, _)| w.high_input.clone()).unwrap_or_default(),
                swing
                    .map(|(w, _)| fixed(gas.of(w.high), 2))
                    .unwrap_or_default(),
                swing
                    .map(|(_, base)| fixed(gas.of(base), 2))
                    .unwrap_or_default(),
                StockInputs::law(s),
                s.source.clone(),
            ];
            row(&mut out, cells)?;
        }
    }
    bytes(out)
}

/// Every job: what was drawn for it, how it ended, and what it needed. Amounts of gas are not rounded, so that what is
/// calculated from all jobs can be calculated again.
pub fn jobs_csv(inputs: &StockInputs<'_>) -> Result<Vec<u8>, csv::Error> {
    let gas = inputs.units.free_scale();
    let mut out = table();
    let count = inputs.gases.len();
    let shown_gases = || inputs.answer.gases.iter();
    let shown: Vec<usize> = shown_gases().map(|g| g.place).collect();
    let lost: Vec<Purpose> = Purpose::ALL
        .into_iter()
        .filter(|p| {
            inputs
                .jobs
                .iter()
                .any(|r| r.lost.iter().any(|d| d.purpose == *p))
        })
        .collect();
    let mut heads: Vec<String> = [
        "job",
        "ended",
        "last second (s)",
        "runs made",
        "lost to weather",
        "lost for want of gas",
        "lost otherwise",
        "water (h)",
        "absorbent (kg)",
    ]
    .map(str::to_owned)
    .into();
    heads.extend(inputs.sources.iter().map(|s| format!("drawn: {}", s.name)));
    heads.extend(
        shown
            .iter()
            .map(|g| format!("demand: {} ({})", gas_name(&inputs.gases[*g]), gas.plain)),
    );
    heads.extend(
        lost.iter()
            .map(|p| format!("{}: {} ({})", Flow::Lost.words(), p.words(), gas.plain)),
    );
    heads.extend(shown_gases().flat_map(|g| {
        let name = gas_name(&g.gas);
        let drawn = g.purposes.iter().map(|(purpose, _)| purpose.words());
        let mut heads: Vec<String> = drawn
            .map(|purpose| format!("drawn for {purpose} of {name} ({})", gas.plain))
            .collect();
        if g.burning.is_some() {
            heads.push(format!("drawn for {BURNING} of {name} ({})", gas.plain));
        }
        heads.push(format!("brought back of {name} ({})", gas.plain));
        heads.push(format!("first day below a minimum of {name}"));
        heads.push(format!("first day below what cannot be drawn of {name}"));
        heads
    }));
    let absorbent = inputs.answer.absorbent.as_ref();
    if let Some(found) = absorbent {
        heads.push("absorbent changed (kg)".to_owned());
        let sizes = found.sizes.iter();
        heads.extend(sizes.map(|s| format!("canisters of {} changed", size_name(s))));
        heads.push("first day below the minimum of absorbent".to_owned());
        heads.push("first day with too little absorbent for a canister".to_owned());
    }
    heads.extend([
        "first day below any minimum".to_owned(),
        "first day on which the work was stopped for want of gas".to_owned(),
        "stopped on minimum gas".to_owned(),
        "waiting on weather (h)".to_owned(),
        format!("carbon dioxide absorbed ({})", gas.plain),
        format!("oxygen used by divers ({})", gas.plain),
        format!("oxygen drawn in decompression ({})", gas.plain),
    ]);
    row(&mut out, &heads)?;
    for (k, r) in inputs.jobs.iter().enumerate() {
        let how = match r.how {
            How::Surfaced => "at the surface",
            How::PlanOver => "the plan was over",
            How::BodyFailed => "a diver's body failed",
        };
        let mut cells = vec![
            r.number.to_string(),
            how.to_owned(),
            r.ended_s.to_string(),
            r.runs_made.to_string(),
            r.runs_weather.to_string(),
            r.runs_gas.to_string(),
            r.runs_other.to_string(),
            fixed(r.water_s as f64 / 3600.0, 4),
            fixed(r.absorbent_kg, 4),
        ];
        cells.extend(r.draws.iter().map(|d| d.to_string()));
        cells.extend(
            shown
                .iter()
                .map(|g| gas.of(demand_mol(r, count, *g)).to_string()),
        );
        let of = |moved: &[Drawn], picked: &dyn Fn(&Drawn) -> bool| {
            let mol = moved.iter().filter(|d| picked(d)).map(|d| d.mol);
            gas.of(mol.fold(0.0, |sum, mol| sum + mol)).to_string()
        };
        cells.extend(lost.iter().map(|p| of(&r.lost, &|d| d.purpose == *p)));
        let day = |day: Option<u32>| day.map(|d| d.to_string()).unwrap_or_default();
        for g in shown_gases() {
            let mine = |d: &Drawn| usize::from(d.gas) == g.place;
            let purposes = g.purposes.iter();
            cells.extend(purposes.map(|(p, _)| of(&r.drawn, &|d| mine(d) && d.purpose == *p)));
            if g.burning.is_some() {
                cells.push(gas.of(r.burnt_mol).to_string());
            }
            cells.push(of(&r.returned, &mine));
            let first = g.first.get(k).copied();
            cells.push(day(first.and_then(|f| f.minimum)));
            cells.push(day(first.and_then(|f| f.stopped)));
        }
        if let Some(found) = absorbent {
            cells.push(fixed(changed_kg(r, usize::MAX), 4));
            let sizes = found.sizes.iter();
            cells.extend(sizes.map(|s| s.each.get(k).map_or_else(String::new, u32::to_string)));
            let first = found.first.get(k).copied();
            cells.push(day(first.and_then(|f| f.minimum)));
            cells.push(day(first.and_then(|f| f.stopped)));
        }
        let first = inputs.answer.first.get(k).copied();
        let is_cut_short = inputs.answer.is_cut_short.get(k) == Some(&true);
        cells.extend([
            day(first.and_then(|f| f.minimum)),
            day(first.and_then(|f| f.stopped)),
            if is_cut_short { "yes" } else { "no" }.to_owned(),
            fixed(r.weather_s as f64 / 3600.0, 4),
            gas.of(r.absorbed_mol).to_string(),
            gas.of(r.oxygen_used_mol).to_string(),
            gas.of(r.oxygen_bleeding_mol).to_string(),
        ]);
        row(&mut out, &cells)?;
    }
    bytes(out)
}
