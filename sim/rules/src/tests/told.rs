//! What is said of rows, limits and refusals, and how rows are numbered.

use super::{
    Contaminant, InScenario, Missing, MissingRow, Question, RulePart, RuleRefusal, RuleSet,
    RunMoment, Source, Status, builtin, builtin_file, builtin_names, made_up, one_row,
};
use deepstay_core::record::{Aspect, Bound};
use deepstay_core::units::Quantity;
use deepstay_core::words::Words;
use std::collections::BTreeSet;

/// The figures of the only row of a section, as they are told.
fn told(section: &str, figures: &str) -> String {
    let set = RuleSet::from_ron(&one_row(section, figures), "x.ron");
    let rows = set.unwrap_or_else(|bad| panic!("{bad}")).provenance();
    assert_eq!(rows.len(), 1);
    rows[0].figures.clone()
}

/// The only row of a section that a set has once.
fn told_alone(section: &str, figures: &str) -> String {
    let source = "source: (document: \"d\", status: Seen)";
    let set = made_up(&format!(
        "{section}: (id: \"x\", {source}, figures: {figures})"
    ));
    set.provenance()[0].figures.clone()
}

/// Whatever can be chosen has words of its own, of letters that a sentence can take.
fn each_has_its_own(words: &[&str]) {
    let different: BTreeSet<&&str> = words.iter().collect();
    assert_eq!(different.len(), words.len(), "{words:?}");
    assert!(words.iter().all(|w| !w.is_empty()), "{words:?}");
}

#[test]
fn each_choice_has_words_of_its_own() {
    use RunMoment as M;
    let moments = [
        M::Checks,
        M::SealedIn,
        M::ClampOff,
        M::ClampedOn,
        M::ReadyToTransfer,
        M::Home,
    ];
    each_has_its_own(&moments.map(Words::words));
    use RulePart as P;
    let parts = [
        P::Compression,
        P::Oxygen,
        P::Decompression,
        P::Excursions,
        P::Climate,
        P::Limits,
        P::Routine,
        P::WorkingTime,
        P::Sizing,
        P::GasMinimums,
        P::Safeguards,
    ];
    each_has_its_own(&parts.map(Words::words));
    use Contaminant as C;
    each_has_its_own(&[C::CarbonMonoxide, C::OilVapour, C::Nitrogen].map(Words::words));
    use InScenario as I;
    each_has_its_own(&[I::Yes, I::No, I::Ask].map(InScenario::words));
}

/// The figures of a row stand in its words, and so does on which side a limit lies.
#[test]
fn figures_stand_in_the_words_of_their_row() {
    assert!(told("gas_density", "(most_g_l: 8.7)").contains("8.7 g/L"));
    assert!(told_alone("land_on", "(ppo2: \"0.47 bar\")").contains("0.47 bar"));
    assert!(told_alone("climate_between", "Straight").contains("straight"));
    let (atmosphere, table) = (
        told_alone("feet", "PerAtmosphere"),
        told_alone("feet", "UnitTable"),
    );
    // 33 feet to the atmosphere, or the unit table's 0.30643 m to the foot.
    assert!(atmosphere.contains("33 fsw") && atmosphere.contains("1.01325 bar"));
    assert!(table.contains("0.30643 msw"));
    let length = |counted: &str| {
        let figures = format!("(longest: \"14 d\", counted: {counted})");
        told("saturation", &figures)
    };
    assert!(length("AtDepth").contains("14 d at working depth"));
    assert!(length("UnderPressure").contains("14 d under pressure"));
    let limit = |bound: &str| {
        let figures = format!(
            "(label: \"oxygen\", during: [Storage], bound: {bound}, reach: PpO2(\"0.5 bar\"), kind: Limit)"
        );
        told("limits", &figures)
    };
    for (bound, has, lacks) in [
        ("High", "high ppO2 0.5 bar", "low "),
        ("Low", "low ppO2 0.5 bar", "high "),
    ] {
        let words = limit(bound);
        assert!(words.contains(has) && !words.contains(lacks), "{words}");
    }
    let set = made_up(
        "rest: [(id: \"x.rest\", source: (document: \"d\", status: Seen), figures: (unbroken: \"12 h\"))]",
    );
    assert!(set.rest[0].words().contains("12 h"));
}

