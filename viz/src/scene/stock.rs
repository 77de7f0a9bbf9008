//! Banks along the keel: bottles filled as their gauges say, a chip of their gas by label and last analysis, and gas on
//! its way where a handle stands open.

use super::View;
use super::layout::BesideBanks;
use crate::drawing::{Anchor, Drawing, Ink, Stroke, Type, overlap, rounded, through};
use deepstay::record::{LineName, ValveName};
use deepstay::units::{BankId, CompartmentId, Duty, fixed};
use deepstay::words::Names;
use kurbo::Rect;

/// Bottles of a bank in the picture, and the width that each takes, px.
fn bottles_of(form: BesideBanks) -> (usize, f64) {
    match form {
        BesideBanks::Contents => (3, 6.0),
        BesideBanks::Name => (2, 7.5),
        BesideBanks::Nothing => (2, 6.0),
    }
}

/// How fast gas on its way moves in the picture, px/s.
const GAS: f64 = 18.0;

/// Draws them.
pub fn draw(view: &View, under_way: &[Flow], drawing: &mut Drawing) {
    let steel = &view.scenario.steel;
    for (id, plate) in (0u8..).map(BankId).zip(&steel.banks) {
        let rect = view.layout.banks[id.index()];
        let shown = &view.seen.banks[id.index()];
        let full_bar = plate.fill_gauge_pa.max(1.0) / 1e5;
        let filled = shown
            .gauge_bar
            .map_or(0.0, |bar| (bar / full_bar).clamp(0.0, 1.0));
        let o2 = shown.analysed_o2.unwrap_or(shown.label_o2);
        let (bands, _) =
            view.beside
                .gases
                .chip(o2, plate.duty == Duty::Air, plate.duty != Duty::Oxygen);
        let form = view.layout.beside_banks;
        let (count, each) = bottles_of(form);
        bottles(drawing, rect, (count, each), filled, bands);
        let beside = rect.x0 + each * count as f64 + 4.0;
        let strong = Type::TEXT.strong();
        let name_at = match form {
            BesideBanks::Contents => Some((beside, rect.y0 + 13.0)),
            BesideBanks::Name => Some((beside, rect.y1 - 4.0)),
            BesideBanks::Nothing => None,
        };
        if let Some(at) = name_at {
            drawing.words(at, &*plate.name, strong, Anchor::Start, Ink::Line);
        }
        if form == BesideBanks::Contents {
            let words_at = (beside, rect.y0 + 31.0);
            drawing.words(words_at, share(o2), Type::TEXT, Anchor::Start, Ink::Line);
        }
        if shown.stopped {
            let across = through(&[
                (rect.x0 - 1.0, rect.y0 - 4.0),
                (rect.x0 + 17.0, rect.y0 - 4.0),
            ]);
            drawing.line(&across, Ink::Line, 3.4);
        }
    }
    for flow in under_way {
        way(view, drawing, flow);
    }
    scheme(view, drawing);
}

/// Which colours stand for which gas.
fn scheme(view: &View, drawing: &mut Drawing) {
    let (width, height) = view.layout.size;
    let y = height - 7.0;
    let mut x = width - 18.0;
    let small = Type::TEXT;
    let gases = view.beside.gases;
    for (ink, words) in gases.key().into_iter().rev() {
        x -= small.width(words);
        drawing.words((x, y), words, small, Anchor::Start, Ink::Line);
        x -= 16.0;
        let chip = Rect::new(x, y - 9.0, x + 12.0, y);
        drawing.shape(&chip, ink, Ink::Line, 1.1);
        x -= 12.0;
    }
    let caution = super::CAPTION_X + small.width(super::CAUTION) + 24.0;
    let whole = format!("gas colours: {}", gases.name());
    let words = match x - small.width(&whole) > caution {
        true => whole,
        false => gases.name().to_owned(),
    };
    drawing.words((x, y), words, small, Anchor::End, Ink::Line);
}

fn share(o2: f64) -> String {
    match o2 * 100.0 {
        p if p > 99.5 => "O2".to_owned(),
        p if p < 0.05 => "no O2".to_owned(),
        p => {
            let digits = usize::from(p < 10.0 && (p - p.round()).abs() > 0.05);
            format!("O2 {} %", fixed(p, digits))
        }
    }
}

/// Bottles as full as their gauge says, with the two bands of their gas at the shoulder.
fn bottles(
    drawing: &mut Drawing,
    rect: Rect,
    (count, each): (usize, f64),
    filled: f64,
    [left, right]: [Ink; 2],
) {
    let wide = each - 0.6;
    for k in 0..count {
        let x = rect.x0 + each * k as f64;
        let bottle = Rect::new(x, rect.y0 + 1.0, x + wide, rect.y1);
        drawing.shape(&rounded(bottle, 2.4), Ink::Room, Ink::Line, 1.0);
        let shoulder = bottle.y0 + 7.0;
        let level = bottle.y1 - 0.8 - filled * (bottle.y1 - 0.8 - shoulder);
        let gas = Rect::new(x + 0.8, level, x + wide - 0.8, bottle.y1 - 0.8);
        drawing.fill(&gas, Ink::Faint);
        let middle = x + 0.5 * wide;
        let top = bottle.y0 + 1.4;
        drawing.fill(&Rect::new(x + 0.7, top, middle, shoulder), left);
        drawing.fill(&Rect::new(middle, top, x + wide - 0.7, shoulder), right);
    }
}

