//! What a step starts from: what has one pressure is brought to it, flows and rates are found, and with them
//! how long a first step may be where nothing is known of the one before.

use super::incoming::{comes, comes_in, target_pa};
use super::room::Room;
use crate::bits::bits;
use crate::books::booking::booking;
use crate::books::slot::BANKED;
use crate::flows::compartment::find;
use crate::flows::film::Film;
use crate::flows::moment::Moment;
use crate::model::Model;
use crate::opening::near;
use crate::pressure::equalise::{Moved, RootOutside, equalise, yield_mol};
use crate::pressure::exchange::exchange;
use crate::pressure::outside::Outside;
use crate::pressure::passage::Passage;
use crate::solver::correction::Start;
use crate::solver::error::decay_limit_s;
use crate::solver::workspace::Workspace;
use crate::state::banks::BankGas;
use crate::state::node::{Contents, Node};
use crate::steel::edge::{Edge, EdgeKind};
use crate::steel::{MAX_BANKS, MAX_COMPARTMENTS};
use crate::view::View;
use deepstay_core::gas::SPECIES;
use deepstay_core::units::*;

/// Longest interval for compartments at rest, s: nobody in them, nothing running, no valve open.
pub const LONGEST_REST_S: i64 = 1800;

/// Share of a compartment's moles added to what a species' errors are measured by: a trace is not followed
/// finer than this share of it.
const TRACE_SHARE: f64 = 1e-2;
/// A lock for things or a holding tank, which nobody can be in, and a trunk that is joined to nobody, are followed this
/// much less finely: to three parts in a hundred thousand of what they hold, at 160 msw a twentieth of what a gauge
/// shows, and a lock or a tank to a millionth of what a chamber holds that it is open to.
const UNMANNED_COARSER: f64 = 300.0;
/// Share of a pressure difference that may be levelled in a first step.
const LEVELLED_A_STEP: f64 = 0.3;
/// Share of a small compartment's contents that may rush in in a first step.
const FILLED_A_STEP: f64 = 0.3;
/// Relative change of moles in a first step.
const CHANGED_A_STEP: f64 = 0.1;
/// Change of gas temperature in a first step, K.
const WARMED_A_STEP_K: f64 = 2.0;

/// Finds how the cluster's compartments hang together over the coming steps, and what has one pressure.
pub(crate) fn find_passages(model: &Model, room: &mut Room) {
    let Room {
        layout,
        nodes,
        edges,
        constraint,
        ..
    } = room;
    for x in layout.edges().iter().copied() {
        edges.passage[x] = passage(model, x, nodes);
    }
    let one_pressure = |x: usize| edges.passage[x].one_pressure;
    let above = |i: usize| {
        (model.pressure_pa(i, &nodes[i]) / model.steel.surface_pa - 1.0)
            * yield_mol(&nodes[i], model.isothermal())
    };
    constraint.list(
        layout,
        model.edges,
        one_pressure,
        |i| outside_of(model, i, &nodes[i]),
        |tree| tree.members().iter().map(|i| above(*i)).sum::<f64>() < 0.0,
    );
}

fn passage(model: &Model, x: usize, nodes: &[Node; MAX_COMPARTMENTS]) -> Passage {
    let Edge { kind, a, b } = model.edges[x];
    if let EdgeKind::Door(d) = kind
        && model.controls.door(d).open
    {
        let q = model.steel.doors[d].exchange_m3_s;
        let volume = |i: usize| model.steel.compartments[i].volume_m3;
        return Passage {
            one_pressure: true,
            turnover: Some((q / volume(a), q / volume(b))),
            area_m2: 0.0,
        };
    }
    let one_pressure = near(
        model.pressure_pa(a, &nodes[a]),
        model.pressure_pa(b, &nodes[b]),
    );
    Passage {
        one_pressure,
        turnover: None,
        area_m2: if one_pressure {
            0.0
        } else {
            model.valve_area_m2(x)
        },
    }
}

fn outside_of(model: &Model, i: usize, node: &Node) -> Outside {
    let set = model.controls.of(i);
    if set.open_outside {
        return if model.is_bell(i) {
            Outside::Sea
        } else {
            Outside::Deck
        };
    }
    if set.valves.exhaust.opening() <= 0.0 && set.valves.bleed.opening() <= 0.0 {
        return Outside::Shut;
    }
    let surface = model.steel.surface_pa;
    let p_pa = model.pressure_pa(i, node);
    // A compartment below the surface's pressure draws nothing in through its exhaust.
    if near(p_pa, surface) && p_pa >= surface * (1.0 - 1e-6) {
        Outside::LetDown
    } else {
        Outside::Shut
    }
}

