"""What a screen reader says of the first page of each document: role, words, place in a table and whom a cell hears, in
the order of the tree of tags. Read from the finished PDF by general-purpose libraries (pikepdf, pdfplumber), compared
with the texts in `spoken/`, which a person can read.

    python3 -m venv /tmp/venv && /tmp/venv/bin/pip install pikepdf pdfplumber
    /tmp/venv/bin/python tests/outside/spoken.py FOLDER [--write]
"""

import difflib
import sys
from collections import defaultdict
from pathlib import Path

import pdfplumber
import pikepdf

KEPT = Path(__file__).parent / "spoken"


def words_of(page):
    """The words of each stretch of marked content on a page."""
    lines = defaultdict(lambda: defaultdict(list))
    for char in page.chars:
        lines[char["mcid"]][round(char["top"] + char["height"])].append(char)
    text = {}
    for number, of_number in lines.items():
        text[number] = " ".join("".join(c["text"] for c in of_number[y]).strip() for y in of_number).strip()
    return text


def array(value):
    if value is None:
        return []
    return list(value) if isinstance(value, pikepdf.Array) else [value]


def attributes(element):
    return {key: value for part in array(element.get("/A")) for key, value in part.items()}


class Speaker:
    def __init__(self, pdf, page):
        self.page = pdf.pages[0].obj.objgen
        self.words = words_of(page)
        self.named = {}
        self.lines = []
        self.learn(pdf.Root.StructTreeRoot.K)

    def learn(self, node):
        """The words of every cell that has a name."""
        for kid in array(node):
            if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
                if "/ID" in kid:
                    self.named[str(kid.ID)] = self.text(kid)
                self.learn(kid.get("/K"))

    def on_page(self, node, kid):
        place = kid.get("/Pg") if isinstance(kid, pikepdf.Dictionary) else None
        place = place if place is not None else node.get("/Pg")
        return place is not None and place.objgen == self.page

    def text(self, element):
        """The words of an element and of what stands in it, in order."""
        parts = []
        for kid in array(element.get("/K")):
            if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
                parts.append(self.text(kid))
            elif isinstance(kid, pikepdf.Dictionary) and kid.get("/Type") == "/OBJR":
                continue
            elif self.on_page(element, kid):
                number = int(kid.MCID) if isinstance(kid, pikepdf.Dictionary) else int(kid)
                parts.append(self.words.get(number, ""))
        return " ".join(part for part in parts if part)

    def say(self, element, depth=0, place=""):
        role = str(element.S)[1:]
        known = attributes(element)
        said = self.text(element) if role in LEAVES else ""
        if "/Alt" in element:
            said = f"({element.Alt})" if role != "Link" else said
        heard = [self.named.get(str(name), "?") for name in known.get("/Headers", [])]
        if self.stands_here(element):
            line = "  " * depth + role + place
            line += f" under {' / '.join(heard)}" if heard else ""
            self.lines.append(f"{line}: {said}" if said else line)
        if role in WHOLE:
            return
        row, column = 0, 0
        for kid in array(element.get("/K")):
            if not (isinstance(kid, pikepdf.Dictionary) and "/S" in kid):
                continue
            place = ""
            if kid.S == "/TR":
                row += 1
                place = f" {row}"
            elif kid.S in ("/TD", "/TH"):
                column += 1
                place = f" {column}"
            self.say(kid, depth + 1, place)

    def stands_here(self, element):
        for kid in array(element.get("/K")):
            if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
                if self.stands_here(kid):
                    return True
            elif self.on_page(element, kid):
                return True
        return False


# What is read with the words of all that stands in it, and what is told whole.
LEAVES = {"P", "H1", "H2", "H3", "TH", "TD", "Lbl", "LBody", "Link", "Note", "Reference", "Figure", "Form"}
WHOLE = {"P", "H1", "H2", "H3", "TH", "Figure", "Form", "Link", "Note"}


def spoken(path):
    with pikepdf.open(path) as pdf, pdfplumber.open(path) as pages:
        speaker = Speaker(pdf, pages.pages[0])
        for kid in array(pdf.Root.StructTreeRoot.K):
            speaker.say(kid)
        return "\n".join(speaker.lines) + "\n"


def main():
    pdfs = sorted(Path(sys.argv[1]).rglob("*.pdf"))
    assert pdfs, "no PDF to read"
    bad = False
    for path in pdfs:
        said, kept = spoken(path), KEPT / f"{path.parent.name}-{path.stem}.txt"
        if "--write" in sys.argv:
            KEPT.mkdir(exist_ok=True)
            kept.write_text(said)
            continue
        was = kept.read_text() if kept.exists() else ""
        if was != said:
            bad = True
            print("\n".join(difflib.unified_diff(was.splitlines(), said.splitlines(), str(kept), str(path), lineterm="")))
    print(f"{len(pdfs)} first pages read aloud")
    sys.exit(bad)


if __name__ == "__main__":
    main()
