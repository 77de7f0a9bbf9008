"""What quads yield, hold and show by the equations of state in CoolProp, for the sums of banks by real gas.

Writes data/bank_sums.csv. Helium: Ortiz-Vega et al.; oxygen: Schmidt and Wagner; nitrogen: Span et al. Heliox by the
library's mixture (GERG-2008 form; its He-O2 pair is not fitted to data, so that at 200 bar it may lie 1 to 2 % high in Z).
Inputs are invented. Free gas is counted ideal at 15 degC and 1 bar, and the surface is 1.01325 bar.
"""

import pathlib

import CoolProp
from CoolProp.CoolProp import PropsSI

R = 8.31446261815324
SURFACE = 101325.0
FREE = 1e5 / (R * 288.15)  # mol in a cubic metre


def fluid(o2):
    if o2 == 0:
        return "Helium"
    if o2 == 1:
        return "Oxygen"
    return f"HEOS::Helium[{1 - o2:.12g}]&Oxygen[{o2:.12g}]"


def density(o2, p, t):
    return PropsSI("Dmolar", "P", p, "T", t, fluid(o2))


def pressure(o2, d, t):
    return PropsSI("P", "Dmolar", d, "T", t, fluid(o2))


def free_m3(o2, litres, gauge_bar, t):
    return density(o2, gauge_bar * 1e5 + SURFACE, t) * litres * 1e-3 / FREE


rows = []
# Gas of 48 x 50 L between two gauge pressures.
for o2 in (0, 0.02, 0.04, 0.1, 0.2, 1):
    for gauge, heel in ((200, 40), (164, 35), (90, 30)):
        for celsius in (5, 15, 30):
            t = celsius + 273.15
            m3 = free_m3(o2, 2400, gauge, t) - free_m3(o2, 2400, heel, t)
            rows.append(("gas-available", o2, gauge, heel, celsius, m3))
# The gauge of a shut quad at another temperature.
for o2 in (0, 0.1, 1):
    for gauge, celsius, other in ((180, 35, 12), (200, 15, 30)):
        d = density(o2, gauge * 1e5 + SURFACE, celsius + 273.15)
        p = (pressure(o2, d, other + 273.15) - SURFACE) / 1e5
        rows.append(("quad-temperature", o2, gauge, other, celsius, p))
# Oxygen share after oxygen to one gauge pressure is topped with helium to another, both above a bar of themselves.
for held, final in ((20, 180), (40, 200), (68, 137)):
    t = 288.15
    oxygen = density(1, held * 1e5 + SURFACE, t)
    low, high = oxygen, oxygen + 12000
    for _ in range(100):
        middle = 0.5 * (low + high)
        if pressure(oxygen / middle, middle, t) < final * 1e5 + SURFACE:
            low = middle
        else:
            high = middle
    rows.append(("mixing", 1, held, final, 15, 100 * oxygen / low))

out = pathlib.Path(__file__).parent / "data" / "bank_sums.csv"
with out.open("w") as f:
    f.write(f"# bank_sums.py, CoolProp {CoolProp.__version__}; surface 1.01325 bar, free gas at 15 degC and 1 bar (ideal)\n")
    f.write("# gas-available: m3 of 48 x 50 L from gauge_bar to other; quad-temperature: bar at other degC;\n")
    f.write("# mixing: percent of oxygen after oxygen to gauge_bar is topped with helium to other\n")
    f.write("sum,o2,gauge_bar,other,celsius,value\n")
    for name, o2, gauge, other, celsius, value in rows:
        f.write(f"{name},{o2},{gauge},{other},{celsius},{value:.8g}\n")
