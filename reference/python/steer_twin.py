"""Solves steering linkages a second way: JSON on standard input, JSON on standard output.

The program turns knuckles by angles, in closed form. Here nothing is turned: the unknowns are the places of the two tie-rod eyes in
space, and the equations are distances, to both points of the kingpin, along the tie rod and along the drag link (natural
coordinates: García de Jalón & Bayo, Kinematic and Dynamic Simulation of Multibody Systems, 1994, ch. 2). Every other point of a
knuckle is a linear combination of the three known ones and their cross product. Solver: MINPACK (fsolve), polished by
Levenberg-Marquardt; the horn is turned with SciPy's Rotation; locks are found by Brent's method.

In:  {"linkages": [{"upper": 2×[x, y, z], "lower": 2×, "arm": 2×, "rod": mm, "half": mm, "drag_to": […], "on": "left", "right" or
      "tie rod", "drag": mm, "on_axle": bool, "horn_at": […], "horn_axis": […], "horn_eye": […], "up": […], "forward": […],
      "path": [{"servo": rad, "origin": […], "turn": 9×} or {"servo": rad, "z": mm, "roll": rad}],
      and for a rig: "links": {"chassis": …, "axle": …, "length": …}, "origin", "turn", "z", "lock": rad, "radius", "width",
      "rear": […], "rear_axis": […], "friction", "loads": 2×}]}
Out: for each linkage {"path": [[left, right, margin] or null, …], "rig": {…}}; angles in rad.
"""
import json
import sys

from axle import Axle, quaternion

import numpy as np
from scipy.optimize import brentq, fsolve, least_squares
from scipy.spatial.transform import Rotation

SIDE = {"left": 0, "right": 1}


