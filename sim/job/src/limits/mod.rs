//! Limits of the plant and of the rule set in use, watched true and indicated apart, whoever sits on the watch or
//! nobody; of the indicated ones ring those that the alarm panel is fitted for. Where nobody has ordered anything of a vessel, its people are to stay
//! at the depth it has at the start.
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current
//! document, the company's approved manual and the licensed people on the job decide.

mod bells;
mod breathed;
mod kept;
mod looped;
mod panel;
mod people;
mod rates;
mod supply;

use bells::BellWatch;
use deepstay_core::record::{
    AlarmDeed, AlarmOf, Aspect, Bound, Entry, LimitBy, LimitName, Phase, Refused, Severity, Sink,
    Station, What,
};
use deepstay_core::units::*;
use deepstay_plant::Plant;
use deepstay_rules::{Limit, RowNumbers};
use deepstay_scenario::Scenario;
use kept::{Group, Kept, Wanted, scale};
use panel::AlarmPanel;
pub use panel::{AlarmNow, SHELVED_MOST_S};
use people::Occupied;
use rates::RateWatch;
use serde::{Deserialize, Serialize};

/// First owner number of the limits' monitors; a limit's place in the book is added.
pub(super) const LIMITS: u32 = 1000;

/// Seconds between two looks at how far outside its limits something is.
const FOLLOWED_EVERY_S: i64 = 60;

/// Share of a limit by which it must have moved with depth before the new value takes its place.
const FOLLOWED_BY: f64 = 0.02;

/// What a chamber is ordered to do: its phase, the depth it left and the one it goes to, msw.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
struct Ordered {
    compartment: CompartmentId,
    phase: Phase,
    from_msw: f64,
    to_msw: f64,
}

/// A band as a reader is shown it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
struct Band {
    group: Group,
    name: LimitName,
    limit: f64,
}

/// What the limits are made from, at a second.
pub(super) struct Sight<'a> {
    pub now_s: i64,
    pub scenario: &'a Scenario,
    pub rows: &'a RowNumbers,
    pub plant: &'a mut Plant,
    pub people: &'a super::people::People,
}

/// All limits being watched.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(super) struct LimitBook {
    kept: Vec<Kept>,
    ordered: Vec<Ordered>,
    bands: Vec<Band>,
    bells: Vec<BellWatch>,
    rates: RateWatch,
    panel: AlarmPanel,
    at: Occupied,
    breathed_s: i64,
    /// Vessels in which what is breathed has limits, as bits.
    breathed_in: u32,
    /// The loop's alarms are in force.
    loop_in_force: bool,
    /// It is known that nothing is beyond any of the limits that count where people are now.
    #[serde(skip)]
    calm: bool,
    /// What was last wanted of a group of a vessel: the same changes nothing.
    #[serde(skip)]
    wanted: Vec<(CompartmentId, Group, Vec<Wanted>)>,
    /// Rows that answered since this was last emptied.
    #[serde(skip)]
    pub(super) answered: Vec<RuleRowId>,
}

impl LimitBook {
    /// No limit yet; whether the automatic watch sits at saturation control, and at dive control.
    pub(super) fn new(scenario: &Scenario, sat_at: [bool; 2]) -> LimitBook {
        LimitBook {
            kept: Vec::new(),
            ordered: Vec::new(),
            bands: Vec::new(),
            bells: Vec::new(),
            rates: RateWatch::default(),
            panel: AlarmPanel::new(scenario, sat_at),
            at: Occupied::default(),
            breathed_s: 0,
            breathed_in: 0,
            loop_in_force: false,
            calm: false,
            wanted: Vec::new(),
            answered: Vec::new(),
        }
    }

    /// Others sit at saturation control, and at dive control, from now on: the automatic watch or nobody.
    pub(super) fn sit(&mut self, sat_at: [bool; 2], now_s: i64) {
        self.panel.sit(sat_at, now_s);
    }

    /// Somebody at a station does something about an alarm.
    pub(super) fn deed(
        &mut self,
        station: Station,
        name: LimitName,
        deed: AlarmDeed,
        now_s: i64,
        sink: &mut impl Sink,
    ) -> Result<(), Refused> {
        let asked = (station, name, deed);
        self.panel.deed(asked, &self.kept, now_s, sink)
    }

