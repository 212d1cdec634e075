"""Opens the drawings of the demo jobs with other programs: PyPI lxml (is it XML, has it only elements of SVG 1.1), PyPI PyMuPDF (does it
draw, does all of it lie on the sheet, is each label found as text). Drawings broken on purpose must be found out.

    python3 -m venv /tmp/venv && /tmp/venv/bin/pip install lxml pymupdf
    /tmp/venv/bin/python tests/outside/svg.py target/debug/wetout
"""

import subprocess
import sys
import tempfile
from pathlib import Path

import pymupdf
from lxml import etree

JOBS = Path(__file__).parents[2] / "jobs"
SVG = "{http://www.w3.org/2000/svg}"
# Of the elements of SVG 1.1 (second edition, appendix on the element index; from memory) those that a drawing is made of.
KNOWN = {SVG + name for name in ("svg", "title", "desc", "path", "polyline", "circle", "rect", "text")}


def faults(svg):
    try:
        root = etree.fromstring(svg)
    except etree.XMLSyntaxError as error:
        return [f"no XML: {error}"]
    found = [f"unknown element {e.tag}" for e in root.iter(etree.Element) if e.tag not in KNOWN]
    if root.tag != SVG + "svg" or not (root.findtext(SVG + "title") or root.findtext(SVG + "desc")):
        found.append("nothing says what it shows")
    page = pymupdf.open(stream=svg, filetype="svg")[0]
    wide, high = (float(root.get(side)[:-2]) / 25.4 * 72 for side in ("width", "height"))
    if abs(page.rect.width - wide) > 1 or abs(page.rect.height - high) > 1:
        found.append(f"a sheet of {page.rect} where {wide:.1f} × {high:.1f} was said")
    if len(set(page.get_pixmap().samples)) < 2:
        found.append("nothing is drawn")
    for drawing in page.get_drawings():
        # Half a pen's width and the rounding of the places stand out at most.
        if not (page.rect + (-1.5, -1.5, 1.5, 1.5)).contains(drawing["rect"]):
            found.append(f"a mark off the sheet: {drawing['rect']}")
    plain = lambda words: "".join(words.split())
    drawn = plain(page.get_text())
    found += [f"{t.text!r} is not found" for t in root.iter(SVG + "text") if plain(t.text.strip())[:6] not in drawn]
    return found


BREAKS = {
    "cut off": lambda svg: svg[: len(svg) // 2],
    "an element of nobody": lambda svg: svg.replace(b"<circle", b"<round").replace(b"<polyline", b"<strokes"),
    "half the sheet": lambda svg: svg.replace(b'viewBox="0 0 ', b'viewBox="150 120 '),
    "words that nobody draws": lambda svg: svg.replace(b"</svg>", b"<text x='9000' y='9000'>nowhere</text></svg>"),
}


def main(program):
    with tempfile.TemporaryDirectory() as folder:
        count = 0
        for job in sorted(JOBS.glob("*/job.yaml")):
            out = Path(folder) / job.parent.name
            subprocess.run([program, "draw", str(job), "--svg", "--out", str(out), "--quiet"], check=True)
            for file in sorted(out.glob("*.svg")):
                count += 1
                for fault in faults(file.read_bytes()):
                    sys.exit(f"{file.name} of {job.parent.name}: {fault}")
        whole = next((Path(folder) / "kitchen-extension").glob("quote-01-*.svg")).read_bytes()
        for name, change in BREAKS.items():
            broken = change(whole)
            assert broken != whole, name
            if not faults(broken):
                sys.exit(f"a drawing broken on purpose passes: {name}")
    print(f"{count} drawings opened by other programs, {len(BREAKS)} broken ones found out")


main(sys.argv[1])
