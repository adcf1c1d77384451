"""The yardstick of speed: a long log of a time and a load with pandas, as one would write it.

    read_csv.py make FILE   writes ten million rows (about 200 MB, numpy's generator, seed 1)
    read_csv.py read FILE   reads them and turns the load into newtons

Measured beside `cargo run --release -p steadypull-logs --example read_log -- FILE`, which
guesses, hashes and reads.
"""
import sys


def make(path):
    import numpy as np

    count, step = 10_000_000, 500_000
    time = np.arange(count) * 0.001
    load = 20 + 15 * np.sin(time * 0.7) + np.random.default_rng(1).normal(0, 0.3, count)
    with open(path, "w") as out:
        out.write("Time (s),Load (kN)\n")
        for at in range(0, count, step):
            rows = zip(time[at : at + step].tolist(), load[at : at + step].tolist())
            out.write("".join("%.4f,%.6f\n" % row for row in rows))


def read(path):
    import pandas as pd

    table = pd.read_csv(path)
    load = table.iloc[:, 1].to_numpy() * 1000.0
    print(len(table), load.min(), load.max())


{"make": make, "read": read}[sys.argv[1]](sys.argv[2])
