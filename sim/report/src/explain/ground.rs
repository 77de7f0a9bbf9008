//! What the figures of a summary stand on: the tables beside it, and the scenario that it was made from, as long as its
//! files are what they were.

use super::chain::{ChainInput, ChainRule};
use super::folder::{Folder, Kind};
use super::table::Table;
use crate::made_from::{MadeFromSummary, VERSION};
use deepstay_scenario::{JobTexts, Scenario};
use serde_json::Value;
use std::cell::OnceCell;
use std::collections::BTreeMap;

/// What the figures of a summary stand on.
pub(super) struct Ground<'a> {
    pub kind: Kind,
    /// The summary.
    pub root: &'a Value,
    tables: BTreeMap<&'static str, Result<Table, String>>,
    /// The scenario, where its files are what they were.
    read: Result<Read, String>,
    /// What has to be known of any figure of it, a sentence each.
    pub remarks: Vec<String>,
    folder: &'a Folder,
    again: OnceCell<Result<Value, String>>,
}

/// The scenario as it was.
pub(super) struct Read {
    texts: JobTexts,
    pub scenario: Scenario,
}

impl<'a> Ground<'a> {
    pub fn of(folder: &'a Folder, kind: Kind, root: &'a Value) -> Ground<'a> {
        let mut tables = BTreeMap::new();
        for name in kind.tables() {
            let table = match folder.file(name) {
                Some(bytes) => Table::read(name, bytes),
                None => Err(format!("{name} is not in the folder")),
            };
            tables.insert(*name, table);
        }
        let mut remarks = Vec::new();
        let wrote = root.get("version").and_then(Value::as_str);
        if let Some(wrote) = wrote.filter(|v| *v != VERSION) {
            remarks.push(format!(
                "Written by version {wrote} of the program; this is {VERSION}, and words, rules and built-in jobs may differ."
            ));
        }
        let read = read(root);
        if let Err(why) = &read {
            remarks.push(format!(
                "The inputs cannot be named with file and line: {why}."
            ));
        }
        Ground {
            kind,
            root,
            tables,
            read,
            remarks,
            folder,
            again: OnceCell::new(),
        }
    }

    /// The bytes of a file of the folder.
    pub fn bytes(&self, name: &str) -> Result<&[u8], String> {
        let bytes = self.folder.file(name);
        bytes.ok_or_else(|| format!("{name} is not in the folder"))
    }

    /// The whole summary made again, once for all figures that ask for it.
    pub fn again(&self, make: fn(&Ground<'_>) -> Result<Value, String>) -> Result<&Value, String> {
        let made = self.again.get_or_init(|| make(self));
        made.as_ref().map_err(String::clone)
    }

    /// A table, if it can be read.
    pub fn table(&self, name: &str) -> Result<&Table, String> {
        match self.tables.get(name) {
            Some(Ok(table)) => Ok(table),
            Some(Err(why)) => Err(why.clone()),
            None => Err(format!("{name} is not read for this figure")),
        }
    }

    /// The scenario, if its files are what they were.
    pub fn read(&self) -> Result<&Read, String> {
        self.read.as_ref().map_err(String::clone)
    }

    /// A number of the summary by its path.
    pub fn number(&self, path: &str) -> Result<f64, String> {
        let found = self.root.pointer(path).and_then(Value::as_f64);
        found.ok_or_else(|| format!("{} has no number at {path}", self.kind.file()))
    }

    /// The text at a path of the summary.
    pub fn text(&self, path: &str) -> Option<&'a str> {
        self.root.pointer(path)?.as_str()
    }

    /// The list at a path of the summary.
    pub fn list(&self, path: &str) -> &'a [Value] {
        let found = self.root.pointer(path).and_then(Value::as_array);
        found.map_or(&[], Vec::as_slice)
    }

    /// Every input that a path leads to; nothing where it leads nowhere in this scenario.
    pub fn inputs(&self, path: &str) -> Vec<ChainInput> {
        let Ok(read) = &self.read else {
            return Vec::new();
        };
        let found = read.texts.written(path).unwrap_or_default().into_iter();
        let each = found.map(|one| ChainInput {
            path: one.path,
            written: one.written,
            file: one.place.as_ref().map(|p| p.file.clone()),
            line: one.place.as_ref().map(|p| p.line),
            column: one.place.as_ref().map(|p| p.column),
        });
        each.collect()
    }

    /// The rows of the rule set whose ids are among these; one that begins and ends with a dot stands for all that
    /// hold it.
    pub fn rules(&self, ids: &[String]) -> Vec<ChainRule> {
        let (list, [id, says, figures]) = match self.kind {
            Kind::Job => (self.list("/rules_used"), ["id", "what", "figures"]),
            Kind::Rota => (self.list("/rules"), ["rule", "words", "words"]),
            Kind::Stock => return Vec::new(),
        };
        let field = |row: &Value, name: &str| {
            let text = row.get(name).and_then(Value::as_str);
            text.unwrap_or_default().to_owned()
        };
        let wanted = |row: &&Value| {
            let own = field(row, id);
            let fits = |of: &String| own == *of || of.starts_with('.') && own.contains(of.as_str());
            ids.iter().any(fits)
        };
        let each = list.iter().filter(wanted).filter_map(|row| {
            Some(ChainRule {
                id: field(row, id),
                says: field(row, says),
                figures: field(row, figures),
                document: field(row, "document"),
                status: serde_json::from_value(row.get("status")?.clone()).ok()?,
            })
        });
        each.collect()
    }
}

/// The scenario that a summary was made from; why not, where its files are not what they were.
fn read(root: &Value) -> Result<Read, String> {
    let files = root.get("made_from").cloned().unwrap_or_default();
    let then: Vec<MadeFromSummary> = serde_json::from_value(files).unwrap_or_default();
    let Some(job) = then.first() else {
        return Err("these files do not say what they were made from".to_owned());
    };
    let open = |rules: Option<&str>| {
        let told = |bad: deepstay_scenario::Diagnostics| {
            let first = bad.all.first().map(ToString::to_string);
            format!(
                "{} cannot be read now ({})",
                job.file,
                first.unwrap_or_default()
            )
        };
        let texts = JobTexts::open(&job.file, rules).map_err(told)?;
        let scenario = texts.scenario(&[]).map_err(told)?;
        Ok::<Read, String>(Read { texts, scenario })
    };
    let mut read = open(None)?;
    let now: Vec<MadeFromSummary> = read.texts.made_from().iter().map(Into::into).collect();
    let changed: Vec<&str> = then
        .iter()
        .filter(|file| !now.contains(file))
        .map(|file| file.file.as_str())
        .collect();
    match changed.as_slice() {
        [] => {}
        [one] => {
            return Err(format!(
                "{one} has changed since, so that its lines are other lines"
            ));
        }
        many => {
            return Err(format!(
                "{} have changed since, so that their lines are other lines",
                many.join(", ")
            ));
        }
    }
    let set = root.get("rule_set").and_then(Value::as_str);
    if let Some(set) = set.filter(|set| *set != read.scenario.rules.name)
        && let Ok(under) = open(Some(set))
    {
        read = under;
    }
    Ok(read)
}
