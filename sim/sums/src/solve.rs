//! Backwards: what value of one input makes a sum what it should be. The range in which the value can lie is looked
//! through, and each crossing closed in on by halving.

/// A value found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Root {
    /// The value.
    pub at: f64,
    /// What the sum is on both sides, where it steps over what is wanted and never is it.
    pub step: Option<(f64, f64)>,
}

/// What was found.
#[derive(Clone, Debug, PartialEq)]
pub enum Found {
    /// The values that give it, in order.
    Roots(Vec<Root>),
    /// None does; the least and the most that the sum can be.
    Beyond(f64, f64),
    /// Every value from the one to the other does.
    Any(f64, f64),
    /// The sum has no value anywhere in the range.
    Nowhere,
}

/// How near a sum must come to what is wanted, of its size.
const NEAR: f64 = 1e-9;
/// Points looked at: by their size, and evenly.
const BY_SIZE: i32 = 240;
const EVENLY: i32 = 240;

fn points(low: f64, high: f64) -> Vec<f64> {
    let mut all = vec![low, high];
    for i in 1..EVENLY {
        all.push(low + (high - low) * f64::from(i) / f64::from(EVENLY));
    }
    for i in 0..BY_SIZE {
        all.push(low + (high - low) * libm::pow(10.0, -9.0 * f64::from(i) / f64::from(BY_SIZE)));
    }
    all.sort_by(f64::total_cmp);
    all.dedup();
    all
}

/// Looks for values in a range at which a function is what is wanted. Where the function has no value, it is passed over.
pub fn solve(f: impl Fn(f64) -> Option<f64>, (low, high): (f64, f64), wanted: f64) -> Found {
    let mut seen: Vec<(f64, f64)> = Vec::new();
    let mut last: Option<(f64, Option<f64>)> = None;
    let mut all: Vec<Option<(f64, f64)>> = Vec::new();
    for x in points(low, high) {
        let y = f(x).filter(|y| y.is_finite());
        if let Some((before, was)) = last
            && was.is_some() != y.is_some()
        {
            // The edge of where there is a value, on the side that has one.
            let edge = edge(&f, before, x, was.is_some());
            all.push(edge);
        }
        all.push(y.map(|y| (x, y)));
        last = Some((x, y));
    }
    seen.extend(all.iter().flatten());
    let (Some(least), Some(most)) = (
        seen.iter().map(|p| p.1).min_by(f64::total_cmp),
        seen.iter().map(|p| p.1).max_by(f64::total_cmp),
    ) else {
        return Found::Nowhere;
    };
    let same = |y: f64| (y - wanted).abs() <= NEAR * wanted.abs().max(1e-12);
    if least == most {
        return if same(least) {
            Found::Any(low, high)
        } else {
            Found::Beyond(least, most)
        };
    }
    let flat = seen
        .windows(2)
        .find(|w| same(w[0].1) && w[0].1 == w[1].1)
        .map(|w| w[0].1);
    if let Some(y) = flat {
        let mut of_it = seen.iter().filter(|p| p.1 == y).map(|p| p.0);
        let first = of_it.next().unwrap_or(low);
        return Found::Any(first, of_it.next_back().unwrap_or(high));
    }
    let mut roots: Vec<Root> = Vec::new();
    let mut add = |root: Root| {
        let near = |r: &Root| (r.at - root.at).abs() <= 1e-7 * root.at.abs().max(1e-12);
        if !roots.iter().any(near) {
            roots.push(root);
        }
    };
    for pair in all.windows(2) {
        let [Some((a, fa)), Some((b, fb))] = pair else {
            if let [Some((a, fa)), None] = pair
                && *fa == wanted
            {
                add(Root { at: *a, step: None });
            }
            continue;
        };
        if *fa == wanted {
            add(Root { at: *a, step: None });
        } else if (fa - wanted) * (fb - wanted) < 0.0
            && let Some(root) = close_in(&f, (*a, *fa), (*b, *fb), wanted)
        {
            add(root);
        }
    }
    if let Some(Some((x, y))) = all.last()
        && *y == wanted
    {
        add(Root { at: *x, step: None });
    }
    if roots.is_empty() {
        // At an end of what it can be, but for the last digits.
        let end = seen.iter().find(|p| same(p.1));
        if let Some((x, _)) = end {
            return Found::Roots(vec![Root { at: *x, step: None }]);
        }
        Found::Beyond(least, most)
    } else {
        Found::Roots(roots)
    }
}

