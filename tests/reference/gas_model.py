"""Properties of a breathing gas, by a route of their own.

Pure-fluid functions of temperature are taken from CoolProp and held as
Chebyshev series, so that the integrators see smooth functions:

* ideal-gas heat capacity cp0(T), rescaled from the library's gas constant of each
  fluid to the one here, and from it the enthalpy h0(T), zero at 298.15 K;
* second and third virial coefficients B(T), C(T) of the library's equations of
  state for helium, oxygen and nitrogen (carbon dioxide and water are taken as
  perfect: at their mole fractions here this moves the pressure by less than 1e-4 of it);
* viscosity and thermal conductivity in the limit of zero density;
* saturation pressure (IAPWS-95) and heat of evaporation of water.

Cross second virials: He-O2 18.0 + 0.02 d (an estimate, +-2 cm3/mol; no
measurement read), He-N2 21.07 - 0.0018 d, N2-O2 -10.73 + 0.2053 d - 0.00082 d^2
(the latter two fitted to GERG-2008 as CoolProp holds it), d = T - 298.15 K.
C of a mixture = (sum x_i C_i^(1/3))^3.  The density series ends with C.

Species order: O2, N2, He, CO2, H2O.  SI units, moles, joules.
"""

from dataclasses import dataclass

import numpy as np
from CoolProp.CoolProp import AbstractState, DmolarT_INPUTS, PropsSI, QT_INPUTS
from numpy.polynomial import Chebyshev

R = 8.31446261815324
T_DATUM_K = 298.15
NAMES = ("O2", "N2", "He", "CO2", "H2O")
FLUIDS = ("Oxygen", "Nitrogen", "Helium", "CarbonDioxide", "Water")
O2, N2, HE, CO2, H2O = range(5)
VIRIAL = (O2, N2, HE)
MOLAR_MASS = np.array([PropsSI("M", f) for f in FLUIDS])
# Diffusion volumes of Fuller, Schettler & Giddings (recalled), for water in each gas.
DIFFUSION_VOLUME = np.array([16.3, 18.5, 2.67, 26.9, 13.1])

GAS_RANGE_K = (230.0, 520.0)
WATER_RANGE_K = (274.0, 520.0)
NEAR_VACUUM = 1e-6  # mol/m3


def _series(function, domain, degree=22):
    return Chebyshev.interpolate(np.vectorize(function), degree, domain=domain)


class _Stack:
    """Many Chebyshev series over one range, evaluated together."""

    def __init__(self, domain):
        self.low, self.high = domain
        self.rows, self.index = [], {}

    def add(self, key, series):
        self.index[key] = len(self.rows)
        self.rows.append(series.coef)

    def close(self):
        degree = max(len(r) for r in self.rows)
        self.matrix = np.array([np.pad(r, (0, degree - len(r))) for r in self.rows])
        self.order = np.arange(degree)

    def __call__(self, t_k):
        t_k = min(max(t_k, self.low), self.high)
        x = (2.0 * t_k - self.low - self.high) / (self.high - self.low)
        return self.matrix @ np.cos(self.order * np.arccos(min(1.0, max(-1.0, x))))


def _pure(fluid):
    state = AbstractState("HEOS", fluid)

    def at(read):
        def value(t_k):
            state.update(DmolarT_INPUTS, NEAR_VACUUM, t_k)
            return read(state)

        return value

    return at


def _build():
    gas, water = _Stack(GAS_RANGE_K), _Stack(WATER_RANGE_K)
    for name, fluid in zip(NAMES, FLUIDS):
        at = _pure(fluid)
        stack, domain = (water, WATER_RANGE_K) if name == "H2O" else (gas, GAS_RANGE_K)
        cp0 = _series(at(lambda s: s.cp0molar() * R / s.gas_constant()), domain)
        stack.add("cp0" + name, cp0)
        h0 = cp0.integ()
        stack.add("h0" + name, h0 - h0(T_DATUM_K))
        stack.add("mu" + name, _series(at(lambda s: s.viscosity()), domain))
        stack.add("k" + name, _series(at(lambda s: s.conductivity()), domain))
        if name in ("O2", "N2", "He"):
            for key, read in (("B", AbstractState.Bvirial), ("C", AbstractState.Cvirial)):
                series = _series(at(read), domain)
                stack.add(key + name, series)
                stack.add("d" + key + name, series.deriv())
    saturated = AbstractState("HEOS", "Water")

    def log_p(t_k):
        saturated.update(QT_INPUTS, 1.0, t_k)
        return np.log(saturated.p())

    def evaporation(t_k):
        saturated.update(QT_INPUTS, 1.0, t_k)
        vapour = saturated.hmolar()
        saturated.update(QT_INPUTS, 0.0, t_k)
        return vapour - saturated.hmolar()

    water.add("log_p_sat", _series(log_p, WATER_RANGE_K))
    water.add("evaporation", _series(evaporation, WATER_RANGE_K))
    gas.close()
    water.close()
    return gas, water


_GAS, _WATER = _build()
_G, _W = _GAS.index, _WATER.index
_ROWS = {key: [_G[key + n] for n in NAMES[:4]] for key in ("cp0", "h0", "mu", "k")}
_VROWS = {key: [_G[key + NAMES[i]] for i in VIRIAL] for key in ("B", "dB", "C", "dC")}


def p_sat(t_k):
    """Saturation pressure of water, Pa."""
    return float(np.exp(_WATER(t_k)[_W["log_p_sat"]]))


