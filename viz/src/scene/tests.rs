//! What a picture must keep to, over every built-in job at many hours, and over spreads that no file has.

use super::*;
use crate::drawing::Mark;
use crate::svg::svg;
use deepstay::job::{Halt, Job, Options};
use deepstay::plant::Steel;
use deepstay::record::NoRecord;
use deepstay::units::{CompartmentId, CompartmentKind};
use kurbo::{Point, Rect};
use std::sync::Arc;

const SIZE: (f64, f64) = (1280.0, 720.0);
/// Without a panel, with one beside it at 1280 by 720, and with two pages of it at 1920 by 1080; the timeline below.
const SIZES: [(f64, f64); 3] = [SIZE, (888.0, 592.0), (1136.0, 952.0)];

/// Moments of a job, some hours apart.
fn moments(name: &str, every_s: i64) -> Vec<(Arc<Scenario>, Indicated)> {
    let scenario = Arc::new(deepstay::open(name).unwrap_or_else(|bad| panic!("{bad}")));
    let mut job = Job::new(Arc::clone(&scenario), Options::default());
    let mut seen = Vec::new();
    let mut at = 600;
    while job.advance_to(at, &mut NoRecord) == Halt::Reached {
        seen.push((Arc::clone(&scenario), job.indicated()));
        at += every_s;
    }
    seen
}

fn pictures() -> impl Iterator<Item = (String, Drawing)> {
    ["short", "bad-night", "twelve-man", "nine-man", "relief"]
        .into_iter()
        .flat_map(|name| {
            let moments = moments(name, 13 * 3600 + 1234).into_iter();
            moments.flat_map(move |(scenario, seen)| {
                SIZES.map(|size| {
                    let beside = Beside {
                        speed: "time stands (x3600)".to_owned(),
                        ..Beside::default()
                    };
                    let head = (1280.0_f64.max(size.0), &beside);
                    let drawing = scene(&scenario, &seen, Units::Metric, size, head);
                    (format!("{name} at {} s, {size:?}", seen.at_s), drawing)
                })
            })
        })
}

/// What of a drawing's words lies on other words, leaves the picture, or is smaller than can be read at 60 cm (see
/// [`Type::TEXT`]).
fn words_that_stand_badly(name: &str, drawing: &Drawing) -> Vec<String> {
    let mut faults = Vec::new();
    for mark in &drawing.marks {
        if let Mark::Words { words, set, .. } = mark
            && set.size < 15.0
        {
            faults.push(format!("{name}: `{words}` is small"));
        }
    }
    // The line over the picture reaches over the panel.
    let whole = |rect: Rect| {
        let right = if rect.y1 < HEAD {
            1280.0_f64.max(drawing.size.0)
        } else {
            drawing.size.0
        };
        Rect::new(0.0, 0.0, right, drawing.size.1)
    };
    let boxes: Vec<(&str, Rect)> = drawing.boxes().filter(|(w, _)| !w.is_empty()).collect();
    for (k, (words, rect)) in boxes.iter().enumerate() {
        let corners = [Point::new(rect.x0, rect.y0), Point::new(rect.x1, rect.y1)];
        if !corners
            .into_iter()
            .all(|corner| whole(*rect).contains(corner))
        {
            faults.push(format!("{name}: `{words}` leaves the picture"));
        }
        for (others, other) in &boxes[..k] {
            let over = rect.intersect(*other);
            if over.width() > 1.5 && over.height() > 2.0 {
                faults.push(format!("{name}: `{words}` lies on `{others}`"));
            }
        }
    }
    faults
}

#[test]
fn words_stand_apart_and_within_the_picture() {
    let (mut looked, mut faults) = (0, Vec::new());
    for (name, drawing) in pictures() {
        faults.extend(words_that_stand_badly(&name, &drawing));
        looked += 1;
    }
    assert!(faults.is_empty(), "{faults:#?}");
    assert!(looked > 40, "{looked}");
}

