//! Sets that are based on others and say only what differs.
//!
//! Of each part of a set the rows are its own, and behind them those of the first base that has any, but for rows of an id
//! that it writes itself. So a company's set may change one figure of a row by writing a row of that id, and a national
//! set's companion takes the parts that its document is silent about from another. Each row so taken says from where.

use super::bleeding_table::DecompressionScheme;
use super::set::{Merge, RuleSet};
use super::{Row, laxer};
use deepstay_core::words::Words;
use deepstay_read::{Diagnostics, Section, Wrong, did_you_mean, nearest, suggest_file};
use serde::Deserialize;
use std::path::{Path, PathBuf};

/// A set that another is based on.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct BasedOn {
    /// Name of a built-in set, or the path of a file beside this one.
    pub set: String,
    /// The parts that are taken; left out, all.
    #[serde(default)]
    pub parts: Vec<RulePart>,
}

/// A part of a set that can be taken from a base.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum RulePart {
    /// Rates down, oxygen before helium, leak check, oxygen on arrival.
    Compression,
    /// Oxygen in storage and at work, density and contaminants of what is breathed.
    Oxygen,
    /// The way up, how it starts, and the way up in need.
    Decompression,
    /// Excursions.
    Excursions,
    /// Temperature and humidity.
    Climate,
    /// Limits.
    Limits,
    /// Absorbent, calibration, log and hygiene.
    Routine,
    /// Bell run, water, rest, bell crew, time on a mask, days under pressure and at the surface, and what holds after it.
    WorkingTime,
    /// Rates per person for sizing.
    Sizing,
    /// Gas minimums.
    GasMinimums,
    /// Crew at the surface, monitoring, evacuation, umbilicals, fire zone and gas for treatment.
    Safeguards,
}

impl Words for RulePart {
    fn words(self) -> &'static str {
        match self {
            RulePart::Compression => "compression",
            RulePart::Oxygen => "oxygen",
            RulePart::Decompression => "decompression",
            RulePart::Excursions => "excursions",
            RulePart::Climate => "climate",
            RulePart::Limits => "limits",
            RulePart::Routine => "routine",
            RulePart::WorkingTime => "working time",
            RulePart::Sizing => "sizing",
            RulePart::GasMinimums => "gas minimums",
            RulePart::Safeguards => "safeguards",
        }
    }
}

/// What a set took from a base.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Taken {
    /// The part.
    pub part: RulePart,
    /// The set that it is from.
    pub from: String,
}

/// The bases of a set with what each gives, as they were read.
pub(super) struct Bases {
    read: Vec<(BasedOn, RuleSet)>,
}

impl Bases {
    /// Reads the sets that one is based on; `chain` are the names and files that led here, itself the last. None where one
    /// cannot be had, which is told.
    pub fn read(
        set: &RuleSet,
        section: &Section,
        chain: &[String],
        diagnostics: &mut Diagnostics,
    ) -> Option<Bases> {
        let before = diagnostics.count();
        let mut read = Vec::new();
        for (i, base) in set.based_on.iter().enumerate() {
            let at = format!("based_on[{i}].set");
            let key = key(&base.set, section);
            if chain.contains(&key) {
                let wrong = Wrong::Contradiction(match chain.last() == Some(&key) {
                    true => format!("`{}` is based on itself", base.set),
                    false => format!(
                        "`{}` is based on a set that is based on it: {} -> {key}",
                        base.set,
                        chain.join(" -> ")
                    ),
                });
                let remedy = "base it on another set, or write its rows here".to_owned();
                diagnostics.add_with(section, &at, wrong, Some(remedy));
                continue;
            }
            let asked = [chain, std::slice::from_ref(&key)].concat();
            match RuleSet::asked_for(&base.set, &key, &asked) {
                Ok(found) => read.push((base.clone(), found)),
                Err(bad) => tell(bad, section, &at, diagnostics),
            }
        }
        (diagnostics.count() == before).then_some(Bases { read })
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.read.is_empty()
    }

    /// The first base that gives a part and has something of what is looked for.
    fn first<T>(&self, part: RulePart, has: impl Fn(&RuleSet) -> Option<T>) -> Option<(&str, T)> {
        let gives = |b: &BasedOn| b.parts.is_empty() || b.parts.contains(&part);
        let mut all = self.read.iter().filter(|(b, _)| gives(b));
        all.find_map(|(_, set)| Some((set.name.as_str(), has(set)?)))
    }

    /// The sets themselves.
    pub fn sets(&self) -> impl Iterator<Item = &RuleSet> {
        self.read.iter().map(|(_, set)| set)
    }
}

impl Merge for Bases {
    fn rows<T: Clone>(
        &self,
        part: RulePart,
        own: &mut Vec<Row<T>>,
        of: impl Fn(&RuleSet) -> &Vec<Row<T>>,
    ) -> Option<Taken> {
        let has = |set: &RuleSet| Some(of(set).clone()).filter(|rows| !rows.is_empty());
        let (from, mut rows) = self.first(part, has)?;
        rows.retain(|row| own.iter().all(|mine| mine.id != row.id));
        let taken = !rows.is_empty();
        own.extend(rows.into_iter().map(|row| row.taken_from(from)));
        taken.then(|| Taken {
            part,
            from: from.to_owned(),
        })
    }

    fn row<T: Clone>(
        &self,
        part: RulePart,
        own: &mut Option<Row<T>>,
        of: impl Fn(&RuleSet) -> &Option<Row<T>>,
    ) -> Option<Taken> {
        if own.is_some() {
            return None;
        }
        let (from, row) = self.first(part, |set| of(set).clone())?;
        *own = Some(row.taken_from(from));
        Some(Taken {
            part,
            from: from.to_owned(),
        })
    }

