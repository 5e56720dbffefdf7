"""Aim: measure the drawings with a ruler of somebody else's, and compare with the model.

Reason: a program that measures its own drawing agrees with itself. The SVG is read by Python's own XML parser, the model
by trimesh, the PDF by qpdf and poppler; hidden lines are judged by a depth image that numpy draws from the model.

Limits: models with one node a part. Drawings have hundredths of a millimetre, so a length is good to about 0.02 mm times
the scale. Lines within two dots of another edge are left out of the comparison of hidden lines.

Use: check-sheets.py BUILD_FOLDER SHEETS_FOLDER   (exit code 1 on any difference)
"""

import json
import pathlib
import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from fractions import Fraction

import numpy as np
import trimesh

SVG = "{http://www.w3.org/2000/svg}"
INCH = 0.0254
# Depth image: dots along its longer side.
DOTS = 3600
faults = []


def fault(text):
    faults.append(text)


def length(text):
    """A measure as the sheets write it, metres: an own reader."""
    m = re.fullmatch(r"(?:(\d+) ft )?(?:(\d+)(?: |$))?(?:(\d+/\d+) )?(in|mm)", text.strip())
    if not m:
        return None
    feet, whole, part, unit = m.groups()
    value = Fraction(int(whole or 0)) + Fraction(part or 0)
    if unit == "mm":
        return float(value) / 1000
    return float(value + 12 * int(feet or 0)) * INCH


class Drawing:
    def __init__(self, path):
        root = ET.parse(path).getroot()
        self.name = path.stem
        self.views = []
        for g in root.iter(SVG + "g"):
            rows = [np.array([float(v) for v in g.get(f"data-row{k}").split()]) for k in (0, 1)]
            self.views.append((g.get("data-view"), float(g.get("data-scale") or 0), np.array(rows)))
        self.paths = [(p.get("class"), p.get("data-part"), points(p.get("d"))) for p in root.iter(SVG + "path")]
        self.texts = [(float(t.get("x")), float(t.get("y")), t.text, t.get("transform") or "") for t in root.iter(SVG + "text")]

    def of(self, cls, part=None):
        return [(n, r) for c, n, r in self.paths if c == cls and part in (None, n)]


def points(d):
    rings = []
    for piece in d.split("M")[1:]:
        numbers = [float(v) for v in re.findall(r"-?[\d.]+", piece)]
        rings.append(np.array(numbers).reshape(-1, 2))
    return rings


def model(path):
    """World meshes by name and layer, z up."""
    scene = trimesh.load_scene(path, process=False)
    z_up = np.array([[1, 0, 0, 0], [0, 0, -1, 0], [0, 1, 0, 0], [0, 0, 0, 1.0]])
    parts = {}
    for name in scene.graph.nodes_geometry:
        matrix, geometry = scene.graph[name]
        mesh = scene.geometry[geometry].copy()
        mesh.apply_transform(z_up @ matrix)
        # Flat faces have corners of their own in the file.
        mesh.merge_vertices(merge_norm=True, merge_tex=True)
        layer = scene.graph.transforms.parents[name]
        branch = scene.graph.transforms.parents[layer]
        parts[name] = (mesh, layer.removeprefix(branch).strip(), branch)
    return parts


def pose_of(findings, slope):
    """From the world to a slope's coordinates: fitted through the places of its landings (Kabsch)."""
    pairs = [(l["place"]["in_world"], l["place"]["on_slope"]) for l in findings["landings"] if l["slope"] == slope]
    world, own = np.array([p[0] for p in pairs]), np.array([p[1] for p in pairs])
    # Landings lie in one plane: the turn's third column follows from the other two.
    a, b = world - world.mean(0), own - own.mean(0)
    u, _, vt = np.linalg.svd(a.T @ b)
    fix = np.diag([1, 1, np.sign(np.linalg.det(u @ vt))])
    turn = (u @ fix @ vt).T
    assert np.abs((turn @ a.T).T - b).max() < 1e-6
    return turn, own.mean(0) - turn @ world.mean(0)


def middle_length(corners):
    """A batten's length along its middle, by its lower face: the mean of that face's two long sides, so ends aslant count too.
    (An end that is plumb or bevelled is another length at the upper face.)"""
    face = corners[corners[:, 2] < corners[:, 2].min() + 0.002]
    y = (face[:, 1].min(), face[:, 1].max())
    return np.mean([np.ptp(face[np.abs(face[:, 1] - v) < 1e-4, 0]) for v in y])


