//! How long people live in the evacuation unit from a present: hours of oxygen, of absorbent, of gas for leaks and locks,
//! and until it is too warm or too cold, each by a formula with its inputs, the one that ends first named first.
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current
//! document, the company's approved manual and the licensed people on the job decide.

use super::reserve::{COUNTED_AT, usable_mol};
use super::unit::{WantedEndurance, heat_at_rest_w};
use deepstay_core::gas::state::{cv_j_k, total_moles};
use deepstay_core::gas::{Amounts, Species};
use deepstay_core::record::{Bound, Phase, Severity, Whereabouts};
use deepstay_core::units::working::moist_moles;
use deepstay_core::units::*;
use deepstay_plant::{Bank, Compartment};
use deepstay_rules::{Limit, PersonFlow, RuleRefusal};
use deepstay_scenario::{RoomStands, Scenario, WholePresent};
use deepstay_sums::{
    EMERGENCY_PPO2_ATA, MASKS_PPCO2_ATA, SIZING_L_MIN, absorbent_lasts_s, drawn_mol, lasts,
    leak_m3, lock_cycle_m3, metabolic_m3, press_m3,
};

/// What a person takes of oxygen, and gives of carbon dioxide, for sizing, where the rule set says nothing of it.
const SIZING_SOURCE: &str = "30 L/h a person: France, order of 30 October 2012, art. 33 (seen)";
/// Least oxygen that an emergency gas may have.
const LEAST_SOURCE: &str =
    "0.16 ata: US Navy Diving Manual, 15-15 and 15-22, an older edition (seen)";

const DAY_S: f64 = 86_400.0;
const HOUR_S: f64 = 3600.0;

/// What people in the unit live by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Supply {
    /// Oxygen.
    Oxygen,
    /// Absorbent.
    Absorbent,
    /// Gas for what leaks and for the lock.
    Gas,
    /// Warmth within the band of the rule set.
    Heat,
}

impl Supply {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Supply::Oxygen => "oxygen",
            Supply::Absorbent => "absorbent",
            Supply::Gas => "gas for leaks and locks",
            Supply::Heat => "temperature",
        }
    }
}

/// A number of a formula: its sign, what it is, and where it comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct EnduranceTerm {
    /// Its sign in the formula.
    pub sign: &'static str,
    /// Its value with the unit.
    pub value: String,
    /// What it is, or where it comes from.
    pub from: String,
}

/// How long one supply lasts.
#[derive(Clone, Debug, PartialEq)]
pub struct Lasts {
    /// Of what.
    pub supply: Supply,
    /// The sum in symbols.
    pub formula: &'static str,
    /// Its inputs.
    pub inputs: Vec<EnduranceTerm>,
    /// Hours for those who are to go now, and with every place of the unit taken; none where it sets no end.
    pub hours: [Option<f64>; 2],
    /// What must be known beside it.
    pub remark: Option<String>,
}

/// A rate of a person for sizing, L/min of free gas, and where it is from.
pub fn sizing(flow: Result<PersonFlow, RuleRefusal>) -> (f64, String) {
    match flow {
        Ok(flow) => (
            flow.m3_s * 6e4,
            format!(
                "{}: {} ({})",
                flow.id, flow.source.document, flow.source.status
            ),
        ),
        Err(_) => (SIZING_L_MIN, SIZING_SOURCE.to_owned()),
    }
}

/// The sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Endurance {
    /// How long it is to last.
    pub wanted: WantedEndurance,
    /// The unit.
    pub unit: CompartmentId,
    /// Whether it is a rescue chamber (HRC).
    pub is_rescue: bool,
    /// Second of the present.
    pub at_s: i64,
    /// Depth that it would be at, msw: the deepest of the levels with people in them.
    pub depth_msw: f64,
    /// How many are to go, and how many places there are.
    pub people: [usize; 2],
    /// Each supply, the one that ends first for those who are to go first.
    pub lasts: Vec<Lasts>,
    /// Hours without any scrubber until masks are called for, for both.
    pub unscrubbed_h: [f64; 2],
    /// What stands against it.
    pub remarks: Vec<String>,
}

impl Endurance {
    /// The hours of the supply that ends first, for those who are to go and with every place taken.
    pub fn least_h(&self) -> [Option<f64>; 2] {
        [0, 1].map(|k| {
            let hours = self.lasts.iter().filter_map(|l| l.hours[k]);
            hours.min_by(f64::total_cmp)
        })
    }

    /// Whether it lasts as long as it is to, for those who are to go and with every place taken.
    pub fn meets(&self) -> [bool; 2] {
        self.least_h()
            .map(|h| h.is_none_or(|h| h >= self.wanted.hours))
    }
}

