//! Where things stand: a spread laid out by its vessels and doors, so that one that a school wrote draws itself.
//!
//! Each bell has a moon pool. Vessels that lead to each other without a trunk are a group, and stand in a row from the
//! pool outwards, nearest door first; groups take turns at the sides of the pools, further ones stand in a second row, and
//! where they are more than that beside each other.
//! Rescue chambers stand on deck, locks on the vessel they open into, tanks in the hold, banks along the keel.

use crate::drawing::Type;
use deepstay::plant::Steel;
use deepstay::units::{CompartmentId, CompartmentKind, DoorId};
use kurbo::{Point, Rect};
use std::collections::VecDeque;

/// Height of a chamber where they stand in one row, and where they stand in two, px.
const CHAMBER: [f64; 2] = [74.0, 60.0];
/// Space under a row of chambers, px.
const BELOW: f64 = 4.0;
/// Rows of chambers, at most: under them there has to be a sea.
const MOST_ROWS: usize = 2;
/// Space between two vessels of a row, px.
const GAP: f64 = 20.0;
/// Radius of a bell in the picture, px.
pub const BELL: f64 = 21.0;
/// Half the width of a moon pool, px.
const POOL: f64 = 44.0;
/// Where a chamber stands under the deck, px: its name with its reading, and what rings, stand between.
const UNDER: f64 = 44.0;
/// The same where the reading stands under the name.
const UNDER_TWO_LINES: f64 = 66.0;
/// Height between the chambers and the hold, px: locks, tanks, and gas on its way.
const LANES: f64 = 54.0;
/// Length and height that a bank takes in the hold with what it holds in words, px.
const BANK: (f64, f64) = (86.0, 46.0);
/// The height without words, px.
const SHORT_BANK: f64 = 25.0;
/// Its length without even its name, px.
const BARE_BANK: f64 = 24.0;
/// Rows of banks with words, at most: where they would be more there are no words.
const WORDED_ROWS: usize = 2;
/// The same with their names alone, under one row of chambers and under two.
const NAMED_ROWS: [usize; 2] = [6, 3];
/// Height of the sea under the keel, where it can be had, px.
const UNDER_KEEL: f64 = 76.0;
/// Height of the hold along the keel beside its banks, px.
const HOLD: f64 = 26.0;
/// From the hull's right end to a pool beside the deck house, px: winch and house stand between.
const BESIDE_HOUSE: f64 = 206.0;
/// Height of the sea floor, px.
const FLOOR: f64 = 16.0;
/// Height of the line of words under it, px.
pub const CAPTION: f64 = 24.0;
/// Space above the deck, px: winch, rescue chambers, their names.
const ABOVE_DECK: f64 = 118.0;

/// What stands beside a bank of the picture, as there is room for it. The panel has all of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BesideBanks {
    /// Its name and what it holds.
    Contents,
    /// Its name.
    Name,
    /// Nothing.
    Nothing,
}

/// A moon pool and its bell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pool {
    /// The bell.
    pub bell: CompartmentId,
    /// Its middle.
    pub x: f64,
    /// Half its width.
    pub half: f64,
    /// Where the middle of the bell is when it is mated.
    pub mated_y: f64,
}

/// A way between two vessels, with its door.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// The door.
    pub door: DoorId,
    /// Corners from one to the other.
    pub points: Vec<(f64, f64)>,
    /// Where the door stands.
    pub at: Point,
    /// The door stands across a way that goes sideways.
    pub sideways: bool,
    /// It passes behind a pool.
    pub behind: bool,
}

/// Where everything stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// Size of the picture.
    pub size: (f64, f64),
    /// The deck.
    pub deck_y: f64,
    /// The hold's upper end.
    pub hold_y: f64,
    /// The keel.
    pub keel_y: f64,
    /// The sea's surface.
    pub sea_y: f64,
    /// The sea floor.
    pub floor_y: f64,
    /// Length of a metre of sea water, px.
    pub per_msw: f64,
    /// The hull's ends.
    pub hull: (f64, f64),
    /// Moon pools, from left to right.
    pub pools: Vec<Pool>,
    /// Each vessel's place by its id; none of a bell.
    pub places: Vec<Option<Rect>>,
    /// Ways between them.
    pub ways: Vec<Way>,
    /// Each bank's place by its id.
    pub banks: Vec<Rect>,
    /// Length and height that a bank takes.
    bank: (f64, f64),
    /// What stands beside a bank.
    pub beside_banks: BesideBanks,
    /// Where a chamber stands under the deck or under the row over it.
    under: f64,
    /// Height of a chamber.
    chamber: f64,
}