def check_plan(drawing, parts, findings, slope):
    """Lengths and places of battens, landings and the outline against the model."""
    compared = 0
    _, scale, rows = drawing.views[0]
    mm = scale / 1000
    turn, shift = pose_of(findings, slope)
    whole = not re.search(r"-plan-\d+$", drawing.name)
    tolerance = 0.025 * mm
    for cls in ("batten", "strip", "vent-piece", "tape"):
        for name, rings in drawing.of(cls):
            if not whole or name not in parts:
                continue
            corners = parts[name][0].vertices @ turn.T + shift
            ring = np.vstack(rings)
            drawn = [(ring[:, 0] - rows[0, 3]) / rows[0, 0], (ring[:, 1] - rows[1, 3]) / rows[1, 1]]
            # A slanted end is lower down longer than on top; the plan shows the upper face.
            top = corners[corners[:, 2] > corners[:, 2].max() - 0.002]
            for axis in (0, 1):
                for pick in (np.min, np.max):
                    off = abs(pick(drawn[axis]) - pick(top[:, axis]))
                    compared += 1
                    if off > tolerance:
                        fault(f"{drawing.name}: {name} is drawn {off * 1000:.2f} mm off")
            # The drawing's own ruler: paper millimetres times the scale.
            width = (ring[:, 0].max() - ring[:, 0].min()) * mm
            if abs(width - np.ptp(top[:, 0])) > 2 * tolerance:
                fault(f"{drawing.name}: {name} measures {width:.4f} m, the model has {np.ptp(top[:, 0]):.4f} m")
    dots = np.array([r[0].mean(0) for _, r in drawing.of("fastener")])
    places = np.array([np.mean([f["head"] for f in [f]], 0) for l in findings["landings"] if l["slope"] == slope for f in l["fasteners"]])
    if whole and len(dots):
        own = places @ turn.T + shift
        on_paper = np.c_[own[:, 0] * rows[0, 0] + rows[0, 3], own[:, 1] * rows[1, 1] + rows[1, 3]]
        if len(on_paper) != len(dots):
            fault(f"{drawing.name}: {len(dots)} fasteners drawn, {len(on_paper)} in findings.json")
        for p in on_paper:
            compared += 1
            if np.hypot(*(dots - p).T).min() > 0.05:
                fault(f"{drawing.name}: a fastener at {p} is not drawn")
    # A piece's length as text, against the model.
    for _, _, text, _ in drawing.texts:
        m = re.fullmatch(r"(\S+)  (.+)", text)
        if m and m[1] in parts and length(m[2]) is not None and parts[m[1]][1] == "battens":
            corners = parts[m[1]][0].vertices @ turn.T + shift
            along = middle_length(corners)
            compared += 1
            if abs(length(m[2]) - along) > INCH / 32 + 2e-6:
                fault(f"{drawing.name}: {text} but the model has {along / INCH:.3f} in")
    return compared


def check_lines(drawings, parts, findings, slope):
    """Every running measure of a line against the strips of the model, and where its tick stands against its text."""
    compared = 0
    turn, shift = pose_of(findings, slope)
    low = {}
    for name, (mesh, layer, branch) in parts.items():
        if layer == "strips" and branch == slope and ".s" in name:
            own = mesh.vertices @ turn.T + shift
            low.setdefault(name.split(".s")[0], []).append(own)
    outlines = np.vstack([np.vstack(r) for d in drawings for _, r in d.of("outline")]) if drawings else None
    for d in drawings:
        for _, _, text, transform in d.texts:
            m = re.fullmatch(r"(\S+)  (.+?)(?:, slants)?(?:, laid)?", text)
            if not m or m[1] not in low or length(m[2]) is None:
                continue
            ends = []
            for pick in (min, max):
                at = pick(v[:, 1].min() if pick is min else v[:, 1].max() for v in low[m[1]])
                near = [v[np.abs(v[:, 1] - at) < 2e-3] for v in low[m[1]]]
                # Strips that touch are measured as one; each group that stands apart has its own middle.
                groups = []
                for left, right in sorted((v[:, 0].min(), v[:, 0].max()) for v in near if len(v)):
                    if groups and left - groups[-1][1] < INCH / 16:
                        groups[-1][1] = max(right, groups[-1][1])
                    else:
                        groups.append([left, right])
                ends.extend((left + right) / 2 for left, right in groups)
            compared += 1
            if min(abs(length(m[2]) - e) for e in ends) > INCH / 32 + 2e-6:
                fault(f"{d.name}: {text}, but the strips' middle is at {[round(e / INCH, 3) for e in ends]} in")
    return compared, outlines


