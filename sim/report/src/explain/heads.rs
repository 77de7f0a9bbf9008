//! The chains behind the head figures of a page, opened in place.

use super::chain::{Again, Chain};
use super::screen::{about_exactly, common_column, input_words, source_words, term_words};
use maud::{Markup, html};
use std::collections::BTreeMap;

/// Most terms that a page shows of one figure.
const MOST_TERMS: usize = 12;

/// Chains by the ids of their figures.
#[derive(Clone, Debug, Default)]
pub(crate) struct Heads(BTreeMap<String, Chain>);

impl Heads {
    /// These chains.
    pub fn of(chains: Vec<Chain>) -> Heads {
        let named = |chain: Chain| (chain.figure.clone(), chain);
        Heads(chains.into_iter().map(named).collect())
    }

    /// The chains of some figures, opened in place; nothing where there is none.
    pub fn opened(&self, ids: &[String]) -> Markup {
        let chains: Vec<&Chain> = ids.iter().filter_map(|id| self.0.get(id)).collect();
        html! { @if !chains.is_empty() {
            details.chain { summary { "where it comes from" } @for chain in chains { (told(chain)) } }
        } }
    }
}

fn told(chain: &Chain) -> Markup {
    let unit = |value: String| match chain.unit.as_str() {
        "" => value,
        unit => format!("{value} {unit}"),
    };
    let common = common_column(&chain.terms);
    let left = chain.terms.len().saturating_sub(MOST_TERMS);
    html! {
        p { b { (unit(chain.printed.clone())) ": " } (chain.says) ". Formula: " (chain.formula) "." }
        @if let Some((file, column)) = common { p { "Terms from the column \"" (column) "\" of " (file) ":" } }
        @if !chain.terms.is_empty() { ul {
            @for term in chain.terms.iter().take(MOST_TERMS) { li { (term_words(term, common.is_some())) } }
            @if left > 0 { li { "and " (left) " more" } }
        } }
        @match &chain.again {
            Again::Agrees { value, .. } => { p { "Calculated again from the files: " (unit(about_exactly(*value))) ", which agrees." } }
            Again::Differs { value, .. } => { p.alert-text { "▲ Calculated again from the files it comes to " (unit(about_exactly(*value))) "." } }
            Again::NotFromFiles { why } => { p { "Not calculated again: " (why) "." } }
        }
        @for rule in &chain.rules { p { (rule.id) ": " (rule.figures) ". " (source_words(rule)) } }
        @for input in &chain.inputs { p { (input_words(input)) } }
        p { "deepstay explain " (chain.figure) }
    }
}
