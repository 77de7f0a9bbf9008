//! How many whole units cover an amount, of several sizes at once: an exact search, parting the sizes
//! one after the other and leaving a branch where even its best price cannot beat what is found.

/// What the search goes by first; the other, then mass, break ties.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum By {
    /// Lowest price.
    #[default]
    Price,
    /// Fewest units.
    Units,
}

/// A size of unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Size {
    /// What it yields, mol; more than nothing.
    pub usable_mol: f64,
    /// What it costs.
    pub price: f64,
    /// What it weighs full, kg.
    pub mass_kg: f64,
}

/// What was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// Units of each size.
    pub counts: Vec<u32>,
    /// Whether nothing better can be: false where the search was left after [`MOST_STEPS`].
    pub proven: bool,
}

/// Steps after which a search is left with the best it has.
pub const MOST_STEPS: u32 = 2_000_000;
/// Most units of one size.
const MOST_UNITS: f64 = 1e6;
/// Share of the amount that rounding may leave uncovered.
const SLACK: f64 = 1e-9;

/// The best counts of the sizes that together yield an amount; none where there is no size.
pub fn fit(needed_mol: f64, sizes: &[Size], by: By) -> Option<Fit> {
    if sizes.is_empty() || sizes.iter().any(|s| s.usable_mol <= 0.0) {
        return None;
    }
    if needed_mol <= 0.0 {
        return Some(Fit {
            counts: vec![0; sizes.len()],
            proven: true,
        });
    }
    let mut order: Vec<usize> = (0..sizes.len()).collect();
    order.sort_by(|&a, &b| {
        sizes[b]
            .usable_mol
            .total_cmp(&sizes[a].usable_mol)
            .then(a.cmp(&b))
    });
    let first = |s: &Size| if by == By::Price { s.price } else { 1.0 };
    let rates: Vec<f64> = order
        .iter()
        .map(|&i| first(&sizes[i]) / sizes[i].usable_mol)
        .collect();
    let mut search = Search {
        sizes,
        order: &order,
        // The best rate of the sizes from each place on.
        best_rate: (0..order.len())
            .map(|k| rates[k..].iter().copied().fold(f64::INFINITY, f64::min))
            .collect(),
        by,
        slack: needed_mol * SLACK,
        counts: vec![0; sizes.len()],
        best: None,
        steps: 0,
    };
    search.part(0, needed_mol);
    let proven = search.steps < MOST_STEPS;
    search.best.map(|(_, counts)| Fit { counts, proven })
}

/// What a choice costs, in the order in which it counts.
type Cost = [f64; 3];

struct Search<'a> {
    sizes: &'a [Size],
    order: &'a [usize],
    best_rate: Vec<f64>,
    by: By,
    slack: f64,
    counts: Vec<u32>,
    best: Option<(Cost, Vec<u32>)>,
    steps: u32,
}

