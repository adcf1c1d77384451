"""Rigs at rest by a general-purpose optimiser and root finder.

Writes rig_statics.csv beside this file. Needs numpy and scipy only; shares no
code with the planning tool. Equations and cases: README.md of this folder.
First shape: least sum of haul x length under "no longer than" constraints
(SLSQP). Then the force and length equations with friction (hybr, numerical
derivatives), friction put in by steps. Line hauled per metre: the casualty is
moved by a centimetre each way and everything solved again.
"""

from pathlib import Path
import platform

import numpy as np
import scipy
from scipy.optimize import minimize, root

STEP_M = 0.01


class Line:
    """Stops by name; kind: ('haul', share) or ('length', metres).

    passes: for each inner stop ('sheave', e, way), ('round', mu, way) or ('free',):
    way 1 when line goes over it towards the last stop.
    """

    def __init__(self, stops, kind, passes=()):
        self.stops, self.kind, self.passes = stops, kind, list(passes)


def spread(case, places):
    """Lengths and unit vectors of every part of every line."""
    out = []
    for line in case["lines"]:
        points = [places[s] for s in line.stops]
        deltas = [b - a for a, b in zip(points, points[1:])]
        out.append([(np.linalg.norm(d), d / np.linalg.norm(d)) for d in deltas])
    return out


def along(case, line, parts, rough):
    """Tension of each part over that of the part at the haul (or the first)."""
    ratio = []
    for i, how in enumerate(line.passes):
        if how[0] == "free":
            ratio.append(1.0)
            continue
        if how[0] == "sheave":
            kept = 1.0 - rough * (1.0 - how[1])
        else:
            turn = np.arccos(np.clip(parts[i][1] @ parts[i + 1][1], -1, 1))
            kept = np.exp(-rough * how[1] * turn)
        ratio.append(1.0 / kept if how[2] > 0 else kept)
    t = [1.0]
    for r in ratio:
        t.append(t[-1] * r)
    t = np.array(t)
    return t / t[-1] if line.kind[0] == "haul" else t


def unpack(case, x, fixed):
    free = case["free"]
    places = dict(fixed)
    for i, name in enumerate(free):
        places[name] = x[3 * i: 3 * i + 3]
    return places


def tensions(case, x, fixed, rough):
    places = unpack(case, x, fixed)
    parts = spread(case, places)
    pulls, k = [], 3 * len(case["free"])
    for line, p in zip(case["lines"], parts):
        if line.kind[0] == "haul":
            own = line.kind[1]
        else:
            own = x[k]
            k += 1
        pulls.append(own * along(case, line, p, rough))
    return places, parts, pulls


def residual(case, x, fixed, rough):
    places, parts, pulls = tensions(case, x, fixed, rough)
    force = {n: np.zeros(3) for n in places}
    lengths = []
    for line, p, t in zip(case["lines"], parts, pulls):
        for i, (length, unit) in enumerate(p):
            force[line.stops[i]] += t[i] * unit
            force[line.stops[i + 1]] -= t[i] * unit
        if line.kind[0] == "length":
            lengths.append(sum(length for length, _ in p) - line.kind[1])
    return np.concatenate([force[n] for n in case["free"]] + [np.array(lengths)])


def first_shape(case, fixed):
    """The shape of least energy and its multipliers' guess."""
    n = 3 * len(case["free"])
    start = np.concatenate([np.array(case["guess"][f], float) for f in case["free"]])

    def lengths(x, kind):
        parts = spread(case, unpack(case, x, fixed))
        return [(line, sum(length for length, _ in p))
                for line, p in zip(case["lines"], parts) if line.kind[0] == kind]

    found = minimize(
        lambda x: sum(line.kind[1] * length for line, length in lengths(x, "haul")),
        start, method="SLSQP", options={"maxiter": 2000, "ftol": 1e-14},
        constraints=[{"type": "ineq", "fun": lambda x: np.array(
            [line.kind[1] - length for line, length in lengths(x, "length")])}],
    )
    count = sum(line.kind[0] == "length" for line in case["lines"])
    # Tensions: least squares on the forces, which are linear in them.
    zero = residual(case, np.concatenate([found.x, np.zeros(count)]), fixed, 0.0)[:n]
    columns = [residual(case, np.concatenate([found.x, np.eye(count)[k]]), fixed, 0.0)[:n] - zero
               for k in range(count)]
    pulls = np.linalg.lstsq(np.array(columns).T, -zero, rcond=None)[0]
    return np.concatenate([found.x, pulls])


