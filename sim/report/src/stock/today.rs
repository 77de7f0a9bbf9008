//! The section of a stock study that starts from a present: what gauges and meters say of the assumptions,
//! where the stock goes from there, and the chance of meeting the next boat.

use super::fan::fan;
use super::inputs::StockInputs;
use super::risk::{between, chance_chart, fan_table, percent};
use super::words::gas_name;
use crate::explain::apart;
use deepstay_core::units::about;
use deepstay_stock::{FanDay, Observation, USES, Use, told};
use maud::{Markup, PreEscaped, html};

/// A use in words.
pub fn use_words(of: Use) -> &'static str {
    match of {
        Use::Breathed => "breathed by divers in the water",
        Use::Reclaimed => "brought back by reclaim",
        Use::MakeUp => "drawn to hold depth",
        Use::Oxygen => "oxygen drawn",
        Use::Leaked => "leaked",
    }
}

/// From today.
pub fn today(inputs: &StockInputs<'_>) -> Markup {
    let Some(today) = inputs.today else {
        return html! {};
    };
    let gas = inputs.units.free_scale();
    let day = |s: i64| {
        format!(
            "day {}",
            deepstay_core::units::fixed_short(s as f64 / 86_400.0)
        )
    };
    html! {
        h2 { "From " (day(today.present.at_s)) }
        p { "What the gauges and meters of the job under way say of the assumptions, by a linear Gaussian update; then whole jobs with inputs drawn from what is believed now, and what they draw after the present taken from what lies in the banks." }
        table title=(apart::PRESENT) {
            thead { tr { th { "observed" } th.n { "seen, " (gas.unit) } th.n { "expected" } th.n { "error of both (1 sd)" } th.n { "off by" } } }
            tbody { @for o in &today.look.observed { tr {
                td { @match o.what {
                    Observation::Net(g) => { "net use of " (gas_name(&inputs.gases[g])) " by its gauges" }
                    Observation::Used(of) => { (use_words(of)) ", metered" }
                } }
                td.n { (about(gas.of(o.seen_mol))) } td.n { (about(gas.of(o.middle_mol))) } td.n { (about(gas.of(o.error_mol))) }
                td.n { (deepstay_core::units::fixed((o.seen_mol - o.middle_mol) / o.error_mol, 1)) " sd" }
            } } }
        }
        h3 { "What is believed of each assumption" }
        table title=(apart::PRESENT) {
            thead { tr { th { "assumption" } th { "as assumed: median, and P5 to P95" } th { "now" } th.n { "doubt left" } } }
            tbody { @for l in &today.look.conditioned { tr {
                td { (l.source.name) }
                td { (told(&l.source, Some(l.before[1]))) " (" (told(&l.source, Some(l.before[0]))) " to " (told(&l.source, Some(l.before[2]))) ")" }
                td { (told(&l.source, Some(l.after[1]))) " (" (told(&l.source, Some(l.after[0]))) " to " (told(&l.source, Some(l.after[2]))) ")" }
                td.n { (percent(l.left)) }
            } } }
        }
        h3 { "Chance that the stock lasts " @if today.present.boat_s.is_some() { "to the boat" } @else { "to the end" } ", end of day " (today.forecast.boat_day) }
        table title=(apart::PRESENT) {
            thead { tr { th { "gas" } th.n { "in the banks now, " (gas.unit) } th.n { "stays above its minimum" } th { "chance that it does not" } } }
            tbody { @for (g, chance) in today.forecast.before_boat.iter().enumerate() { @if drawn(inputs, g) { tr {
                td { (gas_name(&inputs.gases[g])) }
                td.n { (about(gas.of(today.look.now_mol[g]))) }
                td.n { (percent(1.0 - chance.p)) } td { (between(chance)) }
            } } } }
        }
        (chance_chart(&today.forecast.chance, "Chance from today, by day", None))
        @for (g, days) in today.forecast.days.iter().enumerate() { @if drawn(inputs, g) {
            @let days: Vec<FanDay> = days.iter().map(|d| d.scaled(gas.of(1.0))).collect();
            (PreEscaped(fan(&days, None, &format!("{} from today: what is left", gas_name(&inputs.gases[g])), gas.unit)))
            (fan_table(&days, gas.unit))
        } }
        p.note { "Meters are taken to err by " (percent(today.present.error)) " and gauges by " (deepstay_core::units::fixed_short(today.present.gauge_error_pa / deepstay_core::units::BAR_PA)) " bar (1 sd): the present's own figures, or assumed where it gives none, no source." }
        p.note { "Observed are the banks whose gauges were given and " (USES.len()) " uses where they were metered. Where the divers' time in the water so far was given, what they breathe is held against it hour by hour." }
    }
}

fn drawn(inputs: &StockInputs<'_>, gas: usize) -> bool {
    inputs.answer.gases.iter().any(|g| g.place == gas)
}
