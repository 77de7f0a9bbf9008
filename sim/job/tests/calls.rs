//! Calls over the speaker in whole jobs: what comes back, when, and whether it is so, held against the figures of the
//! file of voices as they are written there, and against what was done of it in the job.
//!
//! The shares and delays are the house's own (no published basis was found for any); that low oxygen is heard as slow
//! or silly answers and then none, and breathlessness is carbon dioxide, is common in the texts on saturation (seen).
//! For rehearsal and training; it prescribes nothing: the law, the issuing body's current document, the company's
//! approved manual and the licensed people on the job decide.

use deepstay_core::order::SteelOrder;
use deepstay_core::record::{
    Answer, Because, BellPhase, BreathingPath, Called, Callee, Entry, Fitness, LineName, NoRecord,
    Phrase, PhraseKind, Refused, Request, Spoken, Station, Stopped, ValveName, What, Whereabouts,
    counted,
};
use deepstay_core::units::*;
use deepstay_crew::voices::{Manner, Voices};
use deepstay_job::random::Streams;
use deepstay_job::{Act, Job, Options, Sitter};
use deepstay_plant::{Order, PeopleOrder};
use deepstay_scenario::{JobTexts, Patch, Scenario, To};
use statrs::distribution::{Binomial, DiscreteCDF};
use std::sync::Arc;

const HOUR_S: i64 = 3600;
/// Noon of the first day: in storage, everybody in the living chamber and awake, the first bell run two hours away.
const FROM_S: i64 = 6 * HOUR_S;
const LIVING: CompartmentId = CompartmentId(0);
const TRANSFER: CompartmentId = CompartmentId(1);
const AB: DiverId = DiverId(0);
const SATURATION: Station = Station::Saturation;

fn short(patches: &[(&str, &str)]) -> Arc<Scenario> {
    let texts = JobTexts::open("short", None).expect("built in");
    let patches: Vec<Patch> = patches
        .iter()
        .map(|(path, to)| Patch {
            path: (*path).into(),
            to: To::Text((*to).into()),
        })
        .collect();
    let made = texts.scenario(&patches);
    Arc::new(made.unwrap_or_else(|bad| panic!("{bad}")))
}

fn bank(scenario: &Scenario, name: &str) -> BankId {
    let at = scenario.steel.banks.iter().position(|b| b.name == name);
    BankId(at.expect("such a bank") as u8)
}

fn named(scenario: &Scenario, name: &str) -> CompartmentId {
    let at = scenario
        .steel
        .compartments
        .iter()
        .position(|c| c.name == name);
    CompartmentId(at.expect("such a vessel") as u8)
}

/// A watch with its entries.
#[derive(Clone)]
struct Watch {
    job: Job,
    entries: Vec<Entry>,
}

impl Watch {
    /// A person sits at saturation control from an hour on.
    fn from(scenario: &Arc<Scenario>, at_s: i64) -> Watch {
        let mut job = Job::new(scenario.clone(), Options::default());
        let _ = job.advance_to(at_s, &mut NoRecord);
        let mut watch = Watch {
            job,
            entries: Vec::new(),
        };
        watch.sit(SATURATION, Sitter::Person);
        watch
    }

    fn act(&mut self, station: Station, act: Act) -> Result<(), Refused> {
        self.job.act_at_once(station, act, &mut self.entries)
    }

    fn sit(&mut self, station: Station, sitter: Sitter) {
        assert_eq!(self.act(station, Act::Sit { station, sitter }), Ok(()));
    }

    fn order(&mut self, order: Order) -> Result<(), Refused> {
        self.act(SATURATION, Act::Order(order))
    }

    fn call(&mut self, to: Callee, phrase: Phrase) -> Result<(), Refused> {
        self.act(SATURATION, Act::Call { to, phrase })
    }

    /// Calls, and waits for what comes back.
    fn ask(&mut self, to: Callee, phrase: Phrase) -> Vec<(Callee, Answer, u32)> {
        let before = self.entries.len();
        assert_eq!(self.call(to, phrase), Ok(()), "{to:?} {phrase:?}");
        self.run(match to {
            Callee::Diver(_) | Callee::Place(_) => 130,
            _ => 20 * 60,
        });
        self.answers(before)
    }

    fn answers(&self, from: usize) -> Vec<(Callee, Answer, u32)> {
        let answers = self.entries[from..].iter().filter_map(|e| match e.what {
            What::Answered {
                from,
                answer,
                after_s,
                ..
            } => Some((from, answer, after_s)),
            _ => None,
        });
        answers.collect()
    }

    fn run(&mut self, for_s: i64) {
        let _ = self
            .job
            .advance_to(self.job.now() + for_s, &mut self.entries);
    }

    /// Puts somebody on a mask that gives what lies in a bank.
    fn on_a_mask(&mut self, diver: DiverId, at: CompartmentId, gas: &str) {
        let bank = bank(self.job.scenario(), gas);
        let line = LineName::Bibs(at);
        let line_up = Order::Steel(SteelOrder::LineUp { line, bank });
        assert_eq!(self.order(line_up), Ok(()));
        let path = BreathingPath::Bibs;
        let mask = Order::People(PeopleOrder::Breathe { diver, path });
        assert_eq!(self.order(mask), Ok(()));
    }

    /// Lets time pass until a diver stands so.
    fn until(&mut self, diver: DiverId, fitness: Fitness) {
        for _ in 0..3 * HOUR_S {
            if self.job.crew().fitness(diver) >= fitness {
                break;
            }
            self.run(1);
        }
        assert_eq!(self.job.crew().fitness(diver), fitness);
    }

    /// A diver who is awake in the living chamber, and dives last.
    fn awake(&self) -> DiverId {
        let crew = self.job.crew();
        let awake = |d: &DiverId| {
            crew.activity(*d) != deepstay_plant::Activity::Sleep
                && crew.whereabouts(*d) == Whereabouts::In(LIVING)
        };
        crew.ids()
            .filter(awake)
            .last()
            .expect("somebody is awake in there")
    }
}

/// Whether a count out of so many may be a chance, one way or the other, of less than one in a million.
fn is_likely(count: u64, of: u64, chance: f64) -> bool {
    let law = Binomial::new(chance, of).expect("a chance");
    let (below, above) = (law.cdf(count), 1.0 - law.cdf(count.saturating_sub(1)));
    below > 1e-6 && (count == 0 || above > 1e-6)
}