def solve(case, fixed, rough):
    x = first_shape(case, fixed)
    for share in ([0.0] if rough == 0.0 else [0.0, 0.25, 0.5, 0.75, 1.0]):
        found = root(lambda v: residual(case, v, fixed, share), x, method="hybr", tol=1e-13)
        x = found.x
    left = np.abs(residual(case, x, fixed, rough)).max()
    assert left < 1e-8, (case["name"], left)
    return x


def pull(case, x, fixed, rough):
    """Pull on the casualty's points together."""
    places, parts, pulls = tensions(case, x, fixed, rough)
    total = np.zeros(3)
    for line, p, t in zip(case["lines"], parts, pulls):
        for end, part, sign in ((0, 0, 1.0), (-1, -1, -1.0)):
            if line.stops[end] in case["casualty"]:
                total += sign * t[part] * p[part][1]
    return total


def level(v):
    v = np.array([v[0], v[1], 0.0])
    return v / np.linalg.norm(v)


def hauled(case, fixed, rough):
    x = solve(case, fixed, rough)
    _, parts, _ = tensions(case, x, fixed, rough)
    return sum(line.kind[1] * sum(length for length, _ in p)
               for line, p in zip(case["lines"], parts) if line.kind[0] == "haul")


def moved(case, way, by):
    return {n: p + by * way if n in case["casualty"] else p for n, p in case["fixed"].items()}


def rows(case):
    fixed = case["fixed"] = {n: np.array(p, float) for n, p in case["fixed"].items()}
    smooth, x = solve(case, fixed, 0.0), solve(case, fixed, 1.0)
    places, parts, pulls = tensions(case, x, fixed, 1.0)
    on, ideal = pull(case, x, fixed, 1.0), pull(case, smooth, fixed, 0.0)
    way = level(on)
    # Fourth order in the step: the rig is not straight in the movement.
    h = STEP_M
    at = {k: hauled(case, moved(case, way, k * h), 1.0) for k in (-2, -1, 1, 2)}
    rate = (at[-2] - 8 * at[-1] + 8 * at[1] - at[2]) / (12 * h)
    out = [("real advantage", on @ way), ("ideal advantage", ideal @ level(ideal)),
           ("line hauled per metre", -rate)]
    for i, t in enumerate(pulls):
        out += [(f"line {i} part {j} tension over haul", v) for j, v in enumerate(t)]
    for name in case["free"]:
        out += [(f"{name} {axis}", v) for axis, v in zip("xyz", places[name])]
    return out


def sheave(e, way=1):
    return ("sheave", e, way)


