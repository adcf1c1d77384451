"""The rivals of the speed comparison: each is made ready once, then called for one run at a time.

Only the run itself is timed; models are read, compiled and laid out before.
"""

from pathlib import Path
import sys
import time

import numpy as np
from scipy.integrate import solve_ivp

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
import chain
import kinetic_pull
import numba_chain
import recoil_peers

CLOCK = time.perf_counter
REFERENCE = recoil_peers.CASES[0]
FULL = kinetic_pull.CASES[1]


class MooringLine:
    """moordyn, RK2: the whole time in one call. A run cannot be wound back, so each has its own system."""

    name = "mooring line library (moordyn, RK2)"

    def run(self):
        system = recoil_peers.Mooring(REFERENCE, chain.SEGMENTS, chain.STEP_S, True, scheme="RK2")
        began = CLOCK()
        system.advance(chain.END_S)
        seconds = CLOCK() - began
        system.close()
        return seconds

    def found(self):
        system = recoil_peers.Mooring(REFERENCE, chain.SEGMENTS, chain.STEP_S, True, scheme="RK2")
        speeds = []
        for _ in range(200):
            system.advance(2e-4)
            speeds.append(system.hardware()[1])
        system.close()
        return max(speeds)


class Multibody:
    """mujoco: all steps in one call, contact and constraints off, explicit damping (the quickest it offers)."""

    name = "multibody engine (mujoco)"

    def __init__(self):
        self.system = recoil_peers.Multibody(REFERENCE, chain.SEGMENTS, chain.STEP_S, True)

    def run(self):
        self.system.api.mj_resetData(self.system.model, self.system.data)
        began = CLOCK()
        self.system.advance(chain.END_S)
        return CLOCK() - began

    def found(self):
        self.system.api.mj_resetData(self.system.model, self.system.data)
        speeds = []
        for _ in range(200):
            self.system.advance(2e-4)
            speeds.append(self.system.hardware()[1])
        return max(speeds)


class Scipy:
    """scipy's RK45 on the same chain, whole arrays at a time, at its default tolerances or tighter."""

    def __init__(self, rtol=1e-3, atol=1e-6):
        self.name = f"scipy RK45, rtol {rtol:g}"
        self.how = dict(method="RK45", rtol=rtol, atol=atol)
        place, mass = chain.start()
        n = chain.SEGMENTS
        self.n, self.rest = n, chain.REST_M / n
        self.inv_mass = 1.0 / mass[1:, None]
        self.first = np.concatenate([place[1:].ravel(), np.zeros(3 * n)])
        self.gap, self.parting = np.empty((n, 3)), np.empty((n, 3))
        half = 0.5 * self.rest
        self.across, self.along = half * numba_chain.ACROSS_KG_M, half * numba_chain.ALONG_KG_M

    def rates(self, _t, y):
        n, rest = self.n, self.rest
        place, speed = y[: 3 * n].reshape(n, 3), y[3 * n :].reshape(n, 3)
        gap, parting = self.gap, self.parting
        gap[0], parting[0] = place[0], speed[0]
        np.subtract(place[1:], place[:-1], out=gap[1:])
        np.subtract(speed[1:], speed[:-1], out=parting[1:])
        length = np.sqrt(np.einsum("ij,ij->i", gap, gap))
        unit = gap / length[:, None]
        strain = length / rest - 1.0
        pull = chain.EA_N * strain + chain.DASHPOT_N_S / rest * np.einsum("ij,ij->i", unit, parting)
        pull = np.where(strain > 0.0, np.maximum(pull, 0.0), 0.0)
        middle = speed - 0.5 * parting
        along = np.einsum("ij,ij->i", unit, middle)
        across = middle - along[:, None] * unit
        size = np.sqrt(np.einsum("ij,ij->i", across, across))
        air = (self.across * size)[:, None] * across + (self.along * np.abs(along) * along)[:, None] * unit
        tension = pull[:, None] * unit
        force = -tension - air
        force[:-1] += tension[1:] - air[1:]
        tip = speed[-1]
        force[-1] -= numba_chain.TIP_KG_M * np.sqrt(tip @ tip) * tip
        out = np.empty_like(y)
        out[: 3 * n] = y[3 * n :]
        np.multiply(force, self.inv_mass, out=out[3 * n :].reshape(n, 3))
        out[3 * n + 2 :: 3] -= chain.G
        return out

    def run(self):
        began = CLOCK()
        self.solution = solve_ivp(self.rates, (0.0, chain.END_S), self.first, **self.how)
        seconds = CLOCK() - began
        assert self.solution.success, self.solution.message
        return seconds

    def found(self):
        self.run()
        tips = self.solution.y[-3:, self.solution.t < 0.04]
        return float(np.sqrt((tips**2).sum(axis=0)).max())


class Numba:
    """The user's own loop; compiled before it is timed."""

    def __init__(self, name):
        self.name = name
        self.call = numba_chain.prepare(name)
        self.call()

    def run(self):
        began = CLOCK()
        self.call()
        return CLOCK() - began

    def found(self):
        return self.call()


class KineticPull:
    """scipy's RK45 with every switch an event, at a tolerance."""

    def __init__(self, rtol):
        self.name = f"kinetic pull, scipy RK45, rtol {rtol:g}"
        self.how = dict(rtol=rtol, atol=0.1 * rtol, max_step=np.inf)

    def run(self):
        began = CLOCK()
        self.pull = kinetic_pull.simulate(FULL, "RK45", **self.how)
        return CLOCK() - began

    def found(self):
        self.run()
        return FULL.stiffness * self.pull.line.most_m

    def worst(self, exact):
        """Largest relative difference in what is compared."""
        self.run()
        return max(abs(a / b - 1.0) for a, b in zip(compared(self.pull), exact))


def compared(pull):
    """The peak, and how far the casualty moves."""
    values = {what: value for what, _, value in kinetic_pull.results(FULL, pull)}
    return [values["peak tension"], values["casualty movement"]]


def kinetic_exact():
    """The same by DOP853 at 1e-10."""
    return compared(kinetic_pull.simulate(FULL, "DOP853"))


def kinetic_at(accuracy, exact):
    """The loosest tolerance with which RK45 is no farther off than that."""
    for power in range(3, 12):
        rival = KineticPull(10.0**-power)
        try:
            worst = rival.worst(exact)
        except (AssertionError, TypeError, FloatingPointError):
            continue  # too loose to meet its own events
        if worst <= max(accuracy, 1e-9):
            return rival
    raise ValueError("no tolerance is that close")
