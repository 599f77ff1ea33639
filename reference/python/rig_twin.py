"""Answers travel and balance for whole documents: JSON on standard input, JSON on standard output.

In:  {"documents": [{"files": {name: tree}, "name": "…", "heave": [mm], "roll": [rad], "share": [front, rear]}]}
Out: for each the eyes as resolved, both axles' design poses and grids, and the balance with its loads and tip angles.
"""
import json
import sys

from axle import Axle, on_link

import numpy as np
from scipy.optimize import brentq, nnls

from document import Document, tensor

G = 9.80665


class Mover:
    """One axle of a document."""

    def __init__(self, doc, end):
        self.doc, self.end = doc, end
        self.near, self.radius, self.half, self.pinion, self.ride = doc.axle(end)
        self.index = [i for i, l in enumerate(doc.links) if l["axle"] == end]
        links = [doc.links[i] for i in self.index]
        self.axle = Axle([l["eye"] for l in links], [l["far"] for l in links], [l["length"] for l in links])
        self.shocks = [s for s in doc.shocks if s["axle"] == end]
        self.shafts = [s for s in doc.shafts if s["axle"] == end]
        # From near: the lengths that near has, changed bit by bit to the real ones.
        u = np.array([*self.near, 1.0, 0, 0, 0])
        real = self.axle.length
        at_near = np.linalg.norm(self.axle.eyes(u) - self.axle.c, axis=1)
        for s in np.linspace(0, 1, 21)[1:]:
            self.axle.length = at_near + s * (real - at_near)
            u = self.axle.solve(u, self.near[2], 0.0)
            if u is None:
                raise ValueError(f"{end}: the links do not close at near")
        self.axle.length = real
        self.u, self.z, self.roll = u, self.near[2], 0.0
        self.source = "near"
        if any(s["set"] for s in self.shocks):
            self.source = "shock set lengths"
            self.to(self.where_set())
        elif self.ride is not None:
            self.source = "ride_height"
            self.to(self.radius - self.ride)
        self.design = self.u

    def to(self, z, roll=0.0):
        steps = int(np.ceil(max(abs(z - self.z) / 2, abs(roll - self.roll) / 0.04, 1)))
        u = self.axle.along(self.u, self.z, self.roll, z, roll, steps)
        if u is not None:
            self.u, self.z, self.roll = u, z, roll
        return u

    def where_set(self):
        """Heave at which the mean length of the shocks that have a set length is the mean of those."""
        which = [i for i, s in enumerate(self.shocks) if s["set"]]

        def over(z):
            self.to(z)
            return np.mean([self.lengths(self.u)[i] - self.shocks[i]["set"] for i in which])
        z, step = self.z, 1.0 if over(self.z) > 0 else -1.0  # too long: up
        while over(z) * over(z + step) > 0:
            z += step
        return brentq(over, z, z + step, xtol=1e-12, rtol=1e-14)

    def place(self, u, v):
        return u[:3] + self.axle.matrix(u[3:]) @ v

    def anchor(self, u, end):
        if end[0] == "link":
            k = self.index.index(end[1])
            return on_link(self.axle.c[k], self.axle.eyes(u)[k], end[2], end[3])
        return self.place(u, end[1]) if end[0] == self.end else end[1]

    def lengths(self, u):
        return np.array([np.linalg.norm(self.anchor(u, s["top"]) - self.anchor(u, s["bottom"])) for s in self.shocks])

    def state(self, u):
        r = self.axle.matrix(u[3:])
        top = [self.anchor(u, s["top"]) - self.anchor(u, s["bottom"]) for s in self.shocks]
        return {"origin": u[:3].tolist(), "turn": r.ravel().tolist(), "steer": float(np.arctan2(-r[0, 1], r[1, 1])),
                "pinion": float(np.arcsin((r @ self.pinion)[2])), "shocks": self.lengths(u).tolist(),
                "shafts": [self.shaft(u, s) for s in self.shafts], "lean": [float(np.arctan2(d[0], d[2])) for d in top],
                "left": self.place(u, np.array([0, self.half, 0]))[2], "right": self.place(u, np.array([0, -self.half, 0]))[2]}

    def shaft(self, u, s):
        """Length and both joint angles of a drive shaft."""
        d = self.place(u, s["end"]) - s["start"]
        into = -self.axle.matrix(u[3:]) @ s["into"]
        return [np.linalg.norm(d), bend(s["out"], d), bend(d, into)]

    def swings(self, u):
        """Swing of both ends of each link from square to its bolt; None without the bolt's direction."""
        out = []
        r = self.axle.matrix(u[3:])
        for k, i in enumerate(self.index):
            l = self.doc.links[i]
            d = self.axle.eyes(u)[k] - self.axle.c[k]
            for bolt in (l["bolt"], r @ l["far_bolt"]):
                out.append(abs(np.pi / 2 - bend(d, bolt)) if bolt.any() else None)
        return out

    def grid(self, heaves, rolls):
        home, z0 = self.u, self.z
        out = []
        for h in heaves:
            for roll in rolls:
                self.u, self.z, self.roll = home, z0, 0.0
                u = self.to(z0 + h)
                u = self.to(z0 + h, roll) if u is not None else None
                if u is None:
                    out.append(None)
                    continue
                row = self.state(u)
                rates = self.axle.rates(u, z0 + h, roll, self.lengths)
                if rates is not None:
                    row["closing"], row["rolling"] = (-rates[0][0][6:]).tolist(), (-rates[1][0][6:] * np.pi / 180).tolist()
                    row["closing_spread"], row["rolling_spread"] = rates[0][1][6:].tolist(), (rates[1][1][6:] * np.pi / 180).tolist()
                out.append(row)
        self.u, self.z, self.roll = home, z0, 0.0
        return out


