//! Reads a table of gauges (CSV), ours or anybody's: when, which bank, what its gauge showed. The last line
//! of each bank up to a time says how the stock stands then.

use crate::{
    BankStands, CsvCell, CsvTable, Diagnostic, Diagnostics, GAUGE_ERROR_PA, METER_ERROR, Present,
    Scenario, Wrong,
};
use deepstay_core::units::text::{Duration, Gauge};
use deepstay_core::units::{BAR_PA, BankId, PSI_PA};

/// Columns that are looked for.
struct Columns {
    time: usize,
    time_scale: Option<f64>,
    bank: usize,
    gauge: usize,
    gauge_scale: Option<f64>,
    /// Oxygen on the label, percent, where the table has it.
    label: Option<usize>,
}

/// Reads the table. `name` is the file as the user named it; lines after `at_s` do not count, and the last
/// time counts where none is given.
///
/// # Errors
/// Everything that is wrong with it, each with line and column.
pub fn present_from_gauges(
    name: &str,
    bytes: &[u8],
    scenario: &Scenario,
    at_s: Option<i64>,
) -> Result<Present, Diagnostics> {
    const HEADS: &str = "name the columns \"second (s)\" or \"time\", \"bank\" and \"gauge (bar)\"; gas-status.csv of a run has them";
    let table = CsvTable::new(name, bytes, HEADS)?;
    let rows = table.rows();
    let alone = |c: Diagnostic| Diagnostics::from(c);
    let (head_line, head) = table.heads();
    let columns = columns(head).map_err(|words| {
        alone(table.diagnostic(head_line, 1, Wrong::Notation(words), Some(HEADS.into())))
    })?;
    let mut diagnostics = Vec::new();
    let mut last: Vec<Option<(i64, f64)>> = vec![None; scenario.steel.banks.len()];
    let mut latest = 0;
    for (line, cells) in rows {
        match reading(&columns, cells, scenario) {
            Err((column, words, how)) => {
                diagnostics.push(table.diagnostic(line, column, Wrong::Value(words), how))
            }
            Ok((t_s, _, _)) if at_s.is_some_and(|at| t_s > at) => {}
            Ok((t_s, bank, gauge_pa)) => {
                latest = latest.max(t_s);
                let kept = &mut last[bank.index()];
                if kept.is_none_or(|(before, _)| before <= t_s) {
                    *kept = Some((t_s, gauge_pa));
                }
            }
        }
    }
    let at_s = at_s.unwrap_or(latest);
    if diagnostics.is_empty() && (at_s <= 0 || at_s >= scenario.plan.end_s) {
        let last = scenario.plan.end_s as f64 / 86_400.0;
        let words = format!(
            "the table ends {:.1} d after the start, which is not between the start and the plan's end ({last:.1} d)",
            at_s as f64 / 86_400.0
        );
        diagnostics.push(table.diagnostic(
            head_line,
            1,
            Wrong::Contradiction(words),
            Some("say with --at which day counts".into()),
        ));
    }
    let stands = |(i, seen): (usize, &Option<(i64, f64)>)| {
        let (_, gauge_pa) = (*seen)?;
        Some(BankStands {
            bank: BankId(u8::try_from(i).ok()?),
            gauge_pa,
            t_k: scenario.steel.banks[i].t_k,
            taken_on_m3: 0.0,
            analysed_o2: None,
        })
    };
    let banks: Vec<BankStands> = last.iter().enumerate().filter_map(stands).collect();
    if diagnostics.is_empty() && banks.is_empty() {
        let words = "no line up to that time speaks of a bank".to_owned();
        diagnostics.push(table.diagnostic(head_line, 1, Wrong::Contradiction(words), None));
    }
    if diagnostics.is_empty() {
        Ok(Present {
            at_s,
            banks,
            used_m3: [None; 5],
            in_water_s: None,
            error: METER_ERROR,
            gauge_error_pa: GAUGE_ERROR_PA,
            boat_s: None,
        })
    } else {
        Err(diagnostics.into())
    }
}