/// What the sums are made from.
struct Ground<'a> {
    scenario: &'a Scenario,
    present: &'a WholePresent,
    unit: CompartmentId,
    plate: &'a Compartment,
    room: RoomStands,
    depth_msw: f64,
    people: [usize; 2],
    /// Oxygen that a person takes and carbon dioxide that he gives, for sizing, L/min, each with where it is from.
    o2: (f64, String),
    co2: (f64, String),
}

/// The sheet of a present; none where nobody is under pressure.
pub fn endurance(scenario: &Scenario, present: &WholePresent) -> Option<Endurance> {
    let unit = present.evacuation.unit;
    let plate = scenario.steel.compartments.get(unit.index())?;
    let under = |at: Whereabouts| match at {
        Whereabouts::In(c) | Whereabouts::Water(c) => present.rooms[c.index()],
        Whereabouts::Deck => None,
    };
    let there: Vec<RoomStands> = present.divers.iter().filter_map(|d| under(d.at)).collect();
    let pressed = |r: &RoomStands| r.depth_msw >= 1.0;
    let deepest = there.iter().copied().filter(pressed);
    let deepest = deepest.max_by(|a, b| a.depth_msw.total_cmp(&b.depth_msw))?;
    let depth_msw = deepest.depth_msw;
    let own = present.rooms[unit.index()];
    let at_depth = own.filter(|r| (r.depth_msw - depth_msw).abs() <= 1.0);
    let heads = there.iter().filter(|r| pressed(r)).count();
    let people = present.evacuation.people.map_or(heads, usize::from);
    let ground = Ground {
        scenario,
        present,
        unit,
        plate,
        room: at_depth.unwrap_or(deepest),
        depth_msw,
        people: [people, usize::from(plate.places).max(1)],
        o2: sizing(scenario.rules.o2_sizing(&scenario.accepted)),
        co2: sizing(scenario.rules.co2_sizing(&scenario.accepted)),
    };
    let is_rescue = plate.kind == CompartmentKind::Rescue;
    let mut remarks = Vec::new();
    if !is_rescue {
        remarks.push(format!(
            "{} is no rescue chamber (HRC): the figures are those of staying in it",
            plate.name
        ));
    }
    if people > usize::from(plate.places) {
        remarks.push(format!(
            "{people} are under pressure, and {} has {} places",
            plate.name, plate.places
        ));
    }
    let shallower = there
        .iter()
        .filter(|r| pressed(r) && depth_msw - r.depth_msw > 1.0);
    let shallower = shallower.count();
    if shallower > 0 {
        remarks.push(format!(
            "{shallower} are at another depth: before all can go together somebody decides on one, and the gas that brings them to it is not in these figures"
        ));
    }
    if at_depth.is_none() {
        remarks.push(format!("{} is not at {} msw yet: the gas that presses it is not in these figures, and its gas is taken to be that of the deepest chamber", plate.name, fixed(depth_msw, 1)));
    }
    if present.evacuation.banks.is_empty() {
        remarks.push("no bank is said to go with it (evacuation: (banks: [...]) on the page): it has the gas that is in it and no other".to_owned());
    }
    let mut lasts = vec![
        ground.oxygen(),
        ground.absorbent(),
        ground.gas(),
        ground.heat(),
    ];
    lasts.sort_by(|a, b| {
        let end = |l: &Lasts| l.hours[0].unwrap_or(f64::INFINITY);
        end(a).total_cmp(&end(b))
    });
    Some(Endurance {
        wanted: WantedEndurance::of(&scenario.rules, &scenario.accepted),
        unit,
        is_rescue,
        at_s: present.at_s,
        depth_msw,
        people: ground.people,
        lasts,
        unscrubbed_h: ground.unscrubbed_h(),
        remarks,
    })
}

fn input(sign: &'static str, value: String, from: impl Into<String>) -> EnduranceTerm {
    let from = from.into();
    EnduranceTerm { sign, value, from }
}

