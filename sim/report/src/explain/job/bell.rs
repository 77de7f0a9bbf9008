//! The links of a job's bell runs: how many and why not, hours, and hot water; counted from `bell-runs.csv`, whose
//! minutes have one digit behind the point.

use crate::explain::ground::Ground;
use crate::explain::link::{Caught, Counted, Link, Printed, figure, input, program};
use crate::explain::table::{Column, Row, Table};
use crate::job::tables::OUTSIDE_RUNS;
use deepstay_core::units::ZERO_C_K;

/// What rounding of one row can do, min.
const ROW_SLACK_MIN: f64 = 0.051;
/// Specific heat of sea water, J/(kg K): the figure of the report (textbook, from memory).
const SEA_WATER_J_KG_K: f64 = crate::job::summary::SEA_WATER_J_KG_K;

const RUNS: Link = Link {
    path: "",
    unit: "",
    says: "",
    formula: "number of bell runs with that end",
    printed: Printed::Whole,
    count: made,
    inputs: &["plan.rota", "plan.bell_runs"],
    rules: &[],
    cautioned: true,
};
const HOURS: Link = Link {
    unit: "h",
    printed: Printed::Parts(1e2),
    rules: &[".bell-run"],
    ..RUNS
};
const HOT_WATER: &[&str] = &[
    "spread.compartments[*].bell.hot_water_flow",
    "spread.compartments[*].bell.hot_water",
    "site.sea_temperature",
];

pub(super) const LINKS: &[Link] = &[
    Link {
        path: "bell_runs/made",
        says: "bell runs gone through to the end",
        ..RUNS
    },
    Link {
        path: "bell_runs/aborted",
        says: "bell runs begun and aborted",
        count: aborted,
        ..RUNS
    },
    Link {
        path: "bell_runs/cancelled",
        says: "bell runs cancelled, never begun",
        count: cancelled,
        ..RUNS
    },
    Link {
        path: "bell_runs/still_out",
        says: "bell runs still out when the record ended",
        count: still_out,
        ..RUNS
    },
    Link {
        path: "bell_runs/because/{why}",
        says: "bell runs cancelled or aborted because of: {why}",
        formula: "number of bell runs with that reason",
        count: because,
        inputs: &["site.launch_limit", "site.weather"],
        ..RUNS
    },
    Link {
        path: "bell_runs/seal_to_seal_h",
        says: "seal to seal (lock-off to lock-on), all bell runs together",
        formula: "sum over the bell runs",
        count: seal_to_seal,
        ..HOURS
    },
    Link {
        path: "bell_runs/longest_seal_to_seal_h",
        says: "longest seal to seal (lock-off to lock-on)",
        formula: "the longest of the bell runs",
        count: longest,
        ..HOURS
    },
    Link {
        path: "bell_runs/in_water_h",
        says: "divers' time in the water, all divers together",
        formula: "sum over the bell runs",
        count: in_water,
        ..HOURS
    },
    Link {
        path: "bell_runs/hot_water_t",
        unit: "t",
        says: "hot water to the divers in the water",
        formula: "sum over the bells: time in the water x flow to a diver",
        printed: Printed::Parts(1e1),
        count: hot_water,
        inputs: HOT_WATER,
        ..RUNS
    },
    Link {
        path: "bell_runs/hot_water_kwh",
        unit: "kWh",
        says: "heat in the hot water above the sea's",
        formula: "sum over the bells: hot water x specific heat of sea water x how much warmer it is than the sea",
        printed: Printed::Parts(1.0),
        count: heat,
        inputs: HOT_WATER,
        ..RUNS
    },
];

/// The bell runs and their columns.
struct Runs<'t> {
    table: &'t Table,
    bell: Column<'t>,
    run: Column<'t>,
    end: Column<'t>,
}

impl<'t> Runs<'t> {
    fn of(ground: &'t Ground<'_>) -> Result<Runs<'t>, String> {
        let table = ground.table("bell-runs.csv")?;
        Ok(Runs {
            table,
            bell: table.column("bell")?,
            run: table.column("run")?,
            end: table.column("end")?,
        })
    }

    fn count(&self, picked: impl Fn(&Row) -> bool) -> Result<Counted, String> {
        let rows = self.table.pick(picked);
        let count = rows.len() as f64;
        let term = self.end.of_rows("bell runs", Some(count), "", &rows);
        Counted::of(count, 0.0, vec![term])
    }

    /// The minutes of a column, row by row where there are any.
    fn minutes(&self, head: &str) -> Result<Vec<(&'t Row, Column<'t>, f64)>, String> {
        let column = self.table.column(head)?;
        let mut all = Vec::new();
        for row in self.table.pick(|row| self.end.text(row) != OUTSIDE_RUNS) {
            if let Some(min) = column.maybe(row)? {
                all.push((row, column, min));
            }
        }
        Ok(all)
    }

    fn hours(&self, head: &str) -> Result<Counted, String> {
        let all = self.minutes(head)?;
        let slack = ROW_SLACK_MIN * all.len() as f64 / 60.0;
        let sum: f64 = all.iter().map(|(.., min)| min).sum();
        let told = all.iter().filter(|(.., min)| *min != 0.0);
        let told =
            told.map(|(row, column, min)| column.term(self.named(row), min / 60.0, "h", row));
        Counted::of(sum / 60.0, slack, told.collect())
    }

    fn named(&self, row: &Row) -> String {
        format!("{} run {}", self.bell.text(row), self.run.text(row))
    }
}

