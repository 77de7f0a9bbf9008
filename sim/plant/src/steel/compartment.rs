//! A vessel, and the machines in it.

use deepstay_core::units::*;

/// One vessel.
#[derive(Clone, Debug, PartialEq)]
pub struct Compartment {
    /// Name as on the panel.
    pub name: String,
    /// What it is for.
    pub kind: CompartmentKind,
    /// Gas volume, m3.
    pub volume_m3: f64,
    /// Rated depth, msw.
    pub rating_msw: f64,
    /// Bunks; also the most divers it may hold asleep.
    pub bunks: u8,
    /// Most divers it may hold at all.
    pub places: u8,
    /// Inner wall surface, m2.
    pub wall_m2: f64,
    /// Heat capacity of wall and fittings, J/K.
    pub wall_j_k: f64,
    /// Wall to surroundings, W/K (for the bell: to air on deck and to sea in the water).
    pub wall_ua_w_k: f64,
    /// Standing leak as an effective hole area (discharge coefficient included), m2.
    pub leak_m2: f64,
    /// Effective area of the fully open blow-down valve, m2.
    pub blow_down_m2: f64,
    /// Effective area of the fully open exhaust, m2.
    pub exhaust_m2: f64,
    /// Effective area of the fully open bleed valve, m2.
    pub bleed_m2: f64,
    /// Effective area of the fully open drain, m2; zero where there is none.
    pub drain_m2: f64,
    /// Effective area of the fully open oxygen valve, m2; zero where there is none.
    pub oxygen_m2: f64,
    /// Supply regulator: outlet pressure above the compartment's, Pa.
    pub supply_over_pa: f64,
    /// Flow that the analysers draw, mol/s at all depths (0.5 L/min STPD is 3.7e-4).
    pub sample_mol_s: f64,
    /// Where the drain goes.
    pub drain_to: Option<CompartmentId>,
    /// Scrubber, where there is one.
    pub scrubber: Option<Scrubber>,
    /// Climate unit, where there is one.
    pub climate: Option<Climate>,
    /// Bell machinery, for a bell.
    pub bell: Option<Bell>,
    /// Relief valve; none where over-pressure is left to the alarm.
    pub relief: Option<Relief>,
}

/// A relief valve to the outside, with a gag valve before it: it protects the steel, and replaces no alarm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Relief {
    /// Depth at which it opens, msw.
    pub set_msw: f64,
    /// Depth at which it shuts again, msw.
    pub reseat_msw: f64,
    /// Effective area when open, m2.
    pub area_m2: f64,
    /// Its gag valve is shut at the start: it does nothing.
    pub gagged: bool,
}

/// A carbon dioxide scrubber: a fan through a canister of absorbent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scrubber {
    /// Fan flow at chamber conditions, m3/s.
    pub flow_m3_s: f64,
    /// Absorbent in a fresh canister, kg.
    pub absorbent_kg: f64,
    /// Capacity, mol CO2 per kg.
    pub capacity_mol_kg: f64,
    /// Bohart-Adams bed number of the fresh canister: rate constant times residence time times capacity.
    pub bed_number: f64,
    /// Fan power that ends as heat in the gas, W.
    pub fan_w: f64,
}

/// Heater, chiller and drying coil.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Climate {
    /// Most heat the heater gives, W.
    pub heater_w: f64,
    /// Most heat the chiller takes, W.
    pub chiller_w: f64,
    /// Gas flow over the coil, m3/s.
    pub coil_m3_s: f64,
    /// Coil surface temperature, K.
    pub coil_t_k: f64,
    /// Contact factor of the coil, 0 to 1.
    pub coil_contact: f64,
    /// Band over which heating and cooling go from nothing to full, K.
    pub band_k: f64,
}

/// What a bell has beyond a chamber.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bell {
    /// Trunk it mates to.
    pub trunk: CompartmentId,
    /// Bank on the bell for divers' secondary gas and survival.
    pub on_board: Option<BankId>,
    /// Bank on the bell for metabolic oxygen.
    pub on_board_oxygen: Option<BankId>,
    /// Winch speed, msw/s.
    pub winch_msw_s: f64,
    /// Time over the side or through the moon pool between deck and water, s.
    pub handling_s: i64,
    /// Heat from hot water into the gas of a bell that is as cold as the sea, W; less as the bell warms, and none at
    /// the water's own temperature.
    pub hot_water_w: f64,
    /// Hot-water flow to each diver, kg/s, at the supply temperature: what the ship's heater is sized by.
    pub hot_water_kg_s: f64,
    /// Hot-water supply temperature, K.
    pub hot_water_t_k: f64,
}