/// Whoever said he is on board or in the water is drawn once, by his initials; nobody on deck is.
#[test]
fn everybody_is_drawn_where_he_said_he_is() {
    use deepstay::record::Whereabouts;
    use deepstay::words::Names;
    for (scenario, seen) in moments("short", 5 * 3600 + 77) {
        let drawing = scene(
            &scenario,
            &seen,
            Units::Metric,
            SIZE,
            (SIZE.0, &Beside::default()),
        );
        for (k, diver) in (0u8..).zip(&seen.divers) {
            let initials = scenario.initials(deepstay::units::DiverId(k));
            let times = drawing
                .all_words()
                .flat_map(|w| w.split(' '))
                .filter(|w| *w == initials)
                .count();
            let mated = |c: CompartmentId| {
                let vessel = &seen.vessels[c.index()];
                vessel.winch_msw.is_some_and(|(_, wire)| wire <= 0.0)
            };
            let expected = match diver.at {
                Whereabouts::Deck => 0,
                // In a bell at the pool's side there is no room for names; in a trunk or lock either.
                Whereabouts::In(c) if mated(c) => continue,
                Whereabouts::In(c) => match scenario.steel.compartments[c.index()].kind {
                    CompartmentKind::Living
                    | CompartmentKind::Transfer
                    | CompartmentKind::Rescue
                    | CompartmentKind::Bell => 1,
                    _ => continue,
                },
                Whereabouts::Water(_) => 1,
            };
            assert_eq!(times, expected, "{initials} at {} s", seen.at_s);
        }
    }
}

/// A bell on its wire is at the depth of the scale: by hand, the sea's 62 m of the short job lie between surface and floor.
#[test]
fn the_bell_hangs_at_its_depth_on_the_scale() {
    let scenario = deepstay::open("short").expect("built in");
    let layout = Layout::of(&scenario.steel, scenario.site.seabed_msw, SIZE);
    assert_eq!(scenario.site.seabed_msw, 62.0);
    let half = layout.depth_y(31.0);
    assert!((half - 0.5 * (layout.sea_y + layout.floor_y)).abs() < 1e-9);
    assert_eq!(layout.depth_y(0.0), layout.sea_y);
    assert!((layout.depth_y(62.0) - layout.floor_y).abs() < 1e-9);
}

/// At high water the floor lies deeper under the ship, at low water less deep, by the scale of the picture; some of it shows.
#[test]
fn the_floor_goes_away_with_the_tide() {
    let scenario = deepstay::open("short").expect("built in");
    let layout = || Layout::of(&scenario.steel, scenario.site.seabed_msw, SIZE);
    let mean = layout();
    let high = layout().at_tide(1.2);
    assert!((high.floor_y - mean.floor_y - 1.2 * mean.per_msw).abs() < 1e-9);
    assert!(
        (high.depth_y(63.2) - high.floor_y).abs() < 1e-9,
        "62 m, and 1.2 m of tide"
    );
    assert!(layout().at_tide(-1.2).floor_y < mean.floor_y);
    assert!(layout().at_tide(40.0).floor_y < SIZE.1 - layout::CAPTION);
}

/// The tide is the table's: one sinusoid of M2 (12.4206 h) from mean level at the start. By hand, of the short job's 1.2 m
/// after 14 h 30 min: 1.2 sin(2 pi 14.5 / 12.4206) = +1.04 m; after 8 h: -0.94 m.
#[test]
fn the_tide_is_told_in_the_line_over_the_picture() {
    let scenario = Arc::new(deepstay::open("short").expect("built in"));
    let mut job = Job::new(Arc::clone(&scenario), Options::default());
    for (at_s, by_hand, words) in [
        (28_800, -0.944, "tide -0.9 m"),
        (52_200, 1.042, "tide +1.0 m"),
    ] {
        let _ = job.advance_to(at_s, &mut NoRecord);
        let seen = job.indicated();
        assert!((seen.tide_m - by_hand).abs() < 0.002, "{}", seen.tide_m);
        let beside = Beside::default();
        let drawing = scene(&scenario, &seen, Units::Metric, SIZE, (SIZE.0, &beside));
        assert!(drawing.all_words().any(|w| w == words), "{words}");
    }
}

