"""Is what a study keeps of a comparison what its curves and the tables say?

usage: kept_comparison.py <study> <comparison> <folder of tables>
       kept_comparison.py --foreign <study> <comparison>     names a measure that nobody has
Centre, spread and edges of every corridor anew from the stored curves, in NumPy; departures and
scores against departures.csv and scores.csv. Leaves with 77 (skipped) where h5py is not installed.
"""
import csv
import sys

try:
    import h5py
    import numpy as np
except ImportError:
    print("h5py is not installed (Debian: python3-h5py), so this check is skipped")
    sys.exit(77)

if sys.argv[1] == "--foreign":
    with h5py.File(sys.argv[2], "r+") as f:
        f[f"corridors/{sys.argv[3]}/measure"][0] = b"nobodys_measure"
    sys.exit(0)

study, name, folder = sys.argv[1:4]
faults, checked = [], 0


def near(a, b, what, relative=1e-9):
    a, b = np.asarray(a, float), np.asarray(b, float)
    if a.shape != b.shape or not np.allclose(a, b, rtol=relative, atol=1e-12, equal_nan=True):
        faults.append(f"{what}: {np.ravel(a)[:3]} and {np.ravel(b)[:3]}")


def spread(x, player):
    """Centre, total and within SD at one sample, as comparison/grouped.h defines them."""
    there = np.isfinite(x)
    x, player = x[there], player[there]
    own = [x[player == p] for p in np.unique(player)]
    n = np.array([len(v) for v in own])
    means = np.array([v.mean() for v in own])
    df = n.sum() - len(n)
    within = sum(((v - v.mean()) ** 2).sum() for v in own) / df if df else np.nan
    total = means.var(ddof=1) + (1 - (1 / n).mean()) * (within if df else 0)
    return means.mean(), np.sqrt(total), np.sqrt(within)


with h5py.File(study) as f:
    c, d = f[f"corridors/{name}"], f[f"departures/{name}"]
    rows = c["reference"][:].astype(int)
    player = f["swings/player"][:][rows]
    names = [t.decode() for t in c["measure"][:]]
    first = np.concatenate([[0], np.cumsum(c["n_samples"][:])]).astype(int)
    for i, measure in enumerate(names):
        k = slice(first[i], first[i + 1])
        if c["state"][i] == 2 or c["centred_by"][i] != 0 or c["method"][i] == 2:
            continue
        if c["is_series"][i] and f"curves/{measure}" in f:
            values = f[f"curves/{measure}/value"][:][rows]
        elif measure == "time_warp":
            values = f["registration/time"][:][rows] - f["events/takeaway/time"][:][rows][:, None]
        elif measure.endswith("_over_travel"):
            values = f[f"travel/{measure[:-12]}"][:][rows]
        elif measure == "transition_shift_over_height":
            values = f["transition/shift"][:][rows]
        else:
            usable = f[f"measures/{measure}/state"][:][rows] > 0
            values = np.where(usable, f[f"measures/{measure}/value"][:][rows], np.nan)[:, None]
        centre, sd, upper = c["centre"][k], c["sd_total"][k], c["upper"][k]
        band = np.isfinite(upper) & np.isfinite(c["lower"][k])
        want = np.array([spread(values[:, t], player) for t in np.flatnonzero(band)]).T
        if want.size == 0:
            continue
        large = sd[band] > 1e-5 * np.nanmax(sd[band])  # where the spread is none, a floor counts
        near(centre[band], want[0], f"centre of {measure}")
        near(sd[band][large], want[1][large], f"spread of {measure}", 1e-6)
        near(c["sd_within"][k][band][large], want[2][large], f"spread within of {measure}", 1e-6)
        near((upper - centre)[band][large], (c["multiplier"][i] * sd)[band][large],
             f"edge of {measure}", 1e-6)
        if not 0.5 <= c["loo_coverage"][i] <= 1:
            faults.append(f"left-out coverage of {measure} is {c['loo_coverage'][i]}")
        checked += 1
    in_family = c["in_family"][:].astype(bool)
    paths = [t.decode() for t in c["paths/name"][:]]
    with open(f"{folder}/departures.csv", newline="", encoding="utf-8") as stream:
        table = list(csv.DictReader(stream))
    if len(table) != len(d["swing"]):
        faults.append(f"{len(table)} departures in the table, {len(d['swing'])} in the study")
    for i, row in enumerate(table[:len(d["swing"])]):
        m = int(d["measure"][i])
        family = ["measures", "beside", "path"][d["family"][i]]
        said = names[m] if m < len(names) else paths[m - len(names)]
        if (row["name"], row["family"], int(row["swing"])) != (said, family, d["swing"][i]):
            faults.append(f"departure {i}: {row['name']} in the table, {said} in the study")
        if m < len(names) and in_family[m] != (family == "measures"):
            faults.append(f"departure {i}: {family}, and in_family is {in_family[m]}")
        for column, stored in (("start_s", "start_s"), ("peak_ratio", "peak_ratio"),
                               ("excess_in_within_sd", "peak_within_sd"),
                               ("excess_in_uncertainty", "peak_measurement_sd")):
            near(float(row[column] or "nan"), d[stored][i], f"departure {i}, {column}")
        if (row["stands_for_all"] == "yes") != bool(d["stands_in_family"][i]):
            faults.append(f"departure {i} stands, or does not")
        # a curve's uncertainty at the peak is the one kept with the curve
        if family == "measures" and m < len(names) and c["is_series"][m]:
            u = float(f[f"curves/{said}/sd"][d["swing"][i], d["peak"][i]])
            if u > 0:
                near(d["peak_measurement_sd"][i], d["peak_excess"][i] / u, f"departure {i}, u", 1e-6)
    with open(f"{folder}/scores.csv", newline="", encoding="utf-8") as stream:
        table = list(csv.DictReader(stream))
    s = d["scores"]
    if len(table) != len(s["swing"]) or not table:
        faults.append(f"{len(table)} scores in the table, {len(s['swing'])} in the study")
    for i, row in enumerate(table[:len(s["swing"])]):
        for column in ("swing", "rms", "distance", "rest", "rms_rank", "distance_rank", "rest_rank",
                       "share_scalars"):
            near(float(row[column] or "nan"), s[column][i], f"score {i}, {column}")
        near(sum(s[f"share_phase_{k}"][i] for k in range(1, 5)) + s["share_scalars"][i], 1,
             f"shares of score {i}")

if checked < 30:
    faults.append(f"only {checked} corridors could be held against the curves")
print("\n".join(faults[:20]) or f"{checked} corridors, departures and scores are as kept")
sys.exit(1 if faults else 0)
