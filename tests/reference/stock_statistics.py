"""Reference values for the figures of an ensemble, by scipy and numpy.

Writes data/stock_statistics.csv: inverse distribution functions and means of every law of chance, a law cut at
both ends, sample quantiles, rank correlation with ties, exact binomial intervals, and the places of order
statistics with their coverage.  Needs scipy and numpy only.

Lists of values are made by whole-number arithmetic, so that whoever reads the table can make the same list.
"""

import platform
from fractions import Fraction

import numpy as np
import scipy
from scipy import stats

US = [1e-6, 0.001, 0.025, 0.1, 0.3, 0.5, 0.75, 0.9, 0.95, 0.99, 0.999, 0.999999]
PARTS = ["0.5", "0.8", "0.9", "0.95", "0.99"]

# Name and parameters as the engine takes them, and the same law in scipy's terms.
LAWS = [
    ("uniform", (-2.0, 3.0), stats.uniform(-2, 5)),
    ("triangular", (0.8, 0.88, 0.95), stats.triang((0.88 - 0.8) / 0.15, 0.8, 0.15)),
    ("triangular", (1.0, 1.0, 4.0), stats.triang(0, 1, 3)),
    ("normal", (40.0, 6.0), stats.norm(40, 6)),
    ("log-normal", (5.0, 1.8), stats.lognorm(np.log(1.8), scale=5)),
    ("gamma", (3.0, 2.0), stats.gamma(2.25, scale=4 / 3)),
    ("gamma", (1.0, 3.0), stats.gamma(1 / 9, scale=9.0)),
    ("gamma", (500.0, 10.0), stats.gamma(2500, scale=0.2)),
    ("beta", (0.5, 1.0, 0.85, 0.05), None),
    ("beta", (0.0, 1.0, 0.3, 0.3), None),
    ("Weibull", (2.0, 1.6), stats.weibull_min(1.6, scale=2)),
    ("Weibull", (30.0, 0.7), stats.weibull_min(0.7, scale=30)),
    ("exponential", (12.0,), stats.expon(scale=12)),
    ("Poisson", (0.05,), stats.poisson(0.05)),
    ("Poisson", (2.5,), stats.poisson(2.5)),
    ("Poisson", (400.0,), stats.poisson(400)),
]


def beta(low, high, mean, sd):
    """scipy's beta law with a mean and a standard deviation between two ends."""
    m, s = (mean - low) / (high - low), sd / (high - low)
    total = m * (1 - m) / s**2 - 1
    return stats.beta(m * total, (1 - m) * total, low, high - low)


def values(n):
    """A list of n values with ties: eighths."""
    return np.array([(i * i * 7919 + 31 * i) % 1009 / 8 for i in range(n)])


def pair(n):
    """Two lists of n values with many ties, the second leaning on the first."""
    x = [(i * 7919) % 101 // 10 for i in range(n)]
    return x, [(i * i * 13) % 53 // 4 + 2 * a for i, a in enumerate(x)]


def places(n, part):
    """Narrowest pair of places, even about the quantile's own to the nearest half, that covers 95 %."""
    p = Fraction(part)
    own = max(Fraction(1), min(Fraction(n), (n + Fraction(1, 3)) * p + Fraction(1, 3)))
    twice = (2 * own + Fraction(1, 2)).__floor__()
    for width in range(2 if twice % 2 == 0 else 1, n, 2):
        low, high = (twice - width) // 2, (twice + width) // 2
        if low < 1 or high > n:
            break
        covers = stats.binom.cdf(high - 1, n, float(p)) - stats.binom.cdf(low - 1, n, float(p))
        if covers >= 0.95:
            return low, high, covers
    return "", "", ""


def rows():
    for name, params, law in LAWS:
        law = law or beta(*params)
        for u in US:
            yield "inverse", name, *padded(params), u, law.ppf(u), "", ""
        yield "mean", name, *padded(params), "", law.mean(), "", ""
    cut = stats.truncnorm(-2.5, 1.0, loc=40, scale=6)
    for u in US:
        yield "cut normal", "normal", 40.0, 6.0, 25.0, 46.0, u, cut.ppf(u), "", ""
    yield "cut normal mean", "normal", 40.0, 6.0, 25.0, 46.0, "", cut.mean(), "", ""
    for n in (5, 37, 1000):
        x = values(n)
        for part in PARTS:
            at = np.quantile(x, float(part), method="median_unbiased")
            yield "quantile", "", *padded((n,)), part, at, "", ""
        low, high = stats.t.interval(0.95, n - 1, x.mean(), stats.sem(x))
        yield "mean of list", "", *padded((n,)), "", x.mean(), low, high
    for n in (5, 40, 1000):
        yield "spearman", "", *padded((n,)), "", stats.spearmanr(*pair(n)).statistic, "", ""
    for hits, of in [(0, 20), (1, 20), (10, 20), (20, 20), (3, 1000), (1, 10000), (4321, 10000), (99990, 100000)]:
        # By the beta law; binomtest's own root is found to 2e-12 only, too coarse for small chances.
        low = stats.beta.ppf(0.025, hits, of - hits + 1) if hits else 0.0
        high = stats.beta.ppf(0.975, hits + 1, of - hits) if hits < of else 1.0
        check = stats.binomtest(hits, of).proportion_ci(0.95, method="exact")
        assert abs(check.low - low) < 1e-9 and abs(check.high - high) < 1e-9
        yield "chance", "", *padded((hits, of)), "", hits / of, low, high
    for n in (6, 10, 59, 100, 200, 384, 1000, 10000, 100000):
        for part in PARTS:
            low, high, covers = places(n, part)
            yield "places", "", *padded((n,)), part, covers, low, high


def padded(params):
    return *params, *[""] * (4 - len(params))


def digits(cell):
    return repr(float(cell)) if isinstance(cell, float | np.floating) else str(cell)


def main():
    with open("data/stock_statistics.csv", "w", encoding="utf-8") as out:
        out.write("# units: dimensionless\n")
        out.write("# Laws of chance, quantiles and intervals by scipy and numpy; made by stock_statistics.py\n")
        out.write(f"# scipy {scipy.__version__}, numpy {np.__version__}, Python {platform.python_version()}\n")
        out.write("# quantile: numpy's method median_unbiased; chance: beta.ppf; list: (7919 i i + 31 i mod 1009)/8\n")
        out.write("what,law,a,b,c,d,u,value,low,high\n")
        for row in rows():
            out.write(",".join(digits(c) for c in row) + "\n")


if __name__ == "__main__":
    main()
