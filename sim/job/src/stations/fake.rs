//! A small fake of the plant for the stations' own tests: isothermal ideal gas, instant doors, no lag.

use super::board::Board;
use super::dive::DiveControl;
use super::panel::{Desk, Panel};
use super::saturation::SaturationControl;
use deepstay_core::gas::{Amounts, flow};
use deepstay_core::record::{
    BreathingPath, Entry, LineName, Machine, Spoken, ValveName, What, Whereabouts,
};
use deepstay_core::units::*;
use deepstay_plant::*;
use deepstay_scenario::Scenario;
use std::collections::BTreeMap;
use std::sync::Arc;

/// The fake plant with its people.
pub struct Fake {
    pub scenario: Arc<Scenario>,
    pub now: i64,
    pub p_pa: Vec<f64>,
    pub o2: Vec<f64>,
    pub co2_bar: Vec<f64>,
    /// What thermometers show; the gas itself is isothermal.
    pub shown_k: Vec<f64>,
    pub valves: BTreeMap<ValveName, f64>,
    pub doors: Vec<bool>,
    pub clamps: Vec<bool>,
    pub lines: BTreeMap<LineName, BankId>,
    pub bank_pa: Vec<f64>,
    pub true_o2: Vec<f64>,
    pub analysed: Vec<Option<f64>>,
    pub places: Vec<Whereabouts>,
    pub paths: Vec<BreathingPath>,
    pub said: Vec<(i64, DiverId, Spoken)>,
    pub sea_msw: f64,
    pub bell_to_msw: f64,
    pub hs_m: f64,
    pub oxygen_on: Vec<bool>,
    /// Where each compartment's oxygen valve hangs.
    pub stuck_oxygen: Vec<Option<f64>>,
    /// What the oxygen valves let in, mol.
    pub oxygen_fed_mol: f64,
    /// Fans that do not run though they are switched on.
    pub fan_stopped: Vec<bool>,
    /// What the first depth gauge of a compartment shows beyond the truth, msw.
    pub depth_error: Vec<f64>,
    /// An analyser that stands still: what it shows, bar.
    pub ppo2_still: Vec<Option<f64>>,
    pub oxygen_set: Vec<(f64, f64)>,
    pub leak_m2: Vec<f64>,
    pub canister_changes: u32,
    /// Error of each compartment's ppO2 reading, bar.
    pub ppo2_error: Vec<f64>,
    pub orders: Vec<(i64, Order)>,
    pub entries: Vec<Entry>,
    pub refused: Vec<(i64, Order)>,
}

const T_K: f64 = 300.0;

impl Fake {
    pub fn new(scenario: Arc<Scenario>) -> Fake {
        let steel = &scenario.steel;
        let n = steel.compartments.len();
        Fake {
            now: 0,
            p_pa: vec![steel.surface_pa; n],
            o2: vec![0.21; n],
            co2_bar: vec![0.001; n],
            shown_k: vec![T_K; n],
            valves: BTreeMap::new(),
            doors: steel.doors.iter().map(|d| d.open_at_start).collect(),
            clamps: steel.doors.iter().map(|d| d.clamp).collect(),
            lines: BTreeMap::new(),
            bank_pa: steel.banks.iter().map(|b| b.fill_gauge_pa).collect(),
            true_o2: steel.banks.iter().map(|b| b.label_o2).collect(),
            analysed: steel.banks.iter().map(|b| b.analysed_o2).collect(),
            places: vec![Whereabouts::Deck; scenario.crew.len()],
            paths: vec![BreathingPath::Ambient; scenario.crew.len()],
            said: Vec::new(),
            sea_msw: 0.0,
            bell_to_msw: 0.0,
            hs_m: 1.0,
            oxygen_on: vec![false; n],
            stuck_oxygen: vec![None; n],
            oxygen_fed_mol: 0.0,
            fan_stopped: vec![false; n],
            depth_error: vec![0.0; n],
            ppo2_still: vec![None; n],
            oxygen_set: vec![(0.0, 0.0); n],
            leak_m2: vec![0.0; n],
            canister_changes: 0,
            ppo2_error: vec![0.0; n],
            orders: Vec::new(),
            entries: Vec::new(),
            refused: Vec::new(),
            scenario,
        }
    }

    pub fn depth(&self, c: usize) -> f64 {
        (self.p_pa[c] - self.scenario.steel.surface_pa) / MSW_PA
    }

    pub fn ppo2(&self, c: usize) -> f64 {
        self.o2[c] * self.p_pa[c] / BAR_PA
    }

    fn opening(&self, valve: ValveName) -> f64 {
        self.valves.get(&valve).copied().unwrap_or(0.0)
    }

