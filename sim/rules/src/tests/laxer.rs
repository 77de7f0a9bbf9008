//! What is laxer than a row of law and what is not, each figure on its edge and on both sides of it. The rows are made
//! up: a base with one row, and a set with one or two in its place.

use super::super::RuleSet;
use super::super::laxer::than;
use super::made_up;

/// A row with an id, from a document of which it is said how it came to us.
fn row(id: &str, status: &str, figures: &str) -> String {
    format!(
        "(id: \"{id}\", source: (document: \"a document\", status: {status}), figures: {figures})"
    )
}

/// Which rows of a section are told to be laxer than which, with the words, in order.
fn told(section: &str, base: &[String], set: &[String]) -> Vec<(String, String, String)> {
    let of = |rows: &[String]| made_up(&format!("{section}: [{}]", rows.join(", ")));
    let found = than(&of(base), &of(set));
    found.into_iter().map(|l| (l.than, l.by, l.words)).collect()
}

/// Whether a row is laxer than another of the same id.
fn laxer(section: &str, theirs: &str, ours: &str) -> bool {
    let (theirs, ours) = (row("x.row", "Seen", theirs), row("x.row", "Seen", ours));
    !told(section, &[theirs], &[ours]).is_empty()
}

/// Holds that a row is not laxer than itself or than what is as strict, and that each of the laxer ones is.
fn on_both_sides(section: &str, theirs: &str, as_strict: &[String], laxer_ones: &[String]) {
    assert!(!laxer(section, theirs, theirs), "{theirs}");
    for ours in as_strict {
        assert!(!laxer(section, theirs, ours), "{ours} for {theirs}");
    }
    for ours in laxer_ones {
        assert!(laxer(section, theirs, ours), "{ours} for {theirs}");
    }
}

#[test]
fn rows_that_hold_beside_each_other_on_their_edges() {
    let crew = |least: u8| format!("(post: Supervisor, least: {least}, manned: Diving)");
    let shown = |how: &str, more: &str| {
        format!("(place: Chamber, of: [Temperature, Depth], shown: {how}{more})")
    };
    let after = |time: &str| format!("(what: NoFlight, time: \"{time}\")");
    let bail_out =
        |time: &str, flow: &str| format!("BailOutLasts(time: \"{time}\", flow: \"{flow}\")");
    let metres = |by_m: &str| format!("StandbyLonger(by_m: {by_m})");
    let ten = |time: &str| format!("BailOutForTenMetres(time: \"{time}\")");
    let monoxide = |below: &str| format!("(of: CarbonMonoxide, below: \"{below}\")");
    let written = |every: &str| shown(&format!("WrittenEvery(\"{every}\")"), "");
    let kept = |time: &str| shown(&format!("Recorded(\"{time}\")"), "");
    let (fire, endures) = (
        |from: &str| format!("(from: \"{from}\")"),
        |time: &str| format!("Endures(\"{time}\")"),
    );
    let other_place = written("30 min").replace("Chamber", "Bell");
    let less_shown = written("30 min").replace(", Depth", "");
    let more_shown = written("30 min").replace("Depth", "Depth, Humidity");
    for (section, theirs, as_strict, laxer_ones) in [
        (
            "surface_crew",
            crew(2),
            vec![crew(2), crew(3)],
            vec![crew(1), crew(2).replace("Diving", "OpenCircuit")],
        ),
        (
            "after_surfacing",
            after("24 h"),
            vec![after("24 h"), after("25 h")],
            vec![after("23 h"), "(what: NoHeight, time: \"24 h\")".to_owned()],
        ),
        (
            "monitoring",
            written("30 min"),
            vec![written("30 min"), written("29 min"), more_shown],
            vec![
                written("31 min"),
                less_shown,
                other_place,
                shown("AtControl", ""),
            ],
        ),
        (
            "monitoring",
            kept("4 h"),
            vec![kept("4 h"), kept("5 h")],
            vec![kept("3 h"), written("1 min")],
        ),
        (
            "monitoring",
            shown("Continuously", ", back_up: true"),
            vec![shown("Continuously", ", back_up: true")],
            vec![
                shown("Continuously", ""),
                shown("AtControl", ", back_up: true"),
            ],
        ),
        (
            "monitoring",
            shown("AtControl", ""),
            vec![shown("AtControl", ", back_up: true"), written("1 h")],
            vec![shown("AtControl", "").replace("Chamber", "Bell")],
        ),
        (
            "evacuation",
            endures("72 h"),
            vec![endures("72 h"), endures("73 h")],
            vec![endures("71 h"), "Units(9)".to_owned()],
        ),
        (
            "evacuation",
            "Units(2)".to_owned(),
            vec!["Units(2)".to_owned(), "Units(3)".to_owned()],
            vec!["Units(1)".to_owned(), endures("99 h")],
        ),
        (
            "umbilicals",
            metres("3"),
            vec![metres("3"), metres("3.1")],
            vec![metres("2.9"), ten("9 h")],
        ),
        (
            "umbilicals",
            bail_out("10 min", "40 L/min"),
            vec![
                bail_out("10 min", "40 L/min"),
                bail_out("11 min", "41 L/min"),
            ],
            vec![
                bail_out("9 min", "40 L/min"),
                bail_out("10 min", "39 L/min"),
            ],
        ),
        (
            "umbilicals",
            ten("60 s"),
            vec![ten("60 s"), ten("61 s")],
            vec![ten("59 s")],
        ),
        (
            "contaminants",
            monoxide("5 Pa"),
            vec![monoxide("5 Pa"), monoxide("4.9 Pa")],
            vec![
                monoxide("5.1 Pa"),
                "(of: Nitrogen, below: \"4.9 Pa\")".to_owned(),
            ],
        ),
        (
            "fire_zone",
            fire("6 %"),
            vec![fire("6 %"), fire("5.9 %")],
            vec![fire("6.1 %")],
        ),
    ] {
        on_both_sides(section, &theirs, &as_strict, &laxer_ones);
    }
}

