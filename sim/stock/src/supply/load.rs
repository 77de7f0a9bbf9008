//! The load: whole units of each gas that cover demand and reserve, why these, what they weigh and cost,
//! how they are lifted and drawn, and what cannot be had.

use super::boats::{Boat, Course, boats};
use super::candidates::candidates;
use super::drawing::{Boosted, Decanted, Standing, boosted, decant};
use super::fit::{By, Size, fit};
use super::{Need, Refusal, Usable, Why, mixture, usable};
use deepstay_scenario::Supplier;

/// Units of one item for one gas.
#[derive(Clone, Debug, PartialEq)]
pub struct Pick {
    /// Place in the supplier's offers.
    pub offer: usize,
    /// How many.
    pub count: u32,
    /// What one yields.
    pub usable: Usable,
    /// One at its heel, topped from a full one, where there are two.
    pub decant: Option<Decanted>,
    /// What the booster gets out of their heels, where there is one.
    pub boosted: Option<Boosted>,
}

/// What an item alone would have come to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Alone {
    /// Place in the supplier's offers.
    pub offer: usize,
    /// Units needed of it.
    pub count: u32,
    /// Their price.
    pub price: f64,
    /// Their mass full, kg.
    pub mass_kg: f64,
}

/// The units of one gas.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadLine {
    /// Place in the list of needs.
    pub need: usize,
    /// What is loaded, the largest units first.
    pub picks: Vec<Pick>,
    /// Every item that serves, by itself, in the list's order.
    pub alone: Vec<Alone>,
    /// What the choice went by.
    pub by: By,
    /// Whether no cheaper (or no fewer) can be.
    pub proven: bool,
}

impl LoadLine {
    /// What can be drawn of all units, mol.
    pub fn usable_mol(&self) -> f64 {
        self.picks
            .iter()
            .map(|p| p.usable.real_mol * f64::from(p.count))
            .sum()
    }

    /// Units.
    pub fn units(&self) -> u32 {
        self.picks.iter().map(|p| p.count).sum()
    }

    /// Price in the supplier's currency.
    pub fn price(&self, supplier: &Supplier) -> f64 {
        self.picks
            .iter()
            .map(|p| supplier.offers[p.offer].price.each * f64::from(p.count))
            .sum()
    }

    /// Mass full, kg.
    pub fn mass_kg(&self, supplier: &Supplier) -> f64 {
        self.picks
            .iter()
            .map(|p| supplier.offers[p.offer].mass_full_kg * f64::from(p.count))
            .sum()
    }

    /// The cheapest of the items that are not taken, by itself.
    pub fn next_best(&self) -> Option<&Alone> {
        let others = self
            .alone
            .iter()
            .filter(|a| !self.picks.iter().any(|p| p.offer == a.offer));
        others.min_by(|a, b| a.price.total_cmp(&b.price).then(a.offer.cmp(&b.offer)))
    }
}

/// An item on the mobilisation list: all its units, for whichever gas.
#[derive(Clone, Debug, PartialEq)]
pub struct Mobilised {
    /// Name on the supplier's list.
    pub name: String,
    /// How many.
    pub count: u32,
    /// Mass full, kg.
    pub full_kg: f64,
    /// Mass empty, kg.
    pub empty_kg: f64,
    /// Lifts with the crane.
    pub lifts: u32,
    /// Price.
    pub price: f64,
    /// Last second at which it can be ordered for the start; negative.
    pub order_by_s: i64,
    /// Where price and masses are from.
    pub sources: (String, String),
}

/// Everything to load and to send for.
#[derive(Clone, Debug, PartialEq)]
pub struct Load {
    /// The units of each gas, in the order of the needs; a gas that is refused has none.
    pub lines: Vec<LoadLine>,
    /// The mobilisation list: gas, then absorbent.
    pub mobilisation: Vec<Mobilised>,
    /// Price of all on it.
    pub money: f64,
    /// Boats after the start.
    pub boats: Vec<Boat>,
    /// What cannot be had, and why.
    pub refused: Vec<Refusal>,
}