impl Layout {
    /// With the sea at a height over its mean level. The ship goes up and down with the sea, so that in the picture it is
    /// the floor that comes nearer or goes away; some of it always shows.
    pub fn at_tide(mut self, tide_m: f64) -> Layout {
        let deepest = self.size.1 - CAPTION - 4.0;
        self.floor_y = (self.floor_y + tide_m * self.per_msw).min(deepest);
        self
    }

    /// Where the middle of a bell is: at the pool's side while its wire shows nothing, at its depth when it is in the sea.
    pub fn bell_at(&self, pool: &Pool, wire_msw: f64) -> Point {
        if wire_msw <= 0.0 {
            return Point::new(pool.x - pool.half + BELL + 12.0, pool.mated_y);
        }
        // Its depth is that of its door, at its foot.
        Point::new(pool.x, self.depth_y(wire_msw) - BELL - 7.0)
    }

    /// Whether a chamber's reading stands under its name, and not beside it.
    pub fn two_lines(&self) -> bool {
        self.under > UNDER
    }
}

fn is_tank(kind: CompartmentKind) -> bool {
    matches!(
        kind,
        CompartmentKind::HoldingTank | CompartmentKind::ReclaimTank
    )
}

fn is_chamber(kind: CompartmentKind) -> bool {
    matches!(kind, CompartmentKind::Living | CompartmentKind::Transfer)
}

fn ids(steel: &Steel) -> impl Iterator<Item = CompartmentId> {
    (0..steel.compartments.len() as u8).map(CompartmentId)
}

fn kind(steel: &Steel, c: CompartmentId) -> CompartmentKind {
    steel.compartments[c.index()].kind
}

/// Chambers that lead to each other without a trunk, those nearest to a trunk first.
fn groups(steel: &Steel) -> Vec<Vec<CompartmentId>> {
    let mut seen = vec![false; steel.compartments.len()];
    let mut groups = Vec::new();
    let to_trunk = |c: CompartmentId| {
        steel
            .neighbours(c)
            .any(|n| kind(steel, n) == CompartmentKind::Trunk)
    };
    let chambers: Vec<CompartmentId> = ids(steel).filter(|c| is_chamber(kind(steel, *c))).collect();
    let mut starts: Vec<CompartmentId> = chambers.clone();
    starts.sort_by_key(|c| (!to_trunk(*c), c.0));
    for start in starts {
        if seen[start.index()] {
            continue;
        }
        let mut group = Vec::new();
        let mut queue = VecDeque::from([start]);
        seen[start.index()] = true;
        while let Some(c) = queue.pop_front() {
            group.push(c);
            for next in steel.neighbours(c) {
                if is_chamber(kind(steel, next)) && !seen[next.index()] {
                    seen[next.index()] = true;
                    queue.push_back(next);
                }
            }
        }
        groups.push(group);
    }
    groups
}

/// Chambers that stand beside each other on a side of a pool, those nearest to it first.
struct Row {
    side: usize,
    row: usize,
    chambers: Vec<CompartmentId>,
}

/// Groups take turns at the sides; on a side they stand in as few rows as may be, and never in more than there may be.
fn rows(groups: Vec<Vec<CompartmentId>>, sides: usize) -> Vec<Row> {
    let mut of_sides: Vec<Vec<Vec<CompartmentId>>> = vec![Vec::new(); sides];
    for (k, group) in groups.into_iter().enumerate() {
        of_sides[k % sides].push(group);
    }
    let mut rows = Vec::new();
    for (side, groups) in of_sides.into_iter().enumerate() {
        let beside = groups.len().div_ceil(MOST_ROWS).max(1);
        for (row, groups) in groups.chunks(beside).enumerate() {
            rows.push(Row {
                side,
                row,
                chambers: groups.concat(),
            });
        }
    }
    rows
}

/// Room that a chamber's name has before the next one's, px.
pub fn name_room(chamber: Rect) -> f64 {
    chamber.width() + GAP - 14.0
}

/// Length of a chamber by its volume, px, before the row is fitted to its room: long enough for its name and reading, and
/// beside them for the way up to a rescue chamber.
fn length(steel: &Steel, c: CompartmentId) -> f64 {
    let plate = &steel.compartments[c.index()];
    (84.0 + 8.0 * plate.volume_m3.min(60.0)).max(named(steel, c))
}

