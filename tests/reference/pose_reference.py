#!/usr/bin/env python3
"""Writes pose_values.inc: markers of a pelvis, at rest and turned, and the rotations that
scipy.spatial.transform.Rotation.align_vectors finds for them (Kabsch's solution by SVD).

Without arguments it writes the file (SciPy 1.10.1). With --check it compares what it would write
with what is there, to 1e-12, and exits 77 where SciPy is absent.
"""
import pathlib
import re
import sys

try:
    import numpy as np
    from scipy.spatial.transform import Rotation
except ImportError:
    print("skipped: no SciPy")
    sys.exit(77)

# metres; both ASIS, both PSIS, one marker on the side: X forward, Y up, Z to the right
REST = np.array([[0.00, 0.01, -0.12], [0.00, -0.01, 0.12], [-0.15, 0.02, -0.05],
                 [-0.16, 0.01, 0.05], [-0.08, 0.05, 0.14]])
WEIGHTS = [np.ones(5), np.array([1, 1, 0.5, 0.5, 0.1])]
FRAMES = 12


def cases():
    random = np.random.default_rng(20)
    for frame in range(FRAMES):
        turn = Rotation.from_rotvec(random.normal(size=3))
        shift = random.normal(size=3)
        noise = 0 if frame < FRAMES // 2 else 0.002  # the first half is rigid
        markers = turn.apply(REST) + shift + noise * random.normal(size=REST.shape)
        yield markers, [fit(markers, w) for w in WEIGHTS]


def fit(markers, weights):
    """align_vectors takes directions from a common origin: the weighted centroids."""
    a = markers - np.average(markers, axis=0, weights=weights)
    b = REST - np.average(REST, axis=0, weights=weights)
    return Rotation.align_vectors(a, b, weights=weights)[0].as_matrix()


def array(name, values):
    flat = np.asarray(values).reshape(-1)
    rows = [", ".join(f"{x:.17g}" for x in flat[i:i + 3]) for i in range(0, len(flat), 3)]
    return f"static const double {name}[] = {{\n    " + ",\n    ".join(rows) + "};\n"


def text():
    made = list(cases())
    return ("/* Written by pose_reference.py (scipy.spatial.transform.Rotation.align_vectors); do not "
            "edit. */\n" + f"enum {{ POSE_MARKERS = {len(REST)}, POSE_FRAMES = {FRAMES} }};\n"
            + array("pose_rest", REST)
            + array("pose_weights", WEIGHTS[1])
            + array("pose_markers", [m for m, _ in made])
            + array("pose_rotation_plain", [r[0] for _, r in made])
            + array("pose_rotation_weighted", [r[1] for _, r in made]))


def numbers(content):
    return [float(x) for x in re.findall(r"-?\d+(?:\.\d+)?(?:e-?\d+)?(?=[,}])", content)]


def main():
    path = pathlib.Path(__file__).with_name("pose_values.inc")
    if sys.argv[1:] != ["--check"]:
        path.write_text(text())
        return 0
    stored, made = numbers(path.read_text()), numbers(text())
    if len(stored) != len(made):
        print(f"{len(stored)} numbers stored, {len(made)} made")
        return 1
    worst = max(abs(a - b) for a, b in zip(stored, made))
    print(f"{len(made)} numbers, largest difference {worst:.2g}")
    return 0 if worst < 1e-12 else 1


sys.exit(main())