impl Ground<'_> {
    fn p_bar(&self) -> f64 {
        (self.scenario.steel.surface_pa + self.depth_msw * MSW_PA) / BAR_PA
    }

    /// Free gas, m3, that a partial pressure is in the unit.
    fn free_m3(&self, bar: f64) -> f64 {
        moist_moles(self.plate.volume_m3, bar * BAR_PA, self.room.t_k) / COUNTED_AT.mol_per_m3()
    }

    /// The banks that go with it, of oxygen or of other gas.
    fn banks(&self, oxygen: bool) -> impl Iterator<Item = (BankId, &Bank)> {
        let banks = self.present.evacuation.banks.iter();
        let plates = banks.map(|b| (*b, &self.scenario.steel.banks[b.index()]));
        plates.filter(move |(_, plate)| (plate.label_o2 > 0.9) == oxygen)
    }

    /// What the banks that go with it yield down to the unit's pressure, m3 of free gas, and their names.
    fn yields_m3(&self, oxygen: bool) -> (f64, String) {
        let steel = &self.scenario.steel;
        let heel_pa = self.depth_msw * MSW_PA;
        let mut names = Vec::new();
        let mut mol = 0.0;
        for (id, plate) in self.banks(oxygen) {
            let stands = self.present.banks[id.index()];
            let gauge_pa = stands.map_or(plate.fill_gauge_pa, |s| s.gauge_pa);
            let yielded = match stands {
                Some(s) => drawn_mol(
                    &plate.true_mix,
                    plate.volume_m3,
                    s.t_k,
                    gauge_pa,
                    heel_pa,
                    steel.surface_pa,
                ),
                None => usable_mol(plate, gauge_pa, heel_pa, steel.surface_pa),
            };
            mol += if oxygen {
                yielded * plate.label_o2
            } else {
                yielded
            };
            names.push(format!(
                "{} at {} bar",
                plate.name,
                fixed(gauge_pa / BAR_PA, 1)
            ));
        }
        let names = if names.is_empty() {
            "no bank goes with it".to_owned()
        } else {
            names.join(", ")
        };
        (mol / COUNTED_AT.mol_per_m3(), names)
    }

    fn oxygen(&self) -> Lasts {
        let least_bar = EMERGENCY_PPO2_ATA.0 * ATM_PA / BAR_PA;
        let inside_m3 = self.free_m3((self.room.ppo2_bar - least_bar).max(0.0));
        let (banks_m3, names) = self.yields_m3(true);
        let there_m3 = banks_m3 + inside_m3;
        let hours = self
            .people
            .map(|n| Some(lasts(there_m3, metabolic_m3(n as f64, self.o2.0, HOUR_S))));
        Lasts {
            supply: Supply::Oxygen,
            formula: "t = (B + V (p - p0) / (R T)) / (N q)",
            inputs: vec![
                input(
                    "B",
                    format!("{} m3", fixed(banks_m3, 2)),
                    format!("{names}, real gas down to the unit's pressure"),
                ),
                input(
                    "V",
                    format!("{} m3", fixed_short(self.plate.volume_m3)),
                    format!("gas volume of {}", self.plate.name),
                ),
                input(
                    "p",
                    format!("{} bar", fixed(self.room.ppo2_bar, 3)),
                    "ppO2 of the page",
                ),
                input("p0", format!("{} bar", fixed(least_bar, 3)), LEAST_SOURCE),
                input(
                    "V (p - p0) / (R T)",
                    format!("{} m3", fixed(inside_m3, 2)),
                    "what its own gas has to give, free gas at 15 degC and 1 bar",
                ),
                input(
                    "q",
                    format!("{} L/min", fixed_short(self.o2.0)),
                    self.o2.1.clone(),
                ),
            ],
            hours,
            remark: None,
        }
    }

    /// Absorbent that has not been used, kg, and how that was found.
    fn absorbent_left_kg(&self) -> (f64, String) {
        let spare_kg = self.present.evacuation.absorbent_kg;
        let Some(scrubber) = self.plate.scrubber else {
            return (
                spare_kg,
                "the unit has no scrubber: lung-powered or none".to_owned(),
            );
        };
        let steel = &self.scenario.steel;
        let levels = &self.scenario.plan.levels;
        let level = levels.iter().find(|l| l.members.contains(&self.unit));
        let canisters = level.map_or(1, |l| {
            let fitted = |c: &&CompartmentId| steel.compartments[c.index()].scrubber.is_some();
            l.members.iter().filter(fitted).count().max(1)
        });
        let own_s = self.present.rooms[self.unit.index()].map_or(0, |r| r.absorbent_s);
        let hours = own_s as f64 / HOUR_S;
        let each = self.people[0] as f64 / canisters as f64;
        let used_mol = metabolic_m3(each, self.co2.0, own_s as f64) * COUNTED_AT.mol_per_m3();
        let used_kg = (used_mol / scrubber.capacity_mol_kg).min(scrubber.absorbent_kg);
        let from = format!(
            "canister {} kg, run {} h as one of {canisters} for {}, and {} kg beside it",
            fixed_short(scrubber.absorbent_kg),
            fixed(hours, 1),
            self.people[0],
            fixed_short(spare_kg)
        );
        (scrubber.absorbent_kg - used_kg + spare_kg, from)
    }

    fn absorbent(&self) -> Lasts {
        let (left_kg, from) = self.absorbent_left_kg();
        let capacity = self.plate.scrubber.map_or(0.0, |s| s.capacity_mol_kg);
        let l_kg = |mol_kg: f64| mol_kg / COUNTED_AT.mol_per_m3() * 1e3;
        let lasts_h = |n: usize, mol_kg: f64| {
            absorbent_lasts_s(left_kg, n as f64, self.co2.0, l_kg(mol_kg)) / HOUR_S
        };
        let name = format!("capacity of the absorbent in {}", self.plate.name);
        let range = self.scenario.inputs.iter().find(|i| i.name == name);
        let remark = range.filter(|r| r.low < r.high).map(|r| {
            format!(
                "with a capacity from {} to {} L/kg: {} to {} h",
                fixed(l_kg(r.low), 0),
                fixed(l_kg(r.high), 0),
                fixed(lasts_h(self.people[0], r.low), 1),
                fixed(lasts_h(self.people[0], r.high), 1)
            )
        });
        Lasts {
            supply: Supply::Absorbent,
            formula: "t = M c / (N q)",
            inputs: vec![
                input("M", format!("{} kg", fixed(left_kg, 1)), from),
                input(
                    "c",
                    format!("{} L/kg", fixed(l_kg(capacity), 0)),
                    "input of the spread, free gas at 15 degC and 1 bar; no measurement of an HRC's canister was found",
                ),
                input(
                    "q",
                    format!("{} L/min", fixed_short(self.co2.0)),
                    self.co2.1.clone(),
                ),
            ],
            hours: self.people.map(|n| Some(lasts_h(n, capacity))),
            remark,
        }
    }

    /// The limit of the rule set that something in storage at this depth comes to first on a side.
    fn limit(&self, quantity: Quantity, bound: Bound) -> Option<Limit> {
        let (rules, accepted) = (&self.scenario.rules, &self.scenario.accepted);
        let depth = self.depth_msw;
        let limits = match quantity {
            Quantity::Depth => rules.depth_limits(Phase::Storage, depth, depth, accepted),
            _ => rules.limits(Phase::Storage, depth, accepted),
        };
        let mut of = limits.into_iter();
        of.find(|l| (l.quantity, l.bound, l.severity) == (quantity, bound, Severity::Limit))
    }

    fn gas(&self) -> Lasts {
        let (banks_m3, names) = self.yields_m3(false);
        let leak = format!("leak of {} in heliox of 4 %", self.plate.name);
        let leak = self.scenario.inputs.iter().find(|i| i.name == leak);
        let share_day = leak.map_or(0.0, |i| i.value / 100.0);
        let (lock_m3, runs) = self.present.evacuation.lock.unwrap_or((0.0, 0.0));
        let leak_day_m3 = leak_m3(self.plate.volume_m3, self.depth_msw, share_day, DAY_S);
        let lock_day_m3 = runs * lock_cycle_m3(lock_m3, self.depth_msw);
        let lowest = self.limit(Quantity::Depth, Bound::Low);
        let may_fall_msw = lowest
            .as_ref()
            .map_or(0.0, |l| (self.depth_msw - l.value).max(0.0));
        let may_fall_m3 = press_m3(self.plate.volume_m3, may_fall_msw);
        let day_m3 = leak_day_m3 + lock_day_m3;
        let hours = (day_m3 > 0.0).then(|| 24.0 * lasts(banks_m3 + may_fall_m3, day_m3));
        let fall_from = lowest.map_or("no limit of depth in the rule set".to_owned(), |l| {
            format!("{}: {} ({})", l.label, l.source.document, l.source.status)
        });
        let range = leak.filter(|i| i.low < i.high);
        Lasts {
            supply: Supply::Gas,
            formula: "t = (G + V d / 10) / (k V P + r v D / 10)",
            inputs: vec![
                input(
                    "G",
                    format!("{} m3", fixed(banks_m3, 1)),
                    format!("{names}, real gas down to the unit's pressure"),
                ),
                input(
                    "d",
                    format!("{} msw", fixed_short(may_fall_msw)),
                    format!("depth that may be lost, {fall_from}"),
                ),
                input(
                    "k",
                    format!("{} %/d", fixed_short(100.0 * share_day)),
                    "leak of the unit: input of the spread, no measurement is public",
                ),
                input(
                    "k V P",
                    format!("{} m3/d", fixed(leak_day_m3, 2)),
                    "P by the school convention, D / 10 + 1 bar",
                ),
                input(
                    "r v D / 10",
                    format!("{} m3/d", fixed(lock_day_m3, 2)),
                    format!(
                        "{} runs a day of a lock of {} m3",
                        fixed_short(runs),
                        fixed_short(lock_m3)
                    ),
                ),
            ],
            hours: [hours; 2],
            remark: range.map(|i| {
                format!(
                    "the leak may be {} to {} %/d",
                    fixed_short(i.low),
                    fixed_short(i.high)
                )
            }),
        }
    }

    fn heat(&self) -> Lasts {
        let evacuation = &self.present.evacuation;
        let outside_k = evacuation.outside_k.unwrap_or(self.scenario.steel.deck_t_k);
        let mut x = Amounts::ZERO;
        x[Species::O2] = self.room.ppo2_bar / self.p_bar();
        x[Species::He] = 1.0 - x[Species::O2];
        let moles = total_moles(
            &x,
            self.p_bar() * BAR_PA,
            self.plate.volume_m3,
            self.room.t_k,
        );
        let capacity_j_k = self.plate.wall_j_k + cv_j_k(&x.scaled(moles), self.room.t_k);
        let ua_w_k = self.plate.wall_ua_w_k;
        let band = [Bound::Low, Bound::High].map(|bound| self.limit(Quantity::Temperature, bound));
        let ends_k = self.people.map(|n| {
            outside_k
                + (n as f64 * heat_at_rest_w(self.scenario) + evacuation.heater_w)
                    / ua_w_k.max(1e-9)
        });
        let time_h = |end_k: f64| {
            let [low, high] = &band;
            let edge_k = match () {
                () if low.as_ref().is_some_and(|l| end_k < l.value) => {
                    low.as_ref().map(|l| l.value)
                }
                () if high.as_ref().is_some_and(|l| end_k > l.value) => {
                    high.as_ref().map(|l| l.value)
                }
                () => None,
            }?;
            let (from, to) = (self.room.t_k - end_k, edge_k - end_k);
            let left = from / to;
            Some(match left > 1.0 {
                true => capacity_j_k / ua_w_k * libm::log(left) / HOUR_S,
                // It is past the edge already.
                false => 0.0,
            })
        };
        let degrees = |k: f64| format!("{} degC", fixed(k - ZERO_C_K, 1));
        let [low, high] = &band;
        let edges = [low, high].map(|l| l.as_ref().map_or("none".to_owned(), |l| degrees(l.value)));
        let source = low.as_ref().or(high.as_ref()).map_or(
            "no climate in the rule set for this depth".to_owned(),
            |l| format!("{} ({})", l.source.document, l.source.status),
        );
        let outside_from = match evacuation.outside_k {
            Some(_) => "what surrounds it, of the page",
            None => "the spread's deck; what surrounds it was not given",
        };
        let ends = |k: usize| format!("{} for {}", degrees(ends_k[k]), self.people[k]);
        Lasts {
            supply: Supply::Heat,
            formula: "t = (C / UA) ln((T - Te) / (Tl - Te)),  Te = To + (N w + H) / UA",
            inputs: vec![
                input("Tl", format!("{} to {}", edges[0], edges[1]), format!("band of the gas: {source}")),
                input("T", degrees(self.room.t_k), "temperature of the page"),
                input("To", degrees(outside_k), outside_from),
                input("Te", format!("{}, {}", ends(0), ends(1)), "where it would end"),
                input("w", format!("{} W", fixed(heat_at_rest_w(self.scenario), 0)), "a person at rest without what evaporates, and the absorbent's heat: the job's table of rates"),
                input("H", format!("{} W", fixed(evacuation.heater_w, 0)), "heating that goes with it"),
                input("UA", format!("{} W/K", fixed(ua_w_k, 0)), "loss of the wall: input of the spread"),
                input("C", format!("{} kJ/K", fixed(capacity_j_k / 1e3, 0)), "wall and gas"),
            ],
            hours: ends_k.map(time_h),
            remark: Some("sun, waves and the warmth of wet gas are not in it: in warm seas heat is said to be the usual end (from memory)".to_owned()),
        }
    }

    /// Hours with no scrubber at all until masks are called for.
    fn unscrubbed_h(&self) -> [f64; 2] {
        let masks_bar = MASKS_PPCO2_ATA * ATM_PA / BAR_PA;
        let m3 = self.free_m3((masks_bar - self.room.ppco2_bar).max(0.0));
        self.people
            .map(|n| lasts(m3, metabolic_m3(n as f64, self.co2.0, HOUR_S)))
    }
}
