//! What the keys do.

use super::{Screen, units};
use crate::panel::Page;
use crate::stage::WayIn;
use crate::timeline::Zoom;
use bevy_egui::egui::{Context, Event, Key, Modifiers};
use deepstay::units::CompartmentId;
use deepstay::watch::{SPANS_S, TRENDS, VerbInfo, info};

/// Seconds that an arrow key goes.
const STEP_S: i64 = 60;
/// The same with the shift key.
const LONG_STEP_S: i64 = 3600;

impl Screen {
    /// Takes what was pressed since the last frame; while somebody types, the order line takes it.
    pub(super) fn keys(&mut self, context: &Context) {
        if self.order.is_open() {
            return;
        }
        let events = context.input(|i| i.events.clone());
        // What the keyboard has gone to takes arrows and space.
        let gone_to = context.memory(|m| m.focused()).is_some();
        for event in events {
            match event {
                Event::Text(text) if gone_to && text == " " => {}
                Event::Key {
                    key: Key::ArrowLeft | Key::ArrowRight | Key::ArrowUp | Key::ArrowDown,
                    ..
                } if gone_to => {}
                // What follows in the same frame, where a frame is slow, is typed into the line that was just opened.
                Event::Text(text) if self.order.is_open() => self.order.push(&text),
                _ if self.order.is_open() => {}
                Event::Key {
                    key,
                    pressed: true,
                    modifiers,
                    ..
                } => self.key(key, modifiers),
                Event::Text(text) => {
                    if let Some(sign) = text.chars().next() {
                        self.sign(sign);
                    }
                }
                _ => {}
            }
        }
        if self.order.is_open() {
            context.input_mut(|i| i.events.retain(|e| !matches!(e, Event::Text(_))));
        }
    }

    fn key(&mut self, key: Key, modifiers: Modifiers) {
        let step = match key {
            Key::ArrowLeft => -1,
            Key::ArrowRight => 1,
            _ => 0,
        };
        match key {
            Key::ArrowLeft | Key::ArrowRight if modifiers.command => {
                self.stage.next_event(step > 0);
            }
            Key::ArrowLeft | Key::ArrowRight if modifiers.shift => {
                self.stage.step(step * LONG_STEP_S);
            }
            Key::ArrowLeft | Key::ArrowRight => self.stage.step(step * STEP_S),
            Key::Home => self.stage.show(i64::MIN),
            Key::End => self.stage.show(i64::MAX),
            Key::ArrowUp | Key::ArrowDown => {
                let count = self.stage.seen().vessels.len().max(1);
                let by = if key == Key::ArrowDown { 1 } else { count - 1 };
                let next = (self.set.vessel.index() + by) % count;
                self.set.vessel = CompartmentId(u8::try_from(next).unwrap_or(0));
            }
            Key::F2 => {
                self.zoom = match self.zoom {
                    Zoom::Job => Zoom::Day,
                    Zoom::Day => Zoom::Hour,
                    Zoom::Hour => Zoom::Job,
                };
            }
            Key::F3 => self.truth = self.stage.way() == WayIn::Back && !self.truth,
            Key::F4 => self.settings.panel = !self.settings.panel,
            Key::F5 => self.settings.contrast = !self.settings.contrast,
            Key::F7 => self.settings.gases = self.settings.gases.next(),
            Key::F6 => self.settings.still = !self.settings.still,
            Key::Plus | Key::Equals if modifiers.command => self.scale(0.1),
            Key::Minus if modifiers.command => self.scale(-0.1),
            _ => {}
        }
    }

    fn sign(&mut self, sign: char) {
        match sign {
            ' ' => {
                let (runs, _) = self.stage.pace();
                self.stage.play(!runs);
            }
            '[' => self.stage.change_speed(false),
            ']' => self.stage.change_speed(true),
            'f' => self.stage.show(i64::MAX),
            'u' => {
                self.settings.imperial = !self.settings.imperial;
                self.stage.set_units(units(self.settings.imperial));
            }
            '?' => self.open(Page::Keys),
            ':' => self.order.begin("", false),
            'J' => self.order.begin("", true),
            'c' => {
                self.stage.line("silence");
                self.stage.line("ack all");
            }
            '+' => self.set.trend = (self.set.trend + 1) % TRENDS.len(),
            '-' => self.set.trend = (self.set.trend + TRENDS.len() - 1) % TRENDS.len(),
            '>' => self.set.span = (self.set.span + 1).min(SPANS_S.len() - 1),
            '<' => self.set.span = self.set.span.saturating_sub(1),
            'Q' => self.leaving = true,
            '1'..='6' => {
                let k = sign as usize - '1' as usize;
                self.open(Page::NUMBERED[k]);
            }
            sign => {
                if let Some(verb) = self.stage.keys().verb(sign) {
                    self.verb_key(info(verb));
                }
            }
        }
    }

    /// A verb's key begins its line; a verb that wants no more is done.
    fn verb_key(&mut self, row: &VerbInfo) {
        match row.begun(&self.stage.vessel(self.set.vessel)) {
            None => self.stage.line(row.name),
            Some(begun) => self.order.begin(&begun, false),
        }
    }
}
