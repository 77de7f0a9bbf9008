//! The whole page of a present, checked: depths, gas and canisters by compartment, who is where, banks by gauge, and what
//! each level is doing. A job is taken up from it, and whatever one page cannot tell is a stated assumption.

use super::place::{self, NextStep};
use super::{BankStands, PARTS, present_from_text, read, time_of};
use crate::file::{BellAt, CompartmentNow, DiverNow, LevelNow, PhaseNow, PresentFile};
use crate::{Ascent, Scenario};
use deepstay_core::record::Whereabouts;
use deepstay_core::units::*;
use deepstay_read::{Diagnostics, Document, Section, Wrong, did_you_mean, nearest, whole};
use std::path::Path;
use std::sync::Arc;

pub use super::place::LevelStands;

/// Depths on the two sides of an open door are one within this, msw (two gauges, each to its accuracy; house figure).
const ONE_DEPTH_MSW: f64 = 0.5;
/// A level is at the depth it is held at within this, msw (house figure).
const HELD_MSW: f64 = 2.0;
/// Relative humidity where the page says nothing of it (house figure).
const HUMIDITY: f64 = 0.5;
/// A compartment shallower than this is at the surface, msw.
const SURFACE_MSW: f64 = 1.0;
/// Nitrogen of the deck air that was in a compartment when it was shut, as a share of the surface's pressure.
const AIR_N2: f64 = 0.79;

/// A present of which everything is known, or assumed and said so.
#[derive(Clone, Debug, PartialEq)]
pub struct WholePresent {
    /// Seconds since the start.
    pub at_s: i64,
    /// What each compartment is like, in the steel's order; none of one that is at the surface with deck air, or of a
    /// loop's tank as it was charged.
    pub rooms: Vec<Option<RoomStands>>,
    /// Whether each door is open, in the steel's order.
    pub doors: Vec<bool>,
    /// What each level does, in the plan's order, and the step of its plan that comes next.
    pub levels: Vec<(LevelStands, usize)>,
    /// Where each diver is, in the crew's order.
    pub divers: Vec<DiverStands>,
    /// For each bell, in the steel's order, the place in the plan of the run that it makes next.
    pub bells: Vec<usize>,
    /// Every bank, in the steel's order; none of one that stands as it was loaded.
    pub banks: Vec<Option<BankStands>>,
    /// What goes with the people if they have to leave.
    pub evacuation: Evacuation,
    /// What was assumed, a sentence each.
    pub assumed: Vec<String>,
}

/// What goes with the people if they have to leave in the evacuation unit.
#[derive(Clone, Debug, PartialEq)]
pub struct Evacuation {
    /// The compartment they leave in.
    pub unit: CompartmentId,
    /// How many, where it was said.
    pub people: Option<u8>,
    /// Banks that go with it.
    pub banks: Vec<BankId>,
    /// Absorbent that goes with it beside what is in its canister, kg.
    pub absorbent_kg: f64,
    /// Gas volume of the lock, m3, and its runs a day.
    pub lock: Option<(f64, f64)>,
    /// Heating, W.
    pub heater_w: f64,
    /// What surrounds it, K, where it was said.
    pub outside_k: Option<f64>,
}

/// What instruments show of a compartment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RoomStands {
    /// Depth, msw.
    pub depth_msw: f64,
    /// Oxygen, bar.
    pub ppo2_bar: f64,
    /// Carbon dioxide, bar.
    pub ppco2_bar: f64,
    /// Nitrogen, bar.
    pub ppn2_bar: f64,
    /// Temperature, K.
    pub t_k: f64,
    /// Relative humidity, 0 to 1.
    pub humidity: f64,
    /// Time that the canister in use has run, s.
    pub absorbent_s: i64,
}

/// Where a diver is, and his oxygen so far.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DiverStands {
    /// Where.
    pub at: Whereabouts,
    /// Units of pulmonary toxicity and share of the limit of the nervous system, where they are known.
    pub dose: Option<(f64, f64)>,
}

/// Reads a whole present from a file.
///
/// # Errors
/// Everything found wrong: what is missing, and what contradicts itself or the scenario.
pub fn whole_present(path: &Path, scenario: &Scenario) -> Result<WholePresent, Diagnostics> {
    let (name, text) = read(path)?;
    whole_present_from_text(&text, &name, scenario)
}

/// As [`whole_present`], from a text; `name` is its file's, for messages.
///
/// # Errors
/// As there.
pub fn whole_present_from_text(
    text: &str,
    name: &str,
    scenario: &Scenario,
) -> Result<WholePresent, Diagnostics> {
    let gas = present_from_text(text, name, scenario)?;
    let mut diagnostics = Diagnostics::default();
    let section = Section::whole(Arc::new(Document::parse(name, text)?));
    let made = whole::<PresentFile>(section.document(), PARTS, &mut diagnostics).map(|file| {
        let mut page = Page {
            file: &file,
            section: &section,
            scenario,
            diagnostics: &mut diagnostics,
            at_s: gas.at_s,
            assumed: Vec::new(),
        };
        page.whole(&gas.banks, gas.gauge_error_pa)
    });
    diagnostics.close(made)
}

