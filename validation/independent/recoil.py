"""Recoil of a parted line as a one-dimensional chain, by a general-purpose ODE integrator.

Writes recoil.csv beside this file. Needs numpy and scipy only; shares no code
with the planning tool. Equations and cases: README.md of this folder.
"""

from dataclasses import dataclass, replace
from pathlib import Path
import platform

import numpy as np
import scipy
from scipy.integrate import solve_ivp

RTOL = 1e-10
SEGMENTS = (64, 128, 256)


@dataclass(frozen=True)
class Case:
    """One line held at x = 0 and let go at the far end. SI units."""

    name: str
    rest_m: float
    mass_per_m: float
    tension_n: float       # everywhere at the start
    strain: float          # everywhere at the start
    hardware_kg: float
    energy_return: float = 1.0
    set_fraction: float = 0.0
    viscosity: float = 0.0 # b: dashpot = b mu c
    dashpot: float = 0.0   # N s/m of each segment, if given outright

    def exponent(self):
        # Straight first loading took T e / 2; the branch gives T (1 - r) e / (p + 1).
        return 2.0 * (1.0 - self.set_fraction) / self.energy_return - 1.0

    def slack_strain(self):
        return self.set_fraction * self.strain

    def wave_speed(self):
        slope = self.tension_n * self.exponent() / (self.strain - self.slack_strain())
        return np.sqrt(slope / self.mass_per_m)

    def dashpot_n_s_per_m(self):
        return self.dashpot or self.viscosity * self.mass_per_m * self.wave_speed()

    def recoverable(self):
        width = self.strain - self.slack_strain()
        return self.tension_n * width / (self.exponent() + 1.0) * self.rest_m


@dataclass(frozen=True)
class Rule:
    """How the dashpot acts; in all of them only while the elastic part is taut."""

    name: str
    clipped: bool          # total tension never under nought
    true_distance: bool    # segment length |dx|, so a line flown past its end pulls again


CLIPPED = Rule("clipped", True, True)
OPEN = Rule("open", False, True)
SIGNED = Rule("clipped one-sided", True, False)


class Chain:
    def __init__(self, case, n, rule):
        self.case, self.n, self.rule = case, n, rule
        self.dx = case.rest_m / n
        self.mass = np.full(n, case.mass_per_m * self.dx)
        self.mass[-1] = 0.5 * case.mass_per_m * self.dx + case.hardware_kg
        self.c = case.dashpot_n_s_per_m()
        self.p = case.exponent()
        self.width = case.strain - case.slack_strain()

    def start(self):
        y = np.zeros(2 * self.n + 1)  # places, speeds, heat of the dashpots
        y[: self.n] = (1.0 + self.case.strain) * self.dx * np.arange(1, self.n + 1)
        return y

    def lengths(self, x):
        gap = np.diff(x, prepend=0.0)
        if self.rule.true_distance:
            return np.abs(gap), np.sign(gap)
        return gap, np.ones_like(gap)

    def elastic(self, length):
        strain = length / self.dx - 1.0
        share = (strain - self.case.slack_strain()) / self.width
        return np.maximum(share, 0.0)

    def pulls(self, y):
        """Elastic pull, rate of lengthening and side of every segment."""
        x, v = y[: self.n], y[self.n : 2 * self.n]
        length, side = self.lengths(x)
        share = self.elastic(length)
        pull = self.case.tension_n * (share if self.p == 1.0 else share**self.p)
        return pull, side * np.diff(v, prepend=0.0), side

    def rates(self, _t, y):
        pull, opening, side = self.pulls(y)
        total = np.where(pull > 0.0, pull + self.c * opening, 0.0)
        if self.rule.clipped:
            total = np.maximum(total, 0.0)
        force = -side * total
        force[:-1] += side[1:] * total[1:]
        heat = np.sum((total - pull) * opening)
        return np.concatenate([y[self.n : 2 * self.n], force / self.mass, [heat]])

    def energies(self, y):
        n, case = self.n, self.case
        x, v = y[:n], y[n : 2 * n]
        share = self.elastic(self.lengths(x)[0])
        stored = case.tension_n * self.width / (self.p + 1) * np.sum(share ** (self.p + 1)) * self.dx
        hardware = 0.5 * case.hardware_kg * v[-1] ** 2
        line = 0.5 * np.sum(self.mass * v**2) - hardware
        return hardware, line, stored, y[-1]

    def fly(self, method="DOP853", rtol=RTOL):
        """Until the hardware passes the plane of the held end."""
        def plane(_t, y):
            return y[self.n - 1]
        plane.terminal, plane.direction = True, -1

        def let_go(_t, y):
            pull, opening, _ = self.pulls(y)
            return pull[-1] + self.c * opening[-1]
        let_go.direction = -1
        reach = self.case.strain * self.case.wave_speed()
        step = 0.5 * self.dx / self.case.wave_speed()
        sol = solve_ivp(self.rates, (0.0, 20 * self.case.rest_m / reach), self.start(), method=method,
                        rtol=rtol, atol=1e-9, max_step=step, events=(plane, let_go))
        assert sol.success and len(sol.t_events[0]) == 1, sol.message
        return sol


