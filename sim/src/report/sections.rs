//! The sections of the page, one function each.

use super::inputs::{Inputs, status_words};
use super::say::{about, fixed, hours, span, tiny};
use super::summary::Summary;
use super::trend::Trends;
use super::words::{Words, formula};
use super::{bell_chart, gas_chart};
use crate::gas::{Amounts, Species};
use crate::record::{Flow, RunEnd};
use crate::rules::Status;
use crate::units::{BankId, CompartmentId, CompartmentKind, Place, Purpose, Truth};
use maud::{Markup, PreEscaped, html};

/// Limits that were crossed, true and shown apart.
pub fn limits(inputs: &Inputs<'_>) -> Markup {
    let (subject, end_s) = (inputs.subject, inputs.outcome.ended_s);
    let totals = inputs.record.limits.totals(end_s);
    let named = |l: &crate::record::LimitTotal| {
        let same = |b: &&super::LimitBand| {
            (b.compartment, b.quantity, b.side) == (l.key.compartment, l.key.quantity, l.key.side)
                && (b.value - l.limit).abs() <= 1e-9 * l.limit.abs().max(1.0)
        };
        inputs
            .limits
            .iter()
            .find(same)
            .map_or((String::new(), String::new()), |b| {
                (b.label.clone(), b.source.clone())
            })
    };
    html! {
        h2 { "Limits crossed" }
        @if totals.is_empty() {
            p { "None, neither truly nor as shown." }
        } @else {
            table {
                thead { tr {
                    th { "chamber" } th { "limit" } th.n { "set at" } th { "by" } th.n { "times" }
                    th.n { "outside" } th.n { "furthest" } th { "first" } th { "what it is, and where it comes from" }
                } }
                tbody { @for l in &totals {
                    @let scale = inputs.units.scale(l.key.quantity);
                    @let (label, source) = named(l);
                    tr {
                        td.w { (subject.vessel(l.key.compartment)) }
                        td.w { (l.key.quantity.words()) " " (l.key.side.words()) }
                        td.n { (scale.text(l.limit)) }
                        td { @if l.key.truth == Truth::True { b { "true" } } @else { "shown" } }
                        td.n { (l.times) }
                        td.n { (span(l.outside_s)) }
                        td.n { (scale.text(l.furthest)) }
                        td.w { (subject.clock(l.first_s)) }
                        td { (label) @if !source.is_empty() { ": " (source) } @else if label.is_empty() { "not among the limits handed to this report" } }
                    }
                } }
            }
            p.note { "A limit crossed truly and not as shown is one that nobody on board could see; one crossed as shown and not truly is an instrument's doing." }
        }
    }
}

/// Where the gas went, by purpose and by species, and whether the ledger closes.
pub fn gas(inputs: &Inputs<'_>, summary: &Summary) -> Markup {
    html! {
        h2 { "Where the gas went" }
        (PreEscaped(gas_chart::by_purpose(inputs)))
        p.note {
            "Colours by EN 1089-3:2011 (a setting; other schemes differ): "
            span.chip.He {} "He" span.chip.O2 {} "O2" span.chip.N2 {} "N2" span.chip.CO2 {} "CO2. "
            "A diver's open-circuit gas counts on both sides: drawn from its bank and lost to the sea."
        }
        (statement(inputs))
        @if summary.ledger.closes {
            p { "The ledger closes: the worst species is " (tiny(summary.ledger.worst_relative)) " of its moles handled away, " (tiny(summary.ledger.tolerance)) " allowed. No line is the remainder of the others." }
        } @else {
            p.alert-text { "▲ The ledger does not close: worst species " (tiny(summary.ledger.worst_relative)) ", allowed " (tiny(summary.ledger.tolerance))
                @if !summary.ledger.not_closed.is_empty() { "; no closing amount for " (summary.ledger.not_closed.join(", ")) } "." }
        }
    }
}

