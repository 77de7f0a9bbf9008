//! What a sum is made in: its values, the system of units and the convention, with the few conversions that depend on
//! them. Numbers are in the units of [`Kind::unit`]: bar, msw, L and m3, or psi, ata, fsw and ft3.

use crate::convention::{Choice, Convention};
use crate::error::SumError;
use crate::formulas::{
    Leg, bottles_m3, breathed, drawn_mol, handbook_ata, handbook_fsw, school_bar, school_msw,
};
use crate::kind::Kind;
use crate::name::Name;
use deepstay_core::gas::{Amounts, Species, state};
use deepstay_core::units::working::{
    FSW_PER_ATM, PSI_PER_ATM, ata_of_psig, rankine_of_f, usable_scf,
};
use deepstay_core::units::{
    ATM_PA, BAR_PA, FSW_BY_MSW_PA, FT3_M3, FreeReference, MSW_PA, PSI_PA, Units, ZERO_C_K,
};

/// Values by name, SI.
#[derive(Clone, Debug, PartialEq)]
pub struct Values {
    numbers: Vec<Option<f64>>,
    /// Rates of a decompression, msw/s and msw.
    pub legs: Vec<Leg>,
}

impl Default for Values {
    fn default() -> Self {
        Values {
            numbers: vec![None; Name::ALL.len()],
            legs: Vec::new(),
        }
    }
}

impl Values {
    /// A value, if there is one.
    pub fn get(&self, name: Name) -> Option<f64> {
        self.numbers[name as usize]
    }

    /// Sets a value.
    pub fn set(&mut self, name: Name, si: f64) {
        self.numbers[name as usize] = Some(si);
    }
}

/// What a sum is made in.
#[derive(Clone, Copy, Debug)]
pub struct Frame<'a> {
    /// The values, SI.
    pub values: &'a Values,
    /// Bar and metres, or pounds and feet.
    pub units: Units,
    /// The conventions.
    pub convention: Convention,
}

/// Celsius to absolute as the handbook does it.
const HANDBOOK_K: f64 = 273.0;

