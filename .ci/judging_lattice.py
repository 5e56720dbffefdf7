"""What is true of the lattice: ends of boards, tape, straps, gaps, outlines, runs, crossings, courses.

Aim, reason, limits and frames: see judging.py and judge-roofs.py.
"""

import collections
import math

import numpy as np
import shapely
from shapely.geometry import LineString, Point, Polygon

from judging import CLOSE, DISTINCT, SAME, bodies, nails_of

# How far round a fastener a batten is asked to lie on something: a quarter of an inch.
PATCH = 0.00635


def flat(part, z):
    """The outline of a part at a level of its slope."""
    made = []
    for piece in bodies(part):
        c = piece.corners
        ring = c[np.abs(c[:, 2] - z) < 2e-6][:, :2]
        if len(ring) >= 3:
            made.append(shapely.MultiPoint(ring).convex_hull)
    # Pieces of one part meet to a hair: no seam is left between them.
    return shapely.union_all(made).buffer(SAME, join_style="mitre").buffer(-SAME, join_style="mitre") if made else Polygon()


def grain(piece, y, z):
    """Left and right end of a board along x at a place across and a level."""
    normal, offset = piece.faces()
    left, right = -math.inf, math.inf
    for (nx, ny, nz), o in zip(normal, offset):
        if abs(nx) > 1e-6:
            at = (o - ny * y - nz * z) / nx
            left, right = (left, min(right, at)) if nx > 0 else (max(left, at), right)
    return left, right


def plumb(piece, x, y, margin):
    """Where a line square to the slope comes into a convex body from above; None where it passes by, or its sides by less than a margin."""
    normal, offset = piece.faces()
    low, high = -math.inf, math.inf
    for (nx, ny, nz), o in zip(normal, offset):
        rest = o - nx * x - ny * y
        if abs(nz) < 1e-9:
            if rest < margin:
                return None
        elif nz > 0:
            high = min(high, rest / nz)
        else:
            low = max(low, rest / nz)
    return high if high - low > SAME else None


def landings(roof):
    """Ends of boards, tape, straps, gaps under battens, heads past an edge."""
    d = roof.drawing
    radius, head = d.diameter / 2, d.get("fastening.head") / 2
    end, margin, gap = d.get("limits.end_distance"), d.get("limits.tape_margin"), d.get("limits.gap")
    for slope in d.slopes:
        tapes = [(p, [flat(p, p.low[2]), flat(p, p.high[2])]) for p in roof.of[slope, "tape"]]
        below = [(p, q) for layer in ("strips", "vent pieces") for p in roof.of[slope, layer] for q in p.pieces()]
        low, high = np.array([q.low for _, q in below]).reshape(-1, 3), np.array([q.high for _, q in below]).reshape(-1, 3)
        nails, straps = list(nails_of(roof, slope)), roof.of[slope, "straps"]
        for l in roof.landings[slope]:
            batten = roof.by_name[l["piece"]]
            piece = batten.pieces()[0]
            ends = []
            for h, _ in l["rods"]:
                across = [grain(piece, h[1], z) for z in (batten.low[2], batten.high[2])]
                ends.append(min(min(h[0] - a, b - h[0]) for a, b in across))
            least = min(ends)
            if least >= -CLOSE:
                roof.check("end-distance-short", l, least >= end - SAME, abs(least - end) < CLOSE or abs(least) < CLOSE, f"{least * 1000:.4f} mm to the end, {end * 1000:.4f} mm is required")
            tape = []
            for h, _ in l["rods"]:
                best = -math.inf
                for p, rings in tapes:
                    if (h[:2] < p.low[:2] - 0.05).any() or (h[:2] > p.high[:2] + 0.05).any():
                        continue
                    point = Point(h[:2])
                    best = max(best, min(r.boundary.distance(point) * (1 if r.contains(point) else -1) for r in rings))
                tape.append(best - radius)
            least = min(tape)
            roof.check("off-tape", l, least >= margin - SAME, abs(least - margin) < CLOSE, f"{least * 1000:.4f} mm of tape beside it, {margin * 1000:.4f} mm is required")
            deep = [0.0]
            for h, _ in l["rods"]:
                for s in straps:
                    steel = np.concatenate([s.corners[k] for k in s.form.shells if len(k) == 8])
                    a, b = steel.min(axis=0)[:2], steel.max(axis=0)[:2]
                    deep.append(radius - np.hypot(*np.maximum(0, np.maximum(a - h[:2], h[:2] - b))))
                deep += [radius + r - np.hypot(*(n - h)[:2]) for _, n, _, r in nails]
            roof.check("through-strap", l, max(deep) <= SAME, abs(max(deep) - SAME) < CLOSE and max(deep) != 0, f"{max(deep) * 1000:.4f} mm into a strap")
            under, most = batten.low[2], []
            # A place on the very border of a strip lies on it or beside it by rounding alone.
            for beside in (CLOSE, -CLOSE):
                gaps = []
                for at in [np.array(l["place"]["on_slope"][:2])] + [h[:2] for h, _ in l["rods"]]:
                    near = np.flatnonzero(((at - 0.007 <= high[:, :2]) & (at + 0.007 >= low[:, :2])).all(axis=1))
                    around = [at + s for s in ((0, 0), (PATCH, 0), (-PATCH, 0), (0, PATCH), (0, -PATCH))]
                    tops = [plumb(below[k][1], *p, beside) for p in around for k in near]
                    gaps.append(min((under - z for z in tops if z is not None), default=math.inf))
                most.append(max(gaps))
            good = [m <= gap + SAME for m in most]
            close = good[0] != good[1] or abs(most[0] - gap) < CLOSE
            roof.check("gap-under-batten", l, good[0], close, f"{most[0] * 1000:.4f} mm of air under the batten, {gap * 1000:.4f} mm is allowed")
            z = batten.high[2]
            inside = roof.border(slope, z)
            room = min((inside.boundary.distance(Point(h[:2])) if inside.contains(Point(h[:2])) else -1) - head for h, _ in l["rods"])
            roof.check("past-outline", l, room >= -DISTINCT, abs(room + DISTINCT) < CLOSE, f"a head stands {-room * 1000:.4f} mm past an edge")


