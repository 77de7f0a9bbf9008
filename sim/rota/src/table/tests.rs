//! Both ways through the table, what it presumes, and what it refuses with line and column.

use super::cells::nearest;
use super::{ReadRota, write};
use crate::{BellRun, Position, Problem, Role, Rota, Span, ask};
use deepstay_core::units::text::TimeOfDay;
use deepstay_core::units::{CompartmentId, DiverId, VesselTime};
use deepstay_scenario::{Diagnostic, Diagnostics, load};

/// A built-in job and a made-up rota for it.
struct Sample {
    time: VesselTime,
    problem: Problem,
    rota: Rota,
}

impl Sample {
    /// A plain round of the teams of a built-in job, a turn of seven hours every eight.
    fn of(job: &str) -> Sample {
        const EVERY_S: i64 = 8 * 3600;
        const TURN_S: i64 = 7 * 3600;
        let scenario = load(job).expect("built in");
        let problem = ask(&scenario).expect("answers").problem;
        let mut teams: Vec<u8> = problem.divers.iter().map(|d| d.team).collect();
        teams.sort_unstable();
        teams.dedup();
        let mut rota = Rota::default();
        for (n, first) in (problem.first_s + 7200..problem.last_s - TURN_S)
            .step_by(EVERY_S as usize)
            .enumerate()
        {
            let bell = &problem.bells[n % problem.bells.len()];
            let crew = (0u8..)
                .zip(&problem.divers)
                .filter(|(_, d)| d.team == teams[n % teams.len()]);
            let crew: Vec<DiverId> = crew
                .map(|(i, _)| DiverId(i))
                .take(usize::from(bell.places))
                .collect();
            let seats = crew.iter().enumerate().map(|(i, diver)| {
                let out_s = first + 3600 + i as i64 * 7000;
                let bellman = crew.len() > 2 && i == 1;
                Position {
                    diver: *diver,
                    role: if bellman { Role::Bellman } else { Role::Diver },
                    wet: match i {
                        _ if bellman => vec![],
                        0 => vec![
                            Span::new(out_s, out_s + 1800),
                            Span::new(out_s + 2405, out_s + 6000),
                        ],
                        _ => vec![Span::new(out_s, out_s + 6000)],
                    },
                }
            });
            rota.runs.push(BellRun {
                bell: bell.id,
                first,
                last: first + TURN_S,
                depth_msw: problem.working_msw,
                positions: seats.collect(),
                tasks: problem
                    .tasks
                    .first()
                    .map(|_| (0, 5400))
                    .into_iter()
                    .collect(),
            });
        }
        Sample {
            time: scenario.time(),
            problem,
            rota,
        }
    }
}

fn read(sample: &Sample, text: &str) -> Result<ReadRota, Diagnostics> {
    super::read("r.csv", text.as_bytes(), sample.time, &sample.problem)
}

#[test]
fn what_is_written_reads_back_the_same() {
    for job in ["six-man", "nine-man", "twelve-man"] {
        let sample = Sample::of(job);
        assert!(sample.rota.runs.len() > 40, "{job}");
        let text =
            String::from_utf8(write(&sample.rota, &sample.problem, sample.time).expect("laid out"))
                .expect("text");
        let back = read(&sample, &text).expect("reads back");
        assert_eq!(back.rota, sample.rota, "{job}");
        assert!(back.remarks.is_empty(), "{:?}", back.remarks);
    }
}

#[test]
fn a_table_of_four_columns_is_enough_and_what_is_presumed_is_told() {
    let sample = Sample::of("six-man");
    let text = "Diver;Leave;Return;Role\nAB;2031-06-03 08:00;2031-06-03 15:00;diver\nCD;2031-06-03T06:00Z;2031-06-03 15:00;Diver\n";
    let back = read(&sample, text).expect("reads");
    let [turn] = &back.rota.runs[..] else {
        panic!("{back:?}")
    };
    let wet: Vec<_> = turn.positions.iter().map(|s| s.wet_s()).collect();
    assert_eq!(wet[0], wet[1]);
    let bell = &sample.problem.bells[0];
    assert_eq!(
        turn.positions[0].wet[0].from_s,
        turn.first + bell.way_out_s(118.0)
    );
    assert!(turn.positions[1].wet[0].to_s <= turn.last - bell.way_home_s(118.0));
    assert_eq!(back.remarks.len(), 2, "{:?}", back.remarks);
    assert!(back.remarks[0].contains("UTC+00:00") && back.remarks[0].contains("UTC+02:00"));
}

