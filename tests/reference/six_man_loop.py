"""Oxygen of the six-man job's divers' banks and of its reclaim, day by day.

An independent sum: the acts of the job (who is in the water, when reclaim runs,
how far the trickle stands open, which bank makes the loop up) are read from
`data/six_man_loop_acts.csv`; every figure of the steel, of the gas and of a man
at work is typed here again from the files of the job; the balance of oxygen in
the volume tank is stepped second by second. No code is shared with the program.

    n dx/dt = trickle + M x_m - L - b - s x          (n moles of the tank, kept)
    M = (1 - r)(q - b) + b + s - trickle             (make-up keeps n)
    L = (1 - r)(q x - b)                             (lost of what is breathed out)

q breathed, b kept by the body, s to the analysers, r the recovery. Carbon dioxide
stays in the absorbent and water drops out, so neither is in the balance.

Real gas by a density virial, coefficients of CoolProp's equations of state for
helium and oxygen fitted between 273 and 323 K; cross second virial of helium and
oxygen 18.0 + 0.02 d cm3/mol (an estimate, no measurement read), d = T - 298.15 K.

Writes `data/six_man_loop.csv`. Run it after `acts_of_the_six_man_loop`, an
ignored test of the job's deeds, has written the acts anew.
"""

import csv
import math
from pathlib import Path

HERE = Path(__file__).parent / "data"
R, ATM = 8.31446261815324, 101325.0
DAY = 86_400
BANK_K, BREATHED_K, TANK_K = 288.15, 288.15, 287.15

# The files of the job and of its spread.
DIVER_BANKS = ["D-1", "D-2", "D-3", "D-4", "D-5"]
BANK_M3, BANK_BAR, MIX = 3.2, 200.0, 0.05
OXYGEN_M3, OXYGEN_BAR = 0.8, 180.0
TANK_M3, WORKING_BAR, CHARGE, RECOVERY = 1.0, 35.0, 0.05, 0.88
TRICKLE_BORE, DISCHARGE, REGULATOR_PA = 0.25e-3, 0.8, 7e5
SAMPLE_L_MIN = 0.5
# Time in which make-up brings the tank back to its pressure, s.
MAKE_UP_S = 600.0
DEPTH_MSW, TIDE_M, TIDE_S = 118.0, 0.8, 12.4206 * 3600
# A man at work in the water: litres of oxygen a minute at 0 degC and 1 atm, litres of gas at his pressure.
OXYGEN_L_MIN, BREATHED_L_MIN = 1.22, 30.0


def virials(x_o2, t):
    """B, C, D of a heliox, in powers of cm3/mol."""
    d = t - 298.15
    tau = d / 100.0
    b_he = 11.84765177 - 0.404324446 * tau + 0.002411701371 * tau * tau
    b_o2 = -15.87932424 + 20.9530763 * tau - 7.423196635 * tau * tau
    c_he, c_o2 = 103.3663399 - 19.34989954 * tau, 960.8273742 - 203.0671733 * tau
    d_he, d_o2 = 935.5350954, 19572.48678
    y = 1.0 - x_o2
    return (
        y * y * b_he + 2 * y * x_o2 * (18.0 + 0.02 * d) + x_o2 * x_o2 * b_o2,
        (y * c_he ** (1 / 3) + x_o2 * c_o2 ** (1 / 3)) ** 3,
        (y * d_he**0.25 + x_o2 * d_o2**0.25) ** 4,
    )


def moles(p_pa, volume_m3, t, x_o2):
    """Moles in a volume, by bisection of the density."""
    b, c, d = virials(x_o2, t)
    ideal = p_pa / (R * t) * 1e-6
    low, high = 0.5 * ideal, 2.0 * ideal
    for _ in range(80):
        r = 0.5 * (low + high)
        p = R * t * 1e6 * r * (1 + r * (b + r * (c + r * d)))
        low, high = (r, high) if p < p_pa else (low, r)
    return 0.5 * (low + high) * 1e6 * volume_m3


