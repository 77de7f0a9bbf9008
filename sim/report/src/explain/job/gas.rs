//! The links of a job's gas: what was moved on each side of the account, what the banks held, and how the ledger
//! closes; added up from the rows of `ledger.csv`, whose moles are the same in any units.

use crate::explain::chain::{Origin, Term};
use crate::explain::ground::Ground;
use crate::explain::link::{Caught, Counted, Link, Printed, figure, input};
use crate::explain::table::{Row, Table};
use crate::job::inputs::LEDGER_TOLERANCE;
use crate::provenance::StatusWord;
use deepstay_core::record::Flow;
use deepstay_core::units::{FREE, Purpose, Quantity, Units};
use deepstay_core::words::Words;

/// What rounding of one row of the ledger can do, mol.
const ROW_SLACK_MOL: f64 = 0.6e-6;

const MOVED_MOL: Link = Link {
    path: "",
    unit: "mol",
    says: "",
    formula: "",
    printed: Printed::Parts(1e6),
    count: moved,
    inputs: &[],
    rules: &[],
    cautioned: true,
};
const AS_GAS: &str = "moles / moles in a cubic metre of free gas";

pub(super) const MOVED: &[Link] = &[
    Link {
        path: "gas/totals/{side}/{species}/mol",
        says: "{species} {side}, for all purposes together",
        formula: "sum of the ledger's lines on that side of the account",
        ..MOVED_MOL
    },
    Link {
        path: "gas/totals/{side}/{species}/m3_free",
        unit: "m3 of free gas",
        says: "{species} {side}, for all purposes together",
        formula: AS_GAS,
        printed: Printed::Parts(1e4),
        count: moved_m3,
        ..MOVED_MOL
    },
    Link {
        path: "gas/purposes/{purpose}/{side}/{species}/mol",
        says: "{species} {side} for the purpose \"{purpose}\"",
        formula: "sum of the ledger's lines for that purpose on that side of the account",
        ..MOVED_MOL
    },
    Link {
        path: "gas/purposes/{purpose}/{side}/{species}/m3_free",
        unit: "m3 of free gas",
        says: "{species} {side} for the purpose \"{purpose}\"",
        formula: AS_GAS,
        printed: Printed::Parts(1e4),
        count: moved_m3,
        ..MOVED_MOL
    },
];

const BANK: Link = Link {
    path: "",
    unit: "mol",
    says: "",
    formula: "",
    printed: Printed::Parts(1e3),
    count: start,
    inputs: &[
        "stock.banks[{bank}].bottles",
        "stock.banks[{bank}].temperature",
    ],
    rules: &[],
    cautioned: true,
};
const CONTENTS: &[&str] = &["stock.banks[{bank}].contents", "faults.planned"];
const GAUGE: &str = "the gauge of the bank";

pub(super) const BANKS: &[Link] = &[
    Link {
        path: "gas/banks/{bank}/label_o2_percent",
        unit: "% O2",
        says: "oxygen on the label of bank {bank}",
        formula: "as the gas status sheet has it",
        count: label,
        inputs: &["stock.banks[{bank}].label", "stock.banks[{bank}].contents"],
        ..BANK
    },
    Link {
        path: "gas/banks/{bank}/analysed_o2_percent",
        unit: "% O2",
        says: "oxygen of the last analysis of bank {bank}",
        formula: "the last analysis in the job; where there was none, the one before it",
        count: analysed,
        inputs: &["stock.banks[{bank}].analysed"],
        ..BANK
    },
    Link {
        path: "gas/banks/{bank}/true_o2_start_percent",
        unit: "% O2",
        says: "oxygen truly in bank {bank} at the start",
        formula: "oxygen / all that was in it",
        count: start_o2,
        inputs: CONTENTS,
        ..BANK
    },
    Link {
        path: "gas/banks/{bank}/true_o2_end_percent",
        unit: "% O2",
        says: "oxygen truly in bank {bank} at the end",
        formula: "oxygen / all that was in it",
        count: end_o2,
        inputs: CONTENTS,
        ..BANK
    },
    Link {
        path: "gas/banks/{bank}/start_mol",
        says: "what was held in bank {bank} at the start",
        formula: "real gas (density virial) of its bottles at their fill: the ledger's opening",
        ..BANK
    },
    Link {
        path: "gas/banks/{bank}/end_mol",
        says: "what was held in bank {bank} at the end",
        formula: "opening - what went out + what came back",
        count: end,
        ..BANK
    },
    Link {
        path: "gas/banks/{bank}/start_m3_free",
        unit: "m3 of free gas",
        says: "what was held in bank {bank} at the start",
        formula: AS_GAS,
        printed: Printed::Parts(1e4),
        count: start_m3,
        ..BANK
    },
    Link {
        path: "gas/banks/{bank}/end_m3_free",
        unit: "m3 of free gas",
        says: "what was held in bank {bank} at the end",
        formula: AS_GAS,
        printed: Printed::Parts(1e4),
        count: end_m3,
        ..BANK
    },
    Link {
        path: "gas/banks/{bank}/start_gauge_bar",
        unit: "bar gauge",
        says: "what the gauge of bank {bank} showed first (indicated)",
        formula: "the first row of the bank in the gas status sheet",
        printed: Printed::Parts(1e2),
        count: first_gauge,
        ..BANK
    },
    Link {
        path: "gas/banks/{bank}/end_gauge_bar",
        unit: "bar gauge",
        says: "what the gauge of bank {bank} showed last (indicated)",
        formula: "the last row of the bank in the gas status sheet",
        printed: Printed::Parts(1e2),
        count: last_gauge,
        ..BANK
    },
];

