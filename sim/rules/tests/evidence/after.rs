//! What a document asks beside hours and tables, held against what it prints: after surfacing, on a mask, of gas, of the
//! crew at the surface, of monitoring, evacuation and umbilicals.

use deepstay_core::units::Quantity;
use deepstay_rules::{
    AfterDemand, Contaminant, EvacuationFigures, Manned, Monitored, Post, RuleSet, Shown, Status,
    TreatmentFigures, UmbilicalFigures, builtin,
};

const H: i64 = 3600;

fn set(name: &str) -> RuleSet {
    builtin(name).expect("built in")
}

/// Canada, SOR/88-600, s. 46(5): 24 h near the chamber and before a flight; Canada-NL, s. 172(1)(v): 24 h; Norway, s. 94:
/// recompression at hand for 24 h; France, order of 30 October 2012, art. 11: 12 h before height, 48 h before a flight
/// offshore, 12 h without effort; the US Navy's 72 h second-hand, its 2 h and 48 h from memory.
#[test]
fn after_a_saturation() {
    use AfterDemand as A;
    let printed: [(&str, &[(A, i64)]); 7] = [
        ("canada", &[(A::NoFlight, 24), (A::NearChamber, 24)]),
        ("canada-nl", &[(A::NoFlight, 24)]),
        ("norway", &[(A::RecompressionAtHand, 24)]),
        ("norway-companion", &[(A::RecompressionAtHand, 24)]),
        (
            "france-2012",
            &[(A::NoHeight, 12), (A::NoFlight, 48), (A::NoEffort, 12)],
        ),
        ("us-navy", &[(A::NoFlight, 72)]),
        ("uk", &[]),
    ];
    let hours = |name: &str, accepted: &[String]| -> Vec<(A, i64)> {
        let all = set(name).after_surfacing(accepted).of;
        let each = all
            .iter()
            .map(|a| (a.figures.what, a.figures.time.get() as i64 / H));
        each.collect()
    };
    for (name, demands) in printed {
        assert_eq!(hours(name, &[]), demands, "{name}");
    }
    let navy = set("us-navy").after_surfacing(&[]);
    assert_eq!(navy.missing.len(), 2);
    assert_eq!(navy.of[0].by.source.status, Status::SecondHand);
    let recalled = [
        "usn.after.vicinity".to_owned(),
        "usn.after.within".to_owned(),
    ];
    let with = [
        (A::NearChamber, 2),
        (A::RecompressionAtHand, 48),
        (A::NoFlight, 72),
    ];
    assert_eq!(hours("us-navy", &recalled), with);
    let silent = set("uk").after_surfacing(&[]).silent();
    assert_eq!(silent.as_deref(), Some("the set says nothing of it"));
}

/// Norway, s. 94: 4 h on a mask. France, R4461-17 and 18: 9 g/L, 5 Pa of carbon monoxide, 0.5 hPa of oil, 5600 hPa of
/// nitrogen; humidity 60 to 80 %, carbon dioxide below 10 hPa.
#[test]
fn what_is_breathed() {
    let norway = set("norway").mask_time(&[]).expect("printed");
    assert_eq!(norway.longest_s, 4 * H);
    let france = set("france");
    let density = france.gas_density(&[]).expect("printed").most_g_l;
    assert!((density - 9.0).abs() < 1e-12);
    let below: Vec<(Contaminant, f64)> = france
        .contaminants(&[])
        .of
        .iter()
        .map(|a| (a.figures.of, (a.figures.below.get() * 1e7).round() / 1e2))
        .collect();
    // In pascals.
    let printed = [
        (Contaminant::CarbonMonoxide, 5.0),
        (Contaminant::OilVapour, 50.0),
        (Contaminant::Nitrogen, 560_000.0),
    ];
    assert_eq!(below, printed);
    let limits = france.limits(deepstay_core::record::Phase::Storage, 118.0, &[]);
    let of = |id: &str| {
        limits
            .iter()
            .find(|l| l.id == id)
            .map(|l| (l.quantity, l.value))
    };
    assert_eq!(
        of("france.limit.humidity.low"),
        Some((Quantity::Humidity, 0.6))
    );
    assert_eq!(
        of("france.limit.humidity.high"),
        Some((Quantity::Humidity, 0.8))
    );
    assert_eq!(of("france.limit.co2"), Some((Quantity::PpCo2, 0.01)));
}

