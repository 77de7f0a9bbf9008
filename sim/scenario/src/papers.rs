//! The texts of a job, read once: a scenario is made of them as often as wanted, each time with other
//! inputs changed. A study of many jobs is made so, and one answer beside another.

use super::Scenario;
use super::complaint::BadScenario;
use super::load::{find_job, read_job};
use super::locate;
use super::overlay::{self, Change, PARTS, Unchanged, Wide};
use super::shelf::{Kept, Placed, Shelf, unchanged};
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
            let (part, way) = self
                .place(&change.way)
                .map_err(|why| bad(&change.way, &why))?;
            placed.push(Placed {
                part,
                way,
                given: change.way.clone(),
                to: change.to.clone(),
            });
        }
        let mut text = self.text.clone();
        for change in placed.iter().filter(|c| c.part.is_empty()) {
            text = overlay::apply(&text, &change.way, &change.to)
                .map_err(|why| bad(&change.given, &why))?;
        }
        let shelf = Shelf {
            folder: self.folder.as_deref(),
            kept: &self.kept,
            changes: &placed,
        };
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
                let own = |(at, name): (Vec<locate::Step>, String)| {
                    [at, vec![locate::Step::Field(name)]].concat()
                };
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
            let written = if locate::is_there(&text, &steps) {
                &text[locate::value(&text, &steps)]
            } else {
                ""
            };
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
            // Of the parts that have such a field, the one that the way goes furthest into is meant.
            // A plain value, into which no way goes, counts for half a step less.
            let depth = |part: &str| {
                let text = self.part_text(part)?;
                let within: Vec<Wide> = self.part_way(part).into_iter().map(Wide::from).collect();
                let goes = |upto: &usize| {
                    overlay::spread_out(&text, &[within.as_slice(), &steps[..*upto]].concat())
                        .is_ok()
                };
                let last = (1..=steps.len()).take_while(goes).last()?;
                let whole = [within.as_slice(), &steps[..last]].concat();
                let holds = overlay::spread_out(&text, &whole)
                    .is_ok_and(|ways| ways.iter().any(|way| locate::count(&text, way) > 0));
                Some(2 * last + usize::from(holds))
            };
            let found: Vec<(&str, usize)> = PARTS
                .into_iter()
                .filter_map(|part| Some((part, depth(part)?)))
                .collect();
            let deepest = found.iter().map(|(_, depth)| *depth).max();
            let parts: Vec<&str> = found
                .iter()
                .filter(|(_, depth)| Some(*depth) == deepest)
                .map(|(part, _)| *part)
                .collect();
            match parts[..] {
                [] => {}
                [part] => steps.insert(0, Wide::Field(part.to_owned())),
                _ => return Err(Unchanged::Ambiguous(first)),
            }
        }
        match &steps[0] {
            Wide::Field(part)
                if PARTS.contains(&part.as_str()) && self.is_named(part) && steps.len() > 1 =>
            {
                Ok((part.clone(), steps.split_off(1)))
            }
            _ => Ok((String::new(), steps)),
        }
    }

    fn is_named(&self, part: &str) -> bool {
        let way = [locate::Step::Field(part.to_owned())];
        locate::is_there(&self.text, &way)
            && self.text[locate::value(&self.text, &way)].starts_with('"')
    }

    /// Way to a part in the text that it is in.
    fn part_way(&self, part: &str) -> Vec<locate::Step> {
        if self.is_named(part) {
            Vec::new()
        } else {
            vec![locate::Step::Field(part.to_owned())]
        }
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
        let shelf = Shelf {
            folder: self.folder.as_deref(),
            kept: &self.kept,
            changes: &[],
        };
        let built_in = if part == "spread" {
            super::SPREADS
        } else {
            &[]
        };
        shelf
            .text(name, "part", built_in)
            .ok()
            .map(|(_, text)| text)
    }
}

fn bad(way: &str, why: &Unchanged) -> BadScenario {
    BadScenario {
        complaints: vec![unchanged(way, why)],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::To;

    fn papers() -> Papers {
        Papers::open("six-man", None).expect("built in")
    }

    fn set(way: &str, to: &str) -> Result<Scenario, BadScenario> {
        papers().scenario(&[Change {
            way: way.into(),
            to: To::Text(to.into()),
        }])
    }

    /// What is complained of first: where, what, and what would be right.
    fn refused(way: &str, to: &str) -> (String, String, String) {
        let bad = set(way, to).expect_err("refused");
        let first = bad.complaints.into_iter().next().expect("one");
        (
            first.place.path,
            first.wrong.to_string(),
            first.suggestion.unwrap_or_default(),
        )
    }

    #[test]
    fn the_part_may_be_left_out_where_the_way_tells_it() {
        for way in ["stock.reclaim.recovery", "reclaim.recovery"] {
            let recovery = set(way, "0.8")
                .expect("a scenario")
                .steel
                .reclaim
                .expect("reclaim")
                .recovery;
            assert_eq!(recovery, 0.8);
        }
        assert_eq!(
            set("compartments[Living].volume", "30 m3")
                .expect("a scenario")
                .steel
                .compartments[0]
                .volume_m3,
            30.0
        );
    }

    #[test]
    fn an_input_that_is_left_out_may_be_set() {
        let heavy = set("crew.breathing", "1.5").expect("a scenario");
        let base = papers().scenario(&[]).expect("a scenario");
        let breathes = |s: &Scenario| {
            s.rates
                .rows
                .iter()
                .map(|r| r.rate.ventilation_l_min)
                .sum::<f64>()
        };
        assert!(breathes(&heavy) > breathes(&base));
        assert_eq!(
            set("log_every", "1 h").expect("a scenario").log_every_s,
            3600
        );
    }

    #[test]
    fn what_cannot_be_set_says_what_there_is() {
        let (path, wrong, right) = refused("reclaim.recovry", "0.8");
        assert_eq!(
            (path.as_str(), right.as_str()),
            ("stock.reclaim", "did you mean `recovery`?"),
            "{wrong}"
        );
        let (_, wrong, _) = refused("reclaim.recovery", "1.2");
        assert!(wrong.contains("a share"), "{wrong}");
        let (_, wrong, right) = refused("breething", "1.2");
        assert!(
            wrong.contains("unknown field `breething`"),
            "{wrong} {right}"
        );
    }

    #[test]
    fn every_input_of_a_way_has_its_own() {
        let leaks = papers()
            .inputs("spread.compartments[*].leak")
            .expect("leaks");
        let ways: Vec<&str> = leaks.iter().map(|(way, _)| way.as_str()).collect();
        assert_eq!(ways[0], "spread.compartments[Living].leak");
        assert_eq!(ways.len(), 5, "{ways:?}");
        assert!(leaks[0].1.contains("0.3 %/d"));
        assert_eq!(
            papers().inputs("crew.breathing").expect("left out"),
            [("crew.breathing".to_owned(), String::new())]
        );
    }
}