fn edge(
    f: &impl Fn(f64) -> Option<f64>,
    mut a: f64,
    mut b: f64,
    a_has: bool,
) -> Option<(f64, f64)> {
    let has = |x: f64| f(x).is_some_and(f64::is_finite);
    for _ in 0..200 {
        let middle = 0.5 * (a + b);
        if middle <= a || middle >= b {
            break;
        }
        if has(middle) == a_has {
            a = middle;
        } else {
            b = middle;
        }
    }
    let x = if a_has { a } else { b };
    f(x).filter(|y| y.is_finite()).map(|y| (x, y))
}

fn close_in(
    f: &impl Fn(f64) -> Option<f64>,
    (mut a, mut fa): (f64, f64),
    (mut b, mut fb): (f64, f64),
    wanted: f64,
) -> Option<Root> {
    for _ in 0..2000 {
        let middle = 0.5 * (a + b);
        if middle <= a || middle >= b {
            break;
        }
        let fm = f(middle).filter(|y| y.is_finite())?;
        if (fm - wanted) * (fa - wanted) > 0.0 {
            (a, fa) = (middle, fm);
        } else {
            (b, fb) = (middle, fm);
        }
    }
    let at = if (fa - wanted).abs() < (fb - wanted).abs() {
        a
    } else {
        b
    };
    let near = (fa - wanted).abs().min((fb - wanted).abs()) <= 1e-7 * wanted.abs().max(1e-9);
    Some(Root {
        at,
        step: (!near).then_some((fa, fb)),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn only(found: Found) -> Root {
        match found {
            Found::Roots(roots) if roots.len() == 1 => roots[0],
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn a_crossing_is_closed_in_on_to_the_last_digits() {
        let root = only(solve(|x| Some(x * x), (0.0, 1e5), 2.0));
        assert!((root.at - std::f64::consts::SQRT_2).abs() < 1e-12 && root.step.is_none());
        // Near the foot of a long range as well as near its head.
        for wanted in [1e-4, 1.0, 99_999.0] {
            let root = only(solve(|x| Some(3.0 * x), (0.0, 1e5), 3.0 * wanted));
            assert!((root.at / wanted - 1.0).abs() < 1e-9, "{wanted}");
        }
    }

    #[test]
    fn where_there_is_no_value_nothing_is_looked_for() {
        let above_seven = |x: f64| (x > 7.0).then(|| 1.0 / x);
        let root = only(solve(above_seven, (0.0, 100.0), 0.1));
        assert!((root.at - 10.0).abs() < 1e-9);
        // Right at the edge.
        let root = only(solve(above_seven, (0.0, 100.0), 1.0 / 7.0000001));
        assert!((root.at - 7.0000001).abs() < 1e-9);
        assert!(matches!(
            solve(above_seven, (0.0, 100.0), 0.2),
            Found::Beyond(..)
        ));
        assert_eq!(solve(|_| None, (0.0, 1.0), 0.5), Found::Nowhere);
    }

    #[test]
    fn a_step_is_told_and_a_flat_sum_has_no_answer() {
        let root = only(solve(|x| Some(x.ceil()), (0.0, 10.0), 3.5));
        assert_eq!(root.step, Some((3.0, 4.0)));
        assert!((root.at - 3.0).abs() < 1e-12);
        assert_eq!(
            solve(|_| Some(4.0), (0.0, 10.0), 4.0),
            Found::Any(0.0, 10.0)
        );
        assert_eq!(
            solve(|x| Some((x - 5.0).max(0.0)), (0.0, 10.0), 0.0),
            Found::Any(0.0, 5.0)
        );
        let two = solve(|x| Some((x - 5.0) * (x - 5.0)), (0.0, 10.0), 4.0);
        assert!(matches!(two, Found::Roots(roots) if roots.len() == 2));
    }
}
