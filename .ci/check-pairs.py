"""Overlaps of two solids against independent libraries.

Aim: the verdict and the depth of each pair that `cargo run --example pairs` prints. The verdict by booleans (manifold3d): what
clashes shares a volume, what does not shares none. The depth by the Minkowski difference, whose hull qhull computes from all
differences of corners: the origin's distance to its surface is the shortest move that parts the two. That move, made, leaves no
shared volume; nineteen twentieths of it leave some. Reason: a mistake that our own tests share with the query would stay hidden.
Limits: 2,000 invented pairs; none between 5 and 15 micrometres deep.
Use: check-pairs.py FILE
"""

import json
import sys

import numpy as np
from manifold3d import Manifold
from scipy.spatial import ConvexHull

DISTINCT = 1e-5
# What the booleans may leave where solids only touch, as a thickness over the smaller one's surface, metres.
LEFT = 1e-12
DEPTH = 1e-9


def shared(one, other):
    return (Manifold.hull_points(one) ^ Manifold.hull_points(other)).volume()


def main(path):
    pairs = clashes = deep = 0
    worst = 0.0
    wrong = []
    with open(path, encoding="utf-8") as lines:
        for number, line in enumerate(lines):
            pair = json.loads(line)
            one, other = np.array(pair["one"]), np.array(pair["other"])
            # Near the origin, so that the libraries have all their digits.
            middle = one.mean(axis=0)
            one, other = one - middle, other - middle
            hulls = ConvexHull(one), ConvexHull(other)
            thin = LEFT * min(h.area for h in hulls)
            pairs += 1
            clashes += pair["clash"]
            depth = pair["depth"] or 0.0
            if pair["clash"] != (depth > DISTINCT):
                wrong.append(f"pair {number}: {depth} deep, clash {pair['clash']}")
            volume = shared(one, other)
            if pair["clash"] != (volume > thin) and not (depth and depth < DISTINCT):
                wrong.append(f"pair {number}: clash {pair['clash']}, {depth} deep, the library finds {volume} cubic metres shared")
            # Faces of the difference look out: the origin is inside where all offsets are negative.
            differences = (one[:, None] - other[None]).reshape(-1, 3)
            faces = ConvexHull(differences).equations
            inside = -faces[:, 3]
            nearest = inside.argmin()
            theirs = max(inside[nearest], 0.0)
            worst = max(worst, abs(theirs - depth))
            if abs(theirs - depth) > DEPTH:
                wrong.append(f"pair {number}: {depth} deep, by the library {theirs}")
            if depth > 1e-4:
                deep += 1
                way = faces[nearest, :3]
                if shared(one, other + way * (depth + 1e-6)) > thin or shared(one, other + way * depth * 0.95) <= 0.0:
                    wrong.append(f"pair {number}: a move by {depth} does not part them, or a shorter one does")
    if pairs != 2000 or clashes < 600 or pairs - clashes < 400 or deep < 500:
        wrong.append(f"only {pairs} pairs, {clashes} of which clash, {deep} deeply: is the example broken?")
    print(f"  {pairs} pairs, {clashes} clash, {deep} moved apart; worst difference in depth {worst * 1e9:.3f} nm")
    for line in wrong[:20]:
        print("  " + line)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
