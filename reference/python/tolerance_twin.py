"""The bands of one axle's numbers, worked out a second way: SciPy's Latin hypercube and distributions, and each sampled linkage solved
by SciPy (axle.py). Reads one question as JSON, answers with half widths and quantiles of spin, steer and sideways place.

The height comes from tyre radius less ride height. Errors are what 95 of 100 keep; play is the sum of two rectangles.
"""
import json
import sys

from axle import Axle, np, quaternion
from scipy.spatial.transform import Rotation
from scipy.stats import norm, qmc, triang


def main():
    q = json.load(sys.stdin)
    c, a, length = (np.array(q[key], float) for key in ("chassis", "axle", "length"))  # float: JSON writes 31.0 as 31
    e, n = q["errors"], q["samples"]
    inputs = []  # distribution, target
    for i in range(4):
        for eyes in (0, 1):
            inputs += [(norm(scale=e["drilled"] / norm.ppf(0.975)), (eyes, i, k)) for k in range(3)]
        inputs.append((norm(scale=e["length"] / norm.ppf(0.975)), (2, i)))
        inputs.append((triang(0.5, loc=-e["play"], scale=2 * e["play"]), (2, i)))
    inputs.append((norm(scale=e["tyre"] / norm.ppf(0.975)), (3,)))
    inputs.append((norm(scale=e["set"] / norm.ppf(0.975)), (4,)))
    cube = qmc.LatinHypercube(d=len(inputs), seed=q["seed"]).random(n)
    off = np.column_stack([dist.ppf(cube[:, k]) for k, (dist, _) in enumerate(inputs)])
    origin, turn = np.array(q["origin"]), np.array(q["turn"])
    start = np.concatenate([origin, quaternion(turn)])
    out = []
    for row in off:
        eyes = [c.copy(), a.copy()]
        ln = length.copy()
        z = q["tyre"] - q["ride"]
        for by, (_, target) in zip(row, inputs):
            if target[0] < 2:
                eyes[target[0]][target[1], target[2]] += by
            elif target[0] == 2:
                ln[target[1]] += by
            else:
                z += by if target[0] == 3 else -by
        u = Axle(eyes[0], eyes[1], ln).solve(start, z, 0.0)
        w, x, y, s = u[3:] / np.linalg.norm(u[3:])
        m = Rotation.from_quat([x, y, s, w]).as_matrix()
        pinion = m @ np.array(q["pinion"])
        out.append([np.degrees(np.arcsin(pinion[2])), np.degrees(np.arctan2(-m[0, 1], m[1, 1])), u[1]])
    out = np.array(out)
    json.dump({"deviation": out.std(axis=0, ddof=1).tolist(), "from": np.quantile(out, 0.025, axis=0).tolist(),
               "to": np.quantile(out, 0.975, axis=0).tolist()}, sys.stdout)


main()