/// The bank labelled helium holds something else.
fn with_gas(contents: &str) -> Arc<Scenario> {
    let faults = format!(
        "(planned: [(at: \"0 s\", what: WrongContents(bank: \"H-1\", contents: {contents}))])"
    );
    short(&[("faults", &faults)])
}

const POOR: &str = "Heliox(\"1.3 %\")";
const POORER: &str = "Heliox(\"0.9 %\")";

/// Every row of the file, a thousand draws of its stream: the shares are within what a binomial law of the file's
/// chances allows, and every delay within the file's range, which is gone through from end to end.
#[test]
fn a_thousand_draws_of_every_row_have_the_shares_and_the_delays_of_the_file() {
    let voices = Voices::built_in();
    let mut rows = 0;
    for ((called, phrase, state), row) in voices.answer_rows() {
        rows += 1;
        let name = format!("draws of {called:?} {phrase:?} {state:?}");
        let drawn: Vec<_> = (0..1000)
            .map(|k| {
                let mut draw = Streams::new(11).named(&name, 4 * k);
                row.drawn(draw.uniform(), draw.uniform())
            })
            .collect();
        for manner in [Manner::Right, Manner::Late, Manner::Wrong, Manner::Nothing] {
            let of: Vec<i64> = drawn
                .iter()
                .filter(|d| d.manner == manner)
                .map(|d| d.after_s)
                .collect();
            let chance = row.chance(manner);
            assert!(
                is_likely(of.len() as u64, 1000, chance),
                "{name}: {manner:?} {} of 1000 at {chance}",
                of.len()
            );
            let Some((least_s, most_s)) = row.range_s(manner) else {
                assert!(of.is_empty());
                continue;
            };
            assert!(of.iter().all(|s| (least_s..=most_s).contains(s)));
            if of.len() > 500 && most_s > least_s {
                let wide = (most_s - least_s) as f64;
                let mean = of.iter().sum::<i64>() as f64 / of.len() as f64;
                let middle = (least_s + most_s) as f64 / 2.0;
                assert!((mean - middle).abs() < 0.1 * wide, "{name}: {mean}");
                assert!(of.contains(&least_s) || wide > 60.0, "{name}");
            }
        }
    }
    assert_eq!(rows, Voices::asked_of_a_file().count());
}

/// A thousand calls to a man who is well and awake, in a job: 95 in a hundred are answered in 2 to 6 s, 4 in 8 to 20 s
/// and one not (figures of the file, written out here again), and he says that he is well.
#[test]
fn a_thousand_calls_to_a_well_man_are_answered_as_the_file_says() {
    let scenario = short(&[]);
    let mut watch = Watch::from(&scenario, FROM_S);
    let who = watch.awake();
    let before = watch.entries.len();
    for _ in 0..1000 {
        assert_eq!(watch.call(Callee::Diver(who), Phrase::HowAreYou), Ok(()));
    }
    watch.run(90);
    let answers = watch.answers(before);
    let count = |is: &dyn Fn(&(Callee, Answer, u32)) -> bool| {
        answers.iter().filter(|a| is(a)).count() as u64
    };
    let in_time = count(&|a| a.1 == Answer::Is(Spoken::Well) && (2..=6).contains(&a.2));
    let late = count(&|a| a.1 == Answer::Is(Spoken::Well) && (8..=20).contains(&a.2));
    let none = count(&|a| a.1 == Answer::Nothing && a.2 == 60);
    println!("in time {in_time}, late {late}, none {none}");
    assert_eq!(in_time + late + none, 1000);
    assert!(is_likely(in_time, 1000, 0.95));
    assert!(is_likely(late, 1000, 0.04));
    assert!(is_likely(none, 1000, 0.01));
}

/// The figure that a confused man reads is wrong in half of the calls, right in a fifth, and does not come in the
/// rest; a wrong one is off by a tenth to two fifths of it (figures of the file, written out here again).
#[test]
fn a_confused_mans_figure_is_wrong_in_the_share_that_the_file_says() {
    let scenario = with_gas(POOR);
    let mut watch = Watch::from(&scenario, FROM_S);
    let who = watch.awake();
    watch.on_a_mask(who, LIVING, "H-1");
    watch.until(who, Fitness::Confused);
    let before = watch.entries.len();
    let phrase = Phrase::ReadYourGauge(Quantity::Depth);
    for _ in 0..1000 {
        assert_eq!(watch.call(Callee::Diver(who), phrase), Ok(()));
    }
    watch.run(61);
    assert_eq!(watch.job.crew().fitness(who), Fitness::Confused);
    let answers = watch.answers(before);
    assert_eq!(answers.len(), 1000);
    // 60 msw by the plan; a gauge inside is read to half a metre and wrong by half a metre at the most.
    let near = |m: f64| (m - 60.0).abs() < 2.0;
    let (mut right, mut wrong, mut none) = (0, 0, 0);
    for (_, answer, after_s) in answers {
        match answer {
            Answer::Reads(Quantity::Depth, m) if near(m) => {
                right += 1;
                assert!((15..=60).contains(&after_s));
            }
            Answer::Reads(Quantity::Depth, m) => {
                wrong += 1;
                let off = (m / 60.0 - 1.0).abs();
                assert!((0.08..0.42).contains(&off), "{m}");
                assert!((10..=60).contains(&after_s));
            }
            Answer::Nothing => none += 1,
            other => panic!("{other:?}"),
        }
    }
    println!("right {right}, wrong {wrong}, none {none}");
    assert!(is_likely(right, 1000, 0.20));
    assert!(is_likely(wrong, 1000, 0.50));
    assert!(is_likely(none, 1000, 0.30));
}