# --- outlines ----------------------------------------------------------------------------------------------------------


def outlines(roof):
    """Tape, strips, vent pieces and battens lie inside their slope, told where not; and keep what edges ask for."""
    d, cache = roof.drawing, {}

    def border(slope, z, keep=None, key=None):
        at = (slope, round(z, 6), key)
        if at not in cache:
            s = d.slopes[slope]
            back = (lambda e: 0.0) if keep is None else (lambda e: keep(s.edges[e]))
            # A cut that leans outward gives room; of one that leans inward the edge at the membrane counts.
            lean = lambda e: max(s.shift(e, z), 0.0)
            if key in ("battens", "vent pieces"):
                # At the heights where the edge is, measured square to it; tape and strips are mitred at corners.
                whole = s.moved_in(lambda e: -lean(e))
                ring = np.asarray(whole.exterior.coords)[:-1]
                if len(ring) == len(s.edges):
                    def band(e):
                        n = s.outward(e)
                        return n * back(e) if abs(n[0]) < 0.05 else np.array([back(e) / n[0], 0.0])

                    sides = [(a, b, band(e)) for e, (a, b) in enumerate(zip(ring, np.roll(ring, -1, axis=0))) if back(e) > 0]
                    cache[at] = whole.difference(shapely.union_all([Polygon([a, b, b - v, a - v]) for a, b, v in sides]))
                    return cache[at]
            cache[at] = s.moved_in(lambda e: back(e) - lean(e))
        return cache[at]

    roof.border = border
    keeps = {
        "tape": lambda e: e["hold_back"] if e["kind"] == "rake" else 0.0,
        "strips": lambda e: e["hold_back"], "vent pieces": lambda e: e["hold_back"], "battens": lambda e: e["hold_back"],
    }
    told = {f["parts"][0] for f in roof.told["past-outline"]}
    word = {"tape": "tape", "strips": "strips", "vent pieces": "vent pieces", "battens": "battens"}
    for slope in d.slopes:
        holes = d.slopes[slope].openings
        as_found = not np.array_equal(d.slopes[slope].corners, d.slopes[slope].drawn)
        for layer, keep in keeps.items():
            free = as_found and (d.is_laid(word[layer], slope) or layer == "battens" and d.is_laid("fasteners", slope))
            for p in roof.of[slope, layer]:
                past = held = 0.0
                for z in {round(p.low[2], 7), round(p.high[2], 7)}:
                    ring = flat(p, z)
                    if ring.is_empty:
                        continue
                    past = max(past, beyond(ring, border(slope, z)))
                    held = max(held, beyond(ring, border(slope, z, keep, layer)))
                    for hole in holes:
                        if ring.intersects(hole.buffer(-CLOSE, join_style="mitre")) and not d.is_laid(word[layer], slope):
                            roof.tell(f"outline: {p.name} lies in an opening, {ring.intersection(hole).bounds}")
                roof.counts["parts inside their outline"] += 1
                if abs(past - DISTINCT) < CLOSE:
                    roof.unclear("outline")
                elif (past > DISTINCT) != (p.name in told):
                    roof.tell(f"outline: {p.name} reaches {past * 1000:.4f} mm past an edge, told: {p.name in told}")
                if held > DISTINCT + CLOSE and not free:
                    roof.tell(f"outline: {p.name} reaches {held * 1000:.4f} mm into what the edges keep free")
        roof.counts["openings"] += len(holes)


