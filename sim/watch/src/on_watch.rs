//! Somebody on watch at a screen, whichever it is: the session with the clock that it goes by, how lines and times that he
//! gives become acts of it, and what was said of the last one.

use crate::clock::Clock;
use crate::hands::Hands;
use crate::keys::Keys;
use crate::remedy::remedy;
use crate::session::{Session, SessionError};
use crate::sheets::Sheets;
use crate::verbs::{Asked, Verb, asking, belongs, in_words, info};
use deepstay_core::CAUTION;
use deepstay_core::record::{Fitness, LimitName, Refused, Sitter, Station};
use deepstay_core::units::text::Duration;
use deepstay_core::words::{Names, Words};
use deepstay_job::{Act, AlarmNow, Ended};
use deepstay_scenario::Slip;
use std::path::PathBuf;
use std::time::Instant;

/// What whoever sits down to a job whose plan makes lost runs good has to know.
const NOT_PLANNED_ANEW: &str = "The plan of this job has lost bell runs planned anew; on a watch nobody does that: a run that is lost stays lost, and `run` and `rota --replan` plan anew.";

/// What came of the last act.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said {
    /// The words.
    pub words: String,
    /// It was refused, not understood, or could not be written.
    pub bad: bool,
}

/// What a watch was worth when it was left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Worth {
    /// Nobody hurt, and all of it in the journal.
    Done,
    /// Somebody hurt, or the journal not written to its end.
    NotCompleted,
    /// An amount below nothing: a fault of the program.
    BrokenInvariant,
}

/// A watch that was left.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Left {
    /// What is said of it.
    pub words: String,
    /// What it is worth.
    pub worth: Worth,
}

/// What a watch brings with it.
pub struct Kit {
    /// How long acts take.
    pub hands: Hands,
    /// Its sheets.
    pub sheets: Sheets,
    /// Which key says which verb.
    pub keys: Keys,
}

/// Somebody on watch.
pub struct OnWatch {
    /// The session.
    pub session: Session,
    /// Its journal, where one is kept.
    path: Option<PathBuf>,
    /// How fast time passes.
    pub clock: Clock,
    /// What came of the last act.
    pub said: Option<Said>,
    /// The journal can no longer be written: time stands until it can.
    pub stuck: Option<String>,
    /// What the watch brings with it.
    pub kit: Kit,
    rung: Vec<LimitName>,
}

impl OnWatch {
    /// Just sat down.
    pub fn new(
        session: Session,
        path: Option<PathBuf>,
        kit: Kit,
        speeds: &'static [u32],
    ) -> OnWatch {
        let rung = session.indicated().alarms.iter().map(|a| a.name).collect();
        let replans = session.scenario().plan.slip == Slip::Replan;
        let said = replans.then(|| Said {
            words: NOT_PLANNED_ANEW.to_owned(),
            bad: false,
        });
        OnWatch {
            session,
            path,
            clock: Clock::new(speeds, Instant::now()),
            said,
            stuck: None,
            kit,
            rung,
        }
    }

    /// The stations that a person sits at.
    pub fn mine(&self) -> Vec<Station> {
        let stations = [Station::Saturation, Station::Dive].into_iter();
        stations
            .filter(|s| self.session.sitter(*s) == Sitter::Person)
            .collect()
    }

    /// Vessel time to the second.
    pub fn clock_at(&self, at_s: i64) -> String {
        let time = self.session.scenario().time();
        let s = time.second_of_day(at_s).rem_euclid(60);
        format!("{}:{s:02}", time.clock(at_s))
    }

    /// The watch is left: what is said of it. `goes_on` is the command that takes a journal up again.
    pub fn left(mut self, goes_on: &str) -> Left {
        let marked = self.session.mark();
        let time = self.session.scenario().time();
        let (worst, worth) = self.worst();
        let Some(path) = &self.path else {
            return Left {
                words: format!("{worst}{CAUTION}"),
                worth,
            };
        };
        let path = path.display();
        let acts = self.session.acts().count();
        match (marked, self.session.is_over()) {
            (Err(error), _) => Left {
                words: format!("{worst}{error}\nthe acts before are in {path}\n{CAUTION}"),
                worth: match worth {
                    Worth::Done => Worth::NotCompleted,
                    worse => worse,
                },
            },
            (Ok(()), over) => Left {
                words: format!(
                    "{worst}left at {}{}: {acts} acts in {path}; `{goes_on} {path}` goes on\n{CAUTION}",
                    time.clock(self.session.now()),
                    if over { ", the job over" } else { "" },
                ),
                worth,
            },
        }
    }