impl Search<'_> {
    fn cost(&self) -> Cost {
        let sum = |of: fn(&Size) -> f64| {
            self.sizes
                .iter()
                .zip(&self.counts)
                .map(|(s, n)| of(s) * f64::from(*n))
                .sum()
        };
        let (price, units, mass): (f64, f64, f64) =
            (sum(|s| s.price), sum(|_| 1.0), sum(|s| s.mass_kg));
        match self.by {
            By::Price => [price, units, mass],
            By::Units => [units, price, mass],
        }
    }

    fn better(&self, cost: &Cost) -> bool {
        let Some((best, _)) = &self.best else {
            return true;
        };
        let different = cost
            .iter()
            .zip(best)
            .find(|(a, b)| (*a - *b).abs() > 1e-9 * b.abs().max(1.0));
        different.is_some_and(|(a, b)| a < b)
    }

    fn part(&mut self, place: usize, left_mol: f64) {
        self.steps = self.steps.saturating_add(1);
        let whole =
            |mol: f64, size: &Size| (mol / size.usable_mol).ceil().clamp(0.0, MOST_UNITS) as u32;
        let i = self.order[place];
        let most = whole(left_mol - self.slack, &self.sizes[i]);
        if place + 1 == self.order.len() || most == 0 {
            self.counts[i] = most;
            let cost = self.cost();
            if self.better(&cost) {
                self.best = Some((cost, self.counts.clone()));
            }
            self.counts[i] = 0;
            return;
        }
        for n in (0..=most).rev() {
            self.counts[i] = n;
            let left = left_mol - f64::from(n) * self.sizes[i].usable_mol;
            let least = self.cost()[0] + left.max(0.0) * self.best_rate[place + 1];
            let hopeless = self
                .best
                .as_ref()
                .is_some_and(|(best, _)| least > best[0] * (1.0 + 1e-9));
            if !hopeless && self.steps < MOST_STEPS {
                self.part(place + 1, left);
            }
        }
        self.counts[i] = 0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn size(usable_mol: f64, price: f64, mass_kg: f64) -> Size {
        Size {
            usable_mol,
            price,
            mass_kg,
        }
    }

    #[test]
    fn quads_and_single_bottles_together() {
        // 2 quads and 1 bottle cover 21; 3 quads cost more.
        let sizes = [size(10.0, 100.0, 5.0), size(1.0, 12.0, 1.0)];
        assert_eq!(
            fit(21.0, &sizes, By::Price).map(|f| f.counts),
            Some(vec![2, 1])
        );
        assert_eq!(
            fit(21.0, &sizes, By::Units).map(|f| f.counts),
            Some(vec![2, 1])
        );
        // 29: nine bottles at 108 against one quad more.
        assert_eq!(
            fit(29.0, &sizes, By::Price).map(|f| f.counts),
            Some(vec![3, 0])
        );
    }

    #[test]
    fn an_exact_cover_needs_no_unit_more_and_ties_go_by_mass() {
        let sizes = [size(0.1, 1.0, 1.0)];
        assert_eq!(
            fit(0.1 + 0.2, &sizes, By::Price).map(|f| f.counts),
            Some(vec![3])
        );
        let twins = [size(5.0, 10.0, 9.0), size(5.0, 10.0, 8.0)];
        assert_eq!(
            fit(9.0, &twins, By::Price).map(|f| f.counts),
            Some(vec![0, 2])
        );
    }

    #[test]
    fn nothing_is_covered_by_nothing_and_no_size_covers_none() {
        assert_eq!(
            fit(0.0, &[size(1.0, 1.0, 1.0)], By::Price).map(|f| f.counts),
            Some(vec![0])
        );
        assert_eq!(fit(1.0, &[], By::Price), None);
        assert_eq!(fit(1.0, &[size(0.0, 1.0, 1.0)], By::Price), None);
    }

    #[test]
    fn free_units_do_not_send_it_astray() {
        let sizes = [size(7.0, 0.0, 2.0), size(3.0, 0.0, 1.0)];
        let found = fit(1000.0, &sizes, By::Price).expect("sizes");
        assert!(found.proven);
        assert_eq!(found.counts.iter().sum::<u32>(), 143);
    }

    proptest! {
        /// Against every count tried in turn.
        #[test]
        fn as_good_as_trying_all(
            needed in 0.5..40.0_f64,
            sizes in prop::collection::vec((1.0..9.0_f64, 1.0..20.0_f64, 1.0..9.0_f64), 1..4),
        ) {
            let sizes: Vec<Size> = sizes.into_iter().map(|(u, p, m)| size(u, p, m)).collect();
            for by in [By::Price, By::Units] {
                let found = fit(needed, &sizes, by).expect("sizes");
                let value = |counts: &[u32]| {
                    let of = |f: fn(&Size) -> f64| sizes.iter().zip(counts).map(|(s, n)| f(s) * f64::from(*n)).sum::<f64>();
                    (of(|s| s.usable_mol), if by == By::Price { of(|s| s.price) } else { of(|_| 1.0) })
                };
                let (covered, cost) = value(&found.counts);
                prop_assert!(found.proven && covered >= needed * (1.0 - 1e-8));
                let mut least = f64::INFINITY;
                let mut counts = vec![0u32; sizes.len()];
                'all: loop {
                    let (covers, costs) = value(&counts);
                    if covers >= needed { least = least.min(costs); }
                    for c in &mut counts {
                        if *c < 41 { *c += 1; continue 'all; }
                        *c = 0;
                    }
                    break;
                }
                prop_assert!(cost <= least * (1.0 + 1e-9), "{cost} {least}");
            }
        }
    }
}
