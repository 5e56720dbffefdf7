"""Random roofs, judged by other code than the program's.

Aim: roofs of every shape by seed; the built program plans each; this reads the design file and what was written, and answers every
question once more from the solids: which parts overlap (convex hulls by qhull, booleans by manifold3d), whether the whole rod of each
fastener lies in wood (booleans), how deep, how near to the member's outer surface, whether parts keep to their outline (shapely), runs
and cantilevers, gaps, counts and masses. Reason: tests in the program's own house share its notions, and examples are few and friendly.
Limits: the roofs of `roofs.py`, a few dozen landings each; a verdict that turns on a few micrometres is left out and counted.
Use: judge-roofs.py PROGRAM [HOW_MANY [FIRST_SEED]]   Exit code 1 on any disagreement, on too many roofs skipped, or where too little was
judged to mean anything.
"""

import sys

sys.dont_write_bytecode = True

import collections
import csv
import importlib.util
import json
import pathlib
import subprocess
import tempfile
import traceback
from concurrent.futures import ProcessPoolExecutor

import drawing
import judging
import judging_lattice as lattice
import judging_sums as sums
import roofs
import solids

HERE = pathlib.Path(__file__).parent
QUESTIONS = [
    judging.clashes, lattice.outlines, judging.backing, lattice.landings, lattice.runs, lattice.crossings, lattice.courses,
    sums.framing, sums.straps, sums.sums,
]
# Least of what two hundred roofs must have made to judge; of fewer roofs that share of it.
LEAST = {
    "slopes": 400, "members": 2000, "members in the world": 60, "rafters in place": 1000, "found offsets": 30, "openings": 25,
    "fasteners judged": 10000, "landings judged": 5000, "landings not backed": 1000, "landings that pass": 700, "embedments": 9000,
    "embedments in members of the world": 50, "rooms to the side": 6000, "clashes": 500, "depths of clashes": 250,
    "parts inside their outline": 8000, "pieces": 1500, "runs": 2000, "cantilevers": 2000, "crossings": 3000,
    "landings over a middle": 2500, "joints": 350, "courses from edge to edge": 500, "courses with openings": 30, "strap nails": 900,
    "rows of quantities": 1200, "lengths": 150, "tape rolls": 200, "clash, not passed": 150, "near-member-side, not passed": 300,
    "end-distance-short, not passed": 600, "off-tape, not passed": 400, "through-strap, not passed": 60,
    "gap-under-batten, not passed": 100, "tip-in-web, not passed": 100, "tip-out-of-member, not passed": 150, "past-outline, not passed": 3,
}
# Of a question's verdicts no more than this share may be left out.
UNCLEAR = 0.03
SKIPPED = 0.02


def tools():
    """The reader of lengths and the rays of check-model.py."""
    spec = importlib.util.spec_from_file_location("check_model", HERE / "check-model.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def dressed(nominal, model):
    thick, wide = nominal.replace(" ", "").lower().split("x")
    return model.PS20_WIDE[wide] * model.INCH, model.PS20_THICK[thick] * model.INCH


def judge(program, seed):
    """(seed, shape, why it was skipped, counts, disagreements)."""
    text, shape = roofs.design(seed)
    counts, wrong = collections.Counter(), []
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        design = folder / "design.toml"
        design.write_text(text, encoding="utf-8")
        run = subprocess.run([program, "build", str(design), "--out", str(folder / "out")], capture_output=True, text=True, timeout=300)
        if run.returncode not in (0, 1, 2):
            return seed, shape, None, counts, [f"the program died with {run.returncode}: {(run.stderr or run.stdout).strip()[-500:]}"]
        if run.returncode == 2:
            return seed, shape, (run.stderr or run.stdout).strip()[-700:], counts, wrong
        try:
            model = tools()
            parts, branches = solids.read(folder / "out" / "model.glb")
            findings = json.loads((folder / "out" / "findings.json").read_text(encoding="utf-8"))
            with open(folder / "out" / "quantities.csv", newline="", encoding="utf-8") as rows:
                quantities = list(csv.DictReader(rows))
            drawn = drawing.Drawing(text, model.metres, lambda n: dressed(n, model))
            roof = judging.Roof(drawn, parts, branches, findings, quantities, model, wrong.append, counts)
            if judging.frames(roof):
                for question in QUESTIONS:
                    question(roof)
        except Exception:
            wrong.append("the judge broke down: " + " / ".join(traceback.format_exc().split("\n")[-6:])[:600])
    counts["roofs"] += 1
    counts[f"roofs, {shape}"] += 1
    return seed, shape, None, counts, wrong


def main(program, many=200, first=1):
    counts, skipped, at_odds = collections.Counter(), [], 0
    with ProcessPoolExecutor(2) as pool:
        for seed, shape, why, of_roof, wrong in pool.map(judge, [program] * many, range(first, first + many)):
            counts += of_roof
            if why is not None:
                skipped.append(seed)
                print(f"  roof {seed} ({shape}) is skipped: {why}")
            at_odds += len(wrong)
            for line in wrong[:8]:
                print(f"  roof {seed} ({shape}): {line}")
            if len(wrong) > 8:
                print(f"  roof {seed} ({shape}): and {len(wrong) - 8} more")
    print("  judged: " + ", ".join(f"{n} {what}" for what, n in sorted(counts.items())))
    print(f"  {many} roofs from seed {first}, {len(skipped)} skipped, {at_odds} disagreements")
    good = at_odds == 0
    if len(skipped) > SKIPPED * many:
        print(f"  {len(skipped)} roofs of {many} are skipped: more than {SKIPPED:.0%}")
        good = False
    for what, least in LEAST.items():
        if counts[what] < least * many / 200:
            print(f"  only {counts[what]} {what}, at least {least} are wanted of 200 roofs")
            good = False
    for what in [w for w in counts if w.startswith("unclear ")]:
        clear = counts[what.removeprefix("unclear ")] or counts["landings judged"]
        if counts[what] > UNCLEAR * clear + 2:
            print(f"  {counts[what]} {what}, of {clear} judged: too many left out")
            good = False
    return 0 if good else 1


if __name__ == "__main__":
    if not 2 <= len(sys.argv) <= 4:
        sys.exit(__doc__)
    sys.exit(main(sys.argv[1], *map(int, sys.argv[2:])))