#[test]
fn what_is_wrong_is_told_with_line_and_column() {
    let sample = Sample::of("six-man");
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
        (vec![head], 1, 1, "no bell run under the heads"),
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
            "AB is listed twice for this bell run; the first is on line 2",
        ),
        (
            vec![head, good, "AB,2031-06-03 14:00,2031-06-03 20:00,diver"],
            3,
            1,
            "still away on the bell run of line 2",
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
        let hit = bad.all.iter().find(|c| c.to_string().contains(words));
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
}

/// Six men whose bell has its first diver out twenty minutes after it left and its last in a quarter of an hour before it
/// is home, ten minutes to change, and a table with every column.
fn by_hand() -> Sample {
    let mut sample = Sample::of("six-man");
    let bell = &mut sample.problem.bells[0];
    // The winch takes a second.
    (bell.out_s, bell.dressing_s, bell.home_s) = (20 * 60 - 1, 0, 15 * 60 - 1);
    (bell.handling_s, bell.winch_msw_s, bell.change_s) = (0, 1e9, 600);
    sample
}

const HEADS: &str = "diver,leave,return,role,bell,depth,in water,tasks";

/// Lines of the morning of the second day: diver, role, time in the water and tasks of a run from 08:00 to 15:00.
fn morning(seats: &[(&str, &str, &str, &str)]) -> String {
    let line = |(diver, role, wet, tasks): &(&str, &str, &str, &str)| {
        format!("{diver},2031-06-03 08:00,2031-06-03 15:00,{role},,,{wet},{tasks}")
    };
    let lines: Vec<String> = seats.iter().map(line).collect();
    format!("{HEADS}\n{}", lines.join("\n"))
}

/// When each is in the water, by the ship's clock.
fn clocks(sample: &Sample, run: &BellRun) -> Vec<String> {
    let clock = |s: i64| TimeOfDay(sample.time.second_of_day(s)).to_string();
    let of = |w: &Span| format!("{}-{}", clock(w.from_s), clock(w.to_s));
    let seats = run.positions.iter();
    seats
        .map(|p| p.wet.iter().map(of).collect::<Vec<_>>().join(" "))
        .collect()
}

/// What is wrong with one table: place, words, and what would be right.
fn wrong(sample: &Sample, text: &str) -> Vec<(usize, usize, String, String)> {
    let bad = read(sample, text).expect_err(text);
    let tell = |d: &Diagnostic| {
        let (line, column) = (d.place.line, d.place.column);
        (
            line,
            column,
            d.wrong.to_string(),
            d.remedy.clone().unwrap_or_default(),
        )
    };
    bad.all.iter().map(tell).collect()
}

