//! The terminal's care: it is taken for the screen and given back however the watch ends, by a key, a signal, a panic or
//! a line that was cut; and it is looked at often enough for a key to be answered at once, and no oftener.

use super::app::App;
use super::frame;
use crate::command::interrupt;
use crate::watch::Left;
use ratatui::DefaultTerminal;
use ratatui::crossterm::event::{self, Event, KeyEventKind};
use rustix::event::{PollFd, PollFlags, Timespec, poll};
use std::io;
use std::panic;
use std::time::{Duration, Instant};

/// How long is waited for a key while time passes: twenty pictures a second.
const RUNNING: Duration = Duration::from_millis(50);
/// How long while it stands.
const STANDING: Duration = Duration::from_millis(250);

/// The screen, given back when this goes.
struct Screen(DefaultTerminal);

impl Screen {
    fn take() -> io::Result<Screen> {
        let before = panic::take_hook();
        panic::set_hook(Box::new(move |fault| {
            ratatui::restore();
            before(fault);
        }));
        Ok(Screen(ratatui::try_init()?))
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        // A closed terminal cannot be given back to anybody.
        let _ = ratatui::try_restore();
    }
}

/// What the line to the person says.
#[derive(PartialEq, Eq)]
enum Line {
    /// Nothing, or something to read.
    Open,
    /// It was cut: nobody is there any more.
    Cut,
}

/// Waits until there is something to read, or for so long. A line that was cut is told here: a reader of keys that is
/// given one reads nothing again and again, and would never come back.
fn wait(longest: Duration) -> Line {
    let stdin = io::stdin();
    let mut lines = [PollFd::new(&stdin, PollFlags::IN)];
    let time = Timespec {
        tv_sec: 0,
        tv_nsec: i64::from(longest.subsec_nanos()),
    };
    // A signal ends the wait, and is looked at by whoever waits.
    let _ = poll(&mut lines, Some(&time));
    let gone = PollFlags::HUP | PollFlags::ERR | PollFlags::NVAL;
    match lines[0].revents().intersects(gone) {
        true => Line::Cut,
        false => Line::Open,
    }
}

/// Lives the watch until the person leaves it, or the terminal goes.
pub fn live(mut app: App) -> io::Result<Left> {
    let mut screen = Screen::take()?;
    loop {
        if screen.0.draw(|f| frame::draw(&app, f)).is_err() {
            return Ok(app.watch.left("deepstay watch --resume"));
        }
        let longest = if app.watch.clock.runs() {
            RUNNING
        } else {
            STANDING
        };
        if wait(longest) == Line::Cut {
            return Ok(app.watch.left("deepstay watch --resume"));
        }
        while event::poll(Duration::ZERO)? {
            if let Event::Key(key) = event::read()?
                && key.kind != KeyEventKind::Release
            {
                app.key(key);
            }
        }
        if interrupt::came() || app.leaves() {
            return Ok(app.watch.left("deepstay watch --resume"));
        }
        app.watch.tick(Instant::now());
    }
}
