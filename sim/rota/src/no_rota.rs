//! Why there is no legal rota, in words: what collides, and what would help.

use super::NoRota;
use std::error::Error;
use std::fmt::{Display, Formatter, Result};

impl Error for NoRota {}

impl Display for NoRota {
    fn fmt(&self, f: &mut Formatter<'_>) -> Result {
        write!(f, "there is no legal rota: {}", self.words)?;
        for rule in &self.rules {
            let source = &rule.source;
            write!(
                f,
                "\n  {}: {} [{} ({})]",
                rule.id, rule.words, source.document, source.status
            )?;
        }
        for (i, relaxation) in self.relaxations.iter().enumerate() {
            let lead = if i == 0 { "help" } else { "or" };
            let rules: Vec<&str> = relaxation
                .changes
                .iter()
                .map(|c| c.rule.id.as_str())
                .collect();
            write!(
                f,
                "\n  {lead}: {} ({})",
                relaxation.words(),
                rules.join(", ")
            )?;
        }
        f.write_str(match self.relaxations.is_empty() {
            true => "\n  no change of one figure, nor of two together, was found that helps",
            false => "\n  with each of these a legal rota was found, and with a step less none",
        })
    }
}
