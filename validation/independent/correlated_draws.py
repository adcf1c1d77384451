"""Reference for inputs that are drawn together: the Cholesky factor of a set of correlations, by numpy.

The engine takes every correlation nearer to nothing by one part in a hundred thousand before it factors (what a
file rounds off must not make a set impossible); so does this.
"""
import numpy as np

BELOW = [[], [-0.62], [0.31, 0.18], [-0.05, 0.44, -0.27], [0.7, -0.2, 0.1, 0.33]]
ROUNDING = 1e-5

r = np.eye(len(BELOW))
for i, row in enumerate(BELOW):
    for j, value in enumerate(row):
        r[i, j] = r[j, i] = value
factor = np.linalg.cholesky((1 - ROUNDING) * r + ROUNDING * np.eye(len(r)))
with open("correlated_draws.csv", "w") as out:
    out.write(f"# numpy {np.__version__}, correlated_draws.py: correlation and factor, by row and column from 0\n")
    out.write("row,column,correlation,factor\n")
    for i in range(len(r)):
        for j in range(i + 1):
            out.write(f"{i},{j},{float(r[i, j])!r},{float(factor[i, j])!r}\n")