const CLOSES: Link = Link {
    path: "",
    unit: "mol",
    says: "",
    formula: "",
    printed: Printed::ThreeFigures,
    count: handled,
    inputs: &[],
    rules: &[],
    cautioned: true,
};

pub(super) const CLOSURE: &[Link] = &[
    Link {
        path: "ledger/tolerance",
        unit: "of the moles handled",
        says: "largest residual of the ledger that counts as closed",
        formula: "a figure of the house",
        count: tolerance,
        ..CLOSES
    },
    Link {
        path: "ledger/worst_relative",
        unit: "of the moles handled",
        says: "largest residual of any species",
        formula: "the largest of the species' residuals over the moles handled",
        count: worst,
        ..CLOSES
    },
    Link {
        path: "ledger/species/{species}/handled_mol",
        says: "moles of {species} handled",
        formula: "all openings + what divers, absorbent, liquid water, the air on deck and the sea gave",
        printed: Printed::Parts(1e6),
        ..CLOSES
    },
    Link {
        path: "ledger/species/{species}/residual_mol",
        says: "what the books of {species} are off, all places together",
        formula: "sum of the sizes of the places' residuals (opening + in - out - closing)",
        count: residual,
        ..CLOSES
    },
    Link {
        path: "ledger/species/{species}/relative",
        unit: "of the moles handled",
        says: "the same of {species} over the moles handled",
        formula: "residual / moles handled",
        count: relative,
        ..CLOSES
    },
];

pub(super) const PLANNED: &[Link] = &[
    Link {
        path: "gas/planned/{one}/planned_m3_free",
        unit: "m3 of free gas",
        says: "what the plan would draw from {bank} for {purpose}",
        formula: "{formula}: the row of gas-plan.csv",
        printed: Printed::Whole,
        count: planned,
        inputs: &["plan.levels", "plan.rota", "stock.banks[{bank}].bottles"],
        ..BANK
    },
    Link {
        path: "gas/planned/{one}/used_m3_free",
        unit: "m3 of free gas",
        says: "what was drawn from {bank} for {purpose}",
        formula: "sum of the ledger's lines out of the bank for that purpose, to anything but a bank; moles / moles in a cubic metre of free gas",
        printed: Printed::Whole,
        count: used,
        inputs: &[],
        ..BANK
    },
];

fn planned(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let table = ground.table("gas-plan.csv")?;
    let (bank, purpose) = (table.column("bank")?, table.column("purpose")?);
    let of = (caught.get("bank"), caught.get("purpose"));
    let is = |row: &Row| bank.text(row) == of.0 && purpose.text(row) == of.1;
    let rows = table.pick(is);
    let row = rows.first().ok_or("gas-plan.csv does not hold it")?;
    let column = table.column("planned (m3 free)")?;
    let value = column.number(row)?;
    Counted::of(
        value,
        0.0,
        vec![column.term("planned", value, "m3 free", row)],
    )
}