def rows_of(drawings, title, columns):
    """Rows of a table on the sheets of measures, over all their parts: cells put together again from their lines."""
    rows = []
    for d in drawings:
        heads = sorted((y, x) for x, y, text, _ in d.texts if text in (title, f"{title} (continued)"))
        for top, _ in heads:
            head = {text: (x, y) for x, y, text, _ in d.texts if text in columns and 0 < y - top < 30}
            if len(head) < len(columns):
                fault(f"{d.name}: {title} lacks a column: {sorted(head)}")
                continue
            left = [head[c][0] for c in columns]
            body = sorted((y, x, text) for x, y, text, t in d.texts if y > head[columns[0]][1] and not t)
            for y, x, text in body:
                if text.startswith("Slope ") and ": " in text:
                    break
                column = next((k for k, at in enumerate(left) if abs(at - x) < 0.02), None)
                if column == 0:
                    rows.append([text] + [""] * (len(columns) - 1))
                elif column is not None and rows:
                    rows[-1][column] = f"{rows[-1][column]} {text}".strip()
    return rows


def check_chalk(marks, plans, parts, findings, slope):
    """A chalk line between printed measures, jog by jog, hits every landing, or the landing has a measure of its own."""
    turn, shift = pose_of(findings, slope)
    inches = any(length(t) is not None and t.endswith(" in") for d in marks for _, _, t, _ in d.texts)
    step = INCH / 16 if inches else 0.001
    ends = {}
    for name, (mesh, layer, branch) in parts.items():
        if layer in ("strips", "tape") and branch == slope and (m := re.fullmatch(r"(.+-L\w+)\.[st]\d+", name)):
            own = mesh.vertices @ turn.T + shift
            kind = ends.setdefault(m[1], {}).setdefault(layer, [])
            kind += [own[:, 1].min(), own[:, 1].max()]
    title = f"Slope {slope}: lines"
    chalk = {}
    for row in rows_of(marks, title, ["line", "lower end", "upper end", "drawn"]):
        y = ends.get(row[0], {})
        y = y.get("strips") or y.get("tape") or [0.0, 1.0]
        chalk[row[0]] = [(min(y), max(y), length(row[1]), length(row[2]))]
    title = f"Slope {slope}: lines that jog, bend, slant or have strips side by side"
    stretches = {}
    for row in rows_of(marks, title, ["line", "from", "to", "middle at from", "middle at to", "strips and their middles"]):
        stretches.setdefault(row[0], []).append((*map(length, row[1:5]), row[5]))
    chalk.update({name: [s[:4] for s in all] for name, all in stretches.items()})
    own = {}
    for row in rows_of(marks, f"Slope {slope}: landings off the lines", ["course", "landings and their own measures"]):
        own.update({m[1]: length(m[2]) for m in re.finditer(r"(\S+) at ([^;]+)", row[1])})
    missed, compared = [], 0
    for l in (l for l in findings["landings"] if l["slope"] == slope):
        x, y = l["place"]["on_slope"][:2]
        compared += 1
        if l["name"] in own:
            off = abs(own[l["name"]] - x)
        elif l["on"] not in chalk:
            off = 9.0
        else:
            away = [max(a - y, y - b, 0.0) for a, b, _, _ in chalk[l["on"]]]
            near = [s for s, w in zip(chalk[l["on"]], away) if w <= max(min(away), step)]
            off = max(abs(p + (q - p) * (y - a) / (b - a) - x) for a, b, p, q in near)
        if off > step / 2 + 2e-6:
            missed.append(l["name"])
    if missed:
        fault(f"slope {slope}: a chalk line misses {len(missed)} of {compared} landings, such as {missed[:5]}")
    # Every jog stands on the plan too, behind its line's name, and every strip of several has its own middle.
    on_plan = {}
    for d in plans:
        name = None
        for _, _, text, transform in sorted((x, y, t, f) for x, y, t, f in d.texts if "-90" in f):
            if m := re.match(r"(\S+-L\w+)  ", text):
                name = m[1]
            elif name:
                on_plan.setdefault(name, []).append(text.strip())
    jogs = 0
    for name, all in stretches.items():
        strips = [[v[:, 0].min() + v[:, 0].max() for v in [m.vertices @ turn.T + shift]][0] / 2
                  for n, (m, layer, branch) in parts.items() if layer == "strips" and n.startswith(name + ".s")]
        for *_, words in all:
            beside = [length(w) for w in re.sub(r"^\d+ strips?:?|; above", ",", words).split(",") if length(w)]
            for x in beside:
                if min(abs(x - s) for s in strips) > step / 2 + 0.02:
                    fault(f"slope {slope}: no strip of {name} is near {x / INCH:.3f} in")
        for low, high in zip(all, all[1:]):
            if abs(low[3] - high[2]) > step * 1.5:
                jogs += 1
                wanted = [t for t in on_plan.get(name, []) if "jogs to" in t]
                found = [t for t in wanted if length(t.split(" jogs to ")[1]) == high[2] and length(t[3:].split(" jogs to ")[0]) == high[0]]
                if not found and not any("more: see measures" in t for t in on_plan.get(name, [])):
                    fault(f"slope {slope}: the plan does not say that {name} jogs at {high[0] / INCH:.3f} in, but {on_plan.get(name)}")
    return compared, jogs


