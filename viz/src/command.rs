//! The command line of the visualiser: three ways in, pictures of any of them, and its exit codes, which are those of
//! `deepstay`: 0 done, 2 somebody hurt or not brought to an end, 3 input that cannot be used, 5 a broken invariant.

use clap::{Args, Parser, Subcommand, ValueEnum};
use deepstay::record::Station;
use deepstay::scenario::DEFAULT_JOB;
use deepstay::units::text::Duration;
use deepstay::watch::{Hands, KeptIn, Keys, Shelf, SitDown, Worth};
use deepstay_viz::drawing::GasColours;
use deepstay_viz::panel::Page;
use deepstay_viz::scene::{Beside, scene};
use deepstay_viz::screen::pictures::Pictures;
use deepstay_viz::screen::{Screen, window};
use deepstay_viz::settings::Settings;
use deepstay_viz::stage::{SPEEDS, Stage};
use deepstay_viz::svg::svg;
use deepstay_viz::timeline::{self, Course, Zoom};
use deepstay_viz::whole::write_whole;
use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// The ship cut open: look at any job, sit on its watch, look back on a watch. Without a verb it looks at the built-in job.
///
/// For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current document, the company's
/// approved manual and the licensed people on the job decide.
#[derive(Parser)]
#[command(version, args_conflicts_with_subcommands = true)]
struct Arguments {
    #[command(subcommand)]
    verb: Option<Verb>,
    #[command(flatten)]
    look: LookArguments,
}

#[derive(Subcommand)]
enum Verb {
    /// Look at a job that the automatic watch keeps
    Look(LookArguments),
    /// Sit on the watch of a job, with the same journal and verbs as `deepstay watch`
    Sit(SitArguments),
    /// Look back on a watch by its journal: what was true beside what was indicated, faults, and twins
    Back(BackArguments),
    /// Draw a moment of a job into an SVG file, without panel and device
    ///
    /// The automatic watch brings the job there. What is drawn is what whoever sits on the watch sees; nothing true that
    /// no instrument shows is in it.
    Draw(DrawArguments),
}

#[derive(Args)]
struct LookArguments {
    /// Name of a job from `deepstay list`, or path of a job's file.
    #[arg(default_value = DEFAULT_JOB)]
    job: String,
    #[command(flatten)]
    shown: ShownArguments,
}

#[derive(Args)]
struct SitArguments {
    /// Name of a job or of a beginning from `deepstay list`, or path of a job's file.
    #[arg(default_value = DEFAULT_JOB)]
    job: String,
    /// When you sit down, such as "D12 06:00"; or the file of a present.
    #[arg(long, value_name = "TIME|FILE")]
    from: Option<String>,
    /// Station you sit at, saturation control where none is named; the automatic watch keeps the other.
    #[arg(long, value_enum)]
    station: Option<Seat>,
    /// New file for the journal; left out, one beside you named after the job.
    #[arg(long, value_name = "FILE", conflicts_with = "resume")]
    journal: Option<PathBuf>,
    /// Go on with the watch of this journal.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["from", "station", "seed"])]
    resume: Option<PathBuf>,
    /// Every act is done at once.
    #[arg(long)]
    at_once: bool,
    /// Seed of every draw, instead of the scenario's own.
    #[arg(long)]
    seed: Option<u64>,
    #[command(flatten)]
    picture: PictureArguments,
}

#[derive(Args)]
struct BackArguments {
    /// Journal of the watch.
    journal: PathBuf,
    #[command(flatten)]
    shown: ShownArguments,
}

/// What is shown first, and how.
#[derive(Args)]
struct ShownArguments {
    /// The moment shown first, such as "D12 06:40".
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
    #[command(flatten)]
    picture: PictureArguments,
    #[command(flatten)]
    film: FilmArguments,
}

/// Pictures instead of a window.
#[derive(Args)]
struct PictureArguments {
    /// No window: one picture into a file, PNG.
    #[arg(long, value_name = "FILE")]
    shot: Option<PathBuf>,
    /// Size of a picture, such as 1280x720.
    #[arg(long, value_name = "SIZE", default_value = "1280x720", value_parser = size)]
    size: (u32, u32),
    /// Page of the panel.
    #[arg(long, value_enum, default_value_t = Shown::Vessel)]
    page: Shown,
    /// How much of the job the timeline shows.
    #[arg(long, value_enum, default_value_t = Span::Job)]
    timeline: Span,
    /// Units of what is written.
    #[arg(long, value_enum)]
    units: Option<System>,
    /// Which colours stand for which gas.
    #[arg(long, value_enum)]
    gases: Option<Gases>,
    /// High contrast.
    #[arg(long)]
    contrast: bool,
}

