//! Every published exercise and printed example as a technician would type it, to the printed digit or with the difference
//! explained, and under the other convention beside it.
//!
//! The school's exercises are flash cards after a diving supervisor's manual, with answers; the handbook is the US Navy
//! Diving Manual in the editions named. What is recalled or derived is called so.

use deepstay_core::units::Units;
use deepstay_sums::{Answer, Choice, Name, Question, SumError, sum};

fn asked(line: &str) -> Question {
    let mut words = line.split(' ');
    let name = words.next().expect("a sum");
    let mut question = Question::of(sum(name).expect("there is one"));
    for word in words {
        // A blank inside a quantity is a stroke below here.
        let word = word.replace('_', " ");
        question
            .read(&word)
            .unwrap_or_else(|e| panic!("{line}: {e}"));
    }
    question
}

fn answer(line: &str) -> Answer {
    let answer = asked(line).answer();
    answer.unwrap_or_else(|e| panic!("{line}: {e}"))
}

fn value(answer: &Answer, name: &str) -> f64 {
    let name = Name::written(name).expect("a name");
    let found = answer.figures.iter().find(|f| f.name == name);
    found.unwrap_or_else(|| panic!("no {name:?}")).value
}

fn beside(answer: &Answer, choice: Choice) -> f64 {
    let found = answer.beside.iter().find(|b| b.choice == choice);
    let found = found.unwrap_or_else(|| panic!("no {choice:?}"));
    found.outcome.as_ref().expect("an answer").value
}