/// US Navy Diving Manual, 15-15 and 15-17: treatment gas of 1.5 to 2.8 ata; the fire zone from 6 %. Table 15-4 is from
/// memory; by the manual's own arithmetic each of its mixes lies within the printed band at both ends of its depths, but
/// for the shallow end of the first two and the last, which are within 5 % of it.
#[test]
fn treatment_gas_and_fire_zone() {
    let navy = set("us-navy");
    let fire = navy.fire_zone(&[]).of;
    assert!((fire[0].figures.from.get() - 0.06).abs() < 1e-12);
    let all = navy.treatment_gas(&["usn.treatment.mixes".to_owned()]).of;
    let TreatmentFigures::Oxygen(low, high) = &all[0].figures else {
        panic!("{:?}", all[0]);
    };
    let atm = 1.013_25;
    assert!((low.get() / atm - 1.5).abs() < 1e-12 && (high.get() / atm - 2.8).abs() < 1e-12);
    let TreatmentFigures::Mixes(mixes) = &all[1].figures else {
        panic!("{:?}", all[1]);
    };
    let feet = navy.feet();
    for (to, o2) in &mixes[2..6] {
        let fsw = to.plain(feet) / 0.306_43;
        let ata = o2.get() * (fsw + 33.0) / 33.0;
        assert!((2.4..2.6).contains(&ata), "{to}: {ata}");
    }
}

/// Canada, SOR/88-600, ss. 43 and 44: a supervisor, a standby diver and an attendant; s. 43(d): 3 m. France, order of 30
/// October 2012, art. 34: six assistants more, and a diver inside, in open circuit.
#[test]
fn crew_and_umbilicals() {
    let crew = |name: &str| -> Vec<(Post, u8, Manned)> {
        let all = set(name).surface_crew(&[]).of;
        let each = all
            .iter()
            .map(|a| (a.figures.post, a.figures.least, a.figures.manned));
        each.collect()
    };
    assert_eq!(
        crew("canada"),
        [
            (Post::Supervisor, 1, Manned::Diving),
            (Post::StandbyDiver, 1, Manned::Diving),
            (Post::Attendant, 1, Manned::Diving)
        ]
    );
    assert_eq!(
        crew("france-2012"),
        [
            (Post::Assistant, 6, Manned::OpenCircuit),
            (Post::DiverInside, 1, Manned::OpenCircuit)
        ]
    );
    assert_eq!(crew("industry"), [], "from memory only");
    let canada = set("canada").umbilicals(&[]).of;
    assert_eq!(
        canada[0].figures,
        UmbilicalFigures::StandbyLonger { by_m: 3.0 }
    );
}

/// IMO A.831(19), 2.11; Lloyd's Register, Pt 5 Ch 4, 10.1.3; Canada, ss. 15(r) and 17; Canada-NL, s. 172(3)(c)(iv). Norway,
/// Facilities Regulations s. 41a: two units. IMCA D 052, second-hand: 72 h.
#[test]
fn monitoring_and_evacuation() {
    let industry = set("industry").monitoring(&[]).of;
    let chamber: Vec<Quantity> = industry
        .iter()
        .filter(|a| a.by.id.starts_with("imo") && a.figures.place == Monitored::Chamber)
        .flat_map(|a| a.figures.of.clone())
        .collect();
    use Quantity as Q;
    assert_eq!(
        chamber,
        [Q::Depth, Q::Temperature, Q::PpO2, Q::Humidity, Q::PpCo2]
    );
    let backed = industry.iter().find(|a| a.figures.back_up);
    assert_eq!(
        backed.map(|a| a.by.id.as_str()),
        Some("lr2022.monitoring.back-up")
    );
    let canada = set("canada").monitoring(&[]).of;
    let kept = |shown: &Shown| match shown {
        Shown::Recorded(kept) => kept.get() as i64 / H,
        _ => 0,
    };
    assert_eq!(kept(&canada[0].figures.shown), 4);
    let newfoundland = set("canada-nl").monitoring(&[]).of;
    assert!(newfoundland[0].figures.back_up);
    let units = set("norway").evacuation(&[]).of;
    assert_eq!(units[0].figures, EvacuationFigures::Units(2));
    let hours = set("industry").evacuation(&[]).of;
    let EvacuationFigures::Endures(time) = hours[0].figures else {
        panic!("{:?}", hours[0]);
    };
    assert_eq!(time.get() as i64, 72 * H);
    assert_eq!(hours[0].by.source.status, Status::SecondHand);
}