/// Length that a chamber's name takes with its reading beside it before the next one's, px.
fn label_room(steel: &Steel, c: CompartmentId) -> f64 {
    let name = Type::TEXT
        .strong()
        .width(&steel.compartments[c.index()].name);
    name + Type::TEXT.width("1000.0 msw") + 24.0
}

/// Length that a chamber's name takes with its reading beside it, px.
fn named(steel: &Steel, c: CompartmentId) -> f64 {
    let plate = &steel.compartments[c.index()];
    let name = Type::TEXT.strong().width(&plate.name);
    let reading = Type::TEXT.width("  1000.0 msw");
    let mut next = steel.neighbours(c);
    let up = next.any(|n| kind(steel, n) == CompartmentKind::Rescue);
    name + reading + 24.0 + if up { 44.0 } else { 0.0 }
}

impl Layout {
    /// Of a spread, over a sea of a depth, in a picture of a size.
    pub fn of(steel: &Steel, seabed_msw: f64, (width, height): (f64, f64)) -> Layout {
        let groups = groups(steel);
        let count = groups.len();
        let bells: Vec<CompartmentId> = ids(steel)
            .filter(|c| kind(steel, *c) == CompartmentKind::Bell)
            .collect();
        let sides = bells.len() + 1;
        let rows = rows(groups, sides);
        let high = rows.iter().map(|row| row.row + 1).max().unwrap_or(1);
        let deck_y = ABOVE_DECK;
        let hull = (70.0, width - 34.0);
        let mut layout = Layout {
            size: (width, height),
            deck_y,
            hold_y: deck_y,
            keel_y: deck_y,
            sea_y: deck_y,
            floor_y: height - FLOOR - CAPTION,
            per_msw: 1.0,
            hull,
            pools: Vec::new(),
            places: vec![None; steel.compartments.len()],
            ways: Vec::new(),
            banks: Vec::new(),
            bank: BANK,
            beside_banks: BesideBanks::Contents,
            under: UNDER,
            chamber: CHAMBER[usize::from(high > 1)],
        };
        layout.dig_pools(&bells, count);
        if !layout.names_stand_beside_readings(steel, &rows) {
            layout.under = UNDER_TWO_LINES;
            for pool in &mut layout.pools {
                pool.mated_y += UNDER_TWO_LINES - UNDER;
            }
        }
        layout.hold_y = deck_y + high as f64 * layout.row() + LANES;
        // Banks, and after them tanks that nothing drains into.
        let fed = ids(steel).filter(|c| {
            let mut all = steel.compartments.iter();
            is_tank(kind(steel, *c)) && !all.any(|d| d.drain_to == Some(*c))
        });
        let stowed = steel.banks.len() + fed.count();
        let rows_of = |layout: &Layout| stowed.div_ceil(layout.columns().len().max(1)).max(1);
        if rows_of(&layout) > WORDED_ROWS {
            let names = steel
                .banks
                .iter()
                .map(|b| Type::TEXT.strong().width(&b.name));
            layout.beside_banks = BesideBanks::Name;
            layout.bank = (30.0 + names.fold(0.0, f64::max), SHORT_BANK);
        }
        // Under the keel there has to be room for a bell and its divers.
        let foot = layout.hold_y + rows_of(&layout) as f64 * layout.bank.1 + HOLD - 8.0;
        let crowded = layout.floor_y - foot < UNDER_KEEL && high > 1;
        if crowded || rows_of(&layout) > NAMED_ROWS[usize::from(high > 1)] {
            layout.beside_banks = BesideBanks::Nothing;
            layout.bank = (BARE_BANK, SHORT_BANK);
        }
        layout.keel_y = layout.hold_y + rows_of(&layout) as f64 * layout.bank.1 + HOLD - 8.0;
        layout.sea_y = layout.keel_y - 44.0;
        layout.per_msw = (layout.floor_y - layout.sea_y).max(1.0) / seabed_msw.max(1.0);
        layout.stand_chambers(steel, &rows);
        layout.stand_trunks(steel);
        layout.stand_rescue(steel);
        layout.stand_locks(steel);
        layout.stand_tanks(steel);
        layout.lay_ways(steel);
        layout.banks = (0..steel.banks.len()).map(|k| layout.slot(k)).collect();
        layout
    }