def results(case, n, rule, **how):
    chain = Chain(case, n, rule)
    sol = chain.fly(**how)
    # Moments when the hardware's own segment stops pulling; the fastest is the throw.
    pairs = list(zip(sol.t_events[1], sol.y_events[1]))
    first = pairs[0]
    thrown = max(pairs, key=lambda pair: -pair[1][2 * n - 1])
    plane = (sol.t[-1], sol.y[:, -1])
    start = case.recoverable()
    names = ("hardware", "line", "stored", "dashpots")
    rows = [
        ("hardware speed when its segment first stops pulling", "m/s", -first[1][2 * n - 1]),
        ("time its segment first stops pulling", "s", first[0]),
        ("hardware greatest speed", "m/s", -thrown[1][2 * n - 1]),
        ("time of hardware greatest speed", "s", thrown[0]),
        ("hardware place at greatest speed", "m", thrown[1][n - 1]),
        ("hardware speed at plane of held end", "m/s", -plane[1][2 * n - 1]),
        ("time at plane of held end", "s", plane[0]),
        ("energy recoverable at start", "J", start),
    ]
    for where, (_, y) in (("at greatest speed", thrown), ("at plane", plane)):
        parts = chain.energies(y)
        rows += [(f"energy {what} {where}", "J", e) for what, e in zip(names, parts)]
        rows.append((f"audit {where}: start less parts", "J", start - sum(parts)))
    return rows


STRAP_N = 88259.85
CASES = (
    Case("A", 9.0, 0.5, 45e3, 0.1, 2.0, viscosity=0.5),
    Case("nylon webbing", 9.0, 0.55, STRAP_N, 0.18, 1.3, energy_return=0.7, set_fraction=0.1, viscosity=0.5),
    Case("elastic 10 Ns/m", 9.0, 0.35, 88e3, 0.18, 1.3, dashpot=10.0),
)


def main():
    lines = [
        "# recoil.py: scipy.integrate.solve_ivp, DOP853, rtol 1e-10",
        f"# python {platform.python_version()}, numpy {np.__version__}, scipy {scipy.__version__}",
        "# rule: how the dashpot acts while taut (README.md); segments: N",
        "case,rule,method,segments,quantity,value,unit",
        "-,-,-,-,-,in unit,-",
    ]
    runs = [(c, CLIPPED, n, {}) for c in CASES for n in SEGMENTS]
    runs += [(c, OPEN, n, {}) for c in CASES for n in SEGMENTS]
    runs += [(c, SIGNED, 64, {}) for c in CASES]
    runs += [(c, CLIPPED, 64, {"method": m}) for c in CASES for m in ("RK45", "LSODA")]
    for case, rule, n, how in runs:
        for what, unit, value in results(case, n, rule, **how):
            lines.append(
                f"{case.name},{rule.name},{how.get('method', 'DOP853')},{n},{what},{value:.8g},{unit}")
        print(case.name, rule.name, n, how, flush=True)
    Path(__file__).with_suffix(".csv").write_text("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
