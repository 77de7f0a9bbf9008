//! The chain behind every number of job.json, rota.json and stock.json of the built-in jobs: each has one, it is added up
//! again from the tables beside it and comes to what is printed, and a figure that was changed does not.

mod cells;
mod made;

use deepstay_core::record::Recorder;
use deepstay_core::units::Units;
use deepstay_job::{Halt, Job, Options};
use deepstay_report::{
    Again, Chain, ExplainError, Folder, JobPapers, explain, explain_all, figures,
};
use deepstay_scenario::{JOBS, JobTexts};
use made::{DAY_S, files, ran, rota, short, study, study_of};
use serde_json::Value;
use std::fs;
use std::sync::Arc;

/// Every number has a chain that agrees, or says why it cannot be added up again: only those named may.
fn walk(what: &str, files: &[(String, Vec<u8>)], kept_nowhere: &[&str]) -> Vec<Chain> {
    let folder = Folder::of(files.to_vec());
    let chains = explain_all(&folder).unwrap_or_else(|bad| panic!("{what}: {bad}"));
    let listed = figures(&folder, "").expect("listed");
    assert_eq!(
        chains.len(),
        listed.len(),
        "{what}: a chain for each number"
    );
    let mut ids: Vec<&str> = chains.iter().map(|c| c.figure.as_str()).collect();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), chains.len(), "{what}: an id is of one number");
    for chain in &chains {
        let id = &chain.figure;
        let (_, path) = id.split_once('/').expect("a file and a path");
        let may = kept_nowhere.iter().any(|begins| path.starts_with(begins));
        match &chain.again {
            Again::Agrees { .. } => assert!(!may, "{what}: {id} can be added up after all"),
            Again::NotFromFiles { why } => assert!(may, "{what}: {id}: {why}"),
            Again::Differs { value, within } => {
                panic!(
                    "{what}: {id} is {} and comes to {value} (within {within})",
                    chain.printed
                )
            }
        }
        for words in [&chain.says, &chain.formula, &chain.unit] {
            assert!(!words.contains(['{', '}']), "{what}: {id}: {words}");
        }
        assert!(!chain.says.is_empty() && !chain.formula.is_empty(), "{id}");
        assert!(
            chain.remarks.is_empty(),
            "{what}: {id}: {:?}",
            chain.remarks
        );
        assert!(
            chain
                .inputs
                .iter()
                .all(|i| i.file.is_some() == i.line.is_some()),
            "{id}"
        );
        // What the rota's judge holds of the house, such as two people in one place, is in no set.
        for rule in chain
            .rules
            .iter()
            .filter(|r| !r.id.starts_with("house.rota."))
        {
            let there = rule.file.is_some() && rule.line.is_some() && rule.column.is_some();
            assert!(there, "{what}: {id}: where is {}", rule.id);
        }
    }
    chains
}

const JOB_COUNTERS: &[&str] = &["seconds_evaluated", "entries", "left_out"];

#[test]
fn every_number_of_the_built_in_jobs_has_a_chain_that_agrees() {
    for (name, days) in [
        ("bad-night", 9),
        ("six-man", 3),
        ("nine-man", 3),
        ("twelve-man", 3),
        ("relief", 3),
    ] {
        walk(name, &ran(name, days, Units::Imperial), JOB_COUNTERS);
    }
    walk("short", short(), JOB_COUNTERS);
}

/// The same from the first second to the last.
#[test]
fn every_number_of_the_whole_built_in_jobs_has_a_chain_that_agrees() {
    for name in ["six-man", "nine-man", "twelve-man"] {
        walk(name, &ran(name, 60, Units::Metric), JOB_COUNTERS);
    }
}

