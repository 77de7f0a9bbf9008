//! `deepstay sums`: one line in, one answer out.

use super::exit::Exit;
use super::run::System;
use super::say;
use crate::report::{SumSummary, SumsDescribed, sum_page, sum_screen, sums_list};
use crate::rules;
use crate::scenario::{self, TakenFrom, bank_named, compartment_named, give, give_rules};
use crate::sums::{Choice, How, Kind, Name, Question, Side, Sum, SumError, sum, sums};
use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};
use std::io::BufRead;
use std::path::PathBuf;

/// A hand sum of the watch or the planner, forwards or backwards
///
/// `deepstay sums` lists the sums, `deepstay sums NAME` says what one takes. Inputs are written name=quantity. Leave one
/// out and give the answer instead, and it is found: deepstay sums gas-available bottles=48 volume=50L change-over=35bar gas=300m3
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// Which sum
    #[arg(value_parser = named(), hide_possible_values = true)]
    name: Option<String>,
    /// What goes in, as name=quantity; name=? is what is asked for
    #[arg(value_name = "INPUT")]
    inputs: Vec<String>,
    /// Ask for what is missing, one line each
    #[arg(long)]
    ask: bool,
    /// The answer as JSON, with formula, inputs, source and conventions; without inputs what the sum takes, without a name
    /// that of every sum
    #[arg(long)]
    json: bool,
    /// Units of the answer; without it, those that the inputs are written in
    #[arg(long, value_enum)]
    units: Option<System>,
    /// Gas by hand (bar times floodable volume) or real gas
    #[arg(long, value_name = "LAW", value_parser = sides(Choice::Gas))]
    gas_law: Option<Side>,
    /// 10 msw (33 fsw) to the bar (atmosphere), or the pressure at the surface as it is
    #[arg(long, value_name = "RULE", value_parser = sides(Choice::Pressure))]
    pressure: Option<Side>,
    /// Whether an atmosphere is added to what a gauge shows
    #[arg(long, value_name = "YES", value_parser = sides(Choice::PlusOne))]
    plus_one: Option<Side>,
    /// Whether the regulator's allowance is taken off
    #[arg(long, value_name = "YES", value_parser = sides(Choice::Allowance))]
    regulator: Option<Side>,
    /// Whether whole minutes and psi are rounded up to, as the handbook does
    #[arg(long, value_name = "HOW", value_parser = sides(Choice::Rounding))]
    round: Option<Side>,
    /// A sealed supply gauge, or one open to ambient
    #[arg(long, value_name = "TYPE", value_parser = sides(Choice::SealedGauge))]
    gauge_type: Option<Side>,
    /// Litres at the chamber's temperature and 1 bar, or standard ones at 0 degC and 1 atm
    #[arg(long, value_name = "WHICH", value_parser = sides(Choice::Litres))]
    litres: Option<Side>,
    /// Take what is not given from a job: a name from `list`, or the path of its file
    #[arg(long, value_name = "JOB")]
    job: Option<String>,
    /// Take sizing rates, bail-out breathing and fire zone from a rule set: the name of a built-in one, or the path of a file
    #[arg(long, value_name = "SET")]
    rules: Option<String>,
    /// How that job stands: a present, as for `stock --from`
    #[arg(long, value_name = "FILE", requires = "job")]
    from: Option<PathBuf>,
    /// Which of its banks
    #[arg(long, value_name = "NAME", requires = "job")]
    bank: Option<String>,
    /// Which of its chambers, bells or locks
    #[arg(long, value_name = "NAME", requires = "job")]
    chamber: Option<String>,
}

/// The sums by their names.
fn named() -> PossibleValuesParser {
    sums()
        .map(|s| PossibleValue::new(s.name).help(s.says))
        .collect::<Vec<_>>()
        .into()
}

/// The two sides of a choice by their words.
fn sides(choice: Choice) -> impl TypedValueParser<Value = Side> {
    let (_, [hand, other]) = choice.spelling();
    PossibleValuesParser::new([hand, other]).map(move |word| {
        if word == hand {
            Side::Hand
        } else {
            Side::Other
        }
    })
}

impl Arguments {
    fn choices(&self) -> impl Iterator<Item = (Choice, Side)> {
        let given = Choice::ALL.map(|choice| {
            let side = match choice {
                Choice::Gas => self.gas_law,
                Choice::Pressure => self.pressure,
                Choice::PlusOne => self.plus_one,
                Choice::Allowance => self.regulator,
                Choice::Rounding => self.round,
                Choice::SealedGauge => self.gauge_type,
                Choice::Litres => self.litres,
            };
            side.map(|side| (choice, side))
        });
        given.into_iter().flatten()
    }
}

