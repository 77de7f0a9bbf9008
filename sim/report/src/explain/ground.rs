//! What the figures of a summary stand on: the tables beside it, and the scenario that it was made from, as long as its
//! files are what they were.

use super::chain::{ChainInput, ChainRule};
use super::folder::{Folder, Kind};
use super::table::Table;
use crate::made_from::{MadeFromSummary, VERSION};
use deepstay_rules::RuleSet;
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
    sets: OnceCell<Vec<RuleSet>>,
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
                "The inputs, and rule rows of a file of one's own, cannot be named with file and line: {why}."
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
            sets: OnceCell::new(),
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
            file: one.place.as_ref().map(|p| self.named(&p.file)),
            line: one.place.as_ref().map(|p| p.line),
            column: one.place.as_ref().map(|p| p.column),
        });
        each.collect()
    }

    /// The rows of the rule sets whose ids are among these, each with where it is written; one that begins and ends
    /// with a dot stands for all that hold it.
    pub fn rules(&self, ids: &[String]) -> Vec<ChainRule> {
        let wanted = |own: &str| {
            let fits = |of: &String| own == *of || of.starts_with('.') && own.contains(of.as_str());
            ids.iter().any(fits)
        };
        let (list, [id, says, figures]) = match self.kind {
            Kind::Job => (self.list("/rules_used"), ["id", "what", "figures"]),
            Kind::Rota => (self.list("/rules"), ["rule", "words", "words"]),
            Kind::Stock => return self.rules_of_sets(wanted),
        };
        let field = |row: &Value, name: &str| {
            let text = row.get(name).and_then(Value::as_str);
            text.unwrap_or_default().to_owned()
        };
        let each = list.iter().filter(|row| wanted(&field(row, id)));
        let each = each.filter_map(|row| {
            let status = serde_json::from_value(row.get("status")?.clone()).ok()?;
            Some(self.placed(ChainRule {
                id: field(row, id),
                says: field(row, says),
                figures: field(row, figures),
                document: field(row, "document"),
                status,
                file: None,
                line: None,
                column: None,
            }))
        });
        each.collect()
    }

    /// The rows as the sets have them, for a summary that does not list them.
    fn rules_of_sets(&self, wanted: impl Fn(&str) -> bool) -> Vec<ChainRule> {
        let mut all: Vec<ChainRule> = Vec::new();
        for row in self.sets().iter().flat_map(RuleSet::row_list) {
            if wanted(&row.id) && all.iter().all(|r| r.id != row.id) {
                all.push(self.placed(ChainRule {
                    id: row.id,
                    says: row.what,
                    figures: row.figures,
                    document: row.source.document,
                    status: row.source.status.into(),
                    file: None,
                    line: None,
                    column: None,
                }));
            }
        }
        all
    }

    /// A row with where it is written, where that is known.
    fn placed(&self, row: ChainRule) -> ChainRule {
        // What a row says besides is a part of it, such as `row#year`.
        let id = row.id.split('#').next().unwrap_or_default();
        let place = self.sets().iter().find_map(|set| set.place_of(id));
        ChainRule {
            file: place.as_ref().map(|p| self.named(&p.file)),
            line: place.as_ref().map(|p| p.line),
            column: place.as_ref().map(|p| p.column),
            ..row
        }
    }

    /// The rule sets behind the summary, the one that its rows are from first: the scenario's own, and those that it was
    /// held against.
    fn sets(&self) -> &[RuleSet] {
        self.sets.get_or_init(|| {
            let own = self.read.as_ref().ok().map(|read| &read.scenario.rules);
            let mut sets: Vec<RuleSet> = Vec::new();
            for name in self.set_names() {
                let set = match own.filter(|own| own.name == name) {
                    Some(own) => Some(RuleSet::clone(own)),
                    None => deepstay_rules::builtin(&name).ok(),
                };
                sets.extend(set.filter(|set| sets.iter().all(|s| s.name != set.name)));
            }
            sets
        })
    }

    /// Their names: a study's minimums may be reckoned by other sets than its jobs go by.
    fn set_names(&self) -> Vec<String> {
        let mut names = Vec::new();
        if let Some(Ok(table)) = self.tables.get("reserve.csv")
            && let Ok(column) = table.column("rule set")
        {
            names.extend(table.rows.iter().map(|row| column.text(row).to_owned()));
        }
        names.extend(self.text("/rule_set").map(str::to_owned));
        let under = self.list("/under").iter();
        let under = under.filter_map(|row| row.get("rule_set")?.as_str());
        names.extend(under.map(str::to_owned));
        names.dedup();
        names
    }

    /// A file as a chain names it: of a built-in job that it is one.
    fn named(&self, file: &str) -> String {
        let built_in = deepstay_scenario::JOBS.iter().any(|job| job.name == file);
        match built_in {
            true => format!("built-in job {file}"),
            false => file.to_owned(),
        }
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
