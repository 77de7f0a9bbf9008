//! Which supply boat must bring what: on each gas's course of stock by day, the calls by which it would
//! fall below its minimum, the whole units that keep it above until the next call, and the day by which
//! they must be ordered.

use super::candidates::candidates;
use super::fit::{By, Size, fit};
use super::{Need, Refusal, Why};
use deepstay_scenario::{Calls, Supplier, Takes};

/// Length of a day, s.
const DAY_S: i64 = 86_400;
/// Most calls that are looked at.
const MOST_CALLS: usize = 400;

/// The course of a gas's stock without any boat.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    /// Moles left at the start and at the end of each day, in the middle of what may come.
    pub median_mol: Vec<f64>,
    /// The same at the quantile that the caller plans by.
    pub planned_mol: Vec<f64>,
    /// Minimum stock, mol, counted as those are.
    pub minimum_mol: f64,
}

impl Course {
    /// The day, counted from 1, at whose end the stock is first under its minimum: in the middle, and as
    /// planned. Nought stands for the start.
    pub fn below_minimum(&self) -> (Option<usize>, Option<usize>) {
        let first = |left: &[f64]| left.iter().position(|l| *l < self.minimum_mol);
        (first(&self.median_mol), first(&self.planned_mol))
    }
}

/// Units of one item on a boat.
#[derive(Clone, Debug, PartialEq)]
pub struct Cargo {
    /// Place in the list of needs.
    pub need: usize,
    /// Place in the supplier's offers.
    pub offer: usize,
    /// How many.
    pub count: u32,
    /// Mass of them full, kg.
    pub mass_kg: f64,
    /// Price of them.
    pub price: f64,
    /// Last second, from the job's start, at which they can be ordered; negative before the start.
    pub order_by_s: i64,
}

/// A call of the boat that brings something.
#[derive(Clone, Debug, PartialEq)]
pub struct Boat {
    /// Number of the call, from 0.
    pub call: usize,
    /// When it comes, s from the job's start.
    pub at_s: i64,
    /// What it brings.
    pub cargo: Vec<Cargo>,
}

impl Boat {
    /// Units on it.
    pub fn units(&self) -> u32 {
        self.cargo.iter().map(|c| c.count).sum()
    }

    /// Mass of them, kg.
    pub fn mass_kg(&self) -> f64 {
        self.cargo.iter().map(|c| c.mass_kg).sum()
    }

    /// Price of them.
    pub fn price(&self) -> f64 {
        self.cargo.iter().map(|c| c.price).sum()
    }

    /// The first of the last seconds at which its orders can be placed.
    pub fn order_by_s(&self) -> Option<i64> {
        self.cargo.iter().map(|c| c.order_by_s).min()
    }
}

/// A whole unit on a call, for moving from one boat to another.
#[derive(Clone, Copy)]
struct Place {
    need: usize,
    offer: usize,
    count: u32,
}

