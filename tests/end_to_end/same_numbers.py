"""Do two studies hold the same numbers and texts, dataset by dataset?

usage: same_numbers.py <study> <study>
Left out is what tells when and by which command a study was made (attributes of the root, when a
source file was last written), and stored comparisons. Leaves with 77 (skipped) where h5py is not installed.
"""
import sys

try:
    import h5py
    import numpy as np
except ImportError:
    print("h5py is not installed (Debian: python3-h5py), so this check is skipped")
    sys.exit(77)

MAY_DIFFER = {"command", "created", "provenance_sha256"}
faults = []


def datasets(file):
    found = {}
    file.visititems(lambda path, item: found.update({path: item})
                    if isinstance(item, h5py.Dataset)
                    and not path.startswith(("corridors/", "departures/")) else None)
    return found


def same(a, b):
    if a.shape != b.shape or a.dtype.kind != b.dtype.kind:
        return False
    if a.dtype.kind == "f":  # bits, so that NaN equals NaN and 0 does not equal -0
        return a.tobytes() == b.tobytes()
    return bool(np.array_equal(a, b))


with h5py.File(sys.argv[1]) as one, h5py.File(sys.argv[2]) as other:
    left, right = datasets(one), datasets(other)
    for path in sorted(left.keys() ^ right.keys()):
        faults.append(f"{path} is in one only")
    for path in sorted(left.keys() & right.keys()):
        if path.endswith("_stamp"):
            continue
        if not same(left[path][()], right[path][()]):
            faults.append(f"{path} differs")
    for name in sorted((set(one.attrs) | set(other.attrs)) - MAY_DIFFER):
        if one.attrs.get(name) != other.attrs.get(name):
            faults.append(f"the root's {name} differs")

print("\n".join(faults[:20]) or f"{len(left)} datasets are the same")
sys.exit(1 if faults else 0)
