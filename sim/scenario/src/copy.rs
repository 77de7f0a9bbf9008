//! Copies of what is built in, remarks and all, to be changed.

use super::{BuiltIn, HARM, JOBS, PRESENTS, SPREADS, SUPPLIERS, VOICES, WEATHER};
use deepstay_rules as rules;

/// What may be copied.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A job.
    Job,
    /// A spread.
    Spread,
    /// A rule set.
    Rules,
    /// A supplier's list.
    Supplier,
    /// A file of the figures by which people come to harm.
    Harm,
    /// A file of what is said over the speaker.
    Voices,
    /// A present: how a job stands at one moment.
    Present,
    /// A table of waves.
    Weather,
}

impl Kind {
    /// Every kind, in the order of a list.
    pub const ALL: [Kind; 8] = [
        Kind::Job,
        Kind::Spread,
        Kind::Rules,
        Kind::Supplier,
        Kind::Harm,
        Kind::Voices,
        Kind::Present,
        Kind::Weather,
    ];

    /// What is built in of it: name, and one line on what it is.
    pub fn built_in(self) -> Vec<(&'static str, String)> {
        let carried = |list: &'static [BuiltIn]| {
            let row = |b: &'static BuiltIn| (b.name, b.title.to_owned());
            list.iter().map(row).collect()
        };
        match self {
            Kind::Job => carried(JOBS),
            Kind::Spread => carried(SPREADS),
            Kind::Rules => rules::builtin_names()
                .map(|name| {
                    let title = rules::builtin(name).map(|set| set.title);
                    (name, title.unwrap_or_else(|e| e.to_string()))
                })
                .collect(),
            Kind::Supplier => carried(SUPPLIERS),
            Kind::Harm => carried(HARM),
            Kind::Voices => carried(VOICES),
            Kind::Present => carried(PRESENTS),
            Kind::Weather => carried(WEATHER),
        }
    }

    /// The text of one that is built in, by its name.
    pub fn text(self, name: &str) -> Option<&'static str> {
        let of = |list: &'static [BuiltIn]| list.iter().find(|b| b.name == name).map(|b| b.text);
        match self {
            Kind::Job => of(JOBS),
            Kind::Spread => of(SPREADS),
            Kind::Rules => rules::builtin_text(name).ok(),
            Kind::Supplier => of(SUPPLIERS),
            Kind::Harm => of(HARM),
            Kind::Voices => of(VOICES),
            Kind::Present => of(PRESENTS),
            Kind::Weather => of(WEATHER),
        }
    }

    /// How the name of such a file ends.
    pub fn ending(self) -> &'static str {
        match self {
            Kind::Weather => "csv",
            _ => "ron",
        }
    }

    /// A copy of one that is built in; a file that carries its own name carries the new one.
    pub fn copy(self, name: &str, new_name: &str) -> Option<String> {
        let text = self.text(name)?;
        let carried: String = new_name
            .chars()
            .filter(|c| !c.is_control() && *c != '"' && *c != '\\')
            .collect();
        Some(text.replacen(
            &format!("    name: \"{name}\","),
            &format!("    name: \"{carried}\","),
            usize::from(self != Kind::Weather),
        ))
    }
}