fn used(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let ledger = Ledger::of(ground)?;
    let (from, purpose) = (
        format!("bank {}", caught.get("bank")),
        caught.get("purpose"),
    );
    let rows = ledger.picked("moved", |row| {
        ledger.from.text(row) == from
            && ledger.purpose.text(row) == purpose
            && counts(ground, Flow::Drawn, &from, ledger.to.text(row))
    });
    let column = ledger.table.column("all (mol)")?;
    let mut mol = 0.0;
    for row in &rows {
        mol += column.number(row)?;
    }
    let terms = vec![column.of_rows("drawn", Some(mol), "mol", &rows)];
    let slack = ROW_SLACK_MOL * rows.len() as f64;
    Counted::of(
        mol / FREE.mol_per_m3(),
        slack / FREE.mol_per_m3() + FOUR_PLACES,
        terms,
    )
}

/// Half of the last of four places.
const FOUR_PLACES: f64 = 0.5001e-4;

/// What a place of the ledger is.
#[derive(PartialEq)]
enum Place {
    Bank,
    Vessel,
    Outside,
    Changer,
}

impl Place {
    fn of(ground: &Ground<'_>, words: &str) -> Place {
        let is_bank = |name: &str| {
            let mut banks = ground.list("/gas/banks").iter();
            banks.any(|b| b.get("bank").and_then(serde_json::Value::as_str) == Some(name))
        };
        let changes = ["absorbent of ", "drained from "];
        match words {
            "air on deck" | "sea" => Place::Outside,
            "divers" | "liquid water" => Place::Changer,
            other if other.strip_prefix("bank ").is_some_and(is_bank) => Place::Bank,
            other if changes.iter().any(|begins| other.starts_with(begins)) => Place::Changer,
            _ => Place::Vessel,
        }
    }
}

/// Whether a line counts on a side of the account.
fn counts(ground: &Ground<'_>, side: Flow, from: &str, to: &str) -> bool {
    let of = |words| Place::of(ground, words);
    match side {
        Flow::Drawn => of(from) == Place::Bank && of(to) != Place::Bank,
        Flow::Returned => of(to) == Place::Bank && of(from) != Place::Bank,
        Flow::Reclaimed => from == to,
        Flow::Lost => of(to) == Place::Outside,
        Flow::TakenIn => of(from) == Place::Outside,
        Flow::Used => of(to) == Place::Changer,
        Flow::Made => of(from) == Place::Changer,
    }
}

/// The ledger and its columns.
struct Ledger<'t> {
    table: &'t Table,
    record: crate::explain::table::Column<'t>,
    from: crate::explain::table::Column<'t>,
    to: crate::explain::table::Column<'t>,
    purpose: crate::explain::table::Column<'t>,
}

impl<'t> Ledger<'t> {
    fn of(ground: &'t Ground<'_>) -> Result<Ledger<'t>, String> {
        let table = ground.table("ledger.csv")?;
        Ok(Ledger {
            table,
            record: table.column("record")?,
            from: table.column("from or place")?,
            to: table.column("to")?,
            purpose: table.column("purpose or side")?,
        })
    }

    fn moles(&self, species: &str) -> Result<crate::explain::table::Column<'t>, String> {
        self.table.column(&format!("{species} (mol)"))
    }

    fn picked(&self, record: &str, also: impl Fn(&Row) -> bool) -> Vec<&'t Row> {
        self.table
            .pick(|row| self.record.text(row) == record && also(row))
    }

    /// One row of a record for a place.
    fn one(&self, record: &str, place: &str) -> Result<&'t Row, String> {
        let rows = self.picked(record, |row| self.from.text(row) == place);
        match rows.as_slice() {
            [row] => Ok(row),
            rows => Err(format!(
                "ledger.csv has {} rows \"{record}\" of {place}, not one",
                rows.len()
            )),
        }
    }
}

fn moved(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let ledger = Ledger::of(ground)?;
    let moles = ledger.moles(&caught.get("species"))?;
    let side = caught.get("side");
    let side = Flow::ALL.into_iter().find(|f| f.words() == side);
    let side = side.ok_or("the account has no such side")?;
    let purpose = caught.get("purpose");
    let rows = ledger.picked("moved", |row| {
        (purpose.is_empty() || ledger.purpose.text(row) == purpose)
            && counts(ground, side, ledger.from.text(row), ledger.to.text(row))
    });
    let mut terms = Vec::new();
    let mut sum = 0.0;
    for row in &rows {
        let mol = moles.number(row)?;
        sum += mol;
        if mol != 0.0 {
            let what = format!(
                "{} to {}, {}",
                ledger.from.text(row),
                ledger.to.text(row),
                ledger.purpose.text(row)
            );
            terms.push(moles.term(what, mol, "mol", row));
        }
    }
    let mut counted = Counted::of(sum, ROW_SLACK_MOL * rows.len() as f64, terms)?;
    for purpose in Purpose::ALL {
        let paths = behind(purpose);
        let named = rows
            .iter()
            .any(|row| ledger.purpose.text(row) == purpose.words());
        if named {
            counted.inputs.extend(paths.iter().map(|p| (*p).to_owned()));
            counted
                .rules
                .extend(ruled(purpose).iter().map(|r| (*r).to_owned()));
        }
    }
    Ok(counted)
}

