//! One level of the system under saturation control: its stage from surface to surface, and the round
//! that is made of its panel.

use super::absorbent::Absorbent;
use super::asked;
use super::banks::Banks;
use super::board::LevelWord;
use super::climate::Climate;
use super::context::Look;
use super::decompress::{Decompress, band};
use super::depth_read::DepthReadings;
use super::hold::Hold;
use super::house_figures;
use super::house_figures::sampled;
use super::layout::LevelLayout;
use super::make_up::make_up;
use super::masks::Masks;
use super::oxygen::Oxygen;
use super::oxygen_on_descent;
use super::press::{self, Found, Press};
use super::rejoin::Rejoin;
use super::relieve;
use super::surface;
use super::timetables::Timetables;
use crate::random::Draw;
use deepstay_core::record::{
    LineName, Machine, Phase, Refused, Routine, Station, ValveName, What, Whereabouts,
};
use deepstay_core::units::*;
use deepstay_scenario::{Ascent, LevelDo, LevelStands, LevelStep};
use serde::{Deserialize, Serialize};

/// Where a level stands.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Stage {
    /// At the surface, nothing begun.
    Surface,
    /// Divers going in, doors being shut, machines started; to be done by this second.
    Checks {
        /// When pressing may begin, s.
        until: i64,
        /// Storage depth to press to, msw.
        to_msw: f64,
    },
    /// Pressing.
    Press(Press),
    /// Held at storage depth.
    Storage,
    /// Coming up.
    Decompress(Decompress),
    /// Found in the middle of what it does, and not looked at yet.
    Found(LevelStands),
    /// At the surface, doors being opened.
    Opening {
        /// When the door is tried, s.
        until: i64,
    },
}

/// State of a level.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LevelState {
    level: usize,
    /// Next step of the plan.
    step: usize,
    /// Where it stands.
    pub stage: Stage,
    /// Depth it is meant to have, msw.
    pub target_msw: f64,
    readings: DepthReadings,
    hold: Hold,
    /// Oxygen.
    pub oxygen: Oxygen,
    absorbent: Absorbent,
    climate: Climate,
    rejoin: Rejoin,
    masks: Masks,
    next_round: i64,
    next_readings: i64,
    /// When rounds and readings come.
    rounds: Draw,
}

impl LevelState {
    /// At the surface.
    pub fn new(level: usize, members: usize, hand_takes: Draw, rounds: Draw) -> LevelState {
        LevelState {
            level,
            step: 0,
            stage: Stage::Surface,
            target_msw: 0.0,
            readings: DepthReadings::default(),
            hold: Hold::new(hand_takes),
            oxygen: Oxygen::default(),
            absorbent: Absorbent::new(members),
            climate: Climate::default(),
            rejoin: Rejoin::default(),
            masks: Masks::default(),
            next_round: 0,
            next_readings: 0,
            rounds,
        }
    }

    /// Goes on from what the panel shows and the board says, after somebody else sat here: handles shut, what he did
    /// of the plan taken as done.
    pub fn sit_down_again(
        &mut self,
        look: &mut Look,
        layout: &LevelLayout,
        timetables: &mut Timetables,
    ) {
        relieve::shut_level(look, layout);
        self.hold.begin_anew(look.now);
        self.oxygen.begin_anew();
        self.climate = Climate::default();
        self.rejoin = Rejoin::default();
        self.masks = Masks::found(relieve::on_bibs(look, layout));
        self.next_round = look.now;
        let word = look.board.levels[self.level];
        let depth_msw = look.depth(self.living(look));
        let steps = &look.kit.scenario.plan.levels[self.level].steps;
        while let Some(step) = steps.get(self.step)
            && step.at <= look.now
            && self.was_done(step.what, &word, depth_msw)
        {
            self.step += 1;
        }
        self.target_msw = word.target_msw;
        match word.phase {
            _ if depth_msw <= house_figures::DEPTH_LOW_MSW => self.find_surface(look, layout),
            Phase::Compression if word.target_msw > depth_msw => {
                self.begin_press(look, timetables, word.target_msw);
            }
            Phase::Decompression => {
                let (to_msw, ascent) = self.planned_below(steps, depth_msw);
                self.target_msw = depth_msw;
                self.begin_up(look, timetables, to_msw, ascent);
            }
            Phase::Surface | Phase::Compression => {
                let stands = LevelStands::Storage { depth_msw };
                self.find_its_feet(look, timetables, stands);
            }
            Phase::Storage => {
                let depth_msw = word.target_msw;
                let stands = LevelStands::Storage { depth_msw };
                self.find_its_feet(look, timetables, stands);
            }
        }
    }

