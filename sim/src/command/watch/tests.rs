//! The pages as they are drawn, held against pictures in plain letters, and what no page may do: flash a letter, cut a
//! warning off, or hide behind a colour.

use super::app::{App, Page, Typing};
use super::frame::draw;
use crate::fault::FaultKind;
use crate::job::{Act, Options, Sitter};
use crate::record::{AlarmDeed, LimitName, Station};
use crate::units::{Quantity, Units};
use crate::watch::{Hands, Keys, Kit, OnWatch, SPEEDS, Session, Sheets, Start, Worth};
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use ratatui::buffer::Buffer;
use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use ratatui::style::Modifier;
use std::sync::Arc;

const SIZES: [(u16, u16); 2] = [(100, 30), (160, 50)];

/// The short job in its first bell run, a person at saturation control, two alarms: one rings, one is shelved.
fn app() -> App {
    let scenario = Arc::new(crate::open("short").expect("built in"));
    let mut session = Session::begin(scenario, Options::default(), Start::At(14 * 3600), |_| true);
    let _ = session
        .sit(Station::Saturation, Sitter::Person)
        .expect("no journal");
    let kit = Kit {
        hands: Hands::built_in().clone(),
        sheets: Sheets::built_in().clone(),
        keys: Keys::default(),
    };
    let watch = OnWatch::new(session, Some("watch.journal".into()), kit, SPEEDS);
    let mut app = App::new(watch, Units::Metric);
    app.watch.line("storage living 50 msw");
    app.watch.line("fan living off");
    app.watch.line("write the fan is off \u{2014} a rehearsal");
    let to = app.watch.session.now() + 420;
    app.watch.session.advance_to(to).expect("no journal");
    app.watch.line("row living");
    app.watch.line("tick daily 1");
    app.watch.line("tick daily 3");
    let limits = app.watch.session.indicated().limits;
    let at = app.at();
    let fitted = |n: &&LimitName| n.compartment == at && n.quantity == Quantity::PpCo2;
    let name = *limits
        .iter()
        .map(|(name, _)| name)
        .find(fitted)
        .expect("ppCO2 has a limit");
    let deed = AlarmDeed::Shelve { for_s: Some(1200) };
    let act = Act::Alarm { name, deed };
    let _ = app
        .watch
        .session
        .act(Station::Saturation, act, 0, None)
        .expect("no journal");
    app
}

fn drawn(app: &App, (width, height): (u16, u16)) -> Buffer {
    let mut terminal = Terminal::new(TestBackend::new(width, height)).expect("a terminal");
    let frame = terminal.draw(|f| draw(app, f)).expect("drawn");
    frame.buffer.clone()
}

fn letters(buffer: &Buffer) -> String {
    let width = usize::from(buffer.area.width);
    let rows = buffer.content.chunks(width);
    let row = |cells: &[ratatui::buffer::Cell]| {
        let text: String = cells.iter().map(|c| c.symbol()).collect();
        format!("{}\n", text.trim_end())
    };
    rows.map(row).collect()
}

/// Every page.
fn pages() -> impl Iterator<Item = Page> {
    Page::NUMBERED.into_iter().chain([Page::Help])
}

/// Set `DEEPSTAY_BLESS=1` to write the pictures anew; look at each before it is kept.
#[test]
fn every_page_is_as_it_was_looked_at() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../tests/command/screens");
    let mut app = app();
    for page in pages() {
        app.page = page;
        for size in SIZES {
            let text = letters(&drawn(&app, size));
            let name = format!(
                "{folder}/{}-{}x{}.txt",
                page.title().replace(' ', "-"),
                size.0,
                size.1
            );
            if std::env::var_os("DEEPSTAY_BLESS").is_some() {
                std::fs::create_dir_all(folder).expect("a folder");
                std::fs::write(&name, &text).expect("written");
            }
            let kept = std::fs::read_to_string(&name).unwrap_or_default();
            assert_eq!(text, kept, "{name}");
        }
    }
}