/// Whoever does not call lives through the same: calls move no draw and no gas, and their answers are theirs alone.
#[test]
fn a_call_changes_nothing_but_its_own_answers_and_replays_to_the_second() {
    let scenario = short(&[]);
    let live = |calls: bool| {
        let mut watch = Watch::from(&scenario, FROM_S);
        for k in 0..40 {
            if calls {
                let to = [Callee::Place(LIVING), Callee::Diver(AB), Callee::Bridge][k % 3];
                let phrase = match to {
                    Callee::Bridge => Phrase::Weather,
                    _ => [Phrase::HowAreYou, Phrase::HeadCount][k % 2],
                };
                assert_eq!(watch.call(to, phrase), Ok(()));
            }
            watch.run(137);
        }
        watch.run(HOUR_S);
        watch
    };
    let (quiet, first, again) = (live(false), live(true), live(true));
    assert_eq!(first.entries, again.entries);
    assert_eq!(first.job.state_hash(), again.job.state_hash());
    let is_of_calls = |e: &&Entry| matches!(e.what, What::Called { .. } | What::Answered { .. });
    assert!(first.entries.iter().filter(is_of_calls).count() > 100);
    let rest: Vec<Entry> = first
        .entries
        .iter()
        .filter(|e| !is_of_calls(e))
        .copied()
        .collect();
    assert_eq!(rest, quiet.entries);
    // Put aside in the middle of a call, and taken up again.
    let mut watch = Watch::from(&scenario, FROM_S);
    assert_eq!(watch.call(Callee::Place(LIVING), Phrase::HeadCount), Ok(()));
    let saved = watch.job.save();
    let mut other = watch.clone();
    other.job = Job::restore(&saved, scenario.clone()).expect("whole");
    watch.run(300);
    other.run(300);
    assert_eq!(watch.entries, other.entries);
}

/// A man on a mask with 3 % of carbon dioxide (surface equivalent) is asked, and says that he is short of breath; one
/// without is well. No analyser has shown anything.
#[test]
fn the_breathless_diver_is_asked() {
    let mix = "Mix(oxygen: \"6 %\", carbon_dioxide: \"0.45 %\")";
    let scenario = with_gas(mix);
    let mut watch = Watch::from(&scenario, FROM_S);
    let who = watch.awake();
    let seen = watch.job.indicated();
    watch.on_a_mask(who, LIVING, "H-1");
    watch.run(60);
    let before = watch.entries.len();
    for _ in 0..10 {
        assert_eq!(watch.call(Callee::Diver(who), Phrase::HowAreYou), Ok(()));
    }
    watch.run(60);
    let answers = watch.answers(before);
    let breathless = answers
        .iter()
        .filter(|a| a.1 == Answer::Is(Spoken::ShortOfBreath));
    assert!(breathless.count() >= 5, "{answers:?}");
    let ppco2 =
        |seen: &deepstay_job::Indicated| seen.reading(LIVING, Quantity::PpCo2, Channel::Primary);
    let (then, now) = (ppco2(&seen), ppco2(&watch.job.indicated()));
    let moved = then.zip(now).map(|(then, now)| (now - then).abs());
    assert!(moved.is_some_and(|bar| bar < 0.002), "{moved:?}");
}

/// A man at 0.9 % of oxygen on his mask: first he answers at once, then late, then with words that make no sense, then
/// not at all, and once he is out never again.
#[test]
fn low_oxygen_is_heard_as_late_then_silly_then_nothing() {
    let scenario = with_gas(POORER);
    let mut watch = Watch::from(&scenario, FROM_S);
    let who = watch.awake();
    let mut called = Vec::new();
    for k in 0..60 {
        if k == 6 {
            watch.on_a_mask(who, LIVING, "H-1");
        }
        called.push((watch.job.now(), watch.job.crew().fitness(who)));
        for _ in 0..5 {
            assert_eq!(watch.call(Callee::Diver(who), Phrase::HowAreYou), Ok(()));
        }
        watch.run(10);
    }
    watch.run(120);
    let (mut prompt, mut late, mut silly, mut last_heard) = (0, 0, 0, 0);
    for e in &watch.entries {
        let What::Answered {
            answer, after_s, ..
        } = e.what
        else {
            continue;
        };
        match answer {
            Answer::Is(_) if after_s <= 6 && late + silly == 0 => prompt += 1,
            Answer::Is(_) => late += 1,
            Answer::Silly => silly += 1,
            _ => {}
        }
        if answer != Answer::Nothing {
            last_heard = e.at;
        }
    }
    let out = watch.entries.iter().find_map(|e| match e.what {
        What::Fitness {
            diver,
            to: Fitness::Out,
            ..
        } if diver == who => Some(e.at),
        _ => None,
    });
    println!("prompt {prompt}, late {late}, silly {silly}, last heard {last_heard}, out {out:?}");
    assert!(prompt > 20 && late > 5 && silly > 0);
    assert!(last_heard <= out.expect("he is out"));
    // Of one who is out and of one who is dead the same is heard: nothing, after the time one waits.
    let answers = watch.ask(Callee::Diver(who), Phrase::BibsOff);
    assert_eq!(answers, [(Callee::Diver(who), Answer::Nothing, 60)]);
}