    /// At the surface, or as good as there: what was begun goes on; whoever came up by another hand is let out.
    fn find_surface(&mut self, look: &mut Look, layout: &LevelLayout) {
        let begun = matches!(
            self.stage,
            Stage::Surface | Stage::Checks { .. } | Stage::Opening { .. }
        );
        if !begun && self.anybody_in(look, layout) {
            self.end_of_travel(look, 0.0);
        } else if !begun {
            self.oxygen.off(look, self.level);
            self.stage = Stage::Surface;
        }
        let soon = look.now + 1;
        look.wake(soon);
    }

    /// Whether a step of the plan that is past was done by whoever sat here, going by what he said.
    fn was_done(&self, what: LevelDo, word: &LevelWord, depth_msw: f64) -> bool {
        let at_surface = depth_msw <= house_figures::DEPTH_LOW_MSW;
        match what {
            LevelDo::Press(to_msw) | LevelDo::ChangeStorage(to_msw) => match word.phase {
                Phase::Compression | Phase::Storage => word.target_msw == to_msw,
                Phase::Decompression => to_msw < depth_msw,
                Phase::Surface => false,
            },
            LevelDo::Decompress | LevelDo::Abort => {
                word.phase == Phase::Decompression || (at_surface && self.pressed())
            }
        }
    }

    fn anybody_in(&self, look: &Look, layout: &LevelLayout) -> bool {
        look.crew().any(|d| matches!(look.panel.whereabouts(d), Whereabouts::In(c) if layout.members.contains(&c)))
    }

    /// Where a decompression under way leads by the plan: to the storage depth of the last step, where that was a
    /// change of storage to a lesser one, else to the surface.
    fn planned_below(&self, steps: &[LevelStep], depth_msw: f64) -> (f64, Ascent) {
        let last = self.step.checked_sub(1).and_then(|k| steps.get(k));
        match last.map(|s| s.what) {
            Some(LevelDo::ChangeStorage(to_msw)) if to_msw < depth_msw => (to_msw, Ascent::Change),
            _ => (0.0, Ascent::Planned),
        }
    }

    /// Found doing something, with the step of the plan that comes next.
    pub fn found(mut self, stands: LevelStands, next_step: usize) -> LevelState {
        self.step = next_step;
        self.target_msw = stands.ordered_msw().1;
        self.stage = match stands {
            LevelStands::Surface => Stage::Surface,
            under_pressure => Stage::Found(under_pressure),
        };
        self
    }

    /// What it does, for a page that another goes on from.
    pub fn stands(&self) -> LevelStands {
        match self.stage {
            Stage::Surface | Stage::Checks { .. } | Stage::Opening { .. } => LevelStands::Surface,
            Stage::Press(press) => LevelStands::Compression {
                from_msw: press.from_msw,
                to_msw: press.to_msw,
            },
            Stage::Storage => LevelStands::Storage {
                depth_msw: self.target_msw,
            },
            Stage::Decompress(d) => d.stands(),
            Stage::Found(stands) => stands,
        }
    }

    /// Whether people live here under pressure.
    pub fn pressed(&self) -> bool {
        !matches!(
            self.stage,
            Stage::Surface | Stage::Checks { .. } | Stage::Opening { .. }
        )
    }

    /// Whether its doors are kept shut for the search of a leak.
    pub fn keeps_apart(&self) -> bool {
        self.hold.keeps_apart()
    }

    /// Whether locks may be run: pressed, and not on the way down.
    pub fn steady(&self) -> bool {
        matches!(self.stage, Stage::Storage | Stage::Decompress(_))
    }

    /// Charges of absorbent used that are to be brought in.
    pub fn absorbent_to_bring(&mut self) -> u8 {
        self.absorbent.take_due()
    }

