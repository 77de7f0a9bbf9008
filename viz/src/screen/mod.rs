//! The screen: picture, panel and timeline of one stage, what keys and pointer do to them, and how a frame of it is made.
//! Nothing here knows whether it is a window or a picture without one ([`window`], [`pictures`]).

mod device;
mod keys;
pub mod pictures;
mod shapes;
pub mod window;

pub use device::{NoDevice, adapter};

use crate::drawing::{Anchor, Drawing, Mark, Palette};
use crate::panel::theme::{self, Pen, TEXT, colour};
use crate::panel::{self, Board, Deed, OrderLine, Page, Set};
use crate::scene::{BELL, Beside, Layout, scene};
use crate::settings::{LEAST, SCALES, Settings};
use crate::stage::{Stage, WayIn};
use crate::timeline::{self, Course, Zoom};
use bevy_egui::egui::{
    self, Context, FontFamily, FontId, LayerId, Pos2, Rect, Sense, Ui, UiBuilder, pos2, vec2,
};
use deepstay::units::{BankId, CompartmentId, Duty, Quantity, Units};
use deepstay::watch::shown::asked;
use deepstay::watch::{SPANS_S, TRENDS};
use deepstay::words::Names;
use std::time::{Duration, Instant};

/// Width of the panel, points.
const PANEL: f32 = 392.0;
/// From this width on there is room for a second page beside the first.
const TWO_PAGES: f32 = 1700.0;
/// How long a frame may run a job ahead while time passes, and while it stands.
const AHEAD: [Duration; 2] = [Duration::from_micros(500), Duration::from_millis(8)];

/// The screen.
pub struct Screen {
    /// What is looked at.
    pub stage: Stage,
    set: Set,
    order: OrderLine,
    zoom: Zoom,
    /// The truth is shown in the picture, of a watch that is looked back on.
    truth: bool,
    /// What somebody has set for himself.
    pub settings: Settings,
    dressed: Option<Palette>,
    /// Seconds that what moves in the picture has moved.
    moved_s: f64,
    /// How long a frame may run a job ahead of what is shown, as [`AHEAD`] has it.
    ahead: [Duration; 2],
    leaving: bool,
}

impl Screen {
    /// Of a stage.
    pub fn new(mut stage: Stage, settings: Settings) -> Screen {
        stage.set_units(units(settings.imperial));
        let first = stage.scenario().plan.levels.first();
        let vessel = first.and_then(|level| level.members.first().copied());
        Screen {
            stage,
            set: Set {
                page: Page::Vessel,
                vessel: vessel.unwrap_or(CompartmentId(0)),
                trend: 0,
                span: 1,
            },
            order: OrderLine::default(),
            zoom: Zoom::Job,
            truth: false,
            settings,
            dressed: None,
            moved_s: 0.0,
            ahead: AHEAD,
            leaving: false,
        }
    }

    /// No job is run ahead of what is shown: the same moment is the same picture, however fast the machine is.
    pub fn runs_nothing_ahead(&mut self) {
        self.ahead = [Duration::ZERO; 2];
    }

    /// Whether somebody leaves.
    pub fn leaves(&self) -> bool {
        self.leaving
    }

    /// The page shown.
    pub fn page(&self) -> Page {
        self.set.page
    }

    /// Shows a page.
    pub fn open(&mut self, page: Page) {
        self.set.page = page;
    }

    /// How much of the job the timeline shows.
    pub fn zoom(&mut self, zoom: Zoom) {
        self.zoom = zoom;
    }

    fn palette(&self) -> Palette {
        match self.settings.contrast {
            true => Palette::Strong,
            false => Palette::Calm,
        }
    }