    /// The worst that has come of the watch, as its first line, and what that is worth. Who leaves is told the truth.
    fn worst(&self) -> (String, Worth) {
        let scenario = self.session.scenario();
        if let Some(ended @ Ended::BelowZero(_)) = self.session.ended() {
            return (
                format!("{}\n", ended.words(scenario)),
                Worth::BrokenInvariant,
            );
        }
        let not_well: Vec<_> = self.session.not_well().collect();
        let Some(worst) = not_well.iter().map(|(_, fitness)| *fitness).max() else {
            return (String::new(), Worth::Done);
        };
        let who: Vec<String> = not_well
            .iter()
            .map(|(d, fitness)| format!("{} {}", scenario.initials(*d), fitness.words()))
            .collect();
        let head = match worst {
            Fitness::Dead => "SOMEBODY DEAD",
            Fitness::Well | Fitness::Slow | Fitness::Confused | Fitness::Out => "SOMEBODY HURT",
        };
        (format!("{head}: {}\n", who.join(", ")), Worth::NotCompleted)
    }

    /// Time passes.
    pub fn tick(&mut self, now: Instant) {
        let passed = self.clock.passed(now);
        if passed == 0 {
            return;
        }
        let to = self.session.now() + passed;
        let done = self.session.advance_to(to);
        self.written(done);
        self.tell_what_came();
        self.look_for_new_alarms();
        if self.session.is_over() {
            self.clock.run(false, now);
            self.say("the job is over; Q leaves the watch", false);
        }
    }

    /// Says what came of acts that took time.
    pub fn tell_what_came(&mut self) {
        let came = self.session.take_came().into_iter();
        let came: Vec<_> = came.map(|(_, act, done)| (act, done)).collect();
        self.tell_all(&came, None);
    }

    /// What rings anew brings the clock back to the job's own speed.
    fn look_for_new_alarms(&mut self) {
        let alarms = self.session.indicated().alarms;
        let is_new = |a: &&AlarmNow| a.shows() && a.state.waits() && !self.rung.contains(&a.name);
        let new = alarms.iter().find(is_new).map(|a| a.name);
        self.rung = alarms.iter().map(|a| a.name).collect();
        if let (Some(name), true) = (new, self.clock.speed() > 1) {
            self.clock.real();
            let words = self.session.scenario().limit(&name);
            self.say(format!("ALARM {words}: time passes at x1"), true);
        }
    }

    /// Whether the journal could be written: where not, time stands.
    pub fn written(&mut self, done: Result<(), SessionError>) {
        match done {
            Ok(()) => self.stuck = None,
            Err(error) => {
                self.clock.run(false, Instant::now());
                let words = format!("{error}: time stands; nothing is lost, make room and go on");
                self.stuck = Some(words.clone());
                self.say(words, true);
            }
        }
    }

    /// What stands on the last line, and whether it is bad news: that the journal cannot be written goes before all else.
    pub fn last_line(&self) -> Option<(&str, bool)> {
        let stuck = self.stuck.as_deref().map(|words| (words, true));
        stuck.or(self.said.as_ref().map(|said| (&*said.words, said.bad)))
    }

    /// Says something on the last line.
    pub fn say(&mut self, words: impl Into<String>, bad: bool) {
        let words = words.into();
        self.said = Some(Said { words, bad });
    }

    /// Says what came of acts of one moment: what was refused before what was done, for there is one line to say it on.
    fn tell_all(&mut self, came: &[(Act, Result<(), Refused>)], words: Option<&str>) {
        let refused = came.iter().find(|(_, done)| done.is_err());
        if let Some((act, done)) = refused.or(came.last()) {
            self.tell(act, words, *done);
        }
    }

    fn tell(&mut self, act: &Act, words: Option<&str>, done: Result<(), Refused>) {
        let scenario = self.session.scenario();
        let line = in_words(act, scenario, words);
        let clock = self.clock_at(self.session.now());
        match done {
            Ok(()) => {
                let how = match act {
                    Act::Call { .. } => "said",
                    _ => "done",
                };
                self.say(format!("{clock}  {how}: {line}"), false);
            }
            Err(why) => {
                let request = belongs(act, scenario, &self.session.indicated());
                let remedy = match (why, request) {
                    (Refused::NotYours, Some(request)) => {
                        format!("`{}` asks for it", asking(request, scenario))
                    }
                    _ => remedy(why).to_owned(),
                };
                let words = format!("{clock}  refused: {line}: {}; {remedy}", why.words());
                self.say(words, true);
            }
        }
    }

    /// A line is said.
    pub fn line(&mut self, line: &str) {
        if line.trim().is_empty() {
            return;
        }
        match self.session.understand(line, &self.kit.sheets) {
            Err(why) => self.say(why.to_string(), true),
            Ok(asked) => self.ask(&asked),
        }
    }

