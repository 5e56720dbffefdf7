"""What is true of the framing, of straps and of sums, and where findings.json and quantities.csv say otherwise.

Aim, reason, limits and frames: see judging.py and judge-roofs.py.
"""

import collections
import math

import numpy as np
from manifold3d import Manifold

from drawing import STEEL
from judging import CLOSE, SAME, nails_of
from judging_lattice import grain, middle


def framing(roof):
    """Rafters stand where their field says, bent where they were found bent; members in the world lie on their lines, rolled as asked."""
    d = roof.drawing
    found = {m["name"]: m for m in d.design.get("found", {}).get("member", [])}
    trimmed = {o.get("slope", next(iter(d.slopes))) for o in d.design.get("opening", []) if any(t["opening"] == o["name"] for t in d.design.get("trim", []))}
    for name, slope in d.slopes.items():
        if name in trimmed:
            continue
        expected = []
        for field in d.design.get("rafters", []):
            if name in field.get("slopes", d.slopes):
                first, step = d.metres(field["first"]), d.metres(field["spacing"])
                right = slope.drawn[:, 0].max()
                last = d.metres(field["last"]) if "last" in field else right
                xs = [first + k * step for k in range(int((last - first) / step + 1e-9) + 1)]
                # One so near to the last of the row that it would stand in it is left out.
                if field.get("close") and last - xs[-1] > 0.01:
                    xs.append(last)
                expected += xs
                wide = section(d, field["section"])[0]
        rafters = [p for p in roof.of[name, "framing"] if p.kind == "rafter" and p.name[-1].isdigit()]
        straight = [p for p in rafters if p.name not in found]
        for p in straight:
            x = (p.low[0] + p.high[0]) / 2
            # Where an edge cuts it aslant all along, its middle does not show.
            if np.ptp(p.corners[:, 0]) < wide - 2e-6 or abs(middle(p, (p.low[1] + p.high[1]) / 2) - x) > 1e-4:
                continue
            roof.counts["rafters in place"] += 1
            if min(abs(x - e) for e in expected) > CLOSE:
                roof.tell(f"framing: {p.name} stands at {x:.6f}, its field has {[round(e, 6) for e in expected]}")
        rectangle = len(slope.drawn) == 4 and {e["kind"] for e in slope.edges} == {"eave", "top", "rake"}
        if rectangle:
            missing = sum(m.get("missing", False) for n, m in found.items() if n.startswith(f"{name}-R"))
            inside = [e for e in expected if -0.02 < e < slope.drawn[:, 0].max() + 0.02]
            if len(rafters) != len(inside) - missing:
                roof.tell(f"framing: {len(rafters)} rafters on {name}, the field has {len(inside)}, {missing} are missing")
            for p in rafters:
                table = found.get(p.name)
                if not table or "offsets" not in table:
                    continue
                number = int(p.name.rsplit("R", 1)[1]) - 1
                x, low = sorted(expected)[number], 0.0
                for field in d.design["rafters"]:
                    if name in field.get("slopes", d.slopes) and "low" in field:
                        low = d.metres(field["low"]) - d.metres(field.get("cantilever", "0 m"))
                for o in table["offsets"]:
                    y, wanted = low + d.metres(o["at"]), x + d.metres(o["off"])
                    ring = [m for m in (middle(p, y + 1e-5), middle(p, y - 1e-5)) if not math.isnan(m)]
                    if ring:
                        roof.counts["found offsets"] += 1
                        if min(abs(r - wanted) for r in ring) > 1e-5:
                            roof.tell(f"framing: {p.name} at {y:.4f} has its middle at {ring}, found at {wanted:.6f}")
    worlds = [m for m in d.design.get("member", []) if "slope" not in m]
    parts = {k: [p for p in roof.of["building", "framing"] if p.kind == k] for k in {m["kind"] for m in worlds}}
    for kind, made in parts.items():
        tables = [m for m in worlds if m["kind"] == kind]
        for p, m in zip(sorted(made, key=lambda p: p.name), tables):
            a, b = (np.array([d.metres(v) for v in m[k]]) for k in ("from", "to"))
            along = (b - a) / np.linalg.norm(b - a)
            side = np.cross(along, [0, 0, 1.0])
            side /= np.linalg.norm(side)
            up = np.cross(side, along)
            roll = d.angle(m["roll"]) if "roll" in m else 0.0
            # Right-handed about the line.
            s, u = side * math.cos(roll) - up * math.sin(roll), up * math.cos(roll) + side * math.sin(roll)
            own = (p.corners - a) @ np.stack([s, along, u], axis=1)
            wide, deep = section(d, m["section"])
            bounds = np.array([[-wide / 2, 0, -deep], [wide / 2, np.linalg.norm(b - a), 0]])
            roof.counts["members in the world"] += 1
            if np.abs(np.stack([own.min(axis=0), own.max(axis=0)]) - bounds).max() > 5e-6:
                roof.tell(f"framing: {p.name} lies from {own.min(axis=0)} to {own.max(axis=0)} about its line, asked are {bounds.tolist()}")