/// A film instead of a window.
#[derive(Args)]
struct FilmArguments {
    /// No window: pictures one after another into a folder, from --from to --to.
    #[arg(long, value_name = "FOLDER", requires = "to", conflicts_with = "shot")]
    film: Option<PathBuf>,
    /// The film's first moment; the moment shown first where it is left out.
    #[arg(long, value_name = "TIME", requires = "film")]
    from: Option<String>,
    /// The film's last moment.
    #[arg(long, value_name = "TIME", requires = "film")]
    to: Option<String>,
    /// Time between two pictures of the film.
    #[arg(long, value_name = "TIME", default_value = "10 min", requires = "film")]
    every: Duration,
}

#[derive(Args)]
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
    #[arg(long, value_enum, default_value_t = Span::Job)]
    timeline: Span,
    /// Units of what is written.
    #[arg(long, value_enum, default_value_t = System::Metric)]
    units: System,
    /// Which colours stand for which gas.
    #[arg(long, value_enum, default_value_t = Gases::En1089)]
    gases: Gases,
}

#[derive(Clone, Copy, ValueEnum)]
enum Seat {
    /// Saturation control.
    Saturation,
    /// Dive control.
    Dive,
    /// Both, alone.
    Both,
}

#[derive(Clone, Copy, ValueEnum)]
enum Shown {
    /// Readings of one vessel.
    Vessel,
    /// Lines and banks.
    Gas,
    /// Bell and divers.
    Bell,
    /// Alarms.
    Alarms,
    /// Cameras.
    Cameras,
    /// What was said and done.
    Log,
    /// No panel: the picture alone.
    None,
}

#[derive(Clone, Copy, ValueEnum)]
enum Span {
    /// All of it.
    Job,
    /// The day.
    Day,
    /// The hour.
    Hour,
}

#[derive(Clone, Copy, PartialEq, ValueEnum)]
enum System {
    /// Metres of sea water, bar, degrees Celsius.
    Metric,
    /// Feet of sea water, psi, degrees Fahrenheit.
    Imperial,
}

#[derive(Clone, Copy, ValueEnum)]
enum Gases {
    /// EN 1089-3: oxygen white, helium brown, nitrogen black.
    #[value(name = "en-1089-3")]
    En1089,
    /// US Navy: oxygen green, helium buff, nitrogen light grey, air black.
    UsNavy,
}

impl Gases {
    fn colours(self) -> GasColours {
        match self {
            Gases::En1089 => GasColours::En1089,
            Gases::UsNavy => GasColours::UsNavy,
        }
    }
}

impl Span {
    fn zoom(self) -> Zoom {
        match self {
            Span::Job => Zoom::Job,
            Span::Day => Zoom::Day,
            Span::Hour => Zoom::Hour,
        }
    }
}

/// Size of a drawing, px.
const SIZE: (f64, f64) = (1280.0, 720.0);
/// Largest side of a picture, px.
const LARGEST: u32 = 8192;

fn size(text: &str) -> Result<(u32, u32), String> {
    let right = || format!("a size is such as 1280x720, each side 320 to {LARGEST}");
    let (width, height) = text.split_once('x').ok_or_else(right)?;
    match (width.parse(), height.parse()) {
        (Ok(width), Ok(height))
            if (320..=LARGEST).contains(&width) && (200..=LARGEST).contains(&height) =>
        {
            Ok((width, height))
        }
        _ => Err(right()),
    }
}

/// How it ended.
enum Ended {
    /// Input that cannot be used, in words.
    Bad(String),
    /// Left, with what is said of it.
    Left(String, Worth),
}