def orifice(opening):
    """Oxygen through the trickle's valve, mol/s: the ideal-gas nozzle."""
    area = DISCHARGE * math.pi / 4 * TRICKLE_BORE**2 * opening
    down = ATM + WORKING_BAR * 1e5
    up, g, molar = down + REGULATOR_PA, 1.4, 31.999e-3
    ratio = down / up
    f = math.sqrt(2 * g / (g - 1) * (ratio ** (2 / g) - ratio ** ((g + 1) / g)))
    return area * up * f / math.sqrt(R * BANK_K * molar)


def standard(l_min):
    """Litres a minute at 0 degC and 1 atm as mol/s."""
    return l_min * 1e-3 / 60 * ATM / (R * 273.15)


def main():
    with open(HERE / "six_man_loop_acts.csv") as f:
        lines = [line for line in f if not line.startswith("#")]
    acts = [(int(t), what, value) for t, what, value in csv.reader(lines)]
    left = {b: moles(ATM + BANK_BAR * 1e5, BANK_M3, BANK_K, MIX) for b in DIVER_BANKS}
    oxygen = moles(ATM + OXYGEN_BAR * 1e5, OXYGEN_M3, BANK_K, 1.0)
    n, x = moles(ATM + WORKING_BAR * 1e5, TANK_M3, TANK_K, CHARGE), CHARGE
    kept, sampled = standard(OXYGEN_L_MIN), standard(SAMPLE_L_MIN)
    in_water, runs, opening, made_up, owed, k = 0, False, 0.0, None, 0.0, 0
    rows, end = [], acts[-1][0]
    # What is breathed at a depth, by metres of tide from -1 to 1: the gas law is slow.
    at_depth = [
        moles(ATM + (DEPTH_MSW + m / 10) * 1e4, BREATHED_L_MIN * 1e-3 / 60, BREATHED_K, MIX)
        for m in range(-10, 11)
    ]
    trickles = {}
    for t in range(end + 1):
        while k < len(acts) and acts[k][0] <= t:
            _, what, value = acts[k]
            if what == "water":
                in_water += int(value)
            elif what == "reclaim":
                runs = value == "on"
            elif what == "trickle":
                opening = float(value)
            elif what == "make-up":
                made_up = value
            k += 1
        if t and t % DAY == 0:
            rows.append([t, *[left[b] * MIX for b in DIVER_BANKS], oxygen, x])
        trickle = trickles.setdefault(opening, orifice(opening)) if opening else 0.0
        oxygen -= trickle
        if not runs:
            # Nobody draws: the analysers take gas as it is, which is made up when the loop runs again, and a trickle
            # left open would enrich it.
            owed += sampled - trickle
            x += trickle * (1 - x) / n
            continue
        q = b = 0.0
        if in_water:
            m = TIDE_M * math.sin(2 * math.pi * t / TIDE_S) * 10 + 10
            i = min(int(m), 19)
            q = in_water * (at_depth[i] + (m - i) * (at_depth[i + 1] - at_depth[i]))
            b = in_water * kept
        repaid = owed / MAKE_UP_S
        make_up = (1 - RECOVERY) * (q - b) + b + sampled - trickle + repaid
        owed -= repaid
        lost = (1 - RECOVERY) * (q * x - b)
        x += (trickle + make_up * MIX - lost - b - (sampled + repaid) * x) / n
        left[made_up] -= make_up
    with open(HERE / "six_man_loop.csv", "w") as f:
        f.write("# Written by six_man_loop.py. Oxygen at each day's end: of the divers' banks and of the trickle's bank\n")
        f.write("# in mol, of the loop as a fraction.\n")
        out = csv.writer(f, lineterminator="\n")
        out.writerow(["second", *DIVER_BANKS, "O-3", "loop"])
        for row in rows:
            out.writerow([row[0], *[f"{v:.2f}" for v in row[1:-1]], f"{row[-1]:.6f}"])


main()