/// Helium in the banks of mix and of oxygen: limits are crossed, and people come to harm.
#[test]
fn every_number_of_a_job_with_harm_has_a_chain_that_agrees() {
    let short = JOBS.iter().find(|j| j.name == "short").expect("built in");
    let filled = [
        (
            r#"contents: Heliox("2 %")"#,
            r#"label: "2 %", contents: Helium"#,
        ),
        ("contents: Oxygen", r#"label: "100 %", contents: Helium"#),
    ];
    let text = filled
        .iter()
        .fold(short.text.to_owned(), |text, (right, wrong)| {
            text.replace(right, wrong)
        });
    let home = tempfile::tempdir().expect("a folder");
    let path = home.path().join("thin.ron");
    fs::write(&path, text).expect("written");
    let files = ran(&path.display().to_string(), 2, Units::Metric);
    let chains = walk("harm", &files, JOB_COUNTERS);
    for list in ["job/people_unwell/", "job/limits_crossed/"] {
        let of = chains.iter().filter(|c| c.figure.starts_with(list));
        assert!(of.clone().count() > 1, "{list}");
        assert!(of.clone().all(|c| c.caution.is_some()), "{list}");
    }
    let limit = chains
        .iter()
        .find(|c| c.figure.contains("ppO2-low-emergency-true/limit"));
    let rules = &limit.expect("crossed").rules;
    assert_eq!(rules.len(), 1, "{rules:?}");
    assert_eq!(rules[0].id, "usn.limit.oxygen.hypoxia");
}

/// A job that was taken up from a page of readings: its rates count from there.
#[test]
fn every_number_of_a_job_from_a_present_has_a_chain_that_agrees() {
    let texts = JobTexts::open("short", None).expect("there");
    let scenario = Arc::new(texts.scenario(&[]).unwrap_or_else(|bad| panic!("{bad}")));
    let follow = |job: &mut Job, to_s: i64| {
        let mut record = Recorder::new(scenario.start_second_of_day);
        while job.now() < to_s && job.advance_to(to_s, &mut record) == Halt::Reached {}
        record
    };
    let mut first = Job::new(scenario.clone(), Options::default());
    follow(&mut first, 6 * 3600);
    let home = tempfile::tempdir().expect("a folder");
    let page = home.path().join("present.ron");
    fs::write(&page, deepstay_job::page(&first)).expect("written");
    let present = deepstay_scenario::whole_present(&page, &scenario);
    let present = present.unwrap_or_else(|bad| panic!("{bad}"));
    let mut job = Job::from_present(scenario.clone(), &present, Options::default());
    let mut record = follow(&mut job, 2 * DAY_S);
    let job = job.finish(&mut record);
    let papers = JobPapers::of(&job, &record, "stopped").made_from(texts.made_from());
    let written = papers.write(&home.path().join("o"), &record, Units::Metric, false);
    let files = files(&written.expect("written"));
    let chains = walk("from a present", &files, JOB_COUNTERS);
    assert!(chains.iter().any(|c| c.figure == "job/from_present/at_s"));
}

#[test]
fn every_number_of_their_rotas_has_a_chain_that_agrees() {
    for job in JOBS {
        let others: &[&str] = if job.name == "short" {
            &["norway"]
        } else {
            &[]
        };
        walk(
            job.name,
            &rota(job.name, others),
            if others.is_empty() {
                &["wishes/"]
            } else {
                &["under/", "wishes/"]
            },
        );
    }
}

#[test]
fn every_number_of_a_gas_study_has_a_chain_that_agrees() {
    let not_kept = ["what_if/"];
    for units in [Units::Metric, Units::Imperial] {
        let (_home, files) = study(units);
        let folder = Folder::of(files.clone());
        let chains = explain_all(&folder).expect("explained");
        for chain in &chains {
            let kept =
                chain.figure.ends_with("base_mean_m3_free") || !chain.figure.contains(not_kept[0]);
            match &chain.again {
                Again::Agrees { .. } => assert!(kept, "{}", chain.figure),
                Again::NotFromFiles { why } => assert!(!kept, "{}: {why}", chain.figure),
                differs @ Again::Differs { .. } => {
                    panic!("{} is {}: {differs:?}", chain.figure, chain.printed)
                }
            }
            assert!(chain.remarks.is_empty(), "{:?}", chain.remarks);
        }
        assert!(
            chains
                .iter()
                .any(|c| c.figure.contains("/rank_correlation/"))
        );
    }
}

/// The same of each built-in job as it is, to its end.
#[test]
fn every_number_of_the_built_in_jobs_studies_has_a_chain_that_agrees() {
    for job in JOBS {
        walk(job.name, &study_of(job.name, 2), &[]);
    }
}

/// Puts another number at the place of each figure in turn: the files do not bear it out, and that is said.
fn each_changed_is_told(files: &[(String, Vec<u8>)], file: &str, counted: impl Fn(&str) -> bool) {
    let at = files
        .iter()
        .position(|(name, _)| name == file)
        .expect("there");
    let root: Value = serde_json::from_slice(&files[at].1).expect("json");
    let mut pointers = Vec::new();
    gather(&root, String::new(), &mut pointers);
    let ids = figures(&Folder::of(files.to_vec()), "").expect("listed");
    assert_eq!(ids.len(), pointers.len());
    for ((id, _), pointer) in ids.iter().zip(&pointers).filter(|((id, _), _)| counted(id)) {
        let mut other = root.clone();
        let number = other.pointer_mut(pointer).expect("there");
        let value = number.as_f64().expect("a number");
        *number = match number.is_i64() || number.is_u64() {
            true => Value::from(value as i64 + 1 + value as i64 / 20),
            false => Value::from(value * 1.05 + 0.1),
        };
        let mut changed = files.to_vec();
        changed[at].1 = serde_json::to_vec(&other).expect("json");
        let chain = explain(&Folder::of(changed), id);
        let chain = chain.unwrap_or_else(|bad| panic!("{id}: {bad}"));
        assert!(chain.differs(), "{id} at {pointer}: {:?}", chain.again);
    }
}

fn gather(value: &Value, at: String, all: &mut Vec<String>) {
    match value {
        Value::Number(_) => all.push(at),
        Value::Object(fields) => {
            for (name, value) in fields {
                gather(value, format!("{at}/{}", name.replace('/', "~1")), all);
            }
        }
        Value::Array(rows) => {
            for (i, value) in rows.iter().enumerate() {
                gather(value, format!("{at}/{i}"), all);
            }
        }
        Value::Null | Value::Bool(_) | Value::String(_) => {}
    }
}

#[test]
fn a_figure_of_a_job_that_was_changed_is_told() {
    // A version of another shape is refused before, and a seed may have been given.
    let not = [
        "job/format",
        "job/seed",
        "job/seconds_evaluated",
        "job/entries",
        "job/left_out",
    ];
    each_changed_is_told(short(), "job.json", |id| !not.contains(&id));
}

#[test]
fn a_figure_of_a_rota_that_was_changed_is_told() {
    // What would be without a wish stands in no file.
    let counted = |id: &str| id != "rota/format" && !id.starts_with("rota/wishes/");
    each_changed_is_told(&rota("short", &[]), "rota.json", counted);
}

/// Of a study those that stand for their kinds.
#[test]
fn a_figure_of_a_study_that_was_changed_is_told() {
    let (_home, files) = study(Units::Metric);
    let not = ["stock/format", "stock/seed", "stock/ample"];
    // A day is the name of its row, and a share of its quantile.
    let names = |id: &str| id.ends_with("/day") || id.ends_with("/p") && id.contains("quantiles");
    let stands = |id: &str| {
        !(not.contains(&id) || names(id) || id.contains("what_if"))
            && (!id.contains("/chance/") || id.contains("day-1/"))
            && (!id.contains("/purposes_m3_free/") || id.contains("blow-down"))
    };
    each_changed_is_told(&files, "stock.json", stands);
}

/// The chain as a reader follows it: by hand, the lines of the ledger that a sum names hold what it adds up.
#[test]
fn a_chain_names_the_lines_that_it_adds_up() {
    let folder = Folder::of(short().clone());
    let chain = explain(&folder, "gas/purposes/bleed/lost to sea and air/He/mol").expect("there");
    assert_eq!(
        chain.figure,
        "job/gas/purposes/bleed/lost-to-sea-and-air/He/mol"
    );
    let ledger = &short()
        .iter()
        .find(|(n, _)| n == "ledger.csv")
        .expect("there")
        .1;
    let lines: Vec<&str> = std::str::from_utf8(ledger).expect("text").lines().collect();
    let mut sum = 0.0;
    for term in &chain.terms {
        let origin = serde_json::to_value(&term.from).expect("json");
        let line: usize = origin["lines"]
            .as_str()
            .expect("lines")
            .parse()
            .expect("one");
        let cells: Vec<&str> = lines[line - 1].split(',').collect();
        assert_eq!(
            (cells[0], cells[4]),
            ("moved", "bleed"),
            "{}",
            lines[line - 1]
        );
        sum += cells[5].parse::<f64>().expect("He");
    }
    let printed: f64 = chain.printed.parse().expect("a number");
    assert!(
        !chain.terms.is_empty() && (sum - printed).abs() < 1e-5,
        "{sum} {printed}"
    );
    assert!(chain.caution.is_some());
    assert!(
        chain
            .rules
            .iter()
            .any(|r| r.id == "usn.decompression.rates" && r.document.contains("US Navy"))
    );
}

#[test]
fn an_input_is_named_with_file_and_line() {
    let folder = Folder::of(short().clone());
    let chain = explain(&folder, "job/gas/banks/M-2/start_mol").expect("there");
    let input = chain
        .inputs
        .iter()
        .find(|i| i.path == "stock.banks[M-2].bottles");
    let input = input.expect("named");
    let text = JOBS
        .iter()
        .find(|j| j.name == "short")
        .expect("built in")
        .text;
    let line = text
        .lines()
        .nth(input.line.expect("a line") - 1)
        .expect("there");
    assert_eq!(input.file.as_deref(), Some("built-in job short"));
    assert!(
        line.contains("M-2") && line.contains(&input.written),
        "{line}"
    );
}

/// The line of a text that a chain names for a rule row.
fn line_of<'t>(text: &'t str, chain: &Chain, id: &str) -> &'t str {
    let rule = chain.rules.iter().find(|r| r.id == id);
    let rule = rule.unwrap_or_else(|| panic!("{id} had no part in {}", chain.figure));
    let line = rule.line.expect("a line");
    text.lines().nth(line - 1).expect("a line of the file")
}