/// Each figure of a gas minimum for itself: a little less of any one of them is laxer, as much or more is not.
#[test]
fn gas_minimums_on_their_edges() {
    let severed = |only: &str, else_: &str, times: &str| {
        format!(
            "SeveredUmbilical(only_means: \"{only}\", otherwise: \"{else_}\", retrievals: {times})"
        )
    };
    let sets = |time: &str, flow: &str| format!("EscapeSets(time: \"{time}\", flow: \"{flow}\")");
    let pair = |form: &str, as_strict: [&str; 2], less: &str| {
        let of = |figure: &str| form.replace('#', figure);
        (of(as_strict[0]), of(as_strict[1]), vec![of(less)])
    };
    let hours = ["24 h", "25 h"];
    let flows = ["40 L/min", "41 L/min"];
    for (theirs, stricter, less) in [
        pair("PressAgain(times: #)", ["2", "2.1"], "1.9"),
        pair(
            "Bill(times: #, reconstruction: true)",
            ["1.2", "1.3"],
            "1.1",
        ),
        pair("BellKeeps(time: \"#\")", hours, "23 h"),
        pair("ChamberKeeps(time: \"#\")", hours, "23 h"),
        pair(
            "Masks(time: \"#\", on_top_of_other_reserves: false)",
            hours,
            "23 h",
        ),
        pair("MaskFlow(flow: \"#\")", flows, "39 L/min"),
        pair("LeastSupply(flow: \"#\")", flows, "39 L/min"),
        (
            severed("24 h", "12 h", "2"),
            severed("25 h", "13 h", "2.1"),
            vec![
                severed("23 h", "12 h", "2"),
                severed("24 h", "11 h", "2"),
                severed("24 h", "12 h", "1.9"),
            ],
        ),
        (
            sets("30 min", "40 L/min"),
            sets("31 min", "41 L/min"),
            vec![sets("29 min", "40 L/min"), sets("30 min", "39 L/min")],
        ),
    ] {
        on_both_sides("gas_minimums", &theirs, &[stricter], &less);
    }
}

fn limit(bound: &str, value: &str, kind: &str, more: &str) -> String {
    format!(
        "(label: \"oxygen\", during: [Storage], bound: {bound}, reach: PpO2(\"{value}\"), kind: {kind}{more})"
    )
}