/// A page being checked.
struct Page<'a> {
    file: &'a PresentFile,
    section: &'a Section,
    scenario: &'a Scenario,
    diagnostics: &'a mut Diagnostics,
    at_s: i64,
    assumed: Vec<String>,
}

impl Page<'_> {
    fn whole(&mut self, known: &[BankStands], gauge_error_pa: f64) -> WholePresent {
        let mut rooms = self.rooms();
        let levels = self.levels(&rooms);
        self.thin_nitrogen(&mut rooms, &levels);
        let doors = self.doors(&rooms, &levels);
        let divers = self.divers(&rooms, &levels);
        let bells = self.bells(&rooms);
        let banks = self.banks(known, gauge_error_pa);
        let evacuation = self.evacuation();
        self.assume_the_unsaid();
        self.assume_the_rest(&divers, &rooms);
        WholePresent {
            at_s: self.at_s,
            rooms,
            doors,
            levels,
            divers,
            bells,
            banks,
            evacuation,
            assumed: std::mem::take(&mut self.assumed),
        }
    }

    fn contradiction(&mut self, path: &str, words: String, how: impl Into<String>) {
        let (wrong, how) = (Wrong::Contradiction(words), Some(how.into()));
        self.diagnostics.add_with(self.section, path, wrong, how);
    }

    /// A name among those that there are, or a complaint with the nearest.
    fn named(
        &mut self,
        kind: &'static str,
        name: &str,
        path: &str,
        known: impl Iterator<Item = String>,
    ) -> Option<usize> {
        let known: Vec<String> = known.collect();
        let at = known.iter().position(|k| k == name);
        if at.is_none() {
            let near = did_you_mean(nearest(name, known.iter().map(String::as_str)));
            let name = name.to_owned();
            let wrong = Wrong::NoSuch { kind, name, known };
            self.diagnostics.add_with(self.section, path, wrong, near);
        }
        at
    }

    fn compartment(&mut self, name: &str, path: &str) -> Option<CompartmentId> {
        let scenario = self.scenario;
        let names = scenario.steel.compartments.iter().map(|c| c.name.clone());
        let at = self.named("compartment", name, path, names)?;
        u8::try_from(at).ok().map(CompartmentId)
    }

    fn twice(&mut self, kind: &'static str, name: &str, path: &str) {
        let name = name.to_owned();
        self.diagnostics
            .add(self.section, path, Wrong::Duplicate { kind, name });
    }

    fn room_name(&self, c: CompartmentId) -> &str {
        &self.scenario.steel.compartments[c.index()].name
    }

    fn rooms(&mut self) -> Vec<Option<RoomStands>> {
        let mut rooms = vec![None; self.scenario.steel.compartments.len()];
        let file = self.file;
        for (i, c) in file.compartments.iter().enumerate() {
            let path = format!("compartments[{i}]");
            let Some(id) = self.compartment(&c.name, &format!("{path}.name")) else {
                continue;
            };
            if rooms[id.index()].is_some() {
                self.twice("compartment", &c.name, &format!("{path}.name"));
                continue;
            }
            rooms[id.index()] = self.room(c, id, &path);
        }
        rooms
    }

    fn room(&mut self, c: &CompartmentNow, id: CompartmentId, path: &str) -> Option<RoomStands> {
        let plate = &self.scenario.steel.compartments[id.index()];
        let surface_pa = self.scenario.steel.surface_pa;
        if plate.kind == CompartmentKind::ReclaimTank {
            let words = format!(
                "`{}` is the loop's tank, which begins as it is charged",
                c.name
            );
            self.contradiction(&format!("{path}.name"), words, "leave it out");
            return None;
        }
        if c.depth.0 > plate.rating_msw {
            let wrong = Wrong::Rating {
                depth_msw: c.depth.0,
                what: plate.name.clone(),
                rating_msw: plate.rating_msw,
            };
            let how = "read the gauge again, and take the unit that is on its dial".to_owned();
            let at = format!("{path}.depth");
            self.diagnostics
                .add_with(self.section, &at, wrong, Some(how));
        }
        let p_pa = surface_pa + c.depth.0 * MSW_PA;
        let nitrogen = c.ppn2.map(|p| p.0);
        let ppco2_pa = c.ppco2.map_or(0.0, |p| p.0);
        let humidity = c.humidity.map_or(HUMIDITY, |share| share.0);
        let absorbent_s = c.absorbent.map_or(0, |time| time.0);
        let water_pa = humidity * deepstay_core::gas::water::saturation_pa(c.temperature.0);
        let known_pa = c.ppo2.0 + ppco2_pa + nitrogen.unwrap_or(0.0) + water_pa;
        if known_pa > p_pa {
            let words = format!(
                "oxygen, carbon dioxide, nitrogen and vapour of `{}` are {} bar together, and at {} msw there are {} bar in all",
                c.name,
                fixed(known_pa / BAR_PA, 3),
                fixed_short(c.depth.0),
                fixed(p_pa / BAR_PA, 3)
            );
            let how = "take partial pressures from the analysers: 0.45 bar, or 450 mbar, and no percentages";
            self.contradiction(&format!("{path}.ppo2"), words, how);
        }
        // A trunk that is being vented is far colder than anything that people are in.
        if !(233.15..=333.15).contains(&c.temperature.0) {
            let words = "a compartment's gas lies between -40 and 60 degC".to_owned();
            let at = format!("{path}.temperature");
            self.diagnostics.add(self.section, &at, Wrong::Value(words));
        }
        if absorbent_s > 0 && plate.scrubber.is_none() {
            let words = format!(
                "`{}` has no scrubber, and so no canister that has run",
                c.name
            );
            self.contradiction(&format!("{path}.absorbent"), words, "leave it out");
        }
        Some(RoomStands {
            depth_msw: c.depth.0,
            ppo2_bar: c.ppo2.0 / BAR_PA,
            ppco2_bar: ppco2_pa / BAR_PA,
            ppn2_bar: nitrogen.map_or_else(
                || nitrogen_bar(surface_pa, c.depth.0, c.depth.0).min((p_pa - known_pa) / BAR_PA),
                |p| p / BAR_PA,
            ),
            t_k: c.temperature.0,
            humidity,
            absorbent_s,
        })
    }

    /// What deck air left in a level that comes up has gone out with the gas.
    fn thin_nitrogen(&self, rooms: &mut [Option<RoomStands>], levels: &[(LevelStands, usize)]) {
        let scenario = self.scenario;
        for (level, (stands, _)) in scenario.plan.levels.iter().zip(levels) {
            let LevelStands::Decompression { from_msw, .. } = *stands else {
                continue;
            };
            for c in &level.members {
                let name = self.room_name(*c);
                let mut given = self.file.compartments.iter();
                let measured = given.any(|g| g.name == name && g.ppn2.is_some());
                if let (false, Some(room)) = (measured, &mut rooms[c.index()]) {
                    let surface_pa = scenario.steel.surface_pa;
                    let thinned = nitrogen_bar(surface_pa, from_msw, room.depth_msw);
                    room.ppn2_bar = room.ppn2_bar.min(thinned);
                }
            }
        }
    }

    fn levels(&mut self, rooms: &[Option<RoomStands>]) -> Vec<(LevelStands, usize)> {
        let scenario = self.scenario;
        let file = self.file;
        let mut levels: Vec<Option<(LevelStands, usize)>> = vec![None; scenario.plan.levels.len()];
        for (i, level) in file.levels.iter().enumerate() {
            let path = format!("levels[{i}]");
            let at = format!("{path}.chamber");
            let Some(chamber) = self.compartment(&level.chamber, &at) else {
                continue;
            };
            let living = |k: &usize| scenario.plan.levels[*k].members.first() == Some(&chamber);
            let Some(k) = (0..levels.len()).find(living) else {
                let words = format!(
                    "`{}` is the living chamber of no level of the plan",
                    level.chamber
                );
                let chambers: Vec<&str> = scenario
                    .plan
                    .levels
                    .iter()
                    .filter_map(|l| l.members.first())
                    .map(|c| self.room_name(*c))
                    .collect();
                let how = format!("the plan's living chambers are {}", chambers.join(", "));
                self.contradiction(&at, words, how);
                continue;
            };
            if levels[k].is_some() {
                self.twice("level", &level.chamber, &at);
                continue;
            }
            levels[k] = Some(self.level(level, k, &path, rooms));
        }
        let mut all = Vec::new();
        for (k, found) in levels.into_iter().enumerate() {
            let living = scenario.plan.levels[k].members.first().copied();
            let name = living.map_or(String::new(), |c| self.room_name(c).to_owned());
            all.push(found.unwrap_or_else(|| {
                let words = format!("nothing is said of what the level of `{name}` does");
                let how = format!("add (chamber: \"{name}\", phase: ...) to levels");
                self.contradiction("levels", words, how);
                (LevelStands::Surface, 0)
            }));
        }
        all
    }

    fn level(
        &mut self,
        level: &LevelNow,
        k: usize,
        path: &str,
        rooms: &[Option<RoomStands>],
    ) -> (LevelStands, usize) {
        let plan = &self.scenario.plan.levels[k];
        let chamber = plan.members.first().copied();
        let shown = chamber.and_then(|c| rooms[c.index()]).map(|r| r.depth_msw);
        let path = format!("{path}.phase");
        let mut stands = match &level.phase {
            PhaseNow::Surface => LevelStands::Surface,
            PhaseNow::BlowDown { from, to } => LevelStands::Compression {
                from_msw: from.0,
                to_msw: to.0,
            },
            PhaseNow::Storage(depth) => LevelStands::Storage { depth_msw: depth.0 },
            PhaseNow::Decompression { from, began, to } => {
                let at = format!("{path}.began");
                let began = time_of(began, &at, self.section, self.scenario, self.diagnostics);
                let began_s = began.unwrap_or(self.at_s);
                if began_s > self.at_s {
                    let words = format!(
                        "it began to come up on {}, after this present ({})",
                        self.scenario.time().clock(began_s),
                        self.scenario.time().clock(self.at_s)
                    );
                    self.contradiction(&at, words, "give the time it left its depth");
                }
                LevelStands::Decompression {
                    from_msw: from.0,
                    to_msw: to.0,
                    began_s,
                    why: Ascent::Planned,
                    step: 0,
                    held_msw: from.0,
                }
            }
        };
        let pressed = stands != LevelStands::Surface;
        for &member in &plan.members {
            let room = rooms[member.index()];
            let name = self.room_name(member).to_owned();
            match room {
                None if pressed => {
                    let words = format!(
                        "`{name}` belongs to a level under pressure, and nothing is said of it"
                    );
                    let how = format!(
                        "add (name: \"{name}\", depth: ..., ppo2: ..., temperature: ...) to compartments"
                    );
                    self.contradiction("compartments", words, how);
                }
                Some(room) if !pressed && room.depth_msw >= SURFACE_MSW => {
                    let words = format!(
                        "the level is at the surface, and the gauge of `{name}` shows {} msw",
                        fixed_short(room.depth_msw)
                    );
                    self.contradiction(
                        &path,
                        words,
                        "say what it does: BlowDown, Storage or Decompression",
                    );
                }
                _ => {}
            }
        }
        self.hold_against_gauge(&stands, shown, &path, &level.chamber);
        let next = place::next_step(plan, self.at_s, &stands);
        let Some(NextStep { step, remark }) = next else {
            let words = format!(
                "no step of the plan has the level of `{}` do that",
                level.chamber
            );
            let how = "give the depth and the phase of a step of the plan, or change the plan";
            self.contradiction(&path, words, how);
            return (stands, 0);
        };
        if let Some(remark) = remark {
            let sentence = format!("level of {}: {remark}", level.chamber);
            self.assumed.push(sentence);
        }
        self.find_place(&mut stands, k, step, shown, &path);
        (stands, step)
    }

    fn hold_against_gauge(
        &mut self,
        stands: &LevelStands,
        shown: Option<f64>,
        path: &str,
        chamber: &str,
    ) {
        let Some(shown) = shown else { return };
        let off = match *stands {
            LevelStands::Storage { depth_msw } if (shown - depth_msw).abs() > HELD_MSW => {
                Some(format!("in storage at {} msw", fixed_short(depth_msw)))
            }
            LevelStands::Compression { from_msw, to_msw }
                if !(from_msw - HELD_MSW..=to_msw + HELD_MSW).contains(&shown) =>
            {
                Some(format!(
                    "being pressed from {} to {} msw",
                    fixed_short(from_msw),
                    fixed_short(to_msw)
                ))
            }
            _ => None,
        };
        if let Some(what) = off {
            let words = format!(
                "the level is {what}, and the gauge of `{chamber}` shows {} msw",
                fixed_short(shown)
            );
            self.contradiction(
                path,
                words,
                "read the gauge again, or say what the level does",
            );
        }
    }

    /// The place of a level that comes up on its timetable.
    fn find_place(
        &mut self,
        stands: &mut LevelStands,
        k: usize,
        next: usize,
        shown: Option<f64>,
        path: &str,
    ) {
        let LevelStands::Decompression {
            from_msw,
            to_msw,
            began_s,
            why,
            step,
            held_msw,
        } = stands
        else {
            return;
        };
        *why = place::why_up(&self.scenario.plan.levels[k], next, *from_msw, *to_msw);
        let Some(plan) = self.scenario.ascent(*why, (*from_msw, *to_msw), *began_s) else {
            let words = format!(
                "the rule set has no way up from {} msw to {} msw",
                fixed_short(*from_msw),
                fixed_short(*to_msw)
            );
            let how = "take a rule set that answers: deepstay check --matrix names the rows that are missing";
            self.contradiction(path, words, how);
            return;
        };
        let Some(shown) = shown else { return };
        match place::place(&plan, *from_msw, self.at_s - *began_s, shown) {
            Ok(found) => (*step, *held_msw) = (found.step, found.held_msw),
            Err(off) => {
                let (words, how) = place::off_the_timetable(
                    self.scenario,
                    (*from_msw, *began_s),
                    (self.at_s, shown),
                    off,
                );
                let wrong = Wrong::Contradiction(words);
                self.diagnostics.add_with(self.section, path, wrong, how);
            }
        }
    }

    /// Doors as they stand in levels at rest, but for those that the page names.
    fn doors(
        &mut self,
        rooms: &[Option<RoomStands>],
        levels: &[(LevelStands, usize)],
    ) -> Vec<bool> {
        let scenario = self.scenario;
        let depth = |c: CompartmentId| rooms[c.index()].map_or(0.0, |r| r.depth_msw);
        let level_of = |c: CompartmentId| {
            let mut of = scenario.plan.levels.iter().zip(levels);
            let mine = of.find(|(level, _)| level.members.contains(&c));
            mine.map(|(level, (stands, _))| {
                (level.members.first(), *stands != LevelStands::Surface)
            })
        };
        let plates = &scenario.steel.doors;
        let mut doors: Vec<bool> = plates
            .iter()
            .map(|d| match d.b {
                Some(b) if d.clamp => {
                    depth(d.a) >= SURFACE_MSW && (depth(d.a) - depth(b)).abs() <= ONE_DEPTH_MSW
                }
                Some(b) => match (level_of(d.a), level_of(b)) {
                    (Some((x, true)), Some((y, true))) => x == y,
                    (Some((_, true)), _) | (_, Some((_, true))) => false,
                    _ => d.open_at_start && depth(d.a) < SURFACE_MSW && depth(b) < SURFACE_MSW,
                },
                None => {
                    d.open_at_start
                        && depth(d.a) < SURFACE_MSW
                        && level_of(d.a).is_none_or(|(_, pressed)| !pressed)
                }
            })
            .collect();
        let file = self.file;
        for (i, door) in file.doors.iter().enumerate() {
            let path = format!("doors[{i}]");
            let names = plates.iter().map(|d| d.name.clone());
            let Some(d) = self.named("door", &door.name, &format!("{path}.name"), names) else {
                continue;
            };
            if file.doors[..i]
                .iter()
                .any(|before| before.name == door.name)
            {
                self.twice("door", &door.name, &format!("{path}.name"));
            }
            doors[d] = door.open;
            let of_trunk = |c: CompartmentId| {
                scenario.steel.compartments[c.index()].kind == CompartmentKind::Trunk
            };
            if door.open
                && !plates[d].clamp
                && plates[d]
                    .b
                    .is_some_and(|b| of_trunk(b) || of_trunk(plates[d].a))
            {
                let words = format!(
                    "`{}` is open: people are going through the trunk",
                    door.name
                );
                let how = "take the present when the bell run begins or is over and the trunk is shut: one page does not tell how far a transfer has gone";
                self.contradiction(&path, words, how);
            }
        }
        for (d, plate) in plates.iter().enumerate() {
            let is_bell =
                scenario.steel.compartments[plate.a.index()].kind == CompartmentKind::Bell;
            let away = file
                .bells
                .iter()
                .any(|b| b.at == BellAt::Away && b.name == self.room_name(plate.a));
            if !doors[d] || (is_bell && plate.b.is_none() && away) {
                continue;
            }
            let (a, b) = (depth(plate.a), plate.b.map_or(0.0, depth));
            if (a - b).abs() <= ONE_DEPTH_MSW {
                continue;
            }
            let given = file.doors.iter().position(|g| g.name == plate.name);
            let path = match (
                given,
                file.compartments
                    .iter()
                    .position(|c| c.name == self.room_name(plate.a)),
            ) {
                (Some(i), _) => format!("doors[{i}]"),
                (None, Some(i)) => format!("compartments[{i}].depth"),
                (None, None) => "compartments".to_owned(),
            };
            let other = plate.b.map_or("outside", |b| self.room_name(b));
            let words = format!(
                "`{}` is open, and `{}` is at {} msw, {} at {} msw",
                plate.name,
                self.room_name(plate.a),
                fixed_short(a),
                if plate.b.is_some() {
                    format!("`{other}`")
                } else {
                    other.to_owned()
                },
                fixed_short(b)
            );
            let how = format!(
                "read both gauges again, or say that it is shut: doors: [(name: \"{}\", open: false)]",
                plate.name
            );
            self.contradiction(&path, words, how);
        }
        doors
    }

    fn divers(
        &mut self,
        rooms: &[Option<RoomStands>],
        levels: &[(LevelStands, usize)],
    ) -> Vec<DiverStands> {
        let scenario = self.scenario;
        let file = self.file;
        let mut divers: Vec<Option<DiverStands>> = vec![None; scenario.crew.len()];
        for (i, diver) in file.divers.iter().enumerate() {
            let path = format!("divers[{i}]");
            let names = scenario.crew.iter().map(|d| d.initials.clone());
            let at = format!("{path}.initials");
            let Some(d) = self.named("diver", &diver.initials, &at, names) else {
                continue;
            };
            let there = self.diver(diver, &path, rooms, levels);
            if let Some(before) = divers[d] {
                let words = match there {
                    Some(now) if now.at != before.at => {
                        format!("diver {} is in two places", diver.initials)
                    }
                    _ => format!("diver {} is named twice", diver.initials),
                };
                self.contradiction(
                    &at,
                    words,
                    "name each diver once, where he was counted last",
                );
                continue;
            }
            divers[d] = there.or(Some(DiverStands {
                at: Whereabouts::Deck,
                dose: None,
            }));
        }
        let missing: Vec<&str> = scenario
            .crew
            .iter()
            .zip(&divers)
            .filter(|(_, there)| there.is_none())
            .map(|(d, _)| d.initials.as_str())
            .collect();
        if !missing.is_empty() {
            let words = format!("it is not said where {} is", missing.join(", "));
            let how =
                "count heads, and name every diver of the crew: in a compartment, or on \"deck\"";
            self.contradiction("divers", words, how);
        }
        let all: Vec<DiverStands> = divers
            .into_iter()
            .map(|d| {
                d.unwrap_or(DiverStands {
                    at: Whereabouts::Deck,
                    dose: None,
                })
            })
            .collect();
        for (i, plate) in (0u8..).zip(&scenario.steel.compartments) {
            let here = Whereabouts::In(CompartmentId(i));
            let people = all.iter().filter(|d| d.at == here).count();
            if people > usize::from(plate.places) {
                let wrong = Wrong::Crowded {
                    people,
                    what: plate.name.clone(),
                    places: usize::from(plate.places),
                };
                self.diagnostics.add(self.section, "divers", wrong);
            }
        }
        all
    }

    fn diver(
        &mut self,
        diver: &DiverNow,
        path: &str,
        rooms: &[Option<RoomStands>],
        levels: &[(LevelStands, usize)],
    ) -> Option<DiverStands> {
        let dose = diver.dose.map(|d| (d.uptd.0, d.cns.0));
        if diver.dose.is_some_and(|d| d.uptd.0 < 0.0) {
            let words = "a dose of oxygen is not negative".to_owned();
            let at = format!("{path}.dose.uptd");
            self.diagnostics.add(self.section, &at, Wrong::Value(words));
        }
        if diver.at == "deck" {
            let at = Whereabouts::Deck;
            return Some(DiverStands { at, dose });
        }
        let at = format!("{path}.at");
        let c = self.compartment(&diver.at, &at)?;
        let kind = self.scenario.steel.compartments[c.index()].kind;
        match kind {
            CompartmentKind::Living | CompartmentKind::Transfer | CompartmentKind::Rescue => {}
            CompartmentKind::Bell | CompartmentKind::Trunk => {
                let words = format!(
                    "{} is in `{}`: a bell run is under way",
                    diver.initials, diver.at
                );
                let how = "take the present before the divers leave the chamber or after they are home: one page does not tell how far a run has gone";
                self.contradiction(&at, words, how);
            }
            CompartmentKind::MedicalLock
            | CompartmentKind::EquipmentLock
            | CompartmentKind::HoldingTank
            | CompartmentKind::ReclaimTank => {
                let words = format!("nobody lives in `{}`", diver.at);
                self.contradiction(&at, words, "name the chamber he is in");
            }
        }
        let mut of = self.scenario.plan.levels.iter().zip(levels);
        let level = of.find(|(level, _)| level.members.contains(&c));
        let pressed = level.is_some_and(|(_, (stands, _))| *stands != LevelStands::Surface);
        let depth = rooms[c.index()].map(|r| r.depth_msw);
        if pressed
            && depth.is_some_and(|d| d < SURFACE_MSW)
            && !matches!(
                level,
                Some((
                    _,
                    (
                        LevelStands::Compression { .. } | LevelStands::Decompression { .. },
                        _
                    )
                ))
            )
        {
            let words = format!(
                "{} is in `{}`, which belongs to a level in storage, and its gauge shows {} msw",
                diver.initials,
                diver.at,
                fixed_short(depth.unwrap_or(0.0))
            );
            self.contradiction(&at, words, "read the gauge and count heads again");
        }
        let at = Whereabouts::In(c);
        Some(DiverStands { at, dose })
    }

    fn bells(&mut self, rooms: &[Option<RoomStands>]) -> Vec<usize> {
        let scenario = self.scenario;
        let file = self.file;
        let plates = &scenario.steel.compartments;
        let runs = &scenario.plan.bell_runs;
        let ids: Vec<CompartmentId> = (0u8..)
            .zip(plates)
            .filter(|(_, c)| c.kind == CompartmentKind::Bell)
            .map(|(i, _)| CompartmentId(i))
            .collect();
        let mut named: Vec<Option<usize>> = vec![None; ids.len()];
        for (i, bell) in file.bells.iter().enumerate() {
            let path = format!("bells[{i}]");
            let names = ids.iter().map(|c| plates[c.index()].name.clone());
            let Some(b) = self.named("bell", &bell.name, &format!("{path}.name"), names) else {
                continue;
            };
            if file.bells[..i]
                .iter()
                .any(|before| before.name == bell.name)
            {
                self.twice("bell", &bell.name, &format!("{path}.name"));
            }
            if bell.at == BellAt::Away {
                let words = format!(
                    "`{}` is away from its trunk: a bell run is under way",
                    bell.name
                );
                let how = "take the present when it is mated and its divers are home: one page does not tell how far a run has gone, nor what is left of its clock";
                self.contradiction(&format!("{path}.at"), words, how);
            }
            if let Some(number) = bell.next_run {
                let index = (number as usize).checked_sub(1);
                let run = index.and_then(|k| runs.get(k)).filter(|r| r.bell == ids[b]);
                if run.is_none() {
                    let words = format!("the plan has no run {number} of `{}`", bell.name);
                    let how = format!("the plan's runs are 1 to {}", runs.len());
                    self.contradiction(&format!("{path}.next_run"), words, how);
                }
                named[b] = index.filter(|_| run.is_some());
            }
        }
        let mut next = Vec::new();
        for (b, &bell) in ids.iter().enumerate() {
            let name = self.room_name(bell).to_owned();
            let trunk = plates[bell.index()].bell.map(|fitted| fitted.trunk);
            for c in [Some(bell), trunk].into_iter().flatten() {
                if rooms[c.index()].is_none() {
                    let missing = self.room_name(c).to_owned();
                    let words = format!(
                        "nothing is said of `{missing}`, which the next bell run goes through"
                    );
                    let how = format!(
                        "add (name: \"{missing}\", depth: ..., ppo2: ..., temperature: ...) to compartments, at 0 msw where it is vented"
                    );
                    self.contradiction("compartments", words, how);
                }
            }
            let planned = runs
                .iter()
                .position(|r| r.bell == bell && r.at >= self.at_s);
            let index = named[b].or(planned).unwrap_or(runs.len());
            let run = runs.get(index).map(|r| {
                format!(
                    "run {}, planned for {}, is its next",
                    index + 1,
                    scenario.time().clock(r.at)
                )
            });
            let run = run.unwrap_or_else(|| "no run of the plan is left".to_owned());
            let given = if named[b].is_some() {
                ""
            } else {
                " (not given; those planned before count as over)"
            };
            self.assumed
                .push(format!("{name}: on its trunk, empty; {run}{given}"));
            next.push(index);
        }
        next
    }

    fn banks(&mut self, known: &[BankStands], gauge_error_pa: f64) -> Vec<Option<BankStands>> {
        let scenario = self.scenario;
        let steel = &scenario.steel;
        let mut banks = vec![None; steel.banks.len()];
        for stands in known {
            let plate = &steel.banks[stands.bank.index()];
            let most = plate.fill_gauge_pa * stands.t_k / plate.t_k + gauge_error_pa;
            let at = self.file.banks.iter().position(|b| b.name == plate.name);
            if let (true, Some(i)) = (stands.gauge_pa > most, at) {
                let words = format!(
                    "`{}` is filled to {} bar at {} degC, and its gauge shows {} bar",
                    plate.name,
                    fixed_short(plate.fill_gauge_pa / BAR_PA),
                    fixed_short(plate.t_k - ZERO_C_K),
                    fixed_short(stands.gauge_pa / BAR_PA)
                );
                let how = "read the gauge again; bottles that are warmer show more: give their temperature";
                self.contradiction(&format!("banks[{i}].gauge"), words, how);
            }
            banks[stands.bank.index()] = Some(*stands);
        }
        let left_out: Vec<&str> = steel
            .banks
            .iter()
            .zip(&banks)
            .filter(|(_, known)| known.is_none())
            .map(|(plate, _)| plate.name.as_str())
            .collect();
        if !left_out.is_empty() {
            let sentence = format!("banks {}: as loaded at the start", left_out.join(", "));
            self.assumed.push(sentence);
        }
        banks
    }

    fn evacuation(&mut self) -> Evacuation {
        let scenario = self.scenario;
        let steel = &scenario.steel;
        let said = &self.file.evacuation;
        let first_living = scenario.plan.levels.first().and_then(|l| l.members.first());
        let usual = steel
            .first(CompartmentKind::Rescue)
            .or(first_living.copied());
        let mut unit = usual.unwrap_or(CompartmentId(0));
        if let Some(name) = &said.unit
            && let Some(c) = self.compartment(name, "evacuation.unit")
        {
            let kind = steel.compartments[c.index()].kind;
            if !matches!(kind, CompartmentKind::Rescue | CompartmentKind::Living) {
                let words = format!("nobody is evacuated in `{name}`");
                let how = "name a rescue chamber (HRC), or the chamber people would stay in";
                self.contradiction("evacuation.unit", words, how);
            }
            unit = c;
        }
        let mut banks = Vec::new();
        for (i, name) in said.banks.iter().enumerate() {
            let path = format!("evacuation.banks[{i}]");
            let names = steel.banks.iter().map(|b| b.name.clone());
            let Some(at) = self.named("bank", name, &path, names) else {
                continue;
            };
            let bank = BankId(u8::try_from(at).unwrap_or(u8::MAX));
            if banks.contains(&bank) {
                self.twice("bank", name, &path);
            }
            banks.push(bank);
        }
        let places = steel.compartments[unit.index()].places;
        if let Some(people) = said.people
            && (people == 0 || people > places)
        {
            let wrong = match people {
                0 => Wrong::Value("somebody is evacuated, or nobody need be".to_owned()),
                _ => Wrong::Crowded {
                    people: usize::from(people),
                    what: self.room_name(unit).to_owned(),
                    places: usize::from(places),
                },
            };
            self.diagnostics
                .add(self.section, "evacuation.people", wrong);
        }
        if said
            .lock_runs
            .is_some_and(|n| !(0.0..=100.0).contains(&n.0))
        {
            let words = "runs of a lock lie between 0 and 100 a day".to_owned();
            let wrong = Wrong::Value(words);
            self.diagnostics
                .add(self.section, "evacuation.lock_runs", wrong);
        }
        if said.lock_runs.is_some() && said.lock.is_none() {
            let words = "runs of a lock are given, and no lock".to_owned();
            let how = "add its gas volume: lock: \"0.05 m3\"";
            self.contradiction("evacuation.lock_runs", words, how);
        }
        Evacuation {
            unit,
            people: said.people,
            banks,
            absorbent_kg: said.absorbent.map_or(0.0, |m| m.0),
            lock: said
                .lock
                .map(|v| (v.0, said.lock_runs.map_or(0.0, |n| n.0))),
            heater_w: said.heater.map_or(0.0, |p| p.0),
            outside_k: said.outside.map(|t| t.0),
        }
    }

    /// What is assumed where the page is silent on something of a compartment.
    fn assume_the_unsaid(&mut self) {
        let scenario = self.scenario;
        let compartments = &self.file.compartments;
        let has_canister = |name: &str| {
            let mut plates = scenario.steel.compartments.iter();
            plates.any(|c| c.name == name && c.scrubber.is_some())
        };
        let unsaid = |is_unsaid: &dyn Fn(&CompartmentNow) -> bool| -> String {
            let of = compartments.iter().filter(|c| is_unsaid(c));
            of.map(|c| c.name.as_str()).collect::<Vec<_>>().join(", ")
        };
        for (what, names) in [
            ("carbon dioxide: none in", unsaid(&|c| c.ppco2.is_none())),
            ("humidity: 50 % in", unsaid(&|c| c.humidity.is_none())),
            (
                "canister: fresh in",
                unsaid(&|c| c.absorbent.is_none() && has_canister(&c.name)),
            ),
        ] {
            if !names.is_empty() {
                self.assumed.push(format!(
                    "{what} {names}, of which the page does not tell it"
                ));
            }
        }
    }

    /// What one page does not tell.
    fn assume_the_rest(&mut self, divers: &[DiverStands], rooms: &[Option<RoomStands>]) {
        let scenario = self.scenario;
        let steel = &scenario.steel;
        let left_out: Vec<&str> = steel
            .compartments
            .iter()
            .zip(rooms)
            .filter(|(c, room)| room.is_none() && c.kind != CompartmentKind::ReclaimTank)
            .map(|(c, _)| c.name.as_str())
            .collect();
        let mut assume = |sentence: String| self.assumed.push(sentence);
        if !left_out.is_empty() {
            assume(format!(
                "{}: at the surface, with deck air",
                left_out.join(", ")
            ));
        }
        assume("gas: what the analysers do not tell is helium; nitrogen, where it is not given, is what deck air left when the level was shut in, less its share of what was bled since".to_owned());
        assume("walls: as warm as the gas".to_owned());
        assume("canisters: have taken what those in the level give off at rest in the hours that they have run, shared among the canisters of the level".to_owned());
        assume("instruments: analysers and depth gauges were set against their standards at the present; thermometers, hygrometers and bank gauges keep the errors of this job, and the page is what they show".to_owned());
        assume("machines: the scrubber fans of levels under pressure run, and the watch sets oxygen and climate anew; valves are shut and no bank is lined up".to_owned());
        if steel.reclaim.is_some() {
            assume("loop: charged as at the start, its absorbent fresh".to_owned());
        }
        assume("people: well, on no mask, at rest; saturated at the pressure they are in; their bail-outs are full".to_owned());
        let hours = "hours under pressure, in the bell and in the water: counted from the present"
            .to_owned();
        assume(hours);
        let unknown: Vec<&str> = scenario
            .crew
            .iter()
            .zip(divers)
            .filter(|(_, d)| d.dose.is_none() && d.at != Whereabouts::Deck)
            .map(|(d, _)| d.initials.as_str())
            .collect();
        if !unknown.is_empty() {
            assume(format!(
                "oxygen dose before the present: not given for {}; counted from the present",
                unknown.join(", ")
            ));
        }
        let come = scenario.faults.iter().filter(|f| f.at <= self.at_s);
        for fault in come {
            let words = scenario.fault_words(&fault.what);
            let now = match fault.until {
                Some(until) if until <= self.at_s => "over",
                _ => "stands, and nothing has been done about it",
            };
            assume(format!("fault of the scenario ({words}): {now}"));
        }
        assume(
            "routines, rounds and calibrations: begun anew at the present, at other minutes than those of a job that was never put down"
                .to_owned(),
        );
        assume("weather: the one that the seed has at this time of the job".to_owned());
    }
}

/// Nitrogen that deck air left in a compartment, bar, where the level has been bled from a depth to one.
fn nitrogen_bar(surface_pa: f64, from_msw: f64, depth_msw: f64) -> f64 {
    let p = |msw: f64| surface_pa + msw * MSW_PA;
    let share = AIR_N2 * surface_pa / p(from_msw.max(depth_msw));
    share * p(depth_msw) / BAR_PA
}
