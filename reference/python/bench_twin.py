"""Readings of one axle held against its model, worked out a second way: scipy.optimize.least_squares over every hole, length and the ride
height at once, each with its usual error as a residual of its own, each linkage solved by SciPy (axle.py). Reads one question as JSON, answers
with the least sum, the unknowns over their standard deviations, and what is then known of the pinion angle.
"""
import json
import sys

from axle import Axle, np, quaternion
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation


def main():
    q = json.load(sys.stdin)
    c, a, length = (np.array(q[key], float) for key in ("chassis", "axle", "length"))
    hole, link, ride = q["sigma"]["hole"], q["sigma"]["length"], q["sigma"]["ride"]
    start = np.concatenate([np.array(q["origin"], float), quaternion(np.array(q["turn"], float))])

    def predict(u):
        h = hole * u[:24].reshape(2, 4, 3)
        ln = length + link * u[24:28]
        pose = Axle(c + h[0], a + h[1], ln).solve(start, q["tyre"] - q["ride"] - ride * u[28], 0.0)
        w, x, y, s = pose[3:] / np.linalg.norm(pose[3:])
        pinion = Rotation.from_quat([x, y, s, w]).as_matrix() @ np.array(q["pinion"])
        return np.degrees(np.arcsin(pinion[2])), ln

    def read(u):
        angle, ln = predict(u)
        return np.concatenate([[angle], ln[: len(q["lengths"])]])

    y, sigma = np.array([q["angle"]] + q["lengths"]), np.array(q["within"]) / 1.959963984540054

    def residual(u):
        return np.concatenate([(y - read(u)) / sigma, u])

    fit = least_squares(residual, np.zeros(29), method="lm", xtol=1e-14, ftol=1e-14, gtol=1e-14, diff_step=1e-6)
    jac = fit.jac
    cov = np.linalg.inv(jac.T @ jac)
    step = 1e-4
    slope = np.array([(predict(fit.x + step * e)[0] - predict(fit.x - step * e)[0]) / (2 * step) for e in np.eye(29)])
    json.dump({"chi2": 2 * fit.cost, "x": fit.x.tolist(), "sd": np.sqrt(np.diag(cov)).tolist(), "angle": float(predict(fit.x)[0]),
               "after": float(1.959963984540054 * np.sqrt(slope @ cov @ slope))}, sys.stdout)


main()
