"""Recomputes aim windows from the exported model, by libraries that Airlath does not use (trimesh, shapely, numpy).

use: check-marks.py FOLDER DESIGN.toml      FOLDER holds model.glb and findings.json of a build, windows.json and marks.csv of marks

For every fastener places are sampled round its windows, from one seed. A place in the square window must meet every
condition on the solids of the model, a place outside must fail one; a place in the sure window must meet them at tilts
of the hand in several directions. Backing and edge distance are measured on the members' triangles (check-model.py);
tape, board and straps are seen from above as shapely polygons. Places nearer than BORDER to a window's border are left
out; so are those where a leaning end makes the two ways of measuring differ (square to the axis, square to the face).
"""

import csv
import importlib.util
import json
import math
import pathlib
import sys
import tomllib

import numpy as np
import shapely
from shapely.geometry import MultiPoint, Point, Polygon
from shapely.ops import unary_union

spec = importlib.util.spec_from_file_location("check_model", pathlib.Path(__file__).with_name("check-model.py"))
model = importlib.util.module_from_spec(spec)
spec.loader.exec_module(model)

BORDER = 1e-4
SEED = 11
PLACES = 10
OUTSIDE = 0.008


def limit(design, findings, table, key, default):
    written = design.get(table, {}).get(key)
    return model.metres(written) if written is not None else default


def levels(part, to_slope):
    """The part seen from above the slope: its polygon, and its low and high z."""
    corners = part.form.corners @ to_slope[:3, :3].T + to_slope[:3, 3]
    t = corners[part.form.faces]
    normal = np.cross(t[:, 1] - t[:, 0], t[:, 2] - t[:, 0])
    up = normal[:, 2] > 1e-3 * np.linalg.norm(normal, axis=1)
    faces = [Polygon(x[:, :2]) for x in t[up]]
    return unary_union([f.buffer(0) for f in faces if f.area > 1e-12]).buffer(1e-7).buffer(-1e-7), corners


class Slope:
    """What lies on one slope, in its coordinates."""

    def __init__(self, name, parts, members):
        mine = [p for p in parts if p.branch == name]
        any_part = mine[0]
        self.to_world = any_part.to_world @ np.linalg.inv(any_part.to_branch)
        self.of = {}
        for p in mine:
            if p.kind in ("tape", "batten", "strap"):
                shape, corners = levels(p, p.to_branch)
                self.of.setdefault(p.kind, []).append((p, shape, corners))
        self.members = members