/// The inputs that a purpose's gas hangs on most directly.
fn behind(purpose: Purpose) -> &'static [&'static str] {
    match purpose {
        Purpose::BlowDown => &[
            "plan.levels[*].steps[*].what",
            "spread.compartments[*].volume",
        ],
        Purpose::MakeUp => &["spread.compartments[*].leak", "plan.routine.toilet_per_day"],
        Purpose::Oxygen | Purpose::Metabolism => &["crew.divers[*].metabolism"],
        Purpose::DiverGas => &["crew.breathing", "stock.reclaim.recovery", "plan.reclaim"],
        Purpose::Reclaimed => &["stock.reclaim.recovery", "plan.reclaim"],
        Purpose::Bibs => &["crew.breathing"],
        Purpose::BellAndTrunk | Purpose::TrunkVent | Purpose::BellSpill => {
            &["plan.rota", "site.working_depth", "site.tide_amplitude"]
        }
        Purpose::LockRun => &[
            "plan.routine.meals",
            "plan.routine.laundry",
            "plan.routine.stores",
            "plan.routine.stores_per_day",
        ],
        Purpose::Flush => &["plan.routine.toilet_per_day"],
        Purpose::Bleed => &["plan.levels[*].steps[*].what"],
        Purpose::Recovery => &["stock.recovery", "plan.recover_chamber_gas"],
        Purpose::Leak => &["spread.compartments[*].leak"],
        Purpose::Sample => &["spread.compartments[*].sample", "plan.calibrate_every"],
        Purpose::Absorption => &["spread.compartments[*].scrubber.capacity"],
        Purpose::Water => &["plan.routine.shower_vapour"],
        Purpose::Fault => &["faults.planned"],
        Purpose::Relief => &["spread.compartments[*].relief"],
        Purpose::Transfer => &[],
    }
}

/// The rule rows that order a purpose's gas.
fn ruled(purpose: Purpose) -> &'static [&'static str] {
    match purpose {
        Purpose::BlowDown => &[".compression."],
        Purpose::Oxygen => &[".oxygen.storage", ".decompression.oxygen"],
        Purpose::Bleed | Purpose::Recovery => &[".decompression."],
        Purpose::Sample => &[".calibration"],
        Purpose::Absorption => &[".absorbent."],
        Purpose::MakeUp
        | Purpose::DiverGas
        | Purpose::Reclaimed
        | Purpose::Bibs
        | Purpose::BellAndTrunk
        | Purpose::TrunkVent
        | Purpose::BellSpill
        | Purpose::LockRun
        | Purpose::Flush
        | Purpose::Leak
        | Purpose::Transfer
        | Purpose::Metabolism
        | Purpose::Water
        | Purpose::Fault
        | Purpose::Relief => &[],
    }
}

/// Moles as free gas.
fn as_gas(counted: Counted, caught: &Caught<'_>, mol: &str) -> Result<Counted, String> {
    let in_m3 = FREE.mol_per_m3();
    let terms = vec![
        figure("moles", counted.value, "mol", caught.beside(mol)),
        Term {
            what: "moles in a cubic metre of free gas, 1 bar / (R x 288.15 K)".to_owned(),
            value: Some(in_m3),
            unit: "mol/m3".to_owned(),
            from: Origin::Source {
                document: "ideal gas at 15 degC and 1 bar, R of the 2019 SI".to_owned(),
                status: StatusWord::Derived,
            },
        },
    ];
    Ok(Counted {
        value: counted.value / in_m3,
        slack: counted.slack / in_m3,
        terms,
        rules: counted.rules,
        inputs: counted.inputs,
    })
}

fn moved_m3(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    as_gas(moved(ground, caught)?, caught, "mol")
}

