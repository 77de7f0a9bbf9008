//! The section of the page on alarms: their rates beside published benchmarks, and the first of them.

use crate::explain::{Cells, apart};
use crate::job::inputs::Inputs;
use deepstay_core::units::{fixed, span};
use deepstay_core::words::Names;
use maud::{Markup, html};

/// A figure's name in the summary, and its words.
type Figure = (&'static str, String);

/// How often alarms came, beside published benchmarks.
pub fn alarms(inputs: &Inputs<'_>, cells: &Cells) -> Markup {
    const MOST: usize = 40;
    let (subject, end_s) = (inputs.subject, inputs.outcome.ended_s);
    let r = inputs.record.alarms.rates(inputs.outcome.from_s(), end_s);
    let list = inputs.record.alarms.list();
    let one = |name, text| vec![(name, text)];
    let lines: [(&str, Vec<Figure>, &str, &str); 9] = [
        (
            "mean in 10 min",
            one("per_10_min", fixed(r.per_ten_minutes, 3)),
            "about 1",
            "operator survey of 1998: very likely acceptable; SECOND-HAND",
        ),
        (
            "mean in a day",
            one("per_day", fixed(r.per_day, 1)),
            "about 144 (2014), about 150 (2009)",
            "IEC 62682:2014; ISA-18.2-2009, dropped in 2016; SECOND-HAND",
        ),
        (
            "maximum in 10 min",
            one("most_in_10_min", r.most_in_ten_minutes.to_string()),
            "10 begins a flood",
            "ISA-18.2; from memory, not verified",
        ),
        (
            "share of 10-min windows over 10",
            one(
                "share_of_10_min_over_10",
                format!("{} %", fixed(r.windows_over_ten * 100.0, 2)),
            ),
            "under 1 %",
            "ISA-18.2-2009; from memory, not verified",
        ),
        (
            "maximum in an hour",
            one("most_in_an_hour", r.most_in_an_hour.to_string()),
            "peak 15",
            "consultants' sheet after EEMUA 191; SECOND-HAND",
        ),
        (
            "floods, and time in flood",
            vec![
                ("floods", r.floods.to_string()),
                ("flood_min", span(r.flood_s)),
            ],
            "from 10 until under 5 in 10 min",
            "ISA-18.2; from memory, not verified",
        ),
        (
            "standing, mean and maximum",
            vec![
                ("mean_standing", fixed(r.mean_standing, 2)),
                ("most_standing", r.most_standing.to_string()),
            ],
            "under 10",
            "comment in published code; SECOND-HAND",
        ),
        (
            "stale: standing over 24 h",
            one("stale", r.stale.to_string()),
            "under 5",
            "as above; SECOND-HAND",
        ),
        (
            "standing at the end",
            one("standing_at_end", r.standing_at_end.to_string()),
            "",
            "",
        ),
    ];
    html! {
        h2 { "Alarms" }
        @let [emergency, limit, attention] = r.by_severity;
        p title="job/alarms" { (r.count) " raised: " (emergency) " emergency, " (limit) " limit, " (attention)
            " attention. Only what is fitted rings; the limits crossed stand apart." }
        table {
            thead { tr { th { "figure" } th.n { "this job" } th { "benchmark" } th { "benchmark's source and status" } } }
            tbody { @for (what, value, benchmark, source) in &lines { tr {
                td { (what) }
                td.n { @for (i, (name, text)) in value.iter().enumerate() {
                    @if i > 0 { ", " } span title=[cells.id(&["alarms", name])] { (text) }
                } }
                td { (benchmark) } td { (source) }
            } } }
        }
        @if !list.is_empty() {
            h3 { "Alarms raised" @if list.len() > MOST { ", first " (MOST) " (all in alarms.csv)" } }
            table title=(apart::ALARMS) {
                thead { tr { th { "raised" } th { "alarm" } th.n { "at" } th.n { "set point" } th.n { "delay" } th { "sounds at" } th.n { "acknowledged after" } th.n { "stood" } } }
                tbody { @for a in list.iter().take(MOST) {
                    @let quantity = a.name.quantity;
                    tr {
                        td.w { (subject.time.clock(a.raised_s)) } td { (subject.limit(&a.name)) }
                        td.n { (inputs.units.scale(quantity).text(a.value)) }
                        td.n { (inputs.units.scale(quantity).text(a.setting.set_point)) }
                        td.n { (span(a.setting.delay_s)) }
                        td { (subject.sounds(a.setting.sounds)) }
                        td.n { @match a.acknowledged_s { Some(s) => { (span(s - a.raised_s)) } None => { "never" } } }
                        td.n { (span(a.stood_s(end_s))) @if a.returned_s.is_none() { ", still standing" } }
                    }
                } }
            }
        }
    }
}
