//! `deepstay-viz`: pictures of a job.

use clap::{Parser, Subcommand, ValueEnum};
use deepstay::job::{Job, Options};
use deepstay::units::Units;
use deepstay_viz::scene::scene;
use deepstay_viz::svg::svg;
use deepstay_viz::timeline::{self, Told, Zoom};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;

/// The ship cut open: pictures of any job at any hour, of what its watch sees.
#[derive(Parser)]
#[command(version)]
struct Arguments {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Subcommand)]
enum Verb {
    /// Draw a moment of a job into a file
    ///
    /// The automatic watch brings the job there. What is drawn is what whoever sits on the watch sees; nothing true that
    /// no instrument shows is in it.
    Draw(DrawArguments),
}

#[derive(clap::Args)]
struct DrawArguments {
    /// Name of a job from `deepstay list`, or path of a job's file.
    job: String,
    /// The moment, such as "D12 06:40".
    #[arg(long, value_name = "TIME")]
    at: String,
    /// The file, SVG.
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// How much of the job its timeline shows.
    #[arg(long, value_enum, default_value_t = Shows::Job)]
    timeline: Shows,
    /// Units of what is written.
    #[arg(long, value_enum, default_value_t = System::Metric)]
    units: System,
}

#[derive(Clone, Copy, ValueEnum)]
enum Shows {
    /// All of it.
    Job,
    /// The day.
    Day,
    /// The hour.
    Hour,
}

#[derive(Clone, Copy, ValueEnum)]
enum System {
    /// Metres of sea water, bar, degrees Celsius.
    Metric,
    /// Feet of sea water, psi, degrees Fahrenheit.
    Imperial,
}

/// Size of a picture, px.
const SIZE: (f64, f64) = (1280.0, 720.0);
/// Exit code for input that cannot be used, as the command line has it.
const BAD_INPUT: u8 = 3;

fn main() -> ExitCode {
    let Verb::Draw(arguments) = Arguments::parse().verb;
    match draw(&arguments) {
        Ok(()) => ExitCode::SUCCESS,
        Err(words) => {
            eprintln!("deepstay-viz: {words}");
            ExitCode::from(BAD_INPUT)
        }
    }
}

fn draw(arguments: &DrawArguments) -> Result<(), String> {
    let scenario = deepstay::open(&arguments.job).map_err(|bad| bad.to_string())?;
    let at = &arguments.at;
    let time = scenario.time().read(at);
    let at_s = time.map_err(|bad| format!("--at {at}: {bad}"))?.at_s.max(0);
    let scenario = Arc::new(scenario);
    let mut told = Told::default();
    let mut job = Job::new(Arc::clone(&scenario), Options::default());
    let _ = job.advance_to(at_s, &mut told);
    if job.now() < at_s {
        let end = scenario.time().clock(job.now());
        return Err(format!("--at {at}: the job is over at {end}"));
    }
    let units = match arguments.units {
        System::Metric => Units::Metric,
        System::Imperial => Units::Imperial,
    };
    let zoom = match arguments.timeline {
        Shows::Job => Zoom::Job,
        Shows::Day => Zoom::Day,
        Shows::Hour => Zoom::Hour,
    };
    let seen = job.indicated();
    let above = SIZE.1 - timeline::HEIGHT;
    let mut drawing = scene(&scenario, &seen, units, (SIZE.0, above));
    drawing.size = SIZE;
    timeline::draw(&mut drawing, (&scenario, &told), at_s, zoom, above);
    write(&arguments.out, &svg(&drawing))
}

/// Writes a file whole, or leaves what was there.
fn write(path: &Path, text: &str) -> Result<(), String> {
    let part = path.with_extension(format!("{}.part", std::process::id()));
    let written = std::fs::write(&part, text).and_then(|()| std::fs::rename(&part, path));
    written.map_err(|error| {
        // There may be none, where the folder is not there.
        let _ = std::fs::remove_file(&part);
        format!("{}: {error}", path.display())
    })
}