    /// Whatever sounds at a station, and nobody has acknowledged, is acknowledged.
    pub(super) fn acknowledge_all(&mut self, station: Station, now_s: i64, sink: &mut impl Sink) {
        self.panel.acknowledge_all(station, now_s, sink);
    }

    /// The sounder of a station is silenced.
    pub(super) fn silence(&mut self, station: Station, now_s: i64, sink: &mut impl Sink) {
        self.panel.silence(station, now_s, sink);
    }

    /// The alarms as the panel shows them, the longest standing first.
    pub(super) fn alarms(&self) -> Vec<AlarmNow> {
        self.panel.now().collect()
    }

    /// What is set aside though it does not ring, with until when.
    pub(super) fn shelved_in_peace(&self) -> Vec<(LimitName, Option<i64>)> {
        self.panel.shelved_in_peace().collect()
    }

    /// Whether the sounder of a station sounds.
    pub(super) fn sounds(&self, station: Station) -> bool {
        self.panel.sounds(station)
    }

    /// What a vessel was last said to do: its phase, and the depth it is to have, msw.
    pub(super) fn said_of(&self, c: CompartmentId) -> (Phase, f64) {
        let ordered = self.ordered_of(c);
        (ordered.phase, ordered.to_msw)
    }

    /// The limits in force of what instruments indicate: name and value.
    pub(super) fn bands(&self) -> impl Iterator<Item = (LimitName, f64)> {
        let shown = |k: &&Kept| k.in_use() && k.truth == Truth::Shown;
        self.kept.iter().filter(shown).map(|k| (k.name, k.value))
    }

    /// A chamber was ordered something before this job's first second: its phase, and from what depth to what, msw.
    pub(super) fn ordered_before(
        &mut self,
        compartment: CompartmentId,
        phase: Phase,
        (from_msw, to_msw): (f64, f64),
    ) {
        self.ordered.push(Ordered {
            compartment,
            phase,
            from_msw,
            to_msw,
        });
    }

    /// Before anything is ordered: what the steel is rated for, and what people may be in at the surface.
    pub(super) fn start(&mut self, sight: &mut Sight, sink: &mut impl Sink) {
        for (i, c) in (0u8..).zip(&sight.scenario.steel.compartments) {
            let compartment = CompartmentId(i);
            let name = LimitName {
                compartment,
                quantity: Quantity::Depth,
                aspect: Aspect::Inside,
                bound: Bound::High,
                severity: Severity::Emergency,
                by: LimitBy::Rating,
            };
            let rating = Wanted {
                name,
                stands_s: 0,
                truly: c.rating_msw,
                indicated: c.rating_msw,
                manned: false,
                listed: true,
                channel: Channel::Primary,
            };
            let steel = &sight.scenario.steel;
            let mut wanted = panel::own(steel, compartment, None, |of| of == AlarmOf::Depth);
            wanted.push(rating);
            self.keep(compartment, Group::Rating, &wanted, sight, sink);
            match c.kind {
                CompartmentKind::Bell => self.bells.push(BellWatch::new(compartment)),
                CompartmentKind::Living
                | CompartmentKind::Transfer
                | CompartmentKind::Trunk
                | CompartmentKind::Rescue => self.renew(self.ordered_of(compartment), sight, sink),
                CompartmentKind::MedicalLock
                | CompartmentKind::EquipmentLock
                | CompartmentKind::HoldingTank
                | CompartmentKind::ReclaimTank => {}
            }
        }
    }

    /// A phase begins, or a chamber is meant to be at another depth: the limits for it replace those that
    /// were in force there. A bell is sent to another depth.
    pub(super) fn hear(&mut self, what: &What, sight: &mut Sight, sink: &mut impl Sink) {
        match *what {
            What::Phase { compartment, .. } | What::Target { compartment, .. } => {
                let ordered = self.order(what, compartment);
                self.renew(ordered, sight, sink);
            }
            What::BellSent { bell, to_msw, .. } => {
                for watch in self.bells.iter_mut().filter(|b| b.bell() == bell) {
                    watch.sent(to_msw);
                }
            }
            _ => {}
        }
    }

