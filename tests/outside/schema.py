"""The schemas of the files, judged by a general-purpose validator of JSON Schema.

Given the program and the files of the project: every schema is one itself, every demo, big and sweep job, firm file and price
book validates, every example of a schema is valid where it stands, and files broken on purpose are refused. Values are taken as
YAML 1.2 has them (core schema, section 10.3.2 of the specification): `no` is a word, `2026-11-25` is text.

    python tests/outside/schema.py target/debug/wetout
"""

import copy
import json
import re
import subprocess
import sys
from pathlib import Path

import yaml
from jsonschema import Draft202012Validator

ROOT = Path(__file__).resolve().parents[2]


class Core(yaml.SafeLoader):
    """YAML 1.2's core schema on a parser of YAML 1.1."""


Core.yaml_implicit_resolvers = {}
for tag, form, first in [
    ("tag:yaml.org,2002:bool", r"true|True|TRUE|false|False|FALSE", "tTfF"),
    ("tag:yaml.org,2002:null", r"~|null|Null|NULL|", ["~", "n", "N", ""]),
    ("tag:yaml.org,2002:int", r"[-+]?[0-9]+", "-+0123456789"),
    ("tag:yaml.org,2002:float", r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", "-+.0123456789"),
]:
    Core.add_implicit_resolver(tag, re.compile(f"^(?:{form})$"), list(first))


# The parser of YAML 1.1 reads a leading nought as octal.
Core.add_constructor("tag:yaml.org,2002:int", lambda loader, node: int(node.value))
Core.add_constructor("tag:yaml.org,2002:float", lambda loader, node: float(node.value))


def read(path):
    return yaml.load(Path(path).read_text(encoding="utf-8"), Core)


def schema_of(program, name):
    text = subprocess.run([program, "schema", name], check=True, capture_output=True, text=True).stdout
    schema = json.loads(text)
    Draft202012Validator.check_schema(schema)
    return schema


def examples(schema, root, path=()):
    """Every example with the schema that it stands in."""
    if isinstance(schema, dict):
        for found in schema.get("examples", []):
            yield path, found, schema
        for key, inner in schema.items():
            if key != "examples":
                yield from examples(inner, root, path + (key,))
    elif isinstance(schema, list):
        for n, inner in enumerate(schema):
            yield from examples(inner, root, path + (n,))


def places(value, path=()):
    """Every place of a file, from the top."""
    yield path, value
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from places(inner, path + (key,))
    elif isinstance(value, list):
        for n, inner in enumerate(value):
            yield from places(inner, path + (n,))


def changed(file, path, value):
    copied = copy.deepcopy(file)
    at = copied
    for step in path[:-1]:
        at = at[step]
    at[path[-1]] = value
    return copied


def breakages(file):
    """A file broken in every place in which a schema can see it. What an option changes is read as the job is."""
    for path, value in places(file):
        if "change" in path or not path:
            continue
        if isinstance(value, dict):
            if path[-1] != "edges":
                yield path, "a key that there is not", changed(file, path, {**value, "widht": "5 m"})
            if path[-1] != "edges" and (len(path) < 2 or path[-2] != "edges"):
                yield path, "a list for a group", changed(file, path, [[]])
        elif isinstance(value, str) and re.fullmatch(r"[0-9.]+ (mm|m|kg|%|C|h|W/mK|m2|m3)", value):
            yield path, "another unit", changed(file, path, value.split()[0] + " furlongs")
            yield path, "no number", changed(file, path, "wide " + value)
            # A part of a whole is limited where all parts are known.
            if not value.endswith("%"):
                yield path, "far too much", changed(file, path, "9999999999 " + value.split()[1])
        elif isinstance(value, str) and path[-1] in ("finish", "action", "run", "kind", "flashing") and "topcoat" not in path:
            yield path, "a word that there is not", changed(file, path, value + "x")
        if isinstance(value, list) and value and path[-1] not in ("address", "also_signs", "outlet", "outlets", "resin"):
            if not isinstance(path[-2] if len(path) > 1 else None, str) or path[-2] != "edges":
                yield path, "a number for a list", changed(file, path, 17)


def main(program):
    kinds = ("job", "firm", "prices", "found", "record", "stock")
    schemas = {name: schema_of(program, name) for name in kinds}
    validators = {name: Draft202012Validator(schema) for name, schema in schemas.items()}
    files = [("job", p) for p in sorted(ROOT.glob("jobs/*/job.yaml"))]
    files += [("job", p) for folder in ("big_jobs", "jobs_for_sweep") for p in sorted(ROOT.glob(f"tests/{folder}/*.yaml"))]
    files += [("found", p) for p in sorted(ROOT.glob("jobs/*/found.yaml"))]
    files += [("firm", ROOT / "jobs/firm.yaml"), ("prices", ROOT / "jobs/prices.yaml")]
    files += [("record", p) for p in sorted(ROOT.glob("jobs/*/record.yaml"))]
    files += [("stock", p) for p in sorted(ROOT.glob("jobs/**/stock.yaml"))]
    faults, broken = [], 0
    for name, path in files:
        file = read(path)
        for error in validators[name].iter_errors(file):
            faults.append(f"{path.relative_to(ROOT)}: {list(error.absolute_path)}: {error.message[:200]}")
        if path.parent.name not in ("big_jobs",):
            for at, what, other in breakages(file):
                broken += 1
                if validators[name].is_valid(other):
                    faults.append(f"{path.relative_to(ROOT)}: {list(at)}: {what} is not refused")
    shown = 0
    for name, schema in schemas.items():
        for path, found, part in examples(schema, schema):
            shown += 1
            # A part by itself, with the groups that it may point to.
            alone = Draft202012Validator({**part, "$defs": schema["$defs"]})
            for error in alone.iter_errors(found):
                faults.append(f"schema {name}: {'/'.join(map(str, path))}: the example {found!r}: {error.message[:160]}")
    if len(files) < 20 or broken < 1000 or shown < 400:
        faults.append(f"too little was tried: {len(files)} files, {broken} broken ones, {shown} examples")
    if faults:
        sys.exit("\n".join(faults[:80]) + f"\n{len(faults)} faults")
    print(f"{len(files)} files are valid, {broken} broken ones are refused, {shown} examples are valid")


if __name__ == "__main__":
    main(sys.argv[1])
