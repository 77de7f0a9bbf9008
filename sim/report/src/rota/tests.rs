//! The rota's papers: each calendar through a parser of another make, what the pages must say, and the
//! folder.

use super::sample::RotaSample;
use crate::*;
use deepstay_core::units::DiverId;

/// RFC 5545 3.3.11: backslash, comma, semicolon and line break are escaped in a text. Blanks are left
/// out: the parser drops one that ends a folded line.
fn unescaped(text: &str) -> String {
    let plain = text
        .replace("\\n", "\n")
        .replace("\\,", ",")
        .replace("\\;", ";")
        .replace("\\\\", "\\");
    plain.replace(' ', "")
}

#[test]
fn calendars_read_back_by_another_parser() {
    let mut sample = RotaSample::of("nine-man", 8 * 3600);
    sample.subject.scenario = "a, b; c\\d".into();
    let inputs = sample.inputs();
    let all = calendar_of_all(&inputs);
    for line in all.split("\r\n") {
        assert!(line.len() <= 75 && !line.contains('\n'), "{line}");
    }
    let events = |text: &str| {
        let mut calendars: Vec<_> = ical::IcalParser::new(text.as_bytes())
            .map(|c| c.expect("a calendar"))
            .collect();
        assert_eq!(calendars.len(), 1);
        calendars.remove(0)
    };
    let calendar = events(&all);
    assert_eq!(calendar.events.len(), sample.rota.runs.len());
    let value = |p: &[ical::property::Property], name: &str| {
        let found: Vec<_> = p.iter().filter(|p| p.name == name).collect();
        assert_eq!(found.len(), 1, "{name}");
        found[0].value.clone().unwrap_or_default()
    };
    assert_eq!(value(&calendar.properties, "VERSION"), "2.0");
    assert!(!value(&calendar.properties, "PRODID").is_empty());
    let mut names: Vec<String> = Vec::new();
    for (turn, event) in sample.rota.runs.iter().zip(&calendar.events) {
        let at = |name: &str| -> i64 {
            let text = value(&event.properties, name);
            let time = jiff::civil::DateTime::strptime("%Y%m%dT%H%M%SZ", &text).expect("UTC");
            jiff::tz::Offset::UTC
                .to_timestamp(time)
                .expect("in range")
                .as_second()
                - sample.subject.time.start_unix_s
        };
        assert_eq!(
            (at("DTSTART"), at("DTEND"), at("DTSTAMP")),
            (turn.first, turn.last, 0)
        );
        assert!(value(&event.properties, "SUMMARY").contains(&inputs.crew(turn)));
        assert!(
            unescaped(&value(&event.properties, "DESCRIPTION")).contains(&CAUTION.replace(' ', ""))
        );
        names.push(value(&event.properties, "UID"));
    }
    names.sort();
    names.dedup();
    assert_eq!(names.len(), sample.rota.runs.len());
    assert_eq!(all, calendar_of_all(&inputs), "the same at any time");
    let diver = DiverId(0);
    let own = events(&calendar_of_diver(&inputs, diver));
    let turns = sample
        .rota
        .runs
        .iter()
        .filter(|t| t.position_of(diver).is_some())
        .count();
    assert_eq!(
        own.events.len(),
        turns + sample.problem.divers[0].saturations.len()
    );
}

#[test]
fn the_pages_stand_alone_and_say_what_they_must() {
    let sample = RotaSample::of("nine-man", 8 * 3600);
    let inputs = sample.inputs();
    for page in [rota_html(&inputs), board_html(&inputs)] {
        for outside in ["<script", "src=", "href=", "@import", "url("] {
            assert!(!page.contains(outside), "{outside}");
        }
        assert!(page.contains(CAUTION));
    }
    let page = rota_html(&inputs);
    for needed in [
        "legal and tiring",
        "fitted on aircrew",
        "outside their data",
        "MLC 2006",
        "Where the rules bind",
    ] {
        assert!(page.contains(needed), "{needed}");
    }
    let text = rota_screen(&inputs, 80);
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
    let json: serde_json::Value =
        serde_json::from_str(&RotaSummary::of(&inputs).json().expect("json")).expect("reads back");
    assert_eq!(json["caution"], CAUTION);
    assert_eq!(
        json["bell_runs"].as_array().map(Vec::len),
        Some(sample.rota.runs.len())
    );
}

#[test]
fn a_folder_is_written_whole_and_only_a_rota_is_replaced() {
    let home = tempfile::tempdir().expect("a folder");
    let dir = home.path().join("o");
    let sample = RotaSample::of("six-man", 8 * 3600);
    let paths = write_rota(&dir, &sample.inputs(), false).expect("written");
    assert_eq!(paths.len(), ROTA_FILES.len() + 6);
    assert!(write_rota(&dir, &sample.inputs(), false).is_err());
    write_rota(&dir, &sample.inputs(), true).expect("replaced");
    std::fs::write(dir.join("thesis.txt"), "keep").expect("written");
    assert!(matches!(
        write_rota(&dir, &sample.inputs(), true),
        Err(ReportError::NotAReport { .. })
    ));
}

#[test]
#[ignore = "writes pages to look at into the folder named by ROTA_PAGES"]
fn writes_rota_pages_to_look_at() {
    let Ok(home) = std::env::var("ROTA_PAGES") else {
        return;
    };
    for (job, every) in [("six-man", 8), ("nine-man", 8), ("twelve-man", 8)] {
        let sample = RotaSample::of(job, every * 3600);
        write_rota(
            &std::path::Path::new(&home).join(job),
            &sample.inputs(),
            true,
        )
        .expect("written");
        println!("{}", rota_screen(&sample.inputs(), 80));
    }
}
