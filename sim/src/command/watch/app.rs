//! The watch on the terminal: what is shown, and what the keys do.

use super::editor::Editor;
use crate::job::Indicated;
use crate::record::Phase;
use crate::rules::Provenance;
use crate::units::{CompartmentId, Units};
use crate::watch::{OnWatch, SPANS_S, TRENDS, VerbInfo, info};
use crate::words::Words;
use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use std::time::Instant;

/// A page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Page {
    /// All vessels.
    All,
    /// One vessel.
    One,
    /// Gas.
    Gas,
    /// Bell and divers.
    Bell,
    /// Alarms.
    Alarms,
    /// Readings hour by hour.
    Readings,
    /// What the next watch has to know.
    Handover,
    /// Check sheets.
    Sheets,
    /// Keys and verbs.
    Help,
}

impl Page {
    /// The pages that have a number, in their order.
    pub const NUMBERED: [Page; 8] = [
        Page::All,
        Page::One,
        Page::Gas,
        Page::Bell,
        Page::Alarms,
        Page::Readings,
        Page::Handover,
        Page::Sheets,
    ];

    /// What it is called, by the question it answers.
    pub fn title(self) -> &'static str {
        match self {
            Page::All => "how they live",
            Page::One => "one vessel",
            Page::Gas => "gas",
            Page::Bell => "bell and divers",
            Page::Alarms => "alarms",
            Page::Readings => "log sheet",
            Page::Handover => "handover",
            Page::Sheets => "check sheets",
            Page::Help => "keys and verbs",
        }
    }
}

/// What is being typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Typing {
    /// Nothing: keys act.
    Nothing,
    /// An order.
    Order,
    /// A time to jump back to.
    Jump,
}

/// The watch.
pub struct App {
    /// The session, its clock, and what was said last.
    pub watch: OnWatch,
    /// Units on the screen.
    pub units: Units,
    /// What is shown.
    pub page: Page,
    /// The vessel chosen.
    pub vessel: usize,
    /// What is being typed.
    pub typing: Typing,
    /// The order line.
    pub editor: Editor,
    held: Option<Indicated>,
    /// The trend shown: of which quantity, and how long, by their places.
    pub trend: (usize, usize),
    /// How far a page is turned on.
    pub turned: usize,
    /// Rows of the rule set, by their numbers.
    pub rows: Vec<Provenance>,
    /// The check sheet chosen.
    pub sheet: usize,
    leaving: bool,
}

impl App {
    /// Just sat down.
    pub fn new(watch: OnWatch, units: Units) -> App {
        App {
            rows: watch.session.scenario().rules.row_list(),
            watch,
            units,
            page: Page::All,
            vessel: 0,
            typing: Typing::Nothing,
            editor: Editor::default(),
            held: None,
            trend: (0, 1),
            turned: 0,
            sheet: 0,
            leaving: false,
        }
    }

    /// What is drawn: what the watch sees now, or saw when the display was held.
    pub fn seen(&self) -> Indicated {
        self.held
            .clone()
            .unwrap_or_else(|| self.watch.session.indicated())
    }

    /// Whether the display is held.
    pub fn holds_display(&self) -> bool {
        self.held.is_some()
    }

    /// The vessel chosen.
    pub fn at(&self) -> CompartmentId {
        CompartmentId(u8::try_from(self.vessel).unwrap_or(0))
    }

    /// The level of the plan that a vessel belongs to.
    pub fn level_of(&self, at: CompartmentId) -> Option<usize> {
        let levels = &self.watch.session.scenario().plan.levels;
        levels.iter().position(|l| l.members.contains(&at))
    }

    /// What a vessel is said to do, after its name; nothing of one that no level holds.
    pub fn phase(&self, at: CompartmentId, phase: Phase) -> String {
        let level = self.level_of(at);
        level.map_or(String::new(), |_| format!(": {}", phase.words()))
    }

    /// Its name.
    pub fn vessel_name(&self) -> &str {
        let vessels = &self.watch.session.scenario().steel.compartments;
        vessels.get(self.vessel).map_or("", |c| &c.name)
    }

    /// Whether the person leaves.
    pub fn leaves(&self) -> bool {
        self.leaving
    }

    /// A key.
    pub fn key(&mut self, key: KeyEvent) {
        if key.modifiers.contains(KeyModifiers::CONTROL) {
            match key.code {
                KeyCode::Char('c') if self.typing == Typing::Nothing => self.leaving = true,
                KeyCode::Char('c') => self.typing = Typing::Nothing,
                _ => {}
            }
            return;
        }
        match self.typing {
            Typing::Nothing => self.panel_key(key.code),
            Typing::Order | Typing::Jump => self.line_key(key.code),
        }
    }