fn start(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let ledger = Ledger::of(ground)?;
    let row = ledger.one("opening", &format!("bank {}", caught.get("bank")))?;
    let all = ledger.moles("all")?;
    let mol = all.number(row)?;
    Counted::of(
        mol,
        ROW_SLACK_MOL,
        vec![all.term("opening", mol, "mol", row)],
    )
}

fn start_m3(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    as_gas(start(ground, caught)?, caught, "start_mol")
}

/// What is in a bank at the end, by the lines that moved: not by its closing row.
fn end_of(ground: &Ground<'_>, bank: &str, species: &str) -> Result<Counted, String> {
    let ledger = Ledger::of(ground)?;
    let moles = ledger.moles(species)?;
    let place = format!("bank {bank}");
    let row = ledger.one("opening", &place)?;
    let mut sum = moles.number(row)?;
    let mut terms = vec![moles.term("opening", sum, "mol", row)];
    let lines = ledger.picked("moved", |row| {
        (ledger.from.text(row) == place) != (ledger.to.text(row) == place)
    });
    for row in &lines {
        let mol = moles.number(row)?;
        let (what, signed) = match ledger.from.text(row) == place {
            true => (format!("out to {}", ledger.to.text(row)), -mol),
            false => (format!("back from {}", ledger.from.text(row)), mol),
        };
        sum += signed;
        let purpose = ledger.purpose.text(row);
        terms.push(moles.term(format!("{what}, {purpose}"), signed, "mol", row));
    }
    Counted::of(sum, ROW_SLACK_MOL * (lines.len() + 1) as f64, terms)
}

fn end(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    end_of(ground, &caught.get("bank"), "all")
}

fn end_m3(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    as_gas(end(ground, caught)?, caught, "end_mol")
}

fn share(part: &Counted, all: &Counted) -> Result<Counted, String> {
    let mut terms = part.terms.clone();
    terms.extend(all.terms.clone());
    let value = 100.0 * part.value / all.value;
    let slack = 100.0 * (part.slack + all.slack) / all.value;
    Counted::of(value, slack, terms)
}

fn start_o2(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let ledger = Ledger::of(ground)?;
    let row = ledger.one("opening", &format!("bank {}", caught.get("bank")))?;
    let of = |species: &str, what: &str| {
        let moles = ledger.moles(species)?;
        let mol = moles.number(row)?;
        Counted::of(mol, ROW_SLACK_MOL, vec![moles.term(what, mol, "mol", row)])
    };
    share(&of("O2", "oxygen")?, &of("all", "all")?)
}

fn end_o2(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let bank = caught.get("bank");
    share(
        &end_of(ground, &bank, "O2")?,
        &end_of(ground, &bank, "all")?,
    )
}

fn label(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let sheet = ground.table("gas-status.csv")?;
    let (bank, label) = (sheet.column("bank")?, sheet.column("O2 on the label (%)")?);
    let name = caught.get("bank");
    let rows = sheet.pick(|row| bank.text(row) == name);
    let row = rows
        .first()
        .ok_or("the gas status sheet does not hold it")?;
    let percent = label.number(row)?;
    let term = label.term("on the label", percent, "% O2", row);
    Counted::of(percent, 0.051, vec![term])
}

fn analysed(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let events = ground.table("events.csv")?;
    let (event, place) = (events.column("event")?, events.column("place")?);
    let (value, bank) = (events.column("value")?, caught.get("bank"));
    let rows = events.pick(|row| event.text(row) == "bank analysed" && place.text(row) == bank);
    if let Some(row) = rows.last() {
        let percent = value.number(row)?;
        let term = value.term("last analysis in the job", percent, "% O2", row);
        return Counted::of(percent, 0.0, vec![term]);
    }
    let before = ground.read()?.scenario.steel.banks.iter();
    let before = before
        .filter(|b| b.name == bank)
        .find_map(|b| b.analysed_o2);
    let percent = before.ok_or("there was no analysis")? * 100.0;
    let path = format!("stock.banks[{bank}].analysed");
    let term = input("analysis before the job", percent, "% O2", path);
    Counted::of(percent, 0.0, vec![term])
}

