"""How fast Swathe is, against NumPy and SciPy doing the same work in turn on the same captures, and
against the best rates of this machine. Called by scripts/benchmark, which builds first.

Times are processor seconds (user and system) per capture on one thread, medians of the rounds, so
that other work on the machine disturbs little; elapsed time is given where threads are compared.
"""
import argparse
import copy
import os
import platform
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import h5py
import numpy as np
import scipy

HERE = Path(__file__).resolve().parent
CUTOFF = "15"
# What must agree, for the work to be the same: medians over swings, SI. The filters differ at
# contact (Swathe's own extension of the ends), the reversals by how a turning point is refined.
EVENTS = {"takeaway": 0.002, "shaft_level_backswing": 0.001, "lead_arm_level_backswing": 0.001,
          "club_top": 0.002, "lead_arm_level_downswing": 0.001, "shaft_level_downswing": 0.001,
          "impact": 0.001, "finish": 0.005, "travel_0.61": 0.001, "travel_1.83": 0.001}
ANGLE = np.radians(0.2)
CURVES = {"hand_depth": 0.001, "hand_height": 0.001, "depth_from_pelvis": 0.001,
          "depth_from_thorax": 0.001, "depth_from_arms": 0.001, "pelvis_turn": ANGLE,
          "pelvis_side_tilt": ANGLE, "pelvis_forward_tilt": ANGLE, "thorax_turn": ANGLE,
          "thorax_side_tilt": ANGLE, "thorax_forward_tilt": ANGLE, "separation_joint": ANGLE,
          "lead_arm_elevation": ANGLE, "shaft_elevation": ANGLE, "wrist_set": ANGLE,
          "lead_elbow_flexion": ANGLE, "lead_knee_flexion": ANGLE, "club_head_speed": 0.1}


def run(command, environment=None, quiet=True):
    """Runs and waits. @return processor seconds, elapsed seconds, peak memory in MB, output"""
    output = tempfile.TemporaryFile("w+")
    start = os.times().elapsed
    child = subprocess.Popen([str(c) for c in command], stdout=output,
                             stderr=subprocess.STDOUT, env=environment)
    _, status, usage = os.wait4(child.pid, 0)
    elapsed = os.times().elapsed - start
    output.seek(0)
    text = output.read()
    if status != 0:
        sys.exit(f"benchmark: {' '.join(map(str, command))} failed:\n{text[-2000:]}")
    return usage.ru_utime + usage.ru_stime, elapsed, usage.ru_maxrss / 1024, text


def peer_environment(threads, keep_memory=False):
    """keep_memory: NumPy's large arrays come from memory that is kept, not from the system anew."""
    e = dict(os.environ, OPENBLAS_NUM_THREADS=str(threads), OMP_NUM_THREADS=str(threads))
    if keep_memory:
        e.update(MALLOC_MMAP_THRESHOLD_=str(1 << 30), MALLOC_TRIM_THRESHOLD_=str(1 << 32))
    e.pop("OPENBLAS_CORETYPE", None)  # a kernel for an older machine may be named there
    return e


def blas_in_use():
    import ctypes.util
    maps = Path("/proc/self/maps")
    text = maps.read_text() if maps.exists() else ""
    found = sorted({Path(line.split()[-1]).name for line in text.splitlines()
                    if re.search(r"lib(open)?blas|libmkl|libblis", line)})
    return ", ".join(found) or "unknown"


def hash_instructions():
    info = Path("/proc/cpuinfo")
    found = info.exists() and re.search(r"\b(sha_ni|sha2)\b", info.read_text())
    return "with instructions for SHA-256" if found else "without instructions for SHA-256"