def beyond(ring, inside):
    """How far a shape reaches out of another one."""
    out = ring.difference(inside)
    if out.area < 1e-12:
        return 0.0
    return max(inside.distance(Point(c)) for g in shapely.get_parts(out) if g.geom_type == "Polygon" for c in g.exterior.coords)


# --- runs --------------------------------------------------------------------------------------------------------------


def runs(roof):
    """How far each piece spans between backed landings and past the last one."""
    d = roof.drawing
    tolerance = d.get("limits.tolerance")
    most = {k: d.get(k) + max(tolerance, d.leeway(k)) for k in ("limits.run", "limits.end_run")}
    told_runs = {tuple(f["parts"][:3]): f for f in roof.told["run-too-long"]}
    told_ends = {}
    for f in roof.told["end-run-too-long"]:
        told_ends.setdefault(tuple(f["parts"][:2]), []).append(f["evidence"][0]["found"])
    of_piece = collections.defaultdict(list)
    for l in roof.findings["landings"]:
        of_piece[l["piece"]].append(l)
    seen_runs, seen_ends = set(), set()
    for p in (p for p in roof.parts if p.layer == "battens"):
        mine = of_piece[p.name]
        if any(roof.backed[l["name"]] is None for l in mine):
            roof.unclear("runs of a piece")
            seen_runs |= {k for k in told_runs if k[0] == p.name}
            seen_ends |= {k for k in told_ends if k[0] == p.name}
            continue
        held = sorted((float(np.mean([h[0] for h, _ in l["rods"]])), l["name"]) for l in mine if roof.backed[l["name"]])
        roof.counts["pieces"] += 1
        if len(held) < 2:
            seen_runs.add((p.name,))
            if (p.name,) not in told_runs:
                roof.tell(f"runs: {p.name} has {len(held)} backed landings, and nobody tells it")
        for (a, one), (b, other) in zip(held, held[1:]):
            roof.counts["runs"] += 1
            key, long = (p.name, one, other), b - a
            seen_runs.add(key)
            if abs(long - most["limits.run"]) < CLOSE:
                roof.unclear("run")
            elif (long > most["limits.run"]) != (key in told_runs):
                roof.tell(f"runs: {one} to {other} of {p.name} is {long * 1000:.3f} mm, {most['limits.run'] * 1000:.3f} mm at most; told: {key in told_runs}")
            elif key in told_runs and abs(told_runs[key]["evidence"][0]["found"] - long) > CLOSE:
                roof.tell(f"runs: {one} to {other} is {long * 1000:.3f} mm, told as {told_runs[key]['evidence'][0]['found'] * 1000:.3f}")
        if not held:
            continue
        left, right = grain(p.pieces()[0], (p.low[1] + p.high[1]) / 2, 0.0)
        expected = collections.defaultdict(list)
        for (at, name), tip in ((held[0], left), (held[-1], right)):
            roof.counts["cantilevers"] += 1
            long = abs(tip - at)
            if abs(long - most["limits.end_run"]) < CLOSE:
                roof.unclear("cantilever")
                seen_ends.add((p.name, name))
            elif long > most["limits.end_run"]:
                expected[p.name, name].append(long)
        for key, longs in expected.items():
            said = sorted(told_ends.get(key, []))
            if len(said) != len(longs) or any(abs(a - b) > CLOSE for a, b in zip(sorted(longs), said)):
                roof.tell(f"cantilevers: {key[0]} runs {[round(x * 1000, 3) for x in longs]} mm past {key[1]}, {most['limits.end_run'] * 1000:.3f} mm at most; told: {said}")
        seen_ends |= set(expected)
    for key in set(told_runs) - seen_runs:
        roof.tell(f"runs: told of {key}, where there is none")
    for key in set(told_ends) - seen_ends:
        roof.tell(f"cantilevers: told of {key}, which is not too long")


