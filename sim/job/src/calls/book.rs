//! The book of calls: answers to come, calls that wait for one, requests that stand open, what was granted, and where
//! people were said to be where that is not where they are.

use super::OpenRequest;
use crate::random::Streams;
use deepstay_core::record::{
    Answer, Called, Callee, Fitness, Phrase, PhraseKind, Request, Sitter, Spoken, Station,
    Whereabouts, counted,
};
use deepstay_core::units::*;
use deepstay_core::words::Names;
use deepstay_crew::Crew;
use deepstay_crew::voices::{Manner, Unasked};
use deepstay_plant::Activity;
use deepstay_scenario::Scenario;
use serde::{Deserialize, Serialize};

/// Variates of one call: which of the outcomes, when, and two for what is said.
const VARIATES: u64 = 4;

/// An answer to come.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Due {
    /// When.
    pub due_s: i64,
    /// The call's number.
    pub call: u64,
    /// Who called.
    pub station: Station,
    /// Who answers.
    pub from: Callee,
    /// What was said to him.
    pub phrase: Phrase,
    /// When, s.
    pub asked_s: i64,
    /// How it is answered.
    pub manner: Manner,
    /// Two variates between 0 and 1 for what is said.
    pub variates: [f64; 2],
}

/// A call that waits for an answer.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
struct Open {
    call: u64,
    station: Station,
    to: Callee,
    phrase: Phrase,
    asked_s: i64,
    until_s: i64,
}

/// Something that was granted, to whom, and until when.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
struct Grant {
    to: Station,
    request: Request,
    until_s: i64,
}

/// A remark to come.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
struct Remark {
    due_s: i64,
    diver: DiverId,
    report: Spoken,
}

/// The book.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct CallBook {
    /// How many calls there have been.
    calls: u64,
    due: Vec<Due>,
    open: Vec<Open>,
    requests: Vec<OpenRequest>,
    granted: Vec<Grant>,
    remarks: Vec<Remark>,
    /// Where a diver was when he was said to be elsewhere, and where that was.
    said: Vec<(DiverId, Whereabouts, Whereabouts)>,
}

/// Who may hear a call.
pub struct Hearers<'a> {
    /// The scenario.
    pub scenario: &'a Scenario,
    /// The divers.
    pub crew: &'a Crew,
    /// Who sits at the station that is called, where one is.
    pub sitter: Sitter,
    /// The second.
    pub now_s: i64,
}

impl Hearers<'_> {
    /// Everybody who answers for himself; of what one can say for all, the one who is best able to.
    fn divers(&self, to: Callee, phrase: PhraseKind) -> Vec<DiverId> {
        match to {
            Callee::Diver(d) => vec![d],
            Callee::Place(c) => {
                let mut all: Vec<DiverId> = self.crew.inside(c).collect();
                if speaks_for_all(phrase) {
                    all.sort_by_key(|d| self.crew.fitness(*d));
                    all.truncate(1);
                }
                all
            }
            Callee::DiveControl
            | Callee::SaturationControl
            | Callee::OutsideHand
            | Callee::Bridge
            | Callee::Superintendent
            | Callee::Doctor => Vec::new(),
        }
    }
}

/// Whether one man says it for all who are with him.
fn speaks_for_all(phrase: PhraseKind) -> bool {
    match phrase {
        PhraseKind::Listen
        | PhraseKind::HeadCount
        | PhraseKind::ReadYourGauge
        | PhraseKind::CheckValve => true,
        PhraseKind::HowAreYou
        | PhraseKind::BibsOn
        | PhraseKind::BibsOff
        | PhraseKind::LeaveFor
        | PhraseKind::ComeBack
        | PhraseKind::OnBoardGas
        | PhraseKind::BailOut
        | PhraseKind::StandBy
        | PhraseKind::Ask
        | PhraseKind::RequestGranted
        | PhraseKind::Wait
        | PhraseKind::TreatmentAdvice
        | PhraseKind::Abandon
        | PhraseKind::Weather
        | PhraseKind::Position
        | PhraseKind::ReadBank
        | PhraseKind::GasDelivery
        | PhraseKind::Inform => false,
    }
}

