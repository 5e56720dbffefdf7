"""Aim: find out from the written files alone whether the model is sound and says what findings.json says.

Reason: a program that is checked by its own code agrees with itself. This file shares no line and no method with it:
the binary glTF is read by trimesh, the STL by numpy; where the program cuts convex bodies with planes, this looks at
how near the triangles of a member come to a shank.

Limits: models with one node a part (no instances). The glTF holds places of parts to a micrometre, which is the main
error here; verdicts nearer to a limit than LIMIT are counted and left out.

Use: check-model.py FOLDER DESIGN.toml   (exit code 1 on any difference)
"""

import csv
import json
import pathlib
import re
import struct
import sys
import tomllib
from fractions import Fraction

import numpy as np
import trimesh

INCH = 0.0254
# A verdict may turn on one micrometre (the program's own "same place"); the model's places are good to another one.
LIMIT = 2e-6
# How well an embedment must agree.
EMBEDMENT = 1e-5
# Places of parts in the glTF have six decimals, turns ten.
PLACE_ROUNDING, TURN_ROUNDING = 0.5e-6, 1e-10

# Dressed dry sizes of the American Softwood Lumber Standard, PS 20, inches; from memory.
PS20_THICK = {"1": 0.75, "5/4": 1.0, "2": 1.5, "4": 3.5, "6": 5.5}
PS20_WIDE = {"2": 1.5, "3": 2.5, "4": 3.5, "5": 4.5, "6": 5.5, "8": 7.25, "10": 9.25, "12": 11.25}
# Shank diameters of steel nails, ASTM F1667 (common, box, sinker and ring-shank nails), inches; from memory.
NAIL_WIRES = [0.076, 0.080, 0.092, 0.099, 0.105, 0.113, 0.120, 0.128, 0.131, 0.135, 0.148, 0.162, 0.177, 0.192, 0.207, 0.225, 0.244, 0.263]
# Which kinds of part a section in the design file makes.
KINDS_OF = {
    "roof.ridge_board": ["ridge board"],
    "roof.hip_rafter": ["hip rafter"],
    "rafters": ["rafter", "trimmer"],
    "tails": ["tail"],
    "lookouts": ["lookout"],
    "blocking": ["block"],
    "trim": ["trimmer", "header"],
    "lattice.batten": ["batten"],
}


class Report:
    """What was compared, and what differed."""

    def __init__(self):
        self.faults = 0

    def done(self, text):
        print(f"  {text}")

    def fault(self, text):
        self.faults += 1
        if self.faults <= 40:
            print(f"  DIFFERS: {text}")


# --- reading ---------------------------------------------------------------------------------------------------------


def metres(text):
    """A length as a design file writes it."""
    rest, total, read = text.strip(), Fraction(0), False
    sign = -1 if rest.startswith("-") else 1
    rest = rest.lstrip("-").replace("'", " ft ").replace('"', " in ").strip(" ")
    units = {"ft": INCH * 12, "in": INCH, "mm": 0.001, "cm": 0.01, "m": 1.0}
    pattern = re.compile(r"(?:(\d+)[ -]+)?(\d+)\s*/\s*(\d+)\s*(ft|in|mm|cm|m)\b|(\d*\.?\d+)\s*(ft|in|mm|cm|m)\b")
    while rest:
        found = pattern.match(rest)
        if not found:
            raise ValueError(f"no length: {text!r}")
        whole, over, under, unit, decimal, unit2 = found.groups()
        number = Fraction(decimal) if decimal else Fraction(whole or 0) + Fraction(int(over), int(under))
        total += number * Fraction(str(units[unit or unit2]))
        rest, read = rest[found.end():].lstrip(" -"), True
    if not read:
        raise ValueError("an empty length")
    return float(sign * total)


class Part:
    """A part of the glTF: its form in its own frame, and the way from there to the world (z up, metres)."""

    def __init__(self, name, kind, layer, branch, size, form, to_branch, to_world):
        self.name, self.kind, self.layer, self.branch, self.size = name, kind, layer, branch, size
        self.form, self.to_branch, self.to_world = form, to_branch, to_world


class FormFacts:
    """A mesh of the glTF with its corners joined, looked at once."""

    def __init__(self, geometry):
        mesh = geometry.copy()
        mesh.merge_vertices(merge_tex=True, merge_norm=True)
        self.mesh = mesh
        self.corners = np.asarray(mesh.vertices, dtype=np.float64)
        self.faces = np.asarray(mesh.faces)
        self.triangles = self.corners[self.faces]
        self.sound = bool(mesh.is_watertight and mesh.is_winding_consistent)
        self.volume, self.area = volume_and_area(self.triangles)
        # Half a step of f32 at the corners.
        self.half_step = half_step(self.corners)


def half_step(corners):
    """Half the distance between neighbouring f32 at the largest coordinate, for each axis."""
    largest = np.abs(corners).max(axis=0).astype(np.float32)
    return np.spacing(largest).astype(np.float64) / 2


