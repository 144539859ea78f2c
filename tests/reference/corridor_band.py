"""Independent check of the simultaneous band: plain NumPy, no factors, no Wishart shortcut.

Makes a fixed group from sines, computes centre and spreads sample by sample, and finds the
multiplier the long way: simulate whole groups and a new player's swing from the estimated
covariances, rebuild centre and spread from the simulated raw means and residuals, take the
95 % quantile of the largest |swing - centre| / spread. Prints C initialisers for
tests/unit/test_corridor.c. Run: python3 tests/reference/corridor_band.py
"""
import numpy as np

PLAYERS, SAMPLES, RESAMPLES = 12, 21, 200000
SWINGS = [1 + p % 3 for p in range(PLAYERS)]  # 1, 2, 3, 1, 2, 3, ... swings


def group():
    rows, player = [], []
    for p in range(PLAYERS):
        for s in range(SWINGS[p]):
            k = 7 * p + s
            t = np.arange(SAMPLES)
            rows.append(10 * np.sin(0.2 * t)
                        + 2 * np.sin(12.9898 * (p + 1)) * np.cos(0.15 * t)
                        + 2 * np.sin(78.233 * (p + 1)) * np.sin(0.3 * t)
                        + np.sin(37.719 * (p + 1)) * np.cos(0.45 * t)
                        + 0.7 * np.sin(45.164 * (k + 1)) * np.cos(0.25 * t + p)
                        + 0.7 * np.sin(94.673 * (k + 1)) * np.sin(0.35 * t))
            player.append(p)
    return np.array(rows), np.array(player)


def main():
    x, player = group()
    count = np.bincount(player)
    means = np.array([x[player == p].mean(axis=0) for p in range(PLAYERS)])
    centre = means.mean(axis=0)
    residual = x - means[player]
    df = len(x) - PLAYERS
    within = (residual ** 2).sum(axis=0) / df
    harmonic = 1 / np.mean(1 / count)
    of_means = means.var(axis=0, ddof=1)
    total = of_means + (1 - 1 / harmonic) * within

    rng = np.random.default_rng(5)
    deviation = (means - centre) / np.sqrt(PLAYERS - 1)
    inner = residual / np.sqrt(df)
    largest = np.empty(RESAMPLES)
    for r in range(RESAMPLES):
        group_means = rng.standard_normal((PLAYERS, PLAYERS)) @ deviation
        inside = rng.standard_normal((df, len(x))) @ inner
        new = (rng.standard_normal(PLAYERS) @ deviation
               + np.sqrt(1 - 1 / harmonic) * (rng.standard_normal(len(x)) @ inner))
        spread = (group_means.var(axis=0, ddof=1)
                  + (1 - 1 / harmonic) * (inside ** 2).sum(axis=0) / df)
        largest[r] = np.max(np.abs(new - group_means.mean(axis=0)) / np.sqrt(spread))
    for name, value in [("centre", centre), ("sd_total", np.sqrt(total)),
                        ("sd_within", np.sqrt(within))]:
        print(f"static const double want_{name}[3] = {{"
              + ", ".join(f"{value[t]:.15g}" for t in (0, 10, 20)) + "};")
    print(f"#define WANT_MULTIPLIER {np.quantile(largest, 0.95):.5f} /* +- {1.1 * np.quantile(largest, 0.95) / np.sqrt(RESAMPLES):.4f} */")


if __name__ == "__main__":
    main()