    /// A frame: time passes, keys and pointer do what they do, the panel is drawn, and the picture comes back for whoever
    /// draws shapes.
    pub fn frame(&mut self, context: &Context, now: Instant) -> Drawing {
        let palette = self.palette();
        match self.dressed {
            None => theme::dress(context, palette),
            Some(before) if before != palette => theme::look(context, palette),
            Some(_) => {}
        }
        let fonts_come_next_frame = self.dressed.is_none();
        self.dressed = Some(palette);
        if (context.zoom_factor() - self.settings.scale).abs() > 1e-3 {
            context.set_zoom_factor(self.settings.scale);
        }
        let stands = usize::from(!self.stage.pace().0);
        self.stage.tick(now, self.ahead[stands]);
        if self.stage.pace().0 && !self.settings.still {
            self.moved_s += f64::from(context.input(|i| i.stable_dt)).min(0.1);
        }
        if fonts_come_next_frame {
            return Drawing::new(0.0, 0.0);
        }
        self.keys(context);
        let whole = context.viewport_rect();
        let builder = UiBuilder::new()
            .layer_id(LayerId::background())
            .max_rect(whole);
        let mut root = Ui::new(context.clone(), "screen".into(), builder);
        if whole.width() < LEAST.0 || whole.height() < LEAST.1 {
            return self.too_small(&mut root, whole);
        }
        let columns = match (self.settings.panel, whole.width() >= TWO_PAGES) {
            (false, _) => 0.0,
            (true, false) => 1.0,
            (true, true) => 2.0,
        };
        let split = whole.right() - columns * PANEL;
        let strips = whole.bottom() - timeline::HEIGHT as f32;
        let drawing = self.picture(whole, split, strips);
        words(&root, &drawing, palette);
        self.pointer(&mut root, whole, split, strips);
        let top = crate::scene::HEAD as f32 + 1.0;
        let panel = Rect::from_min_max(pos2(split, top), pos2(whole.right(), strips));
        if columns > 0.0 {
            self.panel(&mut root, panel, columns > 1.0);
        }
        drawing
    }

    /// A window in which nothing could be read says so.
    fn too_small(&self, root: &mut Ui, whole: Rect) -> Drawing {
        let pen = Pen::new(root, self.palette());
        pen.fill(whole, crate::drawing::Ink::Cut);
        let words = format!(
            "{}\nThe window needs {} by {} points; this one has {:.0} by {:.0}. Time and journal go on.",
            self.stage.clock(),
            LEAST.0,
            LEAST.1,
            whole.width(),
            whole.height()
        );
        let inner = whole.shrink(12.0);
        root.scope_builder(UiBuilder::new().max_rect(inner), |ui| ui.label(words));
        Drawing::new(0.0, 0.0)
    }

    /// Picture and timeline.
    fn picture(&self, whole: Rect, split: f32, strips: f32) -> Drawing {
        let stage = &self.stage;
        let size = (f64::from(split), f64::from(strips));
        let (runs, speed) = stage.pace();
        let first = match (self.truth, stage.way()) {
            (true, _) => Some("TRUE".to_owned()),
            (false, WayIn::Sit) if stage.shows_the_past() => Some("AS IT WAS".to_owned()),
            (false, WayIn::Back) => Some("looking back".to_owned()),
            _ => None,
        };
        let over = stage.truth().filter(|_| self.truth);
        let beside = Beside {
            speed: match runs {
                true => format!("x{speed}"),
                false => format!("time stands (x{speed})"),
            },
            first,
            moved_s: self.moved_s,
            work: stage.work().to_vec(),
            gases: self.settings.gases,
            fitness: over.map_or(Vec::new(), |truth| {
                truth.divers.iter().map(|(_, how)| *how).collect()
            }),
        };
        let truly = over.map(|truth| truth.over(stage.seen()));
        let seen = truly.as_ref().unwrap_or(stage.seen());
        let width = f64::from(whole.width());
        let mut drawing = scene(
            stage.scenario(),
            seen,
            stage.units(),
            size,
            (width, &beside),
        );
        drawing.size = (width, f64::from(whole.height()));
        let acts = stage.acts();
        timeline::draw(&mut drawing, self.course(&acts), f64::from(strips));
        drawing
    }

    fn course<'a>(&'a self, acts: &'a [i64]) -> Course<'a> {
        Course {
            scenario: self.stage.scenario(),
            told: self.stage.told(),
            trend: self.stage.trend(),
            acts,
            now_s: self.stage.shown_s(),
            reached_s: self.stage.reached_s(),
            zoom: self.zoom,
        }
    }

