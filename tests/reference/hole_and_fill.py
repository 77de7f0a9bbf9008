"""Closed forms, and the open hole by four models of rising detail.

The closed forms referee the integrator of chamber_model.py: an adiabatic fill, two
linear nodes, isothermal and adiabatic blow-out through a choked orifice.  For pure
helium a further route shares nothing with gas_model.py: moles and energy are carried
through CoolProp's equation of state, the throat found where the isentrope reaches
the speed of sound.
"""

import copy

import numpy as np
from CoolProp.CoolProp import AbstractState, DmolarSmolar_INPUTS, DmolarUmolar_INPUTS, PT_INPUTS
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

import gas_model as gm
from chamber_model import Chamber
from gas_model import R

PA_PER_MSW = 1e4
# Losses in msw after 60 s published for this hole: isothermal and adiabatic.
PUBLISHED_MSW = {"hole_helium": (17.70, 27.21), "hole_heliox_4": (15.75, 24.21)}


def adiabatic_fill_k(t0_k, p0_pa, p1_pa, supply_k, gamma):
    """End temperature of a perfect gas filled without heat loss."""
    return p1_pa / (p0_pa / t0_k + (p1_pa - p0_pa) / (gamma * supply_k))


def two_node(t_s, t_gas_k, t_wall_k, env_k, gas_j_k, wall_j_k, ha_w_k, ua_w_k, heat_w):
    """Exact gas and wall temperatures of the linear pair at the times `t_s`."""
    matrix = np.array([[-ha_w_k / gas_j_k, ha_w_k / gas_j_k],
                       [ha_w_k / wall_j_k, -(ha_w_k + ua_w_k) / wall_j_k]])
    steady = np.array([env_k + heat_w / ua_w_k + heat_w / ha_w_k, env_k + heat_w / ua_w_k])
    values, vectors = np.linalg.eig(matrix)
    start = np.linalg.solve(vectors, np.array([t_gas_k, t_wall_k]) - steady)
    decay = np.exp(np.outer(values, t_s))
    return steady[:, None] + vectors @ (start[:, None] * decay), -1.0 / values


def choked_closed_forms(case, x):
    """Pressures in Pa after the case's end: (isothermal, adiabatic, adiabatic K), perfect gas."""
    start, t = case["initial"], case["end_s"]
    t_k, p_pa = start["t_gas_k"], start["p_pa"]
    cp0 = x @ gm.pure(t_k).cp0
    g = cp0 / (cp0 - R)
    throat = np.sqrt(g) * (2 / (g + 1)) ** ((g + 1) / (2 * (g - 1)))
    tau = case["volume_m3"] / (case["leak_area_m2"] * throat * np.sqrt(R * t_k / (x @ gm.MOLAR_MASS)))
    fall = 1 + (g - 1) * t / (2 * tau)
    return p_pa * np.exp(-t / tau), p_pa * fall ** (-2 * g / (g - 1)), t_k / fall**2


def _without_wall(case, real):
    case = copy.deepcopy(case)
    case["real_gas"] = real
    case["wall"].update(h_w_m2k=0.0, ua_w_k=0.0)
    return case


def _end(case, method="LSODA"):
    chamber = Chamber(case)
    _, states, _ = chamber.run(method)
    _, _, t_k, p_pa = chamber.look(states[-1])
    return p_pa, t_k


def helium_by_equation_of_state(case):
    """Pure helium, no wall: whole equation of state, isentropic throat at Mach one."""
    state, throat = AbstractState("HEOS", "Helium"), AbstractState("HEOS", "Helium")
    volume, mass = case["volume_m3"], state.molar_mass()
    start = case["initial"]
    state.update(PT_INPUTS, start["p_pa"], start["t_gas_k"])
    y0 = [state.rhomolar() * volume, state.rhomolar() * volume * state.umolar()]

    def right(_t, y):
        state.update(DmolarUmolar_INPUTS, y[0] / volume, y[1] / y[0])
        h, s = state.hmolar(), state.smolar()

        def excess(rho):
            throat.update(DmolarSmolar_INPUTS, rho, s)
            return 2.0 * (h - throat.hmolar()) / mass - throat.speed_sound() ** 2

        rho = brentq(excess, 0.4 * y[0] / volume, 0.95 * y[0] / volume, xtol=1e-13, rtol=1e-14)
        throat.update(DmolarSmolar_INPUTS, rho, s)
        flow = case["leak_area_m2"] * rho * throat.speed_sound()
        return [-flow, -flow * h]

    y = solve_ivp(right, (0, case["end_s"]), y0, "LSODA", rtol=1e-10, atol=[1e-7, 1e-2]).y[:, -1]
    state.update(DmolarUmolar_INPUTS, y[0] / volume, y[1] / y[0])
    return state.p(), state.T()


def hole_rows(case):
    """Rows (gas, model, p_pa, t_gas_k, loss_msw, published_msw) for one hole case."""
    name, p0, t0 = case["name"], case["initial"]["p_pa"], case["initial"]["t_gas_k"]
    chamber = Chamber(case)
    x = chamber.look(chamber.initial())[0]
    iso, adiabatic, adiabatic_k = choked_closed_forms(case, x)
    shown = PUBLISHED_MSW[name]
    rows = [
        ("isothermal_perfect_closed_form", iso, t0, shown[0]),
        ("adiabatic_perfect_closed_form", adiabatic, adiabatic_k, shown[1]),
        ("adiabatic_perfect_integrated", *_end(_without_wall(case, False)), shown[1]),
        ("adiabatic_real_gas", *_end(_without_wall(case, True)), None),
    ]
    if name == "hole_helium":
        rows.append(("adiabatic_real_equation_of_state_throat", *helium_by_equation_of_state(case), None))
    rows.append(("real_gas_with_wall", *_end(case), None))
    return [(name, model, p, t, (p0 - p) / PA_PER_MSW, known) for model, p, t, known in rows]


def check_fill(case):
    """(integrated, exact) end temperature in K of the adiabatic fill."""
    chamber = Chamber(case)
    _, _, arrival = chamber.run()
    start, supply = case["initial"], case["supply"]
    exact = adiabatic_fill_k(start["t_gas_k"], start["p_pa"], supply["stop_at_pa"], supply["t_k"], 5 / 3)
    return chamber.look(arrival[1])[2], exact


def check_two_node(case):
    """(worst difference in K from the exact pair, the two time constants in s, steady gas K)."""
    chamber = Chamber(case)
    times, states, _ = chamber.run()
    found = np.array([[chamber.look(s)[2], s[6]] for s in states]).T
    wall, start = case["wall"], case["initial"]
    gas_j_k = states[0][:5].sum() * 1.5 * R
    heat = case["heater"]["p_max_w"] / 2
    exact, constants = two_node(times, start["t_gas_k"], start["t_wall_k"], wall["t_env_k"], gas_j_k,
                                wall["heat_capacity_j_k"], wall["h_w_m2k"] * wall["area_m2"], wall["ua_w_k"], heat)
    steady = wall["t_env_k"] + heat / wall["ua_w_k"] + heat / (wall["h_w_m2k"] * wall["area_m2"])
    return np.abs(found - exact).max(), sorted(constants), steady