/// On the evening of the first day of the short job EF and GH sleep, JK and LM are about, AB tends and CD is in the water:
/// sleepers lie with their initials beside them, those who are up have theirs over them.
#[test]
fn who_was_told_to_sleep_lies_in_his_bunk() {
    use crate::drawing::Anchor;
    use deepstay::plant::Activity;
    let scenario = Arc::new(deepstay::open("short").expect("built in"));
    let mut job = Job::new(Arc::clone(&scenario), Options::default());
    let _ = job.advance_to(52_200, &mut NoRecord);
    let mut seen = job.indicated();
    let anchor = |seen: &Indicated, initials: &str| {
        let beside = Beside::default();
        let drawing = scene(&scenario, seen, Units::Metric, SIZE, (SIZE.0, &beside));
        let mut marks = drawing.marks.into_iter();
        marks.find_map(|mark| match mark {
            Mark::Words { words, anchor, .. } if words == initials => Some(anchor),
            _ => None,
        })
    };
    let does: Vec<Activity> = seen.divers.iter().map(|d| d.does).collect();
    use Activity::{Bellman, Chores, Sleep, WaterModerate};
    assert_eq!(does, [Bellman, WaterModerate, Sleep, Sleep, Chores, Chores]);
    for (initials, stands) in [
        ("EF", Anchor::Start),
        ("GH", Anchor::Start),
        ("JK", Anchor::Middle),
    ] {
        assert_eq!(anchor(&seen, initials), Some(stands), "{initials}");
    }
    seen.divers[2].does = Activity::Rest;
    assert_eq!(anchor(&seen, "EF"), Some(Anchor::Middle), "he got up");
}

/// Where the truth is shown, who is not well has it beside his initials, and who is out lies; where it is not, nothing says
/// so.
#[test]
fn how_one_truly_is_stands_in_a_picture_of_the_truth_alone() {
    use deepstay::record::Fitness;
    let scenario = Arc::new(deepstay::open("short").expect("built in"));
    let mut job = Job::new(Arc::clone(&scenario), Options::default());
    let _ = job.advance_to(52_200, &mut NoRecord);
    let seen = job.indicated();
    let words = |fitness: Vec<Fitness>| -> Vec<String> {
        let beside = Beside {
            fitness,
            ..Beside::default()
        };
        let drawing = scene(&scenario, &seen, Units::Metric, SIZE, (SIZE.0, &beside));
        drawing.all_words().map(str::to_owned).collect()
    };
    use Fitness::{Confused, Dead, Out, Well};
    let truly = words(vec![Well, Dead, Well, Well, Out, Confused]);
    for said in ["CD dead", "JK out", "LM confused", "EF", "GH"] {
        assert!(
            truly.iter().any(|w| w.contains(said)),
            "{said} in {truly:?}"
        );
    }
    let told = words(Vec::new());
    assert!(told.iter().any(|w| w == "JK") && !told.iter().any(|w| w.ends_with(" out")));
}

/// Words, vessels and banks take at most half of a picture (the share is second-hand, see DEVELOPERS).
fn half_stays_empty(name: &str, drawing: &Drawing, layout: &Layout) {
    const CELL: f64 = 4.0;
    let words = drawing.boxes().map(|(_, rect)| rect);
    let vessels = layout.places.iter().flatten().chain(&layout.banks).copied();
    let taken: Vec<Rect> = words.chain(vessels).collect();
    let size = layout.size;
    let (across, down) = ((size.0 / CELL) as usize, (size.1 / CELL) as usize);
    let cells = (0..across).flat_map(|x| (0..down).map(move |y| (x, y)));
    let full = cells.filter(|(x, y)| {
        let at = Point::new((*x as f64 + 0.5) * CELL, (*y as f64 + 0.5) * CELL);
        taken.iter().any(|rect| rect.contains(at))
    });
    let share = full.count() as f64 / (across * down) as f64;
    assert!(share > 0.05 && share < 0.5, "{name}: {share}");
}

#[test]
fn half_of_a_picture_stays_empty() {
    for name in ["short", "six-man", "nine-man", "twelve-man", "bad-night"] {
        let scenario = Arc::new(deepstay::open(name).expect("built in"));
        let mut job = Job::new(Arc::clone(&scenario), Options::default());
        let _ = job.advance_to(2 * 86_400, &mut NoRecord);
        let seen = job.indicated();
        for size in SIZES {
            let beside = Beside::default();
            let drawing = scene(&scenario, &seen, Units::Metric, size, (size.0, &beside));
            let layout = Layout::of(&scenario.steel, scenario.site.seabed_msw, size);
            half_stays_empty(&format!("{name}, {size:?}"), &drawing, &layout);
        }
    }
}

