//! Two sets side by side: what each asks of the same kind of stock, and what only one of them asks. The way home, which
//! is the job's and no set's, is left out.

use super::totals::HOME;
use super::{COUNTED_AT, Holding, Outcome, Sheet};

/// A subject, and what each of two sets asks of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Pair {
    /// The subject.
    pub subject: Subject,
    /// What the first set asks, as m3 of free gas at [`COUNTED_AT`], kg, L/min or m; none if it is silent.
    pub a: Option<f64>,
    /// What the second set asks, in the same unit.
    pub b: Option<f64>,
    /// Rows of the first set.
    pub a_rows: Vec<String>,
    /// Rows of the second set.
    pub b_rows: Vec<String>,
}

/// What two sets may both speak of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Subject {
    /// The minimum of a kind of stock.
    Minimum(Holding),
    /// Flow to each diver, L/min.
    Flow,
    /// Umbilical that a bail-out limits, m.
    Umbilical,
    /// The whole job's gas, m3.
    Bill,
    /// Questions, by number.
    Questions,
}

impl Subject {
    /// In words.
    pub fn words(self) -> String {
        match self {
            Subject::Minimum(holding) => format!("least {holding}"),
            Subject::Flow => "flow to each diver".to_owned(),
            Subject::Umbilical => "umbilical that the bail-out covers".to_owned(),
            Subject::Bill => "the whole job's gas".to_owned(),
            Subject::Questions => "questions with yes or no".to_owned(),
        }
    }
}

/// Pairs what two sheets ask; subjects of which neither speaks are left out.
pub fn beside(a: &Sheet, b: &Sheet) -> Vec<Pair> {
    let minimums = Holding::ALL.into_iter().map(Subject::Minimum);
    let others = [
        Subject::Flow,
        Subject::Umbilical,
        Subject::Bill,
        Subject::Questions,
    ];
    let pair = |subject| {
        let ((a, a_rows), (b, b_rows)) = (asks(a, subject), asks(b, subject));
        Pair {
            subject,
            a,
            b,
            a_rows,
            b_rows,
        }
    };
    minimums
        .chain(others)
        .map(pair)
        .filter(|p| p.a.is_some() || p.b.is_some())
        .collect()
}

fn asks(sheet: &Sheet, subject: Subject) -> (Option<f64>, Vec<String>) {
    match subject {
        Subject::Minimum(holding) => match sheet.total(holding) {
            Some(total) if !total.is_way_home() => {
                let per = if holding.is_gas() {
                    COUNTED_AT.mol_per_m3()
                } else {
                    1.0
                };
                (
                    Some((total.amount - total.way_home()) / per),
                    total
                        .rules()
                        .into_iter()
                        .filter(|r| !r.starts_with(HOME))
                        .map(str::to_owned)
                        .collect(),
                )
            }
            _ => (None, Vec::new()),
        },
        Subject::Questions => {
            let ids: Vec<String> = sheet.asked.iter().map(|q| q.id.clone()).collect();
            ((!ids.is_empty()).then_some(ids.len() as f64), ids)
        }
        _ => {
            let found = sheet.lines.iter().find_map(|line| {
                let value = match (&line.outcome, subject) {
                    (Outcome::Flow { l_min }, Subject::Flow) => *l_min,
                    (Outcome::BailOut { umbilical_m, .. }, Subject::Umbilical) => *umbilical_m,
                    (Outcome::Bill { m3, .. }, Subject::Bill) => *m3,
                    _ => return None,
                };
                Some((value, line.id.clone()))
            });
            match found {
                Some((value, id)) => (Some(value), vec![id]),
                None => (None, Vec::new()),
            }
        }
    }
}
