//! Where the gas went: bars by purpose, and the stock of each bank over time. Gas colours follow
//! EN 1089-3:2011 (helium brown, oxygen white, nitrogen black, carbon dioxide grey); the label with
//! formula and percent is what counts.

use super::bank_state::BankState;
use super::inputs::Inputs;
use crate::kit::svg::{Anchor, Axis, Svg, thin};
use crate::subject::BankLabel;
use deepstay_core::gas::{Amounts, Species};
use deepstay_core::record::Flow;
use deepstay_core::units::{BankId, Purpose, Quantity, about, fixed};
use deepstay_core::words::{Words, formula};

const WIDTH: f64 = 1040.0;
const ROW: f64 = 24.0;

/// Bars of what was drawn from banks and what was lost, one row for each purpose.
pub fn by_purpose(inputs: &Inputs<'_>) -> String {
    let ledger = &inputs.record.ledger;
    let gas = inputs.units.free_scale();
    let rows: Vec<(Purpose, Amounts, Amounts)> = Purpose::ALL
        .into_iter()
        .map(|p| (p, ledger.moved(Flow::Drawn, p), ledger.moved(Flow::Lost, p)))
        .filter(|(_, drawn, lost)| drawn.total() > 0.0 || lost.total() > 0.0)
        .collect();
    let most = rows
        .iter()
        .map(|(_, d, l)| d.total().max(l.total()))
        .fold(1.0, f64::max);
    let mut svg = Svg::new(
        WIDTH,
        32.0 + rows.len() as f64 * ROW,
        "Gas drawn from banks and lost, by purpose",
    );
    let sides = [("drawn from banks", 190.0), ("lost to sea and air", 630.0)];
    for (name, x) in sides {
        svg.text(
            "name",
            Anchor::Start,
            x,
            14.0,
            &format!("{name}, {} of free gas", gas.unit),
        );
    }
    for (i, (purpose, drawn, lost)) in rows.iter().enumerate() {
        let y = 26.0 + i as f64 * ROW;
        svg.text("label", Anchor::End, 180.0, y + 13.0, purpose.words());
        for (moles, (_, x)) in [drawn, lost].into_iter().zip(sides) {
            let axis = Axis {
                from: 0.0,
                to: most,
                from_px: 0.0,
                to_px: 330.0,
            };
            let mut at = x;
            for species in Species::ALL.into_iter().filter(|s| moles[*s] > 0.0) {
                let width = axis.px(moles[species]);
                let told = format!(
                    "{} {} {}",
                    formula(species),
                    about(gas.of(moles[species])),
                    gas.unit
                );
                svg.rect_told(
                    &format!("gas {}", formula(species)),
                    at,
                    y,
                    width,
                    ROW - 8.0,
                    &told,
                );
                at += width;
            }
            if moles.total() > 0.0 {
                svg.text(
                    "small",
                    Anchor::Start,
                    at + 6.0,
                    y + 13.0,
                    &about(gas.of(moles.total())),
                );
            } else {
                svg.text("faint", Anchor::Start, at, y + 13.0, "none");
            }
        }
    }
    svg.finish()
}

/// A chip that names what is in a bank by formula and percent.
pub fn chip(svg: &mut Svg, x: f64, y: f64, bank: &BankLabel) {
    let o2 = bank.label_o2;
    let other = 1.0 - bank.label_o2;
    let main = if bank.helium { "He" } else { "N2" };
    let parts: &[&str] = match (o2 > 0.995, o2 < 0.005) {
        (true, _) => &["O2"],
        (_, true) => &[main],
        _ => &[main, "O2"],
    };
    let width = 22.0 / parts.len() as f64;
    for (i, part) in parts.iter().enumerate() {
        svg.rect(&format!("gas {part}"), x + i as f64 * width, y, width, 12.0);
    }
    let percent = |f: f64| fixed(f * 100.0, if f < 0.1 { 1 } else { 0 });
    let text = match parts {
        ["O2"] => "O2 100 %".into(),
        [only] => format!("{only} {} %", percent(other)),
        _ => format!("O2 {} %, rest {main}", percent(o2)),
    };
    svg.text("small", Anchor::Start, x + 28.0, y + 10.5, &text);
}

/// The stock of each bank over time, as small pictures side by side.
pub fn banks(inputs: &Inputs<'_>) -> Vec<String> {
    (0u8..)
        .zip(&inputs.subject.banks)
        .map(|(i, label)| bank(inputs, BankId(i), label))
        .collect()
}

fn bank(inputs: &Inputs<'_>, id: BankId, label: &BankLabel) -> String {
    const W: f64 = 250.0;
    const H: f64 = 138.0;
    let (left, right, top, bottom) = (40.0, W - 6.0, 54.0, H - 8.0);
    let scale = inputs.units.scale(Quantity::GaugePressure);
    let rows: Vec<_> = inputs
        .record
        .log
        .banks()
        .iter()
        .filter(|b| b.bank == id)
        .collect();
    let mut svg = Svg::new(W, H, &format!("Stock of bank {}", label.name));
    svg.text(
        "name",
        Anchor::Start,
        0.0,
        13.0,
        &format!("{}, {}", label.name, label.duty.words()),
    );
    chip(&mut svg, 0.0, 20.0, label);
    let state = BankState::of(inputs, id, label);
    if let (true, Some(o2)) = (state.is_off_label(), state.end_o2().or(state.start_o2())) {
        let text = format!("▲ truly O2 {} %", fixed(o2 * 100.0, 1));
        svg.text("warn", Anchor::End, W, 30.5, &text);
    }
    let (Some(first), Some(last)) = (rows.first(), rows.last()) else {
        svg.text("faint", Anchor::Start, 0.0, 62.0, "not logged");
        return svg.finish();
    };
    let start = state.start.unwrap_or(first.moles).total();
    let end = state.end.unwrap_or(last.moles).total();
    let share = if start > 0.0 {
        end / start * 100.0
    } else {
        0.0
    };
    let most = rows.iter().map(|r| r.gauge_bar).fold(1.0, f64::max) * 1.05;
    let text = format!(
        "{} → {} {}, {} % left",
        scale.digits(first.gauge_bar),
        scale.digits(last.gauge_bar),
        scale.unit,
        fixed(share, 0)
    );
    svg.text("small", Anchor::Start, 0.0, 47.0, &text);
    let time = Axis {
        from: 0.0,
        to: inputs.outcome.ended_s.max(1) as f64,
        from_px: left,
        to_px: right,
    };
    let y = Axis {
        from: 0.0,
        to: most,
        from_px: bottom,
        to_px: top,
    };
    svg.rect("ground", left, top, right - left, bottom - top);
    let printed = Axis {
        from: 0.0,
        to: scale.of(most),
        ..y
    };
    let (ticks, decimals) = printed.ticks(3);
    for tick in ticks {
        let at = printed.px(tick);
        svg.line("grid", left, at, right, at);
        svg.text(
            "small",
            Anchor::End,
            left - 4.0,
            at + 4.0,
            &fixed(tick, decimals),
        );
    }
    let points: Vec<_> = rows
        .iter()
        .map(|r| (time.px(r.at as f64), y.px(r.gauge_bar)))
        .collect();
    svg.trace("shown", &thin(&points, 1.0));
    svg.line("axis", left, bottom, right, bottom);
    svg.finish()
}