/// He says that he leaves the lock, and stays: the board has him in the chamber, the lock is believed empty. A head
/// count of the chamber by one who is well is a man short, and so the lock is not vented. With nobody in the lock, or
/// with one in it who is out, nothing is heard from there: silence says nothing.
#[test]
fn a_lock_believed_empty_is_caught_by_a_head_count() {
    let scenario = with_gas(POOR);
    let mut watch = Watch::from(&scenario, FROM_S);
    let who = watch.awake();
    let go = PeopleOrder::Go {
        diver: who,
        to: Whereabouts::In(TRANSFER),
    };
    assert_eq!(watch.order(Order::People(go)), Ok(()));
    let in_living: Vec<DiverId> = watch.job.crew().inside(LIVING).collect();
    watch.on_a_mask(who, TRANSFER, "H-1");
    watch.until(who, Fitness::Confused);
    // One of the first calls he answers, and does nothing of what he says.
    let believed = (0..40).find_map(|k| {
        let mut watch = watch.clone();
        for _ in 0..k {
            assert_eq!(watch.call(Callee::Bridge, Phrase::StandBy), Ok(()));
        }
        let before = watch.entries.len();
        assert_eq!(
            watch.call(Callee::Diver(who), Phrase::LeaveFor(LIVING)),
            Ok(())
        );
        watch.run(95);
        let gone = watch
            .answers(before)
            .iter()
            .any(|a| (a.0, a.1) == (Callee::Diver(who), Answer::Done));
        let stays = watch.job.crew().whereabouts(who) == Whereabouts::In(TRANSFER);
        (gone && stays).then_some(watch)
    });
    let mut watch = believed.expect("a confused man says that he goes, and stays");
    let seen = watch.job.indicated();
    assert_eq!(seen.divers[who.index()].at, Whereabouts::In(LIVING));
    assert_eq!(seen.divers_in(TRANSFER).count(), 0);
    let counts: Vec<Vec<DiverId>> = (0..5)
        .flat_map(|_| watch.ask(Callee::Place(LIVING), Phrase::HeadCount))
        .filter_map(|a| match a.1 {
            Answer::Heads(bits) => Some(counted(bits).collect()),
            _ => None,
        })
        .collect();
    assert!(!counts.is_empty());
    for count in counts {
        assert!(!count.contains(&who));
        assert_eq!(count, in_living);
    }
    // Or the camera of the lock has him in view, in nine looks of ten.
    let mut looked = watch.clone();
    let look = Act::Camera {
        compartment: TRANSFER,
    };
    for _ in 0..3 {
        assert_eq!(looked.act(SATURATION, look), Ok(()));
        looked.run(1);
    }
    let at = looked.job.indicated().divers[who.index()].at;
    assert_eq!(at, Whereabouts::In(TRANSFER));
    // What is heard from an empty vessel, and from one with a man who is out, is the same.
    let rescue = named(&scenario, "Rescue");
    let empty = watch.ask(Callee::Place(rescue), Phrase::HeadCount);
    assert_eq!(empty, [(Callee::Place(rescue), Answer::Nothing, 60)]);
    watch.until(who, Fitness::Out);
    let silent = watch.ask(Callee::Place(TRANSFER), Phrase::HeadCount);
    assert_eq!(silent, [(Callee::Place(TRANSFER), Answer::Nothing, 60)]);
}

/// What a man who is well is told to do is done when he says so, and not before; what an interlock refuses he says
/// aloud, with the reason.
#[test]
fn what_is_answered_done_is_done() {
    let scenario = short(&[]);
    let mut watch = Watch::from(&scenario, FROM_S);
    let who = watch.awake();
    let told = |watch: &mut Watch, phrase| -> (Answer, u32) {
        for _ in 0..5 {
            let answers = watch.ask(Callee::Diver(who), phrase);
            assert_eq!(answers.len(), 1);
            if answers[0].1 != Answer::Nothing {
                return (answers[0].1, answers[0].2);
            }
        }
        panic!("he never answers {phrase:?}")
    };
    let line = LineName::Bibs(LIVING);
    let gas = bank(&scenario, "E-1");
    let line_up = Order::Steel(SteelOrder::LineUp { line, bank: gas });
    assert_eq!(watch.order(line_up), Ok(()));
    let at = watch.job.now();
    let (answer, after_s) = told(&mut watch, Phrase::BibsOn);
    assert_eq!(answer, Answer::Done);
    let on: Vec<i64> = watch
        .entries
        .iter()
        .filter_map(|e| match e.what {
            What::Breathing { diver, path, .. } if diver == who && e.at >= at => Some((e.at, path))
                .filter(|(_, p)| *p == BreathingPath::Bibs)
                .map(|p| p.0),
            _ => None,
        })
        .collect();
    assert_eq!(on.len(), 1);
    let told_at = watch.entries.iter().rev().find_map(|e| match e.what {
        What::Answered { .. } => Some(e.at),
        _ => None,
    });
    assert_eq!(told_at, Some(on[0]));
    assert!((10..=60).contains(&after_s), "{after_s}");
    assert_eq!(told(&mut watch, Phrase::BibsOff).0, Answer::Done);
    assert_eq!(watch.job.crew().path(who), BreathingPath::Ambient);
    assert_eq!(told(&mut watch, Phrase::LeaveFor(TRANSFER)).0, Answer::Done);
    assert_eq!(watch.job.crew().whereabouts(who), Whereabouts::In(TRANSFER));
    assert_eq!(told(&mut watch, Phrase::ComeBack).0, Answer::Done);
    assert_eq!(watch.job.crew().whereabouts(who), Whereabouts::In(LIVING));
    // The bell is shut off from the chambers: no door is open to it.
    let bell = named(&scenario, "Bell");
    let (answer, _) = told(&mut watch, Phrase::LeaveFor(bell));
    assert_eq!(answer, Answer::Cannot(Refused::NotThere));
    for phrase in [Phrase::BailOut, Phrase::OnBoardGas] {
        let (answer, _) = told(&mut watch, phrase);
        assert_eq!(answer, Answer::Cannot(Refused::NotThere), "{phrase:?}");
    }
    // A drain that was left open is found and shut.
    let drain = ValveName::Drain(TRANSFER);
    let crack = SteelOrder::Valve {
        valve: drain,
        opening: 0.01,
        purpose: Purpose::Flush,
    };
    assert_eq!(told(&mut watch, Phrase::LeaveFor(TRANSFER)).0, Answer::Done);
    assert_eq!(watch.order(Order::Steel(crack)), Ok(()));
    let (answer, _) = told(&mut watch, Phrase::CheckValve(drain));
    assert_eq!(answer, Answer::Valve(0.01));
    assert_eq!(watch.job.indicated().handle(drain), Some(0.0));
    let (answer, _) = told(&mut watch, Phrase::CheckValve(drain));
    assert_eq!(answer, Answer::Valve(0.0));
    let (answer, _) = told(&mut watch, Phrase::CheckValve(ValveName::Bleed(LIVING)));
    assert_eq!(answer, Answer::Cannot(Refused::NotThere));
}