class Steering:
    def __init__(self, task):
        self.task = task
        self.u, self.l, arm = (np.array(task[k], float) for k in ("upper", "lower", "arm"))
        self.start = arm
        self.to_u = np.linalg.norm(arm - self.u, axis=1)
        self.to_l = np.linalg.norm(arm - self.l, axis=1)
        hub = np.array([[0, task["half"], 0], [0, -task["half"], 0]], float)
        self.hub = [self.share(i, arm[i], hub[i]) for i in (0, 1)]
        self.tip = [self.share(i, arm[i], hub[i] + [0, 1, 0]) for i in (0, 1)]
        self.up, self.forward = np.array(task["up"], float), np.array(task["forward"], float)
        to = np.array(task["drag_to"], float)
        if task["on"] == "tie rod":
            e, n, b = self.rod_frame(arm)
            self.beside = np.array([(to - arm[0]) @ e / np.linalg.norm(arm[1] - arm[0]), (to - arm[0]) @ n, (to - arm[0]) @ b])
        else:
            i = SIDE[task["on"]]
            self.far_share = self.share(i, arm[i], to)

    def base(self, i, t):
        a, b = self.l[i] - self.u[i], t - self.u[i]
        return np.column_stack([a, b, np.cross(a, b)])

    def share(self, i, t, point):
        return np.linalg.solve(self.base(i, t), point - self.u[i])

    def placed(self, i, t, share):
        return self.u[i] + self.base(i, t) @ share

    @staticmethod
    def rod_frame(t):
        e = (t[1] - t[0]) / np.linalg.norm(t[1] - t[0])
        n = np.array([1.0, 0, 0]) - e[0] * e
        n /= np.linalg.norm(n)
        return e, n, np.cross(e, n)

    def far(self, t):
        if self.task["on"] == "tie rod":
            e, n, b = self.rod_frame(t)
            return t[0] + self.beside[0] * (t[1] - t[0]) + self.beside[1] * n + self.beside[2] * b
        i = SIDE[self.task["on"]]
        return self.placed(i, t[i], self.far_share)

    def equations(self, x, q):
        t = x.reshape(2, 3)

        def off(d, length):
            return (d @ d - length**2) / (2 * length)

        return np.array([off(t[0] - self.u[0], self.to_u[0]), off(t[0] - self.l[0], self.to_l[0]),
                         off(t[1] - self.u[1], self.to_u[1]), off(t[1] - self.l[1], self.to_l[1]),
                         off(t[1] - t[0], self.task["rod"]), off(self.far(t) - q, self.task["drag"])])

    def jacobian(self, x, q):
        t = x.reshape(2, 3)
        out = np.zeros((6, 6))
        for i in (0, 1):
            out[2 * i, 3 * i:3 * i + 3] = (t[i] - self.u[i]) / self.to_u[i]
            out[2 * i + 1, 3 * i:3 * i + 3] = (t[i] - self.l[i]) / self.to_l[i]
        out[4, :3], out[4, 3:] = (t[0] - t[1]) / self.task["rod"], (t[1] - t[0]) / self.task["rod"]
        if self.task["on"] == "tie rod":
            # By complex steps, exact to rounding (Squire & Trapp, SIAM Review 40, 1998).
            for k in range(6):
                y = x.astype(complex)
                y[k] += 1e-30j
                d = self.far_on_rod(y.reshape(2, 3)) - q
                out[5, k] = (d * d).sum().imag / 1e-30 / (2 * self.task["drag"])
        else:
            i = SIDE[self.task["on"]]
            a, (_, c1, c2) = self.l[i] - self.u[i], self.far_share
            n = (self.far(t) - q) / self.task["drag"]
            out[5, 3 * i:3 * i + 3] = c1 * n + c2 * np.cross(n, a)  # n · (a × dt) = (n × a) · dt
        return out

    def far_on_rod(self, t):
        d = t[1] - t[0]
        e = d / np.sqrt((d * d).sum())
        n = np.array([1, 0, 0]) - e[0] * e
        n = n / np.sqrt((n * n).sum())
        b = np.array([e[1] * n[2] - e[2] * n[1], e[2] * n[0] - e[0] * n[2], e[0] * n[1] - e[1] * n[0]])
        return t[0] + self.beside[0] * d + self.beside[1] * n + self.beside[2] * b

    def solve(self, x, q):
        got = fsolve(self.equations, x, (q,), self.jacobian, xtol=1e-15, full_output=True)[0]
        if np.abs(self.equations(got, q)).max() > 1e-11:
            got = least_squares(self.equations, got, self.jacobian, method="lm", args=(q,), xtol=1e-15, ftol=1e-15, gtol=1e-15).x
        if not np.abs(self.equations(got, q)).max() < 1e-11 or np.abs(got - x).max() > 12:
            return None
        return got

    def near(self, servo, origin, turn):
        at, eye = (np.array(self.task[k], float) for k in ("horn_at", "horn_eye"))
        p = at + Rotation.from_rotvec(servo * np.array(self.task["horn_axis"])).apply(eye - at)
        return p if self.task["on_axle"] else turn.T @ (p - origin)

    def move(self, x, q0, q1):
        """Along the straight way of the near eye from q0 to q1, in steps small enough to keep the assembly mode."""
        n = int(np.ceil(np.linalg.norm(q1 - q0) / 2.0)) or 1
        for k in range(1, n + 1):
            x = self.solve(x, q0 + (q1 - q0) * k / n)
            if x is None:
                return None
        return x

    def axis(self, x, i, turn):
        t = x.reshape(2, 3)[i]
        return turn @ (self.placed(i, t, self.tip[i]) - self.placed(i, t, self.hub[i]))

    def angle(self, n):
        heading = np.cross(n, self.up)
        return np.arctan2(heading @ np.cross(self.up, self.forward), heading @ self.forward)

    def angles(self, x, turn):
        return np.array([self.angle(self.axis(x, i, turn)) for i in (0, 1)])

    def margin(self, x, q):
        return np.linalg.svd(self.jacobian(x, q))[1][-1]


def poses(task, steering):
    """Each point of the path with its pose, that of a rig's axle found from its links."""
    out = []
    if "links" not in task:
        return [(p["servo"], np.array(p["origin"], float), np.reshape(p["turn"], (3, 3))) for p in task["path"]]
    axle = Axle(**task["links"])
    home = np.concatenate([task["origin"], quaternion(task["turn"])])
    for p in task["path"]:
        u = axle.along(home, task["z"], 0.0, p["z"], p["roll"], 8)
        out.append((p["servo"], u[:3], axle.matrix(u[3:])))
    return out


