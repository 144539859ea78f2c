"""The work of `swathe measure` in NumPy and SciPy, as a competent user would write it: the peer of
the speed benchmark.

usage: peer.py SHEET STUDY [--rotation] [--cutoff HZ] [--limit N]

Read C3D and static capture, hash the file, swing frame from the address pose, zero-lag Butterworth
over all landmarks at once (both sides of contact apart), rigid poses of pelvis and thorax by one
batched SVD, Cardan angles, joint angles, speeds, angular velocities, the depth ledger, events to
sub-frame, registered curves, scalar measures at the events, and everything into one HDF5 file of
uncompressed columns. --rotation takes scipy's Rotation class for poses and angles in place of the
batched SVD and the angles written out by hand.

The noise of every landmark comes from the residuals at the same four cut-offs as Swathe's, and
exchanged labels are looked for by the same rule, both over whole arrays. It does less than Swathe
does: it fills no gaps, gives no states and reasons, and has fewer measures. One process, one
capture after the other; BLAS threads as the environment sets them.
"""
import argparse
import csv
import hashlib
import time
from pathlib import Path

import h5py
import numpy as np
from scipy.signal import butter, sosfiltfilt
from scipy.spatial.transform import Rotation

CORRECTION = (2 ** 0.5 - 1) ** 0.25  # of the cut-off, for two passes
SIDES = ("L", "R")
PELVIS = ["L_ASIS", "R_ASIS", "L_PSIS", "R_PSIS"]
THORAX = ["STERNUM_TOP", "STERNUM_LOW", "C7", "T8"]
USED = PELVIS + THORAX + [f"{s}_{m}" for m in (
    "ACROMION", "ELBOW_LAT", "ELBOW_MED", "WRIST_RAD", "WRIST_ULN", "HAND_2", "HAND_5", "KNEE_LAT",
    "KNEE_MED", "ANKLE_LAT", "ANKLE_MED", "HEEL", "TOE", "FOOT_5", "HEAD_FRONT", "HEAD_BACK")
    for s in SIDES] + ["CLUB_GRIP", "CLUB_SHAFT", "CLUB_HEAD", "CLUB_TOE", "CLUB_HEEL", "BALL"]
RIGID = [PELVIS, THORAX, ["CLUB_GRIP", "CLUB_SHAFT", "CLUB_HEAD", "CLUB_TOE", "CLUB_HEEL"]] + [
    [f"{s}_{m}" for m in ("HEEL", "TOE", "FOOT_5")] for s in SIDES] + [
    [f"{s}_{m}" for m in names for s in SIDES] for names in (
        ("WRIST_RAD", "WRIST_ULN", "HAND_2", "HAND_5"), ("ELBOW_LAT", "ELBOW_MED"),
        ("KNEE_LAT", "KNEE_MED"), ("ANKLE_LAT", "ANKLE_MED"))]
PHASES = ("takeaway", "lead_arm_level_backswing", "club_top", "impact", "finish")
ISB = np.array([[0, -1, 0], [0, 0, 1], [-1, 0, 0]], float)
SHOULDER_DROP_M = 0.040


def read_c3d(path):
    """Markers (frames, points, 3) in metres, labels, rate, SHA-256: real data, Intel order."""
    raw = Path(path).read_bytes()
    words = np.frombuffer(raw, "<i2", 256)
    points, first, last, start = int(words[1]), int(words[3]), int(words[4]), int(words[8])
    rate = float(np.frombuffer(raw, "<f4", 1, 20)[0])
    labels = c3d_labels(raw, (words[0] & 0xff) - 1)
    frames = last - first + 1
    data = np.frombuffer(raw, "<f4", frames * points * 4, (start - 1) * 512)
    xyz = data.reshape(frames, points, 4)[:, :, :3] * np.float64(0.001)
    return xyz, labels[:points], rate, hashlib.sha256(raw).hexdigest()


