//! Sections of the rota's page: divers' hours and fairness, bells, the work list, fatigue, seafarers' rest.

use super::inputs::RotaInputs;
use crate::explain::{Cells, apart, cell_apart, id};
use deepstay_core::units::{fixed, hours};
use deepstay_rota::fatigue::{Band, PHASE_SPREAD_H, scale_words};
use deepstay_rota::seafarer::{Requirement, Worst};
use maud::{Markup, html};

fn h(s: i64) -> String {
    fixed(s as f64 / 3600.0, 1)
}

/// Seats of all turns.
pub fn seats(inputs: &RotaInputs<'_>) -> usize {
    inputs.tired.iter().map(|t| t.runs.len()).sum()
}

/// Seats in the high band of sleepiness.
pub fn high_turns(inputs: &RotaInputs<'_>) -> usize {
    inputs.tired.iter().map(|t| t.count(Band::High)).sum()
}

/// Hours, nights and rest of each diver, and how even they are.
pub fn divers(inputs: &RotaInputs<'_>, cells: &Cells) -> Markup {
    let fair = inputs.fairness;
    html! {
        h2 { "Divers" }
        table {
            thead { tr {
                th { "diver" } th { "team" } th.n { "bell runs" } th.n { "as bellman" } th.n { "at night" } th.n { "water (h)" }
                th.n { "seal to seal (h)" } th.n { "shortest rest (h:min)" } th.n { "unwanted hours" } th { "qualifications" }
            } }
            tbody {
                @for d in inputs.divers {
                    @let person = inputs.problem.divers.get(d.diver.index());
                    @let of = |name, text: String| cells.figure(&["divers", inputs.initials(d.diver), name], text);
                    tr title=(id("rota", &["divers", inputs.initials(d.diver)])) {
                        td { (inputs.initials(d.diver)) }
                        td { (person.map_or(String::new(), |p| p.team.to_string())) }
                        (of("bell_runs", d.runs.to_string())) (of("bellman", d.bellman.to_string())) (of("nights", d.nights.to_string()))
                        (of("in_water_h", h(d.water_s))) (of("seal_to_seal_h", h(d.bell_s)))
                        (of("shortest_rest_h", d.shortest_rest_s.map_or("none".to_owned(), hours)))
                        (of("unwanted", d.unwanted.to_string()))
                        td { (person.map_or(String::new(), |p| p.qualifications.join(", "))) }
                    }
                }
                tr.sum title="rota/spread" {
                    td { "spread" } td {} td.n {}
                    (cells.figure(&["spread", "bellman"], fair.bellman)) (cells.figure(&["spread", "nights"], fair.nights))
                    (cells.figure(&["spread", "in_water_h"], h(fair.water_s))) (cells.figure(&["spread", "seal_to_seal_h"], h(fair.bell_s))) td.n {} td.n {} td { "greatest less least" }
                }
            }
        }
        p.note { "A bell run at night has more than half of its time between 00:00 and 06:00 of vessel time. Unwanted: bell runs that begin outside the hours a diver prefers." }
    }
}

/// The bells.
pub fn bells(inputs: &RotaInputs<'_>) -> Markup {
    html! {
        h2 { "Bells" }
        table title=(apart::ROTA) {
            thead { tr {
                th { "bell" } th.n { "bell runs" } th.n { "locked off (h)" } th.n { "a diver out (h)" } th.n { "time there was (h)" }
                th.n { "bell utilisation" } th.n { "h a day" }
            } }
            tbody { @for b in inputs.bells {
                @let share = if b.open_s > 0 { b.away_s as f64 / b.open_s as f64 } else { 0.0 };
                tr {
                    td { (inputs.problem.bell(b.bell).map_or("bell", |x| x.name.as_str())) }
                    td.n { (b.runs) } td.n { (h(b.away_s)) } td.n { (h(b.bottom_s)) } td.n { (h(b.open_s)) }
                    td.n { (fixed(share * 100.0, 1)) " %" } td.n { (fixed(share * 24.0, 1)) }
                }
            } }
        }
    }
}

/// The work list.
pub fn work(inputs: &RotaInputs<'_>, cells: &Cells) -> Markup {
    let problem = inputs.problem;
    html! { @if !problem.tasks.is_empty() {
        h2 { "Work" }
        table {
            thead { tr {
                th { "task" } th.n { "depth" } th.n { "divers" } th { "qualification" } th { "gas" } th { "after" }
                th.n { "given (h)" } th.n { "needed (h)" } th { "done" }
            } }
            tbody { @for (task, p) in problem.tasks.iter().zip(inputs.progress) { tr title=(id("rota", &["work", &task.name])) {
                td { (task.name) }
                (cell_apart(apart::WORK, inputs.units.scale(deepstay_core::units::Quantity::Depth).text(task.depth_msw)))
                (cell_apart(apart::WORK, task.divers))
                td { (task.qualifications.join(", ")) } td { (task.gas.clone().unwrap_or_default()) }
                td { (task.after.iter().filter_map(|a| problem.tasks.get(*a)).map(|t| t.name.as_str()).collect::<Vec<_>>().join(", ")) }
                (cells.figure(&["work", &task.name, "given_h"], h(p.given_s))) (cells.figure(&["work", &task.name, "needed_h"], h(p.needed_s)))
                td.w { @match p.done_s { Some(s) => { (inputs.subject.time.clock(s)) } None => { span.alert-text { "▲ not within this rota" } } } }
            } } }
        }
        p.note {
            "Hours in the water of a team at the task. Needed includes " (fixed(problem.weather_share * 100.0, 0))
            " % of the time for weather; bell runs are planned for fair weather."
        }
    } }
}

