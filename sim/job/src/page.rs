//! The page of a present, written of a job as its panel shows it: what gauges and analysers show, who was counted where,
//! what each level does. Nothing that no instrument tells is on it.

use super::clock::Job;
use deepstay_core::record::Whereabouts;
use deepstay_core::units::text::Duration;
use deepstay_core::units::*;
use deepstay_core::words::Names;
use deepstay_scenario::{LevelStands, Scenario};
use std::fmt::Write;

/// The page of a job at its present second, as a file that a present is read from.
pub fn page(job: &Job) -> String {
    let mut text = String::new();
    // Writing to a text does not fail.
    let _ = write(job, &mut text);
    text
}

fn write(job: &Job, text: &mut String) -> std::fmt::Result {
    let scenario = job.scenario();
    let at = job.now();
    writeln!(
        text,
        "(\n    format: 1,\n    scenario: {:?},",
        scenario.name
    )?;
    writeln!(
        text,
        "    at: {:?},\n    levels: [",
        scenario.time().civil(at)
    )?;
    for (level, stands) in scenario.plan.levels.iter().zip(job.levels_stand()) {
        let living = level.members.first().map_or("", |c| name(scenario, *c));
        writeln!(
            text,
            "        (chamber: {living:?}, phase: {}),",
            phase(scenario, &stands)
        )?;
    }
    writeln!(text, "    ],\n    compartments: [")?;
    for (i, plate) in (0u8..).zip(&scenario.steel.compartments) {
        let c = CompartmentId(i);
        let logged = matches!(
            plate.kind,
            CompartmentKind::Living
                | CompartmentKind::Transfer
                | CompartmentKind::Trunk
                | CompartmentKind::Bell
                | CompartmentKind::Rescue
        );
        let depth_msw = shown(job, c, Quantity::Depth).unwrap_or(0.0);
        if plate.kind != CompartmentKind::ReclaimTank && (logged || depth_msw >= 1.0) {
            compartment(job, c, depth_msw.max(0.0), text)?;
        }
    }
    writeln!(text, "    ],\n    doors: [")?;
    for (d, plate) in (0u8..).zip(&scenario.steel.doors) {
        let open = job.plant().positions().door_open(DoorId(d));
        writeln!(text, "        (name: {:?}, open: {open}),", plate.name)?;
    }
    writeln!(text, "    ],\n    divers: [")?;
    for (d, diver) in (0u8..).zip(&scenario.crew) {
        let there = match job.crew().whereabouts(DiverId(d)) {
            Whereabouts::Deck => "deck",
            Whereabouts::In(c) | Whereabouts::Water(c) => name(scenario, c),
        };
        writeln!(
            text,
            "        (initials: {:?}, at: {there:?}),",
            diver.initials
        )?;
    }
    writeln!(text, "    ],\n    bells: [")?;
    bells(job, text)?;
    writeln!(text, "    ],\n    banks: [")?;
    for (b, plate) in (0u8..).zip(&scenario.steel.banks) {
        let bank = BankId(b);
        let Some(gauge) = scenario.steel.bank_gauge(bank) else {
            continue;
        };
        let bar = job.plant().read(gauge, at);
        write!(
            text,
            "        (name: {:?}, gauge: \"{} bar\"",
            plate.name,
            fixed(bar, 1)
        )?;
        if let Some(o2) = job.plant().positions().analysed_o2(bank) {
            write!(text, ", analysis: \"{} %\"", fixed_short(100.0 * o2))?;
        }
        writeln!(text, "),")?;
    }
    writeln!(text, "    ],\n)")
}

fn name(scenario: &Scenario, c: CompartmentId) -> &str {
    scenario.compartment_name(c).unwrap_or_default()
}

fn phase(scenario: &Scenario, stands: &LevelStands) -> String {
    let msw = |depth: f64| format!("\"{} msw\"", fixed_short(depth));
    match *stands {
        LevelStands::Surface => "Surface".to_owned(),
        LevelStands::Compression { from_msw, to_msw } => {
            format!("BlowDown(from: {}, to: {})", msw(from_msw), msw(to_msw))
        }
        LevelStands::Storage { depth_msw } => format!("Storage({})", msw(depth_msw)),
        LevelStands::Decompression {
            from_msw,
            to_msw,
            began_s,
            ..
        } => format!(
            "Decompression(from: {}, to: {}, began: {:?})",
            msw(from_msw),
            msw(to_msw),
            scenario.time().civil(began_s)
        ),
    }
}

/// What the first instrument of a compartment shows.
fn shown(job: &Job, c: CompartmentId, quantity: Quantity) -> Option<f64> {
    let id = job
        .scenario()
        .steel
        .instrument(c, quantity, Channel::Primary)?;
    Some(job.plant().read(id, job.now())).filter(|v| v.is_finite())
}

/// A compartment's line. One without analysers has the fractions of the first chamber that has.
fn compartment(job: &Job, c: CompartmentId, depth_msw: f64, text: &mut String) -> std::fmt::Result {
    let scenario = job.scenario();
    let steel = &scenario.steel;
    let p_bar = |msw: f64| (steel.surface_pa + msw * MSW_PA) / BAR_PA;
    let gas = |quantity| {
        shown(job, c, quantity).or_else(|| {
            let home = scenario.plan.levels.first()?.members.first().copied()?;
            let there = shown(job, home, Quantity::Depth)?;
            Some(shown(job, home, quantity)? / p_bar(there) * p_bar(depth_msw))
        })
    };
    let t_k = shown(job, c, Quantity::Temperature).unwrap_or(steel.deck_t_k);
    write!(
        text,
        "        (name: {:?}, depth: \"{} msw\", ppo2: \"{} bar\", ppco2: \"{} bar\", temperature: \"{} degC\"",
        name(scenario, c),
        fixed(depth_msw, 1),
        fixed(gas(Quantity::PpO2).unwrap_or(0.21).max(0.0), 3),
        fixed(gas(Quantity::PpCo2).unwrap_or(0.0).max(0.0), 4),
        fixed(t_k - ZERO_C_K, 1)
    )?;
    if let Some(humidity) = shown(job, c, Quantity::Humidity) {
        write!(text, ", humidity: \"{} %\"", fixed(100.0 * humidity, 0))?;
    }
    if steel.compartments[c.index()].scrubber.is_some() {
        let (run_s, ..) = job.plant().canister(c, job.now());
        write!(text, ", absorbent: \"{}\"", Duration(run_s as i64))?;
    }
    writeln!(text, "),")
}

fn bells(job: &Job, text: &mut String) -> std::fmt::Result {
    let scenario = job.scenario();
    let bells = (0u8..).zip(&scenario.steel.compartments);
    let bells = bells.filter(|(_, c)| c.kind == CompartmentKind::Bell);
    for ((i, plate), next) in bells.zip(job.next_runs()) {
        let runs = scenario.plan.bell_runs.iter().enumerate();
        let own = runs
            .skip(next)
            .find(|(_, run)| run.bell == CompartmentId(i));
        let away = job.plant().positions().mated(CompartmentId(i));
        write!(
            text,
            "        (name: {:?}, at: {}",
            plate.name,
            if away { "OnTrunk" } else { "Away" }
        )?;
        if let Some((number, _)) = own {
            write!(text, ", next_run: {}", number + 1)?;
        }
        writeln!(text, "),")?;
    }
    Ok(())
}
