//! The posted sheets on a job's page, each to be printed by itself: what a superintendent, a client's representative and a
//! surveyor look for.

use crate::explain::{Cells, apart, cell_apart};
use crate::job::posted::*;
use crate::provenance::word_words;
use deepstay_core::CAUTION;
use deepstay_core::units::{FREE, Quantity, Units, ZERO_C_K, fixed, fixed_short};
use maud::{Markup, html};

use apart::POSTED as APART;

/// The sheets, one after the other; words are in the page's units, and so are numbers.
pub fn sheets(s: &PostedSummary, cells: &Cells, units: Units) -> Markup {
    html! {
        (shifts(&s.shift_list, cells))
        (umbilical(&s.umbilical, cells, units))
        (after(&s.after_surfacing))
        (evacuation(&s.evacuation, cells, units))
        (monitoring(&s.monitoring))
        (gas(&s.treatment))
    }
}

/// An answer with its sign where a person should look.
fn answer(word: &str) -> Markup {
    html! { @if word == "broken" { span.alert-text { "\u{25b2} broken" } } @else { (word) } }
}

/// A sheet: its head, what is on it, and the caution, for it may be printed alone.
fn sheet(title: &str, body: &Markup) -> Markup {
    html! {
        section.sheet {
            h2 { (title) }
            (body)
            p.note { "Caution. " (CAUTION) }
        }
    }
}

fn shifts(s: &ShiftSummary, cells: &Cells) -> Markup {
    let body = html! {
        @if s.shifts.is_empty() { p { "The scenario says nothing of who is on shift at the surface (crew: (surface: [...]))." } }
        @else {
            table {
                thead { tr { th { "post" } th { "hours of every day" } th.n { "people" } } }
                tbody { @for (k, line) in s.shifts.iter().enumerate() { tr {
                    td { (line.post) } td.w { (line.hours) }
                    (cells.figure(&["posted", "shift_list", "shifts", &(k + 1).to_string(), "people"], line.people))
                } } }
            }
        }
        p { "Divers under pressure: " (s.teams.join("; ")) "." }
        @match &s.not_judged {
            Some(why) => { p { "Least numbers are not judged: " (why) "." } }
            None => {
                table {
                    thead { tr { th { "asked" } th { "when" } th.n { "at least" } th.n { "fewest" } th { "answer" } th { "rule and source, or why it was not judged" } } }
                    tbody { @for line in &s.least_numbers { tr.weak[line.by.weak()] {
                        @let of = |name: &str, text: String| cells.figure(&["posted", "shift_list", "least_numbers", &line.rule, name], text);
                        td { (line.post) } td { (line.manned) }
                        (of("least", line.least.to_string()))
                        @match line.found { Some(found) => { (of("found", found.to_string())) } None => { (cell_apart(APART, "")) } }
                        td { (answer(line.answer)) }
                        td { @if !line.why.is_empty() { (line.why) "; " } (line.by.words()) }
                    } } }
                }
            }
        }
        p.note { "Posts are counted minute by minute through a day of vessel time; of divers in the bell the working-time section speaks. More people, and who may do what, are the supervisor's and the company's to say." }
    };
    sheet("Shift list and crew minimums", &body)
}

fn umbilical(s: &UmbilicalSummary, cells: &Cells, units: Units) -> Markup {
    let figure = |name: &str, text: String| cells.figure(&["posted", "umbilical", name], text);
    let body = html! {
        table { tbody {
            tr { td { "deepest work" } (figure("depth_msw", units.scale(Quantity::Depth).text(s.depth_msw))) td { "site and plan of the scenario" } }
            tr { td { "way back along the umbilical" } (figure("back_m_min", format!("{} m/min", fixed_short(s.back_m_min)))) td { (s.back_from) } }
            tr { td { "bail-out" } td {} td { (s.bail_out) } }
            tr { td { "umbilicals" } td {} td { (s.umbilicals.as_deref().unwrap_or("the scenario says nothing of them (crew: (umbilicals: (...)))")) } }
        } }
        table {
            thead { tr { th { "breathing at depth" } th.n { "bail-out lasts (min)" } th.n { "way back (m)" } th { "furthest work" } th { "source of the rate" } } }
            tbody { @for line in &s.rates { tr {
                @let of = |name: &str, text: String| cells.figure(&["posted", "umbilical", "rates", &line.rate, name], text);
                td.w { (line.rate) } (of("minutes", fixed(line.minutes, 1))) (of("reach_m", fixed(line.reach_m, 0)))
                td { @if line.answer == "short" { span.alert-text { "\u{25b2} short" } } @else { (line.answer) } }
                td { (line.source) }
            } } }
        }
        @match &s.not_judged {
            Some(why) => { p { "Lengths and endurance are not judged: " (why) "." } }
            None => { table {
                thead { tr { th { "asked" } th.n { "found" } th { "answer" } th { "rule and source" } } }
                tbody { @for line in &s.asked { tr.weak[line.by.weak()] {
                    td { (line.asked) } (cell_apart(APART, &line.found)) td { (answer(line.answer)) } td { (line.by.words()) }
                } } }
            } }
        }
        p.note { "t = V (p fill \u{2212} P \u{2212} p reg) / (q P), L = v t, P the absolute pressure by the school convention: Brazil, NORMAM-222 of January 2025, surface-supplied section, seen; the algebra is derived. Obstacles on the way, a slower way back and harder breathing shorten it. Lengths and speeds are inputs of the house." }
    };
    sheet("Umbilical reach against bail-out", &body)
}

