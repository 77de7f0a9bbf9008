//! The screen without a device: keys and pointer, what they change in the plant, and how its words stand.

mod support;

use bevy_egui::egui::{Event, Key, Modifiers, pos2};
use deepstay::job::{Job, Options};
use deepstay::record::{NoRecord, ValveName};
use deepstay::watch::{Hands, KeptIn, Keys, SitDown};
use deepstay_viz::panel::Page;
use deepstay_viz::scene::Layout;
use deepstay_viz::screen::Screen;
use deepstay_viz::settings::Settings;
use deepstay_viz::stage::{SPEEDS, Stage, WayIn};
use std::sync::Arc;
use support::Bench;

/// Somebody at saturation control of the short job, at its second day's noon.
fn on_watch() -> Bench {
    let down = SitDown {
        from: Some("D02 12:00".to_owned()),
        hands: Hands::at_once(),
        ..SitDown::at("short", SPEEDS)
    };
    let stage = Stage::sit(down, |_, _| true).expect("built in");
    Bench::new(Screen::new(stage, Settings::default()), (1280.0, 720.0))
}

fn look(job: &str) -> Stage {
    Stage::look(job).expect("built in")
}

/// Keys write an order into the line, and return gives it: the handle is where it was ordered.
#[test]
fn keys_open_a_valve() {
    let mut bench = on_watch();
    let living = bench.vessel("Living");
    let handle = |bench: &Bench| {
        let seen = bench.screen.stage.seen();
        seen.handle(ValveName::BlowDown(living)).expect("fitted")
    };
    assert_eq!(handle(&bench), 0.0);
    bench.types(":");
    bench.types("make-up living 25 %");
    bench.presses(Key::Enter, Modifiers::NONE);
    assert_eq!(handle(&bench), 0.25, "{:?}", bench.screen.stage.said());
    // The verb's key begins the line with the vessel chosen.
    bench.types("s");
    bench.presses(Key::Enter, Modifiers::NONE);
    assert_eq!(handle(&bench), 0.0, "{:?}", bench.screen.stage.said());
    // Three letters in one frame, as a slow machine gives them.
    let letters = [":", "m", "ak"].map(|text| Event::Text(text.to_owned()));
    bench.happens(letters.to_vec());
    bench.step();
    bench.presses(Key::Tab, Modifiers::NONE);
    bench.types("living crack");
    bench.presses(Key::Enter, Modifiers::NONE);
    assert!(handle(&bench) > 0.0, "{:?}", bench.screen.stage.said());
}

/// A valve is pressed, an opening chosen from its list; the plant takes gas in.
#[test]
fn the_pointer_opens_a_valve_and_the_depth_follows() {
    let mut bench = on_watch();
    bench.screen.open(Page::Gas);
    bench.step();
    let living = bench.vessel("Living");
    let before = bench.screen.stage.seen().depth_msw(living).expect("shown");
    // Over the valve of the first line stands how far it is open.
    let opening = bench.place("shut").expect("the supply's valve is shut");
    bench.clicks(pos2(opening.x, opening.y + 27.0));
    let half = bench.place("half").expect("the list of openings is there");
    bench.clicks(half);
    let seen = bench.screen.stage.seen();
    assert_eq!(seen.handle(ValveName::BlowDown(living)), Some(0.5));
    let to = bench.screen.stage.shown_s() + 60;
    bench.passes(to);
    let after = bench.screen.stage.seen().depth_msw(living).expect("shown");
    assert!(after > before + 0.2, "{before} to {after} msw");
}

/// Without a pointer: the keyboard goes to the valve, opens its list, goes to an opening and presses it; space and arrows
/// are that list's as long, and escape gives them back.
#[test]
fn the_keyboard_goes_to_whatever_can_be_pressed() {
    let mut bench = on_watch();
    bench.screen.open(Page::Gas);
    bench.step();
    let living = bench.vessel("Living");
    let opening = bench.place("shut").expect("the supply's valve is shut");
    bench.goes_to(pos2(opening.x, opening.y + 27.0));
    bench.presses(Key::Enter, Modifiers::NONE);
    let half = bench.place("half").expect("the list of openings is there");
    bench.goes_to(half);
    bench.presses(Key::Enter, Modifiers::NONE);
    let seen = bench.screen.stage.seen();
    assert_eq!(seen.handle(ValveName::BlowDown(living)), Some(0.5));
    let to = bench.screen.stage.shown_s() + 120;
    bench.passes(to);
    bench.goes_to(bench.place("gas").expect("a page"));
    let (there, runs) = (bench.screen.stage.shown_s(), bench.screen.stage.pace().0);
    bench.types(" ");
    bench.presses(Key::ArrowLeft, Modifiers::NONE);
    assert_eq!(bench.screen.stage.shown_s(), there);
    assert_eq!(bench.screen.stage.pace().0, runs);
    bench.presses(Key::Escape, Modifiers::NONE);
    bench.presses(Key::ArrowLeft, Modifiers::NONE);
    assert_eq!(bench.screen.stage.shown_s(), there - 60);
}

