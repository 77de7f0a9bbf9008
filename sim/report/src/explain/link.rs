//! What is known of all figures of one kind: the pattern of their paths, unit, words and formula, how they are
//! calculated again, and the inputs and rule rows behind them. From a link and a figure comes the chain.

use super::chain::{Again, Chain, ChainInput, Origin, Term};
use super::figures::Found;
use super::ground::Ground;
use deepstay_core::CAUTION;
use std::collections::BTreeMap;

/// All figures of one kind. In its texts a name in braces stands for what a pattern caught under it, or for a field
/// of the row.
pub(super) struct Link {
    /// Pattern of the path; a name in braces catches whatever is there.
    pub path: &'static str,
    pub unit: &'static str,
    /// What the figure is.
    pub says: &'static str,
    /// The formula in words.
    pub formula: &'static str,
    pub printed: Printed,
    pub count: Count,
    /// Paths of inputs.
    pub inputs: &'static [&'static str],
    /// Ids of rule rows; one that ends with a dot stands for all that hold it.
    pub rules: &'static [&'static str],
    /// Whether it speaks of limits, schedules, gas, oxygen or harm.
    pub cautioned: bool,
}

/// How a figure is calculated again.
pub(super) type Count = fn(&Ground<'_>, &Caught<'_>) -> Result<Counted, String>;

/// To how much a figure is rounded where it is printed.
#[derive(Clone, Copy)]
pub(super) enum Printed {
    /// Not at all, or a whole number.
    Whole,
    /// To one part of so many.
    Parts(f64),
    /// To three figures.
    ThreeFigures,
}

impl Printed {
    fn slack(self, value: f64) -> f64 {
        // What adding in another order can do, beside the rounding.
        let order = 1e-9 * value.abs();
        order
            + match self {
                Printed::Whole => 0.0,
                Printed::Parts(parts) => 0.500_001 / parts,
                Printed::ThreeFigures => 0.005_001 * value.abs(),
            }
    }
}

/// What a pattern caught, and the figure.
pub(super) struct Caught<'f> {
    pub figure: &'f Found<'f>,
    names: BTreeMap<&'static str, &'f str>,
}

impl Caught<'_> {
    /// What was caught under a name, or a field of the row.
    pub fn get(&self, name: &str) -> String {
        let caught = self.names.get(name).map(|n| (*n).to_owned());
        caught
            .or_else(|| self.figure.field(name))
            .unwrap_or_default()
    }

    /// The number in a field of the row.
    pub fn number(&self, name: &str) -> Result<f64, String> {
        let number = self.get(name).parse::<f64>().ok();
        number.ok_or_else(|| format!("the row has no number `{name}`"))
    }

    /// The id of another figure beside this one.
    pub fn beside(&self, last: &str) -> String {
        let id = &self.figure.id;
        let row = id.rsplit_once('/').map_or("", |(row, _)| row);
        format!("{row}/{last}")
    }

    /// A text with what was caught in the place of its names in braces.
    fn fill(&self, text: &str) -> String {
        let mut out = String::new();
        let mut rest = text;
        while let Some((before, after)) = rest.split_once('{') {
            out.push_str(before);
            let Some((name, behind)) = after.split_once('}') else {
                rest = after;
                break;
            };
            out.push_str(&self.get(name));
            rest = behind;
        }
        out + rest
    }
}

/// What a figure comes to when it is calculated again.
pub(super) struct Counted {
    pub value: f64,
    /// What rounding of the rows can do.
    pub slack: f64,
    pub terms: Vec<Term>,
    /// Ids of rule rows that the rows name.
    pub rules: Vec<String>,
    /// Paths of inputs that the rows name.
    pub inputs: Vec<String>,
}

impl Counted {
    pub fn of(value: f64, slack: f64, terms: Vec<Term>) -> Result<Counted, String> {
        Ok(Counted {
            value,
            slack,
            terms,
            rules: Vec::new(),
            inputs: Vec::new(),
        })
    }
}