/// What is read aloud is a gauge's: near what is so by no more than the gauge's error and half a step, the same each
/// time, and not to the last digit what is so. Where nothing hangs there to read it by, he says that.
#[test]
fn what_is_read_aloud_is_a_gauges_and_not_the_truth() {
    let scenario = short(&[]);
    let mut watch = Watch::from(&scenario, FROM_S);
    let mut exact = 0;
    // Error and half a step of the file, written out again: msw, K, bar, bar.
    let read = [
        (Quantity::Depth, 0.5 + 0.25),
        (Quantity::Temperature, 0.5 + 0.25),
        (Quantity::PpO2, 0.015 + 0.005),
        (Quantity::PpCo2, 0.001 + 0.00025),
    ];
    for (quantity, most) in read {
        for _ in 0..4 {
            let to = Callee::Diver(watch.awake());
            for (_, answer, after_s) in watch.ask(to, Phrase::ReadYourGauge(quantity)) {
                let Answer::Reads(of, value) = answer else {
                    assert_eq!(answer, Answer::Nothing);
                    continue;
                };
                assert_eq!(of, quantity);
                let said_at = watch.job.now() - 20 * 60 + i64::from(after_s);
                let then = watch.job.fork(watch.job.options(), None);
                let _ = said_at;
                let truth = then.plant().truth(LIVING, quantity, then.now());
                // Within the few minutes since then the chamber has moved a little.
                let drift = most * 0.6;
                assert!(
                    (value - truth).abs() <= most + drift,
                    "{quantity:?} {value} {truth}"
                );
                exact += u32::from(value == truth);
            }
        }
    }
    assert_eq!(exact, 0);
    let to = Callee::Diver(watch.awake());
    let gauge = Quantity::Humidity;
    let answers: Vec<_> = (0..3)
        .flat_map(|_| watch.ask(to, Phrase::ReadYourGauge(gauge)))
        .collect();
    assert!(
        answers.iter().any(|a| a.1 == Answer::NoGauge(gauge)),
        "{answers:?}"
    );
    let bare = short(&[("spread.inside_gauges", "[Depth]")]);
    let mut watch = Watch::from(&bare, FROM_S);
    let to = Callee::Diver(watch.awake());
    let gauge = Quantity::PpO2;
    let answers: Vec<_> = (0..3)
        .flat_map(|_| watch.ask(to, Phrase::ReadYourGauge(gauge)))
        .collect();
    assert!(
        answers.iter().any(|a| a.1 == Answer::NoGauge(gauge)),
        "{answers:?}"
    );
}

/// Gas that leaks is heard by whoever listens, as long as it leaks; nobody hears it in the next vessel with its door
/// shut off.
#[test]
fn who_listens_hears_a_leak_and_none_where_there_is_none() {
    let scenario = short(&[]);
    let mut watch = Watch::from(&scenario, FROM_S);
    let listen = |watch: &mut Watch| {
        let answers: Vec<_> = (0..4)
            .flat_map(|_| watch.ask(Callee::Place(LIVING), Phrase::Listen))
            .filter(|a| a.1 != Answer::Nothing)
            .map(|a| a.1)
            .collect();
        assert!(!answers.is_empty());
        answers
    };
    assert!(
        listen(&mut watch)
            .iter()
            .all(|a| *a == Answer::Noise(false))
    );
    let leak = deepstay_core::fault::FaultKind::Leak {
        compartment: LIVING,
        area_m2: 4e-6,
        hull_stop: true,
    };
    assert_eq!(watch.act(Station::Script, Act::Fault(leak)), Ok(()));
    watch.run(2);
    assert!(listen(&mut watch).iter().all(|a| *a == Answer::Noise(true)));
    let stop = SteelOrder::HullStop {
        compartment: LIVING,
        shut: true,
    };
    assert_eq!(watch.order(Order::Steel(stop)), Ok(()));
    assert!(
        listen(&mut watch)
            .iter()
            .all(|a| *a == Answer::Noise(false))
    );
}

/// A bleed that passes against its handle: whoever looks at it says so, and has shut its inboard hull stop; after that
/// nobody hears gas. A lock run is not dive control's to order.
#[test]
fn a_valve_that_passes_is_stopped_inboard() {
    let scenario = short(&[]);
    let mut watch = Watch::from(&scenario, FROM_S);
    let valve = ValveName::Bleed(LIVING);
    let stuck = deepstay_core::fault::FaultKind::StuckValve {
        valve,
        opening: 0.2,
    };
    assert_eq!(watch.act(Station::Script, Act::Fault(stuck)), Ok(()));
    watch.run(2);
    let who = Callee::Diver(watch.awake());
    let heard = |watch: &mut Watch, phrase| {
        let answers: Vec<Answer> = (0..4)
            .flat_map(|_| watch.ask(who, phrase))
            .map(|a| a.1)
            .filter(|a| *a != Answer::Nothing)
            .collect();
        answers
    };
    let listened = heard(&mut watch, Phrase::Listen);
    assert!(listened.iter().all(|a| *a == Answer::Noise(true)) && !listened.is_empty());
    let checked = heard(&mut watch, Phrase::CheckValve(valve));
    assert_eq!(checked[0], Answer::Passes);
    assert!(
        checked[1..].iter().all(|a| *a == Answer::Valve(0.0)),
        "{checked:?}"
    );
    let stopped = watch.entries.iter().any(|e| {
        matches!(e.what, What::InboardStop { compartment, shut: true, .. } if compartment == LIVING)
    });
    assert!(stopped);
    let listened = heard(&mut watch, Phrase::Listen);
    assert!(listened.iter().all(|a| *a == Answer::Noise(false)) && !listened.is_empty());
    watch.sit(Station::Dive, Sitter::Person);
    let run = Act::LockRun {
        lock: named(&scenario, "Medical lock"),
        routine: deepstay_core::record::Routine::Meal,
    };
    assert_eq!(watch.act(Station::Dive, run), Err(Refused::NotYours));
}

