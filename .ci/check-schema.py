"""Aim: a document follows its JSON Schema (2020-12), and the schema is one.

Reason: editors and programs of others go by the schema. Use: check-schema.py SCHEMA.json DOCUMENT.toml|.json
"""

import json
import pathlib
import sys
import tomllib

from jsonschema import Draft202012Validator


def main(schema_path: str, document_path: str) -> int:
    schema = json.loads(pathlib.Path(schema_path).read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(schema)
    text = pathlib.Path(document_path).read_text(encoding="utf-8")
    document = tomllib.loads(text) if document_path.endswith(".toml") else json.loads(text)
    validator = Draft202012Validator(schema)
    errors = list(validator.iter_errors(document))
    for error in errors[:20]:
        print(f"    at {error.json_path}: {error.message[:300]}")
    # A schema that takes anything would show nothing.
    lax = [key for key in document if validator.is_valid({**document, key: {"no such key": []}})]
    if lax:
        print(f"    the schema takes anything for {', '.join(lax)}")
        return 1
    print(f"  {len(document)} keys at the top, {len(errors)} faults against the schema")
    return 1 if errors else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