def evaporation(t_k):
    """Heat of evaporation of water, J/mol."""
    return float(_WATER(t_k)[_W["evaporation"]])


@dataclass
class Pure:
    """Pure-species functions at one temperature."""

    cp0: np.ndarray
    h0: np.ndarray
    mu: np.ndarray
    k: np.ndarray
    b: np.ndarray
    db: np.ndarray
    c3: np.ndarray
    dc3: np.ndarray


def pure(t_k, real=True):
    """All pure-species functions at `t_k`; `real=False` makes every gas perfect."""
    g, w = _GAS(t_k), _WATER(t_k)
    take = lambda key: np.append(g[_ROWS[key]], w[_W[key + "H2O"]])
    b, db = np.zeros((5, 5)), np.zeros((5, 5))
    c3, dc3 = np.zeros(5), np.zeros(5)
    if real:
        for i, rb, rdb, rc, rdc in zip(VIRIAL, *(_VROWS[k] for k in ("B", "dB", "C", "dC"))):
            b[i, i], db[i, i] = g[rb], g[rdb]
            c3[i] = np.cbrt(g[rc])
            dc3[i] = g[rdc] / (3.0 * c3[i] ** 2)
        d = t_k - 298.15
        for i, j, value, slope in (
            (HE, O2, 18.0 + 0.02 * d, 0.02),
            (HE, N2, 21.07 - 0.0018 * d, -0.0018),
            (N2, O2, -10.73 + 0.2053 * d - 0.00082 * d * d, 0.2053 - 0.00164 * d),
        ):
            b[i, j] = b[j, i] = value * 1e-6
            db[i, j] = db[j, i] = slope * 1e-6
    return Pure(take("cp0"), take("h0"), take("mu"), take("k"), b, db, c3, dc3)


def _virials(f, x):
    b, db = x @ f.b @ x, x @ f.db @ x
    root = x @ f.c3
    return b, db, root**3, 3.0 * root * root * (x @ f.dc3)


def pressure(t_k, rho, x, real=True):
    """Pressure in Pa at molar density `rho` (mol/m3) and mole fractions `x`."""
    b, _, c, _ = _virials(pure(t_k, real), x)
    return rho * R * t_k * (1.0 + rho * (b + rho * c))


def internal_energy(t_k, rho, x, real=True):
    """(u, cv-like slope du/dT at constant density), J/mol and J/(mol K).

    The slope leaves out the curvature of B and C; it only steers Newton steps.
    """
    f = pure(t_k, real)
    _, db, _, dc = _virials(f, x)
    residual = rho * db + 0.5 * rho * rho * dc
    u = x @ f.h0 - R * t_k - R * t_k * t_k * residual
    return u, x @ f.cp0 - R - 2.0 * R * t_k * residual


def enthalpy(t_k, rho, x, real=True):
    """Molar enthalpy, J/mol."""
    return internal_energy(t_k, rho, x, real)[0] + pressure(t_k, rho, x, real) / rho


def density(t_k, p_pa, x, real=True):
    """Molar density at a pressure, mol/m3."""
    b, _, c, _ = _virials(pure(t_k, real), x)
    rt = R * t_k
    rho = p_pa / rt
    for _ in range(50):
        step = (rho * rt * (1 + rho * (b + rho * c)) - p_pa) / (rt * (1 + rho * (2 * b + 3 * rho * c)))
        rho -= step
        if abs(step) < 1e-15 * rho:
            break
    return rho


def temperature(u, rho, x, guess_k, real=True):
    """Temperature at which the gas of density `rho` holds `u` J/mol."""
    t_k = guess_k
    for _ in range(60):
        value, slope = internal_energy(t_k, rho, x, real)
        step = (value - u) / slope
        t_k -= step
        if abs(step) < 1e-12 * t_k:
            return t_k
    raise ArithmeticError("temperature not found")


@dataclass
class Film:
    """Mixture properties for wall exchange."""

    rho: float  # mol/m3
    cp: float  # J/(mol K), ideal gas
    molar_mass: float
    mu: float
    k: float
    diffusivity: float  # of water, m2/s


def film(t_k, p_pa, x, real=True):
    """Viscosity by Wilke; conductivity by Mason and Saxena with Wilke's factors and a
    leading constant of one (Poling, Prausnitz and O'Connell, 5th ed.; 1.065 in the
    original would put air 3 % low); diffusivity of water by Fuller and Blanc."""
    f = pure(t_k, real)
    m = MOLAR_MASS
    ratio = np.sqrt(f.mu[:, None] / f.mu[None, :]) * (m[None, :] / m[:, None]) ** 0.25
    phi = (1 + ratio) ** 2 / np.sqrt(8.0 * (1 + m[:, None] / m[None, :]))
    weight = phi @ x
    mu = np.sum(x * f.mu / weight)
    k = np.sum(x * f.k / weight)
    others = np.arange(4)
    pair_m = 2.0 / (1.0 / (m[others] * 1e3) + 1.0 / (m[H2O] * 1e3))
    pair_d = 0.00143 * t_k**1.75 / (p_pa / 1e5 * np.sqrt(pair_m))
    pair_d *= 1e-4 / (np.cbrt(DIFFUSION_VOLUME[others]) + np.cbrt(DIFFUSION_VOLUME[H2O])) ** 2
    diffusivity = (1.0 - x[H2O]) / np.sum(x[others] / pair_d)
    return Film(density(t_k, p_pa, x, real), x @ f.cp0, x @ m, mu, k, diffusivity)