/// A house may ask more than a row of law, and less only where it says so; figures that cannot be meant are refused.
#[test]
fn laxer_safeguards_are_told() {
    let house = |more: &str| {
        let text = format!(
            "(format: 1, name: \"house\", title: \"a house\", based_on: [(set: \"demonstration\")], {more})"
        );
        RuleSet::from_ron(&text, "house.ron")
            .map(drop)
            .map_err(|bad| bad.to_string())
    };
    let row = |section: &str, id: &str, figures: &str| {
        format!(
            "{section}: [(id: \"{id}\", source: (document: \"our manual\", status: Seen), figures: {figures})]"
        )
    };
    for (section, id, strict, lax) in [
        (
            "after_surfacing",
            "france2012.after.flight",
            "(what: NoFlight, time: \"72 h\")",
            "(what: NoFlight, time: \"24 h\")",
        ),
        (
            "mask_time",
            "norway.mask-time",
            "(longest: \"2 h\")",
            "(longest: \"5 h\")",
        ),
        (
            "gas_density",
            "france.gas-density",
            "(most_g_l: 6)",
            "(most_g_l: 9.5)",
        ),
        (
            "work_oxygen",
            "france.oxygen.work",
            "(steps: [(\"8 h\", \"800 hPa\")])",
            "(steps: [(\"8 h\", \"1000 hPa\")])",
        ),
        (
            "contaminants",
            "france.contaminants.co",
            "(of: CarbonMonoxide, below: \"2 Pa\")",
            "(of: CarbonMonoxide, below: \"6 Pa\")",
        ),
        (
            "surface_crew",
            "canada1988.crew.attendant",
            "(post: Attendant, least: 2, manned: Diving)",
            "(post: Attendant, least: 0, manned: Diving)",
        ),
        (
            "evacuation",
            "norway.evacuation.units",
            "Units(3)",
            "Units(1)",
        ),
        (
            "umbilicals",
            "canada1988.umbilical.standby",
            "StandbyLonger(by_m: 5)",
            "StandbyLonger(by_m: 2)",
        ),
        (
            "fire_zone",
            "usn.fire-zone",
            "(from: \"5 %\")",
            "(from: \"7 %\")",
        ),
        (
            "monitoring",
            "lr2022.monitoring.back-up",
            "(place: Chamber, of: [PpO2, PpCo2], shown: Continuously, back_up: true)",
            "(place: Chamber, of: [PpO2, PpCo2], shown: AtControl)",
        ),
    ] {
        assert_eq!(house(&row(section, id, strict)), Ok(()), "{section}");
        let told = house(&row(section, id, lax)).expect_err(section);
        assert!(
            told.contains(&format!("laxer than `{id}` of demonstration")),
            "{told}"
        );
        let accepted = format!("accepts: [\"{id}\"], {}", row(section, id, lax));
        assert_eq!(house(&accepted), Ok(()), "{section}");
    }
    for (section, figures, why) in [
        ("gas_density", "(most_g_l: 0)", "more than 0"),
        ("gas_density", "(most_g_l: 100)", "less than 100"),
        ("umbilicals", "StandbyLonger(by_m: -1)", "are positive"),
        ("treatment_gas", "Oxygen(\"2.8 bar\", \"1.5 bar\")", "rise"),
        (
            "treatment_gas",
            "Mixes([(\"60 msw\", \"40 %\"), (\"50 msw\", \"50 %\")])",
            "rise",
        ),
        (
            "monitoring",
            "(place: Bell, of: [], shown: AtControl)",
            "something is shown",
        ),
    ] {
        let told = house(&row(section, "x", figures)).expect_err(section);
        assert!(told.contains(why), "{told}");
    }
}