def volume_and_area(triangles):
    """By the divergence theorem about the first corner."""
    a, b, c = (triangles[:, k] - triangles[0, 0] for k in range(3))
    return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6), float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2)


def read_glb(path, report):
    """Parts in the order of the file."""
    data = path.read_bytes()
    length = struct.unpack_from("<I", data, 12)[0]
    document = json.loads(data[20:20 + length])
    if "EXT_mesh_gpu_instancing" in document.get("extensionsUsed", []):
        raise SystemExit("  an instanced model: this check knows named parts only")
    nodes = document["nodes"]
    names = [node["name"] for node in nodes]
    if len(set(names)) != len(names):
        report.fault("two nodes of the glTF have one name")
    parent = {child: i for i, node in enumerate(nodes) for child in node.get("children", [])}
    scene = trimesh.load_scene(path, process=False)
    in_scene = set(scene.graph.nodes_geometry)
    # glTF is y-up: x, y, z of the building are x, -z, y of the file.
    z_up = np.array([[1, 0, 0, 0], [0, 0, -1, 0], [0, 1, 0, 0], [0, 0, 0, 1]], dtype=np.float64)
    forms, parts = {}, []
    for i, node in enumerate(nodes):
        if "mesh" not in node:
            continue
        if node["name"] not in in_scene:
            report.fault(f"trimesh does not find {node['name']}")
            continue
        matrix, geometry = scene.graph[node["name"]]
        if geometry not in forms:
            forms[geometry] = FormFacts(scene.geometry[geometry])
        layer = nodes[parent[i]]
        branch = nodes[parent[parent[i]]]
        to_branch, _ = scene.graph.get(node["name"], frame_from=branch["name"])
        extras = node.get("extras", {})
        named = layer["name"].removeprefix(branch["name"]).strip()
        parts.append(Part(node["name"], extras.get("kind"), named, branch["name"], extras.get("size", ""), forms[geometry], to_branch, z_up @ matrix))
    if len(parts) != len(in_scene):
        report.fault(f"{len(parts)} parts in the tree, {len(in_scene)} in trimesh's scene")
    return parts, forms


def read_stl(path):
    """Corners of all triangles, millimetres, and normals: f32 as they stand."""
    data = path.read_bytes()
    count = struct.unpack_from("<I", data, 80)[0]
    record = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("extra", "<u2")])
    if len(data) != 84 + count * record.itemsize:
        raise SystemExit(f"  the STL says {count} triangles and has {len(data)} bytes")
    records = np.frombuffer(data, dtype=record, offset=84)
    return records["corners"], records["normal"]


# --- solids ----------------------------------------------------------------------------------------------------------


def check_forms(parts, forms, report):
    used = {id(p.form): p.name for p in parts}
    for name, form in forms.items():
        if not form.sound or form.volume <= 0:
            report.fault(f"{name} (such as {used.get(id(form))}): not watertight and outward, volume {form.volume:.3e} m3")
        if folded(form):
            report.fault(f"{name} (such as {used.get(id(form))}): doubles back on itself")
        trimesh_volume = float(form.mesh.volume)
        if abs(trimesh_volume - form.volume) > 1e-9 * max(form.volume, 1e-9):
            report.fault(f"{name}: trimesh has {trimesh_volume} m3, this script {form.volume}")
    report.done(f"glTF: {len(parts)} parts of {len(forms)} meshes, each watertight with its faces outward (trimesh), none doubling back")


def folded(form):
    """Whether a shell doubles back on itself: two of its faces lie on one another, one looking up, one down.

    Such a fin has no volume and is watertight by count, but a viewer shows it as a solid.
    """
    triangles = form.triangles
    cross = np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])
    length = np.linalg.norm(cross, axis=1)
    shell_of = np.zeros(len(form.corners), dtype=int)
    for k, corners in enumerate(form.shells):
        shell_of[corners] = k
    planes = {}
    for i in np.flatnonzero(length > 1e-12):
        n = cross[i] / length[i]
        turned = int(n[np.argmax(np.abs(n) > 0.5)] < 0)
        key = np.round(np.append(-n if turned else n, 0), 3) + 0.0
        planes.setdefault((int(shell_of[form.faces[i, 0]]), *key), ([], []))[turned].append(i)
    for ups, downs in planes.values():
        if not ups or not downs:
            continue
        other = triangles[ups]
        sides = np.roll(other, -1, axis=1) - other
        for i in downs:
            n = cross[i] / length[i]
            away = triangles[i].mean(axis=0) - other
            # Well inside the other triangle: on the inner side of its three edges, which turn the other way round.
            inside = (np.cross(sides, away) @ n).max(axis=1) < -1e-10
            if (inside & (np.abs(away[:, 0] @ n) < 1e-7)).any():
                return True
    return False


