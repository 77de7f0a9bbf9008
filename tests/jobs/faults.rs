//! Faults of every kind, on anything on board, at any second.

use super::draw::{Draw, tenths};
use super::steel::{Spread, instruments, valves};

/// The kinds, as a file calls them.
const KINDS: [&str; 9] = [
    "Leak",
    "FanStop",
    "ClimateStop",
    "ReclaimStop",
    "StuckValve",
    "WrongContents",
    "Drift",
    "Frozen",
    "CrossConnected",
];

/// The planned faults of a job, in order of time.
pub fn planned(
    draw: &mut Draw,
    spread: &Spread,
    banks: &[String],
    reclaim: bool,
    s: i64,
) -> String {
    let mut faults: Vec<(i64, String)> = (0..draw.between(1, 6))
        .map(|_| fault(draw, spread, banks, reclaim, s))
        .collect();
    faults.sort_by_key(|f| f.0);
    let lines: Vec<String> = faults.into_iter().map(|f| f.1).collect();
    format!(
        "(planned: [\n        {},\n    ])",
        lines.join(",\n        ")
    )
}

fn fault(
    draw: &mut Draw,
    spread: &Spread,
    banks: &[String],
    reclaim: bool,
    end_s: i64,
) -> (i64, String) {
    let mut kind = *draw.pick(&KINDS);
    if kind == "ReclaimStop" && !reclaim {
        kind = "Leak";
    }
    let at = match kind {
        "WrongContents" => 0,
        _ => draw.between(0, end_s - 600),
    };
    let until = match draw.percent(70) {
        true => format!("until: \"{} s\", ", at + draw.between(1, 6 * 3600)),
        false => String::new(),
    };
    let what = match kind {
        "FanStop" | "ClimateStop" => format!("(\"{}\")", draw.pick(&spread.lived_in())),
        "ReclaimStop" => String::new(),
        "StuckValve" => stuck(draw, spread),
        "WrongContents" => {
            let contents = ["Air", "Oxygen", "Helium", "Heliox(\"12 %\")"];
            format!(
                "(bank: \"{}\", contents: {})",
                draw.pick(banks),
                draw.pick(&contents)
            )
        }
        "Drift" => format!(
            "({}, span: 0.{:02}, zero: {}0.{}, over: \"{} s\")",
            instrument(draw, spread, banks),
            draw.between(0, 40),
            draw.pick(&["", "-"]),
            draw.between(0, 9),
            draw.between(600, 86_400)
        ),
        "Frozen" => format!("({})", instrument(draw, spread, banks)),
        "CrossConnected" => format!(
            "({}, to: \"{}\")",
            instrument(draw, spread, &[]),
            draw.pick(&spread.compartments())
        ),
        _ => format!(
            "(compartment: \"{}\", bore: \"{} mm\"{})",
            draw.pick(&spread.compartments()),
            tenths(draw.between(1, 50)),
            draw.pick(&["", ", discharge: 0.6", ", discharge: 1.0"])
        ),
    };
    (at, format!("(at: \"{at} s\", {until}what: {kind}{what})"))
}

fn stuck(draw: &mut Draw, spread: &Spread) -> String {
    let valve = if draw.percent(15) {
        format!("Equalise(\"{}\")", draw.pick(&spread.equalised()))
    } else {
        let of = *draw.pick(&spread.compartments());
        format!("{}(\"{of}\")", draw.pick(valves(of)))
    };
    let opening = match draw.percent(30) {
        true => 0,
        false => draw.between(1, 300),
    };
    format!("(valve: {valve}, opening: \"{} %\")", tenths(opening))
}

fn instrument(draw: &mut Draw, spread: &Spread, banks: &[String]) -> String {
    let (of, (quantity, channel)) = if !banks.is_empty() && draw.percent(20) {
        (draw.pick(banks).clone(), ("GaugePressure", "Primary"))
    } else {
        // By what is read first: one that a single vessel has comes as often as one that all have.
        let all = spread.compartments().into_iter();
        let fitted: Vec<(&str, (&str, &str))> = all
            .flat_map(|of| instruments(of).into_iter().map(move |i| (of, i)))
            .collect();
        let mut read: Vec<&str> = fitted.iter().map(|(_, (quantity, _))| *quantity).collect();
        read.sort_unstable();
        read.dedup();
        let quantity = *draw.pick(&read);
        let mine: Vec<_> = fitted.iter().filter(|(_, i)| i.0 == quantity).collect();
        let (of, instrument) = **draw.pick(&mine);
        (of.to_owned(), instrument)
    };
    format!("instrument: (of: \"{of}\", quantity: {quantity}, channel: {channel})")
}