/// The statement of account: what there was, what came, what went, what is left, per species.
fn statement(inputs: &Inputs<'_>) -> Markup {
    let ledger = &inputs.record.ledger;
    let gas = inputs.units.free_gas();
    let closure = ledger.closure();
    let held = |banks: bool, opening: bool| {
        let mine = |p: &&crate::record::PlaceClosure| match p.place {
            Place::Bank(_) => banks,
            Place::Compartment(_) => !banks,
            _ => false,
        };
        closure
            .places
            .iter()
            .filter(mine)
            .fold(Amounts::ZERO, |sum, p| {
                sum.plus(if opening { &p.opening } else { &p.closing })
            })
    };
    let into = |to: fn(Place) -> bool| ledger.sum_where(|l| to(l.to) && is_held(l.from));
    let from = |from: fn(Place) -> bool| ledger.sum_where(|l| from(l.from) && is_held(l.to));
    let lines: [(&str, Amounts); 10] = [
        ("in banks at the start", held(true, true)),
        ("in chambers at the start", held(false, true)),
        ("+ taken in from the air", from(|p| p == Place::Atmosphere)),
        (
            "+ given off by bodies, absorbent, water",
            from(|p| is_changer(p) || p == Place::Sea),
        ),
        ("− lost to the sea", into(|p| p == Place::Sea)),
        ("− lost to the air", into(|p| p == Place::Atmosphere)),
        ("− taken by bodies", into(|p| p == Place::Body)),
        (
            "− taken by absorbent, drains",
            into(|p| is_changer(p) && p != Place::Body),
        ),
        ("in banks at the end", held(true, false)),
        ("in chambers at the end", held(false, false)),
    ];
    let shown: Vec<Species> = Species::ALL
        .into_iter()
        .filter(|s| lines.iter().any(|(_, a)| a[*s] != 0.0))
        .collect();
    html! {
        table {
            thead { tr {
                th { "account, " (gas.unit) " of free gas" }
                @for s in &shown { th.n { (formula(*s)) } }
            } }
            tbody {
                @for (i, (what, moles)) in lines.iter().enumerate() {
                    tr.sum[i == 8] {
                        td { (what) }
                        @for s in &shown { td.n { (about(gas.of(moles[*s]))) } }
                    }
                }
                tr.sum {
                    td { "left over, over moles handled" }
                    @for s in &shown { td.n { (tiny(closure.relative[*s])) } }
                }
            }
        }
    }
}

fn is_held(p: Place) -> bool {
    matches!(p, Place::Bank(_) | Place::Compartment(_))
}

fn is_changer(p: Place) -> bool {
    !is_held(p) && !matches!(p, Place::Sea | Place::Atmosphere)
}

/// Stock of each bank over time.
pub fn banks(inputs: &Inputs<'_>) -> Markup {
    let gas = inputs.units.free_gas();
    let ledger = &inputs.record.ledger;
    let rows = || (0u8..).zip(&inputs.subject.banks);
    html! {
        h2 { "Gas stock" }
        div.banks { @for picture in gas_chart::banks(inputs) { (PreEscaped(picture)) } }
        table {
            thead { tr {
                th { "bank" } th { "duty" } th.n { "O2 label" } th.n { "O2 analysed" } th.n { "O2 true" }
                th.n { "start (" (gas.unit) " free)" } th.n { "drawn" } th.n { "put back" } th.n { "end" } th.n { "left" }
            } }
            tbody { @for (i, label) in rows() {
                @let place = Place::Bank(BankId(i));
                @let start = ledger.opening(place).map(|a| a.total());
                @let end = ledger.closing(place).map(|a| a.total());
                @let drawn = ledger.sum_where(|l| l.from == place).total();
                @let back = ledger.sum_where(|l| l.to == place).total();
                @let wrong = (label.label_o2 - label.true_o2).abs() > 0.001;
                @let volume = |mol: Option<f64>| mol.map_or_else(|| "not said".into(), |m| about(gas.of(m)));
                tr {
                    td.w { (label.name) } td { (label.duty.words()) }
                    td.n { (fixed(label.label_o2 * 100.0, 1)) " %" }
                    td.n { @match label.analysed_o2 { Some(o2) => { (fixed(o2 * 100.0, 1)) " %" } None => { "never" } } }
                    td.n { @if wrong { span.alert-text { "▲ " } } (fixed(label.true_o2 * 100.0, 1)) " %" }
                    td.n { (volume(start)) } td.n { (about(gas.of(drawn))) } td.n { (about(gas.of(back))) } td.n { (volume(end)) }
                    td.n { @if let (Some(s), Some(e)) = (start, end) { @if s > 0.0 { (fixed(e / s * 100.0, 0)) " %" } } }
                }
            } }
        }
        p.note { "Pressures are what the bank's gauge showed. Real gas at bank pressure holds less than pressure times volume says: compare moles, not bars." }
    }
}