def section(d, table):
    wide, deep = (d.metres(table["width"]), d.metres(table["depth"])) if "width" in table else reversed(d.dressed(table["nominal"]))
    return (deep, wide) if table.get("flat") else (wide, deep)


def straps(roof):
    """Each strap has the nails of its field, where the field says; the lists have every one of them."""
    d = roof.drawing
    listed = collections.defaultdict(list)
    for p in roof.findings["penetrations"]:
        if p["kind"] == "strap nail":
            listed[p["strap"]].append(p)
    for slope in d.slopes:
        here = roof.of[slope, "straps"]
        fields = [f for f in d.design.get("straps", []) if slope in f.get("slopes", d.slopes)]
        if not fields:
            continue
        field = fields[0]
        low, high, end = d.metres(field["low"]), d.metres(field["high"]), d.metres(field["nails"]["end"])
        step, seam, gap = d.metres(field["nails"]["spacing"]), d.metres(field["seam"]), d.metres(field["gap"]) / 2
        stagger = d.metres(field["nails"]["stagger"])
        tails = [p for p in roof.of[slope, "framing"] if p.kind == "tail"]
        found = "found" in d.design
        if len(here) != len(tails):
            roof.tell(f"straps: {len(here)} straps for {len(tails)} tails on {slope}")
        for strap in here:
            steel = next(strap.corners[s] for s in strap.form.shells if len(s) == 8)
            x = (steel[:, 0].min() + steel[:, 0].max()) / 2
            wanted = []
            for k in range(int((high - low - 2 * end) / step + 1e-9) + 1):
                y = low + end + k * step
                if abs(y - seam) >= gap:
                    wanted.append((x + (stagger if k % 2 else -stagger), y))
            model = sorted((tuple(h[:2]) for s, h, _, _ in nails_of(roof, slope) if s is strap), key=lambda p: p[1])
            lists = [tuple(p["on_slope"]) for p in sorted(listed[strap.name], key=lambda p: p["nail"])]
            roof.counts["strap nails"] += len(wanted)
            for what, have in (("the model", model), ("findings.json", lists)):
                if len(have) != len(wanted) or (len(wanted) and np.abs(np.array(have) - wanted).max() > 3e-6):
                    roof.tell(f"straps: {strap.name} has nails at {have} in {what}, its field asks for {wanted}")
            if not found and tails:
                shift = d.metres(field["shift"])
                if min(abs(x - shift - (t.low[0] + t.high[0]) / 2) for t in tails) > CLOSE:
                    roof.tell(f"straps: {strap.name} lies at {x:.6f}, not beside a tail by its shift")


# --- sums --------------------------------------------------------------------------------------------------------------


