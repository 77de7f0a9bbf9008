//! Which rule figures a rota was made or judged by.

use crate::provenance::ProvenanceRow;
use deepstay_rota::{LimitingRule, Problem, RuleName, Verdict};
use deepstay_rules::{Provenance, RuleSet};

/// Every rule that the rota was made or judged by, with its figures where the set prints them.
pub fn rota_provenance(
    problem: &Problem,
    rules: &RuleSet,
    verdict: &Verdict,
    binding: &[LimitingRule],
) -> Vec<ProvenanceRow> {
    let limits = problem
        .limits
        .iter()
        .flat_map(|l| [&l.bell_run.rule, &l.in_water.rule, &l.rest.rule]);
    let named = verdict
        .nearest
        .iter()
        .map(|n| &n.rule)
        .chain(verdict.breaches.iter().map(|b| &b.rule))
        .chain(binding.iter().map(|b| &b.rule))
        .chain(limits);
    let printed = rules.provenance();
    let mut rows: Vec<ProvenanceRow> = Vec::new();
    for rule in named {
        let id = rule.id.split('#').next().unwrap_or(&rule.id);
        if !rows.iter().any(|r| r.id == id) {
            rows.push(row(id, rule, &printed));
        }
    }
    rows.sort_by(|a, b| a.id.cmp(&b.id));
    rows
}

fn row(id: &str, rule: &RuleName, printed: &[Provenance]) -> ProvenanceRow {
    let of = printed.iter().find(|p| p.id == id);
    ProvenanceRow {
        id: id.to_owned(),
        what: of.map_or_else(|| rule.words.clone(), |p| p.what.clone()),
        figures: of.map_or_else(String::new, |p| p.figures.clone()),
        document: rule.source.document.clone(),
        status: rule.source.status,
    }
}
