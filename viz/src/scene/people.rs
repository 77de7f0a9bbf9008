//! People, by initials: in their bunks, sitting, about, at exercise, or at work in the water, as they were told or went to
//! be; with a mask on where they said they breathe from one. Looking back, how one truly is stands beside him.

use crate::drawing::{Anchor, Drawing, Ink, Type, through};
use deepstay::plant::Activity;
use deepstay::record::{BreathingPath, Fitness};
use deepstay::words::Words;
use kurbo::{BezPath, Circle, Point, Rect};

/// Room that somebody sitting or standing takes with his initials, px.
const SEAT: f64 = 25.0;
/// Room that a table takes between two who sit at it, px.
const TABLE: f64 = 8.0;
/// Height of a vessel in which somebody stands with his initials over him, px.
const HEADROOM: f64 = 70.0;
/// Length of a bunk, px; beside it stand the initials.
const BUNK: f64 = 34.0;
/// Height of a bunk over the floor, and of the one over it, px.
const TIERS: [f64; 2] = [4.0, 27.0];

/// Somebody in the picture.
#[derive(Clone, Debug)]
pub struct Person {
    /// His initials.
    pub initials: String,
    /// What he said he breathes from.
    pub path: BreathingPath,
    /// What he was told to do.
    pub does: Activity,
    /// How he truly is, where the truth is shown and he is not well.
    pub truly: Option<Fitness>,
}

impl Person {
    /// His initials, and how he truly is where that is shown.
    pub fn words(&self) -> String {
        match self.truly {
            Some(how) => format!("{} {}", self.initials, how.words()),
            None => self.initials.clone(),
        }
    }

    /// He lies: in his bunk; or where he fell, in a picture that shows it.
    fn lies(&self) -> bool {
        self.does == Activity::Sleep || self.truly >= Some(Fitness::Out)
    }

    fn wide(&self) -> f64 {
        let initials = Type::TEXT.strong().width(&self.words());
        match self.lies() {
            true => BUNK + initials + 10.0,
            false => SEAT.max(initials + 3.0),
        }
    }
}

/// Who is in a vessel: bunks two over each other, the others beside them; by initials alone where they are too many for
/// that; and how many they are where they are too many for that too.
pub fn inside(drawing: &mut Drawing, vessel: Rect, floor_y: f64, people: &[Person]) {
    if people.is_empty() {
        return;
    }
    let (left, room) = (vessel.x0 + 12.0, vessel.width() - 24.0);
    let (lying, up): (Vec<&Person>, Vec<&Person>) = people.iter().partition(|p| p.lies());
    let stacks: Vec<(&[&Person], f64)> = lying
        .chunks(2)
        .map(|stack| (stack, stack.iter().map(|p| p.wide()).fold(0.0, f64::max)))
        .collect();
    let bunks: f64 = stacks.iter().map(|(_, wide)| wide).sum();
    let upright: f64 = up.iter().map(|p| p.wide()).sum();
    // Tables only where there is room for them too.
    let tables = TABLE * (up.len() / 2) as f64;
    let set = bunks + upright + tables <= room;
    let high = vessel.height() >= HEADROOM;
    let (table_wide, tables) = if set { (TABLE, tables) } else { (0.0, 0.0) };
    if high && bunks + upright + tables <= room {
        let mut x = left;
        for (stack, wide) in stacks {
            for (person, over) in stack.iter().zip(TIERS) {
                bunk(drawing, (x, floor_y - over), person);
            }
            x += wide;
        }
        // What room is left is shared.
        let between = (room - bunks - upright - tables) / up.len().max(1) as f64;
        for pair in up.chunks(2) {
            let feet: Vec<f64> = pair
                .iter()
                .map(|person| {
                    let wide = person.wide() + between;
                    x += wide;
                    x - 0.5 * wide
                })
                .collect();
            let sits = |p: &&Person| matches!(p.does, Activity::Rest | Activity::Bellman);
            if let ([a, b], true) = (feet.as_slice(), set && pair.iter().all(sits)) {
                table(drawing, (0.5 * (a + b), floor_y));
            }
            for (k, (person, at)) in pair.iter().zip(&feet).enumerate() {
                upright_at(drawing, (*at, floor_y), [1.0, -1.0][k], person);
            }
            x += table_wide;
        }
        return;
    }
    let (set, middle) = (Type::TEXT.strong(), vessel.center());
    let rows = people.chunks(people.len().div_ceil(2));
    let words: Vec<String> = rows
        .map(|row| row.iter().map(Person::words).collect::<Vec<_>>().join(" "))
        .collect();
    if words.iter().all(|row| set.width(row) <= room) {
        for (row, words) in words.into_iter().enumerate() {
            let at = (middle.x, middle.y - 3.0 + 19.0 * row as f64);
            drawing.words(at, words, set, Anchor::Middle, Ink::Line);
        }
    } else {
        let unwell = people.iter().filter(|p| p.truly.is_some()).count();
        let forms = match unwell {
            0 => [format!("{} inside", people.len()), people.len().to_string()],
            n => [
                format!("{} inside, {n} not well", people.len()),
                format!("{n} not well"),
            ],
        };
        let fits = |words: &&String| set.width(words) <= vessel.width() - 8.0;
        let words = forms.iter().find(fits).unwrap_or(&forms[1]);
        let at = (middle.x, middle.y + 5.0);
        drawing.words(at, words.clone(), set, Anchor::Middle, Ink::Line);
    }
}

