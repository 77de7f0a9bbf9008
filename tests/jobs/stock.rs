//! A stock for a depth: banks by their duties, some poorly filled, mislabelled or not analysed, with or without
//! reclaim and recovery of chamber gas.

use super::draw::{Draw, tenths};

/// A stock as text, and what the rest of the job must know of it.
pub struct Stock {
    /// Its text.
    pub text: String,
    /// Names of its banks.
    pub banks: Vec<String>,
    /// Whether there is reclaim of divers' gas.
    pub reclaim: bool,
    /// Whether there is recovery of chamber gas.
    pub recovery: bool,
}

struct Rack<'a> {
    draw: &'a mut Draw,
    names: Vec<String>,
    lines: Vec<String>,
}

impl Rack<'_> {
    /// Banks of one duty, with oxygen in tenths of a percent.
    fn put(&mut self, prefix: &str, count: i64, duty: &str, bottles: i64, bar: i64, o2: i64) {
        for i in 1..=count {
            let name = format!("{prefix}-{i}");
            let draw = &mut *self.draw;
            let percent = tenths(o2);
            let contents = match o2 {
                0 => "Helium".to_owned(),
                210 if duty == "Air" => "Air".to_owned(),
                1000 => "Oxygen".to_owned(),
                _ if draw.percent(10) => format!(
                    "Mix(oxygen: \"{percent} %\", nitrogen: \"{} %\", contaminant: \"0.001 %\")",
                    tenths(draw.between(0, 20))
                ),
                _ => format!("Heliox(\"{percent} %\")"),
            };
            let label = match draw.percent(10) {
                true => format!(", label: \"{percent} %\""),
                false => String::new(),
            };
            let analysed = match draw.percent(90) {
                true => format!(", analysed: \"{percent} %\""),
                false => String::new(),
            };
            let temperature = match draw.percent(15) {
                true => format!(", temperature: \"{} degC\"", draw.between(0, 35)),
                false => String::new(),
            };
            let bar = bar + draw.between(-20, 20);
            self.lines.push(format!(
                "(name: \"{name}\", duty: {duty}, bottles: \"{bottles} x 50 L at {bar} bar\", \
                 contents: {contents}{label}{analysed}{temperature})"
            ));
            self.names.push(name);
        }
    }
}

/// A stock for a storage depth in msw.
pub fn stock(draw: &mut Draw, depth_msw: i64, oxygen_on_the_bell: bool) -> Stock {
    // Tenths of a percent at which the partial pressure at depth is so many hundredths of a bar.
    let share = |hundredths_bar: i64| hundredths_bar * 100 / (depth_msw + 10);
    let bottom = if depth_msw > 150 { 12 } else { 20 };
    let (mixes, divers, oxygen) = (draw.between(2, 8), draw.between(1, 5), draw.between(1, 4));
    let bar = if draw.percent(15) { 80 } else { 200 };
    let water_bar = draw.between(50, 66);
    let recovery = draw.percent(40);
    let reclaim = draw.percent(65);
    let mut rack = Rack {
        draw,
        names: Vec::new(),
        lines: Vec::new(),
    };
    rack.put("M", mixes, "BottomMix", 64, bar, bottom);
    rack.put("H", 1, "Helium", 32, 200, 0);
    rack.put("D", divers, "DiverGas", 48, bar, share(water_bar));
    rack.put("O", oxygen, "Oxygen", 16, 180, 1000);
    rack.put("T", 1, "Treatment", 16, 200, share(160).min(500));
    rack.put("E", 1, "Emergency", 32, 200, share(100).min(210));
    rack.put("A", 1, "Air", 16, 200, 210);
    rack.put("C", 1, "Calibration", 4, 150, share(45));
    rack.put("OB", 1, "OnBoard", 12, 200, share(water_bar));
    if oxygen_on_the_bell {
        rack.names.push("OB-2".into());
        rack.lines.push(
            "(name: \"OB-2\", duty: OnBoard, bottles: \"4 x 50 L at 200 bar\", contents: Oxygen, analysed: \"100 %\")"
                .into(),
        );
    }
    if recovery {
        rack.put("R", 1, "Recovered", 32, 30, bottom);
    }
    let Rack { draw, names, lines } = rack;
    let mut back = String::new();
    if reclaim {
        let standby = *draw.pick(&["D-1", "D-1", "M-1"]);
        let charge = tenths(share(water_bar));
        let recovered = draw.between(70, 95);
        back += &format!(
            "\n        reclaim: (charge: Heliox(\"{charge} %\"), open_circuit: \"{standby}\", trickle: \"O-1\", recovery: \"{recovered} % from 60 % to 98 %\"),"
        );
    }
    if recovery {
        back += &format!(
            "\n        recovery: (bank: \"R-1\", recovered: \"{} %\", lowest: \"{} bar\", trunk_and_locks: {}),",
            draw.between(50, 95),
            draw.between(1, 8),
            draw.percent(50)
        );
    }
    Stock {
        text: format!(
            "(\n        banks: [\n            {},\n        ],{back}\n    )",
            lines.join(",\n            ")
        ),
        banks: names,
        reclaim,
        recovery,
    }
}
