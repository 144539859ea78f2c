#!/usr/bin/env python3
"""Writes filter_values.inc: inputs and what SciPy makes of them (run by hand, SciPy 1.10.1).

The design goes through scipy.signal.butter with the corrected cut-off, the two passes through
scipy.signal.filtfilt; the ends are treated as kinematics/filter.h states, with numpy.polyfit for
the curvature.
"""
import math
import pathlib

import numpy as np
from scipy import signal

CASES = [  # samples, rate (Hz), cut-off (Hz)
    (150, 250.0, 10.0),
    (13, 200.0, 6.0),  # the pad is as long as the run allows
    (90, 60.0, 20.0),
    (200, 240.0, 3.5),
]


def smooth(x, rate, cutoff):
    correction = (math.sqrt(2) - 1) ** 0.25
    once = rate / math.pi * math.atan(math.tan(math.pi * cutoff / rate) / correction)
    b, a = signal.butter(2, once, fs=rate)
    line = np.linspace(x[0], x[-1], len(x))
    y = x - line
    pad = min(len(x) - 1, math.ceil(rate / 4))
    before = beyond(y, rate / cutoff, pad)[::-1]
    after = beyond(y[::-1], rate / cutoff, pad)
    lengthened = np.concatenate([before, y, after])
    return signal.filtfilt(b, a, lengthened, padtype=None)[pad:-pad] + line


def beyond(y, period, pad):
    """What is put before y[0], nearest first."""
    samples = max(5, min(len(y), math.ceil(period / 2)))
    bend = 2 * np.polyfit(np.arange(samples), y[:samples], 3)[1]
    k = np.arange(1, pad + 1)
    along = np.minimum(k, period)
    return bend * along * (2 * k - along) - y[1 : pad + 1]


def main():
    rng = np.random.default_rng(20240501)
    out = ["/* Written by filter_reference.py (scipy.signal.filtfilt); do not edit. */"]
    rows = []
    for number, (n, rate, cutoff) in enumerate(CASES):
        t = np.arange(n) / rate
        x = 1.2 + 0.8 * t + 0.3 * np.sin(2 * np.pi * 1.7 * t) + rng.normal(0, 0.01, n)
        for name, values in (("in", x), ("out", smooth(x, rate, cutoff))):
            out.append(f"static const double filter_{name}_{number}[{n}] = {{")
            out += [f"    {value!r}," for value in values.tolist()]
            out.append("};")
        rows.append(f"    {{{n}, {rate}, {cutoff}, filter_in_{number}, filter_out_{number}}},")
    out.append("static const struct {\n    size_t n;\n    double rate_hz, cutoff_hz;\n"
               "    const double *in, *out;\n} filter_cases[] = {")
    out += rows + ["};"]
    pathlib.Path(__file__).with_name("filter_values.inc").write_text("\n".join(out) + "\n")


if __name__ == "__main__":
    main()