/// The task that divers are at stands beside them. By hand: the short job's list is 14 h of clearing, 16 h of changing
/// after it, and 6 h of survey at any time; a run gives 6 h. So after two runs 2 h of clearing are left, for the first diver
/// of the third (3 h); its second surveys, for what waits for a task begins with the run after it: the fourth changes.
#[test]
fn what_divers_work_at_stands_in_the_picture() {
    use deepstay::record::{BellPhase, What};
    let mut stage = look("short");
    stage.run_ahead_to(3 * 86_400);
    stage.show(3 * 86_400);
    let began = |number: u16, of: BellPhase| {
        let mut told = stage.feed().iter();
        let found = told.find_map(|e| match e.what {
            What::BellPhase { run, phase, .. } if (run, phase) == (number, of) => Some(e.at),
            _ => None,
        });
        found.expect("the run was made")
    };
    let (first_s, second_s) = (
        began(2, BellPhase::FirstOut),
        began(2, BellPhase::SecondOut),
    );
    let fourth_s = began(3, BellPhase::FirstOut);
    let mut bench = Bench::new(Screen::new(stage, Settings::default()), (1280.0, 720.0));
    for (at_s, task) in [
        (first_s - 60, None),
        (first_s + 3600, Some("Clear the valve")),
        (second_s + 3600, Some("Survey")),
        (fourth_s + 600, Some("Change the valve")),
    ] {
        bench.screen.stage.show(at_s);
        bench.step();
        let words = bench.words();
        let tasks = ["Clear the valve", "Change the valve", "Survey"];
        let shown: Vec<&str> = tasks
            .into_iter()
            .filter(|t| words.iter().any(|w| w == t))
            .collect();
        assert_eq!(shown, Vec::from_iter(task), "{at_s} s");
    }
}

/// What a key says of itself on the page of keys, it does.
#[test]
fn every_key_does_what_its_page_says() {
    let mut bench = Bench::new(
        Screen::new(look("short"), Settings::default()),
        (1280.0, 720.0),
    );
    bench.screen.stage.run_ahead_to(2 * 86_400);
    bench.screen.stage.show(86_400);
    let none = Modifiers::NONE;
    bench.presses(Key::ArrowRight, none);
    assert_eq!(bench.screen.stage.shown_s(), 86_460);
    bench.presses(Key::ArrowLeft, Modifiers::SHIFT);
    assert_eq!(bench.screen.stage.shown_s(), 86_460 - 3600);
    bench.presses(Key::ArrowRight, Modifiers::CTRL);
    let next = bench.screen.stage.shown_s();
    assert!(next > 86_460 - 3600);
    bench.presses(Key::ArrowLeft, Modifiers::CTRL);
    assert!(bench.screen.stage.shown_s() < next);
    bench.presses(Key::Home, none);
    assert_eq!(bench.screen.stage.shown_s(), 0);
    bench.types("2");
    assert_eq!(bench.screen.page(), Page::Gas);
    bench.types("?");
    assert_eq!(bench.screen.page(), Page::Keys);
    bench.types("]]");
    assert_eq!(bench.screen.stage.pace(), (false, 5));
    bench.types(" ");
    assert!(bench.screen.stage.pace().0);
    bench.types(" [");
    assert_eq!(bench.screen.stage.pace(), (false, 2));
    bench.types("u");
    bench.step();
    assert!(bench.words().iter().any(|w| w.contains("fsw")));
    bench.presses(Key::F4, none);
    bench.step();
    assert!(!bench.words().iter().any(|w| w == "cameras"), "no panel");
    bench.presses(Key::F5, none);
    assert!(bench.screen.settings.contrast);
    let names = |bench: &Bench, name: &str| bench.words().iter().any(|w| w.contains(name));
    assert!(names(&bench, "EN 1089-3") && names(&bench, "CO2"));
    bench.presses(Key::F7, none);
    bench.step();
    assert!(names(&bench, "US Navy") && names(&bench, "air") && !names(&bench, "EN 1089-3"));
    bench.types("Q");
    assert!(bench.screen.leaves());
}