# --- the lattice against the drawing -----------------------------------------------------------------------------------


def crossings(roof):
    """Where a board crosses the tape of a line there is one landing, over the middle of a member of that line."""
    d = roof.drawing
    lines = {l["name"]: l for l in roof.findings["lines"]}
    moved = {m["landing"] for m in d.design.get("move", [])}
    for slope in d.slopes:
        tapes = collections.defaultdict(list)
        for p in roof.of[slope, "tape"]:
            line = p.name.rsplit(".", 1)[0]
            if line in lines:
                tapes[line] += p.pieces()
        on = collections.Counter((l["piece"], l["on"]) for l in roof.landings[slope] if l["on"] in lines)
        for (piece, line), n in on.items():
            if n > 1:
                roof.tell(f"crossings: {piece} has {n} landings on {line}")
        laid = d.is_laid("tape", slope) or d.is_laid("fasteners", slope) or d.is_laid("battens", slope)
        for batten in roof.of[slope, "battens"]:
            piece = batten.pieces()[0]
            y = (batten.low[1] + batten.high[1]) / 2
            ends = [grain(piece, yy, z) for z in (batten.low[2], batten.high[2]) for yy in (batten.low[1], y, batten.high[1])]
            left, right = max(e[0] for e in ends), min(e[1] for e in ends)
            for line, pieces in tapes.items():
                spans = [grain(q, y, (q.low[2] + q.high[2]) / 2) for q in pieces if q.low[1] < y - 1e-3 and q.high[1] > y + 1e-3]
                # Clear of the ends by more than a tape: what a joint or a slanted end does is not asked here.
                if spans and not laid and all(a > left + 0.03 and b < right - 0.03 for a, b in spans):
                    roof.counts["crossings"] += 1
                    if on[batten.name, line] != 1:
                        roof.tell(f"crossings: {batten.name} crosses {line} whole, with {on[batten.name, line]} landings")
        members = {p.name: p for p in roof.parts if p.layer == "framing"}
        for l in roof.landings[slope]:
            if l["on"] not in lines or l["name"] in moved or laid or l["name"].endswith((".l", ".r")):
                continue
            batten = roof.by_name[l["piece"]]
            x, y = l["place"]["on_slope"][:2]
            if min(x - batten.low[0], batten.high[0] - x) < 0.06 or len(batten.pieces()[0].corners) != 8 or any(abs(n[0]) > 1e-6 and abs(n[0]) < 1 - 1e-6 for n in batten.pieces()[0].faces()[0]):
                continue
            middles, of_line = [], [(members.get(m["member"]), m) for m in lines[l["on"]]["members"]]
            if any(p is not None and p.branch != slope for p, _ in of_line):
                continue
            for part, m in of_line:
                if part is None or not m["from"] <= y <= m["to"]:
                    continue
                middles.append(middle(part, y))
            if not all(math.isnan(m) for m in middles):
                roof.counts["landings over a middle"] += 1
                if np.nanmin(np.abs(x - np.array(middles))) > CLOSE:
                    roof.tell(f"crossings: {l['name']} stands at {x:.6f}, the members of its line have their middles at {[round(float(m), 6) for m in middles]}")


def middle(part, y):
    """The middle of a member's upper face at a place along the slope."""
    spans = [grain(q, y, part.high[2] - 1e-4) for q in part.pieces() if q.low[1] < y < q.high[1] and q.high[2] > part.high[2] - 2e-4]
    spans = [s for s in spans if s[1] > s[0]]
    return (min(s[0] for s in spans) + max(s[1] for s in spans)) / 2 if spans else math.nan


