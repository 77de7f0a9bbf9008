//! Both ways through the table, what it presumes, and what it refuses with line and column.

use super::{ReadRota, write};
use crate::{BellRun, Position, Problem, Role, Rota, Span, ask};
use deepstay_core::units::{DiverId, VesselTime};
use deepstay_scenario::{Diagnostics, load};

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
    let two = Sample::of("twelve-man");
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