/// A limit is laxer further out on its own side, less grave, or where it must stand longer to count.
#[test]
fn limits_are_laxer_further_out_less_grave_or_later() {
    let stands = |s: &str| format!(", stands: \"{s}\"");
    let high = limit("High", "0.5 bar", "Limit", &stands("60 s"));
    let low = limit("Low", "0.4 bar", "Limit", "");
    for (theirs, ours, is) in [
        (&high, high.replace("oxygen", "oxygen high"), false),
        (&high, high.replace("0.5 bar", "0.49 bar"), false),
        (&high, high.replace("0.5 bar", "0.51 bar"), true),
        (&low, low.replace("oxygen", "oxygen low"), false),
        (&low, low.replace("0.4 bar", "0.41 bar"), false),
        (&low, low.replace("0.4 bar", "0.39 bar"), true),
        (&high, high.replace("kind: Limit", "kind: Emergency"), false),
        (&high, high.replace("kind: Limit", "kind: Attention"), true),
        (&high, high.replace("60 s", "59 s"), false),
        (&high, high.replace("60 s", "61 s"), true),
    ] {
        assert_eq!(laxer("limits", theirs, &ours), is, "{ours} for {theirs}");
    }
    let wide = row("x.row", "Seen", &high.replace("0.5 bar", "0.6 bar"));
    for (status, lax) in [
        ("Seen", 1),
        ("SecondHand", 1),
        ("Recalled", 1),
        ("HouseRule", 0),
        ("Derived", 0),
    ] {
        let theirs = row("x.row", status, &high);
        let found = told("limits", &[theirs], std::slice::from_ref(&wide));
        assert_eq!(found.len(), lax, "{status}");
    }
}

/// What a house chose binds nobody else; what a document says does, however it came to us.
#[test]
fn only_rows_of_law_bind() {
    let ours = row("house.rest", "HouseRule", "(unbroken: \"10 h\")");
    for (status, lax) in [
        ("Seen", 1),
        ("SecondHand", 1),
        ("Recalled", 1),
        ("HouseRule", 0),
        ("Derived", 0),
    ] {
        let theirs = row("law.rest", status, "(unbroken: \"12 h\")");
        let found = told("rest", &[theirs], std::slice::from_ref(&ours));
        assert_eq!(found.len(), lax, "{status}");
    }
}

fn owned(all: &[(&str, &str, &str)]) -> Vec<(String, String, String)> {
    all.iter()
        .map(|&(a, b, c)| (a.to_owned(), b.to_owned(), c.to_owned()))
        .collect()
}

/// Each pair of rows is told once, though it is found at many depths, and every pair is.
#[test]
fn each_pair_of_rows_once() {
    let theirs = row("law.water", "Seen", "(longest: \"6 h\")");
    let ours = [
        row(
            "house.shallow",
            "Seen",
            "(depths: (to: \"100 msw\"), longest: \"7 h\")",
        ),
        row(
            "house.deep",
            "Seen",
            "(depths: (deeper_than: \"100 msw\"), longest: \"8 h\")",
        ),
    ];
    assert_eq!(
        told("in_water", &[theirs], &ours),
        owned(&[
            (
                "law.water",
                "house.shallow",
                "time in the water 7.0 h for 6.0 h"
            ),
            (
                "law.water",
                "house.deep",
                "time in the water 8.0 h for 6.0 h"
            ),
        ])
    );
    let theirs = row("law.oxygen", "Seen", "(steps: [(\"8 h\", \"900 hPa\")])");
    let ours = [
        row("house.short", "Seen", "(steps: [(\"3 h\", \"1000 hPa\")])"),
        row("house.long", "Seen", "(steps: [(\"8 h\", \"950 hPa\")])"),
    ];
    assert_eq!(
        told("work_oxygen", &[theirs], &ours),
        owned(&[
            (
                "law.oxygen",
                "house.short",
                "oxygen at work 1000 hPa for 900 hPa"
            ),
            (
                "law.oxygen",
                "house.long",
                "oxygen at work 950 hPa for 900 hPa"
            ),
        ])
    );
}

/// Laxer at one whole metre alone: the depths that are asked go by half metres.
#[test]
fn a_single_metre_is_found() {
    let theirs = row("law.water", "Seen", "(longest: \"6 h\")");
    for (above, metre) in [("98.6 msw", "99 msw"), ("99.1 msw", "99.5 msw")] {
        let figures =
            format!("(depths: (deeper_than: \"{above}\", to: \"{metre}\"), longest: \"7 h\")");
        let ours = [
            row("house.metre", "Seen", &figures),
            row("house.rest", "Seen", "(longest: \"6 h\")"),
        ];
        let found = told("in_water", std::slice::from_ref(&theirs), &ours);
        assert_eq!(found.len(), 1, "{metre}");
        assert_eq!(found[0].1, "house.metre");
    }
}

