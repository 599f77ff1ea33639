"""Reads a DXF file with ezdxf, audits it, and prints what is on it as JSON: units, layers, and every entity with its length in mm."""
import json
import sys

import ezdxf
from ezdxf import path

doc = ezdxf.readfile(sys.argv[1])
audit = doc.audit()
out = {
    "version": doc.dxfversion,
    "units": doc.units,
    "errors": [e.message for e in audit.errors],
    "fixes": [e.message for e in audit.fixes],
    "layers": [layer.dxf.name for layer in doc.layers],
    "entities": [],
}

def flattened():
    """Everything on the sheet; of a dimension itself, and then what its picture is made of."""
    for e in doc.modelspace():
        yield e
        if e.dxftype() == "DIMENSION":
            yield from e.virtual_entities()


for e in flattened():
    row = {"kind": e.dxftype(), "layer": e.dxf.layer, "text": "", "length": 0.0, "box": []}
    if e.dxftype() == "TEXT":
        row["text"] = e.plain_text()
        row["length"] = e.dxf.height
    elif e.dxftype() == "DIMENSION":
        row["text"] = e.dxf.text
        row["length"] = float(e.get_measurement())
    elif e.dxftype() in ("LINE", "CIRCLE", "ARC", "POLYLINE"):
        points = list(path.make_path(e).flattening(1e-4, segments=64))
        row["length"] = sum(a.distance(b) for a, b in zip(points, points[1:]))
        xs, ys = [p.x for p in points], [p.y for p in points]
        row["box"] = [min(xs), min(ys), max(xs), max(ys)]
    out["entities"].append(row)
json.dump(out, sys.stdout)
