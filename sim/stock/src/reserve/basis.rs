//! What a scenario gives to the sums: chambers and bells with their depths, people, flows.

use super::{Given, Origin, ReserveInputs, Term};
use deepstay_core::units::{CompartmentId, CompartmentKind};
use deepstay_plant::Scrubber;
use deepstay_rules::{GasMinimum, RuleSet};
use deepstay_scenario::{LevelDo, Scenario};

/// Chambers that are pressed together.
pub(super) struct Pressed {
    pub names: String,
    pub members: Vec<CompartmentId>,
    pub volume_m3: f64,
    /// Deepest storage, msw.
    pub deepest_msw: f64,
}

/// A bell that dives.
pub(super) struct BellWork {
    pub id: CompartmentId,
    pub name: String,
    pub volume_m3: f64,
    pub deepest_msw: f64,
    /// Most people in it.
    pub people: f64,
    /// Most of them in the water: one stays as bellman.
    pub in_water: f64,
    pub runs: f64,
    /// Longest time of one diver in the water, s.
    pub in_water_s: f64,
}

/// Everything that the rows take from.
pub(super) struct Basis<'a> {
    pub scenario: &'a Scenario,
    pub set: &'a RuleSet,
    pub inputs: &'a ReserveInputs,
    pub pressed: Vec<Pressed>,
    pub bells: Vec<BellWork>,
    pub storage_msw: f64,
    pub working_msw: f64,
}

impl<'a> Basis<'a> {
    pub fn of(scenario: &'a Scenario, set: &'a RuleSet, inputs: &'a ReserveInputs) -> Basis<'a> {
        let pressed = pressed(scenario);
        let bells = bells(scenario);
        let most = |depths: &mut dyn Iterator<Item = f64>| depths.fold(0.0, f64::max);
        Basis {
            storage_msw: most(&mut pressed.iter().map(|p| p.deepest_msw)),
            working_msw: most(&mut bells.iter().map(|b| b.deepest_msw))
                .max(scenario.site.working_msw),
            scenario,
            set,
            inputs,
            pressed,
            bells,
        }
    }

    /// People under pressure, as a term.
    pub fn people(&self) -> Term {
        match self.inputs.people {
            Some(people) => Term::new("N", "people under pressure", people, "", Origin::Planner),
            None => Term::new(
                "N",
                "people under pressure: the whole crew",
                self.scenario.crew.len() as f64,
                "",
                Origin::Scenario,
            ),
        }
    }

    /// A figure of the planner, or the set's row for it, or the house's.
    fn flow(
        &self,
        what: &'static str,
        given: Given,
        row: impl Fn(&GasMinimum) -> Option<f64>,
    ) -> Term {
        let accepted = &self.scenario.accepted;
        let of_set = self
            .set
            .gas_minimums()
            .iter()
            .find_map(|r| Some((row(r.usable(accepted).ok()?)?, r.id.clone())));
        match of_set {
            Some((m3_s, id)) if !given.by_planner => {
                Term::new("q", what, m3_s * 6e4, "L/min", Origin::Rule(id))
            }
            _ => Term::new("q", what, given.value, "L/min", given.origin()),
        }
    }

    /// Flow to a mask.
    pub fn mask_flow(&self) -> Term {
        self.flow(
            "flow to a mask at depth",
            self.inputs.mask_l_min,
            |figures| match figures {
                GasMinimum::MaskFlow { flow } => Some(flow.get()),
                _ => None,
            },
        )
    }

    /// Breathing of a diver on open circuit.
    pub fn diver_flow(&self) -> Term {
        self.flow(
            "breathing of a diver at depth, open circuit",
            self.inputs.diver_l_min,
            |figures| match figures {
                GasMinimum::DiverFlow { at_work, .. } => Some(at_work.1.get()),
                _ => None,
            },
        )
    }

    /// Scrubbers of the chambers that are pressed.
    pub fn chamber_scrubbers(&self) -> Vec<Scrubber> {
        let members = self.pressed.iter().flat_map(|p| &p.members);
        let steel = &self.scenario.steel;
        members
            .filter_map(|c| steel.compartments.get(c.index())?.scrubber)
            .collect()
    }

    /// Scrubbers of the bells that dive.
    pub fn bell_scrubbers(&self) -> Vec<Scrubber> {
        let steel = &self.scenario.steel;
        self.bells
            .iter()
            .filter_map(|b| steel.compartments.get(b.id.index())?.scrubber)
            .collect()
    }
}

fn pressed(scenario: &Scenario) -> Vec<Pressed> {
    let compartments = &scenario.steel.compartments;
    let side = |side: &deepstay_scenario::Level| {
        let members: Vec<CompartmentId> = side
            .members
            .iter()
            .copied()
            .filter(|c| {
                compartments.get(c.index()).is_some_and(|c| {
                    !matches!(
                        c.kind,
                        CompartmentKind::HoldingTank | CompartmentKind::ReclaimTank
                    )
                })
            })
            .collect();
        let deepest = side
            .steps
            .iter()
            .fold(0.0_f64, |deepest, step| match step.what {
                LevelDo::Press(to) | LevelDo::ChangeStorage(to) => deepest.max(to),
                LevelDo::Decompress | LevelDo::Abort => deepest,
            });
        let names: Vec<&str> = members
            .iter()
            .map(|c| compartments[c.index()].name.as_str())
            .collect();
        Pressed {
            names: names.join(", "),
            volume_m3: members
                .iter()
                .map(|c| compartments[c.index()].volume_m3)
                .sum(),
            members,
            deepest_msw: deepest,
        }
    };
    let sides = scenario.plan.levels.iter().map(side);
    sides.filter(|p| p.deepest_msw > 0.0).collect()
}

fn bells(scenario: &Scenario) -> Vec<BellWork> {
    let mut found: Vec<BellWork> = Vec::new();
    for run in &scenario.plan.bell_runs {
        let Some(steel) = scenario.steel.compartments.get(run.bell.index()) else {
            continue;
        };
        let at = match found.iter().position(|b| b.id == run.bell) {
            Some(at) => at,
            None => {
                found.push(BellWork {
                    id: run.bell,
                    name: steel.name.clone(),
                    volume_m3: steel.volume_m3,
                    deepest_msw: 0.0,
                    people: 0.0,
                    in_water: 0.0,
                    runs: 0.0,
                    in_water_s: 0.0,
                });
                found.len() - 1
            }
        };
        let bell = &mut found[at];
        let people = run.divers.len() as f64;
        bell.deepest_msw = bell.deepest_msw.max(run.depth_msw);
        bell.people = bell.people.max(people);
        bell.in_water = bell.in_water.max((people - 1.0).max(1.0));
        bell.runs += 1.0;
        bell.in_water_s = bell.in_water_s.max(run.in_water_s as f64);
    }
    found
}
