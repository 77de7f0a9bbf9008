"""How much sooner the program has a rota with a bound than HiGHS has one of the same gap, on the same models in one run.

The models are those of rota_optimum.py. The program's times, its rota and its bound are read off what the test
`beside_a_mixed_integer_program` prints; HiGHS is then given each model with the gap that the program proved (at least
1e-4) as its own, and a limit of seconds. Where HiGHS does not come to that gap, its limit stands for its time, and the
ratio is at least that.

    pip install scipy
    cargo test -p deepstay-rota --test evidence -- beside_a_mixed --nocapture | python3 rota_speed.py SECONDS \
        > data/rota_speed.csv
"""

import re
import sys
import time

from scipy.optimize import Bounds, LinearConstraint, milp

from rota_optimum import CASES, model

LINE = re.compile(r"(\S+), (\d+) divers, (\d+) days, (\d+) runs: .*; here (\d+) to (\d+) min in ([0-9.]+) s")


def main():
    limit = float(sys.argv[1]) if len(sys.argv) > 1 else 60.0
    ours = [m.groups() for m in map(LINE.search, sys.stdin) if m]
    assert len(ours) == len(CASES), f"{len(ours)} of {len(CASES)} cases were printed"
    print("# HiGHS beside the program on the same models at the gap that the program proved, in one run (rota_speed.py).")
    print("set,divers,depth,days,runs,gap,here_s,highs_gap,highs_s,ratio,reached")
    for (of, crews, depth, days, runs), line in zip(CASES, ours):
        assert (of, 2 * crews, days, runs) == (line[0], int(line[1]), int(line[2]), int(line[3])), line
        found, bound, here_s = float(line[4]), float(line[5]), max(float(line[6]), 1e-3)
        gap = max((bound - found) / bound, 1e-4)
        objective, matrix, low, high, lower, upper, integral = model(of, crews, depth, days, runs)
        begun = time.time()
        answer = milp(objective, constraints=LinearConstraint(matrix, low, high), bounds=Bounds(lower, upper),
                      integrality=integral, options={"time_limit": limit, "mip_rel_gap": gap})
        took = time.time() - begun
        has = float("inf") if answer.fun is None else abs(answer.mip_gap)
        reached = "yes" if has <= gap * 1.0001 else "no"
        print(f"{of},{2 * crews},{depth},{days},{runs},{gap:.5f},{here_s:.3f},{has:.5f},{took:.2f},{took / here_s:.1f},{reached}",
              flush=True)


main()
