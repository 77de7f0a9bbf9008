//! Amounts, pressures and banks of the stock's pages in words.

use crate::subject::Subject;
use deepstay_core::units::{BankId, Duty, Quantity, Units, about, fixed_short};
use deepstay_core::words::Words;
use deepstay_stock::reserve::{COUNTED_AT, Holding, Line, Outcome, Treated};
use deepstay_stock::{CanisterSize, Gas};

/// What oxygen is for that no chamber sees.
pub(super) const BURNING: &str = "burning";

/// Unit of gas volumes and of absorbent.
pub(super) fn amount_head(units: Units) -> &'static str {
    match units {
        Units::Metric => "m\u{b3} free or kg",
        Units::Imperial => "ft\u{b3} free or kg",
    }
}

/// Cubic metres of free gas in the chosen unit.
pub(super) fn free(m3: f64, units: Units) -> String {
    let scale = units.free_scale();
    format!(
        "{}\u{a0}{}",
        about(scale.of(m3 * COUNTED_AT.mol_per_m3())),
        scale.unit
    )
}

/// An amount of a kind of stock: mol of gas as free gas, absorbent in kg.
pub(super) fn amount(holding: Holding, amount: f64, units: Units) -> String {
    if holding.is_gas() {
        free(amount / COUNTED_AT.mol_per_m3(), units)
    } else {
        format!("{}\u{a0}kg", about(amount))
    }
}

/// A gauge pressure in the chosen unit, whole.
pub(super) fn bar(value: f64, units: Units) -> String {
    let scale = units.scale(Quantity::GaugePressure);
    format!(
        "{}\u{a0}{}",
        deepstay_core::units::fixed(scale.of(value), 0),
        scale.unit
    )
}

/// A number rounded up to about three figures: what must at least be held is never shown as less.
fn up(value: f64) -> f64 {
    let step = match value {
        v if v >= 99.95 => 1.0,
        v if v >= 9.995 => 0.1,
        _ => 0.01,
    };
    (value / step - 1e-6).ceil() * step
}

/// An amount as it is posted, rounded up.
pub(super) fn least_amount(holding: Holding, amount: f64, units: Units) -> String {
    if !holding.is_gas() {
        return format!("{}\u{a0}kg", about(up(amount)));
    }
    let scale = units.free_scale();
    format!("{}\u{a0}{}", about(up(scale.of(amount))), scale.unit)
}

/// A gauge pressure as it is posted: whole, rounded up.
pub(super) fn least_bar(value: f64, units: Units) -> String {
    let scale = units.scale(Quantity::GaugePressure);
    let whole = (scale.of(value) - 1e-6).ceil();
    format!(
        "{}\u{a0}{}",
        deepstay_core::units::fixed(whole, 0),
        scale.unit
    )
}

/// A depth in the chosen unit.
pub(super) fn depth(msw: f64, units: Units) -> String {
    units.scale(Quantity::Depth).text(msw)
}

/// Banks by name.
pub(super) fn names(banks: &[BankId], subject: &Subject) -> String {
    let name = |b: &BankId| {
        subject
            .banks
            .get(b.index())
            .map_or("?", |b| b.name.as_str())
    };
    banks.iter().map(name).collect::<Vec<_>>().join(", ")
}

/// A gas in words: its duty, and its oxygen where that is a choice.
pub fn gas_name(gas: &Gas) -> String {
    match gas.duty {
        Duty::Oxygen | Duty::Air | Duty::Helium => gas.duty.words().to_owned(),
        duty => format!(
            "{}, {} % O2",
            duty.words(),
            fixed_short(gas.label_o2 * 100.0)
        ),
    }
}

/// The name of a size of canister.
pub(super) fn size_name(size: &CanisterSize) -> String {
    format!("{} kg", fixed_short(size.kg))
}

