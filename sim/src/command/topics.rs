//! What `deepstay help TOPIC` says: conventions, units, the status of a rule, exit codes. Lists are made from what the
//! library itself reads and chooses by, so that help cannot fall behind.

use super::exit;
use crate::CAUTION;
use crate::report::status_words;
use crate::rules::Status;
use crate::sums::{Choice, Convention};
use crate::units::text::kinds_of::KINDS;
use crate::units::{FREE_WORDS, Units};

/// A topic of the help.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Topic {
    /// What a number means: the conventions of jobs and of sums.
    Conventions,
    /// How quantities are written.
    Units,
    /// How a rule's figure came to us.
    Status,
    /// What an end is worth.
    ExitCodes,
}

impl Topic {
    /// All of them.
    pub const ALL: [Topic; 4] = [
        Topic::Conventions,
        Topic::Units,
        Topic::Status,
        Topic::ExitCodes,
    ];

    /// Its name, and what it is about.
    pub fn words(self) -> (&'static str, &'static str) {
        match self {
            Topic::Conventions => ("conventions", "what a number of a job or a sum means"),
            Topic::Units => ("units", "how quantities are written in files and inputs"),
            Topic::Status => ("status", "how a figure of a rule or a sum came to us"),
            Topic::ExitCodes => ("exit-codes", "what each exit code says"),
        }
    }

    /// The topic of a name.
    pub fn named(name: &str) -> Option<Topic> {
        Topic::ALL.into_iter().find(|t| t.words().0 == name)
    }

    /// What it says, a paragraph or a row a line; a row begins with two blanks.
    pub fn lines(self) -> Vec<String> {
        let mut lines = match self {
            Topic::Conventions => conventions(),
            Topic::Units => units(),
            Topic::Status => status(),
            Topic::ExitCodes => exit_codes(),
        };
        lines.push(String::new());
        lines.push(CAUTION.to_owned());
        lines
    }
}

fn conventions() -> Vec<String> {
    let mut lines = vec![
        "Of jobs, rotas and studies".to_owned(),
        "  A depth is gauge pressure: 1 msw is 0.1 bar, 1 fsw is 0.30643 msw (the unit table of the US Navy Diving Manual, second-hand; 33.066 fsw to the atmosphere). A rule set may count its own feet 33 to the atmosphere, as the hand sums and the figures of lost pressure do; a foot is then 0.2 % longer.".to_owned(),
        "  A partial pressure is mole fraction times absolute pressure. A gauge of a bank reads over the surface.".to_owned(),
        format!("  Gas in banks and chambers is real (density virial). Amounts are printed as {FREE_WORDS}, gross: what comes back is never set off against what goes out."),
        "  Indicated is what an instrument shows, true is what is there. Who decides in a job knows only what is indicated.".to_owned(),
        "  Times are the vessel's, one offset from UTC for a whole job; days of a job are counted from 1.".to_owned(),
        "  Where a figure of job.json, rota.json or stock.json comes from, `deepstay explain FIGURE` says, with the folder after --in.".to_owned(),
        String::new(),
        "Of sums: as the school or the handbook does, or otherwise, by an option of `deepstay sums`".to_owned(),
    ];
    for choice in Choice::ALL {
        let (name, [hand, other]) = choice.spelling();
        for (word, convention) in [
            (hand, Convention::HAND),
            (other, Convention::HAND.flipped(choice)),
        ] {
            let metric = convention.words(choice, Units::Metric);
            let imperial = convention.words(choice, Units::Imperial);
            let words = match metric == imperial {
                true => metric.to_owned(),
                false => format!("{metric}; in feet and pounds: {imperial}"),
            };
            lines.push(format!("  --{name} {word}: {words}"));
        }
    }
    lines
}

fn units() -> Vec<String> {
    let mut lines = vec![
        "A quantity is a number and its unit, with a point and no thousands marks: \"118 msw\", \"0.42 bar\", \"64 x 50 L at 200 bar\". What a unit means is said by what is asked for: \"200 bar\" is absolute for an absolute pressure and over the surroundings for a gauge pressure, and bara, barg, psia and psig say which.".to_owned(),
        "A length of time is \"6 h\", \"90 min\", \"6 h 30 min\", \"06:30\" or \"2d 06:30\".".to_owned(),
        String::new(),
    ];
    let mut told: Vec<&str> = Vec::new();
    for kind in KINDS {
        if !told.contains(&kind.noun()) {
            told.push(kind.noun());
            lines.push(format!(
                "  {}: {}, like \"{}\"",
                kind.noun(),
                kind.list(),
                kind.example()
            ));
        }
    }
    lines
}

fn status() -> Vec<String> {
    let all = [
        Status::Seen,
        Status::SecondHand,
        Status::Recalled,
        Status::Derived,
        Status::HouseRule,
    ];
    let mut lines = vec![
        "Every figure of a rule set, and the formula of every sum, carries its document and one of these words.".to_owned(),
        String::new(),
    ];
    lines.extend(all.map(|s| format!("  {s}: {}", status_words(s))));
    lines.push(String::new());
    lines.push("A figure from memory is used only where a job names its id under `accept_recalled`. A question to which a rule set has no usable row is refused, with the row that is missing: `deepstay check --matrix` shows which job runs under which set.".to_owned());
    lines
}

fn exit_codes() -> Vec<String> {
    let mut lines: Vec<String> = exit::TABLE.lines().map(str::to_owned).collect();
    lines.push(String::new());
    lines.push("A job that --stop-after ends is judged by what happened until then. One that Ctrl-C ends is 4, whatever happened in it. Of `stock`, 1 says that a minimum is not met or was reached in some job, or, with --forecast, that one is not held, or, with --evacuation, that a supply ends before 72 h; of `rota`, that a rule is broken.".to_owned());
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_topic_is_found_by_its_name_and_carries_the_caution() {
        for topic in Topic::ALL {
            assert_eq!(Topic::named(topic.words().0), Some(topic));
            let text = topic.lines().join("\n");
            assert!(text.ends_with(CAUTION), "{text}");
        }
        let units = Topic::Units.lines().join("\n");
        for words in ["fsw", "ata", "L/kg", "a gauge pressure", "degF"] {
            assert!(units.contains(words), "{words}");
        }
        let conventions = Topic::Conventions.lines().join("\n");
        assert!(conventions.contains("--gas-law real") && conventions.contains("33 fsw"));
        assert!(conventions.contains("1 fsw is 0.30643 msw"));
    }
}
