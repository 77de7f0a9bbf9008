//! The rota's papers: both ways through the table, each calendar through a parser of another make, what
//! the pages must say, and the folder.

use super::rota_sample::RotaSample;
use super::*;
use deepstay_core::units::DiverId;
use deepstay_scenario::BadScenario;

fn read(sample: &RotaSample, text: &str) -> Result<ReadRota, BadScenario> {
    read_rota("r.csv", text.as_bytes(), &sample.subject, &sample.problem)
}

#[test]
fn what_is_written_reads_back_the_same() {
    for job in ["six-man", "nine-man", "twelve-man"] {
        let sample = RotaSample::of(job, 8 * 3600);
        assert!(sample.rota.turns.len() > 40, "{job}");
        let text = String::from_utf8(rota_csv(&sample.inputs()).expect("laid out")).expect("text");
        let back = read(&sample, &text).expect("reads back");
        assert_eq!(back.rota, sample.rota, "{job}");
        assert!(back.remarks.is_empty(), "{:?}", back.remarks);
    }
}

#[test]
fn a_table_of_four_columns_is_enough_and_what_is_presumed_is_told() {
    let sample = RotaSample::of("six-man", 8 * 3600);
    let text = "Diver;Leave;Return;Role\nAB;2031-06-03 08:00;2031-06-03 15:00;diver\nCD;2031-06-03T06:00Z;2031-06-03 15:00;Diver\n";
    let back = read(&sample, text).expect("reads");
    let [turn] = &back.rota.turns[..] else {
        panic!("{back:?}")
    };
    let wet: Vec<_> = turn.seats.iter().map(|s| s.wet_s()).collect();
    assert_eq!(wet[0], wet[1]);
    let bell = &sample.problem.bells[0];
    assert_eq!(
        turn.seats[0].wet[0].from_s,
        turn.first + bell.way_out_s(118.0)
    );
    assert!(turn.seats[1].wet[0].to_s <= turn.last - bell.way_home_s(118.0));
    assert_eq!(back.remarks.len(), 2, "{:?}", back.remarks);
    assert!(back.remarks[0].contains("UTC+00:00") && back.remarks[0].contains("UTC+02:00"));
}

#[test]
fn what_is_wrong_is_told_with_line_and_column() {
    let sample = RotaSample::of("six-man", 8 * 3600);
    let head = "diver,leave,return,role";
    let good = "AB,2031-06-03 08:00,2031-06-03 15:00,diver";
    for (lines, line, column, words) in [
        (vec!["diver,leave,role", good], 1, 1, "no column `return`"),
        (
            vec!["diver,leave,return,role,leave", good],
            1,
            25,
            "there twice",
        ),
        (vec![head], 1, 1, "no turn under the heads"),
        (
            vec![head, "AX,2031-06-03 08:00,2031-06-03 15:00,diver"],
            2,
            1,
            "no diver `AX`",
        ),
        (
            vec![head, "AB,2031-06-03 08:00,2031-06-03 15:00,tender"],
            2,
            38,
            "no role",
        ),
        (
            vec![head, "AB,2031-06-03 22:00,2031-06-03 05:00,diver"],
            2,
            21,
            "returns before it leaves",
        ),
        (
            vec![head, "AB,2031-06-03 08:00,2031-06-05 15:00,diver"],
            2,
            21,
            "are the dates right",
        ),
        (
            vec![head, "AB,2031-06-03 8,2031-06-03 15:00,diver"],
            2,
            4,
            "no time of day",
        ),
        (
            vec![head, "AB,2031-06-03 08:00,2031-06-03 24:00,diver"],
            2,
            21,
            "past the end of a day",
        ),
        (
            vec![
                head,
                "AB,2031-10-26T02:30[Europe/Oslo],2031-10-26 09:00,diver",
            ],
            2,
            4,
            "name of a zone",
        ),
        (
            vec![head, good, good],
            3,
            1,
            "AB is listed twice for this turn; the first is on line 2",
        ),
        (
            vec![head, good, "AB,2031-06-03 14:00,2031-06-03 20:00,diver"],
            3,
            1,
            "still away on the turn of line 2",
        ),
        (
            vec![head, good, "CD,2031-06-03 09:00,2031-06-03 15:00,diver"],
            3,
            1,
            "those who go together",
        ),
        (
            vec![
                "diver,leave,return,role,in water",
                "AB,2031-06-03 08:00,2031-06-03 15:00,diver,09:00-16:00",
            ],
            2,
            44,
            "not all between",
        ),
        (
            vec![
                "diver,leave,return,role,in water",
                "AB,2031-06-03 08:00,2031-06-03 15:00,diver,9 to 10",
            ],
            2,
            44,
            "length",
        ),
        (
            vec![
                "diver,leave,return,role,depth",
                "AB,2031-06-03 08:00,2031-06-03 15:00,diver,118 mws",
            ],
            2,
            44,
            "msw",
        ),
    ] {
        let bad = read(&sample, &lines.join("\n")).expect_err(words);
        let hit = bad
            .complaints
            .iter()
            .find(|c| c.to_string().contains(words));
        let hit = hit.unwrap_or_else(|| panic!("{words}: {bad}"));
        assert_eq!((hit.place.line, hit.place.column), (line, column), "{hit}");
    }
    let bad = read(
        &sample,
        &[head, "AB,2031-06-03 22:00,2031-06-03 05:00,diver"].join("\n"),
    )
    .expect_err("midnight");
    assert!(
        bad.to_string()
            .contains("if it crosses midnight: 2031-06-04 05:00"),
        "{bad}"
    );
    let two = RotaSample::of("twelve-man", 8 * 3600);
    let text = [head, &good.replace("AB", &two.problem.divers[0].initials)].join("\n");
    if two.problem.bells.len() > 1 {
        assert!(
            read(&two, &text)
                .expect_err("which bell")
                .to_string()
                .contains("names none")
        );
    }
}

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
    assert_eq!(calendar.events.len(), sample.rota.turns.len());
    let value = |p: &[ical::property::Property], name: &str| {
        let found: Vec<_> = p.iter().filter(|p| p.name == name).collect();
        assert_eq!(found.len(), 1, "{name}");
        found[0].value.clone().unwrap_or_default()
    };
    assert_eq!(value(&calendar.properties, "VERSION"), "2.0");
    assert!(!value(&calendar.properties, "PRODID").is_empty());
    let mut names: Vec<String> = Vec::new();
    for (turn, event) in sample.rota.turns.iter().zip(&calendar.events) {
        let at = |name: &str| -> i64 {
            let text = value(&event.properties, name);
            let time = jiff::civil::DateTime::strptime("%Y%m%dT%H%M%SZ", &text).expect("UTC");
            jiff::tz::Offset::UTC
                .to_timestamp(time)
                .expect("in range")
                .as_second()
                - sample.subject.start_unix_s
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
    assert_eq!(names.len(), sample.rota.turns.len());
    assert_eq!(all, calendar_of_all(&inputs), "the same at any time");
    let diver = DiverId(0);
    let own = events(&calendar_of_diver(&inputs, diver));
    let turns = sample
        .rota
        .turns
        .iter()
        .filter(|t| t.seat(diver).is_some())
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
    assert!(
        text.lines().count() < 24 && text.lines().all(|l| l.chars().count() <= 80),
        "{text}"
    );
    let json: serde_json::Value =
        serde_json::from_str(&RotaSummary::of(&inputs).json().expect("json")).expect("reads back");
    assert_eq!(json["caution"], CAUTION);
    assert_eq!(
        json["turns"].as_array().map(Vec::len),
        Some(sample.rota.turns.len())
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