fn after(s: &AfterSummary) -> Markup {
    // Who came up together is told of together.
    let mut groups: Vec<(Vec<&str>, &AfterLine)> = Vec::new();
    for diver in &s.divers {
        let same = |of: &AfterLine| AfterLine {
            diver: diver.diver.clone(),
            ..of.clone()
        };
        match groups.iter_mut().find(|(_, of)| same(of) == *diver) {
            Some((who, _)) => who.push(&diver.diver),
            None => groups.push((vec![&diver.diver], diver)),
        }
    }
    let body = html! {
        @if s.divers.is_empty() { p { "Nobody has come to the surface." } }
        @else {
            table {
                thead { tr { th { "divers" } th { "at the surface, after" } th { "holds until" } th { "not pressed again before" } } }
                tbody { @for (who, d) in &groups { tr {
                    td { (who.join(", ")) }
                    (cell_apart(APART, html! { (d.surfaced) br; "after " (d.under_pressure) }))
                    td.w {
                        @for (k, until) in d.until.iter().enumerate() { @if k > 0 { br; } (until.what) ": " (until.until) }
                        @if d.until.is_empty() { "nothing is judged" }
                    }
                    (cell_apart(APART, &d.pressed_again))
                } } }
            }
            @for row in &s.rows { p.note { (row.words()) } }
        }
        @if let Some(why) = &s.not_judged { p { "What holds after surfacing is not judged: " (why) "." } }
        @for row in &s.not_accepted { p.note { (row) "." } }
        h3 { "Ear drops and washing under pressure" }
        p { "Asked: " (s.hygiene.asked) "." }
        @if s.hygiene.divers.is_empty() { p { "Nobody was under pressure for a whole day." } }
        @else { table {
            thead { tr { th { "diver" } th { "as asked" } th { "the whole day that had least" } } }
            tbody { @for d in &s.hygiene.divers { tr {
                td { (d.diver) }
                td { @match d.as_asked { Some(true) => { "yes" } Some(false) => { span.alert-text { "\u{25b2} fewer" } } None => { "not judged" } } }
                td.w { (d.least) }
            } } }
        } }
        @if let Some(by) = &s.hygiene.by { p.note { (by.words()) } }
        p.note { "Dates are the vessel's day and time. Of two rows for one thing the longer is printed. Who was ill, treated or is unfit stays by the doctor's word." }
    };
    sheet("Divers after surfacing", &body)
}

fn gas(s: &TreatmentSummary) -> Markup {
    let body = html! {
        @if s.banks.is_empty() { p { "No bank is labelled as treatment gas or oxygen." } }
        @else { table {
            thead { tr { th { "bank" } th.n { "label" } th.n { "within the band at" } } }
            tbody { @for b in &s.banks { tr { td.w { (b.bank) } (cell_apart(APART, &b.label)) (cell_apart(APART, &b.depths)) } } }
        } }
        @match &s.not_judged {
            Some(why) => { p { "Treatment gas is not judged: " (why) "." } }
            None => { table {
                thead { tr { th { "asked" } th { "found, from where oxygen alone suffices to the deepest work" } th { "answer" } th { "rule and source" } } }
                tbody { @for line in &s.asked { tr.weak[line.by.weak()] {
                    td { (line.asked) } td { (line.found) } td { (answer(line.answer)) } td { (line.by.words()) }
                } } }
            } }
        }
        h3 { "Fire zone" }
        @for line in &s.fire_zone { p { (line) } }
        p.note { "By the labels alone: what a bank truly holds is its analysis's to say. In the fire zone suppression is armed, clothing and bedding are of what the document names, and little that burns is inside (US Navy Diving Manual, 15-17, seen). Treatment is the diving doctor's word." }
    };
    sheet("Gas for treatment, and the fire zone", &body)
}

