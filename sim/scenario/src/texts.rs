//! The texts of a job, read once: a scenario is made of them as often as wanted, each time with other
//! inputs patched. A study of many jobs is made so, and one answer beside another.

use super::Scenario;
use super::build::Made;
use super::load::{find_job, read_job, read_patched};
use super::sources::{Kept, Placed, TextSources, is_path};
use deepstay_core::digest::Digest;
use deepstay_read::{
    Diagnostics, Document, Node, Patch, PatchError, Path, PathPattern, Place, Step,
};
use std::path::{Path as FilePath, PathBuf};
use std::sync::{Arc, OnceLock};

/// The parts of a job, as they are named in its file.
pub(super) const PARTS: [&str; 11] = [
    "spread", "rules", "site", "crew", "stock", "plan", "work", "faults", "study", "harm", "voices",
];

/// A file that a scenario was made of, as it was then.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MadeFrom {
    /// The file as it was named, or the name of what is built in.
    pub file: String,
    /// Digest of its text.
    pub digest: u64,
}

/// An input, what is written there, and where.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WrittenInput {
    /// Its own path, with elements by their names where they have one.
    pub path: String,
    /// What is written there; nothing where the input is left out.
    pub written: String,
    /// Where; none where it is left out.
    pub place: Option<Place>,
}

/// The texts of a job.
pub struct JobTexts {
    file: String,
    text: String,
    /// What the text says; none where it breaks the notation.
    document: Result<Arc<Document>, Diagnostics>,
    folder: Option<PathBuf>,
    rule_set: Option<String>,
    kept: Kept,
    /// What the texts make where nothing is patched and nothing wrong.
    base: OnceLock<Option<Made>>,
}

impl JobTexts {
    /// The texts of a built-in job or of a job's file, under another built-in rule set where one is named.
    ///
    /// # Errors
    /// There is no such job, or its file cannot be read. What is wrong in it is told when a scenario is made.
    pub fn open(name: &str, rule_set: Option<&str>) -> Result<JobTexts, Diagnostics> {
        let (file, text, folder) = find_job(name)?;
        // A file of rules is looked for from where the program was started, and not beside the job.
        let rule_set = rule_set.map(|set| match is_path(set) {
            true => std::path::absolute(set).map_or(set.to_owned(), |p| p.display().to_string()),
            false => set.to_owned(),
        });
        let of = rule_set.as_deref();
        Ok(JobTexts::of(&text, &file, folder.as_deref(), of))
    }

    /// A job's text; parts that it names are looked for in `folder`.
    pub fn of(
        text: &str,
        file: &str,
        folder: Option<&FilePath>,
        rule_set: Option<&str>,
    ) -> JobTexts {
        JobTexts {
            file: file.to_owned(),
            text: text.to_owned(),
            document: Document::parse(file, text).map(Arc::new),
            folder: folder.map(FilePath::to_owned),
            rule_set: rule_set.map(str::to_owned),
            kept: Kept::default(),
            base: OnceLock::new(),
        }
    }

    /// The scenario, with inputs patched.
    ///
    /// # Errors
    /// Everything found wrong, the patches among it.
    pub fn scenario(&self, patches: &[Patch]) -> Result<Scenario, Diagnostics> {
        let document = self.document.clone()?;
        let mut placed = Vec::new();
        for patch in patches {
            let place = PathPattern::parse(&patch.path).and_then(|p| self.place(&document, p));
            let (part, pattern) = place.map_err(|why| why.told(&patch.path))?;
            placed.push(Placed {
                part,
                pattern,
                given: patch.path.clone(),
                to: patch.to.clone(),
            });
        }
        let mut patched = document;
        for patch in placed.iter().filter(|p| p.part.is_empty()) {
            let made = patched.patched(&patch.pattern, &patch.to);
            patched = Arc::new(made.map_err(|why| why.told(&patch.given))?);
        }
        let sources = self.sources(&placed);
        if patches.is_empty() {
            // What is wrong is told anew each time: a file may have been mended.
            let made = read_job(&patched, &sources, self.rule_set.as_deref())?;
            return Ok(made.scenario);
        }
        if let Some(scenario) = self.quickly(&patched, &placed) {
            return Ok(scenario);
        }
        read_job(&patched, &sources, self.rule_set.as_deref()).map(|made| made.scenario)
    }

