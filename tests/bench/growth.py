"""How the work grows with a job: roofs that are all unlike, options, articles of the price book, lines of a merchant's list,
merchants, photographs; CPU of the whole command, and the most memory that it held.

    cargo build --locked --release
    python3 tests/bench/growth.py target/release/wetout /tmp/growth [roofs | plain | kerbs | options | articles | packs | list | merchants | photographs]

Prints tables in Markdown, up to what the program's limits allow, and what it says beyond. The jobs are made by a fixed chance
from the head of tests/big_jobs/twelve-roofs.yaml and the demo price book, into the folder that is named second; photographs need
PyPI pillow. No part of CI.
"""

import os
import random
import re
import subprocess
import sys
import tempfile
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


def alike(count, width, depth, kerbs=0):
    """Roofs that differ by millimetres, each so large that it takes days of its own, with so many kerbed rooflights in rows of five."""

    def rooflight(n):
        at = f"[{0.8 + n % 5 * 2.1:.2f} m, {0.8 + n // 5 * 1.6:.2f} m]"
        return f"      - {{name: Rooflight {n + 1}, at: {at}, size: [0.6 m, 0.5 m], finish: kerb}}\n"

    holes = "    holes:\n" + "".join(map(rooflight, range(kerbs))) if kerbs else ""
    for n in range(count):
        yield f"""  - name: Roof {n + 1}
    outline: {{rectangle: {{width: {width + n * 0.013:.3f} m, depth: {depth} m}}}}
    edges:
      front: {{finish: drip, gutter: half-round 112 mm}}
      right: {{finish: raised}}
      back: {{finish: raised}}
      left: {{finish: raised}}
{holes}    falls_to: front
    fall: existing 1:40
    joists: {{run: front to back, spacing: 400 mm}}
    deck: {{action: new, board: osb3-18}}
    laminate: {{mat: 450, layers: 1}}
    topcoat: {{colour: dark grey, finish: smooth}}"""


def options(count):
    """Options of one roof each, all for the same wish, so that no totals of several are asked for."""
    for n in range(count):
        yield f"""  - name: Heavier mat on roof {n + 1}
    change: {{roofs: {{Roof {n + 1}: {{laminate: {{mat: {[300, 600, 450][n % 3]}, layers: 2}}}}}}}}
    one_of: mat"""


def job(folder, name, count, optional=0, made=roofs):
    text = HEAD + "\nroofs:\n" + "\n".join(made(count)) + "\n"
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


def packed(folder, role, count):
    """The demo book with so many packs of one role more, every size and price unlike, the larger the better value."""
    text = (HOUSE / "jobs/prices.yaml").read_text()
    packs = "".join(
        f"  - {{role: {role}, code: Z{n}, description: Tin {n}, pack: tin, holds: {1 + n * 0.013:.3f} kg, "
        f"price: {5.1 + n * 0.0577:.2f}, mass: {1 + n * 0.013:.3f} kg}}\n"
        for n in range(count)
    )
    place = folder / f"packs-{role}-{count}.yaml"
    place.write_text(text.replace("\narticles:\n", "\narticles:\n" + packs, 1))
    return place


def listed(folder, lines):
    """The demo book beside a merchant's list of so many lines: its own articles with the book's prices, and others that no job takes."""
    place = folder / f"list-{lines}"
    place.mkdir(exist_ok=True)
    book, rows = [], ["Product code,Product,Trade price"]
    for line in (HOUSE / "jobs/prices.yaml").read_text().splitlines():
        sold = re.search(r"code: \"?([A-Za-z0-9-]+)\"?.*?, price: ([\d.]+)", line)
        if sold:
            rows.append(f"{sold[1]},as the merchant calls it,{sold[2]}")
            line = re.sub(r", price: [\d.]+", "", line, count=1)
        book.append(line)
    rows += [f"Z-{n},Thing,{n % 90 + 1}.50" for n in range(lines - len(rows))]
    (place / "list.csv").write_text("\n".join(rows) + "\n")
    at = "list: {file: list.csv, code: Product code, description: Product, price: Trade price}\narticles:"
    (place / "prices.yaml").write_text("\n".join(book).replace("articles:", at, 1) + "\n")
    return place / "prices.yaml"


def merchant(folder, n):
    """The demo book as another merchant's: each price a little up or down, so that the split is worth a search."""
    dice = random.Random(n)
    text = (HOUSE / "jobs/prices.yaml").read_text()
    text = re.sub(r"(?m)^merchant: .*", f"merchant: Merchant {n}", text)
    text = re.sub(r"(?m)^(merchant:\s*\n\s+name:).*", rf"\1 Merchant {n}", text)
    text = re.sub(r"price: ([\d.]+)", lambda m: f"price: {float(m[1]) * dice.uniform(0.8, 1.25):.2f}", text)
    place = folder / f"merchant-{n}.yaml"
    place.write_text(text)
    return place


def photographed(folder, count):
    """A job of one roof with so many photographs of 3 million pixels."""
    from PIL import Image

    place = folder / f"photographs-{count}"
    place.mkdir(exist_ok=True)
    noise = Image.effect_noise((200, 150), 60).resize((2000, 1500)).convert("RGB")
    for n in range(count):
        noise.rotate(n).save(place / f"{n}.jpg", quality=80)
    shown = "".join(f"  - {{file: {n}.jpg, caption: Photograph {n}}}\n" for n in range(count))
    text = HEAD + "\nroofs:\n" + "\n".join(roofs(1)) + "\n" + ("photos:\n" + shown if count else "")
    (place / "job.yaml").write_text(text)
    return place / "job.yaml"