/// Brings the pressures at the start to one where a way has just been opened. Gives what moved, if anything did.
pub(crate) fn equalise_now(view: &View, t_s: f64, room: &mut Room) -> Option<Box<Moved>> {
    let (model, second_s) = (&view.model, t_s as i64);
    let mut moved = None;
    for tree in room.constraint.trees() {
        let i = tree.root();
        let outside = room.constraint.outside(i);
        let root = RootOutside {
            outside,
            target_pa: target_pa(model, i, outside, t_s),
            incoming: |p_pa: f64| {
                comes(view, i, outside, p_pa, second_s).then(|| {
                    comes_in(model, i, outside, p_pa, |bank| {
                        let n_mol = view.bank(bank, second_s);
                        (BankGas::of(&n_mol, n_mol.total()), n_mol.total())
                    })
                })
            },
        };
        equalise(model, model.edges, tree, &root, &mut room.nodes, &mut moved);
    }
    moved
}

/// Finds flows and rates of a cluster at the start of a step, at `t_s`, and gives them to the solver; gives how much of a
/// first step's change happens per second.
pub(crate) fn begin(
    view: &View,
    c: usize,
    t_s: f64,
    in_parts: bool,
    films: &mut [[Film; 4]],
    room: &mut Room,
    solver: &mut Workspace,
) -> f64 {
    let model = &view.model;
    line_up_banks(view, c, t_s as i64, in_parts, room);
    room.start_s = t_s;
    let Room {
        layout,
        nodes,
        contents,
        flows,
        rates,
        edges,
        banks,
        in_sea,
        constraint,
        ..
    } = room;
    let mut leaves_s = [0.0; MAX_COMPARTMENTS];
    for i in layout.members().iter().copied() {
        in_sea[i] = model.is_bell(i) && model.controls.bell(i).msw(t_s.floor() + 0.5) > 0.0;
        let at = Moment {
            t_s,
            in_sea: in_sea[i],
            let_down: constraint.outside(i) == Outside::LetDown,
            h_s: None,
            banks: banks.at(&banks.start),
        };
        let f = &mut flows.start[i];
        contents.start[i] = find(model, i, &nodes[i], &at, &mut films[i][0], f);
        let wall_j_k = model.steel.compartments[i].wall_j_k;
        rates.start[i] = f.rates(&contents.start[i], wall_j_k);
    }
    let mut change = 0.0f64;
    for x in layout.edges().iter().copied() {
        let Edge { a, b, .. } = model.edges[x];
        let (of_a, of_b) = (&contents.start[a], &contents.start[b]);
        let shares = edges.passage[x].shares(of_a, of_b);
        edges.start[x] = shares;
        leaves_s[a] += shares.0;
        leaves_s[b] += shares.1;
        let (rate_a, rate_b, flow) = exchange(shares, of_a, of_b);
        rates.start[a].add(&rate_a);
        rates.start[b].add(&rate_b);
        if !edges.passage[x].one_pressure {
            let volume = |i: usize| model.steel.compartments[i].volume_m3;
            let volumes = (volume(a), volume(b));
            let flow = flow.iter().sum::<f64>().abs();
            change = change.max(levels_per_s(volumes, of_a, of_b, flow));
        }
    }
    let second_s = t_s as i64;
    constraint
        .ask_incoming(|i, outside| comes(view, i, outside, contents.start[i].gas.p_pa, second_s));
    let apart = layout.members().iter().all(|i| model.is_empty(*i));
    for i in layout.members().iter().copied() {
        let (rates, Contents { node, gas }) = (&rates.start[i], &contents.start[i]);
        let moles: f64 = rates.n_mol_s.iter().sum::<f64>().abs() / gas.n_mol;
        let warming = rates.gas_k_s.abs();
        change = change.max(moles / CHANGED_A_STEP);
        // What has come near its wall's temperature relaxes smoothly however long the step.
        let gap_k = (node.gas_k - node.wall_k).abs();
        change = change.max(warming / WARMED_A_STEP_K.max(0.5 * gap_k));
        let f = &flows.start[i];
        let decay_s = (f.heat.w_k + f.wall.w_k) / gas.c_j_k;
        let coarser = coarser(model, i, apart);
        let judged_k = coarser * node.gas_k;
        change = change.max(decay_limit_s(rates.gas_k_s, decay_s, judged_k));
        for s in 0..SPECIES {
            let decay_s = f.decay_s(s) + leaves_s[i];
            let scale = coarser * (node.n_mol[s] + TRACE_SHARE * gas.n_mol);
            change = change.max(decay_limit_s(rates.n_mol_s[s], decay_s, scale));
        }
    }
    give_to_solver(view, c, apart, room, solver);
    room.banks.last_s = breathed_last_s(model, room);
    change
}

