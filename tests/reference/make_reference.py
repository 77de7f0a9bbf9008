"""Regenerates data/reference_*.csv from cases/*.json, and prints its self-checks.

    python3 -m venv venv && venv/bin/pip install numpy scipy CoolProp
    venv/bin/python make_reference.py            # everything, a few minutes
    venv/bin/python make_reference.py blow_down  # one case
"""

import json
import sys
from pathlib import Path

import CoolProp
import numpy as np
import scipy
from CoolProp.CoolProp import PropsSI

import gas_model as gm
import hole_and_fill as hf
from chamber_model import AT, Chamber, PATHS, churchill_chu
from gas_model import CO2, H2O, N2, NAMES, O2

HERE = Path(__file__).parent
CASES = ("chamber_day", "chamber_day_lewis_one", "chamber_day_dry_wall", "blow_down",
         "decompression", "decompression_end")
VERSIONS = f"CoolProp {CoolProp.__version__}, scipy {scipy.__version__}, numpy {np.__version__}"
BASE = ["t_s", "p_pa", "t_gas_k", "t_wall_k", "p_o2_pa", "p_n2_pa", "p_co2_pa", "p_h2o_pa",
        "relative_humidity"] + [f"n_{n}_mol" for n in NAMES]


def load(name):
    return json.loads((HERE / "cases" / f"{name}.json").read_text())


def number(value):
    """Ten significant digits; what is below 1e-9 of its unit is round-off."""
    return "0" if abs(value) < 1e-9 else f"{value:.10g}"


def row(chamber, t, state):
    x, _, t_k, p_pa = chamber.look(state)
    partial = x * p_pa
    humidity = partial[H2O] / gm.p_sat(t_k) if partial[H2O] > 1e-9 else 0.0
    return [t, p_pa, t_k, state[6], *partial[[O2, N2, CO2, H2O]], humidity, *state[:5], *state[7:]]


def write(name, comments, columns, rows):
    lines = [f"# {c}" for c in comments]
    lines += [",".join(columns)]
    lines += [",".join(v if isinstance(v, str) else "" if v is None else number(v) for v in r) for r in rows]
    path = HERE / "data" / f"reference_{name}.csv"
    path.write_text("\n".join(lines) + "\n")
    print(f"  wrote {path.name}: {len(rows)} rows")


def balance_errors(case, states):
    """Relative closing errors of moles and of energy over the whole run.

    Moles: gas at the end against gas at the start and every path by species.
    Energy: gas and wall, recomputed from temperature, against every heat and enthalpy path.
    """
    first, last = states[0], states[-1]
    path = lambda key: last[AT[key]]
    moved = np.array([path(f"supply_{n}_mol") - path(f"leak_{n}_mol") - path(f"sample_{n}_mol")
                      - path(f"exhaust_{n}_mol") for n in NAMES])
    moved[O2] += path("oxygen_added_mol") - path("oxygen_used_mol")
    moved[CO2] += path("co2_breathed_mol") - path("co2_scrubbed_mol")
    moved[H2O] += (path("water_breathed_mol") + path("water_scrubber_mol")
                   - path("water_coil_mol") - path("water_wall_mol"))
    moles = np.abs(last[:5] - first[:5] - moved).max() / first[:5].sum()
    chamber = Chamber(case)
    stored = [0.0, 0.0]
    for i, s in enumerate((first, last)):
        x, rho, t_k, _ = chamber.look(s)
        stored[i] = s[:5].sum() * gm.internal_energy(t_k, rho, x, chamber.real)[0]
        stored[i] += case["wall"]["heat_capacity_j_k"] * s[6]
    gained = (path("heat_men_j") + path("heat_scrubber_j") + path("heat_heater_j")
              - path("heat_coil_sensible_j") + path("heat_wall_condensation_j")
              - path("heat_surroundings_j") + path("enthalpy_in_j") - path("enthalpy_out_j")
              + path("enthalpy_exchanged_j"))
    handled = sum(abs(path(k)) for k in PATHS if k.endswith("_j")) + 1.0
    return moles, abs(stored[1] - stored[0] - gained) / handled