/// From 08:20 to 14:45 the bell is at depth, 6 h 25 min. Where nothing is said two take turns with ten minutes between,
/// 3 h 7 min 30 s each; where a bellman stays in it all others are out all the time.
#[test]
fn what_is_not_said_of_the_water_is_presumed() {
    let sample = by_hand();
    type Seats = &'static [(&'static str, &'static str, &'static str)];
    let cases: [(Seats, &[&str], &str); 10] = [
        (
            &[("AB", "diver", ""), ("CD", "diver", "")],
            &["08:20-11:27:30", "11:37:30-14:45"],
            "does not say when 2 positions",
        ),
        (
            &[("AB", "diver", ""), ("CD", "bellman", "")],
            &["08:20-14:45", ""],
            "does not say when 1 position is",
        ),
        (
            &[
                ("AB", "diver", ""),
                ("CD", "bellman", ""),
                ("EF", "diver", ""),
            ],
            &["08:20-14:45", "", "08:20-14:45"],
            "does not say when 2 positions",
        ),
        (
            &[("AB", "diver", "2 h"), ("CD", "diver", "1 h")],
            &["08:20-10:20", "10:30-11:30"],
            "how long and not when 2 positions",
        ),
        (
            &[("AB", "diver", "2 h"), ("CD", "bellman", "")],
            &["08:20-10:20", ""],
            "how long and not when 1 position is",
        ),
        // One whose times are said is followed by the other after the change.
        (
            &[("AB", "diver", "09:00-10:00"), ("CD", "diver", "2:30")],
            &["09:00-10:00", "10:10-12:40"],
            "how long and not when 1 position is",
        ),
        (
            &[("AB", "diver", "08:05-08:08"), ("CD", "diver", "1 h")],
            &["08:05-08:08", "08:20-09:20"],
            "how long and not when 1 position is",
        ),
        // A bellman of whom a time in the water is said has it, and the judge tells him of it.
        (
            &[("AB", "diver", "1 h"), ("CD", "bellman", "30 min")],
            &["08:20-09:20", "08:20-08:50"],
            "how long and not when 2 positions",
        ),
        (
            &[("AB", "diver", "0 min"), ("CD", "diver", "1 h")],
            &["", "08:30-09:30"],
            "how long and not when 2 positions",
        ),
        // Nobody is in the water after the bell is home, nor for no time at all.
        (
            &[("AB", "diver", "6:50"), ("CD", "diver", "0 min")],
            &["08:20-15:00", ""],
            "how long and not when 2 positions",
        ),
    ];
    for (seats, told, remark) in cases {
        let lines: Vec<_> = seats.iter().map(|&(a, b, c)| (a, b, c, "")).collect();
        let back = read(&sample, &morning(&lines)).expect("reads");
        assert_eq!(clocks(&sample, &back.rota.runs[0]), told, "{seats:?}");
        assert_eq!(back.remarks.len(), 1, "{:?}", back.remarks);
        assert!(back.remarks[0].contains(remark), "{:?}", back.remarks);
    }
}

/// A task without its time has its share of what the others leave: of 6 h 15 min in the water.
#[test]
fn tasks_share_the_time_that_is_left() {
    let sample = by_hand();
    for (tasks, shares, remarks) in [
        ("Lay mattresses", vec![(2, 22_500)], 2),
        (
            "lay mattresses 1:30; Clear the old spool",
            vec![(2, 5400), (0, 17_100)],
            2,
        ),
        (
            "Lay mattresses 0:15; Clear the old spool; Burn off its bolts",
            vec![(2, 900), (0, 10_800), (1, 10_800)],
            2,
        ),
        (
            "Lay mattresses 2:15; Clear the old spool 4:00:00",
            vec![(2, 8100), (0, 14_400)],
            1,
        ),
        (
            "Lay mattresses 7:00; Clear the old spool",
            vec![(2, 25_200), (0, 0)],
            2,
        ),
    ] {
        let seats = [("AB", "diver", "", tasks), ("CD", "diver", "", "")];
        let back = read(&sample, &morning(&seats)).expect("reads");
        assert_eq!(back.rota.runs[0].tasks, shares, "{tasks}");
        assert_eq!(back.remarks.len(), remarks, "{:?}", back.remarks);
    }
}

/// A number at the end of a task's name is its name, and only what is written as a clock is a time.
#[test]
fn a_number_in_a_tasks_name_is_no_time() {
    let mut sample = by_hand();
    sample.problem.tasks[0].name = "Spool 2".to_owned();
    let tasks = |text: &str| {
        let seats = [("AB", "diver", "3 h", text), ("CD", "diver", "", "")];
        read(&sample, &morning(&seats)).map(|back| back.rota.runs[0].tasks.clone())
    };
    assert_eq!(tasks("Spool 2 1:00"), Ok(vec![(0, 3600)]));
    assert_eq!(tasks(" ; SPOOL 2;"), tasks("Spool 2"));
    let seats = [("AB", "diver", "", "Spool 2; Spol 2 1:00")];
    let told = wrong(&sample, &morning(&seats));
    assert_eq!(told.len(), 1, "{told:?}");
    let (line, _, words, help) = &told[0];
    assert_eq!(*line, 2);
    assert!(
        words.contains("Spol 2") && !words.contains("1:00"),
        "{words}"
    );
    assert_eq!(help, "did you mean `Spool 2`?");
}

