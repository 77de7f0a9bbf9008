//! `watch`: a person at the panel of any job at any hour, on a terminal. The session, the journal and the verbs are
//! the library's; here is what is drawn of them, the keys, and the terminal's care.

mod app;
mod clock;
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
use crate::digest::Digest;
use crate::job::{Options, Sitter};
use crate::record::Station;
use crate::scenario::{self, Diagnostics, Scenario, WholePresent};

use crate::watch::{
    Beginning, FileAsRead, Hands, Head, Keys, Recall, Session, SessionError, Sheets, Shelf, Start,
};
use app::{App, Kit};
use clap::{Args, ValueEnum};
use std::io::IsTerminal;
use std::path::{Path, PathBuf};
use std::sync::Arc;

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
    let sat_down = match (&args.resume, Beginning::named(&args.scenario)) {
        (Some(path), _) => take_up(args, path),
        (None, Some(beginning)) => sit_down(&at_the_hour(args, beginning), shelf(args)),
        (None, None) => sit_down(args, None),
    };
    let app = match sat_down {
        Ok(app) => app,
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
            ended.exit
        }
        Err(error) => {
            say::err(&format!("deepstay: the terminal: {error}"));
            Exit::NotCompleted
        }
    }
}

/// A named beginning as its job, hour and station; what is asked for beside it goes before.
fn at_the_hour(args: &Arguments, beginning: &Beginning) -> Arguments {
    let station = match beginning.station {
        Station::Dive => Seat::Dive,
        Station::Saturation | Station::Student | Station::Script => Seat::Saturation,
    };
    Arguments {
        scenario: beginning.job.clone(),
        from: args.from.clone().or_else(|| Some(beginning.at.clone())),
        station: args.station.or(Some(station)),
        ..args.clone()
    }
}

/// Where named beginnings are kept for the user, as the XDG base directory specification has it (0.8); none where there
/// is no such place.
fn shelf(args: &Arguments) -> Option<Shelf> {
    let cache = absolute("XDG_CACHE_HOME").or_else(|| Some(absolute("HOME")?.join(".cache")))?;
    let program = std::fs::metadata(std::env::current_exe().ok()?).ok()?;
    let stamp = format!("{} {:?}", program.len(), program.modified().ok()?);
    let folder = cache.join("deepstay").join("beginnings");
    let shelf = Shelf::new(folder, Digest::of(stamp.as_bytes()));
    // Of another seed, or from another time, it would be kept for nothing.
    let as_it_is = args.seed.is_none() && args.from.is_none();
    (as_it_is && !args.anew).then_some(shelf)
}

fn absolute(variable: &str) -> Option<PathBuf> {
    let path = PathBuf::from(std::env::var_os(variable)?);
    path.is_absolute().then_some(path)
}