    /// Looks and acts.
    pub fn act(&mut self, look: &mut Look, banks: &mut Banks, timetables: &mut Timetables) {
        if self.pressed() && !self.readings.agree(look, self.level) {
            self.stand_still(look);
        } else {
            self.go_on(look, banks, timetables);
        }
        if self.steady() {
            let moves = self.gas_moves(look);
            let unsteady = self.hold.unsteady();
            self.oxygen.act(look, self.level, moves, unsteady, banks);
        }
        if self.pressed() {
            self.climate.listen(look, self.level, self.target_msw);
            self.absorbent.lamps(look, self.level);
            if look.now >= self.next_round {
                self.round(look, banks);
                let (least, most) = sampled::ROUND_EARLY;
                let early_s = house_figures::ROUND_S as f64 * self.rounds.between(least, most);
                self.next_round = look.now + house_figures::ROUND_S - early_s as i64;
            }
            look.wake(self.next_round);
            self.readings_of_the_hour(look);
        }
        let wanted = self.pressed()
            && (self.hold.wants_masks()
                || self.absorbent.wants_masks()
                || self.oxygen.wants_masks());
        self.masks.act(look, self.level, wanted, banks);
        self.tell_board(look);
    }

    fn go_on(&mut self, look: &mut Look, banks: &mut Banks, timetables: &mut Timetables) {
        if self.steady() {
            self.hold.look_for_climb(look, self.level);
        }
        match self.stage {
            Stage::Surface => self.at_surface(look),
            Stage::Checks { until, to_msw } => self.checks(look, banks, timetables, until, to_msw),
            Stage::Press(press) => self.press(look, banks, timetables, press),
            Stage::Storage => self.storage(look, banks, timetables),
            Stage::Decompress(d) => self.come_up(look, banks, timetables, d),
            Stage::Found(stands) => self.find_its_feet(look, timetables, stands),
            Stage::Opening { until } => self.opening(look, until),
        }
        if self.steady() && self.hold.stop_leak(look) {
            self.rejoin.soon(look);
        }
    }

    /// Goes on with what the level was found doing.
    fn find_its_feet(&mut self, look: &mut Look, timetables: &mut Timetables, stands: LevelStands) {
        match stands {
            LevelStands::Surface => self.stage = Stage::Surface,
            LevelStands::Storage { depth_msw } => {
                self.target(look, depth_msw);
                self.arrive(look);
            }
            LevelStands::Compression { from_msw, to_msw } => {
                let mut press = Press::new(from_msw, to_msw);
                let depth_msw = look.depth(self.living(look));
                if let Some(plan) = timetables.compression(look, self.level, from_msw, to_msw) {
                    press = press.found_at(plan, depth_msw);
                    self.take_up(look, &plan.rows);
                }
                self.stage = Stage::Press(press);
                self.phase(look, Phase::Compression);
                self.target(look, to_msw);
            }
            LevelStands::Decompression {
                from_msw,
                to_msw,
                began_s,
                why,
                step,
                held_msw,
            } => {
                let d = Decompress::new(began_s, from_msw, to_msw, why).found_at(step, held_msw);
                if let Some(plan) = timetables.decompression(look, self.level, &d) {
                    self.take_up(look, &plan.rows);
                }
                self.stage = Stage::Decompress(d);
                self.phase(look, Phase::Decompression);
                self.target(look, held_msw);
                self.climate.aim(look, self.level, held_msw);
                self.recover(look, true);
            }
        }
        let at = look.now + 1;
        look.wake(at);
    }

    /// Switches the recovery of the chamber's gas on, where it is wanted on the way up, or off.
    fn recover(&self, look: &mut Look, on: bool) {
        let scenario = &look.kit.scenario;
        if scenario.plan.recover_chamber_gas && scenario.steel.recovery.is_some() {
            let c = self.living(look);
            look.switch(c, Machine::Recovery, on);
        }
    }

    /// While no gauge decides at what depth people are, nothing is pressed and nothing bled.
    fn stand_still(&mut self, look: &mut Look) {
        press::shut(look, self.level);
        if let Stage::Press(press) = &mut self.stage {
            press.interrupted();
        }
        self.hold.stop(look, self.level);
    }

    /// Whether gas other than oxygen is being let into the level: made up, or through a door or an equalising
    /// valve from outside.
    fn gas_moves(&self, look: &Look) -> bool {
        let layout = &look.kit.layout.levels[self.level];
        let pressed = |c: &CompartmentId| look.panel.valve(ValveName::BlowDown(*c)) > 0.0;
        let joined =
            |d: &DoorId| look.panel.open(*d) || look.panel.valve(ValveName::Equalise(*d)) > 0.0;
        layout.members.iter().any(pressed) || layout.around.iter().any(joined)
    }