def check_stl(corners, normals, index, report):
    """The index covers every triangle once, and each part is closed by identical corners."""
    first = np.array([int(r["first_triangle"]) for r in index])
    count = np.array([int(r["triangles"]) for r in index])
    ends = first + count
    if first[0] != 0 or ends[-1] != len(corners) or (first[1:] != ends[:-1]).any() or (count <= 0).any():
        report.fault("the STL's index does not cover every triangle exactly once")
        return
    owner = np.repeat(np.arange(len(index)), count)
    # + 0.0 makes one of the two zeros.
    flat = np.ascontiguousarray(corners.reshape(-1, 3) + np.float32(0)).view(np.uint32).astype(np.uint64)
    key = np.empty((len(flat), 4), dtype=np.uint64)
    key[:, 0], key[:, 1:] = np.repeat(owner, 3), flat
    _, vertex = np.unique(np.ascontiguousarray(key).view([("", np.uint64)] * 4).ravel(), return_inverse=True)
    vertex = vertex.reshape(-1, 3).astype(np.int64)
    a, b = vertex.ravel(), vertex[:, [1, 2, 0]].ravel()
    of = np.repeat(owner, 3)
    collapsed = a == b
    size = vertex.max() + 1
    low, high = np.minimum(a, b), np.maximum(a, b)
    edges, where = np.unique(low * size + high, return_inverse=True)
    where = where.ravel()
    turn = np.where(a < b, 1, -1)
    turn[collapsed] = 0
    balance = np.bincount(where, weights=turn, minlength=len(edges))
    uses = np.bincount(where, minlength=len(edges))
    open_edges = (balance != 0) | ((uses % 2 != 0) & (low[np.unique(where, return_index=True)[1]] != high[np.unique(where, return_index=True)[1]]))
    for part in np.unique(of[open_edges[where]])[:10]:
        report.fault(f"STL: {index[part]['part']} is not watertight by identical corners")
    shared = int((uses > 2).sum())
    wide = corners.astype(np.float64)
    face = np.cross(wide[:, 1] - wide[:, 0], wide[:, 2] - wide[:, 0])
    area = np.linalg.norm(face, axis=1)
    # A sliver's direction is lost in f32.
    longest = np.linalg.norm(wide - np.roll(wide, 1, axis=1), axis=2).max(axis=1)
    clear = area > 0.02 * longest * np.maximum(1e-3, np.spacing(np.abs(corners).max()).astype(np.float64) * 50)
    along = np.einsum("ij,ij->i", face, normals.astype(np.float64))[clear] / area[clear]
    if (along < 0.99).any():
        report.fault(f"STL: {(along < 0.99).sum()} normals do not stand on their triangles")
    report.done(
        f"STL: {len(index)} parts, {len(corners)} triangles, each part closed by bit-identical corners "
        f"({shared} edges shared by more than two faces, {int(collapsed.sum())} collapsed edges, {int(clear.sum())} normals)"
    )
    return first, count


def check_stl_against_glb(parts, corners, index, ranges, report):
    plain = [r["part"][1:] if re.match(r"'[=+\-@\t\r]", r["part"]) else r["part"] for r in index]
    by_name = {p.name: p for p in parts}
    if sorted(plain) != sorted(by_name):
        odd = sorted(set(plain) ^ set(by_name))
        report.fault(f"glTF and STL have not the same parts: {odd[:10]}")
    shift_low, shift_high = np.full(3, np.inf), np.full(3, -np.inf)
    boxes = {}
    for p in parts:
        turn, place = p.to_world[:3, :3], p.to_world[:3, 3]
        world = p.form.corners @ turn.T + place
        boxes[p.name] = (world.min(axis=0), world.max(axis=0))
        if p.kind != "pin":
            shift_low, shift_high = np.minimum(shift_low, boxes[p.name][0]), np.maximum(shift_high, boxes[p.name][1])
    middle = (shift_low + shift_high) / 2
    worst_volume = worst_box = worst_box_share = 0.0
    coarse = 0
    for name, row, first, count in zip(plain, index, *ranges):
        p = by_name.get(name)
        if p is None:
            continue
        if row["kind"] != p.kind or row["layer"] != p.layer:
            report.fault(f"{name} is a {row['kind']} of {row['layer']} in the STL, a {p.kind} of {p.layer} in the glTF")
        triangles = corners[first:first + count].astype(np.float64)
        step = half_step(triangles.reshape(-1, 3)) / 1000
        volume, area = volume_and_area(triangles)
        volume, area = volume / 1e9, area / 1e6
        if volume <= 0:
            report.fault(f"{name}: volume {volume} m3 in the STL")
        if row["detail"] == "coarse":
            # A very large roof: not the glTF's form, so only closed and outward.
            coarse += 1
            continue
        # Moving the corners by no more than half a step changes the volume by no more than area x that distance.
        bound = max(area, p.form.area) * (np.linalg.norm(step) + np.linalg.norm(p.form.half_step)) * 1.0001
        off = abs(volume - p.form.volume)
        worst_volume = max(worst_volume, off / bound)
        if off > bound:
            report.fault(f"{name}: {volume:.12f} m3 in the STL, {p.form.volume:.12f} in the glTF, bound {bound:.3e}")
        # Places: half a step of the STL, half a step of the form, the decimals of the glTF's places and turns.
        turn = np.abs(p.to_world[:3, :3])
        branch_turn = np.abs(p.to_world[:3, :3] @ p.to_branch[:3, :3].T)
        reach = np.abs(p.form.corners).max()
        allowed = step + turn @ p.form.half_step + branch_turn @ np.full(3, PLACE_ROUNDING) + 4 * TURN_ROUNDING * reach + 1e-9
        low, high = triangles.min(axis=(0, 1)) / 1000, triangles.max(axis=(0, 1)) / 1000
        size_off = np.abs((high - low) - (boxes[name][1] - boxes[name][0]))
        if (size_off > 2 * (step + turn @ p.form.half_step) + 8 * TURN_ROUNDING * reach + 1e-9).any():
            report.fault(f"{name}: its size differs by {size_off * 1e6} um between STL and glTF")
        # The middle of the building is known to a micrometre from the glTF.
        place_off = np.abs(np.stack([low - (boxes[name][0] - middle), high - (boxes[name][1] - middle)])).max(axis=0)
        worst_box = max(worst_box, place_off.max())
        worst_box_share = max(worst_box_share, (place_off / (allowed + 1e-6)).max())
        if (place_off > allowed + 1e-6).any():
            report.fault(f"{name}: its place differs by {place_off * 1e6} um between STL and glTF")
    report.done(f"STL against glTF: volumes within {worst_volume:.2f} of the bound (area x half a step of f32), places within {worst_box * 1e6:.2f} um ({worst_box_share:.2f} of the bound), {coarse} coarse parts not compared")