/// Transfers and the bell's moves are dive control's: a person at saturation control who orders them is refused, asks,
/// and has an answer by how the bell stands; what is granted he may then do, or sees done.
#[test]
fn the_automatic_dive_control_answers_by_how_the_bell_stands() {
    let scenario = short(&[]);
    let bell = named(&scenario, "Bell");
    let phases = [
        (BellPhase::Transfer, None, Because::Plan),
        (
            BellPhase::Lowering,
            Some(Because::BellAway),
            Because::BellAway,
        ),
        (
            BellPhase::DoorOpen,
            Some(Because::BellAway),
            Because::BellAway,
        ),
        (
            BellPhase::Recovery,
            Some(Because::BellAway),
            Because::BellAway,
        ),
        (BellPhase::Done, Some(Because::TrunkShut), Because::Plan),
    ];
    let mut watch = Watch::from(&scenario, 9 * HOUR_S);
    let mut seen = 0;
    for (phase, transfer, lower) in phases {
        let from = watch.entries.len();
        let entered = |watch: &Watch| {
            watch.entries[from..]
                .iter()
                .any(|e| matches!(e.what, What::BellPhase { phase: p, .. } if p == phase))
        };
        while !entered(&watch) {
            watch.run(30);
            assert!(watch.job.now() < 60 * HOUR_S, "{phase:?} never came");
        }
        watch.run(60);
        let mut watch = watch.clone();
        let before = watch.entries.len();
        let who = watch.job.crew().inside(bell).next().unwrap_or(AB);
        for request in [Request::Transfer(who), Request::Lower(bell)] {
            let to = Callee::DiveControl;
            assert_eq!(watch.call(to, Phrase::Ask(request)), Ok(()));
        }
        watch.run(100);
        let answer = |request: Request| {
            watch.entries[before..].iter().find_map(|e| match e.what {
                What::Answered { phrase, answer, .. } if phrase == Phrase::Ask(request) => {
                    Some(answer)
                }
                _ => None,
            })
        };
        println!(
            "{phase:?}: {:?} {:?}",
            answer(Request::Transfer(who)),
            answer(Request::Lower(bell))
        );
        let expected = transfer.map_or(Answer::Granted, Answer::Waits);
        assert_eq!(answer(Request::Transfer(who)), Some(expected), "{phase:?}");
        assert_eq!(
            answer(Request::Lower(bell)),
            Some(Answer::Waits(lower)),
            "{phase:?}"
        );
        seen += 1;
    }
    assert_eq!(seen, phases.len());
}

/// The recall of the bell, asked for while a diver is in the water: dive control brings everybody home, and says why
/// the run ended. Asked for with the bell home there is nothing to recall.
#[test]
fn the_bell_is_recalled_when_it_is_asked_for() {
    let scenario = short(&[]);
    let bell = named(&scenario, "Bell");
    let mut watch = Watch::from(&scenario, 7 * HOUR_S);
    let recall = Phrase::Ask(Request::Recall(bell));
    let order = Order::Steel(SteelOrder::Bell { bell, to_msw: 0.0 });
    assert_eq!(watch.order(order), Err(Refused::NotYours));
    let home = watch.ask(Callee::DiveControl, recall);
    assert_eq!(home.len(), 1);
    assert_eq!(home[0].1, Answer::Waits(Because::BellHome));
    while watch.job.crew().outside(bell).next().is_none() {
        watch.run(60);
        assert!(watch.job.now() < 20 * HOUR_S, "nobody went out");
    }
    watch.run(600);
    let at = watch.job.now();
    assert_eq!(watch.call(Callee::DiveControl, recall), Ok(()));
    let back = |watch: &Watch| watch.job.crew().outside(bell).next().is_none();
    while !back(&watch) {
        watch.run(10);
        assert!(watch.job.now() < at + HOUR_S, "nobody came back");
    }
    let wet_s = watch.job.now() - at;
    let why = watch.entries.iter().find_map(|e| match e.what {
        What::BellStopped { why, .. } => Some((e.at, why)),
        _ => None,
    });
    println!("recalled {why:?}, all in the bell after {wet_s} s");
    assert_eq!(why.map(|w| w.1), Some(Stopped::Recalled));
    watch.run(3 * HOUR_S);
    assert_eq!(watch.job.crew().inside(bell).count(), 0);
    assert!(
        watch
            .job
            .crew()
            .ids()
            .all(|d| watch.job.crew().fitness(d) == Fitness::Well)
    );
}

/// Between two people what is asked stands open until the other grants it or has it wait; what is granted may be done,
/// for as long as the file says and no longer. Nobody at the other station answers nothing.
#[test]
fn a_person_grants_or_has_it_wait_and_nobody_answers_nothing() {
    let scenario = short(&[]);
    let bell = named(&scenario, "Bell");
    let trunk = scenario.steel.compartments[bell.index()]
        .bell
        .expect("a bell")
        .trunk;
    let mut watch = Watch::from(&scenario, FROM_S);
    watch.sit(Station::Dive, Sitter::Person);
    let who = watch.awake();
    let ask = Phrase::Ask(Request::Transfer(who));
    let go = Order::People(PeopleOrder::Go {
        diver: who,
        to: Whereabouts::In(trunk),
    });
    let other = Callee::SaturationControl;
    let dive =
        |watch: &mut Watch, phrase| watch.act(Station::Dive, Act::Call { to: other, phrase });
    assert_eq!(
        dive(&mut watch, Phrase::RequestGranted),
        Err(Refused::NothingAsked)
    );
    assert_eq!(watch.call(Callee::DiveControl, ask), Ok(()));
    let asked_s = watch.job.now();
    watch.run(300);
    let open = watch.job.indicated().requests;
    assert_eq!(open.len(), 1);
    assert_eq!((open[0].by, open[0].since_s), (SATURATION, asked_s));
    assert_eq!(watch.order(go), Err(Refused::NotYours));
    assert_eq!(dive(&mut watch, Phrase::Wait), Ok(()));
    let last = watch.answers(0).last().copied();
    assert_eq!(
        last,
        Some((Callee::DiveControl, Answer::Waits(Because::Said), 300))
    );
    assert!(watch.job.indicated().requests.is_empty());
    assert_eq!(watch.order(go), Err(Refused::NotYours));
    assert_eq!(watch.call(Callee::DiveControl, ask), Ok(()));
    watch.run(10);
    assert_eq!(dive(&mut watch, Phrase::RequestGranted), Ok(()));
    assert_eq!(
        watch.answers(0).last().copied(),
        Some((Callee::DiveControl, Answer::Granted, 10))
    );
    // It is his to order now; that no door is open to the trunk is another thing.
    assert_eq!(watch.order(go), Err(Refused::NotThere));
    watch.run(15 * 60 + 1);
    assert_eq!(watch.order(go), Err(Refused::NotYours));
    // The other way round: what is saturation control's.
    let valve = ValveName::Bleed(LIVING);
    let bleed = Act::Order(Order::Steel(SteelOrder::Valve {
        valve,
        opening: 0.1,
        purpose: Purpose::Bleed,
    }));
    assert_eq!(watch.act(Station::Dive, bleed), Err(Refused::NotYours));
    watch.sit(Station::Dive, Sitter::Nobody);
    let answers = watch.ask(Callee::DiveControl, ask);
    assert_eq!(answers, [(Callee::DiveControl, Answer::Nothing, 60)]);
}

