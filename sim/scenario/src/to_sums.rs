//! What a job, or a present of it, gives a sum: depths of its plan, what a gauge shows and a label says of a bank, volume and
//! canister of a compartment. What a bank truly holds is not looked at: nobody on board knows it.

use super::{LevelDo, Present, Scenario};
use deepstay_core::units::{BankId, CompartmentId};
use deepstay_read::{did_you_mean, nearest};
use deepstay_rules::{GasMinimum, RuleSet};
use deepstay_sums::{How, Name, OfASet, Question};

/// What of a job a sum is to take its inputs from.
#[derive(Clone, Copy, Debug)]
pub struct TakenFrom<'a> {
    /// The job.
    pub scenario: &'a Scenario,
    /// How it stands, where that is known: gauges then show what they show now.
    pub present: Option<&'a Present>,
    /// The bank.
    pub bank: Option<BankId>,
    /// The chamber, bell or lock.
    pub compartment: Option<CompartmentId>,
}

/// The bank of a name.
///
/// # Errors
/// In words, with the names there are.
pub fn bank_named(scenario: &Scenario, name: &str) -> Result<BankId, String> {
    let names = scenario.steel.banks.iter().map(|b| b.name.as_str());
    place("bank", name, names).map(BankId)
}

/// The compartment of a name.
///
/// # Errors
/// In words, with the names there are.
pub fn compartment_named(scenario: &Scenario, name: &str) -> Result<CompartmentId, String> {
    let names = scenario.steel.compartments.iter().map(|c| c.name.as_str());
    place("compartment", name, names).map(CompartmentId)
}

fn place<'a>(
    what: &str,
    name: &str,
    known: impl Iterator<Item = &'a str> + Clone,
) -> Result<u8, String> {
    if let Some((at, _)) = (0u8..).zip(known.clone()).find(|(_, n)| *n == name) {
        return Ok(at);
    }
    let all: Vec<&str> = known.clone().collect();
    let near = did_you_mean(nearest(name, known)).map_or(String::new(), |d| format!("; {d}"));
    Err(format!(
        "there is no {what} `{name}` in this job; there are {}{near}",
        all.join(", ")
    ))
}

/// Gives a question the figures that a rule set says otherwise than is usual, where they were not given. Rows from memory
/// are taken where their ids are accepted.
pub fn give_rules(question: &mut Question, rules: &RuleSet, accepted: &[String]) {
    for ask in question.sum().asks {
        let Some(of) = ask.of_a_set() else { continue };
        let flow = |found: Option<deepstay_rules::PersonFlow>| found.map(|f| (f.m3_s, f.id));
        let found = match of {
            OfASet::OxygenSizing => flow(rules.o2_sizing(accepted).ok()),
            OfASet::Co2Sizing => flow(rules.co2_sizing(accepted).ok()),
            OfASet::Co2Measured => flow(rules.co2_actual(accepted).ok()),
            OfASet::FireZone => {
                let mut zones = rules.fire_zone(accepted).of.into_iter();
                zones.next().map(|z| (z.figures.from.get(), z.by.id))
            }
            OfASet::BailOut => {
                let mut rows = rules.gas_minimums().iter();
                rows.find_map(|row| match row.usable(accepted) {
                    Ok(GasMinimum::BailOut { flow, .. }) => Some((flow.get(), row.id.clone())),
                    _ => None,
                })
            }
        };
        if let Some((si, row)) = found {
            let words = format!("row `{row}` of the rule set `{}`", rules.name);
            question.take(ask.name, si, &words);
        }
    }
}

/// Gives a question what the job says of its inputs, where they were not given.
pub fn give(question: &mut Question, from: &TakenFrom) {
    give_rules(question, &from.scenario.rules, &from.scenario.accepted);
    let asks = question.sum().asks;
    let needed = |name: Name| asks.iter().any(|a| a.name == name && a.how == How::Needed);
    let mut take = |name: Name, si: f64, words: String| {
        if asks.iter().any(|a| a.name == name) {
            question.take(name, si, &words);
        }
    };
    let scenario = from.scenario;
    take(
        Name::Surface,
        scenario.steel.surface_pa,
        "the site".to_owned(),
    );
    let storage = storage_msw(scenario, from.compartment);
    if let Some(msw) = storage {
        let words = || "deepest storage of the plan".to_owned();
        if needed(Name::From) {
            take(Name::From, msw, words());
        } else if needed(Name::To) {
            take(Name::To, msw, words());
        }
        if !in_the_water(asks.iter().map(|a| a.name)) {
            take(Name::Depth, msw, words());
        }
    }
    if in_the_water(asks.iter().map(|a| a.name)) {
        let msw = scenario.site.working_msw;
        take(Name::Depth, msw, "working depth of the site".to_owned());
    }
    take(
        Name::People,
        scenario.crew.len() as f64,
        "the whole crew".to_owned(),
    );
    if let Some(id) = from.bank {
        bank(from, id, &mut take);
    }
    if let Some(c) = from
        .compartment
        .and_then(|id| scenario.steel.compartments.get(id.index()))
    {
        let words = || format!("`{}`", c.name);
        for name in [Name::Chamber, Name::Lock, Name::Bell] {
            take(name, c.volume_m3, words());
        }
        if let Some(s) = c.scrubber {
            let stpd = deepstay_core::units::FreeReference::Stpd;
            let canister = || format!("a fresh canister of `{}`", c.name);
            take(Name::Absorbent, s.absorbent_kg, canister());
            take(
                Name::Capacity,
                s.capacity_mol_kg / stpd.mol_per_m3(),
                format!("{}, at 0 degC and 1 atm", canister()),
            );
        }
    }
}