    /// Does what a line asks for, as the station whose it is.
    fn ask(&mut self, asked: &Asked) {
        let sits = matches!(asked.verb, Verb::Take | Verb::HandOver | Verb::Leave);
        let mine = self.mine();
        let row = info(asked.verb);
        let seen = self.session.indicated();
        let scenario = self.session.scenario();
        let first = asked.acts.first().map(|(act, _)| act);
        let belongs = first.and_then(|act| belongs(act, scenario, &seen));
        // Who sits at both stations gives each order as the one to which it belongs, and calls the one from the other.
        let fits = |s: &&Station| match (belongs, first) {
            (Some(request), _) => request.owner() == **s,
            (None, Some(Act::Call { to, .. })) => to.station() != Some(**s),
            (None, _) => true,
        };
        let may = || mine.iter().filter(|s| row.at.is_at(**s));
        let by = match may().find(fits).or_else(|| may().next()) {
            Some(station) => *station,
            None if sits => Station::Saturation,
            None if mine.is_empty() => {
                self.say(
                    "you sit at no station; `take saturation` or `take dive`",
                    true,
                );
                return;
            }
            None => {
                let (whose, take) = match mine.first() {
                    Some(Station::Dive) => (Station::Saturation, "take saturation"),
                    _ => (Station::Dive, "take dive"),
                };
                let ask = belongs.map_or(String::new(), |request| {
                    format!("`{}` asks for it, or ", asking(request, scenario))
                });
                let words = format!(
                    "`{}` is {}'s to do; {ask}`{take}` first",
                    row.name,
                    whose.words()
                );
                self.say(words, true);
                return;
            }
        };
        if let Some(open) = self.open_items(asked) {
            self.say(open, true);
            return;
        }
        let mut came = Vec::new();
        for (act, takes_s) in &asked.acts {
            let act = match *act {
                Act::Note(_) => Act::Note(self.session.next_note()),
                act => act,
            };
            let by = match act {
                Act::Sit { station, .. } => station,
                _ => by,
            };
            let takes_s = match *takes_s {
                0 => self.session.takes_s(asked.verb, &self.kit.hands),
                said => said,
            };
            match self.session.act(by, act, takes_s, asked.words.clone()) {
                Err(error) => {
                    self.written(Err(error));
                    return;
                }
                Ok(done) => {
                    self.stuck = None;
                    if takes_s == 0 || done.is_err() {
                        came.push((act, done));
                    } else {
                        let line = in_words(&act, self.session.scenario(), None);
                        self.say(format!("begun: {line}"), false);
                    }
                }
            }
        }
        self.tell_all(&came, asked.words.as_deref());
    }

    /// Of a sheet that is to be signed, what keeps it from that.
    fn open_items(&self, asked: &Asked) -> Option<String> {
        let (Act::Sheet { sheet, item: None }, _) = asked.acts.first()? else {
            return None;
        };
        let ticked = self.session.ticked(*sheet);
        let count = self.kit.sheets.items(usize::from(*sheet)).len();
        let open: Vec<String> = (0..count)
            .filter(|k| !u16::try_from(*k).is_ok_and(|k| ticked.contains_key(&k)))
            .map(|k| (k + 1).to_string())
            .collect();
        let name = asked.words.as_deref().unwrap_or_default();
        (!open.is_empty()).then(|| {
            format!(
                "not signed: of `{name}` {} not gone through yet; `tick {name} ITEM`, or all",
                match &open[..] {
                    [one] => format!("item {one} is"),
                    several => format!("items {} are", several.join(", ")),
                }
            )
        })
    }

    /// Goes back to a time, or by one, and begins another branch there.
    pub fn jump(&mut self, line: &str) {
        let line = line.trim();
        if line.is_empty() {
            return;
        }
        let time = self.session.scenario().time();
        let back = line.parse::<Duration>();
        let to = match (back, time.read(line)) {
            (Ok(back), _) => self.session.now() - back.0,
            (_, Ok(at)) => at.at_s,
            (_, Err(bad)) => {
                self.say(bad.to_string(), true);
                return;
            }
        };
        match self.session.jump(to) {
            Ok(branch) => {
                let words = format!("back at {}; this is branch {branch}", time.clock(to));
                self.say(words, false);
                self.rung = self
                    .session
                    .indicated()
                    .alarms
                    .iter()
                    .map(|a| a.name)
                    .collect();
            }
            Err(SessionError::NotThere { .. }) => {
                let words = format!(
                    "{} is not between when you sat down ({}) and now",
                    time.clock(to),
                    time.clock(self.session.from_s())
                );
                self.say(words, true);
            }
            Err(error) => self.written(Err(error)),
        }
    }
}
