//! Every option changes something: each field of a job's files, put to another value, changes what a run, a rota or a
//! study of the gas gives; those that cannot are named with the reason. Which fields there are is asked of the JSON
//! Schema, so that a new one is missed here until it has its row.

mod bases;
mod grammar;
mod rows;

use bases::Base;
use deepstay::job::{Job, Options};
use deepstay::record::{Entry, Recorder, Sink};
use deepstay::report::{self, JobPapers, RotaPapers, StockPapers, Subject};
use deepstay::rota::JudgedBy;
use deepstay::scenario::{Diagnostics, JobTexts, Patch, Scenario, To};
use deepstay::stock::{Basis, Ensemble, Study};
use deepstay::units::Units;
use std::collections::BTreeSet;
use std::sync::Arc;

/// What is asked for the output that an option is to change.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Seen {
    /// The entries of a run, or else its pages and tables.
    Run,
    /// The bell-run rota that is made, what the judge says of it, and its remarks.
    Rota,
    /// The papers of a study of the gas.
    Study,
}

/// A field, another value, and what else is put so that it can matter.
pub struct Row {
    /// Of which job.
    pub base: Base,
    /// In what it is to be seen.
    pub seen: Seen,
    /// Its path.
    pub path: &'static str,
    /// Another value.
    pub to: &'static str,
    /// Paths and values without which it cannot matter.
    pub under: &'static [(&'static str, &'static str)],
}

fn patch((path, to): (&str, &str)) -> Patch {
    Patch {
        path: path.to_owned(),
        to: To::Text(to.to_owned()),
    }
}

/// The entries of a run, and whether they are those of another: as soon as they are not, it is left.
struct Against<'a> {
    others: &'a [Entry],
    at: usize,
    differs: bool,
    record: Recorder,
}

impl Sink for Against<'_> {
    fn take(&mut self, entry: Entry) {
        // A figure that is none equals itself in words alone.
        let other = self.others.get(self.at);
        self.differs |= other
            .is_none_or(|other| *other != entry && format!("{other:?}") != format!("{entry:?}"));
        self.at += 1;
        self.record.take(entry);
    }
}

#[derive(Default)]
struct Entries(Vec<Entry>);

impl Sink for Entries {
    fn take(&mut self, entry: Entry) {
        self.0.push(entry);
    }
}

/// All entries of a run.
fn entries(scenario: &Arc<Scenario>) -> Vec<Entry> {
    let mut entries = Entries::default();
    let mut job = Job::new(scenario.clone(), Options::default());
    let _ = job.advance_to(i64::MAX, &mut entries);
    job.finish(&mut entries);
    entries.0
}

/// The pages and tables of a run; nothing where its entries are not those of another.
fn pages(scenario: &Arc<Scenario>, others: &[Entry]) -> Option<String> {
    let mut sink = Against {
        others,
        at: 0,
        differs: false,
        record: Recorder::new(scenario.start_second_of_day),
    };
    let mut job = Job::new(scenario.clone(), Options::default());
    for hour in 1.. {
        let _ = job.advance_to(hour * 3600, &mut sink);
        if sink.differs {
            return None;
        }
        if job.ended().is_some() {
            break;
        }
    }
    let finished = job.finish(&mut sink);
    if sink.differs || sink.at != others.len() {
        return None;
    }
    let papers = JobPapers::of(&finished, &sink.record, "");
    let inputs = papers.inputs(&sink.record, Units::Metric);
    let log = report::log_csv(&inputs).expect("written");
    let page = report::html(&inputs, &report::Summary::of(&inputs));
    Some(page + &String::from_utf8_lossy(&log))
}

fn rota(scenario: &Scenario) -> String {
    let made = match deepstay::make_rota(scenario, |_| false) {
        Ok(made) => made,
        Err(none) => return none.to_string(),
    };
    let subject = Subject::from(scenario);
    let by = JudgedBy::own(scenario, &scenario.accepted);
    let papers = RotaPapers::of((&subject, scenario), &made, &by, &[]);
    report::rota_html(&papers.inputs(Units::Metric)) + &format!("{:?}", made.verdict)
}

/// The papers of a study of one job.
fn study(texts: JobTexts, set: Vec<Patch>) -> Result<String, Diagnostics> {
    let ensemble = Ensemble::new(texts, set, None, 1.0)?;
    let mut study = Study::of(ensemble, None);
    // The papers tell what was set by hand; that alone is no change.
    study.head.set.clear();
    study.run(0..1, &|| false, &|| ());
    let conclusion = study.conclude(&Basis::default());
    let conclusion = conclusion.unwrap_or_else(|bad| panic!("{bad}"));
    let subject = Subject::from(&*study.ensemble.base);
    let papers = StockPapers::of(&subject, &study, &conclusion, Units::Metric);
    let home = tempfile::tempdir().expect("a folder");
    let written = report::write_stock(&home.path().join("o"), &papers, false).expect("written");
    let tables = written
        .iter()
        .filter(|file| file.extension().is_some_and(|e| e != "xlsx"));
    let texts = tables.map(|file| std::fs::read_to_string(file).expect("text"));
    Ok(texts.collect::<Vec<_>>().concat())
}