const SEAL: &str = "seal to seal (min)";
const WATER: &str = "in the water, all divers (min)";

fn ending(ground: &Ground<'_>, end: deepstay_core::record::RunEnd) -> Result<Counted, String> {
    let runs = Runs::of(ground)?;
    let words = deepstay_core::words::Words::words(end);
    runs.count(|row| runs.end.text(row) == words)
}

fn made(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    ending(ground, deepstay_core::record::RunEnd::Made)
}

fn aborted(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    ending(ground, deepstay_core::record::RunEnd::Aborted)
}

fn cancelled(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    ending(ground, deepstay_core::record::RunEnd::Cancelled)
}

fn still_out(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    ending(ground, deepstay_core::record::RunEnd::Running)
}

fn because(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let runs = Runs::of(ground)?;
    let (column, why) = (runs.table.column("why")?, caught.get("why"));
    runs.count(|row| column.text(row) == why)
}

fn seal_to_seal(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    Runs::of(ground)?.hours(SEAL)
}

fn longest(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let runs = Runs::of(ground)?;
    let all = runs.minutes(SEAL)?;
    let longest = all.iter().reduce(|a, b| if b.2 > a.2 { b } else { a });
    let Some((row, column, min)) = longest else {
        return Counted::of(0.0, 0.0, Vec::new());
    };
    let term = column.term(runs.named(row), min / 60.0, "h", row);
    Counted::of(min / 60.0, ROW_SLACK_MIN / 60.0, vec![term])
}

fn in_water(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    Runs::of(ground)?.hours(WATER)
}

/// Hot water bell by bell: mass and its terms, and how much warmer it is than the sea.
fn by_bell(ground: &Ground<'_>) -> Result<Vec<(Counted, f64)>, String> {
    let runs = Runs::of(ground)?;
    let scenario = &ground.read()?.scenario;
    let mut all = Vec::new();
    for vessel in &scenario.steel.compartments {
        let Some(bell) = vessel.bell else { continue };
        let minutes = runs.minutes(WATER)?;
        let mine = minutes
            .iter()
            .filter(|(row, ..)| runs.bell.text(row) == vessel.name);
        let (rows, min): (Vec<&Row>, f64) = mine.fold((Vec::new(), 0.0), |(mut rows, sum), one| {
            rows.push(one.0);
            (rows, sum + one.2)
        });
        let slack_min = ROW_SLACK_MIN * rows.len() as f64;
        let kg_min = bell.hot_water_kg_s * 60.0;
        let column = runs.table.column(WATER)?;
        let path = format!("spread.compartments[{}].bell.hot_water_flow", vessel.name);
        let terms = vec![
            column.of_rows(
                format!("in the water from {}", vessel.name),
                Some(min),
                "min",
                &rows,
            ),
            input("hot water to a diver", kg_min, "kg/min", path),
        ];
        let t = Counted::of(min * kg_min / 1e3, slack_min * kg_min / 1e3, terms)?;
        all.push((t, bell.hot_water_t_k - scenario.site.sea_t_k));
    }
    Ok(all)
}

fn hot_water(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let (mut sum, mut slack, mut terms) = (0.0, 0.0, Vec::new());
    for (of, _) in by_bell(ground)? {
        sum += of.value;
        slack += of.slack;
        terms.extend(of.terms);
    }
    Counted::of(sum, slack, terms)
}

fn heat(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let (mut sum, mut slack, mut terms) = (0.0, 0.0, Vec::new());
    let sea_c = ground.read()?.scenario.site.sea_t_k - ZERO_C_K;
    for (of, warmer_k) in by_bell(ground)? {
        let kwh_t = 1e3 * SEA_WATER_J_KG_K * warmer_k / 3.6e6;
        sum += of.value * kwh_t;
        slack += of.slack * kwh_t;
        let id = "job/bell_runs/hot_water_t".to_owned();
        terms.push(figure("hot water", of.value, "t", id));
        let path = "site.sea_temperature".to_owned();
        terms.push(input("sea", sea_c, "degC", path));
        terms.push(program("how much warmer", warmer_k, "K", "hot water - sea"));
    }
    let from = "specific heat of sea water: textbook, from memory";
    terms.push(program("specific heat", SEA_WATER_J_KG_K, "J/(kg K)", from));
    Counted::of(sum, slack, terms)
}
