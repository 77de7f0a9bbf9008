//! What is made of a rota: its papers, the screen and the exit code; or why there is none.

use super::Arguments;
use crate::command::exit::Exit;
use crate::command::{interrupt, say};
use crate::report::{
    self, RotaInputs, RotaPapers, RotaSummary, Subject, rota_screen, under_screen, write_rota,
};
use crate::rota::{Appraisal, JudgedBy, NoRota, Under};
use crate::scenario::Scenario;

/// Writes it, says it.
pub fn conclude(
    args: &Arguments,
    (scenario, subject): (&Scenario, &Subject),
    by: &JudgedBy,
    appraisal: &Appraisal,
    under: &[Under],
) -> Exit {
    let papers = RotaPapers::of((subject, scenario), appraisal, by, under);
    let inputs = papers.inputs(args.units.into());
    if let Some(out) = &args.out
        && let Err(e) = write_rota(out, &inputs, args.replace)
    {
        return say::not_written(e);
    }
    tell(args, &inputs).or_else(|| Exit::of_rota(&appraisal.verdict, interrupt::came()))
}

/// The summary on the screen or as JSON.
fn tell(args: &Arguments, inputs: &RotaInputs<'_>) -> Exit {
    if args.json {
        return say::json(RotaSummary::of(inputs).json());
    }
    if args.quiet {
        return Exit::Done;
    }
    let mut words = rota_screen(inputs, say::columns()).trim_end().to_owned();
    if !inputs.under.is_empty() {
        words += &format!("\n\n{}", under_screen(inputs));
    }
    if let Some(out) = &args.out {
        words += &format!("\n\nThe rota's files are in {}", out.display());
    }
    say::out(&words)
}

/// Says why there is no rota.
pub fn no_rota(none: &NoRota) -> Exit {
    say::not_written(format!("{none}\n{}", report::CAUTION))
}
