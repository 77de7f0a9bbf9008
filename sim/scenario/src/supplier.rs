//! A supplier's list, checked: what a unit of each item holds, weighs and costs, when the boat comes,
//! and whether the list has what a job needs.

use super::builtin::{self, SUPPLIERS};
use super::file::{BoatFile, BoosterFile, Form, OfferFile, OfferedFile, SupplierFile, TakesFile};
use super::offer::{Booster, Calls, Drum, Offer, Offered, Price, Supplier, Takes};
use deepstay_core::gas::{Amounts, Species};
use deepstay_core::units::fixed_short;
use deepstay_plant::Duty;
use deepstay_read::{
    Diagnostics, Document, Section, Wrong, did_you_mean, fault, file_text, nearest, whole,
};
use std::path::Path;
use std::sync::Arc;

/// Most pressure in a unit, Pa gauge: past 350 bar the equation of state carries no claim.
const MOST_PA: f64 = 350e5;
/// Most items of a list.
const MOST_ITEMS: usize = 200;

/// A supplier's list by the name of a built-in one or the path of a file. A name has neither a dot nor a
/// stroke in it; a path is relative to `folder`, or to the working folder without one.
///
/// # Errors
/// Everything found wrong.
pub fn load_supplier(name_or_path: &str, folder: Option<&Path>) -> Result<Supplier, Diagnostics> {
    load_supplier_for(name_or_path, folder, &[])
}

/// As [`load_supplier`], and complains where a duty's mixture (fractions) is not to be had from the list.
///
/// # Errors
/// Everything found wrong.
pub fn load_supplier_for(
    name_or_path: &str,
    folder: Option<&Path>,
    needed: &[(Duty, Amounts)],
) -> Result<Supplier, Diagnostics> {
    if name_or_path.contains(['.', '/', '\\']) {
        let path = folder.map_or_else(|| name_or_path.into(), |f| f.join(name_or_path));
        return match file_text(&path) {
            Ok(text) => supplier_from_text(&text, &path.display().to_string(), needed),
            Err(wrong) => refused(&path.display().to_string(), wrong, None),
        };
    }
    if let Some(found) = builtin::find(SUPPLIERS, name_or_path) {
        let file = format!("built-in supplier {}", found.name);
        return supplier_from_text(found.text, &file, needed);
    }
    let known: Vec<String> = SUPPLIERS.iter().map(|b| b.name.to_owned()).collect();
    let suggestion =
        did_you_mean(nearest(name_or_path, known.iter().map(String::as_str))).or_else(|| {
            Some(format!(
                "for a file, write its whole name, such as \"{name_or_path}.ron\""
            ))
        });
    let name = name_or_path.to_owned();
    let wrong = Wrong::NoSuch {
        kind: "built-in supplier",
        name,
        known,
    };
    refused(name_or_path, wrong, suggestion)
}

fn refused(file: &str, wrong: Wrong, suggestion: Option<String>) -> Result<Supplier, Diagnostics> {
    Err(Diagnostics::alone(file, wrong, suggestion))
}

/// A supplier's list from its text; `file` is its name for messages.
///
/// # Errors
/// Everything found wrong.
pub fn supplier_from_text(
    text: &str,
    file: &str,
    needed: &[(Duty, Amounts)],
) -> Result<Supplier, Diagnostics> {
    const PARTS: &[deepstay_read::Part] =
        &[("items[]", fault::<OfferFile>), ("boat", fault::<BoatFile>)];
    let mut diagnostics = Diagnostics::default();
    let section = Section::whole(Arc::new(Document::parse(file, text)?));
    let Some(file) = whole::<SupplierFile>(section.document(), PARTS, &mut diagnostics) else {
        return diagnostics.close(None);
    };
    let mut on = Checked {
        section: &section,
        diagnostics: &mut diagnostics,
    };
    let made = on.supplier(&file);
    for (duty, mix) in needed {
        if !made.offers.iter().any(|o| o.serves(*duty, mix)) {
            on.lacks(*duty, mix);
        }
    }
    diagnostics.close(Some(made))
}

/// A list being checked.
struct Checked<'a> {
    section: &'a Section,
    diagnostics: &'a mut Diagnostics,
}

