//! The watch on the terminal: what is shown, what the keys do, and how lines become acts of the session.

use super::clock::Clock;
use super::editor::Editor;
use crate::command::exit::Exit;
use crate::job::{Act, AlarmNow, Ended as JobEnded, Indicated};
use crate::record::{Fitness, LimitName, Phase, Refused, Sitter, Station};
use crate::rules::Provenance;
use crate::units::{CompartmentId, Quantity, Units};
use crate::watch::{
    Asked, Hands, Keys, Part, Session, SessionError, Sheets, Verb, VerbInfo, asking, belongs,
    in_words, info, remedy,
};
use crate::words::{Names, Words};
use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use std::path::PathBuf;
use std::time::Instant;

/// A page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Page {
    /// All vessels.
    All,
    /// One vessel.
    One,
    /// Gas.
    Gas,
    /// Bell and divers.
    Bell,
    /// Alarms.
    Alarms,
    /// Readings hour by hour.
    Readings,
    /// What the next watch has to know.
    Handover,
    /// Check sheets.
    Sheets,
    /// Keys and verbs.
    Help,
}

impl Page {
    /// The pages that have a number, in their order.
    pub const NUMBERED: [Page; 8] = [
        Page::All,
        Page::One,
        Page::Gas,
        Page::Bell,
        Page::Alarms,
        Page::Readings,
        Page::Handover,
        Page::Sheets,
    ];

    /// What it is called, by the question it answers.
    pub fn title(self) -> &'static str {
        match self {
            Page::All => "how they live",
            Page::One => "one vessel",
            Page::Gas => "gas",
            Page::Bell => "bell and divers",
            Page::Alarms => "alarms",
            Page::Readings => "log sheet",
            Page::Handover => "handover",
            Page::Sheets => "check sheets",
            Page::Help => "keys and verbs",
        }
    }
}

/// What is being typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Typing {
    /// Nothing: keys act.
    Nothing,
    /// An order.
    Order,
    /// A time to jump back to.
    Jump,
}

/// What came of the last act.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said {
    /// The words.
    pub words: String,
    /// It was refused, not understood, or could not be written.
    pub bad: bool,
}

/// Quantities that a trend goes through.
pub const TRENDS: [Quantity; 5] = [
    Quantity::PpO2,
    Quantity::Depth,
    Quantity::PpCo2,
    Quantity::Temperature,
    Quantity::Humidity,
];
/// How long a trend may be, s.
pub const SPANS_S: [i64; 5] = [1800, 7200, 6 * 3600, 12 * 3600, 24 * 3600];

/// How a watch on the terminal ended.
pub struct Ended {
    /// What is said of it.
    pub words: String,
    /// What it is worth.
    pub exit: Exit,
}

/// What a watch brings with it.
pub struct Kit {
    /// Units on the screen.
    pub units: Units,
    /// How long acts take.
    pub hands: Hands,
    /// Its sheets.
    pub sheets: Sheets,
    /// Which key says which verb.
    pub keys: Keys,
}

/// The watch.
pub struct App {
    /// The session.
    pub session: Session,
    path: PathBuf,
    /// Units on the screen.
    pub units: Units,
    /// How fast time passes.
    pub clock: Clock,
    /// What is shown.
    pub page: Page,
    /// The vessel chosen.
    pub vessel: usize,
    /// What is being typed.
    pub typing: Typing,
    /// The order line.
    pub editor: Editor,
    /// What came of the last act.
    pub said: Option<Said>,
    held: Option<Indicated>,
    /// The trend shown: of which quantity, and how long, by their places.
    pub trend: (usize, usize),
    /// How far a page is turned on.
    pub turned: usize,
    /// The journal can no longer be written: time stands until it can.
    pub stuck: Option<String>,
    /// Rows of the rule set, by their numbers.
    pub rows: Vec<Provenance>,
    /// What the watch brings with it.
    pub kit: Kit,
    /// The check sheet chosen.
    pub sheet: usize,
    rung: Vec<LimitName>,
    leaving: bool,
}

impl App {
    /// Just sat down.
    pub fn new(session: Session, path: PathBuf, kit: Kit, told: Option<String>) -> App {
        let rung = session.indicated().alarms.iter().map(|a| a.name).collect();
        App {
            rows: session.scenario().rules.row_list(),
            session,
            path,
            units: kit.units,
            clock: Clock::new(Instant::now()),
            page: Page::All,
            vessel: 0,
            typing: Typing::Nothing,
            editor: Editor::default(),
            said: told.map(|words| Said { words, bad: true }),
            held: None,
            trend: (0, 1),
            turned: 0,
            stuck: None,
            kit,
            sheet: 0,
            rung,
            leaving: false,
        }
    }