/// A row is named with its file and the line on which its id stands: of a built-in set, of a set's own file beside the job, and
/// of one that is written into the job.
#[test]
fn a_rule_row_is_named_with_file_and_line() {
    const ROW: &str = "usn.decompression.rates";
    const FIGURE: &str = "job/gas/purposes/bleed/lost-to-sea-and-air/He/mol";
    let set = deepstay_rules::builtin_text("demonstration").expect("built in");
    let begins = |line: &str| assert!(line.contains(&format!("id: \"{ROW}\"")), "{line}");
    let chain = explain(&Folder::of(short().clone()), FIGURE).expect("there");
    begins(line_of(set, &chain, ROW));
    let rule = chain.rules.iter().find(|r| r.id == ROW).expect("named");
    let named = "built-in rule set demonstration";
    assert_eq!(rule.file.as_deref(), Some(named));

    let job = JOBS.iter().find(|j| j.name == "short").expect("built in");
    let home = tempfile::tempdir().expect("a folder");
    let own = format!("// The company's own.\n\n{set}");
    fs::write(home.path().join("company.ron"), &own).expect("written");
    let without_format = set.split_once("format: 1,").expect("it has one").1;
    let in_place = format!("rules: (format: 1,\n{without_format}");
    for (name, rules) in [
        ("beside.ron", "rules: \"company.ron\""),
        ("within.ron", in_place.trim_end()),
    ] {
        let text = job.text.replacen("rules: \"demonstration\"", rules, 1);
        assert_ne!(text, job.text);
        let path = home.path().join(name);
        fs::write(&path, &text).expect("written");
        let files = ran(&path.display().to_string(), 9, Units::Metric);
        let folder = Folder::of(files);
        let chain = explain(&folder, FIGURE).expect("there");
        let rule = chain.rules.iter().find(|r| r.id == ROW).expect("named");
        let file = rule.file.as_deref().expect("a file");
        let (in_file, text) = match name {
            "beside.ron" => ("company.ron", &own),
            _ => (name, &text),
        };
        assert!(file.ends_with(in_file), "{file}");
        begins(line_of(text, &chain, ROW));
    }
}

