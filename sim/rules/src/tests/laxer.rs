//! What is laxer than a row of law and what is not, each figure on its edge and on both sides of it. The rows are made
//! up: a base with one row, and a set with one or two in its place.

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
        for ours in as_strict {
            assert!(!laxer(section, &theirs, &ours), "{ours} for {theirs}");
        }
        for ours in laxer_ones {
            assert!(laxer(section, &theirs, &ours), "{ours} for {theirs}");
        }
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
        let section = "gas_minimums";
        assert!(!laxer(section, &theirs, &theirs), "{theirs}");
        assert!(!laxer(section, &theirs, &stricter), "{stricter}");
        for ours in less {
            assert!(laxer(section, &theirs, &ours), "{ours} for {theirs}");
        }
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