/// Somebody lying on a bunk, his head to the left, his initials beside it.
fn bunk(drawing: &mut Drawing, (x, y): (f64, f64), person: &Person) {
    let frame = through(&[(x, y), (x + BUNK, y)]);
    drawing.line(&frame, Ink::Wall, 2.4);
    let body = through(&[(x + 13.0, y - 4.6), (x + BUNK - 3.0, y - 4.6)]);
    drawing.line(&body, Ink::Line, 5.6);
    head(drawing, Point::new(x + 6.0, y - 5.6), 1.0, person.path);
    let at = (x + BUNK + 4.0, y - 0.5);
    let strong = Type::TEXT.strong();
    drawing.words(at, person.words(), strong, Anchor::Start, Ink::Line);
}

fn table(drawing: &mut Drawing, (x, y): (f64, f64)) {
    let top = through(&[(x - 6.0, y - 13.0), (x + 6.0, y - 13.0)]);
    drawing.line(&top, Ink::Faint, 2.4);
    drawing.line(&through(&[(x, y - 13.0), (x, y)]), Ink::Faint, 2.4);
}

/// Somebody with his feet on a floor, facing right (1) or left (-1), his initials over him.
fn upright_at(drawing: &mut Drawing, (x, y): (f64, f64), facing: f64, person: &Person) {
    let at = |dx: f64, dy: f64| (x + facing * dx, y - dy);
    let head_at = match person.does {
        Activity::Chores | Activity::Exercise => {
            for leg in [-4.0, 4.0] {
                drawing.line(&through(&[at(0.0, 11.0), at(leg, 0.5)]), Ink::Line, 3.2);
            }
            drawing.line(&through(&[at(0.0, 20.0), at(0.0, 10.0)]), Ink::Line, 4.6);
            let hands = match person.does {
                Activity::Exercise => [at(8.0, 24.0), at(-8.0, 24.0)],
                _ => [at(7.0, 13.0), at(-5.0, 12.0)],
            };
            for hand in hands {
                drawing.line(&through(&[at(0.0, 18.5), hand]), Ink::Line, 2.6);
            }
            at(0.0, 26.5)
        }
        _ => {
            let corners = [
                (-4.0, 17.0),
                (-4.0, 9.0),
                (4.0, 8.0),
                (4.0, 1.0),
                (7.0, 1.0),
            ];
            let body: Vec<(f64, f64)> = corners.into_iter().map(|(dx, dy)| at(dx, dy)).collect();
            drawing.line(&through(&body), Ink::Line, 4.2);
            at(-4.0, 24.0)
        }
    };
    head(
        drawing,
        Point::new(head_at.0, head_at.1),
        facing,
        person.path,
    );
    let strong = Type::TEXT.strong();
    let over = (x, y - 33.0);
    drawing.words(over, person.words(), strong, Anchor::Middle, Ink::Line);
}

/// Somebody at work in the water, facing right (1) or left (-1); his initials behind him, with what he breathes from where
/// that is not his umbilical's gas.
pub fn working(drawing: &mut Drawing, feet: (f64, f64), facing: f64, person: &Person) {
    let (x, y) = feet;
    for leg in [[(x, y - 15.0), (x - 5.0, y)], [(x, y - 15.0), (x + 6.0, y)]] {
        drawing.line(&through(&leg), Ink::Line, 3.6);
    }
    drawing.line(&through(&[(x, y - 26.0), (x, y - 15.0)]), Ink::Line, 5.2);
    let hand = match person.does {
        Activity::WaterRest => (x + 5.0 * facing, y - 13.0),
        _ => (x + 11.0 * facing, y - 20.0),
    };
    drawing.line(&through(&[(x, y - 24.0), hand]), Ink::Line, 3.2);
    drawing.shape(&Circle::new((x, y - 33.0), 6.6), Ink::Light, Ink::Line, 2.2);
    let words = match person.path {
        BreathingPath::BailOut => {
            let bottle = Rect::new(
                x - 7.0 * facing - 3.0,
                y - 28.0,
                x - 7.0 * facing + 3.0,
                y - 14.0,
            );
            drawing.shape(&bottle, Ink::Light, Ink::Line, 1.4);
            format!("{} on bail-out", person.words())
        }
        BreathingPath::Secondary => format!("{} on secondary", person.words()),
        BreathingPath::Ambient | BreathingPath::Main | BreathingPath::Bibs => person.words(),
    };
    let anchor = if facing > 0.0 {
        Anchor::End
    } else {
        Anchor::Start
    };
    // Who he is comes first where there is no room for what he breathes from.
    let (at, set) = ((x - 13.0 * facing, y - 30.0), Type::TEXT.strong());
    let free = |words: &String| {
        let left = anchor.left(at.0, set.width(words));
        drawing.is_free((left, at.1), words, set)
    };
    let words = Some(words).filter(free).unwrap_or(person.words());
    drawing.words(at, words, set, anchor, Ink::Line);
}

fn head(drawing: &mut Drawing, at: Point, facing: f64, path: BreathingPath) {
    drawing.fill(&Circle::new(at, 4.8), Ink::Line);
    if path == BreathingPath::Bibs {
        let mask = Circle::new((at.x + 4.2 * facing, at.y + 1.6), 2.8);
        drawing.shape(&mask, Ink::Light, Ink::Line, 1.2);
        let hose = [
            (at.x + 6.4 * facing, at.y + 2.6),
            (at.x + 9.0 * facing, at.y + 9.0),
        ];
        let mut tube = BezPath::new();
        tube.move_to(hose[0]);
        tube.line_to(hose[1]);
        drawing.line(&tube, Ink::Faint, 1.6);
    }
}
