//! Random whole jobs as text: spread, rules, site, crew, stock, plan and faults drawn from a seed, in the grammar
//! that a person writes, so that they outlive any change of the types behind it. A job that the reader refuses is
//! drawn again by the next attempt. Vessels and people are invented; the jobs prescribe nothing.

mod draw;
mod faults;
mod plan;
mod steel;
mod stock;

use draw::{Draw, hundredths, tenths};
use std::path::{Path, PathBuf};
use steel::{SPREADS, Spread};

const DEMONSTRATION: &str = include_str!("../../scenarios/rules/demonstration.ron");
/// Storage oxygen as the demonstration's rules write it.
const STORAGE_OXYGEN: &str = "figures: (low: \"0.44 ata\", high: \"0.48 ata\"),\n    )],";
const WAVES: &str = "waves.csv";

/// A random job.
pub struct Job {
    /// The text of the job's file.
    pub text: String,
    /// The table of waves that it names, to lie beside it.
    pub waves: Option<String>,
}

impl Job {
    /// Puts the job's files into a folder; where the job's own lies.
    ///
    /// # Errors
    /// When a file cannot be written.
    pub fn write(&self, folder: &Path) -> std::io::Result<PathBuf> {
        if let Some(waves) = &self.waves {
            std::fs::write(folder.join(WAVES), waves)?;
        }
        let path = folder.join("job.ron");
        std::fs::write(&path, &self.text)?;
        Ok(path)
    }
}

/// The job of a seed, so many days long.
pub fn job(seed: u64, attempt: u64, days: i64) -> Job {
    let draw = &mut Draw::new(seed, attempt);
    let count = draw.between(3, 12) as usize;
    let fits = |s: &&Spread| count <= s.bunks * s.sides.len();
    let spread = *draw.pick(&SPREADS.iter().filter(fits).collect::<Vec<_>>());
    let depth = draw.between(40, 190);
    let crew = plan::crew(draw, spread, count);
    let stock = stock::stock(draw, depth, spread.name == "nine-man");
    let (rules, accepted) = rules(draw, depth);
    let (site, waves) = site(draw, depth, days);
    let plan = plan::plan(draw, spread, &crew, &stock, depth, days);
    let faults = match draw.percent(50) {
        true => {
            let end_s = days * 86_400;
            let list = faults::planned(draw, spread, &stock.banks, stock.reclaim, end_s);
            format!("\n    faults: {list},")
        }
        false => String::new(),
    };
    let text = format!(
        "// A random job of seed {seed}, attempt {attempt}. Everything here is invented; it prescribes nothing: the law,\n\
         // the issuing body's current document, the company's approved manual and the licensed people decide.\n\
         (\n    format: 1,\n    name: \"random-{seed}\",\n    title: \"{count} divers, {depth} msw, {days} days, drawn at random\",\n    \
         start: \"2031-{:02}-{:02} {:02}:00\",\n    utc_offset: \"{}\",\n    seed: {},\n    log_every: \"{} min\",\n    \
         accept_recalled: {accepted:?},\n    spread: {},\n    rules: {rules},\n    site: {site},\n    crew: {},\n    \
         stock: {},\n    plan: {plan},{faults}\n)\n",
        draw.between(1, 12),
        draw.between(1, 28),
        draw.between(0, 23),
        draw.pick(&["+00:00", "+02:00", "-03:00", "+05:30"]),
        draw.between(1, 1_000_000),
        draw.pick(&[10, 30, 60]),
        steel(draw, spread),
        crew.text,
        stock.text,
    );
    Job { text, waves }
}

/// The spread by its name, or in place with another climate.
fn steel(draw: &mut Draw, spread: &Spread) -> String {
    if draw.percent(60) {
        return format!("\"{}\"", spread.name);
    }
    let (deck, coil, chiller) = (
        draw.between(-5, 38),
        draw.between(3, 12),
        draw.between(2, 9),
    );
    let mut text = String::new();
    for line in spread.text.lines() {
        match line.trim_start().starts_with("deck_temperature") {
            true => text += &format!("    deck_temperature: \"{deck} degC\",\n"),
            false => text += &format!("{line}\n"),
        }
    }
    text.replace("coil: \"6 degC\"", &format!("coil: \"{coil} degC\""))
        .replace("chiller: \"6 kW\"", &format!("chiller: \"{chiller} kW\""))
}

/// A rule set and the recalled rows accepted of it: the demonstration's, by name or with other set points of
/// storage oxygen. No other built-in set answers all that a job asks.
fn rules(draw: &mut Draw, depth: i64) -> (String, Vec<&'static str>) {
    // The demonstration's seen table of compression ends here.
    let beyond = depth >= 180;
    let accepted = match beyond || draw.percent(20) {
        true => vec!["usn.compression.rates", "t8.accelerated.70.rates"],
        false => Vec::new(),
    };
    match draw.between(0, 1) {
        0 => ("\"demonstration\"".into(), accepted),
        _ => {
            let low = draw.between(36, 44);
            let high = low + draw.between(3, 6);
            let band = STORAGE_OXYGEN
                .replace("0.44", &hundredths(low))
                .replace("0.48", &hundredths(high));
            assert!(
                DEMONSTRATION.contains(STORAGE_OXYGEN),
                "the rules say it otherwise now"
            );
            (DEMONSTRATION.replacen(STORAGE_OXYGEN, &band, 1), accepted)
        }
    }
}

