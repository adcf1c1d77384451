"""What a general-purpose signal library takes for ten million samples.

Prints; writes nothing. The same work as the bench `ten_million_samples` of the measuring
crate: CFC 60 at 10 kHz forward and backward, the greatest value and its time, the integral.
"""

import platform
import time

import numpy as np
import scipy
from scipy.signal import butter, filtfilt, sosfiltfilt

RATE, COUNT = 10_000, 10_000_000


def main():
    t = np.arange(COUNT) / RATE
    rng = np.random.default_rng(1)
    raw = 40e3 * np.clip(np.sin(t), 0, None) + rng.normal(0, 100, COUNT)
    b, a = butter(2, 2.0775 * 60, fs=RATE)
    sos = butter(2, 2.0775 * 60, fs=RATE, output="sos")
    ways = {
        "filtfilt": lambda: filtfilt(b, a, raw, padtype="odd", padlen=362),
        "sosfiltfilt": lambda: sosfiltfilt(sos, raw, padtype="odd", padlen=362),
    }
    print(f"numpy {np.__version__}, scipy {scipy.__version__}, Python {platform.python_version()}")
    for name, run in ways.items():
        best = float("inf")
        for _ in range(5):
            start = time.perf_counter()
            smooth = run()
            peak = int(np.argmax(smooth))
            impulse = np.trapezoid(smooth, dx=1 / RATE)
            best = min(best, time.perf_counter() - start)
        print(f"{name}: {best:.3f} s (peak {smooth[peak]:.1f} N at {t[peak]:.4f} s, impulse {impulse:.1f} N s)")


if __name__ == "__main__":
    main()
