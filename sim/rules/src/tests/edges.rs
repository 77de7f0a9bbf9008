//! Figures of a file that are refused on an edge and taken beside it, each in a row that is made up.

use super::{RuleSet, one_row};

#[test]
fn figures_on_the_edge_of_what_can_be_meant() {
    for (section, taken, refused, why) in [
        (
            "umbilicals",
            vec!["StandbyLonger(by_m: 0.1)", "StandbyLonger(by_m: 99.9)"],
            vec!["StandbyLonger(by_m: 0)", "StandbyLonger(by_m: 100)"],
            "no umbilical is longer by 100 m",
        ),
        (
            "umbilicals",
            vec!["BailOutLasts(time: \"1 s\", flow: \"1 L/min\")"],
            vec![
                "BailOutLasts(time: \"0 s\", flow: \"1 L/min\")",
                "BailOutLasts(time: \"1 s\", flow: \"0 L/min\")",
            ],
            "times and flows are positive",
        ),
        (
            "umbilicals",
            vec!["BailOutForTenMetres(time: \"1 s\")"],
            vec!["BailOutForTenMetres(time: \"0 s\")"],
            "times and flows are positive",
        ),
        (
            "treatment_gas",
            vec!["Oxygen(\"1.5 bar\", \"1.6 bar\")"],
            vec![
                "Oxygen(\"1.5 bar\", \"1.5 bar\")",
                "Oxygen(\"1.6 bar\", \"1.5 bar\")",
            ],
            "edges of oxygen and depths rise",
        ),
        (
            "treatment_gas",
            vec![
                "Mixes([(\"20 msw\", \"50 %\"), (\"20.1 msw\", \"40 %\")])",
                "Mixes([(\"20 msw\", \"50 %\")])",
            ],
            vec![
                "Mixes([(\"20 msw\", \"50 %\"), (\"20 msw\", \"40 %\")])",
                "Mixes([(\"20 msw\", \"50 %\"), (\"19.9 msw\", \"40 %\")])",
                "Mixes([])",
            ],
            "edges of oxygen and depths rise",
        ),
    ] {
        let read = |figures: &str| RuleSet::from_ron(&one_row(section, figures), "x.ron");
        for figures in taken {
            assert!(read(figures).is_ok(), "{figures}");
        }
        for figures in refused {
            let told = read(figures).expect_err(figures).to_string();
            assert!(told.contains(why), "{figures}: {told}");
        }
    }
}
