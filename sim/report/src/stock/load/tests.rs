//! The section, the table and the workbook on what to load, from the built-in list.

use crate::{StockLoadInputs, stock_load_csv, stock_load_section, stock_workbook};
use calamine::{Data, Reader, Xlsx};
use deepstay_core::gas::Amounts;
use deepstay_core::units::{Duty, FreeReference, Units};
use deepstay_rules::CAUTION;
use deepstay_scenario::{Supplier, load_supplier};
use deepstay_stock::Gas;
use deepstay_stock::supply::{Course, Load, LostReclaim, Need, Terms, load, lost_reclaim};
use std::io::Cursor;

struct Sample {
    needs: Vec<Need>,
    courses: Vec<Course>,
    supplier: Supplier,
    load: Load,
    lost: Option<(usize, LostReclaim)>,
}

fn sample() -> Sample {
    let mol = |m3: f64| m3 * FreeReference::Bar15.mol_per_m3();
    let supplier = load_supplier("north-quay", None).unwrap_or_else(|bad| panic!("{bad}"));
    let need = |duty: Duty, mix: Amounts, demand: f64, reserve: f64, deepest_msw: f64| Need {
        gas: Gas {
            duty,
            label_o2: mix.0[1],
            banks: Vec::new(),
        },
        mix,
        demand_mol: mol(demand),
        reserve_mol: mol(reserve),
        deepest_msw,
        over_bottom_pa: 10e5,
        regulator_pa: 5e5,
        surface_pa: 101_325.0,
        bank_t_k: 293.15,
        note: String::new(),
    };
    let needs = vec![
        need(Duty::BottomMix, Amounts::heliox(0.02), 2450.0, 700.0, 118.0),
        need(Duty::DiverGas, Amounts::heliox(0.05), 1310.0, 340.0, 120.0),
        need(Duty::Oxygen, Amounts::oxygen(), 310.0, 90.0, 118.0),
        need(Duty::Treatment, Amounts::heliox(0.20), 60.0, 60.0, 50.0),
        need(Duty::Calibration, Amounts::heliox(0.04), 14.0, 0.0, 0.0),
        need(
            Duty::DiverGas,
            Amounts([0.5, 0.1, 0.4, 0.0, 0.0, 0.0]),
            10.0,
            0.0,
            118.0,
        ),
    ];
    let course = |start: f64, a_day: f64| {
        let left = |by: f64| (0..=30).map(|d| mol(start - by * f64::from(d))).collect();
        Course {
            median_mol: left(a_day * 0.8),
            planned_mol: left(a_day),
            minimum_mol: mol(700.0),
        }
    };
    let courses = vec![course(3300.0, 80.0), course(1900.0, 60.0)];
    let load = load(
        &needs,
        &courses,
        &supplier,
        &Terms {
            absorbent_kg: 410.0,
            ..Terms::default()
        },
    );
    let lost = lost_reclaim(&needs[1], mol(620.0), &supplier).map(|l| (1, l));
    Sample {
        needs,
        courses,
        supplier,
        load,
        lost,
    }
}

fn inputs(s: &Sample, units: Units) -> StockLoadInputs<'_> {
    StockLoadInputs {
        title: "an invented job",
        load: &s.load,
        supplier: &s.supplier,
        needs: &s.needs,
        courses: &s.courses,
        boats_from: "from what lies in the banks today",
        demand: "90 % quantile of invented jobs",
        reserve: "an invented reserve",
        lost_reclaim: s.lost,
        units,
    }
}

#[test]
fn the_section_says_what_it_must() {
    let s = sample();
    let page = stock_load_section(&inputs(&s, Units::Metric)).into_string();
    for needed in [
        CAUTION,
        "compressibility of helium",
        "compressibility of oxygen",
        "common practice, no source",
        "Mobilisation list",
        "EUR",
        "order by",
        "Supply boats",
        "A full day of diving without reclaim",
        "assumed",
        "Cannot be had",
        "absorbent, drum of 20 kg",
        "free gas at 15 degC and 1 bar",
    ] {
        assert!(page.contains(needed), "{needed}");
    }
    let feet = stock_load_section(&inputs(&s, Units::Imperial)).into_string();
    assert!(
        feet.contains("ft³")
            && feet.contains("psi")
            && feet.contains("lb")
            && !feet.contains("(bar)")
    );
}

#[test]
fn the_table_has_as_many_cells_as_heads() {
    let s = sample();
    let bytes = stock_load_csv(&inputs(&s, Units::Metric)).expect("laid out");
    assert!(String::from_utf8_lossy(&bytes).starts_with(&format!("# {CAUTION}")));
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(bytes.as_slice());
    let heads = reader.headers().expect("heads").len();
    let rows: Vec<_> = reader.records().map(|r| r.expect("a row")).collect();
    assert!(rows.len() > s.needs.len() - 1 && rows.iter().all(|r| r.len() == heads));
    assert!(rows.last().is_some_and(|r| &r[4] == "cannot be had"));
}

