"""One chamber: gas node, wall node, and everything that crosses their borders.

State: moles of O2, N2, He, CO2, H2O; TOTAL internal energy of the gas, J; wall
temperature, K; and one accumulator per path, so that every loss is integrated
beside the state.  The temperature is found from the energy at every call.

    dn_i/dt = sum of molar flows
    dU/dt   = sum F_in h_in - F_out h + Q           (constant volume)
    C_w dT_w/dt = Q_convection + Q_condensation - UA (T_w - T_env)

Species that change hands inside (men, scrubber, coil, condensation) carry their
ideal-gas enthalpy at gas temperature; streams through openings and supplies
carry the real enthalpy of the mixture.  Liquid water has h = h0 - evaporation.
"""

import numpy as np
from scipy.integrate import solve_ivp

import gas_model as gm
from gas_model import CO2, H2O, NAMES, O2, R

G_M_S2 = 9.80665
P_STD_PA, T_STD_K = 101325.0, 273.15
PATHS = (
    [f"leak_{n}_mol" for n in NAMES]
    + [f"sample_{n}_mol" for n in NAMES]
    + [f"exhaust_{n}_mol" for n in NAMES]
    + [f"supply_{n}_mol" for n in NAMES]
    + ["oxygen_added_mol", "oxygen_used_mol", "co2_breathed_mol", "co2_scrubbed_mol"]
    + ["water_breathed_mol", "water_scrubber_mol", "water_coil_mol", "water_wall_mol"]
    + ["heat_men_j", "heat_scrubber_j", "heat_heater_j", "heat_coil_sensible_j"]
    + ["heat_wall_convection_j", "heat_wall_condensation_j", "heat_surroundings_j"]
    + ["enthalpy_in_j", "enthalpy_out_j", "enthalpy_exchanged_j"]
)
AT = {name: 7 + i for i, name in enumerate(PATHS)}
N_STATE = 7 + len(PATHS)
SMALL_DROP_PA = 10.0


def litres_stpd_per_min(value):
    """L/min STPD (ideal) to mol/s."""
    return value * 1e-3 / 60.0 * P_STD_PA / (R * T_STD_K)


def vector(by_name):
    """Five numbers from a mapping of species names."""
    unknown = set(by_name) - set(NAMES)
    if unknown:
        raise ValueError(f"unknown species {sorted(unknown)}")
    return np.array([float(by_name.get(n, 0.0)) for n in NAMES])


def orifice(area_m2, p_pa, t_k, p_out_pa, gamma, molar_mass):
    """Molar flow, mol/s, through an effective area: choked or subcritical.

    Perfect-gas isentropic orifice with frozen gamma = cp0/(cp0 - R).  Below a drop
    of 10 Pa the subcritical flow is made linear in the drop.
    """
    if p_pa <= p_out_pa or area_m2 == 0.0:
        return 0.0
    scale = area_m2 * p_pa / np.sqrt(R * t_k * molar_mass)
    ratio = p_out_pa / p_pa
    if ratio <= (2.0 / (gamma + 1.0)) ** (gamma / (gamma - 1.0)):
        return scale * np.sqrt(gamma) * (2 / (gamma + 1)) ** ((gamma + 1) / (2 * (gamma - 1)))
    linear = 1.0
    if p_pa - p_out_pa < SMALL_DROP_PA:
        linear = (p_pa - p_out_pa) / SMALL_DROP_PA
        ratio = p_out_pa / (p_out_pa + SMALL_DROP_PA)
    drop = ratio ** (2 / gamma) - ratio ** ((gamma + 1) / gamma)
    return linear * scale * np.sqrt(2 * gamma / (gamma - 1) * drop)


def churchill_chu(film, t_film_k, dt_k, height_m):
    """Natural convection on a vertical plate, all Rayleigh numbers, W/(m2 K)."""
    rho, cp = film.rho * film.molar_mass, film.cp / film.molar_mass
    prandtl = film.mu * cp / film.k
    rayleigh = G_M_S2 * abs(dt_k) / t_film_k * height_m**3 * rho * rho * cp / (film.mu * film.k)
    root = 0.825 + 0.387 * rayleigh ** (1 / 6) / (1 + (0.492 / prandtl) ** (9 / 16)) ** (8 / 27)
    return film.k / height_m * root * root


