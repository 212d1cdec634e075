"""How the work grows with a job: roofs that are all unlike, options, articles of the price book; CPU of the whole command.

    cargo build --release
    python3 tests/bench/growth.py target/release/wetout /tmp/growth

Prints tables in Markdown. The jobs are made by a fixed chance from the head of tests/big_jobs/twelve-roofs.yaml and the demo price
book, into the folder that is named last. No part of CI.
"""

import random
import re
import resource
import subprocess
import sys
import time
from pathlib import Path

HOUSE = Path(__file__).resolve().parents[2]
HEAD = (HOUSE / "tests/big_jobs/twelve-roofs.yaml").read_text().split("\nroofs:\n")[0]
FILES = ["--firm", HOUSE / "jobs/firm.yaml", "--prices"]
BACKS = ["raised", "wall, upstand: 400 mm, flashing: lead"]


def roofs(count):
    """Roofs of their own sizes, falls, joists and mats each."""
    dice = random.Random(20261127)
    for n in range(count):
        width, depth = dice.randint(180, 720) / 100, dice.randint(110, 420) / 100
        right = dice.choice(BACKS[:1] * 2 + BACKS)
        yield f"""  - name: Roof {n + 1}
    outline: {{rectangle: {{width: {width:.2f} m, depth: {depth:.2f} m}}}}
    edges:
      front: {{finish: drip, gutter: half-round 112 mm}}
      right: {{finish: {right}}}
      back: {{finish: {dice.choice(BACKS)}}}
      left: {{finish: raised}}
    falls_to: front
    fall: {dice.choice(["1:40", "1:50", "1:60"])}
    joists: {{run: front to back, spacing: {dice.choice([400, 450, 600])} mm}}
    deck: {{action: new, board: osb3-18}}
    laminate: {{mat: {dice.choice([450, 600])}, layers: 1}}
    topcoat: {{colour: dark grey, finish: smooth}}"""


def options(count):
    """Options of one roof each, all for the same wish, so that no totals of several are asked for."""
    for n in range(count):
        yield f"""  - name: Heavier mat on roof {n + 1}
    change: {{roofs: {{Roof {n + 1}: {{laminate: {{mat: {[300, 600, 450][n % 3]}, layers: 2}}}}}}}}
    one_of: mat"""


def job(folder, name, count, optional=0):
    text = HEAD + "\nroofs:\n" + "\n".join(roofs(count)) + "\n"
    if optional:
        text += "options:\n" + "\n".join(options(optional)) + "\n"
    place = folder / f"{name}.yaml"
    place.write_text(text)
    return place


def book(folder, count):
    """The demo book with so many articles more that no job takes: each of the others again, dearer, under codes of its own."""
    text = (HOUSE / "jobs/prices.yaml").read_text()
    head, articles = text.split("\narticles:\n")
    parts = re.split(r"(?m)^(?=  - )", articles)
    own = [part for part in parts if part.startswith("  - ")]
    more = []
    for n in range(count):
        part = own[n % len(own)]
        part = re.sub(r"code: ([A-Za-z0-9-]+)", lambda m: f"code: {m[1]}-{n}", part, count=1)
        more.append(re.sub(r"price: ([\d.]+)", lambda m: f"price: {float(m[1]) * 3 + n / 100:.2f}", part))
    place = folder / f"prices-{count}.yaml"
    place.write_text(head + "\narticles:\n" + "".join(parts + more))
    return place, len(own) + count


def spent(command):
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run([str(word) for word in command], capture_output=True, text=True)
    if done.returncode:
        sys.exit(done.stderr[:2000])
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def best(command, times=3):
    return min(spent(command) for _ in range(times)) * 1000


def pages(out):
    total = 0
    for pdf in sorted(Path(out).rglob("*.pdf")):
        said = subprocess.run(["pdfinfo", pdf], capture_output=True, text=True).stdout
        total += int(re.search(r"Pages:\s+(\d+)", said)[1])
    return total


def main():
    program, folder = Path(sys.argv[1]).resolve(), Path(sys.argv[2])
    folder.mkdir(parents=True, exist_ok=True)
    prices = HOUSE / "jobs/prices.yaml"
    model = re.search(r"model name\s*: (.*)", Path("/proc/cpuinfo").read_text())
    print(f"{time.strftime('%-d %B %Y')}; {model[1] if model else ''}; CPU in ms, the least of three\n", flush=True)
    print("| roofs | `takeoff` | each | `price` | each | `make` | each | pages |\n|---|---|---|---|---|---|---|---|")
    for count in (1, 2, 5, 10, 20, 50, 100):
        place = job(folder, f"roofs-{count}", count)
        out = folder / f"out-{count}"
        laid = best([program, "takeoff", place, *FILES, prices])
        priced = best([program, "price", place, *FILES, prices])
        made = best([program, "make", place, "--out", out, *FILES, prices])
        each = [f"{all_of:.0f} | {all_of / count:.1f}" for all_of in (laid, priced, made)]
        print(f"| {count} | {' | '.join(each)} | {pages(out)} |", flush=True)
    print("\n| options, of 20 roofs | `price` | for each |\n|---|---|---|")
    base = None
    for count in (0, 5, 10, 20):
        priced = best([program, "price", job(folder, f"options-{count}", 20, count), *FILES, prices])
        base = priced if base is None else base
        print(f"| {count} | {priced:.0f} | {(priced - base) / count if count else 0:.1f} |", flush=True)
    print("\n| articles, 10 roofs | `price` |\n|---|---|")
    place = job(folder, "articles", 10)
    for count in (0, 100, 500, 1000, 2890):
        many, articles = book(folder, count)
        print(f"| {articles} | {best([program, 'price', place, *FILES, many]):.0f} |", flush=True)


if __name__ == "__main__":
    main()