/// Does what the command line asks for.
pub fn run() -> ExitCode {
    let arguments = Arguments::parse();
    let ended = match arguments.verb {
        Some(Verb::Draw(arguments)) => draw(&arguments),
        Some(Verb::Look(arguments)) => look(&arguments),
        Some(Verb::Sit(arguments)) => sit(&arguments),
        Some(Verb::Back(arguments)) => back(&arguments),
        None => look(&arguments.look),
    };
    match ended {
        Ended::Bad(words) => {
            eprintln!("deepstay-viz: {words}");
            ExitCode::from(3)
        }
        Ended::Left(words, worth) => {
            if !words.is_empty() {
                // A pipe that is closed takes no words, and needs none.
                let _ = writeln!(std::io::stdout(), "{words}");
            }
            ExitCode::from(match worth {
                Worth::Done => 0,
                Worth::NotCompleted => 2,
                Worth::BrokenInvariant => 5,
            })
        }
    }
}

fn bad(why: impl std::fmt::Display) -> Ended {
    Ended::Bad(why.to_string())
}

fn look(arguments: &LookArguments) -> Ended {
    match Stage::look(&arguments.job) {
        Ok(stage) => from(stage, &arguments.shown),
        Err(why) => bad(why),
    }
}

fn sit(arguments: &SitArguments) -> Ended {
    if let (None, Err(why)) = (&arguments.picture.shot, window::possible()) {
        return bad(why);
    }
    let hands = match arguments.at_once {
        true => Hands::at_once(),
        false => Hands::built_in().clone(),
    };
    let stage = match &arguments.resume {
        Some(journal) => Stage::take_up(journal, hands, Keys::default(), |_, _| true),
        None => Stage::sit(
            SitDown {
                from: arguments.from.clone(),
                stations: arguments.station.map(|seat| match seat {
                    Seat::Saturation => vec![Station::Saturation],
                    Seat::Dive => vec![Station::Dive],
                    Seat::Both => vec![Station::Saturation, Station::Dive],
                }),
                journal: arguments
                    .journal
                    .clone()
                    .map_or(KeptIn::Beside, KeptIn::File),
                seed: arguments.seed,
                shelf: Shelf::of_the_user(),
                hands,
                ..SitDown::at(&*arguments.job, SPEEDS)
            },
            |_, _| true,
        ),
    };
    match stage {
        Ok(stage) => show(stage, &arguments.picture, None),
        Err(why) => bad(why),
    }
}

fn back(arguments: &BackArguments) -> Ended {
    match Stage::back(&arguments.journal, |_, _| true) {
        Ok(stage) => from(stage, &arguments.shown),
        Err(why) => bad(why),
    }
}

/// Shows a stage from a moment on.
fn from(mut stage: Stage, shown: &ShownArguments) -> Ended {
    let (asked, film) = (&shown.picture, &shown.film);
    let film = film.film.is_some().then_some(film);
    let Some(at) = &shown.at else {
        return show(stage, asked, film);
    };
    let at_s = match stage.time(at) {
        Ok(at_s) => at_s,
        Err(why) => return bad(format!("--at {why}")),
    };
    stage.run_ahead_to(at_s);
    stage.show(at_s);
    match stage.shown_s() == at_s {
        true => show(stage, asked, film),
        false => bad(format!(
            "--at {at}: nothing is there; what is nearest is {}",
            stage.clock()
        )),
    }
}

/// Shows a stage: in a window, or as the pictures asked for.
fn show(stage: Stage, asked: &PictureArguments, film: Option<&FilmArguments>) -> Ended {
    let kept = Settings::file().map(|file| Settings::read(&file));
    let pictures = asked.shot.is_some() || film.is_some();
    // A picture looks the same for everybody, and stands still.
    let mut settings = kept.filter(|_| !pictures).unwrap_or_default();
    settings.contrast |= asked.contrast;
    if let Some(units) = asked.units {
        settings.imperial = units == System::Imperial;
    }
    if let Some(gases) = asked.gases {
        settings.gases = gases.colours();
    }
    settings.panel &= !matches!(asked.page, Shown::None);
    let mut screen = Screen::new(stage, settings);
    screen.zoom(asked.timeline.zoom());
    screen.open(match asked.page {
        Shown::Vessel | Shown::None => Page::Vessel,
        Shown::Gas => Page::Gas,
        Shown::Bell => Page::Bell,
        Shown::Alarms => Page::Alarms,
        Shown::Cameras => Page::Cameras,
        Shown::Log => Page::Log,
    });
    if pictures {
        screen.runs_nothing_ahead();
        return draw_pictures(screen, asked, film);
    }
    match window::live(screen) {
        Ok(Some(screen)) => {
            let left = screen.stage.left("deepstay-viz sit --resume");
            Ended::Left(left.words, left.worth)
        }
        Ok(None) => Ended::Left(String::new(), Worth::NotCompleted),
        Err(why) => bad(why),
    }
}