/// A minute that is dragged to is the minute that a run comes to, and so is one that is played to.
#[test]
fn a_minute_dragged_to_is_the_minute_run_to() {
    for job in ["short", "bad-night"] {
        let mut stage = look(job);
        stage.run_ahead_to(3 * 86_400);
        for at_s in [150_000, 7_201, 3_600, 3_661, 100_003] {
            stage.show(at_s);
            let scenario = Arc::new(deepstay::open(job).expect("built in"));
            let mut alone = Job::new(scenario, Options::default());
            let _ = alone.advance_to(at_s, &mut NoRecord);
            assert_eq!(stage.state_hash(), alone.state_hash(), "{job} at {at_s} s");
            assert_eq!(*stage.seen(), alone.indicated(), "{job} at {at_s} s");
        }
    }
}

/// A drag along the timeline shows where it ends; what has not been run yet cannot be shown.
#[test]
fn the_timeline_is_dragged() {
    let mut stage = look("short");
    stage.run_ahead_to(2 * 86_400);
    let mut bench = Bench::new(Screen::new(stage, Settings::default()), (1280.0, 720.0));
    bench.screen.stage.play(false);
    let y = 660.0;
    bench.drags(pos2(400.0, y), pos2(200.0, y));
    let there = bench.screen.stage.shown_s();
    assert!(
        there > 0 && there < bench.screen.stage.reached_s(),
        "{there}"
    );
    bench.drags(pos2(200.0, y), pos2(230.0, y));
    assert!(bench.screen.stage.shown_s() > there);
}

/// On every page of every built-in job no words lie on other words, none are cut off at the side, and none are smaller
/// than 15 points.
#[test]
fn words_of_the_panel_stand_apart() {
    for (job, size) in [
        ("short", (1280.0, 720.0)),
        ("bad-night", (1280.0, 720.0)),
        ("twelve-man", (1920.0, 1080.0)),
        ("six-man", (1280.0, 720.0)),
        ("relief", (1280.0, 720.0)),
        ("nine-man", (1920.0, 1080.0)),
    ] {
        let mut stage = look(job);
        let at_s = 2 * 86_400 + 3 * 3600;
        stage.run_ahead_to(at_s);
        stage.show(at_s);
        let mut bench = Bench::new(Screen::new(stage, Settings::default()), size);
        for page in Page::NUMBERED.into_iter().chain([Page::Keys]) {
            bench.screen.open(page);
            bench.step();
            bench.step();
            let name = format!("{job}, {} page, {size:?}", page.name());
            let words = bench.texts();
            assert!(words.len() > 20, "{name}");
            for (k, text) in words.iter().enumerate() {
                assert!(text.size >= 15.0, "{name}: `{}`", text.words);
                let cut = text.place.max.x > text.clip.max.x + 1.0
                    || text.place.min.x < text.clip.min.x - 1.0;
                assert!(!cut, "{name}: `{}` is cut off", text.words);
                for other in &words[..k] {
                    let over = text.seen().intersect(other.seen());
                    let lies = over.width() > 2.0 && over.height() > 4.0;
                    assert!(!lies, "{name}: `{}` lies on `{}`", text.words, other.words);
                }
            }
            let panel: f32 = words
                .iter()
                .filter(|t| t.place.min.x > size.0 - 392.0 && t.place.max.y < size.1 - 128.0)
                .map(|t| t.seen().area())
                .sum();
            let room = 392.0 * (size.1 - 128.0 - 34.0);
            assert!(panel < 0.5 * room, "{name}: {panel} of {room}");
        }
    }
}

/// A window in which nothing could be read says so, and nothing is lost.
#[test]
fn a_window_that_is_too_small_says_so() {
    let mut bench = Bench::new(
        Screen::new(look("short"), Settings::default()),
        (320.0, 200.0),
    );
    bench.step();
    let words = bench.words().join(" ");
    assert!(words.contains("960 by 600"), "{words}");
    assert!(words.contains("journal go on"), "{words}");
}