    fn panel_key(&mut self, key: KeyCode) {
        match key {
            KeyCode::Char(' ') => {
                let runs = !self.watch.clock.runs() && !self.watch.session.is_over();
                self.watch.clock.run(runs, Instant::now());
                let done = self.watch.session.mark();
                self.watch.written(done);
            }
            KeyCode::Char('[') => self.watch.clock.change(false),
            KeyCode::Char(']') => self.watch.clock.change(true),
            KeyCode::Char('f') => {
                self.held = match self.held {
                    Some(_) => None,
                    None => Some(self.watch.session.indicated()),
                };
            }
            KeyCode::Char('u') => {
                self.units = match self.units {
                    Units::Metric => Units::Imperial,
                    Units::Imperial => Units::Metric,
                };
            }
            KeyCode::Char('?') => self.turn_to(Page::Help),
            KeyCode::Esc => self.turn_to(Page::All),
            KeyCode::Char('Q') => self.leaving = true,
            KeyCode::Char(':') => {
                self.editor.put("");
                self.typing = Typing::Order;
            }
            KeyCode::Char('J') => {
                self.editor.put("");
                self.typing = Typing::Jump;
            }
            KeyCode::Char('c') => {
                self.watch.line("silence");
                self.watch.line("ack all");
            }
            KeyCode::Char('+') => self.trend.0 = (self.trend.0 + 1) % TRENDS.len(),
            KeyCode::Char('-') => {
                self.trend.0 = (self.trend.0 + TRENDS.len() - 1) % TRENDS.len();
            }
            KeyCode::Char('>') => self.trend.1 = (self.trend.1 + 1).min(SPANS_S.len() - 1),
            KeyCode::Char('<') => self.trend.1 = self.trend.1.saturating_sub(1),
            KeyCode::PageUp => self.turned = self.turned.saturating_add(10),
            KeyCode::PageDown => self.turned = self.turned.saturating_sub(10),
            KeyCode::Up | KeyCode::Down => {
                let (chosen, count) = match self.page {
                    Page::Sheets => (&mut self.sheet, self.watch.kit.sheets.checks.len().max(1)),
                    _ => {
                        let vessels = &self.watch.session.scenario().steel.compartments;
                        (&mut self.vessel, vessels.len())
                    }
                };
                let by = if key == KeyCode::Down { 1 } else { count - 1 };
                *chosen = (*chosen + by) % count;
            }
            KeyCode::Char(c @ '1'..='8') => {
                let k = c as usize - '1' as usize;
                self.turn_to(Page::NUMBERED[k]);
            }
            KeyCode::Char(c) => {
                if let Some(verb) = self.watch.kit.keys.verb(c) {
                    self.verb_key(info(verb));
                }
            }
            _ => {}
        }
    }

    fn turn_to(&mut self, page: Page) {
        self.page = page;
        self.turned = 0;
    }

    /// A verb's key begins its line; a verb that wants no more is done.
    fn verb_key(&mut self, row: &VerbInfo) {
        match row.begun(self.vessel_name()) {
            None => self.watch.line(row.name),
            Some(begun) => {
                self.editor.put(&begun);
                self.typing = Typing::Order;
            }
        }
    }

    fn line_key(&mut self, key: KeyCode) {
        match key {
            KeyCode::Esc => self.typing = Typing::Nothing,
            KeyCode::Enter => {
                let line = self.editor.take();
                match self.typing {
                    Typing::Jump => {
                        self.watch.jump(&line);
                        self.held = None;
                    }
                    _ => self.watch.line(&line),
                }
                self.typing = Typing::Nothing;
            }
            KeyCode::Tab => {
                let scenario = self.watch.session.scenario().clone();
                let seen = self.watch.session.indicated();
                self.editor
                    .complete(&scenario, &seen, &self.watch.kit.sheets);
            }
            KeyCode::Backspace if self.editor.text().is_empty() => self.typing = Typing::Nothing,
            KeyCode::Backspace => self.editor.rub_out(),
            KeyCode::Left => self.editor.step(false),
            KeyCode::Right => self.editor.step(true),
            KeyCode::Home => self.editor.go_to_end(false),
            KeyCode::End => self.editor.go_to_end(true),
            KeyCode::Up => self.editor.recall(true),
            KeyCode::Down => self.editor.recall(false),
            KeyCode::Char(sign) => self.editor.insert(sign),
            _ => {}
        }
    }
}