def c3d_labels(raw, block):
    at, groups = block * 512 + 4, {}
    while True:
        n, number = np.frombuffer(raw, "i1", 2, at)
        if n == 0:
            return []
        name = raw[at + 2:at + 2 + abs(n)].decode()
        link = at + 2 + abs(int(n))
        step = int(np.frombuffer(raw, "<i2", 1, link)[0])
        if number < 0:
            groups[-int(number)] = name
        elif name == "LABELS" and groups.get(int(number)) == "POINT":
            width, count = raw[link + 4], raw[link + 5]
            text = raw[link + 6:link + 6 + width * count].decode()
            return [text[i * width:(i + 1) * width].strip() for i in range(count)]
        if step == 0:
            return []
        at = link + step


def lowpass(x, rate, cutoff):
    """x: (frames, channels)."""
    warped = np.tan(np.pi * cutoff / rate) / CORRECTION
    sos = butter(2, np.arctan(warped) / np.pi * 2, output="sos")
    pad = min(int(np.ceil(rate / 4)), len(x) - 1)
    return sosfiltfilt(sos, x, axis=0, padtype="odd", padlen=pad)


def noise_of(x, split, rate):
    """SD of white noise of each channel: the straight tail of the residuals (Winter)."""
    high, low = 0.4 * rate, min(2.0, 0.01 * rate)
    trials = low * (high / low) ** (np.arange(16) / 15)
    trials = trials[trials >= 0.45 * high]
    rms = np.empty((len(trials), x.shape[1]))
    for k, cutoff in enumerate(trials):
        taken = x - np.concatenate([lowpass(x[:split], rate, cutoff),
                                    lowpass(x[split:], rate, cutoff)])
        rms[k] = np.sqrt(np.einsum("fc,fc->c", taken, taken) / len(x))
    slope = ((trials - trials.mean()) @ (rms - rms.mean(0))) / np.sum((trials - trials.mean()) ** 2)
    noise = rms.mean(0) - trials.mean() * slope
    return np.where(rms[-1] <= 0.25 * rms[0], rms[-1], noise)


def exchanged_labels(p, column):
    """Frames at which two markers of a segment change places, over all pairs."""
    found = 0
    miss = np.zeros(p.shape[:2])
    miss[2:] = np.linalg.norm(p[2:] - 2 * p[1:-1] + p[:-2], axis=-1)
    for segment in RIGID:
        index = [column[l] for l in segment]
        for i, a in enumerate(index):
            for b in index[:i]:
                apart = np.linalg.norm(p[:, a] - p[:, b], axis=-1)
                f = np.flatnonzero(miss[2:, a] + miss[2:, b] > 4 / 3 * apart[2:]) + 2
                to_a, to_b = (2 * p[f - 1, m] - p[f - 2, m] for m in (a, b))
                change = norm(p[f, a] - to_b) + norm(p[f, b] - to_a)
                found += np.count_nonzero((change < 0.5 * (miss[f, a] + miss[f, b]))
                                          & (apart[f] > 0.01) & (norm(to_a - to_b) > 0.01))
    return found


def unit(v):
    return v / np.sqrt(np.einsum("...i,...i->...", v, v))[..., None]


def mid(a, b):
    return 0.5 * (a + b)


def pelvis_axes(p):
    z = unit(p["R_ASIS"] - p["L_ASIS"])
    forward = mid(p["L_ASIS"], p["R_ASIS"]) - mid(p["L_PSIS"], p["R_PSIS"])
    x = unit(forward - z * np.sum(forward * z, -1, keepdims=True))
    return np.stack([x, np.cross(z, x), z], -1), mid(p["L_ASIS"], p["R_ASIS"])


def thorax_axes(p):
    low = mid(p["STERNUM_LOW"], p["T8"])
    y = unit(mid(p["STERNUM_TOP"], p["C7"]) - low)
    z = unit(np.cross(p["STERNUM_TOP"] - p["C7"], p["STERNUM_TOP"] - low))
    return np.stack([np.cross(y, z), y, z], -1), p["STERNUM_TOP"]