def answer(task):
    s = Steering(task)
    list_ = poses(task, s)
    _, origin, turn = list_[0]  # the first point is the middle, at the design pose
    q = s.near(0, origin, turn)
    # From straight ahead to the middle: the drag link and tie rod grow from what fits there to what they are.
    x, rod, drag = s.start.ravel(), task["rod"], task["drag"]
    rod0, drag0 = np.linalg.norm(s.start[1] - s.start[0]), np.linalg.norm(s.far(s.start) - q)
    for k in range(1, 11):
        task["rod"], task["drag"] = rod0 + (rod - rod0) * k / 10, drag0 + (drag - drag0) * k / 10
        x = s.solve(x, q)
        if x is None:
            return {"path": [None] * len(list_)}
    middle, q0, out = x, q, []
    for servo, o, r in list_:
        q, x = s.near(0, o, r), s.move(middle, q0, s.near(0, o, r))
        for k in range(1, 9):
            if x is not None:
                to = s.near(servo * k / 8, o, r)
                x, q = s.move(x, q, to), to
        out.append(None if x is None else [*s.angles(x, r).tolist(), s.margin(x, q)])
    result = {"path": out}
    if "lock" in task:
        result["rig"] = rig(task, s, middle, origin, turn)
    return result


def rig(task, s, middle, origin, turn):
    left = np.cross(s.up, s.forward)

    def at(servo):
        x, q = middle, s.near(0, origin, turn)
        n = max(1, int(np.ceil(abs(servo) / 0.08)))
        for k in range(1, n + 1):
            to = s.near(servo * k / n, origin, turn)
            x, q = s.move(x, q, to), to
        return x

    def contact(x, i):
        n = s.axis(x, i, turn)
        hub = origin + turn @ s.placed(i, x.reshape(2, 3)[i], s.hub[i])
        down = -(s.up - (s.up @ n) * n)
        return hub + task["radius"] * down / np.linalg.norm(down), n

    def plan(v):
        return np.array([v @ s.forward, v @ left])

    rear, along = plan(np.array(task["rear"])), plan(np.array(task["rear_axis"]))

    def circle(x):
        shares, ends = [], []
        for i in (0, 1):
            c, n = contact(x, i)
            c, n = plan(c), plan(n)
            shares.append(np.linalg.solve(np.column_stack([along, -n]), c - rear)[0])
            n /= np.linalg.norm(n)
            ends += [c + n * task["width"] / 2, c - n * task["width"] / 2]
        return 2 * max(np.linalg.norm(e - rear - along * np.mean(shares)) for e in ends)

    out = {}
    growing = s.angles(at(0.02), turn).mean() > s.angles(at(-0.02), turn).mean()
    for name, way, inner in (("left", 1, 0), ("right", -1, 1)):
        sign = way if growing else -way
        far = sign * 0.05
        while way * s.angles(at(far), turn)[inner] < task["lock"]:
            far += sign * 0.05
        servo = brentq(lambda v: way * s.angles(at(v), turn)[inner] - task["lock"], far - sign * 0.05, far, xtol=1e-13, rtol=1e-14)
        x = at(servo)
        d = way * s.angles(x, turn)
        out[name] = {"servo": servo, "inner": d[inner], "outer": d[1 - inner], "circle": circle(x)}

    # Kingpins against the ground, by solving for the point of the axis in the plane of the contacts.
    straight = s.start.ravel()
    meets, touch = [], []
    for i in (0, 1):
        c, _ = contact(straight, i)
        a, b = origin + turn @ s.l[i], origin + turn @ s.u[i]
        meets.append(a + (b - a) * ((c - a) @ s.up) / ((b - a) @ s.up))
        touch.append(c)
    ahead = np.cross(turn @ [0, 1, 0], s.up)
    ahead /= np.linalg.norm(ahead)
    outward = np.cross(s.up, ahead)
    pin = turn @ (s.u[0] - s.l[0])
    out["scrub"], out["trail"] = (touch[0] - meets[0]) @ outward, (meets[0] - touch[0]) @ ahead
    out["track"] = np.linalg.norm(meets[0] - meets[1])
    out["inclination"], out["caster"] = np.arctan(-(pin @ outward) / (pin @ s.up)), np.arctan(-(pin @ ahead) / (pin @ s.up))

    # Torque at the middle by the work of both tyres over a small turn about the vertical.
    moment = task["friction"] * np.array(task["loads"]) * np.sqrt(task["width"]**2 / 8 + (touch[0] - meets[0]) @ (touch[0] - meets[0]))
    h = 1e-3
    d = s.angles(at(h), turn) - s.angles(at(-h), turn)
    out["torque"] = float(np.abs(d) @ moment / (2 * h))
    return out


def main():
    json.dump({"linkages": [answer(t) for t in json.load(sys.stdin)["linkages"]]}, sys.stdout)


if __name__ == "__main__":
    main()
