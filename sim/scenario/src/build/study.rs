//! The study: laws of chance with their figures in one unit, ways that lead somewhere, names that are
//! given once.

use super::{Names, Part, faults};
use crate::file::{
    BreakdownFile, ChanceOf, DrawnFile, LawFile, PlannerFile, StudyFile, UncertainFile,
};
use crate::law::{Law, Spreading};
use crate::study::{Chance, DrawnFor, Planner, Source, Study, Varied};
use deepstay_core::units::text::number_and_unit;
use deepstay_plant::Steel;
use deepstay_read::{Diagnostics, PathPattern, Section, Wrong, did_you_mean, nearest};
use deepstay_rules as rules;

/// The study of a job; nothing is drawn where there is none.
pub fn study(
    part: Option<&Part<StudyFile>>,
    names: &Names,
    steel: &Steel,
    diagnostics: &mut Diagnostics,
) -> Study {
    let Some(Part { file, section }) = part else {
        return Study::default();
    };
    let mut sources = Vec::new();
    let mut named = Vec::new();
    for (i, u) in file.uncertain.iter().enumerate() {
        sources.extend(uncertain(
            u,
            &format!("uncertain[{i}]"),
            section,
            diagnostics,
        ));
        named.push((u.name.as_str(), format!("uncertain[{i}].name")));
    }
    for (i, c) in file.chance.iter().enumerate() {
        let (chance, name) = match c.of {
            ChanceOf::Weather => (Chance::Weather, "weather"),
            ChanceOf::Instruments => (Chance::Instruments, "errors of instruments"),
        };
        says_source(
            &c.source,
            &format!("chance[{i}].source"),
            section,
            diagnostics,
        );
        sources.push(Source {
            name: name.to_owned(),
            varied: Varied::Chance(chance),
            source: c.source.clone(),
        });
        named.push((name, format!("chance[{i}].of")));
    }
    for (i, b) in file.breakdowns.iter().enumerate() {
        sources.extend(breakdown(
            b,
            &format!("breakdowns[{i}]"),
            section,
            names,
            steel,
            diagnostics,
        ));
        named.push((b.name.as_str(), format!("breakdowns[{i}].name")));
    }
    for (i, (name, at)) in named.iter().enumerate() {
        if named[..i].iter().any(|(before, _)| before == name) {
            let wrong = Wrong::Duplicate {
                kind: "source of chance",
                name: (*name).to_owned(),
            };
            diagnostics.add(section, at, wrong);
        }
    }
    if !(0.5..1.0).contains(&file.covered.0) {
        let words =
            "the share of jobs to be covered lies between 50 % and less than 100 %".to_owned();
        diagnostics.add_with(
            section,
            "covered",
            Wrong::Value(words),
            Some("write covered: \"95 %\"".to_owned()),
        );
    }
    for (i, set) in file.reserve.iter().enumerate() {
        let known: Vec<String> = rules::builtin_names().map(str::to_owned).collect();
        // A file is read when the study is made.
        if !known.contains(set) && !rules::is_path(set) {
            let near = did_you_mean(nearest(set, known.iter().map(String::as_str)));
            let wrong = Wrong::NoSuch {
                kind: "built-in rule set",
                name: set.clone(),
                known,
            };
            diagnostics.add_with(section, &format!("reserve[{i}]"), wrong, near);
        }
    }
    if let Some(b) = &file.burning {
        says_source(&b.source, "burning.source", section, diagnostics);
        if !(0.0..=1000.0).contains(&b.m3_per_hour.0) {
            let words = "a torch burns between nothing and 1000 m3 an hour".to_owned();
            diagnostics.add(section, "burning.m3_per_hour", Wrong::Value(words));
        }
    }
    Study {
        sources,
        covered: file.covered.0,
        reserve: file.reserve.clone(),
        supplier: file.supplier.clone(),
        planner: planner(&file.planner, section, diagnostics),
        burning: file
            .burning
            .as_ref()
            .map(|b| (b.m3_per_hour.0, b.source.clone())),
    }
}