/// The site, and the table of waves where it names one.
fn site(draw: &mut Draw, depth: i64, days: i64) -> (String, Option<String>) {
    let mut waves = None;
    let weather = match draw.between(0, 5) {
        0 => "Calm".to_owned(),
        1 => {
            let mut table = "second,hs_m\n".to_owned();
            for at in (0..days * 86_400).step_by(10_800) {
                table += &format!("{at},{}\n", tenths(draw.between(5, 45)));
            }
            waves = Some(table);
            format!("Series(\"{WAVES}\")")
        }
        _ => format!(
            "Chain(table: \"norwegian-shelf\", season: \"{}\", step: \"{} h\")",
            draw.pick(&["all", "DJF", "MAM", "JJA", "SON"]),
            draw.pick(&[1, 3, 6])
        ),
    };
    let text = format!(
        "(seabed: \"{} msw\", working_depth: \"{depth} msw\", tide_amplitude: \"{} m\", sea_temperature: \"{} degC\", \
         launch_limit: \"{} m\", weather: {weather})",
        depth + draw.between(0, 10),
        tenths(draw.between(0, 40)),
        draw.between(-1, 28),
        tenths(draw.between(15, 50)),
    );
    (text, waves)
}

#[cfg(test)]
mod tests {
    use super::job;
    use deepstay::scenario::{SchemaOf, schema};
    use serde_json::Value;

    /// Each choice of a type in the grammar, by the field of a job's text in which it is written; `never` are
    /// those that no random job makes.
    fn choices(of: SchemaOf, kind: &str, field: &str, never: &[&str]) -> Vec<String> {
        let grammar = serde_json::to_value(schema(of)).expect("a schema is JSON");
        let choices = &grammar["$defs"][kind];
        let mut names: Vec<&str> = Vec::new();
        let strings = |v: &Value| -> Vec<String> {
            let listed = v["enum"].as_array().into_iter().flatten();
            let one = v.get("const").into_iter();
            let required = v["required"].as_array().into_iter().flatten();
            listed
                .chain(one)
                .chain(required)
                .filter_map(|s| s.as_str().map(str::to_owned))
                .collect()
        };
        let each: Vec<String> = match choices["oneOf"].as_array() {
            Some(list) => list.iter().flat_map(strings).collect(),
            None => strings(choices),
        };
        names.extend(each.iter().map(String::as_str));
        names.retain(|n| !never.contains(n));
        assert!(!names.is_empty(), "the grammar has no choices of {kind}");
        names.iter().map(|n| format!("{field}: {n}")).collect()
    }

    #[test]
    fn everything_the_grammar_offers_comes_in_a_hundred_and_fifty_jobs() {
        let mut wanted = choices(SchemaOf::Faults, "FaultWhat", "what", &[]);
        wanted.extend(choices(SchemaOf::Faults, "ValveFile", "valve", &[]));
        wanted.extend(choices(SchemaOf::Faults, "Quantity", "quantity", &["FO2"]));
        wanted.extend(choices(SchemaOf::Plan, "StepWhat", "what", &[]));
        wanted.extend(choices(SchemaOf::Plan, "SlipFile", "slip", &[]));
        let dry = ["Sleep", "Rest", "Chores", "Exercise", "Bellman"];
        wanted.extend(choices(SchemaOf::Plan, "Activity", "work", &dry));
        wanted.extend(choices(SchemaOf::Site, "WeatherFile", "weather", &[]));
        wanted.extend(choices(SchemaOf::Stock, "Duty", "duty", &[]));
        wanted.extend(choices(SchemaOf::Stock, "MixFile", "contents", &[]));
        for field in ["reclaim", "recover_chamber_gas"] {
            wanted.extend(["true", "false"].map(|is| format!("{field}: {is}")));
        }
        for part in [
            "reclaim: (",
            "recovery: (",
            "breathing: ",
            "metabolism: ",
            "rota: [",
            "bell_runs: [",
            "pause: ",
            "moves: [",
        ] {
            wanted.push(part.to_owned());
        }
        wanted.extend(["six-man", "nine-man", "twelve-man"].map(|s| format!("spread: \"{s}\"")));
        let texts: Vec<String> = (0..150).map(|seed| job(seed, 0, 2).text).collect();
        let ends = |rest: &str| !rest.starts_with(|c: char| c.is_ascii_alphanumeric());
        let comes = |word: &String, text: &String| {
            let closed = word.ends_with(|c: char| !c.is_ascii_alphanumeric());
            text.match_indices(word.as_str())
                .any(|(at, _)| closed || ends(&text[at + word.len()..]))
        };
        let never: Vec<&String> = wanted
            .iter()
            .filter(|w| !texts.iter().any(|t| comes(w, t)))
            .collect();
        assert!(never.is_empty(), "never came: {never:?}");
        let faulty = texts.iter().filter(|t| t.contains("planned: [")).count();
        assert!((50..100).contains(&faulty), "{faulty} of 150 with faults");
    }

    #[test]
    fn a_seed_and_an_attempt_make_one_job() {
        assert_eq!(job(7, 0, 2).text, job(7, 0, 2).text);
        assert_ne!(job(7, 0, 2).text, job(7, 1, 2).text);
        assert_ne!(job(7, 0, 2).text, job(8, 0, 2).text);
    }
}