def fit_svd(reference, measured):
    """Rigid fit of (markers, 3) to (frames, markers, 3): Soederkvist & Wedin 1993, all frames at
    once."""
    r0, m0 = reference.mean(0), measured.mean(1)
    h = np.einsum("fmi,mj->fij", measured - m0[:, None], reference - r0)
    u, _, vt = np.linalg.svd(h)
    sign = np.sign(np.linalg.det(u @ vt))
    u[:, :, 2] *= sign[:, None]
    rotation = u @ vt
    return rotation, m0 - rotation @ r0


def fit_rotation(reference, measured):
    r0, m0 = reference.mean(0), measured.mean(1)
    rotation = np.stack([Rotation.align_vectors(m - c, reference - r0)[0].as_matrix()
                         for m, c in zip(measured, m0)])
    return rotation, m0 - rotation @ r0


def cardan_yxz(r):
    return (np.arctan2(r[:, 0, 2], r[:, 2, 2]), np.arcsin(np.clip(-r[:, 1, 2], -1, 1)),
            np.arctan2(r[:, 1, 0], r[:, 1, 1]))


def cardan_zxy(r):
    return (np.arctan2(-r[:, 0, 1], r[:, 1, 1]), np.arcsin(np.clip(r[:, 2, 1], -1, 1)),
            np.arctan2(-r[:, 2, 0], r[:, 2, 2]))


def by_rotation(sequence):
    return lambda r: Rotation.from_matrix(r).as_euler(sequence).T


def derivative(x, split, rate):
    """Second order, one-sided at contact and at the ends."""
    out = np.empty_like(x)
    for part in (slice(0, split), slice(split, len(x))):
        if len(x[part]) > 2:
            out[part] = np.gradient(x[part], 1 / rate, axis=0, edge_order=2)
        else:
            out[part] = 0
    return out


def spin(r, split, rate):
    w = derivative(r, split, rate) @ np.transpose(r, (0, 2, 1))
    return 0.5 * np.stack([w[:, 2, 1] - w[:, 1, 2], w[:, 0, 2] - w[:, 2, 0],
                           w[:, 1, 0] - w[:, 0, 1]], -1)


def between(a, b):
    c = np.cross(a, b)
    return np.arctan2(np.sqrt(np.einsum("fi,fi->f", c, c)), np.einsum("fi,fi->f", a, b))


def norm(v):
    return np.sqrt(np.einsum("fi,fi->f", v, v))


def crossing(x, level, first, last, rising=True, from_end=False):
    y = x[first:last + 1] - level
    if not rising:
        y = -y
    at = np.flatnonzero((y[:-1] < 0) & (y[1:] >= 0))
    if len(at) == 0:
        return np.nan
    i = at[-1] if from_end else at[0]
    return first + i + y[i] / (y[i] - y[i + 1])


def at_frame(x, frame):
    return np.interp(frame, np.arange(len(x)), x) if np.isfinite(frame) else np.nan


def locate(p, rate):
    """Takeaway, top, fastest frame and the first frame after contact, roughly, from raw markers."""
    head = p["CLUB_HEAD"]
    w = int(round(0.02 * rate))
    speed = np.zeros(len(head))
    speed[w:-w] = norm(head[2 * w:] - head[:-2 * w]) * rate / (2 * w)
    fastest = int(np.argmax(speed))
    first = max(0, fastest - int(0.8 * rate))
    top = first + int(np.argmax(p["L_HAND_2"][first:fastest + 1, 2]))
    back = int(np.argmax(speed[max(0, top - int(2 * rate)):top])) + max(0, top - int(2 * rate))
    still = np.flatnonzero(speed[:back] < 0.1)
    takeaway = int(still[-1]) if len(still) else 0
    return takeaway, top, fastest