/// The boats that a job needs, and what cannot be had in time. `courses` go with `needs` one by one;
/// `earliest_order_s` is the first second at which an order can be placed (none: at any time before).
pub fn boats(
    needs: &[Need],
    courses: &[Course],
    supplier: &Supplier,
    earliest_order_s: Option<i64>,
    by: By,
) -> (Vec<Boat>, Vec<Refusal>) {
    let mut refused = Vec::new();
    let last_s = courses
        .iter()
        .map(|c| c.planned_mol.len())
        .max()
        .unwrap_or(0)
        .saturating_sub(1) as i64
        * DAY_S;
    let calls: Vec<i64> = supplier.boat.map_or(Vec::new(), |b| calls(&b, last_s));
    let mut bring: Vec<Vec<Place>> = vec![Vec::new(); calls.len()];
    for (i, (need, course)) in needs.iter().zip(courses).enumerate() {
        let mut received = 0.0;
        let short = |from_s: i64, to_s: i64, received: f64| {
            let days = course.planned_mol.iter().enumerate();
            let within = days.filter(|(d, _)| (from_s..to_s).contains(&(*d as i64 * DAY_S)));
            within
                .map(|(d, left)| (course.minimum_mol - left - received, d))
                .filter(|(m, _)| *m > 0.0)
                .max_by(|a, b| a.0.total_cmp(&b.0))
        };
        let (offers, sizes) = candidates(need, supplier);
        let mut from_s = 0;
        let mut failed = None;
        for k in 0..=calls.len() {
            // Between a call and the next, that call is the last that could have helped.
            let to_s = calls.get(k).copied().unwrap_or(i64::MAX);
            if let Some((lacking, _)) = short(from_s, to_s, received) {
                let first_day = course
                    .planned_mol
                    .iter()
                    .enumerate()
                    .filter(|(d, _)| *d as i64 * DAY_S >= from_s)
                    .find(|(_, l)| **l + received < course.minimum_mol)
                    .map_or(0, |(d, _)| d);
                let Some(call) = k.checked_sub(1) else {
                    failed = Some(Why::BeforeFirstBoat {
                        day: first_day,
                        first_call_s: calls.first().copied(),
                    });
                    break;
                };
                let in_time = |o: usize| {
                    earliest_order_s.is_none_or(|e| calls[call] - supplier.offers[o].lead_s >= e)
                };
                let kept: Vec<usize> = (0..offers.len()).filter(|&j| in_time(offers[j])).collect();
                let timely: Vec<Size> = kept.iter().map(|&j| sizes[j]).collect();
                let Some(found) = fit(lacking, &timely, by) else {
                    let lead_s = offers.iter().map(|&o| supplier.offers[o].lead_s).min();
                    failed = Some(match lead_s {
                        Some(lead_s) => Why::LeadTooLong {
                            day: first_day,
                            call_s: calls[call],
                            lead_s,
                        },
                        None => Why::NoOffer,
                    });
                    break;
                };
                for (&j, &count) in kept.iter().zip(&found.counts).filter(|(_, n)| **n > 0) {
                    received += sizes[j].usable_mol * f64::from(count);
                    bring[call].push(Place {
                        need: i,
                        offer: offers[j],
                        count,
                    });
                }
            }
            from_s = to_s;
        }
        if let Some(why) = failed {
            refused.push(Refusal { need: i, why });
        }
    }
    if let Some(takes) = supplier.boat.and_then(|b| b.takes) {
        spread(
            &mut bring,
            &calls,
            takes,
            supplier,
            earliest_order_s,
            &mut refused,
        );
    }
    let made = bring
        .into_iter()
        .zip(&calls)
        .enumerate()
        .filter(|(_, (b, _))| !b.is_empty());
    let boats = made.map(|(call, (places, &at_s))| Boat {
        call,
        at_s,
        cargo: places
            .into_iter()
            .map(|p| cargo(p, at_s, supplier))
            .collect(),
    });
    (boats.collect(), refused)
}

fn calls(boat: &Calls, last_s: i64) -> Vec<i64> {
    let mut at = Vec::new();
    let mut next = boat.first_s;
    while next <= last_s && at.len() < MOST_CALLS {
        at.push(next);
        next = next.saturating_add(boat.every_s.max(1));
    }
    at
}

fn cargo(place: Place, at_s: i64, supplier: &Supplier) -> Cargo {
    let offer = &supplier.offers[place.offer];
    Cargo {
        need: place.need,
        offer: place.offer,
        count: place.count,
        mass_kg: offer.mass_full_kg * f64::from(place.count),
        price: offer.price.each * f64::from(place.count),
        order_by_s: at_s - offer.lead_s,
    }
}

/// Brings forward, unit by unit from the last call back, what a boat has no room for.
fn spread(
    bring: &mut [Vec<Place>],
    calls: &[i64],
    takes: Takes,
    supplier: &Supplier,
    earliest_order_s: Option<i64>,
    refused: &mut Vec<Refusal>,
) {
    let load = |places: &[Place]| -> f64 {
        let of = |p: &Place| match takes {
            Takes::Units(_) => f64::from(p.count),
            Takes::MassKg(_) => f64::from(p.count) * supplier.offers[p.offer].mass_full_kg,
        };
        places.iter().map(of).sum()
    };
    let most = match takes {
        Takes::Units(n) => f64::from(n),
        Takes::MassKg(kg) => kg,
    };
    for call in (0..bring.len()).rev() {
        while load(&bring[call]) > most * (1.0 + 1e-9) {
            let earlier = call.checked_sub(1).filter(|&c| {
                bring[call].last().is_some_and(|p| {
                    earliest_order_s.is_none_or(|e| calls[c] - supplier.offers[p.offer].lead_s >= e)
                })
            });
            let Some(last) = bring[call].last_mut() else {
                break;
            };
            let moved = Place { count: 1, ..*last };
            last.count -= 1;
            if last.count == 0 {
                bring[call].pop();
            }
            match earlier {
                Some(c) => add(&mut bring[c], moved),
                None => {
                    let refusal = Refusal {
                        need: moved.need,
                        why: Why::BoatFull {
                            call_s: calls[call],
                        },
                    };
                    if !refused.contains(&refusal) {
                        refused.push(refusal);
                    }
                }
            }
        }
    }
}

fn add(places: &mut Vec<Place>, one: Place) {
    match places
        .iter_mut()
        .find(|p| p.need == one.need && p.offer == one.offer)
    {
        Some(same) => same.count += one.count,
        None => places.push(one),
    }
}