impl CallBook {
    /// The next second at which something is said, or no longer waited for.
    pub fn next_s(&self) -> i64 {
        let due = self.due.iter().map(|d| d.due_s);
        let open = self.open.iter().map(|o| o.until_s);
        let remarks = self.remarks.iter().map(|r| r.due_s);
        due.chain(open).chain(remarks).min().unwrap_or(i64::MAX)
    }

    /// A call that makes sense is given: who hears it, and who will answer how and when.
    pub fn give(&mut self, station: Station, to: Callee, phrase: Phrase, hearers: &Hearers) {
        let call = self.calls;
        self.calls += 1;
        let now_s = hearers.now_s;
        let voices = &hearers.scenario.voices;
        let mut until_s = now_s + voices.no_answer_after as i64;
        for (from, state) in answering(to, phrase.kind(), hearers) {
            let Some(row) = voices.answers(to.called(), phrase.kind(), state) else {
                continue;
            };
            let mut draw = Streams::new(hearers.scenario.seed).named(
                &format!("answers of {}", hearers.scenario.callee(from)),
                VARIATES * call,
            );
            let drawn = row.drawn(draw.uniform(), draw.uniform());
            let variates = [draw.uniform(), draw.uniform()];
            if drawn.manner == Manner::Nothing {
                continue;
            }
            let asleep =
                matches!(from, Callee::Diver(d) if hearers.crew.activity(d) == Activity::Sleep);
            let waking_s = if asleep {
                let wide_s = voices.waking_most - voices.waking_least;
                (voices.waking_least + variates[1] * wide_s) as i64
            } else {
                0
            };
            let due_s = now_s + drawn.after_s.max(1) + waking_s;
            until_s = until_s.max(due_s);
            self.due.push(Due {
                due_s,
                call,
                station,
                from,
                phrase,
                asked_s: now_s,
                manner: drawn.manner,
                variates,
            });
        }
        if to.station().is_some() && hearers.sitter == Sitter::Person {
            if let Phrase::Ask(request) = phrase {
                self.requests.push(OpenRequest {
                    by: station,
                    request,
                    since_s: now_s,
                });
            }
            // A person answers as he sees fit: nobody counts the seconds for him.
            return;
        }
        self.open.push(Open {
            call,
            station,
            to,
            phrase,
            asked_s: now_s,
            until_s,
        });
    }

    /// The longest standing request of a station to another.
    pub fn asked_of(&self, station: Station, by: Station) -> Option<OpenRequest> {
        let mine = |r: &&OpenRequest| r.by == by && r.request.owner() == station;
        self.requests.iter().find(mine).copied()
    }

    /// A request is answered.
    pub fn close(&mut self, request: OpenRequest) {
        if let Some(k) = self.requests.iter().position(|r| *r == request) {
            self.requests.remove(k);
        }
    }

    /// Requests that stand open.
    pub fn requests(&self) -> &[OpenRequest] {
        &self.requests
    }

    /// What was asked of a station is put off or forgotten when somebody else sits down there.
    pub fn forget_requests_of(&mut self, station: Station) {
        self.requests.retain(|r| r.request.owner() != station);
    }

    /// Something is granted to a station until a second.
    pub fn grant(&mut self, to: Station, request: Request, until_s: i64) {
        self.granted.retain(|g| (g.to, g.request) != (to, request));
        self.granted.push(Grant {
            to,
            request,
            until_s,
        });
    }

    /// Whether something is granted to a station at a second.
    pub fn is_granted(&self, to: Station, request: Request, now_s: i64) -> bool {
        let holds = |g: &Grant| (g.to, g.request) == (to, request) && now_s <= g.until_s;
        self.granted.iter().any(holds)
    }

    /// The next answer that is due by a second.
    pub fn take_due(&mut self, now_s: i64) -> Option<Due> {
        let due = self.due.iter().enumerate();
        let first = due
            .filter(|(_, d)| d.due_s <= now_s)
            .min_by_key(|(k, d)| (d.due_s, *k))?
            .0;
        Some(self.due.remove(first))
    }

    /// Somebody has answered a call: nobody waits for it any more.
    pub fn answered(&mut self, call: u64) {
        self.open.retain(|o| o.call != call);
    }