/// Trends of every chamber.
pub fn chambers(inputs: &Inputs<'_>) -> Markup {
    let outside = inputs.record.limits.list();
    let lived = |kind| {
        use CompartmentKind::*;
        matches!(kind, Living | Transfer | Bell | Rescue)
    };
    let pictures = (0u8..)
        .zip(&inputs.subject.vessels)
        .filter_map(|(i, vessel)| {
            let trends = Trends::of(inputs, CompartmentId(i), &outside)?;
            Some((vessel, trends.draw(lived(vessel.kind))))
        });
    let pictures: Vec<_> = pictures.collect();
    html! {
        h2 { "Chambers" }
        p.note {
            "Black: as shown. Thick grey: target depth. Blue dashes: true, drawn only where it lies apart from what was shown. "
            "Grey ground with an edge: beyond a limit. Bars under a panel: times outside a limit, filled as shown, hollow as true. Depth grows downwards."
        }
        @for (vessel, picture) in &pictures {
            h3 { (vessel.name) }
            (PreEscaped(picture))
        }
        @if pictures.is_empty() { p { "Nothing was logged." } }
        (limit_table(inputs))
    }
}

fn limit_table(inputs: &Inputs<'_>) -> Markup {
    let mut lines: Vec<(String, &super::LimitBand, Vec<CompartmentId>)> = Vec::new();
    for band in inputs.limits {
        let key = format!(
            "{:?} {:?} {} {} {}",
            band.quantity, band.side, band.value, band.label, band.source
        );
        match lines.iter_mut().find(|(k, ..)| *k == key) {
            Some((_, _, at)) if at.contains(&band.compartment) => {}
            Some((_, _, at)) => at.push(band.compartment),
            None => lines.push((key, band, vec![band.compartment])),
        }
    }
    html! { @if !lines.is_empty() {
        h3 { "Limits drawn above" }
        table {
            thead { tr { th { "limit" } th.n { "set at" } th { "chambers" } th { "what it is" } th { "source" } } }
            tbody { @for (_, band, at) in &lines { tr {
                td.w { (band.quantity.words()) " " (band.side.words()) }
                td.n { (inputs.units.scale(band.quantity).text(band.value)) }
                td { (at.iter().map(|c| inputs.subject.vessel(*c)).collect::<Vec<_>>().join(", ")) }
                td { (band.label) }
                td { (band.source) }
            } } }
        }
    } }
}

/// The bell runs.
pub fn bell(inputs: &Inputs<'_>) -> Markup {
    let runs = inputs.record.bell.runs();
    let gas = inputs.units.free_gas();
    let made: Vec<_> = runs.iter().filter(|r| r.end() == RunEnd::Made).collect();
    let mean = |value: &dyn Fn(&crate::record::BellRun) -> f64| {
        if made.is_empty() {
            0.0
        } else {
            made.iter().map(|r| value(r)).sum::<f64>() / made.len() as f64
        }
    };
    html! {
        h2 { "Bell runs" }
        @match bell_chart::draw(inputs) {
            None => { p { "None." } }
            Some(picture) => {
                (PreEscaped(picture))
                @if !made.is_empty() {
                    p {
                        "A run that was made took on average " (hours(mean(&|r| r.seal_to_seal_s().unwrap_or(0) as f64) as i64)) " h seal to seal and "
                        (hours(mean(&|r| r.water_s as f64) as i64)) " diver-hours in the water; it drew "
                        (about(gas.of(mean(&|r| r.drawn_mol(Purpose::DiverGas))))) " " (gas.unit) " of divers' gas and "
                        (about(gas.of(mean(&|r| r.drawn_mol(Purpose::BellAndTrunk))))) " " (gas.unit) " for bell and trunk, and lost "
                        (about(gas.of(mean(&|r| r.phases.iter().map(|p| p.lost_mol).sum())))) " " (gas.unit) " (free gas). Each phase of each run is in bell-runs.csv."
                    }
                }
            }
        }
    }
}

/// The divers.
pub fn divers(inputs: &Inputs<'_>) -> Markup {
    let h = |s: i64| fixed(s as f64 / 3600.0, 1);
    let mol = |m: Option<f64>| m.map_or_else(|| "not given".into(), |m| about(m));
    html! {
        h2 { "Divers" }
        table {
            thead { tr {
                th { "diver" } th.n { "pressure (d)" } th.n { "bell + water (h)" } th.n { "water (h)" } th.n { "runs" }
                th.n { "longest run (h)" } th.n { "shortest rest (h)" } th.n { "BIBS (h)" } th.n { "trouble told" }
                th.n { "O2 used (mol)" } th.n { "CO2 given (mol)" } th.n { "UPTD" }
            } }
            tbody { @for d in inputs.record.divers.rows(inputs.outcome.ended_s) { tr {
                td { (inputs.subject.initials(d.diver)) }
                td.n { (fixed(d.pressure_s as f64 / 86_400.0, 1)) } td.n { (h(d.bell_s)) } td.n { (h(d.water_s)) }
                td.n { (d.bell_runs) } td.n { (h(d.longest_bell_s)) }
                td.n { @match d.shortest_rest_s { Some(s) => { (h(s)) } None => { "none" } } }
                td.n { (h(d.bibs_s)) } td.n { (d.complaints) }
                td.n { (mol(d.o2_mol)) } td.n { (mol(d.co2_mol)) } td.n { (mol(d.uptd)) }
            } } }
        }
        p.note { "The oxygen dose is shown, never prescribed. Hours run from leaving the chamber for the bell to being back." }
    }
}

