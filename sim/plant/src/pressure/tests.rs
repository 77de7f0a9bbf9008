//! Pressure on two and three vessels without a ship: at once, against a root finder and the closed forms of
//! ideal gas; over a step, behind an open door and through a valve, against a plain integration.

use super::constraint::Constraint;
use super::equalise::{Moved, RootOutside, equalise};
use super::exchange::exchange;
use super::outside::Outside;
use super::passage::Passage;
use super::stage::{Stage, StageContents, Vessels};
use super::tree::Tree;
use super::valve::{Shares, Valves};
use crate::layout::{Layout, WARM_AND_WET, WARM_BLOCK};
use crate::opening::{nozzle, through_mol_s};
use crate::solver::correction::{Correction, Start};
use crate::solver::jacobian::Jacobian;
use crate::solver::newton;
use crate::solver::problem::{About, Impossible, Problem, Step};
use crate::solver::radau::{Points, dot, weights};
use crate::solver::workspace::Workspace;
use crate::state::node::{Contents, Flow, Node, Rates};
use crate::steel::edge::{Edge, EdgeKind};
use crate::steel::{MAX_COMPARTMENTS, MAX_EDGES};
use deepstay_core::gas::{self, Amounts, SPECIES, Species};
use deepstay_core::units::R;

const T_K: f64 = 300.0;
const HE: usize = Species::He as usize;

/// Bare vessels of these volumes, m3.
struct Tanks {
    volumes: Vec<f64>,
    real: bool,
    isothermal: bool,
}

impl Vessels for Tanks {
    fn pressure_pa(&self, i: usize, node: &Node) -> f64 {
        let n = Amounts(node.n_mol);
        if self.real {
            gas::state::pressure_pa(&n, self.volumes[i], node.gas_k)
        } else {
            n.total() * R * node.gas_k / self.volumes[i]
        }
    }

    fn isothermal(&self) -> bool {
        self.isothermal
    }
}

fn door(d: usize, a: usize, b: usize) -> Edge {
    Edge {
        kind: EdgeKind::Door(d),
        a,
        b,
    }
}

fn full(x: &Amounts, mol: f64) -> Node {
    Node {
        n_mol: x.scaled(mol).0,
        gas_k: T_K,
        wall_k: T_K,
        ..Node::default()
    }
}

fn layout(vessels: usize, edges: usize) -> Layout {
    let mut layout = Layout::default();
    layout.take(
        &(0..vessels).collect::<Vec<_>>(),
        &(0..edges).collect::<Vec<_>>(),
    );
    layout
}

fn trees(layout: &Layout, edges: &[Edge], outside: Outside) -> (Vec<Tree>, Outside) {
    let mut kept = [Outside::Shut; MAX_COMPARTMENTS];
    kept[0] = outside;
    let mut trees = Vec::new();
    super::tree::list(layout, edges, |_| true, &mut kept, |_| false, &mut trees);
    (trees, kept[0])
}

/// Brings vessels to one pressure at once; gives what moved.
fn at_once(
    tanks: &Tanks,
    edges: &[Edge],
    nodes: &mut [Node; MAX_COMPARTMENTS],
    outside: Outside,
    target_pa: Option<f64>,
    incoming: Option<(Amounts, f64)>,
) -> Box<Moved> {
    let layout = layout(tanks.volumes.len(), edges.len());
    let (trees, outside) = trees(&layout, edges, outside);
    assert_eq!(trees.len(), 1);
    let root = RootOutside {
        outside,
        target_pa,
        incoming: |_| incoming,
    };
    let mut moved = None;
    equalise(tanks, edges, &trees[0], &root, nodes, &mut moved);
    moved.unwrap_or_default()
}