    /// Looks at what no order tells of: who is where, how each bell stands, what people breathe, how fast
    /// depths change.
    pub(super) fn look(&mut self, sight: &mut Sight, sink: &mut impl Sink) {
        if let Some(before) = self.at.look(sight.people, sight.scenario) {
            self.calm = false;
            self.people_moved(before, sight, sink);
            self.look_at_supplies(&before, sight, sink);
            self.breathed_s = sight.now_s;
        }
        for k in 0..self.bells.len() {
            let mut watch = self.bells[k];
            let limits = watch.look(&self.at, &self.ordered, sight);
            self.bells[k] = watch;
            if let Some(limits) = limits {
                self.keep(
                    watch.bell(),
                    Group::Atmosphere,
                    &limits.atmosphere,
                    sight,
                    sink,
                );
                self.keep(watch.bell(), Group::Depth, &limits.depth, sight, sink);
                self.keep(watch.bell(), Group::Rate, &limits.rate, sight, sink);
            }
        }
        self.look_at_loop(sight, sink);
        self.look_at_breathing(sight, sink);
        self.look_at_rates(sight, sink);
        let at = &self.at;
        self.calm = self.calm
            || !self
                .kept
                .iter()
                .any(|k| k.beyond && k.in_use() && k.here(at));
        if self.calm && self.panel.is_silent() {
            return;
        }
        self.count(sight.now_s, sight.plant, sink);
        if sight.now_s % FOLLOWED_EVERY_S == 0 {
            for kept in &mut self.kept {
                kept.follow_out(sight.now_s, sight.plant, sink);
            }
        }
        let now = (sight.now_s, &*sight.plant);
        self.panel.look(&self.kept, &self.at, now, sink);
    }

    fn ordered_of(&self, compartment: CompartmentId) -> Ordered {
        let known = self.ordered.iter().find(|o| o.compartment == compartment);
        known.copied().unwrap_or(Ordered {
            compartment,
            phase: Phase::Surface,
            from_msw: 0.0,
            to_msw: 0.0,
        })
    }

    /// Takes in what a chamber is ordered to do. Once it is in storage only the depth it is held at counts. What it was
    /// ordered already changes nothing.
    fn order(&mut self, what: &What, compartment: CompartmentId) -> Ordered {
        let mut ordered = self.ordered_of(compartment);
        match *what {
            What::Phase { phase, .. } if phase == ordered.phase => {}
            What::Phase { phase, .. } => {
                ordered.phase = phase;
                ordered.from_msw = ordered.to_msw;
            }
            What::Target { depth_msw, .. } => {
                // A chamber that is held is ordered to one depth; one on its way to all that it goes through.
                ordered.from_msw = match ordered.phase {
                    Phase::Surface | Phase::Storage => depth_msw,
                    Phase::Compression | Phase::Decompression if depth_msw == ordered.to_msw => {
                        ordered.from_msw
                    }
                    Phase::Compression | Phase::Decompression => ordered.to_msw,
                };
                ordered.to_msw = depth_msw;
            }
            _ => {}
        }
        match self
            .ordered
            .iter_mut()
            .find(|o| o.compartment == compartment)
        {
            Some(known) => *known = ordered,
            None => self.ordered.push(ordered),
        }
        ordered
    }

