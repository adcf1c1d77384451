"""The reference case of the speed comparison, and what every rival starts from. SI units."""

import numpy as np

REST_M = 9.0
MASS_PER_M = 0.35
STRAIN = 0.18
EA_N = 88e3 / STRAIN
DASHPOT_N_S = 10.0
HARDWARE_KG = 1.3
HARDWARE_CDA_M2 = 0.004
DIAMETER_M = 0.03
CD_ACROSS = 1.2
CD_ALONG = 0.01
AIR = 1.225
G = 9.80665

SEGMENTS = 64
STEP_S = 5e-5
END_S = 0.5
STEPS = round(END_S / STEP_S)


def start(segments=SEGMENTS):
    """Places (segments + 1, 3) from the held end, stretched evenly along x; masses of the nodes."""
    place = np.zeros((segments + 1, 3))
    place[:, 0] = REST_M * (1.0 + STRAIN) * np.arange(segments + 1) / segments
    mass = np.full(segments + 1, MASS_PER_M * REST_M / segments)
    mass[0] *= 0.5
    mass[-1] = 0.5 * mass[-1] + HARDWARE_KG
    return place, mass
