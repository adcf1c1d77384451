"""Cuts the open force-plate records of jumpmetrics 0.2.0 (MIT) down to what
crates/steadypull-testday/tests/open keeps: open_records.py FOLDER_OF_THE_PACKAGE

Standard library only. Columns 3 and 9 are the vertical force of two plates, N; they are added.
"""

import sys
from pathlib import Path

RECORDS = {
    "jump_with_dip.csv": ("sample_data/cmj_example.txt", 2000, 4, 11.0),
    "jump_from_squat.csv": ("tests/example_data/raw_data/FHOC_P30_SQT300007.txt", 1000, 2, 11.0),
}

for name, (source, rate_hz, every, end_s) in RECORDS.items():
    lines = (Path(sys.argv[1]) / source).read_text().splitlines()[1:]
    rows = ["Time (s),Vertical force (N)"]
    for k in range(0, int(end_s * rate_hz), every):
        cells = lines[k].split(",")
        rows.append(f"{k / rate_hz:.3f},{float(cells[2]) + float(cells[8]):.3f}")
    Path(name).write_text("\n".join(rows) + "\n")
