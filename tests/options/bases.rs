//! The jobs whose fields are put to other values: short, and with every part of the grammar written out somewhere.

use deepstay::scenario::{JOBS, JobTexts};

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Base {
    /// Six men at one depth for two days, with faults, own rates, recovery of chamber gas, and a study.
    OneLevel,
    /// Three men in a bell.
    ThreeMen,
    /// Two chambers at two depths for some days: moves, and a crew change.
    TwoLevels,
}

impl Base {
    pub fn texts(self) -> JobTexts {
        let text = match self {
            Base::OneLevel => one_level(),
            Base::ThreeMen => three_men(),
            Base::TwoLevels => two_levels(),
        };
        JobTexts::of(&text, "base.ron", None, None)
    }
}

fn built_in(name: &str) -> String {
    let job = JOBS.iter().find(|job| job.name == name).expect("built in");
    job.text.to_owned()
}

fn change(text: &mut String, from: &str, to: &str) {
    assert!(text.contains(from), "{from}");
    *text = text.replacen(from, to, 1);
}

const FAULTS: &str = r#"    faults: (planned: [
        (at: "0 s", what: WrongContents(bank: "C-1", contents: Heliox("6.1 %"))),
        (at: "6 h", until: "7 h", what: Leak(compartment: "Transfer", bore: "1 mm", discharge: 0.6)),
        (at: "6 h", until: "7 h", what: StuckValve(valve: Bleed("Living"), opening: "1 %")),
        (at: "7 h", until: "8 h", what: Drift(instrument: (of: "Living", quantity: PpO2, channel: Primary), span: 0.01, zero: 0.01, over: "1 h")),
        (at: "8 h", until: "9 h", what: Frozen(instrument: (of: "Living", quantity: Temperature))),
        (at: "8 h", until: "9 h", what: CrossConnected(instrument: (of: "Transfer", quantity: PpO2, channel: Secondary), to: "Trunk")),
    ]),
"#;

const STUDY: &str = r#"    study: (
        uncertain: [
            (name: "breathing", inputs: ["crew.breathing"], source: "assumed", drawn: Becomes, least: "0.5", most: "1.5",
             law: Uniform(low: "0.9", high: "1.1")),
            (name: "recovery", inputs: ["stock.reclaim.recovery"], source: "assumed",
             law: Triangular(low: "80 %", likely: "88 %", high: "95 %")),
            (name: "leaks", inputs: ["spread.compartments[*].leak"], source: "assumed", drawn: Times, each: true,
             law: LogNormal(median: "1", factor: 1.3)),
            (name: "stores", inputs: ["plan.routine.toilet_per_day"], source: "assumed",
             law: Normal(mean: "6", sd: "0.1")),
            (name: "sea", inputs: ["site.sea_temperature"], source: "assumed",
             law: Weibull(scale: "9 degC", shape: 30)),
        ],
        chance: [(of: Weather, source: "its chain")],
        breakdowns: [
            (name: "reclaim", what: ReclaimStop, mean_between: "12 h", source: "assumed",
             lasts: Gamma(mean: "1 h", sd: "10 min")),
        ],
        covered: "90 %",
        planner: (second_means: false),
        reserve: ["demonstration"],
        burning: (m3_per_hour: 3, source: "assumed"),
    ),
"#;

/// The table of rates, as a job may have it of its own; figures invented, each row unlike the others.
const RATES: &str = r#"    rates: (rows: [
        (activity: Sleep, rate: (o2_l_min: 0.24, co2_l_min: 0.20, ventilation_l_min: 6, heat_w: 73, water_g_h: 50), spread: 0.1, source: (document: "invented", status: HouseRule)),
        (activity: Rest, rate: (o2_l_min: 0.31, co2_l_min: 0.26, ventilation_l_min: 8, heat_w: 100, water_g_h: 70), spread: 0.1, source: (document: "invented", status: HouseRule)),
        (activity: Chores, rate: (o2_l_min: 0.5, co2_l_min: 0.45, ventilation_l_min: 14, heat_w: 170, water_g_h: 118), spread: 0.1, source: (document: "invented", status: HouseRule)),
        (activity: Exercise, rate: (o2_l_min: 0.9, co2_l_min: 0.8, ventilation_l_min: 24, heat_w: 300, water_g_h: 200), spread: 0.1, source: (document: "invented", status: HouseRule)),
        (activity: Bellman, rate: (o2_l_min: 0.4, co2_l_min: 0.35, ventilation_l_min: 11, heat_w: 130, water_g_h: 90), spread: 0.1, source: (document: "invented", status: HouseRule)),
        (activity: WaterRest, rate: (o2_l_min: 0.45, co2_l_min: 0.4, ventilation_l_min: 11, heat_w: 150, water_g_h: 100), spread: 0.1, source: (document: "invented", status: HouseRule)),
        (activity: WaterLight, rate: (o2_l_min: 0.8, co2_l_min: 0.7, ventilation_l_min: 20, heat_w: 270, water_g_h: 190), spread: 0.1, source: (document: "invented", status: HouseRule)),
        (activity: WaterModerate, rate: (o2_l_min: 1.2, co2_l_min: 1.1, ventilation_l_min: 30, heat_w: 410, water_g_h: 280), spread: 0.1, source: (document: "invented", status: HouseRule)),
        (activity: WaterHeavy, rate: (o2_l_min: 1.8, co2_l_min: 1.7, ventilation_l_min: 46, heat_w: 610, water_g_h: 420), spread: 0.1, source: (document: "invented", status: HouseRule)),
    ]),
