"""Solves linkages: JSON on standard input, JSON on standard output.

In:  {"linkages": [{"chassis": 4×[x, y, z], "axle": 4×[…], "length": 4×, "origin": […], "turn": 9×, "z": …, "roll": …,
      "steps": n, "path": [[z, roll], …], "pinion": […], "radius": …, "rates": [indices into path],
      "shocks": [{"top": […], "foot": […]} or {"top": […], "link": i, "along": …, "rise": …}]}]}
Out: for each linkage a list with one entry a point of the path that is reached; null from the first that is not.
"""
import json
import sys

from axle import Axle, on_link, quaternion

import numpy as np


def shock_lengths(axle, shocks, u):
    eyes = axle.eyes(u)
    r = axle.matrix(u[3:])
    out = []
    for s in shocks:
        if "foot" in s:
            foot = u[:3] + r @ np.array(s["foot"])
        else:
            foot = on_link(axle.c[s["link"]], eyes[s["link"]], s["along"], s["rise"])
        out.append(np.linalg.norm(foot - np.array(s["top"])))
    return np.array(out)


def follow(task):
    axle = Axle(task["chassis"], task["axle"], task["length"])
    u = np.concatenate([task["origin"], quaternion(task["turn"])])
    z, roll = task["z"], task["roll"]
    out = []
    for k, (to_z, to_roll) in enumerate(task["path"]):
        u = axle.along(u, z, roll, to_z, to_roll, task["steps"])
        if u is None:
            out.append(None)
            break
        z, roll = to_z, to_roll
        r = axle.matrix(u[3:])
        row = {
            "origin": u[:3].tolist(), "turn": r.ravel().tolist(), "margin": axle.margin(u),
            "steer": float(np.arctan2(-r[0, 1], r[1, 1])), "pinion": float(np.arcsin((r @ np.array(task["pinion"]))[2])),
            "shocks": shock_lengths(axle, task["shocks"], u).tolist(),
        }
        if k in task["rates"] and row["margin"] > 0.01:
            got = axle.rates(u, z, roll, lambda v: shock_lengths(axle, task["shocks"], v))
            if got is not None:
                for name, (rate, spread) in zip(("heave", "rolling"), got):
                    row[name], row[name + "_spread"] = rate.tolist(), spread.tolist()
                row["slope"] = axle.side_slope(u, u[:3] - [0, 0, task["radius"]])
                row["roll_centre"] = task["radius"] + axle.roll_centre(u)
        out.append(row)
    return out


def main():
    tasks = json.load(sys.stdin)["linkages"]
    json.dump([follow(t) for t in tasks], sys.stdout)


if __name__ == "__main__":
    main()