/// Whoever sits on the watch is shown nothing true: there is none to be had of the stage, and what draws knows no job.
#[test]
fn a_person_on_the_watch_has_no_way_to_the_truth() {
    let mut bench = on_watch();
    bench.passes(bench.screen.stage.shown_s() + 600);
    assert_eq!(bench.screen.stage.way(), WayIn::Sit);
    assert!(bench.screen.stage.truth().is_none());
    bench.presses(Key::F3, Modifiers::NONE);
    assert!(!bench.words().iter().any(|w| w == "TRUE"));
    bench
        .screen
        .stage
        .show(bench.screen.stage.reached_s() - 300);
    assert!(bench.screen.stage.truth().is_none());
    let source = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut looked = 0;
    for folder in ["panel", "scene", "drawing"] {
        for file in std::fs::read_dir(source.join(folder)).expect("there") {
            let path = file.expect("readable").path();
            if path.ends_with("tests.rs") {
                continue;
            }
            let text = std::fs::read_to_string(&path).expect("readable");
            for word in [
                "Job,", "job::Job", "Session", "OnWatch", "plant()", "crew()", "Stage,",
            ] {
                assert!(!text.contains(word), "{}: {word}", path.display());
            }
            looked += 1;
        }
    }
    assert!(looked > 15, "{looked}");
}

