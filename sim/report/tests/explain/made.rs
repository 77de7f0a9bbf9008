//! Folders as the program writes them: of a job, of a rota, of a gas study.

use deepstay_core::record::Recorder;
use deepstay_core::units::Units;
use deepstay_job::{Halt, Job, Options};
use deepstay_report::{JobPapers, RotaPapers, StockPapers, Subject, write_rota, write_stock};
use deepstay_rota::{Against, Appraisal, Found, JudgedBy, against, make};
use deepstay_scenario::{JOBS, JobTexts, Patch, To};
use deepstay_stock::{Basis, Ensemble, Study};
use std::fs;
use std::path::Path;
use std::sync::{Arc, OnceLock};

/// Seconds of a day.
pub const DAY_S: i64 = 86_400;

/// Files that were written, by their names.
pub fn files(paths: &[std::path::PathBuf]) -> Vec<(String, Vec<u8>)> {
    let named = |path: &Path| {
        let name = path.file_name().expect("a name").to_string_lossy();
        (name.into_owned(), fs::read(path).expect("there"))
    };
    paths.iter().map(|p| named(p)).collect()
}

/// The files of a job, of its first days alone where it is long.
pub fn ran(name: &str, days: i64, units: Units) -> Vec<(String, Vec<u8>)> {
    let texts = JobTexts::open(name, None).expect("there");
    let scenario = texts.scenario(&[]).unwrap_or_else(|bad| panic!("{bad}"));
    let scenario = Arc::new(scenario);
    let mut record = Recorder::new(scenario.start_second_of_day);
    let mut job = Job::new(scenario, Options::default());
    while job.now() < days * DAY_S && job.advance_to(days * DAY_S, &mut record) == Halt::Reached {}
    let job = job.finish(&mut record);
    let papers = JobPapers::of(&job, &record, "stopped").made_from(texts.made_from());
    let home = tempfile::tempdir().expect("a folder");
    let written = papers.write(&home.path().join("o"), &record, units, false);
    files(&written.expect("written"))
}

/// The files of its rota, held against other sets.
pub fn rota(name: &str, others: &[&str]) -> Vec<(String, Vec<u8>)> {
    let texts = JobTexts::open(name, None).expect("there");
    let scenario = texts.scenario(&[]).unwrap_or_else(|bad| panic!("{bad}"));
    let by = JudgedBy::own(&scenario, &scenario.accepted);
    let asked = by.ask(&scenario).expect("answers");
    let mut tries = 0;
    let mut few = |_: &Found| {
        tries += 1;
        tries < 200
    };
    let made = make(&asked.problem, &by.rules, &by.accepted, &mut few);
    let appraisal = Appraisal::made(made.expect("a rota"), &asked);
    let named = |set: &&str| JudgedBy::named(set, &scenario.accepted).expect("built in");
    let others: Vec<JudgedBy> = others.iter().map(named).collect();
    let at_hand = Against {
        rota: &appraisal.rota,
        worth: appraisal.worth,
        events: None,
    };
    let under = against(&scenario, (&by, &others), at_hand, |_| |_: &Found| false);
    let mut subject = Subject::from(&scenario);
    subject.made_from = texts.made_from();
    let papers = RotaPapers::of((&subject, &scenario), &appraisal, &by, &under);
    let home = tempfile::tempdir().expect("a folder");
    let written = write_rota(&home.path().join("o"), &papers.inputs(Units::Metric), false);
    files(&written.expect("written"))
}

/// What a job of two days draws of the reclaim and of the divers: both move what is drawn.
pub const STUDY: &str = r#"    study: (reserve: ["canada"], planner: (spare_absorbent: "30 kg", spare_absorbent_bell: "3 kg"), uncertain: [
        (name: "breathing", inputs: ["crew.breathing"], source: "this test",
         law: Triangular(low: "0.8", likely: "1", high: "1.3")),
        (name: "recovery", inputs: ["stock.reclaim.recovery"], source: "this test too",
         law: Triangular(low: "80 %", likely: "88 %", high: "95 %")),
    ]),
"#;

/// A study of a short job in a file of its own, with what if; the folder of that file is kept.
pub fn study(units: Units) -> (tempfile::TempDir, Vec<(String, Vec<u8>)>) {
    let short = JOBS.iter().find(|j| j.name == "short").expect("built in");
    let mut text = short.text.to_owned();
    for (long, cut) in [
        ("at: \"3d 16:00\"", "at: \"1d 18:00\""),
        ("last: \"3d 08:00\"", "last: \"1d 08:00\""),
        ("end: \"8 d\"", "end: \"2 d\""),
    ] {
        assert!(text.contains(long), "{long}");
        text = text.replace(long, cut);
    }
    text.truncate(text.find("    study: (").expect("a study of its own"));
    text.push_str(STUDY);
    text.push_str(")\n");
    let home = tempfile::tempdir().expect("a folder");
    let path = home.path().join("mine.ron");
    fs::write(&path, text).expect("written");
    let name = path.display().to_string();
    let ensemble = |set: &[Patch]| {
        let texts = JobTexts::open(&name, None).expect("there");
        Ensemble::new(texts, set.to_vec(), None, 1.0).unwrap_or_else(|bad| panic!("{bad}"))
    };
    let basis = Basis::of_scenario(&name).supplier(Some("north-quay"));
    let mut study = Study::of(ensemble(&[]), None);
    study.run(0..5, &|| false, &|| ());
    let set = Patch {
        path: "stock.reclaim.recovery".into(),
        to: To::Text("70 %".into()),
    };
    let words = ["stock.reclaim.recovery=70 %".to_owned()];
    study.what_if((&words, &ensemble(&[set])), &basis, &|| false, &|| ());
    let conclusion = study.conclude(&basis).unwrap_or_else(|bad| panic!("{bad}"));
    let mut subject = Subject::from(&*study.ensemble.base);
    subject.made_from = study.ensemble.texts().made_from();
    let papers = StockPapers::of(&subject, &study, &conclusion, units);
    let written = write_stock(&home.path().join("o"), &papers, false).expect("written");
    let files = files(&written);
    (home, files)
}

/// A study of a built-in job as it is, of a few whole jobs.
pub fn study_of(name: &str, jobs: u64) -> Vec<(String, Vec<u8>)> {
    let texts = JobTexts::open(name, None).expect("built in");
    let ensemble =
        Ensemble::new(texts, Vec::new(), None, 1.0).unwrap_or_else(|bad| panic!("{bad}"));
    let basis = Basis::of_scenario(name).supplier(Some("north-quay"));
    let mut study = Study::of(ensemble, None);
    study.run(0..jobs, &|| false, &|| ());
    let conclusion = study.conclude(&basis).unwrap_or_else(|bad| panic!("{bad}"));
    let mut subject = Subject::from(&*study.ensemble.base);
    subject.made_from = study.ensemble.texts().made_from();
    let papers = StockPapers::of(&subject, &study, &conclusion, Units::Metric);
    let home = tempfile::tempdir().expect("a folder");
    let written = write_stock(&home.path().join("o"), &papers, false).expect("written");
    files(&written)
}

/// The files of the short job.
pub fn short() -> &'static Vec<(String, Vec<u8>)> {
    static SHORT: OnceLock<Vec<(String, Vec<u8>)>> = OnceLock::new();
    SHORT.get_or_init(|| ran("short", 9, Units::Metric))
}