class Captures:
    def __init__(self, build, folder, n, different):
        self.n, self.folder, self.swathe = n, Path(folder), build / "cli/swathe"
        run([build / "tests/benchmark_captures", folder, n, min(n, different)])
        shutil.copy(HERE.parents[1] / "datasets/maps/demo.ini", self.folder / "map.ini")
        self.study = self.folder / "study.h5"

    def linked(self, folder):
        """The same captures in another folder, for a study of its own there."""
        shutil.copytree(self.folder, folder, copy_function=os.link,
                        ignore=shutil.ignore_patterns("study.h5*"))
        other = copy.copy(self)
        other.folder, other.study = folder, folder / "study.h5"
        return other

    def import_all(self):
        return run([self.swathe, "import", self.folder / "sheet.csv", "--map",
                    self.folder / "map.ini", "-o", self.study])

    def measure(self, *options):
        self.study.unlink(missing_ok=True)  # a study that stands would be found unchanged
        self.import_all()
        cpu, elapsed, memory, text = run([self.swathe, "measure", self.study, "--cutoff", CUTOFF,
                                          *options])
        if "unchanged" in text or "nothing has changed" in text or "measured" not in text:
            sys.exit(f"benchmark: not all was measured anew:\n{text}")
        return cpu / self.n, elapsed / self.n, memory

    def peer(self, study, rotation, n, threads=1, keep_memory=False):
        options = ["--rotation"] if rotation else []
        cpu, elapsed, memory, text = run(
            [sys.executable, HERE / "peer/peer.py", self.folder / "sheet.csv", study, "--cutoff",
             CUTOFF, "--limit", n, *options], peer_environment(threads, keep_memory))
        done, elapsed, cpu = (float(x) for x in text.split()[-3:])  # without Python's own start
        return cpu / done, elapsed / done, memory


def compare(study, peer):
    """Swathe's numbers against the peer's. @return lines for the page; leaves when they differ"""
    lines, bad = [], []
    with h5py.File(study) as a, h5py.File(peer) as b:
        n = len(b["events/takeaway"])
        names = [x.decode() for x in a["quality/landmark"][:]]
        noise = a["quality/noise"][:n, names.index("lead.ASIS")] - b["quality/noise"][:, 0]
        rows = [("event", name, limit, a[f"events/{name}/time"][:n] - b[f"events/{name}"][:], "s")
                for name, limit in EVENTS.items()]
        rows += [("curve", name, limit, a[f"curves/{name}/value"][:n] - b[f"curves/{name}"][:],
                  "rad" if limit == ANGLE else "m/s" if "speed" in name else "m")
                 for name, limit in CURVES.items()]
    rows.append(("quality", "noise of lead.ASIS", 5e-5, noise, "m"))
    for kind, name, limit, difference, unit in rows:
        middle = np.nanmedian(np.abs(difference))
        lines.append(f"| {kind} | {name} | {middle:.2g} | {limit:.2g} | {unit} |")
        if not middle <= limit:
            bad.append(f"{name}: median difference {middle:g} {unit}, tolerance {limit:g}")
    if bad:
        sys.exit("benchmark: the two do not compute the same:\n" + "\n".join(bad))
    return n, lines


# Innermost first: a sample of the profile counts for the first of these that is on its stack. What
# hashes is known by its library: it is assembler, and its callers cannot be told.
STAGES = [("libcrypto", "SHA-256 of the sources"), ("swt_sha256", "SHA-256 of the sources"),
          ("swt_capture_read", "C3D read and decoded"),
          ("swt_marker_map_bind", "labels to landmarks"),
          ("swt_check_landmark_labels", "exchanged labels looked for"),
          ("swt_choose_cutoffs", "noise of each landmark"),
          ("swt_smooth_landmarks", "filter"), ("swt_body_build", "joint centres and poses"),
          ("swt_series_fill", "curves in time"), ("swt_analyse", "rest of the analysis"),
          ("swt_packed_new", "samples to single precision"),
          ("swt_study_growth", "study written"), ("write_entries", "checkpoints written"),
          ("swt_study_write", "checkpoints written"),
          ("", "rest")]