# --- backing ---------------------------------------------------------------------------------------------------------


class MemberMesh:
    """A member's triangles in its own frame: x to the side, y along, z out of its upper face."""

    def __init__(self, part, report):
        self.part, self.name = part, part.name
        self.back = np.linalg.inv(part.to_world)
        t = part.form.triangles
        normal = np.cross(t[:, 1] - t[:, 0], t[:, 2] - t[:, 0])
        length = np.linalg.norm(normal, axis=1)
        keep = length > 0
        self.triangles, self.normals = t[keep], normal[keep] / length[keep, None]
        nz = self.normals[:, 2]
        levels = np.unique(np.round(self.triangles[nz < -0.999].mean(axis=1)[:, 2], 6))
        # An I shows two faces to the ground: the underside of each flange.
        self.is_i = len(levels) > 1
        if self.is_i != part.size.startswith("I-joist"):
            report.fault(f"{part.name}: {len(levels)} faces downward, but its size is {part.size!r}")
        self.flange = self.triangles[(nz < -0.999)][:, :, 2].mean(axis=1).max() if self.is_i else -np.inf
        above = self.triangles[:, :, 2].max(axis=1) > self.flange + 1e-9
        self.sides = self.triangles[(np.abs(nz) <= 0.9) & above]
        self.side_normals = self.normals[(np.abs(nz) <= 0.9) & above]
        # Cosine of the most that a side or an end leans against the member's own upright.
        self.upright = float(np.sqrt(1 - (self.side_normals[:, 2] ** 2).max()))
        self.low, self.high = part.form.corners.min(axis=0), part.form.corners.max(axis=0)

    def crossings(self, head, along):
        """For each ray its crossings, sorted: (depth, +1 into or -1 out of the member)."""
        v = self.triangles[None] - head[:, None, None, :]
        d = along[:, None, :]
        # The sign of each edge as seen along the ray; an edge shared by two triangles gives the same number twice.
        c = [np.einsum("ktj,ktj->kt", np.broadcast_to(d, v[:, :, 0].shape), np.cross(v[:, :, i], v[:, :, (i + 1) % 3])) for i in range(3)]
        facing = np.einsum("kj,tj->kt", along, self.normals)
        c = np.stack(c)
        hit = np.where(facing < 0, (c <= 0).all(axis=0), (c >= 0).all(axis=0)) & (np.abs(facing) > 1e-12)
        depth = np.einsum("ktj,tj->kt", v[:, :, 0], self.normals) / np.where(np.abs(facing) > 1e-12, facing, 1)
        result = []
        for k in range(len(head)):
            found = sorted(zip(depth[k, hit[k]], np.where(facing[k, hit[k]] < 0, 1, -1)))
            single = []
            for t, sign in found:
                if not any(s == sign and abs(t - u) < 1e-9 for u, s in single):
                    single.append((t, sign))
            result.append(single)
        return result

    def chord(self, crossings, head, along):
        """Where the axis is in the member (of an I-joist: in the upper flange): enter, leave. None if nowhere, or 'odd'."""
        inside, start, spans = 0, None, []
        for t, sign in crossings:
            if inside == 0 and sign > 0:
                start = t
            inside += sign
            if inside < 0:
                return "odd"
            if inside == 0:
                spans.append([start, t])
        if inside != 0:
            return "odd"
        joined = []
        for span in spans:
            if joined and span[0] - joined[-1][1] < 1e-7:
                joined[-1][1] = span[1]
            else:
                joined.append(span)
        if self.is_i and along[2] < 0:
            floor = (self.flange - head[2]) / along[2]
            joined = [[a, min(b, floor)] for a, b in joined if a < floor]
        joined = [s for s in joined if s[1] - s[0] >= 1e-6]
        return joined[0] if joined else None

    def clearance(self, head, along, start, end):
        """How near the sides and ends come to the axis between two depths, metres, measured square to the axis."""
        u = np.cross(along, [1.0, 0.0, 0.0] if abs(along[0]) < 0.6 else [0.0, 1.0, 0.0])
        u /= np.linalg.norm(u)
        w = np.cross(along, u)
        relative = self.sides - head
        flat = np.stack([relative @ u, relative @ w], axis=-1)
        depth = relative @ along
        least = np.full(len(flat), np.inf)

        def segments(a, b, valid):
            ab = b - a
            square = np.einsum("ij,ij->i", ab, ab)
            s = np.clip(-np.einsum("ij,ij->i", a, ab) / np.where(square > 0, square, 1), 0, 1)
            distance = np.linalg.norm(a + s[:, None] * ab, axis=1)
            np.minimum(least, np.where(valid, distance, np.inf), out=least)

        for i in range(3):
            j = (i + 1) % 3
            p, q, dp, dq = flat[:, i], flat[:, j], depth[:, i], depth[:, j]
            rise = np.where(dp == dq, 1.0, dq - dp)
            s0, s1 = (start - dp) / rise, (end - dp) / rise
            level = dp == dq
            first = np.where(level, 0.0, np.clip(np.minimum(s0, s1), 0, 1))
            last = np.where(level, 1.0, np.clip(np.maximum(s0, s1), 0, 1))
            meets = (np.minimum(dp, dq) <= end) & (np.maximum(dp, dq) >= start)
            segments(p + first[:, None] * (q - p), p + last[:, None] * (q - p), meets)
        for cut in (start, end):
            points, valid = [], []
            for i in range(3):
                j = (i + 1) % 3
                dp, dq = depth[:, i], depth[:, j]
                crosses = (np.minimum(dp, dq) <= cut) & (np.maximum(dp, dq) >= cut) & (dp != dq)
                s = (cut - dp) / np.where(dp == dq, 1.0, dq - dp)
                points.append(flat[:, i] + s[:, None] * (flat[:, j] - flat[:, i]))
                valid.append(crosses)
            for i in range(3):
                j = (i + 1) % 3
                segments(points[i], points[j], valid[i] & valid[j])
        order = np.argsort(least)
        for t in order[:64]:
            if least[t] > 1.0:
                break
            if self.goes_on(t, head, along, start, end):
                continue
            return float(least[t])
        return float("inf") if len(order) == 0 else float(least[order[-1]])

    def goes_on(self, t, head, along, start, end):
        """Whether the member goes on behind a side triangle: a face between two shells of one member is no end."""
        if len(self.part.form.shells) == 1:
            return False
        depth = np.clip((self.sides[t] - head) @ along, start, end).mean()
        axis = head + along * depth
        n = self.side_normals[t]
        beyond = axis + n * (float(n @ (self.sides[t][0] - axis)) + 2e-5)
        up = np.array([[1e-4, 2e-4, 1.0]]) / np.linalg.norm([1e-4, 2e-4, 1.0])
        hits = self.crossings(beyond[None], up)[0]
        return sum(sign for t, sign in hits if t > 0) < 0