/// Vessels, banks and pools of every spread stand within the ship and not on each other.
fn stands_well(name: &str, layout: &Layout) {
    let mut all: Vec<Rect> = layout.places.iter().flatten().copied().collect();
    all.extend(&layout.banks);
    for pool in &layout.pools {
        all.push(Rect::new(
            pool.x - pool.half + 1.0,
            layout.deck_y,
            pool.x + pool.half - 1.0,
            layout.keel_y,
        ));
    }
    for (k, rect) in all.iter().enumerate() {
        assert!(rect.area() > 0.0, "{name}: {rect:?}");
        assert!(
            rect.x0 >= layout.hull.0 && rect.x1 <= layout.hull.1,
            "{name}: {rect:?}"
        );
        assert!(
            rect.y0 > HEAD && rect.y1 <= layout.keel_y,
            "{name}: {rect:?}"
        );
        for other in &all[..k] {
            let over = rect.intersect(*other);
            assert!(
                over.width() < 0.5 || over.height() < 0.5,
                "{name}: {rect:?} on {other:?}"
            );
        }
    }
    let sea = layout.floor_y - layout.sea_y;
    assert!(sea > 50.0, "{name}: {sea} px of sea");
}

#[test]
fn every_built_in_spread_stands_well() {
    for name in ["short", "six-man", "nine-man", "twelve-man", "bad-night"] {
        let scenario = deepstay::open(name).expect("built in");
        for size in SIZES {
            let layout = Layout::of(&scenario.steel, scenario.site.seabed_msw, size);
            stands_well(&format!("{name}, {size:?}"), &layout);
        }
    }
}

/// Spreads of a school's own: one chamber without a bell, six chambers in three groups, two bells.
#[test]
fn spreads_that_no_file_has_stand_well_too() {
    let base = deepstay::open("twelve-man")
        .expect("built in")
        .steel
        .clone();
    let keep = |names: &[&str]| -> Steel {
        let ids: Vec<usize> = (0..base.compartments.len())
            .filter(|k| names.contains(&base.compartments[*k].name.as_str()))
            .collect();
        let new = |c: CompartmentId| {
            let at = ids.iter().position(|k| *k == c.index())?;
            Some(CompartmentId(at as u8))
        };
        let mut steel = Steel {
            name: base.name.clone(),
            banks: base.banks.clone(),
            ..Steel::default()
        };
        for &k in &ids {
            let mut plate = base.compartments[k].clone();
            plate.drain_to = plate.drain_to.and_then(new);
            if let Some(bell) = &mut plate.bell {
                let Some(trunk) = new(bell.trunk) else {
                    plate.bell = None;
                    continue;
                };
                bell.trunk = trunk;
            }
            steel.compartments.push(plate);
        }
        for door in &base.doors {
            let b = door.b.map(new);
            if let (Some(a), Some(Some(b))) = (new(door.a), b) {
                let mut door = door.clone();
                (door.a, door.b) = (a, Some(b));
                steel.doors.push(door);
            }
        }
        steel
    };
    let one = keep(&["Living 1"]);
    assert_eq!(one.compartments.len(), 1);
    stands_well("one chamber", &Layout::of(&one, 60.0, SIZE));
    let pair = keep(&["Living 1", "Transfer 1", "Medical lock 1", "Trunk", "Bell"]);
    stands_well("a pair", &Layout::of(&pair, 150.0, SIZE));

    // The twelve-man spread beside itself: four groups, two trunks, two bells.
    let mut twice = base.clone();
    let count = base.compartments.len() as u8;
    let moved = |c: CompartmentId| CompartmentId(c.0 + count);
    for plate in &base.compartments {
        let kind = plate.kind;
        if kind == CompartmentKind::ReclaimTank
            || twice.compartments.len() >= 2 * usize::from(count)
        {
            continue;
        }
        let mut plate = plate.clone();
        plate.drain_to = plate.drain_to.map(moved);
        if let Some(bell) = &mut plate.bell {
            bell.trunk = moved(bell.trunk);
        }
        twice.compartments.push(plate);
    }
    for door in &base.doors {
        let mut door = door.clone();
        (door.a, door.b) = (moved(door.a), door.b.map(moved));
        twice.doors.push(door);
    }
    let layout = Layout::of(&twice, 300.0, SIZE);
    assert_eq!(layout.pools.len(), 2);
    stands_well("two bells", &layout);
}

