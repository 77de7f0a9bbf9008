//! From today: reads how a job under way stands, and bends the laws of its inputs by it.

use super::exit::Exit;
use super::interrupt;
use super::progress::Counted;
use super::say;
use super::stock::{Arguments, bad_input};
use crate::scenario::{self, Present};
use crate::stock::{self, Ensemble};
use crate::units::text::Duration;
use std::path::Path;

/// A look at the present.
pub struct Look {
    /// How the job stands.
    pub present: Present,
    /// What it says.
    pub look: stock::Assimilation,
    /// Fingerprint of what it was read from.
    pub fingerprint: u64,
}

/// Reads the present and looks at it; the ensemble then draws from what is believed after it.
pub fn look(args: &Arguments, path: &Path, ensemble: &mut Ensemble) -> Result<Look, Exit> {
    let time = |text: &Option<String>, flag: &str| -> Result<Option<i64>, Exit> {
        let read = text.as_ref().map(|t| {
            t.parse::<Duration>()
                .map(|d| d.0)
                .map_err(|e| bad_input(&format!("{flag} {t}: {e}")))
        });
        read.transpose()
    };
    let (at, boat) = (time(&args.at, "--at")?, time(&args.boat, "--boat")?);
    let is_table = path
        .extension()
        .is_some_and(|e| e.eq_ignore_ascii_case("csv"));
    let made = if is_table {
        let bytes = std::fs::read(path)
            .map_err(|e| bad_input(&format!("{} cannot be read: {e}", path.display())))?;
        scenario::present_from_gauges(&path.display().to_string(), &bytes, &ensemble.base, at)
    } else {
        scenario::present(path, &ensemble.base)
    };
    let mut present = made.map_err(|bad| say::complaints(&bad))?;
    if let (Some(at), false) = (at, is_table) {
        return Err(bad_input(&format!(
            "--at {at} s: a present of its own says its time itself; --at is for a table of gauges"
        )));
    }
    if boat.is_some_and(|b| b <= present.at_s) {
        return Err(bad_input("--boat: the next boat comes after the present"));
    }
    present.boat_s = boat.or(present.boat_s);
    let inputs = ensemble.sources.len() as u64;
    let counted = Counted::new(
        args.quiet || args.json,
        1 + 2 * inputs,
        "looking at the present",
    );
    let look = stock::assimilate(ensemble, &present, &interrupt::came, &|| counted.one());
    counted.done();
    let Some(look) = look else {
        if interrupt::came() {
            say::err("deepstay: interrupted before the present was looked at");
            return Err(Exit::Interrupted);
        }
        return Err(bad_input(
            "the present says nothing that can be held against the scenario: give gauges of banks, or what was used",
        ));
    };
    ensemble.condition(look.posterior.clone(), present.at_s);
    let fingerprint = stock::fingerprint([format!("{present:?}").as_str()]);
    Ok(Look {
        present,
        look,
        fingerprint,
    })
}