    fn living(&self, look: &Look) -> CompartmentId {
        look.home(self.level)
    }

    fn next_step(&self, look: &Look) -> Option<LevelStep> {
        look.kit.scenario.plan.levels[self.level]
            .steps
            .get(self.step)
            .copied()
    }

    fn at_surface(&mut self, look: &mut Look) {
        let Some(step) = self.next_step(look) else {
            return;
        };
        let (LevelDo::Press(to_msw) | LevelDo::ChangeStorage(to_msw)) = step.what else {
            self.step += 1;
            let at = look.now + 1;
            look.wake(at);
            return;
        };
        if look.now < step.at {
            look.wake(step.at);
            return;
        }
        self.step += 1;
        surface::go_in(look, self.level);
        self.climate.aim(look, self.level, 0.0);
        let until = look.now + surface::CHECKS_S;
        self.stage = Stage::Checks { until, to_msw };
        let at = look.now + 60;
        look.wake(at);
    }

    fn checks(
        &mut self,
        look: &mut Look,
        banks: &mut Banks,
        timetables: &mut Timetables,
        until: i64,
        to_msw: f64,
    ) {
        Masks::keep_fed(look, self.level, banks);
        let ready = surface::make_ready(look, self.level, banks);
        if look.now < until || !ready {
            let at = if look.now < until {
                until.min(look.now + 60)
            } else {
                look.now + 60
            };
            look.wake(at);
            return;
        }
        self.begin_press(look, timetables, to_msw);
    }

    fn begin_press(&mut self, look: &mut Look, timetables: &mut Timetables, to_msw: f64) {
        let c = self.living(look);
        self.hold.stop(look, self.level);
        let from_msw = look.depth(c);
        self.stage = Stage::Press(Press::new(from_msw, to_msw));
        if let Some(plan) = timetables.compression(look, self.level, from_msw, to_msw) {
            self.take_up(look, &plan.rows);
        }
        self.phase(look, Phase::Compression);
        self.target(look, to_msw);
        let at = look.now + 1;
        look.wake(at);
    }

    fn press(
        &mut self,
        look: &mut Look,
        banks: &mut Banks,
        timetables: &mut Timetables,
        mut press: Press,
    ) {
        if let Some(step) = self.next_step(look)
            && step.what == LevelDo::Abort
        {
            if look.now >= step.at {
                self.step += 1;
                self.abort(look, timetables);
                return;
            }
            look.wake(step.at);
        }
        let Some(plan) = timetables.compression(look, self.level, press.from_msw, press.to_msw)
        else {
            self.refuse(look);
            return;
        };
        Masks::keep_fed(look, self.level, banks);
        let found = press.act(look, self.level, plan, &mut self.oxygen, banks);
        self.stage = Stage::Press(press);
        match found {
            Found::UnderWay => {}
            Found::Hold(depth_msw) => self.hold.act(look, self.level, depth_msw, false, banks),
            Found::Arrived => self.arrive(look),
            Found::Leaking => self.abort(look, timetables),
        }
        if self.pressed() {
            let depth = look.depth(self.living(look));
            self.climate.aim(look, self.level, depth);
        }
    }

    fn arrive(&mut self, look: &mut Look) {
        self.stage = Stage::Storage;
        self.phase(look, Phase::Storage);
        let hold = asked::storage_oxygen(look);
        self.oxygen
            .aim(look, self.level, Some(hold), self.target_msw);
        self.climate.aim(look, self.level, self.target_msw);
        self.next_round = look.now;
        look.desk.ring = true;
        let at = look.now + 1;
        look.wake(at);
    }

    /// Stays at the depth it has, and says that the rules give no way on.
    fn refuse(&mut self, look: &mut Look) {
        look.write(What::Refused {
            station: Station::Saturation,
            why: Refused::OutOfRange,
        });
        let depth = look.depth(self.living(look));
        if depth > 1.0 {
            self.target(look, depth);
            self.arrive(look);
        } else {
            self.stage = Stage::Surface;
        }
    }

