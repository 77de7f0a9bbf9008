//! The table by hand, as it is written.

use deepstay::plant::{Instrument, SamplePoint, Steel};
use deepstay::units::{Channel, Quantity::PpCo2};
use deepstay_tests::here;

/// What is said of a reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    Up,
    Down,
    Still,
    UpOrStill,
    DownOrStill,
    Stands,
    NotJudged,
}

/// A row.
pub struct Row {
    pub situation: String,
    pub fault: String,
    pub things: Vec<String>,
    /// Vessel or bank or instrument, and the marks of its readings.
    moves: Vec<(String, Vec<Mark>)>,
    pub rings: Vec<String>,
    pub may_ring: Vec<String>,
    pub silent: Vec<String>,
}

pub fn rows() -> Vec<Row> {
    let path = here().join("reference/data/failure_effects.csv");
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .delimiter(b';')
        .from_path(&path)
        .unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    let row = |record: Result<csv::StringRecord, csv::Error>| {
        let record = record.expect("a row of eight cells");
        let list = |k: usize| -> Vec<String> {
            let cells = record[k].split(',').map(str::trim);
            cells.filter(|c| !c.is_empty()).map(str::to_owned).collect()
        };
        Row {
            situation: record[0].to_owned(),
            fault: record[1].to_owned(),
            things: record[2].split('|').map(str::to_owned).collect(),
            moves: moves(&record[3]),
            rings: list(4),
            may_ring: list(5),
            silent: list(6),
        }
    };
    reader.records().map(row).collect()
}

fn moves(cell: &str) -> Vec<(String, Vec<Mark>)> {
    let groups = cell.split(']').map(|g| g.trim_start_matches([',', ' ']));
    groups
        .filter(|g| !g.is_empty())
        .map(|group| {
            let (of, marks) = group.split_once('[').expect("name[marks]");
            (of.to_owned(), marks.split(',').map(mark).collect())
        })
        .collect()
}

fn mark(text: &str) -> Mark {
    match text {
        "+" => Mark::Up,
        "-" => Mark::Down,
        "0" => Mark::Still,
        "+0" => Mark::UpOrStill,
        "-0" => Mark::DownOrStill,
        "#" => Mark::Stands,
        "?" => Mark::NotJudged,
        other => panic!("no mark {other:?}"),
    }
}

/// An alarm's name with the thing that fails in it.
pub fn named(words: &str, thing: &str) -> String {
    words.replace(['@', '&'], thing)
}

fn is_second_ppco2(i: &Instrument) -> bool {
    (i.quantity, i.channel) == (PpCo2, Channel::Secondary)
        && matches!(i.labelled, SamplePoint::Compartment(_))
}

impl Row {
    /// The mark of every instrument of the spread; what is not named is still.
    pub fn marks(&self, steel: &Steel, thing: &str) -> Vec<Mark> {
        let mut all = vec![Mark::Still; steel.instruments.len()];
        for (of, marks) in &self.moves {
            let of = of.replace('@', thing);
            let label = |point: SamplePoint| match point {
                SamplePoint::Compartment(c) | SamplePoint::Sea(c) => {
                    &steel.compartments[c.index()].name
                }
                SamplePoint::Bank(b) => &steel.banks[b.index()].name,
            };
            let mine: Vec<usize> = (0..steel.instruments.len())
                .filter(|k| {
                    let i = &steel.instruments[*k];
                    i.name == of || *label(i.labelled) == of && !is_second_ppco2(i)
                })
                .collect();
            assert_eq!(mine.len(), marks.len(), "readings of {of}");
            for (&k, mark) in mine.iter().zip(marks) {
                all[k] = *mark;
            }
            // A vessel's second analyser reads what its first does.
            let first = mine
                .iter()
                .find(|k| steel.instruments[**k].quantity == PpCo2);
            for (k, i) in steel.instruments.iter().enumerate() {
                let beside = *label(i.labelled) == of && is_second_ppco2(i);
                if let Some(first) = first.filter(|_| beside) {
                    all[k] = all[*first];
                }
            }
        }
        all
    }
}