def run(command):
    """CPU of a command in s and the most memory that it held in MB, or what it says when it refuses."""
    with open("/dev/null", "w") as null, tempfile.TemporaryFile("w+") as said:
        child = subprocess.Popen([str(word) for word in command], stdout=null, stderr=said)
        _, status, used = os.wait4(child.pid, 0)
        child.returncode = status
        if status:
            said.seek(0)
            return next((line for line in said.read().splitlines() if line.startswith("problem")), "ended without a word")
    return used.ru_utime + used.ru_stime, used.ru_maxrss / 1024


def best(command, times=3):
    """The least CPU of several runs in ms with the memory of that run; or what was said."""
    runs = [run(command) for _ in range(times)]
    if any(isinstance(one, str) for one in runs):
        return next(one for one in runs if isinstance(one, str))
    spent, memory = min(runs)
    return spent * 1000, memory


def cell(measured, over=1):
    return measured if isinstance(measured, str) else f"{measured[0]:.0f} | {measured[0] / over:.1f} | {measured[1]:.0f}"


def pages(out):
    total = 0
    for pdf in sorted(Path(out).rglob("*.pdf")):
        said = subprocess.run(["pdfinfo", pdf], capture_output=True, text=True).stdout
        total += int(re.search(r"Pages:\s+(\d+)", said)[1])
    return total


def table(heading, command="`price`"):
    print(f"\n| {heading} | {command}, ms | each | MB |\n|---|---|---|---|", flush=True)


def row(count, measured, over=None):
    print(f"| {count} | {cell(measured, over or max(count, 1))} |", flush=True)


def main():
    program, folder, asked = Path(sys.argv[1]).resolve(), Path(sys.argv[2]), sys.argv[3:]
    folder.mkdir(parents=True, exist_ok=True)
    prices = HOUSE / "jobs/prices.yaml"
    model = re.search(r"model name\s*: (.*)", Path("/proc/cpuinfo").read_text())
    print(f"{time.strftime('%-d %B %Y')}; {model[1] if model else ''}; CPU in ms, the least of three, and MB at most\n", flush=True)
    if not asked or "roofs" in asked:
        print("| roofs | `takeoff` | each | MB | `price` | each | MB | `make` | each | MB | pages |\n" + "|---" * 11 + "|")
        for count in (1, 2, 5, 10, 20, 50, 100, 200):
            place = job(folder, f"roofs-{count}", count)
            out = folder / f"out-{count}"
            laid = best([program, "takeoff", place, *FILES, prices])
            if isinstance(laid, str):
                print(f"| {count} | {laid} |", flush=True)
                continue
            priced = best([program, "price", place, *FILES, prices])
            made = best([program, "make", place, "--out", out, *FILES, prices])
            print(f"| {count} | {' | '.join(cell(one, count) for one in (laid, priced, made))} | {pages(out)} |", flush=True)
    for name, size in (("plain", (6, 4)), ("kerbs", (12, 8, 20))):
        if not asked or name in asked:
            what = f"{size[2]} kerbs each" if size[2:] else "no hole"
            table(f"roofs of {size[0]} x {size[1]} m, {what}", "`takeoff`")
            for count in (10, 25, 50, 100):
                place = job(folder, f"{name}-{count}", count, made=lambda n: alike(n, *size))
                row(count, best([program, "takeoff", place, *FILES, prices]))
    if not asked or "options" in asked:
        table("options, of 20 roofs")
        for count in (0, 5, 10, 20, 60):
            row(count, best([program, "price", job(folder, f"options-{count}", 20, count), *FILES, prices]))
    ten = job(folder, "ten", 10)
    if not asked or "articles" in asked:
        table("articles, 10 roofs")
        for count in (0, 100, 500, 1000, 2850, 20_000):
            many, articles = book(folder, count)
            row(articles, best([program, "price", ten, *FILES, many]))
    if not asked or "packs" in asked:
        for role in ("topcoat.dark-grey", "resin"):
            table(f"packs of `{role}` more, 10 roofs")
            for count in (0, 100, 400, 800, 2800):
                row(count, best([program, "price", ten, *FILES, packed(folder, role, count)]))
    if not asked or "list" in asked:
        table("lines of a list, 10 roofs")
        for lines in (200, 1000, 5000, 20_000, 50_000, 100_000, 200_000):
            row(lines, best([program, "price", ten, *FILES, listed(folder, lines)]))
    if not asked or "merchants" in asked:
        table("merchants, 10 roofs")
        for count in (1, 2, 4, 6, 8, 12, 16, 20, 21):
            books = [word for n in range(count) for word in ("--prices", merchant(folder, n))]
            row(count, best([program, "price", ten, *FILES[:-1], *books]))
    if not asked or "photographs" in asked:
        table("photographs, one roof", "`quote`")
        for count in (0, 10, 30, 100, 1000):
            place = photographed(folder, count)
            row(count, best([program, "quote", place, "--out", folder / "out-photographs", *FILES, prices]))


if __name__ == "__main__":
    main()
