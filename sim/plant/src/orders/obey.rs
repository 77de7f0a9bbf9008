//! Who does what was ordered.

use super::hand::Hand;
use crate::plant::Plant;
use deepstay_core::order::SteelOrder;
use deepstay_core::record::{Refused, Sink};

impl Plant {
    /// Carries out an order at `t_s`.
    ///
    /// # Errors
    /// What the steel refuses: a door under pressure, an interlock, a thing that is not there.
    pub fn order(
        &mut self,
        t_s: i64,
        order: SteelOrder,
        sink: &mut impl Sink,
    ) -> Result<(), Refused> {
        let mut hand = Hand::new(self, t_s, sink);
        match order {
            SteelOrder::Valve {
                valve,
                opening,
                purpose,
            } => hand.valve(valve, opening, purpose),
            SteelOrder::LineUp { line, bank } => hand.line_up(line, bank),
            SteelOrder::LineOff { line } => hand.line_off(line),
            SteelOrder::BankStop { bank, shut } => hand.stop_bank(bank, shut),
            SteelOrder::Regulator { line, over_pa } => hand.regulate(line, over_pa),
            SteelOrder::Trickle { compartment, mol_s } => hand.trickle(compartment, mol_s),
            SteelOrder::SampleFrom { instrument, from } => hand.sample_from(instrument, from),
            SteelOrder::Adjust {
                instrument,
                bank,
                part,
            } => hand.adjust(instrument, bank, part),
            SteelOrder::Door { door, open } => hand.door(door, open),
            SteelOrder::Clamp { door, made } => hand.clamp(door, made),
            SteelOrder::Switch {
                compartment,
                machine,
                on,
            } => hand.switch(compartment, machine, on),
            SteelOrder::ClimateSet {
                compartment,
                t_k,
                humidity,
            } => hand.set_climate(compartment, t_k, humidity),
            SteelOrder::OxygenSet {
                compartment,
                ppo2_bar,
                band_bar,
            } => hand.set_oxygen(compartment, ppo2_bar, band_bar),
            SteelOrder::Gag { compartment, shut } => hand.gag(compartment, shut),
            SteelOrder::HullStop { compartment, shut } => hand.hull_stop(compartment, shut),
            SteelOrder::ChangeCanister { compartment } => hand.change_canister(compartment),
            SteelOrder::Calibrate { instrument } => hand.calibrate(instrument),
            SteelOrder::Analyse { bank } => hand.analyse(bank),
            SteelOrder::Bell { bell, to_msw } => hand.send_bell(bell, to_msw),
        }
    }

    /// Acts on one of the plant's own monitors; false when the owner is somebody else.
    pub fn own_monitor(&mut self, owner: u32, t_s: i64, sink: &mut impl Sink) -> bool {
        let mut hand = Hand::new(self, t_s, sink);
        hand.turn_relief(owner) || hand.turn_oxygen(owner)
    }
}