    fn storage(&mut self, look: &mut Look, banks: &mut Banks, timetables: &mut Timetables) {
        self.hold
            .act(look, self.level, self.target_msw, true, banks);
        if self.hold.losing() {
            self.rejoin.put_off(look, self.level);
        } else if self.hold.quiet() {
            self.hold.look_for_leak(look, self.level);
            if !self.hold.keeps_apart() {
                let leak = self.hold.leak();
                self.rejoin
                    .act(look, self.level, self.target_msw, leak, banks);
            }
        }
        let Some(step) = self.next_step(look) else {
            return;
        };
        self.lead_oxygen(look, step);
        if look.now < step.at {
            look.wake(step.at);
            return;
        }
        match step.what {
            LevelDo::Press(to_msw) | LevelDo::ChangeStorage(to_msw) => {
                if !self.bell_away(look) {
                    return;
                }
                self.step += 1;
                if to_msw > self.target_msw {
                    self.begin_press(look, timetables, to_msw);
                } else if to_msw < self.target_msw {
                    self.begin_up(look, timetables, to_msw, Ascent::Change);
                }
            }
            LevelDo::Decompress => {
                if self.bell_away(look) {
                    self.step += 1;
                    self.begin_up(look, timetables, 0.0, Ascent::Planned);
                }
            }
            LevelDo::Abort => {
                if self.bell_away(look) {
                    self.step += 1;
                    self.abort(look, timetables);
                }
            }
        }
    }

    /// Before a change of storage depth downwards oxygen is let fall by what the mixture will bring.
    fn lead_oxygen(&mut self, look: &mut Look, step: LevelStep) {
        let (LevelDo::Press(to_msw) | LevelDo::ChangeStorage(to_msw)) = step.what else {
            return;
        };
        let from_s = step.at - house_figures::BEFORE_DEEPER_S;
        if to_msw <= self.target_msw {
            return;
        }
        if look.now < from_s {
            look.wake(from_s);
            return;
        }
        let brings = oxygen_on_descent::brings_bar(look, self.level, self.target_msw, to_msw);
        if let Some(brings_bar) = brings {
            let hold = asked::storage_oxygen(look);
            self.oxygen
                .aim_before_pressing(look, self.level, hold, self.target_msw, brings_bar);
        }
    }

    /// Asks dive control to have the bell home and its trunk shut; true once it is so.
    fn bell_away(&mut self, look: &mut Look) -> bool {
        let level = self.level;
        if look.board.bell_in_the_way() {
            if !look.board.levels[level].wants_bell_away {
                look.board.levels[level].wants_bell_away = true;
                look.desk.ring = true;
            }
            let at = look.now + 300;
            look.wake(at);
            return false;
        }
        look.board.levels[level].wants_bell_away = false;
        true
    }

    fn abort(&mut self, look: &mut Look, timetables: &mut Timetables) {
        let ascent = if matches!(self.stage, Stage::Press(_)) {
            Ascent::StillPressing
        } else {
            Ascent::Emergency
        };
        press::shut(look, self.level);
        self.hold.stop(look, self.level);
        self.begin_up(look, timetables, 0.0, ascent);
    }

    fn begin_up(
        &mut self,
        look: &mut Look,
        timetables: &mut Timetables,
        end_msw: f64,
        ascent: Ascent,
    ) {
        let from_msw = if matches!(ascent, Ascent::StillPressing | Ascent::Emergency) {
            look.depth(self.living(look))
        } else {
            self.target_msw
        };
        let d = Decompress::new(look.now, from_msw, end_msw, ascent);
        let Some(plan) = timetables.decompression(look, self.level, &d) else {
            self.refuse(look);
            return;
        };
        self.take_up(look, &plan.rows);
        self.hold.stop(look, self.level);
        self.stage = Stage::Decompress(d);
        self.phase(look, Phase::Decompression);
        self.target(look, from_msw);
        self.recover(look, true);
        look.desk.ring = true;
        let at = look.now + 1;
        look.wake(at);
    }