/// Fifty spreads as they may come, of one to six living chambers, none to two bells, chambers for transfer, rescue, locks
/// and four to thirty banks, each over a sea of its own depth.
fn spreads_as_they_may_come() -> Vec<(Steel, f64)> {
    let base = deepstay::open("twelve-man")
        .expect("built in")
        .steel
        .clone();
    let six = deepstay::open("six-man").expect("built in").steel.clone();
    let plate = |steel: &Steel, kind: CompartmentKind| {
        let found = steel.compartments.iter().find(|p| p.kind == kind);
        found.unwrap_or_else(|| panic!("{kind:?}")).clone()
    };
    let mut seed = 11_u64;
    let mut below = |count: u64| {
        seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) % count
    };
    let door = |a: usize, b: usize| {
        let mut door = base.doors[0].clone();
        (door.a, door.b) = (CompartmentId(a as u8), Some(CompartmentId(b as u8)));
        door
    };
    let mut spreads = Vec::new();
    for _ in 0..50 {
        let mut steel = Steel {
            name: base.name.clone(),
            ..Steel::default()
        };
        let bells = below(3);
        let mut trunks = Vec::new();
        for n in 0..bells {
            let mut trunk = plate(&base, CompartmentKind::Trunk);
            trunk.name = format!("Trunk {}", n + 1);
            steel.compartments.push(trunk);
            let mut bell = plate(&base, CompartmentKind::Bell);
            bell.name = format!("Bell {}", n + 1);
            let at = steel.compartments.len();
            if let Some(fittings) = &mut bell.bell {
                fittings.trunk = CompartmentId((at - 1) as u8);
            }
            steel.compartments.push(bell);
            steel.doors.push(door(at - 1, at));
            trunks.push(at - 1);
        }
        let living = 1 + below(6);
        for n in 0..living {
            let mut chamber = plate(&base, CompartmentKind::Living);
            chamber.name = format!("Living {}", n + 1);
            chamber.volume_m3 = 8.0 + below(40) as f64;
            steel.compartments.push(chamber);
            let at = steel.compartments.len() - 1;
            let mut last = at;
            if below(3) > 0 {
                let mut transfer = plate(&base, CompartmentKind::Transfer);
                transfer.name = format!("Transfer {}", n + 1);
                steel.compartments.push(transfer);
                last = at + 1;
                steel.doors.push(door(at, last));
            }
            if let Some(trunk) = trunks.get(n as usize % trunks.len().max(1)) {
                steel.doors.push(door(last, *trunk));
            }
            if below(3) == 0 {
                let mut lock = plate(&base, CompartmentKind::MedicalLock);
                lock.name = format!("Medical lock {}", n + 1);
                steel.compartments.push(lock);
                steel.doors.push(door(at, steel.compartments.len() - 1));
            }
        }
        if below(2) == 0 {
            let mut rescue = plate(&six, CompartmentKind::Rescue);
            rescue.drain_to = None;
            steel.compartments.push(rescue);
            let at = steel.compartments.len() - 1;
            let living = steel.compartments.iter();
            let first = living
                .clone()
                .position(|p| p.kind == CompartmentKind::Living);
            steel.doors.push(door(first.expect("one at least"), at));
        }
        for compartment in &mut steel.compartments {
            compartment.drain_to = None;
        }
        for n in 0..4 + below(27) {
            let mut bank = base.banks[n as usize % base.banks.len()].clone();
            bank.name = format!("B-{}", n + 1);
            steel.banks.push(bank);
        }
        spreads.push((steel, 60.0 + below(240) as f64));
    }
    spreads
}

#[test]
fn spreads_as_they_may_come_stand_well() {
    for (k, (steel, seabed_msw)) in spreads_as_they_may_come().iter().enumerate() {
        for size in SIZES {
            let layout = Layout::of(steel, *seabed_msw, size);
            stands_well(&format!("spread {k}, {size:?}"), &layout);
        }
    }
}

