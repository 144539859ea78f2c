"""Holds a study file against docs/study-file.md, seen through h5py instead of our own reader.

usage: study_file.py <program that writes a study to the path it is given> <docs/study-file.md>
Leaves with 77 (skipped) where h5py is not installed.
"""
import re
import subprocess
import sys
import tempfile
from pathlib import Path

try:
    import h5py
    import numpy as np
except ImportError:
    print("h5py is not installed (Debian: python3-h5py), so this check is skipped")
    sys.exit(77)

program, page = sys.argv[1:3]
described = re.findall(r"^\| `([a-z_]+/[^`]+)` \|([^|]*)\|([^|]*)\|([^|]*)\|",
                       Path(page).read_text(encoding="utf-8").split("## Stored")[0], re.M)
patterns = [(re.compile(re.sub(r"<[a-z]+>", "[^/]+", re.escape(path).replace(r"\<", "<")
                               .replace(r"\>", ">"))),
             axes.strip(), kind.strip(), units.strip(), path)
            for path, axes, kind, units in described]
faults, used = [], set()


def kind_of(dataset):
    if h5py.check_string_dtype(dataset.dtype):
        return "text"
    if h5py.check_enum_dtype(dataset.dtype) or dataset.dtype == bool:
        return "enum"
    return str(dataset.dtype)


def check(path, dataset, sizes):
    hits = [p for p in patterns if p[0].fullmatch(path)]
    if not hits:
        faults.append(f"{path} is not described")
        return
    _, axes, kind, units, name = hits[0]
    used.add(name)
    if kind_of(dataset) != kind:
        faults.append(f"{path} is {kind_of(dataset)}, described as {kind}")
    want = tuple(sizes[a.strip()] for a in axes.split(",") if a.strip())
    if axes and dataset.shape != want:
        faults.append(f"{path} has shape {dataset.shape}, described as {want}")
    for attribute in ("units", "long_name"):
        if not isinstance(dataset.attrs.get(attribute), str):
            faults.append(f"{path} has no attribute {attribute}")
    if kind.startswith(("float", "int")) and not units.startswith("of the") \
            and dataset.attrs["units"] != units:
        faults.append(f"{path} has units {dataset.attrs['units']}, described as {units}")
    if not dataset.fletcher32:
        faults.append(f"{path} has no checksum")
    scaled = axes and "p" not in axes.split(",")
    if scaled and not h5py.h5ds.is_scale(dataset.id) and not all(len(d) == 1 for d in dataset.dims):
        faults.append(f"{path} lacks a dimension scale")


with tempfile.TemporaryDirectory() as folder:
    path = str(Path(folder) / "study.h5")
    subprocess.run([program, path], check=True)
    with h5py.File(path, "r") as f:
        for name in re.findall(r"`([a-z0-9_]+)`", "".join(re.findall(
                r"^\| (`[a-z0-9_`, ]+) \|", Path(page).read_text().split("## Datasets")[0], re.M))):
            if name not in f.attrs:
                faults.append(f"the root has no attribute {name}")
        sizes = {"c": len(f["captures/index"]), "s": len(f["swings/index"]),
                 "f": len(f["findings/index"]), "p": int(f["swings/n_frames"][:].sum()),
                 "101": 101, "61": 61, "40": 40, "3": 3, "L": len(f["quality/landmark"])}
        f.visititems(lambda p, o: check(p, o, sizes) if isinstance(o, h5py.Dataset) else None)
        # the index of the packed datasets, and texts beyond ASCII
        first, n = f["swings/first_sample"][:], f["swings/n_frames"][:]
        if not np.array_equal(first, np.concatenate([[0], np.cumsum(n)[:-1]])):
            faults.append("swings/first_sample does not follow swings/n_frames")
        if "Spieler Ü" not in f["swings/player"].asstr()[:].tolist():
            faults.append("a player's UTF-8 code is not read as text")
        codes = set(f["reasons/code"][:].tolist())
        for event in f["events"].values():
            if not set(event["reason"][:].tolist()) <= codes:
                faults.append(f"{event.name}/reason has a code that /reasons does not explain")
for *_, name in patterns:
    if name not in used:
        faults.append(f"{name} is described and not in the file")
print("\n".join(faults) or f"{len(used)} kinds of dataset are as described")
sys.exit(1 if faults else 0)