/// A study's minimum names the rows that count, each at its line; so does the minimum that a gas alone is held against.
#[test]
fn a_minimum_names_its_rule_rows() {
    let (_home, files) = study(Units::Metric);
    let folder = Folder::of(files);
    // The minimums are reckoned by another set than the job goes by, which has rows of the same ids.
    let set = deepstay_rules::builtin_text("canada").expect("built in");
    let chain = explain(&folder, "stock/minimums/divers-gas/minimum").expect("there");
    let row = "canada1988.gas.bypass";
    let line = line_of(set, &chain, row);
    assert!(line.contains(row), "{line}");
    assert_eq!(chain.rules.len(), 1, "{:?}", chain.rules);
    let file = chain.rules[0].file.as_deref();
    assert_eq!(file, Some("built-in rule set canada"));
    let alone = explain(&folder, "stock/gases/bottom-mix-2-O2/minimum_m3_free").expect("there");
    assert!(!alone.rules.is_empty());
    assert!(
        alone.rules.iter().all(|r| r.line.is_some()),
        "{:?}",
        alone.rules
    );
}

/// A scenario's file that has changed since: its lines are other lines, and that is said; what the tables hold is added up
/// as before.
#[test]
fn a_scenario_that_has_changed_since_is_told() {
    let (home, files) = study(Units::Metric);
    let path = home.path().join("mine.ron");
    let text = fs::read_to_string(&path).expect("there");
    fs::write(&path, format!("// another line\n{text}")).expect("written");
    let id = "stock/gases/bottom-mix-2-O2/demand_m3_free/mean";
    let chain = explain(&Folder::of(files.clone()), id).expect("there");
    assert!(
        matches!(chain.again, Again::Agrees { .. }),
        "{:?}",
        chain.again
    );
    assert!(chain.inputs.is_empty());
    let told = chain.remarks.join(" ");
    assert!(told.contains("mine.ron has changed since"), "{told}");
    fs::remove_file(&path).expect("gone");
    let chain = explain(&Folder::of(files), id).expect("there");
    let told = chain.remarks.join(" ");
    assert!(told.contains("mine.ron cannot be read now"), "{told}");
}