/// A set that is silent about the sum of twelve months allows all of a year of 366 days: 8784 h for 100 days' 2400 h.
#[test]
fn a_silent_sum_of_twelve_months_is_a_whole_year() {
    let year = |id: &str, more: &str| {
        let figures = format!("(longest: \"28 d\", counted: UnderPressure{more})");
        [row(id, "Seen", &figures)]
    };
    let theirs = year("law.saturation", ", per_year: \"100 d\"");
    assert_eq!(
        told("saturation", &theirs, &year("house.saturation", "")),
        owned(&[(
            "law.saturation",
            "house.saturation",
            "twelve months' sum 8784.0 h for 2400.0 h"
        )])
    );
    for (days, lax) in [("99 d", 0), ("100 d", 0), ("101 d", 1)] {
        let ours = year("house.saturation", &format!(", per_year: \"{days}\""));
        assert_eq!(told("saturation", &theirs, &ours).len(), lax, "{days}");
    }
}

/// After a fortnight under pressure the base asks for 14 days at the surface and the set for 7; after any other
/// length that is asked, both ask for the same.
#[test]
fn an_interval_is_asked_after_a_fortnight() {
    let set = |id: &str, up_to: &str| {
        made_up(&format!(
            "saturation: [{}], surface_interval: [{}]",
            row(
                "law.saturation",
                "Seen",
                "(longest: \"28 d\", counted: UnderPressure)"
            ),
            row(
                id,
                "Seen",
                &format!("(least: Steps(up_to: \"{up_to}\", then: \"7 d\", otherwise: \"14 d\"))")
            )
        ))
    };
    let found = than(&set("law.interval", "7 d"), &set("house.interval", "14 d"));
    let words: Vec<&str> = found.iter().map(|l| l.words.as_str()).collect();
    assert_eq!(words, ["surface interval 168.0 h for 336.0 h"]);
    assert!(
        than(&set("law.interval", "14 d"), &set("house.interval", "7 d")).is_empty(),
        "the other way round it is stricter"
    );
}

/// Density, oxygen at work and the time on a mask: as much as the base is not laxer, a little more is.
#[test]
fn what_is_breathed_on_its_edges() {
    for (section, theirs, same, more) in [
        ("gas_density", "(most_g_l: 9)", "9", "9.1"),
        (
            "work_oxygen",
            "(steps: [(\"8 h\", \"900 hPa\")])",
            "900 hPa",
            "901 hPa",
        ),
        ("mask_time", "(longest: \"240 min\")", "240 min", "241 min"),
    ] {
        let base = [row("law.row", "Seen", theirs)];
        let of = |figure: &str| [row("house.row", "Seen", &theirs.replace(same, figure))];
        assert!(told(section, &base, &of(same)).is_empty(), "{section}");
        assert_eq!(told(section, &base, &of(more)).len(), 1, "{section}");
    }
}

/// A row without brackets around its section.
fn section(name: &str, rows: &[String]) -> String {
    format!("{name}: [{}]", rows.join(", "))
}

/// A whole way up, of which each part may be put otherwise: rates, travel, oxygen, rest hours and last stop.
fn way_up(parts: [&str; 5]) -> String {
    let names = ["rates", "travel", "oxygen", "rest", "last_stop"];
    let rows = names
        .iter()
        .zip(parts)
        .filter(|(_, figures)| !figures.is_empty());
    let rows = rows
        .map(|(name, figures)| format!("{name}: {}", row(&format!("law.{name}"), "Seen", figures)));
    format!("({})", rows.collect::<Vec<_>>().join(", "))
}

/// Nine metres an hour to the surface, in steps of a metre, at rest from noon for an hour, and an hour at 3 msw.
const UP: [&str; 5] = [
    "(deepest: \"100 msw\", bands: [(deeper_than: \"0 msw\", rate: \"9 msw/h\")])",
    "Steps(step: \"1 msw\", at_most: \"1 msw/min\")",
    "UntilShare(partial: (\"440 hPa\", \"480 hPa\"), share: (\"19 %\", \"23 %\"))",
    "(hours: [(\"12:00\", \"13:00\")])",
    "(at: \"3 msw\", hold: \"1 h\", then: \"1 msw/min\")",
];

