//! A bench for the screen: frames of it without a device, with keys and pointer given by hand.

use bevy_egui::egui::epaint::ClippedShape;
use bevy_egui::egui::{
    Context, Event, Key, LayerId, Modifiers, Order, PointerButton, Pos2, RawInput, Rect, Response,
    Shape, vec2,
};
use deepstay::units::CompartmentId;
use deepstay_viz::screen::Screen;
use std::time::Instant;

/// The bench.
pub struct Bench {
    pub screen: Screen,
    context: Context,
    size: (f32, f32),
    shapes: Vec<ClippedShape>,
    time: f64,
}

/// Words on the screen.
pub struct Text {
    pub words: String,
    pub place: Rect,
    pub clip: Rect,
    pub size: f32,
}

impl Text {
    /// What of them is seen.
    pub fn seen(&self) -> Rect {
        self.place.intersect(self.clip)
    }
}

impl Bench {
    pub fn new(screen: Screen, size: (f32, f32)) -> Bench {
        let mut bench = Bench {
            screen,
            context: Context::default(),
            size,
            shapes: Vec::new(),
            time: 0.0,
        };
        bench.step();
        bench.step();
        bench
    }

    pub fn step(&mut self) {
        self.happens(Vec::new());
    }

    pub fn happens(&mut self, events: Vec<Event>) {
        self.time += 1.0 / 60.0;
        let (width, height) = self.size;
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, vec2(width, height))),
            time: Some(self.time),
            events,
            focused: true,
            ..RawInput::default()
        };
        self.context.begin_pass(input);
        self.screen.frame(&self.context, Instant::now());
        let mut output = self.context.end_pass();
        output.textures_delta.clear();
        self.shapes = output.shapes;
    }

    /// Letters are typed, one a frame.
    pub fn types(&mut self, text: &str) {
        for sign in text.chars() {
            self.happens(vec![Event::Text(sign.to_string())]);
        }
        self.step();
    }

    pub fn presses(&mut self, key: Key, modifiers: Modifiers) {
        for pressed in [true, false] {
            self.happens(vec![Event::Key {
                key,
                physical_key: None,
                pressed,
                repeat: false,
                modifiers,
            }]);
        }
        self.step();
    }

    /// The keyboard goes on until it has reached what is at a place.
    pub fn goes_to(&mut self, at: Pos2) {
        for _ in 0..120 {
            self.presses(Key::Tab, Modifiers::NONE);
            let focused = self.context.memory(|m| m.focused());
            let reached = focused.and_then(|id| self.context.read_response(id));
            // Of what lies over each other the uppermost, and of a list what it is a list of.
            let of_list = |layer: LayerId| layer.order != Order::Background;
            let in_list = self.context.layer_id_at(at).is_some_and(of_list);
            let there = |r: &Response| {
                r.rect.contains(at) && r.rect.height() < 40.0 && of_list(r.layer_id) == in_list
            };
            if reached.as_ref().is_some_and(there) {
                return;
            }
        }
        panic!("the keyboard does not come to {at:?}");
    }

    pub fn clicks(&mut self, at: Pos2) {
        self.drags(at, at);
    }

    pub fn drags(&mut self, from: Pos2, to: Pos2) {
        let button = |pos, pressed| Event::PointerButton {
            pos,
            button: PointerButton::Primary,
            pressed,
            modifiers: Modifiers::NONE,
        };
        self.happens(vec![Event::PointerMoved(from)]);
        self.happens(vec![button(from, true)]);
        self.happens(vec![Event::PointerMoved(to)]);
        self.happens(vec![button(to, false)]);
        self.step();
        self.step();
    }

    /// Time passes to a second.
    pub fn passes(&mut self, to_s: i64) {
        self.screen.stage.live_to(to_s);
        self.step();
    }

    pub fn texts(&self) -> Vec<Text> {
        let mut texts = Vec::new();
        for clipped in &self.shapes {
            collect(&clipped.shape, clipped.clip_rect, &mut texts);
        }
        texts.retain(|t| t.seen().width() > 0.5 && t.seen().height() > 0.5);
        texts
    }

    pub fn words(&self) -> Vec<String> {
        self.texts().into_iter().map(|t| t.words).collect()
    }

    /// The middle of the first words that are these.
    pub fn place(&self, words: &str) -> Option<Pos2> {
        let texts = self.texts();
        let found = texts.iter().find(|t| t.words == words)?;
        Some(found.place.center())
    }

    pub fn vessel(&self, name: &str) -> CompartmentId {
        let plates = &self.screen.stage.scenario().steel.compartments;
        let at = plates.iter().position(|p| p.name == name);
        CompartmentId(u8::try_from(at.expect("there")).expect("few"))
    }
}

fn collect(shape: &Shape, clip: Rect, texts: &mut Vec<Text>) {
    match shape {
        Shape::Vec(all) => all.iter().for_each(|shape| collect(shape, clip, texts)),
        Shape::Text(text) => {
            let sections = text.galley.job.sections.iter();
            let size = sections
                .map(|s| s.format.font_id.size)
                .fold(f32::INFINITY, f32::min);
            for row in &text.galley.rows {
                let words: String = row.glyphs.iter().map(|g| g.chr).collect();
                let inked = row.glyphs.iter().filter(|g| !g.chr.is_whitespace());
                let ends = inked.map(|g| (g.pos.x, g.pos.x + g.advance_width));
                let (from, to) = ends.fold((f32::INFINITY, f32::NEG_INFINITY), |all, one| {
                    (all.0.min(one.0), all.1.max(one.1))
                });
                if from > to {
                    continue;
                }
                let corner = text.pos + row.pos.to_vec2();
                texts.push(Text {
                    words: words.trim().to_owned(),
                    place: Rect::from_min_max(
                        corner + vec2(from, 0.0),
                        corner + vec2(to, row.size.y),
                    ),
                    clip,
                    size,
                });
            }
        }
        _ => {}
    }
}
