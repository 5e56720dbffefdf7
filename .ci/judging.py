"""What is true of a roof's solids, and where findings.json says otherwise: where slopes and fasteners are, clashes, backing.

Aim: each question that a roofer stakes something on, answered once more. Reason and limits: see judge-roofs.py. Frames: all of a slope's questions are asked in its own coordinates, metres; fasteners come from findings.json
and are looked for in the model.
"""

import collections
import math
import types

import numpy as np
from manifold3d import Manifold, OpType

import solids

# What the program calls deep enough to tell, and what it calls the same place; places in the model have six decimals.
DISTINCT, SAME = 1e-5, 1e-6
# A verdict that turns on less than this is left out, and counted.
CLOSE = 3e-6
SIDES = 48


class Roof:
    """A built roof with everything that is asked of it more than once."""

    def __init__(self, drawing, parts, branches, findings, quantities, tools, tell, count):
        self.drawing, self.findings, self.quantities = drawing, findings, quantities
        self.tools, self.tell, self.counts = tools, tell, count
        self.branches = branches
        self.parts = [p for p in parts if p.layer not in ("flags", "still to come")]
        self.by_name = {p.name: p for p in self.parts}
        self.of = collections.defaultdict(list)
        for p in self.parts:
            self.of[p.branch, p.layer].append(p)
        self.poses = {s.name: s.pose() for s in drawing.slopes.values()}
        self.poses["building"] = (np.eye(3), np.zeros(3))
        self.told = collections.defaultdict(list)
        for f in findings["findings"]:
            self.told[f["check"]].append(f)
        self.passed = {l["name"]: set(findings["passed_sets"][l["passed"]]) for l in findings["landings"]}
        self.landings = collections.defaultdict(list)
        for l in findings["landings"]:
            self.landings[l["slope"]].append(l)
        for l in findings["landings"]:
            turn, place = self.poses[l["slope"]]
            l["rods"] = [((np.array(f["head"]) - place) @ turn, (np.array(f["tip"]) - place) @ turn) for f in l["fasteners"]]

    def between(self, one, other):
        """The way from a branch to another one: turn and place."""
        (a, p), (b, q) = self.poses[one], self.poses[other]
        return b.T @ a, b.T @ (p - q)

    def unclear(self, what):
        self.counts[f"unclear {what}"] += 1

    def check(self, name, landing, good, close, why):
        """Whether a check passes a landing, against what is true."""
        if close:
            self.unclear(name)
            return
        self.counts[name] += 1
        self.counts[f"{name}, not passed"] += not good
        if (name in self.passed[landing["name"]]) != bool(good):
            self.tell(f"{name}: {landing['name']} {'passes' if not good else 'does not pass'}; {why}")


# --- where slopes and fasteners are ------------------------------------------------------------------------------------


def frames(roof):
    """Slopes stand and look as the drawing says; every landing is in the model once, each fastener with head and shank."""
    d = roof.drawing
    if set(roof.branches) - {"building"} != set(d.slopes):
        roof.tell(f"slopes {sorted(roof.branches)} in the model, {sorted(d.slopes)} in the drawing")
        return False
    for name, (turn, place) in roof.branches.items():
        true_turn, true_place = roof.poses[name]
        if np.abs(turn - true_turn).max() > 1e-8 or np.abs(place - true_place).max() > 1e-6:
            roof.tell(f"slope {name} stands at {place} turned {turn.tolist()}, drawn at {true_place} turned {true_turn.tolist()}")
            return False
        roof.counts["slopes"] += 1
    names = [l["name"] for l in roof.findings["landings"]]
    in_model = {p.name for p in roof.parts if p.layer == "fasteners"}
    if len(set(names)) != len(names) or set(names) != in_model:
        roof.tell(f"landings in findings.json and in the model differ: {sorted(set(names) ^ in_model)[:5]}, {len(names) - len(set(names))} names twice")
    for l in roof.findings["landings"]:
        part = roof.by_name.get(l["name"])
        batten = roof.by_name.get(l["piece"])
        if part is None or batten is None or len(part.form.shells) != len(l["fasteners"]):
            roof.tell(f"{l['name']}: {len(l['fasteners'])} fasteners, in the model {part and len(part.form.shells)}; its piece is {l['piece']}")
            continue
        for f, (head, tip), shell in zip(l["fasteners"], l["rods"], part.form.shells):
            corners = part.corners[shell]
            low, wide = corners[:, 2].min(), np.ptp(corners[:, 0])
            axis = corners[corners[:, 2] < low + 1e-5].mean(axis=0)
            wrong = np.abs(axis - tip).max() > 2e-6 or np.abs((head - tip) - [0, 0, d.length]).max() > 1e-7
            if wrong or abs(f["diameter"] - d.diameter) > 1e-9 or wide > d.get("fastening.head") + 1e-6:
                roof.tell(f"{f['name']}: from {head} to {tip} in findings.json, its tip at {axis} in the model")
            roof.counts["fasteners"] += 1
    return True