def profile(captures, folder):
    """Shares of the time of one run, in percent; empty where perf (Debian: linux-perf) lacks."""
    if not shutil.which("perf"):
        return {}
    data, shares, n = f"{folder}/perf.data", {}, 0
    captures.study.unlink(missing_ok=True)
    captures.import_all()
    run(["perf", "record", "-q", "-F", "400", "--call-graph", "dwarf,16384", "-o", data,
         captures.swathe, "measure", captures.study, "--cutoff", CUTOFF, "--replicates", "0",
         "--threads", "1"])
    text = subprocess.run(["perf", "script", "-i", data, "-F", "ip,sym,dso"], capture_output=True,
                          text=True, check=True).stdout
    os.remove(data)
    for sample in text.split("\n\n"):
        names = [line.split(None, 1)[1] for line in sample.split("\n") if len(line.split()) > 1]
        if names:
            n += 1
            stage = next(stage for start, stage in STAGES if any(start in x for x in names))
            shares[stage] = shares.get(stage, 0) + 1
    return {stage: 100 * count / n for stage, count in shares.items()}


def threads(captures, rounds, twin):
    """Medians of the elapsed seconds a capture: one thread, two, and two programs at once."""
    one, two, both = [], [], []
    other = captures.linked(Path(twin))
    options = ("--replicates", "0", "--threads")
    for _ in range(rounds):  # in turn
        one.append(captures.measure(*options, "1")[1])
        two.append(captures.measure(*options, "2")[1])
        with ThreadPoolExecutor() as pool:
            both.append(max(job[1] for job in pool.map(
                lambda c: c.measure(*options, "1"), (captures, other))))
    shutil.rmtree(twin)
    return tuple(statistics.median(x) for x in (one, two, both))


def kernels(build):
    text = run([build / "tests/benchmark_kernels"])[3]
    return {m[1].strip(): float(m[2]) for m in re.finditer(r"^(.+?)\s+([\d.]+) ms$", text, re.M)}


