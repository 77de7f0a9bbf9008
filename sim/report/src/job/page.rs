//! The report as one page: the caution first, then how it went, what crossed a limit, the gas, the
//! chambers, the bell, the divers, the alarms and the sources. No script, nothing from outside.

use super::ending::Ending;
use super::inputs::Inputs;
use super::summary::{DecompressionSummary, LimitSummary, StatusCount, Summary};
use super::{faults, lived, sections};
use crate::explain::{Cells, Heads, apart, id};
use crate::kit::frame::{framed, tile, tile_from};
use crate::working;
use deepstay_core::CAUTION;
use deepstay_core::units::{Truth, about, fixed, span, tiny};
use deepstay_core::words::Words;
use maud::{Markup, html};

/// The page.
pub fn html(inputs: &Inputs<'_>, summary: &Summary) -> String {
    html_from(inputs, summary, &Heads::default())
}

/// The ids of the figures at its head.
pub(super) fn head_ids(s: &Summary) -> Vec<String> {
    let mut ids = vec![
        id("job", &["ended_hour"]),
        id("job", &["ledger", "worst_relative"]),
    ];
    ids.extend(runs_ids());
    ids.extend(["He", "O2"].map(drawn_id));
    ids.extend(longest(s).map(|d| hours_id(s, d)));
    ids
}

fn runs_ids() -> Vec<String> {
    let figures = ["made", "in_water_h", "hot_water_t"];
    figures.map(|of| id("job", &["bell_runs", of])).into()
}

fn drawn_id(formula: &str) -> String {
    let side = deepstay_core::record::Flow::Drawn.words();
    id("job", &["gas", "totals", side, formula, "m3_free"])
}

/// The decompression that took longest.
fn longest(s: &Summary) -> Option<&DecompressionSummary> {
    let all = s.decompressions.iter();
    all.reduce(|a, b| if b.hours > a.hours { b } else { a })
}

/// The id of its hours; of several of one chamber the second has a number.
fn hours_id(s: &Summary, of: &DecompressionSummary) -> String {
    let same = s
        .decompressions
        .iter()
        .filter(|d| d.compartment == of.compartment);
    let at = same.take_while(|d| *d != of).count();
    let name = match at {
        0 => of.compartment.clone(),
        n => format!("{} {}", of.compartment, n + 1),
    };
    id("job", &["decompressions", &name, "hours"])
}

/// The page with the chains behind the figures at its head.
pub(super) fn html_from(inputs: &Inputs<'_>, summary: &Summary, heads: &Heads) -> String {
    let subject = inputs.subject;
    let cells = Cells::of_job(summary);
    let body = html! {
        h1 { (subject.title) }
        @if summary.how_it_ended != Ending::Complete {
            p.alert-text { b { "▲ " (summary.how_it_ended.words()) ": " (summary.ended_because) "." } }
        }
        p.sub {
            (subject.scenario) " on " (subject.spread) ", work at "
            (inputs.units.scale(deepstay_core::units::Quantity::Depth).text(subject.working_msw))
            ", rule set " (subject.rule_set) ", seed " (subject.seed) ". " @if let Some(taken) = &subject.rules_taken { b { (taken) ". " } } "From " (subject.time.civil_with_offset(0))
            " to " (subject.time.civil_with_offset(inputs.outcome.ended_s)) "."
        }
        @for warning in &subject.warnings { p.note { "Note: " (warning) "." } }
        p.caution { b { "Caution. " } (CAUTION) }
        (from_present(summary))
        (tiles(summary, heads))
        (sections::limits(inputs, &cells))
        (faults::section(inputs))
        (sections::gas::gas(inputs, summary, &cells))
        (sections::gas::banks(inputs, &cells))
        (sections::planned::planned(inputs, &cells))
        (sections::chambers(inputs))
        (working::section(&summary.working_time, apart::WORKING))
        (sections::bell(inputs))
        (lived::section(inputs))
        (sections::work(inputs, &cells))
        (sections::divers(inputs, &cells))
        (sections::hours::limits(&summary.divers, &cells))
        (sections::stores::stores(&summary.stores, &cells))
        (sections::course(inputs))
        (sections::gas::days(inputs))
        (sections::alarms::alarms(inputs, &cells))
        (sections::posted::sheets(inputs.posted_shown, &cells, inputs.units))
        (sections::sources(inputs))
        (notes(inputs, summary))
    };
    framed(&format!("Saturation report: {}", subject.scenario), &body)
}