    /// As [`JobTexts::scenario`], of the patched texts written out, read again and checked as a whole.
    #[cfg(test)]
    fn wholly(&self, patches: &[Patch]) -> Result<Scenario, Diagnostics> {
        let document = self.document.clone()?;
        let mut text = document.text();
        let mut named = Vec::new();
        for patch in patches {
            let told = |why: PatchError| why.told(&patch.path);
            let pattern = PathPattern::parse(&patch.path).map_err(told)?;
            let (part, pattern) = self.place(&document, pattern).map_err(told)?;
            if part.is_empty() {
                let own = Document::parse(&self.file, &text)?;
                text = own.patched(&pattern, &patch.to).map_err(told)?.text();
            } else {
                named.push(Placed {
                    part,
                    pattern,
                    given: patch.path.clone(),
                    to: patch.to.clone(),
                });
            }
        }
        let own = Arc::new(Document::parse(&self.file, &text)?);
        read_job(&own, &self.sources(&named), None).map(|made| made.scenario)
    }

    /// The scenario of patched texts, made of the one without patches; none where that has a fault, where
    /// the patched one has, or where more is patched than parts.
    fn quickly(&self, patched: &Arc<Document>, placed: &[Placed]) -> Option<Scenario> {
        let base = self.base.get_or_init(|| {
            let own = self.document.as_ref().ok()?;
            read_job(own, &self.sources(&[]), self.rule_set.as_deref()).ok()
        });
        let mut touched: Vec<&str> = Vec::new();
        for patch in placed {
            let first = patch.pattern.first();
            let part = if patch.part.is_empty() {
                &first
            } else {
                &patch.part
            };
            let part = *PARTS.iter().find(|known| *known == part)?;
            if !touched.contains(&part) {
                touched.push(part);
            }
        }
        read_patched(patched, &touched, base.as_ref()?, &self.sources(placed))
    }

    fn sources<'a>(&'a self, patches: &'a [Placed]) -> TextSources<'a> {
        TextSources {
            folder: self.folder.as_deref(),
            kept: &self.kept,
            patches,
        }
    }

    /// Every single input that a path leads to: its own path, with elements by their names where they have
    /// one, and what is written there; nothing where the input is left out.
    ///
    /// # Errors
    /// The path leads nowhere.
    pub fn inputs(&self, path: &str) -> Result<Vec<(String, String)>, Diagnostics> {
        let all = self.written(path)?.into_iter();
        Ok(all.map(|one| (one.path, one.written)).collect())
    }

    /// As [`JobTexts::inputs`], with the place where each is written.
    ///
    /// # Errors
    /// The path leads nowhere.
    pub fn written(&self, path: &str) -> Result<Vec<WrittenInput>, Diagnostics> {
        let bad = |why: PatchError| why.told(path);
        let own = self.document.clone()?;
        let pattern = PathPattern::parse(path).map_err(bad)?;
        let (part, pattern) = self.place(&own, pattern).map_err(bad)?;
        let document = self.part_document(&own, &part).unwrap_or(own);
        let paths = document.paths(&pattern).map_err(bad)?;
        let each = |path: Path| {
            let mut named = part.clone();
            for (i, step) in path.0.iter().enumerate() {
                match step {
                    Step::Field(name) if named.is_empty() => named.push_str(name),
                    Step::Field(name) => named.push_str(&format!(".{name}")),
                    Step::Index(at) => {
                        let element = document.root().at(&path.0[..=i]);
                        let name = element.and_then(Node::own_name);
                        let name = name.map_or_else(|| at.to_string(), str::to_owned);
                        named.push_str(&format!("[{name}]"));
                    }
                }
            }
            let there = document.root().at(&path.0);
            WrittenInput {
                path: named,
                written: there.map_or("", Node::written).to_owned(),
                place: there.map(|_| document.place(&path)),
            }
        };
        Ok(paths.into_iter().map(each).collect())
    }

    /// The files that the scenarios made so far were made of: the job's own first, then its parts, those
    /// that are built in among them.
    pub fn made_from(&self) -> Vec<MadeFrom> {
        let of = |(file, text): (String, String)| MadeFrom {
            digest: Digest::of(text.as_bytes()),
            file,
        };
        let mut all = vec![of((self.file.clone(), self.text.clone()))];
        let parts = self.kept.documents().into_iter().chain(self.kept.texts());
        for part in parts.map(of) {
            if !all.contains(&part) {
                all.push(part);
            }
        }
        all
    }

    /// Every text that the scenario is made of, for a fingerprint: names and texts in order.
    pub fn texts(&self) -> Vec<(String, String)> {
        let mut all = vec![(self.file.clone(), self.text.clone())];
        all.extend(self.kept.texts());
        all
    }