def main(folder, design_path):
    report = model.Report()
    folder = pathlib.Path(folder)
    design = tomllib.loads(pathlib.Path(design_path).read_text(encoding="utf-8"))
    findings = json.loads((folder / "findings.json").read_text(encoding="utf-8"))
    windows = json.loads((folder / "windows.json").read_text(encoding="utf-8"))
    if windows["fingerprint"] != findings["fingerprint"]:
        report.fault("windows.json and findings.json are of two plans")
    parts, forms = model.read_glb(folder / "model.glb", report)
    for form in forms.values():
        form.shells = model.shells(form)
    members = [model.MemberMesh(p, report) for p in parts if p.layer == "framing"]
    landings = {landing["name"]: landing for landing in findings["landings"]}
    slopes = {name: Slope(name, parts, members) for name in sorted({w["slope"] for w in windows["windows"]})}

    diameter = model.metres(design["fastening"]["diameter"])
    length = model.metres(design["fastening"]["length"])
    predrilled = design["fastening"].get("predrilled", False)
    asked = model.required(findings, design, diameter, report)
    edge = max(diameter / 2, limit(design, findings, "limits", "edge_distance", 2.5 * diameter))
    end = limit(design, findings, "limits", "end_distance", (5 if predrilled else 10) * diameter)
    tape = limit(design, findings, "limits", "tape_margin", 0.25 * model.INCH) + diameter / 2
    half_spacing = windows["spacing"] / 2
    middle = {n: np.mean([m["planned"] for m in windows["windows"] if m["landing"] == n], axis=0) for n in landings}
    of_piece = {}
    for n, landing in landings.items():
        of_piece.setdefault(landing["piece"], []).append(middle[n][0])

    # The table of the same windows: plus is to the right and up, in figures and in words.
    with (folder / "marks.csv").open(encoding="utf-8", newline="") as table:
        rows = list(csv.DictReader(table))
    if len(rows) != len(windows["windows"]):
        report.fault(f"marks.csv has {len(rows)} rows for {len(windows['windows'])} windows")
    for row, w in zip(rows, windows["windows"]):
        figures = [row[c] for c in ("from_m (+ right)", "to_m (+ right)", "low_m (+ up)", "high_m (+ up)")]
        told = w["mark"]["across"] + w["mark"]["up"] if w["mark"] else []
        if row["landing"] != w["landing"] or not np.allclose([float(f) for f in figures if f], told, atol=1e-6):
            report.fault(f"marks.csv has {figures} for {w['landing']}, windows.json {told}")
        for column, across in zip(("from", "to"), told):
            word = "left" if across < 0 else "right" if across > 0 else "middle"
            if not row[column].endswith(word):
                report.fault(f"marks.csv says {row[column]!r} of {across} at {w['landing']}")

    draws = np.random.default_rng(SEED)
    counts = {"inside": 0, "outside": 0, "sure": 0, "left out": 0}

    def member_room(slope, head, along):
        """Best of the members: (least, most) room less what is asked; most is square to the axis, least to the face."""
        world_head = slope.to_world[:3, :3] @ head + slope.to_world[:3, 3]
        world_along = slope.to_world[:3, :3] @ along
        best = (-np.inf, -np.inf)
        for m in slope.members:
            turn, place = m.back[:3, :3], m.back[:3, 3]
            h, d = turn @ world_head + place, turn @ world_along
            tip = h + d * length
            if not ((np.minimum(h, tip) - 0.02 <= m.high) & (np.maximum(h, tip) + 0.02 >= m.low)).all():
                continue
            chord = m.chord(m.crossings(h[None], d[None])[0], h, d)
            if chord is None or chord == "odd":
                continue
            enter, leave = chord[0], min(chord[1], length)
            if enter < -1e-6 or leave - enter < asked - 2e-6:
                continue
            room = m.clearance(h, d, enter + 1e-9, enter + asked)
            best = max(best, (room * m.upright - edge, room - edge))
        return best

    def steel(slope, p, lean, top):
        """Least distance to a strap's steel or a nail's side less the shank's radius."""
        least = np.inf
        for part, shape, corners in slope.of.get("strap", []):
            if shape.distance(Point(p)) > 0.3:
                continue
            z = np.unique(np.round(corners[:, 2], 7))
            zs = sorted(z)[::-1]
            plate = corners[np.abs(corners[:, 2] - zs[0]) < 1e-6]
            box = MultiPoint(plate[:, :2]).envelope
            for depth in (top - zs[0], top - zs[1]):
                least = min(least, box.distance(Point(p + lean * depth)) - diameter / 2)
            tips = corners[np.abs(corners[:, 2] - zs[-1]) < 1e-6][:, :2]
            for ring in tips.reshape(-1, 6, 2) if len(tips) % 6 == 0 else []:
                centre = ring.mean(axis=0)
                radius = np.linalg.norm(ring - centre, axis=1).mean()
                for depth in np.linspace(top - zs[0], min(length, top - zs[-1]), 5):
                    least = min(least, float(np.linalg.norm(p + lean * depth - centre)) - radius - diameter / 2)
        return least

    def meets(slope, w, piece, p, lean):
        """Whether a shank from this place meets every condition: True, False, or None where it cannot be told."""
        part, board, corners = next(b for b in slope.of["batten"] if b[0].name == piece)
        top, thick = corners[:, 2].max(), np.ptp(corners[:, 2])
        for depth in (0.0, thick):
            q = p + lean * depth
            for dx, dy in ((-end, 0), (end, 0), (0, -edge), (0, edge)):
                if not board.covers(Point(q[0] + dx, q[1] + dy)):
                    return False
        heights = [(shape, corners[:, 2].min(), corners[:, 2].max()) for _, shape, corners in slope.of["tape"] if shape.distance(Point(p)) < 0.1]
        inner = [all(shape.buffer(-tape, join_style="mitre").covers(Point(p + lean * (top - z))) for z in (low, high)) for shape, low, high in heights]
        if not any(inner):
            return False
        if steel(slope, p, lean, top) < 0:
            return False
        own = np.array(w["planned"])
        for other in [m for m in by_landing[w["landing"]] if m["fastener"] != w["fastener"]]:
            to = np.array(other["planned"]) - own
            if (p - (own + np.array(other["planned"])) / 2) @ to / np.linalg.norm(to) > -half_spacing:
                return False
        along = np.array([lean[0], lean[1], -1.0])
        least, most = member_room(slope, np.array([p[0], p[1], top]), along / np.linalg.norm(along))
        if least >= -1e-6:
            return True
        return False if most < 0 else None

    by_landing = {}
    for w in windows["windows"]:
        by_landing.setdefault(w["landing"], []).append(w)

    for w in windows["windows"]:
        slope = slopes[w["slope"]]
        landing = landings[w["landing"]]
        square = unary_union([Polygon(s[0], s[1:]) for s in w["square"]])
        sure = unary_union([Polygon(s[0], s[1:]) for s in w["sure"]])
        if not sure.is_empty and not square.buffer(1e-7).covers(sure):
            report.fault(f"{w['landing']}: the sure window is not inside the square one")
        x0, y0, x1, y1 = square.bounds if not square.is_empty else (w["planned"][0], w["planned"][1]) * 2
        here = middle[w["landing"]][0]
        others = [x for x in of_piece[landing["piece"]] if abs(x - here) > 1e-9]
        left = max([here - 0.1524] + [(x + here) / 2 for x in others if x < here])
        right = min([here + 0.1524] + [(x + here) / 2 for x in others if x > here])
        for p in draws.uniform((x0 - OUTSIDE, y0 - OUTSIDE), (x1 + OUTSIDE, y1 + OUTSIDE), (PLACES, 2)):
            if not left + BORDER < p[0] < right - BORDER or (not square.is_empty and square.boundary.distance(Point(p)) < BORDER):
                counts["left out"] += 1
                continue
            inside = square.covers(Point(p))
            found = meets(slope, w, landing["piece"], p, np.zeros(2))
            if found is None:
                counts["left out"] += 1
                continue
            counts["inside" if inside else "outside"] += 1
            if found != inside:
                report.fault(f"{w['landing']} fastener {w['fastener']} at {p}: {'in' if inside else 'outside'} the square window, from the model it {'meets' if found else 'fails'}")
        if sure.is_empty:
            continue
        marks = w["mark"]
        if marks:
            box = shapely.box(w["centre"] + marks["across"][0], w["edge"] + marks["up"][0], w["centre"] + marks["across"][1], w["edge"] + marks["up"][1])
            if not sure.buffer(1e-8).covers(box):
                report.fault(f"{w['landing']} fastener {w['fastener']}: marks outside the window")
        x0, y0, x1, y1 = sure.bounds
        for k, p in enumerate(draws.uniform((x0, y0), (x1, y1), (4, 2))):
            if not sure.buffer(-1e-6).covers(Point(p)):
                continue
            turn = draws.uniform(0, 2 * math.pi)
            lean = math.tan(windows["tilt"]) * np.array([math.cos(turn), math.sin(turn)]) * (1.0 if k < 3 else 0.5)
            found = meets(slope, w, landing["piece"], p, lean)
            counts["left out" if found is None else "sure"] += 1
            if found is False:
                report.fault(f"{w['landing']} fastener {w['fastener']} at {p}: in the sure window, fails at lean {lean}")
    if counts["inside"] < 100 or counts["outside"] < 100 or counts["sure"] < 100:
        report.fault(f"too little was compared: {counts}")
    report.done(
        f"windows: {len(windows['windows'])}; {counts['inside']} places inside all pass, {counts['outside']} outside all fail, "
        f"{counts['sure']} in sure windows pass leaning; {counts['left out']} left out at borders"
    )
    if report.faults:
        print(f"  {report.faults} differences")
    return 1 if report.faults else 0


if __name__ == "__main__":
    if len(sys.argv) != 3:
        sys.exit("use: check-marks.py FOLDER DESIGN.toml")
    sys.exit(main(sys.argv[1], sys.argv[2]))