def analyse(xyz, labels, rate, static, cutoff, tools):
    fit, angles_yxz, angles_zxy = tools
    index = {l: i for i, l in enumerate(labels)}
    raw = xyz[:, [index[l] for l in USED]]
    column = {l: i for i, l in enumerate(USED)}
    takeaway, top, fastest = locate({l: raw[:, column[l]] for l in ("CLUB_HEAD", "L_HAND_2")}, rate)
    last = max(0, takeaway - int(0.02 * rate))
    first = max(0, takeaway - int(0.25 * rate))
    address = raw[first:last + 1].mean(0)
    origin = mid(address[column["L_TOE"]], address[column["R_TOE"]])
    origin[2] = min(address[column[f"{s}_{m}"]][2] for s in SIDES
                    for m in ("TOE", "FOOT_5", "HEEL")) - 0.007
    raw = raw - origin
    home = address[column["CLUB_HEAD"]][0] - origin[0]
    x = raw[:, column["CLUB_HEAD"], 0]
    after = np.flatnonzero((x[top + 1:] >= home) & (x[top:-1] < home)) + top + 1
    split = int(after[np.argmin(np.abs(after - fastest))])

    moving = [i for l, i in column.items() if l != "BALL"]
    flat = raw[:, moving].reshape(len(raw), -1)
    noise = np.sqrt((noise_of(flat, split, rate).reshape(-1, 3) ** 2).mean(1))
    swaps = exchanged_labels(raw, column)
    body = raw.copy()
    body[:split, moving] = lowpass(flat[:split], rate, cutoff).reshape(split, -1, 3)
    body[split:, moving] = lowpass(flat[split:], rate, cutoff).reshape(len(raw) - split, -1, 3)
    p = {l: body[:, i] for l, i in column.items()}

    poses = {}
    for name, cluster, axes in (("pelvis", PELVIS, pelvis_axes), ("thorax", THORAX, thorax_axes)):
        rest, centre = axes({l: static[l] for l in cluster})
        reference = np.stack([(static[l] - centre) @ rest for l in cluster])
        poses[name] = fit(reference, body[:, [column[l] for l in cluster]])
    s = {}
    hands = 0.25 * (p["L_HAND_2"] + p["L_HAND_5"] + p["R_HAND_2"] + p["R_HAND_5"])
    wrist = {k: mid(p[f"{k}_WRIST_RAD"], p[f"{k}_WRIST_ULN"]) for k in SIDES}
    elbow = {k: mid(p[f"{k}_ELBOW_LAT"], p[f"{k}_ELBOW_MED"]) for k in SIDES}
    thorax_y = poses["thorax"][0][:, :, 1]
    shoulder = {k: p[f"{k}_ACROMION"] - SHOULDER_DROP_M * thorax_y for k in SIDES}
    knee = {k: mid(p[f"{k}_KNEE_LAT"], p[f"{k}_KNEE_MED"]) for k in SIDES}
    ankle = {k: mid(p[f"{k}_ANKLE_LAT"], p[f"{k}_ANKLE_MED"]) for k in SIDES}
    r, o = poses["pelvis"]
    width = norm(p["R_ASIS"] - p["L_ASIS"]).mean()
    depth = norm(mid(p["L_ASIS"], p["R_ASIS"]) - mid(p["L_PSIS"], p["R_PSIS"])).mean()
    hip = {k: o + r @ np.array([-0.24 * depth - 0.0099, -0.30 * width - 0.0109,
                                side * (0.33 * width + 0.0073)])
           for k, side in (("L", -1), ("R", 1))}
    s["hand_along"], s["hand_depth"], s["hand_height"] = hands.T
    s["hand_foot_span"] = hands[:, 1] / mid(address[column["L_HEEL"]],
                                            address[column["R_HEEL"]])[1]
    hands_v = derivative(hands, split, rate)
    s["hand_speed"] = norm(hands_v)
    head = p["CLUB_HEAD"]
    head_v = derivative(head, split, rate)
    s["club_head_speed"] = norm(head_v)
    shaft = unit(head - p["CLUB_GRIP"])
    shaft_v = derivative(shaft, split, rate)
    s["shaft_elevation"] = np.arcsin(np.clip(shaft[:, 2], -1, 1))
    s["club_angular_speed"] = norm(shaft_v)
    arm = unit(wrist["L"] - shoulder["L"])
    s["lead_arm_elevation"] = np.arcsin(np.clip(arm[:, 2], -1, 1))
    s["lead_arm_angular_speed"] = norm(derivative(arm, split, rate))
    s["lead_arm_plumb"] = np.unwrap(np.arctan2(arm[:, 1], -arm[:, 2]))
    upper = elbow["L"] - shoulder["L"]
    turned = poses["thorax"][0]
    s["lead_arm_across_chest"] = np.arctan2(np.sum(upper * turned[:, :, 0], -1),
                                            -np.sum(upper * turned[:, :, 2], -1))
    s["wrist_set"] = between(wrist["L"] - elbow["L"], head - p["CLUB_GRIP"])
    s["shaft_lean"] = np.unwrap(np.arctan2(-shaft[:, 0], -shaft[:, 2]))
    face = p["CLUB_TOE"] - p["CLUB_HEEL"]
    s["face_to_path"] = np.arctan2(-face[:, 0] * head_v[:, 0] - face[:, 1] * head_v[:, 1],
                                   face[:, 0] * head_v[:, 1] - face[:, 1] * head_v[:, 0])
    for k, name in (("L", "lead"), ("R", "trail")):
        s[f"{name}_elbow_flexion"] = between(elbow[k] - shoulder[k], wrist[k] - elbow[k])
        s[f"{name}_knee_flexion"] = between(knee[k] - hip[k], ankle[k] - knee[k])

    def from_address(a):
        a = np.unwrap(a)
        return a - a[first:last + 1].mean()

    omega = {}
    for name, angles, axial in (("pelvis", angles_yxz, 0), ("thorax", angles_zxy, 2)):
        r, _ = poses[name]
        three = angles(ISB @ r)
        s[f"{name}_turn"] = from_address(-three[axial])
        s[f"{name}_side_tilt"] = three[1]
        s[f"{name}_forward_tilt"] = -three[2 - axial]
        s[f"{name}_turn_projected"] = from_address(-np.arctan2(r[:, 1, 2], r[:, 0, 2]))
        omega[name] = spin(r, split, rate)
        s[f"{name}_angular_speed"] = np.sum(omega[name] * r[:, :, 1], -1)
    joint = np.transpose(poses["pelvis"][0], (0, 2, 1)) @ poses["thorax"][0]
    s["separation_joint"] = from_address(-angles_zxy(joint)[2])
    s["separation_projected"] = s["thorax_turn_projected"] - s["pelvis_turn_projected"]
    centre = 0.5 * (mid(p["L_ASIS"], p["R_ASIS"]) + mid(p["L_PSIS"], p["R_PSIS"]))
    s["pelvis_along"] = centre[:, 0] - centre[first:last + 1, 0].mean()
    s["pelvis_depth"] = centre[:, 1] - centre[first:last + 1, 1].mean()

    events = find_events(s, shaft, shaft_v, head, takeaway, top, fastest, split, home, rate)
    ledger(s, poses, omega, hands, hands_v, events["takeaway"], split, rate)
    curves, times = register(s, events, rate)
    scalars = measures(s, events, rate)
    scalars["suspected_swaps"] = swaps
    return s, curves, times, events, scalars, body, noise, travel_curves(s, events, rate)