fn with(part: usize, from: &str, to: &str) -> [String; 5] {
    assert!(UP[part].contains(from), "{from}");
    let mut parts = UP.map(str::to_owned);
    parts[part] = parts[part].replace(from, to);
    parts
}

/// Each part of a way up, in need too, put a little laxer and a little stricter, each told of the row that it stands in
/// the place of.
#[test]
fn ways_up_by_each_of_their_parts() {
    let set = |name: &str, parts: &[String; 5]| {
        let parts = [0, 1, 2, 3, 4].map(|i| parts[i].as_str());
        made_up(&section(name, &[way_up(parts)]))
    };
    let own = UP.map(str::to_owned);
    let none_of = |part: usize| {
        let mut parts = own.clone();
        parts[part].clear();
        parts
    };
    let no_rest = none_of(3);
    for (ours, than) in [
        (own.clone(), None),
        (with(0, "9 msw/h", "8.9 msw/h"), None),
        (with(0, "9 msw/h", "9.1 msw/h"), Some("law.rates")),
        (with(2, "440 hPa", "441 hPa"), None),
        (with(2, "440 hPa", "439 hPa"), Some("law.oxygen")),
        (with(2, "480 hPa", "479 hPa"), None),
        (with(2, "480 hPa", "481 hPa"), Some("law.oxygen")),
        (with(2, "23 %", "24 %"), Some("law.oxygen")),
        (with(3, "13:00", "13:01"), None),
        (with(3, "13:00", "12:59"), Some("law.rest")),
        (no_rest, Some("law.rest")),
        (with(4, "1 h", "61 min"), None),
        (with(4, "1 h", "59 min"), Some("law.last_stop")),
    ] {
        let found = than_of(&set("decompression", &own), &set("decompression", &ours));
        assert_eq!(found.first().map(String::as_str), than, "{ours:?}");
        assert!(found.len() < 2, "{found:?}");
        if than != Some("law.oxygen") {
            let found = than_of(&set("emergency", &own), &set("emergency", &ours));
            assert_eq!(found.first().map(String::as_str), than, "in need: {ours:?}");
        }
    }
    // The first piece that is asked goes from 5 msw to the surface: a step at 9 an hour is 0.11 h (0.06 at 18), the hour
    // at 3 msw counts from the start of the step to it, and 3 msw at one a minute are 0.05 h.
    let faster = with(0, "9 msw/h", "18 msw/h");
    let words: Vec<String> = than(&set("decompression", &own), &set("decompression", &faster))
        .into_iter()
        .map(|l| l.words)
        .collect();
    assert_eq!(words, ["5 to 0 msw in 1.1 h for 1.2 h"]);
}

fn than_of(base: &RuleSet, set: &RuleSet) -> Vec<String> {
    than(base, set).into_iter().map(|l| l.than).collect()
}

/// How a way up begins: with an excursion, and the holds after that and after a dive.
#[test]
fn beginnings_of_a_way_up() {
    let start = |more: &str| {
        let figures = format!("(upward_excursion: {more})");
        made_up(&section(
            "decompression_start",
            &[row("law.start", "Seen", &figures)],
        ))
    };
    let held = |depth: &str, hold: &str, dive: &str| {
        start(&format!(
            "true, travel: \"1 msw/min\", hold: (\"{depth}\", \"{hold}\"), hold_after_dive: \"{dive}\""
        ))
    };
    let law = held("60 msw", "2 h", "8 h");
    for (ours, is) in [
        (held("60 msw", "2 h", "8 h"), false),
        (held("61 msw", "3 h", "9 h"), false),
        (held("59 msw", "2 h", "8 h"), true),
        (held("60 msw", "119 min", "8 h"), true),
        (held("60 msw", "2 h", "479 min"), true),
        (start("false, hold_after_dive: \"8 h\""), false),
    ] {
        assert_eq!(!than(&law, &ours).is_empty(), is, "{ours:?}");
    }
    assert!(!than(&start("false"), &start("true")).is_empty());
    assert!(than(&start("true"), &start("false")).is_empty());
}

