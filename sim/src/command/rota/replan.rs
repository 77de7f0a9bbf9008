//! `rota --replan`: what has come between, as a user says it.

use crate::rota::{Event, Problem, Span};
use crate::units::VesselTime;
use clap::Args;

/// What has come between.
#[derive(Args, Debug)]
pub struct Changes {
    /// Plan again from this time on, keeping what has begun: `D10 06:00`, or date and vessel time.
    #[arg(long, value_name = "TIME")]
    pub replan: Option<String>,
    /// No bell may be out from then until this time.
    #[arg(long, value_name = "UNTIL", requires = "replan")]
    pub weather: Option<String>,
    /// A diver may not dive: `AB`, or `"AB until D12 06:00"`.
    #[arg(long, value_name = "DIVER", requires = "replan", num_args = 1..)]
    pub unfit: Vec<String>,
    /// A bell is out of service: its name, or `"Bell until D12 06:00"`.
    #[arg(long, value_name = "BELL", requires = "replan", num_args = 1..)]
    pub bell_out: Vec<String>,
}

/// The second from which to plan again, and what has come between; none where nothing was asked.
///
/// # Errors
/// What is wrong, in words.
pub fn events(
    changes: &Changes,
    clock: VesselTime,
    problem: &Problem,
) -> Result<Option<(i64, Vec<Event>)>, String> {
    let Some(from) = &changes.replan else {
        return Ok(None);
    };
    let time = |option: &str, text: &str| {
        clock.read(text).map(|w| w.at_s).map_err(|bad| {
            let help = bad.help.map_or(String::new(), |h| format!("; {h}"));
            format!("--{option}: {}{help}", bad.words)
        })
    };
    let now_s = time("replan", from)?;
    if now_s >= problem.last_s {
        return Err(format!("--replan: at {from} all bells are home for good"));
    }
    let span = |option: &str, until: Option<&str>| {
        let to_s = until.map_or(Ok(problem.last_s), |text| time(option, text))?;
        if to_s <= now_s {
            return Err(format!(
                "--{option}: it is over before {from}, from when the rota is planned again"
            ));
        }
        Ok(Span::new(now_s, to_s))
    };
    let mut events = Vec::new();
    if let Some(until) = &changes.weather {
        events.push(Event::Weather(span("weather", Some(until))?));
    }
    for text in &changes.unfit {
        let (name, until) = parted(text);
        let known: Vec<&str> = problem.divers.iter().map(|d| d.initials.as_str()).collect();
        let at = place("unfit", "diver", name, &known)?;
        let diver = crate::units::DiverId(u8::try_from(at).unwrap_or(u8::MAX));
        events.push(Event::Unfit(diver, span("unfit", until)?));
    }
    for text in &changes.bell_out {
        let (name, until) = parted(text);
        let known: Vec<&str> = problem.bells.iter().map(|b| b.name.as_str()).collect();
        let at = place("bell-out", "bell", name, &known)?;
        events.push(Event::BellOut(
            problem.bells[at].id,
            span("bell-out", until)?,
        ));
    }
    if events.is_empty() {
        return Err(
            "--replan: nothing has come between; say --weather, --unfit or --bell-out".into(),
        );
    }
    Ok(Some((now_s, events)))
}

/// `NAME until TIME`.
fn parted(text: &str) -> (&str, Option<&str>) {
    match text.split_once(" until ") {
        Some((name, until)) => (name.trim(), Some(until.trim())),
        None => (text.trim(), None),
    }
}

fn place(option: &str, kind: &str, name: &str, known: &[&str]) -> Result<usize, String> {
    let found = known.iter().position(|k| k.eq_ignore_ascii_case(name));
    found.ok_or_else(|| {
        format!(
            "--{option}: there is no {kind} `{name}`; there are {}",
            known.join(", ")
        )
    })
}
