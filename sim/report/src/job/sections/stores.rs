//! The section of the page that speaks of absorbent and of what went through the locks.

use crate::explain::{Cells, id};
use crate::job::stores::StoresSummary;
use deepstay_core::units::{about, fixed};
use maud::{Markup, html};

/// Absorbent by scrubber, and runs by lock.
pub fn stores(s: &StoresSummary, cells: &Cells) -> Markup {
    html! {
        h2 { "Absorbent and lock runs" }
        @if s.absorbent.is_empty() { p { "No scrubber is fitted." } } @else { table {
            thead { tr {
                th { "scrubber of" } th.n { "canister (kg)" } th.n { "changed" } th.n { "used (kg)" }
                th.n { "hours each" } th.n { "CO2 taken (mol)" } th.n { "L to the kg" }
            } }
            tbody {
                @for a in &s.absorbent {
                    @let of = |name, text: String| cells.figure(&["stores", "absorbent", &a.compartment, name], text);
                    tr title=(id("job", &["stores", "absorbent", &a.compartment])) {
                        td.w { (a.compartment) }
                        (of("canister_kg", fixed(a.canister_kg, 1))) (of("changed", a.changed.to_string())) (of("kg", fixed(a.kg, 1)))
                        (of("mean_hours", a.mean_hours.map_or("none".to_owned(), |h| fixed(h, 1))))
                        (of("co2_mol", about(a.co2_mol))) (of("co2_l_per_kg", fixed(a.co2_l_per_kg, 0)))
                    }
                }
                tr.sum { td { "all" } td {} td.n title="job/stores/canisters_changed" { (s.canisters_changed) } td.n title="job/stores/absorbent_kg" { (fixed(s.absorbent_kg, 1)) } td {} td {} td {} }
            }
        } }
        p.note { "Used are the canisters changed and the one that each scrubber began with, whole, whatever is left in them. Litres of free gas." }
        @if s.lock_runs.is_empty() { p { "No lock was run." } } @else { table {
            thead { tr { th { "lock" } th { "for" } th.n { "runs" } } }
            tbody { @for l in &s.lock_runs { tr {
                td.w { (l.lock) } td { (l.what) } (cells.figure(&["stores", "lock_runs", &format!("{} {}", l.lock, l.what), "runs"], l.runs))
            } } }
        } }
        p.note { "Left out: absorbent changed and equipment-lock runs written down for a chamber with no run of a lock. The gas of lock runs is in the account above." }
    }
}
