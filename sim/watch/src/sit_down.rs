//! Sitting down: a job, a named beginning or a present brought to its hour, with a journal kept from there; a watch that
//! was broken off, taken up from its journal; and a watch that is over, only looked at.

use crate::beginnings::Beginning;
use crate::hands::Hands;
use crate::journal::{FileAsRead, Head, JournalError, Recall};
use crate::kept::Shelf;
use crate::keys::Keys;
use crate::on_watch::{Kit, OnWatch, Said};
use crate::session::{Session, SessionError, Start};
use crate::sheets::Sheets;
use deepstay_core::digest::Digest;
use deepstay_core::record::{Sitter, Station};
use deepstay_job::Options;
use deepstay_read::Diagnostics;
use deepstay_scenario::{Scenario, WholePresent, load, whole_present};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use thiserror::Error;

/// Why nobody can sit down.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum CannotSit {
    /// Something is wrong with a file of the scenario, or of the watch.
    #[error(transparent)]
    Wrong(#[from] Diagnostics),
    /// A file cannot be read.
    #[error("{}: {error}", path.display())]
    File {
        /// Which.
        path: PathBuf,
        /// What the system said.
        error: std::io::Error,
    },
    /// A file is no longer what the watch began with.
    #[error("{}: the file that the watch began with has changed since; put back what it said", .0.display())]
    Changed(PathBuf),
    /// The time to sit down at is none.
    #[error("--from {from}: no file is called so, and as a time: {why}")]
    NoTime {
        /// What was asked for.
        from: String,
        /// What is wrong with it as a time.
        why: String,
    },
    /// It lies after the job.
    #[error("--from: the job {what} at {clock}; sit down before it")]
    Over {
        /// How it ends there.
        what: &'static str,
        /// When.
        clock: String,
    },
    /// The journal.
    #[error(transparent)]
    Journal(#[from] JournalError),
    /// The session.
    #[error(transparent)]
    Session(#[from] SessionError),
}

/// Where the journal of a watch is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum KeptIn {
    /// Nowhere: what was done is gone with the watch.
    Nowhere,
    /// In a new file beside the user, called after the job.
    Beside,
    /// In that new file.
    File(PathBuf),
}

/// Where and how somebody sits down.
#[derive(Clone, Debug)]
pub struct SitDown {
    /// Name of a job or of a beginning, or path of a job's file.
    pub scenario: String,
    /// A time, or a present's file; the beginning's own, or the job's first second, where none is named.
    pub from: Option<String>,
    /// The stations that he sits at; the beginning's own, or saturation control, where none is named.
    pub stations: Option<Vec<Station>>,
    /// Where its journal is kept.
    pub journal: KeptIn,
    /// File of the watch's sheets.
    pub sheets: Option<PathBuf>,
    /// Seed of every draw, instead of the scenario's own.
    pub seed: Option<u64>,
    /// Where named beginnings are kept.
    pub shelf: Option<Shelf>,
    /// How long acts take.
    pub hands: Hands,
    /// Which key says which verb.
    pub keys: Keys,
    /// Speeds of its clock.
    pub speeds: &'static [u32],
}

impl SitDown {
    /// At a job's first second, at saturation control, with everything as it is built in.
    pub fn at(scenario: impl Into<String>, speeds: &'static [u32]) -> SitDown {
        SitDown {
            scenario: scenario.into(),
            from: None,
            stations: None,
            journal: KeptIn::Nowhere,
            sheets: None,
            seed: None,
            shelf: None,
            hands: Hands::built_in().clone(),
            keys: Keys::default(),
            speeds,
        }
    }

    /// Sits down. `go_on` is asked while the job is brought to its hour, with the second reached and the one it goes to;
    /// where it says no, the watch begins where the job then is.
    ///
    /// # Errors
    /// [`CannotSit`]: what is wrong, where, and what would be right.
    pub fn sit(self, mut go_on: impl FnMut(i64, i64) -> bool) -> Result<OnWatch, CannotSit> {
        let beginning = Beginning::named(&self.scenario);
        let job = beginning.map_or(&self.scenario, |b| &b.job);
        let from = self.from.as_ref().or(beginning.map(|b| &b.at));
        let sheets = self.sheets.as_deref().map(text).transpose()?;
        let kit = Kit {
            hands: self.hands,
            sheets: sheets_of(sheets.as_ref())?,
            keys: self.keys,
        };
        let mut scenario = load(job)?;
        if let Some(seed) = self.seed {
            scenario = scenario.with_seed(seed);
        }
        let scenario = Arc::new(scenario);
        let (start, present) = start(from.map(String::as_str), &scenario)?;
        let from_s = match &start {
            Start::At(from_s) => *from_s,
            Start::Present(present) => present.at_s,
        };
        let over = |what, at_s| CannotSit::Over {
            what,
            clock: scenario.time().clock(at_s),
        };
        if from_s >= scenario.plan.end_s {
            return Err(over("'s plan ends", scenario.plan.end_s));
        }
        let go_on = |now_s| go_on(now_s, from_s);
        // Of another seed, or from another time, it would be kept for nothing.
        let as_it_is = self.seed.is_none() && self.from.is_none() && beginning.is_some();
        let mut session = match (&start, self.shelf.filter(|_| as_it_is)) {
            (Start::At(from_s), Some(shelf)) => {
                Session::begin_kept(Arc::clone(&scenario), *from_s, &shelf, go_on)
            }
            _ => Session::begin(Arc::clone(&scenario), Options::default(), start, go_on),
        };
        if session.is_over() {
            return Err(over("is over", session.now()));
        }
        let journal = match self.journal {
            KeptIn::Nowhere => None,
            KeptIn::Beside => Some(free_name(&scenario.name)),
            KeptIn::File(path) => Some(path),
        };
        if let Some(path) = &journal {
            let head = Head {
                present,
                sheets: sheets.map(|(file, _)| file),
                ..session.head(job, self.seed)
            };
            session.keep_journal(path, &head)?;
        }
        let own = beginning.map(|b| vec![b.station]);
        let stations = self.stations.or(own);
        for station in stations.unwrap_or(vec![Station::Saturation]) {
            // Nobody else sits there, so that nothing can refuse it.
            let _ = session.sit(station, Sitter::Person)?;
        }
        Ok(OnWatch::new(session, journal, kit, self.speeds))
    }
}

/// A watch that is taken up from its journal.
#[derive(Clone, Debug)]
pub struct TakeUp {
    /// The journal.
    pub journal: PathBuf,
    /// It is only looked at: nothing is written, and nobody acts.
    pub only_looked_at: bool,
    /// How long acts take.
    pub hands: Hands,
    /// Which key says which verb.
    pub keys: Keys,
    /// Speeds of its clock.
    pub speeds: &'static [u32],
}

impl TakeUp {
    /// Takes it up. `go_on` is as at [`SitDown::sit`].
    ///
    /// # Errors
    /// [`CannotSit`]: what is wrong, where, and what would be right.
    pub fn sit(self, mut go_on: impl FnMut(i64, i64) -> bool) -> Result<OnWatch, CannotSit> {
        let path = &self.journal;
        let recall = Recall::read(path)?;
        let head = &recall.head;
        let sheets = head.sheets.as_ref().map(same_text).transpose()?;
        let kit = Kit {
            hands: self.hands,
            sheets: sheets_of(sheets.as_ref())?,
            keys: self.keys,
        };
        let mut scenario = load(&head.scenario)?;
        if let Some(seed) = head.seed {
            scenario = scenario.with_seed(seed);
        }
        let scenario = Arc::new(scenario);
        let present = match &head.present {
            None => None,
            Some(file) => Some(Arc::new(whole_present(
                &same_text(file)?.0.path,
                &scenario,
            )?)),
        };
        let from_s = head.from_s;
        let go_on = |now_s| go_on(now_s, from_s);
        let session = match self.only_looked_at {
            true => Session::recall(scenario, path, &recall, present, go_on)?,
            false => Session::resume(scenario, path, &recall, present, go_on)?,
        };
        let kept = (!self.only_looked_at).then(|| path.clone());
        let mut watch = OnWatch::new(session, kept, kit, self.speeds);
        watch.said = recall.cut.map(|cut| Said {
            words: format!(
                "line {} of the journal was not written to its end ({} bytes, {}); nothing before it is lost",
                cut.line,
                cut.bytes,
                if self.only_looked_at { "left out" } else { "taken off" },
            ),
            bad: true,
        });
        Ok(watch)
    }
}

/// A file that a watch begins with, and what it says.
type Text = (FileAsRead, String);

fn sheets_of(file: Option<&Text>) -> Result<Sheets, CannotSit> {
    match file {
        None => Ok(Sheets::built_in().clone()),
        Some((file, text)) => Ok(Sheets::read(&file.path.display().to_string(), text)?),
    }
}

/// Where the watch begins: at a time, or with a present.
fn start(
    from: Option<&str>,
    scenario: &Scenario,
) -> Result<(Start, Option<FileAsRead>), CannotSit> {
    let Some(from) = from else {
        return Ok((Start::At(0), None));
    };
    let path = Path::new(from);
    if !path.is_file() {
        return match scenario.time().read(from) {
            Ok(time) => Ok((Start::At(time.at_s.max(0)), None)),
            Err(bad) => Err(CannotSit::NoTime {
                from: from.to_owned(),
                why: bad.to_string(),
            }),
        };
    }
    let whole: Arc<WholePresent> = Arc::new(whole_present(path, scenario)?);
    Ok((Start::Present(whole), Some(text(path)?.0)))
}

fn text(path: &Path) -> Result<Text, CannotSit> {
    let text = std::fs::read_to_string(path).map_err(|error| CannotSit::File {
        path: path.to_owned(),
        error,
    })?;
    let file = FileAsRead {
        path: path.to_owned(),
        digest: Digest::of(text.as_bytes()),
    };
    Ok((file, text))
}

/// A file that a journal's watch began with, which has to be as it was.
fn same_text(file: &FileAsRead) -> Result<Text, CannotSit> {
    let text = text(&file.path)?;
    match text.0.digest == file.digest {
        true => Ok(text),
        false => Err(CannotSit::Changed(file.path.clone())),
    }
}

/// A file beside the user for the journal of a watch of a job, that is not there yet.
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
