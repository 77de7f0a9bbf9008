//! The tables and the workbook of a gas study against its jobs, its needs and the supplier's list.

use super::{FREE_MOL_M3, Row, Table, number, read};
use calamine::{Data, Reader, Xlsx};
use deepstay_core::units::Units;
use deepstay_core::words::Words;
use deepstay_report::{StockPapers, Subject, write_stock};
use deepstay_scenario::{JOBS, JobTexts};
use deepstay_stock::supply::{Load, Need};
use deepstay_stock::{Basis, Conclusion, Ensemble, Replicate, Study};
use std::collections::BTreeMap;
use std::io::Cursor;
use std::path::Path;
use std::sync::OnceLock;

/// What a job of two days draws of the reclaim and of the divers: both move what is drawn.
const STUDY: &str = r#"    study: (planner: (spare_absorbent: "30 kg", spare_absorbent_bell: "3 kg"), uncertain: [
        (name: "breathing", inputs: ["crew.breathing"], source: "this test",
         law: Triangular(low: "0.8", likely: "1", high: "1.3")),
        (name: "recovery", inputs: ["stock.reclaim.recovery"], source: "this test too",
         law: Triangular(low: "80 %", likely: "88 %", high: "95 %")),
    ]),
"#;

struct Studied {
    study: Study,
    conclusion: Conclusion,
    files: BTreeMap<String, Vec<u8>>,
}

/// Four jobs of two days, each source by itself, and what to load from a built-in list.
fn studied() -> &'static Studied {
    static STUDIED: OnceLock<Studied> = OnceLock::new();
    STUDIED.get_or_init(|| {
        let short = JOBS.iter().find(|j| j.name == "short").expect("built in");
        let mut text = short.text.to_owned();
        for (long, cut) in [
            ("at: \"3d 16:00\"", "at: \"1d 18:00\""),
            ("last: \"3d 08:00\"", "last: \"1d 08:00\""),
            ("end: \"8 d\"", "end: \"2 d\""),
        ] {
            assert!(text.contains(long), "{long}");
            text = text.replace(long, cut);
        }
        text.truncate(text.find("    study: (").expect("a study of its own"));
        text.push_str(STUDY);
        text.push_str(")\n");
        let texts = JobTexts::of(&text, "mine.ron", None, None);
        let ensemble = Ensemble::new(texts, Vec::new(), Some(11), 1.0);
        let mut study = Study::of(ensemble.unwrap_or_else(|bad| panic!("{bad}")), None);
        study.run(0..4, &|| false, &|| ());
        study.try_alone(&|| false, &|| ());
        let basis = Basis::default().supplier(Some("north-quay"));
        let conclusion = study.conclude(&basis).unwrap_or_else(|bad| panic!("{bad}"));
        let files = written(&study, &conclusion);
        Studied {
            study,
            conclusion,
            files,
        }
    })
}

fn written(study: &Study, conclusion: &Conclusion) -> BTreeMap<String, Vec<u8>> {
    let subject = Subject::from(&*study.ensemble.base);
    let papers = StockPapers::of(&subject, study, conclusion, Units::Metric);
    let home = tempfile::tempdir().expect("a folder");
    let paths = write_stock(&home.path().join("o"), &papers, false).expect("written");
    let named = |path: &Path| {
        let name = path.file_name().expect("a name").to_string_lossy();
        (name.into_owned(), std::fs::read(path).expect("there"))
    };
    paths.iter().map(|p| named(p)).collect()
}

fn table(file: &str) -> Table {
    read(&studied().files[file])
}

fn near(row: &Row, head: &str, value: f64, digits: f64) {
    let told = number(row, head).unwrap_or_else(|| panic!("{head} is empty: {row:?}"));
    assert!(
        (told - value).abs() <= digits + 1e-9 * value.abs(),
        "{head}: {told}, by hand {value}: {row:?}"
    );
}

/// The most by which a gas's stock fell below the start, at the ends of days, m3.
fn demand_m3(job: &Replicate, gas: usize) -> f64 {
    let gases = studied().study.ensemble.gases.len();
    let left = |day: &[f64]| day[gas];
    let days = || job.left_mol.chunks(gases);
    let start = left(days().next().expect("the start"));
    let fell = days().map(|day| start - left(day)).fold(0.0, f64::max);
    fell / FREE_MOL_M3
}

