//! The section of the page that sets what the plan would draw beside what was drawn.

use crate::explain::{Cells, apart, cell_apart, id};
use crate::job::inputs::Inputs;
use crate::job::planned::{NO_BANK, PlannedUse, planned_uses};
use deepstay_core::units::{Scale, about};
use maud::{Markup, html};

/// All banks together, purpose by purpose, where a sum is made.
fn by_purpose(uses: &[PlannedUse], gas: Scale) -> Markup {
    let mut sums: Vec<(&str, [f64; 2])> = Vec::new();
    for u in uses {
        let Some(planned) = u.mol.0 else { continue };
        if sums.iter().all(|(purpose, _)| *purpose != u.purpose) {
            sums.push((u.purpose, [0.0; 2]));
        }
        if let Some((_, sum)) = sums.iter_mut().find(|(purpose, _)| *purpose == u.purpose) {
            sum[0] += planned;
            sum[1] += u.mol.1;
        }
    }
    let told = |mol: f64| cell_apart(apart::PLAN, about(gas.of(mol)));
    html! {
        table {
            thead { tr { th { "all banks" } th.n { "planned, " (gas.unit) } th.n { "used" } th.n { "more than planned" } } }
            tbody { @for (purpose, [planned, used]) in &sums { tr {
                td { (purpose) } (told(*planned)) (told(*used)) (told(used - planned))
            } } }
        }
    }
}

/// The section of the page.
pub fn planned(inputs: &Inputs<'_>, cells: &Cells) -> Markup {
    let gas = inputs.units.free_scale();
    let uses = planned_uses(inputs);
    html! { @if !uses.is_empty() {
        h3 { "Planned against used" }
        (by_purpose(&uses, gas))
        table {
            thead { tr { th { "bank" } th { "purpose" } th.n { "planned, " (gas.unit) } th.n { "used" } th.n { "more than planned" } th { "sum of the plan" } } }
            tbody { @for (i, u) in uses.iter().enumerate() {
                @let row = format!("{} {}", u.bank, u.purpose);
                @let of = |name, text: String| cells.figure_if_any(&["gas", "planned", &row, name], text);
                tr.ruled[i > 0 && uses[i - 1].bank != u.bank] title=(id("job", &["gas", "planned", &row])) {
                    td.w { @if i == 0 || uses[i - 1].bank != u.bank { (u.bank) } }
                    td { (u.purpose) }
                    (of("planned_m3_free", u.mol.0.map_or("no sum".to_owned(), |mol| about(gas.of(mol)))))
                    (of("used_m3_free", about(gas.of(u.mol.1))))
                    td.n title=(apart::RATIO) { @if let Some(mol) = u.mol.0 { (about(gas.of(u.mol.1 - mol))) } }
                    td { (u.formula) }
                }
            } }
        }
        p.note { "Planned are hand sums over the steps and bell runs of the plan, ideal gas by the school convention, with nothing for weather, faults or chance; banks are planned to be drawn in the order in which the watch takes them (by duty, then the nearest label, then the emptier one), one after the other down to their change-over pressure, make-up with bell and trunk side by side. Of banks with one label that are filled alike the watch takes whichever gauge shows least, which no plan knows: hold those together, as the table of all banks does. Meals, laundry and stores through the locks are in make-up, the way up included; BIBS, analyser samples, flushes and what a fault takes have no sum and are drawn as they come. \"" (NO_BANK) "\": the stock has none left for it." }
    } }
}