def sums(roof):
    """quantities.csv against the solids: counts, lengths, areas, masses."""
    d = roof.drawing
    rows = {(r["kind"], r["size"]): r for r in roof.quantities}
    expected = collections.defaultdict(lambda: {"count": 0, "length_m": None, "area_m2": None, "mass_kg": None})

    def add(key, **more):
        row = expected[key]
        row["count"] += 1
        for k, v in more.items():
            row[k] = (row[k] or 0.0) + v

    for p in roof.parts:
        bare = p.size.rsplit(", ", 1)[0]
        if p.layer == "framing":
            own = p.form.corners
            add((p.kind, bare), length_m=float(np.ptp(own[:, 1])))
        elif p.kind in ("deck", "membrane"):
            add((p.kind, p.size), area_m2=p.volume() / np.ptp(p.corners[:, 2]))
        elif p.kind == "tape":
            key = ("tape",)
            add(key, area_m2=p.volume() / d.levels["tape"], mass_kg=p.volume() * d.density("tape"))
        elif p.kind == "strip":
            add(("strip",), mass_kg=p.volume() * d.density("strip"))
        elif p.kind == "vent piece":
            add(("vent piece",), length_m=float(np.ptp(p.corners[:, 0])), mass_kg=p.volume() * d.density("vent"))
        elif p.kind == "batten":
            left, right = grain(p.pieces()[0], (p.low[1] + p.high[1]) / 2, p.low[2])
            add(("batten", p.stock), mass_kg=p.volume() * d.density("batten"))
            expected["battens in all"]["length_m"] = (expected["battens in all"]["length_m"] or 0) + right - left
        elif p.layer == "fasteners":
            # What of the model's height is no shank is the head.
            head = d.get("fastening.head") ** 2 * (float(np.ptp(p.corners[:, 2])) - d.length)
            for _ in p.form.shells:
                add(("fastener",), mass_kg=STEEL * math.pi / 4 * (d.diameter**2 * d.length + head))
        elif p.kind == "strap":
            steel = [Manifold.hull_points(p.corners[s]).volume() for s in p.form.shells if len(s) == 8]
            add(("strap",), mass_kg=sum(steel) * STEEL)
    for slope in d.slopes:
        for field in (f for f in d.design.get("straps", []) if slope in f.get("slopes", d.slopes)):
            long = d.metres(field["nails"]["length"])
            for s, h, t, r in nails_of(roof, slope):
                add(("strap nail",), mass_kg=STEEL * math.pi * (d.metres(field["nails"]["diameter"]) / 2) ** 2 * long)
    have = collections.defaultdict(lambda: {"count": 0, "length_m": None, "area_m2": None, "mass_kg": None})
    for (kind, size), r in rows.items():
        if kind == "tape roll":
            continue
        stock = size.rsplit(" from ", 1)[-1] if kind == "batten" else None
        is_fastener = kind in ("nail", "ring-shank nail", "screw")
        key = ("batten", stock) if kind == "batten" else ("fastener",) if is_fastener else (kind,) if kind in ("tape", "strip", "vent piece", "strap", "strap nail") else (kind, size)
        have[key]["count"] += int(r["count"])
        for k in ("length_m", "area_m2", "mass_kg"):
            if r[k]:
                have[key][k] = (have[key][k] or 0.0) + float(r[k])
    everything = expected.pop("battens in all", {"length_m": 0})["length_m"] or 0.0
    listed = sum(h["length_m"] or 0 for k, h in have.items() if k[0] == "batten")
    for key in expected.keys() | have.keys():
        e, h = expected[key], have[key]
        roof.counts["rows of quantities"] += 1
        if e["count"] != h["count"]:
            roof.tell(f"sums: {e['count']} of {key} in the model, {h['count']} in quantities.csv")
        for k in ("length_m", "area_m2", "mass_kg"):
            if e[k] is not None and (h[k] is None or abs(e[k] - h[k]) > 2e-5 * abs(e[k]) + 2e-6 * (1 + e["count"])):
                roof.tell(f"sums: {k} of {key} is {e[k]:.6f} by the solids, {h[k]} in quantities.csv")
    if abs(everything - listed) > 2e-5 * everything + 1e-5:
        roof.tell(f"sums: battens are {everything:.5f} m long by the solids, {listed:.5f} in quantities.csv")
    lengths(roof, have)


def spine(part):
    """How long a swept part's middle is, shell by shell, from level to level of its corners."""
    for levels in rings(part):
        middles = [((r[:, 0].min() + r[:, 0].max()) / 2, r[:, 1].mean()) for r in levels]
        yield sum(math.dist(*m) for m in zip(middles, middles[1:]))


def rings(part):
    """The corners of a swept part, shell by shell and there level by level."""
    for s in part.form.shells:
        c = part.corners[s]
        yield [c[np.abs(c[:, 1] - y) < 2e-5] for y in np.unique(np.round(c[:, 1], 5))]


def is_cut(part):
    """Whether an edge or an opening cuts a swept part aslant or lengthwise: its levels are then not all as wide."""
    return any(len(r) != 4 or abs(np.ptp(r[:, 0]) - np.ptp(levels[0][:, 0])) > 1e-5 for levels in rings(part) for r in levels)


def lengths(roof, have):
    """Lengths of strips and tape where no edge cuts them aslant, and rolls by what is said of lengths."""
    d = roof.drawing
    for kind in ("strip", "tape"):
        of = [p for p in roof.parts if p.kind == kind]
        if any(is_cut(p) for p in of):
            continue
        true = sum(s for p in of for s in spine(p))
        roof.counts["lengths"] += 1
        said = have[(kind,)]["length_m"] or 0.0
        if abs(true - said) > 2e-5 * true + 1e-5:
            roof.tell(f"sums: {kind} is {true:.5f} m long by the solids, {said} in quantities.csv")
    roll = d.get("lattice.tape.roll")
    for r in roof.quantities:
        if r["kind"] == "tape":
            rolls = next((q for q in roof.quantities if q["kind"] == "tape roll" and q["size"].startswith(r["size"])), None)
            need = float(r["length_m"]) / roll
            roof.counts["tape rolls"] += 1
            if rolls is None or int(rolls["count"]) not in (math.ceil(need - 1e-5), math.ceil(need + 1e-5)):
                roof.tell(f"sums: {need:.4f} rolls of {r['size']} tape are needed, bought are {rolls and rolls['count']}")