/// That the job was taken up from a present, and what was assumed.
fn from_present(s: &Summary) -> Markup {
    html! {
        @if let Some(present) = &s.from_present {
            h2 { "Taken up from a present" }
            p {
                "This job was taken up at " (present.clock) " (" (present.at)
                ") from a page of readings. What came before is in no figure here; one page does not tell everything, and this was assumed:"
            }
            ul { @for assumed in &present.assumed { li { (assumed) } } }
        }
    }
}

fn tiles(s: &Summary, heads: &Heads) -> Markup {
    let from = |ids: &[String]| heads.opened(ids);
    let count =
        |of: &[LimitSummary], truth| of.iter().filter(|l| l.total.key.truth == truth).count();
    let by = |of: &[LimitSummary]| {
        format!(
            "{} true, {} indicated",
            count(of, Truth::True),
            count(of, Truth::Shown)
        )
    };
    let b = &s.bell_runs;
    let lost = b.aborted + b.cancelled;
    let gas = s.units.free_scale();
    let total = |flow: deepstay_core::record::Flow, formula: &str| {
        let by = s.gas.totals.get(flow.words());
        gas.of(by.and_then(|by| by.get(formula)).map_or(0.0, |a| a.mol))
    };
    let drawn = |formula: &str| total(deepstay_core::record::Flow::Drawn, formula);
    let count = StatusCount::of(s);
    let end = s.how_it_ended.words();
    html! {
        div.tiles {
            (tile_from(s.how_it_ended != Ending::Complete, end, &format!("{}; {}, hour {}", s.ended_because, s.ended_clock, fixed(s.ended_hour, 1)), &from(&[id("job", &["ended_hour"])])))
            (tile(s.crossed_limits(), &by(&s.limits_crossed), "limits crossed"))
            (tile(false, &by(&s.attentions), "values passed that call for attention"))
            (tile_from(lost > 0, &format!("{} of {}", b.made, b.made + lost + b.still_out),
                &format!("bell runs made; {} h in the water, {} t of hot water", fixed(b.in_water_h, 1), fixed(b.hot_water_t, 0)), &from(&runs_ids())))
            (tile_from(false, &format!("{} {}", about(drawn("He")), gas.unit), "helium drawn from banks (free gas)", &from(&[drawn_id("He")])))
            (tile_from(false, &format!("{} {}", about(drawn("O2")), gas.unit), "oxygen drawn from banks (free gas)", &from(&[drawn_id("O2")])))
            @if let Some(longest) = longest(s) {
                (tile_from(!longest.surfaced, &span(longest.seconds),
                    &format!("decompression of {}{}", longest.compartment, if longest.surfaced { "" } else { ", not at surface" }), &from(&[hours_id(s, longest)])))
            } @else {
                (tile(false, "none", "decompression"))
            }
            (tile_from(!s.ledger.closes, if s.ledger.closes { "closes" } else { "does not close" },
                &format!("gas ledger: worst species {} of the moles handled, {} allowed", tiny(s.ledger.worst_relative), tiny(s.ledger.tolerance)), &from(&[id("job", &["ledger", "worst_relative"])])))
            (tile(false, &format!("{} from memory", count.recalled),
                &format!("of {} rule figures used, not verified; {} more second-hand", s.rules_used.len(), count.second_hand)))
        }
    }
}

fn notes(inputs: &Inputs<'_>, s: &Summary) -> Markup {
    let subject = inputs.subject;
    html! {
        h2 { "How to read this" }
        p.note {
            "Times are the vessel's day and time: the day of the first second is D01. Indicated is what an instrument showed the watch; "
            "true means the computed state of the plant, which no one on board sees. Free gas volumes are counted at 15 °C and 1 bar as an ideal gas ("
            (fixed(deepstay_core::units::FREE.mol_per_m3(), 2)) " mol to the m³). "
            @if inputs.units == crate::Units::Imperial { "Feet of sea water are 33.066 to the atmosphere, by the unit table of the US Navy Diving Manual (second-hand); ppO2 in ata. " }
            @else { "One msw is 10 kPa. " }
            "The figures at the head open to where they come from, in the units of job.json and as files have it; a number of a table carries, where a mouse rests on it, the id that deepstay explain takes, or where it stands if job.json does not hold it. "
            "Built-in scenarios, with their vessels, fields and people, are invented."
        }
        p.note {
            "Computed with " (about(s.seconds_evaluated as f64)) " seconds evaluated and " (about(s.entries as f64)) " entries recorded; log rows every "
            (span(subject.log_every_s)) "."
            @if s.left_out > 0 { span.alert-text { " ▲ " (s.left_out) " entries were counted but not kept one by one." } }
        }
    }
}
