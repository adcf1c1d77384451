"""An elastic rod with a mass at its free end, let go: the classical wave solution, checked by computer algebra.

Writes rod_end_mass.csv beside this file. Needs sympy and numpy; shares no code with the planning tool.
Derivation: README.md of this folder. Units: time L/c, speed c e, pull that at the start.
"""

from pathlib import Path
import platform

import numpy as np
import sympy as sp

t, s, r, x = sp.symbols("t s r x", positive=True)
REFLECTIONS = 2  # waves that come back to the mass: good for t up to 2 (REFLECTIONS + 1)
RATIOS = ("0.1", "0.15", "0.2", "0.5", "1", "2")  # mass of the line over that of the hardware
TIMES = ("0.5", "1", "1.5", "2", "2.5", "3", "3.5", "4", "4.5", "5")


def sent(n):
    """Speed in the wave that leaves the mass at time t after n reflections came in: f = sum of its parts."""
    # F(s) = r/(s (s + r)) sum over n of ((s - r)/(s + r) exp(-2 s))^n, inverted a term at a time.
    term = sp.apart(r / (s * (s + r)) * ((s - r) / (s + r)) ** n, s)
    return sp.simplify(sp.inverse_laplace_transform(term, s, t))


PARTS = [sent(n) for n in range(REFLECTIONS + 1)]


def outgoing(n):
    """f on 2 n <= t < 2 (n + 1)."""
    return sum(PARTS[k].subs(t, t - 2 * k) for k in range(n + 1))


def speed(n):
    """Of the mass on the same interval: what it sends less what came back."""
    return outgoing(n) - (outgoing(n - 1).subs(t, t - 2) if n else 0)


def check_algebra():
    """The pieces satisfy the law of motion of the mass, join and start at rest."""
    assert speed(0).subs(t, 0) == 0
    for n in range(REFLECTIONS + 1):
        back = outgoing(n - 1).subs(t, t - 2) if n else sp.Integer(0)
        # (1/r) dV/dt = pull at the mass = 1 - f(t) - f(t - 2).
        assert sp.simplify(sp.diff(speed(n), t) / r - (1 - outgoing(n) - back)) == 0
        if n:
            assert sp.simplify((speed(n) - speed(n - 1)).subs(t, 2 * n)) == 0
    # The first piece and the greatest speed of the second are the formulas in the books of check values.
    assert sp.simplify(speed(0) - (1 - sp.exp(-r * t))) == 0
    half = sp.exp(-2 * r) / 2
    assert sp.simplify(sp.diff(speed(1), t).subs(t, 2 + half / r)) == 0
    assert sp.simplify(speed(1).subs(t, 2 + half / r) - (2 * sp.exp(-half) - 1)) == 0


def functions(ratio):
    """Speed of the mass, wave it sends, as plain functions of time."""
    pieces = [[sp.lambdify(t, piece(n).subs(r, sp.Rational(ratio)), "numpy") for n in range(REFLECTIONS + 1)]
              for piece in (speed, outgoing)]

    def at(piece, time):
        n = int(time // 2)
        return 0.0 if time < 0 else float(pieces[piece][min(n, REFLECTIONS)](time))
    return (lambda time: at(0, time)), (lambda time: at(1, time))


def first_zero(of, end):
    """Where a function that starts above nought first is nought, by a scan and halving; never: infinity."""
    grid = np.linspace(1e-9, end, 6001)
    below = [k for k, time in enumerate(grid) if of(time) < 0.0]
    if not below:
        return np.inf
    low, high = grid[below[0] - 1], grid[below[0]]
    for _ in range(200):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if of(middle) > 0.0 else (low, middle)
    return low


def by_characteristics(ratio, until, n=4000):
    """The same by marching waves along the rod and Heun's rule at the mass: no formula in it."""
    dt, ratio = 1.0 / n, float(ratio)
    sent_f, v = [0.0], [0.0]
    for k in range(round(until / dt)):
        back = [sent_f[j] if j >= 0 else 0.0 for j in (k - 2 * n, k + 1 - 2 * n)]
        pull = [1.0 - v[-1] - 2.0 * back[0]]
        guess = v[-1] + dt * ratio * pull[0]
        pull.append(1.0 - guess - 2.0 * back[1])
        v.append(v[-1] + 0.5 * dt * ratio * sum(pull))
        sent_f.append(v[-1] + back[1])
    return v[-1]


def rows_of(ratio):
    speed_at, sent_at = functions(ratio)

    def pull_at_mass(time):
        return 1.0 - sent_at(time) - sent_at(time - 2.0)

    good_until = 2.0 * (REFLECTIONS + 1)
    fastest = first_zero(pull_at_mass, good_until)
    # The line is taut beside the mass all that time. At the held end it is until 2 f(t - 1) = 1;
    # the news of its going slack reaches the mass a time 1 later.
    slack = 1.0 + first_zero(lambda time: 1.0 - 2.0 * sent_at(time), good_until - 1.0)
    assert np.isfinite(fastest) and slack + 1.0 > fastest, "the line would be slack before: not the linear solution"
    for time in (0.7 * fastest, fastest):
        assert abs(by_characteristics(ratio, time) - speed_at(time)) < 1e-3
    rows = [("greatest speed", speed_at(fastest), "c e"), ("time of greatest speed", fastest, "L/c")]
    for time in TIMES:
        if float(time) < fastest:
            rows.append((f"speed at {time}", speed_at(float(time)), "c e"))
    end = min(slack, good_until)
    grid = np.linspace(0.0, end, 20001)
    pull = np.array([1.0 - 2.0 * sent_at(time - 1.0) for time in grid])
    assert pull.min() > -1e-6
    for time in TIMES:
        if float(time) < end:
            fine = np.linspace(0.0, float(time), 20001)
            values = np.array([1.0 - 2.0 * sent_at(u - 1.0) for u in fine])
            rows.append((f"impulse on the held end by {time}", np.trapezoid(values, fine), "T L/c"))
    if np.isfinite(slack):
        rows.append(("time the held end goes slack", slack, "L/c"))
        rows.append(("impulse on the held end by then", np.trapezoid(pull, grid), "T L/c"))
    return rows


def main():
    check_algebra()
    lines = [
        "# rod_end_mass.py: closed form, pieces checked by sympy",
        f"# python {platform.python_version()}, sympy {sp.__version__}, numpy {np.__version__}",
        "# r: mass of the line over mass of the hardware",
        "r,quantity,value,unit",
        "-,-,in unit,-",
    ]
    for ratio in RATIOS:
        for what, value, unit in rows_of(ratio):
            lines.append(f"{ratio},{what},{value:.9g},{unit}")
            print(ratio, what, f"{value:.6g}", unit)
    Path(__file__).with_suffix(".csv").write_text("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
