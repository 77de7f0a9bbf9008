//! Calls as a person on the watch types them: what is understood, offered and refused, with what would be right; and a
//! watch in which people were called is taken up from its journal with the same answers at the same seconds.

mod saying;

use deepstay_core::record::{
    Answer, Callee, Entry, Phrase, Refused, Request, Sitter, Station, ValveName, What,
};
use deepstay_core::units::*;
use deepstay_job::{Act, Options};
use deepstay_scenario::Scenario;
use deepstay_watch::{
    Recall, Session, Sheets, Start, Verb, asking, belongs, complete, in_words, parse,
};
use saying::say;
use std::sync::Arc;

const HOUR_S: i64 = 3600;
const FROM_S: i64 = 6 * HOUR_S;

fn short() -> Arc<Scenario> {
    Arc::new(deepstay_scenario::load("short").unwrap_or_else(|bad| panic!("{bad}")))
}

fn begin() -> Session {
    let mut session = Session::begin(short(), Options::default(), Start::At(FROM_S), |_| true);
    let done = session.sit(Station::Saturation, Sitter::Person);
    assert_eq!(done.expect("no journal"), Ok(()));
    session
}

#[test]
fn a_call_is_who_and_what_in_the_words_of_the_trade() {
    let session = begin();
    let (scenario, seen) = (session.scenario(), session.indicated());
    let act = |line: &str| {
        let asked = parse(line, scenario, &seen, Sheets::built_in())
            .unwrap_or_else(|e| panic!("{line}: {e}"));
        asked.acts[0].0
    };
    let call = |to, phrase| Act::Call { to, phrase };
    let (living, bell) = (CompartmentId(0), CompartmentId(3));
    for (line, expected) in [
        (
            "call AB how-are-you",
            call(Callee::Diver(DiverId(0)), Phrase::HowAreYou),
        ),
        (
            "call ab how",
            call(Callee::Diver(DiverId(0)), Phrase::HowAreYou),
        ),
        (
            "call living head-count",
            call(Callee::Place(living), Phrase::HeadCount),
        ),
        (
            "call LM read bail-out",
            call(
                Callee::Diver(DiverId(5)),
                Phrase::ReadYourGauge(Quantity::GaugePressure),
            ),
        ),
        (
            "call living check bleed living",
            call(
                Callee::Place(living),
                Phrase::CheckValve(ValveName::Bleed(living)),
            ),
        ),
        (
            "call AB leave-for transfer",
            call(
                Callee::Diver(DiverId(0)),
                Phrase::LeaveFor(CompartmentId(1)),
            ),
        ),
        (
            "call dive control stand-by",
            call(Callee::DiveControl, Phrase::StandBy),
        ),
        (
            "call saturation granted",
            call(Callee::SaturationControl, Phrase::RequestGranted),
        ),
        (
            "call doctor treatment",
            call(Callee::Doctor, Phrase::TreatmentAdvice),
        ),
        (
            "call deck read-bank M-1",
            call(Callee::OutsideHand, Phrase::ReadBank(BankId(0))),
        ),
        (
            "call dive ask recall",
            call(Callee::DiveControl, Phrase::Ask(Request::Recall(bell))),
        ),
        (
            "ask recall",
            call(Callee::DiveControl, Phrase::Ask(Request::Recall(bell))),
        ),
        (
            "ask transfer CD",
            call(
                Callee::DiveControl,
                Phrase::Ask(Request::Transfer(DiverId(1))),
            ),
        ),
        (
            "ask gas living",
            call(
                Callee::SaturationControl,
                Phrase::Ask(Request::Pressure(living)),
            ),
        ),
    ] {
        assert_eq!(act(line), expected, "{line}");
        let said = in_words(&expected, scenario, None);
        assert_eq!(act(&said), expected, "{said}");
    }
    // What the hand on deck does is the verb that it is, with the time that the verb takes.
    let asked = parse(
        "call deck hull-stop living shut",
        scenario,
        &seen,
        Sheets::built_in(),
    )
    .expect("a verb");
    let verb =
        parse("hull-stop living shut", scenario, &seen, Sheets::built_in()).expect("the verb");
    assert_eq!((asked.verb, &asked.acts), (Verb::HullStop, &verb.acts));
}