def shells(form):
    """Sets of corners that hang together: one for each closed shell."""
    label = np.arange(len(form.corners))
    while True:
        low = label[form.faces].min(axis=1)
        new = label.copy()
        np.minimum.at(new, form.faces.ravel(), np.repeat(low, 3))
        new = new[new]
        if (new == label).all():
            return [np.flatnonzero(label == k) for k in np.unique(label)]
        label = new


def check_backing(parts, findings, design, report):
    landings = findings["landings"]
    fasteners = [(landing, f) for landing in landings for f in landing["fasteners"]]
    head = np.array([f["head"] for _, f in fasteners])
    tip = np.array([f["tip"] for _, f in fasteners])
    length = np.linalg.norm(tip - head, axis=1)
    radius = np.array([f["diameter"] for _, f in fasteners]) / 2
    along = (tip - head) / length[:, None]
    need = np.array([required(findings, design, f["diameter"], report) for _, f in fasteners])

    members = [MemberMesh(p, report) for p in parts if p.layer == "framing"]
    members_by_name = {m.name: m for m in members}
    met = [{} for _ in fasteners]
    odd = set()
    for m in members:
        turn, place = m.back[:3, :3], m.back[:3, 3]
        h, t = head @ turn.T + place, tip @ turn.T + place
        reach = radius[:, None] + 1e-3
        near = ((np.minimum(h, t) - reach <= m.high) & (np.maximum(h, t) + reach >= m.low)).all(axis=1)
        chosen = np.flatnonzero(near)
        if len(chosen) == 0:
            continue
        d = along @ turn.T
        for k, crossings in zip(chosen, m.crossings(h[chosen], d[chosen])):
            chord = m.chord(crossings, h[k], d[k])
            if chord == "odd":
                odd.add(int(k))
                continue
            if chord is None:
                continue
            enter, leave = chord[0], min(chord[1], length[k])
            # The shank comes in through the upper face, below the head.
            if enter < -1e-6 or leave - enter < 1e-6:
                continue
            embedment = leave - enter
            room = m.clearance(h[k], d[k], enter + 1e-9, enter + min(need[k], embedment))
            if m.is_i:
                # The flange's underside, where the shank does not stand square on it: the lowest line of the shank.
                lean = radius[k] * np.sqrt(max(0.0, 1 - d[k][2] ** 2)) / max(abs(d[k][2]), 1e-9)
                embedment_all_round = min(embedment, chord[1] - lean - enter) if lean > 1e-9 else embedment
            else:
                embedment_all_round = embedment
            margin = min(embedment_all_round - need[k], room - radius[k])
            met[k][m.name] = (embedment, room, margin)

    left_out = differ = compared = empty = 0
    worst = 0.0
    verdicts = {}
    for k, (landing, f) in enumerate(fasteners):
        best = max((margin for _, _, margin in met[k].values()), default=-np.inf)
        close = any(abs(margin) <= LIMIT for _, _, margin in met[k].values()) and best <= LIMIT
        seen = verdicts.setdefault(landing["name"], [])
        if k in odd and not (best > LIMIT):
            close = True
        seen.append(None if close else best > 0)
        if close:
            left_out += 1
        elif (best > 0) != f["backed"]:
            differ += 1
            report.fault(f"{f['name']}: backed {f['backed']} in findings.json (member {f['member']}, embedment {f['embedment']:.6f}, room {f['room']}, asked {need[k]:.6f}, radius {radius[k]:.6f}); from the model: { {n: tuple(round(float(x), 7) for x in v) for n, v in met[k].items()} }")
        elif f["backed"] and f["member"] not in met[k]:
            report.fault(f"{f['name']}: said to be in {f['member']}, in the model it meets {list(met[k])}")
        elif f["backed"] and met[k][f["member"]][2] < -LIMIT:
            report.fault(f"{f['name']}: {f['member']} does not back it in the model")
        if f["member"] is None:
            empty += 1
            deep = {n: v for n, v in met[k].items() if v[0] > LIMIT and v[1] > LIMIT}
            if deep and k not in odd:
                report.fault(f"{f['name']}: said to meet nothing, in the model it meets {deep}")
            if f["embedment"] != 0:
                report.fault(f"{f['name']}: meets nothing, but is {f['embedment']} deep")
        elif f["member"] not in members_by_name:
            report.fault(f"{f['name']}: {f['member']} is no framing part of the model")
        elif f["member"] in met[k]:
            compared += 1
            embedment, room, _ = met[k][f["member"]]
            off = abs(embedment - f["embedment"])
            worst = max(worst, off)
            if off > EMBEDMENT:
                report.fault(f"{f['name']}: {f['embedment'] * 1000:.4f} mm deep in {f['member']}, {embedment * 1000:.4f} mm in the model")
            if f["room"] is not None and np.isfinite(room):
                if abs(f["room"] - room) > 1e-5:
                    report.fault(f"{f['name']}: room {f['room'] * 1000:.4f} mm in {f['member']}, {room * 1000:.4f} mm in the model")
        elif k not in odd and f["embedment"] > LIMIT and (f["room"] or 1.0) > LIMIT:
            report.fault(f"{f['name']}: said to be {f['embedment']} m in {f['member']}, in the model it is not")

    agree = 0
    for landing in landings:
        seen = verdicts.get(landing["name"], [])
        if not seen:
            report.fault(f"{landing['name']} has no fastener")
        if landing["backed"] != all(f["backed"] for f in landing["fasteners"]):
            report.fault(f"{landing['name']}: backed {landing['backed']}, but its fasteners are not so")
        if None in seen:
            continue
        agree += landing["backed"] == all(seen)
        if landing["backed"] != all(seen):
            report.fault(f"landing {landing['name']}: backed {landing['backed']} in findings.json, {all(seen)} from the model")
    counts = (len(landings), sum(landing["backed"] for landing in landings))
    if counts != (findings["landing_count"], findings["backed_count"]):
        report.fault(f"findings.json counts {findings['landing_count']}/{findings['backed_count']} landings, the list has {counts}")
    # What is not backed must be named by a failing finding, and say so itself.
    flagged = {part for f in findings["findings"] if f["verdict"] == "fail" for part in f["parts"]}
    for landing in landings:
        if not landing["backed"] and (landing["verdict"] != "fail" or landing["name"] not in flagged):
            report.fault(f"landing {landing['name']} is not backed, and no failing finding names it")
    # Nothing passes on values that nobody confirmed, and what passes names the checks that say so.
    order = ["pass", "unconfirmed", "not_checked", "warn", "fail"]
    for landing in landings:
        share = (landing.get("strength") or {}).get("verdict", "pass")
        if order.index(landing["verdict"]) < order.index(share):
            report.fault(f"{landing['name']}: {landing['verdict']}, but its strength is {share}")
        if landing["verdict"] == "pass" and (landing["basis"] != "confirmed" or not findings["passed_sets"][landing["passed"]]):
            report.fault(f"{landing['name']} passes, and no check on a confirmed basis says so")
    flagged &= {landing["name"] for landing in landings if not landing["backed"]}
    if left_out * 20 > len(fasteners):
        report.fault(f"{left_out} of {len(fasteners)} fasteners are at a limit: too many to have compared anything")
    report.done(
        f"backing: {agree} of {len(landings)} landings alike, {len(landings) - counts[1]} of them not backed "
        f"({len(flagged)} of them named by failing findings); {len(fasteners)} fasteners against {len(members)} members "
        f"({sum(m.is_i for m in members)} of them I-joists), {left_out} within {LIMIT * 1e6:.0f} um of a limit left out"
    )
    report.done(f"backing: {compared} embedments alike within {worst * 1000:.5f} mm, {empty} fasteners meet nothing in both; room to the nearest side alike")


