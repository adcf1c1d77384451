"""Reference values of the line fit with noise in both channels, by scipy.odr: `line_odr.csv`, `line_odr_fit.csv`.

A line that has seen 12 % before, swung between 3 and 11 %: a smooth curve of the stretch, whose strain at the breaking
strength, energy return and set are unknown. Orthogonal distance regression (Boggs, Byrd, Schnabel 1987: ODRPACK, in
scipy.odr) gives every reading a true stretch of its own; the noise of the stretch is told and that of the force found by
making the weighted squares as many as the degrees of freedom (scipy.optimize.brentq). Independent of the crate in the law's code,
in the method (no path is smoothed, nothing is straightened, no covariance made), optimiser and derivatives.
"""
import csv
import warnings

import numpy as np

warnings.simplefilter("ignore", DeprecationWarning)
from scipy import odr, optimize  # noqa: E402

BREAKING_N, SEEN, LENGTH_M = 9000 * 9.80665, 0.12, 9.0


def law(beta, strain):
    at_break, back, left = beta
    top = BREAKING_N * SEEN / at_break
    slack = left * SEEN
    # Energy given back: the area under top u^p over what is left of the strain.
    power = top * (SEEN - slack) / (back * 0.5 * top * SEEN) - 1.0
    u = np.clip((strain - slack) / (SEEN - slack), 1e-9, None)
    return top * u**power


TRUTH = [0.18, 0.70, 0.10]
rng = np.random.default_rng(20310514)
records, fits = [], []
for case in range(8):
    noise_n = [200.0, 400.0][case % 2]
    noise_m = [0.001, 0.002, 0.004, 0.006][case // 2]
    n = 80
    time = 0.01 * np.arange(n)
    strain = 0.07 + 0.04 * np.sin(2 * np.pi * 1.3 * time + case)
    stretch = LENGTH_M * strain + noise_m * rng.normal(size=n)
    force = law(TRUTH, strain) + noise_n * rng.normal(size=n)
    stretch, force = np.round(stretch, 6), np.round(force, 3)
    records += [[case, f"{t:.2f}", x, f] for t, x, f in zip(time, stretch, force)]

    def run(force_noise_n):
        data = odr.RealData(stretch / LENGTH_M, force, sx=noise_m / LENGTH_M, sy=force_noise_n)
        fit = odr.ODR(data, odr.Model(law), beta0=[0.2, 0.75, 0.08], sstol=1e-14, partol=1e-12, maxit=500)
        fit.set_job(fit_type=0, deriv=1)
        return fit.run()

    found = optimize.brentq(lambda s: run(s).sum_square - (n - 3), 20.0, 2000.0, xtol=1e-4)
    out = run(found)
    errors = np.sqrt(np.diag(out.cov_beta))
    fits.append([case, noise_m, repr(float(found))] + [repr(float(v)) for pair in zip(out.beta, errors) for v in pair])

with open("line_odr.csv", "w", newline="") as file:
    file.write("# scipy 1.17.1, numpy 2.4.6: line_odr.py\n")
    rows = csv.writer(file, lineterminator="\n")
    rows.writerow(["case", "time_s", "stretch_m", "force_n"])
    rows.writerows(records)
with open("line_odr_fit.csv", "w", newline="") as file:
    file.write("# scipy 1.17.1, numpy 2.4.6: line_odr.py\n")
    rows = csv.writer(file, lineterminator="\n")
    rows.writerow(["case", "stretch_noise_m", "force_noise_n", "strain_at_break", "error", "energy_return", "error", "set", "error"])
    rows.writerows(fits)