def check_measures(drawing):
    """Marks on rods: the paper's distance times the scale is the number written beside it."""
    compared = 0
    for view, scale, rows in drawing.views:
        for name, rings in drawing.of("measure"):
            x = rings[0][0, 0]
            if not (rings[0][1, 1] < rows[1, 3] < rings[0][0, 1]):
                continue
            at = (x - rows[0, 3]) / rows[0, 0]
            texts = [length(t.split("  ")[1]) for _, _, t, _ in drawing.texts if t.startswith(name + "  ")]
            compared += 1
            if not any(t is not None and abs(t - at) < INCH / 32 + 0.02 * scale / 1000 for t in texts):
                fault(f"{drawing.name}: the mark of {name} is at {at / INCH:.3f} in on the {view}, beside it stands {texts}")
    return compared


def check_details(drawing, findings, slope):
    """The embedment of the crossing, measured in the drawing, against findings.json."""
    named = [re.search(r"fastener (\S+),", t) for _, _, t, _ in drawing.texts]
    name = next((m[1] for m in named if m), None)
    if name is None:
        return 0
    view = next(v for v in drawing.views if v[0].startswith("section crossing"))
    landing, fastener = next((l, f) for l in findings["landings"] for f in l["fasteners"] if f["name"] == name)
    shank = next(r for n, rings in drawing.of("section-crossing", landing["name"]) for r in rings)
    member = next(rings for n, rings in drawing.of("section-crossing", fastener["member"]))
    ys = np.concatenate([r[:, 1] for r in member])
    measured = (shank[:, 1].max() - ys.min()) * view[1] / 1000
    if abs(measured - fastener["embedment"]) > 0.03 * view[1] / 1000:
        fault(f"{drawing.name}: embedment measures {measured / INCH:.3f} in, findings.json has {fastener['embedment'] / INCH:.3f} in")
    long = np.linalg.norm(np.subtract(fastener["head"], fastener["tip"]))
    head = shank[:, 0].max() - shank[:, 0].min()
    wide = shank[np.abs(shank[:, 0] - np.median(shank[:, 0])) > 0.45 * head]
    drawn = (shank[:, 1].max() - wide[:, 1].max()) * view[1] / 1000
    if abs(drawn - long) > 0.03 * view[1] / 1000:
        fault(f"{drawing.name}: the fastener measures {drawn / INCH:.3f} in, findings.json has {long / INCH:.3f} in")
    return 2


