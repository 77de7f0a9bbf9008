//! The gas status sheet: what the gauge of every bank shows, at the first log row of each watch and at the
//! last. A stock study starts from it.

use super::inputs::Inputs;
use crate::kit::table::{bytes, row, table};
use deepstay_core::units::{Quantity, fixed};
use deepstay_core::words::Words;

/// Time between two sheets, s: a watch.
const EVERY_S: i64 = 12 * 3600;

/// One row a bank and sheet; gauges only, as on the paper one.
pub fn gas_status_csv(inputs: &Inputs<'_>) -> Result<Vec<u8>, csv::Error> {
    let gauge = inputs.units.scale(Quantity::GaugePressure);
    let mut out = table();
    row(
        &mut out,
        [
            "second (s)".to_owned(),
            "clock (vessel day and time)".to_owned(),
            "bank".to_owned(),
            "duty".to_owned(),
            "O2 on the label (%)".to_owned(),
            format!("gauge ({})", gauge.plain),
        ],
    )?;
    let rows = inputs.record.log.banks();
    let last = rows.last().map_or(0, |r| r.at);
    let mut due = 0;
    let mut sheet = None;
    for r in rows {
        if sheet != Some(r.at) {
            if r.at < due && r.at != last {
                continue;
            }
            sheet = Some(r.at);
            due = (r.at.div_euclid(EVERY_S) + 1) * EVERY_S;
        }
        let Some(label) = inputs.subject.banks.get(r.bank.index()) else {
            continue;
        };
        row(
            &mut out,
            [
                r.at.to_string(),
                inputs.subject.time.clock(r.at),
                label.name.clone(),
                label.duty.words().to_owned(),
                fixed(label.label_o2 * 100.0, 1),
                fixed(gauge.of(r.gauge_bar), gauge.decimals),
            ],
        )?;
    }
    bytes(out)
}