impl Load {
    /// Mass of all loaded, full, kg.
    pub fn mass_kg(&self) -> f64 {
        self.mobilisation.iter().map(|m| m.full_kg).sum()
    }
}

/// What the load is worked out under.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Terms {
    /// What the choice of units goes by.
    pub by: By,
    /// Absorbent that the job needs, kg.
    pub absorbent_kg: f64,
    /// First second at which an order can be placed, from the job's start; none: as early as needed.
    pub earliest_order_s: Option<i64>,
}

/// What a day without reclaim costs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LostReclaim {
    /// Gas lost in the day, mol.
    pub mol: f64,
    /// Units that it empties, of the item below.
    pub units: f64,
    /// Place in the supplier's offers of the item with the lowest price for its usable gas.
    pub offer: usize,
    /// Price of that gas.
    pub price: f64,
}

/// The load for needs from a supplier's list, and the boats after it. `courses` go with `needs` one by
/// one; without them no boat is planned.
pub fn load(needs: &[Need], courses: &[Course], supplier: &Supplier, terms: &Terms) -> Load {
    let (mut lines, mut refused) = (Vec::new(), Vec::new());
    for (i, need) in needs.iter().enumerate() {
        match line(i, need, supplier, terms.by) {
            Ok(line) => lines.push(line),
            Err(why) => refused.push(Refusal { need: i, why }),
        }
    }
    let mobilisation = mobilisation(&lines, needs, supplier, terms.absorbent_kg);
    if terms.absorbent_kg > 0.0 && supplier.absorbent.is_none() {
        refused.push(Refusal {
            need: needs.len(),
            why: Why::NoAbsorbent,
        });
    }
    let (boats, late) = boats(needs, courses, supplier, terms.earliest_order_s, terms.by);
    refused.extend(late.into_iter().filter(|r| r.why != Why::NoOffer));
    let money = mobilisation.iter().map(|m| m.price).sum();
    Load {
        lines,
        mobilisation,
        money,
        boats,
        refused,
    }
}

fn line(i: usize, need: &Need, supplier: &Supplier, by: By) -> Result<LoadLine, Why> {
    let (offers, sizes) = candidates(need, supplier);
    let found = fit(need.needed_mol(), &sizes, by).ok_or_else(|| {
        let serving = supplier
            .offers
            .iter()
            .filter(|o| o.serves(need.gas.duty, &need.mix));
        let best = serving.map(|o| o.fill_gauge_pa).max_by(f64::total_cmp);
        best.map_or(Why::NoOffer, |fill_gauge_pa| Why::HeelAboveFill {
            fill_gauge_pa,
            heel_gauge_pa: need.heel_gauge_pa(),
        })
    })?;
    let alone = offers.iter().zip(&sizes).map(|(&offer, size)| {
        let count = fit(need.needed_mol(), &[*size], by).map_or(0, |f| f.counts[0]);
        Alone {
            offer,
            count,
            price: size.price * f64::from(count),
            mass_kg: size.mass_kg * f64::from(count),
        }
    });
    let taken = offers.iter().zip(&found.counts).filter(|(_, n)| **n > 0);
    let mut picks: Vec<Pick> = taken
        .map(|(&o, &count)| pick(o, count, need, supplier))
        .collect();
    picks.sort_by(|a, b| {
        b.usable
            .real_mol
            .total_cmp(&a.usable.real_mol)
            .then(a.offer.cmp(&b.offer))
    });
    Ok(LoadLine {
        need: i,
        picks,
        alone: alone.collect(),
        by,
        proven: found.proven,
    })
}

