"""Fills every field of the demo documents by four programs that share no code (PyPI pypdf; pypdfium2, which wraps the
engine of a common browser; npm pdfjs-dist, the viewer of another; and PyPI pymupdf), reads the answers back by a fifth
(pikepdf), and has the filled documents checked as the empty ones are: what is filled in must neither be lost nor spoil a
document that is to be kept. What two of them wrote is pressed into the pages and read there: each answer stands whole within its box, in type that is read with ease.

    python3 -m venv /tmp/venv && /tmp/venv/bin/pip install page-validation pikepdf pypdf pypdfium2 pymupdf
    npm install --omit=optional --prefix /tmp/npm pdfjs-dist@4.8.69
    /tmp/venv/bin/python tests/outside/fill_pdfs.py FOLDER /tmp/npm
"""

import ctypes
import json
import logging
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import page
import pikepdf
import pymupdf
import pypdf
import pypdfium2
import pypdfium2.raw as engine

ANSWERS = ("Wednesday 13 January 2027", "Zoë Müller & Sons", "14 Sallow Close, Anytown")
LONG = 120  # pt; a date written out in type of 9 pt
# Where a name or a sum is asked for.
NAMES = ("Zoë Müller", "£1,234.56", "13.1.2027")
# Letters that code page 1252 lacks and the fields' font has.
OTHER_LETTERS = ("Llŷr Ŵyn", "Łukasz Żółć", "Ștefan Țurcanu", "Ąę Ćć Ńń Śś Źź Ăă")
# Where a time or a number is asked for in a narrow box.
SHORT = ("12:45", "1 in 60", "18.5 %")
NARROW = 60  # pt
# Where several lines are asked for.
PARAGRAPH = (
    "The corner by the drain still needs its second coat, by Ben Okafor, on Friday 15 January 2027; the scaffold goes "
    "after that, and the skip goes on Monday."
)
SEVERAL_LINES = 1 << 12
# The type in which an answer that fits its box stands there, pt.
LEAST_TYPE, LARGEST_TYPE = 6.5, 12.0


def answers(path):
    """An answer for each field: text in turn, a short one where the box is narrow, a tick where it takes one."""
    fields = pypdf.PdfReader(path).get_fields() or {}
    with pymupdf.open(path) as document:
        wide = {field.field_name: field.rect.width for sheet in document for field in sheet.widgets()}
    texts = [name for name, field in fields.items() if field["/FT"] == "/Tx"]
    ticks = [name for name, field in fields.items() if field["/FT"] == "/Btn"]
    # A list begins with nothing, by which an answer is taken back.
    lists = {name: field["/Opt"][1] for name, field in fields.items() if field["/FT"] == "/Ch"}
    fitting = lambda width: SHORT if width < NARROW else NAMES if width < LONG else ANSWERS
    words = {name: fitting(wide[name])[i % len(ANSWERS)] for i, name in enumerate(texts)}
    several = {name: PARAGRAPH for name in texts if fields[name].get("/Ff", 0) & SEVERAL_LINES}
    return words | several | {name: "/Yes" for name in ticks} | lists


def of_other_sizes(filled):
    """The answers that the viewer has set smaller or larger than is read with ease."""
    with pikepdf.open(filled) as pdf:
        for field in pdf.Root.AcroForm.Fields:
            if field.FT == "/Tx" and str(field.get("/V", "")):
                look = field.AP.N.read_bytes().decode("latin-1")
                size = float(re.findall(r"([\d.]+) Tf", look)[-1])
                if not LEAST_TYPE <= size <= LARGEST_TYPE:
                    box = [round(float(side)) for side in field.Rect]
                    yield f"{field.T}: {size} pt in {box[2] - box[0]} by {box[3] - box[1]} pt"


def by_pypdf(path, given, out):
    writer = pypdf.PdfWriter(clone_from=path)
    for sheet in writer.pages:
        writer.update_page_form_field_values(sheet, given, auto_regenerate=False)
    writer.write(out)