#[test]
fn what_cannot_be_explained_says_why_and_what_is_near() {
    let folder = Folder::of(short().clone());
    let unknown = explain(&folder, "job/bell_run/in_water")
        .expect_err("none")
        .to_string();
    assert!(
        unknown.contains("the nearest is `job/bell_runs/in_water_h`"),
        "{unknown}"
    );
    let none = explain(&Folder::of(Vec::new()), "job/seed").expect_err("empty");
    assert!(matches!(none, ExplainError::NoSummary { .. }));
    let with = |file: &str, text: &str| {
        let mut files = short().clone();
        let at = files.iter().position(|(n, _)| n == file).expect("there");
        files[at].1 = text.as_bytes().to_vec();
        Folder::of(files)
    };
    let other = explain(
        &with("job.json", r#"{"format": 9, "version": "8.0"}"#),
        "seed",
    );
    let other = other.expect_err("another version").to_string();
    assert!(
        other.contains("format 9") && other.contains("version 8.0"),
        "{other}"
    );
    for broken in ["", "[1, 2", "{}", "no json"] {
        let told = explain(&with("job.json", broken), "seed").expect_err("broken");
        assert!(
            matches!(told, ExplainError::NotASummary { .. }),
            "{broken}: {told}"
        );
    }
    // A table that is gone, or is not what it was, keeps the figure from being added up, and that is said.
    for (text, said) in [
        ("", "no column"),
        ("a,b\n1,2\n", "no column"),
        (
            "alarm,severity,raised (s),stood (s)\nx,limit,soon,1\n",
            "is no number",
        ),
    ] {
        let chain = explain(&with("alarms.csv", text), "alarms/most_in_an_hour").expect("there");
        let Again::NotFromFiles { why } = &chain.again else {
            panic!("{text}: {:?}", chain.again)
        };
        assert!(why.contains("alarms.csv") && why.contains(said), "{why}");
    }
    let gone: Vec<_> = short()
        .iter()
        .filter(|(n, _)| n != "ledger.csv")
        .cloned()
        .collect();
    let chain = explain(&Folder::of(gone), "job/gas/banks/M-1/end_mol").expect("there");
    let Again::NotFromFiles { why } = &chain.again else {
        panic!("{:?}", chain.again)
    };
    assert_eq!(why, "ledger.csv is not in the folder");
}