    /// What a pointer does on picture and timeline: a vessel is chosen; the moment is dragged.
    fn pointer(&mut self, root: &mut Ui, whole: Rect, split: f32, strips: f32) {
        let field = Rect::from_min_max(pos2(0.0, strips), whole.max);
        let dragged = root.interact(field, "timeline".into(), Sense::CLICK | Sense::DRAG);
        if let Some(at) = dragged.interact_pointer_pos() {
            let acts = self.stage.acts();
            let width = f64::from(whole.width());
            let at_s = timeline::second_at(self.course(&acts), width, f64::from(at.x));
            self.stage.play(false);
            self.stage.show(at_s);
        }
        let picture = Rect::from_min_max(pos2(0.0, 0.0), pos2(split, strips));
        let pressed = root.interact(picture, "picture".into(), Sense::CLICK);
        let size = (f64::from(split), f64::from(strips));
        let under = pressed.hover_pos().map(|at| self.under(at, size));
        let (vessel, bank) = under.unwrap_or_default();
        if let Some(bank) = bank {
            if pressed.clicked() {
                self.set.page = Page::Gas;
            }
            let stage = &self.stage;
            let shown = &stage.seen().banks[bank.index()];
            let duty = stage.scenario().steel.banks[bank.index()].duty;
            let (air, helium) = (duty == Duty::Air, duty != Duty::Oxygen);
            let (_, letters) = self.settings.gases.chip(shown.label_o2, air, helium);
            let gauge = stage.units().scale(Quantity::GaugePressure);
            let bar = shown.gauge_bar;
            let held = bar.map_or("no gauge".to_owned(), |bar| gauge.plain_text(bar));
            let name = stage.scenario().bank(bank);
            let words = format!("{name}: {letters} by its label, {held}; press for the lines");
            pressed.on_hover_text_at_pointer(words);
        } else if let Some(vessel) = vessel {
            if pressed.clicked() {
                self.set.vessel = vessel;
                self.set.page = Page::Vessel;
            }
            let words = format!("{}: press for its readings", self.stage.vessel(vessel));
            pressed.on_hover_text_at_pointer(words);
        }
    }

    /// The vessel and the bank of the picture that a pointer is on.
    fn under(&self, at: Pos2, size: (f64, f64)) -> (Option<CompartmentId>, Option<BankId>) {
        let scenario = self.stage.scenario();
        let layout = Layout::of(&scenario.steel, scenario.site.seabed_msw, size);
        let point = kurbo::Point::new(f64::from(at.x), f64::from(at.y));
        let mut bells = layout.pools.iter().filter(|pool| {
            let wire_msw = self.stage.seen().wire_msw(pool.bell);
            layout.bell_at(pool, wire_msw).distance(point) <= BELL
        });
        let mut places = (0u8..).map(CompartmentId).zip(&layout.places);
        let mut banks = (0u8..).map(BankId).zip(&layout.banks);
        let place = places.find(|(_, place)| place.is_some_and(|p| p.contains(point)));
        let bell = bells.next().map(|pool| pool.bell);
        let bank = banks.find(|(_, place)| place.contains(point));
        (bell.or(place.map(|(c, _)| c)), bank.map(|(b, _)| b))
    }

    fn panel(&mut self, root: &mut Ui, rect: Rect, two: bool) {
        let palette = self.palette();
        let pen = Pen::new(root, palette);
        pen.fill(rect, crate::drawing::Ink::Cut);
        let edge = [rect.left_top(), rect.left_bottom()];
        pen.line(&edge, 1.0, crate::drawing::Ink::Wall);
        let mut deeds = Vec::new();
        let inner = rect.shrink2(vec2(14.0, 8.0));
        let (foot, said) = (34.0, self.said_height(root, inner.width()));
        let offers = match self.order.is_open() {
            true => self.stage.offers(&self.order.text),
            false => Vec::new(),
        };
        let offered = if offers.is_empty() { 0.0 } else { 44.0 };
        let page = Rect::from_min_max(
            inner.min,
            inner.max - vec2(0.0, foot + said + offered + 6.0),
        );
        let halves = match two {
            false => vec![(page, self.set.page)],
            true => {
                let middle = rect.center().x;
                let left = Rect::from_min_max(page.min, pos2(middle - 14.0, page.bottom()));
                let right = Rect::from_min_max(pos2(middle + 14.0, page.top()), page.max);
                let beside = match self.set.page {
                    Page::Vessel => Page::Log,
                    page => page,
                };
                vec![(left, Page::Vessel), (right, beside)]
            }
        };
        for (k, (field, page)) in halves.into_iter().enumerate() {
            let board = self.board(Set { page, ..self.set });
            let last = k + 1 == if two { 2 } else { 1 };
            root.scope_builder(UiBuilder::new().max_rect(field).id_salt(k), |ui| {
                ui.set_clip_rect(field.expand(4.0));
                if last {
                    panel::pages(ui, &board, &mut deeds);
                    self.needs(ui, &pen);
                    ui.add_space(4.0);
                }
                egui::ScrollArea::vertical()
                    .id_salt(("page", k, page.name()))
                    .auto_shrink(false)
                    .show(ui, |ui| panel::page(ui, &board, &mut deeds));
            });
        }
        let below = Rect::from_min_max(
            pos2(inner.left(), inner.bottom() - foot - said - offered),
            inner.max,
        );
        let typed = {
            let (order, stage) = (&mut self.order, &self.stage);
            let mut typed = panel::Typed::Nothing;
            root.scope_builder(UiBuilder::new().max_rect(below).id_salt("foot"), |ui| {
                ui.set_clip_rect(below.expand(4.0));
                if let Some((said, bad)) = stage.said() {
                    let words = match bad {
                        true => pen.strong(said),
                        false => egui::RichText::new(said),
                    };
                    ui.label(words);
                }
                typed = order.draw(ui, &pen, &offers);
            });
            typed
        };
        match typed {
            panel::Typed::Nothing => {}
            panel::Typed::Line(line) => self.stage.line(&line),
            panel::Typed::Time(line) => self.stage.jump(&line),
        }
        for deed in deeds {
            self.does(deed);
        }
    }

