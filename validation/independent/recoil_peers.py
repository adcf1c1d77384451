"""Recoil of a parted line in two general-purpose codes: an ocean-mooring line library and a multibody engine.

Writes recoil_peers.csv beside this file. Needs numpy, moordyn and mujoco
(requirements.txt); shares no code with the planning tool. Cases: README.md of this folder.
"""

from dataclasses import dataclass, replace
from importlib.metadata import version
from pathlib import Path
import os
import platform
import tempfile

import numpy as np

G = 9.80665
AIR = 1.225
CD_ACROSS = 1.2
CD_ALONG = 0.01
# The pull at the held end counts as gone below this share of that at the start.
SLACK_SHARE = 0.02
# Mean pull at the held end is written for windows of this length, to the end of the last.
WINDOW_S = 4e-3
WINDOWS = 5


@dataclass(frozen=True)
class Line:
    """Pull T (e/e_0)^p; SI units."""

    rest_m: float
    mass_per_m: float
    strain: float  # at the moment of parting
    exponent: float = 1.0
    diameter_m: float = 0.03


@dataclass(frozen=True)
class Case:
    """Lines from the held end to the free end, where the hardware is; straight and level at the start."""

    name: str
    lines: tuple
    tension_n: float
    hardware_kg: float
    hardware_cda_m2: float
    joint_kg: float = 0.0
    dashpot_n_s: float = 10.0


CASES = (
    Case("reference", (Line(9.0, 0.35, 0.18),), 88e3, 1.3, 0.004),
    Case("heavy hardware", (Line(15.0, 0.60, 0.08),), 60e3, 6.0, 0.01),
    Case("two lines joined", (Line(6.0, 0.30, 0.02, diameter_m=0.012), Line(9.0, 0.55, 0.10)), 50e3, 2.0, 0.004, 1.0),
    Case("stiffening line", (Line(9.0, 0.55, 0.18, exponent=2.0),), 70e3, 1.5, 0.004),
)


def share_out(case, segments):
    """Segments of each line, by length."""
    total = sum(line.rest_m for line in case.lines)
    return [round(segments * line.rest_m / total) for line in case.lines]


class Mooring:
    """The mooring line library: lines of EA (or a table of tension), BA and drag between points."""

    name = "moordyn"

    def __init__(self, case, segments, step_s, air, scheme="RK4"):
        import moordyn

        self.api = moordyn
        self.folder = tempfile.TemporaryDirectory()
        path = Path(self.folder.name) / "case.txt"
        path.write_text(self.deck(case, share_out(case, segments), step_s, air, scheme))
        here = os.getcwd()
        os.chdir(self.folder.name)
        try:
            self.system = moordyn.Create("case.txt")
            moordyn.Init(self.system, [], [])
        finally:
            os.chdir(here)
        self.tip = moordyn.GetPoint(self.system, len(case.lines) + 1)
        self.held = moordyn.GetLine(self.system, 1)
        self.step_s, self.time_s = step_s, 0.0

    def deck(self, case, counts, step_s, air, scheme):
        types, points, lines = [], ["1 Fixed 0 0 -50 0 0 0 0"], []
        x = 0.0
        for k, (line, n) in enumerate(zip(case.lines, counts), start=1):
            stiffness = f"{case.tension_n / line.strain:.15g}"
            if line.exponent != 1.0:
                stiffness = f"line{k}.dat"
                self.table(stiffness, case, line)
            types.append(f"line{k} {line.diameter_m} {line.mass_per_m} {stiffness} {case.dashpot_n_s} 0 "
                         f"{CD_ACROSS} 0 {CD_ALONG} 0")
            x += line.rest_m * (1.0 + line.strain)
            last = k == len(case.lines)
            mass, cda = (case.hardware_kg, case.hardware_cda_m2) if last else (case.joint_kg, 0.0)
            points.append(f"{k + 1} Free {x:.15g} 0 -50 {mass} 0 {cda} 0")
            lines.append(f"{k} line{k} {k} {k + 1} {line.rest_m} {n} -")
        # The library knows water only: as thin as air here, its surface 50 m above.
        options = [f"{step_s} dtM", f"{scheme} tScheme", f"{G} g", f"{AIR if air else 1e-9} WtrDnsty", "100 WtrDpth",
                   "0 kBot", "0 cBot", "0 TmaxIC", "0 writeLog"]
        return "\n".join([
            "--- MoorDyn Input File ---", case.name,
            "--- LINE TYPES ---", "TypeName Diam Mass/m EA BA EI Cdn Can Cdt Cat", "- - - - - - - - - -", *types,
            "--- POINTS ---", "ID Attachment X Y Z M V CdA CA", "- - - - - - - - -", *points,
            "--- LINES ---", "ID LineType AttachA AttachB UnstrLen NumSegs LineOutputs", "- - - - - - -", *lines,
            "--- OPTIONS ---", *options, "--- end ---", ""])

    def table(self, name, case, line):
        # It takes 30 points at the most, straight lines between: 0.06 % more energy than the branch.
        strains = np.linspace(0.0, line.strain, 30)
        rows = [f"{e:.9f} {case.tension_n * (e / line.strain) ** line.exponent:.9f}" for e in strains]
        (Path(self.folder.name) / name).write_text("\n".join(["tension of a line", "strain tension", "- N", *rows]))

    def advance(self, span_s):
        self.api.Step(self.system, [], [], self.time_s, span_s)
        self.time_s += span_s

    def hardware(self):
        """Place along the line from the held end, speed."""
        velocity = self.api.GetPointVel(self.tip)
        return self.api.GetPointPos(self.tip)[0], float(np.linalg.norm(velocity))

    def pull(self):
        """Along x at the held end."""
        return self.api.GetLineNodeTen(self.held, 0)[0]

    def close(self):
        self.api.Close(self.system)
        self.folder.cleanup()