/// The sum as typed, which of its figures, what is printed, half a unit of the last digit printed, and why it differs where
/// it does.
type Case = (&'static str, &'static str, f64, f64, &'static str);

#[rustfmt::skip]
const SCHOOL: [Case; 12] = [
    ("absolute-pressure depth=254msw", "absolute", 26.4, 1e-9, ""),
    ("absolute-pressure depth=254fsw", "absolute", 8.69, 0.0075, "they cut 8.697 and do not round it"),
    ("divers-gas divers=1 depth=120msw time=4h", "gas", 109.2, 1e-9, ""),
    ("divers-gas divers=1 depth=100fsw time=30min", "gas", 151.2, 0.1, "their last digit is 0.05 % off: 151.1"),
    ("divers-gas divers=2 depth=75msw time=4h", "gas", 142.8, 1e-9, ""),
    ("quad-contents bottles=64 volume=50L gauge=100bar", "gas", 320.0, 1e-9, ""),
    ("gas-available bottles=64 volume=50L gauge=100bar change-over=40bar", "gas", 192.0, 1e-9, ""),
    ("hours-left bottles=64 volume=50L gauge=100bar change-over=40bar divers=1 depth=130msw", "time", 392.0, 0.5, ""),
    ("gas-available bottles=64 volume=50L gauge=205bar change-over=30bar", "gas", 560.0, 1e-9, ""),
    ("quad-filling bottles=12 volume=50L gauge=25bar final=200bar", "gas", 105.0, 1e-9, ""),
    ("bail-out volume=12L gauge=200bar depth=100msw", "gas", 2.15, 0.005, ""),
    ("part-full-quad rated=5800ft3 full=3000psi gauge=1800psi", "gas", 3480.0, 1e-9, ""),
];

/// The handbook, rows of a copy, unless the note says otherwise.
#[rustfmt::skip]
const HANDBOOK: [Case; 44] = [
    // 15-8: 318.5 taken as 319 psi, 2,681 psi usable, 73.2 scf, 14.13 scfm, 5.18 min.
    ("bail-out volume=0.399ft3 gauge=3000psi depth=300fsw", "gas", 73.2, 0.05, ""),
    ("bail-out volume=0.399ft3 gauge=3000psi depth=300fsw", "time", 5.18, 0.005, ""),
    ("absolute-pressure depth=300fsw", "absolute", 10.09, 0.005, ""),
    ("surface-flow depth=300fsw breathing=1.4ft3/min", "flow", 14.13, 0.005, ""),
    // Revision 4, pp. 8-2 and 8-3: 28.38 + 38.01 scf, 2,580.95 psig.
    ("emergency-supply-pressure volume=0.399ft3 depth=190fsw bottom-time=3min ascent-rate=30fsw/min least=135psi", "gas", 66.39, 0.005, ""),
    ("emergency-supply-pressure volume=0.399ft3 depth=190fsw bottom-time=3min ascent-rate=30fsw/min least=135psi", "gauge", 2580.95, 0.15, "they go on with 66.39 scf, and unrounded it is 2,581.09; both are taken as 2,600"),
    ("ascent-time depth=190fsw ascent-rate=30fsw/min", "time", 7.0, 1e-9, ""),
    // Copy of chapter 12: 1.4 acfm at 132 fsw is 5 ata and 7.0 scfm.
    ("absolute-pressure depth=132fsw", "absolute", 5.0, 1e-9, ""),
    ("surface-flow depth=132fsw breathing=1.4ft3/min", "flow", 7.0, 1e-9, ""),
    // 15-17.
    ("fire-zone ppo2=0.48ata", "depth", 231.0, 1e-9, ""),
    // Revision 4, p. 22-17: 170 to 160 fsw, 215 s, 3.6 min.
    ("exhaust-time chamber=425ft3 from=170fsw to=160fsw exhaust=6ft3/min", "time", 215.0 / 60.0, 0.01, ""),
    // 15-23 and Revision 4, p. 15-34: 6 ft/h in steps of a foot; the last stop at 4 fsw, 80 min.
    ("next-step step=1fsw rate=6fsw/h", "time", 10.0, 1e-9, ""),
    ("decompression-clock from=4fsw rates=3fsw/h", "time", 80.0, 1e-9, ""),
    // 15-15, cut to whole feet: 0 to 224, 99 to 998 fsw.
    ("depth-window mix=16% low=0.16ata high=1.25ata", "deepest", 224.8, 0.05, "printed cut, 224"),
    ("depth-window mix=16% low=0.16ata high=1.25ata", "shallowest", 0.0, 1e-9, ""),
    ("depth-window mix=4% low=0.16ata high=1.25ata", "shallowest", 99.0, 1e-9, ""),
    ("depth-window mix=4% low=0.16ata high=1.25ata", "deepest", 998.25, 1e-9, "printed cut, 998"),
    // 15-14 and 15-22.
    ("co2-equivalent ppco2=0.005ata", "sev", 0.5, 1e-9, ""),
    ("co2-equivalent ppco2=0.005ata", "mercury", 3.8, 1e-9, ""),
    ("co2-equivalent ppco2=0.02ata", "mercury", 15.2, 1e-9, ""),
    ("co2-equivalent ppco2=0.06ata", "mercury", 45.6, 1e-9, ""),
    // 22-4, with no locks: the constants; the secondary's is derived.
    ("treatment-air inner-lock=0ft3 outer-lock=0ft3", "primary", 45_390.0, 1e-6, ""),
    ("treatment-air inner-lock=0ft3 outer-lock=0ft3", "secondary", 4224.0, 1e-6, "derived: 70.4 scfm for an hour"),
    // 2-12: 2,000 psi is 137 ata.
    ("gauge-to-absolute gauge=2000psi", "absolute", 137.0, 0.5, ""),
    // 17-4: the answer is cut off in the copy; derived.
    ("gas-available bottles=2 volume=0.399ft3 gauge=2800psi change-over=250psi", "gas", 138.4, 0.05, "derived"),
    // 12-5 and 15-8: the questions seen, the answers derived.
    ("ppo2-at-depth ppo2=1.2ata depth=231fsw", "mix", 15.0, 1e-6, "derived"),
    ("ppo2-at-depth mix=16% depth=264fsw", "ppo2", 1.44, 0.005, "derived"),
    ("ppo2-at-depth mix=14% depth=264fsw", "ppo2", 1.26, 0.005, "derived"),
    ("ppo2-at-depth ppo2=0.9ata depth=660fsw", "mix", 90.0 / 21.0, 1e-6, "derived"),
    ("ppo2-at-depth ppo2=0.44ata depth=300fsw", "mix", 4.36, 0.005, "derived"),
    ("ppo2-at-depth ppo2=1.25ata depth=300fsw", "mix", 12.39, 0.005, "derived"),
    // Chapters 2, 12 and 15, recalled with their answers.
    ("open-bell bell=24ft3 to=99fsw", "gas-volume", 6.0, 1e-9, "recalled"),
    ("open-bell bell=24ft3 to=99fsw temperature=80degF temperature-2=45degF", "gas-volume", 5.61, 0.005, "recalled"),
    ("open-bell bell=1ft3 from=627fsw to=627fsw temperature=110degF temperature-2=40degF", "gas-volume", 0.877, 0.0005, "recalled"),
    ("quad-temperature gauge=3000psi temperature=72degF temperature-2=170degF", "final", 3555.0, 0.5, "recalled"),
    ("quad-temperature gauge=2250psi temperature=140degF temperature-2=40degF", "final", 1872.55, 0.005, "recalled"),
    ("quad-temperature gauge=2200psi temperature=160degF temperature-2=75degF", "final", 1896.4, 0.05, "recalled"),
    ("gas-at-temperature volume=20ft3 gauge=1896.4psi temperature=75degF", "gas", 2575.8, 0.05, "recalled"),
    ("divers-gas divers=3 depth=300fsw time=15min breathing=1.4ft3/min", "gas", 635.7, 0.05, "recalled; rounded up to 636"),
    ("ppo2-on-arrival ppo2=0.44ata mix=20% from=0fsw", "to", 37.95, 1e-3, "recalled"),
    // Abort, from 307 fsw: 107 ft at 12 min a foot and 200 at 21 (recalled): 21.4 and 70 h.
    ("decompression-clock from=307fsw to=200fsw rates=5fsw/h", "time", 21.4 * 60.0, 1e-6, "recalled"),
    ("decompression-clock from=200fsw rates=2.857142857142857fsw/h", "time", 4200.0, 1e-6, "recalled"),
    // Rates of the handbook's bands at 16 h a day (second-hand): 100 fsw 29 h of travel, 43.8 h in all.
    ("decompression-clock from=100fsw rates=4fsw/h-to-50fsw,3fsw/h hours-a-day=16h", "travel", 29.17 * 60.0, 0.5, "second-hand"),
    ("decompression-clock from=1000fsw rates=6fsw/h-to-200fsw,5fsw/h-to-100fsw,4fsw/h-to-50fsw,3fsw/h hours-a-day=16h", "travel", 182.5 * 60.0, 0.5, "second-hand"),
];

/// Safety flashes, a case report, a review's table, and orders.
#[rustfmt::skip]
const OTHERS: [Case; 14] = [
    // Safety flash on a diver's lost gas.
    ("supply-pressure over-bottom=12bar depth=85msw", "reading", 20.5, 1e-9, ""),
    // PMC9767825, Table 8: 60, 70, 80 kPa at 23 % switch at 16, 20, 25 msw.
    ("fo2-takes-over ppo2=0.6bar", "depth", 16.0, 0.5, ""),
    ("fo2-takes-over ppo2=0.7bar", "depth", 20.0, 0.5, ""),
    ("fo2-takes-over ppo2=0.8bar", "depth", 25.0, 0.5, ""),
    // The same table's rates: 130 msw 108.1 h, 90 msw 72.9 h (derived).
    ("decompression-clock from=130msw rates=1.4msw/h-to-16msw,0.6msw/h", "time", 108.1 * 60.0, 3.0, "derived"),
    ("decompression-clock from=90msw rates=1.6msw/h-to-20msw,1.2msw/h-to-15msw,0.6msw/h", "time", 72.9 * 60.0, 3.0, "derived"),
    // Case report, Healthcare 2022;10(3):453: 2 x 12 L at 300 bar hold 7,200 L; a body's 3.6 L of oxygen last about
    // 7 min at 0.5 L/min; a helmet of 4.5 L with 14 % at 10 bar holds 6.2 L, by arithmetic 6.3.
    ("quad-contents bottles=2 volume=12L gauge=300bar", "gas", 7.2, 1e-9, ""),
    ("hours-left bottles=2 volume=12L gauge=300bar change-over=0bar divers=1 depth=90msw", "time", 20.6, 0.05, "derived"),
    ("metabolic-oxygen oxygen-used=3.6L people=1", "time", 7.0, 0.5, ""),
    ("ppo2-at-depth mix=14% depth=90msw", "ppo2", 1.4, 1e-9, ""),
    // Air, then 2 and 4 % to 100 msw; 0.40 bar is landed on with 1.9 % (derived).
    ("ppo2-on-arrival to=100msw mix=2%", "ppo2", 0.41, 1e-9, "derived"),
    ("ppo2-on-arrival to=100msw mix=4%", "ppo2", 0.61, 1e-9, "derived"),
    ("ppo2-on-arrival to=100msw ppo2=0.4bar", "mix", 1.9, 1e-6, "derived"),
    // France, order of 30 October 2012, art. 33: 0.72 m3 a person in 24 h.
    ("metabolic-oxygen people=1 time=24h", "oxygen-used", 0.72, 1e-9, ""),
];

#[test]
fn every_published_answer_to_the_printed_digit_or_with_the_difference_explained() {
    for (line, name, printed, within, why) in SCHOOL.iter().chain(&HANDBOOK).chain(&OTHERS) {
        let feet = line.starts_with("depth-window") && line.contains("low=");
        let mut question = asked(line);
        if feet {
            question.in_units(Units::Imperial);
        }
        let answer = question.answer().unwrap_or_else(|e| panic!("{line}: {e}"));
        let ours = value(&answer, name);
        println!("{line}: {name} printed {printed}, ours {ours:.5} {why}");
        assert!(
            (ours - printed).abs() <= *within,
            "{line}: {name} is printed {printed}, ours is {ours}"
        );
    }
}

/// Each of the school's and the handbook's shows what the other convention makes of it, and it differs where it must.
#[test]
fn the_other_convention_stands_beside() {
    let quad = answer("quad-contents bottles=64 volume=50L gauge=100bar");
    assert!((beside(&quad, Choice::PlusOne) - 323.2).abs() < 1e-9);
    // Helium at 100 bar and 15 degC: Z = 1.049.
    assert!((beside(&quad, Choice::Gas) / 320.0 - 1.0 / 1.0487).abs() < 2e-3);
    let depth = answer("absolute-pressure depth=254msw");
    assert!((beside(&depth, Choice::Pressure) - 26.41325).abs() < 1e-9);
    let depth = answer("absolute-pressure depth=254fsw");
    assert!((beside(&depth, Choice::Pressure) - (1.0 + 254.0 * 0.30643 / 10.1325)).abs() < 1e-9);
    // The handbook's bail-out counts one bottle volume more than comes out: 72.8 scf and 5.15 min without.
    let bail_out = answer("bail-out volume=0.399ft3 gauge=3000psi depth=300fsw");
    assert!((beside(&bail_out, Choice::PlusOne) - 5.15).abs() < 0.005);
    // The school's bail-out without the regulator's 10 bar: 12 x 189 = 2.268 m3 at 40 L/min and 11 bar.
    let bail_out = answer("bail-out volume=12L gauge=200bar depth=100msw");
    assert!((beside(&bail_out, Choice::Allowance) - 12.0 * 189.0 / 440.0).abs() < 1e-9);
    let gauge = answer("supply-pressure over-bottom=12bar depth=85msw");
    assert!((beside(&gauge, Choice::SealedGauge) - 12.0).abs() < 1e-12);
    let ascent = answer("ascent-time depth=190fsw ascent-rate=30fsw/min");
    assert!((beside(&ascent, Choice::Rounding) - 19.0 / 3.0).abs() < 1e-9);
    // The logarithm beside the handbook's mean: nearly the same over ten feet.
    let exhaust = answer("exhaust-time chamber=425ft3 from=170fsw to=160fsw exhaust=6ft3/min");
    assert!((beside(&exhaust, Choice::Pressure) / exhaust.figures[0].value - 1.0).abs() < 5e-3);
}

/// Oxygen: 0.05 bar in 20 m3 is 1,000 L at the chamber's own temperature and 1 bar; 0.938 m3 at 15 degC and 1 atm (closed
/// form, checked on its own) is 889 L at 0 degC.
#[test]
fn oxygen_to_add_by_both_counts() {
    let add = answer("oxygen-to-add chamber=20m3 rise=0.05bar temperature=303.15K");
    assert!((add.figures[0].value - 1000.0).abs() < 1e-9);
    let standard = 938.0 * 273.15 / 288.15;
    assert!((beside(&add, Choice::Litres) - standard).abs() < 0.6);
}

/// Six people of 0.40 L/min at 0 degC in 20 m3 at 303.15 K: 8.10 mbar an hour (closed form); carbon dioxide at 0.45 L/min:
/// 5 mbar in 37 min counted warm, in 32.9 min counted at 0 degC; 60 mbar in 7.4 and 6.59 h.
#[test]
fn clocks_of_a_closed_chamber() {
    let fall = answer(
        "ppo2-fall chamber=20m3 people=6 oxygen-rate=0.4L/min before=0.4bar time=1h temperature=303.15K",
    );
    assert!((0.4 - beside(&fall, Choice::Litres) - 8.10e-3).abs() < 5e-6);
    for (mbar, warm_min, standard_min) in [(5.0, 37.0, 32.9), (60.0, 7.4 * 60.0, 6.59 * 60.0)] {
        let line = format!("co2-rise chamber=20m3 people=6 ppco2={mbar}mbar temperature=303.15K");
        let clock = answer(&line);
        assert!(
            (clock.figures[0].value - warm_min).abs() < 0.01 * warm_min,
            "{mbar}"
        );
        assert!((beside(&clock, Choice::Litres) - standard_min).abs() < 0.002 * standard_min);
    }
    // Twelve hours from 400 to 160 mbar for three people in 4.5 m3 at 0.5 L/min.
    let bell = answer("ppo2-fall chamber=4.5m3 people=3 before=0.4bar ppo2=0.16bar");
    assert!((bell.figures[0].value / 60.0 - 12.0).abs() < 0.01);
}

/// Absorbent at 153 L/kg: 4.7 kg a person and day (measured capacity, Diving Hyperb Med 2016;46:92).
#[test]
fn absorbent_both_ways() {
    let needed = answer("absorbent-needed people=1 time=24h capacity=153L/kg");
    assert!((needed.figures[0].value - 4.7).abs() < 0.05);
    let left =
        answer("absorbent-left absorbent=4.705882352941177kg capacity=153L/kg people=1 used=4h");
    assert!((left.figures[0].value - 20.0 * 60.0).abs() < 1e-6);
    // From 2 to 3 mbar in two hours: 5 mbar after four more.
    let trend = answer("co2-trend earlier=2mbar ppco2=3mbar apart=2h limit=5mbar");
    assert!((trend.figures[0].value - 240.0).abs() < 1e-9);
}

/// Locks, leaks and blow-down of a constructed day (own arithmetic): thirty runs of 50 L at 100 msw 15 m3, a trunk of 2 m3
/// three times 60 m3, 60 m3 of chambers pressed 600 m3.
#[test]
fn a_constructed_day() {
    for (line, m3) in [
        ("lock-losses lock=0.05m3 depth=100msw runs=30", 15.0),
        ("lock-losses lock=2m3 depth=100msw runs=3", 60.0),
        ("blow-down chamber=60m3 to=100msw mix=2%", 600.0),
        (
            "leak chamber=60m3 depth=100msw share-a-day=0.4% time=36h",
            3.96,
        ),
    ] {
        assert!((answer(line).figures[0].value - m3).abs() < 1e-9, "{line}");
    }
    let pressed = answer("blow-down chamber=60m3 to=100msw mix=2%");
    assert!((value(&pressed, "ppo2") - 0.41).abs() < 1e-12);
    // One run in a hundredth of the volume leaves 99 %; a hundred leave 36.6 %.
    let left = answer("nitrogen-left ppn2-before=1bar chamber=10m3 lock=0.1m3 runs=100");
    assert!((left.figures[0].value - 0.366_032_341_273_229_4).abs() < 1e-12);
}

/// Mixing by pressure, own arithmetic: 60 bar of 12 % topped to 190 with 2 % is (7.2 + 2.6)/190; 20 % of oxygen in helium at
/// 200 bar begins with 40 bar of oxygen.
#[test]
fn mixing_and_topping() {
    let topped = answer("mixing held-mix=12% held=60bar top-mix=2% final=190bar");
    assert!((topped.figures[0].value - 100.0 * 9.8 / 190.0).abs() < 1e-9);
    let first = answer("mixing held-mix=100% top-mix=0% final=200bar final-mix=20%");
    assert!((first.figures[0].value - 40.0).abs() < 1e-9);
    let both = answer(
        "equalising first-volume=300L first-gauge=100bar first-mix=10% second-volume=100L second-gauge=20bar second-mix=2%",
    );
    assert!((value(&both, "final") - 80.0).abs() < 1e-9);
    assert!((value(&both, "final-mix") - 100.0 * 3040.0 / 32_000.0).abs() < 1e-9);
}

/// Altitude: 843 mb is 0.832 ata (US Navy Diving Manual, Revision 4, p. 9-38, seen), which the standard atmosphere has at
/// 5,000 ft (from memory).
#[test]
fn altitude() {
    let barometer = answer("barometer altitude=5000ft");
    assert!((barometer.figures[0].value - 0.832).abs() < 5e-4);
    let depth = answer("altitude-depth depth=60fsw barometer=843mbar");
    assert!((depth.figures[0].value - 60.0 / 0.832).abs() < 0.02);
}

/// Closed circuit: 0.049 scfm is 1.4 L/min (p. 17-11, seen); the flask of 2.9 L at 3,000 psi holds about 595 L (17-4, seen for
/// the diluent flask, counted from absolute pressure at one temperature). The endurance itself was not printed.
#[test]
fn closed_circuit() {
    let scfm: f64 = 0.049 * 28.316_846_592;
    assert!((scfm - 1.4).abs() < 0.05);
    let held = answer("quad-contents bottles=1 volume=2.9L gauge=206.84bar");
    assert!((beside(&held, Choice::PlusOne) * 1e3 / 1.01325 - 595.0).abs() < 1.0);
    let lasts =
        answer("closed-circuit volume=0.1ft3 gauge=3000psi change-over=500psi temperature=50degF");
    let by_hand = 0.1 * 2500.0 / 14.7 * 492.0 / 510.0 / 0.049;
    assert!((lasts.figures[0].value - by_hand).abs() < 1e-6);
}

/// Metric and imperial are the same sum where only the unit differs.
#[test]
fn the_answer_speaks_the_units_of_its_inputs_or_those_asked_for() -> Result<(), SumError> {
    assert_eq!(answer("fire-zone ppo2=0.48ata").figures[0].unit, "fsw");
    assert_eq!(answer("fire-zone ppo2=0.48bar").figures[0].unit, "msw");
    let mut asked = asked("next-step step=1fsw rate=6fsw/h");
    asked.in_units(Units::Metric);
    assert!((asked.answer()?.figures[0].value - 10.0).abs() < 1e-9);
    Ok(())
}

/// Helium to replace what is lost: of 15 m3 with 4 % of oxygen and 6 % of nitrogen 13.5 m3; taken to be helium where no mix
/// is given.
#[test]
fn helium_to_be_replaced() {
    let lost = answer("lock-losses lock=0.05m3 depth=100msw runs=30 mix=4% nitrogen=6%");
    assert!((value(&lost, "gas") - 15.0).abs() < 1e-9);
    assert!((value(&lost, "helium") - 13.5).abs() < 1e-9);
    let plain = answer("leak chamber=60m3 depth=100msw share-a-day=0.4% time=36h");
    assert!((value(&plain, "helium") - 3.96).abs() < 1e-9);
}

/// On the way down: from air, 2 % has 6 % of oxygen left at (0.21 - 0.02)/(0.06 - 0.02) = 4.75 bar, 37.5 msw; 10 % never leaves
/// the fire zone; from 60 msw (7 bar) and 0.4 bar 20 % enters it at (1.4 - 0.4)/(0.2 - 0.06) = 7.142857 bar, 61.43 msw. 1 % lands
/// at 0.31 bar and is breathed; nothing lands at 0.15 bar from 0.15. Over 1.25 ata is said too.
#[test]
fn fire_and_hypoxia_on_the_way_are_said() {
    let said = |line: &str| answer(line).notes.join("; ");
    let zone = |line: &str, words: &str| {
        let told = said(line);
        assert!(
            told.contains("fire zone") && told.ends_with(words),
            "{line}: {told}"
        );
    };
    zone("ppo2-on-arrival to=100msw mix=2%", "down to 37.5 msw");
    zone(
        "blow-down chamber=20m3 to=100msw mix=2%",
        "down to 37.5 msw",
    );
    zone(
        "ppo2-on-arrival to=100msw mix=10%",
        "all the way, at the end as well",
    );
    zone(
        "ppo2-on-arrival from=60msw before=0.4bar to=80msw mix=20%",
        "from 61.43 msw down",
    );
    assert_eq!(
        said("ppo2-on-arrival from=60msw before=0.4bar to=80msw mix=2%"),
        ""
    );
    for (line, partial) in [
        (
            "bleed chamber=18m3 from=100msw to=20msw before=0.4bar",
            "0.1091 bar",
        ),
        ("ppo2-at-depth mix=21% depth=60msw", "1.47 bar"),
        ("ppo2-at-depth mix=21% depth=200fsw", "1.483 ata"),
    ] {
        let told = said(line);
        assert!(
            told.starts_with(partial) && told.contains("0.16 to 1.25 ata"),
            "{told}"
        );
    }
    assert_eq!(said("ppo2-at-depth mix=6% depth=50msw"), "");
}