    /// Adds moles of a mixture to a compartment (or takes them, of its own).
    fn add(&mut self, c: usize, mol: f64, o2: f64) {
        let per_pa = self.scenario.steel.compartments[c].volume_m3 / (R * T_K);
        let n = self.p_pa[c] * per_pa;
        let n_o2 = n * self.o2[c] + mol * o2;
        self.p_pa[c] = ((n + mol) / per_pa).max(100.0);
        self.o2[c] = n_o2 / (n + mol);
    }

    fn outside_pa(&self, door: usize) -> f64 {
        let a = self.scenario.steel.doors[door].a.index();
        let bell = self.scenario.steel.compartments[a].kind == CompartmentKind::Bell;
        self.scenario.steel.surface_pa + if bell { self.sea_msw * MSW_PA } else { 0.0 }
    }

    fn dp(&self, door: usize) -> f64 {
        let d = &self.scenario.steel.doors[door];
        let other =
            d.b.map_or_else(|| self.outside_pa(door), |b| self.p_pa[b.index()]);
        self.p_pa[d.a.index()] - other
    }

    pub fn obey(&mut self, order: Order) {
        self.orders.push((self.now, order));
        let done = match order {
            Order::Steel(o) => self.obey_steel(o),
            Order::People(o) => self.obey_people(o),
        };
        if !done {
            self.refused.push((self.now, order));
        }
    }

    fn obey_steel(&mut self, order: SteelOrder) -> bool {
        match order {
            SteelOrder::Valve { valve, opening, .. } => {
                self.valves.insert(valve, opening);
            }
            SteelOrder::LineUp { line, bank } => {
                self.lines.insert(line, bank);
            }
            SteelOrder::LineOff { line } => {
                self.lines.remove(&line);
            }
            SteelOrder::Door { door, open } => {
                let i = door.index();
                if open && self.dp(i).abs() > self.scenario.steel.doors[i].open_below_pa {
                    return false;
                }
                self.doors[i] = open;
            }
            SteelOrder::Clamp { door, made } => {
                let trunk = self.scenario.steel.doors[door.index()]
                    .b
                    .map_or(0, |b| b.index());
                if self.depth(trunk) > 0.1 || self.sea_msw > 0.0 {
                    return false;
                }
                self.clamps[door.index()] = made;
            }
            SteelOrder::Switch {
                compartment,
                machine: Machine::OxygenControl,
                on,
            } => {
                self.oxygen_on[compartment.index()] = on;
            }
            SteelOrder::OxygenSet {
                compartment,
                ppo2_bar,
                band_bar,
            } => {
                self.oxygen_set[compartment.index()] = (ppo2_bar, band_bar);
            }
            SteelOrder::ChangeCanister { .. } => self.canister_changes += 1,
            SteelOrder::Calibrate { instrument } => {
                let at = self.scenario.steel.instruments[usize::from(instrument.0)].labelled;
                if let SamplePoint::Compartment(c) = at {
                    self.ppo2_error[c.index()] = 0.0;
                }
            }
            SteelOrder::Analyse { bank } => {
                self.analysed[bank.index()] = Some(self.true_o2[bank.index()])
            }
            SteelOrder::Bell { to_msw, .. } => {
                if self
                    .clamps
                    .iter()
                    .zip(&self.scenario.steel.doors)
                    .any(|(c, d)| *c && d.clamp)
                {
                    return false;
                }
                self.bell_to_msw = to_msw;
            }
            SteelOrder::HullStop { compartment, shut } => {
                if shut {
                    self.leak_m2[compartment.index()] = 0.0;
                }
            }
            SteelOrder::Switch { .. }
            | SteelOrder::ClimateSet { .. }
            | SteelOrder::Gag { .. }
            | SteelOrder::BankStop { .. }
            | SteelOrder::Regulator { .. }
            | SteelOrder::Trickle { .. }
            | SteelOrder::SampleFrom { .. }
            | SteelOrder::Adjust { .. } => {}
        }
        true
    }

    fn obey_people(&mut self, order: PeopleOrder) -> bool {
        match order {
            PeopleOrder::Go { diver, to } => self.places[diver.index()] = to,
            PeopleOrder::Breathe { diver, path } => self.paths[diver.index()] = path,
            PeopleOrder::Do { .. }
            | PeopleOrder::Shower { .. }
            | PeopleOrder::ExchangeBailOut { .. }
            | PeopleOrder::InboardStop { .. } => {}
        }
        true
    }