#[test]
fn what_cannot_be_said_has_its_reason_and_what_could_be() {
    let session = begin();
    let (scenario, seen) = (session.scenario(), session.indicated());
    for (line, said) in [
        ("call", "`call` wants a person or place to call"),
        (
            "call XY how-are-you",
            "no person or place to call is called `XY`",
        ),
        (
            "call AB",
            "`call` wants what to say to AB: how-are-you, listen",
        ),
        (
            "call AB weather",
            "`weather` makes no sense to AB; what can be is how-are-you, listen, head-count",
        ),
        (
            "call bridge head-count",
            "`head-count` makes no sense to bridge; what can be is weather, position",
        ),
        ("call AB sing", "`sing` is nothing that can be said to AB"),
        ("call AB read", "`call` wants a gauge to read"),
        ("call AB read mood", "no gauge to read is called `mood`"),
        ("call AB check drain bell", "there is no valve `Bell drain`"),
        (
            "call AB leave-for holding",
            "no vessel that people go into is called `holding`",
        ),
        (
            "call medical how-are-you",
            "no person or place to call is called `medical`",
        ),
        ("call AB how-are-you now", "`now` is one word too many"),
        ("ask", "`ask` wants a thing to ask for"),
        ("ask leave", "no thing to ask for is called `leave`"),
        ("ask transfer XY", "no diver is called `XY`"),
    ] {
        let why = parse(line, scenario, &seen, Sheets::built_in())
            .expect_err(line)
            .to_string();
        assert!(why.contains(said), "{line}: {why}");
    }
}

/// Whatever is offered of a call, whole, is understood; and to each is offered only what makes sense to him.
#[test]
fn what_is_offered_makes_sense_and_is_understood() {
    let session = begin();
    let (scenario, seen) = (session.scenario(), session.indicated());
    let offered = |line: &str| complete(line, scenario, &seen, Sheets::built_in()).offers;
    assert!(offered("call ").contains(&"AB".to_owned()));
    assert!(offered("call ").contains(&"bridge".to_owned()));
    assert!(!offered("call ").contains(&"Medical lock".to_owned()));
    assert_eq!(offered("call bridge w"), ["bridge weather"]);
    assert_eq!(offered("call bridge m"), Vec::<String>::new());
    assert_eq!(offered("call AB bibs"), ["AB bibs-on", "AB bibs-off"]);
    assert_eq!(
        offered("call AB read pp"),
        ["AB read ppO2", "AB read ppCO2"]
    );
    assert_eq!(offered("call AB how-are-you "), Vec::<String>::new());
    assert!(offered("call deck ").contains(&"deck hull-stop".to_owned()));
    assert!(offered("ask re").iter().all(|o| o.starts_with("recall ")));
    let mut tried = 0;
    let mut open: Vec<String> = offered("call ")
        .iter()
        .map(|o| format!("call {o} "))
        .collect();
    while let Some(line) = open.pop() {
        let more = offered(&line);
        if more.is_empty() {
            let of_deck = ["hull-stop", "gag", "line-up"]
                .iter()
                .any(|v| line.contains(v));
            if !of_deck {
                let asked = parse(&line, scenario, &seen, Sheets::built_in())
                    .unwrap_or_else(|e| panic!("{line}: {e}"));
                assert_eq!(asked.verb, Verb::Call, "{line}");
                tried += 1;
            }
            continue;
        }
        open.extend(more.iter().map(|o| format!("call {o} ")));
    }
    println!("{tried} calls");
    assert!(tried > 300, "{tried}");
    for request in offered("ask ") {
        let line = format!("ask {request}");
        let asked = parse(&line, scenario, &seen, Sheets::built_in())
            .unwrap_or_else(|e| panic!("{line}: {e}"));
        assert_eq!(in_words(&asked.acts[0].0, scenario, None), line);
    }
}