fn pick(offer: usize, count: u32, need: &Need, supplier: &Supplier) -> Pick {
    let item = &supplier.offers[offer];
    let (mix, yields) = (mixture(item, need), usable(item, need));
    let standing = |gauge_pa: f64, t_k: f64| Standing {
        volume_m3: item.volume_m3(),
        gauge_pa,
        t_k,
    };
    let full = standing(yields.fill_gauge_pa, item.filled_t_k);
    let heel = standing(yields.heel_gauge_pa, need.bank_t_k);
    let decant = (count > 1).then(|| decant(&mix, &full, &heel, need.surface_pa));
    let boosted = supplier
        .booster
        .as_ref()
        .and_then(|b| boosted(&mix, &heel, count, yields.fill_gauge_pa, b, need.surface_pa));
    Pick {
        offer,
        count,
        usable: yields,
        decant,
        boosted,
    }
}

fn mobilisation(
    lines: &[LoadLine],
    needs: &[Need],
    supplier: &Supplier,
    absorbent_kg: f64,
) -> Vec<Mobilised> {
    let mut list: Vec<Mobilised> = Vec::new();
    for (i, offer) in supplier.offers.iter().enumerate() {
        for line in lines {
            for pick in line.picks.iter().filter(|p| p.offer == i && p.count > 0) {
                let name = name_to_order(offer, needs.get(line.need));
                let count = pick.count;
                let (full_kg, empty_kg) = (
                    offer.mass_full_kg * f64::from(count),
                    offer.mass_empty_kg * f64::from(count),
                );
                let price = offer.price.each * f64::from(count);
                match list.iter_mut().find(|m| m.name == name) {
                    Some(row) => {
                        row.count += count;
                        row.full_kg += full_kg;
                        row.empty_kg += empty_kg;
                        row.price += price;
                        row.lifts = row.count.div_ceil(offer.units_a_lift());
                    }
                    None => list.push(Mobilised {
                        name,
                        count,
                        full_kg,
                        empty_kg,
                        lifts: count.div_ceil(offer.units_a_lift()),
                        price,
                        order_by_s: -offer.lead_s,
                        sources: (offer.price.source.clone(), offer.mass_source.clone()),
                    }),
                }
            }
        }
    }
    if let Some(drum) = supplier.absorbent.as_ref().filter(|_| absorbent_kg > 0.0) {
        let count = (absorbent_kg / drum.mass_kg - 1e-9).ceil().clamp(0.0, 1e6) as u32;
        list.push(Mobilised {
            name: drum.name.clone(),
            count,
            full_kg: drum.mass_kg * f64::from(count),
            empty_kg: 0.0,
            lifts: 1,
            price: drum.price.each * f64::from(count),
            order_by_s: -drum.lead_s,
            sources: (
                drum.price.source.clone(),
                "mass of the absorbent alone; one lift, on a pallet (assumed)".to_owned(),
            ),
        });
    }
    list
}

/// What is ordered: the item, and its mixture where it is mixed to order.
fn name_to_order(offer: &deepstay_scenario::Offer, need: Option<&Need>) -> String {
    match (offer.mix, need) {
        (deepstay_scenario::Offered::OnOrder { .. }, Some(need)) => {
            let percent = need.mix[deepstay_core::gas::Species::O2] * 100.0;
            format!("{}: {:.1} % O2 in helium", offer.name, percent)
        }
        _ => offer.name.clone(),
    }
}

/// What a day without reclaim costs, from the gas it loses; none where nothing serves the need.
pub fn lost_reclaim(need: &Need, mol_a_day: f64, supplier: &Supplier) -> Option<LostReclaim> {
    let (offers, sizes) = candidates(need, supplier);
    let rate = |s: &Size| s.price / s.usable_mol;
    let best = offers
        .into_iter()
        .zip(sizes)
        .min_by(|a, b| rate(&a.1).total_cmp(&rate(&b.1)).then(a.0.cmp(&b.0)));
    best.map(|(offer, size)| LostReclaim {
        mol: mol_a_day,
        units: mol_a_day / size.usable_mol,
        offer,
        price: mol_a_day * rate(&size),
    })
}
