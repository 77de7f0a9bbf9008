//! The order line: what is being typed, what it may go on with, and what was typed before.

use super::theme::Pen;
use bevy_egui::egui::{self, Key, Modifiers, TextEdit, Ui};

/// The order line.
#[derive(Clone, Debug, Default)]
pub struct OrderLine {
    /// What is typed.
    pub text: String,
    /// It is a time to go to.
    pub is_time: bool,
    open: bool,
    begun: bool,
    /// The keyboard came to it on its way, and goes on while nothing is typed.
    passing: bool,
    history: Vec<String>,
    recalled: Option<usize>,
}

/// What came of typing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Typed {
    /// Nothing yet.
    Nothing,
    /// A line is said.
    Line(String),
    /// A time to go to.
    Time(String),
}

impl OrderLine {
    /// Begins a line with some words.
    pub fn begin(&mut self, words: &str, is_time: bool) {
        words.clone_into(&mut self.text);
        self.is_time = is_time;
        self.open = true;
        self.begun = true;
        self.passing = false;
    }

    /// Letters typed before the line could take them.
    pub fn push(&mut self, letters: &str) {
        self.text.push_str(letters);
    }

    /// Whether somebody types.
    pub fn is_open(&self) -> bool {
        self.open
    }

    /// Draws it; `offers` are the words that may stand where the line ends.
    pub fn draw(&mut self, ui: &mut Ui, pen: &Pen, offers: &[String]) -> Typed {
        if self.open && !self.is_time && !offers.is_empty() {
            let shown: Vec<&str> = offers.iter().take(8).map(String::as_str).collect();
            ui.label(pen.faint(&shown.join("  ")));
        }
        let id = egui::Id::new("order line");
        let mut typed = Typed::Nothing;
        let passing = self.passing && self.text.is_empty();
        if self.open && !passing {
            let none = Modifiers::NONE;
            let pressed = |key| ui.input_mut(|i| i.consume_key(none, key));
            if pressed(Key::Escape) {
                self.open = false;
                ui.memory_mut(|m| m.surrender_focus(id));
            } else if pressed(Key::Tab) {
                self.complete(offers);
                self.begun = true;
            } else if pressed(Key::ArrowUp) {
                self.recall(true);
            } else if pressed(Key::ArrowDown) {
                self.recall(false);
            } else if pressed(Key::Enter) {
                let line = std::mem::take(&mut self.text);
                self.open = false;
                ui.memory_mut(|m| m.surrender_focus(id));
                if !line.trim().is_empty() {
                    typed = match self.is_time {
                        true => Typed::Time(line),
                        false => {
                            self.history.push(line.clone());
                            Typed::Line(line)
                        }
                    };
                }
                self.recalled = None;
            }
        }
        let hint = match self.is_time {
            true => "a time, such as D02 14:00, or 20 min",
            false => "an order (key :)",
        };
        let edit = TextEdit::singleline(&mut self.text)
            .id(id)
            .lock_focus(!passing)
            .font(egui::TextStyle::Monospace)
            .hint_text(hint)
            .desired_width(f32::INFINITY);
        let output = edit.show(ui);
        if output.response.response.gained_focus() || output.response.response.clicked() {
            self.passing = !self.open;
            self.open = true;
        }
        if self.begun {
            self.begun = false;
            ui.memory_mut(|m| m.request_focus(id));
            let mut state = output.state;
            let end = egui::text::CCursor::new(self.text.chars().count());
            let range = egui::text::CCursorRange::one(end);
            state.cursor.set_char_range(Some(range));
            state.store(ui.ctx(), id);
        } else if self.open && output.response.response.lost_focus() {
            self.open = false;
        }
        typed
    }

    /// Puts the first word that is offered in the place of the last begun.
    fn complete(&mut self, offers: &[String]) {
        let Some(offer) = offers.first() else {
            return;
        };
        let ends = self.text.ends_with(char::is_whitespace) || self.text.is_empty();
        if !ends {
            let begun = self.text.rfind(char::is_whitespace).map_or(0, |k| k + 1);
            self.text.truncate(begun);
        }
        self.text.push_str(offer);
        self.text.push(' ');
    }

    /// The line typed before, or after.
    fn recall(&mut self, before: bool) {
        let count = self.history.len();
        if count == 0 {
            return;
        }
        let k = match (self.recalled, before) {
            (None, true) => count - 1,
            (None, false) => return,
            (Some(k), true) => k.saturating_sub(1),
            (Some(k), false) => (k + 1).min(count - 1),
        };
        self.recalled = Some(k);
        self.text.clone_from(&self.history[k]);
        self.begun = true;
    }
}
