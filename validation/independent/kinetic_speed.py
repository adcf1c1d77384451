"""Time of one kinetic pull by scipy's RK45, for the speed ratio in the benches.

The case "full" of kinetic_pull.py with nothing but what a pull needs: four states,
no step limit, no energy accounts. For each tolerance: time (median of several,
processor time) and error of peak tension and casualty movement against DOP853 at
rtol 1e-12. The engine's time for the same pull is the bench `independent_full_pull`
(`cargo bench -p steadypull-engine --bench pull`); its own errors on it are 7e-11 of
the peak and 2e-9 of the movement, about those of rtol 1e-9 here.
"""

import statistics
import time

import numpy as np
import scipy
from scipy.integrate import solve_ivp

from kinetic_pull import CASES, Line


def pull(case, method, rtol):
    """Peak tension, N, and movement of the casualty, m."""
    line = Line(case)
    driving, moving, slack = True, False, False
    t, y = 0.0, [0.0, case.speed, 0.0, 0.0]
    for _ in range(50):
        began = t

        def rates(_t, y):
            tension = 0.0 if slack else line.tension(y[0] - y[2])
            tug = ((case.drive_n if driving else 0.0) - tension) / case.tug_kg
            if not moving:
                return (y[1], tug, 0.0, 0.0)
            return (y[1], tug, y[3], (tension - case.resistance(y[2])) / case.casualty_kg)

        def event(value, direction):
            def g(t, y):
                return value(y) if t > began + 1e-9 else -float(direction)
            g.terminal, g.direction = True, direction
            return g

        slack_at = case.set_fraction * line.most_m
        watch = {}
        if line.loading:
            watch["turn"] = event(lambda y: y[1] - y[3], -1)
        elif slack:
            watch["taut"] = event(lambda y: y[0] - y[2] - slack_at, 1)
        else:
            watch["slack"] = event(lambda y: y[0] - y[2] - slack_at, -1)
            watch["reload"] = event(lambda y: y[0] - y[2] - line.most_m, 1)
        if driving:
            watch["tug stops"] = event(lambda y: y[1], -1)
        if moving:
            watch["stops"] = event(lambda y: y[3], -1)
        elif not slack:
            watch["breaks"] = event(lambda y: line.tension(y[0] - y[2]) - case.resistance(y[2]), 1)
        sol = solve_ivp(rates, (t, case.end_s), y, method=method, rtol=rtol, atol=rtol * 0.1,
                        events=list(watch.values()))
        t, y = sol.t[-1], sol.y[:, -1].copy()
        if sol.status == 0:
            break
        for name, times in zip(watch, sol.t_events):
            if len(times) == 0:
                continue
            if name == "turn":
                line.most_m, line.loading = y[0] - y[2], False
            elif name in ("slack", "taut"):
                slack = name == "slack"
            elif name == "reload":
                line.loading = True
            elif name == "tug stops":
                driving = False
            elif name == "breaks":
                moving = True
            elif name == "stops":
                moving, y[3] = False, 0.0
    return case.stiffness * line.most_m, y[2]


def main():
    case = next(c for c in CASES if c.name == "full")
    exact = pull(case, "DOP853", 1e-12)
    print(f"scipy {scipy.__version__}, numpy {np.__version__}")
    for rtol in (1e-3, 1e-5, 1e-6, 1e-7, 1e-8, 1e-9, 1e-10):
        times = []
        for _ in range(9):
            start = time.process_time()
            got = pull(case, "RK45", rtol)
            times.append(time.process_time() - start)
        errors = [abs(a / b - 1.0) for a, b in zip(got, exact)]
        print(f"rtol {rtol:.0e}: {1e3 * statistics.median(times):6.2f} ms, "
              f"peak off by {errors[0]:.1e}, movement by {errors[1]:.1e}")


if __name__ == "__main__":
    main()
