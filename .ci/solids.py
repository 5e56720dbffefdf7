"""Solids of a model.glb, and how deep two of them lie in one another.

Aim: parts as corners and triangles in the frame of their slope, convex pieces of them, the depth of an overlap. Reason: the judge of random
roofs must not ask the program what a solid is. Limits: models with one node a part; booleans by manifold3d, hulls by qhull (scipy).
"""

import json
import struct

import numpy as np
from manifold3d import Manifold, Mesh
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components
from scipy.spatial import ConvexHull, QhullError

# Corners are f32 about the middle of their form: a face is flat to this, metres.
FLAT = 2e-6


class Form:
    """A closed mesh of the file with its corners joined, and its shells."""

    def __init__(self, corners, faces):
        corners, where = np.unique(corners.astype(np.float32) + np.float32(0), axis=0, return_inverse=True)
        faces = where.ravel()[faces]
        self.corners = corners.astype(np.float64)
        self.faces = faces[(faces[:, 0] != faces[:, 1]) & (faces[:, 1] != faces[:, 2]) & (faces[:, 2] != faces[:, 0])]
        self.triangles = self.corners[self.faces]
        n = len(self.corners)
        links = coo_matrix((np.ones(2 * len(self.faces)), (self.faces[:, [0, 1]].ravel(), self.faces[:, [1, 2]].ravel())), shape=(n, n))
        count, label = connected_components(links, directed=False)
        used = np.unique(label[self.faces])
        self.shells = [np.flatnonzero(label == k) for k in used]
        self._pieces = None

    def solids(self):
        """A manifold for each shell."""
        made = []
        for shell in self.shells:
            number = np.full(len(self.corners), -1)
            number[shell] = np.arange(len(shell))
            faces = number[self.faces[np.isin(self.faces[:, 0], shell)]]
            made.append(Manifold(Mesh(vert_properties=self.corners[shell].astype(np.float32), tri_verts=faces.astype(np.uint32))))
        return made

    def pieces(self):
        """Corners of convex pieces that make up the form, shell by shell."""
        if self._pieces is None:
            self._pieces = []
            for solid in self.solids():
                self._pieces.extend(parted(solid))
        return self._pieces


def planes(triangles):
    """Unit normals and offsets of the triangles that have a direction."""
    normal = np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])
    length = np.linalg.norm(normal, axis=1)
    longest = np.linalg.norm(triangles - np.roll(triangles, 1, axis=1), axis=2).max(axis=1)
    keep = length > 1e-5 * longest
    normal = normal[keep] / length[keep, None]
    return normal, np.einsum("ij,ij->i", normal, triangles[keep].mean(axis=1))


def parted(solid):
    """Convex pieces of a manifold: cut along the plane of a face that has something before it, again and again."""
    todo, done = [solid], []
    while todo:
        s = todo.pop()
        mesh = s.to_mesh()
        corners, faces = np.asarray(mesh.vert_properties[:, :3], dtype=np.float64), np.asarray(mesh.tri_verts)
        # A hull no larger than a thin skin over the solid is the solid.
        if s.hull().volume() - s.volume() < FLAT * s.surface_area() / 2:
            done.append(corners)
            continue
        normal, offset = planes(corners[faces])
        before = (corners @ normal.T - offset).max(axis=0)
        least = s.volume() * 1e-6
        for k in np.argsort(-before):
            # A hair before the face, so that no flap of it hangs on to what lies before.
            cut = s.split_by_plane(tuple(normal[k]), float(offset[k]) + FLAT / 4)
            if min(c.volume() for c in cut) > least:
                break
        else:
            raise ValueError("a form that no plane of its own faces parts")
        todo.extend(alone for c in cut for alone in c.decompose())
        if len(todo) + len(done) > 400:
            raise ValueError("a form that falls into too many pieces")
    return done


class Part:
    """A part: its form, and where it is on its branch (a slope, or the building)."""

    def __init__(self, name, kind, layer, branch, size, stock, verdict, form, turn, place):
        self.name, self.kind, self.layer, self.branch = name, kind, layer, branch
        self.size, self.stock, self.verdict, self.form = size, stock, verdict, form
        self.turn, self.place = turn, place
        self.corners = form.corners @ turn.T + place
        self.low, self.high = self.corners.min(axis=0), self.corners.max(axis=0)

    def pieces(self):
        return [Piece(p @ self.turn.T + self.place) for p in self.form.pieces()]

    def volume(self):
        t = self.form.triangles - self.form.triangles[0, 0]
        return float(np.einsum("ij,ij->i", t[:, 0], np.cross(t[:, 1], t[:, 2])).sum() / 6)