/// Dive control, sat by a person, asks the automatic saturation control: pressure it keeps, a door it grants.
#[test]
fn the_automatic_saturation_control_keeps_its_depth_and_lends_a_door() {
    let scenario = short(&[]);
    let mut watch = Watch::from(&scenario, FROM_S);
    watch.sit(SATURATION, Sitter::Automatic);
    watch.sit(Station::Dive, Sitter::Person);
    let door = scenario.steel.doors.iter().position(|d| {
        (d.a, d.b) == (LIVING, Some(TRANSFER)) || (d.a, d.b) == (TRANSFER, Some(LIVING))
    });
    let door = DoorId(door.expect("a door between them") as u8);
    let shut = Act::Order(Order::Steel(SteelOrder::Door { door, open: false }));
    assert_eq!(watch.act(Station::Dive, shut), Err(Refused::NotYours));
    for (request, expected) in [
        (Request::Pressure(LIVING), Answer::Waits(Because::Kept)),
        (Request::Door(door), Answer::Granted),
    ] {
        let before = watch.entries.len();
        let act = Act::Call {
            to: Callee::SaturationControl,
            phrase: Phrase::Ask(request),
        };
        assert_eq!(watch.act(Station::Dive, act), Ok(()));
        watch.run(100);
        let answers = watch.answers(before);
        assert_eq!(answers.len(), 1);
        assert_eq!(answers[0].1, expected, "{request:?}");
    }
    assert_eq!(watch.act(Station::Dive, shut), Ok(()));
}

/// Treatment is the doctor's word, abandoning the master's: whoever is asked says so, and prescribes nothing.
#[test]
fn treatment_and_abandoning_are_not_given_by_anybody_else() {
    let scenario = short(&[]);
    let mut watch = Watch::from(&scenario, FROM_S);
    for (to, phrase, expected) in [
        (Callee::Doctor, Phrase::TreatmentAdvice, Answer::DoctorsWord),
        (
            Callee::Superintendent,
            Phrase::TreatmentAdvice,
            Answer::DoctorsWord,
        ),
        (Callee::Bridge, Phrase::Abandon, Answer::MastersWord),
        (Callee::Superintendent, Phrase::Abandon, Answer::MastersWord),
        (Callee::Bridge, Phrase::Position, Answer::OnPosition),
        (Callee::OutsideHand, Phrase::GasDelivery, Answer::NoDelivery),
        (Callee::Superintendent, Phrase::Inform, Answer::Understood),
    ] {
        let answers = watch.ask(to, phrase);
        assert_eq!(answers.len(), 1);
        assert_eq!((answers[0].0, answers[0].1), (to, expected));
    }
    let hs_m = watch.job.hs_m();
    let answers = watch.ask(Callee::Bridge, Phrase::Weather);
    assert!(
        matches!(answers[0].1, Answer::Sea(said, over) if said == hs_m && over == (hs_m > 3.0))
    );
    let bank = bank(&scenario, "A-1");
    let answers = watch.ask(Callee::OutsideHand, Phrase::ReadBank(bank));
    let Answer::Reads(Quantity::GaugePressure, bar) = answers[0].1 else {
        panic!("{answers:?}");
    };
    // Filled to 200 bar and not drawn: read to 5 bar, and a gauge's error of 4.
    assert!((bar - 200.0).abs() <= 6.5, "{bar}");
}

/// A call that makes no sense is refused with its reason, and nothing of it stands in the log.
#[test]
fn what_makes_no_sense_is_refused() {
    let scenario = short(&[]);
    let mut watch = Watch::from(&scenario, FROM_S);
    let before = watch.entries.len();
    let lock = named(&scenario, "Medical lock");
    for (to, phrase, why) in [
        (
            Callee::Diver(DiverId(6)),
            Phrase::HowAreYou,
            Refused::NoSuchThing,
        ),
        (Callee::Place(lock), Phrase::HeadCount, Refused::NoSuchThing),
        (
            Callee::Place(CompartmentId(99)),
            Phrase::HeadCount,
            Refused::NoSuchThing,
        ),
        (
            Callee::SaturationControl,
            Phrase::StandBy,
            Refused::NotForHim,
        ),
        (Callee::Diver(AB), Phrase::Weather, Refused::NotForHim),
        (Callee::Bridge, Phrase::HeadCount, Refused::NotForHim),
        (
            Callee::Diver(AB),
            Phrase::ReadYourGauge(Quantity::FO2),
            Refused::NotForHim,
        ),
        (
            Callee::Diver(AB),
            Phrase::LeaveFor(lock),
            Refused::NoSuchThing,
        ),
        (
            Callee::OutsideHand,
            Phrase::ReadBank(BankId(99)),
            Refused::NoSuchThing,
        ),
        (
            Callee::DiveControl,
            Phrase::Ask(Request::Pressure(LIVING)),
            Refused::NotForHim,
        ),
        (
            Callee::DiveControl,
            Phrase::Ask(Request::Transfer(DiverId(9))),
            Refused::NoSuchThing,
        ),
        (
            Callee::DiveControl,
            Phrase::RequestGranted,
            Refused::NothingAsked,
        ),
    ] {
        assert_eq!(watch.call(to, phrase), Err(why), "{to:?} {phrase:?}");
    }
    let told = watch.entries[before..]
        .iter()
        .filter(|e| matches!(e.what, What::Called { .. }));
    assert_eq!(told.count(), 0);
    // On deck nobody hears the speaker.
    let mut early = Watch::from(&scenario, 1);
    let on_deck = early
        .job
        .crew()
        .ids()
        .find(|d| early.job.crew().whereabouts(*d) == Whereabouts::Deck);
    if let Some(who) = on_deck {
        assert_eq!(
            early.call(Callee::Diver(who), Phrase::HowAreYou),
            Err(Refused::NotThere)
        );
    }
}