/// CRIOP 2003, 3.5.8.2: text never flashes, only a small sign does. NUREG-0700 (second-hand, packing): at most half of
/// a page is filled.
#[test]
fn no_letter_flashes_and_half_a_page_stays_empty() {
    let mut app = app();
    let mut flashing = 0;
    for page in pages() {
        app.page = page;
        for size in SIZES {
            let buffer = drawn(&app, size);
            for cell in &buffer.content {
                let blinks = Modifier::SLOW_BLINK | Modifier::RAPID_BLINK;
                if cell.modifier.intersects(blinks) {
                    assert_eq!(cell.symbol(), "!", "{page:?}");
                    flashing += 1;
                }
            }
            let filled = buffer.content.iter().filter(|c| c.symbol() != " ").count();
            assert!(
                2 * filled <= buffer.content.len(),
                "{page:?} {size:?}: {filled}"
            );
        }
    }
    assert!(flashing > 0, "one alarm is not acknowledged");
}

/// WCAG 2.1, 1.4.1 (from memory): colour is never the only sign. Every alarm that shows has its severity and its state
/// in words on every page, whatever the colours.
#[test]
fn what_rings_stands_on_every_page_in_words() {
    let mut app = app();
    for page in pages() {
        app.page = page;
        let text = letters(&drawn(&app, SIZES[0]));
        let line = text.lines().find(|l| l.contains("Living depth high"));
        let line = line.unwrap_or_else(|| panic!("{page:?}: {text}"));
        assert!(
            line.contains("(limit)") && line.contains("not acknowledged"),
            "{line}"
        );
        assert!(text.contains("SOUNDER ON"));
    }
}

/// More alarms than there is room for are counted, the gravest that wait stand first, and the page of alarms has all.
#[test]
fn alarms_that_have_no_room_are_counted() {
    let mut app = app();
    app.watch.line("oxygen living full for 4 min");
    let to = app.watch.session.now() + 1800;
    app.watch.session.advance_to(to).expect("no journal");
    let seen = app.watch.session.indicated();
    let shown = seen.alarms.iter().filter(|a| a.shows()).count();
    assert!(shown > 3, "{shown}");
    let text = letters(&drawn(&app, SIZES[0]));
    assert!(
        text.contains(&format!("and {} more: page 5", shown - 2)),
        "{text}"
    );
}

/// A disk that is full has a path in its message as long as it likes: what is to be done stands at the end of it.
#[test]
fn what_went_wrong_is_said_to_its_end() {
    let mut app = app();
    let words = format!(
        "{}: no room: make room and go on",
        "a long name ".repeat(14).trim()
    );
    app.watch.stuck = Some(words);
    for size in SIZES {
        let text = letters(&drawn(&app, size));
        let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(words.contains("make room and go on"), "{text}");
        assert!(
            text.contains("How they live") && text.contains(" : order"),
            "{text}"
        );
    }
}

#[test]
fn a_small_terminal_is_told_and_nothing_else_changes() {
    let app = app();
    let text = letters(&drawn(&app, (60, 20)));
    assert!(text.contains("needs 100 columns and 30 lines"), "{text}");
    for size in [(1, 1), (100, 1), (1, 30), (99, 30), (100, 29)] {
        drawn(&app, size);
    }
}

fn press(app: &mut App, keys: &str) {
    for sign in keys.chars() {
        let code = match sign {
            '\n' => KeyCode::Enter,
            '\t' => KeyCode::Tab,
            '\u{1b}' => KeyCode::Esc,
            sign => KeyCode::Char(sign),
        };
        app.key(KeyEvent::new(code, KeyModifiers::NONE));
    }
}