/// Spans go by the ship's clock from the bell's leaving on, over midnight too, up to the second at which it is home.
#[test]
fn spans_in_the_water_follow_the_clock() {
    let sample = by_hand();
    let spans = |leave: &str, back: &str, wet: &str| {
        let text = format!("{HEADS}\nAB,{leave},{back},diver,,,{wet},");
        let read = read(&sample, &text).expect("reads");
        let run = &read.rota.runs[0];
        let from = |s: i64| s - run.first;
        let wet = run.positions[0].wet.iter();
        wet.map(|w| (from(w.from_s) / 60, from(w.to_s) / 60))
            .collect::<Vec<_>>()
    };
    let day = ("2031-06-03 08:00", "2031-06-03 15:00");
    assert_eq!(spans(day.0, day.1, "08:00-15:00"), [(0, 420)]);
    assert_eq!(
        spans(day.0, day.1, "09:00\u{2013}10:30;10:45-12:00"),
        [(60, 150), (165, 240)]
    );
    let night = ("2031-06-03 22:00", "2031-06-04 05:00");
    assert_eq!(
        spans(night.0, night.1, "23:30-01:00 01:00-04:59"),
        [(90, 180), (180, 419)]
    );
    let told = |wet: &str| {
        let mut told = wrong(&sample, &morning(&[("AB", "diver", wet, "")]));
        assert_eq!(told.len(), 1, "{told:?}");
        let (line, column, words, help) = told.remove(0);
        assert_eq!((line, column), (2, 46), "{words}");
        (words, help)
    };
    assert_eq!(
        told("09:00-15:01").0,
        "`09:00-15:01` is not all between 08:00 and 15:00"
    );
    let (words, help) = told("09:00-10:00 11-12");
    assert_eq!(words, "`11-12` is no span of time");
    assert!(help.contains("08:10-10:50"), "{help}");
    // A length as long as the run may be meant; one longer not.
    let text = morning(&[("AB", "diver", "7 h", "")]);
    assert!(read(&sample, &text).is_ok());
    assert_eq!(
        told("7:00:01").0,
        "the time in the water is longer than the bell run"
    );
    assert!(told("9 to 10").1.contains("2 h 40 min"));
}

/// A run of a day is let pass, one of a second more is not. Where it comes home before it leaves the next day is offered,
/// if that comes after the leaving.
#[test]
fn a_run_ends_after_it_begins_and_within_a_day() {
    let sample = by_hand();
    let run = |back: &str| format!("{HEADS}\nAB,2031-06-03 08:00,{back},diver,,,1 h,");
    assert!(read(&sample, &run("2031-06-04 08:00")).is_ok());
    for (back, words, help) in [
        (
            "2031-06-04 08:00:01",
            "this bell run is 24:00:01 h long; are the dates right?",
            "",
        ),
        (
            "2031-06-03 08:00",
            "this bell run returns before it leaves",
            "if it crosses midnight: 2031-06-04 08:00",
        ),
        (
            "2031-06-02 08:00:01",
            "this bell run returns before it leaves",
            "if it crosses midnight: 2031-06-03 08:00:01",
        ),
        (
            "2031-06-02 08:00",
            "this bell run returns before it leaves",
            "",
        ),
    ] {
        let told = wrong(&sample, &run(back));
        let length = |t: &(usize, usize, String, String)| t.2 == words;
        let told = told.iter().find(|t| length(t)).expect(back);
        assert_eq!((told.0, told.1, told.3.as_str()), (2, 21, help), "{back}");
    }
}

