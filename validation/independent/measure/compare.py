"""Reference values of the tests of `compare` and `day`, by numpy 2.4.6 and scipy 1.17.1.

Prints what the tests hold: chi-square and noncentral t probabilities, Welch, BCa,
exact permutation, power of the two-sample t test.
"""
import numpy as np
from scipy import stats

print("chi2.ppf(0.2, 4)", float(stats.chi2.ppf(0.2, 4)))
print("chi2.sf")
for x, v in [(0.3, 1), (3.84, 1), (2.0, 4), (12.5, 9), (30.0, 42), (80.0, 42), (950.0, 1000), (1100.5, 1000.5)]:
    print((x, v, float(stats.chi2.sf(x, v))))
print("nct.cdf")
for t, v, d in [(1.0, 3, 0.5), (7.0, 2, 2.849), (13.26, 2, 2.849), (2.1, 8.4, 3.0), (-1.0, 5, 1.0), (10.0, 29, 9.0093), (2.0, 1, 0.0), (50.0, 1, 2.3261743)]:
    print((t, v, d, float(stats.nct.cdf(t, v, d))))
a = np.array([61.2, 58.9, 63.4, 60.1, 59.7])
b = np.array([55.3, 57.8, 59.9, 56.1])
w = stats.ttest_ind(b, a, equal_var=False)
ci = w.confidence_interval(0.95)
print("welch", ci.low, ci.high, w.pvalue, w.df)
diff = lambda x, y, axis=-1: np.mean(y, axis=axis) - np.mean(x, axis=axis)
print("permutation", stats.permutation_test((a, b), diff, n_resamples=np.inf, vectorized=True).pvalue)
a2 = np.array([61.2, 58.9, 63.4, 60.1, 59.7, 66.0, 58.2, 60.9])
b2 = np.array([55.3, 57.8, 59.9, 56.1, 55.0, 62.4, 54.9])
r = stats.bootstrap((a2, b2), diff, n_resamples=400_000, batch=20_000, method="BCa", rng=np.random.default_rng(1), vectorized=True)
print("bca", r.confidence_interval)
print("power of the two-sample t test, two-sided, alpha 0.05: d, n per group")
for d, n in [(0.2, 393), (0.2, 394), (0.5, 64), (0.8, 26), (1.0, 17), (1.5, 9), (2.0, 6), (0.5, 20)]:
    v, nc = 2 * n - 2, d * np.sqrt(n / 2)
    t = stats.t.ppf(0.975, v)
    print((d, n, float(stats.nct.sf(t, v, nc) + stats.nct.cdf(-t, v, nc))))
from scipy import integrate, optimize
print("exact two-sided tolerance factor by adaptive quadrature: n, cover, confidence, k")
def two_sided(n, p, conf):
    v = n - 1
    r = lambda z: optimize.brentq(lambda r: stats.norm.cdf(z + r) - stats.norm.cdf(z - r) - p, 0, z + 10)
    def word(k):
        f = lambda z: 2 * np.sqrt(n) * stats.norm.pdf(np.sqrt(n) * z) * stats.chi2.sf(v * r(z) ** 2 / k**2, v)
        return integrate.quad(f, 0, 10 / np.sqrt(n), epsabs=1e-11, limit=200)[0]
    return optimize.brentq(lambda k: word(k) - conf, 0.5, 500, xtol=1e-10)
for row in [(43, 0.9, 0.99), (2, 0.95, 0.95), (7, 0.99, 0.9), (200, 0.9, 0.95)]:
    print(row, two_sided(*row))