/// Pressing: the rate at each depth, the hold for leaks, and how far air goes.
#[test]
fn pressing_by_each_of_its_parts() {
    let press = |deep: &str, hold: &str, air: &str| {
        let bands = format!(
            "(shallowest: \"0 msw\", cases: [(storage_to: \"100 msw\", inclusive: true, bands: [(down_to: \"50 msw\", rate: \"3 msw/min\"), (down_to: \"100 msw\", rate: \"{deep}\")])])"
        );
        let part = |name: &str, figures: &str| {
            format!("{name}: {}", row(&format!("law.{name}"), "Seen", figures))
        };
        made_up(
            &[
                section("compression", &[row("law.rates", "Seen", &bands)]),
                part("leak_check", &format!("(at: \"10 msw\", hold: \"{hold}\")")),
                part("oxygen_first", &format!("(on_air_to: \"{air}\")")),
                part("land_on", "(ppo2: \"0.4 bar\")"),
            ]
            .join(", "),
        )
    };
    let law = press("1 msw/min", "20 min", "10 msw");
    for (deep, hold, air, told) in [
        ("1 msw/min", "20 min", "10 msw", None),
        ("0.9 msw/min", "21 min", "9 msw", None),
        ("1.1 msw/min", "20 min", "10 msw", Some("law.rates")),
        ("1 msw/min", "19 min", "10 msw", Some("law.leak_check")),
        ("1 msw/min", "20 min", "11 msw", Some("law.oxygen_first")),
    ] {
        let found = than_of(&law, &press(deep, hold, air));
        assert_eq!(
            found.first().map(String::as_str),
            told,
            "{deep} {hold} {air}"
        );
    }
}

/// Excursions: how far from storage, both ways, and how fast.
#[test]
fn excursions_by_distance_and_rate() {
    let excursion = |constant: &str, slope: &str, rate: &str| {
        let curve =
            format!("(deepest: \"1000 fsw\", constant_fsw2: {constant}, slope_fsw: {slope})");
        let travel = row("law.travel", "Seen", &format!("(at_most: \"{rate}\")"));
        made_up(&format!(
            "{}, excursion_travel: {travel}",
            section("excursions", &[row("law.curve", "Seen", &curve)])
        ))
    };
    let law = excursion("800.0", "25.0", "60 fsw/min");
    for (constant, slope, rate, told) in [
        ("800.0", "25.0", "60 fsw/min", None),
        ("700.0", "24.0", "59 fsw/min", None),
        ("900.0", "25.0", "60 fsw/min", Some("law.curve")),
        ("800.0", "26.0", "60 fsw/min", Some("law.curve")),
        ("800.0", "25.0", "61 fsw/min", Some("law.travel")),
    ] {
        let found = than_of(&law, &excursion(constant, slope, rate));
        assert_eq!(
            found.first().map(String::as_str),
            told,
            "{constant} {slope} {rate}"
        );
    }
}