def by_pdfium(path, given, out):
    """As a person does: clicks on each field and types, or clicks on each box."""
    document = pypdfium2.PdfDocument(path)
    document.init_forms()
    form = document.formenv.raw
    for sheet in document:
        for number in range(engine.FPDFPage_GetAnnotCount(sheet.raw)):
            field = engine.FPDFPage_GetAnnot(sheet.raw, number)
            kind = engine.FPDFAnnot_GetFormFieldType(form, field)
            if name_of(form, field) not in given:
                engine.FPDFPage_CloseAnnot(field)
                continue
            area = engine.FS_RECTF()
            engine.FPDFAnnot_GetRect(field, area)
            if kind in (engine.FPDF_FORMFIELD_TEXTFIELD, engine.FPDF_FORMFIELD_CHECKBOX, engine.FPDF_FORMFIELD_COMBOBOX):
                at = ((area.left + area.right) / 2, (area.top + area.bottom) / 2)
                engine.FORM_OnLButtonDown(form, sheet.raw, 0, *at)
                engine.FORM_OnLButtonUp(form, sheet.raw, 0, *at)
            if kind == engine.FPDF_FORMFIELD_TEXTFIELD:
                type_in(form, sheet, given[name_of(form, field)])
            if kind == engine.FPDF_FORMFIELD_COMBOBOX:
                choose(form, sheet, field, given[name_of(form, field)])
            engine.FORM_ForceToKillFocus(form)
            engine.FPDFPage_CloseAnnot(field)
    document.save(out)


def by_pymupdf(path, given, out):
    """Adds what is filled in behind the file, as readers on a telephone do."""
    shutil.copy(path, out)
    document = pymupdf.open(out)
    for sheet in document:
        for field in sheet.widgets():
            if field.field_name in given:
                ticks = field.field_type == pymupdf.PDF_WIDGET_TYPE_CHECKBOX
                field.field_value = True if ticks else given[field.field_name]
                field.update()
    document.saveIncr()


def by_viewer(modules, fillings):
    """All at once, by a script of that program's own language: triples of a document, its answers and where it goes."""
    script = Path(__file__).parent / "fill.mjs"
    asked = json.dumps([{"from": str(path), "given": given, "to": str(out)} for path, given, out in fillings])
    subprocess.run(["node", script, modules], input=asked, text=True, check=True, timeout=600)


def fillers(modules):
    """The four programs by their names, each filling one document."""
    viewer = lambda path, given, out: by_viewer(modules, [(path, given, out)])
    return {"pypdf": by_pypdf, "pdfium": by_pdfium, "pymupdf": by_pymupdf, "pdfjs-dist": viewer}