fn planner(p: &PlannerFile, section: &Section, diagnostics: &mut Diagnostics) -> Planner {
    let bar = |g: deepstay_core::units::text::Gauge| g.0 / 1e5;
    let made = Planner {
        recover_s: p.recover_divers.map(|t| t.0 as f64),
        retrieval_s: p.retrieve_bell.map(|t| t.0 as f64),
        second_means: p.second_means,
        diver_l_min: p.diver_l_min.map(|n| n.0),
        mask_l_min: p.mask_l_min.map(|n| n.0),
        escape_sets: p.escape_sets.map(|n| n.0),
        bail_out_l: p.bail_out_l.map(|n| n.0),
        bail_out_bar: p.bail_out_fill.map(bar),
        bail_out_regulator_bar: p.bail_out_regulator.map(bar),
        people: p.people.map(|n| n.0),
        over_bottom_bar: p.over_bottom.map(bar),
        regulator_bar: p.regulator.map(bar),
        spare_absorbent_bell_kg: p.spare_absorbent_bell.map_or(0.0, |m| m.0),
        spare_absorbent_kg: p.spare_absorbent.map(|m| m.0),
        dive_s: p.dive.map(|t| t.0 as f64),
        treatment_s: p.treatment.map(|t| t.0 as f64),
    };
    let within = [
        ("diver_l_min", made.diver_l_min, 5.0, 300.0),
        ("mask_l_min", made.mask_l_min, 5.0, 300.0),
        ("escape_sets", made.escape_sets, 0.0, 1000.0),
        ("bail_out_l", made.bail_out_l, 0.5, 200.0),
        ("people", made.people, 1.0, 100.0),
        ("over_bottom", made.over_bottom_bar, 0.0, 100.0),
        ("regulator", made.regulator_bar, 0.0, 100.0),
    ];
    for (field, value, low, high) in within {
        if value.is_some_and(|v| !(low..=high).contains(&v)) {
            let words = format!("lies between {low} and {high}");
            diagnostics.add(
                section,
                &format!("planner.{field}"),
                Wrong::Value(format!("{field} {words}")),
            );
        }
    }
    made
}

fn says_source(source: &str, path: &str, section: &Section, diagnostics: &mut Diagnostics) {
    if source.trim().is_empty() {
        let words = "every law says where it is from".to_owned();
        diagnostics.add_with(
            section,
            path,
            Wrong::Value(words),
            Some("write the document, or \"assumed\"".to_owned()),
        );
    }
}

fn uncertain(
    u: &UncertainFile,
    path: &str,
    section: &Section,
    diagnostics: &mut Diagnostics,
) -> Option<Source> {
    says_source(&u.source, &format!("{path}.source"), section, diagnostics);
    if u.inputs.is_empty() {
        let words = "says which inputs it is about".to_owned();
        diagnostics.add(
            section,
            &format!("{path}.inputs"),
            Wrong::Value(format!("what is uncertain {words}")),
        );
    }
    for (i, way) in u.inputs.iter().enumerate() {
        let at = format!("{path}.inputs[{i}]");
        match PathPattern::parse(way) {
            Err(why) => diagnostics.add(section, &at, Wrong::Value(why.to_string())),
            Ok(pattern) if pattern.first() == "study" => {
                let words = "a study does not vary itself".to_owned();
                diagnostics.add(section, &at, Wrong::Contradiction(words));
            }
            Ok(_) => {}
        }
    }
    let mut figures = Figures {
        unit: None,
        fault: None,
    };
    let law = law(&u.law, &mut figures);
    let least = u.least.as_ref().map(|t| figures.of(t));
    let most = u.most.as_ref().map(|t| figures.of(t));
    let law = Spreading { law, least, most };
    let unit = figures.unit.clone().unwrap_or_default();
    let good = complain_of(&figures, &law, path, "law", section, diagnostics);
    if good && u.drawn == DrawnFile::Times && !unit.is_empty() {
        let words = format!("what inputs are multiplied by has no unit, and this has \"{unit}\"");
        diagnostics.add(section, &format!("{path}.law"), Wrong::Contradiction(words));
    }
    if u.each {
        let words = "each: true is written as one entry for each input".to_owned();
        if u.inputs.len() != 1 {
            diagnostics.add(
                section,
                &format!("{path}.each"),
                Wrong::Contradiction(words),
            );
        }
    }
    let drawn = match u.drawn {
        DrawnFile::Becomes => DrawnFor::Becomes,
        DrawnFile::Times => DrawnFor::Times,
        DrawnFile::Plus => DrawnFor::Plus,
    };
    good.then(|| Source {
        name: u.name.clone(),
        varied: Varied::Input {
            ways: u.inputs.clone(),
            drawn,
            law,
            unit,
            each: u.each,
            optional: u.optional,
        },
        source: u.source.clone(),
    })
}