    /// The limits of gas and climate for a phase, and those of depth, which go along with what is ordered.
    fn renew(&mut self, ordered: Ordered, sight: &mut Sight, sink: &mut impl Sink) {
        let Ordered {
            compartment,
            phase,
            from_msw,
            to_msw,
        } = ordered;
        let (rules, accepted) = (&sight.scenario.rules, &sight.scenario.accepted);
        let shallow_msw = from_msw.min(to_msw);
        let deep_msw = from_msw.max(to_msw);
        // At the surface only what holds in every phase, and only for those inside.
        let (gas, depth) = match phase {
            Phase::Surface => (
                rules.limits(Phase::Compression, 0.0, accepted),
                rules.depth_limits(Phase::Storage, shallow_msw, deep_msw, accepted),
            ),
            Phase::Compression | Phase::Storage | Phase::Decompression => (
                rules.limits(phase, gas_depth_msw(&ordered, sight), accepted),
                rules.depth_limits(phase, shallow_msw, deep_msw, accepted),
            ),
        };
        let surface = phase == Phase::Surface;
        let steel = &sight.scenario.steel;
        let own = |of: fn(AlarmOf) -> bool| {
            panel::own(steel, compartment, Some((shallow_msw, deep_msw)), of)
        };
        let mut wanted = of_rules(&gas, compartment, surface, sight.rows);
        if !surface {
            wanted.extend(own(panel::of_atmosphere));
        }
        let (own_depth, own_rate) = (
            own(|of| of == AlarmOf::DepthDeviation),
            own(|of| of == AlarmOf::DepthRate),
        );
        self.keep(compartment, Group::Atmosphere, &wanted, sight, sink);
        let mut wanted = of_rules(&depth, compartment, true, sight.rows);
        // On the way the bands of depth move too often to be shown to a reader.
        let still = from_msw == to_msw;
        wanted.iter_mut().for_each(|w| w.listed = still);
        wanted.extend(own_depth);
        self.keep(compartment, Group::Depth, &wanted, sight, sink);
        let rates = rates::limits(rules, accepted, phase, from_msw, to_msw);
        let mut wanted = of_rules(&rates, compartment, true, sight.rows);
        wanted.extend(own_rate);
        self.keep(compartment, Group::Rate, &wanted, sight, sink);
    }

    /// Replaces a group of a vessel's limits: what is no longer wanted ends, what is new begins, and what stays
    /// goes along with its value; what is outside stays so until it is back.
    fn keep(
        &mut self,
        compartment: CompartmentId,
        group: Group,
        wanted: &[Wanted],
        sight: &mut Sight,
        sink: &mut impl Sink,
    ) {
        self.answered
            .extend(wanted.iter().filter_map(|w| match w.name.by {
                LimitBy::Row(row) => Some(row),
                LimitBy::Rating | LimitBy::SetPoint | LimitBy::Panel(_) => None,
            }));
        if self.is_wanted_already(compartment, group, wanted) {
            return;
        }
        for k in 0..self.kept.len() {
            let kept = &self.kept[k];
            let mine = kept.in_use() && kept.group == group && kept.name.compartment == compartment;
            if mine && !wanted.iter().any(|w| kept.keeps(w, kept.truth)) {
                self.end(k, sight, sink);
            }
        }
        for w in wanted {
            for (truth, value) in [(Truth::True, w.truly), (Truth::Shown, w.indicated)] {
                match self.kept.iter().position(|k| k.keeps(w, truth)) {
                    Some(k) => self.follow(k, value, w, sight),
                    None => self.begin(group, w, truth, sight),
                }
            }
        }
        self.list(compartment, group, wanted, sight, sink);
    }

    /// Whether the same was wanted last; it is known from now on.
    fn is_wanted_already(
        &mut self,
        compartment: CompartmentId,
        group: Group,
        wanted: &[Wanted],
    ) -> bool {
        let known = self
            .wanted
            .iter_mut()
            .find(|(at, of, _)| (*at, *of) == (compartment, group));
        match known {
            Some((.., last)) if last == wanted => true,
            Some((.., last)) => {
                wanted.clone_into(last);
                false
            }
            None => {
                self.wanted.push((compartment, group, wanted.to_vec()));
                false
            }
        }
    }

    fn follow(&mut self, k: usize, value: f64, wanted: &Wanted, sight: &mut Sight) {
        self.calm = false;
        let kept = &mut self.kept[k];
        kept.manned = wanted.manned;
        let moved = (kept.value - value).abs();
        let near = match kept.name.quantity {
            Quantity::Depth => 1e-9,
            _ => FOLLOWED_BY * scale(kept.name.quantity, value),
        };
        if moved > near {
            kept.value = value;
            // What was only on its way to count is judged by the new value: it may be well within.
            let name = kept.name;
            let truly = sight
                .plant
                .truth(name.compartment, name.quantity, sight.now_s);
            if kept.monitored() && kept.beyond && !kept.outside && kept.crossed_by(truly) {
                kept.beyond = false;
                kept.counts_at_s = None;
            }
            self.wait(k, sight.now_s, sight.plant);
        }
    }

