"""Reference values of the tests of `footage`, by numpy 2.4.6, scipy 1.17.1 and mpmath: `footage.csv`.

Cubic smoothing splines by scipy's make_smoothing_spline with a given penalty; cross-validation,
a quintic spline and all pointwise variances by the dense solution of the
process whose m-th derivative is white noise (kernel and polynomials, one linear system, 40 digits by mpmath).
A homography by scipy's least_squares on the exact eight equations of four points.
"""
import csv
from math import factorial
import numpy as np
from scipy import optimize
from mpmath import mp
from scipy.interpolate import make_smoothing_spline

n = 24
i = np.arange(n)
t = 0.04 * i + 0.012 * np.sin(1.7 * i)
y = 3.0 * t**2 - 1.1 * np.sin(6.0 * t) + 0.03 * np.cos(37.0 * i * i)
w = 1.0 + 0.5 * np.cos(i)

rows = []
put = lambda what, values: rows.extend((what, k, repr(float(v))) for k, v in enumerate(values))
put("t", t), put("y", y), put("w", w)

lam = 2e-5
s = make_smoothing_spline(t, y, w=w, lam=lam)
put("cubic_lam", [lam])
put("cubic", s(t)), put("cubic_speed", s.derivative()(t))

mp.dps = 40

def kernel(m, a, da, b, db):
    """d^da/da d^db/db of int_0^min (a-u)^(m-1) (b-u)^(m-1) du / (m-1)!^2, exactly."""
    p, q, h = m - 1 - da, m - 1 - db, min(a, b)
    total = mp.mpf(0)
    for i in range(p + 1):
        for j in range(q + 1):
            c = mp.binomial(p, i) * mp.binomial(q, j) * (-1) ** (i + j) * a ** (p - i) * b ** (q - j)
            total += c * h ** (i + j + 1) / (i + j + 1)
    return total / (factorial(p) * factorial(q))

def dense(m, lam, times):
    """Mean and root of variance over sigma^2 of the derivatives 0..m-1 at the times, and A; 40 digits."""
    u = [mp.mpf(x) - mp.mpf(times[0]) + mp.mpf("0.05") for x in times]
    n, lam = len(u), mp.mpf(lam)
    Y = mp.matrix([mp.mpf(v) for v in y])
    T = mp.matrix(n, m)
    S = mp.matrix(n, n)
    for i in range(n):
        for p in range(m):
            T[i, p] = u[i] ** p
        for j in range(n):
            S[i, j] = kernel(m, u[i], 0, u[j], 0) / lam
        S[i, i] += 1 / mp.mpf(w[i])
    Si = S ** -1
    P = (T.T * Si * T) ** -1
    b = P * (T.T * Si * Y)
    rest = Si * (Y - T * b)
    mean, root = [], []
    for d in range(m):
        mean.append([]), root.append([])
        for a in u:
            k = mp.matrix([[kernel(m, a, d, c, 0) / lam for c in u]])
            q = mp.matrix([[0 if p < d else mp.mpf(factorial(p)) / factorial(p - d) * a ** (p - d) for p in range(m)]])
            r = q - k * Si * T
            mean[-1].append(float((q * b + k * rest)[0]))
            root[-1].append(float(mp.sqrt(kernel(m, a, d, a, d) / lam - (k * Si * k.T)[0] + (r * P * r.T)[0])))
    return [np.array(v) for v in mean], [np.array(v) for v in root]

def score(m, lam):
    """Generalised cross-validation: n sum w r^2 / (n - tr A)^2; the trace from the variances at the readings."""
    mean, root = dense(m, lam, t)
    left, trace = np.sum(w * (y - mean[0]) ** 2), np.sum(w * root[0] ** 2)
    return n * left / (n - trace) ** 2

mean, root = dense(2, lam, t)
print("dense against scipy, cubic:", np.abs(mean[0] - s(t)).max())
for d in range(2):
    put(f"cubic_root_{d}", root[d])
best = optimize.minimize_scalar(lambda x: score(2, float(np.exp(x))), bounds=(-18, -2), method="bounded", options=dict(xatol=1e-4))
print("cubic by cross-validation: log lambda", best.x, "score", best.fun)
put("cubic_gcv_lam", [np.exp(best.x)])
put("cubic_gcv", dense(2, float(np.exp(best.x)), t)[0][0])
g = make_smoothing_spline(t, y)
w = np.ones(n)
own = optimize.minimize_scalar(lambda x: score(2, float(np.exp(x))), bounds=(-18, -2), method="bounded", options=dict(xatol=1e-4))
print("unweighted: scipy's own choice against the least score:", np.abs(g(t) - dense(2, float(np.exp(own.x)), t)[0][0]).max())
w = 1.0 + 0.5 * np.cos(i)
lam5 = 3e-8
mean, root = dense(3, lam5, t)
put("quintic_lam", [lam5])
for d in range(3):
    put(f"quintic_{d}", mean[d]), put(f"quintic_root_{d}", root[d])

pixels = np.array([[102.0, 640.0], [1790.0, 702.0], [1604.0, 231.0], [311.0, 198.0]])
metres = np.array([[0.0, 0.0], [6.0, 0.0], [6.0, 3.0], [0.0, 3.0]])
def equations(h):
    h = np.append(h, 1.0).reshape(3, 3)
    p = np.c_[pixels, np.ones(4)] @ h.T
    return (p[:, :2] - metres * p[:, 2:]).ravel()
sol = optimize.least_squares(equations, np.array([0.004, 0, -1, 0, -0.006, 4, 0, 0]), x_scale="jac", xtol=1e-15, ftol=1e-15, gtol=1e-15, max_nfev=20000)
print("homography residual", np.abs(sol.fun).max())
h = np.append(sol.x, 1.0).reshape(3, 3)
for k, p in enumerate([[900.0, 450.0], [500.0, 300.0], [1900.0, 900.0]]):
    q = h @ np.append(p, 1.0)
    put(f"plane_{k}", q[:2] / q[2])

with open("footage.csv", "w", newline="") as f:
    f.write("# numpy 2.4.6, scipy 1.17.1, footage.py\n")
    csv.writer(f, lineterminator="\n").writerows([("what", "place", "value"), *rows])
