//! How the panel looks, set once: one font, one palette of inks, flat and quiet.

use crate::drawing::{Ink, Palette};
use crate::font;
use bevy_egui::egui::{
    self, Color32, Context, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, Painter,
    Pos2, Rect, Response, RichText, Sense, Shape, Stroke, StrokeKind, TextStyle, Ui, Vec2, vec2,
};
use deepstay::record::Severity;
use std::sync::Arc;

/// The least height of letters, points.
pub const TEXT: f32 = 15.0;

/// The family of strong letters.
pub fn strong() -> FontFamily {
    FontFamily::Name("strong".into())
}

/// The colour of an ink.
pub fn colour(ink: Ink, palette: Palette) -> Color32 {
    let (r, g, b) = ink.rgb(palette);
    Color32::from_rgb(r, g, b)
}

/// Gives a context its fonts and its look.
pub fn dress(context: &Context, palette: Palette) {
    let mut fonts = FontDefinitions::empty();
    for (name, file, family) in [
        ("plain", font::PLAIN, FontFamily::Proportional),
        ("strong", font::STRONG, strong()),
    ] {
        let data = Arc::new(FontData::from_static(file));
        fonts.font_data.insert(name.to_owned(), data);
        fonts.families.insert(family, vec![name.to_owned()]);
    }
    let plain = vec!["plain".to_owned()];
    fonts.families.insert(FontFamily::Monospace, plain);
    context.set_fonts(fonts);
    look(context, palette);
}

/// Gives a context the look of a palette.
pub fn look(context: &Context, palette: Palette) {
    let ink = |ink| colour(ink, palette);
    let mut style = (*context.global_style()).clone();
    style.text_styles = [
        (TextStyle::Small, FontId::proportional(TEXT)),
        (TextStyle::Body, FontId::proportional(TEXT)),
        (TextStyle::Button, FontId::proportional(TEXT)),
        (TextStyle::Monospace, FontId::monospace(TEXT)),
        (TextStyle::Heading, FontId::new(18.0, strong())),
    ]
    .into();
    style.animation_time = 0.0;
    style.spacing.item_spacing = vec2(8.0, 5.0);
    style.spacing.button_padding = vec2(6.0, 2.0);
    style.spacing.interact_size = vec2(24.0, 22.0);
    style.spacing.scroll = egui::style::ScrollStyle::solid();
    style.interaction.tooltip_delay = 0.4;
    let visuals = &mut style.visuals;
    visuals.dark_mode = false;
    visuals.override_text_color = Some(ink(Ink::Line));
    visuals.panel_fill = ink(Ink::Cut);
    visuals.window_fill = ink(Ink::Room);
    visuals.extreme_bg_color = ink(Ink::Oxygen);
    visuals.faint_bg_color = ink(Ink::Hull);
    visuals.window_stroke = Stroke::new(1.0, ink(Ink::Wall));
    visuals.window_shadow = egui::Shadow::NONE;
    visuals.popup_shadow = egui::Shadow::NONE;
    visuals.window_corner_radius = CornerRadius::same(3);
    visuals.menu_corner_radius = CornerRadius::same(3);
    visuals.selection.bg_fill = ink(Ink::Ghost);
    visuals.selection.stroke = Stroke::new(1.0, ink(Ink::Line));
    let widgets = &mut visuals.widgets;
    for state in [
        &mut widgets.noninteractive,
        &mut widgets.inactive,
        &mut widgets.hovered,
        &mut widgets.active,
        &mut widgets.open,
    ] {
        state.corner_radius = CornerRadius::same(3);
        state.fg_stroke = Stroke::new(1.0, ink(Ink::Line));
        state.bg_stroke = Stroke::new(1.0, ink(Ink::Wall));
        state.bg_fill = ink(Ink::Hull);
        state.weak_bg_fill = ink(Ink::Room);
        state.expansion = 0.0;
    }
    widgets.hovered.weak_bg_fill = ink(Ink::Light);
    widgets.active.weak_bg_fill = ink(Ink::Ghost);
    context.set_global_style(style);
}

/// Draws in the panel with inks by what they mean.
pub struct Pen {
    painter: Painter,
    palette: Palette,
}

impl Pen {
    /// For a part of the panel.
    pub fn new(ui: &Ui, palette: Palette) -> Pen {
        Pen {
            painter: ui.painter().clone(),
            palette,
        }
    }

    /// An ink's colour.
    pub fn ink(&self, ink: Ink) -> Color32 {
        colour(ink, self.palette)
    }

    /// Words that are strong.
    pub fn strong(&self, words: &str) -> RichText {
        RichText::new(words).family(strong()).size(TEXT)
    }

    /// Words over a part of a page.
    pub fn heading(&self, words: &str) -> RichText {
        RichText::new(words).family(strong()).size(18.0)
    }