#[test]
fn the_workbook_reads_back_with_live_formulas_and_the_load_s_counts() {
    let s = sample();
    let bytes = stock_workbook(&inputs(&s, Units::Metric)).expect("written");
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).expect("a workbook");
    assert_eq!(
        book.sheet_names(),
        ["Gas sheet", "Bottles", "Sources", "Caution"]
    );
    let cells = book.worksheet_range("Gas sheet").expect("the sheet");
    let formulas = book.worksheet_formula("Gas sheet").expect("the sheet");
    let number = |row: u32, column: u32| match cells.get_value((row, column)) {
        Some(Data::Float(x)) => *x,
        Some(Data::Int(x)) => *x as f64,
        other => panic!("{row} {column}: {other:?}"),
    };
    let formula = |row: u32, column: u32| {
        formulas
            .get_value((row, column))
            .cloned()
            .unwrap_or_default()
    };
    let picks: Vec<(bool, u32)> = s
        .load
        .lines
        .iter()
        .flat_map(|l| {
            l.picks
                .iter()
                .enumerate()
                .map(|(i, p)| (i + 1 == l.picks.len(), p.count))
        })
        .collect();
    let last = 4 + picks.len() as u32;
    for (row, (is_last, count)) in (4..).zip(&picks) {
        assert_eq!(number(row, 8), f64::from(*count), "row {row}");
        if *is_last {
            assert_eq!(
                formula(row, 8),
                format!("ROUNDUP(ROUND(F{0}/H{0},6),0)", row + 1)
            );
        }
        assert_eq!(formula(row, 14), format!("I{0}*N{0}", row + 1));
        assert!((number(row, 14) - number(row, 8) * number(row, 13)).abs() < 1e-6);
        assert!(
            matches!(cells.get_value((row, 15)), Some(Data::String(t)) if t.contains("assumed"))
        );
    }
    assert_eq!(formula(last, 14), format!("SUM(O5:O{last})"));
    let gas: f64 = s.load.lines.iter().map(|l| l.price(&s.supplier)).sum();
    assert!((number(last, 14) - gas).abs() < 1e-6);
    let names: Vec<String> = book
        .defined_names()
        .iter()
        .map(|(n, _)| n.clone())
        .collect();
    for name in [
        "Demand_m3",
        "Reserve_m3",
        "Units",
        "Total_mass_t",
        "Total_price",
    ] {
        assert!(names.iter().any(|n| n == name), "{name}: {names:?}");
    }

    // The bottles: by hand live, and the real figure is what its formula gives.
    let cells = book.worksheet_range("Bottles").expect("the sheet");
    let formulas = book.worksheet_formula("Bottles").expect("the sheet");
    let at = |row: u32, column: u32| {
        cells
            .get_value((row, column))
            .and_then(|d| {
                if let Data::Float(x) = d {
                    Some(*x)
                } else {
                    None
                }
            })
            .expect("a number")
    };
    for row in 4..last {
        let (n, litres, fill, heel) = (at(row, 1), at(row, 2), at(row, 3), at(row, 9));
        assert!((at(row, 11) - n * litres * (fill - heel) / 1000.0).abs() < 1e-9);
        assert_eq!(
            formulas.get_value((row, 11)).map(String::as_str),
            Some(format!("B{0}*C{0}*(D{0}-J{0})/1000", row + 1).as_str())
        );
        let per_m3 = |gauge: f64, c: f64| (gauge + at(row, 17)) * 288.15 / (c + 273.15);
        let ideal = n * litres / 1000.0 * (per_m3(fill, at(row, 4)) - per_m3(heel, at(row, 5)));
        assert!(
            (at(row, 12) - at(row, 18) * ideal).abs() < 1e-6 * ideal,
            "row {row}"
        );
        assert!((at(row, 15) + at(row, 16) - at(row, 13)).abs() < 1e-9 * ideal);
    }
    let caution = book.worksheet_range("Caution").expect("the sheet");
    assert!(matches!(caution.get_value((1, 0)), Some(Data::String(t)) if t == CAUTION));
}

#[test]
fn the_same_load_gives_the_same_bytes() {
    let bytes = || stock_workbook(&inputs(&sample(), Units::Metric)).expect("written");
    let first = bytes();
    std::thread::sleep(std::time::Duration::from_millis(2100));
    assert!(first == bytes());
}

#[test]
#[ignore = "writes the section and the workbook to look at into the folder named by LOOK"]
fn writes_them_to_look_at() {
    let s = sample();
    let Some(folder) = std::env::var_os("LOOK").map(std::path::PathBuf::from) else {
        return;
    };
    let page = format!(
        "<style>{}</style>{}",
        crate::kit::style::STYLE,
        stock_load_section(&inputs(&s, Units::Metric)).into_string()
    );
    std::fs::write(folder.join("stock-load.html"), page).expect("written");
    std::fs::write(
        folder.join("stock.xlsx"),
        stock_workbook(&inputs(&s, Units::Metric)).expect("made"),
    )
    .expect("written");
}