/// A figure as a term of another.
pub(super) fn figure(what: impl Into<String>, value: f64, unit: &str, id: String) -> Term {
    Term {
        what: what.into(),
        value: Some(value),
        unit: unit.to_owned(),
        from: Origin::Figure { id },
    }
}

/// A term that the program calculated.
pub(super) fn program(what: impl Into<String>, value: f64, unit: &str, from: &str) -> Term {
    Term {
        what: what.into(),
        value: Some(value),
        unit: unit.to_owned(),
        from: Origin::Program {
            from: from.to_owned(),
        },
    }
}

/// An input as a term.
pub(super) fn input(what: impl Into<String>, value: f64, unit: &str, path: String) -> Term {
    Term {
        what: what.into(),
        value: Some(value),
        unit: unit.to_owned(),
        from: Origin::Input { path },
    }
}

/// The format that a file was written in.
pub(super) fn format_written(own: u32) -> Result<Counted, String> {
    let own = f64::from(own);
    let what = "format that is written";
    let term = program(what, own, "", "this version of the program");
    Counted::of(own, 0.0, vec![term])
}

/// The scenario's own seed, where it was not given by hand when the work was done.
pub(super) fn seed_of_the_scenario(
    ground: &Ground<'_>,
    caught: &Caught<'_>,
    when: &str,
) -> Result<Counted, String> {
    let seed = ground.read()?.scenario.seed as f64;
    if seed != caught.figure.value {
        return Err(format!(
            "it was given when {when}: the scenario itself has {seed}"
        ));
    }
    let term = input("seed of the scenario", seed, "", "seed".to_owned());
    Counted::of(seed, 0.0, vec![term])
}

impl Link {
    /// What the pattern catches of a figure; none where it does not fit.
    pub fn catches<'f>(&self, figure: &'f Found<'f>) -> Option<Caught<'f>> {
        let mut names = BTreeMap::new();
        let mut there = figure.names.iter();
        for part in self.path.split('/') {
            let name = there.next()?;
            match part.strip_prefix('{').and_then(|p| p.strip_suffix('}')) {
                Some(caught) => {
                    names.insert(caught, name.as_str());
                }
                None if part == name => {}
                None => return None,
            }
        }
        there.next().is_none().then_some(Caught { figure, names })
    }

    /// The chain of a figure that it fits.
    pub fn chain(&self, ground: &Ground<'_>, found: &Found<'_>, caught: &Caught<'_>) -> Chain {
        let counted = (self.count)(ground, caught);
        let mut ids: Vec<String> = self.rules.iter().map(|id| caught.fill(id)).collect();
        let mut paths: Vec<String> = self.inputs.iter().map(|path| caught.fill(path)).collect();
        let (again, terms) = match counted {
            Ok(counted) => {
                ids.extend(counted.rules);
                paths.extend(counted.inputs);
                let within = counted.slack + self.printed.slack(found.value);
                let value = counted.value;
                // No number is none of nothing: what is printed of it is none either.
                let again = match (value - found.value).abs() <= within {
                    true => Again::Agrees { value, within },
                    false => Again::Differs { value, within },
                };
                (again, counted.terms)
            }
            Err(why) => (Again::NotFromFiles { why }, Vec::new()),
        };
        Chain {
            figure: found.id.clone(),
            file: ground.kind.file().to_owned(),
            printed: found.written.clone(),
            unit: caught.fill(self.unit),
            says: caught.fill(self.says),
            formula: caught.fill(self.formula),
            terms,
            again,
            rules: ground.rules(&ids),
            inputs: inputs(ground, &paths),
            remarks: ground.remarks.clone(),
            caution: self.cautioned.then_some(CAUTION),
        }
    }
}

fn inputs(ground: &Ground<'_>, paths: &[String]) -> Vec<ChainInput> {
    let mut all: Vec<ChainInput> = Vec::new();
    for path in paths {
        for one in ground.inputs(path) {
            if !all.contains(&one) {
                all.push(one);
            }
        }
    }
    all
}