def bend(a, b):
    """Angle between two directions, by half the chord: exact near 0 as well."""
    a, b = a / np.linalg.norm(a), b / np.linalg.norm(b)
    return 2 * np.arctan2(np.linalg.norm(a - b), np.linalg.norm(a + b))


def ground(front, rear):
    """The straight line in side view that is below both wheel centres by the tyres' radii: its slope and the rear contact."""
    f, r = front.design, rear.design

    def gap(a):
        up = np.array([-np.sin(a), 0, np.cos(a)])
        return (f[:3] - r[:3]) @ up - (front.radius - rear.radius)
    a = brentq(gap, -1.2, 1.2, xtol=1e-15)
    up, forward = np.array([-np.sin(a), 0, np.cos(a)]), np.array([np.cos(a), 0, np.sin(a)])
    return a, up, forward, np.array([r[0], 0, r[2]]) - rear.radius * up


def lumps(doc, movers):
    """(name, mass, centre, tensor about it, sprung share)"""
    out = []
    for b in doc.bodies:
        if b["mass"] is None:
            continue
        at, inertia = b["cg"], b["inertia"]
        if b["carrier"] != "chassis":
            m = movers[b["carrier"]]
            r = m.axle.matrix(m.design[3:])
            at, inertia = m.place(m.design, at), r @ inertia @ r.T
        out.append((b["carrier"] + "/" + b["name"], b["mass"], at, inertia, float(b["carrier"] == "chassis")))
    for t in doc.steering:
        a, b = (q if c == "chassis" else movers[c].place(movers[c].design, q) for c, q in t["ends"])
        x, w = np.polynomial.legendre.leggauss(2)
        points = np.array([(a + b) / 2 + s * (b - a) / 2 for s in x])
        out.append(("steer/" + t["name"], t["mass"], (a + b) / 2, tensor(points, t["mass"] * w / 2, (a + b) / 2), 0.5 * (t["ends"][0][0] == "chassis")))
    for kind, things in (("links", doc.links), ("shocks", doc.shocks), ("shafts", doc.shafts)):
        for t in things:
            if t["mass"] is None:
                continue
            m = movers[t["axle"]]
            if kind == "links":
                a, b = t["eye"], m.place(m.design, t["far"])
            elif kind == "shocks":
                a, b = m.anchor(m.design, t["top"]), m.anchor(m.design, t["bottom"])
            else:
                a, b = t["start"], m.place(m.design, t["end"])
            x, w = np.polynomial.legendre.leggauss(2)  # a thin bar between the two
            points = np.array([(a + b) / 2 + s * (b - a) / 2 for s in x])
            out.append((kind + "/" + t["name"], t["mass"], (a + b) / 2, tensor(points, t["mass"] * w / 2, (a + b) / 2), 0.5))
    return out