# --- clashes -----------------------------------------------------------------------------------------------------------


def may_overlap(a, b):
    soft = {a.kind, b.kind}
    return soft in ({"tape"}, {"membrane"}, {"tape", "strap"}, {"membrane", "strap"})


def bodies(part):
    """Convex pieces of a part; of a strap the steel alone."""
    all_pieces = part.pieces()
    return [p for p in all_pieces if len(p.corners) == 8] if part.kind == "strap" else all_pieces


def clashes(roof):
    """Every two parts that overlap, deeper than told apart, are told, and no others."""
    expected, close = {}, set()
    homes = list(roof.poses)
    solid = {h: [p for p in roof.parts if p.branch == h and p.layer != "fasteners"] for h in homes}
    pieces = {p.name: bodies(p) for h in homes for p in solid[h]}

    def meet(a, b, ones, others):
        deepest, single = 0.0, len(ones) == len(others) == 1
        for one in ones:
            for other in others:
                if (np.minimum(one.high, other.high) - np.maximum(one.low, other.low)).min() <= DISTINCT - CLOSE:
                    continue
                if solids.parted_by_a_face(one, other, DISTINCT - CLOSE):
                    continue
                deep = solids.depth(one, other)
                roof.counts["pairs of bodies asked"] += 1
                if deep > DISTINCT + CLOSE and solids.shared_volume(one, other) <= 0:
                    roof.tell(f"the judge is at odds with itself: {a.name} and {b.name} are {deep} deep and share no volume")
                deepest = max(deepest, deep)
        note(a.name, b.name, deepest, single)

    def note(a, b, deep, single=False):
        key = frozenset((a, b))
        if deep > DISTINCT + CLOSE:
            expected[key] = (max(deep, expected.get(key, (0,))[0]), single)
        elif deep > DISTINCT - CLOSE:
            close.add(key)

    for i, h in enumerate(homes):
        here = solid[h]
        low, high = np.array([p.low for p in here]).reshape(-1, 3), np.array([p.high for p in here]).reshape(-1, 3)
        for k, a in enumerate(here):
            if a.layer == "framing":
                roof.counts["members"] += 1
            near = np.flatnonzero((np.minimum(high[k], high[k + 1:]) - np.maximum(low[k], low[k + 1:])).min(axis=1) > DISTINCT - CLOSE) + k + 1
            for j in near:
                if not may_overlap(a, here[j]):
                    meet(a, here[j], pieces[a.name], pieces[here[j].name])
        for g in homes[i + 1:]:
            if not here or not solid[g]:
                continue
            turn, place = roof.between(g, h)
            for b in solid[g]:
                moved = None
                corners = b.corners @ turn.T + place
                bl, bh = corners.min(axis=0), corners.max(axis=0)
                near = np.flatnonzero((np.minimum(high, bh) - np.maximum(low, bl)).min(axis=1) > DISTINCT - CLOSE)
                for k in near:
                    if may_overlap(here[k], b):
                        continue
                    moved = moved or [p.moved(turn, place) for p in pieces[b.name]]
                    meet(here[k], b, pieces[here[k].name], moved)
    rods(roof, note, solid, pieces)

    told = collections.defaultdict(list)
    for f in roof.told["clash"]:
        told[frozenset(f["parts"][:2])].append(f)
    roof.counts["clashes"] += len(expected)
    for key, (deep, single) in expected.items():
        if key not in told:
            roof.tell(f"clash: {' and '.join(sorted(key))} overlap by {deep * 1000:.4f} mm, and nobody tells it")
        elif single:
            said = [e["found"] for f in told[key] for e in f["evidence"]]
            if min(abs(s - deep) for s in said) > CLOSE:
                roof.tell(f"clash: {' and '.join(sorted(key))} overlap by {deep * 1000:.4f} mm, told as {said}")
            roof.counts["depths of clashes"] += 1
    for key in told:
        if key not in expected and key not in close:
            roof.tell(f"clash: {' and '.join(sorted(key))} do not overlap; told as {told[key][0]['message']!r}")
    for l in roof.findings["landings"]:
        mine = [k for k in expected if l["name"] in k]
        roof.check("clash", l, not mine, any(l["name"] in k for k in close), f"clashes {[sorted(k) for k in mine]}")