    fn come_up(
        &mut self,
        look: &mut Look,
        banks: &mut Banks,
        timetables: &mut Timetables,
        mut d: Decompress,
    ) {
        let Some(plan) = timetables.decompression(look, self.level, &d) else {
            self.refuse(look);
            return;
        };
        self.oxygen
            .aim(look, self.level, band(plan, d.held_msw), d.held_msw);
        Masks::keep_fed(look, self.level, banks);
        let over = d.act(look, self.level, plan, &mut self.oxygen);
        if (d.held_msw - self.target_msw).abs() > 1e-9 {
            self.target(look, d.held_msw);
            self.climate.aim(look, self.level, d.held_msw);
        }
        self.stage = Stage::Decompress(d);
        if over {
            self.end_of_travel(look, d.end_msw);
        } else if d.moving() {
            self.hold.let_go(look, self.level);
        } else if d.held_msw > house_figures::DEPTH_LOW_MSW {
            self.hold.act(look, self.level, d.held_msw, false, banks);
        }
    }

    fn end_of_travel(&mut self, look: &mut Look, end_msw: f64) {
        self.recover(look, false);
        self.hold.stop(look, self.level);
        if end_msw > 0.0 {
            self.arrive(look);
            return;
        }
        self.oxygen.off(look, self.level);
        self.phase(look, Phase::Surface);
        self.target(look, 0.0);
        surface::vent(look, self.level, true);
        let until = look.now + 120;
        self.stage = Stage::Opening { until };
        look.wake(until);
    }

    fn opening(&mut self, look: &mut Look, until: i64) {
        if look.now < until {
            look.wake(until);
            return;
        }
        if surface::come_out(look, self.level) {
            surface::vent(look, self.level, false);
            self.stage = Stage::Surface;
            look.desk.ring = true;
            let at = look.now + 1;
            look.wake(at);
        } else {
            let at = look.now + 60;
            look.wake(at);
        }
    }

    /// Readings are taken by hand once an hour, some time after it has struck.
    fn readings_of_the_hour(&mut self, look: &mut Look) {
        if look.now >= self.next_readings {
            if self.next_readings > 0 {
                look.write(What::Routine {
                    compartment: look.home(self.level),
                    routine: Routine::Readings,
                    diver: None,
                });
            }
            let hour = look.now - look.kit.second_of_day(look.now).rem_euclid(3600) + 3600;
            let (least, most) = sampled::READINGS_S;
            self.next_readings = hour + self.rounds.between(least, most) as i64;
        }
        look.wake(self.next_readings);
    }

    fn round(&mut self, look: &mut Look, banks: &mut Banks) {
        if self.steady() {
            let c = self.living(look);
            if self.hold.stands_ready() {
                banks.keep(look, LineName::Supply(c), &make_up(look, c));
            }
            self.oxygen.round(look, banks);
            Masks::keep_fed(look, self.level, banks);
        }
        self.absorbent.round(look, self.level);
    }

    /// Says by which rows of the rule set the level goes from here on.
    fn take_up(&self, look: &mut Look, rows: &[String]) {
        let kit = look.kit;
        for &compartment in &kit.layout.levels[self.level].members {
            for row in rows.iter().filter_map(|id| kit.rows.of(id)) {
                let timetable_of = Some(compartment);
                look.write(What::RuleRow { row, timetable_of });
            }
        }
    }

    fn phase(&self, look: &mut Look, phase: Phase) {
        for &compartment in &look.kit.layout.levels[self.level].members {
            look.write(What::Phase { compartment, phase });
        }
    }

    fn target(&mut self, look: &mut Look, depth_msw: f64) {
        self.target_msw = depth_msw;
        for &compartment in &look.kit.layout.levels[self.level].members {
            look.write(What::Target {
                compartment,
                depth_msw,
            });
        }
    }

    fn tell_board(&self, look: &mut Look) {
        let steps = look.kit.scenario.plan.levels[self.level].steps.len();
        let depth_msw = look.depth(self.living(look));
        let word = &mut look.board.levels[self.level];
        word.phase = match self.stage {
            Stage::Surface | Stage::Checks { .. } | Stage::Opening { .. } => Phase::Surface,
            Stage::Press(_) => Phase::Compression,
            Stage::Storage => Phase::Storage,
            Stage::Decompress(_) => Phase::Decompression,
            Stage::Found(stands) => stands.phase(),
        };
        word.target_msw = self.target_msw;
        let living = look.kit.layout.levels[self.level].living;
        let too_deep = depth_msw > self.target_msw + house_figures::LOSS_MSW;
        word.held = matches!(self.stage, Stage::Storage)
            && !self.hold.losing()
            && !word.called_in
            && !too_deep
            && word.home == living;
        word.surfaced = self.stage == Stage::Surface && self.step > 0 && self.step == steps;
    }
}