/// Names are read in any case and with blanks; a name that nearly is one is offered, another is not.
#[test]
fn names_are_read_in_any_case_and_the_nearest_is_offered() {
    let mut sample = by_hand();
    let mut second = sample.problem.bells[0].clone();
    second.id = CompartmentId(200);
    (sample.problem.bells[0].name, second.name) = ("Port bell".to_owned(), "Starboard".to_owned());
    let first = sample.problem.bells[0].id;
    sample.problem.bells.push(second);
    let line = |diver: &str, role: &str, bell: &str| {
        format!("{HEADS}\n{diver},2031-06-03 08:00,2031-06-03 15:00,{role},{bell},100 msw,1 h,")
    };
    for (bell, id) in [(" PORT bell", first), ("starboard ", CompartmentId(200))] {
        let back = read(&sample, &line(" cd ", " Diver ", bell)).expect("reads");
        let run = &back.rota.runs[0];
        assert_eq!((run.bell, run.depth_msw), (id, 100.0));
        assert_eq!(run.positions[0].diver, DiverId(1));
    }
    let told = |diver: &str, role: &str, bell: &str| {
        let mut told = wrong(&sample, &line(diver, role, bell));
        assert_eq!(told.len(), 1, "{told:?}");
        let (line, column, words, help) = told.remove(0);
        assert_eq!(line, 2);
        (column, words, help)
    };
    let (column, words, help) = told("AX", "diver", "Starboard");
    assert_eq!(
        (column, help.as_str()),
        (1, "did you mean `AB`?"),
        "{words}"
    );
    let other = "write one of the names there are";
    assert_eq!(told("XX", "diver", "Starboard").2, other);
    let (column, words, help) = told("AB", "belman", "Starboard");
    assert_eq!((column, help.as_str()), (38, "did you mean `bellman`?"));
    assert_eq!(words, "`belman` is no role; there are diver and bellman");
    assert_eq!(told("AB", "nobody", "Starboard").2, "");
    let (column, words, help) = told("AB", "diver", "Starbord");
    assert_eq!((column, help.as_str()), (44, "did you mean `Starboard`?"));
    assert!(words.contains("Starbord"), "{words}");
    assert_eq!(told("AB", "diver", "midships").2, other);
    // Of two bells one has to be named.
    let (_, words, help) = told("AB", "diver", "");
    assert_eq!(words, "the spread has 2 bells and this line names none");
    assert_eq!(help, "a column `bell` says which: Port bell, Starboard");
}

/// A name may be a slip in one letter, and in one more for each three that it has.
#[test]
fn how_near_a_name_has_to_be() {
    for (written, near) in [
        ("ab", Some("ab")),
        ("ax", Some("ab")),
        ("xy", None),
        ("BELLMAN", Some("bellman")),
        ("xxxlman", Some("bellman")),
        ("xxxxman", None),
        ("bellmna", Some("bellman")),
    ] {
        assert_eq!(nearest(written, ["ab", "bellman"]), near, "{written}");
    }
    assert_eq!(nearest("bell 2", ["Bell 1", "Bell 2"]), Some("Bell 2"));
    assert_eq!(nearest("bell 2", ["Bell 2", "Bell 1"]), Some("Bell 2"));
}

/// Heads are read in any case, in any order, with blanks, lines or hyphens; others are passed over; one that is nearly the
/// wanted is asked after.
#[test]
fn heads_are_read_as_they_are_meant() {
    let sample = by_hand();
    let text = "ROLE,In_Water,Note,Return, Leave ,Diver\ndiver,2 h,fine,2031-06-03 15:00,2031-06-03 08:00,EF";
    let back = read(&sample, text).expect("reads");
    let run = &back.rota.runs[0];
    assert_eq!((run.first, run.last), (26 * 3600, 33 * 3600));
    assert_eq!(run.positions[0].diver, DiverId(2));
    assert_eq!(clocks(&sample, run), ["08:20-10:20"]);
    let hyphen = text.replace("In_Water", "in-water");
    assert_eq!(read(&sample, &hyphen), Ok(back));
    let told = wrong(&sample, &text.replace("Return", "Retrun"));
    assert_eq!(told.len(), 1, "{told:?}");
    assert_eq!(told[0].2, "there is no column `return`");
    assert_eq!(told[0].3, "is `Retrun` meant?");
    let told = wrong(&sample, &text.replace("Return", "Home"));
    assert!(told[0].3.contains("diver, leave, return, role"), "{told:?}");
    // A line that ends too soon is complained of at its last cell.
    let told = wrong(&sample, "diver,leave,return,role\nAB,2031-06-03 08:00");
    assert!(told.iter().all(|t| (t.0, t.1) == (2, 4)), "{told:?}");
    assert_eq!(told.len(), 2, "{told:?}");
}