/// Life at depth: each figure on its edge, and on both sides of it.
#[test]
fn life_at_depth_on_its_edges() {
    let oxygen = |low: &str, high: &str| format!("(low: \"{low}\", high: \"{high}\")");
    let climate = |low: &str, more: &str| {
        format!(
            "(from: \"50 msw\", to: \"200 msw\", bands: [(\"50 msw\", \"{low}\", \"27 degC\"), (\"200 msw\", \"28 degC\", \"32 degC\")]{more})"
        )
    };
    let damp = |low: &str, high: &str| format!(", humidity: (\"{low}\", \"{high}\")");
    let within = |span: &str| format!(", tolerance: \"{span}\"");
    let spent = |bar: &str, time: &str| format!("(ppco2: \"{bar}\", stood: \"{time}\")");
    let wash = |drops: u8, ear: &str, wash: u8, dive: bool| {
        format!(
            "(ear_drops_per_day: {drops}, per_ear: \"{ear}\", wash_per_day: {wash}, wash_after_dive: {dive})"
        )
    };
    let every = |time: &str| format!("(every: \"{time}\")");
    let flow = |l_h: &str| format!("(flow: \"{l_h} L/h\")");
    let crew = |least: u8, stay: u8| format!("(least: {least}, stay: {stay})");
    for (section, theirs, as_strict, laxer_ones) in [
        (
            "storage_oxygen",
            oxygen("0.44 bar", "0.48 bar"),
            vec![oxygen("0.45 bar", "0.47 bar")],
            vec![
                oxygen("0.43 bar", "0.48 bar"),
                oxygen("0.44 bar", "0.49 bar"),
            ],
        ),
        (
            "climate",
            climate("22 degC", &(within("2 K") + &damp("30 %", "80 %"))),
            vec![climate("23 degC", &(within("1 K") + &damp("31 %", "79 %")))],
            vec![
                climate("21 degC", &(within("2 K") + &damp("30 %", "80 %"))),
                climate("22 degC", &(within("3 K") + &damp("30 %", "80 %"))),
                climate("22 degC", &(within("2 K") + &damp("29 %", "80 %"))),
                climate("22 degC", &(within("2 K") + &damp("30 %", "81 %"))),
                climate("22 degC", &within("2 K")),
            ],
        ),
        (
            "absorbent",
            spent("5 hPa", "1 h"),
            vec![spent("4 hPa", "59 min")],
            vec![spent("6 hPa", "1 h"), spent("5 hPa", "61 min")],
        ),
        (
            "hygiene",
            wash(2, "5 min", 1, true),
            vec![wash(3, "6 min", 2, true)],
            vec![
                wash(1, "5 min", 1, true),
                wash(2, "4 min", 1, true),
                wash(2, "5 min", 0, true),
                wash(2, "5 min", 1, false),
            ],
        ),
        (
            "logging",
            every("30 min"),
            vec![every("29 min")],
            vec![every("31 min")],
        ),
        (
            "calibration",
            every("2 h"),
            vec![every("119 min")],
            vec![every("121 min")],
        ),
        ("co2_sizing", flow("30"), vec![flow("31")], vec![flow("29")]),
        ("o2_sizing", flow("30"), vec![flow("31")], vec![flow("29")]),
        (
            "co2_actual",
            flow("30"),
            vec![flow("29"), flow("31")],
            vec![],
        ),
        (
            "bell_crew",
            crew(3, 1),
            vec![crew(4, 2)],
            vec![crew(2, 1), crew(3, 0)],
        ),
        (
            "treatment_gas",
            "Oxygen(\"1.5 bar\", \"2.8 bar\")".to_owned(),
            vec!["Oxygen(\"1.6 bar\", \"2.7 bar\")".to_owned()],
            vec![
                "Oxygen(\"1.4 bar\", \"2.8 bar\")".to_owned(),
                "Oxygen(\"1.5 bar\", \"2.9 bar\")".to_owned(),
                "Mixes([(\"60 msw\", \"20 %\")])".to_owned(),
            ],
        ),
        (
            "treatment_gas",
            "Mixes([(\"18 msw\", \"50 %\"), (\"60 msw\", \"20 %\")])".to_owned(),
            vec!["Mixes([(\"18 msw\", \"50 %\"), (\"70 msw\", \"20 %\")])".to_owned()],
            vec![
                "Mixes([(\"18 msw\", \"50 %\"), (\"59 msw\", \"20 %\")])".to_owned(),
                "Mixes([(\"18 msw\", \"50 %\"), (\"60 msw\", \"21 %\")])".to_owned(),
                "Mixes([(\"17 msw\", \"50 %\"), (\"60 msw\", \"20 %\")])".to_owned(),
            ],
        ),
    ] {
        on_both_sides(section, &theirs, &as_strict, &laxer_ones);
    }
}

/// A bell run or a rest of as many hours is laxer where less of the run, or more of the rest, counts; a saturation where
/// only the time at depth does. More hours of a clock that counts more are told by their hours.
#[test]
fn what_counts_on_a_clock() {
    let run = |from: &str, to: &str, more: &str| {
        format!("(longest: \"8 h\", clock: \"as printed\", counted: ({from}, {to}){more})")
    };
    let rest = |from: &str, to: &str| format!("(unbroken: \"12 h\", between: ({from}, {to}))");
    let days = |counted: &str| format!("(longest: \"28 d\", counted: {counted})");
    for (section, theirs, as_strict, laxer_ones) in [
        (
            "bell_run",
            run("SealedIn", "ReadyToTransfer", ""),
            vec![run("Checks", "Home", "")],
            vec![
                run("ClampOff", "ReadyToTransfer", ""),
                run("SealedIn", "ClampedOn", ""),
            ],
        ),
        (
            "rest",
            rest("Home", "Checks"),
            vec![],
            vec![rest("ReadyToTransfer", "Checks"), rest("Home", "SealedIn")],
        ),
        (
            "saturation",
            days("UnderPressure"),
            vec![],
            vec![days("AtDepth")],
        ),
        (
            "saturation",
            days("AtDepth"),
            vec![days("UnderPressure")],
            vec![days("UnderPressure").replace("28 d", "29 d")],
        ),
    ] {
        on_both_sides(section, &theirs, &as_strict, &laxer_ones);
    }
}