def check_hidden(drawing, parts, slope):
    """Lines drawn and lines left out against a depth image of the same model."""
    rows = drawing.views[0][2]
    right, down = rows[0, :3], rows[1, :3]
    f = np.linalg.norm(right)
    towards = np.cross(right / f, -down / np.linalg.norm(down))
    kinds = {"framing", "deck", "membrane", "straps", "tape", "strips", "vent pieces", "battens", "still to come"}
    owned = [(n, m) for n, (m, layer, branch) in parts.items() if branch == slope and layer in kinds]
    meshes = [m for _, m in owned]
    dot = max(np.ptp(np.vstack([m.vertices for m in meshes]) @ (right / f)), np.ptp(np.vstack([m.vertices for m in meshes]) @ (down / f))) / DOTS

    def seen(p):
        q = np.c_[p @ right + rows[0, 3], p @ down + rows[1, 3]] / f / dot
        return q, p @ towards

    whole, _ = seen(np.vstack([m.vertices for m in meshes]))
    low = whole.min(0) - 4
    size = np.ceil(whole.max(0) - low + 8).astype(int)
    depth = np.full((size[1], size[0]), -np.inf)
    for m in meshes:
        q, d = seen(m.vertices)
        q = q - low
        for t in m.faces:
            a, b, c = q[t]
            turn = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
            if abs(turn) < 1e-9:
                continue
            x0, y0 = np.floor(q[t].min(0)).astype(int)
            x1, y1 = np.ceil(q[t].max(0)).astype(int)
            x, y = np.meshgrid(np.arange(x0, x1 + 1) + 0.5, np.arange(y0, y1 + 1) + 0.5)
            u = ((b[1] - c[1]) * (x - c[0]) + (c[0] - b[0]) * (y - c[1])) / turn
            v = ((c[1] - a[1]) * (x - c[0]) + (a[0] - c[0]) * (y - c[1])) / turn
            inside = (u >= 0) & (v >= 0) & (u + v <= 1)
            z = u * d[t[0]] + v * d[t[1]] + (1 - u - v) * d[t[2]]
            window = depth[y0:y1 + 1, x0:x1 + 1]
            np.maximum(window, np.where(inside, z, -np.inf), out=window)

    # Sharp edges of the model, sampled: clearly seen (nothing in front nearby) or clearly hidden (all nearby is in front).
    visible, hidden, doubtful, names = [], [], [], []
    around = [(i, j) for i in range(-2, 3) for j in range(-2, 3)]
    inner = [k for k, (i, j) in enumerate(around) if max(abs(i), abs(j)) < 2]
    # The nails of a strap lie nearer under its steel than a dot is wide.
    thin = {n for n, (_, layer, _) in parts.items() if layer == "straps"}
    for name, m in owned:
        edges = m.face_adjacency_edges[m.face_adjacency_angles > np.radians(12)]
        facing = (m.face_normals @ towards)[m.face_adjacency[m.face_adjacency_angles > np.radians(12)]].max(1) > 1e-6
        for (a, b), faces_eye in zip(m.vertices[edges], facing):
            n = max(2, int(np.linalg.norm(b - a) / (12 * dot)))
            p = a + (b - a) * ((np.arange(n) + 0.5) / n)[:, None]
            q, d = seen(p)
            ij = np.floor(q - low).astype(int)
            near = np.stack([depth[np.clip(ij[:, 1] + j, 0, size[1] - 1), np.clip(ij[:, 0] + i, 0, size[0] - 1)] for i, j in around])
            # A dot's depth differs from the line's by as much as faces fall away within two dots.
            before = near - d
            seen_here = (before[inner].max(0) < 2.5 * dot) & faces_eye & (name not in thin)
            hidden_here = before.min(0) > 8 * dot
            visible += list(q[seen_here])
            names += [name] * int(seen_here.sum())
            hidden += list(q[hidden_here])
            doubtful += list(q[~hidden_here])
    visible, hidden, doubtful = (np.array(v) * dot * f for v in (visible, hidden, doubtful))

    classes = [c for c in {c for c, _, _ in drawing.paths} if c.startswith("seen-")]
    segments = np.array([r for c in classes for _, rings in drawing.of(c) for r in rings if len(r) == 2])
    samples = []
    for a, b in segments:
        n = max(1, int(np.linalg.norm(b - a) / 0.15))
        samples.append(a + (b - a) * (np.arange(n + 1) / n)[:, None])
    samples = np.vstack(samples)
    from scipy.spatial import cKDTree
    tree = cKDTree(samples)
    missing = tree.query(visible)[0] > 0.2
    if missing.mean() > 0.002:
        some = sorted({n for n, lost in zip(names, missing) if lost})
        fault(f"{drawing.name}: {missing.sum()} of {len(visible)} samples of seen edges are not drawn, of {some[:6]}")
    # Where a hidden edge lies beside one that may be seen, the picture cannot tell the two apart: the others count.
    lonely = hidden[cKDTree(doubtful).query(hidden)[0] > 0.6] if len(hidden) else hidden
    wrong = tree.query(lonely)[0] < 0.05 if len(lonely) else np.array([])
    share = wrong.mean() if len(wrong) else 0.0
    if share > 0.002:
        fault(f"{drawing.name}: {wrong.sum()} of {len(lonely)} samples of hidden edges are drawn, such as at {lonely[wrong][0]} mm")
    return len(visible), len(lonely), missing.mean(), share


