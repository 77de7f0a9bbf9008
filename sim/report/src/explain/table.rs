//! A table of the folder, with the line that each row stands in.

use super::chain::{Origin, Term};
use deepstay_core::plain::from_cell;

/// A table.
pub(super) struct Table {
    pub file: String,
    pub heads: Vec<String>,
    pub rows: Vec<Row>,
}

/// A row of it.
#[derive(Clone, Debug)]
pub(super) struct Row {
    /// Line of the file, from 1.
    pub line: u64,
    pub cells: Vec<String>,
}

/// A column of a table.
#[derive(Clone, Copy)]
pub(super) struct Column<'t> {
    table: &'t Table,
    at: usize,
}

impl Table {
    /// Reads one; lines that begin with `#` say something about it.
    pub fn read(file: &str, bytes: &[u8]) -> Result<Table, String> {
        let mut reader = csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .flexible(true)
            .from_reader(bytes);
        let told = |e: csv::Error| format!("{file} cannot be read: {e}");
        let text = |cells: &csv::StringRecord| -> Vec<String> {
            cells.iter().map(|c| from_cell(c).to_owned()).collect()
        };
        let heads = text(reader.headers().map_err(told)?);
        let mut rows = Vec::new();
        for record in reader.records() {
            let record = record.map_err(told)?;
            rows.push(Row {
                line: record.position().map_or(0, csv::Position::line),
                cells: text(&record),
            });
        }
        Ok(Table {
            file: file.to_owned(),
            heads,
            rows,
        })
    }

    /// The column of a head.
    pub fn column(&self, head: &str) -> Result<Column<'_>, String> {
        let at = self.heads.iter().position(|h| h == head);
        let at = at.ok_or_else(|| format!("{} has no column \"{head}\"", self.file))?;
        Ok(Column { table: self, at })
    }

    /// The column whose head begins so; what comes after is its unit.
    pub fn column_of(&self, begins: &str) -> Result<Column<'_>, String> {
        let at = self.heads.iter().position(|h| h.starts_with(begins));
        let at = at.ok_or_else(|| format!("{} has no column \"{begins} ...\"", self.file))?;
        Ok(Column { table: self, at })
    }

    /// The rows that a condition picks.
    pub fn pick(&self, picked: impl Fn(&Row) -> bool) -> Vec<&Row> {
        self.rows.iter().filter(|r| picked(r)).collect()
    }
}

impl<'t> Column<'t> {
    /// Its head.
    pub fn head(self) -> &'t str {
        &self.table.heads[self.at]
    }

    /// What a row has in it.
    pub fn text(self, row: &Row) -> &str {
        row.cells.get(self.at).map_or("", String::as_str)
    }

    /// As [`Column::text`], for as long as the row is there.
    pub fn text_of(self, row: &'t Row) -> &'t str {
        row.cells.get(self.at).map_or("", String::as_str)
    }

    /// The number that a row has in it.
    pub fn number(self, row: &Row) -> Result<f64, String> {
        let text = self.text(row);
        let number = text.parse::<f64>().ok().filter(|n| n.is_finite());
        number.ok_or_else(|| {
            format!(
                "{} line {}: \"{text}\" in the column \"{}\" is no number",
                self.table.file,
                row.line,
                self.head()
            )
        })
    }

    /// The number that a row has in it; none where it has nothing.
    pub fn maybe(self, row: &Row) -> Result<Option<f64>, String> {
        match self.text(row) {
            "" => Ok(None),
            _ => self.number(row).map(Some),
        }
    }

    /// A row of it as a term.
    pub fn term(self, what: impl Into<String>, value: f64, unit: &str, row: &Row) -> Term {
        self.of_rows(what, Some(value), unit, &[row])
    }

    /// Several rows of it as one term.
    pub fn of_rows(
        self,
        what: impl Into<String>,
        value: Option<f64>,
        unit: &str,
        rows: &[&Row],
    ) -> Term {
        Term {
            what: what.into(),
            value,
            unit: unit.to_owned(),
            from: Origin::Rows {
                file: self.table.file.clone(),
                lines: lines(rows),
                column: self.head().to_owned(),
            },
        }
    }
}

/// Lines of rows as `3, 7 to 12`; many stretches are counted.
fn lines(rows: &[&Row]) -> String {
    const MOST: usize = 8;
    let mut stretches: Vec<(u64, u64)> = Vec::new();
    for row in rows {
        match stretches.last_mut() {
            Some((_, last)) if *last + 1 == row.line => *last = row.line,
            _ => stretches.push((row.line, row.line)),
        }
    }
    let told = |(from, to): &(u64, u64)| match from == to {
        true => from.to_string(),
        false => format!("{from} to {to}"),
    };
    match stretches.as_slice() {
        [] => "none".to_owned(),
        few if few.len() <= MOST => few.iter().map(told).collect::<Vec<_>>().join(", "),
        many => {
            let (first, last) = (many[0].0, many[many.len() - 1].1);
            format!("{} lines from {first} to {last}", rows.len())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_those_of_the_file() {
        let table = Table::read("t.csv", b"# said\na,b (h)\n1,2\n\"two\nlines\",3\n'=x,4\n");
        let table = table.expect("read");
        let told: Vec<u64> = table.rows.iter().map(|r| r.line).collect();
        assert_eq!(told, [3, 4, 6]);
        assert_eq!(table.rows[2].cells[0], "=x");
        let b = table.column_of("b").expect("there");
        assert_eq!((b.head(), b.number(&table.rows[1])), ("b (h)", Ok(3.0)));
        let none = table.column("c").map(|_| ()).expect_err("not there");
        assert!(none.contains("t.csv") && none.contains("\"c\""), "{none}");
        let all: Vec<&Row> = table.rows.iter().collect();
        assert_eq!(lines(&all), "3 to 4, 6");
    }
}