/// What a job gives with what is put into it: the entries of a run, or the text of papers.
enum Given {
    Entries(Arc<Scenario>, Vec<Entry>),
    Papers(String),
}

fn given(base: Base, seen: Seen, set: Vec<Patch>) -> Result<Given, Diagnostics> {
    let opened = || base.texts().scenario(&set);
    Ok(match seen {
        Seen::Run => {
            let scenario = Arc::new(opened()?);
            let entries = entries(&scenario);
            Given::Entries(scenario, entries)
        }
        Seen::Rota => Given::Papers(rota(&opened()?)),
        Seen::Study => Given::Papers(study(base.texts(), set)?),
    })
}

/// What is wrong with a row: it is refused, or changes nothing of what there is without it.
fn wrong(row: &Row, before: &Given) -> Option<String> {
    let told = |bad: Diagnostics| format!("{}: {}: {bad}", row.path, row.to);
    let put = row.under.iter().copied().chain([(row.path, row.to)]);
    let set: Vec<Patch> = put.map(patch).collect();
    let same = match before {
        Given::Entries(scenario, others) => match row.base.texts().scenario(&set) {
            Err(bad) => return Some(told(bad)),
            Ok(after) => {
                let changed = pages(&Arc::new(after), others);
                changed.is_some() && changed == pages(scenario, others)
            }
        },
        Given::Papers(before) => match given(row.base, row.seen, set) {
            Err(bad) => return Some(told(bad)),
            Ok(Given::Papers(after)) => *before == after,
            Ok(Given::Entries(..)) => unreachable!("a run has no papers here"),
        },
    };
    same.then(|| format!("{} changes nothing: {}", row.path, row.to))
}

fn all_change_something(base: Base, seen: Seen) {
    let mut before: Vec<(&[(&str, &str)], Given)> = Vec::new();
    let mut faults = Vec::new();
    let mine = rows::all().into_iter();
    for row in mine.filter(|row| row.base == base && row.seen == seen) {
        let known = before.iter().position(|(under, _)| *under == row.under);
        let at = known.unwrap_or_else(|| {
            let under = row.under.iter().copied().map(patch).collect();
            let without = given(base, seen, under);
            before.push((row.under, without.unwrap_or_else(|bad| panic!("{bad}"))));
            before.len() - 1
        });
        faults.extend(wrong(&row, &before[at].1));
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn fields_of_a_run_change_it() {
    all_change_something(Base::OneLevel, Seen::Run);
}

#[test]
fn fields_of_a_bell_with_three_change_a_run() {
    all_change_something(Base::ThreeMen, Seen::Run);
}

#[test]
fn fields_of_two_levels_change_a_run() {
    all_change_something(Base::TwoLevels, Seen::Run);
}

#[test]
fn fields_of_the_work_change_the_rota() {
    all_change_something(Base::OneLevel, Seen::Rota);
    all_change_something(Base::ThreeMen, Seen::Rota);
}

#[test]
fn fields_of_a_study_change_its_papers() {
    all_change_something(Base::OneLevel, Seen::Study);
}

/// Each field of the grammar has its row, or is named with the reason why it has none; nothing is named that is none.
#[test]
fn each_field_of_the_grammar_has_its_row() {
    let grammar = grammar::Grammar::of_a_job();
    let mut reached = BTreeSet::new();
    for row in rows::all() {
        let fields = grammar.along(row.path);
        assert!(!fields.is_empty(), "{} leads nowhere", row.path);
        reached.extend(fields);
    }
    let excused: BTreeSet<(String, String)> = rows::EXCUSED
        .iter()
        .map(|(of, field, _)| ((*of).to_owned(), (*field).to_owned()))
        .collect();
    let all = grammar.fields();
    let missing: Vec<_> = all
        .iter()
        .filter(|f| !reached.contains(*f) && !excused.contains(*f))
        .collect();
    let idle: Vec<_> = excused
        .iter()
        .filter(|f| !all.contains(*f) || reached.contains(*f))
        .collect();
    println!("{} fields, {} with a row", all.len(), reached.len());
    assert!(missing.is_empty(), "without a row: {missing:?}");
    assert!(idle.is_empty(), "excused for nothing: {idle:?}");
}