    fn begin(&mut self, group: Group, wanted: &Wanted, truth: Truth, sight: &mut Sight) {
        let Some(kept) = Kept::begin(sight.plant.steel(), group, wanted, truth) else {
            return;
        };
        let free = self.kept.iter().position(|k| !k.in_use());
        let k = free.unwrap_or(self.kept.len());
        match free {
            Some(k) => self.kept[k] = kept,
            None => self.kept.push(kept),
        }
        self.wait(k, sight.now_s, sight.plant);
    }

    /// A limit is in force no longer; what was outside it is outside no longer.
    fn end(&mut self, k: usize, sight: &mut Sight, sink: &mut impl Sink) {
        let kept = &mut self.kept[k];
        kept.let_go(sight.now_s, sight.plant, sink);
        kept.value = f64::NAN;
        kept.counts_at_s = None;
        sight
            .plant
            .set_monitors(LIMITS + k as u32, None, sight.now_s);
    }

    /// Tells which bands came into force and which are so no longer.
    fn list(
        &mut self,
        compartment: CompartmentId,
        group: Group,
        wanted: &[Wanted],
        sight: &Sight,
        sink: &mut impl Sink,
    ) {
        let at = sight.now_s;
        let mut tell = |name, limit, in_force| {
            let what = What::LimitBand {
                name,
                limit,
                in_force,
            };
            sink.take(Entry { at, what });
        };
        let limit_of = |kept: &[Kept], w: &Wanted| {
            let mine = kept.iter().find(|k| k.keeps(w, Truth::True));
            mine.map_or(w.truly, |k| k.value)
        };
        let now: Vec<Band> = wanted
            .iter()
            .filter(|w| w.listed)
            .map(|w| Band {
                group,
                name: w.name,
                limit: limit_of(&self.kept, w),
            })
            .collect();
        self.bands.retain(|band| {
            let stays =
                band.group != group || band.name.compartment != compartment || now.contains(band);
            if !stays {
                tell(band.name, band.limit, false);
            }
            stays
        });
        for band in now {
            if !self.bands.contains(&band) {
                tell(band.name, band.limit, true);
                self.bands.push(band);
            }
        }
    }

    /// Waits for the next crossing of a limit: out, or back by the dead band.
    fn wait(&self, k: usize, now_s: i64, plant: &mut Plant) {
        let kept = &self.kept[k];
        let (above, value) = kept.crossing();
        let monitor = kept.monitored().then(|| (kept.watched(), above, value));
        plant.set_monitors(LIMITS + k as u32, monitor, now_s);
    }

    /// A limit was crossed, out or back.
    pub(super) fn crossed(&mut self, k: u32, now_s: i64, plant: &mut Plant, sink: &mut impl Sink) {
        let k = k as usize;
        let Some(kept) = self.kept.get_mut(k).filter(|k| k.in_use()) else {
            return;
        };
        self.calm = false;
        kept.turn(now_s, plant, sink);
        self.wait(k, now_s, plant);
        self.count(now_s, plant, sink);
        // It rings before anybody has done anything about it.
        self.panel.look(&self.kept, &self.at, (now_s, plant), sink);
    }

    /// What no monitor of the plant watches has a new value.
    fn feed(&mut self, k: usize, value: f64, sight: &Sight, sink: &mut impl Sink) {
        let kept = &mut self.kept[k];
        kept.fed = value;
        if kept.crossed_by(value) {
            self.calm = false;
            kept.turn(sight.now_s, sight.plant, sink);
        }
    }

