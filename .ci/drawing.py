"""What a design file says, read by nobody's code but this: lengths, slopes, edges, limits, with the defaults that are written down here.

Aim: the drawing as numbers, metres. Reason: the judge of random roofs measures the model against it. Limits: only what the judge needs;
a default is compared with the one that findings.json names as being in force.
"""

import math
import re
import tomllib

import numpy as np
from shapely.geometry import Polygon, box

INCH = 0.0254
STEEL = 7850.0
# Defaults, inches, and the key under which findings.json names them.
DEFAULTS = {
    "membrane.thickness": 1 / 32, "lattice.tape.width": 2, "lattice.tape.thickness": 1 / 32, "lattice.tape.roll": 600,
    "lattice.strip.width": 1.5, "lattice.strip.height": 0.375, "lattice.strip.stock": 48, "lattice.strip.gap": 0,
    "lattice.strip.join_within": 1.5, "lattice.vent.width": 2, "lattice.vent.stock": 48, "lattice.batten.joint_gap": 1 / 16,
    "lattice.batten.lap": 12, "lattice.batten.least_piece": 48, "lattice.opening.clearance": 1, "lattice.opening.way_round": 3,
    "limits.tape_margin": 0.25, "limits.run": 24, "limits.end_run": 6, "limits.tolerance": 0.25, "limits.hair": 1 / 32, "limits.gap": 1 / 16,
    "lattice.hold_back.eave": 0, "lattice.hold_back.rake": 0, "lattice.hold_back.top": 1, "lattice.hold_back.hip": 1,
    "lattice.hold_back.valley": 3, "lattice.hold_back.wall": 0.5,
}
DENSITIES = {"tape": 1400.0, "strip": 250.0, "vent": 250.0, "batten": 457.0}


class Slope:
    """A slope: its outline, where it is in the world, its edges."""

    def __init__(self, name, facing, pitch, point, corners):
        self.name, self.facing, self.pitch, self.point = name, facing, pitch, np.array(point)
        self.corners = np.array(corners, dtype=float)
        self.drawn = self.corners
        self.openings, self.edges = [], []
        n = len(corners)
        for i in range(n):
            d = self.corners[(i + 1) % n] - self.corners[i]
            nx, ny = d[1] / np.hypot(*d), -d[0] / np.hypot(*d)
            kind = ("eave" if ny < 0 else "top") if abs(nx) < 0.02 else "rake" if abs(ny) < 0.02 else "hip" if ny > 0 else "valley"
            self.edges.append({"kind": kind, "cut": "square" if kind == "rake" else "plumb", "hold_back": None, "vent": kind in ("eave", "top"), "shared": None})

    def pose(self):
        """Turn (its columns are the axes along the eave, up the slope, outward) and place in the world."""
        f, p = self.facing, self.pitch
        out = np.array([math.sin(f), math.cos(f), 0.0])
        along = np.array([-out[1], out[0], 0.0])
        up = np.array([0, 0, 1.0])
        return np.stack([along, -out * math.cos(p) + up * math.sin(p), out * math.sin(p) + up * math.cos(p)], axis=1), self.point

    def outward(self, e):
        d = self.corners[(e + 1) % len(self.corners)] - self.corners[e]
        return np.array([d[1], -d[0]]) / np.hypot(*d)

    def shift(self, e, z):
        """How far outward the cut of an edge lies at a level."""
        cut, ny = self.edges[e]["cut"], self.outward(e)[1]
        return {"plumb": ny * z * math.tan(self.pitch), "level": -ny * z / math.tan(self.pitch), "square": 0.0}[cut]

    def moved_in(self, by):
        """The outline with each edge moved inward by `by(edge number)`, mitred."""
        n, lines = len(self.corners), []
        for e in range(n):
            normal = self.outward(e)
            lines.append((normal, normal @ self.corners[e] - by(e)))
        ring = []
        for e in range(n):
            (a, p), (b, q) = lines[e - 1], lines[e]
            det = a[0] * b[1] - a[1] * b[0]
            if abs(det) < 1e-9:
                # Two edges in one line: a step where their distances differ.
                ring.extend([self.corners[e] - a * by(e - 1 if e else n - 1), self.corners[e] - b * by(e)])
            else:
                ring.append(np.array([(p * b[1] - q * a[1]) / det, (a[0] * q - b[0] * p) / det]))
        return Polygon(ring)

    def polygon(self, z=0.0, keep=None):
        """What lies inside at a level, less what edges keep clear of."""
        back = lambda e: (keep(self.edges[e]) if keep else 0.0) - self.shift(e, z)
        return self.moved_in(back)


