//! The section of the page that speaks of absorbent and of what went through the locks.

use crate::explain::id;
use crate::job::stores::StoresSummary;
use deepstay_core::units::{about, fixed};
use maud::{Markup, html};

/// Absorbent by scrubber, and runs by lock.
pub fn stores(s: &StoresSummary) -> Markup {
    html! {
        h2 { "Absorbent and lock runs" }
        @if s.absorbent.is_empty() { p { "No scrubber is fitted." } } @else { table {
            thead { tr {
                th { "scrubber of" } th.n { "canister (kg)" } th.n { "changed" } th.n { "used (kg)" }
                th.n { "hours each" } th.n { "CO2 taken (mol)" } th.n { "L to the kg" }
            } }
            tbody {
                @for a in &s.absorbent { tr title=(id("job", &["stores", "absorbent", &a.compartment])) {
                    td.w { (a.compartment) } td.n { (fixed(a.canister_kg, 1)) } td.n { (a.changed) } td.n { (fixed(a.kg, 1)) }
                    td.n { @match a.mean_hours { Some(h) => { (fixed(h, 1)) } None => { "none" } } }
                    td.n { (about(a.co2_mol)) } td.n { (fixed(a.co2_l_per_kg, 0)) }
                } }
                tr.sum { td { "all" } td {} td.n title="job/stores/canisters_changed" { (s.canisters_changed) } td.n title="job/stores/absorbent_kg" { (fixed(s.absorbent_kg, 1)) } td {} td {} td {} }
            }
        } }
        p.note { "Used are the canisters changed and the one that each scrubber began with, whole, whatever is left in them. Litres of free gas." }
        @if s.lock_runs.is_empty() { p { "No lock was run." } } @else { table {
            thead { tr { th { "lock" } th { "for" } th.n { "runs" } } }
            tbody { @for l in &s.lock_runs { tr title=(id("job", &["stores", "lock_runs", &format!("{} {}", l.lock, l.what)])) { td.w { (l.lock) } td { (l.what) } td.n { (l.runs) } } } }
        } }
        p.note { "Left out: absorbent changed and equipment-lock runs written down for a chamber with no run of a lock. The gas of lock runs is in the account above." }
    }
}
