//! `watch`: a person at the panel of any job at any hour, on a terminal. The session, the journal and the verbs are
//! the library's; here is what is drawn of them, the keys, and the terminal's care.

mod app;
mod editor;
mod frame;
mod keys;
mod pages;
mod style;
mod terminal;
#[cfg(test)]
mod tests;

use super::exit::Exit;
use super::interrupt;
use super::progress::Progress;
use super::run::System;
use super::say;
use crate::record::Station;
use crate::scenario::{self, Diagnostics};
use crate::watch::{CannotSit, Hands, KeptIn, Keys, SPEEDS, Shelf, SitDown, TakeUp, Worth};
use app::App;
use clap::{Args, ValueEnum};
use std::io::IsTerminal;
use std::path::{Path, PathBuf};

/// Sit on the watch of a job: everything by hand, every act in a journal
///
/// The automatic watch brings the job to the hour asked for; then you sit down. Every act is written to the journal
/// before it is done: kill the program at any moment, and `--resume` goes on with nothing lost.
#[derive(Args, Clone, Debug)]
pub struct Arguments {
    /// Name of a job or of a beginning from `list`, or path of a job's file.
    #[arg(default_value = scenario::DEFAULT_JOB)]
    pub scenario: String,
    /// When you sit down, such as "D12 06:00"; or a present, the file of what gauges, analysers and head count say at
    /// one moment of this job (`new --kind present`).
    #[arg(long, value_name = "TIME|FILE")]
    pub from: Option<String>,
    /// Station you sit at, saturation control where none is named; the automatic watch keeps the other.
    #[arg(long, value_enum)]
    pub station: Option<Seat>,
    /// New file for the journal; left out, one beside you named after the job.
    #[arg(long, value_name = "FILE", conflicts_with = "resume")]
    pub journal: Option<PathBuf>,
    /// Go on with the watch of this journal.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["from", "seed"])]
    pub resume: Option<PathBuf>,
    /// File of how long acts take, instead of the built-in one (`scenarios/people/acts.ron`).
    #[arg(long, value_name = "FILE")]
    pub acts: Option<PathBuf>,
    /// File of the sheets of the watch, instead of the built-in ones (`scenarios/people/sheets.ron`).
    #[arg(long, value_name = "FILE", conflicts_with = "resume")]
    pub sheets: Option<PathBuf>,
    /// File that sets keys of verbs otherwise, such as `(format: 1, keys: [(verb: "make-up", key: "a")])`.
    #[arg(long, value_name = "FILE")]
    pub keys: Option<PathBuf>,
    /// Every act is done at once.
    #[arg(long, conflicts_with = "acts")]
    pub at_once: bool,
    /// Seed of every draw, instead of the scenario's own.
    #[arg(long)]
    pub seed: Option<u64>,
    /// Bring the job to its hour anew, though the beginning is kept from an earlier time (in `deepstay/beginnings` of
    /// the user's cache folder).
    #[arg(long)]
    pub anew: bool,
    /// Units on the screen.
    #[arg(long, value_enum, default_value_t = System::Metric)]
    pub units: System,
    /// Print the verbs, their keys and their lines, and end.
    #[arg(long)]
    pub verbs: bool,
}

/// Stations a person may sit at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Seat {
    /// Saturation control.
    Saturation,
    /// Dive control.
    Dive,
    /// Both, alone.
    Both,
}

impl Seat {
    fn stations(self) -> &'static [Station] {
        match self {
            Seat::Saturation => &[Station::Saturation],
            Seat::Dive => &[Station::Dive],
            Seat::Both => &[Station::Saturation, Station::Dive],
        }
    }
}

/// Sits down.
pub fn act(args: &Arguments) -> Exit {
    if args.verbs {
        return say::out(&pages::help::verbs());
    }
    if !std::io::stdout().is_terminal() || !std::io::stdin().is_terminal() {
        return say::bad_input(
            "`watch` needs a terminal of at least 100 columns and 30 lines; `run` writes the same job to files",
        );
    }
    interrupt::at_work();
    let mut shown: Option<Progress> = None;
    let go_on = |now_s, to_s| {
        shown
            .get_or_insert_with(|| Progress::new(false, to_s))
            .at(now_s);
        !interrupt::came()
    };
    let sat_down = match &args.resume {
        Some(path) => take_up(args, path).and_then(|up| up.sit(go_on).map_err(|bad| cannot(&bad))),
        None => sit_down(args).and_then(|down| down.sit(go_on).map_err(|bad| cannot(&bad))),
    };
    if let Some(shown) = shown {
        shown.done();
    }
    let app = match sat_down {
        Ok(watch) => App::new(watch, args.units.into()),
        Err(exit) => return exit,
    };
    if interrupt::came() {
        return say::interrupted(
            "interrupted before you sat down; the journal says so much and no more",
        );
    }
    match terminal::live(app) {
        Ok(ended) => {
            let _ = say::out(&ended.words);
            match ended.worth {
                Worth::Done => Exit::Done,
                Worth::NotCompleted => Exit::NotCompleted,
                Worth::BrokenInvariant => Exit::BrokenInvariant,
            }
        }
        Err(error) => {
            say::err(&format!("deepstay: the terminal: {error}"));
            Exit::NotCompleted
        }
    }
}

/// A new watch, as it was asked for.
fn sit_down(args: &Arguments) -> Result<SitDown, Exit> {
    Ok(SitDown {
        scenario: args.scenario.clone(),
        from: args.from.clone(),
        stations: args.station.map(|seat| seat.stations().to_vec()),
        journal: args.journal.clone().map_or(KeptIn::Beside, KeptIn::File),
        sheets: args.sheets.clone(),
        seed: args.seed,
        shelf: Shelf::of_the_user().filter(|_| !args.anew),
        hands: hands(args)?,
        keys: keys(args)?,
        speeds: SPEEDS,
    })
}

/// A watch that was broken off.
fn take_up(args: &Arguments, path: &Path) -> Result<TakeUp, Exit> {
    Ok(TakeUp {
        journal: path.to_owned(),
        only_looked_at: false,
        hands: hands(args)?,
        keys: keys(args)?,
        speeds: SPEEDS,
    })
}

fn hands(args: &Arguments) -> Result<Hands, Exit> {
    match &args.acts {
        _ if args.at_once => Ok(Hands::at_once()),
        None => Ok(Hands::built_in().clone()),
        Some(path) => of_file("--acts", path, Hands::read),
    }
}

fn keys(args: &Arguments) -> Result<Keys, Exit> {
    match &args.keys {
        None => Ok(Keys::default()),
        Some(path) => of_file("--keys", path, Keys::read),
    }
}

/// What a file of the user's says.
fn of_file<T>(
    option: &str,
    path: &Path,
    read: impl Fn(&str, &str) -> Result<T, Diagnostics>,
) -> Result<T, Exit> {
    let text = std::fs::read_to_string(path)
        .map_err(|error| say::bad_input(format!("{option} {}: {error}", path.display())))?;
    read(&path.display().to_string(), &text).map_err(|bad| say::complaints(&bad))
}

fn cannot(why: &CannotSit) -> Exit {
    match why {
        CannotSit::Wrong(bad) => say::complaints(bad),
        other => say::bad_input(other),
    }
}
