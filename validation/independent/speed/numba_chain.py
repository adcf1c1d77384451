"""The reference case as a capable user would write it in numba: symplectic Euler, nothing allocated in the loop.

Two ways, each with and without fastmath: `fused` goes once down the chain a step with the forces in
registers; `lanes` keeps a list a component and two loops a step, so that the compiler can use vectors.
"""

import numpy as np
from numba import njit

import chain
from chain import AIR, CD_ACROSS, CD_ALONG, DIAMETER_M, G, HARDWARE_CDA_M2

ACROSS_KG_M = 0.5 * AIR * CD_ACROSS * DIAMETER_M
ALONG_KG_M = 0.5 * AIR * CD_ALONG * np.pi * DIAMETER_M
TIP_KG_M = 0.5 * AIR * HARDWARE_CDA_M2
EA_N, DASHPOT_N_S = chain.EA_N, chain.DASHPOT_N_S


def fused(p, v, inv_mass, rest, dt, steps):
    """p, v: (n + 1, 3); returns the greatest speed of the hardware."""
    n = p.shape[0] - 1
    inv_rest = 1.0 / rest
    across, along_k = 0.5 * ACROSS_KG_M * rest, 0.5 * ALONG_KG_M * rest
    most = 0.0
    for _ in range(steps):
        fx = fy = fz = 0.0  # on node i from the segment before it
        for i in range(n):
            dx, dy, dz = p[i + 1, 0] - p[i, 0], p[i + 1, 1] - p[i, 1], p[i + 1, 2] - p[i, 2]
            wx, wy, wz = v[i + 1, 0] - v[i, 0], v[i + 1, 1] - v[i, 1], v[i + 1, 2] - v[i, 2]
            length = np.sqrt(dx * dx + dy * dy + dz * dz)
            inv = 1.0 / length
            ux, uy, uz = dx * inv, dy * inv, dz * inv
            strain = length * inv_rest - 1.0
            pull = 0.0
            if strain > 0.0:
                pull = EA_N * strain + DASHPOT_N_S * inv_rest * (ux * wx + uy * wy + uz * wz)
                pull = max(pull, 0.0)
            mx, my, mz = v[i, 0] + 0.5 * wx, v[i, 1] + 0.5 * wy, v[i, 2] + 0.5 * wz
            s = ux * mx + uy * my + uz * mz
            nx, ny, nz = mx - s * ux, my - s * uy, mz - s * uz
            kn = across * np.sqrt(nx * nx + ny * ny + nz * nz)
            kt = along_k * abs(s) * s
            ax, ay, az = kn * nx + kt * ux, kn * ny + kt * uy, kn * nz + kt * uz
            if i > 0:
                k = inv_mass[i] * dt
                v[i, 0] += (fx + pull * ux - ax) * k
                v[i, 1] += (fy + pull * uy - ay) * k
                v[i, 2] += (fz + pull * uz - az) * k - G * dt
                p[i, 0] += v[i, 0] * dt
                p[i, 1] += v[i, 1] * dt
                p[i, 2] += v[i, 2] * dt
            fx, fy, fz = -pull * ux - ax, -pull * uy - ay, -pull * uz - az
        speed = np.sqrt(v[n, 0] ** 2 + v[n, 1] ** 2 + v[n, 2] ** 2)
        k = inv_mass[n] * dt
        v[n, 0] += (fx - TIP_KG_M * speed * v[n, 0]) * k
        v[n, 1] += (fy - TIP_KG_M * speed * v[n, 1]) * k
        v[n, 2] += (fz - TIP_KG_M * speed * v[n, 2]) * k - G * dt
        p[n, 0] += v[n, 0] * dt
        p[n, 1] += v[n, 1] * dt
        p[n, 2] += v[n, 2] * dt
        most = max(most, speed)
    return most


def lanes(x, y, z, vx, vy, vz, bx, by, bz, ax, ay, az, inv_mass, rest, dt, steps):
    """Lists of n + 1 (places, speeds) and n (forces on the nodes before and after a segment)."""
    n = x.shape[0] - 1
    inv_rest = 1.0 / rest
    dash = DASHPOT_N_S * inv_rest
    across, along_k = 0.5 * ACROSS_KG_M * rest, 0.5 * ALONG_KG_M * rest
    most = 0.0
    for _ in range(steps):
        for i in range(n):
            dx, dy, dz = x[i + 1] - x[i], y[i + 1] - y[i], z[i + 1] - z[i]
            wx, wy, wz = vx[i + 1] - vx[i], vy[i + 1] - vy[i], vz[i + 1] - vz[i]
            length = np.sqrt(dx * dx + dy * dy + dz * dz)
            inv = 1.0 / length
            ux, uy, uz = dx * inv, dy * inv, dz * inv
            strain = length * inv_rest - 1.0
            pull = EA_N * strain + dash * (ux * wx + uy * wy + uz * wz)
            pull = pull if (strain > 0.0) & (pull > 0.0) else 0.0
            mx, my, mz = vx[i] + 0.5 * wx, vy[i] + 0.5 * wy, vz[i] + 0.5 * wz
            s = ux * mx + uy * my + uz * mz
            nx, ny, nz = mx - s * ux, my - s * uy, mz - s * uz
            kn = across * np.sqrt(nx * nx + ny * ny + nz * nz)
            kt = along_k * abs(s) * s
            px, py, pz = pull * ux, pull * uy, pull * uz
            qx, qy, qz = kn * nx + kt * ux, kn * ny + kt * uy, kn * nz + kt * uz
            bx[i], by[i], bz[i] = px - qx, py - qy, pz - qz
            ax[i], ay[i], az[i] = -px - qx, -py - qy, -pz - qz
        speed = np.sqrt(vx[n] * vx[n] + vy[n] * vy[n] + vz[n] * vz[n])
        most = max(most, speed)
        k = inv_mass[n] * dt
        vx[n] += (ax[n - 1] - TIP_KG_M * speed * vx[n]) * k
        vy[n] += (ay[n - 1] - TIP_KG_M * speed * vy[n]) * k
        vz[n] += (az[n - 1] - TIP_KG_M * speed * vz[n]) * k - G * dt
        for i in range(1, n):
            k = inv_mass[i] * dt
            vx[i] += (ax[i - 1] + bx[i]) * k
            vy[i] += (ay[i - 1] + by[i]) * k
            vz[i] += (az[i - 1] + bz[i]) * k - G * dt
        for i in range(1, n + 1):
            x[i] += vx[i] * dt
            y[i] += vy[i] * dt
            z[i] += vz[i] * dt
    return most


# error_model numpy: no branch for a division by nothing, which the default has and which stops vectors.
WAYS = {
    f"numba {way.__name__}{' fastmath' if fast else ''}": (way, njit(error_model="numpy", fastmath=fast)(way))
    for way in (fused, lanes)
    for fast in (False, True)
}


def prepare(name, segments=chain.SEGMENTS, steps=chain.STEPS, step_s=chain.STEP_S):
    """A run to call; returns the greatest speed of the hardware."""
    way, compiled = WAYS[name]
    place, mass = chain.start(segments)
    rest, inv_mass = chain.REST_M / segments, 1.0 / mass
    if way is fused:
        def run():
            return compiled(place.copy(), np.zeros_like(place), inv_mass, rest, step_s, steps)
    else:
        columns = [np.ascontiguousarray(place[:, k]) for k in range(3)]
        work = np.empty((6, segments))

        def run():
            places = [c.copy() for c in columns]
            speeds = [np.zeros(segments + 1) for _ in range(3)]
            return compiled(*places, *speeds, *work, inv_mass, rest, step_s, steps)
    return run