def solve(name):
    """Runs a case with LSODA, again with DOP853, and writes the former."""
    case = load(name)
    chamber = Chamber(case)
    times, states, arrival = chamber.run("LSODA")
    rows = [row(chamber, t, s) for t, s in zip(times, states)]
    other = Chamber(case)
    times2, states2, _ = other.run("DOP853")
    rows2 = [row(other, t, s) for t, s in zip(times2, states2)]
    near = len(BASE) - 5
    a, b = np.array(rows)[:, 1:near], np.array(rows2)[:, 1:near]
    scale = np.maximum(np.abs(b).max(axis=0), 1e-6)
    differ = (np.abs(a - b) / scale).max()
    moles, energy = balance_errors(case, states)
    print(f"{name}: LSODA against DOP853 {differ:.1e} of each column's largest; "
          f"mole balance {moles:.1e}, energy balance {energy:.1e}")
    comments = [
        case["what"],
        f"independent integration (moles, total internal energy, wall temperature) by make_reference.py with {VERSIONS}",
        f"inputs: cases/{name}.json; regenerate: python make_reference.py {name}",
        "partial pressure = mole fraction x absolute pressure; relative humidity over IAPWS-95 saturation at gas temperature",
        "amounts by path (_mol) and heats (_j) count from the start; paths that stay zero are left out",
        f"self-checks: LSODA against DOP853 {differ:.0e}; mole balance {moles:.0e}; energy balance {energy:.0e}",
    ]
    columns = BASE + PATHS
    table = np.array(rows)
    used = [i for i, c in enumerate(columns) if i < len(BASE) or np.abs(table[:, i]).max() > 1e-6]
    write(name, comments, [columns[i] for i in used], [[r[i] for i in used] for r in rows])
    if arrival:
        arrived = row(chamber, *arrival)
        later = rows[-1]
        print(f"  arrival {arrived[0]:.3f} s, {arrived[2]:.4f} K, ppO2 {arrived[4]:.2f} Pa; "
              f"at the end {later[2]:.4f} K, ppO2 {later[4]:.2f} Pa")
        write(f"{name}_arrival", comments[:-1] + [
            "first row: the moment the stop pressure is reached; second: the end of the case"],
            BASE, [r[: len(BASE)] for r in (arrived, later)])


def holes():
    rows = [r for name in hf.PUBLISHED_MSW for r in hf.hole_rows(load(name))]
    for r in rows:
        known = "" if r[5] is None else f"  (published form {r[5]:.2f})"
        print(f"{r[0]} {r[1]}: loss {r[4]:.4f} msw, {r[3]:.2f} K{known}")
    write("hole", [
        "Loss through a 12.7 mm hole (discharge coefficient 0.8) from 20 m3 at 11.013 bar and 303.15 K after 60 s",
        f"make_reference.py with {VERSIONS}; inputs: cases/hole_*.json; regenerate: python make_reference.py hole",
        "published_msw: figures of the published perfect-gas forms, rounded to 0.01; 1 msw = 1e4 Pa",
        "real_gas models keep the perfect-gas orifice formula with frozen cp0/(cp0 - R); the equation-of-state throat does not",
    ], ["case", "model", "p_pa", "t_gas_k", "loss_msw", "published_msw"], rows)


def checks():
    """What the integrator and the gas model must reproduce before anything is written."""
    found, exact = hf.check_fill(load("adiabatic_fill"))
    worst, constants, steady = hf.check_two_node(load("two_node"))
    print(f"adiabatic_fill: {found:.6f} K, exact {exact:.6f} K")
    print(f"two_node: worst {worst:.1e} K; time constants {constants[0]:.2f} and {constants[1]:.0f} s; steady {steady:.2f} K")
    write("closed_forms", [
        "Closed forms that the integrator reproduces", f"make_reference.py with {VERSIONS}; inputs: cases/adiabatic_fill.json, cases/two_node.json",
    ], ["quantity", "integrated", "exact", "unit"], [
        ("adiabatic_fill_end_temperature", found, exact, "K"),
        ("two_node_worst_temperature_difference", worst, 0.0, "K"),
        ("two_node_fast_time_constant", None, constants[0], "s"),
        ("two_node_slow_time_constant", None, constants[1], "s"),
        ("two_node_steady_gas_temperature", None, steady, "K")])
    for species, fluid in ((gm.HE, "Helium"), (O2, "Oxygen"), (N2, "Nitrogen")):
        x = np.zeros(5)
        x[species] = 1.0
        rho = gm.density(303.15, 1.3e6, x)
        print(f"gas model at 13 bar, 303.15 K, {fluid}: density off by "
              f"{rho / PropsSI('DMOLAR', 'T', 303.15, 'P', 1.3e6, fluid) - 1:.1e} of the equation of state")
    y = 0.40 / 11.01325
    film = gm.film(303.15, 1101325.0, np.array([y, 0, 1 - y, 0, 0]))
    lewis = film.k / (film.rho * film.cp) / film.diffusivity
    print(f"wall at 100 msw, 5 K, 2 m: {churchill_chu(film, 303.15, 5.0, 2.0):.2f} W/(m2 K) "
          f"(heliox_thermal_vs_depth.csv: 17.23); Lewis number of water {lewis:.3f}")


def main(wanted):
    wanted = wanted or ["checks", *CASES, "hole"]
    for name in wanted:
        if name == "checks":
            checks()
        elif name == "hole":
            holes()
        elif name in CASES:
            solve(name)
        else:
            sys.exit(f"unknown case {name}; take one of: checks, hole, {', '.join(CASES)}")


if __name__ == "__main__":
    main(sys.argv[1:])