    /// Pools share the hull's length; where there is one group alone it has the longer side.
    fn dig_pools(&mut self, bells: &[CompartmentId], groups: usize) {
        let (left, right) = self.hull;
        let mated_y = self.deck_y + UNDER + 0.5 * self.chamber;
        for (k, &bell) in bells.iter().enumerate() {
            let x = match (bells.len(), groups) {
                (1, 0 | 1) => right - BESIDE_HOUSE,
                (count, _) => left + (k + 1) as f64 / (count + 1) as f64 * (right - left),
            };
            self.pools.push(Pool {
                bell,
                x,
                half: POOL,
                mated_y,
            });
        }
    }

    /// The room of a side: from one pool, or end of the hull, to the next.
    fn side(&self, side: usize) -> (f64, f64) {
        let (left, right) = self.hull;
        let from = match side.checked_sub(1).and_then(|k| self.pools.get(k)) {
            Some(pool) => pool.x + pool.half + 16.0,
            None => left + 34.0,
        };
        let to = match self.pools.get(side) {
            Some(pool) => pool.x - pool.half - 74.0,
            None => right - 56.0,
        };
        (from, to)
    }

    /// Height of a row of chambers with what stands over and under it.
    fn row(&self) -> f64 {
        self.under + self.chamber + BELOW
    }

    /// Whether every chamber is long enough for its name with its reading beside it.
    fn names_stand_beside_readings(&self, steel: &Steel, rows: &[Row]) -> bool {
        rows.iter().all(|row| {
            let scale = self.scale(steel, row);
            let fits = |c: &CompartmentId| scale * length(steel, *c) >= named(steel, *c) - 1e-6;
            row.chambers.iter().all(fits)
        })
    }

    /// How much shorter than they would be the chambers of a row are, to find room on their side.
    fn scale(&self, steel: &Steel, row: &Row) -> f64 {
        let (from, to) = self.side(row.side);
        let wanted: f64 = row.chambers.iter().map(|c| length(steel, *c)).sum();
        let room = to - from - GAP * row.chambers.len().saturating_sub(1) as f64;
        (room / wanted).min(1.0)
    }

    fn stand_chambers(&mut self, steel: &Steel, rows: &[Row]) {
        for row in rows {
            let (from, to) = self.side(row.side);
            let y = self.deck_y + row.row as f64 * self.row() + self.under;
            let scale = self.scale(steel, row);
            // From the pool outwards: on its left to the left, on its right to the right.
            let outwards_left = row.side < self.pools.len();
            let mut x = if outwards_left { to } else { from };
            for &c in &row.chambers {
                let long = scale * length(steel, c);
                let left = if outwards_left { x - long } else { x };
                self.places[c.index()] = Some(Rect::new(left, y, left + long, y + self.chamber));
                x = if outwards_left {
                    left - GAP
                } else {
                    left + long + GAP
                };
            }
        }
    }

    /// Trunks stand at the left wall of the pool they belong to, the bell's at the height of the bell, others below.
    fn stand_trunks(&mut self, steel: &Steel) {
        let mut below = vec![0.0; self.pools.len().max(1)];
        let trunks = ids(steel).filter(|c| kind(steel, *c) == CompartmentKind::Trunk);
        for c in trunks {
            let of_bell = self.pools.iter().position(|p| {
                steel.compartments[p.bell.index()]
                    .bell
                    .is_some_and(|b| b.trunk == c)
            });
            let k = of_bell.unwrap_or(0);
            let (wall_x, mated_y) = match self.pools.get(k) {
                Some(pool) => (pool.x - pool.half, pool.mated_y),
                None => (self.hull.1 - 60.0, self.deck_y + 69.0),
            };
            let rect = match of_bell {
                Some(_) => Rect::new(wall_x - 54.0, mated_y - 12.0, wall_x, mated_y + 12.0),
                None => {
                    below[k] += 1.0;
                    let y = mated_y + 1.0 + 23.0 * below[k];
                    Rect::new(wall_x - 54.0, y - 10.0, wall_x - 4.0, y + 10.0)
                }
            };
            self.places[c.index()] = Some(rect);
        }
    }