class Piece:
    """A convex body by its corners; faces when they are asked for."""

    def __init__(self, corners):
        self.corners = corners
        self.low, self.high = corners.min(axis=0), corners.max(axis=0)
        self._faces = None

    def faces(self):
        """Outward normals and offsets."""
        if self._faces is None:
            middle = self.corners.mean(axis=0)
            try:
                equations = ConvexHull(self.corners - middle).equations
            except QhullError:
                self._faces = (np.zeros((0, 3)), np.zeros(0))
                return self._faces
            equations = np.unique(np.round(equations, 9), axis=0)
            normal = equations[:, :3]
            self._faces = (normal, (self.corners @ normal.T).max(axis=0))
        return self._faces

    def moved(self, turn, place):
        return Piece(self.corners @ turn.T + place)


def parted_by_a_face(one, other, most):
    """Whether an axis square to a face shows that two convex bodies overlap by no more than `most`."""
    for a, b in ((one, other), (other, one)):
        normal, offset = a.faces()
        if len(normal) and (offset - (b.corners @ normal.T).min(axis=0)).min() <= most:
            return True
    return False


def depth(one, other):
    """The shortest move that parts two convex bodies: how deep the origin lies in the hull of all differences of corners."""
    middle = one.corners.mean(axis=0)
    differences = ((one.corners - middle)[:, None] - (other.corners - middle)[None]).reshape(-1, 3)
    faces = ConvexHull(differences).equations
    return float(max((-faces[:, 3]).min(), 0.0))


def shared_volume(one, other):
    """The volume that two convex bodies share, by booleans."""
    middle = (one.corners.mean(axis=0) + other.corners.mean(axis=0)) / 2
    return (Manifold.hull_points(one.corners - middle) ^ Manifold.hull_points(other.corners - middle)).volume()


def turn_of(quaternion):
    x, y, z, w = np.asarray(quaternion, dtype=np.float64) / np.linalg.norm(quaternion)
    return np.array([
        [1 - 2 * (y * y + z * z), 2 * (x * y - z * w), 2 * (x * z + y * w)],
        [2 * (x * y + z * w), 1 - 2 * (x * x + z * z), 2 * (y * z - x * w)],
        [2 * (x * z - y * w), 2 * (y * z + x * w), 1 - 2 * (x * x + y * y)],
    ])


def read(path):
    """All parts, and the turn and place of each branch in the world (z up): (parts, {name: (turn, place)})."""
    data = path.read_bytes()
    length = struct.unpack_from("<I", data, 12)[0]
    document = json.loads(data[20:20 + length])
    if "EXT_mesh_gpu_instancing" in document.get("extensionsUsed", []):
        raise ValueError("an instanced model: named parts are needed")
    rest = 20 + length
    binary = data[rest + 8:rest + 8 + struct.unpack_from("<I", data, rest)[0]]
    nodes, forms = document["nodes"], {}

    def numbers(index):
        a = document["accessors"][index]
        view = document["bufferViews"][a["bufferView"]]
        kind = {5126: "<f4", 5125: "<u4", 5123: "<u2"}[a["componentType"]]
        wide = {"SCALAR": 1, "VEC3": 3}[a["type"]]
        start = view.get("byteOffset", 0) + a.get("byteOffset", 0)
        stride = view.get("byteStride", wide * np.dtype(kind).itemsize)
        block = np.frombuffer(binary, np.uint8, (a["count"] - 1) * stride + wide * np.dtype(kind).itemsize, start)
        rows = np.lib.stride_tricks.as_strided(block, (a["count"], wide * np.dtype(kind).itemsize), (stride, 1))
        return np.ascontiguousarray(rows).view(kind)

    def form(mesh):
        primitive = document["meshes"][mesh]["primitives"][0]
        key = primitive["attributes"]["POSITION"], primitive["indices"]
        if key not in forms:
            forms[key] = Form(numbers(key[0]), numbers(key[1]).reshape(-1, 3).astype(np.int64))
        return forms[key]

    def pose(node):
        if "matrix" in node or "scale" in node:
            raise ValueError(f"{node['name']}: places and turns are needed")
        return turn_of(node.get("rotation", [0, 0, 0, 1])), np.array(node.get("translation", [0.0, 0.0, 0.0]), dtype=np.float64)

    root = nodes[document["scenes"][document["scene"]]["nodes"][0]]
    parts, branches = [], {}
    for b in root.get("children", []):
        branches[nodes[b]["name"]] = pose(nodes[b])
        for l in nodes[b].get("children", []):
            turn, place = pose(nodes[l])
            if not np.allclose(turn, np.eye(3)) or place.any():
                raise ValueError(f"the layer {nodes[l]['name']} is moved")
            for n in nodes[l].get("children", []):
                node = nodes[n]
                extras = node.get("extras", {})
                layer = nodes[l]["name"].removeprefix(nodes[b]["name"]).strip()
                parts.append(Part(node["name"], extras.get("kind"), layer, nodes[b]["name"], extras.get("size", ""), extras.get("stock"), extras.get("verdict"), form(node["mesh"]), *pose(node)))
    return parts, branches
