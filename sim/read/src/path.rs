//! Paths to values: one step after the other into fields and elements.

use std::fmt;

/// One step on the path to a value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Step {
    /// Into a field.
    Field(String),
    /// Into an element of a list or of a bracket without names.
    Index(usize),
}

/// A path to a value, such as `divers[3].initials`; empty for the whole.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Path(pub Vec<Step>);

impl Path {
    /// A path from its text; what is no path is passed over.
    pub fn of(text: &str) -> Path {
        let mut steps = Vec::new();
        for part in text.split('.').filter(|p| !p.is_empty()) {
            let (name, indices) = part.split_once('[').map_or((part, ""), |(n, i)| (n, i));
            if !name.is_empty() {
                steps.push(Step::Field(name.to_owned()));
            }
            let indices = indices.split('[');
            let indices = indices.filter_map(|i| i.trim_end_matches(']').parse().ok());
            steps.extend(indices.map(Step::Index));
        }
        Path(steps)
    }

    /// This path, gone on by another.
    #[must_use]
    pub fn join(&self, on: &Path) -> Path {
        Path([self.0.as_slice(), on.0.as_slice()].concat())
    }

    /// This path, gone on by a step.
    #[must_use]
    pub fn then(&self, step: Step) -> Path {
        let mut steps = self.0.clone();
        steps.push(step);
        Path(steps)
    }
}

impl fmt::Display for Path {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        for (i, step) in self.0.iter().enumerate() {
            match step {
                Step::Field(name) if i == 0 => f.write_str(name)?,
                Step::Field(name) => write!(f, ".{name}")?,
                Step::Index(at) => write!(f, "[{at}]")?,
            }
        }
        Ok(())
    }
}