def required(findings, design, diameter, report):
    """The embedment that is asked for: as the design says, else ten diameters, the default that findings.json names."""
    written = design.get("limits", {}).get("embedment")
    if written is not None:
        return metres(written)
    stated = next((d for d in findings["defaults"] if d["key"] == "limits.embedment"), None)
    if stated is None:
        report.fault("neither the design nor findings.json says which embedment is asked for")
        return 10 * diameter
    if abs(metres(stated["value"]) - 10 * diameter) > 0.5e-3 * INCH * 2:
        report.fault(f"limits.embedment by default is {stated['value']}, not ten diameters")
    return 10 * diameter


# --- sizes against tables and the design -----------------------------------------------------------------------------


def check_fasteners(parts, findings, design, report):
    """The fasteners in the model stand where findings.json says, and have the size of the design."""
    by_name = {p.name: p for p in parts if p.layer == "fasteners"}
    diameter, long = metres(design["fastening"]["diameter"]), metres(design["fastening"]["length"])
    worst, seen, axes = 0.0, 0, {}
    for landing in findings["landings"]:
        p = by_name.pop(landing["name"], None)
        if p is None:
            report.fault(f"{landing['name']} has no fasteners in the model")
            continue
        if id(p.form) not in axes:
            axes[id(p.form)] = []
            for members in p.form.shells:
                c = p.form.corners[members]
                low = c[c[:, 2] <= c[:, 2].min() + 1e-7]
                axis = low.mean(axis=0)
                shank = np.linalg.norm((low - axis)[:, :2], axis=1)
                under = np.unique(np.round(c[:, 2] - axis[2], 7))
                if abs(shank.max() - diameter / 2) > 1e-7 or not np.isclose(under, long, rtol=0, atol=2e-7).any():
                    report.fault(f"{p.name}: a shank of radius {shank.max()} m, levels {under}; the design says {diameter} x {long}")
                axes[id(p.form)].append(np.append(axis, 1.0))
        tips = np.array([p.to_world @ a for a in axes[id(p.form)]])[:, :3]
        if len(tips) != len(landing["fasteners"]):
            report.fault(f"{landing['name']}: {len(landing['fasteners'])} fasteners, {len(tips)} in the model")
            continue
        for f in landing["fasteners"]:
            seen += 1
            off = np.linalg.norm(tips - np.array(f["tip"]), axis=1).min()
            worst = max(worst, off)
            if off > LIMIT:
                report.fault(f"{f['name']}: its tip is {off * 1000:.4f} mm off the model's")
            if abs(np.linalg.norm(np.subtract(f["tip"], f["head"])) - long) > 1e-9 or abs(f["diameter"] - diameter) > 1e-9:
                report.fault(f"{f['name']}: not {diameter} x {long} m as the design says")
    for name in by_name:
        report.fault(f"{name}: fasteners in the model that findings.json does not list")
    report.done(f"fasteners: {seen} in the model where findings.json has them (within {worst * 1e6:.2f} um), of the design's size")
    kind = design["fastening"].get("kind", "")
    if "nail" in kind and "in" in design["fastening"]["diameter"]:
        wires = [w for w in NAIL_WIRES if abs(w * INCH - diameter) < 1e-7]
        if not wires:
            report.fault(f"a {design['fastening']['diameter']} nail is in no table of ASTM F1667 (from memory)")
        else:
            report.done(f"nails: {wires[0]} in is a wire of ASTM F1667 (from memory)")