impl Checked<'_> {
    fn wrong(&mut self, at: &str, words: String, how: &str) {
        self.diagnostics
            .add_with(self.section, at, Wrong::Value(words), Some(how.to_owned()));
    }

    fn lacks(&mut self, duty: Duty, mix: &Amounts) {
        let o2 = mix[Species::O2] * 100.0;
        let words = format!(
            "nothing on this list may serve {duty:?} with {o2:.2} % oxygen, which the job needs"
        );
        let how =
            format!("add an item with that mix and duties: [{duty:?}], or a supplier that has it");
        self.diagnostics.add_with(
            self.section,
            "items",
            Wrong::Contradiction(words),
            Some(how),
        );
    }

    fn supplier(&mut self, file: &SupplierFile) -> Supplier {
        let code = file.currency.trim();
        if code.is_empty() || code.chars().count() > 8 || code.chars().any(char::is_control) {
            self.wrong(
                "currency",
                "a currency's code has 1 to 8 characters".to_owned(),
                "write one such as \"EUR\"",
            );
        }
        if file.items.is_empty() || file.items.len() > MOST_ITEMS {
            let words = format!("{} items; a list has 1 to {MOST_ITEMS}", file.items.len());
            self.wrong("items", words, "write down what is needed");
        }
        let offers = file.items.iter().enumerate();
        Supplier {
            name: file.name.clone(),
            title: file.title.clone(),
            currency: code.to_owned(),
            offers: offers
                .map(|(i, item)| self.offer(i, item, &file.items[..i]))
                .collect(),
            absorbent: file.absorbent.as_ref().map(|d| {
                if d.mass.0 <= 0.0 {
                    self.wrong(
                        "absorbent.mass",
                        "a drum holds more than nothing".to_owned(),
                        "write the drum's mass",
                    );
                }
                self.price("absorbent.price", d.price.each.0);
                let price = Price {
                    each: d.price.each.0,
                    source: d.price.source.clone(),
                };
                Drum {
                    name: d.name.clone(),
                    mass_kg: d.mass.0,
                    price,
                    lead_s: d.lead.0,
                }
            }),
            boat: file.boat.as_ref().map(|b| self.calls(b)),
            booster: file.booster.as_ref().map(|b| self.booster(b)),
        }
    }

    fn price(&mut self, at: &str, each: f64) {
        if each < 0.0 {
            self.wrong(
                &format!("{at}.each"),
                format!("{each} is a negative price"),
                "write what one costs, or 0",
            );
        }
    }

    fn offer(&mut self, i: usize, item: &OfferFile, before: &[OfferFile]) -> Offer {
        let at = |field: &str| format!("items[{i}].{field}");
        let name = item.name.trim();
        if name.is_empty() || name.chars().count() > 60 || name.chars().any(char::is_control) {
            self.wrong(
                &at("name"),
                "a name has 1 to 60 characters".to_owned(),
                "name it as the list does",
            );
        }
        if before.iter().any(|o| o.name.trim() == name) {
            let wrong = Wrong::Duplicate {
                kind: "item",
                name: name.to_owned(),
            };
            self.diagnostics.add(self.section, &at("name"), wrong);
        }
        if item.bottles.pressure.0 > MOST_PA {
            self.wrong(
                &at("bottles"),
                "units are filled to 350 bar at the most here".to_owned(),
                "write 350 bar or less",
            );
        }
        if item.bottles.each.0 <= 0.0 || item.bottles.pressure.0 <= 0.0 {
            self.wrong(
                &at("bottles"),
                "a unit has a volume and a pressure".to_owned(),
                "write both above nothing",
            );
        }
        if item.form == Form::Bottle && item.bottles.count != 1 {
            let words = format!("{} bottles are no single bottle", item.bottles.count);
            self.wrong(
                &at("form"),
                words,
                "write form: Quad, or bottles: \"1 x ...\"",
            );
        }
        if item.duties.is_empty() {
            self.wrong(
                &at("duties"),
                "it serves nothing".to_owned(),
                "write the duties that it may serve",
            );
        }
        if item.mass_full.0 <= item.mass_empty.0 {
            let words = format!(
                "a full unit ({} kg) is not heavier than an empty one ({} kg)",
                fixed_short(item.mass_full.0),
                fixed_short(item.mass_empty.0)
            );
            self.wrong(
                &at("mass_full"),
                words,
                "write the mass of the unit with its gas",
            );
        }
        if let Some(most) = item.per_lift.filter(|m| m.0 < item.mass_full.0) {
            let words = format!(
                "a full unit ({} kg) is heavier than a lift may be ({} kg)",
                fixed_short(item.mass_full.0),
                fixed_short(most.0)
            );
            self.wrong(
                &at("per_lift"),
                words,
                "write the crane's limit, or leave it out",
            );
        }
        self.price(&at("price"), item.price.each.0);
        Offer {
            name: name.to_owned(),
            form: item.form,
            bottles: item.bottles.count,
            bottle_m3: item.bottles.each.0,
            fill_gauge_pa: item.bottles.pressure.0,
            filled_t_k: item.filled_at.0,
            mix: self.mix(&at("mix"), &item.mix),
            duties: item.duties.clone(),
            lead_s: item.lead.0,
            mass_full_kg: item.mass_full.0,
            mass_empty_kg: item.mass_empty.0,
            mass_source: item.mass_source.clone(),
            price: Price {
                each: item.price.each.0,
                source: item.price.source.clone(),
            },
            per_lift_kg: item.per_lift.map(|m| m.0),
        }
    }

    fn mix(&mut self, at: &str, mix: &OfferedFile) -> Offered {
        match *mix {
            OfferedFile::Air => Offered::Mix(Amounts::air()),
            OfferedFile::Oxygen => Offered::Mix(Amounts::oxygen()),
            OfferedFile::Helium => Offered::Mix(Amounts::heliox(0.0)),
            OfferedFile::Heliox(o2) => Offered::Mix(Amounts::heliox(o2.0)),
            OfferedFile::OnOrder { from, to } => {
                if from.0 > to.0 {
                    self.wrong(
                        at,
                        "the range begins above its end".to_owned(),
                        "write the lesser share as from",
                    );
                }
                Offered::OnOrder {
                    from: from.0,
                    to: to.0,
                }
            }
        }
    }

    fn calls(&mut self, boat: &BoatFile) -> Calls {
        if boat.every.0 < 3600 {
            self.wrong(
                "boat.every",
                "a boat calls every hour at the most".to_owned(),
                "write the time between two calls",
            );
        }
        let takes = boat.takes.map(|t| match t {
            TakesFile::Units(n) => Takes::Units(n),
            TakesFile::Mass(kg) => Takes::MassKg(kg.0),
        });
        if matches!(takes, Some(Takes::Units(0)))
            || matches!(takes, Some(Takes::MassKg(kg)) if kg <= 0.0)
        {
            self.wrong(
                "boat.takes",
                "a boat that takes nothing brings nothing".to_owned(),
                "leave the boat out",
            );
        }
        Calls {
            first_s: boat.first.0,
            every_s: boat.every.0,
            takes,
        }
    }

    fn booster(&mut self, file: &BoosterFile) -> Booster {
        if file.ratio.is_none() && file.delivery.is_none() {
            self.wrong(
                "booster",
                "it has neither ratio nor delivery".to_owned(),
                "write the one that bounds it, or both",
            );
        }
        if file.ratio.is_some_and(|r| r.0 <= 1.0) {
            self.wrong(
                "booster.ratio",
                "a ratio of delivery to suction is above 1".to_owned(),
                "write one such as 20",
            );
        }
        if file.delivery.is_some_and(|d| d.0 <= file.lowest_suction.0) {
            self.wrong(
                "booster.delivery",
                "it delivers no more than it draws".to_owned(),
                "write the highest pressure that it delivers",
            );
        }
        if file.flow.0 <= 0.0 {
            self.wrong(
                "booster.flow",
                "a booster moves more than nothing".to_owned(),
                "write its flow of free gas",
            );
        }
        Booster {
            lowest_suction_pa: file.lowest_suction.0,
            ratio: file.ratio.map(|r| r.0),
            delivery_pa: file.delivery.map(|d| d.0),
            free_m3_s: file.flow.0,
            source: file.source.clone(),
        }
    }
}