class Multibody:
    """The multibody engine: point masses on three slides, tendons that pull past their rest length."""

    name = "mujoco"

    def __init__(self, case, segments, step_s, air):
        import mujoco

        self.api = mujoco
        self.model = mujoco.MjModel.from_xml_string(scene(case, share_out(case, segments), step_s, air))
        self.data = mujoco.MjData(self.model)
        mujoco.mj_forward(self.model, self.data)
        first = case.lines[0]
        self.rest_m = first.rest_m / share_out(case, segments)[0]
        self.law = (case.tension_n, first.strain, first.exponent, case.dashpot_n_s / self.rest_m)
        self.taut_m = sum(line.rest_m * (1.0 + line.strain) for line in case.lines)
        self.step_s = step_s

    def advance(self, span_s):
        self.api.mj_step(self.model, self.data, round(span_s / self.step_s))

    def hardware(self):
        return self.taut_m + self.data.qpos[-3], float(np.linalg.norm(self.data.qvel[-3:]))

    def pull(self):
        tension_n, strain, exponent, dashpot = self.law
        now = max(self.data.ten_length[0] / self.rest_m - 1.0, 0.0)
        return tension_n * (now / strain) ** exponent + dashpot * self.data.ten_velocity[0]

    def close(self):
        pass


def scene(case, counts, step_s, air):
    """The multibody model. Its air acts on a box an axis at a time, sized here to the line's drag areas."""
    segments = [(line, line.rest_m / n) for line, n in zip(case.lines, counts) for _ in range(n)]
    bodies, tendons, x = [], [], 0.0
    ends = np.cumsum(counts)
    for i, (line, rest) in enumerate(segments, start=1):
        x += rest * (1.0 + line.strain)
        beside = [segments[i - 1]] + ([segments[i]] if i < len(segments) else [])
        mass = sum(0.5 * a.mass_per_m * l for a, l in beside)
        along = sum(0.5 * np.pi * CD_ALONG * a.diameter_m * l for a, l in beside)
        across = sum(0.5 * CD_ACROSS * a.diameter_m * l for a, l in beside)
        if i == len(segments):
            mass, along, across = mass + case.hardware_kg, along + case.hardware_cda_m2, across + case.hardware_cda_m2
        elif i in ends:
            mass += case.joint_kg
        side = np.sqrt(along)
        box = np.array([across / side, side, side])
        inertia = mass / 12.0 * (np.sum(box**2) - box**2)
        slides = "".join(f'<joint type="slide" axis="{axis}"/>' for axis in ("1 0 0", "0 1 0", "0 0 1"))
        bodies.append(f'<body pos="{x:.15g} 0 0">{slides}<inertial pos="0 0 0" mass="{mass:.15g}" '
                      f'diaginertia="{" ".join(f"{v:.12g}" for v in inertia)}"/><site name="s{i}"/></body>')
        scale = case.tension_n / (line.strain * rest) ** line.exponent
        stiffness = f"{scale:.15g}" if line.exponent == 1.0 else f"0 {scale:.15g}"
        tendons.append(f'<spatial stiffness="{stiffness}" damping="{case.dashpot_n_s / rest:.15g}" '
                       f'springlength="0 {rest:.15g}"><site site="s{i - 1}"/><site site="s{i}"/></spatial>')
    return (f'<mujoco><compiler boundinertia="0" balanceinertia="false"/>'
            f'<option timestep="{step_s}" gravity="0 0 {-G}" density="{AIR if air else 0.0}" integrator="Euler">'
            '<flag contact="disable" constraint="disable" eulerdamp="disable"/></option>'
            f'<worldbody><site name="s0"/>{"".join(bodies)}</worldbody><tendon>{"".join(tendons)}</tendon></mujoco>')