def sections(design):
    """Every section of the design with the kinds of part that it makes: (kinds, small, large, nominal)."""
    found = []

    def size(table):
        nominal = table.get("nominal")
        if nominal:
            thick, wide = nominal.replace(" ", "").lower().split("x")
            small, large = PS20_THICK[thick] * INCH, PS20_WIDE[wide] * INCH
        elif "thickness" in table:
            small, large = metres(table["thickness"]), metres(table["width"])
        else:
            small, large = metres(table["width"]), metres(table["depth"])
        return min(small, large), max(small, large), nominal

    def take(kinds, table):
        if table:
            found.append((kinds, *size(table)))

    for key in ("ridge_board", "hip_rafter"):
        take(KINDS_OF[f"roof.{key}"], design.get("roof", {}).get(key))
    for key in ("rafters", "tails", "lookouts", "blocking", "trim"):
        for table in design.get(key, []):
            take(KINDS_OF[key], table.get("section"))
    for table in design.get("member", []) + design.get("found", {}).get("added", []):
        take([table.get("kind")], table.get("section"))
    for table in design.get("edge", []):
        for key in ("member", "ledger", "rim"):
            if isinstance(table.get(key), dict) and "section" in table[key]:
                take([table[key].get("kind")], table[key]["section"])
    take(KINDS_OF["lattice.batten"], design.get("lattice", {}).get("batten"))
    return found


