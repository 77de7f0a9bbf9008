//! The failures that are tried: every kind of fault on one thing of each kind that the spread has. How large a failure
//! is, is the house's choice; where the trade has spoken of one, its figure.

use super::super::clock::Job;
use deepstay_core::fault::FaultKind;
use deepstay_core::gas::Amounts;
use deepstay_core::record::{LineName, ValveName, Whereabouts};
use deepstay_core::units::*;
use deepstay_plant::{SamplePoint, Steel};
use std::f64::consts::PI;

/// Bores of leaks, m: a slow one, and a penetrator that is gone, half an inch (house figures).
const BORES_M: [f64; 2] = [0.001, 0.0127];
/// Discharge coefficient of a hole with a sharp edge, as in the files.
const DISCHARGE: f64 = 0.8;
/// Opening at which a valve for gas hangs, 0 to 1 (house figure).
const HANGS_AT: f64 = 0.05;
/// Opening at which a valve for oxygen hangs (house figure).
const OXYGEN_HANGS_AT: f64 = 0.1;
/// Time over which an instrument drifts by [`drifts_by`], s (house figure).
const DRIFT_S: f64 = 6.0 * 3600.0;
/// Oxygen fraction from which a label speaks of air or richer: air in such a bank could be what it says (house figures).
const AIR_O2: (f64, f64) = (0.2, 0.22);

/// How far an instrument drifts over [`DRIFT_S`], in the quantity's unit (house figures; an oxygen analyser that reads
/// 0.40 bar where 0.30 is true is the size the trade drills with, common practice, no source).
fn drifts_by(quantity: Quantity) -> f64 {
    match quantity {
        Quantity::Depth | Quantity::SeaDepth => 3.0,
        Quantity::PpO2 => 0.1,
        Quantity::FO2 => 0.02,
        Quantity::PpCo2 => 0.005,
        Quantity::Temperature => 3.0,
        Quantity::Humidity => 0.2,
        Quantity::GaugePressure => 20.0,
    }
}

/// Every failure that is tried of a job as it stands, kind by kind. Of several vessels of a kind that one is taken
/// which most people are in, of several banks of a duty one that is lined up.
pub fn failures(job: &Job) -> Vec<FaultKind> {
    let spread = Spread {
        job,
        steel: job.plant().steel(),
        vessels: vessels(job),
    };
    [
        spread.leaks(),
        spread.machines(),
        spread.valves(),
        spread.contents(),
        spread.instruments(),
    ]
    .concat()
}

struct Spread<'a> {
    job: &'a Job,
    steel: &'a Steel,
    /// One vessel of each kind, in the order of the spread.
    vessels: Vec<CompartmentId>,
}

