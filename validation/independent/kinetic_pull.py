"""Kinetic pull between two bodies by a general-purpose ODE integrator.

Writes kinetic_pull.csv beside this file. Needs numpy and scipy only; shares no
code with the planning tool. Equations and cases: README.md of this folder.
Every switch (taut, break-out, turn of the strain, slack, tug stops, casualty
stops) is a terminal event: the run stops on it and restarts in the new mode.
"""

from dataclasses import dataclass, field
from pathlib import Path
import platform

import numpy as np
import scipy
from scipy.integrate import solve_ivp

G = 9.80665  # m/s2
METHODS = ("DOP853", "LSODA", "RK45")
RTOL, ATOL = 1e-10, 1e-11


@dataclass
class Case:
    """One pull. SI units; positive along the pull."""

    name: str
    tug_kg: float
    casualty_kg: float
    speed: float
    stiffness: float          # N per m of stretch on first loading
    rest_m: float             # rest length of the line
    slide_n: float            # resistance once broken out
    extra_n: float = 0.0      # more that must be broken once
    extra_over_m: float = 1.0 # its decay length
    drive_n: float = 0.0
    slack_m: float = 0.0
    tug_grade_rad: float = 0.0
    energy_return: float = 1.0
    set_fraction: float = 0.0
    end_s: float = 2.0

    def resistance(self, moved):
        return self.slide_n + self.extra_n * np.exp(-moved / self.extra_over_m)

    def exponent(self):
        # Straight loading holds T s / 2; the branch holds T (1 - r) s / (p + 1).
        return 2.0 * (1.0 - self.set_fraction) / self.energy_return - 1.0


@dataclass
class Line:
    """Path law: straight while stretch grows past the most seen, else the branch."""

    case: Case
    most_m: float = 0.0
    loading: bool = True

    def tension(self, stretch):
        c = self.case
        if self.loading:
            return c.stiffness * max(stretch, 0.0)
        slack_at = c.set_fraction * self.most_m
        share = (stretch - slack_at) / (self.most_m - slack_at)
        if share <= 0.0:
            return 0.0
        return c.stiffness * self.most_m * share ** c.exponent()


@dataclass
class Run:
    """What a run leaves behind."""

    t: float
    y: np.ndarray
    line: Line
    events: list = field(default_factory=list)  # (time, name, state)

    def first(self, name):
        return next(((t, y) for t, n, y in self.events if n == name), (np.nan, None))

    def last(self, name):
        return next(((t, y) for t, n, y in reversed(self.events) if n == name), (np.nan, None))


# State: tug x, v; casualty x, v; work of drive, of grade (both put in),
# work lost to resistance, net work put into the line.
TUG_X, TUG_V, CAS_X, CAS_V, W_DRIVE, W_GRADE, W_LOST, W_LINE = range(8)


def stretch_of(case, y):
    return y[TUG_X] - y[CAS_X] - case.slack_m


def simulate(case, method, rtol=RTOL, atol=ATOL, max_step=2e-3):
    line = Line(case)
    run = Run(0.0, np.zeros(8), line)
    run.y[TUG_V] = case.speed
    driving, moving = True, False
    taut = case.slack_m <= 0.0
    hanging = False  # slack after a pull
    grade_n = -case.tug_kg * G * np.sin(case.tug_grade_rad)

    while run.t < case.end_s:
        started = run.t

        def rates(_t, y):
            tension = line.tension(stretch_of(case, y)) if taut else 0.0
            drive = case.drive_n if driving else 0.0
            out = np.zeros(8)
            out[TUG_X] = y[TUG_V]
            out[TUG_V] = (drive + grade_n - tension) / case.tug_kg
            out[W_DRIVE] = drive * y[TUG_V]
            out[W_GRADE] = grade_n * y[TUG_V]
            cas_v = 0.0
            if moving:
                cas_v = y[CAS_V]
                hold = case.resistance(y[CAS_X])
                out[CAS_X] = cas_v
                out[CAS_V] = (tension - hold) / case.casualty_kg
                out[W_LOST] = hold * cas_v
            out[W_LINE] = tension * (y[TUG_V] - cas_v)
            return out

        def event(name, value, direction):
            def g(t, y):
                # A quantity that starts a run at nought is armed 1 ns later.
                return value(y) if t > started + 1e-9 else -float(direction)
            g.terminal, g.direction = True, direction
            return name, g

        def gap_rate(y):
            return y[TUG_V] - (y[CAS_V] if moving else 0.0)

        watch = []
        if not taut:
            watch.append(event("taut", lambda y: stretch_of(case, y), +1))
        elif line.loading:
            watch.append(event("turn", gap_rate, -1))
        else:
            slack_at = case.set_fraction * line.most_m
            if hanging:
                watch.append(event("taut again", lambda y: stretch_of(case, y) - slack_at, +1))
            else:
                watch.append(event("slack", lambda y: stretch_of(case, y) - slack_at, -1))
                watch.append(event("reload", lambda y: stretch_of(case, y) - line.most_m, +1))
        if driving:
            watch.append(event("tug stops", lambda y: y[TUG_V], -1))
        if moving:
            watch.append(event("casualty stops", lambda y: y[CAS_V], -1))
        elif taut:
            watch.append(event(
                "break-out",
                lambda y: line.tension(stretch_of(case, y)) - case.resistance(y[CAS_X]), +1))

        sol = solve_ivp(rates, (run.t, case.end_s), run.y, method=method, rtol=rtol,
                        atol=atol, max_step=max_step, events=[g for _, g in watch])
        assert sol.success, sol.message
        run.t, run.y = sol.t[-1], sol.y[:, -1].copy()
        for (name, _), times in zip(watch, sol.t_events):
            if len(times) == 0 or times[0] < run.t - 1e-12:
                continue
            run.events.append((run.t, name, run.y.copy()))
            if name == "taut":
                taut = True
            elif name == "turn":
                line.most_m, line.loading = stretch_of(case, run.y), False
            elif name in ("slack", "taut again"):
                hanging = name == "slack"
            elif name == "reload":
                line.loading = True
            elif name == "tug stops":
                driving = False
            elif name == "break-out":
                moving = True
            elif name == "casualty stops":
                moving = False
                run.y[CAS_V] = 0.0
    return run


