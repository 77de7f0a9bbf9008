//! The rota as one page: the caution first, then whether it is legal and how near the best, the chart of
//! turns, hours and rest, the work, the rules where they bind, fatigue beside them, and the sources.

use super::inputs::RotaInputs;
use super::summary::RotaSummary;
use super::{chart, judged, sections};
use crate::explain::{Cells, Heads, id};
use crate::kit::frame::{framed, tile, tile_from};
use deepstay_core::CAUTION;
use deepstay_core::units::{fixed, hours};
use deepstay_rota::MadeBy;
use maud::{Markup, PreEscaped, html};

/// The page.
pub fn rota_html(inputs: &RotaInputs<'_>) -> String {
    rota_html_from(inputs, &Heads::default())
}

/// The ids of the figures at its head.
pub(super) fn head_ids(inputs: &RotaInputs<'_>) -> Vec<String> {
    let mut ids = proof_ids();
    ids.extend([off_trunk_id(), uneven_id()]);
    ids.extend(rest_id(inputs));
    ids
}

fn proof_ids() -> Vec<String> {
    ["gap", "useful_h", "wished_h", "bound_h"]
        .map(|of| id("rota", &["proof", of]))
        .into()
}

fn off_trunk_id() -> String {
    id("rota", &["bell_off_trunk"])
}

fn uneven_id() -> String {
    id("rota", &["spread", "in_water_h"])
}

/// The id of the shortest rest: that of the diver who has it.
fn rest_id(inputs: &RotaInputs<'_>) -> Option<String> {
    let with_rest = inputs.divers.iter().filter(|d| d.shortest_rest_s.is_some());
    let who = with_rest.min_by_key(|d| d.shortest_rest_s)?;
    let names = ["divers", inputs.initials(who.diver), "shortest_rest_h"];
    Some(id("rota", &names))
}

/// The page with the chains behind the figures at its head.
pub(super) fn rota_html_from(inputs: &RotaInputs<'_>, heads: &Heads) -> String {
    let subject = inputs.subject;
    let cells = &Cells::of_rota(&RotaSummary::of(inputs));
    let body = html! {
        h1 { "Bell-run rota: " (subject.title) }
        p.sub {
            (subject.scenario) " on " (subject.spread) ", rule set " (subject.rule_set) ". " @if let Some(taken) = &subject.rules_taken { b { (taken) ". " } }
            @if let (Some(first), Some(last)) = (inputs.rota.runs.first(), inputs.rota.runs.last()) {
                "First bell run " (subject.time.civil_minute(first.first)) ", last return " (subject.time.civil_minute(last.last)) ", vessel time. "
            }
            @match inputs.made_by {
                MadeBy::Search => { "Calculated by this program." }
                MadeBy::StoppedSearch => { "Calculated by this program; the search was stopped, and this is the best it had." }
                MadeBy::PlannedAgain(from) => { "Planned again from " (from) ", with as few bell runs changed as the change touches." }
                MadeBy::File(name) => { "Read from " (name) " and judged." }
            }
        }
        p.caution { b { "Caution. " } (CAUTION) }
        (tiles(inputs, heads))
        @for remark in inputs.remarks { p.note { (remark) } }
        (judged::breaches(inputs, cells))
        (chart(inputs))
        (sections::divers(inputs, cells))
        (sections::bells(inputs))
        (sections::work(inputs, cells))
        (judged::rules(inputs, cells))
        (judged::under(inputs, cells))
        (sections::fatigue(inputs, cells))
        (sections::seafarers(inputs))
        (judged::sources(inputs))
        p.note { "The figures at the head open to where they come from, as rota.json has them; a number of a table carries, where a mouse rests on it, the id that deepstay explain takes, or where it stands if rota.json does not hold it." }
    };
    framed(&format!("Bell-run rota: {}", subject.scenario), &body)
}

fn tiles(inputs: &RotaInputs<'_>, heads: &Heads) -> Markup {
    let from = |ids: &[String]| heads.opened(ids);
    let rest: Vec<String> = rest_id(inputs).into_iter().collect();
    let (turns, broken) = (inputs.rota.runs.len(), inputs.verdict.breaches.len());
    let day = |at: i64| inputs.subject.time.clock(at);
    let done = inputs
        .progress
        .iter()
        .filter(|p| p.done_s.is_some())
        .count();
    let shortest = inputs.divers.iter().filter_map(|d| d.shortest_rest_s).min();
    let fair = inputs.fairness;
    let verdict = if broken == 0 {
        "Within the rules".to_owned()
    } else {
        format!("{broken} breach{}", if broken == 1 { "" } else { "es" })
    };
    html! {
        div.tiles {
            (tile(broken > 0, &verdict, &format!("rule set {}; judged apart from the search", inputs.subject.rule_set)))
            (tile(false, &format!("{turns} bell runs"), &format!("{} h in the water, all divers together", fixed(inputs.water_s() as f64 / 3600.0, 0))))
            @match (inputs.proof_words(), inputs.gap()) {
                (Some(words), Some(gap)) => {
                    (tile_from(gap > 0.05, &format!("{} %", fixed(gap * 100.0, 1)), &format!("short of the best at most (optimality gap): {words}"), &from(&proof_ids())))
                }
                _ => { (tile(false, "not asked", "how near the best: this rota was not searched for")) }
            }
            (tile_from(false, &format!("{} %", fixed(inputs.away() * 100.0, 0)), "bell utilisation: share of the time there was, locked off", &from(&[off_trunk_id()])))
            @if inputs.progress.is_empty() {
                (tile(false, "no list", "of work: as much time in the water as the rules allow"))
            } @else {
                (tile(done < inputs.progress.len(), &format!("{done} of {}", inputs.progress.len()),
                    &inputs.worth.and_then(|w| w.done_s).map_or("tasks done".to_owned(), |s| format!("tasks done, the last by {}", day(s)))))
            }
            (tile_from(false, &shortest.map_or("none".to_owned(), hours), "h:min, the shortest rest between two bell runs", &from(&rest)))
            (tile_from(false, &format!("{} h", fixed(fair.water_s as f64 / 3600.0, 1)), "in the water between the busiest diver and the least busy", &from(&[uneven_id()])))
            (tile(sections::high_turns(inputs) > 0, &format!("{} of {}", sections::high_turns(inputs), sections::seats(inputs)),
                "positions likely to find their diver sleepy; beside the rules, not one of them"))
        }
    }
}

fn chart(inputs: &RotaInputs<'_>) -> Markup {
    let strips = chart::draw(inputs);
    html! {
        h2 { "Bell runs" }
        @if strips.is_empty() { p { "There is no bell run." } }
        @for strip in &strips { (PreEscaped(strip)) }
    }
}
