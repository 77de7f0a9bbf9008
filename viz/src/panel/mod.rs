//! The panel beside the picture: plain functions over what the watch sees. What somebody does here comes back as deeds:
//! a line of the watch as he could have typed it, or something to look at.

mod alarms;
mod band;
mod bell;
mod cameras;
mod gas;
mod keys;
mod log;
mod order;
pub mod theme;
mod trend;
mod vessel;

pub use order::{OrderLine, Typed};

use crate::drawing::{GasColours, Palette};
use crate::stage::{Truth, TwinRun};
use bevy_egui::egui::{self, Ui};
use deepstay::job::Indicated;
use deepstay::record::Entry;
use deepstay::scenario::Scenario;
use deepstay::units::{CompartmentId, Units};
use deepstay::watch::{Keys, Trend};
use theme::Pen;

/// What the panel is made of. Of a person's watch there is no truth in it, and no way to any.
#[derive(Clone, Copy)]
pub struct Board<'a> {
    /// The scenario, for names and steel.
    pub scenario: &'a Scenario,
    /// What the watch sees.
    pub seen: &'a Indicated,
    /// What the divers of each bell that is out work at, by the work list.
    pub work: &'a [(CompartmentId, String)],
    /// What it has been told.
    pub feed: &'a [Entry],
    /// The same in words, the newest first.
    pub log: &'a [(String, String)],
    /// What instruments have shown.
    pub trend: &'a Trend,
    /// What was true: only of a watch that is looked back on.
    pub truth: Option<&'a Truth>,
    /// How it would have gone on without something: only of such a watch.
    pub twins: &'a [TwinRun],
    /// Keys of the verbs.
    pub keys: &'a Keys,
    /// Units.
    pub units: Units,
    /// Somebody sits here and may act.
    pub may_act: bool,
    /// Values of the inks.
    pub palette: Palette,
    /// Which colours stand for which gas.
    pub gases: GasColours,
    /// How it is set.
    pub set: Set,
}

/// How the panel is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Set {
    /// The page.
    pub page: Page,
    /// The vessel chosen.
    pub vessel: CompartmentId,
    /// The quantity whose trend is shown, by its place among [`deepstay::watch::TRENDS`].
    pub trend: usize,
    /// How long the trend is, by its place among [`deepstay::watch::SPANS_S`].
    pub span: usize,
}

/// A page of the panel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Page {
    /// One vessel.
    Vessel,
    /// Banks and lines.
    Gas,
    /// Bell and divers.
    Bell,
    /// Alarms.
    Alarms,
    /// Cameras.
    Cameras,
    /// What was said and done.
    Log,
    /// Keys and verbs.
    Keys,
}

impl Page {
    /// Those that have a number, in their order.
    pub const NUMBERED: [Page; 6] = [
        Page::Vessel,
        Page::Gas,
        Page::Bell,
        Page::Alarms,
        Page::Cameras,
        Page::Log,
    ];

    /// What it is called.
    pub fn name(self) -> &'static str {
        match self {
            Page::Vessel => "vessel",
            Page::Gas => "gas",
            Page::Bell => "bell",
            Page::Alarms => "alarms",
            Page::Cameras => "cameras",
            Page::Log => "log",
            Page::Keys => "keys",
        }
    }

    /// What it shows.
    pub fn says(self) -> &'static str {
        match self {
            Page::Vessel => "readings of one vessel with their limits, its trend and its lines",
            Page::Gas => "lines from bank to vessel, and every bank",
            Page::Bell => "bell runs of the day, bells, and divers as they said",
            Page::Alarms => "what rings, and what has been set aside",
            Page::Cameras => "who was last seen on a camera, and where",
            Page::Log => "what was said and done, the newest first",
            Page::Keys => "keys and the verbs of the order line",
        }
    }
}

/// Something done on the panel.
#[derive(Clone, Debug, PartialEq)]
pub enum Deed {
    /// A line of the watch is said.
    Line(String),
    /// A line is begun in the order line.
    Begin(String),
    /// A vessel is chosen.
    Choose(CompartmentId),
    /// A page is opened.
    Open(Page),
    /// Another trend: which, or how long.
    Trend(usize, usize),
}

/// Draws the chosen page.
pub fn page(ui: &mut Ui, board: &Board, deeds: &mut Vec<Deed>) {
    let pen = Pen::new(ui, board.palette);
    match board.set.page {
        Page::Vessel => vessel::draw(ui, &pen, board, deeds),
        Page::Gas => gas::draw(ui, &pen, board, deeds),
        Page::Bell => bell::draw(ui, &pen, board, deeds),
        Page::Alarms => alarms::draw(ui, &pen, board, deeds),
        Page::Cameras => cameras::draw(ui, &pen, board, deeds),
        Page::Log => log::draw(ui, &pen, board),
        Page::Keys => keys::draw(ui, &pen, board),
    }
}

/// The names of the pages, to choose one.
pub fn pages(ui: &mut Ui, board: &Board, deeds: &mut Vec<Deed>) {
    let pen = Pen::new(ui, board.palette);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        for (k, page) in (1..).zip(Page::NUMBERED) {
            let chosen = board.set.page == page;
            let hint = format!("{} (key {k})", page.says());
            if pen
                .tab(ui, page.name(), chosen)
                .on_hover_text(hint)
                .clicked()
            {
                deeds.push(Deed::Open(page));
            }
        }
        let help = pen.tab(ui, "?", board.set.page == Page::Keys);
        if help
            .on_hover_text(format!("{} (key ?)", Page::Keys.says()))
            .clicked()
        {
            deeds.push(Deed::Open(Page::Keys));
        }
    });
}

/// The vessel chosen, with the one before and the one after it.
fn vessel_line(ui: &mut Ui, pen: &Pen, board: &Board, aside: &str, deeds: &mut Vec<Deed>) {
    use deepstay::words::Names;
    let count = board.seen.vessels.len().max(1);
    let at = board.set.vessel.index();
    let to = |k: usize| CompartmentId(u8::try_from(k % count).unwrap_or(0));
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        let before = pen.button(ui, "<", true);
        if before.on_hover_text("the vessel before (key up)").clicked() {
            deeds.push(Deed::Choose(to(at + count - 1)));
        }
        let after = pen.button(ui, ">", true);
        if after.on_hover_text("the vessel after (key down)").clicked() {
            deeds.push(Deed::Choose(to(at + 1)));
        }
        ui.label(pen.heading(&board.scenario.compartment(board.set.vessel)));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            ui.label(pen.faint(aside));
        });
    });
}