#[test]
fn each_job_is_told_with_what_was_sampled_for_it() {
    let (s, rows) = (studied(), table("jobs.csv"));
    assert_eq!(rows.len(), s.study.jobs.len());
    for (row, job) in rows.iter().zip(&s.study.jobs) {
        near(row, "job", job.number as f64, 0.0);
        near(row, "last second (s)", job.ended_s as f64, 0.0);
        near(row, "runs made", f64::from(job.runs_made), 0.0);
        near(row, "lost to weather", f64::from(job.runs_weather), 0.0);
        near(row, "lost for want of gas", f64::from(job.runs_gas), 0.0);
        near(row, "lost otherwise", f64::from(job.runs_other), 0.0);
        near(row, "water (h)", job.water_s as f64 / 3600.0, 0.0051);
        near(row, "absorbent (kg)", job.absorbent_kg, 0.051);
        let changed = || job.canisters.iter().map(|c| (c.kg, f64::from(c.changed)));
        let kg: f64 = changed().map(|(kg, n)| kg * n).sum();
        near(row, "absorbent changed (kg)", kg, 0.00051);
        for (size, _) in changed() {
            let n: f64 = changed().filter(|c| c.0 == size).map(|c| c.1).sum();
            near(row, &format!("canisters of {size} kg changed"), n, 0.0);
        }
        near(row, "drawn: breathing", job.draws[0], 1e-6);
        near(row, "drawn: recovery", job.draws[1], 1e-6);
        for gas in &s.conclusion.answer.gases {
            let head = format!("demand: {}", gas.gas.duty.words());
            near(row, &head, demand_m3(job, gas.place), 0.00051);
        }
        for lost in &job.lost {
            let all = job.lost.iter().filter(|l| l.purpose == lost.purpose);
            let mol: f64 = all.map(|l| l.mol).sum();
            let head = row
                .keys()
                .find(|h| h.contains(&format!(": {} (", lost.purpose.words())))
                .unwrap_or_else(|| panic!("{:?}", lost.purpose));
            near(row, head, mol / FREE_MOL_M3, 0.00051);
        }
    }
    let apart = |head: &str| {
        let of = |r: &Row| number(r, head).map(f64::to_bits);
        rows.iter().any(|r| of(r) != of(&rows[0]))
    };
    assert!(apart("drawn: breathing") && apart("demand: divers' gas"));
}

#[test]
fn demand_by_gas_and_purpose_is_that_of_the_jobs() {
    let (s, rows) = (studied(), table("demand.csv"));
    let row = |what: &str, purpose: &str| {
        rows.iter()
            .find(|r| r["what"].starts_with(what) && r["purpose"] == purpose)
            .unwrap_or_else(|| panic!("{what}, {purpose}"))
    };
    let held = |row: &Row, values: Vec<f64>| {
        let (n, sum) = (values.len() as f64, values.iter().sum::<f64>());
        let mean = sum / n;
        let squares: f64 = values.iter().map(|v| (v - mean) * (v - mean)).sum();
        let mut rising = values;
        rising.sort_by(f64::total_cmp);
        near(row, "mean (", mean, 0.00051);
        near(
            row,
            "standard deviation",
            (squares / (n - 1.0)).sqrt(),
            0.00051,
        );
        near(row, "least", rising[0], 0.00051);
        near(row, "maximum", rising[rising.len() - 1], 0.00051);
        // Of four values the median by any definition is the mean of the middle two.
        near(row, "P50 (", (rising[1] + rising[2]) / 2.0, 0.00051);
    };
    let jobs = &s.study.jobs;
    let mut purposes = 0;
    for gas in &s.conclusion.answer.gases {
        let what = gas.gas.duty.words();
        let demands = jobs.iter().map(|j| demand_m3(j, gas.place));
        held(row(what, "demand"), demands.collect());
        let sum = |all: &[deepstay_stock::Drawn], purpose: Option<_>| {
            let of = all.iter().filter(|d| {
                usize::from(d.gas) == gas.place && purpose.is_none_or(|p| p == d.purpose)
            });
            of.map(|d| d.mol).sum::<f64>() / FREE_MOL_M3
        };
        for (purpose, _) in &gas.purposes {
            let drawn = jobs.iter().map(|j| sum(&j.drawn, Some(*purpose)));
            held(row(what, purpose.words()), drawn.collect());
            purposes += 1;
        }
        let back = jobs.iter().map(|j| sum(&j.returned, None));
        held(row(what, "brought back"), back.collect());
    }
    assert!(purposes >= 5, "{purposes}");
}