/// The course of the job: phases, weather, faults.
pub fn course(inputs: &Inputs<'_>) -> Markup {
    let (subject, end_s, line) = (
        inputs.subject,
        inputs.outcome.ended_s,
        &inputs.record.timeline,
    );
    let until =
        |to_s: Option<i64>| to_s.map_or_else(|| "end of the run".into(), |t| subject.clock(t));
    html! {
        h2 { "Course of the job" }
        table {
            thead { tr { th { "what" } th { "from" } th { "until" } th.n { "for" } } }
            tbody {
                @for p in line.phases() { tr {
                    td { (subject.vessel(p.compartment)) ": " (p.phase.words()) }
                    td.w { (subject.clock(p.from_s)) } td.w { (until(p.to_s)) } td.n { (span(p.to_s.unwrap_or(end_s) - p.from_s)) }
                } }
                @for w in line.weather() { tr {
                    td { "sea over the launch limit" }
                    td.w { (subject.clock(w.from_s)) } td.w { (until(w.to_s)) } td.n { (span(w.to_s.unwrap_or(end_s) - w.from_s)) }
                } }
                @for f in line.faults() { tr {
                    td { "planned fault no. " (f.which + 1) }
                    td.w { (subject.clock(f.from_s)) } td.w { (until(f.to_s)) } td.n { (span(f.to_s.unwrap_or(end_s) - f.from_s)) }
                } }
            }
        }
        @if line.refused().0 > 0 { p { (line.refused().0) " orders were refused by the plant." } }
    }
}

/// The daily gas account.
pub fn days(inputs: &Inputs<'_>) -> Markup {
    let gas = inputs.units.free_gas();
    let volume = |mol: f64| {
        if mol == 0.0 {
            "·".to_string()
        } else {
            about(gas.of(mol))
        }
    };
    let columns = [
        Purpose::BlowDown,
        Purpose::MakeUp,
        Purpose::Oxygen,
        Purpose::DiverGas,
        Purpose::BellAndTrunk,
        Purpose::Bibs,
    ];
    let days = inputs.record.ledger.days();
    let body = |o2: &dyn Fn(Flow, Purpose) -> Amounts| {
        let all = Purpose::ALL
            .into_iter()
            .fold(Amounts::ZERO, |sum, p| sum.plus(&o2(Flow::Drawn, p)));
        let lost = Purpose::ALL
            .into_iter()
            .fold(Amounts::ZERO, |sum, p| sum.plus(&o2(Flow::Lost, p)));
        let back = Purpose::ALL
            .into_iter()
            .fold(0.0, |sum, p| sum + o2(Flow::Returned, p).total());
        html! {
            @for s in [Species::He, Species::O2, Species::N2] { td.n { (volume(all[s])) } }
            @for p in columns { td.n { (volume(o2(Flow::Drawn, p).total())) } }
            td.n { (volume(back)) } td.n { (volume(lost.total())) }
            td.n { (volume(o2(Flow::Used, Purpose::Metabolism)[Species::O2] + o2(Flow::Used, Purpose::DiverGas)[Species::O2])) }
        }
    };
    html! {
        h2 { "Daily gas account" }
        p.note { "All in " (gas.unit) " of free gas. Drawn from banks by gas, then by purpose; put back; lost; oxygen taken by bodies." }
        table {
            thead { tr {
                th { "day" } th { "date" } th.n { "He" } th.n { "O2" } th.n { "N2" }
                @for p in columns { th.n { (p.words()) } }
                th.n { "put back" } th.n { "lost" } th.n { "O2 by bodies" }
            } }
            tbody {
                @for day in days { tr {
                    td.w { "D" (format!("{:02}", day.day)) } td.w { (inputs.subject.date_of_day(day.day)) }
                    (body(&|f, p| day.moved(f, p)))
                } }
                tr.sum { td { "all" } td {} (body(&|f, p| inputs.record.ledger.moved(f, p))) }
            }
        }
    }
}