fn breakdown(
    b: &BreakdownFile,
    path: &str,
    section: &Section,
    names: &Names,
    steel: &Steel,
    diagnostics: &mut Diagnostics,
) -> Option<Source> {
    says_source(&b.source, &format!("{path}.source"), section, diagnostics);
    if b.mean_between.0 < 3600 {
        let words = "something that breaks down every hour is not in use".to_owned();
        diagnostics.add(
            section,
            &format!("{path}.mean_between"),
            Wrong::Value(words),
        );
    }
    let what = faults::what(&b.what, 0, path, section, names, steel, diagnostics)?;
    if matches!(what, crate::FaultKind::WrongContents { .. }) {
        let words = "a wrong fill is there from the start and does not come by chance".to_owned();
        diagnostics.add(
            section,
            &format!("{path}.what"),
            Wrong::Contradiction(words),
        );
    }
    let mut figures = Figures {
        unit: None,
        fault: None,
    };
    let law = Spreading {
        law: law(&b.lasts, &mut figures),
        least: Some(60.0),
        most: None,
    };
    if figures.fault.is_none() && figures.unit.as_deref() != Some("s") {
        figures.fault = Some("how long it stands is a length of time, such as \"8 h\"".to_owned());
    }
    let good = complain_of(&figures, &law, path, "lasts", section, diagnostics);
    good.then(|| Source {
        name: b.name.clone(),
        varied: Varied::Breakdown {
            what,
            mean_between_s: b.mean_between.0 as f64,
            lasts: law,
        },
        source: b.source.clone(),
    })
}

fn complain_of(
    figures: &Figures,
    law: &Spreading,
    path: &str,
    field: &str,
    section: &Section,
    diagnostics: &mut Diagnostics,
) -> bool {
    let fault = figures
        .fault
        .clone()
        .or_else(|| law.check().err().map(|e| e.to_string()));
    if let Some(words) = &fault {
        diagnostics.add(
            section,
            &format!("{path}.{field}"),
            Wrong::Value(words.clone()),
        );
    }
    fault.is_none()
}

/// Reads the figures of one law, and holds them to one unit.
struct Figures {
    unit: Option<String>,
    fault: Option<String>,
}

impl Figures {
    fn of(&mut self, text: &str) -> f64 {
        let Some((number, unit)) = number_and_unit(text) else {
            self.fault.get_or_insert(format!(
                "\"{text}\" is no number with a unit, such as \"0.9\", \"88 %\" or \"2 h\""
            ));
            return f64::NAN;
        };
        match &self.unit {
            None => self.unit = Some(unit.to_owned()),
            Some(first) if first == unit => {}
            Some(first) => {
                let words = format!(
                    "all figures of a law have one unit, and here are \"{first}\" and \"{unit}\""
                );
                self.fault.get_or_insert(words);
            }
        }
        number
    }
}

fn law(file: &LawFile, figures: &mut Figures) -> Law {
    let mut of = |text: &String| figures.of(text);
    match file {
        LawFile::Uniform { low, high } => Law::Uniform {
            low: of(low),
            high: of(high),
        },
        LawFile::Triangular { low, likely, high } => Law::Triangular {
            low: of(low),
            likely: of(likely),
            high: of(high),
        },
        LawFile::Normal { mean, sd } => Law::Normal {
            mean: of(mean),
            sd: of(sd),
        },
        LawFile::LogNormal { median, factor } => Law::LogNormal {
            median: of(median),
            factor: factor.0,
        },
        LawFile::Gamma { mean, sd } => Law::Gamma {
            mean: of(mean),
            sd: of(sd),
        },
        LawFile::Beta {
            low,
            high,
            mean,
            sd,
        } => Law::Beta {
            low: of(low),
            high: of(high),
            mean: of(mean),
            sd: of(sd),
        },
        LawFile::Weibull { scale, shape } => Law::Weibull {
            scale: of(scale),
            shape: shape.0,
        },
        LawFile::Exponential { mean } => Law::Exponential { mean: of(mean) },
        LawFile::Poisson { mean } => Law::Poisson { mean: of(mean) },
        LawFile::Choice(values) => Law::Choice(values.iter().map(|(v, w)| (of(v), w.0)).collect()),
    }
}