class Standing:
    def __init__(self, movers):
        self.slope, self.up, self.forward, self.point = ground(movers["front"], movers["rear"])
        self.wheels = []  # front left, front right, rear left, rear right, in the ground's frame
        for end in ("front", "rear"):
            m = movers[end]
            for y in (m.half, -m.half):
                self.wheels.append(self.seen(m.place(m.design, np.array([0, y, 0])))[:2])
        self.wheels = np.array(self.wheels)
        self.base = np.linalg.norm(self.seen(np.array([movers["front"].design[0], 0, movers["front"].design[2]]) - movers["front"].radius * self.up))

    def seen(self, q):
        d = q - self.point
        return np.array([d @ self.forward, d[1], d @ self.up])

    def loads(self, c):
        """Shares of the weight: force, two moments, and each axle loaded as far across as the centre of mass."""
        w = self.wheels
        rows = [np.ones(4), w[:, 0], w[:, 1], [w[0, 1] - c[1], w[1, 1] - c[1], 0, 0]]
        return np.linalg.solve(np.array(rows), [1, c[0], c[1], 0])

    def stands(self, c, lean):
        """Whether four pushing contacts can carry the weight when gravity leans: its line meets the ground at c + c_z·lean."""
        foot = c[:2] + c[2] * lean
        scale = 100.0
        a = np.vstack([np.full(4, scale), self.wheels.T])
        return nnls(a, np.array([scale, *foot]))[1] < 1e-9

    def tip(self, c, i, j):
        """Angle at which gravity, turned about a level axis along the line through contacts i and j, lets them alone carry."""
        line = self.wheels[j] - self.wheels[i]
        out = np.array([line[1], -line[0]]) / np.linalg.norm(line)
        if out @ (self.wheels.mean(0) - self.wheels[i]) > 0:
            out = -out
        lo, hi = 0.0, np.pi / 2 - 1e-6
        if not self.stands(c, 0 * out):
            return None
        for _ in range(50):
            mid = (lo + hi) / 2
            lo, hi = (mid, hi) if self.stands(c, np.tan(mid) * out) else (lo, mid)
        return lo

    def tips(self, c):
        return [self.tip(c, 0, 2), self.tip(c, 1, 3), self.tip(c, 2, 3), self.tip(c, 0, 1)]  # left, right, nose up, nose down


def balance(doc, movers):
    all = lumps(doc, movers)
    mass = sum(l[1] for l in all)
    at = sum(l[1] * l[2] for l in all) / mass
    inertia = sum(l[3] + tensor(l[2][None], np.array([l[1]]), at) for l in all)
    s = Standing(movers)
    c = s.seen(at)
    tips = s.tips(c)
    groups = {}
    for name, m, p, _, _ in all:
        groups.setdefault(name, []).append((m, p))
    sensitivity = {}
    for name, list in sorted(groups.items(), key=lambda g: -sum(m for m, _ in g[1]))[:6]:
        own, middle = sum(m for m, _ in list), np.mean([p for _, p in list], 0)
        changed = {"add_10_g": (at * mass + middle * 0.01) / (mass + 0.01), "forward_5_mm": at + own / mass * np.array([5, 0, 0]),
                   "down_5_mm": at + own / mass * np.array([0, 0, -5])}
        if len(list) == 1:
            changed["left_5_mm"] = at + own / mass * np.array([0, 5, 0])
        sensitivity[name] = {k: [a - b for a, b in zip(s.tips(s.seen(v)), tips)] for k, v in changed.items()}
    return {"mass": mass, "sprung": sum(l[1] * l[4] for l in all), "at": at.tolist(), "inertia": inertia.ravel().tolist(), "height": c[2],
            "base": s.base, "pitch": s.slope, "loads": (s.loads(c) * mass * G).tolist(), "tips": tips,
            "factor": (movers["front"].half + movers["rear"].half) / 2 / c[2], "sensitivity": sensitivity}, s, c


def answer(task):
    doc = Document(task["files"], task["name"])
    movers = {end: Mover(doc, end) for end in ("front", "rear")}
    out = {"links": [{"name": l["name"], "side": l["side"], "eye": l["eye"].tolist(), "far": l["far"].tolist(), "length": l["length"]} for l in doc.links]}
    out["balance"], stand, c = balance(doc, movers)
    for end, m in movers.items():
        row = m.state(m.design)
        row["source"] = m.source
        contact = m.design[:3] - m.radius * stand.up
        slope = m.axle.side_slope(m.design, contact, stand.up, stand.forward) * (1 if end == "rear" else -1)
        row["slope"] = slope
        row["anti"] = 100 * task["share"][end == "rear"] * slope * stand.base / c[2]
        row["roll_centre"] = m.radius + m.axle.roll_centre(m.design)
        row["rest"] = m.axle.rest(m.design, m.z, 0.0)
        row["play"] = m.axle.play(m.design, m.z, 0.0, 0.1).tolist()
        row["swings"] = m.swings(m.design)
        row["grid"] = m.grid(task["heave"], task["roll"])
        out[end] = row
    middle = (movers["front"].design[0] + movers["rear"].design[0]) / 2
    out["belly"] = stand.seen(np.array([middle, 0, 0]))[2]
    return out


def main():
    tasks = json.load(sys.stdin)["documents"]
    json.dump([answer(t) for t in tasks], sys.stdout)


if __name__ == "__main__":
    main()
