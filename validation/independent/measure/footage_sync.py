"""Reference values of `footage::sync`, by numpy 2.4.6 and scipy 1.17.1: `footage_sync.csv`.

Offset and drift of a log's clock over that of a film, from events that both saw: the dense normal
equations of weighted least squares with the stated frame rate as one observation more (numpy.linalg),
the chi-square of what is left (scipy.stats.chi2), about frame 0 and then carried to the middle of the events.
One row a case: events (frames, off, log, log error), rate, its error; at, offset, error, drift, its error, chi-square, p.
"""
import csv
import numpy as np
from scipy.stats import chi2

rng = np.random.default_rng(20310514)
rows = []
for case in range(40):
    n = 1 + case % 3
    rate = float(rng.choice([60.0, 120.0, 240.0, 1000.0]))
    rate_error = float(rng.choice([0.0, 0.001, 0.01])) * rate
    frames = np.sort(rng.choice(np.arange(10, 2000), n, replace=False))
    off = float(rng.choice([0.0, 0.5, 2.0]))
    log_error = rng.uniform(1e-4, 5e-3, n)
    t = (frames - 0.5) / rate
    sigma = np.sqrt((1 / rate) ** 2 / 12 + (off / rate) ** 2 + log_error**2)
    drift = rng.normal() * rate_error / rate if rate_error else 0.0
    log = 1.1 + t * (1 + drift) + rng.normal(size=n) * sigma
    if case % 5 == 4:
        log[-1] += 6.0 * sigma[-1]  # an event that says another time
    # Unknowns: offset at frame 0 and drift; a rate taken as exact leaves one of them.
    design, y, s = np.c_[np.ones(n), t], log - t, sigma
    if rate_error:
        design, y, s = np.r_[design, [[0.0, 1.0]]], np.r_[y, 0.0], np.r_[s, rate_error / rate]
    else:
        design = design[:, :1]
    a, b = design / s[:, None], y / s
    cov = np.linalg.inv(a.T @ a)
    best = cov @ a.T @ b
    chi = float(np.sum((b - a @ best) ** 2))
    p = float(chi2.sf(chi, n - 1)) if n > 1 else -1.0
    widened = np.sqrt(chi / (n - 1)) if n > 1 and p < 0.05 else 1.0
    if rate_error:
        at = -cov[0, 1] / cov[1, 1]
        carry = np.array([1.0, at])
        out = [at, carry @ best, widened * np.sqrt(carry @ cov @ carry), best[1], widened * np.sqrt(cov[1, 1])]
    else:
        at = np.sum(t / sigma**2) / np.sum(1 / sigma**2)
        out = [at, best[0], widened * np.sqrt(cov[0, 0]), 0.0, 0.0]
    events = ";".join(f"{f}:{off}:{float(l)!r}:{float(e)!r}" for f, l, e in zip(frames, log, log_error))
    rows.append([events, rate, rate_error] + [repr(float(v)) for v in out] + [repr(chi), repr(p)])

with open("footage_sync.csv", "w", newline="") as file:
    csv.writer(file, lineterminator="\n").writerows(rows)