class Chamber:
    """The balances of one case; `case` is the mapping read from its JSON file."""

    def __init__(self, case):
        self.case = case
        self.volume = case["volume_m3"]
        self.real = case.get("real_gas", True)
        self.wall = case["wall"]
        self.guess_k = case["initial"]["t_gas_k"]
        self.oxygen_flow = 0.0
        self.exhaust_area = 0.0
        self.supply_flow = 0.0

    def initial(self):
        """State at the start, from partial pressures, the named balance gas and temperatures."""
        start = self.case["initial"]
        t_k, p_pa = start["t_gas_k"], start["p_pa"]
        partial = vector(start["partial_pressure_pa"])
        if "relative_humidity" in start:
            partial[H2O] = start["relative_humidity"] * gm.p_sat(t_k)
        balance = NAMES.index(start["balance"])
        partial[balance] = p_pa - partial.sum() + partial[balance]
        x = partial / p_pa
        rho = gm.density(t_k, p_pa, x, self.real)
        y = np.zeros(N_STATE)
        y[:5] = rho * x * self.volume
        y[5] = rho * self.volume * gm.internal_energy(t_k, rho, x, self.real)[0]
        y[6] = start["t_wall_k"]
        return y

    def look(self, y):
        """(mole fractions, density, temperature, pressure)."""
        total = y[:5].sum()
        x, rho = y[:5] / total, total / self.volume
        t_k = gm.temperature(y[5] / total, rho, x, self.guess_k, self.real)
        self.guess_k = t_k
        return x, rho, t_k, gm.pressure(t_k, rho, x, self.real)

    def _openings(self, d, x, rho, t_k, p_pa, pure):
        """Leak, exhaust and analyser sample: all leave with the enthalpy of the gas."""
        cp0, mass = x @ pure.cp0, x @ gm.MOLAR_MASS
        gamma, outside = cp0 / (cp0 - R), self.case["p_outside_pa"]
        h = gm.enthalpy(t_k, rho, x, self.real)
        for name, flow in (
            ("leak", orifice(self.case.get("leak_area_m2", 0.0), p_pa, t_k, outside, gamma, mass)),
            ("exhaust", orifice(self.exhaust_area, p_pa, t_k, outside, gamma, mass)),
            ("sample", self.case.get("sample_mol_s", 0.0)),
        ):
            first = AT[f"{name}_O2_mol"]
            d[first : first + 5] += flow * x
            d[:5] -= flow * x
            d[5] -= flow * h
            d[AT["enthalpy_out_j"]] += flow * h

    def _inflows(self, d, p_pa):
        """Oxygen addition and supply, at stated temperature and chamber pressure."""
        streams = []
        if self.oxygen_flow:
            streams.append(("oxygen", self.oxygen_flow, vector({"O2": 1}), self.case["oxygen"]["t_k"]))
        if self.supply_flow:
            supply = self.case["supply"]
            streams.append(("supply", self.supply_flow, vector(supply["mole_fraction"]), supply["t_k"]))
        for name, flow, x, t_k in streams:
            h = gm.enthalpy(t_k, gm.density(t_k, p_pa, x, self.real), x, self.real)
            d[:5] += flow * x
            d[5] += flow * h
            d[AT["enthalpy_in_j"]] += flow * h
            if name == "oxygen":
                d[AT["oxygen_added_mol"]] += flow
            else:
                first = AT["supply_O2_mol"]
                d[first : first + 5] += flow * x

    @staticmethod
    def _exchange(d, enthalpy):
        """Enthalpy carried by species that change hands inside, positive into the gas."""
        d[5] += enthalpy
        d[AT["enthalpy_exchanged_j"]] += enthalpy

    def _men(self, d, pure):
        men = self.case.get("men")
        if not men:
            return
        count = men["count"]
        o2 = count * litres_stpd_per_min(men["oxygen_l_min_stpd"])
        co2 = count * litres_stpd_per_min(men["co2_l_min_stpd"])
        water = count * men["water_kg_day"] / 86400.0 / gm.MOLAR_MASS[H2O]
        heat = count * men["sensible_heat_w"]
        d[O2] -= o2
        d[CO2] += co2
        d[H2O] += water
        self._exchange(d, co2 * pure.h0[CO2] + water * pure.h0[H2O] - o2 * pure.h0[O2])
        d[5] += heat
        d[AT["oxygen_used_mol"]] = o2
        d[AT["co2_breathed_mol"]] = co2
        d[AT["water_breathed_mol"]] = water
        d[AT["heat_men_j"]] = heat

    def _scrubber(self, d, y, pure):
        scrubber = self.case.get("scrubber")
        if not scrubber:
            return
        rate = scrubber["efficiency"] * scrubber["flow_m3_s"] * y[CO2] / self.volume
        heat = scrubber["heat_j_per_mol_co2"] * rate
        water = scrubber["water_mol_per_mol_co2"] * rate
        d[CO2] -= rate
        d[H2O] += water
        self._exchange(d, water * pure.h0[H2O] - rate * pure.h0[CO2])
        d[5] += heat
        d[AT["co2_scrubbed_mol"]] = rate
        d[AT["water_scrubber_mol"]] = water
        d[AT["heat_scrubber_j"]] = heat

    def _climate(self, d, y, x, rho, t_k, p_pa, pure):
        heater = self.case.get("heater")
        if heater:
            band = heater["band_k"]
            share = (heater["t_set_k"] + band / 2 - t_k) / band
            power = heater["p_max_w"] * min(1.0, max(0.0, share))
            d[5] += power
            d[AT["heat_heater_j"]] = power
        coil = self.case.get("coil")
        if coil:
            through = coil["contact"] * coil["flow_m3_s"]
            sensible = through * rho * (x @ pure.cp0) * (t_k - coil["t_k"])
            p_w = x[H2O] * p_pa
            excess = max(0.0, p_w - gm.p_sat(coil["t_k"]))
            water = through * y[H2O] / self.volume * excess / p_w if p_w > 0 else 0.0
            d[H2O] -= water
            self._exchange(d, -water * pure.h0[H2O])
            d[5] -= sensible
            d[AT["water_coil_mol"]] = water
            d[AT["heat_coil_sensible_j"]] = sensible

    def _wall(self, d, y, x, t_k, p_pa, pure):
        wall, t_wall = self.wall, y[6]
        area = wall["area_m2"]
        loss = wall["ua_w_k"] * (t_wall - wall["t_env_k"])
        convection = condensation = 0.0
        if "h_w_m2k" in wall:
            convection = wall["h_w_m2k"] * area * (t_k - t_wall)
        else:
            t_film = 0.5 * (t_k + t_wall)
            film = gm.film(t_film, p_pa, x, self.real)
            h = churchill_chu(film, t_film, t_k - t_wall, wall["plate_height_m"])
            convection = h * area * (t_k - t_wall)
            excess = x[H2O] * p_pa - gm.p_sat(t_wall) if x[H2O] > 0 else 0.0
            if excess > 0:
                volumetric = film.rho * film.cp
                lewis = wall.get("lewis_number") or film.k / volumetric / film.diffusivity
                water = h / volumetric * lewis ** (-2 / 3) * area * excess / (R * t_film)
                at_wall = gm.pure(t_wall, self.real).h0[H2O] - gm.evaporation(t_wall)
                condensation = water * (pure.h0[H2O] - at_wall)
                d[H2O] -= water
                self._exchange(d, -water * pure.h0[H2O])
                d[AT["water_wall_mol"]] = water
        d[5] -= convection
        d[6] = (convection + condensation - loss) / wall["heat_capacity_j_k"]
        d[AT["heat_wall_convection_j"]] = convection
        d[AT["heat_wall_condensation_j"]] = condensation
        d[AT["heat_surroundings_j"]] = loss

    def derivative(self, _t, y):
        """Right-hand side."""
        d = np.zeros(N_STATE)
        x, rho, t_k, p_pa = self.look(y)
        pure = gm.pure(t_k, self.real)
        self._openings(d, x, rho, t_k, p_pa, pure)
        self._inflows(d, p_pa)
        self._men(d, pure)
        self._scrubber(d, y, pure)
        self._climate(d, y, x, rho, t_k, p_pa, pure)
        self._wall(d, y, x, t_k, p_pa, pure)
        return d

    def _set(self, t):
        """Settings of the time tables that hold from `t` on."""
        def step(rows):
            held = 0.0
            for since, value in rows:
                if since <= t:
                    held = value
            return held

        if "oxygen" in self.case:
            self.oxygen_flow = litres_stpd_per_min(step(self.case["oxygen"]["l_min_stpd_from_s"]))
        if "exhaust" in self.case:
            self.exhaust_area = self.case["exhaust"]["area_m2"] * step(self.case["exhaust"]["open_from_s"])
        if "supply" in self.case:
            self.supply_flow = 0.0 if self.arrived else self.case["supply"]["flow_mol_s"]

    def _breaks(self):
        times = {0.0, float(self.case["end_s"])}
        times |= {t for t, _ in self.case.get("oxygen", {}).get("l_min_stpd_from_s", [])}
        times |= {t for t, _ in self.case.get("exhaust", {}).get("open_from_s", [])}
        return sorted(t for t in times if 0.0 <= t <= self.case["end_s"])

    def run(self, method="LSODA", rtol=1e-10):
        """Integrate; returns (times of rows, states, arrival or None)."""
        atol = np.full(N_STATE, 1e-7)
        atol[5], atol[6] = 1e-3, 1e-10
        for name, i in AT.items():
            if name.endswith("_j"):
                atol[i] = 1e-2
        rows = np.arange(0.0, self.case["end_s"] + 1e-9, self.case["row_every_s"])
        self.arrived, self.calls = None, 0
        y, out = self.initial(), []
        breaks = self._breaks()
        stop = self.case.get("supply", {}).get("stop_at_pa")
        while len(breaks) > 1:
            start, end = breaks[0], breaks[1]
            self._set(start)
            events = None
            if stop and self.arrived is None:
                events = lambda _t, s: self.look(s)[3] - stop
                events.terminal, events.direction = True, 1.0
            wanted = rows[(rows >= start) & (rows < end)]
            solved = solve_ivp(self.derivative, (start, end), y, method,
                               dense_output=True, events=events, rtol=rtol, atol=atol)
            if solved.status < 0:
                raise ArithmeticError(solved.message)
            self.calls += solved.nfev
            reached, y = solved.t[-1], solved.y[:, -1]
            out += [(t, solved.sol(t)) for t in wanted if t < reached]
            if solved.status == 1:
                self.arrived = (reached, y.copy())
                breaks[0] = reached
            else:
                breaks.pop(0)
        out.append((breaks[0], y))
        return np.array([t for t, _ in out]), np.array([s for _, s in out]), self.arrived