/// Gases with their oxygen and banks.
pub(super) fn gas_names(gases: &[Gas], subject: &Subject) -> String {
    let one = |gas: &Gas| {
        let what = match gas.duty {
            Duty::Air => "air".to_owned(),
            _ => format!("{}\u{a0}% O2", about(gas.label_o2 * 100.0)),
        };
        format!("{what}: {}", names(&gas.banks, subject))
    };
    if gases.is_empty() {
        return "no bank".to_owned();
    }
    gases.iter().map(one).collect::<Vec<_>>().join("; ")
}

/// What comes of a row, a line each.
pub(super) fn outcome(line: &Line, units: Units) -> Vec<String> {
    match &line.outcome {
        Outcome::Held(needs) => needs
            .iter()
            .map(|n| format!("{}: {}", n.holding, amount(n.holding, n.amount, units)))
            .collect(),
        Outcome::Flow { l_min } => vec![format!(
            "{} L/min of free gas to each diver: a flow to be proven at the panel, not a stock",
            about(*l_min)
        )],
        Outcome::BailOut {
            lasts_s,
            umbilical_m,
        } => vec![
            format!("lasts {} min", about(lasts_s / 60.0)),
            format!(
                "umbilical at most {} m, less what lies in the way",
                about(*umbilical_m)
            ),
        ],
        Outcome::Lost { locks } => locks
            .iter()
            .map(|(name, m3)| format!("{name}: {} a run, to be logged", free(*m3, units)))
            .collect(),
        Outcome::Bill { terms, times, m3 } => {
            let mut words: Vec<String> = terms
                .iter()
                .map(|(what, formula, m3)| format!("{what}, {formula}: {}", free(*m3, units)))
                .collect();
            words.push(format!(
                "{} times the sum: {}; a bill for the whole job, not a minimum",
                about(*times),
                free(*m3, units)
            ));
            words
        }
        Outcome::Wanted(wants) => wants
            .iter()
            .map(|want| {
                let amount = match want.unit {
                    "m3" => free(want.amount, units),
                    unit => format!("{}\u{a0}{unit}", about(want.amount)),
                };
                format!("{}: {amount}", want.what)
            })
            .collect(),
        Outcome::Treatment { spans, wanted_h } => {
            let mut words: Vec<String> =
                spans.iter().map(|s| treated(s, *wanted_h, units)).collect();
            if wanted_h.is_none() {
                words.push("how long it must last is given by no document: the planner's treatment time makes a minimum of it".to_owned());
            }
            words
        }
        Outcome::Figures => vec!["taken by other rows".to_owned()],
        Outcome::Not(why) => vec![format!("not calculated: {why}")],
    }
}

/// A span of depth with the treatment gas that is held for it.
fn treated(span: &Treated, wanted_h: Option<f64>, units: Units) -> String {
    let from = format!(
        "{} to {}",
        depth(span.from_msw, units),
        depth(span.to_msw, units)
    );
    if span.banks.is_empty() {
        return format!("\u{25b2} {from}: no mix of 1.5 to 2.8 ata is held");
    }
    let (banks, lasts) = (span.banks.join(", "), about(span.lasts_h()));
    let held = free(span.held_m3, units);
    let hour = free(span.an_hour_m3, units);
    let told = format!("{from}: {banks} hold {held}, {lasts} h for all at {hour} an hour");
    match wanted_h {
        Some(wanted) if span.lasts_h() < wanted => {
            format!("\u{25b2} {told}; {} h are wanted", about(wanted))
        }
        _ => told,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_posted_is_never_less_than_the_minimum() {
        assert_eq!(least_bar(27.01, Units::Metric), "28\u{a0}bar");
        assert_eq!(least_bar(27.0, Units::Metric), "27\u{a0}bar");
        let kg = |x| least_amount(Holding::BellAbsorbent, x, Units::Metric);
        assert_eq!(kg(10.41), "10.5\u{a0}kg");
        assert_eq!(kg(552.2), "553\u{a0}kg");
        assert_eq!(kg(0.571), "0.58\u{a0}kg");
        assert_eq!(kg(1.44), "1.44\u{a0}kg");
    }
}