"#;

fn one_level() -> String {
    let mut text = built_in("short");
    change(
        &mut text,
        "    rules: \"demonstration\",",
        "    rules: \"demonstration\",\n    accept_recalled: [\"usn.excursion.curve\", \"usn.excursion.travel\"],",
    );
    change(&mut text, "at: \"3d 16:00\"", "at: \"32 h\"");
    change(&mut text, "last: \"3d 08:00\"", "last: \"16 h\"");
    change(&mut text, "end: \"8 d\"", "end: \"2 d\"");
    change(
        &mut text,
        "        rota: [(",
        "        bell_runs: [(at: \"24 h\", bell: \"Bell\", divers: [\"EF\", \"GH\"], depth: \"58 msw\", in_water: \"1 h\", work: WaterLight)],\n        rota: [(",
    );
    change(
        &mut text,
        "        reclaim: true,\n",
        "        reclaim: true,\n        recover_chamber_gas: true,\n",
    );
    change(
        &mut text,
        "(name: \"M-2\", duty: BottomMix, bottles: \"64 x 50 L at 200 bar\", contents: Heliox(\"2 %\"),",
        "(name: \"M-2\", duty: BottomMix, bottles: \"64 x 50 L at 200 bar\", contents: Mix(oxygen: \"2 %\", nitrogen: \"1 %\", carbon_dioxide: \"0.001 %\", contaminant: \"0.0001 %\"),",
    );
    change(
        &mut text,
        "        reclaim: (charge:",
        "        recovery: (bank: \"M-1\", recovered: \"80 %\", lowest: \"2 bar\"),\n        reclaim: (charge:",
    );
    change(
        &mut text,
        "crew: (divers: [",
        "crew: (breathing: 1, divers: [",
    );
    change(
        &mut text,
        "(initials: \"AB\",",
        "(initials: \"AB\", surfaced_before: \"60 d\", last_saturation: \"20 d\",",
    );
    for (long, cut) in [("14 h", "3 h"), ("16 h", "2 h"), ("6 h", "1 h")] {
        let hours = |h: &str| format!("in_water: \"{h}\"");
        change(&mut text, &hours(long), &hours(cut));
    }
    change(
        &mut text,
        "    work: (\n",
        "    work: (\n        teams: Fixed,\n        hours: Kept,\n",
    );
    change(
        &mut text,
        "    plan: (\n",
        "    plan: (\n        slip: Skip,\n",
    );
    change(
        &mut text,
        "            in_water: \"3 h\",\n",
        "            in_water: \"3 h\",\n            work: WaterModerate,\n",
    );
    text.truncate(text.find("    study: (").expect("a study of its own"));
    text + &[FAULTS, STUDY, RATES, ")\n"].concat()
}

fn three_men() -> String {
    let mut text = built_in("nine-man");
    change(&mut text, "at: \"20 d\"", "at: \"40 h\"");
    change(
        &mut text,
        "first: \"16 h\",\n            every: \"8 h\",\n            last: \"19d 08:00\"",
        "first: \"28 h\",\n            every: \"8 h\",\n            last: \"28 h\"",
    );
    change(
        &mut text,
        "        rota: [(",
        "        bell_runs: [(at: \"16 h\", divers: [\"AB\", \"CD\", \"EF\"], in_water: \"2 h\", pause: \"20 min\")],\n        rota: [(",
    );
    change(&mut text, "end: \"30 d\"", "end: \"2 d\"");
    text
}

fn two_levels() -> String {
    let mut text = built_in("twelve-man");
    let from = text.find("        levels: [").expect("levels");
    let to = text
        .find("        // Both levels at 96 msw")
        .expect("moves");
    text.replace_range(
        from..to,
        r#"        levels: [
            (members: ["Living 1", "Transfer 1"], steps: [(at: "0 s", what: Press("60 msw")), (at: "110 h", what: Decompress)]),
            (members: ["Living 2", "Transfer 2"], steps: [
                (at: "2 h", what: Press("50 msw")),
                (at: "12 h", what: ChangeStorage("60 msw")),
            ]),
        ],
        crew_changes: [(chamber: "Living 2", surface_by: "140 h")],
"#,
    );
    let from = text.find("        moves: [").expect("moves");
    let to = text
        .find("        // Times of vessel time")
        .or(text.find("        routine: ("));
    text.replace_range(
        from..to.expect("the routine"),
        "        moves: [(at: \"24 h\", divers: [\"AB\"], to: \"Living 2\")],\n",
    );
    change(&mut text, "end: \"24 d\"", "end: \"9 d\"");
    change(
        &mut text,
        "first: \"12 h\",\n        in_water",
        "first: \"28 h\",\n        last: \"60 h\",\n        in_water",
    );
    text
}
