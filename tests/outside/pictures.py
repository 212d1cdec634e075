"""Compares pages of the demo documents, drawn by poppler, with the small pictures in tests/goldens/pictures: one of each
kind of page. Text goldens see every word and its place; these see what the eye sees: a missing drawing, a shifted table.

    pictures.py FOLDER           compare the documents in FOLDER (as `wetout make jobs --out FOLDER` leaves them)
    pictures.py FOLDER --write   draw the goldens anew; look at them before committing
    pictures.py FOLDER --show X  also write each faulty page beside its golden into the folder X

Needs poppler (`pdftoppm`, `pdftotext`) and the package `pillow`.
"""

import subprocess
import sys
from pathlib import Path

from PIL import Image, ImageChops, ImageFilter

GOLDENS = Path(__file__).resolve().parent.parent / "goldens" / "pictures"

# Dots to the inch: small enough for the repository, large enough to see a row of a table move.
DOTS = 40
# Two renderings of one page differ along the edges of letters and lines. Blurred by this radius (dots) they differ by less
# than TONE grey levels of 255 anywhere; blurred marks that moved by two dots or more differ by more.
BLUR = 1.6
TONE = 40
# So many dots may differ all the same (of about 155,000 on a page).
STRAY = 12

# Each kind of page: its name, job, document, and words that stand on it (the first page that holds all of them).
KINDS = [
    ("quote-first", "kitchen-extension", "quote", ["Dear"]),
    ("quote-roof-plan", "kitchen-extension", "quote", ["What we do", "Plan of"]),
    ("quote-price", "kitchen-extension", "quote", ["Total to pay"]),
    ("quote-acceptance", "kitchen-extension", "quote", ["I accept quotation"]),
    ("quote-two-roofs", "garage-utility", "quote", ["Dear"]),
    ("order-first", "kitchen-extension", "order", ["Materials order"]),
    ("method-first", "kitchen-extension", "method", ["page 1 of"]),
    ("method-deck", "kitchen-extension", "method", ["Deck of"]),
    ("method-trims", "kitchen-extension", "method", ["Trims of"]),
    ("method-cut-list", "kitchen-extension", "method", ["Cut list"]),
    ("method-mat", "bay", "method", ["Mat of"]),
    ("method-mix-card", "kitchen-extension", "method", ["Mix card"]),
    ("method-weather-log", "kitchen-extension", "method", ["Weather log"]),
    ("method-hazards", "dormer", "method", ["Hazards"]),
    ("method-emergency", "kitchen-extension", "method", ["Emergency"]),
]


def run(*words):
    return subprocess.run(words, check=True, capture_output=True).stdout


def page_with(pdf, words):
    pages = run("pdftotext", "-layout", str(pdf), "-").decode().split("\f")
    for number, text in enumerate(pages, 1):
        if all(w in " ".join(text.split()) for w in words):
            return number
    return None


def drawn(pdf, page, renderer="pdftoppm"):
    options = ["-r", str(DOTS), "-gray", "-f", str(page), "-l", str(page), "-singlefile"]
    if renderer == "pdftocairo":
        options.append("-png")
    target = Path(subprocess.run(["mktemp", "-u"], capture_output=True, text=True, check=True).stdout.strip())
    run(renderer, *options, str(pdf), str(target))
    made = next(target.parent.glob(target.name + ".*"))
    picture = Image.open(made).convert("L")
    picture.load()
    made.unlink()
    return picture


def strays(one, other):
    """How many dots differ once both pictures are blurred; all of them where the sizes do."""
    if one.size != other.size:
        return one.size[0] * one.size[1]
    blurred = [p.filter(ImageFilter.GaussianBlur(BLUR)) for p in (one, other)]
    return sum(ImageChops.difference(*blurred).histogram()[TONE:])


def side_by_side(golden, now):
    both = Image.new("L", (golden.width + now.width, max(golden.height, now.height)), 128)
    both.paste(golden, (0, 0))
    both.paste(now, (golden.width, 0))
    return both


def compare(folder, write=False, show=None, renderer="pdftoppm"):
    faults = []
    GOLDENS.mkdir(exist_ok=True)
    for name, job, document, words in KINDS:
        pdf = folder / job / f"{document}.pdf"
        page = page_with(pdf, words)
        if page is None:
            faults.append(f"{name}: no page of {pdf} holds {words}")
            continue
        now, place = drawn(pdf, page, renderer), GOLDENS / f"{name}.png"
        if write:
            now.quantize(16).save(place, optimize=True)
        elif not place.exists():
            faults.append(f"{name}: there is no golden")
        else:
            golden = Image.open(place).convert("L")
            count = strays(golden, now)
            if count > STRAY:
                faults.append(f"{name}: page {page} of {pdf} differs in {count} dots")
                if show:
                    show.mkdir(exist_ok=True)
                    side_by_side(golden, now).save(show / f"{name}.png")
    strangers = {p.stem for p in GOLDENS.glob("*.png")} - {kind[0] for kind in KINDS}
    return faults + [f"{name}: a golden of no kind of page" for name in sorted(strangers)]


def main():
    words = sys.argv[1:]
    show = Path(words[words.index("--show") + 1]) if "--show" in words else None
    faults = compare(Path(words[0]), "--write" in words, show)
    print("\n".join(faults + [f"{len(KINDS)} kinds of page looked at, {len(faults)} faults"]))
    sys.exit(bool(faults))


if __name__ == "__main__":
    main()