def results(case, run):
    """(quantity, unit, value) of a run."""
    y, line = run.y, run.line
    t_taut = run.first("taut")[0] if case.slack_m > 0.0 else 0.0
    t_turn, _ = run.last("turn")
    t_break, y_break = run.first("break-out")
    t_tug, y_tug = run.first("tug stops")
    t_cas, _ = run.last("casualty stops")
    t_slack, y_slack = run.first("slack")
    most = line.most_m
    peak = case.stiffness * most
    taken = 0.5 * case.stiffness * most**2
    kinetic = (0.5 * case.tug_kg * y[TUG_V]**2, 0.5 * case.casualty_kg * y[CAS_V]**2)
    put_in = 0.5 * case.tug_kg * case.speed**2 + y[W_DRIVE] + y[W_GRADE]
    held = sum(kinetic) + y[W_LOST] + y[W_LINE]
    rows = [
        ("time taut", "s", t_taut),
        ("time of break-out", "s", t_break),
        ("tug speed at break-out", "m/s", y_break[TUG_V]),
        ("tension at break-out", "N", case.resistance(0.0)),
        ("time of peak", "s", t_turn),
        ("peak tension", "N", peak),
        ("greatest stretch", "m", most),
        ("greatest strain", "1", most / case.rest_m),
        ("time tug first stops", "s", t_tug),
        ("tug movement when it first stops", "m", y_tug[TUG_X] if y_tug is not None else np.nan),
        ("time line first slack", "s", t_slack),
        ("tug speed when line first slack", "m/s", y_slack[TUG_V] if y_slack is not None else np.nan),
        ("casualty speed when line first slack", "m/s", y_slack[CAS_V] if y_slack is not None else np.nan),
        ("time casualty stops", "s", t_cas),
        ("casualty movement", "m", y[CAS_X]),
        ("time at end", "s", run.t),
        ("tug speed at end", "m/s", y[TUG_V]),
        ("tug place at end", "m", y[TUG_X]),
        ("kinetic energy at start", "J", 0.5 * case.tug_kg * case.speed**2),
        ("work of drive", "J", y[W_DRIVE]),
        ("work of grade on tug", "J", y[W_GRADE]),
        ("energy taken by line at peak", "J", taken),
        ("energy lost to resistance", "J", y[W_LOST]),
        ("energy lost in line", "J", y[W_LINE]),
        ("kinetic energy of tug at end", "J", kinetic[0]),
        ("kinetic energy of casualty at end", "J", kinetic[1]),
        ("audit: put in less held", "J", put_in - held),
        ("audit: line loss less (1 - return) x taken", "J", y[W_LINE] - (1 - case.energy_return) * taken),
    ]
    return rows


STRAP = dict(stiffness=88259.85 / (0.18 * 9.0), rest_m=9.0, energy_return=0.7, set_fraction=0.1)
FULL = dict(tug_kg=2900.0, casualty_kg=2600.0, speed=3.5, drive_n=8000.0, slide_n=30e3,
            extra_n=8e3, extra_over_m=0.3, **STRAP)
CASES = (
    Case("linear", 2500.0, 2000.0, 4.0, 60e3, 9.0, 20e3),
    Case("full", **FULL),
    Case("slack and grade", slack_m=1.0, tug_grade_rad=np.radians(5.0), **FULL),
)


def main():
    out = Path(__file__).with_suffix(".csv")
    lines = [
        "# kinetic_pull.py: scipy.integrate.solve_ivp, DOP853, rtol 1e-10, every switch an event",
        f"# python {platform.python_version()}, numpy {np.__version__}, scipy {scipy.__version__}",
        "# spread: largest difference between DOP853, LSODA and RK45 at the same tolerance",
        "case,quantity,value,spread,unit",
        "-,-,in unit,in unit,-",
    ]
    for case in CASES:
        runs = {m: simulate(case, m) for m in METHODS}
        tables = [results(case, runs[m]) for m in METHODS]
        for i, (what, unit, value) in enumerate(tables[0]):
            if np.isnan(value):
                continue
            spread = max(abs(t[i][2] - value) for t in tables)
            lines.append(f"{case.name},{what},{value:.9g},{spread:.1e},{unit}")
        print(case.name, [(round(t, 6), n) for t, n, _ in runs["DOP853"].events])
    out.write_text("\n".join(lines) + "\n")
    print("\n".join(lines))


if __name__ == "__main__":
    main()