def courses(roof):
    """A course reaches from one edge's hold-back to the other's, openings and gaps left out, joints no wider than they should be."""
    d = roof.drawing
    gaps = collections.defaultdict(list)
    for g in d.design.get("gap", []):
        gaps[g["course"]].append((d.metres(g["from"]), d.metres(g["to"])))
    joint, lap = d.lattice["batten"].get("joint", "butt"), d.get("lattice.batten.lap")
    clear = d.get("lattice.opening.clearance")
    for name, slope in d.slopes.items():
        if any(d.is_laid(k, name) for k in ("battens", "fasteners")):
            continue
        by_course = collections.defaultdict(list)
        for b in roof.of[name, "battens"]:
            by_course[b.name.rsplit(".", 1)[0]].append(b)
        for course, boards in by_course.items():
            boards.sort(key=lambda b: b.low[0])
            for a, b in zip(boards, boards[1:]):
                between = b.low[0] - a.high[0]
                here = [l for l in roof.landings[name] if l["piece"] in (a.name, b.name) and l["name"].endswith((".l", ".r"))]
                shared = {l["on"] for l in here if l["piece"] == a.name} & {l["on"] for l in here if l["piece"] == b.name}
                if not shared:
                    continue
                roof.counts["joints"] += 1
                wanted = -lap if joint == "lap" else d.get("lattice.batten.joint_gap")
                if abs(between - wanted) > CLOSE:
                    roof.tell(f"joints: {a.name} and {b.name} are {between * 1000:.3f} mm apart, {wanted * 1000:.3f} mm is asked")
            if course[-1].islower() or joint == "lap":
                continue
            y0, y1 = boards[0].low[1], boards[0].high[1]
            y = (y0 + y1) / 2
            inside = slope.moved_in(lambda e: slope.edges[e]["hold_back"])
            across = inside.intersection(LineString([(-1e3, y), (1e3, y)]))
            band = [shapely.get_coordinates(inside.intersection(LineString([(-1e3, v), (1e3, v)]))) for v in (y0 + 1e-7, y1 - 1e-7)]
            if across.geom_type != "LineString" or across.is_empty or any(len(b) != 2 for b in band):
                continue
            (a, _), (b, _) = sorted(across.coords)
            # Where a corner lies in the band a board ends square before it.
            far = max(e["hold_back"] for e in slope.edges) + 1e-6
            level = {slope.corners[:, 1].min(), slope.corners[:, 1].max()}
            corner = any(y0 - far < c[1] < y1 + far and c[1] not in level for c in slope.corners)
            corner |= any(y0 - 1e-6 < c[1] < y1 + 1e-6 for c in inside.exterior.coords)
            if corner:
                continue
            blocked = any(y1 > h.bounds[1] - clear and y0 < h.bounds[3] + clear for h in slope.openings) or gaps[course]
            left, right = (grain(boards[0].pieces()[0], y, 0.0)[0], grain(boards[-1].pieces()[0], y, 0.0)[1])
            roof.counts["courses from edge to edge"] += 1
            if abs(left - a) > CLOSE or abs(right - b) > CLOSE:
                roof.tell(f"courses: {course} reaches from {left:.6f} to {right:.6f}, the hold-backs leave {a:.6f} to {b:.6f}")
            if blocked:
                free = [(a, b)]
                for h in slope.openings:
                    if y1 > h.bounds[1] - clear and y0 < h.bounds[3] + clear:
                        free = [s for p, q in free for s in ((p, min(q, h.bounds[0] - clear)), (max(p, h.bounds[2] + clear), q)) if s[1] > s[0]]
                for g, k in gaps[course]:
                    free = [s for p, q in free for s in ((p, min(q, g)), (max(p, k), q)) if s[1] > s[0]]
                ends = sorted(v for f in free if f[1] - f[0] > 2 * d.width + CLOSE for v in f)
                have = sorted([b.low[0] for b in boards] + [b.high[0] for b in boards])
                missing = [v for v in ends[1:-1] if not any(abs(v - x) < CLOSE for x in have)]
                roof.counts["courses with openings"] += 1
                if missing:
                    roof.tell(f"courses: {course} should end at {missing}, its boards end at {have}")
