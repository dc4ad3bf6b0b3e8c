# Reads the DXF files that it is given with ezdxf and prints what is in them as JSON:
# version and unit, what an audit finds wrong, and every line as points at most
# 0.0005 drawing units from its arcs.
import json
import sys

import ezdxf
from ezdxf import path


def read(name):
    doc = ezdxf.readfile(name)
    audit = doc.audit()
    lines = []
    for e in doc.modelspace():
        light = e.dxftype() == "LWPOLYLINE"
        lines.append({
            "kind": e.dxftype(),
            "layer": e.dxf.layer,
            "closed": bool(e.closed if light else e.is_closed),
            "vertices": len(e if light else e.vertices),
            "points": [(p.x, p.y) for p in path.make_path(e).flattening(0.0005)],
        })
    return {
        "version": doc.dxfversion,
        "units": doc.header.get("$INSUNITS", 0),
        "wrong": [x.message for x in audit.errors + audit.fixes],
        "layers": [layer.dxf.name for layer in doc.layers],
        "lines": lines,
    }


json.dump([read(name) for name in sys.argv[1:]], sys.stdout)