/// The argument at which a rising function crosses zero.
fn root_of(f: impl Fn(f64) -> f64, mut low: f64, mut high: f64) -> f64 {
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if f(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

#[test]
fn real_gas_at_its_temperature_parts_as_a_root_finder_says() {
    let x = Amounts::heliox(0.1);
    let edges = [door(0, 0, 1), door(1, 1, 2)];
    for (volumes, moles) in [
        (vec![20.0, 5.0], vec![9_000.0, 400.0]),
        (vec![20.0, 5.0, 1.5], vec![200.0, 3_000.0, 1_500.0]),
    ] {
        let tanks = Tanks {
            real: true,
            isothermal: true,
            volumes,
        };
        let mut nodes = [Node::default(); MAX_COMPARTMENTS];
        for (node, mol) in nodes.iter_mut().zip(&moles) {
            *node = full(&x, *mol);
        }
        let edges = &edges[..moles.len() - 1];
        let moved = at_once(&tanks, edges, &mut nodes, Outside::Shut, None, None);
        // The common pressure at which all hold together what there is.
        let holds = |i: usize, p_pa: f64| {
            let short =
                |mol: f64| gas::state::pressure_pa(&x.scaled(mol), tanks.volumes[i], T_K) - p_pa;
            root_of(short, 1e-3, 1e6)
        };
        let all: f64 = moles.iter().sum();
        let together = |p_pa: f64| (0..moles.len()).map(|i| holds(i, p_pa)).sum::<f64>() - all;
        let p_pa = root_of(together, 1e3, 1e8);
        for i in 0..moles.len() {
            let ours = nodes[i].total_mol();
            assert!((ours / holds(i, p_pa) - 1.0).abs() < 1e-8, "{i}: {ours}");
            // What moved is what is there less what was.
            let passed = |d: usize| moved.edge[d].iter().sum::<f64>();
            let came = edges.iter().enumerate().fold(0.0, |came, (d, edge)| {
                came + if edge.b == i { passed(d) } else { 0.0 }
                    - if edge.a == i { passed(d) } else { 0.0 }
            });
            assert!((ours - moles[i] - came).abs() < 1e-9 * all);
        }
    }
}

#[test]
fn warm_and_cold_helium_comes_to_the_closed_form() {
    // Ideal, monatomic, no heat lost: energy 3/2 p V is kept, so the pressure is the mean by volume; the gas that stays
    // in the fuller vessel expands as an isentrope, T to the pressure's power 2/5.
    let tanks = Tanks {
        volumes: vec![10.0, 4.0],
        real: false,
        isothermal: false,
    };
    let mut nodes = [Node::default(); MAX_COMPARTMENTS];
    let helium = Amounts::heliox(0.0);
    let (p0, p1) = (12e5, 2e5);
    nodes[0] = full(&helium, p0 * 10.0 / (R * T_K));
    nodes[1] = full(&helium, p1 * 4.0 / (R * T_K));
    at_once(
        &tanks,
        &[door(0, 0, 1)],
        &mut nodes,
        Outside::Shut,
        None,
        None,
    );
    let exact = (p0 * 10.0 + p1 * 4.0) / 14.0;
    for i in 0..2 {
        let p_pa = tanks.pressure_pa(i, &nodes[i]);
        assert!(
            (p_pa / exact - 1.0).abs() < 1e-5,
            "{i}: {p_pa} against {exact}"
        );
    }
    let isentrope_k = T_K * libm::pow(exact / p0, 0.4);
    assert!(
        (nodes[0].gas_k - isentrope_k).abs() < 0.2,
        "{}",
        nodes[0].gas_k
    );
}

#[test]
fn an_open_root_takes_the_outside_s_pressure_as_far_as_gas_can_come_in() {
    let tanks = Tanks {
        volumes: vec![6.0],
        real: true,
        isothermal: true,
    };
    let x = Amounts::heliox(0.2);
    let moles = |p_pa: f64| gas::state::total_moles(&x, p_pa, 6.0, T_K);
    let start = |p_pa: f64| {
        let mut nodes = [Node::default(); MAX_COMPARTMENTS];
        nodes[0] = full(&x, moles(p_pa));
        nodes
    };
    let out_of = |moved: &Moved| -> f64 {
        moved.spilt[0].iter().sum::<f64>() - moved.topped[0].iter().sum::<f64>()
    };
    let sea =
        |nodes: &mut _, incoming| at_once(&tanks, &[], nodes, Outside::Sea, Some(8e5), incoming);
    let mut over = start(9e5);
    let moved = sea(&mut over, Some((x, T_K)));
    assert!((over[0].total_mol() / moles(8e5) - 1.0).abs() < 1e-8);
    assert!((out_of(&moved) - (moles(9e5) - moles(8e5))).abs() < 1e-5);
    let mut under = start(7e5);
    sea(&mut under, None);
    assert_eq!(under, start(7e5));
    let moved = sea(&mut under, Some((x, T_K)));
    assert!((under[0].total_mol() / moles(8e5) - 1.0).abs() < 1e-8);
    assert!((out_of(&moved) + moles(8e5) - moles(7e5)).abs() < 1e-5);
}

/// Two vessels of ideal helium at one temperature, a flow into the first, and a door or a valve between.
struct Pair {
    tanks: Tanks,
    inflow_mol_s: f64,
    layout: Layout,
    edges: [Edge; 1],
    contents: StageContents,
    passages: [Passage; MAX_EDGES],
    shares: [Shares; MAX_EDGES],
    constraint: Constraint,
    valves: Valves,
    rates: [[Rates; 3]; MAX_COMPARTMENTS],
    flows: [Flow; MAX_EDGES],
}

impl Pair {
    fn new(volumes: [f64; 2], passage: Passage, inflow_mol_s: f64) -> Pair {
        let (layout, edges) = (layout(2, 1), [door(0, 0, 1)]);
        let mut constraint = Constraint::default();
        let one = passage.one_pressure;
        constraint.list(&layout, &edges, |_| one, |_| Outside::Shut, |_| false);
        let mut passages = [Passage::default(); MAX_EDGES];
        passages[0] = passage;
        Pair {
            tanks: Tanks {
                volumes: volumes.to_vec(),
                real: false,
                isothermal: true,
            },
            inflow_mol_s,
            layout,
            edges,
            contents: StageContents::default(),
            passages,
            shares: [[(0.0, 0.0); 3]; MAX_EDGES],
            constraint,
            valves: Valves::default(),
            rates: Default::default(),
            flows: [Flow::default(); MAX_EDGES],
        }
    }

    fn contents(&self, i: usize, node: Node) -> Contents {
        Contents::of(
            node,
            self.tanks.volumes[i],
            self.tanks.pressure_pa(i, &node),
        )
        .0
    }

    /// Rates of moles by point, from contents and shares there.
    fn add_up(&mut self, out: &mut [Points]) {
        let [edge] = self.edges;
        for j in 0..3 {
            let (a, b) = (&self.contents.points[0][j], &self.contents.points[1][j]);
            let (mut of_a, of_b, flow) = exchange(self.shares[0][j], a, b);
            of_a.n_mol_s[HE] += self.inflow_mol_s;
            for (i, mut rates) in [(edge.a, of_a), (edge.b, of_b)] {
                rates.keep_temperature();
                self.rates[i][j] = rates;
            }
            self.flows[0][j] = flow;
        }
        let one = self.passages[0].one_pressure;
        self.constraint.add_to(
            &self.layout,
            &self.edges,
            &self.tanks,
            &self.contents,
            |_| one,
            |_, _| unreachable!("nothing is open to the outside"),
            &mut self.rates,
            &mut self.flows,
        );
        out.fill([0.0; 3]);
        for i in 0..2 {
            for s in 0..SPECIES {
                out[self.layout.species(s, i)] = self.rates[i].map(|r| r.n_mol_s[s]);
            }
        }
    }

    /// A step from moles of helium; gives those at its end.
    fn step(&mut self, mol: [f64; 2], h_s: f64) -> [f64; 2] {
        let mut solver = Workspace::default();
        solver.lay_out(self.layout.blocks(), 2);
        for i in 0..2 {
            let node = full(&Amounts::heliox(0.0), mol[i]);
            self.contents.start[i] = self.contents(i, node);
            for s in 0..SPECIES {
                let start = Start {
                    value: node.n_mol[s],
                    rate: 0.0,
                    scale: mol[i],
                    error_scale: f64::INFINITY,
                };
                solver.start(self.layout.species(s, i), start);
            }
            for (k, value) in [(self.layout.gas(i), T_K), (self.layout.wall(i), T_K)] {
                let start = Start {
                    value,
                    scale: T_K,
                    error_scale: f64::INFINITY,
                    ..Start::default()
                };
                solver.start(k, start);
            }
        }
        newton::step(self, &mut solver, Step { t_s: 0.0, h_s }).expect("it settles");
        let w = weights(h_s, 1.0);
        std::array::from_fn(|i| mol[i] + dot(&w, &self.rates[i].map(|r| r.n_mol_s[HE])))
    }
}

impl Problem for Pair {
    fn rates(&mut self, _: Step, states: &[Points], out: &mut [Points]) -> Result<(), Impossible> {
        for j in 0..3 {
            for i in 0..2 {
                let node = self.layout.node(states, i, j);
                self.contents.points[i][j] = self.contents(i, node);
            }
            let [a, b] = [0, 1].map(|i| &self.contents.points[i][j]);
            self.shares[0][j] = self.passages[0].shares(a, b);
        }
        self.add_up(out);
        Ok(())
    }

    fn last_rates(
        &mut self,
        _: Step,
        states: &[Points],
        out: &mut [Points],
        _: &mut [Points],
    ) -> Result<(), Impossible> {
        for i in 0..2 {
            for j in 0..3 {
                self.contents.points[i][j].node = self.layout.node(states, i, j);
            }
        }
        self.valves.take_corrections(&self.edges, &mut self.shares);
        self.add_up(out);
        Ok(())
    }

    fn linearise(&mut self, step: Step, about: About, jacobian: &mut Jacobian) {
        let [a, b] = [0, 1].map(|i| self.contents.about(about, i));
        let (ab, ba) = self.passages[0].shares(a, b);
        let fill = |z: &mut [f64], first: usize, size: usize| {
            let (one, other) = (first, first + 1);
            z[one * size + one] = step.h_s * ab;
            z[other * size + one] = -step.h_s * ab;
            z[other * size + other] = step.h_s * ba;
            z[one * size + other] = -step.h_s * ba;
        };
        jacobian.set(0, 2, |z| fill(z, 0, 2));
        (0..WARM_BLOCK).for_each(|block| jacobian.give(block, 0));
        let size = 2 * WARM_AND_WET;
        jacobian.set(WARM_BLOCK, size, |z| fill(z, 4, size));
        let stage = Stage {
            layout: &self.layout,
            edges: &self.edges,
            vessels: &self.tanks,
            contents: &self.contents,
        };
        self.constraint.linearise(&stage, about, jacobian);
        self.valves
            .linearise(&stage, &self.passages, step, about, jacobian);
    }

    fn predict_constraint(&mut self, _: Step, _: Option<&[[f64; 3]; 3]>) {
        self.constraint.drop_flows(&self.layout);
    }

    fn constrain(&mut self, step: Step, correction: &mut Correction) -> f64 {
        let stage = Stage {
            layout: &self.layout,
            edges: &self.edges,
            vessels: &self.tanks,
            contents: &self.contents,
        };
        let off = self.constraint.correct(&stage, step, correction);
        off.max(self.valves.correct(&stage, &self.shares, step, correction))
    }
}

#[test]
fn behind_an_open_door_a_flow_into_one_fills_both_at_one_pressure() {
    let open = Passage {
        one_pressure: true,
        turnover: Some((0.01, 0.03)),
        area_m2: 0.0,
    };
    let mut pair = Pair::new([12.0, 4.0], open, 0.7);
    let end = pair.step([3_000.0, 1_000.0], 60.0);
    // By hand: 4000 mol and 0.7 mol/s for 60 s, by volume.
    let all = 4_000.0 + 0.7 * 60.0;
    assert!((end[0] - 0.75 * all).abs() < 1e-5, "{}", end[0]);
    assert!((end[1] - 0.25 * all).abs() < 1e-5, "{}", end[1]);
    let passed = dot(&weights(60.0, 1.0), &pair.flows[0].map(|f| f[HE]));
    assert!((passed - 0.25 * 42.0).abs() < 1e-5, "{passed}");
}

#[test]
fn through_a_valve_pressures_that_come_together_do_as_a_plain_integration_says() {
    const AREA_M2: f64 = 2e-5;
    let valve = Passage {
        one_pressure: false,
        turnover: None,
        area_m2: AREA_M2,
    };
    let volumes = [10.0, 2.0];
    let moles = |p_pa: f64, i: usize| p_pa * volumes[i] / (R * T_K);
    let helium = Amounts::heliox(0.0);
    let cp = gas::state::cp_j_mol_k(&helium);
    let mut plain = [moles(5.02e5, 0), moles(5.0e5, 1)];
    let mut pair = Pair::new(volumes, valve, 0.0);
    let ours = (0..16).fold(plain, |mol, _| pair.step(mol, 0.5));
    // The same opening, by two hundred thousand steps of the midpoint rule.
    let flow = |n: [f64; 2]| {
        let p = [0, 1].map(|i| n[i] * R * T_K / volumes[i]);
        through_mol_s(AREA_M2, &nozzle(&helium, cp), p[0], T_K, p[1])
    };
    let h_s = 8.0 / 200_000.0;
    for _ in 0..200_000 {
        let half = 0.5 * h_s * flow(plain);
        let by = h_s * flow([plain[0] - half, plain[1] + half]);
        plain = [plain[0] - by, plain[1] + by];
    }
    println!("{ours:?} against {plain:?}, from {}", moles(5.0e5, 1));
    assert!((ours[0] + ours[1] - plain[0] - plain[1]).abs() < 1e-9);
    assert!((ours[1] / plain[1] - 1.0).abs() < 1e-6);
}