/// A way of gas into a vessel, under way.
pub struct Flow {
    corners: Vec<(f64, f64)>,
    bands: [Ink; 2],
    /// From where, to where, by what, and how far open; and less, where there is no room for all of it.
    words: [String; 2],
    /// Where it comes up to its vessel, or down to it.
    foot: (f64, f64),
}

/// Gas on its way into a vessel: from the bank lined up, along the hold, to the vessel's floor.
fn flows(view: &View, c: CompartmentId) -> Vec<Flow> {
    let Some(to) = view.layout.places[c.index()] else {
        return Vec::new();
    };
    let lanes = [
        (ValveName::BlowDown(c), LineName::Supply(c), "make-up", 0.0),
        (ValveName::Oxygen(c), LineName::Oxygen(c), "oxygen", 7.0),
    ];
    let mut flows = Vec::new();
    for (valve, line, words, lane) in lanes {
        let open = view.seen.handle(valve).filter(|by| *by > 0.0);
        let (Some(by), Some(bank)) = (open, view.seen.lined_up(line)) else {
            continue;
        };
        let shown = &view.seen.banks[bank.index()];
        let plate = &view.scenario.steel.banks[bank.index()];
        let o2 = shown.analysed_o2.unwrap_or(shown.label_o2);
        let (bands, _) =
            view.beside
                .gases
                .chip(o2, plate.duty == Duty::Air, plate.duty != Duty::Oxygen);
        let from = view.layout.banks[bank.index()];
        // Up beside the bank's column, along the space over the hold, and up to the vessel; down to one in the hold.
        let y = view.layout.hold_y - 3.0 - lane;
        let beside = from.x0 - 4.0;
        let mut corners = vec![
            (from.x0, from.y0 + 6.0),
            (beside, from.y0 + 6.0),
            (beside, y),
        ];
        let x = if to.y0 > y {
            let x = to.x0 - 8.0;
            corners.extend([(x, y), (x, to.center().y), (to.x0, to.center().y)]);
            x
        } else {
            let x = to.center().x - 6.0 + 1.7 * lane;
            corners.extend([(x, y), (x, to.y1)]);
            x
        };
        flows.push(Flow {
            corners,
            bands,
            words: [
                format!(
                    "{} to {}: {words} {} % open",
                    plate.name,
                    view.scenario.compartment(c),
                    fixed(by * 100.0, 0)
                ),
                format!("to {}: {words}", view.scenario.compartment(c)),
            ],
            foot: (x, y),
        });
    }
    flows
}

fn way(view: &View, drawing: &mut Drawing, flow: &Flow) {
    let path = through(&flow.corners);
    drawing.line(&path, Ink::Line, 5.0);
    drawing.line(&path, flow.bands[0], 3.0);
    let stroke = Stroke {
        ink: flow.bands[1],
        width: 3.0,
        dashes: Some((7.0, 6.0)),
        shift: (GAS * view.beside.moved_s).rem_euclid(13.0),
    };
    // Of one gas alone there is nothing to tell apart.
    if flow.bands[0] != flow.bands[1] {
        drawing.stroke(&path, stroke);
    }
}

/// All gas on its way.
pub fn under_way(view: &View) -> Vec<Flow> {
    let vessels = (0..view.scenario.steel.compartments.len() as u8).map(CompartmentId);
    vessels.flat_map(|c| flows(view, c)).collect()
}

/// Where it is on its way.
pub fn pipes(under_way: &[Flow]) -> Vec<Rect> {
    let each = under_way.iter().flat_map(|flow| flow.corners.windows(2));
    each.map(|ends| Rect::from_points(ends[0], ends[1]).inflate(2.5, 2.5))
        .collect()
}

/// What is on its way, in words beside it, where no other words are in the way: the panel has them all.
pub fn words(view: &View, under_way: &[Flow], pipes: &[Rect], drawing: &mut Drawing) {
    for flow in under_way {
        let (x, y) = flow.foot;
        let (hull, set) = (view.layout.hull, Type::TEXT);
        let free = |at: (f64, f64), words: &str| {
            let mine = set.ground(at, words);
            let pools = view.layout.pools.iter();
            let mut walls = pools.flat_map(|p| [p.x - p.half, p.x + p.half]);
            let through_wall = walls.any(|wall| mine.x0 < wall && wall < mine.x1);
            mine.x0 + 3.0 > hull.0 + 20.0
                && mine.x1 - 3.0 < hull.1 - 20.0
                && !through_wall
                && !pipes.iter().any(|pipe| overlap(mine, *pipe))
                && drawing.is_free(at, words, set)
        };
        let mut forms = flow.words.iter().flat_map(|words| {
            let wide = set.width(words);
            let lefts = [x + 8.0, x - 8.0 - wide, x - 0.5 * wide];
            lefts.map(|left| ((left, y - 12.0), words))
        });
        if let Some((at, words)) = forms.find(|(at, words)| free(*at, words)) {
            drawing.words(at, words.clone(), set, Anchor::Start, Ink::Line);
        }
    }
}
