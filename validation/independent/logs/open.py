"""Reads the open records with pandas, an independent reader, and prints what
crates/steadypull-logs/tests/open.rs expects: open.py FOLDER_OF_RECORDS

pandas 3.1.1, whose default float precision reads to the nearest double.
"""
import sys
from pathlib import Path

import pandas as pd

for name in ("tensile_strip.txt", "tensile_sheet.txt"):
    table = pd.read_csv(Path(sys.argv[1]) / name, skiprows=10, header=[0, 1])
    for (column, unit) in table.columns:
        values = table[(column, unit)]
        print(name, column, unit, len(values), float(values.iloc[0]), float(values.iloc[-1]), float(values.max()))