def nails_of(roof, slope):
    """(name of the strap, head, tip, radius) of every strap nail of a slope, from the model."""
    for strap in roof.of[slope, "straps"]:
        steel = next(strap.corners[s] for s in strap.form.shells if len(s) == 8)
        for shell in strap.form.shells:
            if len(shell) == 8:
                continue
            c = strap.corners[shell]
            axis = c[c[:, 2] < c[:, 2].min() + 1e-6].mean(axis=0)
            radius = np.linalg.norm(c[0, :2] - axis[:2])
            yield strap, np.array([axis[0], axis[1], steel[:, 2].max()]), axis, radius


def rod_piece(head, tip, radius, sides=SIDES):
    """A round rod with flat ends, as wide as the circle at its corners."""
    d = (tip - head) / np.linalg.norm(tip - head)
    u = np.cross(d, [1.0, 0, 0] if abs(d[0]) < 0.6 else [0, 1.0, 0])
    u /= np.linalg.norm(u)
    w = np.cross(d, u)
    a = np.arange(sides) * 2 * math.pi / sides
    ring = radius * (np.cos(a)[:, None] * u + np.sin(a)[:, None] * w)
    return solids.Piece(np.concatenate([head + ring, tip + ring]))


def apart(p, q, r, s):
    """The distance between two segments."""
    u, v, w = q - p, s - r, p - r
    a, b, c, d, e = u @ u, u @ v, v @ v, u @ w, v @ w
    det = a * c - b * b
    t = np.clip((b * e - c * d) / det, 0, 1) if det > 1e-15 else 0.0
    best = math.inf
    for t in (t, 0.0, 1.0):
        k = np.clip((b * t + e) / c, 0, 1)
        t2 = np.clip((b * k - d) / a, 0, 1)
        best = min(best, np.linalg.norm(w + u * t2 - v * k))
    return best


