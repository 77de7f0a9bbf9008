//! How fast the screen is drawn into an image: `cargo bench -p deepstay-viz --bench frames`. At 1280 by 720 with one page
//! of the panel and with none, and at 1920 by 1080 with both, time passing at 3,600; how soon the first picture is there,
//! how soon a minute that is dragged to, and how much memory all of it takes.

use deepstay_viz::screen::Screen;
use deepstay_viz::screen::pictures::Pictures;
use deepstay_viz::settings::Settings;
use deepstay_viz::stage::Stage;
use std::time::{Duration, Instant};

const JOB: &str = "six-man";
const FRAMES: usize = 200;
const DRAGS: usize = 100;

fn main() {
    let begun = Instant::now();
    let mut pictures = begin(true, (1280, 720));
    pictures.picture().expect("drawn");
    println!("device: {}", pictures.device);
    println!("first picture after {:.2} s", begun.elapsed().as_secs_f64());
    for (panel, size, words) in [
        (false, (1280, 720), "1280x720, the picture alone"),
        (true, (1280, 720), "1280x720, with one page"),
        (true, (1920, 1080), "1920x1080, with two pages"),
    ] {
        let mut pictures = begin(panel, size);
        let stage = &mut pictures.screen().stage;
        (0..20).for_each(|_| stage.change_speed(true));
        stage.play(true);
        let times = timed(FRAMES, || pictures.frame());
        tell(&format!("a frame at x3600, {words}"), times);
        let mut pictures = Some(pictures);
        if panel && size == (1280, 720) {
            drag(pictures.take());
        }
    }
    println!("most memory: {} MB", most_memory_mb());
}

fn begin(panel: bool, size: (u32, u32)) -> Pictures {
    let stage = Stage::look(JOB).expect("built in");
    let settings = Settings {
        panel,
        ..Settings::default()
    };
    Pictures::new(Screen::new(stage, settings), size).expect("a device")
}

/// To seconds all over the job, as they come from a simple generator.
fn drag(pictures: Option<Pictures>) {
    let Some(mut pictures) = pictures else {
        return;
    };
    let stage = &mut pictures.screen().stage;
    stage.play(false);
    stage.run_ahead_to(i64::MAX / 4);
    let end_s = stage.reached_s();
    let mut seed = 7_u64;
    let times = timed(DRAGS, || {
        seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let at_s = i64::try_from((seed >> 33) % end_s.unsigned_abs()).unwrap_or(0);
        pictures.screen().stage.show(at_s);
        pictures.frame();
    });
    tell("a minute dragged to and drawn", times);
}

fn timed(count: usize, mut what: impl FnMut()) -> Vec<Duration> {
    let one = |_| {
        let begun = Instant::now();
        what();
        begun.elapsed()
    };
    let mut times: Vec<Duration> = (0..count).map(one).collect();
    times.sort();
    times
}

fn tell(what: &str, times: Vec<Duration>) {
    let ms = |share: f64| {
        let k = (share * (times.len() - 1) as f64).round() as usize;
        times[k].as_secs_f64() * 1000.0
    };
    println!(
        "{what}: median {:.1} ms, 95 % {:.1} ms, most {:.1} ms",
        ms(0.5),
        ms(0.95),
        ms(1.0)
    );
}

fn most_memory_mb() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|l| l.starts_with("VmHWM:"));
    let kb = line.and_then(|l| l.split_whitespace().nth(1)?.parse::<u64>().ok());
    kb.unwrap_or(0) / 1024
}
