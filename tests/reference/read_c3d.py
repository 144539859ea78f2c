#!/usr/bin/python3
"""Reads C3D files with NumPy, from the format's description alone, to check the C writer.

Usage: read_c3d.py FOLDER
FOLDER holds NAME.c3d files of one capture in several forms, and truth.csv (frame, time_s,
NAME.x, ...). Integers may differ by half a step, reals by the rounding of a single.
Prints one line a file; exits 1 on the first difference, 77 without NumPy.
"""
import csv
import pathlib
import struct
import sys

try:
    import numpy as np
except ImportError:
    print("skipped: python3-numpy is not installed")
    sys.exit(77)


def vax_to_double(raw):
    """VAX F_floating: swap the 16-bit halves, read as IEEE single, divide by 4."""
    words = raw.view("<u2").reshape(-1, 2)[:, ::-1]
    return np.ascontiguousarray(words).view("<f4").ravel().astype(float) / 4


class Numbers:
    def __init__(self, processor):
        self.order = ">" if processor == 86 else "<"
        self.vax = processor == 85

    def reals(self, raw):
        raw = np.frombuffer(raw, "u1")
        return vax_to_double(raw) if self.vax else raw.view(self.order + "f4").astype(float)

    def words(self, raw, signed=False):
        return np.frombuffer(raw, self.order + ("i2" if signed else "u2")).astype(float)


def parameters(data, start, num):
    """{(group, name): list of values}"""
    groups, found, at = {}, [], start
    while data[at] != 0:
        length, ident = struct.unpack_from("bb", data, at)
        length = abs(length)
        name = data[at + 2 : at + 2 + length].decode("ascii")
        here = at + 2 + length
        step = int(num.words(data[here : here + 2])[0])
        if ident < 0:
            groups[-ident] = name
        else:
            kind, n = struct.unpack_from("bB", data, here + 2)
            dims = list(data[here + 4 : here + 4 + n])
            count = int(np.prod(dims)) if dims else 1
            raw = data[here + 4 + n : here + 4 + n + abs(kind) * count]
            if kind == -1:
                width = dims[0] if dims else 1
                value = [raw[i : i + width].decode("utf-8").strip() for i in range(0, len(raw), width)]
            else:
                value = list(raw if kind == 1 else num.words(raw) if kind == 2 else num.reals(raw))
            found.append((ident, name, value))
        if step == 0:
            break
        at = here + step
    return {(groups[g], name): value for g, name, value in found}


def read(path):
    data = path.read_bytes()
    block = data[0]
    assert data[1] == 0x50
    num = Numbers(data[(block - 1) * 512 + 3])
    points, analog, first, last = num.words(data[2:10]).astype(int)
    scale = num.reals(data[12:16])[0]
    start = (int(num.words(data[16:18])[0]) - 1) * 512
    rate = num.reals(data[20:24])[0]
    p = parameters(data, (block - 1) * 512 + 4, num)
    assert p["POINT", "DATA_START"][0] * 512 == start + 512
    assert p["POINT", "USED"][0] == points
    frames = last - first + 1
    width = 4 * points + analog
    size = 4 if scale < 0 else 2
    raw = data[start : start + frames * width * size]
    values = (num.reals(raw) if scale < 0 else num.words(raw, True)).reshape(frames, width)
    xyz = values[:, : 4 * points].reshape(frames, points, 4)
    unseen = xyz[:, :, 3] < 0
    xyz = xyz[:, :, :3] * (1 if scale < 0 else scale)
    xyz[unseen] = np.nan
    return p["POINT", "LABELS"], p["POINT", "UNITS"], rate, first, xyz, scale


def truth(path):
    lines = [l for l in path.read_text("utf-8").splitlines() if not l.startswith("#")]
    rows = list(csv.reader(lines))
    labels = [name[:-2] for name in rows[0][2::3]]
    numbers = np.array([[float(v) if v else np.nan for v in row] for row in rows[1:]])
    return labels, numbers[:, 0], numbers[:, 2:].reshape(len(numbers), -1, 3)


def main(folder):
    labels, frame, want = truth(folder / "truth.csv")
    files = sorted(folder.glob("*.c3d"))
    assert files, "no files to read"
    for path in files:
        got_labels, units, rate, first, got, scale = read(path)
        limit = scale / 2 if scale > 0 else 0
        slack = np.spacing(np.abs(want).astype("f4")).astype(float) if scale < 0 else 1e-6
        assert got_labels == labels, (path.name, got_labels)
        assert units == ["mm"] and rate == 240 and first == frame[0], path.name
        assert got.shape == want.shape, path.name
        assert (np.isnan(got) == np.isnan(want)).all(), path.name
        worst = np.nanmax(np.abs(got - want) - limit - slack)
        print(f"{path.name}: {got.shape[0]} frames, {got.shape[1]} points, scale {scale:g}")
        assert worst <= 0, (path.name, worst)


if __name__ == "__main__":
    main(pathlib.Path(sys.argv[1]))