/// The same lines at the same seconds, typed on the screen and given to the watch as the terminal gives them, and the
/// journal taken up again on a screen: the same state, bit for bit. With a night on which things go wrong.
#[test]
fn a_watch_on_the_screen_ends_as_on_the_terminal() {
    type Lines<'a> = &'a [(i64, &'a str)];
    let watches: [(&str, &str, Lines); 3] = [
        (
            "bad-night",
            "D02 20:00",
            &[
                (60, "make-up living 10 %"),
                (300, "stop living"),
                (900, "camera living"),
            ],
        ),
        (
            "bad-night",
            "D03 00:30",
            &[
                (30, "calibrate living ppO2"),
                (1200, "fan living off"),
                (1500, "fan living on"),
            ],
        ),
        (
            "short",
            "D02 12:00",
            &[
                (10, "oxygen living quarter for 20 s"),
                (400, "write all quiet"),
                (2000, "ack all"),
            ],
        ),
    ];
    let folder = tempfile::tempdir().expect("a folder");
    for (k, (job, from, lines)) in watches.into_iter().enumerate() {
        let down = |journal| SitDown {
            from: Some(from.to_owned()),
            journal,
            ..SitDown::at(job, SPEEDS)
        };
        let path = folder.path().join(format!("{k}.journal"));
        let kept = down(KeptIn::File(path.clone()));
        let stage = Stage::sit(kept, |_, _| true).expect("it begins");
        let mut bench = Bench::new(Screen::new(stage, Settings::default()), (1280.0, 720.0));
        let mut terminal = down(KeptIn::Nowhere).sit(|_, _| true).expect("it begins");
        let begun_s = terminal.session.now();
        for (after, line) in lines {
            bench.passes(begun_s + after);
            bench.types(":");
            bench.types(line);
            bench.presses(Key::Enter, Modifiers::NONE);
            terminal
                .session
                .advance_to(begun_s + after)
                .expect("no journal");
            terminal.line(line);
            let said = bench.screen.stage.said().map(|(words, _)| words.to_owned());
            let theirs = terminal.said.as_ref().map(|said| said.words.clone());
            assert_eq!(said, theirs, "{job}: {line}");
        }
        bench.passes(begun_s + 3600);
        terminal
            .session
            .advance_to(begun_s + 3600)
            .expect("no journal");
        let hash = terminal.session.state_hash();
        assert_eq!(bench.screen.stage.state_hash(), hash, "{job} from {from}");
        let left = bench.screen.stage.left("deepstay-viz sit --resume");
        assert!(left.words.contains("prescribes nothing"), "{}", left.words);
        let again = Stage::take_up(&path, Hands::built_in().clone(), Keys::default(), |_, _| {
            true
        });
        assert_eq!(
            again.expect("whole").state_hash(),
            hash,
            "{job} from {from}"
        );
        let mut back = Stage::back(&path, |_, _| true).expect("whole");
        back.show(i64::MAX);
        assert_eq!(back.state_hash(), hash, "{job} from {from}, looked back on");
        let truth = back.truth().expect("looked back on");
        let faults = back.scenario().faults.iter();
        let standing = faults
            .filter(|f| f.at <= begun_s + 3600 && f.until.is_none())
            .count();
        assert!(truth.faults.len() >= standing);
    }
}

/// Of a watch that is looked back on, truth and twins are there: a twin with nobody acting is another job than the watch.
#[test]
fn looking_back_has_the_truth_and_the_twins() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("a.journal");
    let down = SitDown {
        from: Some("D02 12:00".to_owned()),
        journal: KeptIn::File(path.clone()),
        hands: Hands::at_once(),
        ..SitDown::at("short", SPEEDS)
    };
    let mut bench = {
        let stage = Stage::sit(down, |_, _| true).expect("it begins");
        Bench::new(Screen::new(stage, Settings::default()), (1280.0, 720.0))
    };
    let begun_s = bench.screen.stage.shown_s();
    bench.screen.stage.line("make-up living full");
    bench.passes(begun_s + 120);
    bench.screen.stage.line("stop living");
    bench.passes(begun_s + 1200);
    let living = bench.vessel("Living");
    drop(bench);
    let written = std::fs::read(&path).expect("there");
    let stage = Stage::back(&path, |_, _| true).expect("whole");
    let mut bench = Bench::new(Screen::new(stage, Settings::default()), (1280.0, 720.0));
    for _ in 0..400 {
        bench.step();
    }
    let stage = &bench.screen.stage;
    assert_eq!(stage.twins().len(), 3);
    let gauge = stage.seen().vessels[living.index()]
        .readings
        .iter()
        .find(|s| s.quantity == deepstay::units::Quantity::Depth)
        .expect("fitted")
        .instrument;
    let last = |trend: &deepstay::watch::Trend| trend.of(gauge, begun_s).last().map(|(_, v)| v);
    let lived = last(stage.trend()).expect("seen");
    for run in stage.twins() {
        let twin = last(&run.trend).expect("it has run");
        match run.twin {
            deepstay::watch::Twin::NoFault => assert!((twin - lived).abs() < 0.02, "{twin}"),
            _ => assert!(lived - twin > 1.0, "{twin} against {lived}"),
        }
    }
    bench.screen.stage.show(begun_s + 600);
    let truth = bench.screen.stage.truth().expect("looked back on").clone();
    let depth = truth
        .of_vessel(living, deepstay::units::Quantity::Depth)
        .expect("true");
    let shown = bench.screen.stage.seen().depth_msw(living).expect("shown");
    assert!((depth - shown).abs() < 1.0, "{depth} {shown}");
    bench.presses(Key::F3, Modifiers::NONE);
    bench.step();
    assert!(bench.words().iter().any(|w| w == "TRUE"));
    assert_eq!(
        std::fs::read(&path).expect("there"),
        written,
        "only looked at"
    );
}

/// A pointer on a vessel of the picture chooses it.
#[test]
fn a_vessel_of_the_picture_is_chosen() {
    let mut bench = on_watch();
    bench.step();
    let label = bench.place("Transfer").expect("drawn");
    bench.clicks(pos2(label.x, label.y + 60.0));
    bench.step();
    let titles = |bench: &Bench, name: &str| bench.words().iter().filter(|w| *w == name).count();
    assert!(titles(&bench, "Transfer") >= 2, "its page is open");
    // The bell, where it hangs.
    let scenario = bench.screen.stage.scenario().clone();
    let size = (1280.0 - 392.0, 720.0 - 128.0);
    let layout = Layout::of(&scenario.steel, scenario.site.seabed_msw, size);
    let pool = layout.pools[0];
    let at = layout.bell_at(&pool, bench.screen.stage.seen().wire_msw(pool.bell));
    let before = titles(&bench, "Bell");
    bench.clicks(pos2(at.x as f32, at.y as f32));
    bench.step();
    assert!(titles(&bench, "Bell") > before, "{:?}", bench.words());
    // A bank tells what is in it, and opens the page of gas.
    let bank = layout.banks[0].center();
    let at = pos2(bank.x as f32, bank.y as f32);
    bench.happens(vec![Event::PointerMoved(at)]);
    for _ in 0..60 {
        bench.step();
    }
    let told = bench.words();
    assert!(
        told.iter()
            .any(|w| w.starts_with("M-1: O2 2 % He by its label")),
        "{told:?}"
    );
    bench.clicks(at);
    assert_eq!(bench.screen.page(), Page::Gas);
}
