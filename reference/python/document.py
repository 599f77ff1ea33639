"""Reads a rig document a second way: bases merged, items filled in, frames multiplied out, twins mirrored, lengths added.

Homogeneous 4×4 matrices throughout, and the moments of shapes by cubature points instead of handbook formulas, so that little is
shared with the program but the format itself. Units: mm, kg, rad.
"""
import re

import numpy as np

UNITS = {
    "length": {"": 1, "mm": 1, "cm": 10, "m": 1000, "in": 25.4},
    "mass": {"": 0.001, "g": 0.001, "kg": 1, "oz": 0.028349523125, "lb": 0.45359237},
    "angle": {"": np.pi / 180, "deg": np.pi / 180, "°": np.pi / 180, "rad": 1},
    "share": {"": 1, "%": 0.01},
}
PITCH = {"M2": 0.4, "M2.5": 0.45, "M3": 0.5, "M4": 0.7, "M5": 0.8}  # ISO 261, coarse
MIRROR = np.diag([1.0, -1.0, 1.0, 1.0])


def value(v, kind="length"):
    if isinstance(v, (int, float)):
        return v * UNITS[kind][""]
    number, unit = re.fullmatch(r"\s*([-+0-9.eE]+)\s*(\S*)\s*", v).groups()
    return float(number) * UNITS[kind][unit]


def vector(v):
    return np.array([value(x) for x in v]) if v is not None else np.zeros(3)


def merge(target, patch):
    """RFC 7396, section 2."""
    if not isinstance(patch, dict):
        return patch
    out = dict(target) if isinstance(target, dict) else {}
    for k, v in patch.items():
        if v is None:
            out.pop(k, None)
        else:
            out[k] = merge(out.get(k), v)
    return out


def rotation(turn):
    if turn is None:
        return np.eye(3)
    roll, pitch, yaw = (value(x, "angle") for x in turn)
    c, s = np.cos, np.sin
    x = np.array([[1, 0, 0], [0, c(roll), -s(roll)], [0, s(roll), c(roll)]])
    y = np.array([[c(pitch), 0, s(pitch)], [0, 1, 0], [-s(pitch), 0, c(pitch)]])
    z = np.array([[c(yaw), -s(yaw), 0], [s(yaw), c(yaw), 0], [0, 0, 1]])
    return z @ y @ x


def placement(at, turn=None):
    out = np.eye(4)
    out[:3, :3], out[:3, 3] = rotation(turn), vector(at)
    return out


def apply(m, v):
    return m[:3, :3] @ v + m[:3, 3]


def along_x(d):
    """Any rotation that takes x to d; shapes with an axis are round about it."""
    d = d / np.linalg.norm(d)
    other = np.eye(3)[np.argmin(np.abs(d))]
    y = np.cross(other, d)
    y /= np.linalg.norm(y)
    out = np.eye(4)
    out[:3, :3] = np.column_stack([d, y, np.cross(d, y)])
    return out


# ── Cubature: points and weights that integrate 1, x and xy over a body exactly ───────────────────────────────────────────────

def gauss(n, a, b):
    x, w = np.polynomial.legendre.leggauss(n)
    return (a + b) / 2 + (b - a) / 2 * x, (b - a) / 2 * w


def disc(r):
    """Four points integrate quadratics over a disc of radius r in the y–z plane: Stroud, S2 3-1."""
    t = np.pi / 2 * np.arange(4) + 0.3
    return r / np.sqrt(2) * np.column_stack([np.cos(t), np.sin(t)]), np.full(4, np.pi * r * r / 4)


def revolved(x, w, radius):
    points, weights = [], []
    for xi, wi, ri in zip(x, w, radius):
        p, v = disc(ri)
        points += [[xi, *q] for q in p]
        weights += list(wi * v)
    return np.array(points), np.array(weights)


def cubature(shape):
    place = placement(shape.get("at"), shape.get("turn"))
    if "box" in shape:
        size = vector(shape["box"]) / 2
        x, w = gauss(2, -1, 1)
        p = np.array([[a, b, c] for a in x for b in x for c in x]) * size
        v = np.full(8, size.prod())
    elif "cylinder" in shape:
        c = shape["cylinder"]
        half, r = value(c["length"]) / 2, value(c["diameter"]) / 2
        x, w = gauss(2, -half, half)
        p, v = revolved(x, w, [r, r])
        place = place @ along_x(np.array(c.get("axis", [1, 0, 0]), float))
    elif "capsule" in shape:
        c = shape["capsule"]
        a, b, r = vector(c["from"]), vector(c["to"]), value(c["diameter"]) / 2
        half = np.linalg.norm(b - a) / 2
        parts = [(x, w, np.full(len(x), r)) for x, w in [gauss(2, -half, half)]]
        for lo, hi, centre in ((-half - r, -half, -half), (half, half + r, half)):
            x, w = gauss(4, lo, hi)
            parts.append((x, w, np.sqrt(r * r - (x - centre) ** 2)))
        p, v = revolved(*(np.concatenate(q) for q in zip(*parts)))
        middle = np.eye(4)
        middle[:3, 3] = (a + b) / 2
        place = place @ middle @ along_x(b - a)
    elif "plate" in shape:
        c = shape["plate"]
        z, w = gauss(2, -value(c["thickness"]) / 2, value(c["thickness"]) / 2)
        corners = np.array([[value(u) for u in q] for q in c["outline"]])
        p, v = [], []
        for q, r in zip(corners[1:-1], corners[2:]):  # triangles from the first corner; those turned over count negative
            o = corners[0]
            area = ((q[0] - o[0]) * (r[1] - o[1]) - (q[1] - o[1]) * (r[0] - o[0])) / 2
            for m in ((o + q) / 2, (q + r) / 2, (r + o) / 2):
                for zi, wi in zip(z, w):
                    p.append([*m, zi])
                    v.append(area / 3 * wi)
        p, v = np.array(p), np.array(v)
        v *= np.sign(v.sum())
    else:
        raise ValueError(f"found a shape with {sorted(shape)}, expected box, cylinder, capsule or plate: teach it to this reader")
    return p @ place[:3, :3].T + place[:3, 3], v