/// Every phrase that makes sense to anybody, given to him in a job, has an answer or is told to have none.
#[test]
fn every_phrase_has_an_end() {
    let scenario = short(&[]);
    let mut watch = Watch::from(&scenario, FROM_S);
    watch.sit(Station::Dive, Sitter::Automatic);
    let phrase = |kind: PhraseKind| match kind {
        PhraseKind::HowAreYou => Phrase::HowAreYou,
        PhraseKind::Listen => Phrase::Listen,
        PhraseKind::HeadCount => Phrase::HeadCount,
        PhraseKind::BibsOn => Phrase::BibsOn,
        PhraseKind::BibsOff => Phrase::BibsOff,
        PhraseKind::ReadYourGauge => Phrase::ReadYourGauge(Quantity::GaugePressure),
        PhraseKind::CheckValve => Phrase::CheckValve(ValveName::Bleed(LIVING)),
        PhraseKind::LeaveFor => Phrase::LeaveFor(TRANSFER),
        PhraseKind::ComeBack => Phrase::ComeBack,
        PhraseKind::OnBoardGas => Phrase::OnBoardGas,
        PhraseKind::BailOut => Phrase::BailOut,
        PhraseKind::StandBy => Phrase::StandBy,
        PhraseKind::Ask => Phrase::Ask(Request::Transfer(AB)),
        PhraseKind::RequestGranted => Phrase::RequestGranted,
        PhraseKind::Wait => Phrase::Wait,
        PhraseKind::TreatmentAdvice => Phrase::TreatmentAdvice,
        PhraseKind::Abandon => Phrase::Abandon,
        PhraseKind::Weather => Phrase::Weather,
        PhraseKind::Position => Phrase::Position,
        PhraseKind::ReadBank => Phrase::ReadBank(BankId(0)),
        PhraseKind::GasDelivery => Phrase::GasDelivery,
        PhraseKind::Inform => Phrase::Inform,
    };
    let who = Callee::Diver(watch.awake());
    let callees = [
        who,
        Callee::Place(LIVING),
        Callee::DiveControl,
        Callee::Bridge,
        Callee::Superintendent,
        Callee::Doctor,
        Callee::OutsideHand,
    ];
    let mut given = 0;
    for to in callees {
        for kind in to.called().understands() {
            let said = phrase(*kind);
            if to.called() == Called::Station
                && matches!(kind, PhraseKind::RequestGranted | PhraseKind::Wait)
            {
                assert_eq!(watch.call(to, said), Err(Refused::NothingAsked));
                continue;
            }
            let answers = watch.ask(to, said);
            assert!(!answers.is_empty(), "{to:?} {said:?}");
            if answers.len() > 1 {
                assert!(matches!(to, Callee::Place(_)));
            }
            given += 1;
        }
    }
    assert!(given > 40, "{given}");
    assert_eq!(watch.job.indicated().requests, []);
}

/// What divers say by themselves has its chance and its delay in the file: ears while a person presses them, in a tenth
/// of the looks that are taken every ten minutes, and never to the automatic watch; and in another file cold is spoken
/// of in half of the cases and minutes later.
#[test]
fn what_is_said_unasked_goes_by_the_file() {
    let scenario = short(&[]);
    let said = |entries: &[Entry], report: Spoken| -> Vec<(i64, DiverId)> {
        let of = entries.iter().filter_map(|e| match e.what {
            What::Said { diver, report: r } if r == report => Some((e.at, diver)),
            _ => None,
        });
        of.collect()
    };
    let mut watch = Watch::from(&scenario, FROM_S);
    let compression = Act::Aim {
        compartment: LIVING,
        phase: deepstay_core::record::Phase::Compression,
        depth_msw: 60.0,
    };
    assert_eq!(watch.act(SATURATION, compression), Ok(()));
    let from = watch.job.now();
    let mut looks = 0;
    for _ in 0..16 * 6 {
        watch.run(600);
        let crew = watch.job.crew();
        let awake = crew
            .inside(LIVING)
            .filter(|d| crew.activity(*d) != deepstay_plant::Activity::Sleep);
        looks += awake.count() as u64;
    }
    watch.run(120);
    let ears = said(&watch.entries, Spoken::Ears);
    println!("ears {} of {looks}", ears.len());
    assert!(looks > 200 && is_likely(ears.len() as u64, looks, 0.1));
    // A look falls on the tenth minute; what is said comes within the two minutes after it.
    let after = |at: i64| (at - from).rem_euclid(600);
    let late = ears.iter().filter(|(at, _)| after(*at) > 0).count();
    assert!(ears.iter().all(|(at, _)| after(*at) <= 120));
    assert!(late > ears.len() / 2);
    let mut automatic = Vec::new();
    let mut job = Job::new(scenario.clone(), Options::default());
    let _ = job.advance_to(FROM_S, &mut automatic);
    assert_eq!(said(&automatic, Spoken::Ears), []);

    let text = deepstay_crew::voices::BUILT_IN_VOICES;
    let cold = "says: Cold, chance: \"100 %\", least: \"0 s\", most: \"0 s\"";
    assert_eq!(text.matches(cold).count(), 1);
    let other = "says: Cold, chance: \"50 %\", least: \"3 min\", most: \"4 min\"";
    let text = text.replacen(cold, other, 1);
    // In place, without the remarks before it.
    let body = text[text.find("\n(").expect("it begins")..]
        .trim()
        .to_owned();
    let freezing = |voices: Option<&str>| {
        let mut patches = Vec::new();
        patches.extend(voices.map(|v| ("voices", v)));
        let scenario = short(&patches);
        let mut watch = Watch::from(&scenario, FROM_S);
        let off = SteelOrder::ClimateSet {
            compartment: LIVING,
            t_k: 292.0,
            humidity: 0.5,
        };
        assert_eq!(watch.order(Order::Steel(off)), Ok(()));
        watch.run(4 * HOUR_S);
        said(&watch.entries, Spoken::Cold)
    };
    let (at_once, later) = (freezing(None), freezing(Some(&body)));
    println!("cold: {} at once, {} later", at_once.len(), later.len());
    assert!(at_once.len() >= 12);
    assert!(at_once.iter().all(|(at, _)| at % 600 == 0));
    assert!(
        later
            .iter()
            .all(|(at, _)| (180..=240).contains(&(at % 600)))
    );
    assert!(later.len() > at_once.len() / 5 && later.len() < at_once.len());
}