#[test]
fn what_is_left_day_by_day_is_that_of_the_jobs() {
    let (s, rows) = (studied(), table("days.csv"));
    let gases = s.study.ensemble.gases.len();
    let mut seen = 0;
    for gas in &s.conclusion.answer.gases {
        let mine = rows
            .iter()
            .filter(|r| r["gas"].starts_with(gas.gas.duty.words()));
        for row in mine {
            let day = number(row, "end of day").expect("a day") as usize;
            let left = |j: &Replicate| {
                let all: Vec<&[f64]> = j.left_mol.chunks(gases).collect();
                all[day.min(all.len() - 1)][gas.place] / FREE_MOL_M3
            };
            let mut left: Vec<f64> = s.study.jobs.iter().map(left).collect();
            left.sort_by(f64::total_cmp);
            near(row, "least (", left[0], 0.0051);
            near(row, "P50 (", (left[1] + left[2]) / 2.0, 0.0051);
            let rising: Vec<f64> = [
                "least (", "P1 (", "P5 (", "P20 (", "P50 (", "P80 (", "P95 (", "P99 (",
            ]
            .iter()
            .filter_map(|head| number(row, head))
            .collect();
            assert!(rising.len() == 8 && rising.is_sorted(), "{rising:?}");
            seen += 1;
        }
    }
    assert!(seen >= 9, "{seen}");
    for row in &rows {
        let share = |head: &str| number(row, head).expect("a share");
        for of in ["below a minimum", "below what can be drawn, or stopped"] {
            let (p, low, high) = (
                share(&format!("{of} (%)")),
                share(&format!("{of}, low (%)")),
                share(&format!("{of}, high (%)")),
            );
            assert!(low <= p && p <= high && high > low, "{row:?}");
        }
    }
}

/// What is left of 30 kg spare, and the jobs that want more, day by day.
#[test]
fn what_is_left_of_absorbent_day_by_day_is_that_of_the_jobs() {
    let (s, rows) = (studied(), table("absorbent.csv"));
    assert_eq!(rows.len(), 3, "the start and two days");
    for (day, row) in rows.iter().enumerate() {
        near(row, "end of day", day as f64, 0.0);
        let left = |j: &Replicate| 30.0 - j.absorbent_changed_kg[day];
        let mut left: Vec<f64> = s.study.jobs.iter().map(left).collect();
        left.sort_by(f64::total_cmp);
        near(row, "least left of the spare", left[0], 0.0051);
        near(row, "P50 (", (left[1] + left[2]) / 2.0, 0.0051);
        let wanting = left.iter().filter(|kg| **kg < 0.0).count();
        near(
            row,
            "too little for a canister (%)",
            wanting as f64 / left.len() as f64 * 100.0,
            0.00051,
        );
    }
}

/// The reclaim's recovery as it is low and high, and the demand that goes with each: less comes back, more is drawn.
#[test]
fn each_assumption_stands_beside_the_demand_that_goes_with_it() {
    let rows = table("why.csv");
    let of = |assumption: &str| {
        rows.iter()
            .find(|r| r["gas"].starts_with("divers' gas") && r["assumption"] == assumption)
            .expect("a row")
    };
    for (assumption, source, most_when_low) in [
        ("recovery", "this test too", true),
        ("breathing", "this test", false),
    ] {
        let row = of(assumption);
        assert_eq!(row["source"], source);
        let figure = |head: &str| number(row, head).expect("a figure");
        let value = |head: &str| -> f64 {
            let cell = row[head].split_whitespace().next().expect("a value");
            cell.parse().expect("a number")
        };
        assert!(value("low value") < value("high value"), "{row:?}");
        let (low, base, high) = (
            figure("demand at the low value"),
            figure("demand with all as the scenario has it"),
            figure("demand at the high value"),
        );
        let rising = if most_when_low {
            high < base && base < low
        } else {
            low < base && base < high
        };
        assert!(rising, "{row:?}");
        // The sign of the correlation is that of the swing; its interval holds it.
        let rho = figure("rank correlation").clamp(-1.0, 1.0);
        if let (Some(low), Some(high)) = (
            number(row, "rank correlation, low"),
            number(row, "rank correlation, high"),
        ) {
            assert!(low <= rho && rho <= high, "{row:?}");
        }
    }
}

