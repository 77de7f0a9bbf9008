//! The texts of a job, read once: a scenario is made of them as often as wanted, each time with other
//! inputs changed. A study of many jobs is made so, and one answer beside another.

use super::complaint::BadScenario;
use super::load::{find_job, read_job};
use super::locate;
use super::overlay::{self, Change, PARTS, Unchanged, Wide};
use super::shelf::{Kept, Placed, Shelf, unchanged};
use super::Scenario;
use std::path::{Path, PathBuf};

/// The texts of a job.
#[derive(Debug)]
pub struct Papers {
    file: String,
    text: String,
    folder: Option<PathBuf>,
    rule_set: Option<String>,
    kept: Kept,
}

impl Papers {
    /// The texts of a built-in job or of a job's file, under another built-in rule set where one is named.
    ///
    /// # Errors
    /// There is no such job, or its file cannot be read. What is wrong in it is told when a scenario is made.
    pub fn open(name: &str, rule_set: Option<&str>) -> Result<Papers, BadScenario> {
        let (file, text, folder) = find_job(name)?;
        Ok(Papers::of(&text, &file, folder.as_deref(), rule_set))
    }

    /// A job's text; parts that it names are looked for in `folder`.
    pub fn of(text: &str, file: &str, folder: Option<&Path>, rule_set: Option<&str>) -> Papers {
        Papers {
            file: file.to_owned(),
            text: text.to_owned(),
            folder: folder.map(Path::to_owned),
            rule_set: rule_set.map(str::to_owned),
            kept: Kept::default(),
        }
    }

    /// The scenario, with inputs changed.
    ///
    /// # Errors
    /// Everything found wrong, the changes among it.
    pub fn scenario(&self, changes: &[Change]) -> Result<Scenario, BadScenario> {
        let mut placed = Vec::new();
        for change in changes {
            let (part, way) = self.place(&change.way).map_err(|why| bad(&change.way, &why))?;
            placed.push(Placed { part, way, given: change.way.clone(), to: change.to.clone() });
        }
        let mut text = self.text.clone();
        for change in placed.iter().filter(|c| c.part.is_empty()) {
            text = overlay::apply(&text, &change.way, &change.to).map_err(|why| bad(&change.given, &why))?;
        }
        let shelf = Shelf { folder: self.folder.as_deref(), kept: &self.kept, changes: &placed };
        read_job(&text, &self.file, &shelf, self.rule_set.as_deref())
    }

    /// Every single input that a way leads to: its own way, with elements by their names where they have
    /// one, and what is written there; nothing where the input is left out.
    ///
    /// # Errors
    /// The way leads nowhere.
    pub fn inputs(&self, way: &str) -> Result<Vec<(String, String)>, BadScenario> {
        let (part, wide) = self.place(way).map_err(|why| bad(way, &why))?;
        let text = self.part_text(&part).unwrap_or_else(|| self.text.clone());
        let ways = match overlay::spread_out(&text, &wide) {
            Ok(ways) => ways,
            Err(why) => {
                let absent = overlay::absent(&text, &wide).ok_or_else(|| bad(way, &why))?;
                let own = |(at, name): (Vec<locate::Step>, String)| [at, vec![locate::Step::Field(name)]].concat();
                absent.into_iter().map(own).collect()
            }
        };
        let each = |steps: Vec<locate::Step>| {
            let mut own = part.clone();
            for (i, step) in steps.iter().enumerate() {
                match step {
                    locate::Step::Field(name) if own.is_empty() => own.push_str(name),
                    locate::Step::Field(name) => own.push_str(&format!(".{name}")),
                    locate::Step::Index(at) => {
                        let name = overlay::element_name(&text, &steps[..=i]);
                        own.push_str(&format!("[{}]", name.unwrap_or_else(|| at.to_string())));
                    }
                }
            }
            let written = if locate::is_there(&text, &steps) { &text[locate::value(&text, &steps)] } else { "" };
            (own, written.to_owned())
        };
        Ok(ways.into_iter().map(each).collect())
    }

    /// Every text that the scenario is made of, for a fingerprint: names and texts in order.
    pub fn texts(&self) -> Vec<(String, String)> {
        let mut all = vec![(self.file.clone(), self.text.clone())];
        if let Ok(kept) = self.kept.lock() {
            all.extend(kept.values().cloned());
        }
        all
    }

    /// The part a way is in, and the way within its text; no part for what is in the job's own text.
    fn place(&self, way: &str) -> Result<(String, Vec<Wide>), Unchanged> {
        let mut steps = overlay::wide(way)?;
        let first = steps[0].to_string();
        let fields = locate::field_names(&self.text, &[]);
        if !fields.contains(&first) && !PARTS.contains(&first.as_str()) {
            let has = |part: &&str| {
                let text = self.part_text(part).unwrap_or_default();
                locate::field_names(&text, &self.part_way(part)).contains(&first)
            };
            let mut parts: Vec<&str> = PARTS.into_iter().filter(has).collect();
            if parts.len() > 1 {
                // Of several parts with such a field, the one that the whole way leads through is meant.
                let through: Vec<&str> = parts.iter().copied().filter(|part| self.leads_through(part, &steps)).collect();
                parts = if through.is_empty() { parts } else { through };
            }
            match parts[..] {
                [] => {}
                [part] => steps.insert(0, Wide::Field(part.to_owned())),
                _ => return Err(Unchanged::Ambiguous(first)),
            }
        }
        match &steps[0] {
            Wide::Field(part) if PARTS.contains(&part.as_str()) && self.is_named(part) && steps.len() > 1 => {
                Ok((part.clone(), steps.split_off(1)))
            }
            _ => Ok((String::new(), steps)),
        }
    }

    /// Whether a way whose part is left out leads somewhere in this part.
    fn leads_through(&self, part: &str, steps: &[Wide]) -> bool {
        let text = self.part_text(part).unwrap_or_default();
        let mut wide = if self.is_named(part) { Vec::new() } else { vec![Wide::Field(part.to_owned())] };
        wide.extend_from_slice(steps);
        overlay::spread_out(&text, &wide).is_ok() || overlay::absent(&text, &wide).is_some()
    }

    fn is_named(&self, part: &str) -> bool {
        let way = [locate::Step::Field(part.to_owned())];
        locate::is_there(&self.text, &way) && self.text[locate::value(&self.text, &way)].starts_with('"')
    }

    /// Way to a part in the text that it is in.
    fn part_way(&self, part: &str) -> Vec<locate::Step> {
        if self.is_named(part) { Vec::new() } else { vec![locate::Step::Field(part.to_owned())] }
    }

    /// The text that a part is in.
    fn part_text(&self, part: &str) -> Option<String> {
        if part.is_empty() {
            return None;
        }
        let way = [locate::Step::Field(part.to_owned())];
        if !locate::is_there(&self.text, &way) {
            return None;
        }
        if !self.is_named(part) {
            return Some(self.text.clone());
        }
        let name = self.text[locate::value(&self.text, &way)].trim_matches('"');
        let shelf = Shelf { folder: self.folder.as_deref(), kept: &self.kept, changes: &[] };
        let built_in = if part == "spread" { super::SPREADS } else { &[] };
        shelf.text(name, "part", built_in).ok().map(|(_, text)| text)
    }
}

fn bad(way: &str, why: &Unchanged) -> BadScenario {
    BadScenario { complaints: vec![unchanged(way, why)] }
}