    /// What is drawn: what the watch sees now, or saw when the display was held.
    pub fn seen(&self) -> Indicated {
        self.held
            .clone()
            .unwrap_or_else(|| self.session.indicated())
    }

    /// Whether the display is held.
    pub fn holds_display(&self) -> bool {
        self.held.is_some()
    }

    /// The vessel chosen.
    pub fn at(&self) -> CompartmentId {
        CompartmentId(u8::try_from(self.vessel).unwrap_or(0))
    }

    /// The level of the plan that a vessel belongs to.
    pub fn level_of(&self, at: CompartmentId) -> Option<usize> {
        let levels = &self.session.scenario().plan.levels;
        levels.iter().position(|l| l.members.contains(&at))
    }

    /// What a vessel is said to do, after its name; nothing of one that no level holds.
    pub fn phase(&self, at: CompartmentId, phase: Phase) -> String {
        let level = self.level_of(at);
        level.map_or(String::new(), |_| format!(": {}", phase.words()))
    }

    /// Its name.
    pub fn vessel_name(&self) -> &str {
        let vessels = &self.session.scenario().steel.compartments;
        vessels.get(self.vessel).map_or("", |c| &c.name)
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

    /// Whether the person leaves.
    pub fn leaves(&self) -> bool {
        self.leaving
    }

    /// The watch is left: what is said of it.
    pub fn left(mut self) -> Ended {
        let marked = self.session.mark();
        let time = self.session.scenario().time();
        let path = self.path.display();
        let acts = self.session.acts().count();
        let caution = crate::CAUTION;
        let (worst, exit) = self.worst();
        match (marked, self.session.is_over()) {
            (Err(error), _) => Ended {
                words: format!("{worst}{error}\nthe acts before are in {path}\n{caution}"),
                exit: exit.or_else(|| Exit::NotCompleted),
            },
            (Ok(()), over) => Ended {
                words: format!(
                    "{worst}left at {}{}: {acts} acts in {path}; `deepstay watch --resume {path}` goes on\n{caution}",
                    time.clock(self.session.now()),
                    if over { ", the job over" } else { "" },
                ),
                exit,
            },
        }
    }

    /// The worst that has come of the watch, as its first line, and what that is worth. Who leaves is told the truth.
    fn worst(&self) -> (String, Exit) {
        let scenario = self.session.scenario();
        if let Some(ended @ JobEnded::BelowZero(_)) = self.session.ended() {
            return (
                format!("{}\n", ended.words(scenario)),
                Exit::BrokenInvariant,
            );
        }
        let not_well: Vec<_> = self.session.not_well().collect();
        let Some(worst) = not_well.iter().map(|(_, fitness)| *fitness).max() else {
            return (String::new(), Exit::Done);
        };
        let who: Vec<String> = not_well
            .iter()
            .map(|(d, fitness)| format!("{} {}", scenario.initials(*d), fitness.words()))
            .collect();
        let head = match worst {
            Fitness::Dead => "SOMEBODY DEAD",
            Fitness::Well | Fitness::Slow | Fitness::Confused | Fitness::Out => "SOMEBODY HURT",
        };
        (format!("{head}: {}\n", who.join(", ")), Exit::NotCompleted)
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

    fn written(&mut self, done: Result<(), SessionError>) {
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

    /// A key.
    pub fn key(&mut self, key: KeyEvent) {
        if key.modifiers.contains(KeyModifiers::CONTROL) {
            match key.code {
                KeyCode::Char('c') if self.typing == Typing::Nothing => self.leaving = true,
                KeyCode::Char('c') => self.typing = Typing::Nothing,
                _ => {}
            }
            return;
        }
        match self.typing {
            Typing::Nothing => self.panel_key(key.code),
            Typing::Order | Typing::Jump => self.line_key(key.code),
        }
    }

    fn panel_key(&mut self, key: KeyCode) {
        match key {
            KeyCode::Char(' ') => {
                let runs = !self.clock.runs() && !self.session.is_over();
                self.clock.run(runs, Instant::now());
                let done = self.session.mark();
                self.written(done);
            }
            KeyCode::Char('[') => self.clock.change(false),
            KeyCode::Char(']') => self.clock.change(true),
            KeyCode::Char('f') => {
                self.held = match self.held {
                    Some(_) => None,
                    None => Some(self.session.indicated()),
                };
            }
            KeyCode::Char('u') => {
                self.units = match self.units {
                    Units::Metric => Units::Imperial,
                    Units::Imperial => Units::Metric,
                };
            }
            KeyCode::Char('?') => self.turn_to(Page::Help),
            KeyCode::Esc => self.turn_to(Page::All),
            KeyCode::Char('Q') => self.leaving = true,
            KeyCode::Char(':') => {
                self.editor.put("");
                self.typing = Typing::Order;
            }
            KeyCode::Char('J') => {
                self.editor.put("");
                self.typing = Typing::Jump;
            }
            KeyCode::Char('c') => {
                self.line("silence");
                self.line("ack all");
            }
            KeyCode::Char('+') => self.trend.0 = (self.trend.0 + 1) % TRENDS.len(),
            KeyCode::Char('-') => {
                self.trend.0 = (self.trend.0 + TRENDS.len() - 1) % TRENDS.len();
            }
            KeyCode::Char('>') => self.trend.1 = (self.trend.1 + 1).min(SPANS_S.len() - 1),
            KeyCode::Char('<') => self.trend.1 = self.trend.1.saturating_sub(1),
            KeyCode::PageUp => self.turned = self.turned.saturating_add(10),
            KeyCode::PageDown => self.turned = self.turned.saturating_sub(10),
            KeyCode::Up | KeyCode::Down => {
                let (chosen, count) = match self.page {
                    Page::Sheets => (&mut self.sheet, self.kit.sheets.checks.len().max(1)),
                    _ => {
                        let vessels = &self.session.scenario().steel.compartments;
                        (&mut self.vessel, vessels.len())
                    }
                };
                let by = if key == KeyCode::Down { 1 } else { count - 1 };
                *chosen = (*chosen + by) % count;
            }
            KeyCode::Char(c @ '1'..='8') => {
                let k = c as usize - '1' as usize;
                self.turn_to(Page::NUMBERED[k]);
            }
            KeyCode::Char(c) => {
                if let Some(verb) = self.kit.keys.verb(c) {
                    self.verb_key(info(verb));
                }
            }
            _ => {}
        }
    }

    fn turn_to(&mut self, page: Page) {
        self.page = page;
        self.turned = 0;
    }

    /// A verb's key writes its word, and the vessel chosen where one comes first; a verb that wants no more is done.
    fn verb_key(&mut self, row: &VerbInfo) {
        if row.parts.is_empty() {
            self.line(row.name);
            return;
        }
        let vessel = self.vessel_name().to_owned();
        let begun = match row.parts[0] {
            Part::Vessel | Part::VesselOrDiver | Part::Instrument => {
                format!("{} {vessel} ", row.name)
            }
            _ => format!("{} ", row.name),
        };
        self.editor.put(&begun);
        self.typing = Typing::Order;
    }

    fn line_key(&mut self, key: KeyCode) {
        match key {
            KeyCode::Esc => self.typing = Typing::Nothing,
            KeyCode::Enter => {
                let line = self.editor.take();
                match self.typing {
                    Typing::Jump => self.jump(&line),
                    _ => self.line(&line),
                }
                self.typing = Typing::Nothing;
            }
            KeyCode::Tab => {
                let scenario = self.session.scenario().clone();
                let seen = self.session.indicated();
                self.editor.complete(&scenario, &seen, &self.kit.sheets);
            }
            KeyCode::Backspace if self.editor.text().is_empty() => self.typing = Typing::Nothing,
            KeyCode::Backspace => self.editor.rub_out(),
            KeyCode::Left => self.editor.step(false),
            KeyCode::Right => self.editor.step(true),
            KeyCode::Home => self.editor.go_to_end(false),
            KeyCode::End => self.editor.go_to_end(true),
            KeyCode::Up => self.editor.recall(true),
            KeyCode::Down => self.editor.recall(false),
            KeyCode::Char(sign) => self.editor.insert(sign),
            _ => {}
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

    fn jump(&mut self, line: &str) {
        let line = line.trim();
        if line.is_empty() {
            return;
        }
        let time = self.session.scenario().time();
        let back = line.parse::<crate::units::text::Duration>();
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
                self.held = None;
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