#[test]
fn each_minimum_is_told_with_what_is_held_of_it() {
    let (s, rows) = (studied(), table("reserve.csv"));
    let sheet = s.conclusion.sheet();
    let mut told = rows.iter();
    let (mut amounts, mut unmet) = (0, 0);
    for line in &sheet.lines {
        for need in line.needs() {
            let row = told.next().expect("a row");
            assert_eq!(row["rule set"], sheet.set);
            assert_eq!(row["row"], line.id);
            assert_eq!(row["of"], need.holding.to_string());
            assert_eq!(row["document"], line.source.document);
            let unit = if need.holding.is_gas() {
                FREE_MOL_M3
            } else {
                1.0
            };
            let held = sheet.held(need.holding).map_or(0.0, |h| h.amount);
            near(row, "amount", need.amount / unit, 0.051);
            near(row, "held", held / unit, 0.051);
            let met = row["met by the stock at the start"] == "yes";
            assert_eq!(met, held >= need.amount, "{row:?}");
            unmet += i32::from(!met);
            amounts += 1;
        }
        if line.needs().is_empty() {
            assert_eq!(told.next().expect("a row")["row"], line.id);
        }
    }
    println!("{amounts} amounts, {unmet} not met");
    assert!(told.next().is_none() && amounts > 3);
}

/// A cell of a workbook under the one head that begins with some text.
struct Sheet(Vec<BTreeMap<String, Data>>);

impl Sheet {
    /// The rows under the one whose first cell is `first`.
    fn of(name: &str, first: &str) -> Sheet {
        let bytes = studied().files["gas-sheet.xlsx"].clone();
        let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).expect("a workbook");
        let range = book.worksheet_range(name).expect("the sheet");
        let mut rows = range.rows().skip_while(|row| row[0] != first);
        let heads: Vec<String> = rows
            .next()
            .expect("heads")
            .iter()
            .map(ToString::to_string)
            .collect();
        let by_head = |row: &[Data]| heads.iter().cloned().zip(row.iter().cloned()).collect();
        Sheet(rows.map(by_head).collect())
    }

    fn near(&self, row: usize, head: &str, value: f64) {
        let told = self.number(row, head);
        assert!(
            (told - value).abs() <= 1e-6 * value.abs().max(1e-3),
            "row {row}, {head}: {told}, by hand {value}"
        );
    }

    fn number(&self, row: usize, head: &str) -> f64 {
        match &self.0[row][head] {
            Data::Float(x) => *x,
            Data::Int(x) => *x as f64,
            other => panic!("row {row}, {head}: {other:?}"),
        }
    }

    fn text(&self, row: usize, head: &str) -> String {
        self.0[row][head].to_string()
    }
}

fn to_load() -> (
    &'static Load,
    &'static [Need],
    &'static deepstay_scenario::Supplier,
) {
    let load = studied().conclusion.load.as_ref().expect("a list");
    (&load.load, &load.needs, &load.supplier)
}

