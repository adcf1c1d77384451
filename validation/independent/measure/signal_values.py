"""Filtered records and a fitted wave from a general-purpose signal library.

Writes filtered.csv, wave.csv and wave_fit.csv beside this file. Shares no code with the
measuring crate: the filter is designed by scipy.signal.butter from its order and frequency
(not by the standard's formula) and run by scipy.signal.filtfilt with odd padding; the wave is
fitted by scipy.optimize.curve_fit.
"""

from pathlib import Path
import csv
import math
import platform

import numpy as np
import scipy
from scipy.optimize import curve_fit
from scipy.signal import butter, filtfilt

HERE = Path(__file__).parent
VERSIONS = f"numpy {np.__version__}, scipy {scipy.__version__}, Python {platform.python_version()}"


def pad_samples(cfc, rate):
    """10 ms, or 20 time constants sqrt(2)/w where that is longer (stated by the crate)."""
    pad_s = max(0.010, 20.0 * math.sqrt(2.0) / (2.0 * math.pi * 2.0775 * cfc))
    return math.ceil(pad_s * rate - 1e-6)


def records(rate, count, rng):
    t = np.arange(count) / rate
    pull = 40e3 * np.sin(np.pi * np.clip((t - 0.2 * t[-1]) / (0.5 * t[-1]), 0, 1)) ** 1.5
    step = np.where(t >= 0.5 * t[-1], 1000.0, 0.0)
    impulse = np.zeros(count)
    impulse[count // 2] = 1000.0
    return {
        "pull": pull + 300 + rng.normal(0, 200, count),
        "step": step,
        "impulse": impulse,
        "ramp": 500.0 * t / t[-1] - 100.0,
    }


def filtered():
    rng = np.random.default_rng(20260105)
    with open(HERE / "filtered.csv", "w", newline="") as out:
        out.write(f"# {VERSIONS}; made by signal_values.py\n")
        rows = csv.writer(out, lineterminator="\n")
        rows.writerow(["case", "cfc", "rate_hz", "sample", "raw_n", "filtered_n"])
        for cfc, rate, count in [(60, 1000, 160), (180, 10000, 260), (1000, 20000, 300), (75, 1500, 160)]:
            b, a = butter(2, 2.0775 * cfc, fs=rate)
            for name, raw in records(rate, count, rng).items():
                raw = np.array([float(f"{x:.6g}") for x in raw])
                smooth = filtfilt(b, a, raw, padtype="odd", padlen=pad_samples(cfc, rate))
                for i, (x, y) in enumerate(zip(raw, smooth)):
                    if i % 4 == 0 or i > count - 4:
                        rows.writerow([name, cfc, rate, i, f"{x:.6g}", f"{y:.13g}"])
                    else:
                        rows.writerow([name, cfc, rate, i, f"{x:.6g}", ""])


def swing(t, c0, c1, c2, p, q, decay, w):
    return c0 + c1 * t + c2 * t**2 + np.exp(-decay * t) * (p * np.cos(w * t) + q * np.sin(w * t))


def wave():
    rng = np.random.default_rng(7)
    t = np.arange(400) * 0.005
    y = np.round(swing(t, 22e3, -900.0, 150.0, 3000.0, 1500.0, 0.9, 2 * np.pi * 2.3) + rng.normal(0, 120, t.size), 3)
    found, spread = curve_fit(swing, t, y, p0=[2e4, 0, 0, 2000, 1000, 0.5, 14.0], xtol=1e-14, ftol=1e-14)
    decay, w = found[5:]
    whole = math.hypot(decay, w)
    slopes = np.array([w * w, -decay * w]) / whole**3
    u_damping = math.sqrt(slopes @ spread[5:, 5:] @ slopes)
    with open(HERE / "wave.csv", "w", newline="") as out:
        out.write(f"# {VERSIONS}; made by signal_values.py; one value every 0.005 s\nload_n\n")
        out.writelines(f"{v:.3f}\n" for v in y)
    with open(HERE / "wave_fit.csv", "w", newline="") as out:
        out.write(f"# {VERSIONS}; scipy.optimize.curve_fit on wave.csv\nname,value\n")
        for name, value in [
            ("frequency_hz", w / (2 * math.pi)),
            ("frequency_uncertainty_hz", math.sqrt(spread[6, 6]) / (2 * math.pi)),
            ("damping", decay / whole),
            ("damping_uncertainty", u_damping),
            ("amplitude_n", math.hypot(found[3], found[4])),
        ]:
            out.write(f"{name},{float(value)!r}\n")


if __name__ == "__main__":
    filtered()
    wave()
