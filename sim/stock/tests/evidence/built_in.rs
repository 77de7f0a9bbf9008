//! The built-in jobs are good practice: each begins above every minimum of the rule sets it names, with the way home in
//! it, and in sampled jobs its stock lasts.

use deepstay_scenario::JobTexts;
use deepstay_stock::{Basis, Ensemble, Study};

/// Sampled jobs of each; a hundred of each are run by hand.
const SAMPLED: u64 = 2;

#[test]
fn stocks_meet_their_minimums_and_last() {
    for name in ["short", "six-man", "nine-man", "twelve-man"] {
        let texts = JobTexts::open(name, None).expect("built in");
        let ensemble = Ensemble::new(texts, Vec::new(), None, 1.0);
        let mut study = Study::of(ensemble.unwrap_or_else(|bad| panic!("{bad}")), None);
        assert!(
            !study.ensemble.sources.is_empty(),
            "{name}: nothing is drawn"
        );
        study.run(0..SAMPLED, &|| false, &|| ());
        let concluded = study.conclude(&Basis::of_scenario(name));
        let concluded = concluded.unwrap_or_else(|bad| panic!("{bad}"));
        let answer = &concluded.answer;
        assert_eq!(answer.jobs as u64, SAMPLED, "{name}");
        let unmet: Vec<&String> = concluded
            .remarks
            .iter()
            .filter(|r| r.contains("is not met"))
            .collect();
        assert!(
            concluded.together.all_met() && unmet.is_empty(),
            "{name}: {unmet:?}"
        );
        assert_eq!(answer.cut_short.hits, 0, "{name}: a stock ran out");
        assert_eq!(answer.not_surfaced.hits, 0, "{name}");
        let last = answer.chance.last().expect("days");
        assert_eq!(
            (last.minimum.hits, last.stopped.hits),
            (0, 0),
            "{name}: below a minimum"
        );
        assert!(!concluded.runs_short(), "{name}");
    }
}

/// Relief and the bad night draw nothing, and begin above every minimum too.
#[test]
fn the_others_begin_above_their_minimums() {
    for name in ["relief", "bad-night"] {
        let texts = JobTexts::open(name, None).expect("built in");
        let ensemble = Ensemble::new(texts, Vec::new(), None, 1.0);
        let study = Study::of(ensemble.unwrap_or_else(|bad| panic!("{bad}")), None);
        let concluded = study.conclude(&Basis::of_scenario(name));
        let concluded = concluded.unwrap_or_else(|bad| panic!("{bad}"));
        assert!(
            concluded.together.all_met(),
            "{name}: {:?}",
            concluded.remarks
        );
    }
}