CASES = [
    {
        "name": "double line with redirect",
        "casualty": ["casualty"],
        "fixed": {"casualty": [0, 0, 0.6], "winch": [4, -14, 0.7], "tree-1": [18, 1, 0.5], "tree-2": [17, -3, 0.6]},
        "free": ["moving", "redirect"],
        "guess": {"moving": [2, 0.1, 0.6], "redirect": [16, -3.2, 0.6]},
        "lines": [
            Line(["casualty", "moving"], ("length", 1.5)),
            Line(["tree-2", "redirect"], ("length", 1.0)),
            Line(["tree-1", "moving", "redirect", "winch"], ("haul", 1.0), [sheave(0.96), sheave(0.96)]),
        ],
    },
    {
        "name": "redirect round a ring",
        "casualty": ["casualty"],
        "fixed": {"casualty": [0, 0, 0.6], "winch": [4, -14, 0.7], "tree": [16, 2, 0.5]},
        "free": ["ring"],
        "guess": {"ring": [15.2, 1, 0.5]},
        "lines": [
            Line(["tree", "ring"], ("length", 1.2)),
            Line(["casualty", "ring", "winch"], ("haul", 1.0), [("round", 0.2, 1)]),
        ],
    },
    {
        "name": "uneven bridle, double line, redirect",
        "casualty": ["left", "right"],
        "fixed": {"left": [0, 0.45, 0.5], "right": [0, -0.45, 0.5], "winch": [12, -9, 0.8],
                  "tree-1": [20, 3, 0.7], "tree-2": [19, -2, 1.1]},
        "free": ["apex", "moving", "redirect"],
        "guess": {"apex": [1.1, 0, 0.5], "moving": [1.9, 0, 0.5], "redirect": [18.3, -2.2, 1.0]},
        "lines": [
            Line(["left", "apex"], ("length", 1.2)),
            Line(["right", "apex"], ("length", 1.25)),
            Line(["apex", "moving"], ("length", 0.8)),
            Line(["tree-2", "redirect"], ("length", 0.9)),
            Line(["tree-1", "moving", "redirect", "winch"], ("haul", 1.0), [sheave(0.9), sheave(0.9)]),
        ],
    },
    {
        "name": "triple line spread out",
        "casualty": ["casualty"],
        "fixed": {"casualty": [0, 0, 0.4], "winch": [15, -4, 0.8], "tree": [17, 3, 0.6]},
        "free": ["moving", "standing"],
        "guess": {"moving": [0.8, 0, 0.4], "standing": [16, 2.7, 0.6]},
        "lines": [
            Line(["casualty", "moving"], ("length", 0.8)),
            Line(["tree", "standing"], ("length", 1.1)),
            Line(["casualty", "standing", "moving", "winch"], ("haul", 1.0), [sheave(0.92), sheave(0.92)]),
        ],
    },
    {
        "name": "two tugs on a ring",
        "casualty": ["casualty"],
        "fixed": {"casualty": [0, 0, 0.6], "tug-1": [14, 5, 0.8], "tug-2": [15, -6, 0.5]},
        "free": ["ring"],
        "guess": {"ring": [5, 0, 0.6]},
        "lines": [
            Line(["casualty", "ring"], ("length", 5.0)),
            Line(["ring", "tug-1"], ("haul", 1.0)),
            Line(["ring", "tug-2"], ("haul", 0.8)),
        ],
    },
    {
        "name": "double line on a double line",
        "casualty": ["casualty"],
        "fixed": {"casualty": [0, 0, 0.5], "winch": [22, -2, 0.8], "tree-1": [20, 2, 0.6], "tree-2": [21, 0.5, 0.7]},
        "free": ["first", "second"],
        "guess": {"first": [1, 0, 0.5], "second": [9, 0, 0.6]},
        "lines": [
            Line(["casualty", "first"], ("length", 1.0)),
            Line(["tree-1", "first", "second"], ("length", 27.0), [sheave(0.95)]),
            Line(["tree-2", "second", "winch"], ("haul", 1.0), [sheave(0.95)]),
        ],
    },
]


def main():
    out = Path(__file__).with_suffix(".csv")
    with out.open("w") as f:
        f.write("# rig_statics.py: scipy.optimize, SLSQP then hybr, friction in four steps\n")
        f.write(f"# python {platform.python_version()}, numpy {np.__version__}, scipy {scipy.__version__}\n")
        f.write("case,quantity,value,unit\n-,-,in unit,-\n")
        for case in CASES:
            name = case["name"].replace(",", "")
            for quantity, value in rows(case):
                unit = "m" if quantity[-2:] in (" x", " y", " z") else "1"
                f.write(f"{name},{quantity},{value:.9f},{unit}\n")


if __name__ == "__main__":
    main()