    /// The part that a pattern is in, and the pattern within its file; no part for what is in the job's own.
    fn place(
        &self,
        own: &Arc<Document>,
        mut pattern: PathPattern,
    ) -> Result<(String, PathPattern), PatchError> {
        let first = pattern.first();
        let has = own.root().field_names().any(|name| name == first);
        if !has && !PARTS.contains(&first.as_str()) {
            // Of the parts that have such a field, the one that the path goes furthest into is meant.
            // A plain value, into which no path goes, counts for half a step less.
            let depth = |part: &str| {
                let document = self.part_document(own, part)?;
                let within = |upto: usize| {
                    let pattern = pattern.upto(upto);
                    let named = named_part(own, part).is_some();
                    document.leads(&if named { pattern } else { pattern.within(part) })
                };
                let goes = (1..=pattern.len()).map(within);
                let (last, goes_on) = goes
                    .take_while(Option::is_some)
                    .flatten()
                    .enumerate()
                    .last()?;
                Some(2 * (last + 1) + usize::from(goes_on))
            };
            let found: Vec<(&str, usize)> = PARTS
                .into_iter()
                .filter_map(|part| Some((part, depth(part)?)))
                .collect();
            let deepest = found.iter().map(|(_, depth)| *depth).max();
            let mut parts = found.iter().filter(|(_, depth)| Some(*depth) == deepest);
            match (parts.next(), parts.next()) {
                (Some((part, _)), None) => pattern = pattern.within(part),
                (Some(_), Some(_)) => return Err(PatchError::Ambiguous(first)),
                (None, _) => {}
            }
        }
        let part = pattern.first();
        let named = PARTS.contains(&part.as_str()) && named_part(own, &part).is_some();
        if named && pattern.len() > 1 {
            Ok((part, pattern.past(1)))
        } else {
            Ok((String::new(), pattern))
        }
    }

    /// The document that a part is in.
    fn part_document(&self, own: &Arc<Document>, part: &str) -> Option<Arc<Document>> {
        own.root().field(part)?;
        let Some(name) = named_part(own, part) else {
            return Some(own.clone());
        };
        let known = match part {
            "spread" => ("spread", super::SPREADS),
            "harm" => ("part", super::HARM),
            "voices" => ("part", super::VOICES),
            _ => ("part", &[][..]),
        };
        self.sources(&[]).document(name, known).ok()
    }
}

/// What a part is named, where it is not written in place.
fn named_part<'a>(own: &'a Document, part: &str) -> Option<&'a str> {
    own.root().field(part)?.text()
}
#[cfg(test)]
mod tests {
    use super::*;
    use deepstay_read::To;

    fn texts() -> JobTexts {
        JobTexts::open("six-man", None).expect("built in")
    }

    fn set(way: &str, to: &str) -> Result<Scenario, Diagnostics> {
        texts().scenario(&[Patch {
            path: way.into(),
            to: To::Text(to.into()),
        }])
    }

    /// What is complained of first: where, what, and what would be right.
    fn refused(way: &str, to: &str) -> (String, String, String) {
        let bad = set(way, to).expect_err("refused");
        let first = bad.all.into_iter().next().expect("one");
        (
            first.place.path,
            first.wrong.to_string(),
            first.remedy.unwrap_or_default(),
        )
    }

    #[test]
    fn the_part_may_be_left_out_where_the_way_tells_it() {
        for way in ["stock.reclaim.recovery", "reclaim.recovery"] {
            let recovery = set(way, "0.8")
                .expect("a scenario")
                .steel
                .reclaim
                .expect("reclaim")
                .recovery;
            assert_eq!(recovery, 0.8);
        }
        assert_eq!(
            set("compartments[Living].volume", "30 m3")
                .expect("a scenario")
                .steel
                .compartments[0]
                .volume_m3,
            30.0
        );
    }

    #[test]
    fn an_input_that_is_left_out_may_be_set() {
        let heavy = set("crew.breathing", "1.5").expect("a scenario");
        let base = texts().scenario(&[]).expect("a scenario");
        let breathes = |s: &Scenario| {
            s.rates
                .rows
                .iter()
                .map(|r| r.rate.ventilation_l_min)
                .sum::<f64>()
        };
        assert!(breathes(&heavy) > breathes(&base));
        assert_eq!(
            set("log_every", "1 h").expect("a scenario").log_every_s,
            3600
        );
    }

