"""Opens model.glb in trimesh and assimp: the box that each makes of it must be as large as that of model.stl beside it
(which counts from the roof's middle), and stand where the other one puts it.

Aim: no reader shows another roof. Reason: several readers skip what they do not know without an error. Limits: boxes, and
that there are triangles; other checks look at the solids.
Use: python check-viewers.py FOLDER...   folders that `airlath build` has written
"""

import pathlib
import subprocess
import sys
import tempfile

import numpy
import trimesh

OFF = 1e-3  # metres: both files hold places as single numbers


def stl_bounds(file):
    """Bounds in metres, y up."""
    data = numpy.fromfile(file, dtype=numpy.dtype([("head", "<f4", 3), ("at", "<f4", (3, 3)), ("end", "<u2")]), offset=84)
    points = data["at"].reshape(-1, 3).astype(float) / 1000
    points = points[:, [0, 2, 1]] * [1, 1, -1]
    return numpy.array([points.min(axis=0), points.max(axis=0)])


def by_trimesh(file):
    scene = trimesh.load(file)
    if sum(len(g.faces) for g in scene.geometry.values()) == 0:
        raise SystemExit(f"  {file}: no triangles in trimesh")
    return numpy.array(scene.bounds)


def by_assimp(file):
    # Its `info` reckons bounds with turns in another order; what it exports is what it read.
    with tempfile.TemporaryDirectory() as folder:
        out = pathlib.Path(folder) / "model.obj"
        if subprocess.run(["assimp", "export", str(file), str(out)], capture_output=True).returncode != 0:
            return numpy.full((2, 3), numpy.nan)
        with out.open() as lines:
            points = [line.split()[1:4] for line in lines if line.startswith("v ")]
    points = numpy.array(points, dtype=float)
    return numpy.array([points.min(axis=0), points.max(axis=0)])


failed = False
for folder in map(pathlib.Path, sys.argv[1:]):
    expected, first = stl_bounds(folder / "model.stl"), None
    for name, read in [("trimesh", by_trimesh), ("assimp", by_assimp)]:
        box = read(folder / "model.glb")
        first = box if first is None else first
        off = max(numpy.abs((box[1] - box[0]) - (expected[1] - expected[0])).max(), numpy.abs(box - first).max())
        print(f"  {folder.name} in {name}: box off by {off * 1000:.3f} mm")
        if not off < OFF:
            failed = True
            print(f"  {folder.name} in {name}: another box than model.stl")
sys.exit(failed)
