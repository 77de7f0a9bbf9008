//! A saturation's gas term by term, as the inputs listed by GB 18985-2021, 5.6, suggest. A reconstruction: the
//! list of terms and inputs was read, the equations are printed as images and were not.

use super::{
    absolute_of_share, breathed_m3, decompression_oxygen_m3, leak_m3, person_sizing_m3, press_m3,
};

/// What a bill of gas is made from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BillOf {
    /// Gas volume of the chambers, m3.
    pub chambers_m3: f64,
    /// Storage depth, msw.
    pub storage_msw: f64,
    /// Oxygen in the mix that presses, fraction.
    pub mix_o2: f64,
    /// Days from the first pressing to the surface.
    pub days: f64,
    /// Share of the chambers' gas that is made up for in a day.
    pub made_up_per_day: f64,
    /// People.
    pub people: f64,
    /// Gas volume of the bells, m3.
    pub bell_m3: f64,
    /// How much deeper than storage the bell goes, msw.
    pub deeper_msw: f64,
    /// Bell runs.
    pub runs: f64,
    /// Divers in the water in a run.
    pub divers: f64,
    /// Breathing of one of them, L/min at depth.
    pub l_min: f64,
    /// Depth at which they work, msw.
    pub working_msw: f64,
    /// Time of each in the water in a run, s.
    pub in_water_s: f64,
    /// Share of the exhaled gas that reclaim brings back.
    pub recovery: f64,
    /// Oxygen partial pressure held while coming up, bar.
    pub ppo2_bar: f64,
    /// Share by volume at which the partial pressure is given up.
    pub share: f64,
}

/// The terms, m3 of free gas.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bill {
    /// Inert gas to press the chambers: `V D/10 (1 - C)`.
    pub press_inert_m3: f64,
    /// Oxygen to press the chambers: `V D/10 C`.
    pub press_oxygen_m3: f64,
    /// Gas to hold depth: `d k V P`.
    pub hold_m3: f64,
    /// Oxygen that people use: `N q_O d`.
    pub oxygen_used_m3: f64,
    /// Gas to take the bell from storage to its depth: `V_b dD/10 n`.
    pub bell_m3: f64,
    /// Gas that divers breathe and do not get back: `n N q P t (1 - R)`.
    pub divers_m3: f64,
    /// Oxygen of the decompression without what people use: `V p ln((P1 - p)/(P2 - p))`.
    pub decompression_m3: f64,
}

impl Bill {
    /// The terms in words, with their symbols and amounts, m3.
    pub fn terms(&self) -> [(&'static str, &'static str, f64); 7] {
        [
            (
                "inert gas to press the chambers",
                "V D/10 (1 \u{2212} C)",
                self.press_inert_m3,
            ),
            (
                "oxygen to press the chambers",
                "V D/10 C",
                self.press_oxygen_m3,
            ),
            ("gas to hold depth", "d k V P", self.hold_m3),
            ("oxygen that people use", "N q_O d", self.oxygen_used_m3),
            (
                "gas to take the bell deeper",
                "V_b \u{394}D/10 n",
                self.bell_m3,
            ),
            (
                "divers' gas not got back",
                "n N q P t (1 \u{2212} R)",
                self.divers_m3,
            ),
            (
                "oxygen of the decompression, bled",
                "V p ln((P1 \u{2212} p)/(P2 \u{2212} p))",
                self.decompression_m3,
            ),
        ]
    }

    /// All terms together, m3, without the factor of the reserve.
    pub fn sum_m3(&self) -> f64 {
        self.terms().iter().map(|(_, _, m3)| m3).sum()
    }
}

/// The terms of a saturation's gas, m3 of free gas.
///
/// GB 18985-2021, 5.6: terms and inputs seen, algebra derived; the decompression's term is
/// [`decompression_oxygen_m3`], because 5.6.4 and what follows is cut in the copy.
pub fn bill_of_gas(of: &BillOf) -> Bill {
    let pressed = press_m3(of.chambers_m3, of.storage_msw);
    let from_bar = super::school_bar(of.storage_msw);
    let to_bar = absolute_of_share(of.ppo2_bar, of.share).min(from_bar);
    let day_s = 86_400.0;
    Bill {
        press_inert_m3: pressed * (1.0 - of.mix_o2),
        press_oxygen_m3: pressed * of.mix_o2,
        hold_m3: leak_m3(
            of.chambers_m3,
            of.storage_msw,
            of.made_up_per_day,
            of.days * day_s,
        ),
        oxygen_used_m3: person_sizing_m3(of.people, of.days * day_s),
        bell_m3: press_m3(of.bell_m3, of.deeper_msw) * of.runs,
        divers_m3: breathed_m3(of.divers, of.l_min, of.working_msw, of.in_water_s)
            * of.runs
            * (1.0 - of.recovery),
        decompression_m3: decompression_oxygen_m3(of.chambers_m3, of.ppo2_bar, from_bar, to_bar),
    }
}