    /// What stands in a remark is no input, however remarks are nested: what a diver breathes is what was
    /// set, half as much again.
    #[test]
    fn a_remark_around_an_input_changes_nothing() {
        let text = crate::JOBS[0].text;
        let remark = "/* outer /* inner */ still, crew: (breathing: 9) */ crew: (";
        let text = text.replacen("crew: (", remark, 1);
        let breathes = |s: &Scenario| -> f64 {
            let water = s
                .rates
                .rows
                .iter()
                .filter(|r| deepstay_crew::in_water(r.activity));
            water.map(|r| r.rate.ventilation_l_min).sum()
        };
        let of = |patches: &[Patch]| {
            let made = JobTexts::of(&text, "mine.ron", None, None).scenario(patches);
            breathes(&made.unwrap_or_else(|bad| panic!("{bad}")))
        };
        let more = Patch {
            path: "crew.breathing".into(),
            to: To::Text("1.5".into()),
        };
        let ratio = of(&[more]) / of(&[]);
        assert!((ratio - 1.5).abs() < 1e-12, "{ratio}");
    }

    #[test]
    fn what_cannot_be_set_says_what_there_is() {
        let (path, wrong, right) = refused("stock.reclaim.recovry", "0.8");
        assert_eq!(
            (path.as_str(), right.as_str()),
            ("stock.reclaim", "did you mean `recovery`?"),
            "{wrong}"
        );
        let (_, wrong, _) = refused("reclaim.recovery", "1.2");
        assert!(wrong.contains("a share"), "{wrong}");
        let (_, wrong, right) = refused("breething", "1.2");
        assert!(
            wrong.contains("unknown field `breething`"),
            "{wrong} {right}"
        );
    }

    #[test]
    fn every_input_of_a_way_has_its_own() {
        let leaks = texts()
            .inputs("spread.compartments[*].leak")
            .expect("leaks");
        let ways: Vec<&str> = leaks.iter().map(|(way, _)| way.as_str()).collect();
        assert_eq!(ways[0], "spread.compartments[Living].leak");
        assert_eq!(ways.len(), 6, "{ways:?}");
        assert!(leaks[0].1.contains("0.3 %/d"));
        assert_eq!(
            texts().inputs("crew.breathing").expect("left out"),
            [("crew.breathing".to_owned(), String::new())]
        );
    }

    /// An input is found at its line, in the job's own file and in a part that it names; one that is left out has none.
    #[test]
    fn an_input_has_its_file_and_line() {
        let texts = texts();
        let one = |path: &str| {
            let found = texts.written(path).expect("leads somewhere");
            found.into_iter().next().expect("one")
        };
        let line = |text: &str, what: &str| {
            let before = &text[..text.find(what).expect("is there")];
            before.matches('\n').count() + 1
        };
        let recovery = one("stock.reclaim.recovery").place.expect("written");
        assert_eq!(recovery.file, "six-man");
        assert_eq!(recovery.line, line(crate::JOBS[0].text, "recovery: "));
        let leak = one("spread.compartments[Living].leak");
        let place = leak.place.expect("written");
        assert_eq!(place.file, "built-in spread six-man");
        assert_eq!(place.line, line(crate::SPREADS[0].text, "leak: "));
        assert_eq!(one("crew.breathing").place, None);
    }

    /// What a job was made of is told by digests: another text of one file is another digest, of that file alone.
    #[test]
    fn what_a_job_was_made_of_is_told() {
        let of = |text: &str| {
            let texts = JobTexts::of(text, "mine.ron", None, None);
            texts.scenario(&[]).expect("a scenario");
            texts.made_from()
        };
        let text = crate::JOBS[0].text;
        let (first, other) = (of(text), of(&text.replacen("seed: 1", "seed: 2", 1)));
        assert_eq!(first[0].file, "mine.ron");
        assert!(first.iter().any(|m| m.file == "built-in spread six-man"));
        assert_ne!(first[0], other[0]);
        assert_eq!(first[1..], other[1..]);
        assert_eq!(first, of(text));
    }

    /// Time on a processor so far of this thread, s.
    #[cfg(target_os = "linux")]
    fn processor_s() -> f64 {
        let all = std::fs::read_to_string("/proc/thread-self/schedstat").expect("is told");
        let first = all.split(' ').next().and_then(|ns| ns.parse::<f64>().ok());
        first.expect("a number") * 1e-9
    }

    /// What a study draws for each job of the six-man job.
    fn drawn(by: f64) -> Vec<Patch> {
        let patch = |path: &str, to| Patch {
            path: path.into(),
            to,
        };
        vec![
            patch("crew.breathing", To::Text(format!("{}", by))),
            patch("stock.reclaim.recovery", To::Text(format!("{}", 0.88 * by))),
            patch("spread.compartments[*].leak", To::Times(by)),
            patch("plan.routine.stores_per_day", To::Text("2".into())),
            patch(
                "plan.rota[*].in_water",
                To::Plus(format!("{} s", (60.0 * by) as i64)),
            ),
            patch("plan.end", To::Plus("1 d".into())),
        ]
    }