/// Who goes with whom: the same bell from one second to the other. A run may leave as the one before it comes home; runs are
/// put in the order of their leaving.
#[test]
fn lines_that_leave_and_return_together_are_a_run() {
    let sample = by_hand();
    let line = |diver: &str, from: &str, to: &str| {
        format!("{diver},2031-06-03 {from},2031-06-03 {to},diver,,,1 h,")
    };
    let text = [
        HEADS.to_owned(),
        line("EF", "15:00", "20:00"),
        line("AB", "08:00", "15:00"),
        line("GH", "15:00", "20:00"),
        line("CD", "08:00", "15:00"),
        line("AB", "20:00", "22:00"),
    ];
    let back = read(&sample, &text.join("\n")).expect("reads");
    let crews: Vec<Vec<u8>> = back
        .rota
        .runs
        .iter()
        .map(|r| r.positions.iter().map(|p| p.diver.0).collect())
        .collect();
    assert_eq!(crews, [vec![0, 1], vec![2, 3], vec![0]]);
    // A second sooner the bell, and he, are still away.
    let sooner = text
        .join("\n")
        .replace("20:00,2031-06-03 22:00", "19:59:59,2031-06-03 22:00");
    let told = wrong(&sample, &sooner);
    assert_eq!(told.len(), 1, "{told:?}");
    assert_eq!((told[0].0, told[0].1), (6, 1));
    assert_eq!(told[0].2, "Bell is still away on the bell run of line 2");
    let twice = text
        .join("\n")
        .replace("AB,2031-06-03 20:00", "AB,2031-06-03 14:59:59");
    let words: Vec<String> = wrong(&sample, &twice).into_iter().map(|t| t.2).collect();
    assert!(
        words.contains(&"AB is still away on the bell run of line 3".to_owned()),
        "{words:?}"
    );
}

/// A line in which something is wrong is told of for that, and not for what follows from it.
#[test]
fn a_line_that_is_wrong_is_no_seat() {
    let sample = by_hand();
    let seats = [
        ("AB", "diver", "1 h", ""),
        ("AB", "diver", "1 h", "no such task"),
    ];
    let told = wrong(&sample, &morning(&seats));
    assert_eq!(told.len(), 1, "{told:?}");
    assert_eq!(told[0].0, 3);
    assert!(told[0].2.contains("no such task"), "{told:?}");
}

/// Times with an offset of their own are the instants that they name, and each other offset is told once, west with a
/// minus.
#[test]
fn offsets_of_times_are_told_once_each() {
    let sample = by_hand();
    let text = "diver,leave,return,role,in water\n\
        AB,2031-06-03T02:30-03:30,2031-06-03T15:00+02:00,diver,1 h\n\
        CD,2031-06-03T06:00Z,2031-06-03T09:30-03:30,diver,1 h";
    let back = read(&sample, text).expect("reads");
    let runs = &back.rota.runs;
    assert_eq!(
        (runs.len(), runs[0].first, runs[0].last),
        (1, 26 * 3600, 33 * 3600)
    );
    let told: Vec<&str> = back
        .remarks
        .iter()
        .filter_map(|r| r.split_once("Some times carry ")?.1.split_once(';'))
        .map(|(offset, _)| offset)
        .collect();
    assert_eq!(told, ["UTC-03:30", "UTC+00:00"]);
}
