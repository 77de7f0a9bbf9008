//! The ship cut open, with chambers and their people, the bell on its wire over a true depth scale, divers at work and
//! gas on its way: drawn from what a watch sees ([`Indicated`]) and the spread's file, and from nothing else.

mod bell;
mod layout;
mod people;
mod sea;
mod ship;
mod stock;
#[cfg(test)]
mod tests;
mod vessels;

pub use layout::{Layout, Pool, Way};
pub use vessels::sign;

use crate::drawing::{Anchor, Drawing, Ink, Type};
use deepstay::job::Indicated;
use deepstay::record::{Severity, Sitter};
use deepstay::scenario::Scenario;
use deepstay::units::{Quantity, Units, fixed};

/// What a picture is made of.
#[derive(Clone, Copy)]
pub struct View<'a> {
    /// The scenario, for names and steel.
    pub scenario: &'a Scenario,
    /// What the watch sees.
    pub seen: &'a Indicated,
    /// Units of what is written.
    pub units: Units,
    /// Where things stand.
    pub layout: &'a Layout,
}

impl View<'_> {
    fn depth(&self, msw: f64) -> String {
        self.units.scale(Quantity::Depth).plain_text(msw)
    }
}

/// What stands on every picture.
const CAUTION: &str =
    "For rehearsal and training; it prescribes nothing: law and licensed people decide.";

/// Height of the line above the picture, px.
const HEAD: f64 = 34.0;

/// Draws a moment.
pub fn scene(scenario: &Scenario, seen: &Indicated, units: Units, size: (f64, f64)) -> Drawing {
    let layout = Layout::of(&scenario.steel, scenario.site.seabed_msw, size);
    let view = View {
        scenario,
        seen,
        units,
        layout: &layout,
    };
    let mut drawing = Drawing::new(size.0, size.1);
    sea::draw(&view, &mut drawing);
    ship::draw(&view, &mut drawing);
    stock::draw(&view, &mut drawing);
    vessels::draw(&view, &mut drawing);
    bell::draw(&view, &mut drawing);
    head(&view, &mut drawing);
    let foot = (70.0, size.1 - 8.0);
    drawing.words(foot, CAUTION, Type::TEXT, Anchor::Start, Ink::Line);
    drawing
}

/// The tint and the sign of how grave a thing is.
fn tint(severity: Severity) -> (Ink, &'static str) {
    match severity {
        Severity::Attention => (Ink::Attention, "~"),
        Severity::Limit => (Ink::Limit, "!"),
        Severity::Emergency => (Ink::Emergency, "!!"),
    }
}

fn head(view: &View, drawing: &mut Drawing) {
    let (seen, scenario) = (view.seen, view.scenario);
    let (width, _) = drawing.size;
    let ground = kurbo::Rect::new(0.0, 0.0, width, HEAD);
    drawing.fill(&ground, Ink::Hull);
    let time = scenario.time();
    let seconds = time.second_of_day(seen.at_s).rem_euclid(60);
    let clock = format!("{}:{seconds:02}", time.clock(seen.at_s));
    let y = 22.0;
    drawing.words(
        (16.0, y),
        clock,
        Type::plain(17.0).strong().fixed(),
        Anchor::Start,
        Ink::Line,
    );
    let who = |sitter| match sitter {
        Sitter::Person => "you",
        Sitter::Automatic => "automatic",
        Sitter::Nobody => "NOBODY",
    };
    let sits = format!(
        "saturation: {}   dive: {}",
        who(seen.sitters[0]),
        who(seen.sitters[1])
    );
    let beside = 206.0 + Type::TEXT.width(&sits);
    drawing.words((190.0, y), sits, Type::TEXT, Anchor::Start, Ink::Line);
    let sea = format!(
        "waves {} m   sea floor {}",
        fixed(seen.hs_m, 1),
        view.depth(scenario.site.seabed_msw)
    );
    drawing.words((beside, y), sea, Type::TEXT, Anchor::Start, Ink::Faint);
    let shown: Vec<_> = seen.alarms.iter().filter(|a| a.shows()).collect();
    let waits = shown.iter().filter(|a| a.state.waits()).count();
    let words = match shown.len() {
        0 => "nothing rings".to_owned(),
        n => format!("{waits} unacknowledged, {} acknowledged", n - waits),
    };
    let set = if waits > 0 {
        Type::TEXT.strong()
    } else {
        Type::TEXT
    };
    drawing.words((width - 16.0, y), &*words, set, Anchor::End, Ink::Line);
    if let Some(worst) = shown.iter().map(|a| a.name.severity).max() {
        let x = width - 16.0 - set.width(&words) - 26.0;
        vessels::sign(drawing, (x, 17.0), worst);
    }
}