    fn schemes(
        &self,
        own: &mut Vec<DecompressionScheme>,
        of: impl Fn(&RuleSet) -> &Vec<DecompressionScheme>,
    ) -> Option<Taken> {
        let has = |set: &RuleSet| Some(of(set).clone()).filter(|all| !all.is_empty());
        let part = RulePart::Decompression;
        let (from, mut all) = self.first(part, has)?;
        all.retain(|scheme| own.iter().all(|mine| mine.rates.id != scheme.rates.id));
        let taken = !all.is_empty();
        own.extend(all.into_iter().map(|scheme| Bases::scheme(scheme, from)));
        taken.then(|| Taken {
            part,
            from: from.to_owned(),
        })
    }
}

impl Bases {
    fn scheme(scheme: DecompressionScheme, from: &str) -> DecompressionScheme {
        DecompressionScheme {
            rates: scheme.rates.taken_from(from),
            travel: scheme.travel.taken_from(from),
            oxygen: scheme.oxygen.taken_from(from),
            rest: scheme.rest.map(|row| row.taken_from(from)),
            last_stop: scheme.last_stop.map(|row| row.taken_from(from)),
        }
    }
}

/// A base as it is known wherever it is named: a built-in set by its name, a file by its path beside the file that names it.
fn key(name: &str, section: &Section) -> String {
    if !is_path(name) {
        return name.to_owned();
    }
    let beside = Path::new(section.document().file());
    let path: PathBuf = beside.parent().unwrap_or(Path::new("")).join(name);
    path.display().to_string()
}

/// Whether a text is meant as a path and not as the name of something built in.
pub fn is_path(name: &str) -> bool {
    name.contains(['.', '/', '\\'])
}

/// What is wrong with a base, told where it is named, and in its own file where it is there.
fn tell(bad: Diagnostics, section: &Section, at: &str, diagnostics: &mut Diagnostics) {
    let first = bad.all.into_iter().next();
    let Some(first) = first else { return };
    match first.wrong {
        wrong @ Wrong::NoSuch { .. } => {
            let near = first.remedy.or_else(|| {
                let Wrong::NoSuch { name, known, .. } = &wrong else {
                    return None;
                };
                did_you_mean(nearest(name, known.iter().map(String::as_str)))
            });
            diagnostics.add_with(section, at, wrong, near);
        }
        Wrong::Unreadable(why) => {
            let remedy = first
                .remedy
                .or_else(|| suggest_file(Path::new(&first.place.file)));
            diagnostics.add_with(section, at, Wrong::Unreadable(why), remedy);
        }
        _ => diagnostics.put(first),
    }
}

impl RuleSet {
    /// Lays the set on its bases: whatever it does not say itself is theirs. What is laxer than a row of law of a base
    /// without being accepted is told.
    pub(super) fn lay(&mut self, bases: &Bases, section: &Section, diagnostics: &mut Diagnostics) {
        if bases.is_empty() {
            // Of one that cannot be read it is not known what rows it has.
            if self.based_on.is_empty() {
                self.known_accepts(bases, section, diagnostics);
            }
            return;
        }
        let own: Vec<String> = self.provenance().into_iter().map(|p| p.id).collect();
        if self.feet.is_none() {
            let feet = |set: &RuleSet| Some(set.feet.clone()?.taken_from(&set.name));
            self.feet = bases.sets().find_map(feet);
        }
        let mut taken = self.merge(bases);
        taken.sort_by(|a, b| (a.part, &a.from).cmp(&(b.part, &b.from)));
        taken.dedup();
        self.taken = taken;
        for set in bases.sets() {
            self.bases_written.push(set.written.clone());
            self.bases_written.extend(set.bases_written.iter().cloned());
            self.not_seen.extend(set.not_seen.iter().cloned());
        }
        for base in bases.sets() {
            self.hold_to(base, &own, section, diagnostics);
        }
        self.known_accepts(bases, section, diagnostics);
    }

    fn hold_to(
        &self,
        base: &RuleSet,
        own: &[String],
        section: &Section,
        diagnostics: &mut Diagnostics,
    ) {
        let lax = laxer::than(base, self);
        for found in lax.iter().filter(|f| own.contains(&f.by)) {
            if self.accepts.contains(&found.than) {
                continue;
            }
            let wrong = Wrong::Contradiction(format!(
                "the rule `{}` is laxer than `{}` of {}: {}",
                found.by, found.than, base.name, found.words
            ));
            let remedy = format!(
                "a figure as strict, or, if that is meant, accepts: [\"{}\"]",
                found.than
            );
            let at = section
                .node()
                .and_then(|n| n.paths_to("id", &found.by).first().map(ToString::to_string));
            diagnostics.add_with(section, &at.unwrap_or_default(), wrong, Some(remedy));
        }
    }

    fn known_accepts(&self, bases: &Bases, section: &Section, diagnostics: &mut Diagnostics) {
        let known: Vec<String> = bases
            .sets()
            .flat_map(|set| set.provenance())
            .map(|p| p.id)
            .collect();
        for (i, id) in self.accepts.iter().enumerate() {
            if !known.contains(id) {
                let near = did_you_mean(nearest(id, known.iter().map(String::as_str)));
                let near = near.or_else(|| {
                    Some(
                        "leave it out, or name the row of a base that a row here is laxer than"
                            .to_owned(),
                    )
                });
                let wrong = Wrong::Value(format!("no set that this is based on has a row `{id}`"));
                diagnostics.add_with(section, &format!("accepts[{i}]"), wrong, near);
            }
        }
    }
}