def check_pdf(path, parts):
    """Sound, its typeface enclosed, its names found, its pages not blank."""
    def run(*command):
        return subprocess.run(command, capture_output=True, text=True)
    done = run("qpdf", "--check", str(path))
    if done.returncode != 0:
        fault(f"qpdf: {done.stdout} {done.stderr}")
    fonts = run("pdffonts", str(path)).stdout.splitlines()[2:]
    if not fonts or not all(re.search(r"\byes (yes|no) yes\b", f) for f in fonts):
        fault(f"typefaces are not all enclosed and readable as text: {fonts}")
    text = run("pdftotext", "-layout", str(path), "-").stdout
    wanted = [n for n, (_, layer, _) in parts.items() if layer == "battens"]
    lost = [n for n in wanted if n not in text]
    if lost or not wanted:
        fault(f"pdftotext does not find {lost[:5]} ({len(lost)} of {len(wanted)})")
    pages = text.count("\f")
    if text.count("replaces no licensed designer") != pages:
        fault("a page does not say that it replaces no licensed designer")
    image = subprocess.run(["pdftoppm", "-r", "40", "-gray", str(path)], capture_output=True).stdout
    blank = 0
    while image:
        head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", image)
        w, h = int(head[1]), int(head[2])
        dots = np.frombuffer(image, np.uint8, w * h, head.end())
        blank += (dots < 128).mean() < 0.002
        image = image[head.end() + w * h:]
    if blank:
        fault(f"{blank} pages are all but blank")
    return pages, len(wanted)


def main(build, sheets):
    build, sheets = pathlib.Path(build), pathlib.Path(sheets)
    parts = model(build / "model.glb")
    findings = json.loads((build / "findings.json").read_text())
    drawings = {p.stem: Drawing(p) for p in sorted(sheets.glob("*.svg"))}
    for slope in sorted({l["slope"] for l in findings["landings"]}):
        plans = [d for n, d in drawings.items() if n == f"{slope}-plan" or n.startswith(f"{slope}-plan-")]
        marks = [d for n, d in drawings.items() if n.startswith(f"{slope}-measures")]
        compared = sum(check_plan(d, parts, findings, slope) for d in plans)
        lines, _ = check_lines(plans + marks, parts, findings, slope)
        rods = sum(check_measures(d) for d in marks)
        landings, jogs = check_chalk(marks, plans, parts, findings, slope)
        details = check_details(drawings[f"{slope}-details"], findings, slope)
        if not plans or lines < 12 or rods < 12:
            fault(f"slope {slope}: only {compared}, {lines} and {rods} measures were compared")
        print(f"  slope {slope}: {compared} places and lengths, {lines} running measures, {rods} marks on rods, {details} in the detail, chalk to {landings} landings past {jogs} jogs")
        seen, hidden, missing, wrong = check_hidden(drawings[f"{slope}-isometric"], parts, slope)
        if seen < 1000 or hidden < 100:
            fault(f"slope {slope}: only {seen} seen and {hidden} hidden samples")
        print(f"    picture: {seen} samples of seen edges ({100 * missing:.2f} % not drawn), {hidden} of hidden ones ({100 * wrong:.2f} % drawn)")
    pages, names = check_pdf(sheets / "sheets.pdf", parts)
    print(f"  PDF: {pages} pages, typefaces enclosed, {names} names of battens found")
    for f in faults[:20]:
        print(f"  FAULT {f}")
    sys.exit(1 if faults else 0)


main(*sys.argv[1:])