/// Each line of the gas sheet: what is needed in moles from the needs, masses and money from the supplier's list.
#[test]
fn each_cell_of_the_gas_sheet_is_under_its_own_head() {
    let sheet = Sheet::of("Gas sheet", "Gas");
    let (load, needs, supplier) = to_load();
    let money = |what: &str| format!("{what} ({})", supplier.currency);
    let (mut row, mut tonnes, mut price) = (0, 0.0, 0.0);
    for line in &load.lines {
        let need = &needs[line.need];
        let mut short_m3 = (need.demand_mol + need.reserve_mol) / FREE_MOL_M3;
        for (i, pick) in line.picks.iter().enumerate() {
            let offer = &supplier.offers[pick.offer];
            let count = f64::from(pick.count);
            let usable_m3 = pick.usable.real_mol / FREE_MOL_M3;
            assert!(sheet.text(row, "Gas").starts_with(need.gas.duty.words()));
            sheet.near(row, "Oxygen (%)", need.gas.label_o2 * 100.0);
            let (demand, reserve) = if i == 0 {
                (need.demand_mol, need.reserve_mol)
            } else {
                (0.0, 0.0)
            };
            sheet.near(row, "Demand (m3 free)", demand / FREE_MOL_M3);
            sheet.near(row, "Reserve (m3 free)", reserve / FREE_MOL_M3);
            sheet.near(row, "Needed (m3 free)", short_m3.max(0.0));
            assert_eq!(sheet.text(row, "Unit chosen"), offer.name);
            sheet.near(row, "Usable per unit (m3 free)", usable_m3);
            sheet.near(row, "Units", count);
            sheet.near(row, "Loaded (m3 free)", count * usable_m3);
            sheet.near(
                row,
                "To spare (m3 free)",
                count * usable_m3 - short_m3.max(0.0),
            );
            sheet.near(row, "Mass per unit (t)", offer.mass_full_kg / 1e3);
            sheet.near(row, "Mass (t)", count * offer.mass_full_kg / 1e3);
            sheet.near(row, &money("Price per unit"), offer.price.each);
            sheet.near(row, &money("Price"), count * offer.price.each);
            let source = sheet.text(row, "Source");
            assert!(source.contains(&offer.price.source), "{source}");
            assert!(source.contains(&offer.mass_source), "{source}");
            short_m3 -= count * usable_m3;
            tonnes += count * offer.mass_full_kg / 1e3;
            price += count * offer.price.each;
            row += 1;
        }
    }
    assert!(row > 4, "{row} lines");
    assert_eq!(sheet.text(row, "Gas"), "All gas");
    sheet.near(row, "Mass (t)", tonnes);
    sheet.near(row, &money("Price"), price);
    assert_eq!(sheet.0.len(), row + 1);
    let differ =
        |a: &str, b: &str| (0..row).any(|r| (sheet.number(r, a) - sheet.number(r, b)).abs() > 1.0);
    assert!(differ("Demand (m3 free)", "Reserve (m3 free)"));
    assert!(differ("Needed (m3 free)", "Loaded (m3 free)"));
}

/// Each line of the sheet of bottles: the hand sums in bar and litres, the real gas from the unit's yield.
#[test]
fn each_cell_of_the_bottles_is_under_its_own_head() {
    let sheet = Sheet::of("Bottles", "Unit, for");
    let (load, needs, supplier) = to_load();
    let mut row = 0;
    for line in &load.lines {
        let need = &needs[line.need];
        for pick in &line.picks {
            let (offer, yields) = (&supplier.offers[pick.offer], &pick.usable);
            let heel_bar =
                need.deepest_msw / 10.0 + (need.over_bottom_pa + need.regulator_pa) / 1e5;
            let fill_bar = offer.fill_gauge_pa / 1e5;
            let volume_m3 = f64::from(offer.bottles) * offer.bottle_m3;
            let (hand, real) = (
                volume_m3 * (fill_bar - heel_bar),
                yields.real_mol / FREE_MOL_M3,
            );
            let free = |gauge_bar: f64, t_k: f64| {
                (gauge_bar + need.surface_pa / 1e5) * 288.15 / t_k * volume_m3
            };
            let ideal = free(fill_bar, offer.filled_t_k) - free(heel_bar, need.bank_t_k);
            let unit = sheet.text(row, "Unit, for");
            assert!(unit.starts_with(&offer.name), "{unit}");
            sheet.near(row, "Bottles in a unit", f64::from(offer.bottles));
            sheet.near(row, "Volume of one (L)", offer.bottle_m3 * 1e3);
            sheet.near(row, "Fill (bar gauge)", fill_bar);
            sheet.near(row, "Filled at (degC)", offer.filled_t_k - 273.15);
            sheet.near(row, "Stands at (degC)", need.bank_t_k - 273.15);
            sheet.near(row, "Deepest use (msw)", need.deepest_msw);
            sheet.near(row, "Over bottom (bar)", need.over_bottom_pa / 1e5);
            sheet.near(row, "Regulator (bar)", need.regulator_pa / 1e5);
            sheet.near(row, "Heel (bar gauge)", heel_bar);
            sheet.near(row, "Hand, whole (m3)", volume_m3 * fill_bar);
            sheet.near(row, "Hand, to heel (m3)", hand);
            sheet.near(row, "Real, to heel (m3 free)", real);
            sheet.near(row, "Real less hand (m3)", real - hand);
            sheet.near(row, "Real less hand (%)", real / hand - 1.0);
            sheet.near(row, "Of it temperature (m3)", ideal - hand);
            sheet.near(row, "Of it compressibility (m3)", real - ideal);
            sheet.near(row, "Surface (bar)", need.surface_pa / 1e5);
            sheet.near(row, "Real over ideal (by the program)", real / ideal);
            row += 1;
        }
    }
    assert_eq!(sheet.0.len(), row);
}

