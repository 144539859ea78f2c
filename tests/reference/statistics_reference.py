#!/usr/bin/env python3
"""Writes statistics_values.inc: what SciPy and NumPy make of fixed samples, for test_statistics.c.

Spearman's rank correlation and Theil and Sen's slope (scipy.stats), with ties; squared Mahalanobis
distance and Hotelling's T2 (numpy.linalg); one-sided tolerance factors from the noncentral t
(scipy.stats.nct).

Without arguments it writes the file (SciPy 1.10.1). With --check it compares what it would write
with what is there, to 1e-9, and exits 77 where SciPy is absent.
"""
import pathlib
import re
import sys

try:
    import numpy as np
    from scipy import stats
except ImportError:
    print("skipped: no SciPy")
    sys.exit(77)

PAIRS, ROWS, COLUMNS = 15, 12, 3
FACTORS = [(10, 0.95, 0.95), (43, 0.90, 0.99), (7, 0.80, 0.50), (120, 0.99, 0.90)]


def numbers(name, values):
    rows = [f"{v:.17g}" for v in np.ravel(values)]
    lines = [", ".join(rows[i:i + 4]) for i in range(0, len(rows), 4)]
    return f"static const double {name}[] = {{\n    " + ",\n    ".join(lines) + "};\n"


def text():
    random = np.random.default_rng(33)
    x = np.round(random.normal(size=(4, PAIRS)), 1)  # one digit: ties
    y = np.round(x * np.array([[1.5], [-0.4], [0.0], [3.0]]) + random.normal(size=x.shape), 1)
    table = random.normal(size=(ROWS, COLUMNS)) @ random.normal(size=(COLUMNS, COLUMNS)) + [4, -2, 9]
    point = np.array([5.0, -1.0, 8.5])
    away = point - table.mean(axis=0)
    squared = away @ np.linalg.solve(np.cov(table.T), away)
    out = "/* Written by statistics_reference.py. */\n"
    out += f"enum {{ PAIRS = {PAIRS}, ROWS = {ROWS}, COLUMNS = {COLUMNS} }};\n"
    out += numbers("sample_x", x) + numbers("sample_y", y)
    out += numbers("want_rho", [stats.spearmanr(a, b)[0] for a, b in zip(x, y)])
    out += numbers("want_slope", [stats.theilslopes(b, a)[0] for a, b in zip(x, y)])
    out += numbers("table", table) + numbers("point", point)
    out += numbers("want_squared", [squared, ROWS * squared])
    out += numbers("want_factor", [(n, p, c, stats.nct.ppf(c, n - 1, stats.norm.ppf(p) * np.sqrt(n))
                                    / np.sqrt(n)) for n, p, c in FACTORS])
    return out


def main():
    path = pathlib.Path(__file__).with_name("statistics_values.inc")
    new = text()
    if "--check" not in sys.argv:
        path.write_text(new)
        return
    number = r"[-+]?\d+\.?\d*(?:[eE][-+]?\d+)?"
    old = [float(v) for v in re.findall(number, path.read_text())]
    now = [float(v) for v in re.findall(number, new)]
    if len(old) != len(now) or not np.allclose(old, now, rtol=1e-9, atol=1e-9):
        sys.exit(f"{path} is not what SciPy gives today")
    print(f"{len(now)} numbers as stored")


if __name__ == "__main__":
    main()
