"""Compares pages of the demo documents, drawn by poppler, with the small pictures in tests/goldens/pictures: one of each
kind of page. Text goldens see every word and its place; these see what the eye sees: a missing drawing, a shifted table.

    pictures.py FOLDER           compare the documents in FOLDER (as `wetout make jobs --out FOLDER` leaves them)
    pictures.py FOLDER --write   draw the goldens anew; look at them before committing
    pictures.py FOLDER --show X  also write each faulty page beside its golden into the folder X
    pictures.py FOLDER --prove   see that the comparison can fail (a part moved, a part missing) and does not when another
                                 renderer (cairo) draws the same page

Needs poppler (`pdftoppm`, `pdftotext`) and the package `pillow`.
"""

import subprocess
import sys
from pathlib import Path

from PIL import Image, ImageChops, ImageFilter

GOLDENS = Path(__file__).resolve().parent.parent / "goldens" / "pictures"

# Dots to the inch: small enough for the repository, large enough to see a row of a table move. Pages are drawn finer and
# averaged down, since renderers differ most in how they thicken hairlines at small sizes.
DOTS = 40
FINER = 5
# Two renderings of one page differ along the edges of letters and lines. Blurred by this radius (dots) hardly any dot
# differs by TONE grey levels of 255; where marks moved by two dots hundreds do.
BLUR = 1.6
TONE = 20
# So many dots may differ all the same (of about 155,000 on a page); and so many where another program draws the page, which
# thickens the hatching of small drawings in its own way.
STRAY = 110
STRAY_ELSEWHERE = 1000

# Each kind of page: its name, job, document, and words that stand on it (the first page that holds all of them).
KINDS = [
    ("quote-first", "kitchen-extension", "quote", ["Dear"]),
    ("quote-roof-plan", "neighbours", "quote", ["No. 12: plan, to scale"]),
    ("quote-price", "kitchen-extension", "quote", ["Total to pay"]),
    ("quote-acceptance", "kitchen-extension", "quote", ["I accept quotation"]),
    ("quote-two-roofs", "garage-utility", "quote", ["Dear"]),
    ("order-first", "kitchen-extension", "order", ["Materials order"]),
    ("method-first", "kitchen-extension", "method", ["page 1 of"]),
    ("method-deck", "kitchen-extension", "method", ["Main roof: deck"]),
    ("method-trims", "kitchen-extension", "method", ["Main roof: trims"]),
    ("method-cut-list", "kitchen-extension", "method", ["Cut on the ground"]),
    ("method-operation", "kitchen-extension", "method", ["Topcoat signed"]),
    ("method-mat", "bay", "method", ["Bay: mat"]),
    ("method-mix-card", "kitchen-extension", "method", ["Mix card", "Pin this up"]),
    ("method-weather-log", "kitchen-extension", "method", ["Weather log", "every 2 hours"]),
    ("method-hazards", "dormer", "method", ["hazards and what we do"]),
    ("method-emergency", "kitchen-extension", "method", ["Ring 999 or 112"]),
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
    options = ["-r", str(DOTS * FINER), "-gray", "-f", str(page), "-l", str(page), "-singlefile"]
    if renderer == "pdftocairo":
        options.append("-png")
    target = Path(subprocess.run(["mktemp", "-u"], capture_output=True, text=True, check=True).stdout.strip())
    run(renderer, *options, str(pdf), str(target))
    made = next(target.parent.glob(target.name + ".*"))
    picture = Image.open(made).convert("L").reduce(FINER)
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
            now.point(lambda tone: min(255, round(tone / 8) * 8)).save(place, optimize=True)
        elif not place.exists():
            faults.append(f"{name}: there is no golden")
        else:
            golden = Image.open(place).convert("L")
            count = strays(golden, now)
            if count > (STRAY if renderer == "pdftoppm" else STRAY_ELSEWHERE):
                faults.append(f"{name}: page {page} of {pdf} differs in {count} dots")
                if show:
                    show.mkdir(exist_ok=True)
                    side_by_side(golden, now).save(show / f"{name}.png")
    strangers = {p.stem for p in GOLDENS.glob("*.png")} - {kind[0] for kind in KINDS}
    return faults + [f"{name}: a golden of no kind of page" for name in sorted(strangers)]


def moved(picture):
    """The darkest third of a page, two dots lower."""
    third = picture.height // 3
    strip = lambda top: picture.crop((0, top, picture.width, top + third))
    top = max((0, third, 2 * third - 2), key=lambda top: darkness(strip(top)))
    other = picture.copy()
    other.paste(strip(top), (0, top + 2))
    return other


def darkness(picture):
    return sum((255 - tone) * count for tone, count in enumerate(picture.histogram()))


def without_a_part(picture):
    """A page without the darkest square of an inch: a drawing or a few rows are gone."""
    half = DOTS // 2
    places = [(x, y) for x in range(0, picture.width - DOTS, half) for y in range(0, picture.height - DOTS, half)]
    x, y = max(places, key=lambda place: darkness(square(picture, place)))
    other = picture.copy()
    other.paste(255, (x, y, x + DOTS, y + DOTS))
    return other


def square(picture, place):
    x, y = place
    return picture.crop((x, y, x + DOTS, y + DOTS))


def prove(folder):
    """A page that is broken is noticed, by more than another program's way of drawing makes up for on nearly every page."""
    faults = [f"drawn by cairo, {f}" for f in compare(folder, renderer="pdftocairo")]
    for place in sorted(GOLDENS.glob("*.png")):
        golden = Image.open(place).convert("L")
        for what, broken in [("a part moved", moved(golden)), ("a part missing", without_a_part(golden))]:
            count = strays(golden, broken)
            if count <= STRAY:
                faults.append(f"{place.stem}: {what} is not noticed ({count} dots)")
    return faults


def main():
    words = sys.argv[1:]
    show = Path(words[words.index("--show") + 1]) if "--show" in words else None
    folder = Path(words[0])
    faults = prove(folder) if "--prove" in words else compare(folder, "--write" in words, show)
    print("\n".join(faults + [f"{len(KINDS)} kinds of page looked at, {len(faults)} faults"]))
    sys.exit(bool(faults))


if __name__ == "__main__":
    main()
