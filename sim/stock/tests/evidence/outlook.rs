//! The forecast from a whole page: it begins with what the page's gauges say, ends with what a run of the same page
//! leaves, and a minimum that the page is below is told from the page on.

use deepstay_core::record::NoRecord;
use deepstay_core::units::BankId;
use deepstay_job::{Ended, Halt, Job, Options};
use deepstay_plant::Duty;
use deepstay_scenario::{JobTexts, PRESENTS, whole_present_from_text};
use deepstay_stock::reserve::sheet;
use deepstay_stock::{Ensemble, Outlook, floors, outlook, reserve_inputs};

fn forecast(page: &str) -> (Ensemble, Outlook) {
    let texts = JobTexts::open("six-man", None).expect("built in");
    let ensemble = Ensemble::new(texts, Vec::new(), None, 1.0).expect("an ensemble");
    let base = &ensemble.base;
    let present = whole_present_from_text(page, "now.ron", base);
    let present = present.unwrap_or_else(|bad| panic!("{bad}"));
    let inputs = reserve_inputs(&base.study.planner);
    let set = deepstay_rules::builtin("canada").expect("built in");
    let floors = floors(&ensemble, &sheet(base, &set, &inputs), &inputs);
    let made = outlook(&ensemble, &floors, &present, &|| false).expect("nobody stops it");
    (ensemble, made)
}

#[test]
fn it_begins_with_the_page_and_ends_as_a_run_of_it_does() {
    let page = PRESENTS[0].text;
    let (ensemble, made) = forecast(page);
    let base = &ensemble.base;
    // The page's gauges, each right to its accuracy.
    let said = |name: &str| -> f64 {
        let after = page
            .split(&format!("(name: \"{name}\", gauge: \""))
            .nth(1)
            .expect(name);
        after
            .split(' ')
            .next()
            .and_then(|n| n.parse().ok())
            .expect("a number")
    };
    for bank in &made.banks {
        let name = &base.steel.banks[bank.bank.index()].name;
        assert!(
            (bank.gauge_bar[0] - said(name)).abs() <= 2.0,
            "{name}: {}",
            bank.gauge_bar[0]
        );
        let volume_m3 = base.steel.banks[bank.bank.index()].volume_m3;
        // By hand, ideal: within 12 % of the real gas.
        let by_hand = (bank.gauge_bar[0] * 1e5 + 101_325.0) * volume_m3 / (8.314_46 * 285.15);
        assert!((0.85..1.12).contains(&(bank.mol[0] / by_hand)), "{name}");
    }
    // A run of the same page.
    let present = whole_present_from_text(page, "now.ron", base).expect("whole");
    let mut job = Job::from_present(base.clone(), &present, Options::default());
    assert_eq!(
        job.advance_to(i64::MAX, &mut NoRecord),
        Halt::Ended(Ended::Surfaced)
    );
    assert_eq!((made.end_s, made.surfaced), (job.now(), true));
    for (g, gas) in ensemble.gases.iter().enumerate() {
        let left: f64 = gas
            .banks
            .iter()
            .map(|b| job.plant().bank_moles(*b, job.now()))
            .sum();
        let last = *made.gases_mol[g].last().expect("a look");
        assert!((last - left).abs() <= 1e-9 * left, "{last}, {left}");
        let first = made.gases_mol[g][0];
        let banks: f64 = gas
            .banks
            .iter()
            .map(|b: &BankId| made.banks[b.index()].mol[0])
            .sum();
        assert!((first - banks).abs() <= 1e-9 * banks);
    }
    // The least of each minimum lies between its looks, and what is below it is said from the first look on.
    for floor in &made.floors {
        assert!(floor.mol[1] <= floor.mol[0] && floor.mol[1] <= floor.mol[2]);
        assert_eq!(
            floor.below_s.is_some(),
            floor.mol[1] < floor.floor.mol,
            "{floor:?}"
        );
    }
    assert!(!made.floors.is_empty());
}

#[test]
fn a_stock_that_is_below_its_minimum_today_is_told_from_today() {
    // Every bank of helium and of bottom mix at 30 bar: 9 x 64 x 50 L x 30 bar, far below twice the pressing of the system.
    let lines: Vec<String> = PRESENTS[0]
        .text
        .lines()
        .map(|line| {
            match line.trim_start().starts_with("(name: \"M-") || line.contains("(name: \"H-1\"") {
                true => {
                    let name = line.split('"').nth(1).expect("a name");
                    format!("(name: \"{name}\", gauge: \"30 bar\"),")
                }
                false => line.to_owned(),
            }
        })
        .collect();
    let (ensemble, made) = forecast(&lines.join("\n"));
    let mixes: Vec<usize> = ensemble
        .gases
        .iter()
        .enumerate()
        .filter(|(_, g)| g.duty == Duty::BottomMix)
        .map(|(i, _)| i)
        .collect();
    let low = made
        .floors
        .iter()
        .find(|f| f.floor.gases.iter().any(|g| mixes.contains(g)));
    let low = low.expect("a minimum for the chambers");
    assert_eq!(low.below_s, Some(made.at_s), "{low:?}");
    assert!(made.runs_short());
}
