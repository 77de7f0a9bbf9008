//! What is sampled for one job of an ensemble: one stream of random numbers a named source, and in it a
//! stretch of its own for each job. So a change of one input moves only what it touches, any batch of jobs
//! can be run by itself, and the same seed gives the same on any number of threads.

use deepstay_core::units::text::quantity;
use deepstay_job::random::{Draw, Streams};
use deepstay_scenario::{
    Chance, Diagnostics, DrawnFor, Fault, JobTexts, Patch, Source, Study, To, Varied,
};

/// Words of a stream that one job has for itself.
const WORDS_A_JOB: u64 = 4096;
/// Most breakdowns of one kind in a job.
const MOST_BREAKDOWNS: usize = 1000;

/// What is sampled for one job.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sampled {
    /// Inputs changed.
    pub changes: Vec<Patch>,
    /// Seeds of chance within the job.
    pub chance: Vec<(Chance, u64)>,
    /// Breakdowns.
    pub faults: Vec<Fault>,
    /// One number for each source, in their order: what was drawn of an input, hours that a breakdown
    /// stood; 0 for chance within the job.
    pub draws: Vec<f64>,
}

/// The sources of a study as they are drawn: one for each input where each is drawn by itself, and without
/// those whose input is set to a value by hand.
///
/// # Errors
/// A way leads nowhere.
pub fn sources(texts: &JobTexts, study: &Study, set: &[Patch]) -> Result<Vec<Source>, Diagnostics> {
    let mut by_hand = Vec::new();
    for change in set.iter().filter(|c| matches!(c.to, To::Text(_))) {
        by_hand.extend(texts.inputs(&change.path)?.into_iter().map(|(way, _)| way));
    }
    let mut all = Vec::new();
    for source in &study.sources {
        let Varied::Input {
            ways,
            drawn,
            law,
            unit,
            each,
            optional,
        } = &source.varied
        else {
            all.push(source.clone());
            continue;
        };
        let mut inputs = Vec::new();
        for way in ways {
            match texts.inputs(way) {
                Ok(found) => inputs.extend(found.into_iter().map(|(way, _)| way)),
                Err(_) if *optional => {}
                Err(bad) => return Err(bad),
            }
        }
        inputs.retain(|way| *drawn != DrawnFor::Becomes || !by_hand.contains(way));
        let of = |name: String, ways: Vec<String>| Source {
            name,
            varied: Varied::Input {
                ways,
                drawn: *drawn,
                law: law.clone(),
                unit: unit.clone(),
                each: false,
                optional: *optional,
            },
            source: source.source.clone(),
        };
        if *each {
            let names = own_names(&inputs);
            all.extend(
                inputs
                    .into_iter()
                    .zip(names)
                    .map(|(way, own)| of(format!("{}: {own}", source.name), vec![way])),
            );
        } else if !inputs.is_empty() {
            all.push(of(source.name.clone(), inputs));
        }
    }
    Ok(all)
}

/// What tells inputs of one source apart: the names of the elements on the way, or the way itself where those
/// are not enough.
fn own_names(ways: &[String]) -> Vec<String> {
    let elements = |way: &String| -> String {
        let inner = way
            .split('[')
            .skip(1)
            .filter_map(|part| part.split(']').next());
        inner.collect::<Vec<&str>>().join(", ")
    };
    let short: Vec<String> = ways.iter().map(elements).collect();
    let told = |name: &String| !name.is_empty() && short.iter().filter(|s| *s == name).count() == 1;
    if short.iter().all(told) {
        short
    } else {
        ways.to_vec()
    }
}

/// Deals to jobs under a seed.
#[derive(Clone, Debug)]
pub struct Sampler {
    streams: Streams,
    last_s: i64,
    posterior: Option<super::Posterior>,
}