    /// Words that are less.
    pub fn faint(&self, words: &str) -> RichText {
        RichText::new(words).color(self.ink(Ink::Faint))
    }

    /// A heading with the space before it.
    pub fn head(&self, ui: &mut Ui, words: &str) {
        ui.add_space(6.0);
        ui.label(self.strong(words));
    }

    /// Something to press.
    pub fn button(&self, ui: &mut Ui, words: &str, enabled: bool) -> Response {
        ui.add_enabled(enabled, egui::Button::new(words))
    }

    /// The name of a page.
    pub fn tab(&self, ui: &mut Ui, words: &str, chosen: bool) -> Response {
        let family = if chosen {
            strong()
        } else {
            FontFamily::Proportional
        };
        let text = RichText::new(words).family(family).size(TEXT);
        let fill = if chosen {
            self.ink(Ink::Ghost)
        } else {
            Color32::TRANSPARENT
        };
        let button = egui::Button::new(text).fill(fill).stroke(Stroke::NONE);
        let response = ui.add(button);
        self.reached(&response);
        response
    }

    /// A ring round what the keyboard has reached.
    pub fn reached(&self, response: &Response) {
        if response.has_focus() {
            let stroke = Stroke::new(2.0, self.ink(Ink::Line));
            let round = response.rect.expand(1.0);
            self.painter
                .rect_stroke(round, CornerRadius::same(3), stroke, StrokeKind::Outside);
        }
    }

    /// Words at a place: the middle of their height, from their left or right end or their middle.
    pub fn words(&self, at: Pos2, side: Side, words: &str, face: FontId, ink: Ink) -> Rect {
        let align = match side {
            Side::Left => egui::Align2::LEFT_CENTER,
            Side::Middle => egui::Align2::CENTER_CENTER,
            Side::Right => egui::Align2::RIGHT_CENTER,
        };
        self.painter.text(at, align, words, face, self.ink(ink))
    }

    /// A filled rectangle.
    pub fn fill(&self, rect: Rect, ink: Ink) {
        self.painter
            .rect_filled(rect, CornerRadius::ZERO, self.ink(ink));
    }

    /// An outlined rectangle.
    pub fn frame(&self, rect: Rect, ink: Ink) {
        let stroke = Stroke::new(1.0, self.ink(ink));
        self.painter
            .rect_stroke(rect, CornerRadius::ZERO, stroke, StrokeKind::Inside);
    }

    /// A line.
    pub fn line(&self, points: &[Pos2], width: f32, ink: Ink) {
        let stroke = Stroke::new(width, self.ink(ink));
        self.painter.line(points.to_vec(), stroke);
    }

    /// A broken line.
    pub fn dashed(&self, points: &[Pos2], width: f32, (on, off): (f32, f32), ink: Ink) {
        let stroke = Stroke::new(width, self.ink(ink));
        self.painter
            .extend(Shape::dashed_line(points, stroke, on, off));
    }

    /// A disc with its outline.
    pub fn disc(&self, at: Pos2, radius: f32, fill: Ink, ink: Ink) {
        let stroke = Stroke::new(1.4, self.ink(ink));
        self.painter.circle(at, radius, self.ink(fill), stroke);
    }

    /// A polygon that bulges nowhere inwards.
    pub fn polygon(&self, points: &[Pos2], fill: Ink, ink: Ink) {
        let stroke = Stroke::new(1.4, self.ink(ink));
        self.painter.add(Shape::convex_polygon(
            points.to_vec(),
            self.ink(fill),
            stroke,
        ));
    }

    /// A valve (two triangles tip to tip): empty where it is open, filled where it is shut.
    pub fn valve(&self, at: Pos2, open: bool) {
        let fill = if open { Ink::Oxygen } else { Ink::Line };
        for side in [-1.0, 1.0] {
            let triangle = [at, at + vec2(side * 9.0, -6.0), at + vec2(side * 9.0, 6.0)];
            self.polygon(&triangle, fill, Ink::Line);
        }
    }

    /// The sign of how grave a thing is: a triangle in its tint, with its letters.
    pub fn sign(&self, at: Pos2, severity: Severity) {
        let (ink, letters) = crate::scene::tint(severity);
        let triangle = [
            at + vec2(0.0, -9.0),
            at + vec2(10.0, 8.0),
            at + vec2(-10.0, 8.0),
        ];
        self.polygon(&triangle, ink, Ink::Line);
        let face = FontId::new(TEXT, strong());
        self.words(at + vec2(0.0, 2.0), Side::Middle, letters, face, Ink::Line);
    }
}

/// Which end of words a place is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Their left end.
    Left,
    /// Their middle.
    Middle,
    /// Their right end.
    Right,
}

/// A row of a page to draw in, as wide as there is room.
pub fn row(ui: &mut Ui, height: f32, sense: Sense) -> (Rect, Response) {
    ui.allocate_exact_size(Vec2::new(ui.available_width(), height), sense)
}