def profile(part):
    """Width and depth of a member square to its line, in its own frame."""
    c = part.form.corners
    if part.kind == "batten":
        spans = c.max(axis=0) - c.min(axis=0)
        return float(spans[1]), float(spans[2])
    wide, deep = np.ptp(c[:, 0]), np.ptp(c[:, 2])
    # A bent member is as wide as one of its rings.
    for y in np.unique(np.round(c[:, 1], 6)):
        ring = c[np.abs(c[:, 1] - y) < 2e-6]
        if len(ring) >= 4 and np.ptp(ring[:, 2]) > deep - 1e-6:
            wide = min(wide, np.ptp(ring[:, 0]))
    return float(wide), float(deep)


def check_sizes(parts, design, report):
    """Every part whose kind the design gives a section is as large as that section; nominal sizes by PS 20."""
    known = sections(design)
    measured, nominal = 0, set()
    for p in parts:
        if p.layer not in ("framing", "battens"):
            continue
        fits = [(small, large, name) for kinds, small, large, name in known if p.kind in kinds]
        if not fits:
            report.fault(f"{p.name}: the design gives no section for a {p.kind}")
            continue
        small, large = sorted(profile(p))
        match = [f for f in fits if abs(f[0] - small) < 1e-6 and abs(f[1] - large) < 1e-6]
        measured += 1
        if not match:
            report.fault(f"{p.name}: {small / INCH:.5f} x {large / INCH:.5f} in, the design says {[(round(a / INCH, 5), round(b / INCH, 5), n) for a, b, n in fits]}")
        elif match[0][2]:
            nominal.add(match[0][2])
    report.done(f"sizes: {measured} members and battens as the design says; nominal {', '.join(sorted(nominal)) or 'none'} as in PS 20 (from memory)")


def main(folder, design_path):
    report = Report()
    folder = pathlib.Path(folder)
    design = tomllib.loads(pathlib.Path(design_path).read_text(encoding="utf-8"))
    findings = json.loads((folder / "findings.json").read_text(encoding="utf-8"))
    parts, forms = read_glb(folder / "model.glb", report)
    for form in forms.values():
        form.shells = shells(form)
    check_forms(parts, forms, report)
    corners, normals = read_stl(folder / "model.stl")
    with open(folder / "model.stl.csv", newline="", encoding="utf-8") as text:
        index = list(csv.DictReader(text))
    ranges = check_stl(corners, normals, index, report)
    if ranges is not None:
        check_stl_against_glb(parts, corners, index, ranges, report)
    check_backing(parts, findings, design, report)
    check_fasteners(parts, findings, design, report)
    check_sizes(parts, design, report)
    if report.faults:
        print(f"  {report.faults} differences")
    return 1 if report.faults else 0


if __name__ == "__main__":
    if len(sys.argv) != 3:
        sys.exit("use: check-model.py FOLDER DESIGN.toml")
    sys.exit(main(sys.argv[1], sys.argv[2]))
