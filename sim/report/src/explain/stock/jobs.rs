//! The rows of `jobs.csv`: columns of numbers, amounts of gas in cubic metres whatever the units of the table.

use crate::explain::ground::Ground;
use crate::explain::table::{Column, Row, Table};
use deepstay_core::units::{FREE, Units};

/// A column of one number a job.
pub(super) struct Values<'t> {
    pub column: Column<'t>,
    pub rows: Vec<&'t Row>,
    pub all: Vec<f64>,
    /// What rounding of one of them can do.
    pub slack: f64,
    /// Their unit, where it is not the column's.
    pub unit: &'static str,
}

/// The jobs.
pub(super) fn jobs<'t>(ground: &'t Ground<'_>) -> Result<&'t Table, String> {
    ground.table("jobs.csv")
}

/// A column by its whole head.
pub(super) fn plain<'t>(
    ground: &'t Ground<'_>,
    head: &str,
    (times, slack): (f64, f64),
) -> Result<Values<'t>, String> {
    let table = jobs(ground)?;
    let column = table.column(head)?;
    let rows: Vec<&Row> = table.rows.iter().collect();
    let all = rows.iter().map(|r| Ok(column.number(r)? * times));
    Ok(Values {
        column,
        all: all.collect::<Result<_, String>>()?,
        rows,
        slack: slack * times,
        unit: "",
    })
}

/// A column of an amount of gas by its head without the unit.
pub(super) fn gas<'t>(ground: &'t Ground<'_>, head: &str) -> Result<Values<'t>, String> {
    let table = jobs(ground)?;
    for units in [Units::Metric, Units::Imperial] {
        let scale = units.free_scale();
        let whole = format!("{head} ({})", scale.plain);
        if table.column(&whole).is_ok() {
            let m3 = 1.0 / scale.of(FREE.mol_per_m3());
            let values = plain(ground, &whole, (m3, 0.0))?;
            let most = values
                .all
                .iter()
                .fold(0.0, |most: f64, v| most.max(v.abs()));
            return Ok(Values {
                unit: "m3 free",
                // They are written whole; what is left is that of turning units.
                slack: 1e-14 * most,
                ..values
            });
        }
    }
    table.column_of(head).map(|_| ())?;
    Err(format!("jobs.csv has \"{head}\" in no unit that is known"))
}

/// The days in a column, one a job; none where there is none.
pub(super) fn days(ground: &Ground<'_>, head: &str) -> Result<Vec<Option<f64>>, String> {
    let table = jobs(ground)?;
    let column = table.column(head)?;
    table.rows.iter().map(|row| column.maybe(row)).collect()
}
