"""Every table of a folder as a spreadsheet program reads it, under an English and under a German locale.

Aim: no cell may become another number. Reason: where a comma parts decimals a point parts thousands, and `183.219` is then
183219, silently. Limits: LibreOffice Calc is asked, with numbers recognised as it does by itself; a number that it keeps as text
under de-DE is safe, for a sum that lacks it is seen to be nought.

Use: check-spreadsheet.py FOLDER   (exit code 1 on any difference)
"""

import csv
import pathlib
import re
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ET
import zipfile

# Windows locale numbers, as the import filter takes them.
LOCALES = {"en-US": 1033, "de-DE": 1031}
MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
problems = []


def column(reference):
    at = 0
    for letter in re.match(r"[A-Z]+", reference)[0]:
        at = 26 * at + ord(letter) - 64
    return at - 1


def read_back(path, number, folder):
    """Cells by row and column: a float or a text."""
    filters = f"Text - txt - csv (StarCalc):44,34,76,1,,{number},false,false"
    done = subprocess.run(
        ["soffice", f"-env:UserInstallation=file://{folder}/profile", "--headless", "--convert-to", "xlsx",
         f"--infilter={filters}", "--outdir", str(folder), str(path)],
        capture_output=True, text=True, timeout=300)
    book = pathlib.Path(folder) / (path.stem + ".xlsx")
    if not book.exists():
        raise SystemExit(f"soffice made nothing of {path}: {done.stdout} {done.stderr}")
    with zipfile.ZipFile(book) as z:
        shared = []
        if "xl/sharedStrings.xml" in z.namelist():
            root = ET.fromstring(z.read("xl/sharedStrings.xml"))
            shared = ["".join(t.text or "" for t in si.iter(MAIN + "t")) for si in root.iter(MAIN + "si")]
        cells = {}
        for c in ET.fromstring(z.read("xl/worksheets/sheet1.xml")).iter(MAIN + "c"):
            value = c.find(MAIN + "v")
            if value is not None:
                row = int(re.search(r"\d+", c.get("r"))[0]) - 1
                text = c.get("t") == "s"
                cells[row, column(c.get("r"))] = shared[int(value.text)] if text else float(value.text)
    book.unlink()
    return cells


tables = sorted(pathlib.Path(sys.argv[1]).glob("*.csv"))
compared = 0
with tempfile.TemporaryDirectory() as folder:
    for path in tables:
        rows = list(csv.reader(path.read_text().splitlines(keepends=True), strict=True))[:2000]
        for name, number in LOCALES.items():
            cells = read_back(path, number, folder)
            for r, row in enumerate(rows):
                for c, text in enumerate(row):
                    try:
                        wanted = float(text)
                    except ValueError:
                        continue
                    compared += 1
                    got = cells.get((r, c))
                    same = isinstance(got, float) and abs(got - wanted) <= 1e-9 * max(1.0, abs(wanted))
                    kept = name != "en-US" and isinstance(got, str) and float(got) == wanted
                    if not (same or kept):
                        problems.append(f"{path.name}, row {r + 1}, column {c + 1}: {text} reads as {got!r} under {name}")
print(f"  {len(tables)} tables, {compared} numbers read under {', '.join(LOCALES)}")
if not tables or not compared:
    problems.append("no number was compared")
for problem in problems[:20]:
    print("  " + problem)
if len(problems) > 20:
    print(f"  and {len(problems) - 20} more")
sys.exit(1 if problems else 0)