def rods(roof, note, solid, pieces):
    """Fasteners and strap nails: heads, their own battens, other straps, other slopes."""
    d = roof.drawing
    radius, head = d.diameter / 2, d.get("fastening.head")
    all_rods = {}
    for name in d.slopes:
        mine = [(l["name"], h, t, radius, l) for l in roof.landings[name] for h, t in l["rods"]]
        nails = [(s.name, h, t, r, None) for s, h, t, r in nails_of(roof, name)]
        all_rods[name] = mine + nails
        at = np.array([h[:2] for _, h, _, _, _ in mine]).reshape(-1, 2)
        for k, (one, h, t, r, l) in enumerate(mine):
            for j in np.flatnonzero(np.hypot(*(at[k + 1:] - at[k]).T) < head) + k + 1:
                note(one, mine[j][0], head - np.hypot(*(at[j] - at[k])))
            batten = roof.by_name[l["piece"]]
            normal, offset = pieces[batten.name][0].faces()
            bottom = np.array([h[0], h[1], batten.low[2]])
            beside = np.abs(normal[:, 2]) < 1 - 1e-6
            out = np.maximum(normal @ h - offset, normal @ bottom - offset)[beside].max() + r
            note(one, batten.name, out)
            above = abs(h[2] - batten.high[2])
            if above > 5e-6:
                note(one, batten.name, above)
        for k, (one, h, t, r, _) in enumerate(nails):
            for other in roof.of[name, "straps"]:
                if other.name == one:
                    continue
                steel = np.concatenate([other.corners[s] for s in other.form.shells if len(s) == 8])
                away = np.maximum(0, np.maximum(steel.min(axis=0)[:2] - h[:2], h[:2] - steel.max(axis=0)[:2]))
                note(one, other.name, r - np.hypot(*away))
            for other in nails[k + 1:]:
                if other[0] != one:
                    note(one, other[0], r + other[3] - np.hypot(*(h - other[1])[:2]))
    names = list(d.slopes)
    for i, a in enumerate(names):
        for b in names:
            if a == b or not all_rods[a]:
                continue
            turn, place = roof.between(a, b)
            moved = [(n, h @ turn.T + place, t @ turn.T + place, r) for n, h, t, r, _ in all_rods[a]]
            others = [p for p in solid[b] if p.layer != "framing"]
            low, high = np.array([p.low for p in others]).reshape(-1, 3), np.array([p.high for p in others]).reshape(-1, 3)
            for n, h, t, r in moved:
                near = np.flatnonzero(((np.minimum(h, t) - r < high) & (np.maximum(h, t) + r > low)).all(axis=1))
                for k in near:
                    rod = None
                    for piece in pieces[others[k].name]:
                        if ((np.minimum(h, t) - r > piece.high) | (np.maximum(h, t) + r < piece.low)).any():
                            continue
                        rod = rod or rod_piece(h, t, r, 160)
                        if not solids.parted_by_a_face(rod, piece, DISTINCT - CLOSE):
                            note(n, others[k].name, solids.depth(rod, piece))
            if names.index(b) > i:
                for n, h, t, r in moved:
                    for m, h2, t2, r2, _ in all_rods[b]:
                        if ((np.minimum(h, t) - r > np.maximum(h2, t2) + r2) | (np.maximum(h, t) + r < np.minimum(h2, t2) - r2)).any():
                            continue
                        note(n, m, r + r2 - apart(h, t, h2, t2))


# --- backing -----------------------------------------------------------------------------------------------------------


