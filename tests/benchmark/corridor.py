"""The work of tests/benchmark/corridor.c in NumPy, for comparison of speed.

products: the same resampled experiments with every sum over rows as one matrix product.
gather:   the plain bootstrap, each resample gathers its players' curves, then mean, spread and the
          largest deviation of a drawn swing.
plain:    the plain bootstrap as one matrix product: counts of the players drawn times the players'
          means, squares and spreads. Less work than ours: no experiment of the group's own size, no
          corridor of one player fewer, no limits.
Run: python3 tests/benchmark/corridor.py
"""
import time
import numpy as np

PLAYERS, EACH, SAMPLES, MEASURES, RESAMPLES = 50, 10, 101, 20, 2000
rng = np.random.default_rng(1)
t = 0.05 * np.arange(SAMPLES)
shape = np.array([f((k + 1) * t) / (1 + k) for k in range(5) for f in (np.cos, np.sin)])


def measure():
    own = rng.standard_normal((PLAYERS, 1, 10))
    return (own + 0.6 * rng.standard_normal((PLAYERS, EACH, 10))) @ shape


def factors(rows):
    _, s, v = np.linalg.svd(rows, full_matrices=False)
    k = 1 + np.searchsorted(np.cumsum(s ** 2) / np.sum(s ** 2), 0.999)
    return s[:k, None] * v[:k]


def wishart_roots(df, k):
    root = np.tril(rng.standard_normal((RESAMPLES, k, k)), -1)
    root[:, np.arange(k), np.arange(k)] = np.sqrt(rng.chisquare(df - np.arange(k), (RESAMPLES, k)))
    return root


def products(x):
    means = x.mean(axis=1)
    centre = means.mean(axis=0)
    residual = (x - means[:, None]).reshape(-1, SAMPLES)
    df = PLAYERS * (EACH - 1)
    between = (means - centre) / np.sqrt(PLAYERS - 1)
    within = residual * np.sqrt((1 - 1 / EACH) / df)
    sd = np.sqrt((between ** 2).sum(axis=0) + (within ** 2).sum(axis=0))
    between, within = between / sd, within / sd
    new = (np.sqrt(1 + 1 / PLAYERS) * rng.standard_normal((RESAMPLES, PLAYERS)) @ between
           + rng.standard_normal((RESAMPLES, PLAYERS * EACH)) @ within)
    spread = 0
    for part, d in ((between, PLAYERS - 1), (within, df)):
        f = factors(part)
        root = wishart_roots(d, len(f))
        spread = spread + ((np.transpose(root, (0, 2, 1)) @ f) ** 2).sum(axis=1) / d
    return np.quantile(np.max(np.abs(new) / np.sqrt(spread), axis=1), 0.95)


def gather(x):
    largest = np.empty(RESAMPLES)
    for r in range(RESAMPLES):
        sample = x[rng.integers(PLAYERS, size=PLAYERS)]
        means = sample.mean(axis=1)
        within = ((sample - means[:, None]) ** 2).sum(axis=(0, 1)) / (PLAYERS * (EACH - 1))
        sd = np.sqrt(means.var(axis=0, ddof=1) + (1 - 1 / EACH) * within)
        new = x[rng.integers(PLAYERS), rng.integers(EACH)]
        largest[r] = np.max(np.abs(new - means.mean(axis=0)) / sd)
    return np.quantile(largest, 0.95)


def plain(x):
    means = x.mean(axis=1)
    within = ((x - means[:, None]) ** 2).sum(axis=1) / (EACH - 1)
    counts = rng.multinomial(PLAYERS, np.full(PLAYERS, 1 / PLAYERS), RESAMPLES).astype(float)
    centre, square, spread = np.split(
        counts @ np.hstack([means, means ** 2, within]) / PLAYERS, 3, axis=1)
    sd = np.sqrt((square - centre ** 2) * PLAYERS / (PLAYERS - 1) + (1 - 1 / EACH) * spread)
    new = x[rng.integers(PLAYERS, size=RESAMPLES), rng.integers(EACH, size=RESAMPLES)]
    return np.quantile(np.max(np.abs(new - centre) / sd, axis=1), 0.95)


for name, work in (("plain", plain), ("products", products), ("gather", gather)):
    data = [measure() for _ in range(MEASURES)]
    start = time.process_time()
    multipliers = [work(x) for x in data]
    print(f"NumPy {name}: {time.process_time() - start:.3f} s "
          f"(mean multiplier {np.mean(multipliers):.3f})")