def tensor(points, weights, about):
    d = points - about
    return np.einsum("i,ijk->jk", weights, np.einsum("ij,ij->i", d, d)[:, None, None] * np.eye(3) - np.einsum("ij,ik->ijk", d, d))


# ── The document ───────────────────────────────────────────────────────────────────────────────────────────────────────────────

class Document:
    def __init__(self, files, name):
        self.files = files
        chain = [files[name]]
        while chain[-1].get("base"):
            chain.append(files[chain[-1]["base"]])
        self.chain = chain[::-1]  # far to near
        tree = {}
        for layer in self.chain:
            tree = merge(tree, layer)
        self.tree = tree
        self.items = {}
        for name in tree.get("bins", []):
            for id, item in files[name].get("items", {}).items():
                self.items.setdefault(id, item)
        self.bodies, self.holes, self.outputs, self.frames = [], {}, {}, {}
        self.assembly("chassis", lambda layer: layer.get("chassis"))
        for end in ("front", "rear"):
            if end in tree:
                self.assembly(end, lambda layer: layer.get(end))
        self.links = [one for name, l in tree.get("links", {}).items() for one in self.link(name, l)]
        self.shocks = [one for name in tree.get("shocks", {}) for one in self.shock(name)]
        self.shafts = [self.shaft(name) for name in tree.get("shafts", {})]
        self.steering = list(self.steer(tree.get("steer", {})))

    def filled(self, merged, fields, layers):
        """An entry with the fields of its bin item below what every layer wrote of it."""
        if "item" not in merged:
            return merged
        out = fields(self.items[merged["item"]])
        for patch in layers:
            if patch is not None:
                out = merge(out, patch)
        return out

    def assembly(self, name, of):
        where = self.tree.get(name, {}).get("parts", {})
        parts = {}
        for part, merged in where.items():
            layers = [((of(layer) or {}).get("parts") or {}).get(part) for layer in self.chain]
            parts[part] = self.filled(merged, dict, layers)

        def frame(part):
            p = parts[part]
            own = placement(p.get("at"), p.get("turn"))
            return frame(p["on"]) @ own if "on" in p else own

        for part, p in parts.items():
            m = frame(part)
            self.frames[part] = (name, m)
            twins = [(m, "")]
            if p.get("pair"):
                side = "left" if m[1, 3] >= 0 else "right"
                twins = [(m, side), (MIRROR @ m, {"left": "right", "right": "left"}[side])]
            for m, side in twins:
                self.body(name, part, p, m, side)

    def body(self, carrier, name, p, m, side):
        clouds = [cubature(s) for s in p.get("shape", [])]
        tyre = p.get("tyre")
        if tyre:
            x, w = gauss(2, -value(tyre.get("width", 0)) / 2, value(tyre.get("width", 0)) / 2)
            r = value(tyre["diameter"]) / 2
            q, v = revolved(x, w, [r, r])
            clouds.append((q @ along_x(np.array([0.0, 1.0, 0.0]))[:3, :3].T, v))
        inertia, middle = np.zeros((3, 3)), np.zeros(3)
        volume = sum(v.sum() for _, v in clouds)
        if volume > 0:
            points, weights = np.concatenate([q for q, _ in clouds]), np.concatenate([v for _, v in clouds]) / volume
            middle = weights @ points
            points = points @ m[:3, :3].T + m[:3, 3]
            inertia = tensor(points, weights, weights @ points)
        cg = vector(p["cg"]) if "cg" in p else middle
        mass = value(p["mass"], "mass") if "mass" in p else None
        self.bodies.append(dict(carrier=carrier, name=name, side=side, mass=mass, cg=apply(m, cg), inertia=inertia * (mass or 0), tyre=tyre, at=m[:3, 3]))
        for hole, h in p.get("holes", {}).items():
            at = apply(m, vector(h["at"]))
            axis = m[:3, :3] @ np.array(h.get("axis", [0, 0, 0]), float)
            one = np.array([at, axis])
            places = {side: one}
            if not side and h.get("pair"):
                places = {"left": one, "right": one * [1, -1, 1]} if at[1] >= 0 else {"right": one, "left": one * [1, -1, 1]}
            self.holes.setdefault(f"{name}/{hole}", (carrier, {}))[1].update(places)
        for out, o in p.get("outputs", {}).items():
            if side != "right" or not p.get("pair"):
                axis = m[:3, :3] @ np.array(o["axis"], float)
                self.outputs[f"{name}/{out}"] = (carrier, apply(m, vector(o["at"])), axis / np.linalg.norm(axis))

    def hole(self, ref, side):
        """Carrier, place and bolt axis of a hole."""
        carrier, places = self.holes[ref]
        return carrier, *places[side if side in places else "left" if "left" in places else ""]

    def weight(self, l):
        """Of a link or a rod of the steering: as written, or rod and ends together."""
        mass = value(l["mass"], "mass") if "mass" in l else None
        if mass is None and "item" in l.get("rod", {}):
            each = [self.items[i].get("mass") for i in [l["rod"]["item"], *l.get("ends", [])]]
            mass = None if None in each else sum(value(m, "mass") for m in each)
        return mass

    def steer(self, s):
        """Tie rod and drag link that have a weight: carriers and places of their two ends."""
        tie, drag = s.get("tie_rod"), s.get("drag_link")
        if isinstance(tie, dict) and self.weight(tie) is not None and "arm" in s:
            arm = vector(s["arm"])
            yield dict(name="tie rod", mass=self.weight(tie), ends=[("front", arm), ("front", arm * [1, -1, 1])])
        if drag and self.weight(drag) is not None and "horn" in s:
            carrier, m = self.frames[s["servo"]]
            yield dict(name="drag link", mass=self.weight(drag), ends=[(carrier, apply(m, vector(s["horn"]["eye"]))), ("front", vector(drag["to"]))])

    def link(self, name, l):
        if "length" in l:
            length = value(l["length"])
        else:
            rod = l["rod"]
            length = value(rod["length"]) if "length" in rod else value(self.items[rod["item"]]["rod"]["length"])
            for end in l.get("ends", []):
                length += value(self.items[end]["end"]["adds"])
            if l.get("turns"):
                length += l["turns"] * PITCH[self.items[l["ends"][0]]["end"]["thread"]]
        mass = self.weight(l)
        for side in ("left", "right") if l.get("pair") else ("",):
            (_, eye, bolt), (_, far, far_bolt) = self.hole(l["from"], side), self.hole(l["to"], side)
            yield dict(name=name, side=side, axle=l["axle"], eye=eye, far=far, bolt=bolt, far_bolt=far_bolt, length=length, mass=mass)

    def entry(self, kind, name, fields):
        layers = [(layer.get(kind) or {}).get(name) for layer in self.chain]

        def supplied(item):
            out = dict(item.get(fields, {}))
            if "mass" in item:
                out["mass"] = item["mass"]
            return out
        return self.filled(self.tree[kind][name], supplied, layers)

    def shock(self, name):
        s = self.entry("shocks", name, "shock")
        for side in ("left", "right") if s.get("pair") else ("",):
            ends = []
            for ref in (s["top"], s["bottom"]):
                if ref in self.holes:
                    ends.append(self.hole(ref, side))
                    continue
                link, hole = ref.rsplit("/", 1)
                h = self.tree["links"][link]["holes"][hole]
                index = next(i for i, l in enumerate(self.links) if l["name"] == link and l["side"] in (side, ""))
                ends.append(("link", index, value(h["along"]), value(h.get("rise", 0))))
            yield dict(name=name, side=side, axle=s["axle"], top=ends[0], bottom=ends[1], set=value(s["set"]) if "set" in s else None,
                       open=value(s["open"]) if "open" in s else None, closed=value(s["closed"]) if "closed" in s else None,
                       mass=value(s["mass"], "mass") if "mass" in s else None)

    def shaft(self, name):
        s = self.entry("shafts", name, "shaft")
        _, a, out = self.outputs[s["from"]]
        end, b, into = self.outputs[s["to"]]
        return dict(name=name, axle=end, start=a, out=out, end=b, into=into, mass=value(s["mass"], "mass") if "mass" in s else None)

    def axle(self, end):
        """Near, loaded tyre radius, half track and pinion axis of an axle."""
        a = self.tree[end]
        radius = half = None
        pinion = np.array([-1.0 if end == "front" else 1.0, 0, 0])
        for b in self.bodies:
            if b["carrier"] == end and b["tyre"] and radius is None:
                t = b["tyre"]
                radius = value(t["loaded_radius"]) if "loaded_radius" in t else value(t["diameter"]) / 2
                half = abs(b["at"][1])
        outputs = [axis for carrier, _, axis in self.outputs.values() if carrier == end]
        ride = a.get("ride_height", self.tree.get("ride_height"))
        return vector(a.get("near")), radius, half, outputs[0] if outputs else pinion, value(ride) if ride is not None else None
