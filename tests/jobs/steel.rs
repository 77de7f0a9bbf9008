//! What the built-in spreads have on board, as far as a random job must name it: read from their texts, and what
//! each kind of compartment has.

/// A built-in spread.
pub struct Spread {
    /// Its name in the list of what is built in.
    pub name: &'static str,
    /// Its text.
    pub text: &'static str,
    /// The sides a plan can have: members, the living chamber first.
    pub sides: &'static [&'static [&'static str]],
    /// Bunks of each living chamber.
    pub bunks: usize,
    /// Seats of the bell.
    pub seats: usize,
}

/// The built-in spreads.
pub const SPREADS: [Spread; 3] = [
    Spread {
        name: "six-man",
        text: include_str!("../../scenarios/spreads/six-man.ron"),
        sides: &[&["Living", "Transfer", "Rescue"]],
        bunks: 6,
        seats: 2,
    },
    Spread {
        name: "nine-man",
        text: include_str!("../../scenarios/spreads/nine-man.ron"),
        sides: &[&["Living", "Transfer", "Rescue"]],
        bunks: 9,
        seats: 3,
    },
    Spread {
        name: "twelve-man",
        text: include_str!("../../scenarios/spreads/twelve-man.ron"),
        sides: &[&["Living 1", "Transfer 1"], &["Living 2", "Transfer 2"]],
        bunks: 8,
        seats: 2,
    },
];

impl Spread {
    /// Names of its compartments.
    pub fn compartments(&self) -> Vec<&'static str> {
        self.text
            .lines()
            .filter_map(|l| l.strip_prefix("            name: \"")?.strip_suffix("\","))
            .collect()
    }

    /// Names of its doors that have an equalising valve.
    pub fn equalised(&self) -> Vec<&'static str> {
        let doors = self.text.lines().filter(|l| l.contains("equalise: "));
        doors
            .filter_map(|l| l.trim().strip_prefix("(name: \"")?.split('"').next())
            .collect()
    }

    /// Compartments with a scrubber and a climate unit.
    pub fn lived_in(&self) -> Vec<&'static str> {
        let mut all = self.compartments();
        all.retain(|c| lived_in(c));
        all
    }
}

fn lived_in(compartment: &str) -> bool {
    ["Living", "Transfer", "Rescue", "Bell"]
        .iter()
        .any(|kind| compartment.starts_with(kind))
}

/// The valves of a compartment, as a file calls them.
pub fn valves(compartment: &str) -> &'static [&'static str] {
    match compartment.split(' ').next() {
        Some("Living" | "Rescue") => &["BlowDown", "Exhaust", "Bleed", "Oxygen"],
        Some("Transfer") => &["BlowDown", "Exhaust", "Bleed", "Oxygen", "Drain"],
        Some("Bell") => &["BlowDown", "Exhaust", "Oxygen"],
        Some("Trunk" | "Passage") => &["BlowDown", "Exhaust"],
        _ => &["Exhaust"],
    }
}

/// The instruments of a compartment: quantity and channel, as a file calls them.
pub fn instruments(compartment: &str) -> Vec<(&'static str, &'static str)> {
    let mut set = vec![("Depth", "Primary")];
    if lived_in(compartment) || ["Trunk", "Passage"].contains(&compartment) {
        set.push(("Depth", "Secondary"));
    }
    if lived_in(compartment) {
        set.extend([
            ("PpO2", "Primary"),
            ("PpO2", "Secondary"),
            ("PpCo2", "Primary"),
            ("PpCo2", "Secondary"),
            ("Temperature", "Primary"),
            ("Humidity", "Primary"),
        ]);
    }
    if compartment == "Bell" {
        set.push(("SeaDepth", "Primary"));
    }
    set
}
