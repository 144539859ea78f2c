"""How well the speed of the club head at contact can be had by the way that kinematics/contact.h
tells, on the arc of tests/unit/test_contact.c, if the best stiffness were known.

The smoothed angle is linear in the samples, g = (I + stiffness D'D)^-1 x, and so is the slope of
the cubic through its last four values: bias and variance of the slope follow without drawing any
noise. Least over all stiffnesses, they bound what a stiffness found from the samples can reach.

Prints for each rate the least RMS error of the speed, in per cent, for tests/unit/test_contact.c:
of the head alone, and placed by a rigid fit with toe and heel (then only what shifts the head along
its way counts: 1/3 of one marker's variance, and what turns the fit, lever^2 / sum of r^2).
Run: python3 tests/reference/contact_bound.py
"""
import numpy as np

NOISE_M, STRETCH_S, RADIUS_M = 0.0005, 0.08, 1.4
MARKERS_M = np.array([[0, 0], [0.09, 0.03], [0.02, -0.03]])  # head, toe, heel: outwards, along


def angle_at(t):
    return 38 * t + 60 * t**2 - 900 * t**3


def head_at(t):
    a = angle_at(t)[:, None]
    e1, e2 = np.array([0, 0, 1.0]), np.array([0.8, 0.6, 0])
    drift = 2 * t[:, None] * np.array([1.0, 0, 0])
    return np.array([0.1, 0.2, 1.3]) + drift + RADIUS_M * (np.sin(a) * e2 - np.cos(a) * e1)


def circle(a, b, c):
    """Centre of the circle through three points, and two axes in its plane."""
    u, v = b - a, c - a
    w = np.cross(u, v)
    centre = a + (np.cross(w, u) * (v @ v) + np.cross(v, w) * (u @ u)) / (2 * w @ w)
    level = (c - centre) / np.linalg.norm(c - centre)
    return centre, level, np.cross(w / np.linalg.norm(w), level)


def least_error(rate_hz, noise_m):
    n = max(8, round(STRETCH_S * rate_hz) + 1)
    head = head_at(-(np.arange(n)[::-1] + 0.5) / rate_hz)
    centre, level, across = circle(head[0], head[n // 2], head[-1])

    def angle(points):
        d = points - centre
        return np.unwrap(np.arctan2(d @ across, d @ level))

    step = 1e-6
    true = np.diff(angle(head_at(np.array([-step, step]))))[0] / (2 * step)
    x = angle(head)
    radius_m = np.linalg.norm(head[-1] - centre)
    third = np.diff(np.eye(n), 3, axis=0)
    # slope half a frame after the last sample, of the cubic through the last four values
    slope = np.zeros(n)
    powers = np.vander(np.arange(-3, 1.0), 4, increasing=True)
    slope[-4:] = rate_hz * np.linalg.solve(powers.T, [0, 1, 2 * 0.5, 3 * 0.25])
    errors = []
    for stiffness in np.logspace(-6, 8, 281):
        weight = np.linalg.solve(np.eye(n) + stiffness * third.T @ third, slope)
        errors.append(np.hypot(weight @ x - true, noise_m / radius_m * np.linalg.norm(weight)))
    return 100 * min(errors) / true


apart = MARKERS_M - MARKERS_M.mean(axis=0)
share = np.sqrt(1 / 3 + apart[0, 0] ** 2 / np.sum(apart**2))
for rate_hz in (100, 120, 240, 500):
    print(f"{rate_hz:4d} Hz: {least_error(rate_hz, NOISE_M):.3f} %,"
          f" with toe and heel {least_error(rate_hz, NOISE_M * share):.3f} %")
