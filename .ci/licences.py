"""Writes src/cli/licences.txt: who wrote what the program is made of, and on what terms.

Aim: whoever gets the program gets the notices that its licences ask for. Reason: nearly all of them ask that the copyright
line and the terms go with every copy. How: the libraries are those that `cargo metadata` links for Linux on x86-64; of several
licences that a library offers one is taken; copyright lines come from the library's own files. A test holds the list against
Cargo.lock. Limits: on other systems a few libraries differ. It judges no law.
Use: python3 .ci/licences.py   after a change of the dependencies
"""

import json
import pathlib
import re
import subprocess

HERE = pathlib.Path(__file__).resolve().parent.parent
# In this order, where a library lets us choose.
PREFERRED = ["MIT", "Apache-2.0", "Zlib", "BSD-3-Clause", "BSD-2-Clause", "ISC", "Unicode-3.0"]


def linked():
    """The packages that are linked into the program, by name and version."""
    command = ["cargo", "metadata", "--locked", "--format-version", "1", "--filter-platform", "x86_64-unknown-linux-gnu"]
    data = json.loads(subprocess.run(command, cwd=HERE, check=True, capture_output=True, text=True).stdout)
    packages = {p["id"]: p for p in data["packages"]}
    nodes = {n["id"]: n for n in data["resolve"]["nodes"]}
    root = data["resolve"]["root"]
    seen, todo = set(), [root]
    while todo:
        here = todo.pop()
        if here in seen:
            continue
        seen.add(here)
        todo += [d["pkg"] for d in nodes[here]["deps"] if any(k["kind"] is None for k in d["dep_kinds"])]
    return sorted((packages[i] for i in seen - {root}), key=lambda p: (p["name"], p["version"]))


def taken(expression):
    """The licences that we take of an expression."""
    all_of = []
    for part in re.split(r"\s+AND\s+", expression):
        offered = [o.strip() for o in re.split(r"\s+OR\s+|/", part.strip().strip("()"))]
        choice = next((p for p in PREFERRED if p in offered), None)
        if choice is None:
            raise SystemExit(f"no licence known among {expression}")
        all_of.append(choice)
    return all_of


def files(package):
    folder = pathlib.Path(package["manifest_path"]).parent
    begins = ("license", "licence", "copying", "notice", "copyright", "unlicense")
    return sorted(f for f in folder.iterdir() if f.is_file() and f.name.lower().startswith(begins))


def text_of(file):
    text = file.read_text(errors="replace").replace("\r\n", "\n").replace("\f", "\n")
    return "\n".join(line.rstrip() for line in text.strip().split("\n"))


def holders(package):
    found = []
    for file in files(package):
        for line in text_of(file).split("\n"):
            line = " ".join(line.split())
            plain = re.match(r"(copyright\b.*(\d{4}|©|\(c\))|\(c\) \d|© ?\d)", line, re.I)
            if plain and "yyyy" not in line and "name of copyright" not in line and len(line) < 160 and line not in found:
                found.append(line)
    if not found:
        authors = ", ".join(re.sub(r"\s*<[^>]*>", "", a) for a in package["authors"])
        found = ["Copyright " + (authors or f"the authors of {package['name']}")]
    return found


def main():
    packages = linked()
    lines = ["Libraries: name, version, what it offers, what we take of it, and whose it is.", ""]
    own_texts, shared = {}, {}
    for package in packages:
        licences = taken(package["license"])
        lines.append(f"{package['name']} {package['version']}: {package['license']}; taken under {' and '.join(licences)}")
        lines += [f"    {h}" for h in holders(package)]
        for licence in licences:
            shared.setdefault(licence, []).append(package)
        for file in files(package):
            if file.name.lower().startswith(("notice", "copying")) and len(text_of(file)) > 1500:
                own_texts.setdefault(text_of(file), []).append(f"{package['name']} {file.name}")
    body = "\n".join(lines)

    def first(licence, holds, without):
        for package in shared[licence]:
            for file in files(package):
                text = text_of(file)
                if all(h in text for h in holds) and not any(w in text for w in without):
                    return text
        raise SystemExit(f"no text of {licence}")

    mit = first("MIT", ["Permission is hereby granted, free of charge", "THE SOFTWARE IS PROVIDED"], ["Apache", "Zlib"])
    texts = {"MIT": mit[mit.index("Permission is hereby granted") :]}
    if "Apache-2.0" in shared:
        texts["Apache-2.0"] = first("Apache-2.0", ["Apache License", "Version 2.0, January 2004", "9. Accepting"], ["LLVM"])
    for licence, mark in [
        ("Zlib", "This software is provided 'as-is'"),
        ("BSD-3-Clause", "Redistribution and use in source and binary forms"),
        ("BSD-2-Clause", "Redistribution and use in source and binary forms"),
        ("ISC", "Permission to use, copy, modify"),
        ("Unicode-3.0", "UNICODE LICENSE V3"),
    ]:
        for package in shared.get(licence, []):
            for file in files(package):
                text = text_of(file)
                if mark in text and "Apache License" not in text:
                    own_texts.setdefault(text, []).append(f"{package['name']} ({licence})")
    for licence, text in texts.items():
        body += f"\n\n---- {licence} ----\n\n{text}"
    for text, names in own_texts.items():
        body += f"\n\n---- {', '.join(dict.fromkeys(names))} ----\n\n{text}"
    (HERE / "src/cli/licences.txt").write_text(body + "\n")
    print(f"{len(packages)} libraries")


main()