    /// One second of the plant.
    pub fn second(&mut self) {
        let scenario = Arc::clone(&self.scenario);
        let steel = &scenario.steel;
        self.now += 1;
        for (i, plate) in steel.compartments.iter().enumerate() {
            let c = CompartmentId(u8::try_from(i).unwrap());
            let here = self.p_pa[i];
            if let Some(&bank) = self.lines.get(&LineName::Supply(c)) {
                let up = (here + plate.supply_over_pa)
                    .min(steel.surface_pa + self.bank_pa[bank.index()]);
                let area = plate.blow_down_m2 * self.opening(ValveName::BlowDown(c));
                let mol = flow::mol_s(area, &Amounts::heliox(0.02), up, T_K, here);
                self.add(i, mol, self.true_o2[bank.index()]);
                self.bank_pa[bank.index()] -= mol * R * T_K / steel.banks[bank.index()].volume_m3;
            }
            let area = plate.exhaust_m2 * self.opening(ValveName::Exhaust(c))
                + plate.bleed_m2 * self.opening(ValveName::Bleed(c))
                + plate.drain_m2 * self.opening(ValveName::Drain(c))
                + self.leak_m2[i];
            let mol = flow::mol_s(area, &Amounts::heliox(0.03), here, T_K, steel.surface_pa);
            let most = 0.5 * (here - steel.surface_pa).max(0.0) * plate.volume_m3 / (R * T_K);
            let mol = mol.min(most);
            self.add(i, -mol, self.o2[i]);
            if let (Some(tank), true) = (plate.drain_to, self.opening(ValveName::Drain(c)) > 0.0) {
                self.add(tank.index(), mol, self.o2[i]);
            }
            let oxygen = self.stuck_oxygen[i].unwrap_or(self.opening(ValveName::Oxygen(c)));
            if let Some(&bank) = self.lines.get(&LineName::Oxygen(c)) {
                let area = plate.oxygen_m2 * oxygen;
                let up = (here + plate.supply_over_pa)
                    .min(steel.surface_pa + self.bank_pa[bank.index()]);
                let mol = flow::mol_s(area, &Amounts::heliox(1.0), up, T_K, here);
                self.add(i, mol, self.true_o2[bank.index()]);
                self.oxygen_fed_mol += mol;
            }
            if self.oxygen_on[i]
                && self.ppo2(i) + self.ppo2_error[i] < self.oxygen_set[i].0
                && let Some(&bank) = self.lines.get(&LineName::Oxygen(c))
            {
                self.add(i, 0.1, self.true_o2[bank.index()]);
            }
        }
        for place in self.places.clone() {
            if let Whereabouts::In(c) = place {
                self.add(c.index(), -3.0e-4, 1.0);
            }
        }
        self.mix();
        let step = (self.bell_to_msw - self.sea_msw).clamp(-0.5, 0.5);
        self.sea_msw += step;
    }

    /// Open doors make one pressure; an equalising valve closes a tenth of the gap a second.
    fn mix(&mut self) {
        let scenario = Arc::clone(&self.scenario);
        for _ in 0..4 {
            for (i, d) in scenario.steel.doors.iter().enumerate() {
                let share = if self.doors[i] {
                    1.0
                } else {
                    0.02 * self.opening(ValveName::Equalise(DoorId(u8::try_from(i).unwrap())))
                };
                if share <= 0.0 {
                    continue;
                }
                let a = d.a.index();
                let Some(b) = d.b.map(CompartmentId::index) else {
                    let out = self.outside_pa(i);
                    self.p_pa[a] += share * (out - self.p_pa[a]);
                    continue;
                };
                let (va, vb) = (
                    scenario.steel.compartments[a].volume_m3,
                    scenario.steel.compartments[b].volume_m3,
                );
                let p = (self.p_pa[a] * va + self.p_pa[b] * vb) / (va + vb);
                let o2 = (self.p_pa[a] * va * self.o2[a] + self.p_pa[b] * vb * self.o2[b])
                    / (p * (va + vb));
                for c in [a, b] {
                    let po2 =
                        self.p_pa[c] * self.o2[c] + share * (p * o2 - self.p_pa[c] * self.o2[c]);
                    self.p_pa[c] += share * (p - self.p_pa[c]);
                    self.o2[c] = po2 / self.p_pa[c];
                }
            }
        }
    }
}