class Wood:
    """What of a member may hold a fastener, in the frame of a slope: its real outer surface and its volume."""

    def __init__(self, roof, part, slope):
        self.name, self.of_world = part.name, part.branch == "building"
        turn, place = roof.between(part.branch, slope)
        self.turn, self.place = turn @ part.turn, turn @ part.place + place
        solid = Manifold.batch_boolean(part.form.solids(), OpType.Add)
        self.web = None
        if part.size.startswith("I-joist"):
            normal, offset = solids.planes(part.form.triangles)
            # An I shows two faces to the ground; the flange ends at the higher one.
            under = (-offset[normal[:, 2] < -0.999]).max()
            self.web = solid.trim_by_plane((0.0, 0.0, -1.0), -under)
            solid = solid.trim_by_plane((0.0, 0.0, 1.0), under)
        self.solid = solid
        mesh = solid.to_mesh()
        t = np.asarray(mesh.vert_properties[:, :3], dtype=np.float64)[np.asarray(mesh.tri_verts)]
        normal = np.cross(t[:, 1] - t[:, 0], t[:, 2] - t[:, 0])
        length = np.linalg.norm(normal, axis=1)
        keep = length > 1e-12
        self.triangles, self.normals = t[keep], normal[keep] / length[keep, None]
        self.offsets = np.einsum("ij,ij->i", self.normals, self.triangles[:, 0])
        corners = self.triangles.reshape(-1, 3) @ self.turn.T + self.place
        self.low, self.high = corners.min(axis=0), corners.max(axis=0)
        self.part = types.SimpleNamespace(form=types.SimpleNamespace(shells=[0]))
        self.goes_on = lambda *_: False

    def local(self, point):
        return (point - self.place) @ self.turn

    def meet(self, tools, head, tip, radius, need):
        """What a rod meets: (embedment, room, inside: True, False or None where it is close, leaves at); None where nothing."""
        h, t = self.local(head), self.local(tip)
        length = np.linalg.norm(t - h)
        d = (t - h) / length
        crossings = tools.MemberMesh.crossings(self, h[None], d[None])[0]
        spans, inside = [], 0
        for at, sign in crossings:
            if inside == 0 and sign > 0:
                spans.append([at, math.inf])
            inside += sign
            if inside == 0 and spans:
                spans[-1][1] = at
            if inside not in (0, 1):
                return "odd"
        if inside:
            return "odd"
        spans = [s for s in spans if min(s[1], length) - s[0] > SAME]
        if not spans:
            return None
        enter, leave = spans[0]
        if enter < -SAME:
            return None
        deep = min(leave, length) - enter
        entry = np.argmin(np.where(self.normals @ d < -1e-9, np.abs((self.offsets - self.normals @ h) / np.minimum(self.normals @ d, -1e-12) - enter), np.inf))
        n = self.normals[entry]
        # Room is asked of sides and ends, not of an underside that leans: that the rod ends above it, booleans say.
        beside = ~((self.normals @ n > 1 - 1e-7) & (np.abs(self.triangles @ n - self.offsets[entry]).max(axis=1) < 2e-6)) & (self.normals[:, 2] > -0.999)
        self.sides, self.side_normals = self.triangles[beside], self.normals[beside]
        room = tools.MemberMesh.clearance(self, h, d, enter + 1e-9, enter + min(need, deep) - 1e-7)
        upper = self.normals[entry] @ [0, 0, 1.0] > 0.99
        return types.SimpleNamespace(wood=self, deep=deep, room=room, leave=leave, length=length, h=h, d=d, enter=enter, entry=(n, self.offsets[entry]), upper=upper)

    def holds(self, met, radius, need):
        """Whether the whole rod lies in the wood over the required embedment, behind the face that it enters, by booleans."""
        # What comes in through a side or an end holds nothing: embedment counts from the upper face.
        if not met.upper or met.deep < need - CLOSE:
            return False
        answers = []
        for more, factor in ((CLOSE, 1 / math.cos(math.pi / SIDES)), (-CLOSE, 1.0)):
            end = met.enter + need + more
            if more > 0:
                end = min(end, met.enter + need)
            rod = rod_piece(met.h + met.d * (met.enter - 2 * radius), met.h + met.d * end, (radius + more) * factor).corners
            left = Manifold.hull_points(rod) - self.solid
            n, offset = met.entry
            left = left.trim_by_plane(tuple(-n), float(-offset + SAME))
            answers.append(left.volume() < 1e-14)
        if answers[0]:
            return True if met.deep > need + CLOSE else None
        return None if answers[1] else False


