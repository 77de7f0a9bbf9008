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
mod work;

pub use layout::{BELL, Layout, Pool, Way};
pub use vessels::sign;

use crate::drawing::{Anchor, Drawing, GasColours, Ink, Type};
use deepstay::job::Indicated;
use deepstay::record::{Fitness, Severity};
use deepstay::scenario::Scenario;
use deepstay::units::{CompartmentId, DiverId, FOOT_M, Quantity, Units, fixed};
use deepstay::watch::shown::who;
use deepstay::words::Names;

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
    /// What stands in it beside what the watch sees.
    pub beside: &'a Beside,
}

impl View<'_> {
    fn person(&self, diver: DiverId) -> people::Person {
        let heard = &self.seen.divers[diver.index()];
        let how = self.beside.fitness.get(diver.index()).copied();
        people::Person {
            initials: self.scenario.initials(diver),
            path: heard.path,
            does: heard.does,
            truly: how.filter(|how| *how != Fitness::Well),
        }
    }

    fn depth(&self, msw: f64) -> String {
        self.units.scale(Quantity::Depth).plain_text(msw)
    }
}

/// What stands on every picture.
const CAUTION: &str = "For rehearsal; it prescribes nothing: law and licensed people decide.";

/// Where it begins, px from the left.
const CAPTION_X: f64 = 16.0;

/// Height of the line above the picture, px.
pub const HEAD: f64 = 34.0;

/// What stands in the picture beside what the watch sees.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Beside {
    /// How fast time passes, such as `x60`.
    pub speed: String,
    /// What changes how everything else is to be read, such as `TRUE` or `AS OF THEN`.
    pub first: Option<String>,
    /// Seconds that what moves has moved: swell, bubbles, gas on its way.
    pub moved_s: f64,
    /// What the divers of each bell that is out work at, by the work list.
    pub work: Vec<(CompartmentId, String)>,
    /// Which colours stand for which gas.
    pub gases: GasColours,
    /// How each diver truly is, by his id; of nobody where the truth is not shown.
    pub fitness: Vec<Fitness>,
}

/// Draws a moment of a size; the line over it is as long as `head`.
pub fn scene(
    scenario: &Scenario,
    seen: &Indicated,
    units: Units,
    size: (f64, f64),
    (head_width, beside): (f64, &Beside),
) -> Drawing {
    let layout = Layout::of(&scenario.steel, scenario.site.seabed_msw, size).at_tide(seen.tide_m);
    let view = View {
        scenario,
        seen,
        units,
        layout: &layout,
        beside,
    };
    let mut drawing = Drawing::new(size.0, size.1);
    sea::draw(&view, &mut drawing);
    ship::draw(&view, &mut drawing);
    let under_way = stock::under_way(&view);
    stock::draw(&view, &under_way, &mut drawing);
    let pipes = stock::pipes(&under_way);
    vessels::draw(&view, &pipes, &mut drawing);
    bell::draw(&view, &mut drawing);
    stock::words(&view, &under_way, &pipes, &mut drawing);
    vessels::gas_words(&view, &mut drawing);
    let foot = (CAPTION_X, size.1 - 7.0);
    drawing.words(foot, CAUTION, Type::TEXT, Anchor::Start, Ink::Line);
    head(&view, &mut drawing, head_width);
    drawing
}

/// The tint and the sign of how grave a thing is.
pub(crate) fn tint(severity: Severity) -> (Ink, &'static str) {
    match severity {
        Severity::Attention => (Ink::Attention, "~"),
        Severity::Limit => (Ink::Limit, "!"),
        Severity::Emergency => (Ink::Emergency, "!!"),
    }
}

fn head(view: &View, drawing: &mut Drawing, width: f64) {
    let (seen, scenario, pace) = (view.seen, view.scenario, view.beside);
    let ground = kurbo::Rect::new(0.0, 0.0, width, HEAD);
    drawing.fill(&ground, Ink::Hull);
    let rule = crate::drawing::through(&[(0.0, HEAD), (width, HEAD)]);
    drawing.line(&rule, Ink::Wall, 1.0);
    let time = scenario.time();
    let seconds = time.second_of_day(seen.at_s).rem_euclid(60);
    let clock = format!("{}:{seconds:02}", time.clock(seen.at_s));
    let (y, strong) = (22.0, Type::plain(17.0).strong());
    let mut x = 16.0;
    let mut say = |drawing: &mut Drawing, words: &str, set: Type, ink| {
        drawing.words((x, y), words, set, Anchor::Start, ink);
        x += set.width(words) + 18.0;
        x
    };
    let first = match seen.over {
        true => Some("THE JOB IS OVER"),
        false => pace.first.as_deref(),
    };
    let mut after = say(drawing, &clock, strong, Ink::Line);
    if let Some(first) = first {
        after = say(drawing, first, Type::TEXT.strong(), Ink::Line);
    }
    if !pace.speed.is_empty() {
        after = say(drawing, &pace.speed, Type::TEXT, Ink::Line);
    }
    let sits = format!(
        "saturation: {}   dive: {}",
        who(seen.sitters[0]),
        who(seen.sitters[1])
    );
    after = after.max(say(drawing, &sits, Type::TEXT, Ink::Line));
    let shown: Vec<_> = seen.alarms.iter().filter(|a| a.shows()).collect();
    let waits = shown.iter().filter(|a| a.state.waits()).count();
    let words = match shown.len() {
        0 => "no alarms".to_owned(),
        n => format!("{waits} unacknowledged, {} acknowledged", n - waits),
    };
    let set = if waits > 0 {
        Type::TEXT.strong()
    } else {
        Type::TEXT
    };
    let alarms_x = width - 16.0 - set.width(&words) - 36.0;
    // What is least needed goes first where there is no room.
    let long = |m: f64| match view.units {
        Units::Metric => format!("{} m", fixed(m, 1)),
        Units::Imperial => format!("{} ft", fixed(m / FOOT_M, 1)),
    };
    let sign = match seen.tide_m {
        up if up >= 0.05 => "+",
        down if down <= -0.05 => "-",
        _ => "",
    };
    let tide = format!("tide {sign}{}", long(seen.tide_m.abs()));
    let floor = format!("sea floor {}", view.depth(scenario.site.seabed_msw));
    let waves = format!("waves {}", long(seen.hs_m));
    for words in [waves, tide, floor] {
        if after + Type::TEXT.width(&words) < alarms_x {
            after = say(drawing, &words, Type::TEXT, Ink::Faint);
        }
    }
    drawing.words((width - 16.0, y), &*words, set, Anchor::End, Ink::Line);
    if let Some(worst) = shown.iter().map(|a| a.name.severity).max() {
        vessels::sign(drawing, (alarms_x + 10.0, 17.0), worst);
    }
}