/// A panel by hand for a spread that no job has: every vessel shows a depth, gas goes into some and out of others, doors
/// stand this way and that, people are in chambers, bells and the sea, and something rings here and there.
fn panel_of(steel: &Steel, k: usize) -> Indicated {
    use deepstay::job::{AlarmNow, BankPlate, DiverHeard, DoorLamp, Shown, Vessel};
    use deepstay::record::*;
    use deepstay::units::{BankId, Channel, InstrumentId};
    let ids: Vec<CompartmentId> = (0..steel.compartments.len() as u8)
        .map(CompartmentId)
        .collect();
    let kind = |c: CompartmentId| steel.compartments[c.index()].kind;
    let vessel = |c: &CompartmentId| {
        let bank = BankId(((usize::from(c.0) * 7 + k) % steel.banks.len()) as u8);
        let (fed, out) = (
            (usize::from(c.0) + k).is_multiple_of(3),
            (usize::from(c.0) + k) % 7 == 3,
        );
        let by = |open: bool| if open { 0.25 } else { 0.0 };
        Vessel {
            phase: Phase::Storage,
            target_msw: 100.0,
            readings: vec![Shown {
                instrument: InstrumentId(u16::from(c.0)),
                quantity: Quantity::Depth,
                channel: Channel::Primary,
                value: Some(if k.is_multiple_of(5) { 0.0 } else { 123.4 }),
                at_ceiling: false,
                turned_to: None,
            }],
            handles: vec![
                (ValveName::BlowDown(*c), by(fed)),
                (ValveName::Oxygen(*c), by(fed && k.is_multiple_of(2))),
                (ValveName::Bleed(*c), by(out)),
            ],
            lines: vec![
                (LineName::Supply(*c), Some(bank)),
                (LineName::Oxygen(*c), Some(bank)),
            ],
            regulators: Vec::new(),
            machines: Vec::new(),
            oxygen_set: None,
            climate_set: None,
            absorbent_h: None,
            gagged: None,
            winch_msw: (kind(*c) == CompartmentKind::Bell)
                .then_some((0.0, if k.is_multiple_of(3) { 0.0 } else { 50.0 })),
        }
    };
    let homes: Vec<CompartmentId> = ids
        .iter()
        .copied()
        .filter(|c| {
            matches!(
                kind(*c),
                CompartmentKind::Living | CompartmentKind::Transfer
            )
        })
        .collect();
    let bells: Vec<CompartmentId> = ids
        .iter()
        .copied()
        .filter(|c| kind(*c) == CompartmentKind::Bell)
        .collect();
    let diver = |n: usize| {
        let at = match bells.get(n) {
            Some(bell) if !k.is_multiple_of(3) => Whereabouts::Water(*bell),
            _ => match bells.get(n % 4) {
                Some(bell) if n < 6 => Whereabouts::In(*bell),
                _ => Whereabouts::In(homes[(n * n + k) % homes.len()]),
            },
        };
        use deepstay::plant::Activity;
        let wet = matches!(at, Whereabouts::Water(_));
        let dry = [
            Activity::Sleep,
            Activity::Rest,
            Activity::Chores,
            Activity::Exercise,
        ];
        DiverHeard {
            at,
            path: match (wet, n % 5) {
                (true, 0) => BreathingPath::BailOut,
                (true, _) => BreathingPath::Main,
                (false, 3) => BreathingPath::Bibs,
                (false, _) => BreathingPath::Ambient,
            },
            does: if wet {
                Activity::WaterModerate
            } else {
                dry[(n + k) % 4]
            },
            bail_out_bar: None,
        }
    };
    let alarm = |c: &CompartmentId| {
        let severity =
            [Severity::Attention, Severity::Limit, Severity::Emergency][usize::from(c.0) % 3];
        AlarmNow {
            name: LimitName {
                compartment: *c,
                quantity: Quantity::PpO2,
                bound: Bound::Low,
                severity,
                aspect: Aspect::Inside,
                by: LimitBy::Panel(0),
            },
            state: AlarmState::Unacknowledged,
            raised_s: 0,
            value: 0.384,
            setting: AlarmSetting {
                set_point: 0.39,
                delay_s: 0,
                sounds: Sounds::default(),
                latches: false,
            },
            shelved: false,
            shelved_until_s: None,
            suppressed: false,
        }
    };
    Indicated {
        at_s: 3 * 86_400,
        over: false,
        sitters: [Sitter::Automatic; 2],
        sounding: [false; 2],
        vessels: ids.iter().map(vessel).collect(),
        doors: (0..steel.doors.len())
            .map(|d| DoorLamp {
                open: (d + k).is_multiple_of(2),
                clamped: !(d + k).is_multiple_of(3),
            })
            .collect(),
        banks: steel
            .banks
            .iter()
            .enumerate()
            .map(|(n, plate)| BankPlate {
                label_o2: plate.label_o2,
                analysed_o2: plate.analysed_o2,
                gauge_bar: Some(40.0 + 5.0 * n as f64),
                stopped: n % 6 == 1,
            })
            .collect(),
        divers: (0..12).map(diver).collect(),
        alarms: homes
            .iter()
            .filter(|c| (usize::from(c.0) + k).is_multiple_of(4))
            .map(alarm)
            .collect(),
        shelved: Vec::new(),
        limits: Vec::new(),
        hs_m: 2.5,
        tide_m: if k.is_multiple_of(2) { 1.5 } else { -1.5 },
        requests: Vec::new(),
    }
}