fn monitoring(s: &MonitoringSummary) -> Markup {
    let body = html! {
        table {
            thead { tr { th { "place" } th.n { "instruments at the control positions" } } }
            tbody { @for line in &s.fitted { tr { td.w { (line.place) } (cell_apart(APART, &line.instruments)) } } }
        }
        @match &s.not_judged {
            Some(why) => { p { "Monitoring is not judged: " (why) "." } }
            None => { table {
                thead { tr { th { "asked" } th { "found" } th { "answer" } th { "rule and source" } } }
                tbody { @for line in &s.asked { tr.weak[line.by.weak()] {
                    td { (line.asked) } td { (line.found) } td { (answer(line.answer)) } td { (line.by.words()) }
                } } }
            } }
        }
        @if !s.contaminants.is_empty() {
            h3 { "Limited by the rule set, and read by no instrument here" }
            table {
                thead { tr { th { "allowed" } th { "rule and source" } } }
                tbody { @for line in &s.contaminants { tr.weak[line.by.weak()] { td { (line.allowed) } td { (line.by.words()) } } } }
            }
            p.note { "By spot samples and the supplier's analysis: asked on board." }
        }
        p.note { "Counted by what the panel says an instrument is connected to, two on one quantity as one and its back-up. Oxygen by volume counts as its partial pressure, for depth is shown beside it. Hand-held meters and spot-check tubes are in no scenario." }
    };
    sheet("Monitoring and back-up", &body)
}

fn evacuation(s: &EvacuationSummary, cells: &Cells, units: Units) -> Markup {
    let status = s.wanted_status.map_or("", word_words);
    let (free, degrees) = (units.free_scale(), units.scale(Quantity::Temperature));
    let m3 = |m3: f64| fixed(free.of(m3 * FREE.mol_per_m3()), 1);
    let c = |degc: f64| degrees.text(degc + ZERO_C_K);
    let body = html! {
        p { "Asked: " b { (fixed_short(s.wanted_h)) " h" } " (" (s.wanted_source) "; " (status) "). Storage at " (units.scale(Quantity::Depth).text(s.depth_msw)) ", every place taken." }
        @if s.units.is_empty() { p { span.alert-text { "\u{25b2} " } "The spread has no rescue chamber." } }
        @else { table {
            thead { tr { th { "unit" } th.n { "places" } th.n { "canister (kg)" } th.n { "lasts (h)" } th.n { "absorbent needed (kg)" } th.n { "oxygen needed (" (free.unit) ")" } th.n { "gas for its leak (" (free.unit) ")" } th.n { "ends at (" (degrees.unit) ")" } th { "carbon dioxide; heat" } } }
            tbody { @for u in &s.units { tr {
                @let of = |name: &str, text: String| cells.figure(&["posted", "evacuation", "units", &u.unit, name], text);
                @let some = |name: &str, value: Option<f64>| match value { Some(v) => of(name, fixed(v, 1)), None => cell_apart(APART, "none") };
                td.w { (u.unit) } (of("places", u.places.to_string()))
                (some("absorbent_kg", u.absorbent_kg)) (some("absorbent_h", u.absorbent_h)) (some("absorbent_needed_kg", u.absorbent_needed_kg))
                (of("oxygen_needed_m3", m3(u.oxygen_needed_m3))) (of("leak_needed_m3", m3(u.leak_needed_m3)))
                (of("ends_degc", fixed(degrees.of(u.ends_degc + ZERO_C_K), 1)))
                td { (u.carbon_dioxide) "; " (u.heat) }
            } } }
        } }
        @if !s.asked.is_empty() { table {
            thead { tr { th { "asked" } th { "found" } th { "answer" } th { "rule and source" } } }
            tbody { @for line in &s.asked { tr.weak[line.by.weak()] {
                td { (line.asked) } td { (line.found) } td { (answer(line.answer)) } td { (line.by.words()) }
            } } }
        } }
        p.note { "Sizing: " (s.sizing) ". Which banks go with a unit is said on a page of today: deepstay stock --from PAGE has its hours of oxygen and gas, and what it is surrounded by. " }
        p.note { "Where it ends: the air of the spread's deck and its people at rest over the loss of its wall, without sun, waves and wet heat. Air, 12 men, 6 h: " (c(35.0)) " cannot be compensated, and core temperature rises more at " (c(32.0)) " than at " (c(28.0)) " (Undersea Hyperb Med 2022;49(4), abstract, seen); at full humidity in a small compartment " (c(30.0)) " to " (c(31.0)) " cannot be (NSMRL report 904, seen)." }
    };
    sheet("Evacuation under pressure: endurance", &body)
}

#[cfg(test)]
mod tests {
    use super::*;
    use deepstay_core::record::Recorder;
    use deepstay_rules::builtin;
    use std::sync::Arc;

    /// Whatever the set, each sheet says what it judges by, or that it does not, and closes with the caution.
    #[test]
    fn every_set_has_its_sheets() {
        for set in deepstay_rules::builtin_names() {
            let mut scenario = deepstay_scenario::load("six-man").expect("built in");
            scenario.rules = Arc::new(builtin(set).expect("built in"));
            let record = Recorder::new(scenario.start_second_of_day);
            for units in [Units::Metric, Units::Imperial] {
                let posted = PostedSummary::of(&scenario, &record, None, (0, units));
                let summary = serde_json::json!({ "posted": posted });
                let page = sheets(&posted, &Cells::of_job(&summary), units).into_string();
                assert_eq!(page.matches(CAUTION).count(), 6, "{set}");
                assert_eq!(
                    page.matches("<section class=\"sheet\">").count(),
                    6,
                    "{set}"
                );
            }
        }
    }
}