fn columns(head: &[CsvCell]) -> Result<Columns, String> {
    let find = |starts: &[&str]| {
        head.iter().position(|c| {
            let text = c.text.trim().to_lowercase();
            starts.iter().any(|s| text.starts_with(s))
        })
    };
    let time = find(&["second", "time", "day", "hour"]).ok_or("there is no column of times")?;
    let bank = find(&["bank", "gas bank"]).ok_or("there is no column \"bank\"")?;
    let gauge = find(&["gauge", "pressure"]).ok_or("there is no column \"gauge\"")?;
    let (time_text, gauge_text) = (
        head[time].text.to_lowercase(),
        head[gauge].text.to_lowercase(),
    );
    let time_scale = match () {
        () if time_text.contains("(s)") => Some(1.0),
        () if time_text.contains("(h)") => Some(3600.0),
        () if time_text.contains("(d)") => Some(86_400.0),
        () => None,
    };
    let gauge_scale = match () {
        () if gauge_text.contains("bar") => Some(BAR_PA),
        () if gauge_text.contains("psi") => Some(PSI_PA),
        () => None,
    };
    let label = find(&["o2 on the label"]);
    Ok(Columns {
        time,
        time_scale,
        bank,
        gauge,
        gauge_scale,
        label,
    })
}

type Bad = (usize, String, Option<String>);

fn reading(
    columns: &Columns,
    cells: &[CsvCell],
    scenario: &Scenario,
) -> Result<(i64, BankId, f64), Bad> {
    let cell = |at: usize, what: &str| {
        cells
            .get(at)
            .ok_or_else(|| (1, format!("the line has no {what}"), None))
    };
    let time = cell(columns.time, "time")?;
    let t_s = match columns.time_scale {
        Some(scale) => time
            .text
            .trim()
            .parse::<f64>()
            .ok()
            .filter(|t| t.is_finite())
            .map(|t| (t * scale).round() as i64),
        None => time.text.trim().parse::<Duration>().ok().map(|d| d.0),
    };
    let t_s = t_s.ok_or_else(|| {
        (
            time.column,
            format!("\"{}\" is no time since the start", time.text),
            Some("write it like \"9d 06:00\", or name the column \"second (s)\"".to_owned()),
        )
    })?;
    let bank = cell(columns.bank, "bank")?;
    let names = &scenario.steel.banks;
    let found = names.iter().position(|b| b.name == bank.text.trim());
    let found = found.and_then(|i| u8::try_from(i).ok()).ok_or_else(|| {
        let known: Vec<&str> = names.iter().map(|b| b.name.as_str()).collect();
        (
            bank.column,
            format!("there is no bank `{}` in the scenario", bank.text),
            Some(format!("its banks are {}", known.join(", "))),
        )
    })?;
    if let Some(label) = columns.label.and_then(|at| cells.get(at))
        && let Ok(percent) = label.text.trim().parse::<f64>()
        && (percent - names[usize::from(found)].label_o2 * 100.0).abs() > 0.06
    {
        let words = format!(
            "bank {} is labelled {percent} % O2 here and {:.1} % in the scenario: this is a table of another job",
            bank.text.trim(),
            names[usize::from(found)].label_o2 * 100.0
        );
        return Err((
            label.column,
            words,
            Some("take the table of this scenario's job".to_owned()),
        ));
    }
    let gauge = cell(columns.gauge, "gauge")?;
    let gauge_pa = match columns.gauge_scale {
        Some(scale) => gauge
            .text
            .trim()
            .parse::<f64>()
            .ok()
            .filter(|g| g.is_finite())
            .map(|g| g * scale),
        None => gauge.text.trim().parse::<Gauge>().ok().map(|g| g.0),
    };
    let gauge_pa = gauge_pa.filter(|g| (0.0..=400.0 * BAR_PA).contains(g));
    let how = "from 0 to 400 bar; name its unit in the head, such as \"gauge (bar)\"";
    let gauge_pa = gauge_pa.ok_or_else(|| {
        (
            gauge.column,
            format!("\"{}\" is no gauge pressure of a bank", gauge.text),
            Some(how.to_owned()),
        )
    })?;
    Ok((t_s, BankId(found), gauge_pa))
}