impl Frame<'_> {
    /// A value in SI; no number where there is none.
    pub fn si(&self, name: Name) -> f64 {
        self.values.get(name).unwrap_or(f64::NAN)
    }

    /// A value in the unit that sums count it in.
    pub fn n(&self, name: Name) -> f64 {
        name.kind().unit(self.units).number(self.si(name))
    }

    /// Whether gas is real.
    pub fn real(&self) -> bool {
        !self.convention.is_hand(Choice::Gas)
    }

    /// Whether the sum is the metric one.
    pub fn metric(&self) -> bool {
        self.units == Units::Metric
    }

    fn unit_pa(&self) -> f64 {
        if self.metric() { BAR_PA } else { ATM_PA }
    }

    /// Pressure at the surface, Pa: as given where pressures are exact, else the convention's one bar or atmosphere.
    pub fn surface_pa(&self) -> f64 {
        match self.values.get(Name::Surface) {
            Some(pa) if !self.convention.is_hand(Choice::Pressure) => pa,
            _ if self.convention.is_hand(Choice::Pressure) && !self.real() => self.unit_pa(),
            Some(pa) => pa,
            None => ATM_PA,
        }
    }

    /// Absolute pressure at a depth in msw, bar or ata.
    pub fn absolute_at(&self, msw: f64) -> f64 {
        let fsw = Kind::Depth.unit(Units::Imperial).number(msw);
        match (self.metric(), self.convention.is_hand(Choice::Pressure)) {
            (true, true) => school_bar(msw),
            (false, true) => handbook_ata(fsw),
            (true, false) => (self.surface_pa() + msw * MSW_PA) / BAR_PA,
            (false, false) => (self.surface_pa() + fsw * FSW_BY_MSW_PA) / ATM_PA,
        }
    }

    /// Absolute pressure at a depth, bar or ata.
    pub fn absolute(&self, depth: Name) -> f64 {
        self.absolute_at(self.si(depth))
    }

    /// The depth, in msw or fsw, at an absolute pressure, bar or ata.
    pub fn depth_at(&self, absolute: f64) -> f64 {
        let pa = absolute * self.unit_pa() - self.surface_pa();
        match (self.metric(), self.convention.is_hand(Choice::Pressure)) {
            (true, true) => school_msw(absolute),
            (false, true) => handbook_fsw(absolute),
            (true, false) => pa / MSW_PA,
            (false, false) => pa / FSW_BY_MSW_PA,
        }
    }

    /// Difference of pressure between two depths, bar or ata.
    pub fn span(&self, from: Name, to: Name) -> f64 {
        let msw = self.si(to) - self.si(from);
        let fsw = Kind::Depth.unit(Units::Imperial).number(msw);
        match (self.metric(), self.convention.is_hand(Choice::Pressure)) {
            (true, _) => msw / 10.0,
            (false, true) => fsw / FSW_PER_ATM,
            (false, false) => fsw * FSW_BY_MSW_PA / ATM_PA,
        }
    }

    /// Absolute pressure at a depth, Pa.
    pub fn absolute_pa(&self, depth: Name) -> f64 {
        self.absolute(depth) * self.unit_pa()
    }

    /// A depth as a gauge at the surface shows it, bar or psi: a tenth of the metres, 0.445 of the feet.
    pub fn depth_gauge(&self, depth: Name) -> f64 {
        let hand = self.convention.is_hand(Choice::Pressure);
        match self.metric() {
            true => self.si(depth) / 10.0,
            false if hand => self.n(depth) * deepstay_core::units::working::PSI_PER_FSW,
            false => self.n(depth) * FSW_BY_MSW_PA / PSI_PA,
        }
    }

    /// Absolute pressure of a gauge pressure, bar or ata.
    pub fn absolute_of(&self, gauge: Name) -> f64 {
        match (self.metric(), self.convention.is_hand(Choice::Pressure)) {
            (true, true) => self.n(gauge) + 1.0,
            (false, true) => ata_of_psig(self.n(gauge)),
            (_, false) => (self.si(gauge) + self.surface_pa()) / self.unit_pa(),
        }
    }

    /// What the gauge's unit has to the atmosphere of free gas: 1 bar, or 14.7 psi.
    pub fn gauge_atmosphere(&self) -> f64 {
        if self.metric() { 1.0 } else { PSI_PER_ATM }
    }

    /// A gauge pressure in atmospheres of free gas: bar, or psi over 14.7.
    pub fn atmospheres(&self, gauge: Name) -> f64 {
        self.n(gauge) / self.gauge_atmosphere()
    }

    /// The atmosphere that is added to a gauge pressure under [`Choice::PlusOne`], in atmospheres of free gas.
    pub fn plus_one(&self) -> f64 {
        if self.convention.is_hand(Choice::PlusOne) {
            0.0
        } else {
            1.0
        }
    }

    /// The mix as fractions.
    ///
    /// # Errors
    /// Where oxygen and nitrogen are more than all of it.
    pub fn mix(&self, oxygen: Name) -> Result<Amounts, SumError> {
        let (o2, n2) = (
            self.si(oxygen),
            self.values.get(Name::Nitrogen).unwrap_or(0.0),
        );
        if o2 + n2 > 1.0 + 1e-9 {
            return Err(SumError::Impossible(format!(
                "a mix of {} oxygen and {} nitrogen is more than all of it",
                Kind::Share.words(o2, self.units),
                Kind::Share.words(n2, self.units)
            )));
        }
        let mut mix = Amounts::heliox(o2);
        mix[Species::N2] = n2;
        mix[Species::He] = (1.0 - o2 - n2).max(0.0);
        Ok(mix)
    }

    /// A temperature, K: exact, or by the handbook's 460 and 273 degrees where gas is counted by hand.
    pub fn kelvin(&self, name: Name) -> f64 {
        match (self.real(), self.metric()) {
            (true, _) => self.si(name),
            (false, true) => self.n(name) + HANDBOOK_K,
            (false, false) => rankine_of_f(self.n(name)) * 5.0 / 9.0,
        }
    }

    /// The freezing point of water by the handbook, K: 273 degrees, or 32 and 460 of Fahrenheit.
    pub fn freezing_k(&self) -> f64 {
        match self.metric() {
            true => HANDBOOK_K,
            false => rankine_of_f(32.0) * 5.0 / 9.0,
        }
    }

    fn reference(&self) -> (FreeReference, f64) {
        match self.units {
            Units::Metric => (FreeReference::Bar15, 1.0),
            Units::Imperial => (FreeReference::Normal15, FT3_M3),
        }
    }

    /// Moles as free gas, m3 or ft3.
    pub fn free(&self, mol: f64) -> f64 {
        let (reference, unit_m3) = self.reference();
        mol / reference.mol_per_m3() / unit_m3
    }

    /// Floodable volume of some bottles, m3.
    pub fn floodable_m3(&self) -> f64 {
        self.si(Name::Bottles) * self.si(Name::BottleVolume)
    }

    /// Gas of bottles above their change-over pressure, m3 or ft3.
    ///
    /// # Errors
    /// Where they stand below it, or the mix cannot be.
    pub fn available(&self) -> Result<f64, SumError> {
        self.not_above(Name::ChangeOver, Name::Gauge, "nothing can be drawn")?;
        self.drawn(self.n(Name::Gauge), self.n(Name::ChangeOver), Name::Mix)
    }

    /// Gas that bottles yield between two gauge pressures (bar or psi), m3 or ft3.
    ///
    /// # Errors
    /// Where the mix cannot be.
    pub fn drawn(&self, from: f64, to: f64, oxygen: Name) -> Result<f64, SumError> {
        let (bottles, each) = (self.si(Name::Bottles), self.n(Name::BottleVolume));
        if self.real() {
            let pa = |gauge: f64| Kind::Gauge.unit(self.units).si(gauge);
            let mol = drawn_mol(
                &self.mix(oxygen)?,
                self.floodable_m3(),
                self.si(Name::Temperature),
                pa(from),
                pa(to),
                self.surface_pa(),
            );
            return Ok(self.free(mol));
        }
        Ok(match self.units {
            Units::Metric => bottles_m3(bottles, each, from, to),
            Units::Imperial => usable_scf(from, to, each, bottles),
        })
    }

    /// Free gas of a flow (L/min or ft3/min at depth) at a depth, m3 or ft3 a minute.
    ///
    /// # Errors
    /// Where the mix cannot be.
    pub fn breathed(&self, flow: Name, depth: Name, oxygen: Name) -> Result<f64, SumError> {
        if self.real() {
            let mix = self.mix(oxygen)?;
            let density =
                state::density_mol_m3(&mix, self.absolute_pa(depth), self.si(Name::Temperature));
            return Ok(self.free(density * self.si(flow) * 60.0));
        }
        Ok(breathed(
            1.0,
            self.n(flow) * self.litre(),
            self.absolute(depth),
            1.0,
        ))
    }

    /// What a unit of free gas becomes at the chamber's temperature and 1 bar (1 ata): one where it is counted there.
    pub fn warmth(&self) -> f64 {
        if self.convention.is_hand(Choice::Litres) {
            return 1.0;
        }
        let unit_pa = if self.metric() { BAR_PA } else { ATM_PA };
        ATM_PA / unit_pa * self.si(Name::Temperature) / ZERO_C_K
    }

    /// What a litre or a cubic foot is of the unit free gas is counted in.
    pub fn litre(&self) -> f64 {
        if self.metric() { 1e-3 } else { 1.0 }
    }

    /// Refuses a pressure of the air that there is at no height; one that is not asked for is let be.
    ///
    /// # Errors
    /// With it.
    pub fn air(&self, name: Name) -> Result<(), SumError> {
        match self.values.get(name) {
            Some(pa) if !(0.2 * ATM_PA..=1.1 * ATM_PA).contains(&pa) => {
                Err(SumError::Impossible(format!(
                    "{}: {} is no pressure of the air at any height; a barometer reads absolute",
                    name.text(),
                    Kind::Absolute.words(pa, self.units)
                )))
            }
            _ => Ok(()),
        }
    }

    /// Refuses where one value is above another that bounds it.
    ///
    /// # Errors
    /// With both.
    pub fn not_above(&self, low: Name, high: Name, so: &str) -> Result<(), SumError> {
        if self.si(low) <= self.si(high) {
            return Ok(());
        }
        Err(SumError::Impossible(format!(
            "{} is {}, above {} of {}: {so}",
            low.text(),
            low.kind().words(self.si(low), self.units),
            high.text(),
            high.kind().words(self.si(high), self.units)
        )))
    }

    /// Refuses a partial pressure above the absolute pressure that holds it.
    ///
    /// # Errors
    /// With both.
    pub fn within(&self, partial: Name, absolute: f64) -> Result<(), SumError> {
        if self.n(partial) <= absolute {
            return Ok(());
        }
        let whole = Kind::Absolute.unit(self.units).si(absolute);
        Err(SumError::Impossible(format!(
            "{} of {} is more than the whole pressure there, {} absolute",
            partial.text(),
            partial.kind().words(self.si(partial), self.units),
            Kind::Absolute.words(whole, self.units)
        )))
    }

    /// Refuses a share that is more than all of it or less than nothing.
    ///
    /// # Errors
    /// With the share.
    pub fn share(&self, what: &str, share: f64) -> Result<f64, SumError> {
        // Where nothing is divided by nothing there is no share; whoever asked is told by what.
        if share.is_nan() || (0.0..=1.0 + 1e-12).contains(&share) {
            return Ok(share * 100.0);
        }
        Err(SumError::Impossible(format!(
            "{what} would have to be {}: there is no such mix",
            Kind::Share.words(share, self.units)
        )))
    }
}