def find_events(s, shaft, shaft_v, head, takeaway, top, fastest, split, home, rate):
    e, before = {}, split - 1
    speed = s["club_head_speed"]
    quiet = speed[max(0, takeaway - int(0.25 * rate)):max(1, takeaway - int(0.02 * rate))]
    level = max(0.1, quiet.mean() + 4 * quiet.std(ddof=1))
    back = takeaway + int(np.argmax(speed[takeaway:top + 1]))
    onset = crossing(speed, level, 0, back, from_end=True)
    if level > 0.1:
        onset -= (crossing(speed, 2 * level, int(onset), back) - onset) * (level - 0.1) / level
    e["takeaway"] = onset
    start = int(onset)
    e["lead_arm_level_backswing"] = crossing(s["lead_arm_elevation"], 0, start, before)
    e["shaft_level_backswing"] = crossing(s["shaft_elevation"], 0, start, before)
    e["lead_arm_level_downswing"] = crossing(s["lead_arm_elevation"], 0, top - 3, before, False,
                                             True)
    e["shaft_level_downswing"] = crossing(s["shaft_elevation"], 0, top - 3, before, False, True)
    path = np.concatenate([[0], np.cumsum(0.5 * (speed[start:before] + speed[start + 1:split]))])
    for name, length in (("travel_0.61", 0.61), ("travel_1.83", 1.83)):
        e[name] = start + crossing(path / rate, length, 0, len(path) - 1)
    window = slice(int(e["shaft_level_downswing"]), min(split + 20, len(head)))
    cloud = head[window] - head[window].mean(0)
    normal = np.linalg.svd(cloud, full_matrices=False)[2][2]
    turning = np.cross(shaft, shaft_v) @ normal
    turning *= np.sign(turning[fastest])
    e["club_top"] = crossing(turning, 0, start, before, from_end=True)
    e["hands_top"] = (start + top) // 2 + np.argmin(s["hand_speed"][(start + top) // 2:fastest])
    for name in ("pelvis", "thorax"):
        e[f"{name}_reversal"] = crossing(s[f"{name}_angular_speed"], 0, start, before,
                                         from_end=True)
    three = np.polyfit(np.arange(-2, 1), head[before - 2:split, 0] - home, 2)
    roots = np.roots(three)
    roots = roots[np.isreal(roots)].real
    e["impact"] = before + roots[np.argmin(np.abs(roots - 0.5))]
    e["shaft_level_follow_through"] = crossing(s["shaft_elevation"], 0, split, len(head) - 1)
    e["finish"] = crossing(s["hand_speed"], 0.5, split, len(head) - 1, False)
    return e