def corridor(build, rounds):
    """Swathe and the ways of NumPy in turn: medians, seconds."""
    samples = {"swathe": []}
    for _ in range(rounds):
        for threads in (1, os.cpu_count()):
            ours = run([build / "tests/benchmark_corridor"])[3]
            samples["swathe"].append(float(re.search(r"corridors ([\d.]+) s", ours)[1]))
            text = run([sys.executable, HERE / "corridor.py"], peer_environment(threads))[3]
            for m in re.finditer(r"NumPy ([a-z ]+): ([\d.]+) s", text):
                name = f"NumPy, {m[1]}, {threads} BLAS thread{'s' if threads > 1 else ''}"
                samples.setdefault(name, []).append(float(m[2]))
    return {name: statistics.median(s) for name, s in samples.items()}


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("build", type=Path)
    arguments.add_argument("--captures", type=int, default=1000)
    arguments.add_argument("--rounds", type=int, default=3)
    arguments.add_argument("--large", action="store_true", help="10,000 captures for the growth")
    arguments.add_argument("--work", help="folder for the captures and studies")
    arguments.add_argument("--page", type=Path, help="write the page there")
    o = arguments.parse_args()
    out = []
    if "openblas" not in blas_in_use():
        sys.exit(f"benchmark: NumPy runs on {blas_in_use()}, slower than it can: "
                 "OpenBLAS is wanted (Debian: libopenblas0-pthread)")

    def say(line=""):
        out.append(line)
        print(line, flush=True)

    with tempfile.TemporaryDirectory(dir=o.work) as work:
        c = Captures(o.build, f"{work}/captures", o.captures, 100)
        few = Captures(o.build, f"{work}/few", 100, 100)
        peer_n = min(o.captures, 40)
        ours, strong, kept, rotation, rotation_kept = [], [], [], [], []
        for _ in range(o.rounds):  # in turn
            ours.append(c.measure("--replicates", "0", "--threads", "1"))
            strong.append(c.peer(f"{work}/strong.h5", False, peer_n))
            kept.append(c.peer(f"{work}/strong.h5", False, peer_n, keep_memory=True))
            rotation.append(c.peer(f"{work}/rotation.h5", True, min(peer_n, 12)))
            rotation_kept.append(c.peer(f"{work}/rotation.h5", True, min(peer_n, 12),
                                        keep_memory=True))
        ours, strong, kept, rotation, rotation_kept = (
            [statistics.median(r[i] for r in rows) for i in range(3)]
            for rows in (ours, strong, kept, rotation, rotation_kept))
        many_threads = c.peer(f"{work}/strong.h5", False, peer_n, os.cpu_count())
        n_compared, table = compare(c.study, f"{work}/strong.h5")
        _, _ = compare(c.study, f"{work}/rotation.h5")
        say("# Speed")
        say()
        say("Made by `scripts/benchmark --page docs/benchmark.md`"
            + (" with `--large`" if o.large else "")
            + f". {platform.machine()} {hash_instructions()}, {os.cpu_count()} cores, load "
            f"{os.getloadavg()[0]:.1f} at the time; Python {platform.python_version()}, NumPy "
            f"{np.__version__}, SciPy {scipy.__version__}, BLAS {blas_in_use()}, "
            "OPENBLAS_CORETYPE unset.")
        say()
        say(f"Captures of 60 markers x 2,000 frames at 240 Hz with 0.5 mm of noise and a static "
            f"capture each, in the page cache; low-pass cut-off fixed at {CUTOFF} Hz; every event, "
            f"curve and measure computed and the study written. {o.captures} captures, the peer "
            f"{peer_n} of them (with `Rotation` {min(peer_n, 12)}), {o.rounds} rounds in turn, "
            "medians. *Processor time* is user and system time of one thread.")
        say()
        say("| | processor ms per capture | captures per second and core | times as long as Swathe |"
            " peak memory, MB |")
        say("|---|---|---|---|---|")
        for name, row in (("Swathe, `--replicates 0`", ours),
                          ("NumPy and SciPy, strong version", strong),
                          ("the same, memory kept", kept),
                          ("with `scipy...Rotation`", rotation),
                          ("the same, memory kept", rotation_kept)):
            say(f"| {name} | {1e3 * row[0]:.1f} | {1 / row[0]:.1f} | {row[0] / ours[0]:.1f} | "
                f"{row[2]:.0f} |")
        say()
        say("*Memory kept*: glibc told to keep what is freed (`MALLOC_MMAP_THRESHOLD_`, "
            "`MALLOC_TRIM_THRESHOLD_`), since where the system is slow to give pages, NumPy's large "
            "arrays pay for them again and again. This is the stronger peer. Aims: 10 times as fast as "
            "the strong version, 25 times as fast as the one with `Rotation`.")
        say()
        say(f"With {os.cpu_count()} BLAS threads the strong version takes "
            f"{1e3 * many_threads[0]:.1f} ms of processor time and {1e3 * many_threads[1]:.1f} ms "
            "elapsed per capture.")
        say()
        full = few.measure("--threads", "1")
        say(f"With the default of 20 replicates for the uncertainty of every number, which the peer "
            f"does not have: {1e3 * full[0]:.1f} ms per capture, {full[2]:.0f} MB.")
        say()
        say("## The floor")
        say()
        say("The steps that nothing can leave out, each at the best rate of this machine "
            "(`benchmark_kernels`, one core, least of many repetitions):")
        say()
        say("| step | ms |")
        say("|---|---|")
        steps = kernels(o.build)
        hashed = next(ms for name, ms in steps.items() if "SHA" in name)
        floor = sum(ms for name, ms in steps.items()
                    if not any(x in name for x in ("residual", "angular velocity", "SHA")))
        for name, ms in steps.items():
            say(f"| {name} | {ms:.2f} |")
        say(f"| sum without residual analysis, angular velocity and SHA-256 | {floor:.2f} |")
        say()
        say(f"Swathe's {1e3 * ours[0]:.1f} ms are {1e3 * ours[0] / floor:.1f} times this floor (aim: 2). "
            f"With SHA-256, which a study must have of its sources, they are "
            f"{1e3 * ours[0] / (floor + hashed):.1f} times the sum. The floor is taken from "
            "undisturbed moments; where other work shares the cores, Swathe's median is not.")
        say()
        shares = profile(c, work)
        if shares:
            say("Where the time goes (`perf`, one run, one thread, samples by stage). The floor has no "
                "SHA-256, no labels, noise and curves, and writes the numbers once; against a kill "
                "they are written a second time, in checkpoints of 48 captures:")
            say()
            say("| stage | % |")
            say("|---|---|")
            for stage, share in sorted(shares.items(), key=lambda x: -x[1]):
                say(f"| {stage} | {share:.1f} |")
            say()
        counted = o.build / "tests/benchmark_allocations"
        if counted.exists():
            say(f"Memory: {run([counted])[3].strip().replace('blocks of memory an', 'blocks an')}: "
                "none for a frame.")
            say()
        say("## Threads, growth, memory")
        say()
        one, two, both = threads(c, o.rounds, f"{work}/twin")
        say(f"{c.n} captures, elapsed: 1 thread {one * 1e3:.1f} ms per capture, 2 threads "
            f"{two * 1e3:.1f} ms: {one / two:.2f} times as fast (aim: 1.8). Two programs of one "
            f"thread at once, each on captures of its own, which share the machine and nothing "
            f"else, get through {2 * one / both:.2f} times as many captures as one alone: what two "
            "cores of this machine can give.")
        say()
        big = Captures(o.build, f"{work}/large", 10000, 100) if o.large else c
        small = few.measure("--replicates", "0", "--threads", "2")
        grown = big.measure("--replicates", "0", "--threads", "2")
        say("| captures, 2 threads | processor ms per capture | elapsed ms per capture | "
            "peak memory, MB |")
        say("|---|---|---|---|")
        for n, row in ((few.n, small), (big.n, grown)):
            say(f"| {n} | {1e3 * row[0]:.1f} | {1e3 * row[1]:.1f} | {row[2]:.0f} |")
        say()
        say(f"Processor time per capture at {big.n}: {100 * grown[0] / small[0] - 100:+.0f} % of that at "
            f"{few.n}, on which a run's own start and end weigh (aim: at most 10 % more). Memory aim: "
            "300 MB.")
        say()
        again = run([big.swathe, "measure", big.study, "--cutoff", CUTOFF, "--replicates", "0"])
        if "nothing has changed" not in again[3]:
            sys.exit(f"benchmark: unchanged captures were measured again:\n{again[3]}")
        say(f"The {big.n} captures again, none of them changed: {again[1]:.2f} s elapsed, "
            f"{100 * again[1] / (grown[1] * big.n):.2f} % of the first run (aim: 2 %).")
        say()
        say("## The same numbers")
        say()
        say(f"Median absolute differences of Swathe and the strong version over {n_compared} swings; "
            "the run fails beyond the tolerance.")
        say()
        say("| | name | difference | tolerance | unit |")
        say("|---|---|---|---|---|")
        for line in table:
            say(line)
        say()
        say("## Corridors")
        say()
        say("500 swings (50 players) x 20 measures x 101 samples x 2,000 resamples, processor "
            "seconds; *products* does the same as Swathe, *gather* and *plain* less: what each way "
            "of NumPy does stands in `tests/benchmark/corridor.py`. Aims: 15 against *gather*, no "
            "slower than a single matrix product. Of ours about a third is matrix products (75 "
            "million floating-point operations a measure, in tiles that stay in registers), a sixth "
            "each the normal and chi-square draws and GSL's eigenvectors.")
        say()
        say("| | s | times as long as Swathe |")
        say("|---|---|---|")
        times = corridor(o.build, o.rounds)
        for name, s in times.items():
            say(f"| {name} | {s:.3f} | {s / times['swathe']:.2f} |")
    if o.page:
        o.page.write_text("\n".join(out) + "\n", encoding="utf-8")


main()