/// In pictures of all of them no words lie on others, none leave the picture, none are small, and half of it stays empty.
#[test]
fn spreads_as_they_may_come_are_drawn_well() {
    let base = deepstay::open("twelve-man").expect("built in");
    let mut faults = Vec::new();
    for (k, (steel, seabed_msw)) in spreads_as_they_may_come().into_iter().enumerate() {
        let seen = panel_of(&steel, k);
        let mut scenario = base.clone();
        scenario.steel = steel;
        scenario.site.seabed_msw = seabed_msw;
        let bells = (0..scenario.steel.compartments.len() as u8).map(CompartmentId);
        let kind = |c: &CompartmentId| scenario.steel.compartments[c.index()].kind;
        let bells = bells.filter(|c| kind(c) == CompartmentKind::Bell);
        let beside = Beside {
            speed: "x3600".to_owned(),
            work: bells
                .map(|c| (c, "Pull in the umbilical".to_owned()))
                .collect(),
            ..Beside::default()
        };
        for size in SIZES {
            let head = (1280.0_f64.max(size.0), &beside);
            let drawing = scene(&scenario, &seen, Units::Metric, size, head);
            let name = format!("spread {k}, {size:?}");
            faults.extend(words_that_stand_badly(&name, &drawing));
            let layout = Layout::of(&scenario.steel, seabed_msw, size);
            half_stays_empty(&name, &drawing, &layout);
        }
    }
    assert!(faults.is_empty(), "{} faults: {faults:#?}", faults.len());
}

/// Nothing that nobody on the watch can know changes a picture: with an analyser that drifts and a bank that holds
/// something else, before anybody notices, it is the same to the last stroke.
#[test]
fn nothing_true_is_drawn() {
    use deepstay::fault::FaultKind;
    use deepstay::gas::Amounts;
    use deepstay::scenario::Fault;
    use deepstay::units::BankId;
    let clean = deepstay::open("short").expect("built in");
    let calm = clean
        .steel
        .banks
        .iter()
        .position(|b| b.name == "T-1")
        .expect("there");
    let faulty = clean.clone().with_fault(Fault {
        at: 0,
        until: None,
        what: FaultKind::WrongContents {
            bank: BankId(calm as u8),
            mix: Amounts::heliox(0.1),
        },
    });
    let picture = |scenario: Scenario| {
        let scenario = Arc::new(scenario);
        let mut job = Job::new(Arc::clone(&scenario), Options::default());
        let _ = job.advance_to(2 * 86_400, &mut NoRecord);
        svg(&scene(
            &scenario,
            &job.indicated(),
            Units::Metric,
            SIZE,
            (SIZE.0, &Beside::default()),
        ))
    };
    assert_eq!(picture(clean), picture(faulty));
}

/// In feet of sea water the scale has round numbers too.
#[test]
fn the_scale_is_round_in_either_units() {
    let scenario = Arc::new(deepstay::open("short").expect("built in"));
    let job = Job::new(Arc::clone(&scenario), Options::default());
    for (units, some) in [
        (Units::Metric, ["10", "20", "50"]),
        (Units::Imperial, ["20", "100", "200"]),
    ] {
        let drawing = scene(
            &scenario,
            &job.indicated(),
            units,
            SIZE,
            (SIZE.0, &Beside::default()),
        );
        let words: Vec<&str> = drawing.all_words().collect();
        for one in some {
            assert!(words.contains(&one), "{units:?}: {one} in {words:?}");
        }
    }
}