#[test]
fn a_key_writes_its_verb_and_enter_does_it() {
    let mut app = app();
    press(&mut app, "m");
    assert_eq!(
        (app.typing, app.editor.text()),
        (Typing::Order, "make-up Living ")
    );
    press(&mut app, "q\t");
    assert_eq!(app.editor.text(), "make-up Living quarter ");
    press(&mut app, "\n");
    let living = app.at();
    let handle = crate::record::ValveName::BlowDown(living);
    assert_eq!(app.watch.session.indicated().handle(handle), Some(0.25));
    press(&mut app, "s\n");
    assert_eq!(app.watch.session.indicated().handle(handle), Some(0.0));
    press(&mut app, ":open way in\n");
    let said = app.watch.said.clone().expect("begun");
    assert_eq!(said.words, "begun: open Way in");
    let to = app.watch.session.now() + 30;
    app.watch.session.advance_to(to).expect("no journal");
    app.watch.tell_what_came();
    let said = app.watch.said.clone().expect("refused");
    assert!(
        said.bad && said.words.contains("equalise across it first"),
        "{said:?}"
    );
    press(&mut app, "c");
    assert_eq!(app.watch.session.indicated().sounding, [false, false]);
    // Dive control is the automatic watch's: what is its own is not done from here.
    press(&mut app, "w\n");
    press(&mut app, ":hot-water bell off\n");
    let said = app.watch.said.clone().expect("said");
    assert!(said.words.contains("dive control's to do"), "{said:?}");
}

#[test]
fn a_held_display_stays_while_time_goes_on_and_a_jump_goes_back() {
    let mut app = app();
    press(&mut app, "f");
    let held = letters(&drawn(&app, SIZES[0]));
    let to = app.watch.session.now() + 1800;
    app.watch.session.advance_to(to).expect("no journal");
    let page = |text: &str| {
        text.lines()
            .skip(1)
            .take(25)
            .map(str::to_owned)
            .collect::<Vec<_>>()
    };
    let cells = |text: &str| {
        page(text)
            .into_iter()
            .filter(|l| l.contains("Living  "))
            .collect::<Vec<_>>()
    };
    assert_eq!(cells(&letters(&drawn(&app, SIZES[0]))), cells(&held));
    press(&mut app, "f");
    assert_ne!(letters(&drawn(&app, SIZES[0])), held);
    press(&mut app, "J20 min\n");
    assert_eq!(app.watch.session.now(), to - 1200);
    press(&mut app, "JD01 19:00\n");
    assert!(
        app.watch
            .said
            .clone()
            .expect("said")
            .words
            .contains("when you sat down")
    );
}

/// Whoever leaves a watch in which people came to harm is told so first, and the exit code says so.
#[test]
fn who_leaves_is_told_the_worst_first() {
    let left = app().watch.left("deepstay watch --resume");
    assert_eq!(left.worth, Worth::Done);
    assert!(
        left.words.starts_with("left at D01 20:07"),
        "{}",
        left.words
    );
    let mut app = app();
    let hole = FaultKind::Leak {
        compartment: app.at(),
        area_m2: 3e-3,
        hull_stop: false,
    };
    let act = Act::Fault(hole);
    let _ = app
        .watch
        .session
        .act(Station::Script, act, 0, None)
        .expect("no journal");
    let to = app.watch.session.now() + 3600;
    app.watch.session.advance_to(to).expect("no journal");
    assert!(app.watch.session.is_over());
    let left = app.watch.left("deepstay watch --resume");
    assert_eq!(left.worth, Worth::NotCompleted);
    assert!(left.words.starts_with("SOMEBODY DEAD: "), "{}", left.words);
    assert!(
        left.words
            .lines()
            .next()
            .is_some_and(|l| l.contains("dead"))
    );
}