def results(code, case, segments, step_s, air, sample_s):
    """Until the hardware passes the held end."""
    run = code(case, segments, step_s, air)
    times, speeds, pulls, places = [0.0], [0.0], [case.tension_n], [run.hardware()[0]]
    while places[-1] > 0.0 or times[-1] < WINDOWS * WINDOW_S:
        run.advance(sample_s)
        place, speed = run.hardware()
        times.append(times[-1] + sample_s)
        speeds.append(speed)
        pulls.append(run.pull())
        places.append(place)
        assert np.isfinite(speed) and times[-1] < 1.0, (code.name, case.name)
    run.close()
    times, speeds, pulls, places = map(np.array, (times, speeds, pulls, places))
    rows = [
        ("pull just after the start", pulls[1], "N"),
        ("hardware greatest speed", speeds.max(), "m/s"),
        ("time of greatest speed", times[speeds.argmax()], "s"),
        ("hardware speed at plane of held end", crossing(speeds, places, 0.0), "m/s"),
        ("time at plane of held end", crossing(times, places, 0.0), "s"),
        ("time the held end goes slack", crossing(times, pulls, SLACK_SHARE * pulls[0]), "s"),
    ]
    # A line does not push; the dashpots of these codes do, while it is slack.
    pulls = np.maximum(pulls, 0.0)
    impulse = np.concatenate([[0.0], np.cumsum(0.5 * (pulls[1:] + pulls[:-1]) * np.diff(times))])
    ends = [np.interp(k * WINDOW_S, times, impulse) for k in range(WINDOWS + 1)]
    rows.append(("impulse on the held end", ends[-1], "N s"))
    for k in range(WINDOWS):
        span = f"{1e3 * k * WINDOW_S:g} to {1e3 * (k + 1) * WINDOW_S:g} ms"
        rows.append((f"mean pull from {span}", (ends[k + 1] - ends[k]) / WINDOW_S, "N"))
    return rows


def crossing(values, falling, level):
    """The value where the falling one first reaches the level."""
    i = int(np.argmax(falling <= level))
    share = (falling[i - 1] - level) / (falling[i - 1] - falling[i])
    return values[i - 1] + share * (values[i] - values[i - 1])


def main():
    lines = [
        "# recoil_peers.py: moordyn (RK4) and mujoco (semi-implicit Euler)",
        f"# python {platform.python_version()}, numpy {np.__version__}, "
        + ", ".join(f"{name} {version(name)}" for name in ("moordyn", "mujoco")),
        "case,code,air,segments,quantity,value,unit",
        "-,-,-,-,-,in unit,-",
    ]
    for case in CASES:
        for code in (Mooring, Multibody):
            for air, segments, step_s in ((True, 60, 8e-6), (True, 240, 2e-6), (False, 240, 2e-6)):
                rows = results(code, case, segments, step_s, air, 2.4e-5)
                for what, value, unit in rows:
                    lines.append(f"{case.name},{code.name},{'yes' if air else 'no'},{segments},{what},{value:.8g},{unit}")
                print("\n", case.name, code.name, air, segments, {r[0]: float(f"{r[1]:.6g}") for r in rows[:7]}, flush=True)
    Path(__file__).with_suffix(".csv").write_text("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