class Drawing:
    """A design file and what follows from it."""

    def __init__(self, text, metres, dressed):
        self.metres, self.dressed = metres, dressed
        self.design = tomllib.loads(text)
        d = self.design
        self.fastening = d["fastening"]
        self.diameter, self.length = metres(self.fastening["diameter"]), metres(self.fastening["length"])
        self.lattice = d["lattice"]
        self.slopes = {s.name: s for s in self._slopes()}
        self._edges()
        self._openings()
        self.width, self.thickness = self._batten()
        self.membrane = self.get("membrane.thickness")
        self.deck = metres(d["deck"]["thickness"]) if "deck" in d else 0.0
        tape, strip = self.get("lattice.tape.thickness"), self.get("lattice.strip.height")
        self.levels = {"tape": tape, "strip": tape + strip, "batten": tape + strip + self.thickness}

    def written(self, key):
        """What the file has under a dotted key; None where it has nothing."""
        at = self.design
        for word in key.split("."):
            at = at.get(word) if isinstance(at, dict) else None
            if at is None:
                return None
        return at

    def get(self, key):
        """A length, as written or by default."""
        written = self.written(key)
        if written is not None:
            return self.metres(written)
        by_diameter = {"limits.embedment": 10, "limits.edge_distance": 2.5, "limits.end_distance": 5 if self.fastening.get("predrilled") else 10, "fastening.head": 2}
        if key in by_diameter:
            return by_diameter[key] * self.diameter
        if key == "fastening.spread":
            return 0.75 * INCH if self.fastening.get("pattern") == "across" else self.width / 2
        if key == "lattice.vent.height":
            return self.get("lattice.strip.height")
        return DEFAULTS[key] * INCH

    def leeway(self, key):
        """How far a limit may be passed before it is told: a hair where nobody wrote it."""
        return 0.0 if self.written(key) is not None else self.get("limits.hair")

    def density(self, of):
        written = self.written(f"lattice.{of}.density")
        return float(re.match(r"[\d.]+", written)[0]) if written else DENSITIES[of]

    def angle(self, text):
        rise = re.fullmatch(r"\s*([\d.]+)\s*:\s*([\d.]+)\s*", text)
        return math.atan2(float(rise[1]), float(rise[2])) if rise else math.radians(float(text.replace("deg", "")))

    def _slopes(self):
        d, metres = self.design, self.metres
        if "roof" not in d:
            for s in d["slope"]:
                if "size" in s:
                    w, h = map(metres, s["size"])
                    ring = [(0, 0), (w, 0), (w, h), (0, h)]
                else:
                    ring = [tuple(map(metres, c)) for c in s["outline"]]
                yield Slope(s["name"], self.angle(s["facing"]), self.angle(s["pitch"]), [metres(v) for v in s["eave_point"]], ring)
            return
        roof = d["roof"]
        eave, pitch, facing = metres(roof["eave"]), self.angle(roof["pitch"]), self.angle(roof["facing"])
        height = metres(roof.get("eave_height", "0 m"))
        across = metres(roof["slope_length"] if roof["shape"] == "shed" else roof["width"])
        rise = across / 2 / math.cos(pitch)
        rectangle = lambda w, h: [(0, 0), (w, 0), (w, h), (0, h)]
        # The walk round the eaves, from the left end of the main one: each slope begins where the one before ends.
        if roof["shape"] == "shed":
            walk = [(0, across, rectangle(eave, across), 0)]
        elif roof["shape"] == "gable":
            walk = [(0, 0, rectangle(eave, rise), eave), (-1, 0, None, across), (-2, 0, rectangle(eave, rise), eave)]
        else:
            pyramid = eave - across < 2e-3
            long = [(0, 0), (eave, 0), (eave / 2, rise)] if pyramid else [(0, 0), (eave, 0), (eave - across / 2, rise), (across / 2, rise)]
            short = [(0, 0), (across, 0), (across / 2, rise)]
            walk = [(0, 0, long, eave), (-1, 0, short, across), (-2, 0, long, eave), (-3, 0, short, across)]
        at = np.array([0.0, 0.0, height])
        for quarter, _, ring, length in walk:
            f = facing + quarter * math.pi / 2
            if ring is not None:
                name = ["N", "NE", "E", "SE", "S", "SW", "W", "NW"][math.floor(math.degrees(f) % 360 / 45 + 0.5) % 8]
                yield Slope(name, f, pitch, at.copy(), ring)
            at += length * np.array([-math.cos(f), math.sin(f), 0.0])

    def _edges(self):
        for table in self.design.get("edge", []):
            name, number = table["edge"].rsplit(".", 1)
            edge = self.slopes[name].edges[int(number) - 1]
            for key in ("cut", "vent", "kind"):
                if key in table:
                    edge[key] = table[key]
            if "hold_back" in table:
                edge["hold_back"] = self.metres(table["hold_back"])
        for slope in self.slopes.values():
            for edge in slope.edges:
                if edge["hold_back"] is None:
                    edge["hold_back"] = self.get(f"lattice.hold_back.{edge['kind']}")

    def _openings(self):
        holes = {o["name"]: o for o in self.design.get("opening", [])}
        for found in self.design.get("found", {}).get("opening", []):
            holes[found["name"]] = {**holes[found["name"]], **found}
        only = next(iter(self.slopes))
        for o in holes.values():
            (x, y), (w, h) = map(self.metres, o["at"]), map(self.metres, o["size"])
            self.slopes[o.get("slope", only)].openings.append(box(x, y, x + w, y + h))
        for found in self.design.get("found", {}).get("slope", []):
            slope = self.slopes[found["name"]]
            w, h = map(self.metres, found["size"])
            slope.corners = np.array([(0, 0), (w, 0), (w, h), (0, h)])

    def _batten(self):
        b = self.lattice["batten"]
        if "nominal" in b:
            return self.dressed(b["nominal"])
        return self.metres(b["width"]), self.metres(b["thickness"])

    def is_laid(self, what, slope):
        return any(what in l["what"] and slope in l.get("slopes", self.slopes) for l in self.design.get("laid", []))
