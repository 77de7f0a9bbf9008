//! Suppliers' lists: the built-in one loads and serves the built-in jobs; each fault is complained of at
//! its place.

use super::*;
use crate::file::Form;
use deepstay_core::gas::Amounts;
use deepstay_plant::Duty;

#[test]
fn the_built_in_list_serves_every_built_in_job() {
    for job in JOBS {
        let banks = load(job.name)
            .unwrap_or_else(|bad| panic!("{bad}"))
            .steel
            .banks
            .clone();
        let banks = banks.iter().filter(|b| b.duty != Duty::Recovered);
        let needed: Vec<(Duty, Amounts)> = banks.map(|b| (b.duty, b.true_mix)).collect();
        load_supplier_for("north-quay", None, &needed)
            .unwrap_or_else(|bad| panic!("{}:\n{bad}", job.name));
    }
    for list in SUPPLIERS {
        let read = load_supplier(list.name, None).unwrap_or_else(|bad| panic!("{bad}"));
        assert_eq!(
            (read.name.as_str(), read.title.as_str()),
            (list.name, list.title)
        );
        assert!(
            list.text.contains("it prescribes nothing")
                && read.offers.iter().all(|o| o.price.source == "assumed")
        );
        assert!(
            read.offers.iter().any(|o| o.form == Form::Tubes)
                && read.boat.is_some()
                && read.booster.is_some()
        );
        // The gas that a frame weighs more by is the gas that it holds, to a tenth.
        for o in &read.offers {
            let mix = match o.mix {
                Offered::Mix(mix) => mix,
                Offered::OnOrder { .. } => continue,
            };
            let held = deepstay_core::gas::state::density_kg_m3(
                &mix,
                o.fill_gauge_pa + 101_325.0,
                o.filled_t_k,
            ) * o.volume_m3();
            let by = o.mass_full_kg - o.mass_empty_kg;
            assert!(
                (by / held - 1.0).abs() < 0.1 || (by - held).abs() < 1.0,
                "{}: {by} {held}",
                o.name
            );
        }
    }
}

/// A list of one item with some of its text changed; the complaints.
fn wrong(from: &str, to: &str) -> Vec<Diagnostic> {
    const LIST: &str = "(format: 1, name: \"mine\", currency: \"EUR\", items: [\n\
        (name: \"frame\", form: Quad, bottles: \"16 x 50 L at 200 bar\", mix: Heliox(\"2 %\"), duties: [BottomMix],\n\
        lead: \"3 d\", mass_full: \"1.4 t\", mass_empty: \"1.3 t\", price: (each: 900)),\n\
        (name: \"other\", form: Bottle, bottles: \"1 x 50 L at 200 bar\", mix: Oxygen, duties: [Oxygen],\n\
        lead: \"3 d\", mass_full: \"70 kg\", mass_empty: \"60 kg\", price: (each: 90)),\n\
        ], boat: (first: \"2 d\", every: \"7 d\"))";
    assert!(supplier_from_text(LIST, "my.ron", &[]).is_ok());
    assert!(LIST.contains(from), "{from}");
    let text = LIST.replacen(from, to, 1);
    match supplier_from_text(&text, "my.ron", &[(Duty::BottomMix, Amounts::heliox(0.02))]) {
        Ok(_) => panic!("{to} was taken"),
        Err(bad) => bad.all,
    }
}

#[test]
fn each_fault_is_complained_of_at_its_place() {
    for (from, to, path, says, line) in [
        (
            "each: 900",
            "each: -900",
            "items[0].price.each",
            "negative price",
            3,
        ),
        (
            "each: 900",
            "each: inf",
            "items[0].price.each",
            "not a number",
            3,
        ),
        ("each: 900", "each: \"900\"", "items[0].price.each", "", 3),
        (
            "\"1.4 t\"",
            "\"1.3 t\"",
            "items[0].mass_full",
            "not heavier than an empty one",
            3,
        ),
        (
            "[BottomMix]",
            "[BotomMix]",
            "items[0].duties[0]",
            "BotomMix",
            2,
        ),
        ("[BottomMix]", "[]", "items[0].duties", "serves nothing", 2),
        (
            "16 x 50 L at 200 bar",
            "16 x 50 L at 360 bar",
            "items[0].bottles",
            "350 bar",
            2,
        ),
        ("\"other\"", "\"frame\"", "items[1].name", "named twice", 4),
        (
            "lead: \"3 d\"",
            "lead: \"-3 d\"",
            "items[0].lead",
            "negative",
            3,
        ),
        (
            "Heliox(\"2 %\")",
            "Heliox(\"3 %\")",
            "items",
            "2.00 % oxygen, which the job needs",
            1,
        ),
        (
            "Heliox(\"2 %\")",
            "OnOrder(from: \"9 %\", to: \"1 %\")",
            "items[0].mix",
            "above its end",
            2,
        ),
        (
            "every: \"7 d\"",
            "every: \"0 s\"",
            "boat.every",
            "every hour at the most",
            6,
        ),
        (
            "boat: (",
            "booster: (lowest_suction: \"10 bar\", flow: \"100 L/min\"), boat: (",
            "booster",
            "neither ratio nor delivery",
            6,
        ),
        ("name: \"mine\"", "nme: \"mine\"", "", "nme", 1),
    ] {
        let found = wrong(from, to);
        let one = found
            .iter()
            .find(|c| c.place.path == path || path.is_empty())
            .unwrap_or_else(|| panic!("{to}: {found:#?}"));
        assert!(one.to_string().contains(says), "{one}");
        assert_eq!(
            (one.place.file.as_str(), one.place.line),
            ("my.ron", line),
            "{one}"
        );
        // What would be right stands in the suggestion or in the words themselves.
        assert!(
            one.remedy.is_some()
                || ["write one between", "should be a number", "is written like"]
                    .iter()
                    .any(|w| one.to_string().contains(w)),
            "{one}"
        );
    }
}

#[test]
fn a_name_that_is_not_there_is_said_with_the_nearest() {
    let bad = load_supplier("north-key", None).expect_err("no such list");
    assert!(
        bad.to_string().contains("did you mean `north-quay`?"),
        "{bad}"
    );
    let bad = load_supplier("nowhere.ron", None).expect_err("no such file");
    assert!(
        bad.to_string().contains("there is no such file") && bad.all[0].remedy.is_some(),
        "{bad}"
    );
}