    /// A call to which nobody has answered by a second: who called, whom, what he said and when.
    pub fn take_unanswered(&mut self, now_s: i64) -> Option<(Station, Callee, Phrase, i64)> {
        let k = self.open.iter().position(|o| o.until_s <= now_s)?;
        let open = self.open.remove(k);
        Some((open.station, open.to, open.phrase, open.asked_s))
    }

    /// What a diver says by himself at a second: at once, later, or not at all. What is to be said at once is given
    /// back.
    pub fn remark(
        &mut self,
        scenario: &Scenario,
        now_s: i64,
        diver: DiverId,
        report: Spoken,
    ) -> Option<Spoken> {
        let says = Unasked::of(report);
        let Some((says, row)) = says.and_then(|s| Some((s, scenario.voices.unasked(s)?))) else {
            return Some(report);
        };
        if row.is_certain() {
            return Some(report);
        }
        let place = u64::try_from(now_s).unwrap_or(0) * 16 + 2 * says as u64;
        let name = format!("remarks of {}", scenario.initials(diver));
        let mut draw = Streams::new(scenario.seed).named(&name, place);
        match row.after_s(draw.uniform(), draw.uniform())? {
            0 => Some(report),
            later_s => {
                self.remarks.push(Remark {
                    due_s: now_s + later_s,
                    diver,
                    report,
                });
                None
            }
        }
    }

    /// The next remark that is due by a second.
    pub fn take_remark(&mut self, now_s: i64) -> Option<(DiverId, Spoken)> {
        let k = self.remarks.iter().position(|r| r.due_s <= now_s)?;
        let remark = self.remarks.remove(k);
        Some((remark.diver, remark.report))
    }

    /// Where a diver is as far as he and others said: where he is, unless he was said to be elsewhere and has not
    /// moved since.
    pub fn said_to_be(&self, diver: DiverId, is_at: Whereabouts) -> Whereabouts {
        let said = self
            .said
            .iter()
            .find(|(d, was, _)| *d == diver && *was == is_at);
        said.map_or(is_at, |(_, _, at)| *at)
    }

    /// An answer says where somebody is, or goes.
    pub fn hear(
        &mut self,
        due: &Due,
        answer: &Answer,
        crew: &Crew,
        chamber: impl Fn(DiverId) -> CompartmentId,
    ) {
        let Callee::Diver(speaker) = due.from else {
            return;
        };
        let at = crew.whereabouts(speaker);
        match (*answer, due.phrase) {
            (Answer::Done, Phrase::LeaveFor(c)) => self.put(speaker, at, Whereabouts::In(c)),
            (Answer::Done, Phrase::ComeBack) => {
                let to = match at {
                    Whereabouts::Water(bell) => bell,
                    Whereabouts::In(_) | Whereabouts::Deck => chamber(speaker),
                };
                self.put(speaker, at, Whereabouts::In(to));
            }
            (Answer::Heads(bits), Phrase::HeadCount) => {
                for d in counted(bits).filter(|d| d.index() < crew.len()) {
                    self.put(d, crew.whereabouts(d), at);
                }
            }
            _ => {}
        }
    }

    /// Divers are seen where they are: whatever was said of them is no longer believed.
    pub fn see(&mut self, seen: u64) {
        self.said
            .retain(|(diver, ..)| !counted(seen).any(|d| d == *diver));
    }

    fn put(&mut self, diver: DiverId, is_at: Whereabouts, said: Whereabouts) {
        self.said.retain(|(d, ..)| *d != diver);
        if said != is_at {
            self.said.push((diver, is_at, said));
        }
    }
}

/// Who answers a call, and how he stands if he is a diver. A person at a station answers himself, and where nobody
/// sits nobody does.
fn answering(to: Callee, phrase: PhraseKind, hearers: &Hearers) -> Vec<(Callee, Option<Fitness>)> {
    match to.called() {
        Called::Divers => {
            let divers = hearers.divers(to, phrase).into_iter();
            divers
                .map(|d| (Callee::Diver(d), Some(hearers.crew.fitness(d))))
                .collect()
        }
        Called::Station if hearers.sitter != Sitter::Automatic => Vec::new(),
        Called::Station
        | Called::Bridge
        | Called::Superintendent
        | Called::Doctor
        | Called::Deck => vec![(to, None)],
    }
}