def backing(roof):
    """Each fastener against all wood: embedment, room to the sides, backed or not; then each landing."""
    d = roof.drawing
    need, radius = d.get("limits.embedment"), d.diameter / 2
    edge = d.get("limits.edge_distance") - d.leeway("limits.edge_distance")
    shown = {f["parts"][0]: f for c in ("landing-not-backed", "joint-not-backed", "embedment-short") for f in roof.told[c]}
    roof.backed = {}
    for slope in d.slopes:
        wood = [Wood(roof, p, slope) for p in roof.parts if p.layer == "framing"]
        by_name = {m.name: m for m in wood}
        low, high = np.array([m.low for m in wood]).reshape(-1, 3), np.array([m.high for m in wood]).reshape(-1, 3)
        for l in roof.landings[slope]:
            verdicts, rooms, tips, webs, unclear, shallow = [], [], [], [], False, []
            for f, (head, tip) in zip(l["fasteners"], l["rods"]):
                near = np.flatnonzero(((np.minimum(head, tip) - radius <= high) & (np.maximum(head, tip) + radius >= low)).all(axis=1))
                met = {wood[k].name: wood[k].meet(roof.tools, head, tip, radius, need) for k in near}
                odd = [n for n, m in met.items() if m == "odd"]
                met = {n: m for n, m in met.items() if m and m != "odd"}
                holds = {n: by_name[n].holds(m, radius, need) for n, m in met.items()}
                best = True if True in holds.values() else None if None in holds.values() or odd else False
                verdicts.append(best)
                roof.counts["fasteners judged"] += best is not None
                if best is None:
                    roof.unclear("backing")
                elif best != f["backed"]:
                    seen = {n: (round(m.deep, 7), round(m.room, 7), holds[n]) for n, m in met.items()}
                    roof.tell(f"backing: {f['name']} is {'' if f['backed'] else 'not '}backed by findings.json (in {f['member']}, {f['embedment']:.6f} deep, room {f['room']}); from the solids {seen}, {need:.6f} is required, radius {radius:.6f}")
                    continue
                if f["member"] is None:
                    if not odd and any(m.upper and m.deep > CLOSE and m.room > CLOSE for m in met.values()):
                        roof.tell(f"backing: {f['name']} meets nothing by findings.json; it meets {sorted(met)}")
                    continue
                m = met.get(f["member"])
                if m is None:
                    if f["member"] not in odd and f["embedment"] > CLOSE and (f["room"] or 0) > CLOSE:
                        roof.tell(f"backing: {f['name']} is said to be in {f['member']}; it meets {sorted(met)}")
                    unclear = True
                    continue
                if f["backed"] and holds[f["member"]] is False:
                    roof.tell(f"backing: {f['name']} is backed by {f['member']} by findings.json, which does not hold it")
                roof.counts["embedments"] += 1
                roof.counts["embedments in members of the world"] += by_name[f["member"]].of_world
                if abs(m.deep - f["embedment"]) > 1e-5:
                    roof.tell(f"backing: {f['name']} is {f['embedment'] * 1000:.4f} mm deep in {f['member']}; {m.deep * 1000:.4f} mm in the solids")
                if f["room"] is not None and np.isfinite(m.room) and m.upper and m.deep >= need + CLOSE:
                    roof.counts["rooms to the side"] += 1
                    if abs(m.room - f["room"]) > 1e-5:
                        roof.tell(f"backing: {f['name']} has {f['room'] * 1000:.4f} mm to the side of {f['member']}; {m.room * 1000:.4f} mm in the solids")
                # The member that the program names is the one that these checks speak of.
                if m.room > radius:
                    rooms.append(m.room)
                past = m.length - m.leave
                if past > CLOSE and by_name[f["member"]].web is not None:
                    rod = rod_piece(m.h + m.d * (m.leave - CLOSE), m.h + m.d * m.length, radius)
                    webs.append((Manifold.hull_points(rod.corners) ^ by_name[f["member"]].web).volume() > 1e-12)
                    tips.append(0.0 if webs[-1] else past)
                else:
                    tips.append(past)
                shallow.append(m.deep)
            backed = False if False in verdicts else None if None in verdicts else True
            roof.backed[l["name"]] = backed
            if backed is not None:
                roof.counts["landings judged"] += 1
                roof.counts["landings not backed"] += not backed
                if backed != l["backed"]:
                    roof.tell(f"backing: landing {l['name']} is backed: {l['backed']} in findings.json, {backed} from the solids")
                if not backed and (l["name"] not in shown or l["verdict"] != "fail"):
                    roof.tell(f"backing: {l['name']} is not backed, its verdict is {l['verdict']}, told by {shown.get(l['name'], {}).get('check')}")
                if backed and l["name"] in shown:
                    roof.tell(f"backing: {l['name']} is backed, yet told: {shown[l['name']]['message']!r}")
                if l["verdict"] == "pass":
                    roof.counts["landings that pass"] += 1
            if backed and not unclear:
                least = min(rooms)
                roof.check("near-member-side", l, least >= edge - SAME, abs(least - edge) < CLOSE, f"{least * 1000:.4f} mm to a side, {edge * 1000:.4f} mm is required")
                roof.check("tip-in-web", l, not any(webs), False, f"webs {webs}")
                past = max(tips)
                roof.check("tip-out-of-member", l, past <= SAME, abs(past) < CLOSE and past != 0, f"tips {[round(t, 6) for t in tips]} past the wood")
    counted = sum(l["backed"] for l in roof.findings["landings"])
    if (roof.findings["landing_count"], roof.findings["backed_count"]) != (len(roof.findings["landings"]), counted):
        roof.tell(f"findings.json counts {roof.findings['landing_count']} landings, {roof.findings['backed_count']} backed; there are {len(roof.findings['landings'])}, {counted}")
