//! What is known of an evacuation unit whoever asks: how long it is to keep its people, and the warmth of a person in it.

use deepstay_core::Status;
use deepstay_core::units::FreeReference;
use deepstay_plant::{ABSORPTION_J_MOL, Activity};
use deepstay_rules::{EvacuationFigures, RuleSet, Source};
use deepstay_scenario::Scenario;

const HOUR_S: f64 = 3600.0;

/// How long an evacuation unit is to last.
#[derive(Clone, Debug, PartialEq)]
pub struct WantedEndurance {
    /// Hours.
    pub hours: f64,
    /// Where that comes from.
    pub source: Source,
}

impl WantedEndurance {
    /// The longest that the rule set asks for, or what IMCA D 052 is said to ask for, where the set says nothing.
    pub fn of(rules: &RuleSet, accepted: &[String]) -> WantedEndurance {
        let asked = rules.evacuation(accepted).of.into_iter();
        let hours = asked.filter_map(|a| match a.figures {
            EvacuationFigures::Endures(time) => Some((time.get() / HOUR_S, a.by.source)),
            EvacuationFigures::Units(_) => None,
        });
        let (hours, source) = hours.max_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or_else(|| {
            let document = "IMCA D 052 as an encyclopaedia article on hyperbaric evacuation quotes it; the document was not opened, and the rule set says nothing of it";
            let source = Source {
                document: document.to_owned(),
                status: Status::SecondHand,
            };
            (72.0, source)
        });
        WantedEndurance { hours, source }
    }
}

/// The heat that a person at rest gives to the gas, W, without what evaporates, and that of the absorbent with it.
pub fn heat_at_rest_w(scenario: &Scenario) -> f64 {
    let mut rows = scenario.rates.rows.iter();
    let rest = rows.find(|r| r.activity == Activity::Rest).map(|r| r.rate);
    rest.map_or(0.0, |r| {
        let co2_mol_s = r.co2_l_min * FreeReference::Stpd.mol_per_m3() * 1e-3 / 60.0;
        r.heat_w - r.evaporation_w() + ABSORPTION_J_MOL * co2_mol_s
    })
}