impl Spread<'_> {
    fn leaks(&self) -> Vec<FaultKind> {
        let leak = |compartment| {
            BORES_M.map(|bore_m| FaultKind::Leak {
                compartment,
                area_m2: DISCHARGE * PI / 4.0 * bore_m * bore_m,
                hull_stop: false,
            })
        };
        self.vessels.iter().copied().flat_map(leak).collect()
    }

    fn machines(&self) -> Vec<FaultKind> {
        let plate = |c: &CompartmentId| &self.steel.compartments[c.index()];
        let fans = self.vessels.iter().copied();
        let fans = fans.filter(|c| plate(c).scrubber.is_some_and(|s| s.flow_m3_s > 0.0));
        let fans = fans.map(|compartment| FaultKind::FanStop { compartment });
        let climates = self.vessels.iter().copied();
        let climates = climates.filter(|c| plate(c).climate.is_some());
        let climates = climates.map(|compartment| FaultKind::ClimateStop { compartment });
        let reclaim = self.steel.reclaim.map(|_| FaultKind::ReclaimStop);
        fans.chain(climates).chain(reclaim).collect()
    }

    fn valves(&self) -> Vec<FaultKind> {
        let of_vessel = |c: &CompartmentId| {
            let plate = &self.steel.compartments[c.index()];
            [
                (ValveName::BlowDown(*c), plate.blow_down_m2, HANGS_AT),
                (ValveName::Oxygen(*c), plate.oxygen_m2, OXYGEN_HANGS_AT),
                (ValveName::Exhaust(*c), plate.exhaust_m2, HANGS_AT),
                (ValveName::Bleed(*c), plate.bleed_m2, HANGS_AT),
                (ValveName::Drain(*c), plate.drain_m2, HANGS_AT),
            ]
        };
        let of_doors = self
            .doors()
            .into_iter()
            .map(|d| (ValveName::Equalise(d), 1.0, HANGS_AT));
        let all = self.vessels.iter().flat_map(of_vessel).chain(of_doors);
        let stuck = |(valve, _, opening)| {
            [opening, 0.0].map(|opening| FaultKind::StuckValve { valve, opening })
        };
        all.filter(|(_, area_m2, _)| *area_m2 > 0.0)
            .flat_map(stuck)
            .collect()
    }

    /// One door with an equalising valve for each pair of kinds of vessel that doors join.
    fn doors(&self) -> Vec<DoorId> {
        let kind = |c: CompartmentId| self.steel.compartments[c.index()].kind;
        let (mut pairs, mut doors) = (Vec::new(), Vec::new());
        for (id, door) in (0u8..).map(DoorId).zip(&self.steel.doors) {
            let pair = (kind(door.a), door.b.map(kind));
            if door.equalise_m2 > 0.0 && !pairs.contains(&pair) {
                pairs.push(pair);
                doors.push(id);
            }
        }
        doors
    }

    fn contents(&self) -> Vec<FaultKind> {
        let wrong = |bank: BankId| {
            let label_o2 = self.steel.banks[bank.index()].label_o2;
            let says_air = (AIR_O2.0..AIR_O2.1).contains(&label_o2);
            let mix = match says_air {
                true => Amounts::heliox(0.0),
                false => Amounts::air(),
            };
            FaultKind::WrongContents { bank, mix }
        };
        self.banks().into_iter().map(wrong).collect()
    }

    /// One bank of each duty: of several one that is lined up.
    fn banks(&self) -> Vec<BankId> {
        let duty = |b: &BankId| self.steel.banks[b.index()].duty;
        let mut banks: Vec<BankId> = Vec::new();
        let all = (0..self.steel.banks.len() as u8).map(BankId);
        let (lined_up, idle): (Vec<BankId>, Vec<BankId>) = all.partition(|b| self.lined_up(*b));
        for bank in lined_up.into_iter().chain(idle) {
            if !banks.iter().any(|b| duty(b) == duty(&bank)) {
                banks.push(bank);
            }
        }
        banks.sort();
        banks
    }

    fn lined_up(&self, bank: BankId) -> bool {
        let positions = self.job.plant().positions();
        let lines = |c: CompartmentId| {
            [
                LineName::Supply(c),
                LineName::Oxygen(c),
                LineName::Bibs(c),
                LineName::DiverMain(c),
                LineName::DiverSecondary(c),
            ]
        };
        let mut all =
            (0..self.steel.compartments.len() as u8).flat_map(|c| lines(CompartmentId(c)));
        all.any(|line| positions.lined_up(line) == Some(bank))
    }

    fn instruments(&self) -> Vec<FaultKind> {
        let banks = self.banks();
        let mine = |point: SamplePoint| match point {
            SamplePoint::Compartment(c) | SamplePoint::Sea(c) => self.vessels.contains(&c),
            SamplePoint::Bank(b) => banks.contains(&b),
        };
        let all: Vec<(InstrumentId, Quantity, SamplePoint)> = (0u16..)
            .map(InstrumentId)
            .zip(&self.steel.instruments)
            .filter(|(_, i)| mine(i.labelled))
            .map(|(id, i)| (id, i.quantity, i.labelled))
            .collect();
        let drift = |(instrument, quantity, _): &(InstrumentId, Quantity, SamplePoint)| {
            [1.0, -1.0].map(|sign| FaultKind::Drift {
                instrument: *instrument,
                span_per_s: 0.0,
                zero_per_s: sign * drifts_by(*quantity) / DRIFT_S,
            })
        };
        let stands = all.iter().map(|(instrument, ..)| FaultKind::Frozen {
            instrument: *instrument,
        });
        let crossed = all.iter().filter_map(|(instrument, quantity, labelled)| {
            let to = self.furthest_off(*quantity, *labelled)?;
            Some(FaultKind::CrossConnected {
                instrument: *instrument,
                to,
            })
        });
        all.iter()
            .flat_map(drift)
            .chain(stands)
            .chain(crossed)
            .collect()
    }

    /// Of the vessels that people go into, but for its own, the one in which a quantity is furthest from where an
    /// instrument's label says. A bank's gauge has a line of its own, which leads to no vessel.
    fn furthest_off(&self, quantity: Quantity, labelled: SamplePoint) -> Option<CompartmentId> {
        let (SamplePoint::Compartment(own) | SamplePoint::Sea(own)) = labelled else {
            return None;
        };
        let (plant, now_s) = (self.job.plant(), self.job.now());
        let here = plant.truth(own, quantity, now_s);
        let off = |c: &CompartmentId| (plant.truth(*c, quantity, now_s) - here).abs();
        self.vessels
            .iter()
            .copied()
            .filter(|c| *c != own && self.steel.compartments[c.index()].kind.people_go_into())
            .reduce(|a, b| if off(&b) > off(&a) { b } else { a })
    }
}

/// One vessel of each kind: of several the one that most people are in.
fn vessels(job: &Job) -> Vec<CompartmentId> {
    let compartments = &job.plant().steel().compartments;
    let people = |c: CompartmentId| {
        let at = |d: &DiverId| {
            let at = job.crew().whereabouts(*d);
            at == Whereabouts::In(c) || at == Whereabouts::Water(c)
        };
        job.crew().ids().filter(at).count()
    };
    let mut taken: Vec<CompartmentId> = Vec::new();
    for c in (0..compartments.len() as u8).map(CompartmentId) {
        let kind = compartments[c.index()].kind;
        match taken
            .iter_mut()
            .find(|t| compartments[t.index()].kind == kind)
        {
            Some(t) if people(c) > people(*t) => *t = c,
            Some(_) => {}
            None => taken.push(c),
        }
    }
    taken.sort();
    taken
}