    /// How high what was said last stands, points: all of it, in as many lines as it takes.
    fn said_height(&self, root: &Ui, width: f32) -> f32 {
        let Some((said, bad)) = self.stage.said() else {
            return 0.0;
        };
        let family = match bad {
            true => theme::strong(),
            false => FontFamily::Proportional,
        };
        let face = FontId::new(TEXT, family);
        let ink = colour(crate::drawing::Ink::Line, self.palette());
        let galley = root.painter().layout(said.to_owned(), face, ink, width);
        galley.size().y + 6.0
    }

    /// What the other station waits for, over every page.
    fn needs(&self, ui: &mut Ui, pen: &Pen) {
        for request in &self.stage.seen().requests {
            ui.label(pen.strong(&asked(self.stage.scenario(), request)));
        }
    }

    fn board(&self, set: Set) -> Board<'_> {
        let stage = &self.stage;
        Board {
            scenario: stage.scenario(),
            seen: stage.seen(),
            work: stage.work(),
            feed: stage.feed(),
            log: stage.log(),
            trend: stage.trend(),
            truth: stage.truth(),
            twins: stage.twins(),
            keys: stage.keys(),
            units: stage.units(),
            may_act: stage.way() == WayIn::Sit && !stage.shows_the_past(),
            palette: self.palette(),
            gases: self.settings.gases,
            set,
        }
    }

    /// Does what was done on the panel.
    pub fn does(&mut self, deed: Deed) {
        match deed {
            Deed::Line(line) => self.stage.line(&line),
            Deed::Begin(line) => self.order.begin(&line, false),
            Deed::Choose(vessel) => self.set.vessel = vessel,
            Deed::Open(page) => self.set.page = page,
            Deed::Trend(trend, span) => {
                self.set.trend = trend % TRENDS.len();
                self.set.span = span % SPANS_S.len();
            }
        }
    }

    fn scale(&mut self, by: f32) {
        let (least, most) = SCALES;
        self.settings.scale = (self.settings.scale + by).clamp(least, most);
    }
}

fn units(imperial: bool) -> Units {
    match imperial {
        true => Units::Imperial,
        false => Units::Metric,
    }
}

/// The words of a drawing: they stand on the foot of their letters.
fn words(root: &Ui, drawing: &Drawing, palette: Palette) {
    let painter = root.painter();
    for mark in &drawing.marks {
        let Mark::Words {
            at,
            words,
            set,
            anchor,
            ink,
        } = mark
        else {
            continue;
        };
        let family = match set.strong {
            false => FontFamily::Proportional,
            true => theme::strong(),
        };
        let face = FontId::new(set.size as f32, family);
        let ink = colour(*ink, palette);
        let galley = painter.layout_no_wrap(words.clone(), face, ink);
        let foot = galley
            .rows
            .first()
            .and_then(|row| row.glyphs.first().map(|glyph| row.pos.y + glyph.pos.y))
            .unwrap_or(galley.size().y);
        let left = match anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => 0.5 * galley.size().x,
            Anchor::End => galley.size().x,
        };
        let corner = pos2(at.x as f32 - left, at.y as f32 - foot);
        painter.galley(corner, galley, ink);
    }
}
