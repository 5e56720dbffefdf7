"""The lists read back by an independent reader, and the boards against an independent solver.

Aim: the cut list is sound as a file, saws no board twice, and its boards are as few as HiGHS (through SciPy) proves.
Limits: the solver gets the pieces of the list, so it says nothing about the choice of joints; it stops after a minute and
then gives a bound only. Use: check-lists.py FOLDER DESIGN.
"""

import csv
import sys
import tomllib
from collections import Counter, defaultdict
from pathlib import Path

import numpy
from scipy.optimize import Bounds, LinearConstraint, milp

folder, design = Path(sys.argv[1]), Path(sys.argv[2])
problems = []


def rows(name):
    text = (folder / name).read_bytes().decode("utf-8")
    table = list(csv.reader(text.splitlines(keepends=True), strict=True))
    head, body = table[0], table[1:]
    for row in body:
        if len(row) != len(head):
            problems.append(f"{name}: a row of {len(row)} cells under {len(head)} headings")
        for cell in row:
            number = cell.lstrip("-").replace(".", "", 1).isdigit()
            if number and len(cell.partition(".")[2]) == 3:
                problems.append(f"{name}: a spreadsheet may take {cell} for thousands")
            if cell[:1] in ("=", "+", "@", "\t", "\r") or (cell[:1] == "-" and not number):
                problems.append(f"{name}: a spreadsheet would run {cell!r}")
    notes = " ".join(row[-1] for row in body)
    if any(row[-1] for row in body[1:]):
        problems.append(f"{name}: a note stands beside another row than the first")
    for wanted in ("plan fingerprint", "not checked", "no engineer has reviewed"):
        if wanted not in notes:
            problems.append(f"{name}: no note says {wanted!r}")
    return [dict(zip(head, row)) for row in body]


cut, buying = rows("cut-list.csv"), rows("buying-list.csv")
rows("order-of-work.csv")
text = tomllib.loads(design.read_text())
fewest = text["lattice"]["batten"].get("joints") == "fewest boards"
unit = "in" if text["units"] == "inches" else "mm"
kerf = 0.125 if unit == "in" else 3.175
least = 0.02

# Boards, sawn piece after piece.
boards = defaultdict(list)
for piece in cut:
    if piece["board"]:
        boards[int(piece["board"])].append(piece)
number = lambda piece, column: float(piece[f"{column} ({unit})"])
for board, pieces in sorted(boards.items()):
    at = 0.0
    for piece in sorted(pieces, key=lambda p: number(p, "begins at")):
        if abs(number(piece, "begins at") - at) > least:
            problems.append(f"board {board}: {piece['piece']} does not begin behind the saw cut before it")
        at = number(piece, "begins at") + number(piece, "takes") + kerf
        if at - kerf > number(piece, "board length") + least:
            problems.append(f"board {board}: {piece['piece']} reaches past its end")
bought = {number(b, "length"): int(b["buy"]) for b in buying if b["item"] == "batten board"}
used = Counter(number(pieces[0], "board length") for pieces in boards.values())
if any(used[length] != n for length, n in bought.items()):
    problems.append(f"bought {bought}, cut {dict(used)}")

# HiGHS: boards one by one would be too symmetric, so patterns, all of them.
# Where fewest boards are asked for, one board more outweighs any difference in length.
each = (max(bought) - min(bought)) * len(cut) + 1 if fewest and bought else 0
ours = sum((each + length) * n for length, n in used.items())
total = sum(length * n for length, n in used.items())
# Lists show thousandths, rounded: a piece may be half of one shorter than it reads, and two that fill a board to the last
# hair read as longer than the board. Half less each makes what HiGHS proves hold for the pieces as they are.
rounding, float_error = 0.0005, 1e-6
wanted = Counter(round(number(p, "takes"), 3) - rounding for pieces in boards.values() for p in pieces)
sizes = sorted(wanted, reverse=True)
patterns = []


def extend(stock, first, room, takes):
    if len(patterns) > 200_000:
        return
    full = True
    for k in range(first, len(sizes)):
        if takes.count(k) < wanted[sizes[k]] and sizes[k] + kerf <= room + float_error:
            full = False
            extend(stock, k, room - sizes[k] - kerf, [*takes, k])
    if full and takes:
        patterns.append((stock, takes))


for stock in bought:
    extend(stock, 0, stock + kerf, [])
if wanted and len(patterns) <= 200_000:
    matrix = numpy.zeros((len(sizes), len(patterns)))
    for p, (_, takes) in enumerate(patterns):
        for k in takes:
            matrix[k, p] += 1
    demand = numpy.array([wanted[s] for s in sizes])
    cost = numpy.array([each + stock for stock, _ in patterns])
    found = milp(
        cost,
        constraints=LinearConstraint(matrix, demand, numpy.inf),
        integrality=numpy.ones(len(patterns)),
        bounds=Bounds(0, numpy.inf),
        options={"time_limit": 60},
    )
    bound = found.mip_dual_bound if found.mip_dual_bound is not None else 0
    proved = found.status == 0
    said = "proves no less than" if proved else "ran out of time above"
    print(f"  {len(boards)} boards, {total:g} {unit}; HiGHS {said} {bound:g}{f' ({each:g} each board)' if each else ''}")
    if ours < bound - 1e-3 * len(boards) - 1e-6 * bound:
        problems.append(f"{ours} is less than {bound}: some piece is missing")
    least_step = 1e-3 * len(boards) + 1e-6 * bound
    if proved and ours > found.fun + least_step:
        problems.append(f"{ours} is more than {found.fun}, the least possible")
    if not proved and ours > bound + each + max(bought) + 1e-3:
        problems.append(f"{ours} is more than a board above {bound}")
elif wanted:
    print(f"  {len(boards)} boards, {total:g} {unit}; too many patterns to try them all")

for problem in problems[:20]:
    print("  " + problem)
sys.exit(1 if problems else 0)
