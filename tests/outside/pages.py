"""Draws the pages that README.md shows from the demo kitchen's documents.

    pages.py FOLDER TO    the documents in FOLDER, as `wetout make jobs/kitchen-extension --out FOLDER` leaves them

Needs poppler (`pdftoppm`, `pdftotext`) and the package `pillow`. A page is drawn fine, averaged down and brought to a few
colours, with a hairline round it so that white paper ends somewhere on a white screen.
"""

import io
import subprocess
import sys
from pathlib import Path

from PIL import Image, ImageOps

WIDE = 560
FINER = 3
COLOURS = 16
MOST = 60_000

# The name of the picture, the document, and words of which all stand on the page.
PAGES = [
    ("quote", "quote.pdf", ["Dear"]),
    ("quote-work", "quote.pdf", ["What we will do"]),
    ("order", "order.pdf", ["Materials order"]),
    ("method-trims", "method.pdf", ["Main roof: trims"]),
]


def run(*words):
    return subprocess.run(words, check=True, capture_output=True).stdout


def page_with(pdf, words):
    pages = run("pdftotext", "-layout", str(pdf), "-").decode().split("\f")
    return next(n for n, text in enumerate(pages, 1) if all(word in text for word in words))


def main(folder, to):
    for name, document, words in PAGES:
        pdf = folder / document
        n = str(page_with(pdf, words))
        drawn = run("pdftoppm", "-f", n, "-l", n, "-png", "-scale-to-x", str(WIDE * FINER), "-scale-to-y", "-1", str(pdf))
        page = Image.open(io.BytesIO(drawn)).convert("RGB")
        page = page.resize((WIDE, round(page.height / FINER)), Image.Resampling.LANCZOS)
        page = ImageOps.expand(page, 1, "#c8c8c8").quantize(COLOURS, Image.Quantize.MAXCOVERAGE, dither=Image.Dither.NONE)
        place = to / f"{name}.png"
        page.save(place, optimize=True)
        size = place.stat().st_size
        print(f"{place}: page {n}, {size} bytes")
        assert size < MOST, f"{place} is larger than {MOST} bytes"


main(Path(sys.argv[1]), Path(sys.argv[2]))
