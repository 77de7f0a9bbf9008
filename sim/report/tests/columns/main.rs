//! What the columns of tables and workbooks mean, by their heads, against what they were made from. The tables are
//! read by a reader of this file's own, which knows no writer; the workbook by one of another house.

mod job;
mod study;

use std::collections::BTreeMap;

/// Moles in a cubic metre of free gas at 15 degC and 1 bar, by the ideal gas.
const FREE_MOL_M3: f64 = 1e5 / (8.314_462_618 * 288.15);

/// A row by the texts of its heads.
type Row = BTreeMap<String, String>;
/// A table.
type Table = Vec<Row>;

/// Reads comma-separated text with quoted cells (RFC 4180), past lines of remarks before it. No two columns may be
/// called alike: a reader could not tell them apart.
fn read(bytes: &[u8]) -> Table {
    let text = std::str::from_utf8(bytes)
        .expect("text")
        .trim_start_matches('\u{feff}');
    let remarks: usize = text
        .split_inclusive('\n')
        .take_while(|line| line.starts_with('#'))
        .map(str::len)
        .sum();
    let (mut rows, mut row, mut cell, mut quoted) = (Vec::new(), Vec::new(), String::new(), false);
    let mut signs = text[remarks..].chars().peekable();
    while let Some(sign) = signs.next() {
        match sign {
            '"' if quoted && signs.peek() == Some(&'"') => {
                signs.next();
                cell.push('"');
            }
            '"' => quoted = !quoted,
            ',' if !quoted => row.push(std::mem::take(&mut cell)),
            '\r' if !quoted => {}
            '\n' if !quoted => {
                row.push(std::mem::take(&mut cell));
                rows.push(std::mem::take(&mut row));
            }
            other => cell.push(other),
        }
    }
    let heads = rows.remove(0);
    assert!(!rows.is_empty(), "nothing under {heads:?}");
    let named = |row: Vec<String>| {
        assert_eq!(row.len(), heads.len(), "{row:?}");
        let by_head: Row = heads.iter().cloned().zip(row).collect();
        assert_eq!(by_head.len(), heads.len(), "two heads alike: {heads:?}");
        by_head
    };
    rows.into_iter().map(named).collect()
}

/// The cell under a head, or under the one head that begins with some text; nothing where it is empty.
fn number(row: &Row, head: &str) -> Option<f64> {
    let mut found = row.iter().filter(|(h, _)| h.starts_with(head));
    let cell = match (row.get(head), found.next(), found.next()) {
        (Some(cell), ..) | (None, Some((_, cell)), None) => cell,
        _ => panic!("no one head {head}: {:?}", row.keys()),
    };
    (!cell.is_empty()).then(|| cell.parse().unwrap_or_else(|_| panic!("{head}: {cell}")))
}
