"""Times a sweep of one axle through scipy.optimize.fsolve, as someone who writes this in Python would do it: the same four unknowns
as the program's (x, y, steer, spin), analytic Jacobian, each pose started from the one before. Only the solving is timed, not the
start of Python.

In:  {"chassis": 4×[x, y, z], "axle": 4×[…], "length": 4×, "start": [x, y, steer, spin], "points": [[z, roll], …], "repeat": n}
Out: {"best": s per sweep, "mean": s per sweep, "poses": [[x, y, steer, spin], …], "numpy": "…", "scipy": "…"}
"""
import json
import sys
import time

from axle import Axle  # says what to install when SciPy is missing

import numpy as np
import scipy
from math import cos, sin
from scipy.optimize import fsolve


def main():
    task = json.load(sys.stdin)
    c, a, length = (np.array(task[k], float) for k in ("chassis", "axle", "length"))
    half = length**2 / 2

    def parts(u, z, sr, cr):
        x, y, steer, spin = u
        ss, cs, st, ct = sin(steer), cos(steer), sin(spin), cos(spin)
        r = np.array([[cs * ct - ss * sr * st, -ss * cr, cs * st + ss * sr * ct],
                      [ss * ct + cs * sr * st, cs * cr, ss * st - cs * sr * ct],
                      [-cr * st, sr, cr * ct]])
        e = a @ r.T
        return r, e, e + (x, y, z) - c

    def f(u, z, sr, cr):
        _, _, d = parts(u, z, sr, cr)
        return 0.5 * (d * d).sum(1) - half

    def jacobian(u, z, sr, cr):
        r, e, d = parts(u, z, sr, cr)
        w = r[:, 1]
        out = np.empty((4, 4))
        out[:, :2] = d[:, :2]
        out[:, 2] = d[:, 1] * e[:, 0] - d[:, 0] * e[:, 1]
        out[:, 3] = (d[:, 0] * (w[1] * e[:, 2] - w[2] * e[:, 1]) + d[:, 1] * (w[2] * e[:, 0] - w[0] * e[:, 2])
                     + d[:, 2] * (w[0] * e[:, 1] - w[1] * e[:, 0]))
        return out

    times = []
    for _ in range(task["repeat"]):
        u = np.array(task["start"], float)
        poses = []
        begin = time.perf_counter()
        for z, roll in task["points"]:
            u = fsolve(f, u, (z, sin(roll), cos(roll)), jacobian, xtol=1e-12)
            poses.append(u)
        times.append(time.perf_counter() - begin)
    json.dump({"best": min(times), "mean": sum(times) / len(times), "poses": [p.tolist() for p in poses],
               "numpy": np.__version__, "scipy": scipy.__version__}, sys.stdout)


if __name__ == "__main__":
    main()