/// A sheet is signed once every item of it is gone through, and not before; signed, it begins anew.
#[test]
fn a_sheet_with_an_item_open_is_not_signed() {
    let mut app = app();
    let count = app.watch.kit.sheets.items(3).len();
    assert_eq!(app.watch.kit.sheets.names().nth(3), Some("daily"));
    press(&mut app, "8");
    for _ in 0..3 {
        app.key(KeyEvent::new(KeyCode::Down, KeyModifiers::NONE));
    }
    app.watch.line("sign daily");
    let said = app.watch.said.clone().expect("said");
    assert!(said.bad, "{said:?}");
    assert!(
        said.words.contains("items 2, 4, 5, 6, 7, 8 are not"),
        "{said:?}"
    );
    let text = letters(&drawn(&app, SIZES[0]));
    assert!(text.contains(&format!("2 of {count}")), "{text}");
    app.watch.line("tick daily 9");
    assert!(
        app.watch
            .said
            .clone()
            .expect("said")
            .words
            .contains("1 to 8, or all")
    );
    app.watch.line("tick daily all");
    app.watch.line("sign daily");
    assert!(!app.watch.said.clone().expect("said").bad);
    assert!(app.watch.session.ticked(3).is_empty());
    let text = letters(&drawn(&app, SIZES[0]));
    assert!(text.contains("signed D01 20:07"), "{text}");
    app.watch.line("tick handover 2");
    app.watch.line("sign handover");
    let said = app.watch.said.clone().expect("said");
    assert!(
        said.bad && said.words.contains("items 1, 3, 4, 5, 6 are not"),
        "{said:?}"
    );
    press(&mut app, "7");
    let text = letters(&drawn(&app, SIZES[1]));
    assert!(text.contains("Gone through together (1 of 6)"), "{text}");
}

/// No verb may be put on a key of the screen: the list that keeps them apart has every one that the help shows.
#[test]
fn every_key_of_the_screen_is_kept_from_the_verbs() {
    for (keys, _) in super::keys::SCREEN_KEYS {
        let signs = keys.split([' ', ',']).filter(|k| k.chars().count() == 1);
        for sign in signs.flat_map(str::chars) {
            assert!(crate::watch::OF_THE_SCREEN.contains(&sign), "{sign}");
        }
    }
}

/// What is set otherwise by a file of keys is so on the key line, in the help and under the finger.
#[test]
fn keys_can_be_set_otherwise() {
    let mut app = app();
    let keys = Keys::read(
        "ours.ron",
        "(format: 1, keys: [(verb: \"make-up\", key: \"A\")])",
    );
    app.watch.kit.keys = keys.expect("right");
    let text = letters(&drawn(&app, SIZES[0]));
    assert!(text.contains("[A] make-up"), "{text}");
    press(&mut app, "m");
    assert_eq!(app.typing, Typing::Nothing);
    press(&mut app, "A");
    assert_eq!(app.editor.text(), "make-up Living ");
    press(&mut app, "\u{1b}?");
    let text = letters(&drawn(&app, SIZES[1]));
    assert!(text.contains("A  make-up"), "{text}");
}

/// The log sheet has the columns of its file, and says of those that have no room that they are there.
#[test]
fn the_log_sheet_counts_what_was_done_by_hand_in_the_hour() {
    let mut app = app();
    for _ in 0..3 {
        app.watch.line("oxygen living quarter for 3 s");
        let to = app.watch.session.now() + 60;
        app.watch.session.advance_to(to).expect("no journal");
    }
    app.watch.line("lock-run medical lock meal");
    let to = app.watch.session.now() + 300;
    app.watch.session.advance_to(to).expect("no journal");
    press(&mut app, "6");
    let text = letters(&drawn(&app, SIZES[1]));
    let row = text
        .lines()
        .find(|l| l.starts_with("20:00"))
        .expect("the hour");
    let cells: Vec<&str> = row.split_whitespace().collect();
    assert_eq!(&cells[cells.len() - 3..], ["3", "1", "you"], "{text}");
    let narrow = letters(&drawn(&app, SIZES[0]));
    assert!(
        narrow.contains("locks") || narrow.contains("a wider terminal shows"),
        "{narrow}"
    );
}
