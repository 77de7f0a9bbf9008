"""The most time in the water that the printed rules of a country let crews of two have from one bell, by a mixed
integer program and the solver HiGHS (scipy.optimize.milp), to hold the rota's bound against.

The figures are the texts' own: UK HSE DVIS 7 (1998): bell run 8 h, 6 h in the water, one run in 24 h, 12 h of rest.
Norway, Activities Regulations s. 94: to 180 m 8 h and 4 h in any 12 h; no rest is printed, and the 12 h of the test's
house stand in. France, orders of 1992 and 2019: 8 h and 7 h; the rest likewise. Brazil, NORMAM-222 (2025): one run of
8 h in 24 h, 6 h in the water to 210 m, 5 h to 260 m, 12 h of rest.

The bell is that of sim/rota/tests/evidence/problem.rs: 24 min of checks before the divers are sealed in, 16 min from
the seal to free again, so that 40 min lie between two runs; 18 min and the way down (9 min 30 s at the least) to the
water, the way up and 23 min from it; winch 20 m/min, handling 5 min; of two divers who both dive one comes in 15 min
before the other goes out.

Unknowns of each run in order of time: when it leaves and returns, which crew, whether both dive, time in the water.
Written by hand from the texts; nothing is taken from the program's own code.

    pip install scipy
    python3 rota_optimum.py SECONDS > data/rota_optimum.csv
"""

import sys
import time

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

H = 60.0  # minutes
SETS = {
    # run, in the water by depth, start to start, rest
    "uk": (8 * H, lambda d: 6 * H, 24 * H, 12 * H),
    "norway": (8 * H, lambda d: 4 * H, 0.0, 12 * H),
    "france": (8 * H, lambda d: 7 * H, 0.0, 12 * H),
    "brazil-2025": (8 * H, lambda d: 6 * H if d <= 210 else 5 * H, 24 * H, 12 * H),
}
LEAD, TAIL, CHANGE = 24.0, 16.0, 15.0
CASES = [
    # set, crews, depth, days, most runs
    ("uk", 1, 118, 6, 6),
    ("uk", 2, 118, 4, 8),
    ("uk", 2, 150, 6, 12),
    ("uk", 3, 118, 3, 9),
    ("uk", 3, 150, 4, 12),
    ("uk", 3, 118, 6, 18),
    ("france", 1, 118, 6, 9),
    ("france", 2, 118, 4, 12),
    ("france", 2, 150, 5, 15),
    ("france", 3, 118, 4, 14),
    ("norway", 2, 150, 4, 12),
    ("norway", 3, 118, 3, 12),
    ("brazil-2025", 2, 240, 5, 10),
    ("brazil-2025", 3, 240, 5, 15),
    ("uk", 3, 118, 15, 46),
]


def model(of, crews, depth, days, runs):
    run, water, apart, rest = SETS[of]
    water = water(depth)
    travel = 5.0 + depth / 20.0
    way = 18.0 + max(travel, 9.5) + 23.0 + travel
    begin, end = LEAD, days * 24 * H - TAIL
    n = runs
    # columns: leave, length, wet, used, both, then who
    at = {k: slice(i * n, (i + 1) * n) for i, k in enumerate(["leave", "length", "wet", "used", "both"])}
    col = lambda k, i: at[k].start + i
    who = lambda i, c: 5 * n + i * crews + c
    size = 5 * n + n * crews
    rows, cols, vals, low, high = [], [], [], [], []

    def add(terms, lo, hi):
        r = len(low)
        for c, v in terms:
            rows.append(r), cols.append(c), vals.append(v)
        low.append(lo), high.append(hi)

    inf = np.inf
    big = end
    for i in range(n):
        add([(col("length", i), 1), (col("used", i), -run)], -inf, 0)
        # wet <= length - way used - change both; a run that is not used has no length.
        add([(col("wet", i), 1), (col("length", i), -1), (col("used", i), way), (col("both", i), CHANGE)], -inf, 0)
        add([(col("wet", i), 1), (col("used", i), -water), (col("both", i), -water)], -inf, 0)
        add([(col("both", i), 1), (col("used", i), -1)], -inf, 0)
        add([(col("leave", i), 1), (col("length", i), 1)], -inf, end)
        add([(who(i, c), 1) for c in range(crews)] + [(col("used", i), -1)], 0, 0)
        if i:
            add([(col("used", i), 1), (col("used", i - 1), -1)], -inf, 0)
            add([(col("leave", i), 1), (col("leave", i - 1), -1), (col("length", i - 1), -1),
                 (col("used", i), -(LEAD + TAIL + big))], -big, inf)
    for c in range(crews):
        for j in range(n):
            for i in range(j):
                both = [(who(i, c), -big), (who(j, c), -big)]
                add([(col("leave", j), 1), (col("leave", i), -1), (col("length", i), -1)] + both, rest - 2 * big, inf)
                if apart:
                    add([(col("leave", j), 1), (col("leave", i), -1)] + both, apart - 2 * big, inf)
    # Crews are alike: each is first named after those before it.
    for c in range(1, crews):
        for i in range(n):
            add([(who(i, c), 1)] + [(who(k, c - 1), -1) for k in range(i)], -inf, 0)
    matrix = coo_array((vals, (rows, cols)), shape=(len(low), size)).tocsr()
    lower, upper = np.zeros(size), np.ones(size)
    lower[at["leave"]], upper[at["leave"]] = begin, end
    upper[at["length"]], upper[at["wet"]] = run, 2 * water
    integral = np.zeros(size)
    integral[3 * n :] = 1
    objective = np.zeros(size)
    objective[at["wet"]] = -1
    return objective, matrix, low, high, lower, upper, integral


def main():
    limit = float(sys.argv[1]) if len(sys.argv) > 1 else 60.0
    print("# Most time in the water by HiGHS (rota_optimum.py): found, and its own bound, minutes; seconds it took.")
    print("set,divers,depth,days,runs,found_min,bound_min,seconds")
    for of, crews, depth, days, runs in CASES:
        objective, matrix, low, high, lower, upper, integral = model(of, crews, depth, days, runs)
        begun = time.time()
        answer = milp(objective, constraints=LinearConstraint(matrix, low, high), bounds=Bounds(lower, upper),
                      integrality=integral, options={"time_limit": limit, "mip_rel_gap": 1e-4})
        took = time.time() - begun
        found = -answer.fun if answer.fun is not None else float("nan")
        bound = -answer.mip_dual_bound if answer.mip_dual_bound is not None else float("nan")
        print(f"{of},{2 * crews},{depth},{days},{runs},{found:.2f},{bound:.2f},{took:.1f}", flush=True)


if __name__ == "__main__":
    main()