/// The sum in symbols: V a volume, D a depth, N people, q a flow, P pressure, t time. Questions and figures that other
/// rows take have none.
#[test]
fn a_gas_minimum_has_its_sum_in_symbols() {
    let row = |figures: &str| {
        made_up(&format!(
            "gas_minimums: [(id: \"x\", source: (document: \"d\", status: Seen), figures: {figures})]"
        ))
    };
    let formula = |figures: &str| row(figures).gas_minimums()[0].figures.formula();
    for (figures, is) in [
        ("LockRuns", "V D/10"),
        ("Bypass", "N q P t"),
        (
            "Masks(time: \"4 h\", on_top_of_other_reserves: true)",
            "N q P t",
        ),
        ("EscapeSets(time: \"1 h\", flow: \"40 L/min\")", "N q t"),
        ("LeastSupply(flow: \"40 L/min\")", "q P"),
        ("MaskFlow(flow: \"40 L/min\")", ""),
        (
            "Ask(topic: Losses, question: \"Is waste allowed for?\", evidence: \"The plan.\", in_scenario: No)",
            "",
        ),
    ] {
        assert_eq!(formula(figures), is, "{figures}");
    }
}

/// What stands in the way of a row is told by how the row came to us.
#[test]
fn a_row_that_needs_acceptance_says_why() {
    let line = |status| {
        let why = Missing::NeedsAcceptance(status);
        let id = "x.row".to_owned();
        MissingRow { id, why }.to_string()
    };
    for (status, why) in [
        (Status::Recalled, "is from memory, not read"),
        (Status::HouseRule, "is assumed"),
        (Status::Seen, "is carried beyond what is printed"),
        (Status::Derived, "is carried beyond what is printed"),
    ] {
        let told = line(status);
        assert!(told.contains(why), "{told}");
        assert!(told.contains("name \"x.row\" in accept_recalled"), "{told}");
    }
}

/// A row that the set does not have is none of its rows; every other that stands in the way is.
#[test]
fn rows_of_the_set_that_stand_in_the_way() {
    let missing = |id: &str, why| MissingRow {
        id: id.to_owned(),
        why,
    };
    let refusal = RuleRefusal {
        set: "x".to_owned(),
        question: Question::Climate,
        missing: vec![
            missing("x.far", Missing::OutOfRange("ends at 50 msw".to_owned())),
            missing("x.none", Missing::NotInSet),
            missing("x.kept", Missing::NeedsAcceptance(Status::Recalled)),
        ],
    };
    let ids: Vec<String> = refusal.missing_of_set().into_iter().map(|m| m.id).collect();
    assert_eq!(ids, ["x.far", "x.kept"]);
}

/// Its own rows come first and are numbered along the list; rows of the house that it does not write follow, once each.
#[test]
fn rows_are_numbered_along_their_list() {
    let house = builtin("demonstration").expect("built in");
    let theirs: Vec<String> = house.provenance().into_iter().map(|row| row.id).collect();
    let kept = &theirs[0];
    let source = "source: (document: \"d\", status: Seen)";
    let figures = "figures: (every: \"2 h\")";
    let set = made_up(&format!(
        "calibration: [(id: \"x.own\", {source}, {figures}), (id: \"{kept}\", {source}, {figures})]"
    ));
    let list: Vec<String> = set.row_list().into_iter().map(|row| row.id).collect();
    let others: Vec<String> = theirs.iter().filter(|id| *id != kept).cloned().collect();
    let expected = [vec!["x.own".to_owned(), kept.clone()], others].concat();
    assert_eq!(list, expected);
    let numbers = set.row_numbers();
    for (number, id) in (0u16..).zip(&list) {
        assert_eq!(numbers.of(id).map(|row| row.0), Some(number), "{id}");
    }
    assert_eq!(numbers.of("x.other").map(|row| row.0), None);
}