def ledger(s, poses, omega, hands, hands_v, takeaway, split, rate):
    carried = {}
    for name in ("pelvis", "thorax"):
        origin = poses[name][1]
        carried[name] = derivative(origin, split, rate) + np.cross(omega[name], hands - origin)
    parts = {"pelvis": carried["pelvis"], "thorax": carried["thorax"] - carried["pelvis"],
             "arms": hands_v - carried["thorax"]}
    for name, v in parts.items():
        for axis, way in ((1, "depth"), (2, "height")):
            total = np.concatenate([[0], np.cumsum(0.5 * (v[1:, axis] + v[:-1, axis]))]) / rate
            s[f"{way}_from_{name}"] = total - at_frame(total, takeaway)


def register(s, events, rate):
    bounds = np.array([events[name] for name in PHASES])
    frames = np.interp(np.arange(101), 25 * np.arange(5), bounds)
    grid = np.arange(len(s["hand_depth"]))
    return {name: np.interp(frames, grid, x) for name, x in s.items()}, frames / rate


def travel_curves(s, events, rate):
    """Every series at 61 steps of club-head path since takeaway, 0 to 1.83 m."""
    start, stop = int(events["takeaway"]), int(events["club_top"])
    speed = s["club_head_speed"][start:stop]
    path = np.concatenate([[0], np.cumsum(0.5 * (speed[1:] + speed[:-1]))]) / rate
    frames = np.interp(np.linspace(0, 1.83, 61), path, np.arange(start, start + len(path)))
    grid = np.arange(len(s["hand_depth"]))
    return {name: np.interp(frames, grid, x) for name, x in s.items()}


