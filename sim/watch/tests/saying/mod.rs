//! A line said by somebody on the watch, for tests that live one.

use deepstay_core::record::{Refused, Station};
use deepstay_job::Act;
use deepstay_watch::{Session, Sheets};

/// Says a line as somebody at saturation control.
pub fn say(session: &mut Session, line: &str) -> Result<(), Refused> {
    let asked = session.understand(line, Sheets::built_in()).expect(line);
    let mut done = Ok(());
    for (act, takes_s) in asked.acts {
        let act = match act {
            Act::Note(_) => Act::Note(session.next_note()),
            other => other,
        };
        let came = session.act(Station::Saturation, act, takes_s, asked.words.clone());
        done = done.and(came.expect("it can be written"));
    }
    done
}