#[test]
fn a_source_and_a_built_in_file_are_told() {
    let source = Source {
        document: "an order of a year".to_owned(),
        status: Status::Recalled,
    };
    let words = source.words();
    assert!(words.contains("an order of a year") && words.contains(&Status::Recalled.to_string()));
    let files: BTreeSet<String> = builtin_names().map(builtin_file).collect();
    assert_eq!(files.len(), builtin_names().count());
    assert!(builtin_names().all(|name| builtin_file(name).ends_with(name)));
    assert!(
        files
            .iter()
            .all(|file| file.starts_with("built-in rule set "))
    );
}

/// A limit is called as its row has it; one that comes from a band of climate, or from the rates down, by what it is of.
#[test]
fn a_limit_is_called_by_its_row_or_by_its_quantity() {
    use Bound::{High, Low};
    let limits = [("x.first", "oxygen at rest"), ("x.second", "oxygen in bells")].map(|(id, label)| {
        format!("(id: \"{id}\", source: (document: \"d\", status: Seen), figures: (label: \"{label}\", during: [Storage], bound: High, reach: PpO2(\"0.5 bar\"), kind: Limit))")
    });
    let set = made_up(&format!("limits: [{}]", limits.join(", ")));
    let label = |id: &str, of, bound| set.limit_label(id, of, bound);
    assert_eq!(label("x.first", Quantity::PpO2, High), "oxygen at rest");
    assert_eq!(label("x.second", Quantity::PpO2, High), "oxygen in bells");
    for (of, bound, says) in [
        (Quantity::Temperature, Low, "cold"),
        (Quantity::Temperature, High, "warm"),
        (Quantity::Humidity, Low, "dry"),
        (Quantity::Humidity, High, "humidity high"),
        (Quantity::Depth, High, "pressed faster"),
    ] {
        let told = label("x.climate", of, bound);
        assert!(told.contains(says), "{told}");
    }
    assert_eq!(label("x.climate", Quantity::PpO2, High), "");
}

/// A limit of what people breathe is one of what is breathed, not of the room around them; in a bell it is of the room.
#[test]
fn a_limit_of_what_is_breathed_is_of_what_is_breathed() {
    let figures = "(label: \"oxygen\", during: [Breathed, Bell], bound: High, reach: PpO2(\"1.4 bar\"), kind: Limit)";
    let set = RuleSet::from_ron(&one_row("limits", figures), "x.ron").expect("a set");
    let aspects = |limits: Vec<super::Limit>| -> Vec<Aspect> {
        limits.into_iter().map(|l| l.aspect).collect()
    };
    assert_eq!(aspects(set.breathed_limits(&[])), [Aspect::Breathed]);
    assert_eq!(aspects(set.bell_limits(false, &[])), [Aspect::Inside]);
}

/// Where a run, the time in the water or the rest has no row that may be used, the rows that stand in the way are
/// handed on; where one answers, none is.
#[test]
fn rows_that_stand_in_the_way_of_working_time() {
    let row = |id: &str, status: &str, figures: &str| {
        format!("[(id: \"{id}\", source: (document: \"d\", status: {status}), figures: {figures})]")
    };
    let set = made_up(&format!(
        "bell_run: {}, in_water: {}, rest: {}",
        row(
            "x.run",
            "Recalled",
            "(longest: \"8 h\", clock: \"clamp to clamp\")"
        ),
        row(
            "x.water",
            "Seen",
            "(depths: (to: \"50 msw\"), longest: \"6 h\")"
        ),
        row("x.rest", "Seen", "(unbroken: \"12 h\")"),
    ));
    let ids = |rows: &[MissingRow]| -> Vec<String> { rows.iter().map(|m| m.id.clone()).collect() };
    let none: [&str; 0] = [];
    for (depth_msw, accepted, run, water) in [
        (50.0, vec![], vec!["x.run"], vec![]),
        (50.1, vec![], vec!["x.run"], vec!["x.water"]),
        (50.0, vec!["x.run".to_owned()], vec![], vec![]),
    ] {
        let time = set
            .working_time(depth_msw, &accepted)
            .expect("rest answers");
        assert_eq!(ids(&time.no_bell_run), run, "{depth_msw}");
        assert_eq!(ids(&time.no_in_water), water, "{depth_msw}");
        assert_eq!(ids(&time.no_rest), none, "{depth_msw}");
    }
}