fn draw_pictures(
    screen: Screen,
    asked: &PictureArguments,
    film_asked: Option<&FilmArguments>,
) -> Ended {
    let mut pictures = match Pictures::new(screen, asked.size) {
        Ok(pictures) => pictures,
        Err(why) => return bad(why),
    };
    if let Some(path) = &asked.shot {
        return match pictures.shot(path) {
            Ok(()) => Ended::Left(String::new(), Worth::Done),
            Err(why) => bad(why),
        };
    }
    match film_asked.and_then(|f| Some((f, f.film.as_ref()?, f.to.as_ref()?))) {
        Some((asked, folder, to)) => film(&mut pictures, asked, folder, to),
        None => Ended::Left(String::new(), Worth::Done),
    }
}

/// Pictures one after another; what is drawn before something fails stays.
fn film(pictures: &mut Pictures, asked: &FilmArguments, folder: &Path, last: &str) -> Ended {
    let stage = &mut pictures.screen().stage;
    let first_s = match &asked.from {
        None => Ok(stage.shown_s()),
        Some(first) => stage.time(first),
    };
    let (first_s, last_s) = match (first_s, stage.time(last)) {
        (Ok(first_s), Ok(last_s)) => (first_s, last_s),
        (Err(why), _) | (_, Err(why)) => return bad(format!("--film: {why}")),
    };
    let every_s = asked.every.0.max(1);
    if last_s < first_s {
        return bad("--to: the film ends before it begins");
    }
    if let Err(error) = std::fs::create_dir_all(folder) {
        return bad(format!("{}: {error}", folder.display()));
    }
    let count = (last_s - first_s) / every_s + 1;
    let told = std::io::stderr().is_terminal();
    for k in 0..count {
        let at_s = first_s + k * every_s;
        let stage = &mut pictures.screen().stage;
        stage.run_ahead_to(at_s);
        stage.show(at_s);
        if stage.shown_s() != at_s {
            let words = format!("the job is over at {}: {k} pictures drawn", stage.clock());
            return Ended::Left(words, Worth::Done);
        }
        let path = folder.join(format!("{:05}.png", k + 1));
        if let Err(why) = pictures.shot(&path) {
            return bad(format!("{why}; {k} of {count} pictures are drawn"));
        }
        if told {
            eprint!("\r{} of {count} pictures", k + 1);
        }
    }
    if told {
        eprintln!();
    }
    Ended::Left(String::new(), Worth::Done)
}

fn draw(arguments: &DrawArguments) -> Ended {
    match drawn(arguments) {
        Ok(()) => Ended::Left(String::new(), Worth::Done),
        Err(words) => Ended::Bad(words),
    }
}

fn drawn(arguments: &DrawArguments) -> Result<(), String> {
    let mut stage = Stage::look(&arguments.job).map_err(|why| why.to_string())?;
    let at = &arguments.at;
    let at_s = stage.time(at).map_err(|why| format!("--at {why}"))?;
    stage.run_ahead_to(at_s);
    stage.show(at_s);
    if stage.shown_s() < at_s {
        return Err(format!("--at {at}: the job is over at {}", stage.clock()));
    }
    stage.set_units(match arguments.units {
        System::Metric => deepstay::units::Units::Metric,
        System::Imperial => deepstay::units::Units::Imperial,
    });
    let above = SIZE.1 - timeline::HEIGHT;
    let beside = Beside {
        work: stage.work().to_vec(),
        gases: arguments.gases.colours(),
        ..Beside::default()
    };
    let mut drawing = scene(
        stage.scenario(),
        stage.seen(),
        stage.units(),
        (SIZE.0, above),
        (SIZE.0, &beside),
    );
    drawing.size = SIZE;
    let course = Course {
        scenario: stage.scenario(),
        told: stage.told(),
        trend: stage.trend(),
        acts: &[],
        now_s: at_s,
        reached_s: at_s,
        zoom: arguments.timeline.zoom(),
    };
    timeline::draw(&mut drawing, course, above);
    let path = &arguments.out;
    write_whole(path, svg(&drawing).as_bytes())
        .map_err(|error| format!("{}: {error}", path.display()))
}