/// How long those who breathe from banks can go on as at the start of a step, s: until the first of the banks has come
/// down to the highest pressure at which it is breathed.
fn breathed_last_s(model: &Model, room: &Room) -> f64 {
    let mut drawn_mol_s = [0.0; MAX_BANKS];
    let mut breathed_pa = [0.0f64; MAX_BANKS];
    for i in room.layout.members().iter().copied() {
        let Contents { node, gas } = &room.contents.start[i];
        for (slot, rate) in room.flows.start[i].list() {
            let (true, Some(booking)) =
                (BANKED & (1 << *slot as u32) != 0, booking(model, i, *slot))
            else {
                continue;
            };
            for bank in booking.banks().filter(|(_, sign)| *sign < 0.0) {
                let k = bank.0.index();
                drawn_mol_s[k] += rate.mol_s(&node.n_mol).iter().sum::<f64>();
                if slot.is_breathed() {
                    let sea_pa = model.sea_pa(i, room.start_s);
                    let wanted_pa = gas.p_pa.max(sea_pa) + model.steel.breathing_over_pa;
                    breathed_pa[k] = breathed_pa[k].max(wanted_pa);
                }
            }
        }
    }
    let lasts = |k: usize| {
        let (gas, bank, p_pa) = (&room.banks.gas[k], BankId(k as u8), breathed_pa[k]);
        if p_pa == 0.0 {
            return f64::INFINITY;
        }
        let left_mol = gas.spare_mol - drawn_mol_s[k] * LONGEST_REST_S as f64;
        if left_mol > 0.0 && model.bank_holding_pa(bank, gas, left_mol) > p_pa {
            return f64::INFINITY;
        }
        (gas.spare_mol - model.held_mol(bank, gas, p_pa)) / drawn_mol_s[k]
    };
    bits(room.banks.used)
        .map(lasts)
        .fold(f64::INFINITY, f64::min)
}

/// Gives the solver what a step starts from, and the rates of the step before.
fn give_to_solver(view: &View, c: usize, apart: bool, room: &Room, solver: &mut Workspace) {
    let layout = &room.layout;
    let went_s = view.trajectories.clusters()[c].went_s;
    solver.goes_on_from(went_s);
    let never = f64::INFINITY;
    for (row, i) in layout.members().iter().copied().enumerate() {
        let (rates, Contents { node, gas }) = (&room.rates.start[i], &room.contents.start[i]);
        let coarser = coarser(&view.model, i, apart);
        let balance = |value: f64, rate: f64, scale: f64, error_scale: f64| Start {
            value,
            rate,
            scale,
            error_scale,
        };
        for s in 0..SPECIES {
            let scale = node.n_mol[s] + TRACE_SHARE * gas.n_mol;
            let start = balance(node.n_mol[s], rates.n_mol_s[s], scale, coarser * scale);
            solver.start(layout.species(s, row), start);
        }
        let t_k = node.gas_k;
        let judged = if view.model.isothermal() {
            never
        } else {
            coarser * t_k
        };
        solver.start(layout.gas(row), balance(t_k, rates.gas_k_s, t_k, judged));
        solver.start(
            layout.wall(row),
            balance(node.wall_k, rates.wall_k_s, t_k, never),
        );
        solver.start(
            layout.bed(row),
            balance(node.bed_mol, rates.bed_mol_s, never, never),
        );
        if went_s.is_some() {
            let (n_mol_s, gas_k_s, wall_k_s, bed_mol_s) = view.trajectories.interpolant(i).rates();
            for (s, n_mol_s) in n_mol_s.iter().enumerate() {
                solver.rates_before(layout.species(s, row), *n_mol_s);
            }
            solver.rates_before(layout.gas(row), *gas_k_s);
            solver.rates_before(layout.wall(row), *wall_k_s);
            solver.rates_before(layout.bed(row), *bed_mol_s);
        }
    }
}

/// How much less finely a vessel is followed than one that people can be in; `apart` where nobody is in its cluster.
fn coarser(model: &Model, i: usize, apart: bool) -> f64 {
    match model.steel.compartments[i].kind {
        CompartmentKind::MedicalLock
        | CompartmentKind::EquipmentLock
        | CompartmentKind::HoldingTank => UNMANNED_COARSER,
        CompartmentKind::Trunk if apart => UNMANNED_COARSER,
        _ => 1.0,
    }
}

/// Share of a difference, or of a filling, that a first step may take, per second.
fn levels_per_s(
    (volume_a, volume_b): (f64, f64),
    a: &Contents,
    b: &Contents,
    flow_mol_s: f64,
) -> f64 {
    let (na, nb) = (a.gas.n_mol, b.gas.n_mol);
    let level = (na * volume_b - nb * volume_a).abs() / (volume_a + volume_b);
    let down = if a.gas.p_pa > b.gas.p_pa { nb } else { na };
    if flow_mol_s == 0.0 {
        0.0
    } else {
        (flow_mol_s / (LEVELLED_A_STEP * level.max(1e-9))).max(flow_mol_s / (FILLED_A_STEP * down))
    }
}

/// Moles in the banks lined up to a cluster's members, less what the earlier parts of a second have drawn.
fn line_up_banks(view: &View, c: usize, t_s: i64, in_parts: bool, room: &mut Room) {
    let banks = &mut room.banks;
    banks.used = view.banks_of(c);
    for bank in bits(banks.used) {
        let id = BankId(bank as u8);
        let drawn = if in_parts {
            view.drawn_in_parts(c, id)
        } else {
            0.0
        };
        let n_mol = view.bank(id, t_s);
        banks.start[bank] = n_mol.total() - drawn;
        banks.gas[bank] = BankGas::of(&n_mol, view.spare_mol(c, id, t_s) - drawn);
        for point in &mut banks.points {
            point[bank] = banks.start[bank];
        }
    }
}