#[test]
fn the_table_of_the_load_says_the_same_as_the_list() {
    let rows = table("load.csv");
    let (load, needs, supplier) = to_load();
    let money = |what: &str| format!("{what} ({})", supplier.currency);
    let mut told = rows.iter();
    for line in &load.lines {
        let need = &needs[line.need];
        for pick in &line.picks {
            let (offer, yields) = (&supplier.offers[pick.offer], &pick.usable);
            let row = told.next().expect("a row");
            let count = f64::from(pick.count);
            assert!(row["gas"].starts_with(need.gas.duty.words()));
            near(row, "oxygen (%)", need.gas.label_o2 * 100.0, 0.0051);
            near(row, "demand (", need.demand_mol / FREE_MOL_M3, 0.051);
            near(row, "reserve (", need.reserve_mol / FREE_MOL_M3, 0.051);
            assert_eq!(row["item"], offer.name);
            near(row, "count", count, 0.0);
            let heel_pa = need.deepest_msw * 1e4 + need.over_bottom_pa + need.regulator_pa;
            near(row, "fill (", offer.fill_gauge_pa / 1e5, 0.51);
            near(row, "change-over pressure (heel) (", heel_pa / 1e5, 0.51);
            let volume_m3 = f64::from(offer.bottles) * offer.bottle_m3;
            let hand = volume_m3 * (offer.fill_gauge_pa - heel_pa) / 1e5;
            let real = yields.real_mol / FREE_MOL_M3;
            near(row, "usable of one, real", real, 0.051);
            near(row, "usable of one, by hand", hand, 0.051);
            let free = |gauge_pa: f64, t_k: f64| {
                (gauge_pa + need.surface_pa) / 1e5 * 288.15 / t_k * volume_m3
            };
            let ideal = free(offer.fill_gauge_pa, offer.filled_t_k) - free(heel_pa, need.bank_t_k);
            near(row, "by temperature", ideal - hand, 0.051);
            near(row, "by compressibility", real - ideal, 0.051);
            near(row, "usable of all", real * count, 0.051);
            near(row, "mass full of all", offer.mass_full_kg * count, 0.051);
            near(row, "mass empty of all", offer.mass_empty_kg * count, 0.051);
            near(row, &money("price of one"), offer.price.each, 0.0051);
            near(
                row,
                &money("price of all"),
                offer.price.each * count,
                0.0051,
            );
            assert_eq!(row["price from"], offer.price.source);
            assert_eq!(row["mass from"], offer.mass_source);
        }
    }
    let drum = supplier.absorbent.as_ref();
    let listed = |name: &str| load.mobilisation.iter().any(|m| m.name == name);
    if let Some(drum) = drum.filter(|d| listed(&d.name)) {
        let row = told.next().expect("the absorbent's row");
        let count = number(row, "count").expect("a count");
        assert_eq!(
            (row["gas"].as_str(), row["item"].as_str()),
            ("absorbent", drum.name.as_str())
        );
        near(row, "mass full of all", drum.mass_kg * count, 0.051);
        near(row, &money("price of all"), drum.price.each * count, 0.0051);
        // What is left of the list's price when all gas is taken off it.
        let gas: f64 = rows
            .iter()
            .filter(|r| r["gas"] != "absorbent")
            .filter_map(|r| number(r, &money("price of all")))
            .sum();
        near(row, &money("price of all"), load.money - gas, 0.51);
    }
    assert!(told.all(|row| row["item"] == "cannot be had"));
}