    /// The next second at which something will have stood long enough, or is to be looked at.
    pub(super) fn next_s(&self, now_s: i64) -> i64 {
        let kept: &[Kept] = if self.calm { &[] } else { &self.kept };
        kept.iter()
            .filter(|k| k.here(&self.at))
            .filter_map(|k| k.counts_at_s)
            .min()
            .unwrap_or(i64::MAX)
            .min(self.rates.next_s(&self.at))
            .min(self.breathed_s)
            .min(self.sea_s(now_s))
            .min(followed_s(kept, now_s))
            .min(self.panel.next_s(kept, &self.at))
    }

    /// The next look at the sea at an open bell.
    fn sea_s(&self, now_s: i64) -> i64 {
        let each = self.bells.iter().map(|b| b.next_s(now_s));
        each.min().unwrap_or(i64::MAX)
    }

    /// The job is over: tells how far out it has been of each limit that something is outside of.
    pub(super) fn close(&mut self, now_s: i64, plant: &Plant, sink: &mut impl Sink) {
        for kept in self.kept.iter_mut().filter(|k| k.in_use()) {
            kept.follow_out(now_s, plant, sink);
            kept.tell_furthest(now_s, sink);
        }
    }

    /// Counts what has stood long enough.
    fn count(&mut self, now_s: i64, plant: &Plant, sink: &mut impl Sink) {
        for kept in &mut self.kept {
            if kept.counts_at_s.is_some_and(|t| t <= now_s) && kept.here(&self.at) {
                kept.count(now_s, plant, sink);
            }
        }
    }

    /// People came or went: what counts only with people there counts from now on, or no longer.
    fn people_moved(&mut self, before: Occupied, sight: &mut Sight, sink: &mut impl Sink) {
        let now = self.at;
        let entered = |c| now.keeps(c) && !before.keeps(c);
        for (i, c) in (0u8..).zip(&sight.scenario.steel.compartments) {
            let compartment = CompartmentId(i);
            // Nobody orders a depth of a trunk: people in it are to stay at the one they came in at.
            if c.kind == CompartmentKind::Trunk && entered(compartment) {
                let depth_msw = sight.plant.truth(compartment, Quantity::Depth, sight.now_s);
                let target = What::Target {
                    compartment,
                    depth_msw,
                };
                let ordered = self.order(&target, compartment);
                self.renew(ordered, sight, sink);
            }
        }
        for kept in self.kept.iter_mut().filter(|k| k.in_use() && k.manned) {
            let here = now.keeps(kept.name.compartment);
            if entered(kept.name.compartment) && kept.beyond && !kept.outside {
                kept.stand_from(sight.now_s);
            } else if !here {
                kept.let_go(sight.now_s, sight.plant, sink);
            }
        }
    }
}

/// The next look at how far outside something is.
fn followed_s(kept: &[Kept], now_s: i64) -> i64 {
    match kept.iter().any(Kept::is_outside) {
        true => now_s - now_s.rem_euclid(FOLLOWED_EVERY_S) + FOLLOWED_EVERY_S,
        false => i64::MAX,
    }
}

/// The depth that limits of gas and climate are asked for: the ordered one, but at the beginning of a phase the
/// one that the vessel has.
fn gas_depth_msw(ordered: &Ordered, sight: &Sight) -> f64 {
    match ordered.from_msw == ordered.to_msw {
        true => sight
            .plant
            .truth(ordered.compartment, Quantity::Depth, sight.now_s),
        false => ordered.to_msw,
    }
}

/// Limits of the rule set as they are kept in a vessel.
fn of_rules(
    limits: &[Limit],
    compartment: CompartmentId,
    manned: bool,
    rows: &RowNumbers,
) -> Vec<Wanted> {
    let wanted = |limit: &Limit| {
        let row = rows.of(&limit.id)?;
        let name = LimitName {
            compartment,
            quantity: limit.quantity,
            aspect: limit.aspect,
            bound: limit.bound,
            severity: limit.severity,
            by: LimitBy::Row(row),
        };
        Some(Wanted {
            name,
            stands_s: limit.stands_s,
            truly: limit.value,
            indicated: limit.value,
            manned,
            listed: true,
            channel: Channel::Primary,
        })
    };
    limits.iter().filter_map(wanted).collect()
}