/// How tiring the turns are likely to be.
pub fn fatigue(inputs: &RotaInputs<'_>, cells: &Cells) -> Markup {
    html! {
        h2 { "Fatigue, beside the rules" }
        p {
            "A rota may be legal and tiring. The figures here say nothing about whether it is legal, and no law sets a limit to them; "
            "the rules above say nothing about how awake a diver is at 05:00."
        }
        table {
            thead { tr {
                th { "diver" } th.n { "low" } th.n { "raised" } th.n { "high" } th { "most tiring bell run" } th.n { "sleepiness" } th.n { "early to late people" }
                th { "scale's words" }
            } }
            tbody { @for t in inputs.tired.iter().filter(|t| !t.runs.is_empty()) {
                @let most = t.runs.iter().max_by(|a, b| a.peak.middle.total_cmp(&b.peak.middle).then(b.turn.cmp(&a.turn)));
                tr {
                    td { (inputs.initials(t.diver)) }
                    (cell_apart(apart::ROTA, t.count(Band::Low)))
                    (cells.figure(&["divers", inputs.initials(t.diver), "sleepiness_raised"], t.count(Band::Raised)))
                    (cells.figure(&["divers", inputs.initials(t.diver), "sleepiness_high"], html! { @if t.count(Band::High) > 0 { span.alert-text { "▲ " (t.count(Band::High)) } } @else { "0" } }))
                    @if let Some(most) = most {
                        td.w { (inputs.subject.time.clock(most.peak.at_s)) }
                        @let run = (most.turn + 1).to_string();
                        @let of = ["bell_runs", run.as_str(), "positions", inputs.initials(t.diver), "sleepiness"];
                        (cells.figure(&[&of[..], &["middle"]].concat(), fixed(most.peak.middle, 1)))
                        td.n title=[cells.below(&of)] { (fixed(most.peak.least, 1)) " to " (fixed(most.peak.most, 1)) }
                        td { (scale_words(most.peak.middle)) }
                    }
                }
            } }
        }
        p.note {
            "Three-process equations (sleep, the day, the half day) after Ingre and others, PLoS ONE 9(10), 2014, e108679; scale of 1 to 9 on which 3 is alert, "
            "5 neither, 7 sleepy without effort to stay awake, 9 fighting sleep. Low is under 5, high 7 and more: 7 is met in the literature as a place to start "
            "thinking, not as a limit. The equations were fitted on aircrew; sleep under pressure, heat and cold, and work in the water are outside their data, "
            "and one diver differs from another more than one band from the next. The clock of the body is taken not to shift, and to lie up to "
            (fixed(PHASE_SPREAD_H, 0)) " h earlier or later from one person to another (our own choice). Sleep is presumed: up to eight hours in each rest, from one "
            "and a half hours after a bell run to one hour before the next, in the vessel's night where it fits (our own choice, no source)."
        }
    }
}

fn rest_row(who: &str, worst: &[Worst]) -> Markup {
    html! { tr {
        td.w { (who) }
        @for w in worst { td.n {
            @if w.kept() { (hours(w.found_s)) }
            @else if w.asked.is_of_work() { (hours(w.found_s)) " *" }
            @else { span.alert-text { "▲ " (hours(w.found_s)) } }
        } }
    } }
}

/// The head of a column, short.
fn head(asked: Requirement) -> &'static str {
    match asked {
        Requirement::RestInDay => "rest, 24 h: 10:00",
        Requirement::TwoPieces => "two pieces: 10:00",
        Requirement::LongestPiece => "one piece: 6:00",
        Requirement::BetweenRests => "between: 14:00",
        Requirement::RestInWeek => "rest, 7 d: 77:00",
        Requirement::WorkInDay => "work, 24 h: 14:00",
        Requirement::WorkInWeek => "work, 7 d: 72:00",
    }
}

/// The rest that seafarers are owed, for divers and watches.
pub fn seafarers(inputs: &RotaInputs<'_>) -> Markup {
    let divers: Vec<_> = inputs.tired.iter().filter(|t| !t.rest.is_empty()).collect();
    let asked = divers.first().map(|t| &t.rest).or(inputs.watches.first());
    let watch = |i: usize| {
        if i == 0 {
            "first watch"
        } else {
            "second watch"
        }
    };
    html! { @if let Some(asked) = asked {
        h2 { "Seafarers' rest" }
        table title=(apart::ROTA) {
            thead { tr { th { "worst case (h:min)" } @for w in asked { th.n { (head(w.asked)) } } } }
            tbody {
                @for t in &divers { (rest_row(inputs.initials(t.diver), &t.rest)) }
                @for (i, w) in inputs.watches.iter().enumerate() { (rest_row(watch(i), w)) }
            }
        }
        p.note {
            "Asked: " (asked.iter().map(|w| w.asked.words()).collect::<Vec<_>>().join("; ")) ". "
            (asked.first().map_or("", |w| w.asked.source())) ". The convention asks for the hours of rest or for the hours of work, as the flag state has chosen; "
            "an asterisk marks a figure of work that is passed while the rest is kept. The day slides; pieces count from the start of a duty; a pause under an hour is no rest; checks before a "
            "bell run count as work. Exceptions that a flag state may grant are not reckoned with."
        }
    } }
}
