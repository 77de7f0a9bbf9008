//! The lines of a table as they were typed: cells with the column they begin in, for diagnostics that
//! point at the very place. Commas or semicolons part cells; a quoted cell may hold either.

use crate::{Diagnostic, Diagnostics, Place, Wrong};
use deepstay_core::plain::from_cell;

/// A cell and where it begins, in characters from 1.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CsvCell {
    /// What it holds, quotes taken off.
    pub text: String,
    /// Column.
    pub column: usize,
}

/// A table: its heads and its rows, remarks and empty lines left out.
#[derive(Clone, Debug, PartialEq)]
pub struct CsvTable {
    name: String,
    lines: Vec<String>,
    rows: Vec<(usize, Vec<CsvCell>)>,
}

impl CsvTable {
    /// Takes a file apart. `heads` says which columns its first line should name.
    ///
    /// # Errors
    /// It is no text, has an open quote, or holds nothing.
    pub fn new(name: &str, bytes: &[u8], heads: &str) -> Result<CsvTable, Diagnostics> {
        let mut table = CsvTable {
            name: name.into(),
            lines: Vec::new(),
            rows: Vec::new(),
        };
        let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
        let text = match std::str::from_utf8(bytes) {
            Ok(text) => text,
            Err(e) => {
                let line = 1 + bytes[..e.valid_up_to()]
                    .iter()
                    .filter(|b| **b == b'\n')
                    .count();
                let help = "save the table as CSV in UTF-8; a workbook is no CSV";
                let wrong = Wrong::Notation("here is something that is no text".into());
                return Err(table.diagnostic(line, 1, wrong, Some(help.into())).into());
            }
        };
        table.lines = text.lines().map(str::to_owned).collect();
        let mut between = None;
        for (i, line) in table.lines.iter().enumerate() {
            if line.trim().is_empty() || line.starts_with('#') {
                continue;
            }
            let by = *between.get_or_insert(if line.contains(';') && !line.contains(',') {
                ';'
            } else {
                ','
            });
            match cells(line, by) {
                Ok(cells) if cells.iter().all(|c| c.text.trim().is_empty()) => {}
                Ok(cells) => table.rows.push((i + 1, cells)),
                Err(column) => {
                    let wrong =
                        Wrong::Notation("a quote is opened here and not closed on the line".into());
                    return Err(table.diagnostic(i + 1, column, wrong, None).into());
                }
            }
        }
        if table.rows.is_empty() {
            let wrong = Wrong::Notation("the file holds no table".into());
            return Err(table.diagnostic(1, 1, wrong, Some(heads.into())).into());
        }
        Ok(table)
    }

    /// The line of heads, with its number.
    pub fn heads(&self) -> (usize, &[CsvCell]) {
        self.rows
            .first()
            .map_or((1, &[][..]), |(n, cells)| (*n, cells))
    }

    /// The rows under the heads, with their numbers.
    pub fn rows(&self) -> impl Iterator<Item = (usize, &[CsvCell])> {
        self.rows.iter().skip(1).map(|(n, cells)| (*n, &cells[..]))
    }

    /// What is wrong at a place in it.
    pub fn diagnostic(
        &self,
        line: usize,
        column: usize,
        wrong: Wrong,
        remedy: Option<String>,
    ) -> Diagnostic {
        let excerpt = self
            .lines
            .get(line.saturating_sub(1))
            .cloned()
            .unwrap_or_default();
        let place = Place {
            file: self.name.clone(),
            line,
            column,
            path: String::new(),
            excerpt,
        };
        Diagnostic::new(place, wrong, remedy)
    }
}

/// Cells of a line; the column of a quote that stays open.
fn cells(line: &str, by: char) -> Result<Vec<CsvCell>, usize> {
    let c: Vec<char> = line.chars().collect();
    let (mut i, mut out) = (0, Vec::new());
    loop {
        let mut cell = CsvCell {
            text: String::new(),
            column: i + 1,
        };
        if c.get(i) == Some(&'"') {
            i += 1;
            loop {
                match (c.get(i), c.get(i + 1)) {
                    (Some('"'), Some('"')) => {
                        cell.text.push('"');
                        i += 2;
                    }
                    (Some('"'), _) => break,
                    (Some(x), _) => {
                        cell.text.push(*x);
                        i += 1;
                    }
                    (None, _) => return Err(cell.column),
                }
            }
            i += 1;
        }
        while let Some(x) = c.get(i).filter(|x| **x != by) {
            cell.text.push(*x);
            i += 1;
        }
        cell.text = from_cell(&cell.text).to_owned();
        out.push(cell);
        if i >= c.len() {
            return Ok(out);
        }
        i += 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_know_where_they_begin() {
        let table = CsvTable::new(
            "f",
            "\u{feff}# remark\r\na;\"b;\"\"c\"\"\";d\n\n;;\n1;2\n".as_bytes(),
            "",
        )
        .expect("a table");
        let heads: Vec<(&str, usize)> = table
            .heads()
            .1
            .iter()
            .map(|c| (c.text.as_str(), c.column))
            .collect();
        assert_eq!(heads, [("a", 1), ("b;\"c\"", 3), ("d", 13)]);
        assert_eq!(table.heads().0, 2);
        assert_eq!(
            table
                .rows()
                .map(|(n, cells)| (n, cells.len()))
                .collect::<Vec<_>>(),
            [(5, 2)]
        );
    }

    #[test]
    fn what_is_no_table_is_told() {
        for (bytes, words) in [
            (&b""[..], "no table"),
            (b"# a remark\n\n", "no table"),
            (b"a,b\n1,\"2\n", "not closed"),
            (b"a,b\nPK\xff\xfe\n", "no text"),
        ] {
            let bad =
                CsvTable::new("f.csv", bytes, "the first line names the columns").expect_err("bad");
            assert!(bad.to_string().contains(words), "{bad}");
        }
    }
}
