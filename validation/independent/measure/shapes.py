"""Half-widths that hold 95 in 100 of sums of a bell curve, even spreads and whole numbers.

By mixture and convolution on the x axis, where the crate goes by characteristic functions.
Made with numpy 2.4.6, scipy 1.17.1. Prints rows for `shapes.rs`.
"""

import numpy as np
from scipy.optimize import brentq
from scipy.stats import norm


def whole(sd):
    """Chances of -K..K steps, exp(-k^2/2 tau^2), tau for the deviation asked."""
    k = np.arange(-80, 81)

    def of(tau):
        p = np.exp(-0.5 * (k / tau) ** 2)
        return p / p.sum()

    tau = brentq(lambda t: of(t) @ k**2 - sd**2, 0.05, sd + 1.0, xtol=1e-14)
    return k, of(tau)


def held(h, bell, even_half, steps):
    """P(|N + U + K| < h), K a list of (step, deviation in steps)."""
    at, p = np.array([0.0]), np.array([1.0])
    for step, sd in steps:
        k, q = whole(sd)
        at = np.add.outer(at, step * k).ravel()
        p = np.multiply.outer(p, q).ravel()
    # Distribution of bell + even spread by the antiderivative of the bell's.
    def cdf(x):
        if even_half == 0.0:
            return norm.cdf(x / bell)
        anti = lambda z: z * norm.cdf(z) + norm.pdf(z)
        return bell / (2 * even_half) * (anti((x + even_half) / bell) - anti((x - even_half) / bell))
    keep = p > 1e-13
    return float(np.sum(p[keep] * (cdf(h - at[keep]) - cdf(-h - at[keep]))))


for bell, even_half, steps in [
    (1.0, 0.0, []),
    (0.3, 0.5, []),
    (0.1, 0.5, [(1.0, 0.46)]),
    (0.3, 0.5, [(1.0, 0.5)]),
    (0.2, 0.5, [(1.0, 1.2)]),
    (0.4, 0.25, [(0.5, 0.5), (0.5, 0.5)]),
]:
    h = brentq(lambda x: held(x, bell, even_half, steps) - 0.95, 1e-6, 50, xtol=1e-13)
    print(bell, even_half, steps, f"{h:.9f}")