impl Sampler {
    /// A sampler for jobs that end at `last_s` at the latest.
    pub fn new(seed: u64, last_s: i64) -> Sampler {
        Sampler {
            streams: Streams::of_study(seed),
            last_s,
            posterior: None,
        }
    }

    /// The same, with inputs drawn from their posterior.
    pub fn posterior(mut self, posterior: super::Posterior) -> Sampler {
        self.posterior = Some(posterior);
        self
    }

    fn stream(&self, source: &Source, job: u64) -> Draw {
        self.streams
            .named(&source.name, job.wrapping_mul(WORDS_A_JOB))
    }

    /// What is sampled for a job.
    pub fn sample(&self, sources: &[Source], job: u64) -> Sampled {
        let mut shares: Vec<f64> = sources
            .iter()
            .map(|s| self.stream(s, job).uniform())
            .collect();
        if let Some(posterior) = &self.posterior {
            posterior.condition(
                &mut shares,
                &mut self
                    .streams
                    .named("a look at the present", job.wrapping_mul(WORDS_A_JOB)),
            );
        }
        let mut sampled = Sampled::default();
        for (source, share) in sources.iter().zip(shares) {
            let mut draw = self.stream(source, job);
            let told = match &source.varied {
                Varied::Input {
                    ways,
                    drawn,
                    law,
                    unit,
                    ..
                } => {
                    let value = law.at(share);
                    sampled
                        .changes
                        .extend(ways.iter().map(|way| change(way, *drawn, value, unit)));
                    value
                }
                Varied::Chance(chance) => {
                    sampled.chance.push((*chance, draw.word()));
                    0.0
                }
                Varied::Breakdown {
                    what,
                    mean_between_s,
                    lasts,
                } => {
                    let mut stood_s = 0;
                    let mut at_s = draw.exponential(*mean_between_s);
                    for _ in 0..MOST_BREAKDOWNS {
                        if at_s >= self.last_s as f64 {
                            break;
                        }
                        let at = at_s as i64;
                        let until = at + (lasts.at(draw.uniform()).round() as i64).max(1);
                        stood_s += until.min(self.last_s) - at;
                        sampled.faults.push(Fault {
                            at,
                            until: Some(until),
                            what: *what,
                        });
                        at_s = until as f64 + draw.exponential(*mean_between_s);
                    }
                    stood_s as f64 / 3600.0
                }
            };
            sampled.draws.push(told);
        }
        sampled
    }
}

/// What is sampled where one source is at a share of its law and all else as the scenario says: for inputs,
/// the value there; for a breakdown, none below the middle of its law and one of the length there, from
/// `quarter_s` on, above it. Nothing for chance within the job.
pub fn only(source: &Source, share: f64, quarter_s: i64) -> Option<Sampled> {
    let mut sampled = Sampled::default();
    match &source.varied {
        Varied::Input {
            ways,
            drawn,
            law,
            unit,
            ..
        } => {
            let value = law.at(share);
            sampled.changes = ways
                .iter()
                .map(|way| change(way, *drawn, value, unit))
                .collect();
            sampled.draws = vec![value];
        }
        Varied::Chance(_) => return None,
        Varied::Breakdown { what, lasts, .. } => {
            let length_s = lasts.at(share).round();
            if share > 0.5 {
                let at = quarter_s;
                sampled.faults = vec![Fault {
                    at,
                    until: Some(at + (length_s as i64).max(1)),
                    what: *what,
                }];
            }
            sampled.draws = vec![if share > 0.5 { length_s / 3600.0 } else { 0.0 }];
        }
    }
    Some(sampled)
}

fn change(way: &str, drawn: DrawnFor, value: f64, unit: &str) -> Patch {
    let to = match drawn {
        DrawnFor::Becomes => To::Text(quantity(value, unit)),
        DrawnFor::Times => To::Times(value),
        DrawnFor::Plus => To::Plus(quantity(value, unit)),
    };
    Patch {
        path: way.to_owned(),
        to,
    }
}
