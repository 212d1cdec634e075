"""Fills every field of the demo documents by two programs that share no code (PyPI pypdf, and pypdfium2, which wraps the
engine of a common browser), reads the answers back by a third (pikepdf), and has the filled documents checked as the
empty ones are: what is filled in must neither be lost nor spoil a document that is to be kept.

    python3 -m venv /tmp/venv && /tmp/venv/bin/pip install page-validation pikepdf pypdf pypdfium2
    /tmp/venv/bin/python tests/outside/fill_pdfs.py FOLDER
"""

import ctypes
import logging
import sys
import tempfile
from pathlib import Path

import page
import pikepdf
import pypdf
import pypdfium2
import pypdfium2.raw as engine

ANSWERS = ("Wednesday 13 January 2027", "Zoë Müller & Sons", "14 Sallow Close, Anytown")


def answers(path):
    """An answer for each field: text in turn, a tick where it takes one."""
    fields = pypdf.PdfReader(path).get_fields() or {}
    texts = [name for name, field in fields.items() if field["/FT"] == "/Tx"]
    ticks = [name for name, field in fields.items() if field["/FT"] == "/Btn"]
    lists = {name: field["/Opt"][0] for name, field in fields.items() if field["/FT"] == "/Ch"}
    return {name: ANSWERS[i % len(ANSWERS)] for i, name in enumerate(texts)} | {name: "/Yes" for name in ticks} | lists


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


def faults_of(path, folder):
    given = answers(path)
    for fill in (by_pypdf, by_pdfium):
        out = str(folder / f"{fill.__name__}.pdf")
        fill(str(path), given, out)
        if (back := read_back(out)) != given:
            wrong = [f"{name}: {back.get(name)!r}, not {words!r}" for name, words in given.items() if back.get(name) != words]
            yield f"filled {fill.__name__}, read back: {wrong[:3]}"
        for profile in ("3a", "ua1"):
            for fault in page.validate_pdf(out, profile=profile).failures:
                if fill is by_pypdf and "STREAM-LENGTH" in fault.rule_id:
                    continue  # it ends every stream with one byte, also where the content ends in the other
                yield f"filled {fill.__name__}, {profile}: {fault}"


def main():
    logging.getLogger("pypdf").setLevel(logging.ERROR)
    pdfs = [pdf for pdf in sorted(Path(sys.argv[1]).rglob("*.pdf")) if answers(pdf)]
    assert pdfs, "no PDF to fill in"
    with tempfile.TemporaryDirectory() as folder:
        faults = [f"{pdf}: {fault}" for pdf in pdfs for fault in faults_of(pdf, Path(folder))]
    print("\n".join(faults))
    print(f"{len(pdfs)} documents filled in by pypdf and pdfium, read back and checked")
    sys.exit(bool(faults))


if __name__ == "__main__":
    main()