fn gauge(
    ground: &Ground<'_>,
    caught: &Caught<'_>,
    which: impl Fn(&[&Row]) -> Option<Row>,
) -> Result<Counted, String> {
    let sheet = ground.table("gas-status.csv")?;
    let (bank, gauge) = (sheet.column("bank")?, sheet.column_of("gauge (")?);
    let name = caught.get("bank");
    let rows = sheet.pick(|row| bank.text(row) == name);
    let row = which(&rows).ok_or("the gas status sheet does not hold it")?;
    let shown = gauge.number(&row)?;
    let scales = [Units::Metric, Units::Imperial].map(|u| u.scale(Quantity::GaugePressure));
    let scale = scales
        .iter()
        .find(|s| gauge.head() == format!("gauge ({})", s.plain))
        .ok_or_else(|| {
            format!(
                "the gauge of gas-status.csv is in no unit that is known: {}",
                gauge.head()
            )
        })?;
    let bar = |text: f64| (text - scale.of(0.0)) / (scale.of(1.0) - scale.of(0.0));
    let half = 0.51 * libm::pow(10.0, -(scale.decimals as f64));
    let slack = (bar(shown + half) - bar(shown)).abs();
    let term = gauge.term(GAUGE, shown, scale.plain, &row);
    Counted::of(bar(shown), slack, vec![term])
}

fn first_gauge(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    gauge(ground, caught, |rows| rows.first().map(|r| (*r).clone()))
}

fn last_gauge(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    gauge(ground, caught, |rows| rows.last().map(|r| (*r).clone()))
}

fn tolerance(_: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let term = Term {
        what: "largest residual allowed".to_owned(),
        value: Some(LEDGER_TOLERANCE),
        unit: String::new(),
        from: Origin::Source {
            document: "a figure of the house; no source".to_owned(),
            status: StatusWord::HouseRule,
        },
    };
    Counted::of(LEDGER_TOLERANCE, 0.0, vec![term])
}

fn handled(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let ledger = Ledger::of(ground)?;
    let moles = ledger.moles(&caught.get("species"))?;
    let openings = ledger.picked("opening", |_| true);
    let given = ledger.picked("moved", |row| {
        let from = Place::of(ground, ledger.from.text(row));
        matches!(from, Place::Outside | Place::Changer)
    });
    let sum = |rows: &[&Row]| rows.iter().map(|r| moles.number(r)).sum::<Result<f64, _>>();
    let (opened, gave) = (sum(&openings)?, sum(&given)?);
    let terms = vec![
        moles.of_rows(
            "openings of banks and vessels",
            Some(opened),
            "mol",
            &openings,
        ),
        moles.of_rows(
            "given by divers, absorbent, water, air on deck and sea",
            Some(gave),
            "mol",
            &given,
        ),
    ];
    let rows = (openings.len() + given.len()) as f64;
    Counted::of(opened + gave, ROW_SLACK_MOL * rows, terms)
}

fn residual(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let ledger = Ledger::of(ground)?;
    let moles = ledger.moles(&caught.get("species"))?;
    let rows = ledger.picked("residual", |_| true);
    let mut sum = 0.0;
    for row in &rows {
        sum += moles.number(row)?.abs();
    }
    let term = moles.of_rows("residuals of all places", Some(sum), "mol", &rows);
    // Each is printed to four figures.
    Counted::of(sum, 0.001 * sum, vec![term])
}

fn relative_of(ground: &Ground<'_>, caught: &Caught<'_>, row: &str) -> Result<Counted, String> {
    let (residual, handled) = (residual(ground, caught)?, handled(ground, caught)?);
    let terms = vec![
        figure(
            "residual",
            residual.value,
            "mol",
            format!("{row}/residual_mol"),
        ),
        figure(
            "moles handled",
            handled.value,
            "mol",
            format!("{row}/handled_mol"),
        ),
    ];
    let over = if handled.value > 0.0 {
        handled.value
    } else {
        1.0
    };
    Counted::of(residual.value / over, 0.002 * residual.value / over, terms)
}

fn relative(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let id = &caught.figure.id;
    let row = id.rsplit_once('/').map_or("", |(row, _)| row);
    relative_of(ground, caught, row)
}

fn worst(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let mut worst: f64 = 0.0;
    let mut terms = Vec::new();
    for species in ground.list("/ledger/species") {
        let name = species.get("species").and_then(serde_json::Value::as_str);
        let of = species.get("relative").and_then(serde_json::Value::as_f64);
        let (Some(name), Some(of)) = (name, of) else {
            return Err("a species has no figure".to_owned());
        };
        worst = worst.max(of);
        let id = format!("job/ledger/species/{name}/relative");
        terms.push(figure(name, of, "", id));
    }
    Counted::of(worst, 0.0, terms)
}
