//! Several sets' sheets as one: of each kind of stock the set that asks for most, so that whoever keeps the one keeps all.

use super::{Holding, Sheet};

/// The sheets together; of rows under one id the first stands for all, because rows of one id say one thing.
pub fn together(sheets: &[Sheet]) -> Option<Sheet> {
    let (first, others) = sheets.split_first()?;
    let mut all = first.clone();
    for sheet in others {
        all.set = format!("{} and {}", all.set, sheet.set);
        all.title = format!("{}; {}", all.title, sheet.title);
        for line in &sheet.lines {
            if all.lines.iter().all(|known| known.id != line.id) {
                all.lines.push(line.clone());
            }
        }
        for asked in &sheet.asked {
            if all.asked.iter().all(|known| known.id != asked.id) {
                all.asked.push(asked.clone());
            }
        }
    }
    let most = |holding: Holding| {
        let asks = |s: &&Sheet| s.total(holding).map(|t| t.amount);
        let mut found: Option<&Sheet> = None;
        for sheet in sheets.iter().filter(|s| asks(s).is_some()) {
            if found.is_none_or(|f| asks(&f) < asks(&sheet)) {
                found = Some(sheet);
            }
        }
        found
    };
    let of = |holding: Holding| most(holding).map(|sheet| (holding, sheet));
    let chosen: Vec<(Holding, &Sheet)> = Holding::ALL.into_iter().filter_map(of).collect();
    let each = || chosen.iter();
    all.held = each().filter_map(|(h, s)| s.held(*h).cloned()).collect();
    all.totals = each().filter_map(|(h, s)| s.total(*h).cloned()).collect();
    let posted = |(h, s): &(Holding, &Sheet)| s.posted.iter().find(|p| p.holding == *h).cloned();
    all.posted = each().filter_map(posted).collect();
    Some(all)
}