/// What the watch brings with it; the sheets are of a file where one is named.
fn kit(args: &Arguments, sheets: Option<&Path>) -> Result<Kit, Exit> {
    let hands = match &args.acts {
        _ if args.at_once => Hands::at_once(),
        None => Hands::built_in().clone(),
        Some(path) => of_file("--acts", path, Hands::read)?,
    };
    let sheets = match sheets {
        None => Sheets::built_in().clone(),
        Some(path) => of_file("--sheets", path, Sheets::read)?,
    };
    let keys = match &args.keys {
        None => Keys::default(),
        Some(path) => of_file("--keys", path, Keys::read)?,
    };
    Ok(Kit {
        units: args.units.into(),
        hands,
        sheets,
        keys,
    })
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

/// A new watch.
fn sit_down(args: &Arguments, shelf: Option<Shelf>) -> Result<App, Exit> {
    let kit = kit(args, args.sheets.as_deref())?;
    let sheets = args.sheets.as_deref().map(as_read).transpose()?;
    let mut scenario = scenario::load(&args.scenario).map_err(|bad| say::complaints(&bad))?;
    if let Some(seed) = args.seed {
        scenario = scenario.with_seed(seed);
    }
    let scenario = Arc::new(scenario);
    let (start, present) = start(args, &scenario)?;
    let from_s = match &start {
        Start::At(from_s) => *from_s,
        Start::Present(present) => present.at_s,
    };
    if from_s >= scenario.plan.end_s {
        let end = scenario.time().clock(scenario.plan.end_s);
        return Err(say::bad_input(format!(
            "--from: the job's plan ends at {end}; sit down before it"
        )));
    }
    let progress = Progress::new(false, from_s);
    let go_on = |now_s| {
        progress.at(now_s);
        !interrupt::came()
    };
    let mut session = match (&start, shelf) {
        (Start::At(from_s), Some(shelf)) => {
            Session::begin_kept(Arc::clone(&scenario), *from_s, &shelf, go_on)
        }
        _ => Session::begin(Arc::clone(&scenario), Options::default(), start, go_on),
    };
    progress.done();
    if session.is_over() {
        let words = format!(
            "--from: the job is over at {}; sit down before it",
            scenario.time().clock(session.now())
        );
        return Err(say::bad_input(words));
    }
    let path = match &args.journal {
        Some(path) => path.clone(),
        None => free_name(&scenario.name),
    };
    let head = Head {
        present,
        sheets,
        ..session.head(&args.scenario, args.seed)
    };
    session
        .keep_journal(&path, &head)
        .map_err(|error| not_kept(&error))?;
    for station in args.station.unwrap_or(Seat::Saturation).stations() {
        // Nobody else sits there, so that nothing can refuse it.
        let _ = session
            .sit(*station, Sitter::Person)
            .map_err(|error| not_kept(&error))?;
    }
    Ok(App::new(session, path, kit, None))
}

/// Where the watch begins: at a time, or with a present.
fn start(args: &Arguments, scenario: &Scenario) -> Result<(Start, Option<FileAsRead>), Exit> {
    let Some(from) = &args.from else {
        return Ok((Start::At(0), None));
    };
    let path = Path::new(from);
    if !path.is_file() {
        return match scenario.time().read(from) {
            Ok(time) => Ok((Start::At(time.at_s.max(0)), None)),
            Err(bad) => Err(say::bad_input(format!(
                "--from {from}: no file is called so, and as a time: {bad}"
            ))),
        };
    }
    let whole = present(path, scenario)?;
    Ok((Start::Present(whole), Some(as_read(path)?)))
}

fn present(path: &Path, scenario: &Scenario) -> Result<Arc<WholePresent>, Exit> {
    let whole = scenario::whole_present(path, scenario).map_err(|bad| say::complaints(&bad))?;
    Ok(Arc::new(whole))
}

fn as_read(path: &Path) -> Result<FileAsRead, Exit> {
    Ok(FileAsRead {
        path: path.to_owned(),
        digest: digest_of(path)?,
    })
}

fn digest_of(path: &Path) -> Result<u64, Exit> {
    let bytes = std::fs::read(path)
        .map_err(|error| say::bad_input(format!("{}: {error}", path.display())))?;
    Ok(Digest::of(&bytes))
}

/// A file that a journal's watch began with, which has to be as it was.
fn same_file(file: &FileAsRead) -> Result<&Path, Exit> {
    if digest_of(&file.path)? == file.digest {
        return Ok(&file.path);
    }
    Err(say::bad_input(format!(
        "{}: the file that the watch began with has changed since; put back what it said",
        file.path.display()
    )))
}

/// A watch that was broken off.
fn take_up(args: &Arguments, path: &Path) -> Result<App, Exit> {
    let recall = Recall::read(path).map_err(say::bad_input)?;
    let head = &recall.head;
    let sheets = head.sheets.as_ref().map(same_file).transpose()?;
    let kit = kit(args, sheets)?;
    let mut scenario = scenario::load(&head.scenario).map_err(|bad| say::complaints(&bad))?;
    if let Some(seed) = head.seed {
        scenario = scenario.with_seed(seed);
    }
    let scenario = Arc::new(scenario);
    let progress = Progress::new(false, head.from_s);
    let present = match &head.present {
        None => None,
        Some(file) => Some(present(same_file(file)?, &scenario)?),
    };
    let session = Session::resume(scenario, path, &recall, present, |now_s| {
        progress.at(now_s);
        !interrupt::came()
    });
    progress.done();
    let session = session.map_err(|error| not_kept(&error))?;
    let told = recall.cut.map(|cut| {
        format!(
            "line {} of the journal was not written to its end ({} bytes, taken off); nothing before it is lost",
            cut.line, cut.bytes
        )
    });
    Ok(App::new(session, path.to_owned(), kit, told))
}

fn not_kept(error: &SessionError) -> Exit {
    say::bad_input(error)
}

/// A file beside the user that is not there yet.
fn free_name(job: &str) -> PathBuf {
    let name = |n: u32| match n {
        1 => PathBuf::from(format!("watch-{job}.journal")),
        n => PathBuf::from(format!("watch-{job}-{n}.journal")),
    };
    (1..)
        .map(name)
        .find(|p| !p.exists())
        .unwrap_or_else(|| name(1))
}