/// Who orders what is the other station's is refused, and told the line that asks for it.
#[test]
fn what_is_anothers_to_order_may_be_asked_for() {
    let mut session = begin();
    let bell = CompartmentId(3);
    for (line, ask) in [
        ("bell up", "ask recall Bell"),
        ("bell to 58 msw", "ask lower Bell"),
        ("send AB trunk", "ask transfer AB"),
        ("clamp bell hatch off", "ask mate Bell"),
    ] {
        let asked = session.understand(line, Sheets::built_in()).expect(line);
        let act = asked.acts[0].0;
        let request = belongs(&act, session.scenario(), &session.indicated()).expect(line);
        assert_eq!(request.owner(), Station::Dive);
        assert_eq!(asking(request, session.scenario()), ask);
        assert_eq!(say(&mut session, line), Err(Refused::NotYours), "{line}");
        assert_eq!(say(&mut session, ask), Ok(()), "{ask}");
    }
    for line in [
        "bleed living 1 %",
        "stop living",
        "open transfer to trunk",
        "fan living off",
    ] {
        let asked = session.understand(line, Sheets::built_in()).expect(line);
        let act = asked.acts[0].0;
        let request = belongs(&act, session.scenario(), &session.indicated());
        assert!(
            request.is_none_or(|r| r.owner() == Station::Saturation),
            "{line}"
        );
    }
    session.advance_to(FROM_S + 120).expect("no journal");
    let home = session.feed().entries().iter().any(|e| {
        matches!(e.what, What::Answered { from: Callee::DiveControl, answer: Answer::Waits(_), phrase, .. }
            if phrase == Phrase::Ask(Request::Recall(bell)))
    });
    assert!(home);
}

/// A watch with calls in it, killed and taken up again: the same answers at the same seconds, and a branch that goes
/// back before a call hears nothing of it.
#[test]
fn a_journal_with_calls_gives_the_same_answers_at_the_same_seconds() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("watch.journal");
    let mut session = begin();
    let head = session.head("short", None);
    session.keep_journal(&path, &head).expect("a new file");
    let calls = [
        "call living how-are-you",
        "call living head-count",
        "call bridge weather",
        "ask transfer AB",
        "call LM leave-for transfer",
        "call deck read-bank M-1",
        "call LM come-back",
        "call doctor treatment",
    ];
    for (k, line) in calls.iter().enumerate() {
        assert_eq!(say(&mut session, line), Ok(()), "{line}");
        let to = FROM_S + 45 * (k as i64 + 1);
        session.advance_to(to).expect("it can be written");
    }
    session
        .advance_to(FROM_S + 2000)
        .expect("it can be written");
    session.mark().expect("it can be written");
    let answers = |entries: &[Entry]| -> Vec<Entry> {
        let of_calls = |e: &&Entry| matches!(e.what, What::Called { .. } | What::Answered { .. });
        entries.iter().filter(of_calls).copied().collect()
    };
    let first = answers(session.feed().entries());
    assert!(first.len() >= 2 * calls.len(), "{}", first.len());
    let recall = Recall::read(&path).expect("whole");
    assert_eq!(recall.lines.len(), calls.len() + 2);
    let mut again = Session::resume(short(), &path, &recall, None, |_| true).expect("it is whole");
    assert_eq!(answers(again.feed().entries()), first);
    assert_eq!(again.state_hash(), session.state_hash());
    again.jump(FROM_S + 10).expect("there");
    let early = |e: &Entry| e.at <= FROM_S + 10;
    let heard = answers(again.feed().entries());
    assert!(heard.iter().all(early));
    again.advance_to(FROM_S + 2000).expect("it can be written");
    let branch = answers(again.feed().entries());
    // The first call was given before; of the others nothing was said on this branch.
    let calls_of = |entries: &[Entry]| {
        entries
            .iter()
            .filter(|e| matches!(e.what, What::Called { .. }))
            .count()
    };
    assert_eq!((calls_of(&branch), calls_of(&first)), (1, calls.len()));
}