def name_of(form, field):
    size = engine.FPDFAnnot_GetFormFieldName(form, field, None, 0)
    name = (ctypes.c_ushort * (size // 2))()
    engine.FPDFAnnot_GetFormFieldName(form, field, name, size)
    return bytes(name).decode("utf-16-le").rstrip("\0")


def choose(form, sheet, field, words):
    """Takes the words from the list that drops down, or types them where they do not stand there."""
    for number in range(engine.FPDFAnnot_GetOptionCount(form, field)):
        size = engine.FPDFAnnot_GetOptionLabel(form, field, number, None, 0)
        label = (ctypes.c_ushort * (size // 2))()
        engine.FPDFAnnot_GetOptionLabel(form, field, number, label, size)
        if bytes(label).decode("utf-16-le").rstrip("\0") == words:
            engine.FORM_SetIndexSelected(form, sheet.raw, number, True)
            return
    type_in(form, sheet, words)


def type_in(form, sheet, words):
    spelt = (words + "\0").encode("utf-16-le")
    letters = (ctypes.c_ushort * (len(spelt) // 2)).from_buffer_copy(spelt)
    engine.FORM_ReplaceSelection(form, sheet.raw, ctypes.cast(letters, ctypes.POINTER(ctypes.c_ushort)))


def read_back(path):
    with pikepdf.open(path) as pdf:
        return {str(field.T): str(field.get("/V", "")) for field in pdf.Root.AcroForm.Fields}


def flattened(form, out):
    """What stands in its fields is pressed into its pages."""
    document = pypdfium2.PdfDocument(str(form))
    document.init_forms()
    for sheet in document:
        engine.FPDFPage_Flatten(sheet.raw, engine.FLAT_NORMALDISPLAY)
    document.save(str(out))


def under_a_password(form, out):
    with pikepdf.open(form) as pdf:
        pdf.save(out, encryption=pikepdf.Encryption(owner="x", user="y"))


def cut_off(filled, given, out):
    """The answers that do not stand whole within their boxes."""
    flattened(filled, out)
    letters = lambda words: "".join(words.split())
    with pymupdf.open(filled) as boxes, pymupdf.open(out) as pressed:
        for sheet in boxes:
            for field in sheet.widgets():
                if field.field_type == pymupdf.PDF_WIDGET_TYPE_TEXT:
                    box = field.rect * sheet.rotation_matrix
                    shown = [
                        letter["c"]
                        for block in pressed[sheet.number].get_text("rawdict", clip=box)["blocks"]
                        for line in block.get("lines", [])
                        for span in line["spans"]
                        for letter in span["chars"]
                        if box.contains(pymupdf.Point((letter["bbox"][0] + letter["bbox"][2]) / 2, letter["origin"][1]))
                        and letter["bbox"][0] >= box.x0 - SLACK
                        and letter["bbox"][2] <= box.x1 + SLACK
                    ]
                    if letters(given[field.field_name]) not in letters("".join(shown)):
                        yield f"{field.field_name}: {''.join(shown)!r} stands in its box"


# What a letter may stand out of its box, pt.
SLACK = 0.5

# What a program does to every file whatever it holds: it ends every stream with one byte, also where the content ends in the other
# (the viewer's table of places does by chance, one file in some two hundred); it writes in a typeface that it does not embed.
OWN_FAULTS = {"pypdf": "STREAM-LENGTH", "pdfjs-dist": "STREAM-LENGTH", "pymupdf": "FONT-EMBEDDING"}


def not_its_own(program, path, profile):
    failures = page.validate_pdf(path, profile=profile).failures
    return [fault for fault in failures if OWN_FAULTS.get(program, "none") not in fault.rule_id]


def faults_of(path, given, viewed, folder):
    for program, fill in fillers(None).items():
        out = str(viewed)
        if program != "pdfjs-dist":
            out = str(folder / f"{program}.pdf")
            fill(str(path), given, out)
        if (back := read_back(out)) != given:
            wrong = [f"{name}: {back.get(name)!r}, not {words!r}" for name, words in given.items() if back.get(name) != words]
            yield f"filled by {program}, read back: {wrong[:3]}"
        for profile in ("3a", "ua1"):
            yield from (f"filled by {program}, {profile}: {fault}" for fault in not_its_own(program, out, profile))
        if program == "pdfjs-dist":
            yield from (f"filled by {program}: {fault}" for fault in of_other_sizes(out))
        if program in ("pdfium", "pdfjs-dist"):
            for fault in cut_off(out, given, folder / "pressed.pdf"):
                yield f"filled by {program}: {fault}"


def unseen(given, folder):
    """A long answer in a narrow box is cut off, and must be found out."""
    pdf, of = next((pdf, of) for pdf, of in given.items() if set(of.values()) & set(SHORT))
    of = {name: ANSWERS[0] if words in SHORT else words for name, words in of.items()}
    by_pdfium(str(pdf), of, str(folder / "long.pdf"))
    if not any(cut_off(folder / "long.pdf", of, folder / "pressed.pdf")):
        yield f"{pdf}: what is too long for its box is not found"


def in_other_letters(modules, pdf, given, folder):
    """Names of Wales, Poland and Romania: the viewer writes them so that the document is still one to keep."""
    named = {name: OTHER_LETTERS[i % len(OTHER_LETTERS)] for i, (name, words) in enumerate(given.items()) if words in ANSWERS}
    out = str(folder / "named.pdf")
    by_viewer(modules, [(pdf, named, out)])
    back = read_back(out)
    yield from (f"{pdf}: {name}: {back[name]!r}, not {words!r}" for name, words in named.items() if back[name] != words)
    for profile in ("3a", "ua1"):
        yield from (f"{pdf}: in other letters, {profile}: {fault}" for fault in not_its_own("pdfjs-dist", out, profile))
    empty = {name: "" for name in given}
    yield from (f"{pdf}: in other letters: {fault}" for fault in cut_off(out, empty | named, folder / "pressed.pdf"))


def main():
    logging.getLogger("pypdf").setLevel(logging.ERROR)
    given = {pdf: answers(pdf) for pdf in sorted(Path(sys.argv[1]).rglob("*.pdf"))}
    given = {pdf: of for pdf, of in given.items() if of}
    assert given, "no PDF to fill in"
    with tempfile.TemporaryDirectory() as folder:
        folder = Path(folder)
        viewed = {pdf: folder / f"viewed-{number}.pdf" for number, pdf in enumerate(given)}
        by_viewer(sys.argv[2], [(pdf, of, viewed[pdf]) for pdf, of in given.items()])
        faults = [f"{pdf}: {fault}" for pdf, of in given.items() for fault in faults_of(pdf, of, viewed[pdf], folder)]
        faults += unseen(given, folder)
        faults += in_other_letters(sys.argv[2], *next(iter(given.items())), folder)
    if faults:
        sys.exit("\n".join(faults))
    print(f"{len(given)} documents filled in by pypdf, pdfium, pymupdf and pdfjs-dist, read back and checked")


if __name__ == "__main__":
    main()