pub fn act(arguments: &Arguments) -> Exit {
    let Some(name) = &arguments.name else {
        return match arguments.json {
            true => say::json(serde_json::to_string_pretty(&SumsDescribed::of(sums()))),
            false => say::out(sums_list(say::columns()).trim_end()),
        };
    };
    let of = match sum(name) {
        Ok(of) => of,
        Err(wrong) => return say::bad_input(wrong),
    };
    let nothing = arguments.inputs.is_empty() && arguments.job.is_none();
    if nothing && !arguments.ask {
        return match arguments.json {
            true => say::json(serde_json::to_string_pretty(&SumsDescribed::of([of]))),
            false => say::out(sum_page(of, say::columns()).trim_end()),
        };
    }
    let answer = question(arguments, of).and_then(|question| {
        question
            .answer()
            .map_err(|wrong| say::bad_input(wrong_words(of, &wrong)))
    });
    match answer {
        Ok(answer) if arguments.json => {
            say::json(serde_json::to_string_pretty(&SumSummary::of(&answer)))
        }
        Ok(answer) => say::out(sum_screen(&answer, say::columns()).trim_end()),
        Err(exit) => exit,
    }
}

/// What is wrong, and of what is missing, how it is written.
fn wrong_words(of: &Sum, wrong: &SumError) -> String {
    match wrong {
        SumError::Missing { .. } => {
            format!(
                "{wrong}\n  `deepstay sums {}` says what it takes; --ask asks for it",
                of.name
            )
        }
        _ => wrong.to_string(),
    }
}

/// The question as it is typed, with what a job gives and what is asked for added.
fn question(arguments: &Arguments, of: &'static Sum) -> Result<Question, Exit> {
    let mut question = Question::of(of);
    if let Some(units) = arguments.units {
        question.in_units(units.into());
    }
    for (choice, side) in arguments.choices() {
        question.on_side(choice, side).map_err(say::bad_input)?;
    }
    for input in &arguments.inputs {
        question.read(input).map_err(say::bad_input)?;
    }
    if let Some(name) = &arguments.rules {
        let set = rules::named(name).map_err(|bad| say::complaints(&bad))?;
        give_rules(&mut question, &set, &[]);
    }
    if let Some(job) = &arguments.job {
        from_job(arguments, job, &mut question)?;
    }
    if arguments.ask {
        ask(&mut question)?;
    }
    Ok(question)
}

fn from_job(arguments: &Arguments, job: &str, question: &mut Question) -> Result<(), Exit> {
    let scenario = scenario::load(job).map_err(|bad| say::complaints(&bad))?;
    let present = match &arguments.from {
        Some(path) => {
            Some(scenario::present(path, &scenario).map_err(|bad| say::complaints(&bad))?)
        }
        None => None,
    };
    let bank = arguments.bank.as_deref().map(|b| bank_named(&scenario, b));
    let compartment = arguments.chamber.as_deref();
    let compartment = compartment.map(|c| compartment_named(&scenario, c));
    let from = TakenFrom {
        scenario: &scenario,
        present: present.as_ref(),
        bank: bank.transpose().map_err(say::bad_input)?,
        compartment: compartment.transpose().map_err(say::bad_input)?,
    };
    give(question, &from);
    Ok(())
}

/// Asks for what is missing; `?` is what is to be found, for which one of the answers is asked then. What cannot be read is
/// told and asked for again; where nothing more comes, the rest stays missing.
fn ask(question: &mut Question) -> Result<(), Exit> {
    let mut lines = std::io::stdin().lock().lines();
    let needed = |question: &Question| {
        let asks = question.sum().asks.iter();
        let missing = question.missing();
        asks.filter(|a| matches!(a.how, How::Needed | How::AirAtSurface))
            .map(|a| a.name)
            .find(|n| missing.contains(n) && question.wanted() != Some(*n))
    };
    loop {
        let name = match needed(question) {
            Some(name) => name,
            None => match question.answer_wanted() {
                Some(name) => name,
                None => return Ok(()),
            },
        };
        say::err(&prompt(question, name));
        let Some(line) = lines.next() else {
            return Ok(());
        };
        let line = line.map_err(|e| say::bad_input(format!("nothing could be read: {e}")))?;
        if let Err(wrong) = question.read(&format!("{}={}", name.text(), line.trim())) {
            say::err(&format!("  {wrong}"));
        }
    }
}

fn prompt(question: &Question, name: Name) -> String {
    let kind: Kind = name.kind();
    let or = match question.wanted() {
        None => "; ? to find it",
        Some(_) => "",
    };
    format!("{}: {} ({}{or})", name.text(), name.says(), kind.written())
}
