//! The order line: what is being typed, what completes it, and what was said before.

use crate::job::Indicated;
use crate::scenario::Scenario;
use crate::watch::{Sheets, complete};

/// The line.
#[derive(Clone, Debug, Default)]
pub struct Editor {
    text: String,
    /// Where the next sign goes, in signs.
    at: usize,
    said: Vec<String>,
    /// Which of those is shown, from the newest.
    back: Option<usize>,
    /// What Tab goes through: where it begins, the offers, and which is in.
    offered: Option<(usize, Vec<String>, usize)>,
}

impl Editor {
    /// What stands there.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Where the next sign goes, in signs.
    pub fn at(&self) -> usize {
        self.at
    }

    /// Something stands there, to be gone on with.
    pub fn put(&mut self, text: &str) {
        self.text = text.to_owned();
        self.at = self.text.chars().count();
        self.back = None;
        self.offered = None;
    }

    fn byte(&self, at: usize) -> usize {
        let mut signs = self.text.char_indices();
        signs.nth(at).map_or(self.text.len(), |(byte, _)| byte)
    }

    /// A sign is typed.
    pub fn insert(&mut self, sign: char) {
        let byte = self.byte(self.at);
        self.text.insert(byte, sign);
        self.at += 1;
        self.offered = None;
    }

    /// The sign before is taken away, where there is one.
    pub fn rub_out(&mut self) {
        self.offered = None;
        if self.at > 0 {
            self.at -= 1;
            let byte = self.byte(self.at);
            self.text.remove(byte);
        }
    }

    /// To the side.
    pub fn step(&mut self, right: bool) {
        let end = self.text.chars().count();
        self.at = match right {
            true => (self.at + 1).min(end),
            false => self.at.saturating_sub(1),
        };
    }

    /// To an end.
    pub fn go_to_end(&mut self, right: bool) {
        self.at = if right { self.text.chars().count() } else { 0 };
    }

    /// What was said before, or after that.
    pub fn recall(&mut self, before: bool) {
        let next = match (self.back, before) {
            (None, true) => Some(0),
            (Some(k), true) => Some((k + 1).min(self.said.len().saturating_sub(1))),
            (Some(k), false) => k.checked_sub(1),
            (None, false) => None,
        };
        let text = next.and_then(|k| self.said.iter().rev().nth(k)).cloned();
        self.put(&text.unwrap_or_default());
        self.back = next;
    }

    /// The line is said: it is empty again.
    pub fn take(&mut self) -> String {
        let text = std::mem::take(&mut self.text);
        if !text.trim().is_empty() && self.said.last() != Some(&text) {
            self.said.push(text.clone());
        }
        self.put("");
        text
    }

    /// What can follow.
    pub fn offers(&self, scenario: &Scenario, seen: &Indicated, sheets: &Sheets) -> Vec<String> {
        match &self.offered {
            Some((_, offers, _)) => offers.clone(),
            None => complete(&self.text, scenario, seen, sheets).offers,
        }
    }

    /// The next of what can follow is put in.
    pub fn complete(&mut self, scenario: &Scenario, seen: &Indicated, sheets: &Sheets) {
        let (from, offers, k) = match self.offered.take() {
            Some((from, offers, k)) => {
                let next = (k + 1) % offers.len();
                (from, offers, next)
            }
            None => {
                let completion = complete(&self.text, scenario, seen, sheets);
                (completion.from, completion.offers, 0)
            }
        };
        let Some(offer) = offers.get(k) else { return };
        self.text.truncate(from);
        if !self.text.is_empty() && !self.text.ends_with(' ') {
            self.text.push(' ');
        }
        self.text.push_str(offer);
        if offers.len() == 1 {
            self.text.push(' ');
        }
        self.at = self.text.chars().count();
        self.offered = (offers.len() > 1).then_some((from, offers, k));
    }
}