def measures(s, events, rate):
    m = {"backswing_time": (events["club_top"] - events["takeaway"]) / rate,
         "downswing_time": (events["impact"] - events["club_top"]) / rate}
    m["tempo_ratio"] = m["backswing_time"] / m["downswing_time"]
    for name, x in s.items():
        for event, frame in events.items():
            m[f"{name}_at_{event}"] = at_frame(x, frame)
    first, last = int(events["club_top"]), int(events["impact"])
    for name in ("pelvis", "thorax", "lead_arm", "club"):
        m[f"peak_{name}_angular_speed"] = np.max(np.abs(s[f"{name}_angular_speed"][first:last + 1]))
    m["peak_club_head_speed"] = np.max(s["club_head_speed"][first:last + 1])
    m["peak_hand_speed"] = np.max(s["hand_speed"][first:last + 1])
    return m


class Study:
    """Columns over swings, uncompressed, grown by blocks; packed series and body."""

    def __init__(self, path):
        self.file = h5py.File(path, "w", libver="latest")
        self.rows = {}
        self.n = 0

    def column(self, name, shape, dtype, chunk):
        if name not in self.rows:
            self.rows[name] = [self.file.create_dataset(
                name, (0, *shape), dtype, chunks=(chunk, *shape), maxshape=(None, *shape)), 0]
        return self.rows[name]

    def put(self, name, block, dtype, chunk):
        entry = self.column(name, block.shape[1:], dtype, chunk)
        dataset, used = entry
        dataset.resize(used + len(block), axis=0)
        dataset[used:] = block
        entry[1] = used + len(block)

    def add(self, swings, facts):
        """Some tens of captures at once, as Swathe writes its parts."""
        for i, fact in enumerate(zip(*facts)):
            self.put(f"captures/{('file', 'sha256')[i]}", np.array(fact, "S64"), "S64", 256)
        for name in swings[0][0]:
            self.put(f"series/{name}", np.concatenate([w[0][name] for w in swings]), "f4", 16384)
            self.put(f"curves/{name}", np.stack([w[1][name] for w in swings]), "f8", 256)
            self.put(f"travel/{name}", np.stack([w[7][name] for w in swings]), "f8", 256)
        self.put("quality/noise", np.stack([w[6] for w in swings]), "f8", 256)
        self.put("registration/time", np.stack([w[2] for w in swings]), "f8", 256)
        for kind, k in (("events", 3), ("measures", 4)):
            for name in swings[0][k]:
                self.put(f"{kind}/{name}", np.array([w[k][name] for w in swings]), "f8", 256)
        for i, name in enumerate(USED):
            body = np.concatenate([w[5][:, i] for w in swings])
            self.put(f"body/{name}/position", body, "f4", 16384)
            self.put(f"body/{name}/origin", np.where(np.isnan(body[:, 0]), 3, 0), "i1", 16384)


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("sheet")
    arguments.add_argument("study")
    arguments.add_argument("--rotation", action="store_true")
    arguments.add_argument("--cutoff", type=float, default=15)
    arguments.add_argument("--limit", type=int)
    o = arguments.parse_args()
    tools = ((fit_rotation, by_rotation("YXZ"), by_rotation("ZXY")) if o.rotation else
             (fit_svd, cardan_yxz, cardan_zxy))
    with open(o.sheet, newline="") as f:
        rows = list(csv.DictReader(f))[:o.limit]
    folder = Path(o.sheet).parent
    study = Study(o.study)
    waiting, facts = [], []
    start, start_cpu = time.perf_counter(), time.process_time()
    for i, row in enumerate(rows):
        xyz, labels, rate, digest = read_c3d(folder / row["file"])
        still, still_labels, _, _ = read_c3d(folder / row["static"])
        static = dict(zip(still_labels, still.mean(0)))
        swing = analyse(xyz, labels, rate, static, o.cutoff, tools)
        for name in swing[3]:
            swing[3][name] /= rate
        waiting.append(swing)
        facts.append((row["file"], digest))
        if len(waiting) == 32 or i + 1 == len(rows):
            study.add(waiting, facts)
            waiting, facts = [], []
    study.file.close()
    wall, cpu = time.perf_counter() - start, time.process_time() - start_cpu
    print(f"{len(rows)} {wall:.4f} {cpu:.4f}")


if __name__ == "__main__":
    main()