    /// A rescue chamber stands on deck over the vessel that leads to it, clear of frames, winches and house; a second one
    /// to its left.
    fn stand_rescue(&mut self, steel: &Steel) {
        const APART: f64 = 12.0;
        let rescue = |c: &CompartmentId| kind(steel, *c) == CompartmentKind::Rescue;
        let mut sides = vec![Vec::new(); self.pools.len() + 1];
        for c in ids(steel).filter(rescue) {
            let under = steel.neighbours(c).find_map(|n| self.places[n.index()]);
            let side = under.map_or(self.pools.len(), |r| {
                let before = self.pools.iter().filter(|p| p.x < r.center().x);
                before.count()
            });
            sides[side].push((c, under));
        }
        for (side, all) in sides.iter().enumerate() {
            let (from, to) = self.deck_of(side);
            let wanted = |c: CompartmentId| (0.7 * length(steel, c)).min(150.0);
            let sum: f64 = all.iter().map(|(c, _)| wanted(*c)).sum();
            let room = to - from - APART * all.len().saturating_sub(1) as f64;
            let scale = (room / sum).clamp(0.3, 1.0);
            let mut next = None;
            for (k, &(c, under)) in all.iter().enumerate() {
                let long = scale * wanted(c);
                let left_for_others: f64 = all[k + 1..]
                    .iter()
                    .map(|(other, _)| scale * wanted(*other) + APART)
                    .sum();
                let end = match next {
                    // Its name with its reading ends before the next one's begins.
                    Some(next) => f64::min(next - APART, next + long - label_room(steel, c)),
                    // Over the far end of what leads to it, so that its trunk does not pass through the name.
                    None => under.map_or(to, |r: Rect| r.x1 + 26.0),
                };
                let left = (end.min(to) - long).max(from + left_for_others);
                next = Some(left);
                self.places[c.index()] = Some(Rect::new(
                    left,
                    self.deck_y - 46.0,
                    left + long,
                    self.deck_y - 6.0,
                ));
            }
        }
    }

    /// The free deck of a side: from the hull's end, or the winch of one pool, to the frame of the next, or the house.
    fn deck_of(&self, side: usize) -> (f64, f64) {
        let before = side.checked_sub(1).and_then(|k| self.pools.get(k));
        let from = before.map_or(self.hull.0 + 8.0, |pool| pool.x + 96.0);
        let next = self.pools.get(side);
        let to = next.map_or(self.hull.1 - 104.0, |pool| pool.x - 52.0);
        (from, to)
    }

    /// Whether something else stands on deck to the left of a vessel, close to it.
    pub fn has_a_neighbour_left(&self, on_deck: Rect) -> bool {
        let mut others = self.places.iter().flatten();
        others.any(|r| r.y0 == on_deck.y0 && r.x0 < on_deck.x0 && on_deck.x0 - r.x1 < 120.0)
    }

    /// A lock hangs under the vessel that it opens into.
    fn stand_locks(&mut self, steel: &Steel) {
        let mut taken = vec![0.0; steel.compartments.len()];
        for c in ids(steel) {
            let small = match kind(steel, c) {
                CompartmentKind::MedicalLock => 18.0,
                CompartmentKind::EquipmentLock => 28.0,
                _ => continue,
            };
            let Some(parent) = steel
                .neighbours(c)
                .find(|n| self.places[n.index()].is_some())
            else {
                continue;
            };
            let Some(on) = self.places[parent.index()] else {
                continue;
            };
            let left = on.x0 + 18.0 + taken[parent.index()];
            taken[parent.index()] += small + 10.0;
            self.places[c.index()] = Some(Rect::new(left, on.y1 + 4.0, left + small, on.y1 + 20.0));
        }
    }

    /// A tank that is drained into stands under what drains into it; one that feeds divers stands after the banks.
    fn stand_tanks(&mut self, steel: &Steel) {
        let mut after = steel.banks.len();
        for c in ids(steel) {
            if !is_tank(kind(steel, c)) {
                continue;
            }
            let drained = ids(steel).find(|d| steel.compartments[d.index()].drain_to == Some(c));
            let over = drained.and_then(|d| self.places[d.index()]);
            let rect = match over {
                Some(over) => {
                    let x = (over.x1 - 44.0).max(over.x0 + 50.0);
                    Rect::new(x, over.y1 + 5.0, x + 28.0, over.y1 + 21.0)
                }
                None => {
                    after += 1;
                    let slot = self.slot(after - 1);
                    let top = match self.beside_banks {
                        BesideBanks::Contents => slot.y0 + 16.0,
                        BesideBanks::Name | BesideBanks::Nothing => slot.y0 + 2.0,
                    };
                    let end = slot.x1.min(slot.x0 + 26.0);
                    Rect::new(slot.x0, top, end, slot.y1)
                }
            };
            self.places[c.index()] = Some(rect);
        }
    }