impl Panel for Fake {
    fn now(&self) -> i64 {
        self.now
    }
    fn read(&self, instrument: InstrumentId) -> f64 {
        let i = &self.scenario.steel.instruments[usize::from(instrument.0)];
        let value = match (i.connected, i.quantity) {
            (SamplePoint::Bank(b), _) => self.bank_pa[b.index()] / BAR_PA,
            (SamplePoint::Sea(_), _) | (_, Quantity::SeaDepth) => self.sea_msw,
            (SamplePoint::Compartment(c), Quantity::Depth) => match i.channel {
                Channel::Primary => self.depth(c.index()) + self.depth_error[c.index()],
                Channel::Secondary => self.depth(c.index()),
            },
            (SamplePoint::Compartment(c), Quantity::PpO2) if i.channel == Channel::Secondary => {
                self.ppo2(c.index())
            }
            (SamplePoint::Compartment(c), Quantity::PpO2)
                if self.ppo2_still[c.index()].is_some() =>
            {
                self.ppo2_still[c.index()].unwrap_or(0.0)
            }
            (SamplePoint::Compartment(c), Quantity::PpO2) => {
                self.ppo2(c.index()) + self.ppo2_error[c.index()]
            }
            (SamplePoint::Compartment(c), Quantity::PpCo2) => self.co2_bar[c.index()],
            (SamplePoint::Compartment(c), Quantity::Temperature) => self.shown_k[c.index()],
            _ => 300.0,
        };
        if i.resolution > 0.0 {
            (value / i.resolution).round() * i.resolution
        } else {
            value
        }
    }
    fn open(&self, door: DoorId) -> bool {
        self.doors[door.index()]
    }
    fn clamped(&self, door: DoorId) -> bool {
        self.clamps[door.index()]
    }
    fn valve(&self, valve: ValveName) -> f64 {
        self.opening(valve)
    }
    fn lined_up(&self, line: LineName) -> Option<BankId> {
        self.lines.get(&line).copied()
    }
    fn label_o2(&self, bank: BankId) -> f64 {
        self.scenario.steel.banks[bank.index()].label_o2
    }
    fn analysed_o2(&self, bank: BankId) -> Option<f64> {
        self.analysed[bank.index()]
    }
    fn whereabouts(&self, diver: DiverId) -> Whereabouts {
        self.places[diver.index()]
    }
    fn path(&self, diver: DiverId) -> BreathingPath {
        self.paths[diver.index()]
    }
    fn bail_out_bar(&self, _: DiverId) -> Option<f64> {
        Some(self.scenario.bail_out.fill_gauge_pa / BAR_PA)
    }
    fn said(&self) -> &[(i64, DiverId, Spoken)] {
        &self.said
    }
    fn hs_m(&self) -> f64 {
        self.hs_m
    }
    fn fan_runs(&self, c: CompartmentId) -> bool {
        !self.fan_stopped[c.index()]
    }
    fn absorbent_hours(&self, _: CompartmentId) -> f64 {
        self.now as f64 / 3600.0 % 24.0
    }
}

/// Both stations before the fake plant.
pub struct Rig {
    pub fake: Fake,
    pub board: Board,
    pub saturation: SaturationControl,
    pub dive: DiveControl,
    desks: [Desk; 2],
    pub looks: [u32; 2],
}

impl Rig {
    pub fn new(scenario: Scenario) -> Rig {
        let scenario = Arc::new(scenario);
        let mut desks = [Desk::new(), Desk::new()];
        desks.iter_mut().for_each(|d| d.wake_at = 0);
        Rig {
            board: Board::new(&scenario),
            saturation: SaturationControl::new(&scenario),
            dive: DiveControl::new(&scenario),
            fake: Fake::new(scenario),
            desks,
            looks: [0, 0],
        }
    }

    /// Runs to a second, calling the stations as the job does.
    pub fn run_to(&mut self, end: i64) {
        while self.fake.now < end {
            let mut rung = [false, false];
            for (i, rang) in rung.iter_mut().enumerate() {
                let desk = &self.desks[i];
                let met = desk
                    .triggers
                    .iter()
                    .any(|t| t.met(self.fake.read(t.instrument)));
                if self.fake.now >= desk.wake_at || met {
                    *rang = self.call(i);
                }
            }
            self.fake.second();
            for (i, rang) in rung.into_iter().enumerate() {
                if rang {
                    self.desks[1 - i].wake_at = self.fake.now;
                }
            }
        }
    }

    fn call(&mut self, i: usize) -> bool {
        let desk = &mut self.desks[i];
        desk.clear();
        if i == 0 {
            self.saturation.act(&self.fake, &mut self.board, desk);
        } else {
            self.dive.act(&self.fake, &mut self.board, desk);
        }
        self.looks[i] += 1;
        for k in 0..self.desks[i].orders.len() {
            let order = self.desks[i].orders[k];
            self.fake.obey(order);
        }
        let at = self.fake.now;
        self.fake
            .entries
            .extend(self.desks[i].entries.iter().map(|&what| Entry { at, what }));
        self.desks[i].ring
    }

    /// First second of an entry.
    pub fn first(&self, is: impl Fn(&What) -> bool) -> Option<i64> {
        self.fake.entries.iter().find(|e| is(&e.what)).map(|e| e.at)
    }

    /// How many entries are so.
    pub fn count(&self, is: impl Fn(&What) -> bool) -> usize {
        self.fake.entries.iter().filter(|e| is(&e.what)).count()
    }
}
