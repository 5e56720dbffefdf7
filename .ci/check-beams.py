"""Beams against an independent finite element library.

Aim: reactions, moments and deflections of the beams that `cargo run --example beams` prints, computed again by PyNiteFEA.
Reason: a mistake that our own tests share with the solver would stay hidden. Limits: 200 invented pieces; where supports hold one
way, the library is given those that act, and the others are judged by its own deflections.
Use: check-beams.py FILE
"""

import json
import sys

from Pynite import FEModel3D

TOLERANCE = 1e-6
# Places along a piece at which the greatest values are looked for, and what may be missed between them.
FINE = 400
MISSED = 2e-3


def parts(load, marks):
    """A load cut at the nodes: across a whole member between two of them this library takes a load that is not even wrongly."""
    start, end = load["from"], load["to"]

    def at(x):
        return load["left"] + (load["right"] - load["left"]) * (x - start) / (end - start)

    cuts = [start, *(x for x in marks if start < x < end), end]
    return [(a, b, at(a), at(b)) for a, b in zip(cuts, cuts[1:])]


def recomputed(beam, acting):
    model = FEModel3D()
    model.add_material("wood", 1.0, 1.0, 0.3, 1.0)
    # The library lives on shear-stiff members: A, J and the weak axis are of no weight here.
    model.add_section("batten", 1e6, 1.0, beam["stiffness"], 1.0)
    length = beam["length"]
    at = [s["at"] for s in beam["supports"]]
    marks = sorted({0.0, length, *at})
    names = {x: f"N{i}" for i, x in enumerate(marks)}
    for x in marks:
        model.add_node(names[x], x, 0.0, 0.0)
    model.add_member("piece", names[0.0], names[length], "wood", "batten")
    first = names[at[0]]
    for i, x in enumerate(marks):
        holds = any(acting[k] for k, place in enumerate(at) if place == x)
        model.def_support(names[x], names[x] == first, holds, True, names[x] == first, names[x] == first, False)
    for load in beam["loads"]:
        if "at" in load:
            model.add_member_pt_load("piece", "Fy", load["force"], load["at"])
        elif load["to"] > load["from"]:
            for x1, x2, w1, w2 in parts(load, marks):
                model.add_member_dist_load("piece", "Fy", w1, w2, x1, x2)
    model.analyze()
    nodes = [model.nodes[names[x]] for x in at]
    combo = "Combo 1"
    member = model.members["piece"]
    fine = sorted({length * i / FINE for i in range(FINE + 1)} | set(at) | {l["at"] for l in beam["loads"] if "at" in l})
    return {
        "reactions": [-n.RxnFY[combo] if a else 0.0 for n, a in zip(nodes, acting)],
        "at_supports": [n.DY[combo] for n in nodes],
        "deflections": [member.deflection("dy", x, combo) for x in beam["places"]],
        # The library counts a moment positive that we count negative.
        "moments": [-member.moment("Mz", x, combo) for x in beam["places"]],
        "fine_moments": [-member.moment("Mz", x, combo) for x in fine],
        "fine_deflections": [member.deflection("dy", x, combo) for x in fine],
    }


def far(a, b, scale):
    return max(abs(x - y) for x, y in zip(a, b)) / scale


def main(path):
    worst = {"reactions": 0.0, "deflections": 0.0, "moments": 0.0}
    beams = idle = 0
    wrong = []
    with open(path, encoding="utf-8") as lines:
        for number, line in enumerate(lines):
            beam = json.loads(line)
            beams += 1
            acting = [s["holds"] == "Both" or r != 0.0 for s, r in zip(beam["supports"], beam["reactions"])]
            idle += acting.count(False)
            theirs = recomputed(beam, acting)
            force = sum(
                abs(l["force"]) if "at" in l else max(abs(l["left"]), abs(l["right"])) * (l["to"] - l["from"])
                for l in beam["loads"]
            )
            bent = max(map(abs, beam["deflections"])) or 1.0
            scales = {"reactions": force, "deflections": bent, "moments": max(map(abs, beam["moments"])) or 1.0}
            for what, scale in scales.items():
                off = far(beam[what], theirs[what], scale)
                worst[what] = max(worst[what], off)
                if off > TOLERANCE:
                    wrong.append(f"beam {number}: {what} differ by {off:.2e} of their scale")
            greatest = {
                "moment_in": max(0.0, *theirs["fine_moments"]),
                "moment_out": max(0.0, *(-m for m in theirs["fine_moments"])),
                "deflection": max(map(abs, theirs["fine_deflections"])),
            }
            for what, value in greatest.items():
                scale = scales["deflections"] if what == "deflection" else max(map(abs, theirs["fine_moments"])) or 1.0
                if not -TOLERANCE <= (beam[what] - value) / scale <= MISSED:
                    wrong.append(f"beam {number}: greatest {what} is {beam[what]}, the library finds {value}")
            for support, reaction, way in zip(beam["supports"], theirs["reactions"], theirs["at_supports"]):
                sign = {"Both": 0, "Up": 1, "Down": -1}[support["holds"]]
                if sign * reaction < -TOLERANCE * force or sign * way > TOLERANCE * bent:
                    wrong.append(f"beam {number}: the support at {support['at']:.3f} acts the wrong way")
    if beams < 150 or idle < 50:
        wrong.append(f"only {beams} beams with {idle} idle supports: is the example broken?")
    print(f"  {beams} beams, {idle} supports that let go; worst differences: " + ", ".join(f"{k} {v:.1e}" for k, v in worst.items()))
    for line in wrong[:20]:
        print("  " + line)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