    #[test]
    #[cfg(target_os = "linux")]
    #[ignore = "prints how long a sampled job takes to be made"]
    fn speed_of_a_patch() {
        let texts = texts();
        let mut cases: Vec<(String, Vec<Patch>)> = drawn(0.99)
            .into_iter()
            .map(|p| (p.path.clone(), vec![p]))
            .collect();
        cases.push(("all of them".into(), drawn(0.99)));
        cases.push(("none".into(), Vec::new()));
        for (what, patches) in cases {
            let times = 200;
            let began = processor_s();
            for _ in 0..times {
                let made = texts.scenario(&patches);
                assert!(made.is_ok(), "{made:?}");
            }
            let each_ms = (processor_s() - began) * 1e3 / f64::from(times);
            println!("{what}: {each_ms:.3} ms of a processor");
        }
    }

    /// A job that is patched is the job of the patched texts, read and checked as a whole.
    mod patched_is_whole {
        use super::*;
        use proptest::prelude::*;

        /// Every path of a job and its parts to a plain value, as patches name it.
        fn leaves(texts: &JobTexts) -> Vec<String> {
            let own = texts.document.as_ref().expect("is read");
            let mut all = Vec::new();
            for part in PARTS.iter().filter(|p| **p != "rules") {
                let Some(document) = texts.part_document(own, part) else {
                    continue;
                };
                let named = named_part(own, part).is_some();
                let root = if named {
                    Some(document.root())
                } else {
                    own.root().field(part)
                };
                if let Some(root) = root {
                    gather(root, part, &mut all);
                }
            }
            all.extend(["seed", "log_every", "name", "start"].map(str::to_owned));
            all
        }

        fn gather(node: &Node, at: &str, all: &mut Vec<String>) {
            let mut fields = node.field_names().peekable();
            if fields.peek().is_some() {
                for name in fields {
                    gather(
                        node.field(name).expect("is there"),
                        &format!("{at}.{name}"),
                        all,
                    );
                }
            } else if node.count() > 0 {
                for i in 0..node.count() {
                    let inner = node.child(&Step::Index(i)).expect("is there");
                    gather(inner, &format!("{at}[{i}]"), all);
                }
            } else {
                all.push(at.to_owned());
            }
        }

        fn values() -> impl Strategy<Value = To> {
            prop_oneof![
                (0.2..3.0_f64).prop_map(To::Times),
                Just(To::Times(0.0)),
                Just(To::Plus("1 d".into())),
                Just(To::Plus("-2 h".into())),
                Just(To::Plus("5 msw".into())),
                prop_oneof![
                    Just("0.5"),
                    Just("5"),
                    Just("95 %"),
                    Just("200 msw"),
                    Just("3 d"),
                    Just("06:30"),
                    Just("Living"),
                    Just("AB"),
                    Just("nonsense"),
                    Just(""),
                    Just("true"),
                    Just("-1"),
                    Just("[]"),
                    Just("(1, 2"),
                ]
                .prop_map(|t| To::Text(t.into())),
            ]
        }

        fn hold(texts: &JobTexts, patches: &[Patch]) {
            let quick = texts.scenario(patches);
            // The same texts as they would be written with the patches in them.
            let fresh = JobTexts::of(&texts.text, &texts.file, None, None);
            let whole = fresh.wholly(patches);
            match (&quick, &whole) {
                (Ok(quick), Ok(whole)) => assert_eq!(format!("{quick:?}"), format!("{whole:?}")),
                (Err(quick), Err(whole)) => assert_eq!(quick, whole),
                _ => panic!("{patches:?}: {quick:?} {whole:?}"),
            }
        }

        proptest! {
            #![proptest_config(ProptestConfig::with_cases(150))]

            #[test]
            fn for_any_path_and_value(
                job in 0..crate::JOBS.len(),
                picks in proptest::collection::vec((any::<proptest::sample::Index>(), values()), 1..4),
            ) {
                let texts = JobTexts::open(crate::JOBS[job].name, None).expect("built in");
                let leaves = leaves(&texts);
                let patches: Vec<Patch> = picks
                    .into_iter()
                    .map(|(at, to)| Patch { path: leaves[at.index(leaves.len())].clone(), to })
                    .collect();
                hold(&texts, &patches);
                // Again, when the job without patches has been made already.
                hold(&texts, &patches);
            }
        }

        #[test]
        fn for_what_a_study_draws() {
            let texts = texts();
            for by in [0.9, 1.0, 1.05] {
                hold(&texts, &drawn(by));
            }
        }
    }
}
