"""Hand depth at the lead arm level of the backswing, by group: players first averaged over their
own swings, so that nobody counts more for having swung more often.

    python3 depth_by_group.py study.h5          needs h5py (Debian: python3-h5py)
"""
import sys

import h5py
import numpy as np

MEASURE = "measures/hand_depth_at_lead_arm_level_backswing"

with h5py.File(sys.argv[1]) as study:
    player = study["swings/player"].asstr()[:]
    group = study["swings/group"].asstr()[:]
    shot = study["swings/shot"].asstr()[:]
    depth = study[f"{MEASURE}/value"][:] * 1000  # the file is in metres
    usable = study[f"{MEASURE}/state"][:] > 0  # 0 is absent, and the value then NaN

for name in sorted(set(group)):
    chosen = (group == name) & (shot == "full") & usable
    means = np.array([depth[chosen & (player == p)].mean() for p in sorted(set(player[chosen]))])
    print(f"{name or '-'}: {len(means)} players, {means.mean():.1f} mm, SD {means.std(ddof=1):.1f} mm")
