"""Settles axles on more links than hold them: the pose of least squares of the links' stretch, by scipy.optimize.least_squares
(trust region, numerical Jacobian) with SciPy's own Euler angles: steer about z, roll about the new x, spin about the wheel axis.

In:  {"axles": [{"chassis": n×[x, y, z], "axle": n×[…], "length": n×, "near": […], "points": [[z, roll], …]}]}
Out: for each axle and point {"x", "y", "turn", "stretch", "cost"}, from near at zero roll on in small steps.
"""
import json
import sys

from axle import Axle  # says what to install when SciPy is missing

import numpy as np
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

ARM = 100.0  # mm per rad


def settle(task):
    c, a, length = (np.array(task[k], float) for k in ("chassis", "axle", "length"))

    def stretch(v, z, roll):
        r = Rotation.from_euler("ZXY", [v[2] / ARM, roll, v[3] / ARM]).as_matrix()
        return np.linalg.norm([v[0], v[1], z] + a @ r.T - c, axis=1) - length

    v, z, roll = np.array([*task["near"][:2], 0, 0], float), task["near"][2], 0.0
    out = []
    for to_z, to_roll in task["points"]:
        steps = int(np.ceil(max(abs(to_z - z) / 5, abs(to_roll - roll) / 0.08, 1)))
        for k in range(1, steps + 1):
            s = k / steps
            at = (z + s * (to_z - z), roll + s * (to_roll - roll))
            v = least_squares(stretch, v, jac="3-point", args=at, xtol=1e-15, ftol=1e-15, gtol=1e-14).x
        z, roll = to_z, to_roll
        turn = Rotation.from_euler("ZXY", [v[2] / ARM, roll, v[3] / ARM]).as_matrix()
        out.append({"x": v[0], "y": v[1], "turn": turn.ravel().tolist(), "stretch": stretch(v, z, roll).tolist()})
    return out


def main():
    json.dump([settle(t) for t in json.load(sys.stdin)["axles"]], sys.stdout)


if __name__ == "__main__":
    main()