/// How often alarms came, beside published benchmarks.
pub fn alarms(inputs: &Inputs<'_>) -> Markup {
    const MOST: usize = 40;
    let (subject, end_s) = (inputs.subject, inputs.outcome.ended_s);
    let r = inputs.record.alarms.rates(end_s);
    let list = inputs.record.alarms.list();
    let lines: [(&str, String, &str, &str); 9] = [
        (
            "mean in 10 min",
            fixed(r.per_ten_minutes, 3),
            "about 1",
            "operator survey of 1998: very likely acceptable; SECOND-HAND",
        ),
        (
            "mean in a day",
            fixed(r.per_day, 1),
            "about 144 (2014), about 150 (2009)",
            "IEC 62682:2014; ISA-18.2-2009, dropped in 2016; SECOND-HAND",
        ),
        (
            "most in 10 min",
            r.most_in_ten_minutes.to_string(),
            "10 begins a flood",
            "ISA-18.2; RECALLED",
        ),
        (
            "share of 10-min windows over 10",
            format!("{} %", fixed(r.windows_over_ten * 100.0, 2)),
            "under 1 %",
            "ISA-18.2-2009; RECALLED",
        ),
        (
            "most in an hour",
            r.most_in_an_hour.to_string(),
            "peak 15",
            "consultants' sheet after EEMUA 191; SECOND-HAND",
        ),
        (
            "floods, and time in flood",
            format!("{}, {}", r.floods, span(r.flood_s)),
            "from 10 until under 5 in 10 min",
            "ISA-18.2; RECALLED",
        ),
        (
            "standing, mean and most",
            format!("{}, {}", fixed(r.mean_standing, 2), r.most_standing),
            "under 10",
            "comment in a plant's documents; SECOND-HAND",
        ),
        (
            "stale: standing over 24 h",
            r.stale.to_string(),
            "under 5",
            "as above; SECOND-HAND",
        ),
        ("standing at the end", r.standing_at_end.to_string(), "", ""),
    ];
    html! {
        h2 { "Alarms" }
        p { (r.count) " raised." }
        table {
            thead { tr { th { "figure" } th.n { "this job" } th { "benchmark" } th { "benchmark's source and status" } } }
            tbody { @for (what, value, benchmark, source) in &lines { tr {
                td { (what) } td.n { (value) } td { (benchmark) } td { (source) }
            } } }
        }
        @if !list.is_empty() {
            h3 { "Alarms raised" @if list.len() > MOST { ", first " (MOST) " (all in alarms.csv)" } }
            table {
                thead { tr { th { "raised" } th { "alarm" } th.n { "at" } th.n { "acknowledged after" } th.n { "stood" } } }
                tbody { @for a in list.iter().take(MOST) {
                    @let quantity = match a.source {
                        crate::record::AlarmSource::Reading(_, q, _) => q,
                        crate::record::AlarmSource::Bank(_) => crate::units::Quantity::GaugePressure,
                    };
                    tr {
                        td.w { (subject.clock(a.raised_s)) } td { (subject.alarm(a.source)) }
                        td.n { (inputs.units.scale(quantity).text(a.value)) }
                        td.n { @match a.acknowledged_s { Some(s) => { (span(s - a.raised_s)) } None => { "never" } } }
                        td.n { (span(a.stood_s(end_s))) @if a.normal_s.is_none() { ", still standing" } }
                    }
                } }
            }
        }
    }
}

/// Where every rule figure comes from.
pub fn sources(inputs: &Inputs<'_>) -> Markup {
    let weak = |s: Status| matches!(s, Status::Recalled | Status::SecondHand);
    html! {
        h2 { "Rules used, and where each comes from" }
        p.note {
            "Rule set " (inputs.subject.rule_set) ". Figures that are recalled or second-hand are marked in words and on grey ground; check them against the issuing body's current document."
            @if !inputs.subject.accepted.is_empty() { " The scenario accepts by name: " (inputs.subject.accepted.join(", ")) "." }
        }
        @if inputs.provenance.is_empty() { p { "No rule figure was handed to this report." } }
        @else { table {
            thead { tr { th { "id" } th { "what" } th { "figures" } th { "document" } th { "status" } } }
            tbody { @for p in inputs.provenance { tr.weak[weak(p.status)] {
                td.w { (p.id) } td { (p.what) } td { (p.figures) } td { (p.document) } td.status { (status_words(p.status)) }
            } } }
        } }
    }
}
