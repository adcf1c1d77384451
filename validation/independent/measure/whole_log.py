"""One long log from file to readings, as a capable user would write it with numpy, scipy and pandas.

    python3 whole_log.py make LOG      writes ten million rows with five pulls, and a test file beside it
    python3 whole_log.py read LOG      reads it: hash, times looked over, zero from the quiet part, calibration,
                                       CFC 60 forward and backward, pulls split, readings of each

To be timed as whole processes, beside `steadypull tests read` on the test file; both read the same bytes and do the same.
Invented data: for speed alone.
"""

import hashlib
import platform
import sys
from pathlib import Path

RATE_HZ, ROWS, PULLS = 10_000.0, 10_000_000, 5
GAIN_KN, CFC = 12.5, 60


def make(path):
    import numpy as np

    rng = np.random.default_rng(3)
    t = np.arange(ROWS) / RATE_HZ
    millivolts = rng.normal(0.010, 0.0024, ROWS)
    for k in range(PULLS):
        start = 100.0 + 180.0 * k
        during = (t >= start) & (t < start + 3.0)
        millivolts[during] += (3.2 + 0.24 * k) * np.sin(np.pi * (t[during] - start) / 3.0) ** 2
    with open(path, "w") as out:
        out.write("Time (s),Cell (mV)\n")
        for a in range(0, ROWS, 500_000):
            rows = zip(t[a : a + 500_000], millivolts[a : a + 500_000])
            out.write("".join(f"{x:.4f},{y:.6f}\n" for x, y in rows))
    test = path.with_suffix(".toml")
    lines = [
        'title = "Ten million rows"',
        "date = 2031-05-14",
        'recipe = "recipe.toml"',
        "[cell.main]",
        f'load_per_unit = "{GAIN_KN} kN"',
        'certificate = "C-1"',
        "due = 2032-01-01",
        'range = "100 kN"',
        'uncertainty = "0.25 %"',
        "[clean]",
        f"cfc = {CFC}",
    ]
    for k in range(1, PULLS + 1):
        lines += [f"[pull.p{k}]", f'log = "{path.name}"', f"which = {k}", 'cell = "main"']
    test.write_text("\n".join(lines) + "\n")


def read(path):
    import numpy as np
    import pandas as pd
    import scipy
    from scipy.signal import butter, sosfiltfilt

    bytes_ = path.read_bytes()
    digest = hashlib.sha256(bytes_).hexdigest()
    table = pd.read_csv(path, engine="c", dtype=np.float64)
    t, raw = table.iloc[:, 0].to_numpy(), table.iloc[:, 1].to_numpy()
    steps = np.diff(t)
    step = np.median(steps)
    faults = {
        "backwards": int((steps < 0).sum()),
        "repeated": int((steps == 0).sum()),
        "gaps": int((steps > 3 * step).sum()),
        "missing": int(np.isnan(raw).sum()),
        "stuck": int((np.diff(raw) == 0).sum()),
    }
    # The first quiet second: the spread there is the noise.
    quiet = raw[: int(1.0 / step)]
    zero, noise = quiet.mean(), quiet.std(ddof=1) * GAIN_KN
    load = (raw - zero) * GAIN_KN
    sos = butter(2, 2.0775 * CFC, fs=1.0 / step, output="sos")
    load = sosfiltfilt(sos, load, padtype="odd", padlen=362)
    threshold = max(5.0 * noise, 0.02 * load.max())
    above = load > threshold
    edges = np.flatnonzero(np.diff(above.astype(np.int8)))
    print(f"numpy {np.__version__}, scipy {scipy.__version__}, pandas {pd.__version__}, Python {platform.python_version()}")
    print(f"{digest} {len(t)} rows, faults {faults}, noise {noise:.4f} kN, threshold {threshold:.3f} kN")
    for begin, end in zip(edges[::2], edges[1::2]):
        part, times = load[begin : end + 2], t[begin : end + 2]
        top = int(np.argmax(part))
        peak = part[top]
        rise = times[np.argmax(part >= 0.9 * peak)] - times[np.argmax(part >= 0.1 * peak)]
        impulse = np.trapezoid(part, times)
        duration = times[-1] - times[0]
        print(f"peak {peak:.3f} kN at {times[top]:.4f} s, rise {rise:.4f} s, impulse {impulse:.3f} kN s, over {duration:.4f} s")


if __name__ == "__main__":
    what, log = sys.argv[1], Path(sys.argv[2])
    make(log) if what == "make" else read(log)