/// Gas minimums of another kind ask something else, and each further figure counts.
#[test]
fn gas_minimums_of_another_kind_and_by_each_figure() {
    let keeps = |more: &str| format!("BellKeeps(time: \"24 h\"{more})");
    let masks = |top: bool| format!("Masks(time: \"4 h\", on_top_of_other_reserves: {top})");
    let flows = |heavy: &str, more: &str| {
        format!("DiverFlow(at_work: (\"30 L/min\", \"40 L/min\", \"{heavy}\"){more})")
    };
    let up = ", coming_up: \"30 L/min\"";
    let free = ", free_flow: (\"90 L/min\", \"100 L/min\", \"110 L/min\")";
    let bail_out = |flow: &str, m: &str| format!("BailOut(flow: \"{flow}\", return_m_min: {m})");
    let ask = |topic: &str, words: &str| {
        format!(
            "Ask(topic: {topic}, question: \"{words}\", evidence: \"a sheet\", in_scenario: No)"
        )
    };
    for (theirs, as_strict, less) in [
        (
            keeps(", beyond_the_dive: true"),
            vec![keeps(", beyond_the_dive: true")],
            vec![keeps("")],
        ),
        (
            keeps(", to: \"300 msw\""),
            vec![keeps(""), keeps(", to: \"301 msw\"")],
            vec![keeps(", to: \"299 msw\"")],
        ),
        (keeps(""), vec![], vec![keeps(", to: \"300 msw\"")]),
        (masks(true), vec![], vec![masks(false)]),
        (masks(false), vec![masks(true)], vec![]),
        (
            flows("62.5 L/min", &format!("{up}{free}")),
            vec![flows("63 L/min", &format!("{up}{free}"))],
            vec![
                flows("62 L/min", &format!("{up}{free}")),
                flows("62.5 L/min", up),
                flows("62.5 L/min", free),
                flows("62.5 L/min", &format!("{up}{free}").replace("110", "109")),
            ],
        ),
        (
            bail_out("40 L/min", "18"),
            vec![bail_out("41 L/min", "17")],
            vec![bail_out("39 L/min", "18"), bail_out("40 L/min", "19")],
        ),
        ("Bypass".to_owned(), vec![], vec!["LockRuns".to_owned()]),
        (
            "PressAgain(times: 2)".to_owned(),
            vec![],
            vec!["Bill(times: 9, reconstruction: true)".to_owned()],
        ),
        (
            ask("Losses", "is leakage allowed for?"),
            vec![ask("Losses", "is waste allowed for?")],
            vec![
                ask("Displayed", "is leakage allowed for?"),
                "Bypass".to_owned(),
            ],
        ),
    ] {
        let section = "gas_minimums";
        on_both_sides(section, &theirs, &as_strict, &less);
    }
}

/// A limit is laxer, too, where it holds in fewer phases or over less of the depth, or where it is of something else.
#[test]
fn limits_are_laxer_that_hold_more_seldom() {
    let theirs = limit(
        "High",
        "0.5 bar",
        "Limit",
        ", from: \"20 msw\", shallower_than: \"90 msw\"",
    );
    let theirs = theirs.replace("[Storage]", "[Storage, Decompression]");
    for (ours, is) in [
        (
            theirs.replace("[Storage, Decompression]", "[Decompression, Storage, Bell]"),
            false,
        ),
        (
            theirs.replace("[Storage, Decompression]", "[Storage]"),
            true,
        ),
        (theirs.replace("20 msw", "19 msw"), false),
        (theirs.replace("20 msw", "21 msw"), true),
        (theirs.replace("from: \"20 msw\", ", ""), false),
        (theirs.replace("90 msw", "91 msw"), false),
        (theirs.replace("90 msw", "89 msw"), true),
        (theirs.replace(", shallower_than: \"90 msw\"", ""), false),
        (theirs.replace("PpO2", "PpCo2"), true),
        (
            theirs.replace("High", "Low").replace("0.5 bar", "0.6 bar"),
            true,
        ),
    ] {
        assert_eq!(laxer("limits", &theirs, &ours), is, "{ours} for {theirs}");
    }
}