    fn lay_ways(&mut self, steel: &Steel) {
        for (k, door) in (0u8..).zip(&steel.doors) {
            let Some(b) = door.b else { continue };
            let (Some(from), Some(to)) = (self.places[door.a.index()], self.places[b.index()])
            else {
                continue;
            };
            let small = |c: CompartmentId| {
                matches!(
                    kind(steel, c),
                    CompartmentKind::MedicalLock | CompartmentKind::EquipmentLock
                )
            };
            if small(door.a) || small(b) {
                continue;
            }
            let way = self.way(DoorId(k), from, to);
            self.ways.push(way);
        }
    }

    fn way(&self, door: DoorId, a: Rect, b: Rect) -> Way {
        let (left, right) = if a.center().x <= b.center().x {
            (a, b)
        } else {
            (b, a)
        };
        let over = left.x0 < right.x1 && right.x0 < left.x1 && (a.y1 <= b.y0 || b.y1 <= a.y0);
        if over {
            // One stands over the other: straight down between them.
            let (top, bottom) = if a.y0 < b.y0 { (a, b) } else { (b, a) };
            let shared = (top.x0.max(bottom.x0), top.x1.min(bottom.x1));
            let x = shared.1 - (0.5 * (shared.1 - shared.0)).min(34.0);
            return Way {
                door,
                points: vec![(x, top.y1), (x, bottom.y0)],
                // Above the names of what stands below.
                at: Point::new(x, (top.y1 + 18.0).min(0.5 * (top.y1 + bottom.y0))),
                sideways: false,
                behind: false,
            };
        }
        let y = right.center().y.clamp(left.y0 + 8.0, left.y1 - 8.0);
        let y = y.clamp(right.y0 + 6.0, right.y1 - 6.0);
        let clear = !self.places.iter().flatten().any(|r| {
            *r != a
                && *r != b
                && r.x0 > left.x1 - 1.0
                && r.x1 < right.x0 + 1.0
                && r.y0 < y
                && y < r.y1
        });
        let behind = self.pools.iter().any(|p| left.x1 < p.x && p.x < right.x0);
        if clear {
            // Of one that passes behind a pool the door stands where it can be seen.
            let door_x = if behind {
                right.x0 - 9.0
            } else {
                0.5 * (left.x1 + right.x0)
            };
            return Way {
                door,
                points: vec![(left.x1, y), (right.x0, y)],
                at: Point::new(door_x, y),
                sideways: true,
                behind,
            };
        }
        // Something stands between: under the row.
        let under = left.y1.max(right.y1) + 26.0;
        let (x0, x1) = (left.x1 - 16.0, right.x0 + 16.0);
        Way {
            door,
            points: vec![(x0, left.y1), (x0, under), (x1, under), (x1, right.y1)],
            at: Point::new(0.5 * (x0 + x1), under),
            sideways: true,
            behind,
        }
    }

    /// Where banks can stand side by side: between the hull's ends and the pools.
    fn columns(&self) -> Vec<f64> {
        let (left, right) = (self.hull.0 + 34.0, self.hull.1 - 84.0);
        let mut rooms = Vec::new();
        let mut from = left;
        for pool in &self.pools {
            rooms.push((from, pool.x - pool.half - 6.0));
            from = pool.x + pool.half + 12.0;
        }
        rooms.push((from, right));
        let each = rooms.iter().flat_map(|&(a, b)| {
            let fit = ((b - a).max(0.0) / self.bank.0) as usize;
            (0..fit).map(move |k| a + k as f64 * self.bank.0)
        });
        each.collect()
    }

    /// The place of the `k`th bank: in the order of their list, row under row.
    fn slot(&self, k: usize) -> Rect {
        let columns = self.columns();
        let across = columns.len().max(1);
        let x = columns.get(k % across).copied().unwrap_or(self.hull.0);
        let (long, high) = self.bank;
        let y = self.hold_y + (k / across) as f64 * high;
        Rect::new(x, y + 4.0, x + long - 8.0, y + high - 3.0)
    }

    /// Height of a depth of the sea.
    pub fn depth_y(&self, msw: f64) -> f64 {
        self.sea_y + msw * self.per_msw
    }
}