/// Whether a sum is about divers in the water, whose depth is the site's and not the chambers'.
fn in_the_water(mut names: impl Iterator<Item = Name>) -> bool {
    names.any(|n| matches!(n, Name::Divers | Name::Breathing | Name::OverBottom))
}

/// Deepest storage of a compartment's level, or of the plan, msw.
fn storage_msw(scenario: &Scenario, compartment: Option<CompartmentId>) -> Option<f64> {
    let levels = scenario.plan.levels.iter();
    let of_it = levels.filter(|l| compartment.is_none_or(|c| l.members.contains(&c)));
    let depths = of_it.flat_map(|l| &l.steps).filter_map(|s| match s.what {
        LevelDo::Press(msw) | LevelDo::ChangeStorage(msw) => Some(msw),
        LevelDo::Decompress | LevelDo::Abort => None,
    });
    let deepest = depths.reduce(f64::max);
    match (deepest, compartment) {
        (None, Some(_)) => storage_msw(scenario, None),
        (deepest, _) => deepest,
    }
}

fn bank(from: &TakenFrom, id: BankId, take: &mut impl FnMut(Name, f64, String)) {
    let Some(bank) = from.scenario.steel.banks.get(id.index()) else {
        return;
    };
    let now = from
        .present
        .and_then(|p| p.banks.iter().find(|b| b.bank == id));
    let (gauge_pa, t_k, when) = match now {
        Some(stands) => (stands.gauge_pa, stands.t_k, "at present"),
        None => (bank.fill_gauge_pa, bank.t_k, "at the start"),
    };
    let shows = || format!("the gauge of `{}` {when}", bank.name);
    take(Name::Bottles, 1.0, format!("`{}` as one", bank.name));
    take(
        Name::BottleVolume,
        bank.volume_m3,
        format!("`{}`", bank.name),
    );
    take(Name::Gauge, gauge_pa, shows());
    take(Name::Held, gauge_pa, shows());
    take(Name::Temperature, t_k, format!("`{}` {when}", bank.name));
    let (share, said) = match bank.analysed_o2 {
        Some(share) => (share, "last analysis"),
        None => (bank.label_o2, "label"),
    };
    take(Name::Mix, share, format!("{said} of `{}`", bank.name));
    take(Name::HeldMix, share, format!("{said} of `{}`", bank.name));
}

#[cfg(test)]
mod tests {
    use super::*;
    use deepstay_sums::sum;

    fn asked(name: &str, given: &[&str], bank: Option<&str>, compartment: Option<&str>) -> String {
        let scenario = crate::load("six-man").expect("built in");
        let mut question = Question::of(sum(name).expect("a sum"));
        for input in given {
            question.read(input).expect("it reads");
        }
        let from = TakenFrom {
            scenario: &scenario,
            present: None,
            bank: bank.map(|b| bank_named(&scenario, b).expect("a bank")),
            compartment: compartment.map(|c| compartment_named(&scenario, c).expect("one")),
        };
        give(&mut question, &from);
        let answer = question.answer().unwrap_or_else(|e| panic!("{name}: {e}"));
        let inputs = answer.inputs.iter().map(|i| i.figure.words.clone());
        let all: Vec<String> = inputs.collect();
        format!("{} from {}", answer.figures[0].words, all.join(", "))
    }

    /// Taken from the job, the sum is what it is by hand of the same figures.
    #[test]
    fn a_job_gives_what_a_person_would_read_off() {
        let scenario = crate::load("six-man").expect("built in");
        let bank = &scenario.steel.banks[0];
        let told = asked(
            "gas-available",
            &["change-over=40bar"],
            Some(&bank.name),
            None,
        );
        let by_hand = bank.volume_m3 * (bank.fill_gauge_pa / 1e5 - 40.0);
        let found: f64 = told
            .split(' ')
            .next()
            .expect("a number")
            .parse()
            .expect("one");
        assert!(
            (found / by_hand - 1.0).abs() < 1e-3,
            "{told}, by hand {by_hand}"
        );
        let gas = asked("divers-gas", &["divers=2", "time=6h"], None, None);
        assert!(
            gas.contains(&format!("{} msw", scenario.site.working_msw)),
            "{gas}"
        );
    }

    #[test]
    fn an_unknown_name_is_told_with_those_there_are() {
        let scenario = crate::load("six-man").expect("built in");
        let name = &scenario.steel.banks[0].name;
        let wrong = bank_named(&scenario, &format!("{name}x")).expect_err("unknown");
        assert!(
            wrong.contains(&format!("did you mean `{name}`?")),
            "{wrong}"
        );
        assert!(compartment_named(&scenario, "nowhere").is_err());
    }
}
